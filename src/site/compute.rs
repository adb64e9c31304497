//! Facts computed from the site, each with a note of the parts that it rests on.

use super::facts::{FACTS, FactId};
use super::model::{Figures, Site};
use super::openings::around;
use super::parts::{Parts, Rests, SitePart};
use super::storm::Storm;
use super::terms::{LevelChange, Outer, SaidFall};
use super::water::{AllEnds, Ends};
use crate::flow::{FAR, Truth, Value};
use crate::names::{OpeningKind, Shape};
use crate::units::{Elevation, KILOGRAMS_IN_POUND, Length, Slope};
use crate::wall::{Height, Level, flight, slab_pounds, slabs};
use crate::water::{Discharge, End, Start};
use std::cell::Cell;

impl Site {
    /// The values of [`FACTS`], in their order. What each rests on is noted for [`Site::missing`].
    #[must_use]
    pub fn facts(&mut self, figures: Figures<'_>) -> Vec<Value> {
        let traces = AllEnds::of(self, figures.per_reading, figures.usual);
        let (values, rests) = Computing::new(self, &traces, figures).all();
        self.rests = rests;
        self.held = Some(traces.held_or_on_wood());
        values
    }
}

/// The parts that give levels.
const LEVEL_PARTS: [SitePart; 5] =
    [SitePart::Exit, SitePart::Finish, SitePart::Ground, SitePart::Wood, SitePart::OldSurface];

/// The facts of a site while they are computed.
struct Computing<'s> {
    site: &'s Site,
    traces: &'s AllEnds,
    figures: Figures<'s>,
    /// The parts that the fact rests on which is being computed.
    used: Cell<Parts>,
    /// The parts with which it may be otherwise, but that do not keep it from being known.
    besides: Cell<Parts>,
}

impl Site {
    /// What the drain channel carries, running full; nothing where there is none, it is level along, or its size is not known.
    #[must_use]
    pub fn channel_carries(&self, storm: &Storm) -> Option<Discharge> {
        self.drained.carries(storm)
    }

    /// By how much the fall of a built surface may be off: it was measured at both ends. A planned one is exact.
    #[must_use]
    pub fn fall_off_by(&self, per_reading: Length) -> Option<Slope> {
        self.fall_by(per_reading * 2).filter(|_| self.built)
    }

    /// What a drop of so much is over the depth that the fall was given for.
    #[must_use]
    pub fn fall_by(&self, drop: Length) -> Option<Slope> {
        Slope::of(drop, self.fall_depth?)
    }
}

impl<'s> Computing<'s> {
    fn new(site: &'s Site, traces: &'s AllEnds, figures: Figures<'s>) -> Self {
        Computing { site, traces, figures, used: Cell::default(), besides: Cell::default() }
    }

    /// All facts in their order, and what each rests on.
    fn all(self) -> (Vec<Value>, Vec<Rests>) {
        FACTS.iter().map(|fact| (self.fact(fact.id), self.rests())).unzip()
    }

    /// What was noted for the fact that has been computed.
    fn rests(&self) -> Rests {
        let on = self.used.take();
        let mut besides = self.besides.take();
        if on.has(SitePart::Strip) || besides.has(SitePart::Strip) {
            besides = besides.with(SitePart::HasStrip);
        }
        Rests { on, besides }
    }

    /// Notes that the fact which is being computed rests on a part.
    fn note(&self, part: SitePart) {
        self.used.set(self.used.get().with(part));
    }

    /// Notes a part with which it may be otherwise, and that is no reason why nothing is known of it.
    fn note_besides(&self, parts: &[SitePart]) {
        self.besides.set(self.besides.get().with_all(parts));
    }

    /// Notes what a height hangs on besides its two levels: whether the work stands, lines along the wall, and all readings where
    /// another chain of them may come to count.
    fn note_chain(&self, a: Level, b: Level) {
        self.note_besides(&[SitePart::Stage]);
        if self.site.hidden_below.is_some() && (a == Level::Exit || b == Level::Exit) {
            self.note_besides(&[SitePart::Exit]);
        }
        if !self.site.along.is_empty() {
            self.note_besides(&[SitePart::Slope, SitePart::Length]);
        }
        if !self.site.levels.is_best(a, b, self.site.built) {
            self.note_besides(&LEVEL_PARTS);
        }
    }

    /// A height, noted with its levels.
    fn height(&self, a: Level, b: Level) -> Option<Height> {
        let (seen, before) = self.site.facing(a, b);
        self.note_chain(seen, before);
        self.note(SitePart::of(seen));
        self.note(SitePart::of(before));
        if matches!((a, b), (Level::Exit | Level::Wood, Level::Finish) | (Level::Finish, Level::Exit | Level::Wood)) {
            self.note(SitePart::Strip);
        }
        self.site.height(a, b)
    }

    /// The way of a drop, noted with all that it rests on.
    fn trace(&self, start: Start) -> Ends {
        self.used.set(self.used.get().and(self.traces.rests(start)));
        if self.site.faces_ground() {
            self.note(SitePart::Ground);
        }
        self.besides.set(self.besides.get().and(self.traces.besides(start)));
        let (above, below) =
            if start == Start::DoorHead { (Level::Mark, Level::Finish) } else { (Level::Exit, Level::Finish) };
        let (above, below) = self.site.facing(above, below);
        self.note_chain(above, below);
        let exit = self.site.exit_over_finish(self.figures.per_reading);
        if let Some((low, high)) = exit
            && low.is_none_or(|low| low <= Length::ZERO)
            && high.is_none_or(|high| high > Length::ZERO)
        {
            // an exit that hardly stands clear: then it counts how much lower the surface is where the drop comes onto it
            self.note_besides(&[SitePart::Depth]);
        }
        self.traces.from(start)
    }

    /// Whether a drop from one of these starts is held by the work.
    fn held<const N: usize>(&self, starts: [Start; N]) -> Truth {
        starts.into_iter().fold(Truth::No, |any, start| any.or(self.trace(start).are(End::is_held)))
    }

    /// Whether drops from all places of the wall end outside.
    fn all_outside(&self) -> Truth {
        Start::ON_WALL
            .into_iter()
            .map(|start| self.trace(start))
            .filter(|ends| *ends != Ends::Absent)
            .fold(Truth::Yes, |all, ends| all.and(ends.are(End::leaves_wall)))
    }

    fn least_over(&self, kind: OpeningKind, part: SitePart) -> Value {
        self.note(part);
        self.note(SitePart::Places);
        self.note_elsewhere();
        if self.site.openings.iter().any(|opening| opening.kind == kind) {
            self.note_besides(&[SitePart::Finish]);
            self.note_chain(Level::Mark, Level::Finish);
        }
        self.site.least_over(kind, self.figures.per_reading)
    }

    fn other_door(&self, least: bool) -> Value {
        self.note(SitePart::OtherDoor);
        self.note(SitePart::Places);
        self.note(SitePart::Finish);
        self.note_elsewhere();
        self.note_chain(Level::Mark, Level::Finish);
        self.site.other_door(least, self.figures.per_reading)
    }

    /// The value of a fact. Each fact has an arm of its own, so that none can answer for another.
    #[allow(clippy::too_many_lines)] // an arm for each fact
    fn fact(&self, id: FactId) -> Value {
        let per_reading = self.figures.per_reading;
        match id {
            FactId::ExitAboveFinish => self.height_fact(Level::Exit, Level::Finish, per_reading),
            FactId::FinishAboveExit => self.height_fact(Level::Finish, Level::Exit, per_reading),
            FactId::ExitAboveGround => self.height_fact(Level::Exit, Level::Ground, per_reading),
            FactId::WoodAboveFinish => self.height_fact(Level::Wood, Level::Finish, per_reading),
            FactId::WoodAboveGround => self.height_fact(Level::Wood, Level::Ground, per_reading),
            FactId::FinishAboveWood => self.height_fact(Level::Finish, Level::Wood, per_reading),
            FactId::ExitAboveWood => self.height_fact(Level::Exit, Level::Wood, per_reading),
            FactId::FinishAboveThreshold => self.height_fact(Level::Finish, Level::Mark, per_reading),
            FactId::ThresholdAboveFinish => self.height_fact(Level::Mark, Level::Finish, per_reading),
            FactId::ThresholdAboveGround => self.height_fact(Level::Mark, Level::Ground, per_reading),
            FactId::FinishAboveGround => self.height_fact(Level::Finish, Level::Ground, per_reading),
            FactId::ExitAtWorstAboveFinish => {
                let here = spread(self.height(Level::Exit, Level::Finish), per_reading);
                match self.elsewhere(Level::Exit, Level::Finish) {
                    LevelChange::None => Value::Absent,
                    LevelChange::Unknown => Value::Unknown,
                    LevelChange::By(least) => shifted(here, -least),
                }
            }
            FactId::MeasureConflict => {
                // all that readings join, and where the main door is along the wall
                let levels = [Level::Mark, Level::Exit, Level::Finish, Level::Ground, Level::Wood, Level::OldSurface]
                    .map(SitePart::of);
                let along = [SitePart::Slope, SitePart::Length, SitePart::Places, SitePart::Stage];
                levels.into_iter().chain(along).for_each(|part| self.note(part));
                Value::Is(self.site.levels.conflict().max(self.site.door_conflict()).steps())
            }
            FactId::OuterDrop => {
                self.note(SitePart::Outer);
                match self.site.outer {
                    Outer::Unknown => Value::Unknown,
                    Outer::NoEdge => Value::Absent,
                    Outer::Drop(drop) => Value::Is(drop.steps()),
                    Outer::Below(_) => Value::Is(0),
                }
            }
            FactId::OuterBelow => {
                self.note(SitePart::Outer);
                match self.site.outer {
                    Outer::Unknown | Outer::Below(None) => Value::Unknown,
                    Outer::NoEdge => Value::Absent,
                    Outer::Drop(_) => Value::Is(0),
                    Outer::Below(Some(below)) => Value::Is(below.steps()),
                }
            }
            FactId::TraceOutside => truth(self.all_outside()),
            FactId::TraceHeldBehind => truth(self.held([Start::Behind, Start::Channel])),
            FactId::TraceHeldAtDoor => truth(self.held([Start::DoorHead])),
            FactId::TraceFace => self.trace(Start::Face).value(),
            FactId::TraceBehind => self.trace(Start::Behind).value(),
            FactId::TraceDoorHead => self.trace(Start::DoorHead).value(),
            FactId::TraceChannel => self.trace(Start::Channel).value(),
            FactId::TraceJoint => self.trace(Start::Joint).value(),
            FactId::TraceSurface => self.trace(Start::Surface).value(),
            FactId::WindowAboveFinish => self.least_over(OpeningKind::Window, SitePart::Window),
            FactId::GasVentAboveFinish => self.least_over(OpeningKind::GasVent, SitePart::GasVent),
            FactId::DryerVentAboveFinish => self.least_over(OpeningKind::DryerVent, SitePart::DryerVent),
            FactId::CrawlVentAboveFinish => self.least_over(OpeningKind::CrawlVent, SitePart::Places),
            FactId::WellAboveFinish => self.least_over(OpeningKind::Well, SitePart::Places),
            FactId::OtherDoorLeastStep => self.other_door(true),
            FactId::OtherDoorMostStep => self.other_door(false),
            FactId::ExitAboveMaker => self.above_maker(per_reading),
            FactId::GasMeterAboveFinish => self.least_over(OpeningKind::GasMeter, SitePart::GasMeter),
            FactId::FloorAboveFinish => self.floor(per_reading),
            FactId::EndsDrop => {
                self.note(SitePart::Ends);
                self.note_besides(&[SitePart::Feature]);
                match self.site.ends_drop {
                    // what stands up against the wall is no place to fall from
                    Value::Absent if self.site.feature.is_some_and(|f| f.shape == Shape::Upright) => Value::Absent,
                    // where nobody can measure at the ends, the ground at the wall tells
                    Value::Absent | Value::Unknown => self.height_fact(Level::Finish, Level::Ground, per_reading),
                    said => said,
                }
            }
            FactId::StepsPace => self.steps(|riser, tread| Some((riser * 2 + tread).steps())),
            FactId::StepsPitch => self.steps(|riser, tread| Slope::of(riser, tread).map(pitch)),
            FactId::SlabWeightPounds => self.slab_weight(1.0),
            FactId::SlabWeightKilograms => self.slab_weight(KILOGRAMS_IN_POUND),
            FactId::LandingSpareWidth => {
                self.note(SitePart::DoorWidth);
                self.note(SitePart::Length);
                self.site.length.zip(self.site.door_width).map_or(Value::Unknown, |(l, d)| Value::Is((l - d).steps()))
            }
            FactId::LandingSpareDepth => {
                self.note(SitePart::DoorWidth);
                self.note(SitePart::Depth);
                self.site
                    .landing_depth
                    .zip(self.site.door_width)
                    .map_or(Value::Unknown, |(l, d)| Value::Is((l - d).steps()))
            }
            FactId::OuterBelowWall => {
                self.note_rise_and(&[SitePart::Outer]);
                self.note_besides(&[SitePart::Feature, SitePart::Slope, SitePart::Length]);
                match (self.site.outer_edge(), self.site.highest_above_ground()) {
                    (Err(value), _) => value,
                    (Ok(edge), Some(highest)) => Value::Is((highest - edge).steps()),
                    (Ok(edge), None) => {
                        let wall = self.height_fact(Level::Finish, Level::Ground, per_reading);
                        shifted(wall, Length::from_steps(-edge.steps()))
                    }
                }
            }
            FactId::LandingBeyondWork => {
                self.note(SitePart::Depth);
                self.site.landing_beyond_work()
            }
            FactId::StepsBeyondWork => {
                self.note_rise_and(&[SitePart::Steps, SitePart::Depth, SitePart::Length]);
                self.note_besides(&[SitePart::Feature]);
                self.site.steps_beyond_work(per_reading)
            }
            FactId::DoorStepOverHighest => {
                self.note(SitePart::Steps);
                self.note_besides(&[SitePart::Feature]);
                match self.site.highest_step() {
                    Value::Is(step) => {
                        shifted(self.height_fact(Level::Mark, Level::Finish, per_reading), Length::from_steps(-step))
                    }
                    other => other,
                }
            }
            FactId::RampRoom => {
                self.note_rise_and(&[SitePart::Depth, SitePart::Length]);
                self.site.ramp_room()
            }
            FactId::TrenchBelowGround => {
                self.note_rise_and(&[SitePart::Trench]);
                self.site.trench_below_ground()
            }
            FactId::TrenchAboveFooting => {
                self.note_rise_and(&[SitePart::Trench, SitePart::Footing]);
                self.site.trench_above_footing()
            }
            FactId::SlabOddBy => self.slab_odd_by(),
            FactId::FallAway => self.fall_away(),
            FactId::VoidVolume => self.hollow(),
            FactId::ChannelTimes => {
                self.note(SitePart::Storm);
                self.site.drained.times(&self.figures.storm)
            }
            FactId::DoorRisers => self.risers(per_reading),
            FactId::ExitKind => {
                self.note(SitePart::ExitKind);
                self.note_besides(&[SitePart::System]);
                self.site.exit_kind.map_or(Value::Unknown, Value::choice)
            }
            FactId::ExitBuried => self.buried(per_reading),
            FactId::ExitAboveWork => self.above_work(per_reading),
        }
    }

    /// Notes parts, and the height of the finish over the ground.
    fn note_rise_and(&self, parts: &[SitePart]) {
        for part in parts {
            self.note(*part);
        }
        self.height(Level::Finish, Level::Ground);
        self.note_besides(&[SitePart::Stage]);
    }

    /// A height as a value: none from a threshold that is not there; over the width of a door the step is not the same
    /// everywhere where the finish slopes.
    fn height_fact(&self, a: Level, b: Level, per_reading: Length) -> Value {
        let from_mark = a == Level::Mark || b == Level::Mark;
        if from_mark && self.site.door == Some(false) {
            self.note(SitePart::Door);
            return Value::Absent;
        }
        if a == Level::Exit || b == Level::Exit {
            self.note_no_exit();
            if self.site.no_exit {
                self.note(SitePart::NoExit);
                return Value::Absent;
            }
        }
        let over = if matches!((a, b), (Level::Mark, Level::Finish) | (Level::Finish, Level::Mark)) {
            self.note_besides(&[SitePart::Door, SitePart::Places, SitePart::Slope, SitePart::Length]);
            self.site.main_door(per_reading)
        } else {
            None
        };
        match over {
            Some(over) => {
                if !self.site.main_door_has_place() {
                    self.note(SitePart::Places);
                }
                self.note(SitePart::of(a));
                self.note(SitePart::of(b));
                self.note_chain(a, b);
                if a == Level::Mark { over.value() } else { over.turned().value() }
            }
            None => self.at_worst(a, b, per_reading),
        }
    }

    /// Notes what tells whether the wall has an exit at all.
    fn note_no_exit(&self) {
        self.note_besides(&[SitePart::NoExit]);
    }

    /// A height at the worst place, as far as the places that were measured tell. What is known of one place bounds
    /// it from one side.
    fn at_worst(&self, a: Level, b: Level, per_reading: Length) -> Value {
        if (a, b) != self.site.facing(a, b) {
            self.note(SitePart::Strip);
        }
        let (a, b) = self.site.facing(a, b);
        self.note_chain(a, b);
        let here = match self.site.no_higher_than(a).or(self.site.no_higher_than(b)) {
            Some(above) => {
                self.note_besides(&[SitePart::of(a), SitePart::of(b)]);
                let bound = if a == Level::Exit && matches!(b, Level::Finish | Level::Ground) {
                    // no higher anywhere than where the other stands highest over what hides it
                    no_more(turned(self.spread_or_zero(b, above, per_reading)))
                } else if a == Level::Exit {
                    no_more(self.spread_or_zero(above, b, per_reading))
                } else {
                    no_less(self.spread_or_zero(a, above, per_reading))
                };
                self.note(SitePart::Strip);
                self.site.strip_between(a, b).map_or(Value::Unknown, |strip| shifted(bound, strip))
            }
            None => spread(self.height(a, b), per_reading),
        };
        let change = self.elsewhere(a, b);
        if change == LevelChange::None {
            return here;
        }
        let (Some(low), Some(high)) = (here.low(), here.high()) else { return here };
        let off = |n: i64, way: i64| match change.most() {
            _ if n.abs() == FAR => n,
            Some(most) => n + way * most.steps(),
            None => way * FAR,
        };
        // the finish may stand higher elsewhere over everything; the ground may lie higher or lower
        let (lower, higher) = match (a, b) {
            (Level::Finish, Level::Ground) => (true, true),
            (Level::Finish | Level::Ground, _) | (Level::Exit, Level::Wood) => (false, true),
            _ => (true, false),
        };
        Value::Between(if lower { off(low, -1) } else { low }, if higher { off(high, 1) } else { high })
    }

    /// The height of a level over another, or nothing over itself: soil that hides the exit reaches higher than it.
    fn spread_or_zero(&self, a: Level, b: Level, per_reading: Length) -> Value {
        self.note_besides(&[SitePart::of(a), SitePart::of(b)]);
        if a == b { Value::Is(0) } else { spread(self.height(a, b), per_reading) }
    }

    fn elsewhere(&self, a: Level, b: Level) -> LevelChange {
        self.note_elsewhere();
        self.site.elsewhere(a, b)
    }

    fn note_elsewhere(&self) {
        self.note(SitePart::Slope);
        if self.site.length.is_none() {
            // without it, what was measured at the ends is on no line
            self.note(SitePart::Length);
        }
    }

    /// How much more the exit stands above the surface than the maker of the cladding asks for.
    fn above_maker(&self, per_reading: Length) -> Value {
        self.note(SitePart::Maker);
        let asked = match self.site.maker {
            Value::Is(steps) => steps,
            other => return other,
        };
        shifted(self.height_fact(Level::Exit, Level::Finish, per_reading), Length::from_steps(-asked))
    }

    /// The exit above boards that the wall does not see: at the worst place, as far as that is known.
    fn above_work(&self, per_reading: Length) -> Value {
        self.note(SitePart::Strip);
        if self.site.strip_is_open() {
            return Value::Unknown;
        }
        if !self.site.faces_ground() && !self.site.faces_strip() {
            return Value::Absent;
        }
        self.note_no_exit();
        self.note_chain(Level::Exit, Level::Finish);
        if self.site.no_exit {
            self.note(SitePart::NoExit);
            return Value::Absent;
        }
        for part in [SitePart::Exit, SitePart::Finish, SitePart::Slope, SitePart::Length] {
            self.note(part);
        }
        let here = spread(self.site.exit_over_work(), per_reading);
        match (self.site.work_elsewhere(), here.low(), here.high()) {
            (LevelChange::None, ..) | (_, None, _) | (_, _, None) => here,
            (change, Some(low), Some(high)) => {
                Value::Between(change.most().map_or(-FAR, |most| low - most.steps()), high)
            }
        }
    }

    /// The floor inside above the surface, at its highest place along the wall.
    fn floor(&self, per_reading: Length) -> Value {
        self.note(SitePart::Floor);
        self.note_besides(&[SitePart::Door]);
        let below = match self.site.floor_below {
            Value::Is(steps) => Length::from_steps(steps),
            Value::Absent if self.site.door == Some(true) => {
                return self.height_fact(Level::Mark, Level::Finish, per_reading);
            }
            other => return other,
        };
        self.note(SitePart::Finish);
        self.note_chain(Level::Mark, Level::Finish);
        let line = self.site.line(Level::Finish).filter(|_| self.site.slopes()).zip(self.site.length);
        let (up, readings) = match line {
            Some((line, length)) => {
                (Elevation::MARK.above(line.between(Length::ZERO, length).1), u32::from(self.site.built))
            }
            None => match self.site.levels.above(Level::Mark, Level::Finish) {
                Some(height) => (height.up, height.readings),
                None => return Value::Unknown,
            },
        };
        let here = around(up - below, per_reading * i64::from(readings + 1));
        // elsewhere the surface may stand higher; the floor is level
        match (self.elsewhere(Level::Wood, Level::Finish), here.low(), here.high()) {
            (LevelChange::None, ..) | (_, None, _) | (_, _, None) => here,
            (change, Some(low), Some(high)) => {
                Value::Between(change.most().map_or(-FAR, |most| low - most.steps()), high)
            }
        }
    }

    /// A figure of the steps as planned or built, from riser and tread.
    fn steps(&self, of: impl Fn(Length, Length) -> Option<i64>) -> Value {
        self.note(SitePart::Steps);
        self.note(SitePart::Feature);
        match self.site.steps {
            (Value::Is(riser), Value::Is(tread)) => {
                of(Length::from_steps(riser), Length::from_steps(tread)).map_or(Value::Unknown, Value::Is)
            }
            (Value::Absent, _) | (_, Value::Absent) => Value::Absent,
            (Value::Unasked, _) | (_, Value::Unasked) => Value::Unasked,
            _ => Value::Unknown,
        }
    }

    /// What one slab weighs that reaches over the whole width of the flight: tread and lap deep, to a whole unit of so many
    /// pounds' worth.
    fn slab_weight(&self, in_unit: f64) -> Value {
        self.note(SitePart::Steps);
        self.note(SitePart::Length);
        self.note_besides(&[SitePart::Feature]);
        let (slab, tread) = (self.site.slab, self.site.steps.1);
        let (Value::Is(thick), Value::Is(tread)) = (slab, tread) else {
            return match (slab, tread) {
                (Value::Absent, _) | (_, Value::Absent) => Value::Absent,
                (Value::Unasked, _) | (_, Value::Unasked) => Value::Unasked,
                _ => Value::Unknown,
            };
        };
        let Some((width, (lap, density))) = self.site.length.zip(self.figures.slab) else { return Value::Unknown };
        let pounds = slab_pounds((width, Length::from_steps(tread) + lap, Length::from_steps(thick)), density);
        #[allow(clippy::cast_possible_truncation)] // a slab of some tons at most
        let whole = (pounds * in_unit).round() as i64;
        Value::Is(whole * 1000)
    }

    /// By how much the odd one of the risers differs, where every slab is one.
    fn slab_odd_by(&self) -> Value {
        self.note(SitePart::Steps);
        self.note_besides(&[SitePart::Feature]);
        let thick = match self.site.slab {
            Value::Is(thick) if self.site.feature.is_some_and(|f| f.shape == Shape::Flight) => {
                Length::from_steps(thick)
            }
            Value::Is(_) => return Value::Absent,
            other => return other,
        };
        self.note_chain(Level::Mark, Level::Ground);
        self.note_besides(&[SitePart::Door]);
        let rise = match self.height(Level::Finish, Level::Ground) {
            Some(height) => Some(height),
            None => self.height(Level::Mark, Level::Ground),
        };
        let flight = rise.and_then(|rise| slabs(rise.up, thick, Length::ZERO));
        flight.map_or(Value::Unknown, |flight| Value::Is(flight.left_over.abs().steps()))
    }

    /// The content of the hollow behind the work, in thousandths of a cubic foot.
    fn hollow(&self) -> Value {
        self.note(SitePart::Void);
        match self.site.hollow {
            [Value::Is(length), Value::Is(width), Value::Is(depth)] => {
                let [length, width, depth] = [length, width, depth].map(Length::from_steps);
                let thousandths = length.by(width).by(depth).as_cubic_feet() * 1000.0;
                #[allow(clippy::cast_possible_truncation)] // far below 2^53
                Value::Is((thousandths - 1e-6).ceil() as i64)
            }
            sizes if sizes.contains(&Value::Unasked) => Value::Unasked,
            sizes if sizes.contains(&Value::Absent) => Value::Absent,
            _ => Value::Unknown,
        }
    }

    fn fall_away(&self) -> Value {
        self.note(SitePart::Fall);
        self.note(SitePart::Depth);
        // by how much a reading may be off, for the limits on it, hangs on whether the work stands
        self.note_besides(&[SitePart::Feature, SitePart::Stage]);
        match (self.site.fall, self.site.fall_depth) {
            (Some(SaidFall::None | SaidFall::Along), _) => Value::Is(0),
            (Some(SaidFall::Towards), _) => Value::Between(-FAR, -1),
            // the fall as it was read: a reading that meets a figure meets it
            (Some(SaidFall::Away(drop)), Some(depth)) => {
                Slope::of(drop, depth).map_or(Value::Unknown, |slope| Value::Is(slope.parts()))
            }
            _ => Value::Unknown,
        }
    }

    fn risers(&self, per_reading: Length) -> Value {
        self.note(SitePart::Door);
        self.note(SitePart::Feature);
        if self.site.door == Some(false) {
            return Value::Absent;
        }
        let below = if self.site.steps_from_ground { Level::Ground } else { Level::Finish };
        let rise = self.height(Level::Mark, below);
        let flight = rise.zip(self.figures.highest_riser).and_then(|(rise, most)| flight(rise.up, most));
        // lower steps, as given, are more steps
        let given = if self.site.steps_from_ground {
            self.note(SitePart::Steps);
            rise.and_then(|rise| self.site.risers_as_given(rise, per_reading))
        } else {
            None
        };
        flight.map_or(Value::Unknown, |f| Value::Is(f.risers.max(given.unwrap_or_default()) * 1000))
    }

    fn buried(&self, per_reading: Length) -> Value {
        self.note_no_exit();
        self.note_besides(&[SitePart::Exit, SitePart::Finish, SitePart::Stage]);
        if self.site.no_exit {
            self.note(SitePart::NoExit);
            return Value::Absent;
        }
        let above = self.at_worst(Level::Exit, Level::Finish, per_reading);
        match (above.low(), above.high()) {
            (_, Some(high)) if high <= 0 => Value::yes_no(true),
            (Some(low), _) if low > 0 => Value::yes_no(false),
            _ if self.site.hidden == Some(Truth::Yes) => Value::yes_no(true),
            _ => Value::Unknown,
        }
    }
}

/// A pitch in thousandths of a degree, rounded up to a tenth, so that a flight that is a little too steep is not called
/// even with its limit.
fn pitch(slope: Slope) -> i64 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // far below 2^53 parts
    let tenths = ((slope.parts() as f64 / 1e9).atan().to_degrees() * 10.0 - 1e-6).ceil() as i64;
    tenths * 100
}

/// Truth as a value.
fn truth(truth: Truth) -> Value {
    match truth {
        Truth::Yes => Value::yes_no(true),
        Truth::No => Value::yes_no(false),
        Truth::Unknown => Value::Unknown,
    }
}

/// The height as a value: spread by its tolerance.
fn spread(height: Option<Height>, per_reading: Length) -> Value {
    let Some(height) = height else { return Value::Unknown };
    around(height.up, height.tolerance(per_reading))
}

/// A value with its sign turned.
fn turned(value: Value) -> Value {
    match value {
        Value::Is(n) => Value::Is(-n),
        Value::Between(low, high) => Value::Between(-high, -low),
        unknown @ (Value::Unknown | Value::Unasked | Value::Absent) => unknown,
    }
}

/// At most a value: known from above only.
fn no_more(value: Value) -> Value {
    value.high().map_or(Value::Unknown, |high| Value::Between(-FAR, high))
}

/// At least a value.
fn no_less(value: Value) -> Value {
    value.low().map_or(Value::Unknown, |low| Value::Between(low, FAR))
}

/// A value moved by a length.
fn shifted(value: Value, by: Length) -> Value {
    match value {
        Value::Is(n) => Value::Is(n + by.steps()),
        Value::Between(low, high) => {
            let moved = |n: i64| if n.abs() == FAR { n } else { n + by.steps() };
            Value::Between(moved(low), moved(high))
        }
        unknown @ (Value::Unknown | Value::Unasked | Value::Absent) => unknown,
    }
}
