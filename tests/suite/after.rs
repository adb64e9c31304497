//! The menu after the verdict, on plain lines: every entry can be used there.

use crate::support::{CONTENT, program, run};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;
use wallfoot::units::Units;
use wallfoot::visit::{FORMAT, Visit};

fn patio() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let text = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    std::fs::write(folder.path().join("v.yaml"), text).unwrap();
    // answers of hidden questions are set aside on the first opening
    run(folder.path(), &["ask", "v.yaml"]);
    folder
}

fn saved(folder: &Path) -> Visit {
    Visit::read(&folder.join("v.yaml")).unwrap()
}

/// Types these lines into `wallfoot ask v.yaml`; gives back everything that was shown. A line that begins with `:` picks the
/// item of the menu that has this text.
fn typed(folder: &Path, lines: &[&str]) -> String {
    let mut numbers: Vec<String> = Vec::new();
    for line in lines {
        let line = match line.strip_prefix(':') {
            None => (*line).to_owned(),
            Some(text) => {
                // what the menu looks like at this point
                let shown = play(folder, &numbers, true);
                let menu = shown.rsplit("\n\n").find(|part| part.contains("  1. ")).unwrap_or_default();
                let item = menu.lines().find(|line| line.contains(text));
                let item = item.unwrap_or_else(|| panic!("no {text} in\n{shown}"));
                item.trim().split('.').next().unwrap().to_owned()
            }
        };
        numbers.push(line);
    }
    play(folder, &numbers, false)
}

/// Runs with these lines; on a copy of the folder if it is only to look.
fn play(folder: &Path, lines: &[String], look: bool) -> String {
    let copy = tempfile::tempdir().unwrap();
    let place = if look {
        for entry in std::fs::read_dir(folder).unwrap() {
            let entry = entry.unwrap();
            std::fs::copy(entry.path(), copy.path().join(entry.file_name())).unwrap();
        }
        copy.path()
    } else {
        folder
    };
    let mut command = program(place, &["ask", "v.yaml", "--plain"]);
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all((lines.join("\n") + "\n").as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

fn without_tries(visit: &Visit) -> Visit {
    Visit { tries: BTreeMap::new(), shown: None, wallfoot_visit: 1, ..visit.clone() }
}

/// A finished visit starts at the answer, with its name and date, and asks nothing.
#[test]
fn a_finished_visit_starts_at_the_menu() {
    let folder = patio();
    let shown = typed(folder.path(), &[":Done"]);
    for words in ["Invented house on Fern Hill, back patio", "2026-04-12", "EXTERIOR TRADE FIRST", "What now?"] {
        assert!(shown.contains(words), "{words}\n{shown}");
    }
    assert!(!shown.contains("Question 1"), "{shown}");
}

/// A try leaves the plan alone, moves what stands on the surface, and is there again the next time.
#[test]
fn a_try_is_kept_beside_the_plan() {
    let folder = patio();
    let before = saved(folder.path());
    let shown =
        typed(folder.path(), &[":Try something else", ":The surface at another height", "9 in", "", ":Back", ":Done"]);
    assert!(shown.contains("Kept as a try: surface 2 in lower"), "{shown}");
    let after = saved(folder.path());
    assert_eq!(without_tries(&after), without_tries(&before));
    assert_eq!(after.wallfoot_visit, FORMAT, "an older program does not know tries");
    let tried = &after.tries["surface 2 in lower"];
    assert_eq!(tried.answers["finish_below_mark"], "9 in");
    // the vent did not move, so it stands higher above the lower surface: 14 in + 2 in
    assert_eq!(tried.answers["dryer_vent_above_surface"], "16 in");
    let compared = String::from_utf8(run(folder.path(), &["compare", "v.yaml"]).stdout).unwrap();
    assert!(compared.contains("The plan") && compared.contains("surface 2 in"), "{compared}");
    assert!(typed(folder.path(), &[":Done"]).contains("the plan stays as it is (1)"));
}

/// Keeping a try makes it the plan and the old plan a try; undoing turns that around, to the letter. Another try means the same
/// plan all the while.
#[test]
fn a_try_kept_and_undone() {
    let folder = patio();
    typed(folder.path(), &[":Try something else", ":The surface at another height", "9 in", "low", ":Back", ":Done"]);
    typed(
        folder.path(),
        &[":Try something else", ":Other answers", ": Joint at the wall", "2", "done", "", ":Back", ":Done"],
    );
    typed(
        folder.path(),
        &[":Try something else", ":The surface at another height", "11 in", "very low", ":Back", ":Done"],
    );
    let plan = saved(folder.path());
    assert_eq!(plan.tries.len(), 3, "{:?}", plan.tries);
    typed(folder.path(), &[":Try something else", ":Keep one", ":. low", ":Done"]);
    let kept = saved(folder.path());
    assert_eq!(kept.answers["finish_below_mark"], "9 in");
    assert_eq!(kept.answers["dryer_vent_above_surface"], "16 in");
    assert_eq!(kept.tries["before low"].answers["finish_below_mark"], "7 in");
    assert_eq!(kept.tries["before low"].before, "low");
    assert_eq!(kept.tries["very low"].answers, plan.tries["very low"].answers);
    assert!(!kept.tries.contains_key("low"));
    let shown = typed(folder.path(), &[":Undo: make \"before low\"", ":Done"]);
    assert!(shown.contains("The plan is again as it was"), "{shown}");
    let undone = saved(folder.path());
    assert_eq!(undone.answers, plan.answers);
    assert_eq!(undone.tries, plan.tries);
}

/// What a try says of answers that the kept one changed stays what it was.
#[test]
fn other_tries_mean_the_same_after_one_was_kept() {
    let folder = patio();
    let mut visit = saved(folder.path());
    for (name, id, value) in [("gap", "joint", "open_gap"), ("low", "finish_below_mark", "9 in")] {
        visit.tries.entry(name.to_owned()).or_default().answers.insert(id.to_owned(), value.to_owned());
    }
    visit.write(&folder.path().join("v.yaml")).unwrap();
    typed(folder.path(), &[":Try something else", ":Keep one", ":. low", ":Done"]);
    let kept = saved(folder.path());
    assert_eq!(kept.answers["finish_below_mark"], "9 in");
    assert_eq!(kept.answers["joint"], "tight");
    // "gap" was the plan of before with an open gap, and still is
    assert_eq!(kept.tries["gap"].answers["joint"], "open_gap");
    assert_eq!(kept.tries["gap"].answers["finish_below_mark"], "7 in");
}

/// A changed answer is saved at once, and so is what it brings up; no other answer is touched.
#[test]
fn an_answer_is_changed_at_once() {
    let folder = patio();
    let before = saved(folder.path());
    let shown = typed(folder.path(), &[":Change an answer", ": Year of the house", "1990"]);
    assert!(shown.contains("1994"), "{shown}");
    let after = saved(folder.path());
    assert_eq!(after.answers["year_built"], "1990");
    let rest = |visit: &Visit| visit.answers.iter().filter(|(id, _)| *id != "year_built").count();
    assert_eq!(rest(&after), rest(&before));
}

/// What is open is offered as a list of things to do, and an answer is saved at once.
#[test]
fn what_is_open_is_answered() {
    let folder = patio();
    let mut visit = saved(folder.path());
    visit.answers.remove("exit_below_mark");
    visit.not_sure.push("exit_below_mark".to_owned());
    visit.answers.insert("finish_below_mark".to_owned(), "12 in".to_owned());
    visit.write(&folder.path().join("v.yaml")).unwrap();
    let shown = typed(folder.path(), &[":Answer what is still open", ":  1. ", "9 in", "back", ":Done"]);
    assert!(shown.contains("min, with"), "{shown}");
    assert_eq!(saved(folder.path()).answers["exit_below_mark"], "9 in", "{shown}");
    assert_eq!(saved(folder.path()).not_sure, [""; 0]);
}

/// Sheets go beside the visit, as pages; a file of somebody else is left alone and the menu goes on.
#[test]
fn sheets_are_written_beside_the_visit() {
    let folder = patio();
    std::fs::write(folder.path().join("v-exterior.html"), "<html>mine</html>").unwrap();
    let shown = typed(folder.path(), &[":Write sheets", ":All four", ":Write sheets", ":For the homeowner", ":Done"]);
    for sheet in ["homeowner", "landscaper", "agreement"] {
        let page = std::fs::read_to_string(folder.path().join(format!("v-{sheet}.html"))).unwrap();
        assert!(page.contains("<main>"), "{sheet}");
        assert!(shown.contains(&format!("wrote v-{sheet}.html")), "{shown}");
    }
    assert_eq!(std::fs::read_to_string(folder.path().join("v-exterior.html")).unwrap(), "<html>mine</html>");
    assert!(shown.contains("v-exterior.html"), "{shown}");
}

/// Drawing, contractor, owners and another stretch of wall, one after the other, without a terminal.
#[test]
fn the_other_entries_can_be_used() {
    let folder = patio();
    let shown = typed(folder.path(), &[":Show the drawing", ":As the answers say", ":Done"]);
    assert!(shown.contains("- Wall wood above steps, porch or patio"), "{shown}");
    let shown = typed(folder.path(), &[":Note what a contractor says", "Crew of Friday", "1", "save"]);
    assert!(shown.contains("Crew of Friday"), "{shown}");
    assert_eq!(saved(folder.path()).contractors["Crew of Friday"].len(), 1);
    typed(folder.path(), &[":Say who does which task", "1", "save"]);
    assert_eq!(saved(folder.path()).owners.len(), 1);
    let shown = typed(folder.path(), &[":Add or change another stretch", "north side", "done", ":Done"]);
    assert!(saved(folder.path()).runs.contains_key("north side"), "{shown}");
    // with two stretches it is asked which one is meant, and a try belongs to that one
    let shown = typed(
        folder.path(),
        &[":Try something else", ": north side", ":The surface at another height", "12 in", "", ":Back", ":Done"],
    );
    assert!(shown.contains("north side: "), "{shown}");
    let visit = saved(folder.path());
    assert_eq!(visit.tries["surface 5 in lower"].stretch, "north side");
    assert_eq!(visit.answers["finish_below_mark"], "7 in");
}

/// A file without tries reads as before, and says the same version as before.
#[test]
fn old_files_read_as_before() {
    let folder = patio();
    let before = std::fs::read_to_string(folder.path().join("v.yaml")).unwrap();
    typed(folder.path(), &[":Done"]);
    assert_eq!(std::fs::read_to_string(folder.path().join("v.yaml")).unwrap(), before);
}

/// A corrected height is one reading: what else was read stays as it was read, and a danger stays with it. (A try moves what stands
/// on the surface; see above.)
#[test]
fn a_corrected_reading_moves_no_other() {
    let folder = patio();
    let before = saved(folder.path());
    let lines: Vec<String> = before.answers.keys().cloned().collect();
    assert!(lines.contains(&"dryer_vent_above_surface".to_owned()));
    let (whole, _) = before.answers(&CONTENT.flow, Units::Inch);
    let shown = CONTENT.flow.state(&whole).shown;
    let finish = CONTENT.flow.question("finish_below_mark").unwrap();
    let line = whole.iter().filter(|(n, _)| shown[*n].is_yes()).position(|(n, _)| n == finish).unwrap() + 1;
    typed(folder.path(), &[":Change an answer of the plan", &line.to_string(), "9 in", "done", ":Done"]);
    let after = saved(folder.path());
    assert_eq!(after.answers["finish_below_mark"], "9 in");
    let others = |visit: &Visit| {
        let mut answers = visit.answers.clone();
        answers.remove("finish_below_mark");
        // a deeper step asks for steps, which were set aside before
        answers.remove("door_steps");
        answers
    };
    assert_eq!(others(&after), others(&before));
}

/// After a changed answer the menu says whether questions can change the verdict again, and goes on with these.
#[test]
fn a_changed_answer_may_bring_up_what_decides() {
    let folder = tempfile::tempdir().unwrap();
    let known = "region: us\n  stage: planned\n  contractor: talking\n  cladding: vinyl\n  backing: wood_frame\n  joint: tight\n  feature_length: 12 ft\n  feature_depth: 10 ft\n  door: slides\n  egress_door: 'no'\n  finish_way: down_from_mark\n  finish_below_mark: 7 in\n  exit_way: down_from_mark\n  exit_below_mark: 9 in";
    std::fs::write(folder.path().join("v.yaml"), format!("wallfoot_visit: 1\nanswers:\n  {known}\n")).unwrap();
    let settled = typed(folder.path(), &[":Done"]);
    assert!(settled.contains("No question that is left changes the verdict"), "{settled}");
    let text = std::fs::read_to_string(folder.path().join("v.yaml")).unwrap().replace("9 in", "4 in");
    std::fs::write(folder.path().join("v.yaml"), text).unwrap();
    // resumed, it asks what decides now
    let resumed = typed(folder.path(), &["save"]);
    assert!(resumed.contains("more can count"), "{resumed}");
    assert!(!resumed.contains("No question that is left"), "{resumed}");
}
