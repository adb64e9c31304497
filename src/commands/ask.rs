//! `wallfoot ask`: the interview, kept on disk answer by answer.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::closing::{Again, left, run_words, watch};
use super::error::CommandError;
use super::global::Global;
use super::output::{OutputLook, document_as, print};
use super::outside::{colour_allowed, height, note, say_untranslated, this_year, today, width};
use super::reading::{OwnCountry, answers_of, run_of, verdict_of};
use super::what_if::WhatIf;
use crate::content::{Content, words};
use crate::flow::Answers;
use crate::interview::{Asker, Ended, Interview, InterviewError, Leaving};
use crate::terminal::{Labels, Menus, Plain};
use crate::visit::OpenVisit;
use clap::Args;
use std::io;
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot ask\n  wallfoot ask patio.yaml --brief\n  wallfoot ask patio.yaml --run \"return wall\"\nAn existing visit is resumed. Each answer is on disk at once."
)]
pub(super) struct AskArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
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
    if !open.is_new() {
        let values = [("path", &*path.display().to_string()), ("count", &*answers.iter().count().to_string())];
        note(&content.word_with("note.going_on", &values));
    }
    let country = OwnCountry::of(open.visit(), &first, content);
    let in_file = |answers: &Answers| country.in_file(answers);
    // before the first question: a place that cannot be written to is better known now
    let new = open.is_new();
    open.write_answers(&content.flow, &in_file(&first), &today())?;
    if new && content.has_rules() {
        note(&textwrap::fill(content.word("ask.welcome"), width()));
    }

    let brief = args.brief;
    let wanted = |answers: &Answers| brief.then(|| decisive(content, answers));
    let units_of = |answers: &Answers| global.units(content, answers);
    let interview = Interview::new(&content.flow, units_of, wanted).in_year(this_year());
    let interview = interview.beside(args.run.as_ref().map(|_| first.clone()));
    let mut keep = |answers: &Answers| match &args.run {
        None => open.write_answers(&content.flow, &in_file(answers), &today()),
        Some(name) => open.write_run(name, &content.flow, &in_file(answers), &in_file(&first), &today()),
    };
    let mut rest = run_words(args.run.as_deref());
    rest.extend(brief.then(|| "--brief".to_owned()));
    let again = Again { command: "ask", visit: path, rest, global };
    watch(&again, content);
    let mut asker = asker(content, global);
    if let Some(name) = &args.run {
        asker.stretch(name);
    }
    let end = interview.run(&mut answers, asker.as_mut(), &mut keep).map_err(|error| match error {
        InterviewError::Terminal(reason) => CommandError::Terminal { path: path.clone(), reason },
        InterviewError::Keep(error) => CommandError::Visit(error),
    })?;
    match end {
        Ended::Left(how) => left(how, &again, content),
        Ended::Finished if !content.has_rules() => {
            note(&content.word_with("note.no_verdict", &[("path", &path.display().to_string())]));
            Ok(())
        }
        Ended::Finished => {
            // by the country that was answered just now
            let units = global.units(content, &answers);
            let assessment = content.assess(&answers, units);
            let document = assessment.summary(&global.cover(&today()));
            say_untranslated(content);
            print("\n")?;
            print(&document_as(&document, OutputLook::Text, &assessment, global, true))?;
            let menu = WhatIf { content, units, global, date: &today(), path };
            let mut save = |answers: &Answers| keep(answers).map_err(CommandError::Visit);
            let ended = menu.run(&mut answers, asker.as_mut(), &mut save)?;
            let verdict = verdict_of(open.visit(), content, global)?;
            open.write_shown(verdict.word(), &today())?;
            if ended == Ended::Left(Leaving::Interrupted) {
                return left(Leaving::Interrupted, &again, content);
            }
            let next = |key: &str, command: &str| content.word_with(key, &[("command", command)]);
            note(&format!(
                "\n{}\n  {}\n  {}\n  {}",
                content.word_with("note.saved_next", &[("path", &path.display().to_string())]),
                next("note.next_homeowner", &again.other("advise", &[])),
                next("note.next_crew", &again.other("advise", &["--sheet", "landscaper"])),
                next("note.next_change", &again.line())
            ));
            Ok(())
        }
    }
}

/// The questions that can still change the verdict, and those nothing can do without.
fn decisive(content: &Content, answers: &Answers) -> Vec<usize> {
    let assessment = content.assess_so_far(answers, crate::units::Units::Inch);
    let needed = content.flow.questions.iter().enumerate().filter(|(_, q)| !q.not_sure).map(|(i, _)| i);
    assessment.open.iter().map(|p| p.question).chain(needed).collect()
}

pub(super) fn asker(content: &Content, global: &Global) -> Box<dyn Asker> {
    let labels = words::keys().map(|key| (key.to_owned(), content.word(key).to_owned()));
    let labels = Labels(labels.collect());
    if global.plain_lines() {
        return Box::new(Plain::new(labels, io::stdin().lock(), io::stderr(), width()));
    }
    let mut menus = Menus::new(labels, width(), height());
    menus.set_colour(colour_allowed());
    Box::new(menus)
}
