//! What each thing not known could change: the verdict for every possible answer, with exact thresholds; and
//! which two things matter only together.

use super::again::Judging;
use super::bends::{Known, bends};
use super::between::ComparedBy;
use super::model::{Assessment, Decisive, Given, Judged, OpenPoint, Outcome};
use super::questions::Questions;
use super::reasons::Grounds;
use super::samples::{number_answer, representatives, samples};
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answers, QuestionKind, Truth};
use std::collections::BTreeMap;

/// A thing to find out.
#[derive(Debug, Clone)]
pub struct FindOut<'a> {
    /// The question.
    pub question: usize,
    /// Why it is open.
    pub point: &'a OpenPoint,
    /// What hangs on it, if it can change the verdict.
    pub hangs: Option<Decisive>,
}

/// How many things are listed to find out.
pub(crate) const MOST_OPEN: usize = 7;

impl Assessment<'_> {
    /// Every open question that could change the verdict, in the order of [`Assessment::open`]: first those
    /// that do so alone, then those that do so only together with another one.
    #[must_use]
    pub fn decisive(&self) -> &[Decisive] {
        self.found_decisive.get_or_init(|| self.find_decisive())
    }

    fn find_decisive(&self) -> Vec<Decisive> {
        if self.open.is_empty() {
            return Vec::new();
        }
        let again = Judging::new(self.content, self.answers);
        let asked: Questions = self.open.iter().map(|point| point.question).collect();
        let turned_by = again.base.turned_by(self.content, asked);
        let same = again.base.settled.verdict == self.settled.verdict;
        let mut alone = Vec::new();
        let mut quiet = Vec::new();
        for point in &self.open {
            let question = point.question;
            if same && !turned_by.has(question) {
                quiet.push(point);
                continue;
            }
            let turning = again.base.turning(self.content, question).filter(|_| same);
            let outcomes = self.content.outcomes_again(&again, self.answers, question, turning.as_deref());
            if outcomes.iter().any(|o| o.verdict != self.settled.verdict) {
                alone.push(Decisive { question, asked: question, outcomes, with: None });
            } else {
                quiet.push(point);
            }
        }
        let mut supposed: BTreeMap<usize, Vec<Supposed>> = BTreeMap::new();
        let mut together = Vec::new();
        for (i, point) in quiet.iter().enumerate() {
            if let Some((asked, outcomes)) = self.by_follow_up(&again, point.question) {
                together.push(Decisive { question: point.question, asked, outcomes, with: None });
                continue;
            }
            let shares = |other: &&&OpenPoint| {
                other.findings.iter().any(|f| point.findings.contains(f))
                    || other.limits.iter().any(|l| point.limits.contains(l))
            };
            let partners = quiet.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, p)| p).filter(|p| shares(p));
            for partner in partners {
                let other = partner.question;
                let supposed = supposed.entry(other).or_insert_with(|| self.suppose(&again, other));
                if let Some(outcomes) = self.only_with(&again, point.question, supposed) {
                    let (question, with) = (point.question, Some(other));
                    together.push(Decisive { question, asked: question, outcomes, with });
                    break;
                }
            }
        }
        alone.extend(together);
        alone
    }

    /// What to find out, at most seven things, the most telling first: each with what hangs on it.
    #[must_use]
    pub fn to_find_out(&self) -> Vec<FindOut<'_>> {
        let decisive = self.decisive();
        let listed = self.open.iter().take(MOST_OPEN);
        listed
            .map(|point| FindOut {
                question: point.question,
                point,
                hangs: decisive.iter().find(|d| d.question == point.question).cloned(),
            })
            .collect()
    }

    /// A figure that an answer to a question brings up, and that can change the verdict: what to measure.
    fn by_follow_up(&self, again: &Judging<'_>, question: usize) -> Option<(usize, Vec<Outcome>)> {
        let content = self.content;
        let flow = &content.flow;
        for answer in representatives(&flow.questions[question]) {
            let mut answers = self.answers.clone();
            answers.set(question, answer);
            let state = again.state(&answers);
            let new = |q: &usize| {
                flow.questions[*q].kind == QuestionKind::Length
                    && state.shown[*q].is_yes()
                    && !self.state.shown[*q].is_yes()
                    && answers.get(*q).is_none()
            };
            let brought_up: Vec<usize> = (question + 1..flow.questions.len()).filter(new).collect();
            if brought_up.is_empty() {
                continue;
            }
            let judged = again.judge(&answers);
            let turned_by = judged.turned_by(content, brought_up.iter().copied().collect());
            for asked in brought_up.into_iter().filter(|asked| turned_by.has(*asked)) {
                let turning = judged.turning(content, asked);
                let outcomes = content.outcomes_again(again, &answers, asked, turning.as_deref());
                if outcomes.iter().any(|o| o.verdict != judged.settled.verdict) {
                    return Some((asked, outcomes));
                }
            }
        }
        None
    }

    /// The answers to a question with which the verdict stays, each with the questions that may turn it then.
    fn suppose(&self, again: &Judging<'_>, other: usize) -> Vec<Supposed> {
        let flow = &self.content.flow;
        let mut tried = representatives(&flow.questions[other]);
        // a usual figure makes a better example than the farthest that can be said
        let usual = flow.questions[other].bounds.and_then(|bounds| bounds.usual);
        let middle = usual.map(|(low, high)| low + (high - low) / 2);
        tried.sort_by_key(|answer| middle.zip(answer.value().known()).map_or(0, |(middle, n)| (n - middle).abs()));
        let open: Questions = self.open.iter().map(|point| point.question).collect();
        let supposed = tried.into_iter().filter_map(|answer| {
            let mut answers = self.answers.clone();
            answers.set(other, answer);
            let judged = again.judge(&answers);
            let stays = judged.settled.verdict == self.settled.verdict;
            stays.then(|| Supposed { turned_by: judged.turned_by(self.content, open), judged, answers })
        });
        supposed.collect()
    }

    /// What a question changes once another has some answer; nothing if no answer of the other makes it count.
    fn only_with(&self, again: &Judging<'_>, question: usize, supposed: &[Supposed]) -> Option<Vec<Outcome>> {
        supposed.iter().filter(|supposed| supposed.turned_by.has(question)).find_map(|supposed| {
            let turning = supposed.judged.turning(self.content, question);
            let outcomes = self.content.outcomes_again(again, &supposed.answers, question, turning.as_deref());
            outcomes.iter().any(|o| o.verdict != self.settled.verdict).then_some(outcomes)
        })
    }
}

/// Another question answered so that the verdict stays.
struct Supposed {
    answers: Answers,
    judged: Judged,
    /// The questions that may turn the verdict then.
    turned_by: Questions,
}

impl Judged {
    /// The questions among the `open` ones whose answer alone may change the verdict: no other can.
    ///
    /// It gets worse by a rule that comes to hold, or to be possible where nothing was to be found out; and better only if all
    /// that it rests on goes.
    fn turned_by(&self, content: &Content, open: Questions) -> Questions {
        let (worse, better) = self.turns(content, open);
        worse.into_iter().fold(better, |all, (_, by)| all.and(by))
    }

    /// The rules by which another answer to a question alone may change the verdict; nothing where it may be any.
    fn turning(&self, content: &Content, question: usize) -> Option<Vec<Rule>> {
        let (worse, better) = self.turns(content, std::iter::once(question).collect());
        (!better.has(question))
            .then(|| worse.into_iter().filter(|(_, by)| by.has(question)).map(|(rule, _)| rule).collect())
    }

    /// What may make the verdict worse: the rules, each with the questions it hangs on; and the questions that may make it better.
    fn turns(&self, content: &Content, open: Questions) -> (Vec<(Rule, Questions)>, Questions) {
        let mut reasons = Grounds::new(content, self, open);
        let verdict = self.settled.verdict;
        let rules: Vec<(Rule, Verdict)> =
            content.rules().filter_map(|rule| Some((rule, content.verdict_of(rule)?))).collect();
        let mut worse = Vec::new();
        // what it rests on: each of these has to go
        let mut rests: Option<Questions> = None;
        let mut note = |by: Questions| rests = Some(rests.map_or(by, |before| before.both(by)));
        let held = self.settled.held == verdict && verdict > Verdict::GoAhead;
        for (rule, carries) in rules {
            match self.truth(rule) {
                Truth::Yes => {
                    if held && carries == verdict {
                        note(reasons.in_each(|reasons| reasons.holds(rule)));
                    }
                }
                Truth::Unknown => {
                    if carries > verdict {
                        worse.push((rule, reasons.in_each(|reasons| reasons.fails_to_hold(rule))));
                    }
                    if verdict == Verdict::FindOutFirst && carries > Verdict::GoAhead {
                        let stands = reasons.in_each(|reasons| reasons.stands(rule));
                        note(stands.and(reasons.in_each(|reasons| reasons.fails_to_hold(rule))));
                    }
                }
                Truth::No => {
                    if carries > verdict {
                        worse.push((rule, reasons.in_each(|reasons| reasons.fails_to_hold(rule))));
                    }
                    if verdict < Verdict::FindOutFirst && carries > Verdict::GoAhead {
                        worse.push((rule, reasons.in_each(|reasons| reasons.is_out(rule))));
                    }
                }
            }
        }
        (worse, rests.unwrap_or_default())
    }
}

impl Content {
    /// The verdict for every possible answer to one question, the others as they are.
    #[must_use]
    pub fn outcomes(&self, answers: &Answers, question: usize) -> Vec<Outcome> {
        self.outcomes_again(&Judging::new(self, answers), answers, question, None)
    }

    /// The same, where the verdict is known to change by some of the rules alone.
    fn outcomes_again(
        &self,
        again: &Judging<'_>,
        answers: &Answers,
        question: usize,
        turning: Option<&[Rule]>,
    ) -> Vec<Outcome> {
        let asked = &self.flow.questions[question];
        match asked.kind {
            QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => {
                self.ranges(again, answers, question, turning)
            }
            QuestionKind::Text | QuestionKind::Profile | QuestionKind::Places => Vec::new(),
            _ => {
                let mut outcomes: Vec<Outcome> = Vec::new();
                let mut tried = answers.clone();
                for answer in representatives(asked) {
                    tried.set(question, answer.clone());
                    let verdict = again.judge(&tried).settled.verdict;
                    match outcomes.iter_mut().find(|o| o.verdict == verdict) {
                        Some(Outcome { given: Given::Answers(list), .. }) => list.push(answer),
                        _ => outcomes.push(Outcome { given: Given::Answers(vec![answer]), verdict }),
                    }
                }
                outcomes
            }
        }
    }

    /// The verdict over all numbers that a question takes, as stretches with exact ends.
    fn ranges(
        &self,
        again: &Judging<'_>,
        answers: &Answers,
        question: usize,
        turning: Option<&[Rule]>,
    ) -> Vec<Outcome> {
        let asked = &self.flow.questions[question];
        let with = |n: i64| {
            let mut tried = answers.clone();
            tried.set(question, number_answer(asked.kind, n));
            tried
        };
        let mut places = samples(asked);
        if let (QuestionKind::Length, Some(least), Some(most)) = (asked.kind, places.first(), places.last()) {
            let found =
                bends((*least, *most), self.slots.facts, &|_| true, &mut Known::new(), &|n| again.facts(&with(n)));
            places.extend(found.iter().map(|(at, _)| *at));
            places.sort_unstable();
            places.dedup();
        }
        let by = turning.map_or(ComparedBy::All, ComparedBy::Rules);
        let stretches = self.stretches(&places, by, &mut |n| again.judge(&with(n)), &|judged| judged.settled.verdict);
        stretches.into_iter().map(|(from, to, verdict)| Outcome { given: Given::Range(from, to), verdict }).collect()
    }

    /// All numbers from the first to the last of some, as stretches over which something stays the same, with exact ends.
    ///
    /// Rules compare numbers with fixed ones, and heights are straight between two neighbours of the given places ([`bends`]). So it is enough
    /// to look where one of them crosses what it is compared with, and to close in on every change that is left between two such places.
    fn stretches<K: PartialEq>(
        &self,
        samples: &[i64],
        by: ComparedBy<'_>,
        at: &mut dyn FnMut(i64) -> Judged,
        key: &dyn Fn(&Judged) -> K,
    ) -> Vec<(i64, i64, K)> {
        let (Some(least), Some(most)) = (samples.first().copied(), samples.last().copied()) else {
            return Vec::new();
        };
        let judged: Vec<Judged> = samples.iter().map(|n| at(*n)).collect();
        let mut points: Vec<i64> = samples.to_vec();
        let compared = self.compared(by);
        for (pair, ends) in samples.windows(2).zip(judged.windows(2)) {
            points.extend(compared.crossings((pair[0], &ends[0]), (pair[1], &ends[1])));
        }
        points.retain(|n| *n >= least && *n <= most);
        points.sort_unstable();
        points.dedup();
        // what was judged to find the crossings is not judged again
        let known: Vec<(i64, K)> = samples.iter().copied().zip(judged.iter().map(key)).collect();
        let mut known = known.into_iter().peekable();
        let mut key_at = |n: i64| match known.next_if(|(at, _)| *at == n) {
            Some((_, key)) => key,
            None => key(&at(n)),
        };
        let mut stretches: Vec<(i64, i64, K)> = vec![(least, least, key_at(least))];
        for n in points.into_iter().skip(1) {
            let mut here = key_at(n);
            while let Some((_, end, last)) = stretches.last_mut() {
                if here == *last {
                    *end = n;
                    break;
                }
                // the last number that is still like those before
                let (mut same, mut other) = (*end, n);
                let mut next = None;
                while other - same > 1 {
                    let middle = same + (other - same) / 2;
                    let there = key_at(middle);
                    if there == *last {
                        same = middle;
                    } else {
                        (other, next) = (middle, Some(there));
                    }
                }
                *end = same;
                // something else may lie in between
                let Some(between) = next.filter(|_| other < n) else {
                    stretches.push((other, n, here));
                    break;
                };
                stretches.push((other, other, between));
                here = key_at(n);
            }
        }
        stretches
    }
}
