//! The four verdicts.

use crate::pack::packed;

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
    ExteriorTradeFirst,
}

packed!(enum Verdict { 0: GoAhead, 1: ChangePlan, 2: FindOutFirst, 3: ExteriorTradeFirst });

impl Verdict {
    /// All of them, in rising order.
    pub const ALL: [Verdict; 4] =
        [Verdict::GoAhead, Verdict::ChangePlan, Verdict::FindOutFirst, Verdict::ExteriorTradeFirst];

    /// The word in JSON and in word keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Verdict::GoAhead => "go_ahead",
            Verdict::ChangePlan => "change_plan",
            Verdict::FindOutFirst => "find_out_first",
            Verdict::ExteriorTradeFirst => "exterior_trade_first",
        }
    }
}
