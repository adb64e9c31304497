//! Visits that cannot be used as they are.

use crate::support::told;
use std::fs;

fn advise(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("v.yaml"), text).unwrap();
    let told = told(folder.path(), &["advise", "v.yaml", "--as", "json"]);
    // of the report, only the answers matter here
    match told.split_once("--- stdout\n{") {
        Some((head, rest)) => {
            format!("{head}--- stdout\n(a report)\n--- stderr\n{}", rest.split_once("--- stderr\n").unwrap().1)
        }
        None => told,
    }
}

#[test]
fn from_a_newer_version() {
    insta::assert_snapshot!(advise("wallfoot_visit: 2\nnew_things: { a: b }\n"));
}

#[test]
fn not_a_visit() {
    insta::assert_snapshot!(advise("name: something else\n"));
}

#[test]
fn broken_yaml() {
    insta::assert_snapshot!(advise("wallfoot_visit: 1\nanswers:\n  cladding: vinyl\n bad\n"));
}

#[test]
fn unknown_field() {
    insta::assert_snapshot!(advise("wallfoot_visit: 1\nanswer:\n  cladding: vinyl\n"));
}

#[test]
fn answers_that_no_longer_fit() {
    insta::assert_snapshot!(advise(
        "wallfoot_visit: 1\nanswers:\n  cladding: thatch\n  roof_colour: red\n  year_built: next year\n  exit_below_mark: a bit\n  feature_depth: 9 km\nnot_sure: [region, moon_phase]\n"
    ));
}

#[test]
fn missing_file() {
    let folder = tempfile::tempdir().unwrap();
    insta::assert_snapshot!(told(folder.path(), &["advise", "nowhere.yaml"]));
}

#[test]
fn a_folder_instead_of_a_file() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("v.yaml")).unwrap();
    insta::assert_snapshot!(told(folder.path(), &["advise", "v.yaml"]));
}

/// Found out before the first question, not after the last.
#[test]
fn unwritable_place() {
    let folder = tempfile::tempdir().unwrap();
    insta::assert_snapshot!(told(folder.path(), &["ask", "no/such/folder/v.yaml"]));
}

#[test]
fn unwritable_output() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("v.yaml"), "wallfoot_visit: 1\n").unwrap();
    insta::assert_snapshot!(told(folder.path(), &["advise", "v.yaml", "-o", "no/such/folder/out.txt"]));
}

/// What cannot be understood is never written over.
#[test]
fn a_broken_visit_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let text = "wallfoot_visit: 1\nanswers:\n  cladding: [\n";
    fs::write(folder.path().join("v.yaml"), text).unwrap();
    let told = told(folder.path(), &["ask", "v.yaml"]);
    assert!(told.starts_with("exit 1"), "{told}");
    assert_eq!(fs::read_to_string(folder.path().join("v.yaml")).unwrap(), text);
}

/// Answers of questions that are gone, or hidden, stay in the file.
#[test]
fn nothing_is_lost_on_resuming() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("v.yaml");
    fs::write(
        &file,
        "wallfoot_visit: 1\nanswers:\n  region: us\n  cladding: vinyl\n  veneer_weeps: seen\n  roof_colour: red\n",
    )
    .unwrap();
    crate::support::run(folder.path(), &["ask", "v.yaml"]);
    let visit = wallfoot::visit::Visit::read(&file).unwrap();
    assert_eq!(visit.answers.keys().map(String::as_str).collect::<Vec<_>>(), ["cladding", "region"]);
    assert_eq!(visit.set_aside["veneer_weeps"], "seen");
    assert_eq!(visit.set_aside["roof_colour"], "red");
}
