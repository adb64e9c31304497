//! Numbers of the formula: cut where something compares with them.

use crate::solve::{Lit, Sat};
use std::collections::{BTreeMap, HashSet};

/// One end of a number: for each figure that something compares it with, the statement that it is at least that.
#[derive(Debug, Clone, Default)]
struct Cuts {
    cuts: BTreeMap<i64, Lit>,
}

impl Cuts {
    /// The nearest cuts around a figure that has none.
    fn around(&self, figure: i64) -> (Option<Lit>, Option<Lit>) {
        let below = self.cuts.range(..figure).next_back().map(|(_, lit)| *lit);
        let above = self.cuts.range(figure..).next().map(|(_, lit)| *lit);
        (below, above)
    }
}

/// A number that lies between a low and a high end, both among all whole numbers from `least` to `most`.
#[derive(Debug, Clone)]
pub(super) struct CutNumber {
    low: Cuts,
    /// Nothing where it is exact.
    high: Option<Cuts>,
    least: i64,
    most: i64,
}

/// Which end of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Which {
    /// The low one.
    Low,
    /// The high one.
    High,
}

impl CutNumber {
    /// A number that is one, such as an answer.
    pub(super) fn exact(least: i64, most: i64) -> CutNumber {
        CutNumber { low: Cuts::default(), high: None, least, most }
    }

    /// A number that may be known as a range only, such as a measured height.
    pub(super) fn ranged() -> CutNumber {
        CutNumber { low: Cuts::default(), high: Some(Cuts::default()), least: i64::MIN, most: i64::MAX }
    }

    /// The statement that an end is at least a figure.
    pub(super) fn at_least(&mut self, end: Which, figure: i64, sat: &mut Sat) -> Lit {
        if figure <= self.least {
            return sat.yes();
        }
        if figure > self.most {
            return !sat.yes();
        }
        if self.high.is_none() || end == Which::Low {
            if let Some(known) = self.low.cuts.get(&figure) {
                return *known;
            }
        } else if let Some(known) = self.high.as_ref().and_then(|high| high.cuts.get(&figure)) {
            return *known;
        }
        let low = new_cut(&mut self.low, figure, self.high.is_some(), sat);
        let Some(high) = &mut self.high else { return low };
        let high = new_cut(high, figure, true, sat);
        // the high end lies no lower
        sat.clause(&[!low, high]);
        if end == Which::Low { low } else { high }
    }

    /// The figures between which an end lies in the last case found, the first included, and the statements that say so.
    pub(super) fn cell(&self, end: Which, sat: &Sat) -> Cell {
        let line = match (end, &self.high) {
            (Which::High, Some(high)) => high,
            _ => &self.low,
        };
        let from = line.cuts.iter().rev().find(|(_, lit)| sat.holds(**lit)).map(|(figure, lit)| (*figure, *lit));
        let to = line.cuts.iter().find(|(_, lit)| sat.holds(!**lit)).map(|(figure, lit)| (*figure - 1, !*lit));
        Cell { from, to, least: self.least, most: self.most }
    }

    /// The same, but for those statements only that are needed.
    pub(super) fn needed(&self, end: Which, needed: &HashSet<Lit>) -> Cell {
        let line = match (end, &self.high) {
            (Which::High, Some(high)) => high,
            _ => &self.low,
        };
        let from = line.cuts.iter().rev().find(|(_, lit)| needed.contains(lit)).map(|(figure, lit)| (*figure, *lit));
        let to = line.cuts.iter().find(|(_, lit)| needed.contains(&!**lit)).map(|(figure, lit)| (*figure - 1, !*lit));
        Cell { from, to, least: self.least, most: self.most }
    }

    /// The statements that say where an end is that lies at `n`.
    pub(super) fn said(&self, end: Which, n: i64) -> impl Iterator<Item = Lit> {
        let line = match (end, &self.high) {
            (Which::High, Some(high)) => high,
            _ => &self.low,
        };
        let from = line.cuts.range(..=n).next_back().map(|(_, lit)| *lit);
        let to = n.checked_add(1).and_then(|next| line.cuts.range(next..).next()).map(|(_, lit)| !*lit);
        from.into_iter().chain(to)
    }

    /// The statements of an end that lies at `n`: for each cut whether it is reached.
    pub(super) fn all_said(&self, end: Which, n: i64) -> impl Iterator<Item = Lit> {
        let line = match (end, &self.high) {
            (Which::High, Some(high)) => high,
            _ => &self.low,
        };
        line.cuts.iter().map(move |(figure, lit)| if n >= *figure { *lit } else { !*lit })
    }

    /// All its cuts, for those who have to make the same in another number.
    pub(super) fn figures(&self) -> Vec<i64> {
        self.low.cuts.keys().copied().collect()
    }

    /// The statements that it lies nowhere above its lowest cut, or everywhere above the highest: its ends are open.
    pub(super) fn cuts(&self, end: Which) -> impl Iterator<Item = Lit> {
        let line = match (end, &self.high) {
            (Which::High, Some(high)) => high,
            _ => &self.low,
        };
        line.cuts.values().copied()
    }
}

fn new_cut(line: &mut Cuts, figure: i64, follows: bool, sat: &mut Sat) -> Lit {
    let cut = if follows { sat.fresh() } else { sat.free() };
    let (below, above) = line.around(figure);
    if let Some(below) = below {
        sat.clause(&[!cut, below]);
    }
    if let Some(above) = above {
        sat.clause(&[!above, cut]);
    }
    line.cuts.insert(figure, cut);
    cut
}

/// Between which figures a number lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    /// The figure that it is at least, and the statement that says so.
    pub(super) from: Option<(i64, Lit)>,
    /// The figure that it is at most, and the statement.
    pub(super) to: Option<(i64, Lit)>,
    least: i64,
    most: i64,
}

impl Cell {
    /// The least that it can be.
    pub(super) fn least(&self) -> i64 {
        self.from.map_or(self.least, |(n, _)| n.max(self.least))
    }

    /// The most that it can be.
    pub(super) fn most(&self) -> i64 {
        self.to.map_or(self.most, |(n, _)| n.min(self.most))
    }
}
