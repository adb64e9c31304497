//! Rows sorted for judging.

use super::basis::Basis;
use super::content::Content;
use super::quick::Quick;
use super::rows::Limit;
use crate::flow::{Bits, Gates};
use crate::names::QuestionId;
use crate::site::FactId;
use crate::wall::Sense;

impl Content {
    /// Sorts the rows anew: after some were changed.
    pub(super) fn sort_rows(&mut self) {
        let regions = self.flow.questions[self.catalog.names.at(QuestionId::Region)].choices.len();
        let holding = |region: Option<usize>| {
            let mut bits = Bits::none(self.limits.len());
            let here = self.limits.iter().enumerate().filter(|(_, limit)| limit.holds_in(region));
            here.for_each(|(at, _)| bits.insert(at));
            bits
        };
        let which = |counts: &dyn Fn(&Limit) -> bool| -> Vec<usize> {
            self.limits.iter().enumerate().filter(|(_, limit)| counts(limit)).map(|(at, _)| at).collect()
        };
        // limits that only advise count for the exit and for the threshold, which must both lie open, whoever says so; and for
        // the floor inside a wall that has no exit
        let always = [FactId::ExitAboveFinish, FactId::ThresholdAboveFinish, FactId::FloorAboveFinish]
            .map(|id| self.fact_slot(id));
        let threshold = self.fact_slot(FactId::ThresholdAboveFinish);
        // the content bounds risers by bounding the rise of a step or the thickness of a slab
        let risers = [QuestionId::StepRise, QuestionId::SlabThickness].map(|id| self.catalog.names.at(id));
        let findings = self.findings.iter().enumerate();
        self.quick = Quick {
            limits: Gates::of(self.limits.iter().map(|limit| (&limit.when, Some(limit.measure)))),
            findings: Gates::of(self.findings.iter().map(|finding| (&finding.when, None))),
            limits_in: (0..regions).map(|region| holding(Some(region))).collect(),
            limits_anywhere: holding(None),
            lowering: which(&|limit| {
                limit.sense == Sense::AtLeast
                    && self.slots.when_lowered(limit.measure) == 1
                    && (limit.verdict.is_some()
                        || always.contains(&usize::from(limit.measure)) && limit.origin.basis != Basis::Memory)
            }),
            step_at_door: which(&|limit| {
                usize::from(limit.measure) == threshold && limit.sense == Sense::AtMost && limit.verdict.is_some()
            }),
            risers: which(&|limit| risers.contains(&usize::from(limit.measure)) && limit.sense == Sense::AtMost),
            guards: findings.clone().filter_map(|(at, finding)| Some((at, finding.guard?))).collect(),
            telling: findings.filter(|(_, finding)| finding.tells_held).map(|(at, _)| at).collect(),
        };
    }
}
