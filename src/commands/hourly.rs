//! Hours of wind and rain from a CSV file, for the driving-rain index.

use super::error::CommandError;
use super::error::HoursError;
use super::outside::read_text;
use crate::judge::Exposure;
use crate::water::{Hour, driving_rain_index};
use crate::work::TableSlip;
use std::path::Path;

/// Hours in a mean year.
const YEAR: f64 = 365.25 * 24.0;
const WIND: &[&str] = &["wind", "wind_speed", "windspeed"];
const FROM: &[&str] = &["direction", "wind_direction", "wind_from"];
const RAIN: &[&str] = &["rain", "precipitation", "rainfall"];

/// Reads a file with one row an hour and the columns `wind` (metres in a second), `direction` (degrees clockwise
/// from north, where the wind comes from) and `rain` (millimetres), in any order, among others.
pub(super) fn exposure(path: &Path, wall_faces: f64) -> Result<Exposure, CommandError> {
    let text = read_text(path)?;
    read_hours(&text, wall_faces).map_err(|error| CommandError::Hours { path: path.to_owned(), error })
}

/// Reads such a table from its text.
///
/// # Errors
/// A [`HoursError`] with the line.
pub fn read_hours(text: &str, wall_faces: f64) -> Result<Exposure, HoursError> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
    let head = reader.headers()?.clone();
    TableSlip::in_head(&head, &[WIND, FROM, RAIN])?;
    let column = |names: &[&'static str]| {
        head.iter()
            .position(|h| names.iter().any(|n| h.eq_ignore_ascii_case(n)))
            .ok_or_else(|| HoursError::Column { wanted: names[0], found: head.iter().map(str::to_owned).collect() })
    };
    let (wind, from, rain) = (column(WIND)?, column(FROM)?, column(RAIN)?);
    let mut hours = Vec::new();
    for (row, record) in reader.records().enumerate() {
        let record = record?;
        let line = record.position().map_or(row as u64 + 2, csv::Position::line);
        TableSlip::in_row(&head, &record, line)?;
        let number = |column: usize, what: &'static str, least: f64, most: f64| {
            let text = record.get(column).unwrap_or_default();
            match text.parse::<f64>() {
                Ok(n) if n >= least && n <= most => Ok(n),
                Ok(_) | Err(_) => Err(HoursError::Value { line, found: text.to_owned(), what, least, most }),
            }
        };
        // an hour without a reading says nothing
        if [wind, from, rain].iter().any(|c| record.get(*c).unwrap_or_default().is_empty()) {
            continue;
        }
        hours.push(Hour {
            wind: number(wind, "a wind in metres a second", 0.0, 120.0)?,
            from: number(from, "a direction in degrees", 0.0, 360.0)?,
            rain: number(rain, "rain in millimetres an hour", 0.0, 500.0)?,
        });
    }
    if hours.is_empty() {
        return Err(HoursError::Empty);
    }
    #[allow(clippy::cast_precision_loss)] // a count of hours
    let years = hours.len() as f64 / YEAR;
    let index = driving_rain_index(hours.iter().copied(), wall_faces);
    Ok(Exposure { hours: hours.len(), wall_faces, index, a_year: (years >= 0.9).then_some(index / years) })
}
