//! One height, one figure: how far the surface comes down is the same wherever it is said, and whoever does so has met what was
//! asked. And sentences that belong to some works stand on no sheet of others.

use crate::sound::{assess, changed_visit, ids, lines, seeds, sound, units, walls};
use crate::support::{CONTENT, answers, sheet, text_of};
use wallfoot::content::{AfterId, Sheet, Verdict};
use wallfoot::flow::{Answers, Value};
use wallfoot::judge::{Assessment, Lowered, WayKind};
use wallfoot::names::Carrier;
use wallfoot::sheet::Cover;
use wallfoot::units::Length;
use wallfoot::wall::Level;

/// What a page says, in one line.
fn flat(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn page(assessment: &Assessment<'_>, of: Sheet) -> String {
    flat(&sheet(assessment, of, ""))
}

fn agreement(assessment: &Assessment<'_>) -> String {
    flat(&text_of(&assessment.agreement(&Cover::default())))
}

/// A sound visit with some answers changed.
fn but(mut base: Answers, change: &str) -> Answers {
    for (number, answer) in answers(change).iter() {
        base.set(number, answer.clone());
    }
    base
}

/// How far below the mark the finish is planned or lies, where it is the same everywhere.
fn planned(assessment: &Assessment<'_>) -> Option<Length> {
    assessment.site.levels.above(Level::Mark, Level::Finish).map(|h| h.up).filter(|_| !assessment.site.slopes())
}

/// A millimetre figure of the report.
fn mm(report: &serde_json::Value, path: &str) -> Option<f64> {
    report.pointer(path).and_then(serde_json::Value::as_f64)
}

/// Holds the figures of a visit against each other; whether one was told.
fn one_figure(answers: &Answers) -> bool {
    let assessment = assess(answers);
    let (show, told) = (|length: Length| length.show(units(answers)), assessment.build_to().lower);
    let Some(told) = told else { return false };
    let name = || format!("{}\n{}", show(told), lines(answers));
    if let Some(lowering) = assessment.lowering {
        assert_eq!(lowering.sure, told, "{}", name());
        if lowering.by > Length::ZERO
            && let Value::Is(sure) = assessment.value_after(AfterId::LowerBySure)
        {
            assert_eq!(sure, told.steps(), "{}", name());
        }
    }
    let way = assessment.ways().into_iter().find(|way| matches!(way.kind, WayKind::Lower { .. }));
    assert_eq!(way.map_or(told, |way| way.figure), told, "{}", name());
    let report = serde_json::to_value(assessment.report()).unwrap();
    let figure = mm(&report, "/answer/figure/lower_by/mm");
    let sure = mm(&report, "/lowering/sure/mm");
    assert!(figure.is_none() || sure.is_none() || figure == sure, "{figure:?} {sure:?} {}", name());
    // no height may be kept that has to come down
    assert!(report.pointer("/lowering/keep").is_none_or(serde_json::Value::is_null), "{}", name());
    // whoever goes down by the figure has met what was asked
    let lowered = assessment.with_finish_lowered(told).expect("it was tried out");
    let then = CONTENT.assess(&lowered, units(answers));
    let met = matches!(then.lowered_for_room(), Lowered::NotNeeded | Lowered::ByWithSteps(Length::ZERO));
    assert!(met || then.settled.verdict < assessment.settled.verdict, "{:?} {}", then.lowered_for_room(), name());
    true
}

#[test]
fn the_height_to_build_to_and_the_lowering_say_one_figure() {
    let told = (0..seeds(1500)).filter(|seed| one_figure(&changed_visit(*seed))).count();
    assert!(told > 100, "only {told} visits of this kind");
}

/// Stone on an older stoop, whose height is the sum of two readings: the figure of the box stands in the STOP and in the table.
#[test]
fn what_is_added_on_top_comes_down_by_one_figure() {
    let base = sound("us", "vinyl", Carrier::WoodFrame, "overlay", "planned");
    let (mut told, mut stops) = (0, 0);
    for build_up in ["2 in", "2 1/8 in", "2 1/4 in", "2 1/2 in", "2 3/4 in", "3 in", "4 in"] {
        let change = format!(
            "finish_way: added_on_top\nold_surface_below_mark: 7 1/4 in\nbuild_up: {build_up}\nwood_below_mark: 3 in\n\
             exit_way: up_from_surface\nexit_above_surface: 3 in"
        );
        let answers = but(base.clone(), &change);
        if !one_figure(&answers) {
            continue;
        }
        told += 1;
        let assessment = assess(&answers);
        let by = assessment.build_to().lower.unwrap().show(units(&answers));
        let (crew, home) = (page(&assessment, Sheet::Landscaper), page(&assessment, Sheet::Homeowner));
        let highest = (planned(&assessment).unwrap() + assessment.build_to().lower.unwrap()).show(units(&answers));
        assert!(crew.contains(&format!("{highest} below the top of the door threshold")), "{build_up}: {crew}");
        if assessment.tasks(Some(Sheet::Landscaper)).any(|task| task.id == "new_height_first") {
            stops += 1;
            assert!(crew.contains(&format!("in writing, {by} lower or more")), "{build_up}: {crew}");
        }
        assert!(home.contains(&format!("Down by {by}")), "{build_up}: {home}");
        assert!(!home.contains("digging gets deeper"), "{build_up}");
        assert!(!crew.contains("joint sand goes in"), "{build_up}");
    }
    assert!(told > 3 && stops > 2, "{told} {stops}");
}

/// Nothing is dug deeper where nothing is dug, and a test waits for no joint sand where none is used.
#[test]
fn no_digging_gets_deeper_where_nothing_is_dug() {
    let mut seen = 0;
    for seed in 0..seeds(1500) {
        let answers = changed_visit(seed);
        let assessment = assess(&answers);
        if assessment.digging().is_some() {
            continue;
        }
        for way in assessment.ways().iter().filter(|way| matches!(way.kind, WayKind::Lower { .. })) {
            seen += 1;
            assert!(!assessment.way_costs(way).contains("digging"), "{}", lines(&answers));
        }
    }
    assert!(seen > 10, "{seen}");
}

/// Whoever signs the agreement reads which height is not agreed and how high it may be, also on a full page.
#[test]
fn the_agreement_says_what_is_not_agreed() {
    let (mut not_agreed, mut highest) = (0, 0);
    for seed in 0..seeds(600) {
        let answers = changed_visit(seed);
        let assessment = assess(&answers);
        let page = agreement(&assessment);
        if assessment.settled.verdict == Verdict::GoAhead
            || assessment.only_rails_missing()
            || planned(&assessment).is_none()
        {
            continue;
        }
        not_agreed += 1;
        let told = ["NOT agreed", "Do NOT put it back"].iter().any(|words| page.contains(words));
        assert!(told, "{page}\n{}", lines(&answers));
        if let Some(lower) = assessment.build_to().lower {
            let below = planned(&assessment).unwrap() + lower;
            highest += 1;
            assert!(page.contains(&below.abs().show(units(&answers))), "{page}\n{}", lines(&answers));
        }
    }
    assert!(not_agreed > 100 && highest > 20, "{not_agreed} {highest}");
}

/// A plan that has a strip is not told to have one, but to give it a drain and enough depth.
#[test]
fn a_strip_that_is_planned_gets_its_outlet() {
    let base = sound("us", "vinyl", Carrier::WoodFrame, "sand_set_pavers", "planned");
    for (joint, planned) in [
        ("joint: strip\nstrip_depth: 6 in\nchannel_outlet: nowhere", true),
        ("joint: strip\nstrip_depth: 1 in\nchannel_outlet: outlet", true),
        ("joint: open_gap", false),
    ] {
        let change = format!(
            "finish_way: down_from_mark\nfinish_below_mark: 7 in\nexit_way: down_from_mark\nexit_below_mark: 9 in\n\
             wood_below_mark: 6 in\nground_below_mark: 10 in\ndrain_channel: no\n{joint}"
        );
        let answers = but(base.clone(), &change);
        let assessment = assess(&answers);
        let way = assessment.ways().into_iter().find(|way| matches!(way.kind, WayKind::HoldOff { .. })).unwrap();
        let takes = assessment.way_takes(&way);
        assert_eq!(takes.starts_with("The strip that is planned"), planned, "{takes}");
        // the exit, 9 in below the threshold, has to stand 1/2 in above the bottom of the strip, whatever the strip was
        assert!(way.figure >= Length::sixty_fourths(160), "{takes}");
        if planned && joint.contains("1 in") {
            assert!(way.figure > Length::inches(2), "{takes}");
        }
    }
}

/// Built work that lacks rails only: its height stays, and the owner's own list keeps people off.
#[test]
fn what_lacks_only_rails_keeps_its_height() {
    for region in ids("region") {
        let base = sound(region, "vinyl", Carrier::WoodFrame, "landing", "built");
        for rails in ["none", "guard_rail", "guard_rail, handrail"] {
            let change =
                format!("outer_edge: above_ground\nouter_edge_height: 1200 mm\nends_drop: 1200 mm\nrails: {rails}");
            let answers = but(base.clone(), &change);
            let assessment = assess(&answers);
            let (crew, home) = (page(&assessment, Sheet::Landscaper), page(&assessment, Sheet::Homeowner));
            assert_eq!(home.contains("Keep people off the surface until a guard"), rails == "none", "{region} {rails}");
            if assessment.only_rails_missing() {
                assert!(!crew.contains("Do NOT put it back"), "{region} {rails}: {crew}");
                assert!(!agreement(&assessment).contains("NOT agreed"), "{region} {rails}");
                assert!(crew.contains("Nothing speaks for changing the height"), "{region} {rails}: {crew}");
            }
        }
    }
    let us = sound("us", "vinyl", Carrier::WoodFrame, "landing", "built");
    let change = "outer_edge: above_ground\nouter_edge_height: 38 in\nends_drop: 38 in\nrails: none";
    let answers = but(us, change);
    assert!(assess(&answers).only_rails_missing());
}

/// A drop with a guard is no drop without one.
#[test]
fn a_guard_that_is_drawn_is_not_missed() {
    let mut seen = 0;
    for region in ids("region") {
        for feature in ["landing", "raised_patio", "sand_set_pavers", "concrete_slab"] {
            for stage in ["planned", "built"] {
                let base = sound(region, "vinyl", Carrier::WoodFrame, feature, stage);
                for (rails, drawn) in [("guard_rail, handrail", true), ("none", false)] {
                    let change = format!(
                        "outer_edge: above_ground\nouter_edge_height: 1200 mm\nends_drop: 1200 mm\nrails: {rails}"
                    );
                    let answers = but(base.clone(), &change);
                    let assessment = assess(&answers);
                    let missed = assessment.limits().into_iter().any(|(limit, clearance)| {
                        ["guard_", "barrier_"].iter().any(|start| limit.id.starts_with(start))
                            && clearance.breaks().is_yes()
                    });
                    seen += usize::from(missed);
                    assert!(!(missed && drawn), "{region} {feature} {stage}");
                }
            }
        }
    }
    assert!(seen > 20, "{seen}");
}

/// A deck brings no stone to the wall.
#[test]
fn no_stone_is_set_under_a_deck() {
    let mut seen = 0;
    for (cladding, carrier) in walls() {
        let base = sound("us", cladding, carrier, "deck", "planned");
        let change =
            "deck_carried: ledger_over\nfinish_below_mark: 4 in\nexit_below_mark: 6 in\nexit_way: down_from_mark";
        let answers = but(base, change);
        let assessment = assess(&answers);
        let crew = page(&assessment, Sheet::Landscaper);
        seen += usize::from(crew.contains("Set no post, joist or board at the house"));
        for wrong in ["Bring the stone in", "set stone until"] {
            assert!(!crew.contains(wrong), "{cladding} {carrier:?}: {crew}");
        }
    }
    assert!(seen > 0);
}

/// Foam that leads no water out has no holes to keep open.
#[test]
fn foam_without_drainage_has_no_holes() {
    let base = sound("germany", "eifs", Carrier::Block, "sand_set_pavers", "planned");
    for (drained, holes) in [("barrier", false), ("drained", true)] {
        let answers = but(base.clone(), &format!("eifs_drained: {drained}"));
        let assessment = assess(&answers);
        let told = assessment.tasks(Some(Sheet::Landscaper)).any(|task| task.id == "screed_clear");
        let edge = assessment.tasks(Some(Sheet::Landscaper)).any(|task| task.id == "foam_edge_clear");
        assert_eq!((told, edge), (holes, !holes), "{drained}");
    }
}

/// What is wrong comes first: where only the fall is, it is among the first things to do, in every country with a figure.
#[test]
fn a_fall_that_is_missing_comes_first() {
    for region in ["us", "uk", "australia"] {
        let base = sound(region, "vinyl", Carrier::WoodFrame, "sand_set_pavers", "planned");
        let answers = but(base, "fall_direction: away\nfall_drop: 0 mm\ndrain_channel: no");
        let assessment = assess(&answers);
        assert_eq!(assessment.settled.verdict, Verdict::ChangePlan, "{region}");
        let first = assessment.first_steps();
        let told = first.iter().any(|step| assessment.step_in_words(step, 500).contains("fall (the slope"));
        let first: Vec<String> = first.iter().map(|step| assessment.step_in_words(step, 500)).collect();
        assert!(told, "{region}: {first:?}");
    }
}
