//! Content and answers in, plain data out: assessment, what decides, ways, plan, price. No sentence, no layout.

mod again;
mod amounts;
mod assess;
mod bends;
mod between;
mod build_to;
mod change;
mod courses;
mod days;
mod decisive;
mod digging;
mod few;
mod first;
mod heard;
mod keep;
mod layers;
mod load;
mod lowering;
mod model;
mod moved;
mod nearest;
mod next;
mod open;
mod openings;
mod plan;
mod price;
mod questions;
mod reasons;
mod samples;
mod section;
mod stairs;
mod stretches;
mod suspects;
mod water;
mod ways;
mod why;

pub(crate) use again::Judging;
pub(crate) use amounts::TONNES_IN_SHORT_TON;
pub use amounts::{Amount, Entered, Quantity, Unit, totals};
pub use build_to::BuildTo;
pub use courses::Courses;
pub use days::Days;
pub use decisive::FindOut;
pub(crate) use decisive::MOST_OPEN;
pub use digging::Digging;
pub use first::{FirstStep, Headline};
pub use heard::{Grade, Owned, Standing};
pub use keep::Kept;
pub use layers::Laid;
pub use load::{ChannelLoad, Load, LoadRow};
pub use lowering::Lowered;
pub use model::{
    Along, Assessment, Clearance, Decisive, Exposure, Given, LogLine, Lowering, Notes, OpenPoint, Outcome, Photograph,
    Settled,
};
pub(crate) use model::{Judged, middle};
pub use nearest::{Change, Nearest, Remains};
pub use next::{Ranked, Upcoming};
pub(crate) use samples::{number_answer, representatives};

pub use openings::OpeningRow;
pub use plan::{Forecast, Job, Plan, Planned};
pub use price::{Cost, CostOf, Costs, Prices, Range};
pub use stairs::{Climb, Steps};
pub use stretches::Stretches;
pub use suspects::Suspected;
pub(crate) use water::is_fine;
pub use water::{AfterWork, WaterWay};
pub use ways::{Way, WayKind};
