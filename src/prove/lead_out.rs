//! From each rule that says "find out first", some answers lead out.

use super::climb::behind;
use super::outcome::{Flaw, FlawKind};
use super::short::shortest;
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answers, Slot};
use crate::judge::{Judged, Judging, representatives};
use crate::names::QuestionId;

/// How many other questions are answered after one that a rule looks at, and with how many answers each.
const THEN_ASKED: usize = 8;
const THEN_ANSWERED: usize = 6;

/// What is no answer that somebody looks up.
const EVERYBODY_KNOWS: [QuestionId; 4] =
    [QuestionId::Region, QuestionId::Stage, QuestionId::Cladding, QuestionId::Feature];

/// For each rule with a visit in which it says "find out first": how many have answers that lead out, and what is wrong with the others.
pub(super) fn lead_out<'a>(content: &Content, waits: impl Iterator<Item = (Rule, &'a Answers)>) -> (usize, Vec<Flaw>) {
    let (mut shown, mut faults) = (0, Vec::new());
    for (rule, from) in waits {
        if matches!(rule, Rule::Finding(at) if content.findings[at].guard.is_some()) {
            continue;
        }
        if leads_out(content, rule, from) {
            shown += 1;
            continue;
        }
        let (row, id) = match rule {
            Rule::Limit(at) => ("limit", &content.limits[at].id),
            Rule::Finding(at) => ("finding", &content.findings[at].id),
        };
        let is = |_: &Answers, judged: &Judged| {
            judged.settled.verdict == Verdict::FindOutFirst && judged.truth(rule).is_yes()
        };
        faults.push(Flaw {
            kind: FlawKind::NoWayOut,
            row,
            id: id.to_string(),
            place: super::rows::place(content, row, id),
            message: format!(
                "the {row} `{id}` says \"find out first\", and no answer that it looks at leads out of it"
            ),
            against: Vec::new(),
            visit: Some(shortest(content, from, &is)),
            beside: None,
        });
    }
    (shown, faults)
}

/// Whether other answers to what a rule looks at take it away.
fn leads_out(content: &Content, rule: Rule, from: &Answers) -> bool {
    let judging = Judging::new(content, from);
    let slots: Vec<Slot> = match rule {
        Rule::Limit(at) => content.limits[at].when.reads().chain([content.limits[at].measure]).collect(),
        Rule::Finding(at) => content.findings[at].when.reads().collect(),
    };
    let questions: Vec<usize> = behind(content, &slots, &judging.base).into_iter().collect();
    let gone = |answers: &Answers| !judging.judge(answers).truth(rule).is_possible();
    // where the house stands and what is built there is nothing that anybody finds out
    let known = EVERYBODY_KNOWS.map(|id| content.catalog.names.at(id));
    let questions: Vec<usize> = questions.into_iter().filter(|question| !known.contains(question)).collect();
    for (nth, question) in questions.iter().enumerate() {
        for answer in representatives(&content.flow.questions[*question]) {
            let mut next = from.clone();
            next.set(*question, answer);
            if gone(&next) {
                return true;
            }
            // what it brings up may lead on
            for other in questions.iter().skip(nth + 1).take(THEN_ASKED) {
                for answer in representatives(&content.flow.questions[*other]).into_iter().take(THEN_ANSWERED) {
                    let mut after = next.clone();
                    after.set(*other, answer);
                    if gone(&after) {
                        return true;
                    }
                }
            }
        }
    }
    false
}
