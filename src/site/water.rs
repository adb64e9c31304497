//! The answers as a wall that water runs down, with all that it may be where something is not known.

use super::model::Site;
use super::parts::{Parts, SitePart};
use super::terms::{LevelChange, SaidFall};
use crate::flow::{Truth, Value};
use crate::units::{Length, Slope};
use crate::wall::{Height, Level};
use crate::water::{Edge, End, Fall, Joint, Path, Start, System, Wall};

/// One way that a drop may take, on a wall that fits the answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Traced {
    /// The wall.
    pub wall: Wall,
    /// The way.
    pub path: Path,
}

/// How far the exit is taken to be covered or clear, where only that is known.
const COVERED_BY: Length = Length::inches(1);
const CLEAR_BY: Length = Length::inches(2);
/// How far the work reaches out, and how far down the ground lies, where nobody said.
const OUT: Length = Length::inches(48);
const DOWN: Length = Length::inches(8);

/// What follows for a drop that starts at one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trace {
    /// Heights or cladding are not known.
    Unknown,
    /// This wall has no such place.
    Absent,
    /// The ways it may take; never empty.
    Ways(Vec<Traced>),
}

impl Trace {
    /// The end, as rules see it: unknown if there are several.
    #[must_use]
    pub fn value(&self) -> Value {
        match self {
            Trace::Unknown => Value::Unknown,
            Trace::Absent => Value::Absent,
            Trace::Ways(ways) => {
                let first = ways[0].path.end;
                if ways.iter().all(|w| w.path.end == first) { Value::choice(first as usize) } else { Value::Unknown }
            }
        }
    }

    /// Whether its end is such a one: unknown if it may or may not be; no where there is no such place.
    #[must_use]
    pub fn ends(&self, such: impl Fn(End) -> bool) -> Truth {
        match self {
            Trace::Unknown => Truth::Unknown,
            Trace::Absent => Truth::No,
            Trace::Ways(ways) => {
                let (yes, all) = (ways.iter().filter(|w| such(w.path.end)).count(), ways.len());
                if yes == all {
                    Truth::Yes
                } else if yes == 0 {
                    Truth::No
                } else {
                    Truth::Unknown
                }
            }
        }
    }

    /// The way with the worst end.
    #[must_use]
    pub fn worst(&self) -> Option<&Traced> {
        match self {
            Trace::Ways(ways) => ways.iter().max_by_key(|w| w.path.end),
            _ => None,
        }
    }
}

impl Site {
    /// The ways of a drop from a start. What is wrong but cannot be known from outside is not assumed: the
    /// barrier is taken to be whole, and flashings to be lapped.
    #[must_use]
    pub fn trace(&self, start: Start, per_reading: Length) -> Trace {
        if start == Start::Channel && self.drainage.no_channel {
            return Trace::Absent;
        }
        let walls = self.walls(start, per_reading);
        if walls.is_empty() {
            return Trace::Unknown;
        }
        let ways: Vec<Traced> =
            walls.into_iter().filter_map(|wall| Some(Traced { path: wall.path(start)?, wall })).collect();
        if ways.is_empty() { Trace::Absent } else { Trace::Ways(ways) }
    }

    /// The walls that fit the answers, as far as they matter to a start.
    #[must_use]
    pub fn walls(&self, start: Start, per_reading: Length) -> Vec<Wall> {
        let drainage = &self.drainage;
        let on_the_work = matches!(start, Start::Joint | Start::Surface);
        // where the surface falls is a matter of its own: from the wall, what is not known is taken to be right
        let falls = if on_the_work || drainage.falls.len() == 1 { &drainage.falls[..] } else { &[Fall::Away] };
        let edges = if on_the_work { &drainage.edges[..] } else { &[Edge::Open] };
        let joints = if on_the_work || drainage.joints.len() == 1 { &drainage.joints[..] } else { &[Joint::Closed] };
        let mut walls = Vec::new();
        for (finish, exit, threshold) in self.foot(start, per_reading) {
            for system in &drainage.systems {
                for joint in joints {
                    for fall in falls {
                        for edge in edges {
                            walls.push(Wall {
                                system: *system,
                                exit,
                                finish,
                                ground: self
                                    .level_above(Level::Ground, Level::Finish)
                                    .map_or(finish - DOWN, |up| finish + up),
                                wood: self.wood_below_exit(per_reading).map(|below| exit - below),
                                threshold,
                                depth: self.depth.unwrap_or(OUT),
                                joint: *joint,
                                fall: *fall,
                                slope: self.fall_slope(),
                                edge: *edge,
                                drain: drainage.drain,
                                faults: drainage.faults,
                                opened: None,
                            });
                        }
                    }
                }
            }
        }
        walls
    }

    /// Finish, exit and threshold from the finish, in all cases that the answers leave open.
    fn foot(&self, start: Start, per_reading: Length) -> Vec<(Length, Length, Option<Length>)> {
        let zero = Length::ZERO;
        let range =
            |height: Option<Height>| height.map(|h| (h.up - h.tolerance(per_reading), h.up + h.tolerance(per_reading)));
        if start == Start::DoorHead {
            let Some(door) = self.door else { return Vec::new() };
            if !door {
                // no door: any wall will do to say so
                return vec![(zero, CLEAR_BY, None)];
            }
            let Some((low, high)) = range(self.height(Level::Mark, Level::Finish)) else { return Vec::new() };
            let exit = self.height(Level::Exit, Level::Finish).map_or(CLEAR_BY, |h| h.up);
            let mut list = vec![(zero, exit, Some(low))];
            // the pan under the door ends an inch below the threshold
            let lip = Length::inches(1);
            if (low > lip) != (high > lip) {
                list.push((zero, exit, Some(high)));
            }
            return list;
        }
        let threshold = self.level_above(Level::Mark, Level::Finish).filter(|_| self.door == Some(true));
        if matches!(self.level_change, LevelChange::Unknown | LevelChange::By(_))
            && self.height(Level::Exit, Level::Finish).is_some()
        {
            // elsewhere along the wall it may be covered; that is judged by the rules on the change of level
            let up = self.height(Level::Exit, Level::Finish).map_or(zero, |h| h.up);
            return vec![(zero, up, threshold)];
        }
        match range(self.height(Level::Exit, Level::Finish)) {
            // the way of a drop hangs on which of the two is higher, not on how much
            Some((low, high)) if (low > zero) == (high > zero) => vec![(zero, low, threshold)],
            Some((low, high)) => vec![(zero, low, threshold), (zero, high, threshold)],
            None if self.hidden == Some(Truth::Yes) => vec![(zero, zero - COVERED_BY, threshold)],
            None if start == Start::Surface => vec![(zero, CLEAR_BY, threshold)],
            // neither height is needed to know that it may be either way
            None if self.hidden.is_some() || self.levels.has(Level::Finish) || self.levels.has(Level::Exit) => {
                vec![(zero, CLEAR_BY, threshold), (zero, zero - COVERED_BY, threshold)]
            }
            None => Vec::new(),
        }
    }

    /// How much the surface falls away; the usual fall where that is not known, or where it falls towards the
    /// wall.
    fn fall_slope(&self) -> Slope {
        let away = match self.fall {
            Some(SaidFall::Away(drop)) => self.fall_depth.and_then(|depth| Slope::of(drop, depth)),
            _ => None,
        };
        away.filter(|slope| slope.parts() > 0).unwrap_or(Wall::new(System::Siding).slope)
    }

    fn level_above(&self, upper: Level, lower: Level) -> Option<Length> {
        self.levels.above(upper, lower).map(|h| h.up)
    }

    /// How far the wood reaches below the exit, where it does so for certain; else the barrier is taken to
    /// reach below the wood.
    fn wood_below_exit(&self, per_reading: Length) -> Option<Length> {
        let height = self.height(Level::Exit, Level::Wood)?;
        let low = height.up - height.tolerance(per_reading);
        (low > Length::ZERO).then_some(height.up)
    }
}

/// The ways from all starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Traces([Trace; Start::ALL.len()]);

impl Traces {
    /// Follows a drop from every start.
    #[must_use]
    pub fn of(site: &Site, per_reading: Length) -> Traces {
        Traces(Start::ALL.map(|start| site.trace(start, per_reading)))
    }

    /// The ways from one start.
    #[must_use]
    pub fn from(&self, start: Start) -> &Trace {
        &self.0[start as usize]
    }

    /// What the way from a start hangs on: see [`Site::walls`], which reads it.
    pub(super) fn rests(&self, start: Start) -> Parts {
        let parts: &[SitePart] = match start {
            Start::Surface => &[SitePart::Joint, SitePart::Outer, SitePart::Drain, SitePart::Leaks],
            Start::Joint => {
                &[SitePart::Joint, SitePart::Outer, SitePart::Drain, SitePart::Leaks, SitePart::Exit, SitePart::Finish]
            }
            Start::DoorHead => &[SitePart::Pan, SitePart::Door, SitePart::Finish],
            Start::Face | Start::Behind => {
                &[SitePart::System, SitePart::ChannelEnd, SitePart::Barrier, SitePart::Exit, SitePart::Finish]
            }
            // whether there is such a channel at all comes first
            Start::Channel if *self.from(start) == Trace::Absent => &[SitePart::Channels],
            Start::Channel => &[
                SitePart::Channels,
                SitePart::System,
                SitePart::ChannelEnd,
                SitePart::Barrier,
                SitePart::Exit,
                SitePart::Finish,
            ],
        };
        parts.iter().fold(Parts::default().with(SitePart::Fall), |all, part| all.with(*part))
    }

    /// Whether a drop from anywhere on the wall ends held by the work, or on wood.
    pub(super) fn held_or_on_wood(&self) -> Truth {
        let bad = |end: End| end.is_held() || end == End::OnWood;
        Start::ON_WALL.into_iter().fold(Truth::No, |any, start| any.or(self.from(start).ends(bad)))
    }
}
