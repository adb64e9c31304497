//! The same visit with its surface at another height: the one place that knows what moves with the finish.
//!
//! Whatever was measured from the finish changes its figure when the finish moves, whatever was measured to a fixed
//! mark does not. Which is which is said once: of heights at the wall by the levels that a reading joins, of all other
//! lengths by `as_finish_rises` of their question. What-ifs, `compare` and lowering all come here.

use super::model::Assessment;
use crate::content::Content;
use crate::flow::{Answer, Answers, ProfilePoint, State, Truth};
use crate::names::{ExitWay, FinishWay, QuestionId};
use crate::site::{ALONG, Site, readings};
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
            let answers = self.with_finish_lowered(below - now);
            answers.is_some_and(|answers| self.content.settle(&answers).verdict <= self.settled.verdict)
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

    /// The answers with the surface lowered, or raised by a negative length; nothing where no answer says how high it
    /// lies, or where it would come to lie lower than an answer can say.
    #[must_use]
    pub fn with_finish_lowered(&self, by: Length) -> Option<Answers> {
        if self.site.finish_readings().is_empty() {
            return None;
        }
        let answers = self.content.with_finish_moved(self.answers, &self.site, -by, &[]);
        self.content.all_in_bounds(&answers, &self.site)
    }
}

impl Content {
    /// What follows a change of answers: if it moves the finish, whatever was measured from the finish moves with it,
    /// but not what is among the `set` questions, which were answered anew.
    #[must_use]
    pub fn with_what_moves(&self, before: &Answers, after: &Answers, set: &[usize]) -> Answers {
        let site = |answers: &Answers| Site::read(&self.catalog, answers, &self.flow.state(answers));
        self.with_what_moves_from(&site(before), after, &self.flow.state(after), set)
    }

    /// The same, where the site before is known, and what the answers mean after.
    pub(super) fn with_what_moves_from(&self, before: &Site, after: &Answers, state: &State, set: &[usize]) -> Answers {
        let new = Site::read(&self.catalog, after, state);
        // what was read at the far end of shorter work was read elsewhere
        let longer = before.slopes() && new.length.zip(before.length).is_some_and(|(now, then)| now > then);
        let mut kept = after.clone();
        if longer {
            let right = ALONG.iter().map(|(.., right)| self.catalog.names.at(*right));
            right.filter(|number| !set.contains(number)).for_each(|number| take_back(&mut kept, number));
        }
        match new.finish_risen(before) {
            Some(up) if up != Length::ZERO => self.with_moved(&kept, &new, &state.shown, up, set),
            _ => kept,
        }
    }

    /// The questions whose answer may move with the finish: the readings that touch it, and what was measured from it.
    pub(super) fn may_move_with_finish(&self) -> Vec<usize> {
        let touching = [false, true].into_iter().flat_map(readings);
        let touching = touching.filter(|(_, _, lower, upper, _)| [*lower, *upper].contains(&Level::Finish));
        let along = ALONG.into_iter().filter(|(level, ..)| *level == Level::Finish);
        let along = along.flat_map(|(_, _, profile, left, right)| [profile, left, right]);
        let at_wall = touching.map(|(_, id, ..)| id).chain(along).map(|id| self.catalog.names.at(id));
        let others = self.flow.questions.iter().enumerate().filter(|(_, question)| question.moves_with_finish());
        at_wall.chain(others.map(|(number, _)| number)).collect()
    }

    /// The answers with every figure changed that was measured from the finish, as the finish goes up.
    fn with_finish_moved(&self, answers: &Answers, site: &Site, up: Length, set: &[usize]) -> Answers {
        self.with_moved(answers, site, &self.flow.state(answers).shown, up, set)
    }

    fn with_moved(&self, answers: &Answers, site: &Site, shown: &[Truth], up: Length, set: &[usize]) -> Answers {
        let names = &self.catalog.names;
        let at_wall = site.finish_readings().iter().map(|(id, grows)| (names.at(*id), *grows, None));
        let others = self.flow.questions.iter().enumerate();
        let others = others.filter(|(number, question)| question.as_finish_rises != 0 && shown[*number] == Truth::Yes);
        let mut moved = answers.clone();
        for (number, grows, bounds) in at_wall.chain(others.map(|(n, q)| (n, q.as_finish_rises, q.bounds))) {
            if set.contains(&number) {
                continue;
            }
            let by = up * grows;
            let answer = match answers.get(number) {
                // an edge that reaches the ground stays there
                Some(Answer::Length(length)) => Answer::Length(bounds.map_or(*length + by, |bounds| {
                    Length::from_steps((*length + by).steps().clamp(bounds.least, bounds.most))
                })),
                Some(Answer::Profile(points)) => Answer::Profile(
                    points.iter().map(|point| ProfilePoint { below: point.below + by, ..*point }).collect(),
                ),
                _ => continue,
            };
            moved.set(number, answer);
        }
        if up > Length::ZERO {
            let held = self.flow.questions.iter().enumerate().filter(|(_, question)| question.lost_as_finish_rises);
            held.filter(|(number, _)| !set.contains(number)).for_each(|(number, _)| take_back(&mut moved, number));
        }
        moved
    }

    /// The questions whose answer held for a lower finish than there is after a change, and was not given anew.
    #[must_use]
    pub fn taken_back(&self, before: &Answers, after: &Answers, set: &[usize]) -> Vec<usize> {
        let moved = self.with_what_moves(before, after, set);
        let lost = |number: &usize| after.get(*number).is_some() && moved.get(*number).is_none();
        (0..self.flow.questions.len()).filter(lost).collect()
    }

    /// The answers, if every reading of the finish can be said so. A layer cannot be thinner than nothing: then the
    /// finish is told from the mark instead, if that is known.
    fn all_in_bounds(&self, answers: &Answers, site: &Site) -> Option<Answers> {
        let names = &self.catalog.names;
        let mut answers = answers.clone();
        let layer = names.at(QuestionId::BuildUp);
        let thick = match answers.get(layer).filter(|_| site.is_finish_reading(QuestionId::BuildUp)) {
            Some(Answer::Length(thick)) => *thick,
            _ => Length::ZERO,
        };
        if thick < Length::ZERO {
            let old = site.levels.direct(Level::Mark, Level::OldSurface)?;
            answers.set(names.at(QuestionId::FinishWay), Answer::Choice(names.place(FinishWay::DownFromMark)));
            answers.set(names.at(QuestionId::FinishBelowMark), Answer::Length(old - thick));
            // the old surface is not asked for any more, so what was measured up from it is told from the mark too
            let way = names.at(QuestionId::ExitWay);
            let from_surface = Answer::Choice(names.place(ExitWay::UpFromSurface));
            if answers.get(way) == Some(&from_surface)
                && let Some(Answer::Length(up)) = answers.get(names.at(QuestionId::ExitAboveSurface)).cloned()
            {
                answers.set(way, Answer::Choice(names.place(ExitWay::DownFromMark)));
                answers.set(names.at(QuestionId::ExitBelowMark), Answer::Length(old - up));
            }
        }
        let fits = |(id, _): &(QuestionId, i64)| {
            let number = names.at(*id);
            match (answers.get(number), self.flow.questions[number].bounds) {
                (Some(Answer::Length(length)), Some(bounds)) if *id != QuestionId::BuildUp => {
                    (bounds.least..=bounds.most).contains(&length.steps())
                }
                _ => true,
            }
        };
        site.finish_readings().iter().all(fits).then_some(answers)
    }
}

/// Takes an answer away; what nobody was sure of stays so.
fn take_back(answers: &mut Answers, question: usize) {
    if answers.get(question) != Some(&Answer::NotSure) {
        answers.clear(question);
    }
}
