//! The visits of a folder.

use super::file::{Visit, VisitError};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// How many bytes of a file are looked at for the mark of a visit; none is larger.
const LOOKED_AT: u64 = 1_000_000;

/// The files of a folder that may be visits by their name: those that end in `.yaml` or `.yml`, in the order of their names.
/// Folders below it are left out.
///
/// # Errors
/// What the system says about the folder.
pub fn may_be_visits(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let ending = path.extension().and_then(|ending| ending.to_str());
        if ending.is_some_and(|e| matches!(e.to_lowercase().as_str(), "yaml" | "yml"))
            && (path.is_file() || !path.exists())
        {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Reads a file that may be a visit. Nothing for one that does not say that it is; an error for one that says so, or that
/// nobody can look into, and cannot be read.
#[must_use]
pub fn visit_in(path: &Path) -> Option<Result<Visit, VisitError>> {
    match begins(path) {
        Ok(bytes) if !says_so(&bytes) => return None,
        Ok(_) => {}
        Err(reason) => return Some(Err(VisitError::Read { path: path.to_owned(), reason })),
    }
    match Visit::read(path) {
        Err(VisitError::NotAVisit { .. }) => None,
        read => Some(read),
    }
}

/// The bytes of a file, as far as a visit may reach.
fn begins(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(LOOKED_AT).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Whether a line begins with the mark of a visit.
fn says_so(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    text.lines().any(|line| line.trim_start_matches(['\u{feff}', '"', '\'', '{', ' ']).starts_with("wallfoot_visit"))
}
