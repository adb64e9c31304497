//! One file a subcommand, and what they share: arguments, files, clock, terminal.

mod advise;
mod after;
mod answer;
mod arguments;
mod ask;
mod asker;
mod asking;
mod begin;
mod calendar;
mod change;
mod closing;
mod compare;
mod completions;
mod config;
mod contractor;
mod demo;
mod draw;
mod error;
mod figures;
mod global;
mod hand_over;
mod hourly;
mod images;
mod listing;
mod log;
mod mapped;
mod output;
mod outside;
mod pager;
mod plan;
mod price_book;
mod progress;
mod prove;
mod proved;
mod reading;
mod set;
mod signals;
mod sources;
mod table;
mod visits;
mod waiting;
mod works;
mod written;

pub use config::{Config, OwnHead, Setting};
pub use error::{BookError, ChangeError, CommandError, ConfigError, HoursError, OutputError, WeekdayError};
pub use hourly::read_hours;
pub use listing::listing;
pub use price_book::read_book;
pub use sources::{built_in, embedded, sources};
pub use works::works_page;
pub use written::{Format, Seems};

use crate::flow::harmless;
use clap::{CommandFactory, Parser, Subcommand};
use global::Global;
use std::ffi::OsString;
use std::io::{self, Write};
use std::process::ExitCode;

/// The arguments of the program.
#[derive(Debug, Parser)]
#[command(
    name = "wallfoot",
    version,
    about = "Advises on anything built against the foot of a house wall: where the surface meets the wall, and whether the water behind the cladding still gets out.",
    after_help = "For authors of questions: wallfoot prove. For your shell: wallfoot completions SHELL, wallfoot man.\n\nExamples:\n  wallfoot\n  wallfoot demo\n  wallfoot ask patio.yaml\n  wallfoot advise patio.yaml\n\nExit codes: 0 done; 1 the input, the visit or the questions are at fault; 2 wrong use; 130 interrupted by Ctrl-C."
)]
pub struct Cli {
    #[command(flatten)]
    global: Global,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Ask about a place, from the start or where you left off
    Ask(ask::AskArgs),
    /// Change answers of a saved visit without being asked
    Set(set::SetArgs),
    /// List the visits of a folder: name, date, verdict, and how much is open
    Visits(visits::VisitsArgs),
    /// Give the verdict, the reasons and the sheets for a saved visit
    Advise(advise::AdviseArgs),
    /// Write all sheets of a visit at once, each into its file
    HandOver(hand_over::HandOverArgs),
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
    /// Show an invented visit from end to end, without asking anything
    Demo(demo::DemoArgs),
    /// Check a folder of questions and rules, or the built-in ones
    #[command(hide = true)]
    Prove(prove::ProveArgs),
    /// Print the script that completes command lines in your shell
    #[command(hide = true)]
    Completions(completions::CompletionsArgs),
    /// Print a page of the manual, for `man`
    #[command(hide = true)]
    Man(completions::ManArgs),
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
    let Cli { mut global, command } = cli;
    match done(command.as_ref(), &mut global) {
        Ok(()) => ExitCode::SUCCESS,
        // the reader of a pipe has seen enough
        Err(error) if error.is_closed_pipe() => ExitCode::SUCCESS,
        Err(error) => {
            if !error.is_silent() {
                let text = harmless(&error.to_string()).into_owned();
                let text = if text.starts_with("error") { text } else { format!("error: {text}") };
                let _ = writeln!(io::stderr(), "{text}");
            }
            ExitCode::from(error.exit_code())
        }
    }
}

/// Does what is asked for. What is about the command line alone needs neither settings nor content.
fn done(command: Option<&Command>, global: &mut Global) -> Result<(), CommandError> {
    match command {
        None => begin::run(global.completed()?),
        Some(Command::Ask(args)) => ask::run(args, global.completed()?),
        Some(Command::Set(args)) => set::run(args, global.completed()?),
        Some(Command::Visits(args)) => visits::run(args, global.completed()?),
        Some(Command::Advise(args)) => advise::run(args, global.completed()?),
        Some(Command::Compare(args)) => compare::run(args, global.completed()?),
        Some(Command::Contractor(args)) => contractor::run(args, global.completed()?),
        Some(Command::Owners(args)) => contractor::owners(args, global.completed()?),
        Some(Command::Log(args)) => log::run(args, global.completed()?),
        Some(Command::HandOver(args)) => hand_over::run(args, global.completed()?),
        Some(Command::Draw(args)) => draw::run(args, global.completed()?),
        Some(Command::Plan(args)) => plan::run(args, global.completed()?),
        Some(Command::Prove(args)) => prove::run(args, global.completed()?),
        Some(Command::Demo(args)) => demo::run(args, global.completed()?),
        Some(Command::Completions(args)) => completions::completions(args, Cli::command()),
        Some(Command::Man(args)) => completions::man(args, Cli::command()),
    }
}
