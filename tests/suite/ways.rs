//! The ways to put it right, taken as they are told: what is typed as it is shown does it.

use crate::sound::{changed_visit, seeds};
use crate::support::CONTENT;
use wallfoot::content::{Content, Limit};
use wallfoot::flow::{Answers, Truth};
use wallfoot::judge::WayKind;
use wallfoot::site::FactId;
use wallfoot::units::Units;
use wallfoot::wall::Sense;

fn set(answers: &mut Answers, id: &str, text: &str, units: Units) {
    let number = CONTENT.flow.question(id).unwrap();
    answers.set(number, CONTENT.flow.questions[number].read_answer(text, units).unwrap());
}

/// The limits of one measure that are missed, and can fail a plan.
fn missed(content: &Content, answers: &Answers, units: Units, measure: FactId) -> Vec<String> {
    let slot = content.fact_slot(measure);
    let assessment = content.assess(answers, units);
    let of = |limit: &Limit| usize::from(limit.measure) == slot && limit.sense == Sense::AtLeast;
    let rows = assessment.limits().into_iter().filter(|(limit, _)| of(limit) && limit.verdict.is_some());
    rows.filter(|(_, clearance)| clearance.breaks() == Truth::Yes).map(|(limit, _)| limit.id.to_string()).collect()
}

#[test]
fn what_is_typed_as_it_is_shown_is_enough() {
    let (mut turned, mut held_off, mut wrong) = (0, 0, Vec::new());
    for seed in 0..seeds(600) {
        let answers = changed_visit(seed);
        for units in [Units::Inch, Units::Metric] {
            for way in CONTENT.assess(&answers, units).ways() {
                let figure = way.figure.show(units);
                let mut after = answers.clone();
                let measure = match way.kind {
                    WayKind::Turn { .. } => {
                        turned += 1;
                        set(&mut after, "fall_direction", "away", units);
                        set(&mut after, "fall_drop", &figure, units);
                        FactId::FallAway
                    }
                    WayKind::HoldOff { .. } => {
                        held_off += 1;
                        set(&mut after, "joint", "strip", units);
                        set(&mut after, "channel_outlet", "outlet", units);
                        set(&mut after, "strip_depth", &figure, units);
                        FactId::ExitAboveFinish
                    }
                    _ => continue,
                };
                let still = missed(&CONTENT, &after, units, measure);
                if !still.is_empty() {
                    wrong.push(format!("{seed} {units:?}: {} {figure}: {still:?}", way.kind.word()));
                }
            }
        }
    }
    assert!(turned > 20 && held_off > 100, "{turned}, {held_off}");
    assert!(wrong.is_empty(), "{} of {}: {wrong:#?}", wrong.len(), turned + held_off);
}
