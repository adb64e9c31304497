//! Not being sure is never judged milder than an answer may turn out to be: on the visits in which each rule stands with the fewest others,
//! one answer after the other is taken back.

use super::looked::TAKEN;
use super::outcome::{Flaw, FlawKind};
use super::short::shortest;
use super::side::each;
use crate::content::{Content, Verdict};
use crate::flow::{Answer, Answers, Truth};
use crate::judge::{Judged, Judging};
use crate::names::QuestionId;
use std::collections::BTreeMap;

/// Questions besides for which something is taken: who works there, and what they mean to do at the wall, since nobody is taken to cut a
/// cladding that stands clear of the work (where it does not, the rules say so); what lies below the floor, which brings up the joists from
/// which the wood is worked out; and the weep screed, without which the barrier is asked for.
const TAKEN_TOO: [QuestionId; 5] = [
    QuestionId::Contractor,
    QuestionId::WallPlan,
    QuestionId::CutsCladding,
    QuestionId::BelowFloor,
    QuestionId::WeepScreed,
];

/// The questions of which that is not so, each with a visit that shows it.
pub(super) fn milder_unsure(content: &Content, visits: &[&Answers]) -> Vec<Flaw> {
    let mut found: BTreeMap<usize, &Answers> = BTreeMap::new();
    for (visit, questions) in visits.iter().zip(each(visits, |answers| hidden_by_doubt(content, answers))) {
        for question in questions {
            found.entry(question).or_insert(visit);
        }
    }
    let found: Vec<(usize, &Answers)> = found.into_iter().collect();
    each(&found, |(question, answers)| {
        let is = |answers: &Answers, judged: &Judged| is_hidden(content, answers, judged, *question);
        let short = shortest(content, answers, &is);
        let asked = &content.flow.questions[*question];
        Flaw {
            kind: FlawKind::MilderUnsure,
            row: "question",
            id: asked.id.clone(),
            place: asked.written,
            message: format!(
                "where nobody is sure of `{}`, it is judged milder than with an answer, and nothing is to be found out",
                asked.id
            ),
            against: Vec::new(),
            visit: Some(without(&short, *question)),
            beside: Some(short),
        }
    })
}

/// The questions without whose answer the visit is judged milder, and has nothing to find out.
fn hidden_by_doubt(content: &Content, answers: &Answers) -> Vec<usize> {
    let judging = Judging::new(content, answers);
    let verdict = judging.base.settled.verdict;
    let taken: Vec<usize> = TAKEN.iter().chain(&TAKEN_TOO).map(|id| content.catalog.names.at(*id)).collect();
    let given = answers.iter().filter(|(question, answer)| {
        **answer != Answer::NotSure && judging.base.state.shown[*question] == Truth::Yes && !taken.contains(question)
    });
    let milder = |question: &usize| is_milder(judging.judge(&without(answers, *question)).settled.verdict, verdict);
    if verdict == Verdict::GoAhead { Vec::new() } else { given.map(|(question, _)| question).filter(milder).collect() }
}

fn is_hidden(content: &Content, answers: &Answers, judged: &Judged, question: usize) -> bool {
    let given = answers.get(question).is_some_and(|answer| *answer != Answer::NotSure);
    let unsure = without(answers, question);
    given
        && judged.state.shown[question] == Truth::Yes
        && is_milder(content.settle(&unsure).verdict, judged.settled.verdict)
}

/// Where the plan changes anyhow, something more to find out is no worse.
fn is_milder(unsure: Verdict, sure: Verdict) -> bool {
    match unsure {
        Verdict::GoAhead => sure > Verdict::GoAhead,
        Verdict::ChangePlan => sure == Verdict::ExteriorTradeFirst,
        Verdict::FindOutFirst | Verdict::ExteriorTradeFirst => false,
    }
}

fn without(answers: &Answers, question: usize) -> Answers {
    let mut unsure = answers.clone();
    unsure.set(question, Answer::NotSure);
    unsure
}
