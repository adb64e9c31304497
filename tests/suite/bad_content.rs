//! Broken content: the whole report, as its author sees it.

use crate::support::{told, top};

fn report(case: &str) -> String {
    let folder = top().join("tests/bad").join(case);
    told(&folder, &["prove", "."])
}

macro_rules! cases {
    ($($name:ident: $folder:literal,)*) => {
        $(
            #[test]
            fn $name() {
                let report = report($folder);
                assert!(report.starts_with("exit 1\n"), "{report}");
                insta::assert_snapshot!(report);
            }
        )*
    };
}

cases! {
    not_yaml: "not-yaml",
    a_broken_flow_is_one_mistake: "broken-flow",
    unknown_key: "unknown-key",
    duplicate_id: "duplicate-id",
    then_loop: "then-loop",
    backward_follow_up: "backward-follow-up",
    unknown_names: "unknown-names",
    wrong_tests: "wrong-tests",
    several_files_at_once: "several-files",
    anchors_tags_and_doubled_keys: "anchors",
    bindings_of_the_program: "bindings",
    translation: "translation",
    bounds_ids_and_kinds: "bounds",
    the_plan: "plan",
    names_in_questions: "asked",
    what_is_usual: "usual",
    promises_that_cannot_be: "promises",
    sources_that_nobody_can_look_up: "sources",
    empty_folder: "empty",
}

#[test]
fn missing_folder() {
    insta::assert_snapshot!(told(&top(), &["prove", "tests/bad/no-such-folder"]));
}

/// A document that would unfold to a billion nodes is refused at once: aliases are not followed.
#[test]
fn alias_bomb_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut bomb = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
    for i in 1..12 {
        let line = format!("a{i}: &a{i} [{}]\n", vec![format!("*a{}", i - 1); 10].join(", "));
        bomb.push_str(&line);
    }
    std::fs::write(folder.path().join("bomb.yaml"), bomb).unwrap();
    let report = told(folder.path(), &["prove", "."]);
    assert!(report.starts_with("exit 1") && report.contains("anchors and tags are not used"), "{report}");
}

#[test]
fn deep_nesting_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("deep.yaml"), "[".repeat(100_000)).unwrap();
    let report = told(folder.path(), &["prove", "."]);
    assert!(report.starts_with("exit 1") && report.contains("recursion limit exceeded"), "{report}");
}
