//! The random visits of the tests: how long the nearest change and a whole sheet take at worst. `cargo bench --bench visits`, or with
//! `WALLFOOT_SEEDS=3000` over so many.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout)] // a benchmark that cannot start should say so at once, and prints
#![allow(dead_code, unused_imports)] // of the random visits only some are used here

#[path = "../suite/sound.rs"]
mod sound;

/// What the random visits look at.
mod support {
    use std::path::PathBuf;
    use std::sync::LazyLock;
    use wallfoot::content::Content;

    pub(crate) static CONTENT: LazyLock<Content> = LazyLock::new(|| wallfoot::commands::built_in(None).unwrap());

    pub(crate) fn top() -> PathBuf {
        PathBuf::from(env!("CARGO_MANIFEST_DIR"))
    }
}

use sound::{assess, changed_visit, seeds};
use std::hint::black_box;
use std::time::Instant;
use wallfoot::content::Sheet;
use wallfoot::judge::Nearest;
use wallfoot::render::{Marks, TextStyle, text};
use wallfoot::sheet::Cover;

/// How often each is done, of which the faster counts.
const TIMES: usize = 2;

/// Milliseconds of the nearest change that are asked for.
const WANTED: f64 = 3.0;

fn main() {
    let all = seeds(1500);
    let (mut changes, mut sheets, mut not_found) = (Vec::new(), Vec::new(), Vec::new());
    for seed in 0..all {
        let answers = changed_visit(seed);
        let assessment = assess(&answers);
        changes.push((best(|| drop(black_box(assessment.nearest_change()))), seed));
        if assessment.nearest_change() == Nearest::NotFound {
            not_found.push(seed);
        }
        let style = TextStyle { width: 80, bold: false, plain: false };
        sheets.push((
            best(|| {
                let assessment = assess(&answers);
                let sheet = assessment.sheet(Sheet::Homeowner, &Cover::default());
                drop(black_box(text(&sheet, &Marks::default(), style)));
            }),
            seed,
        ));
    }
    told("the nearest change", &mut changes);
    let over = changes.iter().filter(|(time, _)| *time > WANTED).count();
    println!("  over {WANTED} ms: {over} of {all}; not found: {} {not_found:?}", not_found.len());
    told("a whole homeowner's sheet", &mut sheets);
}

/// Half, nine in ten, and the worst.
fn told(what: &str, times: &mut [(f64, u64)]) {
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (half, most, worst) = (times[times.len() / 2].0, times[times.len() * 9 / 10].0, times[times.len() - 1]);
    println!(
        "{what}: half within {half:.2} ms, nine in ten within {most:.2} ms, the worst {:.1} ms (visit {})",
        worst.0, worst.1
    );
}

fn best(mut work: impl FnMut()) -> f64 {
    let timed = |work: &mut dyn FnMut()| {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..TIMES).map(|_| timed(&mut work)).fold(f64::MAX, f64::min)
}
