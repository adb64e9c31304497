//! The formula beside the evaluator, for tests: every real visit has to be a case of the formula, and the formula has to draw the
//! same conclusions from it.

use super::claims::{Wanted, wanted};
use super::formula::Theory;
use super::probe::FactProbe;
use super::promises::{AdviceNames, Told};
use super::seeds::{Draw, drawn};
use crate::content::{Content, Promise};
use crate::flow::{Answers, Condition, Truth};
use crate::judge::Judged;
use crate::site::{FACTS, FactId};
use crate::solve::{Kleene, Lit, Sat};
use crate::wall::{Status, judge};
use std::collections::BTreeSet;

/// Which truths some conditions on questions can have together, whatever is answered: by the formula.
#[doc(hidden)]
#[must_use]
pub fn together(content: &Content, conditions: &[Condition]) -> BTreeSet<Vec<Truth>> {
    let mut formula = Theory::posed(content, Sat::new());
    let stated: Vec<Kleene> = conditions.iter().map(|condition| formula.state(condition).truth).collect();
    let mut found = BTreeSet::new();
    while formula.sat.can(&[]) {
        let truths: Vec<Truth> = stated.iter().map(|truth| truth_in(&formula, *truth)).collect();
        let other: Vec<Lit> = stated
            .iter()
            .zip(&truths)
            .flat_map(|(lits, truth)| match truth {
                Truth::Yes => vec![!lits.yes],
                Truth::No => vec![!lits.no],
                Truth::Unknown => vec![lits.yes, lits.no],
            })
            .collect();
        formula.sat.clause(&other);
        if !found.insert(truths) {
            break;
        }
    }
    found
}

fn truth_in(formula: &Theory<'_>, truth: Kleene) -> Truth {
    match (formula.sat.holds(truth.yes), formula.sat.holds(truth.no)) {
        (true, _) => Truth::Yes,
        (false, true) => Truth::No,
        (false, false) => Truth::Unknown,
    }
}

/// The formula of some content, with all that is claimed of it.
#[doc(hidden)]
#[derive(Debug)]
pub struct ModelCheck<'c> {
    content: &'c Content,
    formula: Theory<'c>,
    claims: Vec<(Wanted<'c>, Lit)>,
    promises: Vec<(&'c Promise, Lit)>,
    telling: AdviceNames<'c>,
    probe: FactProbe<'c>,
}

impl<'c> ModelCheck<'c> {
    /// Builds the formula and states all claims.
    #[must_use]
    pub fn new(content: &'c Content) -> ModelCheck<'c> {
        let mut formula = Theory::whole(content);
        let claims = wanted(content);
        let claims = claims.into_iter().map(|claim| {
            let lit = claim.what.stated(&mut formula);
            (claim, lit)
        });
        let claims: Vec<(Wanted<'c>, Lit)> = claims.collect();
        let promises = content.promises.iter().map(|promise| (promise, formula.promise(promise).1)).collect();
        let (telling, probe) = (AdviceNames::new(content), FactProbe::new(content));
        ModelCheck { content, formula, claims, promises, telling, probe }
    }

    /// Holds the formula against one visit.
    ///
    /// # Errors
    /// In words, what the formula says otherwise: that there is no such visit, with the statements that stand against each other,
    /// or another conclusion.
    pub fn holds(&mut self, answers: &Answers) -> Result<(), String> {
        let content = self.content;
        let judged = content.judge(answers, content.flow.state(answers));
        let (_, facts) = self.probe.facts(answers);
        if judged.values[content.slots.facts..content.slots.defined] != facts {
            return Err("facts that are computed alone are others than in the visit".to_owned());
        }
        let mut said = self.formula.said_by(answers, &judged);
        said.extend(self.near(&judged));
        if !self.formula.sat.can(&said) {
            let against = self.formula.fewest_against(&said);
            let words: Vec<String> = against.into_iter().map(|lit| self.called(lit)).collect();
            return Err(format!("the formula has no such visit: {}", words.join("; ")));
        }
        let mut other = Vec::new();
        let mut same = |what: String, of_formula: Truth, of_visit: Truth| {
            if of_formula != of_visit {
                other.push(format!("{what}: {of_formula:?} in the formula, {of_visit:?} in the visit"));
            }
        };
        for (at, posed) in self.formula.questions.iter().enumerate() {
            let id = &content.flow.questions[at].id;
            same(format!("`{id}` is asked"), truth_in(&self.formula, posed.shown), judged.state.shown[at]);
        }
        for (at, defined) in content.defined.iter().enumerate() {
            let slot = content.slots.defined + at;
            if let super::formula::Valued::Bits { bits, .. } = &self.formula.values[slot] {
                let truth = truth_in(&self.formula, Kleene { yes: bits[1], no: bits[0] });
                same(format!("`{}`", defined.name), truth, defined.when.eval(&judged.values));
            }
        }
        for (at, limit) in content.limits.iter().enumerate() {
            let (limited, clearance) = (&self.formula.limits[at], &judged.clearances[at]);
            let status = limited.status[clearance.status as usize];
            let truth = Truth::from(self.formula.sat.holds(status));
            same(format!("the limit `{}` is {:?}", limit.id, clearance.status), truth, Truth::Yes);
            same(
                format!("the limit `{}` is broken", limit.id),
                truth_in(&self.formula, limited.breaks),
                clearance.breaks(),
            );
        }
        for (at, finding) in content.findings.iter().enumerate() {
            let truth = truth_in(&self.formula, self.formula.findings[at]);
            same(format!("the finding `{}`", finding.id), truth, judged.findings[at]);
        }
        let told = Told::of(&self.telling, &judged);
        for (claim, lit) in &self.claims {
            let happens = claim.what.happens(content, &judged, &told);
            let words = format!("the {} `{}` {}", claim.kind, claim.id, claim.what.said());
            same(words, Truth::from(self.formula.sat.holds(*lit)), Truth::from(happens));
        }
        for (promise, lit) in &self.promises {
            let broken = AdviceNames::is_broken(content, promise, &judged, told.values());
            let words = format!("the promise `{}` is broken", promise.id);
            same(words, Truth::from(self.formula.sat.holds(*lit)), Truth::from(broken));
        }
        if other.is_empty() { Ok(()) } else { Err(other.join("; ")) }
    }

    /// Asks a formula of which the solver holds what is asked for, and the one that it holds in whole, whether claims can be so: of so many
    /// one, beginning with the first. In words, where they say otherwise; and how often they said yes, and no.
    #[must_use]
    pub fn in_parts(&mut self, of: usize) -> (Vec<String>, [usize; 2]) {
        let mut parts = Theory::new(self.content);
        let (mut other, mut said) = (Vec::new(), [0; 2]);
        let mut ask = |whole: bool, lit: Lit, parts: &mut Theory<'_>, what: &str| {
            parts.sat.begin(&[]);
            let quick = parts.sat.can(&[lit]);
            let all = parts.sat.can_at_all(&[lit]);
            // parts that are not looked at may be whatever suits, so that it says "no" only where all of it does
            if all != whole || whole && !quick {
                other.push(format!("{what}: {quick} in parts, {all} with all of them, {whole} in whole"));
            }
            said[usize::from(!whole)] += 1;
        };
        for (claim, lit) in self.claims.iter().step_by(of) {
            let here = claim.what.stated(&mut parts);
            ask(self.formula.sat.can(&[*lit]), here, &mut parts, &format!("the {} `{}`", claim.kind, claim.id));
        }
        for (promise, lit) in self.promises.iter().step_by(of) {
            let (_, here) = parts.promise(promise);
            ask(self.formula.sat.can(&[*lit]), here, &mut parts, &format!("the promise `{}`", promise.id));
        }
        (other, said)
    }

    /// Of limits on the fall: whether one that misses is met as it was read, or too close to call.
    fn near(&self, judged: &Judged) -> Vec<Lit> {
        let fall = judged.values[self.content.fact_slot(FactId::FallAway)];
        let mut said = Vec::new();
        for (at, [met, close]) in &self.formula.near_fall {
            let (limit, status) = (&self.content.limits[*at], judged.clearances[*at].status);
            let Some((low, high)) = fall.low().zip(fall.high()) else { continue };
            let misses = judge(limit.sense, limit.bound, low, high) == Status::Fails;
            said.push(if misses && status == Status::Passes { *met } else { !*met });
            said.push(if misses && status == Status::Close { *close } else { !*close });
        }
        said
    }

    /// A statement on answers or facts, in words.
    fn called(&self, lit: Lit) -> String {
        use super::formula::Valued;
        for (lit, not) in [(lit, ""), (!lit, "not ")] {
            for (at, posed) in self.formula.questions.iter().enumerate() {
                let question = &self.content.flow.questions[at];
                let named =
                    [(posed.shown.yes, "is shown"), (posed.shown.no, "is hidden"), (posed.not_sure, "is not sure")];
                if let Some((_, word)) = named.into_iter().find(|(known, _)| *known == lit) {
                    return format!("{not}{} {word}", question.id);
                }
                if let Some(bit) = posed.bits.iter().position(|bit| *bit == lit) {
                    let choice =
                        question.choices.get(bit).map_or_else(|| bit.to_string(), |choice| choice.id.to_string());
                    return format!("{not}{} = {choice}", question.id);
                }
            }
            for (fact, valued) in FACTS.iter().zip(&self.formula.values[self.content.slots.facts..]) {
                let (words, bits) = match valued {
                    Valued::Bits { known, absent, bits } => {
                        (vec![(*known, "is known"), (*absent, "is absent")], bits.as_slice())
                    }
                    Valued::Measured(m) => (
                        vec![
                            (m.known, "is known"),
                            (m.absent, "is absent"),
                            (m.taped, "is by tape measure"),
                            (m.low_open, "is open below"),
                            (m.high_open, "is open above"),
                        ],
                        &[][..],
                    ),
                };
                if let Some((_, word)) = words.into_iter().find(|(known, _)| *known == lit) {
                    return format!("{not}{} {word}", fact.name);
                }
                if let Some(bit) = bits.iter().position(|bit| *bit == lit) {
                    return format!("{not}{} = {bit}", fact.name);
                }
            }
        }
        format!("{lit:?}")
    }
}

/// A visit drawn at random; each number gives another.
#[doc(hidden)]
#[must_use]
pub fn draw_visit(content: &Content, number: u64) -> Answers {
    let mut draw = Draw::new(number.wrapping_mul(7919).wrapping_add(1));
    // the first numbers of neighbours are alike
    for _ in 0..8 {
        draw.below(2);
    }
    drawn(content, &mut draw)
}
