//! Sheets in all their formats, to standard output or a file.

use super::{CommandError, Global, colour_allowed, note, width};
use crate::content::Sheet;
use crate::judge::{Assessment, Job, Stretches};
use crate::render::{Marks, TextStyle, html, markdown, text};
use crate::sheet::{Cover, Document};
use crate::visit::write_whole;
use clap::ValueEnum;
use std::io::{self, IsTerminal, Write};
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

/// The formats by name.
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

/// Renders a sheet. JSON is the whole report, whichever sheet was asked for.
pub(super) fn rendered(
    stretches: &Stretches<'_>,
    sheet: SheetArg,
    format: FormatArg,
    cover: &Cover,
    global: &Global,
    to_terminal: bool,
) -> Result<String, CommandError> {
    if format == FormatArg::Json {
        return json(stretches).map_err(|e| CommandError::Input(e.to_string()));
    }
    let document = match sheet.sheet() {
        Some(sheet) => stretches.sheet(sheet, cover),
        None => stretches.worst().agreement(cover),
    };
    Ok(document_as(&document, format, stretches.worst(), global, to_terminal))
}

/// The report of the worst stretch of wall; the others, if there are any, below it by name.
fn json(stretches: &Stretches<'_>) -> serde_json::Result<String> {
    let mut report = serde_json::to_value(stretches.worst().report())?;
    if let Some(fields) = report.as_object_mut() {
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
    Ok(serde_json::to_string_pretty(&report)? + "\n")
}

pub(super) fn document_as(
    document: &Document,
    format: FormatArg,
    assessment: &Assessment<'_>,
    global: &Global,
    to_terminal: bool,
) -> String {
    let marks = Marks { stop: assessment.content.word("label.stop").to_owned() };
    match format {
        FormatArg::Markdown => markdown(document, &marks),
        FormatArg::Html => html(document, &marks),
        _ => {
            let plain = global.plain_look();
            let terminal = to_terminal && io::stdout().is_terminal();
            let bold = terminal && !plain && colour_allowed();
            let columns = if terminal { width() } else { 80 };
            text(document, &marks, TextStyle { width: columns, bold, plain })
        }
    }
}

/// Writes a result to standard output.
pub(super) fn print(text: &str) -> Result<(), CommandError> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| out.flush())
        .map_err(|reason| CommandError::Io { what: "cannot write the result".to_owned(), reason })
}

/// Prints a result, or writes it to the file that was asked for.
pub(super) fn deliver(text: &str, output: Option<&Path>, visit: &Path) -> Result<(), CommandError> {
    let Some(path) = output else { return print(text) };
    write(path, text, visit)?;
    note(&format!("wrote {}", path.display()));
    Ok(())
}

/// Writes a result to a file, all of it or nothing; never over the visit it was made from.
fn write(path: &Path, text: &str, visit: &Path) -> Result<(), CommandError> {
    let same = |a: &Path, b: &Path| a.canonicalize().ok().zip(b.canonicalize().ok()).is_some_and(|(a, b)| a == b);
    if same(path, visit) {
        return Err(CommandError::Input(format!("{} is the visit itself; choose another file for -o", path.display())));
    }
    write_whole(path, text)
        .map_err(|reason| CommandError::Io { what: format!("cannot write {}", path.display()), reason })
}
