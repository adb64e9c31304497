//! Water in the report for machines.

use super::number::{Citation, Number, length, source};
use crate::judge::{Assessment, is_fine};
use crate::water::{Discharge, LITRES_IN_GALLON, Path, Start};
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(crate) struct WaterJson {
    ways: Vec<WayJson>,
    after: Option<AfterJson>,
    suspects: Vec<SuspectJson>,
    load: Option<LoadJson>,
    driving_rain: Option<DrivingRain>,
}

#[derive(Debug, Serialize)]
struct WayJson {
    start: &'static str,
    end: &'static str,
    outside: bool,
    /// The end at best, if the answers leave several open.
    at_best: Option<&'static str>,
    text: String,
    wrong: Option<String>,
}

#[derive(Debug, Serialize)]
struct AfterJson {
    opened_clear: Option<Number>,
    lowered_by: Number,
    all_outside: bool,
    ways: Vec<WayJson>,
}

#[derive(Debug, Serialize)]
struct SuspectJson {
    id: String,
    score: i64,
    text: String,
    path: Option<WayJson>,
    speaks_for: Vec<String>,
    speaks_against: Vec<String>,
    look: String,
    damage: i64,
}

#[derive(Debug, Serialize)]
struct LoadJson {
    rain_in_volume: Number,
    rain_per_hour: Number,
    rain_is_default: bool,
    wall_height_default: Number,
    from: Vec<LoadRowJson>,
    total: FlowJson,
    total_litres: f64,
    total_gallons: f64,
    not_counted: Vec<String>,
    channel: Option<ChannelJson>,
}

#[derive(Debug, Serialize)]
struct LoadRowJson {
    id: String,
    square_feet: f64,
    square_metres: f64,
    part: f64,
    litres: f64,
    gallons: f64,
    flow: FlowJson,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct FlowJson {
    gallons_per_minute: f64,
    litres_per_minute: f64,
}

#[derive(Debug, Serialize)]
struct ChannelJson {
    carries: Option<FlowJson>,
    times_the_load: Option<f64>,
    level: bool,
}

#[derive(Debug, Serialize)]
struct DrivingRain {
    hours: usize,
    wall_faces_degrees: f64,
    litres_per_square_metre: f64,
    in_a_year: Option<f64>,
}

pub(crate) fn water(a: &Assessment<'_>) -> WaterJson {
    WaterJson {
        ways: a
            .water_ways()
            .iter()
            .map(|w| WayJson {
                at_best: w.at_best.map(crate::water::End::word),
                wrong: a.wrong_in_words(w),
                ..way(a, w.start, &w.path)
            })
            .collect(),
        after: a.after_work().map(|after| AfterJson {
            opened_clear: after.opened.map(length),
            lowered_by: length(after.lowered),
            all_outside: after.all_outside(),
            ways: after.ways.iter().map(|(start, path)| way(a, *start, path)).collect(),
        }),
        suspects: a
            .suspects()
            .iter()
            .map(|s| SuspectJson {
                id: s.row.id.to_string(),
                score: s.score,
                text: a.fill(&s.row.what),
                path: s.row.start.zip(s.path.as_ref()).map(|(start, path)| way(a, start, path)),
                speaks_for: s.speaks_for.iter().map(|e| a.fill(&e.say)).collect(),
                speaks_against: s.speaks_against.iter().map(|e| a.fill(&e.say)).collect(),
                look: a.fill(&s.row.look),
                damage: s.row.damage,
            })
            .collect(),
        load: a.load().map(|load| LoadJson {
            rain_in_volume: length(load.rain_depth),
            rain_per_hour: length(load.rain_hour),
            rain_is_default: load.rain_is_default,
            wall_height_default: length(load.wall_height),
            from: load
                .rows
                .iter()
                .map(|row| LoadRowJson {
                    id: row.id.to_owned(),
                    square_feet: row.area.as_square_feet(),
                    square_metres: row.area.as_square_metres(),
                    part: row.part,
                    litres: row.litres,
                    gallons: row.litres / LITRES_IN_GALLON,
                    flow: flow(row.flow),
                    source: source(row.origin),
                })
                .collect(),
            total: flow(load.total),
            total_litres: load.rows.iter().map(|row| row.litres).sum(),
            total_gallons: load.rows.iter().map(|row| row.litres / LITRES_IN_GALLON).sum(),
            not_counted: load.not_counted.iter().map(|q| a.content.flow.questions[*q].id.to_string()).collect(),
            channel: load.channel.map(|c| ChannelJson {
                carries: c.carries.map(flow),
                times_the_load: c.times,
                level: c.level,
            }),
        }),
        driving_rain: a.exposure.map(|e| DrivingRain {
            hours: e.hours,
            wall_faces_degrees: e.wall_faces,
            litres_per_square_metre: e.index,
            in_a_year: e.a_year,
        }),
    }
}

fn way(a: &Assessment<'_>, start: Start, path: &Path) -> WayJson {
    WayJson {
        start: start.word(),
        end: path.end.word(),
        outside: is_fine(start, path.end),
        at_best: None,
        text: a.way_in_words(start, path),
        wrong: None,
    }
}

fn flow(flow: Discharge) -> FlowJson {
    FlowJson { gallons_per_minute: flow.as_gallons_per_minute(), litres_per_minute: flow.as_litres_per_minute() }
}
