//! The crew's sheet: the height, the picture and the stops on one page, the work on the other.

use super::document::Block;
use super::pages::reader_pages;
use super::room::{FOOT, HEAD, PAGE, Space, first_that_fits, fits};
use super::sheets::{Leaf, MOST_CAUTIONS};
use crate::content::{Sheet, Task, Verdict};
use crate::judge::{Assessment, Headline};
use crate::say::LEVELS;
use crate::units::{Elevation, Length};
use crate::wall::Level;

/// How much is told on the first page.
#[derive(Clone, Copy)]
struct First {
    /// Letters of a stop, and of what is done about a danger.
    letters: usize,
    /// Whether the table of heights stands here; else they stand in the picture, and on the other page where there is room.
    heights: bool,
}

/// How much is told on the second page.
#[derive(Clone, Copy)]
struct Second {
    /// Letters of a task.
    letters: usize,
    /// Rows of material; with none the part is left out.
    rows: usize,
    /// Cautions.
    cautions: usize,
    /// Whether the wall is drawn along the run, in place of the table of heights.
    drawn: bool,
    /// Whether it is told who works when, and heights that stood on no page yet.
    more: bool,
}

const FIRST: [First; 8] = {
    let whole = First { letters: 400, heights: true };
    let bare = First { letters: 140, heights: false };
    [
        whole,
        First { letters: 200, ..whole },
        First { letters: 140, ..whole },
        First { letters: 100, ..whole },
        First { letters: 76, ..whole },
        bare,
        First { letters: 100, ..bare },
        First { letters: 76, ..bare },
    ]
};

const SECOND: [Second; 12] = {
    let whole = Second { letters: 400, rows: 8, cautions: MOST_CAUTIONS, drawn: true, more: true };
    let short = Second { letters: 140, rows: 4, drawn: false, ..whole };
    [
        whole,
        Second { letters: 140, rows: 6, ..whole },
        Second { letters: 90, rows: 4, ..whole },
        Second { letters: 76, rows: 3, cautions: 4, ..whole },
        Second { letters: 76, rows: 0, cautions: 3, ..whole },
        Second { letters: 50, rows: 0, cautions: 2, more: false, ..whole },
        short,
        Second { letters: 90, ..short },
        Second { letters: 76, rows: 3, cautions: 4, ..short },
        Second { letters: 76, rows: 2, cautions: 3, ..short },
        Second { letters: 50, rows: 0, cautions: 3, ..short },
        Second { letters: 50, rows: 0, cautions: 3, more: false, ..short },
    ]
};

impl Leaf<'_, '_> {
    pub(super) fn landscaper(&self) -> Vec<Block> {
        let mut heights = Vec::new();
        // the wall along the run says them where they vary
        if self.of.elevation_to_build().is_none() {
            self.of.short_heights(&mut heights);
        }
        let room = PAGE.less(HEAD);
        // the same in every layout
        let mut to_build = Vec::new();
        self.of.height_to_build(&mut to_build);
        to_build.extend(self.of.steps_in_short().map(Block::Paragraph));
        to_build.extend(self.of.picture_to_build());
        let first = first_that_fits(FIRST, room, |first| self.height_page(first, &to_build, &heights));
        let told = heights.first().is_some_and(|heading| first.contains(heading));
        let left = if told { &[][..] } else { &heights };
        if fits(&first, room) {
            return reader_pages(vec![first, self.work_page(PAGE.less(FOOT), left)], PAGE);
        }
        // a first page that runs over goes on on the second
        let room = PAGE.times(2.0).less(HEAD).less(FOOT).less(Space::lines(4.0)).after(&first);
        let mut blocks = first;
        blocks.extend(self.work_page(room, &[]));
        blocks
    }

    /// The verdict, the height to build to, the picture, the heights, and where to stop.
    fn height_page(&self, first: First, to_build: &[Block], heights: &[Block]) -> Vec<Block> {
        let a = self.of;
        let stops: Vec<&Task> = a.tasks(Some(Sheet::Landscaper)).filter(|t| t.hold).collect();
        let roomy = first.letters > 100;
        let mut blocks = self.danger_blocks(first.letters.min(200));
        blocks.push(a.verdict());
        let reasons: Vec<String> = a.short_reasons().into_iter().take(if roomy { 4 } else { 2 }).collect();
        if !reasons.is_empty() {
            blocks.push(Block::Paragraph(a.word_with("text.because_of", &[("list", &reasons.join("; "))])));
        }
        blocks.extend(self.stretch_table(if roomy { 6 } else { 3 }));
        blocks.extend(to_build.iter().cloned());
        if first.heights {
            blocks.extend(heights.iter().cloned());
        }
        if !stops.is_empty() {
            blocks.push(a.heading("heading.stop_points"));
            blocks.push(Block::Checks(stops.iter().map(|task| a.short_check(task, first.letters)).collect()));
        }
        blocks
    }

    /// The checklist, the layers, material, dangers and names.
    fn work_page(&self, room: Space, heights: &[Block]) -> Vec<Block> {
        let a = self.of;
        let tasks: Vec<&Task> = a.tasks(Some(Sheet::Landscaper)).filter(|t| !t.hold).collect();
        let names = ["blank.homeowner", "blank.exterior", "blank.checked_by"];
        let elevation = a.elevation_block();
        // whole sentences are worth more than the drawing; where heights vary it stands on the first page
        let slopes = a.site.slopes();
        let levels = SECOND.into_iter().filter(|second| !second.drawn || second.letters >= 140 && !slopes);
        first_that_fits(levels, room, |second| {
            // the wall drawn along the run says the heights too
            let mut blocks = match (&elevation, second.drawn) {
                (Some(elevation), true) => vec![elevation.clone()],
                _ if second.more => heights.to_vec(),
                _ => Vec::new(),
            };
            if !tasks.is_empty() {
                blocks.push(a.heading("heading.checklist"));
                blocks.extend(a.by_phase(&tasks, |task| a.short_check(task, second.letters)));
            }
            a.layers_line(&mut blocks);
            self.job.crew_lines(&mut blocks, second.more);
            blocks.extend(a.material_rows(Sheet::Landscaper, second.rows, second.letters));
            blocks.extend(a.few_cautions(Sheet::Landscaper, second.cautions));
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
        let stays = built && (go_ahead || self.only_rails_missing());
        match planned {
            Some(_) if stays => blocks.push(Block::Paragraph(self.word("text.built_stays"))),
            Some(planned) if go_ahead => {
                blocks.push(Block::Figure(self.word_with("text.build_as_planned", &[("planned", &planned)])));
            }
            planned => {
                // the highest that may be, where it is known; what was planned only as what it is not
                if let Some(headline @ Headline::Lower { below: Some(_), .. }) = self.headline() {
                    blocks.push(Block::Figure(self.headline_in_words(&headline)));
                } else if let Some(highest) = self.highest_in_words() {
                    blocks.push(Block::Figure(self.word_with("text.build_no_higher", &[("highest", &highest)])));
                }
                if let Some(planned) = planned {
                    let key = if built { "text.built_not_agreed" } else { "text.planned_not_agreed" };
                    blocks.push(Block::Paragraph(self.word_with(key, &[("planned", &planned)])));
                }
            }
        }
        if !stays {
            blocks.push(Block::Blank(self.word_with("blank.agreed_height", &[("mark", &mark)])));
            blocks.push(Block::Blank(self.word("blank.agreed_by")));
        }
    }

    /// Which height is not agreed, and which is the highest that may be, in a line or two; nothing where the height stays.
    pub(crate) fn not_agreed_in_short(&self) -> Option<String> {
        let built = self.is_built();
        if self.settled.verdict == Verdict::GoAhead || built && self.only_rails_missing() {
            return None;
        }
        let key = if built { "text.built_not_agreed_short" } else { "text.planned_not_agreed_short" };
        let planned = self.word_with(key, &[("planned", &self.planned_height()?)]);
        let highest =
            self.highest_in_words().map(|highest| self.word_with("text.highest_short", &[("highest", &highest)]));
        Some(highest.map_or(planned.clone(), |highest| format!("{planned} {highest}")))
    }

    /// The highest top of the surface that holds, in words: at both ends, if they differ. Nothing where lowering alone is not
    /// known to do.
    fn highest_in_words(&self) -> Option<String> {
        let by = self.build_to().lower?;
        if let (Some(line), Some(length)) = (self.site.line(Level::Finish).filter(|l| !l.is_level()), self.site.length)
        {
            let at = |offset| self.depth_words(Elevation::MARK.above(line.at(offset)) + by);
            let (left, right) = (at(Length::ZERO), at(length));
            return Some(self.word_with("label.at_both_ends", &[("left", &left), ("right", &right)]));
        }
        self.site.levels.above(Level::Mark, Level::Finish).map(|h| self.depth_words(h.up + by))
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
                laid.layer.what.to_string()
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
