//! What the formula learns from a real visit: the values that facts really have for such answers.

use super::draft::Draft;
use super::formula::{Measured, Theory, Valued};
use super::linear::{Bounded, Conflict, Sum, fit};
use super::numbers::Which;
use super::probe::FactProbe;
use crate::content::Content;
use crate::flow::{Answer, Answers, FAR, Slot, State, Truth, Value};
use crate::judge::{Judged, number_answer};
use crate::names::{JointSaid, QuestionId};
use crate::site::{FACTS, Fact, FactId, FactKind, LevelChange, Site, SitePart};
use crate::solve::Lit;
use crate::wall::{Status, judge};
use std::collections::{BTreeSet, HashMap, HashSet};

/// How numbers of facts follow from numbers that are answered, for visits of one kind: all of the same choices. Measured where it is
/// asked for first.
#[derive(Debug)]
struct Shape {
    /// The visit that it was made from, with its facts.
    answers: Answers,
    facts: Vec<Value>,
    /// The questions with a number, and what each is there.
    numbers: Vec<(usize, i64)>,
    /// The facts with one of the numbers a step larger, and [`STEP`] larger.
    moved: Vec<Option<[Vec<Value>; 2]>>,
}

/// An end of a fact that changes evenly with the answers: at the numbers of the visit it was made from, and how much it changes with each
/// of them.
#[derive(Debug)]
struct EvenEnd {
    terms: Vec<(usize, i64)>,
    constant: i64,
}

/// The shapes by kind of visit, and what measures them.
#[derive(Debug)]
pub(super) struct Shapes<'c> {
    probe: FactProbe<'c>,
    known: HashMap<Vec<i64>, Shape>,
}

impl<'c> Shapes<'c> {
    pub(super) fn new(content: &'c Content) -> Shapes<'c> {
        Shapes { probe: FactProbe::new(content), known: HashMap::new() }
    }
}

impl Shape {
    /// How an end of a fact follows from the numbers that it rests on; nothing where it does not change evenly.
    fn end(
        &mut self,
        fact: usize,
        which: Which,
        rests: &BTreeSet<usize>,
        content: &Content,
        probe: &FactProbe<'_>,
    ) -> Option<EvenEnd> {
        let of = |facts: &[Value]| {
            let n = if which == Which::Low { facts[fact].low() } else { facts[fact].high() };
            n.filter(|n| n.abs() < FAR)
        };
        let base = of(&self.facts)?;
        let mut even = EvenEnd { terms: Vec::new(), constant: base };
        for (nth, (question, n)) in self.numbers.iter().enumerate().filter(|(_, (q, _))| rests.contains(q)) {
            let moved = self.moved[nth].get_or_insert_with(|| {
                let kind = content.flow.questions[*question].kind;
                [1, STEP].map(|by| {
                    let mut answers = self.answers.clone();
                    answers.set(*question, number_answer(kind, n + by));
                    probe.facts(&answers).1
                })
            });
            let (times, more) = (of(&moved[0])? - base, of(&moved[1])? - base);
            if times * STEP != more {
                return None;
            }
            if times != 0 {
                even.terms.push((nth, times));
                even.constant -= times * n;
            }
        }
        Some(even)
    }
}

/// The questions that a fact rests on. For whether readings agree all that was read is taken: a search that looks at the readings
/// alone finds fewer visits.
pub(super) fn rests_on(fact: FactId, site: &Site) -> Vec<QuestionId> {
    if fact == FactId::MeasureConflict { site.all_read().collect() } else { site.rests_on(fact).collect() }
}

impl Theory<'_> {
    /// The questions that a fact rests on in this visit.
    fn rests(&self, fact: &Fact, site: &Site) -> BTreeSet<usize> {
        let names = &self.content.catalog.names;
        let mut rests: BTreeSet<usize> = rests_on(fact.id, site).into_iter().map(|id| names.at(id)).collect();
        if fact.id == FactId::DoorRisers {
            rests.insert(names.at(QuestionId::Region));
        }
        rests
    }

    /// The statements that say how a question is answered in this visit, all but the number.
    fn said_of(&self, question: usize, answers: &Answers, state: &State, into: &mut Vec<Lit>) {
        let posed = &self.questions[question];
        match state.shown[question] {
            Truth::No => return into.push(posed.shown.no),
            Truth::Unknown => return into.extend([!posed.shown.yes, !posed.shown.no]),
            Truth::Yes => into.push(posed.shown.yes),
        }
        match answers.get(question) {
            None | Some(Answer::NotSure) => into.push(posed.not_sure),
            Some(answer) => {
                into.push(!posed.not_sure);
                match answer.value() {
                    Value::Is(bits) if posed.number.is_none() => {
                        let one = !matches!(answer, Answer::Several(_) | Answer::Places(_));
                        let said = posed.bits.iter().enumerate().filter(|(i, _)| !one || bits & (1 << i) != 0);
                        into.extend(said.map(|(i, bit)| if bits & (1 << i) != 0 { *bit } else { !*bit }));
                    }
                    _ => {}
                }
            }
        }
    }

    /// The statements that say how the questions behind a fact are answered.
    fn guard(&self, facts: &[usize], answers: &Answers, judged: &Judged) -> Vec<Lit> {
        let rests: BTreeSet<usize> = facts.iter().flat_map(|at| self.rests(&FACTS[*at], &judged.site)).collect();
        let mut guard = Vec::new();
        for question in rests {
            match self.no_strip(question, facts, judged) {
                Some(said) => guard.extend(said),
                None => self.said_of(question, answers, &judged.state, &mut guard),
            }
        }
        guard
    }

    /// That the answer about the joint makes no strip, where nothing else of it counts for these facts: then it is enough to say that.
    fn no_strip(&self, question: usize, facts: &[usize], judged: &Judged) -> Option<[Lit; 2]> {
        let names = &self.content.catalog.names;
        if question != names.at(QuestionId::Joint) {
            return None;
        }
        let makes_one = [JointSaid::Strip, JointSaid::OpenGap].map(|said| names.place(said));
        let says = |bit: &usize| judged.state.values[question] == Value::choice(*bit);
        let counts = |fact: &usize| {
            let id = FACTS[*fact].id;
            let mut reads = judged.site.reads_behind(id);
            id == FactId::MeasureConflict
                || reads.any(|(part, id)| id == QuestionId::Joint && part != SitePart::HasStrip)
        };
        if makes_one.iter().any(says) || facts.iter().any(counts) {
            return None;
        }
        let bits = &self.questions[question].bits;
        Some([!*bits.get(makes_one[0])?, !*bits.get(makes_one[1])?])
    }

    /// The statements that hold of a value, its numbers aside.
    fn status_of(&self, slot: usize, value: Value, site: &Site) -> Vec<Lit> {
        match &self.values[slot] {
            Valued::Bits { known, absent, bits } => match value {
                Value::Absent => vec![*absent],
                Value::Is(n) => {
                    let set = bits.iter().enumerate().filter(|(i, _)| n & (1 << i) != 0).map(|(_, bit)| *bit);
                    std::iter::once(*known).chain(set).collect()
                }
                _ => vec![!*known, !*absent],
            },
            Valued::Measured(measured) => {
                let (low, high) = match value {
                    Value::Absent => return vec![measured.absent],
                    Value::Unknown | Value::Unasked => return vec![!measured.known, !measured.absent],
                    Value::Is(n) => (n, n),
                    Value::Between(low, high) => (low, high),
                };
                let level = slot
                    .checked_sub(self.content.slots.facts)
                    .and_then(|at| FACTS.get(at))
                    .is_none_or(|fact| site.elsewhere_for(fact) == LevelChange::None);
                let taped = level && low > -FAR && high < FAR;
                let signed = |lit: Lit, yes: bool| if yes { lit } else { !lit };
                let after = slot >= self.content.slots.after;
                let mut said = vec![measured.known];
                if !after {
                    said.push(signed(measured.taped, taped));
                    said.push(signed(measured.low_open, low <= -FAR));
                    said.push(signed(measured.high_open, high >= FAR));
                }
                said
            }
        }
    }

    /// The statements that say where the numbers of a value lie.
    fn cells_of(&self, slot: usize, value: Value) -> Vec<Lit> {
        let Valued::Measured(measured) = &self.values[slot] else { return Vec::new() };
        let Some((low, high)) = value.low().zip(value.high()) else { return Vec::new() };
        let (low, high) = if measured.turned { (-high, -low) } else { (low, high) };
        let number = &self.numbers[measured.number];
        number.said(Which::Low, low).chain(number.said(Which::High, high)).collect()
    }

    /// Everything that is true of a visit in which the last case of the formula is wrong, with what it follows from: learnt.
    /// `unsure` stands before what is only taken to follow. Gives how much was learnt.
    pub(super) fn learn(
        &mut self,
        answers: &Answers,
        judged: &Judged,
        unsure: Lit,
        relevant: &BTreeSet<usize>,
    ) -> usize {
        let slots = self.content.slots;
        let mut learnt = 0;
        for slot in slots.facts..slots.defined {
            let at = slot - slots.facts;
            let fact = &FACTS[at];
            let value = judged.values[slot];
            let turned = matches!(&self.values[slot], Valued::Measured(Measured { turned: true, .. }));
            if turned || !relevant.contains(&slot) {
                continue;
            }
            let status = self.wrong(&self.status_of(slot, value, &judged.site));
            let cells = self.wrong(&self.cells_of(slot, value));
            if !status.is_empty() {
                let mut guard = self.guard(&[at], answers, judged);
                let numbered = self.has_numbers(fact, answers, judged);
                match fact.kind {
                    FactKind::End | FactKind::Number | FactKind::Slope if numbered => {
                        self.add_heights(fact, answers, judged, &mut guard);
                        guard.push(unsure);
                    }
                    FactKind::YesNo if numbered && fact.id != FactId::ExitBuried => {
                        self.add_heights(fact, answers, judged, &mut guard);
                        guard.push(unsure);
                    }
                    // follows from where the exit stands over the finish, which is tied to it
                    FactKind::YesNo if fact.id == FactId::ExitBuried => {
                        let height = self.content.fact_slot(FactId::ExitAboveFinish);
                        guard.extend(self.status_of(height, judged.values[height], &judged.site));
                        guard.extend(self.cells_of(height, judged.values[height]));
                    }
                    // along a wall whether two heights can be compared hangs on the numbers too: lines that are level say nothing
                    _ if judged.site.slopes() || !judged.site.openings.is_empty() => guard.push(unsure),
                    _ => {}
                }
                learnt += self.add(&guard, unsure, &status);
            }
            if !cells.is_empty() && status.is_empty() {
                // a number that does not follow evenly from the answers
                let mut guard = self.guard(&[at], answers, judged);
                self.add_heights(fact, answers, judged, &mut guard);
                guard.push(unsure);
                learnt += self.add(&guard, unsure, &cells);
            }
        }
        learnt + self.learn_rest(answers, judged, unsure, relevant)
    }

    /// The slots that these statements speak of.
    pub(super) fn spoken_of(&self, lits: &[Lit]) -> BTreeSet<usize> {
        let said: HashSet<Lit> = lits.iter().flat_map(|lit| [*lit, !*lit]).collect();
        let slots = self.content.slots;
        let after = slots.after..slots.after + crate::content::AFTER_LIMITS.len();
        (slots.facts..slots.defined)
            .chain(after)
            .filter(|slot| match &self.values[*slot] {
                Valued::Bits { known, absent, bits } => {
                    said.contains(known) || said.contains(absent) || bits.iter().any(|bit| said.contains(bit))
                }
                Valued::Measured(m) => {
                    let ends = [Which::Low, Which::High].into_iter();
                    let mut cuts = ends.flat_map(|end| self.numbers[m.number].cuts(end));
                    [m.known, m.absent, m.taped, m.low_open, m.high_open].iter().any(|lit| said.contains(lit))
                        || cuts.any(|cut| said.contains(&cut))
                }
            })
            .collect()
    }

    /// What is no fact of its own: held water, what the tape leaves open, falls near a figure, what follows from all limits.
    fn learn_rest(&mut self, answers: &Answers, judged: &Judged, unsure: Lit, relevant: &BTreeSet<usize>) -> usize {
        let content = self.content;
        let mut learnt = 0;
        let traces: Vec<usize> = (0..FACTS.len()).filter(|at| FACTS[*at].id.is_trace()).collect();
        let held = judged.site.held();
        let wanted = match held {
            Truth::Yes => vec![self.held.yes],
            Truth::No => vec![self.held.no],
            Truth::Unknown => vec![!self.held.yes, !self.held.no],
        };
        let wrong = self.wrong(&wanted);
        if !wrong.is_empty() {
            let mut guard = self.guard(&traces, answers, judged);
            self.add_heights(&FACTS[traces[0]], answers, judged, &mut guard);
            guard.push(unsure);
            learnt += self.add(&guard, unsure, &wrong);
        }
        let door = content.fact_slot(FactId::TraceHeldAtDoor);
        let taped = Slot::try_from(door).is_ok_and(|s| content.left_open_by_tape(s, &judged.site, &judged.values));
        let wrong = self.wrong(&[if taped { self.door_taped } else { !self.door_taped }]);
        if !wrong.is_empty() {
            let mut guard = self.guard(&traces, answers, judged);
            self.add_heights(&FACTS[traces[0]], answers, judged, &mut guard);
            guard.push(unsure);
            learnt += self.add(&guard, unsure, &wrong);
        }
        let falls: Vec<(usize, [Lit; 2])> = self.near_fall.iter().map(|(at, lits)| (*at, *lits)).collect();
        for (at, [met, close]) in falls {
            let limit = &content.limits[at];
            let value = judged.values[usize::from(limit.measure)];
            let Some((low, high)) = value.low().zip(value.high()) else { continue };
            if judge(limit.sense, limit.bound, low, high) != Status::Fails || judged.clearances[at].applies == Truth::No
            {
                continue;
            }
            let status = judged.clearances[at].status;
            let said = [
                if status == Status::Passes { met } else { !met },
                if status == Status::Close { close } else { !close },
            ];
            let wrong = self.wrong(&said);
            if !wrong.is_empty() {
                let fact = FactId::FallAway;
                let mut guard = self.guard(&[fact as usize], answers, judged);
                guard.extend(self.cells_of(content.fact_slot(fact), value));
                guard.push(unsure);
                learnt += self.add(&guard, unsure, &wrong);
            }
        }
        for slot in content.slots.after..content.slots.after + crate::content::AFTER_LIMITS.len() {
            if !relevant.contains(&slot) {
                continue;
            }
            let mut said = self.status_of(slot, judged.values[slot], &judged.site);
            said.extend(self.cells_of(slot, judged.values[slot]));
            let wrong = self.wrong(&said);
            if !wrong.is_empty() {
                let mut guard = vec![unsure];
                for question in 0..content.flow.questions.len() {
                    self.said_of(question, answers, &judged.state, &mut guard);
                }
                self.add_heights(&FACTS[0], answers, judged, &mut guard);
                learnt += self.add(&guard, unsure, &wrong);
            }
        }
        learnt
    }

    /// Those statements that do not hold in the last case.
    fn wrong(&self, said: &[Lit]) -> Vec<Lit> {
        said.iter().copied().filter(|lit| self.sat.told(*lit) == Some(false)).collect()
    }

    /// The statements that say everything of a visit.
    pub(super) fn said_by(&self, answers: &Answers, judged: &Judged) -> Vec<Lit> {
        let mut said = Vec::new();
        for question in 0..self.questions.len() {
            self.said_of(question, answers, &judged.state, &mut said);
            if let (true, Some(number), Some(n)) = (
                judged.state.shown[question].is_yes(),
                self.questions[question].number,
                answers.get(question).and_then(|a| a.value().known()),
            ) {
                said.extend(self.numbers[number].said(Which::Low, n));
            }
        }
        let slots = self.content.slots;
        let after = slots.after..slots.after + crate::content::AFTER_LIMITS.len();
        for slot in (slots.facts..slots.defined).chain(after) {
            said.extend(self.status_of(slot, judged.values[slot], &judged.site));
            said.extend(self.cells_of(slot, judged.values[slot]));
        }
        match judged.site.held() {
            Truth::Yes => said.push(self.held.yes),
            Truth::No => said.push(self.held.no),
            Truth::Unknown => said.extend([!self.held.yes, !self.held.no]),
        }
        let door = self.content.fact_slot(FactId::TraceHeldAtDoor);
        let taped = Slot::try_from(door).is_ok_and(|s| self.content.left_open_by_tape(s, &judged.site, &judged.values));
        said.push(if taped { self.door_taped } else { !self.door_taped });
        said
    }

    /// The statements of a visit as far as they are simple, for a case that is like it.
    pub(super) fn like(&self, answers: &Answers, shapes: &Shapes<'_>) -> Vec<Lit> {
        let content = self.content;
        let (site, facts) = shapes.probe.facts(answers);
        let state = content.flow.state(answers);
        let mut said = Vec::new();
        let sign = |lit: Lit, yes: bool| if yes { lit } else { !lit };
        for (at, posed) in self.questions.iter().enumerate() {
            let value = state.values[at].known();
            said.push(sign(posed.not_sure, value.is_none()));
            match (value, posed.number) {
                (Some(n), Some(number)) => said.extend(self.numbers[number].all_said(Which::Low, n)),
                (value, None) => {
                    let set = value.unwrap_or(0);
                    said.extend(posed.bits.iter().enumerate().map(|(bit, lit)| sign(*lit, set & (1 << bit) != 0)));
                }
                (None, Some(_)) => {}
            }
        }
        for (slot, value) in (content.slots.facts..).zip(facts) {
            match &self.values[slot] {
                Valued::Bits { known, absent, bits } => {
                    let set = value.known();
                    said.extend([sign(*known, set.is_some()), sign(*absent, value == Value::Absent)]);
                    let set = set.unwrap_or(0);
                    said.extend(bits.iter().enumerate().map(|(bit, lit)| sign(*lit, set & (1 << bit) != 0)));
                }
                Valued::Measured(measured) if !measured.turned => {
                    said.extend(self.status_of(slot, value, &site));
                    if let Some((low, high)) = value.low().zip(value.high()) {
                        let number = &self.numbers[measured.number];
                        said.extend(number.all_said(Which::Low, low).chain(number.all_said(Which::High, high)));
                    } else {
                        said.extend([measured.taped, measured.low_open, measured.high_open].map(|lit| !lit));
                    }
                }
                Valued::Measured(_) => {}
            }
        }
        let held = site.held();
        said.extend([sign(self.held.yes, held.is_yes()), sign(self.held.no, !held.is_possible())]);
        said
    }

    fn add(&mut self, guard: &[Lit], unsure: Lit, said: &[Lit]) -> usize {
        let mut clause: Vec<Lit> = guard.iter().map(|lit| !*lit).collect();
        let only_taken = guard.contains(&unsure);
        for lit in said {
            clause.push(*lit);
            if only_taken {
                self.sat.clause_for_now(&clause);
            } else {
                self.sat.clause_for(&clause, &[*lit]);
            }
            clause.pop();
        }
        said.len()
    }

    fn has_numbers(&self, fact: &Fact, answers: &Answers, judged: &Judged) -> bool {
        let shown = |q: &usize| judged.state.shown[*q].is_yes();
        let lists = |q: usize| matches!(answers.get(q), Some(Answer::Profile(_) | Answer::Places(_)));
        let number =
            |q: usize| answers.get(q).is_some_and(|a| *a != Answer::NotSure) && self.questions[q].number.is_some();
        self.rests(fact, &judged.site).into_iter().filter(shown).any(|q| number(q) || lists(q))
    }

    /// The statements that say where all heights lie, and the numbers that a fact rests on.
    fn add_heights(&self, fact: &Fact, answers: &Answers, judged: &Judged, guard: &mut Vec<Lit>) {
        for other in FACTS.iter().filter(|f| matches!(f.kind, FactKind::Height(..))) {
            let slot = self.content.fact_slot(other.id);
            guard.extend(self.cells_of(slot, judged.values[slot]));
        }
        for question in self.rests(fact, &judged.site) {
            if let (Some(number), Some(n)) =
                (self.questions[question].number, answers.get(question).and_then(|a| a.value().known()))
            {
                guard.extend(self.numbers[number].said(Which::Low, n));
            }
        }
        guard.sort_unstable();
        guard.dedup();
    }

    /// Other numbers for a draft, so that the facts lie where the formula wants them. True if they were changed; what stands
    /// against it is learnt.
    pub(super) fn fit_numbers(
        &mut self,
        draft: &mut Draft,
        judged: &Judged,
        shapes: &mut Shapes<'_>,
        unsure: Lit,
        relevant: &BTreeSet<usize>,
        needed: &HashSet<Lit>,
    ) -> bool {
        let content = self.content;
        let Shapes { probe, known } = shapes;
        let shape = known.entry(self.kind_of(draft)).or_insert_with(|| self.shape_of(draft, judged));
        if shape.numbers.is_empty() {
            return false;
        }
        let start: Vec<i64> = shape
            .numbers
            .iter()
            .map(|(q, _)| draft.answers.get(*q).and_then(|a| a.value().known()).unwrap_or_default())
            .collect();
        let variables: Vec<Bounded<Lit>> = shape
            .numbers
            .iter()
            .map(|(q, _)| {
                let cell = self.questions[*q].number.map(|number| self.numbers[number].needed(Which::Low, needed));
                let least = cell.map_or(i64::MIN, |c| c.least()).max(-WIDE);
                let most = cell.map_or(i64::MAX, |c| c.most()).min(WIDE);
                Bounded {
                    least: Some((least, cell.and_then(|c| c.from).map(|(_, lit)| lit))),
                    most: Some((most, cell.and_then(|c| c.to).map(|(_, lit)| lit))),
                }
            })
            .collect();
        let slots = content.slots;
        let mut sums: Vec<Sum<Lit>> = Vec::new();
        for slot in relevant.range(slots.facts..slots.defined) {
            let fact = slot - slots.facts;
            let Valued::Measured(measured @ Measured { turned: false, .. }) = &self.values[*slot] else { continue };
            if !is_straight(&FACTS[fact]) || !self.sat.holds(measured.known) {
                continue;
            }
            let rests = self.rests(&FACTS[fact], &judged.site);
            for end in [Which::Low, Which::High] {
                let cell = self.numbers[measured.number].needed(end, needed);
                if cell.from.is_none() && cell.to.is_none() {
                    continue;
                }
                let Some(even) = shape.end(fact, end, &rests, content, probe) else { continue };
                let moved = |bound: Option<(i64, Lit)>| bound.map(|(n, lit)| (n - even.constant, Some(lit)));
                let bounds = Bounded { least: moved(cell.from), most: moved(cell.to) };
                sums.push(Sum { terms: even.terms, bounds, from: fact });
            }
        }
        match fit(&start, &variables, &sums) {
            Ok(Some(found)) => {
                let changed = found != start;
                for ((question, _), n) in shape.numbers.iter().zip(found) {
                    draft.answers.set(*question, number_answer(content.flow.questions[*question].kind, n));
                }
                changed
            }
            Ok(None) => false,
            Err(Conflict { why, mut rows }) => {
                rows.sort_unstable();
                rows.dedup();
                let mut guard = self.guard(&rows, &draft.answers, judged);
                guard.extend(&why);
                if judged.site.slopes() || !judged.site.openings.is_empty() {
                    // what counts there is the closest of several places, and another may take over
                    guard.push(unsure);
                }
                let clause: Vec<Lit> = guard.into_iter().map(|lit| !lit).collect();
                self.sat.clause_for(&clause, &why);
                false
            }
        }
    }

    /// How far the facts of a visit lie from where the formula wants them, those of these slots together.
    fn far(&self, value_of: impl Fn(usize) -> Value, relevant: &BTreeSet<usize>, needed: &HashSet<Lit>) -> i128 {
        let mut far = 0;
        for slot in relevant {
            let (Valued::Measured(measured @ Measured { turned: false, .. }), value) =
                (&self.values[*slot], value_of(*slot))
            else {
                continue;
            };
            let Some((low, high)) = value.low().zip(value.high()).filter(|_| self.sat.holds(measured.known)) else {
                continue;
            };
            for (end, n) in [(Which::Low, low), (Which::High, high)] {
                if n.abs() < FAR {
                    let cell = self.numbers[measured.number].needed(end, needed);
                    let off = (i128::from(cell.least()) - i128::from(n)).max(i128::from(n) - i128::from(cell.most()));
                    far += off.max(0);
                }
            }
        }
        far
    }

    /// Numbers for facts that do not follow evenly: one answer after the other is moved to where the facts come nearer. True if they
    /// fit then.
    pub(super) fn fit_uneven(
        &self,
        draft: &mut Draft,
        judged: &Judged,
        shapes: &Shapes<'_>,
        relevant: &BTreeSet<usize>,
        needed: &HashSet<Lit>,
    ) -> bool {
        let content = self.content;
        let mut far = self.far(|slot| judged.values[slot], relevant, needed);
        if far == 0 {
            return false;
        }
        let slots = content.slots;
        // what follows from the limits needs all of them
        let all = relevant.range(slots.after..).next().is_some();
        let away = |answers: &Answers| {
            if all {
                let values = content.judge(answers, content.flow.state(answers)).values;
                self.far(|slot| values[slot], relevant, needed)
            } else {
                let (_, facts) = shapes.probe.facts(answers);
                self.far(|slot| facts[slot - slots.facts], relevant, needed)
            }
        };
        let behind: BTreeSet<usize> = relevant
            .iter()
            .filter_map(|slot| FACTS.get(slot.checked_sub(content.slots.facts)?))
            .flat_map(|fact| self.rests(fact, &judged.site))
            .collect();
        let free: Vec<(usize, i64, i64)> = draft
            .numbers
            .iter()
            .filter(|(q, _)| behind.contains(q))
            .filter_map(|(q, _)| {
                let cell = self.numbers[self.questions[*q].number?].needed(Which::Low, needed);
                let bounds = content.flow.questions[*q].bounds;
                let (least, most) = bounds.map_or((-WIDE, WIDE), |b| (b.least.max(-WIDE), b.most.min(WIDE)));
                Some((*q, cell.least().max(least), cell.most().min(most)))
            })
            .collect();
        for _ in 0..PASSES {
            let before = far;
            for (q, least, most) in &free {
                if far == 0 {
                    return true;
                }
                let kind = content.flow.questions[*q].kind;
                let now = draft.answers.get(*q).and_then(|a| a.value().known()).unwrap_or_default();
                let at = |n: i64, draft: &mut Draft| {
                    draft.answers.set(*q, number_answer(kind, n));
                    away(&draft.answers)
                };
                let mut best = (far, now);
                for way in [STEP / 64, -STEP / 64] {
                    let next = (now + way).clamp(*least, *most);
                    if next == now {
                        continue;
                    }
                    let there = at(next, draft);
                    if there >= far {
                        continue;
                    }
                    best = best.min((there, next));
                    // straight on to where it would be none
                    let by = i128::from(next - now) * far / (far - there);
                    let aim = i128::from(now) + by;
                    let aim = i64::try_from(aim).unwrap_or(if by > 0 { *most } else { *least }).clamp(*least, *most);
                    for n in [aim, aim + way.signum(), aim - way.signum()] {
                        let n = n.clamp(*least, *most);
                        best = best.min((at(n, draft), n));
                    }
                }
                for n in [*least, *most] {
                    if best.0 > 0 {
                        best = best.min((at(n, draft), n));
                    }
                }
                draft.answers.set(*q, number_answer(kind, best.1));
                far = best.0;
            }
            if far == 0 || far == before {
                break;
            }
        }
        far == 0
    }

    /// What a draft has in common with others of its kind: all choices, and which numbers are given.
    fn kind_of(&self, draft: &Draft) -> Vec<i64> {
        (0..self.questions.len())
            .map(|question| {
                let answer = draft.answers.get(question);
                let number = self.questions[question].number.is_some();
                match answer {
                    None | Some(Answer::NotSure) => -1,
                    Some(_) if number => -2,
                    Some(answer) => answer.value().known().unwrap_or(-3),
                }
            })
            .collect()
    }

    /// How the facts follow from the numbers for visits with these choices.
    fn shape_of(&self, draft: &Draft, judged: &Judged) -> Shape {
        let slots = self.content.slots;
        let shown = draft.numbers.iter().map(|(q, _)| *q).filter(|q| judged.state.shown[*q].is_yes());
        let given = |q: usize| draft.answers.get(q).and_then(|a| a.value().known()).unwrap_or_default();
        let numbers: Vec<(usize, i64)> = shown.map(|q| (q, given(q))).collect();
        let facts = judged.values[slots.facts..slots.defined].to_vec();
        Shape { answers: draft.answers.clone(), facts, moved: vec![None; numbers.len()], numbers }
    }
}

/// Whether a fact may change evenly with the answers everywhere: the larger of several differences does so only for a while.
fn is_straight(fact: &Fact) -> bool {
    matches!(fact.kind, FactKind::Height(..) | FactKind::OverFinish | FactKind::Length)
        && fact.id != FactId::MeasureConflict
}

/// How often all answers are moved.
const PASSES: usize = 3;

/// How far a number is moved to see whether a fact follows evenly: two inches in steps.
const STEP: i64 = 16_256;

/// Beyond what anybody measures at a house, in steps: a mile.
const WIDE: i64 = 1 << 29;
