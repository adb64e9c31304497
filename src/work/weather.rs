//! Weather windows: which work fits which day, and how often a job would have been done in time.

use super::table::TableSlip;
use crate::pack::packed;
use crate::units::Temperature;
use jiff::civil::Date;

/// A day of a forecast or of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day {
    /// The date.
    pub date: Date,
    /// Its lowest temperature.
    pub low: Temperature,
    /// Its highest temperature.
    pub high: Temperature,
    /// Rain or melted snow, tenths of a millimetre.
    pub rain: i64,
    /// Mean wind, tenths of a metre per second; nothing if the file does not say.
    pub wind: Option<i64>,
}

/// Days one after the other, as a forecast or a record gives them.
///
/// Invariant: dates rise by one day.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Record {
    days: Vec<Day>,
}

/// Why a weather file cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WeatherError {
    /// A column is missing.
    #[error("there is no column `{wanted}`; there is: {found}")]
    Column {
        /// What is wanted.
        wanted: &'static str,
        /// The columns there are.
        found: String,
    },
    /// A value cannot be read.
    #[error("line {line}: `{found}` is no {what}{}", if found.is_empty() { "; an empty cell says nothing (write 0 for none)" } else { "" })]
    Value {
        /// The line.
        line: u64,
        /// What stands there.
        found: String,
        /// What it should be.
        what: &'static str,
    },
    /// The dates do not follow each other.
    #[error("line {line}: {date} does not follow the day before; give every day once, in order")]
    Gap {
        /// The line.
        line: u64,
        /// The date there.
        date: Date,
    },
    /// No temperature on earth.
    #[error(
        "line {line}: `{found}` degrees Celsius cannot be; if they are degrees Fahrenheit, name the columns `low_f` and `high_f`"
    )]
    Degrees {
        /// The line.
        line: u64,
        /// What stands there.
        found: String,
    },
    /// Values stand in the wrong column.
    #[error(transparent)]
    Slip(#[from] TableSlip),
    /// More rain than ever fell in a day.
    #[error(
        "line {line}: `{found}` mm of rain in a day cannot be; the most ever measured are 1825 mm. For inches name the column `rain_in`"
    )]
    Rain {
        /// The line.
        line: u64,
        /// What stands there.
        found: String,
    },
    /// Columns are not parted by commas.
    #[error("the columns are not parted by commas; save the table as CSV with commas")]
    Commas,
    /// The low is above the high.
    #[error("line {line}: the low is above the high; are the columns the right way round?")]
    Turned {
        /// The line.
        line: u64,
    },
    /// The file is no table.
    #[error("{0}")]
    Table(String),
    /// No day at all.
    #[error("there is no day in it")]
    Empty,
}

const METRES_PER_MILE: f64 = 1609.344;
const LOW: &[&str] = &["low", "temp_min", "min"];
const HIGH: &[&str] = &["high", "temp_max", "max"];
const RAIN: &[&str] = &["rain", "precipitation", "precip"];
/// The warmest night of the earth was 42.6 degrees Celsius (Quriyat, Oman, 2018; from memory): a low above that is no Celsius.
const WARMEST_LOW: f64 = 43.0;
/// The most rain of a day, in millimetres: Foc-Foc, La Reunion, 1966 (World Meteorological Organization; from memory).
const MOST_RAIN: f64 = 1825.0;

impl Record {
    /// Reads a table with one row a day: `date` (2026-11-25 or 2026/11/25), `low` and `high` in degrees Celsius, `rain` in
    /// millimetres. The column names of the open Seattle record (`temp_min`, `temp_max`, `precipitation`) are known too;
    /// `low_f`, `high_f` and `rain_in` hold degrees Fahrenheit and inches. `wind` (metres per second) or `wind_mph` may be
    /// missing.
    ///
    /// # Errors
    /// A [`WeatherError`] with the line.
    pub fn parse(text: &str) -> Result<Record, WeatherError> {
        let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).flexible(true).from_reader(text.as_bytes());
        let head = reader.headers().map_err(|e| WeatherError::Table(e.to_string()))?.clone();
        if head.len() == 1 && head.iter().any(|h| h.contains([';', '\t'])) {
            return Err(WeatherError::Commas);
        }
        if head.iter().all(str::is_empty) {
            return Err(WeatherError::Empty);
        }
        let is = |h: &str, names: &[&str]| names.iter().any(|n| h.eq_ignore_ascii_case(n));
        let (low, high, rain) =
            ([LOW, &["low_f"]].concat(), [HIGH, &["high_f"]].concat(), [RAIN, &["rain_in"]].concat());
        TableSlip::in_head(&head, &[&["date"], &low, &high, &rain, &["wind", "wind_mph"]])?;
        let place = |names: &[&str]| head.iter().position(|h| is(h, names));
        let column = |wanted: &'static str, names: &[&str], imperial: &str| {
            place(names)
                .map(|at| (at, false))
                .or(place(&[imperial]).map(|at| (at, true)))
                .ok_or_else(|| WeatherError::Column { wanted, found: head.iter().collect::<Vec<_>>().join(", ") })
        };
        let date_at = column("date", &["date"], "day")?.0;
        let (low_at, high_at, rain_at) =
            (column("low", LOW, "low_f")?, column("high", HIGH, "high_f")?, column("rain", RAIN, "rain_in")?);
        let wind_at =
            place(&["wind"]).map(|at| (at, 1.0)).or(place(&["wind_mph"]).map(|at| (at, METRES_PER_MILE / 3600.0)));
        let mut days: Vec<Day> = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|e| WeatherError::Table(e.to_string()))?;
            let line = record.position().map_or(0, csv::Position::line);
            TableSlip::in_row(&head, &record, line)?;
            let field = |at: usize| record.get(at).unwrap_or_default();
            let value = |at: usize, what| WeatherError::Value { line, found: field(at).to_owned(), what };
            let number = |at: usize, what| {
                let n = field(at).parse::<f64>().ok().filter(|n| n.is_finite());
                n.ok_or_else(|| value(at, what))
            };
            let date = field(date_at).replace('/', "-").parse::<Date>().map_err(|_| value(date_at, "date"))?;
            let degrees = |(at, fahrenheit): (usize, bool), most: f64| {
                let n = number(at, "temperature")?;
                let celsius = if fahrenheit { (n - 32.0) / 1.8 } else { n };
                // the records of the earth are -89 and 57
                if !(-90.0..=most).contains(&celsius) {
                    return Err(WeatherError::Degrees { line, found: format!("{celsius:.0}") });
                }
                Ok(if fahrenheit { Temperature::of_fahrenheit(n) } else { Temperature::of_celsius(n) })
            };
            // a trace, too little to measure, is wet all the same
            let trace = field(rain_at.0).eq_ignore_ascii_case("t");
            let rain = if trace { 0.1 / if rain_at.1 { 25.4 } else { 1.0 } } else { number(rain_at.0, "rain")? };
            if rain < 0.0 {
                return Err(value(rain_at.0, "rain"));
            }
            let rain = if rain_at.1 { rain * 25.4 } else { rain };
            if rain > MOST_RAIN {
                return Err(WeatherError::Rain { line, found: format!("{rain:.0}") });
            }
            if days.last().is_some_and(|last| last.date.tomorrow().ok() != Some(date)) {
                return Err(WeatherError::Gap { line, date });
            }
            let wind = match wind_at.filter(|(at, _)| !field(*at).is_empty()) {
                None => None,
                Some((at, factor)) => Some(number(at, "wind")?).filter(|n| *n >= 0.0).map(|n| n * factor),
            };
            #[allow(clippy::cast_possible_truncation)]
            // tenths of a millimetre of rain in a day, of a metre in a second
            let tenths = |n: f64| (n * 10.0).round() as i64;
            let (low, high) = (degrees(low_at, WARMEST_LOW)?, degrees(high_at, 60.0)?);
            if low > high {
                return Err(WeatherError::Turned { line });
            }
            days.push(Day { date, low, high, rain: tenths(rain), wind: wind.map(tenths) });
        }
        if days.is_empty() { Err(WeatherError::Empty) } else { Ok(Record { days }) }
    }

    /// The days.
    #[must_use]
    pub fn days(&self) -> &[Day] {
        &self.days
    }
}

/// What a day must be like for some work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Need {
    /// The low must not be below this.
    pub low: Option<Temperature>,
    /// The high must not be above this.
    pub high: Option<Temperature>,
    /// The mean of low and high must not be below this.
    pub mean_low: Option<Temperature>,
    /// No rain on the day.
    pub dry: bool,
    /// So many days before without rain.
    pub dry_before: usize,
    /// So many days after without rain.
    pub dry_after: usize,
    /// The low must not be below this on the day and on the days after it.
    pub keep_low: Option<(Temperature, usize)>,
    /// The high must not be above this on the day and on the days after it.
    pub keep_high: Option<(Temperature, usize)>,
    /// The high must not be above this if the wind blows stronger than so many tenths of a metre per second.
    pub windy_high: Option<(Temperature, i64)>,
}

packed!(struct Need { low, high, mean_low, dry, dry_before, dry_after, keep_low, keep_high, windy_high });

/// Why a day does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reason {
    /// Too cold while working.
    TooCold,
    /// Too hot.
    TooHot,
    /// Rain on the day.
    Rain,
    /// Rain shortly before.
    WetBefore,
    /// Rain comes too soon after.
    WetAfter,
    /// It gets too cold while it cures.
    ColdAfter,
    /// It gets too hot while it cures.
    HotAfter,
    /// Too hot for the wind that blows.
    HotWind,
    /// No working day.
    DayOff,
}

impl Need {
    /// Why some work does not fit a day; nothing if it fits. Days before or after the record are taken as fit.
    #[must_use]
    pub fn against(&self, days: &[Day], at: usize) -> Option<Reason> {
        let day = days.get(at)?;
        let wet =
            |from: usize, to: usize| days.get(from..to.min(days.len())).is_some_and(|d| d.iter().any(|d| d.rain > 0));
        if self.low.is_some_and(|low| day.low < low) || self.mean_low.is_some_and(|mean| day.low.mean(day.high) < mean)
        {
            return Some(Reason::TooCold);
        }
        if self.high.is_some_and(|high| day.high > high) {
            return Some(Reason::TooHot);
        }
        if self.dry && day.rain > 0 {
            return Some(Reason::Rain);
        }
        if wet(at.saturating_sub(self.dry_before), at) {
            return Some(Reason::WetBefore);
        }
        if wet(at + 1, at + 1 + self.dry_after) {
            return Some(Reason::WetAfter);
        }
        let while_curing = |count: usize| days[at..(at + 1 + count).min(days.len())].iter();
        if self.keep_low.is_some_and(|(low, count)| while_curing(count).any(|d| d.low < low)) {
            return Some(Reason::ColdAfter);
        }
        if self.keep_high.is_some_and(|(high, count)| while_curing(count).any(|d| d.high > high)) {
            return Some(Reason::HotAfter);
        }
        let blows = |most: i64| day.wind.is_some_and(|wind| wind > most);
        if self.windy_high.is_some_and(|(high, wind)| day.high > high && blows(wind)) {
            return Some(Reason::HotWind);
        }
        None
    }
}
