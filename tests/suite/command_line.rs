//! The program as it is called: results, messages, exit codes, plain mode through a pipe.

use crate::support::{program, run, told, top};
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Plain mode: these lines through a pipe.
fn pipe(folder: &Path, args: &[&str], lines: &str) -> (String, String, i32) {
    let mut child =
        program(folder, args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // the program may stop reading early; that is its right
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    (text(&output.stdout), text(&output.stderr), output.status.code().unwrap())
}

#[test]
fn help_and_wrong_use() {
    let folder = tempfile::tempdir().unwrap();
    let help = run(folder.path(), &["--help"]);
    assert_eq!(help.status.code(), Some(0));
    let help = text(&help.stdout);
    assert!(help.contains("Exit codes: 0 done") && help.contains("130\ninterrupted by Ctrl-C"), "{help}");
    for args in [&["--no-such-flag"][..], &["advise", "a", "b"], &["avise"], &["advise", "v.yaml", "--as", "docx"]] {
        let output = run(folder.path(), args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(output.stdout.is_empty() && !output.stderr.is_empty(), "{args:?}");
    }
}

#[test]
fn the_demo_runs_without_asking_in_every_form() {
    let folder = tempfile::tempdir().unwrap();
    for visit in ["patio", "steps"] {
        for sheet in ["homeowner", "landscaper", "exterior"] {
            for format in ["text", "markdown", "html", "json"] {
                let output = run(folder.path(), &["demo", visit, "--sheet", sheet, "--as", format]);
                assert_eq!((output.status.code(), text(&output.stderr)), (Some(0), String::new()));
                assert!(output.stdout.len() > 1000);
            }
        }
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "the demo writes nothing");
}

#[test]
fn a_page_stands_alone_and_is_escaped() {
    let folder = tempfile::tempdir().unwrap();
    let visit = "wallfoot_visit: 1\nanswers:\n  region: us\n  visit_name: <b>&\"*_x_*|\n";
    std::fs::write(folder.path().join("v.yaml"), visit).unwrap();
    let html = text(&run(folder.path(), &["advise", "v.yaml", "--as", "html"]).stdout);
    assert!(html.contains("&lt;b&gt;&amp;&quot;*_x_*|"), "escaped once");
    for outside in ["http://", "https://", "src=", "<script", "@import", "url("] {
        assert!(!html.contains(outside), "{outside}");
    }
    let markdown = text(&run(folder.path(), &["advise", "v.yaml", "--as", "markdown"]).stdout);
    assert!(markdown.contains("\\<b\\>\\&\"\\*\\_x\\_\\*\\|"), "{markdown}");
}

#[test]
fn json_has_every_number_that_the_sheet_prints() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &["demo", "patio", "--as", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["verdict"]["id"], "exterior_trade_first");
    assert_eq!(json["facts"]["finish.above_exit"]["inches"], 2.0);
    assert_eq!(json["facts"]["finish.above_exit"]["tolerance_mm"], 3.175);
    assert_eq!(json["lowering"]["by"]["inches"], 3.0);
    let limits = json["limits"].as_array().unwrap();
    let vinyl = limits.iter().find(|l| l["short_by"]["inches"] == 2.5).unwrap();
    assert_eq!((&vinyl["status"], &vinyl["bound"]["inches"]), (&"fails".into(), &0.5.into()));
    for key in ["answers", "not_sure", "findings", "find_out", "tasks", "contractor", "trades", "materials", "cautions"]
    {
        assert!(!json[key].is_null(), "{key}");
    }
}

#[test]
fn output_goes_to_a_file_whole() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), "wallfoot_visit: 1\nanswers:\n  region: us\n").unwrap();
    let output = run(folder.path(), &["advise", "v.yaml", "--sheet", "landscaper", "--as", "html", "-o", "crew.html"]);
    assert_eq!((output.status.code(), text(&output.stderr)), (Some(0), "wrote crew.html\n".to_owned()));
    assert!(output.stdout.is_empty());
    let page = std::fs::read_to_string(folder.path().join("crew.html")).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "no stray files");
}

#[test]
fn region_and_units_can_be_given() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("v.yaml"),
        "wallfoot_visit: 1\nanswers:\n  region: us\n  feature_length: 10 ft\n",
    )
    .unwrap();
    let uk = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner", "--region", "uk"]).stdout);
    assert!(uk.contains("United Kingdom") && uk.contains("3.048 m along the wall"), "{uk}");
    let metric = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner", "--units", "metric"]).stdout);
    assert!(metric.contains("United States") && metric.contains("3.048 m along the wall"));
    insta::assert_snapshot!(told(folder.path(), &["advise", "v.yaml", "--region", "mars"]));
    assert!(told(folder.path(), &["advise", "v.yaml", "--lang", "tlh"]).contains("error: there is no language `tlh`"));
}

#[test]
fn plain_mode_through_a_pipe() {
    let folder = tempfile::tempdir().unwrap();
    // wrong number, help, back, a choice by its words, an unusual length, then the end of the input
    let lines = "9\n1\n?\n1\nback\n2\n1\nnot sure\nback\n250 ft\nno\n20 ft\n";
    let (out, err, code) = pipe(folder.path(), &["ask", "v.yaml"], lines);
    // the input ended in the middle
    assert_eq!((out.as_str(), code), ("", 1));
    insta::assert_snapshot!(err);
}

/// "Not sure" to everything: the door is the one question that refuses it, with a reason; the rest
/// leads to a verdict and a list of what to find out.
#[test]
fn plain_mode_all_not_sure_gives_useful_advice() {
    let folder = tempfile::tempdir().unwrap();
    let (out, err, code) = pipe(folder.path(), &["ask", "v.yaml"], &format!("1\n1\n{}", "not sure\n".repeat(60)));
    assert_eq!((out.as_str(), code), ("", 1));
    assert!(err.contains("this one needs an answer") && err.contains("go on with: wallfoot ask v.yaml"), "{err}");
    let (out, _, code) = pipe(folder.path(), &["ask", "v.yaml"], &format!("1\n{}done\n", "not sure\n".repeat(60)));
    assert_eq!(code, 0);
    assert!(out.contains("FIND OUT FIRST") && out.contains("Find out: "), "{out}");
}

#[test]
fn no_colour_and_no_escape_codes_in_a_pipe() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &["demo"]);
    assert!(!output.stdout.contains(&0x1b));
}

#[test]
fn plain_look_has_no_drawn_tables() {
    let folder = tempfile::tempdir().unwrap();
    let page = text(&run(folder.path(), &["demo", "--sheet", "homeowner", "--plain"]).stdout);
    assert!(!page.contains("----") && !page.contains("===="), "{page}");
    assert!(page.contains("- Limit: "));
}

/// The reader of a pipe may leave at any time.
#[test]
fn a_closed_pipe_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = program(folder.path(), &["demo"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), text(&output.stderr)), (Some(0), String::new()));
}

/// Every `$ wallfoot …` line of the README, with the first lines of its output, is what the program says.
#[test]
fn the_readme_is_true() {
    let readme = std::fs::read_to_string(top().join("README.md")).unwrap();
    let mut checked = 0;
    for block in readme.split("```console\n").skip(1) {
        let block = block.split("```").next().unwrap();
        let (command, shown) = block.split_once('\n').unwrap();
        let args: Vec<&str> =
            command.strip_prefix("$ wallfoot ").expect("a wallfoot command").split_whitespace().collect();
        let folder = tempfile::tempdir().unwrap();
        let said = text(&run(folder.path(), &args).stdout);
        for part in shown.split("[…]\n") {
            assert!(said.contains(part), "README, {command}: this is not said any more:\n{part}\nbut:\n{said}");
        }
        checked += 1;
    }
    assert!(checked >= 1);
}

/// The session of the README, typed again.
#[test]
fn the_session_of_the_readme_is_true() {
    let readme = std::fs::read_to_string(top().join("README.md")).unwrap();
    let session = readme.split("```session\n").nth(1).unwrap().split("```").next().unwrap();
    let (command, shown) = session.split_once('\n').unwrap();
    let args: Vec<&str> = command.strip_prefix("$ wallfoot ").unwrap().split_whitespace().collect();
    let typed: String =
        shown.lines().filter_map(|l| l.strip_prefix("> ")).map(|l| l.to_owned() + "\n").collect::<Vec<_>>().concat();
    let folder = tempfile::tempdir().unwrap();
    let (_, said, code) = pipe(folder.path(), &args, &typed);
    assert_eq!(code, 0);
    // what is typed does not show in a pipe, and neither does its line end
    let lines: Vec<String> =
        shown.split_inclusive('\n').map(|l| if l.starts_with("> ") { "> ".to_owned() } else { l.to_owned() }).collect();
    for part in lines.concat().split("[…]\n") {
        assert!(said.contains(part), "this is not said any more:\n{part}\nbut:\n{said}");
    }
}

#[test]
fn draw_makes_text_and_svg() {
    let folder = tempfile::tempdir().unwrap();
    let patio = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    std::fs::write(folder.path().join("v.yaml"), patio).unwrap();
    insta::assert_snapshot!(told(folder.path(), &["draw", "v.yaml"]));
    let plain = text(&run(folder.path(), &["draw", "v.yaml", "--plain"]).stdout);
    assert!(plain.is_ascii(), "{plain}");
    let svg = text(&run(folder.path(), &["draw", "v.yaml", "--as", "svg"]).stdout);
    assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\"") && svg.ends_with("</svg>"));
    assert!(
        svg.contains("planned: 7 in below. NOT ALLOWED") && svg.contains("HIGHEST TOP AT THE WALL: 10 1/8 in below")
    );
    std::fs::write(folder.path().join("w.yaml"), "wallfoot_visit: 1\nanswers:\n  region: us\n").unwrap();
    insta::assert_snapshot!("nothing_to_draw", told(folder.path(), &["draw", "w.yaml"]));
}

/// Everything that the crew reads is there in Spanish, in every scenario.
#[test]
fn the_crew_sheet_is_whole_in_spanish() {
    use wallfoot::content::{Content, Sheet};
    use wallfoot::sheet::Cover;
    let load = |lang| Content::load(&wallfoot::commands::sources(None, lang).unwrap(), lang).unwrap();
    let (spanish, english) = (load(Some("es")), &crate::support::CONTENT);
    for entry in std::fs::read_dir(top().join("tests/scenarios")).unwrap() {
        let path = entry.unwrap().path().join("visit.yaml");
        if !path.exists() {
            continue;
        }
        let (_, answers, units) = crate::support::visit(&path);
        let (es, en) = (spanish.assess(&answers, units), english.assess(&answers, units));
        for (s, e) in es.tasks(Some(Sheet::Landscaper)).zip(en.tasks(Some(Sheet::Landscaper))) {
            assert_ne!(s.todo, e.todo, "{} has no Spanish", e.id);
            assert!(e.because.is_empty() || s.because != e.because, "{} has no Spanish reason", e.id);
        }
        for (s, e) in es.cautions(Some(Sheet::Landscaper)).zip(en.cautions(Some(Sheet::Landscaper))) {
            assert_ne!(s.say, e.say, "{} has no Spanish", e.id);
        }
        // what stands against the plan is printed as the reason
        for (s, e) in es.held().zip(en.held()) {
            assert_ne!(s.title, e.title, "{} has no Spanish", e.id);
        }
        for ((s, _), (e, _)) in es.limits().into_iter().zip(en.limits()) {
            assert_ne!(s.what, e.what, "{} has no Spanish", e.id);
        }
        let (plan, english_plan) = (es.plan(), en.plan());
        let activities = |plan: Option<wallfoot::judge::Plan<'_>>| {
            let rows = plan.map(|p| p.activities.iter().map(|a| a.row.what.clone()).collect::<Vec<_>>());
            rows.unwrap_or_default()
        };
        for (s, e) in activities(plan).into_iter().zip(activities(english_plan)) {
            assert_ne!(s, e, "no Spanish");
        }
        for (s, e) in es.quantities().iter().zip(en.quantities()) {
            assert_ne!(s.row.what, e.row.what, "{} has no Spanish", e.row.id);
        }
        for (s, e) in es.materials(Some(Sheet::Landscaper)).zip(en.materials(Some(Sheet::Landscaper))) {
            assert_ne!(s.limit, e.limit, "{} has no Spanish", e.id);
        }
        assert_ne!(
            es.sheet(Sheet::Landscaper, &Cover::default()).title,
            en.sheet(Sheet::Landscaper, &Cover::default()).title
        );
    }
}

/// A town's own figures replace those of the country, and come on top of them.
#[test]
fn local_limits_override_and_add() {
    let folder = tempfile::tempdir().unwrap();
    let patio = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    std::fs::write(folder.path().join("v.yaml"), patio.replace("finish_below_mark: 7 in", "finish_below_mark: 12 in"))
        .unwrap();
    let town = "limits:
  - id: vinyl_slab
    regions: [us]
    what: Vinyl above paving in this invented town
    measure: exit.above_finish
    at_least: 4 in
    when: { cladding: vinyl }
    because: It snows a lot here.
    verdict: change_plan
    source: invented town code
    basis: published
";
    let id = crate::support::CONTENT
        .limits
        .iter()
        .find(|l| l.what.contains("Vinyl bottom edge above deck"))
        .unwrap()
        .id
        .clone();
    std::fs::write(folder.path().join("town.yaml"), town.replace("vinyl_slab", &id)).unwrap();
    let without = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner"]).stdout);
    assert!(without.contains("Vinyl bottom edge above deck or slab") && !without.contains("invented town"));
    let with = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner", "--limits", "town.yaml"]).stdout);
    assert!(with.contains("Vinyl above paving in this invented town: short by 1 in"), "{with}");
    assert!(!with.contains("Vinyl bottom edge above deck or slab"));
    std::fs::write(folder.path().join("town.yaml"), town).unwrap();
    let added =
        text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner", "--limits", "town.yaml"]).stdout);
    assert!(added.contains("invented town: short by 1 in") && added.contains("Vinyl bottom edge above deck or slab"));
    let broken = told(folder.path(), &["advise", "v.yaml", "--limits", "no-town.yaml"]);
    assert!(broken.contains("error: cannot read no-town.yaml"), "{broken}");
}

/// The same answers in inches and in millimetres give the same verdict.
#[test]
fn units_in_units_out() {
    let folder = tempfile::tempdir().unwrap();
    let patio = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    let metric = patio.replace(": 9 in", ": 228.6 mm").replace(": 7 in", ": 177.8 mm").replace(": 8 in", ": 203.2 mm");
    for (name, visit) in [("inch.yaml", patio.to_owned()), ("metric.yaml", metric)] {
        std::fs::write(folder.path().join(name), visit).unwrap();
    }
    let report = |name: &str, units: &str| {
        let json = run(folder.path(), &["advise", name, "--as", "json", "--units", units]).stdout;
        let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
        (json["verdict"]["id"].clone(), json["facts"].clone(), json["lowering"].clone())
    };
    // what was measured in one unit or in the other
    assert_eq!(report("inch.yaml", "inch"), report("metric.yaml", "inch"));
    assert_eq!(report("inch.yaml", "metric"), report("metric.yaml", "metric"));
    // what is told in one unit or in the other: only how far to go down is a whole step of what is shown
    let exact = |units: &str| {
        let (verdict, mut facts, mut lowering) = report("inch.yaml", units);
        let rounded = ["finish.lower_by_sure", "finish.highest", "door.step_after"];
        facts.as_object_mut().unwrap().retain(|name, _| !rounded.contains(&name.as_str()));
        let rounded = ["sure", "finish_below_mark", "at_ends", "step_at_door"];
        lowering.as_object_mut().unwrap().retain(|name, _| !rounded.contains(&name.as_str()));
        (verdict, facts, lowering)
    };
    assert_eq!(exact("inch"), exact("metric"));
}

/// One visit, two stretches of wall: the worst decides, the other is told besides.
#[test]
fn several_stretches_of_wall() {
    let folder = tempfile::tempdir().unwrap();
    let sound: String = crate::must_hold::SOUND
        .lines()
        .filter(|l| !l.is_empty())
        .map(|l| format!("  {l}\n"))
        .collect::<Vec<_>>()
        .concat();
    let visit = format!("wallfoot_visit: 1\nanswers:\n  visit_name: Invented wall\n{sound}");
    std::fs::write(folder.path().join("v.yaml"), visit).unwrap();
    assert!(text(&run(folder.path(), &["advise", "v.yaml"]).stdout).contains("GO AHEAD"));
    // the review of another stretch starts from the first; only what differs is kept
    let state = crate::support::with(crate::must_hold::SOUND, "visit_name: Invented wall");
    let flow = &crate::support::CONTENT.flow;
    let shown = flow.state(&state).shown;
    let number = flow.question("finish_below_mark").unwrap();
    let line = state.iter().filter(|(n, _)| shown[*n].is_yes()).position(|(n, _)| n == number).unwrap() + 1;
    let (_, err, code) =
        pipe(folder.path(), &["ask", "v.yaml", "--run", "return wall"], &format!("{line}\n3 in\ndone\n"));
    assert_eq!(code, 0, "{err}");
    let saved = wallfoot::visit::Visit::read(&folder.path().join("v.yaml")).unwrap();
    assert_eq!(saved.answers["finish_below_mark"], "7 in");
    assert_eq!(saved.runs["return wall"].answers["finish_below_mark"], "3 in");
    let page = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "background"]).stdout);
    for part in [
        "EXTERIOR TRADE FIRST",
        "Stretches of wall",
        "return wall",
        "2 in below instead",
        "Stretch: first stretch",
        "GO AHEAD",
    ] {
        assert!(page.contains(part), "{part}:\n{page}");
    }
    let json: serde_json::Value =
        serde_json::from_slice(&run(folder.path(), &["advise", "v.yaml", "--as", "json"]).stdout).unwrap();
    assert_eq!(json["stretch"], "return wall");
    assert_eq!(json["other_stretches"]["first stretch"]["verdict"]["id"], "go_ahead");
    let drawn = text(&run(folder.path(), &["draw", "v.yaml", "--run", "return wall"]).stdout);
    assert!(drawn.contains("3 in below"), "{drawn}");
    assert!(told(folder.path(), &["draw", "v.yaml", "--run", "garage"]).contains("there is no such stretch"));
}

/// Hours of wind and rain: the index on the sheet and in JSON, and what is wrong with a file.
#[test]
fn hours_of_weather_give_the_driving_rain_index() {
    let folder = tempfile::tempdir().unwrap();
    let visit = top().join("questions/demo/back-patio.yaml");
    let visit = visit.to_str().unwrap();
    std::fs::write(
        folder.path().join("hours.csv"),
        "time,wind_speed,wind_direction,rain\n0,5,180,2\n1,10,240,1\n2,20,10,9\n3,,,\n",
    )
    .unwrap();
    let args = ["advise", visit, "--hourly-rain", "hours.csv", "--wall-faces", "180", "--as", "json"];
    let json: serde_json::Value = serde_json::from_str(&text(&run(folder.path(), &args).stdout)).unwrap();
    // by hand: 2/9 (5 x 2^(8/9) + 10 x cos 60)
    let by_hand = 2.0 / 9.0 * (5.0 * 2.0f64.powf(8.0 / 9.0) + 5.0);
    let rain = &json["water"]["driving_rain"];
    assert!((rain["litres_per_square_metre"].as_f64().unwrap() - by_hand).abs() < 1e-9);
    assert_eq!((rain["hours"].as_u64(), &rain["in_a_year"]), (Some(3), &serde_json::Value::Null));
    let page = run(folder.path(), &args[..6]);
    assert!(text(&page.stdout).contains("Driving rain (ISO 15927-3"));
    for (content, says) in [
        ("a,b\n1,2\n", "there is no column `wind`; there is: a, b"),
        ("wind,direction,rain\n5,180,2\n5,400,2\n", "line 3: `400` cannot be a direction in degrees"),
        ("wind,direction,rain\n", "there is no hour with wind, direction and rain"),
        ("wind,direction,rain\n5,180,2\n5,180,0,4\n", "line 3 has 4 cells, and the head has 3"),
        ("wind,direction,rain,Rainfall\n5,180,2,2\n", "`rain` and `Rainfall` are the same column"),
    ] {
        std::fs::write(folder.path().join("hours.csv"), content).unwrap();
        let output = run(folder.path(), &args);
        assert_eq!(output.status.code(), Some(1));
        assert!(text(&output.stderr).contains(says), "{}", text(&output.stderr));
    }
    let output = run(folder.path(), &["advise", visit, "--hourly-rain", "hours.csv"]);
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn alternatives_stand_side_by_side() {
    let folder = tempfile::tempdir().unwrap();
    let visit = top().join("questions/demo/back-patio.yaml");
    let visit = visit.to_str().unwrap();
    let compare = |sets: &[&str], more: &[&str]| {
        let mut args = vec!["compare", visit];
        for set in sets {
            args.extend(["--set", set]);
        }
        args.extend(more);
        let output = run(folder.path(), &args);
        (text(&output.stdout), text(&output.stderr), output.status.code().unwrap())
    };
    let (page, _, code) = compare(&["lower it: lower=3 1/8 in; wall_plan=stay_below", "joint=open_gap"], &[]);
    assert_eq!(code, 0);
    insta::assert_snapshot!(page);
    let (json, ..) = compare(&["a: lower=2 in", "b: raise=1 in"], &["--as", "json"]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let exit = |i: usize| json["alternatives"][i]["report"]["facts"]["exit.above_finish"]["inches"].as_f64().unwrap();
    assert!((exit(1) - exit(0) - 2.0).abs() < 1e-9 && (exit(2) - exit(0) + 1.0).abs() < 1e-9);
    for (set, says) in [
        ("finish_below_mrk=9 in", "did you mean `finish_below_mark`?"),
        ("lower=two", "lower: `two` is not a length"),
        ("joint=glued", "joint: `glued` is not one of the choices"),
        ("joint", "`joint` is no change"),
    ] {
        let (_, error, code) = compare(&[set], &[]);
        assert_eq!(code, 1, "{set}");
        assert!(error.contains(says), "{error}");
    }
    assert_eq!(compare(&["a=1"; 7], &[]).2, 2);
}

/// What each command says when it cannot do what it is asked; nothing is written then.
#[test]
fn what_goes_wrong_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    put("v.yaml", wallfoot::commands::embedded("demo/back-patio.yaml").unwrap());
    put("new.yaml", "wallfoot_visit: 1\nanswers:\n  region: us\n");
    put("bare.yaml", "wallfoot_visit: 1\n");
    put("days.csv", "date,low,high,rain\n2026-05-04,10,18,0\n2026-05-05,10,18,0\n");
    put("odd.csv", "date,low,high\n2026-05-04,10,18\n");
    put("book.yaml", "labour: { uncle: { low: 1, likely: 2, high: 3 } }\n");
    put("range.yaml", "labour: { exterior: { low: 3, likely: 2, high: 3 } }\n");
    put("priced.yaml", "materials: { rows_vinyl: { low: 1, likely: 2, high: 3 } }\n");
    put("waste.yaml", "figures: { breakage: 7.5 }\n");
    std::fs::create_dir(folder.path().join("empty")).unwrap();
    let cases: [&[&str]; 29] = [
        &["advise", "v.yaml", "--figure", "breakage"],
        &["advise", "v.yaml", "--figure", "brekage=7"],
        &["advise", "v.yaml", "--figure", "breakage=7.5"],
        &["advise", "v.yaml", "--figure", "paver_length=2000 ft"],
        &["advise", "v.yaml", "--figure", "paver_length=0 in"],
        &["advise", "v.yaml", "--figure", "flashing_lap=20 ft"],
        &["advise", "v.yaml", "--region", "mars"],
        &["advise", "v.yaml", "--lang", "tlh"],
        &["advise", "v.yaml", "--questions", "empty"],
        &["advise", "v.yaml", "--questions", "nowhere"],
        &["advise", "v.yaml", "--limits", "nowhere.yaml"],
        &["ask", "bare.yaml", "--run", "return wall"],
        &["draw", "v.yaml", "--run", "garage"],
        &["draw", "v.yaml", "--at", "two"],
        &["draw", "v.yaml", "--at", "99 ft"],
        &["draw", "new.yaml"],
        &["log", "v.yaml", "--about", "exit_below_mark"],
        &["log", "v.yaml", "x", "--about", "exit_below_mrk"],
        &["log", "v.yaml", "x", "--about", "qqqqqqqqqqqqqqqqqqqqqqqq"],
        &["log", "v.yaml", "x", "--date", "3 May"],
        &["plan", "v.yaml", "--as", "ics"],
        &["plan", "v.yaml", "--as", "ics", "--weather", "days.csv"],
        &["plan", "v.yaml", "--weather", "days.csv", "--start", "2026-06-01"],
        &["plan", "v.yaml", "--weather", "odd.csv"],
        &["plan", "new.yaml", "--as", "ics", "--weather", "days.csv"],
        &["plan", "v.yaml", "--prices", "book.yaml"],
        &["plan", "v.yaml", "--prices", "range.yaml"],
        &["plan", "v.yaml", "--prices", "priced.yaml"],
        &["plan", "v.yaml", "--prices", "waste.yaml"],
    ];
    let before = std::fs::read(folder.path().join("v.yaml")).unwrap();
    let mut said = Vec::new();
    for args in cases {
        let output = run(folder.path(), args);
        // 1: what is in a file is at fault; 2: the command line is, whatever stands in the files
        let code = output.status.code().unwrap();
        assert!(matches!(code, 1 | 2) && output.stdout.is_empty(), "{args:?}");
        said.push(format!("$ wallfoot {}\nexit {code}\n{}", args.join(" "), text(&output.stderr)));
    }
    insta::assert_snapshot!(said.join("\n"));
    assert_eq!(std::fs::read(folder.path().join("v.yaml")).unwrap(), before);
}

/// Characters of a file that would act on a terminal are not passed on to it.
#[test]
fn messages_do_not_act_on_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let visit = "wallfoot_visit: 1\nanswers:\n  cladding: \"\\e[31mred\\a\"\nowners:\n  some_task: [\"\\e[2J\"]\n";
    std::fs::write(folder.path().join("v.yaml"), visit).unwrap();
    let output = run(folder.path(), &["advise", "v.yaml"]);
    let said = text(&output.stderr);
    assert!(said.contains("`cladding: [31mred`") && said.contains("`[2J` under `owners`"), "{said}");
    assert!(said.chars().all(|c| c == '\n' || !c.is_control()), "{said:?}");
}
