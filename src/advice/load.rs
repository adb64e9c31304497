//! How much water comes to the foot of this wall.

use super::assess::Assessment;
use super::document::Block;
use super::rows::Origin;
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

/// Rain that wind drives onto the wall, by hours of weather.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposure {
    /// How many hours were counted.
    pub hours: usize,
    /// Which way the wall faces, degrees clockwise from north.
    pub wall_faces: f64,
    /// The airfield index of ISO 15927-3 over all hours, litres a square metre.
    pub index: f64,
    /// The same for one year; nothing for a record that is shorter.
    pub a_year: Option<f64>,
}

/// Litres in a US gallon.
const GALLON: f64 = 3.785_411_784;

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

    pub(super) fn load_block(&self, blocks: &mut Vec<Block>) {
        let Some(load) = self.load() else { return };
        blocks.push(self.heading("heading.load"));
        let rain = if self.units == Units::Inch { Length::inches(1) } else { Length::mm(10) };
        let head = vec![
            self.word("table.load_from"),
            self.word("table.load_area"),
            self.word_with("table.load_volume", &[("rain", &rain.show(self.units))]),
            self.word_with("table.load_flow", &[("rain", &load.rain_hour.show(self.units))]),
        ];
        let mut rows: Vec<Vec<String>> = load
            .rows
            .iter()
            .map(|row| {
                let part = format!("{:.0} %", row.part * 100.0);
                let area = self.word_with("load.counted", &[("area", &row.area.show(self.units)), ("part", &part)]);
                vec![row.what.to_owned(), area, self.volume(row.litres), self.flow(row.flow)]
            })
            .collect();
        if rows.len() > 1 {
            let litres = load.rows.iter().map(|r| r.litres).sum();
            rows.push(vec![self.word("load.total"), String::new(), self.volume(litres), self.flow(load.total)]);
        }
        blocks.push(Block::Table { head, rows });
        let mut text = self.word_with("load.defaults", &[("height", &load.wall_height.show(self.units))]);
        if load.rain_is_default {
            text.push(' ');
            text.push_str(&self.word_with("load.rain_default", &[("rain", &load.rain_hour.show(self.units))]));
        }
        if load.covered {
            text.push(' ');
            text.push_str(&self.word("load.covered"));
        }
        if !load.not_counted.is_empty() {
            let names: Vec<&str> =
                load.not_counted.iter().map(|q| self.content.flow.questions[*q].short.as_str()).collect();
            text.push(' ');
            text.push_str(&self.word_with("load.not_counted", &[("list", &names.join(", "))]));
        }
        blocks.push(Block::Paragraph(text));
        if let Some(exposure) = self.exposure {
            blocks.push(Block::Paragraph(self.exposure_words(exposure)));
        }
        if let Some(channel) = load.channel {
            blocks.push(Block::Paragraph(self.channel_words(channel)));
        }
        let mut origins: Vec<String> = load.rows.iter().map(|r| self.origin(r.origin)).collect();
        origins.dedup();
        blocks.push(Block::Note(origins.join("; ")));
    }

    fn channel_words(&self, channel: ChannelLoad) -> String {
        match (channel.carries, channel.times) {
            (Some(carries), Some(times)) => {
                let key = if times >= 1.0 { "load.channel_enough" } else { "load.channel_too_small" };
                let times = if times < 0.1 { format!("{times:.2}") } else { format!("{times:.1}") };
                self.word_with(key, &[("carries", &self.flow(carries)), ("times", &times)])
            }
            _ if channel.level => self.word("load.channel_level"),
            _ => self.word("load.channel_unknown"),
        }
    }

    fn exposure_words(&self, exposure: Exposure) -> String {
        let (hours, faces) = (exposure.hours.to_string(), format!("{:.0}", exposure.wall_faces));
        let index = format!("{:.0}", exposure.a_year.unwrap_or(exposure.index));
        let key = if exposure.a_year.is_some() { "load.driving_year" } else { "load.driving" };
        self.word_with(key, &[("hours", &hours), ("faces", &faces), ("index", &index)])
    }

    fn volume(&self, litres: f64) -> String {
        match self.units {
            Units::Inch => format!("{:.0} gal", litres / GALLON),
            Units::Metric => format!("{litres:.0} L"),
        }
    }

    fn flow(&self, flow: Flow) -> String {
        match self.units {
            Units::Inch => format!("{:.1} gal/min", flow.as_gallons_per_minute()),
            Units::Metric => format!("{:.0} L/min", flow.as_litres_per_minute()),
        }
    }
}
