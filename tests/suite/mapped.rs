//! The map of the questions: every question a box, every condition an arrow, well formed and legible.

use crate::support::{CONTENT, run, top};
use std::collections::BTreeSet;
use wallfoot::prove::flow_map;

fn map(form: &str) -> String {
    let output = run(&top(), &["prove", "--map", form]);
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn every_question_is_a_box_and_every_condition_an_arrow() {
    let map = flow_map(&CONTENT);
    let questions: Vec<usize> = map.sections.iter().flat_map(|s| s.questions.iter().map(|q| q.number)).collect();
    assert_eq!(questions.len(), CONTENT.flow.questions.len());
    for (number, question) in CONTENT.flow.questions.iter().enumerate() {
        let read: BTreeSet<usize> = question.visible.reads().map(usize::from).collect();
        let from: BTreeSet<usize> = map.arrows.iter().filter(|a| a.to == number).map(|a| a.from).collect();
        assert_eq!(from, read, "{}", question.id);
    }
    for arrow in &map.arrows {
        let id = &CONTENT.flow.questions[arrow.from].id;
        assert!(arrow.from < arrow.to && arrow.when.contains(id.as_str()), "{arrow:?}");
    }
    // a follow-up hangs on the answer of its parent
    let number = |id: &str| CONTENT.flow.question(id).unwrap();
    let depth = map.arrows.iter().find(|a| a.to == number("strip_depth")).unwrap();
    assert_eq!((depth.from, depth.when.as_str()), (number("joint"), "joint: strip"));
}

/// The value of an attribute of the tag that begins here.
fn attribute(tag: &str, name: &str) -> f64 {
    let from = tag.find(&format!(" {name}=\"")).unwrap_or_else(|| panic!("{tag} has no {name}")) + name.len() + 3;
    tag[from..].split('"').next().unwrap().parse().unwrap()
}

#[test]
fn the_picture_is_well_formed_and_legible() {
    let svg = map("svg");
    // tags close in their order
    let mut open: Vec<&str> = Vec::new();
    for tag in svg.split('<').skip(1).map(|rest| rest.split_once('>').expect("a tag ends").0) {
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !tag.ends_with('/') {
            open.push(tag.split(' ').next().unwrap());
        }
    }
    assert_eq!(open, Vec::<&str>::new());
    assert!(!svg.replace("&amp;", "").replace("&lt;", "").replace("&gt;", "").replace("&quot;", "").contains('&'));
    assert!(svg.contains("<title") && svg.contains("<desc") && svg.contains("role=\"img\""));
    // letters are large enough, lie on the page, and not on each other
    let mut placed: Vec<(f64, f64, f64, f64, &str)> = Vec::new();
    for text in svg.split("<text").skip(1) {
        let (tag, rest) = text.split_once('>').unwrap();
        let words = rest.split('<').next().unwrap();
        let (x, y, size) = (attribute(tag, "x"), attribute(tag, "y"), attribute(tag, "font-size"));
        assert!(size >= 8.0, "{words}");
        // lines of small letters are rarely narrower than this for each of their letters
        let wide = words.chars().count() as f64 * size * 0.43;
        assert!(x >= 30.0 && x + wide <= 595.0, "{words}");
        let within = y % 842.0;
        assert!((30.0..812.0).contains(&within), "{words} lies at the edge of a page");
        placed.push((x, y, wide, size, words));
    }
    for (nth, a) in placed.iter().enumerate() {
        for b in &placed[..nth] {
            let apart = a.0 + a.2 <= b.0 || b.0 + b.2 <= a.0 || a.1 - a.3 * 0.72 >= b.1 || b.1 - b.3 * 0.72 >= a.1;
            assert!(apart, "{a:?} lies on {b:?}");
        }
    }
    for question in &CONTENT.flow.questions {
        assert!(placed.iter().any(|(.., words)| *words == question.id), "{}", question.id);
    }
    // a picture of its own is replaced, anything else is not
    let folder = tempfile::tempdir().unwrap();
    for _ in 0..2 {
        let output = run(folder.path(), &["prove", "--map", "-o", "map.svg"]);
        assert_eq!(output.status.code(), Some(0));
    }
    std::fs::write(folder.path().join("map.mmd"), "mine\n").unwrap();
    assert_ne!(run(folder.path(), &["prove", "--map", "-o", "map.mmd"]).status.code(), Some(0));
}

/// As Mermaid's own page on flow charts says: a text between quotes may hold anything but quotes, and signs stand as numbers.
#[test]
fn mermaid_reads_it() {
    let chart = map("mermaid");
    let mut lines = chart.lines();
    assert_eq!(lines.next(), Some("flowchart TD"));
    let (mut boxes, mut arrows) = (BTreeSet::new(), 0);
    for line in lines.map(str::trim).filter(|line| !line.is_empty()) {
        let quotes = line.matches('"').count();
        if line.starts_with("acc") {
            continue;
        }
        assert!(quotes == 2 || line == "end" && quotes == 0, "{line}");
        if let Some((from, rest)) = line.split_once(" -->|\"") {
            let to = rest.split_once("\"| ").expect("an arrow leads somewhere").1;
            assert!(boxes.contains(from) && boxes.contains(to), "{line}");
            arrows += 1;
        } else if line.starts_with('q') {
            boxes.insert(line.split_once("[\"").expect("a box has a name").0.to_owned());
        }
    }
    assert_eq!((boxes.len(), arrows), (CONTENT.flow.questions.len(), flow_map(&CONTENT).arrows.len()));
}
