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
    let removable = choices("removable");
    let mut list = Vec::new();
    for f in 0..features {
        for c in 0..claddings {
            for s in 0..stages {
                for (name, below) in [("covered", 4), ("clear", 40)] {
                    let mut answers = demo.clone();
                    for (question, choice) in [(feature, f), (cladding, c), (stage, s), (removable.0, f % removable.1)]
                    {
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

#[test]
fn nothing_is_covered_before_it_was_looked_at() {
    use wallfoot::content::{Verdict, WallWork, Who};
    let mut opened = 0;
    for (name, answers) in matrix() {
        let assessment = CONTENT.assess(&answers, Units::Inch);
        let Some(plan) = assessment.plan() else { continue };
        let before = |early: &str, late: &str| {
            if let (Some(e), Some(l)) = (place(&plan, early), place(&plan, late)) {
                assert!(waits_for(&plan, l, e), "{name}: {late} does not wait for {early}");
            }
        };
        // marks before any digging; a look before anything is covered; the test before stone; height before concrete
        for dig in ["excavate", "dig_strip", "lift_stone", "break_out_strip", "footing_of_piece"] {
            before("utilities_marked", dig);
            before("height_agreed", dig);
        }
        for close in ["close_cladding", "coat_scratch", "close_eifs"] {
            before("exterior_looks", close);
            before("inspect_wood", close);
        }
        for stone in ["lay_pavers", "pour_slab", "set_slabs", "build_steps", "build_landing", "lay_overlay"] {
            before("hose_before_stone", stone);
            before("exterior_first", stone);
        }
        for cover in ["bedding", "pour_slab", "set_slabs", "build_steps", "build_landing"] {
            before("base_checked", cover);
        }
        before("dry_out", "set_membrane");
        before("fill_joints", "final_hose_test");
        // where an exterior trade comes first, it is in the order, with a stop, before any stone
        if assessment.settled.verdict == Verdict::ExteriorTradeFirst {
            let stops = |p: &wallfoot::judge::Planned<'_>| p.row.who == Who::Exterior && p.row.hold;
            assert!(plan.activities.iter().any(stops), "{name}: no exterior trade");
            assert!(place(&plan, "excavate").is_none_or(|dig| plan.activities[..dig].iter().any(stops)), "{name}");
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
    assert!(opened > 20, "{opened}");
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
