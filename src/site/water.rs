//! The answers as a wall that water runs down, with all that it may be where something is not known.

use super::read::Look;
use super::{Fall as Fell, LevelChange, Outer, Site};
use crate::flow::{Answer, Truth, Value};
use crate::units::{Length, Slope};
use crate::wall::{Edge, Fall, Fault, Faults, Height, Joint, Level, Spec, System, Usual};
use crate::water::{ENDS, End, Path, Start, path};

/// What the answers say of the wall's drainage. Where there are several of something, it is one of them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Drainage {
    systems: Vec<System>,
    joints: Vec<Joint>,
    falls: Vec<Fall>,
    edges: Vec<Edge>,
    /// What is known to be wrong.
    pub faults: Faults,
    /// Whether a drain channel is there or planned.
    pub drain: bool,
    /// Whether it is known that no channel of siding, beside a door or window, is near.
    no_channel: bool,
}

impl Drainage {
    /// Whether it is known how the wall drains.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        self.systems.len() == 1
    }
}

/// One way that a drop may take, on a wall that fits the answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Traced {
    /// The wall.
    pub wall: Spec,
    /// The way.
    pub path: Path,
}

/// An open gap whose width nobody measured: `Site::walls` gives it the usual one.
const GAP: Length = Length::ZERO;

pub(super) fn drainage(look: &Look<'_>, fall: Option<Fell>, outer: Outer) -> Drainage {
    let said = |id: &str, choice: &str| look.choice(id) == Some(choice);
    let yes = |id: &str| matches!(look.answer(id), Some(Answer::YesNo(true)));
    let faults = [
        (Fault::Hollow, yes("void_behind")),
        (Fault::JointOpen, yes("surface_gap_open")),
        (Fault::ChannelBehind, said("channel_end", "behind_work")),
        (Fault::PanMissing, said("door_sill_pan", "absent")),
        (Fault::BarrierMissing, said("barrier", "none")),
    ];
    let faults = faults.into_iter().filter(|(_, there)| *there).fold(Faults::NONE, |all, (fault, _)| all.with(fault));
    Drainage {
        systems: systems(look),
        joints: match look.choice("joint") {
            Some("tight" | "isolation_joint") => vec![Joint::Touching],
            Some("open_gap") => vec![Joint::Open(GAP)],
            Some("sealed") => vec![Joint::Closed],
            Some("flashing") => vec![Joint::Covered],
            _ => vec![Joint::Touching, Joint::Closed, Joint::Open(GAP)],
        },
        falls: match fall {
            Some(Fell::Away(drop)) if drop > Length::ZERO => vec![Fall::Away],
            _ if said("fall_direction", "along") => vec![Fall::Along],
            Some(Fell::Away(_) | Fell::None) => vec![Fall::Level],
            Some(Fell::Towards) => vec![Fall::Towards],
            None => vec![Fall::Away, Fall::Level, Fall::Towards],
        },
        edges: match outer {
            Outer::Drop(_) => vec![Edge::Open],
            Outer::NoEdge | Outer::Below(_) => vec![Edge::Dammed],
            Outer::Unknown => vec![Edge::Open, Edge::Dammed],
        },
        faults,
        drain: yes("drain_channel"),
        no_channel: no_channel(look),
    }
}

/// Siding ends in channels beside doors and windows: none where there is neither.
fn no_channel(look: &Look<'_>) -> bool {
    if let Some(end) = look.choice("channel_end") {
        return end == "no_channel";
    }
    let window = look.marked("wall_things", "low_window").unwrap_or(true)
        || look.marked("wall_things", "other_door").unwrap_or(true);
    look.choice("door") == Some("none") && !window
}

/// The drainage systems that fit the answers; none without a cladding.
fn systems(look: &Look<'_>) -> Vec<System> {
    let coats = || match look.choice("weep_screed") {
        Some("present") => vec![System::Coat { screed: true }],
        Some("absent") => vec![System::Coat { screed: false }],
        _ => vec![System::Coat { screed: true }, System::Coat { screed: false }],
    };
    match look.choice("cladding") {
        Some("stucco" | "adhered_stone") => match look.choice("stucco_backing") {
            Some("masonry") => vec![System::Masonry],
            Some("frame") => coats(),
            _ => [coats(), vec![System::Masonry]].concat(),
        },
        Some("brick_veneer" | "stone_veneer") => {
            let weeps: &[bool] = match look.choice("veneer_weeps") {
                Some("seen") => &[true],
                Some("none_seen") => &[false],
                _ => &[true, false],
            };
            // no edge to be seen may still mean a flashing that was cut off inside the joint
            let flashings: &[bool] =
                if look.choice("veneer_flashing") == Some("seen") { &[true] } else { &[true, false] };
            let all = weeps.iter().flat_map(|w| flashings.iter().map(|f| (*w, *f)));
            all.map(|(weeps, flashing)| System::Veneer { flashing, weeps }).collect()
        }
        Some("solid_masonry") => vec![System::Masonry],
        Some("eifs") => match look.choice("eifs_drained") {
            Some("drained") => vec![System::Foam { drained: true }],
            Some("barrier") => vec![System::Foam { drained: false }],
            _ => vec![System::Foam { drained: true }, System::Foam { drained: false }],
        },
        Some(_) => vec![System::Siding],
        None => Vec::new(),
    }
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

/// Words of the ends, for the vocabulary.
pub(super) const END_WORDS: &[&str] = &{
    let mut words = [""; ENDS.len()];
    let mut i = 0;
    while i < ENDS.len() {
        words[i] = ENDS[i].1;
        i += 1;
    }
    words
};

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

    /// The walls that fit the answers, as far as they matter to a start.
    #[must_use]
    pub fn walls(&self, start: Start, per_reading: Length, usual: &Usual) -> Vec<Spec> {
        let drainage = &self.drainage;
        let on_the_work = matches!(start, Start::Joint | Start::Surface);
        // where the surface falls is a matter of its own: from the wall, what is not known is taken to be right
        let falls = if on_the_work || drainage.falls.len() == 1 { &drainage.falls[..] } else { &[Fall::Away] };
        let edges = if on_the_work { &drainage.edges[..] } else { &[Edge::Open] };
        let joints = if on_the_work || drainage.joints.len() == 1 { &drainage.joints[..] } else { &[Joint::Closed] };
        let feet = self.foot(start, per_reading, usual);
        let mut walls =
            Vec::with_capacity(feet.len() * drainage.systems.len() * joints.len() * falls.len() * edges.len());
        let ground = self.level_above(Level::Ground, Level::Finish).unwrap_or(-usual.ground_below);
        let wood_below = self.wood_below_exit(per_reading);
        let (depth, slope) = (self.depth.unwrap_or(usual.depth), self.fall_slope(usual));
        for (finish, exit, threshold) in feet {
            for system in &drainage.systems {
                for joint in joints {
                    for fall in falls {
                        for edge in edges {
                            walls.push(Spec {
                                system: *system,
                                exit,
                                finish,
                                ground: finish + ground,
                                wood: wood_below.map(|below| exit - below),
                                threshold,
                                depth,
                                steps: None,
                                joint: if let Joint::Open(_) = joint { Joint::Open(usual.open_gap) } else { *joint },
                                fall: *fall,
                                slope,
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

    /// The wall as far as anything is known of it, with all heights at zero. Of what it may be, it is the first; where
    /// no cladding is known, it is sided.
    #[must_use]
    pub fn plain_wall(&self, usual: &Usual) -> Spec {
        let drainage = &self.drainage;
        Spec {
            joint: match drainage.joints[..] {
                [Joint::Open(_)] => Joint::Open(usual.open_gap),
                [joint] => joint,
                _ => Joint::Closed,
            },
            depth: self.depth.unwrap_or(usual.depth),
            slope: self.fall_slope(usual),
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
            None if self.hidden == Some(Truth::Yes) => vec![(zero, zero - usual.exit_covered, threshold)],
            None if start == Start::Surface => vec![(zero, usual.exit_clear, threshold)],
            // neither height is needed to know that it may be either way
            None if self.hidden.is_some() || self.levels.has(Level::Finish) || self.levels.has(Level::Exit) => {
                vec![(zero, usual.exit_clear, threshold), (zero, zero - usual.exit_covered, threshold)]
            }
            None => Vec::new(),
        }
    }

    /// How much the surface falls away; the usual fall where that is not known, or where it falls towards the
    /// wall.
    fn fall_slope(&self, usual: &Usual) -> Slope {
        let away = match self.fall {
            Some(Fell::Away(drop)) => self.fall_depth.and_then(|depth| Slope::of(drop, depth)),
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

    /// Whether a drop from behind the cladding or from a channel is held by the work.
    pub(super) fn held_behind(&self) -> Truth {
        self.from(Start::Behind).ends(is_held).or(self.from(Start::Channel).ends(is_held))
    }

    /// Whether a drop from behind the trim at a door is held by the work.
    pub(super) fn held_at_door(&self) -> Truth {
        self.from(Start::DoorHead).ends(is_held)
    }

    /// Whether drops from all places of the wall end outside.
    pub(super) fn all_outside(&self) -> Truth {
        let wall = [Start::Face, Start::Behind, Start::DoorHead, Start::Channel];
        wall.into_iter()
            .map(|start| self.from(start))
            .filter(|trace| **trace != Trace::Absent)
            .fold(Truth::Yes, |all, trace| all.and(trace.ends(End::leaves_wall)))
    }
}

fn is_held(end: End) -> bool {
    matches!(end, End::BehindWork | End::InVoid)
}
