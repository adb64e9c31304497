//! Asking on plain lines: for pipes, screen readers, and terminals that can do no more.

use super::finder::Entry;
use super::{Doubt, Labels, asked, combined, doubt, help, length_of, options, wrap};
use crate::flow::{Answer, AnswerError, Question, QuestionKind, harmless};
use crate::interview::{Asker, Leaving, Picked, Prompt, Reply, ReviewLine, Reviewed};
use std::io::{self, BufRead, Write};

/// Asks on plain lines. Reads from `input`, writes to `output`; the end of the input saves and leaves.
#[derive(Debug)]
pub struct Plain<R, W> {
    labels: Labels,
    input: R,
    output: W,
    width: usize,
    stretch: Option<String>,
}

/// What a line of input says.
enum PlainReply {
    Text(String),
    Back,
    Help,
    Leave(Leaving),
}

/// Why a line is no answer. The words for it are labels, see [`Plain::refuse`].
#[derive(Debug)]
enum Refused {
    /// It is no answer to the question.
    Answer(AnswerError),
    /// There is no such line in the list.
    Number,
    /// The lines do not go together.
    Mixed,
}

/// What somebody settles a doubt with.
enum Settling {
    Answer(Answer),
    Again,
    Leave(Leaving),
}

impl<R: BufRead, W: Write> Plain<R, W> {
    /// Plain lines of this width.
    pub fn new(labels: Labels, input: R, output: W, width: usize) -> Self {
        Plain { labels, input, output, width: width.clamp(40, 100), stretch: None }
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
        Ok(if self.labels.means("typed.back", text) {
            PlainReply::Back
        } else if self.labels.means("typed.help", text) {
            PlainReply::Help
        } else if self.labels.means("typed.save", text) {
            PlainReply::Leave(Leaving::Asked)
        } else {
            PlainReply::Text(text.to_owned())
        })
    }

    fn say(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.output, "{}", harmless(text))
    }

    fn say_wrapped(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.output, "{}", harmless(&wrap(text, self.width, "")))
    }

    /// The numbered lines of a list.
    fn say_list<'a>(&mut self, lines: impl Iterator<Item = (usize, &'a str)>) -> io::Result<()> {
        for (i, line) in lines {
            writeln!(self.output, "  {}. {}", i + 1, harmless(line))?;
        }
        Ok(())
    }

    /// An answer from a line: numbers of the list, or words.
    fn read(&self, text: &str, prompt: &Prompt<'_>, options: &[(Entry, Answer)]) -> Result<Answer, Refused> {
        let question = prompt.question;
        if self.labels.means_not_sure(question, text) {
            return Ok(Answer::NotSure);
        }
        // nothing said to a text is not sure too
        if question.not_sure && question.kind == QuestionKind::Text && text.is_empty() {
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
            return combined(&picked.ok_or(Refused::Number)?, question).ok_or(Refused::Mixed);
        }
        if let Some((_, answer)) = options.iter().find(|(entry, _)| entry.label.to_lowercase() == text.to_lowercase()) {
            return Ok(answer.clone());
        }
        if question.kind == QuestionKind::YesNo {
            for (key, yes) in [("typed.yes", true), ("typed.no", false)] {
                if self.labels.means(key, text) {
                    return Ok(Answer::YesNo(yes));
                }
            }
        }
        prompt.typing().answer(question, text).map_err(|error| match error {
            AnswerError::NeedsAnswer => Refused::Answer(error),
            _ => Refused::Number,
        })
    }

    /// Says why a line is no answer; and where its words are found in the list, which lines have them.
    fn refuse(
        &mut self,
        refused: &Refused,
        text: &str,
        question: &Question,
        options: &[(Entry, Answer)],
    ) -> io::Result<()> {
        let message = match refused {
            Refused::Answer(error) => self.labels.refused(question, error),
            Refused::Mixed => self.labels.get("screen.mark_either").to_owned(),
            Refused::Number => {
                let has_letters = text.chars().any(char::is_alphabetic);
                let hits: Vec<(usize, usize)> = options
                    .iter()
                    .enumerate()
                    .filter_map(|(i, (entry, _))| Some((entry.fits(text)?, i)))
                    .filter(|_| has_letters)
                    .collect();
                if !hits.is_empty() {
                    let mut hits = hits;
                    hits.sort_unstable();
                    self.say_wrapped(&self.labels.with("screen.found", &[("text", text)]))?;
                    self.say_list(hits.iter().map(|(_, i)| (*i, options[*i].0.label.as_str())))?;
                }
                self.labels.with("screen.no_such_number", &[("count", &options.len().to_string())])
            }
        };
        self.say_wrapped(&message)
    }

    /// Asks back what was meant.
    fn settle(&mut self, doubt: &Doubt) -> io::Result<Settling> {
        self.say_wrapped(&doubt.says)?;
        self.say_list(doubt.offers.iter().enumerate().map(|(i, (label, _))| (i, label.as_str())))?;
        Ok(match self.line()? {
            PlainReply::Leave(how) => Settling::Leave(how),
            PlainReply::Back | PlainReply::Help => Settling::Again,
            PlainReply::Text(text) => {
                let yes = self.labels.means("typed.yes", &text) || self.labels.means("label.yes", &text);
                // only what is as it was typed can be right as it is
                let place = match text.parse::<usize>() {
                    Ok(number) => number.checked_sub(1),
                    Err(_) => (yes && doubt.likely == 1).then_some(0),
                };
                place.and_then(|at| doubt.offers.get(at)?.1.clone()).map_or(Settling::Again, Settling::Answer)
            }
        })
    }

    /// Reads lines until one picks something of a list of so many lines: its place, or nothing for "done".
    fn pick(&mut self, count: usize, how: &str) -> io::Result<Result<Option<usize>, PlainReply>> {
        self.say_wrapped(how)?;
        loop {
            match self.line()? {
                PlainReply::Text(text) if text.is_empty() || self.labels.means("typed.done", &text) => {
                    return Ok(Ok(None));
                }
                PlainReply::Text(text) => match text.parse::<usize>() {
                    Ok(n) if (1..=count).contains(&n) => return Ok(Ok(Some(n - 1))),
                    _ => {
                        self.say_wrapped(&self.labels.with("screen.no_such_number", &[("count", &count.to_string())]))?;
                    }
                },
                PlainReply::Help => self.say_wrapped(how)?,
                other @ (PlainReply::Back | PlainReply::Leave(_)) => return Ok(Err(other)),
            }
        }
    }

    /// The question with all that belongs to it.
    fn put(&mut self, prompt: &Prompt<'_>, options: &[(Entry, Answer)]) -> io::Result<()> {
        let question = prompt.question;
        self.say("")?;
        let (said, sketch) = self.labels.before(&prompt.progress);
        for text in said {
            self.say_wrapped(&text)?;
        }
        if let Some(sketch) = sketch {
            self.say(&sketch)?;
        }
        self.say(&self.labels.progress(&prompt.progress, self.stretch.as_deref()))?;
        for (i, text) in asked(prompt, &self.labels).iter().enumerate() {
            self.say(&wrap(text, self.width, if i == 0 { "" } else { "  " }))?;
        }
        self.say_list(options.iter().enumerate().map(|(i, (entry, _))| (i, entry.label.as_str())))?;
        if let Some(current) = prompt.current {
            let shown = self.labels.answer(question, current, prompt.units);
            self.say(&self.labels.with("screen.now", &[("answer", &shown)]))?;
        }
        let how = match question.kind {
            QuestionKind::SeveralOf => self.labels.get("screen.type_several"),
            QuestionKind::OneOf | QuestionKind::YesNo => self.labels.get("screen.type_number"),
            _ => self.labels.such_as(question, prompt.units),
        };
        let or_not = if question.not_sure { self.labels.get("screen.or_not_sure") } else { "" };
        let keys = [how, or_not, self.labels.get("screen.type_words")];
        let keys: Vec<&str> = keys.into_iter().filter(|text| !text.is_empty()).collect();
        self.say_wrapped(&keys.join(" "))
    }
}

impl<R: BufRead, W: Write> Asker for Plain<R, W> {
    fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
        let question = prompt.question;
        let options = options(prompt, &self.labels);
        self.put(prompt, &options)?;
        loop {
            let text = match self.line()? {
                PlainReply::Back => return Ok(Reply::Back),
                PlainReply::Leave(how) => return Ok(Reply::Leave(how)),
                PlainReply::Help => {
                    for part in help(prompt, &self.labels) {
                        self.say(&wrap(&part, self.width, "  "))?;
                    }
                    continue;
                }
                PlainReply::Text(text) => text,
            };
            if let (true, Some(current)) = (text.is_empty(), prompt.current) {
                return Ok(Reply::Answer(current.clone()));
            }
            let read = self.read(&text, prompt, &options);
            if let (true, Ok(both @ Reply::Both(..))) = (prompt.second.is_some(), prompt.read(&text)) {
                self.say_wrapped(&prompt.echo(&text).unwrap_or_default())?;
                return Ok(both);
            }
            // a number of the list is meant as one; anything else with a figure in it may be a height
            let of_the_list = text.bytes().all(|b| b.is_ascii_digit());
            let at_once = if read.is_err() && !of_the_list { prompt.typed_at_once(&text) } else { None };
            let typed = at_once.is_some();
            let read = at_once.map_or(read, Ok);
            let said = |answer: Answer| if typed { Reply::Typed(answer) } else { Reply::Answer(answer) };
            if let Ok(answer) = &read
                && let Some(echo) = prompt.typing().echo(length_of(prompt), &text, answer)
            {
                self.say_wrapped(&echo)?;
            }
            let in_doubt = match &read {
                Ok(answer) => doubt(prompt, &self.labels, &text, &Ok(answer.clone())),
                Err(Refused::Answer(error)) => doubt(prompt, &self.labels, &text, &Err(error.clone())),
                Err(Refused::Number | Refused::Mixed) => None,
            };
            match (in_doubt, read) {
                (Some(doubt), _) => match self.settle(&doubt)? {
                    Settling::Answer(answer) => return Ok(said(answer)),
                    Settling::Leave(how) => return Ok(Reply::Leave(how)),
                    Settling::Again => self.say_wrapped(prompt.ask())?,
                },
                (None, Ok(answer)) => return Ok(said(answer)),
                (None, Err(refused)) => self.refuse(&refused, &text, question, &options)?,
            }
        }
    }

    fn stretch(&mut self, name: &str) {
        self.stretch = Some(name.to_owned());
    }

    fn choose(&mut self, title: &str, items: &[String]) -> io::Result<Picked> {
        self.say("")?;
        self.say(title)?;
        self.say_list(items.iter().enumerate().map(|(i, item)| (i, item.as_str())))?;
        let how = self.labels.get("screen.type_menu").to_owned();
        Ok(match self.pick(items.len(), &how)? {
            Ok(Some(at)) => Picked::Item(at),
            Err(PlainReply::Leave(how)) => Picked::Leave(how),
            Ok(None) | Err(_) => Picked::Back,
        })
    }

    fn review(&mut self, lines: &[ReviewLine]) -> io::Result<Reviewed> {
        self.say("")?;
        if let Some(title) = self.labels.stretch(self.stretch.as_deref()) {
            self.say_wrapped(&title)?;
        }
        let shown: Vec<String> = lines.iter().map(|line| self.labels.reviewed(line)).collect();
        self.say_list(shown.iter().enumerate().map(|(i, line)| (i, line.as_str())))?;
        let how = self.labels.get("screen.type_review").to_owned();
        Ok(match self.pick(lines.len(), &how)? {
            Ok(Some(at)) => Reviewed::Change(at),
            Ok(None) => Reviewed::Done,
            Err(PlainReply::Leave(how)) => Reviewed::Leave(how),
            Err(_) => Reviewed::Back,
        })
    }
}
