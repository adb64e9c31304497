//! Which claddings the rules speak of.

use super::content::Content;
use crate::flow::{Condition, Value};
use crate::names::QuestionId;

/// A cladding that no rule knows: a bit that no choice has.
const STRANGER: i64 = 1 << 62;

/// The claddings of which no rule with a verdict speaks, as bits: all that may hold for them may hold for a cladding
/// that nobody has ever heard of.
pub(super) fn without_rules(content: &Content) -> i64 {
    let cladding = content.catalog.names.at(QuestionId::Cladding);
    let limits = content.limits.iter().filter(|l| l.verdict.is_some()).map(|l| &l.when);
    let rules = content.findings.iter().filter(|f| f.verdict.is_some()).map(|f| &f.when);
    let rules: Vec<&Condition> = limits.chain(rules).collect();
    // everything else may still be anything
    let values = |bits: i64| {
        let mut values = vec![Value::Unknown; content.vocabulary.len()];
        values[cladding] = Value::Is(bits);
        for (at, defined) in content.defined.iter().enumerate() {
            use crate::flow::Truth;
            values[content.slots.defined + at] = match defined.when.eval(&values) {
                Truth::Yes => Value::yes_no(true),
                Truth::No => Value::yes_no(false),
                Truth::Unknown => Value::Unknown,
            };
        }
        values
    };
    let stranger = values(STRANGER);
    let own: Vec<&Condition> = rules.into_iter().filter(|rule| !rule.eval(&stranger).is_possible()).collect();
    let choices = 0..content.flow.questions[cladding].choices.len();
    choices.fold(0, |bits, at| {
        let here = values(1 << at);
        let spoken_of = own.iter().any(|rule| rule.eval(&here).is_possible());
        if spoken_of { bits } else { bits | 1 << at }
    })
}
