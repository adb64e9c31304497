//! What is wrong with a table that somebody saved from a spreadsheet, whatever stands in it.

use csv::StringRecord;

/// A slip by which values end up in the wrong column.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableSlip {
    /// A column stands twice, maybe under two of its names.
    #[error("`{first}` and `{second}` are the same column; keep one of them")]
    Twice {
        /// One of them.
        first: String,
        /// The other.
        second: String,
    },
    /// A row has more cells than the head.
    #[error(
        "line {line} has {found} cells, and the head has {wanted}; write decimals with a point, and one cell a column"
    )]
    Cells {
        /// The line, from 1.
        line: u64,
        /// How many there are.
        found: usize,
        /// How many the head has.
        wanted: usize,
    },
}

impl TableSlip {
    /// No column stands twice: each list holds all names of one column.
    ///
    /// # Errors
    /// [`TableSlip::Twice`].
    pub fn in_head(head: &StringRecord, columns: &[&[&str]]) -> Result<(), TableSlip> {
        for names in columns {
            let mut there = head.iter().filter(|h| names.iter().any(|n| h.eq_ignore_ascii_case(n)));
            if let (Some(first), Some(second)) = (there.next(), there.next()) {
                return Err(TableSlip::Twice { first: first.to_owned(), second: second.to_owned() });
            }
        }
        Ok(())
    }

    /// No cell stands beyond the head; empty ones do not count, for spreadsheets leave such.
    ///
    /// # Errors
    /// [`TableSlip::Cells`].
    pub fn in_row(head: &StringRecord, row: &StringRecord, line: u64) -> Result<(), TableSlip> {
        if row.iter().skip(head.len()).all(str::is_empty) {
            return Ok(());
        }
        Err(TableSlip::Cells { line, found: row.len(), wanted: head.len() })
    }
}
