//! Several writers of one visit, writers that are killed, and what a visit keeps beside its text. `tests/kept/check` does the same at
//! length (docs/promises.md).

use crate::support::{program, run};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Stdio};
use wallfoot::visit::Visit;

const BEGUN: &str = "wallfoot_visit: 1\nanswers:\n  visit_name: Invented wall\n  region: us\n";

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), BEGUN).unwrap();
    folder
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// An interview that waits for its first answer.
fn asking(folder: &Path) -> Child {
    let mut child = program(folder, &["ask", "v.yaml"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
    // what was read is told before the first question; the file is open then
    lines.next().unwrap().unwrap();
    std::thread::spawn(move || lines.for_each(drop));
    child
}

#[test]
fn notes_written_at_once_are_all_kept() {
    let folder = folder();
    let notes: Vec<String> = (0..12).map(|n| format!("note {n}")).collect();
    let children: Vec<Child> = notes
        .iter()
        .map(|note| program(folder.path(), &["log", "v.yaml", note]).stderr(Stdio::null()).spawn().unwrap())
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let mut kept: Vec<String> =
        Visit::read(&folder.path().join("v.yaml")).unwrap().log.into_iter().map(|note| note.text).collect();
    kept.sort();
    let mut notes = notes;
    notes.sort();
    assert_eq!(kept, notes);
    assert_eq!(names(folder.path()), ["v.yaml"]);
}

#[test]
fn a_second_writer_is_told_of_the_first_and_writes_nothing() {
    let folder = folder();
    let mut first = asking(folder.path());
    let before = std::fs::read_to_string(folder.path().join("v.yaml")).unwrap();
    for args in [&["ask", "v.yaml"][..], &["set", "v.yaml", "cladding=vinyl"], &["log", "v.yaml", "a note"]] {
        let second = run(folder.path(), args);
        let said = String::from_utf8_lossy(&second.stderr).into_owned();
        assert_eq!(second.status.code(), Some(1), "{said}");
        let who = format!("in use by another wallfoot, process {}", first.id());
        assert!(said.contains(&who) && said.contains("help: finish there first"), "{said}");
    }
    // looking changes nothing, and is never refused
    assert!(run(folder.path(), &["advise", "v.yaml"]).status.success());
    assert!(run(folder.path(), &["log", "v.yaml"]).status.success());
    assert_eq!(std::fs::read_to_string(folder.path().join("v.yaml")).unwrap(), before);
    drop(first.stdin.take());
    first.wait().unwrap();
    assert!(run(folder.path(), &["set", "v.yaml", "cladding=vinyl"]).status.success());
    assert_eq!(names(folder.path()), ["v.yaml"]);
}

#[test]
fn what_a_killed_writer_leaves_is_gone_after_the_next_one() {
    let folder = folder();
    let mut first = asking(folder.path());
    writeln!(first.stdin.as_mut().unwrap(), "planned").unwrap();
    first.kill().unwrap();
    first.wait().unwrap();
    assert!(names(folder.path()).len() > 1, "{:?}", names(folder.path()));
    std::fs::write(folder.path().join(".wallfoot-x1.tmp"), "half of a").unwrap();
    assert!(run(folder.path(), &["set", "v.yaml", "cladding=vinyl"]).status.success());
    assert_eq!(names(folder.path()), ["v.yaml"]);
    assert_eq!(Visit::read(&folder.path().join("v.yaml")).unwrap().answers["cladding"], "vinyl");
}

#[cfg(unix)]
#[test]
fn links_permissions_and_group_stay() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    let folder = folder();
    let (file, link, new) = (folder.path().join("v.yaml"), folder.path().join("l.yaml"), folder.path().join("n.yaml"));
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o664)).unwrap();
    let group = std::fs::metadata(&file).unwrap().gid();
    symlink("v.yaml", &link).unwrap();
    symlink("kept/new.yaml", &new).unwrap();
    assert!(run(folder.path(), &["set", "l.yaml", "cladding=vinyl"]).status.success());
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    let there = std::fs::metadata(&file).unwrap();
    assert_eq!((there.mode() & 0o777, there.gid()), (0o664, group));
    // a link to a file that is not there yet leads to it, once its folder is there
    assert!(wallfoot::visit::write_whole(&new, "whole").is_err());
    std::fs::create_dir(folder.path().join("kept")).unwrap();
    wallfoot::visit::write_whole(&new, "whole").unwrap();
    assert!(std::fs::symlink_metadata(&new).unwrap().is_symlink());
    assert_eq!(std::fs::read_to_string(folder.path().join("kept/new.yaml")).unwrap(), "whole");
    // in a circle
    symlink("b.yaml", folder.path().join("a.yaml")).unwrap();
    symlink("a.yaml", folder.path().join("b.yaml")).unwrap();
    assert!(wallfoot::visit::write_whole(&folder.path().join("a.yaml"), "x").is_err());
}
