//! The height of the finish along the wall: what becomes of the planned one, and which one holds instead.

use super::lowering::Lowered;
use super::model::Assessment;
use crate::content::Verdict;
use crate::flow::Value;
use crate::site::FactId;
use crate::units::Length;
use crate::wall::FinishState;

/// What becomes of the finish as planned, or as it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BuildTo {
    /// Whether it holds.
    pub state: FinishState,
    /// How much lower the highest finish lies that holds, a whole step of what is shown, tried out on the whole visit; the
    /// same everywhere along the wall. Nothing where the finish may stay, or where lowering alone is not known to do.
    pub lower: Option<Length>,
    /// Whether that is settled; else what is found out later may ask for more.
    pub settled: bool,
}

impl Assessment<'_> {
    /// What becomes of the finish: the figure is that of [`Assessment::headline`].
    #[must_use]
    pub fn build_to(&self) -> BuildTo {
        if self.settled.verdict == Verdict::GoAhead {
            let state = if self.site.is_built() { FinishState::Stays } else { FinishState::Build };
            return BuildTo { state, lower: None, settled: true };
        }
        let lower = match self.lowered_for_room() {
            Lowered::By(by) | Lowered::ByWithSteps(by) if by > Length::ZERO => Some(by),
            _ => None,
        };
        let asks_more = self.lowering.is_some_and(|lowering| !lowering.exit_known);
        // behind boards that the wall does not see, it is the ground that covers
        let covered = !self.site.faces_ground() && self.value(FactId::ExitBuried) == Value::yes_no(true);
        let too_high = lower.is_some() || covered || self.lowering.is_some_and(|l| l.by > Length::ZERO);
        BuildTo {
            state: if too_high { FinishState::Rejected } else { FinishState::Open },
            lower,
            settled: lower.is_some() && self.settled.verdict != Verdict::FindOutFirst && !asks_more,
        }
    }
}
