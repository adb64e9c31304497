//! A document as the template reads it: texts that can be set, pictures as SVG, levels of headings.

use super::letters::{printable, settable};
use super::paper::PaperSize;
use crate::render::{Marks, Size};
use crate::sheet::{Block, Check, Document, Image, Picture};
use serde::Serialize;

/// A table of up to so many rows stays on one page, if its texts are not longer than [`LETTERS`].
const ROWS: usize = 12;
/// Letters that fit on a page beyond doubt. What is longer may be torn.
const LETTERS: usize = 2500;
/// The size of the smallest letters in a picture, in points, with a little for rounding.
const LEAST_LETTER: f64 = 8.05;
/// How high and how wide a photograph is at most, in points: 60 by 105 mm.
const PHOTO: (f64, f64) = (170.0, 300.0);
/// The same for a logo: 11 by 40 mm.
const LOGO: (f64, f64) = (31.0, 113.0);
/// The longest line at the head of each page, in letters.
const RUNNING: usize = 80;
/// Cells up to this length stay on one line, such as a date or an amount.
const SHORT: usize = 14;

/// A whole sheet.
#[derive(Debug, Serialize)]
pub(super) struct SheetData<'d> {
    paper: &'static str,
    lang: &'d str,
    name: String,
    title: String,
    running: String,
    letterhead: Vec<String>,
    logo: Option<Drawn>,
    about: Vec<String>,
    foot: String,
    page: Vec<PagePart>,
    blocks: Vec<SheetPart>,
}

/// A part of the line that numbers pages.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
enum PagePart {
    Text(String),
    Page,
    Pages,
}

/// A block.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum SheetPart {
    Verdict { label: String, text: String },
    Figure { text: String },
    Page,
    Chapter { text: String },
    Contents { text: String },
    Heading { level: u8, text: String },
    Paragraph { text: String },
    Note { text: String },
    Pictures { pictures: Vec<Drawn> },
    Chart { level: u8, title: String, pictures: Vec<Drawn>, note: String },
    Table { head: Vec<String>, rows: Vec<Vec<String>>, widths: Vec<u32>, whole: bool, tied: bool },
    Legend { lines: Vec<String> },
    Finding { level: u8, title: String, body: Vec<String>, source: String, whole: bool },
    Numbered { points: Vec<PointData> },
    Checks { checks: Vec<Tick> },
    Question { level: u8, ask: String, parts: Vec<Labelled>, room: String },
    Caution { text: String, source: String },
    Blank { label: String },
    Signatures { labels: Vec<String> },
}

/// A picture.
#[derive(Debug, Serialize)]
struct Drawn {
    svg: String,
    /// The text that stands for it.
    alt: String,
    /// The width in points at which its letters have the size they were drawn for.
    points: f64,
    /// The width at which its smallest letters have 8 points: it may not be narrower.
    least: f64,
    /// The width as a part of the height.
    ratio: f64,
}

/// A point of a numbered list.
#[derive(Debug, Serialize)]
struct PointData {
    text: String,
    lines: Vec<String>,
}

/// A box to tick.
#[derive(Debug, Serialize)]
struct Tick {
    stop: String,
    who: String,
    text: String,
    because: String,
    blank: String,
}

/// Lines with a label.
#[derive(Debug, Serialize)]
struct Labelled {
    label: String,
    lines: Vec<String>,
}

/// A document as data.
pub(super) fn of<'d>(document: &'d Document, marks: &Marks, paper: PaperSize) -> SheetData<'d> {
    let mut levels = HeadingLevels::default();
    let follows = document.blocks.iter().skip(1).map(Some).chain([None]);
    let blocks = document.blocks.iter().zip(follows).flat_map(|(block, next)| part(block, next, marks, &mut levels));
    let letterhead = document.letterhead.as_ref();
    let running = if document.running.is_empty() { &document.title } else { &document.running };
    let name = if marks.file.is_empty() { &document.title } else { &marks.file };
    SheetData {
        paper: match paper {
            PaperSize::Letter => "us-letter",
            PaperSize::A4 => "a4",
        },
        lang: language(&document.lang),
        name: settable(name),
        title: settable(&document.title),
        running: settable(&shortened(running)),
        letterhead: letterhead.map_or_else(Vec::new, |head| settables(&head.lines)),
        logo: letterhead.and_then(|head| head.logo.as_ref()).map(|logo| dots(logo, "", LOGO)),
        about: settables(&document.about),
        foot: settable(&document.foot),
        page: page_parts(&marks.page),
        blocks: blocks.collect(),
    }
}

/// The language without its country, as the typesetter wants it.
fn language(tag: &str) -> &str {
    let first = tag.split(['-', '_']).next().unwrap_or_default();
    if (2..=3).contains(&first.len()) && first.chars().all(|c| c.is_ascii_lowercase()) { first } else { "en" }
}

fn page_parts(line: &str) -> Vec<PagePart> {
    let mut parts = Vec::new();
    let mut rest = line;
    while let Some(at) = rest.find("{page") {
        let (text, tail) = rest.split_at(at);
        let Some(end) = tail.find('}') else { break };
        parts.push(PagePart::Text(settable(text)));
        parts.push(if &tail[..end] == "{pages" { PagePart::Pages } else { PagePart::Page });
        rest = &tail[end + 1..];
    }
    parts.push(PagePart::Text(settable(rest)));
    parts
}

/// What fits beside the number of the page.
fn shortened(text: &str) -> String {
    if text.chars().count() <= RUNNING {
        return text.to_owned();
    }
    text.chars().take(RUNNING - 1).chain(['…']).collect()
}

/// Headings so far.
#[derive(Default)]
struct HeadingLevels {
    /// How many chapters there were; headings are one level below a chapter.
    chapters: usize,
    /// The level of the last heading; a title of a block is one below.
    last: u8,
}

impl HeadingLevels {
    fn heading(&mut self, level: u8, text: &str) -> SheetPart {
        let text = settable(text);
        // one without words is not set, so it may not count
        if !text.is_empty() {
            self.last = level;
        }
        SheetPart::Heading { level, text }
    }
}

fn part(block: &Block, next: Option<&Block>, marks: &Marks, levels: &mut HeadingLevels) -> Vec<SheetPart> {
    let below = levels.last + 1;
    vec![match block {
        Block::Verdict { label, text, .. } => SheetPart::Verdict { label: settable(label), text: settable(text) },
        Block::Figure(text) => SheetPart::Figure { text: settable(text) },
        Block::Page => SheetPart::Page,
        Block::Chapter(text) => {
            *levels = HeadingLevels { chapters: levels.chapters + 1, last: 1 };
            SheetPart::Chapter { text: settable(&format!("{}. {text}", levels.chapters)) }
        }
        Block::Contents(text) => {
            let text = settable(text);
            levels.last = u8::from(!text.is_empty());
            SheetPart::Contents { text }
        }
        Block::Heading(text) => levels.heading(if levels.chapters > 0 { 2 } else { 1 }, text),
        Block::Subheading(text) => SheetPart::Heading { level: below, text: settable(text) },
        Block::Paragraph(text) => {
            return text.split("\n\n").map(|text| SheetPart::Paragraph { text: settable(text) }).collect();
        }
        Block::Note(text) => SheetPart::Note { text: settable(text) },
        Block::Picture(picture) => SheetPart::Pictures { pictures: vec![section(picture, Size::Full)] },
        Block::Pictures(pictures) => {
            let size = if pictures.len() > 1 { Size::Half } else { Size::Full };
            SheetPart::Pictures { pictures: pictures.iter().map(|picture| section(picture, size)).collect() }
        }
        Block::Elevation(view) => {
            SheetPart::Pictures { pictures: vec![drawn(&crate::render::elevation_svg(view), &view.alt())] }
        }
        Block::Table { head, rows } => {
            let letters: usize = rows.iter().flatten().map(|cell| cell.chars().count()).sum();
            SheetPart::Table {
                head: settables(head),
                rows: rows.iter().map(|row| settables(row)).collect(),
                widths: widths(head, rows),
                whole: rows.len() <= ROWS && letters <= LETTERS,
                tied: matches!(next, Some(Block::Note(_) | Block::Legend(_))),
            }
        }
        Block::Chart(chart) => SheetPart::Chart {
            level: below,
            title: settable(&chart.title),
            pictures: crate::render::chart::drawings(chart)
                .into_iter()
                .map(|drawing| drawn(&drawing.into_string(), &chart.title))
                .collect(),
            note: settable(&chart.drawn_note),
        },
        Block::Legend(lines) => SheetPart::Legend {
            lines: lines.iter().map(|(mark, text)| settable(&format!("[{mark}] {text}"))).collect(),
        },
        Block::Finding { mark, title, body, source } => SheetPart::Finding {
            level: below,
            title: settable(&if mark.is_empty() { title.clone() } else { format!("{mark}: {title}") }),
            body: body.iter().flat_map(|text| text.split("\n\n")).map(settable).collect(),
            source: settable(source),
            whole: body.iter().map(String::len).sum::<usize>() <= LETTERS,
        },
        Block::Numbered(points) => SheetPart::Numbered {
            points: points.iter().map(|p| PointData { text: settable(&p.text), lines: settables(&p.lines) }).collect(),
        },
        Block::Checks(checks) => SheetPart::Checks { checks: checks.iter().map(|check| tick(check, marks)).collect() },
        Block::Question { ask, parts, room } => SheetPart::Question {
            level: below,
            ask: settable(ask),
            parts: parts.iter().map(|(l, lines)| Labelled { label: settable(l), lines: settables(lines) }).collect(),
            room: settable(room),
        },
        Block::Caution { text, source } => SheetPart::Caution { text: settable(text), source: settable(source) },
        Block::Photo(photo) => {
            let caption = SheetPart::Note { text: settable(format!("{} {}", photo.label, photo.note).trim()) };
            let alt = if photo.caption.is_empty() { &photo.label } else { &photo.caption };
            let shown =
                photo.image.as_ref().map(|image| SheetPart::Pictures { pictures: vec![dots(image, alt, PHOTO)] });
            return shown.into_iter().chain([caption]).collect();
        }
        Block::Blank(label) => SheetPart::Blank { label: settable(label) },
        Block::Signatures(labels) => SheetPart::Signatures { labels: settables(labels) },
    }]
}

fn tick(check: &Check, marks: &Marks) -> Tick {
    Tick {
        stop: if check.hold { settable(&marks.stop) } else { String::new() },
        who: settable(&check.who),
        text: settable(&check.text),
        because: settable(&check.because),
        blank: settable(&check.blank),
    }
}

fn settables(texts: &[String]) -> Vec<String> {
    texts.iter().map(|text| settable(text)).collect()
}

/// The share of the width that each column gets; 0 for one as narrow as its short cells.
fn widths(head: &[String], rows: &[Vec<String>]) -> Vec<u32> {
    let column = |i: usize| {
        let longest = rows.iter().filter_map(|row| row.get(i)).map(|cell| cell.chars().count()).max().unwrap_or(0);
        let longest_word = head.get(i).map_or(0, |head| head.chars().count());
        match longest {
            0..=SHORT if longest_word <= SHORT => 0,
            // a column ten times as long is not ten times as wide
            _ => [16, 30, 60, 120].iter().map(|step| u32::from(longest > *step)).sum::<u32>() + 2,
        }
    };
    let shares: Vec<u32> = (0..head.len()).map(column).collect();
    // something has to take the rest of the width
    if shares.iter().all(|share| *share == 0) { vec![1; shares.len()] } else { shares }
}

fn section(picture: &Picture, size: Size) -> Drawn {
    drawn(&crate::render::svg(picture, size), &picture.alt())
}

/// A picture of dots, at most so many points high and wide.
fn dots(image: &Image, alt: &str, (high, wide): (f64, f64)) -> Drawn {
    let (width, height) = (image.width.max(1), image.height.max(1));
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\"><image href=\"{}\" width=\"{width}\" height=\"{height}\"/></svg>",
        image.uri
    );
    let drawn = drawn(&svg, alt);
    Drawn { points: (high * drawn.ratio).min(wide), ..drawn }
}

/// A picture for the template. An SVG says its size in its `viewBox`.
fn drawn(svg: &str, alt: &str) -> Drawn {
    let size = svg.split_once("viewBox=\"").and_then(|(_, rest)| rest.split_once('"')).map_or("", |(size, _)| size);
    let sides: Vec<f64> = size.split_whitespace().filter_map(|side| side.parse().ok()).collect();
    let (points, ratio) = match sides[..] {
        [.., width, height] if height > 0.0 => (width, width / height),
        _ => (f64::from(u16::MAX), 1.0),
    };
    let letters = svg.split("font-size=\"").skip(1).filter_map(|rest| rest.split('"').next()?.parse::<f64>().ok());
    let smallest = letters.reduce(f64::min);
    let least = smallest.map_or(0.0, |size| points * LEAST_LETTER / size);
    Drawn { svg: printable(svg).into_owned(), alt: settable(alt), points, least, ratio }
}
