//! A list of which any number of lines are marked.

use super::finder::{Entry, Finder};
use super::keys::{Came, KeyPress};

/// A list of which any number of lines are marked. Only Space marks, and only the line under the cursor; only Enter takes.
/// While something is searched neither is possible: Space belongs to the search, and Enter ends it, so that nothing is
/// taken that is out of sight.
#[derive(Debug, Clone)]
pub struct TickList {
    finder: Finder,
    marked: Vec<bool>,
    /// From this line on, each line stands for itself: "none of these", "not sure".
    alone_from: usize,
}

impl TickList {
    /// A list with these lines marked. The lines from `alone_from` on exclude all others.
    #[must_use]
    pub fn new(entries: Vec<Entry>, marks: &[usize], alone_from: usize) -> TickList {
        let marked = (0..entries.len()).map(|i| marks.contains(&i)).collect();
        TickList { finder: Finder::new(entries, marks.first().copied().unwrap_or(0)), marked, alone_from }
    }

    /// Its lines, and what of them is shown.
    #[must_use]
    pub fn finder(&self) -> &Finder {
        &self.finder
    }

    /// The lines that are marked.
    #[must_use]
    pub fn marks(&self) -> Vec<usize> {
        (0..self.marked.len()).filter(|i| self.marked[*i]).collect()
    }

    /// What a key does: `Taken` are the numbers of the marked lines, never none.
    pub fn press(&mut self, key: &KeyPress) -> Came<Vec<usize>> {
        if let Some(came) = key.anywhere() {
            // what was seen and marked is not wiped by one key
            return if came == Came::NotSure && !self.marks().is_empty() { Came::StillMarked } else { came };
        }
        let searching = !self.finder.search().is_empty();
        match key {
            KeyPress::Char('?') => return Came::Help,
            KeyPress::Char(' ') if !searching => {
                if let Some(at) = self.finder.current() {
                    self.turn(at);
                }
            }
            KeyPress::Enter if searching => {
                // where nothing fits, the search stays, and what is said about it
                if self.finder.current().is_some() {
                    self.finder.end_search();
                }
            }
            KeyPress::Enter => {
                let marks = self.marks();
                return if marks.is_empty() { Came::NothingMarked } else { Came::Taken(marks) };
            }
            KeyPress::Esc if searching => self.finder.drop_search(),
            KeyPress::Esc => return Came::Back,
            _ => self.finder.press(key),
        }
        Came::Open
    }

    /// Marks a line, or takes its mark away. What does not go with it loses its mark in sight.
    fn turn(&mut self, at: usize) {
        self.marked[at] = !self.marked[at];
        if self.marked[at] {
            let alone = at >= self.alone_from;
            for (i, mark) in self.marked.iter_mut().enumerate() {
                if i != at && (alone || i >= self.alone_from) {
                    *mark = false;
                }
            }
        }
    }
}
