//! The nearest change of the plan, on the shipped content: against brute force over one and two answers.

use crate::sound::{assess, changed_visit, seeds};
use crate::support::CONTENT;
use std::collections::BTreeMap;
use wallfoot::content::Verdict;
use wallfoot::flow::{Answer, Answers, QuestionKind};
use wallfoot::judge::{Assessment, Change, Nearest};
use wallfoot::names::Stage;
use wallfoot::units::{Length, Units};

/// Answers to a question of the plan, lengths at every half inch within a foot and a half of the present one.
fn answers_to(question: usize, now: Option<&Answer>) -> Vec<Answer> {
    let asked = &CONTENT.flow.questions[question];
    match asked.kind {
        QuestionKind::OneOf => (0..asked.choices.len()).map(Answer::Choice).collect(),
        QuestionKind::YesNo => [true, false].map(Answer::YesNo).to_vec(),
        QuestionKind::SeveralOf => (0..1 << asked.choices.len()).map(Answer::Several).collect(),
        QuestionKind::Length => {
            let middle = if let Some(Answer::Length(length)) = now { *length } else { Length::inches(12) };
            let near = (-36..=36).map(|n| middle + Length::sixty_fourths(32 * n));
            let fits = |l: &Length| asked.bounds.is_none_or(|b| (b.least..=b.most).contains(&l.steps()));
            near.filter(fits).map(Answer::Length).collect()
        }
        _ => Vec::new(),
    }
}

/// Whether a set of answers gives "Go ahead", answers all that it brings up about the plan, and leaves known what is known.
fn does_it(assessment: &Assessment<'_>, set: &[(usize, Answer)]) -> bool {
    let after = assessment.with_change(&Change { answers: set.to_vec() });
    let shown = CONTENT.flow.state(&after).shown;
    let unanswered = |q: usize| {
        CONTENT.flow.questions[q].plan
            && shown[q].is_yes()
            && !assessment.state.shown[q].is_yes()
            && after.get(q).is_none()
    };
    let forgotten =
        |q: usize| CONTENT.flow.questions[q].stays_known && assessment.state.shown[q].is_yes() && !shown[q].is_yes();
    let gone = |q: usize| unanswered(q) || forgotten(q);
    CONTENT.settle(&after).verdict == Verdict::GoAhead && !(0..shown.len()).any(gone)
}

/// A choice, with answers to all that it brings up about the plan, that gives "Go ahead": such as a drained strip, with its depth and
/// its outlet.
fn choice_with_what_it_brings(assessment: &Assessment<'_>, choice: &(usize, Answer)) -> Option<Vec<(usize, Answer)>> {
    let mut sets = vec![vec![choice.clone()]];
    while let Some(set) = sets.pop() {
        let after = assessment.with_change(&Change { answers: set.clone() });
        let shown = CONTENT.flow.state(&after).shown;
        let brought = |q: &usize| {
            CONTENT.flow.questions[*q].plan
                && shown[*q].is_yes()
                && !assessment.state.shown[*q].is_yes()
                && after.get(*q).is_none()
        };
        let Some(question) = (0..shown.len()).find(brought) else {
            if does_it(assessment, &set) {
                return Some(set);
            }
            continue;
        };
        let asked = &CONTENT.flow.questions[question];
        let fits = |l: &Length| asked.bounds.is_none_or(|b| (b.least..=b.most).contains(&l.steps()));
        let answers: Vec<Answer> = match asked.kind {
            QuestionKind::Length => {
                [2, 6, 12, 18, 36].map(Length::inches).into_iter().filter(fits).map(Answer::Length).collect()
            }
            QuestionKind::SeveralOf => vec![Answer::Several(0), Answer::Several(1)],
            _ => answers_to(question, None),
        };
        let answers: Vec<Answer> = answers.into_iter().filter(|answer| asked.offers(answer)).collect();
        if set.len() < 5 {
            sets.extend(answers.into_iter().map(|answer| [&set[..], &[(question, answer)]].concat()));
        }
    }
    None
}

/// Two answers that give "Go ahead": of all pairs every so manyth, from some place on. Two heights of the finish by amounts of their own
/// are left out: it is one line.
fn pair_that_does_it(
    assessment: &Assessment<'_>,
    one: &[(usize, Answer)],
    (every, from): (usize, usize),
) -> Option<[(usize, Answer); 2]> {
    const HEIGHTS: [&str; 5] =
        ["finish_below_mark", "finish_left_below_mark", "finish_right_below_mark", "finish_above_ground", "build_up"];
    let is_height = |question: usize| HEIGHTS.contains(&CONTENT.flow.questions[question].id.as_str());
    let pairs = one.iter().enumerate().flat_map(|(i, a)| one[..i].iter().map(move |b| (a, b)));
    let pairs = pairs.filter(|(a, b)| a.0 != b.0 && !(is_height(a.0) && is_height(b.0)));
    pairs.skip(from).step_by(every).map(|(a, b)| [b.clone(), a.clone()]).find(|pair| does_it(assessment, pair))
}

/// One answer about the plan that another would do better.
fn singles(answers: &Answers, shown: impl Fn(usize) -> bool) -> Vec<(usize, Answer)> {
    let plan = CONTENT.flow.questions.iter().enumerate().filter(|(q, question)| question.plan && shown(*q));
    let offered =
        |q: usize| answers_to(q, answers.get(q)).into_iter().filter(move |a| CONTENT.flow.questions[q].offers(a));
    plan.flat_map(|(q, _)| offered(q).map(move |a| (q, a))).collect()
}

#[test]
fn the_nearest_change_leads_to_go_ahead_and_no_shorter_one_does() {
    let (mut by_size, mut none): (BTreeMap<usize, usize>, usize) = (BTreeMap::new(), 0);
    let mut not_found = Vec::new();
    for seed in 0..seeds(1500) {
        let answers = changed_visit(seed);
        let assessment = assess(&answers);
        let certain = matches!(assessment.settled.certain, Verdict::ChangePlan | Verdict::ExteriorTradeFirst);
        if assessment.said() != Some(Stage::Planned) || !certain {
            continue;
        }
        let nearest = assessment.nearest_change();
        // heights that were read at the ends of the work belong to these ends
        let fixed = CONTENT.flow.question("feature_length").filter(|_| assessment.site.slopes());
        let one = singles(&answers, |q| assessment.state.shown[q].is_yes() && fixed != Some(q));
        let single = one.iter().find(|step| does_it(&assessment, std::slice::from_ref(step)));
        match &nearest {
            Nearest::Change(change) => {
                *by_size.entry(change.answers.len()).or_default() += 1;
                assert!(does_it(&assessment, &change.answers), "{seed}: {change:?}");
                assert!(change.answers.len() == 1 || single.is_none(), "{seed}: {change:?}, but {single:?}");
                // nor is there another one that takes less effort
                if let [(question, _)] = &change.answers[..] {
                    let minutes = |q: usize| CONTENT.flow.questions[q].effort.minutes;
                    let less = one.iter().filter(|(q, _)| minutes(*q) < minutes(*question));
                    let cheaper = less.clone().find(|step| does_it(&assessment, std::slice::from_ref(step)));
                    assert!(cheaper.is_none(), "{seed}: {change:?}, but {cheaper:?}");
                }
                // no answer of it can be spared
                for spared in 0..change.answers.len() {
                    let mut fewer = change.answers.clone();
                    fewer.remove(spared);
                    assert!(!does_it(&assessment, &fewer), "{seed}: {change:?} without {spared}");
                }
                if change.answers.len() == 3 && seed % 8 == 0 {
                    let pair = pair_that_does_it(&assessment, &one, (1, 0));
                    assert!(pair.is_none(), "{seed}: {change:?}, but {pair:?}");
                }
            }
            Nearest::None(remains) => {
                none += 1;
                assert!(single.is_none(), "{seed}: {remains:?}, but {single:?}");
                let told = remains.certain.len() + remains.unknown.len() + remains.together.len();
                assert!(told > 0, "{seed}");
                let choices = one.iter().filter(|(_, answer)| !matches!(answer, Answer::Length(_)));
                let set = choices.clone().find_map(|choice| choice_with_what_it_brings(&assessment, choice));
                assert!(set.is_none(), "{seed}: {remains:?}, but {set:?}");
                // of the pairs a few, others for each visit
                let pair = pair_that_does_it(&assessment, &one, (211, usize::try_from(seed).unwrap() % 211));
                assert!(pair.is_none(), "{seed}: {remains:?}, but {pair:?}");
            }
            Nearest::NotFound => {
                not_found.push(seed);
                assert!(single.is_none(), "{seed}: not found, but {single:?}");
            }
            Nearest::Nothing => panic!("{seed}: {:?}", assessment.settled),
        }
    }
    assert!(by_size.len() >= 3 && none > 0, "{by_size:?}, none {none}");
    // the search may give up, but seldom: two heights of the finish against each other
    let all = by_size.values().sum::<usize>() + none + not_found.len();
    assert!(not_found.len() * 50 <= all, "not found in {not_found:?} of {all}");
}

/// A change as it is told: whoever types its lengths as they are shown comes to "Go ahead". Only where lengths are bound so closely
/// that no shown one lies between may it be otherwise.
#[test]
fn a_change_holds_as_it_is_told() {
    let (mut told, mut otherwise) = (0, Vec::new());
    for seed in 0..seeds(400) {
        let answers = changed_visit(seed);
        for units in [Units::Inch, Units::Metric] {
            let assessment = CONTENT.assess(&answers, units);
            let Some(Nearest::Change(mut change)) = assessment.change_worth_telling() else { continue };
            for (_, answer) in &mut change.answers {
                if let Answer::Length(length) = answer {
                    *length = Length::parse(&length.show(units), units).unwrap();
                }
            }
            told += 1;
            if CONTENT.settle(&assessment.with_change(&change)).verdict != Verdict::GoAhead {
                otherwise.push((seed, units));
            }
        }
    }
    assert!(told > 20, "{told}");
    assert!(otherwise.len() * 50 <= told, "{otherwise:?} of {told}");
}
