//! Weather windows: which work fits which day, and how often a job would have been done in time.

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
}

/// Days one after the other.
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
    #[error("line {line}: `{found}` is no {what}")]
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
    /// The file is no table.
    #[error("{0}")]
    Table(String),
    /// No day at all.
    #[error("there is no day in it")]
    Empty,
}

const LOW: &[&str] = &["low", "temp_min", "min"];
const HIGH: &[&str] = &["high", "temp_max", "max"];
const RAIN: &[&str] = &["rain", "precipitation", "precip"];

impl Record {
    /// Reads a table with one row a day: `date` (2026-11-25 or 2026/11/25), `low` and `high` in degrees Celsius, `rain` in
    /// millimetres. The column names of the open Seattle record (`temp_min`, `temp_max`, `precipitation`) are known too;
    /// `low_f`, `high_f` and `rain_in` hold degrees Fahrenheit and inches.
    ///
    /// # Errors
    /// A [`WeatherError`] with the line.
    pub fn parse(text: &str) -> Result<Record, WeatherError> {
        let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).flexible(true).from_reader(text.as_bytes());
        let head = reader.headers().map_err(|e| WeatherError::Table(e.to_string()))?.clone();
        let place = |names: &[&str]| head.iter().position(|h| names.iter().any(|n| h.eq_ignore_ascii_case(n)));
        let column = |wanted: &'static str, names: &[&str], imperial: &str| {
            place(names)
                .map(|at| (at, false))
                .or(place(&[imperial]).map(|at| (at, true)))
                .ok_or_else(|| WeatherError::Column { wanted, found: head.iter().collect::<Vec<_>>().join(", ") })
        };
        let date_at = column("date", &["date"], "day")?.0;
        let (low_at, high_at, rain_at) =
            (column("low", LOW, "low_f")?, column("high", HIGH, "high_f")?, column("rain", RAIN, "rain_in")?);
        let mut days: Vec<Day> = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|e| WeatherError::Table(e.to_string()))?;
            let line = record.position().map_or(0, csv::Position::line);
            let field = |at: usize| record.get(at).unwrap_or_default();
            let value = |at: usize, what| WeatherError::Value { line, found: field(at).to_owned(), what };
            let number = |at: usize, what| {
                let n = field(at).parse::<f64>().ok().filter(|n| n.is_finite() && n.abs() < 5000.0);
                n.ok_or_else(|| value(at, what))
            };
            let date = field(date_at).replace('/', "-").parse::<Date>().map_err(|_| value(date_at, "date"))?;
            let degrees = |(at, fahrenheit): (usize, bool)| {
                let n = number(at, "temperature")?;
                Ok::<_, WeatherError>(if fahrenheit {
                    Temperature::of_fahrenheit(n)
                } else {
                    Temperature::of_celsius(n)
                })
            };
            let rain = number(rain_at.0, "rain")?;
            if rain < 0.0 {
                return Err(value(rain_at.0, "rain"));
            }
            let rain = if rain_at.1 { rain * 25.4 } else { rain };
            if days.last().is_some_and(|last| last.date.tomorrow().ok() != Some(date)) {
                return Err(WeatherError::Gap { line, date });
            }
            #[allow(clippy::cast_possible_truncation)] // tenths of a millimetre of rain in a day
            days.push(Day { date, low: degrees(low_at)?, high: degrees(high_at)?, rain: (rain * 10.0).round() as i64 });
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
}

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
        let kept =
            |(low, count): (Temperature, usize)| days[at..(at + 1 + count).min(days.len())].iter().any(|d| d.low < low);
        if self.keep_low.is_some_and(kept) {
            return Some(Reason::ColdAfter);
        }
        None
    }
}

/// Work to be put onto days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// Hours of work on site.
    pub hours: i64,
    /// The numbers of the tasks before it.
    pub after: Vec<usize>,
    /// Days to wait after it.
    pub cure_days: usize,
    /// What a day must be like.
    pub need: Need,
    /// Which crew does it: tasks of one crew do not overlap.
    pub crew: usize,
}

/// On which days a task is done.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Booking {
    /// The days, as places in the record.
    pub days: Vec<usize>,
}

/// Hours in a working day.
const SHIFT: i64 = 8;

/// A calendar of working days over a record.
#[derive(Debug, Clone)]
pub struct Calendar<'r> {
    record: &'r Record,
    off: Vec<bool>,
}

impl<'r> Calendar<'r> {
    /// Every day of the record but Saturdays, Sundays and the holidays given. With `weekends`, these too.
    #[must_use]
    pub fn new(record: &'r Record, holidays: &[Date], weekends: bool) -> Calendar<'r> {
        use jiff::civil::Weekday::{Saturday, Sunday};
        let rests = |d: &Day| !weekends && matches!(d.date.weekday(), Saturday | Sunday) || holidays.contains(&d.date);
        Calendar { record, off: record.days.iter().map(rests).collect() }
    }

    /// Why a task does not fit a day.
    #[must_use]
    pub fn against(&self, need: &Need, at: usize) -> Option<Reason> {
        if *self.off.get(at)? { Some(Reason::DayOff) } else { need.against(&self.record.days, at) }
    }

    /// Puts tasks onto days from a start on, in the order given (each behind what it waits for), each crew one task at a
    /// time, eight hours a day. Nothing if the record ends before the work does.
    #[must_use]
    pub fn book(&self, tasks: &[Task], order: &[usize], start: usize) -> Option<Vec<Booking>> {
        let mut bookings = vec![Booking::default(); tasks.len()];
        // the first moment at which what comes next may start: day and hour
        let mut free: Vec<(usize, i64)> = vec![(start, 0); tasks.len()];
        let crews = tasks.iter().map(|t| t.crew + 1).max().unwrap_or(0);
        let mut crew_free = vec![(start, 0i64); crews];
        for i in order {
            let task = &tasks[*i];
            let mut at = task.after.iter().map(|p| free[*p]).max().unwrap_or((start, 0)).max(crew_free[task.crew]);
            let mut left = task.hours.max(0);
            if left == 0 {
                bookings[*i].days.push(at.0);
            }
            while left > 0 {
                if at.0 >= self.record.days.len() {
                    return None;
                }
                if at.1 >= SHIFT || self.against(&task.need, at.0).is_some() {
                    at = (at.0 + 1, 0);
                    continue;
                }
                let done = left.min(SHIFT - at.1);
                left -= done;
                at.1 += done;
                bookings[*i].days.push(at.0);
            }
            crew_free[task.crew] = at;
            // so many whole days later, at the same hour
            free[*i] = (at.0 + task.cure_days, at.1);
        }
        Some(bookings)
    }

    /// Of all starts on a given day of a year's weeks (1 to 53), the share that is done within so many days, by week:
    /// week, starts, done in time. A start is the first day of each week of the record, Mondays.
    #[must_use]
    pub fn chances(&self, tasks: &[Task], order: &[usize], within: usize) -> Vec<(i8, usize, usize)> {
        let mut weeks: Vec<(i8, usize, usize)> = Vec::new();
        for (at, day) in self.record.days.iter().enumerate() {
            if day.date.weekday() != jiff::civil::Weekday::Monday || at + within > self.record.days.len() {
                continue;
            }
            let week = day.date.iso_week_date().week();
            let last = |bookings: &[Booking]| bookings.iter().filter_map(|b| b.days.last()).max().copied();
            let done = self.book(tasks, order, at).and_then(|b| last(&b)).is_some_and(|last| last < at + within);
            let place = weeks.iter().position(|(w, ..)| *w == week).unwrap_or_else(|| {
                weeks.push((week, 0, 0));
                weeks.len() - 1
            });
            let entry = &mut weeks[place];
            entry.1 += 1;
            entry.2 += usize::from(done);
        }
        weeks.sort_unstable();
        weeks
    }
}
