//! Labels beside a drawing in characters, each tied to the row of what it names.

/// A space at which no line is broken.
pub(super) const TIED: &str = "\u{a0}";

/// A text in lines. A figure stays with its fraction and its unit.
pub(super) fn wrapped(text: &str, options: textwrap::Options<'_>) -> Vec<String> {
    textwrap::wrap(&tied(text), options).iter().map(|line| line.replace(TIED, " ")).collect()
}

/// A text whose figures cannot be broken from their fractions and units, nor feet from their inches.
pub(super) fn tied(text: &str) -> String {
    let mut tied = String::with_capacity(text.len());
    let mut words = text.split(' ').peekable();
    // whether what stands before is a figure with its unit
    let mut measured = false;
    while let Some(word) = words.next() {
        tied.push_str(word);
        let Some(next) = words.peek() else { break };
        let is_unit = |word: &str| UNITS.contains(&word.trim_end_matches(|c: char| c.is_ascii_punctuation()));
        let (figure, figure_next) =
            (word.ends_with(|c: char| c.is_ascii_digit()), next.starts_with(|c: char| c.is_ascii_digit()));
        let goes_on = figure && (figure_next || is_unit(next)) || measured && UNITS.contains(&word) && figure_next;
        measured = figure && is_unit(next);
        tied.push_str(if goes_on { TIED } else { " " });
    }
    tied
}

/// Units that stand after a figure.
const UNITS: [&str; 9] = ["in", "ft", "mm", "cm", "m", "pulg", "pies", "lb", "%"];

/// A label and the row that it points at.
pub(super) struct Label {
    /// The row, from the top.
    pub(super) row: usize,
    /// Its arrow: three signs, the point first.
    pub(super) arrow: String,
    /// Which arrow counts where several labels share a row: the greatest.
    pub(super) weight: u8,
    /// Its text.
    pub(super) text: String,
}

/// What stands beside each of `rows` rows: an arrow and its text, in the same row. A text that has no room there is told by a
/// letter; texts with their letters come second.
pub(super) fn beside(mut labels: Vec<Label>, rows: usize, room: usize) -> (Vec<String>, Vec<(char, String)>) {
    labels.sort_by_key(|label| label.row);
    let mut out = vec![String::new(); rows];
    let mut told = Vec::new();
    let mut letters = 'A'..='Z';
    let mut groups: Vec<Vec<Label>> = Vec::new();
    for label in labels {
        match groups.last_mut().filter(|group| group[0].row == label.row) {
            Some(group) => group.push(label),
            None => groups.push(vec![label]),
        }
    }
    for at in 0..groups.len() {
        let (group, row) = (&groups[at], groups[at][0].row.min(rows.saturating_sub(1)));
        let free = groups.get(at + 1).map_or(rows, |next| next[0].row).saturating_sub(row).max(1);
        let lines = wrapped(&group[0].text, textwrap::Options::new(room));
        if group.len() == 1 && lines.len() <= free {
            for (line, text) in lines.iter().enumerate() {
                let arrow = if line == 0 { group[0].arrow.as_str() } else { "   " };
                out[row + line] = format!("{arrow} {text}");
            }
            continue;
        }
        let mut marks =
            group.iter().max_by_key(|label| label.weight).map_or_else(String::new, |label| label.arrow.clone());
        for label in group {
            let letter = letters.next().unwrap_or('?');
            marks.push(' ');
            marks.push(letter);
            told.push((letter, label.text.clone()));
        }
        out[row] = marks;
    }
    (out, told)
}
