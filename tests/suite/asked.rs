//! Questions in the words of the wall they are asked about, and in words of their own for work that stands.

use crate::support::{CONTENT, answers};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::LazyLock;
use wallfoot::content::Content;
use wallfoot::flow::{Answer, Answers, Asked, Question, Truth};
use wallfoot::units::Units;

static SPANISH: LazyLock<Content> =
    LazyLock::new(|| Content::load(&wallfoot::commands::sources(None, Some("es")).unwrap(), Some("es")).unwrap());

/// The answers that say what a visit is about.
fn about(content: &Content, said: &[(&str, &str)]) -> Answers {
    let mut answers = Answers::default();
    for (id, answer) in said {
        let number = content.flow.question(id).unwrap();
        answers.set(number, content.flow.questions[number].read_answer(answer, Units::Inch).unwrap());
    }
    answers
}

const MARKS: [&[(&str, &str)]; 4] = [
    &[("door", "swings_in")],
    &[("door", "none"), ("mark_name", "underside of the kitchen window sill")],
    &[("door", "none")],
    &[],
];

fn choices<'c>(content: &'c Content, id: &str) -> Vec<&'c str> {
    content.flow.questions[content.flow.question(id).unwrap()].choices.iter().map(|c| c.id.as_str()).collect()
}

fn texts(asked: &Asked) -> impl Iterator<Item = &str> {
    let hints = asked.hints.iter().flatten().map(String::as_str);
    [asked.short.as_str(), &asked.ask, &asked.why, &asked.how].into_iter().chain(hints)
}

/// Every question in each state of things that its texts can hang on, with what that state is.
fn each(content: &Content, stage: &str, visit: &mut dyn FnMut(&Question, &Asked, &str)) {
    for cladding in choices(content, "cladding") {
        for (at, mark) in MARKS.iter().enumerate() {
            let mut said = vec![("region", "us"), ("stage", stage), ("cladding", cladding)];
            said.extend(*mark);
            all(content, &about(content, &said), &format!("{stage}, {cladding}, mark {at}"), visit);
        }
    }
    for feature in choices(content, "feature") {
        let said =
            [("region", "uk"), ("stage", stage), ("cladding", "stucco"), ("feature", feature), ("door", "slides")];
        all(content, &about(content, &said), &format!("{stage}, {feature}"), visit);
    }
}

fn all(content: &Content, answers: &Answers, state: &str, visit: &mut dyn FnMut(&Question, &Asked, &str)) {
    let spoken = content.flow.spoken(answers, Units::Inch);
    for question in &content.flow.questions {
        visit(question, &spoken.asked(question), state);
    }
}

/// A name that nothing fills would be shown in braces.
#[test]
fn nothing_is_left_to_fill() {
    for content in [&*CONTENT, &*SPANISH] {
        for stage in ["planned", "built"] {
            each(content, stage, &mut |question, asked, state| {
                for text in texts(asked) {
                    assert!(!text.contains(['{', '}']), "{}, {state}: {text}", question.id);
                    assert!(text.trim() == text && !text.contains("  "), "{}, {state}: {text}", question.id);
                }
            });
        }
        // before anything is answered
        all(content, &Answers::default(), "nothing known", &mut |question, asked, _| {
            assert!(texts(asked).all(|text| !text.contains('{')), "{}", question.id);
        });
    }
}

/// Whoever reads may be tired: a sentence has at most 30 words, also once its names are filled. What a user typed for a
/// mark is the user's own and does not count.
#[test]
fn filled_sentences_stay_short() {
    let mut long = std::collections::BTreeSet::new();
    for content in [&*CONTENT, &*SPANISH] {
        for stage in ["planned", "built"] {
            each(content, stage, &mut |question, asked, state| {
                if state.ends_with("mark 1") {
                    return;
                }
                for sentence in texts(asked).flat_map(|text| text.split_inclusive(['.', '?', ':', ';'])) {
                    let words = sentence.split_whitespace().count();
                    if words > 30 {
                        long.insert(format!("{}, {state}: {words} words: {sentence}", question.id));
                    }
                }
            });
        }
    }
    assert!(long.is_empty(), "{long:#?}");
}

/// Work that stands is not spoken of as a plan. Questions that are only asked about planned work may do so.
#[test]
fn built_work_is_never_planned() {
    let lists: BTreeMap<String, Vec<String>> = serde_yaml::from_str(include_str!("../data/built_words.yaml")).unwrap();
    let mut wrong = String::new();
    for (content, language) in [(&*CONTENT, "en"), (&*SPANISH, "es")] {
        let built = about(content, &[("stage", "built")]);
        let shown = content.flow.state(&built).shown;
        let mut seen = std::collections::BTreeSet::new();
        each(content, "built", &mut |question, asked, state| {
            let number = content.flow.question(&question.id).unwrap();
            if shown[number] == Truth::No || question.id == "stage" {
                return;
            }
            for text in texts(asked) {
                let plain: String =
                    text.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
                let plain = format!(" {} ", plain.split_whitespace().collect::<Vec<_>>().join(" "));
                for phrase in &lists[language] {
                    if plain.contains(&format!(" {phrase} ")) && seen.insert(text.to_owned()) {
                        let _ = writeln!(wrong, "{language}, {}, {state}: {phrase}: {text}", question.id);
                    }
                }
            }
        });
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// What somebody reads at each cladding: planned with a door, built with a mark of their own.
#[test]
fn heights_in_the_words_of_each_cladding() {
    let heights = ["exit_way", "exit_below_mark", "exit_above_surface", "finish_below_mark", "ground_below_mark"];
    let mut page = String::new();
    for content in [&*CONTENT, &*SPANISH] {
        for cladding in choices(content, "cladding") {
            for (stage, mark) in [("planned", MARKS[0]), ("built", MARKS[1])] {
                let mut said =
                    vec![("region", "us"), ("stage", stage), ("feature", "sand_set_pavers"), ("cladding", cladding)];
                said.extend(mark);
                let spoken = content.flow.spoken(&about(content, &said), Units::Inch);
                let _ = writeln!(page, "## {cladding}, {stage}");
                for id in heights {
                    let question = &content.flow.questions[content.flow.question(id).unwrap()];
                    let _ = writeln!(page, "{}: {}", spoken.short(question), spoken.ask(question));
                }
            }
        }
    }
    insta::assert_snapshot!(page);
}

/// The same question at each kind of work.
#[test]
fn the_surface_in_the_words_of_each_feature() {
    let mut page = String::new();
    for feature in choices(&CONTENT, "feature") {
        for stage in ["planned", "built"] {
            let said = [("stage", stage), ("feature", feature), ("cladding", "vinyl"), ("door", "swings_out")];
            let spoken = CONTENT.flow.spoken(&about(&CONTENT, &said), Units::Inch);
            for id in ["finish_below_mark", "window_sill_above_surface"] {
                let question = &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()];
                let _ = writeln!(page, "{feature}, {stage}: {}", spoken.ask(question));
            }
        }
    }
    insta::assert_snapshot!(page);
}

/// What the questions call the exit and what the advice calls it is one thing: they hang on the same answers.
#[test]
fn questions_and_advice_mean_the_same_exit() {
    let screed = |present: &str| {
        let said = answers(&format!("region: us\ncladding: stucco\nstucco_backing: frame\nweep_screed: {present}"));
        let number = CONTENT.flow.question("exit_below_mark").unwrap();
        let asked = CONTENT.flow.spoken(&said, Units::Inch).ask(&CONTENT.flow.questions[number]);
        let kind = CONTENT.assess(&said, Units::Inch).fill("{exit.kind}");
        (asked, kind)
    };
    let (asked, kind) = screed("present");
    assert!(asked.contains("weep screed") && kind.contains("weep screed"), "{asked} {kind}");
    let (asked, kind) = screed("absent");
    assert!(asked.contains("bottom edge") && kind.contains("bottom edge"), "{asked} {kind}");
}

/// What somebody typed may be long, and may hold braces.
#[test]
fn a_named_mark_is_shown_as_it_was_typed() {
    let number = CONTENT.flow.question("mark_name").unwrap();
    let asked = |name: &str| {
        let mut said = about(&CONTENT, &[("door", "none")]);
        said.set(number, Answer::Text(name.to_owned()));
        let height = CONTENT.flow.question("ground_below_mark").unwrap();
        CONTENT.flow.spoken(&said, Units::Inch).ask(&CONTENT.flow.questions[height])
    };
    assert_eq!(asked("sill {exit}"), "How far is the ground at the wall below your mark (sill {exit})?");
    let long = asked(&"word ".repeat(60));
    assert!(long.chars().count() < 130 && long.ends_with("...)?"), "{long}");
}
