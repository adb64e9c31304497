//! By how much a figure is moved: a length by 1/16 in or 1 mm as it is written, all else by one in its last digit.

use wallfoot::units::{Length, Units};

/// The figure moved by its unit, up and down; nothing for what is no figure.
pub(crate) fn moved(text: &str) -> Option<[String; 2]> {
    let text = text.trim();
    if let Some((drop, run)) = text.split_once(" per ") {
        return moved(drop).map(|both| both.map(|drop| format!("{drop} per {run}")));
    }
    let is_inches = text.ends_with(" in") || text.ends_with(" ft");
    if let Some(length) = Length::parse(text, Units::Inch).ok().filter(|_| is_inches) {
        let unit = Length::sixty_fourths(4);
        return Some([length + unit, length - unit].map(Length::exact));
    }
    last_digit(text)
}

/// The last number of a text moved by one in its last digit. What stands before it may be a sign or `1:`, what stands behind
/// a unit.
fn last_digit(text: &str) -> Option<[String; 2]> {
    let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
    let start = text[..end].rfind(|c: char| !c.is_ascii_digit() && c != '.').map_or(0, |at| at + 1);
    let (before, number, behind) = (&text[..start], &text[start..end], &text[end..]);
    let before_is = before.is_empty() || before == "-" || before == "1:";
    let behind_is = matches!(behind, "" | " %" | " mm" | " m" | " cm" | " F" | " C" | " mph" | "%");
    if !before_is || !behind_is || number.starts_with('.') {
        return None;
    }
    let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let digits: i64 = number.replace('.', "").parse().ok()?;
    let signed = if before == "-" { -digits } else { digits };
    let write = |n: i64| {
        let plain = format!("{:0width$}", n.abs(), width = decimals + 1);
        let (whole, rest) = plain.split_at(plain.len() - decimals);
        let number = if decimals == 0 { whole.to_owned() } else { format!("{whole}.{rest}") };
        let before = if before == "1:" {
            "1:"
        } else if n < 0 {
            "-"
        } else {
            ""
        };
        format!("{before}{number}{behind}")
    };
    Some([write(signed + 1), write(signed - 1)])
}
