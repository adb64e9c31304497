//! Slopes of surfaces.

use super::number::{decimal, round_div};
use super::{Length, Units};
use crate::pack::packed;

/// A slope: rise over run, positive when it falls away from the wall.
///
/// Invariant: a whole number of parts per thousand million, rounded once from the two lengths, so
/// that equal ratios are equal slopes (1/4 in in 1 ft is 1:48, whichever way it was typed).
///
/// ```
/// use wallfoot::units::{Length, Slope};
/// let fall = Slope::of(Length::inches(6), Length::inches(120)).ok_or("no run")?;
/// assert_eq!(fall, Slope::parse("5 %")?);
/// assert_eq!(Slope::parse("1/4 in per ft")?, Slope::parse("1:48")?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Slope(i64);

packed!(struct Slope(one));

const WHOLE: i128 = 1_000_000_000;

/// Why a text is no slope.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{found}` is not a slope; write it like `2 %`, `1:80` or `1/4 in per ft`")]
pub struct SlopeError {
    found: String,
}

impl Slope {
    /// The slope of a drop over a run; nothing if the run is not greater than zero.
    #[must_use]
    pub fn of(drop: Length, run: Length) -> Option<Self> {
        (run > Length::ZERO).then(|| Self::ratio(i128::from(drop.steps()), i128::from(run.steps())))
    }

    fn ratio(num: i128, den: i128) -> Self {
        Slope(Self::parts_of(num, den).unwrap_or(i64::MAX))
    }

    /// Nothing for what is steeper than any number says.
    fn parts_of(num: i128, den: i128) -> Option<i64> {
        i64::try_from(round_div(num.checked_mul(WHOLE)?, den)).ok()
    }

    /// A slope that can be: at most a hundred times as much down as along.
    fn typed(num: i128, den: i128) -> Option<Self> {
        Self::parts_of(num, den).filter(|parts| i128::from(parts.abs()) <= 100 * WHOLE).map(Slope)
    }

    /// Parts per thousand million.
    #[must_use]
    pub const fn parts(self) -> i64 {
        self.0
    }

    /// From parts per thousand million.
    #[must_use]
    pub const fn from_parts(parts: i64) -> Self {
        Slope(parts)
    }

    /// Per cent, for reports to machines; never for a comparison.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // a slope is far below 2^53 parts
    pub fn as_percent(self) -> f64 {
        self.0 as f64 / 10_000_000.0
    }

    /// How far it falls on a foot, in inches; never for a comparison.
    #[must_use]
    pub fn as_inches_per_foot(self) -> f64 {
        self.over(Length::inches(12)).as_inches()
    }

    /// How far it falls on a metre, in millimetres; never for a comparison.
    #[must_use]
    pub fn as_mm_per_metre(self) -> f64 {
        self.over(Length::mm(1000)).as_mm()
    }

    /// How far a surface with this slope drops over `run`.
    #[must_use]
    pub fn over(self, run: Length) -> Length {
        let steps = round_div(i128::from(self.0) * i128::from(run.steps()), WHOLE);
        Length::from_steps(i64::try_from(steps).unwrap_or(i64::MAX))
    }

    /// Reads `2 %`, `1:80`, `1/4 in per ft`, `25 mm per m`.
    ///
    /// # Errors
    /// A [`SlopeError`] for anything else.
    pub fn parse(text: &str) -> Result<Self, SlopeError> {
        let fail = || SlopeError { found: text.to_owned() };
        let plain = text.trim();
        if let Some(number) = plain.strip_suffix('%') {
            let number = number.trim();
            let (sign, number) = number.strip_prefix('-').map_or((1, number), |rest| (-1, rest));
            let typed = decimal(number).map_err(|_| fail())?;
            return Self::typed(sign * typed.num, typed.den * 100).ok_or_else(fail);
        }
        if let Some((one, run)) = plain.split_once(':') {
            let (one, run) = (decimal(one.trim()).map_err(|_| fail())?, decimal(run.trim()).map_err(|_| fail())?);
            if run.num == 0 {
                return Err(fail());
            }
            return Self::typed(one.num * run.den, one.den * run.num).ok_or_else(fail);
        }
        let (drop, run) = plain.split_once(" per ").ok_or_else(fail)?;
        let drop = Length::parse(drop, Units::Inch).map_err(|_| fail())?;
        let run = Length::parse(&format!("1 {}", run.trim()), Units::Inch).map_err(|_| fail())?;
        Self::of(drop, run).ok_or_else(fail)
    }

    /// Per cent to one tenth, and the drop per foot or per metre.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        // to one tenth of a per cent, and finer where that would show nothing
        let hundredths = round_div(i128::from(self.0), WHOLE / 10_000);
        let rounded = if hundredths.abs() < 10 { hundredths } else { 10 * round_div(hundredths, 10) };
        let sign = if rounded < 0 { "-" } else { "" };
        let percent = format!("{sign}{}.{:02}", rounded.abs() / 100, rounded.abs() % 100);
        let percent = format!("{} %", percent.trim_end_matches('0').trim_end_matches('.'));
        let (run, per) = match units {
            Units::Inch => (Length::inches(12), "ft"),
            Units::Metric => (Length::mm(1000), "m"),
        };
        format!("{percent} ({} per {per})", self.over(run).show(units))
    }
}
