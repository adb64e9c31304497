//! The facts that are computed from the answers, by name.

use crate::flow::Kind;
use crate::pack::Text;
use crate::wall::Level;
use crate::water::ENDS;

/// Words of the ends, for the vocabulary.
const END_WORDS: &[&str] = &{
    let mut words = [""; ENDS.len()];
    let mut i = 0;
    while i < ENDS.len() {
        words[i] = ENDS[i].1;
        i += 1;
    }
    words
};

/// A derived fact that rules may use.
#[derive(Debug)]
pub struct Fact {
    /// Which.
    pub id: FactId,
    /// Its name.
    pub name: &'static str,
    /// Its kind.
    pub kind: FactKind,
    /// What it means.
    pub means: &'static str,
}

/// Kinds of facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FactKind {
    /// The height of the first level above the second, where both are known.
    Height(Level, Level),
    /// A height of something above the finish, at its own place.
    OverFinish,
    /// Another length.
    Length,
    /// A slope.
    Slope,
    /// A number.
    Number,
    /// Yes or no.
    YesNo,
    /// Where a drop ends.
    End,
    /// How water leaves the wall: one of the exits that the rows of claddings name.
    ExitKind,
}

impl FactKind {
    /// The kind as conditions see it; `exits` are the names of exits.
    #[must_use]
    pub fn kind(self, exits: &[Text]) -> Kind {
        match self {
            FactKind::Height(..) | FactKind::OverFinish | FactKind::Length => Kind::Length,
            FactKind::Slope => Kind::Slope,
            FactKind::Number => Kind::Number,
            FactKind::YesNo => Kind::YesNo,
            FactKind::End => Kind::OneOf(END_WORDS.iter().map(|id| (*id).into()).collect()),
            FactKind::ExitKind => Kind::OneOf(exits.to_vec()),
        }
    }

    /// Whether the number grows (`1`), shrinks (`-1`) or stays when the finish is lowered.
    #[must_use]
    pub fn when_lowered(self) -> i64 {
        match self {
            FactKind::Height(_, Level::Finish) | FactKind::OverFinish => 1,
            FactKind::Height(Level::Finish, _) => -1,
            FactKind::Height(..)
            | FactKind::Length
            | FactKind::Slope
            | FactKind::Number
            | FactKind::YesNo
            | FactKind::End
            | FactKind::ExitKind => 0,
        }
    }
}

macro_rules! facts {
    ($($id:ident = $name:literal: $kind:expr, $means:literal;)*) => {
        /// The facts computed here.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FactId { $(#[doc = concat!("`", $name, "`: ", $means)] $id,)* }

        /// The facts computed here, in the order of [`FactId`].
        pub const FACTS: &[Fact] = &[$(Fact { id: FactId::$id, name: $name, kind: $kind, means: $means },)*];
    };
}

use FactKind::{End, ExitKind, Height, Length, Number, OverFinish, Slope, YesNo};

facts! {
    ExitAboveFinish = "exit.above_finish": Height(Level::Exit, Level::Finish), "the lowest place where water behind the cladding leaves, above the finished surface";
    FinishAboveExit = "finish.above_exit": Height(Level::Finish, Level::Exit), "the same with the sign turned: how far the surface covers the exit";
    ExitAboveGround = "exit.above_ground": Height(Level::Exit, Level::Ground), "the exit above the ground at the wall";
    WoodAboveFinish = "wood.above_finish": Height(Level::Wood, Level::Finish), "the bottom of the lowest wood above the finished surface";
    WoodAboveGround = "wood.above_ground": Height(Level::Wood, Level::Ground), "the bottom of the lowest wood above the ground at the wall";
    FinishAboveWood = "finish.above_wood": Height(Level::Finish, Level::Wood), "how far the finished surface stands above the bottom of the lowest wood";
    ExitAboveWood = "exit.above_wood": Height(Level::Exit, Level::Wood), "the exit above the bottom of the lowest wood; positive means that wood shows below the cladding, or a slip of the tape measure";
    FinishAboveThreshold = "finish.above_threshold": Height(Level::Finish, Level::Mark), "how far the finished surface stands above the threshold; no value without a door";
    ThresholdAboveFinish = "threshold.above_finish": Height(Level::Mark, Level::Finish), "the step at the door; no value without a door";
    ThresholdAboveGround = "threshold.above_ground": Height(Level::Mark, Level::Ground), "the threshold above the ground; no value without a door";
    FinishAboveGround = "finish.above_ground": Height(Level::Finish, Level::Ground), "the fill against the wall";
    WindowAboveFinish = "window.above_finish": OverFinish, "the lowest window sill above the finished surface, there";
    GasVentAboveFinish = "gas_vent.above_finish": OverFinish, "the lowest gas vent above the finished surface, there";
    DryerVentAboveFinish = "dryer_vent.above_finish": OverFinish, "the lowest dryer vent above the finished surface, there";
    CrawlVentAboveFinish = "crawl_vent.above_finish": OverFinish, "the lowest vent of a crawl space that has a place along the wall above the finished surface, there";
    WellAboveFinish = "well.above_finish": OverFinish, "the lowest rim of a window well that has a place along the wall above the finished surface, there";
    OtherDoorLeastStep = "other_door.least_step": OverFinish, "the least step at another door; negative if the surface stands above its threshold";
    OtherDoorMostStep = "other_door.most_step": Length, "the highest step at another door";
    ExitAtWorstAboveFinish = "exit.at_worst_above_finish": Length, "exit.above_finish less the change of level along the wall: what may be left at the worst place; no value where the levels do not change or were measured along the wall";
    MeasureConflict = "measure.conflict": Length, "how far two ways of measuring the same height disagree";
    OuterBelow = "outer.below": Length, "the outer edge of the work below the ground outside";
    ExitAboveMaker = "exit.above_maker": OverFinish, "how much more the exit stands above the finished surface than the maker of the cladding asks for; negative: so much is missing";
    GasMeterAboveFinish = "gas_meter.above_finish": OverFinish, "the lowest part of a gas meter, regulator or pipe on the wall above the finished surface";
    FloorAboveFinish = "floor.above_finish": OverFinish, "the floor inside above the finished surface; by the door threshold where nobody asked for the floor";
    EndsDrop = "ends.drop": Length, "the open ends of the work above the ground beside them; where nobody measured there, the finished surface above the ground at the wall";
    StepsPace = "steps.pace": Length, "two risers and a tread of the steps as planned or built";
    StepsPitch = "steps.pitch": Number, "the pitch of the steps as planned or built, degrees";
    OuterDrop = "outer.drop": Length, "the outer edge of the work above the ground outside";
    SlabWeightPounds = "slab.weight_lb": Number, "one stone slab of a flight in pounds, if it is as long as the flight is wide; no value for other work";
    SlabWeightKilograms = "slab.weight_kg": Number, "the same in kilograms";
    LandingSpareWidth = "landing.spare_width": Length, "how much wider the work is than the door it lies at";
    LandingSpareDepth = "landing.spare_depth": Length, "how much deeper the level place at the door is than the door is wide";
    LandingBeyondWork = "landing.beyond_work": Length, "how much deeper the level place at the door is than the work reaches out from the wall; above nothing one of the two measures is wrong";
    StepsBeyondWork = "steps.beyond_work": Length, "how much more room the steps take, at their fewest, than the work has out from the wall or along it; above nothing a measure is wrong; no value for other work";
    DoorStepOverHighest = "door.step_over_highest": Length, "how much higher the step at the door is than the highest single step that was given; above nothing one of the two is wrong; no value where it was not asked";
    RampRoom = "ramp.room": Number, "how far the work reaches, out from the wall or along it, for each one that its surface stands above the ground; no value where it does not stand above it";
    TrenchBelowGround = "trench.below_ground": Length, "how far the bottom of a drain channel or of a strip along the wall lies below the ground; no value without one";
    TrenchAboveFooting = "trench.above_footing": Length, "how much of the footing lies below the bottom of a drain channel or of a strip along the wall; no value without one";
    OuterBelowWall = "outer.below_wall": Length, "how much lower the outer edge stands above the ground outside than the surface stands above the ground at the wall";
    FallAway = "fall.away": Slope, "the fall away from the wall; negative towards it";
    VoidVolume = "void.volume": Number, "the content of the hollow behind the work, ft3; no value where there is none";
    ChannelTimes = "channel.times": Number, "how many times the water of a hard storm the drain channel carries, with the rain of one hour as answered or, where nobody knows it, the default; 0 for one that is level along, no value without a channel";
    DoorRisers = "door.risers": Number, "equal risers up to the threshold, none higher than the region's limit or, of steps, than the step as given: from the ground for steps and landings, else from the finished surface";
    SlabOddBy = "slab.odd_by": Length, "by how much one riser of a flight of stone slabs differs from the others, if nothing is done about it; no value for other work";
    ExitKind = "exit.kind": ExitKind, "how water leaves this kind of wall";
    TraceOutside = "trace.outside": YesNo, "water from all places of the wall leaves it: from its face, behind the cladding, at a door, in channels";
    TraceHeldBehind = "trace.held_behind": YesNo, "water from behind the cladding or from a channel is held by the work";
    TraceHeldAtDoor = "trace.held_at_door": YesNo, "water from behind the trim at the door is held by the work";
    TraceFace = "trace.face": End, "where a drop ends that starts on the face of the cladding";
    TraceBehind = "trace.behind": End, "where a drop ends that starts behind the cladding";
    TraceDoorHead = "trace.door_head": End, "where a drop ends that starts behind the trim at the head of the door";
    TraceChannel = "trace.channel": End, "where a drop ends that starts in a channel beside a window or door";
    TraceJoint = "trace.joint": End, "where a drop ends that starts at the joint between work and wall";
    TraceSurface = "trace.surface": End, "where a drop ends that starts on the surface";
    ExitAboveWork = "exit.above_work": OverFinish, "the exit above work that the wall does not see - the boards of a deck that stands free with an open gap, or the surface beyond an open, drained strip; no value for all other work";
    ExitBuried = "exit.buried": YesNo, "the finished surface reaches or covers the exit";
}

impl FactId {
    /// Whether it comes from following a drop.
    #[must_use]
    pub fn is_trace(self) -> bool {
        self.fact().kind == FactKind::End
            || matches!(self, FactId::TraceOutside | FactId::TraceHeldBehind | FactId::TraceHeldAtDoor)
    }

    /// The row of this fact.
    #[must_use]
    pub fn fact(self) -> &'static Fact {
        &FACTS[self as usize]
    }
}
