//! The content over all answers: what no loading of files can see. Advice must never get milder because content and
//! program know too little of each other; where it would, the content has a gap, and its author is told where.

mod beside;
mod claims;
mod climb;
mod draft;
mod explain;
mod flaws;
mod formula;
mod heights;
mod lead_out;
mod learn;
mod linear;
mod looked;
mod map;
mod numbers;
mod outcome;
mod probe;
mod promises;
mod proof;
mod rows;
mod search;
mod seeds;
mod short;
mod side;
mod smt;
mod twice;
mod unsure;
mod watch;

pub use beside::{ModelCheck, draw_visit, together};
pub use map::{FlowMap, MapArrow, MapQuestion, MapSection, flow_map};
pub use outcome::{Flaw, FlawKind, Proof};
pub use promises::{Breach, Broken, Held, hold};
pub use proof::{ProofProgress, named_in_texts, prove, prove_from};
pub use smt::smt;

use crate::content::{Content, Guard};
use crate::flow::{Answer, Answers, Choice, Diagnostics, QuestionKind, Truth};
use crate::names::{Backing, Choices, CoatBacking, ExitWay, FinishWay, JointSaid, QuestionId, Stage};
use crate::units::Length;

/// The gaps of some content, each with its place.
#[must_use]
pub fn gaps(content: &Content) -> Diagnostics {
    let mut diags = Diagnostics::default();
    for choice in without(content, QuestionId::Region, !content.regions_with_limits) {
        let message = format!("no limit names the region `{}`: every visit there is \"find out first\"", choice.id);
        let hint = format!("give limits with `regions: [{}]`, or take the region away", choice.id);
        diags.error_with_hint(choice.place, message, Some(hint));
    }
    for choice in without(content, QuestionId::Cladding, content.claddings_without_rules) {
        let message = format!("no rule that carries a verdict speaks of `{}`", choice.id);
        let hint = "rules speak of it by its id, or by what its row says, such as `cladding.drains: laps`".to_owned();
        diags.error_with_hint(choice.place, message, Some(hint));
    }
    untold(content, &mut diags);
    let sets = content.activities.iter().map(|activity| &activity.sets);
    for layer in content.laps.never_set(sets) {
        // the first pair that names it
        let row = content
            .laps
            .rows
            .iter()
            .find(|row| [row.over, row.under].iter().any(|at| content.laps.layers[*at] == layer));
        let place = row.map_or_else(Default::default, |row| row.place);
        let message = format!("no activity sets the layer `{layer}`, so nothing is held to its laps");
        diags.error_with_hint(place, message, Some("write `sets:` where it is set".to_owned()));
    }
    diags
}

/// The choices of a question whose bits are set.
fn without(content: &Content, id: QuestionId, bits: i64) -> impl Iterator<Item = &Choice> {
    let choices = content.flow.questions[content.catalog.names.at(id)].choices.iter().enumerate();
    choices.filter(move |(at, _)| bits & (1 << at) != 0).map(|(_, choice)| choice)
}

/// Walls whose exit the surface covers: wherever the drop is then held, some finding has to say so.
fn untold(content: &Content, diags: &mut Diagnostics) {
    let claddings = &content.flow.questions[content.catalog.names.at(QuestionId::Cladding)].choices;
    for (at, choice) in claddings.iter().enumerate() {
        if content.claddings_without_rules & (1 << at) != 0 {
            continue;
        }
        if let Some(case) = covered_walls(content, at).find(|(_, answers)| is_untold(content, answers)).map(|(c, _)| c)
        {
            let message = format!(
                "a surface that covers the exit of `{}` holds its water ({case}), and no finding that holds then has \
                 `tells_held: true`",
                choice.id
            );
            let hint = format!(
                "write a finding with a verdict and `tells_held: true` for `cladding: {}` and `exit.buried: true`",
                choice.id
            );
            diags.error_with_hint(choice.place, message, Some(hint));
        }
    }
}

/// Visits to a wall of this cladding with a surface above its exit, and what each is, in words.
fn covered_walls(content: &Content, cladding: usize) -> impl Iterator<Item = (String, Answers)> + '_ {
    let names = &content.catalog.names;
    let set = move |answers: &mut Answers, id: QuestionId, answer: Answer| answers.set(names.at(id), answer);
    let backings = Backing::ALL.iter().zip(CoatBacking::ALL).map(Some).chain([None]);
    let stages = || Stage::ALL.iter();
    let joints = || [JointSaid::Tight, JointSaid::Sealed, JointSaid::OpenGap].into_iter();
    let cases = backings
        .flat_map(move |backing| stages().flat_map(move |stage| joints().map(move |joint| (backing, *stage, joint))));
    cases.map(move |(backing, (stage, stage_id), joint)| {
        let mut answers = Answers::default();
        let mut choose = |id: QuestionId, at: usize| set(&mut answers, id, Answer::Choice(at));
        choose(QuestionId::Region, 0);
        choose(QuestionId::Cladding, cladding);
        choose(QuestionId::Stage, names.place(stage));
        choose(QuestionId::Joint, names.place(joint));
        choose(QuestionId::ExitWay, names.place(ExitWay::DownFromMark));
        choose(QuestionId::FinishWay, names.place(FinishWay::DownFromMark));
        if let Some(((backing, _), (coat, _))) = backing {
            choose(QuestionId::Backing, names.place(*backing));
            choose(QuestionId::StuccoBacking, names.place(*coat));
        }
        // the surface stands a hand's width above the exit; any height that is surely above it will do
        set(&mut answers, QuestionId::ExitBelowMark, Answer::Length(Length::inches(12)));
        set(&mut answers, QuestionId::FinishBelowMark, Answer::Length(Length::inches(8)));
        let on = backing.map_or("what carries it is not known", |((_, id), _)| *id);
        (format!("{stage_id}, {on}"), answers)
    })
}

/// Whether the guard holds for certain, with the rest of the visit left open or filled in: as long as a finding may still
/// come to hold, the guard waits for it.
fn is_untold(content: &Content, answers: &Answers) -> bool {
    let holds = |answers: &Answers| {
        let judged = content.judge(answers, content.flow.state(answers));
        let mut guards = content.findings.iter().zip(&judged.findings);
        guards.any(|(f, truth)| f.guard == Some(Guard::UntoldTrace) && *truth == Truth::Yes)
    };
    holds(answers) || holds(&filled(content, answers.clone()))
}

/// The same with an answer to every other question that is shown and offers some: the first one, nothing of a list, no.
fn filled(content: &Content, mut answers: Answers) -> Answers {
    loop {
        // what is shown for certain stays so, whatever else is answered
        let shown = content.flow.state(&answers).shown;
        let mut anew = false;
        for (number, question) in content.flow.questions.iter().enumerate() {
            let answer = match question.kind {
                QuestionKind::OneOf if !question.choices.is_empty() => Answer::Choice(0),
                QuestionKind::SeveralOf => Answer::Several(0),
                QuestionKind::YesNo => Answer::YesNo(false),
                _ => continue,
            };
            if answers.get(number).is_none() && shown[number].is_yes() {
                answers.set(number, answer);
                anew = true;
            }
        }
        if !anew {
            return answers;
        }
    }
}
