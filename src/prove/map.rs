//! The flow of the interview as plain data: which questions there are, in their order, and by which answers each is brought up.

use super::explain::{in_words, parts};
use super::rows::called;
use crate::content::Content;
use crate::flow::{Clause, Kind, Slot, Test, Vocabulary};
use std::collections::BTreeSet;

/// How many choices a condition may name before they are counted instead.
const MOST_NAMED: u32 = 4;

/// The flow of some content.
#[derive(Debug, Clone)]
pub struct FlowMap<'c> {
    /// The sections in order.
    pub sections: Vec<MapSection<'c>>,
    /// Which question is brought up by which, and by what answer.
    pub arrows: Vec<MapArrow>,
}

/// A section with its questions, in the order of the files.
#[derive(Debug, Clone)]
pub struct MapSection<'c> {
    /// Its title.
    pub title: &'c str,
    /// Its questions.
    pub questions: Vec<MapQuestion<'c>>,
}

/// A question.
#[derive(Debug, Clone, Copy)]
pub struct MapQuestion<'c> {
    /// Its number in the flow.
    pub number: usize,
    /// Its id.
    pub id: &'c str,
    /// Its name in lists.
    pub short: &'c str,
    /// How many rules, rows and facts of the content name it; what the program computes from it is not counted.
    pub read_by: usize,
    /// Whether the program computes with its answer.
    pub computed: bool,
}

/// A question that is shown by an answer to an earlier one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapArrow {
    /// The number of the earlier question.
    pub from: usize,
    /// The number of the question that is shown.
    pub to: usize,
    /// The part of its condition that looks at the earlier one, as its author wrote it.
    pub when: String,
}

/// The flow of this content.
#[must_use]
pub fn flow_map(content: &Content) -> FlowMap<'_> {
    let flow = &content.flow;
    let read = read_by(content);
    let mut sections: Vec<MapSection<'_>> =
        flow.sections.iter().map(|section| MapSection { title: &section.title, questions: Vec::new() }).collect();
    let mut arrows = Vec::new();
    for (number, question) in flow.questions.iter().enumerate() {
        let computed = content.catalog.names.reads(number);
        let asked = MapQuestion { number, id: &question.id, short: &question.short, read_by: read[number], computed };
        sections[question.section].questions.push(asked);
        let parts = parts(&question.visible);
        for from in question.visible.reads().collect::<BTreeSet<Slot>>() {
            let of: Vec<String> = parts
                .iter()
                .filter(|part| names(part, from))
                .map(|part| in_words(&shortened(part, &content.vocabulary), &content.vocabulary))
                .map(|text| {
                    text.strip_prefix('(').and_then(|t| t.strip_suffix(')')).map_or(text.clone(), str::to_owned)
                })
                .collect();
            arrows.push(MapArrow { from: usize::from(from), to: number, when: of.join(" and ") });
        }
    }
    FlowMap { sections, arrows }
}

/// How many rows look at each question.
fn read_by(content: &Content) -> Vec<usize> {
    let mut count = vec![0; content.flow.questions.len()];
    let mut look = |slots: BTreeSet<Slot>| {
        for slot in slots {
            if let Some(count) = count.get_mut(usize::from(slot)) {
                *count += 1;
            }
        }
    };
    content.defined.iter().for_each(|row| look(row.when.reads().collect()));
    content.limits.iter().for_each(|row| look(row.when.reads().chain([row.measure]).collect()));
    content.findings.iter().for_each(|row| look(row.when.reads().collect()));
    for row in called(content) {
        look(row.when.reads().collect());
    }
    count
}

/// Whether a part of a condition looks at a name.
fn names(clause: &Clause, slot: Slot) -> bool {
    match clause {
        Clause::All(parts) | Clause::Any(parts) => parts.iter().any(|part| names(part, slot)),
        Clause::Not(inner) => names(inner, slot),
        Clause::Is(at, _) => *at == slot,
    }
}

/// The same, with "not one of few" for "one of many".
fn shortened(clause: &Clause, names: &Vocabulary) -> Clause {
    let all = |parts: &[Clause]| parts.iter().map(|part| shortened(part, names)).collect();
    match clause {
        Clause::All(parts) => Clause::All(all(parts)),
        Clause::Any(parts) => Clause::Any(all(parts)),
        Clause::Not(inner) => Clause::Not(Box::new(shortened(inner, names))),
        Clause::Is(slot, Test::Any(bits)) => {
            let Kind::OneOf(values) = &names.name(*slot).kind else { return clause.clone() };
            let every = 1_i64.checked_shl(u32::try_from(values.len()).unwrap_or(u32::MAX)).unwrap_or(0).wrapping_sub(1);
            let others = every & !bits;
            if bits.count_ones() > MOST_NAMED && others.count_ones() > 0 && others.count_ones() <= MOST_NAMED {
                return Clause::Not(Box::new(Clause::Is(*slot, Test::Any(others))));
            }
            clause.clone()
        }
        Clause::Is(..) => clause.clone(),
    }
}
