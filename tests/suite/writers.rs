//! Several writers of one visit, writers that are killed, disks without room, and what cannot be read. docs/promises.md says how to do
//! the same at length.

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

/// How often something is tried: a few times in every run, and as often as an environment variable says (docs/promises.md).
fn times(variable: &str, usual: usize) -> usize {
    std::env::var(variable).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// Numbers by a fixed rule, so that a run can be repeated: Park and Miller, 1988, from memory.
fn next(seed: &mut u64) -> u64 {
    *seed = *seed * 48_271 % 2_147_483_647;
    *seed
}

/// What was confirmed is what was asked on from: the answers that a file must hold after so many questions.
fn questions_in(said: &str) -> usize {
    let number = |line: &str| line.split("Question ").nth(1)?.split(';').next()?.trim().parse::<usize>().ok();
    said.lines().filter_map(number).count()
}

#[test]
fn an_interview_that_is_killed_loses_nothing_that_was_confirmed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("v.yaml");
    let (mut seed, mut known) = (1, std::collections::BTreeMap::new());
    for _ in 0..times("WALLFOOT_KILLS", 25) {
        let mut child = program(folder.path(), &["ask", "v.yaml"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = "1\n1\n1\n1\n".to_owned();
        lines.push_str(&"not sure\n".repeat(60));
        let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
        let (out, err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
        let read = |mut from: Box<dyn std::io::Read + Send>| {
            std::thread::spawn(move || {
                let mut text = Vec::new();
                let _ = from.read_to_end(&mut text);
                String::from_utf8_lossy(&text).into_owned()
            })
        };
        let (out, err) = (read(Box::new(out)), read(Box::new(err)));
        std::thread::sleep(std::time::Duration::from_micros(next(&mut seed) % 60_000));
        child.kill().unwrap();
        child.wait().unwrap();
        let asked = questions_in(&out.join().unwrap()).max(questions_in(&err.join().unwrap()));
        if !file.exists() {
            assert!(asked == 0 && known.is_empty());
            continue;
        }
        let visit = Visit::read(&file).unwrap_or_else(|error| panic!("{error}"));
        let held = visit.answers.len() + visit.not_sure.len() + visit.set_aside.len();
        // the last question was asked when the one before it was on the disk
        assert!(held + 1 >= asked, "{asked} asked and {held} kept: {visit:?}");
        for (id, answer) in &known {
            let now = visit.answers.get(id).or(visit.set_aside.get(id));
            // a question may be asked again, and "not sure" is an answer
            assert!(now == Some(answer) || visit.not_sure.contains(id), "{id}: {answer} is {now:?} now");
        }
        known = visit.answers;
        if held > 40 {
            std::fs::remove_file(&file).unwrap();
            known.clear();
        }
    }
    // whatever the last one left is swept by the next writer
    std::fs::write(&file, BEGUN).unwrap();
    assert!(run(folder.path(), &["set", "v.yaml", "cladding=vinyl"]).status.success());
    assert_eq!(names(folder.path()), ["v.yaml"]);
}

#[test]
fn writers_and_readers_at_once_neither_lose_nor_tear() {
    for round in 0..times("WALLFOOT_RACES", 3) {
        let folder = folder();
        let start =
            |args: &[&str]| program(folder.path(), args).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
        let notes: Vec<String> = (0..4).map(|n| format!("{round}.{n}")).collect();
        let mut children: Vec<Child> = notes.iter().map(|note| start(&["log", "v.yaml", note])).collect();
        children.push(start(&["set", "v.yaml", "cladding=vinyl"]));
        children.push(start(&["set", "v.yaml", "year_built=1990"]));
        children.extend((0..3).map(|_| start(&["advise", "v.yaml"])));
        for child in children {
            let output = child.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        }
        let visit = Visit::read(&folder.path().join("v.yaml")).unwrap();
        assert_eq!(visit.log.len(), notes.len());
        assert_eq!(visit.answers["cladding"], "vinyl");
        assert_eq!(visit.answers.get("year_built").or(visit.set_aside.get("year_built")).unwrap(), "1990");
        assert_eq!(names(folder.path()), ["v.yaml"]);
    }
}

/// A disk without room: the system refuses every byte, and the file stays as it was.
#[cfg(target_os = "linux")]
#[test]
fn on_a_full_disk_the_file_stays_as_it_was() {
    let folder = folder();
    let program = program(folder.path(), &[]).get_program().to_owned();
    let full = |args: &[&str]| {
        // no file may grow, and the program is told so instead of being ended
        std::process::Command::new("sh")
            .args(["-c", "trap '' XFSZ; ulimit -f 0; exec \"$@\"", "sh"])
            .arg(&program)
            .args(args)
            .current_dir(folder.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    };
    for args in [&["set", "v.yaml", "cladding=vinyl"][..], &["log", "v.yaml", "a note"], &["ask", "v.yaml"]] {
        let output = full(args);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert!(said.contains("cannot write the visit v.yaml"), "{said}");
        assert_eq!(std::fs::read_to_string(folder.path().join("v.yaml")).unwrap(), BEGUN);
    }
    assert!(run(folder.path(), &["set", "v.yaml", "cladding=vinyl"]).status.success());
    assert_eq!(names(folder.path()), ["v.yaml"]);
}

/// The folder is taken away in the middle: that is said, and the program does not go on as if all were well.
#[test]
fn a_lost_folder_is_told() {
    let top = tempfile::tempdir().unwrap();
    let folder = top.path().join("house");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("v.yaml"), BEGUN).unwrap();
    let mut child = program(top.path(), &["ask", "house/v.yaml"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut err = BufReader::new(child.stderr.take().unwrap());
    let mut said = String::new();
    // until it waits for an answer: before that it writes the visit once, which the removal would run into
    while !said.contains("\n  1. ") {
        assert_ne!(err.read_line(&mut said).unwrap(), 0, "{said}");
    }
    std::fs::remove_dir_all(&folder).unwrap();
    child.stdin.take().unwrap().write_all(b"1\n1\n1\n").unwrap();
    std::io::Read::read_to_string(&mut err, &mut said).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(1), "{said}");
    assert!(said.contains("cannot write the visit") && said.contains("there is no folder"), "{said}");
}

#[test]
fn what_is_too_large_or_in_another_code_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).unwrap();
    let wide = |little: bool| -> Vec<u8> {
        let units = std::iter::once(0xfeff).chain(BEGUN.encode_utf16());
        units.flat_map(|unit| if little { unit.to_le_bytes() } else { unit.to_be_bytes() }).collect()
    };
    write("little.yaml", &wide(true));
    write("big.yaml", &wide(false));
    write("old.yaml", b"wallfoot_visit: 1\nanswers:\n  visit_name: caf\xe9\n");
    write("long.yaml", format!("{BEGUN}  # {}\n", "a".repeat(1_000_000)).as_bytes());
    for (name, says) in [
        ("little.yaml", "its text is in UTF-16; save it anew as UTF-8"),
        ("big.yaml", "its text is in UTF-16; save it anew as UTF-8"),
        ("old.yaml", "line 3 is in no UTF-8"),
        ("long.yaml", "it is larger than 1 MB"),
    ] {
        let output = run(folder.path(), &["advise", name]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert!(said.contains(says), "{said}");
    }
}

#[cfg(unix)]
#[test]
fn pipes_and_circles_in_a_folder_of_questions_are_not_waited_for() {
    use std::os::unix::fs::symlink;
    let folder = tempfile::tempdir().unwrap();
    let inside = |path: &str| folder.path().join(path);
    std::fs::create_dir_all(inside("q/a")).unwrap();
    std::fs::create_dir_all(inside("q/b")).unwrap();
    assert!(std::process::Command::new("mkfifo").arg(inside("q/pipe.yaml")).status().unwrap().success());
    let said = |out: std::process::Output| String::from_utf8_lossy(&out.stderr).into_owned();
    let only = said(run(folder.path(), &["prove", "q"]));
    assert!(only.contains("yaml"), "{only}");
    symlink("../b", inside("q/a/x")).unwrap();
    symlink("../a", inside("q/b/y")).unwrap();
    let refused = said(run(folder.path(), &["prove", "q"]));
    assert!(refused.contains("is a link back into the same folder"), "{refused}");
    // thirty thousand mistakes are told in one pass, and not all of them
    let many: Vec<String> = (0..30_000).map(|n| format!("unknown_{n}: 1")).collect();
    std::fs::create_dir(inside("many")).unwrap();
    std::fs::write(inside("many/a.yaml"), many.join("\n")).unwrap();
    let many = said(run(folder.path(), &["prove", "many"]));
    assert!(many.contains("more, which are not shown; mend these first"), "{}", many.len());
    assert!(many.len() < 200_000, "{}", many.len());
}

/// A visit never grows beyond what is read: what could not be read again is refused before it is written.
#[test]
fn a_note_that_makes_a_visit_too_large_is_refused() {
    let folder = folder();
    let mut visit = Visit::read(&folder.path().join("v.yaml")).unwrap();
    visit.answers.insert("visit_name".to_owned(), "a".repeat(1_000_000));
    let error = visit.write(&folder.path().join("v.yaml")).unwrap_err().to_string();
    assert!(error.contains("it would be larger than 1 MB"), "{error}");
    assert_eq!(std::fs::read_to_string(folder.path().join("v.yaml")).unwrap(), BEGUN);
}

#[test]
fn a_dash_is_the_screen() {
    let folder = folder();
    let out = run(folder.path(), &["advise", "v.yaml", "-o", "-"]);
    assert!(out.status.success() && !out.stdout.is_empty());
    assert_eq!(names(folder.path()), ["v.yaml"]);
}
