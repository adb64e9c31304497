//! `id=value` on the command line: the one place that reads it.

use super::error::ChangeError;
use super::outside::this_year;
use crate::content::Content;
use crate::flow::{Answer, QuestionKind, nearest};
use crate::interview::Typing;
use crate::units::Units;

/// The two sides of `id=value`.
pub(super) fn id_and_value(text: &str) -> Result<(&str, &str), ChangeError> {
    let sides = text.split_once('=').map(|(id, value)| (id.trim(), value.trim()));
    sides.ok_or_else(|| ChangeError::Form { found: text.to_owned() })
}

/// The question of this id, and the answer to it as typed.
pub(super) fn answer_to(
    id: &str,
    value: &str,
    content: &Content,
    units: Units,
) -> Result<(usize, Answer), ChangeError> {
    let Some(number) = content.flow.question(id) else {
        return Err(ChangeError::Question { id: id.to_owned(), near: near_question(id, content).map(str::to_owned) });
    };
    let question = &content.flow.questions[number];
    let typed = Typing::new(units, this_year()).answer(question, value);
    let answer = typed.map_err(|error| {
        let choices = || question.choices.iter().map(|choice| choice.id.as_str());
        let near = match question.kind {
            QuestionKind::OneOf => nearest(value, choices()),
            // of several, the first that is none
            QuestionKind::SeveralOf => {
                let part = value.split(',').map(str::trim).find(|part| !choices().any(|choice| choice == *part));
                part.and_then(|part| nearest(part, choices()))
            }
            _ => None,
        };
        ChangeError::Answer { id: id.to_owned(), error, near: near.map(str::to_owned) }
    })?;
    Ok((number, answer))
}

/// The id that is spelt most like this one.
pub(super) fn near_question<'c>(id: &str, content: &'c Content) -> Option<&'c str> {
    nearest(id, content.flow.questions.iter().map(|q| q.id.as_str()))
}
