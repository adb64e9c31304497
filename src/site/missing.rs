//! What keeps a fact from being known: noted while answers are read and facts computed, not listed a second time.

use super::facts::FactId;
use super::model::Site;
use super::parts::{Parts, Read, Rests, SitePart};
use crate::names::QuestionId;
use crate::wall::Level;

/// The heights, with their parts.
const LEVELS: [(Level, SitePart); 5] = [
    (Level::Exit, SitePart::Exit),
    (Level::Finish, SitePart::Finish),
    (Level::Ground, SitePart::Ground),
    (Level::Wood, SitePart::Wood),
    (Level::OldSurface, SitePart::OldSurface),
];

impl Site {
    /// The questions that were read for a part, in the order in which they were read.
    pub fn read_for(&self, part: SitePart) -> impl Iterator<Item = QuestionId> + '_ {
        self.reads.iter().filter(move |read| read.part == part).map(|read| read.question)
    }

    /// Every question that was read.
    pub fn all_read(&self) -> impl Iterator<Item = QuestionId> + '_ {
        self.reads.iter().map(|read| read.question)
    }

    /// Whether of a question that was read only the answer counts: without one it is the same whether it is asked or not.
    #[must_use]
    pub fn only_answer_counts(&self, question: QuestionId) -> bool {
        self.reads.iter().filter(|read| read.question == question).all(|read| read.only_answer)
    }

    /// Whether a question was read for a part.
    #[must_use]
    pub fn is_read_for(&self, part: SitePart, question: QuestionId) -> bool {
        self.read_for(part).any(|q| q == question)
    }

    /// The questions that a fact rests on: without another answer to one of them it stays as it is.
    pub fn rests_on(&self, fact: FactId) -> impl Iterator<Item = QuestionId> + '_ {
        self.reads_behind(fact).map(|(_, question)| question)
    }

    /// Of these the ones that it rests on first: those that keep it from being known.
    pub(crate) fn rests_first_on(&self, fact: FactId) -> impl Iterator<Item = QuestionId> + '_ {
        self.reads_in(self.rests[fact as usize].on).map(|(_, question)| question)
    }

    /// All of them with the part for which each was read.
    pub(crate) fn reads_behind(&self, fact: FactId) -> impl Iterator<Item = (SitePart, QuestionId)> + '_ {
        let Rests { on, besides } = self.rests[fact as usize];
        self.reads_in(on.and(besides))
    }

    fn reads_in(&self, parts: Parts) -> impl Iterator<Item = (SitePart, QuestionId)> + '_ {
        let heights = LEVELS.iter().any(|(_, part)| parts.has(*part));
        let along = move |part: SitePart| heights && matches!(part, SitePart::Slope | SitePart::OnTheLine);
        // whether readings agree hangs on all of them
        let all = parts == Parts::default();
        let of = self.reads.iter().filter(move |Read { part, .. }| all || parts.has(*part) || along(*part));
        of.map(|read| (read.part, read.question))
    }

    /// The questions that keep a fact from being known: those that would give a level that nobody has measured, or else
    /// those that would tie two measured levels together; and those of everything else that the fact rests on.
    #[must_use]
    pub fn missing(&self, fact: FactId) -> Vec<QuestionId> {
        let parts = self.rests[fact as usize].on;
        let mut ids: Vec<QuestionId> = Vec::new();
        let read = |part: SitePart| self.read_for(part);
        let no_door = parts.has(SitePart::Door) && self.door.is_none();
        if no_door {
            ids.extend(read(SitePart::Door));
        }
        let levels = LEVELS.iter().filter(|(_, part)| parts.has(*part));
        let (mut any, mut unknown) = (false, false);
        for (level, part) in levels {
            any = true;
            let known = self.levels.has(*level) || self.along.iter().any(|(l, _)| l == level);
            if !known && !no_door {
                unknown = true;
                ids.extend(read(*part));
            }
        }
        if any && !unknown && !no_door {
            // two measured levels that nothing joins yet: any reading may be the missing link
            for part in [SitePart::Ground, SitePart::OldSurface, SitePart::Finish, SitePart::Exit, SitePart::Slope] {
                ids.extend(read(part));
            }
        }
        // of everything else all that was read for it, so that no part can be forgotten here
        let seen = |part: SitePart| {
            let elsewhere = matches!(part, SitePart::Door | SitePart::HasStrip | SitePart::OnTheLine);
            !elsewhere && LEVELS.iter().all(|(_, level)| *level != part)
        };
        let rest = self.reads.iter().filter(|read| parts.has(read.part) && seen(read.part));
        ids.extend(rest.map(|read| read.question));
        ids
    }
}
