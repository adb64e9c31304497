//! What is said to an answer that is none.
//!
//! Two ways lead to words: `Display`, which is English wherever it is read (files, the command line), and [`AnswerError::word`],
//! the same as a word of the content, which has translations. A test holds the English of both together.

use crate::units::LengthError;

/// Why a text is no answer to a question. The message says what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AnswerError {
    /// Not a length.
    #[error(transparent)]
    Length(#[from] LengthError),
    /// Not a number.
    #[error("`{0}` is not a number; type digits, such as 3 or 2.5")]
    Number(String),
    /// Not a year.
    #[error("`{0}` is not a year; type four digits, such as 1987")]
    Year(String),
    /// A year that has not come yet.
    #[error("{year} has not come yet; type a year up to {now}")]
    Future {
        /// What was typed.
        year: i64,
        /// The year it is.
        now: i64,
    },
    /// Not yes or no.
    #[error("`{0}` is neither yes nor no")]
    YesNo(String),
    /// Not one of the choices.
    #[error("`{found}` is not one of the choices: {choices}")]
    Choice {
        /// What was typed.
        found: String,
        /// The ids of the choices.
        choices: String,
    },
    /// Not heights along the wall.
    #[error(
        "`{found}` is no list of places and heights; type each place from the left end with its height, such as {example}"
    )]
    Profile {
        /// What was typed.
        found: String,
        /// What to type.
        example: String,
    },
    /// Not openings with their places.
    #[error("`{found}` does not say where it begins and ends; type it such as {example}")]
    Places {
        /// What was typed.
        found: String,
        /// What to type.
        example: String,
    },
    /// Two heights at one place.
    #[error("there are two heights at {0}; give each place once")]
    PlaceTwice(String),
    /// Empty text.
    #[error("type something, or say that you are not sure")]
    Empty,
    /// "Not sure" to a question that needs an answer.
    #[error("this one needs an answer: everything else hangs on it")]
    NeedsAnswer,
    /// Outside what is possible.
    #[error(
        "{value} cannot be right here: it must lie between {least} and {most}. Measure again, or check the sign and the unit"
    )]
    Impossible {
        /// The value as understood.
        value: String,
        /// The least that is taken.
        least: String,
        /// The most that is taken.
        most: String,
    },
}

/// A text of the content with what goes into its placeholders.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AnswerMessage {
    /// The key of the word.
    pub key: &'static str,
    /// Placeholders and what stands for them.
    pub values: Vec<(&'static str, String)>,
}

impl AnswerError {
    /// The same message as a word of the content, for whoever answers on a screen.
    #[must_use]
    pub fn word(&self) -> AnswerMessage {
        let (key, values) = match self {
            AnswerError::Length(error) => length_word(error),
            AnswerError::Number(found) => ("error.answer.number", vec![("found", found.clone())]),
            AnswerError::Year(found) => ("error.answer.year", vec![("found", found.clone())]),
            AnswerError::Future { year, now } => {
                ("error.answer.future", vec![("year", year.to_string()), ("now", now.to_string())])
            }
            AnswerError::YesNo(found) => ("error.answer.yes_no", vec![("found", found.clone())]),
            AnswerError::Choice { found, choices } => {
                ("error.answer.choice", vec![("found", found.clone()), ("choices", choices.clone())])
            }
            AnswerError::Profile { found, example } => {
                ("error.answer.profile", vec![("found", found.clone()), ("example", example.clone())])
            }
            AnswerError::Places { found, example } => {
                ("error.answer.places", vec![("found", found.clone()), ("example", example.clone())])
            }
            AnswerError::PlaceTwice(at) => ("error.answer.place_twice", vec![("at", at.clone())]),
            AnswerError::Empty => ("error.answer.empty", Vec::new()),
            AnswerError::NeedsAnswer => ("error.answer.needs_answer", Vec::new()),
            AnswerError::Impossible { value, least, most } => (
                "error.answer.impossible",
                vec![("value", value.clone()), ("least", least.clone()), ("most", most.clone())],
            ),
        };
        AnswerMessage { key, values }
    }
}

fn length_word(error: &LengthError) -> (&'static str, Vec<(&'static str, String)>) {
    match error {
        LengthError::Empty { example } => ("error.answer.no_length", vec![("example", (*example).to_owned())]),
        LengthError::NotALength { found, example } => {
            ("error.answer.length", vec![("found", found.clone()), ("example", (*example).to_owned())])
        }
        LengthError::UnknownUnit { unit } => ("error.answer.unit", vec![("found", unit.clone())]),
        LengthError::BadFraction { fraction } => ("error.answer.fraction", vec![("found", fraction.clone())]),
        LengthError::BareFraction { found } => ("error.answer.bare_fraction", vec![("found", found.clone())]),
        LengthError::AmbiguousComma { found } => {
            let (whole, parts) = (found.replace(',', ""), found.replacen(',', ".", 1));
            ("error.answer.two_ways", vec![("found", found.clone()), ("whole", whole), ("parts", parts)])
        }
        LengthError::MixedUnits { found, example } => {
            ("error.answer.mixed_units", vec![("found", found.clone()), ("example", (*example).to_owned())])
        }
        LengthError::TooLong { found } => ("error.answer.too_long", vec![("found", found.clone())]),
    }
}
