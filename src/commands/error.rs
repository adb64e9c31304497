//! Why a command failed: one variant a case, and all messages in one place.

use super::written::{Format, Seems};
use crate::content::OwnError;
use crate::flow::{AnswerError, ContentError, one_line};
use crate::render::PdfError;
use crate::units::LengthError;
use crate::visit::VisitError;
use crate::work::{TableSlip, WeatherError};
use jiff::civil::Date;
use std::io;
use std::path::PathBuf;

/// The exit code after Ctrl-C, as shells have it: 128 and the number of the signal.
pub(super) const INTERRUPTED: u8 = 130;

/// Why a command failed. The text is for the user.
#[derive(Debug, thiserror::Error)]
pub enum CommandError {
    /// The questions cannot be used.
    #[error(transparent)]
    Content(#[from] ContentError),
    /// The proof of the questions failed; what is wrong is in the JSON.
    #[error("the questions are not sound; what is wrong stands in the JSON")]
    Unproved,
    /// The visit cannot be used.
    #[error(transparent)]
    Visit(#[from] VisitError),

    // ---- files and the terminal
    /// A file that the user named cannot be read.
    #[error("cannot read {path}: {reason}")]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: io::Error,
    },
    /// A result cannot be written.
    #[error("cannot write {path}: {reason}")]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: io::Error,
    },
    /// A result cannot be printed.
    #[error("cannot write the result: {0}")]
    Print(io::Error),
    /// The terminal failed in the middle of asking.
    #[error("the terminal failed; the answers so far are in {path}: {reason}")]
    Terminal {
        /// The visit.
        path: PathBuf,
        /// What the system says.
        reason: io::Error,
    },
    /// A report cannot be put into words of JSON.
    #[error("the report cannot be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// A table cannot be put into words of CSV.
    #[error("the table cannot be written as CSV: {0}")]
    Csv(#[from] csv::Error),

    // ---- what is asked for
    /// `-o` names something that must not be written over, or a form that does not fit.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// A figure without a value.
    #[error("--figure {entry}: write it as name=value")]
    FigureForm {
        /// What was typed.
        entry: String,
    },
    /// A figure that cannot be set.
    #[error("--figure {entry}: {error}")]
    Figure {
        /// What was typed.
        entry: String,
        /// What is wrong with it.
        error: OwnError,
    },
    /// Figures that do not go together.
    #[error(transparent)]
    Figures(OwnError),
    /// No such region.
    #[error("no region `{found}`; known: {}", known.join(", "))]
    Region {
        /// What was typed.
        found: String,
        /// The ids of all regions.
        known: Vec<String>,
    },
    /// No such language.
    #[error("there is no language `{found}`; there is: en, {}", known.join(", "))]
    Language {
        /// What was typed.
        found: String,
        /// The languages beside English.
        known: Vec<String>,
    },
    /// A folder of questions without any file of questions.
    #[error("there is no .yaml file in {folder}")]
    NoYaml {
        /// The folder.
        folder: PathBuf,
    },
    /// A folder that leads back to itself.
    #[error("{folder} is a link back into the same folder; take it away")]
    LinkBack {
        /// The link.
        folder: PathBuf,
    },
    /// The program was built without its demo.
    #[error("the demo {path} is missing")]
    NoDemo {
        /// Its path among the built-in files.
        path: &'static str,
    },
    /// Questions without rules.
    #[error("these questions hold no rule that carries a verdict, so there is no advice to give")]
    NoRules,
    /// No stretch of wall of this name.
    #[error("there is no such stretch; there is: {}", known.join(", "))]
    Stretch {
        /// The names of all stretches.
        known: Vec<String>,
    },
    /// No stretch of wall at all.
    #[error("there is no stretch of wall to tell about")]
    NoStretch,
    /// A stretch without a name.
    #[error("a stretch of wall needs a name: `--run NAME`")]
    NamelessStretch,
    /// Another stretch before the first.
    #[error("answer for the first stretch of wall before another one: leave --run out")]
    FirstStretch,

    // ---- leaving before the end
    /// Somebody interrupted the program; what is saved was said already.
    #[error("interrupted")]
    Interrupted,
    /// There was nothing more to read in the middle.
    #[error("the input ended in the middle, so this is not finished\nhelp: saved in {path}; go on with: {command}")]
    EndOfInput {
        /// The visit.
        path: PathBuf,
        /// The command that goes on.
        command: String,
    },

    // ---- the settings, the shell
    /// The settings cannot be used.
    #[error(transparent)]
    Config(#[from] ConfigError),
    /// No such command.
    #[error("there is no command `{found}`; there is: {}", known.join(", "))]
    NoCommand {
        /// What was typed.
        found: String,
        /// All commands.
        known: Vec<String>,
    },
    /// Nothing to change.
    #[error(
        "say what to change as id=value, as in: wallfoot set joint=open_gap\nhelp: docs/questions.md lists the ids"
    )]
    NothingToSet,

    // ---- what stands beside the answers
    /// An owner that is nobody known.
    #[error("{path}: `{}` under `owners` is nobody known; write homeowner, hardscape or exterior", one_line(word))]
    Owner {
        /// The visit.
        path: PathBuf,
        /// What stands there.
        word: String,
    },
    /// A contractor without a name.
    #[error("give the contractor a name of yours, as in: wallfoot contractor \"First crew\"")]
    NoContractor,
    /// Nothing to note.
    #[error("give a note or a photograph to add")]
    NoNote,
    /// No day.
    #[error("`{found}` is no date; write it like 2026-11-25")]
    Date {
        /// What was typed.
        found: String,
    },
    /// A note about something that there is not.
    #[error("there is no question, finding, limit or task `{id}`; {}", near.as_ref().map_or_else(|| "`wallfoot advise --as json` shows the ids".to_owned(), |near| format!("did you mean `{near}`?")))]
    About {
        /// What was typed.
        id: String,
        /// The id that is spelt most like it.
        near: Option<String>,
    },

    // ---- comparing and drawing
    /// More alternatives than fit.
    #[error("at most {most} alternatives fit beside the visit")]
    TooMany {
        /// How many fit.
        most: usize,
    },
    /// Nothing to set beside the visit.
    #[error(
        "nothing has been tried in {path} yet\nhelp: try something with --set, as in `wallfoot compare {path} --set \"lower=2 in\"`, or from the menu of `wallfoot ask {path}`"
    )]
    NoTries {
        /// The visit.
        path: PathBuf,
    },
    /// An alternative that cannot be made.
    #[error(transparent)]
    Change(#[from] ChangeError),
    /// Changes of answers of which one at least cannot be made; none was.
    #[error("{path} was left as it is:\n{}", told(mistakes))]
    Changes {
        /// The visit.
        path: PathBuf,
        /// All that is wrong.
        mistakes: Vec<ChangeError>,
    },
    /// A place along the wall that is no length.
    #[error(transparent)]
    At(LengthError),
    /// A place beyond the work.
    #[error("{at} lies beyond the work at this wall")]
    Beyond {
        /// The place, as a length in the user's units.
        at: String,
    },
    /// Too little is known for a picture.
    #[error(
        "there is nothing to draw yet: at least two heights must be known\nhelp: `wallfoot ask` asks for them; docs/measure.md shows how"
    )]
    NothingToDraw,
    /// The wall stays as it is.
    #[error("there is nothing to draw: no work on the list changes the foot of this wall")]
    NothingAfter,

    /// No question for a contractor goes with what is known.
    #[error(
        "there is nothing to ask a contractor in {path} yet: it is not known what is planned\nhelp: say so first with `wallfoot ask`"
    )]
    NothingToHear {
        /// The visit.
        path: PathBuf,
    },

    // ---- the plan
    /// The user's own book cannot be used.
    #[error("{path}: {}", one_line(&error.to_string()))]
    Book {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: BookError,
    },
    /// A weather file cannot be used.
    #[error("{path}: {}", one_line(&error.to_string()))]
    Weather {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: WeatherError,
    },
    /// Hours of wind and rain cannot be used.
    #[error("{path}: {}", one_line(&error.to_string()))]
    Hours {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: HoursError,
    },
    /// A first day that the weather file does not have.
    #[error("--start {date}: the weather file has no such day{}", days.map_or_else(String::new, |(first, last)| format!("; it goes from {first} to {last}")))]
    Start {
        /// What was asked for.
        date: Date,
        /// The first and the last day of the file.
        days: Option<(Date, Date)>,
    },
    /// A calendar without days.
    #[error("a calendar needs days: give --weather FILE")]
    NoWeather,
    /// A calendar without work.
    #[error("this visit calls for no work, so there is no calendar")]
    NoWork,
    /// A weather file that is too short.
    #[error("the weather file ends before the work does; give more days")]
    WeatherEnds,
}

impl CommandError {
    /// Whether all that there is to say has been said.
    pub(super) fn is_silent(&self) -> bool {
        matches!(self, CommandError::Interrupted)
    }

    /// Whether the reader of a pipe has seen enough, which is no failure.
    pub(super) fn is_closed_pipe(&self) -> bool {
        matches!(self, CommandError::Print(reason) if reason.kind() == io::ErrorKind::BrokenPipe)
    }

    /// The exit code: 2 for what is wrong about the command line whatever stands in the files, else 1.
    pub(super) fn exit_code(&self) -> u8 {
        match self {
            CommandError::Output(error) => error.exit_code(),
            CommandError::NothingToSet
            | CommandError::NoContractor
            | CommandError::NoCommand { .. }
            | CommandError::NoNote
            | CommandError::NoWeather
            | CommandError::NamelessStretch
            | CommandError::Date { .. }
            | CommandError::At(_)
            | CommandError::TooMany { .. }
            | CommandError::Region { .. }
            | CommandError::Language { .. } => 2,
            CommandError::Interrupted => INTERRUPTED,
            CommandError::Changes { mistakes, .. } if mistakes.iter().any(ChangeError::is_wrong_use) => 2,
            _ => 1,
        }
    }
}

impl OutputError {
    fn exit_code(&self) -> u8 {
        match self {
            OutputError::Ending { .. }
            | OutputError::NoSuchEnding { .. }
            | OutputError::NotHere { .. }
            | OutputError::Bytes { .. }
            | OutputError::Pdf(PdfError::NotBuilt) => 2,
            OutputError::Visit { .. } | OutputError::Taken { .. } | OutputError::Pdf(PdfError::Refused(_)) => 1,
        }
    }
}

/// Why a result is not written to the file that `-o` names. Nothing was written.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// It is the visit that the result was made from.
    #[error("{path} is the visit itself; choose another file for -o")]
    Visit {
        /// The file.
        path: PathBuf,
    },
    /// A form that no terminal can show.
    #[error("{format} is nothing for a terminal\nhelp: say where it goes, as in -o sheet.{}", format.ending())]
    Bytes {
        /// The form.
        format: Format,
    },
    /// There is no PDF.
    #[error(transparent)]
    Pdf(#[from] PdfError),
    /// It is there and holds something else.
    #[error(
        "{path} is there already and is left as it is: it seems to be {seems}, and only {format} that wallfoot wrote is replaced\nhelp: choose another name for -o, or take the file away first"
    )]
    Taken {
        /// The file.
        path: PathBuf,
        /// What it seems to be.
        seems: Seems,
        /// What would have been written.
        format: Format,
    },
    /// `--as` says one form, the ending of the file another.
    #[error(
        "-o {path}: the ending is that of {ending}, but --as asks for {format}\nhelp: leave --as out, or let the file end in .{}", format.ending()
    )]
    Ending {
        /// The file.
        path: PathBuf,
        /// The form of the ending.
        ending: Format,
        /// The form that was asked for.
        format: Format,
    },
    /// An ending that says no form.
    #[error(
        "-o {path}: no form ends in .{ending}\nhelp: let the file end in {}, or say the form with --as",
        endings(known)
    )]
    NoSuchEnding {
        /// The file.
        path: PathBuf,
        /// The ending.
        ending: String,
        /// The forms of this command.
        known: Vec<Format>,
    },
    /// The ending of a form that this command does not have.
    #[error("-o {path}: this command does not write {ending}\nhelp: let the file end in {}", endings(known))]
    NotHere {
        /// The file.
        path: PathBuf,
        /// The form of the ending.
        ending: Format,
        /// The forms of this command.
        known: Vec<Format>,
    },
}

fn endings(known: &[Format]) -> String {
    known.iter().map(|format| format!(".{}", format.ending())).collect::<Vec<_>>().join(", ")
}

/// Why a picture of the user is not on a page. The page is made without it.
#[derive(Debug, thiserror::Error)]
pub(super) enum ImageError {
    /// The file cannot be read.
    #[error("it cannot be read: {reason}")]
    Read {
        /// What the system says.
        reason: io::Error,
    },
    /// The file is larger than a picture may be.
    #[error("the file is larger than 40 MB; save a smaller copy")]
    TooLarge,
    /// It is no picture that wallfoot can read.
    #[error("it is no JPEG or PNG picture of at most 16,000 pixels a side; save a copy as one")]
    Format,
    /// This program was built without the feature that reads pictures.
    #[cfg_attr(feature = "photos", allow(dead_code))] // told only where it is so
    #[error("this wallfoot was built without pictures; build it with `--features photos`")]
    NotBuilt,
}

/// Why the settings cannot be used. Nothing was done.
#[derive(Debug, thiserror::Error)]
pub enum ConfigError {
    /// The file cannot be read.
    #[error(
        "cannot read the settings {path}: {reason}\nhelp: name another file with --config FILE; WALLFOOT_CONFIG with nothing behind it does without settings"
    )]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: io::Error,
    },
    /// Something in it is wrong.
    #[error("{}", shown(.0))]
    Mistakes(ContentError),
    /// A setting that means nothing.
    #[error("the settings name `{found}`, which there is not")]
    Setting {
        /// What stands there.
        found: String,
    },
}

/// Mistakes with their lines, and what to do.
fn shown(error: &ContentError) -> String {
    let mistakes: Vec<&str> = error.mistakes.iter().map(crate::flow::Found::shown).collect();
    format!(
        "{}\n\nnothing was done; mend the settings, or do without them: WALLFOOT_CONFIG with nothing behind it",
        mistakes.join("\n\n")
    )
}

/// Why an alternative cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum ChangeError {
    /// No `=` in it.
    #[error("`{found}` is no change; write it as id=value, as in joint=open_gap")]
    Form {
        /// What was typed.
        found: String,
    },
    /// The surface is moved by something that is no length.
    #[error("{id}: {error}")]
    By {
        /// `lower` or `raise`.
        id: String,
        /// What is wrong with the length.
        error: LengthError,
    },
    /// The surface cannot be moved.
    #[error(
        "{id}: the height of the surface below the mark is not known, or differs along the wall; set it by its question"
    )]
    NoHeight {
        /// `lower` or `raise`.
        id: String,
    },
    /// No such question.
    #[error("there is no question `{id}`; {}", near.as_ref().map_or_else(|| "docs/questions.md lists them".to_owned(), |near| format!("did you mean `{near}`?")))]
    Question {
        /// What was typed.
        id: String,
        /// The question that is spelt most like it.
        near: Option<String>,
    },
    /// No answer to that question.
    #[error("{id}: {error}{}", near.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?")))]
    Answer {
        /// The question.
        id: String,
        /// What is wrong with the answer.
        error: AnswerError,
        /// The choice that is spelt most like it.
        near: Option<String>,
    },
    /// Two answers to one question.
    #[error("{id}: it is given twice; give it once")]
    Twice {
        /// The question.
        id: String,
    },
    /// A question that this visit does not ask.
    #[error("{id}: this visit does not ask it{}", because(by))]
    NotAsked {
        /// The question.
        id: String,
        /// What hides it: ids of questions, and their answers in words; nothing where there is no answer.
        by: Vec<(String, Option<String>)>,
    },
}

impl ChangeError {
    /// Whether it is wrong whatever stands in the visit.
    fn is_wrong_use(&self) -> bool {
        matches!(self, ChangeError::Form { .. } | ChangeError::Twice { .. })
    }
}

fn because(by: &[(String, Option<String>)]) -> String {
    let one = |(id, answer): &(String, Option<String>)| match answer {
        Some(answer) => format!("`{id}` is \"{answer}\""),
        None => format!("`{id}` is not answered"),
    };
    let list = by.iter().map(one).collect::<Vec<_>>().join(", ");
    if list.is_empty() { list } else { format!(", because {list}") }
}

fn told(mistakes: &[ChangeError]) -> String {
    mistakes.iter().map(|mistake| format!("- {mistake}")).collect::<Vec<_>>().join("\n")
}

/// Why the user's own book cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// It is no YAML, or has fields that a book does not have.
    #[error("{0}")]
    Yaml(Box<serde_yaml::Error>),
    /// A price that is no range.
    #[error("`{name}` must be low, likely and high in rising order, not below zero, at most 1000000000")]
    Range {
        /// What it is the price of.
        name: String,
    },
    /// Labour of somebody who is no trade.
    #[error("`{found}` under `labour` is no trade; there are: {}", known.join(", "))]
    Trade {
        /// What stands there.
        found: String,
        /// The trades.
        known: Vec<&'static str>,
    },
    /// A figure that cannot be set.
    #[error("under `figures`: {0}")]
    Figure(OwnError),
    /// A duration that cannot be set.
    #[error("under `activities`: {0}")]
    Activity(OwnError),
    /// Figures that do not go together.
    #[error(transparent)]
    Figures(OwnError),
    /// A price of nothing that is counted.
    #[error("`{id}` under `materials` is nothing that is counted{}", near.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?")))]
    Material {
        /// What stands there.
        id: String,
        /// The material that is spelt most like it.
        near: Option<String>,
    },
    /// A price of something that has none.
    #[error("`{id}` under `materials` has no price: it only counts work, or stands for another row")]
    NotPriced {
        /// The material.
        id: String,
    },
}

/// Why hours of wind and rain cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum HoursError {
    /// It is no table.
    #[error("{0}")]
    Table(#[from] csv::Error),
    /// A column is missing.
    #[error("there is no column `{wanted}`; there is: {}", found.join(", "))]
    Column {
        /// What is wanted.
        wanted: &'static str,
        /// The columns there are.
        found: Vec<String>,
    },
    /// A value that cannot be.
    #[error("line {line}: `{found}` cannot be {what}; it must lie between {least} and {most}")]
    Value {
        /// The line, from 1.
        line: u64,
        /// What stands there.
        found: String,
        /// What it should be, with its unit.
        what: &'static str,
        /// The least that is taken.
        least: f64,
        /// The most that is taken.
        most: f64,
    },
    /// Values stand in the wrong column.
    #[error(transparent)]
    Slip(#[from] TableSlip),
    /// Not one hour with all three.
    #[error("there is no hour with wind, direction and rain")]
    Empty,
}

/// Why a list of weekdays cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{found}` is no day of the week; write mon, tue, wed, thu, fri, sat or sun")]
pub struct WeekdayError {
    /// What was typed.
    pub found: String,
}
