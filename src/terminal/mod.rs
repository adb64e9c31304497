//! Two ways of asking: with menus in a terminal, and on plain lines.

mod menus;
mod plain;

pub use menus::Menus;
pub use plain::Plain;

use crate::flow::{Answer, AnswerError, Question};
use crate::interview::{Progress, Prompt, ReviewLine};
use crate::units::Units;
use std::collections::BTreeMap;

/// The words that both ways show. They are content, handed in by the caller.
#[derive(Debug, Clone, Default)]
pub struct Labels(pub BTreeMap<String, String>);

impl Labels {
    fn get<'a>(&'a self, key: &'a str) -> &'a str {
        self.0.get(key).map_or(key, String::as_str)
    }

    fn with(&self, key: &str, values: &[(&str, &str)]) -> String {
        let mut text = self.get(key).to_owned();
        for (name, value) in values {
            text = text.replace(&format!("{{{name}}}"), value);
        }
        text
    }

    /// What to say to an answer that is none, and that not knowing is an answer too.
    fn refused(&self, question: &Question, error: &AnswerError) -> String {
        let said = self.said(error);
        if question.not_sure { format!("{said}. {}", self.get("screen.or_not_sure")) } else { said }
    }

    /// What is wrong with what was typed, in the language of the labels.
    fn said(&self, error: &AnswerError) -> String {
        let said = error.word();
        let values: Vec<(&str, &str)> = said.values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        self.with(said.key, &values)
    }

    /// What the review says above its lines where the wall has several stretches.
    fn stretch(&self, name: Option<&str>) -> Option<String> {
        name.map(|name| self.with("screen.stretch", &[("name", name)]))
    }

    /// An answer in words of the language at hand.
    fn answer(&self, question: &Question, answer: &Answer, units: Units) -> String {
        match answer {
            Answer::NotSure => self.get("label.not_sure").to_owned(),
            Answer::Several(0) => self.get("label.none_of_these").to_owned(),
            Answer::YesNo(yes) => self.get(if *yes { "label.yes" } else { "label.no" }).to_owned(),
            _ => question.show_answer(answer, units).unwrap_or_default(),
        }
    }

    /// The answer in a line of the review, in words of the language at hand.
    fn reviewed_answer<'a>(&'a self, line: &'a ReviewLine) -> &'a str {
        match (line.yes, line.answer.as_deref()) {
            (Some(yes), _) => self.get(if yes { "label.yes" } else { "label.no" }),
            (None, None) => self.get("label.not_sure"),
            (None, Some("")) => self.get("label.none_of_these"),
            (None, Some(answer)) => answer,
        }
    }

    fn progress(&self, progress: &Progress<'_>, stretch: Option<&str>) -> String {
        let line = self.with(
            "screen.progress",
            &[
                ("section", progress.section),
                ("part", &progress.part.to_string()),
                ("parts", &progress.parts.to_string()),
                ("number", &progress.number.to_string()),
                ("count", &progress.count.to_string()),
            ],
        );
        stretch.map_or(line.clone(), |name| format!("{name}: {line}"))
    }
}

/// Why, how, and how to tell the choices apart.
fn help(prompt: &Prompt<'_>, labels: &Labels, width: usize) -> String {
    let mut parts = Vec::new();
    for (label, text) in [("label.why", prompt.why()), ("label.how", prompt.how())] {
        if !text.is_empty() {
            parts.push(wrap(&format!("{}: {text}", labels.get(label)), width, "  "));
        }
    }
    for (at, choice) in prompt.question.choices.iter().enumerate() {
        if let Some(hint) = prompt.hint(at) {
            parts.push(wrap(&format!("{}: {hint}", choice.label), width, "  "));
        }
    }
    parts.join("\n")
}

fn wrap(text: &str, width: usize, indent: &str) -> String {
    textwrap::fill(text, textwrap::Options::new(width).initial_indent(indent).subsequent_indent(indent))
}
