//! What keeps a fact from being known: noted while answers are read and facts computed, not listed a second time.

use super::facts::FactId;
use super::model::Site;
use super::parts::{Parts, SitePart};
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
        self.reads.iter().filter(move |(p, _)| *p == part).map(|(_, question)| *question)
    }

    /// Every question that was read.
    pub fn all_read(&self) -> impl Iterator<Item = QuestionId> + '_ {
        self.reads.iter().map(|(_, question)| *question)
    }

    /// Whether a question was read for a part.
    #[must_use]
    pub fn is_read_for(&self, part: SitePart, question: QuestionId) -> bool {
        self.read_for(part).any(|q| q == question)
    }

    /// The questions that a fact rests on, as far as its parts tell.
    pub fn rests_on(&self, fact: FactId) -> impl Iterator<Item = QuestionId> + '_ {
        let parts = self.rests[fact as usize];
        let heights = LEVELS.iter().any(|(_, part)| parts.has(*part));
        let along = move |part: SitePart| heights && matches!(part, SitePart::Slope | SitePart::OnTheLine);
        // whether readings agree hangs on all of them
        let all = parts == Parts::default();
        let of = self.reads.iter().filter(move |(part, _)| all || parts.has(*part) || along(*part));
        of.map(|(_, question)| *question)
    }

    /// The questions that keep a fact from being known: those that would give a level that nobody has measured, or else
    /// those that would tie two measured levels together; and those of everything else that the fact rests on.
    #[must_use]
    pub fn missing(&self, fact: FactId) -> Vec<QuestionId> {
        let parts = self.rests[fact as usize];
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
        let rest = [
            SitePart::Slope,
            SitePart::Fall,
            SitePart::Outer,
            SitePart::Length,
            SitePart::Depth,
            SitePart::DoorWidth,
            SitePart::Window,
            SitePart::GasVent,
            SitePart::DryerVent,
            SitePart::OtherDoor,
            SitePart::Places,
            SitePart::System,
            SitePart::ExitKind,
            SitePart::Joint,
            SitePart::Strip,
            SitePart::Drain,
            SitePart::Leaks,
            SitePart::Pan,
            SitePart::Barrier,
            SitePart::ChannelEnd,
            SitePart::Channels,
            SitePart::Feature,
            SitePart::Stage,
            SitePart::Footing,
            SitePart::GasMeter,
            SitePart::Maker,
            SitePart::Floor,
            SitePart::Ends,
            SitePart::Steps,
            SitePart::NoExit,
            SitePart::Void,
        ];
        for part in rest.into_iter().filter(|part| parts.has(*part)) {
            ids.extend(read(part));
        }
        ids
    }
}
