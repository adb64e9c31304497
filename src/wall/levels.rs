//! Heights at one place of the wall, from whatever was measured.
//!
//! People measure down from the threshold, up from the ground, or add a thickness to what is there.
//! Each such reading joins two levels. The height of one level above another follows along any
//! chain of readings; the shortest chain is the best known.

use crate::units::Length;

/// A level at the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// The mark: top of the door threshold, or what the user named.
    Mark,
    /// The lowest place where water behind the cladding leaves.
    Exit,
    /// Top of the finished surface at the wall.
    Finish,
    /// The ground at the wall.
    Ground,
    /// Bottom of the lowest wood of the wall.
    Wood,
    /// The surface that lies there today, if the new one goes on top of it.
    OldSurface,
}

const LEVELS: [Level; 6] = [Level::Mark, Level::Exit, Level::Finish, Level::Ground, Level::Wood, Level::OldSurface];

/// "`upper` stands `up` above `lower`".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reading {
    /// The lower level (when `up` is positive).
    pub lower: Level,
    /// The upper level.
    pub upper: Level,
    /// How far.
    pub up: Length,
    /// How many tape readings its error is worth: none for a planned height, which is exact; one for a
    /// height read off a tape; several for one that was derived from usual sizes.
    pub readings: u32,
}

/// How many tape readings a derived height is worth.
pub const DERIVED_READINGS: u32 = 8;

/// A height of one level above another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Height {
    /// How far above; negative is below.
    pub up: Length,
    /// How many measured readings it took.
    pub readings: u32,
}

impl Height {
    /// Whether a derived height is among what it rests on.
    #[must_use]
    pub fn is_derived(self) -> bool {
        self.readings >= DERIVED_READINGS
    }

    /// How far off it may be, when one reading may be off by `per_reading`.
    #[must_use]
    pub fn tolerance(self, per_reading: Length) -> Length {
        per_reading * i64::from(self.readings)
    }
}

/// All readings at one place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Levels {
    readings: Vec<Reading>,
    /// Between any two levels, once all readings are there: see [`Levels::join`].
    joined: Option<[Above; LEVELS.len()]>,
}

/// What is known of each level, counted up from one of them.
type Above = [Option<Height>; LEVELS.len()];

impl Levels {
    /// Adds a reading.
    pub fn add(&mut self, reading: Reading) {
        self.readings.push(reading);
        self.joined = None;
    }

    /// Works out every height once, where many are asked for.
    pub fn join(&mut self) {
        self.joined = Some(LEVELS.map(|from| self.all_above(from, usize::MAX)));
    }

    /// Whether any reading touches the level.
    #[must_use]
    pub fn has(&self, level: Level) -> bool {
        self.readings.iter().any(|r| r.lower == level || r.upper == level)
    }

    /// How far `a` stands above `b`, by the chain with the fewest measured readings; nothing
    /// if no chain joins them.
    #[must_use]
    pub fn above(&self, a: Level, b: Level) -> Option<Height> {
        match &self.joined {
            Some(joined) => joined[b as usize][a as usize],
            None => self.all_above(b, usize::MAX)[a as usize],
        }
    }

    /// Whether nothing that is read besides of other levels can give a better chain between two levels than there is: one of readings
    /// that touch these two.
    #[must_use]
    pub fn is_best(&self, a: Level, b: Level, built: bool) -> bool {
        let Some(Height { readings, .. }) = self.above(a, b) else { return false };
        let pair = |x: Level, y: Level| (a, b) == (x, y) || (a, b) == (y, x);
        let measured = |level: Level| matches!(level, Level::Exit | Level::Wood);
        if built {
            // one reading is the least there is; two meet at a third level, and only of these pairs both belong to the pair
            return readings == 1
                || readings == 2 && (a == Level::Wood || b == Level::Wood || pair(Level::Exit, Level::Finish));
        }
        // what is planned costs nothing; whatever leads to the exit or to wood was measured
        readings == u32::from(measured(a)) + u32::from(measured(b))
    }

    /// How far `upper` was read to stand above `lower`, by one reading between these two.
    #[must_use]
    pub fn direct(&self, upper: Level, lower: Level) -> Option<Length> {
        self.readings.iter().find_map(|r| {
            match (r.upper == upper && r.lower == lower, r.upper == lower && r.lower == upper) {
                (true, _) => Some(r.up),
                (_, true) => Some(-r.up),
                _ => None,
            }
        })
    }

    /// The largest disagreement between a reading and what the others say about the same two
    /// levels. Zero if they agree or nothing was measured twice.
    #[must_use]
    pub fn conflict(&self) -> Length {
        if self.is_without_circles() {
            return Length::ZERO;
        }
        let apart = |(i, r): (usize, &Reading)| {
            let others = self.all_above(r.lower, i)[r.upper as usize]?;
            Some((others.up - r.up).abs())
        };
        self.readings.iter().enumerate().filter_map(apart).max().unwrap_or(Length::ZERO)
    }

    /// Whether no reading joins two levels that others join already.
    fn is_without_circles(&self) -> bool {
        // by level: which others it hangs together with, as bits
        let mut together: [u8; LEVELS.len()] = LEVELS.map(|level| 1 << level as u8);
        self.readings.iter().all(|r| {
            let (lower, upper) = (together[r.lower as usize], together[r.upper as usize]);
            for level in LEVELS.iter().filter(|level| (lower | upper) & 1 << **level as u8 != 0) {
                together[*level as usize] = lower | upper;
            }
            lower & upper == 0
        })
    }

    /// How far each level stands above `from`, by the chain with the fewest measured readings; without one of the readings.
    fn all_above(&self, from: Level, leave_out: usize) -> Above {
        // at most six levels: relax until nothing gets better
        let mut best: Above = [None; LEVELS.len()];
        // of chains with as many readings the shortest counts
        let mut links = [0_u32; LEVELS.len()];
        best[from as usize] = Some(Height { up: Length::ZERO, readings: 0 });
        if !self.has(from) {
            return best;
        }
        for _ in 0..LEVELS.len() {
            let mut better = false;
            for (i, r) in self.readings.iter().enumerate() {
                if i == leave_out {
                    continue;
                }
                for (from, to, up) in [(r.lower, r.upper, r.up), (r.upper, r.lower, -r.up)] {
                    let Some(Height { up: at, readings }) = best[from as usize] else { continue };
                    let (readings, link) = (readings + r.readings, links[from as usize] + 1);
                    let is_better = |known: Height| (readings, link) < (known.readings, links[to as usize]);
                    if best[to as usize].is_none_or(is_better) {
                        best[to as usize] = Some(Height { up: at + up, readings });
                        links[to as usize] = link;
                        better = true;
                    }
                }
            }
            if !better {
                break;
            }
        }
        best
    }
}
