//! Answers in building terms that are no heights.

use crate::units::Length;

/// How much heights change along the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LevelChange {
    /// Asked, and not known.
    #[default]
    Unknown,
    /// None, or a wall too short for the question to be asked.
    None,
    /// By so much.
    By(Length),
}

impl LevelChange {
    /// How far off the height at another place may be; `None` for any distance.
    pub(super) fn most(self) -> Option<Length> {
        match self {
            LevelChange::Unknown => None,
            LevelChange::None => Some(Length::ZERO),
            LevelChange::By(change) => Some(change),
        }
    }
}

/// Which way the surface falls, as it was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SaidFall {
    /// Away from the wall, by so much.
    Away(Length),
    /// Along the wall.
    Along,
    /// Not at all.
    None,
    /// Towards the wall.
    Towards,
}

/// The outer edge of the work.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Outer {
    /// Not known.
    #[default]
    Unknown,
    /// It ends at another wall.
    NoEdge,
    /// So far above the ground outside.
    Drop(Length),
    /// The ground outside stands higher; by how much, if known.
    Below(Option<Length>),
}

/// An open strip between the work and the wall, which takes the water of the wall.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Strip {
    /// None, or one that holds water: what counts is the surface.
    #[default]
    None,
    /// There is one, but how deep it lies or whether it drains is not known.
    Unknown,
    /// A drained one, so far below the surface.
    Below(Length),
    /// The work stands on posts, nothing of it is fixed to the wall, and an open gap stays behind it: what lies before the
    /// wall is the ground.
    Ground,
}
