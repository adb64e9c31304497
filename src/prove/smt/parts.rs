//! What a script is made of, while it is written.

use super::term::Script;
use crate::content::Content;
use crate::site::{FACTS, FactId, FactKind};

/// Truth in three values, as two terms, and where it is neither: whether nothing but the tape leaves it open.
#[derive(Debug, Clone)]
pub(super) struct Three {
    pub(super) yes: String,
    pub(super) no: String,
    pub(super) tape: String,
}

/// The value of a name.
#[derive(Debug, Clone)]
pub(super) enum ValuedTerm {
    /// One or several of its choices; for each the term that it is among them.
    Chosen { known: String, absent: String, is: Vec<String> },
    /// A number between two.
    Counted { known: String, absent: String, low: String, high: String },
}

/// A question: whether it is shown, and whether nobody is sure.
#[derive(Debug, Clone)]
pub(super) struct PosedTerms {
    pub(super) shown: String,
    pub(super) hidden: String,
    pub(super) not_sure: String,
    pub(super) is: Vec<String>,
}

/// A script that is being written.
pub(super) struct SmtWriting<'c> {
    pub(super) content: &'c Content,
    pub(super) script: Script,
    pub(super) questions: Vec<PosedTerms>,
    /// By slot.
    pub(super) values: Vec<ValuedTerm>,
    /// By slot: what keeps the name from being known is the tape.
    pub(super) tapes: Vec<String>,
    /// A drop from anywhere is held or ends on wood: certainly, certainly not.
    pub(super) held: (String, String),
    pub(super) rules: Rules,
    /// How many things were asked.
    pub(super) asked: usize,
}

/// What follows.
#[derive(Debug, Default)]
pub(super) struct Rules {
    pub(super) defined: Vec<Three>,
    pub(super) limits: Vec<LimitTerms>,
    pub(super) findings: Vec<Three>,
    /// By [`crate::content::Verdict`].
    pub(super) verdict: Vec<String>,
}

/// A limit held against its measure.
#[derive(Debug, Clone)]
pub(super) struct LimitTerms {
    pub(super) applies: String,
    /// By [`crate::wall::Status`].
    pub(super) status: [String; 5],
    pub(super) breaks: Three,
}

/// The fact that says the same with the sign turned, if it comes first.
pub(super) fn turned_of(id: FactId) -> Option<FactId> {
    let FactKind::Height(a, b) = id.fact().kind else { return None };
    FACTS.iter().take(id as usize).find(|fact| fact.kind == FactKind::Height(b, a)).map(|fact| fact.id)
}

/// That a number comes from the tape alone.
pub(super) fn taped_term(id: FactId) -> String {
    format!("|{}: by tape measure|", id.fact().name)
}
