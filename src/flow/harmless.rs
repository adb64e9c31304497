//! Texts from outside: the one place that says which of their characters are shown.
//!
//! A name, a note, a file of questions or of prices is written by anybody. What steers a terminal, turns the direction of
//! writing, cannot be seen, or may not stand in XML reaches no output. Each text passes here twice: where it comes in
//! (answers, names, notes, YAML files), so that everything is computed with what is shown; and where a result goes out
//! (`render`, tables, calendars, messages), so that no way in can be forgotten.

use std::borrow::Cow;

/// How many marks may stand on one letter; a tower of them covers the lines around it.
const MARKS: usize = 4;

/// A text without what acts on its reader's machine or hides in it; lines stay lines.
///
/// ```
/// assert_eq!(wallfoot::flow::harmless("a\u{1b}[31m red\u{202e} one\n"), "a[31m red one\n");
/// ```
#[must_use]
pub fn harmless(text: &str) -> Cow<'_, str> {
    cleaned(text, '\n')
}

/// The same for what has to stay on one line, such as a name: each break of a line is a space.
///
/// ```
/// assert_eq!(wallfoot::flow::one_line("back\r\n- [x] door"), "back - [x] door");
/// ```
#[must_use]
pub fn one_line(text: &str) -> Cow<'_, str> {
    cleaned(text, ' ')
}

fn cleaned(text: &str, line_end: char) -> Cow<'_, str> {
    let fine = |c: char| !acts(c) && !is_mark(c) && (c != '\n' || line_end == '\n');
    if text.chars().all(fine) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut marks = 0;
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        marks = if is_mark(c) { marks + 1 } else { 0 };
        match c {
            '\r' if letters.peek() == Some(&'\n') => {}
            '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => out.push(line_end),
            '\t' => out.push(' '),
            _ if acts(c) || marks > MARKS => {}
            _ => out.push(c),
        }
    }
    Cow::Owned(out)
}

/// Whether a character does something other than be seen: control characters of both sets, what turns the direction of
/// writing, what has no width and no sound, tags, and what is no character at all (and breaks XML).
#[must_use]
pub fn acts(c: char) -> bool {
    (c != '\n' && c.is_control())
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}'
            | '\u{fdd0}'..='\u{fdef}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}'
            | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
        // the last two of each plane are no characters
        || u32::from(c) & 0xfffe == 0xfffe
}

/// Whether it is a mark on the letter before it.
fn is_mark(c: char) -> bool {
    matches!(c,
        '\u{300}'..='\u{36f}' | '\u{483}'..='\u{489}' | '\u{1ab0}'..='\u{1aff}' | '\u{1dc0}'..='\u{1dff}'
        | '\u{20d0}'..='\u{20ff}' | '\u{fe20}'..='\u{fe2f}')
}
