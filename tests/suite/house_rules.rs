//! Rules of the house that no compiler checks.

use crate::support::{CONTENT, top};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Which module may use which (DEVELOPERS.md, "Arrows").
const ARROWS: [(&str, &[&str]); 18] = [
    ("units", &[]),
    ("flow", &["units"]),
    ("interview", &["flow", "units"]),
    ("terminal", &["interview", "flow", "units"]),
    ("visit", &["flow", "units"]),
    ("wall", &["units"]),
    ("water", &["wall", "units"]),
    ("work", &["water", "wall", "units"]),
    ("names", &["flow"]),
    ("site", &["names", "flow", "wall", "water", "units"]),
    ("content", &["names", "site", "wall", "water", "work", "flow", "units"]),
    ("judge", &["names", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("say", &["names", "judge", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("sheet", &["names", "say", "judge", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("report", &["names", "say", "judge", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("prove", &["judge", "content", "names", "flow", "units"]),
    ("render", &["sheet", "wall", "flow", "units"]),
    (
        "commands",
        &[
            "content",
            "flow",
            "interview",
            "judge",
            "names",
            "prove",
            "render",
            "report",
            "say",
            "sheet",
            "site",
            "terminal",
            "units",
            "visit",
            "wall",
            "water",
            "work",
        ],
    ),
];

#[test]
fn modules_use_only_what_they_may() {
    let src = top().join("src");
    for path in files(&src, ".rs") {
        let inside = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
        let module = inside.split(['/', '.']).next().unwrap().to_owned();
        if ["main", "lib", "build"].contains(&module.as_str()) {
            continue;
        }
        let allowed = ARROWS.iter().find(|(m, _)| *m == module).unwrap_or_else(|| panic!("{module} has no arrows")).1;
        let text = fs::read_to_string(&path).unwrap();
        for (at, _) in text.match_indices("crate::") {
            let used: String = text[at + 7..].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            // doc links and macros may point anywhere; only code draws arrows
            let line = text[..at].rfind('\n').map_or(0, |n| n + 1);
            if text[line..at].trim_start().starts_with("//") || used.is_empty() {
                continue;
            }
            assert!(used == module || allowed.contains(&used.as_str()), "{inside} uses {used}");
        }
    }
}

/// Files, clock, environment and terminal are touched in `commands`, `visit` and `terminal` only.
#[test]
fn only_the_outer_modules_touch_the_world() {
    let src = top().join("src");
    for path in files(&src, ".rs") {
        let inside = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
        if ["commands/", "visit/", "terminal/", "main.rs", "build.rs"].iter().any(|m| inside.starts_with(m)) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for word in ["std::fs", "std::env", "std::time", "Zoned", "Timestamp", "stdin(", "stdout(", "stderr(", "File::"]
        {
            assert!(!text.contains(word), "{inside} uses {word}");
        }
    }
}

/// No panics are left in the shipped code.
#[test]
fn no_unwrap_in_the_shipped_code() {
    for path in files(&top().join("src"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        for word in [".unwrap()", ".expect(", "panic!(", "unreachable!(", "todo!(", "unimplemented!("] {
            assert!(!text.contains(word), "{} has {word}", path.display());
        }
    }
}

/// Every word that the code asks for is a key, and every key is asked for.
#[test]
fn words_and_keys_agree() {
    let mut code = String::new();
    for path in files(&top().join("src"), ".rs") {
        if !path.to_string_lossy().ends_with("words.rs") {
            code.push_str(&fs::read_to_string(&path).unwrap());
        }
    }
    // families whose last part is computed
    let computed =
        ["verdict.", "who.", "effort.", "trade.", "exit.kind.", "way.", "mark.", "unit.", "formula.", "month."];
    for key in wallfoot::content::words::keys() {
        let asked = code.contains(&format!("\"{key}\"")) || computed.iter().any(|c| key.starts_with(c));
        assert!(asked, "no code asks for the word {key}");
    }
    for family in ["label", "heading", "text", "table", "status", "rule", "basis", "level", "blank", "sheet", "screen"]
    {
        for (at, _) in code.match_indices(&format!("\"{family}.")) {
            let key: String = code[at + 1..].chars().take_while(|c| *c != '"').collect();
            assert!(wallfoot::content::words::is_key(&key), "the word {key} is no key");
        }
    }
}

/// The files that belong to the project, by their path with `/`; nothing where there is no git to ask. What a visit or a sheet of
/// somebody who tries the program out leaves in the folder is none of them.
fn tracked() -> Option<BTreeSet<String>> {
    let git = std::process::Command::new("git").arg("-C").arg(top()).args(["ls-files", "-z"]).output().ok()?;
    let listed = String::from_utf8(git.stdout).ok()?;
    let files: BTreeSet<String> = listed.split('\0').filter(|path| !path.is_empty()).map(str::to_owned).collect();
    // a folder unpacked inside of somebody else's repository has no tracked files of its own
    (git.status.success() && files.contains("Cargo.toml")).then_some(files)
}

/// Every content file in the repository is built in and loaded.
#[test]
fn every_content_file_is_built_in() {
    let tracked = tracked();
    let on_disk: BTreeSet<String> = files(&top().join("questions"), ".yaml")
        .iter()
        .map(|p| p.strip_prefix(top().join("questions")).unwrap().to_string_lossy().replace('\\', "/"))
        .filter(|name| tracked.as_ref().is_none_or(|files| files.contains(&format!("questions/{name}"))))
        .collect();
    let built_in: BTreeSet<String> = wallfoot::commands::sources(None, Some("*"))
        .unwrap()
        .into_iter()
        .map(|s| s.name)
        .chain(["demo/back-patio.yaml", "demo/side-steps.yaml"].map(str::to_owned))
        .filter(|name| tracked.as_ref().is_none_or(|files| files.contains(&format!("questions/{name}"))))
        .collect();
    assert_eq!(on_disk, built_in);
}

#[test]
fn the_page_of_questions_is_current() {
    let sources = wallfoot::commands::sources(None, Some("*")).unwrap();
    let content = wallfoot::content::Content::load(&sources, None).unwrap();
    let page = fs::read_to_string(top().join("docs/questions.md")).unwrap();
    let current = page == wallfoot::commands::listing(&content);
    assert!(current, "run: cargo run -- prove --list > docs/questions.md");
}

#[test]
fn between_60_and_120_questions() {
    let count = CONTENT.flow.questions.len();
    assert!((60..=120).contains(&count), "{count}");
}

/// Who reads a question must learn why it is asked and how to find out.
#[test]
fn every_question_explains_itself() {
    for question in &CONTENT.flow.questions {
        assert!(!question.why.is_empty(), "{} has no why", question.id);
        assert!(!question.how.is_empty(), "{} has no how", question.id);
        assert!(question.not_sure || ["region", "stage", "door"].contains(&question.id.as_str()), "{}", question.id);
        if question.not_sure && question.id != "visit_name" {
            assert!(question.effort.minutes > 0, "{} has no effort", question.id);
        }
    }
}

/// Only figures with a source may fail a plan.
#[test]
fn limits_that_fail_a_plan_have_a_source() {
    use wallfoot::content::Basis;
    for limit in &CONTENT.limits {
        if limit.verdict.is_some() {
            assert!(!limit.origin.source.is_empty() && limit.origin.basis < Basis::Memory, "{}", limit.id);
        }
    }
}

/// A finding that decides says what to do.
#[test]
fn findings_with_a_verdict_say_what_to_do() {
    for finding in &CONTENT.findings {
        assert!(finding.verdict.is_none() || !finding.todo.is_empty(), "{}", finding.id);
    }
}

#[test]
fn nothing_strange_at_the_top() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE-MIT",
        "src",
        "questions",
        "tests",
        "docs",
        "target",
    ];
    // without git, what lies about cannot be told from what belongs here; folders hold no visits and sheets, so they can
    let names: BTreeSet<String> = match tracked() {
        Some(files) => files.iter().filter_map(|path| path.split('/').next()).map(str::to_owned).collect(),
        None => fs::read_dir(top())
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_dir())
            .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
            .collect(),
    };
    assert!(names.contains("src"), "{names:?}");
    for name in names {
        assert!(name.starts_with('.') || known.contains(&name.as_str()), "{name}");
    }
}

/// The trees packed by the build are those that parsing gives, places included.
#[test]
fn packed_trees_are_the_parsed_ones() {
    use wallfoot::flow::{Diagnostics, Node, Source};
    for (i, source) in wallfoot::commands::sources(None, Some("*")).unwrap().into_iter().enumerate() {
        let file = u32::try_from(i).unwrap();
        assert!(source.packed.is_some_and(|p| !p.is_empty()), "{}", source.name);
        let mut diags = Diagnostics::default();
        let packed = format!("{:?}", Node::read(&source, file, &mut diags));
        let plain = Source { packed: None, ..source };
        assert_eq!(packed, format!("{:?}", Node::read(&plain, file, &mut diags)), "{}", plain.name);
    }
}
