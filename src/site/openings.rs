//! Doors, windows, vents and wells of the wall, at their places.

use super::model::Site;
use super::opening::{Opening, Over};
use crate::flow::{FAR, Value};
use crate::names::OpeningKind;
use crate::units::{Elevation, Length};
use crate::wall::Level;

impl Site {
    /// How far the lowest edge of an opening stands above the finish; nothing if its height was not
    /// measured, or the finish is not tied to the mark.
    #[must_use]
    pub fn over_finish(&self, opening: &Opening, per_reading: Length) -> Option<Over> {
        let below = opening.below?;
        let mut elsewhere = Length::ZERO;
        let (lowest, highest, readings) = if let Some(line) = self.line(Level::Finish).filter(|_| self.slopes()) {
            let (low, high) = line.between(opening.from, opening.to);
            (low, high, u32::from(self.built))
        } else {
            let height = self.levels.above(Level::Finish, Level::Mark)?;
            let at = Elevation::MARK + height.up;
            // what was measured at the main door may be otherwise at another place
            if opening.kind != OpeningKind::MainDoor {
                elsewhere = self.finish_elsewhere().most()?;
            }
            (at, at, height.readings)
        };
        let edge = Elevation::MARK - below;
        let measured = u32::from(opening.kind != OpeningKind::MainDoor);
        Some(Over {
            least: edge.above(highest),
            most: edge.above(lowest),
            tolerance: per_reading * i64::from(readings + measured) + elsewhere,
        })
    }

    /// How far the lowest of the openings of a kind stands above the finish: of what was asked directly and
    /// of what has a place, the less.
    pub(super) fn least_over(&self, kind: OpeningKind, per_reading: Length) -> Value {
        let asked = self.asked.iter().find(|(k, _)| *k == kind).map_or(Value::Absent, |(_, value)| *value);
        // one reading with the tape
        let asked = asked.known().map_or(asked, |up| around(Length::from_steps(up), per_reading));
        let placed = self.overs(kind, per_reading).min_by_key(|over| over.least - over.tolerance);
        match (asked, placed.map(|over| around(over.least, over.tolerance))) {
            (asked, None) => asked,
            (asked, Some(placed)) if asked.low().is_some_and(|low| placed.low().is_some_and(|l| low <= l)) => asked,
            (_, Some(placed)) => placed,
        }
    }

    /// How far the thresholds of other doors stand above the finish: the least, or the most, of all of them.
    pub(super) fn other_door(&self, least: bool, per_reading: Length) -> Value {
        // one whose height nobody gave has that of the question on the second door, or none that is known
        let given = self.other_door_below.known().map(Length::from_steps);
        let doors = self.openings.iter().filter(|o| o.kind == OpeningKind::OtherDoor);
        let doors = doors.map(|door| Opening { below: door.below.or(given), ..*door });
        let tried: Vec<Option<Over>> = doors.map(|door| self.over_finish(&door, per_reading)).collect();
        let unknown = tried.contains(&None);
        let mut overs: Vec<Over> = tried.into_iter().flatten().collect();
        if unknown {
            // the others bound it from one side
            let least_of = overs.iter().map(|o| (o.least + o.tolerance).steps()).min();
            let most_of = overs.iter().map(|o| (o.most - o.tolerance).steps()).max();
            return match (least, least_of, most_of) {
                (true, Some(no_more), _) => Value::Between(-FAR, no_more),
                (false, _, Some(no_less)) => Value::Between(no_less, FAR),
                _ => Value::Unknown,
            };
        }
        if overs.is_empty() {
            match self.other_door_below {
                Value::Is(below) if !self.slopes() => {
                    let below = Some(Length::from_steps(below));
                    let (from, to) = (Length::ZERO, Length::ZERO);
                    let door = Opening { kind: OpeningKind::OtherDoor, from, to, below };
                    overs.extend(self.over_finish(&door, per_reading));
                }
                Value::Absent => return Value::Absent,
                _ => {}
            }
        }
        let value = if least {
            overs.iter().min_by_key(|o| o.least - o.tolerance).map(|o| around(o.least, o.tolerance))
        } else {
            overs.iter().max_by_key(|o| o.most + o.tolerance).map(|o| around(o.most, o.tolerance))
        };
        value.unwrap_or(Value::Unknown)
    }

    /// The step over the whole width of the main door, where the finish slopes along it.
    /// Where it has no place within the work, it may be anywhere along it.
    pub(super) fn main_door(&self, per_reading: Length) -> Option<Over> {
        self.line(Level::Finish).filter(|line| self.slopes() && !line.is_level())?;
        if self.main_door_has_place() {
            return self.overs(OpeningKind::MainDoor, per_reading).next();
        }
        let length = self.length.filter(|_| !self.openings.is_empty())?;
        let (from, to, below) = (Length::ZERO, length, Some(Length::ZERO));
        self.over_finish(&Opening { kind: OpeningKind::MainDoor, from, to, below }, per_reading)
    }

    /// Whether the main door has a place along the work.
    pub(super) fn main_door_has_place(&self) -> bool {
        let within = |o: &Opening| self.length.is_none_or(|length| o.from < length && o.to > Length::ZERO);
        self.openings.iter().any(|o| o.kind == OpeningKind::MainDoor && within(o))
    }

    fn overs(&self, kind: OpeningKind, per_reading: Length) -> impl Iterator<Item = Over> + '_ {
        self.openings.iter().filter(move |o| o.kind == kind).filter_map(move |o| self.over_finish(o, per_reading))
    }
}

/// A length that may be off by a tolerance, as a value.
pub(super) fn around(length: Length, tolerance: Length) -> Value {
    if tolerance == Length::ZERO {
        Value::Is(length.steps())
    } else {
        Value::Between((length - tolerance).steps(), (length + tolerance).steps())
    }
}
