//! The plan of a visit: activities in order, days, handovers, quantities.

use super::assess::Assessment;
use super::document::{Block, Check, Document};
use super::sheets::Cover;
use super::work_rows::{ActivityRow, Per};
use crate::units::{Area, Length, Units};
use crate::work::{
    Activity, Bags, Booking, Calendar, Need, Network, Reason, Record, Schedule, Task, bags_for, pieces_with_laps,
    rolls_for, units_to_cover,
};
use jiff::civil::Date;

/// An activity that this visit calls for.
#[derive(Debug, Clone)]
pub struct Planned<'c> {
    /// The row.
    pub row: &'c ActivityRow,
    /// Hours on site.
    pub hours: i64,
    /// Whether a measure was missing, so that only the fixed hours count.
    pub rough: bool,
    /// The numbers of the planned activities before it.
    pub after: Vec<usize>,
}

/// The plan of a visit.
#[derive(Debug, Clone)]
pub struct Plan<'c> {
    /// The activities, in an order in which they can be done.
    pub activities: Vec<Planned<'c>>,
    /// When each can and must start, in hours.
    pub schedule: Schedule,
}

/// A quantity of material.
#[derive(Debug, Clone)]
pub struct Quantity {
    /// Its id.
    pub id: &'static str,
    /// What it is, as a word key.
    pub key: &'static str,
    /// How much.
    pub amount: f64,
    /// The unit, as a word key.
    pub unit: &'static str,
    /// The formula with its figures, in words.
    pub formula: String,
    /// Waste in per cent that is in it.
    pub waste: i64,
}

/// Days of weather for a plan.
#[derive(Debug)]
pub struct Forecast<'r> {
    /// The days.
    pub record: &'r Record,
    /// Days on which nobody works.
    pub holidays: Vec<Date>,
    /// Whether Saturdays and Sundays are worked.
    pub weekends: bool,
    /// The place of the first day of work in the record.
    pub start: usize,
}

/// Hours in a day of work.
const DAY: i64 = 8;
impl<'c> Assessment<'c> {
    /// A figure in whole per cent or the like; nothing if the content has none.
    fn per_cent(&self, id: &str) -> Option<i64> {
        self.content.plan_figures.iter().find(|f| f.id == id)?.number.map(|n| n / 1000)
    }

    fn figure_length(&self, id: &str) -> Option<Length> {
        self.content.plan_figures.iter().find(|f| f.id == id)?.length
    }

    /// The plan; nothing if this visit calls for no activity.
    #[must_use]
    pub fn plan(&self) -> Option<Plan<'c>> {
        let rows = &self.content.activities;
        let wanted: Vec<bool> = rows.iter().map(|r| r.when.eval(&self.values).is_yes()).collect();
        let all: Vec<Activity> = rows.iter().map(|r| Activity { hours: 1, after: r.after.clone() }).collect();
        let network = Network::new(all).ok()?;
        let chosen: Vec<usize> = network.order().iter().copied().filter(|i| wanted[*i]).collect();
        // what is not called for is passed over: its own predecessors take its place
        let before = |i: usize| {
            let mut todo = rows[i].after.clone();
            let mut found: Vec<usize> = Vec::new();
            let mut seen = vec![false; rows.len()];
            while let Some(p) = todo.pop() {
                if std::mem::replace(&mut seen[p], true) {
                    continue;
                }
                match chosen.iter().position(|c| *c == p) {
                    Some(place) => found.push(place),
                    None => todo.extend(&rows[p].after),
                }
            }
            found.sort_unstable();
            found
        };
        let activities: Vec<Planned<'c>> = chosen
            .iter()
            .map(|i| {
                let (hours, rough) = self.hours(&rows[*i]);
                Planned { row: &rows[*i], hours, rough, after: before(*i) }
            })
            .collect();
        if activities.is_empty() {
            return None;
        }
        let activities = only_direct(activities);
        // waiting counts in the order, though nobody works
        let waits = |p: &Planned<'_>| p.hours + p.row.cure_days * DAY;
        let network =
            Network::new(activities.iter().map(|p| Activity { hours: waits(p), after: p.after.clone() }).collect())
                .ok()?;
        let schedule = network.schedule();
        Some(Plan { activities, schedule })
    }

    /// Hours on site: the fixed ones, and the rate times the measure over the crew, to whole hours.
    fn hours(&self, row: &ActivityRow) -> (i64, bool) {
        #[allow(clippy::cast_precision_loss)] // thousandths of hours
        let fixed = row.hours as f64 / 1000.0;
        let Some((rate, per)) = row.rate else { return (ceil(fixed), false) };
        let Some(measure) = self.measure(per) else { return (ceil(fixed), true) };
        #[allow(clippy::cast_precision_loss)] // as above
        let more = rate as f64 / 1000.0 * measure / row.crew as f64;
        (ceil(fixed + more), false)
    }

    /// A measure of this visit, in the unit that rates are given in.
    #[must_use]
    pub fn measure(&self, per: Per) -> Option<f64> {
        let feet = |l: Length| l.as_inches() / 12.0;
        match per {
            Per::OpenedArea => self.opened_area().map(Area::as_square_feet),
            Per::WallLength => self.site.length.map(feet),
            Per::SurfaceArea => self.surface().map(Area::as_square_feet),
            Per::BaseWeight => self.base_tons(),
            Per::ConcreteVolume => {
                let slab = self.layer_thickness(&["slab"])?;
                self.surface().map(|area| area.by(slab).as_cubic_yards())
            }
            Per::EdgeLength => self.site.length.zip(self.site.depth).map(|(l, d)| feet(l + d * 2)),
            Per::VoidVolume => None,
        }
    }

    fn surface(&self) -> Option<Area> {
        self.site.length.zip(self.site.depth).map(|(length, depth)| length.by(depth))
    }

    fn strip(&self) -> Option<Length> {
        self.content.loads.iter().find(|l| l.id == "strip_height").map(|l| l.length)
    }

    fn opened_area(&self) -> Option<Area> {
        self.site.length.zip(self.strip()).map(|(length, height)| length.by(height))
    }

    fn layer_thickness(&self, ids: &[&str]) -> Option<Length> {
        let layers =
            self.content.layers.iter().filter(|l| ids.contains(&l.id.as_str()) && l.when.eval(&self.values).is_yes());
        layers.map(|l| l.thickness).reduce(|a, b| a + b)
    }

    /// Base stone in short tons: surface times thickness, loose weight, and what compaction takes.
    fn base_tons(&self) -> Option<f64> {
        let base = self.layer_thickness(&["paver_base", "paver_base_clay", "slab_stone"])?;
        #[allow(clippy::cast_precision_loss)] // thousandths
        let tons = self.content.plan_figures.iter().find(|f| f.id == "stone_tons_in_yard")?.number? as f64 / 1000.0;
        Some(self.surface()?.by(base).as_cubic_yards() * tons * with_waste(self.per_cent("compaction")?))
    }

    /// The materials, from the geometry of this visit.
    #[must_use]
    pub fn quantities(&self) -> Vec<Quantity> {
        let mut list = Vec::new();
        let show = |l: Length| l.show(self.units);
        let mut put = |id, key, amount: f64, unit, formula: String, waste| {
            list.push(Quantity { id, key, amount, unit, formula, waste });
        };
        #[allow(clippy::cast_precision_loss)] // counts
        let count = |n: i64| n as f64;
        let to_open = self.says_yes("wall.to_open");
        if let (true, Some(length), Some(strip), Some(area)) =
            (to_open, self.site.length, self.strip(), self.opened_area())
        {
            let by = self.word_with("formula.strip", &[("length", &show(length)), ("height", &show(strip))]);
            if let Some(waste) = self.per_cent("cladding_waste") {
                let area = area.as_square_feet() * with_waste(waste);
                put("cladding", "quantity.cladding", area, "unit.square_feet", by.clone(), waste);
            }
            let figure = |id| self.figure_length(id).unwrap_or_default();
            let roll = (figure("roll_length"), figure("roll_width"));
            let laps = (figure("side_lap"), figure("end_lap"));
            let membrane_waste = self.per_cent("membrane_waste").unwrap_or(0);
            if let Some(rolls) = rolls_for((length, strip), roll, laps, membrane_waste) {
                let values = [
                    ("strip", by.clone()),
                    ("side", show(laps.0)),
                    ("end", show(laps.1)),
                    ("length", show(roll.0)),
                    ("width", show(roll.1)),
                ];
                let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
                let formula = self.word_with("formula.rolls", &values);
                put("membrane", "quantity.membrane", count(rolls), "unit.rolls", formula, membrane_waste);
            }
            if let Some(pieces) = pieces_with_laps(length, figure("flashing_length"), figure("flashing_lap")) {
                let formula = self.word_with(
                    "formula.sticks",
                    &[
                        ("length", &show(length)),
                        ("lap", &show(figure("flashing_lap"))),
                        ("piece", &show(figure("flashing_length"))),
                    ],
                );
                put("flashing", "quantity.flashing", count(pieces), "unit.pieces", formula, 0);
                put("end_dams", "quantity.end_dams", 2.0, "unit.pieces", self.word("formula.ends"), 0);
            }
        }
        if let Some(area) = self.surface() {
            let (length, depth) = (self.site.length.unwrap_or_default(), self.site.depth.unwrap_or_default());
            let by = self.word_with("formula.area", &[("length", &show(length)), ("depth", &show(depth))]);
            if self.layer_thickness(&["paver"]).is_some()
                && let (Some(long), Some(wide), Some(waste)) =
                    (self.figure_length("paver_length"), self.figure_length("paver_width"), self.per_cent("breakage"))
                && let Some(stones) = units_to_cover(area, long.by(wide), waste)
            {
                let formula =
                    self.word_with("formula.pavers", &[("area", &by), ("long", &show(long)), ("wide", &show(wide))]);
                put("pavers", "quantity.pavers", count(stones), "unit.pieces", formula, waste);
            }
            if let (Some(bed), Some(waste)) = (self.layer_thickness(&["paver_bedding"]), self.per_cent("bedding_waste"))
            {
                let volume = area.by(bed).as_cubic_yards();
                let formula = self.word_with("formula.layer", &[("area", &by), ("thickness", &show(bed))]);
                #[allow(clippy::cast_precision_loss)] // per cent
                put("bedding", "quantity.bedding", volume * with_waste(waste), "unit.cubic_yards", formula, waste);
            }
            if let (Some(tons), Some(base)) =
                (self.base_tons(), self.layer_thickness(&["paver_base", "paver_base_clay", "slab_stone"]))
            {
                let formula = self.word_with("formula.base", &[("area", &by), ("thickness", &show(base))]);
                let waste = self.per_cent("compaction").unwrap_or(0);
                put("base", "quantity.base", tons, "unit.short_tons", formula, waste);
            }
            if let (Some(slab), Some(waste)) = (self.layer_thickness(&["slab"]), self.per_cent("concrete_waste")) {
                let volume = area.by(slab);
                let formula = self.word_with("formula.layer", &[("area", &by), ("thickness", &show(slab))]);
                let yards = volume.as_cubic_yards() * with_waste(waste);
                put("concrete", "quantity.concrete", yards, "unit.cubic_yards", formula.clone(), waste);
                let bags = bags_for(volume, Bags::EIGHTY, waste);
                put("bags", "quantity.bags", count(bags), "unit.bags", formula, waste);
            }
            if let Some(digging) = self.digging()
                && let Some(dig) = digging.at_wall.map(|d| d + digging.deeper).filter(|d| *d > Length::ZERO)
            {
                let formula = self.word_with("formula.layer", &[("area", &by), ("thickness", &show(dig))]);
                put("spoil", "quantity.spoil", area.by(dig).as_cubic_yards(), "unit.cubic_yards", formula, 0);
            }
        }
        list
    }

    /// The plan as a document: order, chart, handovers, days, quantities.
    #[must_use]
    pub fn plan_document(
        &self,
        cover: &Cover,
        forecast: Option<&Forecast<'_>>,
        prices: Option<&super::Prices>,
    ) -> Document {
        // a plan is no leave to begin: the verdict stands above it, the trades to call and the dangers below
        let mut blocks = vec![self.verdict()];
        match self.plan() {
            None => blocks.push(Block::Paragraph(self.word("text.no_plan"))),
            Some(plan) => {
                self.order_blocks(&mut blocks, &plan);
                if let Some(forecast) = forecast {
                    self.calendar_blocks(&mut blocks, &plan, forecast);
                }
            }
        }
        self.quantity_blocks(&mut blocks);
        if let Some(plan) = self.plan() {
            self.hours_blocks(&mut blocks, &plan);
            if let Some(prices) = prices {
                self.price_blocks(&mut blocks, &plan, prices);
            }
        }
        self.calls_block(&mut blocks);
        self.cautions_block(&mut blocks, super::Sheet::Exterior);
        Document {
            title: self.word("sheet.plan"),
            about: self.about(cover),
            lang: cover.lang.clone(),
            compact: false,
            blocks,
            foot: self.word("foot"),
        }
    }

    fn order_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>) {
        let schedule = &plan.schedule;
        let critical = schedule.critical();
        let days = |hours: i64| (hours + DAY - 1) / DAY;
        blocks.push(self.heading("heading.order"));
        let (total, work) =
            (days(schedule.length).to_string(), plan.activities.iter().map(|p| p.hours).sum::<i64>().to_string());
        blocks.push(Block::Paragraph(self.word_with("text.order", &[("days", &total), ("hours", &work)])));
        let row = |(i, p): (usize, &Planned<'_>)| {
            let (from, to) = (schedule.earliest[i] / DAY + 1, days(schedule.earliest[i] + p.hours.max(1)));
            let mut what = self.fill(&p.row.what);
            if p.row.hold {
                what = format!("{} ({})", what, self.word("label.stop"));
            }
            let slack = match schedule.slack(i) {
                0 => self.word("label.critical"),
                hours => self.word_with("label.slack", &[("days", &format!("{:.1}", hours_in_days(hours)))]),
            };
            let hours = if p.rough { format!("{}+", p.hours) } else { p.hours.to_string() };
            vec![
                (i + 1).to_string(),
                what,
                self.word(&format!("who.{}", p.row.who.word())),
                hours,
                span(from, to),
                slack,
            ]
        };
        let rows = plan.activities.iter().enumerate().map(row).collect();
        let head = ["table.number", "table.activity", "table.who", "table.hours", "table.days", "table.slack"];
        blocks.push(Block::Table { head: head.map(|k| self.word(k)).to_vec(), rows });
        blocks.push(self.heading("heading.chart"));
        let rows = plan
            .activities
            .iter()
            .enumerate()
            .map(|(i, p)| vec![(i + 1).to_string(), self.word(&format!("who.{}", p.row.who.word())), bar(plan, i)])
            .collect();
        let head = ["table.number", "table.who", "table.chart"];
        blocks.push(Block::Table { head: head.map(|k| self.word(k)).to_vec(), rows });
        blocks.push(Block::Note(self.word("text.chart")));
        let path: Vec<String> = critical.iter().map(|i| self.fill(&plan.activities[*i].row.what)).collect();
        blocks.push(Block::Paragraph(self.word_with("text.critical", &[("list", &path.join(" > "))])));
        let mut handovers = Vec::new();
        for p in &plan.activities {
            for before in p.after.iter().map(|b| &plan.activities[*b]).filter(|b| b.row.who != p.row.who) {
                let who = |a: &Planned<'_>| self.word(&format!("who.{}", a.row.who.word()));
                let values = [
                    ("from", who(before)),
                    ("to", who(p)),
                    ("done", self.fill(&before.row.what)),
                    ("next", self.fill(&p.row.what)),
                ];
                let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
                handovers.push(Check {
                    who: String::new(),
                    text: self.word_with("text.handover", &values),
                    because: String::new(),
                    hold: before.row.hold,
                });
            }
        }
        if !handovers.is_empty() {
            blocks.push(self.heading("heading.handovers"));
            blocks.push(Block::Checks(handovers));
        }
    }

    /// The tasks for a calendar, and their order.
    #[must_use]
    pub fn tasks_for_days(&self, plan: &Plan<'c>) -> (Vec<Task>, Vec<usize>) {
        let tasks = plan.activities.iter().map(|p| Task {
            hours: p.hours,
            after: p.after.clone(),
            cure_days: usize::try_from(p.row.cure_days).unwrap_or(0),
            need: p.row.weather.map_or_else(Need::default, |w| self.content.weather_needs[w].need),
            crew: p.row.who as usize,
        });
        (tasks.collect(), (0..plan.activities.len()).collect())
    }

    fn calendar_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>, forecast: &Forecast<'_>) {
        let (tasks, order) = self.tasks_for_days(plan);
        let calendar = Calendar::new(forecast.record, &forecast.holidays, forecast.weekends);
        blocks.push(self.heading("heading.calendar"));
        let bookings = calendar.book(&tasks, &order, forecast.start);
        let days = forecast.record.days();
        let ends = bookings.as_ref().and_then(|b| b.iter().filter_map(|b| b.days.last()).max().copied());
        if bookings.is_none() {
            blocks.push(Block::Paragraph(self.word("text.record_ends")));
        }
        let end = ends.unwrap_or(days.len() - 1).min(forecast.start + 60).min(days.len() - 1);
        let rows = (forecast.start..=end)
            .map(|at| {
                let here = |b: &[Booking]| {
                    b.iter()
                        .enumerate()
                        .filter(|(_, b)| b.days.contains(&at))
                        .map(|(i, _)| self.fill(&plan.activities[i].row.what))
                        .collect::<Vec<_>>()
                        .join("; ")
                };
                let done = bookings.as_deref().map(here).unwrap_or_default();
                let mut not: Vec<(Reason, Vec<&str>)> = Vec::new();
                for (task, p) in tasks.iter().zip(&plan.activities) {
                    let Some(reason) = calendar.against(&task.need, at) else { continue };
                    let name = p.row.weather.map_or("", |w| self.content.weather_needs[w].what.as_str());
                    match not.iter_mut().find(|(r, _)| *r == reason) {
                        Some((_, names)) => names.push(name),
                        None => not.push((reason, vec![name])),
                    }
                }
                let why = not.into_iter().map(|(reason, mut names)| {
                    names.sort_unstable();
                    names.dedup();
                    names.retain(|n| !n.is_empty());
                    let word = self.word(reason_word(reason));
                    if reason == Reason::DayOff || names.is_empty() {
                        word
                    } else {
                        format!("{word}: {}", names.join(", "))
                    }
                });
                vec![days[at].date.to_string(), self.weather_words(&days[at]), done, why.collect::<Vec<_>>().join("; ")]
            })
            .collect();
        let head = ["table.date", "table.weather", "table.done", "table.not_today"].map(|k| self.word(k)).to_vec();
        blocks.push(Block::Table { head, rows });
        if let Some(last) = ends {
            let (from, to) = (days[forecast.start].date.to_string(), days[last].date.to_string());
            blocks.push(Block::Paragraph(self.word_with("text.done_by", &[("from", &from), ("to", &to)])));
        }
        // a record of more than a year tells how often it would have worked
        if days.len() > 366 {
            let within = usize::try_from(plan.schedule.length / DAY * 2 + 10).unwrap_or(60);
            let weeks = calendar.chances(&tasks, &order, within);
            blocks.push(self.heading("heading.chances"));
            blocks.push(Block::Paragraph(self.word_with("text.chances", &[("within", &within.to_string())])));
            let row = |(week, starts, done): &(i8, usize, usize)| {
                vec![
                    week.to_string(),
                    self.word_with("label.of", &[("done", &done.to_string()), ("all", &starts.to_string())]),
                ]
            };
            let best = weeks.iter().map(|(_, starts, done)| done * 1000 / starts.max(&1)).max().unwrap_or(0);
            let good: Vec<String> = weeks
                .iter()
                .filter(|(_, starts, done)| best > 0 && done * 1000 / starts.max(&1) == best)
                .map(|(week, ..)| week.to_string())
                .collect();
            blocks.push(Block::Paragraph(self.word_with("text.best_weeks", &[("list", &good.join(", "))])));
            let head = ["table.week", "table.in_time"].map(|k| self.word(k)).to_vec();
            blocks.push(Block::Table { head, rows: weeks.iter().map(row).collect() });
        }
    }

    fn weather_words(&self, day: &crate::work::Day) -> String {
        let rain = match self.units {
            Units::Inch => format!("{:.2} in", hours_in_days(day.rain * DAY) / 10.0 / 25.4),
            Units::Metric => format!("{:.1} mm", hours_in_days(day.rain * DAY) / 10.0),
        };
        self.word_with(
            "label.day",
            &[("low", &day.low.show(self.units)), ("high", &day.high.show(self.units)), ("rain", &rain)],
        )
    }

    fn quantity_blocks(&self, blocks: &mut Vec<Block>) {
        let list = self.quantities();
        if list.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.quantities"));
        let row = |q: &Quantity| {
            let amount = self.word_with(q.unit, &[("amount", &shown(q.amount))]);
            let waste = if q.waste == 0 { String::new() } else { format!("{} %", q.waste) };
            vec![self.word(q.key), amount, q.formula.clone(), waste]
        };
        let head = ["table.material", "table.amount", "table.formula", "table.waste"].map(|k| self.word(k)).to_vec();
        blocks.push(Block::Table { head, rows: list.iter().map(row).collect() });
        blocks.push(Block::Note(self.word("text.quantities")));
    }
}

/// Takes away what comes before anyway, because something between the two waits for it.
fn only_direct(mut activities: Vec<Planned<'_>>) -> Vec<Planned<'_>> {
    // of each activity all that is done before it, in the order of the list
    let mut all: Vec<Vec<bool>> = Vec::with_capacity(activities.len());
    for i in 0..activities.len() {
        let mut before = vec![false; activities.len()];
        for p in &activities[i].after {
            before[*p] = true;
            for (k, done) in all[*p].iter().enumerate() {
                before[k] |= *done;
            }
        }
        all.push(before);
        let after = activities[i].after.clone();
        activities[i].after.retain(|p| !after.iter().any(|other| all[*other][*p]));
    }
    activities
}

/// A share with so many per cent on top.
fn with_waste(per_cent: i64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // per cent
    let more = (100 + per_cent) as f64;
    more / 100.0
}

fn hours_in_days(hours: i64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // hours of a job
    let hours = hours as f64;
    hours / 8.0
}

fn ceil(hours: f64) -> i64 {
    #[allow(clippy::cast_possible_truncation)] // hours of a job
    let whole = (hours - 1e-9).ceil() as i64;
    whole.max(0)
}

/// Counts whole, measures to a tenth.
fn shown(amount: f64) -> String {
    if (amount - amount.round()).abs() < 1e-9 { format!("{amount:.0}") } else { format!("{amount:.1}") }
}

fn span(from: i64, to: i64) -> String {
    if from >= to { from.to_string() } else { format!("{from}-{to}") }
}

/// A bar: a character for each half day, work as `#`, waiting as `.`, before that nothing.
fn bar(plan: &Plan<'_>, i: usize) -> String {
    let half = DAY / 2;
    let p = &plan.activities[i];
    let (start, work) = (plan.schedule.earliest[i], p.hours.max(1));
    let cells = |hours: i64| usize::try_from((hours + half - 1) / half).unwrap_or(0);
    let before = usize::try_from(start / half).unwrap_or(0);
    let mut bar = "\u{a0}".repeat(before);
    bar.push_str(&"#".repeat(cells(start % half + work).max(1)));
    bar.push_str(&".".repeat(cells(p.row.cure_days * DAY)));
    bar
}

fn reason_word(reason: Reason) -> &'static str {
    match reason {
        Reason::TooCold => "reason.too_cold",
        Reason::TooHot => "reason.too_hot",
        Reason::Rain => "reason.rain",
        Reason::WetBefore => "reason.wet_before",
        Reason::WetAfter => "reason.wet_after",
        Reason::ColdAfter => "reason.cold_after",
        Reason::DayOff => "reason.day_off",
    }
}
