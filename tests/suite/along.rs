//! Along the wall: heights in many places, openings, the edge outside, the footing.

use crate::must_hold::SOUND;
use crate::support::{CONTENT, answers, behind, with};
use wallfoot::content::Verdict;
use wallfoot::flow::{Answer, AnswerError, Answers, QuestionKind};
use wallfoot::judge::Assessment;
use wallfoot::site::OpeningKind;
use wallfoot::units::{Length, Units};
use wallfoot::visit::write_answer;
use wallfoot::wall::{Level, Status};

fn assess(answers: &Answers) -> Assessment<'_> {
    CONTENT.assess(answers, Units::Inch)
}

fn said(assessment: &Assessment<'_>, fact: &str) -> Option<String> {
    assessment.value_in_words(CONTENT.vocabulary.slot(fact).unwrap())
}

fn status(assessment: &Assessment<'_>, id: &str) -> Status {
    let index = CONTENT.limits.iter().position(|l| l.id == id).unwrap();
    assessment.clearances[index].status
}

fn holds(assessment: &Assessment<'_>, id: &str) -> bool {
    let index = CONTENT.findings.iter().position(|f| f.id == id).unwrap();
    assessment.findings[index].is_yes()
}

/// Level at both ends, with a hump of the finish in the middle.
const HUMP: &str = "
feature_length: 30 ft
levels_vary: yes
ends_measured: more_places
finish_profile: 0 = 7 in; 15 ft = 4 in; 30 ft = 7 in
ground_profile: 0 = 9 in; 30 ft = 23 in
exit_profile: 0 = 5 in; 30 ft = 5 in
";

#[test]
fn a_hump_between_the_ends_is_found() {
    let answers = with(SOUND, HUMP);
    let assessment = assess(&answers);
    let closest = assessment.site.closest(Level::Exit, Level::Finish).unwrap();
    assert_eq!((closest.up, closest.at), (-Length::inches(1), Length::inches(180)));
    assert_eq!(assessment.settled.verdict, Verdict::ExteriorTradeFirst);
    // with ends alone the hump is not seen
    let ends = "ends_measured: both_ends\nfinish_left_below_mark: 7 in\nfinish_right_below_mark: 7 in\n\
                ground_left_below_mark: 9 in\nground_right_below_mark: 23 in\nexit_left_below_mark: 5 in\nexit_right_below_mark: 5 in";
    let answers = with(SOUND, &format!("{HUMP}{ends}"));
    assert!(assess(&answers).settled.verdict < Verdict::ExteriorTradeFirst);
}

/// What the solver says of a dip in the exit between level ends: the finish must clear the dip.
#[test]
fn the_highest_finish_clears_a_dip_between_the_ends() {
    let change = HUMP
        .replace("0 = 7 in; 15 ft = 4 in; 30 ft = 7 in", "0 = 7 in; 30 ft = 7 in")
        .replace("exit_profile: 0 = 5 in; 30 ft = 5 in", "exit_profile: 0 = 5 in; 15 ft = 8 in; 30 ft = 5 in");
    let answers = with(SOUND, &change);
    let assessment = assess(&answers);
    let lowering = assessment.lowering.unwrap();
    // 8 in down to the dip, 1/2 in for vinyl (R703.3.1), 1/8 in for the tape
    assert_eq!(lowering.highest, Some(Length::parse("8 5/8 in", Units::Inch).unwrap()));
    assert_eq!(lowering.ends, None);
}

#[test]
fn a_profile_of_two_points_is_the_same_as_two_ends() {
    let profile = HUMP.replace("15 ft = 4 in; 30 ft = 7 in", "30 ft = 3 in");
    let ends = "feature_length: 30 ft\nlevels_vary: yes\nends_measured: both_ends\nfinish_left_below_mark: 7 in\n\
                finish_right_below_mark: 3 in\nground_left_below_mark: 9 in\nground_right_below_mark: 23 in\n\
                exit_left_below_mark: 5 in\nexit_right_below_mark: 5 in";
    let (a, b) = (with(SOUND, &profile), with(SOUND, ends));
    let (a, b) = (assess(&a), assess(&b));
    assert_eq!(a.clearances, b.clearances);
    assert_eq!(a.lowering, b.lowering);
    assert_eq!(a.settled, b.settled);
}

#[test]
fn the_step_at_a_second_door() {
    let door = |below: &str| format!("wall_things: other_door\nother_door_below_mark: {below}");
    // the finish lies 7 in below the mark; the second threshold 4 in above it: 11 in, more than one riser (R311.3.2)
    let answers = with(SOUND, &door("-4 in"));
    let assessment = assess(&answers);
    assert_eq!(said(&assessment, "other_door.most_step").as_deref(), Some("11 in"));
    assert_eq!(status(&assessment, "second_door_step"), Status::Fails);
    let rows = assessment.openings();
    assert_eq!(
        rows.iter().map(|r| r.opening.kind).collect::<Vec<_>>(),
        [OpeningKind::MainDoor, OpeningKind::OtherDoor]
    );
    assert_eq!(rows[1].flight.unwrap().risers, 2);
    assert!(behind(&assessment).split_whitespace().collect::<Vec<_>>().join(" ").contains("risers of 5 1/2 in"));
    // lower than the finish
    let answers = with(SOUND, &door("9 in"));
    let assessment = assess(&answers);
    assert!(holds(&assessment, "second_door_covered"));
    assert_eq!(assessment.settled.verdict, Verdict::ChangePlan);
    // not measured: find out
    let answers = with(SOUND, &door("not sure"));
    let assessment = assess(&answers);
    assert_eq!(assessment.settled.verdict, Verdict::FindOutFirst);
    let question = CONTENT.flow.question("other_door_below_mark").unwrap();
    assert!(assessment.open.iter().any(|o| o.question == question));
}

#[test]
fn openings_are_judged_where_they_are() {
    // the finish rises from 7 in to 1 in below the mark over 30 ft
    let base = HUMP.replace("15 ft = 4 in; 30 ft = 7 in", "30 ft = 1 in");
    let places = "wall_things: dryer_vent, low_window\ndryer_vent_above_surface: 14 in\nwindow_sill_above_surface: 11 in\n\
                  wall_places: main_door 0 to 5 ft; window 25 ft to 30 ft = -6 in; dryer_vent 10 ft to 10 ft 6 in";
    let answers = with(SOUND, &format!("{base}{places}"));
    let assessment = assess(&answers);
    // the window: 6 in above the mark, the finish at 30 ft 1 in below it; less than the 11 in that were said
    assert_eq!(said(&assessment, "window.above_finish").as_deref(), Some("7 in"));
    assert_eq!(said(&assessment, "dryer_vent.above_finish").as_deref(), Some("14 in"));
    // the step at the door runs from 7 in to 6 in over its width
    let over = assessment.openings()[0].over.unwrap();
    assert_eq!((over.least, over.most), (Length::inches(6), Length::inches(7)));
    // what is measured at the door must lie on the line
    let answers = with(SOUND, &format!("{base}{places}\nfinish_below_mark: 4 in"));
    assert!(holds(&assess(&answers), "measure_again"), "{:?}", said(&assess(&answers), "measure.conflict"));
    // a gas vent that has a place but is not in the list of things
    let answers = with(SOUND, &format!("{base}{}", places.replace("dryer_vent 10 ft", "gas_vent 10 ft")));
    assert!(holds(&assess(&answers), "place_not_listed"));
    assert!(assess(&answers).settled.verdict >= Verdict::FindOutFirst);
}

#[test]
fn the_ground_outside_sends_water_back() {
    let answers = with(SOUND, "outer_edge: below_ground\nouter_edge_depth: 3 in");
    let assessment = assess(&answers);
    assert!(holds(&assessment, "ground_outside_higher"));
    assert_eq!(assessment.settled.verdict, Verdict::ChangePlan);
    // 2-3/8 in paver, 1 in bedding, 4 in base: 7-3/8 in below the edge, which lies 3 in below the ground
    let digging = assessment.digging().unwrap();
    assert_eq!(digging.at_edge, Some(Length::parse("10 3/8 in", Units::Inch).unwrap()));
    let answers = with(SOUND, "outer_edge: below_ground\nouter_edge_depth: not sure");
    assert!(holds(&assess(&answers), "outer_edge_trapped"));
}

#[test]
fn digging_stops_at_the_footing() {
    // finish 7 in above the ground, layers of 7-3/8 in: 3/8 in of digging; with the ground at the finish, 7-3/8 in
    let dig = |ground: &str, footing: &str| {
        format!("below_floor: slab\nground_below_mark: {ground}\nfooting_below_ground: {footing}")
    };
    for (ground, footing, finding) in [
        ("7 in", "7 in", Some("footing_reached")),
        ("7 in", "7 3/8 in", Some("footing_reached")),
        ("7 in", "12 in", Some("footing_near")),
        ("7 in", "24 in", None),
        ("2 in", "not sure", Some("footing_unknown")),
        ("7 in", "not sure", None),
    ] {
        let answers = with(SOUND, &dig(ground, footing));
        let assessment = assess(&answers);
        for id in ["footing_reached", "footing_near", "footing_unknown"] {
            assert_eq!(holds(&assessment, id), finding == Some(id), "{id} at {ground}, {footing}");
        }
    }
}

#[test]
fn lists_along_the_wall_read_back_as_written() {
    for (id, kind, text) in [
        ("finish_profile", QuestionKind::Profile, "0 = 330 mm; 4 m = 9 1/2 in; 9.144 m = -6 in"),
        (
            "wall_places",
            QuestionKind::Places,
            "window 12 ft to 15 ft = 14 in; Door with the mark 4 ft to 1 ft; window_well 1 m to 2 m",
        ),
    ] {
        let question = &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()];
        assert_eq!(question.kind, kind);
        for units in [Units::Inch, Units::Metric] {
            let answer = question.read_answer(text, units).unwrap();
            let written = write_answer(question, &answer).unwrap();
            assert_eq!(question.read_answer(&written, units).unwrap(), answer, "{written}");
            let shown = question.show_answer(&answer, units).unwrap();
            assert!(
                matches!(question.read_answer(&shown, units), Ok(Answer::Profile(_) | Answer::Places(_))),
                "{shown}"
            );
        }
    }
}

#[test]
fn what_is_wrong_with_a_list_is_said() {
    let said = |id: &str, text: &str| {
        let question = &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()];
        question.read_answer(text, Units::Inch).map_err(|e: AnswerError| e.to_string()).unwrap_err()
    };
    let all = [
        said("finish_profile", "7 in"),
        said("finish_profile", "0 = 7 in"),
        said("finish_profile", "0 = 7 in; 0 = 8 in"),
        said("finish_profile", "0 = 7 in; 10 ft = 99 ft"),
        said("finish_profile", "0 = 7 in; 10 ft = seven"),
        said("wall_places", "chimney 1 ft to 2 ft"),
        said("wall_places", "window 3 ft"),
        said("wall_places", ";"),
    ];
    insta::assert_snapshot!(all.join("\n"));
}

#[test]
fn openings_without_heights_are_listed() {
    let list = answers("ends_measured: both_ends\nwall_places: window 3 ft to 5 ft");
    assert!(list.iter().any(|(_, a)| matches!(a, Answer::Places(p) if p[0].below.is_none())));
}
