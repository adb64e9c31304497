//! Steps: from the ground, or from a lowered surface, up to the threshold.

use super::model::Assessment;
use crate::content::Stairs;
use crate::names::{QuestionId, Shape};
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
        let rules = self.stairs()?;
        let is_flight = matches!(self.shape(), Some(Shape::Landing | Shape::Flight));
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
        let tread = self.length_said(QuestionId::TreadDepth);
        let thickness = self.length_said(QuestionId::SlabThickness);
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
}
