//! Questions that are answered in one go: a list that has the choices of two of them, a height that is typed instead of
//! choosing how it was measured, two lengths in one line.
//!
//! Which go together is content (`at_once`). Nothing is taken that the user did not say: a choice of two questions names both.

use crate::flow::{Answer, Answers, Asked, Choice, Flow, Question, QuestionKind, Spoken};

/// Several questions put as one.
#[derive(Debug)]
pub(super) struct OneGo {
    /// The question as it is put, with the choices of both.
    pub(super) question: Question,
    /// Its texts.
    pub(super) asked: Asked,
    /// What each choice says, by its place.
    picks: Vec<Vec<(usize, Answer)>>,
    /// The height that can be typed, and what it says besides.
    pub(super) typed: Option<(usize, (usize, Answer))>,
    /// The second length.
    pub(super) second: Option<usize>,
}

impl OneGo {
    /// The question `number` with what can be answered in one go with it, as things stand; nothing where that is nothing.
    pub(super) fn of(flow: &Flow, number: usize, answers: &Answers, spoken: &Spoken, not_sure: &str) -> Option<OneGo> {
        let question = &flow.questions[number];
        let mut one_go = OneGo {
            question: question.clone(),
            asked: spoken.asked(question),
            picks: Vec::new(),
            typed: None,
            second: None,
        };
        match question.kind {
            QuestionKind::OneOf => one_go.add_choices(flow, number, answers, spoken, not_sure),
            QuestionKind::Length => one_go.second = shown_with(flow, number, answers, None, QuestionKind::Length),
            QuestionKind::SeveralOf
            | QuestionKind::YesNo
            | QuestionKind::Number
            | QuestionKind::Year
            | QuestionKind::Text
            | QuestionKind::Profile
            | QuestionKind::Places => {}
        }
        let more = one_go.picks.iter().any(|said| said.len() > 1);
        (more || one_go.typed.is_some() || one_go.second.is_some()).then_some(one_go)
    }

    fn add_choices(&mut self, flow: &Flow, number: usize, answers: &Answers, spoken: &Spoken, not_sure: &str) {
        let hints = std::mem::take(&mut self.asked.hints);
        let mut choices: Vec<(Choice, Option<String>)> = Vec::new();
        for (place, choice) in flow.questions[number].choices.iter().enumerate() {
            let said = (number, Answer::Choice(place));
            let hint = hints.get(place).cloned().flatten();
            let with = |kind| shown_with(flow, number, answers, Some(place), kind);
            if self.typed.is_none()
                && let Some(length) = with(QuestionKind::Length)
            {
                self.typed = Some((length, said.clone()));
            }
            let below = with(QuestionKind::OneOf);
            let Some(below) = below.filter(|_| self.typed.as_ref().is_none_or(|(_, way)| *way != said)) else {
                choices.push((choice.clone(), hint));
                self.picks.push(vec![said]);
                continue;
            };
            for (label, own_hint, answer) in answers_of(&flow.questions[below], spoken, not_sure) {
                let id = format!("{}.{}", choice.id, choices.len());
                let label = format!("{}: {label}", choice.label);
                choices.push((
                    Choice { id: id.into(), label: label.into(), ..choice.clone() },
                    own_hint.or_else(|| hint.clone()),
                ));
                self.picks.push(vec![said.clone(), (below, answer)]);
            }
        }
        (self.question.choices, self.asked.hints) = choices.into_iter().unzip();
    }

    /// What a reply says, question by question; nothing if it says nothing.
    pub(super) fn said(&self, number: usize, answer: Answer) -> Vec<(usize, Answer)> {
        match answer {
            Answer::Choice(place) if !self.picks.is_empty() => self.picks.get(place).cloned().unwrap_or_default(),
            other => vec![(number, other)],
        }
    }

    /// The choice that is what was answered before.
    pub(super) fn current(&self, answers: &Answers) -> Option<Answer> {
        let so_far = |said: &Vec<(usize, Answer)>| said.iter().all(|(n, answer)| answers.get(*n) == Some(answer));
        self.picks.iter().position(so_far).map(Answer::Choice)
    }
}

/// The first question of a kind that goes together with another one and is shown once that has a choice.
fn shown_with(
    flow: &Flow,
    number: usize,
    answers: &Answers,
    choice: Option<usize>,
    kind: QuestionKind,
) -> Option<usize> {
    let mut with = answers.clone();
    if let Some(place) = choice {
        with.set(number, Answer::Choice(place));
    }
    let shown = flow.state_so_far(&with).shown;
    let fits = |q: &usize| shown[*q].is_yes() && flow.questions[*q].kind == kind;
    flow.questions[number].at_once.iter().copied().find(fits)
}

/// The answers of a question as lines of a list.
fn answers_of(question: &Question, spoken: &Spoken, not_sure: &str) -> Vec<(String, Option<String>, Answer)> {
    let asked = spoken.asked(question);
    let line = |(i, choice): (usize, &Choice)| {
        (choice.label.to_string(), asked.hints.get(i).cloned().flatten(), Answer::Choice(i))
    };
    let mut lines: Vec<(String, Option<String>, Answer)> = question.choices.iter().enumerate().map(line).collect();
    if question.not_sure {
        lines.push((format!("{} - {}", asked.short, not_sure.to_lowercase()), None, Answer::NotSure));
    }
    lines
}
