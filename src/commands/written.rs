//! The forms of results: their endings, the mark by which wallfoot knows a file of its own, and what a file that is there
//! already seems to be.
//!
//! A result replaces a file only if wallfoot wrote it, in the same form. Nothing is remembered about that: the file itself
//! says it. A page has a `generator`, a picture its `metadata`, a calendar its `PRODID`, a report its version, a table its
//! head; a text and a Markdown text end in a line of their own, and a PDF has its keyword.

use crate::flow::{Diagnostics, Node, Source, Tree};
use std::fmt;
use std::path::Path;

/// A form of results.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Plain text.
    Text,
    /// Markdown.
    Markdown,
    /// A page.
    Html,
    /// A report for programs.
    Json,
    /// A table.
    Csv,
    /// A calendar.
    Ics,
    /// A picture.
    Svg,
    /// A chart in the words of Mermaid.
    Mermaid,
    /// Pages for a printer.
    Pdf,
}

/// All forms with the endings of their files; the first is the usual one.
const ENDINGS: [(Format, &[&str]); 9] = [
    (Format::Text, &["txt", "text"]),
    (Format::Markdown, &["md", "markdown"]),
    (Format::Html, &["html", "htm"]),
    (Format::Json, &["json"]),
    (Format::Csv, &["csv"]),
    (Format::Ics, &["ics"]),
    (Format::Svg, &["svg"]),
    (Format::Mermaid, &["mmd", "mermaid"]),
    (Format::Pdf, &["pdf"]),
];

/// The last line of a text in a file.
const TEXT_END: &str = "-- wallfoot";
/// The last line of a Markdown text; no reader shows it.
const MARKDOWN_END: &str = "<!-- wallfoot -->";
/// The last line of a chart, a remark.
const MERMAID_END: &str = "%% wallfoot";
/// In the head of a page.
const HTML_MARK: &str = r#"<meta name="generator" content="wallfoot">"#;
/// In a picture.
const SVG_MARK: &str = "<metadata>wallfoot</metadata>";
/// How pages for a printer begin.
const PDF_START: &[u8] = b"%PDF-";
/// Among the keywords of a PDF.
const PDF_MARK: &[u8] = b"<pdf:Keywords>wallfoot</pdf:Keywords>";
/// Who made a calendar.
pub(super) const PRODID: &str = "-//wallfoot//plan//EN";
/// The head of a table of quantities.
pub(super) const TABLE_HEAD: [&str; 8] =
    ["stretch", "id", "material", "who", "amount", "unit", "formula", "waste_percent"];
/// What it has besides, with a price book.
pub(super) const PRICE_HEAD: [&str; 4] = ["currency", "price_low", "price_likely", "price_high"];
/// The keys of which a report has one.
const REPORTS: [&str; 4] = ["wallfoot_report", "wallfoot_compare", "wallfoot_log", "wallfoot_visits"];
/// The key of a visit.
const VISIT: &str = "wallfoot_visit";
/// A key that only a price book has.
const BOOK: &str = "labour";
/// Keys by which a file of questions, limits or words is known. A file may have others besides.
const CONTENT: [&str; 10] =
    ["section", "questions", "limits", "findings", "tasks", "words", "texts", "standalone", "activities", "quantities"];

impl Format {
    /// The usual ending of its files, without the dot.
    #[must_use]
    pub fn ending(self) -> &'static str {
        ENDINGS.iter().find(|(format, _)| *format == self).and_then(|(_, endings)| endings.first()).map_or("", |e| e)
    }

    /// The form that an ending says, in either case of letters.
    pub(super) fn of_ending(ending: &str) -> Option<Format> {
        let has = |endings: &[&str]| endings.iter().any(|known| known.eq_ignore_ascii_case(ending));
        ENDINGS.iter().find(|(_, endings)| has(endings)).map(|(format, _)| *format)
    }

    /// A result as it is written to a file, with the mark by which it is known again.
    pub(super) fn marked(self, text: &str) -> String {
        let ended = |end: &str| format!("{}\n\n{end}\n", text.trim_end_matches('\n'));
        match self {
            Format::Text => ended(TEXT_END),
            Format::Markdown => ended(MARKDOWN_END),
            Format::Mermaid => ended(MERMAID_END),
            // these have their mark from the start
            Format::Html | Format::Json | Format::Csv | Format::Ics | Format::Svg | Format::Pdf => text.to_owned(),
        }
    }

    /// Whether a text has the mark of this form.
    fn is_own(self, text: &str) -> bool {
        let last = || text.lines().rev().find(|line| !line.trim().is_empty());
        match self {
            Format::Text => last() == Some(TEXT_END),
            Format::Markdown => last() == Some(MARKDOWN_END),
            Format::Mermaid => last() == Some(MERMAID_END),
            // before the style, for a page may quote anything
            Format::Html => text.split("<style").next().is_some_and(|head| head.contains(HTML_MARK)),
            Format::Svg => text.starts_with("<svg ") && text.contains(SVG_MARK),
            Format::Json => serde_json::from_str::<serde_json::Value>(text)
                .is_ok_and(|value| REPORTS.iter().any(|key| value.get(key).is_some()) && value.get(VISIT).is_none()),
            Format::Csv => {
                let head = text.trim_start_matches('\u{feff}').lines().next().unwrap_or_default();
                let more = head.strip_prefix(TABLE_HEAD.join(",").as_str());
                more.is_some_and(|more| more.is_empty() || more == format!(",{}", PRICE_HEAD.join(",")))
            }
            Format::Ics => text.lines().any(|line| line.strip_prefix("PRODID:") == Some(PRODID)),
            // that is no text, see `seems`
            Format::Pdf => false,
        }
    }

    /// Whether a text looks like this form, whoever wrote it.
    fn looks(self, text: &str) -> bool {
        let start = || text.trim_start().chars().take(1000).collect::<String>().to_lowercase();
        match self {
            Format::Text => true,
            Format::Markdown => text.starts_with("# "),
            Format::Mermaid => text.trim_start().starts_with("flowchart "),
            Format::Html => start().contains("<html") || start().starts_with("<!doctype html"),
            Format::Svg => start().contains("<svg"),
            Format::Json => {
                serde_json::from_str::<serde_json::Value>(text).is_ok_and(|v| v.is_object() || v.is_array())
            }
            Format::Csv => {
                let mut lines = text.lines().map(|line| line.matches(',').count());
                lines.next().is_some_and(|commas| commas > 0 && lines.next() == Some(commas))
            }
            Format::Ics => text.starts_with("BEGIN:VCALENDAR"),
            Format::Pdf => false,
        }
    }
}

impl fmt::Display for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Format::Text => "a text",
            Format::Markdown => "a Markdown text",
            Format::Html => "a web page",
            Format::Json => "a JSON report",
            Format::Csv => "a CSV table",
            Format::Ics => "a calendar",
            Format::Svg => "an SVG picture",
            Format::Mermaid => "a Mermaid chart",
            Format::Pdf => "a PDF",
        })
    }
}

/// What a file that is there already seems to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seems {
    /// Nothing stands in it.
    Empty,
    /// The answers about a place.
    Visit,
    /// Questions, limits or words.
    Content,
    /// A result of wallfoot.
    Own(Format),
    /// Of this form, but not by wallfoot.
    Foreign(Format),
    /// The user's own prices and hours.
    Book,
    /// Some other YAML.
    Yaml,
    /// No text.
    Binary,
}

impl fmt::Display for Seems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Seems::Empty => f.write_str("an empty file"),
            Seems::Visit => f.write_str("a visit"),
            Seems::Content => f.write_str("a file of questions or limits"),
            Seems::Own(format) => write!(f, "{format} by wallfoot"),
            Seems::Foreign(format) => write!(f, "{format} by somebody else"),
            Seems::Book => f.write_str("a price book"),
            Seems::Yaml => f.write_str("a YAML file"),
            Seems::Binary => f.write_str("no text at all"),
        }
    }
}

/// What the bytes of a file seem to be.
pub(super) fn seems(bytes: &[u8]) -> Seems {
    if bytes.starts_with(PDF_START) {
        let own = bytes.windows(PDF_MARK.len()).any(|part| part == PDF_MARK);
        return if own { Seems::Own(Format::Pdf) } else { Seems::Foreign(Format::Pdf) };
    }
    let Ok(text) = std::str::from_utf8(bytes) else { return Seems::Binary };
    if text.contains('\0') {
        return Seems::Binary;
    }
    if text.trim().is_empty() {
        return Seems::Empty;
    }
    // what somebody answered or wrote comes first: it is nowhere else
    let yaml = top_keys(text);
    if yaml.iter().any(|key| key == VISIT) {
        return Seems::Visit;
    }
    if let Some((format, _)) = ENDINGS.iter().find(|(format, _)| format.is_own(text)) {
        return Seems::Own(*format);
    }
    let plain = [Format::Html, Format::Svg, Format::Json, Format::Ics];
    if let Some(format) = plain.into_iter().find(|format| format.looks(text)) {
        return Seems::Foreign(format);
    }
    if yaml.iter().any(|key| key == BOOK) {
        return Seems::Book;
    }
    if yaml.iter().any(|key| CONTENT.contains(&key.as_str())) {
        return Seems::Content;
    }
    if !yaml.is_empty() {
        return Seems::Yaml;
    }
    let rest = [Format::Markdown, Format::Csv].into_iter().find(|format| format.looks(text));
    Seems::Foreign(rest.unwrap_or(Format::Text))
}

/// The keys at the top of a YAML text; none if it is something else. A visit with a broken line is still a visit, so a key at
/// the start of a line counts where the text cannot be read.
fn top_keys(text: &str) -> Vec<String> {
    let mut mistakes = Diagnostics::default();
    let source = Source::new("", text.to_owned());
    match Node::read(&source, 0, &mut mistakes).map(|node| node.tree) {
        Some(Tree::Map(entries)) => entries.into_iter().map(|(key, _)| key.text.into_owned()).collect(),
        Some(Tree::Scalar { .. } | Tree::List(_)) => Vec::new(),
        None => {
            let key = |line: &str| Some(line.split_once(':')?.0.to_owned()).filter(|key| key == VISIT);
            text.lines().filter_map(key).collect()
        }
    }
}

/// What the file at this path seems to be; nothing where there is no file.
///
/// # Errors
/// What the system says, if it is there and cannot be read.
pub(super) fn at(path: &Path) -> std::io::Result<Option<Seems>> {
    match std::fs::read(path) {
        Ok(bytes) => Ok(Some(seems(&bytes))),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}
