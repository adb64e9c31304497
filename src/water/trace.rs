//! One drop on its way down.

use crate::units::Length;
use crate::wall::{Part, Piece, Point};

/// Where a drop ends. The order is from good to bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// Outside, on the finished surface, and away.
    OnFinish,
    /// Outside, on the ground.
    OnGround,
    /// In front of the wall, in an open gap.
    InGap,
    /// In a drain channel.
    InChannel,
    /// In the soil beside the foundation, below the work.
    AtFoundation,
    /// Along the wall, to its low corner.
    AlongWall,
    /// It stands on the surface.
    Standing,
    /// It stands on the surface against the wall.
    AtJoint,
    /// It stands in a flashing or pan that leans the wrong way, or on a ledge.
    InFlashing,
    /// Held between the work and the wall.
    BehindWork,
    /// In a hollow space behind the work.
    InVoid,
    /// In the foot of a coat that water cannot leave.
    InCoat,
    /// On wood.
    OnWood,
}

/// All ends, from good to bad, with the words that rules use.
pub const ENDS: [(End, &str); 13] = [
    (End::OnFinish, "on_finish"),
    (End::OnGround, "on_ground"),
    (End::InGap, "in_gap"),
    (End::InChannel, "in_channel"),
    (End::AtFoundation, "at_foundation"),
    (End::AlongWall, "along_wall"),
    (End::Standing, "standing"),
    (End::AtJoint, "at_joint"),
    (End::InFlashing, "in_flashing"),
    (End::BehindWork, "behind_work"),
    (End::InVoid, "in_void"),
    (End::InCoat, "in_coat"),
    (End::OnWood, "on_wood"),
];

impl End {
    /// Whether the water has left the wall and lies in the open.
    #[must_use]
    pub fn is_outside(self) -> bool {
        self <= End::InChannel
    }

    /// Whether the water has left the wall: outside, or in the soil or on the surface before it.
    #[must_use]
    pub fn leaves_wall(self) -> bool {
        self <= End::AlongWall
    }

    /// Whether the work holds the water.
    #[must_use]
    pub fn is_held(self) -> bool {
        matches!(self, End::BehindWork | End::InVoid)
    }

    /// Whether the work holds the water, or it runs onto wood.
    #[must_use]
    pub fn is_bad(self) -> bool {
        self.is_held() || self == End::OnWood
    }

    /// The word that rules and JSON use.
    #[must_use]
    pub fn word(self) -> &'static str {
        ENDS[self as usize].1
    }
}

/// A part of the way, on one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// What it runs on.
    pub on: Part,
    /// Where it comes onto it.
    pub from: Point,
    /// Where it leaves it, or stays.
    pub to: Point,
}

/// A drop's way from its start to its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    /// The parts of the way, in order. Never empty.
    pub steps: Vec<Step>,
    /// Where it ends.
    pub end: End,
}

impl Path {
    /// Every corner of the way, with what the drop is on there: a step tells only where it comes onto a piece and where
    /// it leaves it. `pieces` are those that it was traced on.
    #[must_use]
    pub fn corners(&self, pieces: &[Piece]) -> Vec<(Part, Point)> {
        let mut corners: Vec<(Part, Point)> = Vec::new();
        for step in &self.steps {
            corners.push((step.on, step.from));
            if let Some(piece) =
                pieces.iter().find(|p| p.part == step.on && lies_on(p, step.from) && lies_on(p, step.to))
            {
                let (first, last) = (segment(piece, step.from), segment(piece, step.to));
                let bends = piece.line.get(first.min(last) + 1..=first.max(last)).unwrap_or_default();
                let on = |at: &Point| (step.on, *at);
                if first < last {
                    corners.extend(bends.iter().map(on));
                } else {
                    corners.extend(bends.iter().rev().map(on));
                }
            }
            corners.push((step.on, step.to));
        }
        corners.dedup();
        corners
    }

    /// The first step that the sound wall does not have in this place: where it went wrong. Nothing if the
    /// two run the same way.
    #[must_use]
    pub fn parts_from(&self, sound: &Path) -> Option<usize> {
        let differs =
            |(i, step): (usize, &Step)| sound.steps.get(i).is_none_or(|other| other.on != step.on).then_some(i);
        self.steps.iter().enumerate().find_map(differs).or((self.end != sound.end).then_some(self.steps.len() - 1))
    }
}

/// How far water clings across to the next layer behind, when a sheet ends: about 5/16 in. The layers of a
/// wall touch or nearly touch; a drainage cavity is wider.
const CLING: Length = Length::sixty_fourths(20);

/// Follows a drop that is set onto a piece. It runs down, leaves at the lower end, goes over to the sheet
/// right behind it or falls onto what lies below, and so on until it stays.
///
/// Its height never rises, and it ends: a piece it comes back to without having fallen is one it stands on.
#[must_use]
pub fn trace(pieces: &[Piece], start: usize, at: Point) -> Path {
    let mut steps = Vec::new();
    let end = follow(pieces, start, at, |step| steps.push(step));
    Path { steps, end }
}

/// The same, with each part of the way told as it is gone; gives where it ends.
pub(super) fn follow(pieces: &[Piece], start: usize, at: Point, mut told: impl FnMut(Step)) -> End {
    let Some(mut piece) = pieces.get(start) else { return End::OnGround };
    let mut here = at;
    // every turn goes to another piece or down; more turns than this would be a circle
    for _ in 0..4 * pieces.len() + 4 {
        if let Some(end) = stays(piece.part) {
            told(Step { on: piece.part, from: here, to: here });
            return end;
        }
        let (to, landed) = run_down(pieces, piece, here);
        told(Step { on: piece.part, from: here, to });
        if let Some(next) = landed {
            piece = next;
            here = to;
            continue;
        }
        if piece.part == Part::Finish && piece.line.last() == Some(&to) {
            let drained = below(pieces, piece, to).is_some_and(|(next, _)| next.part == Part::Drain);
            return if drained { End::InChannel } else { End::OnFinish };
        }
        if !is_end(piece, to) {
            return stands(piece, to);
        }
        let vertical = is_upright(piece, to);
        let behind = if vertical { behind(pieces, piece, to) } else { None };
        let beside = behind.map(|next| (next, Point { x: next.line[0].x, y: to.y }));
        let Some((next, point)) = beside.or_else(|| below(pieces, piece, to)) else {
            // nothing lies below: it went in under the surface, and there is no telling where it comes out
            return End::BehindWork;
        };
        piece = next;
        here = point;
    }
    stands(piece, here)
}

/// Where a drop that comes onto such a piece stays for good.
fn stays(part: Part) -> Option<End> {
    Some(match part {
        Part::Ground => End::OnGround,
        Part::Gap => End::InGap,
        Part::Drain => End::InChannel,
        Part::BesideFoundation => End::AtFoundation,
        Part::Fill => End::BehindWork,
        Part::Void => End::InVoid,
        Part::Wood => End::OnWood,
        Part::ClosedFoot => End::InCoat,
        Part::Ledge => End::InFlashing,
        _ => return None,
    })
}

/// What it is to stand still on a piece, at a place that has no way down.
fn stands(piece: &Piece, at: Point) -> End {
    match piece.part {
        Part::Finish if at.x == piece.line[0].x => End::AtJoint,
        Part::Finish => End::Standing,
        other => stays(other).unwrap_or(End::InFlashing),
    }
}

/// Runs along a piece, down from a point on it: to its lowest place on that side, or onto a floor that
/// crosses its way.
fn run_down<'p>(pieces: &'p [Piece], piece: &'p Piece, from: Point) -> (Point, Option<&'p Piece>) {
    let mut here = from;
    let mut at = segment(piece, from);
    loop {
        let (left, right) = (piece.line[at], piece.line[at + 1]);
        // the way down; on a peak outwards
        let (target, step): (Point, isize) = if right.y < here.y {
            (right, 1)
        } else if left.y < here.y {
            (left, -1)
        } else {
            // at a corner the way may go on in the next part
            let next = at.checked_add(2).and_then(|i| piece.line.get(i)).filter(|p| here == right && p.y < here.y);
            let before = at.checked_sub(1).map(|i| piece.line[i]).filter(|p| here == left && p.y < here.y);
            match (next, before) {
                (Some(_), _) => {
                    at += 1;
                    continue;
                }
                (None, Some(_)) => {
                    at -= 1;
                    continue;
                }
                (None, None) => return (here, None),
            }
        };
        if here.x == target.x
            && let Some((floor, y)) = floor_between(pieces, piece, here, target.y)
        {
            return (Point { x: here.x, y }, Some(floor));
        }
        here = target;
        let next = at.checked_add_signed(step).filter(|i| i + 1 < piece.line.len());
        match next {
            Some(next) => at = next,
            None => return (here, None),
        }
    }
}

/// The part of a line that a point lies on.
fn segment(piece: &Piece, at: Point) -> usize {
    piece.line.windows(2).position(|pair| spans(pair, at)).unwrap_or(0)
}

fn lies_on(piece: &Piece, at: Point) -> bool {
    piece.line.windows(2).any(|pair| spans(pair, at))
}

/// Whether a point lies in the box that a straight part of a line spans.
fn spans(pair: &[Point], at: Point) -> bool {
    let (a, b) = (pair[0], pair[1]);
    (a.x.min(b.x)..=a.x.max(b.x)).contains(&at.x) && (a.y.min(b.y)..=a.y.max(b.y)).contains(&at.y)
}

fn is_end(piece: &Piece, at: Point) -> bool {
    piece.line.first() == Some(&at) || piece.line.last() == Some(&at)
}

/// Whether the piece comes straight down to its end there, without turning out.
fn is_upright(piece: &Piece, at: Point) -> bool {
    let n = piece.line.len();
    if piece.line[n - 1] == at { piece.line[n - 2].x == at.x } else { piece.line[1].x == at.x }
}

/// The sheet right behind the end of a sheet, near enough to cling to.
fn behind<'p>(pieces: &'p [Piece], from: &Piece, at: Point) -> Option<&'p Piece> {
    let near = |p: &&Piece| {
        let x = p.line[0].x;
        let (top, foot) = (p.line[0].y, p.line[1].y);
        !std::ptr::eq(*p, from) && p.line[1].x == x && x < at.x && at.x - x <= CLING && foot < at.y && at.y <= top
    };
    pieces.iter().filter(near).max_by_key(|p| p.line[0].x)
}

/// The first piece straight below a point, and where it is met.
fn below<'p>(pieces: &'p [Piece], from: &Piece, at: Point) -> Option<(&'p Piece, Point)> {
    let mut best: Option<(&Piece, Length)> = None;
    for piece in pieces.iter().filter(|p| !std::ptr::eq(*p, from)) {
        for y in heights_at(piece, at.x).filter(|y| *y <= at.y) {
            if best.is_none_or(|(_, b)| y > b) {
                best = Some((piece, y));
            }
        }
    }
    best.map(|(piece, y)| (piece, Point { x: at.x, y }))
}

/// The first floor that a drop meets which runs straight down from a point to a height.
fn floor_between<'p>(pieces: &'p [Piece], from: &Piece, at: Point, down_to: Length) -> Option<(&'p Piece, Length)> {
    let mut best: Option<(&Piece, Length)> = None;
    for piece in pieces.iter().filter(|p| !std::ptr::eq(*p, from)) {
        for y in heights_at(piece, at.x).filter(|y| *y < at.y && *y >= down_to) {
            if best.is_none_or(|(_, b)| y > b) {
                best = Some((piece, y));
            }
        }
    }
    best
}

/// The heights of a piece at some x: of its parts that lie across, not of its upright ones.
fn heights_at(piece: &Piece, x: Length) -> impl Iterator<Item = Length> + '_ {
    piece.line.windows(2).filter_map(move |pair| {
        let (a, b) = if pair[0].x <= pair[1].x { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
        if a.x == b.x || x < a.x || x > b.x {
            return None;
        }
        let (run, rise, along) = ((b.x - a.x).steps(), (b.y - a.y).steps(), (x - a.x).steps());
        // towards the lower side, so that nothing is ever landed on above itself
        Some(a.y + Length::from_steps((rise * along).div_euclid(run)))
    })
}
