//! `wallfoot log`: dated notes and photographs to a visit.

use super::arguments::{VISIT_HELP, visit_and};
use super::closing::Again;
use super::error::CommandError;
use super::global::Global;
use super::output::{FormatArg, Holds, Target, document_as};
use super::outside::{note, today};
use super::reading::answers_of;
use crate::content::Content;
use crate::flow::{nearest, one_line};
use crate::sheet::{Block, Document};
use crate::visit::{Note, OpenVisit, Visit};
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(
    override_usage = "wallfoot log [OPTIONS] [VISIT] [NOTE]",
    after_help = "Examples:\n  wallfoot log\n  wallfoot log \"Measured again\" --about exit_below_mark\n  wallfoot log patio.yaml \"The bottom edge\" --photo foot.jpg"
)]
pub(super) struct LogArgs {
    #[arg(value_name = "VISIT", help = VISIT_HELP)]
    visit: Option<String>,
    /// A note to add. Without one, and without a photograph, the log is printed with the photographs to take
    note: Option<String>,
    /// What it is about: the id of a question, finding, limit or task
    #[arg(long, value_name = "ID")]
    about: Option<String>,
    /// The file name of a photograph. May be given more than once
    #[arg(long, value_name = "FILE")]
    photo: Vec<String>,
    /// The day, if it is not today: 2026-11-25
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<FormatArg>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn run(args: &LogArgs, global: &Global) -> Result<(), CommandError> {
    let (path, text) = visit_and(args.visit.as_deref(), args.note.as_deref());
    let target = Target::new(args.format, args.output.as_deref(), FormatArg::Text, &path)?;
    let content = global.content()?;
    let text = text.as_deref().map(str::trim).unwrap_or_default();
    if text.is_empty() && args.photo.is_empty() {
        if args.about.is_some() || args.date.is_some() {
            return Err(CommandError::NoNote);
        }
        return print(&target, &path, &Visit::read(&path)?, content, global);
    }
    let mut open = OpenVisit::open(&path)?;
    let about = args.about.as_deref().map(|id| known(id, content)).transpose()?.unwrap_or_default();
    let date = match &args.date {
        None => today(),
        Some(date) => date
            .parse::<jiff::civil::Date>()
            .map(|d| d.to_string())
            .map_err(|_| CommandError::Date { found: date.clone() })?,
    };
    let folder = path.parent().unwrap_or_else(|| Path::new(""));
    for photo in &args.photo {
        if !folder.join(photo).exists() && !Path::new(photo).exists() {
            note(&content.word_with("note.no_photo", &[("photo", photo.as_str())]));
        }
    }
    let photos = args.photo.iter().map(|p| clean(p)).collect();
    open.write_with(|visit| {
        visit.log.push(Note { date, about, text: clean(text), photos });
        visit.log.sort_by(|a, b| a.date.cmp(&b.date));
    })?;
    note(&content.word_with("note.noted", &[("path", &path.display().to_string())]));
    Ok(())
}

/// A text of the log as it may be shown: on one line.
fn clean(text: &str) -> String {
    one_line(text).trim().to_owned()
}

/// The id, if there is anything of that name.
fn known(id: &str, content: &Content) -> Result<String, CommandError> {
    let bare = id.trim().strip_prefix("limit.").unwrap_or(id.trim());
    let questions = content.flow.questions.iter().map(|q| q.id.as_str());
    let findings = content.findings.iter().map(|f| f.id.as_str());
    let limits = content.limits.iter().map(|l| l.id.as_str());
    let tasks = content.tasks.iter().map(|t| t.id.as_str()).chain(content.joint_tasks.iter().map(|t| t.id.as_str()));
    let all: Vec<&str> = questions.chain(findings).chain(limits).chain(tasks).collect();
    if all.contains(&bare) {
        return Ok(bare.to_owned());
    }
    let near = nearest(bare, all.into_iter()).map(str::to_owned);
    Err(CommandError::About { id: bare.to_owned(), near })
}

fn print(
    target: &Target<'_, FormatArg>,
    path: &Path,
    visit: &Visit,
    content: &Content,
    global: &Global,
) -> Result<(), CommandError> {
    let (answers, units) = answers_of(visit, path, content, global)?;
    let assessment = content.assess(&answers, units);
    let report = || {
        let all: Vec<_> = visit
            .log
            .iter()
            .map(|n| serde_json::json!({ "date": clean(&n.date), "about": clean(&n.about), "text": clean(&n.text), "photos": n.photos }))
            .collect();
        let json = serde_json::json!({ "wallfoot_log": 1, "notes": all });
        super::outside::json(&json)
    };
    let look = match target.form.holds() {
        Holds::Report => return target.deliver(&report()?, global),
        Holds::Document(look) => look,
    };
    let word = |key: &str| content.word(key).to_owned();
    let mut blocks = Vec::new();
    if visit.log.is_empty() {
        let again = Again { command: "log", visit: path, rest: Vec::new(), global };
        blocks.push(Block::Paragraph(word("text.log_empty").replace("{command}", &again.line())));
    } else {
        let row = |n: &Note| {
            let about = one_line(&assessment.what_it_is(&n.about)).into_owned();
            vec![clean(&n.date), about, clean(&n.text), clean(&n.photos.join(", "))]
        };
        let head = ["table.date", "table.about", "table.note", "table.photos"].map(word).to_vec();
        blocks.push(Block::Table { head, rows: visit.log.iter().map(row).collect() });
    }
    blocks.push(Block::Heading(word("heading.photos")));
    blocks.push(assessment.photos());
    let cover = global.cover(&visit.changed);
    let document = Document {
        title: word("sheet.log"),
        about: assessment.about(&cover),
        lang: cover.lang.clone(),
        running: String::new(),
        blocks,
        foot: word("foot"),
        letterhead: None,
    };
    target.deliver(document_as(&document, look, &assessment, global, target.to_screen())?, global)
}
