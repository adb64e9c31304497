//! The table of visits: what is right for each, written by hand with its reason before the first run, and beside it what
//! follows from each visit today.
//!
//! `tests/visits/table/limits.yaml` has every limit that carries a verdict on each side of its figure and on it,
//! `findings.yaml` every finding that carries a verdict, and jobs as they are done well. Where the program says something
//! else, the row says so (`today`, `lacks`), so that the list of what is to be mended is exact.

use crate::page::short;
use crate::sound::{Heights, assess, fill, sound_with, units};
use crate::support::{CONTENT, top};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use wallfoot::content::{Sheet, Verdict};
use wallfoot::flow::{Answer, Answers, Truth};
use wallfoot::judge::{Assessment, Given, Settled};
use wallfoot::names::{Carrier, Named};
use wallfoot::units::{Length, Units};
use wallfoot::wall::Status;

#[derive(Deserialize)]
struct LimitFile {
    limits: Vec<LimitRow>,
}

/// A limit on each side of its figure and on it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitRow {
    limit: String,
    of: String,
    #[serde(default)]
    change: BTreeMap<String, String>,
    moves: String,
    inside: String,
    on: String,
    outside: String,
    because: String,
}

#[derive(Deserialize)]
struct VisitFile {
    visits: Vec<VisitRow>,
}

/// A visit, and what is right for it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct VisitRow {
    of: String,
    #[serde(default)]
    change: BTreeMap<String, String>,
    expect: String,
    because: String,
    #[serde(default)]
    holds: Vec<String>,
    #[serde(default)]
    fails: Vec<String>,
    #[serde(default)]
    today: Option<String>,
    #[serde(default)]
    lacks: Vec<String>,
}

fn read<T: for<'a> Deserialize<'a>>(file: &str) -> T {
    let path = top().join("tests/visits/table").join(file);
    let text = std::fs::read_to_string(&path).expect("the table is there");
    serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn limit_rows() -> Vec<LimitRow> {
    read::<LimitFile>("limits.yaml").limits
}

fn visit_rows() -> Vec<VisitRow> {
    read::<VisitFile>("findings.yaml").visits
}

/// The verdict by its text on the sheets.
fn verdict(text: &str) -> Verdict {
    let all = [Verdict::GoAhead, Verdict::ChangePlan, Verdict::FindOutFirst, Verdict::ExteriorTradeFirst];
    let found = all.into_iter().find(|v| CONTENT.word(&format!("verdict.{}", v.word())) == text.trim());
    found.unwrap_or_else(|| panic!("no verdict {text}"))
}

/// The sound visit of `region cladding/carrier feature stage`.
fn base(of: &str) -> Answers {
    let words: Vec<&str> = of.split_whitespace().collect();
    let [region, wall, feature, stage] = words[..] else { panic!("{of}: region cladding/carrier feature stage") };
    let (cladding, carrier) = wall.split_once('/').unwrap_or_else(|| panic!("{of}: cladding/carrier"));
    let carrier =
        Carrier::ALL.iter().copied().find(|c| c.text() == carrier).unwrap_or_else(|| panic!("{of}: {carrier}"));
    sound_with(Heights::Roomy, region, cladding, carrier, feature, stage)
}

fn number(id: &str) -> usize {
    CONTENT.flow.question(id).unwrap_or_else(|| panic!("no question {id}"))
}

fn set(answers: &mut Answers, id: &str, text: &str, units: Units) {
    let at = number(id);
    let answer = CONTENT.flow.questions[at].read_answer(text, units);
    answers.set(at, answer.unwrap_or_else(|e| panic!("{id}: {text}: {e}")));
}

/// The answers with these changes. `exit` and `wood` are heights above the finish, `finish` one below the mark; what is asked
/// then and was not before gets its sound answer, and what is changed has to be asked.
fn changed(of: &str, change: &BTreeMap<String, String>) -> Answers {
    let mut answers = base(of);
    let units = units(&answers);
    // what is asked may hang on another change: as often as there are changes
    for _ in 0..=change.len() {
        let heights = ["finish", "exit", "wood"];
        let plain = change.iter().filter(|(id, _)| !heights.contains(&id.as_str()));
        plain.for_each(|(id, text)| set(&mut answers, id, text, units));
        for level in heights {
            let Some(text) = change.get(level) else { continue };
            let up = Length::parse(text, units).unwrap_or_else(|e| panic!("{level}: {text}: {e}"));
            let below = if level == "finish" { up } else { finish(&answers) - up };
            answers.set(number(&format!("{level}_below_mark")), Answer::Length(below));
            // cladding that ends above the wood is a fault of its own
            if level == "wood" && !change.contains_key("exit") {
                answers.set(number("exit_below_mark"), Answer::Length(below));
            }
        }
        fill(&mut answers);
    }
    let shown = CONTENT.flow.state(&answers).shown;
    for id in change.keys() {
        let id = if CONTENT.flow.question(id).is_some() { id.clone() } else { format!("{id}_below_mark") };
        assert_eq!(shown[number(&id)], Truth::Yes, "{of}: {id} is not asked");
    }
    answers
}

/// How far the finish lies below the mark.
fn finish(answers: &Answers) -> Length {
    let length = |id: &str| match answers.get(number(id)) {
        Some(Answer::Length(length)) => Some(*length),
        _ => None,
    };
    let built_up = || Some(length("old_surface_below_mark")? - length("build_up")?);
    length("finish_below_mark").or_else(built_up).expect("the height of the finish")
}

/// The three visits of a limit: where, the value, what is right and what is said today.
fn three(row: &LimitRow) -> Vec<(&'static str, String, Answers, Verdict, Verdict)> {
    [("inside", &row.inside), ("on", &row.on), ("outside", &row.outside)]
        .into_iter()
        .map(|(place, text)| {
            let (value, said) = text.split_once(" = ").unwrap_or_else(|| panic!("{}: {text}", row.limit));
            let (right, today) = match said.split_once(" (today ") {
                Some((right, today)) => (right, today.trim_end_matches(')')),
                None => (said, said),
            };
            let mut change = row.change.clone();
            change.insert(row.moves.clone(), value.to_owned());
            (place, value.to_owned(), changed(&row.of, &change), verdict(right), verdict(today))
        })
        .collect()
}

/// The visit of a row.
fn visit(row: &VisitRow) -> Answers {
    changed(&row.of, &row.change)
}

fn name(of: &str, change: &BTreeMap<String, String>) -> String {
    change.iter().fold(of.to_owned(), |mut name, (id, value)| {
        let _ = write!(name, ", {id} {value}");
        name
    })
}

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
    findings.map(|(f, _)| f.id.clone()).chain(limits.map(|(l, _)| l.id.clone())).collect()
}

/// How a limit stands.
fn status(assessment: &Assessment<'_>, limit: &str) -> Status {
    let at = CONTENT.limits.iter().position(|l| l.id == limit).unwrap_or_else(|| panic!("no limit {limit}"));
    if assessment.clearances[at].applies == Truth::Yes { assessment.clearances[at].status } else { Status::Off }
}

/// What is measured at one end at least, so that a tape cannot tell it from its bound.
const MEASURED: [&str; 5] =
    ["exit", "wood", "other_door_below_mark", "gas_vent_above_surface", "gas_meter_above_surface"];

/// Every limit that carries a verdict: met on its inside, missed on its outside, and on it as the row says.
#[test]
fn limits_on_each_side_and_on_the_figure() {
    let mut wrong = String::new();
    for row in limit_rows() {
        assert!(row.because.len() > 20, "{}", row.limit);
        for (place, value, answers, right, today) in three(&row) {
            let assessment = assess(&answers);
            let said = assessment.settled.verdict;
            let status = status(&assessment, &row.limit);
            let stands = match place {
                "inside" => Status::Passes,
                "outside" => Status::Fails,
                _ if MEASURED.contains(&row.moves.as_str()) && right == today => Status::Close,
                _ => Status::Passes,
            };
            if said != today || status != stands {
                let why: Vec<String> = certain(&assessment).into_iter().collect();
                let _ = writeln!(
                    wrong,
                    "{} {place} {value}: {} and {stands:?} expected (right: {}), {} and {status:?} said: {why:?}",
                    row.limit,
                    today.word(),
                    right.word(),
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

/// All visits of the table.
fn all() -> Vec<(String, Answers)> {
    let limits = limit_rows().into_iter().flat_map(|row| {
        let named = three(&row)
            .into_iter()
            .map(|(_, value, answers, ..)| (format!("{}, {} {value}", name(&row.of, &row.change), row.moves), answers));
        named.collect::<Vec<_>>()
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
    ("gas_vent_buried_built", "gas_vent_low_built holds there too, so that lower is never milder"),
    ("ledger_not_known", UNKNOWN),
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
    let findings = findings.filter_map(|(f, t)| Some((f.id.clone(), *t, f.verdict?)));
    let limits = CONTENT.limits.iter().zip(&assessment.clearances);
    findings.chain(limits.filter_map(|(l, c)| Some((l.id.clone(), c.breaks(), l.verdict?)))).collect()
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
        for (_, value, answers, ..) in three(&row) {
            let assessment = assess(&answers);
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
