//! What is said to an answer that is none.

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
