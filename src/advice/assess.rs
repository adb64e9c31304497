//! From answers to an assessment: facts, limits, findings, verdict, and what is still open.

use super::content::Content;
use super::rows::{Ask, Basis, Call, Caution, Finding, Limit, Material, Sheet, Task};
use super::verdict::{Settled, Verdict};
use crate::flow::{Answer, Answers, Slot, State, Truth, Value};
use crate::site::{FACTS, FactKind, Figures, MEASURED_FROM_FINISH, ON_THE_LINE, SLOPE, Site};
use crate::units::{Elevation, Length, Units};
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

/// The surface brought down until everything passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lowering {
    /// On paper. Zero when nothing fails; never negative.
    pub by: Length,
    /// With the measuring error added; negative: the surface could stand that much higher.
    pub sure: Length,
    /// The limit that governs.
    pub limit: usize,
    /// Depth below the mark of the highest finish that is sure, if the mark is tied to it.
    pub highest: Option<Length>,
    /// The same at the left and the right end, where they differ: between them the surface may slope.
    pub ends: Option<(Length, Length)>,
    /// The step at the door then, if there is a door.
    pub step: Option<Length>,
    /// A limit of the step at the door that this step breaks.
    pub step_breaks: Option<usize>,
    /// Depth below the mark of the lowest finish that keeps the step at the door within its limit.
    pub lowest: Option<Length>,
    /// Whether the exit is among what was counted. If not, it may ask for more.
    pub exit_known: bool,
}

/// Something to find out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenPoint {
    /// The question.
    pub question: usize,
    /// Whether it has a figure already, which is too close to call: then measure again.
    pub again: bool,
    /// The worst verdict that hangs on it.
    pub worst: Verdict,
    /// The findings that hang on it.
    pub findings: Vec<usize>,
    /// The limits that hang on it.
    pub limits: Vec<usize>,
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
        let site = Site::read(&self.flow, answers, &state, &self.wood_lines);
        let region = self.region(answers);
        let mut values = state.values.clone();
        values.resize(self.slots.facts, Value::Unknown);
        for (fact, value) in FACTS.iter().zip(site.facts(self.figures(region))) {
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
        };
        assessment.open = assessment.open_points();
        assessment
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

    /// The highest finish that meets every limit which lowering can help.
    ///
    /// Limits that only advise count for the exit and for the threshold: both must lie open, whoever says so.
    fn lowering(&self, site: &Site, clearances: &[Clearance], values: &[Value]) -> Option<Lowering> {
        let always = ["exit.above_finish", "threshold.above_finish"].map(|name| self.names.slot(name));
        let below_mark = site.levels.above(Level::Mark, Level::Finish).map(|h| h.up);
        let mut worst: Option<(i64, i64, usize)> = None;
        let mut ends: Option<(Length, Length)> = None;
        for (i, (limit, c)) in self.limits.iter().zip(clearances).enumerate() {
            let helps = limit.sense == Sense::AtLeast
                && self.when_lowered(limit.measure) == 1
                && (limit.verdict.is_some()
                    || always.contains(&Some(limit.measure)) && limit.origin.basis == Basis::Practice)
                && c.applies == Truth::Yes;
            let (true, Some(short), Some(low)) = (helps, c.short_by, low(values[limit.measure as usize])) else {
                continue;
            };
            let sure = limit.bound - low;
            if worst.is_none_or(|(s, ..)| sure > s) {
                worst = Some((sure, short, i));
            }
            if let Some((left, right)) = self.deepest_for(site, limit, Length::from_steps(sure)) {
                ends = Some(ends.map_or((left, right), |(l, r)| (l.max(left), r.max(right))));
            }
        }
        let (sure, short, limit) = worst?;
        let tied = below_mark.is_some() || site.line(Level::Finish).is_some();
        // a level surface has to clear the lower end
        let highest = ends.filter(|_| tied).map(|(left, right)| left.max(right));
        let ends = ends.filter(|(left, right)| tied && left != right);
        let level = site.line(Level::Finish).is_none_or(|line| line.is_level());
        // the new height is set out from the mark: what counts is how well the way from the mark is known
        let sure = match (highest, below_mark) {
            (Some(highest), Some(below)) if level => highest - below,
            _ => Length::from_steps(sure),
        };
        let step = site.height(Level::Mark, Level::Finish).filter(|_| level).and(highest);
        let threshold = self.names.slot("threshold.above_finish");
        let steps = || {
            self.limits.iter().zip(clearances).enumerate().filter(move |(_, (l, c))| {
                Some(l.measure) == threshold
                    && l.sense == Sense::AtMost
                    && l.verdict.is_some()
                    && c.applies == Truth::Yes
            })
        };
        let step_breaks = step.and_then(|step| steps().find(|(_, (l, _))| step.steps() > l.bound).map(|(i, _)| i));
        let lowest =
            site.height(Level::Mark, Level::Finish).and(steps().map(|(_, (l, _))| Length::from_steps(l.bound)).min());
        let by = Length::from_steps(short.max(0));
        let exit_known = self.names.slot("exit.above_finish").is_some_and(|s| values[s as usize] != Value::Unknown);
        Some(Lowering { by, sure, limit, highest, ends, step, step_breaks, lowest, exit_known })
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

    /// How far below the mark the finish must lie for this limit, measuring error included: at the left
    /// end, at the right end.
    fn deepest_for(&self, site: &Site, limit: &Limit, sure: Length) -> Option<(Length, Length)> {
        let fact = (limit.measure as usize).checked_sub(self.slots.facts).and_then(|i| FACTS.get(i))?;
        let level = match fact.kind {
            FactKind::Height(level, Level::Finish) => level,
            // what stands at its own place: the planned surface goes down as it is
            FactKind::OverFinish => {
                if let (true, Some(line), Some(length)) = (site.slopes(), site.line(Level::Finish), site.length) {
                    let at = |offset| Elevation::MARK.above(line.at(offset)) + sure;
                    return Some((at(Length::ZERO), at(length)));
                }
                let depth = site.levels.above(Level::Mark, Level::Finish)?.up + sure;
                return Some((depth, depth));
            }
            _ => return None,
        };
        let bound = Length::from_steps(limit.bound);
        if let (Some(line), Some(length)) = (site.line(level).filter(|line| !line.is_level()), site.length) {
            let at = |offset| Elevation::MARK.above(line.at(offset)) + self.per_reading + bound;
            if site.bends() {
                // between its ends it may lie lower than at both
                let deepest = Elevation::MARK.above(line.between(Length::ZERO, length).0) + self.per_reading + bound;
                return Some((deepest, deepest));
            }
            return Some((at(Length::ZERO), at(length)));
        }
        let height = site.levels.above(Level::Mark, level)?;
        let depth = height.up + height.tolerance(self.per_reading) + bound;
        Some((depth, depth))
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

    fn when_lowered(&self, slot: Slot) -> i64 {
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

fn low(value: Value) -> Option<i64> {
    match value {
        Value::Is(n) | Value::Between(n, _) => Some(n),
        _ => None,
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

    /// The highest finish, between `solved` and the one there is, at which the verdict is no worse than
    /// now. Heights that were measured from the finish move with it. Nothing if even the present one is
    /// higher than `solved`.
    #[must_use]
    pub fn highest_that_holds(&self, solved: Length) -> Option<Length> {
        let now = self.site.levels.above(Level::Mark, Level::Finish)?.up;
        if solved > now || self.site.slopes() {
            return None;
        }
        let holds = |below: Length| {
            let answers = self.with_finish_at(below, now)?;
            let assessment = self.content.assess(&answers, self.units);
            Some(assessment.settled.verdict <= self.settled.verdict)
        };
        if holds(solved)? {
            return Some(solved);
        }
        // down from the solved height towards the present one, to a sixteenth of an inch
        let step = Length::sixty_fourths(4);
        let (mut bad, mut good) = (0, (now - solved).steps() / step.steps());
        while good - bad > 1 {
            let middle = i64::midpoint(bad, good);
            if holds(solved + step * middle)? {
                good = middle;
            } else {
                bad = middle;
            }
        }
        Some((solved + step * good).min(now))
    }

    /// The answers with the finish at another depth below the mark.
    fn with_finish_at(&self, below: Length, now: Length) -> Option<Answers> {
        let flow = &self.content.flow;
        let mut answers = self.answers.clone();
        let way = flow.question("finish_way")?;
        let down = flow.questions[way].choices.iter().position(|c| c.id == "down_from_mark")?;
        answers.set(way, Answer::Choice(down));
        answers.set(flow.question("finish_below_mark")?, Answer::Length(below));
        for id in MEASURED_FROM_FINISH {
            let Some(number) = flow.question(id) else { continue };
            if let Some(Answer::Length(height)) = self.answers.get(number) {
                answers.set(number, Answer::Length(*height + (below - now)));
            }
        }
        Some(answers)
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

    /// The questions whose answers could still make the verdict worse.
    fn open_points(&self) -> Vec<OpenPoint> {
        let content = self.content;
        let mut points: Vec<OpenPoint> = Vec::new();
        let mut note = |questions: Vec<(usize, bool)>, worst: Verdict, finding: Option<usize>, limit: Option<usize>| {
            for (question, again) in questions {
                let at = points.iter().position(|p| p.question == question).unwrap_or_else(|| {
                    points.push(OpenPoint { question, again, worst, findings: Vec::new(), limits: Vec::new() });
                    points.len() - 1
                });
                points[at].worst = points[at].worst.max(worst);
                points[at].findings.extend(finding);
                points[at].limits.extend(limit);
            }
        };
        for (i, (finding, truth)) in content.findings.iter().zip(&self.findings).enumerate() {
            match (truth, finding.verdict) {
                (Truth::Unknown, Some(worst)) if worst > self.settled.certain => {
                    note(self.questions_behind(&finding.when.undecided_by(&self.values)), worst, Some(i), None);
                }
                // it holds because something is not known: that is what to find out
                (Truth::Yes, Some(Verdict::FindOutFirst)) if self.settled.certain == Verdict::FindOutFirst => {
                    let unknown = |slot: &Slot| matches!(self.values[*slot as usize], Value::Unknown);
                    let slots: Vec<Slot> = finding.when.reads().filter(unknown).collect();
                    note(self.questions_behind(&slots), Verdict::FindOutFirst, Some(i), None);
                }
                _ => {}
            }
        }
        for (i, (limit, clearance)) in content.limits.iter().zip(&self.clearances).enumerate() {
            let Some(worst) =
                limit.verdict.filter(|v| clearance.breaks() == Truth::Unknown && *v > self.settled.certain)
            else {
                continue;
            };
            let mut slots = limit.when.undecided_by(&self.values);
            if matches!(clearance.status, Status::Unknown | Status::Close) {
                slots.push(limit.measure);
            }
            note(self.questions_behind(&slots), worst, None, Some(i));
        }
        points.sort_by_key(|p| {
            let weight = p.findings.len() + p.limits.len();
            let effort = &content.flow.questions[p.question].effort;
            // what one can do alone comes before what somebody else must be asked for
            (std::cmp::Reverse(p.worst), effort.who != "you", std::cmp::Reverse(weight), effort.minutes, p.question)
        });
        points
    }

    /// The shown questions that stand behind undecided slots, and whether each is to be measured again.
    fn questions_behind(&self, slots: &[Slot]) -> Vec<(usize, bool)> {
        let mut found = Vec::new();
        let mut seen = vec![false; self.values.len()];
        let mut todo: Vec<usize> = slots.iter().map(|s| *s as usize).collect();
        let slots = self.content.slots;
        while let Some(slot) = todo.pop() {
            if std::mem::replace(&mut seen[slot], true) {
                continue;
            }
            if slot < slots.facts {
                match self.state.shown[slot] {
                    Truth::Yes => found.push((slot, false)),
                    Truth::Unknown => {
                        let visible = &self.content.flow.questions[slot].visible;
                        todo.extend(visible.undecided_by(&self.values).into_iter().map(usize::from));
                    }
                    Truth::No => {}
                }
            } else if slot < slots.defined {
                let fact = &FACTS[slot - slots.facts];
                // a question that may or may not be asked leads on to what decides that
                let maybe = |q: &usize| {
                    let slope = SLOPE.contains(&self.content.flow.questions[*q].id.as_str());
                    self.state.shown[*q] == Truth::Unknown && (!slope || self.values[*q] == Value::Unasked)
                };
                todo.extend(
                    self.site.missing(fact.name).iter().filter_map(|id| self.content.flow.question(id)).filter(maybe),
                );
                found.extend(self.questions_behind_fact(fact, self.values[slot]));
            } else if slot < slots.limits {
                let when = &self.content.defined[slot - slots.defined].when;
                todo.extend(when.undecided_by(&self.values).into_iter().map(usize::from));
            } else if slot < slots.after {
                let limit = &self.content.limits[slot - slots.limits];
                todo.extend(limit.when.undecided_by(&self.values).into_iter().map(usize::from));
                todo.push(limit.measure as usize);
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    fn questions_behind_fact(&self, fact: &crate::site::Fact, value: Value) -> Vec<(usize, bool)> {
        let flow = &self.content.flow;
        let shown = |id: &str| flow.question(id).filter(|q| self.state.shown[*q] == Truth::Yes);
        let ids = self.site.missing(fact.name);
        let slope = |q: usize| SLOPE.contains(&flow.questions[q].id.as_str());
        let open: Vec<(usize, bool)> = ids
            .iter()
            .filter_map(|id| shown(id))
            .filter(|q| match self.values[*q] {
                Value::Unasked => true,
                // whether the wall slopes tells nothing about a height that nobody has measured
                Value::Unknown => fact.name == "exit.at_worst_above_finish" || !slope(*q),
                _ => false,
            })
            .map(|q| (q, false))
            .collect();
        if !open.is_empty() {
            return open;
        }
        if matches!(value, Value::Between(..)) || fact.name == "exit.buried" && self.site.levels.has(Level::Exit) {
            // known, but too close to call: measure again what it was got from
            let measured = ["exit_below_mark", "exit_above_ground", "exit_above_surface", "finish_below_mark"];
            let wood = ["wood_below_mark"];
            let list: &[&str] = match fact.kind {
                FactKind::Height(Level::Wood, _) => &wood,
                FactKind::Height(..) | FactKind::YesNo => &measured,
                _ => &ids,
            };
            let answered = |q: &usize| matches!(self.values[*q], Value::Is(_));
            return list.iter().filter_map(|id| shown(id)).filter(answered).map(|q| (q, true)).take(1).collect();
        }
        // every way of measuring was answered "cannot see": then finding it is what is left
        ids.first().and_then(|id| shown(id)).map(|q| (q, false)).into_iter().collect()
    }
}
