//! `wallfoot compare`: alternatives side by side.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::change::{answer_to, id_and_value};
use super::error::{ChangeError, CommandError};
use super::global::Global;
use super::output::{FormatArg, Holds, OutputLook, Target, document_as, text_of};
use super::outside::width;
use super::reading::{answers_of, bare_units, stretch_named, stretches_of};
use crate::content::Content;
use crate::flow::{Answers, one_line};
use crate::sheet::{Alternative, compare};
use crate::units::{Length, Units};
use crate::visit::Visit;
use clap::Args;
use std::io::{self, IsTerminal};
use std::path::PathBuf;

/// How many alternatives can be set beside the visit as it is.
const MOST: usize = 6;
/// Columns of a screen for what a row is about, and for each alternative.
const ABOUT_COLUMNS: usize = 24;
const COLUMNS: usize = 14;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot compare --set \"lower=2 in\"\n  wallfoot compare patio.yaml --set \"lower it: lower=2 in\" --set joint=open_gap"
)]
pub(super) struct CompareArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
    /// One alternative: `id=value`, several changes apart by `;`, with a name in front if you like, as in
    /// `"lower it: lower=2 in; joint=open_gap"`. `lower` and `raise` move the surface. Give it again for another one.
    /// Without any, the tries that are saved in the visit are shown
    #[arg(long, value_name = "CHANGES")]
    set: Vec<String>,
    /// The stretch of wall, by its name
    #[arg(long, value_name = "NAME")]
    run: Option<String>,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<FormatArg>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn run(args: &CompareArgs, global: &Global) -> Result<(), CommandError> {
    if args.set.len() > MOST {
        return Err(CommandError::TooMany { most: MOST });
    }
    let target = Target::new(args.format, args.output.as_deref(), FormatArg::Text, &args.visit)?;
    let content = global.content()?;
    let visit = Visit::read(&args.visit)?;
    let (first, units) = answers_of(&visit, &args.visit, content, global)?;
    let list = stretches_of(&visit, first, &args.visit, content, global);
    let now = stretch_named(list, args.run.as_deref())?;
    let mut plans = vec![(content.word("label.as_it_is").to_owned(), now.clone())];
    for text in &args.set {
        plans.push(alternative(text, &now, content, units)?);
    }
    if args.set.is_empty() {
        // the first stretch has a name on the sheets, and none in the file
        let stretch = args.run.as_deref().filter(|name| visit.runs.contains_key(*name)).unwrap_or_default();
        let bare = bare_units(&visit, content, global);
        let tries = visit.tries_of(stretch);
        plans.extend(
            tries.map(|(name, tried)| {
                (one_line(name).into_owned(), visit.try_answers(tried, &now, &content.flow, bare).0)
            }),
        );
        if plans.len() == 1 {
            return Err(CommandError::NoTries { path: args.visit.clone() });
        }
    }
    let list = alternatives(&plans, content, units);
    let made = match target.form.holds() {
        Holds::Report => json(&list)?.into(),
        Holds::Document(OutputLook::Text) if target.to_screen() => {
            compared(&plans, content, units, &visit.changed, global)?.into()
        }
        Holds::Document(look) => {
            let across = if look == OutputLook::Text { across(TEXT_COLUMNS) } else { plans.len() };
            let document = compare(&list, &global.cover(&visit.changed), across).ok_or(CommandError::NoStretch)?;
            document_as(&document, look, &list[0].assessment, global, false)?
        }
    };
    target.deliver(made, global)
}

/// Columns of a text in a file.
const TEXT_COLUMNS: usize = 80;

/// How many alternatives stand beside the plan in so many columns.
fn across(columns: usize) -> usize {
    (columns.saturating_sub(ABOUT_COLUMNS) / COLUMNS).saturating_sub(1).max(1)
}

fn alternatives<'c>(plans: &'c [(String, Answers)], content: &'c Content, units: Units) -> Vec<Alternative<'c>> {
    let each = |(name, answers): &'c (String, Answers)| Alternative {
        name: name.clone(),
        assessment: content.assess(answers, units),
    };
    plans.iter().map(each).collect()
}

/// Plans side by side for the screen, the first one beside each of the others.
///
/// # Errors
/// [`CommandError::NoStretch`] without any plan.
pub(super) fn compared(
    plans: &[(String, Answers)],
    content: &Content,
    units: Units,
    date: &str,
    global: &Global,
) -> Result<String, CommandError> {
    let list = alternatives(plans, content, units);
    let columns = if io::stdout().is_terminal() { width() } else { TEXT_COLUMNS };
    // a screen reader reads one after the other
    let across = if global.plain_look() { 1 } else { across(columns) };
    let document = compare(&list, &global.cover(date), across).ok_or(CommandError::NoStretch)?;
    Ok(text_of(&document, content, global, true))
}

fn json(list: &[Alternative<'_>]) -> serde_json::Result<String> {
    let each = |a: &Alternative<'_>| {
        Ok(serde_json::json!({ "name": a.name, "report": serde_json::to_value(a.assessment.report())? }))
    };
    let alternatives: Vec<_> = list.iter().map(each).collect::<serde_json::Result<_>>()?;
    let all = serde_json::json!({ "wallfoot_compare": 1, "alternatives": alternatives });
    super::outside::json(&all)
}

/// One alternative from its text: a name, and the answers with the changes.
pub(super) fn alternative(
    text: &str,
    now: &Answers,
    content: &Content,
    units: Units,
) -> Result<(String, Answers), ChangeError> {
    let (name, changes) = match text.split_once(':') {
        // a colon behind the first `=` belongs to a value, as in a slope of 1:80
        Some((name, rest)) if !name.contains('=') => (Some(one_line(name).trim().to_owned()), rest),
        Some(_) | None => (None, text),
    };
    let (mut answers, mut set) = (now.clone(), Vec::new());
    for change in changes.split(';').map(str::trim).filter(|c| !c.is_empty()) {
        let (id, value) = id_and_value(change)?;
        if let "lower" | "raise" = id {
            let by = Length::parse(value, units).map_err(|error| ChangeError::By { id: id.to_owned(), error })?;
            let by = if id == "raise" { -by } else { by };
            let lowered = content.assess(&answers, units).with_finish_lowered(by);
            answers = lowered.ok_or_else(|| ChangeError::NoHeight { id: id.to_owned() })?;
            continue;
        }
        let (number, answer) = answer_to(id, value, content, units)?;
        let before = answers.clone();
        answers.set(number, answer);
        set.push(number);
        answers = content.with_what_moves(&before, &answers, &set);
    }
    Ok((name.unwrap_or_else(|| changes.trim().to_owned()), answers))
}
