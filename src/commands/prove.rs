//! `wallfoot prove`: is the content sound, whatever is answered?

use super::error::CommandError;
use super::global::Global;
use super::listing::listing;
use super::mapped::{self, MapForm};
use super::output::Target;
use super::outside::print;
use super::pager::show;
use super::proved::{Replays, as_json, in_words, report};
use super::sources;
use super::waiting::Waiting;
use super::works::works_page;
use crate::content::Content;
use crate::flow::harmless;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wallfoot prove\n  wallfoot prove my-questions\n  wallfoot prove my-questions --visits shown\n  wallfoot prove --as json\n  wallfoot prove --map -o map.svg\n  wallfoot prove --sources"
)]
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
    /// How the proof is told
    #[arg(long = "as", value_enum, default_value_t = ProofForm::Text, conflicts_with_all = ["list", "sources"])]
    form: ProofForm,
    /// Write the visits that show what is wrong into this folder, for `wallfoot advise`
    #[arg(long, value_name = "DIR", conflicts_with_all = ["list", "sources"])]
    visits: Option<PathBuf>,
    /// Read the files and check what they refer to, and prove nothing
    #[arg(long, conflicts_with_all = ["visits", "form"])]
    quick: bool,
    /// Begin from other visits: what is only tried on visits is tried on others. Any number draws its own
    #[arg(long, value_name = "NUMBER", default_value_t = 1, conflicts_with_all = ["list", "sources", "quick", "map"])]
    draw: u64,
    /// Draw the flow: all questions in their order, and which answers bring them up. As a picture of pages to print, unless
    /// the ending of the file or this says otherwise
    #[arg(long, value_enum, value_name = "FORMAT", conflicts_with_all = ["list", "sources", "visits", "form", "quick"])]
    #[allow(clippy::option_option)] // not asked for, asked for, and in which form: as clap tells them apart
    map: Option<Option<MapForm>>,
    /// Write to this file instead of the screen
    #[arg(short, long, value_name = "FILE", requires = "map")]
    output: Option<PathBuf>,
}

/// How the proof is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ProofForm {
    /// For people.
    Text,
    /// For programs.
    Json,
    /// For another solver: `tests/z3/check`.
    #[value(name = "smt2", hide = true)]
    Smt,
}

pub(super) fn run(args: &ProveArgs, global: &Global) -> Result<(), CommandError> {
    let folder = args.dir.as_deref().or(global.questions.as_deref());
    // all languages are checked, whichever is spoken
    let mut files = sources::sources(folder, Some("*"))?;
    files.extend(global.local_limits()?);
    let mut content = Content::load(&files, None)?;
    if let Some(form) = args.map {
        let target = Target::new(form, args.output.as_deref(), MapForm::Svg, Path::new(""))?;
        return target.deliver(harmless(&mapped::made(&content, target.form)).into_owned(), global);
    }
    if args.list || args.sources || args.quick {
        crate::prove::gaps(&content).into_result(&files)?;
        if args.list {
            return show(&listing(&content), global);
        }
        if args.sources {
            return show(&works_page(&content), global);
        }
        return print(&in_words(&content, files.len(), None));
    }
    if args.form == ProofForm::Smt {
        return print(&crate::prove::smt(&content));
    }
    let named = crate::prove::named_in_texts(&mut content);
    let mut waiting = Waiting::new();
    let proof = crate::prove::prove_from(&content, &named, args.draw, &mut |done, all| waiting.say(done, all));
    waiting.end();
    let replays = Replays::write(args.visits.as_deref(), &content, &proof)?;
    if args.form == ProofForm::Json {
        let gaps = crate::prove::gaps(&content).into_result(&files).err().map_or_else(Vec::new, |gaps| gaps.mistakes);
        print(&as_json(&content, &files, &gaps, &proof, &replays)?)?;
        let sound = gaps.is_empty() && proof.faults.is_empty();
        return if sound { Ok(()) } else { Err(CommandError::Unproved) };
    }
    let mut mistakes = crate::prove::gaps(&content);
    report(&proof.faults, &content, &replays, &mut mistakes);
    mistakes.into_result(&files)?;
    print(&in_words(&content, files.len(), Some(&proof)))
}
