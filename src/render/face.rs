//! How wide a text is in a picture, and where it breaks: figures never do.

use super::labels::{TIED, tied};

/// The widths of the letters of the usual sans serif, from the space on, in thousandths of the size.
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556,
    556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334,
    260, 334, 584,
];

/// The width of a letter that is not among those: of the widest that languages with our letters have.
const OTHER: u16 = 667;

/// How much wider bold letters are.
const BOLD: f64 = 1.08;

/// A size and a weight of letters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Face {
    /// The size, points.
    pub(super) size: f64,
    /// Whether it is bold.
    pub(super) bold: bool,
}

impl Face {
    /// How wide a text is, points; rather more than less.
    pub(super) fn width(self, text: &str) -> f64 {
        let letter = |c: char| {
            let c = if TIED.starts_with(c) { ' ' } else { c };
            let place = (c as usize).checked_sub(usize::from(b' '));
            place.and_then(|place| WIDTHS.get(place)).copied().unwrap_or(OTHER)
        };
        let thousandths: u32 = text.chars().map(|c| u32::from(letter(c))).sum();
        f64::from(thousandths) / 1000.0 * self.size * if self.bold { BOLD } else { 1.0 }
    }

    /// A text in lines that are no wider than `room`, as far as its words allow.
    pub(super) fn lines(self, text: &str, room: f64) -> Vec<String> {
        let tied = tied(text);
        let mut lines: Vec<String> = Vec::new();
        for word in tied.split(' ').filter(|word| !word.is_empty()) {
            match lines.last_mut() {
                Some(line) if self.width(line) + self.width(" ") + self.width(word) <= room => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => lines.push(word.to_owned()),
            }
        }
        lines
    }
}
