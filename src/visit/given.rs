//! What was said about one stretch of wall, against the questions of today: what counts, what does not and why, and how a
//! new answer takes the place of an old one.

use crate::flow::{Answer, AnswerError, Answers, Flow, Question, QuestionKind, Truth, nearest};
use crate::units::{Length, Units};
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// Something in a file that does not fit the questions of today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// The question, as the file names it.
    pub question: String,
    /// The text that stands there; nothing for an entry under `not_sure`.
    pub text: Option<String>,
    /// What is wrong with it.
    pub why: Why,
}

/// Why something in a file does not count.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Why {
    /// There is no such question.
    #[error("counts for nothing: these questions do not ask it{}", near.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?")))]
    Gone {
        /// The question that is spelt most like it, if any is like enough to be meant.
        near: Option<String>,
    },
    /// The text is no answer to the question: misspelt, a choice that is no longer there, a bound that moved.
    #[error("counts as not answered: {0}")]
    Unreadable(AnswerError),
    /// A length without a unit where nothing says in which it was measured.
    #[error("counts as not answered: it has no unit, and what would tell (the country) is not known")]
    NoUnit,
    /// "Not sure" to a question that needs an answer.
    #[error("counts for nothing: this question needs an answer and cannot be \"not sure\"")]
    NeedsAnswer,
    /// The same question stands under `not_sure` too, and that is taken to be so.
    #[error("counts for nothing: the question stands under `not_sure` too")]
    NotSureToo,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.text {
            Some(text) => write!(f, "`{}: {text}` {}", self.question, self.why),
            None => write!(f, "`{}` under `not_sure` {}", self.question, self.why),
        }
    }
}

/// What is different on another stretch of wall.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// Answers that differ.
    #[serde(default, deserialize_with = "or_empty")]
    pub answers: BTreeMap<String, String>,
    /// Questions that are "not sure" there, and are not on the first stretch.
    #[serde(default, deserialize_with = "or_empty")]
    pub not_sure: Vec<String>,
    /// What could not be read, as it was written.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "BTreeMap::is_empty")]
    pub set_aside: BTreeMap<String, String>,
}

/// What was said about one stretch of wall, whichever that is.
#[derive(Debug, Clone, Copy)]
pub(super) struct RunRef<'v> {
    pub(super) answers: &'v BTreeMap<String, String>,
    pub(super) not_sure: &'v [String],
    pub(super) set_aside: &'v BTreeMap<String, String>,
}

/// A text against its question.
struct ReadAnswer {
    answer: Result<Answer, Why>,
    /// The other way to read it, for a length without a unit.
    bare: Option<[Result<Answer, AnswerError>; 2]>,
}

/// Reads a text. One that says another thing in inches than in millimetres has no unit, and counts only where `units` are
/// given.
fn reading(question: &Question, text: &str, units: Option<Units>) -> ReadAnswer {
    if !matches!(question.kind, QuestionKind::Length | QuestionKind::Profile | QuestionKind::Places) {
        let answer = question.read_answer(text, Units::Inch).map_err(Why::Unreadable);
        return ReadAnswer { answer, bare: None };
    }
    let in_inches = question.read_answer(text, Units::Inch);
    let in_metric = question.read_answer(text, Units::Metric);
    let bare = (in_inches.is_ok() || in_metric.is_ok()) && in_inches != in_metric;
    let answer = match units {
        None if bare => Err(Why::NoUnit),
        None | Some(Units::Inch) => in_inches.clone().map_err(Why::Unreadable),
        Some(Units::Metric) => in_metric.clone().map_err(Why::Unreadable),
    };
    ReadAnswer { answer, bare: bare.then_some([in_inches, in_metric]) }
}

impl<'v> RunRef<'v> {
    pub(super) fn of(run: &'v Run) -> RunRef<'v> {
        RunRef { answers: &run.answers, not_sure: &run.not_sure, set_aside: &run.set_aside }
    }

    /// The answer that counts to one question, as [`RunRef::read`] gives it.
    pub(super) fn read_one(self, flow: &Flow, number: usize, units: Option<Units>) -> Option<Answer> {
        let question = &flow.questions[number];
        let id = question.id.as_str();
        if question.not_sure && self.not_sure.iter().any(|not_sure| not_sure == id) {
            return Some(Answer::NotSure);
        }
        let text = self.answers.get(id).or_else(|| self.set_aside.get(id))?;
        reading(question, text, units).answer.ok()
    }

    /// The answers that count, by the number of their question, and what does not. An answer beats what was set aside;
    /// "not sure" beats both, since the file says both and the careful one is taken.
    pub(super) fn read(self, flow: &Flow, units: Option<Units>) -> (BTreeMap<usize, Answer>, Vec<Misfit>) {
        let mut given = BTreeMap::new();
        let mut misfits = Vec::new();
        let gone =
            |id: &str| Why::Gone { near: nearest(id, flow.questions.iter().map(|q| q.id.as_str())).map(str::to_owned) };
        for id in self.not_sure {
            let why = match flow.question(id) {
                Some(number) if flow.questions[number].not_sure => {
                    given.insert(number, Answer::NotSure);
                    continue;
                }
                Some(_) => Why::NeedsAnswer,
                None => gone(id),
            };
            misfits.push(Misfit { question: id.clone(), text: None, why });
        }
        let texts = self.answers.iter().chain(self.set_aside.iter().filter(|(id, _)| !self.answers.contains_key(*id)));
        for (id, text) in texts {
            let read = match flow.question(id) {
                None => Err(gone(id)),
                Some(number) if given.contains_key(&number) && !self.answers.contains_key(id) => continue,
                Some(number) if given.contains_key(&number) => Err(Why::NotSureToo),
                Some(number) => reading(&flow.questions[number], text, units).answer.map(|answer| (number, answer)),
            };
            match read {
                Ok((number, answer)) => _ = given.insert(number, answer),
                Err(why) => misfits.push(Misfit { question: id.clone(), text: Some(text.clone()), why }),
            }
        }
        misfits.sort_by(|a, b| a.question.cmp(&b.question));
        (given, misfits)
    }
}

impl Run {
    /// Takes over answers; `base` is what holds where nothing was said here. Gives back whether anything was answered
    /// anew. Only a new answer takes the place of what stands there, whether that could be read or not.
    pub(super) fn take(&mut self, flow: &Flow, answers: &Answers, base: &Answers) -> bool {
        let (before, _) = RunRef::of(self).read(flow, None);
        let mut anew = false;
        for (number, answer) in answers.iter() {
            let question = &flow.questions[number];
            if self.same_bare(question, answer) || before.get(&number).or_else(|| base.get(number)) == Some(answer) {
                continue;
            }
            anew = true;
            self.answers.remove(question.id.as_str());
            self.set_aside.remove(question.id.as_str());
            self.not_sure.retain(|id| *id != question.id);
            match write_answer(question, answer) {
                Some(text) => _ = self.answers.insert(question.id.to_string(), text),
                None => self.not_sure.push(question.id.to_string()),
            }
        }
        anew
    }

    /// Leaves out what can be read and says the same as `base`: it is no difference.
    pub(super) fn leave_out_same(&mut self, flow: &Flow, answers: &Answers, base: &Answers) {
        let (read, _) = RunRef::of(self).read(flow, None);
        for number in read.keys().filter(|number| answers.get(**number) == base.get(**number)) {
            let id = &flow.questions[*number].id;
            self.answers.remove(id.as_str());
            self.not_sure.retain(|other| other != id);
        }
    }

    /// Whether the text that counts is a length without a unit that says this. It then gets its unit: what tells it (the
    /// country) may be answered differently later.
    fn same_bare(&mut self, question: &Question, answer: &Answer) -> bool {
        if self.not_sure.iter().any(|id| *id == question.id) && question.not_sure {
            return false;
        }
        let kept =
            if self.answers.contains_key(question.id.as_str()) { &mut self.answers } else { &mut self.set_aside };
        let Some(text) = kept.get_mut(question.id.as_str()) else { return false };
        let Some(ways) = reading(question, text, None).bare else { return false };
        if !ways.iter().any(|way| way.as_ref() == Ok(answer)) {
            return false;
        }
        if let Some(exact) = write_answer(question, answer) {
            *text = exact;
        }
        true
    }

    /// Puts each text where it belongs: what counts under `answers`, what does not under `set_aside`. `shown` says which
    /// questions are shown, where hidden ones are set aside. A place that is taken stays as it is.
    pub(super) fn settle(&mut self, flow: &Flow, shown: Option<&[Truth]>) {
        let counts = |layer: &Run, id: &str, text: &str| {
            flow.question(id).is_some_and(|number| {
                let question = &flow.questions[number];
                let hidden = shown.is_some_and(|shown| !shown[number].is_yes());
                let not_sure = question.not_sure && layer.not_sure.iter().any(|other| other == id);
                !hidden && !not_sure && reading(question, text, None).answer.is_ok()
            })
        };
        let out: Vec<String> = self
            .answers
            .iter()
            .filter(|(id, text)| !counts(self, id, text))
            .filter(|(id, _)| !self.set_aside.contains_key(*id))
            .map(|(id, _)| id.clone())
            .collect();
        let back: Vec<String> = self
            .set_aside
            .iter()
            .filter(|(id, text)| !self.answers.contains_key(*id) && counts(self, id, text))
            .map(|(id, _)| id.clone())
            .collect();
        for (list, to_answers) in [(out, false), (back, true)] {
            let (from, to) = if to_answers {
                (&mut self.set_aside, &mut self.answers)
            } else {
                (&mut self.answers, &mut self.set_aside)
            };
            for (id, text) in list.into_iter().filter_map(|id| from.remove_entry(&id)) {
                to.insert(id, text);
            }
        }
    }
}

/// An answer as text that [`Question::read_answer`] reads back, whatever the country; nothing for "not sure".
#[must_use]
pub fn write_answer(question: &Question, answer: &Answer) -> Option<String> {
    // a choice that is not there cannot be read back, and so is asked again; it is never taken for "not sure"
    let id = |index: usize| question.choices.get(index).map_or_else(|| format!("#{index}"), |c| c.id.to_string());
    Some(match answer {
        Answer::NotSure => return None,
        Answer::Choice(index) => id(*index),
        Answer::Several(0) => "none".to_owned(),
        Answer::Several(bits) => {
            (0..question.choices.len()).filter(|i| bits & (1 << i) != 0).map(id).collect::<Vec<_>>().join(", ")
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
        Answer::Places(list) => crate::flow::show_places(list, id, Length::exact),
    })
}

/// A list or a map; a key with nothing behind it is an empty one.
pub(super) fn or_empty<'de, D: Deserializer<'de>, T: Deserialize<'de> + Default>(
    deserializer: D,
) -> Result<T, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or_default())
}
