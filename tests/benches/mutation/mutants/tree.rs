//! A YAML tree that can be changed and written again.

use std::fmt::Write;
use wallfoot::flow::{Node, Tree as Read};

/// A node, with the line it stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Yaml {
    /// The line, from 1; for a value behind a key the line of its key.
    pub(crate) line: usize,
    pub(crate) tree: Tree,
}

/// What a node is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Tree {
    /// A text, and whether it was written in quotes or as a block.
    Text {
        text: String,
        quoted: bool,
    },
    List(Vec<Yaml>),
    Map(Vec<(String, Yaml)>),
}

impl Yaml {
    /// The tree that was read from a text.
    pub(crate) fn of(node: &Node<'_>, text: &str) -> Yaml {
        let ends: Vec<usize> = text.match_indices('\n').map(|(at, _)| at).collect();
        Yaml::convert(node, None, &|at| ends.partition_point(|end| *end < at) + 1)
    }

    fn convert(node: &Node<'_>, key: Option<usize>, line: &dyn Fn(usize) -> usize) -> Yaml {
        let here = key.unwrap_or_else(|| line(node.place.start()));
        let tree = match &node.tree {
            Read::Scalar { text, quoted } => Tree::Text { text: text.to_string(), quoted: *quoted },
            Read::List(items) => Tree::List(items.iter().map(|item| Yaml::convert(item, None, line)).collect()),
            Read::Map(entries) => {
                let entries = entries.iter().map(|(key, value)| {
                    (key.text.to_string(), Yaml::convert(value, Some(line(key.place.start())), line))
                });
                Tree::Map(entries.collect())
            }
        };
        Yaml { line: here, tree }
    }

    /// A plain word or number.
    pub(crate) fn plain(line: usize, text: impl Into<String>) -> Yaml {
        Yaml { line, tree: Tree::Text { text: text.into(), quoted: false } }
    }

    pub(crate) fn list(line: usize, items: Vec<Yaml>) -> Yaml {
        Yaml { line, tree: Tree::List(items) }
    }

    pub(crate) fn map(line: usize, entries: Vec<(String, Yaml)>) -> Yaml {
        Yaml { line, tree: Tree::Map(entries) }
    }

    pub(crate) fn text(&self) -> Option<&str> {
        match &self.tree {
            Tree::Text { text, .. } => Some(text),
            _ => None,
        }
    }

    pub(crate) fn items(&self) -> &[Yaml] {
        match &self.tree {
            Tree::List(items) => items,
            _ => &[],
        }
    }

    pub(crate) fn entries(&self) -> &[(String, Yaml)] {
        match &self.tree {
            Tree::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The value of a key.
    pub(crate) fn get(&self, key: &str) -> Option<&Yaml> {
        self.entries().iter().find(|(k, _)| k == key).map(|(_, value)| value)
    }

    /// The same tree with another node, or none, at the end of a path of positions.
    pub(crate) fn with(&self, path: &[usize], new: Option<Yaml>) -> Yaml {
        let mut changed = self.clone();
        changed.put(path, new);
        changed
    }

    fn put(&mut self, path: &[usize], new: Option<Yaml>) {
        let Some((&at, rest)) = path.split_first() else {
            if let Some(new) = new {
                *self = new;
            }
            return;
        };
        let last = rest.is_empty();
        match (&mut self.tree, new) {
            (Tree::List(items), None) if last => drop(items.remove(at)),
            (Tree::Map(entries), None) if last => drop(entries.remove(at)),
            (Tree::List(items), new) => items[at].put(rest, new),
            (Tree::Map(entries), new) => entries[at].1.put(rest, new),
            (Tree::Text { .. }, _) => {}
        }
    }

    /// The same tree with another key at the end of a path.
    pub(crate) fn renamed(&self, path: &[usize], key: &str) -> Yaml {
        let mut changed = self.clone();
        let mut node = &mut changed;
        for (depth, &at) in path.iter().enumerate() {
            match &mut node.tree {
                Tree::Map(entries) => {
                    if depth + 1 == path.len() {
                        key.clone_into(&mut entries[at].0);
                    }
                    node = &mut entries[at].1;
                }
                Tree::List(items) => node = &mut items[at],
                Tree::Text { .. } => break,
            }
        }
        changed
    }

    /// Writes the tree so that reading it gives the same tree, on one line.
    pub(crate) fn write(&self, out: &mut String) {
        match &self.tree {
            Tree::Text { text, quoted: false } if ["true", "false", "~"].contains(&text.as_str()) => out.push_str(text),
            Tree::Text { text, quoted: false } if text.is_empty() => out.push('~'),
            Tree::Text { text, .. } => quote(text, out),
            Tree::List(items) => {
                out.push('[');
                for (at, item) in items.iter().enumerate() {
                    out.push_str(if at == 0 { "" } else { ", " });
                    item.write(out);
                }
                out.push(']');
            }
            Tree::Map(entries) => {
                out.push('{');
                for (at, (key, value)) in entries.iter().enumerate() {
                    out.push_str(if at == 0 { "" } else { ", " });
                    quote(key, out);
                    out.push_str(": ");
                    value.write(out);
                }
                out.push('}');
            }
        }
    }

    /// The tree in a few words, as it would stand in a file.
    pub(crate) fn shown(&self) -> String {
        let mut out = String::new();
        self.show(&mut out);
        out
    }

    fn show(&self, out: &mut String) {
        match &self.tree {
            Tree::Text { text, .. } => out.push_str(text),
            Tree::List(items) => {
                out.push('[');
                for (at, item) in items.iter().enumerate() {
                    out.push_str(if at == 0 { "" } else { ", " });
                    item.show(out);
                }
                out.push(']');
            }
            Tree::Map(entries) => {
                out.push_str("{ ");
                for (at, (key, value)) in entries.iter().enumerate() {
                    let _ = write!(out, "{}{key}: ", if at == 0 { "" } else { ", " });
                    value.show(out);
                }
                out.push_str(" }");
            }
        }
    }
}

fn quote(text: &str, out: &mut String) {
    out.push('"');
    for sign in text.chars() {
        match sign {
            '"' | '\\' => out.extend(['\\', sign]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            sign => out.push(sign),
        }
    }
    out.push('"');
}
