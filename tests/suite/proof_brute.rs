//! The prover's formula against brute force: what it holds possible is what happens when everything is answered in turn.
//!
//! Small flows are generated with their conditions as content has them, all answers to them are tried one after the other, and what
//! the conditions say then is compared with all that the formula allows. On the shipped content all but a few questions stay as a
//! drawn visit has them, those few are answered in every way, and each such visit must be a case of the formula, with the same
//! status of each limit, the same findings, rows and promises, and the same verdict.
//!
//! `WALLFOOT_SEEDS=2000 cargo test --test suite proof_brute` tries that many flows and visits.

use crate::sound::{Dice, lines, seeds};
use crate::support::CONTENT;
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::fmt::Write;
use wallfoot::content::Content;
use wallfoot::flow::{
    Answer, Answers, Condition, Diagnostics, Flow, Node, Question, QuestionKind, Source, Tree, Truth, Vocabulary,
    condition,
};
use wallfoot::prove::{ModelCheck, draw_visit, together};
use wallfoot::units::Length;

// ------------------------------------------------------------------------------------------------ small flows

/// A question that is to be written; conditions count their questions from the first one.
#[derive(Debug, Clone)]
struct Asked {
    kind: Kind,
    not_sure: bool,
    show_when: Option<Said>,
}

#[derive(Debug, Clone, Copy)]
enum Kind {
    OneOf(u8),
    YesNo,
    Several(u8),
    Length,
}

/// A condition that is to be written. Its numbers are taken as far as there are questions, choices and comparisons.
#[derive(Debug, Clone)]
enum Said {
    Is { question: u8, test: u8, figure: u8 },
    Not(Box<Said>),
    All(Vec<Said>),
    Any(Vec<Said>),
}

/// The longest length that may be answered, inches.
const MOST: i64 = 4;

fn kind() -> impl Strategy<Value = Kind> {
    prop_oneof![
        3 => (2..4_u8).prop_map(Kind::OneOf),
        2 => Just(Kind::YesNo),
        1 => (2..4_u8).prop_map(Kind::Several),
        2 => Just(Kind::Length),
    ]
}

fn said() -> impl Strategy<Value = Said> {
    let leaf = (any::<u8>(), any::<u8>(), any::<u8>()).prop_map(|(question, test, figure)| Said::Is {
        question,
        test,
        figure,
    });
    leaf.prop_recursive(3, 8, 3, |inner| {
        prop_oneof![
            inner.clone().prop_map(|inner| Said::Not(Box::new(inner))),
            proptest::collection::vec(inner.clone(), 2..4).prop_map(Said::All),
            proptest::collection::vec(inner, 2..4).prop_map(Said::Any),
        ]
    })
}

fn asked() -> impl Strategy<Value = Asked> {
    (kind(), any::<bool>(), proptest::option::weighted(0.6, said())).prop_map(|(kind, not_sure, show_when)| Asked {
        kind,
        not_sure,
        show_when,
    })
}

/// A condition on the first questions as YAML.
fn written(said: &Said, asked: &[Asked]) -> String {
    match said {
        Said::Not(inner) => format!("{{ not: {} }}", written(inner, asked)),
        Said::All(parts) | Said::Any(parts) => {
            let word = if matches!(said, Said::All(_)) { "all" } else { "any" };
            let parts: Vec<String> = parts.iter().map(|part| written(part, asked)).collect();
            format!("{{ {word}: [{}] }}", parts.join(", "))
        }
        Said::Is { question, test, figure } => {
            let at = usize::from(*question) % asked.len();
            let known = figure % 2 == 0;
            let test = match asked[at].kind {
                _ if test % 6 == 5 => format!("{{ known: {known} }}"),
                Kind::YesNo => known.to_string(),
                Kind::OneOf(count) | Kind::Several(count) if test % 2 == 0 => format!("c{}", figure % count),
                Kind::OneOf(count) | Kind::Several(count) => {
                    format!("[c{}, c{}]", figure % count, (figure / 3) % count)
                }
                Kind::Length => {
                    let word = ["below", "at_most", "above", "at_least"][usize::from(test % 4)];
                    format!("{{ {word}: {} in }}", 1 + i64::from(*figure) % (MOST - 1))
                }
            };
            format!("{{ q{at}: {test} }}")
        }
    }
}

/// The questions as a file of content.
fn file(asked: &[Asked]) -> String {
    let mut text = "section: small\ntitle: Small\norder: 1\nquestions:\n".to_owned();
    for (at, question) in asked.iter().enumerate() {
        let _ =
            writeln!(text, "  - id: q{at}\n    short: Small\n    ask: Is it small?\n    why: It is.\n    how: Look.");
        let choices = |count: u8| (0..count).fold(String::new(), |all, n| all + &format!("{{ id: c{n}, label: C }}, "));
        let _ = match question.kind {
            Kind::OneOf(count) => writeln!(text, "    kind: one_of\n    choices: [{}]", choices(count)),
            Kind::Several(count) => writeln!(text, "    kind: several_of\n    choices: [{}]", choices(count)),
            Kind::YesNo => writeln!(text, "    kind: yes_no"),
            Kind::Length => writeln!(text, "    kind: length\n    least: 0 in\n    most: {MOST} in"),
        };
        let _ = writeln!(text, "    not_sure: {}", question.not_sure);
        if let Some(show_when) = question.show_when.as_ref().filter(|_| at > 0) {
            let _ = writeln!(text, "    show_when: {}", written(show_when, &asked[..at]));
        }
    }
    text
}

fn load(text: String) -> (Flow, Vocabulary) {
    let sources = [Source::new("small.yaml", text)];
    let mut diags = Diagnostics::default();
    let docs: Vec<Node<'_>> = sources.iter().filter_map(|source| Node::read(source, 0, &mut diags)).collect();
    let loaded = wallfoot::flow::load(&docs, &sources, false, &mut diags);
    diags.into_result(&sources).expect("a small flow is sound");
    (loaded.flow, loaded.names)
}

/// Conditions on all questions, as rules have them.
fn conditions(said: &[Said], asked: &[Asked], names: &Vocabulary) -> Vec<Condition> {
    let list: Vec<String> = said.iter().map(|said| written(said, asked)).collect();
    let sources = [Source::new("conditions.yaml", format!("[{}]", list.join(", ")))];
    let mut diags = Diagnostics::default();
    let node = Node::read(&sources[0], 0, &mut diags).expect("conditions are readable");
    let Tree::List(items) = &node.tree else { panic!("conditions are a list") };
    let conditions = items.iter().map(|item| condition(item, names, &mut diags)).collect();
    diags.into_result(&sources).expect("conditions are sound");
    conditions
}

/// Every answer to a question that rules can tell apart, and none.
fn every_answer(question: &Question) -> Vec<Option<Answer>> {
    let count = question.choices.len();
    let some: Vec<Answer> = match question.kind {
        QuestionKind::OneOf => (0..count).map(Answer::Choice).collect(),
        QuestionKind::SeveralOf => (0..1 << count).map(Answer::Several).collect(),
        QuestionKind::YesNo => vec![Answer::YesNo(false), Answer::YesNo(true)],
        _ => {
            let near = |inches: i64| [-1, 0, 1].map(|step| Length::from_steps(Length::inches(inches).steps() + step));
            let all: BTreeSet<Length> = (1..MOST).flat_map(near).collect();
            all.into_iter().map(Answer::Length).collect()
        }
    };
    some.into_iter().map(Some).chain([None]).collect()
}

/// All truths that the conditions have together, with everything answered in turn.
fn by_hand(flow: &Flow, conditions: &[Condition]) -> BTreeSet<Vec<Truth>> {
    let answers: Vec<Vec<Option<Answer>>> = flow.questions.iter().map(every_answer).collect();
    let mut at = vec![0; answers.len()];
    let mut found = BTreeSet::new();
    loop {
        let mut visit = Answers::default();
        for (number, answer) in at.iter().zip(&answers).map(|(at, list)| &list[*at]).enumerate() {
            if let Some(answer) = answer {
                visit.set(number, answer.clone());
            }
        }
        let values = flow.state(&visit).values;
        found.insert(conditions.iter().map(|condition| condition.eval(&values)).collect());
        let Some(next) = (0..at.len()).find(|n| at[*n] + 1 < answers[*n].len()) else { return found };
        at[next] += 1;
        at[..next].fill(0);
    }
}

/// The number of cases: few, or `WALLFOOT_SEEDS`.
fn cases(usually: u64) -> ProptestConfig {
    let cases = u32::try_from(seeds(usually)).unwrap_or(u32::MAX);
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

/// The shipped content, whose questions the small flows take the place of.
fn shipped() -> Content {
    Content::load(&wallfoot::commands::sources(None, None).expect("they are there"), None).expect("it is sound")
}

#[test]
fn the_formula_allows_what_brute_force_finds_and_nothing_else() {
    let content = std::cell::RefCell::new(shipped());
    let strategy = (proptest::collection::vec(asked(), 3..6), proptest::collection::vec(said(), 1..5));
    let mut runner = proptest::test_runner::TestRunner::new(cases(60));
    let seen = std::cell::RefCell::new(BTreeSet::new());
    runner
        .run(&strategy, |(asked, said)| {
            let lengths = asked.iter().filter(|asked| matches!(asked.kind, Kind::Length)).count();
            prop_assume!(lengths < 4);
            let text = file(&asked);
            let (flow, names) = load(text.clone());
            let mut conditions = conditions(&said, &asked, &names);
            // what is shown is a condition too
            conditions.extend(flow.questions.iter().map(|question| question.visible.clone()));
            let by_hand = by_hand(&flow, &conditions);
            let mut content = content.borrow_mut();
            (content.flow, content.vocabulary) = (flow, names);
            let by_formula = together(&content, &conditions);
            let list: Vec<String> = said.iter().map(|said| written(said, &asked)).collect();
            prop_assert_eq!(&by_hand, &by_formula, "{}\n{}", text, list.join("\n"));
            seen.borrow_mut().extend(by_hand.iter().flatten().copied());
            Ok(())
        })
        .unwrap_or_else(|failure| panic!("{failure}"));
    assert_eq!(seen.into_inner().len(), 3, "not all truths came up");
}

// ------------------------------------------------------------------------------------------------ the shipped content

/// Answers to a question of the shipped content that are told apart: of a number some that are near.
fn some_answers(question: &Question, now: Option<&Answer>) -> Vec<Option<Answer>> {
    let count = question.choices.len();
    let some: Vec<Answer> = match question.kind {
        QuestionKind::OneOf => (0..count).map(Answer::Choice).collect(),
        QuestionKind::SeveralOf => (0..count).map(|at| Answer::Several(1 << at)).chain([Answer::Several(0)]).collect(),
        QuestionKind::YesNo => vec![Answer::YesNo(false), Answer::YesNo(true)],
        QuestionKind::Length => {
            let now = if let Some(Answer::Length(length)) = now { *length } else { Length::inches(6) };
            let bounds = question.bounds.map_or((i64::MIN, i64::MAX), |bounds| (bounds.least, bounds.most));
            let moved = [0, 1, -1, 254, -1016, 2032, -8128, 48_768].map(|by| now.steps() + by);
            let moved = moved.into_iter().filter(|n| (bounds.0..=bounds.1).contains(n));
            moved.map(|n| Answer::Length(Length::from_steps(n))).collect()
        }
        _ => now.cloned().into_iter().collect(),
    };
    some.into_iter().map(Some).chain([None, Some(Answer::NotSure)]).collect()
}

/// How many questions are left free, and how many visits are tried for one drawn visit at most.
const FREE: usize = 3;
const MOST_TRIED: usize = 60;

#[test]
fn every_visit_is_a_case_of_the_formula_with_the_same_advice() {
    let mut beside = ModelCheck::new(&CONTENT);
    let (mut tried, mut verdicts) = (0, BTreeSet::new());
    for seed in 0..seeds(45) {
        let mut dice = Dice::new(seed);
        let drawn = if seed % 3 == 0 { crate::sound::changed_visit(seed) } else { draw_visit(&CONTENT, seed) };
        let shown = CONTENT.flow.state(&drawn).shown;
        let asked: Vec<usize> = (0..shown.len()).filter(|at| shown[*at].is_yes()).collect();
        let free: Vec<usize> = (0..FREE).map(|_| *dice.pick(&asked)).collect();
        let lists: Vec<Vec<Option<Answer>>> =
            free.iter().map(|at| some_answers(&CONTENT.flow.questions[*at], drawn.get(*at))).collect();
        let all: usize = lists.iter().map(Vec::len).product();
        // of very many, each so manieth
        let step = all / MOST_TRIED + 1;
        for nth in (0..all).step_by(step) {
            let (mut visit, mut rest) = (drawn.clone(), nth);
            for (question, list) in free.iter().zip(&lists) {
                match &list[rest % list.len()] {
                    Some(answer) => visit.set(*question, answer.clone()),
                    None => visit.clear(*question),
                }
                rest /= list.len();
            }
            if let Err(other) = beside.holds(&visit) {
                panic!("seed {seed}, visit {nth}: {other}\n{}", lines(&visit));
            }
            tried += 1;
            verdicts.insert(CONTENT.settle(&visit).verdict);
        }
    }
    assert!(tried > 500 || seeds(45) < 25, "only {tried} visits");
    assert!(verdicts.len() > 2, "the visits meet too few verdicts: {verdicts:?}");
}

/// The solver holds only what is asked for, and says of each claim what it says with all of the formula.
#[test]
fn a_claim_is_answered_alike_in_parts_and_in_whole() {
    let (other, [yes, no]) = ModelCheck::new(&CONTENT).in_parts(7);
    assert!(other.is_empty(), "{}", other.join("\n"));
    assert!(yes > 200 && no > 5, "{yes} can be so, {no} cannot");
}
