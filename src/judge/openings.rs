//! Doors, windows, vents and wells of a visit: how far each stands above the finish, and what a step at a
//! door takes.

use super::model::Assessment;
use crate::names::{OpeningKind, QuestionId};
use crate::site::{FactId, Opening, Over};
use crate::units::Length;
use crate::wall::{Flight, Sense, flight};

/// An opening with what follows for it.
#[derive(Debug, Clone, Copy)]
pub struct OpeningRow {
    /// The opening. One without a place begins and ends at zero.
    pub opening: Opening,
    /// Whether it has a place along the wall.
    pub placed: bool,
    /// How far it stands above the finish, if known.
    pub over: Option<Over>,
    /// The same if the surface goes down as far as the limits ask; nothing where it may stay.
    pub over_then: Option<Over>,
    /// For a door: the step that is allowed there, if the region bounds it.
    pub step_most: Option<Length>,
    /// For a door with a higher step: equal risers up to the threshold.
    pub flight: Option<Flight>,
}

impl Assessment<'_> {
    /// All openings whose height or place is known. The main door by itself is none: its step stands among
    /// the heights.
    #[must_use]
    pub fn openings(&self) -> Vec<OpeningRow> {
        let mut list: Vec<(Opening, bool)> = self.site.openings.iter().map(|o| (*o, true)).collect();
        let placed = |kind: OpeningKind| self.site.openings.iter().any(|o| o.kind == kind);
        if let Some(below) =
            self.length_said(QuestionId::OtherDoorBelowMark).filter(|_| !placed(OpeningKind::OtherDoor))
        {
            let door =
                |kind, below| (Opening { kind, from: Length::ZERO, to: Length::ZERO, below: Some(below) }, false);
            if self.site.door == Some(true) && !placed(OpeningKind::MainDoor) {
                list.push(door(OpeningKind::MainDoor, Length::ZERO));
            }
            list.push(door(OpeningKind::OtherDoor, below));
        }
        list.into_iter().map(|(opening, placed)| self.opening_row(opening, placed)).collect()
    }

    fn opening_row(&self, opening: Opening, placed: bool) -> OpeningRow {
        // without its place, what a door stands above a sloping surface is not known
        let known = placed || !self.site.slopes();
        let over = self.site.over_finish(&opening, self.content.per_reading).filter(|_| known);
        let down = self.lowering.filter(|l| l.by > Length::ZERO).map(|l| l.sure);
        let over_then = over.zip(down).map(|(o, down)| Over { least: o.least + down, most: o.most + down, ..o });
        let step_most = self.step_most(opening.kind);
        let step = over_then.or(over).map(|o| o.most);
        let too_high = step.zip(step_most).is_some_and(|(step, most)| step > most);
        let riser = self.riser_most().filter(|_| too_high);
        let flight = step.zip(riser).and_then(|(step, most)| flight(step, most));
        OpeningRow { opening, placed, over, over_then, step_most, flight }
    }

    fn riser_most(&self) -> Option<Length> {
        self.stairs()?.rules.riser_most
    }

    /// The highest step that is allowed at a door: by a limit that applies, or else one riser of the region.
    fn step_most(&self, kind: OpeningKind) -> Option<Length> {
        let fact = match kind {
            OpeningKind::MainDoor => FactId::ThresholdAboveFinish,
            OpeningKind::OtherDoor => FactId::OtherDoorMostStep,
            OpeningKind::Window
            | OpeningKind::GasVent
            | OpeningKind::DryerVent
            | OpeningKind::CrawlVent
            | OpeningKind::GasMeter
            | OpeningKind::Well => return None,
        };
        let rows = self.bounds_on(fact, Sense::AtMost).filter(|l| l.verdict.is_some());
        rows.map(|l| Length::from_steps(l.bound)).min().or_else(|| self.riser_most())
    }
}
