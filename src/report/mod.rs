//! The assessment for machines: JSON.

mod answer;
mod heights;
mod notes;
mod number;
mod plan;
#[allow(clippy::module_inception)] // the report itself, beside its parts
mod report;
mod water;

pub use plan::PlanJson;
pub use report::{REPORT_SCHEMA, Report};
