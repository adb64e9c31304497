//! `wallfoot visits`: all visits of a folder, one line each.

use super::error::CommandError;
use super::global::Global;
use super::output::{OutputLook, document_with, print};
use super::outside::{harmless, today};
use super::reading::{bare_units, name_of};
use crate::content::{Content, Verdict};
use crate::judge::Stretches;
use crate::sheet::{Block, Document};
use crate::visit::{Visit, VisitError, may_be_visits, visit_in};
use clap::{Args, ValueEnum};
use std::cmp::Reverse;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(after_help = "Example: wallfoot visits jobs --sort verdict")]
pub(super) struct VisitsArgs {
    /// The folder; folders in it are left out
    #[arg(value_name = "DIR", default_value = ".")]
    folder: PathBuf,
    /// What comes first: the newest date, the name in its order, or the gravest verdict
    #[arg(long, value_enum, default_value = "date")]
    sort: SortArg,
    /// In which form
    #[arg(long = "as", value_enum, value_name = "FORMAT", default_value = "text")]
    format: VisitsFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SortArg {
    /// By the name of the visit
    Name,
    /// By the day of the last change, the newest first
    Date,
    /// By the verdict, the gravest first
    Verdict,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum VisitsFormat {
    /// For the terminal
    Text,
    /// For programs (see docs/json.md)
    Json,
}

/// A line of the list.
struct VisitLine {
    file: String,
    name: String,
    /// The day of the last change; may be empty.
    date: String,
    verdict: Verdict,
    /// How many questions can still change the verdict.
    open: usize,
    /// How many answers of the file count for nothing.
    unread: usize,
}

/// A file that says that it is a visit, and cannot be read: its name, and why.
type BrokenVisit = (String, VisitError);

pub(super) fn run(args: &VisitsArgs, global: &Global) -> Result<(), CommandError> {
    let content: &Content = global.content()?;
    if !content.has_rules() {
        return Err(CommandError::NoRules);
    }
    let fail = |reason| CommandError::Read { path: args.folder.clone(), reason };
    let files = may_be_visits(&args.folder).map_err(fail)?;
    let (mut lines, broken) = read_all(&files, content, global)?;
    match args.sort {
        SortArg::Name => lines.sort_by_cached_key(|line| line.name.to_lowercase()),
        SortArg::Date => lines.sort_by(|a, b| b.date.cmp(&a.date)),
        SortArg::Verdict => lines.sort_by(|a, b| (Reverse(a.verdict), &b.date).cmp(&(Reverse(b.verdict), &a.date))),
    }
    let text = match args.format {
        VisitsFormat::Json => json(&lines, &broken)?,
        VisitsFormat::Text => {
            let document = document(&lines, &broken, &args.folder, content, global);
            document_with(&document, OutputLook::Text, content, global, true)
        }
    };
    print(&text)
}

/// Reads and judges the files, a part of them on each processor.
fn read_all(
    files: &[PathBuf],
    content: &Content,
    global: &Global,
) -> Result<(Vec<VisitLine>, Vec<BrokenVisit>), CommandError> {
    let parts = std::thread::available_parallelism().map_or(1, usize::from);
    let part = files.len().div_ceil(parts).max(1);
    let read = |files: &[PathBuf]| files.iter().filter_map(|file| line(file, content, global)).collect::<Vec<_>>();
    let all: Vec<_> = std::thread::scope(|scope| {
        let threads: Vec<_> = files.chunks(part).map(|files| scope.spawn(move || read(files))).collect();
        threads
            .into_iter()
            .flat_map(|thread| thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    });
    let (mut lines, mut broken) = (Vec::new(), Vec::new());
    for found in all {
        match found {
            Ok(line) => lines.push(line),
            Err(Unlisted::Broken(entry)) => broken.push(entry),
            Err(Unlisted::Fails(error)) => return Err(error),
        }
    }
    Ok((lines, broken))
}

/// Why a visit has no line.
enum Unlisted {
    /// It cannot be read.
    Broken(BrokenVisit),
    /// The whole list cannot be made.
    Fails(CommandError),
}

/// The line of a file; nothing if it is no visit.
fn line(path: &Path, content: &Content, global: &Global) -> Option<Result<VisitLine, Unlisted>> {
    let file = path.file_name().map_or_else(String::new, |name| harmless(&name.to_string_lossy()));
    Some(match visit_in(path)? {
        Err(error) => Err(Unlisted::Broken((file, error))),
        Ok(visit) => judged(&visit, file, content, global).map_err(Unlisted::Fails),
    })
}

fn judged(visit: &Visit, file: String, content: &Content, global: &Global) -> Result<VisitLine, CommandError> {
    let bare = bare_units(visit, content, global);
    let (mut first, misfits) = visit.answers(&content.flow, bare);
    global.set_region(content, &mut first)?;
    let units = global.units(content, &first);
    let mut unread = misfits.len();
    let others: Vec<_> = visit
        .runs
        .iter()
        .map(|(name, run)| {
            let (answers, misfits) = visit.run_answers(run, &first, &content.flow, bare);
            unread += misfits.len();
            (name.clone(), answers)
        })
        .collect();
    let mut assessed = vec![(String::new(), content.assess(&first, units))];
    assessed.extend(others.iter().map(|(name, answers)| (name.clone(), content.assess(answers, units))));
    let stretches = Stretches::of(assessed).ok_or(CommandError::NoStretch)?;
    let worst = stretches.worst();
    Ok(VisitLine {
        name: name_of(visit, content).unwrap_or_else(|| file.clone()),
        file,
        date: harmless(&visit.changed),
        verdict: worst.settled.verdict,
        open: worst.open.len(),
        unread,
    })
}

/// Why a visit cannot be read, in one line; what to do about it stands below the list.
fn reason(error: &VisitError) -> String {
    harmless(error.to_string().lines().next().unwrap_or_default())
}

fn document(
    lines: &[VisitLine],
    broken: &[BrokenVisit],
    folder: &Path,
    content: &Content,
    global: &Global,
) -> Document {
    let word = |key: &str| content.word(key).to_owned();
    let mut blocks = Vec::new();
    if lines.is_empty() {
        blocks.push(Block::Paragraph(word("text.no_visits")));
    } else {
        let row = |line: &VisitLine| {
            let verdict = word(&format!("verdict.{}", line.verdict.word()));
            vec![line.name.clone(), line.file.clone(), line.date.clone(), verdict, line.open.to_string()]
        };
        let head = ["table.visit", "table.file", "table.date", "table.verdict", "table.open"].map(word).to_vec();
        blocks.push(Block::Table { head, rows: lines.iter().map(row).collect() });
    }
    let unread: Vec<String> =
        lines.iter().filter(|line| line.unread > 0).map(|line| format!("{} ({})", line.file, line.unread)).collect();
    if !unread.is_empty() {
        blocks.push(Block::Paragraph(word("text.visits_unread").replace("{files}", &unread.join(", "))));
    }
    if !broken.is_empty() {
        blocks.push(Block::Heading(word("heading.visits_broken")));
        blocks.extend(broken.iter().map(|(_, error)| Block::Paragraph(reason(error))));
    }
    let cover = global.cover(&today());
    Document {
        title: word("sheet.visits"),
        about: vec![harmless(&folder.display().to_string())],
        lang: cover.lang,
        compact: false,
        blocks,
        foot: word("foot.visits"),
    }
}

fn json(lines: &[VisitLine], broken: &[BrokenVisit]) -> serde_json::Result<String> {
    let visits: Vec<_> = lines
        .iter()
        .map(|line| {
            serde_json::json!({
                "file": line.file, "name": line.name, "date": line.date, "verdict": line.verdict.word(),
                "open": line.open, "unread": line.unread,
            })
        })
        .collect();
    let broken: Vec<_> =
        broken.iter().map(|(file, error)| serde_json::json!({ "file": file, "reason": reason(error) })).collect();
    let all = serde_json::json!({ "wallfoot_visits": 1, "visits": visits, "broken": broken });
    Ok(serde_json::to_string_pretty(&all)? + "\n")
}
