//! After the verdict: the answer on the screen, and a menu of everything that can be done with it.

mod files;
mod open;
mod review;
mod session;
mod tries;
mod typed;

use super::answer::{Room, answer_text};
use super::asking::interview;
use super::contractor;
use super::error::CommandError;
use super::global::Global;
use super::output::print;
use super::outside::{height, say};
use crate::content::Content;
use crate::flow::Answers;
use crate::interview::{Asker, Ended, InterviewError, Leaving, Picked};
use crate::judge::Assessment;
use crate::terminal::menu_lines;
use crate::units::Units;
use session::Session;
use std::io;
use std::path::Path;

/// Whether no answer can change the verdict any more.
pub(super) fn finished(content: &Content, answers: &Answers) -> bool {
    content.next_question(answers).is_none()
}

/// What the menu works with.
pub(super) struct After<'a> {
    pub(super) content: &'a Content,
    pub(super) global: &'a Global,
    /// The visit.
    pub(super) path: &'a Path,
    /// The stretch of wall that the user named, if any.
    pub(super) stretch: Option<&'a str>,
}

/// What can be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Does {
    GoOn,
    Open,
    Tries,
    Undo,
    Sheets,
    Drawing,
    Contractor,
    Owners,
    Stretch,
    Change,
    Done,
}

/// What a part of the menu came to.
enum Went<T> {
    /// Something was done.
    Did(T),
    /// The user went back.
    Back,
    /// The user left.
    Left(Leaving),
}

/// The menu with its visit and its asker.
struct Desk<'a, 'b> {
    session: Session<'a>,
    asker: &'b mut dyn Asker,
    stretch: Option<&'a str>,
}

impl After<'_> {
    /// Shows the answer alone.
    pub(super) fn show(&self) -> Result<(), CommandError> {
        let session = Session::read(self.content, self.global, self.path)?;
        let cover = self.global.cover(session.date());
        let room = Room::on_screen(2, self.global);
        print(&format!("\n{}", answer_text(&session.assessed()?, &cover, self.content, self.global, room, "")))
    }

    /// Shows the answer, and does what is asked for until the user is done.
    pub(super) fn run(&self, asker: &mut dyn Asker) -> Result<Ended, CommandError> {
        let session = Session::read(self.content, self.global, self.path)?;
        let mut desk = Desk { session, asker, stretch: self.stretch };
        let mut shown = String::new();
        loop {
            let items = desk.items()?;
            let answer = desk.answer(items.len())?;
            // it is told again as soon as it is another one
            if answer != shown {
                print(&format!("\n{answer}"))?;
                shown = answer;
            }
            let texts: Vec<String> = items.iter().map(|(text, _)| text.clone()).collect();
            let settled = desk.left_to_decide() == 0 && desk.left_for_sheets() > 0;
            let title = if settled { "settled.title" } else { "menu.title" };
            let picked = desk.choose(title, &texts)?;
            let (did, next) = match picked {
                Picked::Item(at) if items[at].1 != Does::Done => (desk.go(items[at].1)?, items[at].1),
                Picked::Item(_) | Picked::Back => return Ok(Ended::Finished),
                Picked::Leave(how) => return Ok(Ended::Left(how)),
            };
            match did {
                Went::Left(how) => return Ok(Ended::Left(how)),
                // what was shown meanwhile pushed the answer away; what was only asked did not
                Went::Did(()) if !matches!(next, Does::Drawing | Does::Sheets) => shown.clear(),
                Went::Did(()) | Went::Back => {}
            }
        }
    }
}

impl Desk<'_, '_> {
    /// The lines of the menu.
    fn items(&self) -> Result<Vec<(String, Does)>, CommandError> {
        let stretches = self.session.assessed()?;
        let open = std::iter::once(stretches.worst()).chain(stretches.others().iter().map(|(_, a)| a));
        let open: usize = open.map(|a| a.open.len()).sum();
        let tries: usize = (0..self.session.names().len()).map(|at| self.session.tries(at).len()).sum();
        let counted = |key: &str, count: usize| {
            let text = self.word(key);
            if count == 0 { text } else { format!("{text} ({count})") }
        };
        let mut items = Vec::new();
        let (deciding, more) = (self.left_to_decide(), self.left_for_sheets());
        if deciding > 0 {
            items.push((self.word("settled.decide").replace("{count}", &deciding.to_string()), Does::GoOn));
        } else if more > 0 {
            items.push((self.word("settled.go_on").replace("{count}", &more.to_string()), Does::GoOn));
        }
        if open > 0 {
            items.push((counted("menu.open", open), Does::Open));
        }
        items.push((counted("menu.tries", tries), Does::Tries));
        if let Some((_, name)) = self.to_undo() {
            items.push((self.word("menu.undo").replace("{name}", &name), Does::Undo));
        }
        for (key, next) in [
            ("menu.sheets", Does::Sheets),
            ("menu.drawing", Does::Drawing),
            ("menu.contractor", Does::Contractor),
            ("menu.owners", Does::Owners),
            ("menu.stretch", Does::Stretch),
            ("menu.change", Does::Change),
            ("menu.done", Does::Done),
        ] {
            items.push((self.word(key), next));
        }
        Ok(items)
    }

    /// The answer, as much of it as fits above so many lines of a menu.
    fn answer(&self, items: usize) -> Result<String, CommandError> {
        let room = Room::on_screen(menu_lines(items, height()), self.session.global);
        let cover = self.session.global.cover(self.session.date());
        Ok(answer_text(&self.session.assessed()?, &cover, self.session.content, self.session.global, room, ""))
    }

    fn go(&mut self, next: Does) -> Result<Went<()>, CommandError> {
        match next {
            Does::GoOn => self.go_on(),
            Does::Open => self.answer_open(),
            Does::Tries => self.tries(),
            Does::Undo => {
                if let Some((at, name)) = self.to_undo() {
                    self.keep_try(at, &name)?;
                }
                Ok(Went::Did(()))
            }
            Does::Sheets => self.write_sheets(),
            Does::Drawing => self.draw(),
            Does::Contractor => self.contractor(),
            Does::Owners => self.owners(),
            Does::Stretch => self.another_stretch(),
            Does::Change => self.change_an_answer(),
            Does::Done => Ok(Went::Back),
        }
    }

    /// The try that undoing brings back, with its stretch of wall.
    fn to_undo(&self) -> Option<(usize, String)> {
        (0..self.session.names().len()).find_map(|at| Some((at, self.session.undo(at)?)))
    }

    fn contractor(&mut self) -> Result<Went<()>, CommandError> {
        let known = self.session.contractors();
        let current = known.first().map(String::as_str);
        let name = match self.typed("menu.contractor_name", current)? {
            Went::Did(name) => name,
            Went::Back => return Ok(Went::Back),
            Went::Left(how) => return Ok(Went::Left(how)),
        };
        let heard = contractor::hear(self.session.path, &name, self.session.global, self.session.content, self.asker);
        match heard {
            // the menu goes on
            Err(error @ CommandError::NothingToHear { .. }) => {
                say(&error.to_string());
                Ok(Went::Back)
            }
            heard => self.reread(heard?),
        }
    }

    fn owners(&mut self) -> Result<Went<()>, CommandError> {
        let left = contractor::own(self.session.path, self.session.global, self.session.content, self.asker)?;
        self.reread(left)
    }

    /// What another part of the program wrote is read anew.
    fn reread(&mut self, left: Option<Leaving>) -> Result<Went<()>, CommandError> {
        self.session = Session::read(self.session.content, self.session.global, self.session.path)?;
        Ok(match left {
            Some(Leaving::Asked) | None => Went::Did(()),
            Some(how) => Went::Left(how),
        })
    }

    /// How many questions are left for quantities and full sheets, on all stretches of wall.
    fn left_for_sheets(&self) -> usize {
        let plans = (0..self.session.names().len()).map(|at| self.session.plan(at));
        plans.map(|plan| self.session.content.left_for_sheets(plan).len()).sum()
    }

    /// How many questions are known that can still change the verdict of some stretch of wall, as after a changed answer.
    fn left_to_decide(&self) -> usize {
        let plans = (0..self.session.names().len()).map(|at| self.session.plan(at));
        plans.filter_map(|plan| self.session.content.next_question(plan)).map(|next| next.more + 1).sum()
    }

    /// Asks what can still change the verdict; where nothing can, what is left for quantities and full sheets. Stretch by
    /// stretch.
    fn go_on(&mut self) -> Result<Went<()>, CommandError> {
        let (content, units, path) = (self.session.content, self.session.units, self.session.path);
        let names = self.session.names();
        let decides = self.left_to_decide() > 0;
        for at in 0..names.len() {
            let mut answers = self.session.plan(at).clone();
            let deciding = decides;
            let order = move |answers: &Answers, last| {
                if deciding { content.next_question(answers) } else { content.next_for_sheets(answers, last) }
            };
            let interview = interview(content, move |_: &Answers| units, order);
            if names.len() > 1 {
                self.asker.stretch(&names[at]);
            }
            let file_name = if at == 0 { String::new() } else { names[at].clone() };
            let session = &mut self.session;
            let mut keep = |answers: &Answers| session.save_as(&file_name, answers);
            let ended = interview.run(&mut answers, self.asker, &mut keep).map_err(|error| match error {
                InterviewError::Terminal(reason) => CommandError::Terminal { path: path.to_owned(), reason },
                InterviewError::Keep(error) => error,
            })?;
            match ended {
                Ended::Finished => {}
                Ended::Left(Leaving::Asked) => return Ok(Went::Did(())),
                Ended::Left(how) => return Ok(Went::Left(how)),
            }
        }
        Ok(Went::Did(()))
    }

    /// Another stretch of wall: its name, and then what is different there.
    fn another_stretch(&mut self) -> Result<Went<()>, CommandError> {
        let name = match self.typed("menu.stretch_name", None)? {
            Went::Did(name) => name,
            Went::Back => return Ok(Went::Back),
            Went::Left(how) => return Ok(Went::Left(how)),
        };
        // the first one has its name on the sheets only
        let at = self.session.place(Some(&name));
        let file_name = if at == Some(0) { String::new() } else { name };
        let mut answers = self.session.plan(at.unwrap_or(0)).clone();
        let (content, units) = (self.session.content, self.session.units);
        let interview = interview(content, move |_: &Answers| units, |answers, _| content.next_question(answers));
        let interview = interview.beside((!file_name.is_empty()).then(|| self.session.plan(0).clone()));
        if !file_name.is_empty() {
            self.asker.stretch(&file_name);
        }
        let path = self.session.path;
        let session = &mut self.session;
        let mut keep = |answers: &Answers| session.save_as(&file_name, answers);
        // a stretch that is in nothing different is one all the same
        keep(&answers)?;
        let ended = interview.review(&mut answers, self.asker, &mut keep).map_err(|error| match error {
            InterviewError::Terminal(reason) => CommandError::Terminal { path: path.to_owned(), reason },
            InterviewError::Keep(error) => error,
        })?;
        Ok(match ended {
            Ended::Finished | Ended::Left(Leaving::Asked) => Went::Did(()),
            Ended::Left(how) => Went::Left(how),
        })
    }

    /// Which stretch of wall is meant: the only one, the one that was named, or the one that is picked.
    fn which(&mut self) -> Result<Went<usize>, CommandError> {
        let names = self.session.names();
        if let Some(at) = self.stretch.and_then(|name| self.session.place(Some(name))) {
            return Ok(Went::Did(at));
        }
        if names.len() == 1 {
            return Ok(Went::Did(0));
        }
        Ok(match self.choose("menu.which_stretch", &names)? {
            Picked::Item(at) => {
                // from here on each question names it
                self.asker.stretch(&names[at]);
                Went::Did(at)
            }
            Picked::Back => Went::Back,
            Picked::Leave(how) => Went::Left(how),
        })
    }

    fn choose(&mut self, title: &str, items: &[String]) -> Result<Picked, CommandError> {
        let title = self.word(title);
        self.asker.choose(&title, items).map_err(|reason| self.terminal(reason))
    }

    /// The verdict in a few lines, with the figure that decides most.
    fn say_verdict(&self, answers: &Answers) {
        say(&format!("\n{}", self.assess(answers).in_short()));
    }

    fn assess<'x>(&'x self, answers: &'x Answers) -> Assessment<'x> {
        self.session.content.assess(answers, self.session.units)
    }

    fn units(&self) -> Units {
        self.session.units
    }

    fn word(&self, key: &str) -> String {
        self.session.content.word(key).to_owned()
    }

    fn terminal(&self, reason: io::Error) -> CommandError {
        CommandError::Terminal { path: self.session.path.to_owned(), reason }
    }
}
