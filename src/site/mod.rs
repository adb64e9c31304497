//! From answers to building terms: the one crossing between questions and the wall.
//!
//! The questions live in YAML and can be replaced; the program knows some of them by name, because
//! it computes with their answers. [`BINDINGS`] lists these, [`FACTS`] lists what is computed.

mod bindings;
mod facts;
mod missing;
mod openings;
mod read;
mod water;

pub use bindings::{BINDINGS, Binding};
pub use facts::{FACTS, Fact, FactKind};
pub use missing::{MEASURED_FROM_FINISH, ON_THE_LINE, SLOPE};
pub use openings::{Opening, OpeningKind, Over};
pub use water::{Drainage, Trace, Traced, Traces};

use crate::flow::{Truth, Value};
use crate::units::{Elevation, Length, Slope};
use crate::wall::{Closest, Height, Level, Levels, Line, Usual, flight};
use crate::water::Start;
use facts::EXIT_KINDS;
use openings::around;

/// Numbers of the content that the computation needs.
#[derive(Debug, Clone, Copy)]
pub struct Figures<'c> {
    /// How far one reading with tape and level may be off.
    pub per_reading: Length,
    /// The highest riser that the region allows, if known.
    pub highest_riser: Option<Length>,
    /// What a wall is taken to be where nobody measured or said.
    pub usual: &'c Usual,
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
    exit_kind: Option<&'static str>,
    /// Where the exit cannot be seen, whether that means it is covered.
    hidden: Option<Truth>,
    steps_from_ground: bool,
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
    /// The values of [`FACTS`], in their order.
    #[must_use]
    pub fn facts(&self, figures: Figures<'_>) -> Vec<Value> {
        let traces = Traces::of(self, figures.per_reading, figures.usual);
        FACTS.iter().map(|fact| self.fact(fact, figures, &traces)).collect()
    }

    /// A height with its tolerance. Where the wall slopes, the one at the worst place: the least that
    /// `a` stands above `b`, or for the finish the most that it stands above something.
    #[must_use]
    pub fn height(&self, a: Level, b: Level) -> Option<Height> {
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

    fn fact(&self, fact: &Fact, figures: Figures<'_>, traces: &Traces) -> Value {
        match (fact.kind, fact.name) {
            (FactKind::Height(Level::Mark, _) | FactKind::Height(_, Level::Mark), _) if self.door == Some(false) => {
                Value::Absent
            }
            (
                FactKind::Height(a @ Level::Mark, b @ Level::Finish)
                | FactKind::Height(a @ Level::Finish, b @ Level::Mark),
                _,
            ) => {
                match self.main_door(figures.per_reading) {
                    // over the width of the door the step is not the same everywhere
                    Some(over) if a == Level::Mark => over.value(),
                    Some(over) => over.turned().value(),
                    None => spread(self.height(a, b), figures.per_reading),
                }
            }
            (FactKind::Height(a, b), _) => spread(self.height(a, b), figures.per_reading),
            (_, "exit.at_worst_above_finish") => {
                let least = match self.level_change {
                    LevelChange::Unknown => return Value::Unknown,
                    LevelChange::None => Length::ZERO,
                    LevelChange::By(change) => change,
                };
                match spread(self.height(Level::Exit, Level::Finish), figures.per_reading) {
                    Value::Is(n) => Value::Is(n - least.steps()),
                    Value::Between(low, high) => Value::Between(low - least.steps(), high - least.steps()),
                    unknown => unknown,
                }
            }
            (_, "measure.conflict") => Value::Is(self.levels.conflict().max(self.door_conflict()).steps()),
            (_, "outer.drop") => match self.outer {
                Outer::Unknown => Value::Unknown,
                Outer::NoEdge => Value::Absent,
                Outer::Drop(drop) => Value::Is(drop.steps()),
                Outer::Below(_) => Value::Is(0),
            },
            (_, "outer.below") => match self.outer {
                Outer::Unknown | Outer::Below(None) => Value::Unknown,
                Outer::NoEdge => Value::Absent,
                Outer::Drop(_) => Value::Is(0),
                Outer::Below(Some(below)) => Value::Is(below.steps()),
            },
            (_, "trace.outside") => truth(traces.all_outside()),
            (_, "trace.held_behind") => truth(traces.held_behind()),
            (_, "trace.held_at_door") => truth(traces.held_at_door()),
            (_, "trace.face") => traces.from(Start::Face).value(),
            (_, "trace.behind") => traces.from(Start::Behind).value(),
            (_, "trace.door_head") => traces.from(Start::DoorHead).value(),
            (_, "trace.channel") => traces.from(Start::Channel).value(),
            (_, "trace.joint") => traces.from(Start::Joint).value(),
            (_, "trace.surface") => traces.from(Start::Surface).value(),
            (_, "window.above_finish") => self.least_over(OpeningKind::Window, figures.per_reading),
            (_, "gas_vent.above_finish") => self.least_over(OpeningKind::GasVent, figures.per_reading),
            (_, "dryer_vent.above_finish") => self.least_over(OpeningKind::DryerVent, figures.per_reading),
            (_, "other_door.least_step") => self.other_door(true, figures.per_reading),
            (_, "other_door.most_step") => self.other_door(false, figures.per_reading),
            (_, "landing.spare_width") => {
                self.length.zip(self.door_width).map_or(Value::Unknown, |(l, d)| Value::Is((l - d).steps()))
            }
            (_, "fall.away") => self.fall_away(figures.per_reading),
            (_, "door.risers") => self.risers(figures),
            (_, "exit.kind") => self.exit_kind.map_or(Value::Unknown, |kind| {
                EXIT_KINDS.iter().position(|k| *k == kind).map_or(Value::Unknown, Value::choice)
            }),
            _ => self.buried(figures.per_reading),
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
        match (self.fall, self.fall_depth) {
            (Some(Fall::None), _) => Value::Is(0),
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

    fn risers(&self, figures: Figures<'_>) -> Value {
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
