//! The form of the file.

use super::bounded::{MB, read_bounded};
use super::given::{Misfit, Run, RunRef, or_empty};
use super::pasted::pasted;
use super::tries::Try;
use super::whole::write_whole;
use crate::flow::{Answer, Answers, Flow, nearest, one_line};
use crate::units::Units;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// The newest version of the file format. A file says the lowest one that can hold it, so that an older program reads
/// what it can: 2 came with `set_aside` in other stretches of wall, 3 with `shown` and `tries`.
pub const FORMAT: u32 = 3;

/// The version of a file in which a stretch of wall has something set aside, with nothing shown and nothing tried.
const SET_ASIDE_FORMAT: u32 = 2;

/// The version of a file in which no stretch of wall has anything set aside.
const FIRST_FORMAT: u32 = 1;

/// The largest file that is read as a visit, in millions of bytes: some thousand answers and notes fit in.
const MOST_MB: u64 = 1;

/// A visit as it stands in its file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// Version of the format that the file said; [`Visit::to_text`] says the one that is needed.
    pub wallfoot_visit: u32,
    /// The day it was started, `2026-11-25`.
    #[serde(default)]
    pub started: String,
    /// The day of the last change.
    #[serde(default)]
    pub changed: String,
    /// Answers that count, by question id, as a user would type them.
    #[serde(default, deserialize_with = "or_empty")]
    pub answers: BTreeMap<String, String>,
    /// Questions answered with "not sure".
    #[serde(default, deserialize_with = "or_empty")]
    pub not_sure: Vec<String>,
    /// Other stretches of wall, by name: only what was said for them alone.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "BTreeMap::is_empty")]
    pub runs: BTreeMap<String, Run>,
    /// Plans that were tried, by name: only what is different in each.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "BTreeMap::is_empty")]
    pub tries: BTreeMap<String, Try>,
    /// What contractors said, by name: by the id of the question the points that were heard, such as `good.1` or
    /// `weak.2`.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "BTreeMap::is_empty")]
    pub contractors: BTreeMap<String, BTreeMap<String, Vec<String>>>,
    /// Who owns each task at the joint, by its id: `homeowner`, `hardscape`, `exterior`; an empty list is nobody.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "BTreeMap::is_empty")]
    pub owners: BTreeMap<String, Vec<String>>,
    /// Dated notes, the oldest first.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "Vec::is_empty")]
    pub log: Vec<Note>,
    /// The verdict that was shown last; nothing as long as none was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shown: Option<ShownVerdict>,
    /// Answers of questions that are hidden now or that these questions do not have, and what could not be read, all as
    /// it was written. They count for nothing and come back if their question does, or if they can be read.
    #[serde(default, deserialize_with = "or_empty")]
    pub set_aside: BTreeMap<String, String>,
    /// Comments of the file without their `#`. They stand at its head when it is written.
    #[serde(skip)]
    pub comments: Vec<String>,
}

/// A verdict that was shown: the worst over all stretches of wall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShownVerdict {
    /// The day on which it was shown first, `2026-11-25`.
    pub date: String,
    /// The verdict by its word, such as `find_out_first`.
    pub verdict: String,
}

/// A dated note to a visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// The day, `2026-11-25`.
    pub date: String,
    /// The question, finding, limit or task it is about; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// The note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// File names of photographs.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<String>,
}

/// Why a visit cannot be read or written.
#[derive(Debug, thiserror::Error)]
pub enum VisitError {
    /// The file cannot be read.
    #[error(
        "cannot read the visit {path}: {reason}\nhelp: give the file that `wallfoot ask` wrote; `wallfoot ask PATH` starts a new one"
    )]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: std::io::Error,
    },
    /// There is no such file.
    #[error(
        "there is no visit {path}\nhelp: `wallfoot ask {}` begins it; `wallfoot visits` lists those of this folder", pasted(&path.display().to_string())
    )]
    Missing {
        /// The file.
        path: PathBuf,
    },
    /// The file cannot be written. Nothing was changed on disk.
    #[error(
        "cannot write the visit {path}: {reason}\nhelp: {}", if path.exists() { "what is on disk is whole and holds all answers but the last. Make room or mend the place, or copy the file elsewhere; then go on with `wallfoot ask PATH`" } else { "nothing is on disk yet. Make room or mend the place, or begin in another folder" }
    )]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: std::io::Error,
    },
    /// The visit cannot be put into words of YAML. Nothing was changed on disk.
    #[error("cannot write the visit {path}: {reason}\nhelp: the file was left as it is")]
    Text {
        /// The file.
        path: PathBuf,
        /// What the writer of YAML says.
        reason: Box<serde_yaml::ser::Error>,
    },
    /// The file is no YAML, or has fields a visit does not have.
    #[error(
        "the visit {path} cannot be understood: {reason}\nhelp: mend that line, or start anew under another name; the file was left as it is"
    )]
    Format {
        /// The file.
        path: PathBuf,
        /// What is wrong and where.
        reason: FormatError,
    },
    /// The file is something else.
    #[error("{path} is not a visit: it has no `wallfoot_visit:` line\nhelp: give the file that `wallfoot ask` wrote")]
    NotAVisit {
        /// The file.
        path: PathBuf,
    },
    /// Somebody else wrote the file since it was read. It was left as it is.
    #[error(
        "the visit {path} was changed by another program while you were answering; it was left as it is\nhelp: your last answer is not in it. Go on with `wallfoot ask {}`, or copy the file first", pasted(&path.display().to_string())
    )]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// Another program has the visit open for writing.
    #[error(
        "the visit {path} is in use by another {}\nhelp: finish there first, and nothing of either is lost. If none runs any more, take away {beside}", if who.is_empty() { "wallfoot" } else { who }
    )]
    InUse {
        /// The file.
        path: PathBuf,
        /// Which program says that it has it.
        who: String,
        /// The file by which it says so.
        beside: PathBuf,
    },
    /// The file was written by a newer program.
    #[error(
        "the visit {path} was written by a newer wallfoot (format {found}; this one knows {FORMAT})\nhelp: use the newer wallfoot; the file was left as it is"
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// The version found.
        found: u32,
    },
}

/// What is wrong with the YAML of a visit, in words for somebody who edited it by hand.
#[derive(Debug, thiserror::Error)]
pub enum FormatError {
    /// A key that stands twice: which of the two counts?
    #[error("`{key}` stands twice, the second time in line {line}; keep one of them")]
    Twice {
        /// The key.
        key: String,
        /// The line of the second one, from 1.
        line: u64,
    },
    /// More than one document.
    #[error("a second document begins at line {line}; a visit is a file of its own")]
    Documents {
        /// The line, from 1.
        line: u64,
    },
    /// A word that begins a part of a visit, and is none of its parts.
    #[error(
        "`{key}` in line {line} is no part of a visit{}",
        near.as_ref().map(|near| format!("; is it meant to be `{near}`?")).unwrap_or_default()
    )]
    NoPart {
        /// The word.
        key: String,
        /// The line, from 1.
        line: u64,
        /// The part that is most like it.
        near: Option<String>,
    },
    /// A line that breaks the form of the file.
    #[error("line {line} cannot be read, or does not follow from the one before: `{text}`. {}", slip.hint())]
    Line {
        /// The line, from 1.
        line: u64,
        /// What stands there.
        text: String,
        /// What seems to be wrong with it.
        slip: Slip,
    },
    /// The text ends in the middle, or is nothing like a visit.
    #[error("it ends in the middle, or is nothing like a visit; a line of one looks like `  stage: planned`")]
    NoLine,
}

/// What seems to be wrong with a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// It is moved in by a tab.
    Tab,
    /// A quotation mark stands alone.
    Quote,
    /// A bracket stands alone.
    Bracket,
    /// It begins with a mark that means something to YAML.
    Mark,
    /// No more is known.
    Other,
}

impl Slip {
    fn of(text: &str) -> Slip {
        let odd = |mark| text.matches(mark).count() % 2 == 1;
        let uneven = |open, close| text.matches(open).count() != text.matches(close).count();
        let value = text.split_once(": ").map_or(text, |(_, value)| value).trim();
        if text.chars().take_while(|c| c.is_whitespace()).any(|c| c == '\t') {
            Slip::Tab
        } else if value.starts_with(['&', '*', '!', '@', '`', '%']) {
            Slip::Mark
        } else if uneven('[', ']') || uneven('{', '}') {
            Slip::Bracket
        } else if odd('"') || odd('\'') {
            Slip::Quote
        } else {
            Slip::Other
        }
    }

    fn hint(self) -> &'static str {
        match self {
            Slip::Tab => "Move it in with spaces, not with a tab",
            Slip::Quote => "A quotation mark is missing, or one is too many",
            Slip::Bracket => "A bracket is missing, or one is too many",
            Slip::Mark => "Put what stands behind the colon in quotation marks",
            Slip::Other => {
                "Each line is a name, a colon, a space and the answer, and is moved in as far as its neighbours"
            }
        }
    }
}

impl FormatError {
    /// In our own words: those of the reader of YAML are for programmers.
    fn of(error: serde_yaml::Error, text: &str) -> FormatError {
        match error {
            serde_yaml::Error::DuplicateMappingKey { key: Some(key), location } => {
                FormatError::Twice { key, line: location.line() }
            }
            serde_yaml::Error::MultipleDocuments { location, .. } => FormatError::Documents { line: location.line() },
            serde_yaml::Error::SerdeUnknownField { field, expected, location } => {
                let near = nearest(&field, expected.into_iter()).map(str::to_owned);
                FormatError::NoPart { key: one_line(&field).into_owned(), line: location.line(), near }
            }
            // the library's list of errors may grow
            other => {
                let line = other.location().map_or(0, |location| location.line());
                // a mark that stands alone is found where the next thing begins
                let at = usize::try_from(line).unwrap_or_default();
                let lines: Vec<&str> = text.lines().take(at).collect();
                let Some(last) = at.checked_sub(1).and_then(|at| lines.get(at)) else { return FormatError::NoLine };
                let before = lines.len().checked_sub(2).map(|at| lines[at]);
                let slip = match (Slip::of(last), before.map(Slip::of)) {
                    (Slip::Other, Some(before @ (Slip::Bracket | Slip::Quote))) => before,
                    (own, _) => own,
                };
                FormatError::Line { line, text: shown(last), slip }
            }
        }
    }
}

/// A line as it is shown, not longer than a screen is wide.
fn shown(line: &str) -> String {
    let line = one_line(line);
    let start: String = line.trim().chars().take(SHOWN).collect();
    if start.len() < line.trim().len() { format!("{start}...") } else { start }
}

/// How much of a line is shown.
const SHOWN: usize = 60;

#[derive(Deserialize)]
struct Header {
    wallfoot_visit: Option<u32>,
}

impl Visit {
    /// An empty visit, started on a day.
    #[must_use]
    pub fn new(today: &str) -> Visit {
        Visit {
            wallfoot_visit: FIRST_FORMAT,
            started: today.to_owned(),
            changed: today.to_owned(),
            answers: BTreeMap::new(),
            not_sure: Vec::new(),
            shown: None,
            set_aside: BTreeMap::new(),
            runs: BTreeMap::new(),
            tries: BTreeMap::new(),
            contractors: BTreeMap::new(),
            owners: BTreeMap::new(),
            log: Vec::new(),
            comments: Vec::new(),
        }
    }

    /// Reads a visit.
    ///
    /// # Errors
    /// A [`VisitError`] that names the file and says what to do. The file is never changed.
    pub fn read(path: &Path) -> Result<Visit, VisitError> {
        Self::open(path).map(|(visit, _)| visit)
    }

    /// Reads a visit, with its text as it stands in the file, for [`Visit::write_after`].
    ///
    /// # Errors
    /// As [`Visit::read`].
    pub fn open(path: &Path) -> Result<(Visit, String), VisitError> {
        let text = read_bounded(path, MOST_MB).map_err(|reason| match reason.kind() {
            std::io::ErrorKind::NotFound => VisitError::Missing { path: path.to_owned() },
            _ => VisitError::Read { path: path.to_owned(), reason },
        })?;
        Ok((Self::parse(&text, path)?, text))
    }

    /// Reads a visit from text; `path` is for messages.
    ///
    /// # Errors
    /// As [`Visit::read`], except for reading the file.
    pub fn parse(text: &str, path: &Path) -> Result<Visit, VisitError> {
        let path = || path.to_owned();
        let reason =
            |error: serde_yaml::Error| VisitError::Format { path: path(), reason: FormatError::of(error, text) };
        let newer = |found| VisitError::Newer { path: path(), found };
        match serde_yaml::from_str_with_options::<Visit>(text, strict()) {
            Ok(visit) if visit.wallfoot_visit > FORMAT => Err(newer(visit.wallfoot_visit)),
            Ok(visit) => Ok(Visit { comments: comments(text), ..visit }),
            Err(error) => {
                // what does not say that it is a visit of this form need not be one in anything else
                let header: Header = serde_yaml::from_str_with_options(text, strict()).map_err(reason)?;
                Err(match header.wallfoot_visit {
                    None => VisitError::NotAVisit { path: path() },
                    Some(found) if found > FORMAT => newer(found),
                    Some(_) => reason(error),
                })
            }
        }
    }

    /// The text of the file.
    ///
    /// # Errors
    /// [`VisitError::Text`]; `path` is for the message.
    pub fn to_text(&self, path: &Path) -> Result<String, VisitError> {
        let needed = if self.shown.is_some() || !self.tries.is_empty() {
            FORMAT
        } else if self.runs.values().any(|run| !run.set_aside.is_empty()) {
            SET_ASIDE_FORMAT
        } else {
            FIRST_FORMAT
        };
        let numbered = Visit { wallfoot_visit: needed, ..self.clone() };
        let body = serde_yaml::to_string(&numbered)
            .map_err(|reason| VisitError::Text { path: path.to_owned(), reason: Box::new(reason) })?;
        let mut text = String::new();
        for comment in &self.comments {
            // writing to a text cannot fail
            let _ = writeln!(text, "#{comment}");
        }
        let whole = text + &body;
        // what could not be read again is not written
        if whole.len() as u64 > MOST_MB * MB {
            let reason = std::io::Error::other(format!("it would be larger than {MOST_MB} MB"));
            return Err(VisitError::Write { path: path.to_owned(), reason });
        }
        Ok(whole)
    }

    /// Writes the visit: into a new file beside it first, which then takes its place, so that the
    /// old one is whole until the new one is. Gives back the text as written.
    ///
    /// # Errors
    /// [`VisitError::Write`]; the file on disk is then as it was.
    pub fn write(&self, path: &Path) -> Result<String, VisitError> {
        let text = self.to_text(path)?;
        write_whole(path, &text).map_err(|reason| VisitError::Write { path: path.to_owned(), reason })?;
        Ok(text)
    }

    /// Writes the visit, unless the file no longer holds `last`, which this program wrote or read.
    ///
    /// # Errors
    /// [`VisitError::Changed`] if another program wrote to the file, else as [`Visit::write`].
    pub fn write_after(&self, path: &Path, last: &str) -> Result<String, VisitError> {
        unchanged(path, Some(last))?;
        self.write(path)
    }

    /// The answers that fit the questions of today, and what does not fit. Bare numbers are read in `units`; without any,
    /// a length without a unit does not fit.
    #[must_use]
    pub fn answers(&self, flow: &Flow, units: impl Into<Option<Units>>) -> (Answers, Vec<Misfit>) {
        let (given, misfits) = self.first().read(flow, units.into());
        let mut answers = Answers::default();
        for (number, answer) in given {
            answers.set(number, answer);
        }
        (answers, misfits)
    }

    /// The answer to one question, as [`Visit::answers`] gives it.
    #[must_use]
    pub fn answer_to(&self, flow: &Flow, number: usize, units: impl Into<Option<Units>>) -> Option<Answer> {
        self.first().read_one(flow, number, units.into())
    }

    /// The answers of another stretch: those of the first, with what differs laid over them.
    #[must_use]
    pub fn run_answers(
        &self,
        run: &Run,
        base: &Answers,
        flow: &Flow,
        units: impl Into<Option<Units>>,
    ) -> (Answers, Vec<Misfit>) {
        let (differing, misfits) = RunRef::of(run).read(flow, units.into());
        let mut answers = base.clone();
        for (number, answer) in differing {
            answers.set(number, answer);
        }
        (answers, misfits)
    }

    /// Takes over the answers of another stretch: only what was said there is kept with it. What it said before and is
    /// still so keeps its text, even if the first stretch has come to say the same.
    pub fn take_run(&mut self, name: &str, flow: &Flow, answers: &Answers, base: &Answers, today: &str) {
        let mut layer = self.runs.remove(name).unwrap_or_default();
        if layer.take(flow, answers, base) {
            today.clone_into(&mut self.changed);
        }
        layer.settle(flow, None);
        self.runs.insert(name.to_owned(), layer);
    }

    /// Takes over a set of answers: those shown count, the others are set aside. What `answers` does not hold stays as it
    /// is, and so does the text of an answer that is still the same.
    pub fn take(&mut self, flow: &Flow, answers: &Answers, today: &str) {
        let mut layer = Run {
            answers: std::mem::take(&mut self.answers),
            not_sure: std::mem::take(&mut self.not_sure),
            set_aside: std::mem::take(&mut self.set_aside),
        };
        if layer.take(flow, answers, &Answers::default()) {
            today.clone_into(&mut self.changed);
        }
        layer.settle(flow, Some(&flow.state(answers).shown));
        (self.answers, self.not_sure, self.set_aside) = (layer.answers, layer.not_sure, layer.set_aside);
    }

    /// The answers of a try: those of the plan, with what differs laid over them.
    #[must_use]
    pub fn try_answers(
        &self,
        tried: &Try,
        plan: &Answers,
        flow: &Flow,
        units: impl Into<Option<Units>>,
    ) -> (Answers, Vec<Misfit>) {
        self.run_answers(&tried.layer(), plan, flow, units)
    }

    /// The names of the tries of a stretch of wall (empty: the first), in the order of their names.
    pub fn tries_of<'a>(&'a self, stretch: &'a str) -> impl Iterator<Item = (&'a String, &'a Try)> {
        self.tries.iter().filter(move |(_, tried)| tried.stretch == stretch)
    }

    /// Keeps answers as a try of this name, of a stretch whose plan is `plan`. What stands under that name already keeps its
    /// text where it still says the same.
    pub fn take_try(&mut self, name: &str, stretch: &str, flow: &Flow, answers: &Answers, plan: &Answers) {
        let old = self.tries.remove(name).unwrap_or_default();
        let mut layer = old.layer();
        layer.take(flow, answers, plan);
        layer.settle(flow, None);
        layer.leave_out_same(flow, answers, plan);
        let Run { answers, not_sure, set_aside } = layer;
        let tried = Try { stretch: stretch.to_owned(), before: old.before, answers, not_sure, set_aside };
        self.tries.insert(name.to_owned(), tried);
    }

    /// A name for a try that no other has: this one, or this one with a number.
    #[must_use]
    pub fn free_try_name(&self, name: &str) -> String {
        let numbered = (2..).map(|n| format!("{name} {n}"));
        let mut names = std::iter::once(name.to_owned()).chain(numbered);
        names.find(|name| !self.tries.contains_key(name)).unwrap_or_default()
    }

    fn first(&self) -> RunRef<'_> {
        RunRef { answers: &self.answers, not_sure: &self.not_sure, set_aside: &self.set_aside }
    }
}

/// Fails if a file does not hold what this program read or wrote last; nothing: there was none.
pub(super) fn unchanged(path: &Path, last: Option<&str>) -> Result<(), VisitError> {
    use std::io::ErrorKind::NotFound;
    match (std::fs::read(path), last) {
        (Ok(now), Some(last)) if now == last.as_bytes() => Ok(()),
        (Ok(_), _) => Err(VisitError::Changed { path: path.to_owned() }),
        // taken away meanwhile: it is written again, whole
        (Err(reason), _) if reason.kind() == NotFound => Ok(()),
        (Err(reason), _) => Err(VisitError::Write { path: path.to_owned(), reason }),
    }
}

fn strict() -> serde_yaml::Options {
    serde_yaml::options! {
        strict_booleans: true,
        with_snippet: false,
        // an answer that was blanked out is a text too: an empty one, which is asked for again
        null_as_string: true,
        // a tag would be lost on writing
        reject_unsupported_tags: true,
        budget: serde_yaml::budget! { max_aliases: 0, max_anchors: 0, max_depth: 8, max_nodes: 20_000 },
    }
}

/// The comments of a text, without their `#`, each once: whole lines, and of a line with something before its comment the whole
/// line, for it says what the comment is about. Lines of a block of text (`|` or `>`) are text.
fn comments(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut block = None;
    for line in text.lines() {
        let indent = line.len() - line.trim_start().len();
        if block.is_some_and(|start| line.trim().is_empty() || indent > start) {
            continue;
        }
        let at = comment_at(line);
        block = opens_block(&line[..at.unwrap_or(line.len())]).then_some(indent);
        let Some(at) = at else { continue };
        let whole = if line[..at].trim().is_empty() { line[at + 1..].to_owned() } else { format!(" {}", line.trim()) };
        let comment = whole.trim_end().to_owned();
        if !found.contains(&comment) {
            found.push(comment);
        }
    }
    found
}

/// Whether a line ends in the mark of a block of text: `|` or `>`, with `+`, `-` or a digit behind it.
fn opens_block(line: &str) -> bool {
    let line = line.trim_end().trim_end_matches(|c: char| matches!(c, '+' | '-') || c.is_ascii_digit());
    let mark = line.strip_suffix(['|', '>']);
    mark.is_some_and(|before| before.trim_end().ends_with([':', '-']) && before.ends_with(' '))
}

/// Where a comment begins: at a `#` at the start of the line or behind a space, and not within quotes. A quote opens where a
/// value may begin, so that the marks of `2'-6"` are none.
fn comment_at(line: &str) -> Option<usize> {
    let mut quote = None;
    let (mut before, mut mark) = (' ', ' ');
    for (at, c) in line.char_indices() {
        if let Some(open) = quote {
            quote = Some(open).filter(|open| *open != c);
        } else if c == '#' && before.is_whitespace() {
            return Some(at);
        } else if matches!(c, '"' | '\'') && matches!(mark, ' ' | ':' | '-' | ',' | '[' | '{') {
            quote = Some(c);
        }
        if !c.is_whitespace() {
            mark = c;
        }
        before = c;
    }
    None
}
