//! Two ways of asking: with menus in a terminal, and on plain lines.

mod menus;
mod plain;

pub use menus::Menus;
pub use plain::Plain;

use crate::flow::{AnswerError, Question};
use crate::interview::{Progress, Prompt};
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
        if question.not_sure { format!("{error}. {}", self.get("screen.or_not_sure")) } else { error.to_string() }
    }

    /// What the review says above its lines where the wall has several stretches.
    fn stretch(&self, name: Option<&str>) -> Option<String> {
        name.map(|name| self.with("screen.stretch", &[("name", name)]))
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
