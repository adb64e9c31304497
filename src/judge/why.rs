//! Why the verdict is what it is: the fewest answers that force it.

use super::few::Few;
use super::model::{Assessment, Judged};
use super::questions::Questions;
use super::reasons::Grounds;
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answer, Answers, Truth};
use crate::solve::{Lit, Sat};

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

    /// The fewest of the given answers that make a rule true, if they are fewer than `limit`; of several such sets the one whose
    /// questions come first.
    ///
    /// What cannot be spared is in every such set. A set that does not make it true says why ([`Grounds`]): one of the answers left
    /// out, on which that hangs, is needed. Of these as many are given back as can be without making it true, so that few are
    /// left. The next set to try is the smallest that has one of each such group.
    fn fewest_for(&self, rule: Rule, given: &[usize], limit: usize) -> Option<Vec<usize>> {
        let content = self.content;
        let holds = |set: &[usize]| content.judge_these(self.answers, set).truth(rule).is_yes();
        let without = |left_out: &[usize]| -> Vec<usize> {
            given.iter().copied().filter(|other| !left_out.contains(other)).collect()
        };
        let needed: Vec<usize> = given.iter().copied().filter(|q| !holds(&without(&[*q]))).collect();
        if needed.len() >= limit {
            return None;
        }
        if holds(&needed) {
            return Some(needed);
        }
        let mut kept = KeptAnswers::new(given);
        for question in &needed {
            kept.needs_one_of(&[*question]);
        }
        let mut size = needed.len();
        loop {
            let Some(set) = kept.first_of_size(size) else {
                size += 1;
                if size > given.len() || size >= limit {
                    return None;
                }
                continue;
            };
            let judged = content.judge_these(self.answers, &set);
            if judged.truth(rule).is_yes() {
                return Some(set);
            }
            let left_out: Questions = without(&set).into_iter().collect();
            let by = Grounds::new(content, &judged, left_out).fails_to_hold(rule);
            let mut group: Vec<usize> = without(&set).into_iter().filter(|q| by.has(*q)).collect();
            if group.is_empty() {
                group = without(&set);
            }
            for question in group.clone() {
                let fewer: Vec<usize> = group.iter().copied().filter(|other| *other != question).collect();
                if !fewer.is_empty() && !holds(&without(&fewer)) {
                    group = fewer;
                }
            }
            kept.needs_one_of(&group);
        }
    }
}

/// Which of the answers are kept.
struct KeptAnswers {
    sat: Sat,
    few: Few,
    kept: Vec<(usize, Lit)>,
}

impl KeptAnswers {
    fn new(given: &[usize]) -> Self {
        let (mut sat, mut few) = (Sat::new(), Few::default());
        let mut keep = |question: &usize| {
            let lit = sat.fresh();
            few.add(&mut sat, lit);
            (*question, lit)
        };
        let kept = given.iter().map(&mut keep).collect();
        KeptAnswers { sat, few, kept }
    }

    /// One of these is needed.
    fn needs_one_of(&mut self, these: &[usize]) {
        let needed: Vec<Lit> = self.kept.iter().filter(|(q, _)| these.contains(q)).map(|(_, lit)| *lit).collect();
        self.sat.clause(&needed);
    }

    /// The first set of so many that has what is needed, by the order of its questions.
    fn first_of_size(&mut self, size: usize) -> Option<Vec<usize>> {
        let more = self.few.more_than(&mut self.sat, size);
        let mut assumed: Vec<Lit> = more.into_iter().map(|more| !more).collect();
        if !self.sat.can(&assumed) {
            return None;
        }
        let mut set = Vec::new();
        for (question, lit) in self.kept.clone() {
            assumed.push(lit);
            if set.len() < size && self.sat.can(&assumed) {
                set.push(question);
            } else {
                assumed.pop();
                assumed.push(!lit);
            }
        }
        Some(set)
    }
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
