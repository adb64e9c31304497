//! After the verdict: what if the surface lay lower, or something else were different?

use super::ask::interview;
use super::error::CommandError;
use super::global::Global;
use super::output::{OutputLook, document_as, print};
use super::outside::note;
use crate::content::Content;
use crate::flow::Answers;
use crate::interview::{Asker, Ended, InterviewError, Leaving, Picked, Reply};
use crate::names::QuestionId;
use crate::sheet::{Alternative, compare};
use crate::units::Units;
use std::convert::Infallible;
use std::io;
use std::path::Path;

/// The questions that move the surface; the first one that is asked counts.
const SURFACE: [QuestionId; 5] = [
    QuestionId::FinishBelowMark,
    QuestionId::FinishAboveGround,
    QuestionId::BuildUp,
    QuestionId::FinishLeftBelowMark,
    QuestionId::FinishProfile,
];
/// How many tries are kept for the comparison, besides the answers as they were.
const TRIES: usize = 3;

/// What the menu works with.
pub(super) struct WhatIf<'a> {
    pub(super) content: &'a Content,
    pub(super) units: Units,
    pub(super) global: &'a Global,
    /// The date on the cover.
    pub(super) date: &'a str,
    /// The visit, for messages.
    pub(super) path: &'a Path,
}

enum Next {
    Surface(usize),
    Other,
    Compare,
    AsBefore,
    Done,
}

impl WhatIf<'_> {
    /// Offers changes until the user is content, or interrupts; the verdict follows each at once. `keep` saves the answers.
    pub(super) fn run(
        &self,
        answers: &mut Answers,
        asker: &mut dyn Asker,
        keep: &mut dyn FnMut(&Answers) -> Result<(), CommandError>,
    ) -> Result<Ended, CommandError> {
        let before = answers.clone();
        let mut tries: Vec<Answers> = Vec::new();
        let interview = interview(
            self.content,
            |_: &Answers| self.units,
            |answers, last| self.content.next_for_sheets(answers, last),
        );
        loop {
            let mut menu: Vec<(String, Next)> = Vec::new();
            let state = self.content.flow.state(answers);
            let numbers = SURFACE.map(|id| self.content.catalog.names.at(id));
            if let Some(number) = numbers.into_iter().find(|number| state.shown[*number].is_yes()) {
                menu.push((self.word("menu.surface"), Next::Surface(number)));
            }
            menu.push((self.word("menu.other"), Next::Other));
            if !tries.is_empty() {
                menu.push((self.word("menu.compare"), Next::Compare));
                menu.push((self.word("menu.as_before"), Next::AsBefore));
            }
            menu.push((self.word("menu.done"), Next::Done));
            let items: Vec<String> = menu.iter().map(|(text, _)| text.clone()).collect();
            let picked = asker.choose(&self.word("menu.title"), &items).map_err(|reason| self.terminal(reason))?;
            let at = match picked {
                Picked::Item(at) => at,
                Picked::Leave(Leaving::Interrupted) => return Ok(Ended::Left(Leaving::Interrupted)),
                Picked::Back | Picked::Leave(_) => return Ok(Ended::Finished),
            };
            let (_, choice) = menu.swap_remove(at);
            match choice {
                Next::Done => return Ok(Ended::Finished),
                Next::AsBefore => {
                    *answers = before.clone();
                    keep(answers)?;
                    self.say_verdict(answers);
                }
                Next::Compare => self.compare(&before, &tries)?,
                Next::Surface(number) => {
                    let reply = interview.ask_again(number, answers, asker).map_err(|reason| self.terminal(reason))?;
                    match reply {
                        Reply::Answer(answer) => {
                            let before = answers.clone();
                            answers.set(number, answer);
                            *answers = self.content.with_what_moves(&before, answers, &[number]);
                            self.tried(answers, &mut tries, keep)?;
                        }
                        Reply::Leave(how) => return Ok(Ended::Left(how)),
                        Reply::Back | Reply::Typed(_) | Reply::Both(..) => {}
                    }
                }
                Next::Other => {
                    let mut changed = answers.clone();
                    let mut no_keep = |_: &Answers| Ok::<(), Infallible>(());
                    // the review, with whatever a change brings up
                    let ended = interview.review(&mut changed, asker, &mut no_keep).map_err(|error| match error {
                        InterviewError::Terminal(reason) => self.terminal(reason),
                        InterviewError::Keep(never) => match never {},
                    })?;
                    if ended == Ended::Left(Leaving::Interrupted) {
                        return Ok(ended);
                    }
                    if changed != *answers {
                        let differs = |number: &usize| answers.get(*number) != changed.get(*number);
                        let set: Vec<usize> = (0..self.content.flow.questions.len()).filter(differs).collect();
                        *answers = self.content.with_what_moves(answers, &changed, &set);
                        self.tried(answers, &mut tries, keep)?;
                    }
                }
            }
        }
    }

    fn tried(
        &self,
        answers: &Answers,
        tries: &mut Vec<Answers>,
        keep: &mut dyn FnMut(&Answers) -> Result<(), CommandError>,
    ) -> Result<(), CommandError> {
        keep(answers)?;
        if tries.len() == TRIES {
            tries.remove(0);
        }
        tries.push(answers.clone());
        self.say_verdict(answers);
        Ok(())
    }

    /// The verdict in two lines, with the figure that decides most.
    fn say_verdict(&self, answers: &Answers) {
        let assessment = self.content.assess(answers, self.units);
        note(&format!("\n{}", assessment.in_short()));
    }

    fn compare(&self, before: &Answers, tries: &[Answers]) -> Result<(), CommandError> {
        let named = |(i, answers): (usize, &Answers)| {
            let name = self.content.word("menu.try").replace("{number}", &(i + 1).to_string());
            (name, answers.clone())
        };
        let mut plans = vec![(self.word("label.as_it_is"), before.clone())];
        plans.extend(tries.iter().enumerate().map(named));
        let list: Vec<Alternative<'_>> = plans
            .iter()
            .map(|(name, answers)| Alternative {
                name: name.clone(),
                assessment: self.content.assess(answers, self.units),
            })
            .collect();
        let document = compare(&list, &self.global.cover(self.date)).ok_or(CommandError::NoStretch)?;
        print(&document_as(&document, OutputLook::Text, &list[0].assessment, self.global, true))
    }

    fn word(&self, key: &str) -> String {
        self.content.word(key).to_owned()
    }

    fn terminal(&self, reason: io::Error) -> CommandError {
        CommandError::Terminal { path: self.path.to_owned(), reason }
    }
}
