//! A sheet as PDF, set by Typst as a library. Only with the cargo feature `pdf`; without it there is a stub that says so.
//!
//! A fixed template (`sheet.typ`) reads the document as data. No text of a visit is ever part of its source, so nothing in
//! it is taken for markup. The typesetter sees no file, no network and no clock, and the embedded fonts only, so the same
//! document gives the same bytes everywhere.

use super::Marks;
use crate::sheet::Document;

#[cfg(feature = "pdf")]
mod data;
#[cfg(feature = "pdf")]
mod letters;
#[cfg(feature = "pdf")]
mod press;
#[cfg(all(test, feature = "pdf"))]
mod tests;

/// The size of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperSize {
    /// 8 1/2 by 11 inches, usual in North America.
    Letter,
    /// 210 by 297 mm, usual elsewhere.
    A4,
}

/// Why there is no PDF.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The program was built without it.
    #[error(
        "this wallfoot was built without PDF\nhelp: make the web page instead (-o sheet.html) and print it from a browser, or build with `cargo build --release --features pdf`"
    )]
    NotBuilt,
    /// The typesetter refused. This is a mistake of the program, not of the visit.
    #[error(
        "the sheet could not be set as PDF: {0}\nhelp: make the web page instead (-o sheet.html) and print it from a browser"
    )]
    Refused(String),
}

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
