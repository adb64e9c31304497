//! One wall with the work before it, as pieces: what water runs on is what a drawing shows.
//!
//! Heights are those of the specification. Thicknesses of the wall are nominal: all that counts is which layer lies in
//! front of which, and whether a line reaches the next one. x runs out from the outer face of the sheathing.

use super::fault::Fault;
use super::piece::{Corners, Part, Piece, Point};
use super::spec::{Edge, Fall, Joint, Spec, System};
use super::usual::Usual;
use crate::units::Length;

/// Where the wall is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cut {
    /// Away from doors and windows.
    Field,
    /// Through a channel that holds the ends of siding beside a door or window.
    Channel,
    /// Through a door, from above its head down.
    Door,
}

/// A wall and the work before it, cut through in one place.
///
/// Its pieces lie in the order in which they are looked at: of two floors at one height, the first is met.
#[derive(Debug, Clone)]
pub struct Assembly<'a> {
    /// What it was built from.
    pub spec: &'a Spec,
    /// Where it is cut.
    pub cut: Cut,
    pub(super) usual: &'a Usual,
    pub(super) pieces: Vec<Piece>,
    pub(super) at: Places,
}

/// Where the parts of an assembly meet.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Places {
    /// Upper end of what is built.
    pub(super) top: Length,
    /// Lower end of what is built.
    pub(super) bottom: Length,
    /// Bottom of the wood.
    pub(super) wood: Length,
    /// Where the work begins, out from the wall.
    pub(super) inner: Length,
    /// Where it ends.
    pub(super) outer: Length,
    /// The surface there.
    pub(super) edge: Length,
    /// Whether water that comes to the joint gets into it.
    pub(super) leaks: bool,
    /// Whether the work stands in front of the cladding; else it reaches the wall below it.
    pub(super) in_front: bool,
    /// The bottom of the joint, if it has one.
    pub(super) joint_floor: Option<Length>,
    /// Top of the soil beside the foundation, below the work.
    pub(super) beside: Length,
}

pub(super) const fn x(sixty_fourths: i64) -> Length {
    Length::sixty_fourths(sixty_fourths)
}

pub(super) const ZERO: Length = Length::ZERO;
pub(super) const INCH: Length = Length::inches(1);
/// The layers, out from the sheathing. In front of each other: membrane, flashing, barrier; a flashing that was
/// set wrong lies before the barrier.
pub(super) const MEMBRANE: Length = x(2);
pub(super) const ROOF_END: Length = x(4);
pub(super) const FLASHING: Length = x(6);
pub(super) const BARRIER: Length = x(10);
pub(super) const FLASHING_IN_FRONT: Length = x(14);
/// Where work begins that is built against the membrane, and before a hollow space.
const IN_FRONT_OF_BARRIER: Length = x(18);
const HOLLOW: Length = x(32);
pub(super) const CHANNEL: Length = x(40);
/// The face of siding and coats, of a veneer, and of the trim at a door.
const FACE: Length = x(72);
const VENEER_FACE: Length = x(296);
pub(super) const TRIM_FACE: Length = x(100);
/// How far the pieces reach above and below the heights, and the ground before the work.
const BEYOND: Length = Length::inches(24);
pub(super) const YARD: Length = Length::inches(120);

impl<'a> Assembly<'a> {
    /// Builds the wall.
    #[must_use]
    pub fn of(spec: &'a Spec, cut: Cut, usual: &'a Usual) -> Assembly<'a> {
        // no wall has more; counting them first would cost more than the room
        let mut built = Assembly { spec, cut, usual, pieces: Vec::with_capacity(12), at: Places::default() };
        built.at.top = built.highest() + BEYOND;
        built.at.bottom = built.lowest() - BEYOND;
        built.at.wood = built.wood_line();
        if cut == Cut::Door {
            built.door();
        } else {
            built.field();
        }
        built.work();
        built
    }

    /// The pieces that water runs on.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// How far out the face of the cladding lies, or of the trim under a door.
    #[must_use]
    pub fn face(&self) -> Length {
        match self.spec.system {
            System::Veneer { .. } => VENEER_FACE,
            System::Masonry => ZERO,
            _ => FACE,
        }
    }

    fn highest(&self) -> Length {
        let Spec { exit, finish, threshold, wood, .. } = *self.spec;
        if self.cut == Cut::Door {
            return threshold.unwrap_or(finish) + self.usual.door_height;
        }
        exit.max(finish).max(threshold.unwrap_or(exit)).max(wood.unwrap_or(exit))
    }

    fn lowest(&self) -> Length {
        self.spec.exit.min(self.spec.finish).min(self.spec.ground)
    }

    /// Bottom of the wood: as measured; else just above where the barrier ends.
    fn wood_line(&self) -> Length {
        if self.spec.opened.is_some() {
            // membrane covers it down to below the surface
            return self.spec.wood.unwrap_or(self.spec.exit.min(self.spec.finish));
        }
        self.spec.wood.unwrap_or(self.spec.exit + super::spec::NOMINAL)
    }

    /// The sill of the door, where its pan lets out.
    pub(super) fn sill(&self) -> Length {
        self.spec.threshold.unwrap_or(self.spec.finish) - self.usual.sill_below
    }

    /// Whether the work stands before the place where water leaves the wall in this cut.
    fn covered(&self) -> bool {
        match self.cut {
            // a channel along the wall takes what the door lets out above its bottom
            Cut::Door if self.drained_at_wall() => self.spec.finish - self.usual.drain_depth >= self.sill(),
            Cut::Door => self.spec.before_wall() >= self.sill(),
            Cut::Channel => self.spec.is_covered() || self.spec.has(Fault::ChannelBehind),
            Cut::Field => self.spec.is_covered(),
        }
    }

    /// Whether a drain channel lies along the wall, and not along the outer edge.
    pub(super) fn drained_at_wall(&self) -> bool {
        self.spec.drain && self.spec.fall != Fall::Away
    }

    /// Where the work begins, out from the sheathing.
    fn inner(&self) -> Length {
        let spec = self.spec;
        let before = if self.at.in_front || spec.strip.is_some() {
            self.face()
        } else if spec.opened.is_some() {
            IN_FRONT_OF_BARRIER
        } else {
            ZERO
        };
        let before = if spec.has(Fault::Hollow) && spec.leaks() { before + HOLLOW } else { before };
        let before = if let Joint::Open(gap) = spec.joint { before + gap } else { before };
        // a joint has some width: what falls into it clears the lip of a flashing that ends flush
        let before = if spec.leaks() { before + x(1) } else { before };
        if self.drained_at_wall() { before + self.usual.drain_width } else { before }
    }

    /// The work, what lies between it and the wall, and the ground.
    fn work(&mut self) {
        let (spec, usual) = (self.spec, self.usual);
        let covered = self.covered();
        self.at.in_front = covered || self.cut == Cut::Field && matches!(spec.system, System::Veneer { .. });
        // an open joint takes in what comes to it: the line of the surface begins with a drop into the joint
        let leaks = spec.leaks() || self.drained_at_wall();
        let inner = self.inner();
        let depth = spec.steps.map_or(spec.depth, |steps| steps.landing);
        let outer = inner + depth;
        let drop = spec.slope.over(depth).max(x(1));
        let (at_wall, at_edge) = match spec.fall {
            Fall::Away => (spec.finish, spec.finish - drop),
            Fall::Level | Fall::Along => (spec.finish, spec.finish),
            Fall::Towards => (spec.finish, spec.finish + drop),
        };
        (self.at.inner, self.at.outer, self.at.edge, self.at.leaks) = (inner, outer, at_edge, leaks);
        self.surface(at_wall, at_edge);
        let low = at_wall.min(at_edge);
        let steps = spec.steps.map_or(ZERO, |steps| steps.run());
        let mut open_from = outer + steps;
        if spec.drain {
            // at the low edge: along the wall, or along the outer edge
            let (from, to) = if self.drained_at_wall() { (ZERO, inner) } else { (outer, outer + usual.drain_width) };
            open_from = open_from.max(to);
            self.pieces.push(Piece::floor(Part::Drain, low - usual.drain_depth, from, to));
        }
        let lets_out = match self.cut {
            Cut::Door => self.sill() - usual.sill_below,
            Cut::Channel if spec.has(Fault::ChannelBehind) => spec.finish.min(spec.exit) - usual.channel_behind,
            _ => spec.exit,
        };
        let behind = lets_out.min(spec.finish) - x(16);
        let hollow = spec.has(Fault::Hollow);
        let or_void = |part| if hollow { Part::Void } else { part };
        let below = spec.finish - spec.strip.unwrap_or(usual.gap_depth);
        let floor = if spec.strip.is_some() && self.cut == Cut::Door && !covered {
            // before the door the strip is its channel, also where the wall beside it was opened and filled
            Some((Part::Drain, below))
        } else if spec.opened.is_some() {
            Some((Part::Fill, below))
        } else if covered {
            Some((or_void(Part::Fill), behind))
        } else if let Joint::Open(_) = spec.joint {
            Some((or_void(Part::Gap), below))
        } else {
            hollow.then_some((Part::Void, below))
        };
        // where the work touches the wall there is no room
        let floor = floor.filter(|_| inner > ZERO);
        self.at.joint_floor = floor.map(|(_, y)| y);
        self.pieces.extend(floor.map(|(part, y)| Piece::floor(part, y, ZERO, inner)));
        self.at.beside = spec.ground.min(spec.finish - usual.bed_depth).min(behind - INCH);
        if spec.strip.is_some() {
            self.at.beside = self.at.beside.min(below - INCH);
        }
        self.pieces.push(Piece::floor(Part::BesideFoundation, self.at.beside, ZERO, inner + INCH));
        self.pieces.push(Piece::floor(Part::Ground, spec.ground, open_from, open_from + YARD));
    }

    /// The finished surface: from the joint out to its edge.
    fn surface(&mut self, at_wall: Length, at_edge: Length) {
        let Places { inner, outer, leaks, .. } = self.at;
        // a closed joint stands up against the wall
        let joint = Point { x: inner, y: if leaks { at_wall - x(32) } else { at_wall + INCH } };
        let (wall, edge) = (Point { x: inner, y: at_wall }, Point { x: outer, y: at_edge });
        let line = if self.is_dammed() {
            Corners::four([joint, wall, edge, Point { x: outer, y: at_wall.max(at_edge) + INCH }])
        } else {
            Corners::three(joint, wall, edge)
        };
        self.pieces.push(Piece { part: Part::Finish, line });
    }

    /// Whether something at the outer edge holds back what runs there.
    pub(super) fn is_dammed(&self) -> bool {
        self.spec.edge == Edge::Dammed && !self.spec.drain
    }
}
