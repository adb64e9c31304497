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
use crate::interview::{Asker, Ended, Interview, InterviewError, Leaving, Next, Picked, Yes};
use crate::judge::Upcoming;
use crate::terminal::{Labels, Menus, Plain};
use crate::units::Units;
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

    let units_of = |answers: &Answers| global.units(content, answers);
    let first_stretch = args.run.as_ref().map(|_| first.clone());
    let deciding =
        interview(content, units_of, |answers, _| content.next_question(answers)).beside(first_stretch.clone());
    let whole =
        interview(content, units_of, |answers, last| content.next_for_sheets(answers, last)).beside(first_stretch);
    let mut keep = |answers: &Answers| match &args.run {
        None => open.write_answers(&content.flow, &in_file(answers), &today()),
        Some(name) => open.write_run(name, &content.flow, &in_file(answers), &in_file(&first), &today()),
    };
    let mut rest = run_words(args.run.as_deref());
    rest.extend(args.brief.then(|| "--brief".to_owned()));
    let again = Again { command: "ask", visit: path, rest, global };
    watch(&again, content);
    let mut asker = asker(content, global);
    if let Some(name) = &args.run {
        asker.stretch(name);
    }
    let broken = |error| match error {
        InterviewError::Terminal(reason) => CommandError::Terminal { path: path.clone(), reason },
        InterviewError::Keep(error) => CommandError::Visit(error),
    };
    let mut end = deciding.run(&mut answers, asker.as_mut(), &mut keep).map_err(broken)?;
    if end == Ended::Finished && content.has_rules() {
        say_untranslated(content);
    }
    let open_for_sheets = content.left_for_sheets(&answers).len();
    if end == Ended::Finished && content.has_rules() && open_for_sheets > 0 {
        if args.brief {
            note(&format!("\n{}", content.word("settled.brief").replace("{count}", &open_for_sheets.to_string())));
        } else {
            show_answer(content, &answers, global)?;
            let go_on = content.word("settled.go_on").replace("{count}", &open_for_sheets.to_string());
            let items = [go_on, content.word("settled.stop").to_owned()];
            let picked = asker.choose(content.word("settled.title"), &items);
            end = match picked.map_err(|reason| CommandError::Terminal { path: path.clone(), reason })? {
                Picked::Item(0) => whole.run(&mut answers, asker.as_mut(), &mut keep).map_err(broken)?,
                Picked::Item(_) | Picked::Back => Ended::Finished,
                Picked::Leave(how) => Ended::Left(how),
            };
        }
    }
    match end {
        Ended::Left(how) => left(how, &again, content),
        Ended::Finished if !content.has_rules() => {
            note(&content.word_with("note.no_verdict", &[("path", &path.display().to_string())]));
            Ok(())
        }
        Ended::Finished => {
            // by the country that was answered just now
            let units = global.units(content, &answers);
            show_answer(content, &answers, global)?;
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

/// The verdict with what belongs to it.
fn show_answer(content: &Content, answers: &Answers, global: &Global) -> Result<(), CommandError> {
    // by the country that was answered just now
    let assessment = content.assess(answers, global.units(content, answers));
    let document = assessment.summary(&global.cover(&today()));
    print("\n")?;
    print(&document_as(&document, OutputLook::Text, &assessment, global, true))
}

/// An interview in this order, in the words of the content.
pub(super) fn interview<'c, U: Fn(&Answers) -> Units>(
    content: &'c Content,
    units: U,
    order: impl Fn(&Answers, Option<usize>) -> Option<Upcoming>,
) -> Interview<'c, U, impl Fn(&Answers, Option<usize>) -> Option<Next>> {
    let next = move |answers: &Answers, last: Option<usize>| {
        order(answers, last).map(|Upcoming { question, more }| Next { question, more })
    };
    let word = |key: &str| content.word(key).to_owned();
    let words = Yes { yes: word("label.yes"), no: word("label.no"), not_sure: word("label.not_sure") };
    Interview::new(&content.flow, units, next).in_year(this_year()).saying(words)
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
