//! How a visit is named on the command line: alike in every command, with one file for all where none is named.

use std::path::{Path, PathBuf};

/// The file that is used when none is named.
pub(super) const DEFAULT_VISIT: &str = "wallfoot-visit.yaml";

/// What the argument is, in every command.
pub(super) const VISIT_HELP: &str = "The file of the visit, as `wallfoot ask` writes it [default: wallfoot-visit.yaml]";

/// A visit and one word behind it, each of which may be left out. A single word is the visit if it is a file or ends as
/// visits do, else it is what stands behind the visit.
pub(super) fn visit_and(first: Option<&str>, second: Option<&str>) -> (PathBuf, Option<String>) {
    let default = || PathBuf::from(DEFAULT_VISIT);
    match (first, second) {
        (None, second) => (default(), second.map(str::to_owned)),
        (Some(first), None) if !is_visit(first) => (default(), Some(first.to_owned())),
        (Some(first), second) => (PathBuf::from(first), second.map(str::to_owned)),
    }
}

/// A visit, which may be left out, before any number of changes `id=value`.
pub(super) fn visit_and_changes(first: Option<&str>, rest: &[String]) -> (PathBuf, Vec<String>) {
    match first {
        Some(first) if !first.contains('=') || is_visit(first) => (PathBuf::from(first), rest.to_vec()),
        first => (PathBuf::from(DEFAULT_VISIT), first.map(str::to_owned).into_iter().chain(rest.to_vec()).collect()),
    }
}

/// Whether a word names a visit rather than anything else: there is such a file, or it ends as visits do.
fn is_visit(word: &str) -> bool {
    let path = Path::new(word);
    path.extension().is_some_and(|end| end.eq_ignore_ascii_case("yaml") || end.eq_ignore_ascii_case("yml"))
        || path.is_file()
}
