//! `wallfoot demo`: two visits to an invented house.

use super::error::CommandError;
use super::global::Global;
use super::output::{FormatArg, SheetArg, Target, rendered};
use super::sources::embedded;
use crate::judge::Stretches;
use crate::visit::Visit;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot demo\n  wallfoot demo steps --sheet landscaper\n  wallfoot demo --as html -o demo.html"
)]
pub(super) struct DemoArgs {
    /// Which visit
    #[arg(value_enum, value_name = "DEMO", default_value = "patio")]
    visit: DemoVisit,
    /// For whom
    #[arg(long, value_enum, default_value = "homeowner")]
    sheet: SheetArg,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<FormatArg>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum DemoVisit {
    /// A back patio, planned, against vinyl siding
    Patio,
    /// Stone steps, already built, against stucco
    Steps,
}

pub(super) fn run(args: &DemoArgs, global: &Global) -> Result<(), CommandError> {
    let path = match args.visit {
        DemoVisit::Patio => "demo/back-patio.yaml",
        DemoVisit::Steps => "demo/side-steps.yaml",
    };
    let target = Target::new(args.format, args.output.as_deref(), FormatArg::Text, Path::new(path))?;
    let content = global.content()?;
    let text = embedded(path).ok_or(CommandError::NoDemo { path })?;
    let visit = Visit::parse(text, Path::new(path))?;
    let (answers, units) = super::reading::answers_of(&visit, Path::new(path), content, global)?;
    let stretches =
        Stretches::of(vec![(String::new(), content.assess(&answers, units))]).ok_or(CommandError::NoStretch)?;
    let cover = global.cover(&visit.changed);
    target.deliver(&rendered(&stretches, args.sheet, target.form, &cover, global, target.to_screen())?, global)
}
