//! The register of works: which codes, standards, pages and books a figure may rest on, and which rows rest on which.

use super::basis::Basis;
use crate::flow::{Diagnostics, Fields, Node, Place, nearest};
use crate::pack::{Text, packed};
use std::collections::{HashMap, HashSet};

/// A work that rows of the content cite.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Work {
    /// Its id.
    pub id: Text,
    /// The words by which a source names it, the first one first.
    pub cited_as: Vec<Text>,
    /// Its full title.
    pub title: Text,
    /// The official body or standards body that issues it; empty where there is none.
    pub body: Text,
    /// The edition, or that it is not known.
    pub edition: Text,
    /// What of it was read.
    pub read: HowRead,
    /// What else is to be known of it; may be empty.
    pub note: Text,
}

packed!(struct Work { id, cited_as, title, body, edition, read, note });

/// What of a work was read by whoever wrote a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HowRead {
    /// Its own text, or the part of it that is cited.
    Text,
    /// A page that quotes it.
    Quotation,
    /// Nothing: it is remembered.
    Memory,
}

packed!(enum HowRead { 0: Text, 1: Quotation, 2: Memory });

impl HowRead {
    /// All of them, with their words in the content.
    pub const ALL: [(&'static str, HowRead); 3] =
        [("text", HowRead::Text), ("quotation", HowRead::Quotation), ("memory", HowRead::Memory)];

    /// The word in content.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            HowRead::Text => "text",
            HowRead::Quotation => "quotation",
            HowRead::Memory => "memory",
        }
    }

    /// Whether a row of this basis may rest on it.
    pub(crate) fn bears(self, basis: Basis) -> bool {
        match basis {
            Basis::Published => self == HowRead::Text,
            Basis::Reported => self != HowRead::Memory,
            Basis::Memory | Basis::Practice => true,
        }
    }
}

/// A row, and what it rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Resting {
    /// What kind of row it is, such as "limit".
    pub kind: &'static str,
    /// Its id.
    pub id: Text,
    /// The works that its source names, by their places in the register.
    pub works: Vec<usize>,
    /// Its source, as it stands there; may be empty.
    pub source: Text,
    /// How its figure was obtained.
    pub basis: Basis,
}

packed!(struct Resting { kind, id, works, source, basis });

/// What a row must say of its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Must {
    /// It is a figure: its basis, and its source in words, even where that is no more than practice.
    Figure,
    /// It says something: a basis, if it gives a source.
    Saying,
}

/// What the words of a source can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Means {
    Work(usize),
    Vague(usize),
}

/// What a source names.
#[derive(Debug, Clone, Default)]
pub(crate) struct InSource {
    pub(crate) works: Vec<usize>,
    /// The words that name no work.
    pub(crate) vague: Option<usize>,
}

/// The register, and who cites it.
#[derive(Default)]
pub(crate) struct Register {
    pub(crate) works: Vec<Work>,
    pub(crate) vague: Vec<String>,
    /// By their first word in small letters: what names a work, and what names none.
    by_word: HashMap<String, Vec<(String, Means)>>,
    /// Which marks (see [`mark`]) first words have. Most words of most sources have none of them and need no look-up.
    marks: FirstWords,
    known: HashMap<String, InSource>,
    pub(crate) resting: Vec<Resting>,
}

/// Of each mark, whether a first word has it.
struct FirstWords([bool; 1024]);

impl Default for FirstWords {
    fn default() -> Self {
        FirstWords([false; 1024])
    }
}

/// A number below 1,024 for a word, from its first two bytes and its length: the same for the same word.
fn mark(word: &str) -> usize {
    let byte = |at: usize| word.as_bytes().get(at).copied().map_or(0, usize::from);
    (byte(0) ^ (byte(1) << 3) ^ (word.len() << 7)) & 1023
}

/// The words of a text, each with where it starts and ends.
fn words(text: &str) -> impl Iterator<Item = (usize, usize)> + '_ {
    let mut from = 0;
    std::iter::from_fn(move || {
        let start = from + text[from..].find(char::is_alphanumeric)?;
        let end = text[start..].find(|c: char| !c.is_alphanumeric()).map_or(text.len(), |len| start + len);
        from = end;
        Some((start, end))
    })
}

impl Register {
    /// Reads `works:` and `vague_sources:` of all files.
    pub(crate) fn read(works: &[&Node<'_>], vague: &[&Node<'_>], diags: &mut Diagnostics) -> Register {
        let mut register = Register::default();
        let mut ids = HashSet::new();
        for node in works {
            let Some(mut fields) = Fields::of(node, "a work", diags) else { continue };
            let place = fields.place();
            let id = fields.need_id(diags).map(|(id, _)| id);
            let cited_as = fields.texts("cited_as", diags);
            let title = fields.need_text("title", diags);
            let body = fields.text("body", diags).unwrap_or_default();
            let edition = fields.need_text("edition", diags);
            let read = fields.need_word("read", &HowRead::ALL, diags);
            let note = fields.text("note", diags).unwrap_or_default();
            fields.finish(diags);
            if cited_as.is_empty() {
                let hint = "give the words by which a source names it: `cited_as: [IRC]`".to_owned();
                diags.error_with_hint(place, "a work needs `cited_as:`", Some(hint));
            }
            let (Some(id), Some(title), Some(edition), Some(read)) = (id, title, edition, read) else { continue };
            if !ids.insert(id.clone()) {
                diags.error(place, format!("the work `{id}` stands twice"));
            }
            for name in &cited_as {
                register.name(name, Means::Work(register.works.len()), place, diags);
            }
            register.works.push(Work { id, cited_as, title, body, edition, read, note });
        }
        for node in vague {
            match node.text() {
                Some(text) => {
                    register.name(text, Means::Vague(register.vague.len()), node.place, diags);
                    register.vague.push(text.to_owned());
                }
                None => diags.error(node.place, format!("a vague source is words, not {}", node.describe())),
            }
        }
        register
    }

    fn name(&mut self, name: &str, named: Means, place: Place, diags: &mut Diagnostics) {
        let name = name.trim().to_lowercase();
        let Some((start, end)) = words(&name).next().filter(|(start, _)| *start == 0) else {
            diags.error(place, format!("`{name}` must begin with a letter or a digit"));
            return;
        };
        let first = name[start..end].to_owned();
        self.marks.0[mark(&first)] = true;
        let here = self.by_word.entry(first).or_default();
        if here.iter().any(|(known, _)| *known == name) {
            diags.error(place, format!("`{name}` names two works"));
        }
        here.push((name, named));
    }

    /// What a source names. Of two names that begin at one place the longer one counts.
    pub(crate) fn found(&mut self, source: &str) -> &InSource {
        if !self.known.contains_key(source) {
            let text = source.to_lowercase();
            let mut found = InSource::default();
            let mut read_to = 0;
            for (start, end) in words(&text) {
                // what stands within a name is part of it
                if start < read_to {
                    continue;
                }
                if !self.marks.0[mark(&text[start..end])] {
                    continue;
                }
                let rest = &text[start..];
                let here = self.by_word.get(&text[start..end]).into_iter().flatten().filter(|(name, _)| {
                    rest.starts_with(name.as_str()) && !rest[name.len()..].starts_with(char::is_alphanumeric)
                });
                let Some((name, named)) = here.max_by_key(|(name, _)| name.len()) else { continue };
                read_to = start + name.len();
                match named {
                    Means::Work(work) if !found.works.contains(work) => found.works.push(*work),
                    Means::Work(_) => {}
                    Means::Vague(words) => found.vague = Some(*words),
                }
            }
            self.known.insert(source.to_owned(), found);
        }
        &self.known[source]
    }

    /// The name of a work that the beginning of a source may be meant for.
    pub(crate) fn meant(&self, source: &str) -> Option<&str> {
        // of short names any other short word is near
        let names = || self.works.iter().flat_map(|w| w.cited_as.iter().map(Text::as_str)).filter(|n| n.len() > 4);
        (1..=4).rev().find_map(|count| {
            let end = words(source).take(count).map(|(_, end)| end).last()?;
            nearest(&source[..end], names())
        })
    }

    /// The editions of some works, each once.
    pub(crate) fn editions(&self, works: &[usize]) -> String {
        let mut editions: Vec<&str> = Vec::with_capacity(works.len());
        for work in works {
            let edition = self.works[*work].edition.as_str();
            if !editions.contains(&edition) {
                editions.push(edition);
            }
        }
        editions.join("; ")
    }
}

/// A row that says where it comes from.
pub(crate) struct Said<'t> {
    pub(crate) kind: &'static str,
    pub(crate) id: Option<&'t str>,
    pub(crate) place: Place,
    pub(crate) must: Must,
}

impl HowRead {
    /// What was read of it, in words.
    pub(crate) fn said(self) -> &'static str {
        match self {
            HowRead::Text => "the text was read",
            HowRead::Quotation => "only a quotation was read",
            HowRead::Memory => "nothing was read",
        }
    }
}
