//! A visit that is worked on: what was read, and what is written in its place.

use super::file::{ShownVerdict, Visit, VisitError, unchanged};
use super::lock::VisitLock;
use super::whole::write_whole;
use crate::flow::{Answers, Flow};
use std::path::{Path, PathBuf};

/// A visit between reading and writing.
///
/// Invariant: answers are always laid over what was read from the file, never over what was written since. So an answer that
/// is taken back brings back the very text that stood there, even one that nobody could read. Where nothing changed, the
/// file keeps its bytes.
///
/// As long as it lives, no other program opens the same visit for writing: it waits a moment, and then says so.
#[derive(Debug)]
pub struct OpenVisit {
    path: PathBuf,
    as_read: Visit,
    /// The text of `as_read`; nothing for a new visit.
    text_as_read: Option<String>,
    /// What this program knows to be on disk; nothing as long as there is no file.
    on_disk: Option<String>,
    now: Visit,
    _lock: VisitLock,
}

impl OpenVisit {
    /// Opens a visit that is there.
    ///
    /// # Errors
    /// [`VisitError::InUse`] if another program has it open, else as [`Visit::read`].
    pub fn open(path: &Path) -> Result<OpenVisit, VisitError> {
        // nothing is put beside a visit that is not there
        if matches!(path.try_exists(), Ok(false)) {
            return Err(VisitError::Missing { path: path.to_owned() });
        }
        OpenVisit::locked(path, VisitLock::take(path)?)
    }

    fn locked(path: &Path, lock: VisitLock) -> Result<OpenVisit, VisitError> {
        let (visit, text) = Visit::open(path)?;
        Ok(OpenVisit {
            path: path.to_owned(),
            now: visit.clone(),
            as_read: visit,
            text_as_read: Some(text.clone()),
            on_disk: Some(text),
            _lock: lock,
        })
    }

    /// Opens a visit, or starts a new one on this day where there is no such file. Nothing is written yet.
    ///
    /// # Errors
    /// As [`OpenVisit::open`].
    pub fn open_or_new(path: &Path, today: &str) -> Result<OpenVisit, VisitError> {
        let lock = VisitLock::take(path)?;
        match OpenVisit::locked(path, lock.clone()) {
            Err(VisitError::Missing { .. }) => {
                let visit = Visit::new(today);
                let (now, path) = (visit.clone(), path.to_owned());
                Ok(OpenVisit { path, now, as_read: visit, text_as_read: None, on_disk: None, _lock: lock })
            }
            other => other,
        }
    }

    /// Whether there was no file.
    #[must_use]
    pub fn is_new(&self) -> bool {
        self.text_as_read.is_none()
    }

    /// The visit as it is now.
    #[must_use]
    pub fn visit(&self) -> &Visit {
        &self.now
    }

    /// Writes the visit with these answers of the first stretch of wall.
    ///
    /// # Errors
    /// [`VisitError::Changed`] if another program wrote to the file, else as [`Visit::write`]. The file is then as it was.
    pub fn write_answers(&mut self, flow: &Flow, answers: &Answers, today: &str) -> Result<(), VisitError> {
        let mut now = self.base();
        now.take(flow, answers, today);
        self.put(now)
    }

    /// Notes which verdict was shown, and when first. Nothing is written if that is known already.
    ///
    /// # Errors
    /// As [`OpenVisit::write_answers`].
    pub fn write_shown(&mut self, verdict: &str, today: &str) -> Result<(), VisitError> {
        if self.now.shown.as_ref().is_some_and(|shown| shown.verdict == verdict) {
            return Ok(());
        }
        self.write_with(|visit| {
            visit.shown = Some(ShownVerdict { date: today.to_owned(), verdict: verdict.to_owned() });
        })
    }

    /// What answers are laid over: what was read, with what was shown since.
    fn base(&self) -> Visit {
        Visit { shown: self.now.shown.clone(), ..self.as_read.clone() }
    }

    /// Writes the visit with these answers of another stretch of wall; `first` are those of the first.
    ///
    /// # Errors
    /// As [`OpenVisit::write_answers`].
    pub fn write_run(
        &mut self,
        name: &str,
        flow: &Flow,
        answers: &Answers,
        first: &Answers,
        today: &str,
    ) -> Result<(), VisitError> {
        let mut now = self.base();
        now.take(flow, first, today);
        now.take_run(name, flow, answers, first, today);
        self.put(now)
    }

    /// Changes something beside the answers, and writes the visit.
    ///
    /// # Errors
    /// As [`OpenVisit::write_answers`].
    pub fn write_with(&mut self, change: impl FnOnce(&mut Visit)) -> Result<(), VisitError> {
        let mut now = self.now.clone();
        change(&mut now);
        self.put(now)
    }

    fn put(&mut self, now: Visit) -> Result<(), VisitError> {
        unchanged(&self.path, self.on_disk.as_deref())?;
        let text = match &self.text_as_read {
            // a text written by hand is not written anew for nothing
            Some(text) if now == self.as_read => text.clone(),
            _ => now.to_text(&self.path)?,
        };
        write_whole(&self.path, &text).map_err(|reason| VisitError::Write { path: self.path.clone(), reason })?;
        self.on_disk = Some(text);
        self.now = now;
        Ok(())
    }
}
