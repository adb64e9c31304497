//! A file of questions, rules, limits or advice, beside content that has nothing but the names the program needs. It is refused with
//! every mistake in its place, or what it asks can be asked and judged.
#![no_main]

#[allow(clippy::unwrap_used)]
#[path = "../../suite/stub.rs"]
mod stub;

use wallfoot::content::Content;
use wallfoot::flow::{Answer, Answers, Diagnostics, Node, Source};
use wallfoot::units::Units;
use wallfoot_fuzz::bounded;

libfuzzer_sys::fuzz_target!(|given: &str| bounded(|| {
    let source = Source::new("fuzz.yaml", given.to_owned());
    let mut mistakes = Diagnostics::default();
    let node = Node::read(&source, 0, &mut mistakes);
    if node.is_none() || mistakes.into_result(std::slice::from_ref(&source)).is_err() {
        return;
    }
    let mut sources = stub::stub();
    sources.push(source);
    let content = match Content::load(&sources, None) {
        Ok(content) => content,
        Err(error) => {
            let _ = error.to_string();
            return;
        }
    };
    let mut answers = Answers::default();
    stub::answer_stub(&content, &mut answers);
    // every question is answered with the first that it takes
    for (number, question) in content.flow.questions.iter().enumerate() {
        for text in ["yes", "7 in", "1990", "1", "a name"] {
            if answers.get(number).is_none() && let Ok(answer) = question.read_answer(text, Units::Inch) {
                answers.set(number, answer);
            }
        }
        if answers.get(number).is_none() && !question.choices.is_empty() {
            answers.set(number, Answer::Choice(0));
        }
    }
    let _ = content.assess(&answers, Units::Inch);
    let _ = content.next_question(&answers);
}));
