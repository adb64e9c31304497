//! Tries: another height, another answer. The plan stays as it is until one of them is kept.

use super::review::Moves;
use super::{Desk, Went};
use crate::commands::compare::compared;
use crate::commands::error::CommandError;
use crate::commands::output::print;
use crate::commands::outside::say;
use crate::flow::Answers;
use crate::interview::Picked;
use crate::names::QuestionId;
use crate::units::Length;
use crate::wall::Level;

/// The questions that move the surface; the first one that is asked counts.
const SURFACE: [QuestionId; 5] = [
    QuestionId::FinishBelowMark,
    QuestionId::FinishAboveGround,
    QuestionId::BuildUp,
    QuestionId::FinishLeftBelowMark,
    QuestionId::FinishProfile,
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Doing {
    Surface(usize),
    Other,
    Compare,
    Keep,
    Forget,
    Undo,
    Back,
}

impl Desk<'_, '_> {
    /// The menu of tries, until it is left.
    pub(super) fn tries(&mut self) -> Result<Went<()>, CommandError> {
        let at = match self.which()? {
            Went::Did(at) => at,
            Went::Back => return Ok(Went::Back),
            Went::Left(how) => return Ok(Went::Left(how)),
        };
        loop {
            let items = self.doings(at);
            let texts: Vec<String> = items.iter().map(|(text, _)| text.clone()).collect();
            let doing = match self.choose("menu.tries_title", &texts)? {
                Picked::Item(item) => items[item].1,
                Picked::Back => Doing::Back,
                Picked::Leave(how) => return Ok(Went::Left(how)),
            };
            let did = match doing {
                Doing::Back => return Ok(Went::Did(())),
                Doing::Surface(number) => self.try_it(at, Some(number))?,
                Doing::Other => self.try_it(at, None)?,
                Doing::Compare => {
                    self.show_compared(at)?;
                    Went::Back
                }
                Doing::Keep => match self.pick_try(at, "menu.keep_which")? {
                    Went::Did(name) => {
                        self.keep_try(at, &name)?;
                        // the plan is another one now: its answer is told
                        return Ok(Went::Did(()));
                    }
                    Went::Back => Went::Back,
                    Went::Left(how) => Went::Left(how),
                },
                Doing::Forget => match self.pick_try(at, "menu.forget_which")? {
                    Went::Did(name) => {
                        self.session.forget(&name)?;
                        Went::Back
                    }
                    Went::Back => Went::Back,
                    Went::Left(how) => Went::Left(how),
                },
                Doing::Undo => {
                    if let Some(name) = self.session.undo(at) {
                        self.keep_try(at, &name)?;
                    }
                    return Ok(Went::Did(()));
                }
            };
            if let Went::Left(how) = did {
                return Ok(Went::Left(how));
            }
        }
    }

    fn doings(&self, at: usize) -> Vec<(String, Doing)> {
        let (session, tries) = (&self.session, self.session.tries(at));
        let mut items = Vec::new();
        let shown = session.content.flow.state(session.plan(at)).shown;
        let surface = SURFACE.map(|id| session.content.catalog.names.at(id));
        if let Some(number) = surface.into_iter().find(|number| shown[*number].is_yes()) {
            items.push((self.word("menu.try_surface"), Doing::Surface(number)));
        }
        items.push((self.word("menu.try_other"), Doing::Other));
        if !tries.is_empty() {
            items.push((self.word("menu.compare"), Doing::Compare));
            items.push((self.word("menu.keep"), Doing::Keep));
            items.push((self.word("menu.forget"), Doing::Forget));
        }
        if let Some(name) = session.undo(at) {
            items.push((self.word("menu.undo").replace("{name}", &name), Doing::Undo));
        }
        items.push((self.word("menu.back"), Doing::Back));
        items
    }

    /// Tries another answer to one question, or to several; gives the try a name, and tells its verdict.
    fn try_it(&mut self, at: usize, number: Option<usize>) -> Result<Went<()>, CommandError> {
        let plan = self.session.plan(at).clone();
        let mut answers = plan.clone();
        let mut not_kept = |_: &mut Self, _: &Answers| Ok(());
        let done = match number {
            Some(number) => self.ask_with_follow_ups(number, &mut answers, Moves::WithTheSurface, &mut not_kept)?,
            None => self.review(at, &mut answers, Moves::WithTheSurface, &mut not_kept)?,
        };
        if let Went::Left(how) = done {
            return Ok(Went::Left(how));
        }
        if answers == plan {
            return Ok(Went::Back);
        }
        self.say_verdict(&answers);
        let offered = self.session.free_name(&self.name_for(&plan, &answers));
        let name = match self.typed("menu.try_name", Some(&offered))? {
            Went::Did(name) => self.session.free_name(&name),
            // a try without a name of one's own keeps the one that was offered
            Went::Back => offered,
            Went::Left(how) => {
                self.session.add_try(at, &offered, &answers)?;
                return Ok(Went::Left(how));
            }
        };
        self.session.add_try(at, &name, &answers)?;
        say(&self.word("menu.try_kept").replace("{name}", &name));
        Ok(Went::Did(()))
    }

    /// What a try may be called: by how much the surface moves, else by the first answer that is another one.
    fn name_for(&self, plan: &Answers, answers: &Answers) -> String {
        let (old, new) = (self.assess(plan), self.assess(answers));
        let depth = |a: &crate::judge::Assessment<'_>| a.site.levels.above(Level::Mark, Level::Finish).map(|h| h.up);
        if let (Some(old), Some(now)) = (depth(&old), depth(&new))
            && old != now
        {
            let key = if now > old { "try.lower" } else { "try.higher" };
            return new.word_with(key, &[("by", &Length::abs(now - old).show(self.units()))]);
        }
        let flow = &self.session.content.flow;
        let changed = (0..flow.questions.len()).find(|n| plan.get(*n) != answers.get(*n));
        let shown = changed.and_then(|n| Some((n, flow.questions[n].show_answer(answers.get(n)?, self.units()))));
        match shown {
            Some((n, said)) => {
                let said = said.filter(|said| !said.is_empty()).unwrap_or_else(|| self.word("label.not_sure"));
                format!("{}: {said}", new.short(n))
            }
            None => self.word("try.plain"),
        }
    }

    fn pick_try(&mut self, at: usize, title: &str) -> Result<Went<String>, CommandError> {
        let names: Vec<String> = self.session.tries(at).into_iter().map(|(name, _)| name).collect();
        if let [only] = names.as_slice() {
            return Ok(Went::Did(only.clone()));
        }
        Ok(match self.choose(title, &names)? {
            Picked::Item(item) => Went::Did(names[item].clone()),
            Picked::Back => Went::Back,
            Picked::Leave(how) => Went::Left(how),
        })
    }

    /// Makes a try the plan, and says so.
    pub(super) fn keep_try(&mut self, at: usize, name: &str) -> Result<(), CommandError> {
        let old_name = self.word("try.before").replace("{name}", name);
        let (old_name, undone) = self.session.keep(at, name, &old_name)?;
        let said = if undone {
            self.word("menu.undone").replace("{name}", &old_name)
        } else {
            self.word("menu.kept").replace("{name}", name)
        };
        say(&said);
        Ok(())
    }

    /// The plan and its tries side by side.
    fn show_compared(&self, at: usize) -> Result<(), CommandError> {
        let session = &self.session;
        let mut plans = vec![(self.word("label.as_it_is"), session.plan(at).clone())];
        plans.extend(session.tries(at));
        print(&compared(&plans, session.content, session.units, session.date(), session.global)?)
    }
}
