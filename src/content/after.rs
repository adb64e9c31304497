//! Facts that are computed after the limits, because they follow from them.

use crate::flow::Kind;

/// A fact that follows from the limits.
#[derive(Debug)]
pub struct AfterLimits {
    /// Which.
    pub id: AfterId,
    /// Its name.
    pub name: &'static str,
    /// Whether it is a number; else it is a length.
    pub number: bool,
    /// What it means.
    pub means: &'static str,
}

impl AfterLimits {
    /// The kind as conditions see it.
    #[must_use]
    pub fn kind(&self) -> Kind {
        if self.number { Kind::Number } else { Kind::Length }
    }
}

macro_rules! after {
    ($($id:ident = $name:literal: $number:literal, $means:literal;)*) => {
        /// The facts that follow from the limits.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum AfterId { $(#[doc = concat!("`", $name, "`: ", $means)] $id,)* }

        /// The facts that follow from the limits, in the order of [`AfterId`].
        pub const AFTER_LIMITS: &[AfterLimits] =
            &[$(AfterLimits { id: AfterId::$id, name: $name, number: $number, means: $means },)*];
    };
}

after! {
    LowerBy = "finish.lower_by": false, "how far the finish must drop so that every limit that can fail a plan is met, on paper";
    LowerBySure = "finish.lower_by_sure": false, "the same with the measuring error added; also where only the tape measure leaves open whether a limit is met";
    Highest = "finish.highest": false, "how far below the mark the highest finish lies that meets every limit, measuring error included";
    StepAfter = "door.step_after": false, "the step at the door if the finish is lowered by finish.lower_by_sure";
    DigAtWall = "dig.at_wall": false, "how deep the layers reach below today's ground at the wall, with the surface lowered as the limits ask";
    DigAboveFooting = "dig.above_footing": false, "how much of the footing is left below the digging; negative if it goes deeper";
    LimitsFailed = "limits.failed": true, "how many limits fail that can fail a plan";
}
