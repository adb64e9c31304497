//! Terms of SMT-LIB 2, and the text that they are written into.

use crate::flow;
use std::fmt::Write;

/// As an end of a number: no bound on this side.
pub(super) const FAR: i64 = flow::FAR;

/// The text of a script.
#[derive(Debug, Default)]
pub(super) struct Script {
    pub(super) text: String,
    named: usize,
}

impl Script {
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// A data type of single values; its name begins with `=`, but for `State`.
    pub(super) fn data(&mut self, name: &str, words: &[String]) {
        let sort = if name == "State" { name.to_owned() } else { format!("|={name}|") };
        let words: Vec<String> = words.iter().map(|word| format!("({word})")).collect();
        let _ = writeln!(self.text, "(declare-datatypes (({sort} 0)) (({})))", words.join(" "));
    }

    /// A name of which nothing is known yet; the term for it.
    pub(super) fn free(&mut self, name: &str, sort: &str) -> String {
        let _ = writeln!(self.text, "(declare-const |{name}| {sort})");
        format!("|{name}|")
    }

    /// A name for a term that is yes or no.
    pub(super) fn define(&mut self, name: &str, term: &str) -> String {
        let _ = writeln!(self.text, "(define-fun |{name}| () Bool {term})");
        format!("|{name}|")
    }

    /// A short name for a term that will be used more than once.
    pub(super) fn short(&mut self, term: String) -> String {
        if !term.starts_with('(') {
            return term;
        }
        self.named += 1;
        let name = format!("part {}", self.named);
        self.define(&name, &term)
    }

    pub(super) fn assert(&mut self, term: &str) {
        let _ = writeln!(self.text, "(assert {term})");
    }
}

/// All of these.
pub(super) fn all(parts: impl IntoIterator<Item = String>) -> String {
    group("and", "true", "false", parts)
}

/// At least one of these.
pub(super) fn any(parts: impl IntoIterator<Item = String>) -> String {
    group("or", "false", "true", parts)
}

fn group(word: &str, none: &str, decides: &str, parts: impl IntoIterator<Item = String>) -> String {
    let parts: Vec<String> = parts.into_iter().filter(|part| part != none).collect();
    if parts.iter().any(|part| part == decides) {
        return decides.to_owned();
    }
    match parts.as_slice() {
        [] => none.to_owned(),
        [one] => one.clone(),
        _ => format!("({word} {})", parts.join(" ")),
    }
}

/// The opposite.
pub(super) fn no(term: &str) -> String {
    match term {
        "true" => "false".to_owned(),
        "false" => "true".to_owned(),
        _ => format!("(not {term})"),
    }
}

/// If one, then the other.
pub(super) fn so(if_this: &str, then: &str) -> String {
    any([no(if_this), then.to_owned()])
}

pub(super) fn equal(a: &str, b: &str) -> String {
    format!("(= {a} {b})")
}

/// A whole number as a term.
pub(super) fn number(n: i64) -> String {
    if n < 0 { format!("(- {})", n.unsigned_abs()) } else { n.to_string() }
}

pub(super) fn at_least(term: &str, n: i64) -> String {
    format!("(>= {term} {})", number(n))
}

pub(super) fn at_most(term: &str, n: i64) -> String {
    format!("(<= {term} {})", number(n))
}
