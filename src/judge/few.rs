//! At most so many of some statements: counted in the formula, row by row.

use crate::solve::{Lit, Sat};

/// Statements that are counted.
///
/// Invariant: `more[row][column]` holds if more than `column` of the statements up to `row` do.
#[derive(Default)]
pub(super) struct Few {
    counted: Vec<Lit>,
    more: Vec<Vec<Lit>>,
    columns: usize,
}

impl Few {
    /// Counts one more statement.
    pub(super) fn add(&mut self, sat: &mut Sat, counted: Lit) {
        self.counted.push(counted);
        self.more.push(Vec::new());
        for column in 0..self.columns {
            self.count(sat, self.counted.len() - 1, column);
        }
    }

    /// The statement that more than so many hold; nothing where nothing is counted.
    pub(super) fn more_than(&mut self, sat: &mut Sat, most: usize) -> Option<Lit> {
        while self.columns <= most {
            for row in 0..self.counted.len() {
                self.count(sat, row, self.columns);
            }
            self.columns += 1;
        }
        self.more.last().map(|row| row[most])
    }

    fn count(&mut self, sat: &mut Sat, row: usize, column: usize) {
        let (this, more) = (self.counted[row], sat.fresh());
        let above = row.checked_sub(1).map(|above| &self.more[above]);
        if let Some(above) = above {
            sat.clause(&[!above[column], more]);
        }
        match (column.checked_sub(1), above) {
            (None, _) => sat.clause(&[!this, more]),
            (Some(left), Some(above)) => sat.clause(&[!this, !above[left], more]),
            // the first alone is never more than one
            (Some(_), None) => {}
        }
        self.more[row].push(more);
    }
}
