//! The content as a formula: what follows from all answers and facts at once, in three-valued logic.
//!
//! Answers and facts are free here, but for what is true of every visit: a question that is hidden has no answer, a fact has one
//! value, some facts follow from others. All that rules make of them is exact. So what the formula forbids never happens; what
//! it allows may still be impossible, and is tried out on a real visit ([`super::search`]).

use super::numbers::{CutNumber, Which};
use crate::content::{Content, Guard, Promise, Verdict};
use crate::flow::{Clause, Condition, QuestionKind, Slot, Test};
use crate::names::QuestionId;
use crate::site::{FACTS, FactId, FactKind};
use crate::solve::{Kleene, Lit, Sat};
use crate::wall::{DERIVED_READINGS, Level, Sense, Status};
use crate::water::ENDS;
use std::collections::{BTreeMap, HashMap};

/// A condition as statements.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stated {
    /// Whether it holds.
    pub(super) truth: Kleene,
    /// Where it is unknown: whether nothing but the error of a tape keeps it from being known.
    pub(super) tape: Lit,
}

/// The value of a name as statements.
#[derive(Debug, Clone)]
pub(super) enum Valued {
    /// Some of these bits.
    Bits {
        /// It has a value.
        known: Lit,
        /// It certainly has none.
        absent: Lit,
        /// Which.
        bits: Vec<Lit>,
    },
    /// A number.
    Measured(Measured),
}

/// A number as statements.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measured {
    /// It has a value.
    pub(super) known: Lit,
    /// It certainly has none.
    pub(super) absent: Lit,
    /// It is known from both sides, and nowhere else along the wall otherwise.
    pub(super) taped: Lit,
    /// Nothing bounds it from below.
    pub(super) low_open: Lit,
    /// Nothing bounds it from above.
    pub(super) high_open: Lit,
    /// The place in [`Theory::numbers`].
    pub(super) number: usize,
    /// Whether it is that number with its sign turned.
    pub(super) turned: bool,
}

/// A question as statements.
#[derive(Debug, Clone)]
pub(super) struct Posed {
    /// Whether it is shown.
    pub(super) shown: Kleene,
    /// Nobody is sure, or it was not answered.
    pub(super) not_sure: Lit,
    /// What was chosen, if it is answered.
    pub(super) bits: Vec<Lit>,
    /// The number that was given.
    pub(super) number: Option<usize>,
}

/// A limit as statements.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limited {
    /// Whether it applies.
    pub(super) applies: Kleene,
    /// By [`Status`]; exactly one holds.
    pub(super) status: [Lit; 5],
    /// Whether it is broken.
    pub(super) breaks: Kleene,
}

/// The whole content as a formula.
#[derive(Debug)]
pub(super) struct Theory<'c> {
    pub(super) content: &'c Content,
    pub(super) sat: Sat,
    pub(super) questions: Vec<Posed>,
    pub(super) numbers: Vec<CutNumber>,
    /// By slot.
    pub(super) values: Vec<Valued>,
    /// Whether a drop from anywhere is held or ends on wood.
    pub(super) held: Kleene,
    /// What keeps the way of a door's water from being known is the tape.
    pub(super) door_taped: Lit,
    /// Of a fall that misses a figure: whether it is met all the same, or too close to call, by limit.
    pub(super) near_fall: BTreeMap<usize, [Lit; 2]>,
    pub(super) limits: Vec<Limited>,
    pub(super) findings: Vec<Kleene>,
    /// By [`Verdict`].
    pub(super) verdict: [Lit; 4],
    /// By rule with a verdict, limits first: that it holds, and that it is unknown.
    pub(super) ruled: Vec<[Lit; 2]>,
    stated: HashMap<Slot, Stated>,
}

impl<'c> Theory<'c> {
    /// Builds the formula; the solver holds what is asked for.
    pub(super) fn new(content: &'c Content) -> Theory<'c> {
        Theory::posed(content, Sat::in_parts()).told_of()
    }

    /// Builds the formula, all of which the solver holds.
    pub(super) fn whole(content: &'c Content) -> Theory<'c> {
        Theory::posed(content, Sat::new()).told_of()
    }

    fn told_of(mut self) -> Self {
        self.follow();
        self.tell();
        self
    }

    /// The questions alone.
    pub(super) fn posed(content: &'c Content, sat: Sat) -> Theory<'c> {
        let yes = sat.yes();
        let mut formula = Theory {
            content,
            sat,
            questions: Vec::new(),
            numbers: Vec::new(),
            values: Vec::new(),
            held: Kleene { yes: !yes, no: yes },
            door_taped: !yes,
            near_fall: BTreeMap::new(),
            limits: Vec::new(),
            findings: Vec::new(),
            verdict: [yes; 4],
            ruled: Vec::new(),
            stated: HashMap::new(),
        };
        formula.pose();
        formula
    }

    /// Facts, and all that follows from them.
    pub(super) fn follow(&mut self) {
        self.state_facts();
        self.tie_facts();
        self.state_heights();
        self.define();
        self.limit();
        self.count_failed();
        self.find();
        self.settle();
    }

    /// The conditions of defined facts, while facts are stated once more.
    pub(super) fn take_stated(&mut self) -> HashMap<Slot, Stated> {
        std::mem::take(&mut self.stated)
    }

    pub(super) fn put_stated(&mut self, stated: HashMap<Slot, Stated>) {
        self.stated = stated;
    }

    /// In how many ways all questions can be answered, as a power of ten: numbers by the stretches that rules tell apart.
    pub(super) fn ways(&self) -> f64 {
        let of = |(question, posed): (&crate::flow::Question, &Posed)| {
            #[allow(clippy::cast_precision_loss)] // some hundreds
            let count = |n: usize| n as f64;
            match (question.kind, posed.number) {
                (_, Some(number)) => (count(self.numbers[number].figures().len()) + 2.0).log10(),
                (QuestionKind::SeveralOf | QuestionKind::Places, None) => {
                    (count(posed.bits.len()).exp2() + 1.0).log10()
                }
                (_, None) => (count(posed.bits.len()) + 1.0).log10(),
            }
        };
        self.content.flow.questions.iter().zip(&self.questions).map(of).sum()
    }

    fn fresh(&mut self) -> Lit {
        self.sat.fresh()
    }

    /// Questions: hidden, shown, answered.
    fn pose(&mut self) {
        for question in &self.content.flow.questions {
            let shown = self.state(&question.visible).truth;
            let not_sure = self.sat.free();
            let count = match question.kind {
                QuestionKind::OneOf | QuestionKind::SeveralOf | QuestionKind::Places => question.choices.len(),
                // no before yes: the bits of their values
                QuestionKind::YesNo => 2,
                QuestionKind::Text | QuestionKind::Profile => 1,
                QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => 0,
            };
            let bits: Vec<Lit> = (0..count).map(|_| self.sat.free()).collect();
            match question.kind {
                QuestionKind::OneOf | QuestionKind::YesNo | QuestionKind::Text | QuestionKind::Profile => {
                    let mut one = bits.clone();
                    one.push(not_sure);
                    self.sat.one_of(&one);
                }
                _ => {}
            }
            let known = self.sat.all(&[shown.yes, !not_sure]);
            let number = (count == 0).then(|| {
                let (least, most) = question.bounds.map_or((i64::MIN, i64::MAX), |b| (b.least, b.most));
                self.numbers.push(CutNumber::exact(least, most));
                self.numbers.len() - 1
            });
            let absent = shown.no;
            let no = !self.sat.yes();
            self.values.push(match number {
                None => Valued::Bits { known, absent, bits: bits.clone() },
                Some(number) => Valued::Measured(Measured {
                    known,
                    absent,
                    taped: no,
                    low_open: no,
                    high_open: no,
                    number,
                    turned: false,
                }),
            });
            self.questions.push(Posed { shown, not_sure, bits, number });
        }
    }

    /// Facts: free, each with one value at most.
    fn state_facts(&mut self) {
        let exits = self.content.catalog.exit_kinds.len();
        for fact in FACTS {
            let turned = turned_of(fact.id).map(|other| self.values[self.content.fact_slot(other)].clone());
            if let Some(Valued::Measured(other)) = turned {
                let turned = Measured { turned: true, low_open: other.high_open, high_open: other.low_open, ..other };
                self.values.push(Valued::Measured(turned));
                continue;
            }
            let (known, absent) = (self.fresh(), self.fresh());
            self.sat.clause(&[!known, !absent]);
            let bits = match fact.kind {
                FactKind::YesNo => Some(2),
                FactKind::End => Some(ENDS.len()),
                FactKind::ExitKind => Some(exits),
                FactKind::Height(..) | FactKind::OverFinish | FactKind::Length | FactKind::Slope | FactKind::Number => {
                    None
                }
            };
            let valued = if let Some(count) = bits {
                let bits: Vec<Lit> = (0..count).map(|_| self.fresh()).collect();
                self.sat.not_two_of(&bits);
                let mut some = bits.clone();
                some.push(!known);
                self.sat.clause(&some);
                for bit in &bits {
                    self.sat.clause(&[!*bit, known]);
                }
                Valued::Bits { known, absent, bits }
            } else {
                let (taped, low_open, high_open) = (self.fresh(), self.fresh(), self.fresh());
                self.sat.clause(&[!taped, known]);
                self.sat.clause(&[!taped, !low_open]);
                self.sat.clause(&[!taped, !high_open]);
                self.sat.clause(&[!low_open, known]);
                self.sat.clause(&[!high_open, known]);
                self.numbers.push(CutNumber::ranged());
                let number = self.numbers.len() - 1;
                Valued::Measured(Measured { known, absent, taped, low_open, high_open, number, turned: false })
            };
            self.values.push(valued);
        }
        let (yes, no) = (self.fresh(), self.fresh());
        self.sat.clause(&[!yes, !no]);
        self.held = Kleene { yes, no };
        self.door_taped = self.fresh();
    }

    fn bits_of(&self, id: FactId) -> (Lit, Lit, Vec<Lit>) {
        match &self.values[self.content.fact_slot(id)] {
            Valued::Bits { known, absent, bits } => (*known, *absent, bits.clone()),
            Valued::Measured(number) => (number.known, number.absent, Vec::new()),
        }
    }

    /// What is true of facts together, whatever is answered.
    fn tie_facts(&mut self) {
        // the surface covers the exit where it is not below it
        let (_, buried_absent, buried) = self.bits_of(FactId::ExitBuried);
        if let (Valued::Measured(height), [no, yes]) =
            (self.values[self.content.fact_slot(FactId::ExitAboveFinish)].clone(), buried.as_slice())
        {
            let above = self.end_at_least(&height, Which::Low, 1);
            let maybe = self.end_at_least(&height, Which::High, 1);
            let clear = self.sat.all(&[height.known, above]);
            let covered = self.sat.all(&[height.known, !maybe]);
            self.sat.clause(&[!height.absent, buried_absent]);
            self.sat.clause(&[height.absent, !buried_absent]);
            self.sat.clause(&[!clear, *no]);
            self.sat.clause(&[clear, !*no]);
            self.sat.clause(&[!covered, *yes]);
            // where nobody can see it, only what hides it tells
            let hidden = self.surely_hidden();
            self.sat.clause(&[!*yes, covered, hidden]);
            self.sat.clause(&[!hidden, buried_absent, clear, *yes]);
        }
        // what the traces say together
        let held: Vec<usize> = ENDS.iter().enumerate().filter(|(_, (end, _))| end.is_held()).map(|(i, _)| i).collect();
        let bad: Vec<usize> = ENDS
            .iter()
            .enumerate()
            .filter(|(_, (e, _))| e.is_held() || *e == crate::water::End::OnWood)
            .map(|(i, _)| i)
            .collect();
        let stays: Vec<usize> =
            ENDS.iter().enumerate().filter(|(_, (e, _))| !e.leaves_wall()).map(|(i, _)| i).collect();
        let behind = [FactId::TraceBehind, FactId::TraceChannel];
        let on_wall = [FactId::TraceFace, FactId::TraceBehind, FactId::TraceDoorHead, FactId::TraceChannel];
        let all: Vec<FactId> = FACTS.iter().filter(|f| f.kind == FactKind::End).map(|f| f.id).collect();
        let (_, absent, bits) = self.bits_of(FactId::TraceHeldBehind);
        self.tie_any(&behind, &held, Kleene { yes: bits[1], no: bits[0] });
        self.sat.clause(&[!absent]);
        let (_, absent, bits) = self.bits_of(FactId::TraceHeldAtDoor);
        self.tie_any(&[FactId::TraceDoorHead], &held, Kleene { yes: bits[1], no: bits[0] });
        self.sat.clause(&[!absent]);
        let (_, absent, bits) = self.bits_of(FactId::TraceOutside);
        self.tie_any(&on_wall, &stays, Kleene { yes: bits[0], no: bits[1] });
        self.sat.clause(&[!absent]);
        let all_held = self.held;
        self.tie_any(&all, &bad, all_held);
        for id in [FactId::TraceHeldBehind, FactId::TraceHeldAtDoor] {
            let (_, _, bits) = self.bits_of(id);
            self.sat.clause(&[!bits[1], all_held.yes]);
            self.sat.clause(&[!all_held.no, bits[0]]);
        }
        if let Valued::Measured(conflict) = self.values[self.content.fact_slot(FactId::MeasureConflict)].clone() {
            // it is none where nothing was measured twice
            self.sat.clause(&[conflict.known]);
            let negative = self.end_at_least(&conflict, Which::Low, 0);
            self.sat.clause(&[negative]);
        }
    }

    /// A statement that holds where one of these traces ends so, and does not where all are known to end otherwise.
    fn tie_any(&mut self, traces: &[FactId], ends: &[usize], any: Kleene) {
        let mut none = Vec::new();
        for id in traces {
            let (known, absent, bits) = self.bits_of(*id);
            let such: Vec<Lit> = ends.iter().map(|at| bits[*at]).collect();
            for end in &such {
                self.sat.clause(&[!known, !*end, any.yes]);
            }
            let other = self.sat.any(&such);
            let other = self.sat.all(&[known, !other]);
            none.push(self.sat.any(&[other, absent]));
            // one that is known to end so is not "none"
        }
        let none = self.sat.all(&none);
        self.sat.clause(&[!none, any.no]);
    }

    /// Facts that the content defines.
    fn define(&mut self) {
        for defined in &self.content.defined {
            let stated = self.state(&defined.when);
            let known = self.sat.any(&[stated.truth.yes, stated.truth.no]);
            let no = !self.sat.yes();
            if let Ok(slot) = Slot::try_from(self.values.len()) {
                self.stated.insert(slot, stated);
            }
            self.values.push(Valued::Bits { known, absent: no, bits: vec![stated.truth.no, stated.truth.yes] });
        }
    }

    /// Limits, and what follows from them.
    fn limit(&mut self) {
        let content = self.content;
        for (at, limit) in content.limits.iter().enumerate() {
            let limited = self.limited(at, limit);
            self.limits.push(limited);
        }
        let yes = self.sat.yes();
        let states: Vec<Vec<Lit>> = self.limits.iter().map(|l| l.status.to_vec()).collect();
        self.values.extend(states.into_iter().map(|bits| Valued::Bits { known: yes, absent: !yes, bits }));
        while self.values.len() < content.slots.after + crate::content::AFTER_LIMITS.len() {
            let (known, absent) = (self.fresh(), self.fresh());
            self.sat.clause(&[!known, !absent]);
            let (low_open, high_open, taped) = (!yes, !yes, !yes);
            self.numbers.push(CutNumber::ranged());
            let number = self.numbers.len() - 1;
            self.values.push(Valued::Measured(Measured {
                known,
                absent,
                taped,
                low_open,
                high_open,
                number,
                turned: false,
            }));
        }
    }

    /// What follows from all limits: how many fail.
    fn count_failed(&mut self) {
        let slot = self.content.after_slot(crate::content::AfterId::LimitsFailed);
        let Valued::Measured(failed) = self.values[slot].clone() else { return };
        let carry = self.content.limits.iter().zip(&self.limits).filter(|(l, _)| l.verdict.is_some());
        let breaks: Vec<Lit> = carry.map(|(_, l)| l.breaks.yes).collect();
        let some = self.sat.any(&breaks);
        self.sat.widen(some);
        self.sat.clause(&[failed.known]);
        for end in [Which::Low, Which::High] {
            let zero = self.end_at_least(&failed, end, 0);
            self.sat.clause(&[zero]);
            // they are counted in thousandths
            for figure in [1, 1000] {
                let one = self.end_at_least(&failed, end, figure);
                self.sat.clause(&[!one, some]);
                self.sat.clause(&[one, !some]);
            }
        }
    }

    /// In one of these regions; everywhere for none.
    fn in_regions(&mut self, regions: i64) -> Lit {
        if regions == 0 {
            return self.sat.yes();
        }
        let here = &self.questions[self.content.catalog.names.at(QuestionId::Region)];
        let (answered, bits) = (!here.not_sure, here.bits.clone());
        let bits: Vec<Lit> =
            bits.into_iter().enumerate().filter(|(i, _)| regions & (1 << i) != 0).map(|(_, b)| b).collect();
        let one = self.sat.any(&bits);
        self.sat.all(&[answered, one])
    }

    fn limited(&mut self, at: usize, limit: &crate::content::Limit) -> Limited {
        let here = self.in_regions(limit.regions);
        let when = self.state(&limit.when);
        let close_counts = limit.verdict == Some(Verdict::ChangePlan);
        let only_tape = self.only_tape(when);
        let mut applies =
            Kleene { yes: self.sat.all(&[here, when.truth.yes]), no: self.sat.any(&[!here, when.truth.no]) };
        if close_counts {
            let taped = self.sat.all(&[here, only_tape]);
            applies.yes = self.sat.any(&[applies.yes, taped]);
        }
        let Some(Valued::Measured(measure)) = self.values.get(usize::from(limit.measure)).cloned() else {
            let (yes, no) = (self.sat.yes(), !self.sat.yes());
            return Limited {
                applies: Kleene { yes: no, no: yes },
                status: [no, no, no, no, yes],
                breaks: Kleene { yes: no, no: yes },
            };
        };
        // a measure that does not exist takes the limit off
        applies = Kleene {
            yes: self.sat.all(&[applies.yes, !measure.absent]),
            no: self.sat.any(&[applies.no, measure.absent]),
        };
        let (mut passes, mut fails) = match limit.sense {
            Sense::AtLeast => {
                let low = self.end_at_least(&measure, Which::Low, limit.bound);
                let high = self.end_at_least(&measure, Which::High, limit.bound);
                (low, !high)
            }
            Sense::AtMost => {
                let low = self.end_at_least(&measure, Which::Low, limit.bound + 1);
                let high = self.end_at_least(&measure, Which::High, limit.bound + 1);
                (!high, low)
            }
        };
        let mut near = !self.sat.yes();
        if usize::from(limit.measure) == self.content.fact_slot(FactId::FallAway) {
            let (met, close) = (self.fresh(), self.fresh());
            self.sat.clause(&[!met, !close]);
            self.near_fall.insert(at, [met, close]);
            let met = self.sat.all(&[fails, met]);
            near = self.sat.all(&[fails, close]);
            passes = self.sat.any(&[passes, met]);
            fails = self.sat.all(&[fails, !met, !near]);
        }
        let off = applies.no;
        let on = !off;
        let passes = self.sat.all(&[on, measure.known, passes]);
        let fails = self.sat.all(&[on, measure.known, fails]);
        let between = self.sat.all(&[on, measure.known, !passes, !fails]);
        let by_tape = if self.is_fact(limit.measure) { measure.taped } else { self.sat.yes() };
        let near = self.sat.all(&[on, measure.known, near]);
        let close = self.sat.all(&[between, by_tape]);
        let close = self.sat.any(&[close, near]);
        let unknown = self.sat.all(&[on, !passes, !fails, !close]);
        let missed = self.sat.any(&[fails, if close_counts { close } else { fails }]);
        let met = self.sat.any(&[passes, off]);
        let breaks = Kleene { yes: self.sat.all(&[applies.yes, missed]), no: self.sat.any(&[applies.no, met]) };
        Limited { applies, status: [passes, close, fails, unknown, off], breaks }
    }

    fn is_fact(&self, slot: Slot) -> bool {
        (self.content.slots.facts..self.content.slots.defined).contains(&usize::from(slot))
    }

    /// Findings, guards among them.
    fn find(&mut self) {
        let content = self.content;
        let mut told = Vec::new();
        for finding in &content.findings {
            let stated = self.state(&finding.when);
            let mut truth = stated.truth;
            if finding.verdict <= Some(Verdict::ChangePlan) {
                let only_tape = self.only_tape(stated);
                truth.yes = self.sat.any(&[truth.yes, only_tape]);
            }
            if finding.tells_held && finding.guard.is_none() {
                told.push(truth);
            }
            self.findings.push(truth);
        }
        let told = Kleene::any(&mut self.sat, &told);
        for (at, finding) in content.findings.iter().enumerate() {
            let truth = match finding.guard {
                None => continue,
                Some(Guard::UntoldTrace) => {
                    let held = self.held;
                    Kleene::all(&mut self.sat, &[held, !told])
                }
                Some(Guard::NoLimits) => {
                    let limits = self.in_some(QuestionId::Region, content.regions_with_limits);
                    Kleene::plain(!limits)
                }
                Some(Guard::NoRules) => {
                    let none = self.in_some(QuestionId::Cladding, content.claddings_without_rules);
                    let shown = self.questions[content.catalog.names.at(QuestionId::Cladding)].shown.yes;
                    let none = self.sat.all(&[none, shown]);
                    Kleene::plain(none)
                }
            };
            self.findings[at] = truth;
        }
    }

    /// Answered with one of these bits.
    fn in_some(&mut self, id: QuestionId, wanted: i64) -> Lit {
        let posed = &self.questions[self.content.catalog.names.at(id)];
        let (answered, bits) = (!posed.not_sure, posed.bits.clone());
        let bits: Vec<Lit> =
            bits.into_iter().enumerate().filter(|(i, _)| wanted & (1 << i) != 0).map(|(_, b)| b).collect();
        let one = self.sat.any(&bits);
        self.sat.all(&[answered, one])
    }

    /// The verdict: the worst that holds; "find out first" at least where something is unknown that carries one.
    fn settle(&mut self) {
        let rules: Vec<(Kleene, Verdict)> = self.rules();
        let held = |least: Verdict, formula: &mut Self| {
            let such: Vec<Lit> = rules.iter().filter(|(_, v)| *v >= least).map(|(k, _)| k.yes).collect();
            let any = formula.sat.any(&such);
            formula.sat.widen(any);
            any
        };
        let exterior = held(Verdict::ExteriorTradeFirst, self);
        let find = held(Verdict::FindOutFirst, self);
        let change = held(Verdict::ChangePlan, self);
        let unknown: Vec<Lit> = rules.iter().map(|(k, _)| k.unknown(&mut self.sat)).collect();
        let open = self.sat.any(&unknown);
        self.sat.widen(open);
        self.ruled = rules.iter().zip(unknown).map(|((k, _), unknown)| [k.yes, unknown]).collect();
        let find = self.sat.any(&[find, open]);
        self.verdict[Verdict::ExteriorTradeFirst as usize] = exterior;
        self.verdict[Verdict::FindOutFirst as usize] = self.sat.all(&[!exterior, find]);
        self.verdict[Verdict::ChangePlan as usize] = self.sat.all(&[!exterior, !find, change]);
        self.verdict[Verdict::GoAhead as usize] = self.sat.all(&[!exterior, !find, !change]);
    }

    /// Every rule with a verdict.
    pub(super) fn rules(&self) -> Vec<(Kleene, Verdict)> {
        let limits = self.content.limits.iter().zip(&self.limits).filter_map(|(l, s)| Some((s.breaks, l.verdict?)));
        let findings = self.content.findings.iter().zip(&self.findings).filter_map(|(f, k)| Some((*k, f.verdict?)));
        limits.chain(findings).collect()
    }

    /// The names that only promises use: the verdict, and what is told.
    fn tell(&mut self) {
        let content = self.content;
        let yes = self.sat.yes();
        while self.values.len() < content.vocabulary.len() {
            let slot = self.values.len();
            let name = content.vocabulary.name(u16::try_from(slot).unwrap_or(u16::MAX)).text.clone();
            let valued = if name == crate::content::VERDICT_NAME {
                Valued::Bits { known: yes, absent: !yes, bits: self.verdict.to_vec() }
            } else {
                let truth = self.told(&name);
                let known = self.sat.any(&[truth.yes, truth.no]);
                Valued::Bits { known, absent: !yes, bits: vec![truth.no, truth.yes] }
            };
            self.values.push(valued);
        }
    }

    /// Whether a row is told.
    fn told(&mut self, name: &str) -> Kleene {
        let content = self.content;
        let (kind, id) = name.split_once('.').unwrap_or((name, ""));
        if kind == "finding"
            && let Some(at) = content.findings.iter().position(|f| f.id == id)
        {
            return self.findings[at];
        }
        let when = match kind {
            "task" => content.tasks.iter().find(|r| r.id == id).map(|r| (&r.when, false)),
            "trade" => content.calls.iter().find(|r| r.id == id).map(|r| (&r.when, false)),
            "ask" => content.asks.iter().find(|r| r.id == id).map(|r| (&r.when, false)),
            "caution" => content.cautions.iter().find(|r| r.id == id).map(|r| (&r.when, true)),
            _ => None,
        };
        let Some((when, if_possible)) = when else { return Kleene { yes: !self.sat.yes(), no: !self.sat.yes() } };
        let printed = self.printed(when, if_possible);
        Kleene::plain(printed)
    }

    /// Whether advice with this condition is printed.
    pub(super) fn printed(&mut self, when: &Condition, if_possible: bool) -> Lit {
        let stated = self.state(when);
        if if_possible {
            return !stated.truth.no;
        }
        let only_tape = self.only_tape(stated);
        self.sat.any(&[stated.truth.yes, only_tape])
    }

    /// Whether a promise is owed, and whether it is broken.
    pub(super) fn promise(&mut self, promise: &Promise) -> (Lit, Lit) {
        let owed = self.state(&promise.when).truth;
        let allowed: Vec<Lit> =
            Verdict::ALL.into_iter().filter(|v| promise.allows(*v)).map(|v| self.verdict[v as usize]).collect();
        let allowed = self.sat.any(&allowed);
        let mut broken = vec![self.sat.all(&[owed.yes, !allowed])];
        if promise.or_unknown {
            let unknown = owed.unknown(&mut self.sat);
            let find = self.verdict[Verdict::FindOutFirst as usize];
            broken.push(self.sat.all(&[unknown, !allowed, !find]));
        }
        let begun = self.begun();
        for part in [&promise.holds, &promise.told_by].into_iter().flatten() {
            let holds = self.state(part).truth.yes;
            broken.push(self.sat.all(&[owed.yes, begun, !holds]));
        }
        let rows: Vec<Lit> = promise.not_together.iter().map(|row| self.state(row).truth.yes).collect();
        for (at, one) in rows.iter().enumerate() {
            for other in &rows[at + 1..] {
                broken.push(self.sat.all(&[owed.yes, begun, *one, *other]));
            }
        }
        (owed.yes, self.sat.any(&broken))
    }

    /// The questions that come before all others are answered: without them nothing but "find out first" is told.
    fn begun(&mut self) -> Lit {
        let first = self.content.flow.questions.iter().zip(&self.questions).filter(|(question, _)| question.first);
        let answered: Vec<Lit> = first.map(|(_, posed)| !posed.not_sure).collect();
        self.sat.all(&answered)
    }

    /// The statement that a condition is unknown and only the tape leaves it open.
    pub(super) fn only_tape(&mut self, stated: Stated) -> Lit {
        let unknown = stated.truth.unknown(&mut self.sat);
        self.sat.all(&[unknown, stated.tape])
    }

    /// A condition.
    pub(super) fn state(&mut self, condition: &Condition) -> Stated {
        self.clause(&condition.clause())
    }

    /// A part of a condition.
    pub(super) fn clause(&mut self, clause: &Clause) -> Stated {
        match clause {
            Clause::Is(slot, test) => self.test(*slot, *test),
            Clause::Not(inner) => {
                let inner = self.clause(inner);
                Stated { truth: !inner.truth, tape: inner.tape }
            }
            Clause::All(parts) => self.group(parts, true),
            Clause::Any(parts) => self.group(parts, false),
        }
    }

    fn group(&mut self, parts: &[Clause], all: bool) -> Stated {
        let parts: Vec<Stated> = parts.iter().map(|part| self.clause(part)).collect();
        let truths: Vec<Kleene> = parts.iter().map(|part| part.truth).collect();
        let truth = if all { Kleene::all(&mut self.sat, &truths) } else { Kleene::any(&mut self.sat, &truths) };
        // each part that is unknown is so by the tape
        let tape: Vec<Lit> = parts
            .iter()
            .map(|part| {
                let unknown = part.truth.unknown(&mut self.sat);
                self.sat.any(&[!unknown, part.tape])
            })
            .collect();
        Stated { truth, tape: self.sat.all(&tape) }
    }

    /// A test of one value.
    fn test(&mut self, slot: Slot, test: Test) -> Stated {
        let no = !self.sat.yes();
        let at = usize::from(slot);
        let Some(valued) = self.values.get(at).cloned() else {
            return Stated { truth: Kleene { yes: no, no }, tape: no };
        };
        let tape = self.taped(slot);
        let (known, absent) = match &valued {
            Valued::Bits { known, absent, .. } => (*known, *absent),
            Valued::Measured(measured) => (measured.known, measured.absent),
        };
        if let Test::Known(wanted) = test {
            let truth = Kleene::plain(known);
            return Stated { truth: if wanted { truth } else { !truth }, tape: no };
        }
        let (yes, fails) = match (&valued, test) {
            (Valued::Bits { bits, .. }, Test::Any(wanted)) => {
                let such: Vec<Lit> =
                    bits.iter().enumerate().filter(|(i, _)| wanted & (1 << i) != 0).map(|(_, b)| *b).collect();
                let any = self.sat.any(&such);
                (any, !any)
            }
            (Valued::Measured(measured), Test::Below(n) | Test::AtMost(n) | Test::Above(n) | Test::AtLeast(n)) => {
                let figure = if matches!(test, Test::Below(_) | Test::AtLeast(_)) { n } else { n + 1 };
                let low = self.end_at_least(measured, Which::Low, figure);
                let high = self.end_at_least(measured, Which::High, figure);
                if matches!(test, Test::Below(_) | Test::AtMost(_)) { (!high, low) } else { (low, !high) }
            }
            // a text that was given counts as one, and is only ever asked whether it is known
            _ => (no, no),
        };
        let yes = self.sat.all(&[known, yes]);
        let fails = self.sat.all(&[known, fails]);
        let truth = Kleene { yes, no: self.sat.any(&[absent, fails]) };
        Stated { truth, tape }
    }

    /// The statement that an end of a number is at least a figure; an open end is not, or is.
    pub(super) fn end_at_least(&mut self, of: &Measured, end: Which, figure: i64) -> Lit {
        let (real, figure) = match (of.turned, end) {
            (false, end) => (end, figure),
            // at least n, turned: not more than -n
            (true, Which::Low) => (Which::High, 1 - figure),
            (true, Which::High) => (Which::Low, 1 - figure),
        };
        let fresh = self.numbers[of.number].figures();
        let lit = self.numbers[of.number].at_least(real, figure, &mut self.sat);
        if of.low_open != !self.sat.yes() && !fresh.contains(&figure) {
            // both ends have a new cut
            let (low_open, high_open) =
                if of.turned { (of.high_open, of.low_open) } else { (of.low_open, of.high_open) };
            let low = self.numbers[of.number].at_least(Which::Low, figure, &mut self.sat);
            let high = self.numbers[of.number].at_least(Which::High, figure, &mut self.sat);
            self.sat.clause(&[!low_open, !low]);
            self.sat.clause(&[!high_open, high]);
            self.keep_near(of, figure);
        }
        if of.turned { !lit } else { lit }
    }

    /// What only a tape leaves open lies between two figures that are no farther apart than all readings together can be off. Over the
    /// width of a door that has a place the surface may slope besides.
    fn keep_near(&mut self, of: &Measured, figure: i64) {
        if of.taped == !self.sat.yes() {
            return;
        }
        let wide = 2 * self.content.per_reading.steps() * (MOST_READINGS + i64::from(DERIVED_READINGS));
        let places = self.questions[self.content.catalog.names.at(QuestionId::WallPlaces)].not_sure;
        for other in self.numbers[of.number].figures() {
            let (less, more) = (other.min(figure), other.max(figure));
            if more.saturating_sub(less) > wide {
                let high = self.numbers[of.number].at_least(Which::High, more, &mut self.sat);
                let low = self.numbers[of.number].at_least(Which::Low, less, &mut self.sat);
                self.sat.clause(&[!of.taped, !places, !high, low]);
            }
        }
    }

    /// The statements that nobody gave a list along the wall.
    pub(super) fn lists(&self) -> Vec<Lit> {
        let kinds = [QuestionKind::Profile, QuestionKind::Places];
        let questions = self.content.flow.questions.iter().zip(&self.questions);
        questions.filter(|(question, _)| kinds.contains(&question.kind)).map(|(_, posed)| posed.not_sure).collect()
    }

    /// Whether nothing but the tape keeps a name from being told.
    fn taped(&mut self, slot: Slot) -> Lit {
        let no = !self.sat.yes();
        let at = usize::from(slot);
        let slots = self.content.slots;
        if (slots.defined..slots.limits).contains(&at) {
            return self.stated.get(&slot).map_or(no, |stated| stated.tape);
        }
        if !(slots.facts..slots.defined).contains(&at) {
            return no;
        }
        let fact = &FACTS[at - slots.facts];
        let of = |formula: &Self, at: usize| match &formula.values[at] {
            Valued::Measured(measured) => measured.taped,
            Valued::Bits { .. } => no,
        };
        match fact.kind {
            FactKind::Height(..) | FactKind::OverFinish | FactKind::Length => of(self, at),
            _ if fact.id == FactId::TraceHeldAtDoor => self.door_taped,
            _ if fact.id == FactId::ExitBuried => of(self, self.content.fact_slot(FactId::ExitAboveFinish)),
            _ => no,
        }
    }

    /// The status of a limit.
    pub(super) fn status(&self, limit: usize, status: Status) -> Lit {
        self.limits[limit].status[status as usize]
    }
}

/// How many readings a height can rest on at most, besides one that is worth several: a chain passes each level once, and a strip was
/// measured too.
const MOST_READINGS: i64 = 6;

/// The fact that is this one with its sign turned, if it stands before it.
fn turned_of(id: FactId) -> Option<FactId> {
    let FactKind::Height(a, b) = id.fact().kind else { return None };
    let other = FACTS.iter().find(|fact| fact.kind == FactKind::Height(b, a))?;
    ((other.id as usize) < id as usize && a != Level::OldSurface).then_some(other.id)
}
