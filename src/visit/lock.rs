//! One writer of a visit at a time.
//!
//! Beside `patio.yaml` stands `.patio.yaml.in-use` as long as somebody writes to the visit, and that file is locked by the system. The
//! lock ends with the program, however it ends: what a killed program leaves is a file without a lock, which the next writer takes over
//! and takes away. Other programs (an editor) know nothing of it: that the file is still as it was read is asked before each writing.

use super::file::VisitError;
use super::whole::{end_of_links, folder_of, sweep};
use std::collections::BTreeMap;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};
use std::time::{Duration, Instant};

/// How long a writer waits for another one: a note is written in a moment, an interview goes on.
const PATIENCE: Duration = Duration::from_secs(2);
/// How often it looks meanwhile.
const LOOKS: Duration = Duration::from_millis(10);

/// What this program holds already: one part of it may open a visit that another part has open.
static HELD: Mutex<BTreeMap<PathBuf, Weak<Holding>>> = Mutex::new(BTreeMap::new());

/// The right to write to a visit, for as long as it lives.
#[derive(Debug, Clone)]
pub(super) struct VisitLock(#[allow(dead_code)] Option<Arc<Holding>>); // it is there to be dropped

#[derive(Debug)]
struct Holding {
    beside: PathBuf,
    file: File,
}

impl Drop for Holding {
    fn drop(&mut self) {
        // the name first: whoever opens it from now on makes a new file
        let _ = std::fs::remove_file(&self.beside);
        let _ = self.file.unlock();
    }
}

fn held() -> MutexGuard<'static, BTreeMap<PathBuf, Weak<Holding>>> {
    HELD.lock().unwrap_or_else(PoisonError::into_inner)
}

impl VisitLock {
    /// Takes the right to write to a visit; waits a moment for another writer. Where no file can stand beside the visit, or the system has
    /// no locks there, nothing is held: then the writing itself fails, or nobody else can tell either.
    ///
    /// # Errors
    /// [`VisitError::InUse`] if another program goes on holding it.
    pub(super) fn take(path: &Path) -> Result<VisitLock, VisitError> {
        let Some(beside) = beside(path) else { return Ok(VisitLock(None)) };
        let mut all = held();
        if let Some(there) = all.get(&beside).and_then(Weak::upgrade) {
            return Ok(VisitLock(Some(there)));
        }
        let until = Instant::now() + PATIENCE;
        loop {
            let opened = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&beside);
            // what another user made can be locked without being written to
            let file = match opened.or_else(|reason| File::open(&beside).map_err(|_| reason)) {
                Ok(file) => file,
                // on some systems a file that is being taken away cannot be opened for a moment
                Err(reason)
                    if cfg!(windows) && reason.kind() == ErrorKind::PermissionDenied && Instant::now() < until =>
                {
                    std::thread::sleep(LOOKS);
                    continue;
                }
                Err(_) => return Ok(VisitLock(None)),
            };
            match file.try_lock() {
                // another writer may have taken the file away before it was locked here
                Ok(()) if is_at(&file, &beside) => {
                    say_who(&file);
                    sweep(folder_of(&beside));
                    let held = Arc::new(Holding { beside: beside.clone(), file });
                    all.insert(beside, Arc::downgrade(&held));
                    return Ok(VisitLock(Some(held)));
                }
                Ok(()) if Instant::now() < until => {}
                // a place at which nothing can be told apart
                Ok(()) => return Ok(VisitLock(None)),
                Err(TryLockError::WouldBlock) if Instant::now() < until => std::thread::sleep(LOOKS),
                Err(TryLockError::WouldBlock) => {
                    let who = std::fs::read_to_string(&beside).unwrap_or_default();
                    let who = crate::flow::one_line(who.trim()).into_owned();
                    return Err(VisitError::InUse { path: path.to_owned(), who, beside });
                }
                Err(TryLockError::Error(_)) => {
                    // there are no locks here, so nobody else holds one
                    let _ = std::fs::remove_file(&beside);
                    return Ok(VisitLock(None));
                }
            }
        }
    }
}

/// The file that says so: hidden, beside the file that is written in the end.
fn beside(path: &Path) -> Option<PathBuf> {
    let end = end_of_links(path).ok()?;
    let name = end.file_name()?.to_string_lossy().into_owned();
    Some(end.with_file_name(format!(".{name}.in-use")))
}

/// Whether an open file is the one that stands at this place.
fn is_at(file: &File, path: &Path) -> bool {
    let open = file.try_clone().and_then(same_file::Handle::from_file);
    let there = same_file::Handle::from_path(path);
    matches!((open, there), (Ok(open), Ok(there)) if open == there)
}

/// For whoever finds the file, and for the message of another writer.
fn say_who(mut file: &File) {
    let _ = file.set_len(0);
    let _ = write!(file, "wallfoot, process {}", std::process::id());
}

/// Takes away what stands beside the visits that this program has open, when it ends without coming back.
pub fn release_all() {
    for there in held().values().filter_map(Weak::upgrade) {
        let _ = std::fs::remove_file(&there.beside);
    }
}
