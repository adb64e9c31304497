//! `wallfoot ask`: the interview, kept on disk answer by answer.

use super::after::{After, finished};
use super::asker::asker;
use super::error::CommandError;
use super::global::Global;
use super::outside::{note, this_year, today, width};
use super::reading::{OwnCountry, answers_of, run_of};
use crate::content::Content;
use crate::flow::Answers;
use crate::interview::{Ended, Interview, InterviewError};
use crate::visit::OpenVisit;
use clap::Args;
use std::path::{Path, PathBuf};

/// The file that is used when none is named.
const DEFAULT: &str = "wallfoot-visit.yaml";

#[derive(Debug, Args)]
pub(super) struct AskArgs {
    /// Where the answers are kept; an existing visit is resumed
    #[arg(default_value = DEFAULT)]
    visit: PathBuf,
    /// Ask only what can still change the verdict
    #[arg(long)]
    brief: bool,
    /// Another stretch of wall of the same visit, by a name of yours: change what is different there
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
}

pub(super) fn run(args: &AskArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let path = &args.visit;
    let mut open = OpenVisit::open_or_new(path, &today())?;
    let (first, _) = answers_of(open.visit(), path, content, global)?;
    let mut answers = match &args.run {
        None => first.clone(),
        Some(_) if first.iter().next().is_none() => {
            return Err(CommandError::FirstStretch);
        }
        Some(name) => run_of(open.visit(), name, &first, path, content, global),
    };
    if !open.is_new() && !finished(content, &answers) {
        note(&format!("Going on with {} ({} answers so far).", path.display(), answers.iter().count()));
    } else if content.has_rules() {
        note(&textwrap::fill(content.word("ask.welcome"), width()));
    }
    let country = OwnCountry::of(open.visit(), &first, content);
    let in_file = |answers: &Answers| country.in_file(answers);
    // before the first question: a place that cannot be written to is better known now
    open.write_answers(&content.flow, &in_file(&first), &today())?;

    let new_run = args.run.as_ref().is_some_and(|name| !open.visit().runs.contains_key(name));
    let brief = args.brief;
    let wanted = |answers: &Answers| brief.then(|| decisive(content, answers));
    let units_of = |answers: &Answers| global.units(content, answers);
    let interview = Interview::new(&content.flow, units_of, wanted).in_year(this_year());
    let interview = interview.beside(args.run.as_ref().map(|_| first.clone()));
    let mut keep = |answers: &Answers| match &args.run {
        None => open.write_answers(&content.flow, &in_file(answers), &today()),
        Some(name) => open.write_run(name, &content.flow, &in_file(answers), &in_file(&first), &today()),
    };
    let mut asker = asker(content, global);
    if let Some(name) = &args.run {
        asker.stretch(name);
    }
    let after = After { content, global, path, stretch: args.run.as_deref() };
    if content.has_rules() && !new_run && finished(content, &answers) {
        end(after.run(asker.as_mut())?, path);
        return Ok(());
    }
    let ended = interview.run(&mut answers, asker.as_mut(), &mut keep).map_err(|error| match error {
        InterviewError::Terminal(reason) => CommandError::Terminal { path: path.clone(), reason },
        InterviewError::Keep(error) => CommandError::Visit(error),
    })?;
    match ended {
        Ended::Finished if content.has_rules() => end(after.run(asker.as_mut())?, path),
        Ended::Finished => {
            note(&format!("Saved in {}. These questions hold no rules, so there is no verdict.", path.display()));
        }
        Ended::Left(how) => end(Ended::Left(how), path),
    }
    Ok(())
}

/// The last line, by how it ended.
fn end(ended: Ended, path: &Path) {
    let shown = path.display();
    match ended {
        Ended::Left(_) => note(&format!("Saved in {shown}. Go on with: wallfoot ask {shown}")),
        Ended::Finished => note(&format!(
            "\nSaved in {shown}. Next:\n  the answer again:       wallfoot advise {shown}\n  the homeowner's sheet:  wallfoot advise {shown} --sheet homeowner\n  the crew's sheet:       wallfoot advise {shown} --sheet landscaper\n  this menu:              wallfoot ask {shown}"
        )),
    }
}

/// The questions that can still change the verdict, and those nothing can do without.
fn decisive(content: &Content, answers: &Answers) -> Vec<usize> {
    let assessment = content.assess_so_far(answers, crate::units::Units::Inch);
    let needed = content.flow.questions.iter().enumerate().filter(|(_, q)| !q.not_sure).map(|(i, _)| i);
    assessment.open.iter().map(|p| p.question).chain(needed).collect()
}
