//! Water at the foot of a wall: where a drop ends up, and how much of it there is.
//!
//! A wall is a [`crate::wall::Assembly`]: pieces, each a line in x (out from the sheathing) and y (height). [`trace()`]
//! follows one drop along them by geometry and laps alone: which piece lies in front of which, where a line ends, what
//! lies below. It knows no rules, so it can disagree with them, and then both are said.
//!
//! ```
//! use wallfoot::units::{Length, Units};
//! use wallfoot::wall::{Joint, Spec, System};
//! use wallfoot::water::{End, Start, path};
//! # let content = wallfoot::content::Content::load(&wallfoot::commands::sources(None, None)?, None)?;
//! // what is usual stands in the content
//! let usual = &content.usual;
//! let wall = Spec {
//!     exit: Length::inches(2),
//!     finish: Length::ZERO,
//!     ground: -Length::inches(6),
//!     joint: Joint::Closed,
//!     ..Spec::new(System::Siding, usual)
//! };
//! assert_eq!(path(&wall, Start::Behind, usual).map(|path| path.end), Some(End::OnFinish));
//! let covered = Spec { finish: Length::inches(3), ..wall };
//! assert_eq!(path(&covered, Start::Behind, usual).map(|path| path.end), Some(End::BehindWork));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod load;
mod start;
mod trace;

pub use load::{Carried, Channel, Discharge, Hour, LITRES_IN_GALLON, Runoff, driving_rain_index, rain_on_wall};
pub(crate) use start::end_of;
pub use start::{Start, path, path_on};
pub use trace::{ENDS, End, Path, Step, trace};
