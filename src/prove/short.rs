//! A visit without what does not matter: the shortest that still shows the same, in round numbers.

use crate::content::Content;
use crate::flow::{Answer, Answers, QuestionKind};
use crate::judge::{Judged, number_answer};

/// Steps of a length in an inch and in a millimetre (see [`crate::units::Length`]).
const INCH: i64 = 8128;
const MILLIMETRE: i64 = 320;

/// Takes away every answer without which it is still so, and rounds the numbers that are left.
pub(super) fn shortest(content: &Content, answers: &Answers, is: &dyn Fn(&Answers, &Judged) -> bool) -> Answers {
    let so = |answers: &Answers| is(answers, &content.judge(answers, content.flow.state(answers)));
    let mut short = answers.clone();
    // what is asked last hangs on what was asked before
    loop {
        let mut fewer = false;
        let given: Vec<usize> = short.iter().map(|(question, _)| question).collect();
        for question in given.into_iter().rev() {
            let mut without = short.clone();
            without.clear(question);
            if so(&without) {
                short = without;
                fewer = true;
            }
        }
        if !fewer {
            break;
        }
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
