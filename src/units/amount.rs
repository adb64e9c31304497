//! Areas, volumes and temperatures.

use super::{Length, Units};
use crate::pack::packed;

/// A pound is 0.45359237 kg exactly.
pub const KILOGRAMS_IN_POUND: f64 = 0.453_592_37;

/// An area, exact: a product of two lengths.
///
/// ```
/// use wallfoot::units::{Length, Units};
/// let patio = Length::inches(240).by(Length::inches(120));
/// assert_eq!(patio.show(Units::Inch), "200 ft2");
/// assert_eq!(patio.show(Units::Metric), "18.6 m2");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Area(i128);

/// A volume, exact: a product of an area and a length.
///
/// ```
/// use wallfoot::units::{Length, Units};
/// // a slab of 10 x 10 ft, 4 in thick: 33.33 ft3, 1.235 yd3 (arithmetic)
/// let slab = Length::inches(120).by(Length::inches(120)).by(Length::inches(4));
/// assert_eq!(slab.show(Units::Inch), "1.23 yd3");
/// assert_eq!(slab.show(Units::Metric), "0.94 m3");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Volume(i128);

/// A temperature, exact in whole degrees of both scales: counted in 1/180 of a degree Celsius from 0 °C.
///
/// ```
/// use wallfoot::units::{Temperature, Units};
/// assert_eq!(Temperature::fahrenheit(40).show(Units::Metric), "4 °C");
/// assert_eq!(Temperature::celsius(0), Temperature::fahrenheit(32));
/// assert!(Temperature::fahrenheit(40) > Temperature::celsius(4)); // 4.44 °C
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Temperature(i64);

packed!(struct Temperature(one));

impl Length {
    /// The area of a rectangle with these sides.
    #[must_use]
    pub fn by(self, other: Length) -> Area {
        Area(i128::from(self.steps()) * i128::from(other.steps()))
    }
}

impl Area {
    /// The volume of this area times a thickness.
    #[must_use]
    pub fn by(self, thickness: Length) -> Volume {
        Volume(self.0 * i128::from(thickness.steps()))
    }

    /// Square feet, for reports to machines.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // for the eye and for machines, not for a comparison
    pub fn as_square_feet(self) -> f64 {
        let foot = Length::inches(12).steps() as f64;
        self.0 as f64 / (foot * foot)
    }

    /// Square metres, for reports to machines.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // as above
    pub fn as_square_metres(self) -> f64 {
        let metre = Length::mm(1000).steps() as f64;
        self.0 as f64 / (metre * metre)
    }

    /// To whole square feet, or to a tenth of a square metre.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inch => format!("{:.0} ft2", self.as_square_feet()),
            Units::Metric => format!("{:.1} m2", self.as_square_metres()),
        }
    }
}

impl Volume {
    /// Cubic yards, for reports to machines.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // as above
    pub fn as_cubic_yards(self) -> f64 {
        let yard = Length::inches(36).steps() as f64;
        self.0 as f64 / (yard * yard * yard)
    }

    /// Cubic feet: what bags, hollows and the weight of stone are reckoned in.
    #[must_use]
    pub fn as_cubic_feet(self) -> f64 {
        self.as_cubic_yards() * 27.0
    }

    /// Cubic metres, for reports to machines.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // as above
    pub fn as_cubic_metres(self) -> f64 {
        let metre = Length::mm(1000).steps() as f64;
        self.0 as f64 / (metre * metre * metre)
    }

    /// To a hundredth of a cubic yard or cubic metre.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inch => format!("{:.2} yd3", self.as_cubic_yards()),
            Units::Metric => format!("{:.2} m3", self.as_cubic_metres()),
        }
    }
}

impl Temperature {
    /// Whole degrees Celsius.
    #[must_use]
    pub const fn celsius(degrees: i64) -> Self {
        Temperature(degrees * 180)
    }

    /// Whole degrees Fahrenheit.
    #[must_use]
    pub const fn fahrenheit(degrees: i64) -> Self {
        Temperature((degrees - 32) * 100)
    }

    /// Degrees Celsius with decimals, to 1/180 of a degree.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // temperatures of the air
    pub fn of_celsius(degrees: f64) -> Self {
        Temperature((degrees * 180.0).round() as i64)
    }

    /// Degrees Fahrenheit with decimals, to 1/100 of a degree.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // temperatures of the air
    pub fn of_fahrenheit(degrees: f64) -> Self {
        Temperature(((degrees - 32.0) * 100.0).round() as i64)
    }

    /// Reads whole degrees with their unit: `40 F` or `4 C`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let degrees = |number: &str| {
            let degrees = number.trim().trim_end_matches('°').trim().parse::<i64>().ok()?;
            // far beyond any weather, far inside `i64`
            (-1000..=1000).contains(&degrees).then_some(degrees)
        };
        match (text.strip_suffix('F'), text.strip_suffix('C')) {
            (Some(number), _) => degrees(number).map(Temperature::fahrenheit),
            (None, Some(number)) => degrees(number).map(Temperature::celsius),
            (None, None) => None,
        }
    }

    /// The mean of two.
    #[must_use]
    pub fn mean(self, other: Temperature) -> Temperature {
        Temperature(i64::midpoint(self.0, other.0))
    }

    /// To the nearest whole degree of the system.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        let round = |n: i64, den: i64| (n + den / 2).div_euclid(den);
        match units {
            Units::Inch => format!("{} °F", round(self.0, 100) + 32),
            Units::Metric => format!("{} °C", round(self.0, 180)),
        }
    }
}
