//! What is changed: the kinds of mutation, and where in a row each of them can be made.

use super::conditions::changes;
use super::tree::{Tree, Yaml};
use super::unit::moved;

/// A kind of mutation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Kind {
    /// The figure of a comparison or a limit moved by its unit.
    Threshold,
    /// Another figure of a row moved by its unit: a thickness, a riser, a year.
    Figure,
    /// `below` for `at_most`, `above` for `at_least`: on the figure only something else is said.
    Edge,
    /// `below` for `at_least`, `at_most` for `above`, and of a limit `at_least` for `at_most`.
    Reversed,
    /// A condition, or a part of one, says the opposite.
    Negated,
    /// A list of choices or of regions without one of them.
    Shortened,
    /// A row that is not there.
    Dropped,
    /// A verdict that is one graver or one milder.
    Verdict,
    /// A pair of layers the other way round.
    Lap,
    /// What a cladding or a kind of work is: another word, or a list without one.
    Trait,
}

impl Kind {
    pub(crate) const ALL: [(Kind, &'static str); 10] = [
        (Kind::Threshold, "threshold moved by its unit"),
        (Kind::Figure, "other figure moved by its unit"),
        (Kind::Edge, "below <-> at most, above <-> at least"),
        (Kind::Reversed, "comparison reversed"),
        (Kind::Negated, "condition negated"),
        (Kind::Shortened, "list of choices shortened"),
        (Kind::Dropped, "row dropped"),
        (Kind::Verdict, "verdict changed by one"),
        (Kind::Lap, "lap turned round"),
        (Kind::Trait, "trace: cladding or work is another"),
    ];
}

/// One change of a condition or a row.
#[derive(Debug, Clone)]
pub(crate) struct Spot {
    pub(crate) kind: Kind,
    pub(crate) line: usize,
    pub(crate) what: String,
    pub(crate) changed: Yaml,
}

impl Spot {
    pub(super) fn new(kind: Kind, line: usize, what: impl Into<String>, changed: Yaml) -> Spot {
        Spot { kind, line, what: what.into(), changed }
    }
}

/// A row with one change; without the row where it is dropped.
#[derive(Debug, Clone)]
pub(crate) struct Mutant {
    pub(crate) kind: Kind,
    pub(crate) line: usize,
    pub(crate) what: String,
    pub(crate) row: Option<Yaml>,
}

/// The lists of the content whose rows are changed. Not among them: promises and sources, which give no advice, and `asked`,
/// `asking`, `words` and translations, which change what is read or in which order it is asked and never what is advised.
pub(crate) const ROWS: [&str; 33] = [
    "activities",
    "cautions",
    "claddings",
    "contractor",
    "coursing",
    "defined",
    "eras",
    "features",
    "figures",
    "findings",
    "joint_tasks",
    "laps",
    "layers",
    "limits",
    "loads",
    "materials",
    "not_counted",
    "paths",
    "photos",
    "quantities",
    "questions",
    "readings",
    "remove",
    "repair_later",
    "roughness",
    "runoff",
    "scope",
    "stairs",
    "tasks",
    "trades",
    "usual",
    "weather_needs",
    "wood_lines",
];

/// The lists whose rows hold figures besides those of conditions.
const WITH_FIGURES: [&str; 14] = [
    "activities",
    "coursing",
    "eras",
    "figures",
    "layers",
    "limits",
    "loads",
    "readings",
    "roughness",
    "runoff",
    "stairs",
    "usual",
    "weather_needs",
    "wood_lines",
];
/// Fields of such rows in which a number is no figure.
const NO_FIGURES: [&str; 9] = ["id", "what", "source", "edition", "because", "note", "of", "at_least", "at_most"];

/// The words of traits that decide where water goes and how a kind of work is looked at.
const WORDS: [(&str, &[&str]); 5] = [
    ("drains", &["laps", "coat", "foam", "cavity", "solid"]),
    ("drawn", &["boards", "coat", "veneer", "wall"]),
    ("usually", &["wood_frame", "block", "concrete"]),
    ("shape", &["flat", "landing", "flight", "upright"]),
    ("lifts", &["loose", "mortared", "concrete", "never"]),
];
/// Lists of traits.
const LISTS: [&str; 3] = ["carried_by", "solid_on", "is"];
/// Traits that name an exit where it is another one than `exit`.
const EXITS: [&str; 2] = ["exit_without", "exit_solid"];
/// The name of an exit, and another that is given for it.
const OTHER_EXIT: [(&str, &str); 2] = [("siding_bottom", "masonry_face"), ("", "siding_bottom")];

/// From mild to grave; without one a rule only advises.
const VERDICTS: [&str; 3] = ["change_plan", "find_out_first", "exterior_trade_first"];

/// All mutants of a row of the list `list`.
pub(crate) fn mutants(list: &str, row: &Yaml) -> Vec<Mutant> {
    let mut all = Vec::new();
    // questions are asked, not advised: only when they are shown is changed
    if list != "questions" && list != "readings" {
        let named = ["id", "name", "region", "joists", "what"].iter().find_map(|key| row.get(key)?.text());
        let what = named.map_or_else(|| row.shown().chars().take(60).collect(), str::to_owned);
        all.push(Mutant { kind: Kind::Dropped, line: row.line, what: format!("without {what}"), row: None });
    }
    let mut path = Vec::new();
    conditions(row, row, &mut path, &mut all);
    let mut spots = Vec::new();
    fields(list, row, &mut spots);
    all.extend(spots.into_iter().map(|spot| Mutant {
        kind: spot.kind,
        line: spot.line,
        what: spot.what,
        row: Some(spot.changed),
    }));
    all
}

/// The changes of all conditions below a node, however deep: of follow-up questions and of the evidence of a path too. Evidence
/// is a row of its own, and can be dropped.
fn conditions(row: &Yaml, node: &Yaml, path: &mut Vec<usize>, all: &mut Vec<Mutant>) {
    let children: Vec<(Option<&str>, &Yaml)> = match &node.tree {
        Tree::Map(entries) => entries.iter().map(|(key, value)| (Some(key.as_str()), value)).collect(),
        Tree::List(items) => items.iter().map(|item| (None, item)).collect(),
        Tree::Text { .. } => Vec::new(),
    };
    for (at, (key, child)) in children.into_iter().enumerate() {
        path.push(at);
        if matches!(key, Some("when" | "show_when")) && !child.entries().is_empty() {
            all.extend(changes(child).into_iter().map(|spot| Mutant {
                kind: spot.kind,
                line: spot.line,
                what: spot.what,
                row: Some(row.with(path, Some(spot.changed))),
            }));
        } else {
            if key.is_none() && child.get("when").is_some() && child.get("weight").is_some() {
                let said = child.get("say").map_or_else(String::new, Yaml::shown);
                let what = format!("without the evidence \"{said}\"");
                all.push(Mutant { kind: Kind::Dropped, line: child.line, what, row: Some(row.with(path, None)) });
            }
            conditions(row, child, path, all);
        }
        path.pop();
    }
}

/// The changes of the fields of a row that are no conditions.
fn fields(list: &str, row: &Yaml, spots: &mut Vec<Spot>) {
    let traits = ["claddings", "features"].contains(&list);
    for (at, (key, value)) in row.entries().iter().enumerate() {
        let (line, key) = (value.line, key.as_str());
        let put = |new: &str| row.with(&[at], Some(Yaml::plain(line, new)));
        let text = value.text().unwrap_or_default();
        if list == "limits" && ["at_least", "at_most"].contains(&key) {
            for to in moved(text).into_iter().flatten() {
                spots.push(Spot::new(Kind::Threshold, line, format!("{key} {text}: {to}"), put(&to)));
            }
            let other = if key == "at_least" { "at_most" } else { "at_least" };
            spots.push(Spot::new(Kind::Reversed, line, format!("{key} {text}: {other}"), row.renamed(&[at], other)));
        } else if key == "verdict" {
            let Some(now) = VERDICTS.iter().position(|v| *v == text) else { continue };
            let milder = match now.checked_sub(1) {
                Some(milder) => (VERDICTS[milder], put(VERDICTS[milder])),
                None => ("none", row.with(&[at], None)),
            };
            let graver = VERDICTS.get(now + 1).map(|graver| (*graver, put(graver)));
            for (to, changed) in [Some(milder), graver].into_iter().flatten() {
                spots.push(Spot::new(Kind::Verdict, line, format!("verdict {text}: {to}"), changed));
            }
        } else if list == "laps" && key == "over" {
            let under = row.entries().iter().position(|(k, _)| k == "under");
            let Some((under, other)) = under.and_then(|at| Some((at, row.entries()[at].1.text()?))) else { continue };
            let turned = put(other).with(&[under], Some(Yaml::plain(line, text)));
            spots.push(Spot::new(Kind::Lap, line, format!("{other} over {text}"), turned));
        } else if key == "regions" {
            shortened(Kind::Shortened, row, at, spots);
        } else if traits && LISTS.contains(&key) {
            shortened(Kind::Trait, row, at, spots);
        } else if traits && EXITS.contains(&key) {
            spots.push(Spot::new(Kind::Trait, line, format!("without {key}"), row.with(&[at], None)));
        } else if list == "claddings" && key == "exit" {
            let other =
                OTHER_EXIT.iter().find(|(exit, _)| exit.is_empty() || *exit == text).map_or("", |(_, other)| other);
            spots.push(Spot::new(Kind::Trait, line, format!("exit {text}: {other}"), put(other)));
        } else if let Some((_, words)) = WORDS.iter().find(|(word, _)| traits && *word == key) {
            let now = words.iter().position(|word| *word == text);
            let to = words[now.map_or(0, |now| (now + 1) % words.len())];
            spots.push(Spot::new(Kind::Trait, line, format!("{key} {text}: {to}"), put(to)));
        } else if WITH_FIGURES.contains(&list) && !NO_FIGURES.contains(&key) {
            figures(row, at, spots);
        }
    }
}

/// A list of a row without one of its words, each in turn; the last one stays.
fn shortened(kind: Kind, row: &Yaml, at: usize, spots: &mut Vec<Spot>) {
    let (key, list) = &row.entries()[at];
    if list.items().len() < 2 && kind == Kind::Shortened {
        return;
    }
    for (item, word) in list.items().iter().enumerate() {
        let what = format!("{key} without {}", word.shown());
        spots.push(Spot::new(kind, word.line, what, row.with(&[at, item], None)));
    }
}

/// The figures of a field, one or a list of them, moved by their unit.
fn figures(row: &Yaml, at: usize, spots: &mut Vec<Spot>) {
    let (key, value) = &row.entries()[at];
    let mut one = |path: &[usize], figure: &Yaml| {
        let text = figure.text().unwrap_or_default();
        for to in moved(text).into_iter().flatten() {
            let changed = row.with(path, Some(Yaml::plain(figure.line, to.clone())));
            spots.push(Spot::new(Kind::Figure, figure.line, format!("{key} {text}: {to}"), changed));
        }
    };
    match &value.tree {
        Tree::Text { .. } => one(&[at], value),
        Tree::List(items) => items.iter().enumerate().for_each(|(item, figure)| one(&[at, item], figure)),
        Tree::Map(_) => {}
    }
}
