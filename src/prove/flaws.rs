//! What is wrong with a row, told.

use super::claims::{Happens, Wanted};
use super::explain::{in_words, parts};
use super::formula::Theory;
use super::outcome::{Flaw, FlawKind};
use crate::content::Promise;
use crate::flow::{Answers, Clause, Condition, Place};
use crate::solve::Lit;

/// Something that can never happen, and the conditions that stand against each other.
pub(super) fn dead(formula: &mut Theory<'_>, claim: &Wanted<'_>) -> Flaw {
    let content = formula.content;
    let (kind, says) = match claim.what {
        Happens::Asked(_) => (FlawKind::NeverAsked, "is never asked"),
        Happens::Fact(_, true) => (FlawKind::OneSided, "never holds"),
        Happens::Fact(_, false) => (FlawKind::OneSided, "always holds, or is never known not to"),
        Happens::Limit(_, crate::wall::Status::Fails) => (FlawKind::NeverMissed, "can never be missed"),
        Happens::Limit(..) => (FlawKind::NeverMet, "can never be met"),
        Happens::Finding(_) => (FlawKind::NeverFires, "never holds"),
        Happens::Row(_) => (FlawKind::NeverUsed, "is never called for"),
        Happens::Owed(_) => (FlawKind::NeverOwed, "is never owed, and so promises nothing"),
        Happens::Given(_) => (FlawKind::NeverGiven, "is never given"),
        Happens::Broken(_) => (FlawKind::Broken, "is never broken"),
    };
    let when: Option<&Condition> = match claim.what {
        Happens::Asked(at) => Some(&content.flow.questions[at].visible),
        Happens::Fact(at, true) => Some(&content.defined[at].when),
        Happens::Limit(at, _) => Some(&content.limits[at].when),
        Happens::Finding(at) => Some(&content.findings[at].when),
        Happens::Row(row) => Some(row.when),
        Happens::Owed(when) => Some(when),
        Happens::Fact(_, false) | Happens::Given(_) | Happens::Broken(_) => None,
    };
    let mut said: Vec<(Lit, String)> = Vec::new();
    for part in when.map(parts).unwrap_or_default() {
        let lit = formula.clause(&part).truth.yes;
        said.push((lit, in_words(&part, &content.vocabulary)));
    }
    if let Happens::Limit(at, status) = claim.what {
        let limit = &content.limits[at];
        let applies = formula.limits[at].applies.yes;
        let lit = formula.status(at, status);
        let test = match (limit.sense, status) {
            (crate::wall::Sense::AtLeast, crate::wall::Status::Passes) => crate::flow::Test::AtLeast(limit.bound),
            (crate::wall::Sense::AtLeast, _) => crate::flow::Test::Below(limit.bound),
            (crate::wall::Sense::AtMost, crate::wall::Status::Passes) => crate::flow::Test::AtMost(limit.bound),
            (crate::wall::Sense::AtMost, _) => crate::flow::Test::Above(limit.bound),
        };
        said.push((applies, "its regions".to_owned()));
        said.push((lit, in_words(&Clause::Is(limit.measure, test), &content.vocabulary)));
    }
    if let Happens::Row(row) = claim.what
        && let Some(verdict) = row.verdict
    {
        said.push((formula.verdict[verdict as usize], format!("verdict: {}", verdict.word())));
    }
    let lits: Vec<Lit> = said.iter().map(|(lit, _)| *lit).collect();
    let core = formula.fewest_against(&lits);
    let against = said.into_iter().filter(|(lit, _)| core.contains(lit)).map(|(_, text)| text).collect();
    Flaw {
        kind,
        row: claim.kind,
        id: claim.id.to_owned(),
        place: claim.place,
        message: format!("the {} `{}` {says}, whatever is answered", claim.kind, claim.id),
        against,
        visit: None,
        beside: None,
    }
}

/// A row that waits for others and holds with these, as this visit shows.
pub(super) fn fires(claim: &Wanted<'_>, visit: Answers) -> Flaw {
    Flaw {
        kind: FlawKind::FiresThough,
        row: claim.kind,
        id: claim.id.to_owned(),
        place: claim.place,
        message: format!(
            "the {} `{}` is `spare`, for rows that are not there yet, and it holds with these",
            claim.kind, claim.id
        ),
        against: Vec::new(),
        visit: Some(visit),
        beside: None,
    }
}

/// Every visit has one verdict, and no other: in how many cases that is proved, or all that is wrong.
pub(super) fn one_verdict(formula: &mut Theory<'_>) -> (usize, Vec<Flaw>) {
    let given = formula.verdict;
    let mut cases = vec![given.map(|lit| !lit).to_vec()];
    for (at, one) in given.iter().enumerate() {
        cases.extend(given[at + 1..].iter().map(|other| vec![*one, *other]));
    }
    let mut faults = Vec::new();
    let count = cases.len();
    for case in cases {
        if formula.sat.can_at_all(&case) {
            faults.push(Flaw {
                kind: FlawKind::NotOneVerdict,
                row: "verdict",
                id: String::new(),
                place: Place::nowhere(),
                message: "some visit has no verdict, or two".to_owned(),
                against: Vec::new(),
                visit: Some(formula.draft(&Answers::default()).answers),
                beside: None,
            });
        }
    }
    (count - faults.len(), faults)
}

/// A promise that a visit breaks, or of which nobody knows.
pub(super) fn broken(promise: &Promise, visit: Option<Answers>) -> Flaw {
    let message = if visit.is_some() {
        format!("the promise `{}` is broken", promise.id)
    } else {
        format!("no visit was found that breaks the promise `{}`, and none is ruled out", promise.id)
    };
    Flaw {
        kind: FlawKind::Broken,
        row: "promise",
        id: promise.id.to_string(),
        place: promise.place,
        message,
        against: Vec::new(),
        visit,
        beside: None,
    }
}

/// A question or a work that nothing needs.
pub(super) fn unneeded(kind: FlawKind, row: &'static str, id: &str, place: Place, message: String) -> Flaw {
    Flaw { kind, row, id: id.to_owned(), place, message, against: Vec::new(), visit: None, beside: None }
}

/// Something of which no visit was found, and that is not ruled out.
pub(super) fn unsettled(claim: &Wanted<'_>) -> Flaw {
    Flaw {
        kind: match claim.what {
            Happens::Asked(_) => FlawKind::NeverAsked,
            Happens::Fact(..) => FlawKind::OneSided,
            Happens::Limit(_, crate::wall::Status::Fails) => FlawKind::NeverMissed,
            Happens::Limit(..) => FlawKind::NeverMet,
            Happens::Finding(_) => FlawKind::NeverFires,
            Happens::Row(_) => FlawKind::NeverUsed,
            Happens::Owed(_) => FlawKind::NeverOwed,
            Happens::Given(_) => FlawKind::NeverGiven,
            Happens::Broken(_) => FlawKind::Broken,
        },
        row: claim.kind,
        id: claim.id.to_owned(),
        place: claim.place,
        message: format!(
            "no visit was found in which the {} `{}` {}, and it is not ruled out",
            claim.kind,
            claim.id,
            claim.what.said()
        ),
        against: Vec::new(),
        visit: None,
        beside: None,
    }
}
