//! Rows of the content about water: suspected paths, what may come to light, loads.

use super::rows::{Origin, RowReader};
use super::works::Must;
use crate::flow::{Condition, Fields, Node};
use crate::names::{LoadId, Named, RunoffId, UsualId};
use crate::pack::{Text, packed};
use crate::units::{Length, Slope};
use crate::wall::{Fault, Faults, Usual};
use crate::water::Start;

/// A way by which water may get into a built wall.
#[derive(Debug, Clone)]
pub struct Suspect {
    /// Its id.
    pub id: Text,
    /// Where its drop starts; nothing for water that does not come through the foot of the wall.
    pub start: Option<Start>,
    /// What would have to be wrong.
    pub faults: Faults,
    /// When it can exist.
    pub when: Condition,
    /// What it is.
    pub what: Text,
    /// What speaks for it.
    pub speaks_for: Vec<Evidence>,
    /// What speaks against it.
    pub speaks_against: Vec<Evidence>,
    /// How to look, with the least damage.
    pub look: Text,
    /// How much damage that does: 0 none to 5 concrete taken out.
    pub damage: i64,
    /// What to wet in a hose test.
    pub wet: Text,
}

packed!(struct Suspect { id, start, faults, when, what, speaks_for, speaks_against, look, damage, wet });

/// Something that speaks for or against a suspect.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// When it does.
    pub when: Condition,
    /// What it is.
    pub say: Text,
    /// How much it weighs.
    pub weight: i64,
}

packed!(struct Evidence { when, say, weight });

/// A remark that is made when it holds.
#[derive(Debug, Clone)]
pub struct Remark {
    /// Its id.
    pub id: Text,
    /// When it holds.
    pub when: Condition,
    /// The remark.
    pub say: Text,
}

packed!(struct Remark { id, when, say });

/// A default of the load.
#[derive(Debug, Clone)]
pub struct LoadDefault {
    /// Its id.
    pub id: Text,
    /// What it is.
    pub what: Text,
    /// The default.
    pub length: Length,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct LoadDefault { id, what, length, origin });

/// What part of the rain runs off something.
#[derive(Debug, Clone)]
pub struct RunoffRow {
    /// Its id.
    pub id: Text,
    /// What it is.
    pub what: Text,
    /// The part, in thousandths.
    pub part: i64,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct RunoffRow { id, what, part, origin });

/// A figure of the trade that a wall is built with where nobody measured or said.
#[derive(Debug, Clone)]
pub struct UsualRow {
    /// Which it is: each fills a field of [`Usual`].
    pub id: UsualId,
    /// What it is. Only authors read it, so it has no translation.
    pub what: Text,
    /// The figure.
    pub figure: UsualFigure,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct UsualRow { id, what, figure, origin });

/// What kind of figure it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UsualFigure {
    /// A length.
    Length(Length),
    /// A slope.
    Slope(Slope),
}

packed!(enum UsualFigure { 0: Length(one), 1: Slope(one) });

/// The roughness of a channel.
#[derive(Debug, Clone)]
pub struct RoughnessRow {
    /// The kind of channel, by its place among the choices.
    pub kind: usize,
    /// Manning's n, in thousandths.
    pub n: i64,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct RoughnessRow { kind, n, origin });

const STARTS: [(&str, Start); 6] = [
    ("face", Start::Face),
    ("behind", Start::Behind),
    ("door_head", Start::DoorHead),
    ("channel", Start::Channel),
    ("joint", Start::Joint),
    ("surface", Start::Surface),
];

const FAULTS: [(&str, Fault); 11] = [
    ("flashing_missing", Fault::FlashingMissing),
    ("flashing_in_front", Fault::FlashingInFront),
    ("flashing_leans_in", Fault::FlashingLeansIn),
    ("barrier_short", Fault::BarrierShort),
    ("barrier_missing", Fault::BarrierMissing),
    ("channel_behind", Fault::ChannelBehind),
    ("head_not_lapped", Fault::HeadNotLapped),
    ("pan_missing", Fault::PanMissing),
    ("hollow", Fault::Hollow),
    ("joint_open", Fault::JointOpen),
    ("roof_end_inside", Fault::RoofEndInside),
];

fn texts<T: Named>() -> Vec<(&'static str, &'static str)> {
    T::ALL.iter().map(|id| (id.text(), id.text())).collect()
}

impl RowReader<'_> {
    pub(crate) fn suspect(&mut self, node: &Node<'_>) -> Option<Suspect> {
        let mut fields = Fields::of(node, "a path of water", self.diags)?;
        let id = self.id(&mut fields, "path");
        let start = fields.word("start", &STARTS, self.diags);
        let faults = fields.words("faults", &FAULTS, self.diags).into_iter().fold(Faults::NONE, Faults::with);
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let speaks_for = self.evidence(&mut fields, "for");
        let speaks_against = self.evidence(&mut fields, "against");
        let look = self.text(&mut fields, "look", true);
        let damage = fields.need_whole("damage", self.diags).unwrap_or(0);
        let wet = self.text(&mut fields, "wet", start.is_some());
        fields.finish(self.diags);
        let (id, place) = id?;
        if start.is_none() && faults != Faults::NONE {
            self.diags.error(place, format!("the path `{id}` has faults but no `start:`, so no drop can meet them"));
        }
        Some(Suspect { id, start, faults, when, what, speaks_for, speaks_against, look, damage, wet })
    }

    fn evidence(&mut self, fields: &mut Fields<'_, '_>, name: &'static str) -> Vec<Evidence> {
        let nodes = fields.list(name, self.diags);
        let read = |node: &Node<'_>| {
            let mut fields = Fields::of(node, "a piece of evidence", self.diags)?;
            let when = self.when(&mut fields);
            let say = self.text(&mut fields, "say", true);
            let weight = fields.whole("weight", self.diags).unwrap_or(1);
            fields.finish(self.diags);
            Some(Evidence { when, say, weight })
        };
        nodes.iter().filter_map(read).collect()
    }

    pub(crate) fn remark(&mut self, node: &Node<'_>, kind: &'static str) -> Option<Remark> {
        let mut fields = Fields::of(node, "a remark", self.diags)?;
        let id = self.id(&mut fields, kind);
        let when = self.when(&mut fields);
        let say = self.text(&mut fields, "say", true);
        fields.finish(self.diags);
        Some(Remark { id: id?.0, when, say })
    }

    pub(crate) fn load_default(&mut self, node: &Node<'_>) -> Option<LoadDefault> {
        let mut fields = Fields::of(node, "a load", self.diags)?;
        let id = fields.need_word("id", &texts::<LoadId>(), self.diags).map(str::to_owned);
        let place = fields.place();
        let what = self.text(&mut fields, "what", true);
        let length = fields.need("length", self.diags).and_then(|node| self.length_of(node));
        let origin = self.origin(&mut fields, "load", id.as_deref(), Must::Figure);
        fields.finish(self.diags);
        let id = id.filter(|id| self.once(id, place, "load"))?;
        Some(LoadDefault { id: id.into(), what, length: length?, origin })
    }

    pub(crate) fn runoff(&mut self, node: &Node<'_>) -> Option<RunoffRow> {
        let mut fields = Fields::of(node, "a part that runs off", self.diags)?;
        let id = fields.need_word("id", &texts::<RunoffId>(), self.diags).map(str::to_owned);
        let place = fields.place();
        let what = self.text(&mut fields, "what", true);
        let part = fields.decimal("part", self.diags);
        let origin = self.origin(&mut fields, "runoff", id.as_deref(), Must::Figure);
        fields.finish(self.diags);
        let id = id.filter(|id| self.once(id, place, "runoff"))?;
        Some(RunoffRow { id: id.into(), what, part: part?, origin })
    }

    pub(crate) fn usual_row(&mut self, node: &Node<'_>) -> Option<UsualRow> {
        let mut fields = Fields::of(node, "a usual figure", self.diags)?;
        let known: Vec<(&str, UsualId)> = UsualId::ALL.iter().map(|id| (id.text(), *id)).collect();
        let id = fields.need_word("id", &known, self.diags);
        let place = fields.place();
        let what = self.text(&mut fields, "what", true);
        let figure = if id.is_some_and(UsualId::is_slope) {
            fields.need("slope", self.diags).and_then(|node| self.slope_of(node)).map(UsualFigure::Slope)
        } else {
            fields.need("length", self.diags).and_then(|node| self.length_of(node)).map(UsualFigure::Length)
        };
        let origin = self.origin(&mut fields, "usual figure", id.map(UsualId::text), Must::Figure);
        fields.finish(self.diags);
        let id = id.filter(|id| self.once(id.text(), place, "usual figure"))?;
        let below_zero = match figure? {
            UsualFigure::Length(length) => length < Length::ZERO,
            UsualFigure::Slope(slope) => slope.parts() < 0,
        };
        if below_zero {
            self.diags.error(place, format!("the usual figure `{}` cannot be negative", id.text()));
        }
        Some(UsualRow { id, what, figure: figure?, origin })
    }

    pub(crate) fn roughness(&mut self, node: &Node<'_>, kinds: &[Text]) -> Option<RoughnessRow> {
        let mut fields = Fields::of(node, "a roughness", self.diags)?;
        let known: Vec<(&str, usize)> = kinds.iter().enumerate().map(|(at, r)| (r.as_str(), at)).collect();
        let kind = fields.need_word("id", &known, self.diags);
        let place = fields.place();
        let n = fields.decimal("n", self.diags);
        let origin = self.origin(&mut fields, "roughness", kind.map(|at| kinds[at].as_str()), Must::Figure);
        fields.finish(self.diags);
        let kind = kind.filter(|at| self.once(&kinds[*at], place, "roughness"))?;
        Some(RoughnessRow { kind, n: n?, origin })
    }
}

/// The figures that a wall is built with, each from its row. One that has no row is nothing here; [`crate::names::Names`]
/// then refuses the content.
pub(crate) fn usual(rows: &[UsualRow]) -> Usual {
    let figure = |id: UsualId| rows.iter().find(|row| row.id == id).map(|row| row.figure);
    let length = |id: UsualId| match figure(id) {
        Some(UsualFigure::Length(length)) => length,
        _ => Length::ZERO,
    };
    Usual {
        fall: match figure(UsualId::Fall) {
            Some(UsualFigure::Slope(slope)) => slope,
            _ => Slope::default(),
        },
        depth: length(UsualId::Depth),
        ground_below: length(UsualId::GroundBelow),
        exit_clear: length(UsualId::ExitClear),
        exit_covered: length(UsualId::ExitCovered),
        open_gap: length(UsualId::OpenGap),
        gap_depth: length(UsualId::GapDepth),
        bed_depth: length(UsualId::BedDepth),
        drain_width: length(UsualId::DrainWidth),
        drain_depth: length(UsualId::DrainDepth),
        door_height: length(UsualId::DoorHeight),
        sill_below: length(UsualId::SillBelow),
        sound_exit: length(UsualId::SoundExit),
        sound_threshold: length(UsualId::SoundThreshold),
        cut_clear: length(UsualId::CutClear),
        turned_out: length(UsualId::TurnedOut),
        flashing_leg: length(UsualId::FlashingLeg),
        membrane_up: length(UsualId::MembraneUp),
        barrier_above: length(UsualId::BarrierAbove),
        screed_leg: length(UsualId::ScreedLeg),
        veneer_leg: length(UsualId::VeneerLeg),
        veneer_barrier: length(UsualId::VeneerBarrier),
        least_step: length(UsualId::LeastStep),
        ledge_below: length(UsualId::LedgeBelow),
        head_leg: length(UsualId::HeadLeg),
        barrier_short: length(UsualId::BarrierShort),
        channel_behind: length(UsualId::ChannelBehind),
    }
}
