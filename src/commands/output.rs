//! Results in all their forms, to standard output or a file.

use super::error::CommandError;
use super::error::OutputError;
use super::global::Global;
use super::images;
pub(super) use super::outside::print;
use super::outside::{self, colour_allowed, note, print_bytes, width};
use super::pager;
use super::written::{Format, Seems, at};
use crate::content::{Content, Sheet};
use crate::judge::{Assessment, Job, Stretches};
use crate::render::{Marks, PDF_IS_BUILT, PaperSize, PdfError, TextStyle, html, markdown, pdf, text};
use crate::sheet::{Cover, Document};
use crate::visit::write_whole;
use clap::ValueEnum;
use std::borrow::Cow;
use std::io::{self, IsTerminal};
use std::path::Path;

/// The sheets by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SheetArg {
    /// For the one who lives there and decides
    Homeowner,
    /// For the crew that lays the stone
    Landscaper,
    /// For the trade that opens and closes the wall
    Exterior,
    /// One page to sign off at the hold points
    Agreement,
    /// Everything behind the other sheets: all limits with their sources, the whole order, all questions, all answers
    Background,
}

impl SheetArg {
    /// Its name on the command line, and in the names of files.
    pub(super) fn word(self) -> String {
        self.to_possible_value().map_or_else(String::new, |value| value.get_name().to_owned())
    }

    /// All of them, in the order in which they are handed over.
    pub(super) const ALL: [SheetArg; 5] =
        [SheetArg::Homeowner, SheetArg::Landscaper, SheetArg::Exterior, SheetArg::Agreement, SheetArg::Background];

    /// The sheet as a document.
    pub(super) fn document(self, stretches: &Stretches<'_>, cover: &Cover) -> Document {
        match self {
            SheetArg::Homeowner => stretches.sheet(Sheet::Homeowner, cover),
            SheetArg::Landscaper => stretches.sheet(Sheet::Landscaper, cover),
            SheetArg::Exterior => stretches.sheet(Sheet::Exterior, cover),
            SheetArg::Agreement => stretches.worst().agreement(cover),
            SheetArg::Background => stretches.background(cover),
        }
    }
}

/// The forms by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum FormatArg {
    /// For the terminal
    Text,
    /// Markdown
    Markdown,
    /// One page for a browser or a printer
    Html,
    /// Pages for a printer, if this wallfoot was built with them
    Pdf,
    /// Every number, for programs (see docs/json.md)
    Json,
}

/// How a document looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OutputLook {
    Text,
    Markdown,
    Html,
    /// On this paper; otherwise on that of the region.
    Pdf(Option<PaperSize>),
}

/// A result in its form.
#[derive(Debug)]
pub(super) enum Made<'m> {
    /// In letters.
    Text(Cow<'m, str>),
    /// In bytes.
    Bytes(Vec<u8>),
}

impl<'m> From<&'m String> for Made<'m> {
    fn from(text: &'m String) -> Made<'m> {
        Made::Text(text.into())
    }
}

impl From<String> for Made<'_> {
    fn from(text: String) -> Self {
        Made::Text(text.into())
    }
}

/// Papers by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperArg {
    /// 8 1/2 by 11 inches
    Letter,
    /// 210 by 297 mm
    A4,
}

impl From<PaperArg> for PaperSize {
    fn from(paper: PaperArg) -> PaperSize {
        match paper {
            PaperArg::Letter => PaperSize::Letter,
            PaperArg::A4 => PaperSize::A4,
        }
    }
}

/// What a form holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// A document for people.
    Document(OutputLook),
    /// A report for programs.
    Report,
}

impl FormatArg {
    pub(super) fn holds(self) -> Holds {
        match self {
            FormatArg::Text => Holds::Document(OutputLook::Text),
            FormatArg::Markdown => Holds::Document(OutputLook::Markdown),
            FormatArg::Html => Holds::Document(OutputLook::Html),
            FormatArg::Pdf => Holds::Document(OutputLook::Pdf(None)),
            FormatArg::Json => Holds::Report,
        }
    }
}

/// The forms that a command offers under `--as`.
pub(super) trait Forms: ValueEnum + Copy {
    /// The form.
    fn format(self) -> Format;
}

impl Forms for FormatArg {
    fn format(self) -> Format {
        match self {
            FormatArg::Text => Format::Text,
            FormatArg::Markdown => Format::Markdown,
            FormatArg::Html => Format::Html,
            FormatArg::Pdf => Format::Pdf,
            FormatArg::Json => Format::Json,
        }
    }
}

/// Where a result goes, and in which form.
#[derive(Debug)]
pub(super) struct Target<'a, F> {
    /// The form.
    pub(super) form: F,
    /// The file; nothing for standard output.
    path: Option<&'a Path>,
}

impl<'a, F: Forms> Target<'a, F> {
    /// Settles the form: what `--as` says, else the ending of the file, else `usual`. `visit` is the file that the result is
    /// made from.
    ///
    /// # Errors
    /// An [`OutputError`] if the two do not agree, if the ending says no form of this command, or if the file is the visit.
    pub(super) fn new(
        asked: Option<F>,
        path: Option<&'a Path>,
        usual: F,
        visit: &Path,
    ) -> Result<Target<'a, F>, OutputError> {
        // as everywhere: the screen, or what it leads to
        let path = path.filter(|path| *path != Path::new("-"));
        let Some(file) = path else { return Target { form: asked.unwrap_or(usual), path }.built() };
        let same = |a: &Path, b: &Path| a.canonicalize().ok().zip(b.canonicalize().ok()).is_some_and(|(a, b)| a == b);
        if same(file, visit) {
            return Err(OutputError::Visit { path: file.to_owned() });
        }
        let known = || F::value_variants().iter().map(|form| form.format()).collect();
        let ending = file.extension().map(|ending| ending.to_string_lossy().into_owned());
        let said = ending.as_deref().and_then(Format::of_ending);
        let form = match (asked, said, ending) {
            (Some(form), Some(said), _) if form.format() != said => {
                return Err(OutputError::Ending { path: file.to_owned(), ending: said, format: form.format() });
            }
            (Some(form), ..) => form,
            (None, Some(said), _) => {
                let found = F::value_variants().iter().find(|form| form.format() == said).copied();
                found.ok_or_else(|| OutputError::NotHere { path: file.to_owned(), ending: said, known: known() })?
            }
            (None, None, Some(ending)) => {
                return Err(OutputError::NoSuchEnding { path: file.to_owned(), ending, known: known() });
            }
            (None, None, None) => usual,
        };
        Target { form, path }.built()
    }

    /// The same, if this program can make the form.
    fn built(self) -> Result<Self, OutputError> {
        if self.form.format() == Format::Pdf && !PDF_IS_BUILT {
            return Err(PdfError::NotBuilt.into());
        }
        Ok(self)
    }

    /// Whether the result goes to standard output.
    pub(super) fn to_screen(&self) -> bool {
        self.path.is_none()
    }

    /// The name of the file without its ending; empty for standard output.
    fn file_stem(&self) -> String {
        let stem = self.path.and_then(Path::file_stem);
        stem.map_or_else(String::new, |stem| stem.to_string_lossy().into_owned())
    }

    /// Shows the result, a screen at a time where it is long, or writes it to the file, all of it or nothing. A file that is
    /// there is replaced only if wallfoot wrote it, in the same form.
    ///
    /// # Errors
    /// [`OutputError::Taken`] for any other file, [`CommandError::Write`] if the system refuses.
    pub(super) fn deliver<'m>(&self, made: impl Into<Made<'m>>, global: &Global) -> Result<(), CommandError> {
        let made = made.into();
        let Some(path) = self.path else {
            return match &made {
                Made::Text(text) => pager::show(text, global),
                Made::Bytes(_) if io::stdout().is_terminal() => {
                    Err(OutputError::Bytes { format: self.form.format() }.into())
                }
                Made::Bytes(bytes) => print_bytes(bytes),
            };
        };
        let format = self.form.format();
        let fail = |reason| CommandError::Write { path: path.to_owned(), reason };
        // what is no file is refused by the writing itself
        if path.metadata().is_ok_and(|there| there.is_file()) {
            match at(path).map_err(fail)? {
                None => {}
                Some(Seems::Own(own)) if own == format => {}
                Some(seems) => return Err(OutputError::Taken { path: path.to_owned(), seems, format }.into()),
            }
        }
        match &made {
            // a device or a pipe takes what comes, and cannot be replaced
            Made::Text(text) if leads_on(path) => std::fs::write(path, text.as_bytes()),
            Made::Bytes(bytes) if leads_on(path) => std::fs::write(path, bytes),
            Made::Text(text) => write_whole(path, format.marked(text)),
            Made::Bytes(bytes) => write_whole(path, bytes),
        }
        .map_err(fail)?;
        note(&format!("wrote {}", path.display()));
        Ok(())
    }
}

/// Whether a path is neither a file nor a folder.
fn leads_on(path: &Path) -> bool {
    path.metadata().is_ok_and(|there| !there.is_file() && !there.is_dir())
}

/// Renders a sheet. JSON is the whole report, whichever sheet was asked for.
pub(super) fn rendered(
    stretches: &Stretches<'_>,
    sheet: SheetArg,
    target: &Target<'_, FormatArg>,
    paper: Option<PaperSize>,
    cover: &Cover,
    global: &Global,
) -> Result<Made<'static>, CommandError> {
    let look = match target.form.holds() {
        Holds::Report => return Ok(json(stretches, cover)?.into()),
        Holds::Document(OutputLook::Pdf(_)) => OutputLook::Pdf(paper),
        Holds::Document(look) => look,
    };
    let document = sheet.document(stretches, cover);
    let worst = stretches.worst();
    let marks = Marks { file: target.file_stem(), ..marks(worst.content) };
    document_marked(&document, look, worst, &marks, global, target.to_screen())
}

/// The report of the worst stretch of wall; the others, if there are any, below it by name.
fn json(stretches: &Stretches<'_>, cover: &Cover) -> serde_json::Result<String> {
    let mut report = serde_json::to_value(stretches.worst().report())?;
    if let Some(fields) = report.as_object_mut() {
        fields.insert("date".to_owned(), cover.date.clone().into());
        fields.insert("pictures".to_owned(), serde_json::to_value(stretches.worst().pictures_in_words())?);
        fields.insert("plan".to_owned(), serde_json::to_value(Job::of(stretches).json(None, None))?);
    }
    if let (Some(fields), false) = (report.as_object_mut(), stretches.others().is_empty()) {
        fields.insert("stretch".to_owned(), stretches.worst_name().into());
        let others: serde_json::Map<String, serde_json::Value> = stretches
            .others()
            .iter()
            .map(|(name, a)| Ok((name.clone(), serde_json::to_value(a.report())?)))
            .collect::<serde_json::Result<_>>()?;
        fields.insert("other_stretches".to_owned(), others.into());
    }
    outside::json(&report)
}

/// Renders a document about a visit: with the head of the user's sheets, and with its photographs where it is a page.
pub(super) fn document_as(
    document: &Document,
    look: OutputLook,
    assessment: &Assessment<'_>,
    global: &Global,
    to_screen: bool,
) -> Result<Made<'static>, CommandError> {
    document_marked(document, look, assessment, &marks(assessment.content), global, to_screen)
}

fn document_marked(
    document: &Document,
    look: OutputLook,
    assessment: &Assessment<'_>,
    marks: &Marks,
    global: &Global,
    to_screen: bool,
) -> Result<Made<'static>, CommandError> {
    let mut document = Document { letterhead: global.letterhead(assessment.content), ..document.clone() };
    images::each_once(&mut document);
    if matches!(look, OutputLook::Html | OutputLook::Pdf(_)) {
        images::embed(&mut document, assessment.content);
    }
    let document = &document;
    Ok(match look {
        OutputLook::Pdf(paper) => {
            let paper = paper.unwrap_or_else(|| paper_in(assessment));
            Made::Bytes(pdf(document, marks, paper).map_err(OutputError::from)?)
        }
        OutputLook::Markdown => markdown(document, marks).into(),
        OutputLook::Html => html(document, marks).into(),
        OutputLook::Text => text_of(document, assessment.content, global, to_screen).into(),
    })
}

/// The paper that is usual where the house stands.
fn paper_in(assessment: &Assessment<'_>) -> PaperSize {
    match assessment.region() {
        Some(region) if assessment.content.letter_in(region) => PaperSize::Letter,
        _ => PaperSize::A4,
    }
}

/// The words that renderers put around the parts of a document.
pub(super) fn marks(content: &Content) -> Marks {
    let word = |key: &str| content.word(key).to_owned();
    Marks { stop: word("label.stop"), page: word("label.page"), file: String::new() }
}

/// A document as text for the screen, or in 80 columns.
pub(super) fn text_of(document: &Document, content: &Content, global: &Global, to_screen: bool) -> String {
    let plain = global.plain_look();
    let terminal = to_screen && io::stdout().is_terminal();
    let bold = terminal && !plain && colour_allowed();
    let columns = if terminal { width() } else { 80 };
    text(document, &marks(content), TextStyle { width: columns, bold, plain })
}
