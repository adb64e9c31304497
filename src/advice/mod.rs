//! Advice: content and answers in; findings, verdict and sheets out.

mod assess;
mod content;
mod digging;
mod document;
mod heights;
mod openings;
mod picture;
mod report;
mod rows;
mod sheets;
mod stairs;
mod stretches;
mod text;
mod verdict;
mod ways;
pub mod words;

pub use assess::{Along, Assessment, Clearance, Lowering, OpenPoint};
pub use content::{AFTER_LIMITS, Content, LIMIT_STATES, Slots};
pub use digging::Digging;
pub use document::{Block, Check, Document, Point};
pub use openings::OpeningRow;
pub use picture::Picture;
pub use report::{REPORT_SCHEMA, Report};
pub use rows::{
    Ask, Basis, Call, Caution, CoursingRow, Defined, Finding, Layer, Limit, Material, Origin, Phase, Sheet, Stairs,
    Task, Who,
};
pub use sheets::Cover;
pub use stairs::{Climb, Steps};
pub use stretches::Stretches;
pub use verdict::{Settled, Verdict};
pub use ways::Way;
