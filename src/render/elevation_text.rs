//! A wall from outside in characters, for the terminal.
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)] // places in a small grid

use super::labels::{Label, beside, wrapped};
use crate::flow::fill;
use crate::sheet::ElevationPicture;
use crate::units::{Elevation, Length};
use crate::wall::{FinishState, Lying, RunHole, RunKind, RunLine, RunView};

/// How many rows the heights take, and how many stand above them for what reaches up.
const ROWS: usize = 14;
const ABOVE: usize = 2;

/// Draws a wall from outside in at most `width` columns. With `plain`, only ASCII.
#[must_use]
pub fn elevation_text(picture: &ElevationPicture, width: usize, plain: bool) -> String {
    let columns = (width * 11 / 20).saturating_sub(4).max(20);
    let room = width.saturating_sub(columns + 4).max(16);
    let mut grid = RunGrid::of(picture, columns, plain);
    grid.draw();
    let mut out = wrapped(&picture.title, textwrap::Options::new(width)).join("\n") + "\n\n";
    let labels: Vec<Label> = picture
        .view
        .lines
        .iter()
        .zip(&picture.lines)
        .map(|(line, label)| Label {
            row: grid.row(line.line.at(picture.view.end())),
            arrow: if plain { "<--" } else { "◄──" }.to_owned(),
            weight: 0,
            text: format!("{} {}", grid.sign(line), label.whole),
        })
        .collect();
    let (beside, told) = beside(labels, grid.rows(), room);
    for (row, label) in beside.into_iter().enumerate() {
        let cells = grid.cells.get(row * columns..(row + 1) * columns);
        let cells: String = cells.map_or_else(|| " ".repeat(columns), |cells| cells.iter().collect());
        out.push_str(format!("{cells}{label}").trim_end());
        out.push('\n');
    }
    out.push_str(&grid.foot());
    let mut paragraph = |text: &str, indent: &str| {
        for line in wrapped(text, textwrap::Options::new(width).subsequent_indent(indent)) {
            out.push_str(&line);
            out.push('\n');
        }
    };
    for (letter, text) in told {
        paragraph(&format!("{letter}  {text}"), "   ");
    }
    paragraph(&picture.length, "");
    for (text, stretch) in picture.stretches.iter().zip(&picture.view.stretches) {
        let sign = if stretch.lying == Lying::Covered { "/ " } else { "  " };
        paragraph(&format!("{sign}{text}"), "  ");
    }
    if let Some(chalk) = &picture.chalk {
        paragraph(chalk, "");
        let wide = picture.stations.iter().map(|s| s.at.chars().count()).max().unwrap_or(0);
        for station in &picture.stations {
            paragraph(&format!("  {:>wide$}   {}", station.at, station.height), "");
        }
    }
    for (number, hole) in (1..).zip(&picture.holes) {
        paragraph(&format!("{number}. {}", hole.whole()), "   ");
    }
    if let Some((head, rest)) = picture.somewhere.split_first() {
        paragraph(head, "");
        for item in rest {
            paragraph(&format!("- {item}"), "  ");
        }
    }
    paragraph(&grid.scale(), "");
    for note in &picture.notes {
        paragraph(note, "");
    }
    out
}

/// The picture as rows of signs.
struct RunGrid<'p> {
    picture: &'p ElevationPicture,
    view: &'p RunView,
    columns: usize,
    plain: bool,
    cells: Vec<char>,
}

impl<'p> RunGrid<'p> {
    fn of(picture: &'p ElevationPicture, columns: usize, plain: bool) -> RunGrid<'p> {
        RunGrid { picture, view: &picture.view, columns, plain, cells: vec![' '; columns * (ROWS + ABOVE)] }
    }

    fn rows(&self) -> usize {
        self.cells.len() / self.columns
    }

    /// How high a row is, and how wide a column.
    fn cell(&self) -> (Length, Length) {
        let rows = (ROWS - 1) as i64;
        let tall = self.view.high.above(self.view.low).steps().max(rows);
        let wide = (self.view.right - self.view.left).steps().max(1);
        (Length::from_steps(tall / rows), Length::from_steps((wide / (self.columns as i64 - 1)).max(1)))
    }

    fn row(&self, height: Elevation) -> usize {
        let down = self.view.high.above(height).steps() as f64 / self.cell().0.steps() as f64;
        (down.round().max(-(ABOVE as f64)) + ABOVE as f64) as usize
    }

    fn column(&self, at: Length) -> usize {
        let from_left = (at - self.view.left).steps() as f64 / self.cell().1.steps() as f64;
        (from_left.round().max(0.0) as usize).min(self.columns - 1)
    }

    /// The middle of a column, from the left end of the work.
    fn at(&self, column: usize) -> Length {
        (self.view.left + self.cell().1 * column as i64).min(self.view.right)
    }

    fn set(&mut self, row: usize, column: usize, sign: char) {
        if row < self.rows() && column < self.columns {
            self.cells[row * self.columns + column] = sign;
        }
    }

    fn draw(&mut self) {
        let view = self.view;
        for (number, hole) in (1..).zip(&view.holes) {
            self.hole(number, hole);
        }
        self.hatch();
        // what counts most is drawn last
        let mut lines: Vec<&RunLine> = view.lines.iter().collect();
        lines.sort_by_key(|line| match line.kind {
            RunKind::Floor => 0,
            RunKind::Mark => 1,
            RunKind::OldSurface => 2,
            RunKind::Ground => 3,
            RunKind::Exit => 4,
            RunKind::Finish => 5,
            RunKind::Keep => 6,
        });
        for line in lines {
            self.line(line);
        }
        self.over_hatch();
    }

    fn hole(&mut self, number: usize, hole: &RunHole) {
        let (from, to) = (self.column(hole.from), self.column(hole.to));
        let (side, left, right, across) = if self.plain { ('|', '+', '+', '-') } else { ('│', '└', '┘', '─') };
        let end = hole.edge.map_or(2, |edge| self.row(edge)).min(self.rows() - 1);
        let (top, foot) = if hole.sunk { (end, (end + 2).min(self.rows() - 1)) } else { (0, end) };
        for row in top..=foot {
            self.set(row, from, side);
            self.set(row, to, side);
        }
        let edge = if hole.sunk { top } else { foot };
        for column in from..=to {
            self.set(edge, column, if hole.edge.is_some() { across } else { '?' });
        }
        if from < to && hole.edge.is_some() && !hole.sunk {
            self.set(edge, from, left);
            self.set(edge, to, right);
        }
        let name = number.to_string();
        let middle = usize::midpoint(from, to + 1).saturating_sub(name.len().div_ceil(2));
        for (place, sign) in name.chars().enumerate() {
            self.set(0, middle + place, sign);
        }
    }

    fn covered(&self, column: usize) -> Option<(usize, usize)> {
        let at = self.at(column);
        let covered = |lying: Lying, from: Length, to: Length| lying == Lying::Covered && at >= from && at <= to;
        self.view.stretches.iter().find(|s| covered(s.lying, s.from, s.to))?;
        let front = self.view.front.as_ref()?;
        let exit = self.view.line(RunKind::Exit)?;
        Some((self.row(front.at(at)), self.row(exit.line.at(at))))
    }

    fn hatch(&mut self) {
        for column in 0..self.columns {
            if let Some((top, foot)) = self.covered(column) {
                (top..=foot).for_each(|row| self.set(row, column, '/'));
            }
        }
    }

    /// The exit stays hatched where the picture is too coarse for anything between the two.
    fn over_hatch(&mut self) {
        for column in (0..self.columns).step_by(2) {
            if let Some((_, foot)) = self.covered(column) {
                self.set(foot, column, '/');
            }
        }
    }

    fn line(&mut self, line: &RunLine) {
        let (from, to) = match line.kind {
            RunKind::Finish | RunKind::Keep | RunKind::OldSurface => {
                (self.column(Length::ZERO), self.column(self.view.end()))
            }
            _ => (0, self.columns - 1),
        };
        let sign = self.sign(line);
        for column in from..=to {
            let sign = match column % 6 {
                2 if !line.known => '?',
                1 | 3 | 5 if !line.known => continue,
                _ => sign,
            };
            self.set(self.row(line.line.at(self.at(column))), column, sign);
        }
    }

    fn sign(&self, line: &RunLine) -> char {
        let (nice, ascii) = match (line.kind, self.picture.state) {
            (RunKind::Mark, _) => ('┄', '.'),
            (RunKind::Floor, _) => ('┈', ':'),
            (RunKind::Exit, _) => ('─', '-'),
            (RunKind::Keep, _) if self.picture.chalk.is_none() => ('╍', '='),
            (RunKind::Keep, _) | (RunKind::Finish, FinishState::Build | FinishState::Stays) => ('━', '='),
            (RunKind::Finish, FinishState::Rejected) => ('x', 'x'),
            (RunKind::Finish, FinishState::Open) => ('╌', '+'),
            (RunKind::OldSurface, _) => ('▪', 'o'),
            (RunKind::Ground, _) => ('░', ','),
        };
        if self.plain { ascii } else { nice }
    }

    /// The stations of the line to snap, and the length of the work.
    fn foot(&self) -> String {
        let (from, to) = (self.column(Length::ZERO), self.column(self.view.end()));
        let (left, right, dash) = if self.plain { ('|', '|', '-') } else { ('├', '┤', '─') };
        let mut cells = vec![' '; self.columns];
        cells[from..=to].fill(dash);
        for station in &self.view.stations {
            cells[self.column(station.at)] = if self.plain { '+' } else { '┼' };
        }
        cells[from] = left;
        cells[to] = if self.view.length.is_some() { right } else { '?' };
        let line: String = cells.into_iter().collect();
        format!("{}\n", line.trim_end())
    }

    fn scale(&self) -> String {
        let (line, column) = self.cell();
        let units = self.picture.units;
        fill(&self.picture.cell, &|name| match name {
            "line" => Some(line.show(units)),
            "column" => Some(column.show(units)),
            _ => None,
        })
    }
}
