//! A visit without what does not matter: the shortest that still shows the same, in round numbers.

use crate::content::Content;
use crate::flow::{Answer, Answers, QuestionKind};
use crate::judge::{Judged, Judging, number_answer};

/// Steps of a length in an inch and in a millimetre (see [`crate::units::Length`]).
const INCH: i64 = 8128;
const MILLIMETRE: i64 = 320;

/// Takes away every answer without which it is still so, and rounds the numbers that are left.
pub(super) fn shortest(content: &Content, answers: &Answers, is: &dyn Fn(&Answers, &Judged) -> bool) -> Answers {
    let judging = Judging::new(content, answers);
    let short = shorter(content, answers, &|answers| is(answers, &judging.judge(answers)));
    // what is shown is judged as any visit is
    let so = |answers: &Answers| is(answers, &content.judge(answers, content.flow.state(answers)));
    if so(&short) { short } else { shorter(content, answers, &so) }
}

fn shorter(content: &Content, answers: &Answers, so: &dyn Fn(&Answers) -> bool) -> Answers {
    let mut short = answers.clone();
    // many at once first
    let mut many = short.iter().count() / 2;
    loop {
        let mut fewer = false;
        // what is asked last hangs on what was asked before
        let mut given: Vec<usize> = short.iter().map(|(question, _)| question).collect();
        given.reverse();
        for questions in given.chunks(many.max(1)) {
            let mut without = short.clone();
            for question in questions {
                without.clear(*question);
            }
            if so(&without) {
                short = without;
                fewer = true;
            }
        }
        if many <= 1 && !fewer {
            break;
        }
        many /= 2;
    }
    let given: Vec<(usize, Answer)> = short.iter().map(|(question, answer)| (question, answer.clone())).collect();
    for (question, answer) in given {
        let kind = content.flow.questions[question].kind;
        let Some(n) = answer.value().known().filter(|_| matches!(kind, QuestionKind::Length | QuestionKind::Number))
        else {
            continue;
        };
        let units: &[i64] = if kind == QuestionKind::Length {
            &[INCH * 12, INCH, INCH / 4, MILLIMETRE * 10, MILLIMETRE, INCH / 16]
        } else {
            &[100_000, 10_000, 1000]
        };
        let bounds = content.flow.questions[question].bounds;
        let round = units.iter().flat_map(|unit| {
            let down = n.div_euclid(*unit) * unit;
            [down, down + unit]
        });
        for near in round.filter(|near| bounds.is_none_or(|b| (b.least..=b.most).contains(near))) {
            let mut rounded = short.clone();
            rounded.set(question, number_answer(kind, near));
            if near == n || so(&rounded) {
                short = rounded;
                break;
            }
        }
    }
    short
}
