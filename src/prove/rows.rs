//! All rows of the content that a condition calls for, in one list.

use crate::content::{Content, Verdict};
use crate::flow::{Condition, Place};

/// A row, and when it counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct CalledRow<'c> {
    /// What it is, in words: `task`.
    pub(super) kind: &'static str,
    /// Its id.
    pub(super) id: &'c str,
    /// When it counts.
    pub(super) when: &'c Condition,
    /// Only with this verdict.
    pub(super) verdict: Option<Verdict>,
    /// Where it stands.
    pub(super) place: Place,
}

/// All rows but questions, limits, findings and promises, which have claims of their own.
pub(super) fn called(content: &Content) -> Vec<CalledRow<'_>> {
    let c = content;
    let row = |kind, id, when| CalledRow { kind, id, when, verdict: None, place: place(c, kind, id) };
    let mut rows: Vec<CalledRow<'_>> = Vec::new();
    rows.extend(c.layers.iter().map(|r| row("layer", r.id.as_str(), &r.when)));
    rows.extend(c.tasks.iter().map(|r| row("task", r.id.as_str(), &r.when)));
    rows.extend(c.asks.iter().map(|r| row("contractor", r.id.as_str(), &r.when)));
    rows.extend(c.calls.iter().map(|r| row("trade", r.id.as_str(), &r.when)));
    rows.extend(c.cautions.iter().map(|r| row("caution", r.id.as_str(), &r.when)));
    rows.extend(c.materials.iter().map(|r| row("material", r.id.as_str(), &r.when)));
    rows.extend(c.joint_tasks.iter().map(|r| row("joint", r.id.as_str(), &r.when)));
    rows.extend(c.photos.iter().map(|r| row("photo", r.id.as_str(), &r.when)));
    let activities = c.activities.iter();
    rows.extend(activities.map(|r| CalledRow { verdict: r.verdict, ..row("activity", r.id.as_str(), &r.when) }));
    rows.extend(c.quantities.iter().map(|r| row("quantity", r.id.as_str(), &r.when)));
    rows.extend(c.uncounted.iter().map(|r| row("not_counted", r.id.as_str(), &r.when)));
    rows.extend(c.suspects.iter().map(|r| row("path", r.id.as_str(), &r.when)));
    rows.extend(c.scope.iter().map(|r| row("scope", r.id.as_str(), &r.when)));
    rows.extend(c.remove.iter().map(|r| row("remove", r.id.as_str(), &r.when)));
    rows
}

/// Where a row stands.
pub(super) fn place(content: &Content, kind: &str, id: &str) -> Place {
    content.places.get(format!("{kind}.{id}").as_str()).copied().unwrap_or_else(Place::nowhere)
}
