//! Decimal numbers and fractions as people type them, kept exact.

/// A number as typed: `num / den`, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Typed {
    /// Numerator.
    pub(super) num: i128,
    /// Denominator, greater than zero.
    pub(super) den: i128,
}

/// Why a piece of text is no number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum NotADecimal {
    /// Not made of digits with at most one decimal mark.
    NotANumber,
    /// `1,200`: a decimal comma or a thousands mark, nobody can tell.
    AmbiguousComma,
    /// More digits than any measurement has.
    TooLong,
}

/// Reads `12`, `7.75`, `19,7`.
pub(super) fn decimal(text: &str) -> Result<Typed, NotADecimal> {
    if let Some((_, tail)) = text.split_once(',')
        && tail.len() == 3
    {
        return Err(NotADecimal::AmbiguousComma);
    }
    let text = text.replace(',', ".");
    let (whole, frac) = text.split_once('.').unwrap_or((&text, ""));
    let digits = format!("{whole}{frac}");
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return Err(NotADecimal::NotANumber);
    }
    if digits.len() > 15 {
        return Err(NotADecimal::TooLong);
    }
    let num = digits.parse::<i128>().map_err(|_| NotADecimal::NotANumber)?;
    let places = u32::try_from(frac.len()).map_err(|_| NotADecimal::TooLong)?;
    Ok(Typed { num, den: 10_i128.pow(places) })
}

/// `num / den` to the nearest whole number, halves away from zero. `den` is greater than zero.
pub(super) fn round_div(num: i128, den: i128) -> i128 {
    let half = den / 2;
    if num >= 0 { (num + half) / den } else { (num - half) / den }
}
