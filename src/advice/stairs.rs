//! Steps: from the ground, or from a lowered surface, up to the threshold.

use super::assess::Assessment;
use super::document::Block;
use super::wall_rows::Stairs;
use crate::flow::{Answer, Truth};
use crate::units::Length;
use crate::wall::{FlightPlan, Level, SlabFlight, slabs};

/// The steps that a visit needs.
#[derive(Debug, Clone, Copy)]
pub struct Steps<'c> {
    /// How far they climb.
    pub rise: Length,
    /// From where to where.
    pub climb: Climb,
    /// The region's rules.
    pub rules: &'c Stairs,
    /// Equal risers that keep the rules.
    pub plan: Option<FlightPlan>,
    /// Whether the tread was given; otherwise it is the region's shortest.
    pub tread_given: bool,
    /// Slabs of the given thickness, for steps of stone slabs.
    pub slabs: Option<SlabFlight>,
    /// The thickness of one slab.
    pub thickness: Option<Length>,
}

/// From where to where a flight climbs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Climb {
    /// From the ground to the top of the finished surface; then a step up to the threshold, if known.
    ToFinish {
        /// The step at the door.
        step: Option<Length>,
    },
    /// From the ground to the threshold.
    ToThreshold,
    /// From the lowered surface to the threshold.
    FromSurface,
}

impl<'c> Assessment<'c> {
    /// The steps that are planned or have become necessary; nothing if there are none, or no rules
    /// for the region, or the heights are not known.
    #[must_use]
    pub fn steps(&self) -> Option<Steps<'c>> {
        let region = self.content.region(self.answers)?;
        let rules = self.content.stairs.iter().find(|s| s.region == region)?;
        let is_flight = self.says("feature", &["landing", "stone_slab_steps", "masonry_steps"]);
        let up = |upper, lower| self.site.height(upper, lower).map(|h| h.up);
        let (rise, climb) = if is_flight {
            // the top step or landing is the finished surface; the step at the door comes on top of it
            match self.site.levels.above(Level::Finish, Level::Ground) {
                Some(height) => (height.up, Climb::ToFinish { step: up(Level::Mark, Level::Finish) }),
                None => (up(Level::Mark, Level::Ground)?, Climb::ToThreshold),
            }
        } else {
            // a surface that has to go down further than the door allows needs steps
            let lowering = self.lowering.filter(|l| l.by > Length::ZERO && l.step_breaks.is_some())?;
            (lowering.step?, Climb::FromSurface)
        };
        let tread = self.length_said("tread_depth");
        let thickness = self.length_said("slab_thickness");
        let spread = rules.rules.spread_most.unwrap_or(Length::ZERO);
        let slab_flight = thickness.and_then(|t| slabs(rise, t, spread));
        let plan = rules.rules.plan(rise, tread);
        (plan.is_some() || slab_flight.is_some()).then_some(Steps {
            rise,
            climb,
            rules,
            plan,
            tread_given: tread.is_some(),
            slabs: slab_flight,
            thickness,
        })
    }

    pub(super) fn length_said(&self, question: &str) -> Option<Length> {
        let number = self.content.flow.question(question)?;
        match self.answers.get(number)? {
            Answer::Length(length) if self.state.shown[number] == Truth::Yes => Some(*length),
            _ => None,
        }
    }

    pub(super) fn steps_block(&self, blocks: &mut Vec<Block>) {
        let Some(steps) = self.steps() else { return };
        let show = |length: Length| length.show(self.units);
        let word = |key: &str| self.content.word(key).to_owned();
        blocks.push(Block::Heading(word("heading.steps")));
        let rise = show(steps.rise);
        let (key, step) = match steps.climb {
            Climb::FromSurface => ("steps.rise_surface", None),
            Climb::ToThreshold => ("steps.rise_ground", None),
            Climb::ToFinish { step } => ("steps.rise_finish", step),
        };
        let mut text = self.word_with(key, &[("rise", &rise)]);
        if let Some(step) = step.filter(|s| *s > Length::ZERO) {
            text.push(' ');
            text.push_str(&self.word_with("steps.then_door", &[("step", &show(step))]));
        }
        blocks.push(Block::Paragraph(text));
        if let Some(plan) = steps.plan {
            let (risers, treads) = (plan.flight.risers.to_string(), plan.flight.treads().to_string());
            let (riser, tread, run) = (show(plan.flight.riser), show(plan.tread), show(plan.run));
            let tread_key = if steps.tread_given { "steps.tread_given" } else { "steps.tread_default" };
            let mut text = self.word_with(
                "steps.plan",
                &[("risers", &risers), ("riser", &riser), ("treads", &treads), ("tread", &tread), ("run", &run)],
            );
            for (holds, key) in [(true, tread_key), (plan.handrail, "steps.handrail"), (plan.guard, "steps.guard")] {
                if holds {
                    text.push(' ');
                    text.push_str(&word(key));
                }
            }
            blocks.push(Block::Paragraph(text));
        }
        if let (Some(flight), Some(thickness)) = (steps.slabs, steps.thickness) {
            self.slab_lines(blocks, flight, thickness);
        }
        blocks.push(Block::Note(self.origin(&steps.rules.origin)));
    }

    fn slab_lines(&self, blocks: &mut Vec<Block>, flight: SlabFlight, thickness: Length) {
        let show = |length: Length| length.show(self.units);
        let (count, thick) = (flight.slabs.to_string(), show(thickness));
        let (left, odd) = (show(flight.left_over.abs()), show(flight.odd_riser));
        let even = show(flight.even_thickness);
        let values = [
            ("count", count.as_str()),
            ("thickness", thick.as_str()),
            ("left", left.as_str()),
            ("odd", odd.as_str()),
            ("even", even.as_str()),
        ];
        let key = match (flight.left_over.steps().signum(), flight.even) {
            (0, _) => "steps.slabs_exact",
            (1, true) => "steps.slabs_low_even",
            (1, false) => "steps.slabs_low_odd",
            (_, true) => "steps.slabs_high_even",
            (_, false) => "steps.slabs_high_odd",
        };
        let mut text = self.word_with(key, &values);
        if !flight.even {
            text.push(' ');
            text.push_str(&self.word_with("steps.mend_thickness", &values));
            if let Some(bedding) = flight.bedding {
                text.push(' ');
                text.push_str(&self.word_with("steps.mend_bedding", &[("bedding", &show(bedding)), ("count", &count)]));
            }
            let ground = if flight.raise_ground > Length::ZERO { "steps.mend_raise" } else { "steps.mend_lower" };
            text.push(' ');
            text.push_str(&self.word_with(ground, &values));
        }
        blocks.push(Block::Paragraph(text));
    }
}
