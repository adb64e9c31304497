//! A section with the words that go with it, for any renderer.

use crate::units::Units;
use crate::wall::{CrossSection, Part};

/// A section with the words that go with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The geometry.
    pub section: CrossSection,
    /// A title: what it shows, and where along the wall.
    pub title: String,
    /// What endangers people, if anything does: it stands above the picture.
    pub warning: Option<String>,
    /// What the heights mean where the picture alone does not tell: fill at the low end, a surface below the ground.
    pub notes: Vec<String>,
    /// What is to scale and what is not.
    pub scale_note: String,
    /// What the way of the drop shows, if one is drawn.
    pub drop_note: Option<String>,
    /// How high one line of a drawing in characters is; `{line}` stands for the figure.
    pub line_note: String,
    /// What a question mark means, if the picture has one.
    pub unsure_note: Option<String>,
    /// What work at a height that is not allowed is, if the picture has any.
    pub rejected_note: Option<String>,
    /// Names of the parts that are drawn.
    pub names: Vec<(Part, String)>,
    /// How heights are shown.
    pub units: Units,
    /// The unit of the scale at the edge.
    pub unit: String,
}

impl Picture {
    /// The name of a part; nothing of what is not named in a drawing.
    #[must_use]
    pub fn name(&self, part: Part) -> String {
        self.names.iter().find(|(p, _)| *p == part).map_or_else(String::new, |(_, n)| n.clone())
    }

    /// What the picture says, in words, with its heights: for who cannot see it.
    #[must_use]
    pub fn alt(&self) -> String {
        let marks = self.section.marks.iter().map(|mark| mark.label.as_str());
        let shown = |part: &Part| self.section.pieces.iter().any(|piece| piece.part == *part);
        let layers = self.names.iter().filter(|(part, _)| matches!(part, Part::Layer(_)) && shown(part));
        let dimensions = self.section.dimensions.iter().map(|dimension| dimension.label.as_str());
        let notes = self.notes.iter().chain(&self.drop_note).map(String::as_str);
        let all = std::iter::once(self.title.as_str())
            .chain(self.warning.as_deref())
            .chain(marks)
            .chain(layers.map(|(_, name)| name.as_str()))
            .chain(dimensions)
            .chain(notes);
        all.map(|text| format!("{}.", text.trim_end_matches('.'))).collect::<Vec<_>>().join(" ")
    }
}
