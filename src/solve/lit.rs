//! One statement.

use std::ops::Not;

/// A statement or its opposite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Lit(u32);

impl Lit {
    pub(super) fn of(var: usize) -> Lit {
        Lit(u32::try_from(var).unwrap_or(u32::MAX) << 1)
    }

    pub(super) fn var(self) -> usize {
        (self.0 >> 1) as usize
    }

    /// Whether it is a statement and not the opposite of one.
    pub(super) fn is_plain(self) -> bool {
        self.0 & 1 == 0
    }
}

impl Not for Lit {
    type Output = Lit;
    fn not(self) -> Lit {
        Lit(self.0 ^ 1)
    }
}
