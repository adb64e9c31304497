//! The rows of the table of visits (`tests/visits/table/`), and the visit that each of them means. What is expected of them is
//! held by [`table`](crate::table), and of content with one thing changed by the mutation run (docs/mutation.md).

use crate::sound::{Heights, fill, sound_with, units};
use crate::support::{CONTENT, top};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt::Write;
use wallfoot::content::{LIMIT_STATES, Verdict};
use wallfoot::flow::{Answer, Answers, Condition, Diagnostics, Kind, Node, Source, Tree, Truth};
use wallfoot::judge::Assessment;
use wallfoot::names::{Carrier, Named};
use wallfoot::units::{Length, Units};
use wallfoot::wall::Status;

#[derive(Deserialize)]
struct LimitFile {
    limits: Vec<LimitRow>,
}

/// A limit on each side of its figure and on it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LimitRow {
    pub(crate) limit: String,
    pub(crate) of: String,
    #[serde(default)]
    pub(crate) change: BTreeMap<String, String>,
    pub(crate) moves: String,
    pub(crate) inside: String,
    pub(crate) on: String,
    pub(crate) outside: String,
    pub(crate) because: String,
}

#[derive(Deserialize)]
struct VisitFile {
    visits: Vec<VisitRow>,
}

/// A visit, and what is right for it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct VisitRow {
    pub(crate) of: String,
    #[serde(default)]
    pub(crate) change: BTreeMap<String, String>,
    pub(crate) expect: String,
    pub(crate) because: String,
    #[serde(default)]
    pub(crate) holds: Vec<String>,
    #[serde(default)]
    pub(crate) fails: Vec<String>,
    #[serde(default)]
    pub(crate) today: Option<String>,
    #[serde(default)]
    pub(crate) lacks: Vec<String>,
}

#[derive(Deserialize)]
struct EdgeFile {
    edges: Vec<EdgeRow>,
}

/// A visit in which one answer moves over the edges of some rules.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct EdgeRow {
    pub(crate) of: String,
    #[serde(default)]
    pub(crate) change: BTreeMap<String, String>,
    #[serde(default)]
    moves: Option<String>,
    pub(crate) because: String,
    /// By rule: `value state; value state`.
    #[serde(default)]
    edges: BTreeMap<String, String>,
    /// Rows that are told as the visit stands.
    #[serde(default)]
    told: Vec<String>,
    /// Rows that are not.
    #[serde(default)]
    not_told: Vec<String>,
}

#[derive(Deserialize)]
struct FigureFile {
    figures: Vec<FigureRow>,
}

/// Figures of a row of the content, written a second time from their source.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FigureRow {
    list: String,
    row: String,
    is: BTreeMap<String, String>,
    pub(crate) because: String,
}

/// A visit of an edge, and how some rules have to stand in it.
pub(crate) struct EdgeVisit {
    pub(crate) name: String,
    pub(crate) answers: Answers,
    /// A rule and its state ([`state`]).
    pub(crate) stands: Vec<(String, String)>,
}

fn read<T: for<'a> Deserialize<'a>>(file: &str) -> T {
    let path = top().join("tests/visits/table").join(file);
    let text = std::fs::read_to_string(&path).expect("the table is there");
    serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

pub(crate) fn limit_rows() -> Vec<LimitRow> {
    read::<LimitFile>("limits.yaml").limits
}

pub(crate) fn visit_rows() -> Vec<VisitRow> {
    read::<VisitFile>("findings.yaml").visits
}

/// The rows of all files of edges.
pub(crate) fn edge_rows() -> Vec<EdgeRow> {
    let folder = std::fs::read_dir(top().join("tests/visits/table")).expect("the table is there");
    let names = folder.map(|entry| entry.expect("readable").file_name().to_string_lossy().into_owned());
    let names = names.filter_map(|name| name.strip_suffix(".yaml").map(str::to_owned));
    let mut files: Vec<String> = names.filter(|name| name.starts_with("edges")).collect();
    files.sort();
    files.iter().flat_map(|file| read::<EdgeFile>(&format!("{file}.yaml")).edges).collect()
}

pub(crate) fn figure_rows() -> Vec<FigureRow> {
    read::<FigureFile>("figures.yaml").figures
}

/// Which rows of these files have other figures than are written here, and how many rows were found.
pub(crate) fn figure_faults(rows: &[FigureRow], files: &[Source]) -> (Vec<String>, usize) {
    let (mut faults, mut found) = (Vec::new(), 0);
    for source in files {
        let Some(node) = Node::read(source, 0, &mut Diagnostics::default()) else { continue };
        for right in rows {
            let list = field(&node, &right.list).map(|list| &list.tree);
            let Some(Tree::List(items)) = list else { continue };
            let named = |item: &&Node<'_>| {
                let ids = ["id", "region"].into_iter().filter_map(|key| field(item, key)?.text());
                ids.into_iter().any(|id| id == right.row)
            };
            let Some(item) = items.iter().find(named) else { continue };
            found += 1;
            for (name, figure) in &right.is {
                let said = field(item, name).map(said).unwrap_or_default();
                if said != *figure {
                    faults.push(format!(
                        "{} {}: {name} is {figure} by its source, and {said} here",
                        right.list, right.row
                    ));
                }
            }
        }
    }
    (faults, found)
}

fn field<'n, 'a>(node: &'n Node<'a>, key: &str) -> Option<&'n Node<'a>> {
    let Tree::Map(entries) = &node.tree else { return None };
    entries.iter().find(|(k, _)| k.text == key).map(|(_, value)| value)
}

/// A figure as it is written; of a list all of it.
fn said(node: &Node<'_>) -> String {
    match &node.tree {
        Tree::List(items) => items.iter().filter_map(Node::text).collect::<Vec<_>>().join(" to "),
        _ => node.text().unwrap_or_default().to_owned(),
    }
}

/// The verdict by its text on the sheets.
pub(crate) fn verdict(text: &str) -> Verdict {
    let all = [Verdict::GoAhead, Verdict::ChangePlan, Verdict::FindOutFirst, Verdict::ExteriorTradeFirst];
    let found = all.into_iter().find(|v| CONTENT.word(&format!("verdict.{}", v.word())) == text.trim());
    found.unwrap_or_else(|| panic!("no verdict {text}"))
}

/// The sound visit of `region cladding/carrier feature stage`.
fn base(of: &str) -> Answers {
    let words: Vec<&str> = of.split_whitespace().collect();
    let [region, wall, feature, stage] = words[..] else { panic!("{of}: region cladding/carrier feature stage") };
    let (cladding, carrier) = wall.split_once('/').unwrap_or_else(|| panic!("{of}: cladding/carrier"));
    let carrier =
        Carrier::ALL.iter().copied().find(|c| c.text() == carrier).unwrap_or_else(|| panic!("{of}: {carrier}"));
    sound_with(Heights::Roomy, region, cladding, carrier, feature, stage)
}

pub(crate) fn number(id: &str) -> usize {
    CONTENT.flow.question(id).unwrap_or_else(|| panic!("no question {id}"))
}

fn set(answers: &mut Answers, id: &str, text: &str, units: Units) {
    let at = number(id);
    let answer = CONTENT.flow.questions[at].read_answer(text, units);
    answers.set(at, answer.unwrap_or_else(|e| panic!("{id}: {text}: {e}")));
}

/// The answers with these changes. `exit` and `wood` are heights above the finish, `finish` one below the mark; what is asked
/// then and was not before gets its sound answer, and what is changed has to be asked.
pub(crate) fn changed(of: &str, change: &BTreeMap<String, String>) -> Answers {
    let mut answers = base(of);
    let units = units(&answers);
    // what is asked may hang on another change: as often as there are changes
    for _ in 0..=change.len() {
        let heights = ["finish", "exit", "wood"];
        let plain = change.iter().filter(|(id, _)| !heights.contains(&id.as_str()));
        plain.for_each(|(id, text)| set(&mut answers, id, text, units));
        for level in heights {
            let Some(text) = change.get(level) else { continue };
            let up = Length::parse(text, units).unwrap_or_else(|e| panic!("{level}: {text}: {e}"));
            let below = if level == "finish" { up } else { finish(&answers) - up };
            answers.set(number(&format!("{level}_below_mark")), Answer::Length(below));
            // cladding that ends above the wood is a fault of its own
            if level == "wood" && !change.contains_key("exit") {
                answers.set(number("exit_below_mark"), Answer::Length(below));
            }
        }
        fill(&mut answers);
    }
    let shown = CONTENT.flow.state(&answers).shown;
    for id in change.keys() {
        let id = if CONTENT.flow.question(id).is_some() { id.clone() } else { format!("{id}_below_mark") };
        assert_eq!(shown[number(&id)], Truth::Yes, "{of}: {id} is not asked");
    }
    answers
}

/// How far the finish lies below the mark.
fn finish(answers: &Answers) -> Length {
    let length = |id: &str| match answers.get(number(id)) {
        Some(Answer::Length(length)) => Some(*length),
        _ => None,
    };
    let built_up = || Some(length("old_surface_below_mark")? - length("build_up")?);
    length("finish_below_mark").or_else(built_up).expect("the height of the finish")
}

/// One of the three visits of a limit.
pub(crate) struct Side {
    /// `inside`, `on` or `outside`.
    pub(crate) place: &'static str,
    pub(crate) value: String,
    pub(crate) answers: Answers,
    pub(crate) right: Verdict,
    pub(crate) today: Verdict,
    /// How the limit stands.
    pub(crate) status: Status,
}

/// What is measured at one end at least, so that a tape cannot tell it from its bound.
const MEASURED: [&str; 5] =
    ["exit", "wood", "other_door_below_mark", "gas_vent_above_surface", "gas_meter_above_surface"];

/// The three visits of a limit.
pub(crate) fn three(row: &LimitRow) -> Vec<Side> {
    [("inside", &row.inside), ("on", &row.on), ("outside", &row.outside)]
        .into_iter()
        .map(|(place, text)| {
            let (value, said) = text.split_once(" = ").unwrap_or_else(|| panic!("{}: {text}", row.limit));
            let (right, today) = match said.split_once(" (today ") {
                Some((right, today)) => (right, today.trim_end_matches(')')),
                None => (said, said),
            };
            let (right, today) = (verdict(right), verdict(today));
            let mut change = row.change.clone();
            change.insert(row.moves.clone(), value.to_owned());
            let status = match place {
                "inside" => Status::Passes,
                "outside" => Status::Fails,
                _ if MEASURED.contains(&row.moves.as_str()) && right == today => Status::Close,
                _ => Status::Passes,
            };
            Side { place, value: value.to_owned(), answers: changed(&row.of, &change), right, today, status }
        })
        .collect()
}

/// The visit of a row.
pub(crate) fn visit(row: &VisitRow) -> Answers {
    changed(&row.of, &row.change)
}

/// The visits of an edge: one for each value, and one as it stands if rows are told there.
pub(crate) fn edge_visits(row: &EdgeRow) -> Vec<EdgeVisit> {
    let mut by_value: BTreeMap<Option<&str>, Vec<(String, String)>> = BTreeMap::new();
    for (rule, edges) in &row.edges {
        assert!(row.moves.is_some(), "{rule}: what moves?");
        for edge in edges.split(';').map(str::trim).filter(|e| !e.is_empty()) {
            let (value, state) = edge.rsplit_once(' ').unwrap_or_else(|| panic!("{rule}: {edge}: value and state"));
            by_value.entry(Some(value.trim())).or_default().push((rule.clone(), state.to_owned()));
        }
    }
    for (rows, state) in [(&row.told, "yes"), (&row.not_told, "no")] {
        by_value.entry(None).or_default().extend(rows.iter().map(|rule| (rule.clone(), state.to_owned())));
    }
    let visits = by_value.into_iter().filter(|(_, stands)| !stands.is_empty());
    let visits = visits.map(|(value, stands)| {
        let mut change = row.change.clone();
        if let (Some(moves), Some(value)) = (&row.moves, value) {
            change.insert(moves.clone(), value.to_owned());
        }
        EdgeVisit { name: name(&row.of, &change), answers: changed(&row.of, &change), stands }
    });
    visits.collect()
}

pub(crate) fn name(of: &str, change: &BTreeMap<String, String>) -> String {
    change.iter().fold(of.to_owned(), |mut name, (id, value)| {
        let _ = write!(name, ", {id} {value}");
        name
    })
}

/// How a limit stands; off where the content has none of this name.
pub(crate) fn status(assessment: &Assessment<'_>, limit: &str) -> Status {
    let at = assessment.content.limits.iter().position(|l| l.id == limit);
    let clearance = at.map(|at| assessment.clearances[at]).filter(|c| c.applies == Truth::Yes);
    clearance.map_or(Status::Off, |c| c.status)
}

/// Whether a row stands as it should: as [`state`] says, or, of a limit, `on` its figure in the middle of the measure.
pub(crate) fn stands(assessment: &Assessment<'_>, rule: &str, right: &str) -> bool {
    match rule.strip_prefix("limit.").filter(|_| right == "on") {
        Some(limit) => status(assessment, limit) != Status::Off && short_by(assessment, limit) == Some(0),
        None => state(assessment, rule) == Some(right),
    }
}

/// By how much a limit is missed, in the middle of the measure.
pub(crate) fn short_by(assessment: &Assessment<'_>, limit: &str) -> Option<i64> {
    let at = assessment.content.limits.iter().position(|l| l.id == limit)?;
    assessment.clearances[at].short_by
}

/// How a row stands in a visit: a limit `passes`, is `close`, `fails`, is `unknown` or `off`; a finding and a defined fact hold
/// (`yes`), may hold (`maybe`) or do not (`no`); every other row is told (`yes`) or not (`no`). `value.NAME=CHOICE` says whether
/// a name has this value, `lap.A over B` whether the content holds the order of work to this lap, `wall.CLADDING/CARRIER` whether
/// such a wall is known. Nothing where the content has no such row.
pub(crate) fn state(assessment: &Assessment<'_>, rule: &str) -> Option<&'static str> {
    let content = assessment.content;
    let (kind, id) = rule.split_once('.').unwrap_or_else(|| panic!("{rule}: kind.id"));
    let truth = |truth: Truth| match truth {
        Truth::Yes => "yes",
        Truth::Unknown => "maybe",
        Truth::No => "no",
    };
    let told = |there: bool, told: bool| there.then_some(if told { "yes" } else { "no" });
    macro_rules! row {
        ($all:ident, $told:expr) => {
            told(content.$all.iter().any(|row| row.id == id), $told.any(|row| row.id == id))
        };
    }
    match kind {
        "limit" => {
            let there = content.limits.iter().any(|l| l.id == id);
            there.then(|| LIMIT_STATES[status(assessment, id) as usize])
        }
        "finding" => {
            let at = content.findings.iter().position(|f| f.id == id)?;
            Some(truth(assessment.findings[at]))
        }
        "fact" => {
            let fact = content.defined.iter().find(|d| d.name == id)?;
            Some(truth(fact.when.eval(&assessment.values)))
        }
        "lap" => {
            let (over, under) = id.split_once(" over ").unwrap_or_else(|| panic!("{rule}: lap.A over B"));
            let laps = &content.laps;
            let named = |at: usize, name: &str| laps.layers[at] == name;
            let there = laps.rows.iter().any(|row| named(row.over, over) && named(row.under, under));
            Some(if there { "yes" } else { "no" })
        }
        "wall" => {
            let (cladding, carrier) = id.split_once('/').unwrap_or_else(|| panic!("{rule}: wall.CLADDING/CARRIER"));
            let at = content.flow.questions[content.flow.question("cladding")?]
                .choices
                .iter()
                .position(|c| c.id == cladding)?;
            let known = content.catalog.claddings[at].carried_by.iter().any(|on| on.text() == carrier);
            Some(if known { "yes" } else { "no" })
        }
        "value" => {
            let (name, choice) = id.split_once('=').unwrap_or_else(|| panic!("{rule}: value.NAME=CHOICE"));
            let slot = content.vocabulary.slot(name)?;
            let Kind::OneOf(choices) = &content.vocabulary.name(slot).kind else { panic!("{rule}: no choice") };
            let bit = choices.iter().position(|c| c == choice).unwrap_or_else(|| panic!("{rule}: no such choice"));
            let condition = Condition::any_of(slot, 1 << bit);
            Some(truth(condition.eval(&assessment.values)))
        }
        "task" => row!(tasks, assessment.tasks(None)),
        "trade" => row!(calls, assessment.calls()),
        "caution" => row!(cautions, assessment.cautions(None)),
        "ask" => row!(asks, assessment.asks()),
        "material" => row!(materials, assessment.materials(None)),
        "photo" => row!(photos, content.photos.iter().filter(|p| p.when.eval(&assessment.values).is_yes())),
        "joint" => row!(joint_tasks, assessment.joint_tasks().into_iter().map(|(task, _)| task)),
        "layer" => row!(layers, assessment.layers().into_iter()),
        "quantity" => row!(quantities, assessment.quantities().iter().map(|q| q.row)),
        "path" => row!(suspects, assessment.suspects().iter().map(|s| s.row)),
        "activity" => {
            let plan = assessment.plan();
            let planned = plan.iter().flat_map(|plan| &plan.activities);
            row!(activities, planned.map(|planned| planned.row))
        }
        _ => panic!("{rule}: no such kind of row"),
    }
}
