//! The formula: which answers may be changed together, by all that was learnt.

use super::{Hunt, InTheWay, Set, Variable, is_number, is_numeric, without};
use crate::flow::Answer;
use crate::judge::questions::Questions;
use crate::judge::samples::{number_answer, representatives, samples};
use crate::solve::Lit;
use std::collections::BTreeMap;

impl Hunt<'_, '_> {
    pub(super) fn variable(&mut self, question: usize) {
        if self.variables.contains_key(&question) {
            return;
        }
        let asked = &self.of.content.flow.questions[question];
        let changed = self.sat.fresh();
        let (mut values, mut bounds) = (Vec::new(), None);
        if is_numeric(asked.kind) {
            let samples = samples(asked);
            bounds = samples.first().copied().zip(samples.last().copied());
        } else {
            let others = representatives(asked).into_iter().filter(|a| self.of.answers.get(question) != Some(a));
            let others = others.filter(|answer| asked.offers(answer));
            values = others.map(|answer| (answer, self.sat.fresh())).collect();
        }
        let any: Vec<Lit> = values.iter().map(|(_, lit)| *lit).collect();
        if bounds.is_none() {
            self.sat.clause(&any.iter().copied().chain([!changed]).collect::<Vec<_>>());
            for value in &any {
                self.sat.clause(&[!*value, changed]);
            }
            self.sat.not_two_of(&any);
        }
        if bounds.is_some() && self.finish.contains(&question) {
            let others = self.variables.iter().filter(|(q, v)| v.bounds.is_some() && self.finish.contains(q));
            for other in others.map(|(_, variable)| variable.changed).collect::<Vec<_>>() {
                self.sat.clause(&[!self.one_line, !changed, !other]);
            }
        }
        self.variables.insert(question, Variable { changed, values, cuts: BTreeMap::new(), bounds });
        self.few.add(&mut self.sat, changed);
    }

    /// The statement that a number is at least so much.
    pub(super) fn at_least(&mut self, question: usize, n: i64) -> Lit {
        let Some(variable) = self.variables.get_mut(&question) else { return !self.sat.yes() };
        let Some((least, most)) = variable.bounds else { return !self.sat.yes() };
        if n <= least {
            return self.sat.yes();
        }
        if n > most {
            return !self.sat.yes();
        }
        if let Some(known) = variable.cuts.get(&n) {
            return *known;
        }
        let cut = self.sat.fresh();
        if let Some((_, below)) = variable.cuts.range(..n).next_back() {
            self.sat.clause(&[!cut, *below]);
        }
        if let Some((_, above)) = variable.cuts.range(n + 1..).next() {
            self.sat.clause(&[!*above, cut]);
        }
        variable.cuts.insert(n, cut);
        cut
    }

    /// Something stays in the way as long as what it hangs on is answered as in a set, numbers anywhere in their runs.
    pub(super) fn learn(&mut self, set: &Set, what: InTheWay, by: Questions, runs: &[(usize, (i64, i64))]) {
        let wanted = if let Some(known) = self.wanted.get(&what) {
            *known
        } else {
            let fresh = self.sat.fresh();
            self.wanted.insert(what, fresh);
            fresh
        };
        let mut clause = vec![!wanted];
        for question in self.asked(by).collect::<Vec<_>>() {
            self.variable(question);
            let changed = self.variables[&question].changed;
            let run = runs.iter().find(|(q, _)| *q == question).map(|(_, run)| *run);
            match set.iter().find(|(q, _)| *q == question) {
                None => {
                    let outside = run.map(|run| self.outside(question, run));
                    if let (None, Some(meant)) = (outside, self.offers.meant(question, by)) {
                        let value = |answer: &Answer| self.value(question, answer);
                        clause.extend(meant.into_iter().filter_map(value));
                        continue;
                    }
                    clause.push(match outside {
                        None => changed,
                        Some(outside) => {
                            let outside = self.sat.any(&outside);
                            self.sat.all(&[changed, outside])
                        }
                    });
                }
                Some((_, answer)) if is_number(answer) => {
                    let n = answer.value().known().unwrap_or_default();
                    let (from, to) = run.unwrap_or((n, n));
                    let [below, above] = self.outside(question, (from, to));
                    let unchanged = self.unchanged(question, set);
                    if unchanged.is_some_and(|n| (from..=to).contains(&n)) {
                        let outside = self.sat.any(&[below, above]);
                        clause.push(self.sat.all(&[changed, outside]));
                    } else {
                        clause.extend([!changed, below, above]);
                    }
                }
                Some((_, answer)) => match self.offers.meant(question, by) {
                    Some(meant) => {
                        let now = self.of.answers.get(question);
                        let value = |answer: &Answer| {
                            if now == Some(answer) { Some(!changed) } else { self.value(question, answer) }
                        };
                        clause.extend(meant.into_iter().filter_map(value));
                    }
                    None => clause.push(self.value(question, answer).map_or(changed, |lit| !lit)),
                },
            }
        }
        clause.sort_unstable();
        clause.dedup();
        if self.learnt.insert(clause.clone()) {
            self.sat.clause(&clause);
        }
    }

    /// The statement that a choice is answered anew with an answer.
    pub(super) fn value(&self, question: usize, answer: &Answer) -> Option<Lit> {
        self.variables[&question].values.iter().find(|(other, _)| other == answer).map(|(_, lit)| *lit)
    }

    /// The statements that a number lies below a stretch, and above it.
    pub(super) fn outside(&mut self, question: usize, (from, to): (i64, i64)) -> [Lit; 2] {
        [!self.at_least(question, from), self.at_least(question, to + 1)]
    }

    /// The number that a question has where it is not answered anew: it may move with the finish.
    pub(super) fn unchanged(&self, question: usize, set: &Set) -> Option<i64> {
        let moves = set.iter().any(|(q, _)| *q != question && self.finish.contains(q));
        let now = if moves {
            self.with(&without(set, question)).get(question).cloned()
        } else {
            self.of.answers.get(question).cloned()
        };
        now.and_then(|a| a.value().known())
    }

    /// A set of at most so many answers that fits all that was learnt.
    pub(super) fn propose(&mut self, most: usize, besides: &[Lit]) -> Option<Set> {
        let more = self.few.more_than(&mut self.sat, most);
        let mut assumed: Vec<Lit> = self.wanted.values().copied().collect();
        assumed.extend(more.map(|more| !more));
        assumed.extend(Some(self.one_line).filter(|_| self.moves_as_one));
        assumed.extend(besides);
        if !self.sat.can(&assumed) {
            return None;
        }
        let mut set = Set::new();
        for (question, variable) in &self.variables {
            if !self.sat.holds(variable.changed) {
                continue;
            }
            let answer = match variable.bounds {
                None => variable.values.iter().find(|(_, lit)| self.sat.holds(*lit)).map(|(answer, _)| answer.clone()),
                Some((least, most)) => {
                    let reached = variable.cuts.iter().filter(|(_, lit)| self.sat.holds(**lit)).map(|(n, _)| *n);
                    let missed = variable.cuts.iter().filter(|(_, lit)| !self.sat.holds(**lit)).map(|(n, _)| *n - 1);
                    let (from, to) = (reached.max().unwrap_or(least), missed.min().unwrap_or(most));
                    self.last_cell.insert(*question, (from, to));
                    let asked = &self.of.content.flow.questions[*question];
                    let now = self.of.answers.get(*question).and_then(|a| a.value().known());
                    // what has no answer yet is as small as is usual
                    let usual = || asked.bounds.and_then(|bounds| bounds.usual).map(|(low, _)| low);
                    Some(number_answer(asked.kind, now.or_else(usual).unwrap_or(from).clamp(from, to)))
                }
            };
            set.extend(answer.map(|answer| (*question, answer)));
        }
        Some(set)
    }
}
