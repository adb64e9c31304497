//! Where the water goes at this wall, in words, and where it will go after the work.

use super::model::Assessment;
use crate::content::Verdict;
use crate::names::{DefinedId, Shape};
use crate::site::{FactId, Trace, Traced, Traces};
use crate::units::Length;
use crate::wall::{Core, Joint, Sense, Spec, System, Usual};
use crate::water::{End, Path, Start, path};

/// The way of a drop at this wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaterWay {
    /// Where it starts.
    pub start: Start,
    /// The wall it was traced on: of all that fit the answers, one with the worst end.
    pub wall: Spec,
    /// The way.
    pub path: Path,
    /// The step at which it goes wrong, if it does.
    pub wrong: Option<usize>,
    /// The best end, if the answers leave several open.
    pub at_best: Option<End>,
}

/// The wall as it will be after the work on the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AfterWork {
    /// Whether the foot of the wall was opened and closed again; else the surface was lowered.
    pub opened: Option<Length>,
    /// How far the surface was lowered.
    pub lowered: Length,
    /// Whether built work comes up and goes back: then with a joint that holds, and with nothing hollow behind it.
    pub relaid: bool,
    /// The ways then.
    pub ways: Vec<(Start, Path)>,
}

impl AfterWork {
    /// What becomes of a wall.
    #[must_use]
    pub fn wall(&self, now: &Spec, usual: &Usual) -> Spec {
        match self.opened {
            Some(clear) => now.repaired(clear, usual),
            None if self.relaid => Spec { joint: closed(now.joint), ..now.lowered(self.lowered).without_work_faults() },
            None => now.lowered(self.lowered),
        }
    }

    /// Whether every drop ends outside.
    #[must_use]
    pub fn all_outside(&self) -> bool {
        self.ways.iter().all(|(start, path)| is_fine(*start, path.end))
    }
}

impl Assessment<'_> {
    /// The ways from all places that this wall has.
    #[must_use]
    pub fn water_ways(&self) -> Vec<WaterWay> {
        self.ways_of(&self.traces())
    }

    fn traces(&self) -> Traces {
        Traces::of(&self.site, self.content.per_reading, &self.content.usual)
    }

    fn ways_of(&self, traces: &Traces) -> Vec<WaterWay> {
        let usual = &self.content.usual;
        let places = Start::ALL.into_iter().filter(|start| self.has_place(*start));
        places
            .filter_map(|start| {
                let trace = traces.from(start);
                let Traced { wall, path } = trace.worst()?.clone();
                let best = match trace {
                    Trace::Ways(ways) => ways.iter().map(|w| w.path.end).min().filter(|end| *end != path.end),
                    _ => None,
                };
                let wrong = if is_fine(start, path.end) { None } else { went_wrong(&wall, start, &path, usual) };
                Some(WaterWay { start, wall, path, wrong, at_best: best })
            })
            .collect()
    }

    /// What is built against a wall has no surface to walk on.
    pub(super) fn has_place(&self, start: Start) -> bool {
        !matches!(start, Start::Surface | Start::Joint) || self.shape() != Some(Shape::Upright)
    }

    /// The wall after the checklist: opened and closed again where an exterior trade has to come first, else
    /// with the surface lowered as the limits ask. Nothing where neither is called for.
    #[must_use]
    pub fn after_work(&self) -> Option<AfterWork> {
        let (traces, usual) = (self.traces(), &self.content.usual);
        let ways = self.ways_of(&traces);
        let base = ways.iter().find(|w| w.start == Start::Behind).or(ways.first())?.wall;
        let to_open = self.certainly(DefinedId::WallToOpen);
        let lowering = self.lowering.filter(|l| l.by > Length::ZERO);
        if self.shape() == Some(Shape::Upright) {
            // soil or fuel against a wall is no surface that water runs away on
            return None;
        }
        // veneer, solid masonry and what stands before masonry are not cut back: there the surface gives way
        let can_open = matches!(base.system, System::Siding | System::Coat { .. } | System::Foam { .. })
            && base.core == Core::Wood;
        let opened = (to_open || self.settled.held == Verdict::ExteriorTradeFirst && base.is_covered()) && can_open;
        let (opened, lowered) = if opened {
            let least = usual.cut_clear;
            (Some(self.exit_bound().unwrap_or(least).max(least)), Length::ZERO)
        } else {
            // what asks for more than is known may ask for more still
            let by = lowering.filter(|l| l.exit_known)?.sure;
            (None, by)
        };
        let relaid = self.certainly(DefinedId::WorkToLift);
        let mut after = AfterWork { opened, lowered, relaid, ways: Vec::new() };
        // of all walls that fit the answers the one that is worst then, which may not be the one that is worst now
        let worst = |way: &WaterWay| {
            let Trace::Ways(now) = traces.from(way.start) else { return None };
            let then = now.iter().filter_map(|w| path(&after.wall(&w.wall, usual), way.start, usual));
            Some((way.start, then.max_by_key(|path| path.end)?))
        };
        after.ways = ways.iter().filter_map(worst).collect();
        Some(after)
    }

    /// The most that any limit that can fail a plan asks of the exit above the finish.
    fn exit_bound(&self) -> Option<Length> {
        let rows = self.bounds_on(FactId::ExitAboveFinish, Sense::AtLeast).filter(|l| l.verdict.is_some());
        rows.map(|l| Length::from_steps(l.bound)).chain(self.makers_gap()).max()
    }
}

/// A joint that touches, closed by something that holds.
fn closed(joint: Joint) -> Joint {
    if joint == Joint::Touching { Joint::Closed } else { joint }
}

/// Whether an end is as it should be: from the wall, water has left it; on the work, it is outside.
pub(crate) fn is_fine(start: Start, end: End) -> bool {
    match start {
        // rain on the surface that runs into a gap at the wall has come to the house
        Start::Surface => end.is_outside() && end != End::InGap,
        Start::Joint => end.is_outside(),
        _ => end.leaves_wall(),
    }
}

/// The step at which a way leaves that of the sound wall.
fn went_wrong(wall: &Spec, start: Start, way: &Path, usual: &Usual) -> Option<usize> {
    way.parts_from(&path(&wall.sound(usual), start, usual)?)
}
