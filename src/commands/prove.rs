//! `wallfoot prove`: is the content sound?

use super::error::CommandError;
use super::global::Global;
use super::listing::listing;
use super::outside::print;
use super::pager::show;
use super::sources;
use super::works::works_page;
use crate::content::Content;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wallfoot prove\n  wallfoot prove my-questions\n  wallfoot prove --sources")]
pub(super) struct ProveArgs {
    /// The folder to check, laid over the built-in content; without it, the built-in content. A file of `--limits` is checked
    /// together with it
    dir: Option<PathBuf>,
    /// Print all questions, facts and limits as Markdown
    #[arg(long)]
    list: bool,
    /// Print all works that figures rest on, and which rows rest on them, as Markdown
    #[arg(long, conflicts_with = "list")]
    sources: bool,
}

pub(super) fn run(args: &ProveArgs, global: &Global) -> Result<(), CommandError> {
    let folder = args.dir.as_deref().or(global.questions.as_deref());
    // all languages are checked, whichever is spoken
    let mut files = sources::sources(folder, Some("*"))?;
    files.extend(global.local_limits()?);
    let content = Content::load(&files, None)?;
    crate::prove::gaps(&content).into_result(&files)?;
    crate::prove::trial(&content);
    if args.list {
        return show(&listing(&content), global);
    }
    if args.sources {
        return show(&works_page(&content), global);
    }
    let left_out = match content.promises_left_out {
        0 => String::new(),
        count => format!(" (and {count} left out, since they name rows that are no longer there)"),
    };
    print(&format!(
        "{} files, {} questions in {} sections, {} limits, {} findings, {} tasks, {} questions for the contractor, {} calls, {} cautions, {} material rules, {} promises{left_out}: no mistakes found\n",
        files.len(),
        content.flow.questions.len(),
        content.flow.sections.len(),
        content.limits.len(),
        content.findings.len(),
        content.tasks.len(),
        content.asks.len(),
        content.calls.len(),
        content.cautions.len(),
        content.materials.len(),
        content.promises.len(),
    ))
}
