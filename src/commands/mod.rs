//! One file a subcommand, and what they share: arguments, files, clock, terminal.

mod advise;
mod ask;
mod calendar;
mod compare;
mod contractor;
mod demo;
mod draw;
mod error;
mod hourly;
mod listing;
mod log;
mod output;
mod plan;
mod price_book;
mod prove;
mod reading;
mod sources;
mod table;
mod what_if;
mod written;

pub use error::{BookError, ChangeError, CommandError, HoursError, OutputError, WeekdayError};
pub use listing::listing;
pub use sources::{embedded, sources};
pub use written::{Format, Seems};

use crate::content::Content;
use crate::flow::{Answer, Answers};
use crate::names::QuestionId;
use crate::sheet::Cover;
use crate::units::Units;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// The arguments of the program.
#[derive(Debug, Parser)]
#[command(
    name = "wallfoot",
    version,
    about = "Advises on anything built against the foot of a house wall: where the surface meets the wall, and whether the water behind the cladding still gets out.",
    after_help = "Exit codes: 0 done; 1 the input, the visit or the questions are at fault; 2 wrong use."
)]
pub struct Cli {
    #[command(flatten)]
    global: Global,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Args)]
struct Global {
    /// A folder of questions to lay over the built-in ones
    #[arg(long, value_name = "DIR", global = true)]
    questions: Option<PathBuf>,
    /// A file of limits for your town: its rows replace built-in ones of the same id, or come on top
    #[arg(long, value_name = "FILE", global = true)]
    limits: Option<PathBuf>,
    /// The region whose limits hold, such as us, canada or uk (overrides the visit)
    #[arg(long, value_name = "REGION", global = true)]
    region: Option<String>,
    /// How lengths are shown and bare numbers are read (otherwise by region)
    #[arg(long, value_enum, global = true)]
    units: Option<UnitsArg>,
    /// Language of the sheets, such as es
    #[arg(long, value_name = "LANG", global = true)]
    lang: Option<String>,
    /// Your own value for a figure that quantities are counted with, as in `--figure breakage=7` or
    /// `--figure "flashing_length=8 ft"`. May be given more than once
    #[arg(long, value_name = "NAME=VALUE", global = true)]
    figure: Vec<String>,
    /// Plain lines: no menus, no drawn tables, no bold
    #[arg(long, global = true)]
    plain: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
enum UnitsArg {
    Inch,
    Metric,
}

impl UnitsArg {
    fn units(self) -> Units {
        match self {
            UnitsArg::Inch => Units::Inch,
            UnitsArg::Metric => Units::Metric,
        }
    }
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Ask about a place, from the start or where you left off
    Ask(ask::AskArgs),
    /// Give the verdict, the reasons and the sheets for a saved visit
    Advise(advise::AdviseArgs),
    /// Set alternatives side by side: another height, another joint, the wall opened first
    Compare(compare::CompareArgs),
    /// Fill in what a contractor said to the questions, and see whether it is good enough
    Contractor(contractor::ContractorArgs),
    /// Say who owns each task at the joint of wall and stone
    Owners(contractor::OwnersArgs),
    /// Add a dated note or a photograph to a visit, or print them
    Log(log::LogArgs),
    /// Draw the section through the wall, for the terminal or as SVG
    Draw(draw::DrawArgs),
    /// Put the work in order: activities, days by the weather, quantities
    Plan(plan::PlanArgs),
    /// Check a folder of questions and rules, or the built-in ones
    Prove(prove::ProveArgs),
    /// Show an invented visit from end to end, without asking anything
    Demo(demo::DemoArgs),
}

/// Runs the program.
#[must_use]
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => {
            // help and version are results, everything else is wrong use
            let code = if error.use_stderr() { 2 } else { 0 };
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    let global = &cli.global;
    let done = match &cli.command {
        Command::Ask(args) => ask::run(args, global),
        Command::Advise(args) => advise::run(args, global),
        Command::Compare(args) => compare::run(args, global),
        Command::Contractor(args) => contractor::run(args, global),
        Command::Owners(args) => contractor::owners(args, global),
        Command::Log(args) => log::run(args, global),
        Command::Draw(args) => draw::run(args, global),
        Command::Plan(args) => plan::run(args, global),
        Command::Prove(args) => prove::run(args, global),
        Command::Demo(args) => demo::run(args, global),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        // the reader of a pipe has seen enough
        Err(error) if error.is_closed_pipe() => ExitCode::SUCCESS,
        Err(error) => {
            let text = harmless(&error.to_string());
            let text = if text.starts_with("error") { text } else { format!("error: {text}") };
            let _ = writeln!(io::stderr(), "{text}");
            ExitCode::from(error.exit_code())
        }
    }
}

impl Global {
    fn content(&self) -> Result<Content, CommandError> {
        let sources = self.sources()?;
        let mut content = Content::load(&sources, self.lang.as_deref())?;
        let units = self.units.map_or(Units::Inch, UnitsArg::units);
        for entry in &self.figure {
            let Some((id, value)) = entry.split_once('=') else {
                return Err(CommandError::FigureForm { entry: entry.clone() });
            };
            let set = content.set_figure(id.trim(), value.trim(), units);
            set.map_err(|error| CommandError::Figure { entry: entry.clone(), error })?;
        }
        content.figures_go_together().map_err(CommandError::Figures)?;
        Ok(content)
    }

    fn sources(&self) -> Result<Vec<crate::flow::Source>, CommandError> {
        let mut sources = sources::sources(self.questions.as_deref(), self.lang.as_deref())?;
        sources.extend(self.local_limits()?);
        Ok(sources)
    }

    /// The file of `--limits`, if there is one.
    fn local_limits(&self) -> Result<Option<crate::flow::Source>, CommandError> {
        self.limits.as_deref().map(sources::local_limits).transpose()
    }

    /// Puts `--region` into the answers, if it was given.
    fn set_region(&self, content: &Content, answers: &mut Answers) -> Result<(), CommandError> {
        let Some(region) = &self.region else { return Ok(()) };
        let number = content.catalog.names.at(QuestionId::Region);
        let question = &content.flow.questions[number];
        let Some(index) = question.choices.iter().position(|c| c.id == *region) else {
            let known = question.choices.iter().map(|c| c.id.clone()).collect();
            return Err(CommandError::Region { found: region.clone(), known });
        };
        answers.set(number, Answer::Choice(index));
        Ok(())
    }

    fn units(&self, content: &Content, answers: &Answers) -> Units {
        let country = content.region(answers).map(|region| content.units_in(region));
        let given = || self.region.as_deref().map(|region| content.units_of(region));
        self.units.map(UnitsArg::units).or(country).or_else(given).unwrap_or_default()
    }

    fn cover(&self, date: &str) -> Cover {
        Cover { date: date.to_owned(), lang: self.lang.clone().unwrap_or_else(|| "en".to_owned()) }
    }

    /// Whether the interview runs on plain lines.
    fn plain_lines(&self) -> bool {
        self.plain_look() || !io::stdin().is_terminal() || !io::stderr().is_terminal()
    }

    /// Whether output avoids anything that a screen reader stumbles over.
    fn plain_look(&self) -> bool {
        let accessible = std::env::var("ACCESSIBLE").is_ok_and(|v| !v.is_empty() && v != "0");
        self.plain || accessible || std::env::var("TERM").is_ok_and(|t| t == "dumb")
    }
}

/// Whether colour and bold are wanted at all (<https://no-color.org>).
fn colour_allowed() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}

/// Columns of the terminal; 80 where there is none.
fn width() -> usize {
    terminal_size::terminal_size().map_or(80, |(w, _)| usize::from(w.0))
}

/// Lines of the terminal; 24 where there is none.
fn height() -> usize {
    terminal_size::terminal_size().map_or(24, |(_, h)| usize::from(h.0))
}

/// The moment of `SOURCE_DATE_EPOCH`, where output has to be reproducible.
fn fixed_now() -> Option<jiff::Timestamp> {
    let seconds = std::env::var("SOURCE_DATE_EPOCH").ok()?.parse().ok()?;
    jiff::Timestamp::from_second(seconds).ok()
}

/// Now, or the moment of `SOURCE_DATE_EPOCH`.
fn now() -> jiff::Timestamp {
    fixed_now().unwrap_or_else(jiff::Timestamp::now)
}

/// Today where the user is, or the day of `SOURCE_DATE_EPOCH`.
fn today() -> String {
    match fixed_now() {
        Some(stamp) => stamp.to_zoned_datetime(jiff::tz::TimeZone::UTC).date().to_string(),
        None => jiff::ZonedDateTime::now().date().to_string(),
    }
}

/// The text of a file that the user named.
fn read_text(path: &std::path::Path) -> Result<String, CommandError> {
    std::fs::read_to_string(path).map_err(|reason| CommandError::Read { path: path.to_owned(), reason })
}

/// A line for the user that is no result.
fn note(text: &str) {
    let _ = writeln!(io::stderr(), "{}", harmless(text));
}

/// A text without what would act on a terminal: it may quote a file.
fn harmless(text: &str) -> String {
    text.chars().filter(|c| *c == '\n' || !c.is_control()).collect()
}
