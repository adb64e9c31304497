//! The promises of the content, held against the advice for many visits.
//!
//! Visits come from the scenarios, the invented visits and the sound ones, with some answers changed.
//! `WALLFOOT_SEEDS=200000 cargo test --test suite promises_are_kept` tries that many, `WALLFOOT_SHRINK=1` looks longer for the
//! smallest visit that breaks a promise.

use crate::invented::invented;
use crate::must_hold::SOUND;
use crate::mutations::with_change;
use crate::sound::{Dice, assess, changed_visit, seeds, with_changes};
use crate::support::{CONTENT, answers, scenario_visit, scenarios, visit, with};
use std::collections::BTreeMap;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::Answers;
use wallfoot::judge::Assessment;
use wallfoot::prove::{Breach, hold};
use wallfoot::units::Units;

/// Promises that the advice does not keep yet, each with the smallest visit that shows it. A promise that is right stays as
/// it is; the rule is mended, and then it leaves this list: [`what_is_not_kept_yet`] says when.
const NOT_YET: &[(&str, &str)] = &[];

/// Visits that are sound but for what stands here: what the others seldom come upon.
const PLANTED: &[&str] = &[
    "feature: driveway\ndrive_surface: gravel\nfall_direction: away\nfall_drop: 0 in",
    "feature: sand_set_pavers\ndrain_channel: yes\nchannel_kind: plastic\nchannel_width: 4 in\nchannel_depth: 2 in\nchannel_drop: 1/16 in\nchannel_outlet: outlet\nrain_hour: 8 in\nfeature_length: 60 ft\nfeature_depth: 30 ft\nfall_direction: towards",
    "below_floor: crawl_space\nfeature_length: 30 ft\nlevels_vary: yes\nends_measured: both_ends\nexit_left_below_mark: 5 in\nexit_right_below_mark: 5 in\nfinish_left_below_mark: 7 in\nfinish_right_below_mark: 7 in\nground_left_below_mark: 9 in\nground_right_below_mark: 9 in\nwall_things: crawl_vent, window_well\ncrawl_vents_covered: no\nwell_kept_open: yes\nwall_places: crawl_vent 12 ft to 13 ft = 9 in; window_well 20 ft to 23 ft = 9 in",
    "below_floor: slab\njoint: strip\nstrip_depth: 17 in\nground_below_mark: 8 in\nchannel_outlet: outlet\nfooting_below_ground: 12 in",
    "older_cladding_under: yes\ncuts_cladding: crew\nwall_plan: membrane_flashing",
    "cladding: wood\nyear_built: 1960\nwood_paint: painted\nwall_plan: membrane_flashing\ncuts_cladding: crew\ncloses_cladding: exterior",
    "stage: built\nwall_things: gas_vent, dryer_vent\ngas_vent_above_surface: -1 in\ndryer_vent_above_surface: -1 in",
    "feature: raised_patio\nretaining_height: 5 ft\nouter_edge: above_ground\nouter_edge_height: 5 ft",
    "feature: raised_patio\nouter_edge: above_ground\nouter_edge_height: 5 ft\nrails: handrail",
    "site_conditions: termites\nin_florida: yes\nflorida_exception: no_exception\nexit_below_mark: 4 in\nfinish_below_mark: 7 in",
    "feature: deck\ndeck_carried: ledger_wall\nledger_flashing: no",
    "region: uk\nstep_free: yes",
    "wall_things: other_door\nother_door_below_mark: 9 in",
    "feature: deck\ndeck_carried: ledger_wall\nledger_flashing: yes\ncladding: brick_veneer\nveneer_weeps: seen",
    "feature: deck\ndeck_carried: not sure",
    "site_conditions: termites\nin_florida: yes\nflorida_exception: no_exception",
    "feature: hot_tub\ntub_base: structure\ntub_power: licensed",
    "feature: hot_tub\ntub_base: slab\ntub_power: other",
    "feature: hot_tub\ntub_base: slab\ntub_power: licensed\nwall_things: gas_vent\ngas_vent_above_surface: 14 in",
    "feature: driveway\ndrive_surface: concrete\nfall_drop: 60 in",
    "feature: deck\ndeck_carried: free\nfall_drop: 0 in",
    "region: canada\nfeature: deck\ndeck_carried: ledger_wall\nledger_flashing: yes\nbacking: block",
    "feature: permeable_paving\npermeable_water: soaks",
    "feature: pergola\nporch_roof: to_house\ndeck_carried: free",
    "feature: stairwell\nstairwell_drawn: no",
    "feature: trench_drain\nchannel_outlet: nowhere\nfall_direction: towards",
    "feature: ramp\nramp_run: 6",
    "feature: turf\nturf_kind: bed",
    "region: australia\ncladding: wood\nfeature: driveway\ndrive_surface: gravel\ndry_or_sandy: no\nfall_drop: 1 in\nexit_below_mark: 3 in\nfinish_below_mark: 7 in",
    "feature: deck\ndeck_carried: ledger_wall\nledger_flashing: no",
    "stage: built\nremovable: loose\nsite_conditions: termites\nvoid_behind: yes\nvoid_length: 6 ft\nvoid_width: 9 in\nvoid_depth: 20 in",
    "stage: built\nremovable: loose\nvoid_behind: yes\nvoid_length: 6 ft\nvoid_width: 2 in\nvoid_depth: 6 in",
    "wall_things: radon_pipe\nradon_pipe_covered: yes",
    "wall_things: electric_meter\nmeter_covered: no\npanel_space: 20 in",
    "backing: panels\nsigns: soft_sheathing\nsoft_extent: spot",
    "backing: panels\nwall_plan: membrane_flashing\ncuts_cladding: crew\ncloses_cladding: exterior",
    "cladding: fibre_cement\nfc_clearance: 6 in",
    "feature: masonry_steps\nsteps_footing: slab_on_ground\nsite_conditions: hard_frost",
    "region: australia\nwall_things: gas_vent, window_well\ngas_vent_above_surface: 600 mm",
    "region: uk\ncladding: fibre_cement\nyear_built: 1997\nwall_plan: membrane_flashing\ncuts_cladding: crew\ncloses_cladding: exterior",
    "region: canada\ncladding: wood\nyear_built: 1985\nwood_paint: painted\nwall_plan: membrane_flashing\ncuts_cladding: crew\ncloses_cladding: exterior",
    "cladding: fibre_cement\ncement_shingles: yes\nwall_plan: membrane_flashing\ncuts_cladding: crew\ncloses_cladding: exterior",
];

/// How often each promise was owed, and the smallest visit that breaks it.
#[derive(Default)]
struct Tally {
    owed: BTreeMap<String, usize>,
    broken: BTreeMap<String, Smallest>,
    visits: usize,
    /// How often a visit that breaks a promise is shrunk.
    looks: usize,
}

/// A visit that breaks a promise, and how.
struct Smallest {
    how: Breach,
    from: String,
    lines: Vec<String>,
    looked: usize,
}

impl Tally {
    /// Holds all promises against one visit.
    fn see(&mut self, from: &str, assessment: &Assessment<'_>) {
        self.visits += 1;
        let held = hold(assessment);
        for promise in held.owed {
            *self.owed.entry(promise.to_owned()).or_default() += 1;
        }
        for one in held.broken {
            let looked = self.broken.get(one.promise).map_or(0, |kept| kept.looked);
            if looked >= self.looks {
                continue;
            }
            let lines = shrunk(assessment, one.promise);
            let found = Smallest { how: one.how, from: from.to_owned(), lines, looked: looked + 1 };
            match self.broken.get_mut(one.promise) {
                Some(kept) if kept.lines.len() <= found.lines.len() => kept.looked = found.looked,
                _ => drop(self.broken.insert(one.promise.to_owned(), found)),
            }
        }
    }

    fn told(&self) -> String {
        let line = |(id, kept): (&String, &Smallest)| {
            format!("{id}: {:?}, {}\n            {}\n", kept.how, kept.from, kept.lines.join("\n            "))
        };
        self.broken.iter().map(line).collect()
    }
}

/// The smallest visit that still breaks a promise, as lines for [`answers`]: every answer that can be spared is left out.
fn shrunk(assessment: &Assessment<'_>, promise: &str) -> Vec<String> {
    let breaks = |answers: &Answers| {
        hold(&CONTENT.assess(answers, assessment.units)).broken.iter().any(|one| one.promise == promise)
    };
    let mut kept: Vec<usize> = assessment.answers.iter().map(|(q, _)| q).collect();
    let only = |kept: &[usize]| {
        let mut answers = Answers::default();
        for number in kept {
            answers.set(*number, assessment.answers.get(*number).unwrap().clone());
        }
        answers
    };
    let mut at = 0;
    while at < kept.len() {
        let mut fewer = kept.clone();
        fewer.remove(at);
        if breaks(&only(&fewer)) { kept = fewer } else { at += 1 }
    }
    let line = |number: &usize| {
        let question = &CONTENT.flow.questions[*number];
        let text = wallfoot::visit::write_answer(question, assessment.answers.get(*number).unwrap());
        format!("{}: {}", question.id, text.as_deref().unwrap_or("not sure"))
    };
    kept.iter().map(line).collect()
}

/// All visits that are kept with the program.
pub(crate) fn kept() -> Vec<(String, Answers, Units)> {
    let demos = ["demo-back-patio", "demo-side-steps"].map(str::to_owned);
    let named = scenarios().into_iter().chain(demos).map(|name| {
        let (_, answers, units) = visit(&scenario_visit(&name));
        (name, answers, units)
    });
    named.chain(invented()).collect()
}

#[test]
#[allow(clippy::print_stderr)] // for whoever runs it by hand
fn promises_are_kept() {
    let looks = if std::env::var_os("WALLFOOT_SHRINK").is_some() { 100 } else { 1 };
    let mut tally = Tally { looks, ..Tally::default() };
    for (at, (name, answers, units)) in kept().iter().enumerate() {
        tally.see(name, &CONTENT.assess(answers, *units));
        for round in 0..seeds(2000) / 100 {
            let answers = with_changes(answers, &mut Dice::new((at as u64) << 32 | round), 4);
            tally.see(&format!("{name} changed"), &CONTENT.assess(&answers, *units));
        }
    }
    // far from where it began, but mild all the way: here a promise has most to say
    let mut here = changed_visit(0);
    for seed in 0..seeds(2000) {
        let answers = changed_visit(seed);
        tally.see("sound, changed", &assess(&answers));
        let further = with_changes(&here, &mut Dice::new(seed), 3);
        let assessment = assess(&further);
        tally.see("mild all the way", &assessment);
        match assessment.settled.verdict {
            Verdict::GoAhead => here = further,
            _ if seed % 50 == 0 => here = answers,
            _ => {}
        }
    }
    for lines in PLANTED {
        tally.see("planted", &CONTENT.assess(&with(SOUND, lines), Units::Inch));
    }
    let broken: Vec<&str> = tally.broken.keys().map(String::as_str).collect();
    if looks > 1 {
        eprintln!("{}", tally.told());
    }
    let news: Vec<&&str> = broken.iter().filter(|id| !NOT_YET.iter().any(|(known, _)| known == *id)).collect();
    assert!(news.is_empty(), "{news:?} of {} visits:\n{}", tally.visits, tally.told());
    let ids = CONTENT.promises.iter().map(|p| p.id.as_str());
    let never: Vec<&str> = ids.filter(|id| !tally.owed.contains_key(*id)).collect();
    assert!(never.is_empty(), "no visit calls in {never:?}");
}

/// The list is exact: each of its visits still breaks its promise.
#[test]
fn what_is_not_kept_yet() {
    let still = |(promise, lines): &&(&str, &str)| {
        let answers = answers(lines);
        hold(&CONTENT.assess(&answers, Units::Metric)).broken.iter().any(|one| one.promise == *promise)
    };
    let kept: Vec<&str> = NOT_YET.iter().filter(|case| !still(case)).map(|(promise, _)| *promise).collect();
    assert!(kept.is_empty(), "kept now, so take them from the list: {kept:?}");
}

/// What the issue asks for, and a basis of each.
#[test]
fn there_are_promises_enough() {
    assert!(CONTENT.promises.len() >= 50, "{}", CONTENT.promises.len());
    assert_eq!(CONTENT.promises_left_out, 0);
}

/// A rule that is weakened breaks a promise, on a visit that is sound but for one thing.
#[test]
fn a_weaker_rule_breaks_a_promise() {
    // the file, what stands there, what is put in its place, the promise that breaks, and on which visit
    let cases = [
        (
            "advice/findings.yaml",
            "- { wiring_wet: true }\n    verdict: exterior_trade_first",
            "- { wiring_wet: true }\n    verdict: change_plan",
            "wet_wiring_comes_first",
            "signs: wet_basement\nwet_when: always\nwiring_wet: yes",
        ),
        (
            "advice/findings.yaml",
            "- { stage: built }\n        - { door.present: true }\n        - { threshold.above_finish: { below: 0 in } }\n    verdict: exterior_trade_first",
            "- { stage: built }\n        - { door.present: true }\n        - { threshold.above_finish: { below: 0 in } }\n    verdict: change_plan",
            "built_above_threshold_is_opened",
            "stage: built\nexit_below_mark: -9 in\nwood_below_mark: -10 in\nfinish_below_mark: -2 in\nvoid_behind: no\nchannel_end: no_channel",
        ),
        (
            "limits.yaml",
            "at_least: 2 in\n    when:\n      all:\n        - { cladding: wood }",
            "at_least: 1 in\n    when:\n      all:\n        - { cladding: wood }",
            "wood_siding_keeps_two_inches_us",
            "cladding: wood\nexit_below_mark: 5 1/2 in",
        ),
        (
            "advice/findings.yaml",
            "- { downspout: onto_surface }\n    verdict: change_plan",
            "- { downspout: onto_surface }",
            "a_downspout_onto_the_surface_never_goes_ahead",
            "downspout: onto_surface",
        ),
    ];
    for (file, from, to, promise, lines) in cases {
        let answers = with(SOUND, lines);
        let breaks = |content: &Content| {
            hold(&content.assess(&answers, Units::Inch)).broken.iter().any(|one| one.promise == promise)
        };
        assert!(!breaks(&CONTENT), "{promise} is broken as it is");
        assert!(breaks(&with_change(file, |text| text.replacen(from, to, 1)).unwrap()), "{promise} does not notice");
    }
}

/// A built-in promise does not stop a folder that takes away what it names; it is counted as left out.
#[test]
fn a_promise_about_a_row_that_is_gone_is_left_out() {
    let content = with_change("advice/findings.yaml", |text| text.replacen("- id: wiring_wet", "- id: wiring_damp", 1));
    let content = content.unwrap();
    assert_eq!(content.promises_left_out, 1);
    assert!(!content.promises.iter().any(|p| p.id == "wet_wiring_is_on_the_sheets"));
}
