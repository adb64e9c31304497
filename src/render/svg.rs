//! A section as SVG for paper, readable in black and white: heights to scale, every letter at least 8 points.
//!
//! One unit is a point, 1/72 in. Everything is lines, plain fills and text, so that any program that makes pages can show it, and no
//! printer turns a fill into dots.
#![allow(clippy::cast_precision_loss)] // counts of lines, as points

use super::hatch::{self, Spot};
use super::lettering::{lines, width};
use super::scale::Across;
use super::stack::spread;
use crate::sheet::Picture;
use crate::units::{Length, Units};
use crate::wall::{CrossSection, Mark, MarkKind, Part, Point, Shown, Status};
use maud::{Markup, PreEscaped};
use std::fmt::Write;

/// How wide a picture is on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// 88 mm: two of them beside each other.
    Half,
    /// 180 mm: alone in its row.
    Full,
}

/// The measures of a size, in points.
struct Paper {
    wide: f64,
    /// From where to where the picture itself reaches, where the labels begin.
    from: f64,
    to: f64,
    labels: f64,
    letter: f64,
    line: f64,
    /// The least width of a layer, so that each can be told from the next.
    layer: f64,
    /// How high the picture itself may get.
    tall: f64,
    /// How many limits it tells.
    dimensions: usize,
    /// Whether it tells where the water goes and what is to scale; else its sheet does.
    notes: bool,
    /// Whether parts that any wall has go without their names.
    few_names: bool,
}

/// The least height of the picture itself, at which layers can still be told apart.
const LEAST: f64 = 120.0;
/// The least width of the picture itself.
const NARROWEST: f64 = 82.0;

impl Size {
    /// How high a picture may get with all its words, in points: two beside each other stand on a page with the verdict and the next
    /// steps, one alone on the crew's page with the height and the stops.
    #[must_use]
    pub fn limit(self) -> f64 {
        match self {
            Size::Half => 315.0,
            Size::Full => 300.0,
        }
    }

    fn paper(self, enlarged: bool) -> Paper {
        match self {
            Size::Half => Paper {
                wide: 250.0,
                from: 26.0,
                to: if enlarged { 120.0 } else { 142.0 },
                labels: if enlarged { 132.0 } else { 154.0 },
                letter: 8.5,
                line: 10.2,
                layer: 6.5,
                tall: 165.0,
                dimensions: 0,
                notes: false,
                few_names: false,
            },
            Size::Full => Paper {
                wide: 510.0,
                from: 32.0,
                to: if enlarged { 290.0 } else { 326.0 },
                labels: if enlarged { 306.0 } else { 342.0 },
                letter: 9.5,
                line: 11.6,
                layer: if enlarged { 16.0 } else { 11.0 },
                tall: if enlarged { 260.0 } else { 230.0 },
                dimensions: if enlarged { 4 } else { 2 },
                notes: true,
                few_names: false,
            },
        }
    }
}

/// One picture.
#[must_use]
pub fn svg(picture: &Picture, size: Size) -> String {
    // by this wallfoot knows its own pictures; within a page the page has the mark
    markup(picture, size).into_string().replacen("</title>", "</title><metadata>wallfoot</metadata>", 1)
}

pub(super) fn markup(picture: &Picture, size: Size) -> Markup {
    let enlarged = picture.section.marks.iter().any(|mark| matches!(mark.kind, MarkKind::Name(_)));
    let mut paper = size.paper(enlarged);
    let mut narrower = 0.0;
    loop {
        let (tall, few_names, notes) = (paper.tall, paper.few_names, paper.notes);
        let mut sheet = Drawing::new(picture, paper);
        sheet.all();
        let over = sheet.end - size.limit();
        let wide = sheet.paper.to - sheet.paper.from;
        let by_labels = sheet.labels_over > 0.0 && wide > NARROWEST;
        if over <= 0.0 || tall <= LEAST && few_names && !notes && !by_labels {
            return PreEscaped(sheet.whole());
        }
        if by_labels {
            // the labels beside it get the room
            narrower += 14.0;
        }
        // first the picture itself gets lower, then names that any wall has go, then notes that the sheet has too
        paper = size.paper(enlarged);
        paper.to -= narrower;
        paper.labels -= narrower;
        paper.tall = if by_labels { tall } else { (tall - over - 1.0).max(LEAST) };
        paper.few_names = few_names || !by_labels && tall <= LEAST;
        paper.notes = notes && !(!by_labels && tall <= LEAST && few_names);
    }
}

/// A picture while it is drawn.
struct Drawing<'p> {
    picture: &'p Picture,
    section: &'p CrossSection,
    paper: Paper,
    across: Across,
    per_inch: f64,
    /// Where the picture itself begins, from the top.
    top: f64,
    out: String,
    /// How far down anything reaches.
    end: f64,
    /// How far the labels beside the picture reach below it.
    labels_over: f64,
}

/// A label beside the picture.
struct SideLabel {
    /// Where its line comes from: the height in the picture.
    at: f64,
    lines: Vec<String>,
    bold: bool,
    mark: Option<usize>,
}

impl<'p> Drawing<'p> {
    fn new(picture: &'p Picture, mut paper: Paper) -> Drawing<'p> {
        let section = &picture.section;
        // the longest number of the scale has room at its left
        let ends = [section.low.y, section.high.y].map(|y| match picture.units {
            Units::Inch => y.as_inches(),
            Units::Metric => y.as_mm(),
        });
        let numbers = ends.map(|end| width(&format!("{end:.0}"), paper.letter, false));
        paper.from = paper.from.max(numbers[0].max(numbers[1]) + 12.0);
        let tall = (section.high.y - section.low.y).as_inches().max(0.1);
        let per_inch = (paper.tall / tall).min(paper.tall / 12.0);
        let across = Across::fitting(&section.faces, paper.to - paper.from, paper.layer);
        Drawing { picture, section, paper, across, per_inch, top: 0.0, out: String::new(), end: 0.0, labels_over: 0.0 }
    }

    fn x(&self, x: Length) -> f64 {
        self.paper.from + self.across.at(x).min(self.paper.to - self.paper.from)
    }

    fn y(&self, y: Length) -> f64 {
        self.top + (self.section.high.y - y).as_inches() * self.per_inch
    }

    fn bottom(&self) -> f64 {
        self.y(self.section.low.y)
    }

    fn all(&mut self) {
        let (picture, section) = (self.picture, self.section);
        let bold = [Some(&picture.title), picture.warning.as_ref()];
        let mut at = 3.0;
        for text in bold.into_iter().flatten() {
            at = self.paragraph(text, 2.0, at, true);
        }
        let named: Vec<(f64, Spot, String)> = self.names();
        let (upper, lower): (Vec<_>, Vec<_>) = named.into_iter().partition(|(_, spot, _)| spot.above);
        self.top = at + 4.0 + self.stack_height(&upper);
        for piece in &section.pieces {
            self.piece(piece);
        }
        self.cuts();
        self.ruler();
        let labels = self.layer_texts();
        self.dimensions();
        if let Some(drop) = &section.drop {
            let places: Vec<(f64, f64)> = drop.line.iter().map(|p| (self.x(p.x), self.y(p.y))).collect();
            self.way(&places, drop.leaves);
        }
        for end in section.pieces.iter().filter_map(|p| p.unsure) {
            self.question(self.x(end.x), self.y(end.y));
        }
        self.names_above(&upper);
        let labels_end = self.labels(labels);
        self.labels_over = labels_end - self.bottom();
        let stack = self.bottom().max(labels_end) + 3.0;
        at = self.names_below(&lower, stack) + 5.0;
        for (number, dimension) in section.dimensions.iter().take(self.dimension_places().len()).enumerate() {
            let text = format!("{}. {}", number + 1, dimension.label);
            at = self.paragraph(&text, 2.0, at, dimension.status == Status::Fails);
        }
        for note in &picture.notes {
            at = self.paragraph(note, 2.0, at, true);
        }
        // what a sign in the picture means is told in any case
        let told = Some(&picture.scale_note).filter(|_| self.paper.notes);
        let drop = picture.drop_note.as_ref().filter(|_| self.paper.notes);
        let notes = [drop, picture.unsure_note.as_ref(), picture.rejected_note.as_ref(), told];
        for note in notes.into_iter().flatten() {
            at = self.paragraph(note, 2.0, at, false);
        }
        self.end = at + 3.0;
    }

    /// The whole file.
    fn whole(self) -> String {
        let (wide, tall) = (self.paper.wide, self.end);
        let (title, alt) = (escaped(&self.picture.title), escaped(&self.picture.alt()));
        let letter = self.paper.letter;
        let mut whole = String::with_capacity(self.out.len() + 600);
        let _ = write!(
            whole,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide:.0} {tall:.0}\" role=\"img\" aria-label=\"{alt}\" \
             font-family=\"Liberation Sans, Helvetica, Arial, sans-serif\" font-size=\"{letter}\"><title>{title}</title>\
             <desc>{alt}</desc><rect x=\"0\" y=\"0\" width=\"{wide:.0}\" height=\"{tall:.0}\" fill=\"#fff\"/>"
        );
        whole.push_str(&self.out);
        whole.push_str("</svg>");
        whole
    }

    // ---- text

    fn text(&mut self, x: f64, y: f64, text: &str, bold: bool, anchor: &str) {
        let weight = if bold { " font-weight=\"bold\"" } else { "" };
        let anchor = if anchor.is_empty() { String::new() } else { format!(" text-anchor=\"{anchor}\"") };
        let _ = write!(self.out, "<text x=\"{x:.1}\" y=\"{y:.1}\"{weight}{anchor}>{}</text>", escaped(text));
    }

    /// A text over the whole width from a place; gives where it ends.
    fn paragraph(&mut self, text: &str, x: f64, top: f64, bold: bool) -> f64 {
        let mut y = top;
        for line in lines(text, self.paper.wide - x - 3.0, self.paper.letter, bold) {
            self.text(x, y + self.paper.line * 0.8, &line, bold, "");
            y += self.paper.line;
        }
        y
    }

    // ---- names of parts, above and below

    /// What has a name above or below the picture: where its line comes from, left to right.
    fn names(&self) -> Vec<(f64, Spot, String)> {
        let has_name = |part: Part| !matches!(part, Part::Layer(_) | Part::OldSlab | Part::Threshold | Part::Finish);
        let enlarged = self.section.marks.iter().any(|mark| matches!(mark.kind, MarkKind::Name(_)));
        let told = |part: Part| {
            enlarged && matches!(part, Part::Membrane | Part::Barrier | Part::Flashing | Part::EndDam | Part::Finish)
        };
        let mut parts: Vec<Part> = Vec::new();
        let mut named: Vec<(f64, Spot, String)> = Vec::new();
        // what reaches the upper edge stands for the rest of its kind
        let reaches = |piece: &&Shown| piece.outline.iter().any(|p| p.y == self.section.high.y);
        let (first, rest): (Vec<&Shown>, Vec<&Shown>) = self.section.pieces.iter().partition(reaches);
        for piece in first.into_iter().chain(rest) {
            let usual =
                matches!(piece.part, Part::Framing | Part::Wood | Part::Ground | Part::Foundation | Part::Backing);
            if self.paper.few_names && usual
                || parts.contains(&piece.part)
                || !has_name(piece.part)
                || told(piece.part)
                || piece.rejected
            {
                continue;
            }
            let Some(spot) = hatch::spot(piece, self.section) else { continue };
            parts.push(piece.part);
            let shift = if piece.part.is_sheet() { -1.3 } else { 0.0 };
            named.push((self.x(spot.at.x) + shift, spot, self.picture.name(piece.part)));
        }
        named.sort_by(|a, b| a.0.total_cmp(&b.0));
        named
    }

    fn name_lines(&self, x: f64, name: &str) -> Vec<String> {
        lines(name, self.paper.wide - x - 6.0, self.paper.letter, false)
    }

    fn stack_height(&self, names: &[(f64, Spot, String)]) -> f64 {
        let count: usize = names.iter().map(|(x, _, name)| self.name_lines(*x, name).len()).sum();
        self.paper.line * count as f64
    }

    /// The leftmost stands highest, so that no line runs through a name.
    fn names_above(&mut self, names: &[(f64, Spot, String)]) {
        let mut y = self.top - self.stack_height(names) - 2.0;
        for (x, spot, name) in names {
            let first = y;
            for line in self.name_lines(*x, name) {
                self.text(x + 3.0, y + self.paper.line * 0.8, &line, false, "");
                y += self.paper.line;
            }
            self.leader(*x, first + 2.0, self.y(spot.at.y).max(self.top + 5.0));
        }
    }

    /// The rightmost stands highest.
    fn names_below(&mut self, names: &[(f64, Spot, String)], top: f64) -> f64 {
        let mut y = top;
        for (x, spot, name) in names.iter().rev() {
            for line in self.name_lines(*x, name) {
                self.text(x + 3.0, y + self.paper.line * 0.8, &line, false, "");
                y += self.paper.line;
            }
            self.leader(*x, y - 2.0, self.y(spot.at.y));
        }
        y
    }

    /// An upright line from a name to a dot in what it names.
    fn leader(&mut self, x: f64, from: f64, to: f64) {
        let _ = write!(
            self.out,
            "<path d=\"M{x:.1} {from:.1}V{to:.1}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"1.8\"/>\
             <path d=\"M{x:.1} {from:.1}V{to:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>\
             <circle cx=\"{x:.1}\" cy=\"{to:.1}\" r=\"1.6\" fill=\"#000\" stroke=\"#fff\" stroke-width=\".6\"/>"
        );
    }

    // ---- labels beside

    /// All heights, and the layers that have no room for their names, beside the picture; gives where they end.
    fn labels(&mut self, mut labels: Vec<SideLabel>) -> f64 {
        let room = self.paper.wide - self.paper.labels - 2.0;
        for (number, mark) in self.section.marks.iter().enumerate() {
            let at = self.y(mark.y).clamp(self.top, self.bottom());
            let bold = matches!(mark.kind, MarkKind::Keep | MarkKind::AtMost);
            let lines = lines(&mark.label, room, self.paper.letter, bold);
            labels.push(SideLabel { at, lines, bold, mark: Some(number) });
        }
        // what lies above the picture stands first
        labels.sort_by(|a, b| a.at.total_cmp(&b.at));
        let line = self.paper.line;
        let wanted: Vec<(f64, f64)> =
            labels.iter().map(|label| (label.at - line / 2.0, line.mul_add(label.lines.len() as f64, 2.0))).collect();
        let places = spread(&wanted, self.top + 1.0);
        let mut end = self.top;
        for (label, top) in labels.iter().zip(places) {
            let mark = label.mark.map(|number| &self.section.marks[number]);
            self.tie(mark, label.at, top + line / 2.0);
            let mut y = top;
            for text in &label.lines {
                self.text(self.paper.labels, y + line * 0.8, text, label.bold, "");
                y += line;
            }
            end = end.max(y);
        }
        end
    }

    /// The line of a height, and from its end to its label.
    fn tie(&mut self, mark: Option<&Mark>, at: f64, label: f64) {
        let (edge, text) = (self.paper.to, self.paper.labels - 2.0);
        let Some(mark) = mark else {
            let _ = write!(
                self.out,
                "<circle cx=\"{:.1}\" cy=\"{at:.1}\" r=\"1.4\"/><path d=\"M{:.1} {at:.1}H{edge:.1}L{text:.1} {label:.1}\" \
                 fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>",
                edge - 5.0,
                edge - 5.0
            );
            return;
        };
        if let MarkKind::Name(place) = mark.kind {
            let x = self.x(place.x);
            let _ = write!(
                self.out,
                "<path d=\"M{x:.1} {at:.1}H{edge:.1}L{text:.1} {label:.1}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"2\"/>\
                 <path d=\"M{x:.1} {at:.1}H{edge:.1}L{text:.1} {label:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>\
                 <circle cx=\"{x:.1}\" cy=\"{at:.1}\" r=\"1.8\" stroke=\"#fff\" stroke-width=\".6\"/>"
            );
            return;
        }
        if !self.section.shows(mark) {
            // what it names lies above or below the picture
            let (x, up) = (text - 4.0, if mark.y > self.section.high.y { -1.0 } else { 1.0 });
            let _ = write!(
                self.out,
                "<path d=\"M{x:.1} {:.1}V{:.1}M{:.1} {:.1}L{x:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.1\"/>",
                label - 5.0 * up,
                label + 5.0 * up,
                x - 3.0,
                label + 1.5 * up,
                label + 5.0 * up,
                x + 3.0,
                label + 1.5 * up,
            );
            return;
        }
        let work = self.work_from();
        let (from, pen, dashes) = match mark.kind {
            MarkKind::Keep => (work, "2.6", ""),
            MarkKind::AtMost => (work, "2.6", "7 3"),
            MarkKind::Rejected => (work, ".7", ""),
            MarkKind::Unknown => (self.x(Length::ZERO), ".6", "2 2.5"),
            MarkKind::Known | MarkKind::Name(_) => (self.x(Length::ZERO), ".6", "5 2.5"),
        };
        let _ = write!(
            self.out,
            "<path d=\"M{from:.1} {at:.1}H{edge:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{pen}\" stroke-dasharray=\"{}\"/>\
             <path d=\"M{edge:.1} {at:.1}L{text:.1} {label:.1}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{}\"/>",
            if dashes.is_empty() { "none" } else { dashes },
            if mark.kind == MarkKind::Keep { "1.2" } else { ".6" }
        );
        if mark.kind == MarkKind::Rejected {
            let mut crosses = String::new();
            let count = 3;
            for n in 0..count {
                let x = from + (edge - from) * (f64::from(n) + 0.5) / f64::from(count);
                let _ = write!(crosses, "M{:.1} {:.1}l7 7m0 -7l-7 7", x - 3.5, at - 3.5);
            }
            let _ = write!(
                self.out,
                "<path d=\"{crosses}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"3\"/>\
                 <path d=\"{crosses}\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.3\"/>"
            );
        }
        if mark.kind == MarkKind::AtMost || mark.kind == MarkKind::Unknown && mark.y != self.section.high.y {
            self.question(f64::midpoint(from, edge), at);
        }
    }

    /// Where the work begins, out from the wall.
    fn work_from(&self) -> f64 {
        let work = self.section.pieces.iter().filter(|p| matches!(p.part, Part::Finish | Part::Layer(_)));
        let left = work.flat_map(|p| &p.outline).map(|p| self.x(p.x)).reduce(f64::min);
        left.unwrap_or_else(|| self.x(Length::ZERO))
    }

    // ---- the pieces

    fn places(&self, outline: &[Point]) -> Vec<(f64, f64)> {
        outline.iter().map(|p| (self.x(p.x), self.y(p.y))).collect()
    }

    fn piece(&mut self, piece: &Shown) {
        if piece.part.is_sheet() {
            // just behind that which water runs on
            let off = if piece.part == Part::EndDam { 0.0 } else { 1.3 };
            let places: Vec<(f64, f64)> =
                self.places(&piece.line).into_iter().map(|(x, y)| (x - off, (y + off).min(self.bottom()))).collect();
            let (wide, dashes) = match piece.part {
                Part::Barrier => ("1.2", "none"),
                Part::Membrane => ("2.6", "2 1"),
                Part::Channel => ("1.4", "none"),
                _ => ("2.4", "none"),
            };
            let line = listed(&places);
            let _ = write!(
                self.out,
                "<polyline points=\"{line}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"3.6\"/>\
                 <polyline points=\"{line}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{wide}\" stroke-dasharray=\"{dashes}\"/>"
            );
            return;
        }
        let places = self.places(&piece.outline);
        if places.is_empty() {
            return;
        }
        let points = listed(&places);
        if piece.rejected {
            let _ = write!(
                self.out,
                "<polygon points=\"{points}\" fill=\"none\" stroke=\"#555\" stroke-width=\".6\" stroke-dasharray=\"2 2\"/>"
            );
            return;
        }
        let look = hatch::look(piece.part);
        let (wide, dashes) = match piece {
            Shown { unsure: Some(_), .. } => ("1", "4 3"),
            Shown { part: Part::EndDam, .. } => (".8", "3 1.5"),
            _ => (".8", "none"),
        };
        let _ = write!(
            self.out,
            "<polygon points=\"{points}\" fill=\"{}\" stroke=\"#000\" stroke-width=\"{wide}\" stroke-dasharray=\"{dashes}\"/>",
            look.fill
        );
        let strokes = look.strokes(&places);
        if !strokes.is_empty() {
            let _ = write!(self.out, "<path d=\"{strokes}\" fill=\"none\" stroke=\"#000\" stroke-width=\".45\"/>");
        }
    }

    /// Breaks where the picture ends and the wall, the work or the ground does not.
    fn cuts(&mut self) {
        let section = self.section;
        let ends = |side: &dyn Fn(&Point) -> bool| {
            section.pieces.iter().flat_map(|p| &p.outline).filter(|p| side(p)).copied().collect::<Vec<Point>>()
        };
        let reach = |list: &[Point], of: &dyn Fn(&Point) -> f64| {
            let places = list.iter().map(of);
            places.clone().reduce(f64::min).zip(places.reduce(f64::max)).filter(|(a, b)| b > a)
        };
        let across = [(ends(&|p| p.y == section.high.y), self.top), (ends(&|p| p.y == section.low.y), self.bottom())];
        let mut lines = Vec::new();
        for (list, y) in across {
            if let Some((from, to)) = reach(&list, &|p| self.x(p.x)) {
                lines.push(zigzag(from, to, |along, off| (along, y + off)));
            }
        }
        if let Some((from, to)) = reach(&ends(&|p| p.x == section.high.x), &|p| self.y(p.y)) {
            lines.push(zigzag(from, to, |along, off| (self.paper.to + off, along)));
        }
        for line in lines {
            let _ = write!(
                self.out,
                "<polyline points=\"{line}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"4\"/>\
                 <polyline points=\"{line}\" fill=\"none\" stroke=\"#000\" stroke-width=\".7\"/>"
            );
        }
    }

    /// A question mark where nobody knows where something ends.
    fn question(&mut self, x: f64, y: f64) {
        let _ = write!(
            self.out,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6.5\" fill=\"#fff\" stroke=\"#000\" stroke-width=\".8\" stroke-dasharray=\"2 1.5\"/>"
        );
        self.text(x, y + 3.2, "?", true, "middle");
    }

    /// The names of the layers inside them; those that have no room there are given back as labels.
    fn layer_texts(&mut self) -> Vec<SideLabel> {
        let mut beside = Vec::new();
        let room = self.paper.wide - self.paper.labels - 2.0;
        let mut seen: Vec<Part> = Vec::new();
        // what stands there already, as middle and half of its width and height
        let unsure = self.section.pieces.iter().filter_map(|piece| piece.unsure);
        let questions = unsure.map(|end| (self.x(end.x), self.y(end.y), 7.0, 7.0));
        let numbers = self.dimension_places().into_iter().map(|(x, .., middle)| (x, middle, 7.0, 7.0));
        let open = self.section.marks.iter().filter_map(|mark| {
            let from = match mark.kind {
                MarkKind::AtMost => self.work_from(),
                MarkKind::Unknown => self.x(Length::ZERO),
                _ => return None,
            };
            Some((f64::midpoint(from, self.paper.to), self.y(mark.y), 7.0, 7.0))
        });
        let mut taken: Vec<(f64, f64, f64, f64)> = questions.chain(numbers).chain(open).collect();
        for piece in &self.section.pieces {
            let is_layer = matches!(piece.part, Part::Layer(_) | Part::OldSlab)
                || piece.part == Part::Finish && !piece.outline.is_empty();
            if !is_layer || piece.rejected || seen.contains(&piece.part) || piece.outline.is_empty() {
                continue;
            }
            seen.push(piece.part);
            let Some((left, right, y, tall)) = self.room_in(piece) else { continue };
            let name = self.picture.name(piece.part);
            let wide = width(&name, self.paper.letter, false);
            let x = f64::midpoint(left, right);
            let own = (x, y, wide / 2.0 + 1.5, self.paper.letter / 2.0 + 0.5);
            let meets = |other: &(f64, f64, f64, f64)| {
                (own.0 - other.0).abs() < own.2 + other.2 && (own.1 - other.1).abs() < own.3 + other.3
            };
            if wide + 8.0 <= right - left && tall >= self.paper.letter + 1.5 && !taken.iter().any(meets) {
                taken.push(own);
                let _ = write!(
                    self.out,
                    "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"#fff\"/>",
                    x - wide / 2.0 - 1.5,
                    y - self.paper.letter * 0.5,
                    wide + 3.0,
                    self.paper.letter
                );
                self.text(x, y + self.paper.letter * 0.34, &name, false, "middle");
            } else {
                beside.push(SideLabel {
                    at: y,
                    lines: lines(&name, room, self.paper.letter, false),
                    bold: false,
                    mark: None,
                });
            }
        }
        beside
    }

    /// The room inside a layer at the right end: from, to, middle height, how high.
    fn room_in(&self, piece: &Shown) -> Option<(f64, f64, f64, f64)> {
        let places = self.places(&piece.outline);
        let fold = |of: fn(&(f64, f64)) -> f64, better: fn(f64, f64) -> f64| places.iter().map(of).reduce(better);
        let (left, right) = (fold(|p| p.0, f64::min)?, fold(|p| p.0, f64::max)?);
        // where it is cut through near its right end
        let (low, high) = hatch::span_at(&places, right - 5.0)?;
        Some((left, right, f64::midpoint(low, high), high - low))
    }

    /// The limits that have room side by side: where each stands, its ends, and where its number goes.
    fn dimension_places(&self) -> Vec<(f64, f64, f64, f64)> {
        /// The least distance at which two numbers can be told apart.
        const APART: f64 = 14.0;
        let (from, to) = (self.work_from() + 9.0, self.paper.to - 16.0);
        let wanted = self.section.dimensions.len().min(self.paper.dimensions);
        let count = (1..=wanted).rev().find(|count| (to - from) / *count as f64 >= APART).unwrap_or(wanted.min(1));
        let step = ((to - from) / count.max(1) as f64).min(30.0);
        let place = |(number, dimension): (usize, &crate::wall::Dimension)| {
            let (top, bottom) = (self.y(dimension.to).max(self.top), self.y(dimension.from).min(self.bottom()));
            // between two lines that are near each other a number would hide both
            let middle = if bottom - top < 16.0 { (top - 7.5).max(self.top + 6.0) } else { f64::midpoint(top, bottom) };
            (step.mul_add(number as f64, from), top, bottom, middle)
        };
        self.section.dimensions.iter().take(count).enumerate().map(place).collect()
    }

    /// Limits as dimensions, numbered.
    fn dimensions(&mut self) {
        for (number, (x, top, bottom, middle)) in self.dimension_places().into_iter().enumerate() {
            let _ = write!(
                self.out,
                "<path d=\"M{x:.1} {top:.1}V{bottom:.1}M{:.1} {top:.1}h6M{:.1} {bottom:.1}h6\" fill=\"none\" stroke=\"#000\" stroke-width=\"1\"/>\
                 <circle cx=\"{x:.1}\" cy=\"{middle:.1}\" r=\"6\" fill=\"#fff\" stroke=\"#000\" stroke-width=\".8\"/>",
                x - 3.0,
                x - 3.0
            );
            self.text(x, middle + 3.1, &(number + 1).to_string(), true, "middle");
        }
    }

    /// The way of a drop: a heavy line on a white one, an arrow or a cross at its end.
    fn way(&mut self, places: &[(f64, f64)], leaves: bool) {
        let line = listed(places);
        let _ = write!(
            self.out,
            "<polyline points=\"{line}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"2.8\" stroke-linejoin=\"round\"/>\
             <polyline points=\"{line}\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\" stroke-dasharray=\"0.6 3.2\" stroke-linecap=\"round\" stroke-linejoin=\"round\"/>"
        );
        let Some((x, y)) = places.last().copied() else { return };
        if leaves {
            // the arrow points the way that the drop goes
            let turn = match *places {
                [.., (ax, ay), (bx, by)] => (by - ay).atan2(bx - ax).to_degrees(),
                _ => 0.0,
            };
            let _ = write!(
                self.out,
                "<path d=\"M-7 -4.5L0 0L-7 4.5\" transform=\"translate({x:.1} {y:.1}) rotate({turn:.0})\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>"
            );
        } else {
            let _ = write!(
                self.out,
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"1\"/>\
                 <path d=\"M{:.1} {:.1}l7 7m0 -7l-7 7\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>",
                x - 3.5,
                y - 3.5
            );
        }
    }

    /// A height scale at the left edge, with its unit: a tick every inch or every 20 mm, longer ones numbered.
    fn ruler(&mut self) {
        let (step, long, unit) = match self.picture.units {
            Units::Inch => (Length::inches(1), 6, 1),
            Units::Metric => (Length::mm(20), 5, 20),
        };
        let section = self.section;
        let first = section.low.y.steps().div_euclid(step.steps()) + 1;
        let last = section.high.y.steps().div_euclid(step.steps());
        // numbers need room between them, ticks too
        let long = if self.per_inch * step.as_inches() * f64::from(i16::try_from(long).unwrap_or(6))
            < self.paper.letter + 2.0
        {
            long * 4
        } else {
            long
        };
        let fine = self.per_inch * step.as_inches() >= 2.5;
        let x = self.paper.from - 4.0;
        let mut ticks = format!("M{x:.1} {:.1}V{:.1}", self.top, self.bottom());
        let mut numbers = Vec::new();
        for n in first..=last {
            let y = self.y(step * n);
            let numbered = n % long == 0;
            if numbered || fine {
                let _ = write!(ticks, "M{:.1} {y:.1}H{x:.1}", x - if numbered { 4.0 } else { 2.0 });
            }
            if numbered && y > self.top + self.paper.letter * 0.9 {
                numbers.push((y, n * unit));
            }
        }
        let _ = write!(self.out, "<path d=\"{ticks}\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>");
        for (y, n) in numbers {
            let text = if n < 0 { format!("\u{2212}{}", -n) } else { n.to_string() };
            self.text(x - 5.0, y + 3.0, &text, false, "end");
        }
        let unit = self.picture.unit.clone();
        self.text(x + 2.0, self.top + self.paper.letter * 0.2 - 1.5, &unit, true, "end");
    }
}

/// A broken edge from one place to another; `at` turns a place along it and one off it into a point.
fn zigzag(from: f64, to: f64, at: impl Fn(f64, f64) -> (f64, f64)) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // some hundred points
    let teeth = (((to - from) / 14.0) as usize).max(1);
    let step = (to - from) / teeth as f64;
    let mut line = String::new();
    for tooth in 0..=teeth {
        let along = step.mul_add(tooth as f64, from);
        let corners: &[(f64, f64)] =
            if tooth == teeth { &[(0.0, 0.0)] } else { &[(0.0, 0.0), (0.25, -2.0), (0.75, 2.0)] };
        for (share, off) in corners {
            let (x, y) = at(step.mul_add(*share, along), *off);
            let _ = write!(line, "{x:.1},{y:.1} ");
        }
    }
    line.pop();
    line
}

fn listed(places: &[(f64, f64)]) -> String {
    places.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect::<Vec<_>>().join(" ")
}

/// A text that cannot end a text or an attribute.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter if letter.is_control() => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}
