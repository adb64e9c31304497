//! How the program talks: one word for one thing, and no long sentences.
//!
//! Looked at is every text of `questions/` that a user may read, in every language, with the file and line where it
//! stands; what `--help` prints; and, for words alone, the
//! texts in quotes in `src/` and the pages for users. A new field
//! of the content counts as such a text until it is named in [`NO_TEXTS`].

use crate::source::files;
use crate::support::{CONTENT, run, top};
use serde::Deserialize;
use std::fmt::Write;
use std::fs;
use wallfoot::flow::{Diagnostics, Node, Source, Tree};

/// Fields of the content that hold names, figures, sources and conditions: nothing that is read as a sentence.
const NO_TEXTS: [&str; 52] = [
    "above",
    "after",
    "also",
    "as_finish_rises",
    "at_least",
    "at_most",
    "basis",
    "before",
    "below",
    "built_when",
    "danger",
    "edition",
    "eras",
    "figure",
    "formula",
    "guard",
    "height",
    "high",
    "holds",
    "id",
    "inputs",
    "kind",
    "least",
    "length",
    "low",
    "measure",
    "most",
    "name",
    "never",
    "of",
    "over",
    "per",
    "place",
    "place_built",
    "priced",
    "rank",
    "region",
    "regions",
    "sets",
    "show_when",
    "sketch",
    "source",
    "then",
    "thickness",
    "told_by",
    "under",
    "unit",
    "usual",
    "verdict",
    "weather",
    "weight",
    "when",
];

/// The longest sentence, in words.
const LONGEST: usize = 30;

// ------------------------------------------------------------------------------------------------ the texts

/// A text that somebody reads.
struct Text {
    /// Where it stands, as `file:line`.
    place: String,
    /// Its file, from `questions/` on.
    file: String,
    /// Its names from the outside in, ids of rows among them: `findings.vinyl_covered.say`.
    key: String,
    /// What it says, white space as single blanks.
    says: String,
    /// All that its row says: a finding, a task, a question with its choices.
    row: String,
}

impl Text {
    fn spanish(&self) -> bool {
        self.file.starts_with("translations/")
    }

    /// A text that stands nowhere in `questions/`.
    fn bare(place: String, says: &str) -> Text {
        let says = plain(says);
        Text { place, file: String::new(), key: String::new(), row: says.clone(), says }
    }
}

/// White space as single blanks, every placeholder as one word.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut depth = 0;
    for c in text.chars() {
        match c {
            '{' => depth += 1,
            '}' => {
                depth -= 1;
                out.push('X');
            }
            _ if depth == 0 => out.push(c),
            _ => {}
        }
    }
    // an empty line ends a paragraph, and so a sentence
    out.split("\n\n").map(|part| part.split_whitespace().collect::<Vec<_>>().join(" ")).collect::<Vec<_>>().join("\n\n")
}

/// All texts of the content; the invented demo visits are answers and left out.
fn content() -> Vec<Text> {
    let folder = top().join("questions");
    let mut texts = Vec::new();
    for path in files(&folder, ".yaml") {
        let file = path.strip_prefix(&folder).expect("below it").to_string_lossy().into_owned();
        if !file.starts_with("demo/") {
            texts.extend(texts_of(&file, fs::read_to_string(&path).expect("readable")));
        }
    }
    texts
}

/// The texts of one file.
fn texts_of(file: &str, text: String) -> Vec<Text> {
    let source = Source::new(file.to_owned(), text);
    let node = Node::read(&source, 0, &mut Diagnostics::default()).expect("a file of content");
    let mut found = Vec::new();
    walk(&node, &mut Vec::new(), &source, &mut found);
    found
}

fn walk(node: &Node<'_>, keys: &mut Vec<String>, source: &Source, found: &mut Vec<Text>) {
    match &node.tree {
        Tree::Scalar { text, .. } => {
            let line = source.text[..node.place.start()].matches('\n').count() + 1;
            let says = plain(text);
            let place = format!("questions/{}:{line}", source.name);
            found.push(Text { place, file: source.name.clone(), key: keys.join("."), row: String::new(), says });
        }
        Tree::List(list) => list.iter().for_each(|node| walk(node, keys, source, found)),
        Tree::Map(map) => {
            let id = map.iter().find(|(key, _)| key.text == "id").and_then(|(_, value)| value.text());
            // a choice belongs to the row of its question
            let is_row = id.is_some() && !keys.iter().any(|key| key == "choices");
            let before = (keys.len(), found.len());
            keys.extend(id.map(str::to_owned));
            for (key, value) in map {
                // whatever a translation or a word is called, it is a text
                let named = matches!(keys.first().map(String::as_str), Some("texts" | "words"));
                if named || !NO_TEXTS.contains(&key.text.as_ref()) || (key.text == "never" && keys.is_empty()) {
                    keys.push(key.text.clone().into_owned());
                    walk(value, keys, source, found);
                    keys.pop();
                } else if key.text == "then" {
                    walk(value, keys, source, found); // questions that follow; a bare name is one word
                }
            }
            if is_row {
                let row: Vec<&str> = found[before.1..].iter().map(|text| text.says.as_str()).collect();
                let row = row.join(" ");
                found[before.1..]
                    .iter_mut()
                    .filter(|text| text.row.is_empty())
                    .for_each(|text| text.row.clone_from(&row));
            }
            keys.truncate(before.0);
        }
    }
}

/// What `--help` prints, a line of `place` for each command.
fn help() -> Vec<Text> {
    let folder = tempfile::tempdir().expect("a folder");
    let ask = |args: &[&str]| {
        let output = run(folder.path(), args);
        assert!(output.status.success(), "{args:?}");
        String::from_utf8(output.stdout).expect("text")
    };
    let first = ask(&["--help"]);
    let commands = first.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    // the list leaves some out
    let commands = commands.filter_map(|line| line.split_whitespace().next()).filter(|c| *c != "help");
    let commands: Vec<&str> = commands.chain(["prove", "completions", "man"]).collect();
    assert!(commands.len() >= 10 && commands.contains(&"advise"), "{commands:?}");
    let mut texts = vec![Text::bare("wallfoot --help".to_owned(), &paragraphs(&first))];
    texts
        .extend(commands.iter().map(|c| Text::bare(format!("wallfoot {c} --help"), &paragraphs(&ask(&[c, "--help"])))));
    texts
}

/// Lines that belong together as paragraphs: a line that starts an option, a command or a block begins a new one.
fn paragraphs(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let starts = line.trim_start().starts_with('-') || !line.starts_with("          ");
        let _ = write!(out, "{}{line}", if starts { "\n\n" } else { "\n" });
    }
    out
}

// ------------------------------------------------------------------------------------------------ words

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    words: Vec<Rule>,
}

/// A row of `tests/data/words.yaml`, whose head explains the fields.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rule {
    never: Vec<String>,
    #[serde(default)]
    unless_in: Vec<String>,
    #[serde(default)]
    explained_by: Vec<String>,
    write: String,
    because: String,
    #[serde(rename = "in")]
    language: Option<String>,
    #[serde(default)]
    but: Vec<String>,
}

fn rules() -> Vec<Rule> {
    let text = fs::read_to_string(top().join("tests/data/words.yaml")).expect("the list is there");
    let list: List = serde_yaml::from_str(&text).expect("the list is readable");
    list.words
}

impl Rule {
    /// The phrase that stands in a text and may not.
    fn offended(&self, text: &Text) -> Option<&str> {
        match self.language.as_deref() {
            Some("en") if text.spanish() => return None,
            Some("es") if !text.spanish() => return None,
            _ => {}
        }
        let mut says = text.says.to_lowercase().replace('\n', " ");
        for phrase in &self.unless_in {
            says = without(&says, &phrase.to_lowercase());
        }
        let phrase = self.never.iter().find(|phrase| find(&says, &phrase.to_lowercase()).is_some())?;
        let row = text.row.to_lowercase();
        let explained = self.explained_by.iter().any(|told| row.contains(told.as_str()));
        (!explained && !self.but.contains(&text.key)).then_some(phrase.as_str())
    }
}

/// Where a phrase stands as whole words. Both are in small letters.
fn find(text: &str, phrase: &str) -> Option<usize> {
    text.match_indices(phrase).map(|(at, _)| at).find(|at| {
        let before = text[..*at].chars().next_back();
        let after = text[at + phrase.len()..].chars().next();
        ![before, after].iter().flatten().any(|c| c.is_alphanumeric() || *c == '_' || *c == '-')
    })
}

/// A text without a phrase.
fn without(text: &str, phrase: &str) -> String {
    let mut text = text.to_owned();
    while let Some(at) = find(&text, phrase) {
        text.replace_range(at..at + phrase.len(), "#");
    }
    text
}

fn offences(texts: &[Text]) -> String {
    let mut wrong = String::new();
    for rule in rules() {
        for text in texts {
            if let Some(phrase) = rule.offended(text) {
                let (place, key) = (&text.place, &text.key);
                let _ = writeln!(wrong, "{place}: {key}: `{phrase}`; write {}. {}", rule.write, rule.because);
            }
        }
    }
    wrong
}

#[test]
fn one_word_for_one_thing_in_all_content() {
    let texts = content();
    assert!(texts.len() > 4000, "only {} texts were read", texts.len());
    assert_eq!(offences(&texts), "");
}

#[test]
fn one_word_for_one_thing_in_help_and_messages() {
    let mut texts = help();
    texts.extend(quoted());
    assert_eq!(offences(&texts), "");
}

/// Texts in quotes in `src/`, and what the pages for users say, but for the words that their row must explain. The pages for
/// authors name ids and files, and are left out.
fn quoted() -> Vec<Text> {
    let mut texts = Vec::new();
    let mut add = |place: String, says: &str| {
        let mut text = Text::bare(place, says);
        // these pages explain the short words once, at their head
        "place where water, the top of the finished surface".clone_into(&mut text.row);
        texts.push(text);
    };
    for path in files(&top().join("src"), ".rs") {
        let file = path.strip_prefix(top()).expect("below it").display().to_string();
        let text = fs::read_to_string(&path).expect("readable");
        for (line, said) in text.lines().enumerate() {
            // a text in quotes with a blank in it is a sentence or a part of one
            let parts = said.split('"').skip(1).step_by(2).filter(|part| part.contains(' '));
            parts.for_each(|part| add(format!("{file}:{}", line + 1), part));
        }
    }
    for page in ["README.md", "docs/measure.md", "docs/plan.md", "docs/settings.md"] {
        let text = fs::read_to_string(top().join(page)).expect("the page is there");
        let mut drawn = false;
        for (line, said) in text.lines().enumerate() {
            drawn ^= said.starts_with("```"); // a drawing breaks its words over lines
            if !drawn {
                add(format!("{page}:{}", line + 1), said);
            }
        }
    }
    texts
}

/// The list itself: no rule that cannot hit, no exception that is not needed.
#[test]
fn the_word_list_is_sound() {
    let texts = content();
    for rule in rules() {
        assert!(!rule.never.is_empty() && !rule.write.is_empty() && !rule.because.is_empty());
        for phrase in &rule.never {
            let mut text = Text::bare(String::new(), &format!("It is {phrase}."));
            text.file =
                if rule.language.as_deref() == Some("es") { "translations/es.yaml" } else { "limits.yaml" }.to_owned();
            assert_eq!(rule.offended(&text), Some(phrase.as_str()), "{phrase} cannot be found");
        }
        for phrase in
            rule.unless_in.iter().filter(|phrase| rule.language.as_deref() != Some("es") || phrase.contains(' '))
        {
            assert!(
                rule.never.iter().any(|word| find(&phrase.to_lowercase(), word).is_some()),
                "{phrase} holds no such word"
            );
        }
        for key in &rule.but {
            let text = texts.iter().find(|text| text.key == *key).unwrap_or_else(|| panic!("no text {key}"));
            let strict = Rule { but: Vec::new(), ..rules().into_iter().find(|r| r.never == rule.never).unwrap() };
            assert!(strict.offended(text).is_some(), "{key} needs no exception");
        }
    }
}

#[test]
fn an_offence_is_told_with_its_place() {
    let of = |file: &str, text: &str| offences(&texts_of(file, text.to_owned()));
    let told = of("a.yaml", "findings:\n  - id: one\n    title: Look\n    do: >-\n      Take a\n      torch.\n");
    assert!(told.starts_with("questions/a.yaml:5: findings.one.do: `torch`; write flashlight."), "{told}");
    // a translation, a phrase over two lines, a word within another
    assert!(of("translations/es.yaml", "texts:\n  a.say: Con una cinta.\n").contains("`cinta`"));
    assert!(of("a.yaml", "tasks:\n  - id: one\n    do: >-\n      There is no way\n      out.\n").contains("`way out`"));
    assert_eq!(of("a.yaml", "tasks:\n  - id: one\n    do: A tape measure, scorched, existing.\n"), "");
    // names and conditions are no texts
    assert_eq!(
        of("a.yaml", "tasks:\n  - id: torch\n    when: { torch: tape }\n    source: the torch\n    do: Go.\n"),
        ""
    );
    // a short word is explained in its row, or not at all
    assert!(of("a.yaml", "findings:\n  - id: one\n    say: The exit is low.\n").contains("`exit`"));
    assert_eq!(
        of("a.yaml", "findings:\n  - id: one\n    say: The exit.\n    do: Find the place where water leaves.\n"),
        ""
    );
    assert!(of("flows/40-a.yaml", "questions:\n  - id: one\n    ask: Which exit?\n").contains("`exit`"));
}

// ------------------------------------------------------------------------------------------------ sentences

/// The sentences of a text. A sentence ends at `.`, `!` or `?`, quotes or brackets closed behind it, with a blank or
/// nothing after that; and at an empty line. So `3.5` and `IRC R703.7.2.1` end nothing, and a colon, a semicolon or the
/// points of a list end nothing either. Texts use no abbreviations with a point and a blank behind it, since a crew reads
/// them aloud. A choice, a point of a good answer and a label are texts of their own.
fn sentences(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    for part in text.split("\n\n") {
        let mut from = 0;
        for (at, _) in part.match_indices(' ') {
            let end = part[from..at].trim_end_matches(['"', '”', '»', ')', '\'']);
            if end.ends_with(['.', '!', '?']) {
                found.push(&part[from..at]);
                from = at + 1;
            }
        }
        found.push(&part[from..]);
    }
    found.retain(|sentence| !sentence.trim().is_empty());
    found
}

/// How many words a sentence has: what stands between blanks and holds a letter or a digit. A placeholder is one word, so
/// is `3/4`; `7 3/4 in` are three.
fn words(sentence: &str) -> usize {
    sentence.split(' ').filter(|word| word.chars().any(char::is_alphanumeric)).count()
}

fn too_long(texts: &[Text]) -> String {
    let mut wrong = String::new();
    for text in texts {
        for sentence in sentences(&text.says) {
            let count = words(sentence);
            if count > LONGEST {
                let _ = writeln!(wrong, "{}: {}: {count} words: {sentence}", text.place, text.key);
            }
        }
    }
    wrong
}

#[test]
fn no_sentence_is_longer_than_thirty_words() {
    assert_eq!(too_long(&content()), "");
    assert_eq!(too_long(&help()), "");
}

#[test]
fn sentences_and_words_are_counted() {
    let count = |text: &str| sentences(&plain(text)).iter().map(|s| words(s)).collect::<Vec<_>>();
    assert_eq!(count("One two. Three (four five.) Six!"), [2, 3, 1]);
    assert_eq!(count("At least 7 3/4 in, by IRC R703.7.2.1 - and {exit.above finish} - here"), [11]);
    assert_eq!(count("\"Is it?\" No: so; and so"), [2, 4]);
    assert_eq!(count("One\ntwo\n\nthree"), [2, 1]);
    assert_eq!(count("¿Qué? El muro."), [1, 2]);
    let long = |n: usize| too_long(&[Text::bare("p".to_owned(), &"word ".repeat(n))]);
    assert_eq!(long(LONGEST), "");
    assert!(long(LONGEST + 1).contains("31 words"));
}

/// Where a sheet has no room, the first sentence of a stop is all that the crew reads: it says what not to do, and not what is the case.
#[test]
fn a_stop_begins_with_what_to_do() {
    const STARTS: [&str; 32] = [
        "Do",
        "Nobody",
        "Nothing",
        "No",
        "Set",
        "Lay",
        "Leave",
        "Dig",
        "Bolt",
        "Lift",
        "Before",
        "When",
        "If",
        "Whoever",
        "Fill",
        "Open",
        "Work",
        "Build",
        "Start",
        "Show",
        "Test",
        "Take",
        "Wait",
        "Photograph",
        "Have",
        "Look",
        "Find",
        "Keep",
        "Probe",
        "Read",
        "Let",
        "Stop",
    ];
    // who does it comes first
    const WHO: [&str; 5] = ["The exterior trade ", "The owner ", "An engineer ", "A licensed ", "A log builder"];
    let wrong: Vec<&str> = CONTENT
        .tasks
        .iter()
        .filter(|task| task.hold)
        .filter(|task| {
            let rest = task.todo.strip_prefix("Stop. ").unwrap_or(&task.todo);
            let first = rest.split_whitespace().next().unwrap_or_default();
            !STARTS.contains(&first) && !WHO.iter().any(|who| rest.starts_with(who))
        })
        .map(|task| task.id.as_str())
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// A sheet that is tight has only the first sentence of a stop: what must not be done, or when to call, stands in it.
#[test]
fn the_first_sentence_of_a_stop_stops() {
    const STOPS: [&str; 14] = [
        "no", "not", "nobody", "nothing", "never", "before", "until", "stop", "only", "call", "keep", "leave", "if",
        "have",
    ];
    let first = |text: &str| {
        let text = text.strip_prefix("Stop. ").unwrap_or(text);
        text.split(". ").next().unwrap_or_default().to_lowercase()
    };
    let weak: Vec<String> = CONTENT
        .tasks
        .iter()
        .filter(|task| task.hold)
        .map(|task| (task.id.to_string(), first(&task.todo)))
        .filter(|(_, text)| !text.split(|c: char| !c.is_alphabetic()).any(|word| STOPS.contains(&word)))
        .map(|(id, text)| format!("{id}: {text}"))
        .collect();
    assert!(weak.is_empty(), "{weak:#?}");
}
