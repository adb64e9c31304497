//! The tree of a YAML file: what stands in it, and where.

use super::place::Place;
use std::borrow::Cow;

/// A node of the tree, with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node<'a> {
    /// Where it stands.
    pub place: Place,
    /// What it is.
    pub tree: Tree<'a>,
}

/// What a node is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tree<'a> {
    /// A scalar, and whether it was written in quotes or as a block.
    Scalar {
        /// The text.
        text: Cow<'a, str>,
        /// Whether it was quoted or a block: then it is text and nothing else.
        quoted: bool,
    },
    /// A list.
    List(Vec<Node<'a>>),
    /// Keys and values in file order; keys are unique.
    Map(Vec<(Key<'a>, Node<'a>)>),
}

/// A key of a map, with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key<'a> {
    /// The key.
    pub text: Cow<'a, str>,
    /// Where it stands.
    pub place: Place,
}

impl Node<'_> {
    /// The text of a plain or quoted scalar.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match &self.tree {
            Tree::Scalar { text, .. } => Some(text),
            _ => None,
        }
    }

    /// What the node is, in the words of an error message.
    #[must_use]
    pub fn describe(&self) -> &'static str {
        match &self.tree {
            Tree::Scalar { text, quoted: false } if text.is_empty() || text == "~" || text == "null" => "nothing",
            Tree::Scalar { .. } => "a text",
            Tree::List(_) => "a list",
            Tree::Map(_) => "a map",
        }
    }

    /// Makes it the tree of the file with this number.
    pub(super) fn put_into(&mut self, file: u32) {
        self.place.file = file;
        match &mut self.tree {
            Tree::Scalar { .. } => {}
            Tree::List(items) => items.iter_mut().for_each(|item| item.put_into(file)),
            Tree::Map(entries) => {
                for (key, value) in entries {
                    key.place.file = file;
                    value.put_into(file);
                }
            }
        }
    }
}
