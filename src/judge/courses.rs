//! The limit on the exit in whole courses of brick, where the wall is of brick.

use super::model::Assessment;
use crate::content::CoursingRow;
use crate::site::FactId;
use crate::units::Length;
use crate::wall::Sense;

/// How many whole courses the limit on the exit takes.
#[derive(Debug)]
pub struct Courses<'c> {
    /// The limit: the least height of the exit above the finish.
    pub bound: Length,
    /// The usual courses of this country, each with how many of them it takes.
    pub rows: Vec<(&'c CoursingRow, i64)>,
}

impl<'c> Assessment<'c> {
    /// The limit in courses; nothing for a wall that has none, or where nothing bounds the exit.
    #[must_use]
    pub fn courses(&self) -> Option<Courses<'c>> {
        if !self.site.in_courses {
            return None;
        }
        let bound = self.bounds_on(FactId::ExitAboveFinish, Sense::AtLeast).map(|l| Length::from_steps(l.bound)).max();
        let bound = bound.filter(|bound| *bound > Length::ZERO)?;
        let region = self.region()?;
        let here = self.content.coursing.iter().filter(|row| row.regions & (1 << region) != 0);
        // of less than one row there is nothing to count
        let rows: Vec<_> = here
            .filter(|row| bound >= row.gauge.height_of(1))
            .map(|row| (row, row.gauge.whole_courses_for(bound)))
            .collect();
        (!rows.is_empty()).then_some(Courses { bound, rows })
    }
}
