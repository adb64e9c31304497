//! From the file of a visit to what the commands compute with. What does not fit is said, and counts for nothing.

use super::closing::{Again, run_words};
use super::error::CommandError;
use super::global::Global;
use super::outside::note;
use crate::content::{Ask, Content, Verdict, Who};
use crate::flow::{Answer, Answers, one_line};
use crate::judge::{LogLine, Notes, Photograph, Stretches};
use crate::names::QuestionId;
use crate::units::Units;
use crate::visit::{Misfit, Note, Visit};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The answers of a visit that fit today's questions; what does not fit is said.
pub(super) fn answers_of(
    visit: &Visit,
    path: &Path,
    content: &Content,
    global: &Global,
) -> Result<(Answers, Units), CommandError> {
    let (mut answers, misfits) = visit.answers(&content.flow, bare_units(visit, content, global));
    say(&misfits, path, None, global);
    global.set_region(content, &mut answers)?;
    let units = global.units(content, &answers);
    Ok((answers, units))
}

/// The country as the file names it. `--region` holds for one run of the program; the country of the file stays in the file.
#[derive(Debug)]
pub(super) struct OwnCountry {
    question: usize,
    /// What the file says.
    own: Option<Answer>,
    /// What is computed with.
    given: Option<Answer>,
}

impl OwnCountry {
    /// `first` are the answers of the first stretch of wall, as [`answers_of`] gives them.
    pub(super) fn of(visit: &Visit, first: &Answers, content: &Content) -> OwnCountry {
        let question = content.catalog.names.at(QuestionId::Region);
        let own = visit.answers(&content.flow, None).0.get(question).cloned();
        OwnCountry { question, own, given: first.get(question).cloned() }
    }

    /// The answers as they go into the file.
    pub(super) fn in_file(&self, answers: &Answers) -> Answers {
        let mut answers = answers.clone();
        if let Some(own) = &self.own
            && answers.get(self.question) == self.given.as_ref()
        {
            answers.set(self.question, own.clone());
        }
        answers
    }
}

/// In which system a bare number in the file was measured: that of the country which the file names, else as the command
/// line says. Nothing if neither does: then a bare number may mean either.
pub(super) fn bare_units(visit: &Visit, content: &Content, global: &Global) -> Option<Units> {
    let number = content.catalog.names.at(QuestionId::Region);
    let mut sure = Answers::default();
    if let Some(region) = visit.answer_to(&content.flow, number, None) {
        sure.set(number, region);
    }
    let told = || global.units.map(super::global::UnitsArg::units);
    let country = || global.country().map(|region| content.units_of(region));
    content.region(&sure).map(|region| content.units_in(region)).or_else(told).or_else(country)
}

/// Shows what of a file does not count, one line each, and what to do about it.
fn say(misfits: &[Misfit], path: &Path, run: Option<&str>, global: &Global) {
    if misfits.is_empty() {
        return;
    }
    let again = Again { command: "ask", visit: path, rest: run_words(run), global };
    let path = path.display();
    let place = run.map_or_else(|| path.to_string(), |run| format!("{path}, {run}"));
    for misfit in misfits {
        note(&one_line(&format!("{place}: {misfit}")));
    }
    note(&format!(
        "help: nothing of that is lost: it stays in the file and counts again once it can be read. Mend it there, or give a new answer with `{}`",
        again.line()
    ));
}

/// The name that the visit was given, if it was given one.
pub(super) fn name_of(visit: &Visit, content: &Content) -> Option<String> {
    let question = content.catalog.names.at(QuestionId::VisitName);
    match visit.answer_to(&content.flow, question, None)? {
        Answer::Text(name) => Some(name),
        Answer::NotSure
        | Answer::Choice(_)
        | Answer::Several(_)
        | Answer::YesNo(_)
        | Answer::Length(_)
        | Answer::Number(_)
        | Answer::Year(_)
        | Answer::Profile(_)
        | Answer::Places(_) => None,
    }
}

/// The verdict of a visit: the worst over all its stretches of wall.
pub(super) fn verdict_of(visit: &Visit, content: &Content, global: &Global) -> Result<Verdict, CommandError> {
    let bare = bare_units(visit, content, global);
    let (mut first, _) = visit.answers(&content.flow, bare);
    global.set_region(content, &mut first)?;
    let units = global.units(content, &first);
    let others = visit.runs.values().map(|run| visit.run_answers(run, &first, &content.flow, bare).0);
    let all: Vec<Answers> = std::iter::once(first.clone()).chain(others).collect();
    let assessed = all.iter().map(|answers| (String::new(), content.assess(answers, units))).collect();
    let stretches = Stretches::of(assessed).ok_or(CommandError::NoStretch)?;
    Ok(stretches.worst().settled.verdict)
}

/// All stretches of wall of a visit, by name: the first, and those that differ from it.
pub(super) fn stretches_of(
    visit: &Visit,
    first: Answers,
    path: &Path,
    content: &Content,
    global: &Global,
) -> Vec<(String, Answers)> {
    let mut list = vec![(content.word("label.first_stretch").to_owned(), first)];
    for name in visit.runs.keys() {
        let answers = run_of(visit, name, &list[0].1, path, content, global);
        let shown = name_apart(name, |name| list.iter().any(|(known, _)| known == name));
        list.push((shown, answers));
    }
    list
}

/// A name of the file as it may be shown. Two that look alike then are told apart by a number.
fn name_apart(name: &str, taken: impl Fn(&str) -> bool) -> String {
    let bare = one_line(name).trim().to_owned();
    let numbered = (2..).map(|number| format!("{bare} ({number})"));
    std::iter::once(bare.clone()).chain(numbered).find(|name| !taken(name)).unwrap_or(bare)
}

/// The answers of another stretch of wall, which need not be there yet: those of the first, with what differs.
pub(super) fn run_of(
    visit: &Visit,
    name: &str,
    first: &Answers,
    path: &Path,
    content: &Content,
    global: &Global,
) -> Answers {
    let Some(run) = visit.runs.get(name) else { return first.clone() };
    let (answers, misfits) = visit.run_answers(run, first, &content.flow, bare_units(visit, content, global));
    say(&misfits, path, Some(name), global);
    answers
}

/// The answers of one stretch of wall by its name; of the first without a name.
pub(super) fn stretch_named(list: Vec<(String, Answers)>, name: Option<&str>) -> Result<Answers, CommandError> {
    let known: Vec<String> = list.iter().map(|(n, _)| n.clone()).collect();
    let found = match name {
        None => list.into_iter().next(),
        Some(name) => list.into_iter().find(|(n, _)| n == name),
    };
    found.map(|(_, answers)| answers).ok_or(CommandError::Stretch { known })
}

/// What a visit holds besides its answers; what of it is not known is said. An owner that is not known is refused, since a
/// task would seem to have none.
pub(super) fn notes_of(visit: &Visit, path: &Path, content: &Content) -> Result<Notes, CommandError> {
    let who = |word: &String| {
        let known = Who::ALL.into_iter().find(|who| who.word() == word);
        known.ok_or_else(|| CommandError::Owner { path: path.to_owned(), word: word.clone() })
    };
    let owners = visit
        .owners
        .iter()
        .map(|(task, list)| Ok((task.clone(), list.iter().map(who).collect::<Result<_, CommandError>>()?)));
    let owners = owners.collect::<Result<_, CommandError>>()?;
    say_unheard(visit, path, content);
    Ok(Notes { contractors: heard_of(visit, content), owners, photos: photos_of(visit, path), ..Notes::default() })
}

/// The notes of a visit as a sheet shows them.
pub(super) fn log_of(visit: &Visit) -> Vec<LogLine> {
    let clean = |text: &String| one_line(text).trim().to_owned();
    let line = |note: &Note| LogLine {
        date: clean(&note.date),
        about: clean(&note.about),
        text: clean(&note.text),
        photos: note.photos.iter().map(clean).collect(),
    };
    visit.log.iter().map(line).collect()
}

/// The photographs that the notes of a visit name. One that lies outside of the folder of the visit is not followed: whoever
/// wrote the visit could put any picture of this machine on a sheet.
fn photos_of(visit: &Visit, path: &Path) -> Vec<Photograph> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let whole = folder.canonicalize().ok();
    let mut photos = Vec::new();
    for (note, line) in visit.log.iter().zip(log_of(visit)) {
        for (file, shown) in note.photos.iter().zip(&line.photos) {
            let there = folder.join(file).canonicalize().ok();
            let inside = |there: &PathBuf| whole.as_ref().is_some_and(|whole| there.starts_with(whole));
            photos.push(Photograph {
                date: line.date.clone(),
                about: line.about.clone(),
                text: line.text.clone(),
                file: shown.clone(),
                outside: there.as_ref().is_some_and(|there| !inside(there)),
                path: there.filter(inside),
            });
        }
    }
    photos
}

/// What contractors said, as far as it is known.
pub(super) fn heard_of(visit: &Visit, content: &Content) -> BTreeMap<String, BTreeMap<String, Vec<String>>> {
    let known = |(id, points): (&String, &Vec<String>)| {
        let ask = content.asks.iter().find(|ask| ask.id == *id)?;
        let (known, strange) = split(points, ask);
        // of an answer that nobody can read, nobody can say that it was weak
        (strange.is_empty() || !known.is_empty()).then(|| (id.clone(), known))
    };
    let each = visit.contractors.iter();
    let mut all = BTreeMap::new();
    for (name, heard) in each {
        all.insert(name_apart(name, |name| all.contains_key(name)), heard.iter().filter_map(known).collect());
    }
    all
}

/// Shows what contractors are noted to have said that these questions do not have.
pub(super) fn say_unheard(visit: &Visit, path: &Path, content: &Content) {
    let path = path.display();
    for (name, heard) in &visit.contractors {
        for (id, points) in heard {
            let Some(ask) = content.asks.iter().find(|ask| ask.id == *id) else {
                note(&one_line(&format!(
                    "{path}: `{id}` of {name} under `contractors` counts for nothing: contractors are not asked that any more. It stays in the file"
                )));
                continue;
            };
            for point in split(points, ask).1 {
                note(&one_line(&format!(
                    "{path}: `{point}` of {name} under `contractors`, `{id}`, counts for nothing: that question has no such point. It stays in the file until the question is answered anew"
                )));
            }
        }
    }
}

/// The points of an answer that the question has, and those that it does not have.
fn split(points: &[String], ask: &Ask) -> (Vec<String>, Vec<String>) {
    let good = (1..=ask.good.len()).map(|n| format!("good.{n}"));
    let has: Vec<String> = good.chain((1..=ask.weak.len()).map(|n| format!("weak.{n}"))).collect();
    points.iter().cloned().partition(|point| has.contains(point))
}
