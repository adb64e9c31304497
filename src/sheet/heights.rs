//! Heights in words: what was measured, what to build to, how far to lower, and the table of levels.

use super::document::Block;
use crate::content::Verdict;
use crate::judge::{Assessment, Lowering};
use crate::say::LEVELS;
use crate::units::{Elevation, Length};
use crate::wall::{Level, Line};

impl Assessment<'_> {
    /// How far to lower the surface, and what that does at the door.
    /// `whole` adds the other way to put it right, which the crew's checklist does not hold.
    pub(crate) fn options(&self, blocks: &mut Vec<Block>, whole: bool) {
        let Some(lowering) = self.lowering else { return };
        if lowering.by == Length::ZERO {
            if lowering.sure <= Length::ZERO && lowering.exit_known {
                self.height_to_keep(blocks, lowering);
            }
            return;
        }
        blocks.push(self.heading("heading.lower_it"));
        blocks.push(Block::Paragraph(self.lower_text(lowering)));
        if let Some(limit) = lowering.step_breaks {
            let row = &self.content.limits[limit];
            let bound = self.show(row.measure, row.bound);
            blocks
                .push(Block::Paragraph(self.word_with("text.step_breaks", &[("bound", &bound), ("what", &row.what)])));
        }
        if let Some(text) = self.lowered_into_ground(lowering.sure) {
            blocks.push(Block::Paragraph(text));
        }
        let can_be_raised = self.exit_can_be_raised();
        if !lowering.exit_known {
            blocks.push(Block::Paragraph(self.word("text.exit_may_ask_more")));
        }
        let old = self.site.levels.above(Level::OldSurface, Level::Finish).map(|h| h.up + lowering.sure);
        if old.is_some_and(|above| above > Length::ZERO) {
            blocks.push(Block::Paragraph(self.word("text.below_old_surface")));
        }
        if whole && self.settled.held == Verdict::ExteriorTradeFirst && can_be_raised {
            blocks.push(Block::Paragraph(self.word("text.or_open_the_wall")));
        }
    }

    /// Between which heights the surface may lie. The highest is tried out on all rules, not only on the
    /// limits it was solved from: what would make the verdict worse is not offered.
    pub(crate) fn height_to_keep(&self, blocks: &mut Vec<Block>, lowering: Lowering) {
        let Some(highest) = lowering.highest.and_then(|solved| self.highest_that_holds(solved)) else { return };
        let what = &self.content.limits[lowering.limit].what;
        blocks.push(self.heading("heading.height_to_keep"));
        let solved = lowering.highest == Some(highest);
        let key = if solved { "text.height_to_keep" } else { "text.height_to_keep_rules" };
        let mut text = self.word_with(key, &[("highest", &self.depth_words(highest)), ("what", what)]);
        if let Some(lowest) = lowering.lowest.filter(|l| *l >= highest) {
            text.push(' ');
            text.push_str(&self.word_with("text.height_to_keep_low", &[("lowest", &self.depth_words(lowest))]));
        }
        blocks.push(Block::Paragraph(text));
    }

    /// That a surface which is so much lower lies below the ground of today; nothing where it does not, or where that is not known.
    pub(crate) fn lowered_into_ground(&self, by: Length) -> Option<String> {
        let above = self.site.levels.above(Level::Finish, Level::Ground)?.up - by;
        let below = above.abs().show(self.units);
        (above < Length::ZERO).then(|| self.word_with("text.lowered_into_ground", &[("below", &below)]))
    }

    /// Where along a wall that slopes the ground lies below the layers, so that fill is needed: the deeper end, with the height to
    /// build to as the limits ask. Nothing where the wall is level or the ground is high enough.
    pub(crate) fn fill_at_low_end(&self) -> Option<String> {
        let digging = self.digging()?;
        let length = self.site.length.filter(|_| self.site.slopes())?;
        let (finish, ground) = (self.site.line(Level::Finish)?, self.site.line(Level::Ground)?);
        let under = digging.together + digging.deeper;
        let fill = |at: Length| finish.at(at).above(ground.at(at)) - under;
        let (left, right) = (fill(Length::ZERO), fill(length));
        let (end, fill) = if left > right { ("label.left_end", left) } else { ("label.right_end", right) };
        let values = [("end", self.word(end)), ("fill", fill.show(self.units))];
        let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
        (fill > Length::ZERO).then(|| self.word_with("dig.fill_at_end", &values))
    }

    /// All known heights, from the top down, from one reference.
    pub(crate) fn heights(&self, blocks: &mut Vec<Block>) {
        let reference = self.reference();
        let mut rows: Vec<(Length, Vec<String>)> = Vec::new();
        for level in LEVELS {
            let Some(height) = self.site.levels.above(level, reference) else { continue };
            if level != reference && !self.site.levels.has(level) {
                continue;
            }
            let tolerance = height.tolerance(self.content.per_reading);
            let place = if level == reference {
                self.word("label.reference")
            } else {
                let key = if height.up < Length::ZERO { "label.below" } else { "label.above" };
                let reference = self.level_name(reference);
                self.word_with(key, &[("height", &height.up.abs().show(self.units)), ("reference", &reference)])
            };
            let known = if level == reference {
                String::new()
            } else if tolerance == Length::ZERO {
                self.word("label.as_planned")
            } else {
                let key = if height.is_derived() { "label.derived" } else { "label.tolerance" };
                self.word_with(key, &[("tolerance", &tolerance.show(self.units))])
            };
            rows.push((height.up, vec![self.level_name(level), place, known]));
        }
        if rows.len() < 2 {
            return;
        }
        rows.sort_by_key(|(up, _)| std::cmp::Reverse(*up));
        blocks.push(self.heading("heading.heights"));
        blocks.push(Block::Table {
            head: ["table.level", "table.height", "table.known"].map(|k| self.word(k)).to_vec(),
            rows: rows.into_iter().map(|(_, row)| row).collect(),
        });
        self.ends(blocks);
        self.openings_block(blocks);
        if let Some(picture) = self.picture() {
            blocks.push(Block::Picture(Box::new(picture)));
        }
        if let Some(clear) = self.exit_in_words() {
            blocks.push(Block::Paragraph(clear));
            self.coursing_line(blocks);
        }
    }

    /// The heights at both ends, where they were measured.
    pub(crate) fn ends(&self, blocks: &mut Vec<Block>) {
        let Some(length) = self.site.length.filter(|_| self.site.slopes()) else { return };
        if self.site.bends() {
            return self.along_table(blocks, length);
        }
        let mark = self.mark_name();
        let rows: Vec<Vec<String>> = [Level::Exit, Level::Finish, Level::Ground]
            .into_iter()
            .filter_map(|level| {
                let line = self.site.line(level)?;
                let end = |offset: Length| {
                    let up = line.at(offset).above(Elevation::MARK);
                    let key = if up > Length::ZERO { "label.above" } else { "label.below" };
                    self.word_with(key, &[("height", &up.abs().show(self.units)), ("reference", &mark)])
                };
                Some(vec![self.level_name(level), end(Length::ZERO), end(length)])
            })
            .collect();
        let head = ["table.level", "table.left_end", "table.right_end"].map(|k| self.word(k)).to_vec();
        blocks.push(Block::Table { head, rows });
    }

    /// The heights at every place where one of the lines bends.
    fn along_table(&self, blocks: &mut Vec<Block>, length: Length) {
        let lines: Vec<_> = [Level::Exit, Level::Finish, Level::Ground]
            .into_iter()
            .filter_map(|level| Some((self.level_name(level), self.site.line(level)?)))
            .collect();
        let mut offsets: Vec<Length> = lines.iter().flat_map(|(_, line)| line.offsets()).collect();
        offsets.extend([Length::ZERO, length]);
        offsets.sort_unstable();
        offsets.dedup();
        let mut head = vec![self.word("table.from_left")];
        head.extend(lines.iter().map(|(name, _)| name.clone()));
        let row = |at: &Length| {
            let height = |(_, line): &(String, Line)| {
                let below = Elevation::MARK.above(line.at(*at));
                let key = if below < Length::ZERO { "label.above_short" } else { "label.below_short" };
                self.word_with(key, &[("height", &below.abs().show(self.units))])
            };
            std::iter::once(at.show(self.units)).chain(lines.iter().map(height)).collect()
        };
        let rows = offsets.iter().filter(|at| **at >= Length::ZERO && **at <= length).map(row).collect();
        blocks.push(Block::Table { head, rows });
        blocks.push(Block::Note(self.word_with("text.measured_from", &[("reference", &self.mark_name())])));
    }
}
