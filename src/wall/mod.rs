//! The wall in numbers: heights and how well they are known, limits, steps; and the wall as it is built.
//!
//! Knows nothing of questions, nor of what water does. Lengths are exact; a height that was measured carries its
//! tolerance. A [`Spec`] says what a wall is, an [`Assembly`] is that wall as pieces, a [`CrossSection`] shows it.

mod along;
mod assembly;
mod body;
mod clearance;
mod clip;
mod coursing;
mod elevation;
mod fault;
mod foot;
mod levels;
mod piece;
mod section;
mod spec;
mod steps;
mod usual;

pub use along::{Closest, Line};
pub use assembly::{Assembly, Cut};
pub use body::{Body, Under};
pub use clearance::{Sense, Status, judge, shortfall};
pub use coursing::Coursing;
pub use elevation::{FinishState, Lying, RunHole, RunKind, RunLine, RunSpec, RunStretch, RunView, Station};
pub use fault::{Fault, Faults};
pub use levels::{DERIVED_READINGS, Height, Level, Levels, Reading};
pub use piece::{Corners, Part, Piece, Point};
pub use section::{CrossSection, Cutout, Dimension, Drop, Heights, Mark, MarkKind, Shown, Side, View};
pub use spec::{Core, Edge, Fall, Joint, NOMINAL, Opened, Spec, Stepped, System};
pub use steps::{Flight, FlightPlan, SlabFlight, StairFault, StairRules, flight, slab_pounds, slabs};
pub use usual::Usual;
