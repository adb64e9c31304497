//! Where the water goes, on a sheet.

use super::document::{Block, ListItem};
use crate::content::{AfterId, Limit, Verdict};
use crate::judge::{Assessment, Clearance, WaterWay, is_fine};
use crate::say::{end_word, start_word};
use crate::site::FactId;
use crate::water::Start;

impl Assessment<'_> {
    /// The section on water: every way that does not end outside, and the others in short. `whole` tells the
    /// ways that end outside too.
    pub(crate) fn water_block(&self, blocks: &mut Vec<Block>, whole: bool) {
        let ways = self.water_ways();
        if ways.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.water"));
        let main = |way: &&WaterWay| way.start == Start::Behind;
        let mut items = Vec::new();
        let mut good: Vec<String> = Vec::new();
        for way in &ways {
            let fine = is_fine(way.start, way.path.end);
            if fine && !main(&way) && !whole {
                good.push(self.word(start_word(way.start)));
                continue;
            }
            let mut lines: Vec<String> = self.wrong_in_words(way).into_iter().collect();
            if let Some(best) = way.at_best {
                let best = self.word(end_word(best));
                lines.push(self.word_with("water.at_best", &[("end", &best)]));
            }
            items.push(ListItem { text: self.way_in_words(way.start, &way.path), lines });
        }
        if !items.is_empty() {
            blocks.push(Block::Numbered(items));
        }
        if !good.is_empty() {
            blocks.push(Block::Paragraph(self.word_with("water.outside", &[("list", &good.join("; "))])));
        }
        if let Some(text) = self.rules_and_path() {
            blocks.push(Block::Paragraph(text));
        }
        blocks.push(Block::Note(self.word("water.assumed")));
        self.after_block(blocks);
    }

    /// The one way that has to be known where there is little room: one that goes wrong, before any that does not; of these
    /// that of the water behind the cladding.
    pub(crate) fn water_line(&self, blocks: &mut Vec<Block>) {
        let mut ways = self.water_ways();
        ways.sort_by_key(|w| (is_fine(w.start, w.path.end), w.start != Start::Behind));
        let Some(way) = ways.into_iter().next() else { return };
        let mut text = self.way_in_words(way.start, &way.path);
        if let Some(wrong) = self.wrong_in_words(&way) {
            text.push(' ');
            text.push_str(&wrong);
        }
        blocks.push(Block::Paragraph(text));
    }

    /// Whether the path and the limits say the same; nothing if they do.
    fn rules_and_path(&self) -> Option<String> {
        let outside = self.value(FactId::TraceOutside).known()? == 2;
        let failed = self.value_after(AfterId::LimitsFailed).known()? / 1000;
        // only those that more height would help speak of water: no step, no landing
        let limits = self.content.limits.iter().zip(&self.clearances);
        let of_water = |(limit, c): &(&Limit, &Clearance)| {
            limit.verdict.is_some() && c.breaks().is_yes() && self.content.when_lowered(limit.measure) == 1
        };
        let of_water = limits.filter(of_water).count();
        let key = match (outside, failed, of_water) {
            (true, 1.., 1..) => "water.limits_fail",
            (false, 0, _) if self.settled.verdict == Verdict::GoAhead => "water.wall_holds",
            (false, 0, _) => "water.limits_pass",
            _ => return None,
        };
        Some(self.word_with(key, &[("failed", &of_water.to_string())]))
    }

    fn after_block(&self, blocks: &mut Vec<Block>) {
        let Some(after) = self.after_work() else { return };
        let how = match after.opened {
            Some(clear) => {
                let out = self.content.usual.turned_out.show(self.units);
                self.word_with("after.opened", &[("clear", &clear.show(self.units)), ("out", &out)])
            }
            None => self.word_with("after.lowered", &[("by", &after.lowered.show(self.units))]),
        };
        blocks.push(self.heading("heading.after_work"));
        let bad: Vec<String> = after
            .ways
            .iter()
            .filter(|(start, path)| !is_fine(*start, path.end))
            .map(|(start, path)| self.way_in_words(*start, path))
            .collect();
        let main = after.ways.iter().find(|(start, _)| *start == Start::Behind).or(after.ways.first());
        let mut text = how;
        if bad.is_empty() {
            text.push(' ');
            text.push_str(&self.word("after.all_outside"));
            if let Some((start, path)) = main {
                text.push(' ');
                text.push_str(&self.way_in_words(*start, path));
            }
            blocks.push(Block::Paragraph(text));
        } else {
            text.push(' ');
            text.push_str(&self.word("after.not_all"));
            blocks.push(Block::Paragraph(text));
            blocks.push(Block::Numbered(bad.into_iter().map(|text| ListItem { text, lines: Vec::new() }).collect()));
        }
    }
}
