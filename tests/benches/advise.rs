//! How long the parts of a visit take: `cargo bench`.
#![allow(clippy::unwrap_used)] // a benchmark that cannot start should say so at once

use divan::{Bencher, black_box};
use wallfoot::content::{Content, Sheet};
use wallfoot::flow::{Answer, Answers, Diagnostics, Node, Source};
use wallfoot::render::{Marks, TextStyle, html, text};
use wallfoot::sheet::Cover;
use wallfoot::units::Units;
use wallfoot::visit::Visit;

fn main() {
    divan::main();
}

fn sources() -> Vec<Source> {
    wallfoot::commands::sources(None, None).unwrap()
}

/// The built-in content and the answers of the demo patio.
fn demo() -> (Content, Visit) {
    let content = Content::load(&sources(), None).unwrap();
    let text = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    let visit = Visit::parse(text, std::path::Path::new("demo")).unwrap();
    (content, visit)
}

/// All YAML of the content to trees, as for a folder given with `--questions`.
#[divan::bench]
fn parse_yaml(bencher: Bencher<'_, '_>) {
    let sources: Vec<Source> = sources().into_iter().map(|s| Source { tree: None, ..s }).collect();
    bencher.bench(|| {
        for (i, source) in sources.iter().enumerate() {
            black_box(Node::read(source, u32::try_from(i).unwrap(), &mut Diagnostics::default()));
        }
    });
}

/// All content, checked.
#[divan::bench]
fn load_content(bencher: Bencher<'_, '_>) {
    let sources = sources();
    bencher.bench(|| Content::load(black_box(&sources), None).unwrap());
}

/// Answers to verdict, findings, and what to find out.
#[divan::bench]
fn assess(bencher: Bencher<'_, '_>) {
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    bencher.bench(|| content.assess(black_box(&answers), Units::Inch).settled);
}

/// The next question with nothing answered but what comes first, and with everything unknown that can be.
#[divan::bench(args = [false, true])]
fn next_question(bencher: Bencher<'_, '_>, unknown: bool) {
    let (content, _) = demo();
    let mut answers = Answers::default();
    while let Some(next) = content.next_question(&answers).filter(|_| unknown || answers.iter().count() < 2) {
        let question = &content.flow.questions[next.question];
        let answer = if question.not_sure { Answer::NotSure } else { Answer::Choice(0) };
        // the last one stays to be chosen
        let before = answers.clone();
        answers.set(next.question, answer);
        if content.next_question(&answers).is_none() {
            answers = before;
            break;
        }
    }
    bencher.bench(|| content.next_question(black_box(&answers)));
}

/// The verdict alone.
#[divan::bench]
fn settle(bencher: Bencher<'_, '_>) {
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    bencher.bench(|| content.settle(black_box(&answers)));
}

/// The same with "not sure" everywhere, which is the most work.
#[divan::bench]
fn assess_nothing_known(bencher: Bencher<'_, '_>) {
    let (content, _) = demo();
    let answers = wallfoot::flow::Answers::default();
    bencher.bench(|| content.assess(black_box(&answers), Units::Inch).settled);
}

/// One sheet laid out and drawn for the terminal.
#[divan::bench]
fn homeowner_text(bencher: Bencher<'_, '_>) {
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    let assessment = content.assess(&answers, Units::Inch);
    let style = TextStyle { width: 80, bold: false, plain: false };
    bencher.bench(|| text(&assessment.sheet(Sheet::Homeowner, &Cover::default()), &Marks::default(), style));
}

/// The same as a page.
#[divan::bench]
fn homeowner_html(bencher: Bencher<'_, '_>) {
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    let assessment = content.assess(&answers, Units::Inch);
    bencher.bench(|| html(&assessment.sheet(Sheet::Homeowner, &Cover::default()), &Marks::default()));
}

/// The same as PDF, when one has been set before: what the typesetter remembers of the last sheet counts.
#[cfg(feature = "pdf")]
#[divan::bench]
fn homeowner_pdf(bencher: Bencher<'_, '_>) {
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    let assessment = content.assess(&answers, Units::Inch);
    let document = assessment.sheet(Sheet::Homeowner, &Cover::default());
    let mut about = 0_u32;
    bencher.bench_local(|| {
        // each time another sheet
        about += 1;
        let document = wallfoot::sheet::Document { about: vec![about.to_string()], ..document.clone() };
        wallfoot::render::pdf(&document, &Marks::default(), wallfoot::render::PaperSize::Letter)
    });
}

/// Which unknowns are decisive, with thresholds: everything "not sure".
#[divan::bench]
fn decisive_nothing_known(bencher: Bencher<'_, '_>) {
    let (content, _) = demo();
    let mut answers = wallfoot::flow::Answers::default();
    for (number, question) in content.flow.questions.iter().enumerate() {
        let answer =
            if question.not_sure { wallfoot::flow::Answer::NotSure } else { wallfoot::flow::Answer::Choice(0) };
        answers.set(number, answer);
    }
    bencher.bench(|| content.assess(black_box(&answers), Units::Inch).decisive().len());
}

/// The fewest answers that force the verdict of the demo, and the nearest change.
#[divan::bench]
fn why(bencher: Bencher<'_, '_>) {
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    bencher.bench(|| {
        let assessment = content.assess(black_box(&answers), Units::Inch);
        (assessment.forced_by(), assessment.nearest_change())
    });
}

/// The answers of a visit of the tests.
fn visit(content: &Content, path: &str) -> Answers {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let visit = Visit::parse(&std::fs::read_to_string(&path).unwrap(), &path).unwrap();
    visit.answers(&content.flow, Units::Inch).0
}

/// The demo, and visits for which these are the most work.
const WORST: [&str; 6] = [
    "questions/demo/back-patio.yaml",
    "tests/scenarios/metal-planter/visit.yaml",
    "tests/scenarios/canada-deck-ledger-over-siding/visit.yaml",
    "tests/visits/049.yaml",
    "tests/visits/061.yaml",
    "tests/visits/074.yaml",
];

/// The nearest change that gives "Go ahead", or what no change takes away.
#[divan::bench(args = WORST)]
fn nearest_change(bencher: Bencher<'_, '_>, path: &str) {
    let (content, _) = demo();
    let answers = visit(&content, path);
    let assessment = content.assess(&answers, Units::Inch);
    bencher.bench(|| black_box(&assessment).nearest_change());
}

/// The fewest answers that force the verdict.
#[divan::bench(args = WORST)]
fn forced_by(bencher: Bencher<'_, '_>, path: &str) {
    let (content, _) = demo();
    let answers = visit(&content, path);
    let assessment = content.assess(&answers, Units::Inch);
    bencher.bench(|| black_box(&assessment).forced_by());
}

/// Which unknowns are decisive.
#[divan::bench(args = WORST)]
fn decisive(bencher: Bencher<'_, '_>, path: &str) {
    let (content, _) = demo();
    let answers = visit(&content, path);
    let assessment = content.assess(&answers, Units::Inch);
    bencher.bench(|| black_box(&assessment).decisive().len());
}

/// The plan of the demo on the record of four years, with the chances of every week.
#[divan::bench]
fn plan_on_four_years(bencher: Bencher<'_, '_>) {
    use jiff::civil::Weekday::{Friday, Monday, Thursday, Tuesday, Wednesday};
    use wallfoot::judge::{Forecast, Job};
    use wallfoot::work::Record;
    let (content, visit) = demo();
    let (answers, _) = visit.answers(&content.flow, Units::Inch);
    let record = Record::parse(include_str!("../data/seattle-weather.csv")).unwrap();
    let cover = Cover { date: String::new(), lang: "en".to_owned() };
    bencher.bench(|| {
        let assessment = content.assess(black_box(&answers), Units::Inch);
        let workdays = vec![Monday, Tuesday, Wednesday, Thursday, Friday];
        let forecast = Forecast { record: &record, holidays: Vec::new(), workdays, start: 400, within: None };
        Job::one(&assessment).document(&cover, Some(&forecast), None).blocks.len()
    });
}
