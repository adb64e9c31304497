//! How a visit is named on the command line: alike in every command, with one file for all where none is named.

use std::path::{Path, PathBuf};

/// The file that is used when none is named.
pub(super) const DEFAULT_VISIT: &str = "wallfoot-visit.yaml";

/// What the argument is, in every command.
pub(super) const VISIT_HELP: &str = "The file of the visit, as `wallfoot ask` writes it";

/// The same where the argument may be left out before another one.
pub(super) const VISIT_FIRST_HELP: &str =
    "The file of the visit, as `wallfoot ask` writes it [default: wallfoot-visit.yaml]";

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

#[cfg(test)]
mod tests {
    use super::{DEFAULT_VISIT, visit_and, visit_and_changes};
    use std::path::PathBuf;

    #[test]
    fn one_word_is_the_visit_if_it_ends_like_one() {
        let default = || PathBuf::from(DEFAULT_VISIT);
        assert_eq!(visit_and(None, None), (default(), None));
        assert_eq!(visit_and(Some("v.YAML"), None), (PathBuf::from("v.YAML"), None));
        assert_eq!(visit_and(Some("Slate crew"), None), (default(), Some("Slate crew".to_owned())));
        assert_eq!(visit_and(Some("v"), Some("crew")), (PathBuf::from("v"), Some("crew".to_owned())));
    }

    #[test]
    fn a_change_is_no_visit() {
        let rest = ["b=2".to_owned()];
        let (visit, changes) = visit_and_changes(Some("a=1"), &rest);
        assert_eq!((visit, changes), (PathBuf::from(DEFAULT_VISIT), vec!["a=1".to_owned(), "b=2".to_owned()]));
        assert_eq!(visit_and_changes(Some("v"), &rest), (PathBuf::from("v"), rest.to_vec()));
        assert_eq!(visit_and_changes(Some("v=1.yaml"), &[]), (PathBuf::from("v=1.yaml"), Vec::new()));
        assert_eq!(visit_and_changes(None, &[]), (PathBuf::from(DEFAULT_VISIT), Vec::new()));
    }
}
