//! What can be wrong with a wall or with the work before it.

use crate::pack::packed;

/// Something that is not as it should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(u8)]
pub enum Fault {
    /// The flashing that should turn the water out is missing.
    FlashingMissing,
    /// The flashing lies in front of the barrier, so that water runs in behind it.
    FlashingInFront,
    /// The flashing leans towards the wall.
    FlashingLeansIn,
    /// The barrier ends higher up, behind trim.
    BarrierShort,
    /// There is no barrier.
    BarrierMissing,
    /// A channel beside a door or window runs down behind the work.
    ChannelBehind,
    /// The barrier above the door was not cut and laid over the flashing of its head.
    HeadNotLapped,
    /// No pan below the door.
    PanMissing,
    /// A hollow space is left between the work and the wall.
    Hollow,
    /// The joint has opened.
    JointOpen,
    /// The lower end of a roof sends its water in behind the cladding.
    RoofEndInside,
}

/// A set of faults.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub struct Faults(u16);

packed!(struct Faults(one));

impl Faults {
    /// No fault.
    pub const NONE: Faults = Faults(0);

    /// These and one more.
    #[must_use]
    pub const fn with(self, fault: Fault) -> Faults {
        Faults(self.0 | 1 << fault as u8)
    }

    /// These without one.
    #[must_use]
    pub const fn without(self, fault: Fault) -> Faults {
        Faults(self.0 & !(1 << fault as u8))
    }

    /// These and those.
    #[must_use]
    pub const fn and(self, others: Faults) -> Faults {
        Faults(self.0 | others.0)
    }

    /// Whether a fault is among them.
    #[must_use]
    pub const fn has(self, fault: Fault) -> bool {
        self.0 & 1 << fault as u8 != 0
    }
}
