//! What contractors said, who owns the joint, the log of a visit.

use crate::support::{CONTENT, program, run, sheet, text_of, top, with};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;
use wallfoot::content::{Sheet, Who};
use wallfoot::judge::{Assessment, Grade, Notes, Owned, Standing};
use wallfoot::sheet::Cover;
use wallfoot::units::Units;
use wallfoot::visit::Visit;

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn one_line(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn patio(folder: &Path) {
    std::fs::copy(top().join("questions/demo/back-patio.yaml"), folder.join("v.yaml")).unwrap();
}

/// Lines through a pipe into a command on plain lines.
fn pipe(folder: &Path, args: &[&str], lines: &str) -> (String, i32) {
    let mut child =
        program(folder, args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    (text(&output.stderr), output.status.code().unwrap())
}

#[test]
fn an_answer_is_marked_against_a_good_one() {
    let answers = with(crate::must_hold::SOUND, "contractor: talking");
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let ask = assessment.asks().find(|a| a.good.len() == 3 && !a.weak.is_empty()).unwrap();
    let mark = |points: &[&str]| Grade::of(ask, Some(&points.iter().map(|p| (*p).to_owned()).collect()));
    assert_eq!(mark(&["good.1", "good.2", "good.3"]), Grade::Good);
    assert_eq!(mark(&["good.1"]), Grade::Partly);
    assert_eq!(mark(&["good.1", "good.2", "good.3", "weak.1"]), Grade::Weak);
    assert_eq!(mark(&[]), Grade::Weak);
    assert_eq!(mark(&["good.9"]), Grade::Weak);
    assert_eq!(Grade::of(ask, None), Grade::Open);
}

#[test]
fn several_contractors_stand_side_by_side() {
    let answers = with(crate::must_hold::SOUND, "contractor: talking");
    let plain = CONTENT.assess(&answers, Units::Inch);
    let all = |bad: Option<&str>| -> BTreeMap<String, Vec<String>> {
        let each = |ask: &wallfoot::content::Ask| {
            let points = if bad == Some(ask.id.as_str()) {
                vec!["weak.1".to_owned()]
            } else {
                (1..=ask.good.len()).map(|n| format!("good.{n}")).collect()
            };
            (ask.id.to_string(), points)
        };
        plain.asks().map(each).collect()
    };
    let not_joint = plain.asks().find(|a| a.weight == 3 && !a.joint).unwrap().id.clone();
    let contractors = BTreeMap::from([
        ("Slate crew".to_owned(), all(None)),
        ("Other crew".to_owned(), all(Some("where_does_water_go"))),
        ("Third crew".to_owned(), all(Some(&not_joint))),
        ("New crew".to_owned(), BTreeMap::new()),
    ]);
    let notes = Notes { contractors, ..Notes::default() };
    let assessment = Assessment { notes, ..CONTENT.assess(&answers, Units::Inch) };
    assert_eq!(assessment.standing("Slate crew"), Standing::Enough);
    assert_eq!(assessment.standing("Other crew"), Standing::SecondTrade);
    assert_eq!(assessment.standing("Third crew"), Standing::NotEnough);
    assert_eq!(assessment.standing("New crew"), Standing::NotAllAsked);
    let page = one_line(&sheet(&assessment, Sheet::Homeowner, ""));
    for words in ["What the contractors said", "Other crew: not good enough for the wall"] {
        assert!(page.contains(words), "{words}");
    }
    let page = one_line(&crate::support::behind(&assessment));
    assert!(page.contains("Ask again: Show me on the wall where that place is"));
}

#[test]
fn what_a_contractor_said_is_kept_as_it_comes() {
    let folder = tempfile::tempdir().unwrap();
    patio(folder.path());
    // all three good points of the first question, a weak one of the second, then leave
    let (said, code) = pipe(folder.path(), &["contractor", "v.yaml", "Slate crew"], "1, 2, 3\n4\nsave\n");
    assert_eq!(code, 0, "{said}");
    let visit = Visit::read(&folder.path().join("v.yaml")).unwrap();
    let heard = &visit.contractors["Slate crew"];
    assert_eq!(heard.len(), 2);
    assert_eq!(heard.values().filter(|p| p[..] == ["good.1", "good.2", "good.3"]).count(), 1);
    assert_eq!(heard.values().filter(|p| p[..] == ["weak.1"]).count(), 1);
    assert!(said.contains("WEAK:"), "{said}");
    // nobody is judged after two answers
    assert!(said.contains("Slate crew: 2 of ") && !said.contains("not good enough"), "{said}");
    // again: it goes on with the third; what was said before stands there, and "not sure" takes it back
    let (said, _) = pipe(folder.path(), &["contractor", "v.yaml", "Slate crew"], "back\nnot sure\nsave\n");
    assert!(said.contains("Question 3 of") && !said.contains("Question 1 of"), "{said}");
    assert!(said.contains("Answer now:"), "{said}");
    assert_eq!(Visit::read(&folder.path().join("v.yaml")).unwrap().contractors["Slate crew"].len(), 1);
}

#[test]
fn every_task_at_the_joint_has_one_owner_or_is_a_finding() {
    let answers = with(
        crate::must_hold::SOUND,
        "finish_below_mark: 4 in\nwall_plan: membrane_flashing\ncuts_cladding: nobody\ncontractor: talking",
    );
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let tasks = assessment.joint_tasks();
    assert!(tasks.len() >= 10, "{}", tasks.len());
    // the interview said that nobody opens the cladding
    let open = tasks.iter().find(|(t, _)| t.from == Some(wallfoot::names::QuestionId::CutsCladding)).unwrap();
    assert_eq!(open.1, Owned::Nobody);
    let page = one_line(&sheet(&assessment, Sheet::Homeowner, ""));
    assert!(page.contains("Tasks at the joint that nobody does"));
    // two owners are a finding; one each is none
    let owners = |list: &[Who]| -> BTreeMap<String, Vec<Who>> {
        tasks.iter().map(|(t, _)| (t.id.to_string(), list.to_vec())).collect()
    };
    for (list, finding) in [
        (&[Who::Exterior][..], None),
        (&[Who::Exterior, Who::Hardscape], Some("Tasks at the joint with more than one owner")),
    ] {
        let notes = Notes { owners: owners(list), ..Notes::default() };
        let assessment = Assessment { notes, ..CONTENT.assess(&answers, Units::Inch) };
        let page = one_line(&sheet(&assessment, Sheet::Homeowner, ""));
        assert_eq!(page.contains("Tasks at the joint with"), finding.is_some());
        assert!(finding.is_none_or(|words| page.contains(words)));
    }
}

#[test]
fn the_agreement_is_short_and_has_hold_points() {
    let answers = with(crate::must_hold::SOUND, "finish_below_mark: 4 in\ncontractor: talking");
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let cover = Cover { date: String::new(), lang: "en".to_owned() };
    let page = text_of(&assessment.agreement(&cover));
    assert!(page.lines().count() < 90, "{}", page.lines().count());
    let holds = assessment.joint_tasks().iter().filter(|(task, _)| task.hold).count();
    assert!(holds >= 3, "{holds}");
    assert_eq!(page.matches(&format!("[ ] {}", CONTENT.word("label.stop"))).count(), holds, "{page}");
    insta::assert_snapshot!(page);
}

#[test]
fn owners_are_asked_one_by_one() {
    let folder = tempfile::tempdir().unwrap();
    patio(folder.path());
    let (said, code) = pipe(folder.path(), &["owners", "v.yaml"], "1\n2, 3\nnone\nsave\n");
    assert_eq!(code, 0, "{said}");
    let owners = Visit::read(&folder.path().join("v.yaml")).unwrap().owners;
    let mut lists: Vec<Vec<String>> = owners.into_values().collect();
    lists.sort();
    assert_eq!(lists, [vec![], vec!["hardscape".to_owned(), "exterior".to_owned()], vec!["homeowner".to_owned()]]);
    let page = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner"]).stdout);
    assert!(one_line(&page).contains("Tasks at the joint with more than one owner"));
    // the next time it goes on with the first task without a name, and who usually does it is marked: Enter confirms
    let (said, _) = pipe(folder.path(), &["owners", "v.yaml"], "\nsave\n");
    assert!(said.contains("Question 4 of") && said.contains("Answer now: "), "{said}");
    assert_eq!(Visit::read(&folder.path().join("v.yaml")).unwrap().owners.len(), 4);
    // nobody known
    let broken = std::fs::read_to_string(folder.path().join("v.yaml")).unwrap().replace("- homeowner", "- uncle");
    std::fs::write(folder.path().join("v.yaml"), broken).unwrap();
    let output = run(folder.path(), &["advise", "v.yaml"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("`uncle` under `owners` is nobody known"));
}

#[test]
fn the_log_keeps_dated_notes_and_photographs() {
    let folder = tempfile::tempdir().unwrap();
    patio(folder.path());
    let add = |args: &[&str]| {
        let output = run(folder.path(), &[&["log", "v.yaml"][..], args].concat());
        (text(&output.stderr), output.status.code().unwrap())
    };
    assert_eq!(add(&["Measured again with the long level", "--about", "exit_below_mark", "--date", "2026-05-03"]).1, 0);
    let (said, code) = add(&["--photo", "foot.jpg", "--about", "limit.vinyl_slab", "--date", "2026-05-01"]);
    assert!(code == 1 && said.contains("did you mean"), "{said}");
    let (said, code) = add(&["--photo", "foot.jpg", "--date", "2026-05-01"]);
    assert!(code == 0 && said.contains("foot.jpg is not there"), "{said}");
    assert!(add(&["x", "--date", "3 May"]).0.contains("is no date"));
    let log = Visit::read(&folder.path().join("v.yaml")).unwrap().log;
    assert_eq!(log.iter().map(|n| n.date.as_str()).collect::<Vec<_>>(), ["2026-05-01", "2026-05-03"]);
    assert_eq!(log[0].photos, ["foot.jpg"]);
    let page = one_line(&text(&run(folder.path(), &["log", "v.yaml"]).stdout));
    for words in ["2026-05-03", "Bottom edge of", "Measured again", "foot.jpg", "Photographs to take, and from where"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let json = text(&run(folder.path(), &["log", "v.yaml", "--as", "json"]).stdout);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["notes"].as_array().unwrap().len(), 2);
}
