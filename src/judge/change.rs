//! The nearest change of the plan that gives "Go ahead", of any size; or what no change of the plan takes away.
//!
//! Every rule that may hold is in the way. Each has to go, and it can only go if one of the things it looks at changes; so
//! every solution answers anew one of the plan's questions behind these. The search takes one rule in the way after the
//! other, tries what could move it, and gives up a branch as soon as rules are left that share no question and are more than
//! the answers still allowed. It looks for one answer first, then for two, and so on.

use super::decisive::{number_answer, representatives};
use super::model::{Assessment, Judged};
use crate::content::{Guard, Rule, Verdict};
use crate::flow::{Answer, Answers, Condition, QuestionKind, Slot, Truth};
use crate::names::Stage;
use crate::site::{FACTS, SitePart};
use std::collections::{BTreeMap, BTreeSet};

/// A change of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The questions with their new answers, in the order of the interview. What was measured from the finish moves with it
    /// and is not listed; see [`Assessment::with_change`].
    pub answers: Vec<(usize, Answer)>,
}

/// What it takes to come to "Go ahead" by changing the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Nearest {
    /// Nothing: it may go ahead.
    Nothing,
    /// The fewest answers, and of these the least change of lengths.
    Change(Change),
    /// No change of the plan leads there.
    None(Remains),
    /// None was found within what is spent on looking.
    NotFound,
}

/// Why no change of the plan gives "Go ahead".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remains {
    /// Rules that hold for certain and that no answer about the plan can move.
    pub certain: Vec<Rule>,
    /// Rules of which nobody knows whether they hold, and that no answer about the plan can move.
    pub unknown: Vec<Rule>,
    /// Where each rule could be moved, but not all of them: what is left where the fewest are.
    pub together: Vec<Rule>,
}

/// How many visits are judged before the search gives up.
const MOST_JUDGED: usize = 1500;

/// How many rules are named that stand against what is left.
const MOST_MET: usize = 2;

/// A set of answers, in the order of questions.
type Set = Vec<(usize, Answer)>;

/// The same as numbers, to know a set again.
type SetKey = Vec<(usize, i64)>;

/// Questions of the plan, one bit each.
type Bits = u128;

impl Assessment<'_> {
    /// The nearest change of the plan that gives "Go ahead": the fewest answers, then the least change of lengths.
    ///
    /// Questions that the change brings up count, and get an answer with which it holds. If they ask for a fact of the house, the
    /// change holds whatever that fact is.
    #[must_use]
    pub fn nearest_change(&self) -> Nearest {
        if self.settled.verdict == Verdict::GoAhead {
            return Nearest::Nothing;
        }
        Search::new(self).run()
    }

    /// Whether a change of the plan is worth telling: what stands already is repaired, not planned anew, and what is
    /// not known is found out first.
    fn can_change(&self) -> bool {
        self.said() == Some(Stage::Planned)
            && matches!(self.settled.held, Verdict::ChangePlan | Verdict::ExteriorTradeFirst)
    }

    /// The nearest change, where it is worth telling.
    pub(crate) fn change_worth_telling(&self) -> Option<Nearest> {
        self.can_change().then(|| self.nearest_change())
    }

    /// The answers with a change made: whatever was measured from the finish has moved with it.
    #[must_use]
    pub fn with_change(&self, change: &Change) -> Answers {
        with_set(self, &finish_questions(self), &change.answers)
    }
}

/// The questions that say how high the finish lies.
fn finish_questions(of: &Assessment<'_>) -> Vec<usize> {
    let at_wall = [SitePart::Finish, SitePart::Slope].into_iter().flat_map(|part| of.site.read_for(part));
    at_wall.map(|id| of.content.catalog.names.at(id)).collect()
}

fn with_set(of: &Assessment<'_>, finish: &[usize], set: &[(usize, Answer)]) -> Answers {
    let mut after = of.answers.clone();
    for (question, answer) in set {
        after.set(*question, answer.clone());
    }
    if !set.iter().any(|(question, _)| finish.contains(question)) {
        return after;
    }
    let questions: Vec<usize> = set.iter().map(|(q, _)| *q).collect();
    of.content.with_what_moves(of.answers, &after, &questions)
}

/// Another answer, and whether nothing is in the way with it, if that is known.
#[derive(Clone)]
struct OtherAnswer {
    answer: Answer,
    clear: Option<bool>,
}

struct Search<'a, 'c> {
    of: &'a Assessment<'c>,
    rules: Vec<Rule>,
    /// The questions of the plan, by their bits.
    plan: Vec<usize>,
    /// The questions that say how high the finish lies.
    finish: Vec<usize>,
    /// By question: the questions of the plan that its value hangs on.
    behind: Vec<Bits>,
    /// The same without the questions that only decide whether it is shown.
    direct: Vec<Bits>,
    judged: usize,
    /// Whether something was left out only because more answers were not allowed.
    cut: bool,
    seen: BTreeSet<SetKey>,
    best: Option<(i64, Set)>,
    /// The rules that are left where the fewest are.
    left: Option<Vec<Rule>>,
    /// The other answers to a question with a number, by that question and the rest of the set.
    numbers: BTreeMap<(usize, SetKey), Vec<OtherAnswer>>,
}

impl<'a, 'c> Search<'a, 'c> {
    fn new(of: &'a Assessment<'c>) -> Self {
        let content = of.content;
        let flow = &content.flow;
        let questions = flow.questions.iter().enumerate();
        let plan: Vec<usize> = questions.filter(|(_, q)| q.plan).map(|(q, _)| q).take(Bits::BITS as usize).collect();
        let mut behind = vec![0; flow.questions.len()];
        let mut direct = vec![0; flow.questions.len()];
        let mut own = vec![0; flow.questions.len()];
        for (bit, question) in plan.iter().enumerate() {
            own[*question] = 1 << bit;
        }
        let finish = finish_questions(of);
        let moving = finish.iter().fold(0, |bits, question| bits | own[*question]);
        for (number, question) in flow.questions.iter().enumerate() {
            let shown = question.visible.reads().fold(0, |bits, slot| bits | behind[usize::from(slot)]);
            let moves = if question.as_finish_rises == 0 { 0 } else { moving };
            direct[number] = own[number] | moves;
            behind[number] = direct[number] | shown;
        }
        let rules = content.rules().collect();
        let (seen, numbers) = (BTreeSet::new(), BTreeMap::new());
        Search { of, rules, plan, finish, behind, direct, judged: 0, cut: false, seen, best: None, left: None, numbers }
    }

    fn run(mut self) -> Nearest {
        let content = self.of.content;
        let now = content.judge(self.of.answers, self.of.state.clone());
        let stuck = |rule: &Rule| self.bits(*rule, &now) == 0;
        let stuck: Vec<Rule> = self.in_the_way(&now).into_iter().filter(stuck).collect();
        if !stuck.is_empty() {
            let (certain, unknown) = stuck.into_iter().partition(|rule| now.truth(*rule).is_yes());
            return Nearest::None(Remains { certain, unknown, together: Vec::new() });
        }
        for most in 1..=self.plan.len() {
            self.cut = false;
            self.seen.clear();
            self.step(&Vec::new(), &now, most);
            if let Some((_, answers)) = self.best {
                return Nearest::Change(Change { answers });
            }
            if self.judged >= MOST_JUDGED {
                return Nearest::NotFound;
            }
            if !self.cut {
                break;
            }
        }
        let together = self.against_each_other(&now);
        Nearest::None(Remains { certain: Vec::new(), unknown: Vec::new(), together })
    }

    /// What is left where the fewest rules are, and before it those of today's rules that hang on the same answers and are
    /// met there, the closest first: what helps them is what brought the others.
    fn against_each_other(&self, now: &Judged) -> Vec<Rule> {
        let left = self.left.as_deref().unwrap_or_default();
        let shared = left.iter().fold(0, |bits, rule| bits | self.bits(*rule, now));
        let mut met: Vec<(u32, Rule)> = self
            .in_the_way(now)
            .into_iter()
            .filter(|rule| !left.contains(rule))
            .map(|rule| (rule, self.bits(rule, now)))
            .filter(|(_, bits)| bits & shared != 0)
            .map(|(rule, bits)| (bits.count_ones(), rule))
            .collect();
        met.sort_by_key(|(count, _)| *count);
        met.into_iter().take(MOST_MET).map(|(_, rule)| rule).chain(left.iter().copied()).collect()
    }

    /// The rules that stand between these answers and "Go ahead".
    fn in_the_way(&self, judged: &Judged) -> Vec<Rule> {
        self.rules.iter().copied().filter(|rule| judged.truth(*rule).is_possible()).collect()
    }

    /// Goes on from a set of answers, with `most` answers at most.
    fn step(&mut self, set: &Set, judged: &Judged, most: usize) {
        if self.judged >= MOST_JUDGED {
            return;
        }
        let ways = self.in_the_way(judged);
        let asked = self.newly_asked(set, judged, true);
        if ways.is_empty() && asked.is_empty() {
            if self.holds_whatever_is_found(set, judged) {
                let far = self.far(set);
                if self.best.as_ref().is_none_or(|(least, _)| far < *least) {
                    self.best = Some((far, set.clone()));
                }
            }
            return;
        }
        if asked.is_empty() && self.left.as_ref().is_none_or(|left| ways.len() < left.len()) {
            self.left = Some(ways.clone());
        }
        // a number that is chosen may still be chosen otherwise; a choice may not: each was tried
        let (fixed, loose) = self.fixed_and_loose(set);
        let mut open: Vec<(Bits, Rule)> = ways.iter().map(|rule| (self.bits(*rule, judged) & !fixed, *rule)).collect();
        open.sort_by_key(|(bits, _)| bits.count_ones());
        if open.first().is_some_and(|(bits, _)| *bits == 0) {
            return;
        }
        if set.len() + apart(&open, loose) > most {
            self.cut = true;
            return;
        }
        let questions: Vec<usize> = match open.first() {
            Some((bits, _)) => self.questions(*bits),
            None => asked.into_iter().take(1).collect(),
        };
        // a number that only decides what is asked counts where it does that
        let direct = open.first().map(|(_, rule)| self.questions(self.bits_by(*rule, judged, &self.direct)));
        for question in questions {
            let is_in = set.iter().any(|(q, _)| *q == question);
            if !is_in && set.len() >= most {
                self.cut = true;
                continue;
            }
            let only_shows = direct.as_ref().is_some_and(|direct| !direct.contains(&question));
            let others = self.other_answers(question, set, judged, only_shows);
            let ends_here = set.len() + usize::from(!is_in) >= most;
            // another number in the set may still be chosen otherwise
            let may_turn = set.iter().any(|(q, a)| *q != question && is_number(a));
            for OtherAnswer { answer, clear } in others {
                if ends_here && !may_turn && clear == Some(false) {
                    // the last answer, and something is left in the way
                    self.cut = true;
                    continue;
                }
                let mut next: Set = set.iter().filter(|(q, _)| *q != question).cloned().collect();
                next.push((question, answer));
                next.sort_by_key(|(q, _)| *q);
                let far = self.far(&next);
                let nearer = self.best.as_ref().is_none_or(|(least, _)| far < *least);
                if nearer && self.seen.insert(key(&next)) {
                    let judged = self.judge(&next);
                    self.step(&next, &judged, most);
                }
            }
        }
    }

    fn judge(&mut self, set: &[(usize, Answer)]) -> Judged {
        self.judged += 1;
        let content = self.of.content;
        let answers = with_set(self.of, &self.finish, set);
        content.judge(&answers, content.flow.state(&answers))
    }

    /// The questions that a set of answers brings up and does not answer: of the plan, or of the house.
    fn newly_asked(&self, set: &Set, judged: &Judged, plan: bool) -> Vec<usize> {
        let questions = self.of.content.flow.questions.iter().enumerate();
        let new = |q: usize| {
            judged.state.shown[q].is_yes()
                && !self.of.state.shown[q].is_yes()
                && self.of.answers.get(q).is_none()
                && !set.iter().any(|(other, _)| *other == q)
        };
        questions.filter(|(q, question)| question.plan == plan && new(*q)).map(|(q, _)| q).collect()
    }

    /// Whether it stays "Go ahead" with each answer to each question about the house that the change brings up.
    fn holds_whatever_is_found(&mut self, set: &Set, judged: &Judged) -> bool {
        let content = self.of.content;
        self.newly_asked(set, judged, false).into_iter().all(|question| {
            representatives(&content.flow.questions[question]).into_iter().all(|answer| {
                let mut next = set.clone();
                next.push((question, answer));
                self.in_the_way_of(&next).is_empty()
            })
        })
    }

    fn in_the_way_of(&mut self, set: &Set) -> Vec<Rule> {
        let judged = self.judge(set);
        self.in_the_way(&judged)
    }

    /// The bits of the answers that stay as they are, and of those that may still change.
    fn fixed_and_loose(&self, set: &Set) -> (Bits, Bits) {
        let mut bits = (0, 0);
        for (question, answer) in set {
            let own = self.plan.iter().position(|q| q == question).map_or(0, |bit| 1 << bit);
            if is_number(answer) { bits.1 |= own } else { bits.0 |= own }
        }
        bits
    }

    fn questions(&self, bits: Bits) -> Vec<usize> {
        self.plan.iter().enumerate().filter(|(bit, _)| bits & (1 << bit) != 0).map(|(_, q)| *q).collect()
    }

    /// The other answers to a question that can make a difference: of numbers the ends of each stretch that judges differently,
    /// those that are nearest to the present one.
    fn other_answers(&mut self, question: usize, set: &Set, judged: &Judged, only_shows: bool) -> Vec<OtherAnswer> {
        let content = self.of.content;
        let asked = &content.flow.questions[question];
        if !is_numeric(asked.kind) {
            let now = set.iter().find(|(q, _)| *q == question).map(|(_, a)| a);
            let now = now.or_else(|| self.of.answers.get(question));
            let others = representatives(asked).into_iter().filter(|a| Some(a) != now);
            return others.map(|answer| OtherAnswer { answer, clear: None }).collect();
        }
        if !judged.state.shown[question].is_yes() {
            return Vec::new();
        }
        if only_shows {
            return self.where_it_shows(question, set, judged);
        }
        let others: Set = set.iter().filter(|(q, _)| *q != question).cloned().collect();
        let known = (question, key(&others));
        if let Some(found) = self.numbers.get(&known) {
            return found.clone();
        }
        let first = self.of.answers.get(question).and_then(|a| a.value().known());
        let mut tried = 0;
        let mut at = |n: i64| {
            tried += 1;
            let mut next = others.clone();
            next.push((question, number_answer(asked.kind, n)));
            let answers = with_set(self.of, &self.finish, &next);
            content.judge(&answers, content.flow.state(&answers))
        };
        let key = |judged: &Judged| self.what_it_hangs_on(judged);
        let stretches = content.stretches(asked, &mut at, &key);
        let mut found: Vec<(i64, bool)> = stretches
            .iter()
            .map(|(from, to, ways)| (first.map_or(from + (to - from) / 2, |n| n.clamp(*from, *to)), ways.is_empty()))
            .filter(|(n, _)| Some(*n) != first)
            .collect();
        self.judged += tried;
        found.sort_by_key(|(n, clear)| (!clear, first.map_or(0, |first| (n - first).abs())));
        let found: Vec<OtherAnswer> = found
            .into_iter()
            .map(|(n, clear)| OtherAnswer { answer: number_answer(asked.kind, n), clear: Some(clear) })
            .collect();
        self.numbers.insert(known, found.clone());
        found
    }

    /// The nearest numbers at which an answer shows or hides other questions so that it matters.
    fn where_it_shows(&mut self, question: usize, set: &Set, judged: &Judged) -> Vec<OtherAnswer> {
        let flow = &self.of.content.flow;
        let asked = &flow.questions[question];
        let first = self.of.answers.get(question).and_then(|a| a.value().known());
        let turns = flow.questions.iter().flat_map(|q| q.visible.numbers()).filter(|(slot, _)| *slot == question);
        let mut numbers: Vec<i64> = turns.flat_map(|(_, n)| [n - 1, n, n + 1]).collect();
        numbers.retain(|n| asked.bounds.is_none_or(|b| (b.least..=b.most).contains(n)));
        numbers.sort_by_key(|n| (first.map_or(0, |first| (n - first).abs()), *n));
        numbers.dedup();
        let mut met = vec![self.what_it_hangs_on(judged)];
        let mut found = Vec::new();
        for n in numbers {
            let answer = number_answer(asked.kind, n);
            let mut next: Set = set.iter().filter(|(q, _)| *q != question).cloned().collect();
            next.push((question, answer.clone()));
            let there = self.judge(&next);
            let hangs = self.what_it_hangs_on(&there);
            if !met.contains(&hangs) {
                found.push(OtherAnswer { answer, clear: Some(hangs.is_empty()) });
                met.push(hangs);
            }
        }
        found
    }

    /// What is in the way, and what that hangs on: an answer may move a part of a rule only.
    fn what_it_hangs_on(&self, judged: &Judged) -> Vec<(Rule, Truth, Vec<Slot>)> {
        let hangs = |rule: Rule| (rule, judged.truth(rule), self.hangs_on(rule, judged));
        self.in_the_way(judged).into_iter().map(hangs).collect()
    }

    /// How far the lengths of a set lie from the present ones.
    fn far(&self, set: &[(usize, Answer)]) -> i64 {
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

    /// The values of which one has to change before a rule in the way is out of it.
    fn hangs_on(&self, rule: Rule, judged: &Judged) -> Vec<Slot> {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.of.content.limits[at];
                let mut slots = limit.when.holds_by(&judged.values);
                slots.push(limit.measure);
                slots
            }
            Rule::Finding(at) => self.of.content.findings[at].when.holds_by(&judged.values),
        }
    }

    /// The questions of the plan of which one has to be answered anew before a rule in the way is out of it.
    fn bits(&self, rule: Rule, judged: &Judged) -> Bits {
        self.bits_by(rule, judged, &self.behind)
    }

    fn bits_by(&self, rule: Rule, judged: &Judged, by: &[Bits]) -> Bits {
        if let Rule::Finding(at) = rule
            && let Some(guard) = self.of.content.findings[at].guard
        {
            return if guard == Guard::UntoldTrace { self.trace_bits(judged, by) } else { 0 };
        }
        self.hangs_on(rule, judged).into_iter().fold(0, |bits, slot| bits | self.slot_bits(slot, judged, by))
    }

    /// The questions of the plan that decide where a drop ends, and whether a finding tells of it.
    fn trace_bits(&self, judged: &Judged, by: &[Bits]) -> Bits {
        let content = self.of.content;
        let traces = FACTS.iter().filter(|fact| fact.id.is_trace()).flat_map(|fact| judged.site.rests_on(fact.id));
        let ends = traces.fold(0, |bits, id| bits | by[content.catalog.names.at(id)]);
        let tells = content.findings.iter().filter(|finding| finding.tells_held);
        tells.flat_map(|finding| finding.when.reads()).fold(ends, |bits, slot| bits | self.slot_bits(slot, judged, by))
    }

    fn slot_bits(&self, slot: Slot, judged: &Judged, by: &[Bits]) -> Bits {
        let content = self.of.content;
        let (slot, slots) = (usize::from(slot), content.slots);
        let reads = |when: &Condition| when.reads().fold(0, |bits, slot| bits | self.slot_bits(slot, judged, by));
        if slot < slots.facts {
            by[slot]
        } else if slot < slots.defined {
            let id = FACTS[slot - slots.facts].id;
            let ids = judged.site.rests_on(id);
            ids.fold(0, |bits, id| bits | by[content.catalog.names.at(id)])
        } else if slot < slots.limits {
            reads(&content.defined[slot - slots.defined].when)
        } else if slot < slots.after {
            let limit = &content.limits[slot - slots.limits];
            reads(&limit.when) | self.slot_bits(limit.measure, judged, by)
        } else {
            // they follow from all limits
            Bits::MAX
        }
    }
}

/// How many of the rules share no question with each other: each of these takes an answer of its own. Rules that a number
/// which is already changed may still move take none.
fn apart(open: &[(Bits, Rule)], loose: Bits) -> usize {
    let mut used: Bits = 0;
    open.iter()
        .filter(|(bits, _)| {
            let free = bits & (loose | used) == 0;
            if free {
                used |= bits;
            }
            free
        })
        .count()
}

fn is_numeric(kind: QuestionKind) -> bool {
    matches!(kind, QuestionKind::Length | QuestionKind::Number | QuestionKind::Year)
}

fn is_number(answer: &Answer) -> bool {
    matches!(answer, Answer::Length(_) | Answer::Number(_) | Answer::Year(_))
}

fn key(set: &[(usize, Answer)]) -> SetKey {
    set.iter().map(|(q, a)| (*q, a.value().known().unwrap_or(i64::MIN))).collect()
}
