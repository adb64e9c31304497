//! What the mutation run (docs/mutation.md) changes: each kind of change is found where it can be made, and each means
//! something else than what it was made from.

#[allow(dead_code, unused_imports)] // the run uses all of it
#[path = "../benches/mutation/mutants/mod.rs"]
mod made;

use made::{Kind, ROWS, Tree, Yaml};
use std::collections::BTreeSet;
use wallfoot::flow::{Diagnostics, Node, Source};

/// The rows of a list, as they stand in a text.
fn rows(list: &str, text: &str) -> Vec<Yaml> {
    let source = Source::new("tiny.yaml", text.to_owned());
    let mut diags = Diagnostics::default();
    let node = Node::read(&source, 0, &mut diags).expect("YAML");
    assert!(diags.is_empty());
    Yaml::of(&node, text).get(list).expect("the list").items().to_vec()
}

/// `line kind what` of each mutant of the only row of a list.
fn found(list: &str, text: &str) -> Vec<String> {
    let rows = rows(list, text);
    let mutants = rows.iter().flat_map(|row| made::mutants(list, row));
    mutants.map(|m| format!("{} {:?} {}", m.line, m.kind, m.what)).collect()
}

#[test]
fn a_limit_has_these_mutants() {
    let text = "limits:\n  - id: gap\n    regions: [us, canada]\n    at_least: 2 in\n    verdict: find_out_first\n    when: { cladding: [vinyl, wood], not: { soil: true } }\n";
    let expected = [
        "2 Dropped without gap",
        "6 Negated not { cladding: [vinyl, wood], not: { soil: true } }",
        "6 Negated not { cladding: [vinyl, wood] }",
        "6 Shortened cladding without vinyl",
        "6 Shortened cladding without wood",
        "6 Negated not { not: { soil: true } }",
        "3 Shortened regions without us",
        "3 Shortened regions without canada",
        "4 Threshold at_least 2 in: 2 1/16 in",
        "4 Threshold at_least 2 in: 1 15/16 in",
        "4 Reversed at_least 2 in: at_most",
        "5 Verdict verdict find_out_first: change_plan",
        "5 Verdict verdict find_out_first: exterior_trade_first",
    ];
    assert_eq!(found("limits", text), expected);
}

#[test]
fn a_comparison_has_these_mutants() {
    let text = "tasks:\n  - id: t\n    when:\n      any:\n        - { year: { below: 1978 } }\n        - not: { drop: { above: 600 mm } }\n";
    let expected = [
        "2 Dropped without t",
        "3 Negated not { any: [{ year: { below: 1978 } }, { not: { drop: { above: 600 mm } } }] }",
        "5 Negated not { year: { below: 1978 } }",
        "5 Threshold year below 1978: 1979",
        "5 Threshold year below 1978: 1977",
        "5 Edge year below 1978: at_most",
        "5 Reversed year below 1978: at_least",
        "6 Negated not { not: { drop: { above: 600 mm } } }",
        "6 Threshold drop above 600 mm: 601 mm",
        "6 Threshold drop above 600 mm: 599 mm",
        "6 Edge drop above 600 mm: at_least",
        "6 Reversed drop above 600 mm: at_most",
    ];
    assert_eq!(found("tasks", text), expected);
}

#[test]
fn laps_traits_and_figures_have_these_mutants() {
    let lap = "laps:\n  - over: barrier\n    under: flashing\n";
    assert_eq!(
        found("laps", lap),
        ["2 Dropped without { over: barrier, under: flashing }", "2 Lap flashing over barrier"]
    );
    let cladding = "claddings:\n  - id: vinyl\n    drains: laps\n    carried_by: [block]\n";
    let expected = ["2 Dropped without vinyl", "3 Trait drains laps: coat", "4 Trait carried_by without block"];
    assert_eq!(found("claddings", cladding), expected);
    let stairs = "stairs:\n  - region: uk\n    pace: [550 mm, 700 mm]\n    pitch_most: 42\n";
    let expected = [
        "2 Dropped without uk",
        "3 Figure pace 550 mm: 551 mm",
        "3 Figure pace 550 mm: 549 mm",
        "3 Figure pace 700 mm: 701 mm",
        "3 Figure pace 700 mm: 699 mm",
        "4 Figure pitch_most 42: 43",
        "4 Figure pitch_most 42: 41",
    ];
    assert_eq!(found("stairs", stairs), expected);
}

/// A length moves by a sixteenth of an inch or a millimetre, all else by one in its last digit.
#[test]
fn figures_move_by_their_unit() {
    let text = |figure: &str| format!("stairs:\n  - region: uk\n    most: {figure}\n");
    let cases = [
        ("7 3/4 in", ["7 13/16 in", "7 11/16 in"]),
        ("0 in", ["1/16 in", "-1/16 in"]),
        ("3 ft", ["36 1/16 in", "35 15/16 in"]),
        ("150 mm", ["151 mm", "149 mm"]),
        ("0 mm", ["1 mm", "-1 mm"]),
        ("2 %", ["3 %", "1 %"]),
        ("1.25 %", ["1.26 %", "1.24 %"]),
        ("'1:80'", ["1:81", "1:79"]),
        ("1/4 in per ft", ["5/16 in per ft", "3/16 in per ft"]),
        ("0.5", ["0.6", "0.4"]),
        ("40 F", ["41 F", "39 F"]),
        ("-2 mm", ["-1 mm", "-3 mm"]),
    ];
    for (figure, [up, down]) in cases {
        let found = found("stairs", &text(figure));
        let plain = figure.trim_matches('\'');
        assert_eq!(found[1..], [format!("3 Figure most {plain}: {up}"), format!("3 Figure most {plain}: {down}")]);
    }
    assert_eq!(found("stairs", &text("two_by_six")).len(), 1, "a word is no figure");
}

/// Forgets the lines, and what is quoted where nobody could tell.
fn without_places(tree: &mut Yaml) {
    tree.line = 0;
    match &mut tree.tree {
        Tree::Text { text, quoted } => *quoted |= !["true", "false", "~", ""].contains(&text.as_str()),
        Tree::List(items) => items.iter_mut().for_each(without_places),
        Tree::Map(entries) => entries.iter_mut().for_each(|(_, value)| without_places(value)),
    }
}

/// A tree that was written is read as the same tree, of the shipped content too.
#[test]
fn a_tree_is_written_as_it_was_read() {
    for source in &wallfoot::commands::sources(None, None).unwrap() {
        let read = |text: &str| {
            let source = Source::new("written.yaml", text.to_owned());
            let node = Node::read(&source, 0, &mut Diagnostics::default()).expect("YAML");
            let mut tree = Yaml::of(&node, text);
            without_places(&mut tree);
            tree
        };
        let tree = read(&source.text);
        let mut written = String::new();
        tree.write(&mut written);
        assert!(read(&written) == tree, "{}", source.name);
    }
}

/// Every mutant of the shipped content is another tree than its row, and no two of a row are the same.
#[test]
fn no_mutant_means_the_same() {
    let mut kinds = BTreeSet::new();
    for source in &wallfoot::commands::sources(None, None).unwrap() {
        let node = Node::read(source, 0, &mut Diagnostics::default()).expect("YAML");
        let tree = Yaml::of(&node, &source.text);
        for (list, value) in tree.entries().iter().filter(|(list, _)| ROWS.contains(&list.as_str())) {
            for row in value.items() {
                let mutants = made::mutants(list, row);
                let mut seen: Vec<&Option<Yaml>> = Vec::new();
                for mutant in &mutants {
                    kinds.insert(mutant.kind);
                    assert!(mutant.row.as_ref() != Some(row), "{}: {}", source.name, mutant.what);
                    let again = seen.contains(&&mutant.row);
                    assert!(!again, "{}:{} {} twice", source.name, mutant.line, mutant.what);
                    seen.push(&mutant.row);
                }
            }
        }
    }
    assert_eq!(kinds, Kind::ALL.iter().map(|(kind, _)| *kind).collect(), "each kind can be made");
}
