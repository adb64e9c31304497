//! `wallfoot draw`: the section of a saved visit.

use super::advise::{answers_of, stretch_named, stretches_of};
use super::output::deliver;
use super::{CommandError, Global, width};
use crate::render::{drawing, svg};
use crate::units::Length;
use crate::visit::Visit;
use clap::{Args, ValueEnum};
use std::io::{self, IsTerminal};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct DrawArgs {
    /// The file that `wallfoot ask` wrote
    visit: PathBuf,
    /// Another stretch of wall of the visit, by its name
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
    /// At this distance from the left end of the wall, where heights vary along it (such as `12 ft`)
    #[arg(long, value_name = "LENGTH")]
    at: Option<String>,
    /// As it has to be after the work on the list
    #[arg(long, conflicts_with = "at")]
    after: bool,
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
    let list = stretches_of(&visit, answers, units, &content, &args.visit);
    let answers = stretch_named(list, args.run.as_deref())?;
    let assessment = content.assess(&answers, units);
    let picture = match &args.at {
        None if args.after => Some(assessment.picture_after().ok_or_else(|| {
            CommandError::Input(
                "there is nothing to draw: no work on the list changes the foot of this wall".to_owned(),
            )
        })?),
        None => assessment.picture(),
        Some(text) => {
            let at = Length::parse(text, units).map_err(|e| CommandError::Input(e.to_string()))?;
            if assessment.site.length.is_none_or(|length| at < Length::ZERO || at > length) {
                return Err(CommandError::Input(format!("{} lies beyond the work at this wall", at.show(units))));
            }
            assessment.picture_at(Some(at))
        }
    };
    let picture = picture.ok_or_else(|| {
        CommandError::Input(
            "there is nothing to draw yet: at least two heights must be known\nhelp: `wallfoot ask` asks for them; docs/measure.md shows how".to_owned(),
        )
    })?;
    let columns = if args.output.is_none() && io::stdout().is_terminal() { width().clamp(60, 100) } else { 80 };
    let text = match args.format {
        DrawFormat::Text => drawing(&picture, columns, global.plain_look()),
        DrawFormat::Svg => svg(&picture),
    };
    deliver(&text, args.output.as_deref(), &args.visit)
}
