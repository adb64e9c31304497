//! `wallfoot hand-over`: all sheets of a visit at once, each into its file.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::error::CommandError;
use super::global::Global;
use super::output::{FormatArg, Forms, PaperArg, SheetArg, Target, rendered};
use super::outside::say_untranslated;
use super::reading::{answers_of, notes_of, stretches_of};
use crate::judge::{Assessment, Stretches};
use crate::visit::Visit;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot hand-over patio.yaml -o sheets\n  wallfoot hand-over patio.yaml -o sheets --as markdown"
)]
pub(super) struct HandOverArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
    /// The folder for the sheets; it is made if it is not there. Otherwise the folder of the visit
    #[arg(short, long, value_name = "DIR")]
    output: Option<PathBuf>,
    /// In which form
    #[arg(long = "as", value_enum, value_name = "FORMAT", default_value = "html")]
    format: SheetFormArg,
    /// The paper of a PDF; otherwise that of the region
    #[arg(long, value_enum, value_name = "PAPER")]
    paper: Option<PaperArg>,
}

/// The forms of a sheet that is handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SheetFormArg {
    /// Pages for a browser or a printer
    Html,
    /// PDF, with fonts and tags, if the program was built with it
    Pdf,
    /// Markdown
    Markdown,
    /// Text
    Text,
}

impl SheetFormArg {
    fn form(self) -> FormatArg {
        match self {
            SheetFormArg::Html => FormatArg::Html,
            SheetFormArg::Pdf => FormatArg::Pdf,
            SheetFormArg::Markdown => FormatArg::Markdown,
            SheetFormArg::Text => FormatArg::Text,
        }
    }
}

pub(super) fn run(args: &HandOverArgs, global: &Global) -> Result<(), CommandError> {
    let form = args.format.form();
    // what this program cannot make is said before a folder is made for it
    Target::new(Some(form), None, form, &args.visit)?;
    let content = global.content()?;
    let visit = Visit::read(&args.visit)?;
    let (answers, units) = answers_of(&visit, &args.visit, content, global)?;
    if !content.has_rules() {
        return Err(CommandError::NoRules);
    }
    let notes = notes_of(&visit, &args.visit, content)?;
    let list = stretches_of(&visit, answers, &args.visit, content, global);
    let assess = |answers| Assessment { notes: notes.clone(), ..content.assess(answers, units) };
    let assessed = list.iter().map(|(name, answers)| (name.clone(), assess(answers))).collect();
    let stretches = Stretches::of(assessed).ok_or(CommandError::NoStretch)?;
    let cover = global.cover(&visit.changed);
    let folder = args.output.clone().unwrap_or_else(|| args.visit.parent().map_or_else(PathBuf::new, Path::to_owned));
    if !folder.as_os_str().is_empty() {
        let fail = |reason| CommandError::Write { path: folder.clone(), reason };
        std::fs::create_dir_all(&folder).map_err(fail)?;
    }
    say_untranslated(content);
    for sheet in SheetArg::ALL {
        let path = folder.join(file_name(&args.visit, sheet, form));
        let target = Target::new(Some(form), Some(&path), form, &args.visit)?;
        target.deliver(rendered(&stretches, sheet, &target, args.paper.map(Into::into), &cover, global)?, global)?;
    }
    Ok(())
}

/// The name of the file of a sheet: that of the visit, and whose sheet it is.
pub(super) fn file_name(visit: &Path, sheet: SheetArg, format: FormatArg) -> String {
    let stem = visit.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    format!("{stem}-{}.{}", sheet.word(), format.format().ending())
}
