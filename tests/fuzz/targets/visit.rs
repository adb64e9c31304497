//! The file of a visit. What is read and written again reads back the same; opening and saving loses no text; and what is in it can be
//! judged and put on a sheet.
#![no_main]

use std::path::Path;
use wallfoot::content::Sheet;
use wallfoot::flow::{Answers, acts};
use wallfoot::render::{Marks, TextStyle, text};
use wallfoot::sheet::Cover;
use wallfoot::units::Units;
use wallfoot::visit::{Run, Visit};
use wallfoot_fuzz::{CONTENT, bounded};

/// Each text at its question, wherever it stands.
fn texts(visit: &Visit) -> Vec<(&String, &String)> {
    let mut all: Vec<_> = visit.answers.iter().chain(&visit.set_aside).collect();
    all.sort();
    all
}

libfuzzer_sys::fuzz_target!(|given: &str| bounded(|| {
    let path = Path::new("v.yaml");
    let visit = match Visit::parse(given, path) {
        Ok(visit) => visit,
        Err(error) => {
            assert!(error.to_string().len() < 1_000, "a message as long as the file");
            return;
        }
    };
    let written = visit.to_text(path).expect("what was read can be written");
    let again = Visit::parse(&written, path).expect("what was written can be read");
    // the number says what a file needs, not what it said
    assert_eq!(Visit { wallfoot_visit: visit.wallfoot_visit, ..again.clone() }, visit);
    assert_eq!(again.to_text(path).expect("once more"), written);

    let flow = &CONTENT.flow;
    let (answers, misfits) = visit.answers(flow, None);
    for misfit in &misfits {
        let _ = misfit.to_string();
    }
    let mut saved = visit.clone();
    saved.take(flow, &answers, "2030-01-01");
    assert_eq!(texts(&saved), texts(&visit));
    let mut not_sure = [saved.not_sure.clone(), visit.not_sure.clone()];
    not_sure.iter_mut().for_each(|list| list.sort());
    assert_eq!(not_sure[0], not_sure[1]);
    assert_eq!(saved.answers(flow, None).0, answers);
    for run in visit.runs.values() {
        let _: (Answers, _) = visit.run_answers(run, &answers, flow, Units::Metric);
    }
    let _: Option<&Run> = visit.runs.values().next();

    let assessment = CONTENT.assess(&answers, Units::Inch);
    // sheets look for the nearest change, which takes its time
    if given.len() % 16 == 0 {
        let cover = Cover { date: visit.changed.clone(), lang: "en".to_owned() };
        let style = TextStyle { width: 80, bold: false, plain: false };
        let page = text(&assessment.sheet(Sheet::Homeowner, &cover), &Marks::default(), style);
        assert!(!page.contains(|c: char| c != '\n' && acts(c)));
    }
}));
