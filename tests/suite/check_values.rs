//! Values from outside the project, each with its source.

use crate::support::CONTENT;
use wallfoot::units::{Length, Slope, Units};
use wallfoot::wall::{StairFault, StairRules, flight, slabs};

fn inch(text: &str) -> Length {
    Length::parse(text, Units::Inch).unwrap()
}

#[test]
fn irc_thirty_inches_is_four_risers() {
    // derived from IRC R311.7.5.1 (riser at most 7-3/4 in): 30 in in equal risers
    let flight = flight(inch("30"), inch("7 3/4")).unwrap();
    assert_eq!((flight.risers, flight.riser), (4, inch("7 1/2")));
}

#[test]
fn textbook_ninety_four_inches_is_thirteen_risers() {
    // "Modern Carpentry" (2008): rise 94 in, 13 risers of 7.23 in
    let flight = flight(inch("94"), inch("7 3/4")).unwrap();
    assert_eq!(flight.risers, 13);
    assert!((flight.riser.as_inches() - 7.23).abs() < 0.005, "{}", flight.riser.as_inches());
}

#[test]
fn engineer_course_thirteen_risers_run_126_inches() {
    // US Army engineer course on stairs: 13 risers at 7-1/4 in, 12 treads at 10-1/2 in, total run 126 in
    let flight = flight(inch("7 1/4") * 13, inch("7 1/4")).unwrap();
    assert_eq!((flight.risers, flight.treads(), flight.run(inch("10 1/2"))), (13, 12, inch("126 in")));
}

#[test]
fn stone_slabs_of_six_inches() {
    // trade articles on stone steps: 12 in with 6 in slabs is 2 slabs, 18 in is 3
    assert_eq!(flight(inch("12"), inch("6")).unwrap().risers, 2);
    assert_eq!(flight(inch("18"), inch("6")).unwrap().risers, 3);
}

#[test]
fn falls_over_a_distance() {
    // arithmetic anyone can redo: 12 m at 1:60, 2 m at 1:40, 6 m at 2 %, 10 ft at 5 %
    let cases = [
        ("1:60", Length::mm(12_000), Length::mm(200)),
        ("1:40", Length::mm(2000), Length::mm(50)),
        ("2 %", Length::mm(6000), Length::mm(120)),
        ("5 %", Length::inches(120), Length::inches(6)),
    ];
    for (slope, run, drop) in cases {
        assert_eq!(Slope::parse(slope).unwrap().over(run), drop, "{slope}");
    }
}

#[test]
fn a_forum_answer_put_right() {
    // a published forum answer gives 30 mm over 7 m as "0.04 %"; it is 0.43 % (1:233), under the 1.25 %
    // of BS 7533
    let slope = Slope::of(Length::mm(30), Length::mm(7000)).unwrap();
    assert!((slope.as_percent() - 0.4286).abs() < 0.0001);
    assert!(slope < Slope::parse("1:80").unwrap());
}

#[test]
fn a_quarter_inch_per_foot() {
    // IRC R311.3 calls 1/4 in per ft "2 %"; it is 2.083 %, and 1:48
    let slope = Slope::parse("1/4 in per ft").unwrap();
    assert!((slope.as_percent() - 2.0833).abs() < 0.0001);
    assert_eq!(slope, Slope::parse("1:48").unwrap());
    assert!(slope > Slope::parse("2 %").unwrap());
}

#[test]
fn an_inch_is_25_4_millimetres() {
    // the international inch (1959)
    assert_eq!(inch("1") * 10, Length::mm(254));
    assert_eq!(inch("1/64") * 64, inch("1"));
}

/// Lengths that look like lengths and are none.
#[test]
fn slips_are_refused() {
    for text in ["-", "+", "3/0", "5'-13\"", "9 1/256", "7 9/4", "1,200 mm", "2 m 3 ft", "1e9", "--3", "3 4"] {
        assert!(Length::parse(text, Units::Inch).is_err(), "{text}");
    }
    for (text, sixteenths) in [
        ("7 3/4", 124),
        ("7-3/4\"", 124),
        ("7 3/4 in", 124),
        ("2'-6\"", 480),
        ("2' 6 1/2\"", 488),
        ("2 ft 6 in", 480),
        ("½", 8),
        ("-1 1/2", -24),
        ("5′ 3″", 1008),
    ] {
        assert_eq!(Length::parse(text, Units::Inch), Ok(Length::sixty_fourths(sixteenths * 4)), "{text}");
    }
    assert_eq!(inch("197 mm"), Length::mm(197));
    assert_eq!(inch("19.7 cm"), Length::mm(197));
    assert_eq!(inch("19,7 cm"), Length::mm(197));
    assert_eq!(Length::parse("197", Units::Metric), Ok(Length::mm(197)));
}

fn rules(region: &str) -> StairRules {
    let regions = &CONTENT.flow.questions[CONTENT.flow.question("region").unwrap()].choices;
    let at = regions.iter().position(|r| r.id == region).unwrap();
    CONTENT.stairs.iter().find(|s| s.region == at).unwrap().rules
}

#[test]
fn irc_handrail_and_guard() {
    // IRC R311.7.8: a handrail from 4 risers; R312.1: a guard above 30 in (30 is not above 30)
    let plan = rules("us").plan(inch("30"), None).unwrap();
    assert_eq!((plan.flight.risers, plan.handrail, plan.guard), (4, true, false));
    let plan = rules("us").plan(inch("30 1/16"), None).unwrap();
    assert_eq!((plan.flight.risers, plan.guard), (4, true));
    let plan = rules("us").plan(inch("23 1/4"), None).unwrap();
    assert_eq!((plan.flight.risers, plan.handrail), (3, false));
}

#[test]
fn germany_step_length_rule() {
    // step-length rule: 2 x 170 + 280 = 620 mm, inside 590 to 650
    assert_eq!(rules("germany").faults(Length::mm(170), Length::mm(280)), []);
    assert_eq!(rules("germany").faults(Length::mm(180), Length::mm(300)), [StairFault::Pace]);
}

#[test]
fn uk_two_risers_and_a_going_at_the_limit() {
    // Approved Document K (2013), table 1.1: 750 mm in 5 risers of 150, going 250: 2R+G = 550 passes at the limit
    let five = flight(Length::mm(750), Length::mm(150)).unwrap();
    assert_eq!((five.risers, five.riser), (5, Length::mm(150)));
    assert_eq!(rules("uk").faults(Length::mm(150), Length::mm(250)), []);
    assert_eq!(rules("uk").faults(Length::mm(150), Length::mm(249)), [StairFault::Pace]);
}

#[test]
fn two_risers_and_a_going_alone_are_not_enough() {
    // R 210, G 253 gives 673, inside 550 to 700, and still breaks the Australian riser of 190 (HP 2022 11.2)
    assert_eq!(rules("australia").faults(Length::mm(210), Length::mm(253)), [StairFault::RiserHigh]);
    // R 220 with G 220 gives 660 and breaks 42 degrees (Approved Document K)
    assert_eq!(rules("uk").faults(Length::mm(220), Length::mm(220)), [StairFault::Pitch]);
    // so the plan takes a longer going: 220 / tan 42 degrees = 244.3 mm
    let plan = rules("uk").plan(Length::mm(660), None).unwrap();
    assert_eq!(plan.flight.riser, Length::mm(220));
    assert!(plan.tread > Length::mm(244) && plan.tread < Length::mm(245), "{}", plan.tread.as_mm());
}

#[test]
fn stone_slabs_that_do_not_come_out_even() {
    // derived: 20 in with 6 in slabs is 3 slabs and 2 in left over; 6 2/3 in slabs would come out even
    let spread = rules("us").spread_most.unwrap();
    let three = slabs(inch("20"), inch("6"), spread).unwrap();
    assert_eq!((three.slabs, three.left_over, three.odd_riser, three.even), (3, inch("2"), inch("8"), false));
    // to the step of 1/320 mm
    assert!((three.bedding.unwrap() * 3 - inch("2")).steps().abs() < 3);
    let even = slabs(inch("18 3/8"), inch("6"), spread).unwrap();
    assert_eq!((even.slabs, even.even), (3, true));
    let high = slabs(inch("17"), inch("6"), spread).unwrap();
    assert_eq!((high.slabs, high.left_over, high.bedding, high.even), (3, -inch("1"), None, false));
}

/// Every limit that can fail a plan, and some that advise, against facts.md: bound, basis, and both sides of
/// the bound and exactly on it. The figures are written out here a second time on purpose.
#[test]
fn limits_row_by_row() {
    use crate::support::CONTENT;
    use wallfoot::flow::Kind;
    use wallfoot::wall::{Sense, Status, judge};
    // id, bound, basis; sources stand in the row and in docs/questions.md
    let rows = [
        ("weep_screed_paving", "2 in", "reported"),         // IRC R703.7.2.1
        ("weep_screed_earth", "4 in", "reported"),          // the same
        ("adhered_stone_paving", "2 in", "reported"),       // R703.12.1
        ("foundation_above_grade_us", "6 in", "published"), // R404.1.6
        ("fall_paving_us", "2 %", "published"),             // R401.3
        ("fall_pavers_us", "1.5 %", "reported"),            // industry tech note
        ("landing_width_us", "0 in", "published"),          // R311.3
        ("step_rise_us", "7 3/4 in", "published"),          // R311.7.5
        ("tread_depth_us", "10 in", "published"),           // R311.7.5
        ("step_rise_uk", "220 mm", "published"),            // Approved Document K
        ("step_rise_au", "190 mm", "reported"),             // HP 2022 11.2
        ("tread_depth_uk", "220 mm", "published"),
        ("tread_depth_au", "240 mm", "reported"),
    ];
    let mut found = 0;
    for (id, bound, basis) in rows {
        let Some(limit) = CONTENT.limits.iter().find(|l| l.id == id) else { continue };
        found += 1;
        let expected = match CONTENT.vocabulary.name(limit.measure).kind {
            Kind::Slope => Slope::parse(bound).unwrap().parts(),
            _ => inch(bound).steps(),
        };
        assert_eq!((limit.bound, limit.origin.basis.word()), (expected, basis), "{id}");
    }
    assert!(found >= 9, "{found} of the rows are there");
    for limit in &CONTENT.limits {
        let step = 508; // 1/16 in, or 0.00005 % of a slope
        let (below, above) = (limit.bound - step, limit.bound + step);
        let (bad, good) = if limit.sense == Sense::AtLeast { (below, above) } else { (above, below) };
        let at = |n| judge(limit.sense, limit.bound, n, n);
        assert_eq!(
            (at(bad), at(limit.bound), at(good)),
            (Status::Fails, Status::Passes, Status::Passes),
            "{}",
            limit.id
        );
        // with a measuring error, exactly on the limit is too close to call
        assert_eq!(judge(limit.sense, limit.bound, below, above), Status::Close, "{}", limit.id);
    }
}

/// PS 20 (American Softwood Lumber Standard): dressed depths 5.5, 7.25, 9.25 and 11.25 in; a sill plate 1.5 in.
/// The bottom of the sill lies a usual floor and threshold (1-1/2 in, practice), the joist and the plate below.
#[test]
fn wood_line_from_the_joists() {
    use crate::support::{CONTENT, with};
    use wallfoot::wall::Level;
    for (size, depth) in
        [("two_by_six", "5 1/2"), ("two_by_eight", "7 1/4"), ("two_by_ten", "9 1/4"), ("two_by_twelve", "11 1/4")]
    {
        let answers = with(crate::must_hold::SOUND, &format!("wood_below_mark: not sure\njoist_size: {size}"));
        let assessment = CONTENT.assess(&answers, Units::Inch);
        let height = assessment.site.height(Level::Mark, Level::Wood).unwrap();
        assert_eq!(height.up, inch(depth) + inch("1 1/2") + inch("1 1/2"));
        assert!(height.is_derived());
        assert_eq!(height.tolerance(CONTENT.per_reading), inch("1"));
    }
}

/// Industry coursing table (1994): modular brick, 3 courses to 8 in; engineer brick, 5 to 16 in.
#[test]
fn masonry_coursing() {
    use crate::support::CONTENT;
    let gauge = |id: &str| CONTENT.coursing.iter().find(|c| c.id == id).unwrap().gauge;
    for (id, table) in
        [("modular", &[(6, 16), (12, 32), (24, 64), (48, 128)][..]), ("engineer", &[(10, 32), (25, 80), (50, 160)])]
    {
        for (courses, inches) in table {
            let height = Length::inches(*inches);
            assert_eq!(gauge(id).height_of(*courses), height, "{id}");
            assert_eq!(gauge(id).whole_courses_for(height), *courses, "{id}");
            // a hair more takes another row
            assert_eq!(gauge(id).whole_courses_for(height + Length::sixty_fourths(1)), courses + 1, "{id}");
        }
    }
}
