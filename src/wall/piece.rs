//! Pieces: the parts of a wall and of the work before it, as lines that water runs along.

use crate::units::Length;
use std::fmt;
use std::ops::Deref;

/// A point of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Point {
    /// Out from the outer face of the sheathing, or of a masonry wall.
    pub x: Length,
    /// Up from the reference.
    pub y: Length,
}

/// What a piece is. The order is that of a legend: the wall from the inside out, then the work, then the soil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Studs and sill. Water never runs on it here: it is behind the sheathing.
    Framing,
    /// Sheathing, or whatever wood water meets.
    Wood,
    /// Block, brick or concrete that carries the cladding.
    Backing,
    /// What the wall stands on.
    Foundation,
    /// Self-adhered membrane.
    Membrane,
    /// The water-resistive barrier.
    Barrier,
    /// A bent flashing.
    Flashing,
    /// The turned-up end of a flashing, seen beyond the section.
    EndDam,
    /// A weep screed.
    Screed,
    /// The end of a roof flashing at the wall.
    RoofEnd,
    /// A channel beside a door or window, that holds the ends of the siding.
    Channel,
    /// The trim at a door.
    Trim,
    /// The pan below a door.
    Pan,
    /// Insulation under a thin coat.
    Foam,
    /// Boards, panels or shingles that overlap.
    Cladding,
    /// A coat on lath or on foam.
    Coat,
    /// Brick or stone: a veneer, or the wall itself.
    Masonry,
    /// A coat that ends on the foundation without an exit.
    ClosedFoot,
    /// A ledge in a cavity.
    Ledge,
    /// The step of the door, seen beside the section.
    Threshold,
    /// The work, and the surface that it is finished with.
    Finish,
    /// A layer of the work, counted from the top down.
    Layer(u8),
    /// An old surface that stays under the work.
    OldSlab,
    /// Something that closes the joint between the work and the wall.
    Closure,
    /// A drain channel.
    Drain,
    /// The bottom of an open gap between the work and the wall.
    Gap,
    /// A hollow space between the work and the wall.
    Void,
    /// What fills the space between the work and the wall.
    Fill,
    /// The soil beside the foundation, below the work.
    BesideFoundation,
    /// The ground in the open.
    Ground,
}

impl Part {
    /// Whether it is so thin that it is drawn as a line.
    #[must_use]
    pub fn is_sheet(self) -> bool {
        use Part::{Barrier, Channel, ClosedFoot, Flashing, Ledge, Membrane, Pan, RoofEnd, Screed};
        matches!(self, Membrane | Barrier | Flashing | Screed | RoofEnd | Channel | Pan | ClosedFoot | Ledge)
    }
}

/// The most corners that any line of a piece has: a surface with its joint and a dam at its edge.
const MOST: usize = 4;

/// The points of a line, kept in place: a trace builds many lines and drops them again.
///
/// Invariant: two to four points.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Corners {
    points: [Point; MOST],
    count: u8,
}

impl Corners {
    /// A straight line.
    #[must_use]
    pub fn two(from: Point, to: Point) -> Corners {
        Corners { points: [from, to, to, to], count: 2 }
    }

    /// A line with one bend.
    #[must_use]
    pub fn three(from: Point, bend: Point, to: Point) -> Corners {
        Corners { points: [from, bend, to, to], count: 3 }
    }

    /// A line with two bends.
    #[must_use]
    pub fn four(points: [Point; MOST]) -> Corners {
        Corners { points, count: 4 }
    }
}

impl Deref for Corners {
    type Target = [Point];

    fn deref(&self) -> &[Point] {
        // never shorter than its count; the whole array is the harmless answer
        self.points.get(..usize::from(self.count)).unwrap_or(&self.points)
    }
}

impl fmt::Debug for Corners {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.iter()).finish()
    }
}

/// A part with the line that water runs along or lands on.
///
/// An upright sheet begins at its top. A bent one begins at the top of its leg and ends at its lip, which lies lower
/// than the bend unless it leans in. A floor begins at the wall and is level. The finished surface begins at the
/// joint: where it stands up against the wall, or in the open joint; then it runs out to its edge, and up a dam.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// What it is.
    pub part: Part,
    /// Its line.
    pub line: Corners,
}

impl Piece {
    /// An upright sheet from `top` down to `foot`. One that would end above its top is one sixty-fourth high.
    pub(super) fn upright(part: Part, x: Length, top: Length, foot: Length) -> Piece {
        let top = top.max(foot + Length::sixty_fourths(1));
        Piece { part, line: Corners::two(Point { x, y: top }, Point { x, y: foot }) }
    }

    /// A sheet that is bent out: its leg, and its part across to the lip.
    pub(super) fn bent(part: Part, leg: Length, top: Length, bend: Length, lip: Point) -> Piece {
        Piece { part, line: Corners::three(Point { x: leg, y: top }, Point { x: leg, y: bend }, lip) }
    }

    /// Something level.
    pub(super) fn floor(part: Part, y: Length, from: Length, to: Length) -> Piece {
        Piece { part, line: Corners::two(Point { x: from, y }, Point { x: to, y }) }
    }
}
