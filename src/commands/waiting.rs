//! How far a long computation has come, for somebody who waits at a terminal.

use std::io::{IsTerminal, Write, stderr};
use std::time::{Duration, Instant};

/// Longer than this, and people want to know that something goes on.
const PATIENCE: Duration = Duration::from_secs(1);
/// How often the line is written anew.
const BETWEEN: Duration = Duration::from_millis(200);

/// A line on standard error that is written over: nothing within the first second, and never where nobody looks.
#[derive(Debug)]
pub(super) struct Waiting {
    started: Instant,
    said: Option<Instant>,
    looks: bool,
}

impl Waiting {
    /// Starts to count.
    pub(super) fn new() -> Waiting {
        Waiting { started: Instant::now(), said: None, looks: stderr().is_terminal() }
    }

    /// Says how many of all are done, if it is time to.
    pub(super) fn say(&mut self, done: usize, all: usize) {
        let now = Instant::now();
        let soon = self.said.is_some_and(|said| now - said < BETWEEN);
        if !self.looks || soon || now - self.started < PATIENCE {
            return;
        }
        self.said = Some(now);
        // a line that cannot be written is no reason to stop
        let _ = write!(stderr(), "\rproving: {done} of {all} claims ");
        let _ = stderr().flush();
    }

    /// Takes the line away.
    pub(super) fn end(&self) {
        if self.said.is_some() {
            let _ = write!(stderr(), "\r{:40}\r", "");
        }
    }
}
