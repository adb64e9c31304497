//! The names that conditions and texts may use, with their kinds.

use crate::pack::{Text, packed};
use std::collections::{BTreeMap, BTreeSet};

/// What kind of value a name has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// One of these.
    OneOf(Vec<Text>),
    /// Any number of these.
    SeveralOf(Vec<Text>),
    /// Yes or no.
    YesNo,
    /// A length.
    Length,
    /// A slope.
    Slope,
    /// A number, in thousandths.
    Number,
    /// A calendar year.
    Year,
    /// Free text.
    Text,
}

packed!(enum Kind { 0: OneOf(one), 1: SeveralOf(one), 2: YesNo, 3: Length, 4: Slope, 5: Number, 6: Year, 7: Text });

/// A name and its kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name {
    /// The name as written in conditions.
    pub text: Text,
    /// Its kind.
    pub kind: Kind,
}

packed!(struct Name { text, kind });

/// The place of a name in a list of values.
pub type Slot = u16;

/// Choices of one question told apart by what is true of them: `cladding.drains`.
#[derive(Debug, Clone)]
pub struct Family {
    /// The question.
    pub slot: Slot,
    /// Each value, and the bits of the choices that have it.
    pub values: Vec<(Text, i64)>,
}

packed!(struct Family { slot, values });

/// Kinds of rows that names may speak of, by their first word; all but the limits in promises only.
const ROWS: [&str; 6] = ["limit", "finding", "task", "trade", "caution", "ask"];

/// All names known so far, each with its slot.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    names: Vec<Name>,
    /// The slots of all names, in the order of their texts.
    sorted: Vec<Slot>,
    families: BTreeMap<Text, Family>,
    questions_only: bool,
    /// Whether it holds what follows from the rules, for promises.
    advice: bool,
    /// Names that are there but could not be read; what uses them is not at fault.
    broken: BTreeSet<Text>,
    /// Whether a whole file could not be read, so that any name may be missing for that reason.
    incomplete: bool,
}

packed!(struct Vocabulary { names, sorted, families, questions_only, advice, broken, incomplete });

impl Vocabulary {
    /// An empty vocabulary for `show_when`, which may look at questions and nothing else.
    #[must_use]
    pub(super) fn questions_only() -> Self {
        Vocabulary { questions_only: true, ..Self::default() }
    }

    /// Notes that a name exists but could not be read.
    pub(super) fn add_broken(&mut self, text: &str) {
        self.broken.insert(text.into());
    }

    /// Notes that a file could not be read: missing names are not reported then.
    pub fn set_incomplete(&mut self) {
        self.incomplete = true;
    }

    /// Whether a file could not be read.
    #[must_use]
    pub fn is_incomplete(&self) -> bool {
        self.incomplete
    }

    /// Opens the vocabulary to what follows from the rules, for promises.
    pub fn open_to_advice(&mut self) {
        self.advice = true;
    }

    /// Opens the vocabulary to facts and limits, for rules.
    pub fn open_to_facts(&mut self) {
        self.questions_only = false;
    }

    /// Adds a name; its slot, or nothing if the name is taken or there are too many.
    pub fn add(&mut self, text: &str, kind: Kind) -> Option<Slot> {
        let at = self.place(text).err()?;
        let slot = Slot::try_from(self.names.len()).ok()?;
        self.names.push(Name { text: text.into(), kind });
        self.sorted.insert(at, slot);
        Some(slot)
    }

    /// Notes that a choice of a question has a value of a trait.
    pub(super) fn add_trait(&mut self, question: &str, slot: Slot, name: &str, value: &str, bit: i64) {
        let family = self.families.entry(format!("{question}.{name}").into());
        let values = &mut family.or_insert_with(|| Family { slot, values: Vec::new() }).values;
        match values.iter_mut().find(|(known, _)| known == value) {
            Some((_, bits)) => *bits |= bit,
            None => values.push((value.into(), bit)),
        }
    }

    /// The family of this name.
    #[must_use]
    pub fn family(&self, text: &str) -> Option<&Family> {
        self.families.get(text)
    }

    /// The slot of a name.
    #[must_use]
    pub fn slot(&self, text: &str) -> Option<Slot> {
        self.place(text).ok().map(|at| self.sorted[at])
    }

    /// Where a name is in the order of their texts, or where it would be.
    fn place(&self, text: &str) -> Result<usize, usize> {
        self.sorted.binary_search_by(|slot| self.names[usize::from(*slot)].text.as_str().cmp(text))
    }

    /// The name at a slot.
    #[must_use]
    pub fn name(&self, slot: Slot) -> &Name {
        &self.names[slot as usize]
    }

    /// How many names there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.names.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.names.is_empty()
    }

    /// All names in slot order.
    pub fn iter(&self) -> impl Iterator<Item = &Name> {
        self.names.iter()
    }

    /// What to call a missing name in an error, and the nearest name there is. Nothing if the name is
    /// missing only because something else is broken, which has been reported.
    #[must_use]
    pub fn missing(&self, text: &str) -> Option<(String, Option<String>)> {
        if self.incomplete || self.broken.contains(text) {
            return None;
        }
        if self.questions_only && text.contains('.') {
            let hint = "facts and limits can be used in rules only; they are computed after the interview";
            return Some((format!("`show_when` cannot look at `{text}`"), Some(hint.to_owned())));
        }
        let row = text.split_once('.').and_then(|(kind, id)| Some((ROWS.iter().find(|row| **row == kind)?, id)));
        if row.is_some_and(|(kind, _)| *kind != "limit") && !self.advice {
            let hint = "findings, tasks and all that is told follow from the rules; promises can look at them";
            return Some((format!("a rule cannot look at `{text}`"), Some(hint.to_owned())));
        }
        let (what, shown) = match row {
            Some((kind, id)) => (*kind, id),
            None if text.contains('.') => ("fact", text),
            None => ("question", text),
        };
        let families = self.families.keys().map(Text::as_str);
        let known = self.names.iter().map(|n| n.text.as_str()).chain(families);
        let hint = nearest(text, known).map(|n| format!("did you mean `{n}`?"));
        Some((format!("no {what} `{shown}`"), hint))
    }
}

/// The candidate most like `word`, if any is like enough to be meant.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    candidates
        .map(|c| (strsim::damerau_levenshtein(word, c), c))
        .filter(|(d, c)| *d <= 2.max(c.len() / 4))
        .min_by_key(|(d, c)| (*d, *c))
        .map(|(_, c)| c)
}
