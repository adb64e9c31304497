//! Layers of the work, and how deep to dig for them.

use super::assess::Assessment;
use super::document::Block;
use super::wall_rows::Layer;
use crate::units::{Area, Length};
use crate::wall::Level;

/// The layers of a visit and what they mean for digging.
#[derive(Debug, Clone)]
pub struct Digging<'c> {
    /// From the top down.
    pub layers: Vec<&'c Layer>,
    /// All of them together.
    pub together: Length,
    /// Their underside below the mark, at the wall.
    pub below_mark: Option<Length>,
    /// How deep to dig below today's ground at the wall; negative: that much has to be filled.
    pub at_wall: Option<Length>,
    /// How much lower the surface lies at its outer edge.
    pub drop_at_edge: Option<Length>,
    /// How deep to dig below the ground outside the outer edge; negative: so much has to be filled.
    pub at_edge: Option<Length>,
    /// The area of the work, where both its sides are known.
    pub area: Option<Area>,
    /// How much deeper all of it gets if the surface is lowered as far as the limits ask.
    pub deeper: Length,
}

impl<'c> Assessment<'c> {
    /// The layers and the digging; nothing where the layers of this kind of work are not known.
    #[must_use]
    pub fn digging(&self) -> Option<Digging<'c>> {
        let layers: Vec<&Layer> = self.content.layers.iter().filter(|l| l.when.eval(&self.values).is_yes()).collect();
        if layers.is_empty() {
            return None;
        }
        let together = layers.iter().fold(Length::ZERO, |sum, layer| sum + layer.thickness);
        let up = |upper, lower| self.site.levels.above(upper, lower).map(|h| h.up);
        let fall = self.content.names.slot("fall.away").and_then(|s| super::assess::middle(self.values[s as usize]));
        Some(Digging {
            together,
            below_mark: up(Level::Mark, Level::Finish).map(|finish| finish + together),
            at_wall: up(Level::Finish, Level::Ground).map(|finish| together - finish),
            drop_at_edge: fall
                .zip(self.site.depth)
                .map(|(fall, depth)| crate::units::Slope::from_parts(fall).over(depth))
                .filter(|drop| *drop > Length::ZERO),
            at_edge: self.at_edge(together),
            area: self.site.length.zip(self.site.depth).map(|(length, depth)| length.by(depth)),
            deeper: self.lowering.filter(|l| l.by > Length::ZERO).map_or(Length::ZERO, |l| l.sure),
            layers,
        })
    }

    /// How far the underside of the layers lies below the ground outside the outer edge. Of steps, the edge
    /// is the lowest tread, which stands on the ground.
    fn at_edge(&self, together: Length) -> Option<Length> {
        if self.says("feature", &["stone_slab_steps", "masonry_steps"]) {
            return None;
        }
        let known = |name: &str| {
            let slot = self.content.names.slot(name)?;
            self.values[slot as usize].known().map(Length::from_steps)
        };
        Some(together + known("outer.below")? - known("outer.drop")?)
    }

    /// `whole` adds the table of layers; the crew has them among its materials.
    pub(super) fn digging_block(&self, blocks: &mut Vec<Block>, whole: bool) {
        let Some(digging) = self.digging() else { return };
        let show = |length: Length| length.show(self.units);
        let word = |key: &str| self.content.word(key).to_owned();
        blocks.push(Block::Heading(word("heading.layers")));
        let rows = digging
            .layers
            .iter()
            .map(|layer| vec![layer.what.clone(), show(layer.thickness), self.origin(&layer.origin)])
            .collect();
        let head = ["table.layer", "table.thickness", "table.where_from"].map(word).to_vec();
        if whole {
            blocks.push(Block::Table { head, rows });
        }
        let mut text = self.word_with("dig.together", &[("together", &show(digging.together))]);
        let mut add = |sentence: String| {
            text.push(' ');
            text.push_str(&sentence);
        };
        if let Some(area) = digging.area {
            let volume = area.by(digging.together).show(self.units);
            add(self.word_with("dig.area", &[("area", &area.show(self.units)), ("volume", &volume)]));
        }
        if let Some(below) = digging.below_mark {
            add(self.word_with("dig.below_mark", &[("below", &show(below)), ("mark", &self.mark_name())]));
        }
        if let Some(dig) = digging.at_wall {
            let key = if dig >= Length::ZERO { "dig.at_wall" } else { "dig.fill" };
            add(self.word_with(key, &[("dig", &show(dig.abs()))]));
        }
        if let (Some(drop), Some(depth)) = (digging.drop_at_edge, self.site.depth) {
            add(self.word_with("dig.at_edge", &[("drop", &show(drop)), ("depth", &show(depth))]));
        }
        if let Some(dig) = digging.at_edge {
            let key = if dig >= Length::ZERO { "dig.outside" } else { "dig.outside_fill" };
            add(self.word_with(key, &[("dig", &show(dig.abs()))]));
        }
        if digging.deeper > Length::ZERO {
            add(self.word_with("dig.deeper", &[("deeper", &show(digging.deeper))]));
        }
        blocks.push(Block::Paragraph(text));
        let deepest = digging.at_wall.map(|dig| dig + digging.deeper).filter(|dig| *dig > Length::ZERO);
        match (deepest, self.site.footing) {
            (Some(deepest), Some(footing)) => {
                let values = [("dig", show(deepest)), ("footing", show(footing))];
                let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
                let key = if deepest < footing { "dig.footing_below" } else { "dig.footing_reached" };
                blocks.push(Block::Paragraph(self.word_with(key, &values)));
            }
            (Some(_), None) => blocks.push(Block::Paragraph(word("dig.footing"))),
            _ => {}
        }
    }
}
