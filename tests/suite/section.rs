//! The wall as it is drawn: one set of pieces for the trace and for every picture.

use crate::support::{CONTENT, scenarios, top, visit};
use proptest::prelude::*;
use std::path::PathBuf;
use wallfoot::flow::Answers;
use wallfoot::judge::{Kept, WaterWay};
use wallfoot::render::{Size, drawing, svg};
use wallfoot::sheet::Picture;
use wallfoot::units::{Length, Slope, Units};
use wallfoot::wall::{
    Assembly, Body, Core, CrossSection, Cut, Edge, Fall, Fault, Faults, Heights, Joint, MarkKind, Part, Point, Shown,
    Spec, Stepped, System, Under, View,
};
use wallfoot::water::{End, Start, path_on};

// ---- whole-number geometry

fn turn(a: Point, b: Point, c: Point) -> i128 {
    let d = |p: Length, q: Length| i128::from((p - q).steps());
    d(b.x, a.x) * d(c.y, a.y) - d(b.y, a.y) * d(c.x, a.x)
}

fn in_box(a: Point, b: Point, p: Point) -> bool {
    (a.x.min(b.x)..=a.x.max(b.x)).contains(&p.x) && (a.y.min(b.y)..=a.y.max(b.y)).contains(&p.y)
}

/// Whether two straight lines have a point in common.
fn meet(one: (Point, Point), two: (Point, Point)) -> bool {
    let sides = |line: (Point, Point), of: (Point, Point)| {
        [of.0, of.1].map(|at| (turn(line.0, line.1, at).signum(), in_box(line.0, line.1, at)))
    };
    let (across, back) = (sides(one, two), sides(two, one));
    let crosses = |ends: [(i128, bool); 2]| ends[0].0 * ends[1].0 < 0;
    let touches = across.iter().chain(&back).any(|(turn, in_box)| *turn == 0 && *in_box);
    touches || crosses(across) && crosses(back)
}

/// Why an outline is no simple polygon.
fn fault_of(outline: &[Point]) -> Option<String> {
    let count = outline.len();
    if count < 3 {
        return Some("too few corners".to_owned());
    }
    let side = |number: usize| (outline[number], outline[(number + 1) % count]);
    for one in 0..count {
        if side(one).0 == side(one).1 {
            return Some(format!("corner {one} stands twice"));
        }
        for two in one + 2..count {
            let neighbours = one == 0 && two == count - 1;
            if !neighbours && meet(side(one), side(two)) {
                return Some(format!("sides {one} and {two} meet"));
            }
        }
    }
    None
}

/// Whether a point lies on a line, to the step of [`Length`].
fn lies_on(at: Point, line: &[Point]) -> bool {
    let near = |a: Length, b: Length| (a - b).steps().abs() <= 1;
    line.windows(2).any(|pair| {
        let (a, b) = (pair[0], pair[1]);
        if a.x == b.x {
            return near(at.x, a.x) && (a.y.min(b.y)..=a.y.max(b.y)).contains(&at.y);
        }
        if !(a.x.min(b.x)..=a.x.max(b.x)).contains(&at.x) {
            return false;
        }
        let along = i128::from((b.y - a.y).steps()) * i128::from((at.x - a.x).steps());
        near(at.y, a.y + Length::from_steps(i64::try_from(along / i128::from((b.x - a.x).steps())).unwrap()))
    })
}

fn closed(outline: &[Point]) -> Vec<Point> {
    outline.iter().chain(outline.first()).copied().collect()
}

// ---- the visits

fn visits() -> Vec<(String, Answers, Units)> {
    let scenario = |name: &String| top().join("tests/scenarios").join(name).join("visit.yaml");
    let mut paths: Vec<PathBuf> = scenarios().iter().map(scenario).collect();
    paths.extend(
        ["back-patio", "side-steps"].map(|name| top().join("questions/demo").join(name).with_extension("yaml")),
    );
    let read = |path: PathBuf| {
        let (_, answers, units) = visit(&path);
        (path.display().to_string(), answers, units)
    };
    paths.into_iter().map(read).collect()
}

fn pictures(check: impl Fn(&str, &Picture)) -> usize {
    let mut count = 0;
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        if let Some(picture) = assessment.picture() {
            count += 1;
            check(&name, &picture);
        }
    }
    count
}

/// What hung in the air before: every corner of the drawn way is on the line of a drawn piece.
#[test]
fn the_drawn_way_lies_on_drawn_pieces() {
    let ways = std::cell::Cell::new(0);
    let seen = pictures(|name, picture| {
        let Some(drop) = &picture.section.drop else { return };
        ways.set(ways.get() + 1);
        assert!(!drop.line.is_empty(), "{name}");
        for at in &drop.line {
            let held = picture.section.pieces.iter().any(|piece| lies_on(*at, &piece.line));
            assert!(held, "{name}: nothing is drawn at {at:?} of {:?}", drop.line);
        }
    });
    assert!(seen > 15 && ways.get() > 12, "{seen} pictures, {} ways", ways.get());
}

/// The picture shows what the sheet tells: the same end, and every piece that the drop of the sheet ran on.
#[test]
fn the_picture_holds_what_the_trace_ran_on() {
    let (mut told, mut channels) = (0, 0);
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        let Some(picture) = assessment.picture() else { continue };
        let ways = assessment.water_ways();
        let Some(drop) = &picture.section.drop else { continue };
        let note = picture.drop_note.as_ref().unwrap();
        let words = Start::ALL.map(|start| (start, CONTENT.word(&format!("water.start.{}", start.word())).to_owned()));
        let (start, _) = words.into_iter().find(|(_, word)| note.starts_with(word.as_str())).unwrap();
        let way = ways.iter().find(|w| w.start == start).unwrap();
        let harmless = |way: &WaterWay| match way.start {
            Start::Joint | Start::Surface => way.path.end < End::AtJoint,
            _ => way.path.end.leaves_wall(),
        };
        // no way that ends well is drawn where another one ends badly
        assert!(!harmless(way) || ways.iter().all(harmless), "{name}: {note}");
        assert_eq!(drop.leaves, harmless(way), "{name}");
        channels += usize::from(way.start == Start::Channel);
        for step in &way.path.steps {
            told += 1;
            let drawn = |p: &Shown| p.part == step.on && (!p.line.is_empty() || !p.outline.is_empty());
            assert!(picture.section.pieces.iter().any(drawn), "{name}: {:?} is not drawn", step.on);
        }
    }
    assert!(told > 30 && channels > 0, "{told}, {channels}");
}

/// Layers of the work and the old slab under it are pieces too, and the sheets of the wall.
#[test]
fn layers_sheets_and_old_slabs_are_drawn() {
    let drawn = |name: &str| {
        let (_, answers, units) = visit(&top().join("tests/scenarios").join(name).join("visit.yaml"));
        let picture = CONTENT.assess(&answers, units).picture().unwrap();
        picture.section.pieces.iter().map(|p| p.part).collect::<Vec<Part>>()
    };
    let walkway = drawn("vinyl-walkway");
    for part in [Part::Layer(0), Part::Layer(1), Part::Layer(2), Part::Barrier, Part::Gap] {
        assert!(walkway.contains(&part), "{part:?} {walkway:?}");
    }
    assert!(drawn("fibre-cement-overlay").contains(&Part::OldSlab));
    assert!(drawn("stucco-screed-slab").contains(&Part::Screed));
    assert!(drawn("built-steps-stucco-no-screed").contains(&Part::ClosedFoot));
    assert!(drawn("built-brick-weeps-covered").contains(&Part::Flashing));
}

/// The wall after the work: what is promised in words is what is drawn.
#[test]
fn the_wall_after_the_work_is_drawn_as_promised() {
    let (mut opened, mut lowered) = (0, 0);
    for (name, answers, units) in visits() {
        let assessment = CONTENT.assess(&answers, units);
        let (Some(picture), Some(after)) = (assessment.picture_after(), assessment.after_work()) else { continue };
        let now = assessment.picture().unwrap();
        for at in picture.section.drop.iter().flat_map(|drop| &drop.line) {
            assert!(picture.section.pieces.iter().any(|piece| lies_on(*at, &piece.line)), "{name}: {at:?}");
        }
        let height = |picture: &Picture, kinds: &[MarkKind]| {
            let mark = picture.section.marks.iter().find(|m| kinds.contains(&m.kind));
            mark.map(|mark| mark.y)
        };
        let finish = |picture: &Picture| height(picture, &[MarkKind::Keep, MarkKind::AtMost]);
        let lower = match assessment.height_kept() {
            Kept::Lower { by, .. } if !(assessment.site.is_built() && after.opened.is_some()) => by,
            _ => Length::ZERO,
        };
        let was = height(&now, &[MarkKind::Rejected]).or_else(|| finish(&now)).or_else(|| {
            let planned = now
                .section
                .marks
                .iter()
                .find(|m| m.label.starts_with("planned top") || m.label.starts_with("top of the surface"));
            planned.map(|mark| mark.y)
        });
        assert_eq!(finish(&picture), was.map(|y| y - lower), "{name}");
        let has = |part: Part| picture.section.pieces.iter().any(|piece| piece.part == part && !piece.line.is_empty());
        if let Some(clear) = after.opened.filter(|_| lower == Length::ZERO) {
            opened += 1;
            assert!(has(Part::Membrane) && has(Part::Flashing) && has(Part::Barrier), "{name}");
            let exit = picture.section.marks.iter().find(|m| m.label.starts_with("water exit")).unwrap();
            assert_eq!(Some(exit.y), finish(&picture).map(|y| y + clear), "{name}");
        } else {
            lowered += 1;
        }
    }
    assert!(opened > 3 && lowered > 1, "{opened} opened, {lowered} lowered");
}

/// What nobody measured is drawn with a question mark, and the picture says what that means.
#[test]
fn what_is_not_known_is_marked() {
    let known = pictures(|name, picture| {
        let marked = picture.section.pieces.iter().filter(|p| p.unsure.is_some()).count();
        assert_eq!(picture.unsure_note.is_some(), marked > 0, "{name}");
        let text = drawing(picture, 80, true);
        let told = picture.section.marks.iter().any(|m| matches!(m.kind, MarkKind::Unknown | MarkKind::AtMost));
        let noted = picture.notes.iter().any(|note| note.contains('?'));
        assert_eq!(text.contains('?'), marked > 0 || told || noted, "{name}\n{text}");
    });
    assert!(known > 15);
    let path = top().join("tests/scenarios/eifs-raised-patio-unknown-exit/visit.yaml");
    let (_, answers, units) = visit(&path);
    let picture = CONTENT.assess(&answers, units).picture().unwrap();
    let unsure: Vec<Part> = picture.section.pieces.iter().filter(|p| p.unsure.is_some()).map(|p| p.part).collect();
    assert!(unsure.contains(&Part::Coat) && picture.section.drop.is_none(), "{unsure:?}");
}

/// Every name of a height stands beside its row: the arrow of the finish points at the first row of the work.
#[test]
fn arrows_point_at_what_they_name() {
    let checked = std::cell::Cell::new(0);
    pictures(|name, picture| {
        let text = drawing(picture, 80, true);
        let rows: Vec<&str> = text.lines().skip(2).take_while(|line| !line.starts_with("x ")).collect();
        let Some(label) =
            picture.section.marks.iter().find(|m| m.kind == MarkKind::Keep && m.label.starts_with("BUILD"))
        else {
            return;
        };
        // alone in its row
        let Some(row) = rows.iter().position(|row| row.contains("<== BUILD")) else { return };
        // where it meets the wall: further out the surface may rise
        let sign = |row: usize, column: usize| rows[row].chars().nth(column).unwrap_or(' ');
        let first = (7..20).find(|column| "/+".contains(sign(row, *column)));
        let first = first.unwrap_or_else(|| panic!("{name}: {}\n{text}", label.label));
        assert!(!"/+".contains(sign(row - 1, first)), "{name}: {}\n{text}", label.label);
        checked.set(checked.get() + 1);
    });
    assert!(checked.get() > 8, "{}", checked.get());
}

/// No line is wider than the terminal; in plain looks there is ASCII only.
#[test]
fn drawings_fit_the_terminal() {
    pictures(|name, picture| {
        for width in [60, 80, 100] {
            for line in drawing(picture, width, true).lines() {
                assert!(line.is_ascii() && line.len() <= width, "{name} at {width}: {line}");
            }
            for line in drawing(picture, width, false).lines() {
                assert!(line.chars().count() <= width, "{name} at {width}: {line}");
            }
        }
    });
}

/// Whether all points of a vector picture lie in its frame.
fn in_frame(text: &str) -> Result<(), String> {
    let frame = text.split("viewBox=\"0 0 ").nth(1).unwrap().split('"').next().unwrap();
    let (wide, tall) = frame.split_once(' ').unwrap();
    let (wide, tall): (f64, f64) = (wide.parse().unwrap(), tall.parse().unwrap());
    for points in text.split("points=\"").skip(1) {
        for point in points.split('"').next().unwrap().split_whitespace() {
            let (x, y) = point.split_once(',').unwrap();
            let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
            if !(0.0..=wide).contains(&x) || !(0.0..=tall).contains(&y) {
                return Err(format!("{point} in {frame}"));
            }
        }
    }
    Ok(())
}

/// Nothing of the vector picture leaves its frame: neither pieces nor the way.
#[test]
fn the_vector_picture_stays_in_its_frame() {
    assert!(in_frame("<svg viewBox=\"0 0 10 10\"><polygon points=\"1,1 2,11\"/>").is_err());
    let seen = pictures(|name, picture| {
        let held = in_frame(&svg(picture, Size::Full));
        assert!(held.is_ok(), "{name}: {held:?}");
    });
    assert!(seen > 15);
}

/// A section with no words of its own.
fn pictured(section: CrossSection) -> Picture {
    Picture {
        section,
        title: "Section".to_owned(),
        warning: None,
        notes: Vec::new(),
        rejected_note: None,
        unit: "in".to_owned(),
        scale_note: "To scale.".to_owned(),
        drop_note: Some("Way.".to_owned()),
        line_note: "{line}".to_owned(),
        unsure_note: None,
        names: Vec::new(),
        units: Units::Inch,
    }
}

// ---- any wall

const SYSTEMS: [System; 10] = [
    System::Siding,
    System::Coat { screed: true },
    System::Coat { screed: false },
    System::Foam { drained: true },
    System::Foam { drained: false },
    System::Veneer { flashing: true, weeps: true },
    System::Veneer { flashing: false, weeps: true },
    System::Veneer { flashing: true, weeps: false },
    System::Veneer { flashing: false, weeps: false },
    System::Masonry,
];

const FAULTS: [Fault; 11] = [
    Fault::FlashingMissing,
    Fault::FlashingInFront,
    Fault::FlashingLeansIn,
    Fault::BarrierShort,
    Fault::BarrierMissing,
    Fault::ChannelBehind,
    Fault::HeadNotLapped,
    Fault::PanMissing,
    Fault::Hollow,
    Fault::JointOpen,
    Fault::RoofEndInside,
];

fn eighths(n: i64) -> Length {
    Length::sixty_fourths(n * 8)
}

fn any_spec() -> impl Strategy<Value = Spec> {
    let heights =
        (-60i64..60, -60i64..60, -200i64..60, proptest::option::of(-60i64..60), proptest::option::of(-20i64..100));
    let joint = prop_oneof![
        Just(Joint::Touching),
        Just(Joint::Closed),
        (1i64..80).prop_map(|n| Joint::Open(eighths(n))),
        Just(Joint::Covered)
    ];
    let fall = prop_oneof![Just(Fall::Away), Just(Fall::Along), Just(Fall::Level), Just(Fall::Towards)];
    let edge = (any::<bool>(), any::<bool>());
    let steps = proptest::option::of((24i64..60, 10i64..18, 1i64..6));
    let built = (0u16..1 << 11, any::<bool>(), 1i64..8, steps);
    (proptest::sample::select(&SYSTEMS[..]), heights, 24i64..200, joint, fall, edge, built).prop_map(
        |(system, (exit, finish, ground, wood, threshold), depth, joint, fall, (dammed, drain), built)| {
            let (bits, opened, clear, steps) = built;
            let there = FAULTS.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0);
            let faults = there.fold(Faults::NONE, |all, (_, f)| all.with(*f));
            let wall = Spec {
                core: if depth % 2 == 0 { Core::Wood } else { Core::Solid },
                exit: eighths(exit),
                finish: eighths(finish),
                ground: eighths(ground),
                wood: wood.map(eighths),
                threshold: threshold.map(eighths),
                depth: Length::inches(depth),
                steps: steps.map(|(landing, tread, risers)| Stepped {
                    landing: Length::inches(landing),
                    tread: Length::inches(tread),
                    risers,
                }),
                joint,
                fall,
                slope: Slope::from_parts(20_000_000),
                edge: if dammed { Edge::Dammed } else { Edge::Open },
                drain,
                faults,
                ..Spec::new(system, &CONTENT.usual)
            };
            if opened { Spec { faults, ..wall.repaired(eighths(clear * 4), &CONTENT.usual) } } else { wall }
        },
    )
}

fn any_under() -> impl Strategy<Value = Under> {
    (proptest::collection::vec(1i64..60, 0..5), proptest::option::of(-80i64..60)).prop_map(|(layers, old)| Under {
        layers: layers.into_iter().map(eighths).collect(),
        old_surface: old.map(eighths),
    })
}

/// Parts whose line is part of the border of what is drawn of them.
fn is_border(part: Part) -> bool {
    use Part::{BesideFoundation, Cladding, Coat, Fill, Foundation, Trim, Wood};
    matches!(part, Cladding | Coat | Wood | Foundation | Fill | Trim | BesideFoundation)
}

/// What is promised of the lines of pieces.
fn lines_hold(body: &Body, leans: bool) -> Result<(), TestCaseError> {
    let line = &body.line;
    let (first, last) = (line[0], line[line.len() - 1]);
    match body.part {
        Part::Finish => {
            prop_assert!((3..=4).contains(&line.len()) && line[0].x == line[1].x && line[1].x < line[2].x);
        }
        Part::Flashing | Part::Screed | Part::Pan => {
            prop_assert!(line.len() == 3 && first.x == line[1].x && first.y > line[1].y && last.x > first.x);
            prop_assert!(last.y < line[1].y || leans && body.part != Part::Pan);
        }
        Part::Drain | Part::Fill | Part::Gap | Part::Void | Part::Ledge | Part::ClosedFoot | Part::BesideFoundation => {
            prop_assert!(line.len() == 2 && first.y == last.y && first.x < last.x, "{body:?}");
        }
        Part::Ground => prop_assert!(first.y == last.y && first.x < last.x),
        Part::Wood if first.y == last.y => prop_assert!(first.x < last.x),
        _ => prop_assert!(line.len() == 2 && first.x == last.x && first.y > last.y, "{body:?}"),
    }
    Ok(())
}

proptest! {
    #![proptest_config(crate::properties::config())]

    /// Of every wall in every cut: outlines are simple polygons inside its bounds, lines rise and fall as promised, and
    /// what fills a piece ends at the line that water runs on.
    #[test]
    fn outlines_are_simple_and_end_at_their_lines(wall in any_spec(), under in any_under()) {
        let heights = [wall.exit, wall.finish, wall.ground, wall.wood.unwrap_or(wall.exit), wall.threshold.unwrap_or(wall.exit)];
        let (low, high) = (*heights.iter().min().unwrap(), *heights.iter().max().unwrap());
        for cut in [Cut::Field, Cut::Channel, Cut::Door] {
            let door = if cut == Cut::Door { CONTENT.usual.door_height } else { Length::ZERO };
            let (bottom, top) = (low - Length::inches(30), high + door + Length::inches(30));
            let right = Length::inches(200 + 60 + 6 * 18 + 120 + 40);
            let built = Assembly::of(&wall, cut, &CONTENT.usual);
            let bodies = built.bodies(&under);
            prop_assert_eq!(bodies.iter().filter(|s| !s.line.is_empty()).count(), built.pieces().len());
            for body in &bodies {
                if body.outline.is_empty() {
                    prop_assert!(body.part == Part::Finish && !under.layers.is_empty(), "{body:?} {wall:?}");
                } else {
                    let fault = fault_of(&body.outline);
                    prop_assert!(fault.is_none(), "{cut:?}: {fault:?} {body:?} {wall:?}");
                }
                for at in body.outline.iter().chain(&body.line) {
                    prop_assert!(-Length::inches(8) <= at.x && at.x <= right, "{cut:?}: {body:?} {wall:?}");
                    prop_assert!(bottom <= at.y && at.y <= top, "{cut:?}: {body:?} {wall:?}");
                }
                if body.line.is_empty() { continue; }
                lines_hold(body, wall.faults.has(Fault::FlashingLeansIn))?;
                if is_border(body.part) {
                    let border = closed(&body.outline);
                    for at in &body.line {
                        prop_assert!(lies_on(*at, &border), "{cut:?}: {at:?} {body:?} {wall:?}");
                    }
                }
                if let (Part::Finish, false) = (body.part, body.outline.is_empty()) {
                    let border = closed(&body.outline);
                    for at in &body.line[1..3] {
                        prop_assert!(lies_on(*at, &border), "{cut:?}: {at:?} {body:?} {wall:?}");
                    }
                }
            }
        }
    }

    /// Nothing is drawn outside the frame, the way lies on the pieces, and what it ran on is there: for any wall, with
    /// any heights known.
    #[test]
    fn any_section_stays_in_its_frame(wall in any_spec(), under in any_under(), known in 0u8..32, foot_known in any::<bool>()) {
        let some = |bit: u8, y: Length| (known & (1 << bit) != 0).then_some(y);
        let heights = Heights {
            threshold: wall.threshold.filter(|_| known & 1 != 0),
            exit: some(1, wall.exit),
            finish: some(2, wall.finish),
            ground: some(3, wall.ground),
            wood: wall.wood.filter(|_| known & 16 != 0),
        };
        let built = Assembly::of(&wall, Cut::Field, &CONTENT.usual);
        for start in [Start::Face, Start::Behind, Start::Joint, Start::Surface] {
            let way = path_on(&built, start).filter(|_| heights.exit.is_some() && heights.finish.is_some());
            let corners = way.as_ref().map(|path| path.corners(built.pieces()));
            let view = View {
                known: heights,
                foot_known,
                under: under.clone(),
                rejected: known == 3,
                also: Vec::new(),
                frame: None,
                way: corners.clone().zip(way.as_ref().map(|path| path.end.leaves_wall())),
            };
            let Some(section) = CrossSection::of(&built, &view) else {
                let count = [heights.threshold, heights.exit, heights.finish, heights.ground, heights.wood];
                prop_assert!(count.iter().flatten().count() < 1);
                continue;
            };
            let drop = section.drop.iter().flat_map(|drop| &drop.line);
            let all = section.pieces.iter().flat_map(|p| p.outline.iter().chain(&p.line).chain(&p.unsure)).chain(drop);
            for at in all {
                prop_assert!(section.low.x <= at.x && at.x <= section.high.x, "{at:?} {wall:?}");
                prop_assert!(section.low.y <= at.y && at.y <= section.high.y, "{at:?} {wall:?}");
            }
            let picture = pictured(section.clone());
            for (width, plain) in [(60, true), (80, false), (100, true)] {
                for line in drawing(&picture, width, plain).lines() {
                    prop_assert!(line.chars().count() <= width, "{line}");
                }
            }
            if let Err(why) = in_frame(&svg(&picture, Size::Full)) { prop_assert!(false, "{why} {wall:?}"); }
            prop_assert!(section.faces.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", section.faces);
            for at in section.drop.iter().flat_map(|drop| &drop.line) {
                let held = section.pieces.iter().any(|piece| lies_on(*at, &piece.line));
                prop_assert!(held, "{start:?}: {at:?} {corners:?} {wall:?}");
            }
            // the end is never cut off at the bottom
            if let (Some((_, end)), Some(drop)) = (corners.as_ref().and_then(|c| c.last()), &section.drop) {
                let seen = drop.line.last().unwrap();
                prop_assert!(*seen == *end || seen.x == section.high.x || end.y > section.high.y, "{seen:?} {end:?}");
            }
        }
    }
}
