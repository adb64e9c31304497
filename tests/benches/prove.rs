//! How long the proof takes: the shipped content, and ten times as much. `cargo bench --bench prove`.
//!
//! The aims: under 2 s, and under 30 s. In how many ways the questions can be answered is printed beside the times.
#![allow(clippy::unwrap_used)] // a benchmark that cannot start should say so at once

mod copies;

use copies::copied;
use divan::{Bencher, black_box};
use std::sync::Once;
use wallfoot::content::Content;
use wallfoot::flow::Source;
use wallfoot::prove::{Proof, named_in_texts, prove};

fn main() {
    divan::main();
}

/// How often the content is there in the large one.
const TIMES: usize = 10;

/// The whole shipped content.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn shipped(bencher: Bencher<'_, '_>) {
    static SAID: Once = Once::new();
    let mut content = Content::load(&sources(), None).unwrap();
    let named = named_in_texts(&mut content);
    bencher.bench_local(|| {
        let proof = prove(black_box(&content), &named, &mut |_, _| {});
        SAID.call_once(|| say(&content, &proof));
    });
}

/// Ten times the questions, defined facts, limits, findings, tasks, points and promises: each copy is behind a question of its own.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn ten_times(bencher: Bencher<'_, '_>) {
    static SAID: Once = Once::new();
    let mut content = Content::load(&copied(TIMES), None).unwrap_or_else(|error| panic!("{error}"));
    let named = named_in_texts(&mut content);
    bencher.bench_local(|| {
        let proof = prove(black_box(&content), &named, &mut |_, _| {});
        SAID.call_once(|| say(&content, &proof));
    });
}

#[allow(clippy::print_stderr)]
fn say(content: &Content, proof: &Proof) {
    let (statements, clauses, calls) = proof.size;
    eprintln!(
        "\n{} questions, {} limits, {} findings, {} promises: 10^{:.0} ways; {} shown, {} proved, {} tried on visits, {} wrong, \
         {} not settled; {} visits judged, {statements} statements, {clauses} clauses, {calls} calls",
        content.flow.questions.len(),
        content.limits.len(),
        content.findings.len(),
        content.promises.len(),
        proof.ways,
        proof.shown,
        proof.proved,
        proof.tried,
        proof.faults.len(),
        proof.unsettled.len(),
        proof.visits,
    );
}

fn sources() -> Vec<Source> {
    wallfoot::commands::sources(None, None).unwrap()
}
