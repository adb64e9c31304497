//! Rows of the content about the wall and the work: stairs, layers, coursing.

use super::rows::{Origin, RowReader, id_text};
use super::works::Must;
use crate::flow::{Condition, Fields, Node};
use crate::pack::{Text, packed};
use crate::units::{Length, Slope};
use crate::wall::{Coursing, StairRules};

/// What a region asks of a flight of steps.
#[derive(Debug, Clone)]
pub struct Stairs {
    /// The region, by its place among the choices.
    pub region: usize,
    /// The rules.
    pub rules: StairRules,
    /// Where they come from.
    pub origin: Origin,
}

packed!(struct Stairs { region, rules, origin });

/// A layer of the work.
#[derive(Debug, Clone)]
pub struct Layer {
    /// Its id.
    pub id: Text,
    /// When it is there. Looks at questions only.
    pub when: Condition,
    /// What it is.
    pub what: Text,
    /// The number of the material that it counts as in quantities.
    pub material: usize,
    /// How thick, by default.
    pub thickness: Length,
    /// Where the thickness comes from.
    pub origin: Origin,
}

packed!(struct Layer { id, when, what, material, thickness, origin });

/// A gauge of brickwork.
#[derive(Debug, Clone)]
pub struct CoursingRow {
    /// Its id.
    pub id: Text,
    /// The regions where it is usual, as bits of their places.
    pub regions: i64,
    /// The kind of brick.
    pub what: Text,
    /// The gauge.
    pub gauge: Coursing,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct CoursingRow { id, regions, what, gauge, origin });

/// A pitch in whole degrees as a slope, rounded down, so that the pitch itself is kept.
fn pitch(degrees: i64) -> Slope {
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // below 90 degrees, below 2^53 parts
    let parts = ((degrees.clamp(0, 89) as f64).to_radians().tan() * 1e9).floor() as i64;
    Slope::from_parts(parts)
}

impl RowReader<'_> {
    /// A choice of joists, and how far the lowest wood then lies below the threshold.
    pub(crate) fn wood_line(&mut self, node: &Node<'_>, joists: &[Text]) -> Option<(usize, Length)> {
        let mut fields = Fields::of(node, "a wood line", self.diags)?;
        let known: Vec<(&str, usize)> = joists.iter().enumerate().map(|(at, j)| (j.as_str(), at)).collect();
        let at = fields.need_word("joists", &known, self.diags);
        let below = fields.need("below_threshold", self.diags).and_then(|node| self.length_of(node));
        self.origin(&mut fields, "wood line", at.map(|at| joists[at].as_str()), Must::Figure);
        fields.finish(self.diags);
        Some((at?, below?))
    }

    pub(crate) fn layer(&mut self, node: &Node<'_>, materials: &mut Vec<Text>) -> Option<Layer> {
        let mut fields = Fields::of(node, "a layer", self.diags)?;
        let id = self.id(&mut fields, "layer");
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let material = fields.need_text("material", self.diags);
        let thickness = fields.need("thickness", self.diags).and_then(|node| self.length_of(node));
        let origin = self.origin(&mut fields, "layer", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let material = material?;
        let number = materials.iter().position(|m| *m == material).unwrap_or_else(|| {
            materials.push(material);
            materials.len() - 1
        });
        Some(Layer { id: id?.0, when, what, material: number, thickness: thickness?, origin })
    }

    pub(crate) fn coursing(&mut self, node: &Node<'_>, regions: &[Text]) -> Option<CoursingRow> {
        let mut fields = Fields::of(node, "a gauge of brickwork", self.diags)?;
        let id = self.id(&mut fields, "coursing");
        let regions = self.regions(&mut fields, regions);
        let what = self.text(&mut fields, "what", true);
        let courses = fields.whole("courses", self.diags);
        let height = fields.need("height", self.diags).and_then(|node| self.length_of(node));
        let origin = self.origin(&mut fields, "coursing", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let (id, place) = id?;
        let gauge = Coursing::new(courses?, height?);
        if gauge.is_none() {
            self.diags.error(place, format!("the gauge `{id}` needs at least one course and a height above zero"));
        }
        Some(CoursingRow { id, regions, what, gauge: gauge?, origin })
    }

    pub(crate) fn stairs(&mut self, node: &Node<'_>, regions: &[Text]) -> Option<Stairs> {
        let mut fields = Fields::of(node, "a row of stairs", self.diags)?;
        let known: Vec<(&str, usize)> = regions.iter().enumerate().map(|(at, r)| (r.as_str(), at)).collect();
        let at = fields.place();
        let region = fields.need_word("region", &known, self.diags);
        let pace = match fields.list("pace", self.diags) {
            [] => None,
            [least, most] => self.length_of(least).zip(self.length_of(most)),
            _ => {
                self.diags.error(at, "`pace` must be a list of two: least and most");
                None
            }
        };
        let rules = StairRules {
            riser_most: self.length(&mut fields, "riser_most"),
            riser_least: self.length(&mut fields, "riser_least"),
            tread_least: self.length(&mut fields, "tread_least"),
            tread_most: self.length(&mut fields, "tread_most"),
            pace,
            pitch_most: fields.whole("pitch_most", self.diags).map(pitch),
            spread_most: self.length(&mut fields, "spread_most"),
            handrail_from: fields.whole("handrail_from", self.diags),
            guard_above: self.length(&mut fields, "guard_above"),
        };
        let origin = self.origin(&mut fields, "stairs", region.map(|at| regions[at].as_str()), Must::Figure);
        fields.finish(self.diags);
        let region = region?;
        self.once(&regions[region], at, "stairs").then_some(Stairs { region, rules, origin })
    }

    fn length(&mut self, fields: &mut Fields<'_, '_>, name: &'static str) -> Option<Length> {
        let node = fields.take(name)?;
        self.length_of(node)
    }
}
