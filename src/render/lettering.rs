//! How wide letters are on paper, and texts in lines of a width.
//!
//! Whoever shows a vector picture brings the font. Widths are those of the Helvetica kind, with some room for others.

use super::labels::{TIED, tied};

/// Room for fonts that run wider.
const ROOM: f64 = 1.05;
/// Bold letters are wider.
const BOLD: f64 = 1.1;

/// How wide a letter is, in thousandths of its size: the advance widths of Helvetica.
fn advance(letter: char) -> f64 {
    let wide = match letter {
        'i' | 'j' | 'l' | 'í' | 'ì' | 'ï' => 222,
        ' ' | '!' | ',' | '.' | '/' | ':' | ';' | 'I' | '[' | ']' | 'f' | 't' | '\u{a0}' | '\'' | '|' => 278,
        '(' | ')' | '-' | 'r' | '¡' => 333,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
        'a'..='z' | '0'..='9' | 'L' | '?' | '¿' | '"' | 'á' | 'é' | 'ó' | 'ú' | 'ñ' | 'ü' => match letter {
            'm' => 833,
            'w' => 722,
            _ => 556,
        },
        'F' | 'T' | 'Z' | '+' | '=' | '<' | '>' | '×' => 611,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
        'G' | 'O' | 'Q' => 778,
        'M' | '%' => 889,
        'W' | '@' => 1015,
        _ if letter > '\u{2e7f}' => 1000,
        _ => 780,
    };
    f64::from(wide) / 1000.0
}

/// How wide a text is in letters of a size.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let letters: f64 = text.chars().map(advance).sum();
    letters * size * ROOM * if bold { BOLD } else { 1.0 }
}

/// A text in lines of at most a width. A figure stays with its fraction and its unit; a word that is wider than all of
/// the line is broken.
pub(super) fn lines(text: &str, room: f64, size: f64, bold: bool) -> Vec<String> {
    let fits = |line: &str| width(line, size, bold) <= room;
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in tied(text).split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            line.push(letter);
            // never inside a figure: what is tied together is short
            if !fits(&line) && line.chars().count() > 1 && !word.contains(TIED) {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(letter);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}
