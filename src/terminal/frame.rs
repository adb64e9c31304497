//! What a prompt looks like in a terminal of a given size: plain data in, lines out.
//!
//! What is always in sight, however small the terminal: the question, what is searched, the line under the cursor and what
//! was wrong. What goes first where there is no room: the hint, then the name of the question, the progress, the keys.

use super::wrapped;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// The fewest lines of a list that are kept in sight.
const LEAST_LIST: usize = 3;
/// Text wider than this is hard to read.
const WIDEST: usize = 100;
/// What stands before a hint.
const HINT: &str = "   ";
/// What is left out.
const MORE: &str = "...";

/// A line of a list, as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListLine {
    /// What stands before it: where the cursor is, what is marked.
    pub sign: String,
    /// Its text.
    pub text: String,
    /// Whether it is under the cursor.
    pub current: bool,
}

/// A line that is typed, as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedLine {
    /// What stands before it.
    pub sign: String,
    /// What is typed.
    pub text: String,
    /// How many characters stand before the cursor.
    pub at: usize,
}

/// All that a prompt shows.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shows {
    /// Where in the interview it stands.
    pub progress: String,
    /// The question, and what belongs to it.
    pub ask: Vec<String>,
    /// The name of the question.
    pub title: String,
    /// What is searched.
    pub search: String,
    /// The lines to choose from.
    pub list: Vec<ListLine>,
    /// The line that is typed.
    pub typed: Option<TypedLine>,
    /// How to recognise the line under the cursor; what is typed so far comes to.
    pub hint: String,
    /// The tallest hint there can be here, so that nothing jumps.
    pub hints: Vec<String>,
    /// What is marked, if it may be out of sight.
    pub marked: String,
    /// What was wrong.
    pub message: String,
    /// What the keys do.
    pub keys: String,
    /// How it is said what is out of sight: `{above}` and `{below}`.
    pub out_of_sight: String,
}

/// A line of the terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaintedLine {
    /// Its text.
    pub text: String,
    /// Whether it stands out.
    pub bold: bool,
}

/// A prompt, line by line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Frame {
    /// Its lines; none is wider than the terminal, and there are never more than it has.
    pub lines: Vec<PaintedLine>,
    /// Where the cursor is to be seen: line and column. Nothing: it is hidden.
    pub cursor: Option<(usize, usize)>,
}

impl Frame {
    fn add(&mut self, lines: Vec<String>, bold: bool) {
        self.lines.extend(lines.into_iter().map(|text| PaintedLine { text, bold }));
    }
}

impl Shows {
    /// The prompt in a terminal of so many columns and lines.
    #[must_use]
    pub fn frame(&self, columns: usize, lines: usize) -> Frame {
        let width = columns.clamp(8, WIDEST);
        let wide = columns.max(8);
        let height = lines.max(4);
        let mut progress = wrapped(&self.progress, width, "", "");
        let mut ask: Vec<String> = self.ask.iter().flat_map(|text| wrapped(text, width, "", "")).collect();
        let mut title = wrapped(&self.title, width, ":: ", "   ");
        let search = wrapped(&self.search, width, "   ", "   ");
        let items: Vec<Vec<String>> = self.list.iter().map(|item| item_lines(item, wide)).collect();
        let list: usize = items.iter().map(Vec::len).sum();
        let hint = wrapped(&self.hint, width, HINT, HINT);
        let mut marked = wrapped(&self.marked, width, "", "   ");
        let message = wrapped(&self.message, width, "! ", "  ");
        let mut keys = by_sentence(&self.keys, width);
        let seen = search.len() + usize::from(self.typed.is_some()) + message.len();
        let title_bold = ask.is_empty();

        let used = |parts: &[&Vec<String>]| seen + parts.iter().map(|part| part.len()).sum::<usize>();
        // a hint is shown whole or not at all, and gives way to the list
        let tallest = self.hints.iter().map(|text| wrapped(text, width, HINT, HINT).len()).max().unwrap_or(0);
        let hint_room = |before: usize| {
            let room = tallest.max(hint.len());
            if before + room + list.min(LEAST_LIST + 3) <= height { room } else { 0 }
        };
        let before = used(&[&progress, &ask, &title, &keys]);
        if search.is_empty() && before + hint_room(before) + list <= height {
            // all that is marked can be seen
            marked.clear();
        }
        let least = list.min(LEAST_LIST);
        // a low terminal is for the list: the question is told by its words alone
        if used(&[&progress, &ask, &title, &marked, &keys]) + list.min(LEAST_LIST + 3) > height && !ask.is_empty() {
            title.clear();
        }
        if used(&[&progress, &ask, &title, &marked, &keys]) + list.min(LEAST_LIST + 2) > height {
            progress.clear();
        }
        for _ in 0..keys.len() {
            if used(&[&progress, &ask, &title, &marked, &keys]) + least > height {
                keys.pop();
            }
        }
        if used(&[&progress, &ask, &title, &marked, &keys]) + least > height {
            marked.truncate(1);
        }
        let too_many = (used(&[&ask, &title, &marked, &keys, &progress]) + least).saturating_sub(height);
        if too_many > 0 && !ask.is_empty() {
            ask.truncate(ask.len().saturating_sub(too_many).max(1));
            if let Some(last) = ask.last_mut() {
                *last = cut(last, width);
            }
        }
        let before = used(&[&progress, &ask, &title, &marked, &keys]);
        let hint_room = hint_room(before);
        let mut used = before + hint_room;
        // a line of air where there is room for it
        let air = used + list < height;
        used += usize::from(air);

        let mut frame = Frame::default();
        if air {
            frame.add(vec![String::new()], false);
        }
        frame.add(progress, false);
        frame.add(ask, true);
        frame.add(title, title_bold);
        frame.add(search, false);
        if let Some(typed) = &self.typed {
            let (text, column) = typed_line(typed, wide);
            frame.cursor = Some((frame.lines.len(), column));
            frame.add(vec![text], false);
        }
        self.add_list(&mut frame, &items, height.saturating_sub(used).max(1), width);
        if hint_room > 0 {
            frame.add(hint, false);
        }
        frame.add(marked, false);
        frame.add(message, true);
        frame.add(keys, false);
        frame.lines.truncate(height);
        frame.cursor = frame.cursor.filter(|(row, _)| *row < frame.lines.len());
        frame
    }

    /// As much of the list as there is room for, around the line under the cursor.
    fn add_list(&self, frame: &mut Frame, items: &[Vec<String>], room: usize, width: usize) {
        let sizes: Vec<usize> = items.iter().map(Vec::len).collect();
        let current = self.list.iter().position(|item| item.current).unwrap_or(0);
        let all: usize = sizes.iter().sum();
        let (from, to) =
            if all <= room { (0, items.len()) } else { window(&sizes, current, room.saturating_sub(1).max(1)) };
        let mut left = room.saturating_sub(usize::from(all > room && room > 1));
        for (item, lines) in self.list[from..to].iter().zip(&items[from..to]) {
            let some: Vec<String> = lines.iter().take(left).cloned().collect();
            left -= some.len();
            frame.add(some, item.current);
        }
        if all > room && room > 1 {
            let text = self
                .out_of_sight
                .replace("{above}", &from.to_string())
                .replace("{below}", &(items.len() - to).to_string());
            frame.add(vec![cut_to(&format!("   {text}"), width)], false);
        }
    }
}

/// A text that is read page by page, such as the help to a question.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LongText {
    /// What stays in sight above it.
    pub title: String,
    /// Its paragraphs.
    pub paragraphs: Vec<String>,
    /// A drawing below them, line by line; left out where it is too wide.
    pub drawn: Vec<String>,
    /// What the keys do.
    pub keys: String,
    /// How it is said what is out of sight.
    pub out_of_sight: String,
}

impl LongText {
    /// The text from a line on, and the last line it can start from, in a terminal of so many columns and lines.
    #[must_use]
    pub fn frame(&self, from: usize, columns: usize, lines: usize) -> (Frame, usize) {
        let width = columns.clamp(8, WIDEST);
        let height = lines.max(4);
        let mut frame = Frame::default();
        let mut title = wrapped(&self.title, width, "", "");
        title.truncate((height / 3).max(1));
        frame.add(title, true);
        let mut keys = by_sentence(&self.keys, width);
        keys.truncate((height / 3).max(1));
        let mut text: Vec<String> = self.paragraphs.iter().flat_map(|p| wrapped(p, width, "  ", "  ")).collect();
        if self.drawn.iter().all(|line| line.width() <= columns) {
            text.extend(self.drawn.iter().cloned());
        }
        let room = height.saturating_sub(frame.lines.len() + keys.len()).max(1);
        if text.len() <= room {
            frame.add(text, false);
            frame.add(keys, false);
            return (frame, 0);
        }
        let room = room.saturating_sub(1).max(1);
        let last = text.len() - room;
        let from = from.min(last);
        let says =
            self.out_of_sight.replace("{above}", &from.to_string()).replace("{below}", &(last - from).to_string());
        frame.add(text.into_iter().skip(from).take(room).collect(), false);
        frame.add(vec![cut_to(&format!("  {says}"), width)], false);
        frame.add(keys, false);
        frame.lines.truncate(height);
        (frame, last)
    }
}

/// Lines that are broken between sentences, as far as these fit.
fn by_sentence(text: &str, width: usize) -> Vec<String> {
    let mut kept = String::new();
    for sentence in text.split_inclusive(". ") {
        let body = sentence.trim_end();
        if body.width() <= width {
            kept.push_str(&body.replace(' ', "\u{a0}"));
        } else {
            kept.push_str(body);
        }
        kept.push(' ');
    }
    wrapped(kept.trim_end(), width, "", "").into_iter().map(|line| line.replace('\u{a0}', " ")).collect()
}

fn item_lines(item: &ListLine, width: usize) -> Vec<String> {
    wrapped(&item.text, width.saturating_sub(1).max(8), &item.sign, &" ".repeat(item.sign.width()))
}

/// Which lines of a list fit into so much room, with the one under the cursor near the middle: from, and up to but not with.
fn window(sizes: &[usize], current: usize, room: usize) -> (usize, usize) {
    let (mut from, mut to) = (current, (current + 1).min(sizes.len()));
    let mut used = sizes.get(current).copied().unwrap_or(0);
    let mut down = false;
    loop {
        let above = from.checked_sub(1).filter(|i| used + sizes[*i] <= room);
        let below = Some(to).filter(|i| *i < sizes.len() && used + sizes[*i] <= room);
        match (above, below, down) {
            (Some(i), _, false) | (Some(i), None, true) => {
                from = i;
                used += sizes[i];
            }
            (_, Some(i), true) | (None, Some(i), false) => {
                to = i + 1;
                used += sizes[i];
            }
            (None, None, _) => return (from, to),
        }
        down = !down;
    }
}

/// The part of a typed line around the cursor that fits, and the column of the cursor.
fn typed_line(typed: &TypedLine, width: usize) -> (String, usize) {
    let sign = typed.sign.width();
    let room = width.saturating_sub(sign + 1).max(1);
    let chars: Vec<char> = typed.text.chars().collect();
    let wide = |c: &char| c.width().unwrap_or(0);
    let at = typed.at.min(chars.len());
    let mut from = 0;
    while chars[from..at].iter().map(wide).sum::<usize>() > room.saturating_sub(1) {
        from += 1;
    }
    let mut used = 0;
    let seen: String = chars[from..]
        .iter()
        .take_while(|c| {
            used += wide(c);
            used <= room
        })
        .collect();
    (format!("{}{seen}", typed.sign), sign + chars[from..at].iter().map(wide).sum::<usize>())
}

/// A line that says that more would follow.
fn cut(line: &str, width: usize) -> String {
    let mut line = line.to_owned();
    while line.width() + MORE.len() > width {
        match line.rfind(' ') {
            Some(space) => line.truncate(space),
            None => {
                line.clear();
            }
        }
    }
    format!("{line}{MORE}")
}

/// A line that is cut at a word if it is too wide.
fn cut_to(line: &str, width: usize) -> String {
    if line.width() <= width { line.to_owned() } else { cut(line, width) }
}
