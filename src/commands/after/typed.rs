//! Something that is typed and is no answer to a question of the flow: a name.

use super::{Desk, Went};
use crate::commands::contractor::marks;
use crate::commands::error::CommandError;
use crate::flow::{Answer, Question, QuestionKind, Spoken};
use crate::interview::{Count, Progress, Prompt, Reply};

impl Desk<'_, '_> {
    /// Asks for a name; Enter takes the one that is offered.
    pub(super) fn typed(&mut self, key: &str, offered: Option<&str>) -> Result<Went<String>, CommandError> {
        let question = Question {
            short: self.word("menu.name").into(),
            ask: self.word(key).into(),
            kind: QuestionKind::Text,
            not_sure: false,
            ..marks(String::new(), Vec::new())
        };
        let title = self.word("menu.title");
        let current = offered.map(|name| Answer::Text(name.to_owned()));
        let progress =
            Progress { section: &title, intro: None, sketch: None, go_to: None, number: 1, count: Count::One };
        let units = self.units();
        let asked = Spoken::default().asked(&question);
        let (question, current) = (&question, current.as_ref());
        let prompt = Prompt::alone(question, asked, progress, current, units);
        Ok(match self.asker.ask(&prompt).map_err(|reason| self.terminal(reason))? {
            Reply::Answer(Answer::Text(name)) if !name.trim().is_empty() => Went::Did(name.trim().to_owned()),
            Reply::Answer(_) | Reply::Typed(_) | Reply::Both(..) | Reply::Back => Went::Back,
            Reply::Leave(how) => Went::Left(how),
        })
    }
}
