//! "Go ahead" where a house or a person is harmed, class by class: each table was written by hand, with what is right and
//! why, before the program was asked.

use crate::every_sheet::VISITS;
use crate::must_hold::SOUND;
use crate::support::{CONTENT, answers, sheet, text_of, with};
use wallfoot::content::{Sheet, Verdict};
use wallfoot::flow::{Answer, Answers, Condition, QuestionKind, Truth, Value};
use wallfoot::judge::{Assessment, WayKind};
use wallfoot::sheet::{Block, Cover};
use wallfoot::site::FactId;
use wallfoot::units::Units;
use wallfoot::wall::Status;

use Verdict::{ChangePlan, ExteriorTradeFirst, FindOutFirst, GoAhead};

/// The same sound work, standing.
const BUILT: &str = "stage: built\nremovable: loose\nvoid_behind: no\nsurface_gap_open: no\nchannel_end: above_surface\nfall_drop: 3 in\n";

const REGIONS: [&str; 7] = ["us", "canada", "uk", "ireland", "australia", "new_zealand", "germany"];

fn assess(answers: &Answers) -> Assessment<'_> {
    CONTENT.assess(answers, Units::Inch)
}

fn status(assessment: &Assessment<'_>, id: &str) -> Status {
    let index = CONTENT.limits.iter().position(|l| l.id == id).unwrap_or_else(|| panic!("no limit {id}"));
    assessment.clearances[index].status
}

fn holds(assessment: &Assessment<'_>, id: &str) -> bool {
    assert!(CONTENT.findings.iter().any(|f| f.id == id), "no finding {id}");
    assessment.held().any(|f| f.id == id)
}

fn has_task(assessment: &Assessment<'_>, sheet: Sheet, id: &str) -> bool {
    assert!(CONTENT.tasks.iter().any(|t| t.id == id), "no task {id}");
    assessment.tasks(Some(sheet)).any(|t| t.id == id)
}

/// What a page says, in one line.
fn flat(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn crew(assessment: &Assessment<'_>) -> String {
    flat(&sheet(assessment, Sheet::Landscaper, ""))
}

fn agreement(assessment: &Assessment<'_>) -> String {
    flat(&text_of(&assessment.agreement(&Cover::default())))
}

// ---- A maker's own figure counts ----

// without a door, whose step has a limit of its own
const FIBRE_CEMENT: &str = "cladding: fibre_cement\ncement_shingles: no\ndoor: none\nfinish_below_mark: 8 in\n";

/// The siding ends 3 in above the surface (5 in and 8 in below the threshold), measured to 1/8 in.
#[test]
fn the_makers_figure_against_the_gap() {
    for (maker, finish, verdict, limit) in [
        // well below the gap
        ("2 in", "8 in", GoAhead, Status::Passes),
        ("2 7/8 in", "8 in", GoAhead, Status::Passes),
        // more than the gap that is there, by more than a tape can be wrong
        ("3 1/4 in", "8 in", ChangePlan, Status::Fails),
        ("6 in", "8 in", ChangePlan, Status::Fails),
        // a deeper surface gives the maker what he asks for
        ("6 in", "11 1/4 in", GoAhead, Status::Passes),
        // nobody knows: something to find out, until the gap is more than any maker is known to ask for above paving (2 in, facts.md)
        ("not sure", "8 in", GoAhead, Status::Off),
        ("not sure", "12 1/2 in", GoAhead, Status::Off),
        ("not sure", "13 3/4 in", GoAhead, Status::Off),
        ("not sure", "6 1/2 in", FindOutFirst, Status::Off),
        ("not sure", "5 3/4 in", FindOutFirst, Status::Off),
    ] {
        let answers = with(SOUND, &format!("{FIBRE_CEMENT}finish_below_mark: {finish}\nfc_clearance: {maker}"));
        let assessment = assess(&answers);
        let said = (assessment.settled.verdict, status(&assessment, "maker_clearance"));
        assert_eq!(said, (verdict, limit), "maker {maker}, finish {finish}");
        // the finding that tells which figure is missing
        assert_eq!(
            holds(&assessment, "maker_figure_not_known"),
            verdict == FindOutFirst,
            "maker {maker}, finish {finish}"
        );
    }
    // soil in a planter: some makers ask for 8 in
    for (finish, verdict) in [("12 1/2 in", FindOutFirst), ("13 3/4 in", GoAhead)] {
        let change = format!(
            "{FIBRE_CEMENT}feature: built_against\nagainst_kind: planter\nfc_clearance: not sure\nfinish_below_mark: {finish}\nground_below_mark: 20 in"
        );
        let answers = with(SOUND, &change);
        let assessment = assess(&answers);
        assert_eq!(holds(&assessment, "maker_figure_not_known"), verdict == FindOutFirst, "planter, {finish}");
    }
}

/// In every country, and for every cladding whose maker decides, his figure fails the plan, and the height to keep meets it.
#[test]
fn the_makers_figure_counts_everywhere() {
    for region in REGIONS {
        for cladding in
            ["fibre_cement\ncement_shingles: no", "metal\nmetal_kind: steel", "eifs\neifs_drained: drained", "icf"]
        {
            let change = format!(
                "region: {region}\ndoor: none\ncladding: {cladding}\nfinish_below_mark: 25 in\nground_below_mark: 26 in\nfc_clearance: 22 in"
            );
            let answers = with(SOUND, &change);
            let assessment = assess(&answers);
            assert_eq!(status(&assessment, "maker_clearance"), Status::Fails, "{region} {cladding}");
            assert!(assessment.settled.certain >= ChangePlan, "{region} {cladding}");
            let lowering = assessment.lowering.unwrap();
            let lower = format!("{change}\nfinish_below_mark: {}", lowering.highest.unwrap().exact());
            let lowered = with(SOUND, &lower);
            assert_eq!(status(&assess(&lowered), "maker_clearance"), Status::Passes, "{region} {cladding}: {lower}");
        }
    }
}

// ---- Gas ----

/// A pipe in stone is never "Go ahead", whether the work stands or not, and nobody's silence makes it so.
#[test]
fn gas_in_the_work() {
    let planned = "";
    let built = BUILT;
    for (stage, height, riser, verdict) in [
        (planned, "20 in", "none", GoAhead),
        (planned, "20 in", "kept_free", GoAhead),
        // IRC G2415.9: 3 1/2 in above the ground, measured to 1/8 in
        (planned, "3 3/4 in", "kept_free", GoAhead),
        (planned, "3 in", "kept_free", ChangePlan),
        (planned, "0 in", "none", ChangePlan),
        (planned, "-5 in", "none", ChangePlan),
        (planned, "20 in", "built_in", ChangePlan),
        (planned, "not sure", "none", FindOutFirst),
        (planned, "20 in", "not sure", FindOutFirst),
        (built, "20 in", "kept_free", GoAhead),
        (built, "-5 in", "none", ExteriorTradeFirst),
        (built, "20 in", "built_in", ExteriorTradeFirst),
        (built, "not sure", "kept_free", FindOutFirst),
    ] {
        for feature in ["sand_set_pavers", "concrete_slab"] {
            let change = format!(
                "{stage}feature: {feature}\nwall_things: gas_meter\ngas_meter_above_surface: {height}\ngas_riser: {riser}"
            );
            let answers = with(SOUND, &change);
            let assessment = assess(&answers);
            assert_eq!(assessment.settled.verdict, verdict, "{change}");
            let page = crew(&assessment).to_lowercase();
            // the crew reads of it: as a danger always, and as a point to stop at wherever it is not free for certain
            assert!(page.contains("gas meter") || page.contains("gas pipe"), "{change}: {page}");
            assert_eq!(has_task(&assessment, Sheet::Landscaper, "gas_meter_first"), verdict != GoAhead, "{change}");
            if verdict == ExteriorTradeFirst || verdict == ChangePlan {
                // and why, at the head of its sheet
                let because = page.split("the height to build to").next().unwrap().to_owned();
                assert!(because.contains("gas"), "{change}: {because}");
            }
        }
    }
}

/// In every country a pipe in the work, or a hand's breadth above it, stops the plan.
#[test]
fn gas_in_every_country() {
    for region in REGIONS {
        for (height, riser) in [("-2 in", "none"), ("2 in", "none"), ("2 ft", "built_in"), ("not sure", "none")] {
            let change = format!(
                "region: {region}\nwall_things: gas_meter\ngas_meter_above_surface: {height}\ngas_riser: {riser}\nfinish_below_mark: 24 in\nground_below_mark: 26 in"
            );
            assert!(CONTENT.settle(&with(SOUND, &change)).verdict > GoAhead, "{change}");
        }
    }
}

/// What hangs on the wall is not known: then nothing that is built up against it goes ahead.
#[test]
fn things_on_the_wall_not_known() {
    for feature in &CONTENT.flow.questions[CONTENT.flow.question("feature").unwrap()].choices {
        let change = format!("feature: {}\nwall_things: not sure", feature.id);
        let verdict = CONTENT.settle(&with(SOUND, &change)).verdict;
        assert!(verdict > GoAhead, "{}: {verdict:?}", feature.id);
    }
}

/// An electric meter that is covered, or cannot be reached, stops the plan; one that nobody has looked at is found out.
#[test]
fn an_electric_meter_stays_within_reach() {
    let cases = [
        ("meter_covered: yes", ChangePlan),
        ("meter_covered: not sure", FindOutFirst),
        // NEC 110.26(A)(1): 36 in of free depth
        ("meter_covered: no\npanel_space: 36 in", GoAhead),
        ("meter_covered: no\npanel_space: 35 in", ChangePlan),
        ("meter_covered: no\npanel_space: not sure", FindOutFirst),
    ];
    for (lines, verdict) in cases {
        let answers = with(SOUND, &format!("wall_things: electric_meter\n{lines}"));
        assert_eq!(assess(&answers).settled.verdict, verdict, "{lines}");
    }
}

// ---- A solid wall without a damp-proof course ----

const NO_COURSE: &str = "
cladding: solid_masonry
damp_course: absent
below_floor: basement
finish_below_mark: 7 1/2 in
ground_below_mark: 7 1/2 in
";

/// 150 mm is 5.9 in. The threshold stands for the floor.
#[test]
fn the_surface_stays_below_the_floor_of_a_wall_without_a_damp_course() {
    for (finish, ground, verdict) in [
        ("7 1/2 in", "7 1/2 in", GoAhead),
        ("6 in", "6 in", GoAhead),
        // planned heights are exact
        ("5 3/4 in", "7 in", ChangePlan),
        ("2 in", "3 in", ChangePlan),
        ("1/2 in", "1 in", ChangePlan),
        ("-2 in", "1 in", ChangePlan),
        // earth already stands above the floor
        ("7 1/2 in", "-2 in", ChangePlan),
        // much fill against a wall that dried there until now
        ("7 1/2 in", "14 in", FindOutFirst),
        ("not sure", "7 in", FindOutFirst),
    ] {
        let answers = with(SOUND, &format!("{NO_COURSE}finish_below_mark: {finish}\nground_below_mark: {ground}"));
        assert_eq!(assess(&answers).settled.verdict, verdict, "finish {finish}, ground {ground}");
    }
    // nobody has looked whether there is one
    for (finish, ground) in [("2 in", "2 in"), ("7 1/2 in", "10 in")] {
        let change =
            format!("{NO_COURSE}damp_course: not sure\nfinish_below_mark: {finish}\nground_below_mark: {ground}");
        assert!(CONTENT.settle(&with(SOUND, &change)).verdict >= FindOutFirst, "{finish}");
    }
    // without a door the floor is asked for, from the mark
    for (floor, verdict) in [("1 in", GoAhead), ("3 in", ChangePlan), ("not sure", FindOutFirst)] {
        let change = format!("{NO_COURSE}door: none\nfloor_below_mark: {floor}");
        assert_eq!(CONTENT.settle(&with(SOUND, &change)).verdict, verdict, "floor {floor}");
    }
    // work that stands, with damp inside
    let wet = format!("{NO_COURSE}{BUILT}finish_below_mark: 2 in\nsigns: white_bloom");
    assert_eq!(CONTENT.settle(&with(SOUND, &wet)).verdict, ExteriorTradeFirst);
}

/// Lower is never worse, in any country.
#[test]
fn a_lower_surface_is_never_worse_for_a_wall_without_a_damp_course() {
    for region in REGIONS {
        let mut last = ExteriorTradeFirst;
        for finish in -3..12 {
            let change = format!(
                "{NO_COURSE}region: {region}\nfinish_below_mark: {finish} in\nground_below_mark: {finish} in\ndry_or_sandy: no\nfall_drop: 8 in"
            );
            let verdict = CONTENT.settle(&with(SOUND, &change)).verdict;
            // at the door the step has a limit of its own
            if finish <= 7 {
                assert!(verdict <= last, "{region}, {finish} in: {verdict:?} after {last:?}");
                last = verdict;
            }
            assert!(finish >= 6 || verdict > GoAhead, "{region}, {finish} in");
        }
        assert_eq!(last, GoAhead, "{region}");
    }
}

/// Such a wall has no place where water leaves it. Nothing asks for it, nothing traces from it, no sentence speaks of it.
#[test]
fn no_exit_where_there_is_none() {
    let question = CONTENT.flow.question("exit_way").unwrap();
    for stage in ["", BUILT] {
        for finish in ["7 1/2 in", "2 in", "-1 in"] {
            let answers = with(SOUND, &format!("{NO_COURSE}{stage}finish_below_mark: {finish}"));
            let assessment = assess(&answers);
            assert_eq!(assessment.state.shown[question], Truth::No);
            for fact in [
                FactId::ExitAboveFinish,
                FactId::ExitBuried,
                FactId::TraceBehind,
                FactId::TraceDoorHead,
                FactId::TraceChannel,
            ] {
                assert_eq!(assessment.value(fact), Value::Absent, "{fact:?}");
            }
            for which in [Sheet::Homeowner, Sheet::Landscaper, Sheet::Exterior] {
                // the trade is called by what it works on elsewhere
                let trade = CONTENT.word("trade.exterior").to_lowercase();
                let page = flat(&sheet(&assessment, which, "")).to_lowercase().replace(&trade, "");
                for word in [
                    "siding",
                    "sheathing",
                    "weep",
                    "water exit",
                    "bottom edge of the cladding",
                    "open, above the stone",
                    "rot",
                ] {
                    let at = page.match_indices(word).find(|(at, _)| {
                        // whole words: "protect" is none
                        !page[..*at].ends_with(char::is_alphabetic)
                    });
                    let near = at.map(|(at, _)| &page[at.saturating_sub(90)..(at + 60).min(page.len())]);
                    assert_eq!(near, None, "{stage:?} {finish} {which:?}: {word}");
                }
            }
        }
    }
}

// ---- Guards, handrails, steps ----

/// A landing whose heights pass everything else: 7 in below the threshold.
const LANDING: &str = "
feature: landing
landing_depth: 5 ft
door_width: 36 in
fall_drop: 1 in
finish_below_mark: 7 in
";

/// Whether the drop asks for a guard: on both sides of each country's figure, at the outer edge and at the ends.
#[test]
fn a_drop_that_needs_a_guard() {
    for (region, below, above) in [
        // IRC R312.1: more than 30 in
        ("us", "30 in", "30 1/2 in"),
        // NBC 9.8.8 and Approved Document K 1.41: more than 600 mm
        ("canada", "600 mm", "610 mm"),
        ("uk", "600 mm", "610 mm"),
        // TGD K 2014 2.2: guarding may be left out up to 600 mm
        ("ireland", "600 mm", "610 mm"),
        // ABCB Housing Provisions 11.3: 1 m or more
        ("australia", "999 mm", "1000 mm"),
        // Landesbauordnungen 38 (Rhineland-Palatinate, Thuringia): more than 1 m; Bavaria, from memory: more than 500 mm
        ("germany\nin_bavaria: no", "1000 mm", "1010 mm"),
        ("germany\nin_bavaria: yes", "500 mm", "510 mm"),
        // F4.3.1: 1000 mm or more
        ("new_zealand", "999 mm", "1000 mm"),
    ] {
        for (outer, ends, needed) in [(below, below, false), (above, below, true), (below, above, true)] {
            for rails in ["none", "handrail", "guard_rail, handrail", "not sure"] {
                let change = format!(
                    "{LANDING}region: {region}\nground_below_mark: 9 in\nouter_edge: above_ground\nouter_edge_height: {outer}\nends_drop: {ends}\nrails: {rails}"
                );
                let answers = with(SOUND, &change);
                let assessment = assess(&answers);
                let missing = needed && !rails.contains("guard_rail") && rails != "not sure";
                assert_eq!(holds(&assessment, "guard_missing"), missing, "{change}");
                if missing {
                    assert!(assessment.settled.certain >= ChangePlan, "{change}");
                    assert!(crew(&assessment).contains("needs a guard"), "{change}");
                }
                if needed && rails == "not sure" {
                    assert!(assessment.settled.verdict > GoAhead, "{change}");
                }
                assert_eq!(has_task(&assessment, Sheet::Landscaper, "guard_set"), needed, "{change}");
                assert_eq!(agreement(&assessment).contains("Set a guard"), needed, "{change}");
            }
        }
        // nobody knows how high the edge or the ends stand, nor the ground at the wall
        for unknown in [
            "outer_edge_height: not sure\nends_drop: 0 in",
            "outer_edge_height: 1 in\nends_drop: not sure\nground_below_mark: not sure",
            "outer_edge: not sure\nends_drop: 0 in",
        ] {
            let change = format!("{LANDING}region: {region}\nouter_edge: above_ground\n{unknown}\nrails: none");
            assert!(CONTENT.settle(&with(SOUND, &change)).verdict > GoAhead, "{change}");
        }
        // where nobody measured at the ends, the ground at the wall tells
        let change = format!(
            "{LANDING}region: {region}\nground_below_mark: 60 in\nouter_edge: level_with_ground\nends_drop: not sure\nrails: none"
        );
        assert!(holds(&assess(&with(SOUND, &change)), "guard_missing"), "{change}");
    }
}

/// Whatever country is a choice: a drop of 1.2 m without a guard never goes ahead, and the building office is asked.
#[test]
fn no_country_is_silent_about_a_drop() {
    let regions = &CONTENT.flow.questions[CONTENT.flow.question("region").unwrap()].choices;
    for region in regions {
        let change = format!(
            "{LANDING}region: {}\nground_below_mark: 9 in\nouter_edge: above_ground\nouter_edge_height: 1200 mm\nends_drop: 1200 mm\nrails: handrail",
            region.id
        );
        let answers = with(SOUND, &change);
        let assessment = assess(&answers);
        assert!(assessment.settled.certain >= ChangePlan && holds(&assessment, "guard_missing"), "{change}");
        let told = assessment.calls().any(|call| call.id == "office_steps_and_guards");
        assert!(told, "{change}");
    }
}

/// A landing 38 in up, level with a bank in front of it, still drops at its ends.
#[test]
fn a_landing_drops_at_its_ends() {
    let change =
        format!("{LANDING}ground_below_mark: 45 in\nouter_edge: level_with_ground\nends_drop: 38 in\nrails: none");
    let answers = with(SOUND, &change);
    let assessment = assess(&answers);
    assert!(assessment.settled.verdict >= ChangePlan);
    assert!(crew(&assessment).contains("needs a guard"));
}

/// Four risers of at most 7 3/4 in: more than 23 1/4 in from the ground to the threshold.
#[test]
fn a_flight_that_needs_a_handrail() {
    for (region, ground, rails, verdict) in [
        ("us", "23 in", "none", GoAhead),
        ("us", "24 in", "none", ChangePlan),
        ("us", "24 in", "handrail", GoAhead),
        ("us", "24 in", "not sure", FindOutFirst),
        // from memory there: 200 mm a riser, more than three
        ("canada", "24 in", "none", FindOutFirst),
        ("canada", "24 in", "handrail", GoAhead),
        // TGD K 2014 1.1.3: 220 mm a riser, more than three
        ("ireland", "655 mm", "none", GoAhead),
        ("ireland", "665 mm", "none", ChangePlan),
        ("ireland", "665 mm", "handrail", GoAhead),
        // Approved Document K 1.27, but whether outside is asked: 220 mm a riser
        ("uk", "655 mm", "none", GoAhead),
        ("uk", "665 mm", "none", FindOutFirst),
        // D1/AS1, partly from memory: 190 mm a riser, more than three
        ("new_zealand", "565 mm", "none", GoAhead),
        ("new_zealand", "575 mm", "none", FindOutFirst),
        // DIN 18065: 200 mm a riser; three in a row are a stair, and the step at the door over a landing stands apart
        ("germany", "595 mm", "none", GoAhead),
        ("germany", "605 mm", "none", FindOutFirst),
    ] {
        let change = format!(
            "{LANDING}region: {region}\nground_below_mark: {ground}\nouter_edge: above_ground\nouter_edge_height: 16 in\nends_drop: 16 in\nrails: {rails}\nexit_below_mark: -3 in\nwood_below_mark: -3 in"
        );
        let answers = with(SOUND, &change);
        let assessment = assess(&answers);
        let held: Vec<_> = assessment.held().filter(|f| f.verdict.is_some()).map(|f| f.id.as_str()).collect();
        assert_eq!(assessment.settled.verdict, verdict, "{change} {held:?}");
        let needed = ["24 in", "665 mm", "575 mm", "605 mm"].contains(&ground);
        assert_eq!(has_task(&assessment, Sheet::Landscaper, "handrail_set"), needed, "{change}");
    }
}

/// The user's own steps against what each country asks of rise, going, two rises and a going, and pitch. Each rule counts
/// by itself.
#[test]
fn the_steps_as_they_are_planned() {
    for (region, rise, tread, wrong) in [
        // Approved Document K, table 1.1: rise 150 to 220, going 220 to 300, 2R+G 550 to 700, pitch 42 degrees at most
        ("uk", 170, 280, &[][..]),
        ("uk", 220, 220, &["steps_pitch_uk"]),
        ("uk", 200, 222, &["steps_pitch_uk"]),
        ("uk", 200, 223, &[]),
        ("uk", 150, 240, &["steps_pace_least_uk"]),
        ("uk", 220, 270, &["steps_pace_most_uk"]),
        ("uk", 160, 320, &[]),
        ("uk", 230, 300, &["step_rise_uk", "steps_pace_most_uk"]),
        // ABCB Housing Provisions 11.2: riser 115 to 190, going 240 to 355, 2R+G 550 to 700
        ("australia", 170, 280, &[]),
        ("australia", 210, 253, &["step_rise_au"]),
        ("australia", 120, 300, &["steps_pace_least_au"]),
        ("australia", 190, 350, &["steps_pace_most_au"]),
        ("australia", 150, 360, &["tread_depth_most_au"]),
        // step-length rule: 590 to 650
        ("germany", 170, 290, &[]),
        ("germany", 150, 280, &["steps_pace_least_de"]),
        ("germany", 180, 300, &["steps_pace_most_de"]),
        ("us", 170, 280, &[]),
    ] {
        for feature in ["masonry_steps\nsteps_footing: frost_footing\nstep_rise", "stone_slab_steps\nslab_thickness"] {
            let change = format!("region: {region}\nfeature: {feature}: {rise} mm\ntread_depth: {tread} mm");
            let answers = with(SOUND, &change);
            let assessment = assess(&answers);
            let broken: Vec<&str> = CONTENT
                .limits
                .iter()
                .zip(&assessment.clearances)
                .filter(|(l, c)| {
                    c.breaks().is_yes()
                        && l.verdict.is_some()
                        && ["step", "tread", "slab_rise"].iter().any(|s| l.id.starts_with(s))
                })
                .map(|(l, _)| l.id.as_str())
                .collect();
            let mut wanted: Vec<String> =
                wrong
                    .iter()
                    .map(|id| {
                        if feature.starts_with("stone") {
                            id.replace("step_rise", "slab_rise")
                        } else {
                            (*id).to_owned()
                        }
                    })
                    .collect();
            let mut broken: Vec<String> = broken.into_iter().map(str::to_owned).collect();
            wanted.sort();
            broken.sort();
            assert_eq!(broken, wanted, "{change}");
            assert!(wrong.is_empty() || assessment.settled.certain >= ChangePlan, "{change}");
        }
    }
}

// ---- Vents ----

/// A hood too low: the plan changes, and both the one who moves it and the crew read its name.
#[test]
fn a_hood_too_low_is_named_to_whoever_moves_it() {
    for region in REGIONS {
        for (height, low) in [("11 in", true), ("1 in", true), ("-1 in", true), ("12 1/2 in", false)] {
            let change = format!(
                "region: {region}\nwall_things: dryer_vent\ndryer_vent_above_surface: {height}\nfinish_below_mark: 24 in\nground_below_mark: 26 in"
            );
            let answers = with(SOUND, &change);
            let assessment = assess(&answers);
            let told = holds(&assessment, "dryer_vent_low") || holds(&assessment, "dryer_vent_buried");
            assert_eq!(told, low, "{change}");
            assert!(!low || assessment.settled.certain >= ChangePlan, "{change}");
            assert_eq!(has_task(&assessment, Sheet::Exterior, "dryer_vent_up"), low, "{change}");
            assert_eq!(has_task(&assessment, Sheet::Landscaper, "dryer_vent_free"), low, "{change}");
            assert!(!low || crew(&assessment).contains("dryer vent"), "{change}");
        }
        let unknown = format!("region: {region}\nwall_things: dryer_vent\ndryer_vent_above_surface: not sure");
        assert!(CONTENT.settle(&with(SOUND, &unknown)).verdict > GoAhead, "{unknown}");
    }
}

/// A vent of the crawl space that the work covers: a changed plan, and a line on the crew's sheet, planned or standing.
#[test]
fn a_covered_vent_of_the_crawl_space_is_on_the_crews_sheet() {
    for (stage, task) in [("", "crawl_vent_free"), (BUILT, "crawl_vent_uncovered")] {
        for (covered, verdict) in [("yes", ChangePlan), ("no", GoAhead), ("not sure", FindOutFirst)] {
            let change =
                format!("{stage}below_floor: crawl_space\nwall_things: crawl_vent\ncrawl_vents_covered: {covered}");
            let answers = with(SOUND, &change);
            let assessment = assess(&answers);
            assert_eq!(assessment.settled.verdict, verdict, "{change}");
            assert_eq!(has_task(&assessment, Sheet::Landscaper, task), verdict == ChangePlan, "{change}");
        }
    }
}

/// The flue of a gas appliance, on both sides of each country's figure. Where no checked figure is known, low is asked about.
#[test]
fn a_gas_vent_in_every_country() {
    for (region, bound_mm, low) in [
        // IRC G2427.8: 12 in
        ("us", 305, ChangePlan),
        // BS 5440-1, AS 5601: 300 mm, as makers' manuals quote them
        ("uk", 300, ChangePlan),
        ("ireland", 300, ChangePlan),
        ("australia", 300, ChangePlan),
        // AS/NZS 5601.1 Figure 6.2, one standard for both countries
        ("new_zealand", 300, ChangePlan),
        // CSA B149.1 from memory; no figure
        ("canada", 305, FindOutFirst),
        ("germany", 305, FindOutFirst),
    ] {
        let verdict = |mm: i64, stage: &str| {
            let change = format!(
                "{stage}region: {region}\ndoor: none\nwall_things: gas_vent\ngas_vent_above_surface: {mm} mm\nfinish_below_mark: 24 in\nground_below_mark: 26 in\ndry_or_sandy: no\nfall_drop: 8 in"
            );
            let answers = with(SOUND, &change);
            let assessment = assess(&answers);
            let named = has_task(&assessment, Sheet::Landscaper, "gas_vent_low_first")
                || has_task(&assessment, Sheet::Landscaper, "gas_vent_first");
            (assessment.settled.verdict, named)
        };
        assert_eq!(verdict(bound_mm + 20, "").0, GoAhead, "{region}");
        for mm in [bound_mm - 20, 160, 100, -20] {
            let (said, named) = verdict(mm, "");
            assert!(said >= low && named, "{region}, {mm} mm: {said:?}, named {named}");
        }
        // monotone: nearer is never milder
        let ranks: Vec<Verdict> = (-2..18).map(|n| verdict(n * 20, "").0).collect();
        assert!(ranks.windows(2).all(|pair| pair[1] <= pair[0]), "{region}: {ranks:?}");
        assert_eq!(verdict(100, BUILT).0, ExteriorTradeFirst, "{region}");
    }
}

// ---- The checklist beside "Go ahead" ----

/// Words by which a line of the checklist says that the work has to wait.
const WAITS: [&str; 12] = [
    "do not start",
    "wait",
    "before any work",
    "before anything is lifted",
    "until the owner has given",
    "nobody cuts",
    "too high at the wall",
    "decides before",
    "looks at the lowest log before",
    "before anyone touches",
    "before stone or cladding",
    "lay nothing",
];

/// Sound visits of several kinds, as a good builder would plan them; each goes ahead.
fn sound_visits() -> Vec<(String, Answers)> {
    let changes = [
        "",
        "cladding: stucco\nstucco_backing: frame\nweep_screed: present\nyear_built: 2012\nstucco_original: yes\nbarrier: paper_two\nfinish_below_mark: 7 1/2 in\nground_below_mark: 14 in",
        "cladding: brick_veneer\nveneer_weeps: seen\nveneer_flashing: seen\nfinish_below_mark: 7 1/2 in",
        "cladding: metal\nmetal_kind: steel\nfc_clearance: 1 in",
        "cladding: icf\nfc_clearance: 1 in\nfinish_below_mark: 7 1/2 in",
        "cladding: icf\nfinish_below_mark: 6 1/4 in",
        "cladding: fibre_cement\ncement_shingles: no\nfc_clearance: 1 in\nfinish_below_mark: 7 1/2 in",
        "cladding: fibre_cement\nfc_clearance: 1 in\nyear_built: 1970\nfinish_below_mark: 7 1/2 in",
        "cladding: solid_masonry\ndamp_course: present\nfinish_below_mark: 7 1/2 in",
        "cladding: solid_masonry\ndamp_course: absent\nfinish_below_mark: 7 in\nground_below_mark: 8 in",
        "region: germany\ndoor: none\ncladding: log_wall\nfinish_below_mark: 18 in\nground_below_mark: 20 in",
        "region: ireland\ndoor: none\ncladding: log_wall\nfinish_below_mark: 8 in\nground_below_mark: 20 in",
        "region: new_zealand\ndoor: none\nfinish_below_mark: 12 in\nfall_drop: 3 in",
        "feature: deck\ndeck_carried: free\nends_drop: 4 in\nrails: none",
        "feature: gravel_strip",
        "feature: driveway\ndrive_surface: pavers",
        "feature: hot_tub\ntub_base: slab\ntub_power: licensed",
        "feature: permeable_paving\npermeable_water: liner_drain",
        "feature: pergola\nporch_roof: gutter\ndeck_carried: free",
        "feature: turf\nturf_kind: artificial\nfall_drop: 8 in",
        BUILT,
    ];
    changes.iter().map(|change| ((*change).to_owned(), with(SOUND, change))).collect()
}

/// Every single answer of these visits changed to each that it can be: whatever still goes ahead has no line in its
/// checklist that says the work must wait, and no danger.
#[test]
fn nothing_waits_beside_go_ahead() {
    let scenarios = VISITS.iter().map(|(name, answers, _)| (name.clone(), answers.clone()));
    let (mut seen, mut went) = (0, 0);
    for (name, base) in sound_visits().into_iter().chain(scenarios) {
        went += usize::from(CONTENT.settle(&base).verdict == GoAhead);
        for (number, question) in CONTENT.flow.questions.iter().enumerate() {
            let tries: Vec<Answer> = match question.kind {
                QuestionKind::OneOf => (0..question.choices.len()).map(Answer::Choice).collect(),
                QuestionKind::YesNo => vec![Answer::YesNo(true), Answer::YesNo(false)],
                QuestionKind::SeveralOf => (0..question.choices.len()).map(|i| Answer::Several(1 << i)).collect(),
                _ => continue,
            };
            for answer in tries {
                let mut answers = base.clone();
                answers.set(number, answer);
                if CONTENT.settle(&answers).verdict != GoAhead {
                    continue;
                }
                seen += 1;
                let assessment = assess(&answers);
                for task in assessment.tasks(None) {
                    let text = flat(&task.todo).to_lowercase();
                    let waits = WAITS.iter().find(|words| text.contains(*words));
                    assert_eq!(waits, None, "{name} with another {}: {}: {text}", question.id, task.id);
                }
                assert!(assessment.held().all(|f| !f.danger && f.verdict.is_none()), "{name}");
            }
        }
    }
    assert!(seen > 1500 && went > 14, "{seen} visits go ahead, {went} of the sound ones");
}

// ---- The step at the door ----

/// A surface that cannot come up because of the siding: a step or a landing is offered, with its figures.
#[test]
fn too_deep_a_step_at_the_door_is_answered_with_a_step_or_a_landing() {
    for (door, finish, risers) in [
        // 14 in: two risers of 7 in, one step between
        ("door: slides\negress_door: no", "14 in", 2),
        ("door: swings_in\negress_door: yes", "17 in", 3),
        // a landing 1 1/2 in below the threshold, and 12 1/2 in up to it
        ("door: swings_out\negress_door: yes", "14 in", 2),
    ] {
        let change = format!(
            "{door}\ndoor_steps: no\nexit_below_mark: 13 in\nwood_below_mark: 11 in\nfinish_below_mark: {finish}\nground_below_mark: 20 in"
        );
        let answers = with(SOUND, &change);
        let assessment = assess(&answers);
        assert!(assessment.settled.certain >= ChangePlan, "{change}");
        let ways = assessment.ways();
        let flight = ways.iter().find_map(|way| match way.kind {
            WayKind::Landing { flight, .. } => Some(flight.risers),
            _ => None,
        });
        assert_eq!(flight, Some(risers), "{change}");
        let page = flat(&sheet(&assessment, Sheet::Homeowner, ""));
        assert!(page.contains("set a step or a landing at the door"), "{change}");
        assert!(has_task(&assessment, Sheet::Landscaper, "door_step_set"), "{change}");
    }
    // within one step nothing of it is said
    let answers = with(SOUND, "finish_below_mark: 7 in");
    assert!(!holds(&assess(&answers), "door_step_deep"));
}

// ---- What endangers people ----

/// In every visit: what endangers people stands before everything else that holds, and before the verdict on paper.
#[test]
fn danger_comes_first() {
    let dangerous = [
        "stage: built\nsigns: wet_basement\nwet_when: always\nwiring_wet: yes",
        "wall_things: gas_meter\ngas_meter_above_surface: -1 in\ngas_riser: none\nfinish_below_mark: 3 in",
        "wall_things: gas_vent\ngas_vent_above_surface: 8 in\nfinish_below_mark: 3 in",
        "wall_things: dryer_vent\ndryer_vent_above_surface: 3 in\nfinish_below_mark: 3 in",
    ];
    let made = dangerous.iter().map(|change| ((*change).to_owned(), with(SOUND, change)));
    let mut seen = 0;
    for (name, answers) in VISITS.iter().map(|(name, answers, _)| (name.clone(), answers.clone())).chain(made) {
        let assessment = assess(&answers);
        let ranks: Vec<bool> = assessment.held().map(|f| f.danger).collect();
        assert!(ranks.windows(2).all(|pair| pair[0] >= pair[1]), "{name}");
        let limits = assessment.limits().into_iter();
        let limit = limits.filter(|(l, c)| l.danger && l.verdict.is_some() && c.status == Status::Fails).count() > 0;
        let danger = limit || ranks.first() == Some(&true);
        let document = assessment.sheet(Sheet::Homeowner, &Cover::default());
        let first = matches!(document.blocks[0], Block::Caution { .. });
        if danger {
            seen += 1;
            assert!(first, "{name}");
            assert!(assessment.settled.verdict > GoAhead, "{name}");
        }
    }
    assert!(seen >= dangerous.len(), "{seen}");
}

/// Sentences that only make sense before the work is there.
const PLANNED: [&str; 16] = [
    "before you sign",
    "sign and start",
    "do not sign",
    "is signed",
    "the contract and",
    "change order",
    "would stand",
    "would be",
    "would cover",
    "would come",
    "would lie",
    "would reach",
    "would send",
    "into the plan",
    "by the plan",
    "the planned",
];

/// A row that can hold for work that stands has none of them: tried on every row, not on the visits that happen to be there.
#[test]
fn built_work_never_gets_the_sentences_of_planned_work() {
    let built = answers("stage: built");
    let assessment = CONTENT.assess_so_far(&built, Units::Inch);
    let possible = |when: &Condition| when.eval(&assessment.values).is_possible();
    let means = ["go_ahead", "change_plan", "find_out_first", "exterior_trade_first"]
        .map(|verdict| format!("verdict.{verdict}.means_built"));
    let mut texts: Vec<(String, &str)> = means.iter().map(|key| (key.clone(), CONTENT.word(key))).collect();
    for f in CONTENT.findings.iter().filter(|f| f.guard.is_some() || possible(&f.when)) {
        texts.extend(
            [("title", &f.title), ("say", &f.say), ("do", &f.todo)]
                .map(|(t, text)| (format!("finding {} {t}", f.id), text.as_str())),
        );
    }
    for l in CONTENT.limits.iter().filter(|l| possible(&l.when)) {
        texts.extend(
            [("what", &l.what), ("because", &l.because)]
                .map(|(t, text)| (format!("limit {} {t}", l.id), text.as_str())),
        );
    }
    for t in CONTENT.tasks.iter().filter(|t| possible(&t.when)) {
        texts.extend(
            [("do", &t.todo), ("because", &t.because)].map(|(n, text)| (format!("task {} {n}", t.id), text.as_str())),
        );
    }
    for c in CONTENT.calls.iter().filter(|c| possible(&c.when)) {
        texts.extend(
            [("point", &c.point), ("say", &c.say), ("because", &c.because)]
                .map(|(n, text)| (format!("call {} {n}", c.id), text.as_str())),
        );
    }
    for a in CONTENT.asks.iter().filter(|a| possible(&a.when)) {
        texts.extend(
            [("ask", &a.ask), ("why", &a.why), ("then", &a.follow_up)]
                .map(|(n, text)| (format!("ask {} {n}", a.id), text.as_str())),
        );
    }
    for c in CONTENT.cautions.iter().filter(|c| possible(&c.when)) {
        texts.push((format!("caution {}", c.id), c.say.as_str()));
    }
    for j in CONTENT.joint_tasks.iter().filter(|j| possible(&j.when)) {
        texts.extend(
            [("what", &j.what), ("check", &j.check)].map(|(n, text)| (format!("joint {} {n}", j.id), text.as_str())),
        );
    }
    assert!(texts.len() > 500, "{}", texts.len());
    let mut found = Vec::new();
    for (name, text) in texts {
        let text = flat(text).to_lowercase();
        let hits = PLANNED.iter().filter(|words| text.contains(**words));
        found.extend(hits.map(|words| format!("{name}: {words}")));
    }
    assert!(found.is_empty(), "{found:#?}");
}

/// And none of them stands on any sheet of a built visit.
#[test]
fn no_sheet_of_built_work_speaks_of_signing() {
    let mut seen = 0;
    for (name, visit, units) in VISITS.iter() {
        let assessment = CONTENT.assess(visit, *units);
        if !matches!(visit.get(CONTENT.flow.question("stage").unwrap()), Some(Answer::Choice(1))) {
            continue;
        }
        seen += 1;
        for which in [Sheet::Homeowner, Sheet::Landscaper, Sheet::Exterior] {
            let page = flat(&sheet(&assessment, which, "")).to_lowercase();
            for words in PLANNED {
                let near = page.find(words).map(|at| {
                    let from = page.floor_char_boundary(at.saturating_sub(80));
                    &page[from..at + words.len()]
                });
                assert_eq!(near, None, "{name}, {which:?}");
            }
        }
    }
    assert!(seen > 40, "{seen}");
}
