//! What a price is for, in words.

use crate::judge::{Assessment, CostOf};

impl Assessment<'_> {
    /// What a price is for.
    #[must_use]
    pub fn cost_words(&self, of: &CostOf<'_>) -> String {
        match of {
            CostOf::Labour(trade, hours) => {
                let who = self.word(&format!("who.{trade}"));
                self.word_with("price.labour", &[("who", &who), ("hours", &hours.to_string())])
            }
            CostOf::Material(row, amount) => format!("{}, {}", self.fill(&row.what), self.amount_words(*amount)),
            CostOf::HiddenDamage => self.word("price.hidden_damage"),
        }
    }
}
