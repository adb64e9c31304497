//! The embedded fonts, and texts made of letters that they have.

use std::borrow::Cow;
use std::sync::LazyLock;
use typst::foundations::Bytes;
use typst::text::Font;

/// The serif in its four cuts, and one font with signs. The list of the crate starts with the serif and ends with the signs.
pub(super) static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let serif = typst_assets::fonts().take(4);
    let signs = typst_assets::fonts().last();
    serif.chain(signs).filter_map(|data| Font::new(Bytes::new(data), 0)).collect()
});

/// Stands for a letter that no embedded font has. A PDF for everybody may not hold an unknown letter.
const MISSING: char = '\u{25a1}';

/// At this a long word may break.
const BREAK: char = '\u{200b}';

/// The longest word that is left in one piece, in letters.
const LONG: usize = 28;

/// A longer word may break after so many letters, again and again. No column is narrower.
const PIECE: usize = 6;

/// A text that can be set: letters the fonts have, and figures in one piece. A word that no column would hold may break.
pub(super) fn settable(text: &str) -> String {
    let held = super::super::held::held(&printable(text));
    let mut out = String::with_capacity(held.len());
    for word in held.split_inclusive([' ', '\u{a0}']) {
        if word.chars().count() <= LONG {
            out.push_str(word);
            continue;
        }
        for (i, c) in word.chars().enumerate() {
            if i > 0 && i % PIECE == 0 {
                out.push(BREAK);
            }
            out.push(c);
        }
    }
    out
}

/// The same text in letters that the fonts have; nothing that is no letter.
pub(super) fn printable(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| matches!(c, ' '..='~')) {
        return Cow::Borrowed(text);
    }
    text.chars().filter_map(letter).collect::<String>().into()
}

fn letter(c: char) -> Option<char> {
    match c {
        ' '..='~' | '\u{a0}' => Some(c),
        '\t' | '\n' | '\r' => Some(' '),
        // marks of direction, joiners and selectors are not seen, and may not be left without a font
        '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' => None,
        '\u{fe00}'..='\u{fe0f}' | '\u{e0000}'..='\u{e0fff}' => None,
        c if c.is_control() => None,
        c if FONTS.iter().any(|font| font.info().coverage.contains(u32::from(c))) => Some(c),
        _ => Some(MISSING),
    }
}
