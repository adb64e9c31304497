//! The quantities as CSV.

use super::error::CommandError;
use super::written::TABLE_HEAD;
use crate::judge::{Job, totals};

/// The quantities as a table: each stretch of wall, then all of them under `total`.
pub(super) fn csv(job: &Job<'_, '_>) -> Result<String, CommandError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(TABLE_HEAD)?;
    let lists = job.quantities();
    for ((name, assessment), list) in job.stretches().iter().zip(&lists) {
        for q in list {
            let (amount, waste) = (format!("{:.2}", q.amount.value), q.waste.to_string());
            let formula = assessment.formula_words(q);
            let (row, unit) = (q.row, q.amount.unit.word());
            writer.write_record([name, row.id.as_str(), &row.what, row.who.word(), &amount, unit, &formula, &waste])?;
        }
    }
    if lists.len() > 1 {
        for (row, amount) in totals(&lists) {
            let (value, unit) = (format!("{:.2}", amount.value), amount.unit.word());
            writer.write_record(["total", row.id.as_str(), &row.what, row.who.word(), &value, unit, "", ""])?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
