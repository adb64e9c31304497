//! The wall from outside: its figures are those of the engine, nothing stands at an invented place, and it can be read.

use crate::must_hold::SOUND;
use crate::support::{CONTENT, answers, scenario, scenarios, top, visit, with};
use proptest::prelude::*;
use std::path::PathBuf;
use std::sync::LazyLock;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::Answers;
use wallfoot::judge::Lowered;
use wallfoot::render::{elevation_svg, elevation_text};
use wallfoot::sheet::ElevationPicture;
use wallfoot::units::{Elevation, Length, Units};
use wallfoot::wall::{FinishState, Level, Line, Lying, RunHole, RunKind, RunLine, RunSpec, RunView};

static SPANISH: LazyLock<Content> = LazyLock::new(|| {
    let sources = wallfoot::commands::sources(None, None).expect("the built-in files are there");
    Content::load(&sources, Some("es")).expect("the Spanish content is sound")
});

fn elevation(answers: &Answers) -> ElevationPicture {
    CONTENT.assess(answers, Units::Inch).elevation().expect("there is something to draw")
}

fn heights(picture: &ElevationPicture) -> Vec<(&str, &str)> {
    picture.stations.iter().map(|s| (s.at.as_str(), s.height.as_str())).collect()
}

fn inches(eighths: i64) -> Length {
    Length::sixty_fourths(8 * eighths)
}

// ---- figures, by hand

/// Falls 2 in over 20 ft: 1/2 in every 5 ft.
const FALLING: &str = "
levels_vary: yes
ends_measured: both_ends
exit_below_mark: 2 in
finish_below_mark: 10 1/8 in
wood_below_mark: 1 in
finish_left_below_mark: 10 1/8 in
finish_right_below_mark: 12 1/8 in
ground_left_below_mark: 14 in
ground_right_below_mark: 16 in
exit_left_below_mark: 2 in
exit_right_below_mark: 2 in
wall_places: window 15 ft to 17 ft = -30 in
";

#[test]
fn a_finish_that_falls_is_told_every_few_feet() {
    // one step of at most 7 3/4 in is asked of this door, so its limits do not count here
    let answers = with(SOUND, &format!("{FALLING}door: none\nmark_name: blue nail"));
    let assessment = CONTENT.assess(&answers, Units::Inch);
    assert_eq!(assessment.settled.verdict, Verdict::GoAhead, "{:?}", assessment.open);
    let picture = assessment.elevation().unwrap();
    let expected = [
        ("left end", "10 1/8 in"),
        ("5 ft", "10 5/8 in"),
        ("10 ft", "11 1/8 in"),
        ("15 ft", "11 5/8 in"),
        ("20 ft", "12 1/8 in"),
    ];
    assert_eq!(heights(&picture), expected);
    assert_eq!(picture.state, FinishState::Build);
    assert!(picture.chalk.as_ref().unwrap().ends_with("down from the blue nail:"), "{:?}", picture.chalk);
}

/// The siding stands 5 in below the mark and the surface 4 1/2 in: covered all along. By IRC R703 terms of the row that asks
/// for it, 1/2 in; the reading of the exit is good to 1/8 in: 5 + 1/2 + 1/8 in.
#[test]
fn the_highest_surface_that_holds_is_chalked_instead_of_a_rejected_one() {
    let picture = elevation(&with(SOUND, "finish_below_mark: 4 1/2 in"));
    assert_eq!(picture.state, FinishState::Rejected);
    assert!(picture.snap);
    let told: Vec<&str> = picture.stations.iter().map(|s| s.height.as_str()).collect();
    assert_eq!(told, ["5 5/8 in"; 5]);
    let planned = picture.view.lines.iter().position(|line| line.kind == RunKind::Finish).unwrap();
    assert!(picture.lines[planned].right.contains("do not build: 4 1/2 in below"), "{:?}", picture.lines[planned]);
}

/// The exit steps down from 5 to 8 in at 10 ft; a level surface at 7 in covers it from there on.
#[test]
fn the_covered_stretch_begins_where_the_lines_cross() {
    let change = "levels_vary: yes\nends_measured: more_places\nfinish_profile: 0 = 7 in; 20 ft = 7 in\n\
                  ground_profile: 0 = 14 in; 20 ft = 14 in\nexit_profile: 0 = 5 in; 8 ft = 5 in; 12 ft = 9 in; 20 ft = 9 in";
    let picture = elevation(&with(SOUND, change));
    // from 5 to 9 in over 4 ft: at 7 in halfway, 10 ft
    let [stretch] = picture.view.stretches[..] else { panic!("{:?}", picture.view.stretches) };
    assert_eq!((stretch.lying, stretch.from, stretch.to), (Lying::Covered, Length::inches(120), Length::inches(240)));
    assert_eq!(picture.stretches, ["water exit covered over 10 ft, from 10 ft to 20 ft"]);
    // the lowest exit, 9 in, with 1/2 in and a reading of 1/8 in; more than a step at the door
    assert!(picture.stations.iter().all(|station| station.height == "9 5/8 in"), "{:?}", picture.stations);
    assert!(picture.alt().contains("landing or steps"), "{}", picture.alt());
}

#[test]
fn a_built_surface_that_is_all_right_has_nothing_to_snap() {
    let picture = elevation(&with(SOUND, "stage: built"));
    if picture.state == FinishState::Stays {
        assert!(!picture.snap && picture.chalk.is_none());
    } else {
        assert!(matches!(picture.state, FinishState::Open | FinishState::Rejected));
    }
}

#[test]
fn what_is_not_settled_is_not_to_be_snapped() {
    let picture = elevation(&with(SOUND, "exit_way: cannot_see\nexit_hidden_by: soil"));
    assert!(!picture.snap && picture.stations.is_empty());
    assert!(picture.alt().contains("No line to snap yet"), "{}", picture.alt());
    assert!(picture.alt().contains("Not drawn, since the height is not known: water exit"), "{}", picture.alt());
    assert!(picture.view.line(RunKind::Exit).is_none());
}

/// What was read at one place says nothing of the others: it is drawn broken.
#[test]
fn a_height_of_one_place_is_drawn_broken() {
    let picture = elevation(&with(SOUND, "levels_vary: yes\nends_measured: cannot\nlevel_change: 6 in"));
    for kind in [RunKind::Exit, RunKind::Finish, RunKind::Ground] {
        assert!(!picture.view.line(kind).unwrap().known, "{kind:?}");
    }
    assert!(picture.stations.is_empty());
    let svg = elevation_svg(&picture);
    assert!(svg.contains(">?</text>"));
    let text = elevation_text(&picture, 80, true);
    assert!(text.lines().any(|line| line.starts_with("+ ?")), "{text}");
}

#[test]
fn an_unknown_length_is_said_and_cut_off() {
    let picture = elevation(&with(SOUND, "feature_length: not sure\nlevels_vary: no"));
    assert!(picture.view.length.is_none() && picture.stations.is_empty());
    assert!(picture.length.contains("not known"), "{}", picture.length);
    assert!(!elevation_svg(&picture).contains("times larger"));
}

#[test]
fn a_wall_without_an_exit_has_no_line_for_it() {
    let picture = CONTENT.assess(&scenario("uk-solid-no-damp-course"), Units::Metric).elevation().unwrap();
    assert!(picture.view.line(RunKind::Exit).is_none());
    assert!(picture.alt().contains("Nothing drains out of this wall"), "{}", picture.alt());
}

#[test]
fn long_walls_say_how_much_heights_are_stretched() {
    let svg = elevation_svg(&CONTENT.assess(&scenario("sloping-wall-two-doors"), Units::Inch).elevation().unwrap());
    assert!(svg.contains("Heights are drawn 6 times larger than lengths."), "{svg}");
}

// ---- nothing is invented

#[test]
fn what_has_no_place_is_listed_and_not_drawn() {
    let change =
        "wall_things: dryer_vent, hose_bib, window_well\ndryer_vent_above_surface: 6 in\ndownspout: onto_surface";
    let picture = elevation(&with(SOUND, change));
    assert_eq!(picture.view.holes, []);
    assert_eq!(
        picture.somewhere[1..],
        [
            "Door with the mark",
            "Hose tap",
            "Dryer vent: 6 in above the top of the finished surface",
            "Window well",
            "Downspout: Onto the surface or next to it",
        ]
    );
}

#[test]
fn each_opening_with_a_place_stands_there_and_nowhere_else() {
    for name in scenarios() {
        let answers = scenario(&name);
        let assessment = CONTENT.assess(&answers, Units::Inch);
        let Some(picture) = assessment.elevation() else { continue };
        let placed: Vec<(Length, Length)> = assessment.site.openings.iter().map(|o| (o.from, o.to)).collect();
        let drawn: Vec<(Length, Length)> = picture.view.holes.iter().map(|h| (h.from, h.to)).collect();
        assert_eq!(placed, drawn, "{name}");
    }
}

#[test]
fn two_lines_make_a_picture_and_one_does_not() {
    let line = |kind, below| RunLine { kind, line: Line::level(Elevation::MARK - inches(below)), known: true };
    let spec = |lines| RunSpec { lines, nominal: Length::inches(120), ..RunSpec::default() };
    assert!(RunView::of(spec(vec![line(RunKind::Mark, 0)])).is_none());
    let mut two = spec(vec![line(RunKind::Mark, 0), line(RunKind::Ground, 80)]);
    two.holes = vec![RunHole { from: Length::inches(-24), to: Length::inches(150), edge: None, sunk: false }];
    let view = RunView::of(two).unwrap();
    // what is beside the work is seen too
    assert_eq!((view.left, view.right), (Length::inches(-24), Length::inches(150)));
    assert_eq!((view.low, view.high), (Elevation::MARK - inches(80), Elevation::MARK));
}

// ---- over all visits

fn all() -> Vec<(String, Answers, Units)> {
    let mut paths: Vec<PathBuf> =
        scenarios().iter().map(|name| top().join("tests/scenarios").join(name).join("visit.yaml")).collect();
    paths.extend(["back-patio", "side-steps"].map(|name| top().join(format!("questions/demo/{name}.yaml"))));
    let mut list: Vec<(String, Answers, Units)> = paths
        .into_iter()
        .map(|path| {
            let (_, answers, units) = visit(&path);
            (path.display().to_string(), answers, units)
        })
        .collect();
    let many = "wall_places: main_door 0 ft to 3 ft; other_door 24 ft to 27 ft = -4 in; window 14 ft to 17 ft = 1 1/2 in; \
                dryer_vent 21 ft to 21 ft 6 in = -6 1/2 in; gas_vent 4 ft to 4 ft 6 in = -70 in; crawl_vent 12 ft to 13 ft; \
                gas_meter 18 ft to 19 ft = -2 in; window_well 8 ft to 10 ft = 10 in; window -3 ft to -1 ft = -9 in";
    let sloping = scenario("sloping-wall-two-doors");
    for change in
        [many, "door: none\nmark_name: The underside of the concrete sill of the small window beside the hose tap"]
    {
        let mut changed = sloping.clone();
        for (number, answer) in answers(change).iter() {
            changed.set(number, answer.clone());
        }
        list.push((format!("sloping wall, {change}"), changed, Units::Inch));
    }
    list
}

fn each(check: impl Fn(&str, &ElevationPicture)) -> usize {
    let mut seen = 0;
    for content in [&*CONTENT, &*SPANISH] {
        for (name, answers, units) in all() {
            for units in [units, Units::Metric] {
                if let Some(picture) = content.assess(&answers, units).elevation() {
                    seen += 1;
                    check(&name, &picture);
                }
            }
        }
    }
    seen
}

/// A text of a picture, with its place.
#[derive(Debug)]
struct Placed {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    size: f64,
    text: String,
}

/// About the width of a letter, in parts of its size.
fn letter(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | 't' | 'f' | ' ' | '\u{a0}' | '/' => 0.25,
        'm' | 'w' | 'M' | 'W' => 0.8,
        'r' | '(' | ')' | '-' => 0.33,
        'A'..='Z' => 0.66,
        _ => 0.53,
    }
}

fn texts(svg: &str) -> Vec<Placed> {
    svg.split("<text ")
        .skip(1)
        .map(|part| {
            let (attributes, rest) = part.split_once('>').unwrap();
            let text = rest.split_once("</text>").unwrap().0.replace("&amp;", "&").replace("&lt;", "<");
            let value = |name: &str| {
                let at =
                    attributes.split_once(&format!(" {name}=\"")).unwrap_or_else(|| panic!("{name} in {attributes}")).1;
                at.split_once('"').unwrap().0.to_owned()
            };
            let number = |name: &str| value(name).parse::<f64>().unwrap();
            let size = number("font-size");
            let wide = text.chars().map(letter).sum::<f64>() * size;
            let x = number("x");
            let left = match value("text-anchor").as_str() {
                "end" => x - wide,
                "middle" => x - wide / 2.0,
                _ => x,
            };
            let y = number("y");
            Placed { left, right: left + wide, top: y - 0.72 * size, bottom: y + 0.21 * size, size, text }
        })
        .collect()
}

#[test]
fn every_text_is_large_enough_and_inside_the_picture_and_none_lies_on_another() {
    let seen = each(|name, picture| {
        let svg = elevation_svg(picture);
        let view = svg.split_once("viewBox=\"").unwrap().1.split_once('"').unwrap().0;
        let sides: Vec<f64> = view.split(' ').map(|n| n.parse().unwrap()).collect();
        let list = texts(&svg);
        assert!(list.len() > 5, "{name}");
        for (number, text) in list.iter().enumerate() {
            assert!(text.size >= 8.5, "{name}: {text:?}");
            let inside = text.left >= 0.0 && text.right <= sides[2] && text.top >= 0.0 && text.bottom <= sides[3];
            assert!(inside, "{name}: {text:?} in {view}");
            for other in &list[..number] {
                let meets = text.left < other.right - 1.0
                    && other.left < text.right - 1.0
                    && text.top < other.bottom - 0.5
                    && other.top < text.bottom - 0.5;
                assert!(!meets, "{name}: {text:?} on {other:?}");
            }
        }
    });
    assert!(seen > 250, "{seen}");
}

/// What Typst and old printers cannot do.
#[test]
fn a_picture_is_plain_svg() {
    each(|name, picture| {
        let svg = elevation_svg(picture);
        for part in
            ["<pattern", "class=", "<style", "style=", "foreignObject", "url(", "<clipPath", "<marker", "NaN", "inf"]
        {
            assert!(!svg.contains(part), "{name}: {part}");
        }
        assert_eq!(svg.matches("<metadata>wallfoot</metadata>").count(), 1);
        assert!(svg.contains(r#"viewBox="0 0 510 "#) && svg.contains("<title>") && svg.contains("role=\"img\""));
    });
}

const UNITS: [&str; 8] = ["in", "ft", "mm", "m", "cm", "pulg", "pie", "pies"];

/// `10 1/8 in` stands in one line, its parts held together.
#[test]
fn figures_are_never_broken() {
    each(|name, picture| {
        let svg = elevation_svg(picture);
        for text in texts(&svg) {
            let words: Vec<&str> = text.text.split(' ').collect();
            for pair in words.windows(2) {
                let figure = pair[0].ends_with(|c: char| c.is_ascii_digit());
                let goes_on = UNITS.contains(&pair[1])
                    || pair[1].contains('/') && pair[1].starts_with(|c: char| c.is_ascii_digit());
                assert!(!(figure && goes_on), "{name}: {:?}", text.text);
            }
            let first = text.text.split([' ', '\u{a0}']).next().unwrap_or_default();
            let bare = first.trim_end_matches(|c: char| !c.is_alphanumeric());
            // "in" begins a line as a word too, but never alone at the left of nothing
            assert!(!(UNITS[1..].contains(&bare)), "{name}: {:?}", text.text);
            assert!(
                !first.contains('/') || !first.starts_with(|c: char| c.is_ascii_digit()) || whole_fraction(first),
                "{name}: {:?}",
                text.text
            );
        }
    });
}

/// A fraction that stands by itself is a figure of its own: less than an inch.
fn whole_fraction(text: &str) -> bool {
    let (top, bottom) = text.split_once('/').unwrap();
    top.parse::<u32>().is_ok_and(|top| bottom.parse::<u32>().is_ok_and(|bottom| top < bottom))
}

/// Every figure with a unit that is seen is said too.
#[test]
fn the_words_for_those_who_cannot_see_it_have_every_figure() {
    each(|name, picture| {
        let alt = picture.alt();
        for text in texts(&elevation_svg(picture)) {
            let text = text.text.replace('\u{a0}', " ");
            for figure in figures(&text) {
                assert!(alt.contains(&figure), "{name}: {figure:?} of {text:?} is not in {alt}");
            }
        }
    });
}

/// `10 1/8 in` out of a text.
fn figures(text: &str) -> Vec<String> {
    let words: Vec<&str> = text.split(' ').collect();
    let numeric = |word: &str| word.chars().all(|c| c.is_ascii_digit() || matches!(c, '/' | '.')) && !word.is_empty();
    let mut found = Vec::new();
    let mut current: Vec<&str> = Vec::new();
    for word in words {
        let bare = word.trim_matches(|c: char| matches!(c, ',' | ';' | ':' | '(' | ')' | '.'));
        if numeric(bare) {
            current.push(bare);
        } else {
            if UNITS.contains(&bare) && !current.is_empty() {
                current.push(bare);
                found.push(current.join(" "));
            }
            current.clear();
        }
    }
    found
}

#[test]
fn in_characters_it_fits_the_terminal_and_is_plain_where_asked() {
    each(|name, picture| {
        for width in [60, 80, 100] {
            for plain in [false, true] {
                let text = elevation_text(picture, width, plain);
                for line in text.lines() {
                    assert!(line.chars().count() <= width, "{name}: {line:?}");
                }
                let drawn = text.lines().skip(2).take(16);
                if plain {
                    for line in drawn {
                        let cells: String = line.chars().take(width * 11 / 20 - 1).collect();
                        assert!(cells.is_ascii(), "{name}: {cells:?}");
                    }
                }
            }
        }
    });
}

/// Arrows stand beside the last cell of their own line: the sign at its end is the sign that its label begins with. Where labels
/// have no room beside their rows, a letter stands there, and the label after it below.
#[test]
fn each_label_in_characters_points_at_its_own_line() {
    let picture = elevation(&with(SOUND, "finish_below_mark: 4 1/2 in"));
    let text = elevation_text(&picture, 100, true);
    let mut seen = 0;
    for line in text.lines().filter(|line| line.contains("<--")) {
        let (cells, label) = line.split_once("<--").unwrap();
        let end = cells.chars().last().unwrap();
        let letters = label.split_whitespace().all(|word| word.len() == 1 && word.chars().all(char::is_uppercase));
        let labels: Vec<&str> = if letters {
            let below =
                |letter: &str| text.lines().find_map(|line| line.strip_prefix(&format!("{letter}  ")).map(str::trim));
            label.split_whitespace().map(|letter| below(letter).expect("the letter stands below")).collect()
        } else {
            vec![label.trim_start()]
        };
        seen += 1;
        assert!(end == '/' || labels.iter().any(|label| label.starts_with(end)), "{line}: {labels:?}");
    }
    assert!(seen >= 3, "{text}");
}

/// The line to chalk, over generated walls: that of the engine, met when tried out, and never told higher than it is.
fn chalked(answers: &Answers, units: Units) {
    let assessment = CONTENT.assess(answers, units);
    let Some(picture) = assessment.elevation() else { return };
    if !picture.snap {
        assert!(picture.stations.is_empty() && picture.chalk.is_none());
        return;
    }
    let build = assessment.build_to();
    let lower = build.lower.unwrap_or(Length::ZERO);
    let planned = |at: Length| {
        let line = assessment.site.line(Level::Finish).filter(|_| assessment.site.slopes());
        line.map(|line| Elevation::MARK.above(line.at(at)))
            .or_else(|| assessment.site.levels.above(Level::Mark, Level::Finish).map(|h| h.up))
    };
    for (station, label) in picture.view.stations.iter().zip(&picture.stations) {
        let engine = planned(station.at).expect("the finish is known") + lower;
        assert_eq!(station.below, engine, "at {:?}", station.at);
        let told = Length::parse(&label.height, units);
        if let Ok(told) = told {
            assert!(told >= engine, "{} is told higher than it is", label.height);
            assert!((told - engine).steps() < Length::sixty_fourths(4).steps().max(Length::mm(1).steps()));
        }
    }
    let places: Vec<Length> = picture.view.stations.iter().map(|s| s.at).collect();
    if let Some(length) = assessment.site.length {
        assert_eq!((places.first(), places.last()), (Some(&Length::ZERO), Some(&length)));
    }
    if let Some(lower) = build.lower {
        let lowered = assessment.with_finish_lowered(lower).expect("it can be said");
        let then = CONTENT.assess(&lowered, units);
        let met = matches!(then.lowered_for_room(), Lowered::NotNeeded | Lowered::ByWithSteps(Length::ZERO));
        assert!(met || then.settled.verdict < assessment.settled.verdict, "{:?}", then.lowered_for_room());
    }
}

#[test]
fn the_chalk_line_of_every_visit_is_that_of_the_engine() {
    for (_, answers, units) in all() {
        chalked(&answers, units);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn the_chalk_line_is_that_of_the_engine(
        finish in prop::collection::vec(-16i64..160, 2..5),
        exit in prop::collection::vec(-16i64..160, 2..5),
        ground in prop::collection::vec(40i64..320, 2..4),
        feet in 20i64..60,
        door in any::<bool>(),
        metric in any::<bool>(),
    ) {
        let profile = |heights: &[i64]| {
            let last = i64::try_from(heights.len()).unwrap() - 1;
            let entry = |(n, eighths): (i64, &i64)| format!("{} in = {}/8 in", feet * 12 * n / last, eighths);
            (0..).zip(heights).map(entry).collect::<Vec<_>>().join("; ")
        };
        let mark = if door { "" } else { "door: none\nmark_name: blue nail" };
        let change = format!(
            "feature_length: {feet} ft\nlevels_vary: yes\nends_measured: more_places\nfinish_profile: {}\nexit_profile: {}\n\
             ground_profile: {}\n{mark}",
            profile(&finish), profile(&exit), profile(&ground),
        );
        let answers = with(SOUND, &change);
        chalked(&answers, if metric { Units::Metric } else { Units::Inch });
    }

    /// The stretches are as long as the engine says, to a whole inch at either end of each.
    #[test]
    fn stretches_add_up(
        upper in prop::collection::vec(0i64..80, 2..6),
        lower in prop::collection::vec(0i64..80, 2..6),
        need in -8i64..24,
    ) {
        let length = Length::inches(240);
        let line = |heights: &[i64]| {
            let last = i64::try_from(heights.len()).unwrap() - 1;
            let points = (0..).zip(heights).map(|(n, h)| (Length::inches(240 * n / last), Elevation::MARK + inches(*h)));
            Line::through(points.collect()).unwrap()
        };
        let (upper, lower) = (line(&upper), line(&lower));
        let stretches = upper.short_stretches(&lower, inches(need), length);
        let mut end = Length::ZERO;
        for (from, to) in &stretches {
            prop_assert!(*from >= end && to >= from && *to <= length);
            end = *to;
            let middle = Length::from_steps(i64::midpoint(from.steps(), to.steps()));
            prop_assert!(upper.at(middle).above(lower.at(middle)) <= inches(need) + Length::from_steps(2));
        }
        let total = stretches.iter().fold(Length::ZERO, |sum, (from, to)| sum + (*to - *from));
        prop_assert_eq!(total, upper.short_over(&lower, inches(need), length));
        prop_assert_eq!(upper.lowered(inches(3)).at(length), upper.at(length) - inches(3));
    }
}
