//! Whether measures that were given for one thing fit one another.

use super::model::Site;
use super::terms::Outer;
use crate::flow::Value;
use crate::names::Shape;
use crate::units::Length;
use crate::wall::{Height, Level};

impl Site {
    /// How much deeper the level place at the door is than the work.
    pub(super) fn landing_beyond_work(&self) -> Value {
        self.landing_depth
            .zip(self.depth)
            .map_or(Value::Unknown, |(landing, depth)| Value::Is((landing - depth).steps()))
    }

    /// How much more room steps take than there is out from the wall or along it: with as few of them as their own riser
    /// allows, a tread less than risers, and the level place at the top.
    pub(super) fn steps_beyond_work(&self, per_reading: Length) -> Value {
        let (riser, tread) = match self.steps {
            (Value::Is(riser), Value::Is(tread)) => (riser, Length::from_steps(tread)),
            (Value::Absent, _) | (_, Value::Absent) => return Value::Absent,
            (Value::Unasked, _) | (_, Value::Unasked) => return Value::Unasked,
            _ => return Value::Unknown,
        };
        let (Some(rise), Some(room)) = (self.height(Level::Finish, Level::Ground), self.room()) else {
            return Value::Unknown;
        };
        let Some(risers) = fewest_risers(rise, riser, per_reading) else { return Value::Unknown };
        let top = self.landing_depth.unwrap_or(Length::ZERO);
        Value::Is((tread * (risers - 1) + top - room).steps())
    }

    /// The fewest risers up to so high a place, with the step that was given; nothing where none was.
    pub(super) fn risers_as_given(&self, rise: Height, per_reading: Length) -> Option<i64> {
        match self.steps.0 {
            Value::Is(riser) => fewest_risers(rise, riser, per_reading),
            _ => None,
        }
    }

    /// How far the outer edge stands above the ground outside; nothing where that is no figure.
    pub(super) fn outer_edge(&self) -> Result<Length, Value> {
        match self.outer {
            Outer::Unknown => Err(Value::Unknown),
            Outer::NoEdge => Err(Value::Absent),
            Outer::Drop(drop) => Ok(drop),
            Outer::Below(_) => Ok(Length::ZERO),
        }
    }

    /// The surface above the ground at the highest place along the wall, where both were measured along it.
    pub(super) fn highest_above_ground(&self) -> Option<Length> {
        let (finish, ground) = self.line(Level::Finish).zip(self.line(Level::Ground)).filter(|_| self.slopes())?;
        finish.offsets().chain(ground.offsets()).map(|at| finish.at(at).above(ground.at(at))).max()
    }

    /// How far the work reaches, whichever way is longer, for each one that it stands above the ground, in thousandths.
    pub(super) fn ramp_room(&self) -> Value {
        match (self.height(Level::Finish, Level::Ground).map(|rise| rise.up.steps()), self.room()) {
            (Some(rise), _) if rise <= 0 => Value::Absent,
            (Some(rise), Some(room)) => Value::Is(room.steps() * 1000 / rise),
            _ => Value::Unknown,
        }
    }

    /// The longer side of the work.
    fn room(&self) -> Option<Length> {
        self.depth.zip(self.length).map(|(depth, length)| depth.max(length))
    }

    /// The highest single step of steps that are built up, as answered; of slabs each is a step, and the odd one is told.
    pub(super) fn highest_step(&self) -> Value {
        match (self.slab, self.feature.map(|feature| feature.shape)) {
            (Value::Is(_), _) => Value::Absent,
            (_, Some(Shape::Flight)) => self.steps.0,
            (_, None) => Value::Unknown,
            _ => Value::Absent,
        }
    }

    /// How far the bottom of the deeper of a channel and a strip lies below the ground.
    pub(super) fn trench_below_ground(&self) -> Value {
        let deepest = match self.trenches {
            [Value::Is(channel), Value::Is(strip)] => channel.max(strip),
            [Value::Is(one), Value::Absent] | [Value::Absent, Value::Is(one)] => one,
            [Value::Absent, Value::Absent] => return Value::Absent,
            both if both.contains(&Value::Unasked) => return Value::Unasked,
            _ => return Value::Unknown,
        };
        let finish = self.height(Level::Finish, Level::Ground);
        finish.map_or(Value::Unknown, |finish| Value::Is(deepest - finish.up.steps()))
    }

    /// How much of the footing lies below that.
    pub(super) fn trench_above_footing(&self) -> Value {
        match (self.trench_below_ground(), self.footing) {
            (Value::Is(deep), Some(footing)) => Value::Is(footing.steps() - deep),
            (Value::Is(_), None) => Value::Unknown,
            (other, _) => other,
        }
    }
}

/// With as few risers as a step of this height allows: riser and rise are off by some readings each, and only what is certain counts.
fn fewest_risers(rise: Height, riser: i64, per_reading: Length) -> Option<i64> {
    let rise = rise.up - per_reading * i64::from(rise.readings);
    let most = riser + (per_reading * 3).steps();
    (riser > 0).then(|| (rise.steps() + most - 1).div_euclid(most).max(1))
}
