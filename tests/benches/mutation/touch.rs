//! Which visits a change can touch at all. A row whose condition is false in a visit before and after the change says nothing
//! there, so the visit need not be judged again. What cannot be told so simply touches every visit.

use crate::mutants::Kind;
use crate::shipped::Changed;
use crate::support::CONTENT;
use wallfoot::content::{Content, Limit};
use wallfoot::flow::{Condition, Truth, Value};

/// Where a row says something, before and after the change.
pub(crate) struct Touch<'c> {
    /// Nothing: it may be anywhere.
    rows: Option<Rows<'c>>,
    /// Whether what is tried out around a visit (a lower surface, the wall after the work) may be touched where the visit is not.
    pub(crate) around: bool,
}

struct Rows<'c> {
    before: Where<'c>,
    /// Nothing: the row is gone.
    after: Option<Where<'c>>,
    /// Whether only the condition is another; otherwise the row says something else wherever it holds.
    only_when: bool,
}

/// The condition of a row, and the limit that holds in some regions only.
struct Where<'c> {
    when: &'c Condition,
    limit: Option<&'c Limit>,
}

impl Where<'_> {
    fn holds(&self, values: &[Value], region: Option<usize>) -> Truth {
        if self.limit.is_some_and(|limit| !limit.holds_in(region)) { Truth::No } else { self.when.eval(values) }
    }
}

impl<'c> Touch<'c> {
    /// What a change touches, by the content in which it is made.
    pub(crate) fn of(changed: &Changed, content: &'c Content) -> Touch<'c> {
        macro_rules! rows {
            ($all:ident) => {{
                let find = |content: &'c Content| {
                    let row = content.$all.iter().find(|row| row.id == changed.row);
                    row.map(|row| Where { when: &row.when, limit: None })
                };
                (find(&CONTENT), find(content))
            }};
        }
        let limit = |content: &'c Content| {
            let limit = content.limits.iter().find(|limit| limit.id == changed.row)?;
            Some(Where { when: &limit.when, limit: Some(limit) })
        };
        let fact = |content: &'c Content| {
            let fact = content.defined.iter().find(|fact| fact.name == changed.row)?;
            Some(Where { when: &fact.when, limit: None })
        };
        let (before, after) = match changed.list.as_str() {
            // a guard has no condition that says where it holds
            "findings" if CONTENT.findings.iter().any(|f| f.id == changed.row && f.guard.is_none()) => rows!(findings),
            "limits" => (limit(&CONTENT), limit(content)),
            "defined" => (fact(&CONTENT), fact(content)),
            "tasks" => rows!(tasks),
            "contractor" => rows!(asks),
            "trades" => rows!(calls),
            "cautions" => rows!(cautions),
            "materials" => rows!(materials),
            "photos" => rows!(photos),
            "joint_tasks" => rows!(joint_tasks),
            "activities" => rows!(activities),
            "quantities" => rows!(quantities),
            "paths" => rows!(suspects),
            "scope" => rows!(scope),
            "remove" => rows!(remove),
            _ => (None, None),
        };
        let in_condition =
            matches!(changed.kind, Kind::Threshold | Kind::Edge | Kind::Reversed | Kind::Negated | Kind::Shortened);
        // the figure of a limit is moved, and the evidence of a path has conditions of its own
        let only_when = in_condition && changed.list != "paths" && changed.list != "limits" || after.is_none();
        let rows = before.map(|before| Rows { before, after, only_when });
        let around = ["findings", "limits", "defined"].contains(&changed.list.as_str()) || rows.is_none();
        Touch { rows, around }
    }

    /// Everything, as if nobody knew where it is.
    pub(crate) fn all() -> Touch<'c> {
        Touch { rows: None, around: true }
    }

    /// Whether a visit with these values can come to something else.
    pub(crate) fn reaches(&self, values: &[Value], region: Option<usize>) -> bool {
        let Some(rows) = &self.rows else { return true };
        let before = rows.before.holds(values, region);
        let after = rows.after.as_ref().map_or(Truth::No, |after| after.holds(values, region));
        before != after || before == Truth::Unknown || !rows.only_when && before != Truth::No
    }
}
