//! Flights of steps: equal risers, treads, and flights of stone slabs of one thickness.

use crate::pack::packed;
use crate::units::{Length, Slope};

/// A flight of equal risers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Flight {
    /// Number of risers.
    pub risers: i64,
    /// Height of each.
    pub riser: Length,
}

impl Flight {
    /// Treads between bottom and top: one fewer than risers (the last riser lands on the top).
    #[must_use]
    pub fn treads(self) -> i64 {
        (self.risers - 1).max(0)
    }

    /// Length of the flight on the ground for this tread.
    #[must_use]
    pub fn run(self, tread: Length) -> Length {
        tread * self.treads()
    }
}

/// The fewest equal risers that climb `rise` with none higher than `most`. No risers for no rise;
/// nothing if `most` is not greater than zero.
#[must_use]
pub fn flight(rise: Length, most: Length) -> Option<Flight> {
    if most <= Length::ZERO {
        return None;
    }
    if rise <= Length::ZERO {
        return Some(Flight { risers: 0, riser: Length::ZERO });
    }
    let risers = (rise.steps() + most.steps() - 1) / most.steps();
    Some(Flight { risers, riser: Length::from_steps(rise.steps() / risers) })
}

/// What a region asks of a flight. What is not bounded is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct StairRules {
    /// Highest riser.
    pub riser_most: Option<Length>,
    /// Lowest riser.
    pub riser_least: Option<Length>,
    /// Shortest tread (going).
    pub tread_least: Option<Length>,
    /// Longest tread (going).
    pub tread_most: Option<Length>,
    /// Bounds of two risers plus one tread.
    pub pace: Option<(Length, Length)>,
    /// Steepest pitch, as riser over tread.
    pub pitch_most: Option<Slope>,
    /// How much risers of one flight may differ.
    pub spread_most: Option<Length>,
    /// From how many risers a handrail is asked for.
    pub handrail_from: Option<i64>,
    /// Above which drop a guard is asked for.
    pub guard_above: Option<Length>,
}

packed!(struct StairRules { riser_most, riser_least, tread_least, tread_most, pace, pitch_most, spread_most, handrail_from, guard_above });

/// A rule that a flight breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StairFault {
    /// A riser is too high.
    RiserHigh,
    /// A riser is too low.
    RiserLow,
    /// A tread is too short.
    TreadShort,
    /// A tread is too long.
    TreadLong,
    /// Two risers plus one tread lie outside the bounds.
    Pace,
    /// The flight is too steep.
    Pitch,
}

impl StairRules {
    /// The rules that a riser and a tread break. Each rule counts by itself: two risers plus a tread in
    /// bounds does not make up for a riser that is too high or a flight that is too steep.
    #[must_use]
    pub fn faults(&self, riser: Length, tread: Length) -> Vec<StairFault> {
        let pace = riser * 2 + tread;
        let steep = Slope::of(riser, tread);
        let checks = [
            (StairFault::RiserHigh, self.riser_most.is_some_and(|most| riser > most)),
            (StairFault::RiserLow, self.riser_least.is_some_and(|least| riser < least)),
            (StairFault::TreadShort, self.tread_least.is_some_and(|least| tread < least)),
            (StairFault::TreadLong, self.tread_most.is_some_and(|most| tread > most)),
            (StairFault::Pace, self.pace.is_some_and(|(least, most)| pace < least || pace > most)),
            (StairFault::Pitch, self.pitch_most.zip(steep).is_some_and(|(most, steep)| steep > most)),
        ];
        checks.into_iter().filter(|(_, broken)| *broken).map(|(fault, _)| fault).collect()
    }

    /// The flight with the fewest risers up `rise`, and the shortest tread of at least `wanted` that
    /// breaks no rule; nothing if the region bounds no riser, there is nothing to climb, or no tread fits.
    #[must_use]
    pub fn plan(&self, rise: Length, wanted: Option<Length>) -> Option<FlightPlan> {
        let fewest = flight(rise, self.riser_most?)?;
        if fewest.risers == 0 {
            return None;
        }
        // more risers are lower ones; a few more are enough to get under a pitch or a pace
        (fewest.risers..fewest.risers + 4).find_map(|risers| {
            let flight = Flight { risers, riser: Length::from_steps(rise.steps() / risers) };
            let tread = self.tread_for(flight.riser, wanted)?;
            Some(FlightPlan {
                flight,
                tread,
                run: flight.run(tread),
                handrail: self.handrail_from.is_some_and(|from| risers >= from),
                guard: self.guard_above.is_some_and(|above| rise > above),
            })
        })
    }

    fn tread_for(&self, riser: Length, wanted: Option<Length>) -> Option<Length> {
        let mut tread = wanted.unwrap_or(Length::ZERO).max(self.tread_least.unwrap_or(Length::ZERO));
        if let Some((least, _)) = self.pace {
            tread = tread.max(least - riser * 2);
        }
        if let Some(most) = self.pitch_most
            && most.parts() > 0
        {
            // the shortest tread that is not too steep, rounded up
            let parts = i128::from(riser.steps()) * 1_000_000_000;
            let needed = (parts + i128::from(most.parts()) - 1) / i128::from(most.parts());
            tread = tread.max(Length::from_steps(i64::try_from(needed).ok()?));
        }
        (tread > Length::ZERO && self.faults(riser, tread).is_empty()).then_some(tread)
    }
}

/// A flight that keeps the rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlightPlan {
    /// Its risers.
    pub flight: Flight,
    /// Its treads.
    pub tread: Length,
    /// Its length on the ground.
    pub run: Length,
    /// Whether a handrail is asked for.
    pub handrail: bool,
    /// Whether a guard is asked for at the top.
    pub guard: bool,
}

/// A flight of stone slabs, one slab a riser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SlabFlight {
    /// How many slabs.
    pub slabs: i64,
    /// What is left of the rise; negative: the slabs stand too high.
    pub left_over: Length,
    /// The riser that takes up what is left over, if nothing is done about it.
    pub odd_riser: Length,
    /// Whether the risers stay within the spread of one flight.
    pub even: bool,
    /// The thickness that would come out even with so many slabs.
    pub even_thickness: Length,
    /// Bedding to add under each slab to come out even; nothing if the slabs stand too high.
    pub bedding: Option<Length>,
    /// How far to raise the ground at the foot to come out even (negative: lower it).
    pub raise_ground: Length,
}

/// What one slab weighs in pounds, by its width, depth and thickness, at so many thousandths of a pound to the cubic foot.
#[must_use]
pub fn slab_pounds((width, depth, thickness): (Length, Length, Length), density_thousandths: i64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // thousandths of a pound
    let density = density_thousandths as f64 / 1000.0;
    width.by(depth).by(thickness).as_cubic_feet() * density
}

/// How slabs of one thickness climb a rise: the count that leaves least over. `spread` is how much
/// risers of one flight may differ. Nothing unless both lengths are greater than zero.
#[must_use]
pub fn slabs(rise: Length, thickness: Length, spread: Length) -> Option<SlabFlight> {
    if rise <= Length::ZERO || thickness <= Length::ZERO {
        return None;
    }
    let below = rise.steps() / thickness.steps();
    let left = |n: i64| rise - thickness * n;
    let slabs = if below == 0 || left(below).abs() > left(below + 1).abs() { below + 1 } else { below };
    let left_over = left(slabs);
    Some(SlabFlight {
        slabs,
        left_over,
        odd_riser: thickness + left_over,
        even: left_over.abs() <= spread,
        even_thickness: Length::from_steps(rise.steps() / slabs),
        bedding: (left_over > Length::ZERO).then(|| Length::from_steps(left_over.steps() / slabs)),
        raise_ground: left_over,
    })
}
