//! Layers and digging on a sheet.

use super::document::Block;
use crate::judge::Assessment;
use crate::units::Length;

impl Assessment<'_> {
    /// `whole` adds the table of layers; the crew has them among its materials.
    pub(crate) fn digging_block(&self, blocks: &mut Vec<Block>, whole: bool) {
        let Some(digging) = self.digging() else { return };
        let show = |length: Length| length.show(self.units);
        let word = |key: &str| self.content.word(key).to_owned();
        blocks.push(Block::Heading(word("heading.layers")));
        let rows = digging
            .layers
            .iter()
            .map(|laid| {
                let what = if laid.certain {
                    laid.layer.what.to_string()
                } else {
                    self.word_with("dig.perhaps", &[("layer", &laid.layer.what)])
                };
                vec![what, show(laid.layer.thickness), self.origin(&laid.layer.origin)]
            })
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
        let perhaps: Vec<&str> =
            digging.layers.iter().filter(|laid| !laid.certain).map(|laid| laid.layer.what.as_str()).collect();
        if !perhaps.is_empty() {
            add(self.word_with("dig.not_certain", &[("layers", &perhaps.join("; "))]));
        }
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
        blocks.extend(self.fill_at_low_end().map(Block::Paragraph));
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
