//! The answer on one screen, as much of it as there is room for.

use super::global::Global;
use super::outside::{colour_allowed, height, width};
use crate::content::Content;
use crate::judge::Stretches;
use crate::render::{TextStyle, screen};
use crate::sheet::{Cover, Detail};
use std::io::{self, IsTerminal};

/// A screen with less room than this has the verdict at the end, where it stays in sight.
const SMALL: usize = 10;
/// Columns where there is no terminal.
const COLUMNS: usize = 80;

/// Where the answer is shown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    /// Lines; nothing where there is no end to them.
    pub(super) lines: Option<usize>,
    /// Columns.
    pub(super) columns: usize,
}

impl Room {
    /// The room on standard output, if so many lines below the answer are taken.
    pub(super) fn on_screen(taken: usize, global: &Global) -> Room {
        if !io::stdout().is_terminal() {
            return Room { lines: None, columns: COLUMNS };
        }
        // a screen reader reads on; nothing scrolls out of its sight
        let lines = (!global.plain_look()).then(|| height().saturating_sub(taken));
        Room { lines, columns: width() }
    }
}

/// The answer as text: with everything that there is room for, and never without what endangers people, the verdict and the
/// figure. `more` says where more is.
pub(super) fn answer_text(
    stretches: &Stretches<'_>,
    cover: &Cover,
    content: &Content,
    global: &Global,
    room: Room,
    more: &str,
) -> String {
    let marks = super::output::marks(content);
    let plain = global.plain_look();
    let bold = io::stdout().is_terminal() && !plain && colour_allowed();
    let style = TextStyle { width: room.columns, bold, plain };
    let told = |detail: Detail, gaps: bool| screen(&stretches.answer(cover, detail, more), &marks, style, gaps);
    let Some(lines) = room.lines else { return told(Detail::ALL[0], true) };
    if lines < SMALL {
        return told(Detail::ALL[1].with_verdict_last(), false);
    }
    let fits = |text: &String| text.lines().count() <= lines;
    let spaced = std::iter::once_with(|| told(Detail::ALL[0], true));
    let closer = Detail::ALL.into_iter().map(|detail| told(detail, false));
    let found = spaced.chain(closer).find(fits);
    found.unwrap_or_else(|| told(Detail::ALL[1].with_verdict_last(), false))
}
