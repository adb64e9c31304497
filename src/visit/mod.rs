//! A visit on disk: the answers about one place.
//!
//! Reading and writing is all that happens here; what the answers mean is the flow's business.

use crate::flow::{Answer, Answers, Flow, QuestionKind};
use crate::units::{Length, Units};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

/// The version of the file format that this program writes.
pub const FORMAT: u32 = 1;

/// A visit as it stands in its file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// Version of the format.
    pub wallfoot_visit: u32,
    /// The day it was started, `2026-11-25`.
    #[serde(default)]
    pub started: String,
    /// The day of the last change.
    #[serde(default)]
    pub changed: String,
    /// Answers that count, by question id, as a user would type them.
    #[serde(default)]
    pub answers: BTreeMap<String, String>,
    /// Questions answered with "not sure".
    #[serde(default)]
    pub not_sure: Vec<String>,
    /// Other stretches of wall, by name: only what differs from the first.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub runs: BTreeMap<String, Run>,
    /// What contractors said, by name: by the id of the question the points that were heard, such as `good.1` or
    /// `weak.2`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub contractors: BTreeMap<String, BTreeMap<String, Vec<String>>>,
    /// Who owns each task at the joint, by its id: `homeowner`, `hardscape`, `exterior`; an empty list is nobody.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub owners: BTreeMap<String, Vec<String>>,
    /// Dated notes, the oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub log: Vec<Note>,
    /// Answers of questions that are hidden now, or that the questions no longer have. They count
    /// for nothing and come back if their question does.
    #[serde(default)]
    pub set_aside: BTreeMap<String, String>,
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
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<String>,
}

/// What is different on another stretch of wall.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// Answers that differ.
    #[serde(default)]
    pub answers: BTreeMap<String, String>,
    /// Questions that are "not sure" there, and are not on the first stretch.
    #[serde(default)]
    pub not_sure: Vec<String>,
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
    /// The file cannot be written. Nothing was changed on disk.
    #[error(
        "cannot write the visit {path}: {reason}\nhelp: what is on disk is whole and holds all answers but the last. Make room or mend the place, or copy the file elsewhere; then go on with `wallfoot ask PATH`"
    )]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: std::io::Error,
    },
    /// The file is no YAML, or has fields a visit does not have.
    #[error(
        "the visit {path} cannot be understood: {reason}\nhelp: mend that line, or start anew under another name; the file was left as it is"
    )]
    Format {
        /// The file.
        path: PathBuf,
        /// What is wrong and where.
        reason: String,
    },
    /// The file is something else.
    #[error("{path} is not a visit: it has no `wallfoot_visit:` line\nhelp: give the file that `wallfoot ask` wrote")]
    NotAVisit {
        /// The file.
        path: PathBuf,
    },
    /// Somebody else wrote the file since it was read. It was left as it is.
    #[error(
        "the visit {path} was changed by another program while you were answering; it was left as it is\nhelp: your last answer is not in it. Go on with `wallfoot ask {path}`, or copy the file first"
    )]
    Changed {
        /// The file.
        path: PathBuf,
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

/// An answer in a file that does not fit the questions of today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// The question.
    pub question: String,
    /// What is wrong, as a sentence.
    pub reason: String,
}

#[derive(Deserialize)]
struct Header {
    wallfoot_visit: Option<u32>,
}

impl Visit {
    /// An empty visit, started on a day.
    #[must_use]
    pub fn new(today: &str) -> Visit {
        Visit {
            wallfoot_visit: FORMAT,
            started: today.to_owned(),
            changed: today.to_owned(),
            answers: BTreeMap::new(),
            not_sure: Vec::new(),
            set_aside: BTreeMap::new(),
            runs: BTreeMap::new(),
            contractors: BTreeMap::new(),
            owners: BTreeMap::new(),
            log: Vec::new(),
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
        let text =
            std::fs::read_to_string(path).map_err(|reason| VisitError::Read { path: path.to_owned(), reason })?;
        Ok((Self::parse(&text, path)?, text))
    }

    /// Reads a visit from text; `path` is for messages.
    ///
    /// # Errors
    /// As [`Visit::read`], except for reading the file.
    pub fn parse(text: &str, path: &Path) -> Result<Visit, VisitError> {
        let path = || path.to_owned();
        let reason =
            |error: serde_yaml::Error| VisitError::Format { path: path(), reason: error.without_snippet().to_string() };
        let header: Header = serde_yaml::from_str_with_options(text, strict()).map_err(reason)?;
        match header.wallfoot_visit {
            None => Err(VisitError::NotAVisit { path: path() }),
            Some(found) if found > FORMAT => Err(VisitError::Newer { path: path(), found }),
            Some(_) => serde_yaml::from_str_with_options(text, strict()).map_err(reason),
        }
    }

    /// Writes the visit: into a new file beside it first, which then takes its place, so that the
    /// old one is whole until the new one is. Gives back the text as written.
    ///
    /// # Errors
    /// [`VisitError::Write`]; the file on disk is then as it was.
    pub fn write(&self, path: &Path) -> Result<String, VisitError> {
        let fail = |reason| VisitError::Write { path: path.to_owned(), reason };
        let text = serde_yaml::to_string(self).map_err(|e| fail(std::io::Error::other(e)))?;
        write_whole(path, &text).map_err(fail)?;
        Ok(text)
    }

    /// Writes the visit, unless the file no longer holds `last`, which this program wrote or read.
    ///
    /// # Errors
    /// [`VisitError::Changed`] if another program wrote to the file, else as [`Visit::write`].
    pub fn write_after(&self, path: &Path, last: &str) -> Result<String, VisitError> {
        if std::fs::read_to_string(path).is_ok_and(|now| now != last) {
            return Err(VisitError::Changed { path: path.to_owned() });
        }
        self.write(path)
    }

    /// The answers that fit the questions of today, and what does not fit. Bare numbers are read in `units`.
    #[must_use]
    pub fn answers(&self, flow: &Flow, units: Units) -> (Answers, Vec<Misfit>) {
        let mut answers = Answers::default();
        let mut misfits = Vec::new();
        let aside = self.set_aside.iter().map(|entry| (entry, false));
        for ((id, text), counts) in aside.chain(self.answers.iter().map(|entry| (entry, true))) {
            let Some(number) = flow.question(id) else {
                if counts {
                    misfits.push(Misfit {
                        question: id.clone(),
                        reason: "is no longer asked; its answer is set aside".to_owned(),
                    });
                }
                continue;
            };
            match flow.questions[number].read_answer(text, units) {
                Ok(answer) => answers.set(number, answer),
                Err(_) if !counts => {}
                Err(error) => {
                    misfits.push(Misfit {
                        question: id.clone(),
                        reason: format!("does not fit the questions any more and counts as not answered: {error}"),
                    });
                }
            }
        }
        for id in &self.not_sure {
            match flow.question(id) {
                Some(number) if flow.questions[number].not_sure => answers.set(number, Answer::NotSure),
                Some(_) => misfits.push(Misfit {
                    question: id.clone(),
                    reason: "needs an answer and cannot be \"not sure\"".to_owned(),
                }),
                None => misfits.push(Misfit { question: id.clone(), reason: "is no longer asked".to_owned() }),
            }
        }
        misfits.sort_by(|a, b| a.question.cmp(&b.question));
        (answers, misfits)
    }

    /// The answers of another stretch: those of the first, with what differs laid over them.
    #[must_use]
    pub fn run_answers(&self, run: &Run, base: &Answers, flow: &Flow, units: Units) -> (Answers, Vec<Misfit>) {
        let only = Visit { answers: run.answers.clone(), not_sure: run.not_sure.clone(), ..Visit::new("") };
        let (differing, misfits) = only.answers(flow, units);
        let mut answers = base.clone();
        for (number, answer) in differing.iter() {
            answers.set(number, answer.clone());
        }
        (answers, misfits)
    }

    /// Takes over the answers of another stretch: only what differs from the first is kept.
    pub fn take_run(&mut self, name: &str, flow: &Flow, answers: &Answers, base: &Answers, today: &str) {
        let mut run = Run::default();
        for (number, answer) in answers.iter().filter(|(number, answer)| base.get(*number) != Some(*answer)) {
            let question = &flow.questions[number];
            match write_answer(question, answer) {
                Some(text) => _ = run.answers.insert(question.id.clone(), text),
                None => run.not_sure.push(question.id.clone()),
            }
        }
        self.runs.insert(name.to_owned(), run);
        today.clone_into(&mut self.changed);
    }

    /// Takes over a set of answers: those shown count, the others are set aside. Answers of
    /// questions that the flow does not have stay set aside.
    pub fn take(&mut self, flow: &Flow, answers: &Answers, today: &str) {
        let state = flow.state(answers);
        let mut aside: BTreeMap<String, String> = std::mem::take(&mut self.set_aside);
        aside.append(&mut self.answers);
        aside.retain(|id, _| flow.question(id).is_none());
        self.not_sure.clear();
        for (number, answer) in answers.iter() {
            let question = &flow.questions[number];
            let shown = state.shown[number].is_yes();
            match write_answer(question, answer) {
                Some(text) if shown => _ = self.answers.insert(question.id.clone(), text),
                Some(text) => _ = aside.insert(question.id.clone(), text),
                None if shown => self.not_sure.push(question.id.clone()),
                None => {}
            }
        }
        self.set_aside = aside;
        today.clone_into(&mut self.changed);
    }
}

/// Writes a whole file or nothing: into a new file beside it, which then takes its place. A link is
/// followed to the file itself. Read-only files and what is no file (a device, a folder) are left alone.
///
/// # Errors
/// What the system says, in words that name no passing file.
pub fn write_whole(path: &Path, text: &str) -> std::io::Result<()> {
    use std::io::{Error, ErrorKind};
    let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Error::new(ErrorKind::NotFound, format!("there is no folder {}", folder.display())));
    }
    let there = std::fs::metadata(&path).ok();
    if there.as_ref().is_some_and(|m| !m.is_file()) {
        return Err(Error::new(ErrorKind::InvalidInput, "that is not a file"));
    }
    if there.as_ref().is_some_and(|m| m.permissions().readonly()) {
        return Err(Error::new(ErrorKind::PermissionDenied, "the file is read-only"));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wallfoot-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = there.map_or(0o666, |m| m.permissions().mode() & 0o777);
        builder.permissions(std::fs::Permissions::from_mode(mode));
    }
    // the library's messages name the passing file, which helps nobody
    let mut file = builder.tempfile_in(folder).map_err(|e| Error::from(e.kind()))?;
    file.write_all(text.as_bytes()).map_err(|e| Error::from(e.kind()))?;
    file.as_file().sync_all()?;
    file.persist(&path).map_err(|e| e.error)?;
    Ok(())
}

fn strict() -> serde_yaml::Options {
    serde_yaml::options! {
        strict_booleans: true,
        with_snippet: false,
        budget: serde_yaml::budget! { max_aliases: 0, max_anchors: 0, max_depth: 8, max_nodes: 20_000 },
    }
}

/// An answer as text that [`crate::flow::Question::read_answer`] reads back; nothing for "not sure".
#[must_use]
pub fn write_answer(question: &crate::flow::Question, answer: &Answer) -> Option<String> {
    let id = |index: usize| question.choices.get(index).map(|c| c.id.as_str());
    Some(match answer {
        Answer::NotSure => return None,
        Answer::Choice(index) => id(*index)?.to_owned(),
        Answer::Several(0) => "none".to_owned(),
        Answer::Several(bits) => {
            (0..question.choices.len()).filter(|i| bits & (1 << i) != 0).filter_map(id).collect::<Vec<_>>().join(", ")
        }
        Answer::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Answer::Length(length) => length.exact(),
        Answer::Number(n) => {
            debug_assert_eq!(question.kind, QuestionKind::Number);
            crate::flow::show_thousandths(*n)
        }
        Answer::Year(year) => year.to_string(),
        Answer::Text(text) => text.clone(),
        Answer::Profile(points) => crate::flow::show_profile(points, Length::exact),
        Answer::Places(list) => crate::flow::show_places(list, |i| id(i).unwrap_or_default().to_owned(), Length::exact),
    })
}
