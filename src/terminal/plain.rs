//! Asking on plain lines: for pipes, screen readers, and terminals that can do no more.

use super::{Labels, help, wrap};
use crate::flow::{Answer, AnswerError, Question, QuestionKind};
use crate::interview::{Asker, Leaving, Picked, Prompt, Reply, ReviewLine, Reviewed};
use crate::units::Units;
use std::io::{self, BufRead, Write};

/// Asks on plain lines. Reads from `input`, writes to `output`; the end of the input saves and leaves.
#[derive(Debug)]
pub struct Plain<R, W> {
    labels: Labels,
    input: R,
    output: W,
    width: usize,
    part: usize,
    stretch: Option<String>,
}

/// What a line of input says.
enum PlainReply {
    Text(String),
    Back,
    Help,
    Leave(Leaving),
}

/// Why a line is no answer. The words for it are labels, see [`Plain::refusal`].
#[derive(Debug)]
enum Refused {
    /// It is no answer to the question.
    Answer(AnswerError),
    /// There is no such line in the list.
    Number,
    /// The lines do not go together.
    Mixed,
}

impl<R: BufRead, W: Write> Plain<R, W> {
    /// Plain lines of this width.
    pub fn new(labels: Labels, input: R, output: W, width: usize) -> Self {
        Plain { labels, input, output, width: width.clamp(40, 100), part: 0, stretch: None }
    }

    fn line(&mut self) -> io::Result<PlainReply> {
        write!(self.output, "> ")?;
        self.output.flush()?;
        let mut line = String::new();
        let read = match self.input.read_line(&mut line) {
            Err(error) if error.kind() == io::ErrorKind::InvalidData => {
                line.clear();
                line.push('\u{fffd}');
                1
            }
            other => other?,
        };
        if read == 0 {
            writeln!(self.output)?;
            return Ok(PlainReply::Leave(Leaving::EndOfInput));
        }
        let text = line.trim();
        Ok(match text.to_lowercase().as_str() {
            "back" => PlainReply::Back,
            "?" | "help" => PlainReply::Help,
            "save" | "quit" => PlainReply::Leave(Leaving::Asked),
            _ => PlainReply::Text(text.to_owned()),
        })
    }

    fn say(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.output, "{text}")
    }

    /// The numbered lines of a question: the choices, then "none" and "not sure".
    fn options(&self, question: &Question) -> Vec<(String, Answer)> {
        let mut options: Vec<(String, Answer)> = match question.kind {
            QuestionKind::YesNo => vec![
                (self.labels.get("label.yes").to_owned(), Answer::YesNo(true)),
                (self.labels.get("label.no").to_owned(), Answer::YesNo(false)),
            ],
            QuestionKind::OneOf => {
                question.choices.iter().enumerate().map(|(i, c)| (c.label.clone(), Answer::Choice(i))).collect()
            }
            QuestionKind::SeveralOf => {
                let mut list: Vec<(String, Answer)> = question
                    .choices
                    .iter()
                    .enumerate()
                    .map(|(i, c)| (c.label.clone(), Answer::Several(1 << i)))
                    .collect();
                list.push((self.labels.get("screen.none").to_owned(), Answer::Several(0)));
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
            options.push((self.labels.get("screen.not_sure").to_owned(), Answer::NotSure));
        }
        options
    }

    /// An answer from a line: numbers of the list, or words.
    fn read(&self, text: &str, prompt: &Prompt<'_>, options: &[(String, Answer)]) -> Result<Answer, Refused> {
        let question = prompt.question;
        let not_sure = self.labels.get("screen.not_sure").to_lowercase();
        if question.not_sure && question.kind != QuestionKind::Text && text.to_lowercase() == not_sure {
            return Ok(Answer::NotSure);
        }
        if question.not_sure
            && question.kind == QuestionKind::Text
            && (text.is_empty() || text.to_lowercase() == not_sure)
        {
            return Ok(Answer::NotSure);
        }
        if options.is_empty() {
            return prompt.typing().answer(question, text).map_err(Refused::Answer);
        }
        let parts: Vec<&str> = text.split([',', ' ']).filter(|p| !p.is_empty()).collect();
        if !parts.is_empty() && parts.iter().all(|p| p.bytes().all(|b| b.is_ascii_digit())) {
            let pick = |part: &&str| {
                let number: usize = part.parse().ok()?;
                options.get(number.checked_sub(1)?).map(|(_, answer)| answer.clone())
            };
            let picked: Option<Vec<Answer>> = parts.iter().map(pick).collect();
            return combine(&picked.ok_or(Refused::Number)?, question).ok_or(Refused::Mixed);
        }
        if let Some((_, answer)) = options.iter().find(|(label, _)| label.to_lowercase() == text.to_lowercase()) {
            return Ok(answer.clone());
        }
        prompt.typing().answer(question, text).map_err(|error| match error {
            AnswerError::NeedsAnswer => Refused::Answer(error),
            _ => Refused::Number,
        })
    }

    /// What to say about a line that is no answer.
    fn refusal(&self, refused: &Refused, question: &Question, options: &[(String, Answer)]) -> String {
        match refused {
            Refused::Answer(error) => self.labels.refused(question, error),
            Refused::Number => self.labels.with("screen.no_such_number", &[("count", &options.len().to_string())]),
            Refused::Mixed => self.labels.get("screen.mark_either").to_owned(),
        }
    }

    /// Asks back when a value is unusual: gives what is to be taken, or nothing to ask the question again.
    fn unusual(
        &mut self,
        question: &Question,
        answer: Answer,
        meant: Option<Answer>,
        units: Units,
    ) -> io::Result<Option<Answer>> {
        let Some(bound) = question.unusual(&answer, units) else { return Ok(Some(answer)) };
        let message =
            self.labels.with("screen.unusual", &[("value", &bound.value), ("from", &bound.from), ("to", &bound.to)]);
        let (yes, no) = (self.labels.get("label.yes").to_owned(), self.labels.get("label.no").to_owned());
        self.say(&wrap(&format!("{message} ({yes}/{no})"), self.width, ""))?;
        if let Some(text) = meant.as_ref().and_then(|meant| question.show_answer(meant, units)) {
            let line = self.labels.with("screen.meant", &[("value", &text)]);
            self.say(&format!("  2. {line}"))?;
        }
        Ok(match self.line()? {
            PlainReply::Text(text) if text == "2" => meant,
            PlainReply::Text(text)
                if text.to_lowercase() == yes.to_lowercase() || text == "1" || text.eq_ignore_ascii_case("y") =>
            {
                Some(answer)
            }
            PlainReply::Text(_) | PlainReply::Back | PlainReply::Help | PlainReply::Leave(_) => None,
        })
    }
}

/// One answer out of the picked lines; nothing if they do not go together.
fn combine(picked: &[Answer], question: &Question) -> Option<Answer> {
    if question.kind != QuestionKind::SeveralOf {
        return match picked {
            [one] => Some(one.clone()),
            _ => None,
        };
    }
    if let [one] = picked {
        return Some(one.clone());
    }
    let mut bits = 0;
    for answer in picked {
        match answer {
            Answer::Several(bit) if *bit != 0 => bits |= bit,
            Answer::Several(_)
            | Answer::NotSure
            | Answer::Choice(_)
            | Answer::YesNo(_)
            | Answer::Length(_)
            | Answer::Number(_)
            | Answer::Year(_)
            | Answer::Text(_)
            | Answer::Profile(_)
            | Answer::Places(_) => return None,
        }
    }
    Some(Answer::Several(bits))
}

impl<R: BufRead, W: Write> Asker for Plain<R, W> {
    fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
        let (question, units) = (prompt.question, prompt.units);
        let options = self.options(question);
        let new_part = self.part != prompt.progress.part;
        self.part = prompt.progress.part;
        self.say("")?;
        self.say(&self.labels.progress(&prompt.progress, self.stretch.as_deref()))?;
        if let (true, Some(intro)) = (new_part, prompt.progress.intro) {
            let intro = wrap(intro, self.width, "");
            self.say(&intro)?;
        }
        self.say(&wrap(prompt.ask(), self.width, ""))?;
        for (i, (label, _)) in options.iter().enumerate() {
            self.say(&format!("  {}. {label}", i + 1))?;
        }
        if question.kind == QuestionKind::Places {
            let names = question.choices.iter().map(|c| c.id.as_str()).collect::<Vec<_>>().join(", ");
            self.say(&wrap(&names, self.width, "  "))?;
        }
        if let Some(current) = prompt.current {
            let shown = question.show_answer(current, units);
            let shown = shown.unwrap_or_else(|| self.labels.get("label.not_sure").to_owned());
            self.say(&self.labels.with("screen.now", &[("answer", &shown)]))?;
        }
        let key = match (question.kind, units) {
            (QuestionKind::SeveralOf, _) => "screen.type_several",
            (QuestionKind::OneOf | QuestionKind::YesNo, _) => "screen.type_number",
            (QuestionKind::Length, Units::Inch) => "screen.type_inches",
            (QuestionKind::Length, Units::Metric) => "screen.type_metric",
            (QuestionKind::Text, _) => "screen.type_text",
            (QuestionKind::Profile, _) => "screen.type_profile",
            (QuestionKind::Places, _) => "screen.type_places",
            (QuestionKind::Number | QuestionKind::Year, _) => "screen.type_figure",
        };
        let keys = wrap(self.labels.get(key), self.width, "");
        self.say(&keys)?;
        loop {
            match self.line()? {
                PlainReply::Back => return Ok(Reply::Back),
                PlainReply::Leave(how) => return Ok(Reply::Leave(how)),
                PlainReply::Help => {
                    let text = help(prompt, &self.labels, self.width);
                    self.say(&text)?;
                }
                PlainReply::Text(text) if text.is_empty() && prompt.current.is_some() => {
                    return Ok(prompt.current.cloned().map_or(Reply::Back, Reply::Answer));
                }
                PlainReply::Text(text) => match self.read(&text, prompt, &options) {
                    Ok(answer) => {
                        if let Some(echo) = prompt.typing().echo(question, &text, &answer) {
                            self.say(&wrap(&echo, self.width, ""))?;
                        }
                        let meant = prompt.typing().meant(question, &text);
                        if let Some(answer) = self.unusual(question, answer, meant, units)? {
                            return Ok(Reply::Answer(answer));
                        }
                        let ask = wrap(prompt.ask(), self.width, "");
                        self.say(&ask)?;
                    }
                    Err(refused) => {
                        let message = wrap(&self.refusal(&refused, question, &options), self.width, "");
                        self.say(&message)?;
                    }
                },
            }
        }
    }

    fn stretch(&mut self, name: &str) {
        self.stretch = Some(name.to_owned());
    }

    fn choose(&mut self, title: &str, items: &[String]) -> io::Result<Picked> {
        self.say("")?;
        self.say(title)?;
        for (i, item) in items.iter().enumerate() {
            self.say(&format!("  {}. {item}", i + 1))?;
        }
        self.say(&wrap(self.labels.get("screen.type_menu"), self.width, "").clone())?;
        loop {
            match self.line()? {
                PlainReply::Back => return Ok(Picked::Back),
                PlainReply::Leave(how) => return Ok(Picked::Leave(how)),
                PlainReply::Text(text) if matches!(text.to_lowercase().as_str(), "done" | "ok" | "") => {
                    return Ok(Picked::Back);
                }
                PlainReply::Text(text) => match text.parse::<usize>() {
                    Ok(n) if (1..=items.len()).contains(&n) => return Ok(Picked::Item(n - 1)),
                    _ => {
                        let count = items.len().to_string();
                        let message = self.labels.with("screen.no_such_number", &[("count", &count)]);
                        self.say(&message)?;
                    }
                },
                PlainReply::Help => self.say(&wrap(self.labels.get("screen.type_menu"), self.width, "").clone())?,
            }
        }
    }

    fn review(&mut self, lines: &[ReviewLine]) -> io::Result<Reviewed> {
        self.part = 0;
        self.say("")?;
        let (not_sure, none) =
            (self.labels.get("label.not_sure").to_owned(), self.labels.get("label.none_of_these").to_owned());
        if let Some(title) = self.labels.stretch(self.stretch.as_deref()) {
            self.say(&wrap(&title, self.width, ""))?;
        }
        for (i, line) in lines.iter().enumerate() {
            let answer = line.answer.as_deref().map_or(not_sure.as_str(), |a| if a.is_empty() { &none } else { a });
            let mark = if line.differs { "* " } else { "" };
            self.say(&format!("  {}. {mark}{}: {answer}", i + 1, line.name))?;
        }
        self.say(&wrap(self.labels.get("screen.type_review"), self.width, "").clone())?;
        loop {
            match self.line()? {
                PlainReply::Back => return Ok(Reviewed::Back),
                PlainReply::Leave(how) => return Ok(Reviewed::Leave(how)),
                PlainReply::Text(text) if matches!(text.to_lowercase().as_str(), "done" | "ok" | "") => {
                    return Ok(Reviewed::Done);
                }
                PlainReply::Text(text) => match text.parse::<usize>() {
                    Ok(n) if (1..=lines.len()).contains(&n) => return Ok(Reviewed::Change(n - 1)),
                    _ => self.say(
                        &self.labels.with("screen.no_such_number", &[("count", &lines.len().to_string())]).clone(),
                    )?,
                },
                PlainReply::Help => self.say(&wrap(self.labels.get("screen.type_review"), self.width, "").clone())?,
            }
        }
    }
}
