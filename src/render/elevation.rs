//! A wall from outside as SVG, in black and white, of a width that fills a page. Heights are drawn larger than lengths where
//! the wall is long, and the picture says by how much.
//!
//! Plain enough for any reader of SVG: real lines, no patterns, no style sheet, text as text.
#![allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)] // counts and steps, as points and back

use super::face::Face;
use super::labels::tied;
use crate::flow::fill;
use crate::sheet::ElevationPicture;
use crate::units::{Elevation, Length};
use crate::wall::{FinishState, Line, Lying, RunHole, RunKind, RunLine, RunView};
use maud::{Markup, html};
use std::fmt::Write;

/// The width of a page between its margins, points.
const WIDE: f64 = 510.0;
const EDGE: f64 = 4.0;
/// Where the wall begins, and the most room that it takes.
const LEFT: f64 = 62.0;
const ROOM: f64 = 296.0;
/// How high the stretch of heights is drawn, at most and as far as it may be stretched.
const TALL: f64 = 150.0;
const TALLEST: f64 = 230.0;
/// The most that heights are stretched.
const MOST_TIMES: f64 = 12.0;
const LEADING: f64 = 11.0;
const TEXT: Face = Face { size: 9.0, bold: false };
const BOLD: Face = Face { size: 9.0, bold: true };
const SMALL: Face = Face { size: 8.5, bold: false };
const TITLE: Face = Face { size: 10.5, bold: true };

/// A text with its place: the left end, middle or right end of its first line.
struct Words {
    x: f64,
    y: f64,
    anchor: &'static str,
    face: Face,
    lines: Vec<String>,
}

impl Words {
    fn new(x: f64, y: f64, anchor: &'static str, face: Face, lines: Vec<String>) -> Words {
        Words { x, y, anchor, face, lines }
    }

    fn wide(&self) -> f64 {
        self.lines.iter().map(|line| self.face.width(line)).fold(0.0, f64::max)
    }

    fn tall(&self) -> f64 {
        self.lines.len() as f64 * LEADING
    }

    fn area(&self) -> Field {
        let wide = self.wide();
        let left = match self.anchor {
            "end" => self.x - wide,
            "middle" => self.x - wide / 2.0,
            _ => self.x,
        };
        let top = self.y - self.face.size;
        Field { left, right: left + wide, top, bottom: top + self.tall() }
    }

    /// Moved so that nothing of it lies beside the picture.
    fn within(mut self) -> Words {
        let area = self.area();
        self.x += (EDGE - area.left).max(0.0) - (area.right - (WIDE - EDGE)).max(0.0);
        self
    }
}

/// A rectangle.
#[derive(Clone, Copy)]
struct Field {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Field {
    fn meets(&self, other: &Field) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }
}

/// The picture while it is laid out.
struct Canvas<'p> {
    picture: &'p ElevationPicture,
    view: &'p RunView,
    /// Points for an inch along the wall, and up it.
    along: f64,
    up: f64,
    /// How many times larger heights are drawn; nothing where lengths are not to scale.
    times: Option<f64>,
    /// The top and the foot of the wall.
    top: f64,
    foot: f64,
    /// Whether what is in the wall has numbers, for want of room.
    numbered: bool,
    words: Vec<Words>,
    shapes: Vec<Markup>,
}

/// A wall from outside.
#[must_use]
pub fn elevation_svg(picture: &ElevationPicture) -> String {
    // by this wallfoot knows its own pictures; within a page the page has the mark
    elevation_markup(picture).into_string().replacen("</title>", "</title><metadata>wallfoot</metadata>", 1)
}

/// The same for within a page.
pub(super) fn elevation_markup(picture: &ElevationPicture) -> Markup {
    let mut sheet = Canvas::of(picture);
    let tall = sheet.lay_out();
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDE} {tall:.0}")) role="img" aria-label=(picture.alt()) font-family="Liberation Sans, Helvetica, Arial, sans-serif" font-size=(TEXT.size) {
            title { (picture.title) }
            desc { (picture.alt()) }
            rect x="0" y="0" width=(WIDE) height=(format!("{tall:.0}")) fill="#fff" {}
            @for shape in &sheet.shapes { (shape) }
            @for words in &sheet.words { (lettered(words)) }
        }
    }
}

fn lettered(words: &Words) -> Markup {
    html! {
        @for (number, line) in words.lines.iter().enumerate() {
            text x=(format!("{:.1}", words.x)) y=(format!("{:.1}", LEADING.mul_add(number as f64, words.y))) text-anchor=(words.anchor) font-size=(words.face.size) font-weight=(if words.face.bold { "bold" } else { "normal" }) { (line) }
        }
    }
}

fn stroke(path: &str, width: f64, dashes: Option<&str>) -> Markup {
    html! { path d=(path) fill="none" stroke="#000" stroke-width=(width) stroke-dasharray=[dashes] {} }
}

impl<'p> Canvas<'p> {
    fn of(picture: &'p ElevationPicture) -> Canvas<'p> {
        let view = &picture.view;
        let wide = (view.right - view.left).as_inches().max(1.0);
        let tall = view.high.above(view.low).as_inches().max(1.0);
        let mut along = ROOM / wide;
        let times = (TALL / tall / along).floor().clamp(1.0, MOST_TIMES);
        if along * tall > TALLEST {
            along = TALLEST / tall;
        }
        let (up, times) = if view.length.is_some() {
            (along * times, Some(times))
        } else {
            ((TALL / tall).min(along * MOST_TIMES), None)
        };
        Canvas {
            picture,
            view,
            along,
            up,
            times,
            top: 0.0,
            foot: 0.0,
            numbered: false,
            words: Vec::new(),
            shapes: Vec::new(),
        }
    }

    fn x(&self, at: Length) -> f64 {
        (at - self.view.left).as_inches().mul_add(self.along, LEFT)
    }

    fn right(&self) -> f64 {
        self.x(self.view.right)
    }

    /// The place of a height; the highest line lies a little below the top, where openings reach up to.
    fn y(&self, height: Elevation) -> f64 {
        const ABOVE: f64 = 26.0;
        self.view.high.above(height).as_inches().mul_add(self.up, self.top + ABOVE)
    }

    fn lay_out(&mut self) -> f64 {
        const BELOW: f64 = 14.0;
        let title = TITLE.lines(&self.picture.title, WIDE - 2.0 * EDGE);
        self.words.push(Words::new(EDGE, EDGE + TITLE.size, "start", TITLE, title));
        self.top = self.hole_names(EDGE + TITLE.size + 8.0);
        self.foot = self.y(self.view.low) + BELOW;
        self.wall();
        self.hatch();
        for hole in &self.view.holes {
            self.hole(hole);
        }
        for line in &self.view.lines {
            self.line(line);
        }
        self.bends();
        let labels = self.line_names();
        let mut below = (self.foot + 6.0).max(labels + 3.0);
        below = self.chalk(below);
        below = self.stretches(below);
        below = self.dimension(below);
        below = self.texts(below);
        below + EDGE
    }

    /// What is in the wall, named above it in the order of its places, each label moved aside as far as its neighbours need.
    /// Where there is no room for all, numbers stand there, and the names below the picture. The top of the wall.
    fn hole_names(&mut self, top: f64) -> f64 {
        const APART: f64 = 6.0;
        const LEADER: f64 = 12.0;
        const NAME: f64 = 82.0;
        let view = self.view;
        let mut order: Vec<usize> = (0..view.holes.len()).collect();
        order.sort_by_key(|number| view.holes[*number].from + view.holes[*number].to);
        let label = |number: usize| {
            let label = &self.picture.holes[number];
            let texts = [Some(&label.name), label.height.as_ref(), Some(&label.place)];
            let lines = texts.into_iter().flatten().flat_map(|text| SMALL.lines(text, NAME)).collect();
            Words::new(0.0, 0.0, "middle", SMALL, lines)
        };
        let mut labels: Vec<Words> = order.iter().map(|number| label(*number)).collect();
        let room = WIDE - 2.0 * EDGE;
        self.numbered = labels.iter().map(|words| words.wide() + APART).sum::<f64>() > room;
        if self.numbered {
            labels = order
                .iter()
                .map(|number| Words::new(0.0, 0.0, "middle", BOLD, vec![(number + 1).to_string()]))
                .collect();
        }
        let tall = labels.iter().map(Words::tall).fold(0.0, f64::max);
        let places: Vec<f64> = order
            .iter()
            .map(|number| f64::midpoint(self.x(view.holes[*number].from), self.x(view.holes[*number].to)))
            .collect();
        // from the left: as near to its place as those before it allow; then back from the right edge
        let mut lefts: Vec<f64> = Vec::new();
        let mut end = EDGE;
        for (x, words) in places.iter().zip(&labels) {
            let left = (x - words.wide() / 2.0).max(end);
            end = left + words.wide() + APART;
            lefts.push(left);
        }
        let mut start = WIDE - EDGE;
        for (left, words) in lefts.iter_mut().zip(&labels).rev() {
            *left = left.min(start - words.wide());
            start = *left - APART;
        }
        let foot = if labels.is_empty() { top } else { top + tall + LEADER };
        for ((x, left), mut words) in places.into_iter().zip(lefts).zip(labels) {
            let right = left + words.wide();
            words.x = f64::midpoint(left, right);
            words.y = foot - LEADER - words.tall() + words.face.size;
            let knee = x.clamp(left + 2.0, (right - 2.0).max(left + 2.0));
            let line = format!("M{knee:.1} {:.1}L{x:.1} {foot:.1}", foot - LEADER + 2.0);
            self.shapes.push(stroke(&line, 0.5, None));
            self.words.push(words);
        }
        foot
    }

    /// The edges of the stretch of wall: the ends of the work, and where the wall goes on.
    fn wall(&mut self) {
        let (from, to) = (self.x(Length::ZERO), self.x(self.view.end()));
        let ends = format!("M{from:.1} {:.1}V{:.1}", self.top, self.foot);
        self.shapes.push(stroke(&ends, 0.8, None));
        if self.view.length.is_some() {
            self.shapes.push(stroke(&format!("M{to:.1} {:.1}V{:.1}", self.top, self.foot), 0.8, None));
        } else {
            // cut off, since nobody knows where it ends
            let mut path = format!("M{to:.1} {:.1}", self.top);
            let teeth = ((self.foot - self.top) / 8.0).floor().max(2.0);
            let step = (self.foot - self.top) / teeth / 2.0;
            for tooth in 0..(teeth as usize) {
                let side = if tooth % 2 == 0 { 3.0 } else { -3.0 };
                let _ = write!(path, "l{side} {step:.2}l{:.1} {step:.2}", -side);
            }
            self.shapes.push(stroke(&path, 0.8, None));
        }
    }

    /// Where the exit is covered: upright lines from what covers it down to it.
    fn hatch(&mut self) {
        const APART: f64 = 3.0;
        let view = self.view;
        let (Some(front), Some(exit)) = (&view.front, view.line(RunKind::Exit)) else { return };
        let mut path = String::new();
        for stretch in view.stretches.iter().filter(|stretch| stretch.lying == Lying::Covered) {
            let (from, to) = (self.x(stretch.from), self.x(stretch.to));
            let count = ((to - from) / APART).ceil().max(1.0) as i64;
            for n in 0..=count {
                let at = stretch.from + Length::from_steps((stretch.to - stretch.from).steps() / count * n);
                let _ = write!(path, "M{:.1} {:.1}V{:.1}", self.x(at), self.y(front.at(at)), self.y(exit.line.at(at)));
            }
        }
        if !path.is_empty() {
            self.shapes.push(stroke(&path, 0.6, None));
        }
    }

    /// Where something in the wall is drawn: as wide as it is, and as far as it is known to reach.
    fn hole_area(&self, hole: &RunHole) -> Field {
        const LEAST: f64 = 5.0;
        const FAR: f64 = 20.0;
        let (from, to) = (self.x(hole.from), self.x(hole.to));
        let (middle, half) = (f64::midpoint(from, to), (to - from).max(LEAST) / 2.0);
        let (top, bottom) = match hole.edge.map(|edge| self.y(edge)) {
            None => (self.top, self.top + FAR),
            Some(edge) if hole.sunk => (edge, (edge + FAR).min(self.foot)),
            Some(edge) => (self.top, edge),
        };
        Field { left: middle - half, right: middle + half, top, bottom }
    }

    /// Whether an area lies on the hatching.
    fn hatched(&self, area: &Field) -> bool {
        let (Some(front), Some(exit)) = (&self.view.front, self.view.line(RunKind::Exit)) else { return false };
        let covered = self.view.stretches.iter().filter(|stretch| stretch.lying == Lying::Covered);
        covered.into_iter().any(|stretch| {
            // at both edges of the area and in its middle, as far as the stretch reaches
            let edges = [area.left, area.right, f64::midpoint(area.left, area.right)];
            edges.into_iter().any(|x| {
                let at = self.back(x);
                let inside = at >= stretch.from && at <= stretch.to;
                inside && self.y(front.at(at)) < area.bottom && area.top < self.y(exit.line.at(at))
            })
        })
    }

    /// The distance along the wall of a place in the picture.
    fn back(&self, x: f64) -> Length {
        let share = ((x - LEFT) / (self.right() - LEFT) * (self.view.right - self.view.left).steps() as f64) as i64;
        self.view.left + Length::from_steps(share)
    }

    /// Something in the wall, from its lowest edge up to the top of the picture; its other edge is not known.
    fn hole(&mut self, hole: &RunHole) {
        let area = self.hole_area(hole);
        let (from, to) = (area.left, area.right);
        let middle = f64::midpoint(from, to);
        let (top, foot) = (self.top, self.foot);
        let Some(edge) = hole.edge else {
            let end = area.bottom;
            self.shapes.push(stroke(&format!("M{from:.1} {top:.1}V{end:.1}M{to:.1} {top:.1}V{end:.1}"), 1.0, None));
            self.shapes.push(stroke(&format!("M{from:.1} {end:.1}H{to:.1}"), 1.0, Some("2 2")));
            self.words.push(Words::new(middle, end - 6.0, "middle", BOLD, vec!["?".to_owned()]));
            return;
        };
        let at = self.y(edge);
        if at < top + 2.0 {
            // higher than the picture reaches
            self.arrow_up(middle, top + 4.0);
        } else if at > foot - 2.0 {
            self.shapes.push(stroke(
                &format!("M{middle:.1} {:.1}V{:.1}m-3 -5l3 5l3 -5", foot - 14.0, foot - 2.0),
                1.0,
                None,
            ));
        } else {
            let end = if hole.sunk { area.bottom } else { top };
            let path = format!("M{from:.1} {end:.1}V{at:.1}H{to:.1}V{end:.1}");
            self.shapes.push(html! { path d=(path) fill="#fff" stroke="#000" stroke-width="1.1" {} });
            // it goes on
            self.shapes.push(stroke(&format!("M{from:.1} {end:.1}H{to:.1}"), 0.8, Some("3 2")));
            if hole.sunk {
                self.shapes.push(stroke(&format!("M{middle:.1} {top:.1}V{at:.1}"), 0.5, Some("1 2")));
            }
        }
    }

    fn arrow_up(&mut self, x: f64, y: f64) {
        self.shapes.push(stroke(&format!("M{x:.1} {:.1}V{y:.1}m-3 5l3 -5l3 5", y + 12.0), 1.0, None));
    }

    /// The places where a line is drawn from and to, with its bends.
    fn corners(&self, kind: RunKind, line: &Line) -> Vec<(f64, f64)> {
        let (from, to) = match kind {
            // the work is no longer than the work
            RunKind::Finish | RunKind::Keep | RunKind::OldSurface => (Length::ZERO, self.view.end()),
            _ => (self.view.left, self.view.right),
        };
        let mut places = vec![from];
        places.extend(line.offsets().filter(|at| *at > from && *at < to));
        places.push(to);
        places.into_iter().map(|at| (self.x(at), self.y(line.at(at)))).collect()
    }

    fn line(&mut self, line: &RunLine) {
        let state = self.picture.state;
        let corners = self.corners(line.kind, &line.line);
        let (width, dashes) = match (line.kind, state) {
            (RunKind::Mark, _) => (0.9, Some("9 2 1.5 2")),
            (RunKind::Floor, _) => (0.8, Some("1 3")),
            (RunKind::Exit, _) => (1.5, None),
            (RunKind::Keep, _) if self.picture.snap => (3.0, None),
            (RunKind::Keep, _) => (1.8, Some("8 3")),
            (RunKind::Finish, FinishState::Build | FinishState::Stays) => (3.0, None),
            (RunKind::Finish, FinishState::Rejected) => (0.8, None),
            (RunKind::Finish, FinishState::Open) => (1.2, Some("6 3")),
            (RunKind::OldSurface, _) => (0.9, Some("2 2")),
            (RunKind::Ground, _) => (0.9, None),
        };
        let dashes = if line.known { dashes } else { Some("7 6") };
        let path: String = corners.iter().enumerate().fold(String::new(), |mut path, (n, (x, y))| {
            let _ = write!(path, "{}{x:.1} {y:.1}", if n == 0 { "M" } else { "L" });
            path
        });
        self.shapes.push(stroke(&path, width, dashes));
        if line.kind == RunKind::Finish && state == FinishState::Rejected {
            self.crosses(line);
        }
        if line.kind == RunKind::Ground {
            self.soil(&line.line);
        }
        if !line.known {
            self.question(line);
        }
    }

    /// Small crosses along a line that does not count.
    fn crosses(&mut self, line: &RunLine) {
        let mut path = String::new();
        let marks = self.question_places(line.kind);
        for at in self.along_work(26.0) {
            let (x, y) = (self.x(at), self.y(line.line.at(at)));
            if !line.known && marks.iter().any(|mark| (mark - x).abs() < 12.0) {
                continue;
            }
            let _ = write!(path, "M{:.1} {:.1}l5 5m0 -5l-5 5", x - 2.5, y - 2.5);
        }
        self.shapes.push(stroke(&path, 0.8, None));
    }

    /// Short strokes below the ground.
    fn soil(&mut self, line: &Line) {
        let mut path = String::new();
        for at in self.along_work(14.0) {
            let (x, y) = (self.x(at), self.y(line.at(at)));
            let _ = write!(path, "M{x:.1} {y:.1}l-4 5");
        }
        self.shapes.push(stroke(&path, 0.6, None));
    }

    /// Places along the work, so many points apart.
    fn along_work(&self, apart: f64) -> Vec<Length> {
        let end = self.view.end();
        let count = (end.as_inches() * self.along / apart).floor().max(1.0) as i64;
        (0..count).map(|n| Length::from_steps(end.steps() / (2 * count) * (2 * n + 1))).collect()
    }

    /// Where question marks stand in a line: not below each other in two lines.
    fn question_places(&self, kind: RunKind) -> [f64; 2] {
        const APART: f64 = 14.0;
        let number = self.view.lines.iter().position(|other| other.kind == kind).unwrap_or(0);
        let (from, to) = (self.x(Length::ZERO), self.x(self.view.end()));
        [0.2, 0.7].map(|part| (to - from).mul_add(part, APART.mul_add(number as f64, from)))
    }

    /// Question marks in a line that is known at one place only.
    fn question(&mut self, line: &RunLine) {
        for x in self.question_places(line.kind) {
            let y = self.y(line.line.at(Length::ZERO));
            self.shapes.push(html! { rect x=(format!("{:.1}", x - 4.5)) y=(format!("{:.1}", y - 5.5)) width="9" height="11" fill="#fff" {} });
            self.words.push(Words::new(x, y + 3.2, "middle", BOLD, vec!["?".to_owned()]));
        }
    }

    /// The heights where lines bend, as far as there is room.
    fn bends(&mut self) {
        let view = self.view;
        let paths: Vec<Vec<(f64, f64)>> = view.lines.iter().map(|l| self.corners(l.kind, &l.line)).collect();
        let mut taken: Vec<Field> = self.words.iter().map(Words::area).collect();
        taken.extend(view.holes.iter().map(|hole| self.hole_area(hole)));
        for (line, label) in view.lines.iter().zip(&self.picture.lines) {
            for (at, height) in &label.bends {
                let (x, y) = (self.x(*at), self.y(line.line.at(*at)));
                let tries = [
                    (x, y - 4.0, "middle"),
                    (x - 2.0, y - 4.0, "end"),
                    (x + 2.0, y - 4.0, "start"),
                    (x, y + 10.5, "middle"),
                    (x - 2.0, y + 10.5, "end"),
                    (x + 2.0, y + 10.5, "start"),
                ];
                let free = tries.into_iter().find_map(|(x, y, anchor)| {
                    let words = Words::new(x, y, anchor, SMALL, vec![tied(height)]);
                    let area = words.area();
                    let inside =
                        area.left > LEFT && area.right < self.right() && area.top > self.top && area.bottom < self.foot;
                    let clear = !taken.iter().any(|other| other.meets(&area))
                        && !paths.iter().any(|path| crosses(path, &area))
                        && !self.hatched(&area);
                    (inside && clear).then_some((words, area))
                });
                if let Some((words, area)) = free {
                    taken.push(area);
                    self.words.push(words);
                }
            }
        }
    }

    /// The names of the lines beside their right ends, their heights beside their left ends. Where the last one ends.
    fn line_names(&mut self) -> f64 {
        const LEADER: f64 = 16.0;
        let right = self.right();
        let view = self.view;
        let room = WIDE - EDGE - right - LEADER - 3.0;
        let heavy = |kind: RunKind| {
            kind == RunKind::Keep && self.picture.snap
                || kind == RunKind::Finish && matches!(self.picture.state, FinishState::Build | FinishState::Stays)
        };
        let mut rights: Vec<((f64, f64), Words)> = Vec::new();
        let mut lefts: Vec<((f64, f64), Words)> = Vec::new();
        for (line, label) in view.lines.iter().zip(&self.picture.lines) {
            let face = if heavy(line.kind) { BOLD } else { TEXT };
            let corners = self.corners(line.kind, &line.line);
            let (Some(first), Some(last)) = (corners.first(), corners.last()) else { continue };
            rights.push((*last, Words::new(right + LEADER + 3.0, 0.0, "start", face, face.lines(&label.right, room))));
            lefts
                .push((*first, Words::new(LEFT - 12.0, 0.0, "end", face, face.lines(&label.left, LEFT - 12.0 - EDGE))));
        }
        let mut last = 0.0_f64;
        for (list, to) in [(rights, right + LEADER), (lefts, LEFT - 9.0)] {
            for ((from, y), mut words, top) in spread(list, self.top - 10.0) {
                words.y = top + words.face.size;
                let middle = top + LEADING.min(words.tall()) / 2.0 + 0.5;
                let knee = if from < to { to - 6.0 } else { to + 5.0 };
                let start = if from < to { from + 1.0 } else { from - 1.0 };
                self.shapes.push(stroke(&format!("M{start:.1} {y:.1}L{knee:.1} {middle:.1}H{to:.1}"), 0.4, None));
                last = last.max(top + words.tall());
                self.words.push(words);
            }
        }
        last
    }

    /// The heights to chalk at their stations, below the wall.
    fn chalk(&mut self, below: f64) -> f64 {
        let Some(title) = &self.picture.chalk else { return below };
        let view = self.view;
        let lines = BOLD.lines(title, self.right().max(LEFT + ROOM) - EDGE);
        let title = Words::new(EDGE, below + BOLD.size, "start", BOLD, lines);
        let mut top = below + title.tall() + 3.0;
        self.words.push(title);
        let kind = if view.line(RunKind::Keep).is_some() { RunKind::Keep } else { RunKind::Finish };
        let line = view.line(kind).map(|line| line.line.clone());
        let mut rows: Vec<f64> = Vec::new();
        let first = top;
        for (station, label) in view.stations.iter().zip(&self.picture.stations) {
            let x = self.x(station.at);
            let height = Words::new(x, 0.0, "middle", BOLD, vec![tied(&label.height)]).within();
            let at = Words::new(x, 0.0, "middle", SMALL, vec![tied(&label.at)]).within();
            let (left, right) = (height.area().left.min(at.area().left), height.area().right.max(at.area().right));
            let row = rows.iter().position(|end| end + 5.0 < left).unwrap_or(rows.len());
            if row == rows.len() {
                rows.push(right);
            } else {
                rows[row] = right;
            }
            let y = (row as f64).mul_add(2.0 * LEADING + 3.0, first);
            top = top.max(y + 2.0 * LEADING + 3.0);
            if let Some(line) = &line {
                let from = self.y(line.at(station.at));
                self.shapes.push(stroke(&format!("M{x:.1} {from:.1}V{:.1}", self.foot), 0.5, Some("1 2")));
                self.shapes.push(html! { circle cx=(format!("{x:.1}")) cy=(format!("{from:.1}")) r="2.2" fill="#fff" stroke="#000" stroke-width="1" {} });
            }
            self.words.push(Words { y: y + BOLD.size, ..height });
            self.words.push(Words { y: y + BOLD.size + LEADING, ..at });
        }
        top + 2.0
    }

    /// Where the exit is covered or too low, with its lengths.
    fn stretches(&mut self, below: f64) -> f64 {
        const ROW: f64 = LEADING + 10.0;
        let mut top = below;
        let mut rows: Vec<f64> = Vec::new();
        for (stretch, text) in self.view.stretches.iter().zip(&self.picture.stretches) {
            let (from, to) = (self.x(stretch.from), self.x(stretch.to));
            let middle = f64::midpoint(from, to);
            let words = Words::new(middle, 0.0, "middle", SMALL, vec![tied(text)]).within();
            let (left, right) = (words.area().left.min(from), words.area().right.max(to));
            let row = rows.iter().position(|end| end + 5.0 < left).unwrap_or(rows.len());
            if row == rows.len() {
                rows.push(right);
            } else {
                rows[row] = right;
            }
            let y = ROW.mul_add(row as f64, below);
            let weight = if stretch.lying == Lying::Covered { 1.6 } else { 0.8 };
            self.shapes.push(stroke(
                &format!("M{from:.1} {:.1}v6M{to:.1} {:.1}v6M{from:.1} {:.1}H{to:.1}", y, y, y + 3.0),
                weight,
                None,
            ));
            self.words.push(Words { y: y + 7.0 + SMALL.size, ..words });
            top = top.max(y + ROW);
        }
        top
    }

    /// How long the work is.
    fn dimension(&mut self, below: f64) -> f64 {
        let (from, to) = (self.x(Length::ZERO), self.x(self.view.end()));
        let y = below + 5.0;
        let left =
            format!("M{from:.1} {:.1}v10M{from:.1} {y:.1}l5 -2.5m-5 2.5l5 2.5M{from:.1} {y:.1}H{to:.1}", y - 5.0);
        self.shapes.push(stroke(&left, 0.7, None));
        if self.view.length.is_some() {
            let right = format!("M{to:.1} {:.1}v10M{to:.1} {y:.1}l-5 -2.5m5 2.5l-5 2.5", y - 5.0);
            self.shapes.push(stroke(&right, 0.7, None));
        } else {
            self.words.push(Words::new(to + 3.0, y + 3.0, "start", BOLD, vec!["?".to_owned()]));
        }
        let lines = TEXT.lines(&self.picture.length, WIDE - 2.0 * EDGE);
        let words = Words::new(f64::midpoint(from, to), y + 6.0 + TEXT.size, "middle", TEXT, lines).within();
        let end = y + 6.0 + words.tall();
        self.words.push(words);
        end
    }

    /// What is left to say, below all else.
    fn texts(&mut self, below: f64) -> f64 {
        let picture = self.picture;
        let mut top = below + 5.0;
        let numbered = self.numbered;
        let mut paragraph = |text: &str, face: Face| {
            let words = Words::new(EDGE, top + face.size, "start", face, face.lines(text, WIDE - 2.0 * EDGE));
            top += words.tall() + 2.0;
            self.words.push(words);
        };
        for (number, hole) in (1..).zip(&picture.holes).filter(|_| numbered) {
            paragraph(&format!("{number}. {}", hole.whole()), TEXT);
        }
        if let Some((head, rest)) = picture.somewhere.split_first() {
            paragraph(&format!("{head} {}.", rest.join("; ")), TEXT);
        }
        let scale = self.times.map(|times| {
            let figure = |name: &str| (name == "times").then(|| format!("{times:.0}"));
            if times > 1.0 { fill(&picture.exaggerated, &figure) } else { picture.one_scale.clone() }
        });
        let notes: Vec<String> = scale.into_iter().chain(picture.notes.iter().cloned()).collect();
        paragraph(&notes.join(" "), SMALL);
        top
    }
}

/// Whether a line of corners passes through an area.
fn crosses(path: &[(f64, f64)], area: &Field) -> bool {
    path.windows(2).any(|pair| {
        let ((ax, ay), (bx, by)) = (pair[0], pair[1]);
        let (from, to) = (area.left.max(ax.min(bx)), area.right.min(ax.max(bx)));
        if from > to {
            return false;
        }
        let at = |x: f64| if (bx - ax).abs() < 1e-9 { by } else { (by - ay).mul_add((x - ax) / (bx - ax), ay) };
        let (low, high) = (at(from).min(at(to)), at(from).max(at(to)));
        low < area.bottom && area.top < high
    })
}

/// Labels beside places, from the top down, none over another: each with its place and its top. They come in the order of
/// their places, are moved up as far as those below need, and not beyond `least`.
fn spread(mut list: Vec<((f64, f64), Words)>, least: f64) -> Vec<((f64, f64), Words, f64)> {
    const APART: f64 = 2.0;
    list.sort_by(|((_, a), _), ((_, b), _)| a.total_cmp(b));
    let mut tops: Vec<f64> = list.iter().map(|((_, y), words)| y - LEADING.min(words.tall()) / 2.0).collect();
    // neighbours that meet share the move: half of it upwards
    for i in (1..tops.len()).rev() {
        let meets = tops[i - 1] + list[i - 1].1.tall() + APART - tops[i];
        if meets > 0.0 {
            tops[i - 1] -= meets / 2.0;
        }
    }
    let mut end = least;
    list.into_iter()
        .zip(tops)
        .map(|((place, words), top)| {
            let top = top.max(end);
            end = top + words.tall() + APART;
            (place, words, top)
        })
        .collect()
}
