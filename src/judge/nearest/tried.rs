//! What is tried, and what a failed try teaches.

use super::{Hunt, InTheWay, MOST_JUDGED, MOST_KEPT, Set, TriedOut, is_number, key, with_answer};
use crate::content::Rule;
use crate::flow::{Answer, Answers};
use crate::judge::model::Judged;
use crate::judge::questions::Questions;
use crate::judge::reasons::Grounds;
use crate::judge::samples::representatives;
use crate::solve::Lit;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

impl Hunt<'_, '_> {
    pub(super) fn with(&self, set: &[(usize, Answer)]) -> Answers {
        let mut after = self.of.answers.clone();
        for (question, answer) in set {
            after.set(*question, answer.clone());
        }
        let stays = |question: &usize| after.get(*question).is_none() || set.iter().any(|(q, _)| q == question);
        if !set.iter().any(|(question, _)| self.finish.contains(question)) || self.may_move.iter().all(stays) {
            return after;
        }
        let questions: Vec<usize> = set.iter().map(|(q, _)| *q).collect();
        let state = self.again.state(&after);
        self.of.content.with_what_moves_from(&self.again.base.site, &after, &state, &questions)
    }

    /// What a set of answers comes to. Where nothing else is in the way, each answer to a question about the house that it brings
    /// up is tried too.
    pub(super) fn try_out(&self, set: &[(usize, Answer)]) -> Rc<TriedOut> {
        let key = key(set);
        if let Some(known) = self.tried.borrow().get(&key) {
            return Rc::clone(known);
        }
        let tried = Rc::new(self.try_anew(set));
        self.tried.borrow_mut().insert(key, Rc::clone(&tried));
        tried
    }

    pub(super) fn try_anew(&self, set: &[(usize, Answer)]) -> TriedOut {
        let answers = self.with(set);
        let judged = self.again.judge(&answers);
        let mut ways = self.standing(&judged);
        ways.extend(self.newly_asked(set, &judged, true).into_iter().map(InTheWay::Unanswered));
        let gone = self.to_keep.iter().filter(|question| !judged.state.shown[**question].is_possible());
        ways.extend(gone.map(|question| InTheWay::Forgotten(*question)));
        let mut found = None;
        if ways.is_empty() {
            (ways, found) = self.once_found(set, &answers, &judged);
        }
        TriedOut { judged, ways, found, reasons: RefCell::default() }
    }

    pub(super) fn reasons<'s>(&'s self, tried: &'s TriedOut) -> Grounds<'s> {
        let found = tried.found.iter().map(|(question, _)| *question).collect();
        let judged = tried.worst();
        let asked = (self.open, self.answered.and(found));
        Grounds::of_plan(self.of.content, judged, &judged.values, asked, &self.offers)
    }

    /// What keeps in the way what is there.
    pub(super) fn reasons_of(&self, tried: &TriedOut) -> Vec<(InTheWay, Questions)> {
        let mut reasons = self.reasons(tried);
        tried.ways.iter().map(|what| (*what, Self::reason_of(&mut reasons, *what))).collect()
    }

    pub(super) fn reason_of(reasons: &mut Grounds<'_>, what: InTheWay) -> Questions {
        match what {
            InTheWay::Rule(rule) => reasons.stands(rule),
            InTheWay::BadEnd(_) => reasons.bad_end_of_plan(),
            InTheWay::Unanswered(question) => reasons.question(question),
            InTheWay::Forgotten(question) => reasons.shown(question),
        }
    }

    /// The rules between these answers and "Go ahead".
    pub(super) fn standing(&self, judged: &Judged) -> Vec<InTheWay> {
        let standing = self.rules.iter().copied().filter(|rule| judged.truth(*rule).is_possible());
        let bad_end = |rule: Rule| matches!(rule, Rule::Finding(at) if self.untold == Some(at));
        standing.map(|rule| if bad_end(rule) { InTheWay::BadEnd(rule) } else { InTheWay::Rule(rule) }).collect()
    }

    /// What comes in the way with some answer to a question about the house that is brought up, and with which.
    pub(super) fn once_found(
        &self,
        set: &[(usize, Answer)],
        answers: &Answers,
        judged: &Judged,
    ) -> (Vec<InTheWay>, Option<(usize, Judged)>) {
        for question in self.newly_asked(set, judged, false) {
            for answer in representatives(&self.of.content.flow.questions[question]) {
                let mut found = answers.clone();
                found.set(question, answer);
                let found = self.again.judge(&found);
                let ways = self.standing(&found);
                if !ways.is_empty() {
                    return (ways, Some((question, found)));
                }
            }
        }
        (Vec::new(), None)
    }

    /// The questions that a set of answers brings up and does not answer: of the plan, or of the house.
    pub(super) fn newly_asked(&self, set: &[(usize, Answer)], judged: &Judged, plan: bool) -> Vec<usize> {
        let questions = self.of.content.flow.questions.iter().enumerate();
        let new = |q: usize| {
            judged.state.shown[q].is_yes()
                && !self.of.state.shown[q].is_yes()
                && self.of.answers.get(q).is_none()
                && !set.iter().any(|(other, _)| *other == q)
        };
        questions.filter(|(q, question)| question.plan == plan && new(*q)).map(|(q, _)| q).collect()
    }

    /// Tries a set of answers and learns from it; without those that do not count if there is nothing in the way.
    pub(super) fn examine(&mut self, set: Set) -> Option<Set> {
        // what was tried long ago is seldom asked for again, and new room costs more than trying anew
        if self.tried.borrow().len() > MOST_KEPT {
            self.tried.borrow_mut().clear();
            self.facts.clear();
        }
        let tried = self.try_out(&set);
        let set: Set = set.into_iter().filter(|(q, _)| tried.judged.state.shown[*q].is_yes()).collect();
        if tried.is_clear() {
            return Some(set);
        }
        let numbers: Vec<usize> = set.iter().filter(|(_, a)| is_number(a)).map(|(q, _)| *q).collect();
        let ways = self.reasons_of(&tried);
        let mut weighed = None;
        for (what, mut by) in self.worth_learning(ways) {
            let mut runs: Vec<(usize, (i64, i64))> = Vec::new();
            let (along, named) = (self.along, by);
            let moves = |question: usize| along.is_none_or(|along| along == question) && named.has(question);
            for question in numbers.iter().filter(|question| moves(**question)) {
                let run = self.run_around(*question, &set, what, &mut by);
                runs.push((*question, run));
            }
            if runs.len() > 1 && !self.holds_at_corners(&set, &runs, what, &mut by) {
                // only along the first of the numbers
                runs.truncate(1);
                weighed.get_or_insert((runs[0].0, by));
            }
            if set.len() > 1 && runs.len() < 2 {
                self.around_present(&set, what, &mut by, &mut runs);
            }
            self.learn(&set, what, by, &runs);
        }
        match weighed.filter(|_| !self.on_a_line && self.along.is_none()) {
            Some((along, by)) => self.by_lines(&set, along, by),
            None => None,
        }
    }

    /// Adds the numbers that a set leaves as they are: around these too something stays in the way.
    pub(super) fn around_present(
        &mut self,
        set: &Set,
        what: InTheWay,
        by: &mut Questions,
        runs: &mut Vec<(usize, (i64, i64))>,
    ) {
        for question in self.asked(*by).collect::<Vec<_>>() {
            let asked = &self.of.content.flow.questions[question];
            // what moves with the finish is not as it was
            let moves = asked.as_finish_rises != 0 || self.finish.contains(&question);
            let Some(now) = self.of.answers.get(question).filter(|a| is_number(a) && !moves).cloned() else { continue };
            if set.iter().any(|(q, _)| *q == question) {
                continue;
            }
            let as_is = with_answer(set, question, now);
            let run = self.run_around(question, &as_is, what, by);
            runs.push((question, run));
            if !self.holds_at_corners(&as_is, runs, what, by) {
                runs.pop();
            }
        }
    }

    /// What a failed set teaches most: of two things in the way the one that hangs on fewer questions. What the program itself sees
    /// is only learnt where nothing else is in the way. The others are judged anew once these are gone.
    pub(super) fn worth_learning(&self, mut ways: Vec<(InTheWay, Questions)>) -> Vec<(InTheWay, Questions)> {
        let content = self.of.content;
        let is_guard = |(what, _): &(InTheWay, Questions)| match what.rule() {
            Some(Rule::Finding(at)) => content.findings[at].guard.is_some(),
            _ => false,
        };
        if !ways.iter().all(is_guard) {
            ways.retain(|way| !is_guard(way));
        }
        let fewer = |by: Questions| ways.iter().any(|(_, other)| *other != by && other.both(by) == *other);
        ways.iter().filter(|(_, by)| !fewer(*by)).copied().collect()
    }

    /// Where a rule weighs several numbers against each other: looks along the first of them at both ends of where the second may
    /// lie by all that is known, and between the bends of heights. If nothing is clear there, nothing in between is: what facts say is
    /// straight there.
    pub(super) fn by_lines(&mut self, set: &Set, along: usize, by: Questions) -> Option<Set> {
        let others = set.iter().filter(|(q, a)| is_number(a) && *q != along && by.has(*q)).map(|(q, _)| *q);
        let across = others.collect::<Vec<_>>().first().copied()?;
        let (from, to) = self.last_cell.get(&across).copied()?;
        let (from, to) = self.between_bends(across, set, (from, to));
        self.on_a_line = true;
        let mut against = BTreeSet::new();
        let mut clear = None;
        for end in [from, to] {
            match self.line(set, along, (across, end)) {
                Ok(found) => {
                    clear = Some(found);
                    break;
                }
                Err(lits) => against.extend(lits),
            }
        }
        self.on_a_line = false;
        if clear.is_some() {
            return clear;
        }
        let (low, high) = (self.at_least(across, from), self.at_least(across, to + 1));
        let changed = self.variables[&across].changed;
        let mut clause: Vec<Lit> = against.into_iter().filter(|lit| *lit != changed).map(|lit| !lit).collect();
        clause.extend([!changed, !low, high]);
        self.sat.clause(&clause);
        None
    }

    /// Looks for something clear with one number anywhere, another at a place, and all else as in a set; or says what stands against
    /// it: statements of what has to go, and of the set.
    pub(super) fn line(&mut self, set: &Set, along: usize, (across, end): (usize, i64)) -> Result<Set, Vec<Lit>> {
        let mut fixed = Vec::new();
        for (question, variable) in &self.variables {
            let answer = set.iter().find(|(q, _)| q == question).map(|(_, a)| a);
            match answer {
                None => fixed.push(!variable.changed),
                Some(answer) if !is_number(answer) => {
                    fixed.extend(variable.values.iter().find(|(a, _)| a == answer).map(|(_, lit)| *lit));
                }
                Some(_) => fixed.push(variable.changed),
            }
        }
        for (question, answer) in set.iter().filter(|(q, a)| is_number(a) && *q != along) {
            let n = if *question == across { end } else { answer.value().known().unwrap_or_default() };
            let place = [self.at_least(*question, n), !self.at_least(*question, n + 1)];
            fixed.extend(place);
        }
        let known: Vec<usize> = self.variables.keys().copied().collect();
        loop {
            let new = self.variables.iter().filter(|(q, _)| !known.contains(q)).map(|(_, v)| !v.changed);
            let besides: Vec<Lit> = fixed.iter().copied().chain(new).collect();
            let Some(proposed) = self.propose(set.len(), &besides) else { break };
            if self.again.times() > MOST_JUDGED {
                return Err(Vec::new());
            }
            if let Some(clear) = self.examine(proposed) {
                return Ok(clear);
            }
        }
        // that there are no more answers than these follows from the rest
        let place = [self.at_least(across, end), !self.at_least(across, end + 1)];
        let new = self.variables.iter().filter(|(q, _)| !known.contains(q)).map(|(_, v)| !v.changed);
        let as_one = Some(self.one_line).filter(|_| self.moves_as_one);
        let assumed = self.wanted.values().copied().chain(as_one).chain(fixed).chain(new).collect::<Vec<_>>();
        self.sat.can(&assumed);
        let against = self.sat.against();
        Err(against.into_iter().filter(|lit| !place.contains(lit)).collect())
    }
}
