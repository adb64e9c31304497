//! Rows sorted for judging.

use super::basis::Basis;
use super::content::Content;
use super::looks::Looks;
use super::quick::Quick;
use super::rows::Limit;
use crate::flow::{Bits, Gates, Slot};
use crate::names::QuestionId;
use crate::pack::Late;
use crate::site::FactId;
use crate::wall::Sense;

/// Facts of which a height besides decides whether only the tape leaves them open.
const LEFT_OPEN_BY: [(FactId, FactId); 2] =
    [(FactId::TraceHeldAtDoor, FactId::ThresholdAboveFinish), (FactId::ExitBuried, FactId::ExitAboveFinish)];

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
        self.looks = Late::from(self.looks_at());
    }

    /// What looks at each value.
    fn looks_at(&self) -> Looks {
        let count = self.vocabulary.len();
        let rows = [self.flow.questions.len(), self.defined.len(), self.limits.len(), self.findings.len()];
        let mut looks = Looks::none(count, rows);
        for layer in &self.layers {
            layer.when.reads().for_each(|slot| looks.layers.insert(usize::from(slot)));
        }
        for (at, question) in self.flow.questions.iter().enumerate() {
            question.visible.reads().for_each(|slot| looks.questions.note(usize::from(slot), at));
        }
        // what is behind a defined fact counts too: what only the tape leaves open hangs on it
        let mut behind: Vec<Bits> = Vec::with_capacity(self.defined.len());
        let all = |reads: &mut dyn Iterator<Item = Slot>, behind: &[Bits]| {
            let mut found = Bits::none(count);
            for slot in reads.map(usize::from) {
                found.insert(slot);
                let defined = slot.checked_sub(self.slots.defined).and_then(|at| behind.get(at));
                if let Some(more) = defined {
                    found.add(more);
                }
                for (fact, height) in LEFT_OPEN_BY {
                    if self.fact_slot(fact) == slot {
                        found.insert(self.fact_slot(height));
                    }
                }
            }
            found
        };
        for (at, defined) in self.defined.iter().enumerate() {
            defined.when.reads().for_each(|slot| looks.defined.note(usize::from(slot), at));
            let found = all(&mut defined.when.reads(), &behind);
            behind.push(found);
        }
        for (at, finding) in self.findings.iter().enumerate() {
            all(&mut finding.when.reads(), &behind).iter().for_each(|slot| looks.findings.note(slot, at));
        }
        for (at, limit) in self.limits.iter().enumerate() {
            let mut reads = limit.when.reads().chain([limit.measure]);
            all(&mut reads, &behind).iter().for_each(|slot| looks.limits.note(slot, at));
        }
        looks
    }
}
