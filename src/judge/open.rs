//! What to find out: the questions that can still change the verdict for the worse.

use super::model::{Assessment, OpenPoint};
use crate::content::{AFTER_LIMITS, Verdict};
use crate::flow::{FAR, QuestionKind, Slot, Truth, Value};
use crate::names::QuestionId;
use crate::site::{FACTS, Fact, FactId, FactKind, LevelChange, SitePart};
use crate::wall::{Level, Status};

impl Assessment<'_> {
    /// The questions whose answers could still make the verdict worse.
    pub(crate) fn open_points(&self) -> Vec<OpenPoint> {
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
                (Truth::Unknown, Some(worst)) if finding.guard.is_some() => {
                    // what is taken to be in order has been answered; what is open is what nobody knows
                    let open = |q: &(usize, bool)| matches!(self.values[q.0], Value::Unknown | Value::Unasked);
                    let behind = self.questions_behind(&self.slots_of_guard());
                    note(behind.into_iter().filter(open).collect(), worst, Some(i), None);
                }
                (Truth::Unknown, Some(worst)) if self.settled.hangs_on(worst) => {
                    note(self.questions_behind(&finding.when.undecided_by(&self.values)), worst, Some(i), None);
                }
                // it holds because something is not known: that is what to find out
                (Truth::Yes, Some(Verdict::FindOutFirst)) if self.settled.held == Verdict::FindOutFirst => {
                    let unknown = |slot: &Slot| matches!(self.values[*slot as usize], Value::Unknown);
                    let slots: Vec<Slot> = finding.when.reads().filter(unknown).collect();
                    note(self.questions_behind(&slots), Verdict::FindOutFirst, Some(i), None);
                }
                _ => {}
            }
        }
        for (i, (limit, clearance)) in content.limits.iter().zip(&self.clearances).enumerate() {
            let Some(worst) =
                limit.verdict.filter(|v| clearance.breaks() == Truth::Unknown && self.settled.hangs_on(*v))
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

    /// What a guard that is undecided looks at: the traces whose end is not known, and the answers it needs.
    fn slots_of_guard(&self) -> Vec<Slot> {
        let traces = [FactId::TraceFace, FactId::TraceBehind, FactId::TraceDoorHead, FactId::TraceChannel];
        let traces = traces.into_iter().map(|id| self.content.fact_slot(id));
        let answers = [QuestionId::Region, QuestionId::Cladding].map(|id| self.content.catalog.names.at(id));
        let unknown = |slot: &usize| matches!(self.values[*slot], Value::Unknown | Value::Unasked);
        traces.chain(answers).filter(unknown).filter_map(|slot| Slot::try_from(slot).ok()).collect()
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
                let maybe = |q: &QuestionId| {
                    let number = self.content.catalog.names.at(*q);
                    let slope = self.site.is_read_for(SitePart::Slope, *q);
                    self.state.shown[number] == Truth::Unknown && (!slope || self.values[number] == Value::Unasked)
                };
                let missing = self.site.missing(fact.id);
                todo.extend(missing.iter().filter(|q| maybe(q)).map(|q| self.content.catalog.names.at(*q)));
                found.extend(self.questions_behind_fact(fact, &missing, self.values[slot]));
            } else if slot < slots.limits {
                let when = &self.content.defined[slot - slots.defined].when;
                todo.extend(when.undecided_by(&self.values).into_iter().map(usize::from));
            } else if slot < slots.after {
                let limit = &self.content.limits[slot - slots.limits];
                todo.extend(limit.when.undecided_by(&self.values).into_iter().map(usize::from));
                todo.push(limit.measure as usize);
            } else if let Some(after) = AFTER_LIMITS.get(slot - slots.after) {
                let open = |slot: &usize| matches!(self.values[*slot], Value::Unknown | Value::Unasked);
                todo.extend(self.content.rests_of(after.id, &self.values).filter(open));
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    fn questions_behind_fact(&self, fact: &Fact, ids: &[QuestionId], value: Value) -> Vec<(usize, bool)> {
        let names = &self.content.catalog.names;
        let shown = |id: QuestionId| Some(names.at(id)).filter(|q| self.state.shown[*q] == Truth::Yes);
        let open: Vec<(usize, bool)> = ids
            .iter()
            .filter(|id| match self.values[names.at(**id)] {
                Value::Unasked => true,
                // whether the wall slopes tells nothing about a height that nobody has measured
                Value::Unknown => {
                    self.site.elsewhere_for(fact) != LevelChange::None || !self.site.is_read_for(SitePart::Slope, **id)
                }
                Value::Absent | Value::Is(_) | Value::Between(..) => false,
            })
            .filter_map(|id| shown(*id))
            .map(|q| (q, false))
            .collect();
        if !open.is_empty() {
            return open;
        }
        let bounded = |value: Value| value.low().zip(value.high()).is_some_and(|(low, high)| low > -FAR && high < FAR);
        if bounded(value) || fact.id == FactId::ExitBuried && self.site.levels.has(Level::Exit) {
            // known, but too close to call: measure again what it was got from
            let lengths = |id: &QuestionId| id.kind() == QuestionKind::Length;
            let list: Vec<QuestionId> = match fact.kind {
                FactKind::Height(Level::Wood, _) => self.site.read_for(SitePart::Wood).filter(lengths).collect(),
                FactKind::Height(..) | FactKind::YesNo => {
                    let exit = self.site.read_for(SitePart::Exit).filter(lengths);
                    let direct = |id: &QuestionId| self.site.is_read_for(SitePart::OnTheLine, *id);
                    exit.chain(self.site.read_for(SitePart::Finish).filter(direct)).collect()
                }
                FactKind::OverFinish
                | FactKind::Length
                | FactKind::Slope
                | FactKind::Number
                | FactKind::End
                | FactKind::ExitKind => ids.to_vec(),
            };
            let answered = |q: &usize| matches!(self.values[*q], Value::Is(_));
            let again = list.into_iter().filter(|id| !self.site.is_read_for(SitePart::Slope, *id)).filter_map(shown);
            return again.filter(answered).map(|q| (q, true)).take(1).collect();
        }
        // every way of measuring was answered "cannot see": then finding it is what is left
        ids.first().and_then(|id| shown(*id)).map(|q| (q, false)).into_iter().collect()
    }
}
