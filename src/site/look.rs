//! Answers looked up, with a note for which part of the site each was read.

use super::opening::Opening;
use super::parts::{Read, SitePart};
use crate::flow::{Answer, Answers, State, Truth, Value};
use crate::names::{Choices, Names, QuestionId};
use crate::units::{Elevation, Length};
use crate::wall::Line;
use std::cell::{Cell, RefCell};

/// Looks answers up: only those of questions that are shown. Notes for which part each was read.
pub(super) struct Look<'a> {
    pub(super) names: &'a Names,
    pub(super) answers: &'a Answers,
    pub(super) state: &'a State,
    pub(super) part: Cell<SitePart>,
    pub(super) reads: RefCell<Vec<Read>>,
}

impl<'a> Look<'a> {
    /// What is read from now on is read for this part.
    pub(super) fn at(&self, part: SitePart) -> &Self {
        self.part.set(part);
        self
    }

    /// Notes a question of which it counts whether it is asked, or why it has no answer.
    pub(super) fn note(&self, id: QuestionId) -> usize {
        self.noted(id, false)
    }

    fn noted(&self, question: QuestionId, only_answer: bool) -> usize {
        self.reads.borrow_mut().push(Read { part: self.part.get(), question, only_answer });
        self.names.at(question)
    }

    /// The value that counts.
    pub(super) fn value(&self, id: QuestionId) -> Value {
        self.state.values[self.note(id)]
    }

    pub(super) fn answer(&self, id: QuestionId) -> Option<&'a Answer> {
        self.noted(id, true);
        self.answered(id)
    }

    /// Whether the question is asked for certain, answered or not.
    pub(super) fn asks(&self, id: QuestionId) -> bool {
        self.state.shown[self.note(id)] == Truth::Yes
    }

    /// The same as [`Look::answer`] without a note: for what no fact hangs on.
    pub(super) fn answered(&self, id: QuestionId) -> Option<&'a Answer> {
        let number = self.names.at(id);
        (self.state.shown[number] == Truth::Yes).then(|| self.answers.get(number)).flatten()
    }

    /// The place of the choice that was made.
    pub(super) fn index(&self, id: QuestionId) -> Option<usize> {
        match self.answer(id)? {
            Answer::Choice(index) => Some(*index),
            _ => None,
        }
    }

    /// What was chosen; nothing also for a choice that the program does not tell apart.
    pub(super) fn choice<C: Choices>(&self) -> Option<C> {
        self.names.choice(self.index(C::QUESTION)?)
    }

    pub(super) fn is<C: Choices>(&self, choice: C) -> bool {
        self.choice::<C>() == Some(choice)
    }

    /// Whether a choice of a question of which several can be marked is among them; nothing if that is not known.
    pub(super) fn marked<C: Choices>(&self, choice: C) -> Option<bool> {
        match self.answer(C::QUESTION)? {
            Answer::Several(bits) => Some(bits & (1 << self.names.place(choice)) != 0),
            _ => None,
        }
    }

    pub(super) fn yes(&self, id: QuestionId) -> bool {
        matches!(self.answer(id), Some(Answer::YesNo(true)))
    }

    pub(super) fn length(&self, id: QuestionId) -> Option<Length> {
        match self.answer(id)? {
            Answer::Length(length) => Some(*length),
            _ => None,
        }
    }

    pub(super) fn openings(&self) -> Vec<Opening> {
        match self.at(SitePart::Places).answer(QuestionId::WallPlaces) {
            Some(Answer::Places(list)) => {
                list.iter().filter_map(|placed| Some(Opening::of(self.names.choice(placed.choice)?, *placed))).collect()
            }
            _ => Vec::new(),
        }
    }

    pub(super) fn profile(&self, id: QuestionId) -> Option<Line> {
        let Some(Answer::Profile(points)) = self.answer(id) else { return None };
        Line::through(points.iter().map(|p| (p.at, Elevation::MARK - p.below)).collect())
    }
}
