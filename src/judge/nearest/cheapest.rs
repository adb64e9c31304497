//! Of the changes that do it the cheapest one.

use super::{Costing, Hunt, MOST_JUDGED, MOST_ROUNDS, Set, is_number, number_in};
use crate::flow::Answer;
use crate::solve::Lit;

impl Hunt<'_, '_> {
    /// The cheapest of all changes with so many answers, of which one is known.
    pub(super) fn cheapest(&mut self, most: usize, found: Set) -> Set {
        let mut best = self.best_answers(&found, most);
        let mut next = Some(found);
        while let Some(set) = next {
            // other questions
            let these: Vec<Lit> = set.iter().map(|(q, _)| !self.variables[q].changed).collect();
            self.sat.clause(&these);
            next = None;
            while self.again.times() <= MOST_JUDGED
                && let Some(other) = self.propose(most, &[])
            {
                next = self.examine(other);
                if next.is_some() {
                    break;
                }
            }
            if let Some(other) = &next
                && self.minutes(other) <= best.0.0
            {
                let other = self.best_answers(&other.clone(), most);
                if other.0 < best.0 {
                    best = other;
                }
            }
        }
        best.1
    }

    /// The cheapest answers to the same questions.
    pub(super) fn best_answers(&mut self, found: &Set, most: usize) -> (Costing, Set) {
        let mut best = self.settled_numbers(found, most);
        let same: Vec<Lit> = found.iter().map(|(q, _)| self.variables[q].changed).collect();
        // only until this is done
        let looking = self.sat.fresh();
        let mut last = best.clone();
        while best.0.1 > 0 || best.0.2 > 0 {
            let other = if best.0.1 == 0 { self.within(&best) } else { None };
            let other = other.unwrap_or_else(|| self.other_choices(&last.1));
            self.sat.clause(&other.into_iter().chain([!looking]).collect::<Vec<_>>());
            let assumed: Vec<Lit> = same.iter().copied().chain([looking]).collect();
            let mut next = None;
            while self.again.times() <= MOST_JUDGED
                && let Some(set) = self.propose(most, &assumed)
            {
                next = self.examine(set);
                if next.is_some() {
                    break;
                }
            }
            let Some(set) = next else { break };
            last = self.settled_numbers(&set, most);
            if last.0 < best.0 {
                best = last.clone();
            }
        }
        self.sat.clause(&[!looking]);
        self.first_choices(best)
    }

    /// That some choice is another one.
    pub(super) fn other_choices(&self, set: &Set) -> Vec<Lit> {
        let of = |(q, a): &(usize, Answer)| self.variables[q].values.iter().find(|(v, _)| v == a).map(|(_, lit)| !*lit);
        set.iter().filter_map(of).collect()
    }

    /// That the only length of a set lies nearer to the present one; nothing where there are several.
    pub(super) fn within(&mut self, (cost, set): &(Costing, Set)) -> Option<Vec<Lit>> {
        let mut lengths = set.iter().filter(|(_, a)| is_number(a)).map(|(q, _)| *q);
        let (question, None) = (lengths.next()?, lengths.next()) else { return None };
        let now = self.of.answers.get(question)?.value().known()?;
        let (low, high) = (self.at_least(question, now - cost.2 + 1), self.at_least(question, now + cost.2));
        let within = self.sat.all(&[low, !high]);
        Some(vec![within])
    }

    /// The same choices, each number as near to the present one as the others let it.
    pub(super) fn settled_numbers(&mut self, found: &Set, most: usize) -> (Costing, Set) {
        let mut set = found.clone();
        let numbers: Vec<usize> = set.iter().filter(|(_, a)| is_number(a)).map(|(q, _)| *q).collect();
        for _ in 0..MOST_ROUNDS {
            let before = set.clone();
            for question in &numbers {
                self.along = Some(*question);
                while let Some(nearer) = self.nearer(*question, &set, most) {
                    set = nearer;
                }
                self.along = None;
            }
            if set == before || numbers.len() < 2 {
                break;
            }
        }
        (self.cost(&set), set)
    }

    /// The same set with a number that lies nearer to the present one.
    pub(super) fn nearer(&mut self, question: usize, set: &Set, most: usize) -> Option<Set> {
        let now = self.of.answers.get(question)?.value().known()?;
        let off = (number_in(set, question) - now).abs();
        let (low, high) = (self.at_least(question, now - off + 1), self.at_least(question, now + off));
        let mut assumed = vec![low, !high];
        for (other, answer) in set.iter().filter(|(q, _)| *q != question) {
            if is_number(answer) {
                let n = answer.value().known()?;
                assumed.extend([self.at_least(*other, n), !self.at_least(*other, n + 1)]);
            }
            let variable = &self.variables[other];
            let value = variable.values.iter().find(|(a, _)| a == answer).map(|(_, lit)| *lit);
            assumed.extend([variable.changed, value.unwrap_or(variable.changed)]);
        }
        assumed.push(self.variables[&question].changed);
        while self.again.times() <= MOST_JUDGED {
            let other = self.propose(most, &assumed)?;
            if let Some(clear) = self.examine(other).filter(|clear| clear.len() == set.len()) {
                return Some(clear);
            }
        }
        None
    }

    /// Of choices that cost the same those that stand first.
    pub(super) fn first_choices(&self, (mut cost, mut set): (Costing, Set)) -> (Costing, Set) {
        for at in 0..set.len() {
            let question = set[at].0;
            let earlier = self.variables[&question].values.iter().map(|(answer, _)| answer);
            for answer in earlier.take_while(|answer| **answer != set[at].1).cloned().collect::<Vec<_>>() {
                let mut other = set.clone();
                other[at].1 = answer;
                let tried = self.try_out(&other);
                if !tried.is_clear() || !other.iter().all(|(q, _)| tried.judged.state.shown[*q].is_yes()) {
                    continue;
                }
                let costs = self.cost(&other);
                if costs <= cost {
                    (cost, set) = (costs, other);
                    break;
                }
            }
        }
        (cost, set)
    }

    pub(super) fn minutes(&self, set: &Set) -> i64 {
        set.iter().map(|(q, _)| self.of.content.flow.questions[*q].effort.minutes).sum()
    }

    pub(super) fn cost(&self, set: &Set) -> Costing {
        let shown = self.of.content.flow.state(&self.with(set)).shown;
        let other = |q: &usize| {
            let (before, after) = (self.of.state.shown[*q].is_yes(), shown[*q].is_yes());
            let counts = after || self.of.answers.get(*q).is_some();
            before != after && counts && !set.iter().any(|(own, _)| own == q)
        };
        (self.minutes(set), (0..shown.len()).filter(other).count(), self.far(set))
    }

    /// How far the lengths of a set lie from the present ones.
    pub(super) fn far(&self, set: &[(usize, Answer)]) -> i64 {
        let known = |a: Option<&Answer>| match a {
            Some(Answer::Length(l)) => Some(l.steps()),
            _ => None,
        };
        let far =
            |(question, answer): &(usize, Answer)| match (known(self.of.answers.get(*question)), known(Some(answer))) {
                (Some(a), Some(b)) => (a - b).abs(),
                _ => 0,
            };
        set.iter().map(far).sum()
    }
}
