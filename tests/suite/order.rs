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

/// Answers with others laid over them.
fn laid_over(mut answers: wallfoot::flow::Answers, lines: &str) -> wallfoot::flow::Answers {
    for (number, answer) in crate::support::answers(lines).iter() {
        answers.set(number, answer.clone());
    }
    answers
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
const BEFORE: [(&str, &[&str]); 18] = [
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
    ("dry_out", &["wood_measured", "set_membrane"]),
    // the meter ends the drying, and nothing covers the wood before it
    ("wood_measured", &["repair_wood", "set_membrane", "close_cladding", "coat_scratch", "close_eifs"]),
    ("clean_mould", &["set_membrane"]),
    ("seal_edges", &["close_cladding"]),
    // a built strip: base out before the wall is looked at, and the ground back before its stone
    ("base_out", &["open_siding", "open_coat", "look_at_bare_wall", "backfill"]),
    ("hollow_opened", &["fill_hollow"]),
    ("fill_voids", &["set_flashing"]),
    ("treat_soil", &["backfill", "base", "base_of_steps", "relay_stone", "pour_strip"]),
    ("backfill", &["relay_stone", "relay_mortared", "pour_strip"]),
    ("fill_joints", &["final_hose_test"]),
];

const PLANNED_STONE: &[&str] =
    &["lay_pavers", "pour_slab", "set_slabs", "build_steps", "build_landing", "lay_overlay", "lay_overlay_dry"];

#[test]
fn nothing_is_covered_before_it_was_looked_at() {
    use wallfoot::content::{Verdict, WallWork, Who};
    let mut pairs: Vec<(&str, &str, usize)> =
        BEFORE.iter().flat_map(|(early, late)| late.iter().map(move |late| (*early, *late, 0))).collect();
    // the demo has no termites, mould or hollow
    let more = "signs: soft_sheathing, musty_smell\nmould_seen: yes\nvoid_behind: yes\nvoid_length: 6 ft\nsite_conditions: termites";
    let sizes = ["void_width: 2 in\nvoid_depth: 6 in", "void_width: 9 in\nvoid_depth: 20 in"];
    for id in pairs.iter().flat_map(|(early, late, _)| [early, late]) {
        assert!(CONTENT.activities.iter().any(|row| row.id == *id), "there is no activity {id}");
    }
    let (mut plans, mut opened, mut exterior) = (0, 0, 0);
    let visits = crate::every_sheet::VISITS.iter().map(|(name, answers, _)| (name.clone(), answers.clone()));
    let wet = matrix().into_iter().enumerate().map(|(at, (name, answers))| {
        let lines = format!("{more}\n{}", sizes[at % 2]);
        (format!("{name}, wet"), laid_over(answers, &lines))
    });
    for (name, answers) in matrix().into_iter().chain(wet).chain(visits) {
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

/// What laps over comes later, for every pair of laps.yaml and every wall that can be opened, by the waiting of its own plan.
#[test]
fn what_laps_over_comes_later() {
    let (mut walls, mut pairs) = (std::collections::BTreeSet::new(), std::collections::BTreeSet::new());
    let visits = crate::every_sheet::VISITS.iter().map(|(name, answers, _)| (name.clone(), answers.clone()));
    for (name, answers) in matrix().into_iter().chain(visits) {
        let assessment = CONTENT.assess(&answers, Units::Inch);
        let Some(plan) = assessment.plan() else { continue };
        let setting = |layer: usize| {
            plan.activities.iter().enumerate().filter(move |(_, p)| p.row.sets.contains(&layer)).map(|(at, _)| at)
        };
        for (lap, row) in CONTENT.laps.rows.iter().enumerate() {
            for over in setting(row.over) {
                for under in setting(row.under).filter(|under| *under != over) {
                    assert!(waits_for(&plan, over, under), "{name}: {} over {}", row.over, row.under);
                    pairs.insert(lap);
                }
            }
        }
        // whoever opens a wall sets every layer that belongs to it
        if place(&plan, "set_membrane").is_none() {
            continue;
        }
        let sets = |layer: &str| {
            let at = CONTENT.laps.layers.iter().position(|l| l == layer).unwrap();
            setting(at).next().is_some()
        };
        let cladding = answers.get(CONTENT.flow.question("cladding").unwrap()).cloned();
        let coat = ["stucco", "adhered_stone"].iter().any(|id| {
            let choices = &CONTENT.flow.questions[CONTENT.flow.question("cladding").unwrap()].choices;
            cladding == choices.iter().position(|c| c.id == *id).map(wallfoot::flow::Answer::Choice)
        });
        assert!(["sheathing", "membrane", "flashing", "barrier"].iter().all(|layer| sets(layer)), "{name}");
        // IBC 2512.1.2, as quoted: a weep screed on stud walls, the barrier laps its flange, the lath ends on it
        assert_eq!(["screed", "lath", "coat"].map(&sets), [coat; 3], "{name}");
        assert_eq!(sets("cladding"), !coat, "{name}");
        walls.insert(format!("{cladding:?}"));
    }
    assert!(walls.len() >= 8, "{walls:?}");
    // thin stone alone comes straight on the scratch coat, and steps that fill nothing back have no fill below their stone
    assert!(pairs.len() >= CONTENT.laps.rows.len() - 2, "{} of {}", pairs.len(), CONTENT.laps.rows.len());
}

/// An order that would make a reverse lap is refused, in the plan, on the checklist and among the tasks at the joint.
#[test]
fn a_reverse_lap_is_refused() {
    use crate::mutations::with_change;
    let refused = |file: &str, from: &str, to: &str, message: &str| {
        let report = with_change(file, |text| text.replacen(from, to, 1)).unwrap_err();
        assert!(report.contains(message), "{file}: {report}");
    };
    // the barrier before the weep screed, as it stood before this rule
    refused(
        "work.yaml",
        "after: [set_flashing, set_screed]",
        "after: [set_flashing]",
        "the activity `lap_barrier` sets `barrier`, which laps over `screed`, but does not come after `set_screed`",
    );
    // a chain that breaks far from the pair
    refused(
        "work.yaml",
        "after: [photograph_layers]",
        "after: [wood_measured]",
        "sets `cladding`, which laps over `barrier`, but does not come after `lap_barrier`",
    );
    // an activity between them that drops what comes before it where it is not called for
    refused(
        "work.yaml",
        "    sets: [barrier]\n",
        "    hands_on: false\n    sets: [barrier]\n",
        "sets `cladding`, which laps over `flashing`, but does not come after `set_flashing`",
    );
    // two layers in one activity, the wrong way round
    refused("work.yaml", "sets: [lath, coat]", "sets: [coat, lath]", "sets `coat`, which laps over `lath`");
    // the checklist and the joint go by their own order
    refused("advice/tasks.yaml", "sets: [membrane]", "sets: [flashing]", "the task `membrane` sets `flashing`");
    refused(
        "advice/joint.yaml",
        "sets: [screed]",
        "sets: [cladding]",
        "the task at the joint `set_screed` sets `cladding`",
    );
    refused("work.yaml", "sets: [screed]", "sets: [scred]", "no lap names the layer `scred`");
    refused(
        "laps.yaml",
        "over: membrane\n    under: sheathing",
        "over: sheathing\n    under: sheathing",
        "cannot lap over itself",
    );
}

/// A pair that no activity is held to is a gap.
#[test]
fn a_layer_that_nobody_sets_is_told() {
    let content = crate::mutations::with_change("work.yaml", |text| text.replace("    sets: [screed]\n", "")).unwrap();
    let gaps = wallfoot::prove::gaps(&content);
    assert!(!gaps.is_empty());
    assert!(wallfoot::prove::gaps(&CONTENT).is_empty());
}

/// Who has buried lines marked is said once and the same everywhere: whoever digs.
#[test]
fn one_owner_has_the_lines_marked() {
    use wallfoot::content::Who;
    let activity = CONTENT.activities.iter().find(|row| row.id == "utilities_marked").unwrap();
    let joint = CONTENT.joint_tasks.iter().find(|row| row.id == "utilities_marked").unwrap();
    let task = CONTENT.tasks.iter().find(|row| row.id == "services_marked").unwrap();
    assert_eq!((activity.who, joint.usual, task.who), (Who::Hardscape, Who::Hardscape, Who::Hardscape));
    assert!(joint.from.is_none());
    // call-before-you-dig laws put it on whoever digs (811; reported by pages on the laws of the states)
    let call = |id: &str| CONTENT.calls.iter().find(|row| row.id == id).unwrap();
    let caution = |id: &str| CONTENT.cautions.iter().find(|row| row.id == id).unwrap();
    let ask = CONTENT.asks.iter().find(|row| row.id == "services_marked").unwrap();
    for id in ["marking_us", "marking_elsewhere"] {
        assert!(call(id).because.contains("Whoever digs"), "{id}");
        assert!(caution(id).say.starts_with("Whoever digs"), "{id}");
    }
    assert!(
        task.todo.contains("Whoever digs") && activity.what.contains("whoever digs") && joint.what.contains("who digs")
    );
    assert!(ask.ask.starts_with("You dig"));
    // and nobody else is named: every other row that speaks of the marks only waits for them
    for row in &CONTENT.activities {
        assert!(row.id == activity.id || !row.what.contains("marked"), "{}", row.id);
    }
}

/// Wood is closed in by the meter: at most 18 % (Indoor airPLUS technical guidance 1.13, "lumber should not exceed 18 %";
/// the Building America guide on materials with high moisture content says the same), and 7 to 14 days are the default.
#[test]
fn the_meter_ends_the_drying() {
    let row = |id: &str| CONTENT.activities.iter().find(|row| row.id == id).unwrap();
    assert!((7..=14).contains(&row("dry_out").cure_days));
    let meter = row("wood_measured");
    assert!(meter.hold && meter.what.contains("18 %"));
    let task = CONTENT.tasks.iter().find(|row| row.id == "let_it_dry").unwrap();
    assert!(task.hold && task.todo.contains("18 %"));
}
