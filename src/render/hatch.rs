//! What parts look like on paper: plain greys and real lines, and where a name points at them.

use crate::units::Length;
use crate::wall::{CrossSection, Part, Point, Shown};
use std::fmt::Write;

/// The fill of a part, and the lines on it.
pub(super) struct Filling {
    /// A grey, or white.
    pub(super) fill: &'static str,
    lines: Lines,
}

/// Lines over a fill, so many points apart.
#[derive(Clone, Copy)]
enum Lines {
    None,
    /// Falling to the right.
    Down(f64),
    /// Rising to the right.
    Up(f64),
    /// Level.
    Level(f64),
    /// From corner to corner, as timber that is cut through.
    Corners,
}

/// How a part looks.
pub(super) fn look(part: Part) -> Filling {
    let (fill, lines) = match part {
        Part::Framing => ("#fff", Lines::Corners),
        Part::Wood => ("#d4d4d4", Lines::None),
        Part::Backing => ("#fff", Lines::Up(6.0)),
        Part::Foundation => ("#e6e6e6", Lines::None),
        Part::Foam => ("#fff", Lines::Level(4.0)),
        Part::Cladding => ("#3c3c3c", Lines::None),
        Part::Coat => ("#6e6e6e", Lines::None),
        Part::Masonry => ("#fff", Lines::Down(5.0)),
        Part::Trim | Part::Threshold => ("#8c8c8c", Lines::None),
        Part::Finish => ("#fff", Lines::Up(10.0)),
        Part::Layer(number) => match number % 4 {
            0 => ("#fff", Lines::Up(10.0)),
            1 => ("#ececec", Lines::None),
            2 => ("#fff", Lines::Down(12.0)),
            _ => ("#f6f6f6", Lines::Level(6.0)),
        },
        Part::OldSlab => ("#d8d8d8", Lines::Down(8.0)),
        Part::Closure => ("#000", Lines::None),
        Part::Fill => ("#dedede", Lines::None),
        Part::BesideFoundation | Part::Ground => ("#f0f0f0", Lines::None),
        Part::EndDam => ("none", Lines::None),
        _ => ("#fff", Lines::None),
    };
    Filling { fill, lines }
}

impl Filling {
    /// The lines inside an outline.
    pub(super) fn strokes(&self, outline: &[(f64, f64)]) -> String {
        let mut out = String::new();
        match self.lines {
            Lines::None => {}
            Lines::Down(apart) => hatched(outline, apart, |(x, y)| x - y, &mut out),
            Lines::Up(apart) => hatched(outline, apart, |(x, y)| x + y, &mut out),
            Lines::Level(apart) => hatched(outline, apart, |(_, y)| y, &mut out),
            Lines::Corners => {
                let fold =
                    |of: fn(&(f64, f64)) -> f64, better: fn(f64, f64) -> f64| outline.iter().map(of).reduce(better);
                let bounds = fold(|p| p.0, f64::min).zip(fold(|p| p.0, f64::max));
                let heights = fold(|p| p.1, f64::min).zip(fold(|p| p.1, f64::max));
                if let (Some((left, right)), Some((top, bottom))) = (bounds, heights) {
                    let _ = write!(
                        out,
                        "M{left:.1} {top:.1}L{right:.1} {bottom:.1}M{right:.1} {top:.1}L{left:.1} {bottom:.1}"
                    );
                }
            }
        }
        out
    }
}

/// Lines along which `of` is the same, clipped to an outline.
fn hatched(outline: &[(f64, f64)], apart: f64, of: impl Fn((f64, f64)) -> f64, out: &mut String) {
    let values: Vec<f64> = outline.iter().map(|p| of(*p)).collect();
    let (Some(low), Some(high)) = (values.iter().copied().reduce(f64::min), values.iter().copied().reduce(f64::max))
    else {
        return;
    };
    let mut at = (low / apart).ceil() * apart + apart * 0.37;
    while at < high {
        let mut crossings: Vec<(f64, f64)> = Vec::new();
        for (i, a) in outline.iter().enumerate() {
            let j = (i + 1) % outline.len();
            let (from, to, b) = (values[i], values[j], outline[j]);
            if (from > at) != (to > at) {
                let share = (at - from) / (to - from);
                crossings.push((a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share));
            }
        }
        crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in crossings.chunks_exact(2) {
            let _ = write!(out, "M{:.1} {:.1}L{:.1} {:.1}", pair[0].0, pair[0].1, pair[1].0, pair[1].1);
        }
        at += apart;
    }
}

/// From where to where an outline reaches on an upright line: the widest stretch.
pub(super) fn span_at(outline: &[(f64, f64)], x: f64) -> Option<(f64, f64)> {
    let mut crossings: Vec<f64> = Vec::new();
    for (i, a) in outline.iter().enumerate() {
        let b = outline[(i + 1) % outline.len()];
        if (a.0 > x) != (b.0 > x) {
            crossings.push(a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0));
        }
    }
    crossings.sort_by(f64::total_cmp);
    let spans = crossings.chunks_exact(2).map(|pair| (pair[0], pair[1]));
    spans.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
}

/// Where the name of a part points, and whether it stands above the picture.
pub(super) struct Spot {
    /// The place.
    pub(super) at: Point,
    /// Whether the part reaches the upper edge, so that its name stands above.
    pub(super) above: bool,
}

/// A place in a part at which it can be seen.
pub(super) fn spot(piece: &Shown, section: &CrossSection) -> Option<Spot> {
    let middle = |a: Length, b: Length| Length::from_steps(i64::midpoint(a.steps(), b.steps()));
    let tenth = Length::from_steps((section.high.y - section.low.y).steps() / 24);
    if piece.part.is_sheet() {
        let line = &piece.line;
        let (first, last) = (line.first()?, line.last()?);
        if first.y >= section.high.y {
            return Some(Spot { at: Point { x: first.x, y: section.high.y - tenth }, above: true });
        }
        // on its leg, or in the middle of a floor
        let next = line.get(1).unwrap_or(last);
        return Some(Spot { at: Point { x: middle(first.x, next.x), y: middle(first.y, next.y) }, above: false });
    }
    let fold =
        |of: fn(&Point) -> Length, better: fn(Length, Length) -> Length| piece.outline.iter().map(of).reduce(better);
    let (left, right) = (fold(|p| p.x, Length::min)?, fold(|p| p.x, Length::max)?);
    let (low, high) = (fold(|p| p.y, Length::min)?, fold(|p| p.y, Length::max)?);
    let x = match piece.part {
        // the work lies over it nearer the wall
        Part::Ground => left + Length::from_steps((right - left).steps() * 9 / 10),
        _ => middle(left, right),
    };
    if high >= section.high.y {
        return Some(Spot { at: Point { x, y: section.high.y - tenth }, above: true });
    }
    let y = if low <= section.low.y { (section.low.y + tenth).min(high) } else { middle(low, high) };
    Some(Spot { at: Point { x, y }, above: false })
}
