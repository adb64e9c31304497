//! The answers as a wall that water runs down, with all that it may be where something is not known.

use super::facts::FactId;
use super::model::Site;
use super::parts::{Parts, SitePart};
use super::terms::{SaidFall, Strip};
use crate::flow::{Truth, Value};
use crate::names::QuestionId;
use crate::units::{Length, Slope};
use crate::wall::{Edge, Fall, Height, Joint, Level, NOMINAL, Opened, Spec, System, Usual};
use crate::water::{ENDS, End, Path, Start, end_of, path};

/// Where a drop starts that the wall alone may lead where it does harm.
const WITHIN_WALL: [Start; 3] = [Start::Face, Start::Behind, Start::Channel];

/// The parts that such a way hangs on first.
const WAY_DOWN: [SitePart; 6] =
    [SitePart::System, SitePart::ChannelEnd, SitePart::Barrier, SitePart::Wood, SitePart::Exit, SitePart::Finish];

/// An open joint, as wide as it turns out to be.
const GAP: Length = Length::ZERO;

/// One way that a drop may take, on a wall that fits the answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Traced {
    /// The wall.
    pub wall: Spec,
    /// The way.
    pub path: Path,
}

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

/// Where drops that start at one place may end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ends {
    /// Heights or cladding are not known.
    Unknown,
    /// This wall has no such place.
    Absent,
    /// At these, as bits of their places in [`ENDS`]; never none.
    Among(i64),
}

impl Ends {
    fn bit(end: End) -> i64 {
        1 << end as usize
    }

    /// The end, as rules see it: unknown if there are several.
    pub(super) fn value(self) -> Value {
        match self {
            Ends::Absent => Value::Absent,
            Ends::Among(bits) if bits.count_ones() == 1 => Value::Is(bits),
            Ends::Unknown | Ends::Among(_) => Value::Unknown,
        }
    }

    /// Whether it is such a one: unknown if it may or may not be; no where there is no such place.
    pub(super) fn are(self, such: impl Fn(End) -> bool) -> Truth {
        let Ends::Among(bits) = self else { return if self == Ends::Absent { Truth::No } else { Truth::Unknown } };
        let wanted = ENDS.iter().filter(|(end, _)| such(*end)).fold(0, |all, (end, _)| all | Ends::bit(*end));
        if bits & !wanted == 0 {
            Truth::Yes
        } else if bits & wanted == 0 {
            Truth::No
        } else {
            Truth::Unknown
        }
    }
}

impl Trace {
    fn in_the_end(&self) -> Ends {
        match self {
            Trace::Unknown => Ends::Unknown,
            Trace::Absent => Ends::Absent,
            Trace::Ways(ways) => Ends::Among(ways.iter().fold(0, |all, way| all | Ends::bit(way.path.end))),
        }
    }

    /// The end, as rules see it: unknown if there are several.
    #[must_use]
    pub fn value(&self) -> Value {
        self.in_the_end().value()
    }

    /// Whether its end is such a one: unknown if it may or may not be; no where there is no such place.
    #[must_use]
    pub fn ends(&self, such: impl Fn(End) -> bool) -> Truth {
        self.in_the_end().are(such)
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
    pub fn trace(&self, start: Start, per_reading: Length, usual: &Usual) -> Trace {
        if start == Start::Channel && self.drainage.no_channel {
            return Trace::Absent;
        }
        let walls = self.walls(start, per_reading, usual);
        if walls.is_empty() {
            return Trace::Unknown;
        }
        let ways: Vec<Traced> =
            walls.into_iter().filter_map(|wall| Some(Traced { path: path(&wall, start, usual)?, wall })).collect();
        if ways.is_empty() { Trace::Absent } else { Trace::Ways(ways) }
    }

    /// Where drops from a start end: [`Site::trace`] without the ways.
    pub(super) fn ends(&self, start: Start, per_reading: Length, usual: &Usual) -> Ends {
        if start == Start::Channel && self.drainage.no_channel {
            return Ends::Absent;
        }
        let (mut any, mut found) = (false, 0);
        self.each_wall(start, per_reading, usual, |wall| {
            any = true;
            found |= end_of(&wall, start, usual).map_or(0, Ends::bit);
        });
        match (any, found) {
            (false, _) => Ends::Unknown,
            (true, 0) => Ends::Absent,
            (true, found) => Ends::Among(found),
        }
    }

    /// The walls that fit the answers, as far as they matter to a start.
    #[must_use]
    pub fn walls(&self, start: Start, per_reading: Length, usual: &Usual) -> Vec<Spec> {
        let mut walls = Vec::new();
        self.each_wall(start, per_reading, usual, |wall| walls.push(wall));
        walls
    }

    fn each_wall(&self, start: Start, per_reading: Length, usual: &Usual, mut each: impl FnMut(Spec)) {
        let drainage = &self.drainage;
        let on_the_work = matches!(start, Start::Joint | Start::Surface);
        // where the surface falls is a matter of its own: from the wall, what is not known is taken to be right
        let falls = if on_the_work || drainage.falls.len() == 1 { &drainage.falls[..] } else { &[Fall::Away] };
        let edges = if on_the_work { &drainage.edges[..] } else { &[Edge::Open] };
        let mut joints =
            if on_the_work || drainage.joints.len() == 1 { &drainage.joints[..] } else { &[Joint::Closed] };
        // on the work itself a joint at which nobody looked may have opened
        let opened = [joints.first().copied().unwrap_or(Joint::Closed), Joint::Touching];
        if on_the_work && drainage.joint_unseen && joints.len() == 1 {
            joints = &opened;
        }
        let feet = self.foot(start, per_reading, usual);
        let ground = self.level_above(Level::Ground, Level::Finish).unwrap_or(-usual.ground_below);
        let wood_below = self.wood_below_exit(per_reading);
        let (depth, slope) = (self.depth.unwrap_or(usual.depth), self.fall_slope(usual));
        let (strip, gap) = self.strip_before(start, usual);
        let joints = if strip.is_some() { &[Joint::Open(GAP)][..] } else { joints };
        for (finish, exit, threshold) in feet {
            // heights of the wall count from the bottom of the strip
            let up = if start == Start::DoorHead { Length::ZERO } else { strip.unwrap_or(Length::ZERO) };
            let (finish, threshold) = (finish + up, threshold.map(|threshold| threshold + up));
            for system in &drainage.systems {
                for joint in joints {
                    for fall in falls {
                        for edge in edges {
                            each(Spec {
                                system: *system,
                                core: self.core,
                                exit,
                                finish,
                                ground: finish + ground,
                                wood: wood_below.map(|below| exit - below),
                                threshold,
                                depth,
                                steps: None,
                                joint: if let Joint::Open(_) = joint { Joint::Open(gap) } else { *joint },
                                strip,
                                fall: *fall,
                                slope,
                                edge: *edge,
                                drain: drainage.drain,
                                faults: drainage.faults,
                                opened: self.opened(*system, exit - finish),
                            });
                        }
                    }
                }
            }
        }
    }

    /// The questions that the way down the wall from a start hangs on, where it is the same at any joint.
    pub(crate) fn read_at_any_joint(&self, start: Start) -> impl Iterator<Item = QuestionId> + '_ {
        use SitePart::{Depth, Drain, Fall, HasStrip, Joint, Outer, Strip};
        let fact = match start {
            Start::Face => FactId::TraceFace,
            Start::Behind => FactId::TraceBehind,
            Start::DoorHead => FactId::TraceDoorHead,
            Start::Channel => FactId::TraceChannel,
            Start::Joint => FactId::TraceJoint,
            Start::Surface => FactId::TraceSurface,
        };
        let of_joint = |part: SitePart| matches!(part, Depth | Drain | Fall | HasStrip | Joint | Outer | Strip);
        self.reads_behind(fact).filter(move |(part, _)| !of_joint(*part)).map(|(_, question)| question)
    }

    /// From which places within the wall a drop may end badly whatever the joint is, with or without a strip, or a channel along the wall:
    /// at each joint from one of them. None where some joint takes all of it. Which way the surface falls, and what is at its edge,
    /// counts only for a drop that has come onto it, and such a drop runs off one that falls away.
    pub(crate) fn bad_at_any_joint(&self, per_reading: Length, usual: &Usual) -> Vec<Start> {
        // before boards on posts a gap may show the wall the ground
        if self.feature.is_none_or(|feature| feature.on_posts) {
            return Vec::new();
        }
        let starts = WITHIN_WALL.into_iter().filter(|start| *start != Start::Channel || !self.drainage.no_channel);
        let walls: Vec<(Start, Vec<Spec>)> =
            starts.map(|start| (start, self.walls(start, per_reading, usual))).collect();
        let strips = [usual.drain_depth, usual.exit_clear + usual.door_height];
        let open = strips.map(|depth| (Joint::Open(usual.drain_width), Some(depth)));
        let closed = [Joint::Open(usual.open_gap), Joint::Touching, Joint::Closed].map(|joint| (joint, None));
        let mut found: Vec<Start> = Vec::new();
        for (joint, strip) in open.into_iter().chain(closed) {
            for (drain, fall) in [(false, Fall::Away), (true, Fall::Level)] {
                let is_bad = |wall: &Spec, start: Start| {
                    let wall = Spec { joint, strip, drain, fall, edge: Edge::Open, ..*wall };
                    end_of(&wall, start, usual).is_some_and(End::is_bad)
                };
                let mut from = walls.iter().filter(|(start, walls)| walls.iter().any(|wall| is_bad(wall, *start)));
                let Some((start, _)) = from.next() else { return Vec::new() };
                if !found.contains(start) {
                    found.push(*start);
                }
            }
        }
        found
    }

    /// How far below the surface an open, drained strip before the wall lies, or a drained channel before the door, and
    /// how wide an open joint is.
    fn strip_before(&self, start: Start, usual: &Usual) -> (Option<Length>, Length) {
        if start == Start::DoorHead {
            return if self.drainage.door_channel {
                (Some(usual.drain_depth), usual.drain_width)
            } else {
                (None, usual.open_gap)
            };
        }
        let strip = match self.strip {
            Strip::Below(depth) => Some(depth),
            Strip::Ground => self.level_above(Level::Finish, Level::Ground).filter(|depth| *depth > Length::ZERO),
            Strip::None | Strip::Unknown => None,
        };
        if self.faces_ground() {
            return (strip, usual.open_gap);
        }
        // nobody is asked how wide a strip is: it is drawn as wide as a channel
        (strip, if strip.is_some() { usual.drain_width } else { usual.open_gap })
    }

    /// The foot of a wall that was opened and closed again, where it stands clear of the surface.
    fn opened(&self, system: System, clear: Length) -> Option<Opened> {
        (self.drainage.repaired && system != System::Masonry && clear > Length::ZERO).then_some(Opened { clear })
    }

    /// The wall as far as anything is known of it, with all heights at zero. Of what it may be, it is the first; where
    /// no cladding is known, it is sided.
    #[must_use]
    pub fn plain_wall(&self, usual: &Usual) -> Spec {
        let drainage = &self.drainage;
        let (strip, gap) = self.strip_before(Start::Face, usual);
        Spec {
            strip,
            joint: match drainage.joints[..] {
                [Joint::Open(_)] => Joint::Open(gap),
                [joint] => joint,
                _ => Joint::Closed,
            },
            depth: self.depth.unwrap_or(usual.depth),
            slope: self.fall_slope(usual),
            core: self.core,
            drain: drainage.drain,
            faults: drainage.faults,
            ..Spec::new(drainage.systems.first().copied().unwrap_or(System::Siding), usual)
        }
    }

    /// Finish, exit and threshold from the finish, in all cases that the answers leave open.
    fn foot(&self, start: Start, per_reading: Length, usual: &Usual) -> Vec<(Length, Length, Option<Length>)> {
        let zero = Length::ZERO;
        let range =
            |height: Option<Height>| height.map(|h| (h.up - h.tolerance(per_reading), h.up + h.tolerance(per_reading)));
        if start == Start::DoorHead {
            let Some(door) = self.door else { return Vec::new() };
            if !door {
                // no door: any wall will do to say so
                return vec![(zero, usual.exit_clear, None)];
            }
            let Some((low, high)) = range(self.height(Level::Mark, Level::Finish)) else { return Vec::new() };
            let exit = self.height(Level::Exit, Level::Finish).map_or(usual.exit_clear, |h| h.up);
            let mut list = vec![(zero, exit, Some(low))];
            // the pan under the door lets out a little below the threshold
            let lip = usual.sill_below;
            if (low > lip) != (high > lip) {
                list.push((zero, exit, Some(high)));
            }
            return list;
        }
        let threshold = self.level_above(Level::Mark, Level::Finish).filter(|_| self.door == Some(true));
        if self.no_exit {
            // nothing leaves such a wall: what counts is where the rain on its face meets the work
            return vec![(zero, usual.exit_clear, threshold)];
        }
        let covered = zero - usual.exit_covered;
        match self.exit_over_finish(per_reading) {
            // the way of a drop hangs on which of the two is higher, not on how much
            Some((low, Some(high))) if high <= zero => vec![(zero, low.unwrap_or(covered.min(high)), threshold)],
            Some((Some(low), _)) if low > zero => vec![(zero, low.max(NOMINAL), threshold)],
            Some((low, high)) => {
                vec![(zero, low.unwrap_or(covered), threshold), (zero, high.unwrap_or(usual.exit_clear), threshold)]
            }
            None if self.hidden == Some(Truth::Yes) => vec![(zero, covered, threshold)],
            None if start == Start::Surface => vec![(zero, usual.exit_clear, threshold)],
            // neither height is needed to know that it may be either way
            None if self.hidden.is_some() || self.levels.has(Level::Finish) || self.levels.has(Level::Exit) => {
                vec![(zero, usual.exit_clear, threshold), (zero, covered, threshold)]
            }
            None => Vec::new(),
        }
    }

    /// Between what the exit stands over the finish, at the worst place of the wall too; `None` for no bound on a side.
    pub(super) fn exit_over_finish(&self, per_reading: Length) -> Option<(Option<Length>, Option<Length>)> {
        if let Some(above) = self.no_higher_than(Level::Exit) {
            let (_, before) = self.facing(Level::Exit, Level::Finish);
            if above == before {
                return Some((None, Some(Length::ZERO)));
            }
            let height = self.height(above, before)?;
            let strip = self.strip_between(Level::Exit, Level::Finish)?;
            return Some((None, Some(height.up + strip + height.tolerance(per_reading))));
        }
        let height = self.height(Level::Exit, Level::Finish)?;
        let off = height.tolerance(per_reading);
        let low = self.elsewhere(Level::Exit, Level::Finish).most().map(|change| height.up - off - change);
        Some((low, Some(height.up + off)))
    }

    /// How much the surface falls away; the usual fall where that is not known, or where it falls towards the
    /// wall.
    fn fall_slope(&self, usual: &Usual) -> Slope {
        let away = match self.fall {
            Some(SaidFall::Away(drop)) => self.fall_depth.and_then(|depth| Slope::of(drop, depth)),
            _ => None,
        };
        away.filter(|slope| slope.parts() > 0).unwrap_or(usual.fall)
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
    pub fn of(site: &Site, per_reading: Length, usual: &Usual) -> Traces {
        Traces(Start::ALL.map(|start| site.trace(start, per_reading, usual)))
    }

    /// The ways from one start.
    #[must_use]
    pub fn from(&self, start: Start) -> &Trace {
        &self.0[start as usize]
    }
}

/// Where drops from all starts end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct AllEnds([Ends; Start::ALL.len()]);

impl AllEnds {
    /// Follows a drop from every start.
    pub(super) fn of(site: &Site, per_reading: Length, usual: &Usual) -> AllEnds {
        AllEnds(Start::ALL.map(|start| site.ends(start, per_reading, usual)))
    }

    /// From one start.
    pub(super) fn from(&self, start: Start) -> Ends {
        self.0[start as usize]
    }

    /// What the way from a start hangs on: see [`Site::walls`], which reads it.
    pub(super) fn rests(&self, start: Start) -> Parts {
        let parts: &[SitePart] = match start {
            Start::Surface => &[SitePart::Joint, SitePart::Outer, SitePart::Drain, SitePart::Leaks],
            Start::Joint => &[
                SitePart::Joint,
                SitePart::Strip,
                SitePart::Outer,
                SitePart::Drain,
                SitePart::Leaks,
                SitePart::Exit,
                SitePart::Finish,
            ],
            Start::DoorHead => &[SitePart::Pan, SitePart::Door, SitePart::Finish],
            // whether there is such a channel at all comes first
            Start::Channel if self.from(start) == Ends::Absent => &[],
            Start::Face | Start::Behind | Start::Channel => &WAY_DOWN,
        };
        // what is measured at one place may be otherwise elsewhere along the wall
        let parts = parts.iter().fold(Parts::default().with(SitePart::Fall), |all, part| all.with(*part));
        let parts = if WITHIN_WALL.contains(&start) { parts.with(SitePart::Strip) } else { parts };
        let parts = if start == Start::Channel { parts.with(SitePart::Channels) } else { parts };
        if parts.has(SitePart::Exit) { parts.with(SitePart::Slope).with(SitePart::Length) } else { parts }
    }

    /// What the way from a start hangs on besides, and what does not keep it from being known: everything that the wall is built from
    /// ([`Site::walls`]) and that lies where the drop comes by.
    pub(super) fn besides(&self, start: Start) -> Parts {
        use SitePart::{
            ChannelEnd, Drain, Exit, Fall, Finish, Ground, Joint, Leaks, NoExit, Outer, Pan, Stage, Strip, System, Wood,
        };
        let parts = Parts::default().with_all(&[Fall, Finish, Ground, Joint, Drain, Leaks, Stage, Strip, System]);
        match start {
            Start::Channel if self.from(start) == Ends::Absent => {
                Parts::default().with_all(&[SitePart::Channels, SitePart::Door, System])
            }
            Start::DoorHead => parts.with_all(&[Pan]),
            Start::Face | Start::Behind => parts.with_all(&[Exit, NoExit, Wood]),
            Start::Channel => parts.with_all(&[Exit, NoExit, Wood, ChannelEnd, SitePart::Door]),
            Start::Joint | Start::Surface => {
                parts.with_all(&[Exit, NoExit, Wood, Outer, SitePart::Slope, SitePart::Length])
            }
        }
    }

    /// Whether a drop from anywhere, on the wall, in the joint or on the surface, ends held by the work, or on wood.
    pub(super) fn held_or_on_wood(&self) -> Truth {
        Start::ALL.into_iter().fold(Truth::No, |any, start| any.or(self.from(start).are(End::is_bad)))
    }
}
