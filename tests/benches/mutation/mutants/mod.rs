//! Content with one thing changed: rows as trees ([`tree`]), what can be changed in a row ([`kinds`]), and by how much a figure
//! is moved ([`unit`]).
//!
//! A mutant means something else than the row it comes from, as far as one row can tell: nothing is put in another order,
//! doubled or written in another way.

mod conditions;
mod kinds;
mod tree;
mod unit;

pub(crate) use kinds::{Kind, ROWS, mutants};
pub(crate) use tree::{Tree, Yaml};
