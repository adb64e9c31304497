//! Water: the trace, its properties, and the load against values from outside.

use crate::support::CONTENT;
use proptest::prelude::*;
use wallfoot::units::{Length, Slope, Units};
use wallfoot::wall::{Core, Edge, Fall, Fault, Faults, Joint, Part, Spec, System};
use wallfoot::water::{Channel, End, Hour, Path, Runoff, Start, driving_rain_index, rain_on_wall};

const SYSTEMS: [System; 8] = [
    System::Siding,
    System::Coat { screed: true },
    System::Coat { screed: false },
    System::Foam { drained: true },
    System::Foam { drained: false },
    System::Veneer { flashing: true, weeps: true },
    System::Veneer { flashing: false, weeps: true },
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

fn inch(text: &str) -> Length {
    Length::parse(text, Units::Inch).unwrap()
}

/// A wall with its exit 2 in above the finish.
fn clear(system: System) -> Spec {
    Spec {
        exit: Length::inches(2),
        ground: -Length::inches(6),
        threshold: Some(Length::inches(5)),
        joint: Joint::Closed,
        ..Spec::new(system, &CONTENT.usual)
    }
}

fn path(wall: &Spec, start: Start) -> Option<Path> {
    wallfoot::water::path(wall, start, &CONTENT.usual)
}

fn end(wall: &Spec, start: Start) -> Option<End> {
    path(wall, start).map(|p| p.end)
}

fn run_on(path: &Path) -> Vec<Part> {
    path.steps.iter().map(|s| s.on).collect()
}

fn any_wall() -> impl Strategy<Value = Spec> {
    let heights =
        (-60i64..60, -60i64..60, -200i64..60, proptest::option::of(-60i64..60), proptest::option::of(-20i64..100));
    let joint = prop_oneof![
        Just(Joint::Touching),
        Just(Joint::Closed),
        (1i64..80).prop_map(|n| Joint::Open(Length::sixty_fourths(n * 8))),
        Just(Joint::Covered)
    ];
    let fall = prop_oneof![Just(Fall::Away), Just(Fall::Level), Just(Fall::Towards)];
    let edge = prop_oneof![Just(Edge::Open), Just(Edge::Dammed)];
    (
        proptest::sample::select(&SYSTEMS[..]),
        heights,
        6i64..200,
        joint,
        fall,
        edge,
        0u16..1 << 11,
        any::<bool>(),
        1i64..8,
    )
        .prop_map(
            |(system, (exit, finish, ground, wood, threshold), depth, joint, fall, edge, bits, opened, clear)| {
                let eighths = |n: i64| Length::sixty_fourths(n * 8);
                let faults = FAULTS
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| bits & (1 << i) != 0)
                    .fold(Faults::NONE, |all, (_, f)| all.with(*f));
                let wall = Spec {
                    system,
                    core: if depth % 2 == 0 { Core::Wood } else { Core::Solid },
                    exit: eighths(exit),
                    finish: eighths(finish),
                    ground: eighths(ground),
                    wood: wood.map(eighths),
                    threshold: threshold.map(eighths),
                    depth: Length::inches(depth),
                    steps: None,
                    joint,
                    // every third open joint is a strip held open on purpose
                    strip: (matches!(joint, Joint::Open(_)) && depth % 3 == 0).then(|| Length::inches(depth % 12)),
                    fall,
                    slope: Slope::from_parts(20_000_000),
                    edge,
                    drain: false,
                    faults,
                    opened: None,
                };
                if opened { Spec { faults, ..wall.repaired(eighths(clear * 4), &CONTENT.usual) } } else { wall }
            },
        )
}

proptest! {
    #![proptest_config(crate::properties::config())]

    /// Every trace ends, and no step of it rises.
    #[test]
    fn every_trace_ends_and_never_rises(wall in any_wall()) {
        for start in Start::ALL {
            let Some(path) = path(&wall, start) else { continue };
            prop_assert!(!path.steps.is_empty());
            let mut y = path.steps[0].from.y;
            for step in &path.steps {
                prop_assert!(step.from.y <= y, "{start:?} {path:?}");
                prop_assert!(step.to.y <= step.from.y, "{start:?} {path:?}");
                y = step.to.y;
            }
        }
    }

    /// All laps right, the finish below the exit, falling away: outside, from everywhere on the wall.
    #[test]
    fn a_sound_wall_lets_water_out(wall in any_wall()) {
        let sound = wall.sound(&CONTENT.usual);
        for start in Start::ALL {
            let Some(path) = path(&sound, start) else { continue };
            let from_the_work = matches!(start, Start::Joint | Start::Surface) && !matches!(sound.joint, Joint::Closed | Joint::Covered);
            if !from_the_work {
                prop_assert!(path.end.is_outside(), "{start:?} {:?} {sound:?}", path);
            }
        }
    }

    /// A fault on a sound wall never betters an end, in the order of the ends from good to bad.
    #[test]
    fn a_fault_on_a_sound_wall_never_betters_an_end(wall in any_wall(), which in 0usize..11) {
        let sound = wall.sound(&CONTENT.usual);
        let faulty = Spec { faults: Faults::NONE.with(FAULTS[which]), ..sound };
        for start in Start::ALL {
            if let (Some(a), Some(b)) = (end(&sound, start), end(&faulty, start)) {
                prop_assert!(a <= b, "{:?} {start:?}: {a:?} then {b:?}", FAULTS[which]);
            }
        }
    }

    /// Raising the finish over the exit never lets water out that was held before.
    #[test]
    fn raising_the_finish_never_betters_an_end(wall in any_wall(), up in 0i64..100) {
        let raised = Spec { finish: wall.finish + Length::sixty_fourths(up * 8), ..wall };
        for start in [Start::Face, Start::Behind, Start::Channel] {
            if let (Some(before), Some(after)) = (end(&wall, start), end(&raised, start)) {
                prop_assert!(before.is_outside() || !after.is_outside(), "{start:?}: {before:?} then {after:?} {wall:?}");
            }
        }
        // and over the exit nothing gets out from behind the cladding
        if raised.is_covered() && wall.system != System::Masonry {
            prop_assert!(!end(&raised, Start::Behind).unwrap().is_outside());
        }
    }

    /// The repaired wall lets water out from everywhere, whatever was wrong, if the threshold stands clear.
    #[test]
    fn a_repair_lets_water_out(wall in any_wall(), clear in 1i64..16) {
        // a dam at the outer edge is not mended by opening the wall
        let repaired = Spec { edge: Edge::Open, ..wall.repaired(Length::sixty_fourths(clear * 32), &CONTENT.usual) };
        for start in Start::ALL {
            let low_door = start == Start::DoorHead && wall.threshold.is_some_and(|t| t <= wall.finish + Length::inches(1));
            if let (Some(path), false) = (path(&repaired, start), low_door) {
                prop_assert!(path.end.is_outside(), "{start:?} {:?} {repaired:?}", path);
            }
        }
    }

    /// Of the repaired wall, too, every lap counts.
    #[test]
    fn a_fault_in_the_repair_shows(wall in any_wall(), fault in proptest::sample::select(&[Fault::FlashingMissing, Fault::FlashingInFront, Fault::FlashingLeansIn, Fault::BarrierShort][..])) {
        let repaired = wall.repaired(Length::inches(1), &CONTENT.usual);
        if wall.system == System::Masonry { return Ok(()); }
        let faulty = Spec { faults: Faults::NONE.with(fault), ..repaired };
        // a barrier that ends above the flashing runs out onto the membrane, or onto wood
        prop_assert!(!end(&faulty, Start::Behind).unwrap().is_outside(), "{fault:?}");
    }
}

proptest! {
    // few walls of many faults hold water just where one more could let it out
    #![proptest_config(ProptestConfig { cases: 4096, ..crate::properties::config() })]

    /// On any wall, with whatever else is wrong: one more fault lets no water out that the wall or the work held. A
    /// flashing that leans in is the one exception: it holds more than none would.
    #[test]
    fn one_more_fault_lets_no_water_out_that_was_held(wall in any_wall(), which in 0usize..11) {
        let fault = FAULTS[which];
        let without_the_leaning_one = fault == Fault::FlashingMissing && wall.faults.has(Fault::FlashingLeansIn);
        let faulty = Spec { faults: wall.faults.with(fault), ..wall };
        for start in Start::ALL {
            if let (Some(a), Some(b)) = (end(&wall, start), end(&faulty, start)) {
                let let_out = a >= End::InFlashing && b.is_outside();
                prop_assert!(!let_out || without_the_leaning_one, "{fault:?} {start:?}: {a:?} then {b:?} {wall:?}");
            }
        }
    }
}

#[test]
fn the_words_of_the_issue() {
    // siding, 2 in clear, falling away: out onto the surface
    let wall = clear(System::Siding);
    assert_eq!(run_on(&path(&wall, Start::Behind).unwrap()), [Part::Barrier, Part::Foundation, Part::Finish]);
    assert_eq!(end(&wall, Start::Behind), Some(End::OnFinish));
    // the same with a gap: in the gap
    let gap = Spec { joint: Joint::Open(inch("1/2")), ..wall };
    assert_eq!(end(&gap, Start::Behind), Some(End::InGap));
    // covered: held; a hollow behind it shows
    let covered = Spec { finish: inch("3"), ..wall };
    assert_eq!(end(&covered, Start::Behind), Some(End::BehindWork));
    let hollow = Spec { faults: Faults::NONE.with(Fault::Hollow), ..covered };
    assert_eq!(end(&hollow, Start::Behind), Some(End::InVoid));
    // a channel that runs down behind the work, though the siding stands clear
    let channel = Spec { faults: Faults::NONE.with(Fault::ChannelBehind), ..wall };
    assert_eq!(
        (end(&channel, Start::Channel), end(&channel, Start::Behind)),
        (Some(End::BehindWork), Some(End::OnFinish))
    );
    // paper that was not laid over the flashing above the door: the pan catches it, or the wood
    let head = Spec { faults: Faults::NONE.with(Fault::HeadNotLapped), ..wall };
    assert_eq!(end(&head, Start::DoorHead), Some(End::OnFinish));
    assert!(run_on(&path(&head, Start::DoorHead).unwrap()).contains(&Part::Pan));
    let no_pan = Spec { faults: head.faults.with(Fault::PanMissing), ..head };
    assert_eq!(end(&no_pan, Start::DoorHead), Some(End::OnWood));
    // a surface that falls to the wall: into an open joint, or it stands there
    let towards = Spec { fall: Fall::Towards, ..wall };
    assert_eq!(end(&Spec { joint: Joint::Touching, ..towards }, Start::Surface), Some(End::AtFoundation));
    assert_eq!(end(&towards, Start::Surface), Some(End::AtJoint));
    assert_eq!(end(&Spec { drain: true, ..towards }, Start::Surface), Some(End::InChannel));
    // along the wall, to the corner; and water from the wall down into a joint that touches
    assert_eq!(end(&Spec { fall: Fall::Along, ..wall }, Start::Surface), Some(End::AlongWall));
    assert_eq!(end(&Spec { joint: Joint::Touching, ..wall }, Start::Behind), Some(End::AtFoundation));
    // ground that stands higher outside
    assert_eq!(end(&Spec { edge: Edge::Dammed, ..wall }, Start::Surface), Some(End::Standing));
}

/// A screed 1/8 in above a surface that falls to the wall: its lip dips below the surface just where it ends.
#[test]
fn a_lip_under_the_surface_lets_nothing_out() {
    let wall =
        Spec { exit: inch("1/8"), finish: Length::ZERO, fall: Fall::Towards, ..clear(System::Coat { screed: true }) };
    assert_eq!(end(&wall, Start::Behind), Some(End::BehindWork));
}

#[test]
fn each_wall_lets_out_or_holds_as_it_is_built() {
    let ends: Vec<Option<End>> = SYSTEMS.iter().map(|s| end(&clear(*s), Start::Behind)).collect();
    let expected = [
        Some(End::OnFinish),
        Some(End::OnFinish),
        Some(End::InCoat),
        Some(End::OnFinish),
        Some(End::OnWood),
        Some(End::OnFinish),
        Some(End::InFlashing),
        None,
    ];
    assert_eq!(ends, expected);
    // the laps of a screed
    let screed = clear(System::Coat { screed: true });
    for (fault, expected) in [
        (Fault::FlashingInFront, End::OnWood),
        (Fault::FlashingLeansIn, End::InFlashing),
        // a barrier that ends 6 in up leaves wood above the leg of the screed
        (Fault::BarrierShort, End::OnWood),
        (Fault::RoofEndInside, End::OnWood),
    ] {
        let faulty = Spec { faults: Faults::NONE.with(fault), ..screed };
        assert_eq!(end(&faulty, Start::Behind), Some(expected), "{fault:?}");
    }
}

/// Faults that never did anything would pass every property: each worsens an end of some sound wall. At a door it
/// takes two: the pan catches what comes by the head, and nothing comes by a head that is lapped.
#[test]
fn every_fault_worsens_an_end() {
    for fault in FAULTS {
        let base = match fault {
            Fault::PanMissing => Faults::NONE.with(Fault::HeadNotLapped),
            Fault::HeadNotLapped => Faults::NONE.with(Fault::PanMissing),
            _ => Faults::NONE,
        };
        let worse = SYSTEMS.iter().any(|system| {
            [Joint::Closed, Joint::Touching, Joint::Open(inch("1/2"))].into_iter().any(|joint| {
                let sound = Spec { joint, faults: base, ..clear(*system).sound(&CONTENT.usual) };
                let faulty = Spec { faults: base.with(fault), ..sound };
                Start::ALL.iter().any(|start| end(&faulty, *start) > end(&sound, *start))
            })
        });
        assert!(worse, "{fault:?}");
    }
}

/// Why "no fault betters an end" holds of sound walls only: on a repaired wall a flashing that leans in holds the
/// rain of the face, and without it that rain runs out.
#[test]
fn a_flashing_that_leans_in_is_worse_than_none() {
    let leans = Spec {
        faults: Faults::NONE.with(Fault::FlashingLeansIn),
        ..clear(System::Siding).repaired(inch("1/2"), &CONTENT.usual)
    };
    let none = Spec { faults: leans.faults.with(Fault::FlashingMissing), ..leans };
    assert_eq!((end(&leans, Start::Face), end(&none, Start::Face)), (Some(End::InFlashing), Some(End::OnFinish)));
    // behind the cladding both are wrong
    assert!(!end(&leans, Start::Behind).unwrap().is_outside() && !end(&none, Start::Behind).unwrap().is_outside());
}

#[test]
fn the_first_step_that_differs_is_where_it_went_wrong() {
    let wall = Spec { finish: inch("3"), ..clear(System::Siding) };
    let (path, sound) =
        (path(&wall, Start::Behind).unwrap(), path(&wall.sound(&CONTENT.usual), Start::Behind).unwrap());
    let wrong = path.parts_from(&sound).unwrap();
    assert_eq!(path.steps[wrong].on, Part::Fill);
    assert_eq!(sound.parts_from(&sound), None);
}

// ---- the load, against values from outside

/// Derived from IPC 1106.4 (half of a wall counts): 30 x 10 ft at 4 in an hour is 6.23 gpm.
#[test]
fn half_a_wall_counts() {
    let flow = Runoff::wall(inch("30 ft"), inch("10 ft")).flow(inch("4"));
    assert!((flow.as_gallons_per_minute() - 6.23).abs() < 0.005, "{}", flow.as_gallons_per_minute());
}

/// Rational method, handbook example: C .11, 1.25 in an hour, 30 acres: 4.125 cfs, which leaves out the factor of
/// 1.008 between acre-inches an hour and cubic feet a second.
#[test]
fn rational_method() {
    // 30 acres: 1306800 ft2 = 1143.154 ft squared; a rectangle of 1306.8 by 1000 ft
    let area = inch("15681.6 in").by(inch("12000 in"));
    let flow = Runoff { area, coefficient: 0.11 }.flow(inch("1.25"));
    assert!((flow.as_cubic_feet_per_second() - 4.125 * 1.008_333).abs() < 0.001, "{}", flow.as_cubic_feet_per_second());
}

/// Arithmetic: 1,500 ft2 and 15 in of rain are 14,017 gal by the rounded factor .623; .6234 is the exact one.
#[test]
fn rain_on_a_roof() {
    let volume = Runoff { area: inch("50 ft").by(inch("30 ft")), coefficient: 1.0 }.volume(inch("15"));
    let gallons = volume.as_cubic_metres() * 1000.0 / 3.785_411_784;
    assert!((gallons - 14_017.0).abs() / 14_017.0 < 0.001, "{gallons}");
}

/// University hydraulics midterm (2007): b 5 m, y 0.8 m, n .015, S .0025: A 4.0, R .606, V 2.387 m/s, Q 9.548 m3/s.
#[test]
fn manning_rectangular() {
    let metre = |m: i64| Length::mm(m);
    let channel =
        Channel { width: metre(5000), depth: metre(800), slope: Slope::from_parts(2_500_000), roughness: 0.015 };
    let carried = channel.carries().unwrap();
    assert!((carried.section - 4.0).abs() < 1e-9);
    assert!((carried.hydraulic_radius - 0.606).abs() < 0.000_5);
    assert!((carried.velocity - 2.387).abs() < 0.000_5, "{}", carried.velocity);
    assert!((carried.flow.as_cubic_metres_per_second() - 9.548).abs() < 0.001);
    assert_eq!(Channel { slope: Slope::from_parts(0), ..channel }.carries(), None);
}

/// Straube, Building Science Digest 148 (2010): 15.1 in a year x 1.5 x 1.0 x 1.0 is 22.6 in, 575 mm, 14.1 gal a
/// square foot.
#[test]
fn driving_rain_of_digest_148() {
    let rain = rain_on_wall(inch("15.1"), &[1.5, 1.0, 1.0]);
    assert!((rain.as_inches() - 22.65).abs() < 0.01);
    assert!((rain.as_mm() - 575.3).abs() < 0.1);
    let gallons = Runoff { area: inch("1 ft").by(inch("1 ft")), coefficient: 1.0 }.volume(rain).as_cubic_metres()
        * 1000.0
        / 3.785_411_784;
    assert!((gallons - 14.1).abs() < 0.05, "{gallons}");
}

/// ISO 15927-3, the formula itself, redone by hand for three hours: 2/9 (5 x 2^(8/9) x cos 0 + 10 x 1 x cos 60).
#[test]
fn driving_rain_index_by_hand() {
    let hours = [
        Hour { wind: 5.0, from: 180.0, rain: 2.0 },
        Hour { wind: 10.0, from: 240.0, rain: 1.0 },
        // from behind the wall: does not count
        Hour { wind: 20.0, from: 10.0, rain: 9.0 },
    ];
    let by_hand = 2.0 / 9.0 * (5.0 * 2.0f64.powf(8.0 / 9.0) + 10.0 * 0.5);
    assert!((driving_rain_index(hours.into_iter(), 180.0) - by_hand).abs() < 1e-9);
}

// ---- built work that leaks: the right path first, and the repair ends outside

#[test]
fn the_right_path_comes_first() {
    use crate::support::scenario;
    for (name, first, ends) in [
        ("built-overlay-over-vinyl", "exit_covered", End::InVoid),
        ("built-steps-stucco-no-screed", "foot_closed", End::InCoat),
        ("built-brick-weeps-covered", "exit_covered", End::BehindWork),
        ("built-channel-behind-landing", "channel_behind_work", End::BehindWork),
    ] {
        let answers = scenario(name);
        let assessment = CONTENT.assess(&answers, Units::Inch);
        let suspects = assessment.suspects();
        assert_eq!(suspects[0].row.id, first, "{name}");
        assert_eq!(suspects[0].path.as_ref().map(|p| p.end), Some(ends), "{name}");
        assert!(suspects[0].score > suspects[1].score, "{name}");
        let after = assessment.after_work().unwrap();
        assert!(after.all_outside(), "{name}: {after:?}");
        // veneer is not cut back: there the surface gives way
        assert_eq!(after.opened.is_some(), name != "built-brick-weeps-covered");
    }
}

/// What the advice promises is what the second trace shows, on the wall of every scenario and invented visit.
#[test]
fn the_advice_promises_only_what_the_trace_shows() {
    use crate::support::behind;
    // how many promise it, how many do not, how many speak of no work
    let mut seen = [0; 3];
    for (name, answers, units) in crate::every_sheet::VISITS.iter() {
        let assessment = CONTENT.assess(answers, *units);
        let after = assessment.after_work();
        let page = behind(&assessment).split_whitespace().collect::<Vec<_>>().join(" ");
        let outside = after.as_ref().map(wallfoot::judge::AfterWork::all_outside);
        assert_eq!(page.contains("water from every place ends outside"), outside == Some(true), "{name}");
        assert_eq!(page.contains("would still not end outside"), outside == Some(false), "{name}");
        seen[match outside {
            Some(true) => 0,
            Some(false) => 1,
            None => 2,
        }] += 1;
    }
    assert!(seen.iter().all(|count| *count > 3), "{seen:?}");
}

#[test]
fn no_suspect_for_planned_work() {
    use crate::support::with;
    let suspects = |stage: &str| {
        let answers = with(crate::must_hold::SOUND, &format!("signs: soft_sheathing\nstage: {stage}"));
        CONTENT.assess(&answers, Units::Inch).suspects().len()
    };
    assert_eq!(suspects("planned"), 0);
    assert!(suspects("built") > 0);
}

/// What begins above has no place on the traced wall. It is tested from the bottom up all the same: the track of a window
/// before its head, a lamp after both, whatever weighs more.
#[test]
fn a_hose_test_above_goes_from_the_bottom_up() {
    use crate::support::{behind, with};
    let signs = "stage: built\nsigns: stain_below_window, swollen_trim\nstain_follows_rain: yes";
    let seen = "above_seen: sill_weeps_closed, head_caulked, head_ends_open, no_head_flashing, block_open";
    let answers = with(crate::must_hold::SOUND, &format!("{signs}\n{seen}"));
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let page = behind(&assessment).split_whitespace().collect::<Vec<_>>().join(" ");
    let page = &page[page.find("Hose test").unwrap()..];
    let at = |what: &str| page.find(what).unwrap_or_else(|| panic!("{what}: {page}"));
    let (track, head, block) = (at("lower track of the window"), at("head of that window"), at("one block or pipe"));
    assert!(track < head && head < block, "{track} {head} {block}");
    // by weight the head comes first
    let place = |id: &str| assessment.suspects().iter().position(|s| s.row.id == id).unwrap();
    assert!(place("window_head_open") < place("sill_weeps_closed"));
}

/// What rules compare of a channel is what the sheet tells of it: one computation must not drift from the other.
#[test]
fn a_channel_has_one_figure() {
    let slot = usize::from(CONTENT.vocabulary.slot("channel.times").unwrap());
    let (mut exact, mut within) = (0, 0);
    for seed in 0..4000 {
        let answers = crate::sound::changed_visit(seed);
        let assessment = crate::sound::assess(&answers);
        let told = assessment.load().and_then(|load| load.channel);
        let fact = assessment.values[slot];
        let (Some(low), Some(high)) = (fact.low(), fact.high()) else { continue };
        let channel = told.unwrap_or_else(|| panic!("seed {seed}: a figure and no channel"));
        let Some(times) = channel.times else {
            assert!(channel.level && low == 0, "seed {seed}: {fact:?} beside {channel:?}");
            continue;
        };
        #[allow(clippy::cast_possible_truncation)]
        let parts = (times * 1000.0).floor() as i64;
        // what is not known may bring more, which the sheet says and leaves out
        assert!((low..=high).contains(&parts), "seed {seed}: {parts} beside {fact:?}");
        if low == high { exact += 1 } else { within += 1 }
    }
    assert!(exact > 20 && within > 0, "{exact} and {within}");
}
