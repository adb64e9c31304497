//! What the plan costs by the user's own price book, and what the same joint costs as a repair later on.

use super::amounts::{Amount, totals};
use super::model::Assessment;
use super::plan::{Job, Plan};
use super::stretches::Stretches;
use crate::content::QuantityRow;
use crate::flow::Answers;
use crate::names::DefinedId;
use crate::units::Units;
use std::collections::BTreeMap;

/// A price as a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The least.
    pub low: f64,
    /// What is likely.
    pub likely: f64,
    /// The most.
    pub high: f64,
}

/// A price book. All prices are the user's own.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Prices {
    /// In which units materials are priced: square feet, yards and pounds, or their metric kin.
    pub units: Units,
    /// The currency, as it is printed.
    pub currency: String,
    /// For one person-hour, by trade: `homeowner`, `hardscape`, `exterior`.
    pub labour: BTreeMap<String, Range>,
    /// For one unit, by the id of the quantity.
    pub materials: BTreeMap<String, Range>,
    /// For damage that comes to light once the wall is open.
    pub hidden_damage: Option<Range>,
}

impl std::ops::Mul<f64> for Range {
    type Output = Range;

    fn mul(self, by: f64) -> Range {
        Range { low: self.low * by, likely: self.likely * by, high: self.high * by }
    }
}

impl std::ops::Add for Range {
    type Output = Range;

    fn add(self, other: Range) -> Range {
        Range { low: self.low + other.low, likely: self.likely + other.likely, high: self.high + other.high }
    }
}

const NOTHING: Range = Range { low: 0.0, likely: 0.0, high: 0.0 };

/// A price for one part of the plan.
#[derive(Debug, Clone)]
pub struct Cost<'c> {
    /// What it is for.
    pub of: CostOf<'c>,
    /// The price; nothing if the price book has none.
    pub range: Option<Range>,
}

/// What a price is for.
#[derive(Debug, Clone, Copy)]
pub enum CostOf<'c> {
    /// Person-hours of a trade, by its word.
    Labour(&'static str, i64),
    /// A material.
    Material(&'c QuantityRow, Amount),
    /// Damage that comes to light once the wall is open.
    HiddenDamage,
}

impl CostOf<'_> {
    /// The trade, the id of the quantity, or `hidden_damage`: as in the price book and in JSON.
    #[must_use]
    pub fn id(&self) -> &str {
        match self {
            CostOf::Labour(trade, _) => trade,
            CostOf::Material(row, _) => &row.id,
            CostOf::HiddenDamage => "hidden_damage",
        }
    }
}

/// The costs of a plan by a price book, and their sum.
#[derive(Debug, Clone)]
pub struct Costs<'c> {
    /// Each part.
    pub parts: Vec<Cost<'c>>,
    /// The sum of those that have a price.
    pub total: Range,
}

impl Plan<'_> {
    /// Person-hours by trade.
    #[must_use]
    pub fn person_hours(&self) -> BTreeMap<&'static str, i64> {
        let mut hours = BTreeMap::new();
        for p in &self.activities {
            *hours.entry(p.row.who.word()).or_insert(0) += p.hours * p.row.crew;
        }
        hours
    }
}

impl<'c> Job<'_, 'c> {
    /// Looks at the same joint as a repair later on; nothing where the visit is no plan.
    fn later<R>(&self, look: impl for<'x, 'y> FnOnce(&Job<'x, 'y>, &Plan<'y>) -> R) -> Option<R> {
        let content = self.lead().content;
        let answers: Vec<_> = self.stretches().iter().filter_map(|(name, a)| Some((name, a.as_repair()?))).collect();
        let units = self.lead().units;
        let assessed = answers.iter().map(|(name, answers)| ((**name).to_owned(), content.assess(answers, units)));
        let stretches = Stretches::of(assessed.collect())?;
        let job = Job::of(&stretches);
        // where it would not be opened as siding or a coat is, as with brick, the repair is not reckoned
        if !job.stretches().iter().any(|(_, a)| a.certainly(DefinedId::WallToOpen)) {
            return None;
        }
        let plan = job.plan()?;
        Some(look(&job, &plan))
    }

    /// Person-hours of the same joint as a repair later on, by trade; nothing where the visit is no plan.
    #[must_use]
    pub fn person_hours_later(&self) -> Option<BTreeMap<&'static str, i64>> {
        self.later(|_, plan| plan.person_hours())
    }

    /// What the same joint costs as a repair later on, by the same book; nothing where the visit is no plan.
    #[must_use]
    pub fn costs_later(&self, prices: &Prices) -> Option<Range> {
        self.later(|job, plan| job.costs(plan, prices).total)
    }

    /// Labour by trade, materials, and an allowance for hidden damage, each by the price book.
    #[must_use]
    pub fn costs(&self, plan: &Plan<'c>, prices: &Prices) -> Costs<'c> {
        let mut costs = Costs { parts: Vec::new(), total: NOTHING };
        let mut put = |of: CostOf<'c>, amount: f64, price: Option<&Range>| {
            let range = price.map(|price| *price * amount);
            if let Some(range) = range {
                costs.total = costs.total + range;
            }
            costs.parts.push(Cost { of, range });
        };
        for (trade, hours) in plan.person_hours() {
            #[allow(clippy::cast_precision_loss)] // hours of a job
            put(CostOf::Labour(trade, hours), hours as f64, prices.labour.get(trade));
        }
        for (row, amount) in totals(&self.quantities()).into_iter().filter(|(row, _)| row.priced) {
            put(CostOf::Material(row, amount), amount.in_units(prices.units), prices.materials.get(row.id.as_str()));
        }
        if self.stretches().iter().any(|(_, a)| a.certainly(DefinedId::WallToOpen)) {
            put(CostOf::HiddenDamage, 1.0, prices.hidden_damage.as_ref());
        }
        costs
    }
}

impl Assessment<'_> {
    /// The answers of a planned visit as they would be once it stands as planned and has leaked: nothing where the
    /// content tells no such story of it.
    fn as_repair(&self) -> Option<Answers> {
        let rows = self.content.repair_later.iter().filter(|row| row.when.eval(&self.values).is_yes());
        let mut later: Option<Answers> = None;
        for (question, answer) in rows.flat_map(|row| &row.set) {
            later.get_or_insert_with(|| self.answers.clone()).set(*question, answer.clone());
        }
        later
    }
}
