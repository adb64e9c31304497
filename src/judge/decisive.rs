//! What each thing not known could change: the verdict for every possible answer, with exact thresholds; and
//! which two things matter only together.

use super::model::{Assessment, Judged, OpenPoint};
use crate::content::{Content, Verdict};
use crate::flow::{Answer, Answers, Question, QuestionKind, Value};
use crate::units::Length;

/// What hangs on one question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decisive {
    /// The question.
    pub question: usize,
    /// The question whose answers lead to the outcomes: the same, or one that its answer brings up.
    pub asked: usize,
    /// The verdict for each possible answer; neighbours with the same verdict are one.
    pub outcomes: Vec<Outcome>,
    /// A second question without whose answer this one changes nothing.
    pub with: Option<usize>,
}

/// A verdict, and the answers that lead to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// The answers.
    pub given: Given,
    /// The verdict.
    pub verdict: Verdict,
}

/// A set of possible answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Given {
    /// These choices, or yes and no.
    Answers(Vec<Answer>),
    /// All numbers from the first to the second, both included.
    Range(i64, i64),
}

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

/// Questions with more choices than this, of which several can be marked, are tried with one and with two marks.
const ALL_MARKS: usize = 6;

impl Assessment<'_> {
    /// Every open question that could change the verdict, in the order of [`Assessment::open`]: first those
    /// that do so alone, then those that do so only together with another one.
    #[must_use]
    pub fn decisive(&self) -> Vec<Decisive> {
        let content = self.content;
        let mut alone = Vec::new();
        let mut quiet = Vec::new();
        for point in &self.open {
            let outcomes = content.outcomes(self.answers, point.question);
            if outcomes.iter().any(|o| o.verdict != self.settled.verdict) {
                let question = point.question;
                alone.push(Decisive { question, asked: question, outcomes, with: None });
            } else {
                quiet.push(point);
            }
        }
        let mut together = Vec::new();
        for (i, point) in quiet.iter().enumerate() {
            if let Some((asked, outcomes)) = self.by_follow_up(point.question) {
                together.push(Decisive { question: point.question, asked, outcomes, with: None });
                continue;
            }
            let shares = |other: &&&OpenPoint| {
                other.findings.iter().any(|f| point.findings.contains(f))
                    || other.limits.iter().any(|l| point.limits.contains(l))
            };
            let partners = quiet.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, p)| p).filter(|p| shares(p));
            for partner in partners {
                if let Some(outcomes) = self.only_with(point.question, partner.question) {
                    let (question, with) = (point.question, Some(partner.question));
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
    fn by_follow_up(&self, question: usize) -> Option<(usize, Vec<Outcome>)> {
        let content = self.content;
        let flow = &content.flow;
        for answer in representatives(&flow.questions[question]) {
            let mut answers = self.answers.clone();
            answers.set(question, answer);
            let state = flow.state(&answers);
            let new = |q: &usize| {
                flow.questions[*q].kind == QuestionKind::Length
                    && state.shown[*q].is_yes()
                    && !self.state.shown[*q].is_yes()
                    && answers.get(*q).is_none()
            };
            let first = content.judge(&answers, state.clone()).settled.verdict;
            for asked in (question + 1..flow.questions.len()).filter(new) {
                let outcomes = content.outcomes(&answers, asked);
                if outcomes.iter().any(|o| o.verdict != first) {
                    return Some((asked, outcomes));
                }
            }
        }
        None
    }

    /// What a question changes once another has some answer; nothing if no answer of the other makes it count.
    fn only_with(&self, question: usize, other: usize) -> Option<Vec<Outcome>> {
        let content = self.content;
        let flow = &content.flow;
        let mut tried = representatives(&flow.questions[other]);
        // a usual figure makes a better example than the farthest that can be said
        let usual = flow.questions[other].bounds.and_then(|bounds| bounds.usual);
        let middle = usual.map(|(low, high)| low + (high - low) / 2);
        tried.sort_by_key(|answer| middle.zip(answer.value().known()).map_or(0, |(middle, n)| (n - middle).abs()));
        for answer in tried {
            let mut answers = self.answers.clone();
            answers.set(other, answer);
            let outcomes = content.outcomes(&answers, question);
            let first = content.settle(&answers).verdict;
            if first == self.settled.verdict && outcomes.iter().any(|o| o.verdict != first) {
                return Some(outcomes);
            }
        }
        None
    }
}

impl Content {
    /// The verdict for every possible answer to one question, the others as they are.
    #[must_use]
    pub fn outcomes(&self, answers: &Answers, question: usize) -> Vec<Outcome> {
        let asked = &self.flow.questions[question];
        match asked.kind {
            QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => self.ranges(answers, question),
            QuestionKind::Text | QuestionKind::Profile | QuestionKind::Places => Vec::new(),
            _ => {
                let mut outcomes: Vec<Outcome> = Vec::new();
                let mut tried = answers.clone();
                for answer in representatives(asked) {
                    tried.set(question, answer.clone());
                    let verdict = self.settle(&tried).verdict;
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
    fn ranges(&self, answers: &Answers, question: usize) -> Vec<Outcome> {
        let stretches = self.stretches_by(answers, question, &|judged| judged.settled.verdict);
        stretches.into_iter().map(|(from, to, verdict)| Outcome { given: Given::Range(from, to), verdict }).collect()
    }

    /// All numbers that a question takes, as stretches over which something stays the same, with exact ends.
    ///
    /// Rules compare numbers with fixed ones, and these numbers are straight in any one answer, or bend where another
    /// height takes over. So it is enough to look where one of them crosses what it is compared with, and to close
    /// in on every change that is left between two such places.
    pub(crate) fn stretches_by<K: PartialEq>(
        &self,
        answers: &Answers,
        question: usize,
        key: &dyn Fn(&Judged) -> K,
    ) -> Vec<(i64, i64, K)> {
        let asked = &self.flow.questions[question];
        let mut tried = answers.clone();
        let mut at = |n: i64| {
            tried.set(question, number_answer(asked.kind, n));
            self.judge(&tried, self.flow.state(&tried))
        };
        self.stretches(asked, &mut at, key)
    }

    /// The same, where `at` says what follows from a number.
    pub(crate) fn stretches<K: PartialEq>(
        &self,
        asked: &Question,
        at: &mut dyn FnMut(i64) -> Judged,
        key: &dyn Fn(&Judged) -> K,
    ) -> Vec<(i64, i64, K)> {
        let samples = samples(asked);
        let (Some(least), Some(most)) = (samples.first().copied(), samples.last().copied()) else {
            return Vec::new();
        };
        let judged: Vec<Judged> = samples.iter().map(|n| at(*n)).collect();
        let mut points: Vec<i64> = samples.clone();
        for (pair, ends) in samples.windows(2).zip(judged.windows(2)) {
            for (slot, bound) in self.compared(&ends[0].values, &ends[1].values) {
                for (from, to) in both_ends(ends[0].values[slot], ends[1].values[slot]) {
                    if let Some(n) = crossing(pair[0], pair[1], from, to, bound) {
                        points.extend([n - 1, n, n + 1]);
                    }
                }
            }
        }
        points.retain(|n| *n >= least && *n <= most);
        points.sort_unstable();
        points.dedup();
        let mut key_at = |n: i64| key(&at(n));
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

    /// The numbers that rules with a verdict compare something with, where that something differs between two
    /// sets of values.
    fn compared(&self, a: &[Value], b: &[Value]) -> Vec<(usize, i64)> {
        let mut found = Vec::new();
        let differs = |slot: usize| a.get(slot) != b.get(slot);
        for limit in self.limits.iter().filter(|l| l.verdict.is_some()) {
            let slot = limit.measure as usize;
            if differs(slot) {
                found.push((slot, limit.bound));
            }
            found.extend(limit.when.numbers().filter(|(slot, _)| differs(*slot)));
        }
        for finding in self.findings.iter().filter(|f| f.verdict.is_some()) {
            found.extend(finding.when.numbers().filter(|(slot, _)| differs(*slot)));
        }
        for defined in &self.defined {
            found.extend(defined.when.numbers().filter(|(slot, _)| differs(*slot)));
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// One answer of each kind that can make a difference.
pub(crate) fn representatives(question: &Question) -> Vec<Answer> {
    let count = question.choices.len();
    match question.kind {
        QuestionKind::YesNo => vec![Answer::YesNo(true), Answer::YesNo(false)],
        QuestionKind::OneOf => (0..count).map(Answer::Choice).collect(),
        QuestionKind::SeveralOf if count <= ALL_MARKS => (0..1i64 << count).map(Answer::Several).collect(),
        QuestionKind::SeveralOf => {
            let one = |i: usize| 1i64 << i;
            let pairs = (0..count).flat_map(|i| (0..i).map(move |j| one(i) | one(j)));
            std::iter::once(0).chain((0..count).map(one)).chain(pairs).map(Answer::Several).collect()
        }
        QuestionKind::Length | QuestionKind::Number | QuestionKind::Year => {
            samples(question).into_iter().map(|n| number_answer(question.kind, n)).collect()
        }
        QuestionKind::Text | QuestionKind::Profile | QuestionKind::Places => Vec::new(),
    }
}

pub(crate) fn number_answer(kind: QuestionKind, n: i64) -> Answer {
    match kind {
        QuestionKind::Length => Answer::Length(Length::from_steps(n)),
        QuestionKind::Year => Answer::Year(n),
        _ => Answer::Number(n),
    }
}

/// The ends of what a question takes, of what is usual, and the middle.
fn samples(question: &Question) -> Vec<i64> {
    let Some(bounds) = question.bounds else { return Vec::new() };
    // without a bound of its own a number is taken within what is usual, or not at all
    let (low, high) = bounds.usual.unwrap_or((bounds.least, bounds.most));
    let least = if bounds.least == i64::MIN { low } else { bounds.least };
    let most = if bounds.most == i64::MAX { high } else { bounds.most };
    if least == i64::MIN || most == i64::MAX {
        return Vec::new();
    }
    let mut list = vec![least, low, low + (high - low) / 2, high, most];
    list.sort_unstable();
    list.dedup();
    list
}

/// The lower and the upper ends of two values, in pairs.
fn both_ends(a: Value, b: Value) -> Vec<(i64, i64)> {
    let ends = |value: Value| match value {
        Value::Is(n) => Some((n, n)),
        Value::Between(low, high) => Some((low, high)),
        _ => None,
    };
    match (ends(a), ends(b)) {
        (Some((a1, a2)), Some((b1, b2))) if (a1, b1) == (a2, b2) => vec![(a1, b1)],
        (Some((a1, a2)), Some((b1, b2))) => vec![(a1, b1), (a2, b2)],
        _ => Vec::new(),
    }
}

/// Where a straight line from (`a`, `from`) to (`b`, `to`) reaches `bound`, between `a` and `b`.
fn crossing(a: i64, b: i64, from: i64, to: i64, bound: i64) -> Option<i64> {
    if from == to {
        return None;
    }
    let share = i128::from(bound - from) * i128::from(b - a) / i128::from(to - from);
    let n = i64::try_from(i128::from(a) + share).ok()?;
    (a..=b).contains(&n).then_some(n)
}
