//! The nearest change of the plan that gives "Go ahead", of any size; or what no change of the plan takes away.

use super::model::Assessment;
use super::nearest::{Change, Hunt, Nearest};
use super::reasons::finish_questions;
use crate::content::Verdict;
use crate::flow::Answers;
use crate::names::Stage;

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
