//! How many keys three people press until they know the verdict: a homeowner with a tape measure, a salesperson who knows the
//! wall, and somebody who knows nothing. Before means every question in the order of the files, each by itself, and then the
//! review, as the interview was. The figures stand in docs/speed.md.

use crate::support::{CONTENT, scenario};
use std::convert::Infallible;
use std::io;
use wallfoot::flow::{Answer, Answers, QuestionKind};
use wallfoot::interview::{Asker, Interview, Next, Picked, Prompt, Reply, ReviewLine, Reviewed};
use wallfoot::units::Units;

/// Presses keys as the menus take them, and counts.
struct Fingers<'a> {
    whole: &'a Answers,
    keys: usize,
    screens: usize,
}

impl Fingers<'_> {
    /// The keys for a line of a list: down to it, and Enter.
    fn pick(&mut self, line: usize) {
        self.keys += line + 1;
    }
}

impl Asker for Fingers<'_> {
    fn ask(&mut self, prompt: &Prompt<'_>) -> io::Result<Reply> {
        self.screens += 1;
        let number = CONTENT.flow.question(&prompt.question.id).unwrap();
        let said = |n: usize| self.whole.get(n).cloned().unwrap_or(Answer::NotSure);
        let typed = |n: usize, answer: &Answer| {
            CONTENT.flow.questions[n].show_answer(answer, prompt.units).map_or(0, |text| text.chars().count())
        };
        if let Some(or_type) = &prompt.or_type {
            let length = CONTENT.flow.question(&or_type.question.id).unwrap();
            if let Answer::Length(_) = said(length) {
                self.keys += typed(length, &said(length)) + 1;
                return Ok(Reply::Typed(said(length)));
            }
        }
        // a list of two questions: the line that says what this person says
        let own = &CONTENT.flow.questions[number];
        if own.kind == QuestionKind::OneOf && prompt.question.choices.len() != own.choices.len() {
            let Answer::Choice(choice) = said(number) else {
                self.keys += 1;
                return Ok(Reply::Answer(Answer::NotSure));
            };
            let id = &own.choices[choice].id;
            let lines = prompt.question.choices.iter().enumerate();
            let mut fits = lines.filter(|(_, c)| c.id == *id || c.id.starts_with(&format!("{id}."))).map(|(i, _)| i);
            let first = fits.next().unwrap();
            let below = own.at_once.iter().find_map(|n| match self.whole.get(*n) {
                Some(Answer::Choice(i)) => Some(*i),
                Some(Answer::YesNo(yes)) => Some(usize::from(!yes)),
                _ => None,
            });
            let line = (first + below.unwrap_or(0)).min(prompt.question.choices.len() - 1);
            self.pick(line);
            return Ok(Reply::Answer(Answer::Choice(line)));
        }
        let answer = match said(number) {
            Answer::NotSure if !own.not_sure => Answer::Choice(0),
            other => other,
        };
        match &answer {
            // one key
            Answer::NotSure => self.keys += 1,
            Answer::Choice(line) => self.pick(*line),
            Answer::YesNo(yes) => self.pick(usize::from(!yes)),
            Answer::Several(0) => self.keys += own.choices.len() + 2,
            Answer::Several(bits) => {
                let last = usize::try_from(63 - bits.leading_zeros()).unwrap();
                self.keys += last + usize::try_from(bits.count_ones()).unwrap() + 1;
            }
            _ => self.keys += typed(number, &answer) + 1,
        }
        if let (Some(second), Answer::Length(_)) = (prompt.second, &answer) {
            let second = CONTENT.flow.question(&second.id).unwrap();
            if let other @ Answer::Length(_) = said(second) {
                self.keys += typed(second, &other) + 3;
                return Ok(Reply::Both(answer, other));
            }
        }
        Ok(Reply::Answer(answer))
    }

    fn review(&mut self, _: &[ReviewLine]) -> io::Result<Reviewed> {
        self.keys += 1;
        Ok(Reviewed::Done)
    }

    fn choose(&mut self, _: &str, _: &[String]) -> io::Result<Picked> {
        Ok(Picked::Back)
    }
}

/// Screens and keys until the verdict.
fn pressed(whole: &Answers, known: &Answers, as_before: bool) -> (usize, usize) {
    let mut fingers = Fingers { whole, keys: 0, screens: 0 };
    let mut answers = known.clone();
    let mut keep = |_: &Answers| Ok::<(), Infallible>(());
    let units = |_: &Answers| Units::Inch;
    if as_before {
        while let Some(question) = CONTENT.left_for_sheets(&answers).first().copied() {
            let interview = Interview::new(&CONTENT.flow, units, |_: &Answers, _: Option<usize>| None);
            let Reply::Answer(answer) = interview.ask_again(question, &answers, &mut fingers).unwrap() else {
                panic!()
            };
            answers.set(question, answer);
        }
        fingers.review(&[]).unwrap();
    } else {
        let order = |answers: &Answers, _: Option<usize>| {
            CONTENT.next_question(answers).map(|next| Next { question: next.question, more: next.more })
        };
        let interview = Interview::new(&CONTENT.flow, units, order).saying("Not sure");
        interview.run(&mut answers, &mut fingers, &mut keep).unwrap();
    }
    (fingers.screens, fingers.keys)
}

#[test]
fn three_people_press_fewer_keys() {
    let nobody = Answers::default();
    let number = |id: &str| CONTENT.flow.question(id).unwrap();
    // the settings of a salesperson say the country
    let mut settings = Answers::default();
    settings.set(number("region"), Answer::Choice(0));
    let (patio, walkway) = (scenario("demo-back-patio"), scenario("vinyl-walkway"));
    let people = [
        ("a homeowner with a tape measure, at the patio of the demo", &patio, &nobody),
        ("a salesperson who knows the wall, at a walkway that may go ahead", &walkway, &settings),
        ("somebody who knows nothing", &nobody, &nobody),
    ];
    let mut lines = Vec::new();
    for (who, whole, known) in people {
        let (before, after) = (pressed(whole, known, true), pressed(whole, known, false));
        lines.push(format!(
            "{who}: {} screens and {} keys before, {} screens and {} keys now",
            before.0, before.1, after.0, after.1
        ));
        assert!(after.0 < before.0 && after.1 < before.1, "{}", lines.join("\n"));
    }
    insta::assert_snapshot!(lines.join("\n"));
    let page = std::fs::read_to_string(crate::support::top().join("docs/speed.md")).unwrap();
    for line in lines {
        assert!(page.contains(&line), "docs/speed.md does not say: {line}");
    }
}
