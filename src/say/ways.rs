//! The ways to put it right, in words.

use crate::judge::{Assessment, Way, WayKind};
use crate::units::Length;
use crate::wall::Level;

impl Assessment<'_> {
    /// What such a way takes here, with its figures.
    #[must_use]
    pub fn way_takes(&self, way: &Way) -> String {
        let takes = match way.kind {
            WayKind::Landing { below: Some(_), .. } => "takes_landing",
            WayKind::HoldOff { planned: true, .. } => "takes_planned",
            _ => "takes",
        };
        self.way_words(way, takes)
    }

    /// What such a way costs elsewhere.
    #[must_use]
    pub fn way_costs(&self, way: &Way) -> String {
        let costs = match way.kind {
            // nothing is dug for what lies on something older, or stands on posts
            WayKind::Lower { step } if self.digging().is_none() => {
                match (self.site.levels.has(Level::OldSurface), step) {
                    (true, Some(_)) => "costs_on_old",
                    (true, None) => "costs_on_old_no_step",
                    (false, Some(_)) => "costs_undug",
                    (false, None) => "costs_undug_no_step",
                }
            }
            WayKind::Lower { step: None } => "costs_no_step",
            WayKind::HoldOff { no_door: true, .. } => "costs_no_door",
            WayKind::Lower { .. }
            | WayKind::HoldOff { .. }
            | WayKind::Open { .. }
            | WayKind::Turn { .. }
            | WayKind::Landing { .. }
            | WayKind::Step { .. } => "costs",
        };
        self.way_words(way, costs)
    }

    fn way_words(&self, way: &Way, part: &str) -> String {
        let show = |length: Length| length.show(self.units);
        let blank = || self.word("label.blank");
        let figure = show(way.figure);
        let values = match way.kind {
            WayKind::Lower { step } => vec![("by", figure), ("step", step.map_or_else(blank, show))],
            WayKind::HoldOff { length, .. } => vec![("depth", figure), ("length", length.map_or_else(blank, show))],
            WayKind::Open { above, length } => {
                vec![("raise", figure), ("above", show(above)), ("length", length.map_or_else(blank, show))]
            }
            WayKind::Turn { fall, depth } => {
                vec![("fall", fall.show(self.units)), ("drop", figure), ("depth", show(depth))]
            }
            WayKind::Landing { flight, below } => {
                let (risers, riser) = (flight.risers.to_string(), show(flight.riser));
                vec![("rise", figure), ("risers", risers), ("riser", riser), ("below", below.map_or_else(blank, show))]
            }
            WayKind::Step { flight } => {
                vec![("rise", figure), ("risers", flight.risers.to_string()), ("riser", show(flight.riser))]
            }
        };
        let values: Vec<(&str, &str)> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        self.word_with(&format!("way.{}.{part}", way.kind.word()), &values)
    }
}
