//! Nothing that stands in a visit is ever dropped: what cannot be read is shown, stays, and comes back.

use crate::must_hold::SOUND;
use crate::properties::{config, fixed_answer};
use crate::support::{CONTENT, program, run, top};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;
use wallfoot::flow::{Answers, Truth};
use wallfoot::units::Units;
use wallfoot::visit::{OpenVisit, Run, Visit};

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Lines through a pipe into a command on plain lines: what it said, and its exit code.
fn pipe(folder: &Path, args: &[&str], lines: &str) -> (String, i32) {
    let mut child =
        program(folder, args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // the program may stop reading early; that is its right
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    (text(&output.stderr), output.status.code().unwrap())
}

/// A folder with a visit in it.
fn folder(visit: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), visit).unwrap();
    folder
}

fn file(folder: &tempfile::TempDir) -> String {
    std::fs::read_to_string(folder.path().join("v.yaml")).unwrap()
}

fn visit(folder: &tempfile::TempDir) -> Visit {
    Visit::read(&folder.path().join("v.yaml")).unwrap()
}

/// A visit to a wall where all is well, every question answered.
fn sound(more: &str) -> String {
    let mut visit = "wallfoot_visit: 1\nanswers:\n  visit_name: Invented wall\n".to_owned();
    for line in SOUND.lines().filter(|l| !l.is_empty()) {
        writeln!(visit, "  {line}").unwrap();
    }
    visit + more
}

const DAMAGED: &str = "wallfoot_visit: 1
answers:
  region: us
  stage: planned
  cladding: thatch
  roof_colour: red
  year_built: next year
  exit_below_mark: about ten
  feature_depth: 900 ft
  feature_length: 24 ft
  ground_below_mark:
not_sure: [region, moon_phase, barrier]
";

#[test]
fn saving_at_once_keeps_what_cannot_be_read() {
    let folder = folder(DAMAGED);
    let (said, code) = pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert_eq!(code, 0, "{said}");
    insta::assert_snapshot!(said.split("\n\n").next().unwrap());
    let after = visit(&folder);
    for (id, words) in [
        ("cladding", "thatch"),
        ("roof_colour", "red"),
        ("year_built", "next year"),
        ("exit_below_mark", "about ten"),
        ("feature_depth", "900 ft"),
        ("ground_below_mark", ""),
    ] {
        assert_eq!(after.set_aside.get(id).map(String::as_str), Some(words), "{id}");
        assert!(!after.answers.contains_key(id), "{id}");
    }
    // what can be read is as it was typed
    assert_eq!(after.answers["feature_length"], "24 ft");
    assert_eq!(after.not_sure, ["region", "moon_phase", "barrier"]);
    // once more: nothing changes
    let before = file(&folder);
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert_eq!(file(&folder), before);
}

#[test]
fn another_stretch_keeps_what_cannot_be_read() {
    let runs = "runs:\n  return wall:\n    answers:\n      finish_below_mark: 3 inn\n      roof_colour: red\n      cladding: thatch\n      joint: open_gap\n    not_sure: [moon_phase]\n";
    let folder = folder(&sound(runs));
    let (said, code) = pipe(folder.path(), &["ask", "v.yaml", "--run", "return wall"], "7\n1\n1\nsave\n");
    assert_eq!(code, 0, "{said}");
    for words in
        ["v.yaml, return wall: `finish_below_mark: 3 inn`", "`roof_colour: red`", "`cladding: thatch`", "`moon_phase`"]
    {
        assert!(said.contains(words), "{words}: {said}");
    }
    let after = visit(&folder).runs.remove("return wall").unwrap();
    let kept = [("cladding", "thatch"), ("finish_below_mark", "3 inn"), ("roof_colour", "red")];
    assert_eq!(after.set_aside, BTreeMap::from(kept.map(|(id, words)| (id.to_owned(), words.to_owned()))));
    assert_eq!(after.answers["joint"], "open_gap");
    assert_eq!(after.not_sure, ["moon_phase"]);
    // the verdict was shown: such a file is of the third format
    assert!(file(&folder).starts_with("wallfoot_visit: 3\n"));
    // the other commands say it too, and leave the file alone
    let before = file(&folder);
    let said = text(&run(folder.path(), &["advise", "v.yaml"]).stderr);
    assert!(said.contains("v.yaml, return wall: `finish_below_mark: 3 inn`"), "{said}");
    assert_eq!(file(&folder), before);
}

/// What was said for a stretch alone stays said, even when the first stretch comes to say the same.
#[test]
fn an_answer_of_a_stretch_is_its_own() {
    let runs = "runs:\n  return wall:\n    answers:\n      finish_below_mark: 7 in\n";
    let folder = folder(&sound(runs));
    let flow = &CONTENT.flow;
    let mut open = OpenVisit::open(&folder.path().join("v.yaml")).unwrap();
    let (first, _) = open.visit().answers(flow, Units::Inch);
    assert_eq!(first.get(flow.question("finish_below_mark").unwrap()).unwrap().value(), {
        let question = &flow.questions[flow.question("finish_below_mark").unwrap()];
        question.read_answer("7 in", Units::Inch).unwrap().value()
    });
    open.write_run("return wall", flow, &first, &first, "2026-01-03").unwrap();
    assert_eq!(visit(&folder).runs["return wall"].answers["finish_below_mark"], "7 in");
}

#[test]
fn a_new_answer_takes_the_place_of_what_could_not_be_read() {
    let folder = folder("wallfoot_visit: 1\nanswers:\n  region: narnia\n  stage: plannd\nnot_sure: [region]\n");
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert_eq!(visit(&folder).set_aside.len(), 2);
    // region and stage are asked anew; only the first is answered
    pipe(folder.path(), &["ask", "v.yaml"], "1\nsave\n");
    let after = visit(&folder);
    assert_eq!(after.answers, BTreeMap::from([("region".to_owned(), "us".to_owned())]));
    assert_eq!(after.set_aside, BTreeMap::from([("stage".to_owned(), "plannd".to_owned())]));
    assert_eq!(after.not_sure, Vec::<String>::new());
}

/// The set of questions is changed, and changed back: the answers come back with their questions.
#[test]
fn an_answer_comes_back_with_its_question() {
    let folder = folder(DAMAGED);
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    let questions = folder.path().join("q/flows");
    std::fs::create_dir_all(&questions).unwrap();
    let one = "section: roof\ntitle: Roof\norder: 5\nquestions:
  - { id: roof_colour, short: Colour, ask: Which colour?, kind: one_of, choices: [ { id: red, label: Red }, { id: grey, label: Grey } ] }
  - { id: moon_phase, short: Moon, ask: Is it full?, kind: yes_no }\n";
    std::fs::write(questions.join("05-roof.yaml"), one).unwrap();
    let (said, _) = pipe(folder.path(), &["ask", "v.yaml", "--questions", "q"], "save\n");
    assert!(!said.contains("roof_colour") && !said.contains("moon_phase"), "{said}");
    let after = visit(&folder);
    assert_eq!(after.answers["roof_colour"], "red");
    assert!(!after.set_aside.contains_key("roof_colour"));
    assert!(after.not_sure.contains(&"moon_phase".to_owned()));
    // and goes again
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert_eq!(visit(&folder).set_aside["roof_colour"], "red");
}

/// A text that is mended where it rests counts again.
#[test]
fn a_mended_text_counts_again() {
    let folder = folder(DAMAGED);
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    let mended = file(&folder).replace("about ten", "10 in");
    std::fs::write(folder.path().join("v.yaml"), mended).unwrap();
    let (answers, misfits) = visit(&folder).answers(&CONTENT.flow, Units::Inch);
    let number = CONTENT.flow.question("exit_below_mark").unwrap();
    assert!(answers.get(number).is_some() && misfits.iter().all(|m| m.question != "exit_below_mark"), "{misfits:?}");
}

#[test]
fn not_sure_of_a_hidden_question_is_kept() {
    let folder = folder(
        "wallfoot_visit: 1\nanswers:\n  region: us\n  stage: planned\n  cladding: vinyl\nnot_sure: [veneer_weeps]\n",
    );
    pipe(folder.path(), &["ask", "v.yaml"], "1\nsave\n");
    assert_eq!(visit(&folder).not_sure, ["veneer_weeps"]);
}

/// The file says two things about one question. Neither is lost; the careful one counts.
#[test]
fn an_answer_beside_not_sure_is_kept() {
    let folder = folder(
        "wallfoot_visit: 1\nanswers:\n  region: us\n  year_built: 1994\nnot_sure: [year_built]\nset_aside:\n  region: uk\n",
    );
    let (said, _) = pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert!(said.contains("`year_built: 1994` counts for nothing: the question stands under `not_sure` too"), "{said}");
    let after = visit(&folder);
    assert_eq!((after.set_aside["year_built"].as_str(), after.set_aside["region"].as_str()), ("1994", "uk"));
    assert_eq!((after.answers["region"].as_str(), &after.not_sure[..]), ("us", &["year_built".to_owned()][..]));
}

/// Two texts for one question, both unreadable or hidden: there is one place aside, so the other stays where it is.
#[test]
fn two_texts_for_one_question_are_both_kept() {
    let two = "wallfoot_visit: 1\nanswers:\n  region: us\n  cladding: vinyl\n  veneer_weeps: seenn\nset_aside:\n  veneer_weeps: seen\n";
    let folder = folder(two);
    pipe(folder.path(), &["ask", "v.yaml"], "1\nsave\n");
    let after = visit(&folder);
    assert_eq!((after.answers["veneer_weeps"].as_str(), after.set_aside["veneer_weeps"].as_str()), ("seenn", "seen"));
}

/// A bare number is inches or millimetres by the country. As long as that is not known it counts for nothing, and is not
/// taken for the one and written down as such.
#[test]
fn a_bare_number_waits_for_its_country() {
    let folder =
        folder("wallfoot_visit: 1\nanswers:\n  region: brittain\n  feature_length: 900\n  feature_depth: 4.5 m\n");
    let (said, _) = pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert!(said.contains("`feature_length: 900` counts as not answered: it has no unit"), "{said}");
    assert_eq!(visit(&folder).set_aside["feature_length"], "900");
    // the country is answered (United Kingdom is no inch region): the number is millimetres, and is written down as such
    let uk = CONTENT.flow.questions[CONTENT.flow.question("region").unwrap()].choices.iter().position(|c| c.id == "uk");
    pipe(folder.path(), &["ask", "v.yaml"], &format!("{}\nsave\n", uk.unwrap() + 1));
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    let after = visit(&folder);
    assert_eq!((after.answers["feature_length"].as_str(), after.answers["region"].as_str()), ("900 mm", "uk"));
    assert!(after.set_aside.is_empty(), "{:?}", after.set_aside);
}

/// `--region` is for one run of the program.
#[test]
fn an_option_does_not_replace_an_answer() {
    let folder = folder("wallfoot_visit: 1\nanswers:\n  region: us\n  stage: planned\n");
    let (said, code) = pipe(folder.path(), &["ask", "v.yaml", "--region", "uk"], "1\nsave\n");
    assert_eq!(code, 0, "{said}");
    let after = visit(&folder);
    assert_eq!((after.answers["region"].as_str(), after.answers.len()), ("us", 3));
    // where the file names no country, the option is the answer
    let fresh = folder.path().join("w.yaml");
    pipe(folder.path(), &["ask", "w.yaml", "--region", "uk"], "save\n");
    assert_eq!(Visit::read(&fresh).unwrap().answers["region"], "uk");
}

/// A try answers a question whose old text could not be read; the plan keeps that text.
#[test]
fn a_try_leaves_what_nobody_can_read() {
    let folder = folder(&sound("  veneer_weeps: seenn\n"));
    let number = |id: &str| {
        let flow = &CONTENT.flow;
        let (answers, _) = visit(&folder).answers(flow, Units::Inch);
        let shown = flow.state(&answers).shown;
        answers.iter().filter(|(n, _)| shown[*n].is_yes()).position(|(n, _)| flow.questions[n].id == id).unwrap() + 1
    };
    let choice = |id: &str, choice: &str| {
        let question = &CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()];
        question.choices.iter().position(|c| c.id == choice).unwrap() + 1
    };
    // try; other answers: the cladding becomes brick, whose weep holes are asked about; done, under the name that is offered
    let brick = format!(
        "1\n2\n{}\n{}\n{}done\n\n",
        number("cladding"),
        choice("cladding", "brick_veneer"),
        "not sure\n".repeat(8)
    );
    let (said, code) = pipe(folder.path(), &["ask", "v.yaml"], &brick);
    assert_eq!(code, 0, "{said}");
    let after = visit(&folder);
    assert_eq!(after.answers["cladding"], "vinyl", "{said}");
    assert_eq!(after.set_aside.get("veneer_weeps").map(String::as_str), Some("seenn"), "{said}");
    let tried = after.tries.values().next().unwrap();
    assert_eq!(tried.answers["cladding"], "brick_veneer", "{said}");
    assert!(tried.not_sure.contains(&"veneer_weeps".to_owned()), "{said}");
}

/// A visit written by hand keeps its bytes as long as nothing in it changes; later it keeps its comments.
#[test]
fn a_file_that_says_nothing_new_keeps_its_bytes() {
    let by_hand = "# Ask for the gate code: 12 # 3\nwallfoot_visit: 1\nanswers:   # by phone\n    region:  us\n    feature_length: 24'-6\"\n  # not measured yet\n    visit_name: 'House # 7'\n";
    let folder = folder(by_hand);
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert_eq!(file(&folder), by_hand);
    pipe(folder.path(), &["ask", "v.yaml"], "1\nsave\n");
    let after = file(&folder);
    assert!(
        after.starts_with(
            "# Ask for the gate code: 12 # 3\n# answers:   # by phone\n# not measured yet\nwallfoot_visit: 1\n"
        ),
        "{after}"
    );
    assert_eq!(after.matches('#').count(), 6, "{after}");
    assert_eq!(visit(&folder).answers["feature_length"], "24'-6\"");
    pipe(folder.path(), &["ask", "v.yaml"], "save\n");
    assert_eq!(file(&folder), after);
}

/// What looks like a comment within a text is a text.
#[test]
fn a_text_of_several_lines_grows_no_comments() {
    let texts = "# at the head\nwallfoot_visit: 1\nanswers:\n  region: us\nlog:\n- date: 2026-05-01\n  text: |\n    # first\n\n    then # second\n- date: 2026-05-02\n  text: \"one\\n# two\\nand a long line, so long that it may be folded by whoever writes it: # three, and on it goes to here\"\n";
    let folder = folder(texts);
    let before = visit(&folder);
    assert_eq!(before.comments, [" at the head"]);
    for day in ["2026-05-03", "2026-05-04", "2026-05-05"] {
        let (said, code) = pipe(folder.path(), &["log", "v.yaml", "Measured # again", "--date", day], "");
        assert_eq!(code, 0, "{said}");
    }
    let after = visit(&folder);
    assert_eq!(after.comments, before.comments, "{}", file(&folder));
    assert_eq!((&after.log[..2], after.log.len()), (&before.log[..], 5));
}

/// Headings without anything below them are no mistake.
#[test]
fn empty_parts_of_a_visit_are_empty() {
    let folder = folder("wallfoot_visit: 1\nanswers:\nnot_sure:\nlog:\nruns:\nset_aside:\n");
    let (said, code) = pipe(folder.path(), &["ask", "v.yaml"], "1\nsave\n");
    assert_eq!(code, 0, "{said}");
    assert_eq!(visit(&folder).answers["region"], "us");
}

#[test]
fn notes_keep_what_they_do_not_know() {
    let visit_text = sound(
        "owners:\n  no_such_task: [uncle]\ncontractors:\n  Slate crew:\n    where_does_water_go: [good.1, good.99, mumbled]\n    gone_question: [good.1]\n",
    );
    let folder = folder(&visit_text.replace("contractor: hired", "contractor: talking"));
    let before = visit(&folder);
    let (said, code) = pipe(folder.path(), &["log", "v.yaml", "Measured again", "--date", "2026-05-03"], "");
    assert_eq!(code, 0, "{said}");
    // Enter keeps an answer as it stands
    let (said, code) = pipe(folder.path(), &["contractor", "v.yaml", "Slate crew"], &"\n".repeat(3));
    assert_eq!(code, 1, "the input ends in the middle: {said}");
    for words in ["`good.99` of Slate crew under `contractors`", "`mumbled`", "`gone_question`"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let (said, code) = pipe(folder.path(), &["owners", "v.yaml"], "save\n");
    assert!(code == 0 && said.contains("`uncle` under `owners`, `no_such_task`, is nobody known"), "{said}");
    let after = visit(&folder);
    assert_eq!(after.owners, before.owners);
    assert_eq!(after.contractors["Slate crew"]["where_does_water_go"], ["good.1", "good.99", "mumbled"]);
    assert_eq!(after.contractors["Slate crew"]["gone_question"], ["good.1"]);
}

/// An answer of which no point is known is no weak answer: the question counts as not asked, until it is answered anew.
#[test]
fn points_that_are_gone_are_not_held_against_a_contractor() {
    let id = "where_does_water_go";
    let all: String = CONTENT.asks.iter().fold(String::new(), |mut all, ask| {
        let from = if ask.id == id { 91 } else { 1 };
        let points: Vec<String> = (from..from + ask.good.len()).map(|n| format!("good.{n}")).collect();
        writeln!(all, "    {}: [{}]", ask.id, points.join(", ")).unwrap();
        all
    });
    let folder = folder(&sound(&format!("contractors:\n  Slate crew:\n{all}")));
    let standing = || {
        let json = run(folder.path(), &["advise", "v.yaml", "--as", "json"]).stdout;
        let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
        json["contractors"]["Slate crew"]["marks"][id].clone()
    };
    assert_eq!(standing(), "open");
}

/// Somebody else adds to the visit while a note is written: refused, as in the interview.
#[test]
fn a_visit_that_appears_meanwhile_is_not_written_over() {
    use wallfoot::visit::VisitError;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("v.yaml");
    let mut open = OpenVisit::open_or_new(&path, "2026-01-02").unwrap();
    assert!(open.is_new());
    std::fs::write(&path, "wallfoot_visit: 1\n").unwrap();
    let error = open.write_answers(&CONTENT.flow, &Answers::default(), "2026-01-02").unwrap_err();
    assert!(matches!(error, VisitError::Changed { .. }), "{error}");
    let mut open = OpenVisit::open(&path).unwrap();
    std::fs::write(&path, [0xff, 0xfe]).unwrap();
    let error = open.write_with(|visit| visit.started.push('x')).unwrap_err();
    assert!(matches!(error, VisitError::Changed { .. }), "{error}");
    assert_eq!(std::fs::read(&path).unwrap(), [0xff, 0xfe]);
}

/// What would be lost on writing is refused on reading, and said in plain words.
#[test]
fn what_a_visit_cannot_hold_is_refused() {
    for (text, says) in [
        (
            "wallfoot_visit: 1\nanswers:\n  region: us\n  region: uk\n",
            "`region` stands twice, the second time in line 4",
        ),
        ("wallfoot_visit: 1\n---\nwallfoot_visit: 1\n", "a second document begins at line"),
        ("wallfoot_visit: 1\nanswers:\n  visit_name: !house seven\n", "line 3"),
        ("wallfoot_visit: 1\nruns:\n  side:\n    anwers: {}\n", "anwers"),
    ] {
        let folder = folder(text);
        let (said, code) = pipe(folder.path(), &["ask", "v.yaml"], "save\n");
        assert!(code == 1 && said.contains(says), "{said}");
        assert_eq!(file(&folder), text);
    }
}

#[test]
fn files_of_the_first_format_open() {
    for name in ["back-patio", "side-steps"] {
        let path = top().join("questions/demo").join(format!("{name}.yaml"));
        assert!(std::fs::read_to_string(&path).unwrap().contains("wallfoot_visit: 1\n"));
        assert_eq!(Visit::read(&path).unwrap().answers(&CONTENT.flow, Units::Inch).1, []);
    }
}

// ---- Whatever the damage

/// What a damage does to one entry of a visit.
#[derive(Debug, Clone)]
enum Damage {
    /// The text of an answer is replaced.
    Text(usize, String),
    /// An answer to a question that there is not.
    Unknown(String, String),
    /// A question is "not sure" too, whether there is one or not.
    NotSure(String),
    /// A question's answer is "not sure" beside what stands there.
    NotSureOf(usize),
    /// Something stands set aside.
    Aside(usize, String),
}

fn damage() -> impl Strategy<Value = Damage> {
    let words = prop_oneof![
        "[a-z ]{0,12}",
        "\\PC{0,12}",
        "[0-9]{1,4}",
        "[0-9]{1,3} (in|ft|mm|furlongs)",
        Just("not sure".to_owned()),
        Just("none".to_owned()),
        Just("yes".to_owned()),
        Just("us".to_owned()),
        Just("~".to_owned()),
        Just(String::new()),
    ];
    let id = "[a-z_]{1,12}";
    prop_oneof![
        (any::<usize>(), words.clone()).prop_map(|(at, words)| Damage::Text(at, words)),
        (id, words.clone()).prop_map(|(id, words)| Damage::Unknown(id, words)),
        id.prop_map(Damage::NotSure),
        any::<usize>().prop_map(Damage::NotSureOf),
        (any::<usize>(), words).prop_map(|(at, words)| Damage::Aside(at, words)),
    ]
}

fn put(
    damage: &Damage,
    answers: &mut BTreeMap<String, String>,
    not_sure: &mut Vec<String>,
    aside: &mut BTreeMap<String, String>,
) {
    let questions = &CONTENT.flow.questions;
    let id = |at: usize| questions[at % questions.len()].id.to_string();
    match damage {
        Damage::Text(at, words) => _ = answers.insert(id(*at), words.clone()),
        Damage::Unknown(id, words) => _ = answers.insert(id.clone(), words.clone()),
        Damage::NotSure(id) => not_sure.push(id.clone()),
        Damage::NotSureOf(at) => not_sure.push(id(*at)),
        Damage::Aside(at, words) => _ = aside.insert(id(*at), words.clone()),
    }
}

/// Each (id, text) of a stretch of wall, wherever it stands; "not sure" as an empty place.
fn pairs(
    answers: &BTreeMap<String, String>,
    not_sure: &[String],
    aside: &BTreeMap<String, String>,
) -> Vec<(String, Option<String>)> {
    let texts = answers.iter().chain(aside).map(|(id, text)| (id.clone(), Some(text.clone())));
    let mut all: Vec<_> = texts.chain(not_sure.iter().map(|id| (id.clone(), None))).collect();
    all.sort();
    all
}

fn pairs_of(visit: &Visit) -> Vec<(String, Option<String>)> {
    pairs(&visit.answers, &visit.not_sure, &visit.set_aside)
}

fn pairs_of_run(run: &Run) -> Vec<(String, Option<String>)> {
    pairs(&run.answers, &run.not_sure, &run.set_aside)
}

/// Opens and saves as `ask` does, without answering anything; with `--run` if there is a name.
fn open_and_save(path: &Path, run: Option<&str>, units: Option<Units>) {
    let flow = &CONTENT.flow;
    let mut open = OpenVisit::open(path).unwrap();
    let (first, _) = open.visit().answers(flow, units);
    match run {
        None => open.write_answers(flow, &first, "2030-01-01").unwrap(),
        Some(name) => {
            let (answers, _) = open.visit().run_answers(&open.visit().runs[name], &first, flow, units);
            open.write_run(name, flow, &answers, &first, "2030-01-01").unwrap();
        }
    }
}

proptest! {
    #![proptest_config(config())]

    /// Whatever is damaged: opening and saving keeps every text at its question, word for word, and doing it again changes
    /// nothing. (A readable length without a unit gets its unit where the country is known; see the next property.)
    #[test]
    fn opening_and_saving_loses_nothing(
        seed: u64,
        first in proptest::collection::vec(damage(), 0..6),
        other in proptest::collection::vec(damage(), 0..6),
        in_run: bool,
    ) {
        let flow = &CONTENT.flow;
        let mut answers = Answers::default();
        crate::interview::run(&mut answers, &mut crate::interview::Scripted::new(|p: &wallfoot::interview::Prompt<'_>| {
            wallfoot::interview::Reply::Answer(fixed_answer(p.question, seed))
        }));
        let mut whole = Visit::new("2026-01-02");
        whole.take(flow, &answers, "2026-01-02");
        for one in &first {
            put(one, &mut whole.answers, &mut whole.not_sure, &mut whole.set_aside);
        }
        let mut side = Run::default();
        for one in &other {
            put(one, &mut side.answers, &mut side.not_sure, &mut side.set_aside);
        }
        whole.runs.insert("side".to_owned(), side);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("v.yaml");
        whole.write(&path).unwrap();
        let before = Visit::read(&path).unwrap();
        prop_assert_eq!(&Visit { wallfoot_visit: 0, ..before.clone() }, &Visit { wallfoot_visit: 0, ..whole.clone() }, "the file itself loses nothing");
        let run = in_run.then_some("side");
        open_and_save(&path, run, None);
        let after = Visit::read(&path).unwrap();
        prop_assert_eq!(pairs_of(&after), pairs_of(&before));
        prop_assert_eq!(pairs_of_run(&after.runs["side"]), pairs_of_run(&before.runs["side"]));
        prop_assert_eq!(&after.changed, &before.changed, "nothing was answered");
        // what counted counts, and nothing else does
        prop_assert_eq!(after.answers(flow, None).0, before.answers(flow, None).0);
        let once = std::fs::read(&path).unwrap();
        open_and_save(&path, run, None);
        prop_assert_eq!(std::fs::read(&path).unwrap(), once);
    }

    /// Where the country is known, a bare length gets the unit in which it counted; all else is as above.
    #[test]
    fn a_bare_length_gets_its_unit_and_nothing_else_changes(
        seed: u64,
        damages in proptest::collection::vec(damage(), 0..6),
        metric: bool,
    ) {
        let flow = &CONTENT.flow;
        let units = if metric { Units::Metric } else { Units::Inch };
        let mut whole = Visit::new("2026-01-02");
        let mut answers = Answers::default();
        for (number, question) in flow.questions.iter().enumerate().step_by(3) {
            answers.set(number, fixed_answer(question, seed));
        }
        whole.take(flow, &answers, "2026-01-02");
        for one in &damages {
            put(one, &mut whole.answers, &mut whole.not_sure, &mut whole.set_aside);
        }
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("v.yaml");
        whole.write(&path).unwrap();
        open_and_save(&path, None, Some(units));
        let after = Visit::read(&path).unwrap();
        let (old, new) = (pairs_of(&whole), pairs_of(&after));
        prop_assert_eq!(old.len(), new.len());
        for pair in old.iter().filter(|pair| !new.contains(pair)) {
            let question = &flow.questions[flow.question(&pair.0).unwrap()];
            let bare = pair.1.as_deref().unwrap();
            let read = |units| question.read_answer(bare, units);
            prop_assert!(read(Units::Inch) != read(Units::Metric), "{:?} is gone", pair);
            let same = |text: &Option<String>| text.as_deref().is_some_and(|text| {
                question.read_answer(text, Units::Inch) == read(units) && question.read_answer(text, Units::Metric) == read(units)
            });
            prop_assert!(new.iter().any(|(id, text)| *id == pair.0 && same(text)), "{:?} has another meaning", pair);
        }
        prop_assert_eq!(after.answers(flow, units).0, whole.answers(flow, units).0);
    }

    /// A new answer takes the place of the old text of its question, and of no other.
    #[test]
    fn a_new_answer_touches_its_own_question_only(
        damages in proptest::collection::vec(damage(), 1..8),
        at: usize,
        seed: u64,
    ) {
        let flow = &CONTENT.flow;
        let mut whole = Visit::new("2026-01-02");
        for one in &damages {
            put(one, &mut whole.answers, &mut whole.not_sure, &mut whole.set_aside);
        }
        let (mut answers, _) = whole.answers(flow, None);
        let number = at % flow.questions.len();
        let question = &flow.questions[number];
        let new = fixed_answer(question, seed);
        prop_assume!(answers.get(number) != Some(&new));
        answers.set(number, new.clone());
        let mut after = whole.clone();
        after.take(flow, &answers, "2026-01-03");
        let others = |visit: &Visit| pairs_of(visit).into_iter().filter(|(id, _)| *id != question.id).collect::<Vec<_>>();
        prop_assert_eq!(others(&after), others(&whole));
        // its own place holds the new answer alone
        let own: Vec<_> = pairs_of(&after).into_iter().filter(|(id, _)| *id == question.id).collect();
        prop_assert_eq!(own.len(), 1, "{:?}", own);
        let (read, _) = after.answers(flow, None);
        prop_assert_eq!(read.get(number), Some(&new));
        let shown = flow.state(&answers).shown[number] == Truth::Yes;
        prop_assert!(!after.answers.contains_key(question.id.as_str()) || shown);
        prop_assert_eq!(&after.changed, "2026-01-03");
    }
}
