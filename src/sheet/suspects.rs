//! Suspected ways of water on a sheet, and how to look.

use super::document::{Block, ListItem};
use crate::content::{Evidence, Remark, Suspect};
use crate::judge::{Assessment, Suspected};
use crate::names::DefinedId;
use crate::wall::Fault;
use crate::water::Start;

impl Assessment<'_> {
    /// The likeliest suspects, so many of them, with the order in which to look and the hose test; `whole` tells what speaks for
    /// each and what comes out and goes back.
    pub(super) fn suspects_part(&self, blocks: &mut Vec<Block>, most: usize, whole: bool) {
        let all = self.suspects();
        // without a sign, and without anything to open or lift, there is nothing to look for
        let called_for =
            [DefinedId::WorkToLift, DefinedId::WallToOpen, DefinedId::SignsSeen].iter().any(|id| self.certainly(*id));
        if all.is_empty() || !called_for {
            return;
        }
        let shown = &all[..all.len().min(most)];
        blocks.push(self.heading("heading.suspects"));
        blocks.push(Block::Paragraph(self.word("text.suspects")));
        blocks.push(Block::Numbered(shown.iter().map(|s| self.suspect_item(s, whole)).collect()));
        if whole {
            let mut order: Vec<&Suspected<'_>> = shown.iter().collect();
            order.sort_by_key(|s| s.row.damage);
            let item = |s: &&Suspected<'_>| ListItem { text: self.fill(&s.row.look), lines: Vec::new() };
            blocks.push(self.heading("heading.open_up"));
            blocks.push(Block::Paragraph(self.word("text.open_up")));
            blocks.push(Block::Numbered(order.iter().map(item).collect()));
        }
        self.hose_block(blocks, shown);
        let remarks = |list: Vec<&Remark>| {
            Block::Numbered(list.iter().map(|r| ListItem { text: self.fill(&r.say), lines: Vec::new() }).collect())
        };
        let lift = self.certainly(DefinedId::WorkToLift) || self.certainly(DefinedId::WallToOpen);
        let remove: Vec<&Remark> = self.to_remove().filter(|_| lift).collect();
        if whole && !remove.is_empty() {
            blocks.push(self.heading("heading.remove"));
            blocks.push(remarks(remove));
        }
        if whole {
            self.scope_remarks(blocks, usize::MAX);
        }
    }

    /// How the work may grow once the wall is open.
    pub(super) fn scope_remarks(&self, blocks: &mut Vec<Block>, most: usize) {
        let scope: Vec<&Remark> = self.scope().take(most).collect();
        if !scope.is_empty() {
            blocks.push(self.heading("heading.scope"));
            blocks.push(Block::Paragraph(self.word("text.scope")));
            let item = |r: &&Remark| ListItem { text: self.fill(&r.say), lines: Vec::new() };
            blocks.push(Block::Numbered(scope.iter().map(item).collect()));
        }
    }

    fn suspect_item(&self, suspected: &Suspected<'_>, whole: bool) -> ListItem {
        let mut lines = Vec::new();
        if let (true, Some(start), Some(path)) = (whole, suspected.row.start, &suspected.path) {
            lines.push(self.way_in_words(start, path));
        }
        let said = |list: &[&Evidence]| list.iter().map(|e| self.fill(&e.say)).collect::<Vec<_>>().join(" ");
        if !suspected.speaks_for.is_empty() {
            lines.push(self.word_with("suspect.for", &[("list", &said(&suspected.speaks_for))]));
        }
        if whole && !suspected.speaks_against.is_empty() {
            lines.push(self.word_with("suspect.against", &[("list", &said(&suspected.speaks_against))]));
        }
        lines.push(self.word_with("suspect.look", &[("look", &self.fill(&suspected.row.look))]));
        ListItem { text: self.fill(&suspected.row.what), lines }
    }

    /// The hose test: from the bottom upwards, one place at a time.
    fn hose_block(&self, blocks: &mut Vec<Block>, shown: &[Suspected<'_>]) {
        let mut places: Vec<&Suspected<'_>> = shown.iter().filter(|s| !s.row.wet.is_empty()).collect();
        // what begins above has no place on the traced wall: it stands in the content from the bottom up
        let place = |row: &Suspect| match row.start {
            None => self.content.suspects.iter().position(|other| other.id == row.id),
            Some(_) => None,
        };
        places.sort_by_key(|s| (height_of(s.row), place(s.row)));
        if places.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.hose_test"));
        if self.certainly(DefinedId::HoseDangerous) {
            blocks.push(Block::Caution { text: self.word("text.no_hose_test"), source: String::new() });
            return;
        }
        blocks.push(Block::Paragraph(self.word("text.hose_test")));
        let item = |s: &&Suspected<'_>| ListItem { text: self.fill(&s.row.wet), lines: Vec::new() };
        blocks.push(Block::Numbered(places.iter().map(item).collect()));
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
