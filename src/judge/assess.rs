//! From answers to an assessment: facts, limits, findings, verdict, and what is still open.

use super::model::{Along, Assessment, Clearance, Judged, Lowering, Settled, middle};
use crate::content::{Content, Limit, Verdict};
use crate::flow::{Answers, Slot, State, Truth, Value};
use crate::site::{FACTS, FactKind, Figures, ON_THE_LINE, SLOPE, Site};
use crate::units::{Length, Units};
use crate::wall::{Level, Sense, Status, judge, shortfall};

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
        let Judged { state, site, values, clearances, findings, settled, lowering } = self.judge(answers, state);
        let mut assessment = Assessment {
            content: self,
            answers,
            units,
            state,
            site,
            values,
            clearances,
            findings,
            settled,
            lowering,
            open: Vec::new(),
            exposure: None,
            notes: super::Notes::default(),
        };
        assessment.open = assessment.open_points();
        assessment
    }

    /// The verdict alone, for trying out many answers.
    #[must_use]
    pub fn settle(&self, answers: &Answers) -> Settled {
        self.judge(answers, self.flow.state(answers)).settled
    }

    pub(crate) fn judge(&self, answers: &Answers, state: State) -> Judged {
        let site = Site::read(&self.flow, answers, &state, &self.wood_lines);
        let region = self.region(answers);
        let mut values = state.values.clone();
        values.resize(self.slots.facts, Value::Unknown);
        // once nothing is left to be asked, nothing waits
        let asking = state.values.contains(&Value::Unasked);
        for (fact, value) in FACTS.iter().zip(site.facts(self.figures(region))) {
            if !asking {
                values.push(value);
                continue;
            }
            let waits = |id: &&str| self.flow.question(id).is_some_and(|q| state.values[q] == Value::Unasked);
            // a height that is known may still turn out worse elsewhere along the wall
            let may_vary = matches!(fact.kind, FactKind::Height(..)) || fact.name == "exit.buried";
            // what is taken to be in order until somebody says otherwise
            let taken = fact.name.starts_with("trace.") && value != Value::Absent;
            let waiting = (value == Value::Unknown || taken) && site.missing(fact.name).iter().any(waits)
                || may_vary && value != Value::Absent && SLOPE.iter().any(waits)
                || may_vary && site.slopes() && ON_THE_LINE.iter().any(waits);
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
        let clearances: Vec<Clearance> = self
            .limits
            .iter()
            .map(|l| Clearance { along: self.along(&site, l), ..clear(l, region, &values) })
            .collect();
        values.extend(clearances.iter().map(|c| Value::choice(c.status as usize)));
        values.resize(self.slots.after, Value::Unknown);
        let lowering = self.lowering(&site, &clearances, &values);
        values.extend(self.after_limits(&site, &clearances, lowering, &values));
        let findings: Vec<Truth> = self.findings.iter().map(|f| f.when.eval(&values)).collect();
        let settled = Settled::of(self.verdict_rules(&clearances, &findings));
        Judged { state, site, values, clearances, findings, settled, lowering }
    }

    /// The region of the visit.
    #[must_use]
    pub fn region<'c>(&'c self, answers: &Answers) -> Option<&'c str> {
        let number = self.flow.question("region")?;
        match answers.get(number)? {
            crate::flow::Answer::Choice(index) => {
                self.flow.questions[number].choices.get(*index).map(|c| c.id.as_str())
            }
            _ => None,
        }
    }

    fn figures(&self, region: Option<&str>) -> Figures<'_> {
        // the content bounds risers by bounding the rise of a step or the thickness of a slab
        let risers = ["step_rise", "slab_thickness"].map(|id| self.names.slot(id));
        let highest_riser = self
            .limits
            .iter()
            .filter(|l| risers.contains(&Some(l.measure)) && l.sense == Sense::AtMost && l.holds_in(region))
            .map(|l| Length::from_steps(l.bound))
            .min();
        Figures { per_reading: self.per_reading, highest_riser, usual: &self.usual }
    }

    /// Where along the wall a limit on a height is met least.
    fn along(&self, site: &Site, limit: &Limit) -> Option<Along> {
        let fact = (limit.measure as usize).checked_sub(self.slots.facts).and_then(|i| FACTS.get(i))?;
        let FactKind::Height(upper, lower) = fact.kind else { return None };
        let closest = site.closest(upper, lower)?;
        let short_over = match limit.sense {
            Sense::AtLeast => site.short_over(upper, lower, Length::from_steps(limit.bound))?,
            Sense::AtMost => site.short_over(lower, upper, Length::from_steps(-limit.bound))?,
        };
        Some(Along { at: closest.at, short_over })
    }

    /// Values of [`crate::content::AFTER_LIMITS`], in their order.
    fn after_limits(
        &self,
        site: &Site,
        clearances: &[Clearance],
        lowering: Option<Lowering>,
        values: &[Value],
    ) -> [Value; 7] {
        let length = |l: Option<Length>| l.map_or(Value::Unknown, |l| Value::Is(l.steps()));
        let deeper = lowering.filter(|l| l.by > Length::ZERO).map_or(Length::ZERO, |l| l.sure);
        let fill = site.levels.above(Level::Finish, Level::Ground).map(|h| h.up);
        let dig = self.layers_together(values).zip(fill).map(|(together, fill)| together + deeper - fill);
        let failed =
            clearances.iter().zip(&self.limits).filter(|(c, l)| c.status == Status::Fails && l.verdict.is_some());
        let failed = i64::try_from(failed.count()).unwrap_or(i64::MAX);
        let threshold = self.names.slot("threshold.above_finish").map_or(Value::Unknown, |s| values[s as usize]);
        [
            length(lowering.map(|l| l.by)),
            length(lowering.map(|l| if l.by == Length::ZERO { Length::ZERO } else { l.sure })),
            length(lowering.and_then(|l| l.highest)),
            if threshold == Value::Absent { Value::Absent } else { length(lowering.and_then(|l| l.step)) },
            length(dig),
            length(dig.zip(site.footing).map(|(dig, footing)| footing - dig)),
            Value::Is(failed * 1000),
        ]
    }

    /// How thick the layers of the work are together; nothing where they are not known.
    fn layers_together(&self, values: &[Value]) -> Option<Length> {
        let layers = self.layers.iter().filter(|l| l.when.eval(values).is_yes());
        layers.map(|l| l.thickness).reduce(|sum, thickness| sum + thickness)
    }

    pub(crate) fn when_lowered(&self, slot: Slot) -> i64 {
        let slot = slot as usize;
        if (self.slots.facts..self.slots.defined).contains(&slot) {
            FACTS[slot - self.slots.facts].kind.when_lowered()
        } else {
            0
        }
    }

    /// Every rule that carries a verdict, with its truth.
    fn verdict_rules<'a>(
        &'a self,
        clearances: &'a [Clearance],
        findings: &'a [Truth],
    ) -> impl Iterator<Item = (Truth, Verdict)> + 'a {
        let limits = self.limits.iter().zip(clearances).filter_map(|(l, c)| Some((c.breaks(), l.verdict?)));
        let rules = self.findings.iter().zip(findings).filter_map(|(f, t)| Some((*t, f.verdict?)));
        limits.chain(rules)
    }
}

fn clear(limit: &Limit, region: Option<&str>, values: &[Value]) -> Clearance {
    let applies = if limit.holds_in(region) { limit.when.eval(values) } else { Truth::No };
    let value = values.get(limit.measure as usize).copied().unwrap_or_default();
    let (low, high) = match value {
        Value::Is(n) => (n, n),
        Value::Between(low, high) => (low, high),
        Value::Absent => {
            return Clearance { applies: Truth::No, status: Status::Off, measured: None, short_by: None, along: None };
        }
        Value::Unknown | Value::Unasked => (i64::MIN, i64::MAX),
    };
    let measured = middle(value);
    let status = match (applies, value) {
        (Truth::No, _) => Status::Off,
        (_, Value::Unknown | Value::Unasked) => Status::Unknown,
        _ => judge(limit.sense, limit.bound, low, high),
    };
    let short_by = measured.map(|m| shortfall(limit.sense, limit.bound, m));
    Clearance { applies, status, measured, short_by, along: None }
}
