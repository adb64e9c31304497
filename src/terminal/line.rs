//! A line that is typed and edited.

use super::keys::{Came, KeyPress};

/// A line that is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LineEditor {
    text: Vec<char>,
    at: usize,
}

impl LineEditor {
    /// What stands there.
    #[must_use]
    pub fn text(&self) -> String {
        self.text.iter().collect()
    }

    /// How many characters stand before the cursor.
    #[must_use]
    pub fn at(&self) -> usize {
        self.at
    }

    /// What a key does: `Taken` is the text as it stands there. `?` asks for help where nothing is typed yet; behind
    /// something it is a sign like others.
    pub fn press(&mut self, key: &KeyPress) -> Came<String> {
        if let Some(came) = key.anywhere() {
            return came;
        }
        match key {
            KeyPress::Char('?') if self.text.is_empty() => return Came::Help,
            KeyPress::Char(c) => self.insert(&c.to_string()),
            KeyPress::Paste(text) => self.insert(text),
            KeyPress::Enter => return Came::Taken(self.text()),
            KeyPress::Esc => return Came::Back,
            KeyPress::Home => self.at = 0,
            KeyPress::End => self.at = self.text.len(),
            KeyPress::Left => self.at = self.at.saturating_sub(1),
            KeyPress::Right => self.at = (self.at + 1).min(self.text.len()),
            KeyPress::Backspace => self.drop_from(self.at.saturating_sub(1)),
            KeyPress::Delete => {
                if self.at < self.text.len() {
                    self.text.remove(self.at);
                }
            }
            KeyPress::DropLine => self.drop_from(0),
            KeyPress::DropWord => {
                let is_gap = |c: &char| c.is_whitespace();
                let before = &self.text[..self.at];
                let word_end = before.iter().rposition(|c| !is_gap(c)).map_or(0, |i| i + 1);
                self.drop_from(before[..word_end].iter().rposition(is_gap).map_or(0, |i| i + 1));
            }
            KeyPress::DropRest => self.text.truncate(self.at),
            KeyPress::Up
            | KeyPress::Down
            | KeyPress::PageUp
            | KeyPress::PageDown
            | KeyPress::NotSure
            | KeyPress::Save
            | KeyPress::Interrupt
            | KeyPress::Resized => {}
        }
        Came::Open
    }

    /// Puts a text at the cursor; what is not to be seen in a line becomes a space or nothing.
    fn insert(&mut self, text: &str) {
        let seen = text.chars().filter_map(|c| match c {
            '\n' | '\t' => Some(' '),
            c if c.is_control() => None,
            c => Some(c),
        });
        for c in seen {
            self.text.insert(self.at, c);
            self.at += 1;
        }
    }

    /// Takes away what stands between a place and the cursor.
    fn drop_from(&mut self, start: usize) {
        self.text.drain(start..self.at);
        self.at = start;
    }
}
