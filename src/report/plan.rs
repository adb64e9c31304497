//! The plan in the report for machines: order, days, quantities, person-hours, costs.

use super::number::{Citation, Number, length, source};
use crate::content::FigureValue;
use crate::judge::{Amount, Days, Forecast, Job, Plan, Prices, Quantity, Range, totals};
use crate::say::metric;
use serde::Serialize;
use std::collections::BTreeMap;

/// The plan.
#[derive(Debug, Serialize)]
pub struct PlanJson {
    working_days: Option<i64>,
    /// Hours of work in a day.
    hours_a_day: Option<i64>,
    /// Hours on site of all activities, one after the other.
    hours: Option<i64>,
    /// Work may come on top, since something has to be found out or looked at first.
    open_ended: bool,
    activities: Vec<ActivityJson>,
    /// Numbers of the activities that nothing may delay.
    critical: Vec<usize>,
    quantities: Vec<StretchJson>,
    totals: Vec<TotalJson>,
    not_counted: Vec<String>,
    figures: Vec<FigureJson>,
    person_hours: BTreeMap<&'static str, i64>,
    person_hours_as_repair_later: Option<BTreeMap<&'static str, i64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    calendar: Option<CalendarJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<PriceJson>,
}

#[derive(Debug, Serialize)]
struct ActivityJson {
    number: usize,
    id: String,
    what: String,
    who: &'static str,
    crew: i64,
    hours: i64,
    /// A size is missing, so that only the fixed hours count.
    rough: bool,
    after: Vec<usize>,
    first_day: i64,
    last_day: i64,
    earliest_start_hours: i64,
    latest_start_hours: i64,
    slack_hours: i64,
    slack_days: f64,
    cure_days: i64,
    office_days: i64,
    hold: bool,
    weather: Option<String>,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct StretchJson {
    stretch: String,
    quantities: Vec<QuantityJson>,
}

#[derive(Debug, Serialize)]
struct QuantityJson {
    id: String,
    what: String,
    who: &'static str,
    amount: f64,
    unit: &'static str,
    before_rounding: f64,
    formula: &'static str,
    inputs: BTreeMap<&'static str, InputJson>,
    waste_percent: i64,
}

#[derive(Debug, Serialize)]
struct InputJson {
    #[serde(flatten)]
    value: Number,
    /// The number in the metric kin of its unit, where it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    metric: Option<f64>,
    default: bool,
    figure: Option<String>,
}

#[derive(Debug, Serialize)]
struct TotalJson {
    id: String,
    amount: f64,
    unit: &'static str,
}

#[derive(Debug, Serialize)]
struct FigureJson {
    id: String,
    what: String,
    #[serde(flatten)]
    value: Number,
    own: bool,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Serialize)]
struct CalendarJson {
    start: String,
    /// The last day of work; nothing if the weather ends first.
    end: Option<String>,
    /// Dates by the number of the activity.
    days: BTreeMap<usize, Vec<String>>,
    open_wall: Option<OpenJson>,
    within_days: usize,
    chances: Vec<ChanceJson>,
    best_weeks: Vec<i8>,
}

#[derive(Debug, Serialize)]
struct OpenJson {
    from: Option<String>,
    to: Option<String>,
    days: usize,
    with_rain: usize,
    could_open: Option<String>,
    most_days: usize,
    too_long: bool,
}

#[derive(Debug, Serialize)]
struct ChanceJson {
    week: i8,
    starts: usize,
    done_in_time: usize,
}

#[derive(Debug, Serialize)]
struct PriceJson {
    currency: String,
    parts: Vec<CostJson>,
    total: RangeJson,
    /// The same joint as a repair later, on top of that.
    total_as_repair_later: Option<RangeJson>,
}

#[derive(Debug, Serialize)]
struct CostJson {
    id: String,
    what: String,
    price: Option<RangeJson>,
}

#[derive(Debug, Serialize)]
struct RangeJson {
    low: f64,
    likely: f64,
    high: f64,
}

impl From<Range> for RangeJson {
    fn from(range: Range) -> RangeJson {
        RangeJson { low: range.low, likely: range.likely, high: range.high }
    }
}

impl<'c> Job<'_, 'c> {
    /// The plan for machines, on days and with prices where these are given.
    #[must_use]
    pub fn json(&self, forecast: Option<&Forecast<'_>>, prices: Option<&Prices>) -> PlanJson {
        let lead = self.lead();
        let plan = self.plan();
        let lists = self.quantities();
        let stretches = self.stretches().iter().zip(&lists);
        PlanJson {
            working_days: plan.as_ref().map(Plan::days),
            hours_a_day: plan.as_ref().map(|plan| plan.shift),
            hours: plan.as_ref().map(|plan| plan.activities.iter().map(|p| p.hours).sum()),
            open_ended: plan.as_ref().is_some_and(Plan::open_ended),
            activities: plan.as_ref().map(|plan| self.activity_rows(plan)).unwrap_or_default(),
            critical: plan.as_ref().map(|p| p.critical().into_iter().map(|i| i + 1).collect()).unwrap_or_default(),
            quantities: stretches
                .map(|((name, _), list)| StretchJson {
                    stretch: (*name).to_owned(),
                    quantities: list.iter().map(|q| self.quantity_row(q)).collect(),
                })
                .collect(),
            totals: totals(&lists)
                .into_iter()
                .map(|(row, amount): (_, Amount)| TotalJson {
                    id: row.id.to_string(),
                    amount: amount.value,
                    unit: amount.unit.word(),
                })
                .collect(),
            not_counted: self.not_counted(),
            figures: lead
                .content
                .plan_figures
                .iter()
                .map(|f| FigureJson {
                    id: f.id.to_string(),
                    what: lead.fill(&f.what),
                    value: value(f.value),
                    own: f.own,
                    source: source(&f.origin),
                })
                .collect(),
            person_hours: plan.as_ref().map(Plan::person_hours).unwrap_or_default(),
            person_hours_as_repair_later: self.person_hours_later(),
            calendar: plan.as_ref().zip(forecast).map(|(plan, forecast)| self.calendar_json(plan, forecast)),
            price: plan.as_ref().zip(prices).map(|(plan, prices)| self.price_json(plan, prices)),
        }
    }

    fn activity_rows(&self, plan: &Plan<'c>) -> Vec<ActivityJson> {
        let lead = self.lead();
        let row = |(i, p): (usize, &crate::judge::Planned<'c>)| ActivityJson {
            number: i + 1,
            id: p.row.id.to_string(),
            what: lead.fill(&p.row.what),
            who: p.row.who.word(),
            crew: p.row.crew,
            hours: p.hours,
            rough: p.rough,
            after: p.after.iter().map(|a| a + 1).collect(),
            first_day: plan.span(i).0,
            last_day: plan.span(i).1,
            earliest_start_hours: plan.schedule.earliest[i],
            latest_start_hours: plan.schedule.latest[i],
            slack_hours: plan.schedule.slack(i),
            slack_days: in_days(plan.schedule.slack(i), plan.shift),
            cure_days: p.row.cure_days,
            office_days: p.row.office_days,
            hold: p.row.hold,
            weather: p.row.weather.map(|w| lead.content.weather_needs[w].id.to_string()),
            source: source(&p.row.origin),
        };
        plan.activities.iter().enumerate().map(row).collect()
    }

    fn quantity_row(&self, q: &Quantity<'_>) -> QuantityJson {
        let lead = self.lead();
        let figure = |number: usize| lead.content.plan_figures[number].id.to_string();
        let inputs = q.inputs.iter().map(|input| {
            let value = value(input.value);
            let metric = value.plain.zip(metric(input.name)).map(|(number, factor)| number * factor);
            let row = InputJson { value, metric, default: input.default, figure: input.figure.map(figure) };
            (input.name, row)
        });
        QuantityJson {
            id: q.row.id.to_string(),
            what: lead.fill(&q.row.what),
            who: q.row.who.word(),
            amount: q.amount.value,
            unit: q.amount.unit.word(),
            before_rounding: q.amount.exact,
            formula: q.row.formula.form().name,
            inputs: inputs.collect(),
            waste_percent: q.waste,
        }
    }

    fn calendar_json(&self, plan: &Plan<'c>, forecast: &Forecast<'_>) -> CalendarJson {
        let found: Days<'_> = self.days(plan, forecast);
        let days = forecast.record.days();
        let date = |at: usize| days.get(at).map(|d| d.date.to_string());
        let booked = found.booked.as_ref();
        let dates = |b: &crate::work::Booking| b.days.iter().filter_map(|d| date(*d)).collect();
        CalendarJson {
            start: date(forecast.start).unwrap_or_default(),
            end: booked.and_then(crate::work::Booked::last).and_then(date),
            days: booked
                .map(|b| b.bookings.iter().enumerate().map(|(i, b)| (i + 1, dates(b))).collect())
                .unwrap_or_default(),
            open_wall: booked.and_then(|b| b.open).map(|open| OpenJson {
                from: date(open.from),
                to: date(open.to),
                days: open.days(),
                with_rain: open.wet,
                could_open: date(open.could),
                most_days: self.open_days(plan),
                too_long: open.too_long,
            }),
            within_days: found.within,
            best_weeks: found.best_weeks(),
            chances: found
                .chances
                .iter()
                .map(|(week, starts, done)| ChanceJson { week: *week, starts: *starts, done_in_time: *done })
                .collect(),
        }
    }

    fn price_json(&self, plan: &Plan<'c>, prices: &Prices) -> PriceJson {
        let costs = self.costs(plan, prices);
        PriceJson {
            currency: prices.currency.clone(),
            parts: costs
                .parts
                .into_iter()
                .map(|part| CostJson {
                    id: part.of.id().to_owned(),
                    what: self.lead().cost_words(&part.of),
                    price: part.range.map(RangeJson::from),
                })
                .collect(),
            total: costs.total.into(),
            total_as_repair_later: self.costs_later(prices).map(RangeJson::from),
        }
    }
}

fn in_days(hours: i64, shift: i64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // hours of a job
    let days = hours as f64 / shift.max(1) as f64;
    days
}

fn value(value: FigureValue) -> Number {
    match value {
        FigureValue::Length(found) => length(found),
        FigureValue::Number(thousandths) => Number::of_thousandths(thousandths),
    }
}
