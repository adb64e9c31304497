//! Results in all their forms, to standard output or a file.

use super::error::CommandError;
use super::error::OutputError;
use super::global::Global;
use super::images;
pub(super) use super::outside::print;
use super::outside::{self, colour_allowed, note, width};
use super::pager;
use super::written::{Format, Seems, at};
use crate::content::{Content, Sheet};
use crate::judge::{Assessment, Job, Stretches};
use crate::render::{Marks, TextStyle, html, markdown, text};
use crate::sheet::{Cover, Document};
use crate::visit::write_whole;
use clap::ValueEnum;
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
}

impl SheetArg {
    /// Its name on the command line, and in the names of files.
    pub(super) fn word(self) -> String {
        self.to_possible_value().map_or_else(String::new, |value| value.get_name().to_owned())
    }

    /// The sheet of the assessment; the agreement is a document of its own.
    fn sheet(self) -> Option<Sheet> {
        match self {
            SheetArg::Homeowner => Some(Sheet::Homeowner),
            SheetArg::Landscaper => Some(Sheet::Landscaper),
            SheetArg::Exterior => Some(Sheet::Exterior),
            SheetArg::Agreement => None,
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
    /// Every number, for programs (see docs/json.md)
    Json,
}

/// How a document looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OutputLook {
    Text,
    Markdown,
    Html,
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
        let Some(file) = path else { return Ok(Target { form: asked.unwrap_or(usual), path }) };
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
        Ok(Target { form, path })
    }

    /// Whether the result goes to standard output.
    pub(super) fn to_screen(&self) -> bool {
        self.path.is_none()
    }

    /// Shows the result, a screen at a time where it is long, or writes it to the file, all of it or nothing. A file that is
    /// there is replaced only if wallfoot wrote it, in the same form.
    ///
    /// # Errors
    /// [`OutputError::Taken`] for any other file, [`CommandError::Write`] if the system refuses.
    pub(super) fn deliver(&self, text: &str, global: &Global) -> Result<(), CommandError> {
        let Some(path) = self.path else { return pager::show(text, global) };
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
        write_whole(path, &format.marked(text)).map_err(fail)?;
        note(&format!("wrote {}", path.display()));
        Ok(())
    }
}

/// Renders a sheet. JSON is the whole report, whichever sheet was asked for.
pub(super) fn rendered(
    stretches: &Stretches<'_>,
    sheet: SheetArg,
    form: FormatArg,
    cover: &Cover,
    global: &Global,
    to_screen: bool,
) -> Result<String, CommandError> {
    let look = match form.holds() {
        Holds::Report => return Ok(json(stretches, cover)?),
        Holds::Document(look) => look,
    };
    let document = match sheet.sheet() {
        Some(sheet) => stretches.sheet(sheet, cover),
        None => stretches.worst().agreement(cover),
    };
    Ok(document_as(&document, look, stretches.worst(), global, to_screen))
}

/// The report of the worst stretch of wall; the others, if there are any, below it by name.
fn json(stretches: &Stretches<'_>, cover: &Cover) -> serde_json::Result<String> {
    let mut report = serde_json::to_value(stretches.worst().report())?;
    if let Some(fields) = report.as_object_mut() {
        fields.insert("date".to_owned(), cover.date.clone().into());
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
) -> String {
    let content = assessment.content;
    let mut document = Document { letterhead: global.letterhead(content), ..document.clone() };
    images::each_once(&mut document);
    if look == OutputLook::Html {
        images::embed(&mut document, content);
    }
    document_with(&document, look, content, global, to_screen)
}

/// Renders a document that is about no single visit.
pub(super) fn document_with(
    document: &Document,
    look: OutputLook,
    content: &Content,
    global: &Global,
    to_screen: bool,
) -> String {
    let marks = Marks { stop: content.word("label.stop").to_owned() };
    match look {
        OutputLook::Markdown => markdown(document, &marks),
        OutputLook::Html => html(document, &marks),
        OutputLook::Text => {
            let plain = global.plain_look();
            let terminal = to_screen && io::stdout().is_terminal();
            let bold = terminal && !plain && colour_allowed();
            let columns = if terminal { width() } else { 80 };
            text(document, &marks, TextStyle { width: columns, bold, plain })
        }
    }
}
