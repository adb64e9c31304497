//! Writes the conditions of the content as Rust, one function each.

use std::fmt::Write;
use wallfoot::content::Content;
use wallfoot::flow::{Clause, Condition, Test};

include!("src/conditions.rs");

fn main() {
    let content = Content::load(&wallfoot::commands::sources(None, None).unwrap(), None).unwrap();
    let mut code = String::from("pub static COMPILED: &[fn(&[Value]) -> Truth] = &[");
    let conditions = conditions(&content);
    for at in 0..conditions.len() {
        write!(code, "c{at},").unwrap();
    }
    code.push_str("];\n");
    for (at, (_, condition)) in conditions.iter().enumerate() {
        let mut names = 0;
        let body = written(&condition.clause(), &mut names);
        writeln!(code, "#[allow(unused)]\nfn c{at}(v: &[Value]) -> Truth {{ {body} }}").unwrap();
    }
    let out = std::env::var("OUT_DIR").unwrap();
    std::fs::write(std::path::Path::new(&out).join("compiled.rs"), code).unwrap();
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed=../../questions");
}

fn written(clause: &Clause, names: &mut usize) -> String {
    *names += 1;
    let name = format!("'g{names}");
    let mut group = |parts: &[Clause], begin: &str, end: &str, fold: &str| {
        let mut code = format!("{name}: {{ let mut t = Truth::{begin}; ");
        for part in parts {
            let part = written(part, names);
            write!(code, "let p = {part}; if p == Truth::{end} {{ break {name} p; }} t = t.{fold}(p); ").unwrap();
        }
        code + "t }"
    };
    match clause {
        Clause::All(parts) => group(parts, "Yes", "No", "min"),
        Clause::Any(parts) => group(parts, "No", "Yes", "max"),
        Clause::Not(part) => format!("!({})", written(part, names)),
        Clause::Is(slot, test) => {
            let (holds, known) = match test {
                Test::Any(bits) => (format!("n & {bits} != 0"), None),
                Test::Below(n) => (format!("n < {n}"), None),
                Test::AtMost(n) => (format!("n <= {n}"), None),
                Test::Above(n) => (format!("n > {n}"), None),
                Test::AtLeast(n) => (format!("n >= {n}"), None),
                Test::Known(wanted) => (wanted.to_string(), Some(*wanted)),
            };
            match known {
                None => format!("tested(v[{slot}], |n| {holds})"),
                Some(wanted) => format!("known(v[{slot}], {wanted})"),
            }
        }
    }
}
