//! The facts that are computed from the answers, by name.

use super::water::END_WORDS;
use crate::flow::Kind;
use crate::wall::Level;

/// A derived fact that rules may use.
#[derive(Debug)]
pub struct Fact {
    /// Its name.
    pub name: &'static str,
    /// Its kind.
    pub kind: FactKind,
    /// What it means.
    pub means: &'static str,
}

/// Kinds of facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FactKind {
    /// The height of the first level above the second, where both are known.
    Height(Level, Level),
    /// A height of something above the finish, at its own place.
    OverFinish,
    /// Another length.
    Length,
    /// A slope.
    Slope,
    /// A number.
    Number,
    /// Yes or no.
    YesNo,
    /// One of these.
    OneOf(&'static [&'static str]),
}

impl FactKind {
    /// The kind as conditions see it.
    #[must_use]
    pub fn kind(self) -> Kind {
        match self {
            FactKind::Height(..) | FactKind::OverFinish | FactKind::Length => Kind::Length,
            FactKind::Slope => Kind::Slope,
            FactKind::Number => Kind::Number,
            FactKind::YesNo => Kind::YesNo,
            FactKind::OneOf(ids) => Kind::OneOf(ids.iter().map(|id| (*id).to_owned()).collect()),
        }
    }

    /// Whether the number grows (`1`), shrinks (`-1`) or stays when the finish is lowered.
    #[must_use]
    pub fn when_lowered(self) -> i64 {
        match self {
            FactKind::Height(_, Level::Finish) | FactKind::OverFinish => 1,
            FactKind::Height(Level::Finish, _) => -1,
            _ => 0,
        }
    }
}

pub(super) const EXIT_KINDS: &[&str] = &["siding_bottom", "weep_screed", "stucco_edge", "weep_holes", "masonry_face"];

/// The facts computed here, in the order of [`Site::facts`](super::Site::facts).
pub const FACTS: &[Fact] = &[
    Fact {
        name: "exit.above_finish",
        kind: FactKind::Height(Level::Exit, Level::Finish),
        means: "the lowest place where water behind the cladding leaves, above the finished surface",
    },
    Fact {
        name: "finish.above_exit",
        kind: FactKind::Height(Level::Finish, Level::Exit),
        means: "the same with the sign turned: how far the surface covers the exit",
    },
    Fact {
        name: "exit.above_ground",
        kind: FactKind::Height(Level::Exit, Level::Ground),
        means: "the exit above the ground at the wall",
    },
    Fact {
        name: "wood.above_finish",
        kind: FactKind::Height(Level::Wood, Level::Finish),
        means: "the bottom of the lowest wood above the finished surface",
    },
    Fact {
        name: "wood.above_ground",
        kind: FactKind::Height(Level::Wood, Level::Ground),
        means: "the bottom of the lowest wood above the ground at the wall",
    },
    Fact {
        name: "finish.above_wood",
        kind: FactKind::Height(Level::Finish, Level::Wood),
        means: "how far the finished surface stands above the bottom of the lowest wood",
    },
    Fact {
        name: "exit.above_wood",
        kind: FactKind::Height(Level::Exit, Level::Wood),
        means: "the exit above the bottom of the lowest wood; positive means that wood shows below the cladding, or a slip of the tape",
    },
    Fact {
        name: "finish.above_threshold",
        kind: FactKind::Height(Level::Finish, Level::Mark),
        means: "how far the finished surface stands above the threshold; no value without a door",
    },
    Fact {
        name: "threshold.above_finish",
        kind: FactKind::Height(Level::Mark, Level::Finish),
        means: "the step at the door; no value without a door",
    },
    Fact {
        name: "threshold.above_ground",
        kind: FactKind::Height(Level::Mark, Level::Ground),
        means: "the threshold above the ground; no value without a door",
    },
    Fact {
        name: "finish.above_ground",
        kind: FactKind::Height(Level::Finish, Level::Ground),
        means: "the fill against the wall",
    },
    Fact {
        name: "window.above_finish",
        kind: FactKind::OverFinish,
        means: "the lowest window sill above the finished surface, there",
    },
    Fact {
        name: "gas_vent.above_finish",
        kind: FactKind::OverFinish,
        means: "the lowest gas vent above the finished surface, there",
    },
    Fact {
        name: "dryer_vent.above_finish",
        kind: FactKind::OverFinish,
        means: "the lowest dryer vent above the finished surface, there",
    },
    Fact {
        name: "other_door.least_step",
        kind: FactKind::OverFinish,
        means: "the least step at another door; negative if the surface stands above its threshold",
    },
    Fact { name: "other_door.most_step", kind: FactKind::Length, means: "the highest step at another door" },
    Fact {
        name: "exit.at_worst_above_finish",
        kind: FactKind::Length,
        means: "exit.above_finish less the change of level along the wall: what may be left at the worst place",
    },
    Fact {
        name: "measure.conflict",
        kind: FactKind::Length,
        means: "how far two ways of measuring the same height disagree",
    },
    Fact { name: "outer.below", kind: FactKind::Length, means: "the outer edge of the work below the ground outside" },
    Fact { name: "outer.drop", kind: FactKind::Length, means: "the outer edge of the work above the ground outside" },
    Fact {
        name: "landing.spare_width",
        kind: FactKind::Length,
        means: "how much wider the work is than the door it lies at",
    },
    Fact { name: "fall.away", kind: FactKind::Slope, means: "the fall away from the wall; negative towards it" },
    Fact {
        name: "door.risers",
        kind: FactKind::Number,
        means: "equal risers up to the threshold, none higher than the region's limit: from the ground for steps and landings, else from the finished surface",
    },
    Fact { name: "exit.kind", kind: FactKind::OneOf(EXIT_KINDS), means: "how water leaves this kind of wall" },
    Fact {
        name: "trace.outside",
        kind: FactKind::YesNo,
        means: "water from all places of the wall leaves it: from its face, behind the cladding, at a door, in channels",
    },
    Fact {
        name: "trace.held_behind",
        kind: FactKind::YesNo,
        means: "water from behind the cladding or from a channel is held by the work",
    },
    Fact {
        name: "trace.held_at_door",
        kind: FactKind::YesNo,
        means: "water from behind the trim at the door is held by the work",
    },
    Fact {
        name: "trace.face",
        kind: FactKind::OneOf(END_WORDS),
        means: "where a drop ends that starts on the face of the cladding",
    },
    Fact {
        name: "trace.behind",
        kind: FactKind::OneOf(END_WORDS),
        means: "where a drop ends that starts behind the cladding",
    },
    Fact {
        name: "trace.door_head",
        kind: FactKind::OneOf(END_WORDS),
        means: "where a drop ends that starts behind the trim at the head of the door",
    },
    Fact {
        name: "trace.channel",
        kind: FactKind::OneOf(END_WORDS),
        means: "where a drop ends that starts in a channel beside a window or door",
    },
    Fact {
        name: "trace.joint",
        kind: FactKind::OneOf(END_WORDS),
        means: "where a drop ends that starts at the joint between work and wall",
    },
    Fact {
        name: "trace.surface",
        kind: FactKind::OneOf(END_WORDS),
        means: "where a drop ends that starts on the surface",
    },
    Fact { name: "exit.buried", kind: FactKind::YesNo, means: "the finished surface reaches or covers the exit" },
];
