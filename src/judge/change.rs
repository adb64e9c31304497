//! The nearest change of the plan that gives "Go ahead", of any size; or what no change of the plan takes away.

use super::model::Assessment;
use super::nearest::{Change, Hunt, Nearest};
use super::reasons::finish_questions;
use crate::content::Verdict;
use crate::flow::{Answer, Answers};
use crate::names::Stage;
use crate::units::Length;

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

    /// The nearest change, where it is worth telling, with lengths as they are shown.
    #[must_use]
    pub fn change_worth_telling(&self) -> Option<Nearest> {
        self.can_change().then(|| match self.nearest_change() {
            Nearest::Change(change) => Nearest::Change(self.as_shown(change)),
            other => other,
        })
    }

    /// The same change with each length as it is shown, as near to it as still gives "Go ahead": whoever types what the sheet says
    /// comes there too.
    fn as_shown(&self, mut change: Change) -> Change {
        for at in 0..change.answers.len() {
            let Answer::Length(exact) = change.answers[at].1 else { continue };
            let up = exact.up_to_shown(self.units);
            let down = Length::ZERO - (Length::ZERO - exact).up_to_shown(self.units);
            let mut shown = [up, down];
            shown.sort_by_key(|shown| (*shown - exact).abs());
            for shown in shown {
                let mut other = change.clone();
                other.answers[at].1 = Answer::Length(shown);
                if self.content.settle(&self.with_change(&other)).verdict == Verdict::GoAhead {
                    change = other;
                    break;
                }
            }
        }
        change
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
