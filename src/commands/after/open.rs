//! What is still open: as instructions, the easiest one that decides first.

use super::review::Moves;
use super::{Desk, Went};
use crate::commands::error::CommandError;
use crate::commands::outside::say;
use crate::flow::Answers;
use crate::interview::Picked;

impl Desk<'_, '_> {
    /// Lists what is open until nothing is, or the list is left. An answer is saved at once, and the verdict follows.
    pub(super) fn answer_open(&mut self) -> Result<Went<()>, CommandError> {
        let at = match self.which()? {
            Went::Did(at) => at,
            Went::Back => return Ok(Went::Back),
            Went::Left(how) => return Ok(Went::Left(how)),
        };
        let mut did = false;
        loop {
            let mut answers = self.session.plan(at).clone();
            let points = self.open_list(&answers);
            if points.is_empty() {
                say(&self.word("menu.nothing_open"));
                return Ok(if did { Went::Did(()) } else { Went::Back });
            }
            let texts: Vec<String> = points.iter().map(|(text, _)| text.clone()).collect();
            let number = match self.choose("menu.open_title", &texts)? {
                Picked::Item(at) => points[at].1,
                Picked::Back => return Ok(if did { Went::Did(()) } else { Went::Back }),
                Picked::Leave(how) => return Ok(Went::Left(how)),
            };
            let question = &self.session.content.flow.questions[number];
            say(&format!("\n{}", self.assess(&answers).spoken().how(question)));
            match self.ask_with_follow_ups(number, &mut answers, Moves::Nothing, &mut |desk, answers| {
                desk.session.save(at, answers)
            })? {
                Went::Left(how) => return Ok(Went::Left(how)),
                Went::Did(()) => {
                    did = true;
                    self.say_verdict(&answers);
                }
                Went::Back => {}
            }
        }
    }

    /// What can still change the verdict: those that do so alone first, of these what one can do oneself, the quickest first.
    fn open_list(&self, answers: &Answers) -> Vec<(String, usize)> {
        let assessment = self.assess(answers);
        let decisive = assessment.decisive();
        let mut points: Vec<usize> = assessment.open.iter().map(|point| point.question).collect();
        let questions = &self.session.content.flow.questions;
        points.sort_by_key(|number| {
            let effort = &questions[*number].effort;
            let alone = decisive.iter().any(|d| d.question == *number && d.with.is_none());
            (!alone, effort.who != "you", effort.minutes)
        });
        let text = |number: usize| {
            let question = &questions[number];
            let minutes = question.effort.minutes.to_string();
            let (short, todo) = (assessment.short(number), assessment.instruction(number));
            let values =
                [("what", short.as_str()), ("do", &todo), ("minutes", &minutes), ("with", &question.effort.with)];
            assessment.word_with("menu.open_point", &values)
        };
        points.into_iter().map(|number| (text(number), number)).collect()
    }
}
