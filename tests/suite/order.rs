//! The order of work, for every kind of work against every kind of wall.

use crate::days::record;
use crate::plan::{demo, plan_of};
use crate::support::{CONTENT, WEEK, scenario, top};
use wallfoot::judge::Job;
use wallfoot::units::{Length, Units};
use wallfoot::work::{Calendar, Need};

/// The demo with other answers laid over it; several settings of each thing.
fn matrix() -> Vec<(String, wallfoot::flow::Answers)> {
    let choices = |id: &str| {
        let question = CONTENT.flow.question(id).unwrap();
        (question, CONTENT.flow.questions[question].choices.len())
    };
    let ((feature, features), (cladding, claddings), (stage, stages)) =
        (choices("feature"), choices("cladding"), choices("stage"));
    let (_, demo, _) = crate::support::visit(&top().join("questions/demo/back-patio.yaml"));
    let finish = CONTENT.flow.question("finish_below_mark").unwrap();
    let (removable, bed) = (choices("removable"), choices("overlay_bed"));
    let mut list = Vec::new();
    for f in 0..features {
        for c in 0..claddings {
            for s in 0..stages {
                for (name, below, laid) in [("covered", 4, 0), ("covered, laid dry", 4, bed.1 - 1), ("clear", 40, 0)] {
                    let mut answers = demo.clone();
                    let more = [(removable.0, f % removable.1), (bed.0, laid)];
                    for (question, choice) in [(feature, f), (cladding, c), (stage, s)].into_iter().chain(more) {
                        answers.set(question, wallfoot::flow::Answer::Choice(choice));
                    }
                    answers.set(finish, wallfoot::flow::Answer::Length(Length::inches(below)));
                    list.push((format!("feature {f}, cladding {c}, stage {s}, {name}"), answers));
                }
            }
        }
    }
    list
}

/// The place of an activity in the order of work.
fn place(plan: &wallfoot::judge::Plan<'_>, id: &str) -> Option<usize> {
    plan.activities.iter().position(|p| p.row.id == id)
}

/// Whether one activity waits for another, through whatever lies between.
fn waits_for(plan: &wallfoot::judge::Plan<'_>, late: usize, early: usize) -> bool {
    plan.activities[late].after.iter().any(|p| *p == early || waits_for(plan, *p, early))
}

/// What has to be done before what, wherever a plan has both.
const BEFORE: [(&str, &[&str]); 10] = [
    // marks and the agreed height before any digging
    ("utilities_marked", &["excavate", "dig_strip", "lift_stone", "break_out_strip", "footing_of_piece"]),
    ("height_agreed", &["excavate", "dig_strip", "lift_stone", "break_out_strip", "footing_of_piece"]),
    // a look before anything is covered
    ("exterior_looks", &["close_cladding", "coat_scratch", "close_eifs"]),
    ("inspect_wood", &["close_cladding", "coat_scratch", "close_eifs"]),
    // the test, and whoever has to come first, before stone
    ("hose_before_stone", PLANNED_STONE),
    ("hose_before_stone", &["relay_stone", "relay_mortared", "pour_strip"]),
    ("exterior_first", PLANNED_STONE),
    // the base before it is covered
    ("base_checked", &["bedding", "pour_slab", "set_slabs", "build_steps", "build_landing"]),
    ("dry_out", &["set_membrane"]),
    ("fill_joints", &["final_hose_test"]),
];

const PLANNED_STONE: &[&str] =
    &["lay_pavers", "pour_slab", "set_slabs", "build_steps", "build_landing", "lay_overlay", "lay_overlay_dry"];

#[test]
fn nothing_is_covered_before_it_was_looked_at() {
    use wallfoot::content::{Verdict, WallWork, Who};
    let mut pairs: Vec<(&str, &str, usize)> =
        BEFORE.iter().flat_map(|(early, late)| late.iter().map(move |late| (*early, *late, 0))).collect();
    for id in pairs.iter().flat_map(|(early, late, _)| [early, late]) {
        assert!(CONTENT.activities.iter().any(|row| row.id == *id), "there is no activity {id}");
    }
    let (mut plans, mut opened, mut exterior) = (0, 0, 0);
    let visits = crate::every_sheet::VISITS.iter().map(|(name, answers, _)| (name.clone(), answers.clone()));
    for (name, answers) in matrix().into_iter().chain(visits) {
        let assessment = CONTENT.assess(&answers, Units::Inch);
        let Some(plan) = assessment.plan() else { continue };
        plans += 1;
        for (early, late, met) in &mut pairs {
            if let (Some(e), Some(l)) = (place(&plan, early), place(&plan, late)) {
                assert!(waits_for(&plan, l, e), "{name}: {late} does not wait for {early}");
                *met += 1;
            }
        }
        // where an exterior trade comes first, it is in the order, with a stop, before any stone
        if assessment.settled.verdict == Verdict::ExteriorTradeFirst {
            let stops = |p: &wallfoot::judge::Planned<'_>| p.row.who == Who::Exterior && p.row.hold;
            assert!(plan.activities.iter().any(stops), "{name}: no exterior trade");
            assert!(place(&plan, "excavate").is_none_or(|dig| plan.activities[..dig].iter().any(stops)), "{name}");
            exterior += 1;
        }
        // a wall that is opened is closed again, once
        let walls = |what| plan.activities.iter().filter(|p| p.row.wall == Some(what)).count();
        assert_eq!(walls(WallWork::Opens), walls(WallWork::Closes), "{name}");
        assert!(walls(WallWork::Opens) <= 1, "{name}");
        opened += walls(WallWork::Opens);
        // the schedule is what one crew can do: it is as long as fair days take
        let job = Job::one(&assessment);
        let (mut tasks, order) = job.tasks_for_days(&plan);
        for task in &mut tasks {
            task.need = Need::default();
            task.one_go = false;
            task.cure_days = 0;
            task.office_days = 0;
        }
        let fair = record(&"d".repeat(200));
        let booked = Calendar::new(&fair, &[], &WEEK, 8).book(&tasks, &order, 0, 100).unwrap();
        assert!(i64::try_from(booked.last().unwrap()).unwrap() < plan.days(), "{name}");
    }
    let never: Vec<_> = pairs.iter().filter(|(_, _, met)| *met == 0).collect();
    assert!(never.is_empty(), "no plan has both: {never:?}");
    assert!(opened > 20 && exterior > 20 && plans > 100, "{opened} opened, {exterior} exterior, {plans} plans");
}

/// No figure stands there that nothing is counted with.
#[test]
fn every_figure_is_used() {
    use wallfoot::content::Input;
    use wallfoot::names::{FigureId, Named};
    for (number, figure) in CONTENT.plan_figures.iter().enumerate() {
        let used =
            CONTENT.quantities.iter().any(|q| q.waste == Some(number) || q.inputs.contains(&Input::Figure(number)));
        assert!(used || FigureId::of(&figure.id).is_some(), "{} is used by nothing", figure.id);
    }
}

/// What is not known comes first, and stops everything else.
#[test]
fn what_is_open_is_found_out_first() {
    let answers = scenario("eifs-raised-patio-unknown-exit");
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let plan = assessment.plan().unwrap();
    let first = place(&plan, "find_out").unwrap();
    assert!(plan.activities[first].row.hold);
    for late in ["excavate", "utilities_marked"] {
        assert!(waits_for(&plan, place(&plan, late).unwrap(), first), "{late}");
    }
    assert!(plan.open_ended());
    // what looks cheap because nobody has looked yet says so
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), demo()).unwrap();
    let args = ["compare", "v.yaml", "--set", "cladding=brick_veneer; veneer_weeps=seen"];
    let page = String::from_utf8(crate::support::run(folder.path(), &args).stdout).unwrap();
    let days = page.lines().find(|l| l.contains("Working days")).unwrap();
    assert!(days.trim_end().ends_with('+'), "{days}");
    // without planned or built there is no order
    let visit = demo().replace("  stage: planned\n", "");
    assert!(visit.len() < demo().len());
    assert!(plan_of(&visit, &[]).out.contains("Answer first whether"));
}
