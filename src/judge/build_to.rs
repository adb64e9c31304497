//! The height of the finish along the wall: what becomes of the planned one, and which one holds instead.

use super::keep::Kept;
use super::model::Assessment;
use crate::content::Verdict;
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
    /// What becomes of the finish: what [`Assessment::height_kept`] says of it at the wall, and where that knows no figure, what advice
    /// and findings ask for.
    #[must_use]
    pub fn build_to(&self) -> BuildTo {
        let known = |rejected: bool| if rejected { FinishState::Rejected } else { FinishState::Open };
        let find_out = |then: Verdict| [self.settled.verdict, then].contains(&Verdict::FindOutFirst);
        let asks_more = self.lowering.is_some_and(|lowering| !lowering.exit_known);
        match self.height_kept() {
            Kept::AsItIs => {
                let state = if self.site.is_built() { FinishState::Stays } else { FinishState::Build };
                BuildTo { state, lower: None, steps: false, settled: true }
            }
            Kept::Lower { by, steps, firm } => BuildTo {
                state: FinishState::Rejected,
                lower: Some(by),
                steps,
                settled: firm && !find_out(self.settled.verdict) && !asks_more,
            },
            kept @ (Kept::NotAgreed | Kept::Unknown { .. }) => match self.lower_that_betters() {
                Some((by, then)) => BuildTo {
                    state: FinishState::Rejected,
                    lower: Some(by),
                    steps: false,
                    settled: !find_out(then) && !asks_more,
                },
                None => BuildTo { state: known(kept.is_rejected()), lower: None, steps: false, settled: false },
            },
        }
    }

    /// How far the surface has to go down where no limit with a verdict asks for it: what advice and findings ask for, if the
    /// verdict is milder then; and that verdict. It was tried out.
    fn lower_that_betters(&self) -> Option<(Length, Verdict)> {
        let needed = self.lower_by().filter(|_| self.settled.held >= Verdict::ChangePlan)?;
        let by = needed.up_to_shown(self.units);
        let answers = self.with_finish_lowered(by).filter(|_| by > Length::ZERO)?;
        let then = self.content.settle(&answers).verdict;
        (then < self.settled.verdict).then_some((by, then))
    }
}
