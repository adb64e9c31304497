//! Asking with menus.

use super::finder::{Entry, Finder};
use super::frame::{ListLine, LongText, Shows, TypedLine};
use super::keys::{Came, KeyPress};
use super::line::LineEditor;
use super::pick::PickList;
use super::screen::{Screen, room};
use super::ticks::TickList;
use super::{Labels, asked, combined, doubt, help, length_of, options, wrap, wrapped};
use crate::flow::{Answer, AnswerError, QuestionKind, harmless};
use crate::interview::{Asker, Leaving, Picked, Prompt, Reply, ReviewLine, Reviewed};
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// What stands before the line under the cursor, before the others, and before what was answered.
const HERE: &str = "-> ";
const NOT_HERE: &str = "   ";
const ANSWERED: &str = "ok ";
/// A list keeps this many lines, before the words at the head of a section are kept in sight with it.
const ENOUGH: usize = 16;

/// Asks in a terminal with menus. The keys are those of [`KeyPress`]; each prompt shows what they do.
#[derive(Debug)]
pub struct Menus {
    labels: Labels,
    styled: bool,
    /// Columns and lines where the terminal does not tell its own.
    otherwise: (usize, usize),
    stretch: Option<String>,
}

/// A machine that a prompt is answered with.
trait Widget {
    /// What it gives.
    type Gives;
    fn press(&mut self, key: &KeyPress) -> Came<Self::Gives>;
    fn show(&self, labels: &Labels, shows: &mut Shows);
}

/// What stands around a widget.
struct Around {
    shows: Shows,
    /// What the keys do that every prompt of this kind has.
    keys: Vec<&'static str>,
    help: Option<LongText>,
    /// What is said to "not sure" where it is no answer.
    must_answer: Option<String>,
    /// Lines above that had better stay in sight.
    above: usize,
    /// Whether what stands above counts more than to see all of the list.
    below: bool,
}

/// Lines of a terminal in which a menu does not take all that it needs.
const LOW: usize = 24;

/// How many lines a menu takes below what stands above it: in a low terminal half of them, so that the rest stays in sight.
#[must_use]
pub fn menu_lines(items: usize, lines: usize) -> usize {
    // its title, its keys, and an empty line before it
    if lines < LOW { lines / 2 + 1 } else { items + 3 }
}

/// What is shown of a list.
fn show_list(finder: &Finder, sign: impl Fn(usize) -> String, labels: &Labels, shows: &mut Shows) {
    let current = finder.current();
    let line = |i: &usize| ListLine {
        sign: format!("{}{}", if current == Some(*i) { HERE } else { NOT_HERE }, sign(*i)),
        text: finder.entries()[*i].label.clone(),
        current: current == Some(*i),
    };
    shows.list = finder.hits().iter().map(line).collect();
    // in brackets, so that it is not taken for a line of the list
    let hint = |entry: &Entry| entry.hint.as_ref().map(|hint| format!("({hint})"));
    shows.hints = finder.entries().iter().filter_map(hint).collect();
    shows.hint = current.and_then(|i| hint(&finder.entries()[i])).unwrap_or_default();
    if !finder.search().is_empty() {
        shows.search = labels.with("screen.search", &[("text", finder.search())]);
        if finder.hits().is_empty() {
            shows.message = labels.with("screen.nothing_found", &[("text", finder.search().trim())]);
        }
    }
}

impl Widget for PickList {
    type Gives = usize;

    fn press(&mut self, key: &KeyPress) -> Came<usize> {
        PickList::press(self, key)
    }

    fn show(&self, labels: &Labels, shows: &mut Shows) {
        show_list(self.finder(), |_| String::new(), labels, shows);
        let searching = !self.finder().search().is_empty();
        shows.keys = if searching {
            labels.all(&["screen.key_found", "screen.key_end_search"])
        } else {
            labels.get("screen.key_choose").to_owned()
        };
    }
}

impl Widget for TickList {
    type Gives = Vec<usize>;

    fn press(&mut self, key: &KeyPress) -> Came<Vec<usize>> {
        TickList::press(self, key)
    }

    fn show(&self, labels: &Labels, shows: &mut Shows) {
        let marks = self.marks();
        let sign = |i: usize| if marks.contains(&i) { "[x] " } else { "[ ] " }.to_owned();
        show_list(self.finder(), sign, labels, shows);
        if !marks.is_empty() {
            let names: Vec<&str> = marks.iter().map(|i| self.finder().entries()[*i].label.as_str()).collect();
            shows.marked = labels.with("screen.marked", &[("list", &names.join("; "))]);
        }
        let searching = !self.finder().search().is_empty();
        shows.keys = if searching {
            labels.all(&["screen.key_found_mark", "screen.key_end_search"])
        } else {
            labels.get("screen.key_mark").to_owned()
        };
    }
}

/// What is taken from a list in which a height can be typed too.
enum Taken {
    Line(usize),
    Text(String),
}

/// A list of which one line is taken, unless a height is typed instead.
struct PickOrType<'a> {
    list: PickList,
    prompt: &'a Prompt<'a>,
}

impl PickOrType<'_> {
    /// The height that stands where else a search stands.
    fn typed(&self) -> Option<Answer> {
        self.prompt.typed_at_once(self.list.finder().search())
    }
}

impl Widget for PickOrType<'_> {
    type Gives = Taken;

    fn press(&mut self, key: &KeyPress) -> Came<Taken> {
        if *key == KeyPress::Enter && self.typed().is_some() {
            return Came::Taken(Taken::Text(self.list.finder().search().to_owned()));
        }
        given(self.list.press(key), |line| Some(Taken::Line(line)))
    }

    fn show(&self, labels: &Labels, shows: &mut Shows) {
        self.list.show(labels, shows);
        if let (Some(answer), Some(or_type)) = (self.typed(), &self.prompt.or_type) {
            let value = labels.answer(or_type.question, &answer, self.prompt.units);
            shows.message = labels.with("screen.typed", &[("name", &or_type.asked.short), ("value", &value)]);
        }
    }
}

/// A line that is typed as the answer to a question.
struct AnswerLine<'a> {
    editor: LineEditor,
    prompt: &'a Prompt<'a>,
}

impl Widget for AnswerLine<'_> {
    type Gives = String;

    fn press(&mut self, key: &KeyPress) -> Came<String> {
        self.editor.press(key)
    }

    fn show(&self, labels: &Labels, shows: &mut Shows) {
        let (question, units) = (self.prompt.question, self.prompt.units);
        let text = self.editor.text();
        shows.typed = Some(TypedLine { sign: HERE.to_owned(), at: self.editor.at(), text: text.clone() });
        shows.hint = match (self.prompt.echo(&text), self.prompt.current) {
            (Some(echo), _) => echo,
            (None, Some(current)) if text.is_empty() => {
                labels.with("screen.now", &[("answer", &labels.answer(question, current, units))])
            }
            _ => String::new(),
        };
        // one line is kept for it, so that nothing jumps
        shows.hints = vec!["=".to_owned()];
        labels.such_as(question, units).clone_into(&mut shows.keys);
    }
}

impl Menus {
    /// Menus for a terminal of this width and height, if it does not tell its own: that counts, since it changes.
    #[must_use]
    pub fn new(labels: Labels, width: usize, height: usize) -> Self {
        Menus { labels, styled: false, otherwise: (width, height), stretch: None }
    }

    /// Whether what stands out may be bold. There are never colours: what suits a dark background vanishes on a light one.
    pub fn set_colour(&mut self, colour: bool) {
        self.styled = colour;
    }

    fn open(&self) -> io::Result<Screen> {
        Screen::open(self.styled, self.otherwise)
    }

    fn print(text: &str) -> io::Result<()> {
        writeln!(io::stderr(), "{}", harmless(text))
    }

    /// Shows a widget and gives it keys until it comes to something.
    fn run<W: Widget>(
        &self,
        screen: &mut Screen,
        widget: &mut W,
        around: &Around,
        mut message: String,
    ) -> io::Result<Came<W::Gives>> {
        loop {
            let mut shows = around.shows.clone();
            widget.show(&self.labels, &mut shows);
            // in a search, letters and Esc do what the search says
            let searching = !shows.search.is_empty();
            let holds = |key: &&&str| !searching || !matches!(**key, "screen.key_search" | "screen.key_back");
            let always: Vec<&str> = around.keys.iter().filter(holds).copied().collect();
            let keys = format!("{} {}", shows.keys, self.labels.all(&always));
            keys.trim().clone_into(&mut shows.keys);
            if shows.message.is_empty() {
                shows.message.clone_from(&message);
            }
            let (columns, lines) = screen.room();
            let kept = lines.saturating_sub(around.above);
            let most = match around.below {
                true if lines < LOW => menu_lines(0, lines),
                _ if kept >= ENOUGH => kept,
                _ => lines,
            };
            screen.paint(&shows.frame(columns, most))?;
            let key = screen.key()?;
            if key == KeyPress::Resized {
                continue;
            }
            message.clear();
            match widget.press(&key) {
                Came::Open => {}
                Came::NothingMarked => {
                    let or_not = if around.must_answer.is_none() { "screen.or_key_not_sure" } else { "" };
                    self.labels.all(&["screen.mark_one", or_not]).trim().clone_into(&mut message);
                }
                Came::StillMarked => self.labels.get("screen.still_marked").clone_into(&mut message),
                Came::Help => {
                    if let Some(text) = &around.help
                        && let Some(how) = Self::read(screen, text)?
                    {
                        return Ok(Came::Leave(how));
                    }
                }
                Came::NotSure => match &around.must_answer {
                    None => return Ok(Came::NotSure),
                    Some(says) => message.clone_from(says),
                },
                other @ (Came::Taken(_) | Came::Back | Came::Leave(_)) => return Ok(other),
            }
        }
    }

    /// Shows a long text until it is closed.
    fn read(screen: &mut Screen, text: &LongText) -> io::Result<Option<Leaving>> {
        let mut from: usize = 0;
        loop {
            let (columns, lines) = screen.room();
            let (frame, last) = text.frame(from, columns, lines);
            from = from.min(last);
            screen.paint(&frame)?;
            let page = (lines / 2).max(1);
            match screen.key()? {
                KeyPress::Enter | KeyPress::Esc | KeyPress::Char('?') => return Ok(None),
                KeyPress::Interrupt => return Ok(Some(Leaving::Interrupted)),
                KeyPress::Save => return Ok(Some(Leaving::Asked)),
                KeyPress::Up => from = from.saturating_sub(1),
                KeyPress::Down => from += 1,
                KeyPress::PageUp => from = from.saturating_sub(page),
                KeyPress::PageDown | KeyPress::Char(' ') => from += page,
                KeyPress::Home => from = 0,
                KeyPress::End => from = last,
                _ => {}
            }
        }
    }

    /// What stands around a question.
    fn around(&self, prompt: &Prompt<'_>, above: usize) -> Around {
        let question = prompt.question;
        let has_list = !options(prompt, &self.labels).is_empty();
        let mut keys = Vec::new();
        if has_list {
            keys.push("screen.key_search");
        }
        keys.push("screen.key_explain");
        if question.not_sure {
            keys.push("screen.key_not_sure");
        }
        keys.extend(["screen.key_back", "screen.key_save"]);
        let must_answer = (!question.not_sure).then(|| format!("{}.", self.labels.said(&AnswerError::NeedsAnswer)));
        let mut paragraphs = help(prompt, &self.labels);
        // in a low terminal it has moved out of sight
        paragraphs.extend(self.labels.before(&prompt.progress).0);
        let help = LongText {
            title: prompt.ask().to_owned(),
            paragraphs,
            drawn: prompt.sketch.unwrap_or_default().lines().map(str::to_owned).collect(),
            keys: self.labels.get("screen.key_close").to_owned(),
            out_of_sight: self.labels.get("screen.lines_out_of_sight").to_owned(),
        };
        let shows = Shows {
            progress: self.labels.progress(&prompt.progress, self.stretch.as_deref()),
            ask: asked(prompt, &self.labels),
            title: prompt.short().to_owned(),
            out_of_sight: self.labels.get("screen.out_of_sight").to_owned(),
            ..Shows::default()
        };
        Around { shows, keys, help: (!help.paragraphs.is_empty()).then_some(help), must_answer, above, below: false }
    }

    /// A list that is not a question: a title, and lines of which one is taken.
    fn around_list(&self, ask: Vec<String>, title: &str, keys: Vec<&'static str>) -> Around {
        let shows = Shows {
            ask,
            title: title.to_owned(),
            out_of_sight: self.labels.get("screen.out_of_sight").to_owned(),
            ..Shows::default()
        };
        Around { shows, keys, help: None, must_answer: Some(String::new()), above: 0, below: false }
    }

    /// The line that is taken, or the height that is typed instead.
    fn one_of(
        &self,
        screen: &mut Screen,
        prompt: &Prompt<'_>,
        around: &Around,
    ) -> io::Result<(Came<Reply>, Option<String>)> {
        let options = options(prompt, &self.labels);
        let at = prompt.current.and_then(|now| options.iter().position(|(_, answer)| answer == now)).unwrap_or(0);
        let (entries, answers): (Vec<Entry>, Vec<Answer>) = options.into_iter().unzip();
        let mut list = PickOrType { list: PickList::new(entries, at), prompt };
        loop {
            let text = match self.run(screen, &mut list, around, String::new())? {
                Came::Taken(Taken::Line(at)) => {
                    let Some(answer) = answers.get(at) else { continue };
                    return Ok((Came::Taken(Reply::Answer(answer.clone())), None));
                }
                Came::Taken(Taken::Text(text)) => text,
                other => return Ok((given(other, |_| None), None)),
            };
            let Some(answer) = prompt.typed_at_once(&text) else { continue };
            match self.settled(screen, prompt, &text, Ok(answer))? {
                Came::Taken(answer) => {
                    let question = length_of(prompt);
                    let shown = self.labels.answer(question, &answer, prompt.units);
                    return Ok((Came::Taken(Reply::Typed(answer)), Some(shown)));
                }
                Came::Leave(how) => return Ok((Came::Leave(how), None)),
                _ => {}
            }
        }
    }

    fn several_of(&self, screen: &mut Screen, prompt: &Prompt<'_>, around: &Around) -> io::Result<Came<Answer>> {
        let options = options(prompt, &self.labels);
        let is_marked = |answer: &Answer| match (prompt.current, answer) {
            (Some(Answer::Several(now)), Answer::Several(bit)) if *bit != 0 => now & bit != 0,
            (now, answer) => now == Some(answer),
        };
        let marks: Vec<usize> = (0..options.len()).filter(|i| is_marked(&options[*i].1)).collect();
        let (entries, answers): (Vec<Entry>, Vec<Answer>) = options.into_iter().unzip();
        let mut list = TickList::new(entries, &marks, prompt.question.choices.len());
        let came = self.run(screen, &mut list, around, String::new())?;
        Ok(given(came, |marks| {
            let marked: Vec<Answer> = marks.iter().filter_map(|i| answers.get(*i).cloned()).collect();
            combined(&marked, prompt.question)
        }))
    }

    /// Whether what was typed stands: it is asked back where that is in doubt. `Open` asks the question again.
    fn settled(
        &self,
        screen: &mut Screen,
        prompt: &Prompt<'_>,
        text: &str,
        read: Result<Answer, AnswerError>,
    ) -> io::Result<Came<Answer>> {
        let Some(doubt) = doubt(prompt, &self.labels, text, &read) else {
            return Ok(read.map_or(Came::Open, Came::Taken));
        };
        let entries = doubt.offers.iter().map(|(label, _)| Entry::new(label)).collect();
        let keys = vec!["screen.key_back", "screen.key_save"];
        let around = self.around_list(vec![doubt.says], prompt.short(), keys);
        let came = self.run(screen, &mut PickList::new(entries, doubt.likely), &around, String::new())?;
        Ok(match came {
            Came::Taken(at) => doubt.offers.into_iter().nth(at).and_then(|(_, a)| a).map_or(Came::Open, Came::Taken),
            Came::Leave(how) => Came::Leave(how),
            _ => Came::Open,
        })
    }

    /// The answer that is typed, and how it is shown once it stands.
    fn typed(
        &self,
        screen: &mut Screen,
        prompt: &Prompt<'_>,
        around: &Around,
    ) -> io::Result<(Came<Reply>, Option<String>)> {
        let question = prompt.question;
        let mut line = AnswerLine { editor: LineEditor::default(), prompt };
        let mut message = String::new();
        loop {
            let text = match self.run(screen, &mut line, around, std::mem::take(&mut message))? {
                Came::Taken(text) => text.trim().to_owned(),
                other => return Ok((given(other, |_| None), None)),
            };
            // what was not touched keeps its exact figures
            if let (true, Some(current)) = (text.is_empty(), prompt.current) {
                return Ok((Came::Taken(Reply::Answer(current.clone())), None));
            }
            if self.labels.means_not_sure(question, &text) {
                return Ok((Came::NotSure, None));
            }
            let read = match prompt.read(&text) {
                Ok(Reply::Answer(answer)) => Ok(answer),
                Ok(reply) => return Ok((Came::Taken(reply), prompt.echo(&text))),
                Err(error) => Err(error),
            };
            let echo = prompt.echo(&text);
            if let Err(error) = &read {
                message = self.labels.refused(question, error);
            }
            match self.settled(screen, prompt, &text, read)? {
                Came::Taken(answer) => {
                    let as_typed = prompt.read(&text).is_ok_and(|reply| reply == Reply::Answer(answer.clone()));
                    return Ok((Came::Taken(Reply::Answer(answer)), echo.filter(|_| as_typed)));
                }
                Came::Leave(how) => return Ok((Came::Leave(how), None)),
                _ => {}
            }
        }
    }

    /// A list of which one line is taken, with a word on what the keys do.
    fn pick(
        &self,
        about: Vec<String>,
        title: &str,
        items: Vec<Entry>,
        keys: Vec<&'static str>,
    ) -> io::Result<(Screen, Came<usize>)> {
        let mut screen = self.open()?;
        let around = Around { below: true, ..self.around_list(about, title, keys) };
        let came = self.run(&mut screen, &mut PickList::new(items, 0), &around, String::new())?;
        Ok((screen, came))
    }
}

/// What stands behind what a widget gave; where that is nothing, it is still open.
fn given<T, A>(came: Came<T>, answer: impl FnOnce(T) -> Option<A>) -> Came<A> {
    match came {
        Came::Taken(what) => answer(what).map_or(Came::Open, Came::Taken),
        Came::Open => Came::Open,
        Came::NothingMarked => Came::NothingMarked,
        Came::StillMarked => Came::StillMarked,
        Came::NotSure => Came::NotSure,
        Came::Help => Came::Help,
        Came::Back => Came::Back,
        Came::Leave(how) => Came::Leave(how),
    }
}

impl Asker for Menus {
    fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
        let question = prompt.question;
        let mut above = 0;
        let (columns, _) = room(self.otherwise);
        let (said, sketch) = self.labels.before(&prompt.progress);
        // a drawing is shown whole or not at all
        let sketch = sketch.filter(|text| text.lines().all(|line| line.width() <= columns));
        for text in said.iter().map(|text| wrap(text, columns.clamp(8, 100), "")).chain(sketch) {
            above += text.lines().count() + 1;
            Self::print(&format!("\n{text}"))?;
        }
        let around = self.around(prompt, above);
        let mut screen = self.open()?;
        loop {
            let (came, shown) = match question.kind {
                QuestionKind::OneOf | QuestionKind::YesNo => self.one_of(&mut screen, prompt, &around)?,
                QuestionKind::SeveralOf => {
                    let came = self.several_of(&mut screen, prompt, &around)?;
                    (given(came, |answer| Some(Reply::Answer(answer))), None)
                }
                QuestionKind::Length
                | QuestionKind::Number
                | QuestionKind::Year
                | QuestionKind::Text
                | QuestionKind::Profile
                | QuestionKind::Places => self.typed(&mut screen, prompt, &around)?,
            };
            let reply = match came {
                Came::Taken(reply) => reply,
                Came::NotSure => Reply::Answer(Answer::NotSure),
                Came::Back => Reply::Back,
                Came::Leave(how) => Reply::Leave(how),
                Came::Open | Came::NothingMarked | Came::StillMarked | Came::Help => continue,
            };
            let shown = match &reply {
                Reply::Back | Reply::Leave(_) => {
                    screen.close(&[])?;
                    return Ok(reply);
                }
                Reply::Answer(answer) => shown.unwrap_or_else(|| self.labels.answer(question, answer, prompt.units)),
                Reply::Typed(_) | Reply::Both(..) => shown.unwrap_or_default(),
            };
            let name = match (&reply, &prompt.or_type) {
                (Reply::Typed(_), Some(or_type)) => &or_type.asked.short,
                _ if prompt.short().is_empty() => prompt.ask(),
                _ => prompt.short(),
            };
            let (columns, _) = room(self.otherwise);
            screen.close(&wrapped(&format!("{name}: {shown}"), columns.clamp(8, 100), ANSWERED, NOT_HERE))?;
            return Ok(reply);
        }
    }

    fn stretch(&mut self, name: &str) {
        self.stretch = Some(name.to_owned());
    }

    fn choose(&mut self, title: &str, items: &[String]) -> io::Result<Picked> {
        let entries = items.iter().map(|item| Entry::new(item)).collect();
        let (screen, came) = self.pick(Vec::new(), title, entries, vec!["screen.key_back", "screen.key_save"])?;
        let (columns, _) = screen.room();
        let (picked, lines) = match came {
            Came::Taken(at) => {
                let item = items.get(at).map_or("", String::as_str);
                (Picked::Item(at), wrapped(item, columns.clamp(8, 100), ANSWERED, NOT_HERE))
            }
            Came::Leave(how) => (Picked::Leave(how), Vec::new()),
            _ => (Picked::Back, Vec::new()),
        };
        screen.close(&lines)?;
        Ok(picked)
    }

    fn review(&mut self, lines: &[ReviewLine]) -> io::Result<Reviewed> {
        let mut entries = vec![Entry::new(self.labels.get("screen.done"))];
        entries.extend(lines.iter().map(|line| Entry::new(&self.labels.reviewed(line))));
        let keys = vec!["screen.key_search", "screen.key_back", "screen.key_save"];
        let about = self.labels.stretch(self.stretch.as_deref()).into_iter().collect();
        let (screen, came) = self.pick(about, self.labels.get("screen.review"), entries, keys)?;
        screen.close(&[])?;
        Ok(match came {
            Came::Taken(at) => at.checked_sub(1).map_or(Reviewed::Done, Reviewed::Change),
            Came::Leave(how) => Reviewed::Leave(how),
            _ => Reviewed::Back,
        })
    }
}
