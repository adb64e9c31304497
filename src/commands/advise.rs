//! `wallfoot advise`: verdict, findings and sheets of a saved visit.

use super::output::{FormatArg, SheetArg, print, rendered, write};
use super::{CommandError, Global, note};
use crate::advice::Content;
use crate::flow::Answers;
use crate::units::Units;
use crate::visit::Visit;
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub(super) struct AdviseArgs {
    /// The file that `wallfoot ask` wrote
    visit: PathBuf,
    /// For whom
    #[arg(long, value_enum, default_value = "homeowner")]
    sheet: SheetArg,
    /// In which form
    #[arg(long = "as", value_enum, value_name = "FORMAT", default_value = "text")]
    format: FormatArg,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn run(args: &AdviseArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let visit = Visit::read(&args.visit)?;
    let (answers, units) = answers_of(&visit, &args.visit, &content, global)?;
    if !content.has_rules() {
        return Err(CommandError::Input(
            "these questions hold no rule that carries a verdict, so there is no advice to give".to_owned(),
        ));
    }
    let assessment = content.assess(&answers, units);
    if content.untranslated > 0 && args.sheet != SheetArg::Landscaper && args.format != FormatArg::Json {
        note("Only the landscaper's sheet is translated in full; other texts are shown in English.");
    }
    let cover = global.cover(&visit.changed);
    let text = rendered(&assessment, args.sheet, args.format, &cover, global, args.output.is_none())?;
    match &args.output {
        None => print(&text),
        Some(path) => {
            write(path, &text, &args.visit)?;
            note(&format!("wrote {}", path.display()));
            Ok(())
        }
    }
}

/// The answers of a visit that fit today's questions; what does not fit is said.
pub(super) fn answers_of(
    visit: &Visit,
    path: &Path,
    content: &Content,
    global: &Global,
) -> Result<(Answers, Units), CommandError> {
    // a bare number in a file edited by hand is read by the region that the file names
    let region = visit.answers.get("region");
    let bare = region.map_or(Units::Inch, |region| content.units_of(region));
    let (mut answers, misfits) = visit.answers(&content.flow, bare);
    for misfit in &misfits {
        note(&format!("{}: `{}` {}", path.display(), misfit.question, misfit.reason));
    }
    global.set_region(content, &mut answers)?;
    let units = global.units(content, &answers);
    Ok((answers, units))
}
