//! From answers to an assessment: facts, limits, findings, verdict, and what is still open.

use super::model::{Along, Assessment, Clearance, Judged, Lowering, Settled, middle};
use crate::content::{AFTER_LIMITS, AfterId, Content, Finding, Guard, Limit, Verdict};
use crate::flow::{Answer, Answers, Bits, Condition, FAR, Slot, State, Truth, Value};
use crate::names::{FigureId, QuestionId};
use crate::site::{FACTS, FactId, FactKind, Figures, LevelChange, Site, SitePart};
use crate::units::{Length, Slope, Units};
use crate::wall::{Level, Sense, Status, judge, shortfall};
use std::rc::Rc;
use std::sync::OnceLock;

impl Content {
    /// Draws the conclusions from a set of answers.
    #[must_use]
    pub fn assess<'c>(&'c self, answers: &'c Answers, units: Units) -> Assessment<'c> {
        self.assess_state(answers, units, self.flow.state(answers))
    }

    /// The same in the middle of an interview: what was not asked yet may still be anything, so that
    /// [`Assessment::open`] lists every question that can still change the verdict.
    #[must_use]
    pub fn assess_so_far<'c>(&'c self, answers: &'c Answers, units: Units) -> Assessment<'c> {
        self.assess_state(answers, units, self.flow.state_so_far(answers))
    }

    fn assess_state<'c>(&'c self, answers: &'c Answers, units: Units, state: State) -> Assessment<'c> {
        let Judged { state, site, values, mut clearances, findings, mut settled, lowering } =
            self.judge(answers, state);
        self.tell_measures(&mut clearances, &site, &values);
        settled.certain = settled.certain.min(self.for_good(answers));
        let mut assessment = Assessment {
            content: self,
            answers,
            units,
            state,
            site: Rc::unwrap_or_clone(site),
            values,
            clearances,
            findings,
            settled,
            lowering,
            open: Vec::new(),
            exposure: None,
            notes: super::Notes::default(),
            lowered_for_room: OnceLock::new(),
            found_decisive: OnceLock::new(),
        };
        assessment.open = assessment.open_points();
        assessment.tell_lowering();
        assessment
    }

    /// The worst that stays whatever is found out later: what nobody is sure of counts as not asked yet.
    fn for_good(&self, answers: &Answers) -> Verdict {
        let mut known = answers.clone();
        for (question, _) in answers.iter().filter(|(_, answer)| **answer == Answer::NotSure) {
            known.clear(question);
        }
        self.judge(&known, self.flow.state_so_far(&known)).settled.held
    }

    /// The verdict alone, for trying out many answers.
    #[must_use]
    pub fn settle(&self, answers: &Answers) -> Settled {
        self.judge(answers, self.flow.state(answers)).settled
    }

    pub(crate) fn judge(&self, answers: &Answers, state: State) -> Judged {
        let mut site = Site::read(&self.catalog, answers, &state);
        let region = self.region(answers);
        let mut values = state.values.clone();
        values.resize(self.slots.facts, Value::Unknown);
        // once nothing is left to be asked, nothing waits
        let asking = state.values.contains(&Value::Unasked);
        let facts = site.facts(self.figures(region));
        let waits = |id: QuestionId| state.values[self.catalog.names.at(id)] == Value::Unasked;
        for (fact, value) in FACTS.iter().zip(facts) {
            if !asking {
                values.push(value);
                continue;
            }
            // a height that is known may still turn out worse elsewhere along the wall
            let may_vary = matches!(fact.kind, FactKind::Height(..))
                || matches!(
                    fact.id,
                    FactId::ExitBuried | FactId::ExitAboveMaker | FactId::ExitAboveWork | FactId::FloorAboveFinish
                );
            // what is taken to be in order until somebody says otherwise
            let taken = (fact.id.is_trace() || fact.id == FactId::ExitKind) && value != Value::Absent;
            let waiting = (value == Value::Unknown || taken) && site.missing(fact.id).into_iter().any(waits)
                || may_vary && value != Value::Absent && site.read_for(SitePart::Slope).any(waits)
                || may_vary && value != Value::Absent && site.read_for(SitePart::Strip).any(waits)
                || may_vary && site.slopes() && site.read_for(SitePart::OnTheLine).any(waits);
            values.push(if waiting { Value::Unasked } else { value });
        }
        for defined in &self.defined {
            values.push(match defined.when.eval(&values) {
                Truth::Yes => Value::yes_no(true),
                Truth::No => Value::yes_no(false),
                Truth::Unknown if defined.when.waits(&values) => Value::Unasked,
                Truth::Unknown => Value::Unknown,
            });
        }
        let open_limits = self.quick.open_limits(region, &values);
        let mut clearances: Vec<Clearance> = self.limits.iter().map(Clearance::off).collect();
        for at in open_limits.iter() {
            clearances[at] = self.clear(&self.limits[at], &site, region, &values);
        }
        values.extend(clearances.iter().map(|c| Value::choice(c.status as usize)));
        values.resize(self.slots.after, Value::Unknown);
        let lowering = self.lowering(&site, &clearances, &values);
        let after = self.after_limits(&site, &clearances, lowering, &values, self.layers_together(&values));
        for (row, value) in AFTER_LIMITS.iter().zip(after) {
            let waiting = asking && self.rests_of(row.id, &values).any(|slot| values[slot] == Value::Unasked);
            values.push(if waiting && value != Value::Absent { Value::Unasked } else { value });
        }
        let open_findings = self.quick.open_findings(&values);
        let mut findings = vec![Truth::No; self.findings.len()];
        for at in open_findings.iter() {
            findings[at] = self.truth_of(&self.findings[at], &site, &values);
        }
        self.guards(&site, region, &state, &mut findings);
        let settled = Settled::of(self.verdict_rules((&open_limits, &clearances), (&open_findings, &findings)));
        Judged { state, site: Rc::new(site), values, clearances, findings, settled, lowering }
    }

    /// What the program itself sees, where no rule says it: never a milder verdict for want of a rule.
    pub(super) fn guards(&self, site: &Site, region: Option<usize>, state: &State, findings: &mut [Truth]) {
        let told = self.quick.telling.iter().fold(Truth::No, |any, at| any.or(findings[*at]));
        let asked = |id: QuestionId| state.values[self.catalog.names.at(id)] != Value::Unasked;
        let known = |truth: bool, id: QuestionId| {
            if asked(id) { Truth::from(truth) } else { Truth::Unknown }
        };
        for (at, guard) in self.quick.guards.iter().copied() {
            findings[at] = match guard {
                Guard::UntoldTrace => site.held().and(!told),
                Guard::NoLimits => {
                    known(region.is_none_or(|here| self.regions_with_limits & (1 << here) == 0), QuestionId::Region)
                }
                Guard::NoRules => {
                    let none = |bit: i64| bit & self.claddings_without_rules != 0;
                    let value = state.values[self.catalog.names.at(QuestionId::Cladding)];
                    known(value.known().is_some_and(none), QuestionId::Cladding)
                }
            };
        }
    }

    /// The region of the visit, by its place among the choices.
    #[must_use]
    pub fn region(&self, answers: &Answers) -> Option<usize> {
        match answers.get(self.catalog.names.at(QuestionId::Region))? {
            Answer::Choice(index) => Some(*index),
            _ => None,
        }
    }

    pub(crate) fn figures(&self, region: Option<usize>) -> Figures<'_> {
        let risers = self.quick.risers.iter().map(|at| &self.limits[*at]).filter(|limit| limit.holds_in(region));
        let highest_riser = risers.map(|limit| Length::from_steps(limit.bound)).min();
        let slab = self.figure_length(FigureId::SlabLap).zip(self.figure_number(FigureId::SlabDensity));
        Figures { per_reading: self.per_reading, highest_riser, slab, usual: &self.usual, storm: self.storm() }
    }

    /// The truth of a finding. One that advises, or asks for no more than another plan, and that only the tape leaves open, holds:
    /// on the edge of a figure the plan is not sound, and more room must never be judged worse than less.
    pub(super) fn truth_of(&self, finding: &Finding, site: &Site, values: &[Value]) -> Truth {
        let truth = finding.when.eval(values);
        if truth != Truth::Unknown || finding.verdict > Some(Verdict::ChangePlan) {
            return truth;
        }
        if self.only_tape_leaves_open(&finding.when, site, values) { Truth::Yes } else { Truth::Unknown }
    }

    /// Whether a condition that is not decided would be, if the tape were exact.
    pub(crate) fn only_tape_leaves_open(&self, when: &Condition, site: &Site, values: &[Value]) -> bool {
        let open = when.undecided_by(values);
        !open.is_empty() && open.into_iter().all(|slot| self.left_open_by_tape(slot, site, values))
    }

    /// Whether nothing but the error of a tape keeps something from being told.
    pub(crate) fn left_open_by_tape(&self, slot: Slot, site: &Site, values: &[Value]) -> bool {
        let at = slot as usize;
        if let Some(defined) = at.checked_sub(self.slots.defined).and_then(|i| self.defined.get(i)) {
            return self.only_tape_leaves_open(&defined.when, site, values);
        }
        let Some(fact) = at.checked_sub(self.slots.facts).and_then(|i| FACTS.get(i)) else {
            return false;
        };
        match fact.kind {
            FactKind::Height(..) | FactKind::OverFinish | FactKind::Length => {
                is_measured(values[at]) && site.elsewhere_for(fact) == LevelChange::None
            }
            // a door lets its water out at a height, and only the tape leaves open whether the surface reaches it
            _ if fact.id == FactId::TraceHeldAtDoor => {
                let step = values[self.fact_slot(FactId::ThresholdAboveFinish)];
                let sill = self.usual.sill_below.steps();
                let straddles =
                    step.low().is_some_and(|low| low <= sill) && step.high().is_some_and(|high| high > sill);
                values[at] == Value::Unknown && is_measured(step) && (straddles || site.drainage.is_certain())
            }
            _ if fact.id == FactId::ExitBuried => self.left_open_by_tape_at(FactId::ExitAboveFinish, site, values),
            _ => false,
        }
    }

    fn left_open_by_tape_at(&self, id: FactId, site: &Site, values: &[Value]) -> bool {
        Slot::try_from(self.fact_slot(id)).is_ok_and(|slot| self.left_open_by_tape(slot, site, values))
    }

    /// Whether a limit of this country is broken, with such values.
    pub(super) fn breaks_with(&self, at: usize, site: &Site, values: &[Value]) -> Truth {
        let region = self.limits[at].regions.checked_ilog2().map(|bit| bit as usize);
        self.clear(&self.limits[at], site, region, values).breaks()
    }

    /// A limit held against its measure; where along the wall, and of one that is off the measure, is told by
    /// [`Content::tell_measures`].
    pub(super) fn clear(&self, limit: &Limit, site: &Site, region: Option<usize>, values: &[Value]) -> Clearance {
        let off = Clearance::off(limit);
        let mut applies = if limit.holds_in(region) { limit.when.eval(values) } else { Truth::No };
        if applies == Truth::Unknown && off.close_counts && self.only_tape_leaves_open(&limit.when, site, values) {
            applies = Truth::Yes;
        }
        let value = values.get(limit.measure as usize).copied().unwrap_or_default();
        if value == Value::Absent || applies == Truth::No {
            return off;
        }
        let fact = (limit.measure as usize).checked_sub(self.slots.facts).and_then(|i| FACTS.get(i));
        let elsewhere = fact.map_or(LevelChange::None, |fact| site.elsewhere_for(fact));
        let status = match value.low().zip(value.high()) {
            None => Status::Unknown,
            Some((low, high)) => match judge(limit.sense, limit.bound, low, high) {
                // not the tape leaves it open, but that nobody measured at the other places
                Status::Close if elsewhere != LevelChange::None || !is_measured(value) => Status::Unknown,
                // a fall is taken as it was read, to the finest length that there is; one that misses by less than the tape
                // can tell is too close
                Status::Fails if fact.is_some_and(|fact| fact.id == FactId::FallAway) => {
                    let within = |off: Option<Slope>| {
                        let off = off.map_or(0, Slope::parts);
                        judge(limit.sense, limit.bound, low - off, high + off) != Status::Fails
                    };
                    if within(site.fall_by(Length::from_steps(1))) {
                        Status::Passes
                    } else if within(site.fall_off_by(self.per_reading)) {
                        Status::Close
                    } else {
                        Status::Fails
                    }
                }
                status => status,
            },
        };
        let measured = self.as_read(limit.measure, site, value);
        let short_by = measured.map(|m| shortfall(limit.sense, limit.bound, m));
        Clearance { applies, status, measured, short_by, ..off }
    }

    /// What texts may ask of limits besides: where along the wall they are met least, and the measures of those that are off.
    fn tell_measures(&self, clearances: &mut [Clearance], site: &Site, values: &[Value]) {
        for (limit, clearance) in self.limits.iter().zip(clearances) {
            let value = values.get(limit.measure as usize).copied().unwrap_or_default();
            if value == Value::Absent {
                continue;
            }
            clearance.measured = self.as_read(limit.measure, site, value);
            clearance.short_by = clearance.measured.map(|m| shortfall(limit.sense, limit.bound, m));
            clearance.along = self.along(site, limit);
        }
    }

    /// A number as it was read, without what it may be elsewhere; the middle of what it may be.
    pub(crate) fn as_read(&self, slot: Slot, site: &Site, value: Value) -> Option<i64> {
        let fact = (slot as usize).checked_sub(self.slots.facts).and_then(|i| FACTS.get(i));
        match fact.map(|fact| fact.kind) {
            Some(FactKind::Height(a, b)) if site.elsewhere(a, b) != LevelChange::None && is_known(value) => {
                site.height(a, b).map(|height| height.up.steps())
            }
            _ => middle(value),
        }
    }

    /// Where along the wall a limit on a height is met least.
    fn along(&self, site: &Site, limit: &Limit) -> Option<Along> {
        let fact = (limit.measure as usize).checked_sub(self.slots.facts).and_then(|i| FACTS.get(i))?;
        let FactKind::Height(upper, lower) = fact.kind else {
            return None;
        };
        let closest = site.closest(upper, lower)?;
        let short_over = match limit.sense {
            Sense::AtLeast => site.short_over(upper, lower, Length::from_steps(limit.bound))?,
            Sense::AtMost => site.short_over(lower, upper, Length::from_steps(-limit.bound))?,
        };
        Some(Along { at: closest.at, short_over })
    }

    /// Values of [`crate::content::AFTER_LIMITS`], in their order; `together` says how thick the layers of the work are.
    pub(super) fn after_limits(
        &self,
        site: &Site,
        clearances: &[Clearance],
        lowering: Option<Lowering>,
        values: &[Value],
        together: Option<Length>,
    ) -> [Value; 7] {
        let length = |l: Option<Length>| l.map_or(Value::Unknown, |l| Value::Is(l.steps()));
        let deeper = lowering.filter(|l| l.by > Length::ZERO).map_or(Length::ZERO, |l| l.sure);
        let fill = site.levels.above(Level::Finish, Level::Ground).map(|h| h.up);
        let dig = together.zip(fill).map(|(together, fill)| together + deeper - fill);
        // what has no layers is not dug for
        let dug = |value: Value| {
            if together.is_none() && site.feature.is_some() { Value::Absent } else { value }
        };
        let failed = clearances.iter().zip(&self.limits).filter(|(c, l)| c.breaks().is_yes() && l.verdict.is_some());
        let failed = i64::try_from(failed.count()).unwrap_or(i64::MAX);
        let threshold = values[self.fact_slot(FactId::ThresholdAboveFinish)];
        [
            length(lowering.map(|l| l.by)),
            // a figure that only advises and is too close to call may still ask for that much
            length(lowering.map(|l| {
                let close = clearances[l.limit].status == Status::Close;
                if close || l.by > Length::ZERO { l.sure.max(Length::ZERO) } else { Length::ZERO }
            })),
            length(lowering.and_then(|l| l.highest)),
            if threshold == Value::Absent { Value::Absent } else { length(lowering.and_then(|l| l.step)) },
            dug(length(dig)),
            dug(length(dig.zip(site.footing).map(|(dig, footing)| footing - dig))),
            Value::Is(failed * 1000),
        ]
    }

    /// What a fact after the limits rests on: the slots that keep it from being known.
    pub(crate) fn rests_of(&self, id: AfterId, values: &[Value]) -> impl Iterator<Item = usize> {
        let mut rests: Vec<usize> = Vec::new();
        let limits = |rests: &mut Vec<usize>, all: bool| {
            for limit in self.limits.iter().filter(|l| all || self.when_lowered(l.measure) == 1) {
                let open = limit.when.undecided_by(values);
                if !open.is_empty() || limit.when.eval(values).is_yes() {
                    rests.push(usize::from(limit.measure));
                }
                rests.extend(open.into_iter().map(usize::from));
            }
        };
        match id {
            AfterId::LowerBy | AfterId::LowerBySure | AfterId::Highest | AfterId::StepAfter => {
                limits(&mut rests, false);
            }
            AfterId::LimitsFailed => limits(&mut rests, true),
            AfterId::DigAtWall | AfterId::DigAboveFooting => {
                rests.push(self.fact_slot(FactId::FinishAboveGround));
                rests.extend(self.layers.iter().flat_map(|l| l.when.undecided_by(values)).map(usize::from));
                limits(&mut rests, false);
                if id == AfterId::DigAboveFooting {
                    rests.push(self.catalog.names.at(QuestionId::FootingBelowGround));
                }
            }
        }
        rests.into_iter()
    }

    pub(crate) fn when_lowered(&self, slot: Slot) -> i64 {
        self.slots.when_lowered(slot)
    }

    /// Every rule that carries a verdict and may hold, with its truth: of those that are open by their conditions, and of those
    /// that the program sees by itself.
    pub(super) fn verdict_rules<'a>(
        &'a self,
        (open_limits, clearances): (&'a Bits, &'a [Clearance]),
        (open_findings, findings): (&'a Bits, &'a [Truth]),
    ) -> impl Iterator<Item = (Truth, Verdict)> + 'a {
        let limits = open_limits.iter().filter_map(|at| Some((clearances[at].breaks(), self.limits[at].verdict?)));
        let guards = self.quick.guards.iter().map(|(at, _)| *at);
        let rules = open_findings.iter().chain(guards);
        limits.chain(rules.filter_map(|at| Some((findings[at], self.findings[at].verdict?))))
    }
}

fn is_known(value: Value) -> bool {
    matches!(value, Value::Is(_) | Value::Between(..))
}

/// Whether a value is known from both sides.
fn is_measured(value: Value) -> bool {
    value.low().is_some_and(|low| low > -FAR) && value.high().is_some_and(|high| high < FAR)
}
