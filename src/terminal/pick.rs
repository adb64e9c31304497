//! A list of which one line is taken.

use super::finder::{Entry, Finder};
use super::keys::{Came, KeyPress};

/// A list of which one line is taken. Enter takes the line under the cursor.
#[derive(Debug, Clone)]
pub struct PickList {
    finder: Finder,
}

impl PickList {
    /// A list with the cursor on this line.
    #[must_use]
    pub fn new(entries: Vec<Entry>, at: usize) -> PickList {
        PickList { finder: Finder::new(entries, at) }
    }

    /// Its lines, and what of them is shown.
    #[must_use]
    pub fn finder(&self) -> &Finder {
        &self.finder
    }

    /// What a key does: `Taken` is the number of the line.
    pub fn press(&mut self, key: &KeyPress) -> Came<usize> {
        if let Some(came) = key.anywhere() {
            return came;
        }
        match key {
            KeyPress::Char('?') => return Came::Help,
            KeyPress::Enter => return self.finder.current().map_or(Came::Open, Came::Taken),
            KeyPress::Esc if self.finder.search().is_empty() => return Came::Back,
            KeyPress::Esc => self.finder.drop_search(),
            _ => self.finder.press(key),
        }
        Came::Open
    }
}
