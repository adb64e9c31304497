//! How much water comes to the foot of the wall.

use crate::units::{Area, Length, Slope, Volume};

/// Water per time.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Discharge {
    cubic_metres_per_second: f64,
}

/// Cubic metres in a US gallon: 231 cubic inches.
const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;

/// Litres in a US gallon.
pub const LITRES_IN_GALLON: f64 = GALLON * 1000.0;

impl Discharge {
    /// Cubic metres in a second.
    #[must_use]
    pub const fn cubic_metres_per_second(flow: f64) -> Discharge {
        Discharge { cubic_metres_per_second: flow }
    }

    /// In cubic metres per second.
    #[must_use]
    pub const fn as_cubic_metres_per_second(self) -> f64 {
        self.cubic_metres_per_second
    }

    /// In cubic feet per second.
    #[must_use]
    pub fn as_cubic_feet_per_second(self) -> f64 {
        self.cubic_metres_per_second / (0.3048 * 0.3048 * 0.3048)
    }

    /// In litres per minute.
    #[must_use]
    pub fn as_litres_per_minute(self) -> f64 {
        self.cubic_metres_per_second * 60_000.0
    }

    /// In US gallons per minute.
    #[must_use]
    pub fn as_gallons_per_minute(self) -> f64 {
        self.cubic_metres_per_second * 60.0 / GALLON
    }
}

impl std::ops::Add for Discharge {
    type Output = Discharge;
    fn add(self, other: Discharge) -> Discharge {
        Discharge { cubic_metres_per_second: self.cubic_metres_per_second + other.cubic_metres_per_second }
    }
}

/// Something that rain falls on and runs off.
///
/// Of a wall half its area counts as if it lay flat (IPC 1106.4).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Runoff {
    /// The area that the rain falls on, flat.
    pub area: Area,
    /// What part of the rain runs off, 0 to 1.
    pub coefficient: f64,
}

impl Runoff {
    /// A wall above the work, of which half counts (IPC 1106.4).
    #[must_use]
    pub fn wall(length: Length, height: Length) -> Runoff {
        Runoff { area: length.by(height), coefficient: 0.5 }
    }

    /// The rational method: coefficient, rain in an hour, area.
    #[must_use]
    pub fn flow(self, rain_per_hour: Length) -> Discharge {
        let metres_per_second = rain_per_hour.as_mm() / 1000.0 / 3600.0;
        Discharge::cubic_metres_per_second(self.coefficient * metres_per_second * self.area.as_square_metres())
    }

    /// What runs off when so much rain has fallen.
    #[must_use]
    pub fn volume(self, rain: Length) -> Volume {
        #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // a share of a length
        let counted = Length::from_steps((rain.steps() as f64 * self.coefficient).round() as i64);
        self.area.by(counted)
    }
}

/// A rectangular drain channel, running full to `depth`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// Its inner width.
    pub width: Length,
    /// The depth of the water.
    pub depth: Length,
    /// Its fall along.
    pub slope: Slope,
    /// Manning's roughness.
    pub roughness: f64,
}

/// What a channel carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// Cross section of the water, in square metres.
    pub section: f64,
    /// Cross section over wetted perimeter, in metres.
    pub hydraulic_radius: f64,
    /// Metres in a second.
    pub velocity: f64,
    /// The flow.
    pub flow: Discharge,
}

impl Channel {
    /// Manning's equation for an open channel: v = R^(2/3) S^(1/2) / n, in metres and seconds. Nothing for a
    /// channel without width, depth, fall or roughness.
    #[must_use]
    pub fn carries(self) -> Option<Carried> {
        let (b, y) = (self.width.as_mm() / 1000.0, self.depth.as_mm() / 1000.0);
        let slope = self.slope.as_percent() / 100.0;
        if b <= 0.0 || y <= 0.0 || slope <= 0.0 || self.roughness <= 0.0 {
            return None;
        }
        let section = b * y;
        let hydraulic_radius = section / 2.0f64.mul_add(y, b);
        let velocity = hydraulic_radius.powf(2.0 / 3.0) * slope.sqrt() / self.roughness;
        let flow = Discharge::cubic_metres_per_second(velocity * section);
        Some(Carried { section, hydraulic_radius, velocity, flow })
    }
}

/// Rain that wind drives onto a wall: a year's driving rain times the factors for height, exposure and overhang
/// (Straube, Building Science Digest 148).
#[must_use]
pub fn rain_on_wall(driving_rain: Length, factors: &[f64]) -> Length {
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // a length times small factors
    Length::from_steps((driving_rain.steps() as f64 * factors.iter().product::<f64>()).round() as i64)
}

/// One hour of weather.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Mean wind, metres in a second.
    pub wind: f64,
    /// Where the wind comes from, degrees clockwise from north.
    pub from: f64,
    /// Rain, millimetres in the hour.
    pub rain: f64,
}

/// The airfield index of driving rain by ISO 15927-3: 2/9 of the sum of v r^(8/9) cos(D - theta) over all hours in
/// which the wind blows onto the wall, in litres a square metre. Divide by the years of the record for a yearly
/// figure; the local factors of the standard are left to the user.
#[must_use]
pub fn driving_rain_index(hours: impl Iterator<Item = Hour>, wall_faces: f64) -> f64 {
    let onto = |hour: Hour| {
        let angle = (hour.from - wall_faces).to_radians().cos();
        if angle > 0.0 && hour.rain > 0.0 { hour.wind * hour.rain.powf(8.0 / 9.0) * angle } else { 0.0 }
    };
    2.0 / 9.0 * hours.map(onto).sum::<f64>()
}
