//! What every command has in common: help with examples that run, one way of naming a visit, one meaning of an option; and
//! what is about the command line itself.

use crate::support::{program, run, told, top};
use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;
use tempfile::TempDir;

/// Commands that the list of `--help` leaves out.
const NOT_LISTED: [&str; 3] = ["prove", "completions", "man"];

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn help(args: &[&str]) -> String {
    let output = run(&top(), args);
    assert_eq!(output.status.code(), Some(0), "{args:?}");
    text(&output.stdout)
}

/// All commands, listed or not.
fn commands() -> Vec<String> {
    let all = help(&["--help"]);
    let list = all.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let names = list.filter_map(|line| line.split_whitespace().next()).filter(|name| *name != "help");
    names.chain(NOT_LISTED).map(str::to_owned).collect()
}

/// A folder with all that the examples name.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let demo = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    for name in ["wallfoot-visit.yaml", "patio.yaml"] {
        fs::write(path(name), demo).unwrap();
    }
    fs::create_dir(path("jobs")).unwrap();
    fs::write(path("jobs/oak.yaml"), demo).unwrap();
    fs::create_dir(path("my-questions")).unwrap();
    fs::write(path("my-questions/words.yaml"), wallfoot::commands::embedded("words.yaml").unwrap()).unwrap();
    fs::copy(top().join("tests/data/seattle-weather.csv"), path("days.csv")).unwrap();
    fs::copy(top().join("docs/prices-example.yaml"), path("book.yaml")).unwrap();
    folder
}

/// The commands under "Examples:", each as its words.
fn examples(help: &str) -> Vec<Vec<String>> {
    let block = help.split("Examples:\n").nth(1).unwrap_or_default();
    let lines = block.lines().map_while(|line| line.strip_prefix("  wallfoot"));
    lines.map(|line| shell_words::split(line).unwrap()).collect()
}

/// Every command has examples, and each of them does what it says.
#[test]
fn every_example_runs() {
    for command in std::iter::once(String::new()).chain(commands()) {
        let asked: Vec<&str> = [command.as_str(), "--help"].into_iter().filter(|word| !word.is_empty()).collect();
        let examples = examples(&help(&asked));
        assert!(examples.len() >= 2, "`wallfoot {command} --help` has {} examples", examples.len());
        for example in examples {
            let folder = folder();
            let words: Vec<&str> = example.iter().map(String::as_str).collect();
            assert!(command.is_empty() || words.first() == Some(&command.as_str()), "{command}: {words:?}");
            let mut child = program(folder.path(), &words)
                .stdin(Stdio::piped())
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap();
            // whoever asks gets answers enough
            let typed = if words.first() == Some(&"ask") { "done\n".repeat(3) } else { "not sure\n".repeat(60) };
            let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
            let output = child.wait_with_output().unwrap();
            let said = text(&output.stderr);
            assert_eq!(output.status.code(), Some(0), "wallfoot {}: {said}", words.join(" "));
            assert!(!output.stdout.is_empty() || !said.is_empty(), "{words:?}");
        }
    }
}

/// The lines of an argument or option in the long help.
fn explained(help: &str, head: &str) -> Option<String> {
    let at = help.lines().position(|line| line.trim_start().starts_with(head))?;
    let lines = help.lines().skip(at + 1).take_while(|line| line.starts_with("          ") && !line.trim().is_empty());
    Some(lines.map(str::trim).collect::<Vec<_>>().join(" "))
}

/// The visit comes first, has the same default, and is explained in the same words wherever there is one.
#[test]
fn a_visit_is_named_alike_everywhere() {
    let mut with_visit = Vec::new();
    for command in commands() {
        let help = help(&[&command, "--help"]);
        let usage = help.lines().find(|line| line.starts_with("Usage:")).unwrap();
        if !usage.contains("VISIT") {
            continue;
        }
        assert!(usage.starts_with(&format!("Usage: wallfoot {command} [OPTIONS] ")), "{usage}");
        // what must be given stands before it, and is no argument
        let usage = usage.replace(" --set <CHANGES>", "");
        let words: Vec<&str> = usage.split_whitespace().collect();
        assert_eq!(words.get(4).copied(), Some("[VISIT]"), "{usage}");
        let said = explained(&help, "[VISIT]").unwrap();
        assert_eq!(
            said, "The file of the visit, as `wallfoot ask` writes it [default: wallfoot-visit.yaml]",
            "{command}"
        );
        with_visit.push(command);
    }
    with_visit.sort();
    let list = ["advise", "ask", "compare", "contractor", "draw", "log", "owners", "plan", "set"];
    assert!(list.iter().all(|name| with_visit.iter().any(|with| with == name)), "{with_visit:?}");
}

/// Where no visit is named, the usual file is meant; where that is missing, the message says how to begin.
#[test]
fn the_usual_visit() {
    let folder = tempfile::tempdir().unwrap();
    let cases: [&[&str]; 8] = [
        &["advise"],
        &["compare", "--set", "lower=2 in"],
        &["contractor", "First crew"],
        &["draw"],
        &["log", "Measured again"],
        &["owners"],
        &["plan"],
        &["set", "joint=open_gap"],
    ];
    for args in cases {
        let said = told(folder.path(), args);
        assert!(said.starts_with("exit 1\n"), "{args:?}: {said}");
        assert!(said.contains("there is no visit wallfoot-visit.yaml"), "{args:?}: {said}");
        assert!(said.contains("`wallfoot ask wallfoot-visit.yaml` begins it"), "{args:?}: {said}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing was written");
    let demo = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    fs::write(folder.path().join("wallfoot-visit.yaml"), demo).unwrap();
    for args in cases {
        let code = run(folder.path(), args).status.code();
        let asks = ["contractor", "owners"].contains(&args[0]);
        assert_eq!(code, Some(i32::from(asks)), "{args:?}");
    }
    let visit = wallfoot::visit::Visit::read(&folder.path().join("wallfoot-visit.yaml")).unwrap();
    assert_eq!((visit.log[0].text.as_str(), visit.answers["joint"].as_str()), ("Measured again", "open_gap"));
}

/// One word too few is told as such: a visit is not taken for the name of a contractor, nor for a change.
#[test]
fn a_missing_word_is_wrong_use() {
    let folder = folder();
    for args in [&["contractor", "patio.yaml"][..], &["contractor"], &["contractor", "patio.yaml", " "], &["set"]] {
        let output = run(folder.path(), args);
        assert_eq!(output.status.code(), Some(2), "{args:?} {}", text(&output.stderr));
    }
    let notes = told(folder.path(), &["log", "patoi.yaml"]);
    assert!(notes.contains("there is no visit patoi.yaml"), "a slip of the hand is no note: {notes}");
}

/// What an option means is said in the same words in every command that has it.
#[test]
fn options_mean_the_same_everywhere() {
    let mut said: BTreeMap<&str, Vec<(String, String)>> = BTreeMap::new();
    for command in commands() {
        let help = help(&[&command, "--help"]);
        for option in
            ["--region <", "--units <", "--lang <", "--plain", "--config <", "--as <FORMAT>", "-o, --output <"]
        {
            if let Some(text) = explained(&help, option) {
                // the forms differ
                let text = text.split(" Possible values").next().unwrap_or_default().to_owned();
                // several files at once have no ending that says the form, and go to a folder
                if command == "hand-over" && ["--as <FORMAT>", "-o, --output <"].contains(&option) {
                    continue;
                }
                said.entry(option).or_default().push((command.clone(), text));
            }
        }
    }
    for (option, list) in &said {
        let first = &list[0].1;
        assert!(list.len() >= 6, "{option}: {list:?}");
        assert!(list.iter().all(|(_, text)| text == first), "{option}: {list:#?}");
    }
    // what only some commands can use is refused by the others
    for args in [&["draw", "--figure", "breakage=7"][..], &["ask", "--as", "html"], &["set", "-o", "x", "joint=tight"]]
    {
        assert_eq!(run(&top(), args).status.code(), Some(2), "{args:?}");
    }
}

/// What authors and reckoners need stays out of the short help.
#[test]
fn the_short_help_is_for_homeowners() {
    let list = help(&["-h"]);
    let listed = list.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    for hidden in NOT_LISTED {
        assert!(!listed.lines().any(|line| line.trim_start().starts_with(hidden)), "{hidden}");
        assert!(list.contains(&format!("wallfoot {hidden}")), "{hidden} is named below");
    }
    for command in ["advise", "plan"] {
        let (short, long) = (help(&[command, "-h"]), help(&[command, "--help"]));
        for option in ["--figure", "--questions", "--limits", "--config"] {
            assert!(
                !short.contains(&format!("{option} <")) && long.contains(&format!("{option} <")),
                "{command} {option}"
            );
        }
    }
}

/// `wallfoot` alone says where to begin, in a few lines that fit the screen.
#[test]
fn alone_it_says_where_to_begin() {
    let folder = tempfile::tempdir().unwrap();
    let said = told(folder.path(), &[]);
    insta::assert_snapshot!(said);
    fs::write(folder.path().join("wallfoot-visit.yaml"), "wallfoot_visit: 1\n").unwrap();
    assert!(told(folder.path(), &[]).contains("goes on with wallfoot-visit.yaml"));
    let spanish = program(folder.path(), &[]).env("LC_ALL", "es_MX.UTF-8").output().unwrap();
    assert!(text(&spanish.stdout).contains("sigue con wallfoot-visit.yaml"), "{}", text(&spanish.stdout));
}

/// The language of the surroundings, where there is one; the command line has the last word.
#[test]
fn the_language_of_the_surroundings() {
    let title = |args: &[&str], env: &[(&str, &str)]| {
        let mut program = program(&top(), &[&["demo", "--sheet", "landscaper"], args].concat());
        program.env_remove("LC_ALL");
        let output = program.envs(env.iter().copied()).output().unwrap();
        assert_eq!((output.status.code(), text(&output.stderr)), (Some(0), String::new()), "{env:?}");
        text(&output.stdout).lines().next().unwrap().to_owned()
    };
    let english = title(&[], &[]);
    let spanish = title(&["--lang", "es"], &[]);
    assert_ne!(english, spanish);
    for (env, wanted) in [
        (&[("LANG", "es_MX.UTF-8")][..], &spanish),
        (&[("LC_MESSAGES", "es"), ("LANG", "en_US.UTF-8")], &spanish),
        (&[("LC_ALL", "C"), ("LANG", "es_ES.UTF-8")], &english),
        (&[("LC_ALL", ""), ("LANG", "es_ES.UTF-8")], &spanish),
        // there is no such translation
        (&[("LANG", "tlh_XX.UTF-8")], &english),
    ] {
        assert_eq!(&title(&[], env), wanted, "{env:?}");
    }
    assert_eq!(title(&["--lang", "en"], &[("LANG", "es_MX.UTF-8")]), english);
}

#[test]
fn completions_and_manual() {
    for (shell, part) in [
        ("bash", "complete -F _wallfoot"),
        ("zsh", "#compdef wallfoot"),
        ("fish", "complete -c wallfoot"),
        ("powershell", "Register-ArgumentCompleter"),
        ("elvish", "edit:completion"),
    ] {
        let script = help(&["completions", shell]);
        assert!(script.contains(part) && script.contains("advise") && script.contains("sheet"), "{shell}");
    }
    let page = help(&["man"]);
    assert!(page.contains(".TH wallfoot 1") && page.contains("advise") && page.contains("130"), "{page}");
    assert!(help(&["man", "advise"]).contains("\\-\\-sheet"));
    assert_eq!(run(&top(), &["completions", "tcsh"]).status.code(), Some(2));
    let output = run(&top(), &["man", "advice"]);
    assert_eq!(output.status.code(), Some(2), "{}", text(&output.stderr));
}

/// Neither settings nor questions are read for what is about the command line alone.
#[test]
fn the_command_line_needs_no_settings() {
    for args in [&["--version"][..], &["--help"], &["completions", "bash"], &["man"]] {
        let output = program(&top(), args).env("WALLFOOT_CONFIG", "no/such/file").output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{args:?}");
    }
    assert_eq!(
        program(&top(), &["demo"]).env("WALLFOOT_CONFIG", "no/such/file").output().unwrap().status.code(),
        Some(1)
    );
}

/// A command that goes on can be pasted: the words of the line are those that were given.
#[test]
fn the_command_that_goes_on_can_be_pasted() {
    let folder = tempfile::tempdir().unwrap();
    let visit = "it's a \"wall\".yaml";
    fs::write(folder.path().join(visit), wallfoot::commands::embedded("demo/back-patio.yaml").unwrap()).unwrap();
    let again = |args: &[&str]| {
        let mut child = program(folder.path(), args)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(b"save\n").unwrap();
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        let said = text(&output.stderr);
        // in the middle of the questions, or at the menu of a finished visit
        let after = |line: &str| {
            ["Go on with: ", "this menu:"].iter().find_map(|mark| line.split(mark).nth(1)).map(|l| l.trim().to_owned())
        };
        let line = said.lines().find_map(after).unwrap();
        shell_words::split(&line).unwrap()
    };
    let line = again(&["ask", visit, "--run", "wall by the $gate", "--brief", "--region", "us", "--plain"]);
    assert_eq!(line, ["wallfoot", "ask", visit, "--run", "wall by the $gate", "--brief", "--region", "us", "--plain"]);
    assert_eq!(again(&["contractor", visit, "First crew"]), ["wallfoot", "contractor", visit, "First crew"]);
    assert_eq!(again(&["owners", visit]), ["wallfoot", "owners", visit]);
    // the line is a command that runs
    let words: Vec<&str> = line[1..].iter().map(String::as_str).collect();
    let menu: Vec<&String> = line.iter().filter(|word| *word != "--brief").collect();
    assert_eq!(again(&words).iter().collect::<Vec<_>>(), menu);
    // a file that looks like an option
    let dash = Path::new("-v.yaml");
    fs::copy(folder.path().join(visit), folder.path().join(dash)).unwrap();
    assert_eq!(again(&["ask", "--", "-v.yaml"]), ["wallfoot", "ask", "./-v.yaml"]);
}
