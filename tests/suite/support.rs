//! What the tests share.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;
use wallfoot::content::{Content, Sheet};
use wallfoot::flow::{Answer, Answers};
use wallfoot::interview::Next;
use wallfoot::judge::Assessment;
use wallfoot::render::{Marks, TextStyle, text};
use wallfoot::sheet::{Cover, Document};
use wallfoot::units::Units;
use wallfoot::visit::Visit;

/// The built-in content, unpacked once.
pub(crate) static CONTENT: LazyLock<Content> =
    LazyLock::new(|| wallfoot::commands::built_in(None).expect("the built-in content is there"));

/// All questions, in the order of the files.
pub(crate) fn in_file_order(answers: &Answers, _: Option<usize>) -> Option<Next> {
    let left = CONTENT.left_for_sheets(answers);
    Some(Next { question: *left.first()?, more: left.len() - 1 })
}

/// What the interview asks of somebody who would give these answers, question by question, until nothing can change the
/// verdict; what they do not say, they are not sure of.
pub(crate) fn asked_until_settled(whole: &Answers) -> (Vec<usize>, Answers) {
    let (mut asked, mut answers) = (Vec::new(), Answers::default());
    while let Some(next) = CONTENT.next_question(&answers) {
        assert!(!asked.contains(&next.question), "asked twice: {}", CONTENT.flow.questions[next.question].id);
        asked.push(next.question);
        answers.set(next.question, whole.get(next.question).cloned().unwrap_or(Answer::NotSure));
    }
    (asked, answers)
}

/// The top of the repository.
pub(crate) fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Answers out of `id: value` lines; `not sure` is allowed as a value.
pub(crate) fn answers(lines: &str) -> Answers {
    let mut answers = Answers::default();
    for line in lines.lines().map(str::trim).filter(|l| !l.is_empty()) {
        let (id, value) = line.split_once(':').expect("id: value");
        let number = CONTENT.flow.question(id.trim()).unwrap_or_else(|| panic!("no question {id}"));
        let answer = CONTENT.flow.questions[number].read_answer(value, Units::Inch);
        answers.set(number, answer.unwrap_or_else(|e| panic!("{id}: {e}")));
    }
    answers
}

/// Several blocks of lines, later ones winning.
pub(crate) fn with(base: &str, change: &str) -> Answers {
    let mut all = answers(base);
    for (number, answer) in answers(change).iter() {
        all.set(number, answer.clone());
    }
    all
}

/// The answers of a visit file; every one of them must fit.
pub(crate) fn visit(path: &Path) -> (Visit, Answers, Units) {
    let visit = Visit::read(path).expect("the visit is readable");
    let units = visit.answers.get("region").map_or(Units::Inch, |r| CONTENT.units_of(r));
    let (answers, misfits) = visit.answers(&CONTENT.flow, units);
    assert_eq!(misfits, [], "{}", path.display());
    (visit, answers, units)
}

/// A sheet as text, 80 columns.
pub(crate) fn sheet(assessment: &Assessment<'_>, sheet: Sheet, date: &str) -> String {
    let cover = Cover { date: date.to_owned(), lang: "en".to_owned() };
    text_of(&assessment.sheet(sheet, &cover))
}

/// What stands behind the sheets, as text.
pub(crate) fn behind(assessment: &Assessment<'_>) -> String {
    text_of(&assessment.background(&Cover { date: String::new(), lang: "en".to_owned() }))
}

/// A document as text, 80 columns.
pub(crate) fn text_of(document: &Document) -> String {
    let marks = Marks { stop: CONTENT.word("label.stop").to_owned(), ..Marks::default() };
    text(document, &marks, TextStyle { width: 80, bold: false, plain: false })
}

/// The program with these arguments, in a folder, with nothing of the caller's surroundings that matters.
pub(crate) fn program(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wallfoot"));
    command.current_dir(folder).args(args);
    for name in ["NO_COLOR", "ACCESSIBLE", "COLUMNS", "PAGER", "LESS", "LC_MESSAGES", "LANG"] {
        command.env_remove(name);
    }
    // whatever language and settings whoever runs the tests has
    command.env("LC_ALL", "C").env("WALLFOOT_CONFIG", "");
    command.env("TERM", "xterm").env("SOURCE_DATE_EPOCH", "1780000000");
    command
}

/// Runs the program to its end.
pub(crate) fn run(folder: &Path, args: &[&str]) -> Output {
    program(folder, args).stdin(std::process::Stdio::null()).output().expect("the program starts")
}

/// Standard output, standard error and exit code as one text; the folder is shown as `[DIR]`.
pub(crate) fn told(folder: &Path, args: &[&str]) -> String {
    let output = run(folder, args);
    let show = |bytes: &[u8]| String::from_utf8_lossy(bytes).replace(&folder.display().to_string(), "[DIR]");
    format!(
        "exit {}\n--- stdout\n{}--- stderr\n{}",
        output.status.code().unwrap_or(-1),
        show(&output.stdout),
        show(&output.stderr)
    )
}

/// The folders of all scenarios that hold a visit.
pub(crate) fn scenarios() -> Vec<String> {
    let entries = std::fs::read_dir(top().join("tests/scenarios")).expect("the scenarios are there");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.join("visit.yaml").exists())
        .map(|path| path.file_name().expect("a name").to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// The answers of a scenario.
pub(crate) fn scenario(name: &str) -> Answers {
    visit(&scenario_visit(name)).1
}

/// Where the visit of a scenario lies; those of the demos are content.
pub(crate) fn scenario_visit(name: &str) -> PathBuf {
    match name.strip_prefix("demo-") {
        Some(demo) => top().join("questions/demo").join(demo).with_extension("yaml"),
        None => top().join("tests/scenarios").join(name).join("visit.yaml"),
    }
}

/// The days of a week, Monday first.
pub(crate) const WEEK: [jiff::civil::Weekday; 7] = {
    use jiff::civil::Weekday::{Friday, Monday, Saturday, Sunday, Thursday, Tuesday, Wednesday};
    [Monday, Tuesday, Wednesday, Thursday, Friday, Saturday, Sunday]
};
