//! What has to be true of the content over all answers, one claim for each row and each way in which it must count.

use super::formula::Theory;
use super::promises::{AdviceNames, Told};
use super::rows::{CalledRow, called, place};
use crate::content::{Content, Promise, Verdict};
use crate::flow::{Condition, Place, Truth};
use crate::judge::Judged;
use crate::solve::Lit;
use crate::wall::Status;
use std::collections::BTreeSet;

/// Something that has to be so in some visit.
#[derive(Debug, Clone)]
pub(super) struct Wanted<'c> {
    pub(super) what: Happens<'c>,
    /// The row that it is about: kind and id.
    pub(super) kind: &'static str,
    pub(super) id: &'c str,
    pub(super) place: Place,
    /// Whether it waits for rows that are not there yet, and must not happen with these.
    pub(super) spare: bool,
}

/// What has to happen in some visit.
#[derive(Debug, Clone, Copy)]
pub(super) enum Happens<'c> {
    /// A question is asked.
    Asked(usize),
    /// A fact holds, or certainly does not.
    Fact(usize, bool),
    /// A limit that applies has this status.
    Limit(usize, Status),
    /// A finding holds.
    Finding(usize),
    /// A row is called for.
    Row(CalledRow<'c>),
    /// A promise is owed.
    Owed(&'c Condition),
    /// A verdict is given.
    Given(Verdict),
    /// A promise is broken.
    Broken(&'c Promise),
}

/// All that has to happen in some visit.
pub(super) fn wanted(content: &Content) -> Vec<Wanted<'_>> {
    let mut all: Vec<Wanted<'_>> = Vec::new();
    for verdict in Verdict::ALL {
        all.push(Wanted {
            what: Happens::Given(verdict),
            kind: "verdict",
            id: verdict.word(),
            place: Place::nowhere(),
            spare: false,
        });
    }
    for (at, question) in content.flow.questions.iter().enumerate() {
        all.push(Wanted {
            what: Happens::Asked(at),
            kind: "question",
            id: &question.id,
            place: question.written,
            spare: false,
        });
    }
    for (at, defined) in content.defined.iter().enumerate() {
        let place = place(content, "defined", &defined.name);
        for holds in [true, false] {
            all.push(Wanted {
                what: Happens::Fact(at, holds),
                kind: "defined",
                id: &defined.name,
                place,
                spare: false,
            });
        }
    }
    for (at, limit) in content.limits.iter().enumerate() {
        let place = place(content, "limit", &limit.id);
        for status in [Status::Fails, Status::Passes] {
            all.push(Wanted { what: Happens::Limit(at, status), kind: "limit", id: &limit.id, place, spare: false });
        }
    }
    for (at, finding) in content.findings.iter().enumerate().filter(|(_, f)| f.guard.is_none()) {
        let place = place(content, "finding", &finding.id);
        all.push(Wanted { what: Happens::Finding(at), kind: "finding", id: &finding.id, place, spare: finding.spare });
    }
    for row in called(content) {
        all.push(Wanted { what: Happens::Row(row), kind: row.kind, id: row.id, place: row.place, spare: false });
    }
    for promise in &content.promises {
        all.push(Wanted {
            what: Happens::Owed(&promise.when),
            kind: "promise",
            id: &promise.id,
            place: promise.place,
            spare: false,
        });
    }
    all
}

impl Happens<'_> {
    /// The statement that it happens.
    pub(super) fn stated(self, formula: &mut Theory<'_>) -> Lit {
        match self {
            Happens::Asked(at) => formula.questions[at].shown.yes,
            Happens::Fact(at, holds) => {
                let truth = formula.state(&formula.content.defined[at].when).truth;
                if holds { truth.yes } else { truth.no }
            }
            Happens::Limit(at, status) => {
                let (applies, status) = (formula.limits[at].applies.yes, formula.status(at, status));
                formula.sat.all(&[applies, status])
            }
            Happens::Finding(at) if formula.content.findings[at].guard.is_some() => formula.findings[at].yes,
            Happens::Finding(at) => formula.state(&formula.content.findings[at].when).truth.yes,
            Happens::Row(row) => {
                let printed = formula.state(row.when).truth.yes;
                let verdict = row.verdict.map_or(formula.sat.yes(), |v| formula.verdict[v as usize]);
                formula.sat.all(&[printed, verdict])
            }
            Happens::Owed(when) => formula.state(when).truth.yes,
            Happens::Given(verdict) => formula.verdict[verdict as usize],
            Happens::Broken(promise) => formula.promise(promise).1,
        }
    }

    /// The names that it looks at in what is told.
    pub(super) fn asks(self) -> BTreeSet<usize> {
        let reads = |when: &Condition| when.reads().map(usize::from).collect::<Vec<usize>>();
        match self {
            Happens::Owed(when) => reads(when).into_iter().collect(),
            Happens::Broken(promise) => {
                let parts = [&promise.holds, &promise.told_by].into_iter().flatten().chain(&promise.not_together);
                parts.chain([&promise.when]).flat_map(reads).collect()
            }
            _ => BTreeSet::new(),
        }
    }

    /// The same in words.
    pub(super) fn said(self) -> &'static str {
        match self {
            Happens::Asked(_) => "is asked",
            Happens::Fact(_, true) | Happens::Finding(_) => "holds",
            Happens::Fact(_, false) => "certainly does not hold",
            Happens::Limit(_, Status::Fails) => "is missed",
            Happens::Limit(..) => "is met",
            Happens::Row(_) => "is called for",
            Happens::Owed(_) => "is owed",
            Happens::Given(_) => "is given",
            Happens::Broken(_) => "is broken",
        }
    }

    /// Whether it happens in this visit.
    pub(super) fn happens(self, content: &Content, judged: &Judged, told: &Told<'_>) -> bool {
        match self {
            Happens::Asked(at) => judged.state.shown[at].is_yes(),
            Happens::Fact(at, holds) => {
                let truth = content.defined[at].when.eval(&judged.values);
                if holds { truth == Truth::Yes } else { truth == Truth::No }
            }
            Happens::Limit(at, status) => {
                judged.clearances[at].applies == Truth::Yes && judged.clearances[at].status == status
            }
            // what holds only because nobody knows better is not what the row is there for
            Happens::Finding(at) if content.findings[at].guard.is_some() => judged.findings[at] == Truth::Yes,
            Happens::Finding(at) => content.findings[at].when.eval(&judged.values).is_yes(),
            Happens::Row(row) => {
                row.verdict.is_none_or(|v| v == judged.settled.verdict) && row.when.eval(&judged.values).is_yes()
            }
            Happens::Owed(when) => when.eval(told.values()).is_yes(),
            Happens::Given(verdict) => judged.settled.verdict == verdict,
            Happens::Broken(promise) => AdviceNames::is_broken(content, promise, judged, told.values()),
        }
    }
}
