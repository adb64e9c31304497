//! What a question says to this user: a name in its texts, such as `{exit}`, is filled with what the thing is called on this
//! wall, and built work has texts of its own. Which words hold when is content.

use super::answer::Answers;
use super::called::{Called, Wording};
use super::model::{Flow, Question};
use super::template::fill;
use super::value::Value;
use crate::pack::Text;
use crate::units::Units;

/// The parts of a name that a text can ask for: `{exit}`, `{exit.short}`, `{exit.help}`.
pub(super) const PARTS: [&str; 2] = ["short", "help"];
/// So many characters of what a user typed go into a question.
const MOST_TYPED: usize = 60;

/// What the names are called with certain answers, and whether the work is built.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Spoken {
    built: bool,
    names: Vec<(Text, Called)>,
}

/// The texts of a question, ready to be shown.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// Its name in lists and tables.
    pub short: String,
    /// The question itself.
    pub ask: String,
    /// Why it matters.
    pub why: String,
    /// How to find out.
    pub how: String,
    /// How to recognise each choice.
    pub hints: Vec<Option<String>>,
}

impl Flow {
    /// How questions speak of things, by the answers so far.
    #[must_use]
    pub fn spoken(&self, answers: &Answers, units: Units) -> Spoken {
        self.spoken_by(&self.state(answers).values, answers, units)
    }

    /// The same where the values of the questions are known already. More values than questions do no harm.
    #[must_use]
    pub fn spoken_by(&self, values: &[Value], answers: &Answers, units: Units) -> Spoken {
        let typed = |text: &str| {
            fill(text, &|name| {
                let number = self.question(name)?;
                let shown = self.questions[number].show_answer(answers.get(number)?, units)?;
                Some(shortened(&shown))
            })
        };
        let called = |wording: &Wording| {
            let case = wording.cases.iter().find(|case| case.when.eval(values).is_yes());
            let called = case.map_or(&wording.general, |case| &case.called);
            let part =
                |own: &Option<Text>, general: &Option<Text>| own.as_ref().or(general.as_ref()).map(|t| typed(t).into());
            Called {
                say: typed(&called.say).into(),
                short: part(&called.short, &wording.general.short),
                help: part(&called.help, &wording.general.help),
            }
        };
        Spoken {
            built: self.built_when.as_ref().is_some_and(|when| when.eval(values).is_yes()),
            names: self.wordings.iter().map(|w| (w.name.clone(), called(w))).collect(),
        }
    }
}

impl Spoken {
    /// Whether the questions speak of work that stands.
    #[must_use]
    pub fn built(&self) -> bool {
        self.built
    }

    /// The name of a question in lists and tables.
    #[must_use]
    pub fn short(&self, question: &Question) -> String {
        self.fill(&question.short)
    }

    /// The question itself.
    #[must_use]
    pub fn ask(&self, question: &Question) -> String {
        self.fill(self.pick(&question.ask, question.built.ask.as_ref()))
    }

    /// Why it matters.
    #[must_use]
    pub fn why(&self, question: &Question) -> String {
        self.fill(self.pick(&question.why, question.built.why.as_ref()))
    }

    /// How to find out.
    #[must_use]
    pub fn how(&self, question: &Question) -> String {
        self.fill(self.pick(&question.how, question.built.how.as_ref()))
    }

    /// All texts of a question.
    #[must_use]
    pub fn asked(&self, question: &Question) -> Asked {
        let hint = |choice: &super::model::Choice| {
            let plain = choice.hint.as_ref();
            let hint = choice.hint_built.as_ref().filter(|_| self.built).or(plain)?;
            Some(self.fill(hint))
        };
        Asked {
            short: self.short(question),
            ask: self.ask(question),
            why: self.why(question),
            how: self.how(question),
            hints: question.choices.iter().map(hint).collect(),
        }
    }

    fn pick<'t>(&self, plain: &'t str, built: Option<&'t Text>) -> &'t str {
        built.filter(|_| self.built).map_or(plain, Text::as_str)
    }

    fn fill(&self, text: &str) -> String {
        fill(text, &|written| {
            let (name, part) = name_and_part(written);
            let (_, called) = self.names.iter().find(|(known, _)| *known == name)?;
            let text = match part {
                None => Some(&called.say),
                Some("short") => called.short.as_ref(),
                Some(_) => called.help.as_ref(),
            }?;
            let capital = written.starts_with(char::is_uppercase);
            Some(if capital { capitalised(text) } else { text.to_string() })
        })
    }
}

/// `Exit.short` names the part `short` of `exit`, with a capital letter in front.
pub(super) fn name_and_part(written: &str) -> (String, Option<&str>) {
    let (name, part) = written.split_once('.').map_or((written, None), |(name, part)| (name, Some(part)));
    (name.to_lowercase(), part)
}

fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// What somebody typed, at most so long that a question can still be read.
fn shortened(text: &str) -> String {
    if text.chars().count() <= MOST_TYPED {
        return text.to_owned();
    }
    let cut: String = text.chars().take(MOST_TYPED).collect();
    format!("{}...", cut.rsplit_once(' ').map_or(cut.as_str(), |(words, _)| words))
}
