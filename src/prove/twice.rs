//! More room is never judged worse: the formula once more beside itself, with the same answers and one clearance larger.

use super::formula::{Measured, Theory, Valued};
use super::numbers::Which;
use super::outcome::{Flaw, FlawKind};
use super::side::each;
use super::watch::Sights;
use crate::content::{Content, Guard, Rule, Verdict};
use crate::flow::{Answer, Answers, QuestionKind, Slot, Truth};
use crate::judge::{Judged, Judging, number_answer};
use crate::site::{FACTS, Fact, FactId, FactKind};
use crate::solve::{Kleene, Lit};
use crate::units::Length;
use crate::wall::{Level, Sense};
use std::collections::{BTreeMap, BTreeSet};

/// What follows from facts: the part of a formula that is there twice.
#[derive(Debug)]
pub(super) struct Twin {
    pub(super) values: Vec<Valued>,
    pub(super) findings: Vec<Kleene>,
    pub(super) verdict: [Lit; 4],
}

impl Theory<'_> {
    /// Facts and all that follows from them once more, for the same answers.
    pub(super) fn again(&mut self) -> Twin {
        let slots = self.content.slots;
        let values = self.values.clone();
        let kept = (
            std::mem::take(&mut self.limits),
            std::mem::take(&mut self.findings),
            std::mem::take(&mut self.near_fall),
            self.take_stated(),
            self.verdict,
            std::mem::take(&mut self.ruled),
            self.held,
            self.door_taped,
        );
        self.values.truncate(slots.facts);
        self.follow();
        let layer = Twin {
            values: std::mem::replace(&mut self.values, values),
            findings: std::mem::take(&mut self.findings),
            verdict: self.verdict,
        };
        let stated;
        (self.limits, self.findings, self.near_fall, stated, self.verdict, self.ruled, self.held, self.door_taped) =
            kept;
        self.put_stated(stated);
        layer
    }

    /// The statement that a fact has the same value in both.
    fn alike(&mut self, slot: usize, layer: &Twin, grows: bool) -> Lit {
        let alike = self.sat.fresh();
        let same = |formula: &mut Self, a: Lit, b: Lit| {
            formula.sat.clause(&[!alike, !a, b]);
            formula.sat.clause(&[!alike, a, !b]);
        };
        match (self.values[slot].clone(), layer.values[slot].clone()) {
            (Valued::Bits { known, absent, bits }, Valued::Bits { known: k, absent: a, bits: b }) => {
                same(self, known, k);
                same(self, absent, a);
                for (one, other) in bits.into_iter().zip(b) {
                    same(self, one, other);
                }
            }
            (Valued::Measured(one), Valued::Measured(other)) => {
                for (a, b) in [
                    (one.known, other.known),
                    (one.absent, other.absent),
                    (one.taped, other.taped),
                    (one.low_open, other.low_open),
                    (one.high_open, other.high_open),
                ] {
                    same(self, a, b);
                }
                let mut figures = self.numbers[one.number].figures();
                figures.extend(self.numbers[other.number].figures());
                figures.sort_unstable();
                figures.dedup();
                let (one, other) = (Measured { turned: false, ..one }, Measured { turned: false, ..other });
                for figure in figures {
                    for end in [Which::Low, Which::High] {
                        let a = self.end_at_least(&one, end, figure);
                        let b = self.end_at_least(&other, end, figure);
                        self.sat.clause(&[!alike, !a, b]);
                        if !grows {
                            self.sat.clause(&[!alike, a, !b]);
                        }
                    }
                }
            }
            _ => {}
        }
        alike
    }
}

/// The clearances: heights of something above the surface or the ground that no rule with a verdict bounds from above.
fn clearances(content: &Content) -> Vec<&'static Fact> {
    let over = |fact: &&Fact| match fact.kind {
        FactKind::Height(Level::Exit | Level::Wood, Level::Finish) | FactKind::OverFinish => true,
        FactKind::Height(..)
        | FactKind::Length
        | FactKind::Slope
        | FactKind::Number
        | FactKind::YesNo
        | FactKind::End
        | FactKind::ExitKind => false,
    };
    let bounded = |fact: &&Fact| {
        content.limits.iter().any(|limit| {
            limit.verdict.is_some()
                && limit.sense == Sense::AtMost
                && usize::from(limit.measure) == content.fact_slot(fact.id)
        })
    };
    FACTS.iter().filter(over).filter(|fact| !bounded(fact)).collect()
}

/// Proves it for each clearance: how many are proved, how many only tried, and what is wrong.
pub(super) fn more_room(formula: &mut Theory<'_>, tried: &[Answers], sights: &Sights) -> (usize, usize, Vec<Flaw>) {
    let content = formula.content;
    let slots = content.slots;
    let layer = formula.again();
    let facts = clearances(content);
    let mut alike = Vec::new();
    for (at, fact) in FACTS.iter().enumerate() {
        let turned = matches!(&formula.values[slots.facts + at], Valued::Measured(Measured { turned: true, .. }));
        // whether the exit is covered follows from how high it stands
        if !turned && fact.id != FactId::ExitBuried {
            alike.push((at, formula.alike(slots.facts + at, &layer, false)));
        }
    }
    // a guard speaks where the content has a gap, which is a claim of its own
    let guards: Vec<Lit> = content
        .findings
        .iter()
        .zip(&layer.findings)
        .filter(|(finding, _)| finding.guard == Some(Guard::UntoldTrace))
        .map(|(_, truth)| truth.no)
        .collect();
    let (mut proved, mut only_tried, mut faults) = (0, 0, Vec::new());
    // near the visits that were tried, whatever for; once for all clearances
    let mut starts: BTreeSet<usize> = spread(&sights.verdicts).into_iter().collect();
    starts.extend(sights.lonely());
    let starts: Vec<&Answers> = starts.into_iter().filter_map(|place| tried.get(place)).collect();
    let rooms: Vec<Headroom> = facts.iter().map(|fact| Headroom::of(formula, fact)).collect();
    let mut found = hills(content, &starts, &rooms);
    for fact in &facts {
        let grows = formula.alike(content.fact_slot(fact.id), &layer, true);
        let mut worse = Vec::new();
        for one in Verdict::ALL {
            for other in Verdict::ALL.into_iter().filter(|other| *other > one) {
                let (a, b) = (formula.verdict[one as usize], layer.verdict[other as usize]);
                worse.push(formula.sat.all(&[a, b]));
            }
        }
        let worse = formula.sat.any(&worse);
        let mut assumed = vec![worse, grows];
        assumed.extend(&guards);
        assumed.extend(alike.iter().filter(|(at, _)| *at != fact.id as usize).map(|(_, lit)| *lit));
        if !formula.sat.can_at_all(&assumed) {
            proved += 1;
            continue;
        }
        let here = found.remove(&fact.id).or_else(|| {
            let from = formula.draft(&Answers::default()).answers;
            hills(content, &[&from], &rooms).remove(&fact.id)
        });
        match here {
            Some((low, high)) => faults.push(Flaw {
                kind: FlawKind::WorseWithRoom,
                row: "fact",
                id: fact.name.to_owned(),
                place: crate::flow::Place::nowhere(),
                message: format!("a visit is judged worse where `{}` is larger and no clearance is less", fact.name),
                against: Vec::new(),
                visit: Some(low),
                beside: Some(high),
            }),
            None => only_tried += 1,
        }
    }
    (proved, only_tried, faults)
}

/// Visits of every verdict: where one stands in the way already, a milder rule that stands in it too is not seen.
fn spread(verdicts: &BTreeMap<usize, Verdict>) -> Vec<usize> {
    let mut by_verdict: [Vec<usize>; 4] = Default::default();
    for (place, verdict) in verdicts.iter().rev() {
        by_verdict[*verdict as usize].push(*place);
    }
    let some = |(visits, most): (Vec<usize>, usize)| {
        let apart = (visits.len() / most).max(1);
        visits.into_iter().step_by(apart).take(most)
    };
    by_verdict.into_iter().zip(MOST_HILLS).flat_map(some).collect()
}

/// A clearance, and where rules tell its values apart.
struct Headroom {
    fact: &'static Fact,
    slot: usize,
    /// The middle of each stretch between two figures, and a place beyond the first and the last.
    stops: Vec<i64>,
}

impl Headroom {
    fn of(formula: &Theory<'_>, fact: &'static Fact) -> Headroom {
        let slot = formula.content.fact_slot(fact.id);
        let mut figures = match &formula.values[slot] {
            Valued::Measured(measured) => {
                let figures = formula.numbers[measured.number].figures();
                figures.into_iter().map(|figure| if measured.turned { -figure } else { figure }).collect()
            }
            Valued::Bits { .. } => Vec::new(),
        };
        figures.sort_unstable();
        let mut stops: Vec<i64> = figures.windows(2).map(|two| i64::midpoint(two[0], two[1])).collect();
        let far = Length::mm(BEYOND).steps();
        stops.extend(figures.first().map(|first| first - far));
        stops.extend(figures.last().map(|last| last + far));
        Headroom { fact, slot, stops }
    }
}

/// How far beyond all figures of a clearance is far, in millimetres.
const BEYOND: i64 = 100;

/// Two visits, of which the second has more room everywhere and is judged worse for it.
type Hill = (Answers, Answers);

/// By clearance the first hill near one of these visits.
fn hills(content: &Content, starts: &[&Answers], rooms: &[Headroom]) -> BTreeMap<FactId, Hill> {
    let mut found = BTreeMap::new();
    for hills in each(starts, |answers| hills_at(content, answers, rooms)) {
        for (id, hill) in hills {
            found.entry(id).or_insert(hill);
        }
    }
    found
}

/// Where a question with a length is moved to: a little, and to the middle of each stretch between two figures of the clearances that move
/// with it. Nowhere if none does.
fn moved(judging: &Judging<'_>, answers: &Answers, (question, n): (usize, i64), rooms: &[Headroom]) -> BTreeSet<i64> {
    let step = Length::mm(MOVES[0]).steps();
    let mut beside = answers.clone();
    beside.set(question, Answer::Length(Length::from_steps(n + step)));
    let there = judging.judge(&beside);
    let mut to = BTreeSet::new();
    for room in rooms {
        let (Some(low), Some(high)) = (judging.base.values[room.slot].low(), judging.base.values[room.slot].high())
        else {
            continue;
        };
        let by = there.values[room.slot].low().map_or(0, |moved| moved - low);
        if by.abs() != step {
            continue;
        }
        to.extend(MOVES.map(|mm| Length::mm(mm).steps()).into_iter().flat_map(|by| [n + by, n - by]));
        let middle = i64::midpoint(low, high);
        to.extend(room.stops.iter().map(|stop| n + (stop - middle) * by.signum()));
    }
    to
}

/// The hills on which a visit stands, or at whose foot.
fn hills_at(content: &Content, answers: &Answers, rooms: &[Headroom]) -> BTreeMap<FactId, Hill> {
    let facts: Vec<&Fact> = rooms.iter().map(|room| room.fact).collect();
    let mut found = BTreeMap::new();
    let judging = Judging::new(content, answers);
    let here = &judging.base;
    // a clearance grows with whatever it is measured by: the finish, the exit, the wood, a thing on the wall
    for (question, answer) in answers.iter() {
        let length = content.flow.questions[question].kind == QuestionKind::Length;
        let Some(n) = answer.value().known().filter(|_| length && here.state.shown[question].is_yes()) else {
            continue;
        };
        let bounds = content.flow.questions[question].bounds;
        for n in moved(&judging, answers, (question, n), rooms)
            .into_iter()
            .filter(|n| bounds.is_none_or(|bounds| (bounds.least..=bounds.most).contains(n)))
        {
            let mut after = answers.clone();
            after.set(question, number_answer(content.flow.questions[question].kind, n));
            let there = judging.judge(&after);
            let worse = there.settled.verdict > here.settled.verdict;
            if there.settled.verdict == here.settled.verdict
                || judged_step(content, here) != judged_step(content, &there)
            {
                continue;
            }
            let (low, high) = if worse { (here, &there) } else { (&there, here) };
            let more = facts.iter().map(|fact| content.fact_slot(fact.id)).all(|slot| {
                let (a, b) = (low.values[slot], high.values[slot]);
                // larger at both ends: what is known better has not grown
                a == b
                    || matches!((a.low(), b.low()), (Some(a_low), Some(b_low)) if a_low < b_low && a.high() < b.high())
            });
            if more {
                let hill = if worse { (answers.clone(), after) } else { (after, answers.clone()) };
                for id in by_room_alone(content, &facts, low, high) {
                    found.entry(id).or_insert_with(|| hill.clone());
                }
            }
        }
    }
    found
}

/// The clearances at which some rule looks that makes it worse there and stood otherwise before, and that looks at nothing else that moved: a step at
/// a door or a drop at an end is no matter of room.
fn by_room_alone(content: &Content, facts: &[&Fact], before: &Judged, there: &Judged) -> BTreeSet<FactId> {
    let slots = content.slots;
    let room = |slot: usize| {
        let fact = &FACTS[slot - slots.facts];
        let turned = |other: &&&Fact| matches!((fact.kind, other.kind), (FactKind::Height(a, b), FactKind::Height(c, d)) if (a, b) == (d, c));
        fact.id == FactId::ExitBuried
            || facts.iter().any(|other| other.id == fact.id)
            || facts.iter().any(|other| turned(&other))
    };
    let named = |slot: usize| {
        let fact = &FACTS[slot - slots.facts];
        let same = |other: &&&Fact| match (fact.kind, other.kind) {
            (FactKind::Height(a, b), FactKind::Height(c, d)) => (a, b) == (c, d) || (a, b) == (d, c),
            _ => fact.id == other.id,
        };
        let covered = |other: &&&Fact| fact.id == FactId::ExitBuried && other.id == FactId::ExitAboveFinish;
        facts.iter().find(|other| same(other) || covered(other)).map(|fact| fact.id)
    };
    let verdict = before.settled.verdict;
    let makes_worse = |rule: &Rule| match there.truth(*rule) {
        Truth::Yes => content.verdict_of(*rule).is_some_and(|of_rule| of_rule > verdict),
        Truth::Unknown => verdict < Verdict::FindOutFirst,
        Truth::No => false,
    };
    // one that surely stood and now only may has not come to stand
    let comes = |rule: &Rule| there.truth(*rule) != before.truth(*rule) && before.truth(*rule) != Truth::Yes;
    let new = content.rules().filter(|rule| makes_worse(rule) && comes(rule));
    new.flat_map(|rule| {
        let mut todo: Vec<Slot> = match rule {
            Rule::Limit(at) => content.limits[at].when.reads().chain([content.limits[at].measure]).collect(),
            Rule::Finding(at) => content.findings[at].when.reads().collect(),
        };
        let (mut seen, mut moved) = (BTreeSet::new(), BTreeSet::new());
        while let Some(slot) = todo.pop() {
            let at = usize::from(slot);
            if !seen.insert(at) {
                continue;
            }
            if (slots.defined..slots.limits).contains(&at) {
                todo.extend(content.defined[at - slots.defined].when.reads());
            } else if (slots.limits..slots.after).contains(&at) {
                let limit = &content.limits[at - slots.limits];
                todo.extend(limit.when.reads().chain([limit.measure]));
            } else if before.values.get(at) != there.values.get(at) {
                moved.insert(at);
            }
        }
        let alone = moved.iter().all(|at| (slots.facts..slots.defined).contains(at) && room(*at));
        moved.into_iter().filter(move |_| alone).filter_map(named)
    })
    .collect()
}

/// How far a length is moved besides, up and down, in millimetres: across a figure, and across what a tape measure leaves open.
const MOVES: [i64; 3] = [1, 5, 25];

/// How many visits of each verdict are moved, in their order: most hills begin where the work may go ahead.
const MOST_HILLS: [usize; 4] = [150, 40, 40, 40];

/// Which rules bound something from above, and whether they are met: a step that gets too high is no matter of room.
fn judged_step(content: &Content, judged: &Judged) -> Vec<Truth> {
    let limits = content.limits.iter().zip(&judged.clearances);
    limits.filter(|(l, _)| l.verdict.is_some() && l.sense == Sense::AtMost).map(|(_, c)| c.breaks()).collect()
}
