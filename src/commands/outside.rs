//! What lies outside of the program: the clock, the terminal, files that the user names.

use super::error::CommandError;
use crate::content::Content;
use crate::flow::{acts, harmless};
use std::fmt::Write as _;
use std::io::{self, Write};

/// Whether colour and bold are wanted at all (<https://no-color.org>).
pub(super) fn colour_allowed() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}

/// Columns of the terminal; 80 where there is none.
pub(super) fn width() -> usize {
    terminal_size::terminal_size().map_or(80, |(w, _)| usize::from(w.0))
}

/// Says something that is no result, in lines that break between words.
pub(super) fn say(text: &str) {
    note(&textwrap::fill(text, width().clamp(40, 100)));
}

/// Lines of the terminal; 24 where there is none.
pub(super) fn height() -> usize {
    terminal_size::terminal_size().map_or(24, |(_, h)| usize::from(h.0))
}

/// The moment of `SOURCE_DATE_EPOCH`, where output has to be reproducible.
pub(super) fn fixed_now() -> Option<jiff::Timestamp> {
    let seconds = std::env::var("SOURCE_DATE_EPOCH").ok()?.parse().ok()?;
    jiff::Timestamp::from_second(seconds).ok()
}

/// Now, or the moment of `SOURCE_DATE_EPOCH`.
pub(super) fn now() -> jiff::Timestamp {
    fixed_now().unwrap_or_else(jiff::Timestamp::now)
}

/// Today where the user is, or the day of `SOURCE_DATE_EPOCH`.
pub(super) fn today() -> String {
    match fixed_now() {
        Some(stamp) => stamp.to_zoned_datetime(jiff::tz::TimeZone::UTC).date().to_string(),
        None => jiff::ZonedDateTime::now().date().to_string(),
    }
}

/// The year it is.
pub(super) fn this_year() -> Option<i64> {
    today().get(..4)?.parse().ok()
}

/// Whether a window can be opened for the user: not far away over a network, and with a screen to open it on.
pub(super) fn display_is_likely() -> bool {
    let given = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let far = ["SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY"].into_iter().any(given);
    let screen = cfg!(any(windows, target_os = "macos")) || ["DISPLAY", "WAYLAND_DISPLAY"].into_iter().any(given);
    screen && !far
}

/// Opens a file with what the system opens such files with, and does not wait for it.
pub(super) fn open_file(path: &std::path::Path) -> io::Result<()> {
    open::that_detached(path)
}

/// The largest file of prices, limits or weather that is read, in millions of bytes: a century of days is 2.
const MOST_MB: u64 = 16;

/// The text of a file that the user named.
pub(super) fn read_text(path: &std::path::Path) -> Result<String, CommandError> {
    crate::visit::read_bounded(path, MOST_MB).map_err(|reason| CommandError::Read { path: path.to_owned(), reason })
}

/// A line for the user that is no result.
pub(super) fn note(text: &str) {
    let _ = writeln!(io::stderr(), "{}", harmless(text));
}

/// Says once that some texts are shown in English, where the language has gaps.
pub(super) fn say_untranslated(content: &Content) {
    if !content.untranslated.is_empty() {
        note(content.word("note.untranslated"));
    }
}

/// A report for programs. What would act on a terminal is written by its number, so that a name of a file stays the name of
/// that file.
pub(super) fn json(report: &impl serde::Serialize) -> serde_json::Result<String> {
    let mut text = no_acts(&serde_json::to_string_pretty(report)?);
    text.push('\n');
    Ok(text)
}

/// The same in one line, without its end.
pub(super) fn json_line(report: &impl serde::Serialize) -> serde_json::Result<String> {
    Ok(no_acts(&serde_json::to_string(report)?))
}

fn no_acts(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 1);
    for c in text.chars() {
        if acts(c) {
            let mut halves = [0; 2];
            for half in c.encode_utf16(&mut halves) {
                // writing to a text cannot fail
                let _ = write!(out, "\\u{half:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
}

/// Writes a result that is no text to standard output.
pub(super) fn print_bytes(bytes: &[u8]) -> Result<(), CommandError> {
    let mut out = io::stdout().lock();
    out.write_all(bytes).and_then(|()| out.flush()).map_err(CommandError::Print)
}

/// Writes a result to standard output.
pub(super) fn print(text: &str) -> Result<(), CommandError> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).map_err(CommandError::Print)
}
