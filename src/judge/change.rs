//! The nearest change of the plan that gives "Go ahead", of any size; or what no change of the plan takes away.

use super::model::Assessment;
use super::nearest::Hunt;
use super::reasons::finish_questions;
use crate::content::{Rule, Verdict};
use crate::flow::{Answer, Answers};
use crate::names::Stage;

/// A change of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The questions with their new answers, in the order of the interview. What was measured from the finish moves with it
    /// and is not listed; see [`Assessment::with_change`].
    pub answers: Vec<(usize, Answer)>,
}

/// What it takes to come to "Go ahead" by changing the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Nearest {
    /// Nothing: it may go ahead.
    Nothing,
    /// The fewest answers; of these the least effort, by the minutes of their questions; then the fewest other answers that it
    /// brings up or hides; then the least change of lengths. Where several lengths change, none of them can be nearer to the
    /// present one with the others as they are.
    Change(Change),
    /// No change of the plan leads there.
    None(Remains),
    /// None was found within what is spent on looking. Only lengths that rules weigh against each other come to that.
    NotFound,
}

/// Why no change of the plan gives "Go ahead".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remains {
    /// Rules that hold for certain and that no answer about the plan can move.
    pub certain: Vec<Rule>,
    /// Rules of which nobody knows whether they hold, and that no answer about the plan can move.
    pub unknown: Vec<Rule>,
    /// Where each rule could be moved, but not all of them: rules that no plan meets together. Each is needed for that.
    pub together: Vec<Rule>,
}

impl Assessment<'_> {
    /// The nearest change of the plan that gives "Go ahead": the cheapest, see [`Nearest::Change`].
    ///
    /// Questions that the change brings up count, and get an answer with which it holds. If they ask for a fact of the house, the
    /// change holds whatever that fact is.
    #[must_use]
    pub fn nearest_change(&self) -> Nearest {
        if self.settled.verdict == Verdict::GoAhead {
            return Nearest::Nothing;
        }
        Hunt::new(self).run()
    }

    /// Whether a change of the plan is worth telling: what stands already is repaired, not planned anew, and what is
    /// not known is found out first.
    fn can_change(&self) -> bool {
        self.said() == Some(Stage::Planned)
            && matches!(self.settled.held, Verdict::ChangePlan | Verdict::ExteriorTradeFirst)
    }

    /// The nearest change, where it is worth telling.
    pub(crate) fn change_worth_telling(&self) -> Option<Nearest> {
        self.can_change().then(|| self.nearest_change())
    }

    /// The answers with a change made: whatever was measured from the finish has moved with it.
    #[must_use]
    pub fn with_change(&self, change: &Change) -> Answers {
        let mut after = self.answers.clone();
        for (question, answer) in &change.answers {
            after.set(*question, answer.clone());
        }
        let moves =
            finish_questions(self.content, &self.site).any(|q| change.answers.iter().any(|(other, _)| *other == q));
        if !moves {
            return after;
        }
        let questions: Vec<usize> = change.answers.iter().map(|(q, _)| *q).collect();
        self.content.with_what_moves(self.answers, &after, &questions)
    }
}
