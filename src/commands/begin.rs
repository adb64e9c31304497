//! `wallfoot` alone: where to begin.

use super::arguments::DEFAULT_VISIT;
use super::error::CommandError;
use super::global::Global;
use super::outside::{print, width};
use std::path::Path;

pub(super) fn run(global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let ask = if Path::new(DEFAULT_VISIT).is_file() { "begin.go_on" } else { "begin.ask" };
    let lines = [
        ("ask", ask),
        ("demo", "begin.demo"),
        ("visits", "begin.visits"),
        ("advise FILE", "begin.advise"),
        ("--help", "begin.help"),
    ];
    let columns = width().clamp(40, 100);
    let mut text = textwrap::fill(content.word("begin.about"), columns) + "\n\n";
    for (command, key) in lines {
        let head = format!("  wallfoot {command:<12} ");
        let room = " ".repeat(head.len());
        let options = textwrap::Options::new(columns).initial_indent(&head).subsequent_indent(&room);
        text += &textwrap::fill(&content.word(key).replace("{visit}", DEFAULT_VISIT), options);
        text.push('\n');
    }
    print(&text)
}
