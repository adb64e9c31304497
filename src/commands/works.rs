//! All works that figures rest on, with the rows that rest on them, as a page: `docs/sources.md` is made from it.

use crate::content::{Basis, Content, HowRead, Resting};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The bases, the best first.
const BASES: [Basis; 4] = [Basis::Published, Basis::Reported, Basis::Memory, Basis::Practice];

/// The page. Writing to a `String` cannot fail, so the results of `write!` are dropped.
#[must_use]
pub fn works_page(content: &Content) -> String {
    let mut out = String::from(
        "# Where the figures come from\n\nMade by `wallfoot prove --sources`; a test holds it current. Do not edit.\n\n\
         Published: the text itself was read. Reported: a page that quotes it was read. Memory: known, not checked. Practice: \
         what the trade does, without a source. Only published and reported limits can fail a plan. Your building office's \
         edition and amendments govern.\n\n| basis | rows |\n|---|---|\n",
    );
    for basis in BASES {
        let count = content.resting.iter().filter(|row| row.basis == basis).count();
        let _ = writeln!(out, "| {} | {count} |", basis.word());
    }
    let _ = writeln!(out, "\n## Works\n\n{} works.", content.works.len());
    for (number, work) in content.works.iter().enumerate() {
        let _ = writeln!(out, "\n### {}\n", work.title);
        if !work.body.is_empty() {
            let _ = writeln!(out, "- Issued by: {}", work.body);
        }
        let _ = writeln!(out, "- Cited as: {}", work.cited_as.join(", "));
        let _ = writeln!(out, "- Edition: {}", work.edition);
        let _ = writeln!(out, "- Read: {}", read(work.read));
        if !work.note.is_empty() {
            let _ = writeln!(out, "- Note: {}", work.note);
        }
        if !content.resting.iter().any(|row| row.works.contains(&number)) {
            out.push_str("- No row rests on it yet\n");
        }
        for basis in BASES {
            let rows = content.resting.iter().filter(|row| row.basis == basis && row.works.contains(&number));
            let named = by_kind(rows);
            if !named.is_empty() {
                let _ = writeln!(out, "- Rows, {}: {named}", basis.word());
            }
        }
    }
    out.push_str("\n## From memory, and of no work\n\n");
    group(content, Basis::Memory, &mut out);
    out.push_str("\n## Practice\n\n");
    group(content, Basis::Practice, &mut out);
    out
}

fn read(read: HowRead) -> &'static str {
    match read {
        HowRead::Text => "its text, or the part that is cited",
        HowRead::Quotation => "a page that quotes it",
        HowRead::Memory => "nothing; it is remembered",
    }
}

/// Rows by their kind: `limit` a, b; `finding` c.
fn by_kind<'c>(rows: impl Iterator<Item = &'c Resting>) -> String {
    let mut kinds: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for row in rows {
        kinds.entry(row.kind).or_default().push(format!("`{}`", row.id));
    }
    kinds.into_iter().map(|(kind, ids)| format!("{kind} {}", ids.join(", "))).collect::<Vec<_>>().join("; ")
}

/// The rows of a basis that name no work, those of one source together, in the order of the content.
fn group(content: &Content, basis: Basis, out: &mut String) {
    let mut sources: Vec<(&str, Vec<&Resting>)> = Vec::new();
    for row in content.resting.iter().filter(|row| row.basis == basis && row.works.is_empty()) {
        match sources.iter_mut().find(|(source, _)| *source == row.source) {
            Some((_, rows)) => rows.push(row),
            None => sources.push((&row.source, vec![row])),
        }
    }
    for (source, rows) in sources {
        let said = if source.is_empty() { "practice of the trade" } else { source };
        let _ = writeln!(out, "- {said}: {}", by_kind(rows.into_iter()));
    }
}
