//! What something hangs on is all named: where none of it is answered otherwise, it stays. On that rest the nearest change, what forces
//! a verdict, what is decisive, and the proof.
//!
//! `WALLFOOT_SEEDS=20000 cargo test --test suite reasons` tries more visits.

use crate::sound::{Dice, changed_visit, seeds, with_changes};
use crate::support::CONTENT;
use wallfoot::flow::{Answer, Answers, QuestionKind};
use wallfoot::units::Length;

/// Visits one change, or a few that it brings with it, from another: also with an answer taken away, and with "not sure".
fn others(visit: &Answers, dice: &mut Dice) -> Vec<Answers> {
    let answered: Vec<usize> = visit.iter().map(|(question, _)| question).collect();
    let one = |dice: &mut Dice| {
        if !dice.percent(25) {
            return with_changes(visit, dice, 1);
        }
        let (mut other, question) = (visit.clone(), *dice.pick(&answered));
        if dice.percent(40) {
            other.clear(question);
        } else {
            other.set(question, Answer::NotSure);
        }
        other
    };
    (0..30).map(|_| one(dice)).collect()
}

#[test]
fn nothing_changes_without_a_reason() {
    for seed in 0..seeds(400) {
        let visit = changed_visit(seed);
        let found = CONTENT.changed_without_reason(&visit, &others(&visit, &mut Dice::new(seed ^ 0x77)));
        assert!(found.is_empty(), "seed {seed}: {found:#?}");
    }
}

/// Some other answer to a question of the plan; nothing of those that have no simple ones.
fn another(question: usize, now: Option<&Answer>, dice: &mut Dice) -> Option<Answer> {
    let asked = &CONTENT.flow.questions[question];
    let count = asked.choices.len();
    match asked.kind {
        QuestionKind::OneOf => Some(Answer::Choice(dice.below(count))),
        QuestionKind::YesNo => Some(Answer::YesNo(dice.percent(50))),
        QuestionKind::SeveralOf => Some(Answer::Several(i64::try_from(dice.below(1 << count)).ok()?)),
        QuestionKind::Length => {
            let middle = if let Some(Answer::Length(length)) = now { *length } else { Length::inches(12) };
            let off = i64::try_from(dice.below(73)).ok()? - 36;
            let length = middle + Length::sixty_fourths(32 * off);
            let fits = asked.bounds.is_none_or(|b| (b.least..=b.most).contains(&length.steps()));
            fits.then_some(Answer::Length(length))
        }
        _ => None,
    }
}

/// One to three other answers about the plan, and to most of what they bring up.
fn other_plan(visit: &Answers, dice: &mut Dice) -> Answers {
    let asked = |answers: &Answers| -> Vec<usize> {
        let shown = CONTENT.flow.state(answers).shown;
        (0..shown.len()).filter(|q| CONTENT.flow.questions[*q].plan && shown[*q].is_yes()).collect()
    };
    let mut other = visit.clone();
    for _ in 0..=dice.below(3) {
        let question = *dice.pick(&asked(&other));
        if let Some(answer) = another(question, other.get(question), dice) {
            other.set(question, answer);
        }
        for question in asked(&other) {
            if other.get(question).is_none()
                && dice.percent(70)
                && let Some(answer) = another(question, None, dice)
            {
                other.set(question, answer);
            }
        }
    }
    other
}

/// The same for what is in the way of a plan, where a reason also says which other answers would count.
#[test]
fn nothing_in_the_way_is_gone_without_a_reason() {
    for seed in 0..seeds(400) {
        let (visit, mut dice) = (changed_visit(seed), Dice::new(seed ^ 0x99));
        let others: Vec<Answers> = (0..30).map(|_| other_plan(&visit, &mut dice)).collect();
        let found = CONTENT.gone_without_reason(&visit, &others);
        assert!(found.is_empty(), "seed {seed}: {found:#?}");
    }
}
