//! What a wall is built from: its heights, how it drains, and how the work meets it.

use super::fault::{Fault, Faults};
use super::piece::Part;
use super::usual::Usual;
use crate::units::{Length, Slope};

/// How a wall keeps water out and lets it go again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Boards or panels before a barrier; water leaves below the lowest one.
    Siding,
    /// A coat on lath before a barrier: with a weep screed, or with no exit at its foot.
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

impl System {
    /// What its outer face is.
    #[must_use]
    pub fn face(self) -> Part {
        match self {
            System::Siding => Part::Cladding,
            System::Coat { .. } | System::Foam { .. } => Part::Coat,
            System::Veneer { .. } | System::Masonry => Part::Masonry,
        }
    }
}

/// What stands behind the cladding and carries it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Core {
    /// Wood, or boards on a frame, which water can spoil.
    #[default]
    Wood,
    /// Block, brick or concrete.
    Solid,
    /// Logs, which are the cladding too; what they lie on is of something else.
    Logs,
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

impl Stepped {
    /// How far the treads reach out beyond the landing.
    pub(super) fn run(&self) -> Length {
        self.tread * (self.risers - 1).max(0)
    }
}

/// A wall with the work before it, as it is to be built. Heights are above any one reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spec {
    /// How it drains.
    pub system: System,
    /// What carries the cladding.
    pub core: Core,
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
    /// Steps that lead down from it, within that depth or beyond.
    pub steps: Option<Stepped>,
    /// How the work meets the wall.
    pub joint: Joint,
    /// How far below the finish the bottom of an open joint lies that drains and stands open on purpose: a strip along the
    /// wall, or a channel along a threshold. The wall then sees that bottom, and not the surface.
    pub strip: Option<Length>,
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

/// A nominal distance, more than sheets, lips and edges are thick: how far above the exit the wood ends that the barrier
/// reaches below, and how far an exit at least stands clear that stands clear.
pub const NOMINAL: Length = Length::sixty_fourths(32);

impl Spec {
    /// A sound wall of this kind with all heights at zero, the work touching it and falling away.
    #[must_use]
    pub fn new(system: System, usual: &Usual) -> Spec {
        Spec {
            system,
            core: Core::Wood,
            exit: Length::ZERO,
            finish: Length::ZERO,
            ground: Length::ZERO,
            wood: None,
            threshold: None,
            depth: usual.depth,
            steps: None,
            joint: Joint::Touching,
            strip: None,
            fall: Fall::Away,
            slope: usual.fall,
            edge: Edge::Open,
            drain: false,
            faults: Faults::NONE,
            opened: None,
        }
    }

    /// The same wall as it should be: nothing wrong, and the exit clear of the finish.
    #[must_use]
    pub fn sound(&self, usual: &Usual) -> Spec {
        Spec {
            exit: self.exit.max(self.finish + usual.sound_exit),
            threshold: self.threshold.map(|t| t.max(self.finish + usual.sound_threshold)),
            ..self.sound_but_low()
        }
    }

    /// The wall after its foot was opened and closed again, with the surface falling away.
    #[must_use]
    pub fn repaired(&self, clear: Length, usual: &Usual) -> Spec {
        if self.system == System::Masonry {
            // there is nothing to open: the joint is closed, and the surface falls away; what lies out on it stays
            return Spec { joint: Joint::Closed, edge: self.edge, drain: self.drain, ..self.sound(usual) };
        }
        Spec {
            opened: Some(Opened { clear }),
            joint: Joint::Covered,
            strip: None,
            // what lies out on the surface is not mended by opening the wall
            edge: self.edge,
            drain: self.drain,
            ..self.sound_but_low()
        }
    }

    /// The wall with the finish lowered and falling away; everything else stays as it is.
    #[must_use]
    pub fn lowered(&self, by: Length) -> Spec {
        Spec { finish: self.finish - by, fall: Fall::Away, ..*self }
    }

    /// The same without what is wrong with the work itself: an open joint, a hollow behind it.
    #[must_use]
    pub fn without_work_faults(&self) -> Spec {
        Spec { faults: self.faults.without(Fault::Hollow).without(Fault::JointOpen), ..*self }
    }

    /// The same wall with its wood where it was measured. Where the barrier is taken to reach below the wood, the wood
    /// ends above the foot of the barrier.
    #[must_use]
    pub fn with_wood_covered(&self, wood: Length) -> Spec {
        Spec { wood: Some(wood.max(self.exit + NOMINAL)), ..*self }
    }

    fn sound_but_low(&self) -> Spec {
        let system = match self.system {
            System::Coat { .. } => System::Coat { screed: true },
            System::Foam { .. } => System::Foam { drained: true },
            System::Veneer { .. } => System::Veneer { flashing: true, weeps: true },
            other => other,
        };
        Spec {
            system,
            wood: None,
            joint: if self.joint == Joint::Touching { Joint::Closed } else { self.joint },
            fall: Fall::Away,
            edge: Edge::Open,
            faults: Faults::NONE,
            ..*self
        }
    }

    /// Whether the finish stands at or above the exit.
    #[must_use]
    pub fn is_covered(&self) -> bool {
        self.opened.is_none() && self.before_wall() >= self.exit
    }

    /// What lies right before the wall: the finish, or the bottom of a drained strip.
    #[must_use]
    pub fn before_wall(&self) -> Length {
        self.finish - self.strip.unwrap_or(Length::ZERO)
    }

    /// The exit as it is now.
    #[must_use]
    pub fn exit_now(&self) -> Length {
        self.opened.map_or(self.exit, |opened| self.finish + opened.clear)
    }

    /// Whether water gets into the joint.
    pub(super) fn leaks(&self) -> bool {
        self.faults.has(Fault::JointOpen) || matches!(self.joint, Joint::Touching | Joint::Open(_))
    }

    pub(super) fn has(&self, fault: Fault) -> bool {
        self.faults.has(fault)
    }
}
