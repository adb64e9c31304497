//! A section through the foot of the wall, as geometry: what stands where, and the heights that matter.
//!
//! Nothing here knows how it will be drawn. x runs out from the outer face of the sheathing, y is the height
//! over the reference. Heights are those that were measured or planned; thicknesses of the wall are typical
//! ones, so that the picture reads as a wall.

use super::clearance::Status;
use crate::units::{Length, Slope};

/// What the outer face of the wall is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Boards, panels or shingles that overlap.
    Siding,
    /// A coat on lath: stucco, thin stone, EIFS.
    Coat,
    /// Brick or stone standing in front of a frame.
    Veneer,
    /// The wall itself is masonry.
    Masonry,
}

/// What a piece is, for its fill and its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Studs and sill.
    Framing,
    /// Boards or panels on the framing.
    Sheathing,
    /// The outer skin.
    Cladding,
    /// Brick or stone, as a veneer or as the wall itself.
    Masonry,
    /// What the wall stands on.
    Foundation,
    /// The work against the wall.
    Feature,
    /// Soil.
    Ground,
    /// The step of the door.
    Threshold,
}

/// A point: out from the sheathing, up from the reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// Out from the wall.
    pub x: Length,
    /// Up.
    pub y: Length,
}

/// A closed outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// What it is.
    pub part: Part,
    /// Its corners.
    pub outline: Vec<Point>,
}

/// A height that matters, as a line with a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// The height.
    pub y: Length,
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
    /// Its corners, from the top down.
    pub line: Vec<Point>,
    /// Whether it ends outside.
    pub outside: bool,
}

/// What the section is made from. Heights are above the reference; what is not known is left out.
#[derive(Debug, Clone, Default)]
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

/// Steps at the outer end of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stepped {
    /// Depth of the top step or landing.
    pub landing: Length,
    /// Depth of a tread.
    pub tread: Length,
    /// Number of risers from the ground to the top.
    pub risers: i64,
}

/// A section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Pieces, those behind first.
    pub pieces: Vec<Piece>,
    /// Heights, from the top down.
    pub marks: Vec<Mark>,
    /// Limits.
    pub dimensions: Vec<Dimension>,
    /// The way of a drop, if one was followed.
    pub drop: Option<Drop>,
    /// Lower left corner of what is shown.
    pub low: Point,
    /// Upper right corner of what is shown.
    pub high: Point,
}

/// A stud of dressed lumber, nominal 2x4 (PS 20, American Softwood Lumber Standard: 3-1/2 in).
const STUD: Length = Length::sixty_fourths(7 * 32);
/// Typical thicknesses, for the picture only; the sheathing is drawn thicker than it is, to be seen.
const SHEATHING: Length = Length::inches(1);
const SIDING: Length = Length::inches(1);
const VENEER_GAP: Length = Length::inches(1);
const VENEER: Length = Length::sixty_fourths(7 * 32);
const FOUNDATION: Length = Length::inches(8);
/// How far out the picture goes, and how much it shows above and below the heights.
const OUT: Length = Length::inches(36);
const ABOVE: Length = Length::inches(6);
const BELOW: Length = Length::inches(6);

impl Section {
    /// Draws the wall and the work. `fall` slopes the surface, `gap` keeps it off the wall, `depth` ends it,
    /// `steps` lead down from it to the ground. Nothing if fewer than two heights are known.
    #[must_use]
    pub fn of(
        face: Face,
        heights: &Heights,
        fall: Option<Slope>,
        gap: Length,
        depth: Option<Length>,
        steps: Option<Stepped>,
    ) -> Option<Section> {
        let known: Vec<Length> = [heights.threshold, heights.exit, heights.finish, heights.ground, heights.wood]
            .into_iter()
            .flatten()
            .collect();
        if known.len() < 2 {
            return None;
        }
        let (top, bottom) = (*known.iter().max()? + ABOVE, *known.iter().min()? - BELOW);
        let low = Point { x: -FOUNDATION, y: bottom };
        let out = steps.map_or(OUT, |s| (s.landing + s.tread * (s.risers - 1) + Length::inches(14)).max(OUT));
        let high = Point { x: out, y: top };
        let mut pieces = Vec::new();
        let masonry = face == Face::Masonry;
        let wood = heights.wood.unwrap_or(bottom).clamp(bottom, top);
        if masonry {
            pieces.push(block(Part::Masonry, -FOUNDATION, bottom, SHEATHING, top));
        } else {
            pieces.push(block(Part::Foundation, -FOUNDATION, bottom, SHEATHING, wood));
            pieces.push(block(Part::Framing, -STUD, wood, Length::ZERO, top));
            pieces.push(block(Part::Sheathing, Length::ZERO, wood, SHEATHING, top));
        }
        let (inner, outer) = match face {
            Face::Siding | Face::Coat => (SHEATHING, SHEATHING + SIDING),
            Face::Veneer => (SHEATHING + VENEER_GAP, SHEATHING + VENEER_GAP + VENEER),
            Face::Masonry => (SHEATHING, SHEATHING),
        };
        if let (Some(exit), false) = (heights.exit, masonry) {
            // a veneer stands on the foundation; its weep holes are in it, not at its end
            let foot = if face == Face::Veneer { (exit - Length::inches(3)).max(bottom) } else { exit };
            let part = if face == Face::Veneer { Part::Masonry } else { Part::Cladding };
            pieces.push(block(part, inner, foot, outer, top));
            if face == Face::Veneer {
                pieces.push(block(Part::Foundation, SHEATHING, bottom, outer, foot));
            }
        }
        // what lies at or above the foot of the cladding stands in front of it, the rest reaches the foundation
        let reaches = |surface: Length| {
            let covered = heights.exit.is_some_and(|exit| surface > exit) || face == Face::Veneer;
            if covered { outer } else { SHEATHING }
        };
        let fallen = |run: Length| fall.map_or(Length::ZERO, |f| f.over(run));
        if let Some(ground) = heights.ground {
            let from = reaches(ground);
            pieces.push(block(Part::Ground, from, bottom, out, ground));
        }
        if let Some(finish) = heights.finish {
            let from = reaches(finish) + gap;
            let to = depth.map_or(OUT, |d| (from + d).min(OUT));
            let under =
                heights.ground.map_or(finish - Length::inches(4), |g| (finish - Length::inches(4)).min(g)).max(bottom);
            let outer_top = finish - fallen(to - from);
            let outline = match (steps, heights.ground) {
                (Some(steps), Some(ground)) if steps.risers > 0 && finish > ground => {
                    stairs(from, finish, ground.max(under), under, steps)
                }
                _ => vec![
                    Point { x: from, y: under },
                    Point { x: to, y: under.min(outer_top) },
                    Point { x: to, y: outer_top },
                    Point { x: from, y: finish },
                ],
            };
            pieces.push(Piece { part: Part::Feature, outline });
        }
        if let Some(threshold) = heights.threshold {
            let lip = outer + Length::inches(1);
            pieces.push(block(Part::Threshold, -STUD, threshold - Length::inches(1), lip, threshold));
        }
        Some(Section { pieces, marks: Vec::new(), dimensions: Vec::new(), drop: None, low, high })
    }

    /// Lays the way of a drop into the picture. `line` counts x from the sheathing and y from `finish`; layers that lie
    /// within `front` of it are spread over the thickness that the picture gives the wall of this `face`.
    pub fn follow(&mut self, face: Face, line: &[Point], finish: Length, front: Length, outside: bool) {
        let outer = match face {
            Face::Siding | Face::Coat => SIDING,
            Face::Veneer => VENEER_GAP + VENEER,
            Face::Masonry => Length::ZERO,
        };
        let across = |x: Length| {
            if x >= front || front == Length::ZERO {
                return SHEATHING + outer + (x - front).max(Length::ZERO);
            }
            SHEATHING + Length::from_steps(outer.steps() * x.steps().max(0) / front.steps())
        };
        let mut line_here: Vec<Point> = Vec::new();
        for p in line {
            let mut at = Point { x: across(p.x), y: (finish + p.y).clamp(self.low.y, self.high.y) };
            if let Some(last) = line_here.last().filter(|last| at.x > self.high.x && at.x > last.x) {
                // cut off where the picture ends
                let share = (self.high.x - last.x).steps() * (at.y - last.y).steps() / (at.x - last.x).steps();
                at = Point { x: self.high.x, y: last.y + Length::from_steps(share) };
            }
            line_here.push(at);
        }
        line_here.dedup();
        let line = line_here;
        self.drop = Some(Drop { line, outside });
    }

    /// Adds a height with its name; they are kept from the top down.
    pub fn mark(&mut self, y: Length, label: String) {
        self.marks.push(Mark { y, label });
        self.marks.sort_by_key(|m| std::cmp::Reverse(m.y));
    }
}

/// The outline of a landing with steps down to the ground.
fn stairs(from: Length, finish: Length, ground: Length, under: Length, steps: Stepped) -> Vec<Point> {
    let rise = finish - ground;
    let height = |n: i64| finish - Length::from_steps(rise.steps() * n / steps.risers);
    let mut outline = vec![Point { x: from, y: under }];
    let mut x = from + steps.landing + steps.tread * (steps.risers - 1);
    outline.push(Point { x, y: under });
    for n in (0..steps.risers).rev() {
        outline.push(Point { x, y: height(n + 1) });
        outline.push(Point { x, y: height(n) });
        x = x - if n == 0 { Length::ZERO } else { steps.tread };
    }
    outline.push(Point { x: from, y: finish });
    outline
}

fn block(part: Part, left: Length, bottom: Length, right: Length, top: Length) -> Piece {
    Piece {
        part,
        outline: vec![
            Point { x: left, y: bottom },
            Point { x: right, y: bottom },
            Point { x: right, y: top },
            Point { x: left, y: top },
        ],
    }
}

impl Piece {
    /// Whether a point lies inside. Outlines are simple polygons.
    #[must_use]
    pub fn holds(&self, at: Point) -> bool {
        let (x, y) = (i128::from(at.x.steps()), i128::from(at.y.steps()));
        let mut inside = false;
        let corners = self.outline.iter().zip(self.outline.iter().cycle().skip(1));
        for (a, b) in corners {
            let (ax, ay, bx, by) =
                (i128::from(a.x.steps()), i128::from(a.y.steps()), i128::from(b.x.steps()), i128::from(b.y.steps()));
            // does the edge cross the ray that runs to the right of the point? all in whole numbers
            if (ay > y) != (by > y) {
                let left = (x - ax) * (by - ay);
                let right = (bx - ax) * (y - ay);
                if (by > ay && left < right) || (by < ay && left > right) {
                    inside = !inside;
                }
            }
        }
        inside
    }
}
