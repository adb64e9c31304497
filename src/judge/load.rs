//! How much water comes to the foot of this wall.

use super::model::Assessment;
use crate::content::{Content, Origin};
use crate::names::{DefinedId, Downspout, FallSaid, LoadId, QuestionId, RoofEdge, RunoffId};
use crate::site::{MOST_KINDS, Storm};
use crate::units::{Area, Length, Units};
use crate::water::{Discharge, Runoff};

/// The water at the foot of the wall.
#[derive(Debug, Clone)]
pub struct Load<'c> {
    /// Where it comes from.
    pub rows: Vec<LoadRow<'c>>,
    /// All of it together.
    pub total: Discharge,
    /// The round depth of rain that volumes are told for: an inch, or ten millimetres.
    pub rain_depth: Length,
    /// Rain in an hour.
    pub rain_hour: Length,
    /// Whether that is a default.
    pub rain_is_default: bool,
    /// The height of the wall that was counted: a default.
    pub wall_height: Length,
    /// Whether there is a roof over the work, which is left out of account.
    pub covered: bool,
    /// The questions whose answers would add something.
    pub not_counted: Vec<usize>,
    /// The drain channel, if one is there.
    pub channel: Option<ChannelLoad>,
}

/// One source of water.
#[derive(Debug, Clone)]
pub struct LoadRow<'c> {
    /// Its id: `wall`, `roof`, `downspout` or `surface`.
    pub id: &'c str,
    /// What it is.
    pub what: &'c str,
    /// The area that rain falls on.
    pub area: Area,
    /// What part of it runs off.
    pub part: f64,
    /// Litres in so much rain as [`Load::rain_depth`].
    pub litres: f64,
    /// The flow in a hard storm.
    pub flow: Discharge,
    /// Where the part comes from.
    pub origin: &'c Origin,
}

/// A drain channel against what comes to it.
#[derive(Debug, Clone, Copy)]
pub struct ChannelLoad {
    /// What it carries, running full; nothing if it is level along or not known.
    pub carries: Option<Discharge>,
    /// How many times the load that is.
    pub times: Option<f64>,
    /// Whether it is level along.
    pub level: bool,
}

impl Content {
    /// What a hard storm is reckoned with.
    pub(crate) fn storm(&self) -> Storm {
        let default = |id: LoadId| self.loads[self.catalog.names.load(id)].length;
        let parts = [RunoffId::Wall, RunoffId::Roof, RunoffId::Downspout, RunoffId::Surface];
        let mut roughness = [0; MOST_KINDS];
        for row in &self.roughness {
            if let Some(of_kind) = roughness.get_mut(row.kind) {
                // a figure too large to be one is none: then nobody knows what such a channel carries
                *of_kind = u16::try_from(row.n).unwrap_or(0);
            }
        }
        Storm {
            rain_hour: default(LoadId::RainHour),
            wall_height: default(LoadId::WallHeight),
            parts: parts.map(|id| self.runoff[self.catalog.names.runoff(id)].part),
            roughness,
        }
    }
}

impl<'c> Assessment<'c> {
    /// The load; nothing where the length of the work is not known.
    #[must_use]
    pub fn load(&self) -> Option<Load<'c>> {
        let length = self.site.length?;
        let default = |id: LoadId| self.content.loads[self.content.catalog.names.load(id)].length;
        let (rain_hour, rain_is_default) = match self.length_said(QuestionId::RainHour) {
            Some(said) => (said, false),
            None => (default(LoadId::RainHour), true),
        };
        let wall_height = default(LoadId::WallHeight);
        let rain_depth = match self.units {
            Units::Inch => Length::inches(1),
            Units::Metric => Length::mm(10),
        };
        let mut not_counted = Vec::new();
        let mut need = |id: QuestionId| {
            let said = self.length_said(id);
            if said.is_none() {
                not_counted.push(self.content.catalog.names.at(id));
            }
            said
        };
        let mut areas = vec![(RunoffId::Wall, length.by(wall_height))];
        if self.said() == Some(RoofEdge::NoGutter)
            && let Some(run) = need(QuestionId::RoofRun)
        {
            areas.push((RunoffId::Roof, length.by(run)));
        }
        if self.said() == Some(Downspout::OntoSurface)
            && let (Some(run), Some(gutter)) = (need(QuestionId::RoofRun), need(QuestionId::GutterLength))
        {
            areas.push((RunoffId::Downspout, gutter.by(run)));
        }
        let covered = self.yes_said(QuestionId::Covered);
        if self.said() == Some(FallSaid::Towards)
            && !covered
            && let Some(depth) = need(QuestionId::FeatureDepth)
        {
            areas.push((RunoffId::Surface, length.by(depth)));
        }
        not_counted.dedup();
        let mut total = Discharge::default();
        let rows: Vec<LoadRow<'c>> = areas
            .into_iter()
            .map(|(id, area)| {
                let row = &self.content.runoff[self.content.catalog.names.runoff(id)];
                #[allow(clippy::cast_precision_loss)] // thousandths
                let part = row.part as f64 / 1000.0;
                let runoff = Runoff { area, coefficient: part };
                let flow = runoff.flow(rain_hour);
                total = total + flow;
                let litres = runoff.volume(rain_depth).as_cubic_metres() * 1000.0;
                LoadRow { id: &row.id, what: &row.what, area, part, litres, flow, origin: &row.origin }
            })
            .collect();
        let channel = self.channel(total);
        Some(Load { rows, total, rain_depth, rain_hour, rain_is_default, wall_height, covered, not_counted, channel })
    }

    /// The drain channel; nothing if there is none.
    fn channel(&self, load: Discharge) -> Option<ChannelLoad> {
        if !self.certainly(DefinedId::ChannelThere) {
            return None;
        }
        let drop = self.length_said(QuestionId::ChannelDrop);
        let carries = self.site.channel_carries(&self.content.storm());
        let load = load.as_litres_per_minute();
        let times = carries.filter(|_| load > 0.0).map(|c| c.as_litres_per_minute() / load);
        Some(ChannelLoad { carries, times, level: drop == Some(Length::ZERO) })
    }
}
