//! A word as it is pasted into a command line.

use std::borrow::Cow;

/// A word of a command line in quotes where it needs some: in those that the shells of this system know.
#[must_use]
pub fn pasted(word: &str) -> Cow<'_, str> {
    // the command prompt of Windows knows no other; its PowerShell knows both
    if cfg!(windows) { double_quoted(word) } else { shell_words::quote(word) }
}

/// In double quotes, where it is more than letters, figures and the signs of a path.
///
/// ```
/// assert_eq!(wallfoot::visit::double_quoted(r"jobs\patio.yaml"), r"jobs\patio.yaml");
/// assert_eq!(wallfoot::visit::double_quoted("return wall"), "\"return wall\"");
/// ```
#[must_use]
pub fn double_quoted(word: &str) -> Cow<'_, str> {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | '/' | '\\' | ':' | '=' | '+');
    if !word.is_empty() && word.chars().all(plain) {
        return Cow::Borrowed(word);
    }
    Cow::Owned(format!("\"{}\"", word.replace('"', "\\\"")))
}
