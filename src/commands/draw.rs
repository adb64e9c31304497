//! `wallfoot draw`: the section of a saved visit, or its wall from outside.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::error::CommandError;
use super::global::Global;
use super::output::{Forms, Target};
use super::outside::width;
use super::reading::{answers_of, stretch_named, stretches_of};
use super::written::Format;
use crate::flow::harmless;
use crate::render::{Size, drawing, elevation_svg, elevation_text, svg};
use crate::units::Length;
use crate::visit::Visit;
use clap::{Args, ValueEnum};
use std::io::{self, IsTerminal};
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot draw\n  wallfoot draw patio.yaml --after -o after.svg\n  wallfoot draw --elevation"
)]
#[allow(clippy::struct_excessive_bools)] // switches of a command line
pub(super) struct DrawArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
    /// Another stretch of wall of the visit, by its name
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
    /// At this distance from the left end of the wall, where heights vary along it (such as `12 ft`)
    #[arg(long, value_name = "LENGTH")]
    at: Option<String>,
    /// As it should be: with the surface at the height to keep, or after the repair
    #[arg(long, conflicts_with = "at")]
    after: bool,
    /// The finished joint at the wall, enlarged, where the wall has to be opened
    #[arg(long, conflicts_with_all = ["at", "after"])]
    joint: bool,
    /// As SVG, 88 mm wide instead of 180 mm
    #[arg(long)]
    half: bool,
    /// The wall seen from outside along the work, with the line to snap
    #[arg(long, conflicts_with_all = ["at", "after", "joint"])]
    elevation: bool,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<DrawFormat>,
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

impl Forms for DrawFormat {
    fn format(self) -> Format {
        match self {
            DrawFormat::Text => Format::Text,
            DrawFormat::Svg => Format::Svg,
        }
    }
}

pub(super) fn run(args: &DrawArgs, global: &Global) -> Result<(), CommandError> {
    let target = Target::new(args.format, args.output.as_deref(), DrawFormat::Text, &args.visit)?;
    let content = global.content()?;
    let visit = Visit::read(&args.visit)?;
    let (answers, units) = answers_of(&visit, &args.visit, content, global)?;
    let list = stretches_of(&visit, answers, &args.visit, content, global);
    let answers = stretch_named(list, args.run.as_deref())?;
    let assessment = content.assess(&answers, units);
    let columns = if target.to_screen() && io::stdout().is_terminal() { width().clamp(60, 100) } else { 80 };
    if args.elevation {
        let picture = assessment.elevation().ok_or(CommandError::NothingToDraw)?;
        let text = match target.form {
            DrawFormat::Text => elevation_text(&picture, columns, global.plain_look()),
            DrawFormat::Svg => elevation_svg(&picture),
        };
        return target.deliver(&text, global);
    }
    let picture = match &args.at {
        None if args.joint => Some(assessment.picture_joint().ok_or(CommandError::NothingAfter)?),
        None if args.after => Some(assessment.picture_after().ok_or(CommandError::NothingAfter)?),
        None => assessment.picture(),
        Some(text) => {
            let at = Length::parse(text, units).map_err(CommandError::At)?;
            if assessment.site.length.is_none_or(|length| at < Length::ZERO || at > length) {
                return Err(CommandError::Beyond { at: at.show(units) });
            }
            assessment.picture_at(Some(at))
        }
    };
    let picture = picture.ok_or(CommandError::NothingToDraw)?.in_the_tongue_of(content);
    let text = match target.form {
        DrawFormat::Text => drawing(&picture, columns, global.plain_look()),
        DrawFormat::Svg => svg(&picture, if args.half { Size::Half } else { Size::Full }),
    };
    target.deliver(harmless(&text).into_owned(), global)
}
