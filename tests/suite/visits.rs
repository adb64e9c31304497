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
