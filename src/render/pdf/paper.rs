//! Paper, and why there is none with a sheet on it.

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
