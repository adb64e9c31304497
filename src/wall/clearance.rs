//! A measured number against a published limit.

use crate::pack::packed;

/// Which way a limit bounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// The measure must not be less.
    AtLeast,
    /// The measure must not be more.
    AtMost,
}

packed!(enum Sense { 0: AtLeast, 1: AtMost });

/// How a measure stands against a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Status {
    /// It meets the limit, whatever the measuring error.
    Passes,
    /// The limit lies inside the measuring error: too close to call, not a pass.
    Close,
    /// It misses the limit, whatever the measuring error.
    Fails,
    /// The measure is not known.
    Unknown,
    /// The limit does not apply here.
    Off,
}

/// Judges a measure that lies between `low` and `high` (both included).
#[must_use]
pub fn judge(sense: Sense, limit: i64, low: i64, high: i64) -> Status {
    let holds = |n: i64| match sense {
        Sense::AtLeast => n >= limit,
        Sense::AtMost => n <= limit,
    };
    match (holds(low), holds(high)) {
        (true, true) => Status::Passes,
        (false, false) => Status::Fails,
        _ => Status::Close,
    }
}

/// How much the middle of the measure misses the limit by; negative is what it has to spare.
#[must_use]
pub fn shortfall(sense: Sense, limit: i64, middle: i64) -> i64 {
    match sense {
        Sense::AtLeast => limit - middle,
        Sense::AtMost => middle - limit,
    }
}
