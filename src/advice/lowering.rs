//! The surface brought down until every limit passes.

use super::assess::{Assessment, Clearance};
use super::content::Content;
use super::rows::{Basis, Limit};
use crate::flow::{Answer, Answers, Truth, Value};
use crate::site::{FACTS, FactKind, MEASURED_FROM_FINISH, Site};
use crate::units::{Elevation, Length};
use crate::wall::{Level, Sense};

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

impl Content {
    /// The highest finish that meets every limit which lowering can help.
    ///
    /// Limits that only advise count for the exit and for the threshold: both must lie open, whoever says so.
    pub(super) fn lowering(&self, site: &Site, clearances: &[Clearance], values: &[Value]) -> Option<Lowering> {
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
            let (true, Some(short), Some(low)) = (helps, c.short_by, values[limit.measure as usize].low()) else {
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
}

impl Assessment<'_> {
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

    /// The answers with the surface lowered, or raised by a negative length; nothing where its height below the mark
    /// is not known, or differs along the wall.
    #[must_use]
    pub fn with_finish_lowered(&self, by: Length) -> Option<Answers> {
        let now = self.site.levels.above(Level::Mark, Level::Finish)?.up;
        if self.site.slopes() {
            return None;
        }
        self.with_finish_at(now + by, now)
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
}
