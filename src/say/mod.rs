//! What was judged, in the sentences of the content: numbers put into their places.

mod amounts;
mod answers;
mod first;
mod heights;
mod limits;
mod price;
mod text;
mod water;
mod ways;

pub(crate) use amounts::metric;
pub(crate) use first::{sentences, without_notes};
pub(crate) use heights::{LEVELS, opening_word};
pub(crate) use limits::{basis_word, rule_word};
pub(crate) use water::{end_word, start_word};
