//! A user who may not write: a folder or a file that is read-only, or of somebody else. Tests often run as root, who may do everything;
//! then the program is run as a user without rights, by number.
#![cfg(unix)]
#![allow(clippy::print_stdout)] // what could not be checked

use crate::support::program;
use std::collections::BTreeMap;
use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// A user and a group of that number: nobody, on most systems. They need no name.
const NOBODY: u32 = 65_534;

const VISIT: &str = "# by hand\nwallfoot_visit: 1\nanswers:\n  visit_name: Invented wall\n  region: us\n  stage: planned\n  feature: sand_set_pavers\n  cladding: vinyll\n";

/// A place in which a user without rights can be tried.
struct Place {
    top: tempfile::TempDir,
    /// The program, where that user can reach it.
    program: PathBuf,
    /// Whether the tests run as root, and the program as somebody else.
    root: bool,
}

impl Place {
    /// Nothing, and a line that says so, where it cannot be tried.
    fn new() -> Option<Place> {
        let top = tempfile::tempdir().unwrap();
        mode(top.path(), 0o755);
        let built = program(top.path(), &[]).get_program().to_owned();
        let copy = top.path().join("wallfoot");
        std::fs::copy(built, &copy).unwrap();
        mode(&copy, 0o755);
        let root = std::fs::metadata(top.path()).unwrap().uid() == 0;
        let place = Place { top, program: copy, root };
        std::fs::create_dir(place.house()).unwrap();
        if root {
            chown(place.house(), Some(NOBODY), Some(NOBODY)).unwrap();
        }
        place.write("v.yaml", VISIT);
        let tried = place.command(&["--version"]).output();
        if tried.as_ref().is_ok_and(|tried| tried.status.success()) {
            Some(place)
        } else {
            println!("not checked: no program can be run here as a user without rights: {tried:?}");
            None
        }
    }

    fn house(&self) -> PathBuf {
        self.top.path().join("house")
    }

    /// A file of that user.
    fn write(&self, name: &str, text: &str) {
        let path = self.house().join(name);
        std::fs::write(&path, text).unwrap();
        if self.root {
            chown(&path, Some(NOBODY), Some(NOBODY)).unwrap();
        }
        mode(&path, 0o644);
    }

    fn command(&self, args: &[&str]) -> Command {
        let like = program(&self.house(), args);
        let mut command = Command::new(&self.program);
        command.args(args).current_dir(self.house()).stdin(Stdio::null());
        for (name, value) in like.get_envs() {
            match value {
                Some(value) => command.env(name, value),
                None => command.env_remove(name),
            };
        }
        if self.root {
            command.uid(NOBODY).gid(NOBODY);
        }
        command
    }

    fn run(&self, args: &[&str]) -> (Output, String) {
        let output = self.command(args).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        (output, said)
    }

    /// All that stands in the folder.
    fn all(&self) -> BTreeMap<String, Vec<u8>> {
        let entries = std::fs::read_dir(self.house()).unwrap().map(|entry| entry.unwrap());
        entries
            .map(|entry| (entry.file_name().to_string_lossy().into_owned(), std::fs::read(entry.path()).unwrap()))
            .collect()
    }

    /// Every writer is refused with this in its message, and nothing in the folder changes.
    fn refuses(&self, says: &str) {
        let before = self.all();
        for args in [
            &["set", "v.yaml", "year_built=1990"][..],
            &["log", "v.yaml", "A note"],
            &["ask", "v.yaml"],
            &["ask", "v.yaml", "--run", "side"],
            &["contractor", "v.yaml", "Slate crew"],
            &["owners", "v.yaml"],
        ] {
            let mut child = self.command(args);
            let mut child = child.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
            // whatever is asked is answered once
            let _ = std::io::Write::write_all(&mut child.stdin.take().unwrap(), b"1\n1\n1\n");
            let output = child.wait_with_output().unwrap();
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert_eq!(output.status.code(), Some(1), "{args:?}: {said}");
            assert!(said.contains("cannot write the visit v.yaml") && said.contains(says), "{args:?}: {said}");
            assert!(!said.contains(".wallfoot-") && !said.contains("os error"), "{args:?}: {said}");
            assert_eq!(self.all(), before, "{args:?}");
        }
    }
}

fn mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn a_read_only_folder() {
    let Some(place) = Place::new() else { return };
    mode(&place.house(), 0o555);
    place.refuses("no file may be put into the folder");
    let before = place.all();
    // looking is never refused, and what cannot be read in it is told
    let (output, said) = place.run(&["advise", "v.yaml"]);
    assert!(output.status.success() && said.contains("`cladding: vinyll`"), "{said}");
    // a new visit, and results
    let (output, said) = place.run(&["ask", "new.yaml"]);
    assert!(output.status.code() == Some(1) && said.contains("nothing is on disk yet"), "{said}");
    for args in [
        &["advise", "v.yaml", "-o", "sheet.md"][..],
        &["hand-over", "v.yaml", "-o", "."],
        &["hand-over", "v.yaml", "-o", "sheets"],
    ] {
        let (output, said) = place.run(args);
        assert!(output.status.code() == Some(1) && said.contains("cannot write"), "{args:?}: {said}");
        assert!(!said.contains("os error 13") || said.contains("sheets"), "{args:?}: {said}");
    }
    assert_eq!(place.all(), before);
    // once it may be written to, all is well, and what could not be read is there
    mode(&place.house(), 0o755);
    let (output, said) = place.run(&["set", "v.yaml", "year_built=1990"]);
    assert!(output.status.success(), "{said}");
    let visit = wallfoot::visit::Visit::read(&place.house().join("v.yaml")).unwrap();
    assert_eq!((visit.answers["year_built"].as_str(), visit.set_aside["cladding"].as_str()), ("1990", "vinyll"));
    assert_eq!(place.all().keys().collect::<Vec<_>>(), ["v.yaml"]);
}

#[test]
fn a_read_only_file() {
    let Some(place) = Place::new() else { return };
    mode(&place.house().join("v.yaml"), 0o444);
    place.refuses("the file is read-only");
    // a sheet of wallfoot that somebody made read-only stays too
    let (output, said) = place.run(&["advise", "v.yaml", "-o", "sheet.md"]);
    assert!(output.status.success(), "{said}");
    mode(&place.house().join("sheet.md"), 0o444);
    let before = place.all();
    let (output, said) = place.run(&["advise", "v.yaml", "-o", "sheet.md"]);
    assert!(output.status.code() == Some(1) && said.contains("cannot write sheet.md: the file is read-only"), "{said}");
    assert_eq!(place.all(), before);
}

/// The folder belongs to the user, and the visit in it to somebody else, who lets everybody read it: to rename another file over it would
/// be possible, and would take it away from its owner.
#[test]
fn a_file_of_somebody_else() {
    let Some(place) = Place::new() else { return };
    if !place.root {
        println!("not checked: only root can make a file of another user");
        return;
    }
    let path = place.house().join("v.yaml");
    chown(&path, Some(0), Some(0)).unwrap();
    place.refuses("belongs to another user");
    let there = std::fs::metadata(&path).unwrap();
    assert_eq!((there.uid(), there.mode() & 0o777), (0, 0o644));
    // of the same group, who may write to it: it is written, and stays of that group
    chown(&path, Some(0), Some(NOBODY)).unwrap();
    mode(&path, 0o664);
    let (output, said) = place.run(&["set", "v.yaml", "year_built=1990"]);
    assert!(output.status.success(), "{said}");
    let there = std::fs::metadata(&path).unwrap();
    assert_eq!((there.gid(), there.mode() & 0o777), (NOBODY, 0o664));
}

/// A file that the user may not even read.
#[test]
fn a_file_that_is_closed() {
    let Some(place) = Place::new() else { return };
    mode(&place.house().join("v.yaml"), 0o000);
    let before = place.all_names();
    for args in [
        &["advise", "v.yaml"][..],
        &["set", "v.yaml", "year_built=1990"],
        &["log", "v.yaml", "A note"],
        &["ask", "v.yaml"],
    ] {
        let (output, said) = place.run(args);
        assert!(output.status.code() == Some(1) && said.contains("cannot read the visit v.yaml"), "{args:?}: {said}");
        assert_eq!(place.all_names(), before, "{args:?}");
    }
    mode(&place.house().join("v.yaml"), 0o644);
    assert_eq!(std::fs::read_to_string(place.house().join("v.yaml")).unwrap(), VISIT);
}

impl Place {
    fn all_names(&self) -> Vec<std::ffi::OsString> {
        let mut names: Vec<_> =
            std::fs::read_dir(self.house()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        names
    }
}
