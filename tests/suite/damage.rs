//! Damage to the file of a visit, made by a rule: every byte is flipped in each of its bits, taken out, doubled, and cut off at; every line is
//! doubled, taken out, swapped with the next, moved in and out. What is right was written down before anything was run:
//!
//! 1. A damaged file is either **refused or read**, and there is no third. Refused: exit code 1, a message that names the file and says
//!    what to do, the file stays byte for byte, nothing lies beside it, and `-o` makes no file.
//! 2. Of a file that is read, everything is either **understood or shown**: each text counts for its question, or is a [`Misfit`] that is
//!    told on standard error with its words.
//! 3. Whoever writes it back (`set`, `ask`, `log`) keeps **all that was understood**, with its meaning, at its place; and **all that was
//!    not**, word for word: every word of the damaged file stands in the new one. What may differ is what the writer was asked to
//!    change, the day of the change, and a length without a unit, which gets the unit it counted in.
//! 4. A second saving changes nothing more.
//! 5. With `-o` nothing is ever written over a file that wallfoot did not write in that form: so never over a damaged visit, whatever
//!    ending it has; and the visit stays byte for byte.
//!
//! `cargo test` tries some damages, each other ones of the whole; `WALLFOOT_DAMAGES=all cargo test --test suite damage` tries every one.

#![allow(clippy::print_stdout)] // how much was tried, for whoever asks with --nocapture

use crate::support::{CONTENT, run};
use std::collections::BTreeSet;
use std::fmt;
use std::path::Path;
use wallfoot::units::Units;
use wallfoot::visit::{Misfit, Note, OpenVisit, Run, Try, Visit, VisitError};

/// A visit with all that may stand in one, in every way in which YAML writes it: answers that count, that nobody can read, of questions
/// that are gone; comments; texts in quotes, in a block, with letters of more than one byte.
const WHOLE: &str = r#"# Gate code 12, ask the neighbour
wallfoot_visit: 3
started: 2026-01-02
changed: '2026-01-03'
answers:
  region: us   # by phone
  stage: planned
  visit_name: "Haus Müller, ½ timbered"
  cladding: thatch
  roof_colour: red
  year_built: 1994
  exit_below_mark: 9 in
  finish_below_mark: 7 3/4
  feature_length: 24'-6"
  mark_name: |
    sill of
    the door
not_sure: [barrier, moon_phase]
runs:
  side wall:
    answers:
      joint: open_gap
      soil: purple
    not_sure:
    - exit_below_mark
    set_aside: { veneer_weeps: seenn }
tries:
  lower: { stretch: side wall, before: as it was, answers: { finish_below_mark: 9 in } }
contractors:
  Slate crew:
    where_does_water_go: [good.1, mumbled]
owners:
  joint_seal: [homeowner]
log:
- date: 2026-01-02
  about: exit_below_mark
  text: 'Measured, don''t trust it'
  photos:
  - corner.jpg
- date: 2026-01-03
  text: Rain overnight
shown:
  date: 2026-01-03
  verdict: find_out_first
set_aside:
  door: sideways
"#;

/// What is done to a text.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Damage {
    /// A bit of a byte is flipped.
    Flip(usize, u8),
    /// The text ends before a byte.
    Cut(usize),
    /// The text begins with a byte.
    Behead(usize),
    /// A byte is taken out.
    Out(usize),
    /// A byte stands twice.
    Twice(usize),
    /// The bytes up to here stand twice.
    Again(usize),
    /// A line is taken out.
    LineOut(usize),
    /// A line stands twice.
    LineTwice(usize),
    /// A line and the next one are swapped.
    LineSwapped(usize),
    /// A line is moved in by a space.
    LineIn(usize),
    /// A line begins at the margin.
    LineOutdented(usize),
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Damage::Flip(at, bit) => write!(f, "byte {at}, bit {bit} flipped"),
            Damage::Cut(at) => write!(f, "cut before byte {at}"),
            Damage::Behead(at) => write!(f, "begun with byte {at}"),
            Damage::Out(at) => write!(f, "byte {at} taken out"),
            Damage::Twice(at) => write!(f, "byte {at} twice"),
            Damage::Again(at) => write!(f, "all up to byte {at} twice"),
            Damage::LineOut(at) => write!(f, "line {at} taken out"),
            Damage::LineTwice(at) => write!(f, "line {at} twice"),
            Damage::LineSwapped(at) => write!(f, "line {at} and the next swapped"),
            Damage::LineIn(at) => write!(f, "line {at} moved in"),
            Damage::LineOutdented(at) => write!(f, "line {at} moved out"),
        }
    }
}

impl Damage {
    /// Every damage to a text.
    fn all(text: &str) -> Vec<Damage> {
        let mut all = Vec::new();
        for at in 0..text.len() {
            all.extend((0..8).map(|bit| Damage::Flip(at, bit)));
            all.extend([Damage::Cut(at), Damage::Behead(at), Damage::Out(at), Damage::Twice(at), Damage::Again(at)]);
        }
        for at in 0..text.lines().count() {
            all.extend([Damage::LineOut(at), Damage::LineTwice(at), Damage::LineSwapped(at)]);
            all.extend([Damage::LineIn(at), Damage::LineOutdented(at)]);
        }
        all.push(Damage::Again(text.len()));
        all
    }

    fn to(self, text: &str) -> Vec<u8> {
        let mut bytes = text.as_bytes().to_vec();
        let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
        match self {
            Damage::Flip(at, bit) => bytes[at] ^= 1 << bit,
            Damage::Cut(at) => bytes.truncate(at),
            Damage::Behead(at) => bytes = bytes.split_off(at),
            Damage::Out(at) => _ = bytes.remove(at),
            Damage::Twice(at) => bytes.insert(at, bytes[at]),
            Damage::Again(at) => bytes = [&bytes[..at], &bytes[..]].concat(),
            Damage::LineOut(at) => {
                lines.remove(at);
                bytes = lines.concat().into_bytes();
            }
            Damage::LineTwice(at) => {
                lines.insert(at, lines[at].clone());
                bytes = lines.concat().into_bytes();
            }
            Damage::LineSwapped(at) => {
                let next = (at + 1) % lines.len();
                lines.swap(at, next);
                bytes = lines.concat().into_bytes();
            }
            Damage::LineIn(at) => {
                lines[at].insert(0, ' ');
                bytes = lines.concat().into_bytes();
            }
            Damage::LineOutdented(at) => {
                lines[at] = lines[at].trim_start_matches(' ').chars().collect();
                bytes = lines.concat().into_bytes();
            }
        }
        bytes
    }
}

/// Which of all damages are tried: each so-and-so-many-th, or all where the environment says so.
fn tried(usual: usize) -> impl Iterator<Item = Damage> {
    let step = match std::env::var("WALLFOOT_DAMAGES").as_deref() {
        Ok("all") => 1,
        Ok(step) => step.parse().expect("WALLFOOT_DAMAGES is `all` or a number: each so-and-so-many-th"),
        Err(_) => usual,
    };
    Damage::all(WHOLE).into_iter().step_by(step)
}

/// A folder in memory where there is such a thing: what is tried here is not how disks sync.
fn folder() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

/// Letters and figures that stand together, all of them. Numbers of letters (`\xfc`) in quotes are what they stand for.
fn words(text: &str) -> BTreeSet<String> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// All that a visit holds as one list: where it stands and what it says. What is set aside and what counts is one place, for a text may
/// move between the two.
fn held(visit: &Visit) -> Vec<String> {
    let layer = |at: &str, run: &Run| -> Vec<String> {
        let texts = run.answers.iter().chain(&run.set_aside).map(|(id, text)| format!("{at}: {id} = {text:?}"));
        texts.chain(run.not_sure.iter().map(|id| format!("{at}: not sure of {id:?}"))).collect()
    };
    let Visit { answers, not_sure, set_aside, runs, tries, contractors, owners, log, shown, comments, .. } =
        visit.clone();
    let mut all = layer("first", &Run { answers, not_sure, set_aside });
    for (name, run) in &runs {
        all.extend(layer(&format!("run {name:?}"), run));
    }
    for (name, Try { stretch, before, answers, not_sure, set_aside }) in tries {
        let at = format!("try {name:?} of {stretch:?} before {before:?}");
        all.extend(layer(&at, &Run { answers, not_sure, set_aside }));
        all.push(at);
    }
    all.extend(runs.keys().map(|name| format!("run {name:?}")));
    for (name, heard) in contractors {
        all.push(format!("contractor {name:?}: {heard:?}"));
    }
    all.extend(owners.iter().map(|owner| format!("{owner:?}")));
    all.extend(log.iter().map(|note| format!("{note:?}")));
    all.extend(comments.iter().map(|comment| format!("comment {comment:?}")));
    all.push(format!("shown {shown:?}, started {:?}", visit.started));
    all.sort();
    all
}

/// What a writer does to an open visit.
#[derive(Debug, Clone, Copy)]
enum Writer {
    /// `ask`, left at once.
    Ask,
    /// `ask --run`, left at once.
    AskRun,
    /// `set` of one answer.
    Set,
    /// `log` of a note.
    Log,
}

impl Writer {
    const ALL: [Writer; 4] = [Writer::Ask, Writer::AskRun, Writer::Set, Writer::Log];

    /// The question that `set` answers.
    const SETS: &str = "year_built";

    /// Writes as the command does, and gives what is held for all but what it was asked to change.
    fn write(self, path: &Path) -> Result<(), VisitError> {
        let flow = &CONTENT.flow;
        let mut open = OpenVisit::open(path)?;
        let sure = open.visit().answers(flow, None).0;
        let units = CONTENT.region(&sure).map(|region| CONTENT.units_in(region));
        let first = open.visit().answers(flow, units).0;
        match self {
            Writer::Ask => open.write_answers(flow, &first, "2030-01-01"),
            Writer::AskRun => {
                let Some((name, run)) = open.visit().runs.first_key_value() else { return Ok(()) };
                let (name, run) = (name.clone(), run.clone());
                let answers = open.visit().run_answers(&run, &first, flow, units).0;
                open.write_run(&name, flow, &answers, &first, "2030-01-01")
            }
            Writer::Set => {
                let number = flow.question(Self::SETS).unwrap();
                let mut after = first;
                after.set(number, flow.questions[number].read_answer("1962", Units::Inch).unwrap());
                open.write_answers(flow, &after, "2030-01-01")
            }
            Writer::Log => open.write_with(|visit| visit.log.push(Self::note())),
        }
    }

    fn note() -> Note {
        Note { date: "2030-01-01".to_owned(), about: String::new(), text: "One more".to_owned(), photos: Vec::new() }
    }

    /// What has to be held after it.
    fn expected(self, before: &Visit) -> Vec<String> {
        let mut after = before.clone();
        match self {
            Writer::Ask | Writer::AskRun => {}
            Writer::Set => {
                after.answers.remove(Self::SETS);
                after.set_aside.remove(Self::SETS);
                after.not_sure.retain(|id| id != Self::SETS);
                after.answers.insert(Self::SETS.to_owned(), "1962".to_owned());
            }
            Writer::Log => after.log.push(Self::note()),
        }
        held(&after)
    }

    /// Words of the damaged file that this writer may take out.
    fn may_take(self, before: &Visit) -> BTreeSet<String> {
        let texts = [before.answers.get(Self::SETS), before.set_aside.get(Self::SETS)];
        match self {
            Writer::Set => texts.into_iter().flatten().flat_map(|text| words(text)).collect(),
            Writer::Ask | Writer::AskRun | Writer::Log => BTreeSet::new(),
        }
    }
}

/// Two lists of what is held, but for lengths that got the unit they counted in.
fn same_but_for_units(before: &[String], after: &[String]) -> Result<(), String> {
    let gone: Vec<&String> = before.iter().filter(|line| !after.contains(line)).collect();
    let came: Vec<&String> = after.iter().filter(|line| !before.contains(line)).collect();
    let text = |line: &str| line.split_once(" = ").map(|(at, text)| (at.to_owned(), text.trim_matches('"').to_owned()));
    let questions = |at: &str| CONTENT.flow.question(at.rsplit(": ").next().unwrap());
    let unit_came = |gone: &str| {
        let Some((at, old)) = text(gone) else { return false };
        let Some(number) = questions(&at) else { return false };
        let read = |text: &str, units| CONTENT.flow.questions[number].read_answer(text, units);
        came.iter().any(|line| {
            text(line).is_some_and(|(place, new)| {
                place == at
                    && read(&new, Units::Inch) == read(&new, Units::Metric)
                    && [Units::Inch, Units::Metric]
                        .into_iter()
                        .any(|units| read(&old, units).is_ok() && read(&old, units) == read(&new, units))
            })
        })
    };
    if before.len() == after.len() && gone.len() == came.len() && gone.iter().all(|line| unit_came(line)) {
        return Ok(());
    }
    Err(format!("gone: {gone:#?}\ncame: {came:#?}"))
}

/// Points 1 to 4 for one damage and one writer; whether the file was read.
fn hold(damage: Damage, writer: Writer, folder: &Path) -> Result<bool, String> {
    let path = folder.join("v.yaml");
    let bytes = damage.to(WHOLE);
    std::fs::write(&path, &bytes).map_err(|error| error.to_string())?;
    let before = match Visit::read(&path) {
        Ok(visit) => visit,
        Err(error) => {
            let said = error.to_string();
            if !said.contains("v.yaml") || !said.contains("help: ") || said.lines().count() > 3 {
                return Err(format!("not told well: {said}"));
            }
            if writer.write(&path).is_ok() || std::fs::read(&path).ok().as_deref() != Some(&bytes) {
                return Err("what cannot be read was written".to_owned());
            }
            return Ok(false);
        }
    };
    let flow = &CONTENT.flow;
    let given = String::from_utf8(bytes).map_err(|error| error.to_string())?;
    // 2: what does not count is told with its words
    let (answers, misfits) = before.answers(flow, None);
    let said: Vec<String> = misfits.iter().map(Misfit::to_string).collect();
    for (id, text) in before.answers.iter().chain(&before.set_aside) {
        let counts = flow.question(id).is_some_and(|number| answers.get(number).is_some());
        if !counts && !said.iter().any(|line| line.contains(&format!("`{id}: {text}`"))) {
            return Err(format!("`{id}: {text}` neither counts nor is told: {said:?}"));
        }
    }
    // 3
    writer.write(&path).map_err(|error| error.to_string())?;
    let written = std::fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let after = Visit::read(&path).map_err(|error| format!("written, and not read again: {error}\n{written}"))?;
    let none = matches!(writer, Writer::AskRun) && before.runs.is_empty();
    same_but_for_units(&writer.expected(&before), &held(&after))?;
    let (there, may_take) = (words(&written), writer.may_take(&before));
    let changed = words(&before.changed);
    // a length without a unit is written anew: 7 3/4 may be 7 3/4 in, and 0.5 is 1/2 in
    let lost: Vec<String> = words(&given)
        .into_iter()
        .filter(|word| !there.contains(word) && !may_take.contains(word) && !changed.contains(word))
        .collect();
    if !lost.is_empty() && !none && !meant(&lost, &before) {
        return Err(format!("the words {lost:?} are gone:\n{given}\n---\n{written}"));
    }
    // 4
    let once = std::fs::read(&path).map_err(|error| error.to_string())?;
    Writer::Ask.write(&path).map_err(|error| error.to_string())?;
    let twice = std::fs::read(&path).map_err(|error| error.to_string())?;
    Writer::Ask.write(&path).map_err(|error| error.to_string())?;
    if std::fs::read(&path).ok() != Some(twice.clone()) {
        return Err("saving goes on changing the file".to_owned());
    }
    if matches!(writer, Writer::Ask) && once != twice {
        return Err("a second saving changed the file".to_owned());
    }
    Ok(true)
}

/// Words that are gone from the letters of the file and stand in what was read: written in another way, as `\x41` is.
fn meant(lost: &[String], before: &Visit) -> bool {
    let text = format!("{before:?}");
    let numbers = before.wallfoot_visit.to_string();
    lost.iter().all(|word| {
        // the number of the format says what the file needs
        word.trim_start_matches('0') == numbers.trim_start_matches('0') || text.contains(word.as_str())
    })
}

#[test]
fn whatever_the_damage_nothing_is_lost() {
    let folder = folder();
    let (mut tries, mut read, mut wrong) = (0, 0, Vec::new());
    for (number, damage) in tried(37).enumerate() {
        // each writer in turn, or all of them
        let writers = if std::env::var_os("WALLFOOT_DAMAGES").is_some() {
            &Writer::ALL[..]
        } else {
            &Writer::ALL[number % 4..][..1]
        };
        for writer in writers {
            tries += 1;
            match hold(damage, *writer, folder.path()) {
                Ok(was_read) => read += usize::from(was_read),
                Err(why) => wrong.push(format!("{damage}, {writer:?}: {why}")),
            }
        }
    }
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["v.yaml"], "something was left beside the visit");
    println!("{tries} tries, {read} of them read and written back, {} wrong", wrong.len());
    assert!(wrong.is_empty(), "{} of {tries}:\n{}", wrong.len(), wrong[..wrong.len().min(12)].join("\n\n"));
    assert!(read * 4 > tries && read < tries, "{read} of {tries} were read");
}

/// The same by the program itself, with `-o` too.
#[test]
fn the_program_refuses_or_keeps_whatever_the_damage() {
    let folder = folder();
    let path = folder.path().join("v.yaml");
    std::fs::write(folder.path().join("good.yaml"), "wallfoot_visit: 1\nanswers:\n  region: us\n").unwrap();
    let (mut read, mut refused) = (0, 0);
    for (number, damage) in tried(1601).enumerate() {
        let bytes = damage.to(WHOLE);
        std::fs::write(&path, &bytes).unwrap();
        let there = Visit::read(&path);
        let unchanged = || assert_eq!(std::fs::read(&path).unwrap(), bytes, "{damage}");
        // 5: reading, with the result in a file
        let out = run(folder.path(), &["advise", "v.yaml", "-o", "sheet.md"]);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        unchanged();
        let sheet = std::fs::read_to_string(folder.path().join("sheet.md"));
        match &there {
            // an owner that nobody knows is refused by the sheets alone: a task would seem to have none
            Ok(_) if said.contains("under `owners`") => assert!(!out.status.success() && sheet.is_err()),
            Ok(visit) => {
                read += 1;
                assert!(
                    out.status.success() && sheet.is_ok_and(|sheet| sheet.contains("<!-- wallfoot -->")),
                    "{damage}: {said}"
                );
                let sure = visit.answers(&CONTENT.flow, None).0;
                let units = CONTENT.region(&sure).map(|region| CONTENT.units_in(region));
                for misfit in visit.answers(&CONTENT.flow, units).1.iter().filter(|m| m.text.is_some()) {
                    let text = wallfoot::flow::one_line(misfit.text.as_deref().unwrap()).into_owned();
                    assert!(
                        text.is_empty() || said.contains(text.trim()) || !misfit.why.to_string().contains("answered"),
                        "{damage}: {misfit} is not told: {said}"
                    );
                }
                std::fs::remove_file(folder.path().join("sheet.md")).unwrap();
            }
            Err(_) => {
                refused += 1;
                assert_eq!(out.status.code(), Some(1), "{damage}: {said}");
                assert!(sheet.is_err() && said.contains("v.yaml"), "{damage}: {said}");
            }
        }
        // 5: a damaged visit where a result is to go
        for name in ["old.txt", "old.md", "old.json", "old.html"] {
            std::fs::write(folder.path().join(name), &bytes).unwrap();
            let out = run(folder.path(), &["advise", "good.yaml", "-o", name]);
            let empty = bytes.iter().all(u8::is_ascii_whitespace);
            assert!(empty || !out.status.success(), "{damage}: {name} was written over");
            assert!(empty || std::fs::read(folder.path().join(name)).unwrap() == bytes, "{damage}: {name}");
            std::fs::remove_file(folder.path().join(name)).unwrap();
        }
        // 1 and 3: the writers
        let args: &[&str] = match number % 3 {
            0 => &["set", "v.yaml", "year_built=1962"],
            1 => &["log", "v.yaml", "One more", "--date", "2030-01-01"],
            _ => &["ask", "v.yaml"],
        };
        let out = run(folder.path(), args);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        match there {
            Err(_) => {
                assert_eq!(out.status.code(), Some(1), "{damage}: {said}");
                unchanged();
            }
            Ok(before) => {
                // `ask` is left without an answer: its input has ended
                assert_eq!(out.status.code(), Some(i32::from(number % 3 == 2)), "{damage}, {args:?}: {said}");
                let after = Visit::read(&path).unwrap();
                let writer = [Writer::Set, Writer::Log, Writer::Ask][number % 3];
                let held = held(&Visit { shown: before.shown.clone(), ..after });
                same_but_for_units(&writer.expected(&before), &held)
                    .unwrap_or_else(|why| panic!("{damage}, {args:?}: {why}"));
            }
        }
        let names = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect::<BTreeSet<_>>();
        assert_eq!(names, BTreeSet::from(["good.yaml".into(), "v.yaml".into()]), "{damage}");
    }
    assert!(read > 1 && refused > 1, "{read} read, {refused} refused");
}
