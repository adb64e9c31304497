//! The surface brought down until every limit passes.

pub use super::model::Lowered;
use super::model::{Assessment, Clearance, Lowering};
use crate::content::{AfterId, Content, Limit};
use crate::flow::{FAR, Truth, Value};
use crate::names::{QuestionId, Shape};
use crate::site::{FACTS, FactId, FactKind, Site};
use crate::units::{Elevation, Length};
use crate::wall::{Level, Sense, Status};

/// How often a lowering that turned out too small is tried again, deeper.
const DEEPER: usize = 4;
/// How deep it is looked for a height that meets what no figure solves: so many strides, each of so many readings of a tape.
const STRIDES: i64 = 48;
const READINGS: i64 = 8;

impl Assessment<'_> {
    /// How far the surface has to go down to meet every limit that can fail a plan, tried out on the whole visit.
    #[must_use]
    pub fn lowered(&self) -> Lowered {
        let all = |_: &Limit| true;
        match self.lowered_for(&all) {
            Lowered::NotEnough => self.deeper_still(&all),
            found => found,
        }
    }

    /// The same for those limits alone that ask for room above the surface, and for the step at the door.
    #[must_use]
    pub fn lowered_for_room(&self) -> Lowered {
        let counts = |limit: &Limit| {
            limit.sense == Sense::AtLeast && self.content.when_lowered(limit.measure) == 1 || self.bounds_step(limit)
        };
        let found = || match self.lowered_for(&counts) {
            Lowered::By(by) | Lowered::ByWithSteps(by) if by > Length::ZERO => {
                match self.lowered_for_findings(by, &counts) {
                    Lowered::By(by) | Lowered::ByWithSteps(by) if self.is_cut_down(by) => Lowered::NotEnough,
                    found => found,
                }
            }
            found => found,
        };
        *self.lowered_for_room.get_or_init(found)
    }

    /// Whether the work itself is the way up to the door - a landing, steps, a ramp - or the way in without a step.
    pub(super) fn is_way_up(&self) -> bool {
        let names = &self.content.catalog.names;
        let step_free = names.at(QuestionId::StepFree);
        self.state.shown[names.at(QuestionId::LandingDepth)].is_yes()
            || self.state.values[step_free] == Value::yes_no(true)
    }

    /// Whether so little of a piece that stands up would be left that it is none any more: less than half of it.
    pub(super) fn is_cut_down(&self, by: Length) -> bool {
        let up = self.site.levels.above(Level::Finish, Level::Ground).map(|height| height.up);
        self.shape() == Some(Shape::Upright) && up.is_some_and(|up| up < by * 2)
    }

    /// Whether the surface cannot come down as far as the wall asks: the work is the way up to the door or a piece that stands up.
    #[must_use]
    pub fn cannot_come_down(&self) -> bool {
        let cut = self.lowering.is_some_and(|l| l.by > Length::ZERO && self.is_cut_down(l.sure.max(l.by)));
        cut || self.no_height_fits()
    }

    /// Whether the work is the way up to the door, and has to come down farther than the door allows.
    #[must_use]
    pub fn no_height_fits(&self) -> bool {
        let lower = self.lowering.filter(|l| l.by > Length::ZERO && l.step_breaks.is_some());
        self.is_way_up() && lower.is_some()
    }

    /// Whether a limit bounds the step at the door from above.
    fn bounds_step(&self, limit: &Limit) -> bool {
        limit.sense == Sense::AtMost
            && usize::from(limit.measure) == self.content.fact_slot(FactId::ThresholdAboveFinish)
    }

    /// How many of these limits are missed, and how many of them only because the step at the door is too high.
    fn missed(&self, clearances: &[Clearance], counts: &dyn Fn(&Limit) -> bool) -> (usize, usize) {
        let rows = self.content.limits.iter().zip(clearances);
        let missed = rows.filter(|(l, c)| l.verdict.is_some() && counts(l) && c.breaks() == Truth::Yes);
        missed.fold((0, 0), |(all, steps), (limit, _)| (all + 1, steps + usize::from(self.bounds_step(limit))))
    }

    /// What is missed with the surface so much lower; nothing where it cannot be said so.
    fn missed_at(&self, by: Length, counts: &dyn Fn(&Limit) -> bool) -> Option<((usize, usize), Option<Lowering>)> {
        let answers = self.with_finish_lowered(by)?;
        let judged = self.content.judge(&answers, self.content.flow.state(&answers));
        Some((self.missed(&judged.clearances, counts), judged.lowering))
    }

    fn lowered_for(&self, counts: &dyn Fn(&Limit) -> bool) -> Lowered {
        match self.missed(&self.clearances, counts) {
            (0, _) => return Lowered::NotNeeded,
            (all, steps) if all == steps => return Lowered::ByWithSteps(Length::ZERO),
            _ => {}
        }
        let Some(lowering) = self.lowering else { return Lowered::NotEnough };
        // what is shown is what is tried: a figure rounded down would miss the limit by a hair
        let whole = |length: Length| length.up_to_shown(self.units);
        // a measure that lies just on its figure may be too close to call
        let least = Length::from_steps(1);
        let mut by = whole(lowering.sure.max(least));
        for _ in 0..DEEPER {
            match self.missed_at(by, counts) {
                None => return Lowered::NotEnough,
                Some(((0, _), _)) => return Lowered::By(by),
                // what leads up to the door, or in without a step, cannot be mended by more steps
                Some(((all, steps), _)) if all == steps && self.is_way_up() => return Lowered::NotEnough,
                Some(((all, steps), _)) if all == steps => return Lowered::ByWithSteps(by),
                Some((_, more)) => by = whole(by + more.map_or(Length::ZERO, |l| l.sure).max(least)),
            }
        }
        Lowered::NotEnough
    }

    /// The same, where findings that hold because something of the wall lies too near to the surface ask for more still.
    fn lowered_for_findings(&self, by: Length, counts: &dyn Fn(&Limit) -> bool) -> Lowered {
        let needed = self.lower_by().map_or(by, |needed| needed.up_to_shown(self.units).max(by));
        let tried = |by: Length| match self.missed_at(by, counts)?.0 {
            (0, _) => Some(Lowered::By(by)),
            (all, steps) => (all == steps && !self.is_way_up()).then_some(Lowered::ByWithSteps(by)),
        };
        tried(needed).or_else(|| tried(by)).unwrap_or(Lowered::NotEnough)
    }

    /// Has the lowering say what the answer says: a figure that is known once the whole visit was tried out counts everywhere.
    pub(super) fn tell_lowering(&mut self) {
        let Some(lowering) = self.lowering else { return };
        let told = match self.build_to().lower {
            Some(lower) => lower,
            None if lowering.by > Length::ZERO => lowering.sure.up_to_shown(self.units),
            None => return,
        };
        let more = told - lowering.sure;
        let step = lowering.step.map(|step| step + more);
        let told = Lowering {
            sure: told,
            highest: lowering.highest.map(|highest| highest + more),
            ends: lowering.ends.map(|(left, right)| (left + more, right + more)),
            step,
            step_breaks: step.and_then(|step| self.content.broken_by_step(&self.clearances, step)),
            ..lowering
        };
        self.lowering = Some(told);
        let facts =
            [(AfterId::LowerBySure, Some(told.sure)), (AfterId::Highest, told.highest), (AfterId::StepAfter, step)];
        for (id, length) in facts {
            let slot = self.content.after_slot(id);
            // what is not known, not asked yet or does not matter stays so
            if let (Value::Is(_), Some(length)) = (self.values[slot], length) {
                self.values[slot] = Value::Is(length.steps());
            }
        }
    }

    /// Looks deeper for a height at which all is met: some limits ask for less fill or fewer risers, and their figures do not tell
    /// how far the surface has to go down for that.
    fn deeper_still(&self, counts: &dyn Fn(&Limit) -> bool) -> Lowered {
        let stride = self.content.per_reading * READINGS;
        let met = |by: Length| self.missed_at(by, counts).is_some_and(|((all, _), _)| all == 0);
        let strides = (1..=STRIDES).map(|n| stride * n);
        let Some(mut good) = strides.take_while(|by| self.with_finish_lowered(*by).is_some()).find(|by| met(*by))
        else {
            return Lowered::NotEnough;
        };
        let mut bad = good - stride;
        let finest = Length::from_steps(1).up_to_shown(self.units);
        while good - bad > finest {
            let middle = Length::from_steps(i64::midpoint(good.steps(), bad.steps())).up_to_shown(self.units);
            if middle >= good {
                break;
            }
            if met(middle) { good = middle } else { bad = middle }
        }
        let by = good.up_to_shown(self.units);
        if met(by) { Lowered::By(by) } else { Lowered::NotEnough }
    }
}

impl Content {
    /// The highest finish that meets every limit which lowering can help.
    pub(crate) fn lowering(&self, site: &Site, clearances: &[Clearance], values: &[Value]) -> Option<Lowering> {
        let below_mark = site.levels.above(Level::Mark, Level::Finish).map(|h| h.up);
        let mut worst: Option<(i64, i64, usize)> = None;
        let mut ends: Option<(Length, Length)> = None;
        for i in self.quick.lowering.iter().copied().filter(|i| clearances[*i].applies == Truth::Yes) {
            let (limit, c) = (&self.limits[i], &clearances[i]);
            let helps = !(site.faces_ground() && self.is_against_wall(limit));
            let (true, Some(short), Some(low)) = (helps, c.short_by, values[limit.measure as usize].low()) else {
                continue;
            };
            if low == -FAR {
                continue;
            }
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
        // the new height is set out from the mark: what counts is how well the way from the mark is known, and never less than
        // how well the height is known that is judged once it is lowered
        let sure = Length::from_steps(sure);
        let (sure, highest) = match (highest, below_mark) {
            (Some(highest), Some(below)) if level => {
                let sure = sure.max(highest - below);
                (sure, Some(below + sure))
            }
            _ => (sure, highest),
        };
        let step = site.height(Level::Mark, Level::Finish).filter(|_| level).and(highest);
        let step_breaks = step.and_then(|step| self.broken_by_step(clearances, step));
        let lowest = site.height(Level::Mark, Level::Finish).and(self.steps_at_door(clearances).map(|(_, b)| b).min());
        // too close to call counts as missed, so it comes down by as much as is sure
        let close = clearances[limit].status == Status::Close && clearances[limit].breaks().is_yes();
        let by = if close { sure.max(Length::ZERO) } else { Length::from_steps(short.max(0)) };
        // where there is none, none may ask for more
        let exit_known = site.no_exit || site.height(Level::Exit, Level::Finish).is_some();
        Some(Lowering { by, sure, limit, highest, ends, step, step_breaks, lowest, exit_known })
    }

    /// The limits of the step at the door that apply, with the highest step of each.
    fn steps_at_door(&self, clearances: &[Clearance]) -> impl Iterator<Item = (usize, Length)> {
        let apply = self.quick.step_at_door.iter().copied().filter(|i| clearances[*i].applies == Truth::Yes);
        apply.map(|i| (i, Length::from_steps(self.limits[i].bound)))
    }

    /// A limit that so high a step at the door breaks.
    pub(super) fn broken_by_step(&self, clearances: &[Clearance], step: Length) -> Option<usize> {
        self.steps_at_door(clearances).find(|(_, bound)| step > *bound).map(|(i, _)| i)
    }

    /// Whether a limit holds a place of the wall against what lies before the wall.
    fn is_against_wall(&self, limit: &Limit) -> bool {
        let fact = (limit.measure as usize).checked_sub(self.slots.facts).and_then(|i| FACTS.get(i));
        fact.is_some_and(|fact| {
            fact.id == FactId::ExitAboveMaker
                || matches!(fact.kind, FactKind::Height(Level::Exit | Level::Wood, Level::Finish))
        })
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
        // the wall sees the strip before it, which goes down with the surface
        let bound = Length::from_steps(limit.bound) - site.strip_between(level, Level::Finish)?;
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
}
