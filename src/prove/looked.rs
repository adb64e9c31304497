//! What no formula says, looked at on the visits that were tried: what is hidden does not matter, what is certain stays, and what
//! is not listed as open does not change the verdict.

use super::outcome::{Flaw, FlawKind};
use super::seeds::{Draw, drawn};
use super::short::shortest;
use crate::content::Content;
use crate::flow::{Answer, Answers, Place, Truth};
use crate::judge::{Judged, representatives};
use crate::names::QuestionId;
use crate::units::Units;

/// On how many visits each is looked at.
const LOOKED_AT: usize = 50;
/// Questions for which the program takes an answer where nobody has one, and says so: that wood lies behind a cladding and what carries
/// it, that a barrier nobody has seen is whole, that a maker asks for nothing, that the ground at the wall counts at the ends, what is held back
/// at the outer edge, and that a footing reaches as deep as the rows on it have it.
pub(super) const TAKEN: [QuestionId; 9] = [
    QuestionId::WoodBelowMark,
    QuestionId::JoistSize,
    QuestionId::Backing,
    QuestionId::StuccoBacking,
    QuestionId::FcClearance,
    QuestionId::Barrier,
    QuestionId::EndsDrop,
    QuestionId::OuterEdgeHeight,
    QuestionId::FootingBelowGround,
];
/// How often each is answered to its end.
const ENDS: u64 = 3;

/// How many kinds of claims were tried, and what is wrong.
pub(super) fn look_at(content: &Content, tried: &[Answers]) -> (usize, Vec<Flaw>) {
    let step = tried.len() / LOOKED_AT + 1;
    let mut faults = Vec::new();
    let kinds: [(FlawKind, LooksAt, &str); 3] = [
        (FlawKind::HiddenMatters, hidden_matters, "an answer to a question that is hidden changes the advice"),
        (FlawKind::NotCertain, not_certain, "a verdict that was called certain does not stay"),
        (FlawKind::NotListed, not_listed, "a question that is not listed as open changes the verdict"),
    ];
    for (kind, looks, message) in kinds {
        let Some((visit, beside)) =
            tried.iter().step_by(step).find_map(|answers| Some((answers, looks(content, answers)?)))
        else {
            continue;
        };
        let is = |answers: &Answers, _: &Judged| looks(content, answers).is_some();
        let short = shortest(content, visit, &is);
        let beside = looks(content, &short).unwrap_or(beside);
        faults.push(Flaw {
            kind,
            row: "verdict",
            id: kind.word().to_owned(),
            place: Place::nowhere(),
            message: message.to_owned(),
            against: Vec::new(),
            visit: Some(short),
            beside: Some(beside),
        });
    }
    (kinds.len(), faults)
}

/// Another visit that shows that something does not hold of this one.
type LooksAt = fn(&Content, &Answers) -> Option<Answers>;

fn judge(content: &Content, answers: &Answers) -> Judged {
    content.judge(answers, content.flow.state(answers))
}

fn hidden_matters(content: &Content, answers: &Answers) -> Option<Answers> {
    let judged = judge(content, answers);
    let mut more = answers.clone();
    let mut draw = Draw::new(3);
    let other = drawn(content, &mut draw);
    for (at, question) in content.flow.questions.iter().enumerate() {
        if judged.state.shown[at] == Truth::No && answers.get(at).is_none() {
            let answer = representatives(question).into_iter().next_back();
            if let Some(answer) = other.get(at).cloned().or(answer) {
                more.set(at, answer);
            }
        }
    }
    let there = judge(content, &more);
    let same =
        there.settled == judged.settled && there.findings == judged.findings && there.clearances == judged.clearances;
    (!same).then_some(more)
}

fn not_certain(content: &Content, answers: &Answers) -> Option<Answers> {
    let certain = content.assess(answers, Units::Inch).settled.certain;
    if certain == crate::content::Verdict::GoAhead {
        return None;
    }
    (1..=ENDS).find_map(|nth| {
        let mut draw = Draw::new(nth);
        let mut more = answers.clone();
        for (at, question) in content.flow.questions.iter().enumerate() {
            let open = more.get(at).is_none_or(|answer| *answer == Answer::NotSure);
            if !open || !content.flow.state(&more).shown[at].is_yes() {
                continue;
            }
            let answers = representatives(question);
            if let Some(answer) = answers.get(draw.below(answers.len())) {
                more.set(at, answer.clone());
            }
        }
        (judge(content, &more).settled.verdict < certain).then_some(more)
    })
}

fn not_listed(content: &Content, answers: &Answers) -> Option<Answers> {
    let assessment = content.assess(answers, Units::Inch);
    let verdict = assessment.settled.verdict;
    let taken = TAKEN.map(|id| content.catalog.names.at(id));
    let listed: Vec<usize> = assessment.open.iter().map(|point| point.question).collect();
    for (at, question) in content.flow.questions.iter().enumerate() {
        let open = answers.get(at).is_none_or(|answer| *answer == Answer::NotSure);
        if !open || !assessment.state.shown[at].is_yes() || listed.contains(&at) || taken.contains(&at) {
            continue;
        }
        for answer in representatives(question).into_iter().take(8) {
            let mut more = answers.clone();
            more.set(at, answer);
            let there = judge(content, &more);
            // what it brings up may be unknown in its turn
            if there.state.shown == assessment.state.shown && there.settled.verdict > verdict {
                return Some(more);
            }
        }
    }
    None
}
