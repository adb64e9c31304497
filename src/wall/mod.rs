//! The wall in numbers: heights and how well they are known, limits, steps.
//!
//! Knows nothing of questions. Lengths are exact; a height that was measured carries its tolerance.

mod along;
mod clearance;
mod coursing;
mod levels;
mod section;
mod steps;

pub use along::{Closest, Line};
pub use clearance::{Sense, Status, judge, shortfall};
pub use coursing::Coursing;
pub use levels::{DERIVED_READINGS, Height, Level, Levels, Reading};
pub use section::{Dimension, Drop, Face, Heights, Mark, Part, Piece, Point, Section, Stepped};
pub use steps::{Flight, FlightPlan, SlabFlight, StairFault, StairRules, flight, slabs};
