//! The ways to put it right when a plan does not work, each with its figures and with what it costs elsewhere.

use super::model::Assessment;
use crate::content::Verdict;
use crate::flow::{Answer, Answers, Truth};
use crate::names::{ChannelOutlet, Drains, FallSaid, JointSaid, QuestionId, Shape};
use crate::site::FactId;
use crate::units::{Length, Slope, Units};
use crate::wall::{Core, Flight, Level, Sense, Status};

/// A way to put it right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Way {
    /// Which, with what it takes here.
    pub kind: WayKind,
    /// The figure it turns on: how much to lower, how deep the strip, how far to raise the exit, how much
    /// drop at the outer edge, how high the step.
    pub figure: Length,
}

/// The ways to put it right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayKind {
    /// The surface goes down.
    Lower {
        /// The step at the door then, if there is a door.
        step: Option<Length>,
    },
    /// The surface ends before the wall; a drained strip lies between.
    HoldOff {
        /// Over what length, if known.
        length: Option<Length>,
        /// Whether there is no door for certain.
        no_door: bool,
        /// Whether the plan, or what is built, has such a strip already: it wants a drain, or more depth.
        planned: bool,
    },
    /// The cladding is cut higher and the exit made anew.
    Open {
        /// How far above the surface it ends then.
        above: Length,
        /// Over what length, if known.
        length: Option<Length>,
    },
    /// The surface falls away from the wall.
    Turn {
        /// The fall that is needed.
        fall: Slope,
        /// Over which depth.
        depth: Length,
    },
    /// The surface stays low, and a step or a landing leads up to the door.
    Landing {
        /// The risers: up to the landing, or to the threshold where one step may stay there.
        flight: Flight,
        /// How far below the threshold a landing may lie, where the door asks for one.
        below: Option<Length>,
    },
    /// A low strip at the wall, and the surface proper a step higher.
    Step {
        /// The risers.
        flight: Flight,
    },
}

impl WayKind {
    /// The word in JSON and in word keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            WayKind::Lower { .. } => "lower",
            WayKind::HoldOff { .. } => "hold_off",
            WayKind::Open { .. } => "open",
            WayKind::Turn { .. } => "turn",
            WayKind::Landing { .. } => "at_door",
            WayKind::Step { .. } => "step",
        }
    }
}

impl Assessment<'_> {
    /// The ways that fit this visit; none where nothing has to change.
    #[must_use]
    pub fn ways(&self) -> Vec<Way> {
        if self.settled.held < Verdict::ChangePlan {
            return Vec::new();
        }
        [self.lower(), self.hold_off(), self.open_wall(), self.turn_fall(), self.landing(), self.step_down()]
            .into_iter()
            .flatten()
            .collect()
    }

    fn lower(&self) -> Option<Way> {
        // what the answer says of the height stands here too
        let needed = self.lower_by().map(|needed| needed.up_to_shown(self.units));
        let figure = needed.into_iter().chain(self.build_to().lower).max()?;
        if self.is_cut_down(figure) {
            return None;
        }
        let door = self.site.door == Some(true);
        let step = self.lowering.and_then(|l| Some(l.step? + (figure - l.sure))).filter(|_| door);
        // lowered so far, the way up to the door is none any more
        if self.is_way_up() && step.is_some_and(|step| self.content.broken_by_step(&self.clearances, step).is_some()) {
            return None;
        }
        Some(Way { kind: WayKind::Lower { step }, figure })
    }

    /// How far the surface has to go down: for the limits, and for the findings that hold because something of the wall stands
    /// too near to it. Nothing where it may stay.
    pub(super) fn lower_by(&self) -> Option<Length> {
        let for_limits = self.lowering.filter(|l| l.by > Length::ZERO).map(|l| l.sure);
        let needs = [(Level::Exit, FactId::ExitAboveFinish), (Level::Wood, FactId::WoodAboveFinish)];
        let for_findings = needs
            .into_iter()
            // what the wall does not see need not go down
            .filter(|_| !self.site.faces_ground())
            .filter(|(_, fact)| self.held_below(*fact).next().is_some())
            .filter_map(|(level, fact)| self.need(level, fact))
            .map(|(bound, low)| bound - low);
        for_limits.into_iter().chain(for_findings).max()
    }

    /// The bounds on a fact in the findings that hold and make the verdict what it is.
    fn held_below(&self, fact: FactId) -> impl Iterator<Item = i64> {
        let slot = self.content.fact_slot(fact);
        let findings = self.held().filter(|f| f.verdict == Some(self.settled.held));
        findings.flat_map(|f| f.when.numbers()).filter(move |(at, _)| *at == slot).map(|(_, bound)| bound)
    }

    /// What the exit needs above what lies in front of it, and what it has: bound and clearance.
    fn exit_need(&self) -> Option<(Length, Length)> {
        self.need(Level::Exit, FactId::ExitAboveFinish)
    }

    /// What a level of the wall needs above what lies in front of it, and what it has: by the limits that apply, and by the
    /// findings with a verdict that hold because it has less. Nothing where it has enough.
    fn need(&self, level: Level, fact: FactId) -> Option<(Length, Length)> {
        let clearance = self.site.height(level, Level::Finish)?;
        let low = clearance.up - clearance.tolerance(self.content.per_reading);
        let slot = self.content.fact_slot(fact);
        let limits = self
            .content
            .limits
            .iter()
            .zip(&self.clearances)
            .filter(|(l, c)| usize::from(l.measure) == slot && l.sense == Sense::AtLeast && c.applies == Truth::Yes)
            // the exit has to lie open whoever says so; of wood, only what can fail a plan
            .filter(|(l, _)| {
                l.origin.basis != crate::content::Basis::Memory && (level == Level::Exit || l.verdict.is_some())
            })
            .map(|(l, _)| l.bound);
        let makers = self.makers_gap().filter(|_| level == Level::Exit);
        let bound = limits.chain(self.held_below(fact)).map(Length::from_steps).chain(makers).max()?;
        (low < bound).then_some((bound, low))
    }

    /// Over what length of the wall the exit has less than it needs, measuring error included: to the next
    /// whole inch or centimetre. The whole length where the heights do not vary.
    fn length_short(&self, bound: Length) -> Option<Length> {
        let off = self
            .site
            .height(Level::Exit, Level::Finish)
            .map_or(Length::ZERO, |h| h.tolerance(self.content.per_reading));
        let short = self.site.short_over(Level::Exit, Level::Finish, bound + off);
        let unit = if self.units == Units::Inch { Length::inches(1) } else { Length::mm(10) };
        let whole = |l: Length| unit * ((l.steps() + unit.steps() - 1) / unit.steps());
        short.map(whole).zip(self.site.length).map(|(short, all)| short.min(all)).or(self.site.length)
    }

    /// Whether the cladding can be cut back, so that its exit comes to lie higher: not a cavity or a solid wall, nor what stands
    /// before block or concrete.
    #[must_use]
    pub fn exit_can_be_raised(&self) -> bool {
        self.site.core == Core::Wood
            && !self.site.solid
            && matches!(self.site.drains, Some(Drains::Laps | Drains::Coat | Drains::Foam))
    }

    /// The surface stays as high as it is, but ends before the wall; a drained strip lies below the exit, and below the wood.
    fn hold_off(&self) -> Option<Way> {
        if self.site.faces_ground() {
            return None;
        }
        let (bound, low) = self.exit_need()?;
        let wood = self.need(Level::Wood, FactId::WoodAboveFinish).map_or(Length::ZERO, |(bound, low)| bound - low);
        // the depth of a strip that is cut into built work is one reading more
        let more = if self.site.is_built() { self.content.per_reading } else { Length::ZERO };
        let planned = self.said() == Some(JointSaid::Strip);
        let kind =
            WayKind::HoldOff { length: self.length_short(bound), no_door: self.site.door == Some(false), planned };
        // what is missing is missing below the strip that there is
        let below = self.site.strip_between(Level::Exit, Level::Finish).unwrap_or(Length::ZERO);
        let figure = below + (bound - low).max(wood) + more;
        // gravel in a strip is ground, which may ask for more than the surface does
        let after = self.with_strip(figure);
        let there = self.content.assess(&after, self.units);
        let missing = [(Level::Exit, FactId::ExitAboveFinish), (Level::Wood, FactId::WoodAboveFinish)];
        let deeper = missing.into_iter().filter_map(|(level, fact)| there.need(level, fact));
        let deeper = deeper.map(|(bound, low)| bound - low).max().unwrap_or(Length::ZERO);
        // what is shown is what is dug: rounded down it would miss by a hair
        Some(Way { kind, figure: (figure + deeper).up_to_shown(self.units) })
    }

    /// The answers with an open, drained strip along the wall that lies so far below the surface.
    fn with_strip(&self, depth: Length) -> Answers {
        let names = &self.content.catalog.names;
        let mut after = self.answers.clone();
        after.set(names.at(QuestionId::Joint), Answer::Choice(names.place(JointSaid::Strip)));
        after.set(names.at(QuestionId::ChannelOutlet), Answer::Choice(names.place(ChannelOutlet::Outlet)));
        after.set(names.at(QuestionId::StripDepth), Answer::Length(depth));
        after
    }

    /// The cladding is cut higher and the exit made anew above the surface.
    fn open_wall(&self) -> Option<Way> {
        if !self.exit_can_be_raised() {
            return None;
        }
        let (bound, low) = self.exit_need()?;
        let figure = (bound - low).up_to_shown(self.units);
        Some(Way { kind: WayKind::Open { above: bound, length: self.length_short(bound) }, figure })
    }

    /// The surface falls away from the wall as much as the region asks.
    fn turn_fall(&self) -> Option<Way> {
        if self.shape() == Some(Shape::Upright) {
            return None;
        }
        let slot = self.content.fact_slot(FactId::FallAway);
        let depth = self.site.depth?;
        // a surface that falls the wrong way is a finding of its own, so its limit may be off
        let wrong_way = matches!(self.said(), Some(FallSaid::Towards | FallSaid::Level | FallSaid::Along));
        let region = self.region();
        let bounds = self.content.limits.iter().zip(&self.clearances).filter(|(l, c)| {
            usize::from(l.measure) == slot
                && l.sense == Sense::AtLeast
                && l.verdict.is_some()
                && l.holds_in(region)
                && (c.status == Status::Fails || wrong_way)
        });
        let needed = bounds.map(|(l, _)| Slope::from_parts(l.bound)).max()?;
        let drop = needed.over(depth);
        // so much at the edge that what is shown is not a hair less than what is asked for
        let short = Slope::of(drop, depth).is_some_and(|slope| slope < needed);
        let figure = if short { drop + Length::from_steps(1) } else { drop };
        Some(Way { kind: WayKind::Turn { fall: needed, depth }, figure: figure.up_to_shown(self.units) })
    }

    /// The gap that the maker of the cladding asks for, where it was found out.
    pub(super) fn makers_gap(&self) -> Option<Length> {
        self.site.maker.known().map(Length::from_steps)
    }

    /// A step or a landing, where the surface lies too low for the door.
    fn landing(&self) -> Option<Way> {
        let slot = self.content.fact_slot(FactId::ThresholdAboveFinish);
        let broken = self.content.limits.iter().zip(&self.clearances).filter(|(l, c)| {
            usize::from(l.measure) == slot
                && l.sense == Sense::AtMost
                && l.verdict.is_some()
                && c.applies == Truth::Yes
                && c.status == Status::Fails
        });
        let most = broken.map(|(l, _)| Length::from_steps(l.bound)).min()?;
        let rise = self.site.height(Level::Mark, Level::Finish)?.up;
        let rules = self.stairs()?.rules;
        let riser = rules.riser_most?;
        // a door that may have less than one riser before it asks for a landing
        let below = (most < riser).then_some(most);
        let up = rise - below.unwrap_or(Length::ZERO);
        // an edge so low is one to trip over, and no step
        if up < self.content.usual.least_step {
            return None;
        }
        let flight = crate::wall::flight(up, riser)
            .filter(|flight| rules.riser_least.is_none_or(|least| flight.riser >= least))?;
        Some(Way { kind: WayKind::Landing { flight, below }, figure: rise })
    }

    /// A low strip at the wall, and the surface proper a step higher.
    fn step_down(&self) -> Option<Way> {
        let figure = self.lower_by()?;
        let rules = self.stairs()?;
        let most = rules.rules.riser_most?;
        // a low edge is one to trip over, and steps are steps already
        if figure < self.content.usual.least_step || self.is_way_up() || self.shape() == Some(Shape::Upright) {
            return None;
        }
        let least = rules.rules.riser_least;
        let flight =
            crate::wall::flight(figure, most).filter(|flight| least.is_none_or(|least| flight.riser >= least))?;
        Some(Way { kind: WayKind::Step { flight }, figure })
    }
}
