//! The terminal itself: keys in, frames out. Whatever happens, it is left as it was found.

use super::frame::Frame;
use super::keys::KeyPress;
use crate::flow::one_line;
use crossterm::cursor::{Hide, MoveDown, MoveToColumn, MoveUp, Show};
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::style::{Attribute, Print, SetAttribute};
use crossterm::terminal::{Clear, ClearType, disable_raw_mode, enable_raw_mode};
use crossterm::{QueueableCommand, event, terminal};
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// Gives the terminal back: for whoever ends the program in the middle of a prompt, such as a handler of signals. Where no
/// prompt is open it does nothing that can be seen.
pub fn restore() {
    if terminal::is_raw_mode_enabled().unwrap_or(false) {
        let mut out = io::stderr();
        let _ = out.queue(DisableBracketedPaste).and_then(|out| out.queue(Show));
        let _ = out.flush();
        let _ = disable_raw_mode();
    }
}

/// Columns and lines of the terminal; these where it does not tell.
fn size(otherwise: (usize, usize)) -> (usize, usize) {
    match terminal::size() {
        Ok((columns, lines)) if columns > 0 && lines > 0 => (columns.into(), lines.into()),
        _ => otherwise,
    }
}

/// Columns and lines that may be filled. The last column stays free, so that no terminal begins a new line of itself.
pub(super) fn room(otherwise: (usize, usize)) -> (usize, usize) {
    let (columns, lines) = size(otherwise);
    (columns.saturating_sub(1), lines)
}

/// A terminal in which a prompt stands. Dropping it gives the terminal back.
#[derive(Debug)]
pub(super) struct Screen {
    styled: bool,
    /// The size to reckon with where the terminal does not tell its own.
    otherwise: (usize, usize),
    /// The widths of the lines that stand there.
    painted: Vec<usize>,
    /// In which of them the cursor is.
    cursor: usize,
}

impl Screen {
    /// Takes the terminal.
    pub(super) fn open(styled: bool, otherwise: (usize, usize)) -> io::Result<Screen> {
        enable_raw_mode()?;
        let screen = Screen { styled, otherwise, painted: Vec::new(), cursor: 0 };
        let mut out = io::stderr();
        out.queue(EnableBracketedPaste)?.queue(Hide)?;
        out.flush()?;
        Ok(screen)
    }

    /// Columns and lines that a frame may fill.
    pub(super) fn room(&self) -> (usize, usize) {
        room(self.otherwise)
    }

    /// Waits for a key.
    pub(super) fn key(&mut self) -> io::Result<KeyPress> {
        loop {
            if let Some(key) = KeyPress::of(event::read()?) {
                if key == KeyPress::Resized {
                    self.resized();
                }
                return Ok(key);
            }
        }
    }

    /// What was painted may stand on more lines now. A hidden cursor rests on the first line and stays there; from any
    /// other line the way up is longer where the terminal breaks what has become too wide.
    fn resized(&mut self) {
        let (columns, _) = size(self.otherwise);
        self.cursor = self.painted.iter().take(self.cursor).map(|width| width.div_ceil(columns).max(1)).sum();
    }

    /// Shows a frame where the last one stood.
    pub(super) fn paint(&mut self, frame: &Frame) -> io::Result<()> {
        let mut out: Vec<u8> = Vec::new();
        self.go_to_top(&mut out)?;
        out.queue(Hide)?;
        for (i, line) in frame.lines.iter().enumerate() {
            if i > 0 {
                out.queue(Print("\r\n"))?;
            }
            out.queue(Clear(ClearType::UntilNewLine))?;
            if self.styled && line.bold {
                out.queue(SetAttribute(Attribute::Bold))?
                    .queue(Print(one_line(&line.text)))?
                    .queue(SetAttribute(Attribute::Reset))?;
            } else {
                out.queue(Print(one_line(&line.text)))?;
            }
        }
        let last = frame.lines.len().saturating_sub(1);
        out.queue(Clear(ClearType::FromCursorDown))?;
        let (row, column) = frame.cursor.unwrap_or((0, 0));
        if let Some(up) = last.checked_sub(row).and_then(|up| u16::try_from(up).ok()).filter(|up| *up > 0) {
            out.queue(MoveUp(up))?;
        }
        out.queue(MoveToColumn(u16::try_from(column).unwrap_or(0)))?;
        if frame.cursor.is_some() {
            out.queue(Show)?;
        }
        self.painted = frame.lines.iter().map(|line| line.text.width()).collect();
        self.cursor = row;
        write(&out)
    }

    /// Takes the frame away and leaves these lines in its place.
    pub(super) fn close(mut self, lines: &[String]) -> io::Result<()> {
        let mut out: Vec<u8> = Vec::new();
        self.go_to_top(&mut out)?;
        out.queue(Clear(ClearType::FromCursorDown))?;
        for line in lines {
            out.queue(Print(one_line(line)))?.queue(Print("\r\n"))?;
        }
        self.painted.clear();
        write(&out)
    }

    fn go_to_top(&mut self, out: &mut Vec<u8>) -> io::Result<()> {
        if let Some(up) = u16::try_from(self.cursor).ok().filter(|up| *up > 0) {
            out.queue(MoveUp(up))?;
        }
        self.cursor = 0;
        out.queue(MoveToColumn(0))?;
        Ok(())
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        // what still stands there, because something failed, is not written over
        if !self.painted.is_empty() {
            let mut out: Vec<u8> = Vec::new();
            // line by line: to move by 0 is to move by 1
            for _ in self.cursor + 1..self.painted.len() {
                let _ = out.queue(MoveDown(1));
            }
            let _ = out.queue(Print("\r\n"));
            let _ = write(&out);
        }
        restore();
    }
}

fn write(bytes: &[u8]) -> io::Result<()> {
    let mut out = io::stderr();
    out.write_all(bytes)?;
    out.flush()
}
