//! Conditions, compiled to flat tests over small integers.

use super::value::{Truth, Value};
use super::vocabulary::Slot;
use crate::pack::packed;

/// A test of one value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Test {
    /// At least one of these bits.
    Any(i64),
    /// Less than.
    Below(i64),
    /// Less than or equal.
    AtMost(i64),
    /// Greater than.
    Above(i64),
    /// Greater than or equal.
    AtLeast(i64),
    /// Has a value (or, with `false`, has none). Never unknown.
    Known(bool),
}

packed!(enum Test { 0: Any(one), 1: Below(one), 2: AtMost(one), 3: Above(one), 4: AtLeast(one), 5: Known(one) });

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Op {
    /// Every one of the nodes up to `end` (not included).
    All { end: u16 },
    /// At least one of the nodes up to `end` (not included).
    Any { end: u16 },
    /// The opposite of the node that follows.
    Not,
    /// A test.
    Test { slot: Slot, test: Test },
}

packed!(enum Op { 0: All { end }, 1: Any { end }, 2: Not, 3: Test { slot, test } });

/// On which side of a truth a condition shall stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// At least as true.
    AtLeast(Truth),
    /// At most as true.
    AtMost(Truth),
}

impl Keep {
    /// The same for the opposite of a condition.
    pub(crate) fn turned(self) -> Keep {
        match self {
            Keep::AtLeast(truth) => Keep::AtMost(!truth),
            Keep::AtMost(truth) => Keep::AtLeast(!truth),
        }
    }

    /// Whether a truth is on that side.
    #[must_use]
    pub fn allows(self, truth: Truth) -> bool {
        match self {
            Keep::AtLeast(least) => truth >= least,
            Keep::AtMost(most) => truth <= most,
        }
    }
}

/// A test that keeps a condition where it is, as long as it stays on a side itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct KeptTest {
    /// What is tested.
    pub(crate) slot: Slot,
    /// How.
    pub(crate) test: Test,
    /// Where it has to stay.
    pub(crate) keep: Keep,
}

impl KeptTest {
    /// Whether another value would take it to the other side.
    pub(crate) fn is_lost_with(&self, value: Value) -> bool {
        !self.keep.allows(self.test.truth(value))
    }
}

/// A condition as a tree, for what does not evaluate it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Clause {
    /// Every one of these.
    All(Vec<Clause>),
    /// At least one of these.
    Any(Vec<Clause>),
    /// The opposite.
    Not(Box<Clause>),
    /// A test of the value of one name.
    Is(Slot, Test),
}

/// A condition in three-valued logic over a list of [`Value`]s.
///
/// Invariant: a prefix form; every group's `end` lies behind its last node.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    steps: Box<[Op]>,
}

packed!(struct Condition { steps });

impl Default for Condition {
    fn default() -> Self {
        Condition::always()
    }
}

impl Condition {
    /// True whatever the values are.
    #[must_use]
    pub fn always() -> Self {
        Condition { steps: Box::new([Op::All { end: 1 }]) }
    }

    pub(super) fn test(slot: Slot, test: Test) -> Self {
        Condition { steps: Box::new([Op::Test { slot, test }]) }
    }

    /// True where the value has one of these bits.
    #[must_use]
    pub fn any_of(slot: Slot, bits: i64) -> Self {
        Self::test(slot, Test::Any(bits))
    }

    /// True where the number is less than a bound.
    #[must_use]
    pub fn below(slot: Slot, bound: i64) -> Self {
        Self::test(slot, Test::Below(bound))
    }

    pub(super) fn negate(inner: &Condition) -> Self {
        let mut steps = vec![Op::Not];
        append(&mut steps, inner);
        Condition { steps: steps.into() }
    }

    /// All of the parts.
    #[must_use]
    pub fn all(parts: &[Condition]) -> Self {
        Self::group(parts, true)
    }

    /// At least one of the parts.
    #[must_use]
    pub fn any(parts: &[Condition]) -> Self {
        Self::group(parts, false)
    }

    /// Whether it is small enough for the ends of its groups to be told; what is larger must not be used.
    pub(super) fn fits(&self) -> bool {
        self.steps.len() < usize::from(u16::MAX)
    }

    fn group(parts: &[Condition], all: bool) -> Self {
        if let [one] = parts {
            return one.clone();
        }
        let mut steps = vec![Op::Not]; // replaced below, once the end is known
        for part in parts {
            append(&mut steps, part);
        }
        let end = u16::try_from(steps.len()).unwrap_or(u16::MAX);
        steps[0] = if all { Op::All { end } } else { Op::Any { end } };
        Condition { steps: steps.into() }
    }

    /// The slots that it looks at, each as often as it looks.
    pub fn reads(&self) -> impl Iterator<Item = Slot> {
        self.steps.iter().filter_map(|step| match step {
            Op::Test { slot, .. } => Some(*slot),
            _ => None,
        })
    }

    /// The slots that it compares with numbers, and the numbers.
    pub fn numbers(&self) -> impl Iterator<Item = (usize, i64)> {
        self.steps.iter().filter_map(|step| match step {
            Op::Test { slot, test: Test::Below(n) | Test::AtMost(n) | Test::Above(n) | Test::AtLeast(n) } => {
                Some((*slot as usize, *n))
            }
            _ => None,
        })
    }

    /// The same as a tree.
    #[must_use]
    pub fn clause(&self) -> Clause {
        self.clause_at(0).0
    }

    /// The tree of the node at `at`, and where the next node starts.
    fn clause_at(&self, at: usize) -> (Clause, usize) {
        match self.steps[at] {
            Op::Test { slot, test } => (Clause::Is(slot, test), at + 1),
            Op::Not => {
                let (inner, next) = self.clause_at(at + 1);
                (Clause::Not(Box::new(inner)), next)
            }
            Op::All { end } | Op::Any { end } => {
                let (mut parts, mut next) = (Vec::new(), at + 1);
                while next < usize::from(end) {
                    let (part, after) = self.clause_at(next);
                    parts.push(part);
                    next = after;
                }
                let all = matches!(self.steps[at], Op::All { .. });
                (if all { Clause::All(parts) } else { Clause::Any(parts) }, usize::from(end))
            }
        }
    }

    /// Its truth for these values. A slot outside the list is unknown.
    #[must_use]
    pub fn eval(&self, values: &[Value]) -> Truth {
        self.eval_at(0, values).0
    }

    /// The slots whose being unknown keeps the condition from being decided; empty when it is decided.
    #[must_use]
    pub fn undecided_by(&self, values: &[Value]) -> Vec<Slot> {
        let mut slots = Vec::new();
        self.blockers(0, values, &mut slots);
        slots.sort_unstable();
        slots.dedup();
        slots
    }

    /// The slots that keep the truth at least, or at most, where `keep` says: while none of them changes, it stays there. Where one
    /// of several parts is enough for that, those of the part with the least weight are given.
    ///
    /// Empty where the truth is elsewhere already, and where nothing can change it.
    #[must_use]
    pub fn kept_by(&self, values: &[Value], keep: Keep, weight: &mut dyn FnMut(Slot) -> usize) -> Vec<Slot> {
        let kept = self.kept_tests(values, keep, weight);
        let mut slots: Vec<Slot> = kept.into_iter().map(|kept| kept.slot).collect();
        slots.sort_unstable();
        slots.dedup();
        slots
    }

    /// The same with the tests of these slots, and on which side each has to stay.
    pub(crate) fn kept_tests(
        &self,
        values: &[Value],
        keep: Keep,
        weight: &mut dyn FnMut(Slot) -> usize,
    ) -> Vec<KeptTest> {
        let mut tests = Vec::new();
        if keep.allows(self.eval(values)) {
            self.keepers(0, values, keep, weight, &mut tests);
        }
        tests
    }

    /// Slots of which one at least must change before a condition that may hold is certainly false; empty if it is false already.
    #[must_use]
    pub(crate) fn holds_by(&self, values: &[Value]) -> Vec<Slot> {
        self.kept_by(values, Keep::AtLeast(Truth::Unknown), &mut |_| 0)
    }

    /// Slots of which one at least must change before a condition that may be false certainly holds; empty if it holds already.
    #[must_use]
    pub(crate) fn fails_by(&self, values: &[Value]) -> Vec<Slot> {
        self.kept_by(values, Keep::AtMost(Truth::Unknown), &mut |_| 0)
    }

    /// The slots that keep the node at `at`, which is as `keep` says. Gives where the next node starts.
    fn keepers(
        &self,
        at: usize,
        values: &[Value],
        keep: Keep,
        weight: &mut dyn FnMut(Slot) -> usize,
        tests: &mut Vec<KeptTest>,
    ) -> usize {
        match self.steps[at] {
            Op::Test { slot, test } => {
                tests.push(KeptTest { slot, test, keep });
                at + 1
            }
            Op::Not => self.keepers(at + 1, values, keep.turned(), weight, tests),
            Op::All { end } | Op::Any { end } => {
                let all = matches!(self.steps[at], Op::All { .. });
                let mut at = at + 1;
                // "all" is at most as true as any one of its parts, "any" at least as true
                if all != matches!(keep, Keep::AtMost(_)) {
                    while at < end as usize {
                        at = self.keepers(at, values, keep, weight, tests);
                    }
                    return end as usize;
                }
                let mut best: Option<(usize, Vec<KeptTest>)> = None;
                while at < end as usize {
                    let (truth, next) = self.eval_at(at, values);
                    if keep.allows(truth) && best.as_ref().is_none_or(|(least, _)| *least > 0) {
                        let mut these = Vec::new();
                        self.keepers(at, values, keep, weight, &mut these);
                        let heavy = these.iter().map(|kept: &KeptTest| weight(kept.slot)).sum();
                        if best.as_ref().is_none_or(|(least, _)| heavy < *least) {
                            best = Some((heavy, these));
                        }
                    }
                    at = next;
                }
                tests.extend(best.into_iter().flat_map(|(_, these)| these));
                end as usize
            }
        }
    }

    /// Whether it is undecided because of something that was not asked yet.
    #[must_use]
    pub fn waits(&self, values: &[Value]) -> bool {
        let unasked = |slot: &Slot| values.get(*slot as usize) == Some(&Value::Unasked);
        self.reads().any(|slot| unasked(&slot)) && self.undecided_by(values).iter().any(unasked)
    }

    /// Truth of the node at `at`, and where the next node starts.
    fn eval_at(&self, at: usize, values: &[Value]) -> (Truth, usize) {
        match self.steps[at] {
            Op::Test { slot, test } => (test.of(values.get(slot as usize).copied().unwrap_or_default()), at + 1),
            Op::Not => {
                let (truth, next) = self.eval_at(at + 1, values);
                (!truth, next)
            }
            Op::All { end } => {
                let (end, mut at, mut truth) = (end as usize, at + 1, Truth::Yes);
                while at < end {
                    let (t, next) = self.part_at(at, values);
                    if t == Truth::No {
                        return (Truth::No, end);
                    }
                    truth = truth.min(t);
                    at = next;
                }
                (truth, end)
            }
            Op::Any { end } => {
                let (end, mut at, mut truth) = (end as usize, at + 1, Truth::No);
                while at < end {
                    let (t, next) = self.part_at(at, values);
                    if t == Truth::Yes {
                        return (Truth::Yes, end);
                    }
                    truth = truth.max(t);
                    at = next;
                }
                (truth, end)
            }
        }
    }

    /// The same for a part of a group, which most often is a test.
    #[inline]
    fn part_at(&self, at: usize, values: &[Value]) -> (Truth, usize) {
        match self.steps[at] {
            Op::Test { slot, test } => (test.of(values.get(slot as usize).copied().unwrap_or_default()), at + 1),
            _ => self.eval_at(at, values),
        }
    }

    /// Tests of which each has to be possible before the condition is: those that stand in no part with a choice.
    pub(super) fn demands(&self) -> Vec<(Slot, Test)> {
        let (mut found, mut at) = (Vec::new(), 0);
        while at < self.steps.len() {
            at = match self.steps[at] {
                Op::Test { slot, test } => {
                    found.push((slot, test));
                    at + 1
                }
                // its parts follow
                Op::All { .. } => at + 1,
                Op::Any { end } => usize::from(end),
                Op::Not => self.after(at + 1),
            };
        }
        found
    }

    /// Where the node behind the one at `at` starts.
    fn after(&self, at: usize) -> usize {
        match self.steps[at] {
            Op::Test { .. } => at + 1,
            Op::Not => self.after(at + 1),
            Op::All { end } | Op::Any { end } => usize::from(end),
        }
    }

    fn blockers(&self, at: usize, values: &[Value], slots: &mut Vec<Slot>) -> usize {
        let (truth, next) = self.eval_at(at, values);
        if truth != Truth::Unknown {
            return next;
        }
        match self.steps[at] {
            Op::Test { slot, .. } => slots.push(slot),
            Op::Not => {
                self.blockers(at + 1, values, slots);
            }
            Op::All { end } | Op::Any { end } => {
                let mut at = at + 1;
                while at < end as usize {
                    at = self.blockers(at, values, slots);
                }
            }
        }
        next
    }
}

/// Appends a compiled condition, moving the ends of its groups.
fn append(steps: &mut Vec<Op>, part: &Condition) {
    let by = u16::try_from(steps.len()).unwrap_or(u16::MAX);
    steps.extend(part.steps.iter().map(|step| match *step {
        Op::All { end } => Op::All { end: end.saturating_add(by) },
        Op::Any { end } => Op::Any { end: end.saturating_add(by) },
        other => other,
    }));
}

impl Test {
    /// Its truth for one value.
    #[must_use]
    pub fn truth(self, value: Value) -> Truth {
        self.of(value)
    }

    #[inline]
    fn of(self, value: Value) -> Truth {
        match value {
            Value::Is(n) => Truth::from(self.holds(n)),
            Value::Unasked => Truth::Unknown,
            Value::Absent => Truth::from(self == Test::Known(false)),
            Value::Unknown => match self {
                Test::Known(wanted) => Truth::from(!wanted),
                _ => Truth::Unknown,
            },
            Value::Between(low, high) => {
                let (least, most) = (self.holds(low), self.holds(high));
                if least == most { Truth::from(least) } else { Truth::Unknown }
            }
        }
    }

    /// For one exact number. For `Between`, the comparisons are monotone, so both ends decide.
    #[inline]
    fn holds(self, n: i64) -> bool {
        match self {
            Test::Any(bits) => n & bits != 0,
            Test::Below(limit) => n < limit,
            Test::AtMost(limit) => n <= limit,
            Test::Above(limit) => n > limit,
            Test::AtLeast(limit) => n >= limit,
            Test::Known(wanted) => wanted,
        }
    }
}
