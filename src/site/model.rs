//! The answers in building terms.

use super::catalog::Feature;
use super::drainage::Drainage;
use super::facts::{Fact, FactId, FactKind};
use super::opening::Opening;
use super::parts::{Read, Rests};
use super::storm::{Storm, StormSaid};
use super::terms::{LevelChange, Outer, SaidFall, Strip};
use crate::flow::{Truth, Value};
use crate::names::{Carrier, Drains, Drawn, OpeningKind, QuestionId};
use crate::units::{Elevation, Length};
use crate::wall::{Closest, Core, Height, Level, Levels, Line, Usual};

/// Numbers of the content that the computation needs.
#[derive(Debug, Clone, Copy)]
pub struct Figures<'c> {
    /// How far one reading with tape and level may be off.
    pub per_reading: Length,
    /// The highest riser that the region allows, if known.
    pub highest_riser: Option<Length>,
    /// How far a slab of a flight lies under the next one, and what a cubic foot of stone weighs, in thousandths of a pound.
    pub slab: Option<(Length, i64)>,
    /// What a wall is taken to be where nobody measured or said.
    pub usual: &'c Usual,
    /// What a hard storm is reckoned with.
    pub storm: Storm,
}

/// The answers in building terms.
#[derive(Debug, Clone, Default, PartialEq)]
#[allow(clippy::struct_excessive_bools)] // facts that do not hang together
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
    pub(super) asked: Vec<(OpeningKind, Value)>,
    pub(super) other_door_below: Value,
    /// What the wall's drainage may be.
    pub drainage: Drainage,
    /// Lines along the wall, for the levels whose both ends were measured.
    pub(super) along: Vec<(Level, Line)>,
    pub(super) built: bool,
    pub(super) door_width: Option<Length>,
    /// The depth of the level place at the door.
    pub(super) landing_depth: Option<Length>,
    pub(super) level_change: LevelChange,
    pub(super) strip: Strip,
    pub(super) fall: Option<SaidFall>,
    /// Over which depth the fall was given: of steps and landings only the landing.
    pub(super) fall_depth: Option<Length>,
    pub(super) outer: Outer,
    /// What the maker of the cladding asks for above a hard surface, as answered.
    pub maker: Value,
    /// The floor inside below the mark, as answered.
    pub(super) floor_below: Value,
    /// The drop at the ends of the work, as answered.
    pub(super) ends_drop: Value,
    /// Riser and tread of the steps as planned or built.
    pub(super) steps: (Value, Value),
    /// The thickness of one stone slab of a flight, as answered.
    pub(super) slab: Value,
    /// How deep a drain channel is, and how far the gravel of a strip lies below the surface, as answered.
    pub(super) trenches: [Value; 2],
    /// Length, width and depth of the hollow behind the work, as answered.
    pub(super) hollow: [Value; 3],
    /// A drain channel and what comes to it, as answered.
    pub(super) drained: StormSaid,
    /// Whether the wall certainly has no exit: nothing drains behind a solid face, and no damp-proof course lies in it.
    pub no_exit: bool,
    /// The number of the exit among [`super::Catalog::exit_kinds`].
    pub(super) exit_kind: Option<usize>,
    /// The face of the cladding in the drawing.
    pub drawn: Option<Drawn>,
    /// Whether heights on it are counted in rows of brick.
    pub in_courses: bool,
    /// How the cladding lets water out, by its row.
    pub drains: Option<Drains>,
    /// Whether it certainly drains like a solid wall, by what carries it.
    pub solid: bool,
    /// What stands behind it: wood, unless it is certainly something else.
    pub core: Core,
    /// What carries it: as said, or as is usual for it.
    pub carrier: Option<Carrier>,
    /// What is built.
    pub feature: Option<Feature>,
    /// What hides the exit, so that it lies no higher.
    pub(super) hidden_below: Option<Level>,
    /// Where the exit cannot be seen, whether that means it is covered.
    pub(super) hidden: Option<Truth>,
    pub(super) steps_from_ground: bool,
    /// Whether a drop from the wall ends held behind the work, or on wood.
    pub(super) held: Option<Truth>,
    /// Which answers were measured from or to the finish at the wall, and how each changes as it rises.
    pub(super) touch_finish: Vec<(QuestionId, i64)>,
    /// Which question was read for which part.
    pub(super) reads: Vec<Read>,
    /// What each fact rests on, in the order of [`super::FACTS`].
    pub(super) rests: Vec<Rests>,
}

impl Site {
    /// Whether there is a cavity with no barrier behind it: before block or concrete nobody puts one.
    #[must_use]
    pub fn has_bare_cavity(&self) -> bool {
        self.core == Core::Solid && self.drains == Some(Drains::Cavity)
    }

    /// Whether a drop from the wall ends held behind the work, or on wood: what the facts on traces say together.
    #[must_use]
    pub fn held(&self) -> Truth {
        self.held.unwrap_or(Truth::Unknown)
    }

    /// Whether the work stands already.
    #[must_use]
    pub fn is_built(&self) -> bool {
        self.built
    }

    /// A height with its tolerance. Where the wall slopes, the one at the worst place: the least that
    /// `a` stands above `b`, or for the finish the most that it stands above something.
    #[must_use]
    pub fn height(&self, a: Level, b: Level) -> Option<Height> {
        if (a == Level::Mark || b == Level::Mark) && self.door != Some(true) {
            return None;
        }
        let (a, b) = self.facing(a, b);
        let strip = self.strip_between(a, b)?;
        // its depth was measured too, where it is built
        let more = u32::from(strip != Length::ZERO && self.built);
        let Some(closest) = self.closest(a, b) else {
            let height = self.levels.above(a, b)?;
            return Some(Height { up: height.up + strip, readings: height.readings + more });
        };
        let measured = |level: Level| u32::from(level != Level::Finish || self.built);
        Some(Height { up: closest.up, readings: measured(a) + measured(b) + more })
    }

    /// Whether what lies before the wall is the ground, and not the work: boards on posts, nothing of them fixed to the wall,
    /// and an open gap behind them, all known for certain. Then exit and wood see the ground.
    #[must_use]
    pub fn faces_ground(&self) -> bool {
        self.strip == Strip::Ground
    }

    /// Whether an open, drained strip of known depth lies before the wall, so that exit and wood see it and not the surface.
    #[must_use]
    pub fn faces_strip(&self) -> bool {
        matches!(self.strip, Strip::Below(_))
    }

    /// Whether there is such a strip of which nobody knows how deep it lies, or whether it drains.
    pub(super) fn strip_is_open(&self) -> bool {
        self.strip == Strip::Unknown
    }

    /// Two levels as the wall sees them: exit and wood against what lies before the wall.
    pub(super) fn facing(&self, a: Level, b: Level) -> (Level, Level) {
        let at_wall = |level: Level| matches!(level, Level::Exit | Level::Wood);
        match (a, b) {
            (a, Level::Finish) if self.faces_ground() && at_wall(a) => (a, Level::Ground),
            (Level::Finish, b) if self.faces_ground() && at_wall(b) => (Level::Ground, b),
            other => other,
        }
    }

    /// The exit over work that the wall does not see, boards on posts or what lies beyond a strip: the least along the wall, and how far it may be off.
    pub(super) fn exit_over_work(&self) -> Option<Height> {
        let lines = (self.length, self.line(Level::Exit), self.line(Level::Finish));
        if let (Some(length), Some(exit), Some(finish)) = lines
            && !(exit.is_level() && finish.is_level())
        {
            return Some(Height { up: exit.closest_above(&finish, length).up, readings: 1 + u32::from(self.built) });
        }
        self.levels.above(Level::Exit, Level::Finish)
    }

    /// How much more `a` stands above `b` because an open, drained strip lies between the work and the wall: there the
    /// exit and the wood see the strip and not the surface. Nothing where that is not known.
    #[must_use]
    pub fn strip_between(&self, a: Level, b: Level) -> Option<Length> {
        let at_wall = |level: Level| matches!(level, Level::Exit | Level::Wood);
        let below = match self.strip {
            Strip::None | Strip::Ground => return Some(Length::ZERO),
            Strip::Below(depth) => Some(depth),
            Strip::Unknown => None,
        };
        match (a, b) {
            (a, Level::Finish) if at_wall(a) => below,
            (Level::Finish, b) if at_wall(b) => below.map(|depth| -depth),
            _ => Some(Length::ZERO),
        }
    }

    /// Whether a line along the wall is said to vary, or may, and nobody measured how. What is built into the house
    /// is taken to be level.
    #[must_use]
    pub fn may_vary(&self, level: Level) -> bool {
        matches!(level, Level::Finish | Level::Ground | Level::Exit)
            && self.level_change != LevelChange::None
            && self.along.iter().all(|(known, _)| *known != level)
    }

    /// How much a height that was measured at one place may differ at others. The threshold counts only at its door.
    #[must_use]
    pub fn elsewhere(&self, a: Level, b: Level) -> LevelChange {
        let (a, b) = self.facing(a, b);
        if a != Level::Mark && b != Level::Mark && (self.may_vary(a) || self.may_vary(b)) {
            self.level_change
        } else {
            LevelChange::None
        }
    }

    /// How much the finish at another opening may differ from where it was measured.
    pub(super) fn finish_elsewhere(&self) -> LevelChange {
        if self.may_vary(Level::Finish) { self.level_change } else { LevelChange::None }
    }

    /// Whether what the tape leaves open is the same as at another site, where the facts are the same.
    #[must_use]
    pub fn measured_as(&self, other: &Site) -> bool {
        let levels = |site: &Site| site.along.iter().map(|(level, _)| *level).collect::<Vec<_>>();
        self.level_change == other.level_change
            && self.strip == other.strip
            && self.built == other.built
            && self.fall_depth == other.fall_depth
            && self.drainage.is_certain() == other.drainage.is_certain()
            && levels(self) == levels(other)
    }

    /// The same for the exit over work that the wall does not see.
    pub(super) fn work_elsewhere(&self) -> LevelChange {
        let varies = self.may_vary(Level::Exit) || self.may_vary(Level::Finish);
        if varies { self.level_change } else { LevelChange::None }
    }

    /// The same for a fact: how much what it says of one place may differ at others.
    #[must_use]
    pub fn elsewhere_for(&self, fact: &Fact) -> LevelChange {
        match (fact.kind, fact.id) {
            (FactKind::Height(a, b), _) => self.elsewhere(a, b),
            (_, FactId::OtherDoorLeastStep | FactId::OtherDoorMostStep) => self.finish_elsewhere(),
            (_, FactId::EndsDrop) => self.elsewhere(Level::Finish, Level::Ground),
            (_, FactId::FloorAboveFinish) => self.elsewhere(Level::Wood, Level::Finish),
            (_, FactId::ExitAtWorstAboveFinish | FactId::ExitBuried | FactId::ExitAboveMaker) => {
                // an exit that something hides is as low as that
                let hidden = self.no_higher_than(Level::Exit);
                match self.elsewhere(Level::Exit, Level::Finish) {
                    LevelChange::None => hidden.map_or(LevelChange::None, |by| self.elsewhere(Level::Finish, by)),
                    change => change,
                }
            }
            // over the boards, whatever the wall sees
            (_, FactId::ExitAboveWork) => self.work_elsewhere(),
            (_, id) if id.is_trace() => self.elsewhere(Level::Exit, Level::Finish),
            _ => LevelChange::None,
        }
    }

    /// Whether a height of a level is known only as "not above this other level": soil or an older surface that hides
    /// the exit reaches up to it at least.
    pub(super) fn no_higher_than(&self, level: Level) -> Option<Level> {
        self.hidden_below.filter(|_| level == Level::Exit && !self.levels.has(Level::Exit))
    }

    /// Where along the wall that height is; nothing where it is the same everywhere, or not known along
    /// the wall. The threshold counts only at its door.
    #[must_use]
    pub fn closest(&self, a: Level, b: Level) -> Option<Closest> {
        // where nothing was measured along the wall, every line is level
        if a == Level::Mark || b == Level::Mark || self.along.is_empty() {
            return None;
        }
        let (a, b) = self.facing(a, b);
        let (length, upper, lower) = (self.length?, self.line(a)?, self.line(b)?);
        if upper.is_level() && lower.is_level() {
            return None;
        }
        let strip = self.strip_between(a, b)?;
        Some(if matches!(a, Level::Finish | Level::Ground) {
            let closest = lower.closest_above(&upper, length);
            Closest { up: strip - closest.up, at: closest.at }
        } else {
            let closest = upper.closest_above(&lower, length);
            Closest { up: closest.up + strip, at: closest.at }
        })
    }

    /// Over what length of the wall `a` stands less than `need` above `b`; nothing where it does not vary.
    #[must_use]
    pub fn short_over(&self, a: Level, b: Level, need: Length) -> Option<Length> {
        self.closest(a, b)?;
        let (a, b) = self.facing(a, b);
        let need = need - self.strip_between(a, b)?;
        Some(self.line(a)?.short_over(&self.line(b)?, need, self.length?))
    }

    /// A level along the wall, below or above the mark.
    ///
    /// A line that is said to vary, or may, and was not measured along the wall is not known: the height at one place
    /// says nothing of the others.
    #[must_use]
    pub fn line(&self, level: Level) -> Option<Line> {
        if let Some((_, line)) = self.along.iter().find(|(l, _)| *l == level) {
            return Some(line.clone());
        }
        if self.may_vary(level) {
            return None;
        }
        // only what was read from the mark itself lies on one line with the ends
        let below = if level == Level::Mark { Length::ZERO } else { self.levels.direct(Level::Mark, level)? };
        Some(Line::level(Elevation::MARK - below))
    }

    /// The finish along the wall, where it was measured there.
    pub(super) fn finish_line(&self) -> Option<&Line> {
        self.along.iter().find(|(level, _)| *level == Level::Finish).map(|(_, line)| line)
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

    /// How far the finish at the main door, by the line along the wall, is from what was measured there.
    pub(super) fn door_conflict(&self) -> Length {
        let door = self.openings.iter().find(|o| o.kind == OpeningKind::MainDoor);
        let parts = door.zip(self.levels.direct(Level::Mark, Level::Finish)).zip(self.line(Level::Finish));
        let Some(((door, below), line)) = parts.filter(|_| self.slopes()) else { return Length::ZERO };
        let (low, high) = line.between(door.from, door.to);
        let at_door = Elevation::MARK - below;
        low.above(at_door).max(at_door.above(high)).max(Length::ZERO)
    }
}
