//! Leaving before the end: what is said, what the program ends with, and that nothing is lost. And long results on a terminal.

use crate::pty::{CTRL_C, ENTER, Terminal, open_visit, saved};
use crate::support::{program, run, top};
use std::io::Write;
use std::process::Stdio;

/// Ctrl-C while a line is typed: no menu reads the key, the system sends a signal.
#[test]
fn ctrl_c_on_plain_lines() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml", "--plain", "--region", "us"]);
    terminal.at(&["Question 2;", "\n> "], "1\r");
    terminal.at(&["Question 3;", "\n> "], CTRL_C);
    let (screen, code) = terminal.ends();
    assert!(screen.contains("Saved in v.yaml. Go on with: wallfoot ask v.yaml --region us --plain"), "{screen}");
    assert_eq!(code, 130);
    assert_eq!(saved(folder.path()).answers["stage"], "planned");
    let files = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(files, 1, "no half file");
}

/// The same in the questions about contractors and owners.
#[test]
fn ctrl_c_among_the_owners() {
    let folder = tempfile::tempdir().unwrap();
    open_visit(folder.path(), "demo/back-patio.yaml", &[]);
    for (args, again) in [
        (&["owners", "v.yaml", "--plain"][..], "wallfoot owners v.yaml --plain"),
        (&["contractor", "v.yaml", "First crew", "--plain"], "wallfoot contractor v.yaml 'First crew' --plain"),
    ] {
        let mut terminal = Terminal::start(folder.path(), args);
        terminal.at(&["Question 1 of", "\n> "], CTRL_C);
        let (screen, code) = terminal.ends();
        assert!(screen.contains(&format!("Go on with: {again}")), "{screen}");
        assert_eq!(code, 130, "{args:?}");
    }
}

/// A menu reads the key itself, also the one after the verdict.
#[test]
fn ctrl_c_in_a_menu() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml", "--brief"]);
    terminal.at(&["Question 1;", "-> United States"], ENTER);
    terminal.at(&["Question 2;", "-> It is planned"], CTRL_C);
    let (screen, code) = terminal.ends();
    assert!(screen.contains("Go on with: wallfoot ask v.yaml --brief"), "{screen}");
    assert_eq!(code, 130);
}

/// A signal of somebody else, as of a program that runs this one.
#[cfg(unix)]
#[test]
fn a_signal_from_outside() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = program(folder.path(), &["ask", "v.yaml"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    input.write_all(b"1\n").unwrap();
    let said = std::thread::spawn({
        let mut stderr = child.stderr.take().unwrap();
        let pid = child.id().to_string();
        move || {
            use std::io::Read;
            let (mut all, mut part, mut sent) = (Vec::new(), [0; 1024], false);
            while let Ok(n @ 1..) = stderr.read(&mut part) {
                all.extend_from_slice(&part[..n]);
                if !sent && String::from_utf8_lossy(&all).contains("Question 2;") {
                    sent = std::process::Command::new("kill").args(["-INT", &pid]).status().unwrap().success();
                }
            }
            String::from_utf8_lossy(&all).into_owned()
        }
    });
    let code = child.wait().unwrap().code();
    drop(input);
    let said = said.join().unwrap();
    assert!(said.ends_with("Saved in v.yaml. Go on with: wallfoot ask v.yaml\n"), "{said}");
    assert_eq!(code, Some(130));
    assert_eq!(saved(folder.path()).answers["region"], "us");
}

/// Nothing more to read in the middle: that is said, and is no success. After the verdict it is the end.
#[test]
fn the_end_of_the_input() {
    let folder = tempfile::tempdir().unwrap();
    open_visit(folder.path(), "demo/back-patio.yaml", &[]);
    for args in [&["ask", "new.yaml"][..], &["contractor", "v.yaml", "First crew"], &["owners", "v.yaml"]] {
        let output = run(folder.path(), args);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{args:?}: {said}");
        assert!(said.contains("so this is not finished") && said.contains("go on with: wallfoot "), "{said}");
    }
    let mut child = program(folder.path(), &["ask", "v.yaml"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(b"done\n").unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

// ------------------------------------------------------------------------------------------------ long results

/// Starts `advise` on the demo with this pager.
fn long(folder: &std::path::Path, more: &[&str], env: &[(&str, &str)]) -> (String, u32) {
    let visit = top().join("questions/demo/back-patio.yaml");
    let args = [&["advise", visit.to_str().unwrap(), "--sheet", "homeowner"], more].concat();
    let mut terminal = Terminal::start_with(folder, &args, 24, 80, env);
    terminal.ends()
}

#[test]
fn a_long_result_goes_through_the_pager() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let paged = || std::fs::read_to_string(here.join("paged.txt")).unwrap_or_default();
    let (_, code) = long(here, &[], &[("PAGER", "tee paged.txt"), ("NO_COLOR", "1")]);
    assert_eq!(code, 0);
    assert!(paged().contains("EXTERIOR TRADE FIRST") && paged().lines().count() > 24, "{}", paged());
    std::fs::remove_file(here.join("paged.txt")).unwrap();
    for (more, env) in [
        (&["--no-pager"][..], &[("PAGER", "tee paged.txt")][..]),
        (&["--plain"], &[("PAGER", "tee paged.txt")]),
        (&["-o", "sheet.txt"], &[("PAGER", "tee paged.txt")]),
        (&[], &[("PAGER", "")]),
        (&[], &[("PAGER", "cat")]),
    ] {
        let (_, code) = long(here, more, env);
        assert_eq!((code, paged().as_str()), (0, ""), "{more:?} {env:?}");
    }
    // one that cannot be started is told, and the result is there all the same
    let (screen, code) = long(here, &[], &[("PAGER", "no-such-pager")]);
    assert!(code == 0 && screen.contains("Nobody has seen the wall"), "{screen}");
}

/// Whoever has seen enough leaves, which is no failure.
#[test]
fn the_pager_may_end_early() {
    let folder = tempfile::tempdir().unwrap();
    let (screen, code) = long(folder.path(), &[], &[("PAGER", "head -n 1")]);
    assert_eq!(code, 0, "{screen}");
    assert!(!screen.contains("error"), "{screen}");
}

/// A pager that gives nothing back until it is told to: what happens to the program meanwhile.
#[cfg(unix)]
fn while_paging(signal: &str) -> (String, u32, bool) {
    let folder = tempfile::tempdir().unwrap();
    let visit = top().join("questions/demo/back-patio.yaml");
    // it says that it has begun, and its end
    let pager = "sh -c 'cat > paged.txt; echo $$ $PPID > begun; trap \"echo told > told; exit 15\" TERM; while :; do sleep 0.05; done'";
    let args = ["advise", visit.to_str().unwrap(), "--sheet", "homeowner"];
    let mut terminal = Terminal::start_with(folder.path(), &args, 24, 80, &[("PAGER", pager)]);
    let begun = || std::fs::read_to_string(folder.path().join("begun")).unwrap_or_default();
    for _ in 0..200 {
        if begun().ends_with('\n') {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    let processes: Vec<String> = begun().split_whitespace().map(str::to_owned).collect();
    let [pager, program] = &processes[..] else { panic!("the pager did not begin") };
    let send =
        |signal: &str, to: &str| std::process::Command::new("kill").args([signal, to]).status().unwrap().success();
    assert!(send(signal, program));
    if signal == "-INT" {
        // the program goes on as long as its pager does
        std::thread::sleep(std::time::Duration::from_millis(300));
        assert!(send("-0", program) && send("-TERM", pager));
    }
    let (screen, code) = terminal.ends();
    let told = folder.path().join("told").exists();
    assert!(!send("-0", pager), "the pager is left behind");
    (screen, code, told)
}

/// Told to end while a pager shows its result, the program ends, and its pager with it.
#[cfg(unix)]
#[test]
fn a_program_with_a_pager_can_be_ended() {
    for signal in ["-TERM", "-HUP"] {
        let (screen, code, told) = while_paging(signal);
        assert_eq!((code, told), (130, true), "{signal}: {screen}");
        assert!(!screen.contains("EXTERIOR TRADE FIRST"), "{signal}: it is not printed a second time: {screen}");
    }
}

/// Ctrl-C goes to the pager too, whose own business it is.
#[cfg(unix)]
#[test]
fn an_interruption_is_the_pagers_business() {
    let (screen, code, told) = while_paging("-INT");
    // a pager that failed has shown nothing, as far as anybody can tell
    assert_eq!((code, told), (0, true), "{screen}");
    assert!(screen.contains("Nobody has seen the wall"), "{screen}");
}

/// What fits the screen needs no pager; and none is started in a pipe.
#[test]
fn a_short_result_does_not() {
    let folder = tempfile::tempdir().unwrap();
    let env = [("PAGER", "tee paged.txt")];
    let mut terminal = Terminal::start_with(folder.path(), &["visits"], 24, 80, &env);
    assert_eq!(terminal.ends().1, 0);
    let mut piped = program(folder.path(), &["demo", "--sheet", "homeowner"]);
    assert!(piped.env("PAGER", "tee paged.txt").output().unwrap().status.success());
    assert!(!folder.path().join("paged.txt").exists());
}
