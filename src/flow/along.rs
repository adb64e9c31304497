//! Answers that are lists along the wall: heights at several places, and openings with their places.
//!
//! Both are typed on one line, entries apart by `;`, the height behind `=`:
//! `0 = 13 in; 12 ft = 9 1/2 in` and `main_door 4 ft to 7 ft; window 12 ft to 15 ft = 14 in`.

use super::answer_error::AnswerError;
use super::model::Choice;
use crate::pack::packed;
use crate::units::{Length, Units};

/// A height at a place along the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ProfilePoint {
    /// Offset from the left end.
    pub at: Length,
    /// How far below the mark.
    pub below: Length,
}

packed!(struct ProfilePoint { at, below });

/// Something that takes up a piece of the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Which of the choices of the question.
    pub choice: usize,
    /// Where it begins, from the left end.
    pub from: Length,
    /// Where it ends. Never before it begins.
    pub to: Length,
    /// Its lowest edge below the mark, if it was measured.
    pub below: Option<Length>,
}

packed!(struct Placed { choice, from, to, below });

/// Reads heights along the wall, in the order of their places.
///
/// # Errors
/// [`AnswerError::Profile`] for what is no list of places and heights, [`AnswerError::Length`] for a length
/// that cannot be read.
pub(super) fn read_profile(text: &str, units: Units) -> Result<Vec<ProfilePoint>, AnswerError> {
    let mut points = Vec::new();
    for entry in entries(text) {
        let Some((at, below)) = entry.split_once('=') else { return Err(wrong_profile(entry, units)) };
        points.push(ProfilePoint { at: Length::parse(at.trim(), units)?, below: Length::parse(below.trim(), units)? });
    }
    points.sort_by_key(|p: &ProfilePoint| p.at);
    if let Some(pair) = points.windows(2).find(|pair| pair[0].at == pair[1].at) {
        return Err(AnswerError::PlaceTwice(pair[0].at.show(units)));
    }
    if points.len() < 2 { Err(wrong_profile(text, units)) } else { Ok(points) }
}

fn wrong_profile(found: &str, units: Units) -> AnswerError {
    let example = match units {
        Units::Inch => "0 = 13 in; 12 ft = 9 1/2 in; 30 ft = 6 in",
        Units::Metric => "0 = 330 mm; 4 m = 240 mm; 9 m = 150 mm",
    };
    AnswerError::Profile { found: found.to_owned(), example: example.to_owned() }
}

/// Reads openings with their places, in the order in which they were typed. Each may be named by its id or
/// by its label.
///
/// # Errors
/// [`AnswerError::Places`] for what is no such list, [`AnswerError::Choice`] for an unknown kind of opening,
/// [`AnswerError::Length`] for a length that cannot be read.
pub(super) fn read_places(text: &str, choices: &[Choice], units: Units) -> Result<Vec<Placed>, AnswerError> {
    let mut list = Vec::new();
    for entry in entries(text) {
        let (place, below) = match entry.split_once('=') {
            Some((place, below)) => (place.trim(), Some(Length::parse(below.trim(), units)?)),
            None => (entry, None),
        };
        let names = choices.iter().enumerate().flat_map(|(i, c)| [(i, c.id.as_str()), (i, c.label.as_str())]);
        // "window well" is no "window": the longest name counts
        let Some((choice, name)) =
            names.filter(|(_, name)| starts_with(place, name)).max_by_key(|(_, name)| name.len())
        else {
            return Err(AnswerError::Choice {
                found: place.to_owned(),
                choices: choices.iter().map(|c| c.id.as_str()).collect::<Vec<_>>().join(", "),
            });
        };
        let Some((from, to)) = place[name.len()..].split_once(" to ").or_else(|| place[name.len()..].split_once(".."))
        else {
            return Err(wrong_places(entry, units));
        };
        let (from, to) = (Length::parse(from.trim(), units)?, Length::parse(to.trim(), units)?);
        list.push(Placed { choice, from: from.min(to), to: from.max(to), below });
    }
    if list.is_empty() { Err(wrong_places(text, units)) } else { Ok(list) }
}

fn wrong_places(found: &str, units: Units) -> AnswerError {
    let example = match units {
        Units::Inch => "main_door 4 ft to 7 ft; window 12 ft to 15 ft = 14 in",
        Units::Metric => "main_door 1.2 m to 2.1 m; window 3.6 m to 4.5 m = 350 mm",
    };
    AnswerError::Places { found: found.to_owned(), example: example.to_owned() }
}

fn entries(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|entry| !entry.is_empty())
}

/// Whether a text starts with a name and a space, in either case of letters.
fn starts_with(text: &str, name: &str) -> bool {
    text.get(..name.len()).is_some_and(|head| head.eq_ignore_ascii_case(name)) && text[name.len()..].starts_with(' ')
}

/// Heights along the wall in the form that [`read_profile`] reads. `show` writes a length.
pub(crate) fn show_profile(points: &[ProfilePoint], show: impl Fn(Length) -> String) -> String {
    let entry = |p: &ProfilePoint| format!("{} = {}", show(p.at), show(p.below));
    points.iter().map(entry).collect::<Vec<_>>().join("; ")
}

/// Openings in the form that [`read_places`] reads. `name` names a choice, `show` writes a length.
pub(crate) fn show_places(list: &[Placed], name: impl Fn(usize) -> String, show: impl Fn(Length) -> String) -> String {
    let entry = |p: &Placed| {
        let place = format!("{} {} to {}", name(p.choice), show(p.from), show(p.to));
        p.below.map_or_else(|| place.clone(), |below| format!("{place} = {}", show(below)))
    };
    list.iter().map(entry).collect::<Vec<_>>().join("; ")
}
