//! `wallfoot ask`: the interview, kept on disk answer by answer.

use super::after::{After, finished};
use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::asker::asker;
use super::asking::interview;
use super::closing::{Again, left, run_words, watch};
use super::error::CommandError;
use super::global::Global;
use super::outside::{note, say_untranslated, today, width};
use super::reading::{OwnCountry, answers_of, run_of, verdict_of};
use crate::flow::Answers;
use crate::interview::{Ended, InterviewError, Leaving};
use crate::visit::OpenVisit;
use clap::Args;
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
    // the first stretch has its name on screens and sheets only
    let first_name = content.word("label.first_stretch");
    let run = args.run.as_deref().map(str::trim).filter(|name| *name != first_name).map(str::to_owned);
    if run.as_deref() == Some("") {
        return Err(CommandError::NamelessStretch);
    }
    let mut open = OpenVisit::open_or_new(path, &today())?;
    let (first, _) = answers_of(open.visit(), path, content, global)?;
    let mut answers = match &run {
        None => first.clone(),
        Some(_) if first.iter().next().is_none() => {
            return Err(CommandError::FirstStretch);
        }
        Some(name) => run_of(open.visit(), name, &first, path, content, global),
    };
    if !open.is_new() && !finished(content, &answers) {
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

    let new_run = run.as_ref().is_some_and(|name| !open.visit().runs.contains_key(name));
    let units_of = |answers: &Answers| global.units(content, answers);
    let deciding = interview(content, units_of, |answers, _| content.next_question(answers));
    let deciding = deciding.beside(run.as_ref().map(|_| first.clone()));
    let mut keep = |answers: &Answers| match &run {
        None => open.write_answers(&content.flow, &in_file(answers), &today()),
        Some(name) => open.write_run(name, &content.flow, &in_file(answers), &in_file(&first), &today()),
    };
    let mut rest = run_words(run.as_deref());
    rest.extend(args.brief.then(|| "--brief".to_owned()));
    let again = Again { command: "ask", visit: path, rest, global };
    watch(&again, content);
    let mut asker = asker(content, global);
    if let Some(name) = &run {
        asker.stretch(name);
    }
    let broken = |error| match error {
        InterviewError::Terminal(reason) => CommandError::Terminal { path: path.clone(), reason },
        InterviewError::Keep(error) => CommandError::Visit(error),
    };
    if new_run {
        // all answers of the first stretch hold here too, until one is said to be different
        keep(&answers).map_err(CommandError::Visit)?;
        if let Ended::Left(how) = deciding.review(&mut answers, asker.as_mut(), &mut keep).map_err(broken)? {
            return left(how, &again, content);
        }
    }
    if let Ended::Left(how) = deciding.run(&mut answers, asker.as_mut(), &mut keep).map_err(broken)? {
        return left(how, &again, content);
    }
    if !content.has_rules() {
        note(&content.word_with("note.no_verdict", &[("path", &path.display().to_string())]));
        return Ok(());
    }
    say_untranslated(content);
    let more = content.left_for_sheets(&answers).len();
    let after = After { content, global, path, stretch: run.as_deref() };
    let ended = if args.brief && more > 0 {
        after.show()?;
        let said = content.word("settled.brief").replace("{count}", &more.to_string());
        note(&format!("\n{}", textwrap::fill(&said, width())));
        Ended::Finished
    } else {
        after.run(asker.as_mut())?
    };
    // the menu wrote the file in its own way
    let mut open = OpenVisit::open(path)?;
    let verdict = verdict_of(open.visit(), content, global)?;
    // a country that was only tried out is not what the file says
    if in_file(&first) == first {
        open.write_shown(verdict.word(), &today())?;
    }
    if ended == Ended::Left(Leaving::Interrupted) {
        return left(Leaving::Interrupted, &again, content);
    }
    let next = |key: &str, command: &str| content.word_with(key, &[("command", command)]);
    note(&format!(
        "\n{}\n  {}\n  {}\n  {}\n  {}",
        content.word_with("note.saved_next", &[("path", &path.display().to_string())]),
        next("note.next_answer", &again.other("advise", &[])),
        next("note.next_homeowner", &again.other("advise", &["--sheet", "homeowner"])),
        next("note.next_crew", &again.other("advise", &["--sheet", "landscaper"])),
        next("note.next_menu", &Again { rest: run_words(run.as_deref()), ..again }.line())
    ));
    Ok(())
}
