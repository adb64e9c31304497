//! The answer on one screen: what must hold of it for every visit there is, and for made-up ones.

use crate::every_sheet::VISITS;
use crate::sound::{changed_visit, seeds, units};
use crate::support::{CONTENT, run};
use std::sync::LazyLock;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::Answers;
use wallfoot::judge::{Assessment, Headline, Lowered, Stretches};
use wallfoot::render::{Marks, TextStyle, screen};
use wallfoot::sheet::{Alternative, Block, Cover, Detail, compare};
use wallfoot::units::{Length, Units};

/// Lines of a terminal, and what the menu of nine lines takes of them: its title, its keys, and an empty line before it.
const ROWS: usize = 24;
const MENU: usize = 9 + 3;

static SPANISH: LazyLock<Content> = LazyLock::new(|| {
    let sources = wallfoot::commands::sources(None, Some("es")).unwrap();
    Content::load(&sources, Some("es")).unwrap()
});

/// All visits there are, and made-up ones a few changes away from sound ones.
fn visits() -> impl Iterator<Item = (String, Answers, Units)> {
    let made = (0..seeds(300)).map(|seed| {
        let answers = changed_visit(seed);
        let units = units(&answers);
        (format!("seed {seed}"), answers, units)
    });
    VISITS.iter().cloned().chain(made)
}

fn shown(stretches: &Stretches<'_>, detail: Detail, width: usize) -> String {
    let cover = Cover { date: "2026-06-02".to_owned(), lang: "en".to_owned() };
    let marks = Marks { stop: "STOP".to_owned(), ..Marks::default() };
    screen(&stretches.answer(&cover, detail, ""), &marks, TextStyle { width, bold: false, plain: false }, false)
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn one(assessment: Assessment<'_>) -> Stretches<'_> {
    Stretches::of(vec![("The first stretch".to_owned(), assessment)]).unwrap()
}

/// Whatever endangers people, the verdict and the figure stand on a screen of 24 lines together with the menu, in both
/// languages; what endangers people stands before the verdict; and the figure is that of the JSON report.
#[test]
fn it_fits_with_the_menu_and_nothing_of_weight_falls_off() {
    for content in [&*CONTENT, &*SPANISH] {
        for (name, answers, units) in visits() {
            let stretches = one(content.assess(&answers, units));
            let worst = stretches.worst();
            let fits = Detail::ALL.iter().map(|detail| shown(&stretches, *detail, 80));
            let text = fits.into_iter().find(|text| text.lines().count() <= ROWS - MENU);
            let text = text.unwrap_or_else(|| panic!("{name}: too long\n{}", shown(&stretches, Detail::ALL[6], 80)));
            let text = flat(&text);
            let verdict = content.word(&format!("verdict.{}", worst.settled.verdict.word())).to_uppercase();
            let at = text.find(&verdict).unwrap_or_else(|| panic!("{name}: no verdict\n{text}"));
            let report = serde_json::to_value(worst.report()).unwrap();
            for danger in report["answer"]["dangers"].as_array().unwrap() {
                let danger = flat(&wallfoot::sheet::said_in(danger.as_str().unwrap(), content));
                let place = text.find(danger.trim_end_matches('.'));
                assert!(place.is_some_and(|place| place < at), "{name}: {danger} is not before the verdict\n{text}");
            }
            let figure = &report["answer"]["figure"]["text"];
            if let Some(figure) = figure.as_str() {
                let figure = wallfoot::sheet::said_in(figure, content);
                assert!(text.contains(&flat(&figure)), "{name}: {figure} is missing\n{text}");
            } else {
                assert!(worst.headline().is_none());
            }
        }
    }
}

/// On a terminal of 15 lines by 40 the menu shows four lines; above it there is room for verdict and figure.
#[test]
fn on_a_small_screen_verdict_and_figure_stand_at_the_end() {
    for (name, answers, units) in visits() {
        let stretches = one(CONTENT.assess(&answers, units));
        let text = shown(&stretches, Detail::ALL[1].with_verdict_last(), 40);
        let verdict = CONTENT.word(&format!("verdict.{}", stretches.worst().settled.verdict.word())).to_uppercase();
        let end: Vec<&str> = text.lines().skip_while(|line| *line != verdict).collect();
        assert!((1..=7).contains(&end.len()), "{name}\n{text}");
    }
}

/// The number in the figure of the screen is that of the report, and what it says has been tried out.
#[test]
fn the_figure_is_the_one_of_the_report() {
    let mut told = 0;
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        let report = serde_json::to_value(assessment.report()).unwrap();
        let figure = &report["answer"]["figure"];
        let mm = |field: &str| figure[field]["mm"].as_f64();
        match assessment.headline() {
            Some(Headline::Lower { below, lower, .. }) => {
                told += 1;
                assert_eq!(mm("lower_by"), Some(lower.as_mm()), "{name}");
                assert_eq!(mm("highest_below_mark"), below.map(Length::as_mm), "{name}");
                assert!(figure["text"].as_str().unwrap().contains(&lower.show(units)), "{name}: {figure}");
            }
            Some(Headline::Keep { below }) => assert_eq!(mm("highest_below_mark"), Some(below.as_mm()), "{name}"),
            Some(Headline::FindOut { question, .. }) => {
                assert_eq!(figure["question"], CONTENT.flow.questions[question].id.as_str(), "{name}");
            }
            Some(Headline::Limit(limit, _)) => assert_eq!(figure["limit"], limit.id.as_str(), "{name}"),
            Some(Headline::LookInto(_) | Headline::Exit(_)) | None => {}
        }
    }
    assert!(told > 20, "only {told} visits of this kind");
}

/// What is to be done first is whole sentences, and what endangers people comes before everything else.
#[test]
fn first_things_are_whole_and_danger_comes_first() {
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        let steps = assessment.first_steps();
        assert!(!steps.is_empty() && steps.len() <= 3, "{name}");
        for step in &steps {
            let text = assessment.step_in_words(step, 76);
            assert!(text.ends_with(['.', '!', '?', ')']), "{name}: {text}");
            assert!(!text.contains(['{', '}']), "{name}: {text}");
        }
        let dangers = assessment.endangers();
        if let Some(danger) = dangers.first() {
            assert!(assessment.settled.verdict > Verdict::GoAhead, "{name}");
            assert_eq!(assessment.step_in_words(danger, 500), assessment.step_in_words(&steps[0], 500), "{name}");
        }
    }
}

fn missed(assessment: &Assessment<'_>) -> Vec<String> {
    let limits = assessment.limits().into_iter();
    let missed = limits.filter(|(limit, clearance)| limit.verdict.is_some() && clearance.breaks().is_yes());
    missed.map(|(limit, _)| limit.id.to_string()).collect()
}

/// "To lower, to meet all limits": lowered by what is shown, nothing is missed any more. Where it says that lowering alone does
/// not do it, no other depth does either.
#[test]
fn lowered_by_what_is_shown_all_limits_are_met() {
    let (mut by_so_much, mut never) = (0, 0);
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        let lowered = |by: Length| {
            // as it is typed after `--set lower=`
            let by = Length::parse(&by.show(units), units).unwrap();
            assessment.with_finish_lowered(by).map(|answers| missed(&CONTENT.assess(&answers, units)))
        };
        match assessment.lowered() {
            Lowered::NotNeeded => assert_eq!(missed(&assessment), [""; 0], "{name}"),
            Lowered::By(by) => {
                by_so_much += 1;
                assert!(by > Length::ZERO, "{name}");
                assert_eq!(lowered(by), Some(vec![]), "{name}: by {}", by.show(units));
            }
            Lowered::ByWithSteps(by) => {
                let left = if by == Length::ZERO { missed(&assessment) } else { lowered(by).unwrap() };
                assert!(!left.is_empty(), "{name}");
                assert!(left.iter().all(|id| id.contains("threshold") || id.contains("door")), "{name}: {left:?}");
            }
            Lowered::NotEnough => {
                never += 1;
                for inches in 1..=24 {
                    let left = lowered(Length::inches(inches));
                    assert!(left.is_none_or(|left| !left.is_empty()), "{name}: {inches} in would do");
                }
            }
        }
    }
    assert!(by_so_much > 20 && never > 3, "{by_so_much} {never}");
}

/// Each alternative has its cell in each row: days, hours and steps among them.
#[test]
fn no_cell_of_a_comparison_is_empty() {
    for (name, answers, units) in VISITS.iter() {
        let assessment = CONTENT.assess(answers, *units);
        let depths = [-3, 2, 5, 9].into_iter().filter_map(|by| assessment.with_finish_lowered(Length::inches(by)));
        let plans: Vec<Answers> = std::iter::once(answers.clone()).chain(depths).collect();
        let list: Vec<Alternative<'_>> = plans
            .iter()
            .enumerate()
            .map(|(i, answers)| Alternative { name: i.to_string(), assessment: CONTENT.assess(answers, *units) })
            .collect();
        let document = compare(&list, &Cover::default(), 2).unwrap();
        let mut verdicts = 0;
        for block in &document.blocks {
            let Block::Table { head, rows } = block else { continue };
            assert!(rows.iter().flatten().all(|cell| !cell.is_empty()), "{name}: {rows:?}");
            if head.len() > 2 {
                assert_eq!(head[1], "0", "{name}: the plan stands first in each table");
                assert_eq!(rows[0][0], CONTENT.word("row.verdict"), "{name}");
                verdicts += 1;
            }
        }
        assert_eq!(verdicts, (plans.len() - 1).div_ceil(2), "{name}");
    }
}

#[test]
fn six_alternatives_fit_and_a_seventh_does_not() {
    let folder = tempfile::tempdir().unwrap();
    let patio = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    std::fs::write(folder.path().join("v.yaml"), patio).unwrap();
    let sets = ["lower=1 in", "lower=2 in", "lower=3 in", "lower=4 in", "joint=open_gap", "raise=1 in", "lower=6 in"];
    let mut args = vec!["compare", "v.yaml"];
    args.extend(sets[..6].iter().flat_map(|set| ["--set", set]));
    assert!(run(folder.path(), &args).status.success());
    args.extend(["--set", sets[6]]);
    let refused = run(folder.path(), &args);
    assert!(!refused.status.success());
    assert!(String::from_utf8_lossy(&refused.stderr).contains("at most 6 alternatives"));
    let nothing = run(folder.path(), &["compare", "v.yaml"]);
    assert!(String::from_utf8_lossy(&nothing.stderr).contains("nothing has been tried in v.yaml yet"));
}

/// `advise` without a sheet is one screen, and names the ways to more; in a form of its own it is the homeowner's sheet.
#[test]
fn advise_shows_the_answer() {
    let folder = tempfile::tempdir().unwrap();
    let patio = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    std::fs::write(folder.path().join("v.yaml"), patio).unwrap();
    let told = |args: &[&str]| String::from_utf8(run(folder.path(), args).stdout).unwrap();
    let answer = told(&["advise", "v.yaml"]);
    assert!(answer.lines().count() < 24, "{answer}");
    // worked out by hand: the lowest wood lies 8 in below the threshold and needs 2 in, and 1/8 in is what a tape can be wrong by
    let figure = "10 1/8 in below the top of the door threshold, 3 1/8 in lower than planned";
    assert!(flat(&answer).contains(figure), "{answer}");
    for sheet in ["homeowner", "landscaper", "exterior", "agreement"] {
        assert!(answer.contains(sheet), "{answer}");
    }
    assert!(told(&["advise", "v.yaml", "--as", "html"]).contains("<h2>"));
    assert_eq!(told(&["advise", "v.yaml", "--as", "text"]), told(&["advise", "v.yaml", "--sheet", "homeowner"]));
    let demo = told(&["demo"]);
    assert!(demo.contains("Section as planned") && flat(&demo).contains(figure) && demo.contains("--sheet"), "{demo}");
    assert!(demo.find("Section as planned") < demo.find("EXTERIOR TRADE FIRST"));
}

/// A figure never speaks against its verdict: a limit is one that leads to it, a clearance that is all right is no figure of a
/// plan that is not, and a height to keep holds as it is shown.
#[test]
fn the_figure_goes_with_the_verdict() {
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        let verdict = assessment.settled.verdict;
        match assessment.headline() {
            Some(Headline::Limit(limit, _)) => assert_eq!(limit.verdict, Some(verdict), "{name}: {}", limit.id),
            Some(Headline::Exit(gap)) => {
                assert!(gap < Length::ZERO || verdict == Verdict::GoAhead, "{name}: {verdict:?} {gap:?}");
            }
            Some(Headline::Keep { below }) => assert_eq!(below, below.up_to_shown(units), "{name}"),
            Some(Headline::Lower { lower, .. }) => assert!(lower > Length::ZERO, "{name}"),
            Some(Headline::FindOut { .. } | Headline::LookInto(_)) => {
                assert_eq!(verdict, Verdict::FindOutFirst, "{name}");
            }
            None => assert_ne!(verdict, Verdict::FindOutFirst, "{name}"),
        }
    }
}
