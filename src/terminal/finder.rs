//! Lines of a list, and the search in them.

use super::keys::KeyPress;

/// How many lines a page key moves by.
const PAGE: usize = 8;

/// A line of a list, with all that a search may find it by.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Entry {
    /// What is shown.
    pub label: String,
    /// How to recognise it.
    pub hint: Option<String>,
    /// Other words for it.
    pub also: String,
}

impl Entry {
    /// A line without hint and other words.
    #[must_use]
    pub fn new(label: &str) -> Entry {
        Entry { label: label.to_owned(), ..Entry::default() }
    }

    /// How well it fits what is searched, 0 best; nothing if it does not. Each word has to be somewhere in it; better in the
    /// label than in the other words for it, and better there than in the hint.
    #[must_use]
    pub fn fits(&self, search: &str) -> Option<usize> {
        let search = folded(search);
        let mut known = folded(&self.label);
        let all_in = |known: &str| search.split_whitespace().all(|word| known.contains(word));
        for (rank, more) in [(0, None), (1, Some(&self.also)), (2, self.hint.as_ref())] {
            if let Some(more) = more {
                known.push(' ');
                known.push_str(&folded(more));
            }
            if all_in(&known) {
                return Some(rank);
            }
        }
        None
    }
}

/// Small letters without accents, so that nobody has to type them.
pub(super) fn folded(text: &str) -> String {
    let plain = |c: char| match c {
        'á' | 'à' | 'â' => 'a',
        'é' | 'è' | 'ê' => 'e',
        'í' | 'ì' | 'î' => 'i',
        'ó' | 'ò' | 'ô' => 'o',
        'ú' | 'ù' | 'û' | 'ü' => 'u',
        'ñ' => 'n',
        '’' => '\'',
        other => other,
    };
    text.to_lowercase().chars().map(plain).collect()
}

/// A list with a cursor, and a search that leaves only what fits.
///
/// Invariant: the cursor stands on a line that is shown, unless nothing is.
#[derive(Debug, Clone)]
pub struct Finder {
    entries: Vec<Entry>,
    search: String,
    hits: Vec<usize>,
    /// The line under the cursor, also while a search shows it not.
    at: usize,
    /// Where the cursor stood when the search began.
    before: usize,
}

impl Finder {
    /// A list with the cursor on this line.
    #[must_use]
    pub fn new(entries: Vec<Entry>, at: usize) -> Finder {
        let hits = (0..entries.len()).collect();
        let at = at.min(entries.len().saturating_sub(1));
        Finder { entries, search: String::new(), hits, at, before: at }
    }

    /// All lines, shown or not.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The lines that are shown, best first.
    #[must_use]
    pub fn hits(&self) -> &[usize] {
        &self.hits
    }

    /// The line under the cursor, if any is shown.
    #[must_use]
    pub fn current(&self) -> Option<usize> {
        self.hits.contains(&self.at).then_some(self.at)
    }

    /// What is searched.
    #[must_use]
    pub fn search(&self) -> &str {
        &self.search
    }

    /// Shows all lines again; the cursor stays where it is.
    pub fn end_search(&mut self) {
        self.search.clear();
        self.hits = (0..self.entries.len()).collect();
    }

    /// Shows all lines again, with the cursor where it was before the search.
    pub fn drop_search(&mut self) {
        self.end_search();
        self.at = self.before;
    }

    /// Moves the cursor or changes what is searched. A space belongs to a search that has begun and begins none.
    pub fn press(&mut self, key: &KeyPress) {
        if self.search.is_empty() {
            self.before = self.at;
        }
        let last = self.hits.len().saturating_sub(1);
        let here = self.hits.iter().position(|hit| *hit == self.at).unwrap_or(0);
        match key {
            KeyPress::Up => self.go_to(here.checked_sub(1).unwrap_or(last)),
            KeyPress::Down => self.go_to(if here >= last { 0 } else { here + 1 }),
            KeyPress::PageUp => self.go_to(here.saturating_sub(PAGE)),
            KeyPress::PageDown => self.go_to((here + PAGE).min(last)),
            KeyPress::Home => self.go_to(0),
            KeyPress::End => self.go_to(last),
            KeyPress::Char(' ') if self.search.is_empty() => {}
            KeyPress::Char(c) => {
                self.search.push(*c);
                self.find();
            }
            KeyPress::Paste(text) => {
                self.search.extend(text.chars().filter(|c| !c.is_control()));
                self.search = self.search.trim_start().to_owned();
                self.find();
            }
            KeyPress::Backspace => {
                self.search.pop();
                self.find();
            }
            KeyPress::DropLine => self.drop_search(),
            KeyPress::DropWord => {
                let rest = self.search.trim_end();
                let rest = rest.rfind(' ').map_or("", |space| &rest[..=space]);
                self.search = rest.to_owned();
                self.find();
            }
            _ => {}
        }
    }

    fn go_to(&mut self, place: usize) {
        if let Some(hit) = self.hits.get(place) {
            self.at = *hit;
        }
    }

    fn find(&mut self) {
        if self.search.trim().is_empty() {
            self.end_search();
            return;
        }
        let mut ranked: Vec<(usize, usize)> =
            self.entries.iter().enumerate().filter_map(|(i, e)| Some((e.fits(&self.search)?, i))).collect();
        ranked.sort_unstable();
        self.hits = ranked.into_iter().map(|(_, i)| i).collect();
        // the best one, since it is what was searched
        self.go_to(0);
    }
}
