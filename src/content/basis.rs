//! How a figure is known.

use crate::pack::packed;

/// How a figure was obtained.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// The standard's own text was read.
    Published,
    /// A page quoting the standard was read.
    Reported,
    /// Known, not checked.
    Memory,
    /// Common practice of the trade, no source.
    Practice,
}

packed!(enum Basis { 0: Published, 1: Reported, 2: Memory, 3: Practice });

impl Basis {
    /// The word in content and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Basis::Published => "published",
            Basis::Reported => "reported",
            Basis::Memory => "memory",
            Basis::Practice => "practice",
        }
    }
}

/// All of them, with their words in the content.
pub(crate) const BASES: [(&str, Basis); 4] = [
    ("published", Basis::Published),
    ("reported", Basis::Reported),
    ("memory", Basis::Memory),
    ("practice", Basis::Practice),
];
