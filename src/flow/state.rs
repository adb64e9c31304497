//! What a set of answers means for the questions of a flow.

use super::answer::{Answer, Answers};
use super::model::Flow;
use super::value::{Truth, Value};

/// What a set of answers means: which questions are shown, and the value of each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    /// Whether each question is shown. Only `Yes` is asked.
    pub shown: Vec<Truth>,
    /// The value of each question; a hidden one has none, whatever was once answered.
    pub values: Vec<Value>,
}

impl Flow {
    /// Settles what is shown and what counts. A question that is hidden for certain is
    /// [`Value::Absent`]; one whose showing hangs on something unknown is [`Value::Unknown`].
    #[must_use]
    pub fn state(&self, answers: &Answers) -> State {
        self.state_with(answers, Value::Unknown)
    }

    /// The same in the middle of an interview: what has no answer yet is [`Value::Unasked`].
    #[must_use]
    pub fn state_so_far(&self, answers: &Answers) -> State {
        self.state_with(answers, Value::Unasked)
    }

    fn state_with(&self, answers: &Answers, missing: Value) -> State {
        let mut shown = Vec::with_capacity(self.questions.len());
        let mut values = Vec::with_capacity(self.questions.len());
        for (i, question) in self.questions.iter().enumerate() {
            let visible = question.visible.eval(&values);
            values.push(match visible {
                Truth::Yes => answers.get(i).map_or(missing, Answer::value),
                Truth::No => Value::Absent,
                // hidden because of something that may still be answered: so may this one
                Truth::Unknown if question.visible.waits(&values) => Value::Unasked,
                Truth::Unknown => Value::Unknown,
            });
            shown.push(visible);
        }
        State { shown, values }
    }
}
