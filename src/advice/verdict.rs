//! The four verdicts.

use crate::flow::Truth;

/// What the advisor says in the end. In rising order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Nothing stands against the plan.
    GoAhead,
    /// It can be done, but not like this.
    ChangePlan,
    /// Something unknown could still change the verdict for the worse.
    FindOutFirst,
    /// The wall must be opened, or looked at, by an exterior trade first.
    ExteriorFirst,
}

impl Verdict {
    /// The word in JSON and in word keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Verdict::GoAhead => "go_ahead",
            Verdict::ChangePlan => "change_plan",
            Verdict::FindOutFirst => "find_out_first",
            Verdict::ExteriorFirst => "exterior_trade_first",
        }
    }

    /// The verdict out of all rules that carry one.
    ///
    /// The worst that is certain counts. If something unknown could be worse than that, and the
    /// certain part does not already stop the work, it is [`Verdict::FindOutFirst`].
    #[must_use]
    pub fn of(rules: impl Iterator<Item = (Truth, Verdict)>) -> Settled {
        let (mut certain, mut possible) = (Verdict::GoAhead, Verdict::GoAhead);
        for (truth, verdict) in rules {
            match truth {
                Truth::Yes => certain = certain.max(verdict),
                Truth::Unknown => possible = possible.max(verdict),
                Truth::No => {}
            }
        }
        let verdict = if possible > certain { certain.max(Verdict::FindOutFirst) } else { certain };
        Settled { verdict, certain, possible: possible.max(certain) }
    }
}

/// A verdict, and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settled {
    /// What is said.
    pub verdict: Verdict,
    /// The worst that is certain.
    pub certain: Verdict,
    /// The worst that the unknowns allow.
    pub possible: Verdict,
}
