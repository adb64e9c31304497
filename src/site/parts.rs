//! The parts of a site that questions give, and that facts rest on.

use crate::names::QuestionId;
use crate::wall::Level;

/// A part of the site that questions give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum SitePart {
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
    /// A drained strip between the work and the wall.
    Strip,
    /// What tells whether there is such a strip.
    HasStrip,
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
    /// Gas meters and gas pipes.
    GasMeter,
    /// What the maker of the cladding asks for.
    Maker,
    /// The floor inside.
    Floor,
    /// The drop at the ends of the work.
    Ends,
    /// The steps as they are planned or built.
    Steps,
    /// Whether the wall has an exit at all.
    NoExit,
    /// The size of the hollow behind the work.
    Void,
    /// A drain channel and the rain that comes to it.
    Storm,
    /// How deep a channel and a strip along the wall lie.
    Trench,
}

/// What a fact rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Rests {
    /// The parts that keep it from being known where they are not.
    pub(super) on: Parts,
    /// The parts that it may be otherwise with besides.
    pub(super) besides: Parts,
}

/// A question that was read for a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Read {
    /// The part.
    pub(super) part: SitePart,
    /// The question.
    pub(super) question: QuestionId,
    /// Whether only its answer counts: without one it is the same whether it is asked or not.
    pub(super) only_answer: bool,
}

/// A set of parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Parts(u64);

impl Parts {
    /// These and one more.
    #[must_use]
    pub fn with(self, part: SitePart) -> Parts {
        Parts(self.0 | 1 << part as u8)
    }

    /// These and several more.
    #[must_use]
    pub fn with_all(self, parts: &[SitePart]) -> Parts {
        parts.iter().fold(self, |all, part| all.with(*part))
    }

    /// These and those.
    #[must_use]
    pub fn and(self, others: Parts) -> Parts {
        Parts(self.0 | others.0)
    }

    /// Whether a part is among them.
    #[must_use]
    pub fn has(self, part: SitePart) -> bool {
        self.0 & 1 << part as u8 != 0
    }
}

impl SitePart {
    /// The part that gives a level.
    pub(super) fn of(level: Level) -> SitePart {
        match level {
            Level::Mark => SitePart::Door,
            Level::Exit => SitePart::Exit,
            Level::Finish => SitePart::Finish,
            Level::Ground => SitePart::Ground,
            Level::Wood => SitePart::Wood,
            Level::OldSurface => SitePart::OldSurface,
        }
    }
}
