//! What people type: units of the country from the first question on, the ways of not knowing, years.

use crate::interview::Scripted;
use crate::support::CONTENT;
use crate::support::in_file_order;
use std::convert::Infallible;
use wallfoot::flow::{Answer, AnswerError, Answers, Question};
use wallfoot::interview::{Interview, Leaving, Next, Prompt, Reply};
use wallfoot::units::{Length, Units};

fn question(id: &str) -> &'static Question {
    &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()]
}

/// The country is the first question, and a bare number after it is one of that country.
#[test]
fn bare_numbers_follow_the_country_that_was_just_answered() {
    let names = ["us", "canada", "uk", "ireland", "australia", "new_zealand", "germany"];
    for name in names {
        let units_of = |answers: &Answers| match CONTENT.region(answers) {
            Some(region) => CONTENT.units_in(region),
            None => Units::Inch,
        };
        let interview = Interview::new(&crate::interview::EACH_ALONE, units_of, in_file_order);
        let mut answers = Answers::default();
        let mut read = Vec::new();
        let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
            let text = match prompt.question.id.as_str() {
                "region" => name,
                "stage" => "planned",
                "dry_or_sandy" | "in_bavaria" => "no",
                "feature" => "sand_set_pavers",
                "feature_length" | "feature_depth" => "300",
                _ => return Reply::Leave(Leaving::Asked),
            };
            let answer = prompt.typing().answer(prompt.question, text).unwrap();
            if let Answer::Length(length) = answer {
                read.push(length);
            }
            Reply::Answer(answer)
        });
        interview.run(&mut answers, &mut asker, &mut |_| Ok::<(), Infallible>(())).unwrap();
        let right = if name == "us" { "300 in" } else { "300 mm" };
        let right = Length::parse(right, Units::Inch).unwrap();
        assert!(!read.is_empty() && read.iter().all(|length| *length == right), "{name}: {read:?}");
    }
}

#[test]
fn there_are_many_ways_of_not_knowing() {
    for said in
        ["not sure", "Not sure.", "don't know", "I don’t know", "idk", "IDK", "?", "n/a", "no idea!", "unsure", "no sé"]
    {
        for id in ["feature_length", "year_built", "ground_falls"] {
            assert_eq!(question(id).read_answer(said, Units::Inch), Ok(Answer::NotSure), "{id}: {said}");
        }
        let refused = question("region").read_answer(said, Units::Inch);
        assert_eq!(refused, Err(AnswerError::NeedsAnswer), "{said}");
    }
    for said in ["not", "sure", "know", "n", "nothing"] {
        assert_ne!(question("feature_length").read_answer(said, Units::Inch), Ok(Answer::NotSure), "{said}");
    }
}

#[test]
fn a_rough_year_is_a_year_and_one_to_come_is_none() {
    let year = question("year_built");
    for (said, right) in
        [("1994", 1994), ("about 1994", 1994), ("Around 1994", 1994), ("ca. 1994", 1994), ("c. 1994", 1994)]
    {
        assert_eq!(year.read_answer(said, Units::Inch), Ok(Answer::Year(right)), "{said}");
    }
    assert!(year.read_answer("about", Units::Inch).is_err());
    for (now, said, right) in [
        (Some(2026), "2026", Ok(Answer::Year(2026))),
        (Some(2026), "2027", Err(AnswerError::Future { year: 2027, now: 2026 })),
        (None, "2027", Ok(Answer::Year(2027))),
    ] {
        let interview = Interview::new(
            &CONTENT.flow,
            |_: &Answers| Units::Inch,
            |_: &Answers, _: Option<usize>| {
                Some(Next { question: CONTENT.flow.question("year_built").unwrap(), more: 0 })
            },
        )
        .in_year(now);
        let mut answers = Answers::default();
        let mut got = None;
        let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
            got = Some(prompt.typing().answer(year, said));
            Reply::Leave(Leaving::Asked)
        });
        interview.run(&mut answers, &mut asker, &mut |_| Ok::<(), Infallible>(())).unwrap();
        drop(asker);
        assert_eq!(got.unwrap(), right, "{now:?}");
    }
}

/// A bare number that is unusual in the small unit and usual in the large one may have been meant so.
#[test]
fn a_bare_number_may_be_meant_in_feet_or_metres() {
    let seen = |units: Units, typed: &'static str| {
        let mut got = None;
        let length = question("feature_length");
        let number = CONTENT.flow.question("feature_length").unwrap();
        let interview = Interview::new(&CONTENT.flow, |_: &Answers| units, in_file_order);
        let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
            let reading = prompt.typing();
            let echo = length.read_answer(typed, units).ok().and_then(|answer| reading.echo(length, typed, &answer));
            got = Some((echo, reading.meant(length, typed).and_then(|answer| length.show_answer(&answer, units))));
            Reply::Leave(Leaving::Asked)
        });
        interview.ask_again(number, &Answers::default(), &mut asker).unwrap();
        drop(asker);
        got.unwrap()
    };
    let text = |text: &str| Some(text.to_owned());
    assert_eq!(seen(Units::Inch, "24"), (text("= 24 in"), text("24 ft")));
    // 6 mm cannot be right at all
    assert_eq!(seen(Units::Metric, "6"), (None, text("6 m")));
    // with its unit it is meant as it stands, and what is shown as it was typed needs no echo
    assert_eq!(seen(Units::Inch, "24 in"), (None, None));
    // nor is a number offered that is unusual either way
    assert_eq!(seen(Units::Inch, "9000").1, None);
}
