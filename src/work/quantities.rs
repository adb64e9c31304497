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
    exact_units(area, unit, waste_percent).map(whole)
}

/// The same before rounding.
#[must_use]
pub fn exact_units(area: Area, unit: Area, waste_percent: i64) -> Option<f64> {
    let (area, unit) = (area.as_square_metres(), unit.as_square_metres());
    (unit > 0.0).then(|| area / unit * with_waste(waste_percent))
}

/// A share with so many per cent on top; a negative waste is none.
#[must_use]
pub fn with_waste(per_cent: i64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // per cent
    let more = (100 + per_cent.max(0)) as f64;
    more / 100.0
}

/// Up to whole pieces. What is above a whole number only by the error of the arithmetic is that number.
#[must_use]
pub fn whole(amount: f64) -> i64 {
    #[allow(clippy::cast_possible_truncation)] // a count of pieces
    let up = (amount - 1e-9).ceil() as i64;
    up.max(0)
}

/// Bags of so many thousandths of a cubic foot each that hold a volume, waste in per cent on top; before
/// rounding to whole bags. Nothing for a bag without content.
#[must_use]
pub fn bags_for(volume: Volume, bag_thousandths: i64, waste_percent: i64) -> Option<f64> {
    #[allow(clippy::cast_precision_loss)] // thousandths of a cubic foot
    let bag = bag_thousandths as f64 / 1000.0;
    (bag > 0.0).then(|| volume.as_cubic_feet() * with_waste(waste_percent) / bag)
}

/// The hollow of the joints between units that are laid edge to edge: half of the four joints around a unit is its
/// own, so a unit of a x b has (a + b) of joint. Nothing for a unit without area.
#[must_use]
pub fn joint_volume(area: Area, (long, wide): (Length, Length), (joint, depth): (Length, Length)) -> Option<Volume> {
    let units = units_to_cover(area, long.by(wide), 0)?;
    Some(((long + wide) * units).by(joint).by(depth))
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
