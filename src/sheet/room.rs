//! How much room blocks take on paper, and what of a list fits into what is left.
//!
//! A page is counted in lines of its text size, on the narrower of the two papers (A4) at the height of the lower one (Letter). The
//! count is generous: what fits here fits on both. `tests/print` holds that against real pages.

use super::document::{Block, Check, ListItem};

/// Lines of text that a page has.
pub(super) const PAGE: Space = Space(57.5);
/// What the title and the lines below it take, and the foot.
pub(super) const HEAD: Space = Space(5.4);
pub(super) const FOOT: Space = Space(2.0);
/// Letters that a line of text has.
const WIDE: usize = 130;
/// How high a line is, in millimetres: text of 10 pt, set a quarter wider.
const LINE_MM: f64 = 4.3;
/// How high sections side by side get, and one section across the page, in millimetres.
const PAIR_MM: f64 = 113.0;
const WHOLE_MM: f64 = 108.0;
const ELEVATION_MM: f64 = 145.0;
const PHOTO_MM: f64 = 60.0;
const CHART_LINES: f64 = 16.0;

/// Space on paper, in lines.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Space(f64);

impl Space {
    /// So many lines.
    pub(super) fn lines(lines: f64) -> Space {
        Space(lines)
    }

    /// What is left after blocks were set; never less than nothing.
    pub(super) fn after(self, blocks: &[Block]) -> Space {
        Space((self.0 - taken(blocks).0).max(0.0))
    }

    /// The same without a piece of it.
    pub(super) fn less(self, other: Space) -> Space {
        Space((self.0 - other.0).max(0.0))
    }

    /// A part of it, or several of it.
    pub(super) fn times(self, part: f64) -> Space {
        Space(self.0 * part)
    }

    /// Both together.
    pub(super) fn and(self, other: Space) -> Space {
        Space(self.0 + other.0)
    }
}

/// The room that blocks take.
pub(super) fn taken(blocks: &[Block]) -> Space {
    Space(blocks.iter().map(height).sum())
}

/// Whether blocks fit.
pub(super) fn fits(blocks: &[Block], room: Space) -> bool {
    taken(blocks) <= room
}

/// Lines of a text in a column of so many letters.
fn lines(text: &str, wide: usize) -> f64 {
    let wide = wide.max(8);
    // a line ends at a word: one letter in thirty stays free
    let of = |part: &str| (part.chars().count() * 31 / 30).div_ceil(wide).max(1);
    #[allow(clippy::cast_precision_loss)] // lines of a page
    let count = text.split("\n\n").map(of).sum::<usize>() as f64;
    count
}

fn height(block: &Block) -> f64 {
    match block {
        Block::Page => 0.0,
        Block::Verdict { text, .. } => 2.8 + lines(text, WIDE - 6),
        Block::Figure(text) => 1.15_f64.mul_add(lines(text, WIDE * 10 / 15), 1.2),
        Block::Chapter(_) => 2.6,
        Block::Contents(_) => 14.0,
        Block::Heading(_) => 1.8,
        Block::Subheading(_) => 1.2,
        Block::Paragraph(text) => lines(text, WIDE) + 0.5,
        Block::Note(text) => lines(text, WIDE) + 0.6,
        Block::Pictures(pictures) if pictures.len() > 1 => PAIR_MM / LINE_MM,
        Block::Picture(_) | Block::Pictures(_) => WHOLE_MM / LINE_MM,
        Block::Elevation(_) => ELEVATION_MM / LINE_MM,
        Block::Table { head, rows } => table(head, rows),
        Block::Chart(_) => CHART_LINES,
        Block::Legend(list) => list.iter().map(|(_, text)| lines(text, WIDE - 4) + 0.3).sum::<f64>(),
        Block::Finding { mark, title, body, source } => {
            let title = lines(title, WIDE - 8 - mark.len()) + 0.35;
            let body: f64 = body.iter().map(|text| lines(text, WIDE - 4) + 0.2).sum();
            title + body + if source.is_empty() { 0.0 } else { lines(source, WIDE - 4) + 0.3 }
        }
        Block::Numbered(points) => points.iter().map(point).sum::<f64>() + 0.5,
        Block::Checks(checks) => checks.iter().map(check).sum::<f64>() + 0.4,
        Block::Question { ask, parts, room } if block.answers_in_a_line() => {
            let letters: usize = parts
                .iter()
                .flat_map(|(label, list)| std::iter::once(label).chain(list))
                .map(|t| t.chars().count() + 2)
                .sum();
            let room = if room.is_empty() { 0.0 } else { 1.4 };
            lines(ask, WIDE * 10 / 13) + 0.8 + lines(&" ".repeat(letters), WIDE - 4) + room
        }
        Block::Question { ask, parts, room } => {
            let part = |(label, list): &(String, Vec<String>)| {
                list.iter().map(|text| lines(text, WIDE - 6)).sum::<f64>()
                    + if label.is_empty() || list.len() == 1 { 0.0 } else { 0.3 }
            };
            let room = if room.is_empty() { 0.0 } else { 1.4 };
            lines(ask, WIDE * 10 / 13) + 0.8 + parts.iter().map(part).sum::<f64>() + room
        }
        Block::Caution { text, source } => {
            let source = if source.is_empty() { 0 } else { source.chars().count() + 3 };
            lines(&" ".repeat(text.chars().count() + source), WIDE - 6) + 0.5
        }
        Block::Photo(photo) => {
            lines(&photo.label, WIDE) + 0.6 + if photo.path.is_some() { PHOTO_MM / LINE_MM } else { 0.0 }
        }
        Block::Blank(_) => 2.0,
        Block::Signatures(labels) => 2.9 * f64::from(u8::try_from(labels.len().div_ceil(2)).unwrap_or(u8::MAX)),
    }
}

fn point(point: &ListItem) -> f64 {
    lines(&point.text, WIDE - 4) + 0.2 + point.lines.iter().map(|line| lines(line, WIDE - 4) + 0.2).sum::<f64>()
}

fn check(check: &Check) -> f64 {
    let beside = if check.blank.is_empty() { 0 } else { 18 };
    let long = check.text.chars().count() + check.who.chars().count() + if check.hold { 9 } else { 0 };
    let because = if check.because.is_empty() { 0.0 } else { lines(&check.because, WIDE - 6 - beside) };
    lines(&" ".repeat(long), WIDE - 6 - beside) + 0.2 + because
}

/// A table gives each column room by its longest text, but none more than half.
fn table(head: &[String], rows: &[Vec<String>]) -> f64 {
    let columns = head.len().max(1);
    let longest = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column)).chain(head.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0).clamp(6, WIDE)
    };
    let want: Vec<usize> = (0..columns).map(longest).collect();
    let all: usize = want.iter().sum();
    let room = WIDE.saturating_sub(3 * columns);
    let wide: Vec<usize> = want.iter().map(|w| if all <= room { *w } else { (w * room / all).max(9) }).collect();
    let row =
        |row: &Vec<String>| row.iter().zip(&wide).map(|(cell, wide)| lines(cell, *wide)).fold(1.0, f64::max) + 0.27;
    rows.iter().map(row).sum::<f64>() + row(&head.to_vec()) + 0.5
}

/// Something that can be told whole, in short, or by its name alone.
pub(super) struct Item {
    /// All of it.
    pub(super) whole: Block,
    /// In short.
    pub(super) short: Block,
    /// Its name; nothing for what may be left out.
    pub(super) name: Option<String>,
}

/// What was told of a list.
#[derive(Default)]
pub(super) struct Recounted {
    /// Whole or in short, in order.
    pub(super) blocks: Vec<Block>,
    /// By name alone.
    pub(super) names: Vec<String>,
    /// How many were left out.
    pub(super) left: usize,
}

/// Tells as much as fits, the first ones best. What has a name is told in any case, by its name at least.
pub(super) fn tell(entries: Vec<Item>, room: Space) -> Recounted {
    // the names need room whatever else is told; what is told in full gives its own back
    #[allow(clippy::cast_precision_loss)] // letters of a title
    let name = |entry: &Item| entry.name.as_ref().map_or(0.0, |n| (n.chars().count() as f64 + 2.0) / WIDE_LINE);
    let mut free = room.0 - entries.iter().map(name).sum::<f64>();
    // 0 by name or not at all, 1 in short, 2 whole
    let mut levels = vec![0_u8; entries.len()];
    for level in [1, 2] {
        for (entry, at) in entries.iter().zip(&mut levels) {
            let now = match *at {
                0 => name(entry),
                _ => height(&entry.short),
            };
            let wanted = if level == 1 { height(&entry.short) } else { height(&entry.whole) };
            if *at + 1 == level && wanted - now <= free {
                free -= wanted - now;
                *at = level;
            } else if level == 1 && entry.name.is_some() {
                // what comes later is no more important
                break;
            }
        }
    }
    let mut told = Recounted::default();
    for (entry, level) in entries.into_iter().zip(levels) {
        match (level, entry.name) {
            (2, _) => told.blocks.push(entry.whole),
            (1, _) => told.blocks.push(entry.short),
            (_, Some(name)) => told.names.push(name),
            (_, None) => told.left += 1,
        }
    }
    told
}

/// Letters of a line, for shares of it.
const WIDE_LINE: f64 = 130.0;

/// The first of several layouts that fits; else the last.
pub(super) fn first_that_fits<L>(
    layouts: impl IntoIterator<Item = L>,
    room: Space,
    lay: impl Fn(L) -> Vec<Block>,
) -> Vec<Block> {
    let mut last = Vec::new();
    for layout in layouts {
        last = lay(layout);
        if fits(&last, room) {
            break;
        }
    }
    last
}
