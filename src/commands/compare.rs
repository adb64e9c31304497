//! `wallfoot compare`: alternatives side by side.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP};
use super::change::{answer_to, id_and_value};
use super::error::{ChangeError, CommandError};
use super::global::Global;
use super::output::{FormatArg, Holds, Target, document_as};
use super::reading::{answers_of, stretch_named, stretches_of};
use crate::content::Content;
use crate::flow::Answers;
use crate::sheet::{Alternative, compare};
use crate::units::{Length, Units};
use crate::visit::Visit;
use clap::Args;
use std::path::PathBuf;

/// How many alternatives fit side by side, the visit as it is included.
const MOST: usize = 4;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot compare --set \"lower=2 in\"\n  wallfoot compare patio.yaml --set \"lower it: lower=2 in\" --set joint=open_gap"
)]
pub(super) struct CompareArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
    /// One alternative: `id=value`, several changes apart by `;`, with a name in front if you like, as in
    /// `"lower it: lower=2 in; joint=open_gap"`. `lower` and `raise` move the surface. Give it again for another one
    #[arg(long, value_name = "CHANGES", required = true)]
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
    if args.set.len() >= MOST {
        return Err(CommandError::TooMany { most: MOST - 1 });
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
    let list: Vec<Alternative<'_>> = plans
        .iter()
        .map(|(name, answers)| Alternative { name: name.clone(), assessment: content.assess(answers, units) })
        .collect();
    let text = match target.form.holds() {
        Holds::Report => json(&list)?,
        Holds::Document(look) => {
            let document = compare(&list, &global.cover(&visit.changed)).ok_or(CommandError::NoStretch)?;
            document_as(&document, look, &list[0].assessment, global, target.to_screen())
        }
    };
    target.deliver(&text, global)
}

fn json(list: &[Alternative<'_>]) -> serde_json::Result<String> {
    let each = |a: &Alternative<'_>| {
        Ok(serde_json::json!({ "name": a.name, "report": serde_json::to_value(a.assessment.report())? }))
    };
    let alternatives: Vec<_> = list.iter().map(each).collect::<serde_json::Result<_>>()?;
    let all = serde_json::json!({ "wallfoot_compare": 1, "alternatives": alternatives });
    Ok(serde_json::to_string_pretty(&all)? + "\n")
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
        Some((name, rest)) if !name.contains('=') => (Some(name.trim().to_owned()), rest),
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
