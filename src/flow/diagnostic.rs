//! Mistakes in content, gathered and shown with the lines they stand on.

use super::harmless::one_line;
use super::place::Place;
use super::tree::Node;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

/// One content file: its path as shown to the user, and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Path relative to the content folder, with `/` between its parts.
    pub name: String,
    /// The whole text.
    pub text: Cow<'static, str>,
    /// Its tree, if it was read before. Files that belong to the program have one, so that they are told from a user's own.
    pub tree: Option<&'static Node<'static>>,
    /// Whether its limits replace others of the same id: the rules of a town over those of a country.
    pub local: bool,
}

impl Source {
    /// A file that is read while the program runs.
    pub fn new(name: impl Into<String>, text: impl Into<Cow<'static, str>>) -> Source {
        Source { name: name.into(), text: text.into(), tree: None, local: false }
    }

    /// The line of a place in it, from 1.
    #[must_use]
    pub fn line(&self, place: Place) -> usize {
        line_of(place, &self.text)
    }
}

#[derive(Debug)]
struct Mistake {
    place: Place,
    message: String,
    hint: Option<String>,
}

/// The mistakes found so far.
#[derive(Debug, Default)]
pub struct Diagnostics {
    mistakes: Vec<Mistake>,
}

/// A mistake in a file, with its place in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The file as shown to the user; nothing for a mistake that stands in no file.
    pub file: Option<String>,
    /// The line, from 1; 0 for a mistake that stands in no file.
    pub line: usize,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub hint: Option<String>,
    /// All that with the line itself, as it is shown.
    shown: String,
}

/// Content that cannot be used, with all mistakes of all files in the order of files and lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContentError {
    /// The mistakes; one at least.
    pub mistakes: Vec<Found>,
}

impl Found {
    /// All that with the line itself, as it is shown.
    #[must_use]
    pub fn shown(&self) -> &str {
        &self.shown
    }
}

impl std::error::Error for ContentError {}

/// How many mistakes are shown in full: more than anybody mends before looking again.
const MOST_SHOWN: usize = 200;

impl fmt::Display for ContentError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for mistake in self.mistakes.iter().take(MOST_SHOWN) {
            write!(f, "{}\n\n", mistake.shown)?;
        }
        if let Some(more) = self.mistakes.len().checked_sub(MOST_SHOWN).filter(|more| *more > 0) {
            write!(f, "and {more} more, which are not shown; mend these first\n\n")?;
        }
        match self.mistakes.len() {
            1 => f.write_str("1 mistake")?,
            count => write!(f, "{count} mistakes")?,
        }
        f.write_str(" in the questions; nothing was used")
    }
}

impl Diagnostics {
    /// Notes a mistake.
    pub fn error(&mut self, place: Place, message: impl Into<String>) {
        self.error_with_hint(place, message, None);
    }

    /// Notes a mistake and what to do about it.
    pub fn error_with_hint(&mut self, place: Place, message: impl Into<String>, hint: Option<String>) {
        // names and texts of the file stand in it: none of them begins a line of its own
        let message = one_line(&message.into()).into_owned();
        self.mistakes.push(Mistake { place, message, hint });
    }

    /// Adds what was found elsewhere.
    pub(crate) fn append(&mut self, found: Diagnostics) {
        self.mistakes.extend(found.mistakes);
    }

    /// Whether nothing was found.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.mistakes.is_empty()
    }

    /// Nothing if no mistake was found.
    ///
    /// # Errors
    /// A [`ContentError`] with all mistakes, in the order of files and lines.
    pub fn into_result(mut self, sources: &[Source]) -> Result<(), ContentError> {
        if self.mistakes.is_empty() {
            return Ok(());
        }
        self.mistakes.sort_by_key(|m| (m.place.file, m.place.start));
        // in order, so each line is counted from the one before
        let (mut file, mut from, mut line) = (None, 0, 1);
        let found = |(nth, mistake): (usize, &Mistake)| {
            let source = sources.get(mistake.place.file as usize);
            if file != Some(mistake.place.file) {
                (file, from, line) = (Some(mistake.place.file), 0, 1);
            }
            if let Some(source) = source {
                let to = (mistake.place.start as usize).clamp(from, source.text.len().max(from));
                line += source.text.get(from..to).unwrap_or_default().matches('\n').count();
                from = to;
            }
            Found {
                file: source.map(|source| source.name.clone()),
                line: source.map_or(0, |_| line),
                message: mistake.message.clone(),
                hint: mistake.hint.clone(),
                shown: if nth < MOST_SHOWN { render(mistake, sources) } else { String::new() },
            }
        };
        Err(ContentError { mistakes: self.mistakes.iter().enumerate().map(found).collect() })
    }
}

/// The line of a place, from 1.
fn line_of(place: Place, text: &str) -> usize {
    text.bytes().take(place.start as usize).filter(|byte| *byte == b'\n').count() + 1
}

fn render(mistake: &Mistake, sources: &[Source]) -> String {
    let mut group = Group::with_title(Level::ERROR.primary_title(mistake.message.as_str()));
    if let Some(source) = sources.get(mistake.place.file as usize) {
        let span = span_within(mistake.place, &source.text);
        group = group.element(
            Snippet::source(source.text.as_ref())
                .path(source.name.as_str())
                .annotation(AnnotationKind::Primary.span(span)),
        );
    }
    if let Some(hint) = &mistake.hint {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    Renderer::plain().render(&[group])
}

/// The place as a byte range that lies inside the text, on character borders, on one line.
fn span_within(place: Place, text: &str) -> Range<usize> {
    let border = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = border(place.start as usize);
    let line_end = text[start..].find('\n').map_or(text.len(), |n| start + n);
    let end = border(place.end as usize).clamp(start, line_end);
    if end == start { start..border(start + 1).max(start) } else { start..end }
}
