//! Reading maps of the YAML tree field by field, noting every mistake and going on.

use super::condition::{Condition, Test};
use super::diagnostic::Diagnostics;
use super::model::Trait;
use super::place::Place;
use super::tree::{Key, Node, Tree};
use super::vocabulary::{Family, Kind, Vocabulary, nearest};
use crate::pack::Text;
use crate::units::{Length, Slope, Units};

/// The fields of one map. Each is taken once; [`Fields::finish`] reports what nobody took.
#[derive(Debug)]
pub struct Fields<'n, 'a> {
    what: &'static str,
    place: Place,
    entries: &'n [(Key<'a>, Node<'a>)],
    taken: Vec<bool>,
    known: Vec<&'static str>,
}

impl<'n, 'a> Fields<'n, 'a> {
    /// The fields of `node`, which is `what` ("a question") in error messages.
    pub fn of(node: &'n Node<'a>, what: &'static str, diags: &mut Diagnostics) -> Option<Self> {
        if let Tree::Map(entries) = &node.tree {
            let taken = vec![false; entries.len()];
            // room for the fields of nearly every row: growing step by step was a fiftieth of all loading
            Some(Fields { what, place: node.place, entries, taken, known: Vec::with_capacity(16) })
        } else {
            diags.error_with_hint(
                node.place,
                format!("{what} must be a map of fields, not {}", node.describe()),
                Some("write `key: value` lines".to_owned()),
            );
            None
        }
    }

    /// Where the map stands.
    #[must_use]
    pub fn place(&self) -> Place {
        self.entries.first().map_or(self.place, |(key, _)| key.place)
    }

    /// Whether a field is given.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.entries.iter().any(|(key, _)| key.text == name)
    }

    /// The node of an optional field.
    pub fn take(&mut self, name: &'static str) -> Option<&'n Node<'a>> {
        self.known.push(name);
        let at = self.entries.iter().position(|(key, _)| key.text == name)?;
        self.taken[at] = true;
        Some(&self.entries[at].1)
    }

    /// The node of a field that must be there.
    pub fn need(&mut self, name: &'static str, diags: &mut Diagnostics) -> Option<&'n Node<'a>> {
        let node = self.take(name);
        if node.is_none() {
            // a misspelt neighbour is the likelier mistake; `finish` will name it
            let place = self.place();
            diags.error_with_hint(place, format!("{} needs `{name}:`", self.what), None);
        }
        node
    }

    /// An optional text that is not empty.
    pub fn text(&mut self, name: &'static str, diags: &mut Diagnostics) -> Option<Text> {
        let node = self.take(name)?;
        scalar(node, name, diags).map(|text| text.trim().into())
    }

    /// A text that must be there.
    pub fn need_text(&mut self, name: &'static str, diags: &mut Diagnostics) -> Option<Text> {
        let node = self.need(name, diags)?;
        scalar(node, name, diags).map(|text| text.trim().into())
    }

    /// An id: small letters, digits and `_`, starting with a letter.
    pub fn need_id(&mut self, diags: &mut Diagnostics) -> Option<(Text, Place)> {
        let node = self.need("id", diags)?;
        let text = scalar(node, "id", diags)?;
        let good = text.starts_with(|c: char| c.is_ascii_lowercase())
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        if !good {
            diags.error_with_hint(
                node.place,
                format!("`{text}` cannot be an id"),
                Some("use small letters, digits and `_`, starting with a letter".to_owned()),
            );
            return None;
        }
        Some((text.into(), node.place))
    }

    /// An optional `true` or `false`; `default` without it.
    pub fn flag(&mut self, name: &'static str, default: bool, diags: &mut Diagnostics) -> bool {
        let Some(node) = self.take(name) else { return default };
        match &node.tree {
            Tree::Scalar { text, quoted: false } if text == "true" => true,
            Tree::Scalar { text, quoted: false } if text == "false" => false,
            _ => {
                diags.error(node.place, format!("`{name}` must be `true` or `false`"));
                default
            }
        }
    }

    /// An optional list; empty without it.
    pub fn list(&mut self, name: &'static str, diags: &mut Diagnostics) -> &'n [Node<'a>] {
        match self.take(name) {
            None => &[],
            Some(Node { tree: Tree::List(items), .. }) => items,
            Some(node) => {
                diags.error(node.place, format!("`{name}` must be a list, not {}", node.describe()));
                &[]
            }
        }
    }

    /// An optional list of texts.
    pub fn texts(&mut self, name: &'static str, diags: &mut Diagnostics) -> Vec<Text> {
        self.list(name, diags)
            .iter()
            .filter_map(|node| scalar(node, name, diags))
            .map(|text| text.trim().into())
            .collect()
    }

    /// One word out of a closed list.
    pub fn word<T: Copy>(&mut self, name: &'static str, words: &[(&str, T)], diags: &mut Diagnostics) -> Option<T> {
        let node = self.take(name)?;
        word(node, name, words, diags)
    }

    /// One word out of a closed list, which must be there.
    pub fn need_word<T: Copy>(
        &mut self,
        name: &'static str,
        words: &[(&str, T)],
        diags: &mut Diagnostics,
    ) -> Option<T> {
        let node = self.need(name, diags)?;
        word(node, name, words, diags)
    }

    /// An optional list of words out of a closed list.
    pub fn words<T: Copy>(&mut self, name: &'static str, words: &[(&str, T)], diags: &mut Diagnostics) -> Vec<T> {
        self.list(name, diags).iter().filter_map(|node| word(node, name, words, diags)).collect()
    }

    /// A decimal number that is not below zero, in thousandths.
    pub fn decimal(&mut self, name: &'static str, diags: &mut Diagnostics) -> Option<i64> {
        let node = self.take(name)?;
        let found = node.text().and_then(super::answer::parse_thousandths).filter(|n| *n >= 0);
        if found.is_none() {
            diags.error(node.place, format!("`{name}` must be a number with at most three decimals, not below zero"));
        }
        found
    }

    /// An optional whole number that is not below zero.
    pub fn whole(&mut self, name: &'static str, diags: &mut Diagnostics) -> Option<i64> {
        whole(self.take(name)?, name, diags)
    }

    /// A whole number that must be there and is not below zero.
    pub fn need_whole(&mut self, name: &'static str, diags: &mut Diagnostics) -> Option<i64> {
        whole(self.need(name, diags)?, name, diags)
    }

    /// An optional condition; always true without it.
    pub fn condition(&mut self, name: &'static str, names: &Vocabulary, diags: &mut Diagnostics) -> Condition {
        self.take(name).map_or_else(Condition::always, |node| condition(node, names, diags))
    }

    /// All fields that nobody has taken, as traits: each a word or a list of words.
    pub(super) fn rest(&mut self, diags: &mut Diagnostics) -> Vec<Trait> {
        let mut traits = Vec::new();
        for ((key, node), taken) in self.entries.iter().zip(&mut self.taken).filter(|(_, taken)| !**taken) {
            *taken = true;
            let items = match &node.tree {
                Tree::List(items) => items.iter().collect(),
                Tree::Scalar { .. } | Tree::Map(_) => vec![node],
            };
            let values = items.into_iter().filter_map(|item| scalar(item, &key.text, diags));
            let values = values.map(Text::from).collect();
            traits.push(Trait { name: key.text.as_ref().into(), values, place: key.place });
        }
        traits
    }

    /// Reports the fields that are not known.
    pub fn finish(self, diags: &mut Diagnostics) {
        for ((key, _), taken) in self.entries.iter().zip(&self.taken) {
            if !taken {
                let hint = nearest(&key.text, self.known.iter().copied()).map_or_else(
                    || format!("known here: {}", self.known.join(", ")),
                    |known| format!("did you mean `{known}`?"),
                );
                diags.error_with_hint(key.place, format!("{} has no field `{}`", self.what, key.text), Some(hint));
            }
        }
    }
}

fn scalar<'n>(node: &'n Node<'_>, name: &str, diags: &mut Diagnostics) -> Option<&'n str> {
    match node.text() {
        Some(text) if !text.trim().is_empty() && text != "~" => Some(text),
        Some(_) => {
            diags.error(node.place, format!("`{name}` is empty"));
            None
        }
        None => {
            diags.error_with_hint(
                node.place,
                format!("`{name}` must be a text, not {}", node.describe()),
                Some("a text that starts with `{`, `[` or `-`, or holds `: `, needs quotes".to_owned()),
            );
            None
        }
    }
}

fn word<T: Copy>(node: &Node<'_>, name: &str, words: &[(&str, T)], diags: &mut Diagnostics) -> Option<T> {
    let text = scalar(node, name, diags)?;
    let found = words.iter().find(|(w, _)| *w == text).map(|(_, t)| *t);
    if found.is_none() {
        let all: Vec<&str> = words.iter().map(|(w, _)| *w).collect();
        let hint = nearest(text, all.iter().copied())
            .map_or_else(|| format!("use one of: {}", all.join(", ")), |n| format!("did you mean `{n}`?"));
        diags.error_with_hint(node.place, format!("`{name}` cannot be `{text}`"), Some(hint));
    }
    found
}

/// Compiles a condition; a broken one counts as always true, and the mistakes are noted.
pub fn condition(node: &Node<'_>, names: &Vocabulary, diags: &mut Diagnostics) -> Condition {
    let Tree::Map(entries) = &node.tree else {
        diags.error_with_hint(
            node.place,
            format!("a condition must be a map, not {}", node.describe()),
            Some("for example `when: { cladding: vinyl }`".to_owned()),
        );
        return Condition::always();
    };
    let parts: Vec<Condition> = entries.iter().map(|(key, value)| entry(key, value, names, diags)).collect();
    let all = Condition::all(&parts);
    if !all.fits() {
        diags.error(node.place, format!("a condition has at most {} tests and groups; make two of it", u16::MAX));
        return Condition::always();
    }
    all
}

fn entry(key: &Key<'_>, value: &Node<'_>, names: &Vocabulary, diags: &mut Diagnostics) -> Condition {
    match key.text.as_ref() {
        group @ ("all" | "any") => {
            let Tree::List(items) = &value.tree else {
                diags.error(value.place, format!("`{group}` must be a list of conditions, not {}", value.describe()));
                return Condition::always();
            };
            if items.is_empty() {
                diags.error(value.place, format!("`{group}` is empty"));
            }
            let parts: Vec<Condition> = items.iter().map(|item| condition(item, names, diags)).collect();
            if group == "all" { Condition::all(&parts) } else { Condition::any(&parts) }
        }
        "not" => Condition::negate(&condition(value, names, diags)),
        name => {
            if let Some(family) = names.family(name) {
                return family_test(name, family, value, diags);
            }
            let Some(slot) = names.slot(name) else {
                if let Some((message, hint)) = names.missing(name) {
                    diags.error_with_hint(key.place, message, hint);
                }
                return Condition::always();
            };
            tests(name, &names.name(slot).kind, value, diags).map_or_else(Condition::always, |tests| {
                let parts: Vec<Condition> = tests.into_iter().map(|t| Condition::test(slot, t)).collect();
                Condition::all(&parts)
            })
        }
    }
}

/// A test of a trait: the choices that have one of these values.
fn family_test(name: &str, family: &Family, value: &Node<'_>, diags: &mut Diagnostics) -> Condition {
    let items: Vec<&Node<'_>> = match &value.tree {
        Tree::Scalar { .. } => vec![value],
        Tree::List(items) if !items.is_empty() => items.iter().collect(),
        Tree::List(_) | Tree::Map(_) => {
            let message = format!("test `{name}` with one of its values, or with a list of them");
            diags.error_with_hint(value.place, message, Some(family_values(family)));
            return Condition::always();
        }
    };
    let mut bits = 0;
    for item in items {
        let text = item.text().unwrap_or_default();
        let Some((_, here)) = family.values.iter().find(|(known, _)| known == text) else {
            let near = nearest(text, family.values.iter().map(|(known, _)| known.as_str()));
            let hint = near.map_or_else(|| family_values(family), |n| format!("did you mean `{n}`?"));
            diags.error_with_hint(item.place, format!("no row has `{text}` as its `{name}`"), Some(hint));
            return Condition::always();
        };
        bits |= here;
    }
    Condition::test(family.slot, Test::Any(bits))
}

fn family_values(family: &Family) -> String {
    let values: Vec<&str> = family.values.iter().map(|(value, _)| value.as_str()).collect();
    format!("its values: {}", values.join(", "))
}

/// The tests that `name: value` stands for.
fn tests(name: &str, kind: &Kind, value: &Node<'_>, diags: &mut Diagnostics) -> Option<Vec<Test>> {
    match (&value.tree, kind) {
        (Tree::Map(entries), _) => {
            let mut tests = Vec::new();
            for (key, node) in entries {
                tests.push(comparison(name, kind, key, node, diags)?);
            }
            if tests.is_empty() {
                diags.error(value.place, format!("the test of `{name}` is empty"));
            }
            Some(tests)
        }
        (Tree::List(items), Kind::OneOf(choices) | Kind::SeveralOf(choices)) => {
            let mut bits = 0;
            for item in items {
                bits |= choice_bit(name, choices, item, diags)?;
            }
            if items.is_empty() {
                diags.error(value.place, format!("the list for `{name}` is empty"));
            }
            Some(vec![Test::Any(bits)])
        }
        (Tree::Scalar { .. }, Kind::OneOf(choices) | Kind::SeveralOf(choices)) => {
            Some(vec![Test::Any(choice_bit(name, choices, value, diags)?)])
        }
        (Tree::Scalar { text, quoted: false }, Kind::YesNo) if text == "true" => Some(vec![Test::Any(2)]),
        (Tree::Scalar { text, quoted: false }, Kind::YesNo) if text == "false" => Some(vec![Test::Any(1)]),
        (_, Kind::YesNo) => {
            diags.error(value.place, format!("`{name}` is a yes/no question; test it with `true` or `false`"));
            None
        }
        _ => {
            diags.error_with_hint(
                value.place,
                format!("`{name}` is a {}; compare it", kind_word(kind)),
                Some(format!("for example `{name}: {{ {} }}`", example(kind))),
            );
            None
        }
    }
}

fn comparison(name: &str, kind: &Kind, key: &Key<'_>, node: &Node<'_>, diags: &mut Diagnostics) -> Option<Test> {
    const WORDS: [&str; 5] = ["below", "at_most", "above", "at_least", "known"];
    let text = node.text().unwrap_or_default();
    if key.text == "known" {
        return match text {
            "true" => Some(Test::Known(true)),
            "false" => Some(Test::Known(false)),
            _ => {
                diags.error(node.place, "`known` must be `true` or `false`");
                None
            }
        };
    }
    if !WORDS.contains(&key.text.as_ref()) {
        let hint = nearest(&key.text, WORDS.into_iter())
            .map_or_else(|| format!("use one of: {}", WORDS.join(", ")), |n| format!("did you mean `{n}`?"));
        diags.error_with_hint(key.place, format!("no comparison `{}`", key.text), Some(hint));
        return None;
    }
    if !matches!(kind, Kind::Length | Kind::Slope | Kind::Number | Kind::Year) {
        diags.error(key.place, format!("`{name}` is a {}; it has no more or less", kind_word(kind)));
        return None;
    }
    let number = number(kind, node, diags)?;
    Some(match key.text.as_ref() {
        "below" => Test::Below(number),
        "at_most" => Test::AtMost(number),
        "above" => Test::Above(number),
        _ => Test::AtLeast(number),
    })
}

/// A number of content as conditions and limits compare it, in the numbers of [`Value`](super::Value): the one
/// reader for both. Nothing for a kind that has no more or less.
pub fn number(kind: &Kind, node: &Node<'_>, diags: &mut Diagnostics) -> Option<i64> {
    let text = node.text().unwrap_or_default();
    match kind {
        Kind::Length => length(text, node.place, diags).map(Length::steps),
        Kind::Slope => match Slope::parse(text) {
            Ok(slope) => Some(slope.parts()),
            Err(error) => {
                diags.error(node.place, error.to_string());
                None
            }
        },
        Kind::Number => thousandths(text, node.place, diags),
        Kind::Year => {
            let year = text.parse().ok();
            if year.is_none() {
                diags.error(node.place, format!("`{text}` is not a year"));
            }
            year
        }
        Kind::OneOf(_) | Kind::SeveralOf(_) | Kind::YesNo | Kind::Text => {
            diags.error(node.place, format!("a {} has no more or less", kind_word(kind)));
            None
        }
    }
}

/// A length in content: always with its unit, so that it reads the same in every region.
pub fn length(text: &str, place: Place, diags: &mut Diagnostics) -> Option<Length> {
    if !text.contains(|c: char| c.is_alphabetic() || c == '"' || c == '\'') {
        diags.error_with_hint(
            place,
            format!("`{text}` is a length without a unit"),
            Some(format!("write `{text} in` or `{text} mm`")),
        );
        return None;
    }
    match Length::parse(text, Units::Inch) {
        Ok(length) => Some(length),
        Err(error) => {
            diags.error(place, error.to_string());
            None
        }
    }
}

/// A number with at most three decimals, in thousandths.
pub(super) fn thousandths(text: &str, place: Place, diags: &mut Diagnostics) -> Option<i64> {
    let number = super::answer::parse_thousandths(text);
    if number.is_none() {
        diags.error(place, format!("`{text}` is not a number"));
    }
    number
}

fn choice_bit(name: &str, choices: &[Text], node: &Node<'_>, diags: &mut Diagnostics) -> Option<i64> {
    let text = node.text().unwrap_or_default();
    if let Some(at) = choices.iter().position(|c| c == text) {
        return Some(1 << at);
    }
    if choices.is_empty() {
        // its rows could not be read, which was reported
        return None;
    }
    let hint = nearest(text, choices.iter().map(Text::as_str))
        .map_or_else(|| format!("its choices: {}", choices.join(", ")), |n| format!("did you mean `{n}`?"));
    diags.error_with_hint(node.place, format!("`{name}` has no choice `{text}`"), Some(hint));
    None
}

fn kind_word(kind: &Kind) -> &'static str {
    match kind {
        Kind::OneOf(_) => "choice",
        Kind::SeveralOf(_) => "choice of several",
        Kind::YesNo => "yes/no question",
        Kind::Length => "length",
        Kind::Slope => "slope",
        Kind::Number => "number",
        Kind::Year => "year",
        Kind::Text => "text",
    }
}

fn example(kind: &Kind) -> &'static str {
    match kind {
        Kind::Length => "below: 2 in",
        Kind::Slope => "below: 2 %",
        Kind::Year => "below: 1978",
        Kind::Text => "known: true",
        _ => "below: 3",
    }
}

fn whole(node: &Node<'_>, name: &str, diags: &mut Diagnostics) -> Option<i64> {
    let number = node.text().and_then(|t| t.parse().ok()).filter(|n| *n >= 0);
    if number.is_none() {
        diags.error(node.place, format!("`{name}` must be a whole number, not below zero"));
    }
    number
}
