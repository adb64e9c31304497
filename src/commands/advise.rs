//! `wallfoot advise`: verdict, findings and sheets of a saved visit.

use super::output::{FormatArg, SheetArg, deliver, rendered};
use super::{CommandError, Global, note};
use crate::content::{Content, Who};
use crate::flow::Answers;
use crate::judge::{Assessment, Notes, Stretches};
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
    /// Hours of wind and rain (CSV: wind in m/s, direction in degrees, rain in mm) for the driving-rain index
    #[arg(long, value_name = "FILE", requires = "wall_faces")]
    hourly_rain: Option<PathBuf>,
    /// Which way the wall faces, in degrees clockwise from north (180 is south)
    #[arg(long, value_name = "DEGREES", value_parser = clap::value_parser!(u16).range(0..=360))]
    wall_faces: Option<u16>,
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
    let list = stretches_of(&visit, answers, units, &content, &args.visit);
    let exposure = match (&args.hourly_rain, args.wall_faces) {
        (Some(path), Some(faces)) => Some(super::hourly::exposure(path, f64::from(faces))?),
        _ => None,
    };
    let notes = notes_of(&visit, &args.visit)?;
    let assess = |answers| Assessment { exposure, notes: notes.clone(), ..content.assess(answers, units) };
    let assessed = list.iter().map(|(name, answers)| (name.clone(), assess(answers))).collect();
    let Some(stretches) = Stretches::of(assessed) else { return Ok(()) };
    if content.untranslated > 0 && args.sheet != SheetArg::Landscaper && args.format != FormatArg::Json {
        note("Only the landscaper's sheet is translated in full; other texts are shown in English.");
    }
    let cover = global.cover(&visit.changed);
    let text = rendered(&stretches, args.sheet, args.format, &cover, global, args.output.is_none())?;
    deliver(&text, args.output.as_deref(), &args.visit)
}

/// What a visit holds besides its answers.
pub(super) fn notes_of(visit: &Visit, path: &Path) -> Result<Notes, CommandError> {
    let who = |word: &String| match word.as_str() {
        "homeowner" => Ok(Who::Homeowner),
        "hardscape" => Ok(Who::Hardscape),
        "exterior" => Ok(Who::Exterior),
        other => Err(CommandError::Input(format!(
            "{}: `{other}` under `owners` is nobody known; write homeowner, hardscape or exterior",
            path.display()
        ))),
    };
    let owner = |(task, list): (&String, &Vec<String>)| {
        Ok((task.clone(), list.iter().map(who).collect::<Result<_, CommandError>>()?))
    };
    let owners = visit.owners.iter().map(owner).collect::<Result<_, CommandError>>()?;
    Ok(Notes { contractors: visit.contractors.clone(), owners })
}

/// All stretches of wall of a visit, by name: the first, and those that differ from it.
pub(super) fn stretches_of(
    visit: &Visit,
    first: Answers,
    units: Units,
    content: &Content,
    path: &Path,
) -> Vec<(String, Answers)> {
    let mut list = vec![(content.word("label.first_stretch").to_owned(), first)];
    for (name, run) in &visit.runs {
        let (answers, misfits) = visit.run_answers(run, &list[0].1, &content.flow, units);
        for misfit in &misfits {
            note(&format!("{}, {name}: `{}` {}", path.display(), misfit.question, misfit.reason));
        }
        list.push((name.clone(), answers));
    }
    list
}

/// The answers of one stretch of wall by its name; of the first without a name.
pub(super) fn stretch_named(list: Vec<(String, Answers)>, name: Option<&str>) -> Result<Answers, CommandError> {
    let known: Vec<String> = list.iter().map(|(n, _)| n.clone()).collect();
    let found = match name {
        None => list.into_iter().next(),
        Some(name) => list.into_iter().find(|(n, _)| n == name),
    };
    found
        .map(|(_, answers)| answers)
        .ok_or_else(|| CommandError::Input(format!("there is no such stretch; there is: {}", known.join(", "))))
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
