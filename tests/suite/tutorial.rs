//! docs/proving.md, done to the letter: files are written as the page says, and each answer is printed as it says.

use crate::support::{run, top};

/// A block of a page: its kind and its lines.
fn blocks(page: &str) -> Vec<(&str, Vec<&str>)> {
    let mut found = Vec::new();
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        if let Some(kind) = line.strip_prefix("```").filter(|kind| !kind.is_empty()) {
            found.push((kind, lines.by_ref().take_while(|line| *line != "```").collect()));
        }
    }
    found
}

#[test]
fn the_steps_to_a_proof_hold() {
    let page = std::fs::read_to_string(top().join("docs/proving.md")).unwrap();
    let from = page.find("## Step by step").unwrap();
    let page = &page[from..page.find("## What is proved").unwrap()];
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    std::fs::create_dir(here.join("my-questions")).unwrap();
    let mut ran = 0;
    for (kind, body) in blocks(page) {
        match kind {
            // the first line says which file it is; a later block of the same file takes its place
            "yaml" => {
                let name = body.first().and_then(|line| line.strip_prefix("# ")).expect("the name of a file");
                std::fs::write(here.join(name), body.join("\n") + "\n").unwrap();
            }
            "console" => {
                let (command, answers) = body.split_first().expect("a command");
                let args: Vec<&str> = command.strip_prefix("$ wallfoot ").expect("a command").split(' ').collect();
                let output = run(here, &args);
                let said = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
                let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
                for answer in answers {
                    assert!(words(&said).contains(&words(answer)), "{command}\nhas no {answer}:\n{said}");
                }
                let passes = answers.iter().any(|answer| answer.contains("no mistakes"));
                assert_eq!(output.status.code(), Some(i32::from(!passes)), "{command}\n{said}");
                ran += 1;
            }
            other => panic!("nothing is done with a block of {other}"),
        }
    }
    assert_eq!(ran, 5);
}
