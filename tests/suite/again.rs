//! Judging again after changed answers is judging from the start, in everything; and no rule is left out that may hold.
//!
//! `WALLFOOT_SEEDS=5000 cargo test --test suite again` tries more visits.

use crate::sound::{Dice, changed_visit, seeds, units, with_changes};
use crate::support::CONTENT;
use wallfoot::flow::{Answer, Answers, Truth, Value};

/// Visits that lie a few changes, or many, from another: also with answers taken away, and with "not sure".
fn others(visit: &Answers, seed: u64) -> Vec<Answers> {
    let mut dice = Dice::new(seed ^ 0x5555);
    let (mut now, mut others) = (visit.clone(), Vec::new());
    for turn in 0..6 {
        now = match turn {
            0..=2 => with_changes(visit, &mut dice, 2),
            3 => changed_visit(seed * 31 + 7),
            _ => with_changes(&now, &mut dice, 3),
        };
        let mut other = now.clone();
        if dice.percent(50) {
            let answered: Vec<usize> = now.iter().map(|(question, _)| question).collect();
            let question = *dice.pick(&answered);
            if dice.percent(50) {
                other.clear(question);
            } else {
                other.set(question, Answer::NotSure);
            }
        }
        others.push(other);
    }
    others
}

#[test]
fn judging_again_is_judging_from_the_start() {
    for seed in 0..seeds(400) {
        let visit = changed_visit(seed);
        if let Some(differs) = CONTENT.judged_again_differs(&visit, &others(&visit, seed)) {
            panic!("seed {seed}: {differs}");
        }
    }
}

#[test]
fn judging_again_after_a_visit_of_which_little_is_known() {
    for seed in 0..seeds(100) {
        let whole = changed_visit(seed);
        let mut dice = Dice::new(seed);
        let mut visit = whole.clone();
        for (question, _) in whole.iter().filter(|_| dice.percent(40)) {
            visit.clear(question);
        }
        if let Some(differs) = CONTENT.judged_again_differs(&visit, &others(&whole, seed)) {
            panic!("seed {seed}: {differs}");
        }
    }
}

/// Rows are gated by what they cannot do without. What is shut out must be false by its own condition.
#[test]
fn only_what_cannot_hold_is_shut_out() {
    for seed in 0..seeds(200) {
        let visit = changed_visit(seed);
        for answers in others(&visit, seed) {
            let assessment = CONTENT.assess(&answers, units(&answers));
            for (finding, truth) in CONTENT.findings.iter().zip(&assessment.findings) {
                let possible = finding.when.eval(&assessment.values).is_possible();
                assert!(finding.guard.is_some() || possible == truth.is_possible(), "seed {seed}: {}", finding.id);
            }
            let region = assessment.region();
            for (limit, clearance) in CONTENT.limits.iter().zip(&assessment.clearances) {
                let possible = limit.holds_in(region)
                    && limit.when.eval(&assessment.values).is_possible()
                    && assessment.values[usize::from(limit.measure)] != Value::Absent;
                assert_eq!(possible, clearance.applies != Truth::No, "seed {seed}: {}", limit.id);
            }
        }
    }
}
