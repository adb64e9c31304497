//! A stretch of wall seen from outside, along the run of the work: its lines, what is in it, where the exit is covered, and
//! the stations of the line that the crew snaps. Plain data; no words.

use super::along::Line;
use crate::units::{Elevation, Length};

/// What a line along the wall is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RunKind {
    /// The level that all heights are told from, at the height of the mark.
    Mark,
    /// The floor inside.
    Floor,
    /// Where water from inside the wall leaves.
    Exit,
    /// Top of the finished surface, as planned or as it stands.
    Finish,
    /// The highest top of the finished surface that holds, where it is not the planned one.
    Keep,
    /// The surface that lies there today, if the new one goes on top of it.
    OldSurface,
    /// The ground at the wall.
    Ground,
}

/// What becomes of the finish as planned, or as it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FinishState {
    /// It is built as planned.
    Build,
    /// It stands, and may stay.
    Stays,
    /// It is too high: not to be built so, or to come down.
    Rejected,
    /// Nothing settles it yet.
    Open,
}

/// A line along the wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunLine {
    /// What it is.
    pub kind: RunKind,
    /// Its heights. All of them are told from one level, which is [`Elevation::MARK`] here.
    pub line: Line,
    /// Whether it is known all along the wall; else its height was read at one place and may be another elsewhere.
    pub known: bool,
}

/// Something in the wall with a place along it. How far it reaches is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunHole {
    /// Where it begins, from the left end of the work.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Its lowest edge, if known; the rim of what is sunk.
    pub edge: Option<Elevation>,
    /// Whether it is a pit, which lies below its edge; all else lies above it.
    pub sunk: bool,
}

/// How the exit lies over a stretch of the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lying {
    /// What lies before the wall stands higher.
    Covered,
    /// It stands higher, but by less than is asked for. Told only where it is covered nowhere.
    TooLow,
}

/// A stretch of the wall where the exit is covered, or too low.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunStretch {
    /// Which.
    pub lying: Lying,
    /// Where it begins, from the left end of the work.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// A place where the height of the line to build to is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Station {
    /// The offset from the left end of the work.
    pub at: Length,
    /// How far below [`Elevation::MARK`].
    pub below: Length,
}

/// What a view is made of.
#[derive(Debug, Clone, Default)]
pub struct RunSpec {
    /// The length of the work, if known.
    pub length: Option<Length>,
    /// The length that is drawn where it is not known, and nothing has a place beyond it.
    pub nominal: Length,
    /// The lines.
    pub lines: Vec<RunLine>,
    /// What is in the wall.
    pub holes: Vec<RunHole>,
    /// The top of what the wall sees before it, if known all along.
    pub front: Option<Line>,
    /// How far the exit has to stand above that.
    pub need: Option<Length>,
    /// The line to snap, if there is one.
    pub chalk: Option<Line>,
    /// How far apart its stations may be, from the closest; the first counts that needs at most so many.
    pub strides: Vec<Length>,
    /// How many strides there may be.
    pub most: i64,
    /// Stretches begin and end at whole ones of these: nobody looks along a wall more closely. They are never told shorter.
    pub whole: Length,
}

/// A stretch of wall seen from outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunView {
    /// The length of the work, if known.
    pub length: Option<Length>,
    /// The left edge of what is shown: the left end of the work, or of something beside it.
    pub left: Length,
    /// The right edge.
    pub right: Length,
    /// The lowest height that has to be seen.
    pub low: Elevation,
    /// The highest.
    pub high: Elevation,
    /// The lines.
    pub lines: Vec<RunLine>,
    /// What is in the wall.
    pub holes: Vec<RunHole>,
    /// Where the exit is covered or too low.
    pub stretches: Vec<RunStretch>,
    /// What lies before the wall there.
    pub front: Option<Line>,
    /// Where the height of the line to snap is told, from left to right.
    pub stations: Vec<Station>,
}

impl RunView {
    /// A view of what is known; nothing with fewer than two lines.
    #[must_use]
    pub fn of(spec: RunSpec) -> Option<RunView> {
        if spec.lines.len() < 2 {
            return None;
        }
        let end = spec.length.unwrap_or(spec.nominal);
        let left = spec.holes.iter().map(|hole| hole.from).fold(Length::ZERO, Length::min);
        let right = spec.holes.iter().map(|hole| hole.to).fold(end, Length::max);
        let spans: Vec<(Elevation, Elevation)> = spec.lines.iter().map(|l| l.line.between(left, right)).collect();
        let low = spans.iter().map(|(low, _)| *low).min()?;
        let high = spans.iter().map(|(_, high)| *high).max()?;
        // what lies far beyond the lines would make them too flat to be told apart
        let reach = high.above(low);
        let edges = || spec.holes.iter().filter_map(|hole| hole.edge);
        let low = edges().filter(|edge| low.above(*edge) <= reach).fold(low, Elevation::min);
        let high = edges().filter(|edge| edge.above(high) <= reach).fold(high, Elevation::max);
        let stretches = spec.stretches(end);
        let stations = spec.stations();
        Some(RunView {
            length: spec.length,
            left,
            right,
            low,
            high,
            lines: spec.lines,
            holes: spec.holes,
            stretches,
            front: spec.front,
            stations,
        })
    }

    /// The line of a kind.
    #[must_use]
    pub fn line(&self, kind: RunKind) -> Option<&RunLine> {
        self.lines.iter().find(|line| line.kind == kind)
    }

    /// Where the work ends: its length, or the right edge where that is not known.
    #[must_use]
    pub fn end(&self) -> Length {
        self.length.unwrap_or(self.right)
    }
}

impl RunSpec {
    fn stretches(&self, end: Length) -> Vec<RunStretch> {
        let exit = self.lines.iter().find(|line| line.kind == RunKind::Exit && line.known);
        let (Some(exit), Some(front)) = (exit, &self.front) else { return Vec::new() };
        let over = |lying: Lying, need: Length| {
            let mut list: Vec<RunStretch> = Vec::new();
            for (start, finish) in exit.line.short_stretches(front, need, end) {
                let (from, to) = (self.down(start).max(Length::ZERO), (-self.down(-finish)).min(end));
                match list.last_mut() {
                    Some(before) if before.to >= from => before.to = to,
                    _ => list.push(RunStretch { lying, from, to }),
                }
            }
            list
        };
        let covered = over(Lying::Covered, Length::ZERO);
        let need = self.need.filter(|need| *need > Length::ZERO);
        let low = need.map(|need| over(Lying::TooLow, need)).unwrap_or_default();
        // where it is covered anywhere, that is what counts
        if covered.is_empty() { low } else { covered }
    }

    /// A place, or the next whole one to the left.
    fn down(&self, at: Length) -> Length {
        let whole = self.whole.steps().max(1);
        Length::from_steps(at.steps().div_euclid(whole) * whole)
    }

    /// At both ends, at every stride in between, and wherever the line bends.
    fn stations(&self) -> Vec<Station> {
        let (Some(length), Some(chalk)) = (self.length, &self.chalk) else { return Vec::new() };
        let fits = |stride: &&Length| length.steps() <= stride.steps() * self.most;
        let mut places = vec![Length::ZERO, length];
        if let Some(stride) = self.strides.iter().find(fits).or(self.strides.last()).filter(|s| **s > Length::ZERO) {
            // one just before the end tells nothing that the end does not tell
            places.extend((1..).map(|n| *stride * n).take_while(|at| (length - *at).steps() * 2 >= stride.steps()));
        }
        places.extend(chalk.offsets().filter(|at| *at > Length::ZERO && *at < length));
        places.sort_unstable();
        places.dedup();
        places.into_iter().map(|at| Station { at, below: Elevation::MARK.above(chalk.at(at)) }).collect()
    }
}
