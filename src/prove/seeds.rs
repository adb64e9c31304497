//! Visits to begin with: answers drawn by a fixed rule, so that the same content always gives the same ones.

use crate::content::Content;
use crate::flow::{Answer, Answers, Placed, Question, QuestionKind, Truth, Value};
use crate::judge::number_answer;
use crate::units::Length;

/// Draws numbers: the multiplicative generator of Park and Miller, "Random number generators: good ones are hard to find",
/// Communications of the ACM 31 (1988), from memory.
#[derive(Debug)]
pub(super) struct Draw(u64);

impl Draw {
    /// A row of numbers of its own for each start.
    pub(super) fn new(start: u64) -> Draw {
        Draw(start % 2_147_483_646 + 1)
    }

    /// A number below `most`.
    pub(super) fn below(&mut self, most: usize) -> usize {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        usize::try_from(self.0).unwrap_or_default() % most.max(1)
    }
}

/// A visit drawn at random, with an answer to nearly every question that is shown.
pub(super) fn drawn(content: &Content, draw: &mut Draw) -> Answers {
    let mut answers = Answers::default();
    let often_unsure = draw.below(4) == 0;
    // questions come after those that show them, so one pass is enough
    let mut values = Vec::with_capacity(content.flow.questions.len());
    for (at, question) in content.flow.questions.iter().enumerate() {
        let shown = question.visible.eval(&values);
        let unsure = shown.is_yes() && draw.below(100) < if often_unsure { 30 } else { 4 };
        let given = if shown.is_yes() && !unsure { answer(question, draw) } else { None };
        values.push(match (&given, shown) {
            (Some(answer), _) => answer.value(),
            (None, Truth::No) => Value::Absent,
            (None, _) => Value::Unknown,
        });
        if let Some(answer) = given {
            answers.set(at, answer);
        }
    }
    answers
}

/// An answer to a question.
fn answer(question: &Question, draw: &mut Draw) -> Option<Answer> {
    let count = question.choices.len();
    match question.kind {
        QuestionKind::OneOf => Some(Answer::Choice(draw.below(count))),
        QuestionKind::SeveralOf => {
            let marks = draw.below(3);
            Some(Answer::Several((0..marks).fold(0, |bits, _| bits | 1 << draw.below(count))))
        }
        QuestionKind::YesNo => Some(Answer::YesNo(draw.below(2) == 1)),
        QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => {
            let bounds = question.bounds?;
            let (least, most) = bounds.usual.unwrap_or((bounds.least, bounds.most));
            let (least, most) = (least.max(i64::MIN / 4), most.min(i64::MAX / 4));
            let share = i64::try_from(draw.below(17)).unwrap_or_default();
            Some(number_answer(question.kind, least + (most - least) / 16 * share))
        }
        QuestionKind::Places => places(question, draw),
        QuestionKind::Text | QuestionKind::Profile => None,
    }
}

/// One or two things along the wall, each measured or not; often none.
fn places(question: &Question, draw: &mut Draw) -> Option<Answer> {
    let (least, most) = question.bounds.and_then(|bounds| bounds.usual)?;
    let foot = Length::from_steps((most - least) / 20);
    let list: Vec<Placed> = (0..draw.below(3))
        .filter_map(|nth| {
            let from = foot * (2 * i64::try_from(nth).ok()?);
            let share = i64::try_from(draw.below(17)).ok()?;
            let below = (share > 0).then(|| Length::from_steps(least + (most - least) / 16 * share));
            Some(Placed { choice: draw.below(question.choices.len()), from, to: from + foot, below })
        })
        .collect();
    (!list.is_empty()).then_some(Answer::Places(list))
}
