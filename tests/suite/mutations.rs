//! The built-in content with a change in one file, loaded in memory: does the loader notice?

use crate::must_hold::SOUND;
use crate::support::{CONTENT, with};
use std::sync::LazyLock;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::Source;
use wallfoot::names::{Named, Needed, QuestionId};
use wallfoot::units::Units;

/// The built-in files, translations included.
static BUILT_IN: LazyLock<Vec<Source>> = LazyLock::new(|| wallfoot::commands::sources(None, Some("*")).unwrap());

/// Loads the built-in content with the text of one file changed: the content, or the report of what is wrong with it.
pub(crate) fn with_change(file: &str, change: impl Fn(&str) -> String) -> Result<Content, String> {
    assert!(BUILT_IN.iter().any(|source| source.name == file), "there is no file {file}");
    with_changes(|name, text| (name == file).then(|| change(text)))
}

/// The same with a change in any file; `change` gives the new text of those that it changes.
///
/// A change that changes nothing stops the test, since it would show nothing.
pub(crate) fn with_changes(change: impl Fn(&str, &str) -> Option<String>) -> Result<Content, String> {
    let mut changed = false;
    let source = |source: &Source| match change(&source.name, &source.text).filter(|text| *text != source.text) {
        Some(text) => {
            changed = true;
            // the tree that was read is that of the text before
            Source::new(source.name.clone(), text)
        }
        None => source.clone(),
    };
    let sources: Vec<Source> = BUILT_IN.iter().map(source).collect();
    assert!(changed, "nothing is changed");
    Content::load(&sources, None).map_err(|report| report.to_string())
}

/// The file that defines a question, and its text with the question under another name there.
fn renamed(question: &str) -> (&'static str, String) {
    let flows = BUILT_IN.iter().filter(|source| {
        source.name.starts_with("flows/") || ["claddings.yaml", "features.yaml"].contains(&source.name.as_str())
    });
    let mut files = flows.filter_map(|source| Some((source.name.as_str(), renamed_in(&source.text, question)?)));
    let file = files.next().unwrap_or_else(|| panic!("no file defines {question}"));
    assert!(files.next().is_none(), "two files define {question}");
    file
}

/// A text with the definition of a question under another name; nothing if it does not define it.
fn renamed_in(text: &str, question: &str) -> Option<String> {
    let head = format!("- id: {question}\n");
    let defines = |at: &usize| {
        // a choice of the same name has a label there
        text[..*at].ends_with([' ', '\n']) && text[at + head.len()..].trim_start().starts_with("short:")
    };
    let at = text.match_indices(&head).map(|(at, _)| at).find(defines)?;
    Some(format!("{}- id: {question}_renamed\n{}", &text[..at], &text[at + head.len()..]))
}

/// A text with another name wherever this one stands as a whole word.
fn renamed_everywhere(text: &str, name: &str) -> String {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    let mut renamed = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(name) {
        let (before, after) = (&rest[..at], &rest[at + name.len()..]);
        renamed.push_str(before);
        renamed.push_str(name);
        if !renamed[..renamed.len() - name.len()].ends_with(part) && !after.starts_with(part) {
            renamed.push_str("_renamed");
        }
        rest = after;
    }
    renamed + rest
}

/// The helper itself: a harmless change loads, a harmful one is reported with its place.
#[test]
fn a_change_is_loaded_or_reported() {
    let content = with_change("words.yaml", |text| text.replace("label.stop: STOP", "label.stop: HALT")).unwrap();
    assert_eq!(content.word("label.stop"), "HALT");
    let report =
        with_change("limits.yaml", |text| text.replacen("measure: exit.above_finish", "measure: exit.over", 1));
    let report = report.unwrap_err();
    assert!(report.contains("limits.yaml") && report.contains("exit.over"), "{report}");
    let nothing = std::panic::catch_unwind(|| with_change("words.yaml", str::to_owned).is_ok());
    assert!(nothing.is_err(), "a change that changes nothing must not pass for a change");
    let nowhere = std::panic::catch_unwind(|| with_change("wrods.yaml", str::to_owned).is_ok());
    assert!(nowhere.is_err(), "a file that is not there must not pass for one");
    assert_eq!(
        renamed_everywhere("door: other_door, door door.", "door"),
        "door_renamed: other_door, door_renamed door_renamed."
    );
}

/// The text of a file in which the name of a row stands under another name; nothing if it defines no such row.
fn row_renamed(text: &str, key: &str, name: &str) -> Option<String> {
    let heads = ["{ ", "- ", "  "].map(|before| format!("{before}{key}: {name}"));
    let at = heads.iter().find_map(|head| {
        let ends = |at: &usize| text[at + head.len()..].starts_with([',', '\n', ' ']);
        text.match_indices(head).map(|(at, _)| at + head.len()).find(|end| ends(&(end - head.len())))
    })?;
    Some(format!("{}_renamed{}", &text[..at], &text[at..]))
}

/// Which of these load; none should.
fn those_that_load<T: std::fmt::Debug>(
    names: impl Iterator<Item = T>,
    load: impl Fn(&T) -> Result<Content, String>,
) -> Vec<T> {
    names.filter(|name| load(name).is_ok()).collect()
}

/// What the program computes with cannot be lost by another name in its definition.
#[test]
fn what_the_program_needs_cannot_be_renamed() {
    let loads = those_that_load(Needed::all(), |needed| {
        let (key, file) = match needed {
            Needed::Question(id) => {
                let (file, text) = renamed(id.text());
                return with_change(file, |_| text.clone());
            }
            Needed::Defined(_) => ("name", "content.yaml"),
            Needed::Figure(_) => ("id", "plan.yaml"),
            Needed::Material(_) => ("material", "layers.yaml"),
            Needed::Load(_) | Needed::Runoff(_) | Needed::Usual(_) => ("id", "water.yaml"),
        };
        // a material may stand in several layers
        with_change(file, |text| {
            let mut text = row_renamed(text, key, needed.words().1).unwrap_or_else(|| panic!("{needed:?}"));
            while let Some(more) = row_renamed(&text, key, needed.words().1) {
                text = more;
            }
            text
        })
    });
    assert_eq!(loads, [], "these load under another name");
}

/// Nor can it if everything in the content that speaks of it follows: then only the program still needs the old name.
#[test]
fn what_the_program_needs_cannot_be_renamed_everywhere() {
    let loads = those_that_load(Needed::all(), |needed| {
        with_changes(|_, text| Some(renamed_everywhere(text, needed.words().1)))
    });
    assert_eq!(loads, [], "these load under another name");
}

/// A choice that the program tells apart cannot be renamed either.
#[test]
fn a_choice_that_the_program_needs_cannot_be_renamed() {
    let choices = QuestionId::ALL.iter().filter_map(|id| Some((id.text(), id.choices()?.0)));
    let choices = choices.flat_map(|(id, choices)| choices.iter().map(move |choice| (id, *choice)));
    let loads = those_that_load(choices, |(question, choice)| {
        // in the question itself and in everything that speaks of it
        with_changes(|_, text| Some(renamed_everywhere(text, choice)).filter(|t| t.contains(question)))
    });
    assert_eq!(loads, [], "these load under another name");
}

/// A missing name is told once, with a place and with what to do.
#[test]
fn a_missing_name_has_a_place() {
    let report = with_change("flows/30-heights.yaml", |text| {
        text.replace("- id: finish_below_mark\n", "- id: finish_below_mrk\n")
    });
    let report = report.unwrap_err();
    for part in ["`finish_below_mark`", "flows/30-heights.yaml:", "is it this one?"] {
        assert!(report.contains(part), "{report}");
    }
    let report = with_change("plan.yaml", |text| text.replace("id: strip_height,", "id: strip_heigth,")).unwrap_err();
    assert!(report.contains("(figure: strip_height)") && report.contains("plan.yaml:"), "{report}");
}

/// What `prove` finds in content that loads.
fn gaps(content: &Content) -> String {
    let found = wallfoot::prove::gaps(content).into_result(&BUILT_IN);
    found.map_or_else(|report| report.to_string(), |()| String::new())
}

/// The shipped content has no gap.
#[test]
fn the_shipped_content_has_no_gap() {
    assert_eq!(gaps(&with_changes(|name, text| (name == "limits.yaml").then(|| format!("{text}\n"))).unwrap()), "");
}

/// A region whose limits are taken away is found, and every visit there is at least "find out first".
#[test]
fn a_region_without_limits_is_found() {
    let regions = &CONTENT.flow.questions[CONTENT.flow.question("region").unwrap()].choices;
    for region in regions {
        let other = if region.id == "us" { "canada" } else { "us" };
        let content = with_change("limits.yaml", |text| {
            let line = |line: &str| {
                let moved = renamed_everywhere(line, &region.id).replace(&format!("{}_renamed", region.id), other);
                if line.trim_start().starts_with("regions:") { moved } else { line.to_owned() }
            };
            text.lines().map(|l| line(l) + "\n").collect()
        })
        .unwrap();
        let found = gaps(&content);
        assert!(found.contains(&format!("no limit names the region `{}`", region.id)), "{}: {found}", region.id);
        let answers = with(SOUND, &format!("region: {}", region.id));
        let assessment = content.assess(&answers, Units::Inch);
        assert!(assessment.settled.verdict >= Verdict::FindOutFirst, "{}", region.id);
        assert!(assessment.held().any(|f| f.id == "region_without_limits"), "{}", region.id);
    }
}

/// A region that is added without limits is found too, and a visit without a region has none.
#[test]
fn a_new_region_is_found_out_first() {
    let content = with_change("flows/10-feature.yaml", |text| {
        text.replace("      - id: germany\n", "      - id: atlantis\n        label: Atlantis\n      - id: germany\n")
    });
    let content = content.unwrap();
    assert!(gaps(&content).contains("no limit names the region `atlantis`"));
    let region = content.flow.question("region").unwrap();
    let mut answers = with(SOUND, "");
    answers.set(region, content.flow.questions[region].read_answer("atlantis", Units::Inch).unwrap());
    assert_eq!(content.assess(&answers, Units::Inch).settled.verdict, Verdict::FindOutFirst);
    answers.clear(region);
    assert_eq!(content.assess(&answers, Units::Inch).settled.verdict, Verdict::FindOutFirst);
}

/// A cladding whose rules are taken away is found, and so is one whose held water no rule tells.
#[test]
fn a_cladding_without_rules_is_found() {
    let claddings = CONTENT.flow.question("cladding").unwrap();
    for (at, cladding) in CONTENT.flow.questions[claddings].choices.iter().enumerate() {
        let mut content = with_change("limits.yaml", |text| format!("{text}\n")).unwrap();
        content.forget_rules_of(at);
        let found = gaps(&content);
        let told = format!("no rule that carries a verdict speaks of `{}`", cladding.id);
        assert!(found.contains(&told), "{}: {found}", cladding.id);
        let answers = with(SOUND, &format!("cladding: {}", cladding.id));
        let assessment = content.assess(&answers, Units::Inch);
        assert!(assessment.settled.verdict >= Verdict::FindOutFirst, "{}", cladding.id);
    }
    // the findings on a covered exit do not say any more that water is held
    let content = with_change("advice/findings.yaml", |text| text.replace("    tells_held: true\n", "")).unwrap();
    let found = gaps(&content);
    for cladding in &CONTENT.flow.questions[claddings].choices {
        assert!(found.contains(&format!("covers the exit of `{}`", cladding.id)), "{}: {found}", cladding.id);
    }
    let answers = with(SOUND, "finish_below_mark: 3 in");
    let covered = content.assess(&answers, Units::Inch);
    assert!(covered.held().any(|f| f.id == "trace_untold"));
}

/// A cladding is refused if what decides where its water goes is never asked for it.
#[test]
fn what_a_cladding_hangs_on_is_asked() {
    let cases = [
        ("coat", "wood_frame", "stucco_backing", "weep_screed"),
        ("foam", "wood_frame", "backing", "eifs_drained"),
        ("cavity", "wood_frame", "backing", "veneer_weeps"),
        ("laps", "wood_frame, block", "roof_edge", "backing"),
    ];
    for (drains, on, then, missing) in cases {
        let row = format!(
            "  - id: glass\n    label: Glass\n    drains: {drains}\n    carried_by: [{on}]\n    exit: stucco_edge\n    drawn: coat\n    then: [{then}]\n"
        );
        let said = with_change("claddings.yaml", |text| text.replace("claddings:\n", &format!("claddings:\n{row}")));
        let said = said.err().unwrap_or_default();
        assert!(said.contains(&format!("`{missing}` is never asked for `glass`")), "{drains}: {said}");
    }
}

/// A cladding that the content gets as a row and that no rule knows by its name is advised on by its family.
#[test]
fn a_new_cladding_is_no_siding_by_silence() {
    let row = "  - id: glass\n    label: Glass\n    drains: coat\n    carried_by: [wood_frame]\n    exit: stucco_edge\n    drawn: coat\n    then: [stucco_backing, weep_screed]\n";
    let content =
        with_change("claddings.yaml", |text| text.replace("claddings:\n", &format!("claddings:\n{row}"))).unwrap();
    assert_eq!(gaps(&content), "");
    let question = content.flow.question("cladding").unwrap();
    let mut answers = with(SOUND, "finish_below_mark: 3 in");
    answers.set(question, content.flow.questions[question].read_answer("glass", Units::Inch).unwrap());
    let covered = content.assess(&answers, Units::Inch);
    assert!(covered.settled.verdict >= Verdict::FindOutFirst, "{:?}", covered.settled);
}

/// Each guard stands there once: without it, the program could not say what it sees.
#[test]
fn a_guard_cannot_be_left_out() {
    for guard in ["untold_trace", "no_limits", "no_rules"] {
        let change = |text: &str| {
            let line = format!("    guard: {guard}\n");
            text.replace(&line, "    when: { region: us }\n")
        };
        let report = with_change("advice/findings.yaml", change).unwrap_err();
        assert!(report.contains(&format!("one finding with `guard: {guard}`, and there are 0")), "{report}");
        let milder = |text: &str| {
            text.replace(
                &format!("    guard: {guard}\n    verdict: find_out_first\n"),
                &format!("    guard: {guard}\n    verdict: change_plan\n"),
            )
        };
        assert!(with_change("advice/findings.yaml", milder).is_err(), "{guard}");
    }
}

/// A bound of a limit and a figure of a condition are read by one reader: the same writing means the same.
#[test]
fn one_reader_of_numbers() {
    let bound = |bound: &str| {
        let new = format!(
            "    at_least: {bound}\n    when: {{ cladding: vinyl, exit.above_finish: {{ below: {bound} }} }}\n"
        );
        let content = with_change("limits.yaml", |text| {
            let row =
                format!("  - id: tried\n    what: Tried\n    measure: exit.above_finish\n{new}    source: tried\n    basis: practice\n");
            text.replacen("limits:\n", &format!("limits:\n{row}"), 1)
        })
        .unwrap_or_else(|report| panic!("{bound}: {report}"));
        let limit = content.limits.iter().find(|l| l.id == "tried").unwrap();
        assert_eq!(limit.when.numbers().map(|(_, n)| n).collect::<Vec<_>>(), [limit.bound], "{bound}");
        limit.bound
    };
    assert_eq!(bound("3 in"), bound("'3\"'"));
    assert_eq!(bound("76.2 mm"), bound("3 in"));
    let risers = |most: &str| {
        with_change("limits.yaml", |text| {
            let row = format!(
                "  - id: tried\n    what: Tried\n    measure: door.risers\n    at_most: {most}\n    source: tried\n    basis: practice\n"
            );
            text.replacen("limits:\n", &format!("limits:\n{row}"), 1)
        })
    };
    assert_eq!(risers("3.5").unwrap().limits.iter().find(|l| l.id == "tried").unwrap().bound, 3500);
    assert!(risers("3.5.1").is_err());
    assert!(risers("3 in").is_err());
}

/// The old spellings of verdicts are refused with the new ones.
#[test]
fn old_verdicts_are_told_their_new_names() {
    for (old, new) in [("find_out", "find_out_first"), ("exterior_first", "exterior_trade_first")] {
        let report = with_change("advice/findings.yaml", |text| {
            text.replacen(&format!("verdict: {new}\n"), &format!("verdict: {old}\n"), 1)
        });
        let report = report.unwrap_err();
        assert!(report.contains(&format!("`verdict` cannot be `{old}`")), "{report}");
        assert!(report.contains(&format!("it is spelt `{new}` now")), "{report}");
    }
}
