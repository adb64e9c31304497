//! What the plan costs by the user's own price book, and what the same joint costs as a repair later on.

use super::assess::Assessment;
use super::content::Content;
use super::document::Block;
use super::plan::Plan;
use crate::flow::{Answer, Answers};
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

impl Assessment<'_> {
    /// Person-hours by trade.
    #[must_use]
    pub fn person_hours(&self, plan: &Plan<'_>) -> BTreeMap<&'static str, i64> {
        let mut hours = BTreeMap::new();
        for p in &plan.activities {
            *hours.entry(p.row.who.word()).or_insert(0) += p.hours * p.row.crew;
        }
        hours
    }

    /// Person-hours of the plan, and beside them those of the same joint as a repair later on.
    pub(super) fn hours_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'_>) {
        let now = self.person_hours(plan);
        blocks.push(self.heading("heading.person_hours"));
        let later = self.content.as_repair(self.answers);
        let later = later.as_ref().map(|answers| self.content.assess(answers, self.units));
        let later = later.as_ref().and_then(|a| Some(a.person_hours(&a.plan()?)));
        let mut head = vec![self.word("table.who"), self.word("table.now")];
        head.extend(later.as_ref().map(|_| self.word("table.later")));
        let trades = ["homeowner", "hardscape", "exterior"];
        let mut rows: Vec<Vec<String>> = Vec::new();
        for trade in trades {
            let both = [Some(&now), later.as_ref()].into_iter().flatten();
            let cells: Vec<i64> = both.map(|h| h.get(trade).copied().unwrap_or(0)).collect();
            if cells.iter().any(|c| *c > 0) {
                rows.push(
                    std::iter::once(self.word(&format!("who.{trade}")))
                        .chain(cells.iter().map(i64::to_string))
                        .collect(),
                );
            }
        }
        blocks.push(Block::Table { head, rows });
        if later.is_some() {
            blocks.push(Block::Note(self.word("text.later")));
        }
    }

    /// Labour by trade, materials, an allowance for hidden damage, and what has no price.
    pub(super) fn price_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'_>, prices: &Prices) {
        let mut rows: Vec<Vec<String>> = Vec::new();
        let mut missing: Vec<String> = Vec::new();
        let mut total = NOTHING;
        let mut put = |what: String, amount: f64, price: Option<&Range>| match price {
            Some(price) => {
                let cost = *price * amount;
                total = total + cost;
                rows.push(vec![what, money(cost.low), money(cost.likely), money(cost.high)]);
            }
            None => missing.push(what),
        };
        for (trade, hours) in self.person_hours(plan) {
            let who = self.word(&format!("who.{trade}"));
            let what = self.word_with("price.labour", &[("who", &who), ("hours", &hours.to_string())]);
            #[allow(clippy::cast_precision_loss)] // hours of a job
            put(what, hours as f64, prices.labour.get(trade));
        }
        for q in self.quantities() {
            put(self.word(q.key), q.amount, prices.materials.get(q.id));
        }
        if self.says_yes("wall.to_open") {
            put(self.word("price.hidden_damage"), 1.0, prices.hidden_damage.as_ref());
        }
        rows.push(vec![self.word("load.total"), money(total.low), money(total.likely), money(total.high)]);
        blocks.push(self.heading("heading.price"));
        let head = ["table.about", "table.low", "table.likely", "table.high"];
        blocks.push(Block::Table { head: head.map(|k| self.word(k)).to_vec(), rows });
        blocks.push(Block::Note(self.word_with("text.price", &[("currency", &prices.currency)])));
        if !missing.is_empty() {
            blocks.push(Block::Paragraph(self.word_with("text.no_price", &[("list", &missing.join("; "))])));
        }
    }
}

impl Content {
    /// The answers of a planned visit as they would be once it stands as planned and has leaked: nothing where the visit
    /// is no plan.
    fn as_repair(&self, answers: &Answers) -> Option<Answers> {
        let units = Units::Inch;
        let mut later = answers.clone();
        let mut set = |id: &str, text: &str| {
            let number = self.flow.question(id)?;
            later.set(number, self.flow.questions[number].read_answer(text, units).ok()?);
            Some(())
        };
        let chosen = |id: &str| {
            let number = self.flow.question(id)?;
            match answers.get(number)? {
                Answer::Choice(i) => self.flow.questions[number].choices.get(*i).map(|c| c.id.as_str()),
                _ => None,
            }
        };
        if chosen("stage") != Some("planned") {
            return None;
        }
        let removable = match chosen("feature")? {
            "sand_set_pavers" | "walkway" | "raised_patio" => "loose",
            "concrete_slab" => "concrete",
            "built_against" => return None,
            _ => "mortared",
        };
        set("stage", "built")?;
        set("removable", removable)?;
        set("signs", "soft_sheathing")?;
        set("soft_extent", "length")?;
        Some(later)
    }
}

/// To whole units of the currency.
fn money(amount: f64) -> String {
    format!("{amount:.0}")
}
