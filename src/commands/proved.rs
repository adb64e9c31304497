//! What a proof found, told to the author of the content.

use super::error::CommandError;
use crate::content::Content;
use crate::flow::{Answers, Diagnostics, Found, Source};
use crate::prove::{Flaw, Proof};
use crate::visit::{Visit, write_answer};
use serde::Serialize;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

/// The version of the JSON.
const VERSION: u32 = 1;

/// The visits that show what is wrong, by the place of their fault, as files.
#[derive(Debug, Default)]
pub(super) struct Replays {
    files: Vec<Vec<PathBuf>>,
}

impl Replays {
    /// Writes them into a folder, if one is given.
    ///
    /// # Errors
    /// A folder or a file that cannot be written.
    pub(super) fn write(folder: Option<&Path>, content: &Content, proof: &Proof) -> Result<Replays, CommandError> {
        let Some(folder) = folder else { return Ok(Replays::default()) };
        let failed = |path: &Path, reason| CommandError::Write { path: path.to_owned(), reason };
        fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
        let mut files = Vec::new();
        for (nth, fault) in proof.faults.iter().enumerate() {
            let mut written = Vec::new();
            for (part, answers) in [("", &fault.visit), ("-beside", &fault.beside)] {
                let Some(answers) = answers else { continue };
                let name =
                    format!("{:02}-{}-{}{part}.yaml", nth + 1, fault.kind.word(), fault.id.replace(['/', '\\'], "_"));
                let path = folder.join(name);
                fs::write(&path, visit(content, answers, &path)?).map_err(|error| failed(&path, error))?;
                written.push(path);
            }
            files.push(written);
        }
        Ok(Replays { files })
    }

    fn of(&self, nth: usize) -> &[PathBuf] {
        self.files.get(nth).map_or(&[], Vec::as_slice)
    }
}

/// A visit as a file, as the program writes its own.
fn visit(content: &Content, answers: &Answers, path: &Path) -> Result<String, CommandError> {
    let mut visit = Visit::new("");
    visit.answers = listed(content, answers).into_iter().collect();
    Ok(format!("# Found by wallfoot prove; no house is like this.\n{}", visit.to_text(path)?))
}

/// Answers by id, as they are typed; what nobody is sure of is left out.
fn listed(content: &Content, answers: &Answers) -> Vec<(String, String)> {
    let questions = &content.flow.questions;
    answers
        .iter()
        .filter_map(|(at, answer)| Some((questions[at].id.to_string(), write_answer(&questions[at], answer)?)))
        .collect()
}

fn typed(content: &Content, answers: &Answers) -> String {
    let list = listed(content, answers).into_iter();
    list.map(|(id, answer)| crate::visit::pasted(&format!("{id}={answer}")).into_owned()).collect::<Vec<_>>().join(" ")
}

/// Notes what is wrong, each with the visit that shows it, or the conditions that stand against each other.
pub(super) fn report(faults: &[Flaw], content: &Content, replays: &Replays, mistakes: &mut Diagnostics) {
    for (nth, fault) in faults.iter().enumerate() {
        let mut hint = Vec::new();
        if !fault.against.is_empty() {
            hint.push(format!("these cannot hold together: {}", fault.against.join("; ")));
        }
        let promise = content.promises.iter().find(|promise| fault.row == "promise" && promise.id == fault.id);
        hint.extend(promise.map(|promise| format!("it was promised because: {}", promise.because)));
        for answers in [&fault.visit, &fault.beside].into_iter().flatten() {
            let verdict = content.settle(answers).verdict;
            hint.push(format!("answered so, the verdict is {}: {}", verdict.word(), typed(content, answers)));
        }
        for file in replays.of(nth) {
            hint.push(format!("wallfoot advise {}", file.display()));
        }
        let hint = (!hint.is_empty()).then(|| hint.join("\n"));
        mistakes.error_with_hint(fault.place, fault.message.clone(), hint);
    }
}

/// That all is well, and what that means.
pub(super) fn in_words(content: &Content, files: usize, proof: Option<&Proof>) -> String {
    let left_out = match content.promises_left_out {
        0 => String::new(),
        count => format!(" (and {count} left out, since they name rows that are no longer there)"),
    };
    let mut text = format!(
        "{files} files, {} questions in {} sections, {} limits, {} findings, {} tasks, {} questions for the contractor, {} calls, {} cautions, {} material rules, {} promises{left_out}: no mistakes found\n",
        content.flow.questions.len(),
        content.flow.sections.len(),
        content.limits.len(),
        content.findings.len(),
        content.tasks.len(),
        content.asks.len(),
        content.calls.len(),
        content.cautions.len(),
        content.materials.len(),
        content.promises.len(),
    );
    let Some(proof) = proof else { return text };
    let _ = writeln!(
        text,
        "Over all answers, some 10^{:.0} ways to give them: {} claims hold in no visit otherwise, {} are shown by a visit, {} were tried on the {} visits judged.",
        proof.ways.floor(),
        proof.proved,
        proof.shown,
        proof.tried,
        proof.visits,
    );
    if !proof.unsettled.is_empty() {
        let _ = writeln!(text, "Not settled, neither by a visit nor by a proof ({}):", proof.unsettled.len());
        for fault in &proof.unsettled {
            let _ = writeln!(text, "  {}", fault.message);
        }
    }
    text
}

#[derive(Debug, Serialize)]
struct ProofOut<'a> {
    version: u32,
    ways_power_of_ten: f64,
    proved: usize,
    shown: usize,
    tried: usize,
    visits: u64,
    statements: u32,
    clauses: u64,
    asked: u64,
    gaps: Vec<GapOut<'a>>,
    faults: Vec<FlawOut<'a>>,
    unsettled: Vec<FlawOut<'a>>,
}

/// What loading alone would not see, and no formula is needed for.
#[derive(Debug, Serialize)]
struct GapOut<'a> {
    file: Option<&'a str>,
    line: usize,
    message: &'a str,
    hint: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct FlawOut<'a> {
    kind: &'static str,
    row: &'static str,
    id: &'a str,
    file: Option<&'a str>,
    line: Option<usize>,
    message: &'a str,
    against: &'a [String],
    visits: Vec<std::collections::BTreeMap<String, String>>,
    verdicts: Vec<&'static str>,
    replay: Vec<String>,
}

/// The same for programs.
///
/// # Errors
/// What cannot be written as JSON.
pub(super) fn as_json(
    content: &Content,
    sources: &[Source],
    gaps: &[Found],
    proof: &Proof,
    replays: &Replays,
) -> Result<String, CommandError> {
    let faults =
        proof.faults.iter().enumerate().map(|(nth, fault)| one(content, sources, fault, replays.of(nth))).collect();
    let unsettled = proof.unsettled.iter().map(|fault| one(content, sources, fault, &[])).collect();
    let all = ProofOut {
        version: VERSION,
        ways_power_of_ten: (proof.ways * 10.0).round() / 10.0,
        proved: proof.proved,
        shown: proof.shown,
        tried: proof.tried,
        visits: proof.visits,
        statements: proof.size.0,
        clauses: proof.size.1,
        asked: proof.size.2,
        gaps: gaps.iter().map(gap).collect(),
        faults,
        unsettled,
    };
    Ok(serde_json::to_string_pretty(&all)? + "\n")
}

fn gap(found: &Found) -> GapOut<'_> {
    GapOut { file: found.file.as_deref(), line: found.line, message: &found.message, hint: found.hint.as_deref() }
}

fn one<'a>(content: &Content, sources: &'a [Source], fault: &'a Flaw, replay: &[PathBuf]) -> FlawOut<'a> {
    let visits: Vec<&Answers> = [&fault.visit, &fault.beside].into_iter().flatten().collect();
    let source = sources.get(fault.place.file());
    FlawOut {
        kind: fault.kind.word(),
        row: fault.row,
        id: &fault.id,
        file: source.map(|source| source.name.as_str()),
        line: source.map(|source| source.line(fault.place)),
        message: &fault.message,
        against: &fault.against,
        verdicts: visits.iter().map(|answers| content.settle(answers).verdict.word()).collect(),
        visits: visits.iter().map(|answers| listed(content, answers).into_iter().collect()).collect(),
        replay: replay.iter().map(|path| path.display().to_string()).collect(),
    }
}
