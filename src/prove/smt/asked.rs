//! What is asked of both solvers, and what this program's own answers.

use super::super::claims::{Happens, wanted};
use super::super::formula::Theory;
use super::super::seeds::Draw;
use super::parts::SmtWriting;
use super::term::{all, no};
use crate::content::LIMIT_STATES;
use crate::solve::Lit;

/// How many pairs of rules are asked for together.
const PAIRS: usize = 400;

impl SmtWriting<'_> {
    /// All that is asked: each as a statement that can be assumed, with what is expected.
    pub(super) fn ask(&mut self, formula: &mut Theory<'_>) {
        let content = self.content;
        for claim in wanted(content) {
            let lit = claim.what.stated(formula);
            let term = self.stated(claim.what);
            let words = format!("the {} `{}` {}", claim.kind, claim.id, claim.what.said());
            self.claim(&words, &term, lit, formula);
        }
        for promise in &content.promises {
            let (_, lit) = formula.promise(promise);
            let term = self.broken(promise);
            self.claim(&format!("the promise `{}` is broken", promise.id), &term, lit, formula);
        }
        for (at, defined) in content.defined.iter().enumerate() {
            let lit = formula.state(&defined.when).truth.unknown(&mut formula.sat);
            let term = SmtWriting::unknown(&self.rules.defined[at].clone());
            self.claim(&format!("the defined `{}` is not known", defined.name), &term, lit, formula);
        }
        for (at, limit) in content.limits.iter().enumerate() {
            for (status, word) in LIMIT_STATES.iter().enumerate() {
                let (lit, held) = (formula.limits[at].status[status], self.rules.limits[at].clone());
                self.claim(&format!("the limit `{}` is {word}", limit.id), &held.status[status], lit, formula);
            }
            let breaks = formula.limits[at].breaks;
            let lit = breaks.unknown(&mut formula.sat);
            let term = SmtWriting::unknown(&self.rules.limits[at].breaks.clone());
            self.claim(&format!("the limit `{}` may be broken", limit.id), &term, lit, formula);
        }
        let mut holds: Vec<(String, String, Lit)> = Vec::new();
        for (at, finding) in content.findings.iter().enumerate() {
            let (truth, three) = (formula.findings[at], self.rules.findings[at].clone());
            let unknown = truth.unknown(&mut formula.sat);
            self.claim(
                &format!("the finding `{}` may hold", finding.id),
                &SmtWriting::unknown(&three),
                unknown,
                formula,
            );
            self.claim(&format!("the finding `{}` does not hold", finding.id), &three.no, truth.no, formula);
            holds.push((format!("the finding `{}` holds", finding.id), three.yes, truth.yes));
        }
        for (at, limit) in content.limits.iter().enumerate() {
            let (breaks, term) = (formula.limits[at].breaks.yes, self.rules.limits[at].breaks.yes.clone());
            holds.push((format!("the limit `{}` is broken", limit.id), term, breaks));
        }
        // two rules at once, the second broken or not
        let mut draw = Draw::new(16);
        for _ in 0..PAIRS {
            let ((one, a, x), (other, b, y)) = (&holds[draw.below(holds.len())], &holds[draw.below(holds.len())]);
            let turned = draw.below(3) == 0;
            let lit = formula.sat.all(&[*x, if turned { !*y } else { *y }]);
            let term = all([a.clone(), if turned { no(b) } else { b.clone() }]);
            let words = format!("{one} and {}{other}", if turned { "not: " } else { "" });
            self.claim(&words, &term, lit, formula);
        }
    }

    fn claim(&mut self, words: &str, term: &str, lit: Lit, formula: &mut Theory<'_>) {
        self.asked += 1;
        let name = format!("claim {}", self.asked);
        let expected = if formula.sat.can_at_all(&[lit]) { "sat" } else { "unsat" };
        self.script.line(&format!("; {name} {expected} {words}"));
        let free = self.script.free(&name, "Bool");
        self.script.assert(&super::term::so(&free, term));
    }

    /// The statement that something happens.
    fn stated(&mut self, what: Happens<'_>) -> String {
        match what {
            Happens::Asked(at) => self.questions[at].shown.clone(),
            Happens::Fact(at, true) => self.rules.defined[at].yes.clone(),
            Happens::Fact(at, false) => self.rules.defined[at].no.clone(),
            Happens::Limit(at, status) => {
                let held = &self.rules.limits[at];
                all([held.applies.clone(), held.status[status as usize].clone()])
            }
            Happens::Finding(at) => match self.content.findings[at].guard {
                Some(_) => self.rules.findings[at].yes.clone(),
                None => self.condition(&self.content.findings[at].when).yes,
            },
            Happens::Row(row) => {
                let verdict = row.verdict.map(|verdict| self.rules.verdict[verdict as usize].clone());
                let called = self.condition(row.when).yes;
                all(std::iter::once(called).chain(verdict))
            }
            Happens::Owed(when) => self.condition(when).yes,
            Happens::Given(verdict) => self.rules.verdict[verdict as usize].clone(),
            Happens::Broken(promise) => self.broken(promise),
        }
    }
}
