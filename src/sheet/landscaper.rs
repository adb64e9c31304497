//! The crew's sheet: the height, the picture and the stops on one page, the work on the other.

use super::document::Block;
use super::pages::reader_pages;
use super::room::{FOOT, HEAD, PAGE, first_that_fits, fits};
use super::sheets::{MOST_CAUTIONS, Parts};
use crate::content::{Sheet, Task, Verdict};
use crate::judge::{Assessment, Headline};
use crate::say::LEVELS;
use crate::units::Length;
use crate::wall::Level;

impl Parts<'_, '_> {
    pub(super) fn landscaper(&self) -> Vec<Block> {
        let (first, heights) = self.height_page();
        reader_pages(vec![first, self.work_page(&heights)], PAGE)
    }

    /// The verdict, the height to build to, the picture, the heights, and where to stop; and the heights again, if there was no
    /// room for them.
    fn height_page(&self) -> (Vec<Block>, Vec<Block>) {
        let a = self.of;
        let stops: Vec<&Task> = a.tasks(Some(Sheet::Landscaper)).filter(|t| t.hold).collect();
        let mut heights = Vec::new();
        a.short_heights(&mut heights);
        let room = PAGE.less(HEAD);
        let page = |(length, with_heights): (usize, bool)| {
            let mut blocks = self.danger_blocks(length.min(200));
            blocks.push(a.verdict());
            let reasons: Vec<String> = a.short_reasons().into_iter().take(if length > 100 { 4 } else { 2 }).collect();
            if !reasons.is_empty() {
                blocks.push(Block::Paragraph(a.word_with("text.because_of", &[("list", &reasons.join("; "))])));
            }
            blocks.extend(self.stretch_table(if length > 100 { 6 } else { 3 }));
            a.height_to_build(&mut blocks);
            blocks.extend(a.picture_to_build());
            if with_heights {
                blocks.extend(heights.iter().cloned());
            }
            if !stops.is_empty() {
                blocks.push(a.heading("heading.stop_points"));
                let check = |task: &&Task| a.short_check(task, length);
                blocks.push(Block::Checks(stops.iter().map(check).collect()));
            }
            blocks
        };
        let whole = first_that_fits([400, 200, 140, 100, 76], room, |length| page((length, true)));
        if fits(&whole, room) {
            return (whole, Vec::new());
        }
        (first_that_fits([140, 100, 76, 40], room, |length| page((length, false))), heights)
    }

    /// The checklist, the layers, material, dangers and names.
    fn work_page(&self, heights: &[Block]) -> Vec<Block> {
        let a = self.of;
        let tasks: Vec<&Task> = a.tasks(Some(Sheet::Landscaper)).filter(|t| !t.hold).collect();
        let names = ["blank.homeowner", "blank.exterior", "blank.checked_by"];
        let elevation = a.elevation_block();
        // letters of a task, rows of material, cautions, whether the wall is drawn along the run
        let layouts = [
            (400, 8, 5, true),
            (140, 6, 5, true),
            (90, 4, 4, true),
            (76, 3, 3, true),
            (140, 4, 5, false),
            (90, 4, 4, false),
            (76, 3, 4, false),
            (40, 2, 3, false),
            (40, 0, 2, false),
        ];
        first_that_fits(layouts, PAGE.less(FOOT), |(length, rows, cautions, drawn)| {
            // the wall drawn along the run says the heights too
            let mut blocks = match (&elevation, drawn) {
                (Some(elevation), true) => vec![elevation.clone()],
                _ => heights.to_vec(),
            };
            if !tasks.is_empty() {
                blocks.push(a.heading("heading.checklist"));
                blocks.extend(a.by_phase(&tasks, |task| a.short_check(task, length)));
            }
            a.layers_line(&mut blocks);
            self.job.crew_lines(&mut blocks);
            blocks.extend(a.material_rows(Sheet::Landscaper, rows, length));
            blocks.extend(a.few_cautions(Sheet::Landscaper, cautions.min(MOST_CAUTIONS)));
            blocks.push(a.heading("heading.who_to_call"));
            blocks.push(Block::Signatures(names.iter().map(|key| a.word(key)).collect()));
            blocks
        })
    }
}

impl Assessment<'_> {
    /// The height that the crew builds to, with room to write what was agreed. A height that was rejected stands only as what
    /// is not agreed.
    pub(crate) fn height_to_build(&self, blocks: &mut Vec<Block>) {
        blocks.push(self.heading("heading.height_to_build"));
        let mark = self.mark_name();
        let built = self.is_built();
        let planned = self.planned_height();
        let go_ahead = self.settled.verdict == Verdict::GoAhead;
        match planned {
            Some(_) if go_ahead && built => blocks.push(Block::Paragraph(self.word("text.built_stays"))),
            Some(planned) if go_ahead => {
                blocks.push(Block::Figure(self.word_with("text.build_as_planned", &[("planned", &planned)])));
            }
            planned => {
                // the highest that may be, where it is known; what was planned only as what it is not
                if let Some(headline @ Headline::Lower { below: Some(_), .. }) = self.headline() {
                    blocks.push(Block::Figure(self.headline_in_words(&headline)));
                }
                if let Some(planned) = planned {
                    let key = if built { "text.built_not_agreed" } else { "text.planned_not_agreed" };
                    blocks.push(Block::Paragraph(self.word_with(key, &[("planned", &planned)])));
                }
            }
        }
        if !(go_ahead && built) {
            blocks.push(Block::Blank(self.word_with("blank.agreed_height", &[("mark", &mark)])));
            blocks.push(Block::Blank(self.word("blank.agreed_by")));
        }
    }

    /// The heights that count, one line each; where they vary along the wall, at its ends.
    fn short_heights(&self, blocks: &mut Vec<Block>) {
        if self.site.slopes() {
            let from = blocks.len();
            self.ends(blocks);
            if blocks.len() > from {
                blocks.insert(from, self.heading("heading.heights"));
            }
            return;
        }
        let reference = self.reference();
        let rejected = self.settled.verdict != Verdict::GoAhead && !self.is_built();
        let row = |level: Level| {
            let height = self.site.levels.above(level, reference).filter(|_| level != reference)?;
            self.site.levels.has(level).then_some(())?;
            let key = if height.up < Length::ZERO { "label.below_short" } else { "label.above_short" };
            let shown = self.word_with(key, &[("height", &height.up.abs().show(self.units))]);
            let shown = if level == Level::Finish && rejected {
                self.word_with("label.not_agreed", &[("height", &shown)])
            } else {
                shown
            };
            Some((height.up, vec![self.level_name(level), shown]))
        };
        let mut rows: Vec<(Length, Vec<String>)> = LEVELS.into_iter().filter_map(row).collect();
        if rows.is_empty() {
            return;
        }
        rows.sort_by_key(|(up, _)| std::cmp::Reverse(*up));
        let head =
            vec![self.word("table.level"), self.word_with("table.from", &[("from", &self.level_name(reference))])];
        blocks.push(self.heading("heading.heights"));
        blocks.push(Block::Table { head, rows: rows.into_iter().map(|(_, row)| row).collect() });
    }

    /// The layers from the top down with their thicknesses, in a line. Depths below a height that is not agreed are left out.
    fn layers_line(&self, blocks: &mut Vec<Block>) {
        let Some(digging) = self.digging() else { return };
        let layer = |laid: &crate::judge::Laid<'_>| {
            let what = if laid.certain {
                laid.layer.what.clone()
            } else {
                self.word_with("dig.perhaps", &[("layer", &laid.layer.what)])
            };
            format!("{what} {}", laid.layer.thickness.show(self.units))
        };
        let list: Vec<String> = digging.layers.iter().map(layer).collect();
        let together = digging.together.show(self.units);
        blocks.push(self.heading("heading.layers"));
        blocks.push(Block::Paragraph(
            self.word_with("dig.crew_layers", &[("list", &list.join(", ")), ("together", &together)]),
        ));
        if self.settled.verdict == Verdict::GoAhead {
            let mut sentences: Vec<String> = Vec::new();
            if let Some(dig) = digging.at_wall {
                let key = if dig >= Length::ZERO { "dig.at_wall" } else { "dig.fill" };
                sentences.push(self.word_with(key, &[("dig", &dig.abs().show(self.units))]));
            }
            if let (Some(drop), Some(depth)) = (digging.drop_at_edge, self.site.depth) {
                let values = [("drop", drop.show(self.units)), ("depth", depth.show(self.units))];
                let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
                sentences.push(self.word_with("dig.at_edge", &values));
            }
            blocks.push(Block::Paragraph(sentences.join(" ")));
        }
        if let Some(text) = self.fill_at_low_end() {
            blocks.push(Block::Paragraph(text));
        }
    }
}
