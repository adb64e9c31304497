//! The table of visits: what is right for each, written by hand with its reason before the first run, and beside it what
//! follows from each visit today.
//!
//! `tests/visits/table/limits.yaml` has every limit that carries a verdict on each side of its figure and on it,
//! `findings.yaml` every finding that carries a verdict, and jobs as they are done well. Where the program says something
//! else, the row says so (`today`, `lacks`), so that the list of what is to be mended is exact.

use crate::page::short;
use crate::sound::{assess, units};
use crate::support::{CONTENT, top};
use crate::table_rows::{
    edge_rows, edge_visits, figure_faults, figure_rows, limit_rows, name, number, short_by, stands, state, status,
    three, verdict, visit, visit_rows,
};
use std::collections::BTreeSet;
use std::fmt::Write;
use wallfoot::content::{Sheet, Verdict};
use wallfoot::flow::{Answer, Answers, Truth};
use wallfoot::judge::{Assessment, Given, Settled};
use wallfoot::units::Length;

/// The heights of the finish at which the verdict turns, from high to low.
fn turns(answers: &Answers) -> String {
    let units = units(answers);
    let at = number("finish_below_mark");
    if CONTENT.flow.state(answers).shown[at] != Truth::Yes {
        return String::new();
    }
    let outcomes = CONTENT.outcomes(answers, at);
    let parts: Vec<String> = outcomes
        .iter()
        .map(|outcome| match outcome.given {
            Given::Range(from, _) => {
                format!("{} from {}", outcome.verdict.word(), Length::from_steps(from).show(units))
            }
            Given::Answers(_) => outcome.verdict.word().to_owned(),
        })
        .collect();
    parts.join("; ")
}

/// Findings that hold for certain, and limits that are missed for certain.
fn certain(assessment: &Assessment<'_>) -> BTreeSet<String> {
    let findings = CONTENT.findings.iter().zip(&assessment.findings).filter(|(_, t)| t.is_yes());
    let limits = CONTENT.limits.iter().zip(&assessment.clearances).filter(|(_, c)| c.breaks() == Truth::Yes);
    findings.map(|(f, _)| f.id.to_string()).chain(limits.map(|(l, _)| l.id.to_string())).collect()
}

/// Every limit that carries a verdict: met on its inside, missed on its outside, and on it as the row says.
#[test]
fn limits_on_each_side_and_on_the_figure() {
    let mut wrong = String::new();
    for row in limit_rows() {
        assert!(row.because.len() > 20, "{}", row.limit);
        for side in three(&row) {
            let assessment = assess(&side.answers);
            let said = assessment.settled.verdict;
            let status = status(&assessment, &row.limit);
            // `on` writes the figure a second time: a figure that is mistyped in the one place or the other is seen
            if side.place == "on" && short_by(&assessment, &row.limit) != Some(0) {
                let _ = writeln!(wrong, "{}: {} is not its figure", row.limit, side.value);
            }
            if said != side.today || status != side.status {
                let why: Vec<String> = certain(&assessment).into_iter().collect();
                let _ = writeln!(
                    wrong,
                    "{} {} {}: {} and {:?} expected (right: {}), {} and {status:?} said: {why:?}",
                    row.limit,
                    side.place,
                    side.value,
                    side.today.word(),
                    side.status,
                    side.right.word(),
                    said.word()
                );
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// Every visit of the table: the verdict that is right, and what it rests on.
#[test]
fn visits_have_the_verdict_that_is_right() {
    let mut wrong = String::new();
    for row in visit_rows() {
        let answers = visit(&row);
        let assessment = assess(&answers);
        let today = verdict(row.today.as_ref().unwrap_or(&row.expect));
        assert_ne!(row.today.as_ref(), Some(&row.expect), "{}", row.of);
        assert!(row.because.len() > 20, "{}", row.of);
        let certain = certain(&assessment);
        let missing: Vec<&String> = row.holds.iter().chain(&row.fails).filter(|id| !certain.contains(*id)).collect();
        let lacks: Vec<&String> = row.lacks.iter().collect();
        if assessment.settled.verdict != today || missing != lacks {
            let rules = rules(&assessment).into_iter().filter(|(_, truth, _)| *truth == Truth::Unknown);
            let possible: Vec<String> = rules.map(|(id, ..)| id).collect();
            let _ = writeln!(
                wrong,
                "{}: {} expected, {} said; missing {missing:?}, certain {certain:?}, possible {possible:?}",
                name(&row.of, &row.change),
                today.word(),
                assessment.settled.verdict.word()
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// On each side of the edges of rules, and where rows are told or not: every rule stands as it should.
#[test]
fn rules_stand_as_they_should_on_their_edges() {
    let mut wrong = String::new();
    for row in edge_rows() {
        assert!(row.because.len() > 20, "{}", name(&row.of, &row.change));
        for visit in edge_visits(&row) {
            let assessment = assess(&visit.answers);
            for (rule, right) in &visit.stands {
                if !stands(&assessment, rule, right) {
                    let said = state(&assessment, rule).unwrap_or("not there");
                    let _ = writeln!(wrong, "{rule}: {right} expected, {said} said in {}", visit.name);
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// Figures of the content that no limit holds: the same as in their source, typed a second time.
#[test]
fn figures_are_those_of_their_sources() {
    let rows = figure_rows();
    let files = wallfoot::commands::sources(None, None).expect("the built-in files are there");
    let (faults, found) = figure_faults(&rows, &files);
    assert!(faults.is_empty(), "{faults:#?}");
    assert_eq!(found, rows.len(), "each row is there once");
    assert!(rows.iter().all(|row| row.because.len() > 5));
}

/// All visits of the table.
fn all() -> Vec<(String, Answers)> {
    let limits = limit_rows().into_iter().flat_map(|row| {
        let said = |value: &str| format!("{}, {} {value}", name(&row.of, &row.change), row.moves);
        three(&row).into_iter().map(|side| (said(&side.value), side.answers)).collect::<Vec<_>>()
    });
    limits.chain(visit_rows().iter().map(|row| (name(&row.of, &row.change), visit(row)))).collect()
}

/// At least 150 visits; every country, cladding and feature, both stages.
#[test]
fn the_table_is_wide() {
    let all = all();
    assert!(all.len() >= 150, "{}", all.len());
    for question in ["region", "cladding", "feature", "stage"] {
        let at = number(question);
        for (choice, row) in CONTENT.flow.questions[at].choices.iter().enumerate() {
            let there = all.iter().any(|(_, answers)| answers.get(at) == Some(&Answer::Choice(choice)));
            assert!(there, "{question} {}", row.id);
        }
    }
}

/// Rules with a verdict of which no visit of the table says that they hold, each with its reason.
const NOT_SHOWN: &[(&str, &str)] = &[
    ("coat_buried", "no cladding of the built-in rows: for rows of one's own; held by mutations.rs"),
    ("foam_buried", "no cladding of the built-in rows: for rows of one's own; held by mutations.rs"),
    ("trace_untold", "a guard of the program, held by mutations.rs"),
    ("region_without_limits", "a guard of the program, held by mutations.rs"),
    ("cladding_without_rules", "a guard of the program, held by mutations.rs"),
];

/// Rules that never decide alone in the table: another rule of the same verdict holds wherever they do.
const NEVER_ALONE: &[(&str, &str)] = &[
    ("aluminium_on_mortar", COVERED),
    ("basement_wet_after_rain", COVERED),
    ("foam_termites", COVERED),
    ("overlay_against_cladding", COVERED),
    ("sealed_over_exit", COVERED),
    ("signs_and_buried", COVERED),
    ("stay_below_not_true", COVERED),
    ("termites_hidden", COVERED),
    ("channel_size_unknown", UNKNOWN),
    ("channel_outlet_unknown", UNKNOWN),
    ("cladding_other_au", UNKNOWN),
    ("levels_vary_close", UNKNOWN),
    ("strip_not_known", UNKNOWN),
    (
        "finish_below_ground",
        "certain only with the outer edge, and where that is a trap outer_edge_trapped says the same",
    ),
    ("gas_vent_buried_planned", "a limit on the vent is missed there too, or its figure has to be asked for"),
    ("gas_vent_low_planned", "gas_vent_near_elsewhere asks for the figure there, and elsewhere a limit is missed"),
    ("slab_rise_uk", "a rise above 220 mm breaks the pitch or the pace of the same table with any going"),
    ("step_rise_uk", "a rise above 220 mm breaks the pitch or the pace of the same table with any going"),
    ("door_nearly_level", "a pan that nobody has seen counts as none, and no_sill_pan says so up to a higher step"),
    ("bedroom_well_blocked", "window_well_covered asks for the same change, and this says that it endangers people"),
    ("window_well_near", UNKNOWN),
    ("steps_not_measured_ca", UNKNOWN),
    ("deck_may_fall", "floor_soft and soft_structure have the same verdict; this says who has to stay off"),
    ("gas_vent_buried_built", "gas_vent_low_built holds there too, so that lower is never milder"),
    ("ledger_not_known", UNKNOWN),
    ("ledger_not_covered", "on masonry and logs an engineer is asked first what carries the ledger, covered or not"),
    ("permeable_not_known", UNKNOWN),
    ("porch_not_known", UNKNOWN),
    ("stairwell_drawing_unknown", UNKNOWN),
    ("tub_not_known", UNKNOWN),
    ("stairwell_no_drain", "a surface below the ground without a drain is a hollow, and finish_below_ground says so"),
    ("ramp_slope_us", "a ramp steeper than 1 in 8 is too steep in every country, and ramp_too_steep says so"),
    ("exit_behind_soil", UNKNOWN),
    ("exit_not_found", UNKNOWN),
    ("screed_not_known", UNKNOWN),
    ("slab_other_au", UNKNOWN),
    ("veneer_weeps_not_known", UNKNOWN),
    ("repair_keeps_wood_low", "holds only where the wall has to be opened, and that comes first"),
    ("screed_without_room", "holds only where the wall has to be opened, and that comes first"),
    ("path_into_hollow", "water runs into a hollow only where there is one, and void_behind_stone says the same"),
    ("void_behind_stone", "water runs into the hollow, and path_into_hollow says the same"),
    ("soft_panels", "soft_wall holds there too; this one says it as a danger, and that an engineer comes first"),
    ("top_landing_left_out", "with more than two risers landing_depth_us asks for the same landing"),
];

/// Why a rule does not decide alone.
const COVERED: &str = "holds only where the exit is covered, and that has a finding of its own";
/// The same for what is not known.
const UNKNOWN: &str = "what is not known leaves other rules open too, and that alone is something to find out";

/// Every rule with a verdict, by its id: its truth and its verdict.
fn rules(assessment: &Assessment<'_>) -> Vec<(String, Truth, Verdict)> {
    let findings = CONTENT.findings.iter().zip(&assessment.findings);
    let findings = findings.filter_map(|(f, t)| Some((f.id.to_string(), *t, f.verdict?)));
    let limits = CONTENT.limits.iter().zip(&assessment.clearances);
    findings.chain(limits.filter_map(|(l, c)| Some((l.id.to_string(), c.breaks(), l.verdict?)))).collect()
}

/// Every finding and every limit with a verdict is named by a row in which it holds or is missed; and taken away, it
/// would change the verdict of one. So none can be deleted or broken without a row that sees it.
#[test]
fn every_rule_with_a_verdict_is_seen() {
    let mut named: BTreeSet<String> = limit_rows().into_iter().map(|row| row.limit).collect();
    for row in visit_rows() {
        named.extend(row.holds.into_iter().chain(row.fails).filter(|id| !row.lacks.contains(id)));
    }
    let mut alone: BTreeSet<String> = BTreeSet::new();
    let mut all_rules = BTreeSet::new();
    for (_, answers) in all() {
        let assessment = assess(&answers);
        let rules = rules(&assessment);
        let verdict = |without: Option<usize>| {
            let left = rules.iter().enumerate().filter(|(i, _)| Some(*i) != without);
            Settled::of(left.map(|(_, (_, truth, verdict))| (*truth, *verdict))).verdict
        };
        let said = verdict(None);
        for (at, (id, truth, _)) in rules.iter().enumerate() {
            all_rules.insert(id.clone());
            if *truth == Truth::Yes && verdict(Some(at)) != said {
                alone.insert(id.clone());
            }
        }
    }
    let listed = |list: &[(&str, &str)]| list.iter().map(|(id, _)| (*id).to_owned()).collect::<BTreeSet<_>>();
    let not_named: BTreeSet<String> = all_rules.difference(&named).cloned().collect();
    assert_eq!(not_named, listed(NOT_SHOWN), "not named by any row");
    let never: BTreeSet<String> = all_rules.difference(&alone).filter(|id| !not_named.contains(*id)).cloned().collect();
    assert_eq!(never, listed(NEVER_ALONE), "decides no row");
}

/// What follows from each visit of the table, on a few lines: verdict, findings, limits with what is short, where water
/// ends, trades, hold points, and where the verdict turns when the finish moves.
#[test]
fn the_record_of_the_table() {
    let mut record = String::from("What is said of the visits of the table. A changed line has to be looked at.\n");
    for row in limit_rows() {
        let _ = writeln!(record, "\n{}: {}, {} moves", row.limit, name(&row.of, &row.change), row.moves);
        for side in three(&row) {
            let (value, assessment) = (&side.value, assess(&side.answers));
            let at = CONTENT.limits.iter().position(|l| l.id == row.limit).expect("the limit");
            let short = assessment.clearances[at].short_by.map(|n| assessment.show(CONTENT.limits[at].measure, n));
            let others: Vec<String> = rules(&assessment)
                .into_iter()
                .filter(|(id, truth, _)| truth.is_possible() && *id != row.limit)
                .map(|(id, truth, _)| format!("{id}{}", if truth.is_yes() { "" } else { "?" }))
                .collect();
            let _ = writeln!(
                record,
                "  {value}: {}; {}{:?}{}",
                assessment.settled.verdict.word(),
                short.map_or_else(String::new, |s| format!("short by {s}; ")),
                assessment.clearances[at].status,
                if others.is_empty() { String::new() } else { format!("; {}", others.join(", ")) }
            );
        }
    }
    for row in visit_rows() {
        let answers = visit(&row);
        let assessment = assess(&answers);
        record.push('\n');
        record.push_str(&short(&name(&row.of, &row.change), &assessment));
        let holds: Vec<&str> = assessment.tasks(None).filter(|t| t.hold).map(|t| t.id.as_str()).collect();
        let crew: Vec<&str> =
            assessment.tasks(Some(Sheet::Landscaper)).filter(|t| !t.hold).map(|t| t.id.as_str()).collect();
        for (label, words) in
            [("hold points", holds.join(", ")), ("crew", crew.join(", ")), ("finish", turns(&answers))]
        {
            if !words.is_empty() {
                let options = textwrap::Options::new(118).initial_indent("  ").subsequent_indent("               ");
                let _ = writeln!(record, "{}", textwrap::fill(&format!("{label:<12} {words}"), options));
            }
        }
    }
    insta::with_settings!({
        snapshot_path => top().join("tests/visits/table"), prepend_module_to_snapshot => false, omit_expression => true
    }, {
        insta::assert_snapshot!("record", record);
    });
}
