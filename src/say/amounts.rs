//! Amounts and their formulas in words.

use crate::content::FigureValue;
use crate::flow::show_thousandths;
use crate::judge::{Amount, Assessment, Quantity, TONNES_IN_SHORT_TON, Unit};
use crate::units::{KILOGRAMS_IN_POUND, Units};

impl Assessment<'_> {
    /// The formula with its inputs, in words. A default carries a star.
    #[must_use]
    pub fn formula_words(&self, quantity: &Quantity<'_>) -> String {
        let shown: Vec<(&str, String)> = quantity
            .inputs
            .iter()
            .map(|input| {
                let star = if input.default { "*" } else { "" };
                let shown = match (input.value, metric(input.name)) {
                    (FigureValue::Number(number), Some(factor)) if self.units == Units::Metric => {
                        #[allow(clippy::cast_precision_loss)] // for the eye
                        let number = number as f64 / 1000.0 * factor;
                        format!("{number:.2}").trim_end_matches('0').trim_end_matches('.').to_owned()
                    }
                    (value, _) => self.figure_words(value),
                };
                (input.name, format!("{shown}{star}"))
            })
            .collect();
        let values: Vec<(&str, &str)> = shown.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let form = quantity.row.formula.form();
        let other = self.units == Units::Metric && form.params.iter().any(|(name, _)| metric(name).is_some());
        let end = if other { ".metric" } else { "" };
        self.word_with(&format!("formula.{}{end}", form.name), &values)
    }

    pub(crate) fn figure_words(&self, value: FigureValue) -> String {
        match value {
            FigureValue::Length(length) => length.show(self.units),
            FigureValue::Number(number) => show_thousandths(number),
        }
    }

    /// An amount with its unit, in words: counts whole, measures to a tenth.
    #[must_use]
    pub fn amount_words(&self, amount: Amount) -> String {
        let one = matches!(amount.unit, Unit::Whole(_)) && (amount.value - 1.0).abs() < 1e-9;
        let whole = (amount.value - amount.value.round()).abs() < 1e-9;
        let shown = match amount.value {
            value if whole => format!("{value:.0}"),
            value if value < 1.0 => format!("{value:.2}"),
            value => format!("{value:.1}"),
        };
        let end = if one { ".one" } else { "" };
        self.word_with(&format!("unit.{}{end}", amount.unit.word()), &[("amount", &shown)])
    }
}

/// By what a number with a unit of its own is multiplied for metric readers: short tons to the yd3 to t to the m3, ft3
/// to litres, in3 to millilitres, in3 to a pound to cm3 to a kilogram.
pub(crate) fn metric(param: &str) -> Option<f64> {
    Some(match param {
        "weight" => TONNES_IN_SHORT_TON / (0.9144 * 0.9144 * 0.9144),
        "bag" | "most" => 28.316_846_592,
        "content" => 16.387_064,
        "rate" => 16.387_064 / KILOGRAMS_IN_POUND,
        _ => return None,
    })
}
