//! The same visit with its surface at another height.

use super::model::Assessment;
use crate::flow::{Answer, Answers};
use crate::site::MEASURED_FROM_FINISH;
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
            let answers = self.with_finish_at(below, now)?;
            let assessment = self.content.assess(&answers, self.units);
            Some(assessment.settled.verdict <= self.settled.verdict)
        };
        if holds(solved)? {
            return Some(solved);
        }
        // down from the solved height towards the present one, to a sixteenth of an inch
        let step = Length::sixty_fourths(4);
        let (mut bad, mut good) = (0, (now - solved).steps() / step.steps());
        while good - bad > 1 {
            let middle = i64::midpoint(bad, good);
            if holds(solved + step * middle)? {
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
        self.with_finish_at(now + by, now)
    }

    /// The answers with the finish at another depth below the mark.
    fn with_finish_at(&self, below: Length, now: Length) -> Option<Answers> {
        let flow = &self.content.flow;
        let mut answers = self.answers.clone();
        let way = flow.question("finish_way")?;
        let down = flow.questions[way].choices.iter().position(|c| c.id == "down_from_mark")?;
        answers.set(way, Answer::Choice(down));
        answers.set(flow.question("finish_below_mark")?, Answer::Length(below));
        for id in MEASURED_FROM_FINISH {
            let Some(number) = flow.question(id) else { continue };
            if let Some(Answer::Length(height)) = self.answers.get(number) {
                answers.set(number, Answer::Length(*height + (below - now)));
            }
        }
        Some(answers)
    }
}
