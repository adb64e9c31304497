//! What judging looks at again and again, sorted once from the rows: which of them can count at all, and lists of those that do
//! something special.

use super::rows::Guard;
use crate::flow::{Bits, Gates, Value};
use crate::pack::packed;

/// Rows sorted for judging.
#[derive(Debug, Default)]
pub struct Quick {
    pub(super) limits: Gates,
    pub(super) findings: Gates,
    /// By region, the limits that hold there.
    pub(super) limits_in: Vec<Bits>,
    /// The limits that hold where the region is not known.
    pub(super) limits_anywhere: Bits,
    /// Limits that lowering the surface helps, and that say how far.
    pub(crate) lowering: Vec<usize>,
    /// Limits with a verdict that bound the step at the door from above.
    pub(crate) step_at_door: Vec<usize>,
    /// Limits that bound a riser from above.
    pub(crate) risers: Vec<usize>,
    /// Findings that the program sees by itself.
    pub(crate) guards: Vec<(usize, Guard)>,
    /// Findings that tell that water is held.
    pub(crate) telling: Vec<usize>,
}

packed!(struct Quick { limits, findings, limits_in, limits_anywhere, lowering, step_at_door, risers, guards, telling });

impl Quick {
    /// The limits that may apply, with the values before them; all others are off.
    pub(crate) fn open_limits(&self, region: Option<usize>, values: &[Value]) -> Bits {
        let mut open = self.limits.open(values);
        open.keep(self.limits_in(region));
        open
    }

    /// The limits that hold in a region, or in any.
    pub(crate) fn limits_in(&self, region: Option<usize>) -> &Bits {
        region.and_then(|here| self.limits_in.get(here)).unwrap_or(&self.limits_anywhere)
    }

    /// The findings that may hold by their condition; all others certainly do not.
    pub(crate) fn open_findings(&self, values: &[Value]) -> Bits {
        self.findings.open(values)
    }
}
