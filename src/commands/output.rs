//! Sheets in all their formats, to standard output or a file.

use super::{CommandError, Global, colour_allowed, width};
use crate::advice::{Assessment, Cover, Document, Sheet};
use crate::render::{Marks, TextStyle, html, markdown, text};
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
}

impl SheetArg {
    pub(super) fn sheet(self) -> Sheet {
        match self {
            SheetArg::Homeowner => Sheet::Homeowner,
            SheetArg::Landscaper => Sheet::Landscaper,
            SheetArg::Exterior => Sheet::Exterior,
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
    assessment: &Assessment<'_>,
    sheet: SheetArg,
    format: FormatArg,
    cover: &Cover,
    global: &Global,
    to_terminal: bool,
) -> Result<String, CommandError> {
    if format == FormatArg::Json {
        let json = serde_json::to_string_pretty(&assessment.report());
        return json.map(|j| j + "\n").map_err(|e| CommandError::Input(e.to_string()));
    }
    let document = assessment.sheet(sheet.sheet(), cover);
    Ok(document_as(&document, format, assessment, global, to_terminal))
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

/// Writes a result to a file, all of it or nothing.
pub(super) fn write(path: &Path, text: &str) -> Result<(), CommandError> {
    let fail = |reason| CommandError::Io { what: format!("cannot write {}", path.display()), reason };
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        let text = format!("there is no folder {}", folder.display());
        return Err(fail(io::Error::new(io::ErrorKind::NotFound, text)));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wallfoot-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder).map_err(|e| fail(io::Error::from(e.kind())))?;
    file.write_all(text.as_bytes()).map_err(fail)?;
    file.persist(path).map_err(|e| fail(e.error))?;
    Ok(())
}
