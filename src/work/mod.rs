//! The work itself: in what order, on which days, with how much material.
//!
//! Knows nothing of questions. Durations are whole hours of a crew; dates are those of a calendar without a clock.
//!
//! ```
//! use wallfoot::work::{Activity, Network};
//! let activity = |hours, after: &[usize]| Activity { hours, after: after.to_vec() };
//! // dig 4 h; set the edge 2 h and bring the base 6 h after it; lay 8 h after both
//! let network = Network::new(vec![activity(4, &[]), activity(2, &[0]), activity(6, &[0]), activity(8, &[1, 2])])?;
//! let plan = network.schedule();
//! assert_eq!(plan.length, 18);
//! assert_eq!(plan.critical(), [0, 2, 3]);
//! assert_eq!(plan.slack(1), 4);
//! # Ok::<(), wallfoot::work::OrderError>(())
//! ```

mod calendar;
mod order;
mod quantities;
mod table;
mod weather;

pub use calendar::{Booked, Booking, Calendar, Open, ToBook};
pub use order::{Activity, Network, OrderError, Schedule};
pub use quantities::{
    bags_for, beads_from, exact_units, joint_volume, pieces_with_laps, rolls_for, units_to_cover, whole, with_waste,
};
pub use table::TableSlip;
pub use weather::{Day, Need, Reason, Record, WeatherError};
