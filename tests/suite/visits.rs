//! `wallfoot visits`: all visits of a folder.

use crate::support::{run, told, top};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// Three visits, one that is broken, and files that are something else.
fn jobs() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    put("patio.yaml", wallfoot::commands::embedded("demo/back-patio.yaml").unwrap());
    put("steps.yml", wallfoot::commands::embedded("demo/side-steps.yaml").unwrap());
    put(
        "begun.yaml",
        "wallfoot_visit: 1\nchanged: 2026-06-01\nanswers:\n  region: us\n  visit_name: Ash\n  claddin: vinyl\n",
    );
    put("broken.yaml", "wallfoot_visit: 1\nanswers: [\n");
    put("newer.yaml", "wallfoot_visit: 99\n");
    put("prices.yaml", "labour: {}\n");
    put("half.yaml", "labour: [\n");
    put("notes.txt", "wallfoot_visit: 1\n");
    fs::create_dir(folder.path().join("deeper.yaml")).unwrap();
    put("deeper.yaml/other.yaml", "wallfoot_visit: 1\n");
    folder
}

fn json(folder: &Path, args: &[&str]) -> serde_json::Value {
    let output = run(folder, &[&["visits", "--as", "json"], args].concat());
    assert_eq!(output.status.code(), Some(0));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn files(list: &serde_json::Value) -> Vec<&str> {
    list.as_array().unwrap().iter().map(|entry| entry["file"].as_str().unwrap()).collect()
}

#[test]
fn a_line_a_visit() {
    let folder = jobs();
    insta::assert_snapshot!(told(folder.path(), &["visits"]));
}

#[test]
fn sorted_as_asked() {
    let folder = jobs();
    // the demo visits are of May and April
    for (sort, order) in [
        (&[][..], ["begun.yaml", "steps.yml", "patio.yaml"]),
        (&["--sort", "date"], ["begun.yaml", "steps.yml", "patio.yaml"]),
        (&["--sort", "name"], ["begun.yaml", "patio.yaml", "steps.yml"]),
        (&["--sort", "verdict"], ["steps.yml", "patio.yaml", "begun.yaml"]),
    ] {
        assert_eq!(files(&json(folder.path(), sort)["visits"]), order, "{sort:?}");
    }
}

#[test]
fn broken_visits_are_listed_and_other_files_are_not() {
    let folder = jobs();
    let list = json(folder.path(), &[]);
    assert_eq!(list["wallfoot_visits"], 1);
    assert_eq!(files(&list["broken"]), ["broken.yaml", "newer.yaml"]);
    assert!(list["broken"][1]["reason"].as_str().unwrap().contains("newer wallfoot"));
    let begun = &list["visits"][0];
    assert_eq!((begun["name"].as_str(), begun["unread"].as_u64()), (Some("Ash"), Some(1)));
    assert!(begun["open"].as_u64().unwrap() > 0);
    // each visit and each broken file in a line of its own
    let text = told(folder.path(), &["visits", "--as", "json"]);
    let of_lines = |line: &&str| serde_json::from_str::<serde_json::Value>(line.trim_end_matches(',')).is_ok();
    let whole = text.lines().filter(of_lines).count();
    assert_eq!(whole, list["visits"].as_array().unwrap().len() + list["broken"].as_array().unwrap().len(), "{text}");
}

/// The verdict is the one that `advise` gives, other stretches of wall included.
#[test]
fn the_verdict_is_that_of_advise() {
    let folder = tempfile::tempdir().unwrap();
    for name in crate::support::scenarios() {
        let visit = top().join("tests/scenarios").join(&name).join("visit.yaml");
        fs::copy(visit, folder.path().join(format!("{name}.yaml"))).unwrap();
    }
    let list = json(folder.path(), &[]);
    let visits = list["visits"].as_array().unwrap();
    assert!(visits.len() > 10 && list["broken"].as_array().unwrap().is_empty());
    for visit in visits.iter().step_by(5) {
        let file = visit["file"].as_str().unwrap();
        let report = run(folder.path(), &["advise", file, "--as", "json"]);
        let report: serde_json::Value = serde_json::from_slice(&report.stdout).unwrap();
        assert_eq!(visit["verdict"], report["verdict"]["id"], "{file}");
    }
}

#[test]
fn empty_and_missing_folders() {
    let folder = tempfile::tempdir().unwrap();
    assert!(told(folder.path(), &["visits"]).contains("There is no visit in this folder."));
    let missing = told(folder.path(), &["visits", "nowhere"]);
    assert!(missing.starts_with("exit 1\n") && missing.contains("cannot read nowhere"), "{missing}");
    assert_eq!(run(folder.path(), &["visits", "--sort", "size"]).status.code(), Some(2));
}

/// Thousands of files: all are there, whichever thread read them.
#[test]
fn thousands_of_files() {
    let folder = tempfile::tempdir().unwrap();
    for i in 0..2000 {
        let day = i % 28 + 1;
        let visit = format!("wallfoot_visit: 1\nchanged: 2026-02-{day:02}\nanswers:\n  region: us\n");
        fs::write(folder.path().join(format!("{i:04}.yaml")), visit).unwrap();
    }
    let list = json(folder.path(), &[]);
    let visits = list["visits"].as_array().unwrap();
    assert_eq!(visits.len(), 2000);
    assert!(visits.is_sorted_by(|a, b| a["date"].as_str() >= b["date"].as_str()));
}

/// `set` and `ask` note the verdict they show; `visits --changed` lists whose verdict is another today.
#[test]
fn changed_against_the_verdict_last_shown() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let demo = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    fs::write(path("old.yaml"), demo).unwrap();
    fs::write(path("set.yaml"), demo).unwrap();
    assert!(run(folder.path(), &["set", "set.yaml", "joint=open_gap"]).status.success());
    let shown = |name: &str| wallfoot::visit::Visit::read(&path(name)).unwrap().shown;
    let noted = shown("set.yaml").unwrap();
    assert_eq!((noted.verdict.as_str(), noted.date.as_str()), ("exterior_trade_first", "2026-05-28"));
    assert!(shown("old.yaml").is_none());
    // neither a visit whose verdict is the same nor one that was never shown
    assert_eq!(files(&json(folder.path(), &["--changed"])["visits"]), Vec::<&str>::new());
    assert!(told(folder.path(), &["visits", "--changed"]).contains("No visit in this folder is as you asked for."));
    // as if other limits held when it was shown
    let before = fs::read_to_string(path("set.yaml")).unwrap();
    fs::write(path("set.yaml"), before.replace("verdict: exterior_trade_first", "verdict: go_ahead")).unwrap();
    let list = json(folder.path(), &["--changed"]);
    assert_eq!(files(&list["visits"]), ["set.yaml"]);
    let visit = &list["visits"][0];
    assert_eq!((&visit["shown"]["verdict"], &visit["changed"]), (&"go_ahead".into(), &true.into()));
    assert!(told(folder.path(), &["visits"]).contains("was Go ahead"));
    // what is shown again is noted again; the day stays as long as the verdict does
    assert!(run(folder.path(), &["set", "set.yaml", "joint=tight"]).status.success());
    assert_eq!(files(&json(folder.path(), &["--changed"])["visits"]), Vec::<&str>::new());
    // advise only reads
    let bytes = fs::read(path("old.yaml")).unwrap();
    assert!(run(folder.path(), &["advise", "old.yaml"]).status.success());
    assert_eq!(fs::read(path("old.yaml")).unwrap(), bytes);
}

/// The verdict that is noted is the one of the whole visit, whichever stretch of wall was worked on.
#[test]
fn the_noted_verdict_is_that_of_all_stretches() {
    let folder = tempfile::tempdir().unwrap();
    let lines = crate::must_hold::SOUND.lines().filter(|line| !line.is_empty());
    let sound = lines.map(|line| format!("  {line}\n")).collect::<Vec<_>>().concat();
    let visit =
        format!("wallfoot_visit: 1\nanswers:\n{sound}runs:\n  low end:\n    answers:\n      finish_below_mark: 3 in\n");
    fs::write(folder.path().join("v.yaml"), visit).unwrap();
    assert!(run(folder.path(), &["set", "v.yaml", "visit_name=Oak"]).status.success());
    let now = wallfoot::visit::Visit::read(&folder.path().join("v.yaml")).unwrap();
    assert_eq!(now.shown.unwrap().verdict, "exterior_trade_first");
    assert!(files(&json(folder.path(), &["--changed"])["visits"]).is_empty());
}

/// Only what is asked for is listed; what is broken is told all the same.
#[test]
fn filters() {
    let folder = jobs();
    for (args, wanted) in [
        (&["--verdict", "exterior_trade_first"][..], &["steps.yml", "patio.yaml"][..]),
        (&["--verdict", "find_out_first", "--verdict", "go_ahead"], &["begun.yaml"]),
        (&["--open", "--name", "ash"], &["begun.yaml"]),
        (&["--name", "BACK patio"], &["patio.yaml"]),
        (&["--name", "steps.y"], &["steps.yml"]),
        (&["--name", "nowhere"], &[]),
    ] {
        let list = json(folder.path(), args);
        assert_eq!(files(&list["visits"]), wanted, "{args:?}");
        assert_eq!(files(&list["broken"]), ["broken.yaml", "newer.yaml"]);
    }
    assert_eq!(run(folder.path(), &["visits", "--verdict", "fine"]).status.code(), Some(2));
}

/// `-o` as everywhere: the ending says the form.
#[test]
fn to_a_file() {
    let folder = jobs();
    let output = run(folder.path(), &["visits", "-o", "list.json"]);
    assert!(output.status.success() && output.stdout.is_empty());
    let written = fs::read(folder.path().join("list.json")).unwrap();
    assert_eq!(written, run(folder.path(), &["visits", "--as", "json"]).stdout);
    assert!(run(folder.path(), &["visits", "-o", "list.json"]).status.success(), "its own file is replaced");
    assert_eq!(run(folder.path(), &["visits", "-o", "list.html"]).status.code(), Some(2));
}
