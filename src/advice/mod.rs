//! Advice: content and answers in; findings, verdict and sheets out.

mod assess;
mod content;
mod digging;
mod document;
mod heights;
mod load;
mod openings;
mod picture;
mod report;
mod rows;
mod sheets;
mod stairs;
mod stretches;
mod suspects;
mod text;
mod verdict;
mod water;
mod water_json;
mod water_rows;
mod ways;
pub mod words;

pub use assess::{Along, Assessment, Clearance, Lowering, OpenPoint};
pub use content::{AFTER_LIMITS, Content, LIMIT_STATES, Slots};
pub use digging::Digging;
pub use document::{Block, Check, Document, Point};
pub use load::{ChannelLoad, Exposure, Load, LoadRow};
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
pub use suspects::Suspected;
pub use verdict::{Settled, Verdict};
pub use water::{AfterWork, WaterWay};
pub use water_rows::{Evidence, LoadDefault, Remark, RoughnessRow, RunoffRow, Suspect};
pub use ways::Way;
