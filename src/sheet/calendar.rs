//! The days of the plan on a sheet.

use super::document::Block;
use crate::content::WeatherNeed;
use crate::judge::{Assessment, Days, Forecast, Job, Plan};
use crate::units::Units;
use crate::work::{Booked, Day, Open, Reason};

/// The longest table of days.
const SHOWN: usize = 60;

impl<'c> Job<'_, 'c> {
    pub(crate) fn calendar_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>, forecast: &Forecast<'_>) {
        let lead = self.lead();
        let found = self.days(plan, forecast);
        let days = forecast.record.days();
        blocks.push(lead.heading("heading.calendar"));
        let ends = found.booked.as_ref().and_then(Booked::last);
        if found.booked.is_none() {
            blocks.push(Block::Paragraph(lead.word("text.record_ends")));
        }
        if let Some(last) = ends {
            let (from, to) = (days[forecast.start].date.to_string(), days[last].date.to_string());
            blocks.push(Block::Paragraph(lead.word_with("text.done_by", &[("from", &from), ("to", &to)])));
        }
        if let Some(open) = found.booked.as_ref().and_then(|b| b.open) {
            self.open_block(blocks, &open, days, self.open_days(plan));
        }
        let end = ends.unwrap_or(days.len() - 1).min(forecast.start + SHOWN).min(days.len() - 1);
        let rows = (forecast.start..=end).map(|at| {
            let done = found.booked.as_ref().map_or_else(String::new, |b| {
                let here = b.bookings.iter().enumerate().filter(|(_, b)| b.days.contains(&at));
                here.map(|(i, _)| lead.fill(&plan.activities[i].row.what)).collect::<Vec<_>>().join("; ")
            });
            let date = format!("{} {}", lead.word(weekday_word(days[at].date)), days[at].date);
            let mut not = self.not_today(&found, plan, at);
            let waits = |open: Open| (open.could..open.from).contains(&at);
            if found.booked.as_ref().and_then(|b| b.open).is_some_and(waits) {
                let waits = lead.word("reason.could_not_close");
                not = if not.is_empty() { waits } else { format!("{waits}; {not}") };
            }
            vec![date, lead.weather_words(&days[at]), done, not]
        });
        let head = ["table.date", "table.weather", "table.done", "table.not_today"].map(|k| lead.word(k)).to_vec();
        blocks.push(Block::Table { head, rows: rows.collect() });
        self.chance_blocks(blocks, plan, &found, days);
    }

    /// What does not fit a day, by reason.
    fn not_today(&self, found: &Days<'_>, plan: &Plan<'c>, at: usize) -> String {
        let lead = self.lead();
        let mut not: Vec<(Reason, Vec<&str>)> = Vec::new();
        for (task, p) in found.tasks.iter().zip(&plan.activities) {
            let Some(reason) = found.calendar.against(&task.need, at) else { continue };
            let name = p.row.weather.map_or("", |w| need(lead, w).what.as_str());
            match not.iter_mut().find(|(r, _)| *r == reason) {
                Some((_, names)) => names.push(name),
                None => not.push((reason, vec![name])),
            }
        }
        let why = not.into_iter().map(|(reason, mut names)| {
            names.sort_unstable();
            names.dedup();
            names.retain(|n| !n.is_empty());
            let word = lead.word(reason_word(reason));
            if reason == Reason::DayOff || names.is_empty() { word } else { format!("{word}: {}", names.join(", ")) }
        });
        why.collect::<Vec<_>>().join("; ")
    }

    /// How long the wall stands open, and what that means.
    fn open_block(&self, blocks: &mut Vec<Block>, open: &Open, days: &[Day], most: usize) {
        let lead = self.lead();
        let date = |at: usize| days.get(at).map_or_else(String::new, |d| d.date.to_string());
        let values = [
            ("from", date(open.from)),
            ("to", date(open.to)),
            ("days", open.days().to_string()),
            ("wet", open.wet.to_string()),
            ("could", date(open.could)),
            ("most", most.to_string()),
        ];
        let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
        let mut text = lead.word_with("text.open_wall", &values);
        let mut add = |key: &str| text = format!("{text} {}", lead.word_with(key, &values));
        if open.could < open.from {
            add("text.open_later");
        }
        if open.too_long {
            add("text.open_too_long");
        }
        if open.days() > 1 {
            add("text.open_cover");
        }
        blocks.push(Block::Paragraph(text));
    }

    /// A record of more than a year tells how often it would have worked.
    fn chance_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>, found: &Days<'_>, days: &[Day]) {
        if found.chances.is_empty() {
            return;
        }
        let lead = self.lead();
        blocks.push(lead.heading("heading.chances"));
        blocks.push(Block::Paragraph(lead.word_with("text.chances", &[("within", &found.within.to_string())])));
        let best = found.best_weeks();
        let runs = best.chunk_by(|a, b| a + 1 == *b).map(|run| lead.weeks(days, run[0], run[run.len() - 1]));
        let list = runs.collect::<Vec<_>>().join("; ");
        if i64::try_from(found.within).unwrap_or(0) < plan.days() {
            let needs = plan.days().to_string();
            blocks.push(Block::Paragraph(lead.word_with("text.within_too_short", &[("days", &needs)])));
        } else if best.is_empty() {
            blocks.push(Block::Paragraph(lead.word("text.never_in_time")));
        } else {
            blocks.push(Block::Paragraph(lead.word_with("text.best_weeks", &[("list", &list)])));
        }
        // weeks that follow each other and went alike stand in one row
        let alike = |a: &(i8, usize, usize), b: &(i8, usize, usize)| (a.1, a.2) == (b.1, b.2);
        let row = |weeks: &[(i8, usize, usize)]| {
            let (first, end) = (weeks[0], weeks[weeks.len() - 1]);
            let of = lead.word_with("label.of", &[("done", &first.2.to_string()), ("all", &first.1.to_string())]);
            vec![lead.weeks(days, first.0, end.0), of]
        };
        let head = ["table.week", "table.in_time"].map(|k| lead.word(k)).to_vec();
        blocks.push(Block::Table { head, rows: found.chances.chunk_by(alike).map(row).collect() });
    }
}

fn need<'c>(assessment: &Assessment<'c>, number: usize) -> &'c WeatherNeed {
    &assessment.content.weather_needs[number]
}

impl Assessment<'_> {
    /// The Mondays of the first and the last of some weeks, as day and month of the last year of the record that has
    /// them. A week of the calendar begins up to three days earlier or later in other years.
    fn weeks(&self, days: &[Day], first: i8, last: i8) -> String {
        let monday = |week: i8| {
            let is =
                |d: &&Day| d.date.weekday() == jiff::civil::Weekday::Monday && d.date.iso_week_date().week() == week;
            days.iter().rev().find(is).map_or_else(String::new, |d| {
                let month = self.word(MONTHS[usize::try_from(d.date.month() - 1).unwrap_or(0).min(11)]);
                self.word_with("label.month_day", &[("day", &d.date.day().to_string()), ("month", &month)])
            })
        };
        if first == last {
            return monday(first);
        }
        self.word_with("label.from_to", &[("from", &monday(first)), ("to", &monday(last))])
    }

    fn weather_words(&self, day: &Day) -> String {
        #[allow(clippy::cast_precision_loss)] // tenths of a millimetre of rain in a day
        let millimetres = day.rain as f64 / 10.0;
        let rain = match self.units {
            Units::Inch => format!("{:.2} in", millimetres / 25.4),
            Units::Metric => format!("{millimetres:.1} mm"),
        };
        self.word_with(
            "label.day",
            &[("low", &day.low.show(self.units)), ("high", &day.high.show(self.units)), ("rain", &rain)],
        )
    }
}

const MONTHS: [&str; 12] = [
    "month.1", "month.2", "month.3", "month.4", "month.5", "month.6", "month.7", "month.8", "month.9", "month.10",
    "month.11", "month.12",
];

fn weekday_word(date: jiff::civil::Date) -> &'static str {
    use jiff::civil::Weekday::{Friday, Monday, Saturday, Sunday, Thursday, Tuesday, Wednesday};
    match date.weekday() {
        Monday => "weekday.1",
        Tuesday => "weekday.2",
        Wednesday => "weekday.3",
        Thursday => "weekday.4",
        Friday => "weekday.5",
        Saturday => "weekday.6",
        Sunday => "weekday.7",
    }
}

fn reason_word(reason: Reason) -> &'static str {
    match reason {
        Reason::TooCold => "reason.too_cold",
        Reason::TooHot => "reason.too_hot",
        Reason::Rain => "reason.rain",
        Reason::WetBefore => "reason.wet_before",
        Reason::WetAfter => "reason.wet_after",
        Reason::ColdAfter => "reason.cold_after",
        Reason::HotAfter => "reason.hot_after",
        Reason::HotWind => "reason.hot_wind",
        Reason::DayOff => "reason.day_off",
    }
}
