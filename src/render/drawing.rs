//! A section in characters, for the terminal.

use crate::flow::fill;
use crate::sheet::Picture;
use crate::units::Length;
use crate::wall::{Part, Point, Section};

/// Draws a picture in at most `width` columns. With `plain`, only ASCII.
#[must_use]
pub fn drawing(picture: &Picture, width: usize, plain: bool) -> String {
    let section = &picture.section;
    let step = line_step(section);
    let rows = rows_of(section, step);
    let columns = if width >= 72 { 36 } else { 24 };
    let labels = width.saturating_sub(columns + 3).max(20);
    let mut out = format!("{}\n\n", picture.title);
    let mut pending: Vec<String> = Vec::new();
    let mut marks = section.marks.iter().peekable();
    for row in 0..rows {
        let y = section.high.y - step * row - Length::from_steps(step.steps() / 2);
        let mut cells: Vec<char> =
            (0..columns).map(|c| sign(section, column_x(section, c, columns), y, plain)).collect();
        lay_drop(section, &mut cells, y, step, plain);
        let mut line: String = cells.into_iter().collect();
        let mut here = false;
        while let Some(mark) = marks.next_if(|m| m.y >= y - Length::from_steps(step.steps() / 2)) {
            here = true;
            pending.extend(
                textwrap::wrap(&mark.label, labels)
                    .into_iter()
                    .enumerate()
                    .map(|(i, l)| if i == 0 { l.into_owned() } else { format!("  {l}") }),
            );
        }
        let pointer = if here { if plain { "<-" } else { "◄─" } } else { "  " };
        line.push_str(pointer);
        if !pending.is_empty() {
            line.push(' ');
            line.push_str(&pending.remove(0));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    for rest in pending {
        out.push_str(&" ".repeat(columns + 3));
        out.push_str(&rest);
        out.push('\n');
    }
    out.push_str(&legend(picture, plain, width));
    for (i, dimension) in section.dimensions.iter().enumerate() {
        let text = format!("{}. {}", i + 1, dimension.label);
        for line in textwrap::wrap(&text, textwrap::Options::new(width).subsequent_indent("   ")) {
            out.push_str(&line);
            out.push('\n');
        }
    }
    if let Some(note) = &picture.drop_note {
        let marks = if plain { "v >" } else { "↓ →" };
        for line in textwrap::wrap(&format!("{marks} {note}"), width) {
            out.push_str(&line);
            out.push('\n');
        }
    }
    let note = format!(
        "{} {}",
        picture.scale_note,
        fill(&picture.line_note, &|name| (name == "line").then(|| step.show(picture.units)))
    );
    for line in textwrap::wrap(&note, width) {
        out.push_str(&line);
        out.push('\n');
    }
    out
}

/// The height of one line: an inch, or more where the picture would not fit on a screen.
fn line_step(section: &Section) -> Length {
    let tall = section.high.y - section.low.y;
    [1, 2, 4, 8, 16]
        .into_iter()
        .map(Length::inches)
        .find(|step| tall.steps() / step.steps() <= 34)
        .unwrap_or(Length::inches(32))
}

fn rows_of(section: &Section, step: Length) -> i64 {
    let tall = section.high.y - section.low.y;
    (tall.steps() + step.steps() - 1) / step.steps()
}

/// The wall takes the left third, so that its layers can be told apart; what is in front takes the rest.
fn column_x(section: &Section, column: usize, columns: usize) -> Length {
    let wall = columns / 3;
    let share = |from: Length, to: Length, at: usize, of: usize| {
        let (at, of) = (i64::try_from(at).unwrap_or(0), i64::try_from(of).unwrap_or(1));
        from + Length::from_steps((to - from).steps() * (2 * at + 1) / (2 * of))
    };
    let edge = Length::inches(6);
    if column < wall {
        let from =
            if section.pieces.iter().any(|p| p.part == Part::Framing) { Length::inches(-4) } else { section.low.x };
        share(from, edge, column, wall)
    } else {
        share(edge, section.high.x, column - wall, columns - wall)
    }
}

fn sign(section: &Section, x: Length, y: Length, plain: bool) -> char {
    // the piece drawn last covers the others
    let piece = section.pieces.iter().rev().find(|p| p.holds(Point { x, y }));
    piece.map_or(' ', |p| glyph(p.part, plain))
}

/// Puts the way of the drop into a row of characters: down, along, and a cross where it is held.
fn lay_drop(section: &Section, cells: &mut [char], y: Length, step: Length, plain: bool) {
    let Some(drop) = &section.drop else { return };
    let columns = cells.len();
    let column = |x: Length| (0..columns).rev().find(|c| column_x(section, *c, columns) <= x).unwrap_or(0);
    let half = Length::from_steps(step.steps() / 2);
    let (top, foot) = (y + half, y - half);
    let here = |h: Length| h <= top && h > foot;
    for pair in drop.line.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if a.x == b.x {
            if b.y < top && a.y > foot {
                cells[column(a.x)] = if plain { 'v' } else { '↓' };
            }
        } else {
            // across, as far as it lies in this row
            let (from, to) = (column(a.x.min(b.x)), column(a.x.max(b.x)));
            let sign = match (a.x < b.x, plain) {
                (true, true) => '>',
                (true, false) => '→',
                (false, true) => '<',
                (false, false) => '←',
            };
            for (c, cell) in cells.iter_mut().enumerate().take(to + 1).skip(from) {
                let x = column_x(section, c, columns).clamp(a.x.min(b.x), a.x.max(b.x));
                let along = (x - a.x).steps() * (b.y - a.y).steps() / (b.x - a.x).steps();
                if here(a.y + Length::from_steps(along)) {
                    *cell = sign;
                }
            }
        }
    }
    if let Some(end) = drop.line.last().filter(|end| !drop.outside && here(end.y)) {
        cells[column(end.x)] = 'X';
    }
}

fn glyph(part: Part, plain: bool) -> char {
    match (part, plain) {
        (Part::Framing, _) => 'x',
        (Part::Sheathing, false) => '▒',
        (Part::Sheathing, true) => ':',
        (Part::Cladding, false) => '█',
        (Part::Cladding, true) => 'H',
        (Part::Masonry, false) => '▓',
        (Part::Masonry, true) => '#',
        (Part::Foundation, false) => '░',
        (Part::Foundation, true) => 'o',
        (Part::Feature, _) => '/',
        (Part::Ground, _) => '.',
        (Part::Threshold, false) => '▀',
        (Part::Threshold, true) => '=',
    }
}

fn legend(picture: &Picture, plain: bool, width: usize) -> String {
    let mut parts: Vec<Part> = picture.section.pieces.iter().map(|p| p.part).collect();
    parts.sort_unstable();
    parts.dedup();
    let all: Vec<String> = parts.into_iter().map(|p| format!("{} {}", glyph(p, plain), picture.name(p))).collect();
    let mut text = String::new();
    for line in textwrap::wrap(&all.join("   "), width) {
        text.push_str(&line);
        text.push('\n');
    }
    text
}
