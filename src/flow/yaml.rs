//! YAML as a tree that remembers where everything stands.
//!
//! The events come from the parser that also serves `serde_yaml`; the tree is built here because a
//! deserializer stops at its first error, while the author of the questions must see all of them.
//! Scalars stay text: what a scalar means is decided by the field it stands in, so `no` can never
//! turn into a boolean by itself. Anchors, aliases and tags are refused, which also rules out
//! documents that unfold without end.

use super::diagnostic::{Diagnostics, Source};
use super::harmless::harmless;
use super::place::Place;
use super::tree::{Key, Node, Tree};
use granit_parser::{Event, Parser, ScalarStyle, Span};
use std::borrow::Cow;

/// Nesting deeper than this is refused.
const DEEPEST: usize = 40;

impl<'a> Node<'a> {
    /// Reads one file. Mistakes go to `diags`; nothing is returned for a file that is no YAML
    /// or is empty.
    pub fn read(source: &'a Source, file: u32, diags: &mut Diagnostics) -> Option<Node<'a>> {
        if let Some(tree) = source.tree {
            let mut node = tree.clone();
            node.put_into(file);
            return Some(node);
        }
        let mut builder = Builder { file, diags, parser: Parser::new_from_str(&source.text), failed: false };
        builder.document()
    }
}

struct Builder<'a, 'd> {
    file: u32,
    diags: &'d mut Diagnostics,
    parser: Parser<'a, granit_parser::StrInput<'a>>,
    failed: bool,
}

impl<'a> Builder<'a, '_> {
    fn place(&self, span: &Span) -> Place {
        let at = |m: &granit_parser::Marker| u32::try_from(m.byte_offset().unwrap_or(0)).unwrap_or(u32::MAX);
        Place { file: self.file, start: at(&span.start), end: at(&span.end) }
    }

    fn next(&mut self) -> Option<(Event<'a>, Place)> {
        if self.failed {
            return None;
        }
        match self.parser.next()? {
            Ok((event, span)) => {
                let place = self.place(&span);
                Some((event, place))
            }
            Err(error) => {
                self.failed = true;
                let start = u32::try_from(error.marker().byte_offset().unwrap_or(0)).unwrap_or(0);
                let place = Place { file: self.file, start, end: start + 1 };
                let hint = "two spaces a level, no tabs; put a text that holds `: ` or ` #` in quotes".to_owned();
                self.diags.error_with_hint(place, format!("this is not YAML: {}", error.info()), Some(hint));
                None
            }
        }
    }

    fn document(&mut self) -> Option<Node<'a>> {
        loop {
            match self.next()? {
                (Event::StreamStart | Event::DocumentStart(..), _) => {}
                (Event::StreamEnd | Event::DocumentEnd, _) => return None,
                (event, place) => {
                    let node = self.node(event, place, 0)?;
                    // the rest of the file must be read too: a mistake below is a mistake
                    while let Some((event, place)) = self.next() {
                        if matches!(event, Event::DocumentStart(..)) {
                            self.diags.error(place, "a second YAML document in one file");
                            break;
                        }
                    }
                    return (!self.failed).then_some(node);
                }
            }
        }
    }

    fn node(&mut self, event: Event<'a>, place: Place, depth: usize) -> Option<Node<'a>> {
        if depth > DEEPEST {
            self.diags.error(place, "nested too deeply");
            self.failed = true;
            return None;
        }
        let tree = match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse(anchor, tag.is_some(), place);
                Tree::Scalar { text: clean(text), quoted: style != ScalarStyle::Plain }
            }
            Event::SequenceStart(_, anchor, tag) => {
                self.refuse(anchor, tag.is_some(), place);
                let mut items = Vec::new();
                loop {
                    match self.next()? {
                        (Event::SequenceEnd, _) => break Tree::List(items),
                        (event, place) => items.push(self.node(event, place, depth + 1)?),
                    }
                }
            }
            Event::MappingStart(_, anchor, tag) => {
                self.refuse(anchor, tag.is_some(), place);
                Tree::Map(self.map(depth)?)
            }
            Event::Alias(_) | Event::UnresolvedAlias(_) => {
                self.diags.error_with_hint(
                    place,
                    "aliases are not used in these files",
                    Some("write the text out, or put it in quotes if the `*` is meant".to_owned()),
                );
                Tree::Scalar { text: Cow::Borrowed(""), quoted: true }
            }
            _ => return None,
        };
        Some(Node { place, tree })
    }

    fn map(&mut self, depth: usize) -> Option<Vec<(Key<'a>, Node<'a>)>> {
        let mut entries: Vec<(Key<'a>, Node<'a>)> = Vec::new();
        loop {
            let (event, place) = self.next()?;
            let key = match event {
                Event::MappingEnd => return Some(entries),
                Event::Scalar(text, ..) => Key { text: clean(text), place },
                other => {
                    self.diags.error(place, "a key must be a plain word");
                    self.node(other, place, depth + 1)?;
                    Key { text: Cow::Borrowed(""), place }
                }
            };
            let (event, place) = self.next()?;
            let value = self.node(event, place, depth + 1)?;
            if entries.iter().any(|(k, _)| k.text == key.text) {
                self.diags.error_with_hint(
                    key.place,
                    format!("the key `{}` stands twice here", key.text),
                    Some("keep one of them".to_owned()),
                );
            } else {
                entries.push((key, value));
            }
        }
    }

    fn refuse(&mut self, anchor: usize, tagged: bool, place: Place) {
        if anchor != 0 || tagged {
            self.diags.error_with_hint(
                place,
                "anchors and tags are not used in these files",
                Some("put the text in quotes if the `&` or `!` is meant".to_owned()),
            );
        }
    }
}

/// A text of the file as it may be shown: whoever wrote the file, nothing in it acts on a terminal or a page.
fn clean(text: Cow<'_, str>) -> Cow<'_, str> {
    match text {
        Cow::Borrowed(text) => harmless(text),
        Cow::Owned(text) => Cow::Owned(harmless(&text).into_owned()),
    }
}
