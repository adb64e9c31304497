//! Where a drop starts, and its way from there.

use super::trace::{End, Path, follow, trace};
use crate::pack::packed;
use crate::units::Length;
use crate::wall::{Assembly, Core, Cut, Fall, Fault, Part, Point, Spec, System, Usual};

/// Where a drop starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Start {
    /// On the face of the cladding.
    Face,
    /// Behind the cladding.
    Behind,
    /// Behind the trim at the head of a door.
    DoorHead,
    /// In a channel that holds the ends of the siding.
    Channel,
    /// At the joint between the work and the wall.
    Joint,
    /// On the surface.
    Surface,
}

packed!(enum Start { 0: Face, 1: Behind, 2: DoorHead, 3: Channel, 4: Joint, 5: Surface });

impl Start {
    /// All of them.
    pub const ALL: [Start; 6] =
        [Start::Face, Start::Behind, Start::DoorHead, Start::Channel, Start::Joint, Start::Surface];

    /// Those that lie on the wall itself.
    pub const ON_WALL: [Start; 4] = [Start::Face, Start::Behind, Start::DoorHead, Start::Channel];

    /// The word that rules and JSON use.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Start::Face => "face",
            Start::Behind => "behind",
            Start::DoorHead => "door_head",
            Start::Channel => "channel",
            Start::Joint => "joint",
            Start::Surface => "surface",
        }
    }

    /// Where the wall has to be cut to see it.
    #[must_use]
    pub fn cut(self) -> Cut {
        match self {
            Start::DoorHead => Cut::Door,
            Start::Channel => Cut::Channel,
            _ => Cut::Field,
        }
    }

    /// What such a drop starts on; nothing where this wall has no such place.
    fn first(self, spec: &Spec) -> Option<Part> {
        let solid = spec.system == System::Masonry;
        Some(match self {
            Start::Face => spec.system.face(),
            Start::Behind | Start::DoorHead if solid => return None,
            Start::Behind if spec.faults.has(Fault::RoofEndInside) => Part::RoofEnd,
            Start::Behind
                if spec.system == (System::Foam { drained: false }) || spec.faults.has(Fault::BarrierMissing) =>
            {
                if spec.core == Core::Solid { Part::Backing } else { Part::Wood }
            }
            Start::Behind => Part::Barrier,
            Start::DoorHead if spec.threshold.is_some() => Part::Barrier,
            Start::Channel if spec.system == System::Siding => Part::Channel,
            Start::DoorHead | Start::Channel => return None,
            Start::Joint | Start::Surface => Part::Finish,
        })
    }
}

/// The way of a drop on a wall; nothing where this wall has no such place.
#[must_use]
pub fn path(spec: &Spec, start: Start, usual: &Usual) -> Option<Path> {
    let first = start.first(spec)?;
    path_from(&Assembly::of(spec, start.cut(), usual), start, first)
}

/// The way of a drop on a wall that is built already; nothing where it has no such place, or is cut elsewhere.
#[must_use]
pub fn path_on(wall: &Assembly<'_>, start: Start) -> Option<Path> {
    let first = start.first(wall.spec).filter(|_| start.cut() == wall.cut)?;
    path_from(wall, start, first)
}

/// Where such a drop ends, without its way.
pub(crate) fn end_of(spec: &Spec, start: Start, usual: &Usual) -> Option<End> {
    let first = start.first(spec)?;
    let wall = Assembly::of(spec, start.cut(), usual);
    let (number, from) = set_on(&wall, start, first)?;
    Some(in_the_end(&wall, follow(wall.pieces(), number, from, |_| {})))
}

fn path_from(wall: &Assembly<'_>, start: Start, first: Part) -> Option<Path> {
    let (number, from) = set_on(wall, start, first)?;
    let mut path = trace(wall.pieces(), number, from);
    path.end = in_the_end(wall, path.end);
    Some(path)
}

/// The piece that a drop is set onto, and where on it.
fn set_on(wall: &Assembly<'_>, start: Start, first: Part) -> Option<(usize, Point)> {
    let pieces = wall.pieces();
    let number = pieces.iter().position(|piece| piece.part == first)?;
    let line = &pieces[number].line;
    let from = match start {
        // in the middle of the surface
        Start::Surface => {
            let across = line.windows(2).find(|pair| pair[0].x != pair[1].x)?;
            let (a, b) = (across[0], across[1]);
            Point {
                x: Length::from_steps(i64::midpoint(a.x.steps(), b.x.steps())),
                y: Length::from_steps(i64::midpoint(a.y.steps(), b.y.steps())),
            }
        }
        _ => line[0],
    };
    Some((number, from))
}

/// What stands on a surface that falls along the wall runs on along it.
fn in_the_end(wall: &Assembly<'_>, end: End) -> End {
    let stands = matches!(end, End::Standing | End::AtJoint);
    if wall.spec.fall == Fall::Along && stands { End::AlongWall } else { end }
}
