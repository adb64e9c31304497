//! The sheet of the trade that opens and closes the wall.

use super::document::{Block, Check};
use super::room::{FOOT, HEAD, PAGE, Space, first_that_fits};
use super::sheets::{Leaf, MOST_CAUTIONS};
use crate::content::{Sheet, Task, Verdict};

/// How much of it is told.
#[derive(Clone, Copy)]
struct Depth {
    /// Whether reasons stand with tasks, and what speaks for a suspect.
    whole: bool,
    /// Letters of a task.
    letters: usize,
    /// Suspects.
    suspects: usize,
    /// Rows of a table.
    rows: usize,
    /// Whether limits that are missed stand here too.
    limits: bool,
    /// Cautions.
    cautions: usize,
}

impl Depth {
    /// From all of it down to the least.
    const ALL: [Depth; 9] = {
        let whole = Depth { whole: true, letters: 400, suspects: 6, rows: 14, limits: true, cautions: MOST_CAUTIONS };
        let bare = Depth { whole: false, suspects: 4, rows: 12, ..whole };
        let short = Depth { letters: 90, suspects: 2, rows: 6, ..bare };
        [
            whole,
            Depth { suspects: 4, rows: 10, letters: 300, ..whole },
            bare,
            Depth { letters: 220, suspects: 3, rows: 10, ..bare },
            Depth { letters: 140, suspects: 3, rows: 8, ..bare },
            short,
            Depth { letters: 50, rows: 4, ..short },
            Depth { letters: 50, rows: 4, limits: false, cautions: 4, ..short },
            Depth { letters: 50, suspects: 1, rows: 3, limits: false, cautions: 3, ..short },
        ]
    };
}

impl Leaf<'_, '_> {
    pub(super) fn exterior(&self) -> Vec<Block> {
        if self.verdicts().all(|v| v == Verdict::GoAhead) {
            return self.nothing_to_open();
        }
        let mut blocks = self.scope_page();
        blocks.push(Block::Page);
        // a picture that does not fit at the foot of a page leaves a part of it empty
        let room = PAGE.times(3.0).less(FOOT).less(Space::lines(18.0));
        // the same in every layout
        let mut pictures = self.of.pictures();
        pictures.extend(self.of.joint_picture());
        blocks.extend(first_that_fits(Depth::ALL, room, |depth| self.rest(depth, &pictures)));
        blocks
    }

    /// One page where nothing speaks for opening the wall.
    fn nothing_to_open(&self) -> Vec<Block> {
        let a = self.of;
        let tasks: Vec<&Task> = a.tasks(Some(Sheet::Exterior)).collect();
        let room = PAGE.less(HEAD).less(FOOT).less(Space::lines(2.0));
        let (headline, pictures) = (a.headline(), a.pictures());
        first_that_fits([300, 200, 140, 100, 76, 50, 0], room, |length| {
            let mut blocks = vec![a.verdict()];
            blocks.extend(a.why_in_words(headline.as_ref()).map(Block::Paragraph));
            if length > 0 {
                blocks.extend(pictures.iter().cloned());
            }
            if length > 100 {
                a.short_limits(&mut blocks, 4);
            }
            if !tasks.is_empty() {
                blocks.push(a.heading("heading.checklist"));
                blocks.extend(a.by_phase(&tasks, |task| a.short_check(task, length)));
            }
            blocks.extend(a.few_cautions(Sheet::Exterior, if length > 76 { 2 } else { 1 }));
            self.names(&mut blocks);
            blocks
        })
    }

    /// What is to be done, in figures, where work stops, and how long it takes.
    fn scope_page(&self) -> Vec<Block> {
        let a = self.of;
        let stops: Vec<&Task> = a.tasks(Some(Sheet::Exterior)).filter(|t| t.hold).collect();
        // letters of a stop, reasons, remarks on how the work may grow, whether the ways to put it right are told
        let layouts = [
            (300, 5, 6, true),
            (200, 4, 6, true),
            (140, 4, 3, true),
            (100, 3, 3, true),
            (76, 3, 0, true),
            (76, 2, 0, false),
            (40, 1, 0, false),
        ];
        let headline = a.headline();
        first_that_fits(layouts, PAGE.less(HEAD), |(length, reasons, remarks, ways)| {
            let mut blocks = self.danger_blocks(length);
            blocks.push(a.verdict());
            blocks.extend(self.stretch_table(if length > 100 { 6 } else { 3 }));
            let list: Vec<String> = a.short_reasons().into_iter().take(reasons).collect();
            if !list.is_empty() {
                blocks.push(Block::Paragraph(a.word_with("text.because_of", &[("list", &list.join("; "))])));
            }
            blocks.extend(headline.as_ref().map(|h| Block::Figure(a.headline_in_words(h))));
            if ways {
                a.short_ways(&mut blocks);
            }
            self.job.scope(&mut blocks);
            a.scope_remarks(&mut blocks, remarks);
            if !stops.is_empty() {
                blocks.push(a.heading("heading.stop_points"));
                blocks.push(Block::Checks(stops.iter().map(|task| a.short_check(task, length)).collect()));
            }
            blocks
        })
    }

    /// The section as it has to be afterwards with the joint, where the water goes, on built work where it may get in; quantities and
    /// the checklist; material, weather, dangers and names.
    fn rest(&self, depth: Depth, pictures: &[Block]) -> Vec<Block> {
        let a = self.of;
        let tasks: Vec<&Task> = a.tasks(Some(Sheet::Exterior)).filter(|t| !t.hold).collect();
        let mut blocks = pictures.to_vec();
        if depth.whole {
            a.water_block(&mut blocks, false);
        } else {
            let mut line = Vec::new();
            a.water_line(&mut line);
            if !line.is_empty() {
                blocks.push(a.heading("heading.water"));
                blocks.extend(line);
            }
        }
        a.suspects_part(&mut blocks, depth.suspects, depth.whole);
        self.job.exterior_quantities(&mut blocks, depth.rows);
        if !tasks.is_empty() {
            blocks.push(a.heading("heading.checklist"));
            blocks.extend(a.by_phase(&tasks, |task| {
                let check = a.short_check(task, depth.letters);
                if depth.whole { Check { because: a.fill(&task.because), ..check } } else { check }
            }));
        }
        blocks.extend(a.material_rows(Sheet::Exterior, depth.rows, depth.letters));
        if depth.limits {
            a.short_limits(&mut blocks, depth.rows);
        }
        blocks.extend(a.few_cautions(Sheet::Exterior, depth.cautions));
        self.names(&mut blocks);
        blocks
    }

    fn names(&self, blocks: &mut Vec<Block>) {
        let keys = ["blank.homeowner", "blank.hardscape", "blank.checked_by"];
        blocks.push(self.of.heading("heading.who_to_call"));
        blocks.push(Block::Signatures(keys.iter().map(|key| self.of.word(key)).collect()));
    }
}
