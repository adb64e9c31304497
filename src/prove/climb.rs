//! From visits that were tried to one in which something happens: one answer after the other is changed to where the condition is
//! nearer to holding. It finds what the formula knows too little of, such as ways of a drop; it proves nothing.

use super::claims::Happens;
use super::promises::Told;
use super::side::each;
use super::watch::Watch;
use crate::content::Content;
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

/// The names that rules in the way of a visit look at, gathered where the first asks for them.
type Ways = OnceCell<Vec<Slot>>;

fn ways<'w>(known: &'w Ways, content: &Content, judged: &Judged) -> &'w [Slot] {
    known.get_or_init(|| {
        let values = &judged.values;
        let limits = content
            .limits
            .iter()
            .zip(&judged.clearances)
            .filter(|(l, c)| l.verdict.is_some() && c.breaks().is_possible());
        let findings =
            content.findings.iter().zip(&judged.findings).filter(|(f, t)| f.verdict.is_some() && t.is_possible());
        let of_limits = limits.flat_map(|(l, _)| l.when.holds_by(values).into_iter().chain([l.measure]));
        of_limits.chain(findings.flat_map(|(f, _)| f.when.holds_by(values))).collect()
    })
}

/// How far what has to happen is from happening, and the names that it looks at where it does not hold.
fn distance(what: Happens<'_>, content: &Content, judged: &Judged, told: &Told<'_>, known: &Ways) -> (i64, Vec<Slot>) {
    let (far, slots) = away(what, content, judged, told, known);
    (if what.happens(content, judged, told) { 0 } else { far.max(1) }, slots)
}

fn away(what: Happens<'_>, content: &Content, judged: &Judged, told: &Told<'_>, known: &Ways) -> (i64, Vec<Slot>) {
    let values = if matches!(what, Happens::Owed(_) | Happens::Broken(_)) { told.values() } else { &judged.values };
    let open = |when: &Condition| (of(&when.clause(), values, true), when.fails_by(values));
    let ways = || ways(known, content, judged);
    match what {
        Happens::Asked(at) => open(&content.flow.questions[at].visible),
        Happens::Fact(at, holds) => {
            let when = &content.defined[at].when;
            if holds { open(when) } else { (of(&when.clause(), values, false), when.holds_by(values)) }
        }
        Happens::Limit(at, status) => {
            let limit = &content.limits[at];
            let (mut far, mut slots) = open(&limit.when);
            slots.push(limit.measure);
            let test = match (limit.sense, status) {
                (Sense::AtLeast, Status::Passes) => Test::AtLeast(limit.bound),
                (Sense::AtLeast, _) => Test::Below(limit.bound),
                (Sense::AtMost, Status::Passes) => Test::AtMost(limit.bound),
                (Sense::AtMost, _) => Test::Above(limit.bound),
            };
            far += of(&Clause::Is(limit.measure, test), values, true);
            if !limit.holds_in(region(content, judged)) {
                far += PART;
                slots.extend(Slot::try_from(content.catalog.names.at(crate::names::QuestionId::Region)));
            }
            (far, slots)
        }
        Happens::Finding(at) => open(&content.findings[at].when),
        Happens::Row(row) => {
            let (far, mut slots) = open(row.when);
            let wrong = row.verdict.is_some_and(|v| v != judged.settled.verdict);
            if wrong {
                slots.extend(ways());
            }
            (far + if wrong { PART } else { 0 }, slots)
        }
        Happens::Owed(when) => {
            let (far, mut slots) = open(when);
            let names = content.vocabulary.len();
            if slots.iter().any(|slot| usize::from(*slot) >= content.slots.after && usize::from(*slot) < names) {
                slots.extend(ways());
            }
            (far, slots)
        }
        Happens::Broken(promise) => {
            let (mut far, mut slots) = open(&promise.when);
            if promise.allows(judged.settled.verdict) {
                let in_way = ways();
                far += PART / 4 * i64::try_from(in_way.len() + 1).unwrap_or(1);
                slots.extend(in_way);
            }
            (far, slots)
        }
        Happens::Given(verdict) => {
            let slots = ways().to_vec();
            let wrong = judged.settled.verdict != verdict;
            (if wrong { PART * i64::try_from(slots.len() + 1).unwrap_or(1) } else { 0 }, slots)
        }
    }
}

fn region(content: &Content, judged: &Judged) -> Option<usize> {
    let value = judged.values[content.catalog.names.at(crate::names::QuestionId::Region)].known()?;
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
                    // an inch is a thousandth of a part
                    i64::try_from((off / 8128).min(i128::from(PART / 4))).unwrap_or(PART / 4)
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
    // each visit is judged once for all
    let far: Vec<Vec<i64>> = each(&some, |answers| {
        let judged = content.judge(answers, content.flow.state(answers));
        let told = Told::of(&watch.telling, &judged);
        let known = Ways::new();
        all.iter().map(|what| distance(*what, content, &judged, &told, &known).0).collect()
    });
    let todo: Vec<(Happens<'_>, Vec<&Answers>)> = all
        .iter()
        .enumerate()
        .map(|(at, what)| {
            let mut starts: Vec<usize> = (0..some.len()).collect();
            starts.sort_by_key(|visit| far[*visit][at]);
            // a promise is mostly kept, so that every start costs all its steps
            let most = if matches!(what, Happens::Broken(_)) { 1 } else { STARTS };
            (*what, starts.into_iter().take(most).map(|visit| some[visit]).collect())
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
        let (far, slots) = distance(what, content, &judged, &Told::of(&telling, &judged), &Ways::new());
        let mut best: Option<(i64, Answers)> = None;
        for question in behind(content, &slots, &judged) {
            let now = answers.get(question).cloned();
            for answer in others(content, question, now.as_ref()) {
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

/// Other answers to a question; nothing for none.
fn others(content: &Content, question: usize, now: Option<&Answer>) -> Vec<Option<Answer>> {
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
            let near = now.into_iter().flat_map(|n| [n - step / 4, n + step / 4, n - step / 32, n + step / 32]);
            let spread = (0..=8).map(|i| least + step * i);
            let fits = |n: &i64| bounds.is_none_or(|b| (b.least..=b.most).contains(n));
            near.chain(spread).filter(fits).map(|n| Some(number_answer(asked.kind, n))).collect()
        }
        QuestionKind::Text | QuestionKind::Profile | QuestionKind::Places => Vec::new(),
    };
    all.push(None);
    all.retain(|other| other.as_ref() != now);
    all
}
