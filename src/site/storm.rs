//! A drain channel beside the water that comes to it in a hard storm.

use super::look::Look;
use super::parts::SitePart;
use crate::flow::{FAR, Truth, Value};
use crate::names::{Downspout, FallSaid, QuestionId, RoofEdge};
use crate::units::{Area, Length, Slope};
use crate::water::{Channel, Discharge, Runoff};

/// How many kinds of channel may have a roughness of their own; of the others nobody knows what they carry.
pub const MOST_KINDS: usize = 16;

/// What a hard storm is reckoned with.
#[derive(Debug, Clone, Copy)]
pub struct Storm {
    /// Rain in an hour, where nobody said.
    pub rain_hour: Length,
    /// The height of the wall above the work.
    pub wall_height: Length,
    /// What part runs off a wall, a roof, a roof by its downspout, and a surface, in thousandths.
    pub parts: [i64; 4],
    /// Manning's n by kind of channel, in thousandths; 0 for a kind without one.
    pub roughness: [u16; MOST_KINDS],
}

/// What is said of a drain channel and of what rain comes to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StormSaid {
    /// Its inner width; no value where there is no channel.
    width: Value,
    depth: Value,
    drop: Value,
    kind: Value,
    rain_hour: Value,
    length: Value,
    /// What besides the wall: an area, each as two lengths, and whether its water comes here.
    areas: [(Truth, [Value; 2]); 3],
    /// Whether one of the questions behind that waits for its answer.
    waits: bool,
}

impl Default for StormSaid {
    fn default() -> StormSaid {
        StormSaid::without(Value::Unknown)
    }
}

impl StormSaid {
    /// Where nothing else is looked at.
    fn without(width: Value) -> StormSaid {
        let no = Value::Unknown;
        StormSaid {
            width,
            depth: no,
            drop: no,
            kind: no,
            rain_hour: no,
            length: no,
            areas: [(Truth::Unknown, [no; 2]); 3],
            waits: false,
        }
    }

    pub(super) fn read(look: &Look<'_>) -> StormSaid {
        use QuestionId as Q;
        let width = look.at(SitePart::Storm).value(Q::ChannelWidth);
        if width == Value::Absent {
            return StormSaid::without(width);
        }
        let [depth, drop, kind] = [Q::ChannelDepth, Q::ChannelDrop, Q::ChannelKind].map(|id| look.value(id));
        let [rain_hour, length, out] = [Q::RainHour, Q::FeatureLength, Q::FeatureDepth].map(|id| look.value(id));
        let [run, gutter] = [Q::RoofRun, Q::GutterLength].map(|id| look.value(id));
        let said = |so: Option<bool>| so.map_or(Truth::Unknown, Truth::from);
        let roof = said(look.choice::<RoofEdge>().map(|edge| edge == RoofEdge::NoGutter));
        let spout = said(look.choice::<Downspout>().map(|end| end == Downspout::OntoSurface));
        let towards = said(look.choice::<FallSaid>().map(|fall| fall == FallSaid::Towards));
        let covered = match look.value(Q::Covered) {
            Value::Is(_) => Truth::from(look.yes(Q::Covered)),
            // where nobody asks there is no roof over it
            Value::Absent => Truth::No,
            _ => Truth::Unknown,
        };
        let asked = [Q::RoofEdge, Q::Downspout, Q::FallDirection, Q::Covered].map(|id| look.value(id));
        let all = [width, depth, drop, kind, rain_hour, length, out, run, gutter];
        let waits = all.iter().chain(&asked).any(|value| *value == Value::Unasked);
        // what is not asked of this place brings no water
        let [roof, spout, towards] = [(roof, 0), (spout, 1), (towards, 2)]
            .map(|(so, at)| if asked[at] == Value::Absent { Truth::No } else { so });
        let areas = [(roof, [length, run]), (spout, [gutter, run]), (towards.and(!covered), [length, out])];
        StormSaid { width, depth, drop, kind, rain_hour, length, areas, waits }
    }

    /// How many times the water of a hard storm the channel carries, in thousandths.
    pub(super) fn times(&self, storm: &Storm) -> Value {
        if self.width == Value::Absent {
            return Value::Absent;
        }
        if self.waits {
            return Value::Unasked;
        }
        if self.drop.known() == Some(0) {
            return Value::Is(0);
        }
        let Some(carries) = self.carries(storm) else { return Value::Unknown };
        let Some((least, most)) = self.comes(storm) else { return Value::Unknown };
        let times = |load: Discharge| {
            let load = load.as_cubic_metres_per_second();
            #[allow(clippy::cast_possible_truncation)] // rounded towards what is worse, and held below FAR
            let parts = (carries.as_cubic_metres_per_second() / load * 1000.0).floor().min(1e12) as i64;
            if load > 0.0 { parts } else { FAR }
        };
        match most.map(times) {
            Some(low) if low == times(least) && low != FAR => Value::Is(low),
            low => Value::Between(low.unwrap_or(0), times(least)),
        }
    }

    /// What it carries, running full; nothing where there is none, it is level along, or its size is not known.
    pub(super) fn carries(&self, storm: &Storm) -> Option<Discharge> {
        let [width, depth, drop, length] =
            [self.width, self.depth, self.drop, self.length].map(|value| value.known().map(Length::from_steps));
        let kind = usize::try_from(self.kind.known()?.trailing_zeros()).ok()?;
        let roughness = storm.roughness.get(kind).filter(|n| **n > 0)?;
        let roughness = f64::from(*roughness) / 1000.0;
        let slope = Slope::of(drop?, length?)?;
        Some(Channel { width: width?, depth: depth?, slope, roughness }.carries()?.flow)
    }

    /// The least and the most that may come; no bound above where an area is not known that may bring water.
    fn comes(&self, storm: &Storm) -> Option<(Discharge, Option<Discharge>)> {
        let rain = self.rain_hour.known().map_or(storm.rain_hour, Length::from_steps);
        let flow = |area: Area, part: i64| {
            #[allow(clippy::cast_precision_loss)] // thousandths
            let coefficient = part as f64 / 1000.0;
            Runoff { area, coefficient }.flow(rain)
        };
        let wall = flow(Length::from_steps(self.length.known()?).by(storm.wall_height), storm.parts[0]);
        let (mut least, mut most) = (wall, Some(wall));
        for ((so, sides), part) in self.areas.iter().zip(&storm.parts[1..]) {
            if *so == Truth::No {
                continue;
            }
            let area = match sides {
                [Value::Is(one), Value::Is(other)] => Some(Length::from_steps(*one).by(Length::from_steps(*other))),
                _ => None,
            };
            let more = area.map(|area| flow(area, *part));
            most = most.zip(more).map(|(most, more)| most + more);
            if let (Truth::Yes, Some(more)) = (so, more) {
                least = least + more;
            }
        }
        Some((least, most))
    }
}
