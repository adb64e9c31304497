//! Markdown that any reader shows alike: headings, lists, tables, task boxes.

use super::{Marks, drawing};
use crate::flow::harmless;
use crate::sheet::{Block, Document};
use std::fmt::Write;

/// Renders a document as Markdown.
#[must_use]
pub fn markdown(document: &Document, marks: &Marks) -> String {
    let mut out = String::new();
    if let Some(letterhead) = &document.letterhead {
        for line in &letterhead.lines {
            let _ = writeln!(out, "{}  ", escape(line));
        }
        out.push('\n');
    }
    let _ = writeln!(out, "# {}\n", escape(&document.title));
    for about in &document.about {
        let _ = writeln!(out, "{}  ", escape(about));
    }
    out.push('\n');
    for block in &document.blocks {
        block_to(&mut out, block, marks);
    }
    let _ = writeln!(out, "---\n\n{}", escape(&document.foot));
    harmless(&out).into_owned()
}

fn block_to(out: &mut String, block: &Block, marks: &Marks) {
    // writing to a String cannot fail
    let _ = match block {
        Block::Verdict { label, text, .. } => writeln!(out, "> **{}**\n>\n> {}\n", escape(label), escape(text)),
        Block::Heading(text) | Block::Chapter(text) => writeln!(out, "## {}\n", escape(text)),
        Block::Figure(text) | Block::Subheading(text) => writeln!(out, "**{}**\n", escape(text)),
        Block::Paragraph(text) | Block::Note(text) => writeln!(out, "{}\n", escape(text)),
        Block::Table { head, rows } => {
            table(out, head, rows);
            writeln!(out)
        }
        Block::Page | Block::Contents(_) => Ok(()),
        Block::Pictures(pictures) => {
            for picture in pictures {
                let _ = writeln!(out, "```text\n{}```\n", unfenced(&drawing(picture, 80, false)));
            }
            Ok(())
        }
        Block::Elevation(view) => {
            writeln!(
                out,
                "```text\n{}\n```\n",
                unfenced(super::elevation_text::elevation_text(view, 80, false).trim_end())
            )
        }
        Block::Picture(picture) => writeln!(out, "```text\n{}```\n", unfenced(&drawing(picture, 80, false))),
        Block::Chart(chart) => {
            writeln!(
                out,
                "### {}\n\n```text\n{}\n```\n",
                escape(&chart.title),
                unfenced(&super::chart::lines(chart, 80).join("\n"))
            )
        }
        Block::Legend(lines) => {
            for (mark, text) in lines {
                let _ = writeln!(out, "- \\[{mark}\\] {}", escape(text));
            }
            writeln!(out)
        }
        Block::Finding { mark, title, body, source } => {
            let mark = if mark.is_empty() { String::new() } else { format!("{}: ", escape(mark)) };
            let _ = writeln!(out, "### {mark}{}\n", escape(title));
            for text in body {
                let _ = writeln!(out, "{}\n", escape(text));
            }
            if source.is_empty() { Ok(()) } else { writeln!(out, "*{}*\n", escape(source)) }
        }
        Block::Numbered(points) => {
            for (i, point) in points.iter().enumerate() {
                let bold = if point.lines.is_empty() { "" } else { "**" };
                let _ = writeln!(out, "{}. {bold}{}{bold}", i + 1, escape(&point.text));
                for line in &point.lines {
                    let _ = writeln!(out, "   - {}", escape(line));
                }
            }
            writeln!(out)
        }
        Block::Checks(checks) => {
            for check in checks {
                let stop = if check.hold { format!("**{}:** ", escape(&marks.stop)) } else { String::new() };
                let who = if check.who.is_empty() { String::new() } else { format!("{}: ", escape(&check.who)) };
                let blank =
                    if check.blank.is_empty() { String::new() } else { format!(" ({}: {LINE})", escape(&check.blank)) };
                let _ = writeln!(out, "- [ ] {stop}{who}{}{blank}", escape(&check.text));
                if !check.because.is_empty() {
                    let _ = writeln!(out, "  {}", escape(&check.because));
                }
            }
            writeln!(out)
        }
        Block::Question { ask, parts, room } => {
            question(out, ask, parts, room);
            writeln!(out)
        }
        Block::Caution { text, source } => {
            let source = if source.is_empty() { String::new() } else { format!(" *{}*", escape(source)) };
            writeln!(out, "- {}{source}\n", escape(text))
        }
        Block::Photo(photo) => writeln!(out, "{}\n", escape(&format!("{} {}", photo.label, photo.note))),
        Block::Blank(label) => writeln!(out, "{}: {LINE}\n", escape(label)),
        Block::Signatures(labels) => {
            for label in labels {
                let _ = writeln!(out, "{}: {LINE}\n", escape(label));
            }
            Ok(())
        }
    };
}

fn table(out: &mut String, head: &[String], rows: &[Vec<String>]) {
    let row = |cells: &[String]| format!("| {} |\n", cells.iter().map(|c| cell(c)).collect::<Vec<_>>().join(" | "));
    out.push_str(&row(head));
    let _ = writeln!(out, "|{}", " --- |".repeat(head.len()));
    for cells in rows {
        out.push_str(&row(cells));
    }
}

fn question(out: &mut String, ask: &str, parts: &[(String, Vec<String>)], room: &str) {
    let _ = writeln!(out, "### {}\n", escape(ask));
    for (label, lines) in parts {
        if let [one] = lines.as_slice() {
            let _ = writeln!(out, "- **{}:** {}", escape(label), escape(one));
        } else {
            let _ = writeln!(out, "- **{}:**", escape(label));
            for line in lines {
                let _ = writeln!(out, "  - {}", escape(line));
            }
        }
    }
    if !room.is_empty() {
        let _ = writeln!(out, "- {}: {LINE}", escape(room));
    }
}

/// A line to write on.
const LINE: &str = "\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_";

fn cell(text: &str) -> String {
    escape(text).replace('\n', " ")
}

/// A drawing in a fence, which nothing in it may end.
fn unfenced(drawing: &str) -> String {
    drawing.replace("```", "'''")
}

/// The one place where text becomes Markdown: nothing in it is taken for mark-up, an entity or an address.
fn escape(text: &str) -> String {
    let flat = |part: &str| part.split_whitespace().collect::<Vec<_>>().join(" ");
    text.split("\n\n").map(|part| escaped(&flat(part))).collect::<Vec<_>>().join("\n\n")
}

fn escaped(line: &str) -> String {
    let mut out = String::with_capacity(line.len() + 8);
    // a number at the start of a line would begin a list
    let digits = line.bytes().take_while(u8::is_ascii_digit).count();
    for (i, c) in line.char_indices() {
        let rest = &line[i..];
        let marks = matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '$' | '@')
            || rest.starts_with("://")
            || c == '.' && line[..i].to_ascii_lowercase().ends_with("www");
        let starts =
            i == 0 && matches!(c, '#' | '+' | '-' | '=') || i == digits && digits > 0 && matches!(c, '.' | ')');
        if marks || starts {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
