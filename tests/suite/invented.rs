//! Ninety-eight invented visits, found by a random search so that together they hold most findings and show most
//! limits. Nobody has written down what is right for them: their table is a record of what is said today, and shows
//! what a change does to it. It is no judgement.

use crate::page::short;
use crate::support::{CONTENT, top, visit};
use std::collections::BTreeSet;
use std::path::PathBuf;
use wallfoot::flow::Answers;
use wallfoot::units::Units;

const HEADER: &str = "\
What is said of the invented visits, by the content and the program of today.
This is a record and not a judgement: no visit has an expected verdict, and a line here may be wrong.
A changed line has to be looked at. Who finds out what is right for a visit makes a scenario of it.
";

fn files() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(top().join("tests/visits")).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = entries.filter(|path| path.extension().is_some_and(|e| e == "yaml")).collect();
    files.sort();
    files
}

/// All of them, by the names of their files.
pub(crate) fn invented() -> Vec<(String, Answers, Units)> {
    let read = |path: PathBuf| {
        let (_, answers, units) = visit(&path);
        (path.file_stem().unwrap().to_string_lossy().into_owned(), answers, units)
    };
    files().into_iter().map(read).collect()
}

#[test]
fn the_record_of_the_invented_visits() {
    let visits = invented();
    assert_eq!(visits.len(), 98);
    let mut table = HEADER.to_owned();
    for (name, answers, units) in &visits {
        table.push('\n');
        table.push_str(&short(name, &CONTENT.assess(answers, *units)));
    }
    insta::with_settings!({
        snapshot_path => top().join("tests/visits"), prepend_module_to_snapshot => false, omit_expression => true
    }, {
        insta::assert_snapshot!("record", table);
    });
}

/// What they are kept for: more than a third of all findings hold (the table of visits shows each), and more than two in five limits are not met for
/// certain, in one of them at least.
#[test]
fn the_invented_visits_show_most_rules() {
    let (mut held, mut not_met) = (BTreeSet::new(), BTreeSet::new());
    for (_, answers, units) in &invented() {
        let assessment = CONTENT.assess(answers, *units);
        held.extend(assessment.held().map(|finding| finding.id.clone()));
        let limits = assessment.limits().into_iter();
        not_met.extend(limits.filter(|(_, c)| c.breaks().is_possible()).map(|(limit, _)| limit.id.clone()));
    }
    let (findings, limits) = (CONTENT.findings.len(), CONTENT.limits.len());
    assert!(held.len() * 3 > findings, "{} of {findings} findings", held.len());
    assert!(not_met.len() * 5 > limits * 2, "{} of {limits} limits", not_met.len());
}
