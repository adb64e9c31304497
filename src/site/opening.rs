//! A door, window, vent or well of the wall, and how far it stands above the finish.

use crate::flow::{Placed, Value};
use crate::names::OpeningKind;
use crate::units::Length;

/// An opening of the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opening {
    /// What it is.
    pub kind: OpeningKind,
    /// Where it begins, from the left end of the work.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Its lowest edge below the mark: threshold, sill, lower edge or rim.
    pub below: Option<Length>,
}

impl Opening {
    pub(super) fn of(kind: OpeningKind, placed: Placed) -> Opening {
        let below = if kind == OpeningKind::MainDoor { Some(Length::ZERO) } else { placed.below };
        Opening { kind, from: placed.from, to: placed.to, below }
    }
}

/// How far something stands above the finish over its width: the least and the most, and how far off
/// each may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Over {
    /// Where it stands least above the finish.
    pub least: Length,
    /// Where it stands most.
    pub most: Length,
    /// How far off these may be.
    pub tolerance: Length,
}

impl Over {
    /// Everything that it may be, over the whole width.
    pub(super) fn value(self) -> Value {
        let (low, high) = (self.least - self.tolerance, self.most + self.tolerance);
        if low == high { Value::Is(low.steps()) } else { Value::Between(low.steps(), high.steps()) }
    }

    /// The finish over it instead.
    pub(super) fn turned(self) -> Over {
        Over { least: -self.most, most: -self.least, tolerance: self.tolerance }
    }
}
