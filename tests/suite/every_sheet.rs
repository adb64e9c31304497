//! Every sheet of every scenario and of every invented visit, in both languages and all formats: not what it says,
//! but what must hold whatever it says.

use crate::html::{self, Seen};
use crate::invented::invented;
use crate::support::{CONTENT, scenario_visit, scenarios, visit};
use std::collections::BTreeSet;
use std::sync::LazyLock;
use wallfoot::content::{Content, Sheet, words};
use wallfoot::flow::{Answer, Answers, Diagnostics, Node, Source, Tree};
use wallfoot::judge::{Assessment, Job};
use wallfoot::render::{Marks, TextStyle, html, markdown, text};
use wallfoot::sheet::{Cover, Document};
use wallfoot::units::{Length, Units};

fn load(lang: &str) -> Content {
    Content::load(&wallfoot::commands::sources(None, Some(lang)).unwrap(), Some(lang)).unwrap()
}

static SPANISH: LazyLock<Content> = LazyLock::new(|| load("es"));

/// All visits there are.
pub(crate) static VISITS: LazyLock<Vec<(String, Answers, Units)>> = LazyLock::new(|| {
    let demos = ["demo-back-patio", "demo-side-steps"].map(str::to_owned);
    let read = |name: String| {
        let (_, answers, units) = visit(&scenario_visit(&name));
        (name, answers, units)
    };
    scenarios().into_iter().chain(demos).map(read).chain(invented()).collect()
});

/// The documents of a visit by name.
fn documents(assessment: &Assessment<'_>, lang: &str) -> Vec<(&'static str, Document)> {
    let cover = Cover { date: "2026-06-02".to_owned(), lang: lang.to_owned() };
    vec![
        ("homeowner", assessment.sheet(Sheet::Homeowner, &cover)),
        ("landscaper", assessment.sheet(Sheet::Landscaper, &cover)),
        ("exterior", assessment.sheet(Sheet::Exterior, &cover)),
        ("agreement", assessment.agreement(&cover)),
        ("plan", Job::one(assessment).document(&cover, None, None)),
    ]
}

fn marks(content: &Content) -> Marks {
    Marks { stop: content.word("label.stop").to_owned(), ..Marks::default() }
}

/// What must not stand in a text that people read: a place that was not filled in, the key of a word, an id, a value
/// as the program keeps it.
fn slip(text: &str, allowed: &[&str]) -> Option<String> {
    static FAMILIES: LazyLock<Vec<String>> = LazyLock::new(|| {
        let heads = words::keys().filter_map(|key| key.split_once('.')).map(|(head, _)| format!("{head}."));
        let mut heads: Vec<String> = heads.collect();
        heads.sort();
        heads.dedup();
        heads
    });
    if text.contains(['{', '}']) || text.contains("Some(") || text.contains("NaN") {
        return Some(text.to_owned());
    }
    let word = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
    let tokens = text.split(|c| !word(c)).map(|token| token.trim_matches('.'));
    tokens.filter(|token| token.contains(['.', '_'])).find_map(|token| {
        let key = FAMILIES.iter().any(|family| token.starts_with(family.as_str()));
        let id = token.trim_matches('_').contains('_') && token.contains(char::is_alphabetic);
        ((key || id) && !allowed.contains(&token)).then(|| token.to_owned())
    })
}

/// What is named as its reader has to type it: figures in the plan, and a place along the wall in an example.
fn allowed(name: &str) -> Vec<&'static str> {
    let figures = CONTENT.plan_figures.iter().map(|figure| figure.id.as_str());
    let plan = name.ends_with(", plan");
    figures.filter(|_| plan).chain(["main_door"]).collect()
}

#[test]
fn slips_are_seen() {
    for bad in ["is {exit.above_finish} above", "see label.blank here", "the exit_below_mark", "Some(3)", "NaN ft"] {
        assert!(slip(bad, &[]).is_some(), "{bad}");
    }
    assert_eq!(slip("set roll_width", &["roll_width"]), None);
    for fine in ["Height: ______ in", "IRC R703.7.2.1, e.g. 2.5 in.", "Stop. label on the wall", "a/b (c)"] {
        assert_eq!(slip(fine, &[]), None, "{fine}");
    }
}

#[test]
fn every_sheet_in_english() {
    check_sheets(&CONTENT, "en", 80);
}

/// A label beside the drawing stands out over the edge where its Spanish words are long: by two columns today.
#[test]
fn every_sheet_in_spanish() {
    check_sheets(&SPANISH, "es", 82);
}

fn check_sheets(content: &Content, lang: &str, columns: usize) {
    for (name, answers, units) in &*VISITS {
        check_visit(name, &content.assess(answers, *units), lang, columns);
    }
}

/// What must hold of every sheet of a visit, in all formats.
pub(crate) fn check_visit(name: &str, assessment: &Assessment<'_>, lang: &str, columns: usize) {
    let content = assessment.content;
    let marks = marks(content);
    let label = content.word(&format!("verdict.{}", assessment.settled.verdict.word())).to_owned();
    for (sheet, document) in documents(assessment, lang) {
        let name = format!("{name}, {sheet}");
        // the agreement is a list to sign, and carries the verdict in a line
        let verdict = Some(label.as_str()).filter(|_| sheet != "agreement");
        check_texts(&name, &document, &marks, verdict, columns);
        check_page(&name, &html(&document, &marks), verdict, lang);
    }
}

fn check_texts(name: &str, document: &Document, marks: &Marks, verdict: Option<&str>, columns: usize) {
    let style = TextStyle { width: 80, bold: false, plain: false };
    let drawn = text(document, marks, style);
    let plain = text(document, marks, TextStyle { plain: true, ..style });
    for page in [&drawn, &plain, &markdown(document, marks)] {
        assert_eq!(slip(page, &allowed(name)), None, "{name}");
        assert!(page.len() > 600, "{name}: {page}");
        // text shows a verdict in capitals
        let says = verdict.is_none_or(|verdict| page.to_uppercase().contains(&verdict.to_uppercase()));
        assert!(says, "{name}: no {verdict:?} in {page}");
    }
    // a line to write on is as long as it is
    for line in drawn.lines().filter(|line| !line.ends_with("____")) {
        assert!(unicode_width::UnicodeWidthStr::width(line) <= columns, "{name}: {line}");
    }
}

fn check_page(name: &str, page: &str, verdict: Option<&str>, lang: &str) {
    let seen = html::read(page).unwrap_or_else(|wrong| panic!("{name}: {wrong}"));
    let texts = html::texts(&seen);
    for text in &texts {
        assert_eq!(slip(text, &allowed(name)), None, "{name}");
    }
    assert!(verdict.is_none_or(|verdict| texts.contains(&verdict)), "{name}: no {verdict:?}");
    let tongue = ("lang".to_owned(), lang.to_owned());
    assert!(matches!(&seen[0], Seen::Opened { tag, attributes } if tag == "html" && attributes.contains(&tongue)));
    // a heading has something below it
    let opened = seen.iter().filter_map(|part| match part {
        Seen::Opened { tag, .. } => Some(tag.as_str()),
        Seen::Text(_) => None,
    });
    for pair in opened.collect::<Vec<_>>().windows(2) {
        assert!(pair[0] != "h2" || !["h2", "footer"].contains(&pair[1]), "{name}: a heading with nothing below");
    }
}

#[test]
fn every_report_is_filled_in() {
    for content in [&*CONTENT, &*SPANISH] {
        for (name, answers, units) in &*VISITS {
            let assessment = content.assess(answers, *units);
            let report = serde_json::to_value(assessment.report()).unwrap();
            assert_eq!(report["verdict"]["id"], assessment.settled.verdict.word(), "{name}");
            let plan = serde_json::to_value(Job::one(&assessment).json(None, None)).unwrap();
            let pictures = serde_json::to_value(assessment.pictures_in_words()).unwrap();
            for value in [&report, &plan, &pictures] {
                each_value(value, &mut |value| {
                    let text = value.as_str().unwrap_or_default();
                    assert!(!text.contains(['{', '}']) && !words::is_key(text), "{name}: {text}");
                });
            }
        }
    }
}

/// What stands around every text that is translated, to see what is not.
const FROM: char = '⟦';

/// Spanish with every translated text between marks; what is filled in stands outside of them.
fn marked_spanish() -> Content {
    let sources = wallfoot::commands::sources(None, Some("es")).unwrap();
    let mut translated = BTreeSet::new();
    each_entry(&sources, &mut |key, _| {
        translated.insert(key.to_owned());
    });
    let mut content = load("es");
    content.each_text(&mut |key, text| {
        if translated.contains(key) {
            // a text is cut into lines and sentences: every word is marked
            let words = text.split_whitespace();
            let marked = words.map(|word| if word.contains('{') { word.to_owned() } else { format!("{FROM}{word}") });
            *text = marked.collect::<Vec<_>>().join(" ").into();
        }
    });
    content
}

/// Every text in the maps of some files, with its key.
pub(crate) fn each_entry(sources: &[Source], visit: &mut dyn FnMut(&str, &str)) {
    fn walk(node: &Node<'_>, visit: &mut dyn FnMut(&str, &str)) {
        match &node.tree {
            Tree::Map(entries) => {
                for (key, value) in entries {
                    if let Some(text) = value.text() {
                        visit(&key.text, text);
                    }
                    walk(value, visit);
                }
            }
            Tree::List(list) => list.iter().for_each(|node| walk(node, visit)),
            Tree::Scalar { .. } => {}
        }
    }
    let mut diags = Diagnostics::default();
    for (number, source) in sources.iter().enumerate() {
        walk(&Node::read(source, u32::try_from(number).unwrap(), &mut diags).unwrap(), visit);
    }
}

/// The words outside of the marks, without what nobody translates: where a figure comes from, and what was typed
/// in the visit.
fn outside_marks(page: &str, untranslatable: &[String]) -> Vec<String> {
    let seen = html::read(page).unwrap();
    let mut outside = Vec::new();
    for text in html::texts(&seen) {
        let mut bare = text.to_owned();
        for known in untranslatable {
            bare = bare.replace(known, "");
        }
        let unmarked = bare.split_whitespace().filter(|word| !word.contains(FROM));
        // units have two letters at most
        let words = unmarked.flat_map(|word| word.split(|c: char| !c.is_alphabetic()));
        outside.extend(words.filter(|word| word.chars().count() > 2).map(str::to_owned));
    }
    outside
}

/// The crew reads Spanish: no English stands on its sheet but the names of sources.
#[test]
fn the_crew_reads_nothing_untranslated() {
    let content = marked_spanish();
    let mut origins = BTreeSet::new();
    each_entry(&wallfoot::commands::sources(None, None).unwrap(), &mut |key, text| {
        if ["source", "edition"].contains(&key) {
            origins.insert(text.to_owned());
        }
    });
    // longer ones first: one may stand in another
    let mut origins: Vec<String> = origins.into_iter().collect();
    origins.sort_by_key(|text| std::cmp::Reverse(text.len()));
    let cover = Cover { date: String::new(), lang: "es".to_owned() };
    let mut holes = BTreeSet::new();
    for (_, answers, units) in &*VISITS {
        let typed = answers.iter().filter_map(|(_, answer)| match answer {
            Answer::Text(text) => Some(text.clone()),
            _ => None,
        });
        let typed: Vec<String> = typed.collect();
        let untranslatable: Vec<String> = typed.iter().chain(&origins).cloned().collect();
        let assessment = content.assess(answers, *units);
        let page = html(&assessment.sheet(Sheet::Landscaper, &cover), &marks(&content));
        // a typed text may run over two lines of a drawing
        let words = typed.join(" ");
        let words: BTreeSet<&str> = words.split(|c: char| !c.is_alphabetic()).collect();
        holes.extend(outside_marks(&page, &untranslatable).into_iter().filter(|word| !words.contains(word.as_str())));
    }
    // a slope is shown in English whatever the language: `Slope::show` knows no words
    assert_eq!(holes.into_iter().collect::<Vec<_>>(), ["per"]);
}

/// Lengths in a text, as they stand there. What is so much in a foot or a metre is a slope.
fn lengths(text: &str, units: Units) -> Vec<String> {
    const UNITS: [&str; 4] = ["in", "ft", "mm", "m"];
    let is_number = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit() || c == '-')
            && word.chars().all(|c| c.is_ascii_digit() || "/.-".contains(c))
    };
    // a bracket ends it as a comma does
    let spaced = text.replace(['(', '['], ", ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut found = Vec::new();
    let mut run: Vec<&str> = Vec::new();
    for (i, word) in words.iter().enumerate() {
        let bare = word.trim_end_matches(|c: char| !c.is_alphanumeric());
        if is_number(bare) || UNITS.contains(&bare) && run.last().is_some_and(|last| is_number(last)) {
            run.push(bare);
        } else {
            run.clear();
        }
        let next = words.get(i + 1).copied().unwrap_or_default();
        let unit_next = is_number(bare) && UNITS.contains(&next.trim_end_matches(|c: char| !c.is_alphanumeric()));
        // a comma ends it, and so does any other word
        if bare != *word || !is_number(next) && !unit_next {
            let whole = (0..run.len()).map(|from| run[from..].join(" "));
            let mut lengths = whole.filter(|text| UNITS.iter().any(|unit| text.ends_with(&format!(" {unit}"))));
            found.extend(lengths.find(|text| Length::parse(text, units).is_ok()).filter(|_| next != "per"));
            run.clear();
        }
    }
    found
}

/// Lengths that sheets show and the report does not hold, by what stands around them. The list may get shorter.
const NOT_IN_THE_REPORT: [&str; 0] = [];

/// A program that reads the report needs no sheet: every length on a sheet stands in it, as a number or in a text. What
/// is written in the content itself is no number of the visit.
#[test]
fn every_length_on_a_sheet_is_in_the_report() {
    // what stands between two places that are filled in, where it holds a length
    let mut written: Vec<String> = Vec::new();
    load("en").each_text(&mut |_, text| {
        let parts = text.split('{').map(|part| part.split_once('}').map_or(part, |(_, after)| after));
        let with_lengths =
            parts.filter(|part| [Units::Inch, Units::Metric].iter().any(|u| !lengths(part, *u).is_empty()));
        // where there is little room only the first sentences are told
        let sentences = |part: &str| part.split_inclusive(". ").map(|s| s.trim().to_owned()).collect::<Vec<_>>();
        written.extend(with_lengths.flat_map(|part| std::iter::once(part.to_owned()).chain(sentences(part))));
    });
    let mut gaps = BTreeSet::new();
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        let report = serde_json::to_value(assessment.report()).unwrap();
        let plan = serde_json::to_value(Job::one(&assessment).json(None, None)).unwrap();
        let mut known: BTreeSet<String> = BTreeSet::new();
        let pictures = serde_json::to_value(assessment.pictures_in_words()).unwrap();
        for value in [&report, &plan, &pictures] {
            each_value(value, &mut |value| known.extend(shown(value, *units)));
        }
        for (sheet, document) in documents(&assessment, "en") {
            let page = html(&document, &marks(&CONTENT));
            for text in html::texts(&html::read(&page).unwrap()) {
                let text = &text.replace('\u{a0}', " ");
                for length in lengths(text, *units).iter().filter(|length| !known.contains(*length)) {
                    if written.iter().any(|part| text.contains(part) && part.contains(length.as_str())) {
                        continue;
                    }
                    let gap = NOT_IN_THE_REPORT.iter().find(|gap| text.contains(**gap));
                    assert!(gap.is_some(), "{name}, {sheet}: {length} is not in the report: {text}");
                    gaps.extend(gap);
                }
            }
        }
    }
    assert_eq!(gaps, NOT_IN_THE_REPORT.iter().collect(), "take off the list what is in the report now");
}

/// How a value of the report stands on a sheet, if it is a length, an amount or a text with lengths in it.
fn shown(value: &serde_json::Value, units: Units) -> Vec<String> {
    if let Some(text) = value.as_str() {
        return lengths(text, units);
    }
    let number = |key: &str| value.get(key).and_then(serde_json::Value::as_f64);
    if let (Some(n), Some(unit)) = (number("amount"), value["unit"].as_str()) {
        return [0, 1, 2].map(|digits| format!("{n:.digits$} {unit}")).to_vec();
    }
    #[allow(clippy::cast_possible_truncation)] // lengths of a house
    let length = number("mm").map(|mm| Length::from_steps((mm * 320.0).round() as i64));
    // below is said for what is less than nothing above
    length.map_or_else(Vec::new, |length| vec![length.show(units), (-length).show(units)])
}

fn each_value<'v>(value: &'v serde_json::Value, visit: &mut dyn FnMut(&'v serde_json::Value)) {
    visit(value);
    match value {
        serde_json::Value::Array(list) => list.iter().for_each(|v| each_value(v, visit)),
        serde_json::Value::Object(map) => map.values().for_each(|v| each_value(v, visit)),
        _ => {}
    }
}

#[test]
fn lengths_are_found_in_texts() {
    for (text, found) in [
        ("is 7 1/8 in below, or 2 ft 6 in.", "7 1/8 in|2 ft 6 in"),
        ("20 ft by 10 ft, 4 in* thick", "20 ft|10 ft|4 in"),
        ("a fall of 2 % (1/4 in per ft) over 10 ft", "10 ft"),
        ("3 risers of 7 in in 2026", "7 in"),
        ("-8 in to -5 in (203 mm)", "-8 in|-5 in|203 mm"),
    ] {
        assert_eq!(lengths(text, Units::Inch).join("|"), found, "{text}");
    }
}
