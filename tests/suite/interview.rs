//! Interviews with a scripted asker.

use crate::support::{CONTENT, in_file_order};
use std::convert::Infallible;
use std::io;
use std::sync::LazyLock;
use wallfoot::flow::{Answer, Answers, Flow};
use wallfoot::interview::{Asker, Ended, Interview, Leaving, Picked, Prompt, Reply, ReviewLine, Reviewed};
use wallfoot::units::Units;

/// Does what a closure says; notes what was asked.
pub(crate) struct Scripted<F> {
    pub(crate) reply: F,
    pub(crate) asked: Vec<String>,
    pub(crate) reviews: Vec<Reviewed>,
    pub(crate) review_lines: Vec<usize>,
}

impl<F: FnMut(&Prompt<'_>) -> Reply> Scripted<F> {
    pub(crate) fn new(reply: F) -> Self {
        Scripted { reply, asked: Vec::new(), reviews: Vec::new(), review_lines: Vec::new() }
    }
}

impl<F: FnMut(&Prompt<'_>) -> Reply> Asker for Scripted<F> {
    fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
        self.asked.push(prompt.question.id.to_string());
        assert!(self.asked.len() < 2000, "the interview does not end");
        Ok((self.reply)(prompt))
    }

    fn review(&mut self, lines: &[ReviewLine]) -> io::Result<Reviewed> {
        self.review_lines.push(lines.len());
        Ok(self.reviews.pop().unwrap_or(Reviewed::Done))
    }

    fn choose(&mut self, _: &str, _: &[String]) -> io::Result<Picked> {
        Ok(Picked::Back)
    }
}

/// The questions, with none that is answered in one go with another.
pub(crate) static EACH_ALONE: LazyLock<Flow> = LazyLock::new(|| {
    let mut flow = CONTENT.flow.clone();
    for question in &mut flow.questions {
        question.at_once.clear();
    }
    flow
});

pub(crate) fn run<F: FnMut(&Prompt<'_>) -> Reply>(answers: &mut Answers, asker: &mut Scripted<F>) -> Ended {
    let interview = Interview::new(&EACH_ALONE, |_: &Answers| Units::Inch, in_file_order);
    let mut keep = |_: &Answers| Ok::<(), Infallible>(());
    match interview.run(answers, asker, &mut keep).unwrap() {
        Ended::Finished => interview.review(answers, asker, &mut keep).unwrap(),
        left @ Ended::Left(_) => left,
    }
}

/// "Not sure" where it is allowed, else the first choice.
pub(crate) fn not_sure(prompt: &Prompt<'_>) -> Reply {
    Reply::Answer(if prompt.question.not_sure { Answer::NotSure } else { Answer::Choice(0) })
}

#[test]
fn not_sure_to_everything_ends_and_is_short() {
    let mut answers = Answers::default();
    let mut asker = Scripted::new(not_sure);
    assert_eq!(run(&mut answers, &mut asker), Ended::Finished);
    assert!((15..=45).contains(&asker.asked.len()), "{} questions", asker.asked.len());
}

/// The intro of a section is read once: when nothing of it is answered yet.
#[test]
fn a_section_opens_once() {
    let mut opened = Vec::new();
    let mut answers = Answers::default();
    let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
        if prompt.progress.intro.is_some() {
            opened.push((prompt.progress.section.to_owned(), prompt.progress.sketch.is_some()));
        }
        not_sure(prompt)
    });
    assert_eq!(run(&mut answers, &mut asker), Ended::Finished);
    // of the sections only the one on heights has something to draw
    let drawn: Vec<&str> = opened.iter().filter(|(_, drawn)| *drawn).map(|(part, _)| part.as_str()).collect();
    assert_eq!(drawn, ["Heights"], "{opened:?}");
    let parts: std::collections::BTreeSet<&str> = opened.iter().map(|(part, _)| part.as_str()).collect();
    assert_eq!(parts.len(), opened.len(), "{opened:?}");
}

/// At another stretch of wall the review marks what is different from the first.
#[test]
fn a_stretch_marks_what_is_different() {
    struct Reviewer(Vec<(String, bool)>);
    impl Asker for Reviewer {
        fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
            Ok(not_sure(prompt))
        }
        fn review(&mut self, lines: &[ReviewLine]) -> io::Result<Reviewed> {
            self.0 =
                lines.iter().map(|line| (CONTENT.flow.questions[line.question].id.to_string(), line.differs)).collect();
            Ok(Reviewed::Done)
        }
        fn choose(&mut self, _: &str, _: &[String]) -> io::Result<Picked> {
            Ok(Picked::Back)
        }
    }
    let first = crate::support::scenario("demo-back-patio");
    let mut answers = first.clone();
    let ground = CONTENT.flow.question("ground_below_mark").unwrap();
    answers.set(ground, Answer::Length(wallfoot::units::Length::inches(20)));
    let differing = |first: Option<Answers>| {
        let mut asker = Reviewer(Vec::new());
        let interview = Interview::new(&CONTENT.flow, |_: &Answers| Units::Inch, in_file_order).beside(first);
        interview.run(&mut answers.clone(), &mut asker, &mut |_| Ok::<(), Infallible>(())).unwrap();
        interview.review(&mut answers.clone(), &mut asker, &mut |_| Ok::<(), Infallible>(())).unwrap();
        asker.0.into_iter().filter(|(_, differs)| *differs).map(|(id, _)| id).collect::<Vec<_>>()
    };
    assert_eq!(differing(Some(first)), ["ground_below_mark"]);
    // where there is but one stretch, nothing is marked
    assert!(differing(None).is_empty());
}

#[test]
fn back_goes_one_question_back_across_sections() {
    let mut answers = Answers::default();
    let mut steps = 0;
    let mut back_from = None;
    let mut scripted = Scripted::new(|prompt: &Prompt<'_>| {
        steps += 1;
        if prompt.progress.section == "The wall" && back_from.is_none() {
            back_from = Some((prompt.question.id.clone(), steps));
            return Reply::Back;
        }
        not_sure(prompt)
    });
    run(&mut answers, &mut scripted);
    let asked = scripted.asked.clone();
    let (from, at) = back_from.unwrap();
    assert_eq!(asked[at - 1], from, "the first question of the second section");
    assert_eq!(asked[at], asked[at - 2], "then the last one of the first section again");
    assert_eq!(asked[at + 1], from, "and on from there");
}

#[test]
fn back_at_the_first_question_stays_there() {
    let mut answers = Answers::default();
    let mut first = true;
    let mut asker =
        Scripted::new(|prompt: &Prompt<'_>| if std::mem::take(&mut first) { Reply::Back } else { not_sure(prompt) });
    run(&mut answers, &mut asker);
    assert_eq!(asker.asked[0], asker.asked[1]);
}

#[test]
fn a_change_in_the_review_opens_its_branch() {
    let mut answers = Answers::default();
    run(&mut answers, &mut Scripted::new(not_sure));
    // the review lists the shown answers in order; change the cladding to brick veneer
    let cladding = CONTENT.flow.question("cladding").unwrap();
    let state = CONTENT.flow.state(&answers);
    let line = answers.iter().filter(|(n, _)| state.shown[*n].is_yes()).position(|(n, _)| n == cladding).unwrap();
    let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
        if prompt.question.id == "cladding" {
            return Reply::Answer(prompt.question.read_answer("brick_veneer", Units::Inch).unwrap());
        }
        not_sure(prompt)
    });
    asker.reviews = vec![Reviewed::Done, Reviewed::Change(line)];
    assert_eq!(run(&mut answers, &mut asker), Ended::Finished);
    assert_eq!(asker.asked[0], "cladding");
    assert!(asker.asked.contains(&"veneer_weeps".to_owned()), "{:?}", asker.asked);
    assert!(asker.review_lines[1] > asker.review_lines[0]);
}

#[test]
fn esc_while_changing_goes_back_to_the_review() {
    let mut answers = Answers::default();
    run(&mut answers, &mut Scripted::new(not_sure));
    let before = answers.clone();
    let mut asker = Scripted::new(|_: &Prompt<'_>| Reply::Back);
    asker.reviews = vec![Reviewed::Done, Reviewed::Change(3)];
    assert_eq!(run(&mut answers, &mut asker), Ended::Finished);
    assert_eq!((asker.asked.len(), answers), (1, before));
}

#[test]
fn leaving_keeps_what_was_said_and_resuming_goes_on() {
    let mut answers = Answers::default();
    let mut n = 0;
    let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
        n += 1;
        if n == 6 { Reply::Leave(Leaving::Asked) } else { not_sure(prompt) }
    });
    assert_eq!(run(&mut answers, &mut asker), Ended::Left(Leaving::Asked));
    let left_at = asker.asked.last().unwrap().clone();
    assert_eq!(answers.iter().count(), 5);
    let mut again = Scripted::new(not_sure);
    assert_eq!(run(&mut answers, &mut again), Ended::Finished);
    assert_eq!(again.asked[0], left_at);
}

/// A failing disk stops the interview with the reason; it does not go on pretending.
#[test]
fn an_answer_that_cannot_be_kept_stops_the_interview() {
    let interview = Interview::new(&CONTENT.flow, |_: &Answers| Units::Inch, in_file_order);
    let mut answers = Answers::default();
    let mut asker = Scripted::new(not_sure);
    let end = interview.run(&mut answers, &mut asker, &mut |_| Err("disk full"));
    assert_eq!(end.unwrap_err().to_string(), "disk full");
    assert_eq!(asker.asked.len(), 1);
}

/// A choice of two questions answers both, a height that is typed answers how it was measured too, and two lengths in one line
/// are two answers. Nothing else is recorded.
#[test]
fn what_is_said_in_one_go_is_recorded_question_by_question() {
    let number = |id: &str| CONTENT.flow.question(id).unwrap();
    let given = |lines: &str| crate::support::answers(lines);
    let one = |known: &str, id: &str, reply: &dyn Fn(&Prompt<'_>) -> Reply| {
        let mut answers = given(known);
        let done = std::cell::Cell::new(false);
        let order = |_: &Answers, _: Option<usize>| {
            (!done.replace(true)).then_some(wallfoot::interview::Next { question: number(id), more: 0 })
        };
        let interview = Interview::new(&CONTENT.flow, |_: &Answers| Units::Inch, order).saying("Not sure");
        let mut asker = Scripted::new(reply);
        interview.run(&mut answers, &mut asker, &mut |_| Ok::<(), Infallible>(())).unwrap();
        let before = given(known);
        answers
            .iter()
            .filter(|(n, answer)| before.get(*n) != Some(*answer))
            .map(|(n, answer)| {
                let question = &CONTENT.flow.questions[n];
                let shown = question.show_answer(answer, Units::Inch).unwrap_or_else(|| "not sure".to_owned());
                format!("{}: {shown}", question.id)
            })
            .collect::<Vec<_>>()
    };
    let line = |label: &'static str| {
        move |prompt: &Prompt<'_>| {
            let at = prompt.question.choices.iter().position(|c| c.label == label);
            Reply::Answer(Answer::Choice(at.unwrap_or_else(|| panic!("no line {label}"))))
        }
    };
    assert_eq!(
        one("region: us", "stage", &line("It is planned: A contract is signed")),
        ["stage: It is planned", "contractor: A contract is signed"]
    );
    assert_eq!(one("region: us", "stage", &line("It is already built")), ["stage: It is already built"]);
    assert_eq!(
        one(
            "region: us\nstage: planned\ncladding: vinyl\ndoor: none",
            "exit_way",
            &line("It cannot be seen: Soil, mulch or gravel")
        ),
        ["exit_way: It cannot be seen", "exit_hidden_by: Soil, mulch or gravel"]
    );
    let typed = |text: &'static str| {
        move |prompt: &Prompt<'_>| prompt.typed_at_once(text).map_or_else(|| prompt.read(text).unwrap(), Reply::Typed)
    };
    assert_eq!(
        one("region: us\nstage: planned\ncladding: vinyl\ndoor: slides", "exit_way", &typed("4 1/4 in")),
        ["exit_way: Down from the mark", "exit_below_mark: 4 1/4 in"]
    );
    for text in ["24 ft x 14 ft", "24 x 14 ft", "24 ft by 14 ft", "24 ft x 14"] {
        assert_eq!(
            one("region: us", "feature_length", &typed(text)),
            ["feature_length: 24 ft", "feature_depth: 14 ft"],
            "{text}"
        );
    }
    assert_eq!(one("region: us", "feature_length", &typed("24 ft")), ["feature_length: 24 ft"]);
    // what is unusual in one of them, or has two units in one, is not taken at once: 24 in is no length of a patio, and
    // nobody can tell to which the second unit of "24 x 14 ft 6 in" belongs
    for text in ["24 x 14", "24 x 14 ft 6 in", "24 x 14'6\"", "24 ft 6 in x 14"] {
        let refused = |prompt: &Prompt<'_>| {
            assert!(prompt.read(text).is_err(), "{text}: {:?}", prompt.read(text));
            Reply::Leave(Leaving::Asked)
        };
        assert!(one("region: us", "feature_length", &refused).is_empty());
    }
    // no height: neither a word nor a number of a line
    let none = |text: &'static str| {
        move |prompt: &Prompt<'_>| {
            assert_eq!(prompt.typed_at_once(text), None, "{text}");
            Reply::Leave(Leaving::Asked)
        }
    };
    for text in ["from the mark", "", "not sure", "?"] {
        assert!(one("region: us\ndoor: slides", "exit_way", &none(text)).is_empty());
    }
}
