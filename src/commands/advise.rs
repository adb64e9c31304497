//! `wallfoot advise`: verdict, findings and sheets of a saved visit.

use super::answer::{Room, answer_text};
use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::error::CommandError;
use super::figures::FigureArgs;
use super::global::Global;
use super::output::{FormatArg, PaperArg, SheetArg, Target, print, rendered};
use super::outside::say_untranslated;
use super::reading::{answers_of, log_of, notes_of, stretch_named, stretches_of};
use crate::judge::{Assessment, Stretches};
use crate::visit::Visit;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot advise\n  wallfoot advise patio.yaml --sheet landscaper -o crew.html\n  wallfoot advise patio.yaml --as json"
)]
pub(super) struct AdviseArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
    /// A whole sheet, for whom. Without it the answer is shown on one screen, or, in another form or in a file, the
    /// homeowner's sheet
    #[arg(long, value_enum)]
    sheet: Option<SheetArg>,
    /// With the dated notes of the visit at the end of the sheet
    #[arg(long, requires = "sheet")]
    log: bool,
    /// Only one stretch of wall, by its name; otherwise all of them
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<FormatArg>,
    /// The paper of a PDF; otherwise that of the region
    #[arg(long, value_enum, value_name = "PAPER")]
    paper: Option<PaperArg>,
    /// Hours of wind and rain (CSV: wind in m/s, direction in degrees, rain in mm) for the driving-rain index
    #[arg(long, value_name = "FILE", requires = "wall_faces")]
    hourly_rain: Option<PathBuf>,
    /// Which way the wall faces, in degrees clockwise from north (180 is south)
    #[arg(long, value_name = "DEGREES", value_parser = clap::value_parser!(u16).range(0..=360))]
    wall_faces: Option<u16>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    #[command(flatten)]
    figures: FigureArgs,
}

pub(super) fn run(args: &AdviseArgs, global: &Global) -> Result<(), CommandError> {
    let target = Target::new(args.format, args.output.as_deref(), FormatArg::Text, &args.visit)?;
    let content = global.content()?;
    args.figures.set(content, global)?;
    let visit = Visit::read(&args.visit)?;
    let (answers, units) = answers_of(&visit, &args.visit, content, global)?;
    if !content.has_rules() {
        return Err(CommandError::NoRules);
    }
    let list = stretches_of(&visit, answers, &args.visit, content, global);
    let list = match args.run.as_deref() {
        None => list,
        Some(name) => vec![(name.to_owned(), stretch_named(list, Some(name))?)],
    };
    let exposure = match (&args.hourly_rain, args.wall_faces) {
        (Some(path), Some(faces)) => Some(super::hourly::exposure(path, f64::from(faces))?),
        (None, _) | (_, None) => None,
    };
    let mut notes = notes_of(&visit, &args.visit, content)?;
    if args.log {
        notes.log = log_of(&visit);
    }
    let assess = |answers| Assessment { exposure, notes: notes.clone(), ..content.assess(answers, units) };
    let assessed = list.iter().map(|(name, answers)| (name.clone(), assess(answers))).collect();
    let stretches = Stretches::of(assessed).ok_or(CommandError::NoStretch)?;
    let cover = global.cover(&visit.changed);
    // in a form of its own, or in a file, a sheet was asked for
    let Some(sheet) = args.sheet.or_else(|| {
        // how much water comes stands in the background
        let sheet = if exposure.is_some() { SheetArg::Background } else { SheetArg::Homeowner };
        (args.format.is_some() || !target.to_screen() || exposure.is_some()).then_some(sheet)
    }) else {
        let shown = args.visit.display().to_string();
        let shown = crate::visit::pasted(&shown);
        let more = content.word("answer.more").replace("{visit}", &shown);
        // the line below, on which the next command is typed
        let room = Room::on_screen(1, global);
        return print(&answer_text(&stretches, &cover, content, global, room, &more));
    };
    // the crew's sheet is there in full
    if sheet != SheetArg::Landscaper && target.form != FormatArg::Json {
        say_untranslated(content);
    }
    let paper = args.paper.map(Into::into);
    target.deliver(rendered(&stretches, sheet, &target, paper, &cover, global)?, global)
}
