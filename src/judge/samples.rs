//! Of all answers to a question those that are worth trying.

use crate::flow::{Answer, Question, QuestionKind};
use crate::units::Length;

/// Questions with more choices than this, of which several can be marked, are tried with one and with two marks.
const ALL_MARKS: usize = 6;

/// One answer of each kind that can make a difference.
pub(crate) fn representatives(question: &Question) -> Vec<Answer> {
    let count = question.choices.len();
    match question.kind {
        QuestionKind::YesNo => vec![Answer::YesNo(true), Answer::YesNo(false)],
        QuestionKind::OneOf => (0..count).map(Answer::Choice).collect(),
        QuestionKind::SeveralOf if count <= ALL_MARKS => (0..1i64 << count).map(Answer::Several).collect(),
        QuestionKind::SeveralOf => {
            let one = |i: usize| 1i64 << i;
            let pairs = (0..count).flat_map(|i| (0..i).map(move |j| one(i) | one(j)));
            std::iter::once(0).chain((0..count).map(one)).chain(pairs).map(Answer::Several).collect()
        }
        QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => {
            samples(question).into_iter().map(|n| number_answer(question.kind, n)).collect()
        }
        QuestionKind::Text | QuestionKind::Profile | QuestionKind::Places => Vec::new(),
    }
}

pub(crate) fn number_answer(kind: QuestionKind, n: i64) -> Answer {
    match kind {
        QuestionKind::Length => Answer::Length(Length::from_steps(n)),
        QuestionKind::Year => Answer::Year(n),
        _ => Answer::Number(n),
    }
}

/// The ends of what a question takes, of what is usual, and the middle.
pub(super) fn samples(question: &Question) -> Vec<i64> {
    let Some(bounds) = question.bounds else { return Vec::new() };
    // without a bound of its own a number is taken within what is usual, or not at all
    let (low, high) = bounds.usual.unwrap_or((bounds.least, bounds.most));
    let least = if bounds.least == i64::MIN { low } else { bounds.least };
    let most = if bounds.most == i64::MAX { high } else { bounds.most };
    if least == i64::MIN || most == i64::MAX {
        return Vec::new();
    }
    let mut list = vec![least, low, low + (high - low) / 2, high, most];
    list.sort_unstable();
    list.dedup();
    list
}
