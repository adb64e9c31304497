//! `wallfoot demo`: two visits to an invented house.

use super::error::CommandError;
use super::global::Global;
use super::output::{FormatArg, SheetArg, print, rendered};
use super::sources::embedded;
use crate::judge::Stretches;
use crate::visit::Visit;
use clap::{Args, ValueEnum};
use std::path::Path;

#[derive(Debug, Args)]
pub(super) struct DemoArgs {
    /// Which visit
    #[arg(value_enum, default_value = "patio")]
    visit: DemoVisit,
    /// For whom
    #[arg(long, value_enum, default_value = "homeowner")]
    sheet: SheetArg,
    /// In which form
    #[arg(long = "as", value_enum, value_name = "FORMAT", default_value = "text")]
    format: FormatArg,
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
    let content = global.content()?;
    let text = embedded(path).ok_or(CommandError::NoDemo { path })?;
    let visit = Visit::parse(text, Path::new(path))?;
    let (answers, units) = super::reading::answers_of(&visit, Path::new(path), &content, global)?;
    let stretches =
        Stretches::of(vec![(String::new(), content.assess(&answers, units))]).ok_or(CommandError::NoStretch)?;
    print(&rendered(&stretches, args.sheet, args.format, &global.cover(&visit.changed), global, true)?)
}
