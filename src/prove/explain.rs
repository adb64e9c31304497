//! Conditions in words, as their author wrote them, for the report of a proof.

use super::formula::Theory;
use crate::flow::{Clause, Condition, Kind, Slot, Test, Vocabulary, show_thousandths};
use crate::solve::Lit;
use crate::units::{Length, Slope, Units};

/// The parts of a condition that all have to hold.
pub(super) fn parts(when: &Condition) -> Vec<Clause> {
    match when.clause() {
        Clause::All(parts) => parts.into_iter().flat_map(flat).collect(),
        other => vec![other],
    }
}

fn flat(clause: Clause) -> Vec<Clause> {
    match clause {
        Clause::All(parts) => parts.into_iter().flat_map(flat).collect(),
        other => vec![other],
    }
}

/// A part of a condition in words.
pub(super) fn in_words(clause: &Clause, names: &Vocabulary) -> String {
    let list = |parts: &[Clause], word: &str| {
        let parts: Vec<String> = parts.iter().map(|part| in_words(part, names)).collect();
        format!("({})", parts.join(word))
    };
    match clause {
        Clause::All(parts) => list(parts, " and "),
        Clause::Any(parts) => list(parts, " or "),
        Clause::Not(inner) => format!("not {}", in_words(inner, names)),
        Clause::Is(slot, test) => test_in_words(*slot, *test, names),
    }
}

fn test_in_words(slot: Slot, test: Test, names: &Vocabulary) -> String {
    let name = names.name(slot);
    let number = |n: i64| match name.kind {
        Kind::Length => Length::from_steps(n).exact(),
        Kind::Slope => Slope::from_parts(n).show(Units::Metric),
        Kind::Number => show_thousandths(n),
        _ => n.to_string(),
    };
    let said = match test {
        Test::Any(bits) => match &name.kind {
            Kind::YesNo => if bits == 2 { "true" } else { "false" }.to_owned(),
            Kind::OneOf(values) | Kind::SeveralOf(values) => {
                let set = values.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0).map(|(_, v)| v.as_str());
                let set: Vec<&str> = set.collect();
                if let [one] = set.as_slice() { (*one).to_owned() } else { format!("[{}]", set.join(", ")) }
            }
            _ => "given".to_owned(),
        },
        Test::Below(n) => format!("below {}", number(n)),
        Test::AtMost(n) => format!("at most {}", number(n)),
        Test::Above(n) => format!("above {}", number(n)),
        Test::AtLeast(n) => format!("at least {}", number(n)),
        Test::Known(known) => format!("known: {known}"),
    };
    format!("{}: {said}", name.text)
}

impl Theory<'_> {
    /// The fewest of these statements found that cannot hold together; all if they can.
    pub(super) fn fewest_against(&mut self, parts: &[Lit]) -> Vec<Lit> {
        if self.sat.can_at_all(parts) {
            return parts.to_vec();
        }
        let mut left = self.sat.against();
        let mut at = 0;
        while at < left.len() {
            let mut fewer = left.clone();
            fewer.remove(at);
            if self.sat.can(&fewer) {
                at += 1;
            } else {
                left = fewer;
            }
        }
        left
    }
}
