//! The ways out when a plan does not work, each with its figures and with what it costs elsewhere.

use super::assess::Assessment;
use super::document::Block;
use super::verdict::Verdict;
use crate::flow::Truth;
use crate::units::{Length, Slope, Units};
use crate::wall::{Level, Sense, Status};

/// A way out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// Its id: `lower`, `hold_off`, `open`, `turn` or `step`.
    pub id: &'static str,
    /// What it takes here, with figures.
    pub takes: String,
    /// What it costs elsewhere.
    pub costs: String,
    /// The figure it turns on: how much to lower, how deep the strip, how far to raise the exit, how much
    /// drop at the outer edge, how high the step.
    pub figure: Length,
}

impl Assessment<'_> {
    /// The ways out that fit this visit; none where nothing has to change.
    #[must_use]
    pub fn ways(&self) -> Vec<Way> {
        if self.settled.certain < Verdict::ChangePlan {
            return Vec::new();
        }
        [self.lower(), self.hold_off(), self.open_wall(), self.turn_fall(), self.step_down()]
            .into_iter()
            .flatten()
            .collect()
    }

    fn way(&self, id: &'static str, figure: Length, values: &[(&str, &str)]) -> Way {
        self.way_at_cost(id, "costs", figure, values)
    }

    fn way_at_cost(&self, id: &'static str, costs: &str, figure: Length, values: &[(&str, &str)]) -> Way {
        Way {
            id,
            takes: self.word_with(&format!("way.{id}.takes"), values),
            costs: self.word_with(&format!("way.{id}.{costs}"), values),
            figure,
        }
    }

    fn shown(&self, length: Length) -> String {
        length.show(self.units)
    }

    fn lower(&self) -> Option<Way> {
        let lowering = self.lowering.filter(|l| l.by > Length::ZERO)?;
        let by = self.shown(lowering.sure);
        match lowering.step.filter(|_| self.site.door == Some(true)) {
            Some(step) => Some(self.way("lower", lowering.sure, &[("by", &by), ("step", &self.shown(step))])),
            None => Some(self.way_at_cost("lower", "costs_no_step", lowering.sure, &[("by", &by)])),
        }
    }

    /// What the exit needs above what lies in front of it, and what it has: bound and clearance.
    fn exit_need(&self) -> Option<(Length, Length)> {
        let clearance = self.site.height(Level::Exit, Level::Finish)?;
        let low = clearance.up - clearance.tolerance(self.content.per_reading);
        let slot = self.content.names.slot("exit.above_finish")?;
        let bound = self
            .content
            .limits
            .iter()
            .zip(&self.clearances)
            .filter(|(l, c)| l.measure == slot && l.sense == Sense::AtLeast && c.applies == Truth::Yes)
            .filter(|(l, _)| l.origin.basis != super::Basis::Memory)
            .map(|(l, _)| Length::from_steps(l.bound))
            .max()?;
        (low < bound).then_some((bound, low))
    }

    /// Over what length of the wall the exit has less than it needs, measuring error included: to the next
    /// whole inch or centimetre. The whole length where the heights do not vary.
    fn length_short(&self, bound: Length) -> String {
        let off = self
            .site
            .height(Level::Exit, Level::Finish)
            .map_or(Length::ZERO, |h| h.tolerance(self.content.per_reading));
        let short = self.site.short_over(Level::Exit, Level::Finish, bound + off);
        let unit = if self.units == Units::Inch { Length::inches(1) } else { Length::mm(10) };
        let whole = |l: Length| unit * ((l.steps() + unit.steps() - 1) / unit.steps());
        let length = short.map(whole).zip(self.site.length).map(|(short, all)| short.min(all)).or(self.site.length);
        length.map_or_else(|| self.content.word("label.blank").to_owned(), |l| self.shown(l))
    }

    /// The surface stays as high as it is, but ends before the wall; a drained strip lies below the exit.
    fn hold_off(&self) -> Option<Way> {
        let (bound, low) = self.exit_need()?;
        let depth = bound - low;
        let length = self.length_short(bound);
        let costs = if self.site.door == Some(false) { "costs_no_door" } else { "costs" };
        Some(self.way_at_cost("hold_off", costs, depth, &[("depth", &self.shown(depth)), ("length", &length)]))
    }

    /// The cladding is cut higher and the exit made anew above the surface.
    fn open_wall(&self) -> Option<Way> {
        if !self.is("exit.kind", &["siding_bottom", "weep_screed", "stucco_edge"]) {
            return None;
        }
        let (bound, low) = self.exit_need()?;
        let raise = bound - low;
        let length = self.length_short(bound);
        let values = [("raise", self.shown(raise)), ("above", self.shown(bound)), ("length", length)];
        let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
        Some(self.way("open", raise, &values))
    }

    /// The surface falls away from the wall as much as the region asks.
    fn turn_fall(&self) -> Option<Way> {
        if self.says("feature", &["built_against"]) {
            return None;
        }
        let slot = self.content.names.slot("fall.away")?;
        let depth = self.site.depth?;
        // a surface that falls the wrong way is a finding of its own, so its limit may be off
        let wrong_way = self.says("fall_direction", &["towards", "level", "along"]);
        let region = self.content.region(self.answers);
        let bounds = self.content.limits.iter().zip(&self.clearances).filter(|(l, c)| {
            l.measure == slot
                && l.sense == Sense::AtLeast
                && l.verdict.is_some()
                && l.holds_in(region)
                && (c.status == Status::Fails || wrong_way)
        });
        let needed = bounds.map(|(l, _)| Slope::from_parts(l.bound)).max()?;
        let drop = needed.over(depth);
        let values = [("fall", needed.show(self.units)), ("drop", self.shown(drop)), ("depth", self.shown(depth))];
        let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
        Some(self.way("turn", drop, &values))
    }

    /// A low strip at the wall, and the surface proper a step higher.
    fn step_down(&self) -> Option<Way> {
        let lowering = self.lowering.filter(|l| l.by > Length::ZERO)?;
        let region = self.content.region(self.answers)?;
        let rules = self.content.stairs.iter().find(|s| s.region == region)?;
        let most = rules.rules.riser_most?;
        // an edge of less than half a riser is a trip edge, and steps are steps already
        if lowering.sure * 2 < most || self.says("feature", &["landing", "stone_slab_steps", "masonry_steps"]) {
            return None;
        }
        let flight = crate::wall::flight(lowering.sure, most)?;
        let (risers, riser) = (flight.risers.to_string(), self.shown(flight.riser));
        let rise = self.shown(lowering.sure);
        Some(self.way("step", lowering.sure, &[("rise", &rise), ("risers", &risers), ("riser", &riser)]))
    }

    pub(super) fn ways_block(&self, blocks: &mut Vec<Block>) {
        let ways = self.ways();
        if ways.is_empty() {
            return;
        }
        let word = |key: &str| self.content.word(key).to_owned();
        blocks.push(Block::Heading(word("heading.ways")));
        blocks.push(Block::Paragraph(word("text.ways")));
        let row = |way: Way| vec![word(&format!("way.{}", way.id)), way.takes, way.costs];
        let head = ["table.way", "table.takes", "table.costs"].map(word).to_vec();
        blocks.push(Block::Table { head, rows: ways.into_iter().map(row).collect() });
    }
}
