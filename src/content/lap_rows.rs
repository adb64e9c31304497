//! Which layer of a wall laps over which, and the order of work that follows: what laps over comes later.

use super::rows::{Origin, RowReader};
use super::works::Must;
use crate::flow::{Fields, Node, Place, nearest};
use crate::pack::{Text, packed};

/// A layer laps over another, or covers it.
#[derive(Debug, Clone)]
pub struct LapRow {
    /// The number of the upper layer.
    pub over: usize,
    /// The number of the layer below it.
    pub under: usize,
    /// What goes wrong the other way round.
    pub because: Text,
    /// Where it comes from.
    pub origin: Origin,
    /// Where it stands.
    pub place: Place,
}

packed!(struct LapRow { over, under, because, origin, place });

/// All laps of a wall.
#[derive(Debug, Clone, Default)]
pub struct Laps {
    /// The names of the layers; each stands in at least one lap.
    pub layers: Vec<Text>,
    /// The pairs.
    pub rows: Vec<LapRow>,
}

packed!(struct Laps { layers, rows });

/// Two steps of work in the wrong order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reversed {
    /// The number of the pair.
    pub lap: usize,
    /// The number of the step that sets the upper layer.
    pub over: usize,
    /// The number of the step that sets the layer below.
    pub under: usize,
}

impl Laps {
    /// The pairs of steps that set layers in the wrong order. `sets` are the layers that each step sets, in their order;
    /// `before(a, b)` tells whether step `a` is certainly done before step `b`.
    #[must_use]
    pub fn reversed(&self, sets: &[&[usize]], before: impl Fn(usize, usize) -> bool) -> Vec<Reversed> {
        let place = |step: usize, layer: usize| sets[step].iter().position(|set| *set == layer);
        let mut found = Vec::new();
        for (lap, row) in self.rows.iter().enumerate() {
            let setting = |layer: usize| (0..sets.len()).filter(move |step| place(*step, layer).is_some());
            for over in setting(row.over) {
                for under in setting(row.under) {
                    // one step may set both: then the order within it counts
                    let right = if over == under {
                        place(under, row.under) < place(over, row.over)
                    } else {
                        before(under, over)
                    };
                    if !right {
                        found.push(Reversed { lap, over, under });
                    }
                }
            }
        }
        found
    }

    /// The layers that no step sets.
    pub fn never_set<'s>(
        &'s self,
        sets: impl Iterator<Item = &'s Vec<usize>> + Clone,
    ) -> impl Iterator<Item = &'s str> {
        let layers = self.layers.iter().enumerate();
        layers.filter(move |(at, _)| !sets.clone().any(|set| set.contains(at))).map(|(_, name)| name.as_str())
    }
}

impl RowReader<'_> {
    /// The pairs, and the layers that they name.
    pub(crate) fn laps(&mut self, nodes: &[&Node<'_>]) -> Laps {
        let mut laps = Laps::default();
        for node in nodes {
            let Some(mut fields) = Fields::of(node, "a lap", self.diags) else { continue };
            let (over, under) = (fields.need_text("over", self.diags), fields.need_text("under", self.diags));
            let because = self.text(&mut fields, "because", true);
            let id = over.as_ref().zip(under.as_ref()).map(|(over, under)| format!("{over} over {under}"));
            let origin = self.origin(&mut fields, "lap", id.as_deref(), Must::Saying);
            let place = fields.place();
            fields.finish(self.diags);
            let (Some(over), Some(under)) = (over, under) else { continue };
            if over == under {
                self.diags.error(place, format!("`{over}` cannot lap over itself"));
                continue;
            }
            let mut layer = |name: Text| {
                laps.layers.iter().position(|known| *known == name).unwrap_or_else(|| {
                    laps.layers.push(name);
                    laps.layers.len() - 1
                })
            };
            let (over, under) = (layer(over), layer(under));
            laps.rows.push(LapRow { over, under, because, origin, place });
        }
        laps
    }

    /// The layers that a step of work sets, in its order.
    pub(crate) fn sets(&mut self, fields: &mut Fields<'_, '_>, laps: &Laps) -> Vec<usize> {
        let mut found = Vec::new();
        for node in fields.list("sets", self.diags) {
            let name = node.text().unwrap_or_default();
            let Some(at) = laps.layers.iter().position(|layer| layer == name) else {
                let near = nearest(name, laps.layers.iter().map(Text::as_str));
                let hint = near.map(|near| format!("did you mean `{near}`?"));
                self.diags.error_with_hint(node.place, format!("no lap names the layer `{name}`"), hint);
                continue;
            };
            found.push(at);
        }
        found
    }

    /// Reports each pair of steps whose order makes water run in behind a layer. `steps` are their ids, places and layers.
    pub(crate) fn check_laps(
        &mut self,
        laps: &Laps,
        kind: &str,
        steps: &[(&str, Place, &[usize])],
        before: impl Fn(usize, usize) -> bool,
    ) {
        let sets: Vec<&[usize]> = steps.iter().map(|(.., sets)| *sets).collect();
        for wrong in laps.reversed(&sets, before) {
            let row = &laps.rows[wrong.lap];
            let ((late, place, _), (early, ..)) = (steps[wrong.over], steps[wrong.under]);
            let (over, under) = (&laps.layers[row.over], &laps.layers[row.under]);
            self.diags.error_with_hint(
                place,
                format!(
                    "the {kind} `{late}` sets `{over}`, which laps over `{under}`, but does not come after `{early}`"
                ),
                Some(row.because.to_string()),
            );
        }
    }
}
