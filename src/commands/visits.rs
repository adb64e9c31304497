//! `wallfoot visits`: all visits of a folder, one line each.

use super::error::CommandError;
use super::global::Global;
use super::output::{Forms, Target, text_of};
use super::outside::today;
use super::progress::HowFar;
use super::reading::{bare_units, name_of};
use super::written::Format;
use crate::content::{Content, Verdict};
use crate::flow::one_line;
use crate::judge::Stretches;
use crate::sheet::{Block, Document};
use crate::visit::{ShownVerdict, Visit, VisitError, may_be_visits, visit_in};
use clap::{Args, ValueEnum};
use std::cmp::Reverse;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;

/// How many visits stand in one table: a longer list names its columns again, and is never laid out as a whole.
const MOST_ROWS: usize = 500;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot visits\n  wallfoot visits jobs --sort verdict\n  wallfoot visits jobs --changed\n  wallfoot visits jobs --verdict find_out_first --open --name oak"
)]
pub(super) struct VisitsArgs {
    /// The folder; folders in it are left out
    #[arg(value_name = "DIR", default_value = ".")]
    folder: PathBuf,
    /// What comes first: the newest date, the name in its order, or the gravest verdict
    #[arg(long, value_enum, default_value = "date")]
    sort: SortArg,
    /// Only visits whose verdict is another today than the one that `ask` or `set` showed last
    #[arg(long)]
    changed: bool,
    /// Only visits with this verdict. May be given more than once
    #[arg(long, value_enum, value_name = "VERDICT")]
    verdict: Vec<VerdictArg>,
    /// Only visits where something is open that can still change the verdict
    #[arg(long)]
    open: bool,
    /// Only visits with this text in their name or the name of their file
    #[arg(long, value_name = "TEXT")]
    name: Option<String>,
    /// In which form; otherwise by the ending of the file, or as text
    #[arg(long = "as", value_enum, value_name = "FORMAT")]
    format: Option<VisitsFormat>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
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
#[value(rename_all = "snake_case")]
enum VerdictArg {
    GoAhead,
    ChangePlan,
    FindOutFirst,
    ExteriorTradeFirst,
}

impl VerdictArg {
    fn verdict(self) -> Verdict {
        match self {
            VerdictArg::GoAhead => Verdict::GoAhead,
            VerdictArg::ChangePlan => Verdict::ChangePlan,
            VerdictArg::FindOutFirst => Verdict::FindOutFirst,
            VerdictArg::ExteriorTradeFirst => Verdict::ExteriorTradeFirst,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum VisitsFormat {
    /// For the terminal
    Text,
    /// For programs (see docs/json.md)
    Json,
}

impl Forms for VisitsFormat {
    fn format(self) -> Format {
        match self {
            VisitsFormat::Text => Format::Text,
            VisitsFormat::Json => Format::Json,
        }
    }
}

/// A line of the list.
struct VisitLine {
    file: String,
    name: String,
    /// The day of the last change; may be empty.
    date: String,
    verdict: Verdict,
    /// The verdict that was shown last, if one was.
    shown: Option<ShownVerdict>,
    /// How many questions can still change the verdict.
    open: usize,
    /// How many answers of the file count for nothing.
    unread: usize,
}

impl VisitLine {
    /// The verdict that was shown last, if it was another one.
    fn before(&self) -> Option<&ShownVerdict> {
        self.shown.as_ref().filter(|shown| shown.verdict != self.verdict.word())
    }

    /// Whether the line is one of those that were asked for.
    fn is_asked_for(&self, args: &VisitsArgs) -> bool {
        let has = |text: &str| {
            let text = text.to_lowercase();
            self.name.to_lowercase().contains(&text) || self.file.to_lowercase().contains(&text)
        };
        (!args.changed || self.before().is_some())
            && (!args.open || self.open > 0)
            && (args.verdict.is_empty() || args.verdict.iter().any(|verdict| verdict.verdict() == self.verdict))
            && args.name.as_deref().is_none_or(has)
    }
}

/// A file that says that it is a visit, and cannot be read: its name, and why.
type BrokenVisit = (String, VisitError);

pub(super) fn run(args: &VisitsArgs, global: &Global) -> Result<(), CommandError> {
    let target = Target::new(args.format, args.output.as_deref(), VisitsFormat::Text, &args.folder)?;
    let content: &Content = global.content()?;
    if !content.has_rules() {
        return Err(CommandError::NoRules);
    }
    let fail = |reason| CommandError::Read { path: args.folder.clone(), reason };
    let files = may_be_visits(&args.folder).map_err(fail)?;
    let (mut lines, broken) = read_all(&files, content, global)?;
    let any = !lines.is_empty();
    lines.retain(|line| line.is_asked_for(args));
    match args.sort {
        SortArg::Name => lines.sort_by_cached_key(|line| line.name.to_lowercase()),
        SortArg::Date => lines.sort_by(|a, b| b.date.cmp(&a.date)),
        SortArg::Verdict => lines.sort_by(|a, b| (Reverse(a.verdict), &b.date).cmp(&(Reverse(b.verdict), &a.date))),
    }
    let text = match target.form {
        VisitsFormat::Json => json(&lines, &broken)?,
        VisitsFormat::Text => {
            let empty = if any { "text.no_such_visits" } else { "text.no_visits" };
            let document = document(&lines, &broken, empty, &args.folder, content, global);
            // a long list is there once
            drop(lines);
            text_of(&document, content, global, target.to_screen())
        }
    };
    target.deliver(&text, global)
}

/// Reads and judges the files on all processors: each takes the next file that nobody has. The lines come in the order of
/// the files.
fn read_all(
    files: &[PathBuf],
    content: &Content,
    global: &Global,
) -> Result<(Vec<VisitLine>, Vec<BrokenVisit>), CommandError> {
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(files.len());
    let next = AtomicUsize::new(0);
    let (send, receive) = channel();
    let all = std::thread::scope(|scope| {
        for _ in 0..workers {
            let (send, next) = (send.clone(), &next);
            scope.spawn(move || {
                while let Some((at, file)) = take(files, next) {
                    // nobody listens any more only if the program ends
                    let _ = send.send((at, line(file, content, global)));
                }
            });
        }
        drop(send);
        let mut progress = HowFar::new(files.len(), content.word("screen.reading_visits"), global);
        let mut all: Vec<_> = files.iter().map(|_| None).collect();
        for (done, (at, found)) in receive.iter().enumerate() {
            all[at] = found;
            progress.at(done + 1);
        }
        all
    });
    let (mut lines, mut broken) = (Vec::new(), Vec::new());
    for found in all.into_iter().flatten() {
        match found {
            Ok(line) => lines.push(line),
            Err(Unlisted::Broken(entry)) => broken.push(entry),
            Err(Unlisted::Fails(error)) => return Err(error),
        }
    }
    Ok((lines, broken))
}

/// The next file that nobody has taken, with its place.
fn take<'f>(files: &'f [PathBuf], next: &AtomicUsize) -> Option<(usize, &'f PathBuf)> {
    let at = next.fetch_add(1, Ordering::Relaxed);
    Some((at, files.get(at)?))
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
    let file = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
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
        name: name_of(visit, content).unwrap_or_else(|| one_line(&file).into_owned()),
        file,
        date: one_line(&visit.changed).into_owned(),
        verdict: worst.settled.verdict,
        shown: visit.shown.clone(),
        open: worst.open.len(),
        unread,
    })
}

/// Why a visit cannot be read, in one line; what to do about it stands below the list.
fn reason(error: &VisitError) -> String {
    one_line(error.to_string().lines().next().unwrap_or_default()).into_owned()
}

fn document(
    lines: &[VisitLine],
    broken: &[BrokenVisit],
    empty: &str,
    folder: &Path,
    content: &Content,
    global: &Global,
) -> Document {
    let word = |key: &str| content.word(key).to_owned();
    let mut blocks = Vec::new();
    if lines.is_empty() {
        blocks.push(Block::Paragraph(word(empty)));
    } else {
        let row = |line: &VisitLine| {
            let verdict = word(&format!("verdict.{}", line.verdict.word()));
            let verdict = match line.before() {
                None => verdict,
                Some(shown) => {
                    let known = Verdict::ALL.iter().find(|known| known.word() == shown.verdict);
                    let before = known.map_or_else(
                        || one_line(&shown.verdict).into_owned(),
                        |v| word(&format!("verdict.{}", v.word())),
                    );
                    let before = word("label.was").replace("{before}", &before);
                    format!("{verdict} ({})", before.replace("{date}", &one_line(&shown.date)))
                }
            };
            vec![
                line.name.clone(),
                one_line(&line.file).into_owned(),
                line.date.clone(),
                verdict,
                line.open.to_string(),
            ]
        };
        let head = || ["table.visit", "table.file", "table.date", "table.verdict", "table.open"].map(word).to_vec();
        let tables = lines.chunks(MOST_ROWS);
        blocks.extend(tables.map(|lines| Block::Table { head: head(), rows: lines.iter().map(row).collect() }));
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
        about: vec![one_line(&folder.display().to_string()).into_owned()],
        lang: cover.lang,
        running: String::new(),
        blocks,
        foot: word("foot.visits"),
        letterhead: None,
    }
}

/// One object, each visit and each broken file in a line of its own, so that a long list can be read line by line.
fn json(lines: &[VisitLine], broken: &[BrokenVisit]) -> serde_json::Result<String> {
    let mut all = String::from("{\"wallfoot_visits\":1,\n\"visits\":[");
    let visits = lines.iter().map(|line| {
        serde_json::json!({
            "file": line.file, "name": line.name, "date": line.date, "verdict": line.verdict.word(),
            "shown": line.shown.as_ref().map(|shown| serde_json::json!({ "date": shown.date, "verdict": shown.verdict })),
            "changed": line.before().is_some(), "open": line.open, "unread": line.unread,
        })
    });
    in_lines(&mut all, visits)?;
    all.push_str("],\n\"broken\":[");
    in_lines(
        &mut all,
        broken.iter().map(|(file, error)| serde_json::json!({ "file": file, "reason": reason(error) })),
    )?;
    all.push_str("]}\n");
    Ok(all)
}

fn in_lines(all: &mut String, entries: impl Iterator<Item = serde_json::Value>) -> serde_json::Result<()> {
    for (nth, entry) in entries.enumerate() {
        all.push_str(if nth == 0 { "\n" } else { ",\n" });
        all.push_str(&super::outside::json_line(&entry)?);
    }
    all.push('\n');
    Ok(())
}
