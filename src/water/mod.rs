//! Water at the foot of a wall: where a drop ends up, and how much of it there is.
//!
//! A wall is a list of [`Piece`]s, each a line in x (out from the sheathing) and y (height). [`trace()`] follows
//! one drop along them by geometry and laps alone: which piece lies in front of which, where a line ends, what lies
//! below. It knows no rules, so it can disagree with them, and then both are said.
//!
//! ```
//! use wallfoot::units::Length;
//! use wallfoot::water::{End, Joint, Start, System, Wall};
//! let wall = Wall {
//!     exit: Length::inches(2),
//!     finish: Length::ZERO,
//!     ground: -Length::inches(6),
//!     joint: Joint::Closed,
//!     ..Wall::new(System::Siding)
//! };
//! assert_eq!(wall.path(Start::Behind).map(|path| path.end), Some(End::OnFinish));
//! let covered = Wall { finish: Length::inches(3), ..wall };
//! assert_eq!(covered.path(Start::Behind).map(|path| path.end), Some(End::BehindWork));
//! ```

mod build;
mod fault;
mod load;
mod trace;

pub use build::{Edge, Fall, Joint, Opened, Start, System, Wall};
pub use fault::{Fault, Faults};
pub use load::{Carried, Channel, Discharge, Hour, Runoff, driving_rain_index, rain_on_wall};
pub use trace::{ENDS, End, Medium, Path, Piece, Step, trace};
