//! An answer changed: the list of all answers, the question again, and whatever the new answer brings up.

use super::{Desk, Went};
use crate::commands::asking::interview;
use crate::commands::error::CommandError;
use crate::flow::Answers;
use crate::interview::{Reply, Reviewed, review_lines};

/// What a changed height takes along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moves {
    /// Nothing: a reading is corrected, and all others stay what was read.
    Nothing,
    /// What was measured from the surface: it is tried elsewhere.
    WithTheSurface,
}

impl Desk<'_, '_> {
    /// Answers of the plan are changed, each saved at once, until the list is left.
    pub(super) fn change_an_answer(&mut self) -> Result<Went<()>, CommandError> {
        let at = match self.which()? {
            Went::Did(at) => at,
            Went::Back => return Ok(Went::Back),
            Went::Left(how) => return Ok(Went::Left(how)),
        };
        let mut answers = self.session.plan(at).clone();
        self.review(at, &mut answers, Moves::Nothing, &mut |desk, answers| desk.session.save(at, answers))
    }

    /// The list of answers, until it is left; `keep` gets the answers after each change.
    pub(super) fn review(
        &mut self,
        at: usize,
        answers: &mut Answers,
        moves: Moves,
        keep: &mut dyn FnMut(&mut Self, &Answers) -> Result<(), CommandError>,
    ) -> Result<Went<()>, CommandError> {
        loop {
            let first = (at > 0).then(|| self.session.plan(0));
            let lines = review_lines(&self.session.content.flow, answers, self.units(), first);
            match self.asker.review(&lines).map_err(|reason| self.terminal(reason))? {
                Reviewed::Done => return Ok(Went::Did(())),
                Reviewed::Back => return Ok(Went::Back),
                Reviewed::Leave(how) => return Ok(Went::Left(how)),
                Reviewed::Change(line) => {
                    // a line that is not there changes nothing
                    let Some(line) = lines.get(line) else { continue };
                    if let Went::Left(how) = self.ask_with_follow_ups(line.question, answers, moves, keep)? {
                        return Ok(Went::Left(how));
                    }
                }
            }
        }
    }

    /// Asks one question anew, and then what its answer brings up. `keep` gets the answers after each of them.
    pub(super) fn ask_with_follow_ups(
        &mut self,
        number: usize,
        answers: &mut Answers,
        moves: Moves,
        keep: &mut dyn FnMut(&mut Self, &Answers) -> Result<(), CommandError>,
    ) -> Result<Went<()>, CommandError> {
        let (content, units) = (self.session.content, self.units());
        let flow = &content.flow;
        let interview = interview(content, move |_: &Answers| units, |_, _| None);
        let unasked = |answers: &Answers| {
            let shown = flow.state(answers).shown;
            (0..flow.questions.len())
                .filter(move |n| shown[*n].is_yes())
                .filter(|n| answers.get(*n).is_none())
                .collect()
        };
        let before: Vec<usize> = unasked(answers);
        let mut next = Some(number);
        let mut changed = false;
        while let Some(asked) = next {
            match interview.ask_again(asked, answers, self.asker).map_err(|reason| self.terminal(reason))? {
                Reply::Answer(answer) => {
                    let old = answers.clone();
                    answers.set(asked, answer);
                    if moves == Moves::WithTheSurface {
                        *answers = content.with_what_moves(&old, answers, &[asked]);
                    }
                    keep(self, answers)?;
                    changed = true;
                }
                // what a changed answer brought up can be left open
                Reply::Back | Reply::Typed(_) | Reply::Both(..) => break,
                Reply::Leave(how) => return Ok(Went::Left(how)),
            }
            let open: Vec<usize> = unasked(answers);
            next = open.into_iter().find(|n| !before.contains(n));
        }
        Ok(if changed { Went::Did(()) } else { Went::Back })
    }
}
