//! A visit that is worked on from the menu: read anew after each change, written at once.

use super::super::error::CommandError;
use super::super::global::Global;
use super::super::outside::today;
use super::super::reading::{OwnCountry, bare_units, notes_of};
use crate::content::Content;
use crate::flow::{Answers, one_line};
use crate::judge::{Assessment, Notes, Stretches};
use crate::units::Units;
use crate::visit::{OpenVisit, Visit};
use std::path::Path;

/// The visit as it stands in its file.
pub(super) struct Session<'a> {
    pub(super) content: &'a Content,
    pub(super) global: &'a Global,
    pub(super) path: &'a Path,
    pub(super) units: Units,
    /// The stretches of wall with their answers, the first one first.
    stretches: Vec<(String, Answers)>,
    visit: Visit,
}

impl<'a> Session<'a> {
    /// Reads the visit. What does not fit has been said before and is not said again.
    pub(super) fn read(content: &'a Content, global: &'a Global, path: &'a Path) -> Result<Session<'a>, CommandError> {
        let visit = Visit::read(path)?;
        let bare = bare_units(&visit, content, global);
        let (mut first, _) = visit.answers(&content.flow, bare);
        global.set_region(content, &mut first)?;
        let units = global.units(content, &first);
        let mut stretches = vec![(content.word("label.first_stretch").to_owned(), first)];
        for (name, run) in &visit.runs {
            let (answers, _) = visit.run_answers(run, &stretches[0].1, &content.flow, bare);
            stretches.push((name.clone(), answers));
        }
        Ok(Session { content, global, path, units, stretches, visit })
    }

    /// The names of the stretches of wall.
    pub(super) fn names(&self) -> Vec<String> {
        self.stretches.iter().map(|(name, _)| name.clone()).collect()
    }

    /// The place of a stretch of wall by its name; the first one without a name.
    pub(super) fn place(&self, name: Option<&str>) -> Option<usize> {
        name.map_or(Some(0), |name| self.stretches.iter().position(|(n, _)| n == name))
    }

    /// The plan of a stretch of wall. What is not there has the answers of the first.
    pub(super) fn plan(&self, at: usize) -> &Answers {
        &self.stretches.get(at).unwrap_or(&self.stretches[0]).1
    }

    /// The name of a stretch as the file has it: empty for the first.
    fn file_name(&self, at: usize) -> &str {
        if at == 0 { "" } else { self.stretches.get(at).map_or("", |(name, _)| name) }
    }

    /// What follows from the plans of all stretches.
    pub(super) fn assessed(&self) -> Result<Stretches<'_>, CommandError> {
        self.assessed_with(&Notes::default())
    }

    /// The same for a sheet, with what the visit holds besides its answers; what of that is not understood is said.
    pub(super) fn assessed_for_a_sheet(&self) -> Result<Stretches<'_>, CommandError> {
        self.assessed_with(&notes_of(&self.visit, self.path, self.content)?)
    }

    fn assessed_with(&self, notes: &Notes) -> Result<Stretches<'_>, CommandError> {
        let list = self.stretches.iter().map(|(name, answers)| {
            let assessment = self.content.assess(answers, self.units);
            (one_line(name).into_owned(), Assessment { notes: notes.clone(), ..assessment })
        });
        Stretches::of(list.collect()).ok_or(CommandError::NoStretch)
    }

    /// The contractors that something is noted of.
    pub(super) fn contractors(&self) -> Vec<String> {
        self.visit.contractors.keys().cloned().collect()
    }

    /// The day of the last change.
    pub(super) fn date(&self) -> &str {
        &self.visit.changed
    }

    /// Writes the plan of a stretch at once.
    pub(super) fn save(&mut self, at: usize, answers: &Answers) -> Result<(), CommandError> {
        let name = self.file_name(at).to_owned();
        self.save_as(&name, answers)
    }

    /// The same by the name that the stretch has in the file, or gets there; empty for the first.
    pub(super) fn save_as(&mut self, name: &str, answers: &Answers) -> Result<(), CommandError> {
        let mut open = OpenVisit::open(self.path)?;
        let country = OwnCountry::of(open.visit(), &self.stretches[0].1, self.content);
        let flow = &self.content.flow;
        let first = country.in_file(&self.stretches[0].1);
        let answers = country.in_file(answers);
        if name.is_empty() {
            open.write_answers(flow, &answers, &today())?;
        } else {
            open.write_run(name, flow, &answers, &first, &today())?;
        }
        *self = Session::read(self.content, self.global, self.path)?;
        Ok(())
    }

    /// The tries of a stretch of wall: name, and answers.
    pub(super) fn tries(&self, at: usize) -> Vec<(String, Answers)> {
        let bare = bare_units(&self.visit, self.content, self.global);
        let tries = self.visit.tries_of(self.file_name(at));
        let answers = |tried| self.visit.try_answers(tried, self.plan(at), &self.content.flow, bare).0;
        tries.map(|(name, tried)| (name.clone(), answers(tried))).collect()
    }

    /// The plan that a try took the place of, if the last thing kept can be undone: its name among the tries.
    pub(super) fn undo(&self, at: usize) -> Option<String> {
        let mut before = self.visit.tries_of(self.file_name(at)).filter(|(_, tried)| !tried.before.is_empty());
        before.next().map(|(name, _)| name.clone())
    }

    /// A name that no try has yet.
    pub(super) fn free_name(&self, name: &str) -> String {
        self.visit.free_try_name(name)
    }

    /// Keeps answers as a try, beside the plan.
    pub(super) fn add_try(&mut self, at: usize, name: &str, answers: &Answers) -> Result<(), CommandError> {
        let country = OwnCountry::of(&self.visit, &self.stretches[0].1, self.content);
        let (plan, answers) = (country.in_file(self.plan(at)), country.in_file(answers));
        let (stretch, flow) = (self.file_name(at).to_owned(), &self.content.flow);
        self.write(|visit| visit.take_try(name, &stretch, flow, &answers, &plan))
    }

    /// Takes a try away.
    pub(super) fn forget(&mut self, name: &str) -> Result<(), CommandError> {
        self.write(|visit| _ = visit.tries.remove(name))
    }

    /// Makes a try the plan. The plan as it was becomes a try: under `old_name`, or, if this try was the plan before another
    /// one was kept, under the name of that one again. Gives back the name that it got, and whether something was undone.
    pub(super) fn keep(&mut self, at: usize, name: &str, old_name: &str) -> Result<(String, bool), CommandError> {
        let tries = self.tries(at);
        let found = tries.iter().find(|(other, _)| other == name);
        let Some((_, chosen)) = found else { return Ok((old_name.to_owned(), false)) };
        let undone = self.visit.tries.get(name).map(|tried| tried.before.clone()).filter(|before| !before.is_empty());
        let country = OwnCountry::of(&self.visit, &self.stretches[0].1, self.content);
        let (flow, stretch) = (&self.content.flow, self.file_name(at).to_owned());
        let (old, new) = (country.in_file(self.plan(at)), country.in_file(chosen));
        let first = country.in_file(&self.stretches[0].1);
        let mut got = String::new();
        self.write(|visit| {
            if stretch.is_empty() {
                visit.take(flow, &new, &today());
            } else {
                visit.take_run(&stretch, flow, &new, &first, &today());
            }
            visit.tries.remove(name);
            // what the others say differs from another plan now
            for (other, answers) in tries.iter().filter(|(other, _)| other != name) {
                visit.take_try(other, &stretch, flow, &country.in_file(answers), &new);
                if let Some(tried) = visit.tries.get_mut(other) {
                    tried.before.clear();
                }
            }
            let old_name = undone.as_deref().unwrap_or(old_name);
            let old_name = visit.free_try_name(old_name);
            visit.take_try(&old_name, &stretch, flow, &old, &new);
            if let (None, Some(tried)) = (&undone, visit.tries.get_mut(&old_name)) {
                name.clone_into(&mut tried.before);
            }
            got = old_name;
        })?;
        Ok((got, undone.is_some()))
    }

    /// Changes the file, and reads it anew.
    fn write(&mut self, change: impl FnOnce(&mut Visit)) -> Result<(), CommandError> {
        OpenVisit::open(self.path)?.write_with(change)?;
        *self = Session::read(self.content, self.global, self.path)?;
        Ok(())
    }
}
