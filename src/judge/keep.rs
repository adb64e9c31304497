//! How high the surface may lie at the wall, as a picture has to draw it.

use super::first::Headline;
use super::lowering::Lowered;
use super::model::Assessment;
use crate::content::Verdict;
use crate::flow::Value;
use crate::names::QuestionId;
use crate::site::FactId;
use crate::units::Length;
use crate::wall::Level;

/// What becomes of the height that is planned, or at which built work lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// It may stay.
    AsItIs,
    /// Nothing stands against the height, but something against the work.
    NotAgreed,
    /// It has to come down.
    Lower {
        /// By so much: the figure that the answer shows.
        by: Length,
        /// Whether the door needs a landing or steps then.
        steps: bool,
        /// Whether no more can be asked for by what is not known yet.
        firm: bool,
    },
    /// Nobody knows yet.
    Unknown {
        /// Whether it is at least known that it cannot stay.
        rejected: bool,
    },
}

impl Kept {
    /// Whether the height as it is cannot stay.
    #[must_use]
    pub fn is_rejected(self) -> bool {
        matches!(self, Kept::Lower { .. } | Kept::Unknown { rejected: true })
    }
}

impl Assessment<'_> {
    /// Whether nothing stands against the work but a guard or a handrail that is not there: then its height may stay as it is.
    #[must_use]
    pub fn only_rails_missing(&self) -> bool {
        let rails = self.content.catalog.names.at(QuestionId::Rails);
        let mut against = self.held().filter(|finding| finding.verdict > Some(Verdict::GoAhead)).peekable();
        self.settled.verdict == Verdict::ChangePlan
            && self.height_kept() == Kept::NotAgreed
            && against.peek().is_some()
            && against.all(|finding| finding.when.reads().any(|slot| usize::from(slot) == rails))
            && !self.limits().into_iter().any(|(limit, c)| limit.verdict.is_some() && c.breaks().is_yes())
    }

    /// What becomes of the height of the surface at the wall. Where it has to come down, the figure is the one of the
    /// [headline](Assessment::headline).
    #[must_use]
    pub fn height_kept(&self) -> Kept {
        let verdict = self.settled.verdict;
        let exit_known =
            self.site.no_exit || self.site.faces_ground() || self.site.height(Level::Exit, Level::Finish).is_some();
        if let Some(Headline::Lower { lower, steps, .. }) = self.headline() {
            return Kept::Lower { by: lower, steps, firm: exit_known };
        }
        if verdict == Verdict::GoAhead {
            return Kept::AsItIs;
        }
        // what has to be found out may ask for more still, or something besides the height is in the way
        let at_least = match self.lowered_for_room() {
            Lowered::By(by) => Some((by, false)),
            Lowered::ByWithSteps(by) => Some((by, true)),
            Lowered::NotNeeded => None,
            Lowered::NotEnough => {
                let by = self.lowering.filter(|l| l.by > Length::ZERO);
                if self.cannot_come_down() {
                    return Kept::Unknown { rejected: true };
                }
                by.map(|l| (l.sure.max(l.by).up_to_shown(self.units), l.step_breaks.is_some()))
            }
        };
        if let Some((by, steps)) = at_least.filter(|(by, _)| *by > Length::ZERO) {
            return Kept::Lower { by, steps, firm: false };
        }
        // only what is certain: the middle of what is known at one place alone says nothing
        let covered = self.value(FactId::ExitBuried) == Value::yes_no(true);
        if covered && !self.site.faces_ground() {
            Kept::Unknown { rejected: true }
        } else if exit_known {
            Kept::NotAgreed
        } else {
            Kept::Unknown { rejected: false }
        }
    }
}
