//! Reading a text whose size is bounded, in words for whoever made the file.

use std::fs::File;
use std::io::{Error, ErrorKind, Read};
use std::path::Path;

/// A million bytes.
pub(super) const MB: u64 = 1_000_000;
/// The two ways in which a text in UTF-16 begins.
const WIDE: [[u8; 2]; 2] = [[0xff, 0xfe], [0xfe, 0xff]];

/// Reads a text in UTF-8 of at most so many million bytes.
///
/// # Errors
/// What the system says; or that the file is larger, is a text in UTF-16 or in some older code, each with what to do.
pub fn read_bounded(path: &Path, most_mb: u64) -> std::io::Result<String> {
    let file = File::open(path)?;
    let mut bytes = Vec::new();
    file.take(most_mb * MB + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most_mb * MB {
        return Err(Error::new(ErrorKind::InvalidData, format!("it is larger than {most_mb} MB, and no such file is")));
    }
    in_utf8(bytes)
}

fn in_utf8(bytes: Vec<u8>) -> std::io::Result<String> {
    if WIDE.iter().any(|mark| bytes.starts_with(mark)) {
        return Err(Error::new(ErrorKind::InvalidData, "its text is in UTF-16; save it anew as UTF-8"));
    }
    String::from_utf8(bytes).map_err(|error| {
        let before = error.as_bytes().iter().take(error.utf8_error().valid_up_to());
        let line = before.filter(|byte| **byte == b'\n').count() + 1;
        let text =
            format!("line {line} is in no UTF-8, maybe in an older code of letters; save the file anew as UTF-8");
        Error::new(ErrorKind::InvalidData, text)
    })
}
