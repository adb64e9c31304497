//! How much water, on a sheet.

use super::document::Block;
use crate::judge::{Assessment, ChannelLoad, Exposure};
use crate::units::Units;
use crate::water::{Discharge, LITRES_IN_GALLON};

impl Assessment<'_> {
    pub(crate) fn load_block(&self, blocks: &mut Vec<Block>) {
        let Some(load) = self.load() else { return };
        blocks.push(self.heading("heading.load"));
        let head = vec![
            self.word("table.load_from"),
            self.word("table.load_area"),
            self.word_with("table.load_volume", &[("rain", &load.rain_depth.show(self.units))]),
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
            let names: Vec<String> = load.not_counted.iter().map(|q| self.short(*q)).collect();
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
            Units::Inch => format!("{:.0} gal", litres / LITRES_IN_GALLON),
            Units::Metric => format!("{litres:.0} L"),
        }
    }

    fn flow(&self, flow: Discharge) -> String {
        match self.units {
            Units::Inch => format!("{:.1} gal/min", flow.as_gallons_per_minute()),
            Units::Metric => format!("{:.0} L/min", flow.as_litres_per_minute()),
        }
    }
}
