//! What we do not know and what we could change, against brute force on small flows.

use crate::sound::{assess, changed_visit, seeds};
use crate::support::{CONTENT, answers, with};
use proptest::prelude::*;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::{Answer, Answers, QuestionKind, Source};
use wallfoot::judge::{Given, Nearest};
use wallfoot::units::{Length, Units};

/// A small flow with rules of all kinds; `rules` may look at yes/no `a` to `d`, a choice `k`, a mark `m`, lengths
/// `x` and `y`.
fn small(rules: &str) -> Content {
    small_with(rules, "")
}

/// The same with more questions.
fn small_with(rules: &str, more: &str) -> Content {
    let questions = "
section: one
title: One
order: 1
questions:
  - { id: a, short: A, ask: A, kind: yes_no, plan: true }
  - { id: b, short: B, ask: B, kind: yes_no, plan: true }
  - { id: c, short: C, ask: C, kind: yes_no, plan: true, show_when: { a: true } }
  - { id: d, short: D, ask: D, kind: yes_no }
  - id: k
    short: K
    ask: K
    kind: one_of
    plan: true
    choices: [ { id: k1, label: k1 }, { id: k2, label: k2 }, { id: k3, label: k3 } ]
  - id: m
    short: M
    ask: M
    kind: several_of
    choices: [ { id: m1, label: m1 }, { id: m2, label: m2 } ]
  - { id: x, short: X, ask: X, kind: length, least: -10 mm, most: 30 mm, plan: true }
  - { id: y, short: Y, ask: Y, kind: length, least: 0 mm, most: 20 mm, usual: [5 mm, 10 mm] }
";
    let mut sources = crate::stub::stub();
    sources.push(Source::new("one.yaml".to_owned(), format!("{questions}{more}")));
    // nothing is known of the wall, so the guard would keep every verdict from "Go ahead" if no finding told of its water
    let told = "  - { id: told, tells_held: true, verdict: change_plan, title: t, say: s, do: d }\n";
    sources.push(Source::new("rules.yaml".to_owned(), format!("findings:\n{told}{rules}")));
    let mut content = Content::load(&sources, None).unwrap_or_else(|e| panic!("{e}"));
    // no content that is loaded may tell of it without a verdict; these tests are about the other rules alone
    let told = content.findings.iter_mut().find(|finding| finding.id == "told");
    told.expect("it was just written").verdict = None;
    content
}

/// The questions of these tests; those behind them are there for the names only.
fn own(content: &Content) -> std::ops::Range<usize> {
    0..content.flow.question("stub").unwrap()
}

fn rule(id: usize, verdict: &str, when: &str) -> String {
    format!("  - {{ id: r{id}, verdict: {verdict}, title: t, say: s, do: d, when: {when} }}\n")
}

/// All answers, lengths at every millimetre.
fn all_answers(content: &Content, question: usize) -> Vec<Answer> {
    let question = &content.flow.questions[question];
    match question.kind {
        QuestionKind::YesNo => vec![Answer::YesNo(true), Answer::YesNo(false)],
        QuestionKind::OneOf => (0..question.choices.len()).map(Answer::Choice).collect(),
        QuestionKind::SeveralOf => (0..1 << question.choices.len()).map(Answer::Several).collect(),
        _ => {
            let bounds = question.bounds.unwrap();
            let step = Length::mm(1).steps();
            (bounds.least / step..=bounds.most / step).map(|n| Answer::Length(Length::mm(n))).collect()
        }
    }
}

fn test() -> impl Strategy<Value = String> {
    let yes_no =
        (proptest::sample::select(&["a", "b", "c", "d"][..]), any::<bool>()).prop_map(|(q, v)| format!("{q}: {v}"));
    let known = (proptest::sample::select(&["a", "b", "x", "k"][..]), any::<bool>())
        .prop_map(|(q, v)| format!("{q}: {{ known: {v} }}"));
    let choice = proptest::sample::select(&["k1", "k2", "k3", "[k1, k2]"][..]).prop_map(|c| format!("k: {c}"));
    let mark = proptest::sample::select(&["[m1]", "[m2]", "[m1, m2]"][..]).prop_map(|c| format!("m: {c}"));
    let length = (
        proptest::sample::select(&["x", "y"][..]),
        proptest::sample::select(&["below", "at_most", "above", "at_least"][..]),
        -9i64..29,
    )
        .prop_map(|(q, op, n)| format!("{q}: {{ {op}: {n} mm }}"));
    let one =
        prop_oneof![3 => yes_no, 1 => known, 2 => choice, 1 => mark, 4 => length].prop_map(|t| format!("{{ {t} }}"));
    let negated = one.clone().prop_map(|t| format!("{{ not: {t} }}"));
    prop_oneof![4 => one, 1 => negated]
}

fn rules() -> impl Strategy<Value = String> {
    let group = (any::<bool>(), proptest::collection::vec(test(), 1..4))
        .prop_map(|(all, tests)| format!("{{ {}: [ {} ] }}", if all { "all" } else { "any" }, tests.join(", ")));
    let verdict = proptest::sample::select(&["change_plan", "find_out_first", "exterior_trade_first"][..]);
    proptest::collection::vec((verdict, group), 1..5)
        .prop_map(|list| list.iter().enumerate().map(|(i, (verdict, when))| rule(i, verdict, when)).collect())
}

/// Answers to the small flow: each question gets one of its answers, or none, by a number.
fn given(content: &Content, numbers: &[u8]) -> Answers {
    let mut answers = Answers::default();
    crate::stub::answer_stub(content, &mut answers);
    for (question, n) in numbers.iter().enumerate().take(content.flow.questions.len()) {
        let all = all_answers(content, question);
        if n % 3 != 0 {
            answers.set(question, all[usize::from(*n) % all.len()].clone());
        }
    }
    answers
}

fn holds(given: &Given, answer: &Answer) -> bool {
    match given {
        Given::Answers(list) => list.contains(answer),
        Given::Range(from, to) => matches!(answer, Answer::Length(l) if (*from..=*to).contains(&l.steps())),
    }
}

/// Whether a set of answers gives "Go ahead", with everything answered that it brings up about the plan, and whatever it
/// brings up about the house.
fn does_it(content: &Content, answers: &Answers, set: &[(usize, Answer)]) -> bool {
    let before = content.flow.state(answers).shown;
    let mut tried = answers.clone();
    for (question, answer) in set {
        tried.set(*question, answer.clone());
    }
    let after = content.flow.state(&tried).shown;
    let mut goes = content.settle(&tried).verdict == Verdict::GoAhead;
    for question in own(content).filter(|q| after[*q].is_yes() && !before[*q].is_yes() && tried.get(*q).is_none()) {
        goes &= !content.flow.questions[question].plan
            && all_answers(content, question).into_iter().all(|answer| {
                let mut more = tried.clone();
                more.set(question, answer);
                content.settle(&more).verdict == Verdict::GoAhead
            });
    }
    goes
}

fn distance(answers: &Answers, set: &[(usize, Answer)]) -> i64 {
    let far = |(question, to): &(usize, Answer)| match (answers.get(*question), to) {
        (Some(Answer::Length(now)), Answer::Length(to)) => (*to - *now).steps().abs(),
        _ => 0,
    };
    set.iter().map(far).sum()
}

/// How many other answers a set brings up or hides.
fn aside(content: &Content, answers: &Answers, set: &[(usize, Answer)]) -> usize {
    let before = content.flow.state(answers).shown;
    let mut tried = answers.clone();
    for (question, answer) in set {
        tried.set(*question, answer.clone());
    }
    let after = content.flow.state(&tried).shown;
    let other = |q: &usize| {
        let counts = after[*q].is_yes() || answers.get(*q).is_some();
        before[*q].is_yes() != after[*q].is_yes() && counts && !set.iter().any(|(own, _)| own == q)
    };
    (0..after.len()).filter(other).count()
}

/// The fewest answers, then the fewest others that they bring up or hide, then the least distance, over all plans there are. The
/// effort of all these questions is the same.
fn brute_force(content: &Content, answers: &Answers) -> Option<(usize, usize, i64)> {
    let plan: Vec<usize> = own(content).filter(|q| content.flow.questions[*q].plan).collect();
    let mut sets: Vec<Vec<(usize, Answer)>> = vec![Vec::new()];
    for question in plan {
        let with = |set: &Vec<(usize, Answer)>| {
            let others = all_answers(content, question).into_iter().filter(|a| answers.get(question) != Some(a));
            others.map(|a| [set.as_slice(), &[(question, a)]].concat()).collect::<Vec<_>>()
        };
        let more: Vec<_> = sets.iter().flat_map(with).collect();
        sets.extend(more);
    }
    let good = sets.into_iter().filter(|set| does_it(content, answers, set));
    good.map(|set| (set.len(), aside(content, answers, &set), distance(answers, &set))).min()
}

proptest! {
    #![proptest_config(crate::properties::config())]

    /// The verdict for every possible answer is that of trying it out; thresholds are exact to the step.
    #[test]
    fn outcomes_are_those_of_brute_force(rules in rules(), numbers in proptest::collection::vec(any::<u8>(), 8)) {
        let content = small(&rules);
        let answers = given(&content, &numbers);
        for question in own(&content) {
            let outcomes = content.outcomes(&answers, question);
            for answer in all_answers(&content, question) {
                let mut tried = answers.clone();
                tried.set(question, answer.clone());
                let found: Vec<Verdict> = outcomes.iter().filter(|o| holds(&o.given, &answer)).map(|o| o.verdict).collect();
                prop_assert_eq!(&found, &[content.settle(&tried).verdict], "{:?} in {:?}", answer, outcomes);
            }
            for pair in outcomes.windows(2) {
                if let (Given::Range(_, to), Given::Range(from, _)) = (&pair[0].given, &pair[1].given) {
                    prop_assert_eq!(to + 1, *from);
                    prop_assert!(pair[0].verdict != pair[1].verdict);
                    for (n, verdict) in [(*to, pair[0].verdict), (*from, pair[1].verdict)] {
                        let mut tried = answers.clone();
                        tried.set(question, Answer::Length(Length::from_steps(n)));
                        prop_assert_eq!(content.settle(&tried).verdict, verdict);
                    }
                }
            }
        }
    }

    /// What is called decisive is what brute force finds: alone, or only together with another.
    #[test]
    fn the_decisive_set_is_that_of_brute_force(rules in rules(), numbers in proptest::collection::vec(any::<u8>(), 8)) {
        let content = small(&rules);
        let answers = given(&content, &numbers);
        let assessment = content.assess(&answers, Units::Metric);
        let now = assessment.settled.verdict;
        let decisive = assessment.decisive();
        let changes = |base: &Answers, question: usize| {
            let verdict = content.settle(base).verdict;
            all_answers(&content, question).into_iter().any(|answer| {
                let mut tried = base.clone();
                tried.set(question, answer);
                content.settle(&tried).verdict != verdict
            })
        };
        for point in &assessment.open {
            let q = point.question;
            let found = decisive.iter().find(|d| d.question == q);
            prop_assert_eq!(changes(&answers, q), found.is_some_and(|d| d.with.is_none()), "{} {:?}", q, found);
            if let Some(other) = found.and_then(|d| d.with) {
                let any = all_answers(&content, other).into_iter().any(|answer| {
                    let mut base = answers.clone();
                    base.set(other, answer);
                    content.settle(&base).verdict == now && changes(&base, q)
                });
                prop_assert!(any);
            }
            // what is called quiet is so with every choice that another quiet one may turn out to be
            let quiet = |q: usize| decisive.iter().find(|d| d.question == q).is_none_or(|d| d.with.is_some());
            let shares = |other: &&wallfoot::judge::OpenPoint| {
                other.question != q
                    && quiet(other.question)
                    && content.flow.questions[other.question].kind != QuestionKind::Length
                    && other.findings.iter().any(|f| point.findings.contains(f))
            };
            for other in assessment.open.iter().filter(|_| found.is_none()).filter(shares) {
                for answer in all_answers(&content, other.question) {
                    let mut base = answers.clone();
                    base.set(other.question, answer);
                    prop_assert!(content.settle(&base).verdict != now || !changes(&base, q), "{} with {}", q, other.question);
                }
            }
        }
    }

    /// The nearest change to "Go ahead" is that of brute force over every plan there is: as few answers, and of these the least
    /// change of lengths. Where there is none, brute force finds none.
    #[test]
    fn the_nearest_change_is_that_of_brute_force(rules in rules(), numbers in proptest::collection::vec(any::<u8>(), 8)) {
        // a fact of the house that an answer about the plan brings up, and a question of the plan that does so too
        let more = "  - { id: e, short: E, ask: E, kind: yes_no, show_when: { b: true } }\n";
        let content = small_with(&rules.replace("m: [m2]", "e: true").replace("m: [m1, m2]", "e: false"), more);
        let answers = given(&content, &numbers);
        let assessment = content.assess(&answers, Units::Metric);
        let nearest = assessment.nearest_change();
        if assessment.settled.verdict == Verdict::GoAhead {
            prop_assert_eq!(nearest, Nearest::Nothing);
            return Ok(());
        }
        let brute = brute_force(&content, &answers);
        match (&nearest, brute) {
            (Nearest::Change(change), Some((count, besides, far))) => {
                prop_assert!(does_it(&content, &answers, &change.answers), "{:?}", change);
                prop_assert_eq!(change.answers.len(), count, "{:?}", change);
                prop_assert_eq!(aside(&content, &answers, &change.answers), besides, "{:?}", change);
                // brute force steps by a millimetre
                let found = distance(&answers, &change.answers);
                prop_assert!(found <= far && far - found < Length::mm(1).steps(), "{:?}: {} and {}", change, found, far);
            }
            (Nearest::None(remains), None) => {
                prop_assert!(!remains.certain.is_empty() || !remains.unknown.is_empty() || !remains.together.is_empty());
            }
            (nearest, brute) => prop_assert!(false, "{:?}, and by brute force {:?}", nearest, brute),
        }
    }

    /// The answers that force what is certain do so alone, and none of them can be spared.
    #[test]
    fn the_answers_that_force_it_do(rules in rules(), numbers in proptest::collection::vec(any::<u8>(), 8)) {
        let content = small(&rules);
        let answers = given(&content, &numbers);
        let assessment = content.assess(&answers, Units::Metric);
        let forced = assessment.forced_by();
        if assessment.settled.held == Verdict::GoAhead { prop_assert!(forced.is_empty()); return Ok(()); }
        let with = |keep: &[usize]| {
            let mut kept = Answers::default();
            crate::stub::answer_stub(&content, &mut kept);
            for q in keep { kept.set(*q, answers.get(*q).unwrap().clone()); }
            content.settle(&kept).certain
        };
        if with(&[]) >= assessment.settled.held { return Ok(()); }
        prop_assert!(with(&forced) >= assessment.settled.held, "{forced:?}");
        // brute force: no smaller set of the answers does
        let all: Vec<usize> = answers.iter().map(|(q, _)| q).filter(|q| assessment.state.shown[*q].is_yes()).collect();
        for bits in 0u32..1 << all.len() {
            if (bits.count_ones() as usize) < forced.len() {
                let set: Vec<usize> = all.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0).map(|(_, q)| *q).collect();
                prop_assert!(with(&set) < assessment.settled.held, "{set:?} does it too, not only {forced:?}");
            }
        }
    }
}

/// Five answers at once, with rules that hang together: the change is of five answers, as by brute force, and the lengths are the
/// nearest.
#[test]
fn a_change_of_five_answers_is_found() {
    let more = "  - { id: p, short: P, ask: P, kind: yes_no, plan: true }\n";
    let rules: String = [
        "{ a: true }",
        "{ all: [ { a: false }, { b: true } ] }",
        "{ all: [ { b: false }, { k: k1 } ] }",
        "{ all: [ { k: [k2, k3] }, { x: { above: 10 mm } } ] }",
        "{ all: [ { x: { at_most: 10 mm } }, { p: false } ] }",
        "{ all: [ { k: k2 }, { p: true } ] }",
        "{ all: [ { a: true }, { c: true } ] }",
    ]
    .iter()
    .enumerate()
    .map(|(i, when)| rule(i, "change_plan", when))
    .collect();
    let content = small_with(&rules, more);
    let mut answers = Answers::default();
    crate::stub::answer_stub(&content, &mut answers);
    let at = |id: &str| content.flow.question(id).unwrap();
    for (id, answer) in [
        ("a", Answer::YesNo(true)),
        ("b", Answer::YesNo(true)),
        ("c", Answer::YesNo(false)),
        ("k", Answer::Choice(0)),
        ("x", Answer::Length(Length::mm(20))),
        ("p", Answer::YesNo(false)),
    ] {
        answers.set(at(id), answer);
    }
    let nearest = content.assess(&answers, Units::Metric).nearest_change();
    let Nearest::Change(change) = nearest else { panic!("{nearest:?}") };
    let found: Vec<usize> = change.answers.iter().map(|(q, _)| *q).collect();
    let mut expected = ["a", "b", "k", "x", "p"].map(at);
    expected.sort_unstable();
    assert_eq!(found, expected);
    assert!(change.answers.contains(&(at("x"), Answer::Length(Length::mm(10)))), "{change:?}");
    assert_eq!(brute_force(&content, &answers).map(|(count, ..)| count), Some(5));
}

/// Four answers force a rule, and so do five others that are told later: the four are found, though none of all nine is needed.
#[test]
fn the_smallest_forcing_set_has_four_answers() {
    let more = "  - { id: e, short: E, ask: E, kind: yes_no }\n  - { id: f, short: F, ask: F, kind: yes_no }\n";
    let four = "{ all: [ { a: true }, { b: true }, { d: true }, { k: k1 } ] }";
    let five = "{ all: [ { m: [m1] }, { x: { above: 0 mm } }, { y: { above: 0 mm } }, { e: true }, { f: true } ] }";
    let content = small_with(&rule(0, "change_plan", &format!("{{ any: [ {four}, {five} ] }}")), more);
    let mut answers = Answers::default();
    crate::stub::answer_stub(&content, &mut answers);
    let at = |id: &str| content.flow.question(id).unwrap();
    for id in ["a", "b", "d", "e", "f"] {
        answers.set(at(id), Answer::YesNo(true));
    }
    answers.set(at("k"), Answer::Choice(0));
    answers.set(at("m"), Answer::Several(1));
    answers.set(at("x"), Answer::Length(Length::mm(5)));
    answers.set(at("y"), Answer::Length(Length::mm(5)));
    let forced = content.assess(&answers, Units::Metric).forced_by();
    assert_eq!(forced, ["a", "b", "d", "k"].map(at));
}

/// On the built-in content: the thresholds of the siding over the surface.
#[test]
fn thresholds_come_from_the_rules() {
    let base = with(crate::must_hold::SOUND, "exit_below_mark: not sure");
    let assessment = CONTENT.assess(&base, Units::Inch);
    assert_eq!(assessment.settled.verdict, Verdict::FindOutFirst);
    let decisive = assessment.decisive();
    let exit = CONTENT.flow.question("exit_below_mark").unwrap();
    let first = decisive.iter().find(|d| d.question == exit).unwrap();
    // the finish lies 7 in below the mark, vinyl asks for 1/2 in above it (R703.3.1), a tape is good to 1/8 in
    let range = |verdict: Verdict| {
        first.outcomes.iter().find_map(|o| match o.given {
            Given::Range(from, to) if o.verdict == verdict => Some((Length::from_steps(from), Length::from_steps(to))),
            _ => None,
        })
    };
    let inch = |text: &str| Length::parse(text, Units::Inch).unwrap();
    assert_eq!(range(Verdict::GoAhead).unwrap().1, inch("6 3/8"));
    assert!(range(Verdict::ExteriorTradeFirst).unwrap().0 <= inch("7 1/4"));
}

#[test]
fn all_not_sure_gives_at_most_seven_and_first_a_tape() {
    let mut all = answers("region: us\nstage: planned\ndoor: slides");
    for (number, question) in CONTENT.flow.questions.iter().enumerate() {
        if question.not_sure {
            all.set(number, Answer::NotSure);
        }
    }
    let assessment = CONTENT.assess(&all, Units::Inch);
    let listed = assessment.to_find_out();
    assert!(!listed.is_empty() && listed.len() <= 7, "{}", listed.len());
    let first = &CONTENT.flow.questions[listed[0].question].effort;
    assert_eq!(first.who, "you");
}

/// What a length leads to is so for lengths near all others that were given: there two readings come to agree, and heights bend.
#[test]
fn what_a_length_leads_to_is_so_everywhere() {
    let beside = [-4, -1, 0, 1, 4, 20].map(|quarters| Length::sixty_fourths(16 * quarters));
    let mut tried = 0;
    for seed in 0..seeds(1500) {
        let answers = changed_visit(seed);
        let given = answers.iter().filter_map(|(_, answer)| match answer {
            Answer::Length(length) => Some(*length),
            _ => None,
        });
        let near: Vec<Length> = given.flat_map(|length| beside.iter().map(move |by| length + *by)).collect();
        for point in &assess(&answers).open {
            if CONTENT.flow.questions[point.question].kind != QuestionKind::Length {
                continue;
            }
            let outcomes = CONTENT.outcomes(&answers, point.question);
            for length in &near {
                let answer = Answer::Length(*length);
                let Some(outcome) = outcomes.iter().find(|outcome| holds(&outcome.given, &answer)) else { continue };
                let mut after = answers.clone();
                after.set(point.question, answer);
                tried += 1;
                assert_eq!(
                    CONTENT.settle(&after).verdict,
                    outcome.verdict,
                    "{seed}: {} {length:?}",
                    CONTENT.flow.questions[point.question].id
                );
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}
