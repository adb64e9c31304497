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
    insta::assert_snapshot!(advise("wallfoot_visit: 4\nnew_things: { a: b }\n"));
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

/// The visit is never written over by its own sheet.
#[test]
fn the_visit_is_not_the_output() {
    let folder = tempfile::tempdir().unwrap();
    let text = "wallfoot_visit: 1\nanswers:\n  region: us\n";
    fs::write(folder.path().join("v.yaml"), text).unwrap();
    insta::assert_snapshot!(told(folder.path(), &["advise", "v.yaml", "-o", "./v.yaml"]));
    assert_eq!(fs::read_to_string(folder.path().join("v.yaml")).unwrap(), text);
}

/// Two programs on one visit: the later writer is told, and loses nothing of the other's.
#[test]
fn a_visit_that_somebody_else_changed_is_left_alone() {
    use wallfoot::visit::{Visit, VisitError};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("v.yaml");
    let mut visit = Visit::new("2026-01-02");
    let last = visit.write(&path).unwrap();
    visit.answers.insert("region".to_owned(), "us".to_owned());
    let last = visit.write_after(&path, &last).unwrap();
    fs::write(&path, "wallfoot_visit: 1\nanswers:\n  region: uk\n").unwrap();
    let error = visit.write_after(&path, &last).unwrap_err();
    assert!(matches!(error, VisitError::Changed { .. }));
    insta::assert_snapshot!(error.to_string().replace(&folder.path().display().to_string(), "[DIR]"));
    assert!(fs::read_to_string(&path).unwrap().contains("uk"));
}

/// A device is no file, a read-only file stays.
#[cfg(unix)]
#[test]
fn only_plain_files_are_written_over() {
    use wallfoot::visit::write_whole;
    let folder = tempfile::tempdir().unwrap();
    let locked = folder.path().join("locked");
    fs::write(&locked, "old").unwrap();
    let mut permissions = fs::metadata(&locked).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&locked, permissions).unwrap();
    assert_eq!(write_whole(&locked, "new").unwrap_err().to_string(), "the file is read-only");
    assert_eq!(write_whole(std::path::Path::new("/dev/null"), "new").unwrap_err().to_string(), "that is not a file");
    let (file, link) = (folder.path().join("file"), folder.path().join("link"));
    fs::write(&file, "old").unwrap();
    std::os::unix::fs::symlink(&file, &link).unwrap();
    write_whole(&link, "new").unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), "new");
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
}

/// What would act on a terminal does not get into an answer.
#[test]
fn hidden_characters_are_taken_out_of_texts() {
    use wallfoot::flow::Answer;
    let flow = &crate::support::CONTENT.flow;
    let name = &flow.questions[flow.question("visit_name").unwrap()];
    let units = wallfoot::units::Units::Inch;
    let read = name.read_answer("a\u{1b}[31mb\u{202e}c", units);
    assert_eq!(read, Ok(Answer::Text("a[31mbc".to_owned())));
    assert!(name.read_answer("\u{7}", units).is_err());
}

#[test]
fn questions_that_lack_what_the_program_computes_with_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("q")).unwrap();
    fs::write(folder.path().join("q/content.yaml"), "version: 1\nstandalone: true\n").unwrap();
    let one =
        "section: one\ntitle: One\norder: 1\nquestions:\n  - { id: dry, short: Dry, ask: Is it dry?, kind: yes_no }\n";
    fs::write(folder.path().join("q/one.yaml"), one).unwrap();
    fs::write(folder.path().join("v.yaml"), "wallfoot_visit: 1\nanswers:\n  dry: no\n").unwrap();
    insta::assert_snapshot!(told(folder.path(), &["--questions", "q", "advise", "v.yaml"]));
}
