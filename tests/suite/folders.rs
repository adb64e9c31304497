//! Folders of questions and files of limits as they are named on the command line.

use crate::support::{told, top};
use std::path::Path;

/// A set of questions of its own with this line in its `content.yaml`.
fn set(line: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("content.yaml"), format!("version: 1\n{line}\n")).unwrap();
    let one = "section: own\ntitle: Own\norder: 1\nquestions:\n  - { id: own_dry, short: Dry, ask: Is it dry?, kind: yes_no }\n";
    std::fs::write(folder.path().join("own.yaml"), one).unwrap();
    folder
}

/// How many of the built-in files are used besides those of the folder.
fn built_in(folder: &Path) -> usize {
    let sources = wallfoot::commands::sources(Some(folder), None).unwrap();
    let own = folder.display().to_string();
    assert_eq!(sources.iter().filter(|s| s.name.starts_with(&own)).count(), 2);
    sources.len() - 2
}

#[test]
fn a_set_stands_alone_if_it_says_so_in_any_writing() {
    let all = wallfoot::commands::sources(None, None).unwrap().len();
    for line in
        ["standalone: true", "standalone: true  # nothing built in", "\"standalone\": true", "standalone:   true"]
    {
        // the labels of the screens are always there
        assert_eq!(built_in(set(line).path()), 1, "{line}");
    }
    for line in ["standalone: false", "# standalone: true", "", "note: |\n  x\n\n  standalone: true"] {
        // its content.yaml takes the place of the built-in one
        assert_eq!(built_in(set(line).path()), all - 1, "{line}");
    }
}

#[test]
fn standalone_is_true_or_false() {
    let mut said = Vec::new();
    for line in ["standalone: maybe", "standalone: \"true\"", "standalone:", "standalone: [true]"] {
        let folder = set(line);
        said.push(format!("{line}\n{}", told(folder.path(), &["prove", "--quick", "."])));
    }
    insta::assert_snapshot!(said.join("\n"));
}

/// A set that stands alone and holds next to nothing is told what it lacks.
#[test]
fn an_empty_set_that_stands_alone_is_refused() {
    for rest in ["", "\ncladdings: []\nfeatures: []", "\ninch_regions: [us]"] {
        let folder = set(&format!("standalone: true{rest}"));
        let said = told(folder.path(), &["prove", "--quick", "."]);
        assert!(said.starts_with("exit 1") && said.contains("the program computes with"), "{rest}: {said}");
    }
    // the built-in file in the place of all others
    let built_in = std::fs::read_to_string(top().join("questions/content.yaml")).unwrap();
    let folder = set(&built_in.replace("version: 1\n", ""));
    let said = told(folder.path(), &["prove", "--quick", "."]);
    assert!(said.starts_with("exit 1") && said.contains("no question `door`"), "{said}");
}

/// What is wrong with the rest of that file is found with all other mistakes, as ever.
#[test]
fn a_broken_content_file_is_reported_with_all_others() {
    let folder = set("standalone: true\nno_such_key: 1");
    let said = told(folder.path(), &["prove", "--quick", "."]);
    assert!(said.starts_with("exit 1") && said.contains("no_such_key"), "{said}");
    let folder = set("standalone: [");
    let said = told(folder.path(), &["prove", "--quick", "."]);
    assert!(said.starts_with("exit 1") && said.contains("this is not YAML"), "{said}");
}

#[test]
fn prove_checks_the_limits_of_a_town_too() {
    let folder = tempfile::tempdir().unwrap();
    let town = "limits:\n  - id: town_vinyl\n    regions: [us]\n    what: Vinyl above paving in this invented town\n    measure: exit.above_finish\n    at_least: 4 in\n    when: { cladding: vinyl }\n    because: It snows a lot here.\n    verdict: change_plan\n    source: invented town code\n    basis: published\n";
    std::fs::write(folder.path().join("town.yaml"), town).unwrap();
    let plain = told(folder.path(), &["prove", "--quick"]);
    let with = told(folder.path(), &["prove", "--quick", "--limits", "town.yaml"]);
    let limits = |said: &str| {
        let words: Vec<&str> = said.split_whitespace().collect();
        let at = words.iter().position(|word| *word == "limits,").unwrap();
        words[at - 1].parse::<usize>().unwrap()
    };
    assert_eq!(limits(&with), limits(&plain) + 1);
    assert!(told(folder.path(), &["prove", "--limits", "town.yaml", "--list"]).contains("`limit.town_vinyl`"));
    std::fs::write(folder.path().join("town.yaml"), town.replace("exit.above_finish", "exit.above_finnish")).unwrap();
    let broken = told(folder.path(), &["prove", "--quick", "--limits", "town.yaml"]);
    assert!(broken.starts_with("exit 1") && broken.contains("town.yaml:5"), "{broken}");
    assert!(told(&top(), &["prove", "--limits", "no-town.yaml"]).contains("cannot read no-town.yaml"));
}
