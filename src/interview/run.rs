//! Going through the questions, back, and over what was answered.

use super::asker::{Asker, ReviewLine, Reviewed};
use super::one_go::OneGo;
use super::prompt::{Count, OrType, Progress, Prompt};
use super::reply::{Leaving, Reply};
use crate::flow::{Answer, Answers, Flow, Stand};
use crate::units::Units;

/// The question that comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Next {
    /// The question.
    pub question: usize,
    /// At most so many come after it, as far as is known.
    pub more: usize,
}

/// How an interview ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Nothing is left to be asked.
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
pub struct Interview<'f, U, O> {
    flow: &'f Flow,
    /// In which system bare numbers are read, by the answers so far: the country is one of them.
    units: U,
    this_year: Option<i64>,
    /// Says which question comes next, by the answers and the question that was answered last.
    order: O,
    /// The answers of the first stretch of wall, where this is another one.
    first: Option<Answers>,
    /// The words for not knowing, in lists of two questions.
    not_sure: String,
}

impl<'f, U: Fn(&Answers) -> Units, O: Fn(&Answers, Option<usize>) -> Option<Next>> Interview<'f, U, O> {
    /// An interview that asks what `order` says until it says nothing, and reads bare numbers as `units` says.
    pub fn new(flow: &'f Flow, units: U, order: O) -> Self {
        Interview { flow, units, this_year: None, order, first: None, not_sure: String::new() }
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

    /// The same with these words for not knowing in lists of two questions.
    #[must_use]
    pub fn saying(mut self, not_sure: &str) -> Self {
        not_sure.clone_into(&mut self.not_sure);
        self
    }

    /// Asks until nothing is left or the user leaves. `keep` is called after every answer.
    ///
    /// # Errors
    /// When the terminal fails or an answer cannot be kept.
    pub fn run<E>(
        &self,
        answers: &mut Answers,
        asker: &mut dyn Asker,
        keep: &mut dyn FnMut(&Answers) -> Result<(), E>,
    ) -> Result<Ended, InterviewError<E>> {
        // in the order in which they were answered, the last one at the end
        let mut past: Vec<usize> = Vec::new();
        let mut again: Option<usize> = None;
        loop {
            let next = match again.take() {
                Some(question) => Next { question, more: 0 },
                None => match (self.order)(answers, past.last().copied()) {
                    Some(next) => next,
                    None => return Ok(Ended::Finished),
                },
            };
            let (reply, one_go) = self.put(next, &past, answers, asker)?;
            let said = match reply {
                Reply::Answer(answer) => match &one_go {
                    Some(one_go) => one_go.said(next.question, answer),
                    None => vec![(next.question, answer)],
                },
                Reply::Typed(answer) => match one_go.and_then(|one_go| one_go.typed) {
                    Some((length, way)) => vec![way, (length, answer)],
                    None => Vec::new(),
                },
                Reply::Both(one, other) => match one_go.and_then(|one_go| one_go.second) {
                    Some(second) => vec![(next.question, one), (second, other)],
                    None => vec![(next.question, one)],
                },
                Reply::Back => {
                    again = Some(past.pop().or_else(|| self.before(next.question, answers)).unwrap_or(next.question));
                    continue;
                }
                Reply::Leave(how) => return Ok(Ended::Left(how)),
            };
            for (number, answer) in said {
                answers.set(number, answer);
            }
            keep(answers).map_err(InterviewError::Keep)?;
            past.retain(|question| *question != next.question);
            past.push(next.question);
        }
    }

    /// Shows all answers, and asks again what the user chooses and whatever that brings up, until the user is content.
    ///
    /// # Errors
    /// When the terminal fails or an answer cannot be kept.
    pub fn review<E>(
        &self,
        answers: &mut Answers,
        asker: &mut dyn Asker,
        keep: &mut dyn FnMut(&Answers) -> Result<(), E>,
    ) -> Result<Ended, InterviewError<E>> {
        loop {
            let lines = review_lines(self.flow, answers, (self.units)(answers), self.first.as_ref());
            let line = match asker.review(&lines)? {
                Reviewed::Done | Reviewed::Back => return Ok(Ended::Finished),
                Reviewed::Leave(how) => return Ok(Ended::Left(how)),
                // a line that is not there changes nothing
                Reviewed::Change(line) => lines.get(line),
            };
            let Some(line) = line else { continue };
            match self.ask_again(line.question, answers, asker)? {
                Reply::Answer(answer) => {
                    answers.set(line.question, answer);
                    keep(answers).map_err(InterviewError::Keep)?;
                    if let Ended::Left(how) = self.run(answers, asker, keep)? {
                        return Ok(Ended::Left(how));
                    }
                }
                Reply::Leave(how) => return Ok(Ended::Left(how)),
                Reply::Back | Reply::Typed(_) | Reply::Both(..) => {}
            }
        }
    }

    /// Asks one question again, by itself.
    ///
    /// # Errors
    /// When the terminal fails.
    pub fn ask_again(&self, number: usize, answers: &Answers, asker: &mut dyn Asker) -> std::io::Result<Reply> {
        asker.ask(&self.prompt(number, answers, Count::One, None))
    }

    /// Puts a question, with what goes in one go with it.
    fn put(
        &self,
        next: Next,
        past: &[usize],
        answers: &Answers,
        asker: &mut dyn Asker,
    ) -> std::io::Result<(Reply, Option<OneGo>)> {
        let spoken = self.flow.spoken(answers, (self.units)(answers));
        let one_go = OneGo::of(self.flow, next.question, answers, &spoken, &self.not_sure);
        let mut prompt = self.prompt(next.question, answers, Count::More(next.more), Some(past));
        let current = one_go.as_ref().and_then(|one_go| one_go.current(answers));
        if let Some(one_go) = &one_go {
            prompt.question = &one_go.question;
            prompt.asked = one_go.asked.clone();
            prompt.second = one_go.second.map(|number| &self.flow.questions[number]);
            prompt.or_type = one_go.typed.as_ref().map(|(number, _)| {
                let question = &self.flow.questions[*number];
                OrType { question, asked: spoken.asked(question) }
            });
            let listed = matches!(prompt.current, Some(Answer::Choice(_)));
            prompt.current = if listed { current.as_ref() } else { prompt.current };
        }
        let reply = asker.ask(&prompt)?;
        drop(prompt);
        Ok((reply, one_go))
    }

    /// The last answered question before this one that is shown.
    fn before(&self, number: usize, answers: &Answers) -> Option<usize> {
        let shown = self.flow.state(answers).shown;
        let answered = |n: &usize| shown[*n].is_yes() && answers.get(*n).is_some();
        (0..number).rev().find(answered).or_else(|| (number + 1..shown.len()).rev().find(answered))
    }

    /// How many screens so many answers took: what was answered in one go took one.
    fn screens(&self, answers: &Answers) -> usize {
        let in_one_go = |n: usize| answers.iter().any(|(other, _)| self.flow.questions[other].at_once.contains(&n));
        answers.iter().filter(|(n, _)| !in_one_go(*n)).count()
    }

    fn prompt<'a>(&'a self, number: usize, answers: &'a Answers, count: Count, past: Option<&[usize]>) -> Prompt<'a> {
        let question = &self.flow.questions[number];
        let section = &self.flow.sections[question.section];
        let units = (self.units)(answers);
        let spoken = self.flow.spoken(answers, units);
        // who has answered something of it has read how it opens
        let opens = answers.iter().all(|(n, _)| self.flow.questions[n].section != question.section);
        let stand = |n: usize| self.flow.questions[n].stand(spoken.built());
        let was = past.and_then(|past| past.iter().rev().map(|n| stand(*n)).find(|place| *place != Stand::Anywhere));
        let here = stand(number);
        let go_to = past.and(Some(here)).filter(|here| *here != Stand::Anywhere && was != Some(*here));
        Prompt {
            question,
            asked: spoken.asked(question),
            sketch: section.sketch.as_deref().filter(|_| question.how.contains('{')),
            progress: Progress {
                section: &section.title,
                intro: section.intro.as_deref().filter(|_| opens),
                sketch: section.sketch.as_deref().filter(|_| opens),
                go_to,
                number: self.screens(answers) + 1,
                count,
            },
            current: answers.get(number),
            units,
            this_year: self.this_year,
            or_type: None,
            second: None,
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
            yes: if let Answer::YesNo(yes) = answer { Some(*yes) } else { None },
            differs: first.is_some_and(|first| first.get(number) != Some(answer)),
        }
    };
    answers.iter().filter(|(number, _)| shown[*number].is_yes()).map(line).collect()
}
