//! Why the verdict is what it is: the fewest answers that force it.

use super::model::{Assessment, Judged};
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answer, Answers, Truth};

/// How many answers beyond those that cannot be spared are tried together.
const MOST_ADDED: usize = 2;

impl Content {
    /// Every rule that carries a verdict.
    pub(crate) fn rules(&self) -> impl Iterator<Item = Rule> + '_ {
        let limits = self.limits.iter().enumerate().filter(|(_, l)| l.verdict.is_some()).map(|(i, _)| Rule::Limit(i));
        let findings =
            self.findings.iter().enumerate().filter(|(_, f)| f.verdict.is_some()).map(|(i, _)| Rule::Finding(i));
        limits.chain(findings)
    }

    /// The verdict that a rule carries.
    pub(crate) fn verdict_of(&self, rule: Rule) -> Option<Verdict> {
        match rule {
            Rule::Limit(i) => self.limits[i].verdict,
            Rule::Finding(i) => self.findings[i].verdict,
        }
    }

    /// The rules that stand between these answers and "Go ahead".
    fn in_the_way(&self, judged: &Judged) -> Vec<Rule> {
        self.rules().filter(|rule| judged.truth(*rule).is_possible()).collect()
    }

    fn judge_these(&self, answers: &Answers, keep: &[usize]) -> Judged {
        let mut kept = Answers::default();
        for question in keep {
            if let Some(answer) = answers.get(*question) {
                kept.set(*question, answer.clone());
            }
        }
        let state = self.flow.state(&kept);
        self.judge(&kept, state)
    }
}

impl Assessment<'_> {
    /// The fewest answers that by themselves force what is certain of the verdict; empty for "Go ahead", which
    /// rests on all of them.
    #[must_use]
    pub fn forced_by(&self) -> Vec<usize> {
        let content = self.content;
        let target = self.settled.held;
        if target == Verdict::GoAhead {
            return Vec::new();
        }
        let given: Vec<usize> = self
            .answers
            .iter()
            .filter(|(q, a)| **a != Answer::NotSure && self.state.shown[*q].is_yes())
            .map(|(q, _)| q)
            .collect();
        let judged = content.judge_these(self.answers, &given);
        let rules = content.in_the_way(&judged);
        let rules = rules.into_iter().filter(|r| content.verdict_of(*r) == Some(target) && judged.truth(*r).is_yes());
        let mut best: Option<Vec<usize>> = None;
        for rule in rules {
            let limit = best.as_ref().map_or(usize::MAX, Vec::len);
            if let Some(set) = self.fewest_for(rule, &given, limit) {
                best = Some(set);
            }
        }
        best.unwrap_or_default()
    }

    /// The fewest of the given answers that make a rule true, if they are fewer than `limit`.
    fn fewest_for(&self, rule: Rule, given: &[usize], limit: usize) -> Option<Vec<usize>> {
        let content = self.content;
        let holds = |set: &[usize]| content.judge_these(self.answers, set).truth(rule).is_yes();
        let without = |q: usize| given.iter().copied().filter(|other| *other != q).collect::<Vec<_>>();
        // what cannot be spared is in every such set
        let needed: Vec<usize> = given.iter().copied().filter(|q| !holds(&without(*q))).collect();
        if needed.len() >= limit {
            return None;
        }
        if holds(&needed) {
            return Some(needed);
        }
        let spare: Vec<usize> = given.iter().copied().filter(|q| !needed.contains(q)).collect();
        for count in 1..=MOST_ADDED.min(spare.len()) {
            if needed.len() + count >= limit {
                return None;
            }
            let mut found = None;
            combinations(spare.len(), count, &mut |picked| {
                let mut set = needed.clone();
                set.extend(picked.iter().map(|i| spare[*i]));
                set.sort_unstable();
                if holds(&set) {
                    found = Some(set);
                }
                found.is_some()
            });
            if found.is_some() {
                return found;
            }
        }
        // more than that: take away one after the other what can go
        let mut set = given.to_vec();
        for q in given {
            let fewer: Vec<usize> = set.iter().copied().filter(|other| other != q).collect();
            if holds(&fewer) {
                set = fewer;
            }
        }
        (set.len() < limit).then_some(set)
    }
}

/// Calls `visit` with every set of `count` of the numbers below `from`, in order, until it says that it is done.
fn combinations(from: usize, count: usize, visit: &mut dyn FnMut(&[usize]) -> bool) {
    fn next(from: usize, count: usize, picked: &mut Vec<usize>, visit: &mut dyn FnMut(&[usize]) -> bool) -> bool {
        if picked.len() == count {
            return visit(picked);
        }
        let first = picked.last().map_or(0, |last| last + 1);
        for i in first..from {
            picked.push(i);
            if next(from, count, picked, visit) {
                return true;
            }
            picked.pop();
        }
        false
    }
    next(from, count, &mut Vec::new(), visit);
}

impl Judged {
    /// The truth of a rule.
    pub(crate) fn truth(&self, rule: Rule) -> Truth {
        match rule {
            Rule::Limit(i) => self.clearances[i].breaks(),
            Rule::Finding(i) => self.findings[i],
        }
    }
}
