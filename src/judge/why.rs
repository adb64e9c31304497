//! Why the verdict is what it is: the fewest answers that force it, and the nearest change that would give
//! "Go ahead".

use super::decisive::representatives;
use super::model::{Assessment, Judged};
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answer, Answers, QuestionKind, Truth};
use crate::names::Stage;

/// A change of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The questions with their new answers.
    pub answers: Vec<(usize, Answer)>,
}

/// How many answers are changed at most.
const MOST_CHANGED: usize = 3;

/// How many answers beyond those that cannot be spared are tried together.
const MOST_ADDED: usize = 2;

impl Content {
    /// Every rule that carries a verdict.
    fn rules(&self) -> impl Iterator<Item = Rule> + '_ {
        let limits = self.limits.iter().enumerate().filter(|(_, l)| l.verdict.is_some()).map(|(i, _)| Rule::Limit(i));
        let findings =
            self.findings.iter().enumerate().filter(|(_, f)| f.verdict.is_some()).map(|(i, _)| Rule::Finding(i));
        limits.chain(findings)
    }

    /// The rules that stand between these answers and "Go ahead".
    fn in_the_way(&self, judged: &Judged) -> Vec<Rule> {
        self.rules().filter(|rule| truth_of(judged, *rule).is_possible()).collect()
    }

    /// The truth of every rule that carries a verdict.
    fn truths(&self, judged: &Judged) -> Vec<Truth> {
        self.rules().map(|rule| truth_of(judged, rule)).collect()
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
        let of = |rule: &Rule| match rule {
            Rule::Limit(i) => content.limits[*i].verdict,
            Rule::Finding(i) => content.findings[*i].verdict,
        };
        let rules = content.in_the_way(&judged);
        let rules = rules.into_iter().filter(|r| of(r) == Some(target) && truth_of(&judged, *r).is_yes());
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
        let holds = |set: &[usize]| truth_of(&content.judge_these(self.answers, set), rule).is_yes();
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

    /// The nearest change that gives "Go ahead": the fewest answers about the plan, then the least change of
    /// lengths. Nothing if there is none of at most three answers.
    #[must_use]
    pub fn nearest_change(&self) -> Option<Change> {
        let content = self.content;
        if self.settled.verdict == Verdict::GoAhead {
            return None;
        }
        let now = content.judge(self.answers, self.state.clone());
        let in_the_way = content.in_the_way(&now);
        let mut steps: Vec<(usize, Answer)> = Vec::new();
        let questions = content.flow.questions.iter().enumerate();
        for (number, question) in questions.filter(|(q, question)| question.plan && self.state.shown[*q].is_yes()) {
            for answer in self.other_answers(number, question.kind) {
                let mut tried = self.answers.clone();
                tried.set(number, answer.clone());
                let judged = content.judge(&tried, content.flow.state(&tried));
                // a step that takes nothing out of the way is none
                if in_the_way.iter().any(|rule| !truth_of(&judged, *rule).is_possible()) {
                    steps.push((number, answer));
                }
            }
        }
        for count in 1..=MOST_CHANGED {
            let mut best: Option<(i64, Change)> = None;
            combinations(steps.len(), count, &mut |picked| {
                let mut tried = self.answers.clone();
                for (i, at) in picked.iter().enumerate() {
                    let (question, answer) = &steps[*at];
                    if picked[..i].iter().any(|p| steps[*p].0 == *question) {
                        return false;
                    }
                    tried.set(*question, answer.clone());
                }
                let far = picked.iter().map(|at| self.distance(&steps[*at])).sum();
                if best.as_ref().is_none_or(|(least, _)| far < *least)
                    && content.settle(&tried).verdict == Verdict::GoAhead
                {
                    let answers = picked.iter().map(|at| steps[*at].clone()).collect();
                    best = Some((far, Change { answers }));
                }
                false
            });
            if let Some((_, change)) = best {
                return Some(change);
            }
        }
        None
    }

    /// Whether a change of the plan is worth telling: what stands already is repaired, not planned anew, and what is
    /// not known is found out first.
    pub(crate) fn can_change(&self) -> bool {
        self.said() == Some(Stage::Planned)
            && matches!(self.settled.held, Verdict::ChangePlan | Verdict::ExteriorTradeFirst)
    }

    /// The nearest change, where it is worth telling.
    pub(crate) fn change_worth_telling(&self) -> Option<Change> {
        self.can_change().then(|| self.nearest_change()).flatten()
    }

    /// The other answers of a question that can make a difference: of numbers the ends of each stretch that
    /// judges differently, those that are nearest to the present one.
    fn other_answers(&self, number: usize, kind: QuestionKind) -> Vec<Answer> {
        let question = &self.content.flow.questions[number];
        let now = self.answers.get(number);
        if !matches!(kind, QuestionKind::Length | QuestionKind::Number | QuestionKind::Year) {
            return representatives(question).into_iter().filter(|a| Some(a) != now).collect();
        }
        let present = now.and_then(|a| a.value().known());
        let nearest = |(from, to, _): &(i64, i64, Vec<Truth>)| {
            let n = present.map_or(from + (to - from) / 2, |n| n.clamp(*from, *to));
            (Some(n) != present).then(|| super::decisive::number_answer(kind, n))
        };
        let rules = |judged: &Judged| self.content.truths(judged);
        self.content.stretches_by(self.answers, number, &rules).iter().filter_map(nearest).collect()
    }

    fn distance(&self, (question, answer): &(usize, Answer)) -> i64 {
        let known = |a: Option<&Answer>| match a {
            Some(Answer::Length(l)) => Some(l.steps()),
            _ => None,
        };
        match (known(self.answers.get(*question)), known(Some(answer))) {
            (Some(a), Some(b)) => (a - b).abs(),
            _ => 0,
        }
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

fn truth_of(judged: &Judged, rule: Rule) -> Truth {
    match rule {
        Rule::Limit(i) => judged.clearances[i].breaks(),
        Rule::Finding(i) => judged.findings[i],
    }
}
