//! The visit on one screen: the one figure that matters, and what to do first. A ranked choice of what is there already.

use super::lowering::Lowered;
use super::model::{Assessment, Clearance};
use crate::content::{AfterId, Call, Finding, Limit, Sheet, Task, Verdict, Who};
use crate::flow::{Condition, Slot, Truth};
use crate::names::QuestionId;
use crate::site::FactId;
use crate::units::Length;
use crate::wall::{Level, Status};
use std::collections::BTreeSet;

/// How many things are told to do first.
const MOST_FIRST: usize = 3;

/// The one figure of a visit that matters most.
#[derive(Debug, Clone, Copy)]
pub enum Headline<'c> {
    /// The surface has to go down.
    Lower {
        /// Depth of the highest finish below the mark; nothing where no single height says it.
        below: Option<Length>,
        /// How much lower than planned, or than it stands.
        lower: Length,
        /// Whether the door needs a landing or steps then.
        steps: bool,
    },
    /// The surface may lie as it is: the highest that holds, below the mark.
    Keep {
        /// Depth below the mark.
        below: Length,
    },
    /// A limit that is missed.
    Limit(&'c Limit, Clearance),
    /// Something to measure or to look at.
    FindOut {
        /// The question.
        question: usize,
        /// Whether it has a figure already, which is too close to call.
        again: bool,
    },
    /// Something that no answer settles.
    LookInto(&'c Finding),
    /// The exit lies below the surface, or stands clear of it, by this much.
    Exit(Length),
}

/// Something to do first.
#[derive(Debug, Clone, Copy)]
pub enum FirstStep<'c> {
    /// What endangers people, by a finding.
    Danger(&'c Finding),
    /// What endangers people, by a limit that is missed.
    DangerLimit(&'c Limit),
    /// Somebody to call.
    Call(&'c Call),
    /// Something to measure or to look at.
    FindOut {
        /// The question.
        question: usize,
        /// Whether it has a figure already, which is too close to call.
        again: bool,
    },
    /// Something that no answer settles.
    LookInto(&'c Finding),
    /// What mends the plan, by the finding that stands first against it.
    Remedy(&'c Finding),
    /// What mends the plan, by the limit that is missed.
    Meet(&'c Limit),
    /// A task of the checklist.
    Task(&'c Task),
}

impl<'c> FirstStep<'c> {
    fn finding(&self) -> Option<&'c Finding> {
        match self {
            FirstStep::Danger(finding) | FirstStep::LookInto(finding) | FirstStep::Remedy(finding) => Some(finding),
            FirstStep::DangerLimit(_)
            | FirstStep::Call(_)
            | FirstStep::FindOut { .. }
            | FirstStep::Meet(_)
            | FirstStep::Task(_) => None,
        }
    }
}

impl<'c> Assessment<'c> {
    /// The one figure that matters: what to find out while that decides, else how high the surface may lie, else what is missed.
    #[must_use]
    pub fn headline(&self) -> Option<Headline<'c>> {
        let find_out = || {
            let point = self.open.first();
            let question = point.map(|p| Headline::FindOut { question: p.question, again: p.again });
            question.or_else(|| self.to_look_into().next().map(Headline::LookInto))
        };
        if self.settled.verdict == Verdict::FindOutFirst
            && let Some(found) = find_out()
        {
            return Some(found);
        }
        let lowered = self.lowered_for_room();
        if let Lowered::By(lower) | Lowered::ByWithSteps(lower) = lowered
            && lower > Length::ZERO
        {
            let now = self.site.levels.above(Level::Mark, Level::Finish).filter(|_| !self.site.slopes());
            let steps = matches!(lowered, Lowered::ByWithSteps(_));
            return Some(Headline::Lower { below: now.map(|h| h.up + lower), lower, steps });
        }
        let missed = self.limits().into_iter().filter(|(limit, c)| {
            limit.verdict == Some(self.settled.verdict) && c.breaks() == Truth::Yes && c.measured.is_some()
        });
        let exit = super::middle(self.value(FactId::ExitAboveFinish)).map(Length::from_steps);
        // a covered exit weighs more than any side issue
        let covered = exit.filter(|gap| *gap < Length::ZERO && self.settled.verdict == Verdict::ExteriorTradeFirst);
        if let Some(gap) = covered {
            return Some(Headline::Exit(gap));
        }
        if let Some((limit, clearance)) = missed.into_iter().next() {
            return Some(Headline::Limit(limit, clearance));
        }
        // the floor of a pit lies where the drawing wants it: nobody raises it to the door
        let least = self.content.usual.least_step;
        let in_pit = self
            .value(FactId::FinishAboveGround)
            .high()
            .is_some_and(|up| Length::from_steps(up) + least < Length::ZERO);
        let kept = self
            .lowering
            .filter(|_| !in_pit)
            .filter(|l| l.sure <= Length::ZERO && l.exit_known && self.settled.verdict == Verdict::GoAhead);
        if let Some(below) = kept.and_then(|l| l.highest).and_then(|solved| self.highest_that_holds(solved)) {
            // as it is shown it must hold too
            return Some(Headline::Keep { below: below.up_to_shown(self.units) });
        }
        // a figure that is all right says nothing where the verdict is not
        let telling = |gap: &Length| *gap < Length::ZERO || self.settled.verdict == Verdict::GoAhead;
        exit.filter(telling).map(Headline::Exit)
    }

    /// What to do first, at most three things: what endangers people, or else what mends the plan; whom to call for it, the measurement
    /// that decides, and then what the checklist holds before everything else.
    #[must_use]
    pub fn first_steps(&self) -> Vec<FirstStep<'c>> {
        let mut steps: Vec<FirstStep<'c>> = self.endangers().into_iter().take(MOST_FIRST - 1).collect();
        if steps.is_empty() {
            steps.extend(self.remedy());
        }
        let told: Vec<&Finding> = steps.iter().filter_map(FirstStep::finding).collect();
        let find_out = self.settled.verdict == Verdict::FindOutFirst;
        let point = self.open.first().map(|p| FirstStep::FindOut { question: p.question, again: p.again });
        let look = self.to_look_into().find(|f| told.iter().all(|other| other.id != f.id)).map(FirstStep::LookInto);
        if find_out {
            steps.extend(point.or(look));
        }
        let looks_at = self.looks_at();
        steps.extend(looks_at.as_ref().and_then(|slots| self.call_for_it(slots)).map(FirstStep::Call));
        if !find_out && self.settled.hangs_on(self.open.first().map_or(Verdict::GoAhead, |p| p.worst)) {
            steps.extend(point);
        }
        // what a trade does behind the cladding is nothing to begin with
        let own = |task: &&Task| task.who != Who::Exterior;
        let mut tasks: Vec<&Task> = self.tasks(Some(Sheet::Homeowner)).filter(own).collect();
        // what is about what stands against the work, then by their ranks, where work stops, and the order of the checklist
        let about = |task: &Task| looks_at.as_ref().is_some_and(|slots| self.shared(slots, &task.when) > 0);
        let told = |task: &Task| steps.iter().any(|step| matches!(step, FirstStep::Task(other) if other.id == task.id));
        tasks.retain(|task| !told(task));
        tasks.sort_by_key(|task| (!(about(task) && task.hold), task.rank.unwrap_or(i64::MAX), !task.hold));
        steps.extend(tasks.into_iter().map(FirstStep::Task));
        steps.truncate(MOST_FIRST);
        steps
    }

    /// What mends the plan where it has to change.
    fn remedy(&self) -> Option<FirstStep<'c>> {
        if self.settled.verdict == Verdict::ExteriorTradeFirst {
            return self.lowering_alone().then(|| self.lowers()).flatten();
        }
        if self.settled.verdict != Verdict::ChangePlan {
            return None;
        }
        match self.headline() {
            Some(Headline::Lower { .. }) => self.lowers(),
            Some(Headline::Limit(limit, _)) => Some(FirstStep::Meet(limit)),
            _ => {
                let stands = |f: &&Finding| f.verdict == Some(Verdict::ChangePlan) && !f.todo.is_empty();
                self.held().find(stands).map(FirstStep::Remedy)
            }
        }
    }

    /// The task that brings the surface down.
    fn lowers(&self) -> Option<FirstStep<'c>> {
        let by = [AfterId::LowerBy, AfterId::LowerBySure].map(|id| self.content.slots.after + id as usize);
        let lowers = |task: &&Task| task.when.reads().any(|slot| by.contains(&usize::from(slot)));
        self.tasks(Some(Sheet::Homeowner)).find(lowers).map(FirstStep::Task)
    }

    /// Whether planned work may go ahead as soon as its surface is planned lower, so that nobody has to open the wall.
    fn lowering_alone(&self) -> bool {
        let Some(Headline::Lower { lower, .. }) = self.headline().filter(|_| !self.site.is_built()) else {
            return false;
        };
        let lower = self.with_finish_lowered(lower);
        lower.is_some_and(|answers| self.content.settle(&answers).verdict == Verdict::GoAhead)
    }

    /// What endangers people, the gravest first.
    #[must_use]
    pub fn endangers(&self) -> Vec<FirstStep<'c>> {
        let findings = self.held().filter(|f| f.danger).map(|f| (f.verdict, FirstStep::Danger(f)));
        let limits = self.limits().into_iter().filter(|(limit, clearance)| {
            limit.danger && limit.verdict.is_some() && matches!(clearance.status, Status::Fails | Status::Close)
        });
        let limits = limits.map(|(limit, _)| (limit.verdict, FirstStep::DangerLimit(limit)));
        let mut all: Vec<_> = findings.chain(limits).collect();
        all.sort_by_key(|(verdict, _)| std::cmp::Reverse(*verdict));
        all.into_iter().map(|(_, step)| step).collect()
    }

    /// What the condition of that looks at which stands first against the work.
    fn looks_at(&self) -> Option<BTreeSet<Slot>> {
        let finding = |f: &Finding| f.when.reads().collect::<BTreeSet<Slot>>();
        let limit = |l: &Limit| l.when.reads().chain([l.measure]).collect::<BTreeSet<Slot>>();
        match self.endangers().first() {
            Some(FirstStep::Danger(f)) => return Some(finding(f)),
            Some(FirstStep::DangerLimit(l)) => return Some(limit(l)),
            _ => {}
        }
        let held = self.held().find(|f| f.verdict > Some(Verdict::GoAhead) && f.verdict == Some(self.settled.held));
        let missed = self.limits().into_iter().filter(|(l, c)| c.breaks().is_yes() && l.verdict.is_some());
        held.map(finding).or_else(|| missed.max_by_key(|(l, _)| l.verdict).map(|(l, _)| limit(l)))
    }

    /// How much of what stands first against the work a condition looks at; what work is planned, and where, is nothing.
    fn shared(&self, looks_at: &BTreeSet<Slot>, when: &Condition) -> usize {
        let everywhere =
            [QuestionId::Stage, QuestionId::Region, QuestionId::Feature].map(|id| self.content.catalog.names.at(id));
        let reads: BTreeSet<Slot> = when.reads().collect();
        reads.intersection(looks_at).filter(|slot| !everywhere.contains(&usize::from(**slot))).count()
    }

    /// Whom to call for what stands first against the work: the call whose condition looks at the most of what that looks at.
    fn call_for_it(&self, looks_at: &BTreeSet<Slot>) -> Option<&'c Call> {
        let shared = |call: &Call| self.shared(looks_at, &call.when);
        let mut calls: Vec<&Call> = self.calls().collect();
        let exterior = |call: &&Call| call.trade == Who::Exterior.word();
        // the verdict names the trade
        if self.settled.held == Verdict::ExteriorTradeFirst && self.endangers().is_empty() && calls.iter().any(exterior)
        {
            calls.retain(exterior);
        }
        // of those that share as much, the first
        let best = calls.iter().rev().max_by_key(|call| shared(call)).copied().filter(|call| shared(call) > 0);
        let first = || calls.first().copied().filter(|_| self.settled.held == Verdict::ExteriorTradeFirst);
        best.or_else(first)
    }
}
