//! What lies between two judgements that differ by one number: where something crosses what it is compared with.

use super::model::Judged;
use crate::content::{Content, Rule};
use crate::flow::{Condition, FAR, Truth, Value};
use crate::site::{FACTS, FactId, FactKind};
use std::collections::BTreeSet;

/// By what something is compared between two judgements.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ComparedBy<'a> {
    /// All rules and questions.
    All,
    /// These rules, and which questions are shown.
    Rules(&'a [Rule]),
    /// A rule, and which questions are shown.
    Rule(Rule),
    /// Where drops end, and which questions are shown.
    Water,
    /// Which questions are shown.
    Questions,
}

/// What something is compared with: told once, for any two judgements.
#[derive(Debug)]
pub(crate) struct Compared {
    /// Values, and the numbers with which they are compared, by what shows questions too.
    figures: Vec<(usize, i64)>,
    /// The values compared by the rules themselves, by way of defined facts, and of where drops end.
    pub(crate) slots: BTreeSet<usize>,
    /// The defined facts behind it.
    defined: BTreeSet<usize>,
    /// Whether it looks at something that is no number.
    traced: bool,
    /// All values that a rule looks at, by way of defined facts too.
    looked: Vec<usize>,
}

impl Content {
    /// What is compared with which numbers.
    pub(crate) fn compared(&self, what: ComparedBy<'_>) -> Compared {
        let (defined, traced) = self.defined_behind(what);
        let wanted = |rule: Rule| match what {
            ComparedBy::All => true,
            ComparedBy::Rules(rules) => rules.contains(&rule),
            ComparedBy::Rule(only) => only == rule,
            ComparedBy::Water | ComparedBy::Questions => false,
        };
        let limits = self.limits.iter().enumerate().filter(|(at, l)| l.verdict.is_some() && wanted(Rule::Limit(*at)));
        let mut figures: Vec<(usize, i64)> = Vec::new();
        for (_, limit) in limits {
            figures.extend(limit.when.numbers().chain([(usize::from(limit.measure), limit.bound)]));
        }
        let findings = self.findings.iter().enumerate();
        for (_, finding) in findings.filter(|(at, f)| f.verdict.is_some() && wanted(Rule::Finding(*at))) {
            figures.extend(finding.when.numbers());
        }
        figures.extend(defined.iter().flat_map(|at| self.defined[*at].when.numbers()));
        figures.extend(self.flow.questions.iter().flat_map(|question| question.visible.numbers()));
        // where a drop ends hangs on which of two levels is higher
        if traced {
            figures.extend(self.turns());
        }
        figures.sort_unstable();
        figures.dedup();
        let slots = self.compared_by(what, &defined, traced);
        let mut looked = self.looked_at(what);
        looked.extend(defined.iter().flat_map(|at| self.defined[*at].when.reads().map(usize::from)));
        looked.sort_unstable();
        looked.dedup();
        Compared { figures, slots, defined, traced, looked }
    }

    /// What a rule itself looks at.
    fn looked_at(&self, what: ComparedBy<'_>) -> Vec<usize> {
        match what {
            ComparedBy::Rule(Rule::Limit(at)) => {
                let limit = &self.limits[at];
                limit.when.reads().chain([limit.measure]).map(usize::from).collect()
            }
            ComparedBy::Rule(Rule::Finding(at)) => self.findings[at].when.reads().map(usize::from).collect(),
            _ => Vec::new(),
        }
    }

    /// The heights, and the figures at which what is no number may change: where a drop ends hangs on which of two levels is
    /// higher.
    fn turns(&self) -> impl Iterator<Item = (usize, i64)> {
        let heights = FACTS.iter().filter(|fact| matches!(fact.kind, FactKind::Height(..)));
        let step = (self.fact_slot(FactId::ThresholdAboveFinish), self.usual.sill_below.steps());
        heights.map(|fact| (self.fact_slot(fact.id), 0)).chain([step])
    }

    /// What is compared with figures, by way of defined facts and of where drops end too.
    fn compared_by(&self, what: ComparedBy<'_>, defined: &BTreeSet<usize>, traced: bool) -> BTreeSet<usize> {
        let itself = match what {
            ComparedBy::Rule(Rule::Limit(at)) => Some(&self.limits[at].when),
            ComparedBy::Rule(Rule::Finding(at)) => Some(&self.findings[at].when),
            _ => None,
        };
        let whens = defined.iter().map(|at| &self.defined[*at].when).chain(itself);
        let mut found: BTreeSet<usize> = whens.flat_map(Condition::numbers).map(|(slot, _)| slot).collect();
        if let ComparedBy::Rule(Rule::Limit(at)) = what {
            found.insert(usize::from(self.limits[at].measure));
        }
        if traced {
            found.extend(self.turns().map(|(slot, _)| slot));
        }
        found
    }

    /// The defined facts that a rule looks at, or any rule, and whether it looks at something that is no number.
    fn defined_behind(&self, what: ComparedBy<'_>) -> (BTreeSet<usize>, bool) {
        let (slots, mut todo): (_, Vec<usize>) = match what {
            ComparedBy::All => return ((0..self.defined.len()).collect(), true),
            ComparedBy::Rules(rules) => {
                let (mut found, mut traced) = (BTreeSet::new(), false);
                for rule in rules {
                    let (behind, also) = self.defined_behind(ComparedBy::Rule(*rule));
                    found.extend(behind);
                    traced |= also;
                }
                return (found, traced);
            }
            ComparedBy::Questions => return (BTreeSet::new(), false),
            ComparedBy::Water => return (BTreeSet::new(), true),
            ComparedBy::Rule(Rule::Finding(at)) if self.findings[at].guard.is_some() => {
                return ((0..self.defined.len()).collect(), true);
            }
            ComparedBy::Rule(_) => (self.slots, self.looked_at(what)),
        };
        let (mut found, mut traced) = (BTreeSet::new(), false);
        while let Some(slot) = todo.pop() {
            if slot >= slots.limits {
                // they follow from much
                return ((0..self.defined.len()).collect(), true);
            }
            if slot >= slots.defined {
                let at = slot - slots.defined;
                if found.insert(at) {
                    todo.extend(self.defined[at].when.reads().map(usize::from));
                }
            } else if slot >= slots.facts {
                let kind = FACTS[slot - slots.facts].kind;
                traced |= matches!(kind, FactKind::YesNo | FactKind::End | FactKind::ExitKind | FactKind::Number);
            }
        }
        (found, traced)
    }
}

impl Compared {
    /// The numbers between two others at which something may cross what it is compared with, and their neighbours.
    ///
    /// What is the same at both ends crosses none of its figures on a straight line, and is left out.
    pub(crate) fn crossings(&self, (from, a): (i64, &Judged), (to, b): (i64, &Judged)) -> Vec<i64> {
        let mut points = Vec::new();
        for (slot, bound) in &self.figures {
            let (a, b) = (a.values[*slot], b.values[*slot]);
            if a == b {
                continue;
            }
            for (first, last) in both_ends(a, b).into_iter().flatten() {
                let Some(n) = crossing(from, to, first, last, *bound) else { continue };
                points.extend([n, n + 1]);
                // what does not go step by step may be rounded
                if (last - first).abs() != to - from {
                    points.push(n - 1);
                }
            }
        }
        points.retain(|n| (from..=to).contains(n));
        points.sort_unstable();
        points.dedup();
        points
    }
}

/// What a rule looks at, where all of it stays or changes step by step with a number.
pub(crate) struct Straight<'a> {
    content: &'a Content,
    rule: Rule,
    from: i64,
    /// The values at the number where it stands.
    pub(crate) values: Vec<Value>,
    /// Values at the first number, and whether they grow or shrink with it.
    moving: Vec<(usize, Value, i64)>,
    defined: &'a BTreeSet<usize>,
}

impl<'a> Straight<'a> {
    /// What a rule looks at between two numbers; nothing where that is not straight, or where it looks at what is no number and
    /// may change.
    pub(crate) fn of(
        content: &'a Content,
        (rule, compared): (Rule, &'a Compared),
        (from, a): (i64, &Judged),
        (to, b): (i64, &Judged),
    ) -> Option<Straight<'a>> {
        let slots = content.slots;
        if matches!(rule, Rule::Finding(at) if content.findings[at].guard.is_some()) {
            return None;
        }
        if compared.looked.iter().any(|slot| *slot >= slots.limits) {
            return None;
        }
        let turns = || {
            content.turns().any(|(slot, bound)| {
                let ends = both_ends(a.values[slot], b.values[slot]).into_iter().flatten();
                ends.into_iter().any(|(first, last)| crossing(from, to, first, last, bound).is_some())
            })
        };
        if compared.traced && turns() {
            return None;
        }
        let mut moving = Vec::new();
        for slot in compared.looked.iter().copied().filter(|slot| *slot < slots.defined) {
            if a.values[slot] != b.values[slot] {
                moving.push((slot, a.values[slot], steps_with(a.values[slot], b.values[slot], to - from)?));
            }
        }
        Some(Straight { content, rule, from, values: a.values.clone(), moving, defined: &compared.defined })
    }

    /// Goes to a number: the values are those there.
    pub(crate) fn go_to(&mut self, n: i64) {
        for (slot, first, way) in &self.moving {
            let by = (n - self.from) * way;
            self.values[*slot] = match *first {
                Value::Is(n) => Value::Is(n + by),
                Value::Between(low, high) => Value::Between(moved(low, by), moved(high, by)),
                other => other,
            };
        }
        for at in self.defined {
            let value = match self.content.defined[*at].when.eval(&self.values) {
                Truth::Yes => Value::yes_no(true),
                Truth::No => Value::yes_no(false),
                Truth::Unknown => Value::Unknown,
            };
            self.values[self.content.slots.defined + at] = value;
        }
    }

    /// The truth of the rule with such values.
    pub(crate) fn truth(&self, judged: &Judged) -> Truth {
        let values = &self.values;
        match self.rule {
            Rule::Limit(at) => {
                let region = judged.clearances[at].applies == Truth::No
                    && self.content.limits[at].when.eval(&judged.values) != Truth::No
                    && judged.values[usize::from(self.content.limits[at].measure)] != Value::Absent;
                if region {
                    return Truth::No;
                }
                self.content.breaks_with(at, &judged.site, values)
            }
            Rule::Finding(at) => self.content.truth_of(&self.content.findings[at], &judged.site, values),
        }
    }
}

/// An end of a value, moved; no bound stays none.
fn moved(end: i64, by: i64) -> i64 {
    if end.abs() == FAR { end } else { end + by }
}

/// Whether a value grows or shrinks by one with each step.
fn steps_with(a: Value, b: Value, steps: i64) -> Option<i64> {
    let way = |from: i64, to: i64| [1, -1].into_iter().find(|way| to - from == way * steps);
    match (a, b) {
        (Value::Is(from), Value::Is(to)) => way(from, to),
        (Value::Between(a1, a2), Value::Between(b1, b2)) => {
            let low = if a1.abs() == FAR && a1 == b1 { None } else { Some(way(a1, b1)?) };
            let high = if a2.abs() == FAR && a2 == b2 { None } else { Some(way(a2, b2)?) };
            match (low, high) {
                (Some(low), Some(high)) if low != high => None,
                (low, high) => low.or(high),
            }
        }
        _ => None,
    }
}

/// The lower and the upper ends of two values, in pairs.
fn both_ends(a: Value, b: Value) -> [Option<(i64, i64)>; 2] {
    let ends = |value: Value| match value {
        Value::Is(n) => Some((n, n)),
        Value::Between(low, high) => Some((low, high)),
        _ => None,
    };
    match (ends(a), ends(b)) {
        (Some((a1, a2)), Some((b1, b2))) if (a1, b1) == (a2, b2) => [Some((a1, b1)), None],
        (Some((a1, a2)), Some((b1, b2))) => [Some((a1, b1)), Some((a2, b2))],
        _ => [None, None],
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
