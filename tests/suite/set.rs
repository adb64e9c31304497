//! `wallfoot set`: answers changed without being asked.

use crate::support::{CONTENT, answers, run, told};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const DEMO: &str = "demo/back-patio.yaml";

/// A folder with the visit of the demo in `v.yaml`.
fn demo() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("v.yaml"), wallfoot::commands::embedded(DEMO).unwrap()).unwrap();
    folder
}

fn file(folder: &Path) -> String {
    fs::read_to_string(folder.join("v.yaml")).unwrap()
}

/// Sets, and gives back exit code and standard error; a result there is none.
fn set(folder: &Path, args: &[&str]) -> (i32, String) {
    let args = [&["set", "v.yaml"], args].concat();
    let output = run(folder, &args);
    assert!(output.stdout.is_empty(), "{args:?}");
    (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
}

#[test]
fn changes_are_written_and_told() {
    let folder = demo();
    let (code, said) = set(folder.path(), &["finish_below_mark=10 1/8", "joint=open_gap"]);
    assert_eq!(code, 0, "{said}");
    for part in [
        "(finish_below_mark): 7 in -> 10 1/8 in",
        "Hard against the wall, with nothing between -> A gap, left open or filled with gravel",
        "The verdict was \"Exterior trade first\" and is now \"Change the plan\".",
    ] {
        assert!(said.contains(part), "{part}\n{said}");
    }
    let now = file(folder.path());
    assert!(now.contains("finish_below_mark: 10 1/8 in\n") && now.contains("joint: open_gap\n"), "{now}");
    // what was not named keeps its text, and so does the comment at the head
    assert!(now.contains("feature_length: 24 ft\n") && now.starts_with("# An invented visit"), "{now}");
    assert!(set(folder.path(), &["joint=tight"]).1.contains("The verdict stays"));
}

/// Typed as at a question: by label in any case, several by id and label, "not sure", also for a text.
#[test]
fn answers_are_read_as_typed() {
    let folder = demo();
    let things = &CONTENT.flow.questions[CONTENT.flow.question("wall_things").unwrap()];
    let label = &things.choices.iter().find(|choice| choice.id == "dryer_vent").unwrap().label;
    let several = format!("wall_things=hose_bib, {}", label.to_uppercase());
    let (code, said) = set(
        folder.path(),
        &["joint=a gap, LEFT open or filled with gravel", &several, "outer_edge=not sure", "visit_name=Not sure"],
    );
    assert_eq!(code, 0, "{said}");
    let now = file(folder.path());
    assert!(now.contains("joint: open_gap\n") && now.contains("wall_things: hose_bib, dryer_vent\n"), "{now}");
    assert!(now.contains("- outer_edge\n") && now.contains("- visit_name\n"), "{now}");
}

/// Every mistake is told, and not a byte is written.
#[test]
fn one_mistake_keeps_all_from_being_written() {
    let folder = demo();
    let before = file(folder.path());
    let (code, said) = set(
        folder.path(),
        &["finish_below_mark=9 in", "claddng=vinyl", "joint=opn_gap", "year_built=94", "door=not sure"],
    );
    assert_eq!(code, 1);
    for part in [
        "v.yaml was left as it is",
        "did you mean `cladding`?",
        "did you mean `open_gap`?",
        "`94` is not a year",
        "door: this one needs an answer",
    ] {
        assert!(said.contains(part), "{part}\n{said}");
    }
    assert_eq!(said.lines().filter(|line| line.starts_with("- ")).count(), 4, "{said}");
    // wrong whatever stands in the visit
    for wrong in [&["joint"][..], &["joint=open_gap", "joint=tight"], &[]] {
        let (code, said) = set(folder.path(), wrong);
        assert_eq!(code, 2, "{wrong:?} {said}");
    }
    assert_eq!(file(folder.path()), before);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no stray files");
}

/// A question that is hidden for this visit is refused with what hides it; with that changed in the same call it is taken.
#[test]
fn a_hidden_question_is_refused_with_the_reason() {
    let folder = demo();
    let before = file(folder.path());
    let (code, said) = set(folder.path(), &["removable=not sure"]);
    assert_eq!(code, 1);
    assert!(said.contains("removable: this visit does not ask it, because") && said.contains("`stage` is"), "{said}");
    assert_eq!(file(folder.path()), before);
    let (code, said) = set(folder.path(), &["removable=not sure", "stage=built"]);
    assert_eq!(code, 0, "{said}");
    // the mistake that hides it is told, and nothing that follows from it
    let (_, said) = set(folder.path(), &["stage=plannd", "removable=not sure", "covered=perhaps"]);
    assert!(said.contains("did you mean `planned`?") && !said.contains("removable"), "{said}");
}

/// What is hidden now is set aside as in `ask`, told, and comes back with its question, letter by letter.
#[test]
fn hidden_answers_come_back() {
    let folder = demo();
    let (_, said) = set(folder.path(), &["cladding=not sure"]);
    assert!(
        said.contains("no longer asked: ") && said.contains("(backing). Its answer, A wood frame, is set aside"),
        "{said}"
    );
    let now = file(folder.path());
    let (counts, aside) = now.split_once("set_aside:").unwrap();
    assert!(aside.contains("backing: wood_frame\n") && !counts.contains("backing:"), "{now}");
    let (_, said) = set(folder.path(), &["cladding=vinyl"]);
    assert!(said.contains("asked again: ") && said.contains("counts: A wood frame"), "{said}");
    assert!(file(folder.path()).split_once("set_aside:").unwrap().0.contains("backing: wood_frame\n"));
}

#[test]
fn what_is_asked_now_is_told() {
    let folder = demo();
    let (_, said) = set(folder.path(), &["stage=built"]);
    assert!(said.contains("asked now: ") && said.contains("Go on with: wallfoot ask v.yaml"), "{said}");
}

/// What nobody can read, other stretches and whatever else stands in the file stay.
#[test]
fn nothing_of_the_file_is_dropped() {
    let folder = tempfile::tempdir().unwrap();
    let visit = "wallfoot_visit: 1\nanswers:\n  region: us\n  gone_question: something\n  feature_length: about ten\n\
                 owners:\n  some_task: [homeowner]\nset_aside:\n  older: text\n";
    fs::write(folder.path().join("v.yaml"), visit).unwrap();
    let (code, said) = set(folder.path(), &["stage=planned"]);
    assert_eq!(code, 0, "{said}");
    let now = file(folder.path());
    for part in ["gone_question: something", "feature_length: about ten", "older: text", "some_task:", "stage: planned"]
    {
        assert!(now.contains(part), "{part}\n{now}");
    }
}

#[test]
fn another_stretch_of_wall() {
    let folder = demo();
    let path = folder.path().join("v.yaml");
    fs::write(&path, file(folder.path()) + "runs:\n  return wall:\n    answers:\n      exit_below_mark: 14 in\n")
        .unwrap();
    let (code, said) = set(folder.path(), &["--run", "return wall", "finish_below_mark=12 in"]);
    assert_eq!(code, 0, "{said}");
    let visit = wallfoot::visit::Visit::read(&path).unwrap();
    assert_eq!(visit.answers["finish_below_mark"], "7 in", "the first stretch stays");
    assert_eq!(visit.runs["return wall"].answers["finish_below_mark"], "12 in");
    let before = file(folder.path());
    let (code, said) = set(folder.path(), &["--run", "retrun wall", "finish_below_mark=12 in"]);
    assert_eq!((code, file(folder.path())), (1, before), "no new stretch by a slip of the hand");
    assert!(said.contains("there is: first stretch, return wall") || said.contains("return wall"), "{said}");
}

/// Bare numbers are in the units of the country, also of one that is set here; `--region` does not go into the file.
#[test]
fn units_of_the_visit() {
    let folder = demo();
    let (_, said) = set(folder.path(), &["finish_below_mark=200", "region=uk"]);
    assert!(said.contains("(finish_below_mark): 178 mm -> 200 mm"), "{said}");
    let read =
        |now: &str| now.lines().find_map(|line| line.trim().strip_prefix("finish_below_mark: ")).unwrap().to_owned();
    let length = answers(&format!("finish_below_mark: {}", read(&file(folder.path()))));
    assert_eq!(length, answers("finish_below_mark: 200 mm"));
    let (_, _) = set(folder.path(), &["--region", "us", "finish_below_mark=9"]);
    let now = file(folder.path());
    assert!(now.contains("region: uk\n"), "{now}");
    assert_eq!(answers(&format!("finish_below_mark: {}", read(&now))), answers("finish_below_mark: 9 in"));
    // what is set is written, even if the command line says the same
    set(folder.path(), &["--region", "us", "region=us"]);
    assert!(file(folder.path()).contains("region: us\n"));
}

#[test]
fn no_visit_is_made_and_none_is_touched_for_nothing() {
    let folder = demo();
    let before = file(folder.path());
    let (code, said) = set(folder.path(), &["joint=tight"]);
    assert_eq!((code, file(folder.path())), (0, before));
    assert!(said.contains("Nothing changed"), "{said}");
    assert!(told(folder.path(), &["set", "new.yaml", "joint=tight"]).starts_with("exit 1\n"));
    assert!(!folder.path().join("new.yaml").exists());
}

/// `compare --set` reads its changes by the same code.
#[test]
fn compare_reads_changes_alike() {
    let folder = demo();
    let compare = |set: &str| told(folder.path(), &["compare", "v.yaml", "--set", set]);
    assert!(compare("joint=A gap, left open or filled with gravel").starts_with("exit 0\n"));
    assert!(compare("joint=opn_gap").contains("did you mean `open_gap`?"));
}

/// The reason why a question is hidden names shown questions only.
#[test]
fn hidden_by_names_what_is_shown() {
    let demo = crate::support::scenario("demo-back-patio");
    let state = CONTENT.flow.state(&demo);
    let mut hidden = 0;
    for number in 0..CONTENT.flow.questions.len() {
        let by = CONTENT.flow.hidden_by(number, &state);
        assert!(by.iter().all(|other| state.shown[*other].is_yes()), "{}", CONTENT.flow.questions[number].id);
        assert_eq!(by.is_empty(), state.shown[number].is_yes(), "{}", CONTENT.flow.questions[number].id);
        hidden += usize::from(!by.is_empty());
    }
    assert!(hidden > 20, "{hidden}");
}
