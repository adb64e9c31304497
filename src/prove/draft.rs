//! A case of the formula as a real visit.

use super::formula::{Posed, Theory};
use super::numbers::{Cell, Which};
use crate::flow::{Answer, Answers, Placed, ProfilePoint, Question, QuestionKind};
use crate::judge::number_answer;
use crate::units::Length;

/// A visit with what the formula said of its numbers.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    pub(super) answers: Answers,
    /// The questions with a number, and between which figures the formula wants it.
    pub(super) numbers: Vec<(usize, Cell)>,
}

/// Places along the wall where the formula gives a list: far enough apart that nothing overlaps.
const APART: i64 = 8;

impl Theory<'_> {
    /// The last case that the solver found. What it says nothing of is answered as in `rest`.
    pub(super) fn draft(&self, rest: &Answers) -> Draft {
        let mut draft = Draft { answers: Answers::default(), numbers: Vec::new() };
        for (at, (question, posed)) in self.content.flow.questions.iter().zip(&self.questions).enumerate() {
            if !self.speaks_of(posed) {
                if let Some(answer) = rest.get(at) {
                    draft.answers.set(at, answer.clone());
                    if let Some(number) = posed.number {
                        draft.numbers.push((at, self.numbers[number].cell(Which::Low, &self.sat)));
                    }
                }
                continue;
            }
            if self.sat.told(posed.shown.yes) == Some(false) || self.sat.holds(posed.not_sure) {
                continue;
            }
            let first = posed.bits.iter().position(|bit| self.sat.holds(*bit));
            let bits = || {
                let set = posed.bits.iter().enumerate().filter(|(_, bit)| self.sat.holds(**bit));
                set.fold(0i64, |all, (i, _)| all | 1 << i)
            };
            let answer = match question.kind {
                QuestionKind::OneOf => first.map(Answer::Choice),
                QuestionKind::SeveralOf => Some(Answer::Several(bits())),
                QuestionKind::YesNo => first.map(|bit| Answer::YesNo(bit == 1)),
                QuestionKind::Text => Some(Answer::Text("x".to_owned())),
                QuestionKind::Profile => Some(Answer::Profile(level_profile())),
                QuestionKind::Places => placed(bits()),
                QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => posed.number.map(|number| {
                    let cell = self.numbers[number].cell(Which::Low, &self.sat);
                    draft.numbers.push((at, cell));
                    number_answer(question.kind, usual_in(question, &cell))
                }),
            };
            if let Some(answer) = answer {
                draft.answers.set(at, answer);
            }
        }
        draft
    }

    /// Whether the last case says how a question is answered.
    fn speaks_of(&self, posed: &Posed) -> bool {
        let cuts = || posed.number.into_iter().flat_map(|number| self.numbers[number].cuts(Which::Low));
        self.sat.told(posed.not_sure).is_some()
            || posed.bits.iter().any(|bit| self.sat.told(*bit).is_some())
            || cuts().any(|cut| self.sat.told(cut).is_some())
    }
}

/// Heights that are the same everywhere.
fn level_profile() -> Vec<ProfilePoint> {
    let point = |feet: i64| ProfilePoint { at: Length::inches(12 * feet), below: Length::inches(APART) };
    vec![point(0), point(APART)]
}

/// Things one after the other; nothing where none is marked.
fn placed(bits: i64) -> Option<Answer> {
    let marked = (0..i64::BITS as usize).filter(|bit| bits & (1 << bit) != 0);
    let list: Vec<Placed> = marked
        .zip(0..)
        .map(|(choice, nth)| Placed {
            choice,
            from: Length::inches(12 * APART * nth),
            to: Length::inches(12 * APART * nth + 12),
            below: None,
        })
        .collect();
    (!list.is_empty()).then_some(Answer::Places(list))
}

/// A number in a cell: the middle of what is usual, or what comes nearest to it.
fn usual_in(question: &Question, cell: &Cell) -> i64 {
    let bounds = question.bounds;
    let usual = bounds.and_then(|b| b.usual).or(bounds.map(|b| (b.least, b.most)));
    let middle = usual.map_or(0, |(low, high)| low.max(i64::MIN / 4).midpoint(high.min(i64::MAX / 4)));
    middle.max(cell.least()).min(cell.most())
}
