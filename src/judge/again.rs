//! The same visit judged again and again with a few other answers: only what can have changed is computed anew.
//!
//! The result is that of [`Content::judge`] as far as a verdict can hang on it: rows without one keep their state unless something
//! looks at them, and where along the wall a limit is met least is not told.

use super::model::{Judged, Settled};
use crate::content::Content;
use crate::flow::{Answers, QuestionKind, State, Truth, Value};
use crate::site::Site;
use std::cell::Cell;

/// What looks at a value.
#[derive(Debug, Clone, Copy)]
enum Looks {
    Question(usize),
    Defined(usize),
    Limit(usize),
    Finding(usize),
}

/// A visit to judge again.
pub(crate) struct Judging<'a> {
    content: &'a Content,
    /// The answers that others are held against.
    pub(crate) answers: &'a Answers,
    /// What follows from them.
    pub(crate) base: Judged,
    /// By value: what looks at it.
    looks: Vec<Vec<Looks>>,
    /// Whether the computation looks at a question.
    is_read: Vec<bool>,
    /// The limits of this country that count.
    limits: Vec<usize>,
    /// The findings that count.
    findings: Vec<usize>,
    /// Whether something that counts looks at what follows from the limits.
    after: bool,
    judged: Cell<usize>,
}

impl<'a> Judging<'a> {
    /// Judges a visit, to judge it again with other answers.
    pub(crate) fn new(content: &'a Content, answers: &'a Answers) -> Self {
        let base = content.judge(answers, content.flow.state(answers));
        let mut looks = vec![Vec::new(); base.values.len()];
        for (at, question) in content.flow.questions.iter().enumerate() {
            question.visible.reads().for_each(|slot| looks[usize::from(slot)].push(Looks::Question(at)));
        }
        for (at, defined) in content.defined.iter().enumerate() {
            defined.when.reads().for_each(|slot| looks[usize::from(slot)].push(Looks::Defined(at)));
        }
        let findings = content.findings.iter().enumerate().filter(|(_, f)| f.verdict.is_some() || f.tells_held);
        let findings: Vec<usize> = findings.map(|(at, _)| at).collect();
        for at in &findings {
            let reads = content.findings[*at].when.reads();
            reads.for_each(|slot| looks[usize::from(slot)].push(Looks::Finding(*at)));
        }
        let region = content.region(answers);
        let slots = content.slots;
        let counts = |at: usize| {
            let limit = &content.limits[at];
            let helps = content.when_lowered(limit.measure) == 1;
            limit.holds_in(region) && (limit.verdict.is_some() || helps || !looks[slots.limits + at].is_empty())
        };
        let limits: Vec<usize> = (0..content.limits.len()).filter(|at| counts(*at)).collect();
        for at in &limits {
            let reads = content.limits[*at].when.reads().chain([content.limits[*at].measure]);
            reads.for_each(|slot| looks[usize::from(slot)].push(Looks::Limit(*at)));
        }
        let after = looks[slots.after..].iter().any(|looks| !looks.is_empty());
        let mut is_read = vec![false; content.flow.questions.len()];
        for id in base.site.all_read() {
            is_read[content.catalog.names.at(id)] = true;
        }
        Judging { content, answers, base, looks, is_read, limits, findings, after, judged: Cell::new(1) }
    }

    /// How many times it was judged.
    pub(crate) fn times(&self) -> usize {
        self.judged.get()
    }

    /// What other answers mean for the questions.
    pub(crate) fn state(&self, answers: &Answers) -> State {
        self.state_with(answers, &mut self.base.values.clone(), &mut Anew::new(self.content)).0
    }

    /// The same, noted in the values and in what has to be computed anew; and whether the computation looks at any of it.
    fn state_with(&self, answers: &Answers, values: &mut [Value], anew: &mut Anew) -> (State, bool) {
        let mut state = self.base.state.clone();
        let mut read = false;
        for (at, question) in self.content.flow.questions.iter().enumerate() {
            let other = self.answers.get(at) != answers.get(at);
            if !other && !anew.questions[at] {
                continue;
            }
            let shown = question.visible.eval(values);
            let value = match shown {
                Truth::Yes => answers.get(at).map_or(Value::Unknown, crate::flow::Answer::value),
                Truth::No => Value::Absent,
                Truth::Unknown => Value::Unknown,
            };
            // of heights and places along the wall the value does not tell which they are
            let along = matches!(question.kind, QuestionKind::Profile | QuestionKind::Places | QuestionKind::Text);
            if shown == state.shown[at] && value == values[at] && !(other && along) {
                continue;
            }
            (state.shown[at], state.values[at], values[at]) = (shown, value, value);
            read |= self.is_read[at];
            anew.mark(&self.looks[at]);
        }
        (state, read)
    }

    /// What follows from other answers.
    pub(crate) fn judge(&self, answers: &Answers) -> Judged {
        self.judged.set(self.judged.get() + 1);
        let content = self.content;
        let (base, slots) = (&self.base, content.slots);
        let mut anew = Anew::new(content);
        let mut values = base.values.clone();
        let (state, read) = self.state_with(answers, &mut values, &mut anew);
        let region = content.region(answers);
        if region != content.region(self.answers) {
            return content.judge(answers, state);
        }
        let mut site = if read { Site::read(&content.catalog, answers, &state) } else { base.site.clone() };
        if read {
            let facts = site.facts(content.figures(region));
            for (slot, value) in (slots.facts..).zip(facts) {
                if values[slot] != value {
                    values[slot] = value;
                    anew.mark(&self.looks[slot]);
                }
            }
        }
        for (at, defined) in content.defined.iter().enumerate() {
            if anew.defined[at] {
                let value = match defined.when.eval(&values) {
                    Truth::Yes => Value::yes_no(true),
                    Truth::No => Value::yes_no(false),
                    Truth::Unknown => Value::Unknown,
                };
                let slot = slots.defined + at;
                if values[slot] != value {
                    values[slot] = value;
                    anew.mark(&self.looks[slot]);
                }
            }
        }
        // what the tape leaves open hangs on more than values
        let alike = !read || site.measured_as(&base.site);
        let mut clearances = base.clearances.clone();
        for at in self.limits.iter().copied() {
            if anew.limits[at] || !alike {
                let limit = &content.limits[at];
                let clearance = content.clear(limit, &site, region, &values, false);
                clearances[at] = clearance;
                let value = Value::choice(clearance.status as usize);
                let slot = slots.limits + at;
                if values[slot] != value {
                    values[slot] = value;
                    anew.mark(&self.looks[slot]);
                }
            }
        }
        let mut lowering = base.lowering;
        if self.after {
            lowering = content.lowering(&site, &clearances, &values);
            let after = content.after_limits(&site, &clearances, lowering, &values);
            for (slot, value) in (slots.after..).zip(after) {
                if values[slot] != value {
                    values[slot] = value;
                    anew.mark(&self.looks[slot]);
                }
            }
        }
        let mut findings = base.findings.clone();
        for at in self.findings.iter().copied() {
            if anew.findings[at] || !alike {
                findings[at] = content.truth_of(&content.findings[at], &site, &values);
            }
        }
        content.guards(&site, region, &state, &mut findings);
        let by_limits =
            self.limits.iter().filter_map(|at| Some((clearances[*at].breaks(), content.limits[*at].verdict?)));
        let by_findings = self.findings.iter().filter_map(|at| Some((findings[*at], content.findings[*at].verdict?)));
        let settled = Settled::of(by_limits.chain(by_findings));
        Judged { state, site, values, clearances, findings, settled, lowering }
    }
}

/// What has to be computed anew.
struct Anew {
    questions: Vec<bool>,
    defined: Vec<bool>,
    limits: Vec<bool>,
    findings: Vec<bool>,
}

impl Anew {
    fn new(content: &Content) -> Self {
        Anew {
            questions: vec![false; content.flow.questions.len()],
            defined: vec![false; content.defined.len()],
            limits: vec![false; content.limits.len()],
            findings: vec![false; content.findings.len()],
        }
    }

    fn mark(&mut self, looks: &[Looks]) {
        for look in looks {
            match *look {
                Looks::Question(at) => self.questions[at] = true,
                Looks::Defined(at) => self.defined[at] = true,
                Looks::Limit(at) => self.limits[at] = true,
                Looks::Finding(at) => self.findings[at] = true,
            }
        }
    }
}
