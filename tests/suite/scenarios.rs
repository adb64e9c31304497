//! One folder a scenario: a visit, and all three sheets as they are expected.

use crate::support::{CONTENT, sheet, top, visit};
use std::path::PathBuf;
use wallfoot::content::{Sheet, Verdict};
use wallfoot::judge::Assessment;

fn folders() -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = std::fs::read_dir(top().join("tests/scenarios"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.join("visit.yaml").exists())
        .collect();
    folders.sort();
    folders
}

fn said(verdict: Verdict) -> String {
    CONTENT.word(&format!("verdict.{}", verdict.word())).to_owned()
}

/// A visit in short: verdict, findings, limits and how they stand, tasks of the crew, activities, material.
fn short(assessment: &Assessment<'_>) -> String {
    let mut lines = vec![format!("verdict: {}", said(assessment.settled.verdict))];
    lines.extend(assessment.held().map(|f| {
        let verdict = f.verdict.map_or("advice", Verdict::word);
        format!("finding: {} ({verdict})", f.id)
    }));
    lines.extend(assessment.limits().into_iter().map(|(l, c)| format!("limit: {} {:?}", l.id, c.status)));
    lines.extend(assessment.tasks(Some(Sheet::Landscaper)).map(|t| format!("crew: {}", t.id)));
    let plan = assessment.plan();
    lines.extend(plan.iter().flat_map(|p| &p.activities).map(|a| format!("work: {}", a.row.id)));
    lines.extend(assessment.quantities().iter().map(|q| format!("material: {}", q.row.id)));
    lines.extend(assessment.not_counted().into_iter().map(|text| format!("not counted: {text}")));
    lines.extend(assessment.suspects().iter().map(|s| format!("suspect: {}", s.row.id)));
    lines.join("\n")
}

#[test]
fn all_sheets_of_all_scenarios() {
    let demo = top().join("questions/demo");
    let mut cases: Vec<(PathBuf, PathBuf)> = folders().into_iter().map(|f| (f.join("visit.yaml"), f)).collect();
    for name in ["back-patio", "side-steps"] {
        cases
            .push((demo.join(name).with_extension("yaml"), top().join("tests/scenarios").join(format!("demo-{name}"))));
    }
    for (path, folder) in cases {
        let (file, answers, units) = visit(&path);
        let assessment = CONTENT.assess(&answers, units);
        // with an expectation of its own: in short
        if let Ok(expected) = std::fs::read_to_string(folder.join("expected.md")) {
            let wanted = expected.lines().next().and_then(|l| l.strip_prefix("Verdict: ")).expect("a verdict");
            let found = said(assessment.settled.verdict);
            assert_eq!(found, wanted, "{}", folder.display());
            insta::with_settings!({ snapshot_path => &folder, prepend_module_to_snapshot => false, omit_expression => true }, {
                insta::assert_snapshot!("short", short(&assessment));
            });
            continue;
        }
        insta::with_settings!({ snapshot_path => &folder, prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!("homeowner", sheet(&assessment, Sheet::Homeowner, &file.changed));
            insta::assert_snapshot!("landscaper", sheet(&assessment, Sheet::Landscaper, &file.changed));
            insta::assert_snapshot!("exterior", sheet(&assessment, Sheet::Exterior, &file.changed));
        });
    }
}

/// At least twelve, and every cladding and every feature in at least one.
#[test]
fn scenarios_cover_all_claddings_and_features() {
    let mut seen = std::collections::BTreeSet::new();
    let folders = folders();
    let mut visits: Vec<PathBuf> = folders.iter().map(|f| f.join("visit.yaml")).collect();
    assert!(visits.len() >= 12, "{} scenarios", visits.len());
    visits.extend(["back-patio.yaml", "side-steps.yaml"].map(|n| top().join("questions/demo").join(n)));
    for path in visits {
        let (file, ..) = visit(&path);
        for id in ["cladding", "feature", "stage"] {
            seen.extend(file.answers.get(id).map(|value| format!("{id} {value}")));
        }
    }
    for id in ["cladding", "feature", "stage"] {
        for choice in &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()].choices {
            assert!(seen.contains(&format!("{id} {}", choice.id)), "no scenario for {id} {}", choice.id);
        }
    }
}

/// One visit sees only the questions that matter to it: 15 to 31 for a plain plan, some more where
/// steps, an old wall or signs of trouble have to be looked into.
#[test]
fn a_visit_sees_few_questions() {
    let shown =
        |answers: &wallfoot::flow::Answers| CONTENT.flow.state(answers).shown.iter().filter(|t| t.is_yes()).count();
    let plain = shown(&crate::support::answers(crate::must_hold::SOUND));
    assert!((15..=31).contains(&plain), "{plain}");
    for folder in folders() {
        let (_, answers, _) = visit(&folder.join("visit.yaml"));
        assert!((15..=44).contains(&shown(&answers)), "{}: {}", folder.display(), shown(&answers));
    }
}
