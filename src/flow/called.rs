//! What the things on a wall are called in questions, as content has it; what is said to somebody is in [`super::Spoken`].

use super::condition::Condition;
use crate::pack::{Text, packed};

/// A name that texts of questions may use, with what it is called in each case.
#[derive(Debug, Clone)]
pub struct Wording {
    /// The name.
    pub name: Text,
    /// What it is called where no case holds for certain.
    pub general: Called,
    /// The cases. The first that holds for certain counts.
    pub cases: Vec<WordingCase>,
}

packed!(struct Wording { name, general, cases });

/// What something is called in one case.
#[derive(Debug, Clone)]
pub struct WordingCase {
    /// Its id, unique within the name.
    pub id: Text,
    /// When. It looks at questions only.
    pub when: Condition,
    /// What it is called then.
    pub called: Called,
}

packed!(struct WordingCase { id, when, called });

/// What something is called.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Called {
    /// In a sentence, with its article.
    pub say: Text,
    /// In lists and tables; in a case that has none, the general one counts.
    pub short: Option<Text>,
    /// A sentence or two that help to find it; as `short`.
    pub help: Option<Text>,
}

packed!(struct Called { say, short, help });

/// The texts that a question has for built work, where they differ.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BuiltTexts {
    /// The question itself.
    pub ask: Option<Text>,
    /// Why it matters.
    pub why: Option<Text>,
    /// How to find out.
    pub how: Option<Text>,
}

packed!(struct BuiltTexts { ask, why, how });
