//! A section in characters, for the terminal.

use super::labels::{Label, TIED, beside, wrapped};
use super::scale::Across;
use crate::flow::fill;
use crate::sheet::Picture;
use crate::units::Length;
use crate::wall::{CrossSection, Drop, Mark, MarkKind, Part, Point, Shown, Side};

/// Draws a picture in at most `width` columns. With `plain`, only ASCII.
#[must_use]
pub fn drawing(picture: &Picture, width: usize, plain: bool) -> String {
    let section = &picture.section;
    let columns = if width >= 72 { 36 } else { 24 };
    let mut grid = Grid::of(section, columns, plain);
    grid.pieces();
    grid.sheets();
    grid.heights();
    if let Some(drop) = &section.drop {
        grid.drop(drop);
    }
    grid.questions();
    let mut out = String::new();
    let paragraph = |out: &mut String, text: &str, indent: &str| {
        for line in wrapped(text, textwrap::Options::new(width).subsequent_indent(indent)) {
            out.push_str(&line);
            out.push('\n');
        }
    };
    paragraph(&mut out, &picture.title, "");
    if let Some(warning) = &picture.warning {
        paragraph(&mut out, warning, "");
    }
    out.push('\n');
    let labels = section.marks.iter().map(|mark| grid.label(mark)).collect();
    let (beside, told) = beside(labels, grid.rows, width.saturating_sub(columns + 4).max(20));
    for (row, label) in beside.into_iter().enumerate() {
        let cells = grid.cells.get(row * columns..(row + 1) * columns);
        let line: String = cells.map_or_else(|| " ".repeat(columns), |cells| cells.iter().collect());
        out.push_str(format!("{line}{label}").trim_end());
        out.push('\n');
    }
    for (letter, text) in told {
        paragraph(&mut out, &format!("{letter}  {text}"), "   ");
    }
    paragraph(&mut out, &grid.legend(picture), "");
    for (i, dimension) in section.dimensions.iter().enumerate() {
        paragraph(&mut out, &format!("{}. {}", i + 1, dimension.label), "   ");
    }
    for note in &picture.notes {
        paragraph(&mut out, note, "");
    }
    if let Some(note) = &picture.drop_note {
        paragraph(&mut out, &format!("{} {note}", if plain { "v >" } else { "↓ →" }), "");
    }
    if let Some(note) = &picture.unsure_note {
        paragraph(&mut out, note, "");
    }
    if let Some(note) = &picture.rejected_note {
        paragraph(&mut out, &format!("{} {note}", shadow(plain)), "");
    }
    let step = |name: &str| (name == "line").then(|| grid.step.show(picture.units));
    paragraph(&mut out, &format!("{} {}", picture.scale_note, fill(&picture.line_note, &step)), "");
    out
}

/// The sign of what may not be built.
fn shadow(plain: bool) -> char {
    if plain { '`' } else { '·' }
}

/// The picture as rows of signs.
struct Grid<'p> {
    section: &'p CrossSection,
    across: Across,
    step: Length,
    rows: usize,
    columns: usize,
    plain: bool,
    cells: Vec<char>,
}

impl<'p> Grid<'p> {
    fn of(section: &'p CrossSection, columns: usize, plain: bool) -> Grid<'p> {
        let tall = (section.high.y - section.low.y).steps();
        // an inch a line, or more where the picture would not fit on a screen
        let steps = [1, 2, 4, 8, 16].into_iter().map(Length::inches);
        let step = steps.clone().find(|s| tall / s.steps() <= 34).unwrap_or(Length::inches(32));
        let rows = usize::try_from((tall + step.steps() / 2) / step.steps()).unwrap_or(0);
        #[allow(clippy::cast_precision_loss)] // a few dozen columns
        let across = Across::fitting(&section.faces, columns as f64, 1.0).whole();
        Grid { section, across, step, rows, columns, plain, cells: vec![' '; rows * columns] }
    }

    fn centre(&self, row: usize) -> Length {
        let rows = i64::try_from(row).unwrap_or(i64::MAX / 4);
        self.section.high.y - Length::from_steps((self.step.steps() * (2 * rows + 1)) / 2)
    }

    /// The rows whose middle lies between two heights.
    fn between(&self, low: Length, high: Length) -> std::ops::Range<usize> {
        let (step, half) = (self.step.steps(), self.step.steps() / 2);
        let down = |y: Length| (self.section.high.y - y).steps() - half;
        let first = usize::try_from(-(-down(high)).div_euclid(step)).unwrap_or(0);
        let last = usize::try_from(down(low).div_euclid(step) + 1).unwrap_or(0);
        first..last.min(self.rows)
    }

    /// The lowest row whose middle is not below a height: where something stands on it.
    fn above(&self, y: Length) -> usize {
        let down = (self.section.high.y - y).steps() - self.step.steps() / 2;
        usize::try_from(down.div_euclid(self.step.steps())).unwrap_or(0).min(self.rows.saturating_sub(1))
    }

    /// The row after that: where what has its top there begins.
    fn below(&self, y: Length) -> usize {
        let down = (self.section.high.y - y).steps() + self.step.steps() / 2;
        usize::try_from(down.div_euclid(self.step.steps())).unwrap_or(0).min(self.rows.saturating_sub(1))
    }

    /// The column right of a face: where water runs on it.
    fn before(&self, x: Length) -> usize {
        column(self.across.at(x) + 0.001).min(self.columns - 1)
    }

    /// The column left of a face: where the sheet lies that has its face there.
    fn behind(&self, x: Length) -> usize {
        column(self.across.at(x) - 0.999).min(self.columns - 1)
    }

    fn set(&mut self, row: usize, column: usize, sign: char) {
        if let Some(cell) = self.cells.get_mut(row * self.columns + column).filter(|_| column < self.columns) {
            *cell = sign;
        }
    }

    /// Fills the outlines of all but the thin sheets, those behind first.
    fn pieces(&mut self) {
        let section = self.section;
        for piece in section.pieces.iter().filter(|p| !p.part.is_sheet()) {
            let sign = if piece.rejected { shadow(self.plain) } else { glyph(piece.part, self.plain) };
            for row in 0..self.rows {
                for (from, to) in spans(piece, self.centre(row)) {
                    let (from, to) = (column(self.across.at(from) + 0.5), column(self.across.at(to) + 0.5));
                    for at in from..to.min(self.columns) {
                        self.set(row, at, sign);
                    }
                }
            }
        }
    }

    /// Question marks where nobody knows where something ends.
    fn questions(&mut self) {
        for (part, end) in self.section.pieces.iter().filter_map(|p| Some((p.part, p.unsure?))) {
            let top = matches!(part, Part::Ground | Part::Finish | Part::Layer(_));
            let row = if top { self.below(end.y) } else { self.above(end.y) };
            self.set(row, self.before(end.x), '?');
        }
    }

    /// The row of a height.
    fn row(&self, mark: &Mark) -> usize {
        match (mark.side, mark.kind) {
            // a line that is drawn stands in the row above what lies below it, not in the work
            (_, MarkKind::Keep | MarkKind::AtMost | MarkKind::Rejected) | (Side::Top, _) => self.below(mark.y),
            (Side::Underside, _) => self.above(mark.y),
        }
    }

    /// The height to keep as a heavy line, one that is not allowed as a crossed one: at the right end, where the work is.
    fn heights(&mut self) {
        let (from, to) = (self.columns * 3 / 5, self.columns);
        let section = self.section;
        for mark in section.marks.iter().filter(|mark| section.shows(mark)) {
            let row = self.row(mark);
            let signs: &[char] = match (mark.kind, self.plain) {
                (MarkKind::Keep, false) => &['═'],
                (MarkKind::Keep, true) => &['='],
                (MarkKind::AtMost, false) => &['═', ' '],
                (MarkKind::AtMost, true) => &['=', ' '],
                (MarkKind::Rejected, false) => &['x', '─', '─'],
                (MarkKind::Rejected, true) => &['x', '-', '-'],
                _ => continue,
            };
            for column in from..to {
                self.set(row, column, signs[(column - from) % signs.len()]);
            }
        }
    }

    /// A height with its arrow.
    fn label(&self, mark: &Mark) -> Label {
        let line = match (mark.kind, self.plain) {
            (MarkKind::Keep | MarkKind::AtMost, false) => "══",
            (MarkKind::Keep | MarkKind::AtMost, true) => "==",
            (MarkKind::Rejected, false) => "x─",
            (MarkKind::Rejected, true) => "x-",
            (MarkKind::Unknown, _) => "? ",
            (_, false) => "──",
            (_, true) => "--",
        };
        let (above, below) = (mark.y > self.section.high.y, mark.y < self.section.low.y);
        let point = match (above, below, self.plain) {
            (true, _, false) => '▲',
            (true, _, true) => '^',
            (_, true, false) => '▼',
            (_, true, true) => 'v',
            (.., false) => '◄',
            (.., true) => '<',
        };
        let row = if above {
            0
        } else if below {
            self.rows.saturating_sub(1)
        } else {
            self.row(mark)
        };
        // a name that was cut short
        let text = if self.plain { mark.label.replace('…', "...") } else { mark.label.clone() };
        let weight = match mark.kind {
            MarkKind::Keep | MarkKind::AtMost => 2,
            MarkKind::Rejected => 1,
            _ => 0,
        };
        Label { row, arrow: format!("{point}{line}"), weight, text }
    }

    /// Draws sheets by the lines that water runs on.
    fn sheets(&mut self) {
        let section = self.section;
        for piece in section.pieces.iter().filter(|p| p.part.is_sheet()) {
            let (upright, across) = sheet(piece.part, self.plain);
            for pair in piece.line.windows(2) {
                let (a, b) = (pair[0], pair[1]);
                if a.x == b.x {
                    let (low, high) = (a.y.min(b.y), a.y.max(b.y));
                    let at = self.behind(a.x);
                    for row in self.between(low, high) {
                        self.set(row, at, upright);
                    }
                } else {
                    // under the water that runs on it
                    let row = self.below(a.y.max(b.y));
                    for at in self.before(a.x.min(b.x))..self.before(a.x.max(b.x)) {
                        self.set(row, at, across);
                    }
                }
            }
        }
    }

    /// The way of a drop: down, along, and a cross where it is held.
    fn drop(&mut self, drop: &Drop) {
        let [down, out, back] = if self.plain { ['v', '>', '<'] } else { ['↓', '→', '←'] };
        let dry = self.cells.clone();
        for pair in drop.line.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if a.x == b.x {
                let at = self.before(a.x);
                for row in self.between(b.y, a.y) {
                    self.set(row, at, down);
                }
            } else if a.y == b.y && b.x < a.x {
                // it clings to the next sheet; in this row it is seen there only
                let (row, at) = (self.above(a.y), self.before(a.x));
                if self.above(drop.line.last().map_or(a.y, |end| end.y)) == row {
                    self.set(row, at, dry.get(row * self.columns + at).copied().unwrap_or(' '));
                }
            } else {
                self.slope(a, b, if a.x < b.x { out } else { back });
            }
        }
        if let Some(end) = drop.line.last().filter(|_| !drop.leaves) {
            self.set(self.above(end.y), self.before(end.x), 'X');
        }
    }

    /// A part of the way that runs along something: each column in the row that it has reached, on top of that.
    fn slope(&mut self, a: Point, b: Point, sign: char) {
        for at in self.before(a.x.min(b.x))..=self.before(a.x.max(b.x)) {
            let x = self.across.back(column_middle(at)).max(a.x.min(b.x)).min(a.x.max(b.x));
            let y = a.y + share(b.y - a.y, x - a.x, b.x - a.x);
            self.set(self.above(y), at, sign);
        }
    }

    /// What the signs mean.
    fn legend(&self, picture: &Picture) -> String {
        let mut parts: Vec<Part> = self.section.pieces.iter().filter(|p| !p.rejected).map(|p| p.part).collect();
        parts.sort_unstable();
        parts.dedup();
        let mut entries: Vec<String> = Vec::new();
        for part in parts {
            let sign = match part {
                Part::ClosedFoot | Part::Ledge => sheet(part, self.plain).1,
                part if part.is_sheet() => sheet(part, self.plain).0,
                part => glyph(part, self.plain),
            };
            // the name stays on the line of its sign
            let entry = format!("{sign}{TIED}{}", picture.name(part).replace(' ', TIED));
            if sign != ' ' && self.cells.contains(&sign) && !entries.contains(&entry) {
                entries.push(entry);
            }
        }
        entries.join("   ")
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few dozen columns, none below zero
fn column(place: f64) -> usize {
    place.max(0.0) as usize
}

#[allow(clippy::cast_precision_loss)] // a few dozen columns
fn column_middle(column: usize) -> f64 {
    column as f64 + 0.5
}

/// That share of a length that a part has in the whole.
fn share(length: Length, part: Length, whole: Length) -> Length {
    if whole == Length::ZERO {
        return Length::ZERO;
    }
    let steps = i128::from(length.steps()) * i128::from(part.steps()) / i128::from(whole.steps());
    Length::from_steps(i64::try_from(steps).unwrap_or(0))
}

/// From where to where a piece reaches at a height.
fn spans(piece: &Shown, y: Length) -> Vec<(Length, Length)> {
    let mut crossings: Vec<Length> = Vec::new();
    let corners = piece.outline.iter().zip(piece.outline.iter().cycle().skip(1));
    for (a, b) in corners {
        if (a.y > y) != (b.y > y) {
            crossings.push(a.x + share(b.x - a.x, y - a.y, b.y - a.y));
        }
    }
    crossings.sort_unstable();
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The signs of a thin sheet: upright, and across.
fn sheet(part: Part, plain: bool) -> (char, char) {
    match (part, plain) {
        (Part::Barrier, false) => ('│', '─'),
        (Part::Barrier, true) => ('|', '-'),
        (Part::Membrane, false) => ('┊', '┄'),
        (Part::Membrane, true) => (':', '.'),
        (Part::Channel, false) => ('║', '═'),
        (Part::Channel, true) => (']', '='),
        (_, false) => ('┃', '━'),
        (_, true) => ('!', '_'),
    }
}

fn glyph(part: Part, plain: bool) -> char {
    match (part, plain) {
        (Part::Framing, _) => 'x',
        // a wall has one or the other
        (Part::Wood | Part::Backing, false) => '▒',
        (Part::Wood | Part::Backing, true) => '%',
        (Part::Foundation, false) => '░',
        (Part::Foundation, true) => 'o',
        (Part::Cladding | Part::Coat, false) => '█',
        (Part::Cladding | Part::Coat, true) => 'H',
        (Part::Foam, false) => '≈',
        (Part::Foam, true) => 'F',
        (Part::Masonry, false) => '▓',
        (Part::Masonry, true) => '#',
        (Part::Trim, _) => 'T',
        (Part::Threshold, false) => '▀',
        (Part::Threshold, true) => '=',
        (Part::Finish, _) => '/',
        (Part::Layer(number), _) => [b'+', b',', b'*', b'"'].map(char::from)[usize::from(number) % 4],
        (Part::OldSlab, _) => '\\',
        (Part::EndDam, _) => 'L',
        (Part::Closure, _) => 'c',
        (Part::Drain, _) => 'u',
        (Part::Void, _) => '~',
        (Part::Fill, _) => ';',
        (Part::BesideFoundation | Part::Ground, _) => '.',
        _ => ' ',
    }
}
