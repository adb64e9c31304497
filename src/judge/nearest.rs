//! The search for the nearest change of the plan.
//!
//! Whatever is tried is judged. Each rule that is in the way then says which answers keep it there ([`Grounds`]): one of them has
//! to change. That is a clause, and it holds for every plan. A SAT solver gives a plan that fits all clauses so far with as few
//! answers as can be; it is tried, and teaches new clauses, until one is clear or no plan is left. So the plans that fail for
//! reasons that are known are never tried.
//!
//! Of a question with a number the whole range is looked at once the rest of a plan is fixed: it falls into stretches within
//! which the same is in the way for the same reasons, and a clause speaks of a stretch.

use super::again::Judging;
use super::bends::{Bends, Known, bends};
use super::between::{ComparedBy, Straight};
use super::few::Few;
use super::model::{Assessment, Judged};
use super::questions::{Offers, Questions};
use super::reasons::{Grounds, finish_questions};
use super::samples::{number_answer, representatives, samples};
use crate::content::{Guard, Rule};
use crate::flow::{Answer, Answers, QuestionKind};
use crate::names::QuestionId;
use crate::solve::{Lit, Sat};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;

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
    /// The fewest answers; of these the least effort, by the minutes of their questions; then the fewest other answers that it
    /// brings up or hides; then the least change of lengths. Where several lengths change, none of them can be nearer to the
    /// present one with the others as they are. A length that has no answer yet is the least usual one that does.
    ///
    /// Where heights were read at both ends of the work, its length stays: they belong to these ends.
    ///
    /// Where the finish lies is one line. The whole of it goes up or down, or one of its ends does; two of its heights by amounts of
    /// their own only where nothing else leads there.
    Change(Change),
    /// No change of the plan leads there.
    None(Remains),
    /// None was found within what is spent on looking. Only lengths that rules weigh against each other come to that.
    NotFound,
}

/// Why no change of the plan gives "Go ahead".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remains {
    /// Rules that hold for certain and that no answer about the plan can move.
    pub certain: Vec<Rule>,
    /// Rules of which nobody knows whether they hold, and that no answer about the plan can move.
    pub unknown: Vec<Rule>,
    /// Where each rule could be moved, but not all of them: rules that no plan meets together. Each is needed for that.
    pub together: Vec<Rule>,
}

/// How many visits are judged before the search gives up: about a twentieth of a second.
const MOST_JUDGED: usize = 1_200;

/// How many sets of answers are kept with what they came to.
const MOST_KEPT: usize = 128;

/// How often the lengths of a change are brought nearer, one after the other.
const MOST_ROUNDS: usize = 8;

/// A set of answers, in the order of questions.
pub(super) type Set = Vec<(usize, Answer)>;

/// The same as numbers, to know a set again.
type SetKey = Vec<(usize, i64)>;

/// What has to go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum InTheWay {
    /// A rule that may hold.
    Rule(Rule),
    /// Water that may end badly, and the guard that says so where no finding tells of it. A finding that tells is in the way itself,
    /// so no plan with such water is clear.
    BadEnd(Rule),
    /// A question of the plan that is brought up and not answered.
    Unanswered(usize),
    /// A question about the house that is no longer asked, though what is known of it stays so: ground that falls along the wall does so
    /// before shorter work too.
    Forgotten(usize),
}

/// What a set of answers came to.
struct TriedOut {
    judged: Judged,
    ways: Vec<InTheWay>,
    /// With an answer about the house that brings them in the way, and to which question.
    found: Option<(usize, Judged)>,
    /// Why something is in the way, once that was asked.
    reasons: RefCell<BTreeMap<InTheWay, Questions>>,
}

impl TriedOut {
    fn is_clear(&self) -> bool {
        self.ways.is_empty()
    }

    /// What was judged last: with the answer about the house, where there is one.
    fn worst(&self) -> &Judged {
        self.found.as_ref().map_or(&self.judged, |(_, judged)| judged)
    }
}

/// A question of the plan in the formula.
struct Variable {
    /// It is answered anew.
    changed: Lit,
    /// The other answers, where they are not numbers.
    values: Vec<(Answer, Lit)>,
    /// Of numbers: that it is at least so much.
    cuts: BTreeMap<i64, Lit>,
    /// The least and the most of a number.
    bounds: Option<(i64, i64)>,
}

/// What a change costs, beside the number of answers: minutes, other answers that it brings up or hides, and lengths.
type Costing = (i64, usize, i64);

pub(super) struct Hunt<'a, 'c> {
    of: &'a Assessment<'c>,
    again: Judging<'a>,
    rules: Vec<Rule>,
    /// The guard over water that ends badly, where each finding that tells of such water is in the way itself.
    untold: Option<usize>,
    /// The questions of the plan.
    plan: Vec<usize>,
    open: Questions,
    /// Those, and all that have an answer.
    answered: Questions,
    /// The questions about the house that are asked now and have to be asked still.
    to_keep: Vec<usize>,
    /// The answers that choices of the plan may get.
    offers: Offers,
    /// The questions that say how high the finish lies.
    finish: Vec<usize>,
    /// Those whose answer moves with the finish, where they have one.
    may_move: Vec<usize>,
    sat: Sat,
    /// The statement that the finish moves as a whole, or at one end: two of its heights are not answered anew.
    one_line: Lit,
    /// Whether that is so; until nothing is found that way.
    moves_as_one: bool,
    variables: BTreeMap<usize, Variable>,
    few: Few,
    /// The statement that something has to go.
    wanted: BTreeMap<InTheWay, Lit>,
    learnt: BTreeSet<Vec<Lit>>,
    /// Where the numbers of the last plan may lie by all that was learnt.
    last_cell: BTreeMap<usize, (i64, i64)>,
    on_a_line: bool,
    /// The only number that may lie anywhere for now.
    along: Option<usize>,
    /// What sets of answers came to.
    tried: RefCell<HashMap<SetKey, Rc<TriedOut>>>,
    /// The facts along the numbers of a question, by the rest of the answers.
    facts: BTreeMap<(usize, SetKey), Known>,
    /// Where heights bend there, of all or of what something compares.
    bends: BTreeMap<(usize, SetKey, Option<InTheWay>), Bends>,
    /// What is compared with figures.
    compared: BTreeMap<InTheWay, Rc<BTreeSet<usize>>>,
}

impl<'a, 'c> Hunt<'a, 'c> {
    pub(super) fn new(of: &'a Assessment<'c>) -> Self {
        let content = of.content;
        let questions = content.flow.questions.iter().enumerate();
        // heights that were read at the ends of the work belong to these ends
        let length = content.catalog.names.at(QuestionId::FeatureLength);
        let is_fixed = |question: usize| question == length && of.site.slopes();
        let mut sat = Sat::new();
        let all_stand = content.findings.iter().all(|finding| !finding.tells_held || finding.verdict.is_some());
        let guard = content.findings.iter().position(|finding| finding.guard == Some(Guard::UntoldTrace));
        let plan: Vec<usize> = questions.filter(|(at, q)| q.plan && !is_fixed(*at)).map(|(q, _)| q).collect();
        Hunt {
            of,
            again: Judging::new(content, of.answers),
            rules: content.rules().collect(),
            untold: guard.filter(|_| all_stand),
            open: plan.iter().copied().collect(),
            answered: of.answers.iter().map(|(q, _)| q).chain(plan.iter().copied()).collect(),
            to_keep: to_keep(of),
            offers: Offers::of(content, plan.iter().copied()),
            plan,
            finish: finish_questions(content, &of.site).collect(),
            may_move: content.may_move_with_finish(),
            one_line: sat.fresh(),
            moves_as_one: true,
            sat,
            variables: BTreeMap::new(),
            few: Few::default(),
            wanted: BTreeMap::new(),
            learnt: BTreeSet::new(),
            last_cell: BTreeMap::new(),
            on_a_line: false,
            along: None,
            tried: RefCell::default(),
            facts: BTreeMap::new(),
            bends: BTreeMap::new(),
            compared: BTreeMap::new(),
        }
    }

    pub(super) fn run(mut self) -> Nearest {
        let now = self.try_out(&Set::new());
        let ways = self.reasons_of(&now);
        let stuck = ways.iter().filter(|(_, by)| self.asked(*by).next().is_none());
        let stuck: Vec<Rule> = stuck.filter_map(|(way, _)| way.rule()).collect();
        if !stuck.is_empty() {
            return stuck_by(stuck, &now.judged);
        }
        for (what, by) in ways {
            self.learn(&Set::new(), what, by, &[]);
        }
        let mut most = 1;
        let found = loop {
            if self.again.times() > MOST_JUDGED {
                return Nearest::NotFound;
            }
            let Some(set) = self.propose(most, &[]) else {
                let wanted: Vec<Lit> = self.wanted.values().copied().collect();
                if !self.sat.can(&wanted) {
                    return self.none(&now.judged);
                }
                let as_one: Vec<Lit> = wanted.into_iter().chain([self.one_line]).collect();
                if self.moves_as_one && !self.sat.can(&as_one) {
                    (self.moves_as_one, most) = (false, 0);
                }
                most += 1;
                continue;
            };
            if let Some(clear) = self.examine(set) {
                break clear;
            }
        };
        let answers = self.cheapest(most, found);
        Nearest::Change(Change { answers })
    }

    /// The questions of the plan in a set.
    fn asked(&self, set: Questions) -> impl Iterator<Item = usize> {
        self.plan.iter().copied().filter(move |question| set.has(*question))
    }

    // ------------------------------------------------------------------------------------------------ what is tried

    fn with(&self, set: &[(usize, Answer)]) -> Answers {
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
    fn try_out(&self, set: &[(usize, Answer)]) -> Rc<TriedOut> {
        let key = key(set);
        if let Some(known) = self.tried.borrow().get(&key) {
            return Rc::clone(known);
        }
        let tried = Rc::new(self.try_anew(set));
        self.tried.borrow_mut().insert(key, Rc::clone(&tried));
        tried
    }

    fn try_anew(&self, set: &[(usize, Answer)]) -> TriedOut {
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

    fn reasons<'s>(&'s self, tried: &'s TriedOut) -> Grounds<'s> {
        let found = tried.found.iter().map(|(question, _)| *question).collect();
        let judged = tried.worst();
        let asked = (self.open, self.answered.and(found));
        Grounds::of_plan(self.of.content, judged, &judged.values, asked, &self.offers)
    }

    /// What keeps in the way what is there.
    fn reasons_of(&self, tried: &TriedOut) -> Vec<(InTheWay, Questions)> {
        let mut reasons = self.reasons(tried);
        tried.ways.iter().map(|what| (*what, Self::reason_of(&mut reasons, *what))).collect()
    }

    fn reason_of(reasons: &mut Grounds<'_>, what: InTheWay) -> Questions {
        match what {
            InTheWay::Rule(rule) => reasons.stands(rule),
            InTheWay::BadEnd(_) => reasons.bad_end_of_plan(),
            InTheWay::Unanswered(question) => reasons.question(question),
            InTheWay::Forgotten(question) => reasons.shown(question),
        }
    }

    /// The rules between these answers and "Go ahead".
    fn standing(&self, judged: &Judged) -> Vec<InTheWay> {
        let standing = self.rules.iter().copied().filter(|rule| judged.truth(*rule).is_possible());
        let bad_end = |rule: Rule| matches!(rule, Rule::Finding(at) if self.untold == Some(at));
        standing.map(|rule| if bad_end(rule) { InTheWay::BadEnd(rule) } else { InTheWay::Rule(rule) }).collect()
    }

    /// What comes in the way with some answer to a question about the house that is brought up, and with which.
    fn once_found(
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
    fn newly_asked(&self, set: &[(usize, Answer)], judged: &Judged, plan: bool) -> Vec<usize> {
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
    fn examine(&mut self, set: Set) -> Option<Set> {
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
    fn around_present(&mut self, set: &Set, what: InTheWay, by: &mut Questions, runs: &mut Vec<(usize, (i64, i64))>) {
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
    fn worth_learning(&self, mut ways: Vec<(InTheWay, Questions)>) -> Vec<(InTheWay, Questions)> {
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
    fn by_lines(&mut self, set: &Set, along: usize, by: Questions) -> Option<Set> {
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
    fn line(&mut self, set: &Set, along: usize, (across, end): (usize, i64)) -> Result<Set, Vec<Lit>> {
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

    // ------------------------------------------------------------------------------------------------ numbers

    /// What a number comes to, the rest being as it is.
    fn at(&self, question: usize, rest: &Set, n: i64) -> Rc<TriedOut> {
        let kind = self.of.content.flow.questions[question].kind;
        self.try_out(&with_answer(rest, question, number_answer(kind, n)))
    }

    /// The stretch around a number in which something is in the way for these reasons, or for fewer, the rest being as it is. Other
    /// answers to these questions that count there are added.
    fn run_around(&mut self, question: usize, set: &Set, what: InTheWay, by: &mut Questions) -> (i64, i64) {
        let n = number_in(set, question);
        let samples = samples(&self.of.content.flow.questions[question]);
        let (Some(floor), Some(most)) = (samples.first().copied(), samples.last().copied()) else { return (n, n) };
        let rest = without(set, question);
        let middle = samples[samples.len() / 2];
        let mut ends = vec![floor, middle, most];
        if self.finish.contains(&question) && what.rule().is_some() {
            ends.extend(self.bends(question, &rest, Some(what)).iter().map(|(at, _)| *at));
        }
        ends.sort_unstable();
        ends.dedup();
        let up: Vec<i64> = ends.iter().copied().filter(|to| *to > n).collect();
        let down: Vec<i64> = ends.into_iter().rev().filter(|to| *to < n).collect();
        let [low, high] = [down, up].map(|ends| {
            let mut last = n;
            for end in ends {
                let reached = self.walk(question, &rest, (last, end), (what, by));
                last = reached;
                if reached != end {
                    break;
                }
            }
            last
        });
        (low, high)
    }

    /// Where heights bend along the numbers of a question, all or those that something compares: between two of these places they are
    /// straight.
    fn bends(&mut self, question: usize, rest: &Set, what: Option<InTheWay>) -> Bends {
        let content = self.of.content;
        let asked = &content.flow.questions[question];
        let samples = samples(asked);
        let Some(within) = samples.first().copied().zip(samples.last().copied()) else { return Bends::from([]) };
        let by = (question, key(rest), what);
        if let Some(bends) = self.bends.get(&by) {
            return Rc::clone(bends);
        }
        let compared = what.map(|what| {
            let compared = self.compared.entry(what);
            Rc::clone(compared.or_insert_with(|| Rc::new(content.compared_by(what.compared_by()))))
        });
        let counts = |slot: usize| compared.as_ref().is_none_or(|compared| compared.contains(&slot));
        let mut known = self.facts.remove(&(question, key(rest))).unwrap_or_default();
        let facts = |n| self.again.facts(&self.with(&with_answer(rest, question, number_answer(asked.kind, n))));
        let found = bends(within, content.slots.facts, &counts, &mut known, &facts);
        self.facts.insert((question, key(rest)), known);
        self.bends.insert(by, Rc::clone(&found));
        found
    }

    /// The part of a stretch around the number in a set within which no height bends, the rest being as it is.
    fn between_bends(&mut self, question: usize, set: &Set, (from, to): (i64, i64)) -> (i64, i64) {
        if !self.finish.contains(&question) {
            return (from, to);
        }
        let n = number_in(set, question);
        let bends = self.bends(question, &without(set, question), None);
        let places = || bends.iter().map(|(at, _)| *at);
        let low = places().filter(|at| *at <= n).max().unwrap_or(from);
        let high = places().filter(|at| *at > n).min().map_or(to, |at| at - 1);
        (low.max(from), high.min(to).max(n))
    }

    /// How far from one number towards another something stays in the way for these reasons. Other answers to these questions that
    /// count on the way are added.
    fn walk(
        &mut self,
        question: usize,
        rest: &Set,
        (from, to): (i64, i64),
        (what, reasons): (InTheWay, &mut Questions),
    ) -> i64 {
        let (first, last) = (self.at(question, rest, from), self.at(question, rest, to));
        let ends = [(from, &first.judged), (to, &last.judged)];
        let ends = if from < to { ends } else { [ends[1], ends[0]] };
        let mut points = self.of.content.crossings(ends[0], ends[1], what.compared_by());
        points.retain(|n| *n != from && *n != to);
        if from > to {
            points.reverse();
        }
        points.push(to);
        // where other questions are asked, a rule hangs on others too
        let same_asked = self.of.content.crossings(ends[0], ends[1], ComparedBy::Questions).is_empty();
        let straight = what
            .rule()
            .filter(|_| first.found.is_none() && same_asked)
            .and_then(|rule| Straight::of(self.of.content, rule, (from, &first.judged), (to, &last.judged)));
        let mut stays = |n: i64| {
            let by = if let Some(straight) = &straight {
                let values = straight.at(n);
                let stands = straight.truth(&first.judged, &values).is_possible();
                stands.then(|| {
                    let (content, asked) = (self.of.content, (self.open, self.answered));
                    let mut reasons = Grounds::of_plan(content, &first.judged, &values, asked, &self.offers);
                    Self::reason_of(&mut reasons, what)
                })
            } else {
                let tried = self.at(question, rest, n);
                self.stays(&tried, what)
            };
            let by = by.filter(|by| by.are_among(*reasons));
            by.is_some_and(|by| {
                *reasons = reasons.and(by);
                true
            })
        };
        let (mut good, mut bad) = (from, None);
        for n in points {
            if !stays(n) {
                bad = Some(n);
                break;
            }
            good = n;
        }
        // what is rounded lies a step or two beside where a straight line crosses
        let mut beside = 1_i64;
        while let Some(off) = bad.filter(|bad| (bad - good).abs() > 1) {
            let back = if off > good { -beside } else { beside };
            let middle = if beside < (off - good).abs() / 2 { off + back } else { good + (off - good) / 2 };
            beside = beside.saturating_mul(4);
            if stays(middle) {
                good = middle;
            } else {
                bad = Some(middle);
            }
        }
        good
    }

    /// Why something is in the way; nothing where it is not.
    fn stays(&self, tried: &TriedOut, what: InTheWay) -> Option<Questions> {
        let is_there = match what {
            InTheWay::BadEnd(_) => tried.worst().site.held().is_possible(),
            _ => tried.ways.contains(&what),
        };
        if !is_there {
            return None;
        }
        let known = tried.reasons.borrow().get(&what).copied();
        known.or_else(|| {
            let reasons = Self::reason_of(&mut self.reasons(tried), what);
            tried.reasons.borrow_mut().insert(what, reasons);
            Some(reasons)
        })
    }

    /// Whether something is in the way at all corners of a box, for these reasons or for fewer. Other answers to these questions that
    /// count there are added.
    fn holds_at_corners(&self, set: &Set, runs: &[(usize, (i64, i64))], what: InTheWay, by: &mut Questions) -> bool {
        let corners = runs.iter().fold(vec![set.clone()], |sets, (question, (from, to))| {
            let kind = self.of.content.flow.questions[*question].kind;
            let ends = |set: &Set| [*from, *to].map(|n| with_answer(set, *question, number_answer(kind, n)));
            sets.iter().flat_map(ends).collect()
        });
        let mut all = *by;
        let stays = corners.iter().all(|corner| {
            let reasons = self.stays(&self.try_out(corner), what).filter(|reasons| reasons.are_among(*by));
            all = all.and(reasons.unwrap_or_default());
            reasons.is_some()
        });
        if stays {
            *by = all;
        }
        stays
    }

    // ------------------------------------------------------------------------------------------------ the formula

    fn variable(&mut self, question: usize) {
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
    fn at_least(&mut self, question: usize, n: i64) -> Lit {
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
    fn learn(&mut self, set: &Set, what: InTheWay, by: Questions, runs: &[(usize, (i64, i64))]) {
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
    fn value(&self, question: usize, answer: &Answer) -> Option<Lit> {
        self.variables[&question].values.iter().find(|(other, _)| other == answer).map(|(_, lit)| *lit)
    }

    /// The statements that a number lies below a stretch, and above it.
    fn outside(&mut self, question: usize, (from, to): (i64, i64)) -> [Lit; 2] {
        [!self.at_least(question, from), self.at_least(question, to + 1)]
    }

    /// The number that a question has where it is not answered anew: it may move with the finish.
    fn unchanged(&self, question: usize, set: &Set) -> Option<i64> {
        let moves = set.iter().any(|(q, _)| *q != question && self.finish.contains(q));
        let now = if moves {
            self.with(&without(set, question)).get(question).cloned()
        } else {
            self.of.answers.get(question).cloned()
        };
        now.and_then(|a| a.value().known())
    }

    /// A set of at most so many answers that fits all that was learnt.
    fn propose(&mut self, most: usize, besides: &[Lit]) -> Option<Set> {
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

    // ------------------------------------------------------------------------------------------------ the cheapest

    /// The cheapest of all changes with so many answers, of which one is known.
    fn cheapest(&mut self, most: usize, found: Set) -> Set {
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
    fn best_answers(&mut self, found: &Set, most: usize) -> (Costing, Set) {
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
    fn other_choices(&self, set: &Set) -> Vec<Lit> {
        let of = |(q, a): &(usize, Answer)| self.variables[q].values.iter().find(|(v, _)| v == a).map(|(_, lit)| !*lit);
        set.iter().filter_map(of).collect()
    }

    /// That the only length of a set lies nearer to the present one; nothing where there are several.
    fn within(&mut self, (cost, set): &(Costing, Set)) -> Option<Vec<Lit>> {
        let mut lengths = set.iter().filter(|(_, a)| is_number(a)).map(|(q, _)| *q);
        let (question, None) = (lengths.next()?, lengths.next()) else { return None };
        let now = self.of.answers.get(question)?.value().known()?;
        let (low, high) = (self.at_least(question, now - cost.2 + 1), self.at_least(question, now + cost.2));
        let within = self.sat.all(&[low, !high]);
        Some(vec![within])
    }

    /// The same choices, each number as near to the present one as the others let it.
    fn settled_numbers(&mut self, found: &Set, most: usize) -> (Costing, Set) {
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
    fn nearer(&mut self, question: usize, set: &Set, most: usize) -> Option<Set> {
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
    fn first_choices(&self, (mut cost, mut set): (Costing, Set)) -> (Costing, Set) {
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

    fn minutes(&self, set: &Set) -> i64 {
        set.iter().map(|(q, _)| self.of.content.flow.questions[*q].effort.minutes).sum()
    }

    fn cost(&self, set: &Set) -> Costing {
        let shown = self.of.content.flow.state(&self.with(set)).shown;
        let other = |q: &usize| {
            let (before, after) = (self.of.state.shown[*q].is_yes(), shown[*q].is_yes());
            let counts = after || self.of.answers.get(*q).is_some();
            before != after && counts && !set.iter().any(|(own, _)| own == q)
        };
        (self.minutes(set), (0..shown.len()).filter(other).count(), self.far(set))
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

    // ------------------------------------------------------------------------------------------------ nothing does it

    /// What stays whatever is changed; or else rules that cannot go together, none of which can be spared from these.
    fn none(&mut self, now: &Judged) -> Nearest {
        let wanted: Vec<(InTheWay, Lit)> = self.wanted.iter().map(|(way, lit)| (*way, *lit)).collect();
        let stuck = wanted.iter().filter(|(_, lit)| !self.sat.can(&[*lit])).filter_map(|(way, _)| way.rule());
        let stuck: Vec<Rule> = stuck.collect();
        if !stuck.is_empty() {
            return stuck_by(stuck, now);
        }
        // questions that are brought up have to be answered: that is nothing to tell of
        let (rules, answered): (Vec<_>, Vec<_>) = wanted.into_iter().partition(|(way, _)| way.rule().is_some());
        let answered: Vec<Lit> = answered.into_iter().map(|(_, lit)| lit).collect();
        let all: Vec<Lit> = rules.iter().map(|(_, lit)| *lit).chain(answered.iter().copied()).collect();
        self.sat.can(&all);
        let against = self.sat.against();
        let mut core: Vec<(InTheWay, Lit)> = rules.into_iter().filter(|(_, lit)| against.contains(lit)).collect();
        for (way, _) in core.clone() {
            let fewer = core.iter().filter(|(other, _)| *other != way).map(|(_, lit)| *lit);
            let fewer: Vec<Lit> = fewer.chain(answered.iter().copied()).collect();
            if !self.sat.can(&fewer) {
                core.retain(|(other, _)| *other != way);
            }
        }
        let together: Vec<Rule> = core.into_iter().filter_map(|(way, _)| way.rule()).collect();
        if let [_] = together[..] {
            return stuck_by(together, now);
        }
        Nearest::None(Remains { certain: Vec::new(), unknown: Vec::new(), together })
    }
}

impl InTheWay {
    fn rule(self) -> Option<Rule> {
        match self {
            InTheWay::Rule(rule) | InTheWay::BadEnd(rule) => Some(rule),
            InTheWay::Unanswered(_) | InTheWay::Forgotten(_) => None,
        }
    }

    fn compared_by(self) -> ComparedBy<'static> {
        match self {
            InTheWay::Rule(rule) => ComparedBy::Rule(rule),
            InTheWay::BadEnd(_) => ComparedBy::Water,
            InTheWay::Unanswered(_) | InTheWay::Forgotten(_) => ComparedBy::Questions,
        }
    }
}

/// The questions whose answer stays known, that are asked now.
fn to_keep(of: &Assessment<'_>) -> Vec<usize> {
    let questions = of.content.flow.questions.iter().enumerate();
    questions.filter(|(at, q)| q.stays_known && of.state.shown[*at].is_possible()).map(|(at, _)| at).collect()
}

/// Rules that stay whatever is planned.
fn stuck_by(rules: Vec<Rule>, now: &Judged) -> Nearest {
    let (certain, unknown) = rules.into_iter().partition(|rule| now.truth(*rule).is_yes());
    Nearest::None(Remains { certain, unknown, together: Vec::new() })
}

fn without(set: &Set, question: usize) -> Set {
    set.iter().filter(|(q, _)| *q != question).cloned().collect()
}

fn with_answer(set: &Set, question: usize, answer: Answer) -> Set {
    let mut with = without(set, question);
    let at = with.partition_point(|(q, _)| *q < question);
    with.insert(at, (question, answer));
    with
}

fn number_in(set: &Set, question: usize) -> i64 {
    set.iter().find(|(q, _)| *q == question).and_then(|(_, a)| a.value().known()).unwrap_or_default()
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
