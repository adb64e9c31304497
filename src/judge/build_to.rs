//! The height of the finish along the wall: what becomes of the planned one, and which one holds instead.

use super::lowering::Lowered;
use super::model::Assessment;
use super::ways::WayKind;
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
    /// Whether the door needs a landing or steps then.
    pub steps: bool,
    /// Whether that is settled; else what is found out later may ask for more.
    pub settled: bool,
}

impl Assessment<'_> {
    /// What becomes of the finish: the figure is that of [`Assessment::headline`], if that has one.
    #[must_use]
    pub fn build_to(&self) -> BuildTo {
        if self.settled.verdict == Verdict::GoAhead {
            let state = if self.site.is_built() { FinishState::Stays } else { FinishState::Build };
            return BuildTo { state, lower: None, steps: false, settled: true };
        }
        let lowered = self.lowered_for_room();
        let (lower, then) = match lowered {
            Lowered::By(by) | Lowered::ByWithSteps(by) if by > Length::ZERO => (Some(by), self.settled.verdict),
            _ => self.lower_that_betters().map_or((None, self.settled.verdict), |(by, then)| (Some(by), then)),
        };
        let asks_more = self.lowering.is_some_and(|lowering| !lowering.exit_known);
        // behind boards that the wall does not see, it is the ground that covers
        let covered = !self.site.faces_ground() && self.value(FactId::ExitBuried) == Value::yes_no(true);
        let too_high = lower.is_some() || covered || self.lowering.is_some_and(|l| l.by > Length::ZERO);
        BuildTo {
            state: if too_high { FinishState::Rejected } else { FinishState::Open },
            lower,
            steps: lower.is_some() && matches!(lowered, Lowered::ByWithSteps(_)),
            settled: lower.is_some() && ![self.settled.verdict, then].contains(&Verdict::FindOutFirst) && !asks_more,
        }
    }

    /// How far the surface has to go down where no limit with a verdict asks for it: what advice and findings ask for, if the
    /// verdict is milder then; and that verdict. It was tried out.
    fn lower_that_betters(&self) -> Option<(Length, Verdict)> {
        let way = self.ways().into_iter().find(|way| matches!(way.kind, WayKind::Lower { .. }))?;
        let by = way.figure.up_to_shown(self.units);
        let answers = self.with_finish_lowered(by).filter(|_| by > Length::ZERO)?;
        let then = self.content.settle(&answers).verdict;
        (then < self.settled.verdict).then_some((by, then))
    }
}
