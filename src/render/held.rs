//! Figures that stay in one piece: a fraction never breaks from its whole number, nor a figure from its unit.

/// Stands for a space at which no line breaks.
pub(super) const HELD: char = '\u{a0}';

/// What a figure is a figure of.
const UNITS: [&str; 34] = [
    "in", "ft", "mm", "m", "cm", "pulg", "pies", "pie", "%", "F", "C", "lb", "kg", "gal", "L", "yd3", "m3", "ft2",
    "m2", "ft3", "in3", "gal/min", "L/min", "min", "h", "d", "bags", "days", "días", "short", "tons", "pieces", "x",
    "/",
];

/// A text in which no figure can break, with single spaces otherwise.
pub(super) fn held(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut before = "";
    for (i, word) in text.split(' ').enumerate() {
        if i > 0 {
            out.push(if ties(before, word) { HELD } else { ' ' });
        }
        out.push_str(word);
        before = word;
    }
    out
}

/// Whether two words belong to one figure.
fn ties(before: &str, word: &str) -> bool {
    let bare = |word: &str| word.trim_matches(['(', ')', ',', '.', ';', ':', '?', '!', '*']).to_owned();
    let figure = |word: &str| word.trim_start_matches(['(', '-', '+', '~']).starts_with(|c: char| c.is_ascii_digit());
    let fraction = |word: &str| figure(word) && word.contains('/');
    figure(before)
        && before.trim_end_matches('*').ends_with(|c: char| c.is_ascii_digit())
        && (fraction(word) || UNITS.contains(&bare(word).as_str()))
}
