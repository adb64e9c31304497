//! The same visit with its surface at another height.

use super::model::Assessment;
use crate::flow::{Answer, Answers};
use crate::names::{FinishWay, QuestionId};
use crate::site::SitePart;
use crate::units::Length;
use crate::wall::Level;

impl Assessment<'_> {
    /// The highest finish, between `solved` and the one there is, at which the verdict is no worse than
    /// now. Heights that were measured from the finish move with it. Nothing if even the present one is
    /// higher than `solved`.
    #[must_use]
    pub fn highest_that_holds(&self, solved: Length) -> Option<Length> {
        let now = self.site.levels.above(Level::Mark, Level::Finish)?.up;
        if solved > now || self.site.slopes() {
            return None;
        }
        let holds = |below: Length| {
            let answers = self.with_finish_at(below, now);
            self.content.settle(&answers).verdict <= self.settled.verdict
        };
        if holds(solved) {
            return Some(solved);
        }
        // down from the solved height towards the present one, to a sixteenth of an inch
        let step = Length::sixty_fourths(4);
        let (mut bad, mut good) = (0, (now - solved).steps() / step.steps());
        while good - bad > 1 {
            let middle = i64::midpoint(bad, good);
            if holds(solved + step * middle) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        Some((solved + step * good).min(now))
    }

    /// The answers with the surface lowered, or raised by a negative length; nothing where its height below the mark
    /// is not known, or differs along the wall.
    #[must_use]
    pub fn with_finish_lowered(&self, by: Length) -> Option<Answers> {
        let now = self.site.levels.above(Level::Mark, Level::Finish)?.up;
        if self.site.slopes() {
            return None;
        }
        Some(self.with_finish_at(now + by, now))
    }

    /// The answers with the finish at another depth below the mark.
    fn with_finish_at(&self, below: Length, now: Length) -> Answers {
        let names = &self.content.catalog.names;
        let mut answers = self.answers.clone();
        answers.set(names.at(QuestionId::FinishWay), Answer::Choice(names.place(FinishWay::DownFromMark)));
        answers.set(names.at(QuestionId::FinishBelowMark), Answer::Length(below));
        // heights that are asked as distances above the finish change when the finish does
        for part in [SitePart::Window, SitePart::GasVent, SitePart::DryerVent, SitePart::GasMeter] {
            let Some(number) = self.site.read_for(part).next().map(|id| names.at(id)) else { continue };
            if let Some(Answer::Length(height)) = self.answers.get(number) {
                answers.set(number, Answer::Length(*height + (below - now)));
            }
        }
        answers
    }
}
