//! How the order of the questions is weighed.

use super::rows::RowReader;
use super::works::Must;
use crate::flow::{Condition, Fields, Node};
use crate::pack::packed;

/// How the order of the questions is weighed. All of it is a choice of the authors: it changes when something is asked, and
/// never what is advised.
#[derive(Debug, Clone, Default)]
pub struct Asking {
    /// When questions behind dangers to people come before all others.
    pub dangers_first: Condition,
    /// How many questions a danger may still hang on to be asked about so early.
    pub danger_reach: i64,
    /// How much it counts to settle a rule that calls for an exterior trade, and any other, per cent.
    pub trade: i64,
    /// The same for another finding.
    pub finding: i64,
    /// The same for another limit.
    pub limit: i64,
    /// How likely one of several choices is the one that a rule speaks of, per cent.
    pub choice: i64,
    /// How likely a "yes" is, per cent.
    pub yes: i64,
    /// How likely a line of a tick list is marked, per cent.
    pub mark: i64,
    /// How likely a computed fact is so, per cent.
    pub computed: i64,
    /// Minutes that any question takes, besides its effort.
    pub minutes: i64,
    /// How much more a question elsewhere must settle before one walks on early, per cent.
    pub walk: i64,
}

packed!(struct Asking { dangers_first, danger_reach, trade, finding, limit, choice, yes, mark, computed, minutes, walk });

impl RowReader<'_> {
    /// The row `asking`. Without it every question counts alike.
    pub(crate) fn asking(&mut self, nodes: &[&Node<'_>]) -> Asking {
        let even = Asking {
            trade: 100,
            finding: 100,
            limit: 100,
            choice: 100,
            yes: 100,
            mark: 100,
            computed: 100,
            minutes: 1,
            walk: 100,
            ..Asking::default()
        };
        // the last file has the last word
        let Some(mut fields) = nodes.last().and_then(|node| Fields::of(node, "`asking`", self.diags)) else {
            return even;
        };
        let place = fields.place();
        let dangers_first = fields.condition("dangers_first", self.names, self.diags);
        let mut number = |name: &'static str| {
            let found = fields.need_whole(name, self.diags);
            if found.is_some_and(|n| n < 1) {
                self.diags.error(place, format!("`{name}` must be 1 or more"));
            }
            found.unwrap_or(1).max(1)
        };
        let asking = Asking {
            dangers_first,
            danger_reach: number("danger_reach"),
            trade: number("trade"),
            finding: number("finding"),
            limit: number("limit"),
            choice: number("choice"),
            yes: number("yes"),
            mark: number("mark"),
            computed: number("computed"),
            minutes: number("minutes"),
            walk: number("walk"),
        };
        self.origin(&mut fields, "asking", Some("order"), Must::Figure);
        fields.finish(self.diags);
        asking
    }
}
