//! The typesetter: a world of four things, the template, the data, the fonts and the library, and nothing else.

use super::letters::FONTS;
use super::paper::PdfError;
use std::fmt::Write;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Smart};
use typst::layout::PagedDocument;
use typst::syntax::{FileId, Source, VirtualPath};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Library, LibraryExt, World};
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// The one source. It never holds anything of a visit.
const TEMPLATE: &str = include_str!("template.typ");

/// Under this name the template reads its data.
const DATA: &str = "document.json";

/// What is the same for every sheet.
struct Press {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    template: Source,
    data: FileId,
}

static PRESS: LazyLock<Press> = LazyLock::new(|| {
    // header cells of rows are tagged by what is still called a feature
    let features = [Feature::A11yExtras].into_iter().collect();
    Press {
        library: LazyHash::new(Library::builder().with_features(features).build()),
        book: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
        template: Source::new(FileId::new(None, VirtualPath::new("template.typ")), TEMPLATE.to_owned()),
        data: FileId::new(None, VirtualPath::new(DATA)),
    }
});

/// A sheet on the press.
struct SheetWorld<'p> {
    press: &'p Press,
    data: Bytes,
}

impl World for SheetWorld<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.press.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.press.book
    }

    fn main(&self) -> FileId {
        self.press.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.press.template.id() { Ok(self.press.template.clone()) } else { Err(not_there(id)) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.press.data { Ok(self.data.clone()) } else { Err(not_there(id)) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    /// There is no clock: a sheet is of the day of its visit, whenever it is printed.
    fn today(&self, _: Option<i64>) -> Option<Datetime> {
        None
    }
}

fn not_there(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().as_rooted_path().to_owned())
}

/// Sets the data as PDF.
///
/// # Errors
/// [`PdfError::Refused`] with what the typesetter says.
pub(super) fn print(data: &super::data::SheetData<'_>) -> Result<Vec<u8>, PdfError> {
    let document = set(data)?;
    let standards = PdfStandards::new(&[PdfStandard::Ua_1]).map_err(|error| PdfError::Refused(error.to_string()))?;
    let options = PdfOptions { ident: Smart::Auto, timestamp: None, page_ranges: None, standards, tagged: true };
    let bytes = typst_pdf::pdf(&document, &options).map_err(|errors| refused(&errors))?;
    // what was remembered for one sheet is not of use for the next but one
    comemo::evict(2);
    Ok(bytes)
}

/// Sets some source of a test in the world of a sheet.
#[cfg(test)]
pub(super) fn alone(code: &str) -> Result<PagedDocument, PdfError> {
    let template = Source::new(FileId::new(None, VirtualPath::new("test.typ")), code.to_owned());
    let (library, book) = (PRESS.library.clone(), PRESS.book.clone());
    let press = Press { library, book, template, data: PRESS.data };
    let world = SheetWorld { press: &press, data: Bytes::new(Vec::new()) };
    typst::compile::<PagedDocument>(&world).output.map_err(|errors| refused(&errors))
}

/// Sets the data on pages.
///
/// # Errors
/// [`PdfError::Refused`] with what the typesetter says.
pub(super) fn set(data: &super::data::SheetData<'_>) -> Result<PagedDocument, PdfError> {
    let data = serde_json::to_vec(data).map_err(|error| PdfError::Refused(error.to_string()))?;
    let world = SheetWorld { press: &PRESS, data: Bytes::new(data) };
    typst::compile::<PagedDocument>(&world).output.map_err(|errors| refused(&errors))
}

fn refused(errors: &[SourceDiagnostic]) -> PdfError {
    let mut text = String::new();
    for error in errors {
        let _ = write!(text, "{}{}", if text.is_empty() { "" } else { "; " }, error.message);
        for hint in &error.hints {
            let _ = write!(text, " ({hint})");
        }
    }
    PdfError::Refused(text)
}
