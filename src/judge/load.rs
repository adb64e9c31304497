//! How much water comes to the foot of this wall.

use super::model::Assessment;
use crate::content::Origin;
use crate::flow::{Answer, Truth};
use crate::units::{Area, Length, Slope, Units};
use crate::water::{Channel, Flow, Runoff};

/// The water at the foot of the wall.
#[derive(Debug, Clone)]
pub struct Load<'c> {
    /// Where it comes from.
    pub rows: Vec<LoadRow<'c>>,
    /// All of it together.
    pub total: Flow,
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
    /// Litres in an inch of rain, or in ten millimetres.
    pub litres: f64,
    /// The flow in a hard storm.
    pub flow: Flow,
    /// Where the part comes from.
    pub origin: &'c Origin,
}

/// A drain channel against what comes to it.
#[derive(Debug, Clone, Copy)]
pub struct ChannelLoad {
    /// What it carries, running full; nothing if it is level along or not known.
    pub carries: Option<Flow>,
    /// How many times the load that is.
    pub times: Option<f64>,
    /// Whether it is level along.
    pub level: bool,
}

impl<'c> Assessment<'c> {
    /// The load; nothing where the length of the work is not known.
    #[must_use]
    pub fn load(&self) -> Option<Load<'c>> {
        let length = self.site.length?;
        let default = |id: &str| self.content.loads.iter().find(|l| l.id == id).map(|l| l.length);
        let (rain_hour, rain_is_default) = match self.length_said("rain_hour") {
            Some(said) => (said, false),
            None => (default("rain_hour")?, true),
        };
        let wall_height = default("wall_height")?;
        let rain = match self.units {
            Units::Inch => Length::inches(1),
            Units::Metric => Length::mm(10),
        };
        let mut not_counted = Vec::new();
        let mut need = |id: &str| {
            let said = self.length_said(id);
            if said.is_none() {
                not_counted.extend(self.content.flow.question(id));
            }
            said
        };
        let mut areas = vec![("wall", length.by(wall_height))];
        if self.says("roof_edge", &["no_gutter"])
            && let Some(run) = need("roof_run")
        {
            areas.push(("roof", length.by(run)));
        }
        if self.says("downspout", &["onto_surface"])
            && let (Some(run), Some(gutter)) = (need("roof_run"), need("gutter_length"))
        {
            areas.push(("downspout", gutter.by(run)));
        }
        let covered =
            self.content.flow.question("covered").is_some_and(|q| self.answers.get(q) == Some(&Answer::YesNo(true)));
        if self.says("fall_direction", &["towards"])
            && !covered
            && let Some(depth) = need("feature_depth")
        {
            areas.push(("surface", length.by(depth)));
        }
        not_counted.dedup();
        let mut total = Flow::default();
        let rows: Vec<LoadRow<'c>> = areas
            .into_iter()
            .filter_map(|(id, area)| {
                let row = self.content.runoff.iter().find(|r| r.id == id)?;
                #[allow(clippy::cast_precision_loss)] // thousandths
                let part = row.part as f64 / 1000.0;
                let runoff = Runoff { area, coefficient: part };
                let flow = runoff.flow(rain_hour);
                total = total + flow;
                let litres = runoff.volume(rain).as_cubic_metres() * 1000.0;
                Some(LoadRow { id: &row.id, what: &row.what, area, part, litres, flow, origin: &row.origin })
            })
            .collect();
        let channel = self.channel(length, total);
        Some(Load { rows, total, rain_hour, rain_is_default, wall_height, covered, not_counted, channel })
    }

    /// The drain channel; nothing if there is none.
    fn channel(&self, length: Length, load: Flow) -> Option<ChannelLoad> {
        let number = self.content.flow.question("drain_channel")?;
        let shown = self.state.shown[number] == Truth::Yes;
        if !shown || self.answers.get(number) != Some(&Answer::YesNo(true)) {
            return None;
        }
        let drop = self.length_said("channel_drop");
        let kind = self.content.roughness.iter().find(|r| self.says("channel_kind", &[&r.id]));
        let parts = self.length_said("channel_width").zip(self.length_said("channel_depth")).zip(drop).zip(kind);
        let carries = parts.and_then(|(((width, depth), drop), kind)| {
            #[allow(clippy::cast_precision_loss)] // thousandths
            let roughness = kind.n as f64 / 1000.0;
            let slope = Slope::of(drop, length)?;
            Some(Channel { width, depth, slope, roughness }.carries()?.flow)
        });
        let load = load.as_litres_per_minute();
        let times = carries.filter(|_| load > 0.0).map(|c| c.as_litres_per_minute() / load);
        Some(ChannelLoad { carries, times, level: drop == Some(Length::ZERO) })
    }
}
