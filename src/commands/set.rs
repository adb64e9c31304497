//! `wallfoot set`: answers changed without being asked, all of them or none.

use super::arguments::{VISIT_HELP, visit_and_changes};
use super::change::{answer_to, id_and_value, near_question};
use super::closing::{Again, run_words};
use super::error::{ChangeError, CommandError};
use super::global::Global;
use super::outside::{note, today};
use super::reading::{OwnCountry, answers_of, bare_units, stretch_named, stretches_of, verdict_of};
use crate::content::{Content, Verdict};
use crate::flow::{Answer, Answers, Effects};
use crate::names::QuestionId;
use crate::units::Units;
use crate::visit::OpenVisit;
use clap::Args;
use std::collections::BTreeMap;

#[derive(Debug, Args)]
#[command(
    override_usage = "wallfoot set [OPTIONS] [VISIT] <ID=VALUE>...",
    after_help = "Examples:\n  wallfoot set joint=open_gap\n  wallfoot set patio.yaml \"finish_below_mark=9 in\" joint=open_gap \"exit_below_mark=not sure\"\nIf one change cannot be made, none is. Nothing else moves: a figure measured from the surface stays as it was given."
)]
pub(super) struct SetArgs {
    #[arg(value_name = "VISIT", help = VISIT_HELP)]
    visit: Option<String>,
    /// A question by its id (docs/questions.md lists them) and its answer as you would type it. A choice goes by its id or
    /// by its words. `id=not sure` is an answer too
    #[arg(value_name = "ID=VALUE")]
    changes: Vec<String>,
    /// The stretch of wall, by its name
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
}

pub(super) fn run(args: &SetArgs, global: &Global) -> Result<(), CommandError> {
    let (path, texts) = visit_and_changes(args.visit.as_deref(), &args.changes);
    if texts.is_empty() {
        return Err(CommandError::NothingToSet);
    }
    let (content, path) = (global.content()?, &path);
    let mut open = OpenVisit::open(path)?;
    let (first, units) = answers_of(open.visit(), path, content, global)?;
    // what is set aside goes by the country of the file, and so does what is told
    let country = OwnCountry::of(open.visit(), &first, content);
    let stretches = stretches_of(open.visit(), country.in_file(&first), path, content, global);
    // the first stretch has a name on the sheets, and none in the file
    let run = args.run.as_deref().filter(|name| open.visit().runs.contains_key(*name));
    let before = stretch_named(stretches.clone(), args.run.as_deref())?;
    let units = units_after(&texts, &before, content, global, units);
    let set = changes(&texts, &before, content, units)
        .map_err(|mistakes| CommandError::Changes { path: path.clone(), mistakes })?;
    let mut after = laid_over(&before, &set);
    // what was agreed to a lower surface is not agreed to this one
    let numbers: Vec<usize> = set.keys().copied().collect();
    let taken_back = content.taken_back(&before, &after, &numbers);
    for number in &taken_back {
        after.clear(*number);
    }
    let mut effects = content.flow.effects(&before, &after);
    effects.changed.retain(|number| !taken_back.contains(number));
    let say = Telling { content, before: &before, after: &after, units };
    if effects.changed.is_empty() {
        note(&content.word_with("note.nothing_changed", &[("path", &path.display().to_string())]));
        return Ok(());
    }
    match run {
        None => open.write_answers(&content.flow, &after, &today())?,
        Some(name) => open.write_run(name, &content.flow, &after, &stretches[0].1, &today())?,
    }
    say.effects(&effects);
    say.left(&set);
    say.taken_back(&taken_back);
    say.mark();
    if !effects.open.is_empty() || !taken_back.is_empty() {
        let again = Again { command: "ask", visit: path, rest: run_words(run), global };
        note(&content.word_with("note.go_on", &[("command", &again.line())]));
    }
    if !content.has_rules() {
        return Ok(());
    }
    say.verdict(None, &before, &after);
    if run.is_none() {
        // what differs on another stretch is laid over the first one
        let bare = bare_units(open.visit(), content, global);
        for (name, old) in stretches.iter().skip(1) {
            let Some(layer) = open.visit().runs.get(name) else { continue };
            let (new, _) = open.visit().run_answers(layer, &after, &content.flow, bare);
            say.verdict(Some(name), old, &new);
        }
    }
    open.write_shown(verdict_of(open.visit(), content, global)?.word(), &today())?;
    Ok(())
}

/// In which system bare numbers are read: a country that is set here tells it already.
fn units_after(texts: &[String], before: &Answers, content: &Content, global: &Global, units: Units) -> Units {
    let country = content.catalog.names.at(QuestionId::Region);
    let mut given = texts.iter().filter_map(|text| {
        let (id, value) = id_and_value(text).ok()?;
        let (number, answer) = answer_to(id, value, content, units).ok()?;
        (number == country).then_some(answer)
    });
    given.next_back().filter(|_| global.region.is_none()).map_or(units, |answer| {
        let mut answers = before.clone();
        answers.set(country, answer);
        global.units(content, &answers)
    })
}

/// What is set, by the number of its question; or everything that is wrong.
fn changes(
    texts: &[String],
    before: &Answers,
    content: &Content,
    units: Units,
) -> Result<BTreeMap<usize, Answer>, Vec<ChangeError>> {
    let (mut set, mut mistakes, mut failed) = (BTreeMap::new(), Vec::new(), Vec::new());
    for text in texts {
        let read = id_and_value(text).and_then(|(id, value)| {
            let meant = content.flow.question(id).or_else(|| content.flow.question(near_question(id, content)?));
            answer_to(id, value, content, units).inspect_err(|_| failed.extend(meant))
        });
        match read {
            Err(mistake) => mistakes.push(mistake),
            Ok((number, answer)) => {
                if set.insert(number, answer).is_some() {
                    mistakes.push(ChangeError::Twice { id: content.flow.questions[number].id.to_string() });
                }
            }
        }
    }
    let after = laid_over(before, &set);
    let state = content.flow.state(&after);
    let say = Telling { content, before, after: &after, units };
    for number in set.keys().filter(|number| !state.shown[**number].is_yes()) {
        let by = content.flow.hidden_by(*number, &state);
        // it may well be asked once the other mistake is mended
        if by.iter().any(|other| failed.contains(other)) {
            continue;
        }
        let id = |number: usize| content.flow.questions[number].id.to_string();
        let by = by.iter().map(|other| (id(*other), after.get(*other).map(|answer| say.answer(*other, answer))));
        mistakes.push(ChangeError::NotAsked { id: id(*number), by: by.collect() });
    }
    if mistakes.is_empty() { Ok(set) } else { Err(mistakes) }
}

fn laid_over(answers: &Answers, set: &BTreeMap<usize, Answer>) -> Answers {
    let mut answers = answers.clone();
    for (number, answer) in set {
        answers.set(*number, answer.clone());
    }
    answers
}

/// What is said about a change, on standard error.
struct Telling<'a> {
    content: &'a Content,
    before: &'a Answers,
    after: &'a Answers,
    units: Units,
}

impl Telling<'_> {
    fn effects(&self, effects: &Effects) {
        for number in &effects.changed {
            let name = self.name(*number);
            let (old, new) = (self.said(self.before, *number), self.said(self.after, *number));
            note(&format!("{name}: {old} -> {new}"));
            let question = &self.content.flow.questions[*number];
            if let Some(bound) = self.after.get(*number).and_then(|answer| question.unusual(answer, self.units)) {
                let (value, from, to) = (bound.value, bound.from, bound.to);
                self.tell("note.unusual", &[("value", &value), ("from", &from), ("to", &to)]);
            }
        }
        for number in &effects.hidden {
            let (name, said) = (self.name(*number), self.said(self.before, *number));
            self.tell("note.no_longer_asked", &[("name", &name), ("answer", &said)]);
        }
        for number in &effects.back {
            let (name, said) = (self.name(*number), self.said(self.after, *number));
            self.tell("note.asked_again", &[("name", &name), ("answer", &said)]);
        }
        for number in &effects.open {
            self.tell("note.asked_now", &[("name", &self.name(*number))]);
        }
    }

    /// What was measured from a surface that lies elsewhere now, and stays as it was given.
    fn left(&self, set: &BTreeMap<usize, Answer>) {
        let numbers: Vec<usize> = set.keys().copied().collect();
        let moved = self.content.with_what_moves(self.before, self.after, &numbers);
        for number in self.content.flow.effects(self.after, &moved).changed {
            let (name, said, would) = (self.name(number), self.said(self.after, number), self.said(&moved, number));
            self.tell("note.left_as_given", &[("name", &name), ("answer", &said), ("moved", &would)]);
        }
    }

    /// That heights were measured from another mark.
    fn mark(&self) {
        let mark = self.content.catalog.names.at(QuestionId::MarkName);
        let named = |answers: &Answers| {
            let shown = self.content.flow.state(answers).shown[mark];
            answers.get(mark).filter(|_| shown.is_yes()).cloned()
        };
        if named(self.before) != named(self.after) {
            self.tell("note.other_mark", &[]);
        }
    }

    /// What was agreed to a lower surface.
    fn taken_back(&self, numbers: &[usize]) {
        for number in numbers {
            let (name, said) = (self.name(*number), self.said(self.before, *number));
            self.tell("note.taken_back", &[("name", &name), ("answer", &said)]);
        }
    }

    /// What became of the verdict; of another stretch of wall only if it is another one now.
    fn verdict(&self, stretch: Option<&str>, before: &Answers, after: &Answers) {
        let verdict = |answers| self.content.assess(answers, self.units).settled.verdict;
        let word = |verdict: Verdict| self.content.word(&format!("verdict.{}", verdict.word())).to_owned();
        let (old, new) = (verdict(before), verdict(after));
        let place = stretch.map_or_else(String::new, |name| format!("{name}: "));
        if old != new {
            let said = self.content.word_with("note.verdict_now", &[("old", &word(old)), ("new", &word(new))]);
            note(&format!("{place}{said}"));
        } else if stretch.is_none() {
            self.tell("note.verdict_stays", &[("verdict", &word(new))]);
        }
    }

    fn tell(&self, key: &str, values: &[(&str, &str)]) {
        note(&self.content.word_with(key, values));
    }

    fn name(&self, number: usize) -> String {
        let question = &self.content.flow.questions[number];
        let short = self.content.flow.spoken(self.after, self.units).short(question);
        format!("{short} ({})", question.id)
    }

    fn said(&self, answers: &Answers, number: usize) -> String {
        answers
            .get(number)
            .map_or_else(|| self.content.word("label.not_answered").to_owned(), |answer| self.answer(number, answer))
    }

    /// An answer in words.
    fn answer(&self, number: usize, answer: &Answer) -> String {
        let key = match answer {
            Answer::NotSure => "label.not_sure",
            Answer::YesNo(true) => "label.yes",
            Answer::YesNo(false) => "label.no",
            Answer::Several(0) => "label.none_of_these",
            _ => return self.content.flow.questions[number].show_answer(answer, self.units).unwrap_or_default(),
        };
        self.content.word(key).to_owned()
    }
}
