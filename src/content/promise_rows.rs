//! Promises: what must hold of the advice, whatever is answered. Nobody is told of them but the author of the content.

use super::rows::{Origin, RowReader, id_text};
use super::verdict::Verdict;
use super::works::Must;
use crate::flow::{Condition, Fields, Kind, Node, Place, Tree, Vocabulary, condition, nearest};
use crate::pack::{Text, packed};
use crate::wall::Status;

/// What must hold of every advice.
#[derive(Debug, Clone)]
pub struct Promise {
    /// Its id.
    pub id: Text,
    /// When it is owed.
    pub when: Condition,
    /// Whether its verdict is owed too where nobody knows whether `when` holds; "find out first" will do there.
    pub or_unknown: bool,
    /// The verdicts that may be given then, as bits of their places in [`Verdict::ALL`].
    pub allowed: i64,
    /// What must certainly be so, findings, tasks and the verdict among it.
    pub holds: Option<Condition>,
    /// What has to be told of it: at least one of these rows.
    pub told_by: Option<Condition>,
    /// Of these rows at most one is told.
    pub not_together: Vec<Condition>,
    /// Why.
    pub because: Text,
    /// Where it comes from.
    pub origin: Origin,
    /// Where it stands.
    pub place: Place,
}

packed!(struct Promise { id, when, or_unknown, allowed, holds, told_by, not_together, because, origin, place });

impl Promise {
    /// Whether this verdict may be given where the promise is owed.
    #[must_use]
    pub fn allows(&self, verdict: Verdict) -> bool {
        self.allowed & bit(verdict) != 0
    }
}

/// The verdict, as a name that promises may use.
pub const VERDICT_NAME: &str = "verdict";

/// Rows that promises may name, by the first word of the name: `finding.wiring_wet` is true where that finding is told.
pub const TOLD: [&str; 6] = ["finding", "task", "trade", "caution", "ask", "limit"];

/// The names that only promises may use: the verdict, and whether a row is told. It is called once all other rows are
/// read, so that none of those can look at what follows from itself. False where a question has the name of the verdict.
pub(crate) fn open_to_advice<'i>(names: &mut Vocabulary, told: impl Iterator<Item = (&'static str, &'i str)>) -> bool {
    names.open_to_advice();
    let verdicts = Verdict::ALL.iter().map(|v| v.word().into()).collect();
    let is_free = names.add(VERDICT_NAME, Kind::OneOf(verdicts)).is_some();
    for (kind, id) in told {
        names.add(&format!("{kind}.{id}"), Kind::YesNo);
    }
    is_free
}

impl RowReader<'_> {
    pub(crate) fn promise(&mut self, node: &Node<'_>) -> Option<Promise> {
        let mut fields = Fields::of(node, "a promise", self.diags)?;
        let id = self.id(&mut fields, "promise");
        let when = self.when(&mut fields);
        let or_unknown = fields.flag("or_unknown", false, self.diags);
        let verdicts = Verdict::ALL.map(|v| (v.word(), v));
        let never = fields.take("never").map_or(0, |node| self.verdicts(node));
        let at_least = fields.word("at_least", &verdicts, self.diags);
        let at_most = fields.word("at_most", &verdicts, self.diags);
        let holds = fields.take("holds").map(|node| condition(node, self.names, self.diags));
        let told_by = fields.take("told_by").map(|node| self.told_by(node));
        let not_together = fields.list("not_together", self.diags);
        let not_together: Vec<Condition> = not_together.iter().filter_map(|item| self.told(item)).collect();
        let because = self.text(&mut fields, "because", true);
        let origin = self.origin(&mut fields, "promise", id_text(id.as_ref()), Must::Saying);
        fields.finish(self.diags);
        let (id, place) = id?;
        let may = |v: &Verdict| {
            never & bit(*v) == 0 && at_least.is_none_or(|least| *v >= least) && at_most.is_none_or(|most| *v <= most)
        };
        let allowed = Verdict::ALL.into_iter().filter(may).fold(0, |bits, v| bits | bit(v));
        let all = Verdict::ALL.into_iter().fold(0, |bits, v| bits | bit(v));
        if allowed == all && holds.is_none() && told_by.is_none() && not_together.len() < 2 {
            let hint = "give `never:`, `at_least:`, `at_most:`, `holds:`, `told_by:`, or two rows in `not_together:`"
                .to_owned();
            self.diags.error_with_hint(place, format!("the promise `{id}` promises nothing"), Some(hint));
        }
        if allowed == 0 {
            self.diags.error(place, format!("the promise `{id}` leaves no verdict"));
        }
        if or_unknown && (when == Condition::always() || allowed == all) {
            let message = format!("`or_unknown` of the promise `{id}` needs a `when:` and a verdict");
            self.diags.error(place, message);
        }
        Some(Promise { id, when, or_unknown, allowed, holds, told_by, not_together, because, origin, place })
    }

    /// One verdict or a list of them, as bits.
    fn verdicts(&mut self, node: &Node<'_>) -> i64 {
        let items: Vec<&Node<'_>> = match &node.tree {
            Tree::List(items) => items.iter().collect(),
            Tree::Scalar { .. } | Tree::Map(_) => vec![node],
        };
        let mut bits = 0;
        for item in items {
            let text = item.text().unwrap_or_default();
            if let Some(verdict) = Verdict::ALL.into_iter().find(|v| v.word() == text) {
                bits |= bit(verdict);
                continue;
            }
            let words = Verdict::ALL.map(Verdict::word);
            let hint = nearest(text, words.into_iter())
                .map_or_else(|| format!("use one of: {}", words.join(", ")), |n| format!("did you mean `{n}`?"));
            self.diags.error_with_hint(item.place, format!("there is no verdict `{text}`"), Some(hint));
        }
        bits
    }

    /// At least one of these rows is told: a finding that holds, a task, a call or a caution that is printed, a limit that
    /// is missed or too close to call.
    fn told_by(&mut self, node: &Node<'_>) -> Condition {
        let Tree::List(items) = &node.tree else {
            let message = format!("`told_by` must be a list of rows, not {}", node.describe());
            self.diags.error_with_hint(node.place, message, Some("for example `[finding.wiring_wet]`".to_owned()));
            return Condition::always();
        };
        if items.is_empty() {
            self.diags.error(node.place, "`told_by` is empty");
        }
        let rows: Vec<Condition> = items.iter().filter_map(|item| self.told(item)).collect();
        Condition::any(&rows)
    }

    fn told(&mut self, node: &Node<'_>) -> Option<Condition> {
        let name = node.text().unwrap_or_default();
        let kind = name.split_once('.').map(|(kind, _)| kind).filter(|kind| TOLD.contains(kind));
        let Some(kind) = kind else {
            let message = format!("`{name}` is no row that can be told");
            let hint = format!("write its kind before its id: {}", TOLD.map(|kind| format!("`{kind}.…`")).join(", "));
            self.diags.error_with_hint(node.place, message, Some(hint));
            return None;
        };
        let Some(slot) = self.names.slot(name) else {
            if let Some((message, hint)) = self.names.missing(name) {
                self.diags.error_with_hint(node.place, message, hint);
            }
            return None;
        };
        // of a limit: close, or missed
        let told = if kind == "limit" { 1 << Status::Close as usize | 1 << Status::Fails as usize } else { YES };
        Some(Condition::any_of(slot, told))
    }
}

/// The bit of "yes" in a value.
const YES: i64 = 2;

/// The bit of a verdict.
fn bit(verdict: Verdict) -> i64 {
    1 << verdict as usize
}
