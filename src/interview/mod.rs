//! The interview: which question comes next, going back, reviewing.
//!
//! What it looks like is the business of an [`Asker`]; where answers are kept, of the caller.

use crate::flow::{Answer, AnswerError, Answers, Asked, Flow, Question, QuestionKind};
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

    /// What a bare number that is unusual here was perhaps meant for: the same in feet or metres, if that is usual.
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
        question.unusual(&answer, self.units).is_none().then_some(answer)
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

/// Where a question stands: section and place in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// Title of the section.
    pub section: &'a str,
    /// A sentence about the section.
    pub intro: Option<&'a str>,
    /// A small drawing about it.
    pub sketch: Option<&'a str>,
    /// Number of the section, from 1.
    pub part: usize,
    /// How many sections there are.
    pub parts: usize,
    /// Number of the question among those shown in the section, from 1.
    pub number: usize,
    /// How many are shown in the section, as far as is known.
    pub count: usize,
}

/// What a user does at a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reply {
    /// Answers.
    Answer(Answer),
    /// Goes back one question.
    Back,
    /// Leaves; what was answered is saved.
    Leave(Leaving),
}

/// How somebody left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leaving {
    /// Asked to save and leave.
    Asked,
    /// Interrupted the program, as with Ctrl-C.
    Interrupted,
    /// There is nothing more to read: the input ended in the middle.
    EndOfInput,
}

/// What a user does at a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picked {
    /// Takes the item at this place.
    Item(usize),
    /// Takes none and goes back.
    Back,
    /// Leaves.
    Leave(Leaving),
}

/// What a user does at the review.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reviewed {
    /// Is content with the answers.
    Done,
    /// Wants to change the answer of this line.
    Change(usize),
    /// Goes back to the last question.
    Back,
    /// Leaves; what was answered is saved.
    Leave(Leaving),
}

/// A line of the review.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReviewLine {
    /// The question.
    pub question: usize,
    /// Its short name.
    pub name: String,
    /// The answer in words; nothing for "not sure".
    pub answer: Option<String>,
    /// Whether it is another one than at the first stretch of wall.
    pub differs: bool,
}

/// Somebody or something that asks questions.
pub trait Asker {
    /// Asks one question.
    ///
    /// # Errors
    /// When the terminal fails.
    fn ask(&mut self, prompt: &Prompt<'_>) -> std::io::Result<Reply>;
    /// Shows all answers.
    ///
    /// # Errors
    /// When the terminal fails.
    fn review(&mut self, lines: &[ReviewLine]) -> std::io::Result<Reviewed>;
    /// Says which stretch of wall all that follows is about. Where there is but one, this is never called.
    fn stretch(&mut self, _name: &str) {}
    /// Offers a list of which one item can be taken.
    ///
    /// # Errors
    /// When the terminal fails.
    fn choose(&mut self, title: &str, items: &[String]) -> std::io::Result<Picked>;
}

/// How an interview ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// All questions were answered and the review was accepted.
    Finished,
    /// The user left; the answers so far are saved.
    Left(Leaving),
}

/// Why an interview broke off. All answers given before are kept.
#[derive(Debug, thiserror::Error)]
pub enum InterviewError<E> {
    /// The terminal failed.
    #[error("the terminal failed: {0}")]
    Terminal(#[from] std::io::Error),
    /// Keeping an answer failed.
    #[error("{0}")]
    Keep(E),
}

/// An interview over a flow.
#[derive(Debug)]
pub struct Interview<'f, U, W> {
    flow: &'f Flow,
    /// In which system bare numbers are read, by the answers so far: the country is one of them.
    units: U,
    this_year: Option<i64>,
    /// Says which of the unanswered questions are worth asking now; nothing means all.
    wanted: W,
    /// The answers of the first stretch of wall, where this is another one.
    first: Option<Answers>,
}

enum At {
    Question { number: usize, from_review: bool },
    Review,
}

impl<'f, U: Fn(&Answers) -> Units, W: Fn(&Answers) -> Option<Vec<usize>>> Interview<'f, U, W> {
    /// An interview that asks what `wanted` lists (nothing: all that is shown), and reads bare numbers as `units` says.
    pub fn new(flow: &'f Flow, units: U, wanted: W) -> Self {
        Interview { flow, units, this_year: None, wanted, first: None }
    }

    /// The same, and no later year is taken than this one.
    #[must_use]
    pub fn in_year(mut self, year: Option<i64>) -> Self {
        self.this_year = year;
        self
    }

    /// The same for another stretch of wall: the review marks what is different from this first one.
    #[must_use]
    pub fn beside(mut self, first: Option<Answers>) -> Self {
        self.first = first;
        self
    }

    /// Asks until nothing is left and the review is accepted, or the user leaves. `keep` is called
    /// after every answer.
    ///
    /// # Errors
    /// When the terminal fails or an answer cannot be kept.
    pub fn run<E>(
        &self,
        answers: &mut Answers,
        asker: &mut dyn Asker,
        keep: &mut dyn FnMut(&Answers) -> Result<(), E>,
    ) -> Result<Ended, InterviewError<E>> {
        let mut at = self.next(answers);
        loop {
            match at {
                At::Question { number, from_review } => {
                    let prompt = self.prompt(number, answers);
                    match asker.ask(&prompt)? {
                        Reply::Answer(answer) => {
                            answers.set(number, answer);
                            keep(answers).map_err(InterviewError::Keep)?;
                            at = self.next(answers);
                        }
                        Reply::Back if from_review => at = At::Review,
                        Reply::Back => {
                            at = self.before(number, answers).unwrap_or(At::Question { number, from_review });
                        }
                        Reply::Leave(how) => return Ok(Ended::Left(how)),
                    }
                }
                At::Review => {
                    let lines = review_lines(self.flow, answers, (self.units)(answers), self.first.as_ref());
                    match asker.review(&lines)? {
                        Reviewed::Done => return Ok(Ended::Finished),
                        Reviewed::Leave(how) => return Ok(Ended::Left(how)),
                        Reviewed::Change(line) => {
                            // a line that is not there changes nothing
                            if let Some(line) = lines.get(line) {
                                at = At::Question { number: line.question, from_review: true };
                            }
                        }
                        Reviewed::Back => at = self.before(self.flow.questions.len(), answers).unwrap_or(At::Review),
                    }
                }
            }
        }
    }

    /// Asks one question again.
    ///
    /// # Errors
    /// When the terminal fails.
    pub fn ask_again(&self, number: usize, answers: &Answers, asker: &mut dyn Asker) -> std::io::Result<Reply> {
        asker.ask(&self.prompt(number, answers))
    }

    /// The first question that is shown, wanted and not answered; the review if there is none.
    fn next(&self, answers: &Answers) -> At {
        let shown = self.flow.state(answers).shown;
        let wanted = (self.wanted)(answers);
        let open = |number: &usize| {
            shown[*number].is_yes()
                && answers.get(*number).is_none()
                && wanted.as_ref().is_none_or(|list| list.contains(number))
        };
        (0..self.flow.questions.len())
            .find(open)
            .map_or(At::Review, |number| At::Question { number, from_review: false })
    }

    /// The last answered question before this one that is shown.
    fn before(&self, number: usize, answers: &Answers) -> Option<At> {
        let shown = self.flow.state(answers).shown;
        (0..number)
            .rev()
            .find(|n| shown[*n].is_yes() && answers.get(*n).is_some())
            .map(|number| At::Question { number, from_review: false })
    }

    fn prompt<'a>(&'a self, number: usize, answers: &'a Answers) -> Prompt<'a> {
        let question = &self.flow.questions[number];
        let section = &self.flow.sections[question.section];
        let shown = self.flow.state(answers).shown;
        let units = (self.units)(answers);
        // who has answered something of it has read how it opens
        let opens = answers.iter().all(|(n, _)| self.flow.questions[n].section != question.section);
        let in_section = |n: &usize| self.flow.questions[*n].section == question.section && shown[*n].is_yes();
        Prompt {
            question,
            asked: self.flow.spoken(answers, units).asked(question),
            sketch: section.sketch.as_deref().filter(|_| question.how.contains("{mark")),
            progress: Progress {
                section: &section.title,
                intro: section.intro.as_deref().filter(|_| opens),
                sketch: section.sketch.as_deref().filter(|_| opens),
                part: question.section + 1,
                parts: self.flow.sections.len(),
                number: (0..number).filter(in_section).count() + 1,
                count: (0..self.flow.questions.len()).filter(in_section).count(),
            },
            current: answers.get(number),
            units,
            this_year: self.this_year,
        }
    }
}

/// The answers that count, for a review: those of hidden questions are left out. What is not as on the `first` stretch of wall, if
/// there is another, is marked.
#[must_use]
pub fn review_lines(flow: &Flow, answers: &Answers, units: Units, first: Option<&Answers>) -> Vec<ReviewLine> {
    let shown = flow.state(answers).shown;
    let spoken = flow.spoken(answers, units);
    let line = |(number, answer): (usize, &Answer)| {
        let question = &flow.questions[number];
        ReviewLine {
            question: number,
            name: spoken.short(question),
            answer: question.show_answer(answer, units),
            differs: first.is_some_and(|first| first.get(number) != Some(answer)),
        }
    };
    answers.iter().filter(|(number, _)| shown[*number].is_yes()).map(line).collect()
}
