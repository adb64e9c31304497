//! The plan of a visit, as its users see it: material, several stretches, own figures and prices, sheets.

use crate::support::{CONTENT, run, scenario, scenarios, top};
use proptest::prelude::*;
use std::collections::BTreeMap;
use wallfoot::content::{Content, FigureValue, Formula};
use wallfoot::judge::{Job, Stretches, totals};
use wallfoot::units::{Length, Units};
use wallfoot::work::{joint_volume, pieces_with_laps};

pub(crate) struct Said {
    pub(crate) out: String,
    pub(crate) err: String,
    pub(crate) code: i32,
}

pub(crate) fn plan_of(visit: &str, args: &[&str]) -> Said {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), visit).unwrap();
    let output = run(folder.path(), &[&["plan", "v.yaml"][..], args].concat());
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Said { out: text(&output.stdout), err: text(&output.stderr), code: output.status.code().unwrap() }
}

pub(crate) fn demo() -> String {
    std::fs::read_to_string(top().join("questions/demo/back-patio.yaml")).unwrap()
}

fn visit_of(scenario: &str) -> String {
    std::fs::read_to_string(top().join("tests/scenarios").join(scenario).join("visit.yaml")).unwrap()
}

/// Amounts of a table by stretch and id.
fn amounts(visit: &str, args: &[&str]) -> BTreeMap<(String, String), (f64, String)> {
    let said = plan_of(visit, &[&["--as", "csv"][..], args].concat());
    assert_eq!(said.code, 0, "{}", said.err);
    let mut reader = csv::Reader::from_reader(said.out.as_bytes());
    let rows = reader.records().map(Result::unwrap);
    rows.map(|r| ((r[0].to_owned(), r[1].to_owned()), (r[4].parse().unwrap(), r[5].to_owned()))).collect()
}

/// The amounts of the first stretch, by id.
fn first(visit: &str, args: &[&str]) -> BTreeMap<String, f64> {
    let all = amounts(visit, args);
    let name = all.keys().next().unwrap().0.clone();
    all.into_iter().filter(|((stretch, _), _)| *stretch == name).map(|((_, id), (n, _))| (id, n)).collect()
}

fn near(found: f64, by_hand: f64) -> bool {
    (found - by_hand).abs() < 0.006
}

/// Worked out by hand from the sizes of the demo patio: 24 ft of vinyl, 14 ft out.
#[test]
fn the_material_of_the_demo_by_hand() {
    let found = first(&demo(), &[]);
    let expect = [
        // 24 ft x 2 ft of strip, 10 % waste
        ("cladding", 24.0 * 2.0 * 1.1),
        // rows of 8 in in 24 in
        ("rows_vinyl", 3.0),
        // 24 ft in strips of 12 ft that butt
        ("starter", 2.0),
        // 48 ft2 of 32 ft2 sheets with 10 %: 1.65
        ("sheathing", 2.0),
        // one course of 36 in, 288 in and 10 %: one roll of 900 in
        ("membrane", 1.0),
        // (288 - 4) / (120 - 4) = 2.4
        ("flashing", 3.0),
        ("end_dams", 2.0),
        // (24 ft + 2 x 6 in) x (24 in + 2 in), 10 %
        ("barrier", 25.0 * 26.0 / 12.0 * 1.1),
        // 24 ft along the top and 2 ft down at both ends, 10 %: 30.8 ft of a 50 ft roll
        ("tape", 1.0),
        // 336 ft2 of pavers of 32 in2 are 1,512, 5 % breakage: 1,587.6
        ("pavers", 1588.0),
        // 336 ft2 x 1 in, 10 %
        ("bedding", 336.0 / 12.0 / 27.0 * 1.1),
        // 4 in, past its three free edges by its own thickness (industry tech note): 24 ft 8 in x 14 ft 4 in, 1.4 short tons
        // to the yd3, 20 % for compaction
        ("base", (24.0 + 8.0 / 12.0) * (14.0 + 4.0 / 12.0) / 3.0 / 27.0 * 1.4 * 1.2),
        // each paver has (8 + 4) in of joint, 1/8 in x 2 3/8 in: 5,386.5 in3 = 3.117 ft3, 10 %: 3.43 in bags of 0.5
        ("joint_sand", 7.0),
        // 24 ft and two sides of 14 ft, pieces of 8 ft: 6.5
        ("edge_restraint", 7.0),
    ];
    for (id, by_hand) in expect {
        assert!(near(found[id], by_hand), "{id}: {} is not {by_hand}", found[id]);
    }
}

/// A concrete slab and its bags: yields of makers' tables, 0.60 ft3 to 80 lb.
#[test]
fn the_material_of_a_slab_by_hand() {
    let answers = scenario("stucco-screed-slab");
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let (length, depth) = (assessment.site.length.unwrap().as_inches(), assessment.site.depth.unwrap().as_inches());
    let found = first(&visit_of("stucco-screed-slab"), &[]);
    let cubic_feet = length * depth * 4.0 / 1728.0 * 1.05;
    assert!(near(found["concrete"], cubic_feet / 27.0));
    assert!((found["bags"] - (cubic_feet / 0.6).ceil()).abs() < 1e-9);
    assert!(near(found["soft_strip"], length / 12.0 * 1.05));
}

/// 1 lb of hydraulic cement fills about 17 in3 (maker data): a hollow of 30 x 3/4 x 3/4 in takes about a pound.
#[test]
fn cement_for_a_hollow() {
    let built = visit_of("built-brick-weeps-covered");
    let visit = built.replace(
        "answers:\n",
        "answers:\n  void_behind: yes\n  void_length: 30 in\n  void_width: 3/4 in\n  void_depth: 3/4 in\n",
    );
    let visit: String = {
        // what stood there before gives way
        let mut seen = false;
        let keep = |line: &&str| !line.trim_start().starts_with("void_behind") || !std::mem::replace(&mut seen, true);
        visit.lines().filter(keep).collect::<Vec<_>>().join("\n") + "\n"
    };
    let found = first(&visit, &["--figure", "cement_waste=0"]);
    assert!(near(found["plug_cement"], 30.0 * 0.75 * 0.75 / 17.0), "{}", found["plug_cement"]);
    // and in kilograms where these are used
    let metric = amounts(&visit, &["--figure", "cement_waste=0", "--units", "metric"]);
    let (_, (kilograms, unit)) = metric.into_iter().find(|((_, id), _)| id == "plug_cement").unwrap();
    assert_eq!(unit, "kg");
    assert!(near(kilograms, 30.0 * 0.75 * 0.75 / 17.0 * 0.453_592_37));
}

/// No block of cement under steps: what is counted ends at 3 ft3 (`cement_most`, a default; at 17 in3 to a pound, maker data,
/// that is 305 lb), where the rules change over too, and at 4 in of width. Beyond, nothing is counted.
#[test]
fn cement_is_for_small_narrow_hollows() {
    let built = visit_of("built-steps-hollow-large");
    let cement = |sizes: [&str; 3]| {
        let mut visit = String::new();
        for line in built.lines() {
            let size =
                ["void_length", "void_width", "void_depth"].iter().position(|id| line.trim_start().starts_with(id));
            let text = size.map_or_else(
                || line.to_owned(),
                |at| format!("  {}: {}", line.trim().split(':').next().unwrap(), sizes[at]),
            );
            visit.push_str(&text);
            visit.push('\n');
        }
        let found = first(&visit, &["--figure", "cement_waste=0"]);
        // the text goes with the figure
        let told = plan_of(&visit, &[]).out.contains("Fill the narrow");
        assert_eq!(told, found.contains_key("plug_cement"), "{sizes:?}");
        found.get("plug_cement").copied()
    };
    // 9 ft x 4 in x 12 in = 3 ft3
    assert!(near(cement(["9 ft", "4 in", "12 in"]).unwrap(), 3.0 * 1728.0 / 17.0));
    assert_eq!(cement(["9 ft", "4 in", "12 1/8 in"]), None);
    assert_eq!(cement(["2 ft", "4 1/8 in", "6 in"]), None);
    assert_eq!(cement(["6 ft", "9 in", "20 in"]), None, "635 lb and more of it");
}

/// The joints of units laid edge to edge, against a count of the lines of a grid: 100 x 100 units of 8 x 4 in.
#[test]
fn joints_of_a_grid() {
    let inches = Length::inches;
    let area = inches(800).by(inches(400));
    let eighth = Length::parse("1/8", Units::Inch).unwrap();
    let volume = joint_volume(area, (inches(8), inches(4)), (eighth, inches(2))).unwrap();
    // 100 lines of 400 in and 100 of 800 in, each 1/8 in wide and 2 in deep
    let by_hand = (100.0 * 400.0 + 100.0 * 800.0) * 0.125 * 2.0 / 46656.0;
    assert!((volume.as_cubic_yards() - by_hand).abs() < 1e-9);
}

fn with_runs() -> String {
    // as the program itself writes another stretch
    demo() + "runs:\n  return wall:\n    answers:\n      feature_length: 10 ft\n"
}

#[test]
fn stretches_are_told_one_by_one_and_together() {
    let all = amounts(&with_runs(), &[]);
    let of = |stretch: &str, id: &str| all[&(stretch.to_owned(), id.to_owned())].0;
    let names: Vec<String> = all.keys().map(|(stretch, _)| stretch.clone()).collect();
    let main = names.iter().find(|n| *n != "return wall" && *n != "total").unwrap().clone();
    // one roll of membrane does for both; flashing is counted piece by piece: 3 and 1
    assert!(near(of(&main, "membrane") + of("return wall", "membrane"), 2.0) && near(of("total", "membrane"), 1.0));
    assert!(near(of("total", "flashing"), 4.0));
    // 34 ft x 14 ft of pavers
    assert!(near(of("total", "pavers"), (34.0 * 14.0 * 144.0 / 32.0 * 1.05_f64).ceil()));
    assert!(near(of("total", "bedding"), of(&main, "bedding") + of("return wall", "bedding")));
    let page = plan_of(&with_runs(), &[]).out;
    assert!(page.contains("All stretches together") && page.contains("return wall:"), "{page}");
    // one stretch alone, and one that is not there
    let alone = amounts(&with_runs(), &["--run", "return wall"]);
    assert!(alone.keys().all(|(stretch, _)| stretch == "return wall"));
    assert!(plan_of(&with_runs(), &["--run", "garage"]).err.contains("there is no such stretch"));
    // the hours of both walls are in the order of work: digging 2 h and 0.04 x (336 + 140) ft2 / 3
    let json: serde_json::Value = serde_json::from_str(&plan_of(&with_runs(), &["--as", "json"]).out).unwrap();
    let dig = json["plan"]["activities"].as_array().unwrap().iter().find(|a| a["id"] == "excavate").unwrap();
    assert_eq!(dig["hours"], (2.0_f64 + 0.04 * 476.0 / 3.0).ceil());
}

// ---- The user's own figures

#[test]
fn figures_are_the_users_own() {
    let with = |figure: &str| plan_of(&demo(), &["--as", "csv", "--figure", figure]);
    let pavers = |said: &Said| said.out.lines().find(|l| l.contains(",pavers,")).unwrap().to_owned();
    assert!(pavers(&with("breakage=7")).contains(",1618.00,"), "{}", pavers(&with("breakage=7")));
    // an own figure carries no star
    let own = plan_of(&demo(), &["--as", "markdown", "--figure", "paver_length=6 in"]).out;
    assert!(own.contains("pieces of 6 in by 4 in\\*") && own.contains("your own figure"), "{own}");
    for (figure, says) in [
        ("breakage", "write it as name=value"),
        ("brekage=7", "did you mean `breakage`?"),
        ("breakage=2 in", "is a number; `2 in` is none"),
        ("paver_length=-3 in", "is a length; `-3 in` is none"),
    ] {
        let said = with(figure);
        assert_eq!(said.code, 1);
        assert!(said.err.contains(says), "{}", said.err);
    }
    // it reaches the sheets too
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), demo()).unwrap();
    let sheet = run(folder.path(), &["advise", "v.yaml", "--sheet", "landscaper", "--figure", "breakage=7"]);
    assert!(String::from_utf8_lossy(&sheet.stdout).contains("Pavers: 1618"));
}

#[test]
fn the_book_holds_figures_and_hours_too() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("book.yaml");
    let with = |text: &str| {
        std::fs::write(&file, text).unwrap();
        plan_of(&demo(), &["--as", "json", "--prices", file.to_str().unwrap()])
    };
    let said = with("figures: { breakage: 7 }\nactivities: { excavate: { hours: 1, rate: 0.1, crew: 2 } }\n");
    let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    let find =
        |list: &str, id: &str| json["plan"][list].as_array().unwrap().iter().find(|a| a["id"] == id).unwrap().clone();
    // 1 h and 0.1 x 336 ft2 / 2 persons
    assert_eq!(find("activities", "excavate")["hours"], 18);
    assert_eq!(find("totals", "pavers")["amount"], 1618.0);
    for (text, says) in [
        ("figures: { brekage: 7 }", "did you mean `breakage`?"),
        ("activities: { excavat: { hours: 1 } }", "did you mean `excavate`?"),
        ("activities: { permit: { rate: 1 } }", "`permit` has no rate, only hours"),
        ("activities: { excavate: { crew: 0 } }", "at least one person"),
        ("activities: { excavate: { hours: -1 } }", "-1 cannot be"),
        ("materials: { paver: { low: 1, likely: 1, high: 1 } }", "did you mean `pavers`?"),
    ] {
        let said = with(text);
        assert_eq!(said.code, 1, "{text}");
        assert!(said.err.contains(says), "{}", said.err);
    }
}

/// The sum is that of its parts, and what only counts work or stands for another row is not in it.
#[test]
fn prices_add_up() {
    let book = top().join("docs/prices-example.yaml");
    let said = plan_of(&with_runs(), &["--as", "json", "--prices", book.to_str().unwrap()]);
    let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    let price = &json["plan"]["price"];
    let parts = price["parts"].as_array().unwrap();
    for column in ["low", "likely", "high"] {
        let sum: f64 = parts.iter().filter_map(|p| p["price"][column].as_f64()).sum();
        assert!((sum - price["total"][column].as_f64().unwrap()).abs() < 1e-6);
    }
    // the repair later on comes on top: its labour and material by the same book
    let later = price["total_as_repair_later"]["likely"].as_f64().unwrap();
    assert!(later > 800.0, "{later}");
    let ids: Vec<&str> = parts.iter().map(|p| p["id"].as_str().unwrap()).collect();
    assert!(ids.contains(&"hidden_damage") && ids.contains(&"exterior") && !ids.contains(&"rows_vinyl"));
    // 34 x 14 ft of pavers at 0.9 (invented)
    let pavers = parts.iter().find(|p| p["id"] == "pavers").unwrap()["price"]["likely"].as_f64().unwrap();
    assert!((pavers - (34.0 * 14.0 * 4.5 * 1.05_f64).ceil() * 0.9).abs() < 1e-6);
}

/// Every number of the plan is in the report of the visit as well.
#[test]
fn the_report_holds_the_plan() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), demo()).unwrap();
    let report = run(folder.path(), &["advise", "v.yaml", "--as", "json"]);
    let report: serde_json::Value = serde_json::from_slice(&report.stdout).unwrap();
    let plan: serde_json::Value = serde_json::from_str(&plan_of(&demo(), &["--as", "json"]).out).unwrap();
    assert_eq!(report["plan"], plan["plan"]);
    assert_eq!(report["wallfoot_report"], plan["wallfoot_report"]);
    // docs/json.md tells of every field
    let page = std::fs::read_to_string(top().join("docs/json.md")).unwrap();
    for field in plan["plan"].as_object().unwrap().keys() {
        assert!(page.contains(&format!("`{field}`")), "docs/json.md does not tell of {field}");
    }
}

/// The plan stands in the three sheets; the crew has it short.
#[test]
fn the_plan_stands_in_the_sheets() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), demo()).unwrap();
    let sheet = |name: &str| {
        let output = run(folder.path(), &["advise", "v.yaml", "--sheet", name]);
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let (owner, crew, exterior) = (sheet("homeowner"), sheet("landscaper"), sheet("exterior"));
    assert!(owner.contains("Order of work") && owner.contains("Who works when") && !owner.contains("Quantities"));
    let behind = sheet("background");
    assert!(behind.contains("Person-hours") && behind.contains("Handovers between trades"));
    assert!(crew.contains("Who works when") && crew.contains("Pavers: 1588") && !crew.contains("Order of work"));
    assert!(exterior.contains("The work in figures") && exterior.contains("Self-adhered"));
    assert!(!exterior.contains("Joint sand"));
}

/// Chart and table of the plan in Markdown and as a page; the chart is drawn.
#[test]
fn the_chart_is_drawn() {
    let page = plan_of(&demo(), &["--as", "html"]).out;
    assert!(page.contains("aria-label=\"Chart\"") && page.matches("stroke-dasharray").count() >= 2);
    let markdown = plan_of(&demo(), &["--as", "markdown"]).out;
    assert!(markdown.contains("```text\nDay   1"), "{markdown}");
    // a screen reader gets the table alone
    assert!(!plan_of(&demo(), &["--plain"]).out.contains("##"));
}

fn content() -> Content {
    Content::load(&wallfoot::commands::sources(None, None).unwrap(), None).unwrap()
}

proptest! {
    #![proptest_config(crate::properties::config())]

    /// Of no material of any scenario does more waste give less; and totals are never more than the stretches need one
    /// by one, nor less than they need before rounding.
    #[test]
    fn waste_and_totals(which in 0usize..100, waste in 0i64..60, more in 0i64..40, other in 1i64..80) {
        let names = scenarios();
        let answers = scenario(&names[which % names.len()]);
        let amounts = |waste: i64| {
            let mut content = content();
            let shares: Vec<String> =
                content.plan_figures.iter().filter(|f| f.what.ends_with('%')).map(|f| f.id.to_string()).collect();
            for id in &shares {
                content.set_figure(id, &waste.to_string(), Units::Inch).unwrap();
            }
            let mut second = answers.clone();
            let length = content.flow.question("feature_length").unwrap();
            second.set(length, wallfoot::flow::Answer::Length(Length::inches(other * 6)));
            let list = [("a".to_owned(), answers.clone()), ("b".to_owned(), second)];
            let list: Vec<_> = list.iter().map(|(n, a)| (n.clone(), content.assess(a, Units::Inch))).collect();
            let stretches = Stretches::of(list).unwrap();
            let job = Job::of(&stretches);
            let lists = job.quantities();
            let sum = |id: &str, value: fn(&wallfoot::judge::Amount) -> f64| -> f64 {
                lists.iter().flatten().filter(|q| q.row.id == id).map(|q| value(&q.amount)).sum()
            };
            let all: BTreeMap<String, (f64, f64, f64)> = totals(&lists)
                .into_iter()
                .map(|(row, amount)| (row.id.to_string(), (amount.value, sum(&row.id, |a| a.value), sum(&row.id, |a| a.exact))))
                .collect();
            // what is bought of the membrane covers both strips after its laps
            for q in lists.iter().flatten().filter(|q| q.row.formula == Formula::Rolls) {
                let length = |name: &str| match q.inputs.iter().find(|i| i.name == name).unwrap().value {
                    FigureValue::Length(length) => length.as_inches(),
                    FigureValue::Number(_) => f64::NAN,
                };
                let courses = pieces_with_laps(
                    Length::inches(24), Length::inches(36), Length::inches(3)).unwrap();
                assert_eq!(courses, 1);
                let covered = q.amount.value * length("roll_length") - (q.amount.value - 1.0) * length("end_lap");
                assert!(covered >= length("length") - 1e-6);
            }
            all
        };
        let (few, many) = (amounts(waste), amounts(waste + more));
        for (id, (total, one_by_one, exact)) in &few {
            prop_assert!(*total <= one_by_one + 1e-6, "{id}");
            prop_assert!(*total >= exact - 1e-6 || *total >= one_by_one - 1e-6, "{id}");
            prop_assert!(many[id].0 >= total - 1e-6, "{id}");
        }
    }
}

/// Figures that cannot be are refused, so that no material vanishes silently.
#[test]
fn figures_that_cannot_be() {
    for figure in [
        "roll_length=0 in",
        "side_lap=40 in",
        "end_lap=80 ft",
        "paver_width=0 in",
        "paver_length=0.0001 in",
        "flashing_lap=12 ft",
        "cartridge=0",
        "sand_bag=0",
        "tape_roll=0 in",
        "strip_height=0 in",
        "strip_height=2000 ft",
        "barrier_one=0",
        "end_dams_each=1.5",
        "breakage=7.9",
        "breakage=1000",
        "stone_weight=1000000",
    ] {
        let said = plan_of(&demo(), &["--figure", figure]);
        assert_eq!(said.code, 1, "{figure}: {}", said.out);
        // for what it is worth, and not for its name
        let id = figure.split_once('=').unwrap().0;
        assert!(CONTENT.plan_figures.iter().any(|f| f.id == id), "there is no figure {id}");
        assert!(said.err.starts_with("error: ") && said.err.contains(id), "{}", said.err);
    }
    assert!(
        plan_of(&demo(), &["--figure", "flashing_lap=12 ft"]).err.contains("must be shorter than `flashing_length`")
    );
}

/// The same book gives the same sum in every system of units.
#[test]
fn a_book_holds_in_every_system_of_units() {
    let book = top().join("docs/prices-example.yaml");
    let total = |args: &[&str]| {
        let said = plan_of(&demo(), &[&["--as", "json", "--prices", book.to_str().unwrap()][..], args].concat());
        let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
        json["plan"]["price"]["total"]["likely"].as_f64().unwrap()
    };
    assert!((total(&[]) - total(&["--units", "metric"])).abs() < 1e-6);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("book.yaml");
    std::fs::write(&file, "units: metric\nmaterials: { cladding: { low: 1, likely: 1, high: 1 } }\n").unwrap();
    let said = plan_of(&demo(), &["--as", "json", "--prices", file.to_str().unwrap()]);
    let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    // 52.8 ft2 are 4.905 m2
    assert!((json["plan"]["price"]["total"]["likely"].as_f64().unwrap() - 52.8 * 0.3048 * 0.3048).abs() < 1e-9);
    std::fs::write(&file, "materials: { sheathing: { low: 1, likely: 1, high: 1 } }\n").unwrap();
    assert!(
        plan_of(&demo(), &["--prices", file.to_str().unwrap()])
            .err
            .contains("`sheathing` under `materials` has no price")
    );
}

/// Soil and fill of ground that falls away, by hand: a triangle is dug at one side, another filled at the other.
#[test]
fn digging_and_fill_of_sloping_ground() {
    let json = |args: &[&str]| -> serde_json::Value {
        serde_json::from_str(&plan_of(&demo(), &[&["--as", "json"][..], args].concat()).out).unwrap()
    };
    let (_, answers, _) = crate::support::visit(&top().join("questions/demo/back-patio.yaml"));
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let digging = assessment.digging().unwrap();
    let (wall, edge) = (digging.at_wall.unwrap().as_inches(), digging.at_edge.unwrap().as_inches());
    // the wall is opened, so the surface stays as planned: fill at the wall, digging at the edge
    assert!(wall < 0.0 && edge > 0.0, "{wall} {edge}");
    let amount = |id: &str| {
        let json = json(&[]);
        let list = json["plan"]["totals"].as_array().unwrap().clone();
        list.iter().find(|q| q["id"] == id).unwrap()["amount"].as_f64().unwrap()
    };
    let dug = edge * edge / (2.0 * (edge - wall));
    let filled = wall * wall / (2.0 * (edge - wall));
    let (base_area, area) = ((24.0 + 8.0 / 12.0) * (14.0 + 4.0 / 12.0), 24.0 * 14.0);
    assert!((amount("spoil") - base_area * dug / 12.0 / 27.0).abs() < 0.01);
    assert!((amount("fill") - area * filled / 12.0 / 27.0).abs() < 0.01);
}
