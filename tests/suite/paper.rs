//! What stands on which sheet: nothing that carries a verdict or a danger falls off, whatever there is room for; and the sheets read
//! easily.

use crate::every_sheet::VISITS;
use crate::support::CONTENT;
use std::collections::BTreeSet;
use wallfoot::content::{Content, Sheet, Verdict};
use wallfoot::judge::Assessment;
use wallfoot::sheet::{Block, Cover, Document};
use wallfoot::wall::Status;

fn cover() -> Cover {
    Cover { date: "2026-06-02".to_owned(), lang: "en".to_owned() }
}

/// All texts of a document in order, pictures left out.
fn texts(document: &Document) -> Vec<String> {
    let mut document = document.clone();
    document.blocks.retain(|block| !matches!(block, Block::Picture(_) | Block::Pictures(_) | Block::Elevation(_)));
    let mut texts = Vec::new();
    document.each_text(&mut |text| texts.push(text.clone()));
    texts
}

fn says(texts: &[String], what: &str) -> bool {
    let what = what.trim_end_matches('.');
    texts.iter().any(|text| text.contains(what))
}

/// The titles of what holds with a verdict, and the names of limits that are missed with one.
fn weighty(assessment: &Assessment<'_>) -> Vec<String> {
    let findings = assessment.held().filter(|f| f.verdict.is_some()).map(|f| assessment.fill(&f.title));
    let limits = assessment
        .limits()
        .into_iter()
        .filter(|(limit, c)| limit.verdict.is_some() && c.status == Status::Fails)
        .map(|(limit, _)| limit.what.to_string());
    findings.chain(limits).collect()
}

#[test]
fn nothing_with_a_verdict_falls_off_the_homeowners_sheet() {
    let mut seen = 0;
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        let texts = texts(&assessment.sheet(Sheet::Homeowner, &cover()));
        for what in weighty(&assessment) {
            assert!(says(&texts, &what), "{name}: {what}");
            seen += 1;
        }
    }
    assert!(seen > 500, "{seen}");
}

/// On the sheets of those who work there, a danger stands before the verdict, and every hold point of theirs is there.
#[test]
fn dangers_come_first_and_no_stop_falls_off() {
    let (mut dangers, mut stops) = (0, 0);
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        for sheet in [Sheet::Homeowner, Sheet::Landscaper, Sheet::Exterior] {
            let document = assessment.sheet(sheet, &cover());
            let verdict = document.blocks.iter().position(|b| matches!(b, Block::Verdict { .. })).unwrap();
            let before = Document { blocks: document.blocks[..verdict].to_vec(), ..document.clone() };
            let before = texts(&before);
            for step in assessment.endangers() {
                assert!(says(&before, &assessment.danger_title(&step)), "{name}, {sheet:?}");
                dangers += 1;
            }
            let all = texts(&document);
            let holds = assessment.tasks(Some(sheet)).filter(|task| task.hold);
            // the homeowner has those of others in the background
            let own = holds.filter(|task| sheet != Sheet::Homeowner || task.who.word() == "homeowner");
            for task in own {
                let todo = assessment.fill(&task.todo);
                let bare = todo.strip_prefix("Stop. ").unwrap_or(&todo);
                let first = bare.split(". ").next().unwrap();
                assert!(says(&all, first), "{name}, {sheet:?}: {first}");
                stops += 1;
            }
        }
    }
    assert!(dangers > 30 && stops > 300, "{dangers} {stops}");
}

/// What has no room on the other sheets stands behind them.
#[test]
fn the_background_has_everything() {
    for (name, answers, units) in VISITS.iter().step_by(3) {
        let assessment = CONTENT.assess(answers, *units);
        let document = assessment.background(&cover());
        let all = texts(&document);
        let chapters: BTreeSet<&String> = document
            .blocks
            .iter()
            .filter_map(|block| match block {
                Block::Chapter(title) => Some(title),
                _ => None,
            })
            .collect();
        assert!(chapters.len() >= 4, "{name}");
        let cautions = assessment.cautions(None).map(|c| assessment.fill(&c.say));
        let asks = assessment.asks().map(|a| assessment.fill(&a.ask));
        let calls = assessment.calls().map(|c| assessment.fill(&c.say));
        let materials = assessment.materials(None).map(|m| assessment.fill(&m.limit));
        let tasks = assessment.tasks(None).map(|t| assessment.fill(&t.because));
        let limits = assessment.limits().into_iter().map(|(l, _)| l.what.to_string());
        for what in cautions.chain(asks).chain(calls).chain(materials).chain(tasks).chain(limits) {
            assert!(says(&all, &what), "{name}: {what}");
        }
    }
}

/// Eight questions at most, three next steps, five cautions on what is taken to the site.
#[test]
fn amounts_are_kept() {
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        let count = |document: &Document, of: fn(&Block) -> bool| document.blocks.iter().filter(|b| of(b)).count();
        let homeowner = assessment.sheet(Sheet::Homeowner, &cover());
        assert!(count(&homeowner, |b| matches!(b, Block::Question { .. })) <= 8, "{name}");
        let asked = assessment.asks().count();
        assert_eq!(count(&homeowner, |b| matches!(b, Block::Question { .. })), asked.min(8), "{name}");
        let crew = assessment.sheet(Sheet::Landscaper, &cover());
        let verdict = crew.blocks.iter().position(|b| matches!(b, Block::Verdict { .. })).unwrap();
        let cautions = crew.blocks[verdict..].iter().filter(|b| matches!(b, Block::Caution { .. })).count();
        assert!(cautions <= 5, "{name}: {cautions}");
    }
}

/// A planned height that is not agreed stands on the crew's sheet as that and nothing else.
#[test]
fn a_rejected_height_is_nothing_to_build_to() {
    let mut seen = 0;
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        if assessment.settled.verdict == Verdict::GoAhead {
            continue;
        }
        let crew = assessment.sheet(Sheet::Landscaper, &cover());
        for block in &crew.blocks {
            if let Block::Paragraph(text) | Block::Figure(text) = block
                && text.starts_with("Build to ")
            {
                panic!("{name}: {text}");
            }
            seen += usize::from(matches!(block, Block::Paragraph(text) if text.contains("NOT agreed")));
        }
    }
    assert!(seen > 20, "{seen}");
}

/// Flesch-Kincaid grade of a text: 0.39 words a sentence + 11.8 syllables a word - 15.59 (Kincaid and others, "Derivation of new
/// readability formulas", 1975; from memory). Syllables are counted as groups of vowels, a silent `e` at the end left out.
fn grade(text: &str) -> f64 {
    let words: Vec<String> = text
        .split_whitespace()
        .map(|word| word.chars().filter(|c| c.is_alphabetic()).collect::<String>().to_lowercase())
        .filter(|word| !word.is_empty())
        .collect();
    let ends = |c: char| matches!(c, '.' | '!' | '?' | ';' | ':');
    let sentences = text
        .split_whitespace()
        .filter(|word| word.ends_with(ends) && word.chars().any(char::is_alphabetic))
        .count()
        .max(1);
    let syllables: usize = words.iter().map(|word| syllables(word)).sum();
    #[allow(clippy::cast_precision_loss)] // words of a sheet
    let (words, sentences, syllables) = (words.len() as f64, sentences as f64, syllables as f64);
    0.39f64.mul_add(words / sentences, 11.8 * syllables / words) - 15.59
}

fn syllables(word: &str) -> usize {
    let vowel = |c: char| matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y');
    let letters: Vec<char> = word.chars().collect();
    let groups = letters.chunk_by(|a, b| vowel(*a) == vowel(*b)).filter(|group| vowel(group[0])).count();
    let silent = word.ends_with('e') && !word.ends_with("le") && groups > 1;
    (groups - usize::from(silent)).max(1)
}

/// "The cat sat on the mat." is six words of one syllable: 0.39 * 6 + 11.8 - 15.59 = -1.45 (worked out by hand).
#[test]
fn grades_are_counted_right() {
    assert!((grade("The cat sat on the mat.") + 1.45).abs() < 0.01);
    for (word, count) in [("water", 2), ("cladding", 2), ("surface", 2), ("table", 2), ("the", 1)] {
        assert_eq!(syllables(word), count, "{word}");
    }
}

#[test]
fn homeowner_and_crew_read_easily() {
    let mut worst: Vec<(f64, String)> = Vec::new();
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        for sheet in [Sheet::Homeowner, Sheet::Landscaper] {
            let document = assessment.sheet(sheet, &cover());
            // a table is no text; a line ends as a sentence does
            let blocks = document.blocks.iter().filter(|b| !matches!(b, Block::Table { .. } | Block::Signatures(_)));
            let running = Document { blocks: blocks.cloned().collect(), ..document.clone() };
            let text: Vec<String> =
                texts(&running).into_iter().map(|t| if t.ends_with(['.', '?', '!']) { t } else { t + "." }).collect();
            worst.push((grade(&text.join(" ")), format!("{name}, {sheet:?}")));
        }
    }
    worst.sort_by(|a, b| b.0.total_cmp(&a.0));
    assert!(worst[0].0 <= 8.0, "{:?}", &worst[..6]);
}

/// A figure never breaks from its fraction or its unit.
#[test]
fn figures_stay_in_one_piece() {
    for (text, tied) in [
        ("lies 10 1/8 in below", "lies 10~1/8~in below"),
        ("(24 ft x 14 ft 6 in).", "(24~ft x 14~ft 6~in)."),
        ("at most 7 3/4 pulg, here", "at most 7~3/4~pulg, here"),
        ("in 10 parts, 2 %", "in 10 parts, 2~%"),
        ("IRC 2018 numbering", "IRC 2018 numbering"),
    ] {
        let document = Document {
            title: "A sheet".to_owned(),
            running: String::new(),
            about: Vec::new(),
            lang: "en".to_owned(),
            blocks: vec![Block::Paragraph(text.to_owned())],
            foot: String::new(),
            letterhead: None,
        };
        let page = wallfoot::render::html(&document, &wallfoot::render::Marks::default());
        assert!(page.contains(&tied.replace('~', "\u{a0}")), "{page}");
    }
}

/// Both languages: a sheet that was made twice is the same.
#[test]
fn sheets_are_the_same_each_time() {
    let load = |lang: &str| Content::load(&wallfoot::commands::sources(None, Some(lang)).unwrap(), Some(lang)).unwrap();
    let spanish = load("es");
    for (_, answers, units) in VISITS.iter().step_by(20) {
        for content in [&*CONTENT, &spanish] {
            let made = || content.assess(answers, *units).sheet(Sheet::Homeowner, &cover());
            assert_eq!(made(), made());
        }
    }
}

/// `hand-over` writes every sheet into its own file, and the name of the file is the title that a printer offers.
#[test]
fn all_sheets_are_handed_over() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(crate::support::top().join("questions/demo/back-patio.yaml"), folder.path().join("patio.yaml"))
        .unwrap();
    let output = crate::support::run(folder.path(), &["hand-over", "patio.yaml", "-o", "sheets"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    for sheet in ["homeowner", "landscaper", "exterior", "agreement", "background"] {
        let page = std::fs::read_to_string(folder.path().join(format!("sheets/patio-{sheet}.html"))).unwrap();
        assert!(page.contains(&format!("<title>patio-{sheet}</title>")), "{sheet}");
    }
    // a second time they are written over, since they are the program's own
    assert!(crate::support::run(folder.path(), &["hand-over", "patio.yaml", "-o", "sheets"]).status.success());
}

/// The section and the wall along the run stand on one sheet: they tell of one height to keep.
#[test]
fn all_pictures_keep_one_height() {
    use wallfoot::judge::Kept;
    let mut seen = 0;
    for (name, answers, units) in &*VISITS {
        let assessment = CONTENT.assess(answers, *units);
        let along = assessment.build_to();
        if let Kept::Lower { by, steps, .. } = assessment.height_kept() {
            assert_eq!((along.lower, along.steps), (Some(by), steps), "{name}");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}
