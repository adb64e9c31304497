//! A flow of questions as SVG for paper and as Mermaid: boxes in their order, and arrows from each to those that an answer to it
//! brings up.
//!
//! One unit of the SVG is a point, 1/72 in. It is a strip of pages of A4; nothing reaches over the edge between two of them, and
//! every letter is 8 points or more. An arrow is drawn where both ends stand on one page; from another page comes a short one, with
//! the number and the page of its question.
#![allow(clippy::cast_precision_loss)] // counts of lines and pages, as points

use super::lettering::{lines, width};
use maud::html;
use std::fmt::Write;

/// A flow as it is drawn.
#[derive(Debug, Clone)]
pub struct FlowChart {
    /// What it is.
    pub title: String,
    /// The same at more length, for those who cannot see it.
    pub description: String,
    /// Its parts in order.
    pub blocks: Vec<FlowBlock>,
}

/// A part of a flow.
#[derive(Debug, Clone)]
pub struct FlowBlock {
    /// Its title.
    pub title: String,
    /// Its boxes in order.
    pub steps: Vec<FlowStep>,
}

/// A box.
#[derive(Debug, Clone)]
pub struct FlowStep {
    /// Its number in the whole flow, the same as that of arrows.
    pub number: usize,
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What is said of it in small letters.
    pub note: String,
    /// Where arrows to it come from: always boxes before it.
    pub from: Vec<FlowArrow>,
}

/// An arrow to a box.
#[derive(Debug, Clone)]
pub struct FlowArrow {
    /// The number of the box it comes from.
    pub from: usize,
    /// What has to be answered there.
    pub when: String,
}

const PAGE_WIDE: f64 = 595.0;
const PAGE_TALL: f64 = 842.0;
/// What printers need, and room for paper that is less tall.
const MARGIN: f64 = 36.0;
const FOOT: f64 = 72.0;
/// Where boxes begin and end; arrows run to their left.
const BOX_LEFT: f64 = 128.0;
const BOX_RIGHT: f64 = PAGE_WIDE - MARGIN;
const LANE: f64 = 7.0;
const NAME: f64 = 9.5;
const SMALL: f64 = 8.2;
const LINE: f64 = 10.4;
const PAD: f64 = 5.0;
const GAP: f64 = 7.0;
const HEAD: f64 = 26.0;

/// A box with its place.
struct PlacedBox<'f> {
    step: &'f FlowStep,
    page: usize,
    top: f64,
    name: Vec<String>,
    /// Of each arrow to it, the lines that say when.
    when: Vec<Vec<String>>,
}

impl PlacedBox<'_> {
    fn tall(&self) -> f64 {
        let lines = self.name.len() + self.when.iter().map(Vec::len).sum::<usize>();
        PAD * 2.0 + lines as f64 * LINE
    }

    /// Where the line of its name runs.
    fn middle(&self) -> f64 {
        self.top + PAD + LINE / 2.0
    }

    /// Where an arrow comes in.
    fn enters(&self, nth: usize) -> f64 {
        let before = self.name.len() + self.when[..nth].iter().map(Vec::len).sum::<usize>();
        self.top + PAD + (before as f64 + 0.5) * LINE
    }
}

/// A heading with its place.
struct Heading<'f> {
    title: &'f str,
    page: usize,
    top: f64,
    again: bool,
}

/// The flow as SVG.
#[must_use]
pub fn flow_svg(chart: &FlowChart) -> String {
    let (headings, placed) = place(chart);
    let pages = placed.last().map_or(1, |last| last.page + 1);
    let tall = pages as f64 * PAGE_TALL;
    let mut out = String::new();
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.0}mm\" height=\"{:.0}mm\" viewBox=\"0 0 {PAGE_WIDE} {tall}\" role=\"img\" aria-labelledby=\"t d\" font-family=\"Helvetica, Arial, sans-serif\">",
        210,
        297 * pages,
    );
    let texts = html! { title id="t" { (chart.title) } metadata { "wallfoot" } desc id="d" { (chart.description) } };
    out.push_str(&texts.into_string());
    // an edge between pages falls between two sheets of paper
    out.push_str("<style>@page { size: 210mm 297mm; margin: 0 }</style>");
    let _ = write!(out, "<rect x=\"0\" y=\"0\" width=\"{PAGE_WIDE}\" height=\"{tall}\" fill=\"#fff\"/>");
    for page in 0..pages {
        let top = page as f64 * PAGE_TALL;
        letters(
            &mut out,
            MARGIN,
            top + PAGE_TALL - 40.0,
            SMALL,
            false,
            &format!("{} - page {} of {pages}", chart.title, page + 1),
        );
    }
    for heading in &headings {
        let title = if heading.again { format!("{}, continued", heading.title) } else { heading.title.to_owned() };
        letters(&mut out, MARGIN, heading.page as f64 * PAGE_TALL + heading.top + 15.0, 13.0, true, &title);
    }
    arrows(&mut out, &placed);
    for one in &placed {
        box_of(&mut out, one);
    }
    from_other_pages(&mut out, &placed);
    out.push_str("</svg>\n");
    out
}

/// Every box and heading at its place.
fn place(chart: &FlowChart) -> (Vec<Heading<'_>>, Vec<PlacedBox<'_>>) {
    let (mut headings, mut placed) = (Vec::new(), Vec::new());
    let (mut page, mut top) = (0, MARGIN);
    let bottom = PAGE_TALL - FOOT;
    for block in &chart.blocks {
        let mut headed = false;
        for step in &block.steps {
            let mut one = laid_out(step);
            let tall = one.tall();
            let head = if headed { 0.0 } else { HEAD };
            if top + head + tall > bottom && top > MARGIN {
                page += 1;
                top = MARGIN;
                headings.push(Heading { title: &block.title, page, top, again: headed });
                top += HEAD;
            } else if !headed {
                headings.push(Heading { title: &block.title, page, top, again: false });
                top += HEAD;
            }
            headed = true;
            one.page = page;
            one.top = top;
            top += tall + GAP;
            placed.push(one);
        }
        top += GAP;
    }
    (headings, placed)
}

fn laid_out(step: &FlowStep) -> PlacedBox<'_> {
    let room = BOX_RIGHT - BOX_LEFT - 2.0 * PAD;
    let mut when: Vec<Vec<String>> = Vec::new();
    for (nth, arrow) in step.from.iter().enumerate() {
        let said = step.from[..nth].iter().any(|before| before.when == arrow.when);
        let text = if said { "(the same)".to_owned() } else { format!("if {}", arrow.when) };
        let mut all = lines(&text, room - 96.0, SMALL, false);
        // more is in the file of the questions
        if all.len() > 4 {
            all.truncate(4);
            if let Some(last) = all.last_mut() {
                last.push_str(" ...");
            }
        }
        when.push(all);
    }
    let note = width(&step.note, SMALL, false) + 12.0;
    let name = lines(
        &format!("{} {}", step.number, step.name),
        room - note - width(&step.id, SMALL, false) - 10.0,
        NAME,
        true,
    );
    PlacedBox { step, page: 0, top: 0.0, name, when }
}

/// One box with its letters.
fn box_of(out: &mut String, one: &PlacedBox<'_>) {
    let top = one.page as f64 * PAGE_TALL + one.top;
    let asked_always = one.step.from.is_empty();
    let _ = write!(
        out,
        "<rect x=\"{BOX_LEFT}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"{}\"/>",
        BOX_RIGHT - BOX_LEFT,
        one.tall(),
        if asked_always { 1.4 } else { 0.6 },
    );
    let base = |line: usize| top + PAD + (line as f64 + 0.76) * LINE;
    for (nth, line) in one.name.iter().enumerate() {
        letters(out, BOX_LEFT + PAD, base(nth), NAME, true, line);
    }
    let first = one.name.first().map_or(0.0, |line| width(line, NAME, true));
    letters(out, BOX_LEFT + PAD + first + 8.0, base(0), SMALL, false, &one.step.id);
    let note = width(&one.step.note, SMALL, false);
    letters(out, BOX_RIGHT - PAD - note, base(0), SMALL, false, &one.step.note);
    for (line, text) in (one.name.len()..).zip(one.when.iter().flatten()) {
        letters(out, BOX_LEFT + PAD + 8.0, base(line), SMALL, false, text);
    }
}

/// An arrow within a page runs in a lane of its own: from the box it begins at down to the last one that it leads to.
struct Trunk {
    page: usize,
    from: f64,
    to: f64,
    ends: Vec<f64>,
}

fn arrows(out: &mut String, placed: &[PlacedBox<'_>]) {
    let mut trunks: Vec<Trunk> = Vec::new();
    for one in placed {
        let mut ends = Vec::new();
        for other in placed.iter().filter(|other| other.page == one.page) {
            let here = other.step.from.iter().enumerate().filter(|(_, arrow)| arrow.from == one.step.number);
            ends.extend(here.map(|(nth, _)| other.enters(nth)));
        }
        if let Some(to) = ends.iter().copied().reduce(f64::max) {
            trunks.push(Trunk { page: one.page, from: one.middle(), to, ends });
        }
    }
    // short ones near the boxes
    trunks.sort_by(|a, b| (a.to - a.from).total_cmp(&(b.to - b.from)));
    let mut lanes: Vec<Vec<(f64, f64)>> = Vec::new();
    for trunk in &trunks {
        let top = trunk.page as f64 * PAGE_TALL;
        let (from, to) = (top + trunk.from, top + trunk.to);
        let free = |lane: &Vec<(f64, f64)>| lane.iter().all(|(a, b)| to + 3.0 < *a || *b + 3.0 < from);
        let at = lanes.iter().position(free).unwrap_or_else(|| {
            lanes.push(Vec::new());
            lanes.len() - 1
        });
        lanes[at].push((from, to));
        let x = BOX_LEFT - 12.0 - LANE * at as f64;
        let _ = write!(
            out,
            "<path d=\"M{BOX_LEFT} {from:.1}H{x:.1}V{to:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.7\"/>"
        );
        for end in &trunk.ends {
            let y = top + end;
            let _ =
                write!(out, "<path d=\"M{x:.1} {y:.1}H{:.1}\" stroke=\"#000\" stroke-width=\"0.7\"/>", BOX_LEFT - 4.0);
            let _ = write!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"1.5\" fill=\"#000\"/>");
            head(out, BOX_LEFT, y);
        }
    }
}

/// Arrows whose box stands on another page are short; its number stands at the other end of the line.
fn from_other_pages(out: &mut String, placed: &[PlacedBox<'_>]) {
    for one in placed {
        let top = one.page as f64 * PAGE_TALL;
        for (nth, arrow) in one.step.from.iter().enumerate() {
            let source = placed.iter().find(|other| other.step.number == arrow.from);
            let Some(source) = source.filter(|source| source.page != one.page) else { continue };
            let text = format!("from {}, page {}", arrow.from, source.page + 1);
            let y = top + one.enters(nth);
            // inside the box, since lanes run beside it
            letters(out, BOX_RIGHT - PAD - width(&text, SMALL, false), y + LINE * 0.26, SMALL, false, &text);
            let _ = write!(
                out,
                "<path d=\"M{:.1} {y:.1}H{:.1}\" stroke=\"#000\" stroke-width=\"0.7\"/>",
                BOX_LEFT - 9.0,
                BOX_LEFT - 4.0
            );
            head(out, BOX_LEFT, y);
        }
    }
}

/// The head of an arrow that points at `x` from the left.
fn head(out: &mut String, x: f64, y: f64) {
    let _ = write!(
        out,
        "<path d=\"M{x} {y:.1}L{:.1} {:.1}L{:.1} {:.1}Z\" fill=\"#000\"/>",
        x - 5.0,
        y - 2.4,
        x - 5.0,
        y + 2.4
    );
}

fn letters(out: &mut String, x: f64, y: f64, size: f64, bold: bool, text: &str) {
    let weight = if bold { "bold" } else { "normal" };
    let x = format!("{x:.1}");
    let y = format!("{y:.1}");
    out.push_str(&html! { text x=(x) y=(y) font-size=(size) font-weight=(weight) { (text) } }.into_string());
}

/// The flow in the words of Mermaid, which draws it in many editors and on many pages.
#[must_use]
pub fn flow_mermaid(chart: &FlowChart) -> String {
    let mut out = String::from("flowchart TD\n");
    let _ = writeln!(out, "  accTitle: {}", one_line(&chart.title));
    let _ = writeln!(out, "  accDescr: {}", one_line(&chart.description));
    for (nth, block) in chart.blocks.iter().enumerate() {
        let _ = writeln!(out, "  subgraph s{nth}[\"{}\"]", quoted(&block.title));
        for step in &block.steps {
            let _ = writeln!(
                out,
                "    q{}[\"{} {}<br/>{}\"]",
                step.number,
                step.number,
                quoted(&step.name),
                quoted(&step.id)
            );
        }
        out.push_str("  end\n");
    }
    for step in chart.blocks.iter().flat_map(|block| &block.steps) {
        for arrow in &step.from {
            let _ = writeln!(out, "  q{} -->|\"{}\"| q{}", arrow.from, quoted(&arrow.when), step.number);
        }
    }
    out
}

/// A text between quotes: what Mermaid reads as a sign of its own stands as a number.
fn quoted(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match letter {
            '"' | '#' | ';' | '<' | '>' | '&' | '`' | '|' | '\\' => {
                let _ = write!(out, "#{};", u32::from(letter));
            }
            '\n' | '\r' => out.push(' '),
            _ => out.push(letter),
        }
    }
    out
}

/// A title is read to the end of its line, and without quotes.
fn one_line(text: &str) -> String {
    text.chars()
        .map(|letter| if matches!(letter, '\n' | '\r' | '#' | ';' | '{' | '}') { ' ' } else { letter })
        .collect()
}
