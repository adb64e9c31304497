//! What the run says: a table by kind of mutation, and what nobody noticed.

use crate::checks::Check;
use crate::equivalent::equivalent;
use crate::mutants::Kind;
use crate::shipped::Changed;
use std::fmt::Write;

/// Whether a mutant counts: it is not one that nobody can tell from the content as it is.
fn counts(mutant: &Changed) -> bool {
    equivalent(&mutant.file, &mutant.row, &mutant.what).is_none()
}

/// A share in per cent.
#[allow(clippy::cast_precision_loss)] // some thousands
fn share(part: usize, of: usize) -> String {
    if of == 0 { "-".to_owned() } else { format!("{:.1} %", 100.0 * part as f64 / of as f64) }
}

/// By kind: how many were made, which check noticed them first, how many nobody noticed. What only a record notices is counted
/// on its own: the first share leaves records out.
pub(crate) fn table(all: &[Changed], noticed: &[Option<Check>]) -> String {
    let mut out = String::new();
    let mut head = format!("{:<40}{:>7}", "", "made");
    for (_, name) in &Check::ALL {
        let _ = write!(head, "{name:>9}");
    }
    let _ = writeln!(out, "{head}{:>10}{:>9}{:>12}", "unnoticed", "share", "no records");
    let mut line = |name: &str, is: &dyn Fn(&Changed) -> bool| {
        let rows: Vec<Option<Check>> =
            all.iter().zip(noticed).filter(|(m, _)| counts(m) && is(m)).map(|(_, n)| *n).collect();
        let count = |check: Option<Check>| rows.iter().filter(|n| **n == check).count();
        let (made, never) = (rows.len(), count(None));
        let _ = write!(out, "{name:<40}{made:>7}");
        for (check, _) in &Check::ALL {
            let _ = write!(out, "{:>9}", count(Some(*check)));
        }
        let without = share(never + count(Some(Check::Record)), made);
        let _ = writeln!(out, "{never:>10}{:>9}{without:>12}", share(never, made));
    };
    for (carries, title) in [(true, "carries a verdict"), (false, "advice")] {
        for (kind, name) in Kind::ALL {
            line(name, &|m| m.kind == kind && m.carries == carries);
        }
        line(&format!("  all that {title}").replace("that advice", "other advice"), &|m| m.carries == carries);
    }
    line("  all", &|_| true);
    let equivalent = all.iter().filter(|m| !counts(m)).count();
    let _ = writeln!(out, "{equivalent} more change nothing (tests/benches/mutation/equivalent.rs)\n");
    out
}

/// What nobody noticed, by file and line; what only a record noticed too, if it is asked for.
pub(crate) fn unnoticed(all: &[Changed], noticed: &[Option<Check>], records: bool) -> String {
    let mut out = String::new();
    for (mutant, noticed) in all.iter().zip(noticed).filter(|(m, _)| counts(m)) {
        let mark = match (noticed, mutant.carries) {
            (None, true) => "!",
            (None, false) => " ",
            (Some(Check::Record), _) if records => "r",
            _ => continue,
        };
        let _ = writeln!(out, "{mark} {}", mutant.line());
    }
    out
}
