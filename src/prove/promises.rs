//! The promises of the content, held against the advice for one visit.

use crate::content::{Content, Promise, VERDICT_NAME, Verdict};
use crate::flow::{Condition, Truth, Value};
use crate::judge::{Assessment, Judged};
use crate::site::Site;
use std::cell::OnceCell;
use std::collections::BTreeSet;

/// A promise that the advice for one visit does not keep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken<'c> {
    /// The id of the promise.
    pub promise: &'c str,
    /// In which way.
    pub how: Breach,
}

/// How a promise is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Breach {
    /// This verdict was given, and must not be.
    Verdict(Verdict),
    /// What must hold does not hold, or not for certain.
    DoesNotHold,
    /// Nothing of what has to be told is told.
    NotTold,
    /// Two rows that contradict each other are told.
    Together,
}

/// The promises held against one visit.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Held<'c> {
    /// The promises that are owed for certain, by id: one that never is proves nothing.
    pub owed: Vec<&'c str>,
    /// Those that the advice does not keep, in the order of the content; none where all is well.
    pub broken: Vec<Broken<'c>>,
}

/// Holds all promises of the content against the advice for one visit.
#[must_use]
pub fn hold<'c>(assessment: &Assessment<'c>) -> Held<'c> {
    let telling = AdviceNames::new(assessment.content);
    let verdict = assessment.settled.verdict;
    let values = telling.values_with(&assessment.values, &assessment.findings, verdict, &assessment.site);
    let mut held = Held::default();
    for promise in &assessment.content.promises {
        if promise.when.eval(&values).is_yes() {
            held.owed.push(&promise.id);
        }
        if let Some(how) = breach(promise, verdict, &values) {
            held.broken.push(Broken { promise: &promise.id, how });
        }
    }
    held
}

fn breach(promise: &Promise, verdict: Verdict, values: &[Value]) -> Option<Breach> {
    let owed = promise.when.eval(values);
    let not_known = owed == Truth::Unknown && promise.or_unknown && verdict != Verdict::FindOutFirst;
    if (owed.is_yes() || not_known) && !promise.allows(verdict) {
        return Some(Breach::Verdict(verdict));
    }
    if !owed.is_yes() {
        return None;
    }
    let fails = |condition: &Option<Condition>| condition.as_ref().is_some_and(|c| !c.eval(values).is_yes());
    if fails(&promise.holds) {
        return Some(Breach::DoesNotHold);
    }
    if fails(&promise.told_by) {
        return Some(Breach::NotTold);
    }
    let told = promise.not_together.iter().filter(|row| row.eval(values).is_yes()).count();
    (told > 1).then_some(Breach::Together)
}

/// Where the names of what is told stand in the list of values; looked up once.
#[derive(Debug)]
pub(super) struct AdviceNames<'c> {
    content: &'c Content,
    verdict: Option<usize>,
    findings: Vec<Option<usize>>,
    /// Rows that are printed where they hold, and those that are where they may.
    rows: Vec<(usize, &'c Condition, bool)>,
}

/// The values of a visit with what is told of it, made where they are asked for first.
pub(super) struct Told<'a> {
    telling: &'a AdviceNames<'a>,
    judged: &'a Judged,
    values: OnceCell<Vec<Value>>,
}

impl<'a> Told<'a> {
    pub(super) fn of(telling: &'a AdviceNames<'a>, judged: &'a Judged) -> Told<'a> {
        Told { telling, judged, values: OnceCell::new() }
    }

    pub(super) fn values(&self) -> &[Value] {
        self.values.get_or_init(|| self.telling.values(self.judged))
    }
}

impl<'c> AdviceNames<'c> {
    /// Looks the names up.
    pub(super) fn new(content: &'c Content) -> AdviceNames<'c> {
        let slot = |name: &str| content.vocabulary.slot(name).map(usize::from);
        let mut rows = Vec::new();
        let mut row = |kind: &str, id: &str, when: &'c Condition, if_possible: bool| {
            rows.extend(slot(&format!("{kind}.{id}")).map(|slot| (slot, when, if_possible)));
        };
        content.tasks.iter().for_each(|r| row("task", &r.id, &r.when, false));
        content.calls.iter().for_each(|r| row("trade", &r.id, &r.when, false));
        content.asks.iter().for_each(|r| row("ask", &r.id, &r.when, false));
        content.cautions.iter().for_each(|r| row("caution", &r.id, &r.when, true));
        let findings = content.findings.iter().map(|f| slot(&format!("finding.{}", f.id))).collect();
        AdviceNames { content, verdict: slot(VERDICT_NAME), findings, rows }
    }

    /// The same where nobody asks for other names than these.
    pub(super) fn only(&self, names: &BTreeSet<usize>) -> AdviceNames<'c> {
        let findings = self.findings.iter().map(|slot| slot.filter(|slot| names.contains(slot))).collect();
        let rows = self.rows.iter().filter(|(slot, ..)| names.contains(slot)).copied().collect();
        AdviceNames { content: self.content, verdict: self.verdict, findings, rows }
    }

    /// The values of a visit with what is told of it.
    pub(super) fn values(&self, judged: &Judged) -> Vec<Value> {
        self.values_with(&judged.values, &judged.findings, judged.settled.verdict, &judged.site)
    }

    fn values_with(&self, computed: &[Value], findings: &[Truth], verdict: Verdict, site: &Site) -> Vec<Value> {
        let mut values = computed.to_vec();
        values.resize(self.content.vocabulary.len(), Value::Unknown);
        if let Some(at) = self.verdict {
            values[at] = Value::choice(verdict as usize);
        }
        for (at, truth) in self.findings.iter().zip(findings) {
            if let Some(at) = at {
                values[*at] = match truth {
                    Truth::Unknown => Value::Unknown,
                    known => Value::yes_no(known.is_yes()),
                };
            }
        }
        for (at, when, if_possible) in &self.rows {
            values[*at] = Value::yes_no(match when.eval(computed) {
                Truth::Yes => true,
                Truth::No => false,
                Truth::Unknown => *if_possible || self.content.only_tape_leaves_open(when, site, computed),
            });
        }
        values
    }

    /// Whether a promise is broken by these values.
    pub(super) fn is_broken(content: &Content, promise: &Promise, judged: &Judged, values: &[Value]) -> bool {
        match breach(promise, judged.settled.verdict, values) {
            None => false,
            Some(Breach::Verdict(_)) => true,
            // without the answers that come before all others nothing but "find out first" is told
            Some(Breach::DoesNotHold | Breach::NotTold | Breach::Together) => {
                let asked = content.flow.questions.iter().zip(&judged.state.values);
                asked.filter(|(question, _)| question.first).all(|(_, value)| matches!(value, Value::Is(_)))
            }
        }
    }
}
