//! Figures of the trade that a wall is built with where nobody measured or said.

use crate::pack::packed;
use crate::units::{Length, Slope};

/// What is usual. The program holds no such figure itself: whoever builds a wall brings them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Usual {
    /// How much a surface falls away from the wall.
    pub fall: Slope,
    /// How far the work reaches out from the wall.
    pub depth: Length,
    /// How far the ground lies below the finish.
    pub ground_below: Length,
    /// How far the exit stands above the finish where it is only known to stand clear.
    pub exit_clear: Length,
    /// How far the exit lies below the finish where it is only known to be covered.
    pub exit_covered: Length,
    /// How wide an open gap between the work and the wall is.
    pub open_gap: Length,
    /// How far below the finish the fill lies that ends an open gap.
    pub gap_depth: Length,
    /// How far below the finish the soil beside the foundation begins, at least.
    pub bed_depth: Length,
    /// How wide a drain channel is.
    pub drain_width: Length,
    /// How far below the surface its bottom lies.
    pub drain_depth: Length,
    /// How high a door is, from its threshold to its head.
    pub door_height: Length,
    /// How far below the top of the threshold the pan under a door lets out.
    pub sill_below: Length,
    /// How far the exit of a sound wall stands above the finish, at least.
    pub sound_exit: Length,
    /// How far the threshold of a sound wall stands above the finish, at least.
    pub sound_threshold: Length,
    /// How far above the finish a cladding is cut where no limit says more.
    pub cut_clear: Length,
    /// How far a flashing turns out over what is below it.
    pub turned_out: Length,
    /// How far the leg of a flashing at the foot of the wall goes up above the finish.
    pub flashing_leg: Length,
    /// How far membrane goes up above the finish.
    pub membrane_up: Length,
    /// How far above the finish the barrier ends that laps over such a flashing.
    pub barrier_above: Length,
    /// How far the flange of a weep screed goes up.
    pub screed_leg: Length,
    /// How far the flashing of a veneer goes up behind its cavity.
    pub veneer_leg: Length,
    /// How far the barrier that laps over it ends above the weep holes.
    pub veneer_barrier: Length,
    /// How far below the weep holes the ledge lies that a veneer stands on.
    pub ledge_below: Length,
    /// The least edge along a strip at the wall that is a step and no trip edge.
    pub least_step: Length,
    /// How far the flashing at the head of a door goes up.
    pub head_leg: Length,
    /// How much higher a barrier ends that was cut too short.
    pub barrier_short: Length,
    /// How far a channel that runs down behind the work reaches below the exit or the finish.
    pub channel_behind: Length,
}

packed!(struct Usual { fall, depth, ground_below, exit_clear, exit_covered, open_gap, gap_depth, bed_depth, drain_width, drain_depth, door_height, sill_below, sound_exit, sound_threshold, cut_clear, turned_out, flashing_leg, membrane_up, barrier_above, screed_leg, veneer_leg, veneer_barrier, ledge_below, least_step, head_leg, barrier_short, channel_behind });
