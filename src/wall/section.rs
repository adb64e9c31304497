//! A section through the foot of the wall: the pieces of an assembly inside a frame, and the heights that matter.
//!
//! Nothing here knows how it will be drawn. Heights are those that were measured or planned.

use super::assembly::Assembly;
use super::body::{Body, FOUNDATION, Under};
use super::clearance::Status;
use super::clip::{clip_line, clip_outline};
use super::piece::{Part, Point};
use super::spec::Core;
use crate::units::Length;

/// A piece as far as it lies in the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// What it is.
    pub part: Part,
    /// The line that water runs on; empty for what water never reaches.
    pub line: Vec<Point>,
    /// A closed outline.
    pub outline: Vec<Point>,
    /// Where it ends for want of a measure, if nobody knows where it ends.
    pub unsure: Option<Point>,
    /// Whether it is planned at a height that is not allowed: nothing that anybody may build.
    pub rejected: bool,
}

/// Which side of something a height is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Something lies below it, as under a surface.
    Top,
    /// Something ends above it, as a cladding does.
    Underside,
}

/// What a height in a picture is to whoever builds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkKind {
    /// A height that was measured or planned.
    Known,
    /// The height to build to, or the highest that is allowed: the one that counts.
    Keep,
    /// No higher than this; what is not known yet may ask for less.
    AtMost,
    /// A height that is not allowed.
    Rejected,
    /// Nobody knows this height: it is drawn somewhere.
    Unknown,
    /// No height: the name of a part, at the place where it is told.
    Name(Point),
}

/// A height that matters, as a line with a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// The height.
    pub y: Length,
    /// Which side of what it names.
    pub side: Side,
    /// What it is.
    pub kind: MarkKind,
    /// Its name and figure.
    pub label: String,
}

/// A limit as a dimension between two heights.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dimension {
    /// The lower height.
    pub from: Length,
    /// The upper height.
    pub to: Length,
    /// What is needed, what is there, and whether that is met, in words.
    pub label: String,
    /// How it stands.
    pub status: Status,
}

/// The way of a drop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drop {
    /// Its corners, from the top down; each lies on the line of a piece, but where the frame cuts it off.
    pub line: Vec<Point>,
    /// Whether the water has left the wall; else it is held at its end.
    pub leaves: bool,
}

/// What is known of the heights. They are above the reference; what is not known is left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Heights {
    /// Top of the door threshold, if there is a door.
    pub threshold: Option<Length>,
    /// The water exit.
    pub exit: Option<Length>,
    /// Top of the finished surface at the wall.
    pub finish: Option<Length>,
    /// The ground at the wall.
    pub ground: Option<Length>,
    /// Bottom of the lowest wood.
    pub wood: Option<Length>,
}

/// What is to be seen of a wall, and how much of that is known.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct View {
    /// Which of its heights are known. A piece whose end is not known is marked so; the work is left out if its height
    /// is not known.
    pub known: Heights,
    /// Whether it is known how the wall lets its water out.
    pub foot_known: bool,
    /// What is known of the work below its surface.
    pub under: Under,
    /// Whether the work is planned at a height that is not allowed.
    pub rejected: bool,
    /// Other heights that have to be in the picture.
    pub also: Vec<Length>,
    /// What of the wall is shown, if not the heights decide it.
    pub frame: Option<Cutout>,
    /// A drop's way over the pieces, corner by corner, and whether the water has left the wall there. What only catches water, and is
    /// nothing to be seen, is shown if the drop ends there.
    pub way: Option<(Vec<(Part, Point)>, bool)>,
}

/// The corners of what is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cutout {
    /// Lower left.
    pub low: Point,
    /// Upper right.
    pub high: Point,
}

/// A section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrossSection {
    /// Pieces, those behind first.
    pub pieces: Vec<Shown>,
    /// How far out the layers lie that have to be told apart, from the left edge to the right.
    pub faces: Vec<Length>,
    /// Heights, from the top down.
    pub marks: Vec<Mark>,
    /// Limits.
    pub dimensions: Vec<Dimension>,
    /// The way of a drop, if one was followed and comes into the picture.
    pub drop: Option<Drop>,
    /// Lower left corner of what is shown.
    pub low: Point,
    /// Upper right corner of what is shown.
    pub high: Point,
}

/// How far out the picture goes, and how much it shows above and below the heights.
const OUT: Length = Length::inches(30);
const AROUND: Length = Length::inches(4);
/// What is seen below the layers of the work.
const UNDER: Length = Length::inches(2);
const COMES_IN: Length = Length::inches(3);
const BESIDE_STEPS: Length = Length::inches(14);
/// How far above and below what decides another height may lie and still be in the picture.
const REACH: Length = Length::inches(20);

impl Heights {
    fn known(&self) -> impl Iterator<Item = Length> {
        [self.threshold, self.exit, self.finish, self.ground, self.wood].into_iter().flatten()
    }
}

impl CrossSection {
    /// Frames a wall. Nothing if no height is known.
    #[must_use]
    pub fn of(wall: &Assembly<'_>, view: &View) -> Option<CrossSection> {
        let View { known, foot_known, under, way, .. } = view;
        known.known().next()?;
        let corners = way.as_ref().map_or(&[][..], |(corners, _)| corners);
        let Cutout { low, high } = view.frame.unwrap_or_else(|| frame(wall, view, corners));
        // logs end at the exit, a wall of masonry goes on into the ground
        let foot_known = *foot_known && (wall.spec.core != Core::Logs || known.exit.is_some());
        let mut pieces = Vec::new();
        let mut asked = false;
        for body in wall.bodies(under) {
            let part = body.part;
            let catches = matches!(part, Part::BesideFoundation | Part::RoofEnd);
            if catches && !corners.iter().any(|(on, _)| *on == part) {
                continue;
            }
            let inside = |at: &Point| low.x < at.x && at.x < high.x && low.y < at.y && at.y < high.y;
            let mut ends = unsure(&body, known, foot_known).filter(inside);
            if matches!(part, Part::Finish | Part::Layer(_)) {
                // one question mark is enough for all of the work
                ends = ends.filter(|_| !asked);
                asked |= ends.is_some();
            }
            let outline = clip_outline(&body.outline, low, high);
            let line = clip_line(&body.line, low, high);
            if !outline.is_empty() || !line.is_empty() {
                pieces.push(Shown { part, line, outline, unsure: ends, rejected: view.rejected && is_work(part) });
            }
        }
        let mut faces: Vec<Length> = wall.faces().into_iter().filter(|x| low.x < *x && *x < high.x).collect();
        faces.insert(0, low.x);
        faces.push(high.x);
        let drop = way.as_ref().and_then(|(corners, leaves)| drop(corners, *leaves, low, high));
        Some(CrossSection { pieces, faces, marks: Vec::new(), dimensions: Vec::new(), drop, low, high })
    }

    /// Whether a height lies in the picture.
    #[must_use]
    pub fn shows(&self, mark: &Mark) -> bool {
        self.low.y <= mark.y && mark.y <= self.high.y
    }

    /// Adds a height with its name; they are kept from the top down.
    pub fn mark(&mut self, mark: Mark) {
        self.marks.push(mark);
        self.marks.sort_by_key(|m| std::cmp::Reverse(m.y));
    }
}

/// What of a wall is shown: what decides, with the heights near it. What lies farther off has an arrow at the edge.
fn frame(wall: &Assembly<'_>, view: &View, corners: &[(Part, Point)]) -> Cutout {
    let (spec, known) = (wall.spec, &view.known);
    let core = || [spec.exit_now(), spec.finish].into_iter().chain(view.also.iter().copied());
    let fold = |list: &mut dyn Iterator<Item = Length>, of: fn(Length, Length) -> Length| list.fold(spec.finish, of);
    let (top, bottom) = (fold(&mut core(), Length::max), fold(&mut core(), Length::min));
    let near = |y: &Length| *y <= top + REACH && *y >= bottom - REACH;
    let (highest, lowest) = (
        fold(&mut core().chain(known.known().filter(near)), Length::max),
        fold(&mut core().chain(known.known().filter(near)), Length::min),
    );
    let steps = spec.steps.filter(|steps| steps.risers > 0);
    // steps go down to the ground
    let to_ground = steps.is_some() || known.ground.is_none();
    let lowest = if to_ground { lowest.min(spec.ground) } else { lowest };
    let layers = view.under.layers.iter().fold(Length::ZERO, |sum, layer| sum + *layer);
    let below = (lowest - AROUND).min(spec.finish - layers.min(REACH) - UNDER);
    // where a drop ends is never cut off
    let below = corners.last().map_or(below, |(_, end)| below.min(end.y - AROUND));
    let right = spec.steps.map_or(OUT, |s| (s.landing + s.run() + BESIDE_STEPS).max(OUT));
    Cutout { low: Point { x: -FOUNDATION, y: below }, high: Point { x: right, y: highest + AROUND } }
}

/// What is there only because of the work.
fn is_work(part: Part) -> bool {
    use Part::{Closure, Drain, Fill, Finish, Gap, Layer, Void};
    matches!(part, Finish | Layer(_) | Closure | Drain | Gap | Void | Fill)
}

/// The end of a piece that nobody knows: in the middle of its lower side, of the ground in the middle of its top.
fn unsure(body: &Body, known: &Heights, foot_known: bool) -> Option<Point> {
    let (part, outline) = (body.part, &body.outline);
    let is_known = match part {
        Part::Framing => known.wood.is_some(),
        Part::Cladding | Part::Coat => foot_known && known.exit.is_some(),
        Part::Masonry => foot_known || body.line.is_empty(),
        Part::Ground => known.ground.is_some(),
        Part::Finish | Part::Layer(_) => known.finish.is_some() || outline.is_empty(),
        _ => true,
    };
    if is_known {
        return None;
    }
    let end = if matches!(part, Part::Ground | Part::Finish | Part::Layer(_)) {
        outline.iter().map(|p| p.y).max()
    } else {
        outline.iter().map(|p| p.y).min()
    }?;
    let mut along = outline.iter().filter(|p| p.y == end).map(|p| p.x);
    let first = along.next()?;
    let last = along.next_back().unwrap_or(first);
    Some(Point { x: Length::from_steps(i64::midpoint(first.steps(), last.steps())), y: end })
}

/// The way of a drop as far as it lies in the picture.
fn drop(corners: &[(Part, Point)], leaves: bool, low: Point, high: Point) -> Option<Drop> {
    let mut line: Vec<Point> = corners.iter().map(|(_, at)| *at).collect();
    line.dedup();
    if let Some(inside) = line.iter().position(|at| at.y <= high.y) {
        // it comes in at the upper edge, down whatever it is on there
        let before = inside.checked_sub(1).filter(|before| line[*before].x == line[inside].x);
        line.drain(..before.unwrap_or(inside));
    } else {
        // it stays above the picture, on something that goes on down here
        line.drain(..line.len().saturating_sub(1));
        for at in &mut line {
            at.y = high.y - COMES_IN;
        }
    }
    let line = if line.len() > 1 { clip_line(&line, low, high) } else { line };
    line.first().copied().filter(|at| at.x <= high.x).map(|_| Drop { line, leaves })
}
