//! Lengths and heights, exact in both inch fractions and millimetres.

use super::Units;
use super::number::{NotADecimal, decimal, round_div};
use crate::pack::packed;
use std::ops::{Add, Mul, Neg, Sub};

/// A signed length.
///
/// Invariant: a whole number of steps of 1/320 mm. One inch is 8128 steps and 1/64 in is 127, so
/// both tapes are exact and a comparison never depends on the system in which a value was typed.
///
/// ```
/// use wallfoot::units::{Length, Units};
/// let step = Length::parse("7 3/4", Units::Inch)?;
/// assert_eq!(step.show(Units::Inch), "7 3/4 in");
/// assert_eq!(step.show(Units::Metric), "197 mm");
/// assert!(step < Length::parse("197 mm", Units::Inch)?); // 7 3/4 in is 196.85 mm
/// # Ok::<(), wallfoot::units::LengthError>(())
/// ```
///
/// Parsing fails with a [`LengthError`] that says what to type instead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

packed!(struct Length(one));

/// A height above (or, negative, below) the mark of a visit.
///
/// Affine: the difference of two elevations is a [`Length`]; two elevations cannot be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Elevation(i64);

const PER_MM: i64 = 320;
const PER_INCH: i64 = 8128;
const PER_SIXTEENTH: i64 = PER_INCH / 16;
const PER_SIXTY_FOURTH: i64 = PER_INCH / 64;
/// Longest length taken, 10 km: far beyond any wall, far inside `i64`.
const MOST: i128 = 10_000_000 * PER_MM as i128;

/// Why a text is no length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// Nothing was typed.
    #[error("type a length, for example {example}")]
    Empty {
        /// An example in the user's units.
        example: &'static str,
    },
    /// Some part is no number.
    #[error("`{found}` is not a length; type it like {example}")]
    NotALength {
        /// The part that was not understood.
        found: String,
        /// An example in the user's units.
        example: &'static str,
    },
    /// The unit is not one we know.
    #[error("`{unit}` is not a unit of length here; use in, ft, mm, cm or m")]
    UnknownUnit {
        /// What stood where a unit belongs.
        unit: String,
    },
    /// A fraction with nothing below the line, larger than one after a whole number, or of parts that no tape measure shows.
    #[error("`{fraction}` is not a fraction of an inch; a tape measure shows halves to 64ths, such as 3/4")]
    BadFraction {
        /// The fraction as typed.
        fraction: String,
    },
    /// `7 3/4` where lengths without a unit are millimetres.
    #[error("`{found}` has no unit, and a fraction is of an inch: type {found} in, or millimetres as a whole number")]
    BareFraction {
        /// The text as typed.
        found: String,
    },
    /// `1,200`.
    #[error("`{found}` can be read in two ways; write {} or {}", found.replace(',', ""), found.replacen(',', ".", 1))]
    AmbiguousComma {
        /// The number as typed.
        found: String,
    },
    /// Units in an order nobody uses, or inch and metric mixed.
    #[error("the units in `{found}` do not go together; type one length, such as {example}")]
    MixedUnits {
        /// The whole text.
        found: String,
        /// An example in the user's units.
        example: &'static str,
    },
    /// Longer than 10 km.
    #[error("`{found}` is longer than any wall")]
    TooLong {
        /// The text as typed.
        found: String,
    },
}

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);

    /// Whole inches.
    #[must_use]
    pub const fn inches(n: i64) -> Self {
        Length(n * PER_INCH)
    }

    /// Whole 64ths of an inch.
    #[must_use]
    pub const fn sixty_fourths(n: i64) -> Self {
        Length(n * PER_SIXTY_FOURTH)
    }

    /// Whole millimetres.
    #[must_use]
    pub const fn mm(n: i64) -> Self {
        Length(n * PER_MM)
    }

    /// The number of steps of 1/320 mm.
    #[must_use]
    pub const fn steps(self) -> i64 {
        self.0
    }

    /// From steps of 1/320 mm.
    #[must_use]
    pub const fn from_steps(steps: i64) -> Self {
        Length(steps)
    }

    /// The size without the sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Length(self.0.abs())
    }

    /// Inches as a decimal, for drawing and for reports to machines; never for a comparison.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // at most 10 km: exact in f64
    pub fn as_inches(self) -> f64 {
        self.0 as f64 / PER_INCH as f64
    }

    /// Millimetres as a decimal, for drawing and for reports to machines; never for a comparison.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // at most 10 km: exact in f64
    pub fn as_mm(self) -> f64 {
        self.0 as f64 / PER_MM as f64
    }

    /// Reads a length as people write it: `7 3/4`, `7-3/4"`, `2'-6"`, `2 ft 6 in`, `197 mm`, `19.7 cm`,
    /// with a minus sign in front if it goes the other way. A bare number is inches or millimetres
    /// by `units`.
    ///
    /// # Errors
    /// A [`LengthError`] that names the part which was not understood.
    pub fn parse(text: &str, units: Units) -> Result<Self, LengthError> {
        LengthReader { text: text.trim(), units }.read()
    }

    /// The length as a tape shows it: to 1/16 in, or to 1 mm. From 4 ft up in feet and inches, from
    /// 2 m up in metres.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inch => self.show_inches(),
            Units::Metric => self.show_metric(),
        }
    }

    /// This length or the next longer one that [`Length::show`] shows exactly: a whole sixteenth of an inch, or a millimetre.
    #[must_use]
    pub fn up_to_shown(self, units: Units) -> Length {
        let step = match units {
            Units::Inch => PER_SIXTEENTH,
            Units::Metric => PER_MM,
        };
        Length(self.0.div_euclid(step) * step + if self.0.rem_euclid(step) == 0 { 0 } else { step })
    }

    /// The shortest text that [`Length::parse`] reads back as exactly this length.
    #[must_use]
    pub fn exact(self) -> String {
        if self.0 % PER_SIXTY_FOURTH == 0 {
            let sign = if self.0 < 0 { "-" } else { "" };
            format!("{sign}{} in", fraction(self.0.abs() / PER_SIXTY_FOURTH, 64))
        } else if self.0 % PER_MM == 0 {
            format!("{} mm", self.0 / PER_MM)
        } else {
            // 1/320 mm is 0.003125 mm: six decimals hold every step.
            let micro = i128::from(self.0.abs()) * 3125;
            let sign = if self.0 < 0 { "-" } else { "" };
            let text = format!("{sign}{}.{:06}", micro / 1_000_000, micro % 1_000_000);
            format!("{} mm", text.trim_end_matches('0'))
        }
    }

    fn show_inches(self) -> String {
        let sign = if self.0 < 0 { "-" } else { "" };
        let sixteenths = small(round_div(i128::from(self.0.abs()), i128::from(PER_SIXTEENTH)));
        let sign = if sixteenths == 0 { "" } else { sign };
        if sixteenths < 48 * 16 {
            return format!("{sign}{} in", fraction(sixteenths, 16));
        }
        let (feet, rest) = (sixteenths / (12 * 16), sixteenths % (12 * 16));
        if rest == 0 { format!("{sign}{feet} ft") } else { format!("{sign}{feet} ft {} in", fraction(rest, 16)) }
    }

    fn show_metric(self) -> String {
        let mm = small(round_div(i128::from(self.0), i128::from(PER_MM)));
        if mm.abs() < 2000 {
            return format!("{mm} mm");
        }
        let sign = if mm < 0 { "-" } else { "" };
        let text = format!("{sign}{}.{:03}", mm.abs() / 1000, mm.abs() % 1000);
        format!("{} m", text.trim_end_matches('0').trim_end_matches('.'))
    }
}

/// Narrows a rounded quotient of an `i64` back to `i64`; it always fits.
fn small(n: i128) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// `n / parts` as a whole number and a fraction in lowest terms: `7 3/4`.
fn fraction(n: i64, parts: i64) -> String {
    let (whole, mut top) = (n / parts, n % parts);
    let mut bottom = parts;
    while top != 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    match (whole, top) {
        (w, 0) => w.to_string(),
        (0, t) => format!("{t}/{bottom}"),
        (w, t) => format!("{w} {t}/{bottom}"),
    }
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum LengthUnit {
    Foot,
    Inch,
    Metre,
    Centimetre,
    Millimetre,
}

impl LengthUnit {
    fn named(word: &str) -> Option<Self> {
        Some(match word {
            "'" | "ft" | "foot" | "feet" | "pie" | "pies" => LengthUnit::Foot,
            "\"" | "in" | "inch" | "inches" | "''" | "pulg" | "pulgada" | "pulgadas" => LengthUnit::Inch,
            "m" | "metre" | "metres" | "meter" | "meters" => LengthUnit::Metre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => LengthUnit::Centimetre,
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => LengthUnit::Millimetre,
            _ => return None,
        })
    }

    fn steps(self) -> i128 {
        i128::from(match self {
            LengthUnit::Foot => 12 * PER_INCH,
            LengthUnit::Inch => PER_INCH,
            LengthUnit::Metre => 1000 * PER_MM,
            LengthUnit::Centimetre => 10 * PER_MM,
            LengthUnit::Millimetre => PER_MM,
        })
    }

    fn is_metric(self) -> bool {
        self >= LengthUnit::Metre
    }
}

enum Token {
    Number(String),
    Slash,
    Dash,
    Unit(String),
}

struct LengthReader<'a> {
    text: &'a str,
    units: Units,
}

impl LengthReader<'_> {
    fn example(&self) -> &'static str {
        match self.units {
            Units::Inch => "7 3/4, 7-3/4\", 2'-6\" or 197 mm",
            Units::Metric => "197, 19.7 cm, 1.2 m or 7 3/4 in",
        }
    }

    fn unreadable(&self, found: &str) -> LengthError {
        LengthError::NotALength { found: found.to_owned(), example: self.example() }
    }

    fn read(&self) -> Result<Length, LengthError> {
        let plain = plain_signs(self.text);
        let plain = plain.trim();
        if plain.is_empty() {
            return Err(LengthError::Empty { example: self.example() });
        }
        let (negative, rest) = if let Some(rest) = plain.strip_prefix('-').or_else(|| plain.strip_prefix("minus ")) {
            (true, rest)
        } else {
            (false, plain.strip_prefix('+').unwrap_or(plain))
        };
        let tokens = self.tokens(rest)?;
        let steps = self.terms(&tokens)?;
        if steps > MOST {
            return Err(LengthError::TooLong { found: self.text.to_owned() });
        }
        let steps = small(steps);
        Ok(Length(if negative { -steps } else { steps }))
    }

    fn tokens(&self, text: &str) -> Result<Vec<Token>, LengthError> {
        let mut tokens = Vec::new();
        let mut rest = text;
        while let Some(c) = rest.chars().next() {
            let len = if c.is_ascii_digit() || c == '.' || c == ',' {
                let len = rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(rest.len());
                tokens.push(Token::Number(rest[..len].to_owned()));
                len
            } else if c.is_alphabetic() {
                let len = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
                tokens.push(Token::Unit(rest[..len].to_lowercase()));
                // a full stop after an abbreviation: `in.`
                // whatever follows it: `4 ft.6 in.` is no decimal
                len + usize::from(rest[len..].starts_with('.'))
            } else if rest.starts_with("''") {
                tokens.push(Token::Unit("''".to_owned()));
                2
            } else {
                match c {
                    '\'' | '"' => tokens.push(Token::Unit(c.to_string())),
                    '/' => tokens.push(Token::Slash),
                    '-' => tokens.push(Token::Dash),
                    c if c.is_whitespace() => {}
                    _ => return Err(self.unreadable(self.text)),
                }
                c.len_utf8()
            };
            rest = &rest[len..];
        }
        Ok(tokens)
    }

    /// Sums `quantity unit` pairs, largest unit first.
    fn terms(&self, tokens: &[Token]) -> Result<i128, LengthError> {
        let mut total = 0;
        let mut last: Option<LengthUnit> = None;
        let mut i = 0;
        while i < tokens.len() {
            if matches!(tokens[i], Token::Dash) && last.is_some() && i + 1 < tokens.len() {
                i += 1;
            }
            let (num, den, used) = self.quantity(&tokens[i..])?;
            let of_parts = tokens[i..i + used].iter().any(|token| matches!(token, Token::Slash));
            i += used;
            let unit = match tokens.get(i) {
                Some(Token::Unit(word)) => {
                    i += 1;
                    LengthUnit::named(word).ok_or_else(|| LengthError::UnknownUnit { unit: word.clone() })?
                }
                _ if last == Some(LengthUnit::Foot) => LengthUnit::Inch,
                None if last.is_none() => match self.units {
                    Units::Inch => LengthUnit::Inch,
                    Units::Metric if of_parts => {
                        return Err(LengthError::BareFraction { found: self.text.to_owned() });
                    }
                    Units::Metric => LengthUnit::Millimetre,
                },
                _ => return Err(self.unreadable(self.text)),
            };
            if last.is_some_and(|before| before >= unit || before.is_metric() != unit.is_metric()) {
                return Err(LengthError::MixedUnits { found: self.text.to_owned(), example: self.example() });
            }
            // 5'-13" is a slip, not a length
            if last == Some(LengthUnit::Foot) && unit == LengthUnit::Inch && num >= 12 * den {
                return Err(self.unreadable(self.text));
            }
            last = Some(unit);
            total += round_div(num * unit.steps(), den);
        }
        if last.is_none() {
            return Err(self.unreadable(self.text));
        }
        Ok(total)
    }

    /// A whole or decimal number, a fraction, or both: numerator, denominator, tokens used.
    fn quantity(&self, tokens: &[Token]) -> Result<(i128, i128, usize), LengthError> {
        let number = |i: usize| match tokens.get(i) {
            Some(Token::Number(text)) => Some(text.as_str()),
            _ => None,
        };
        let slash = |i: usize| matches!(tokens.get(i), Some(Token::Slash));
        let Some(first) = number(0) else { return Err(self.unreadable(self.text)) };
        if slash(1) {
            let (num, den) = Self::fraction(first, number(2))?;
            return Ok((num, den, 3));
        }
        let whole = decimal(first).map_err(|fault| self.fault(&fault, first))?;
        let at = if matches!(tokens.get(1), Some(Token::Dash)) { 2 } else { 1 };
        if let Some(top) = number(at)
            && slash(at + 1)
        {
            let (num, den) = Self::fraction(top, number(at + 2))?;
            if num >= den || whole.den != 1 {
                return Err(LengthError::BadFraction { fraction: format!("{first} {num}/{den}") });
            }
            return Ok((whole.num * den + num, den, at + 3));
        }
        Ok((whole.num, whole.den, 1))
    }

    fn fraction(top: &str, bottom: Option<&str>) -> Result<(i128, i128), LengthError> {
        let bad = || LengthError::BadFraction { fraction: format!("{top}/{}", bottom.unwrap_or("")) };
        let bottom = bottom.ok_or_else(bad)?;
        let (num, den) = (decimal(top).map_err(|_| bad())?, decimal(bottom).map_err(|_| bad())?);
        // halves to 64ths: a power of two
        if num.den != 1 || den.den != 1 || !(2..=64).contains(&den.num) || den.num.count_ones() != 1 {
            return Err(bad());
        }
        Ok((num.num, den.num))
    }

    fn fault(&self, fault: &NotADecimal, found: &str) -> LengthError {
        match fault {
            NotADecimal::NotANumber => self.unreadable(found),
            NotADecimal::AmbiguousComma => LengthError::AmbiguousComma { found: found.to_owned() },
            NotADecimal::TooLong => LengthError::TooLong { found: found.to_owned() },
        }
    }
}

/// Replaces typographic signs by the ones on a keyboard.
fn plain_signs(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2032}' | '\u{2019}' | '\u{2018}' => plain.push('\''),
            '\u{2033}' | '\u{201d}' | '\u{201c}' => plain.push('"'),
            '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' => plain.push('-'),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            c => plain.push(c),
        }
    }
    plain
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, n: i64) -> Length {
        Length(self.0 * n)
    }
}

impl Elevation {
    /// The mark itself.
    pub const MARK: Elevation = Elevation(0);

    /// How far this height stands above `other` (negative: below).
    #[must_use]
    pub const fn above(self, other: Elevation) -> Length {
        Length(self.0 - other.0)
    }
}

impl Add<Length> for Elevation {
    type Output = Elevation;
    fn add(self, rise: Length) -> Elevation {
        Elevation(self.0 + rise.0)
    }
}

impl Sub<Length> for Elevation {
    type Output = Elevation;
    fn sub(self, drop: Length) -> Elevation {
        Elevation(self.0 - drop.0)
    }
}
