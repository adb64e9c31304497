//! The assessment for machines: JSON.

mod notes;
mod plan;
mod report;
mod water;

pub use plan::PlanJson;
pub use report::{REPORT_SCHEMA, Report};
