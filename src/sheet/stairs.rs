//! Steps on a sheet.

use super::document::Block;
use crate::judge::{Assessment, Climb};
use crate::units::Length;
use crate::wall::SlabFlight;

impl Assessment<'_> {
    /// The steps that the crew builds, in a sentence: how many risers, how high, and how deep the treads. Nothing where slabs of a
    /// given thickness are the risers.
    pub(crate) fn steps_in_short(&self) -> Option<String> {
        let steps = self.steps().filter(|steps| steps.climb != Climb::FromSurface && steps.slabs.is_none())?;
        let plan = steps.plan.filter(|_| !self.is_built())?;
        let show = |length: Length| length.show(self.units);
        let (risers, riser, tread) = (plan.flight.risers.to_string(), show(plan.flight.riser), show(plan.tread));
        let values = [("rise", show(steps.rise)), ("risers", risers), ("riser", riser), ("tread", tread)];
        let values: Vec<(&str, &str)> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        Some(self.word_with("steps.short", &values))
    }

    pub(crate) fn steps_block(&self, blocks: &mut Vec<Block>) {
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
