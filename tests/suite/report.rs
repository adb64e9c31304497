//! The report for programs: its schema, and every number of the sheets.

use crate::every_sheet::VISITS;
use crate::html;
use crate::support::{CONTENT, run, scenario_visit, top};
use jsonschema::Validator;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use wallfoot::content::Sheet;
use wallfoot::judge::{Assessment, Job};
use wallfoot::render::{Marks, html as page};
use wallfoot::report::REPORT_SCHEMA;
use wallfoot::sheet::Cover;
use wallfoot::units::{Length, Units};

/// The schema as it is handed out: what it does not know is allowed, since new fields may come.
fn schema() -> Value {
    serde_json::from_str(&std::fs::read_to_string(top().join("docs/report.schema.json")).unwrap()).unwrap()
}

/// The schema for the program that it comes with: every field is in it.
fn strict() -> Value {
    fn close(value: &mut Value) {
        match value {
            Value::Object(map) => {
                if map.get("type") == Some(&json!("object")) && map.contains_key("properties") {
                    map.insert("additionalProperties".to_owned(), json!(false));
                }
                map.values_mut().for_each(close);
            }
            Value::Array(list) => list.iter_mut().for_each(close),
            _ => {}
        }
    }
    let mut schema = schema();
    close(&mut schema);
    schema
}

/// A validator for one kind of report, so that a mistake is told with its place.
fn validator(schema: &Value, kind: &str) -> Validator {
    let mut schema = schema.clone();
    let map = schema.as_object_mut().unwrap();
    map.remove("anyOf");
    map.insert("$ref".to_owned(), json!(format!("#/$defs/{kind}")));
    jsonschema::validator_for(&schema).unwrap()
}

fn mistakes(validator: &Validator, report: &Value) -> String {
    let told = validator.iter_errors(report).map(|error| format!("{}: {error:.300}\n", error.instance_path()));
    told.take(5).collect()
}

/// The report of an assessment as `advise --as json` prints it.
fn whole(assessment: &Assessment<'_>) -> Value {
    let mut report = serde_json::to_value(assessment.report()).unwrap();
    report["date"] = json!("2026-06-02");
    report["pictures"] = serde_json::to_value(assessment.pictures_in_words()).unwrap();
    report["plan"] = serde_json::to_value(Job::one(assessment).json(None, None)).unwrap();
    report
}

#[test]
fn every_report_is_as_the_schema_says() {
    let strict = validator(&strict(), "Report");
    let open = jsonschema::validator_for(&schema()).unwrap();
    for (name, answers, units) in &*VISITS {
        let report = whole(&CONTENT.assess(answers, *units));
        assert_eq!(mistakes(&strict, &report), "", "{name}");
        assert!(open.is_valid(&report), "{name}");
        assert_eq!(report["wallfoot_report"], REPORT_SCHEMA);
    }
}

#[test]
fn the_program_prints_what_the_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(scenario_visit("demo-back-patio"), folder.path().join("v.yaml")).unwrap();
    let visit = std::fs::read_to_string(folder.path().join("v.yaml")).unwrap();
    let several = format!("{visit}runs:\n  North return:\n    answers:\n      joint: open_gap\n");
    std::fs::write(folder.path().join("w.yaml"), several).unwrap();
    let book = top().join("docs/prices-example.yaml");
    let weather = top().join("tests/data/seattle-weather.csv");
    let plan = ["plan", "w.yaml", "--as", "json", "--prices", book.to_str().unwrap(), "--weather"];
    let strict = strict();
    for (args, kind) in [
        (vec!["advise", "v.yaml", "--as", "json"], "Report"),
        (vec!["advise", "w.yaml", "--as", "json"], "Report"),
        ([&plan[..], &[weather.to_str().unwrap(), "--start", "2014-05-05"]].concat(), "PlanReport"),
    ] {
        let output = run(folder.path(), &args);
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(mistakes(&validator(&strict, kind), &report), "", "{args:?}");
        if kind == "Report" {
            assert_eq!(report["date"], "2026-04-12", "{args:?}");
        }
    }
}

/// The schema sees what is wrong.
#[test]
fn a_wrong_report_is_seen() {
    let strict = validator(&strict(), "Report");
    let (_, answers, units) = &VISITS[0];
    let report = whole(&CONTENT.assess(answers, *units));
    for (path, value) in [
        ("/wallfoot_report", json!(REPORT_SCHEMA + 1)),
        ("/verdict/id", json!("fine")),
        ("/heights", Value::Null),
        ("/limits/0/status", json!("good")),
        ("/limits/0/bound/inches", json!("4")),
        ("/plan/more", json!(1)),
    ] {
        let mut wrong = report.clone();
        let (parent, key) = path.rsplit_once('/').unwrap();
        wrong.pointer_mut(parent).unwrap()[key] = value;
        assert_ne!(mistakes(&strict, &wrong), "", "{path}");
    }
}

/// The documentation names each field of the report.
#[test]
fn the_documentation_knows_every_field() {
    let told = std::fs::read_to_string(top().join("docs/json.md")).unwrap();
    for kind in ["Report", "Plan"] {
        let fields = schema()["$defs"][kind]["properties"].as_object().unwrap().clone();
        for field in fields.keys() {
            assert!(told.contains(&format!("`{field}`")), "{kind} has `{field}`, and docs/json.md does not");
        }
    }
}

/// Numbers on sheets that are not in the report, by what stands around them, and why.
const NO_NUMBERS_OF_THE_VISIT: [(&str, &str); 1] =
    [("see the background sheet", "how much of something stands on another sheet")];

/// Numbers in a text as they are printed: whole ones, decimals, fractions.
fn numbers(text: &str) -> Vec<&str> {
    let part = |c: char| c.is_ascii_digit() || ".,/".contains(c);
    let words = text.split(|c: char| !part(c)).map(|word| word.trim_matches(['.', ',', '/']));
    words.filter(|word| word.starts_with(|c: char| c.is_ascii_digit())).collect()
}

/// Numbers that stand alone in a picture: those of its ruler.
fn rulers(seen: &[html::Seen]) -> BTreeSet<&str> {
    let alone = |text: &str| text.trim_start_matches(['-', '−']).bytes().all(|b| b.is_ascii_digit());
    let pairs = seen.windows(2).filter_map(|pair| match pair {
        [html::Seen::Opened { tag, .. }, html::Seen::Text(text)] if tag == "text" && alone(text) => Some(text.as_str()),
        _ => None,
    });
    pairs.collect()
}

/// Every way in which a sheet may print a number of the report.
fn known(value: &Value, units: Units, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            #[allow(clippy::cast_possible_truncation)] // lengths of a house
            let steps = |mm: f64| Length::from_steps((mm * 320.0).round() as i64);
            if let Some(mm) = map.get("mm").and_then(Value::as_f64) {
                into.extend(numbers(&steps(mm).show(units)).into_iter().map(str::to_owned));
            }
            let (per, factor) = if units == Units::Inch { ("inches_per_foot", 25.4) } else { ("mm_per_metre", 1.0) };
            if let Some(fall) = map.get(per).and_then(Value::as_f64) {
                into.extend(numbers(&steps(fall * factor).show(units)).into_iter().map(str::to_owned));
            }
            map.values().for_each(|value| known(value, units, into));
        }
        Value::Array(list) => list.iter().for_each(|value| known(value, units, into)),
        Value::Number(number) => {
            let number = number.as_f64().unwrap_or_default().abs();
            // half a step is rounded up on paper, and to even by `format!`
            for shown in [number, number + 1e-9] {
                into.extend([0, 1, 2, 3].map(|digits| {
                    let text = format!("{shown:.digits$}");
                    let bare = text.trim_end_matches('0').trim_end_matches('.');
                    if digits == 0 { text.clone() } else { bare.to_owned() }
                }));
                into.extend([0, 1, 2].map(|digits| format!("{shown:.digits$}")));
                // shares are printed in per cent
                into.insert(format!("{:.0}", shown * 100.0));
            }
        }
        Value::String(text) => into.extend(numbers(text).into_iter().map(str::to_owned)),
        Value::Bool(_) | Value::Null => {}
    }
}

/// A program that reads the report needs no sheet: every number on the sheets of the homeowner, the crew and the exterior
/// trade is in it, in some unit, or is written in the content.
#[test]
fn every_number_on_a_sheet_is_in_the_report() {
    let mut written: Vec<String> = Vec::new();
    let sources = wallfoot::commands::sources(None, None).unwrap();
    let mut content = wallfoot::content::Content::load(&sources, None).unwrap();
    content.each_text(&mut |_, text| {
        let parts = text.split('{').map(|part| part.split_once('}').map_or(part, |(_, after)| after));
        written.extend(parts.filter(|part| !numbers(part).is_empty()).map(str::to_owned));
    });
    let cover = Cover { date: "2026-06-02".to_owned(), lang: "en".to_owned() };
    let marks = Marks { stop: CONTENT.word("label.stop").to_owned(), ..Marks::default() };
    let (mut looked, mut excused) = (0, BTreeSet::new());
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        let mut there = BTreeSet::new();
        known(&whole(&assessment), *units, &mut there);
        for sheet in [Sheet::Homeowner, Sheet::Landscaper, Sheet::Exterior] {
            let printed = page(&assessment.sheet(sheet, &cover), &marks);
            let seen = html::read(&printed).unwrap();
            let rulers = rulers(&seen);
            for text in html::texts(&seen).into_iter().filter(|text| !rulers.contains(text)) {
                for number in numbers(text) {
                    looked += 1;
                    if there.contains(number)
                        || written.iter().any(|part| text.contains(part) && numbers(part).contains(&number))
                    {
                        continue;
                    }
                    let excuse = NO_NUMBERS_OF_THE_VISIT.iter().find(|(around, _)| text.contains(around));
                    assert!(excuse.is_some(), "{name}, {sheet:?}: {number} is not in the report: {text}");
                    excused.extend(excuse.map(|(around, _)| *around));
                }
            }
        }
    }
    assert!(looked > 10_000, "{looked}");
    assert_eq!(excused.len(), NO_NUMBERS_OF_THE_VISIT.len(), "take off the list what is in the report now");
}
