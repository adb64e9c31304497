//! Lines and outlines cut off at the frame of a picture.

use super::piece::Point;
use crate::units::Length;

/// The four sides of a frame: whether a point lies inside, and where a line crosses it.
#[derive(Clone, Copy)]
enum Border {
    Left(Length),
    Right(Length),
    Bottom(Length),
    Top(Length),
}

impl Border {
    fn holds(self, at: Point) -> bool {
        match self {
            Border::Left(x) => at.x >= x,
            Border::Right(x) => at.x <= x,
            Border::Bottom(y) => at.y >= y,
            Border::Top(y) => at.y <= y,
        }
    }

    /// Where a line between a point inside and one outside meets it.
    fn meets(self, a: Point, b: Point) -> Point {
        match self {
            Border::Left(x) | Border::Right(x) => Point { x, y: between(a.y, b.y, x - a.x, b.x - a.x) },
            Border::Bottom(y) | Border::Top(y) => Point { x: between(a.x, b.x, y - a.y, b.y - a.y), y },
        }
    }
}

/// `a` and that share of the way to `b`.
fn between(a: Length, b: Length, part: Length, whole: Length) -> Length {
    if whole == Length::ZERO {
        return a;
    }
    let along = i128::from((b - a).steps()) * i128::from(part.steps()) / i128::from(whole.steps());
    a + Length::from_steps(i64::try_from(along).unwrap_or(0))
}

fn borders(low: Point, high: Point) -> [Border; 4] {
    [Border::Left(low.x), Border::Right(high.x), Border::Bottom(low.y), Border::Top(high.y)]
}

/// An outline as far as it lies inside; nothing of one that lies outside. (The algorithm is that of Sutherland and
/// Hodgman, 1974: one side of the frame after the other.)
pub(super) fn clip_outline(outline: &[Point], low: Point, high: Point) -> Vec<Point> {
    let mut kept = outline.to_vec();
    for border in borders(low, high) {
        let Some(mut before) = kept.last().copied() else { break };
        let mut next = Vec::with_capacity(kept.len() + 2);
        for at in kept {
            if border.holds(at) != border.holds(before) {
                next.push(border.meets(before, at));
            }
            if border.holds(at) {
                next.push(at);
            }
            before = at;
        }
        next.dedup();
        kept = next;
    }
    if kept.len() < 3 { Vec::new() } else { kept }
}

/// A line as far as it lies inside, from where it first comes in to where it first leaves.
pub(super) fn clip_line(line: &[Point], low: Point, high: Point) -> Vec<Point> {
    let inside = |at: Point| borders(low, high).iter().all(|border| border.holds(at));
    let mut kept: Vec<Point> = Vec::with_capacity(line.len());
    for pair in line.windows(2) {
        let Some((from, to)) = clip_part(pair[0], pair[1], low, high) else {
            if kept.is_empty() {
                continue;
            }
            break;
        };
        if kept.last() != Some(&from) {
            kept.push(from);
        }
        if to != from {
            kept.push(to);
        }
        if !inside(pair[1]) {
            break;
        }
    }
    kept
}

/// The part of one straight line that lies inside.
fn clip_part(mut from: Point, mut to: Point, low: Point, high: Point) -> Option<(Point, Point)> {
    for border in borders(low, high) {
        match (border.holds(from), border.holds(to)) {
            (false, false) => return None,
            (false, true) => from = border.meets(to, from),
            (true, false) => to = border.meets(from, to),
            (true, true) => {}
        }
    }
    Some((from, to))
}
