//! The content for another solver, as SMT-LIB 2: `wallfoot prove --as smt2`, for `tests/z3/check`.
//!
//! It is written from the content and its conditions, and shares nothing with [`super::formula`]: choices are data types, numbers
//! are whole numbers that nobody has cut, a chain of readings is each way from one level to another. With it come all that the
//! proof asks, each with the answer that this program's own solver gives. Where the two differ, one of the two is wrong.

mod asked;
mod parts;
mod rules;
mod term;
mod ties;

use super::formula::Theory;
use crate::content::Content;
use crate::flow::{Kind, QuestionKind};
use crate::names::QuestionId;
use crate::site::{FACTS, FactId, FactKind};
use crate::wall::DERIVED_READINGS;
use parts::{PosedTerms, Rules, SmtWriting, Three, ValuedTerm, taped_term, turned_of};
use term::{Script, all, any, equal, no, number};

/// The content as SMT-LIB 2. A comment `; claim NAME sat WORDS` stands before each thing that is asked: the name of a statement to be
/// assumed, and whether it can hold.
#[must_use]
pub fn smt(content: &Content) -> String {
    let mut writing = SmtWriting::new(content);
    writing.questions();
    writing.facts();
    writing.tie();
    writing.follow();
    let mut formula = Theory::new(content);
    writing.ask(&mut formula);
    writing.script.text
}

impl<'c> SmtWriting<'c> {
    fn new(content: &'c Content) -> Self {
        let mut script = Script::default();
        script.line("; Written by `wallfoot prove --as smt2`; read by tests/z3/check.");
        script.line("(set-logic ALL)");
        script.data("State", &["unknown", "absent", "known"].map(|word| format!("|{word}|")));
        SmtWriting {
            content,
            script,
            questions: Vec::new(),
            values: Vec::new(),
            tapes: Vec::new(),
            held: (String::new(), String::new()),
            rules: Rules::default(),
            asked: 0,
        }
    }

    /// Each question: shown, hidden, answered, not sure.
    fn questions(&mut self) {
        for question in &self.content.flow.questions {
            let id = &question.id;
            let visible = self.condition(&question.visible);
            let shown = self.script.define(&format!("{id}: shown"), &visible.yes);
            let hidden = self.script.define(&format!("{id}: hidden"), &visible.no);
            let choices = || question.choices.iter().map(|choice| choice.id.to_string()).collect::<Vec<String>>();
            let (not_sure, is, among) = match question.kind {
                QuestionKind::OneOf => self.one_of(id, &choices(), "not sure"),
                QuestionKind::YesNo => self.one_of(id, &["no".to_owned(), "yes".to_owned()], "not sure"),
                QuestionKind::Text | QuestionKind::Profile => self.one_of(id, &["given".to_owned()], "not sure"),
                QuestionKind::SeveralOf | QuestionKind::Places => {
                    let not_sure = self.script.free(&format!("{id}: not sure"), "Bool");
                    let is =
                        choices().iter().map(|choice| self.script.free(&format!("{id} = {choice}"), "Bool")).collect();
                    (not_sure, is, None)
                }
                QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => {
                    let not_sure = self.script.free(&format!("{id}: not sure"), "Bool");
                    let given = self.script.free(id, "Int");
                    if let Some(bounds) = question.bounds {
                        let (least, most) = (number(bounds.least), number(bounds.most));
                        self.script.assert(&format!("(<= {least} {given} {most})"));
                    }
                    (not_sure, Vec::new(), Some(given))
                }
            };
            let known = self.script.define(&format!("{id}: counts"), &all([shown.clone(), no(&not_sure)]));
            let absent = hidden.clone();
            self.values.push(match among {
                Some(given) => ValuedTerm::Counted { known, absent, low: given.clone(), high: given },
                None => ValuedTerm::Chosen { known, absent, is: is.clone() },
            });
            self.tapes.push("false".to_owned());
            self.questions.push(PosedTerms { shown, hidden, not_sure, is });
        }
    }

    /// A name with one of these values, or none: the term for none, and for each value its term.
    fn one_of(&mut self, id: &str, values: &[String], none: &str) -> (String, Vec<String>, Option<String>) {
        let mut words: Vec<String> = values.iter().map(|value| format!("|{id} = {value}|")).collect();
        words.push(format!("|{id} = {none}|"));
        self.script.data(id, &words);
        let name = self.script.free(id, &format!("|={id}|"));
        let mut is: Vec<String> = words.iter().map(|word| equal(&name, word)).collect();
        let none = is.pop().unwrap_or_default();
        (none, is, None)
    }

    /// Facts, each with one value at most.
    fn facts(&mut self) {
        for fact in FACTS {
            let value = self.fact(fact.id);
            self.values.push(value);
            let tape = match fact.kind {
                FactKind::Height(..) | FactKind::OverFinish | FactKind::Length => {
                    taped_term(turned_of(fact.id).unwrap_or(fact.id))
                }
                _ if fact.id == FactId::TraceHeldAtDoor => self.script.free("the door: by tape measure", "Bool"),
                _ if fact.id == FactId::ExitBuried => taped_term(FactId::ExitAboveFinish),
                _ => "false".to_owned(),
            };
            self.tapes.push(tape);
        }
        let state = self.script.free("held or on wood", "State");
        self.held = (equal(&state, "|known|"), equal(&state, "|absent|"));
    }

    fn fact(&mut self, id: FactId) -> ValuedTerm {
        let name = id.fact().name;
        if let Some(other) = turned_of(id) {
            let ValuedTerm::Counted { known, absent, low, high } = self.values[self.content.fact_slot(other)].clone()
            else {
                return ValuedTerm::Chosen { known: "false".to_owned(), absent: "false".to_owned(), is: Vec::new() };
            };
            return ValuedTerm::Counted { known, absent, low: format!("(- {high})"), high: format!("(- {low})") };
        }
        let words = match &self.content.vocabulary.name(u16::try_from(self.values.len()).unwrap_or(u16::MAX)).kind {
            Kind::OneOf(words) | Kind::SeveralOf(words) => {
                Some(words.iter().map(ToString::to_string).collect::<Vec<String>>())
            }
            Kind::YesNo => Some(vec!["no".to_owned(), "yes".to_owned()]),
            Kind::Length | Kind::Slope | Kind::Number | Kind::Year | Kind::Text => None,
        };
        if let Some(mut words) = words {
            // `absent` is one more value, so that nothing can be both
            let count = words.len();
            words.push("absent".to_owned());
            let (unknown, mut is, _) = self.one_of(name, &words, "unknown");
            let absent = is.pop().unwrap_or_default();
            debug_assert_eq!(is.len(), count);
            let known = self.script.define(&format!("{name}: known"), &all([no(&unknown), no(&absent)]));
            return ValuedTerm::Chosen { known, absent, is };
        }
        let value = self.ranged(name);
        let taped = self.script.free(&format!("{name}: by tape measure"), "Bool");
        if let ValuedTerm::Counted { known, low, high, .. } = &value {
            let between = all([known.clone(), term::at_least(low, 1 - term::FAR), term::at_most(high, term::FAR - 1)]);
            self.script.assert(&term::so(&taped, &between));
            // all readings together, and one that is worth several; over a door that has a place the surface may slope
            let wide = 2 * self.content.per_reading.steps() * (6 + i64::from(DERIVED_READINGS));
            let places = self.questions[self.content.catalog.names.at(QuestionId::WallPlaces)].not_sure.clone();
            let near = format!("(<= (- {high} {low}) {wide})");
            self.script.assert(&term::so(&all([taped.clone(), places]), &near));
        }
        value
    }

    /// A number that is known between two, or unknown, or absent.
    fn ranged(&mut self, name: &str) -> ValuedTerm {
        let state = self.script.free(&format!("{name}: state"), "State");
        let (low, high) =
            (self.script.free(&format!("{name}: low"), "Int"), self.script.free(&format!("{name}: high"), "Int"));
        self.script.assert(&format!("(<= {low} {high})"));
        ValuedTerm::Counted { known: equal(&state, "|known|"), absent: equal(&state, "|absent|"), low, high }
    }

    fn value(&self, id: FactId) -> &ValuedTerm {
        &self.values[self.content.fact_slot(id)]
    }

    /// Whether two terms are one, unless something holds.
    fn same_unless(&mut self, a: &str, b: &str, unless: &[String]) {
        let same = format!("(= {a} {b})");
        self.script.assert(&any(std::iter::once(same).chain(unless.iter().cloned())));
    }

    /// That something is not known either way.
    fn unknown(of: &Three) -> String {
        all([no(&of.yes), no(&of.no)])
    }
}
