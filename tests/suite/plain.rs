//! Plain lines do all that the menus do: every key has a word.

use crate::support::CONTENT;
use std::convert::Infallible;
use wallfoot::content::{Content, words};
use wallfoot::flow::{Answer, Answers};
use wallfoot::interview::{Asker, Ended, Interview, Leaving, Next, Picked};
use wallfoot::terminal::{Labels, Plain};
use wallfoot::units::{Length, Units};

fn labels(content: &Content) -> Labels {
    Labels(words::keys().map(|key| (key.to_owned(), content.word(key).to_owned())).collect())
}

/// What a session with these lines of input shows, how it ends, and the answers.
fn session(content: &Content, given: &[(&str, &str)], units: Units, input: &str) -> (String, Ended, Answers) {
    let mut answers = Answers::default();
    for (id, text) in given {
        let number = content.flow.question(id).unwrap();
        answers.set(number, content.flow.questions[number].read_answer(text, units).unwrap());
    }
    let mut output = Vec::new();
    let mut asker = Plain::new(labels(content), input.as_bytes(), &mut output, 80);
    let order = |answers: &Answers, _: Option<usize>| {
        let left = content.left_for_sheets(answers);
        Some(Next { question: *left.first()?, more: 0 })
    };
    let interview = Interview::new(&content.flow, |_: &Answers| units, order);
    let ended = interview.run(&mut answers, &mut asker, &mut |_| Ok::<(), Infallible>(())).unwrap();
    (String::from_utf8(output).unwrap(), ended, answers)
}

fn answer<'a>(content: &Content, answers: &'a Answers, id: &str) -> Option<&'a Answer> {
    answers.get(content.flow.question(id).unwrap())
}

const GERMANY: [(&str, &str); 4] =
    [("region", "germany"), ("stage", "planned"), ("in_bavaria", "no"), ("feature", "sand_set_pavers")];

/// 24 mm cannot be the length of a patio; 24 m can. The offer stands where the error stood, and leaving it leaves.
#[test]
fn a_bare_number_that_can_only_be_metres_offers_them() {
    let (text, ended, answers) = session(&CONTENT, &GERMANY, Units::Metric, "24\n1\nsave\n");
    assert!(text.contains("24 mm cannot be right here") && text.contains("  1. No, I meant 24 m"), "{text}");
    assert_eq!(ended, Ended::Left(Leaving::Asked));
    let right = Length::parse("24 m", Units::Metric).unwrap();
    assert_eq!(answer(&CONTENT, &answers, "feature_length"), Some(&Answer::Length(right)));
    for (word, how) in [("save\n", Leaving::Asked), ("", Leaving::EndOfInput)] {
        let (_, ended, answers) = session(&CONTENT, &GERMANY, Units::Metric, &format!("24\n{word}"));
        assert_eq!(ended, Ended::Left(how));
        assert_eq!(answer(&CONTENT, &answers, "feature_length"), None);
    }
    // "yes" cannot make right what is impossible
    let (_, _, answers) = session(&CONTENT, &GERMANY, Units::Metric, "24\nyes\nsave\n");
    assert_eq!(answer(&CONTENT, &answers, "feature_length"), None);
}

/// What is unusual is kept by 1 or yes, corrected by 2, and typed again by anything else.
#[test]
fn an_unusual_length_is_asked_again() {
    let us = [("region", "us"), ("stage", "planned"), ("feature", "sand_set_pavers")];
    for (said, right) in [("1", Some("24 in")), ("Yes", Some("24 in")), ("2", Some("24 ft")), ("3", None), ("no", None)]
    {
        let (text, _, answers) = session(&CONTENT, &us, Units::Inch, &format!("24\n{said}\nsave\n"));
        assert!(text.contains("24 in is unusual here") && text.contains("  2. No, I meant 24 ft"), "{text}");
        let right = right.map(|text| Answer::Length(Length::parse(text, Units::Inch).unwrap()));
        assert_eq!(answer(&CONTENT, &answers, "feature_length"), right.as_ref(), "{said}");
    }
}

/// A word that is found in some lines shows these, with their numbers; a number that is not there says which are.
#[test]
fn words_search_a_list() {
    let us = [("region", "us"), ("stage", "planned")];
    let (text, _, answers) = session(&CONTENT, &us, Units::Inch, "stairs\n99\nnot sure\nsave\n");
    let found = text.split("These lines fit \"stairs\":").nth(1).expect("it says what fits");
    assert!(
        found.lines().take(6).any(|line| line.trim_start().ends_with("Steps of brick, block or concrete")),
        "{text}"
    );
    assert!(text.matches("Type a number from 1 to ").count() == 2, "{text}");
    assert_eq!(answer(&CONTENT, &answers, "feature"), Some(&Answer::NotSure));
}

/// The words of a translation are understood, with and without accents, and the English ones too.
#[test]
fn spanish_words_are_understood() {
    let spanish = Content::load(&wallfoot::commands::sources(None, Some("es")).unwrap(), Some("es")).unwrap();
    let us = [("region", "us"), ("stage", "planned"), ("feature", "sand_set_pavers")];
    for said in ["no sé", "no se", "No se.", "not sure", "idk"] {
        let (_, _, answers) = session(&spanish, &us, Units::Inch, &format!("{said}\nguardar\n"));
        assert_eq!(answer(&spanish, &answers, "feature_length"), Some(&Answer::NotSure), "{said}");
    }
    for (back, save) in [("atras", "guardar"), ("atrás", "save"), ("back", "salir")] {
        let (text, ended, _) = session(&spanish, &us, Units::Inch, &format!("{back}\n{save}\n"));
        assert_eq!(ended, Ended::Left(Leaving::Asked), "{back}, {save}: {text}");
        let asked_again = spanish.flow.questions[spanish.flow.question("feature").unwrap()].ask.to_string();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&asked_again), "{back} did not go back: {text}");
    }
    let (text, _, _) = session(&spanish, &us, Units::Inch, "ayuda\nguardar\n");
    assert!(text.contains(spanish.word("label.how")), "{text}");
}

/// A list that is no question takes a number, goes back by word or by Enter, and says which numbers there are.
#[test]
fn a_list_is_chosen_from() {
    let items: Vec<String> = ["one", "two", "three"].map(str::to_owned).to_vec();
    for (input, right) in [
        ("2\n", Picked::Item(1)),
        ("9\n3\n", Picked::Item(2)),
        ("back\n", Picked::Back),
        ("done\n", Picked::Back),
        ("\n", Picked::Back),
        ("save\n", Picked::Leave(Leaving::Asked)),
        ("", Picked::Leave(Leaving::EndOfInput)),
    ] {
        let mut output = Vec::new();
        let picked =
            Plain::new(labels(&CONTENT), input.as_bytes(), &mut output, 80).choose("What now?", &items).unwrap();
        assert_eq!(picked, right, "{input:?}");
        assert_eq!(String::from_utf8(output).unwrap().contains("Type a number from 1 to 3."), input.starts_with('9'));
    }
}
