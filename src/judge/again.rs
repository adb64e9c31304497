//! The same visit judged again and again with a few other answers: only what can have changed is computed anew.
//!
//! The result is that of [`Content::judge`], in everything.

use super::model::{Judged, Settled};
use crate::content::{Anew, Content};
use crate::flow::{Answers, Bits, QuestionKind, Slot, State, Truth, Value};
use crate::site::{FACTS, FactKind, LevelChange, Site};
use crate::units::Length;
use std::cell::Cell;
use std::rc::Rc;

/// A visit to judge again.
pub(crate) struct Judging<'a> {
    content: &'a Content,
    /// The answers that others are held against.
    pub(crate) answers: &'a Answers,
    /// What follows from them.
    pub(crate) base: Judged,
    region: Option<usize>,
    /// Whether the computation looks at a question.
    is_read: Bits,
    /// The limits that apply, or may.
    standing_limits: Bits,
    /// The findings that hold, or may.
    standing_findings: Bits,
    /// How thick the layers of the work are.
    together: Option<Length>,
    /// What was spent on judging, in shares of [`JUDGED`].
    work: Cell<usize>,
}

/// How much more work it is to judge a visit than to compute its facts alone.
const JUDGED: usize = 3;

impl<'a> Judging<'a> {
    /// Judges a visit, to judge it again with other answers.
    pub(crate) fn new(content: &'a Content, answers: &'a Answers) -> Self {
        let base = content.judge(answers, content.flow.state(answers));
        let region = content.region(answers);
        let mut is_read = Bits::none(content.flow.questions.len());
        for id in base.site.all_read() {
            is_read.insert(content.catalog.names.at(id));
        }
        let of = |count: usize, stands: &dyn Fn(usize) -> bool| {
            let mut bits = Bits::none(count);
            (0..count).filter(|at| stands(*at)).for_each(|at| bits.insert(at));
            bits
        };
        let standing_limits = of(content.limits.len(), &|at| base.clearances[at].applies.is_possible());
        let standing_findings = of(content.findings.len(), &|at| base.findings[at].is_possible());
        let together = content.layers_together(&base.values);
        Judging {
            content,
            answers,
            together,
            base,
            region,
            is_read,
            standing_limits,
            standing_findings,
            work: Cell::new(JUDGED),
        }
    }

    /// Where judging again differs from judging from the start; for tests.
    fn differs(&self, answers: &Answers) -> Option<String> {
        let again = self.judge(answers);
        let whole = self.content.judge(answers, self.content.flow.state(answers));
        if again == whole {
            return None;
        }
        let values = again.values.iter().zip(&whole.values).enumerate().filter(|(_, (a, b))| a != b);
        let name =
            |slot: usize| Slot::try_from(slot).map_or("", |slot| self.content.vocabulary.name(slot).text.as_str());
        let values: Vec<String> = values.map(|(slot, (a, b))| format!("{}: {a:?} for {b:?}", name(slot))).collect();
        let limits = again.clearances.iter().zip(&whole.clearances).zip(&self.content.limits);
        let limits: Vec<String> =
            limits.filter(|((a, b), _)| a != b).map(|((a, b), l)| format!("{}: {a:?} for {b:?}", l.id)).collect();
        let findings = again.findings.iter().zip(&whole.findings).zip(&self.content.findings);
        let findings: Vec<String> =
            findings.filter(|((a, b), _)| a != b).map(|((a, b), f)| format!("{}: {a:?} for {b:?}", f.id)).collect();
        let rest = [
            (again.state != whole.state, "state"),
            (again.site != whole.site, "site"),
            (again.settled != whole.settled, "verdict"),
            (again.lowering != whole.lowering, "lowering"),
        ];
        let rest: Vec<&str> = rest.into_iter().filter(|(differs, _)| *differs).map(|(_, what)| what).collect();
        Some(format!("{values:?} {limits:?} {findings:?} {rest:?}"))
    }

    /// How many times it was judged; the facts alone count for a third.
    pub(crate) fn times(&self) -> usize {
        self.work.get() / JUDGED
    }

    /// What other answers mean for the questions.
    pub(crate) fn state(&self, answers: &Answers) -> State {
        // what shows a question is another question
        let mut values = self.base.values[..self.content.slots.facts].to_vec();
        self.state_with(answers, &mut values, &mut Anew::new(&self.content.looks)).0
    }

    /// The same, noted in the values and in what has to be computed anew; and whether the computation looks at any of it.
    fn state_with(&self, answers: &Answers, values: &mut [Value], anew: &mut Anew) -> (State, bool) {
        let mut state = self.base.state.clone();
        let mut read = false;
        for at in self.answers.differing(answers) {
            anew.questions.insert(at);
        }
        let mut next = anew.questions.next(0);
        while let Some(at) = next {
            let question = &self.content.flow.questions[at];
            let shown = question.visible.eval(values);
            let value = match shown {
                Truth::Yes => answers.get(at).map_or(Value::Unknown, crate::flow::Answer::value),
                Truth::No => Value::Absent,
                Truth::Unknown => Value::Unknown,
            };
            // of heights and places along the wall the value does not tell which they are
            let along = matches!(question.kind, QuestionKind::Profile | QuestionKind::Places | QuestionKind::Text)
                && self.answers.get(at) != answers.get(at);
            if shown != state.shown[at] || value != values[at] || along {
                (state.shown[at], state.values[at], values[at]) = (shown, value, value);
                read |= self.is_read.has(at);
                anew.mark(&self.content.looks, at);
            }
            // what looks at a question stands behind it
            next = anew.questions.next(at + 1);
        }
        (state, read)
    }

    /// The values of the answers and of the facts with other answers, as [`Judging::judge`] has them, and no others.
    pub(crate) fn facts(&self, answers: &Answers) -> Vec<Value> {
        self.work.set(self.work.get() + 1);
        let (content, slots) = (self.content, self.content.slots);
        let mut values = if content.region(answers) == self.region {
            let mut values = self.base.values[..slots.defined].to_vec();
            let (state, read) = self.state_with(answers, &mut values, &mut Anew::new(&content.looks));
            if read {
                let facts = Site::read(&content.catalog, answers, &state).facts(content.figures(self.region));
                values[slots.facts..].iter_mut().zip(facts).for_each(|(value, fact)| *value = fact);
            }
            values
        } else {
            content.judge(answers, content.flow.state(answers)).values
        };
        values.truncate(slots.defined);
        values
    }

    /// What follows from other answers.
    pub(crate) fn judge(&self, answers: &Answers) -> Judged {
        self.work.set(self.work.get() + JUDGED);
        let content = self.content;
        let (base, slots, region) = (&self.base, content.slots, self.region);
        if content.region(answers) != region {
            return content.judge(answers, content.flow.state(answers));
        }
        let mut anew = Anew::new(&content.looks);
        let mut values = base.values.clone();
        let (state, read) = self.state_with(answers, &mut values, &mut anew);
        let take = |values: &mut [Value], anew: &mut Anew, slot: usize, value: Value| {
            if values[slot] != value {
                values[slot] = value;
                anew.mark(&self.content.looks, slot);
            }
        };
        let site = if read {
            let mut site = Site::read(&content.catalog, answers, &state);
            for (slot, value) in (slots.facts..).zip(site.facts(content.figures(region))) {
                take(&mut values, &mut anew, slot, value);
            }
            self.mark_heights(&site, &mut anew);
            Rc::new(site)
        } else {
            Rc::clone(&base.site)
        };
        for at in 0..content.defined.len() {
            if anew.defined.has(at) {
                let value = match content.defined[at].when.eval(&values) {
                    Truth::Yes => Value::yes_no(true),
                    Truth::No => Value::yes_no(false),
                    Truth::Unknown => Value::Unknown,
                };
                take(&mut values, &mut anew, slots.defined + at, value);
            }
        }
        // what the tape leaves open hangs on more than values
        let alike = !read || site.measured_as(&base.site);
        let mut clearances = base.clearances.clone();
        if !alike {
            anew.limits = content.quick.open_limits(region, &values);
            anew.limits.add(&self.standing_limits);
        }
        anew.limits.keep(content.quick.limits_in(region));
        for at in anew.limits.iter() {
            clearances[at] = content.clear(&content.limits[at], &site, region, &values);
        }
        for at in anew.limits.clone().iter() {
            take(&mut values, &mut anew, slots.limits + at, Value::choice(clearances[at].status as usize));
        }
        let lowering = content.lowering(&site, &clearances, &values);
        let together = if anew.layers { content.layers_together(&values) } else { self.together };
        let after = content.after_limits(&site, &clearances, lowering, &values, together);
        for (slot, value) in (slots.after..).zip(after) {
            take(&mut values, &mut anew, slot, value);
        }
        let mut findings = base.findings.clone();
        if !alike {
            anew.findings = content.quick.open_findings(&values);
            anew.findings.add(&self.standing_findings);
        }
        for at in anew.findings.iter() {
            findings[at] = content.truth_of(&content.findings[at], &site, &values);
        }
        content.guards(&site, region, &state, &mut findings);
        // all others do not hold, before and now
        anew.limits.add(&self.standing_limits);
        anew.findings.add(&self.standing_findings);
        let settled = Settled::of(content.verdict_rules((&anew.limits, &clearances), (&anew.findings, &findings)));
        Judged { state, site, values, clearances, findings, settled, lowering }
    }

    /// Of a height that may be otherwise elsewhere along the wall, the value may hide what was read.
    fn mark_heights(&self, site: &Site, anew: &mut Anew) {
        for fact in FACTS {
            let FactKind::Height(a, b) = fact.kind else {
                continue;
            };
            if site.elsewhere(a, b) != LevelChange::None && site.height(a, b) != self.base.site.height(a, b) {
                anew.mark_limits(&self.content.looks, self.content.fact_slot(fact.id));
            }
        }
    }
}

impl Content {
    /// Judges a visit again with each of these answers, and says where that differs from judging these from the start. For
    /// tests: nothing ever may.
    #[must_use]
    pub fn judged_again_differs(&self, answers: &Answers, others: &[Answers]) -> Option<String> {
        let judging = Judging::new(self, answers);
        others.iter().find_map(|other| judging.differs(other))
    }
}
