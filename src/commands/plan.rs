//! `wallfoot plan`: order of work, days, quantities.

use super::advise::{answers_of, stretch_named, stretches_of};
use super::output::{FormatArg, deliver, document_as};
use super::{CommandError, Global};
use crate::advice::{Assessment, Forecast, Prices, Range};
use crate::visit::Visit;
use crate::work::{Calendar, Record};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PlanFormat {
    /// For the terminal
    Text,
    /// Markdown
    Markdown,
    /// One page for a browser or a printer
    Html,
    /// The quantities as a table
    Csv,
    /// The calendar (RFC 5545); needs --weather
    Ics,
}

#[derive(Debug, Args)]
pub(super) struct PlanArgs {
    /// The file that `wallfoot ask` wrote
    visit: PathBuf,
    /// A forecast or a record of days (CSV: date, low, high in C, rain in mm; or `low_f`, `high_f`, `rain_in`)
    #[arg(long, value_name = "FILE")]
    weather: Option<PathBuf>,
    /// The first day of work; otherwise the first day of the weather file
    #[arg(long, value_name = "DATE", requires = "weather")]
    start: Option<Date>,
    /// A day on which nobody works. May be given more than once
    #[arg(long, value_name = "DATE")]
    holiday: Vec<Date>,
    /// Your own price book (YAML); docs/prices-example.yaml shows its form. Without it there are no prices
    #[arg(long, value_name = "FILE")]
    prices: Option<PathBuf>,
    /// Work on Saturdays and Sundays too
    #[arg(long)]
    weekends: bool,
    /// The stretch of wall, by its name
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
    /// In which form
    #[arg(long = "as", value_enum, value_name = "FORMAT", default_value = "text")]
    format: PlanFormat,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn run(args: &PlanArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let visit = Visit::read(&args.visit)?;
    let (first, units) = answers_of(&visit, &args.visit, &content, global)?;
    let list = stretches_of(&visit, first, units, &content, &args.visit);
    let answers = stretch_named(list, args.run.as_deref())?;
    let assessment = content.assess(&answers, units);
    let record = args.weather.as_ref().map(|path| {
        let text = std::fs::read_to_string(path)
            .map_err(|reason| CommandError::Io { what: format!("cannot read {}", path.display()), reason })?;
        Record::parse(&text).map_err(|error| CommandError::Input(format!("{}: {error}", path.display())))
    });
    let record = record.transpose()?;
    let forecast = match &record {
        None => None,
        Some(record) => {
            let start =
                match args.start {
                    None => 0,
                    Some(date) => record.days().iter().position(|d| d.date == date).ok_or_else(|| {
                        CommandError::Input(format!("--start {date}: the weather file has no such day"))
                    })?,
                };
            Some(Forecast { record, holidays: args.holiday.clone(), weekends: args.weekends, start })
        }
    };
    let cover = global.cover(&visit.changed);
    let text = match args.format {
        PlanFormat::Csv => csv(&assessment).map_err(|e| CommandError::Input(e.to_string()))?,
        PlanFormat::Ics => match &forecast {
            None => return Err(CommandError::Input("a calendar needs days: give --weather FILE".to_owned())),
            Some(forecast) => ics(&assessment, forecast, &visit.changed)?,
        },
        other => {
            let format = match other {
                PlanFormat::Markdown => FormatArg::Markdown,
                PlanFormat::Html => FormatArg::Html,
                _ => FormatArg::Text,
            };
            let prices = args.prices.as_deref().map(price_book).transpose()?;
            let document = assessment.plan_document(&cover, forecast.as_ref(), prices.as_ref());
            document_as(&document, format, &assessment, global, args.output.is_none())
        }
    };
    deliver(&text, args.output.as_deref(), &args.visit)
}

/// A price as it stands in the file.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawRange {
    low: f64,
    likely: f64,
    high: f64,
}

/// A price book as it stands in the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPrices {
    #[serde(default)]
    currency: String,
    #[serde(default)]
    labour: BTreeMap<String, RawRange>,
    #[serde(default)]
    materials: BTreeMap<String, RawRange>,
    #[serde(default)]
    hidden_damage: Option<RawRange>,
}

fn price_book(path: &Path) -> Result<Prices, CommandError> {
    let text = std::fs::read_to_string(path)
        .map_err(|reason| CommandError::Io { what: format!("cannot read {}", path.display()), reason })?;
    let fail = |reason: String| CommandError::Input(format!("{}: {reason}", path.display()));
    let raw: RawPrices = serde_yaml::from_str(&text).map_err(|error| fail(error.to_string()))?;
    let range = |name: &str, r: RawRange| {
        let sound = r.low >= 0.0 && r.low <= r.likely && r.likely <= r.high && r.high.is_finite();
        if sound {
            Ok(Range { low: r.low, likely: r.likely, high: r.high })
        } else {
            Err(fail(format!("`{name}` must be low, likely and high in rising order, not below zero")))
        }
    };
    let all = |map: BTreeMap<String, RawRange>| {
        map.into_iter()
            .map(|(name, r)| Ok((name.clone(), range(&name, r)?)))
            .collect::<Result<BTreeMap<_, _>, CommandError>>()
    };
    let trades = ["homeowner", "hardscape", "exterior"];
    if let Some(unknown) = raw.labour.keys().find(|k| !trades.contains(&k.as_str())) {
        return Err(fail(format!("`{unknown}` under `labour` is no trade; there are: {}", trades.join(", "))));
    }
    Ok(Prices {
        currency: raw.currency,
        labour: all(raw.labour)?,
        materials: all(raw.materials)?,
        hidden_damage: raw.hidden_damage.map(|r| range("hidden_damage", r)).transpose()?,
    })
}

/// The quantities as a table.
fn csv(assessment: &Assessment<'_>) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["id", "material", "amount", "unit", "formula", "waste_percent"])?;
    for q in assessment.quantities() {
        let unit = q.unit.trim_start_matches("unit.");
        let material = assessment.content.word(q.key);
        let (amount, waste) = (format!("{:.2}", q.amount), q.waste.to_string());
        writer.write_record([q.id, material, &amount, unit, &q.formula, &waste])?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The calendar by RFC 5545: one event for each stretch of days of an activity.
fn ics(assessment: &Assessment<'_>, forecast: &Forecast<'_>, changed: &str) -> Result<String, CommandError> {
    let Some(plan) = assessment.plan() else {
        return Err(CommandError::Input("this visit calls for no work, so there is no calendar".to_owned()));
    };
    let (tasks, order) = assessment.tasks_for_days(&plan);
    let calendar = Calendar::new(forecast.record, &forecast.holidays, forecast.weekends);
    let Some(bookings) = calendar.book(&tasks, &order, forecast.start) else {
        return Err(CommandError::Input("the weather file ends before the work does; give more days".to_owned()));
    };
    let days = forecast.record.days();
    let stamp = changed.parse::<Date>().unwrap_or(days[forecast.start].date);
    let basic = |date: Date| format!("{:04}{:02}{:02}", date.year(), date.month(), date.day());
    let mut out = String::new();
    let mut line = |text: &str| fold(&mut out, text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//wallfoot//plan//EN");
    for (i, (booking, planned)) in bookings.iter().zip(&plan.activities).enumerate() {
        let mut days_left = &booking.days[..];
        let mut part = 0;
        while let Some(first) = days_left.first().copied() {
            // days that follow each other are one event
            let count = days_left.iter().enumerate().take_while(|(n, day)| **day == first + n).count();
            let last = days[first + count - 1].date.tomorrow().unwrap_or(days[first + count - 1].date);
            part += 1;
            line("BEGIN:VEVENT");
            line(&format!("UID:{}-{part}-{}@wallfoot", planned.row.id, i + 1));
            line(&format!("DTSTAMP:{}T000000Z", basic(stamp)));
            line(&format!("DTSTART;VALUE=DATE:{}", basic(days[first].date)));
            line(&format!("DTEND;VALUE=DATE:{}", basic(last)));
            let who = assessment.content.word(&format!("who.{}", planned.row.who.word())).to_owned();
            line(&format!("SUMMARY:{}", escape(&format!("{who}: {}", assessment.fill(&planned.row.what)))));
            line("END:VEVENT");
            days_left = &days_left[count..];
        }
    }
    line("END:VCALENDAR");
    Ok(out)
}

/// Text of a property: commas, semicolons, backslashes and line ends are escaped (RFC 5545, 3.3.11).
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ',' | ';' => {
                out.push('\\');
                out.push(c);
            }
            '\n' => out.push_str("\\n"),
            _ => out.push(c),
        }
    }
    out
}

/// A content line, folded after 75 bytes, ended by CR LF (RFC 5545, 3.1).
fn fold(out: &mut String, text: &str) {
    let mut room = 75;
    for c in text.chars() {
        if c.len_utf8() > room {
            out.push_str("\r\n ");
            room = 74;
        }
        room -= c.len_utf8();
        let _ = out.write_char(c);
    }
    out.push_str("\r\n");
}
