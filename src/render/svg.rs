//! A section as SVG, to scale, readable in black and white.
#![allow(clippy::cast_precision_loss)] // counts of labels, as pixels

use crate::sheet::Picture;
use crate::units::{Length, Units};
use crate::wall::{Drop, Part, Point, Section, Status};
use maud::{Markup, PreEscaped, html};

const WIDTH: f64 = 760.0;
const LEFT: f64 = 46.0;
const LABELS: f64 = 330.0;
const TOP: f64 = 14.0;
const LINE: f64 = 15.0;

struct Scale {
    per_inch: f64,
    low: Point,
    high: Point,
}

impl Scale {
    fn x(&self, x: Length) -> f64 {
        LEFT + (x - self.low.x).as_inches() * self.per_inch
    }

    fn y(&self, y: Length) -> f64 {
        TOP + (self.high.y - y).as_inches() * self.per_inch
    }
}

/// One picture.
#[must_use]
pub fn svg(picture: &Picture) -> String {
    // by this wallfoot knows its own pictures; within a page the page has the mark
    markup(picture).into_string().replacen("</title>", "</title><metadata>wallfoot</metadata>", 1)
}

pub(super) fn markup(picture: &Picture) -> Markup {
    let Picture { section, title, units, .. } = picture;
    let (wide, tall) = ((section.high.x - section.low.x).as_inches(), (section.high.y - section.low.y).as_inches());
    let room = WIDTH - LEFT - LABELS;
    // both axes have the same scale
    let per_inch = (room / wide).min(620.0 / tall);
    let scale = Scale { per_inch, low: section.low, high: section.high };
    let right = scale.x(section.high.x);
    let bottom = scale.y(section.low.y);
    let places = spread(section.marks.iter().map(|m| scale.y(m.y)).collect(), 2.0 * LINE);
    let marks_end = places.last().map_or(TOP, |y| y + LINE);
    let dimensions_top = marks_end.max(bottom) + 24.0;
    let legend_top = dimensions_top + LINE * 1.0_f64.mul_add(section.dimensions.len() as f64, 0.5);
    let legend_at = legend_places(picture);
    let rows = legend_at.last().map_or(0, |(.., row)| *row);
    let height = (LINE + 1.0).mul_add(rows as f64, legend_top) + if picture.drop_note.is_some() { 58.0 } else { 44.0 };
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {height:.0}")) role="img" aria-label=(title) font-family="Helvetica, Arial, sans-serif" font-size="12" {
            title { (title) }
            defs { @for part in PARTS { (pattern(part)) } }
            rect x="0" y="0" width=(WIDTH) height=(format!("{height:.0}")) fill="#fff" {}
            @for piece in &section.pieces {
                polygon points=(points(&piece.outline, &scale)) fill=(format!("url(#{})", id(piece.part))) stroke="#000" stroke-width="1.2" {}
            }
            @if let Some(drop) = &section.drop { (way(drop, &scale)) }
            (ruler(section, &scale, *units))
            @for (mark, place) in section.marks.iter().zip(&places) {
                (level(mark.y, &mark.label, *place, &scale, right))
            }
            @for (i, dimension) in section.dimensions.iter().enumerate() {
                @let x = scale.x(Length::inches(5 + 7 * i64::try_from(i).unwrap_or(0))).min(right - 8.0);
                (dimension_line(x, scale.y(dimension.to), scale.y(dimension.from), i + 1))
                text x=(LEFT) y=(format!("{:.1}", LINE.mul_add(i as f64, dimensions_top))) font-weight=(if dimension.status == Status::Fails { "bold" } else { "normal" }) {
                    (i + 1) ". " (dimension.label)
                }
            }
            (legend(picture, &legend_at, legend_top))
            @if let Some(note) = &picture.drop_note {
                text x=(LEFT) y=(format!("{:.1}", height - 20.0)) font-size="10.5" { (note) }
            }
            text x=(LEFT) y=(format!("{:.1}", height - 6.0)) font-size="10.5" { (picture.scale_note) }
        }
    }
}

const PARTS: [Part; 8] = [
    Part::Framing,
    Part::Sheathing,
    Part::Cladding,
    Part::Masonry,
    Part::Foundation,
    Part::Feature,
    Part::Ground,
    Part::Threshold,
];

fn id(part: Part) -> &'static str {
    match part {
        Part::Framing => "framing",
        Part::Sheathing => "sheathing",
        Part::Cladding => "cladding",
        Part::Masonry => "masonry",
        Part::Foundation => "foundation",
        Part::Feature => "feature",
        Part::Ground => "ground",
        Part::Threshold => "threshold",
    }
}

/// A fill that survives a photocopier.
fn pattern(part: Part) -> Markup {
    let strokes = match part {
        Part::Framing => "<path d='M0 0L8 8M8 0L0 8' stroke='#000' stroke-width='.5'/>",
        Part::Sheathing => "<path d='M0 4H8' stroke='#000' stroke-width='1'/>",
        Part::Cladding => "<rect width='8' height='8' fill='#000'/>",
        Part::Masonry => "<path d='M0 .5H8M0 4.5H8M2 .5V4.5M6 4.5V8' stroke='#000' stroke-width='.8'/>",
        Part::Foundation => "<circle cx='2' cy='2' r='.7'/><circle cx='6' cy='6' r='.7'/>",
        Part::Feature => "<path d='M0 8L8 0' stroke='#000' stroke-width='1.1'/>",
        Part::Ground => "<path d='M1 6L3 3M5 7L7 4' stroke='#000' stroke-width='.6'/>",
        Part::Threshold => "<rect width='8' height='8' fill='#777'/>",
    };
    html! {
        pattern id=(id(part)) width="8" height="8" patternUnits="userSpaceOnUse" {
            rect width="8" height="8" fill="#fff" {}
            (PreEscaped(strokes))
        }
    }
}

fn points(outline: &[Point], scale: &Scale) -> String {
    outline.iter().map(|p| format!("{:.1},{:.1}", scale.x(p.x), scale.y(p.y))).collect::<Vec<_>>().join(" ")
}

/// The way of a drop: a heavy line on a white one, an arrow or a cross at its end.
fn way(drop: &Drop, scale: &Scale) -> Markup {
    let line = points(&drop.line, scale);
    let end = drop.line.last().map(|p| (scale.x(p.x), scale.y(p.y)));
    html! {
        polyline points=(line) fill="none" stroke="#fff" stroke-width="6" stroke-linejoin="round" {}
        polyline points=(line) fill="none" stroke="#000" stroke-width="2.6" stroke-dasharray="1 4" stroke-linecap="round" stroke-linejoin="round" {}
        @if let Some((x, y)) = end {
            @if drop.outside {
                path d=(format!("M{:.1} {:.1}L{:.1} {y:.1}L{:.1} {:.1}", x - 9.0, y - 6.0, x, x - 9.0, y + 6.0)) fill="none" stroke="#000" stroke-width="2.4" {}
            } @else {
                circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="8" fill="#fff" stroke="#000" stroke-width="1.4" {}
                path d=(format!("M{:.1} {:.1}l9 9m0 -9l-9 9", x - 4.5, y - 4.5)) fill="none" stroke="#000" stroke-width="2.4" {}
            }
        }
    }
}

/// A height scale at the left edge: a tick every inch or every 20 mm, longer ones numbered.
fn ruler(section: &Section, scale: &Scale, units: Units) -> Markup {
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

fn level(y: Length, label: &str, place: f64, scale: &Scale, right: f64) -> Markup {
    let at = format!("{:.1}", scale.y(y));
    let lines = textwrap::wrap(label, 44);
    html! {
        path d=(format!("M{:.1} {at}H{right:.1}L{:.1} {place:.1}h6", scale.x(Length::ZERO), right + 14.0)) fill="none" stroke="#000" stroke-width=".8" stroke-dasharray="5 3" {}
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

/// Where each entry of the legend stands: part, x, row. Rows are as long as the picture is wide.
fn legend_places(picture: &Picture) -> Vec<(Part, f64, usize)> {
    let mut parts: Vec<Part> = picture.section.pieces.iter().map(|p| p.part).collect();
    parts.sort_unstable();
    parts.dedup();
    let (mut x, mut row) = (LEFT, 0);
    let place = |part: Part| {
        // a letter of this size takes about six units
        let wide = 6.0_f64.mul_add(picture.name(part).chars().count() as f64, 34.0).max(88.0);
        if x > LEFT && x + wide > WIDTH {
            (x, row) = (LEFT, row + 1);
        }
        let at = (part, x, row);
        x += wide;
        at
    };
    parts.into_iter().map(place).collect()
}

fn legend(picture: &Picture, places: &[(Part, f64, usize)], top: f64) -> Markup {
    html! {
        @for (part, x, row) in places {
            @let y = (LINE + 1.0).mul_add(*row as f64, top);
            rect x=(x) y=(format!("{y:.1}")) width="14" height="12" fill=(format!("url(#{})", id(*part))) stroke="#000" {}
            text x=(x + 18.0) y=(format!("{:.1}", y + 10.0)) font-size="11" { (picture.name(*part)) }
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
