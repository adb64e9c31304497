//! Claddings and features are rows: what holds for every one of them, generated over all rows.

use crate::support::{CONTENT, answers, run, sheet, top};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use wallfoot::content::{Content, Sheet, Verdict};
use wallfoot::flow::Answers;
use wallfoot::judge::Assessment;
use wallfoot::names::{Carrier, Named};
use wallfoot::units::Units;

/// The ids of the choices of a question.
fn ids(question: &str) -> Vec<&'static str> {
    let question = CONTENT.flow.question(question).unwrap();
    CONTENT.flow.questions[question].choices.iter().map(|c| c.id.as_str()).collect()
}

/// All claddings with all that may carry them.
fn walls() -> Vec<(&'static str, Carrier)> {
    let rows = ids("cladding").into_iter().zip(&CONTENT.catalog.claddings);
    rows.flat_map(|(id, row)| row.carried_by.iter().map(move |carrier| (id, *carrier))).collect()
}

fn is_mineral(carrier: Carrier) -> bool {
    matches!(carrier, Carrier::Block | Carrier::Concrete)
}

/// What is answered to say that this carries the cladding; hidden questions do not count, so both may stand.
fn carried(carrier: Carrier) -> String {
    let coat = match carrier {
        Carrier::WoodFrame | Carrier::Log => "frame",
        Carrier::SteelFrame => "steel_frame",
        Carrier::Panels => "panels",
        Carrier::Block => "masonry",
        Carrier::Concrete => "concrete",
    };
    let backing = if carrier == Carrier::Log { "" } else { carrier.text() };
    let backing = if backing.is_empty() { String::new() } else { format!("backing: {backing}\n") };
    format!("stucco_backing: {coat}\n{backing}")
}

/// A plan for a wall: everything asked is answered but what carries the cladding.
fn planned(cladding: &str, feature: &str, finish: &str) -> String {
    format!(
        "region: us
stage: planned
feature: {feature}
overlay_bed: mortar
drive_surface: pavers
deck_carried: free
against_kind: counter
steps_footing: frost_footing
retaining_height: 12 in
feature_length: 18 ft
feature_depth: 10 ft
joint: tight
cladding: {cladding}
cement_shingles: no
fc_clearance: 2 in
weep_screed: present
veneer_weeps: seen
veneer_flashing: seen
damp_course: present
eifs_drained: drained
year_built: 2012
below_floor: slab
door: slides
egress_door: no
exit_way: down_from_mark
exit_below_mark: 4 in
finish_way: down_from_mark
finish_below_mark: {finish}
ground_below_mark: 20 in
wall_things: none
roof_edge: gutter
downspout: led_away
fall_direction: away
fall_drop: 3 in
outer_edge: level_with_ground
footing_below_ground: 3 ft
site_conditions: none
contractor: talking
wall_plan: nothing_said
cuts_cladding: crew
closes_cladding: exterior
permit: have
in_writing: height
signs: none
"
    )
}

/// The same work as it stands, with damp and all that goes with it.
fn built(cladding: &str, feature: &str, finish: &str) -> String {
    let stands = "stage: built
removable: loose
void_behind: yes
void_length: 4 ft
surface_gap_open: yes
joint: sealed
fall_direction: towards
channel_end: behind_work
door_sill_pan: absent
earlier_repairs: caulk, coating
signs: wet_basement, white_bloom, musty_smell, peeling_paint, swollen_trim, cracks
wet_when: after_rain
mould_seen: no
wiring_wet: no
kickout: absent
roof_edge: roof_ends_on_wall
below_floor: basement
site_conditions: termites, hard_frost, clay
in_florida: no
step_free: no
";
    format!("{}{stands}", planned(cladding, feature, finish))
}

fn all(lines: &str) -> Answers {
    // of several answers to one question the last one counts, as in `with`
    answers(lines)
}

fn assess(answers: &Answers) -> Assessment<'_> {
    CONTENT.assess(answers, Units::Inch)
}

/// Words that have no business at a wall of brick, block, stone or concrete.
const OF_WOOD: [&str; 14] = [
    "wood",
    "wooden",
    "sheathing",
    "framing",
    "framed",
    "stud",
    "studs",
    "rot",
    "rots",
    "rotten",
    "rotting",
    "rim",
    "plywood",
    "lumber",
];

/// The first such word, with what stands around it. A deck has wood of its own, and so have boards on a block wall.
fn of_wood(text: &str, cladding: &str, feature: &str) -> Option<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let plain = |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let found = words.iter().enumerate().find(|(at, word)| {
        let word = plain(word);
        let before = at.checked_sub(1).map(|i| plain(words[i])).unwrap_or_default();
        let own = cladding == "wood" && matches!(word.as_str(), "wood" | "rots")
            || feature == "deck" && matches!(word.as_str(), "rotten" | "rot" | "lumber");
        // the sill of a door or a window is there in every wall
        let sill = word == "sill" && !matches!(before.as_str(), "door" | "window" | "outside" | "windows");
        !own && (OF_WOOD.contains(&word.as_str()) || sill)
    });
    found.map(|(at, _)| words[at.saturating_sub(8)..(at + 6).min(words.len())].join(" "))
}

/// The texts of a JSON value, all but those under these names.
fn texts(value: &Value, without: &[&str], into: &mut Vec<String>) {
    match value {
        Value::String(text) => into.push(text.clone()),
        Value::Array(list) => list.iter().for_each(|v| texts(v, without, into)),
        Value::Object(map) => {
            map.iter().filter(|(key, _)| !without.contains(&key.as_str())).for_each(|(_, v)| texts(v, without, into));
        }
        _ => {}
    }
}

/// Water held at block or concrete does harm, but no wood is there to rot.
#[test]
fn nothing_speaks_of_wood_where_there_is_none() {
    let mut found = BTreeSet::new();
    let (plans, stands): (fn(&str, &str, &str) -> String, _) = (planned, built);
    for (cladding, carrier) in walls().into_iter().filter(|(_, carrier)| is_mineral(*carrier)) {
        for feature in ids("feature") {
            for (finish, make) in [("2 in", plans), ("14 in", plans), ("2 in", stands), ("14 in", stands)] {
                let lines = format!("{}{}", make(cladding, feature, finish), carried(carrier));
                let answers = all(&lines);
                let assessment = assess(&answers);
                let report = serde_json::to_value(assessment.report()).unwrap();
                let mut said = Vec::new();
                // what the user answered, names of files, and why something is not known are not advice
                texts(&report, &["answers", "source", "edition", "id", "find_out", "why", "questions"], &mut said);
                said.extend([Sheet::Homeowner, Sheet::Landscaper, Sheet::Exterior].map(|s| sheet(&assessment, s, "")));
                for text in said {
                    if let Some(around) = of_wood(&text, cladding, feature) {
                        found.insert(format!("{cladding} on {}, {feature}: {around}", carrier.text()));
                    }
                }
            }
        }
    }
    let shown: Vec<&String> = found.iter().take(20).collect();
    assert!(found.is_empty(), "{} of them: {shown:#?}", found.len());
}

/// What carries a cladding decides how grave it is when its exit is covered. Where nobody knows, the advice is the
/// one for what usually carries it, and never milder.
#[test]
fn what_carries_the_wall_decides() {
    let verdict = |lines: &str| assess(&all(lines)).settled.verdict;
    for (cladding, carrier) in walls() {
        let covered = planned(cladding, "sand_set_pavers", "2 in");
        let said = verdict(&format!("{covered}{}", carried(carrier)));
        let grave = said == Verdict::ExteriorTradeFirst;
        assert_eq!(grave, !is_mineral(carrier), "{cladding} on {}", carrier.text());
        assert!(said >= Verdict::ChangePlan, "{cladding} on {}", carrier.text());
    }
    for (cladding, row) in ids("cladding").into_iter().zip(&CONTENT.catalog.claddings) {
        let Some(usual) = row.usually else { continue };
        for finish in ["2 in", "6 in", "14 in"] {
            for make in [planned, built] {
                let lines = make(cladding, "concrete_slab", finish);
                let (unsaid, said) = (all(&lines), all(&format!("{lines}{}", carried(usual))));
                let held = |a: &Answers| assess(a).held().map(|f| f.id.clone()).collect::<Vec<_>>();
                assert_eq!(held(&unsaid), held(&said), "{cladding} {finish}");
                assert_eq!(assess(&unsaid).settled.verdict, assess(&said).settled.verdict, "{cladding} {finish}");
            }
        }
    }
}

/// Wherever the surface covers the exit and the work may hold the water, a finding that carries a verdict says so for
/// certain, however little else is known.
#[test]
fn a_covered_exit_is_always_told() {
    let walls = walls().into_iter().map(|(cladding, carrier)| (cladding, carried(carrier)));
    let unsaid = ids("cladding").into_iter().map(|cladding| (cladding, String::new()));
    for (cladding, on) in walls.chain(unsaid) {
        for stage in ["planned", "built"] {
            for joint in ["tight", "sealed", "open_gap", "hidden"] {
                let lines = format!(
                    "region: us\nstage: {stage}\njoint: {joint}\ncladding: {cladding}\ndamp_course: present\n{on}\
                     exit_way: down_from_mark\nexit_below_mark: 12 in\nfinish_way: down_from_mark\nfinish_below_mark: 8 in\n"
                );
                let answers = all(&lines);
                let assessment = assess(&answers);
                let told = assessment.held().any(|f| f.tells_held && f.verdict.is_some());
                assert!(told, "{cladding} {on} {stage} {joint}");
                assert!(!assessment.held().any(|f| f.id == "trace_untold"), "{cladding} {on} {stage} {joint}");
            }
        }
    }
}

/// A list of what is framed names structural insulated panels too: they are board, carry the house and rot.
#[test]
fn a_list_of_frames_names_panels_too() {
    let mut folders = vec![top().join("questions")];
    let mut lists = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if entry.is_dir() {
                folders.push(entry);
                continue;
            }
            for line in std::fs::read_to_string(&entry).unwrap().lines() {
                lists += usize::from(line.contains("frame, steel_frame, panels"));
                assert!(!line.contains("frame, steel_frame]"), "{}: {line}", entry.display());
            }
        }
    }
    assert!(lists > 30, "{lists}");
}

/// Nobody is sent to look for the lowest wood of a wall that has none, nor behind a deck.
#[test]
fn wood_is_asked_only_where_there_is_wood() {
    let asked = |lines: &str, question: &str| {
        let answers = all(lines);
        CONTENT.flow.state(&answers).shown[CONTENT.flow.question(question).unwrap()].is_yes()
    };
    for (cladding, carrier) in walls() {
        let frame = matches!(carrier, Carrier::WoodFrame | Carrier::SteelFrame | Carrier::Panels);
        for question in ["wood_below_mark", "joist_size", "barrier"] {
            let lines = format!("{}{}", built(cladding, "concrete_slab", "6 in"), carried(carrier));
            assert!(frame || !asked(&lines, question), "{question} of {cladding} on {}", carrier.text());
            let deck = format!("{}{}", built(cladding, "deck", "6 in"), carried(carrier));
            assert!(question == "barrier" || !asked(&deck, question), "{question} behind a deck");
        }
        let lines = format!("{}{}", planned(cladding, "concrete_slab", "6 in"), carried(carrier));
        assert_eq!(asked(&lines, "wood_below_mark"), frame, "{cladding} on {}", carrier.text());
    }
}

/// The plan of every feature has work of its own, its material is counted or said not to be, and the last measuring
/// waits for all of it.
#[test]
fn every_feature_has_a_plan() {
    let common = ["height_checked", "fill_joints", "excavate", "base", "base_checked", "isolation_joint"];
    for feature in ids("feature") {
        let ways: &[&str] = match feature {
            "driveway" => {
                &["drive_surface: pavers", "drive_surface: concrete", "drive_surface: asphalt", "drive_surface: gravel"]
            }
            "deck" => &[
                "deck_carried: free",
                "deck_carried: ledger_wall\nledger_flashing: yes",
                "deck_carried: ledger_over\nledger_flashing: no",
            ],
            _ => &[""],
        };
        for way in ways {
            for finish in ["14 in", "2 in"] {
                let lines = format!("{}{way}\nbacking: wood_frame\n", planned("vinyl", feature, finish));
                let answers = all(&lines);
                let assessment = assess(&answers);
                let plan = assessment.plan().unwrap();
                let place = |id: &str| plan.activities.iter().position(|p| p.row.id == id);
                let measured = place("height_checked").unwrap();
                let mut before = vec![measured];
                let mut at = 0;
                while let Some(next) = before.get(at).copied() {
                    before.extend(plan.activities[next].after.iter().copied());
                    at += 1;
                }
                let crew = plan.activities.iter().enumerate().filter(|(_, p)| p.row.who as usize == 1);
                let crew: Vec<(usize, &str)> = crew.map(|(at, p)| (at, p.row.id.as_str())).collect();
                assert!(crew.iter().any(|(_, id)| !common.contains(id)), "{feature} {way}: {crew:?}");
                for (at, id) in crew {
                    assert!(
                        before.contains(&at) || id == "fill_joints",
                        "{feature} {way}: {id} is after the measuring"
                    );
                }
                let counted = assessment.quantities().len() + assessment.not_counted().len();
                assert!(counted > 0, "{feature} {way}");
            }
        }
    }
}

/// Names, titles and work of every row are there in Spanish.
#[test]
fn every_row_is_there_in_spanish() {
    let spanish = Content::load(&wallfoot::commands::sources(None, Some("es")).unwrap(), Some("es")).unwrap();
    for question in ["cladding", "feature"] {
        let at = CONTENT.flow.question(question).unwrap();
        let pairs = spanish.flow.questions[at].choices.iter().zip(&CONTENT.flow.questions[at].choices);
        for (es, en) in pairs {
            assert_ne!(es.label, en.label, "{question} {}", en.id);
        }
    }
    for kind in &CONTENT.catalog.exit_kinds {
        let key = format!("exit.kind.{kind}");
        assert_ne!(spanish.word(&key), CONTENT.word(&key));
    }
    for (es, en) in spanish.findings.iter().zip(&CONTENT.findings) {
        assert_ne!(es.title, en.title, "{}", en.id);
    }
    for (es, en) in spanish.limits.iter().zip(&CONTENT.limits) {
        assert_ne!(es.what, en.what, "{}", en.id);
    }
    for (es, en) in spanish.activities.iter().zip(&CONTENT.activities) {
        assert_ne!(es.what, en.what, "{}", en.id);
    }
    for (es, en) in spanish.quantities.iter().zip(&CONTENT.quantities) {
        assert_ne!(es.what, en.what, "{}", en.id);
    }
}

/// The blocks of the docs: what they are, and their lines.
fn blocks(page: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        if let Some(kind) = line.strip_prefix("```").filter(|kind| !kind.is_empty()) {
            let body: Vec<&str> = lines.by_ref().take_while(|l| *l != "```").collect();
            found.push((kind.to_owned(), body.join("\n")));
        }
    }
    found
}

/// Copies a file with one line changed, as the docs tell the reader to.
fn copy(folder: &Path, from: &str, to: &str, changes: &[(&str, &str)]) {
    let mut text = std::fs::read_to_string(folder.join(from)).unwrap();
    for (old, new) in changes {
        assert!(text.contains(old), "{from} has no {old}");
        text = text.replace(old, new);
    }
    std::fs::write(folder.join(to), text).unwrap();
}

/// The two worked examples of the docs and their guard, done to the letter: what they say is printed, is printed.
#[test]
fn the_examples_of_the_docs_hold() {
    let page = std::fs::read_to_string(top().join("docs/writing-questions.md")).unwrap();
    let from = page.find("## Add a cladding").unwrap();
    let page = &page[from..page.find("## Translations").unwrap()];
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    std::fs::create_dir(here.join("mine")).unwrap();
    std::fs::create_dir(here.join("guard")).unwrap();
    std::fs::create_dir(here.join("promised")).unwrap();
    let mut ran = 0;
    for (kind, body) in blocks(page) {
        match kind.as_str() {
            "yaml" => {
                // the first line says which file it goes into; a second block of the same file is added to it
                let name = body.lines().next().and_then(|l| l.strip_prefix("# ")).expect("a file name");
                let path = here.join(name);
                let before = std::fs::read_to_string(&path).unwrap_or_default();
                std::fs::write(&path, format!("{before}{body}\n")).unwrap();
                if name == "covered.yaml" {
                    copy(here, name, "block.yaml", &[("backing: wood_frame", "backing: block")]);
                    copy(here, name, "clear.yaml", &[("finish_below_mark: 3 in", "finish_below_mark: 7 1/2 in")]);
                    let grass = [
                        ("feature: sand_set_pavers", "feature: grass_grid"),
                        ("cladding: cork", "cladding: vinyl"),
                        ("finish_below_mark: 3 in", "finish_below_mark: 7 in"),
                    ];
                    copy(here, name, "grass.yaml", &grass);
                    let low = [
                        ("exit_below_mark: 4 in", "exit_below_mark: 0 in"),
                        ("wood_below_mark: 2 in", "wood_below_mark: 0 in"),
                    ];
                    copy(here, "grass.yaml", "low-grass.yaml", &low);
                }
                if body.contains("id: lay_grass_grid") {
                    let work = wallfoot::commands::embedded("work.yaml").unwrap();
                    let row = work.find("- id: height_checked").unwrap();
                    let (head, tail) = work.split_at(row);
                    let tail = tail.replacen("excavate,", "excavate, lay_grass_grid,", 1);
                    std::fs::write(here.join("mine/work.yaml"), format!("{head}{tail}")).unwrap();
                }
            }
            "console" => {
                let mut printed = String::new();
                for line in body.lines() {
                    if let Some(command) = line.strip_prefix("$ wallfoot ") {
                        let args: Vec<&str> = command.split_whitespace().collect();
                        let output = run(here, &args);
                        let all = [output.stdout, output.stderr].concat();
                        let all = String::from_utf8_lossy(&all).into_owned();
                        printed = all.split_whitespace().collect::<Vec<_>>().join(" ");
                        ran += 1;
                    } else {
                        let wanted = line.split_whitespace().collect::<Vec<_>>().join(" ");
                        assert!(printed.contains(&wanted), "{wanted:?} is not in {printed}");
                    }
                }
            }
            _ => {}
        }
    }
    assert!(ran >= 15, "{ran} commands");
    // the plan of the feature: the last measuring waits for its work
    let plan = run(here, &["--questions", "mine", "plan", "grass.yaml", "--as", "json"]);
    let plan: Value = serde_json::from_slice(&plan.stdout).unwrap();
    let activities = plan["plan"]["activities"].as_array().unwrap();
    let number = |id: &str| activities.iter().find(|a| a["id"] == id).unwrap()["number"].clone();
    let measured = activities.iter().find(|a| a["id"] == "height_checked").unwrap();
    assert!(measured["after"].as_array().unwrap().contains(&number("lay_grass_grid")), "{measured}");
}
