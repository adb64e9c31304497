//! Which claddings the rules speak of.

use super::content::Content;
use crate::flow::{Condition, Truth, Value};
use crate::names::QuestionId;

/// A cladding that no rule knows: a bit that no choice has.
const STRANGER: i64 = 1 << 62;

impl Content {
    /// Counts anew which regions have limits and which claddings rules: after rows were changed.
    pub(super) fn count_coverage(&mut self) {
        self.sort_rows();
        self.regions_with_limits = self.limits.iter().fold(0, |bits, limit| bits | limit.regions);
        let own = self.known_rules();
        let choices = 0..self.flow.questions[self.catalog.names.at(QuestionId::Cladding)].choices.len();
        let rules = || self.rules_with_verdict().filter(|(at, _)| own.contains(at)).map(|(_, when)| when);
        self.claddings_without_rules = choices.fold(0, |bits, at| {
            let here = self.only_cladding(1 << at);
            if rules().any(|when| when.eval(&here).is_possible()) { bits } else { bits | 1 << at }
        });
    }

    /// Takes away every rule that speaks of a cladding: to see what is left without them.
    pub fn forget_rules_of(&mut self, cladding: usize) {
        let (own, here) = (self.known_rules(), self.only_cladding(1 << cladding));
        let gone = |rule: Rule, when: &Condition| own.contains(&rule) && when.eval(&here).is_possible();
        let limits: Vec<bool> = self.limits.iter().enumerate().map(|(at, l)| !gone(Rule::Limit(at), &l.when)).collect();
        let findings: Vec<bool> =
            self.findings.iter().enumerate().map(|(at, f)| !gone(Rule::Finding(at), &f.when)).collect();
        // limits keep their slots: one that can fail no plan is as good as none
        for (limit, _) in self.limits.iter_mut().zip(limits).filter(|(_, kept)| !kept) {
            limit.verdict = None;
        }
        let mut kept = findings.into_iter();
        self.findings.retain(|_| kept.next().unwrap_or(true));
        self.count_coverage();
    }

    /// Every rule with a verdict.
    fn rules_with_verdict(&self) -> impl Iterator<Item = (Rule, &Condition)> {
        let limits = self.limits.iter().enumerate().filter(|(_, l)| l.verdict.is_some());
        let findings = self.findings.iter().enumerate().filter(|(_, f)| f.verdict.is_some() && f.guard.is_none());
        limits.map(|(at, l)| (Rule::Limit(at), &l.when)).chain(findings.map(|(at, f)| (Rule::Finding(at), &f.when)))
    }

    /// The rules that cannot hold for a cladding that nobody has ever heard of: they speak of claddings.
    fn known_rules(&self) -> Vec<Rule> {
        let stranger = self.only_cladding(STRANGER);
        self.rules_with_verdict()
            .filter(|(_, when)| !when.eval(&stranger).is_possible())
            .map(|(rule, _)| rule)
            .collect()
    }

    /// Values with the cladding known and everything else open.
    fn only_cladding(&self, bits: i64) -> Vec<Value> {
        let mut values = vec![Value::Unknown; self.vocabulary.len()];
        values[self.catalog.names.at(QuestionId::Cladding)] = Value::Is(bits);
        for (at, defined) in self.defined.iter().enumerate() {
            values[self.slots.defined + at] = match defined.when.eval(&values) {
                Truth::Yes => Value::yes_no(true),
                Truth::No => Value::yes_no(false),
                Truth::Unknown => Value::Unknown,
            };
        }
        values
    }
}

/// A rule, by its place among limits or findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// A limit.
    Limit(usize),
    /// A finding.
    Finding(usize),
}
