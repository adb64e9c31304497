//! One folder a scenario: a visit, the page of what follows from it, and of three of them all sheets in full.

use crate::page::page;
use crate::support::{CONTENT, scenario_visit, scenarios, sheet, text_of, top, visit};
use std::collections::BTreeSet;
use wallfoot::content::Sheet;
use wallfoot::judge::Job;
use wallfoot::sheet::Cover;

/// Demos lie with the content, and only their expected pages here.
const DEMOS: [&str; 2] = ["demo-back-patio", "demo-side-steps"];

/// Whether the sheets of a scenario are stored in full, besides its page.
#[derive(PartialEq)]
enum Stored {
    Page,
    Sheets,
}

/// A test for each scenario, by the name of its folder.
macro_rules! scenarios {
    ($($name:ident: $stored:ident,)*) => {
        const LISTED: &[(&str, Stored)] = &[$((stringify!($name), Stored::$stored),)*];
        $(
            #[test]
            fn $name() {
                is_as_expected(&stringify!($name).replace('_', "-"), &Stored::$stored);
            }
        )*
    };
}

// A plan against vinyl that needs an exterior trade, built steps that leak, and a plan that may go ahead: three
// kinds of sheets. Of the others the page says what is said, and the words are the same.
scenarios! {
    demo_back_patio: Sheets,
    built_steps_stucco_no_screed: Sheets,
    vinyl_walkway: Sheets,
    adhered_stone_steps_leaking: Page,
    australia_brick_pavers: Page,
    australia_steps_four_risers: Page,
    germany_steps_door_opens_out: Page,
    ireland_steps_no_rails: Page,
    nz_level_entry_drained: Page,
    brick_veneer_landing: Page,
    built_brick_weeps_covered: Page,
    built_channel_behind_landing: Page,
    built_overlay_over_vinyl: Page,
    canada_stucco_slab: Page,
    demo_side_steps: Page,
    eifs_raised_patio_unknown_exit: Page,
    fibre_cement_overlay: Page,
    metal_planter: Page,
    nothing_known: Page,
    sloping_wall_two_doors: Page,
    stone_veneer_hearth: Page,
    stucco_old_raised_patio: Page,
    stucco_screed_slab: Page,
    uk_solid_masonry_patio: Page,
    wood_1925_slab_leaking: Page,
    canada_deck_ledger_over_siding: Page,
    canada_log_walkway: Page,
    germany_gravel_strip_eifs: Page,
    germany_icf_terrace_covered: Page,
    ireland_cavity_built_covered: Page,
    ireland_hung_slate_low: Page,
    nz_hung_tile_frame_covered: Page,
    australia_brick_veneer_pavers: Page,
    canada_fibre_cement_slab: Page,
    germany_eifs_terrace_gravel: Page,
    germany_eifs_terrace_low_plinth: Page,
    ireland_rendered_block_patio: Page,
    nz_weatherboard_deck: Page,
    uk_cavity_walkway_built: Page,
    us_exit_hidden_by_soil: Page,
    us_landing_needs_guard: Page,
    us_outswing_door_level_landing: Page,
    us_outdoor_kitchen_vinyl: Page,
    us_vinyl_drained_strip: Page,
    us_vinyl_paver_patio: Page,
    uk_cavity_patio: Page,
    uk_cavity_paving_too_high: Page,
    uk_driveway_cavity_to_house: Page,
    uk_gravel_strip_clay_trough: Page,
    uk_hung_tile_terrace: Page,
    australia_pergola_ledger_veneer: Page,
    canada_permeable_paving_basement: Page,
    ireland_trench_drain_render: Page,
    uk_ramp_cavity_wall: Page,
    us_basement_stairwell: Page,
    us_hot_tub_on_deck: Page,
    us_planting_bed_at_siding: Page,
    us_deck_free_standing: Page,
    us_deck_ledger_flashed: Page,
    us_driveway_fibre_cement: Page,
    us_gravel_strip_over_screed: Page,
    us_icf_slab_termites: Page,
    us_log_built_buried: Page,
    us_log_patio_close: Page,
    us_ends_not_sure: Page,
    us_gas_meter_in_fill: Page,
    us_panels_fibre_cement_patio: Page,
    built_panels_soft_behind_landing: Page,
    us_steel_frame_stucco_covered: Page,
    germany_precast_terrace: Page,
    canada_raised_patio_on_basement: Page,
    us_electric_panel_behind_counter: Page,
    uk_solid_no_damp_course: Page,
    built_steps_hollow_large: Page,
    built_narrow_gap_filled: Page,
    us_stucco_wood_unknown: Page,
}

fn is_as_expected(name: &str, stored: &Stored) {
    let (file, answers, units) = visit(&scenario_visit(name));
    let assessment = CONTENT.assess(&answers, units);
    let folder = top().join("tests/scenarios").join(name);
    // what a good builder would say, where it was written down before the first run
    if let Ok(expected) = std::fs::read_to_string(folder.join("expected.md")) {
        let wanted = expected.lines().next().and_then(|line| line.strip_prefix("Verdict: ")).expect("a verdict");
        assert_eq!(CONTENT.word(&format!("verdict.{}", assessment.settled.verdict.word())), wanted, "{name}");
    }
    insta::with_settings!({ snapshot_path => &folder, prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("page", page(name, &assessment));
        if *stored == Stored::Sheets {
            let cover = Cover { date: file.changed.clone(), lang: "en".to_owned() };
            insta::assert_snapshot!("homeowner", sheet(&assessment, Sheet::Homeowner, &file.changed));
            insta::assert_snapshot!("landscaper", sheet(&assessment, Sheet::Landscaper, &file.changed));
            insta::assert_snapshot!("exterior", sheet(&assessment, Sheet::Exterior, &file.changed));
            insta::assert_snapshot!("agreement", text_of(&assessment.agreement(&cover)));
            insta::assert_snapshot!("plan", text_of(&Job::one(&assessment).document(&cover, None, None)));
        }
    });
}

/// Every folder has its test, every test its folder, and no folder holds an expected text that nobody compares.
#[test]
fn list_and_folders_agree() {
    let folders: BTreeSet<String> = scenarios().into_iter().chain(DEMOS.map(str::to_owned)).collect();
    let listed: BTreeSet<String> = LISTED.iter().map(|(name, _)| name.replace('_', "-")).collect();
    assert_eq!(folders, listed);
    assert_eq!(LISTED.iter().filter(|(_, stored)| *stored == Stored::Sheets).count(), 3);
    for (name, stored) in LISTED {
        let folder = top().join("tests/scenarios").join(name.replace('_', "-"));
        let mut texts: Vec<String> = std::fs::read_dir(&folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .filter(|file| file != "visit.yaml" && file != "expected.md")
            .collect();
        texts.sort();
        let expected: &[&str] = match stored {
            Stored::Page => &["page.snap"],
            Stored::Sheets => {
                &["agreement.snap", "exterior.snap", "homeowner.snap", "landscaper.snap", "page.snap", "plan.snap"]
            }
        };
        assert_eq!(texts, expected, "{}", folder.display());
    }
}

/// At least twelve, and every cladding and every feature in at least one.
#[test]
fn scenarios_cover_all_claddings_and_features() {
    let mut seen = BTreeSet::new();
    assert!(scenarios().len() >= 12, "{} scenarios", scenarios().len());
    for (name, _) in LISTED {
        let (file, ..) = visit(&scenario_visit(&name.replace('_', "-")));
        for id in ["cladding", "feature", "stage"] {
            seen.extend(file.answers.get(id).map(|value| format!("{id} {value}")));
        }
    }
    for id in ["cladding", "feature", "stage"] {
        for choice in &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()].choices {
            assert!(seen.contains(&format!("{id} {}", choice.id)), "no scenario for {id} {}", choice.id);
        }
    }
}

/// One visit sees only the questions that matter to it: 15 to 32 for a plain plan, some more where
/// steps, an old wall or signs of trouble have to be looked into. Leaking steps that lie level with a door and fall to the house
/// are asked most: for a channel at the door and one along the wall, which could set both right, and for the size of the mould.
#[test]
fn a_visit_sees_few_questions() {
    let shown =
        |answers: &wallfoot::flow::Answers| CONTENT.flow.state(answers).shown.iter().filter(|t| t.is_yes()).count();
    let plain = shown(&crate::support::answers(crate::must_hold::SOUND));
    assert!((15..=32).contains(&plain), "{plain}");
    for name in scenarios() {
        let (_, answers, _) = visit(&scenario_visit(&name));
        assert!((15..=50).contains(&shown(&answers)), "{name}: {}", shown(&answers));
    }
}

/// In every country an ordinary job goes ahead, as a good local builder would do it: expected so before the first run.
#[test]
fn every_country_has_a_job_that_goes_ahead() {
    let mut seen = BTreeSet::new();
    for name in scenarios() {
        let expected = top().join("tests/scenarios").join(&name).join("expected.md");
        if std::fs::read_to_string(expected).is_ok_and(|text| text.starts_with("Verdict: Go ahead\n")) {
            seen.extend(visit(&scenario_visit(&name)).0.answers.get("region").cloned());
        }
    }
    for choice in &CONTENT.flow.questions[CONTENT.flow.question("region").unwrap()].choices {
        assert!(seen.contains(choice.id.as_str()), "no job in {} goes ahead", choice.id);
    }
}
