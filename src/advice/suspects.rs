//! Built work that leaks: by which ways the water may get in, what speaks for each, and how to find out.

use super::assess::Assessment;
use super::document::{Block, Point as Item};
use super::water::start_word;
use super::water_rows::{Evidence, Remark, Suspect};
use crate::flow::Truth;
use crate::water::{Fault, Faults, Path, Start, Wall};

/// A suspected way.
#[derive(Debug, Clone)]
pub struct Suspected<'c> {
    /// The row.
    pub row: &'c Suspect,
    /// The way of the drop, on the wall with these faults; nothing for what does not come through the foot.
    pub path: Option<Path>,
    /// What speaks for it.
    pub speaks_for: Vec<&'c Evidence>,
    /// What speaks against it.
    pub speaks_against: Vec<&'c Evidence>,
    /// Weights for less weights against.
    pub score: i64,
}

/// How many suspects are shown to a homeowner, and to the trade that opens the wall.
const FEW: usize = 3;
const MANY: usize = 6;

impl<'c> Assessment<'c> {
    /// The ways that the water may take into a built wall, the likeliest first; of equal ones, first the one
    /// that is seen with the least damage. A way that the trace shows to end outside is none.
    #[must_use]
    pub fn suspects(&self) -> Vec<Suspected<'c>> {
        if !self.says("stage", &["built"]) {
            return Vec::new();
        }
        let holds = |e: &&Evidence| e.when.eval(&self.values) == Truth::Yes;
        let mut list: Vec<Suspected<'c>> = self
            .content
            .suspects
            .iter()
            .filter(|row| row.when.eval(&self.values).is_possible())
            .filter_map(|row| {
                let path = match row.start {
                    Some(start) => Some(self.worst_path(start, row.faults).filter(|p| !p.end.is_outside())?),
                    None => None,
                };
                let speaks_for: Vec<&Evidence> = row.speaks_for.iter().filter(holds).collect();
                let speaks_against: Vec<&Evidence> = row.speaks_against.iter().filter(holds).collect();
                let sum = |list: &[&Evidence]| list.iter().map(|e| e.weight).sum::<i64>();
                let score = sum(&speaks_for) - sum(&speaks_against);
                Some(Suspected { row, path, speaks_for, speaks_against, score })
            })
            .collect();
        list.retain(|s| !s.speaks_for.is_empty());
        list.sort_by_key(|s| (std::cmp::Reverse(s.score), s.row.damage));
        list
    }

    /// The worst way from a start on the walls that fit the answers, with these faults besides.
    fn worst_path(&self, start: Start, faults: Faults) -> Option<Path> {
        let with = |wall: Wall| Wall { faults: wall.faults.and(faults), ..wall }.path(start);
        self.site.walls(start, self.content.per_reading).into_iter().filter_map(with).max_by_key(|p| p.end)
    }

    /// What comes out and goes back, in working order.
    pub fn to_remove(&self) -> impl Iterator<Item = &'c Remark> {
        self.content.remove.iter().filter(|r| r.when.eval(&self.values).is_yes())
    }

    /// How the work can grow once the wall is open.
    pub fn scope(&self) -> impl Iterator<Item = &'c Remark> {
        self.content.scope.iter().filter(|r| r.when.eval(&self.values).is_yes())
    }

    pub(super) fn suspects_block(&self, blocks: &mut Vec<Block>, whole: bool) {
        let all = self.suspects();
        // without a sign, and without anything to open or lift, there is nothing to look for
        let called_for = ["work.to_lift", "wall.to_open", "signs.seen"].iter().any(|name| self.says_yes(name));
        if all.is_empty() || !called_for {
            return;
        }
        let shown = &all[..all.len().min(if whole { MANY } else { FEW })];
        blocks.push(self.heading("heading.suspects"));
        blocks.push(Block::Paragraph(self.word("text.suspects")));
        blocks.push(Block::Numbered(shown.iter().map(|s| self.suspect_item(s)).collect()));
        if whole {
            let mut order: Vec<&Suspected<'_>> = shown.iter().collect();
            order.sort_by_key(|s| s.row.damage);
            let item = |s: &&Suspected<'_>| Item { text: self.fill(&s.row.look), lines: Vec::new() };
            blocks.push(self.heading("heading.open_up"));
            blocks.push(Block::Paragraph(self.word("text.open_up")));
            blocks.push(Block::Numbered(order.iter().map(item).collect()));
        }
        self.hose_block(blocks, shown);
        let remarks = |list: Vec<&Remark>| {
            Block::Numbered(list.iter().map(|r| Item { text: self.fill(&r.say), lines: Vec::new() }).collect())
        };
        let lift = self.says_yes("work.to_lift") || self.says_yes("wall.to_open");
        let remove: Vec<&Remark> = self.to_remove().filter(|_| lift).collect();
        if whole && !remove.is_empty() {
            blocks.push(self.heading("heading.remove"));
            blocks.push(remarks(remove));
        }
        let scope: Vec<&Remark> = self.scope().collect();
        if !scope.is_empty() {
            blocks.push(self.heading("heading.scope"));
            blocks.push(Block::Paragraph(self.word("text.scope")));
            blocks.push(remarks(scope));
        }
    }

    fn suspect_item(&self, suspected: &Suspected<'_>) -> Item {
        let mut lines = Vec::new();
        if let (Some(start), Some(path)) = (suspected.row.start, &suspected.path) {
            lines.push(self.way_in_words(start, path));
        }
        let said = |list: &[&Evidence]| list.iter().map(|e| self.fill(&e.say)).collect::<Vec<_>>().join(" ");
        if !suspected.speaks_for.is_empty() {
            lines.push(self.word_with("suspect.for", &[("list", &said(&suspected.speaks_for))]));
        }
        if !suspected.speaks_against.is_empty() {
            lines.push(self.word_with("suspect.against", &[("list", &said(&suspected.speaks_against))]));
        }
        lines.push(self.word_with("suspect.look", &[("look", &self.fill(&suspected.row.look))]));
        Item { text: self.fill(&suspected.row.what), lines }
    }

    /// The hose test: from the bottom upwards, one place at a time.
    fn hose_block(&self, blocks: &mut Vec<Block>, shown: &[Suspected<'_>]) {
        let mut places: Vec<&Suspected<'_>> = shown.iter().filter(|s| !s.row.wet.is_empty()).collect();
        places.sort_by_key(|s| height_of(s.row));
        if places.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.hose_test"));
        if self.says_yes("hose.dangerous") {
            blocks.push(Block::Caution { text: self.word("text.no_hose_test"), source: String::new() });
            return;
        }
        blocks.push(Block::Paragraph(self.word("text.hose_test")));
        let item = |s: &&Suspected<'_>| Item { text: self.fill(&s.row.wet), lines: Vec::new() };
        blocks.push(Block::Numbered(places.iter().map(item).collect()));
    }

    /// The name of a start, for JSON and tests.
    #[must_use]
    pub fn start_in_words(&self, start: Start) -> String {
        self.word(start_word(start))
    }
}

/// How high on the wall a way begins, for the order of a hose test.
fn height_of(row: &Suspect) -> u8 {
    match row.start {
        Some(Start::Surface) => 0,
        Some(Start::Joint) => 1,
        Some(Start::Behind | Start::Face) if !row.faults.has(Fault::RoofEndInside) => 2,
        Some(Start::Channel) => 3,
        Some(Start::DoorHead) if !row.faults.has(Fault::PanMissing) => 2,
        Some(Start::DoorHead) => 4,
        None => 5,
        _ => 6,
    }
}
