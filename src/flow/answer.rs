//! Answers: what a user says to a question, and how it is read from text.

use super::along::{Placed, ProfilePoint, read_places, read_profile, show_places, show_profile};
use super::answer_error::AnswerError;
use super::harmless::one_line;
use super::model::{Bounds, NEVER_OFFERED, Question, QuestionKind};
use super::value::Value;
use crate::pack::packed;
use crate::units::{Length, Units};

/// An answer to one question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// "Not sure": an answer, and an honest one.
    NotSure,
    /// The choice at this place in the list.
    Choice(usize),
    /// The choices whose bits are set; none of them is an answer too.
    Several(i64),
    /// Yes or no.
    YesNo(bool),
    /// A length.
    Length(Length),
    /// A number, in thousandths.
    Number(i64),
    /// A calendar year.
    Year(i64),
    /// Free text, not empty.
    Text(String),
    /// Heights along the wall: two places or more, from left to right.
    Profile(Vec<ProfilePoint>),
    /// Openings with their places; never empty.
    Places(Vec<Placed>),
}

packed!(enum Answer { 0: NotSure, 1: Choice(one), 2: Several(one), 3: YesNo(one), 4: Length(one), 5: Number(one), 6: Year(one), 7: Text(one), 8: Profile(one), 9: Places(one) });

impl Answer {
    /// The answer as rules see it.
    #[must_use]
    pub fn value(&self) -> Value {
        match self {
            Answer::NotSure => Value::Unknown,
            Answer::Choice(index) => Value::choice(*index),
            Answer::Several(bits) => Value::Is(*bits),
            Answer::YesNo(yes) => Value::yes_no(*yes),
            Answer::Length(length) => Value::Is(length.steps()),
            Answer::Number(n) | Answer::Year(n) => Value::Is(*n),
            Answer::Text(_) | Answer::Profile(_) => Value::Is(1),
            Answer::Places(list) => Value::Is(list.iter().fold(0, |bits, placed| bits | 1 << placed.choice)),
        }
    }
}

/// The answers of a visit, by the number of the question. No entry: not asked yet.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Answers {
    given: Vec<Option<Answer>>,
}

impl Answers {
    /// The answer to a question, shown or not.
    #[must_use]
    pub fn get(&self, question: usize) -> Option<&Answer> {
        self.given.get(question)?.as_ref()
    }

    /// Sets or replaces an answer.
    pub fn set(&mut self, question: usize, answer: Answer) {
        if self.given.len() <= question {
            self.given.resize(question + 1, None);
        }
        self.given[question] = Some(answer);
    }

    /// Takes an answer away.
    pub fn clear(&mut self, question: usize) {
        if let Some(entry) = self.given.get_mut(question) {
            *entry = None;
        }
    }

    /// The questions that are answered otherwise in another set of answers, in order.
    pub fn differing<'a>(&'a self, others: &'a Answers) -> impl Iterator<Item = usize> + 'a {
        let count = self.given.len().max(others.given.len());
        (0..count).filter(|question| self.get(*question) != others.get(*question))
    }

    /// The questions that have an answer, in order.
    pub fn iter(&self) -> impl Iterator<Item = (usize, &Answer)> {
        self.given.iter().enumerate().filter_map(|(i, a)| a.as_ref().map(|a| (i, a)))
    }
}

/// A value outside the usual range: possible, but worth a second look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bound {
    /// The value as understood.
    pub value: String,
    /// Where usual values start.
    pub from: String,
    /// Where usual values end.
    pub to: String,
}

impl Question {
    /// Whether an answer may be offered as a change of the plan.
    #[must_use]
    pub fn offers(&self, answer: &Answer) -> bool {
        match self.never_offered {
            0 => true,
            NEVER_OFFERED => false,
            never => answer.value().known().is_none_or(|bits| bits & never == 0),
        }
    }

    /// Reads an answer from text: ids for choices (several separated by commas, `none` for none of
    /// them), `yes`/`no`, a length in any usual writing, a number, a year, or `not sure`.
    ///
    /// # Errors
    /// An [`AnswerError`] that says what to type instead.
    pub fn read_answer(&self, text: &str, units: Units) -> Result<Answer, AnswerError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(AnswerError::Empty);
        }
        if self.kind != QuestionKind::Text && means_not_sure(text) {
            return if self.not_sure { Ok(Answer::NotSure) } else { Err(AnswerError::NeedsAnswer) };
        }
        let answer = match self.kind {
            QuestionKind::OneOf => Answer::Choice(self.choice(text)?),
            QuestionKind::SeveralOf if text == "none" => Answer::Several(0),
            QuestionKind::SeveralOf => {
                let mut bits = 0;
                for part in text.split(',') {
                    bits |= 1 << self.choice(part.trim())?;
                }
                Answer::Several(bits)
            }
            QuestionKind::YesNo => match text.to_lowercase().as_str() {
                "y" | "yes" | "true" => Answer::YesNo(true),
                "n" | "no" | "false" => Answer::YesNo(false),
                _ => return Err(AnswerError::YesNo(text.to_owned())),
            },
            QuestionKind::Length => Answer::Length(Length::parse(text, units)?),
            QuestionKind::Number => {
                Answer::Number(parse_thousandths(text).ok_or_else(|| AnswerError::Number(text.to_owned()))?)
            }
            QuestionKind::Year => Answer::Year(
                Some(without_about(text))
                    .filter(|t| t.len() == 4)
                    .and_then(|t| t.parse().ok())
                    .ok_or_else(|| AnswerError::Year(text.to_owned()))?,
            ),
            QuestionKind::Text => {
                let text = one_line(text);
                if text.trim().is_empty() {
                    return Err(AnswerError::Empty);
                }
                Answer::Text(text.trim().to_owned())
            }
            QuestionKind::Profile => Answer::Profile(read_profile(text, units)?),
            QuestionKind::Places => Answer::Places(read_places(text, &self.choices, units)?),
        };
        self.check(&answer, units)?;
        Ok(answer)
    }

    /// Reads an answer as somebody types it: as [`Question::read_answer`], but choices go by their label too, whatever its
    /// case, and "not sure" is understood for a text where it is allowed. The labels are those of the language at hand, so
    /// files are not read like this.
    ///
    /// # Errors
    /// As [`Question::read_answer`].
    pub fn read_typed(&self, text: &str, units: Units) -> Result<Answer, AnswerError> {
        let text = text.trim();
        let labelled = |text: &str| self.choices.iter().find(|c| c.label.to_lowercase() == text.to_lowercase());
        match self.kind {
            QuestionKind::Text if self.not_sure && text.to_lowercase() == "not sure" => Ok(Answer::NotSure),
            QuestionKind::OneOf | QuestionKind::SeveralOf => {
                // a label may have commas of its own
                if let Some(choice) = labelled(text) {
                    return self.read_answer(&choice.id, units);
                }
                let ids = text.split(',').map(str::trim).map(|part| labelled(part).map_or(part, |c| c.id.as_str()));
                self.read_answer(&ids.collect::<Vec<_>>().join(","), units)
            }
            _ => self.read_answer(text, units),
        }
    }

    /// Refuses an answer that cannot be right.
    ///
    /// # Errors
    /// [`AnswerError::Impossible`] outside the bounds, [`AnswerError::NeedsAnswer`] for "not sure" where
    /// that is not allowed.
    pub fn check(&self, answer: &Answer, units: Units) -> Result<(), AnswerError> {
        if *answer == Answer::NotSure && !self.not_sure {
            return Err(AnswerError::NeedsAnswer);
        }
        let Some(Bounds { least, most, .. }) = self.bounds else { return Ok(()) };
        if let Some(n) = numbers(answer).into_iter().find(|n| *n < least || *n > most) {
            return Err(AnswerError::Impossible {
                value: self.show_number(n, units),
                least: self.show_number(least, units),
                most: self.show_number(most, units),
            });
        }
        Ok(())
    }

    /// Whether an answer is possible but unusual.
    #[must_use]
    pub fn unusual(&self, answer: &Answer, units: Units) -> Option<Bound> {
        let (from, to) = self.bounds.as_ref()?.usual?;
        let n = numbers(answer).into_iter().find(|n| *n < from || *n > to)?;
        Some(Bound {
            value: self.show_number(n, units),
            from: self.show_number(from, units),
            to: self.show_number(to, units),
        })
    }

    /// An answer in words, for lists and sheets. "Not sure" is left to the caller's language.
    #[must_use]
    pub fn show_answer(&self, answer: &Answer, units: Units) -> Option<String> {
        Some(match answer {
            Answer::NotSure => return None,
            Answer::Choice(index) => self.choices.get(*index)?.label.to_string(),
            Answer::Several(0) => return Some(String::new()),
            Answer::Several(bits) => self
                .choices
                .iter()
                .enumerate()
                .filter(|(i, _)| bits & (1 << i) != 0)
                .map(|(_, c)| c.label.as_str())
                .collect::<Vec<_>>()
                .join(", "),
            Answer::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Answer::Length(length) => length.show(units),
            Answer::Number(n) | Answer::Year(n) => self.show_number(*n, units),
            Answer::Text(text) => text.clone(),
            Answer::Profile(points) => show_profile(points, |l| l.show(units)),
            Answer::Places(list) => {
                let name = |i: usize| self.choices.get(i).map_or_else(String::new, |c| c.label.to_string());
                show_places(list, name, |l| l.show(units))
            }
        })
    }

    fn choice(&self, text: &str) -> Result<usize, AnswerError> {
        self.choices.iter().position(|c| c.id == text).ok_or_else(|| AnswerError::Choice {
            found: text.to_owned(),
            choices: self.choices.iter().map(|c| c.id.as_str()).collect::<Vec<_>>().join(", "),
        })
    }

    fn show_number(&self, n: i64, units: Units) -> String {
        match self.kind {
            QuestionKind::Length | QuestionKind::Profile | QuestionKind::Places => Length::from_steps(n).show(units),
            QuestionKind::Number => show_thousandths(n),
            _ => n.to_string(),
        }
    }
}

/// Whether somebody says, in one of the usual ways, that they do not know.
fn means_not_sure(text: &str) -> bool {
    let said = text.to_lowercase().replace('’', "'");
    let said = if said == "?" { said.as_str() } else { said.trim_end_matches(['.', '!', '?']).trim_end() };
    matches!(
        said,
        "?" | "not sure"
            | "unsure"
            | "i'm not sure"
            | "im not sure"
            | "don't know"
            | "dont know"
            | "do not know"
            | "i don't know"
            | "i dont know"
            | "i do not know"
            | "idk"
            | "no idea"
            | "n/a"
            | "unknown"
            | "not known"
            | "no sé"
            | "no se"
            | "no lo sé"
    )
}

/// A year without the word that says it is a rough one.
fn without_about(text: &str) -> &str {
    let lower = text.to_ascii_lowercase();
    let about = ["about ", "around ", "circa ", "approx. ", "approx ", "ca. ", "ca ", "c. "];
    about.iter().find(|word| lower.starts_with(*word)).map_or(text, |word| text[word.len()..].trim_start())
}

/// The figures of an answer that bounds hold for: of lists along the wall the heights, not the places.
fn numbers(answer: &Answer) -> Vec<i64> {
    match answer {
        Answer::Profile(points) => points.iter().map(|p| p.below.steps()).collect(),
        Answer::Places(list) => list.iter().filter_map(|p| p.below).map(Length::steps).collect(),
        _ => answer.value().known().into_iter().collect(),
    }
}

/// A plain decimal number with at most three decimals, in thousandths.
pub(crate) fn parse_thousandths(text: &str) -> Option<i64> {
    let (sign, digits) = text.strip_prefix('-').map_or((1, text), |rest| (-1, rest));
    let (whole, frac) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || !all_digits(whole) || !all_digits(frac) || frac.len() > 3 || whole.len() > 12 {
        return None;
    }
    let frac: i64 = format!("{frac:0<3}").parse().ok()?;
    Some(sign * (whole.parse::<i64>().ok()? * 1000 + frac))
}

/// Thousandths as a decimal without trailing zeros.
#[must_use]
pub(crate) fn show_thousandths(n: i64) -> String {
    let sign = if n < 0 { "-" } else { "" };
    let text = format!("{sign}{}.{:03}", n.abs() / 1000, n.abs() % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
