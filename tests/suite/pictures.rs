//! The section pictures as they are printed: what they promise to whoever builds, and that all of it can be read.

use crate::sound::{changed_visit, seeds, units};
use crate::support::{CONTENT, scenario, scenarios, top, visit};
use std::sync::LazyLock;
use wallfoot::content::Content;
use wallfoot::flow::Answers;
use wallfoot::judge::{Headline, Kept};
use wallfoot::names::DefinedId;
use wallfoot::render::{Size, drawing, svg};
use wallfoot::sheet::Picture;
use wallfoot::units::{Length, Units};
use wallfoot::wall::{MarkKind, Part};

static SPANISH: LazyLock<Content> = LazyLock::new(|| {
    let sources = wallfoot::commands::sources(None, Some("es")).unwrap();
    Content::load(&sources, Some("es")).unwrap()
});

/// Every scenario, the shared visits, and visits near sound ones.
fn visits() -> Vec<(String, Answers, Units)> {
    let mut paths: Vec<_> =
        scenarios().iter().map(|name| top().join("tests/scenarios").join(name).join("visit.yaml")).collect();
    let shared = std::fs::read_dir(top().join("tests/visits")).unwrap().map(|entry| entry.unwrap().path());
    paths.extend(shared.filter(|path| path.extension().is_some_and(|ending| ending == "yaml")));
    paths.sort();
    let mut all: Vec<(String, Answers, Units)> = paths
        .into_iter()
        .map(|path| {
            let (_, answers, units) = visit(&path);
            (path.display().to_string(), answers, units)
        })
        .collect();
    all.extend((0..seeds(150)).map(|seed| {
        let answers = changed_visit(seed);
        let units = units(&answers);
        (format!("seed {seed}"), answers, units)
    }));
    all
}

/// What there is of each visit: as it is or planned, as it should be, the joint.
fn pictures(content: &Content, answers: &Answers, units: Units) -> Vec<Picture> {
    let a = content.assess(answers, units);
    [a.picture(), a.picture_after(), a.picture_joint()].into_iter().flatten().collect()
}

fn marked(picture: &Picture, kind: MarkKind) -> Option<&wallfoot::wall::Mark> {
    picture.section.marks.iter().find(|mark| mark.kind == kind)
}

/// Top of the work in a picture, if anybody may build it.
fn work_top(picture: &Picture) -> Option<Length> {
    let work = picture.section.pieces.iter().filter(|p| matches!(p.part, Part::Finish | Part::Layer(_)) && !p.rejected);
    work.flat_map(|p| &p.outline).map(|at| at.y).max()
}

/// Where a plan is too high and the height to keep is known, both pictures have it, heavy and with the figure of the answer; what
/// is not allowed is crossed out and never drawn as something to build.
#[test]
fn the_height_to_keep_is_drawn_wherever_a_plan_is_rejected() {
    let (mut lowered, mut planned) = (0, 0);
    for (name, answers, units) in visits() {
        let a = CONTENT.assess(&answers, units);
        let (kept, built) = (a.height_kept(), a.site.is_built());
        let Some(picture) = a.picture() else { continue };
        if let Some(Headline::Lower { below, lower, .. }) = a.headline() {
            let Kept::Lower { by, .. } = kept else { panic!("{name}: {kept:?}") };
            assert_eq!(by, lower, "{name}");
            let after = a.picture_after();
            if picture
                .section
                .marks
                .iter()
                .any(|mark| mark.kind == MarkKind::Unknown && mark.label.starts_with("top of the finished"))
            {
                assert!(
                    picture.notes.iter().any(|note| note.contains(&lower.show(units))),
                    "{name}: {:?}",
                    picture.notes
                );
                continue;
            }
            let rejected =
                marked(&picture, MarkKind::Rejected).unwrap_or_else(|| panic!("{name}: nothing is crossed out"));
            let opened = a.after_work().is_some_and(|after| after.opened.is_some());
            let keeps = |picture: &Picture| {
                let keep = marked(picture, MarkKind::Keep).or_else(|| marked(picture, MarkKind::AtMost));
                let keep = keep.unwrap_or_else(|| panic!("{name}: no height to keep"));
                assert_eq!(keep.y, rejected.y - lower, "{name}");
                if let Some(below) = below.filter(|_| keep.label.contains("below")) {
                    let figure = below.abs().show(units);
                    assert!(keep.label.contains(&figure), "{name}: {} without {figure}", keep.label);
                }
            };
            if !built {
                keeps(&picture);
                planned += 1;
            }
            if let Some(after) = after.filter(|_| !(built && opened)) {
                keeps(&after);
                lowered += 1;
                // what falls the right way is nowhere higher than at the wall
                let top = work_top(&after).unwrap_or(Length::ZERO - Length::inches(1000));
                assert!(top <= rejected.y - lower + Length::inches(1), "{name}: drawn to {top:?}");
            }
        }
        if kept.is_rejected() && !built {
            assert_eq!(work_top(&picture), None, "{name}: a rejected height is drawn as something to build");
            assert!(picture.rejected_note.is_some(), "{name}");
        } else {
            assert!(picture.section.pieces.iter().all(|piece| !piece.rejected), "{name}");
        }
    }
    assert!(lowered > 30 && planned > 30, "{lowered} lowered, {planned} planned");
}

/// A plan that stands has one picture, with its height as the one to build to; a height that nobody knows is told with a question mark.
#[test]
fn what_stands_is_built_and_what_is_unknown_is_asked() {
    let (mut fine, mut open) = (0, 0);
    for (name, answers, units) in visits() {
        let a = CONTENT.assess(&answers, units);
        let Some(picture) = a.picture() else { continue };
        match a.height_kept() {
            Kept::AsItIs => {
                fine += usize::from(marked(&picture, MarkKind::Keep).is_some());
                assert!(marked(&picture, MarkKind::Rejected).is_none() && a.picture_after().is_none(), "{name}");
            }
            Kept::Unknown { .. } => {
                open += 1;
                assert!(marked(&picture, MarkKind::Keep).is_none(), "{name}");
                assert!(picture.notes.iter().any(|note| note.contains("(?)")), "{name}");
            }
            _ => {}
        }
        let unknown = picture.section.marks.iter().filter(|mark| mark.kind == MarkKind::Unknown);
        assert!(unknown.into_iter().all(|mark| mark.label.contains("(?)")), "{name}");
    }
    assert!(fine > 30 && open > 5, "{fine}, {open}");
}

/// No picture of a wall that endangers people looks harmless: none as it should be, no way of a drop that ends well.
#[test]
fn no_picture_of_a_dangerous_wall_looks_harmless() {
    let mut dangerous = 0;
    for (name, answers, units) in visits() {
        let a = CONTENT.assess(&answers, units);
        if !a.certainly(DefinedId::HoseDangerous) {
            continue;
        }
        dangerous += 1;
        assert_eq!(a.picture_after(), None, "{name}");
        let Some(picture) = a.picture() else { continue };
        assert!(picture.warning.is_some(), "{name}");
        assert!(picture.section.drop.is_none_or(|drop| !drop.leaves), "{name}");
    }
    assert!(dangerous > 1, "{dangerous}");
}

/// How wide a letter is at most, in parts of its size: a rough guess that owes nothing to the program.
fn guessed(text: &str) -> f64 {
    let letter = |c: char| match c {
        'i' | 'j' | 'l' | 'í' => 0.23,
        'I' | 't' | 'f' | 'r' | '.' | ',' | ':' | '\'' | '/' | ' ' | '(' | ')' | '\u{a0}' => 0.31,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' => 0.5,
        'm' | 'w' | 'M' | 'W' | '%' => 0.88,
        c if c.is_uppercase() => 0.7,
        _ => 0.56,
    };
    text.chars().map(letter).sum()
}

/// The value of an attribute.
fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    tag.split(&format!(" {name}=\"")).nth(1)?.split('"').next()
}

/// Everything that can be wrong with a printed picture.
fn faults(text: &str, wide: f64) -> Vec<String> {
    let mut faults = Vec::new();
    let frame: Vec<f64> = attribute(text, "viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    if (frame[2] - wide).abs() > 0.5 {
        faults.push(format!("{} wide", frame[2]));
    }
    let size: f64 = attribute(text, "font-size").unwrap().parse().unwrap();
    if size < 8.0 {
        faults.push(format!("letters of {size}"));
    }
    for forbidden in ["<pattern", " class=", "foreignObject", "url(#", "<style"] {
        if text.contains(forbidden) {
            faults.push(forbidden.to_owned());
        }
    }
    if text.len() > 60_000 {
        faults.push(format!("{} bytes", text.len()));
    }
    let mut before = String::new();
    for tag in text.split("<text").skip(1) {
        let (head, rest) = tag.split_once('>').unwrap();
        let words = rest
            .split("</text>")
            .next()
            .unwrap()
            .replace("&amp;", "&")
            .replace("&quot;", "\"")
            .replace("&lt;", "<")
            .replace("&gt;", ">");
        if attribute(head, "font-size").is_some() {
            faults.push(format!("letters of another size: {words}"));
        }
        let [x, y] = ["x", "y"].map(|name| attribute(head, name).unwrap().parse::<f64>().unwrap());
        let long = guessed(&words) * size;
        let (from, to) = match attribute(head, "text-anchor") {
            Some("end") => (x - long, x),
            Some("middle") => (x - long / 2.0, x + long / 2.0),
            _ => (x, x + long),
        };
        if from < -0.5 || to > frame[2] + 0.5 || y - size * 0.7 < 0.0 || y > frame[3] {
            faults.push(format!("{words} from {from:.0} to {to:.0} at {y:.0} in {frame:?}"));
        }
        // a line that ends in a figure, where its fraction or unit stands in the next
        let figure = |word: &str| word.ends_with(|c: char| c.is_ascii_digit());
        let next = words.split([' ', '\u{a0}', ':', '.', ',']).next().unwrap_or_default();
        let goes_on = ["in", "ft", "mm", "pulg"].contains(&next) || next.contains('/') && figure(next);
        if figure(&before) && !before.ends_with(':') && goes_on {
            faults.push(format!("a figure is broken: {before} / {words}"));
        }
        before = if attribute(head, "text-anchor").is_some() { String::new() } else { words };
    }
    faults
}

#[test]
fn every_picture_can_be_read_in_both_languages() {
    let broken = "<svg viewBox=\"0 0 250 90\" font-size=\"7\"><pattern/><text x=\"2\" y=\"9\">at 10</text><text x=\"240\" y=\"9\">1/8 in below</text></svg>";
    assert_eq!(faults(broken, 250.0).len(), 4);
    let mut seen = 0;
    for (name, answers, units) in visits() {
        for content in [&*CONTENT, &*SPANISH] {
            for picture in pictures(content, &answers, units) {
                for (size, wide) in [(Size::Half, 250.0), (Size::Full, 510.0)] {
                    seen += 1;
                    let faults = faults(&svg(&picture, size), wide);
                    assert!(faults.is_empty(), "{name}, {}: {faults:#?}", picture.title);
                }
            }
        }
    }
    assert!(seen > 1000, "{seen}");
}

/// A word of a thousand letters, and marks of a file, are inside the picture too.
#[test]
fn a_long_word_stays_inside() {
    let answers = scenario("vinyl-walkway");
    let mut picture = CONTENT.assess(&answers, Units::Inch).picture().unwrap();
    picture.section.marks[0].label = format!("<b>&\"{}", "ñandúW".repeat(160));
    picture.title = "W".repeat(1000);
    for (size, wide) in [(Size::Half, 250.0), (Size::Full, 510.0)] {
        let text = svg(&picture, size);
        assert_eq!(faults(&text, wide), [""; 0]);
        assert!(!text.contains("<b>"));
    }
}

/// Labels beside the picture stand one below the other, never on each other.
#[test]
fn no_two_lines_of_text_lie_on_each_other() {
    for (name, answers, units) in visits() {
        for picture in pictures(&SPANISH, &answers, units) {
            for size in [Size::Half, Size::Full] {
                let text = svg(&picture, size);
                let letter: f64 = attribute(&text, "font-size").unwrap().parse().unwrap();
                let lines: Vec<(f64, f64, f64, &str)> = text
                    .split("<text")
                    .skip(1)
                    .filter(|tag| !tag.contains("text-anchor"))
                    .map(|tag| {
                        let words = tag.split('>').nth(1).unwrap().split('<').next().unwrap();
                        let [x, y] = ["x", "y"].map(|name| attribute(tag, name).unwrap().parse::<f64>().unwrap());
                        (x, x + guessed(words) * letter * 0.9, y, words)
                    })
                    .collect();
                for (i, one) in lines.iter().enumerate() {
                    for two in &lines[i + 1..] {
                        let beside = one.1 <= two.0 || two.1 <= one.0;
                        let apart = (one.2 - two.2).abs() >= letter * 0.9;
                        assert!(beside || apart, "{name}, {}: {} / {}", picture.title, one.3, two.3);
                    }
                }
            }
        }
    }
}

/// Who cannot see the picture hears all its heights, in the language of the sheet.
#[test]
fn the_text_beside_a_picture_has_all_its_figures() {
    for (name, answers, units) in visits() {
        for content in [&*CONTENT, &*SPANISH] {
            for picture in pictures(content, &answers, units) {
                let alt = picture.alt();
                assert!(alt.starts_with(&picture.title), "{name}");
                for mark in &picture.section.marks {
                    assert!(alt.contains(&mark.label), "{name}: {} is not in {alt}", mark.label);
                }
                assert!(svg(&picture, Size::Half).contains("<desc>"), "{name}");
            }
        }
    }
}

/// In the terminal a label stands in the row of its arrow, or its letter does; the height to keep is a line of its own kind.
#[test]
fn in_the_terminal_every_arrow_has_its_word_in_its_row() {
    for (name, answers, units) in visits() {
        for picture in pictures(&CONTENT, &answers, units) {
            for width in [60, 80] {
                let text = drawing(&picture, width, true);
                assert!(text.is_ascii() && text.lines().all(|line| line.len() <= width), "{name}\n{text}");
                let body = text.split_once("\n\n").unwrap().1;
                let columns = if width >= 72 { 36 } else { 24 };
                for mark in &picture.section.marks {
                    let first: String = mark.label.split(' ').take(2).collect::<Vec<_>>().join(" ");
                    let at = body.lines().find(|line| {
                        line.get(columns..)
                            .is_some_and(|l| l.contains(&first) && !line.starts_with(|c: char| c.is_ascii_digit()))
                    });
                    let told = text.lines().any(|line| line.get(3..).is_some_and(|rest| rest.starts_with(&first)));
                    assert!(
                        told || at.is_some_and(|line| "<^v".contains(&line[columns..=columns])),
                        "{name}: {}\n{text}",
                        mark.label
                    );
                }
                let keeps =
                    picture.section.marks.iter().any(|mark| mark.kind == MarkKind::Keep && picture.section.shows(mark));
                assert!(!keeps || text.contains("=="), "{name}\n{text}");
            }
        }
    }
}

/// The joint has its figures, from the wall that is drawn, and is there only where a flashing is called for.
#[test]
fn the_joint_is_labelled_with_its_figures() {
    let mut joints = 0;
    for (name, answers, units) in visits() {
        let a = CONTENT.assess(&answers, units);
        let opened = a.after_work().and_then(|after| after.opened);
        let joint = a.picture_joint();
        assert_eq!(joint.is_some(), opened.is_some(), "{name}");
        let (Some(joint), Some(clear)) = (joint, opened) else { continue };
        joints += 1;
        let usual = &CONTENT.usual;
        let labels: Vec<&str> = joint.section.marks.iter().map(|mark| mark.label.as_str()).collect();
        for (what, figure) in [
            ("membrane", usual.membrane_up),
            ("upright leg", usual.flashing_leg),
            ("turned out", usual.turned_out),
            ("barrier", usual.barrier_above),
            ("cladding cut", clear),
        ] {
            let figure = figure.show(units);
            assert!(
                labels.iter().any(|l| l.contains(what) && l.contains(&figure)),
                "{name}: {what} {figure} in {labels:?}"
            );
        }
        for part in [Part::Membrane, Part::Flashing, Part::EndDam, Part::Barrier] {
            assert!(joint.section.pieces.iter().any(|piece| piece.part == part), "{name}: {part:?}");
        }
    }
    assert!(joints > 10, "{joints}");
}
