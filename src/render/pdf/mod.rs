//! A sheet as PDF, set by Typst as a library. Only with the cargo feature `pdf`; without it there is a stub that says so.
//!
//! A fixed template (`template.typ`) reads the document as data. No text of a visit is ever part of its source, so nothing in
//! it is taken for markup. The typesetter sees no file, no network and no clock, and the embedded fonts only, so the same
//! document gives the same bytes everywhere.

use super::Marks;
use crate::sheet::Document;

#[cfg(feature = "pdf")]
mod data;
#[cfg(feature = "pdf")]
mod letters;
mod paper;
#[cfg(feature = "pdf")]
mod press;
#[cfg(all(test, feature = "pdf"))]
mod tests;

pub use paper::{PaperSize, PdfError};

/// Whether this program can make PDF.
pub const PDF_IS_BUILT: bool = cfg!(feature = "pdf");

/// Sets a document as tagged PDF (PDF/UA-1).
///
/// # Errors
/// [`PdfError::Refused`] with what the typesetter says; [`PdfError::NotBuilt`] without the feature `pdf`.
#[cfg(feature = "pdf")]
pub fn pdf(document: &Document, marks: &Marks, paper: PaperSize) -> Result<Vec<u8>, PdfError> {
    press::print(&data::of(document, marks, paper))
}

/// Says that the program was built without the feature `pdf`.
///
/// # Errors
/// [`PdfError::NotBuilt`] always.
#[cfg(not(feature = "pdf"))]
pub fn pdf(_: &Document, _: &Marks, _: PaperSize) -> Result<Vec<u8>, PdfError> {
    Err(PdfError::NotBuilt)
}
