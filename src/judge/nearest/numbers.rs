//! Of a question with a number: the stretches within which the same is in the way.

use super::{Hunt, InTheWay, Set, TriedOut, key, number_in, with_answer, without};
use crate::judge::bends::{Bends, bends};
use crate::judge::between::{Compared, Straight};
use crate::judge::questions::Questions;
use crate::judge::reasons::Grounds;
use crate::judge::samples::{number_answer, samples};
use std::rc::Rc;

impl Hunt<'_, '_> {
    /// What a number comes to, the rest being as it is.
    pub(super) fn at(&self, question: usize, rest: &Set, n: i64) -> Rc<TriedOut> {
        let kind = self.of.content.flow.questions[question].kind;
        self.try_out(&with_answer(rest, question, number_answer(kind, n)))
    }

    /// The stretch around a number in which something is in the way for these reasons, or for fewer, the rest being as it is. Other
    /// answers to these questions that count there are added.
    pub(super) fn run_around(&mut self, question: usize, set: &Set, what: InTheWay, by: &mut Questions) -> (i64, i64) {
        let n = number_in(set, question);
        let samples = samples(&self.of.content.flow.questions[question]);
        let (Some(floor), Some(most)) = (samples.first().copied(), samples.last().copied()) else { return (n, n) };
        let rest = without(set, question);
        let middle = samples[samples.len() / 2];
        let mut ends = vec![floor, middle, most];
        if self.finish.contains(&question) && what.rule().is_some() {
            ends.extend(self.bends(question, &rest, Some(what)).iter().map(|(at, _)| *at));
        }
        ends.sort_unstable();
        ends.dedup();
        let up: Vec<i64> = ends.iter().copied().filter(|to| *to > n).collect();
        let down: Vec<i64> = ends.into_iter().rev().filter(|to| *to < n).collect();
        let [low, high] = [down, up].map(|ends| {
            let mut last = n;
            for end in ends {
                let reached = self.walk(question, &rest, (last, end), (what, by));
                last = reached;
                if reached != end {
                    break;
                }
            }
            last
        });
        (low, high)
    }

    /// Where heights bend along the numbers of a question, all or those that something compares: between two of these places they are
    /// straight.
    pub(super) fn bends(&mut self, question: usize, rest: &Set, what: Option<InTheWay>) -> Bends {
        let content = self.of.content;
        let asked = &content.flow.questions[question];
        let samples = samples(asked);
        let Some(within) = samples.first().copied().zip(samples.last().copied()) else { return Bends::from([]) };
        let by = (question, key(rest), what);
        if let Some(bends) = self.bends.get(&by) {
            return Rc::clone(bends);
        }
        let compared = what.map(|what| self.compared(what));
        let counts = |slot: usize| compared.as_ref().is_none_or(|compared| compared.slots.contains(&slot));
        let mut known = self.facts.remove(&(question, key(rest))).unwrap_or_default();
        let facts = |n| self.again.facts(&self.with(&with_answer(rest, question, number_answer(asked.kind, n))));
        let found = bends(within, content.slots.facts, &counts, &mut known, &facts);
        self.facts.insert((question, key(rest)), known);
        self.bends.insert(by, Rc::clone(&found));
        found
    }

    /// What something in the way is compared with.
    fn compared(&mut self, what: InTheWay) -> Rc<Compared> {
        let content = self.of.content;
        Rc::clone(self.compared.entry(what).or_insert_with(|| Rc::new(content.compared(what.compared_by()))))
    }

    /// The part of a stretch around the number in a set within which no height bends, the rest being as it is.
    pub(super) fn between_bends(&mut self, question: usize, set: &Set, (from, to): (i64, i64)) -> (i64, i64) {
        if !self.finish.contains(&question) {
            return (from, to);
        }
        let n = number_in(set, question);
        let bends = self.bends(question, &without(set, question), None);
        let places = || bends.iter().map(|(at, _)| *at);
        let low = places().filter(|at| *at <= n).max().unwrap_or(from);
        let high = places().filter(|at| *at > n).min().map_or(to, |at| at - 1);
        (low.max(from), high.min(to).max(n))
    }

    /// How far from one number towards another something stays in the way for these reasons. Other answers to these questions that
    /// count on the way are added.
    pub(super) fn walk(
        &mut self,
        question: usize,
        rest: &Set,
        (from, to): (i64, i64),
        (what, reasons): (InTheWay, &mut Questions),
    ) -> i64 {
        let (first, last) = (self.at(question, rest, from), self.at(question, rest, to));
        let ends = [(from, &first.judged), (to, &last.judged)];
        let ends = if from < to { ends } else { [ends[1], ends[0]] };
        let compared = self.compared(what);
        let mut points = compared.crossings(ends[0], ends[1]);
        points.retain(|n| *n != from && *n != to);
        if from > to {
            points.reverse();
        }
        points.push(to);
        // where other questions are asked, a rule hangs on others too
        let same_asked = self.questions.crossings(ends[0], ends[1]).is_empty();
        let mut straight = what.rule().filter(|_| first.found.is_none() && same_asked).and_then(|rule| {
            Straight::of(self.of.content, (rule, &compared), (from, &first.judged), (to, &last.judged))
        });
        let mut stays = |n: i64| {
            let by = if let Some(straight) = &mut straight {
                straight.go_to(n);
                let stands = straight.truth(&first.judged).is_possible();
                stands.then(|| {
                    let (content, asked) = (self.of.content, (self.open, self.answered));
                    let mut reasons = Grounds::of_plan(content, &first.judged, &straight.values, asked, &self.offers);
                    Self::reason_of(&mut reasons, what)
                })
            } else {
                let tried = self.at(question, rest, n);
                self.stays(&tried, what)
            };
            let by = by.filter(|by| by.are_among(*reasons));
            by.is_some_and(|by| {
                *reasons = reasons.and(by);
                true
            })
        };
        let (mut good, mut bad) = (from, None);
        for n in points {
            if !stays(n) {
                bad = Some(n);
                break;
            }
            good = n;
        }
        // what is rounded lies a step or two beside where a straight line crosses
        let mut beside = 1_i64;
        while let Some(off) = bad.filter(|bad| (bad - good).abs() > 1) {
            let back = if off > good { -beside } else { beside };
            let middle = if beside < (off - good).abs() / 2 { off + back } else { good + (off - good) / 2 };
            beside = beside.saturating_mul(4);
            if stays(middle) {
                good = middle;
            } else {
                bad = Some(middle);
            }
        }
        good
    }

    /// Why something is in the way; nothing where it is not.
    pub(super) fn stays(&self, tried: &TriedOut, what: InTheWay) -> Option<Questions> {
        let is_there = match what {
            InTheWay::BadEnd(_) => tried.worst().site.held().is_possible(),
            _ => tried.ways.contains(&what),
        };
        if !is_there {
            return None;
        }
        let known = tried.reasons.borrow().get(&what).copied();
        known.or_else(|| {
            let reasons = Self::reason_of(&mut self.reasons(tried), what);
            tried.reasons.borrow_mut().insert(what, reasons);
            Some(reasons)
        })
    }

    /// Whether something is in the way at all corners of a box, for these reasons or for fewer. Other answers to these questions that
    /// count there are added.
    pub(super) fn holds_at_corners(
        &self,
        set: &Set,
        runs: &[(usize, (i64, i64))],
        what: InTheWay,
        by: &mut Questions,
    ) -> bool {
        let corners = runs.iter().fold(vec![set.clone()], |sets, (question, (from, to))| {
            let kind = self.of.content.flow.questions[*question].kind;
            let ends = |set: &Set| [*from, *to].map(|n| with_answer(set, *question, number_answer(kind, n)));
            sets.iter().flat_map(ends).collect()
        });
        let mut all = *by;
        let stays = corners.iter().all(|corner| {
            let reasons = self.stays(&self.try_out(corner), what).filter(|reasons| reasons.are_among(*by));
            all = all.and(reasons.unwrap_or_default());
            reasons.is_some()
        });
        if stays {
            *by = all;
        }
        stays
    }
}
