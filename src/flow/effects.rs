//! What changed answers bring with them: questions that are asked now, and questions that are asked no longer.

use super::answer::Answers;
use super::model::Flow;
use super::state::State;
use super::value::Truth;

/// What follows from a change of answers, by the numbers of questions in order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Effects {
    /// The answer is another one.
    pub changed: Vec<usize>,
    /// The question was shown with an answer, and is hidden now.
    pub hidden: Vec<usize>,
    /// The question is shown now and has an answer from before.
    pub back: Vec<usize>,
    /// The question is shown now and has no answer yet.
    pub open: Vec<usize>,
}

impl Flow {
    /// What follows when answers become others.
    #[must_use]
    pub fn effects(&self, before: &Answers, after: &Answers) -> Effects {
        let (old, new) = (self.state(before).shown, self.state(after).shown);
        let mut effects = Effects::default();
        for number in 0..self.questions.len() {
            let changed = before.get(number) != after.get(number);
            if changed {
                effects.changed.push(number);
            }
            match (old[number].is_yes(), new[number].is_yes()) {
                (true, false) if before.get(number).is_some() => effects.hidden.push(number),
                (false, true) if after.get(number).is_none() => effects.open.push(number),
                (false, true) if !changed => effects.back.push(number),
                _ => {}
            }
        }
        effects
    }

    /// The shown questions of which one at least must be answered otherwise before a question is shown; empty if it is shown, or
    /// if nothing can show it.
    #[must_use]
    pub fn hidden_by(&self, question: usize, state: &State) -> Vec<usize> {
        let mut seen = vec![false; self.questions.len()];
        let (mut todo, mut found) = (vec![question], Vec::new());
        while let Some(number) = todo.pop() {
            if std::mem::replace(&mut seen[number], true) {
                continue;
            }
            match state.shown[number] {
                Truth::Yes if number != question => found.push(number),
                Truth::Yes => {}
                // a hidden question is hidden by others itself
                Truth::Unknown | Truth::No => {
                    todo.extend(self.questions[number].visible.fails_by(&state.values).into_iter().map(usize::from));
                }
            }
        }
        found.sort_unstable();
        found
    }
}
