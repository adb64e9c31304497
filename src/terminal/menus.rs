//! Asking with menus.

use super::{Labels, help, wrap};
use crate::flow::{Answer, Question, QuestionKind};
use crate::interview::{Asker, Leaving, Picked, Prompt, Reply, ReviewLine, Reviewed};
use crate::units::Units;
use inquire::ui::RenderConfig;
use inquire::validator::Validation;
use inquire::{InquireError, MultiSelect, Select, Text};
use std::fmt;
use std::io::{self, Write};

/// Asks in a terminal with menus: arrows, typing to filter, Esc to go back, Ctrl-C to leave.
#[derive(Debug)]
pub struct Menus {
    labels: Labels,
    width: usize,
    page: usize,
    part: usize,
    stretch: Option<String>,
}

/// A line of a menu.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Item {
    text: String,
    does: Does,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Does {
    Choose(usize),
    NotSure,
    NoneOfThese,
    Help,
    Done,
}

impl fmt::Display for Item {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// What a prompt of the library came to.
enum Got<T> {
    Value(T),
    Back,
    Leave,
}

fn got<T>(result: Result<T, InquireError>) -> io::Result<Got<T>> {
    match result {
        Ok(value) => Ok(Got::Value(value)),
        Err(InquireError::OperationCanceled) => Ok(Got::Back),
        Err(InquireError::OperationInterrupted) => Ok(Got::Leave),
        Err(InquireError::IO(error)) => Err(error),
        Err(other) => Err(io::Error::other(other.to_string())),
    }
}

/// Typing filters the menu; `?` leaves the help only.
fn score(input: &str, item: &Item) -> Option<i64> {
    if input.is_empty() {
        return Some(0);
    }
    if input.starts_with('?') {
        return (item.does == Does::Help).then_some(0);
    }
    item.text.to_lowercase().contains(&input.to_lowercase()).then_some(0)
}

impl Menus {
    /// Menus for a terminal of this width and height.
    #[must_use]
    pub fn new(labels: Labels, width: usize, height: usize) -> Self {
        // the question above the menu must stay in sight
        Menus {
            labels,
            width: width.clamp(40, 100),
            page: height.saturating_sub(8).clamp(4, 14),
            part: 0,
            stretch: None,
        }
    }

    fn print(text: &str) -> io::Result<()> {
        writeln!(io::stderr(), "{text}")
    }

    fn keys(&self, kind: &str) -> String {
        self.labels.get(kind).to_owned()
    }

    fn extra_items(&self, question: &Question) -> Vec<Item> {
        let mut items = Vec::new();
        if question.kind == QuestionKind::SeveralOf {
            items.push(Item { text: self.labels.get("screen.none").to_owned(), does: Does::NoneOfThese });
        }
        if question.not_sure {
            items.push(Item { text: self.labels.get("screen.not_sure").to_owned(), does: Does::NotSure });
        }
        items.push(Item { text: self.labels.get("screen.help").to_owned(), does: Does::Help });
        items
    }

    fn one_of(&self, prompt: &Prompt<'_>) -> io::Result<Got<Option<Answer>>> {
        let question = prompt.question;
        let yes_no = question.kind == QuestionKind::YesNo;
        let mut items: Vec<Item> = if yes_no {
            [("label.yes", 0), ("label.no", 1)]
                .map(|(key, i)| Item { text: self.labels.get(key).to_owned(), does: Does::Choose(i) })
                .to_vec()
        } else {
            let item = |(i, c): (usize, &crate::flow::Choice)| Item { text: c.label.clone(), does: Does::Choose(i) };
            question.choices.iter().enumerate().map(item).collect()
        };
        items.extend(self.extra_items(question));
        let current = match prompt.current {
            Some(Answer::Choice(i)) => Does::Choose(*i),
            Some(Answer::YesNo(yes)) => Does::Choose(usize::from(!yes)),
            Some(Answer::NotSure) => Does::NotSure,
            None
            | Some(
                Answer::Several(_)
                | Answer::Length(_)
                | Answer::Number(_)
                | Answer::Year(_)
                | Answer::Text(_)
                | Answer::Profile(_)
                | Answer::Places(_),
            ) => Does::Choose(0),
        };
        let cursor = items.iter().position(|i| i.does == current).unwrap_or(0);
        let keys = self.keys("screen.keys_choose");
        let picked = Select::new(prompt.short(), items)
            .with_help_message(&keys)
            .with_page_size(self.page)
            .with_starting_cursor(cursor)
            .with_scorer(&|input, item, _, _| score(input, item))
            .prompt();
        Ok(match got(picked)? {
            Got::Value(item) => Got::Value(match item.does {
                Does::Choose(i) if yes_no => Some(Answer::YesNo(i == 0)),
                Does::Choose(i) => Some(Answer::Choice(i)),
                Does::NotSure => Some(Answer::NotSure),
                Does::Help | Does::NoneOfThese | Does::Done => None,
            }),
            Got::Back => Got::Back,
            Got::Leave => Got::Leave,
        })
    }

    fn several_of(&self, prompt: &Prompt<'_>) -> io::Result<Got<Option<Answer>>> {
        let question = prompt.question;
        let item = |(i, c): (usize, &crate::flow::Choice)| Item { text: c.label.clone(), does: Does::Choose(i) };
        let mut items: Vec<Item> = question.choices.iter().enumerate().map(item).collect();
        items.extend(self.extra_items(question));
        let marked: Vec<usize> = match prompt.current {
            Some(Answer::Several(0)) => items.iter().position(|i| i.does == Does::NoneOfThese).into_iter().collect(),
            Some(Answer::Several(bits)) => (0..question.choices.len()).filter(|i| bits & (1 << i) != 0).collect(),
            Some(Answer::NotSure) => items.iter().position(|i| i.does == Does::NotSure).into_iter().collect(),
            None
            | Some(
                Answer::Choice(_)
                | Answer::YesNo(_)
                | Answer::Length(_)
                | Answer::Number(_)
                | Answer::Year(_)
                | Answer::Text(_)
                | Answer::Profile(_)
                | Answer::Places(_),
            ) => Vec::new(),
        };
        let keys = self.keys("screen.keys_mark");
        let (empty, mixed) =
            (self.labels.get("screen.mark_one").to_owned(), self.labels.get("screen.mark_either").to_owned());
        let picked = MultiSelect::new(prompt.short(), items)
            .with_help_message(&keys)
            .with_page_size(self.page)
            .with_default(&marked)
            .with_scorer(&|input, item, _, _| score(input, item))
            .with_validator(move |picked: &[inquire::list_option::ListOption<&Item>]| {
                let alone = picked.iter().any(|i| matches!(i.value.does, Does::NotSure | Does::NoneOfThese));
                let help = picked.iter().any(|i| i.value.does == Does::Help);
                Ok(if picked.is_empty() {
                    Validation::Invalid(empty.clone().into())
                } else if alone && picked.len() > 1 && !help {
                    Validation::Invalid(mixed.clone().into())
                } else {
                    Validation::Valid
                })
            })
            .prompt();
        Ok(match got(picked)? {
            Got::Value(items) => Got::Value(answer_of(&items)),
            Got::Back => Got::Back,
            Got::Leave => Got::Leave,
        })
    }

    fn typed(&self, prompt: &Prompt<'_>) -> io::Result<Got<Option<Answer>>> {
        let (question, units) = (prompt.question, prompt.units);
        let key = match (question.kind, units) {
            (QuestionKind::Length, Units::Inch) => "screen.keys_inches",
            (QuestionKind::Length, Units::Metric) => "screen.keys_metric",
            (QuestionKind::Text, _) => "screen.keys_text",
            (QuestionKind::Profile, _) => "screen.keys_profile",
            (QuestionKind::Places, _) => "screen.keys_places",
            (
                QuestionKind::Number
                | QuestionKind::Year
                | QuestionKind::OneOf
                | QuestionKind::SeveralOf
                | QuestionKind::YesNo,
                _,
            ) => "screen.keys_number",
        };
        let keys = self.keys(key);
        let initial = match prompt.current {
            Some(Answer::NotSure) => self.labels.get("screen.not_sure").to_lowercase(),
            Some(answer) => question.show_answer(answer, units).unwrap_or_default(),
            None => String::new(),
        };
        let not_sure = self.labels.get("screen.not_sure").to_lowercase();
        let is_not_sure = |text: &str| text.trim().to_lowercase() == not_sure;
        let check = {
            let (question, not_sure) = (question.clone(), not_sure.clone());
            let reading = prompt.typing();
            move |text: &str| {
                let text = text.trim();
                if text == "?" || (question.not_sure && text.to_lowercase() == not_sure) {
                    return Ok(Validation::Valid);
                }
                Ok(match reading.answer(&question, text) {
                    Ok(_) => Validation::Valid,
                    Err(error) => Validation::Invalid(error.to_string().into()),
                })
            }
        };
        // Enter keeps the answer there is; what is typed takes its place
        let echoed = |typed: &str| {
            let reading = prompt.typing();
            let echo = reading.answer(question, typed).ok().and_then(|answer| reading.echo(question, typed, &answer));
            echo.map_or_else(|| typed.to_owned(), |echo| format!("{typed} {echo}"))
        };
        let mut text = Text::new(prompt.short()).with_help_message(&keys).with_validator(check).with_formatter(&echoed);
        if !initial.is_empty() {
            text = text.with_default(&initial);
        }
        let typed = text.prompt();
        match got(typed)? {
            Got::Value(text) if text.trim() == "?" => Ok(Got::Value(None)),
            // what was not touched keeps its exact figures
            Got::Value(text) if text == initial && prompt.current.is_some() => Ok(Got::Value(prompt.current.cloned())),
            Got::Value(text) if question.not_sure && is_not_sure(&text) => Ok(Got::Value(Some(Answer::NotSure))),
            Got::Value(text) => {
                let answer = prompt.typing().answer(question, &text).map_err(io::Error::other)?;
                let meant = prompt.typing().meant(question, &text);
                self.sure(prompt, answer, meant)
            }
            Got::Back => Ok(Got::Back),
            Got::Leave => Ok(Got::Leave),
        }
    }

    /// Asks back when a value is unusual. `Value(None)` asks the question again.
    fn sure(&self, prompt: &Prompt<'_>, answer: Answer, meant: Option<Answer>) -> io::Result<Got<Option<Answer>>> {
        let (question, units) = (prompt.question, prompt.units);
        let Some(bound) = question.unusual(&answer, units) else { return Ok(Got::Value(Some(answer))) };
        let message =
            self.labels.with("screen.unusual", &[("value", &bound.value), ("from", &bound.from), ("to", &bound.to)]);
        Self::print(&wrap(&message, self.width, ""))?;
        let mut items = vec![
            Item { text: self.labels.get("screen.again").to_owned(), does: Does::Help },
            Item { text: self.labels.get("screen.keep").to_owned(), does: Does::Done },
        ];
        if let Some(text) = meant.as_ref().and_then(|meant| question.show_answer(meant, units)) {
            items
                .insert(0, Item { text: self.labels.with("screen.meant", &[("value", &text)]), does: Does::Choose(0) });
        }
        Ok(
            match got(Select::new(prompt.short(), items)
                .without_filtering()
                .with_help_message(&self.keys("screen.keys_choose"))
                .prompt())?
            {
                Got::Value(item) if item.does == Does::Done => Got::Value(Some(answer)),
                Got::Value(item) if item.does == Does::Choose(0) => Got::Value(meant),
                Got::Leave => Got::Leave,
                Got::Value(_) | Got::Back => Got::Value(None),
            },
        )
    }
}

/// How many lines of a menu are shown at once, by those that a list of answers has: on a low screen few, so that what stands
/// above the menu stays in sight.
fn menu_page(page: usize) -> usize {
    const LOW: usize = 8;
    if page < LOW { page.min(4) } else { page }
}

fn answer_of(items: &[Item]) -> Option<Answer> {
    let mut bits = 0;
    for item in items {
        match item.does {
            Does::Choose(i) => bits |= 1 << i,
            Does::NotSure => return Some(Answer::NotSure),
            Does::NoneOfThese => return Some(Answer::Several(0)),
            Does::Help | Does::Done => return None,
        }
    }
    Some(Answer::Several(bits))
}

impl Asker for Menus {
    fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
        let question = prompt.question;
        if self.part != prompt.progress.part {
            self.part = prompt.progress.part;
            if let Some(intro) = prompt.progress.intro {
                Self::print(&format!("\n{}", wrap(intro, self.width, "")))?;
            }
            if let Some(sketch) = prompt.progress.sketch {
                Self::print(&format!("\n{sketch}"))?;
            }
        }
        Self::print(&format!("\n{}", self.labels.progress(&prompt.progress, self.stretch.as_deref())))?;
        Self::print(&wrap(prompt.ask(), self.width, ""))?;
        if question.kind == QuestionKind::Places {
            let names = question.choices.iter().map(|c| c.id.as_str()).collect::<Vec<_>>().join(", ");
            Self::print(&wrap(&names, self.width, "  "))?;
        }
        loop {
            let answer = match question.kind {
                QuestionKind::OneOf | QuestionKind::YesNo => self.one_of(prompt)?,
                QuestionKind::SeveralOf => self.several_of(prompt)?,
                QuestionKind::Length
                | QuestionKind::Number
                | QuestionKind::Year
                | QuestionKind::Text
                | QuestionKind::Profile
                | QuestionKind::Places => self.typed(prompt)?,
            };
            match answer {
                Got::Value(Some(answer)) => return Ok(Reply::Answer(answer)),
                Got::Value(None) => {
                    Self::print(&help(prompt, &self.labels, self.width))?;
                    if let Some(sketch) = prompt.sketch {
                        Self::print(&format!("\n{sketch}"))?;
                    }
                }
                Got::Back => return Ok(Reply::Back),
                Got::Leave => return Ok(Reply::Leave(Leaving::Interrupted)),
            }
        }
    }

    fn stretch(&mut self, name: &str) {
        self.stretch = Some(name.to_owned());
    }

    fn choose(&mut self, title: &str, items: &[String]) -> io::Result<Picked> {
        let items: Vec<Item> =
            items.iter().enumerate().map(|(i, text)| Item { text: text.clone(), does: Does::Choose(i) }).collect();
        Self::print("")?;
        let picked = Select::new(title, items)
            .with_help_message(&self.keys("screen.keys_menu"))
            .with_page_size(menu_page(self.page))
            .without_filtering()
            .prompt();
        Ok(match got(picked)? {
            Got::Value(Item { does: Does::Choose(i), .. }) => Picked::Item(i),
            Got::Value(_) | Got::Back => Picked::Back,
            Got::Leave => Picked::Leave(Leaving::Interrupted),
        })
    }

    fn review(&mut self, lines: &[ReviewLine]) -> io::Result<Reviewed> {
        self.part = 0;
        let mut items = vec![Item { text: self.labels.get("screen.done").to_owned(), does: Does::Done }];
        let not_sure = self.labels.get("label.not_sure");
        let none = self.labels.get("label.none_of_these");
        items.extend(lines.iter().enumerate().map(|(i, line)| {
            let answer = line.answer.as_deref().map_or(not_sure, |a| if a.is_empty() { none } else { a });
            let mark = if line.differs { "* " } else { "" };
            Item { text: format!("{mark}{}: {answer}", line.name), does: Does::Choose(i) }
        }));
        let keys = self.keys("screen.keys_review");
        Self::print("")?;
        if let Some(title) = self.labels.stretch(self.stretch.as_deref()) {
            Self::print(&wrap(&title, self.width, ""))?;
        }
        let picked = Select::new(self.labels.get("screen.review"), items)
            .with_help_message(&keys)
            .with_page_size(self.page)
            .with_scorer(&|input, item, _, _| score(input, item))
            .prompt();
        Ok(match got(picked)? {
            Got::Value(Item { does: Does::Choose(i), .. }) => Reviewed::Change(i),
            Got::Value(_) => Reviewed::Done,
            Got::Back => Reviewed::Back,
            Got::Leave => Reviewed::Leave(Leaving::Interrupted),
        })
    }
}

/// Sets the look of all menus: no colour when `plain`, and marks of our own.
pub(super) fn look(colour: bool) {
    let mut config = if colour { RenderConfig::default_colored() } else { RenderConfig::empty() };
    config.prompt_prefix = inquire::ui::Styled::new("::");
    config.answered_prompt_prefix = inquire::ui::Styled::new("ok");
    config.highlighted_option_prefix = inquire::ui::Styled::new("->");
    inquire::set_global_render_config(config);
}

impl Menus {
    /// Switches the look of all menus.
    pub fn set_colour(&self, colour: bool) {
        look(colour);
    }
}
