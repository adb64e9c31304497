//! Rows of the content about water: suspected paths, what may come to light, loads.

use super::rows::{Origin, Reader};
use crate::flow::{Condition, Diagnostics, Fields, Node, Place, nearest};
use crate::units::{Length, Slope};
use crate::wall::{Fault, Faults, Usual};
use crate::water::Start;

/// A way by which water may get into a built wall.
#[derive(Debug, Clone)]
pub struct Suspect {
    /// Its id.
    pub id: String,
    /// Where its drop starts; nothing for water that does not come through the foot of the wall.
    pub start: Option<Start>,
    /// What would have to be wrong.
    pub faults: Faults,
    /// When it can exist.
    pub when: Condition,
    /// What it is.
    pub what: String,
    /// What speaks for it.
    pub speaks_for: Vec<Evidence>,
    /// What speaks against it.
    pub speaks_against: Vec<Evidence>,
    /// How to look, with the least damage.
    pub look: String,
    /// How much damage that does: 0 none to 5 concrete taken out.
    pub damage: i64,
    /// What to wet in a hose test.
    pub wet: String,
}

/// Something that speaks for or against a suspect.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// When it does.
    pub when: Condition,
    /// What it is.
    pub say: String,
    /// How much it weighs.
    pub weight: i64,
}

/// A remark that is made when it holds.
#[derive(Debug, Clone)]
pub struct Remark {
    /// Its id.
    pub id: String,
    /// When it holds.
    pub when: Condition,
    /// The remark.
    pub say: String,
}

/// A default of the load.
#[derive(Debug, Clone)]
pub struct LoadDefault {
    /// Its id.
    pub id: String,
    /// What it is.
    pub what: String,
    /// The default.
    pub length: Length,
    /// Where it comes from.
    pub origin: Origin,
}

/// What part of the rain runs off something.
#[derive(Debug, Clone)]
pub struct RunoffRow {
    /// Its id.
    pub id: String,
    /// What it is.
    pub what: String,
    /// The part, in thousandths.
    pub part: i64,
    /// Where it comes from.
    pub origin: Origin,
}

/// A figure of the trade that a wall is built with where nobody measured or said.
#[derive(Debug, Clone)]
pub struct UsualRow {
    /// Its id: a field of [`Usual`].
    pub id: String,
    /// What it is. Only authors read it, so it has no translation.
    pub what: String,
    /// The figure.
    pub figure: UsualFigure,
    /// Where it comes from.
    pub origin: Origin,
    place: Place,
}

/// What kind of figure it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UsualFigure {
    /// A length.
    Length(Length),
    /// A slope.
    Slope(Slope),
}

/// The roughness of a channel.
#[derive(Debug, Clone)]
pub struct RoughnessRow {
    /// The choice of `channel_kind`.
    pub id: String,
    /// Manning's n, in thousandths.
    pub n: i64,
    /// Where it comes from.
    pub origin: Origin,
}

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

/// The loads that the program computes with; the content must have each once.
pub(crate) const LOADS: [&str; 2] = ["rain_hour", "wall_height"];

/// What the program counts as running off; the content must have each once.
pub(crate) const RUNOFFS: [&str; 4] = ["wall", "roof", "downspout", "surface"];

fn same<'a>(ids: &[&'a str]) -> Vec<(&'a str, &'a str)> {
    ids.iter().map(|id| (*id, *id)).collect()
}

impl Reader<'_> {
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
        let damage = fields.whole("damage", self.diags).unwrap_or(0);
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
        let id = fields.need_word("id", &same(&LOADS), self.diags).map(str::to_owned);
        let place = fields.place();
        let what = self.text(&mut fields, "what", true);
        let length = fields.need("length", self.diags).and_then(|node| self.length_of(node));
        let origin = self.origin(&mut fields);
        fields.finish(self.diags);
        let id = id.filter(|id| self.once(id, place, "load"))?;
        Some(LoadDefault { id, what, length: length?, origin })
    }

    pub(crate) fn runoff(&mut self, node: &Node<'_>) -> Option<RunoffRow> {
        let mut fields = Fields::of(node, "a part that runs off", self.diags)?;
        let id = fields.need_word("id", &same(&RUNOFFS), self.diags).map(str::to_owned);
        let place = fields.place();
        let what = self.text(&mut fields, "what", true);
        let part = fields.decimal("part", self.diags);
        let origin = self.origin(&mut fields);
        fields.finish(self.diags);
        let id = id.filter(|id| self.once(id, place, "runoff"))?;
        Some(RunoffRow { id, what, part: part?, origin })
    }

    pub(crate) fn usual_row(&mut self, node: &Node<'_>) -> Option<UsualRow> {
        let mut fields = Fields::of(node, "a usual figure", self.diags)?;
        let id = self.id(&mut fields, "usual figure");
        let at = fields.place();
        let what = self.text(&mut fields, "what", true);
        let length = fields.take("length").map(|node| self.length_of(node).map(UsualFigure::Length));
        let slope = fields.take("slope").map(|node| self.slope_of(node).map(UsualFigure::Slope));
        let origin = self.origin(&mut fields);
        fields.finish(self.diags);
        let figure = match (length, slope) {
            (Some(figure), None) | (None, Some(figure)) => figure?,
            _ => {
                self.diags.error(at, "a usual figure needs either `length:` or `slope:`");
                return None;
            }
        };
        let (id, place) = id?;
        Some(UsualRow { id, what, figure, origin, place })
    }

    /// The figures that a wall is built with, each from its row. `needed` is off where the questions tell of no wall,
    /// or where not all rows could be read; then what is missing is nothing.
    pub(crate) fn usual(&mut self, rows: &[UsualRow], needed: bool) -> Usual {
        let mut asked: Vec<&str> = Vec::new();
        let mut missing: Vec<&str> = Vec::new();
        let mut figure = |id: &'static str, diags: &mut Diagnostics, is_slope: bool| {
            asked.push(id);
            let Some(row) = rows.iter().find(|row| row.id == id) else {
                missing.push(id);
                return 0;
            };
            match (row.figure, is_slope) {
                (UsualFigure::Length(length), false) if length >= Length::ZERO => length.steps(),
                (UsualFigure::Slope(slope), true) if slope.parts() >= 0 => slope.parts(),
                (UsualFigure::Length(_), false) | (UsualFigure::Slope(_), true) => {
                    diags.error(row.place, format!("the usual figure `{id}` cannot be negative"));
                    0
                }
                _ => {
                    let kind = if is_slope { "slope" } else { "length" };
                    diags.error(row.place, format!("the usual figure `{id}` must be a {kind}"));
                    0
                }
            }
        };
        let fall = Slope::from_parts(figure("fall", self.diags, true));
        let mut length = |id| Length::from_steps(figure(id, self.diags, false));
        let usual = Usual {
            fall,
            depth: length("depth"),
            ground_below: length("ground_below"),
            exit_clear: length("exit_clear"),
            exit_covered: length("exit_covered"),
            open_gap: length("open_gap"),
            gap_depth: length("gap_depth"),
            bed_depth: length("bed_depth"),
            drain_width: length("drain_width"),
            drain_depth: length("drain_depth"),
            door_height: length("door_height"),
            sill_below: length("sill_below"),
            sound_exit: length("sound_exit"),
            sound_threshold: length("sound_threshold"),
            cut_clear: length("cut_clear"),
            turned_out: length("turned_out"),
            flashing_leg: length("flashing_leg"),
            membrane_up: length("membrane_up"),
            barrier_above: length("barrier_above"),
            screed_leg: length("screed_leg"),
            veneer_leg: length("veneer_leg"),
            veneer_barrier: length("veneer_barrier"),
            ledge_below: length("ledge_below"),
            head_leg: length("head_leg"),
            barrier_short: length("barrier_short"),
            channel_behind: length("channel_behind"),
        };
        for row in rows.iter().filter(|row| !asked.contains(&row.id.as_str())) {
            let hint = nearest(&row.id, asked.iter().copied()).map(|n| format!("did you mean `{n}`?"));
            self.diags.error_with_hint(row.place, format!("no wall is built with a figure `{}`", row.id), hint);
        }
        // one that could not be read has been told of
        missing.retain(|id| !self.seen.contains(&format!("usual figure.{id}")));
        if needed && !missing.is_empty() {
            let place = rows.last().map(|row| row.place).unwrap_or_default();
            let message = format!("these usual figures are missing: {}", missing.join(", "));
            let hint = "a wall is built with them; copy the list `usual:` from the built-in water.yaml".to_owned();
            self.diags.error_with_hint(place, message, Some(hint));
        }
        usual
    }

    pub(crate) fn roughness(&mut self, node: &Node<'_>, kinds: &[String]) -> Option<RoughnessRow> {
        let mut fields = Fields::of(node, "a roughness", self.diags)?;
        let known: Vec<(&str, &str)> = kinds.iter().map(|r| (r.as_str(), r.as_str())).collect();
        let id = fields.need_word("id", &known, self.diags).map(str::to_owned);
        let place = fields.place();
        let n = fields.decimal("n", self.diags);
        let origin = self.origin(&mut fields);
        fields.finish(self.diags);
        let id = id.filter(|id| self.once(id, place, "roughness"))?;
        Some(RoughnessRow { id, n: n?, origin })
    }
}
