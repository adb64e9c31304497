//! How much material: formulas, each with its name. Waste is an input; more waste never gives less.

use crate::units::{Area, Length, Volume};

/// Pieces of a length that overlap: n = ceil((L - lap) / (piece - lap)); at least one for any length. Nothing if the
/// pieces are not longer than their lap.
#[must_use]
pub fn pieces_with_laps(length: Length, piece: Length, lap: Length) -> Option<i64> {
    let (step, needed) = ((piece - lap).steps(), (length - lap).steps());
    if step <= 0 || lap < Length::ZERO {
        return None;
    }
    if length <= Length::ZERO {
        return Some(0);
    }
    Some(ceil(needed, step).max(1))
}

/// Rolls of a sheet to cover a strip of a wall: courses of the roll's width that overlap at their sides, each as long
/// as the wall with laps at the ends of the rolls, and waste in per cent on top. Nothing if a roll is not wider and
/// longer than its laps.
#[must_use]
pub fn rolls_for(
    (length, height): (Length, Length),
    (roll_length, roll_width): (Length, Length),
    (side_lap, end_lap): (Length, Length),
    waste_percent: i64,
) -> Option<i64> {
    let courses = pieces_with_laps(height, roll_width, side_lap)?;
    if courses == 0 || length <= Length::ZERO {
        return Some(0);
    }
    // all courses one behind the other, with one lap more wherever a roll ends
    let run = Length::from_steps(ceil(length.steps() * courses * (100 + waste_percent.max(0)), 100));
    pieces_with_laps(run, roll_length, end_lap)
}

/// Units that cover an area, waste in per cent on top, to whole units. Nothing for a unit without area.
#[must_use]
pub fn units_to_cover(area: Area, unit: Area, waste_percent: i64) -> Option<i64> {
    let (area, unit) = (area.as_square_metres(), unit.as_square_metres());
    if unit <= 0.0 {
        return None;
    }
    let count = area / unit;
    #[allow(clippy::cast_possible_truncation)] // a count of stones
    let whole = |n: f64| (n - 1e-9).ceil() as i64;
    #[allow(clippy::cast_precision_loss)] // per cent
    Some(whole(count * (100 + waste_percent.max(0)) as f64 / 100.0))
}

/// A bag of dry mix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bags {
    /// Pounds in a bag.
    pub pounds: i64,
    /// What one bag yields, in hundredths of a cubic foot: 60 for 80 lb, 45 for 60 lb, 30 for 40 lb.
    pub yield_hundredths: i64,
}

impl Bags {
    /// 80 lb, which yield 0.60 ft3 (45 to the cubic yard; makers' tables).
    pub const EIGHTY: Bags = Bags { pounds: 80, yield_hundredths: 60 };
    /// 60 lb, which yield 0.45 ft3.
    pub const SIXTY: Bags = Bags { pounds: 60, yield_hundredths: 45 };
    /// 40 lb, which yield 0.30 ft3.
    pub const FORTY: Bags = Bags { pounds: 40, yield_hundredths: 30 };
}

/// Bags for a volume, waste in per cent on top, to whole bags.
#[must_use]
pub fn bags_for(volume: Volume, bag: Bags, waste_percent: i64) -> i64 {
    let cubic_feet = volume.as_cubic_yards() * 27.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // a count of bags
    let bags =
        (cubic_feet * (100 + waste_percent.max(0)) as f64 / bag.yield_hundredths.max(1) as f64 - 1e-9).ceil() as i64;
    bags.max(0)
}

/// How long a bead of sealant a cartridge gives: its volume over the section of the bead. Nothing for a bead without
/// section.
#[must_use]
pub fn beads_from(cartridge: Volume, width: Length, depth: Length) -> Option<Length> {
    let section = width.by(depth).as_square_metres();
    if section <= 0.0 {
        return None;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // a length of a bead
    Some(Length::from_steps((cartridge.as_cubic_metres() / section * Length::mm(1000).steps() as f64).floor() as i64))
}

fn ceil(n: i64, by: i64) -> i64 {
    n.div_euclid(by) + i64::from(n.rem_euclid(by) > 0)
}
