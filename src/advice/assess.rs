//! From answers to an assessment: facts, limits, findings, verdict, and what is still open.

use super::content::Content;
use super::lowering::Lowering;
use super::open::OpenPoint;
use super::rows::{Ask, Call, Caution, Finding, Limit, Material, Sheet, Task};
use super::verdict::{Settled, Verdict};
use crate::flow::{Answers, Slot, State, Truth, Value};
use crate::site::{FACTS, FactKind, Figures, ON_THE_LINE, SLOPE, Site};
use crate::units::{Length, Units};
use crate::wall::{Level, Sense, Status, judge, shortfall};

/// Everything that follows from the answers of a visit.
#[derive(Debug)]
pub struct Assessment<'c> {
    /// The content it was made with.
    pub content: &'c Content,
    /// The answers.
    pub answers: &'c Answers,
    /// How lengths are shown.
    pub units: Units,
    /// What is shown and what counts.
    pub state: State,
    /// The answers in building terms.
    pub site: Site,
    /// Values of all names.
    pub values: Vec<Value>,
    /// One entry a limit, in content order.
    pub clearances: Vec<Clearance>,
    /// Truth of each finding, in content order.
    pub findings: Vec<Truth>,
    /// The verdict.
    pub settled: Settled,
    /// How far to lower the finish, if there is anything to say about it.
    pub lowering: Option<Lowering>,
    /// What to find out, the most telling first.
    pub open: Vec<OpenPoint>,
    /// Wind-driven rain on this wall, where hours of weather were given.
    pub exposure: Option<super::Exposure>,
    /// What the visit holds besides its answers.
    pub notes: super::Notes,
}

/// An assessment without the answers it was made from.
pub(super) struct Judged {
    pub(super) state: State,
    pub(super) site: Site,
    pub(super) values: Vec<Value>,
    pub(super) clearances: Vec<Clearance>,
    pub(super) findings: Vec<Truth>,
    pub(super) settled: Settled,
    pub(super) lowering: Option<Lowering>,
}

/// A limit held against its measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clearance {
    /// Whether the limit applies.
    pub applies: Truth,
    /// How the measure stands, if it applies.
    pub status: Status,
    /// The middle of the measure.
    pub measured: Option<i64>,
    /// By how much the middle misses; negative is to spare.
    pub short_by: Option<i64>,
    /// Where along the wall, if the height varies.
    pub along: Option<Along>,
}

/// Where along the wall a limit is met least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Along {
    /// Offset of the worst place from the left end.
    pub at: Length,
    /// Length of wall over which the limit is missed.
    pub short_over: Length,
}

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

    pub(super) fn judge(&self, answers: &Answers, state: State) -> Judged {
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
        let settled = Verdict::of(self.verdict_rules(&clearances, &findings));
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

    fn figures(&self, region: Option<&str>) -> Figures {
        // the content bounds risers by bounding the rise of a step or the thickness of a slab
        let risers = ["step_rise", "slab_thickness"].map(|id| self.names.slot(id));
        let highest_riser = self
            .limits
            .iter()
            .filter(|l| risers.contains(&Some(l.measure)) && l.sense == Sense::AtMost && l.holds_in(region))
            .map(|l| Length::from_steps(l.bound))
            .min();
        Figures { per_reading: self.per_reading, highest_riser }
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

    /// Values of [`super::content::AFTER_LIMITS`], in their order.
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

    pub(super) fn when_lowered(&self, slot: Slot) -> i64 {
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

impl Limit {
    /// Whether the limit holds in a region; in no region in particular, only those that hold everywhere.
    #[must_use]
    pub fn holds_in(&self, region: Option<&str>) -> bool {
        self.regions.is_empty() || region.is_some_and(|here| self.regions.iter().any(|r| r == here))
    }
}

impl Clearance {
    /// Whether the limit is broken: unknown if it may be.
    #[must_use]
    pub fn breaks(&self) -> Truth {
        let missed = match self.status {
            Status::Fails => Truth::Yes,
            Status::Passes | Status::Off => Truth::No,
            Status::Close | Status::Unknown => Truth::Unknown,
        };
        self.applies.and(missed)
    }
}

/// The middle of a value.
#[must_use]
pub(super) fn middle(value: Value) -> Option<i64> {
    match value {
        Value::Is(n) => Some(n),
        // a one-sided bound has no middle
        Value::Between(low, high) if low > i64::MIN / 4 && high < i64::MAX / 4 => Some(i64::midpoint(low, high)),
        _ => None,
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

impl<'c> Assessment<'c> {
    /// The findings that hold, the gravest first.
    pub fn held(&self) -> impl Iterator<Item = &'c Finding> {
        let mut held: Vec<&Finding> =
            self.content.findings.iter().zip(&self.findings).filter(|(_, t)| t.is_yes()).map(|(f, _)| f).collect();
        held.sort_by_key(|f| std::cmp::Reverse(f.verdict));
        held.into_iter()
    }

    /// The findings that no further answer settles: somebody has to go and look.
    pub fn to_look_into(&self) -> impl Iterator<Item = &'c Finding> {
        let find_out = self.settled.certain == Verdict::FindOutFirst;
        let listed: Vec<usize> = self.open.iter().flat_map(|p| p.findings.iter().copied()).collect();
        self.content.findings.iter().enumerate().zip(&self.findings).filter_map(move |((i, f), t)| {
            let counts = find_out && t.is_yes() && f.verdict == Some(Verdict::FindOutFirst) && !listed.contains(&i);
            counts.then_some(f)
        })
    }

    /// The limits that apply, with their clearances: broken ones first, then close and unknown ones.
    #[must_use]
    pub fn limits(&self) -> Vec<(&'c Limit, Clearance)> {
        let mut list: Vec<(&Limit, Clearance)> = self
            .content
            .limits
            .iter()
            .zip(&self.clearances)
            .filter(|(_, c)| c.applies == Truth::Yes)
            .map(|(l, c)| (l, *c))
            .collect();
        let rank = |c: &Clearance| match c.status {
            Status::Fails => 0,
            Status::Close => 1,
            Status::Unknown => 2,
            _ => 3,
        };
        list.sort_by_key(|(l, c)| (rank(c), l.verdict.is_none()));
        list
    }

    /// The limits that apply and bound a measure in this sense.
    pub(super) fn bounds_on(&self, measure: &str, sense: Sense) -> impl Iterator<Item = &'c Limit> {
        let slot = self.content.names.slot(measure);
        let rows = self.content.limits.iter().zip(&self.clearances);
        rows.filter(move |(l, c)| Some(l.measure) == slot && l.sense == sense && c.applies == Truth::Yes)
            .map(|(l, _)| l)
    }

    /// The tasks of a sheet, or all.
    pub fn tasks(&self, sheet: Option<Sheet>) -> impl Iterator<Item = &'c Task> {
        let wanted = move |t: &&Task| sheet.is_none_or(|s| t.sheets.contains(&s));
        let mut tasks: Vec<&Task> = self.content.tasks.iter().filter(|t| self.holds(&t.when)).filter(wanted).collect();
        tasks.sort_by_key(|t| t.phase);
        tasks.into_iter()
    }

    /// The questions for the contractor, the weightiest first.
    pub fn asks(&self) -> impl Iterator<Item = &'c Ask> {
        self.content.asks.iter().filter(|a| self.holds(&a.when))
    }

    /// The trades to bring in.
    pub fn calls(&self) -> impl Iterator<Item = &'c Call> {
        self.content.calls.iter().filter(|c| self.holds(&c.when))
    }

    /// The dangers of a sheet, or all. One that cannot be ruled out is printed too.
    pub fn cautions(&self, sheet: Option<Sheet>) -> impl Iterator<Item = &'c Caution> {
        let wanted = move |c: &&Caution| sheet.is_none_or(|s| c.sheets.contains(&s));
        self.content.cautions.iter().filter(|c| c.when.eval(&self.values).is_possible()).filter(wanted)
    }

    /// The limits of materials of a sheet, or all.
    pub fn materials(&self, sheet: Option<Sheet>) -> impl Iterator<Item = &'c Material> {
        let wanted = move |m: &&Material| sheet.is_none_or(|s| m.sheets.contains(&s));
        self.content.materials.iter().filter(|m| self.holds(&m.when)).filter(wanted)
    }

    fn holds(&self, when: &crate::flow::Condition) -> bool {
        when.eval(&self.values).is_yes()
    }
}
