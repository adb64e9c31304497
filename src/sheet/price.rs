//! Hours and prices on a sheet.

use super::document::Block;
use crate::judge::{Job, Plan, Prices, Range};

impl<'c> Job<'_, 'c> {
    /// Person-hours of the plan, and beside them those of the same joint as a repair later on.
    pub(crate) fn hours_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>) {
        let lead = self.lead();
        let now = plan.person_hours();
        blocks.push(lead.heading("heading.person_hours"));
        let later = self.person_hours_later();
        let mut head = vec![lead.word("table.who"), lead.word("table.now")];
        head.extend(later.as_ref().map(|_| lead.word("table.later")));
        let mut rows: Vec<Vec<String>> = Vec::new();
        for trade in crate::content::Who::ALL.map(crate::content::Who::word) {
            let both = [Some(&now), later.as_ref()].into_iter().flatten();
            let cells: Vec<i64> = both.map(|h| h.get(trade).copied().unwrap_or(0)).collect();
            if cells.iter().any(|c| *c > 0) {
                rows.push(
                    std::iter::once(lead.word(&format!("who.{trade}")))
                        .chain(cells.iter().map(i64::to_string))
                        .collect(),
                );
            }
        }
        blocks.push(Block::Table { head, rows });
        if later.is_some() {
            blocks.push(Block::Note(lead.word("text.later")));
        }
    }

    /// The costs, and what has no price.
    pub(crate) fn price_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>, prices: &Prices) {
        let lead = self.lead();
        let costs = self.costs(plan, prices);
        let cells = |what: String, r: Range| vec![what, money(r.low), money(r.likely), money(r.high)];
        let mut rows: Vec<Vec<String>> =
            costs.parts.iter().filter_map(|part| Some(cells(lead.cost_words(&part.of), part.range?))).collect();
        rows.push(cells(lead.word("load.total"), costs.total));
        if let Some(later) = self.costs_later(prices) {
            rows.push(cells(lead.word("price.later"), later));
        }
        blocks.push(lead.heading("heading.price"));
        let head = ["table.about", "table.low", "table.likely", "table.high"];
        blocks.push(Block::Table { head: head.map(|k| lead.word(k)).to_vec(), rows });
        blocks.push(Block::Note(lead.word_with("text.price", &[("currency", &prices.currency)])));
        let mut missing: Vec<String> =
            costs.parts.iter().filter(|p| p.range.is_none()).map(|p| lead.cost_words(&p.of)).collect();
        missing.extend(self.not_counted());
        if !missing.is_empty() {
            blocks.push(Block::Paragraph(lead.word_with("text.no_price", &[("list", &missing.join("; "))])));
        }
    }
}

/// To whole units of the currency.
fn money(amount: f64) -> String {
    format!("{amount:.0}")
}
