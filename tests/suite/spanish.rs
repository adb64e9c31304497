//! The interview in Spanish: no text of it is missing, and whole interviews show no English.

use crate::support::{CONTENT, program, top};
use std::collections::{BTreeMap, BTreeSet};
use std::io::{Read, Write};
use std::process::{Child, ChildStderr, Stdio};
use std::sync::LazyLock;
use wallfoot::content::Content;
use wallfoot::flow::{AnswerError, Question};
use wallfoot::units::{Length, LengthError, Units};
use wallfoot::visit::Visit;

/// What is said once about texts that are shown in English.
const UNTRANSLATED: &str = "todavía no están traducidos";

fn load(lang: Option<&str>) -> Content {
    Content::load(&wallfoot::commands::sources(None, lang).unwrap(), lang).unwrap()
}

static SPANISH: LazyLock<Content> = LazyLock::new(|| load(Some("es")));
static ENGLISH_TEXTS: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| texts(None));
static SPANISH_TEXTS: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| texts(Some("es")));

/// All texts of a language by their keys, white space as single blanks.
fn texts(lang: Option<&str>) -> BTreeMap<String, String> {
    let mut texts = BTreeMap::new();
    load(lang).each_text(&mut |key, text| {
        texts.insert(key.to_owned(), plain(text));
    });
    texts
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether an interview shows it, with what contractors are asked and who does what. Every word counts: a heading is soon
/// shown on a screen too.
fn of_the_interview(key: &str) -> bool {
    ["section.", "question.", "asked.", "word.", "contractor.", "joint."].iter().any(|family| key.starts_with(family))
        || key.starts_with("finding.") && key.rsplit('.').next() == Some("title")
        || key.starts_with("limit.") && key.rsplit('.').next() == Some("what")
}

/// All sheets, the plan and what is said of sources too: nothing is missing at all.
#[test]
fn every_text_has_its_spanish() {
    assert_eq!(SPANISH.untranslated, [""; 0], "these have no Spanish: put it into questions/translations/es*.yaml");
}

#[test]
fn every_text_of_the_interview_has_its_spanish() {
    let missing: Vec<&str> =
        SPANISH.untranslated.iter().map(wallfoot::pack::Text::as_str).filter(|key| of_the_interview(key)).collect();
    assert_eq!(missing, [""; 0], "these have no Spanish: put it into questions/translations/es*.yaml");
    // what is counted is there, and what is known to be missing is found
    let counted = ENGLISH_TEXTS.iter().filter(|(key, text)| of_the_interview(key) && !text.is_empty()).count();
    assert!(counted > 2500, "{counted}");
    assert!(CONTENT.untranslated.is_empty());
    let mut sources = wallfoot::commands::sources(None, Some("es")).unwrap();
    sources.retain(|source| source.name != "translations/es-flow-signs.yaml");
    let less = Content::load(&sources, Some("es")).unwrap();
    assert!(less.untranslated.iter().any(|key| key == "question.void_depth.ask"), "{:?}", less.untranslated);
}

/// A translation says something else, in Spanish: a text that was copied stands out. What is the same in both is listed.
#[test]
fn no_spanish_text_is_a_copy_of_the_english() {
    let same: BTreeSet<&str> = ENGLISH_TEXTS
        .iter()
        .filter(|(key, text)| of_the_interview(key) && text.split(' ').any(is_a_word))
        .filter(|(key, text)| SPANISH_TEXTS.get(*key) == Some(text))
        .map(|(key, _)| key.as_str())
        .collect();
    let known =
        ["question.region.choice.australia", "question.metal_kind.short", "word.row.material", "word.table.material"];
    let strange: Vec<&&str> = same.iter().filter(|key| !known.contains(key)).collect();
    assert_eq!(strange, [&""; 0], "these are English in the Spanish too");
}

/// Letters, and no placeholder.
fn is_a_word(word: &str) -> bool {
    word.chars().filter(|c| c.is_alphabetic()).count() > 2 && !word.contains('{')
}

/// What is said to an answer that is none is a word, with Spanish; in English it is what files and the command line say.
#[test]
fn errors_of_what_is_typed_are_words() {
    let text = || "x".to_owned();
    let length = |error: LengthError| AnswerError::Length(error);
    let parsed = |text: &str| length(Length::parse(text, Units::Inch).unwrap_err());
    let all = [
        AnswerError::Number(text()),
        AnswerError::Year(text()),
        AnswerError::Future { year: 2090, now: 2026 },
        AnswerError::YesNo(text()),
        AnswerError::Choice { found: text(), choices: "a, b".to_owned() },
        AnswerError::Profile { found: text(), example: "0 = 13 in".to_owned() },
        AnswerError::Places { found: text(), example: "window 12 ft to 15 ft".to_owned() },
        AnswerError::PlaceTwice("3 ft".to_owned()),
        AnswerError::Empty,
        AnswerError::NeedsAnswer,
        AnswerError::Impossible { value: "9 ft".to_owned(), least: "1 ft".to_owned(), most: "2 ft".to_owned() },
        parsed(""),
        parsed("much"),
        parsed("3 ells"),
        parsed("3 1/0 in"),
        parsed("1,200"),
        length(Length::parse("7 3/4", Units::Metric).unwrap_err()),
        parsed("3 in 2 mm"),
        parsed("99999999 m"),
    ];
    let mut keys = BTreeSet::new();
    for error in all {
        let said = error.word();
        keys.insert(said.key);
        let values: Vec<(&str, &str)> = said.values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        assert_eq!(CONTENT.word_with(said.key, &values), error.to_string());
        let spanish = SPANISH.word_with(said.key, &values);
        assert_ne!(spanish, error.to_string());
        for (_, value) in values {
            assert!(spanish.contains(value), "{spanish}");
        }
    }
    let all: BTreeSet<&str> = wallfoot::content::words::keys().filter(|key| key.starts_with("error.answer.")).collect();
    assert_eq!(keys, all);
}

// ------------------------------------------------------------------------------------------------ whole interviews

/// The program in an interview on plain lines, and all that it said so far.
struct Walk {
    child: Child,
    says: ChildStderr,
    said: String,
    /// What of it was said before the last answer.
    before: usize,
}

impl Walk {
    fn start(folder: &std::path::Path) -> Walk {
        let mut child = program(folder, &["ask", "v.yaml", "--lang", "es", "--plain"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let says = child.stderr.take().unwrap();
        Walk { child, says, said: String::new(), before: 0 }
    }

    /// Reads on to the next prompt: what was said since the last answer. Nothing once the program has ended.
    fn next(&mut self) -> Option<String> {
        let mut bytes = Vec::new();
        let mut byte = [0];
        while !bytes.ends_with(b"\n> ") && self.says.read(&mut byte).unwrap() > 0 {
            bytes.push(byte[0]);
        }
        let ended = !bytes.ends_with(b"\n> ");
        self.said.push_str(std::str::from_utf8(&bytes).unwrap());
        let since = self.said[self.before..].to_owned();
        self.before = self.said.len();
        (!ended).then_some(since)
    }

    fn answer(&mut self, text: &str) {
        // a terminal would show what is typed
        self.said.push_str(text);
        self.said.push('\n');
        self.before = self.said.len();
        writeln!(self.child.stdin.as_mut().unwrap(), "{text}").unwrap();
    }

    /// All that was said, on both ways.
    fn end(mut self) -> (String, String) {
        drop(self.child.stdin.take());
        let mut shown = String::new();
        self.child.stdout.take().unwrap().read_to_string(&mut shown).unwrap();
        assert!(self.child.wait().unwrap().success(), "{}", self.said);
        (self.said, shown)
    }
}

/// How much of a text is found in another one, with anything in place of its placeholders; nothing if it does not fit.
fn found_in(text: &str, template: &str) -> Option<usize> {
    let (mut at, mut found) = (0, 0);
    for part in template.split('{').map(|part| part.split_once('}').map_or(part, |(_, rest)| rest)) {
        at += text[at..].find(part)? + part.len();
        found += part.len();
    }
    Some(found)
}

/// The question that stands in a text, by its Spanish.
fn asked(text: &str) -> Option<&'static Question> {
    let text = plain(text);
    let fits = |question: &&Question| {
        let key = format!("question.{}", question.id);
        let asks = ["ask", "ask_built"].map(|name| SPANISH_TEXTS.get(&format!("{key}.{name}")));
        asks.into_iter().flatten().filter_map(|ask| found_in(&text, ask)).max()
    };
    CONTENT.flow.questions.iter().filter(|q| fits(q).is_some()).max_by_key(fits)
}

/// The number of the line that a visit takes where one list asks two questions, as "It is planned: A contract is signed".
fn line_of_two(text: &str, question: &Question, visit: &Visit) -> Option<String> {
    let label = |question: &Question| {
        let given = visit.answers.get(question.id.as_str())?.as_str();
        let key = format!("question.{}", question.id);
        let word = |key: &str| SPANISH_TEXTS[&format!("{key}.short")].clone();
        match given {
            "yes" => Some(format!("{} - {}", word(&key), SPANISH_TEXTS["word.label.yes"])),
            "no" => Some(format!("{} - {}", word(&key), SPANISH_TEXTS["word.label.no"])),
            _ => SPANISH_TEXTS.get(&format!("{key}.choice.{given}")).cloned(),
        }
    };
    let first = format!("{}: ", label(question)?);
    let given: BTreeSet<String> = CONTENT.flow.questions.iter().filter_map(label).collect();
    let lines = text.lines().filter_map(|line| line.trim().split_once(". "));
    let fits = lines.filter_map(|(number, line)| Some((number, line.strip_prefix(&first)?)));
    fits.filter(|(_, rest)| given.contains(*rest)).map(|(number, _)| number.to_owned()).next()
}

/// What is typed to a question: what the visit says, in Spanish where it is a word.
fn reply(question: &Question, visit: &Visit) -> String {
    let given = visit.answers.get(question.id.as_str()).map(String::as_str);
    match given {
        Some("yes") => "sí".to_owned(),
        Some("no") => "no".to_owned(),
        Some("none") if question.choices.iter().all(|choice| choice.id != "none") => "Ninguno de estos".to_owned(),
        Some(text) => text.to_owned(),
        None if question.not_sure => "no estoy seguro".to_owned(),
        None => "1".to_owned(),
    }
}

/// What is typed where a list is left.
fn done() -> String {
    let typed = SPANISH_TEXTS.get("word.typed.done").map_or("done", String::as_str);
    typed.split(';').next().unwrap_or_default().trim().to_owned()
}

/// Answers a whole interview from a visit, and leaves each list that is no question. Gives what the interview said; the
/// answer itself goes to standard output.
fn walked(demo: &str) -> String {
    let visit = Visit::read(&top().join("questions/demo").join(demo)).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let mut walk = Walk::start(folder.path());
    let mut questions = BTreeSet::new();
    let mut helped = false;
    while let Some(text) = walk.next() {
        assert!(questions.len() < 200 && walk.said.len() < 1_000_000, "no end: {}", walk.said);
        match asked(&text) {
            // the answer is settled: on with the rest
            _ if plain(&text).contains(&SPANISH_TEXTS["word.settled.title"]) => walk.answer("1"),
            Some(_) if !helped => {
                helped = true;
                walk.answer("?");
            }
            Some(question) => {
                questions.insert(question.id.clone());
                walk.answer(&line_of_two(&text, question, &visit).unwrap_or_else(|| reply(question, &visit)));
            }
            // the explanation stands, the question is known
            None if walk.said.contains("\n> ?\n") && questions.is_empty() => walk.answer("1"),
            None => walk.answer(&done()),
        }
    }
    assert!(questions.len() > 15, "{questions:?}");
    let (said, shown) = walk.end();
    assert!(shown.len() > 100, "{shown}");
    // the sheets are not translated in full, and that is said once
    assert_eq!(said.matches(UNTRANSLATED).count(), usize::from(!SPANISH.untranslated.is_empty()), "{said}");
    said.replace(&folder.path().display().to_string(), "[DIR]")
}

/// English of at least three words that stands in a text, with its key.
fn english_in(text: &str) -> Vec<String> {
    let text = plain(text);
    let mut found = Vec::new();
    for (key, english) in ENGLISH_TEXTS.iter().filter(|(key, _)| of_the_interview(key)) {
        let parts = english.split('{').map(|part| part.split_once('}').map_or(part, |(_, rest)| rest));
        let long = parts.map(str::trim).filter(|part| part.split(' ').filter(|word| is_a_word(word)).count() >= 3);
        for part in long.filter(|part| text.contains(*part)) {
            found.push(format!("{key}: {part}"));
        }
    }
    found
}

#[test]
fn a_planned_patio_in_spanish_shows_no_english() {
    let said = walked("back-patio.yaml");
    assert_eq!(english_in(&said), [""; 0]);
    insta::assert_snapshot!("planned_patio", said);
}

#[test]
fn built_steps_in_spanish_show_no_english() {
    let said = walked("side-steps.yaml");
    assert_eq!(english_in(&said), [""; 0]);
    // two short words that the search is too coarse for
    assert!(!said.contains(": yes\n") && said.contains("sí\n"), "{said}");
    // the search for English finds some where there is some
    let english = &ENGLISH_TEXTS["question.void_behind.ask"];
    assert_eq!(english_in(english), [format!("question.void_behind.ask: {english}")]);
}

/// What is not translated is said once, in Spanish, and not where nothing of it is shown.
#[test]
fn what_is_not_translated_is_said_once() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(top().join("questions/demo/back-patio.yaml"), folder.path().join("v.yaml")).unwrap();
    let said = |args: &[&str]| {
        let output = crate::support::run(folder.path(), &[&["advise", "v.yaml"], args].concat());
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success(), "{said}");
        said
    };
    let notes = |text: &str| text.matches(UNTRANSLATED).count();
    // Spanish is whole
    assert_eq!(notes(&said(&["--lang", "es", "--sheet", "homeowner"])), 0);
    assert_eq!(said(&["--sheet", "homeowner"]), "");
    // a folder of the user's own brings a text that has none
    let own = folder.path().join("own");
    std::fs::create_dir(&own).unwrap();
    let task = "tasks:\n  - id: feed_the_cat\n    phase: after\n    who: homeowner\n    when: { stage: planned }\n    do: Feed the cat.\n    \
                sheets: [homeowner]\n";
    std::fs::write(own.join("own.yaml"), task).unwrap();
    let own = own.to_str().unwrap().to_owned();
    assert_eq!(notes(&said(&["--lang", "es", "--sheet", "homeowner", "--questions", &own])), 1);
    // and it stands on the page itself
    let printed = |lang: &str| {
        let args = ["advise", "v.yaml", "--lang", lang, "--sheet", "landscaper", "--questions", &own];
        let page = String::from_utf8(crate::support::run(folder.path(), &args).stdout).unwrap();
        plain(&page).contains(UNTRANSLATED)
    };
    assert!(printed("es") && !printed("en"));
}
