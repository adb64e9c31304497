//! `wallfoot plan`: order of work, days, quantities.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::calendar::{Stamp, ics};
use super::error::CommandError;
use super::error::WeekdayError;
use super::figures::FigureArgs;
use super::global::Global;
use super::output::{Forms, OutputLook, Target, document_as};
use super::outside::{note, now, read_text};
use super::price_book::price_book;
use super::reading::{answers_of, name_of, stretch_named, stretches_of};
use super::table::csv;
use super::written::Format;
use crate::judge::{Forecast, Job, Prices, Stretches};
use crate::report::REPORT_SCHEMA;
use crate::visit::Visit;
use crate::work::Record;
use clap::{Args, ValueEnum};
use jiff::civil::{Date, Weekday};
use std::path::{Path, PathBuf};

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PlanFormat {
    /// For the terminal
    Text,
    /// Markdown
    Markdown,
    /// One page for a browser or a printer
    Html,
    /// Pages for a printer, if this wallfoot was built with them
    Pdf,
    /// The quantities as a table
    Csv,
    /// The calendar (RFC 5545); needs --weather
    Ics,
    /// Every number, for programs (see docs/json.md)
    Json,
}

impl Forms for PlanFormat {
    fn format(self) -> Format {
        match self {
            PlanFormat::Text => Format::Text,
            PlanFormat::Markdown => Format::Markdown,
            PlanFormat::Html => Format::Html,
            PlanFormat::Pdf => Format::Pdf,
            PlanFormat::Csv => Format::Csv,
            PlanFormat::Ics => Format::Ics,
            PlanFormat::Json => Format::Json,
        }
    }
}

/// The days of a week on which there is work.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Workdays(Vec<Weekday>);

const WEEK: [(&str, Weekday); 7] = [
    ("mon", Weekday::Monday),
    ("tue", Weekday::Tuesday),
    ("wed", Weekday::Wednesday),
    ("thu", Weekday::Thursday),
    ("fri", Weekday::Friday),
    ("sat", Weekday::Saturday),
    ("sun", Weekday::Sunday),
];

/// Reads `mon-fri` or `mon,wed-fri`; a range may go round the end of the week.
fn workdays(text: &str) -> Result<Workdays, WeekdayError> {
    let place = |name: &str| {
        let name = name.trim().to_lowercase();
        let found = WEEK.iter().position(|(short, long)| name == *short || name == format!("{long:?}").to_lowercase());
        found.ok_or(WeekdayError { found: name })
    };
    let mut days = Vec::new();
    for part in text.split(',') {
        let (from, to) = part.split_once('-').unwrap_or((part, part));
        let (mut at, to) = (place(from)?, place(to)?);
        loop {
            if !days.contains(&WEEK[at].1) {
                days.push(WEEK[at].1);
            }
            if at == to {
                break;
            }
            at = (at + 1) % WEEK.len();
        }
    }
    Ok(Workdays(days))
}

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot plan\n  wallfoot plan patio.yaml --weather days.csv -o patio.ics\n  wallfoot plan patio.yaml --prices book.yaml --figure breakage=7"
)]
pub(super) struct PlanArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
    /// A forecast or a record of days (CSV: date, low, high in C, rain in mm; or `low_f`, `high_f`, `rain_in`)
    #[arg(long, value_name = "FILE")]
    weather: Option<PathBuf>,
    /// The first day of work; otherwise the first day of the weather file
    #[arg(long, value_name = "DATE", requires = "weather")]
    start: Option<Date>,
    /// A day on which nobody works. May be given more than once
    #[arg(long, value_name = "DATE", requires = "weather")]
    holiday: Vec<Date>,
    /// Your own book (YAML) with prices, figures and hours; docs/prices-example.yaml shows its form. Otherwise the
    /// one of your settings; without both there are no prices
    #[arg(long, value_name = "FILE")]
    prices: Option<PathBuf>,
    /// No prices, even if your settings name a book
    #[arg(long, conflicts_with = "prices")]
    no_prices: bool,
    /// The days of the week on which there is work, such as `mon-sat` or `mon,tue,thu`
    #[arg(long, value_name = "DAYS", value_parser = workdays, default_value = "mon-fri")]
    workdays: Workdays,
    /// Within how many days the work should be done, for the chances in a record of years; otherwise twice its length
    /// and ten days
    #[arg(long, value_name = "DAYS", requires = "weather", value_parser = clap::value_parser!(u16).range(1..=1000))]
    within: Option<u16>,
    /// Only one stretch of wall, by its name; otherwise all of them
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<PlanFormat>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    #[command(flatten)]
    figures: FigureArgs,
}

pub(super) fn run(args: &PlanArgs, global: &Global) -> Result<(), CommandError> {
    let target = Target::new(args.format, args.output.as_deref(), PlanFormat::Text, &args.visit)?;
    let content = global.content()?;
    args.figures.set(content, global)?;
    let visit = Visit::read(&args.visit)?;
    let book = args.prices.clone().or_else(|| global.price_book().filter(|_| !args.no_prices));
    let prices = book.map(|path| price_book(&path, content)).transpose()?;
    let (first, units) = answers_of(&visit, &args.visit, content, global)?;
    let list = stretches_of(&visit, first, &args.visit, content, global);
    let list = match args.run.as_deref() {
        None => list,
        Some(name) => vec![(name.to_owned(), stretch_named(list, Some(name))?)],
    };
    let assessed = list.iter().map(|(name, answers)| (name.clone(), content.assess(answers, units))).collect();
    let stretches = Stretches::of(assessed).ok_or(CommandError::NoStretch)?;
    let job = Job::of(&stretches);
    let record = args.weather.as_deref().map(weather).transpose()?;
    let forecast = record.as_ref().map(|record| forecast(args, record)).transpose()?;
    let cover = global.cover(&visit.changed);
    let document = |look| {
        let document = job.document(&cover, forecast.as_ref(), prices.as_ref());
        document_as(&document, look, job.lead(), global, target.to_screen())
    };
    let made = match target.form {
        PlanFormat::Text => document(OutputLook::Text)?,
        PlanFormat::Markdown => document(OutputLook::Markdown)?,
        PlanFormat::Html => document(OutputLook::Html)?,
        PlanFormat::Pdf => document(OutputLook::Pdf(None))?,
        PlanFormat::Csv => csv(&job, prices.as_ref())?.into(),
        PlanFormat::Ics => {
            let forecast = forecast.as_ref().ok_or(CommandError::NoWeather)?;
            let name = name_of(&visit, content);
            ics(&job, forecast, &Stamp { visit: &visit, path: &args.visit, name, now: now() })?.into()
        }
        PlanFormat::Json => json(&job, forecast.as_ref(), prices.as_ref())?.into(),
    };
    target.deliver(made, global)
}

fn weather(path: &Path) -> Result<Record, CommandError> {
    let text = read_text(path)?;
    Record::parse(&text).map_err(|error| CommandError::Weather { path: path.to_owned(), error })
}

fn forecast<'r>(args: &PlanArgs, record: &'r Record) -> Result<Forecast<'r>, CommandError> {
    let days = record.days();
    let start = match args.start {
        None => 0,
        Some(date) => days.iter().position(|d| d.date == date).ok_or_else(|| {
            let (first, last) = (days.first().map(|d| d.date), days.last().map(|d| d.date));
            CommandError::Start { date, days: first.zip(last) }
        })?,
    };
    for holiday in args.holiday.iter().filter(|h| !days.iter().any(|d| d.date == **h)) {
        note(&format!("--holiday {holiday}: the weather file has no such day"));
    }
    Ok(Forecast {
        record,
        holidays: args.holiday.clone(),
        workdays: args.workdays.0.clone(),
        start,
        within: args.within.map(usize::from),
    })
}

/// The plan under the version of the schema of reports.
fn json(job: &Job<'_, '_>, forecast: Option<&Forecast<'_>>, prices: Option<&Prices>) -> Result<String, CommandError> {
    let report = serde_json::json!({ "wallfoot_report": REPORT_SCHEMA, "plan": job.json(forecast, prices) });
    Ok(super::outside::json(&report)?)
}
