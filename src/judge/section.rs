//! The wall of a visit as it is to be drawn: the one that was traced, at the heights of the picture.

use super::model::Assessment;
use super::stairs::Climb;
use super::water::is_fine;
use crate::content::Layer;
use crate::names::{DefinedId, QuestionId};
use crate::site::LevelChange;
use crate::units::Length;
use crate::wall::{Heights, Level, Spec, Stepped};
use crate::water::{End, Start};

/// The places from which a way can be drawn: behind the cladding counts most.
const DRAWN: [Start; 5] = [Start::Behind, Start::Channel, Start::Face, Start::Joint, Start::Surface];

/// Whether nothing has to be said of a way: on the work, what soaks away in front of the foundation does no harm.
fn is_harmless(start: Start, end: End) -> bool {
    is_fine(start, end) || matches!(start, Start::Joint | Start::Surface) && end < End::AtJoint
}

impl Assessment<'_> {
    /// The wall with the work before it, at these heights, and where to set a drop onto it, where the heights that decide its
    /// way are known: the first place from which water ends badly, in the order of `DRAWN`; if none does, behind the cladding, or else
    /// on its face. No way that ends well is drawn where one beside a door ends badly, nor where signs of water were seen or somebody
    /// could be hurt: it would promise too much. What is not known of the wall is as in the trace: of all walls that fit the answers one
    /// with the worst end.
    #[must_use]
    pub fn wall_at(&self, known: &Heights) -> (Spec, Option<Start>) {
        let (usual, per_reading) = (&self.content.usual, self.content.per_reading);
        let worst = |start| {
            let traced = self.site.trace(start, per_reading, usual).worst()?.clone();
            Some((traced.wall, start, is_harmless(start, traced.path.end)))
        };
        let places = DRAWN.into_iter().filter(|start| self.has_place(*start));
        let ways: Vec<(Spec, Start, bool)> = places.filter_map(worst).collect();
        let bad = ways.iter().find(|(.., fine)| !fine);
        let from = |start: Start| ways.iter().find(|(_, from, _)| *from == start);
        let traced = bad.or_else(|| from(Start::Behind)).or_else(|| from(Start::Face)).copied();
        let wall = traced.map_or_else(|| self.site.plain_wall(usual), |(wall, ..)| wall);
        // a wall that was traced counts from its finish
        let up = if traced.is_some() { wall.exit - wall.finish } else { usual.exit_clear };
        let finish = known
            .finish
            .or(known.exit.map(|exit| exit - up))
            .or(known.ground.map(|ground| ground + usual.ground_below))
            .or(known.threshold.map(|threshold| threshold - usual.ground_below))
            .unwrap_or(Length::ZERO);
        let built = Spec {
            exit: known.exit.unwrap_or(finish + up),
            finish,
            ground: known.ground.unwrap_or(finish - usual.ground_below),
            wood: None,
            threshold: known.threshold,
            steps: self.stepped(),
            ..wall
        };
        let built = match (known.wood, wall.wood) {
            // what decides nothing stands where it was measured
            (Some(wood), None) if known.exit.is_some() => built.with_wood_covered(wood),
            (Some(wood), _) => Spec { wood: Some(wood), ..built },
            (None, _) => built,
        };
        // where other places may be worse than the one that is drawn, a drop here would promise too much
        let here = self.site.elsewhere(Level::Exit, Level::Finish) == LevelChange::None;
        let promises = bad.is_some()
            || worst(Start::DoorHead).is_none_or(|(.., fine)| fine)
                && !self.certainly(DefinedId::HoseDangerous)
                && !(self.site.is_built() && self.certainly(DefinedId::SignsSeen));
        let drop = traced.map(|(_, start, _)| start).filter(|_| promises);
        (built, drop.filter(|_| here && known.exit.is_some() && known.finish.is_some()))
    }

    /// The layers of the work from the top down; none where they are not known.
    #[must_use]
    pub fn layers(&self) -> Vec<&Layer> {
        self.digging().map(|digging| digging.layers.iter().map(|laid| laid.layer).collect()).unwrap_or_default()
    }

    /// The steps to draw: those of a flight from the ground to the finish. Without a given landing the
    /// top step is drawn as deep as a tread.
    #[must_use]
    pub fn stepped(&self) -> Option<Stepped> {
        let steps = self.steps().filter(|s| matches!(s.climb, Climb::ToFinish { .. }))?;
        let plan = steps.plan?;
        let risers = steps.slabs.map_or(plan.flight.risers, |s| s.slabs);
        let landing = self.length_said(QuestionId::LandingDepth).unwrap_or(plan.tread);
        Some(Stepped { landing, tread: plan.tread, risers })
    }
}
