//! Labels beside a drawing in characters, each tied to the row of what it names.

/// A space at which no line is broken.
pub(super) const TIED: &str = "\u{a0}";

/// A text in lines. A figure stays with its fraction and its unit.
pub(super) fn wrapped(text: &str, options: textwrap::Options<'_>) -> Vec<String> {
    let mut tied = String::with_capacity(text.len());
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        tied.push_str(word);
        let Some(next) = words.peek() else { break };
        let ends_in_figure = word.ends_with(|c: char| c.is_ascii_digit());
        let goes_on = next.starts_with(|c: char| c.is_ascii_digit())
            || UNITS.contains(&next.trim_end_matches(|c: char| c.is_ascii_punctuation()));
        tied.push_str(if ends_in_figure && goes_on { TIED } else { " " });
    }
    textwrap::wrap(&tied, options).iter().map(|line| line.replace(TIED, " ")).collect()
}

/// Units that stand after a figure.
const UNITS: [&str; 5] = ["in", "ft", "mm", "cm", "m"];

/// A label and the row that it points at.
pub(super) struct Label {
    /// The row, from the top.
    pub(super) row: usize,
    /// Whether what it names lies above the picture.
    pub(super) above: bool,
    /// Its text, wrapped.
    pub(super) lines: Vec<String>,
}

/// Labels that point at the same row, and where their text begins.
struct Group {
    row: usize,
    above: bool,
    start: usize,
    lines: Vec<String>,
    /// Which lines begin a label.
    firsts: Vec<usize>,
}

impl Group {
    fn end(&self) -> usize {
        self.start + self.lines.len()
    }

    /// The rows that its tie passes, from its arrow to the beginning of its last label.
    fn tie(&self) -> (usize, usize) {
        let last = self.start + self.firsts.last().copied().unwrap_or(0);
        (self.row.min(self.start), self.row.max(last))
    }
}

/// What stands beside each of `rows` rows, and below them if there is no room: an arrow, a tie, the text.
pub(super) fn beside(labels: Vec<Label>, rows: usize, plain: bool) -> Vec<String> {
    let blocks = placed(labels);
    let used = blocks.iter().map(Group::end).max().unwrap_or(0).max(rows);
    let mut out = vec![[' '; 3]; used];
    let mut texts = vec![""; used];
    for (number, block) in blocks.iter().enumerate() {
        // neighbours tie in turn in one column and the other, so that their lines never meet
        let column = 1 + number % 2;
        let (top, foot) = block.tie();
        for (row, cells) in out.iter_mut().enumerate().take(foot + 1).skip(top) {
            let points = row == block.row;
            let named = row.checked_sub(block.start).is_some_and(|line| block.firsts.contains(&line));
            cells[column] = tie([row > top, row < foot, points, named], plain);
            let dash = if plain { '-' } else { '─' };
            if points {
                cells[0] = match (block.above, plain) {
                    (true, true) => '^',
                    (true, false) => '▲',
                    (false, true) => '<',
                    (false, false) => '◄',
                };
                if column == 2 && cells[1] == ' ' {
                    cells[1] = dash;
                }
            }
            if named && column == 1 && cells[2] == ' ' {
                cells[2] = dash;
            }
        }
        for (row, line) in block.lines.iter().enumerate() {
            texts[block.start + row] = line;
        }
    }
    out.iter().zip(texts).map(|(cells, text)| format!("{} {text}", cells.iter().collect::<String>())).collect()
}

/// Labels come from the top down. Each block stands at its row, or is moved up, and then down, as far as its
/// neighbours need.
fn placed(labels: Vec<Label>) -> Vec<Group> {
    let mut blocks: Vec<Group> = Vec::new();
    for label in labels {
        let Label { row, above, lines } = label;
        if let Some(block) = blocks.last_mut().filter(|block| block.row == row && block.above == above) {
            block.firsts.push(block.lines.len());
            block.lines.extend(lines);
        } else {
            blocks.push(Group { row, above, start: row, lines, firsts: vec![0] });
        }
    }
    let mut below = usize::MAX;
    for block in blocks.iter_mut().rev() {
        if block.end() > below {
            block.start = below.saturating_sub(block.lines.len());
        }
        below = block.start;
    }
    let mut above = 0;
    for block in &mut blocks {
        block.start = block.start.max(above);
        above = block.end();
    }
    blocks
}

/// The sign of a tie that goes on upwards, downwards, to the arrow at the left, to the text at the right.
fn tie([up, down, left, right]: [bool; 4], plain: bool) -> char {
    if plain {
        return match (up || down, left || right) {
            (true, true) => '+',
            (true, false) => '|',
            (false, _) => '-',
        };
    }
    match (up, down, left, right) {
        (false, false, ..) => '─',
        (false, true, true, true) => '┬',
        (true, false, true, true) => '┴',
        (true, true, true, true) => '┼',
        (false, true, false, true) => '┌',
        (true, false, false, true) => '└',
        (true, true, false, true) => '├',
        (false, true, true, false) => '┐',
        (true, false, true, false) => '┘',
        (true, true, true, false) => '┤',
        (_, _, false, false) => '│',
    }
}
