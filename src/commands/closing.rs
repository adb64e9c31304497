//! How asking ends before it is finished: what is saved, and the command that goes on, ready to be pasted.

use super::error::CommandError;
use super::global::Global;
use super::outside::note;
use super::signals::close_by;
use crate::content::Content;
use crate::flow::harmless;
use crate::interview::Leaving;
use crate::visit::{pasted, release_all, when_whole};
use std::io::{self, Write};
use std::path::Path;

/// A command that goes on where somebody left.
#[derive(Debug)]
pub(super) struct Again<'a> {
    /// The command, such as `ask`.
    pub(super) command: &'a str,
    /// The visit.
    pub(super) visit: &'a Path,
    /// What stands behind the visit.
    pub(super) rest: Vec<String>,
    /// The options that hold everywhere; those that were given are given again.
    pub(super) global: &'a Global,
}

impl Again<'_> {
    /// The command as a line for the shell.
    pub(super) fn line(&self) -> String {
        let mut words = vec!["wallfoot".to_owned(), self.command.to_owned(), path_word(self.visit)];
        words.extend(self.rest.iter().cloned());
        words.extend(self.global.given().iter().cloned());
        words.iter().map(|word| pasted(word)).collect::<Vec<_>>().join(" ")
    }

    /// Another command on the same visit, under the same options.
    pub(super) fn other(&self, command: &str, rest: &[&str]) -> String {
        let rest = rest.iter().map(|word| (*word).to_owned()).collect();
        Again { command, rest, ..*self }.line()
    }

    /// What is said to whoever leaves.
    fn text(&self, content: &Content) -> String {
        let path = self.visit.display().to_string();
        content.word("text.saved_go_on").replace("{path}", &path).replace("{command}", &self.line())
    }
}

/// A path as a word of a command line, which must not look like an option.
fn path_word(path: &Path) -> String {
    let word = path.display().to_string();
    if word.starts_with('-') { format!("./{word}") } else { word }
}

/// The option for a stretch of wall, if one was named.
pub(super) fn run_words(run: Option<&str>) -> Vec<String> {
    match run {
        None => Vec::new(),
        Some(name) if name.starts_with('-') => vec![format!("--run={name}")],
        Some(name) => vec!["--run".to_owned(), name.to_owned()],
    }
}

/// Says what is saved and how to go on, and what the program ends with.
///
/// # Errors
/// [`CommandError::Interrupted`] after Ctrl-C, [`CommandError::EndOfInput`] if there was nothing more to read.
pub(super) fn left(how: Leaving, again: &Again<'_>, content: &Content) -> Result<(), CommandError> {
    match how {
        Leaving::Asked => {
            note(&again.text(content));
            Ok(())
        }
        Leaving::Interrupted => {
            note(&again.text(content));
            Err(CommandError::Interrupted)
        }
        Leaving::EndOfInput => Err(CommandError::EndOfInput { path: again.visit.to_owned(), command: again.line() }),
    }
}

/// From here on, Ctrl-C where no menu reads it (a line that is typed, the time between two prompts), a terminal that is closed and a
/// program that is told to end say the same and end the program, and the terminal is as it was before. What is being written is written to its end first.
pub(super) fn watch(again: &Again<'_>, content: &Content) {
    let text = harmless(&again.text(content)).into_owned();
    close_by(move || {
        crate::terminal::restore();
        let writing = when_whole();
        release_all();
        let _ = writeln!(io::stderr(), "\n{text}");
        // nothing is begun any more
        std::mem::forget(writing);
    });
}
