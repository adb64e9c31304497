//! Flights of equal risers.

use crate::units::Length;

/// A flight of equal risers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Flight {
    /// Number of risers.
    pub risers: i64,
    /// Height of each.
    pub riser: Length,
}

impl Flight {
    /// Treads between bottom and top: one fewer than risers (the last riser lands on the top).
    #[must_use]
    pub fn treads(self) -> i64 {
        (self.risers - 1).max(0)
    }

    /// Length of the flight on the ground for this tread.
    #[must_use]
    pub fn run(self, tread: Length) -> Length {
        tread * self.treads()
    }
}

/// The fewest equal risers that climb `rise` with none higher than `most`. No risers for no rise;
/// nothing if `most` is not greater than zero.
#[must_use]
pub fn flight(rise: Length, most: Length) -> Option<Flight> {
    if most <= Length::ZERO {
        return None;
    }
    if rise <= Length::ZERO {
        return Some(Flight { risers: 0, riser: Length::ZERO });
    }
    let risers = (rise.steps() + most.steps() - 1) / most.steps();
    Some(Flight { risers, riser: Length::from_steps(rise.steps() / risers) })
}
