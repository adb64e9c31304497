//! For the terminal: wrapped to its width, readable without colour.

use super::held::{HELD, held};
use super::{Marks, drawing};
use crate::flow::harmless;
use crate::sheet::{Block, Chart, Check, Document, ElevationPicture, Picture};
use comfy_table::{ContentArrangement, ContentLineStyle, LineStyle, Table, TableStyle};
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_width::UnicodeWidthStr;

/// How the text looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TextStyle {
    /// Columns.
    pub width: usize,
    /// Whether headings are bold.
    pub bold: bool,
    /// Whether tables are drawn as plain lines, for screen readers.
    pub plain: bool,
}

/// Renders a document as text.
#[must_use]
pub fn text(document: &Document, marks: &Marks, style: TextStyle) -> String {
    let style = TextStyle { width: style.width.clamp(40, 100), ..style };
    let mut page = Page { text: String::new(), style, marks, gaps: true };
    page.title(document);
    for block in &document.blocks {
        page.block(block);
    }
    page.gap();
    page.wrapped(&document.foot, "", "");
    page.done()
}

/// Renders a document for one screen: nothing is underlined, no empty lines but those asked for with `gaps`, and a fraction
/// never breaks from its number or its unit.
#[must_use]
pub fn screen(document: &Document, marks: &Marks, style: TextStyle, gaps: bool) -> String {
    let style = TextStyle { width: style.width.clamp(40, 100), ..style };
    let mut page = Page { text: String::new(), style, marks, gaps };
    page.wrapped(&document.title, "", "");
    for block in &document.blocks {
        page.screen_block(block);
    }
    if !document.foot.is_empty() {
        page.gap();
        page.wrapped(&document.foot, "", "");
    }
    page.done()
}

/// Tables with one rule under the head: rows are told apart by their first column.
const RULED: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none().junction(' '))
    .header_separator(LineStyle::none().fill('-').junction('-'))
    .content_lines(ContentLineStyle::none().junction(' '));

struct Page<'m> {
    text: String,
    style: TextStyle,
    marks: &'m Marks,
    /// Whether parts are set apart by empty lines.
    gaps: bool,
}

/// What turns bold on and off: the one thing in a text that acts.
const BOLD: [&str; 2] = ["\u{1b}[1m", "\u{1b}[0m"];

impl Page<'_> {
    /// The text, in which nothing acts but what makes it bold.
    fn done(self) -> String {
        if !self.style.bold {
            return harmless(&self.text).into_owned();
        }
        let rest = |part: &str| part.split(BOLD[1]).map(harmless).collect::<Vec<_>>().join(BOLD[1]);
        self.text.split(BOLD[0]).map(rest).collect::<Vec<_>>().join(BOLD[0])
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// One empty line, however often it is asked for.
    fn gap(&mut self) {
        if self.gaps && !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    fn strong(&self, text: &str) -> String {
        if self.style.bold { format!("{}{text}{}", BOLD[0], BOLD[1]) } else { text.to_owned() }
    }

    fn wrapped(&mut self, text: &str, first: &str, rest: &str) {
        for (i, paragraph) in text.split("\n\n").enumerate() {
            let flat = held(&paragraph.split_whitespace().collect::<Vec<_>>().join(" "));
            let first = if i == 0 { first } else { rest };
            let options = Options::new(self.style.width)
                .initial_indent(first)
                .subsequent_indent(rest)
                .wrap_algorithm(WrapAlgorithm::FirstFit)
                .word_separator(WordSeparator::AsciiSpace)
                .word_splitter(WordSplitter::NoHyphenation);
            for line in textwrap::wrap(&flat, options) {
                self.line(&line.replace(HELD, " "));
            }
        }
    }

    /// A paragraph that stands out.
    fn strong_wrapped(&mut self, text: &str) {
        let from = self.text.len();
        self.wrapped(text, "", "");
        if self.style.bold {
            let lines: Vec<String> = self.text[from..].lines().map(|line| self.strong(line)).collect();
            self.text.truncate(from);
            self.text.extend(lines.into_iter().map(|line| line + "\n"));
        }
    }

    /// A block on a screen; what has no look of its own there looks as on a sheet.
    fn screen_block(&mut self, block: &Block) {
        match block {
            Block::Verdict { label, text, .. } => {
                self.gap();
                self.strong_wrapped(&label.to_uppercase());
                if !text.is_empty() {
                    self.wrapped(text, "", "");
                }
            }
            Block::Heading(text) => {
                self.gap();
                self.strong_wrapped(text);
            }
            Block::Numbered(points) => {
                for (i, point) in points.iter().enumerate() {
                    self.wrapped(&point.text, &format!("{}. ", i + 1), "   ");
                }
            }
            Block::Figure(text) => self.strong_wrapped(text),
            Block::Page
            | Block::Chapter(_)
            | Block::Contents(_)
            | Block::Subheading(_)
            | Block::Pictures(_)
            | Block::Elevation(_)
            | Block::Signatures(_)
            | Block::Paragraph(_)
            | Block::Note(_)
            | Block::Picture(_)
            | Block::Table { .. }
            | Block::Chart(_)
            | Block::Legend(_)
            | Block::Finding { .. }
            | Block::Checks(_)
            | Block::Question { .. }
            | Block::Caution { .. }
            | Block::Blank(_)
            | Block::Photo(_) => self.block(block),
        }
    }

    fn title(&mut self, document: &Document) {
        if let Some(letterhead) = &document.letterhead {
            for line in &letterhead.lines {
                self.wrapped(line, "", "");
            }
            self.gap();
        }
        let title = self.strong(&document.title);
        self.line(&title);
        if !self.style.plain {
            self.line(&"=".repeat(document.title.width().min(self.style.width)));
        }
        for about in &document.about {
            self.wrapped(about, "", "");
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Verdict { label, text, .. } => {
                self.gap();
                let label = self.strong(&label.to_uppercase());
                self.line(&label);
                self.wrapped(text, "  ", "  ");
            }
            Block::Page => self.gap(),
            // what is read on a screen is not looked up by pages
            Block::Contents(_) => {}
            Block::Chapter(text) => self.underlined(text, "="),
            Block::Heading(text) => self.underlined(text, "-"),
            Block::Subheading(text) => {
                self.gap();
                self.strong_wrapped(text);
            }
            Block::Figure(text) => {
                self.gap();
                self.strong_wrapped(text);
                self.gap();
            }
            Block::Paragraph(text) => {
                self.wrapped(text, "", "");
            }
            Block::Note(text) => {
                self.gap();
                self.wrapped(text, "  ", "  ");
            }
            Block::Table { head, rows } => self.table(head, rows),
            Block::Picture(picture) => self.picture(picture),
            Block::Elevation(view) => self.elevation(view),
            Block::Pictures(pictures) => {
                for picture in pictures {
                    self.picture(picture);
                }
            }
            Block::Chart(chart) => self.chart(chart),
            Block::Legend(lines) => {
                self.gap();
                for (mark, text) in lines {
                    let first = format!("  [{mark}] ");
                    self.wrapped(text, &first, &" ".repeat(first.len()));
                }
            }
            Block::Finding { mark, title, body, source } => {
                self.gap();
                let head = if mark.is_empty() { title.clone() } else { format!("{mark}: {title}") };
                self.wrapped(&head, "* ", "  ");
                for text in body {
                    self.wrapped(text, "  ", "  ");
                }
                self.source(source);
            }
            Block::Numbered(points) => {
                for (i, point) in points.iter().enumerate() {
                    self.gap();
                    self.wrapped(&point.text, &format!("{}. ", i + 1), "   ");
                    for line in &point.lines {
                        self.wrapped(line, "   ", "   ");
                    }
                }
            }
            Block::Checks(checks) => {
                for check in checks {
                    self.check(check);
                }
                self.gap();
            }
            Block::Question { ask, parts, room } => self.question(ask, parts, room),
            Block::Caution { text, source } => {
                self.gap();
                self.wrapped(text, "! ", "  ");
                self.source(source);
            }
            Block::Photo(photo) => {
                self.gap();
                self.wrapped(&format!("{} {}", photo.label, photo.note), "  ", "  ");
            }
            Block::Blank(label) => {
                self.gap();
                self.blank(label);
            }
            Block::Signatures(labels) => {
                for label in labels {
                    self.gap();
                    self.blank(label);
                }
            }
        }
    }

    fn underlined(&mut self, text: &str, with: &str) {
        self.gap();
        self.strong_wrapped(text);
        if !self.style.plain {
            self.line(&with.repeat(text.width().min(self.style.width)));
        }
    }

    fn elevation(&mut self, view: &ElevationPicture) {
        self.gap();
        let drawn = super::elevation_text::elevation_text(view, self.style.width, self.style.plain);
        for line in drawn.lines() {
            self.line(line);
        }
        self.gap();
    }

    fn question(&mut self, ask: &str, parts: &[(String, Vec<String>)], room: &str) {
        self.gap();
        self.wrapped(ask, "> ", "  ");
        for (label, lines) in parts {
            if let [one] = lines.as_slice() {
                self.wrapped(&format!("{label}: {one}"), "  ", "    ");
            } else {
                self.wrapped(&format!("{label}:"), "  ", "  ");
                for line in lines {
                    self.wrapped(line, "    - ", "      ");
                }
            }
        }
        if !room.is_empty() {
            self.blank(&format!("  {room}"));
        }
    }

    /// A line to write on. A long label has it below.
    fn blank(&mut self, label: &str) {
        const LEAST: usize = 24;
        let room = self.style.width.saturating_sub(label.width() + 2);
        if room < LEAST {
            self.wrapped(&format!("{label}:"), "", "");
            self.line(&"_".repeat(self.style.width.min(60)));
        } else {
            self.line(&format!("{label}: {}", "_".repeat(room.min(60))));
        }
    }

    fn picture(&mut self, picture: &Picture) {
        if self.style.plain {
            // a drawing in characters says nothing to a screen reader; its figures do
            for dimension in &picture.section.dimensions {
                self.wrapped(&dimension.label, "- ", "  ");
            }
            return;
        }
        self.gap();
        for line in drawing(picture, self.style.width, false).lines() {
            self.line(line);
        }
        self.gap();
    }

    fn chart(&mut self, chart: &Chart) {
        if self.style.plain {
            // the table beside it says the same in words
            return;
        }
        self.gap();
        let heading = self.strong(&chart.title);
        self.line(&heading);
        for line in super::chart::lines(chart, self.style.width) {
            if line.width() > self.style.width {
                self.wrapped(&line, "", "");
            } else {
                self.line(&line);
            }
        }
        self.gap();
    }

    fn source(&mut self, source: &str) {
        if !source.is_empty() {
            self.wrapped(&format!("[{source}]"), "  ", "   ");
        }
    }

    fn check(&mut self, check: &Check) {
        let stop = if check.hold { format!("{}: ", self.marks.stop) } else { String::new() };
        let who = if check.who.is_empty() { String::new() } else { format!("{}: ", check.who) };
        let blank = if check.blank.is_empty() { String::new() } else { format!(" ({}: ________)", check.blank) };
        self.wrapped(&format!("{stop}{who}{}{blank}", check.text), "[ ] ", "    ");
        if !check.because.is_empty() {
            self.wrapped(&check.because, "      ", "      ");
        }
    }

    fn table(&mut self, head: &[String], rows: &[Vec<String>]) {
        if self.style.plain || self.style.width < 60 {
            for row in rows {
                let cells: Vec<String> = head
                    .iter()
                    .zip(row)
                    .filter(|(_, cell)| !cell.is_empty())
                    .map(|(head, cell)| format!("{head}: {cell}"))
                    .collect();
                let cells: Vec<&str> = cells.iter().map(|c| c.trim_end_matches('.')).collect();
                self.wrapped(&cells.join(". "), "- ", "  ");
            }
            return;
        }
        let mut table = Table::new();
        table
            .load_style(RULED)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(u16::try_from(self.style.width).unwrap_or(80))
            .set_header(head);
        let unbroken = |cell: &String| held(cell);
        for row in rows {
            table.add_row(row.iter().map(unbroken));
        }
        for line in table.to_string().lines() {
            self.line(&line.replace(HELD, " "));
        }
    }
}
