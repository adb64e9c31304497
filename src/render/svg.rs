//! A section as SVG, to scale, readable in black and white.
#![allow(clippy::cast_precision_loss)] // counts of labels, as pixels

use super::labels::wrapped;
use super::scale::Across;
use crate::sheet::Picture;
use crate::units::{Length, Units};
use crate::wall::{CrossSection, Drop, Mark, Part, Point, Shown, Status};
use maud::{Markup, PreEscaped, html};
use std::fmt::Write;

const WIDTH: f64 = 760.0;
const LEFT: f64 = 46.0;
const LABELS: f64 = 330.0;
const TOP: f64 = 14.0;
const LINE: f64 = 15.0;

/// The least width of a layer, so that each can be told from the next.
const LAYER: f64 = 9.0;
/// How high a picture may get.
const TALL: f64 = 620.0;

struct Scale {
    across: Across,
    per_inch: f64,
    top: Length,
}

impl Scale {
    /// What lies before the wall has the same scale both ways.
    fn of(section: &CrossSection) -> Scale {
        let tall = (section.high.y - section.low.y).as_inches();
        let room = WIDTH - LEFT - LABELS;
        let free = Across::with(&section.faces, TALL / tall, LAYER);
        let across = if free.width() > room { Across::fitting(&section.faces, room, LAYER) } else { free };
        let per_inch = across.last_per_inch().min(TALL / tall);
        Scale { across, per_inch, top: section.high.y }
    }

    fn x(&self, x: Length) -> f64 {
        LEFT + self.across.at(x)
    }

    fn y(&self, y: Length) -> f64 {
        TOP + (self.top - y).as_inches() * self.per_inch
    }
}

/// How wide a picture is on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// 88 mm: two of them beside each other.
    Half,
    /// 180 mm: alone in its row.
    Full,
}

/// One picture.
#[must_use]
pub fn svg(picture: &Picture, size: Size) -> String {
    // by this wallfoot knows its own pictures; within a page the page has the mark
    markup(picture, size).into_string().replacen("</title>", "</title><metadata>wallfoot</metadata>", 1)
}

pub(super) fn markup(picture: &Picture, _size: Size) -> Markup {
    let Picture { section, title, units, .. } = picture;
    let scale = Scale::of(section);
    let right = scale.x(section.high.x);
    let bottom = scale.y(section.low.y);
    let places = spread(section.marks.iter().map(|m| scale.y(m.y.min(section.high.y))).collect(), 2.0 * LINE);
    let marks_end = places.last().map_or(TOP, |y| y + LINE);
    let dimensions_top = marks_end.max(bottom) + 24.0;
    let legend_top = dimensions_top + LINE * 1.0_f64.mul_add(section.dimensions.len() as f64, 0.5);
    let legend_at = legend_places(picture);
    let rows = legend_at.last().map_or(0, |(.., row)| *row);
    let notes = picture.drop_note.iter().chain(&picture.unsure_note).chain([&picture.scale_note]);
    // a letter of this size takes about five and a half units
    let notes: Vec<String> = notes.flat_map(|note| wrapped(note, textwrap::Options::new(125))).collect();
    let notes_top = (LINE + 1.0).mul_add(rows as f64, legend_top) + 38.0;
    let height = 14.0_f64.mul_add(notes.len() as f64, notes_top) - 8.0;
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {height:.0}")) role="img" aria-label=(title) font-family="Helvetica, Arial, sans-serif" font-size="12" {
            title { (title) }
            defs { @for (name, strokes) in FILLS { (pattern(name, strokes)) } }
            rect x="0" y="0" width=(WIDTH) height=(format!("{height:.0}")) fill="#fff" {}
            @for piece in &section.pieces { (drawn(piece, &scale)) }
            (cuts(section, &scale))
            @for end in section.pieces.iter().filter_map(|p| p.unsure) { (unsure(end, &scale)) }
            @if let Some(drop) = &section.drop { (way(drop, &scale)) }
            (ruler(section, &scale, *units))
            @for (mark, place) in section.marks.iter().zip(&places) {
                (level(mark, *place, &scale, right))
            }
            @for (i, dimension) in section.dimensions.iter().enumerate() {
                @let x = scale.x(Length::inches(5 + 7 * i64::try_from(i).unwrap_or(0))).min(right - 8.0);
                (dimension_line(x, scale.y(dimension.to), scale.y(dimension.from), i + 1))
                text x=(LEFT) y=(format!("{:.1}", LINE.mul_add(i as f64, dimensions_top))) font-weight=(if dimension.status == Status::Fails { "bold" } else { "normal" }) {
                    (i + 1) ". " (dimension.label)
                }
            }
            (legend(&legend_at, legend_top))
            @for (i, note) in notes.iter().enumerate() {
                text x=(LEFT) y=(format!("{:.1}", 14.0_f64.mul_add(i as f64, notes_top))) font-size="10.5" { (note) }
            }
        }
    }
}

/// The fills. Parts that are never seen together may share one.
const FILLS: [(&str, &str); 18] = [
    ("framing", "<path d='M0 0L8 8M8 0L0 8' stroke='#000' stroke-width='.5'/>"),
    ("sheathing", "<path d='M0 4H8' stroke='#000' stroke-width='1'/>"),
    ("foundation", "<circle cx='2' cy='2' r='.7'/><circle cx='6' cy='6' r='.7'/>"),
    ("solid", "<path d='M0 7.5H8M0 3.5H8M4 3.5V7.5M0 0V3.5' stroke='#000' stroke-width='.5'/>"),
    ("foam", "<path d='M0 2Q2 0 4 2T8 2M0 6Q2 4 4 6T8 6' fill='none' stroke='#000' stroke-width='.6'/>"),
    ("siding", "<rect width='8' height='7.4' fill='#000'/>"),
    (
        "coat",
        "<rect width='8' height='8' fill='#333'/><circle cx='2' cy='2' r='.8' fill='#fff'/><circle cx='6' cy='6' r='.8' fill='#fff'/>",
    ),
    ("masonry", "<path d='M0 .5H8M0 4.5H8M2 .5V4.5M6 4.5V8' stroke='#000' stroke-width='.8'/>"),
    ("threshold", "<rect width='8' height='8' fill='#777'/>"),
    ("work", "<path d='M0 8L8 0' stroke='#000' stroke-width='1.1'/>"),
    ("layer0", "<path d='M0 .5H8M.5 0V8' stroke='#000' stroke-width='.9'/>"),
    (
        "layer1",
        "<circle cx='1' cy='1' r='.5'/><circle cx='5' cy='3' r='.5'/><circle cx='3' cy='6' r='.5'/><circle cx='7' cy='7' r='.5'/>",
    ),
    (
        "layer2",
        "<circle cx='3' cy='3' r='2' fill='none' stroke='#000' stroke-width='.7'/><circle cx='7' cy='7' r='1' fill='none' stroke='#000' stroke-width='.7'/>",
    ),
    ("layer3", "<path d='M0 2H8M0 6H8' stroke='#000' stroke-width='.5' stroke-dasharray='2 2'/>"),
    ("old", "<path d='M0 0L8 8' stroke='#000' stroke-width='1.1'/>"),
    ("fill", "<path d='M1 1L3 2L2 4ZM5 5L7 6L6 8ZM6 1L7 2' fill='none' stroke='#000' stroke-width='.6'/>"),
    ("ground", "<path d='M1 6L3 3M5 7L7 4' stroke='#000' stroke-width='.6'/>"),
    ("open", ""),
];

/// The fill of a part.
fn fill(part: Part) -> &'static str {
    match part {
        Part::Framing => "framing",
        Part::Wood => "sheathing",
        Part::Backing => "solid",
        Part::Foundation => "foundation",
        Part::Foam => "foam",
        Part::Cladding => "siding",
        Part::Coat => "coat",
        Part::Masonry => "masonry",
        Part::Trim | Part::Threshold => "threshold",
        Part::Finish => "work",
        Part::Layer(number) => ["layer0", "layer1", "layer2", "layer3"][usize::from(number) % 4],
        Part::OldSlab => "old",
        Part::Fill => "fill",
        Part::BesideFoundation | Part::Ground => "ground",
        _ => "open",
    }
}

/// A fill that survives a photocopier.
fn pattern(name: &str, strokes: &'static str) -> Markup {
    html! {
        pattern id=(format!("fill-{name}")) width="8" height="8" patternUnits="userSpaceOnUse" {
            rect width="8" height="8" fill="#fff" {}
            (PreEscaped(strokes))
        }
    }
}

/// How a thin sheet is drawn: how wide, and with what dashes.
fn pen(part: Part) -> (&'static str, &'static str) {
    match part {
        Part::Barrier => ("1.6", ""),
        Part::Membrane => ("4", "1.5 1.5"),
        Part::Channel => ("2", ""),
        _ => ("3.4", ""),
    }
}

/// A piece: a filled outline, or the line of a thin sheet just behind that which water runs on.
fn drawn(piece: &Shown, scale: &Scale) -> Markup {
    let dashes = if piece.unsure.is_some() { "5 4" } else { "" };
    html! {
        @if piece.part.is_sheet() {
            (stroke(piece.part, &points_moved(&piece.line, scale, (-2.6, 2.6))))
        } @else if piece.part == Part::Closure {
            polygon points=(points(&piece.outline, scale)) fill="#000" stroke="#000" stroke-width="2" {}
        } @else {
            polygon points=(points(&piece.outline, scale)) fill=(format!("url(#fill-{})", fill(piece.part))) stroke="#000" stroke-width="1.2" stroke-dasharray=(dashes) {}
        }
    }
}

fn stroke(part: Part, points: &str) -> Markup {
    let (wide, dashes) = pen(part);
    html! {
        polyline points=(points) fill="none" stroke="#fff" stroke-width="5" {}
        polyline points=(points) fill="none" stroke="#000" stroke-width=(wide) stroke-dasharray=(dashes) {}
    }
}

/// Breaks where the picture ends and the wall, the work or the ground does not.
fn cuts(section: &CrossSection, scale: &Scale) -> Markup {
    let ends = |side: &dyn Fn(&Point) -> bool| {
        section.pieces.iter().flat_map(|p| &p.outline).filter(|p| side(p)).copied().collect::<Vec<Point>>()
    };
    let top = ends(&|p| p.y == section.high.y);
    let right = ends(&|p| p.x == section.high.x);
    let low = ends(&|p| p.y == section.low.y);
    let reach = |list: &[Point], of: &dyn Fn(&Point) -> f64| {
        let places = list.iter().map(of);
        places.clone().reduce(f64::min).zip(places.reduce(f64::max)).filter(|(a, b)| b > a)
    };
    let (across, up) = (|p: &Point| scale.x(p.x), |p: &Point| scale.y(p.y));
    html! {
        @for (list, y) in [(top, section.high.y), (low, section.low.y)] {
            @if let Some((from, to)) = reach(&list, &across) { (zigzag(from, to, |along, off| (along, scale.y(y) + off))) }
        }
        @if let Some((from, to)) = reach(&right, &up) {
            (zigzag(from, to, |along, off| (scale.x(section.high.x) + off, along)))
        }
    }
}

/// A broken edge from one place to another; `at` turns a place along it and one off it into a point.
fn zigzag(from: f64, to: f64, at: impl Fn(f64, f64) -> (f64, f64)) -> Markup {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // some hundred pixels
    let teeth = (((to - from) / 14.0) as usize).max(1);
    let step = (to - from) / teeth as f64;
    let mut line = String::new();
    for tooth in 0..=teeth {
        let along = step.mul_add(tooth as f64, from);
        let corners: &[(f64, f64)] =
            if tooth == teeth { &[(0.0, 0.0)] } else { &[(0.0, 0.0), (0.25, -3.0), (0.75, 3.0)] };
        for (share, off) in corners {
            let (x, y) = at(step.mul_add(*share, along), *off);
            let _ = write!(line, "{x:.1},{y:.1} ");
        }
    }
    html! {
        polyline points=(line) fill="none" stroke="#fff" stroke-width="6" {}
        polyline points=(line) fill="none" stroke="#000" stroke-width="1" {}
    }
}

/// A question mark where nobody knows where something ends.
fn unsure(end: Point, scale: &Scale) -> Markup {
    let (x, y) = (scale.x(end.x), scale.y(end.y));
    html! {
        circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="9" fill="#fff" stroke="#000" stroke-dasharray="2 2" {}
        text x=(format!("{x:.1}")) y=(format!("{:.1}", y + 5.0)) text-anchor="middle" font-size="14" font-weight="bold" { "?" }
    }
}

fn points(outline: &[Point], scale: &Scale) -> String {
    points_moved(outline, scale, (0.0, 0.0))
}

fn points_moved(line: &[Point], scale: &Scale, (right, down): (f64, f64)) -> String {
    let point = |p: &Point| format!("{:.1},{:.1}", scale.x(p.x) + right, scale.y(p.y) + down);
    line.iter().map(point).collect::<Vec<_>>().join(" ")
}

/// The way of a drop: a heavy line on a white one, an arrow or a cross at its end.
fn way(drop: &Drop, scale: &Scale) -> Markup {
    let line = points(&drop.line, scale);
    let places: Vec<(f64, f64)> = drop.line.iter().map(|p| (scale.x(p.x), scale.y(p.y))).collect();
    let end = places.last().copied();
    // the arrow points the way that the drop goes
    let turn = match places[..] {
        [.., (ax, ay), (bx, by)] => (by - ay).atan2(bx - ax).to_degrees(),
        _ => 0.0,
    };
    html! {
        polyline points=(line) fill="none" stroke="#fff" stroke-width="3.4" stroke-linejoin="round" {}
        polyline points=(line) fill="none" stroke="#000" stroke-width="2.6" stroke-dasharray="1 4" stroke-linecap="round" stroke-linejoin="round" {}
        @if let Some((x, y)) = end {
            @if drop.leaves {
                path d="M-9 -6L0 0L-9 6" transform=(format!("translate({x:.1} {y:.1}) rotate({turn:.0})")) fill="none" stroke="#000" stroke-width="2.4" {}
            } @else {
                circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="8" fill="#fff" stroke="#000" stroke-width="1.4" {}
                path d=(format!("M{:.1} {:.1}l9 9m0 -9l-9 9", x - 4.5, y - 4.5)) fill="none" stroke="#000" stroke-width="2.4" {}
            }
        }
    }
}

/// A height scale at the left edge: a tick every inch or every 20 mm, longer ones numbered.
fn ruler(section: &CrossSection, scale: &Scale, units: Units) -> Markup {
    let (step, long) = match units {
        Units::Inch => (Length::inches(1), 6),
        Units::Metric => (Length::mm(20), 5),
    };
    let first = section.low.y.steps().div_euclid(step.steps()) + 1;
    let last = section.high.y.steps().div_euclid(step.steps());
    let x = LEFT - 8.0;
    html! {
        g stroke="#000" stroke-width=".8" {
            line x1=(x) x2=(x) y1=(format!("{:.1}", scale.y(section.high.y))) y2=(format!("{:.1}", scale.y(section.low.y))) {}
            @for n in first..=last {
                @let y = format!("{:.1}", scale.y(step * n));
                line x1=(if n % long == 0 { x - 7.0 } else { x - 3.0 }) x2=(x) y1=(y) y2=(y) {}
            }
        }
        @for n in (first..=last).filter(|n| n % long == 0) {
            text x=(x - 9.0) y=(format!("{:.1}", scale.y(step * n) + 4.0)) text-anchor="end" font-size="10" {
                (if units == Units::Inch { n } else { n * 20 })
            }
        }
    }
}

fn level(mark: &Mark, place: f64, scale: &Scale, right: f64) -> Markup {
    let above = mark.y > scale.top;
    let at = format!("{:.1}", scale.y(mark.y.min(scale.top)));
    let lines = wrapped(&mark.label, textwrap::Options::new(44));
    html! {
        @if above {
            // what it names lies above the picture
            path d=(format!("M{:.1} {:.1}l4 -8l4 8M{:.1} {:.1}v9", right + 10.0, place + 2.0, right + 14.0, place - 4.0)) fill="none" stroke="#000" stroke-width="1.2" {}
        } @else { path d=(format!("M{:.1} {at}H{right:.1}L{:.1} {place:.1}h6", scale.x(Length::ZERO), right + 14.0)) fill="none" stroke="#000" stroke-width=".8" stroke-dasharray="5 3" {} }
        @for (i, line) in lines.iter().enumerate() {
            text x=(format!("{:.1}", right + 23.0)) y=(format!("{:.1}", (LINE - 2.0).mul_add(i as f64, place + 4.0))) { (line) }
        }
    }
}

fn dimension_line(x: f64, top: f64, bottom: f64, number: usize) -> Markup {
    html! {
        g stroke="#000" stroke-width="1.6" fill="none" {
            path d=(format!("M{x:.1} {top:.1}V{bottom:.1}M{:.1} {top:.1}h10M{:.1} {bottom:.1}h10", x - 5.0, x - 5.0)) {}
        }
        circle cx=(format!("{x:.1}")) cy=(format!("{:.1}", f64::midpoint(top, bottom))) r="8" fill="#fff" stroke="#000" {}
        text x=(format!("{x:.1}")) y=(format!("{:.1}", f64::midpoint(top, bottom) + 4.0)) text-anchor="middle" font-weight="bold" { (number) }
    }
}

/// Where each entry of the legend stands: part, name, x, row. Rows are as long as the picture is wide.
fn legend_places(picture: &Picture) -> Vec<(Part, String, f64, usize)> {
    let shown = picture.section.pieces.iter().filter(|p| p.part.is_sheet() || !p.outline.is_empty());
    let mut parts: Vec<Part> = shown.map(|p| p.part).collect();
    parts.sort_unstable();
    parts.dedup();
    let (mut x, mut row) = (LEFT, 0);
    let mut places: Vec<(Part, String, f64, usize)> = Vec::new();
    for part in parts {
        let name = picture.name(part);
        // a letter of this size takes about six units
        let wide = 6.0_f64.mul_add(name.chars().count() as f64, 34.0).max(88.0);
        if x > LEFT && x + wide > WIDTH {
            (x, row) = (LEFT, row + 1);
        }
        places.push((part, name, x, row));
        x += wide;
    }
    places
}

fn legend(places: &[(Part, String, f64, usize)], top: f64) -> Markup {
    html! {
        @for (part, name, x, row) in places {
            @let y = (LINE + 1.0).mul_add(*row as f64, top);
            @if part.is_sheet() {
                (stroke(*part, &format!("{x:.1},{:.1} {:.1},{:.1}", y + 6.0, x + 14.0, y + 6.0)))
            } @else {
                @let inside = if *part == Part::Closure { "#000".to_owned() } else { format!("url(#fill-{})", fill(*part)) };
                rect x=(x) y=(format!("{y:.1}")) width="14" height="12" fill=(inside) stroke="#000" {}
            }
            text x=(x + 18.0) y=(format!("{:.1}", y + 10.0)) font-size="11" { (name) }
        }
    }
}

/// Moves labels down until no two are nearer than `least`; they come from the top down.
fn spread(mut places: Vec<f64>, least: f64) -> Vec<f64> {
    for i in 1..places.len() {
        places[i] = places[i].max(places[i - 1] + least);
    }
    places
}
