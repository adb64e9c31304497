//! From answers to building terms: the one crossing between questions and the wall.
//!
//! The questions live in YAML and can be replaced; which of them the program computes with stands in
//! [`names`](crate::names). [`FACTS`] lists what is computed. While answers are read and facts computed, it is noted
//! which question gave which part and which fact rests on which parts: so what keeps a fact unknown is known.

mod catalog;
mod facts;
mod openings;
mod read;
mod reads;
mod water;

pub use crate::names::OpeningKind;
pub use catalog::{Catalog, Cladding, Feature};
pub use facts::{FACTS, Fact, FactId, FactKind};
pub use openings::{Opening, Over};
pub use reads::{Part, Parts};
pub use water::{Drainage, Trace, Traced, Traces};

use crate::flow::{Truth, Value};
use crate::names::{Carrier, Drains, Drawn, QuestionId};
use crate::units::{Elevation, Length, Slope};
use crate::wall::{Closest, Height, Level, Levels, Line, flight};
use crate::water::Start;
use openings::around;
use std::cell::Cell;

/// Numbers of the content that the computation needs.
#[derive(Debug, Clone, Copy, Default)]
pub struct Figures {
    /// How far one reading with tape and level may be off.
    pub per_reading: Length,
    /// The highest riser that the region allows, if known.
    pub highest_riser: Option<Length>,
}

/// The answers in building terms.
#[derive(Debug, Clone, Default)]
pub struct Site {
    /// Heights at the wall.
    pub levels: Levels,
    /// Whether the mark is a door threshold; nothing if that is not known.
    pub door: Option<bool>,
    /// Length along the wall.
    pub length: Option<Length>,
    /// Depth out from the wall.
    pub depth: Option<Length>,
    /// Doors, windows, vents and wells that have a place along the wall, in the order given.
    pub openings: Vec<Opening>,
    /// The underside of the footing below the ground, if known.
    pub footing: Option<Length>,
    /// What was asked directly as a height above the finish.
    asked: Vec<(OpeningKind, Value)>,
    other_door_below: Value,
    /// What the wall's drainage may be.
    pub drainage: Drainage,
    /// Lines along the wall, for the levels whose both ends were measured.
    along: Vec<(Level, Line)>,
    built: bool,
    door_width: Option<Length>,
    level_change: LevelChange,
    fall: Option<Fall>,
    /// Over which depth the fall was given: of steps and landings only the landing.
    fall_depth: Option<Length>,
    outer: Outer,
    /// The number of the exit among [`Catalog::exit_kinds`].
    exit_kind: Option<usize>,
    /// The face of the cladding in the drawing.
    pub drawn: Option<Drawn>,
    /// Whether heights on it are counted in rows of brick.
    pub in_courses: bool,
    /// How the cladding lets water out, by its row.
    pub drains: Option<Drains>,
    /// Whether it certainly drains like a solid wall, by what carries it.
    pub solid: bool,
    /// What carries it: as said, or as is usual for it.
    pub carrier: Option<Carrier>,
    /// What is built.
    pub feature: Option<Feature>,
    /// Where the exit cannot be seen, whether that means it is covered.
    hidden: Option<Truth>,
    steps_from_ground: bool,
    /// Whether a drop from the wall ends held behind the work, or on wood.
    held: Option<Truth>,
    /// Which question was read for which part.
    reads: Vec<(Part, QuestionId)>,
    /// The parts that each fact rests on, in the order of [`FACTS`].
    rests: Vec<Parts>,
    /// The parts that the fact rests on which is being computed.
    used: Cell<Parts>,
}

#[derive(Debug, Clone, Copy, Default)]
enum LevelChange {
    /// Asked, and not known.
    #[default]
    Unknown,
    /// None, or a wall too short for the question to be asked.
    None,
    By(Length),
}

#[derive(Debug, Clone, Copy)]
enum Fall {
    Away(Length),
    Along,
    None,
    Towards,
}

#[derive(Debug, Clone, Copy, Default)]
enum Outer {
    #[default]
    Unknown,
    NoEdge,
    Drop(Length),
    /// The ground outside stands higher; by how much, if known.
    Below(Option<Length>),
}

impl Site {
    /// The values of [`FACTS`], in their order. What each rests on is noted for [`Site::missing`].
    #[must_use]
    pub fn facts(&mut self, figures: Figures) -> Vec<Value> {
        let traces = Traces::of(self, figures.per_reading);
        let mut values = Vec::with_capacity(FACTS.len());
        let mut rests = Vec::with_capacity(FACTS.len());
        for fact in FACTS {
            self.used.take();
            values.push(self.fact(fact.id, figures, &traces));
            rests.push(self.used.take());
        }
        self.rests = rests;
        self.held = Some(traces.held_or_on_wood());
        values
    }

    /// Whether a drop from the wall ends held behind the work, or on wood: what the facts on traces say together.
    #[must_use]
    pub fn held(&self) -> Truth {
        self.held.unwrap_or(Truth::Unknown)
    }

    /// A height with its tolerance. Where the wall slopes, the one at the worst place: the least that
    /// `a` stands above `b`, or for the finish the most that it stands above something.
    #[must_use]
    pub fn height(&self, a: Level, b: Level) -> Option<Height> {
        self.note_level(a);
        self.note_level(b);
        self.height_of(a, b)
    }

    /// The same, of which nothing is noted.
    fn height_of(&self, a: Level, b: Level) -> Option<Height> {
        if (a == Level::Mark || b == Level::Mark) && self.door != Some(true) {
            return None;
        }
        let Some(closest) = self.closest(a, b) else { return self.levels.above(a, b) };
        let measured = |level: Level| u32::from(level != Level::Finish || self.built);
        Some(Height { up: closest.up, readings: measured(a) + measured(b) })
    }

    /// Where along the wall that height is; nothing where it is the same everywhere, or not known along
    /// the wall. The threshold counts only at its door.
    #[must_use]
    pub fn closest(&self, a: Level, b: Level) -> Option<Closest> {
        if a == Level::Mark || b == Level::Mark {
            return None;
        }
        let (length, upper, lower) = (self.length?, self.line(a)?, self.line(b)?);
        if upper.is_level() && lower.is_level() {
            return None;
        }
        Some(if a == Level::Finish {
            let closest = lower.closest_above(&upper, length);
            Closest { up: -closest.up, at: closest.at }
        } else {
            upper.closest_above(&lower, length)
        })
    }

    /// Over what length of the wall `a` stands less than `need` above `b`; nothing where it does not vary.
    #[must_use]
    pub fn short_over(&self, a: Level, b: Level, need: Length) -> Option<Length> {
        self.closest(a, b)?;
        Some(self.line(a)?.short_over(&self.line(b)?, need, self.length?))
    }

    /// A level along the wall, below or above the mark.
    #[must_use]
    pub fn line(&self, level: Level) -> Option<Line> {
        if let Some((_, line)) = self.along.iter().find(|(l, _)| *l == level) {
            return Some(line.clone());
        }
        // only what was read from the mark itself lies on one line with the ends
        let below = if level == Level::Mark { Length::ZERO } else { self.levels.direct(Level::Mark, level)? };
        Some(Line::level(Elevation::MARK - below))
    }

    /// Whether any level was measured in between its ends too.
    #[must_use]
    pub fn bends(&self) -> bool {
        self.along.iter().any(|(_, line)| line.offsets().count() > 2)
    }

    /// Whether any level was measured at both ends.
    #[must_use]
    pub fn slopes(&self) -> bool {
        !self.along.is_empty() && self.length.is_some()
    }

    /// The value of a fact. Each fact has an arm of its own, so that none can answer for another.
    fn fact(&self, id: FactId, figures: Figures, traces: &Traces) -> Value {
        let per_reading = figures.per_reading;
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
                let least = match self.level_change {
                    LevelChange::Unknown => {
                        self.note(Part::Slope);
                        return Value::Unknown;
                    }
                    LevelChange::None => Length::ZERO,
                    LevelChange::By(change) => change,
                };
                match spread(self.height(Level::Exit, Level::Finish), per_reading) {
                    Value::Is(n) => Value::Is(n - least.steps()),
                    Value::Between(low, high) => Value::Between(low - least.steps(), high - least.steps()),
                    unknown @ (Value::Unknown | Value::Unasked | Value::Absent) => unknown,
                }
            }
            FactId::MeasureConflict => Value::Is(self.levels.conflict().max(self.door_conflict()).steps()),
            FactId::OuterDrop => {
                self.note(Part::Outer);
                match self.outer {
                    Outer::Unknown => Value::Unknown,
                    Outer::NoEdge => Value::Absent,
                    Outer::Drop(drop) => Value::Is(drop.steps()),
                    Outer::Below(_) => Value::Is(0),
                }
            }
            FactId::OuterBelow => {
                self.note(Part::Outer);
                match self.outer {
                    Outer::Unknown | Outer::Below(None) => Value::Unknown,
                    Outer::NoEdge => Value::Absent,
                    Outer::Drop(_) => Value::Is(0),
                    Outer::Below(Some(below)) => Value::Is(below.steps()),
                }
            }
            FactId::TraceOutside => truth(traces.all_outside(self)),
            FactId::TraceHeldBehind => truth(traces.held_behind(self)),
            FactId::TraceHeldAtDoor => truth(traces.held_at_door(self)),
            FactId::TraceFace => traces.noted(self, Start::Face).value(),
            FactId::TraceBehind => traces.noted(self, Start::Behind).value(),
            FactId::TraceDoorHead => traces.noted(self, Start::DoorHead).value(),
            FactId::TraceChannel => traces.noted(self, Start::Channel).value(),
            FactId::TraceJoint => traces.noted(self, Start::Joint).value(),
            FactId::TraceSurface => traces.noted(self, Start::Surface).value(),
            FactId::WindowAboveFinish => self.least_over(OpeningKind::Window, Part::Window, per_reading),
            FactId::GasVentAboveFinish => self.least_over(OpeningKind::GasVent, Part::GasVent, per_reading),
            FactId::DryerVentAboveFinish => self.least_over(OpeningKind::DryerVent, Part::DryerVent, per_reading),
            FactId::OtherDoorLeastStep => self.other_door(true, per_reading),
            FactId::OtherDoorMostStep => self.other_door(false, per_reading),
            FactId::LandingSpareWidth => {
                self.note(Part::DoorWidth);
                self.note(Part::Length);
                self.length.zip(self.door_width).map_or(Value::Unknown, |(l, d)| Value::Is((l - d).steps()))
            }
            FactId::FallAway => self.fall_away(per_reading),
            FactId::DoorRisers => self.risers(figures),
            FactId::ExitKind => {
                self.note(Part::ExitKind);
                self.exit_kind.map_or(Value::Unknown, Value::choice)
            }
            FactId::ExitBuried => self.buried(per_reading),
        }
    }

    /// A height as a value: none from a threshold that is not there; over the width of a door the step is not the same
    /// everywhere where the finish slopes.
    fn height_fact(&self, a: Level, b: Level, per_reading: Length) -> Value {
        let from_mark = a == Level::Mark || b == Level::Mark;
        if from_mark && self.door == Some(false) {
            self.note(Part::Door);
            return Value::Absent;
        }
        let over = if matches!((a, b), (Level::Mark, Level::Finish) | (Level::Finish, Level::Mark)) {
            self.main_door(per_reading)
        } else {
            None
        };
        match over {
            Some(over) => {
                self.note_level(a);
                self.note_level(b);
                if a == Level::Mark { over.value() } else { over.turned().value() }
            }
            None => spread(self.height(a, b), per_reading),
        }
    }

    /// How far the finish at the main door, by the line along the wall, is from what was measured there.
    fn door_conflict(&self) -> Length {
        let door = self.openings.iter().find(|o| o.kind == OpeningKind::MainDoor);
        let parts = door.zip(self.levels.direct(Level::Mark, Level::Finish)).zip(self.line(Level::Finish));
        let Some(((door, below), line)) = parts.filter(|_| self.slopes()) else { return Length::ZERO };
        let (low, high) = line.between(door.from, door.to);
        let at_door = Elevation::MARK - below;
        low.above(at_door).max(at_door.above(high)).max(Length::ZERO)
    }

    fn fall_away(&self, per_reading: Length) -> Value {
        self.note(Part::Fall);
        self.note(Part::Depth);
        match (self.fall, self.fall_depth) {
            (Some(Fall::None | Fall::Along), _) => Value::Is(0),
            (Some(Fall::Towards), _) => Value::Between(i64::MIN / 2, -1),
            (Some(Fall::Away(drop)), Some(depth)) => {
                // a planned fall is exact; a built one was measured at both ends
                let off = if self.built { per_reading * 2 } else { Length::ZERO };
                match (Slope::of(drop - off, depth), Slope::of(drop + off, depth)) {
                    (Some(low), Some(high)) if low == high => Value::Is(low.parts()),
                    (Some(low), Some(high)) => Value::Between(low.parts(), high.parts()),
                    _ => Value::Unknown,
                }
            }
            _ => Value::Unknown,
        }
    }

    fn risers(&self, figures: Figures) -> Value {
        self.note(Part::Door);
        self.note(Part::Feature);
        if self.door == Some(false) {
            return Value::Absent;
        }
        let below = if self.steps_from_ground { Level::Ground } else { Level::Finish };
        let flight =
            self.height(Level::Mark, below).zip(figures.highest_riser).and_then(|(rise, most)| flight(rise.up, most));
        flight.map_or(Value::Unknown, |f| Value::Is(f.risers * 1000))
    }

    fn buried(&self, per_reading: Length) -> Value {
        if let Some(height) = self.height(Level::Finish, Level::Exit) {
            let tolerance = height.tolerance(per_reading);
            return if height.up - tolerance >= Length::ZERO {
                Value::yes_no(true)
            } else if height.up + tolerance < Length::ZERO {
                Value::yes_no(false)
            } else {
                Value::Unknown
            };
        }
        match self.hidden {
            Some(Truth::Yes) => Value::yes_no(true),
            _ => Value::Unknown,
        }
    }
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
