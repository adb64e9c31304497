//! How the time grows with what is given: `cargo bench --bench growth`.
//!
//! Each row does the same with more and more of one thing, takes the best of several times, and fits the exponent: with 1 the time
//! doubles with the thing, with 2 it is four times as long. What is there anyhow is taken off first: what the fitted line has at nothing.
#![allow(clippy::unwrap_used, clippy::print_stdout)] // a benchmark that cannot start should say so at once, and prints

mod copies;

use copies::copied;
use std::fmt::Write;
use std::fs;
use std::hint::black_box;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use wallfoot::content::{Content, Sheet};
use wallfoot::flow::{Answer, Answers};
use wallfoot::render::{Marks, TextStyle, text};
use wallfoot::sheet::Cover;
use wallfoot::units::Units;
use wallfoot::visit::Visit;

/// How often each is done, of which the fastest counts.
const TIMES: usize = 15;

fn main() {
    println!("{:<58} {:>34} exponent", "", "milliseconds");
    let contents = [1, 2, 5, 10].map(|times| (times, Content::load(&copied(times), None).unwrap()));
    row(
        "the answer and the homeowner's sheet, content times",
        &contents.each_ref().map(|(times, content)| (*times, best(|| sheet(content, &demo(content))))),
    );
    row(
        "the verdict alone, content times",
        &contents.each_ref().map(|(times, content)| {
            let answers = demo(content);
            let settle = || {
                for _ in 0..1000 {
                    black_box(content.settle(&answers));
                }
            };
            (*times, best(settle) / 1000)
        }),
    );
    let (_, large) = &contents[3];
    let unknown = [1, 2, 4, 9].map(|copies| {
        let answers = with_copies(large, copies);
        let shown = large.flow.state(&answers).shown;
        let open = (0..shown.len()).filter(|q| shown[*q].is_yes() && answers.get(*q).is_none()).count();
        (open, best(|| sheet(large, &answers)))
    });
    row("the same with ten times the content, questions not answered", &unknown);
    let folder = tempfile::tempdir().unwrap();
    let measured = [30, 100, 300, 1000].map(|readings| {
        let name = format!("readings-{readings}.yaml");
        fs::write(folder.path().join(&name), with_readings(readings)).unwrap();
        (readings, best(|| run(folder.path(), &["advise", &name, "--sheet", "landscaper"])))
    });
    row("a crew's sheet, readings along each of three lines", &measured);
    let stretches = [5, 10, 20, 50].map(|stretches| {
        let name = format!("stretches-{stretches}.yaml");
        fs::write(folder.path().join(&name), with_stretches(stretches)).unwrap();
        (stretches, best(|| run(folder.path(), &["advise", &name, "--sheet", "homeowner"])))
    });
    row("a homeowner's sheet, stretches of wall", &stretches);
    fs::write(folder.path().join("demo.yaml"), demo_text()).unwrap();
    let years = [5, 10, 20, 40].map(|years| {
        let name = format!("weather-{years}.csv");
        fs::write(folder.path().join(&name), weather(years)).unwrap();
        (years, best(|| run(folder.path(), &["plan", "demo.yaml", "--weather", &name, "--start", "1981-05-03"])))
    });
    row("the plan, years of weather", &years);
}

/// One line of the table, with its exponent.
fn row(what: &str, points: &[(usize, Duration)]) {
    let times: Vec<String> = points.iter().map(|(n, time)| format!("{n}: {:.2}", time.as_secs_f64() * 1e3)).collect();
    println!("{what:<58} {:>34} {:.2}", times.join(", "), exponent(points));
}

/// The slope of the straight line through the logarithms, by least squares, of what comes on top of the least.
fn exponent(points: &[(usize, Duration)]) -> f64 {
    #[allow(clippy::cast_precision_loss)] // numbers of things
    let seen: Vec<(f64, f64)> = points.iter().map(|(n, time)| (*n as f64, time.as_secs_f64())).collect();
    let (first, last) = (seen[0], seen[seen.len() - 1]);
    // what a straight line through the first and the last would have at nothing, if that is something
    let fastest = seen.iter().map(|(_, time)| *time).fold(f64::MAX, f64::min);
    let rest = (first.1 - (last.1 - first.1) / (last.0 - first.0) * first.0).clamp(0.0, fastest * 0.9);
    let logs: Vec<(f64, f64)> = seen.iter().map(|(n, time)| (n.ln(), (time - rest).ln())).collect();
    let count = f64::from(u32::try_from(logs.len()).unwrap());
    let middle = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / count;
    let (x, y) = (middle(|log| log.0), middle(|log| log.1));
    let along: f64 = logs.iter().map(|log| (log.0 - x) * (log.1 - y)).sum();
    along / logs.iter().map(|log| (log.0 - x).powi(2)).sum::<f64>()
}

fn best(mut work: impl FnMut()) -> Duration {
    let timed = |work: &mut dyn FnMut()| {
        let start = Instant::now();
        work();
        start.elapsed()
    };
    (0..TIMES).map(|_| timed(&mut work)).min().unwrap()
}

fn demo_text() -> &'static str {
    wallfoot::commands::embedded("demo/back-patio.yaml").unwrap()
}

fn demo(content: &Content) -> Answers {
    Visit::parse(demo_text(), Path::new("demo")).unwrap().answers(&content.flow, Units::Inch).0
}

/// The answers of the demo where so many copies of all questions are asked too, and none of them is answered.
fn with_copies(content: &Content, copies: usize) -> Answers {
    let mut answers = demo(content);
    for copy in 1..=copies {
        answers.set(content.flow.question(&format!("copy_{copy}")).unwrap(), Answer::YesNo(true));
    }
    answers
}

fn sheet(content: &Content, answers: &Answers) {
    let assessment = content.assess(black_box(answers), Units::Inch);
    let style = TextStyle { width: 80, bold: false, plain: false };
    black_box(text(&assessment.sheet(Sheet::Homeowner, &Cover::default()), &Marks::default(), style));
}

fn run(folder: &Path, args: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_wallfoot"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .status();
    assert!(done.unwrap().success(), "{args:?}");
}

/// An invented long patio on a slope, measured at so many places.
fn with_readings(readings: usize) -> String {
    let base = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/visits/049.yaml")).unwrap();
    let mut visit = String::new();
    let mut skipping = false;
    for line in base.lines() {
        skipping = line.contains("_profile:") || skipping && line.starts_with("    ");
        if !skipping {
            visit.push_str(line);
            visit.push('\n');
        }
    }
    let line = |top: usize| {
        // every so many hundredths of an inch
        let places = (0..readings).map(|n| {
            let at = n * 36_000 / readings;
            format!("{}.{:02} in = {} in", at / 100, at % 100, top + n % 3)
        });
        places.collect::<Vec<_>>().join("; ")
    };
    let lines = format!(
        "answers:\n  exit_profile: {}\n  finish_profile: {}\n  ground_profile: {}\n",
        line(5),
        line(8),
        line(14)
    );
    visit.replacen("answers:\n", &lines, 1)
}

/// The demo with so many stretches beside it, each with a surface of its own.
fn with_stretches(stretches: usize) -> String {
    let mut visit = demo_text().to_owned();
    visit.push_str("runs:\n");
    for nth in 0..stretches {
        let _ = writeln!(visit, "  stretch {nth}:\n    answers:\n      finish_below_mark: {} in", 3 + nth % 7);
    }
    visit
}

/// Invented days with some rain and frost, year after year.
fn weather(years: usize) -> String {
    let mut text = "date,low,high,rain\n".to_owned();
    let mut day = jiff::civil::date(1981, 1, 1);
    for nth in 0..365 * years {
        let warm = 10 - i64::from(day.month() - 7).abs() * 3;
        let rain = if nth % 4 == 0 { nth % 13 } else { 0 };
        let _ = writeln!(text, "{day},{},{},{rain}", warm - 3, warm + 8);
        day = day.tomorrow().unwrap();
    }
    text
}
