//! Quantities: what people measure, how they type it, how a tape shows it.
//!
//! Everything that is compared is a whole number of small steps, so that no rounding ever
//! turns a pass into a fail. Only [`Length::show`] and [`Slope::show`] round, and only for the eye.

mod amount;
mod length;
mod number;
mod slope;

pub use amount::{Area, KILOGRAMS_IN_POUND, Temperature, Volume};
pub use length::{Elevation, Length, LengthError};
pub use slope::{Slope, SlopeError};

/// The system in which lengths are shown, and in which a bare number is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Units {
    /// Feet, inches and fractions of an inch.
    #[default]
    Inch,
    /// Metres and millimetres.
    Metric,
}
