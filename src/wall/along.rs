//! Heights along a straight stretch of wall: lines that may slope, and where two of them come closest.

use crate::units::{Elevation, Length};

/// A height along the wall, straight between its points and level beyond them.
///
/// Invariant: at least one point; offsets rise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    points: Vec<(Length, Elevation)>,
}

/// Where two lines come closest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Closest {
    /// How far the upper line stands above the lower one there; negative if it lies below.
    pub up: Length,
    /// The offset from the left end; the first one, if there are several.
    pub at: Length,
}

impl Line {
    /// The same height everywhere.
    #[must_use]
    pub fn level(height: Elevation) -> Line {
        Line { points: vec![(Length::ZERO, height)] }
    }

    /// Through these points, in any order. Of two points at one offset the first counts; nothing
    /// without any point.
    #[must_use]
    pub fn through(mut points: Vec<(Length, Elevation)>) -> Option<Line> {
        points.sort_by_key(|(offset, _)| *offset);
        points.dedup_by_key(|(offset, _)| *offset);
        (!points.is_empty()).then_some(Line { points })
    }

    /// The places of its points, from left to right.
    pub fn offsets(&self) -> impl Iterator<Item = Length> + '_ {
        self.points.iter().map(|(offset, _)| *offset)
    }

    /// Whether it is the same height everywhere.
    #[must_use]
    pub fn is_level(&self) -> bool {
        self.points.iter().all(|(_, height)| *height == self.points[0].1)
    }

    /// The height at an offset, to the step of [`Length`].
    #[must_use]
    pub fn at(&self, offset: Length) -> Elevation {
        let after = self.points.partition_point(|(o, _)| *o <= offset);
        match (after.checked_sub(1).map(|i| self.points[i]), self.points.get(after)) {
            (None, Some((_, height))) => *height,
            (Some((_, height)), None) => height,
            (Some((o1, h1)), Some((o2, h2))) => {
                let (run, rise, along) = ((*o2 - o1).steps(), h2.above(h1).steps(), (offset - o1).steps());
                h1 + Length::from_steps(divide(i128::from(rise) * i128::from(along), i128::from(run)))
            }
            (None, None) => Elevation::MARK,
        }
    }

    /// The lowest and the highest place between two offsets, both included.
    #[must_use]
    pub fn between(&self, from: Length, to: Length) -> (Elevation, Elevation) {
        let inside = self.points.iter().filter(|(at, _)| *at > from && *at < to).map(|(_, height)| *height);
        let (first, last) = (self.at(from), self.at(to));
        inside.fold((first.min(last), first.max(last)), |(low, high), h| (low.min(h), high.max(h)))
    }

    fn breaks<'a>(&'a self, other: &'a Line, length: Length) -> Vec<Length> {
        let inside = |o: &Length| *o > Length::ZERO && *o < length;
        let mut offsets: Vec<Length> = self
            .points
            .iter()
            .chain(&other.points)
            .map(|(o, _)| *o)
            .filter(inside)
            .chain([Length::ZERO, length])
            .collect();
        offsets.sort_unstable();
        offsets.dedup();
        offsets
    }

    /// Where this line stands least above `lower` on a wall of this length. Both are straight between
    /// their points, so the least lies at a point of one of them or at an end.
    #[must_use]
    pub fn closest_above(&self, lower: &Line, length: Length) -> Closest {
        let mut best: Option<Closest> = None;
        for at in self.breaks(lower, length) {
            let up = self.at(at).above(lower.at(at));
            if best.is_none_or(|b| up < b.up) {
                best = Some(Closest { up, at });
            }
        }
        best.unwrap_or(Closest { up: Length::ZERO, at: Length::ZERO })
    }

    /// The same line so much lower everywhere.
    #[must_use]
    pub fn lowered(&self, by: Length) -> Line {
        Line { points: self.points.iter().map(|(at, height)| (*at, *height - by)).collect() }
    }

    /// Over what length of the wall this line stands less than `need` above `lower`.
    #[must_use]
    pub fn short_over(&self, lower: &Line, need: Length, length: Length) -> Length {
        let stretches = self.short_stretches(lower, need, length);
        stretches.into_iter().fold(Length::ZERO, |total, (from, to)| total + (to - from))
    }

    /// The stretches of the wall over which this line stands less than `need` above `lower`: where each begins and
    /// ends, from left to right.
    #[must_use]
    pub fn short_stretches(&self, lower: &Line, need: Length, length: Length) -> Vec<(Length, Length)> {
        let offsets = self.breaks(lower, length);
        let mut found: Vec<(Length, Length)> = Vec::new();
        for pair in offsets.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let short = |at: Length| (need - self.at(at).above(lower.at(at))).steps();
            let (a, b, run) = (short(from), short(to), (to - from).steps());
            // of a stretch that is short at one end only, the part on the short side of the crossing
            let part = |of: i64, other: i64| {
                Length::from_steps(divide(i128::from(run) * i128::from(of), i128::from(of) - i128::from(other)))
            };
            let (begin, end) = match (a > 0, b > 0) {
                (true, true) => (from, to),
                (false, false) => continue,
                (true, false) => (from, from + part(a, b)),
                (false, true) => (to - part(b, a), to),
            };
            match found.last_mut() {
                Some((_, last)) if *last == begin => *last = end,
                _ => found.push((begin, end)),
            }
        }
        found
    }
}

/// To the nearest whole number, halves away from zero.
fn divide(num: i128, den: i128) -> i64 {
    let (num, den) = if den < 0 { (-num, -den) } else { (num, den) };
    if den == 0 {
        return 0;
    }
    let half = den / 2;
    let rounded = if num >= 0 { (num + half) / den } else { (num - half) / den };
    i64::try_from(rounded).unwrap_or(i64::MAX)
}
