//! What was read from which questions: what keeps a fact from being known is noted while it is read and computed, not
//! listed a second time.

use super::{FactId, Site};
use crate::names::QuestionId;
use crate::wall::Level;

/// A part of the site that questions give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Part {
    /// The height of the exit.
    Exit,
    /// The height of the finish.
    Finish,
    /// The height of the ground.
    Ground,
    /// The height of the wood.
    Wood,
    /// The height of what lies there today.
    OldSurface,
    /// What tells whether heights change along the wall.
    Slope,
    /// Whether there is a door.
    Door,
    /// Which way the surface falls, and how much.
    Fall,
    /// The outer edge.
    Outer,
    /// The length along the wall.
    Length,
    /// The depth out from the wall.
    Depth,
    /// The width of the door.
    DoorWidth,
    /// Window sills.
    Window,
    /// Gas vents.
    GasVent,
    /// Dryer vents.
    DryerVent,
    /// Another door.
    OtherDoor,
    /// Things with their places along the wall.
    Places,
    /// How the cladding drains.
    System,
    /// What the exit is.
    ExitKind,
    /// How the work meets the wall.
    Joint,
    /// A drain channel.
    Drain,
    /// A hollow behind the work, a joint that has opened.
    Leaks,
    /// The pan below the door.
    Pan,
    /// The barrier.
    Barrier,
    /// Where channels beside doors and windows end.
    ChannelEnd,
    /// Whether there are such channels.
    Channels,
    /// What is built.
    Feature,
    /// Planned or built.
    Stage,
    /// The footing.
    Footing,
    /// Heights read from the mark itself, which lie on one line with the ends of a sloping wall.
    OnTheLine,
}

/// The heights, with their parts.
const LEVELS: [(Level, Part); 5] = [
    (Level::Exit, Part::Exit),
    (Level::Finish, Part::Finish),
    (Level::Ground, Part::Ground),
    (Level::Wood, Part::Wood),
    (Level::OldSurface, Part::OldSurface),
];

/// A set of parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Parts(u32);

impl Parts {
    /// These and one more.
    #[must_use]
    pub fn with(self, part: Part) -> Parts {
        Parts(self.0 | 1 << part as u8)
    }

    /// These and those.
    #[must_use]
    pub fn and(self, others: Parts) -> Parts {
        Parts(self.0 | others.0)
    }

    /// Whether a part is among them.
    #[must_use]
    pub fn has(self, part: Part) -> bool {
        self.0 & 1 << part as u8 != 0
    }
}

impl Part {
    /// The part that gives a level.
    pub(super) fn of(level: Level) -> Part {
        match level {
            Level::Mark => Part::Door,
            Level::Exit => Part::Exit,
            Level::Finish => Part::Finish,
            Level::Ground => Part::Ground,
            Level::Wood => Part::Wood,
            Level::OldSurface => Part::OldSurface,
        }
    }
}

impl Site {
    /// The questions that were read for a part, in the order in which they were read.
    pub fn read_for(&self, part: Part) -> impl Iterator<Item = QuestionId> + '_ {
        self.reads.iter().filter(move |(p, _)| *p == part).map(|(_, question)| *question)
    }

    /// Whether a question was read for a part.
    #[must_use]
    pub fn is_read_for(&self, part: Part, question: QuestionId) -> bool {
        self.read_for(part).any(|q| q == question)
    }

    /// The questions that keep a fact from being known: those that would give a level that nobody has measured, or else
    /// those that would tie two measured levels together; and those of everything else that the fact rests on.
    #[must_use]
    pub fn missing(&self, fact: FactId) -> Vec<QuestionId> {
        let parts = self.rests[fact as usize];
        let mut ids: Vec<QuestionId> = Vec::new();
        let read = |part: Part| self.read_for(part);
        let no_door = parts.has(Part::Door) && self.door.is_none();
        if no_door {
            ids.extend(read(Part::Door));
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
            for part in [Part::Ground, Part::OldSurface, Part::Finish, Part::Exit, Part::Slope] {
                ids.extend(read(part));
            }
        }
        let rest = [
            Part::Slope,
            Part::Fall,
            Part::Outer,
            Part::Length,
            Part::Depth,
            Part::DoorWidth,
            Part::Window,
            Part::GasVent,
            Part::DryerVent,
            Part::OtherDoor,
            Part::Places,
            Part::System,
            Part::ExitKind,
            Part::Joint,
            Part::Drain,
            Part::Leaks,
            Part::Pan,
            Part::Barrier,
            Part::ChannelEnd,
            Part::Channels,
            Part::Feature,
            Part::Stage,
            Part::Footing,
        ];
        for part in rest.into_iter().filter(|part| parts.has(*part)) {
            ids.extend(read(part));
        }
        ids
    }
}
