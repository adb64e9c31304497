//! What decides comes first: how many questions until the verdict is settled, in which order, and how often somebody walks.

use crate::support::{CONTENT, asked_until_settled, top, visit};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::PathBuf;
use wallfoot::content::Verdict;
use wallfoot::flow::{Answer, Answers, Stand};
use wallfoot::units::Units;

/// The visits that were there when the bounds below were set.
const FIRST_VISITS: [&str; 21] = [
    "adhered-stone-steps-leaking",
    "australia-brick-pavers",
    "back-patio",
    "brick-veneer-landing",
    "built-brick-weeps-covered",
    "built-channel-behind-landing",
    "built-overlay-over-vinyl",
    "built-steps-stucco-no-screed",
    "canada-stucco-slab",
    "eifs-raised-patio-unknown-exit",
    "fibre-cement-overlay",
    "metal-planter",
    "nothing-known",
    "side-steps",
    "sloping-wall-two-doors",
    "stone-veneer-hearth",
    "stucco-old-raised-patio",
    "stucco-screed-slab",
    "uk-solid-masonry-patio",
    "vinyl-walkway",
    "wood-1925-slab-leaking",
];

/// All shipped visits: name and answers.
fn shipped() -> Vec<(String, Answers)> {
    let folders = std::fs::read_dir(top().join("tests/scenarios")).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<(String, PathBuf)> = folders
        .map(|folder| (folder.file_name().unwrap().to_string_lossy().into_owned(), folder.join("visit.yaml")))
        .filter(|(_, file)| file.exists())
        .collect();
    files.extend(
        ["back-patio", "side-steps"]
            .map(|name| (name.to_owned(), top().join("questions/demo").join(format!("{name}.yaml")))),
    );
    files.sort();
    files.into_iter().map(|(name, file)| (name, visit(&file).1)).collect()
}

/// How many screens an interview shows: what is answered in one go is one.
fn screens(whole: &Answers) -> (Vec<usize>, Answers) {
    let (mut asked, mut answers) = (Vec::new(), Answers::default());
    while let Some(next) = CONTENT.next_question(&answers) {
        asked.push(next.question);
        answers.set(next.question, whole.get(next.question).cloned().unwrap_or(Answer::NotSure));
        for also in &CONTENT.flow.questions[next.question].at_once {
            let shown = CONTENT.flow.state_so_far(&answers).shown[*also].is_yes();
            if let (true, Some(answer)) = (shown, whole.get(*also)) {
                answers.set(*also, answer.clone());
            }
        }
    }
    (asked, answers)
}

/// How often somebody comes back to a place where they have been.
fn returns(asked: &[usize], built: bool) -> usize {
    let stands = asked.iter().map(|q| CONTENT.flow.questions[*q].stand(built));
    let mut places: Vec<Stand> = stands.filter(|place| *place != Stand::Anywhere).collect();
    places.dedup();
    places.len() - places.iter().collect::<BTreeSet<_>>().len()
}

fn median(mut counts: Vec<usize>) -> usize {
    counts.sort_unstable();
    counts[counts.len() / 2]
}

/// The table that shows it, visit by visit, and the bounds of it.
#[test]
fn few_questions_settle_the_verdict() {
    let mut table = String::new();
    let mut by_verdict: BTreeMap<Verdict, Vec<usize>> = BTreeMap::new();
    let (mut all, mut plain) = (Vec::new(), 0);
    for (name, whole) in shipped() {
        let verdict = CONTENT.settle(&whole).verdict;
        let (asked, answers) = screens(&whole);
        let short = CONTENT.settle(&answers);
        assert_eq!(short.verdict, verdict, "{name}");
        assert_eq!(CONTENT.assess_so_far(&answers, Units::Inch).settled.verdict, verdict, "{name}");
        let walks = returns(&asked, CONTENT.is_built(&whole));
        assert!(walks <= 1, "{name} walks back {walks} times");
        let whole_count = CONTENT.left_for_sheets(&answers).len() + asked.len();
        writeln!(table, "{:2} of {whole_count:2}  walks back {walks}  {verdict:?}: {name}", asked.len()).unwrap();
        if FIRST_VISITS.contains(&name.as_str()) {
            all.push(asked.len());
            by_verdict.entry(verdict).or_default().push(asked.len());
        }
        if name == "vinyl-walkway" {
            plain = asked.len();
        }
    }
    assert_eq!(all.len(), FIRST_VISITS.len());
    let trade = median(by_verdict[&Verdict::ExteriorTradeFirst].clone());
    writeln!(table, "the first 21: median {}, exterior trade first {trade}, go ahead {plain}", median(all.clone()))
        .unwrap();
    insta::assert_snapshot!(table);
    assert!(trade <= 10, "{trade}");
    assert!(median(all.clone()) <= 15, "{all:?}");
    // 20 was aimed at; each of these 22 stands alone in the way of "Go ahead"
    assert!(plain <= 22, "{plain}");
}

/// Dangers to people are asked before anything else of built work, and none is left out of a "Go ahead".
#[test]
fn people_in_danger_come_first() {
    let number = |id: &str| CONTENT.flow.question(id).unwrap();
    for (name, whole) in shipped().into_iter().filter(|(_, whole)| CONTENT.is_built(whole)) {
        let (asked, _) = asked_until_settled(&whole);
        let place = |id: &str| asked.iter().position(|q| *q == number(id));
        let signs = place("signs").unwrap_or_else(|| panic!("{name}: signs are not asked"));
        let things = place("wall_things").unwrap_or(signs);
        for height in ["exit_way", "finish_way", "joint", "roof_edge"] {
            assert!(place(height).is_none_or(|at| at > signs && at > things), "{name}: {height} before the dangers");
        }
    }
    for (name, whole) in shipped() {
        let (_, answers) = asked_until_settled(&whole);
        let so_far = CONTENT.assess_so_far(&answers, Units::Inch);
        if so_far.settled.verdict == Verdict::GoAhead {
            let open: Vec<&str> = CONTENT
                .findings
                .iter()
                .zip(&so_far.findings)
                .filter(|(finding, truth)| finding.danger && truth.is_possible())
                .map(|(finding, _)| finding.id.as_str())
                .collect();
            assert!(open.is_empty(), "{name}: {open:?}");
        }
    }
}

/// Whoever stops and comes back is asked the same next question: it follows from the answers alone, in whatever order they
/// came.
#[test]
fn the_next_question_follows_from_the_answers() {
    for (name, whole) in shipped() {
        let (asked, answers) = asked_until_settled(&whole);
        let mut again = Answers::default();
        for question in asked.iter().rev() {
            again.set(*question, answers.get(*question).unwrap().clone());
        }
        assert_eq!(CONTENT.next_question(&again), None, "{name}");
        for (at, question) in asked.iter().enumerate() {
            let mut so_far = Answers::default();
            for earlier in asked[..at].iter().rev() {
                so_far.set(*earlier, answers.get(*earlier).unwrap().clone());
            }
            assert_eq!(CONTENT.next_question(&so_far).unwrap().question, *question, "{name}");
        }
    }
}

/// The country comes first, since the units hang on it; the mark comes before what is measured from it.
#[test]
fn what_others_need_comes_before_them() {
    for (name, whole) in shipped() {
        let (asked, _) = asked_until_settled(&whole);
        assert_eq!(CONTENT.flow.questions[asked[0]].id, "region", "{name}");
        for (at, question) in asked.iter().enumerate() {
            for need in &CONTENT.flow.questions[*question].needs {
                let place = asked.iter().position(|q| q == need);
                assert!(place.is_none_or(|place| place < at), "{name}: {}", CONTENT.flow.questions[*question].id);
            }
        }
    }
}

/// Back goes over the questions in the order in which they were asked, whatever that was, and then on as before.
#[test]
fn back_follows_the_order_that_was_asked() {
    use crate::interview::Scripted;
    use wallfoot::interview::{Interview, Next, Prompt, Reply};
    for (name, whole) in shipped() {
        let order = |answers: &Answers, _: Option<usize>| {
            CONTENT.next_question(answers).map(|next| Next { question: next.question, more: next.more })
        };
        let interview = Interview::new(&crate::interview::EACH_ALONE, |_: &Answers| Units::Inch, order);
        let mut steps = 0;
        let mut asker = Scripted::new(|prompt: &Prompt<'_>| {
            steps += 1;
            // at the fifth screen three back
            if (5..8).contains(&steps) {
                return Reply::Back;
            }
            let number = CONTENT.flow.question(&prompt.question.id).unwrap();
            Reply::Answer(whole.get(number).cloned().unwrap_or(Answer::NotSure))
        });
        let mut answers = Answers::default();
        interview.run(&mut answers, &mut asker, &mut |_| Ok::<(), std::convert::Infallible>(())).unwrap();
        let order = asker.asked.clone();
        let (straight, settled) = asked_until_settled(&whole);
        assert_eq!(answers, settled, "{name}");
        let ids = |at: usize| CONTENT.flow.questions[straight[at]].id.clone();
        // the fifth, three back to the second, the second answered again, and on with the fifth
        assert_eq!(order[4..9], [ids(4), ids(3), ids(2), ids(1), ids(4)], "{name}");
    }
}
