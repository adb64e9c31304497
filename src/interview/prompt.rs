//! A question as it is put: its words, where it stands, and how what is typed is read.

use super::reply::Reply;
use crate::flow::{Answer, AnswerError, Asked, Question, QuestionKind, Stand};
use crate::units::Units;

/// One question, ready to be asked.
#[derive(Debug)]
pub struct Prompt<'a> {
    /// The question.
    pub question: &'a Question,
    /// Its texts, in the words of this user's wall.
    pub asked: Asked,
    /// A small drawing that helps to find out.
    pub sketch: Option<&'a str>,
    /// Where in the interview it stands.
    pub progress: Progress<'a>,
    /// The answer it has now, if any.
    pub current: Option<&'a Answer>,
    /// In which system bare numbers are read.
    pub units: Units,
    /// The latest year that can have been; nothing if nobody knows what year it is.
    pub this_year: Option<i64>,
    /// A height that can be typed at once instead of choosing how it was measured.
    pub or_type: Option<OrType<'a>>,
    /// A second length that can be typed behind the first, as in `24 ft x 14 ft`.
    pub second: Option<&'a Question>,
}

/// A height that can be typed at once.
#[derive(Debug)]
pub struct OrType<'a> {
    /// Its question.
    pub question: &'a Question,
    /// Its texts, in the words of this user's wall.
    pub asked: Asked,
}

impl<'a> Prompt<'a> {
    /// A question that stands by itself, in no flow.
    #[must_use]
    pub fn alone(
        question: &'a Question,
        asked: Asked,
        progress: Progress<'a>,
        current: Option<&'a Answer>,
        units: Units,
    ) -> Prompt<'a> {
        Prompt { question, asked, sketch: None, progress, current, units, this_year: None, or_type: None, second: None }
    }
}

impl Prompt<'_> {
    /// The question in words.
    #[must_use]
    pub fn ask(&self) -> &str {
        &self.asked.ask
    }

    /// Why it matters.
    #[must_use]
    pub fn why(&self) -> &str {
        &self.asked.why
    }

    /// How to find out.
    #[must_use]
    pub fn how(&self) -> &str {
        &self.asked.how
    }

    /// Its name in lists and tables.
    #[must_use]
    pub fn short(&self) -> &str {
        &self.asked.short
    }

    /// How to recognise a choice.
    #[must_use]
    pub fn hint(&self, choice: usize) -> Option<&str> {
        self.asked.hints.get(choice)?.as_deref()
    }

    /// What was typed, as a reply: one answer, or two where two lengths can be given in one go.
    ///
    /// # Errors
    /// Those of [`Typing::answer`].
    pub fn read(&self, text: &str) -> Result<Reply, AnswerError> {
        if let Some((second, (one, other))) = self.second.zip(two_lengths(text)) {
            let (one, other) = (self.typing().answer(self.question, &one)?, self.typing().answer(second, &other)?);
            let usual = |question: &Question, answer| question.unusual(answer, self.units).is_none();
            // two that are unusual are no two to be taken at once: each is asked by itself, and asked back
            if usual(self.question, &one) && usual(second, &other) {
                return Ok(Reply::Both(one, other));
            }
        }
        self.typing().answer(self.question, text).map(Reply::Answer)
    }

    /// What was understood of what was typed, with its unit; nothing if it says no more than what was typed, or is no figure.
    #[must_use]
    pub fn echo(&self, text: &str) -> Option<String> {
        match self.read(text).ok()? {
            Reply::Answer(answer) => {
                self.typing().echo(self.question, text, &answer).map(|echo| format!("{} {echo}", text.trim()))
            }
            Reply::Both(one, other) => {
                let shown = |question: &Question, answer| question.show_answer(answer, self.units);
                Some(format!("= {} x {}", shown(self.question, &one)?, shown(self.second?, &other)?))
            }
            Reply::Typed(_) | Reply::Back | Reply::Leave(_) => None,
        }
    }

    /// A height that was typed where a way of measuring could be chosen; nothing if it is none, or none can be typed here.
    #[must_use]
    pub fn typed_at_once(&self, text: &str) -> Option<Answer> {
        let length = self.or_type.as_ref()?.question;
        let answer = self.typing().answer(length, text).ok()?;
        matches!(answer, Answer::Length(_)).then_some(answer)
    }

    /// How what is typed here is read.
    #[must_use]
    pub fn typing(&self) -> Typing {
        Typing { units: self.units, this_year: self.this_year }
    }
}

/// How what somebody types is read: in which units, and in which year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Typing {
    units: Units,
    this_year: Option<i64>,
}

impl Typing {
    /// Typing in these units, in this year, if it is known.
    #[must_use]
    pub fn new(units: Units, this_year: Option<i64>) -> Typing {
        Typing { units, this_year }
    }

    /// What was typed, as an answer to a question.
    ///
    /// # Errors
    /// Those of [`Question::read_typed`], and [`AnswerError::Future`] for a year that has not come yet.
    pub fn answer(self, question: &Question, text: &str) -> Result<Answer, AnswerError> {
        let answer = question.read_typed(text, self.units)?;
        match (&answer, self.this_year) {
            (Answer::Year(year), Some(now)) if *year > now => Err(AnswerError::Future { year: *year, now }),
            _ => Ok(answer),
        }
    }

    /// What a bare number that is unusual or impossible here was perhaps meant for: the same in feet or metres, if that is
    /// usual, or at least possible where the number as it stands is not.
    #[must_use]
    pub fn meant(self, question: &Question, typed: &str) -> Option<Answer> {
        let bare = typed.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ' ' | '/'));
        if question.kind != QuestionKind::Length || !bare {
            return None;
        }
        let larger = match self.units {
            Units::Inch => "ft",
            Units::Metric => "m",
        };
        let answer = question.read_answer(&format!("{typed} {larger}"), self.units).ok()?;
        let impossible = question.read_answer(typed, self.units).is_err();
        (impossible || question.unusual(&answer, self.units).is_none()).then_some(answer)
    }

    /// What was understood of a figure, with its unit: to be shown to whoever typed it. Nothing if it says no more than what
    /// was typed, or is no figure.
    #[must_use]
    pub fn echo(self, question: &Question, typed: &str, answer: &Answer) -> Option<String> {
        if !matches!(answer, Answer::Length(_) | Answer::Profile(_) | Answer::Places(_)) {
            return None;
        }
        question.show_answer(answer, self.units).filter(|shown| shown != typed.trim()).map(|shown| format!("= {shown}"))
    }
}

/// Where a question stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// Title of the section.
    pub section: &'a str,
    /// A sentence about the section, where it opens.
    pub intro: Option<&'a str>,
    /// A small drawing about it.
    pub sketch: Option<&'a str>,
    /// Where to go to answer this, if one has to go there now.
    pub go_to: Option<Stand>,
    /// Which question this is, from 1.
    pub number: usize,
    /// How many there are, or how many more there can be.
    pub count: Count,
}

/// How many questions there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    /// So many in all.
    Of(usize),
    /// At most so many more, as far as is known.
    More(usize),
    /// Nobody counts: an answer is changed.
    One,
}

/// Two lengths out of one text, such as `24 ft x 14 ft`. One without a unit takes that of the other, where that is a number and
/// a unit and nothing more.
fn two_lengths(text: &str) -> Option<(String, String)> {
    let lower = text.to_lowercase();
    let (one, other) =
        lower.split_once('\u{d7}').or_else(|| lower.split_once(" by ")).or_else(|| lower.split_once('x'))?;
    let (one, other) = (one.trim(), other.trim());
    let of_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '/');
    let bare = |text: &str| text.chars().all(of_number);
    let unit = |text: &str| {
        Some(text.trim_start_matches(of_number).to_owned()).filter(|u| !u.contains(|c: char| c.is_ascii_digit()))
    };
    if one.is_empty() || other.is_empty() {
        return None;
    }
    match (bare(one), bare(other)) {
        (true, false) => Some((format!("{one} {}", unit(other)?), other.to_owned())),
        (false, true) => Some((one.to_owned(), format!("{other} {}", unit(one)?))),
        (true, true) | (false, false) => Some((one.to_owned(), other.to_owned())),
    }
}
