//! The lists of all files, gathered by their key.

use crate::flow::{Diagnostics, Node, Place, Source, Tree, nearest};
use std::collections::BTreeMap;

/// Keys that may stand at the top of a file.
const TOP: [&str; 54] = [
    "repair_later",
    "claddings",
    "features",
    "section",
    "title",
    "order",
    "intro",
    "sketch",
    "asked",
    "built_when",
    "questions",
    "readings",
    "limits",
    "stairs",
    "layers",
    "laps",
    "coursing",
    "paths",
    "weather_needs",
    "activities",
    "figures",
    "quantities",
    "not_counted",
    "sealed_things",
    "joint_tasks",
    "photos",
    "scope",
    "remove",
    "loads",
    "usual",
    "runoff",
    "roughness",
    "wood_lines",
    "findings",
    "promises",
    "phases",
    "tasks",
    "contractor",
    "trades",
    "cautions",
    "materials",
    "words",
    "translation",
    "texts",
    "source_phrases",
    "defined",
    "eras",
    "inch_regions",
    "letter_regions",
    "asking",
    "works",
    "vague_sources",
    "standalone",
    "version",
];

/// The lists of all files, gathered by their key.
pub(crate) struct Gathered<'n, 'a> {
    lists: BTreeMap<&'static str, Vec<&'n Node<'a>>>,
    maps: BTreeMap<&'static str, Vec<&'n Node<'a>>>,
    pub(crate) translations: Vec<(&'n str, Place, &'n Node<'a>)>,
    /// What is said in sources beside the titles of works, by language.
    pub(crate) phrases: Vec<(&'n str, &'n Node<'a>)>,
}

pub(crate) struct ContentLoader<'d> {
    pub(crate) diags: &'d mut Diagnostics,
}

impl ContentLoader<'_> {
    pub(crate) fn gather<'n, 'a>(&mut self, docs: &'n [Node<'a>]) -> Gathered<'n, 'a> {
        let mut gathered =
            Gathered { lists: BTreeMap::new(), maps: BTreeMap::new(), translations: Vec::new(), phrases: Vec::new() };
        for doc in docs {
            let Tree::Map(entries) = &doc.tree else {
                self.diags.error(doc.place, format!("a content file must be a map, not {}", doc.describe()));
                continue;
            };
            let mut language = None;
            for (key, value) in entries {
                let Some(top) = TOP.iter().find(|t| **t == key.text) else {
                    let hint = nearest(&key.text, TOP.into_iter());
                    self.diags.error_with_hint(
                        key.place,
                        format!("a content file has no part `{}`", key.text),
                        Some(
                            hint.map_or_else(
                                || format!("known: {}", TOP.join(", ")),
                                |n| format!("did you mean `{n}`?"),
                            ),
                        ),
                    );
                    continue;
                };
                match (*top, &value.tree) {
                    (
                        "section" | "title" | "order" | "intro" | "sketch" | "built_when" | "questions" | "standalone"
                        | "version",
                        _,
                    ) => {}
                    ("translation", _) => language = value.text(),
                    ("texts", Tree::Map(_)) => match language {
                        Some(lang) => gathered.translations.push((lang, key.place, value)),
                        None => self.diags.error(key.place, "`texts` needs `translation:` above it"),
                    },
                    ("source_phrases", Tree::Map(_)) => match language {
                        Some(lang) => gathered.phrases.push((lang, value)),
                        None => self.diags.error(key.place, "`source_phrases` needs `translation:` above it"),
                    },
                    ("words" | "readings" | "asking", Tree::Map(_)) => {
                        gathered.maps.entry(top).or_default().push(value);
                    }
                    ("words" | "readings" | "asking" | "texts" | "source_phrases", _) => {
                        self.diags.error(value.place, format!("`{top}` must be a map, not {}", value.describe()));
                    }
                    (_, Tree::List(items)) => gathered.lists.entry(top).or_default().extend(items),
                    _ => self.diags.error(value.place, format!("`{top}` must be a list, not {}", value.describe())),
                }
            }
        }
        gathered
    }

    /// Limits whose id stands again in a local file give way to it, in their place.
    pub(crate) fn without_replaced<'n, 'a>(nodes: &[&'n Node<'a>], sources: &[Source]) -> Vec<&'n Node<'a>> {
        let is_local = |node: &Node<'_>| sources.get(node.place.file()).is_some_and(|s| s.local);
        let replacement =
            |node: &Node<'_>| nodes.iter().find(|n| is_local(n) && id_of(n).is_some() && id_of(n) == id_of(node));
        let mut kept: Vec<&Node<'a>> = Vec::with_capacity(nodes.len());
        for &node in nodes {
            if is_local(node) {
                let used = kept.iter().any(|k| std::ptr::eq(*k, node));
                if !used {
                    kept.push(node);
                }
            } else {
                kept.push(replacement(node).copied().unwrap_or(node));
            }
        }
        kept
    }
}

impl<'n, 'a> Gathered<'n, 'a> {
    pub(crate) fn list(&self, key: &str) -> &[&'n Node<'a>] {
        self.lists.get(key).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn map(&self, key: &str) -> &[&'n Node<'a>] {
        self.maps.get(key).map_or(&[], Vec::as_slice)
    }
}

pub(crate) fn id_of<'n>(node: &'n Node<'_>) -> Option<&'n str> {
    let Tree::Map(entries) = &node.tree else { return None };
    entries.iter().find(|(k, _)| k.text == "id").and_then(|(_, v)| v.text())
}
