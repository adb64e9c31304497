//! A wall and the work before it as pieces that water runs on.
//!
//! Heights are those of the visit. Thicknesses and laps are nominal: all that counts is which layer lies in front
//! of which, and whether a line reaches the next one.

use super::fault::{Fault, Faults};
use super::trace::{End, Medium, Path, Piece, trace};
use crate::units::{Length, Slope};
use crate::wall::Point;

/// How a wall keeps water out and lets it go again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Boards or panels before a barrier; water leaves below the lowest one.
    Siding,
    /// A coat on lath before a barrier: with a weep screed, or with no way out at its foot.
    Coat {
        /// Whether a weep screed ends it.
        screed: bool,
    },
    /// A coat on foam: with room to drain behind the foam, or without.
    Foam {
        /// Whether it drains.
        drained: bool,
    },
    /// Brick or stone before a cavity.
    Veneer {
        /// Whether a flashing catches the water at the weep holes.
        flashing: bool,
        /// Whether weep holes are open.
        weeps: bool,
    },
    /// A solid wall: nothing drains behind its face.
    Masonry,
}

/// How the work meets the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Joint {
    /// It touches: water gets in between.
    Touching,
    /// It touches, and the joint is closed by something that holds.
    Closed,
    /// A gap stays open, so wide.
    Open(Length),
    /// A flashing from behind the cladding covers it.
    Covered,
}

/// Which way the surface falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fall {
    /// Away from the wall.
    Away,
    /// Along the wall.
    Along,
    /// Neither away nor towards.
    Level,
    /// Towards the wall.
    Towards,
}

/// What is at the outer edge of the surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// Water runs off.
    Open,
    /// Ground or a wall stands higher and holds it back.
    Dammed,
}

/// The foot of the wall opened and closed again: membrane on the sheathing, a flashing turned out over the
/// surface, the barrier over it, the cladding cut clear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opened {
    /// The new exit above the finish.
    pub clear: Length,
}

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
}

/// A wall with the work before it. Heights are above any one reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wall {
    /// How it drains.
    pub system: System,
    /// The water exit.
    pub exit: Length,
    /// The finish at the wall.
    pub finish: Length,
    /// The ground, under the work or beside it.
    pub ground: Length,
    /// Bottom of the wood. If it is not known, the barrier is taken to reach below it.
    pub wood: Option<Length>,
    /// Top of the threshold, if there is a door.
    pub threshold: Option<Length>,
    /// How far the work reaches out.
    pub depth: Length,
    /// How the work meets the wall.
    pub joint: Joint,
    /// Which way it falls.
    pub fall: Fall,
    /// How much it falls that way.
    pub slope: Slope,
    /// Its outer edge.
    pub edge: Edge,
    /// Whether a drain channel takes what comes to the low edge of the surface.
    pub drain: bool,
    /// What is wrong.
    pub faults: Faults,
    /// The foot of the wall opened and closed again.
    pub opened: Option<Opened>,
}

const fn x(sixty_fourths: i64) -> Length {
    Length::sixty_fourths(sixty_fourths)
}

const ZERO: Length = Length::ZERO;
const INCH: Length = Length::inches(1);
/// The layers, out from the sheathing. In front of each other: membrane, flashing, barrier; a flashing that was
/// set wrong lies before the barrier.
const MEMBRANE: Length = x(2);
const FLASHING: Length = x(6);
const BARRIER: Length = x(10);
const FLASHING_IN_FRONT: Length = x(14);
/// Where work begins that is built against the membrane, and before a hollow space.
const IN_FRONT_OF_BARRIER: Length = x(18);
const HOLLOW: Length = x(32);
const CHANNEL: Length = x(40);
const SIDING_FRONT: Length = x(72);
const VENEER_FRONT: Length = x(296);
const TRIM_FRONT: Length = x(100);
/// How far a flashing turns out over what is below it: about 1 in (common practice, no source).
const TURNED_OUT: Length = INCH;
/// The usual fall of paving, 2 % (IRC R401.3), where nobody said.
const USUAL_FALL: Slope = Slope::from_parts(20_000_000);
/// How far up the wall the pieces reach above the heights.
const UP: Length = Length::inches(24);
/// A usual drain channel.
const DRAIN_WIDTH: Length = Length::inches(4);
/// A usual door: 80 in from threshold to head.
const DOOR: Length = Length::inches(80);

impl Wall {
    /// A sound wall of this kind with all heights at zero, the work touching it and falling away.
    #[must_use]
    pub fn new(system: System) -> Wall {
        Wall {
            system,
            exit: ZERO,
            finish: ZERO,
            ground: ZERO,
            wood: None,
            threshold: None,
            depth: Length::inches(48),
            joint: Joint::Touching,
            fall: Fall::Away,
            slope: USUAL_FALL,
            edge: Edge::Open,
            drain: false,
            faults: Faults::NONE,
            opened: None,
        }
    }

    /// The same wall as it should be: nothing wrong, and the exit clear of the finish.
    #[must_use]
    pub fn sound(&self) -> Wall {
        let system = match self.system {
            System::Coat { .. } => System::Coat { screed: true },
            System::Foam { .. } => System::Foam { drained: true },
            System::Veneer { .. } => System::Veneer { flashing: true, weeps: true },
            other => other,
        };
        Wall {
            system,
            exit: self.exit.max(self.finish + INCH),
            wood: None,
            threshold: self.threshold.map(|t| t.max(self.finish + INCH * 2)),
            joint: if self.joint == Joint::Touching { Joint::Closed } else { self.joint },
            fall: Fall::Away,
            edge: Edge::Open,
            faults: Faults::NONE,
            ..*self
        }
    }

    /// The wall after its foot was opened and closed again, with the surface falling away.
    #[must_use]
    pub fn repaired(&self, clear: Length) -> Wall {
        if self.system == System::Masonry {
            // there is nothing to open: the joint is closed, and the surface falls away
            return Wall { joint: Joint::Closed, ..self.sound() };
        }
        Wall {
            opened: Some(Opened { clear }),
            joint: Joint::Covered,
            // what lies out on the surface is not mended by opening the wall
            edge: self.edge,
            drain: self.drain,
            ..self.sound_but_low()
        }
    }

    /// The wall with the finish lowered and falling away; everything else stays as it is.
    #[must_use]
    pub fn lowered(&self, by: Length) -> Wall {
        Wall { finish: self.finish - by, fall: Fall::Away, ..*self }
    }

    /// The same without what is wrong with the work itself: an open joint, a hollow behind it.
    #[must_use]
    pub fn without_work_faults(&self) -> Wall {
        Wall { faults: self.faults.without(Fault::Hollow).without(Fault::JointOpen), ..*self }
    }

    fn sound_but_low(&self) -> Wall {
        Wall { exit: self.exit, threshold: self.threshold, ..self.sound() }
    }

    /// Whether the finish stands at or above the exit.
    #[must_use]
    pub fn is_covered(&self) -> bool {
        self.opened.is_none() && self.finish >= self.exit
    }

    /// The way of a drop; nothing where this wall has no such place.
    #[must_use]
    pub fn path(&self, start: Start) -> Option<Path> {
        let (pieces, first) = self.pieces(start)?;
        let from = match start {
            // in the middle of the surface
            Start::Surface => {
                let across = pieces[first].line.windows(2).find(|pair| pair[0].x != pair[1].x)?;
                let (a, b) = (across[0], across[1]);
                Point {
                    x: Length::from_steps(i64::midpoint(a.x.steps(), b.x.steps())),
                    y: Length::from_steps(i64::midpoint(a.y.steps(), b.y.steps())),
                }
            }
            _ => pieces[first].line[0],
        };
        let mut path = trace(&pieces, first, from);
        if self.fall == Fall::Along && matches!(path.end, End::Standing | End::AtJoint) {
            path.end = End::AlongWall;
        }
        Some(path)
    }

    /// The pieces of the section that a start lies in, and the piece it starts on; nothing where this wall has
    /// no such place.
    #[must_use]
    pub fn pieces(&self, start: Start) -> Option<(Vec<Piece>, usize)> {
        let mut pieces = Vec::new();
        let first = match start {
            Start::Face => Medium::Cladding,
            Start::Behind if self.system == System::Masonry => return None,
            Start::Behind if self.faults.has(Fault::RoofEndInside) => Medium::RoofEnd,
            Start::Behind
                if self.system == (System::Foam { drained: false }) || self.faults.has(Fault::BarrierMissing) =>
            {
                Medium::Wood
            }
            Start::Behind => Medium::Barrier,
            Start::DoorHead => {
                self.threshold?;
                if self.system == System::Masonry {
                    return None;
                }
                Medium::Barrier
            }
            Start::Channel if self.system == System::Siding => Medium::Channel,
            Start::Channel => return None,
            Start::Joint | Start::Surface => Medium::Finish,
        };
        if start == Start::DoorHead {
            self.door(&mut pieces);
        } else {
            self.field(&mut pieces, start);
        }
        self.work(&mut pieces, start);
        let first = pieces.iter().position(|p| p.medium == first)?;
        Some((pieces, first))
    }

    fn top(&self) -> Length {
        self.exit.max(self.finish).max(self.threshold.unwrap_or(self.exit)).max(self.wood.unwrap_or(self.exit)) + UP
    }

    fn bottom(&self) -> Length {
        self.exit.min(self.finish).min(self.ground) - UP
    }

    /// The exit as it is now.
    fn exit_now(&self) -> Length {
        self.opened.map_or(self.exit, |opened| self.finish + opened.clear)
    }

    /// How far out the face of the cladding lies.
    #[must_use]
    pub fn front(&self) -> Length {
        match self.system {
            System::Veneer { .. } => VENEER_FRONT,
            System::Masonry => ZERO,
            _ => SIDING_FRONT,
        }
    }

    /// Bottom of the wood: as measured; else just above where the barrier ends.
    fn wood_line(&self) -> Length {
        if self.opened.is_some() {
            // membrane covers it down to below the surface
            return self.wood.unwrap_or(self.exit).min(self.finish);
        }
        self.wood.unwrap_or(self.exit + x(32))
    }

    /// The wall away from doors.
    fn field(&self, pieces: &mut Vec<Piece>, start: Start) {
        let (top, bottom, exit) = (self.top(), self.bottom(), self.exit_now());
        let front = self.front();
        let has = |fault| self.faults.has(fault);
        if self.system == System::Masonry {
            pieces.push(upright(Medium::Cladding, ZERO, top, bottom));
            return;
        }
        let wood = self.wood_line();
        pieces.push(upright(Medium::Wood, ZERO, top, wood));
        pieces.push(upright(Medium::Foundation, ZERO, wood.min(top), bottom));
        pieces.push(upright(Medium::Cladding, front, top, exit));
        if has(Fault::RoofEndInside) {
            pieces.push(upright(Medium::RoofEnd, x(4), top, top - INCH));
        }
        let short = if has(Fault::BarrierShort) { Length::inches(6) } else { ZERO };
        if self.opened.is_some() {
            self.opened_foot(pieces, top, short);
        } else {
            match self.system {
                System::Siding | System::Foam { .. } | System::Masonry => {
                    pieces.push(upright(Medium::Barrier, BARRIER, top, exit + x(8) + short));
                }
                System::Coat { screed: true } => {
                    let leg = if has(Fault::FlashingInFront) { FLASHING_IN_FRONT } else { FLASHING };
                    if !has(Fault::FlashingMissing) {
                        let lip = if has(Fault::FlashingLeansIn) { exit + x(8) } else { exit - x(8) };
                        pieces.push(Piece {
                            medium: Medium::Screed,
                            line: bent(leg, exit + x(200), exit, flush(self.faults, front), lip),
                        });
                    }
                    // where it misses the screed it ends before wood
                    pieces.push(upright(Medium::Barrier, BARRIER, top, exit + x(40) + short));
                }
                System::Coat { screed: false } => {
                    pieces.push(upright(Medium::Barrier, BARRIER, top, exit + x(8) + short));
                    let foot = [Point { x: ZERO, y: exit + x(4) }, Point { x: front - x(1), y: exit + x(4) }];
                    pieces.push(Piece { medium: Medium::ClosedFoot, line: foot.to_vec() });
                }
                System::Veneer { flashing, weeps } => {
                    let caught = flashing && !has(Fault::FlashingMissing);
                    if caught {
                        let leg = if has(Fault::FlashingInFront) { FLASHING_IN_FRONT } else { FLASHING };
                        let lip = if has(Fault::FlashingLeansIn) { exit + x(8) } else { exit - x(8) };
                        // full joints hold the water in: the flashing then ends inside the veneer
                        let out = if weeps { flush(self.faults, front) } else { front - INCH };
                        let line = bent(leg, exit + x(400), exit, out, lip);
                        pieces.push(Piece { medium: Medium::Flashing, line });
                    }
                    if !caught || !weeps {
                        let y = exit - Length::inches(2);
                        let ledge = [Point { x: ZERO, y }, Point { x: front - x(1), y }];
                        pieces.push(Piece { medium: Medium::Ledge, line: ledge.to_vec() });
                    }
                    let foot = if caught { x(64) } else { x(8) };
                    pieces.push(upright(Medium::Barrier, BARRIER, top, exit + foot + short));
                }
            }
        }
        if start == Start::Channel {
            let foot = if has(Fault::ChannelBehind) { self.finish.min(exit) - Length::inches(2) } else { exit + x(4) };
            pieces.push(upright(Medium::Channel, CHANNEL, top, foot));
        }
    }

    /// Membrane, flashing turned out over the surface, barrier over the flashing.
    fn opened_foot(&self, pieces: &mut Vec<Piece>, top: Length, short: Length) {
        let has = |fault| self.faults.has(fault);
        let front = self.front();
        pieces.push(upright(Medium::Membrane, MEMBRANE, self.finish + Length::inches(8), self.bottom()));
        if !has(Fault::FlashingMissing) {
            let leg = if has(Fault::FlashingInFront) { FLASHING_IN_FRONT } else { FLASHING };
            let bend = self.finish + x(32);
            let lip = if has(Fault::FlashingLeansIn) { bend + x(8) } else { self.finish + x(8) };
            let line = bent(leg, self.finish + Length::inches(6), bend, front + TURNED_OUT, lip);
            pieces.push(Piece { medium: Medium::Flashing, line });
        }
        pieces.push(upright(Medium::Barrier, BARRIER, top, self.finish + INCH + short));
    }

    /// The wall at a door, from above its head down.
    fn door(&self, pieces: &mut Vec<Piece>) {
        let threshold = self.threshold.unwrap_or(self.finish);
        let head = threshold + DOOR;
        let top = head + UP;
        let has = |fault| self.faults.has(fault);
        let lapped = !has(Fault::HeadNotLapped);
        let leg = if lapped { FLASHING } else { FLASHING_IN_FRONT };
        let line = bent(leg, head + Length::inches(3), head, TRIM_FRONT + x(16), head - x(8));
        pieces.push(Piece { medium: Medium::Flashing, line });
        // laid over the flashing it ends there; behind it, it goes on down behind the trim
        let foot = if lapped { head + x(32) } else { threshold - x(16) };
        pieces.push(upright(Medium::Barrier, BARRIER, top, foot));
        pieces.push(upright(Medium::Trim, TRIM_FRONT, head - x(8), threshold - INCH));
        let sill = threshold - INCH;
        if has(Fault::PanMissing) {
            let line = vec![Point { x: ZERO, y: sill }, Point { x: SIDING_FRONT, y: sill }];
            pieces.push(Piece { medium: Medium::Wood, line });
        } else {
            let line = bent(MEMBRANE, threshold, sill + x(8), SIDING_FRONT, sill);
            pieces.push(Piece { medium: Medium::Pan, line });
        }
        pieces.push(upright(Medium::Foundation, ZERO, sill - x(8), self.bottom()));
    }

    /// Where the work begins, out from the sheathing, at a start.
    fn inner(&self, start: Start) -> Length {
        let built_in_front = match start {
            Start::DoorHead => self.finish >= self.threshold.unwrap_or(self.finish) - INCH,
            Start::Channel => self.is_covered() || self.faults.has(Fault::ChannelBehind),
            _ => self.is_covered() || matches!(self.system, System::Veneer { .. }),
        };
        let before = if built_in_front {
            self.front()
        } else if self.opened.is_some() {
            IN_FRONT_OF_BARRIER
        } else {
            ZERO
        };
        let before = if self.faults.has(Fault::Hollow) && self.leaks() { before + HOLLOW } else { before };
        match self.joint {
            Joint::Open(gap) => before + gap,
            _ => before,
        }
    }

    /// Whether water gets into the joint.
    fn leaks(&self) -> bool {
        self.faults.has(Fault::JointOpen) || matches!(self.joint, Joint::Touching | Joint::Open(_))
    }

    /// The work, what lies between it and the wall, and the ground.
    fn work(&self, pieces: &mut Vec<Piece>, start: Start) {
        // an open joint takes in what comes to it: the line of the surface begins with a drop into the joint
        let leaks = self.leaks();
        // a joint has some width: what falls into it clears the lip of a flashing that ends flush
        let drained_at_wall = self.drain && !matches!(self.fall, Fall::Away);
        let inner =
            self.inner(start) + if leaks { x(1) } else { ZERO } + if drained_at_wall { DRAIN_WIDTH } else { ZERO };
        let leaks = leaks || drained_at_wall;
        let outer = inner + self.depth;
        let drop = self.slope.over(self.depth).max(x(1));
        let (at_wall, at_edge) = match self.fall {
            Fall::Away => (self.finish, self.finish - drop),
            Fall::Level | Fall::Along => (self.finish, self.finish),
            Fall::Towards => (self.finish, self.finish + drop),
        };
        let mut line = vec![Point { x: inner, y: at_wall }, Point { x: outer, y: at_edge }];
        if self.edge == Edge::Dammed && !self.drain {
            line.push(Point { x: outer, y: at_wall.max(at_edge) + INCH });
        }
        let hollow = self.faults.has(Fault::Hollow);
        // a closed one stands up against the wall
        line.insert(0, Point { x: inner, y: if leaks { at_wall - x(32) } else { at_wall + INCH } });
        pieces.push(Piece { medium: Medium::Finish, line });
        if self.drain {
            // at the low edge: along the wall, or along the outer edge
            let (from, to) = if drained_at_wall { (ZERO, inner) } else { (outer, outer + DRAIN_WIDTH) };
            let y = at_wall.min(at_edge) - INCH * 2;
            pieces.push(Piece { medium: Medium::Drain, line: vec![Point { x: from, y }, Point { x: to, y }] });
        }
        let floor = |medium, y: Length, from: Length, to: Length| Piece {
            medium,
            line: vec![Point { x: from, y }, Point { x: to, y }],
        };
        let lowest = match start {
            Start::DoorHead => self.threshold.unwrap_or(self.finish) - Length::inches(2),
            Start::Channel if self.faults.has(Fault::ChannelBehind) => self.finish.min(self.exit) - Length::inches(2),
            _ => self.exit,
        };
        let behind = lowest.min(self.finish) - x(16);
        let covered = match start {
            Start::DoorHead => self.finish >= self.threshold.unwrap_or(self.finish) - INCH,
            Start::Channel => self.is_covered() || self.faults.has(Fault::ChannelBehind),
            _ => self.is_covered(),
        };
        if self.opened.is_some() {
            pieces.push(floor(Medium::Fill, self.finish - Length::inches(4), ZERO, inner));
        } else if covered {
            let medium = if hollow { Medium::Void } else { Medium::Fill };
            pieces.push(floor(medium, behind, ZERO, inner));
        } else if let Joint::Open(_) = self.joint {
            let medium = if hollow { Medium::Void } else { Medium::Gap };
            pieces.push(floor(medium, self.finish - Length::inches(4), ZERO, inner));
        } else if hollow {
            pieces.push(floor(Medium::Void, self.finish - Length::inches(4), ZERO, inner));
        }
        let beside = self.ground.min(self.finish - Length::inches(6)).min(behind - INCH);
        pieces.push(floor(Medium::BesideFoundation, beside, -INCH, inner + INCH));
        pieces.push(floor(Medium::Ground, beside - INCH, -INCH, outer * 4));
    }
}

/// How far out a flashing reaches that ends with the cladding: one that leans in catches nothing from its face.
fn flush(faults: Faults, front: Length) -> Length {
    if faults.has(Fault::FlashingLeansIn) { front - x(1) } else { front }
}

/// An upright sheet.
fn upright(medium: Medium, x: Length, top: Length, foot: Length) -> Piece {
    Piece { medium, line: vec![Point { x, y: top.max(foot + Length::sixty_fourths(1)) }, Point { x, y: foot }] }
}

/// A sheet that is bent out: its leg, and its part across.
fn bent(x: Length, top: Length, bend: Length, out: Length, lip: Length) -> Vec<Point> {
    vec![Point { x, y: top }, Point { x, y: bend }, Point { x: out, y: lip }]
}
