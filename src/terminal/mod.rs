//! Two ways of asking: with menus in a terminal, and on plain lines.
//!
//! The menus are small machines that know no terminal: a key goes in, a state comes out ([`PickList`], [`TickList`],
//! [`LineEditor`]). What they show is plain data ([`Shows`]), laid out for a size ([`Frame`]), and painted in one place.

mod finder;
mod frame;
mod keys;
mod line;
mod menus;
mod pick;
mod plain;
mod screen;
mod ticks;

pub use finder::{Entry, Finder};
pub use frame::{Frame, ListLine, LongText, PaintedLine, Shows, TypedLine};
pub use keys::{Came, KeyPress};
pub use line::LineEditor;
pub use menus::{Menus, menu_lines};
pub use pick::PickList;
pub use plain::Plain;
pub use screen::restore;
pub use ticks::TickList;

use crate::flow::{Answer, AnswerError, Question, QuestionKind};
use crate::interview::{Count, Progress, Prompt, ReviewLine};
use crate::units::Units;
use std::collections::BTreeMap;
use textwrap::{Options, WordSplitter};

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

    /// Several of them as one text.
    fn all(&self, keys: &[&str]) -> String {
        keys.iter().map(|key| self.get(key)).collect::<Vec<_>>().join(" ")
    }

    /// Whether a text is one of the words that can be typed for something: they stand under a key, apart by `;`.
    fn means(&self, key: &str, text: &str) -> bool {
        let said = finder::folded(text.trim());
        let said = said.trim_end_matches('.');
        !said.is_empty() && self.get(key).split(';').any(|word| finder::folded(word.trim()) == said)
    }

    /// Whether somebody says that they do not know, to a question where that is an answer.
    fn means_not_sure(&self, question: &Question, text: &str) -> bool {
        question.not_sure && (self.means("typed.not_sure", text) || self.means("screen.not_sure", text))
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

    /// The answer in a line of the review, in words of the language at hand.
    fn reviewed_answer<'a>(&'a self, line: &'a ReviewLine) -> &'a str {
        match (line.yes, line.answer.as_deref()) {
            (Some(yes), _) => self.get(if yes { "label.yes" } else { "label.no" }),
            (None, None) => self.get("label.not_sure"),
            (None, Some("")) => self.get("label.none_of_these"),
            (None, Some(answer)) => answer,
        }
    }

    /// The line above a question.
    fn progress(&self, progress: &Progress<'_>, stretch: Option<&str>) -> String {
        let number = progress.number.to_string();
        let (key, count) = match progress.count {
            Count::Of(count) => ("screen.progress_of", count.to_string()),
            Count::More(0) => ("screen.progress_last", String::new()),
            Count::More(more) => ("screen.progress", more.to_string()),
            Count::One => ("screen.progress_one", String::new()),
        };
        let line = self.with(key, &[("section", progress.section), ("number", &number), ("count", &count)]);
        stretch.map_or(line.clone(), |name| format!("{name}: {line}"))
    }

    /// What is said before a question where a section opens or one has to go elsewhere: paragraphs, and a drawing as it is.
    fn before(&self, progress: &Progress<'_>) -> (Vec<String>, Option<String>) {
        let go_to = progress.go_to.map(|place| self.get(&format!("place.{}", place.word())).to_owned());
        let said = go_to.into_iter().chain(progress.intro.map(str::to_owned)).collect();
        (said, progress.sketch.map(str::to_owned))
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

    /// How an answer that is typed is written: an example of it.
    fn such_as(&self, question: &Question, units: Units) -> &str {
        self.get(match (question.kind, units) {
            (QuestionKind::Length, Units::Inch) => "screen.such_inches",
            (QuestionKind::Length, Units::Metric) => "screen.such_metric",
            (QuestionKind::Text, _) => "screen.such_text",
            (QuestionKind::Profile, _) => "screen.such_profile",
            (QuestionKind::Places, _) => "screen.such_places",
            (
                QuestionKind::Number
                | QuestionKind::Year
                | QuestionKind::OneOf
                | QuestionKind::SeveralOf
                | QuestionKind::YesNo,
                _,
            ) => "screen.such_number",
        })
    }

    /// A line of the review, marked where it is different from the first stretch of wall.
    fn reviewed(&self, line: &ReviewLine) -> String {
        format!("{}{}: {}", if line.differs { "* " } else { "" }, line.name, self.reviewed_answer(line))
    }
}

/// The lines of a list for a question, and what each answers: its choices, then "none of these" and "not sure". Of a question of
/// which several choices can be marked, each line is the answer if it is marked alone. None for a question whose answer is
/// typed.
fn options(prompt: &Prompt<'_>, labels: &Labels) -> Vec<(Entry, Answer)> {
    let question = prompt.question;
    let plain = |key: &str, answer: Answer| (Entry::new(labels.get(key)), answer);
    let choices = |answer: fn(usize) -> Answer| {
        let option = |(i, c): (usize, &crate::flow::Choice)| {
            (
                Entry { label: c.label.to_string(), hint: prompt.hint(i).map(str::to_owned), also: c.also.to_string() },
                answer(i),
            )
        };
        question.choices.iter().enumerate().map(option).collect::<Vec<_>>()
    };
    let mut options = match question.kind {
        QuestionKind::YesNo => {
            vec![plain("label.yes", Answer::YesNo(true)), plain("label.no", Answer::YesNo(false))]
        }
        QuestionKind::OneOf => choices(Answer::Choice),
        QuestionKind::SeveralOf => {
            let mut list = choices(|i| Answer::Several(1 << i));
            list.push(plain("screen.none", Answer::Several(0)));
            list
        }
        QuestionKind::Length
        | QuestionKind::Number
        | QuestionKind::Year
        | QuestionKind::Text
        | QuestionKind::Profile
        | QuestionKind::Places => Vec::new(),
    };
    if question.not_sure && !options.is_empty() {
        options.push(plain("screen.not_sure", Answer::NotSure));
    }
    options
}

/// One answer out of lines of a list; nothing if they do not go together.
fn combined(picked: &[Answer], question: &Question) -> Option<Answer> {
    if let [one] = picked {
        return Some(one.clone());
    }
    if picked.is_empty() || question.kind != QuestionKind::SeveralOf {
        return None;
    }
    let mut bits = 0;
    for answer in picked {
        match answer {
            Answer::Several(bit) if *bit != 0 => bits |= bit,
            _ => return None,
        }
    }
    Some(Answer::Several(bits))
}

/// What was typed, once it is a figure that asks for a second look.
struct Doubt {
    /// What to say.
    says: String,
    /// What can be meant, in words; nothing of it is what was typed if that is not possible at all.
    offers: Vec<(String, Option<Answer>)>,
    /// The likeliest of them.
    likely: usize,
}

/// The question that a typed figure is for: the one that is asked, or the one whose height can be typed at once.
fn length_of<'p>(prompt: &'p Prompt<'_>) -> &'p Question {
    prompt.or_type.as_ref().map_or(prompt.question, |or_type| or_type.question)
}

/// Whether what was typed has to be asked back: it is unusual, or impossible unless it was meant in feet or metres.
fn doubt(prompt: &Prompt<'_>, labels: &Labels, typed: &str, read: &Result<Answer, AnswerError>) -> Option<Doubt> {
    let (question, units) = (length_of(prompt), prompt.units);
    let meant = prompt.typing().meant(question, typed);
    let mut offers = Vec::new();
    let says = match read {
        Ok(answer) => {
            let bound = question.unusual(answer, units)?;
            offers.push((labels.get("screen.keep").to_owned(), Some(answer.clone())));
            labels.with("screen.unusual", &[("value", &bound.value), ("from", &bound.from), ("to", &bound.to)])
        }
        Err(error @ AnswerError::Impossible { .. }) => {
            meant.as_ref()?;
            format!("{}.", labels.said(error))
        }
        Err(_) => return None,
    };
    let likely = offers.len();
    if let Some(meant) = meant {
        let value = labels.answer(question, &meant, units);
        offers.push((labels.with("screen.meant", &[("value", &value)]), Some(meant)));
    }
    offers.push((labels.get("screen.again").to_owned(), None));
    Some(Doubt { says, offers, likely })
}

/// Why, how, and how to tell the choices apart: one paragraph each.
fn help(prompt: &Prompt<'_>, labels: &Labels) -> Vec<String> {
    let said = [("label.why", prompt.why()), ("label.how", prompt.how())];
    let said = said.into_iter().filter(|(_, text)| !text.is_empty());
    let mut parts: Vec<String> = said.map(|(label, text)| format!("{}: {text}", labels.get(label))).collect();
    let hints = prompt.question.choices.iter().enumerate();
    parts.extend(hints.filter_map(|(i, c)| Some(format!("{}: {}", c.label, prompt.hint(i)?))));
    parts
}

/// What is asked, and what has to be known to answer it.
fn asked(prompt: &Prompt<'_>, labels: &Labels) -> Vec<String> {
    let mut asked = vec![prompt.ask().to_owned()];
    if let Some(or_type) = &prompt.or_type {
        asked.push(labels.with("screen.or_type", &[("ask", &or_type.asked.ask)]));
    }
    if let Some(second) = &prompt.second {
        asked.push(labels.with("screen.or_two", &[("name", &second.short)]));
    }
    if prompt.question.kind == QuestionKind::Places {
        asked.push(prompt.question.choices.iter().map(|c| c.id.as_str()).collect::<Vec<_>>().join(", "));
    }
    asked
}

/// Lines no wider than this, broken between words only; none of an empty text.
fn wrapped(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    if text.is_empty() {
        return Vec::new();
    }
    let options = Options::new(width.max(1))
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::wrap(text, options).into_iter().map(std::borrow::Cow::into_owned).collect()
}

fn wrap(text: &str, width: usize, indent: &str) -> String {
    wrapped(text, width, indent, indent).join("\n")
}
