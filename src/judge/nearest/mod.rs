//! The search for the nearest change of the plan.
//!
//! Whatever is tried is judged. Each rule that is in the way then says which answers keep it there ([`Grounds`](super::reasons::Grounds)): one of them has
//! to change. That is a clause, and it holds for every plan. A SAT solver gives a plan that fits all clauses so far with as few
//! answers as can be; it is tried, and teaches new clauses, until one is clear or no plan is left. So the plans that fail for
//! reasons that are known are never tried.
//!
//! Of a question with a number the whole range is looked at once the rest of a plan is fixed: it falls into stretches within
//! which the same is in the way for the same reasons, and a clause speaks of a stretch.

mod cheapest;
mod formula;
mod numbers;
mod tried;

use super::again::Judging;
use super::bends::{Bends, Known};
use super::between::{Compared, ComparedBy};
use super::few::Few;
use super::model::{Assessment, Judged};
use super::questions::{Offers, Questions};
use super::reasons::finish_questions;
use crate::content::{Guard, Rule};
use crate::flow::{Answer, NEVER_OFFERED, QuestionKind};
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
    compared: BTreeMap<InTheWay, Rc<Compared>>,
    /// With what that shows questions is compared.
    questions: Compared,
}

impl<'a, 'c> Hunt<'a, 'c> {
    pub(super) fn new(of: &'a Assessment<'c>) -> Self {
        let content = of.content;
        let questions = content.flow.questions.iter().enumerate();
        // heights that were read at the ends of the work belong to these ends
        let length = content.catalog.names.at(QuestionId::FeatureLength);
        let is_fixed = |question: usize| {
            question == length && of.site.slopes() || content.flow.questions[question].never_offered == NEVER_OFFERED
        };
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
            questions: content.compared(ComparedBy::Questions),
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
