//! From visits that were tried to one in which something happens: one answer after the other is changed to where the condition is
//! nearer to holding. It finds what the formula knows too little of, such as ways of a drop; it proves nothing.

use super::claims::Happens;
use super::promises::Told;
use super::side::each;
use super::watch::Watch;
use crate::content::{Content, Limit, Rule};
use crate::flow::{Answer, Answers, Clause, Condition, QuestionKind, Slot, Test, Value};
use crate::judge::{Judged, Judging, number_answer};
use crate::names::QuestionId;
use crate::site::{FACTS, FactId};
use crate::wall::{Sense, Status};
use std::cell::OnceCell;
use std::collections::BTreeSet;

/// From how many visits it starts.
const STARTS: usize = 3;
/// Of how many visits, at most, these are the nearest.
const SAMPLED: usize = 2000;
/// How many answers are changed in a row.
const MOST_STEPS: usize = 8;
/// What a part that does not hold weighs.
const PART: i64 = 1000;

/// What to change: the names that something looks at where it does not hold, and by how much a number would have to be another.
#[derive(Debug, Clone, Default)]
struct Aims {
    slots: Vec<Slot>,
    by: Vec<i64>,
    /// Guards in the way, which look at no name, by their places among findings.
    guards: Vec<usize>,
}

impl Aims {
    /// All of these too.
    fn add(&mut self, more: &Aims) {
        self.slots.extend(&more.slots);
        self.by.extend(&more.by);
        self.guards.extend(&more.guards);
    }
}

/// The same for the rules in the way of a visit, gathered where the first asks for it.
type Ways = OnceCell<Aims>;

fn ways<'w>(known: &'w Ways, content: &Content, judged: &Judged) -> &'w Aims {
    known.get_or_init(|| {
        let values = &judged.values;
        let mut aims = Aims::default();
        for (limit, clearance) in content.limits.iter().zip(&judged.clearances) {
            if limit.verdict.is_some() && clearance.breaks().is_possible() {
                aims.slots.extend(limit.when.holds_by(values));
                aims.slots.push(limit.measure);
                shifts(&Clause::Is(limit.measure, met(limit)), values, true, false, &mut aims.by);
            }
        }
        for (at, (finding, truth)) in content.findings.iter().zip(&judged.findings).enumerate() {
            if finding.verdict.is_some() && truth.is_possible() {
                if finding.guard.is_some() {
                    aims.guards.push(at);
                }
                aims.slots.extend(finding.when.holds_by(values));
                shifts(&finding.when.clause(), values, false, false, &mut aims.by);
            }
        }
        aims
    })
}

/// How far what has to happen is from happening, and what to change.
fn distance(what: Happens<'_>, content: &Content, judged: &Judged, told: &Told<'_>, known: &Ways) -> (i64, Aims) {
    let (far, aims) = away(what, content, judged, told, known);
    (if what.happens(content, judged, told) { 0 } else { far.max(1) }, aims)
}

/// What meets a limit.
fn met(limit: &Limit) -> Test {
    match limit.sense {
        Sense::AtLeast => Test::AtLeast(limit.bound),
        Sense::AtMost => Test::AtMost(limit.bound),
    }
}

fn away(what: Happens<'_>, content: &Content, judged: &Judged, told: &Told<'_>, known: &Ways) -> (i64, Aims) {
    let values = if matches!(what, Happens::Owed(_) | Happens::Broken(_)) { told.values() } else { &judged.values };
    let to_be = |when: &Condition, so: bool| {
        let slots = if so { when.fails_by(values) } else { when.holds_by(values) };
        let mut by = Vec::new();
        shifts(&when.clause(), values, so, false, &mut by);
        (of(&when.clause(), values, so), Aims { slots, by, guards: Vec::new() })
    };
    let open = |when: &Condition| to_be(when, true);
    let ways = || ways(known, content, judged);
    match what {
        Happens::Asked(at) => open(&content.flow.questions[at].visible),
        Happens::Fact(at, holds) => to_be(&content.defined[at].when, holds),
        Happens::Limit(at, status) => {
            let limit = &content.limits[at];
            let (mut far, mut aims) = open(&limit.when);
            aims.slots.push(limit.measure);
            let measured = Clause::Is(limit.measure, met(limit));
            let passes = status == Status::Passes;
            shifts(&measured, values, passes, false, &mut aims.by);
            far += of(&measured, values, passes);
            if !limit.holds_in(region(content, judged)) {
                far += PART;
                aims.slots.extend(Slot::try_from(content.catalog.names.at(QuestionId::Region)));
            }
            (far, aims)
        }
        Happens::Finding(at) => open(&content.findings[at].when),
        Happens::Row(row) => {
            let (far, mut aims) = open(row.when);
            let wrong = row.verdict.is_some_and(|v| v != judged.settled.verdict);
            if wrong {
                aims.add(ways());
            }
            (far + if wrong { PART } else { 0 }, aims)
        }
        Happens::Owed(when) => {
            let (far, mut aims) = open(when);
            let names = content.vocabulary.len();
            if aims.slots.iter().any(|slot| usize::from(*slot) >= content.slots.after && usize::from(*slot) < names) {
                aims.add(ways());
            }
            (far, aims)
        }
        Happens::Broken(promise) => {
            let (mut far, mut aims) = open(&promise.when);
            if promise.allows(judged.settled.verdict) {
                // just within what the promise speaks of there is least in the way besides
                shifts(&promise.when.clause(), values, true, true, &mut aims.by);
                far += PART / 4 * i64::try_from(ways().slots.len() + 4 * ways().guards.len() + 1).unwrap_or(1);
                aims.add(ways());
            }
            (far, aims)
        }
        Happens::Given(verdict) => {
            let aims = ways().clone();
            let wrong = judged.settled.verdict != verdict;
            (if wrong { PART * i64::try_from(aims.slots.len() + 1).unwrap_or(1) } else { 0 }, aims)
        }
    }
}

/// By how much each number would have to be another so that a part of a condition is so, and no more than that; with `edges` also where it
/// is so already.
fn shifts(clause: &Clause, values: &[Value], wanted: bool, edges: bool, found: &mut Vec<i64>) {
    match clause {
        Clause::Not(inner) => shifts(inner, values, !wanted, edges, found),
        Clause::All(parts) | Clause::Any(parts) => {
            for part in parts {
                shifts(part, values, wanted, edges, found);
            }
        }
        Clause::Is(slot, test) => {
            let value = values.get(usize::from(*slot)).copied().unwrap_or_default();
            let truth = test.truth(value);
            let (Some(low), Some(high)) = (value.low(), value.high()) else { return };
            if !edges && (truth.is_yes() && wanted || !truth.is_possible() && !wanted) {
                return;
            }
            let by = match (test, wanted) {
                (Test::Below(n), true) | (Test::AtLeast(n), false) => n.saturating_sub(1).saturating_sub(high),
                (Test::Below(n), false) | (Test::AtLeast(n), true) => n.saturating_sub(low),
                (Test::AtMost(n), true) | (Test::Above(n), false) => n.saturating_sub(high),
                (Test::AtMost(n), false) | (Test::Above(n), true) => n.saturating_add(1).saturating_sub(low),
                _ => return,
            };
            found.push(by);
        }
    }
}

fn region(content: &Content, judged: &Judged) -> Option<usize> {
    let value = judged.values[content.catalog.names.at(QuestionId::Region)].known()?;
    usize::try_from(value.trailing_zeros()).ok()
}

/// How far a part of a condition is from being so.
fn of(clause: &Clause, values: &[Value], wanted: bool) -> i64 {
    match clause {
        Clause::Not(inner) => of(inner, values, !wanted),
        Clause::All(parts) | Clause::Any(parts) => {
            let all = matches!(clause, Clause::All(_)) == wanted;
            let parts = parts.iter().map(|part| of(part, values, wanted));
            if all { parts.sum() } else { parts.min().unwrap_or(PART) }
        }
        Clause::Is(slot, test) => {
            let value = values.get(usize::from(*slot)).copied().unwrap_or_default();
            let truth = test.truth(value);
            if truth.is_yes() && wanted || !truth.is_possible() && !wanted {
                return 0;
            }
            let off = match (test, value.low().zip(value.high())) {
                (Test::Below(n) | Test::AtMost(n) | Test::Above(n) | Test::AtLeast(n), Some((low, high))) => {
                    let off = (i128::from(low) - i128::from(*n)).abs().max((i128::from(high) - i128::from(*n)).abs());
                    // an inch is a thousandth of a part; of slopes and counts twice as far is a little more
                    let inches =
                        i64::try_from((off.unsigned_abs() / 8128).min(PART.unsigned_abs().into())).unwrap_or(PART);
                    inches.min(PART / 16) + 3 * i64::from(off.unsigned_abs().saturating_add(1).ilog2())
                }
                _ => PART / 4,
            };
            PART / 2 + off
        }
    }
}

/// Looks for visits in which these happen, each from the nearest of those that were tried. For each one that was found.
pub(super) fn climb(
    all: &[Happens<'_>],
    watch: &Watch<'_>,
    content: &Content,
    tried: &[Answers],
) -> Vec<Option<Answers>> {
    let step = tried.len() / SAMPLED + 1;
    let some: Vec<&Answers> = tried.iter().rev().step_by(step).collect();
    // each visit is judged once for all: how far it is from each, and whether only the verdict of a promise is another
    let far: Vec<Vec<(i64, bool)>> = each(&some, |answers| {
        let judged = content.judge(answers, content.flow.state(answers));
        let told = Told::of(&watch.telling, &judged);
        let known = Ways::new();
        let owed =
            |what: &Happens<'_>| matches!(what, Happens::Broken(promise) if promise.when.eval(told.values()).is_yes());
        all.iter().map(|what| (distance(*what, content, &judged, &told, &known).0, owed(what))).collect()
    });
    let todo: Vec<(Happens<'_>, Vec<&Answers>)> = all
        .iter()
        .enumerate()
        .map(|(at, what)| {
            let mut starts: Vec<usize> = (0..some.len()).collect();
            starts.sort_by_key(|visit| far[*visit][at].0);
            if matches!(what, Happens::Broken(_)) {
                // it is mostly kept, so that every start costs all its steps: the nearest of all, and of those in which it is owed
                let owed = starts.iter().copied().find(|visit| far[*visit][at].1);
                starts = starts.first().copied().into_iter().chain(owed).collect();
                starts.dedup();
            }
            (*what, starts.into_iter().take(STARTS).map(|visit| some[visit]).collect())
        })
        .collect();
    each(&todo, |(what, starts)| starts.iter().find_map(|start| climb_from(*what, watch, content, start)))
}

/// From one visit to one in which it happens.
fn climb_from(what: Happens<'_>, watch: &Watch<'_>, content: &Content, start: &Answers) -> Option<Answers> {
    let judging = Judging::new(content, start);
    let telling = watch.telling.only(&what.asks());
    let mut answers = start.clone();
    for _ in 0..MOST_STEPS {
        let judged = judging.judge(&answers);
        let (far, mut aims) = distance(what, content, &judged, &Told::of(&telling, &judged), &Ways::new());
        aims.by.sort_unstable();
        aims.by.dedup();
        for guard in &aims.guards {
            aims.slots.extend(content.kept_by(&judged, Rule::Finding(*guard)).filter_map(|at| Slot::try_from(at).ok()));
        }
        let mut best: Option<(i64, Answers)> = None;
        for question in behind(content, &aims.slots, &judged) {
            let now = answers.get(question).cloned();
            for answer in others(content, question, now.as_ref(), &aims.by) {
                set(&mut answers, question, answer);
                let judged = judging.judge(&answers);
                let told = Told::of(&telling, &judged);
                let (there, _) = distance(what, content, &judged, &told, &Ways::new());
                if there < best.as_ref().map_or(far, |(far, _)| *far) {
                    if there == 0 && happens(what, watch, content, &answers) {
                        return Some(answers);
                    }
                    best = Some((there.max(1), answers.clone()));
                }
            }
            set(&mut answers, question, now);
        }
        let Some((_, next)) = best else { break };
        answers = next;
    }
    happens(what, watch, content, &answers).then_some(answers)
}

fn set(answers: &mut Answers, question: usize, answer: Option<Answer>) {
    match answer {
        Some(answer) => answers.set(question, answer),
        None => answers.clear(question),
    }
}

/// Whether it happens there, judged as any visit is.
fn happens(what: Happens<'_>, watch: &Watch<'_>, content: &Content, answers: &Answers) -> bool {
    let judged = content.judge(answers, content.flow.state(answers));
    what.happens(content, &judged, &Told::of(&watch.telling, &judged))
}

/// The questions behind names.
pub(super) fn behind(content: &Content, slots: &[Slot], judged: &Judged) -> BTreeSet<usize> {
    let mut todo: Vec<usize> = slots.iter().map(|slot| usize::from(*slot)).collect();
    let mut seen = BTreeSet::new();
    let mut found = BTreeSet::new();
    let at = content.slots;
    while let Some(slot) = todo.pop() {
        if !seen.insert(slot) {
            continue;
        }
        if slot < at.facts {
            found.insert(slot);
            if !judged.state.shown[slot].is_yes() {
                todo.extend(content.flow.questions[slot].visible.reads().map(usize::from));
            }
        } else if slot < at.defined {
            let fact = FACTS[slot - at.facts].id;
            let rests: Vec<QuestionId> = match fact {
                FactId::MeasureConflict => judged.site.all_read().collect(),
                _ => judged.site.rests_first_on(fact).collect(),
            };
            todo.extend(rests.into_iter().map(|id| content.catalog.names.at(id)));
        } else if slot < at.limits {
            todo.extend(content.defined[slot - at.defined].when.reads().map(usize::from));
        } else if slot < at.after {
            let limit = &content.limits[slot - at.limits];
            todo.push(usize::from(limit.measure));
            todo.extend(limit.when.reads().map(usize::from));
        } else {
            todo.push(content.fact_slot(crate::site::FactId::ExitAboveFinish));
            todo.push(content.fact_slot(crate::site::FactId::FinishAboveGround));
        }
    }
    found
}

/// Other answers to a question; nothing for none. A length is tried where it is another by so much, too.
fn others(content: &Content, question: usize, now: Option<&Answer>, by: &[i64]) -> Vec<Option<Answer>> {
    let asked = &content.flow.questions[question];
    let count = asked.choices.len();
    let mut all: Vec<Option<Answer>> = match asked.kind {
        QuestionKind::OneOf => (0..count).map(|i| Some(Answer::Choice(i))).collect(),
        QuestionKind::YesNo => vec![Some(Answer::YesNo(true)), Some(Answer::YesNo(false))],
        QuestionKind::SeveralOf => {
            let bits = match now {
                Some(Answer::Several(bits)) => *bits,
                _ => 0,
            };
            (0..count).map(|i| Some(Answer::Several(bits ^ 1 << i))).chain([Some(Answer::Several(0))]).collect()
        }
        QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => {
            let bounds = asked.bounds;
            let (least, most) = bounds.map_or((0, 0), |b| b.usual.unwrap_or((b.least, b.most)));
            let (least, most) = (least.max(i64::MIN / 4), most.min(i64::MAX / 4));
            let step = (most - least) / 8;
            let now = now.and_then(|a| a.value().known());
            // what is weighed against another number, such as a fall, turns where it is a part of what it is
            let near =
                now.into_iter().flat_map(|n| [n - step / 4, n + step / 4, n - step / 32, n + step / 32, n / 2, n / 8]);
            let from = now.filter(|_| asked.kind == QuestionKind::Length);
            let exact = from
                .into_iter()
                .flat_map(|n| by.iter().flat_map(move |by| [n.saturating_sub(*by), n.saturating_add(*by)]));
            let spread = (0..=8).map(|i| least + step * i);
            let fits = |n: &i64| bounds.is_none_or(|b| (b.least..=b.most).contains(n));
            near.chain(exact).chain(spread).filter(fits).map(|n| Some(number_answer(asked.kind, n))).collect()
        }
        QuestionKind::Text | QuestionKind::Profile | QuestionKind::Places => Vec::new(),
    };
    all.push(None);
    all.retain(|other| other.as_ref() != now);
    all
}
