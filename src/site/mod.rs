//! From answers to building terms: the one crossing between questions and the wall.
//!
//! The questions live in YAML and can be replaced; which of them the program computes with stands in
//! [`names`](crate::names). [`FACTS`] lists what is computed. While answers are read and facts computed, it is noted
//! which question gave which part and which fact rests on which parts: so what keeps a fact unknown is known.

mod catalog;
mod compute;
mod drainage;
mod facts;
mod fits;
mod look;
mod missing;
mod model;
mod moves;
mod opening;
mod openings;
mod parts;
mod read;
mod storm;
mod terms;
mod water;

pub use crate::names::OpeningKind;
pub use catalog::{Catalog, Cladding, Feature};
pub use drainage::Drainage;
pub use facts::{FACTS, Fact, FactId, FactKind};
pub use model::{Figures, Site};
pub use opening::{Opening, Over};
pub use parts::{Parts, SitePart};
pub(crate) use read::{ALONG, readings};
pub use storm::{MOST_KINDS, Storm};
pub use terms::LevelChange;
pub use water::{Trace, Traced, Traces};
