//! Long results on a terminal, a screen at a time.

use super::error::CommandError;
use super::global::Global;
use super::outside::{height, note, print};
use super::signals::{pager_begins, pager_ended};
use std::borrow::Cow;
use std::io::{self, IsTerminal, Write};
use std::process::{Command, Stdio};

/// Who shows a text a screen at a time.
enum Pager {
    /// The one of the environment: its words.
    Named(Vec<String>),
    /// The usual one, if there is one.
    Usual,
    /// None is wanted.
    No,
}

/// The program that is used where nobody names one. It leaves at once if all fits, shows bold as bold, and leaves the text
/// on the screen.
const USUAL: [&str; 2] = ["less", "-FRX"];

/// Shows a result: through a pager if it is longer than the screen, else as it is.
///
/// # Errors
/// [`CommandError::Print`]. That somebody leaves the pager early is none.
pub(super) fn show(text: &str, global: &Global) -> Result<(), CommandError> {
    if !is_long(text, global) {
        return print(text);
    }
    match pager(std::env::var("PAGER").ok().as_deref()) {
        Pager::No => print(text),
        Pager::Named(words) => through(&words, text, true),
        Pager::Usual => through(&USUAL.map(str::to_owned), text, false),
    }
}

/// Whether a result is longer than the screen it goes to. Plain lines are for readers that a pager would be in the way of.
fn is_long(text: &str, global: &Global) -> bool {
    !global.no_pager && !global.plain_look() && io::stdout().is_terminal() && text.lines().count() >= height()
}

/// What `PAGER` asks for: nothing said is the usual one, an empty one or `cat` is none.
fn pager(said: Option<&str>) -> Pager {
    let Some(said) = said else { return Pager::Usual };
    // there a backslash stands between folders
    let said = if cfg!(windows) { Cow::Owned(said.replace('\\', "/")) } else { Cow::Borrowed(said) };
    match shell_words::split(&said) {
        Ok(words) if words.is_empty() || words == ["cat"] => Pager::No,
        Ok(words) => Pager::Named(words),
        Err(_) => {
            note(&format!("PAGER cannot be read: {said}"));
            Pager::No
        }
    }
}

/// Shows the text through a program. Where that cannot be started, the text is printed.
fn through(words: &[String], text: &str, tell: bool) -> Result<(), CommandError> {
    let Some((program, args)) = words.split_first() else { return print(text) };
    let mut command = Command::new(program);
    command.args(args).stdin(Stdio::piped());
    if std::env::var_os("LESS").is_none() {
        command.env("LESS", "FRX");
    }
    let mut child = match command.spawn() {
        Ok(child) => child,
        Err(reason) => {
            if tell {
                note(&format!("the pager {program} cannot be started: {reason}"));
            }
            return print(text);
        }
    };
    // Ctrl-C is the pager's: it must not leave a pager without its program
    pager_begins(child.id());
    if let Some(mut input) = child.stdin.take() {
        match input.write_all(text.as_bytes()) {
            Err(reason) if reason.kind() != io::ErrorKind::BrokenPipe => {
                pager_ended();
                return Err(CommandError::Print(reason));
            }
            Ok(()) | Err(_) => {}
        }
    }
    let ended = child.wait().map_err(CommandError::Print)?;
    pager_ended();
    // one that failed has shown nothing, as far as anybody can tell
    if ended.code().is_some_and(|code| code != 0) { print(text) } else { Ok(()) }
}
