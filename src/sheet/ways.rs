//! The ways to put it right, on a sheet.

use super::document::Block;
use crate::judge::{Assessment, Way};

impl Assessment<'_> {
    pub(crate) fn ways_block(&self, blocks: &mut Vec<Block>) {
        let ways = self.ways();
        if ways.is_empty() {
            return;
        }
        let word = |key: &str| self.content.word(key).to_owned();
        blocks.push(Block::Heading(word("heading.ways")));
        blocks.push(Block::Paragraph(word("text.ways")));
        let row = |way: &Way| vec![word(&format!("way.{}", way.kind.word())), self.way_takes(way), self.way_costs(way)];
        let head = ["table.way", "table.takes", "table.costs"].map(word).to_vec();
        blocks.push(Block::Table { head, rows: ways.iter().map(row).collect() });
    }

    /// The same without what it costs elsewhere.
    pub(super) fn short_ways(&self, blocks: &mut Vec<Block>) {
        let ways = self.ways();
        if ways.is_empty() {
            return;
        }
        let row = |way: &Way| vec![self.word(&format!("way.{}", way.kind.word())), self.way_takes(way)];
        let head = ["table.way", "table.takes"].map(|key| self.word(key)).to_vec();
        blocks.push(self.heading("heading.ways"));
        blocks.push(Block::Table { head, rows: ways.iter().map(row).collect() });
    }
}
