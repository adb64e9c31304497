//! Where something stands in a content file.

use crate::pack::packed;

/// A place in a content file: bytes `start..end` of file number `file`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    pub(super) file: u32,
    pub(super) start: u32,
    pub(super) end: u32,
}

packed!(struct Place { file, start, end });

impl Place {
    /// The place of what stands in no file.
    #[must_use]
    pub fn nowhere() -> Place {
        Place { file: u32::MAX, ..Place::default() }
    }

    /// The number of the file.
    #[must_use]
    pub fn file(self) -> usize {
        self.file as usize
    }

    /// The byte at which it starts.
    #[must_use]
    pub fn start(self) -> usize {
        self.start as usize
    }
}
