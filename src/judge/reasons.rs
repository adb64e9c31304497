//! Why a rule stands as it does: the questions of which one at least must be answered anew before it can stand otherwise.
//!
//! A condition says which of its values keep it where it is ([`Condition::kept_by`]), a fact which questions were read for it
//! ([`Site::rests_on`](crate::site::Site::rests_on)), a hidden question what hides it. Nothing is listed a second time here.

use super::model::{Clearance, Judged};
use super::questions::Questions;
use crate::content::{AFTER_LIMITS, AfterId, Content, Guard, Rule, Verdict};
use crate::flow::{Condition, Keep, Slot, Truth, Value};
use crate::names::QuestionId;
use crate::site::{FACTS, Fact, FactId, FactKind, Site, SitePart, WITHIN_WALL};
use crate::wall::{Level, Sense, Status};
use crate::water::{ENDS, End};

/// The questions that say how high the finish lies.
pub(crate) fn finish_questions<'a>(content: &'a Content, site: &'a Site) -> impl Iterator<Item = usize> + 'a {
    let at_wall = [SitePart::Finish, SitePart::Slope].into_iter().flat_map(|part| site.read_for(part));
    at_wall.map(|id| content.catalog.names.at(id))
}

/// The reasons behind what was judged.
pub(crate) struct Grounds<'a> {
    content: &'a Content,
    judged: &'a Judged,
    values: &'a [Value],
    /// The questions that may be answered anew; all others stay as they are.
    open: Questions,
    /// Of several reasons, of which one is enough, that with the fewest of these is taken.
    avoid: Questions,
    /// The finish, on which hangs whatever was measured from it.
    finish: Option<Questions>,
    known: Vec<Option<Questions>>,
}

impl<'a> Grounds<'a> {
    /// Looks for reasons among the questions that are `open`. With `moves`, what was measured from the finish moves with it.
    pub(crate) fn new(content: &'a Content, judged: &'a Judged, open: Questions, moves: bool) -> Self {
        Self::with_values(content, judged, &judged.values, open, moves)
    }

    /// The same where some numbers are others than were judged, and nothing else has changed.
    pub(crate) fn with_values(
        content: &'a Content,
        judged: &'a Judged,
        values: &'a [Value],
        open: Questions,
        moves: bool,
    ) -> Self {
        let known = vec![None; values.len()];
        let mut reasons = Grounds { content, judged, values, open, avoid: open, finish: None, known };
        if moves {
            let asked: Vec<usize> = finish_questions(content, &judged.site).collect();
            let all = asked.into_iter().fold(Questions::default(), |all, question| all.and(reasons.question(question)));
            reasons.finish = Some(all);
            reasons.known.fill(None);
        }
        reasons
    }

    /// The questions that each of two reasons names: the second is looked for among what the first does not.
    pub(crate) fn in_each(&mut self, reason: impl Fn(&mut Self) -> Questions) -> Questions {
        let first = reason(self);
        if first == Questions::default() {
            return first;
        }
        self.avoid = first;
        let second = reason(self);
        self.avoid = self.open;
        first.both(second)
    }

    /// What keeps a rule that may hold from being certainly false.
    pub(crate) fn stands(&mut self, rule: Rule) -> Questions {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.content.limits[at];
                self.applies(at, Keep::AtLeast(Truth::Unknown)).and(self.slot(limit.measure))
            }
            Rule::Finding(at) => match self.content.findings[at].guard {
                Some(Guard::UntoldTrace) => self.untold(),
                Some(guard) => self.guard(guard),
                None => self.kept(&self.content.findings[at].when, Keep::AtLeast(Truth::Unknown)),
            },
        }
    }

    /// What keeps a rule that does not certainly hold from holding.
    pub(crate) fn fails_to_hold(&mut self, rule: Rule) -> Questions {
        self.below(rule, Keep::AtMost(Truth::Unknown))
    }

    /// What keeps a rule that certainly does not hold from possibly doing so.
    pub(crate) fn is_out(&mut self, rule: Rule) -> Questions {
        self.below(rule, Keep::AtMost(Truth::No))
    }

    /// What keeps a rule that holds holding.
    pub(crate) fn holds(&mut self, rule: Rule) -> Questions {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.content.limits[at];
                self.applies(at, Keep::AtLeast(Truth::Yes)).and(self.slot(limit.measure))
            }
            Rule::Finding(at) => match self.content.findings[at].guard {
                Some(guard) => self.guard(guard),
                None => self.above(&self.content.findings[at].when),
            },
        }
    }

    fn below(&mut self, rule: Rule, keep: Keep) -> Questions {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.content.limits[at];
                let clearance = &self.judged.clearances[at];
                let measure = self.slot(limit.measure);
                let absent = self.values[usize::from(limit.measure)] == Value::Absent;
                // a measure that does not miss it does so whether the limit applies or not
                if absent || !keep.allows(clearance.applies) {
                    return measure;
                }
                let when = self.applies(at, keep);
                let missed = Clearance { applies: Truth::Yes, ..*clearance }.breaks();
                let by_measure = clearance.status != Status::Off && keep.allows(missed);
                if by_measure && measure.count() < when.count() { measure } else { when }
            }
            Rule::Finding(at) => {
                let finding = &self.content.findings[at];
                match finding.guard {
                    Some(guard) => self.guard(guard),
                    None if finding.verdict > Some(Verdict::ChangePlan) => self.kept(&finding.when, keep),
                    // what only the tape leaves open holds
                    None if finding.when.eval(self.values) == Truth::No => {
                        self.kept(&finding.when, Keep::AtMost(Truth::No))
                    }
                    None => self.exactly(&finding.when),
                }
            }
        }
    }

    /// What keeps a condition that holds, maybe because only the tape leaves it open.
    fn above(&mut self, when: &Condition) -> Questions {
        match when.eval(self.values) {
            Truth::Yes => self.kept(when, Keep::AtLeast(Truth::Yes)),
            _ => self.exactly(when),
        }
    }

    /// What keeps a limit from applying otherwise.
    fn applies(&mut self, at: usize, keep: Keep) -> Questions {
        let limit = &self.content.limits[at];
        let truth = limit.when.eval(self.values);
        if truth != Truth::No && self.judged.clearances[at].applies == Truth::No {
            // it is not one of this country
            return self.region();
        }
        let when = match keep {
            Keep::AtLeast(_) if keep.allows(truth) => self.kept(&limit.when, keep),
            Keep::AtMost(_) if truth == Truth::No => self.kept(&limit.when, Keep::AtMost(Truth::No)),
            _ => self.exactly(&limit.when),
        };
        when.and(self.region())
    }

    /// What keeps a condition from any other truth.
    fn exactly(&mut self, when: &Condition) -> Questions {
        let truth = when.eval(self.values);
        if truth != Truth::Unknown {
            let keep = if truth == Truth::Yes { Keep::AtLeast(truth) } else { Keep::AtMost(truth) };
            return self.kept(when, keep);
        }
        let open = when.undecided_by(self.values).into_iter();
        let open = open.fold(Questions::default(), |all, slot| all.and(self.slot(slot)).and(self.tape(slot)));
        let kept = [Keep::AtLeast(truth), Keep::AtMost(truth)].map(|keep| self.kept(when, keep));
        kept.into_iter().fold(open, Questions::and)
    }

    /// What decides besides whether only the tape leaves a value open.
    fn tape(&mut self, slot: Slot) -> Questions {
        let slots = self.content.slots;
        let Some(fact) = usize::from(slot).checked_sub(slots.facts).and_then(|at| FACTS.get(at)) else {
            return Questions::default();
        };
        match fact.id {
            FactId::TraceHeldAtDoor => {
                let system = self.judged.site.read_for(SitePart::System).collect::<Vec<_>>();
                let step = self.at(self.content.fact_slot(FactId::ThresholdAboveFinish));
                system.into_iter().fold(step, |all, id| all.and(self.id(id)))
            }
            FactId::ExitBuried => self.at(self.content.fact_slot(FactId::ExitAboveFinish)),
            _ => Questions::default(),
        }
    }

    fn kept(&mut self, when: &Condition, keep: Keep) -> Questions {
        let values = self.values;
        let slots = when.kept_by(values, keep, &mut |slot| self.slot(slot).both(self.avoid).count());
        slots.into_iter().fold(Questions::default(), |all, slot| all.and(self.slot(slot)))
    }

    fn guard(&mut self, guard: Guard) -> Questions {
        let content = self.content;
        match guard {
            Guard::NoLimits => self.region(),
            Guard::NoRules => self.id(QuestionId::Cladding),
            Guard::UntoldTrace => {
                let traces = FACTS.iter().filter(|fact| fact.id.is_trace());
                let ends = traces.fold(Questions::default(), |all, fact| all.and(self.at(content.fact_slot(fact.id))));
                let tells = content.findings.iter().filter(|finding| finding.tells_held);
                tells.fold(ends, |all, finding| all.and(self.exactly(&finding.when)))
            }
        }
    }

    /// What keeps water that may end badly from being told of for certain: where one drop ends, and each finding that would.
    fn untold(&mut self) -> Questions {
        let content = self.content;
        let ends = self.bad_end();
        let tells = content.findings.iter().enumerate().filter(|(_, finding)| finding.tells_held);
        tells.fold(ends, |all, (at, _)| all.and(self.fails_to_hold(Rule::Finding(at))))
    }

    /// What keeps water that may end badly from ending well, of a plan alone: less than [`Grounds::bad_end`] where it ends so whatever
    /// the joint is.
    pub(crate) fn bad_end_of_plan(&mut self) -> Questions {
        let (site, content) = (&self.judged.site, self.content);
        if WITHIN_WALL.into_iter().any(|start| site.ends_badly_at_any_joint(start, content.per_reading, &content.usual))
        {
            return site.read_at_any_joint().fold(Questions::default(), |all, id| all.and(self.id(id)));
        }
        self.bad_end()
    }

    /// What keeps water that may end badly from ending well: where one drop ends.
    fn bad_end(&mut self) -> Questions {
        let content = self.content;
        let value = |fact: &Fact| self.values[content.fact_slot(fact.id)];
        let traces: Vec<(usize, Value)> = FACTS
            .iter()
            .filter(|fact| fact.kind == FactKind::End)
            .map(|fact| (content.fact_slot(fact.id), value(fact)))
            .collect();
        let is_bad = |value: Value| {
            let end = |bits: i64| ENDS.iter().enumerate().find(|(at, _)| bits == 1 << at).map(|(_, (end, _))| *end);
            value.known().and_then(end).is_some_and(End::is_bad)
        };
        let bad: Vec<Questions> = traces.iter().filter(|(_, v)| is_bad(*v)).map(|(slot, _)| self.at(*slot)).collect();
        bad.into_iter().min_by_key(|by| by.count()).unwrap_or_else(|| {
            let open = traces.iter().filter(|(_, value)| *value == Value::Unknown);
            open.fold(Questions::default(), |all, (slot, _)| all.and(self.at(*slot)))
        })
    }

    fn region(&mut self) -> Questions {
        self.id(QuestionId::Region)
    }

    fn id(&mut self, id: QuestionId) -> Questions {
        self.question(self.content.catalog.names.at(id))
    }

    fn slot(&mut self, slot: Slot) -> Questions {
        self.at(usize::from(slot))
    }

    /// What a value hangs on.
    fn at(&mut self, slot: usize) -> Questions {
        if let Some(known) = self.known[slot] {
            return known;
        }
        let (content, slots) = (self.content, self.content.slots);
        let found = if slot < slots.facts {
            return self.question(slot);
        } else if slot < slots.defined {
            let ids: Vec<QuestionId> = self.judged.site.rests_on(FACTS[slot - slots.facts].id).collect();
            ids.into_iter().fold(Questions::default(), |all, id| all.and(self.id(id)))
        } else if slot < slots.limits {
            self.exactly(&content.defined[slot - slots.defined].when)
        } else if slot < slots.after {
            let limit = &content.limits[slot - slots.limits];
            let applies = self.exactly(&limit.when).and(self.region());
            if self.judged.clearances[slot - slots.limits].applies == Truth::No {
                applies
            } else {
                applies.and(self.slot(limit.measure))
            }
        } else {
            match AFTER_LIMITS[slot - slots.after].id {
                AfterId::DigAtWall => self.digging(),
                AfterId::DigAboveFooting => self.digging().and(self.id(QuestionId::FootingBelowGround)),
                _ => self.everything(),
            }
        };
        self.known[slot] = Some(found);
        found
    }

    /// What follows from all limits hangs on everything that is asked.
    fn everything(&mut self) -> Questions {
        let questions = 0..self.content.flow.questions.len();
        questions.fold(Questions::default(), |all, question| all.and(self.question(question)))
    }

    /// What the depth of the digging hangs on: the layers, the height of the work, and the limits that lower it.
    fn digging(&mut self) -> Questions {
        let content = self.content;
        let layers = content.layers.iter();
        let mut all = layers.fold(self.id(QuestionId::Feature), |all, layer| all.and(self.exactly(&layer.when)));
        let heights = FACTS.iter().filter(|fact| matches!(fact.kind, FactKind::Height(_, Level::Finish)));
        for fact in heights.chain([FactId::FinishAboveGround.fact()]) {
            all = all.and(self.at(content.fact_slot(fact.id)));
        }
        for (at, limit) in content.limits.iter().enumerate() {
            if limit.sense != Sense::AtLeast || content.when_lowered(limit.measure) != 1 {
                continue;
            }
            let truth = self.judged.clearances[at].applies;
            all = all.and(match truth {
                Truth::No => self.applies(at, Keep::AtMost(Truth::No)),
                _ => self.exactly(&limit.when),
            });
            if truth != Truth::No || self.values[usize::from(limit.measure)] == Value::Absent {
                all = all.and(self.slot(limit.measure));
            }
        }
        all
    }

    /// What the value of a question hangs on: its answer, and what shows or hides it.
    pub(crate) fn question(&mut self, question: usize) -> Questions {
        if let Some(known) = self.known[question] {
            return known;
        }
        let asked = &self.content.flow.questions[question];
        let shown = self.judged.state.shown[question];
        let mut found = match shown {
            Truth::Yes => self.kept(&asked.visible, Keep::AtLeast(Truth::Yes)),
            Truth::No => self.kept(&asked.visible, Keep::AtMost(Truth::No)),
            Truth::Unknown => self.exactly(&asked.visible),
        };
        if shown == Truth::Yes {
            if self.open.has(question) {
                found.insert(question);
            }
            if let Some(finish) = self.finish.filter(|_| self.moves(question)) {
                found = found.and(finish);
            }
        }
        self.known[question] = Some(found);
        found
    }

    /// Whether an answer moves with the finish.
    fn moves(&self, question: usize) -> bool {
        let names = &self.content.catalog.names;
        self.content.flow.questions[question].as_finish_rises != 0
            || self.judged.site.finish_readings().iter().any(|(id, _)| names.at(*id) == question)
    }
}
