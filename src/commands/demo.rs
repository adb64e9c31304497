//! `wallfoot demo`: two visits to an invented house.

use super::answer::{Room, answer_text};
use super::error::CommandError;
use super::global::Global;
use super::output::{FormatArg, SheetArg, Target, print, rendered};
use super::sources::embedded;
use crate::judge::Stretches;
use crate::render::drawing;
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
    /// A whole sheet, for whom. Without it the drawing and the answer are shown
    #[arg(long, value_enum)]
    sheet: Option<SheetArg>,
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
    if args.sheet.is_some() || args.format.is_some() || !target.to_screen() {
        let sheet = args.sheet.unwrap_or(SheetArg::Homeowner);
        return target.deliver(rendered(&stretches, sheet, &target, None, &cover, global)?, global);
    }
    // the drawing first: it may push itself off the screen, the answer stays
    let assessment = stretches.worst();
    if let Some(picture) = assessment.picture().filter(|_| !global.plain_look()) {
        let columns = Room::on_screen(0, global).columns.clamp(40, 100);
        print(&format!("{}\n", drawing(&picture, columns, false)))?;
    }
    let name = args.visit.to_possible_value().map_or_else(String::new, |value| value.get_name().to_owned());
    let more = content.word("answer.more_demo").replace("{demo}", &name);
    print(&answer_text(&stretches, &cover, content, global, Room::on_screen(1, global), &more))
}
