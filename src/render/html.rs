//! One self-contained page that prints well in black and white: numbered pages, nothing torn, nothing to scroll sideways.

use super::Marks;
use super::held::held;
use super::svg::Size;
use crate::flow::harmless;
use crate::sheet::{Block, Check, Document, Image, Letterhead, Picture};
use maud::{DOCTYPE, Markup, PreEscaped, html as page};
use std::fmt::Write;

const STYLE: &str = include_str!("page.css");

/// Cells up to this length stay on one line, such as a date or an amount.
const SHORT: usize = 14;
/// A table of up to so many rows stays on one page.
const SMALL: usize = 12;

/// A word longer than this may break anywhere, so that it does not widen its table. Where all words may, columns come out
/// narrower than their words.
const LONG: usize = 24;

fn is_long(text: &str) -> bool {
    text.split(' ').any(|word| word.chars().count() > LONG)
}

/// Renders a document as a page.
#[must_use]
pub fn html(document: &Document, marks: &Marks) -> String {
    let title = if marks.file.is_empty() { &document.title } else { &marks.file };
    let mut body = Writing { marks, level: 1, heading: document.title.clone(), chapters: 0 };
    let chapters: Vec<&String> = document
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Chapter(title) => Some(title),
            _ => None,
        })
        .collect();
    let blocks: Vec<Markup> = document.blocks.iter().map(|block| body.block(block, &chapters)).collect();
    let markup = page! {
        (DOCTYPE)
        html lang=(document.lang) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                // by this wallfoot knows its own pages
                meta name="generator" content="wallfoot";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(margins(document, marks))) }
            }
            body {
                header {
                    @if let Some(letterhead) = &document.letterhead { (head(letterhead)) }
                    h1 { (held(&document.title)) }
                    @for about in &document.about { p.about { (held(about)) } }
                }
                main { @for block in blocks { (block) } }
                footer { (held(&document.foot)) }
            }
        }
    };
    harmless(&markup.into_string()).into_owned()
}

/// Whose sheet it is.
fn head(letterhead: &Letterhead) -> Markup {
    page! {
        div.letterhead {
            @if let Some(logo) = &letterhead.logo { (shown(logo, "")) }
            div { @for line in &letterhead.lines { p { (line) } } }
        }
    }
}

fn shown(image: &Image, alternative: &str) -> Markup {
    page! { img src=(image.uri) width=(image.width) height=(image.height) alt=(alternative); }
}

/// What stands in the margins of a printed page: the visit and its date, and which page it is.
fn margins(document: &Document, marks: &Marks) -> String {
    let mut count = String::new();
    for (i, part) in marks.page.split('{').enumerate() {
        let (number, text) = match part.split_once('}') {
            Some((name, text)) if i > 0 => (if name == "pages" { " counter(pages)" } else { " counter(page)" }, text),
            _ => ("", part),
        };
        let _ = write!(count, "{number} {}", quoted(text));
    }
    let head = if document.running.is_empty() { document.title.clone() } else { document.running.clone() };
    format!(
        "@page {{ margin: 15mm 12mm 11mm; font: 10pt 'Times New Roman', 'Liberation Serif', serif; @top-left {{ content: {}; }} @top-right {{ content:{count}; }} }}",
        quoted(&shortened(&head))
    )
}

/// What fits into a margin beside the number of the page.
fn shortened(text: &str) -> String {
    const MOST: usize = 70;
    if text.chars().count() <= MOST { text.to_owned() } else { text.chars().take(MOST - 1).chain(['…']).collect() }
}

/// A text as a string of a style sheet; nothing in it ends the string or the style.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' | '<' | '>' | '&' => {
                let _ = write!(out, "\\{:x} ", u32::from(c));
            }
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn paragraphs(text: &str) -> Markup {
    page! { @for part in text.split("\n\n") { p { (held(part)) } } }
}

/// What has been written so far, as far as what comes next hangs on it.
struct Writing<'m> {
    marks: &'m Marks,
    /// The level of the last heading.
    level: u8,
    /// The last heading.
    heading: String,
    /// How many chapters there were.
    chapters: usize,
}

impl Writing<'_> {
    /// A heading of a level.
    fn heading(&mut self, level: u8, text: &str) -> Markup {
        self.level = level;
        text.clone_into(&mut self.heading);
        title(level, &held(text))
    }

    fn block(&mut self, block: &Block, chapters: &[&String]) -> Markup {
        let heading = if self.chapters > 0 { 3 } else { 2 };
        match block {
            Block::Page => page! { div.page {} },
            Block::Chapter(text) => {
                self.chapters += 1;
                self.level = 2;
                text.clone_into(&mut self.heading);
                page! { h2 id=(format!("chapter-{}", self.chapters)) { (self.chapters) ". " (held(text)) } }
            }
            Block::Contents(text) => page! {
                (self.heading(2, text))
                ol { @for (i, chapter) in chapters.iter().enumerate() { li { a href=(format!("#chapter-{}", i + 1)) { (held(chapter)) } } } }
            },
            Block::Heading(text) => self.heading(heading, text),
            Block::Subheading(text) => title(self.level + 1, &held(text)),
            Block::Verdict { label, text, .. } => page! { div.verdict { strong { (label) } (held(text)) } },
            Block::Figure(text) => page! { p.figure { (held(text)) } },
            Block::Paragraph(text) => paragraphs(text),
            Block::Note(text) => page! { p.note { (held(text)) } },
            Block::Table { head, rows } => self.table(head, rows),
            Block::Picture(picture) => figure(picture, Size::Full),
            Block::Pictures(pictures) => {
                page! { div.row { @for picture in pictures { (figure(picture, if pictures.len() > 1 { Size::Half } else { Size::Full })) } } }
            }
            Block::Elevation(view) => page! { figure.wide { (super::elevation::elevation_markup(view)) } },
            Block::Chart(chart) => page! {
                div.chart { (title(self.level + 1, &held(&chart.title))) @for drawing in super::chart::drawings(chart) { figure { (drawing) } } p.note { (held(&chart.drawn_note)) } }
            },
            Block::Legend(lines) => {
                page! { div.legend { @for (mark, text) in lines { p.note { "[" (mark) "] " (held(text)) } } } }
            }
            Block::Finding { mark, title: what, body, source } => page! {
                div.finding {
                    (title(self.level + 1, &held(&if mark.is_empty() { what.clone() } else { format!("{mark}: {what}") })))
                    @for text in body { (paragraphs(text)) }
                    @if !source.is_empty() { p.source { (held(source)) } }
                }
            },
            Block::Numbered(points) => page! {
                ol { @for point in points { li {
                    @if point.lines.is_empty() { (held(&point.text)) } @else { strong { (held(&point.text)) } }
                    @for line in &point.lines { p { (held(line)) } }
                } } }
            },
            Block::Checks(checks) => page! { ul.checks { @for check in checks { (self.check(check)) } } },
            Block::Question { ask, parts, room } => page! {
                div.question {
                    (title(self.level + 1, &held(ask)))
                    dl.line[block.answers_in_a_line()] { @for (label, lines) in parts { div { dt { (label) } @for line in lines { dd { (held(line)) } } } } }
                    @if !room.is_empty() { (blank(room)) }
                }
            },
            Block::Caution { text, source } => {
                page! { div.caution { (held(text)) @if !source.is_empty() { " " span.source { "(" (held(source)) ")" } } } }
            }
            Block::Photo(photo) => page! {
                figure.photo {
                    @if let Some(image) = &photo.image { (shown(image, &photo.caption)) }
                    figcaption { (held(&photo.label)) @if !photo.note.is_empty() { " " (held(&photo.note)) } }
                }
            },
            Block::Blank(label) => blank(label),
            Block::Signatures(labels) => page! { div.sign { @for label in labels { div { i {} (held(label)) } } } },
        }
    }

    fn check(&self, check: &Check) -> Markup {
        page! {
            li {
                span.box {}
                span {
                    @if check.hold { span.stop { (self.marks.stop) } " " }
                    @if !check.who.is_empty() { span.who { (check.who) ": " } }
                    (held(&check.text))
                    @if !check.because.is_empty() { span.because { (held(&check.because)) } }
                }
                @if !check.blank.is_empty() { span.by { (check.blank) i {} } }
            }
        }
    }

    /// The first column names its row; the table is named by the heading above it.
    fn table(&self, head: &[String], rows: &[Vec<String>]) -> Markup {
        page! {
            table.small[rows.len() <= SMALL] {
                caption { (held(&self.heading)) }
                thead { tr { @for cell in head { th.long[is_long(cell)] scope="col" { (held(cell)) } } } }
                tbody { @for row in rows { tr { @for (i, cell) in row.iter().enumerate() {
                    @let short = cell.chars().count() <= SHORT;
                    @if i == 0 { th.short[short].long[is_long(cell)] scope="row" { (held(cell)) } }
                    @else { td.short[short].long[is_long(cell)] data-head=(head.get(i).map_or_else(String::new, |h| if cell.is_empty() { String::new() } else { format!("{h}: ") })) { (held(cell)) } }
                } } } }
            }
        }
    }
}

fn title(level: u8, text: &str) -> Markup {
    page! { @match level { 0..=2 => h2 { (text) }, 3 => h3 { (text) }, _ => h4 { (text) } } }
}

fn figure(picture: &Picture, size: Size) -> Markup {
    page! { figure { (super::svg::markup(picture, size)) } }
}

fn blank(label: &str) -> Markup {
    page! { p.write { (held(label)) ":" i {} } }
}
