//! How far a long job is, on a terminal and only once somebody has begun to wait.

use super::global::Global;
use super::outside::width;
use crate::flow::one_line;
use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// Nothing is shown before this time.
const PATIENCE: Duration = Duration::from_secs(1);
/// The line is written anew no more often than this.
const PAUSE: Duration = Duration::from_millis(100);

/// A line on standard error that says how much is done. It is gone when the job is.
pub(super) struct HowFar<'a> {
    all: usize,
    /// The words, with `{done}` and `{all}`.
    words: &'a str,
    /// When the line may be written next; nothing where it may never be.
    next: Option<Instant>,
    written: bool,
}

impl<'a> HowFar<'a> {
    /// A job of so many parts. Nothing is ever shown in a pipe or on plain lines.
    pub(super) fn new(all: usize, words: &'a str, global: &Global) -> HowFar<'a> {
        let wanted = io::stderr().is_terminal() && !global.plain_look();
        HowFar { all, words, next: wanted.then(|| Instant::now() + PATIENCE), written: false }
    }

    /// So many parts are done.
    pub(super) fn at(&mut self, done: usize) {
        let now = Instant::now();
        if self.next.is_some_and(|next| next <= now) {
            self.next = Some(now + PAUSE);
            self.written = true;
            let text = line(self.words, done, self.all, width());
            let _ = write!(io::stderr(), "\r{text}\x1b[K");
        }
    }
}

impl Drop for HowFar<'_> {
    fn drop(&mut self) {
        if self.written {
            let _ = write!(io::stderr(), "\r\x1b[K");
        }
    }
}

/// The words, and a bar in what is left of the line.
fn line(words: &str, done: usize, all: usize, columns: usize) -> String {
    let words = one_line(words).replace("{done}", &done.to_string()).replace("{all}", &all.to_string());
    let room = columns.saturating_sub(words.chars().count() + 4).min(40);
    let full = room * done / all.max(1);
    if room < 4 { words } else { format!("{words} [{}{}]", "#".repeat(full), ".".repeat(room - full)) }
}
