//! `wallfoot draw`: the section of a saved visit.

use super::advise::answers_of;
use super::output::{print, write};
use super::{CommandError, Global, note, width};
use crate::render::{drawing, svg};
use crate::visit::Visit;
use clap::{Args, ValueEnum};
use std::io::{self, IsTerminal};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct DrawArgs {
    /// The file that `wallfoot ask` wrote
    visit: PathBuf,
    /// In which form
    #[arg(long = "as", value_enum, value_name = "FORMAT", default_value = "text")]
    format: DrawFormat,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum DrawFormat {
    /// For the terminal
    Text,
    /// A vector picture, to scale
    Svg,
}

pub(super) fn run(args: &DrawArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let visit = Visit::read(&args.visit)?;
    let (answers, units) = answers_of(&visit, &args.visit, &content, global)?;
    let picture = content.assess(&answers, units).picture().ok_or_else(|| {
        CommandError::Input(
            "there is nothing to draw yet: at least two heights must be known\nhelp: `wallfoot ask` asks for them; docs/measure.md shows how".to_owned(),
        )
    })?;
    let columns = if args.output.is_none() && io::stdout().is_terminal() { width().clamp(60, 100) } else { 80 };
    let text = match args.format {
        DrawFormat::Text => drawing(&picture, columns, global.plain_look()),
        DrawFormat::Svg => svg(&picture),
    };
    match &args.output {
        None => print(&text),
        Some(path) => {
            write(path, &text, &args.visit)?;
            note(&format!("wrote {}", path.display()));
            Ok(())
        }
    }
}
