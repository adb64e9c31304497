//! What judging looks at again and again, sorted once from the rows: which of them can count at all, and lists of those that do
//! something special.

use super::basis::Basis;
use super::content::{Content, Slots};
use super::rows::{Guard, Limit};
use crate::flow::{Bits, Gates, Slot, Value};
use crate::names::QuestionId;
use crate::site::{FACTS, FactId};
use crate::wall::Sense;

/// Rows sorted for judging.
#[derive(Debug, Default)]
pub struct Quick {
    limits: Gates,
    findings: Gates,
    /// By region, the limits that hold there.
    limits_in: Vec<Bits>,
    /// The limits that hold where the region is not known.
    limits_anywhere: Bits,
    /// Limits that lowering the surface helps, and that say how far.
    pub(crate) lowering: Vec<usize>,
    /// Limits with a verdict that bound the step at the door from above.
    pub(crate) step_at_door: Vec<usize>,
    /// Limits that bound a riser from above.
    pub(crate) risers: Vec<usize>,
    /// Findings that the program sees by itself.
    pub(crate) guards: Vec<(usize, Guard)>,
    /// Findings that tell that water is held.
    pub(crate) telling: Vec<usize>,
}

impl Quick {
    /// The limits that may apply, with the values before them; all others are off.
    pub(crate) fn open_limits(&self, region: Option<usize>, values: &[Value]) -> Bits {
        let mut open = self.limits.open(values);
        open.keep(region.and_then(|here| self.limits_in.get(here)).unwrap_or(&self.limits_anywhere));
        open
    }

    /// The findings that may hold by their condition; all others certainly do not.
    pub(crate) fn open_findings(&self, values: &[Value]) -> Bits {
        self.findings.open(values)
    }
}

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

impl Slots {
    /// Whether a measure grows (`1`), shrinks (`-1`) or stays when the finish is lowered.
    #[must_use]
    pub fn when_lowered(&self, slot: Slot) -> i64 {
        let fact = usize::from(slot).checked_sub(self.facts).and_then(|at| FACTS.get(at));
        fact.map_or(0, |fact| fact.kind.when_lowered())
    }
}
