//! Values from outside the project, each with its source.

use crate::support::{CONTENT, with};
use wallfoot::units::{Length, LengthError, Slope, Units};
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
    for text in
        ["-", "+", "3/0", "5'-13\"", "9 1/256", "7 9/4", "1,200 mm", "2 m 3 ft", "1e9", "--3", "3 4", "1/3", "2 2/7 in"]
    {
        assert!(Length::parse(text, Units::Inch).is_err(), "{text}");
    }
    // where lengths are millimetres, a fraction without a unit is asked about
    for text in ["7 3/4", "1/2"] {
        assert!(matches!(Length::parse(text, Units::Metric), Err(LengthError::BareFraction { .. })), "{text}");
        assert_eq!(Length::parse(&format!("{text} in"), Units::Metric), Length::parse(text, Units::Inch));
    }
    // the full stop of an abbreviation, with and without a space behind it
    assert_eq!(inch("4 ft.6 in."), inch("54 in"));
    assert_eq!(inch("4 ft .6 in"), inch("48.6 in"));
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

/// A rise of 900 mm in each of four countries, from the published figures; the division anyone can redo.
#[test]
fn nine_hundred_millimetres_in_four_countries() {
    // region, tread wanted, (risers, riser, tread), handrail, guard, source
    let cases = [
        // TGD K 2014: rise <= 220, going >= 220, 42 degrees (180 over 220 is 39.3); more than three steps; guard above 600 mm
        ("ireland", (5, 180, 220), true, true),
        // D1/AS1 table 6: riser <= 190, tread >= 280; F4.3.1: a barrier from 1 m on
        ("new_zealand", (5, 180, 280), true, false),
        // DIN 18065: rise 140 to 200, tread 230 to 370, 2 x 180 + 230 = 590; state laws: a guard above 1 m
        ("germany", (5, 180, 230), true, false),
        // Housing Provisions 2022 11.2: riser 115 to 190, going 240 to 355, 2 x 180 + 240 = 600; 11.3: 1 m
        ("australia", (5, 180, 240), false, false),
    ];
    for (region, (risers, riser, tread), handrail, guard) in cases {
        let plan = rules(region).plan(Length::mm(900), None).unwrap();
        assert_eq!(
            (plan.flight.risers, plan.flight.riser, plan.tread),
            (risers, Length::mm(riser), Length::mm(tread)),
            "{region}"
        );
        assert_eq!((plan.handrail, plan.guard), (handrail, guard), "{region}");
    }
    // TGD K: 660 mm is three risers of 220, and 42 degrees want a going of 244.3 mm; three steps want no handrail
    let plan = rules("ireland").plan(Length::mm(660), None).unwrap();
    assert_eq!((plan.flight.risers, plan.handrail, plan.guard), (3, false, true));
    assert!(plan.tread > Length::mm(244) && plan.tread < Length::mm(245), "{}", plan.tread.as_mm());
    // DIN 18065: three risers in a row are a stair
    assert!(rules("germany").plan(Length::mm(600), None).unwrap().handrail);
    assert!(!rules("germany").plan(Length::mm(400), None).unwrap().handrail);
    // D1/AS1 table 6: 190 over 270 breaks the tread, 195 over 280 the riser
    assert_eq!(rules("new_zealand").faults(Length::mm(190), Length::mm(270)), [StairFault::TreadShort]);
    assert_eq!(rules("new_zealand").faults(Length::mm(195), Length::mm(280)), [StairFault::RiserHigh]);
    // DIN 18065: 130 mm is too low; 2 x 200 + 260 = 660 is too long a pace
    assert_eq!(rules("germany").faults(Length::mm(130), Length::mm(350)), [StairFault::RiserLow]);
    assert_eq!(rules("germany").faults(Length::mm(200), Length::mm(260)), [StairFault::Pace]);
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

/// Every limit that can fail a plan: id, measure, rule, basis. The figures are written out here a second time on
/// purpose, from the collection of published figures and not from the content.
const LIMITS_THAT_FAIL: &[(&str, &str, &str, &str)] = &[
    // United States: IRC 2018
    ("weep_screed_paving", "exit.above_finish", ">= 2 in", "reported"), // R703.7.2.1
    ("weep_screed_planter", "exit.above_finish", ">= 4 in", "reported"), // the same above earth
    ("adhered_stone_paving", "exit.above_finish", ">= 2 in", "reported"), // R703.12.1
    ("adhered_stone_own_foundation", "exit.above_finish", ">= 1/2 in", "reported"), // the same
    ("adhered_stone_planter", "exit.above_finish", ">= 4 in", "reported"), // the same above earth
    ("wood_siding_paving", "exit.above_finish", ">= 2 in", "published"), // R317.1 item 5
    ("log_paving_us", "exit.above_finish", ">= 2 in", "published"), // R317.1 item 5: the lowest log is wood of a wall
    ("log_planter_us", "exit.above_finish", ">= 6 in", "published"), // the same above earth
    ("wood_siding_planter", "exit.above_finish", ">= 6 in", "published"), // R317.1 item 5: siding above earth
    ("foam_edge_termites_us", "exit.above_finish", ">= 6 in", "reported"), // R318.4
    ("wall_wood_paving", "wood.above_finish", ">= 2 in", "published"), // the same
    ("wall_wood_planter", "wood.above_finish", ">= 6 in", "published"), // the same above earth
    ("vinyl_paving", "exit.above_finish", ">= 1/2 in", "reported"), // R703.3.1
    ("vinyl_planter", "exit.above_finish", ">= 6 in", "reported"),  // the same above earth
    // gravel and open ground are no paving: the figure of the same section for ground
    ("weep_screed_loose", "exit.above_finish", ">= 4 in", "reported"), // R703.7.2.1
    ("adhered_stone_loose", "exit.above_finish", ">= 4 in", "reported"), // R703.12.1
    ("wood_siding_loose", "exit.above_finish", ">= 6 in", "published"), // R317.1 item 5
    ("wall_wood_loose", "wood.above_finish", ">= 6 in", "published"),  // the same
    ("log_loose_us", "exit.above_finish", ">= 6 in", "published"),     // the same
    ("vinyl_loose", "exit.above_finish", ">= 6 in", "reported"),       // R703.3.1
    ("fibre_cement_loose", "exit.above_finish", ">= 6 in", "reported"), // makers, above ground
    ("fibre_cement_paving", "exit.above_finish", ">= 2 in", "reported"), // makers' instructions
    ("fibre_cement_slab_by_maker", "exit.above_finish", ">= 1 in", "reported"), // some makers
    ("fibre_cement_planter", "exit.above_finish", ">= 6 in", "reported"), // makers' instructions
    ("maker_clearance", "exit.above_maker", ">= 0 in", "reported"),    // the maker's own figure, an answer of the visit
    ("eifs_finish", "exit.above_finish", ">= 6 in", "published"),      // R703.9
    ("florida_inspection_slab", "exit.above_finish", ">= 4 in", "reported"), // Florida residential code
    ("threshold_egress_swing", "threshold.above_finish", "<= 1 1/2 in", "published"), // R311.3.1
    ("threshold_egress_no_swing", "threshold.above_finish", "<= 7 3/4 in", "published"), // the same
    ("threshold_other_door", "threshold.above_finish", "<= 7 3/4 in", "published"), // R311.3.2
    ("second_door_step", "other_door.most_step", "<= 7 3/4 in", "published"), // the same
    ("threshold_step_220", "threshold.above_finish", "<= 220 mm", "reported"), // Approved Document K Table 1.1, TGD K Table 1
    ("second_door_step_220", "other_door.most_step", "<= 220 mm", "reported"), // the same
    ("threshold_step_190", "threshold.above_finish", "<= 190 mm", "reported"), // Housing Provisions 11.2, D1/AS1 Table 6
    ("second_door_step_190", "other_door.most_step", "<= 190 mm", "reported"), // the same
    ("threshold_step_200", "threshold.above_finish", "<= 200 mm", "reported"), // DIN 18065
    ("second_door_step_200", "other_door.most_step", "<= 200 mm", "reported"), // the same
    ("top_landing_left_out", "door.risers", "<= 2", "published"),              // the same
    ("landing_depth_us", "landing_depth", ">= 36 in", "published"),            // R311.3
    ("landing_width_us", "landing.spare_width", ">= 0 in", "published"),       // the same: as wide as the door
    ("fall_door_landing_us", "fall.away", "<= 1/4 in per ft", "published"),    // the same
    ("stair_width_us", "feature_length", ">= 36 in", "published"),             // R311.7.1
    ("slab_rise_us", "slab_thickness", "<= 7 3/4 in", "published"),            // R311.7.5
    ("step_rise_us", "step_rise", "<= 7 3/4 in", "published"),                 // the same
    ("tread_depth_us", "tread_depth", ">= 10 in", "published"),                // the same
    ("fall_treads_us", "fall.away", "<= 1:48", "reported"),                    // R311.7.7
    ("fall_paving_us", "fall.away", ">= 2 %", "published"),                    // R401.3
    ("ramp_slope_egress_us", "ramp_run", ">= 12", "reported"),                 // R311.8.1
    ("ramp_slope_us", "ramp_run", ">= 8", "reported"),                         // R311.8.1
    ("ramp_landing_us", "landing_depth", ">= 36 in", "published"),             // R311.3
    ("gas_vent_us", "gas_vent.above_finish", ">= 12 in", "reported"),          // G2427.8
    ("gas_pipe_us", "gas_meter.above_finish", ">= 3 1/2 in", "reported"),      // G2415.9
    // Canada: NBC
    ("wood_cladding_ca", "exit.above_finish", ">= 200 mm", "published"), // 9.27.2.4
    ("stucco_ca", "exit.above_finish", ">= 200 mm", "reported"),         // 9.28.1.4
    ("foundation_ca", "wood.above_finish", ">= 150 mm", "published"),    // 9.15.4.6
    ("log_foundation_ca", "exit.above_finish", ">= 150 mm", "published"), // 9.15.4.6
    // United Kingdom
    ("log_damp_course_uk", "exit.above_finish", ">= 150 mm", "published"), // Approved Document C 5.5
    ("damp_course_uk", "exit.above_finish", ">= 150 mm", "published"),     // Approved Document C 5.5
    ("damp_course_frame_uk", "wood.above_finish", ">= 150 mm", "published"), // the same
    ("fall_paving_uk", "fall.away", ">= 1:80", "reported"),                // BS 7533
    ("ramp_slope_uk", "ramp_run", ">= 12", "reported"),                    // Approved Document K, 2.1
    ("ramp_slope_ie", "ramp_run", ">= 12", "reported"),                    // TGD M 3.1.2.4
    ("slab_rise_uk", "slab_thickness", "<= 220 mm", "published"),          // Approved Document K, table 1.1
    ("step_rise_uk", "step_rise", "<= 220 mm", "published"),               // the same
    ("tread_depth_uk", "tread_depth", ">= 220 mm", "published"),           // the same
    ("steps_pace_least_uk", "steps.pace", ">= 550 mm", "published"),       // the same
    ("steps_pace_most_uk", "steps.pace", "<= 700 mm", "published"),        // the same
    ("steps_pitch_uk", "steps.pitch", "<= 42", "published"),               // the same
    ("level_threshold_uk", "threshold.above_finish", "<= 15 mm", "reported"), // Approved Document M, quoted
    ("gas_vent_uk", "gas_vent.above_finish", ">= 300 mm", "reported"),     // BS 5440-1
    // Ireland: TGD K 2014
    ("slab_rise_ie", "slab_thickness", "<= 220 mm", "reported"), // table 1, quoted
    ("step_rise_ie", "step_rise", "<= 220 mm", "reported"),      // the same
    ("tread_depth_ie", "tread_depth", ">= 220 mm", "reported"),  // the same
    ("level_threshold_ie", "threshold.above_finish", "<= 15 mm", "reported"), // TGD M, told
    ("steps_pitch_ie", "steps.pitch", "<= 42", "reported"),      // the same
    // Australia: Housing Provisions 2022
    ("level_threshold_au", "threshold.above_finish", "<= 5 mm", "reported"), // Standard for Livable Housing Design 2.2, quoted
    ("landing_depth_au", "landing_depth", ">= 750 mm", "reported"),          // 11.2.5, quoted
    ("slab_paved_away_au", "wood.above_finish", ">= 50 mm", "published"),    // 3.3.3
    ("slab_not_away_au", "wood.above_finish", ">= 100 mm", "published"),     // the same
    ("slab_other_au", "wood.above_finish", ">= 150 mm", "reported"),         // the same; this case is reported
    ("slab_general_au", "wood.above_finish", ">= 150 mm", "reported"),       // the same
    ("cladding_paved_away_au", "exit.above_finish", ">= 50 mm", "reported"), // 7.5.7
    ("cladding_not_away_au", "exit.above_finish", ">= 100 mm", "reported"),  // the same
    ("cladding_other_au", "exit.above_finish", ">= 150 mm", "reported"),     // the same
    ("cladding_general_au", "exit.above_finish", ">= 150 mm", "reported"),   // the same
    ("damp_course_roofed_au", "exit.above_finish", ">= 50 mm", "reported"),  // AS 3700
    ("damp_course_paved_away_au", "exit.above_finish", ">= 75 mm", "reported"), // the same
    ("damp_course_other_au", "exit.above_finish", ">= 150 mm", "reported"),  // the same
    ("fall_least_au", "fall.away", ">= 1:40", "published"),                  // 3.3.3: 25 mm in the first metre
    ("fall_ramp_au", "fall.away", ">= 1:40", "reported"),                    // 3.3.3, of access paths and ramps
    ("fall_general_au", "fall.away", ">= 1:20", "published"),                // the same: 50 mm
    ("fall_usual_au", "fall.away", ">= 1:20", "published"),                  // the same
    ("termite_zone_au", "exit.above_finish", ">= 75 mm", "reported"),        // AS 3660.1
    ("slab_rise_au", "slab_thickness", "<= 190 mm", "reported"),             // 11.2
    ("slab_rise_least_au", "slab_thickness", ">= 115 mm", "reported"),       // the same
    ("step_rise_au", "step_rise", "<= 190 mm", "reported"),                  // the same
    ("step_rise_least_au", "step_rise", ">= 115 mm", "reported"),            // the same
    ("tread_depth_au", "tread_depth", ">= 240 mm", "reported"),              // the same
    ("tread_depth_most_au", "tread_depth", "<= 355 mm", "reported"),         // the same
    ("steps_pace_least_au", "steps.pace", ">= 550 mm", "reported"),          // the same
    ("steps_pace_most_au", "steps.pace", "<= 700 mm", "reported"),           // the same
    ("panel_space_us", "panel_space", ">= 36 in", "reported"),               // NEC 110.26(A)(1)
    ("gas_vent_au", "gas_vent.above_finish", ">= 300 mm", "reported"),       // AS 5601
    // Germany: DIN 18065 6.1.2, quoted
    ("steps_pace_least_de", "steps.pace", ">= 590 mm", "reported"),
    ("steps_pace_most_de", "steps.pace", "<= 650 mm", "reported"),
    // Germany: DIN 18065, quoted; Landesbauordnungen on the landing behind a door
    ("slab_rise_de", "slab_thickness", "<= 200 mm", "reported"),
    ("step_rise_de", "step_rise", "<= 200 mm", "reported"),
    ("tread_depth_de", "tread_depth", ">= 230 mm", "reported"),
    ("level_threshold_de", "threshold.above_finish", "<= 20 mm", "reported"), // DIN 18040-2 4.3.3.1, quoted
    ("landing_depth_de", "landing.spare_depth", ">= 0 in", "reported"),
    // New Zealand: D1/AS1 table 6, told by a research body's journal
    ("slab_rise_nz", "slab_thickness", "<= 190 mm", "reported"),
    ("step_rise_nz", "step_rise", "<= 190 mm", "reported"),
    ("level_threshold_nz", "threshold.above_finish", "<= 20 mm", "reported"), // NZS 4121, told
    ("tread_depth_nz", "tread_depth", ">= 280 mm", "reported"),
    // New Zealand
    ("floor_paved_nz", "wood.above_finish", ">= 150 mm", "published"), // E2/AS1 fig. 65
    ("floor_veneer_paved_nz", "wood.above_finish", ">= 100 mm", "published"), // the same
    ("cladding_paved_nz", "exit.above_finish", ">= 100 mm", "reported"), // E2/AS1 table 18
    ("floor_loose_nz", "wood.above_finish", ">= 225 mm", "published"), // E2/AS1 fig. 65, unpaved
    ("floor_veneer_loose_nz", "wood.above_finish", ">= 150 mm", "published"), // the same
    ("cladding_loose_nz", "exit.above_finish", ">= 175 mm", "reported"), // E2/AS1 table 18, unpaved
    // Germany
    ("door_step_de", "threshold.above_finish", ">= 150 mm", "reported"), // DIN 18531-1 6.7
    ("door_step_drained_de", "threshold.above_finish", ">= 50 mm", "reported"), // the same, with a drained channel
];

/// Each row of the table is a limit of the content and each limit that can fail a plan is in the table; each fails just
/// on the wrong side of the figure, and on the figure and beyond it passes.
#[test]
fn limits_that_fail_a_plan_row_by_row() {
    use wallfoot::flow::Kind;
    use wallfoot::wall::{Status, judge};
    let rows: Vec<&str> = LIMITS_THAT_FAIL.iter().map(|(id, ..)| *id).collect();
    let limits = CONTENT.limits.iter().filter(|limit| limit.verdict.is_some());
    let not_in_the_table: Vec<&str> = limits.map(|limit| limit.id.as_str()).filter(|id| !rows.contains(id)).collect();
    assert_eq!(not_in_the_table, [""; 0]);
    for (id, measure, rule, basis) in LIMITS_THAT_FAIL.iter().copied() {
        let limit = CONTENT.limits.iter().find(|l| l.id == id).unwrap_or_else(|| panic!("no limit {id}"));
        assert!(limit.verdict.is_some(), "{id} cannot fail a plan");
        assert_eq!(
            (CONTENT.vocabulary.name(limit.measure).text.as_str(), limit.origin.basis.word()),
            (measure, basis),
            "{id}"
        );
        let (sense, figure) = rule.split_once(' ').unwrap();
        // the least step that can be told: 1/16 in, half a millionth of a slope, one of a count
        let (figure, step) = match CONTENT.vocabulary.name(limit.measure).kind {
            Kind::Slope => (Slope::parse(figure).unwrap().parts(), 500),
            Kind::Number => (figure.parse::<i64>().unwrap() * 1000, 1000),
            _ => (inch(figure).steps(), 508),
        };
        let at = |n| judge(limit.sense, limit.bound, n, n);
        let (below, on, above) = (at(figure - step), at(figure), at(figure + step));
        let expected = match sense {
            ">=" => (Status::Fails, Status::Passes, Status::Passes),
            "<=" => (Status::Passes, Status::Passes, Status::Fails),
            other => panic!("{other}"),
        };
        assert_eq!((below, on, above), expected, "{id}");
        // with a measuring error, exactly on the limit is too close to call
        assert_eq!(judge(limit.sense, limit.bound, figure - step, figure + step), Status::Close, "{id}");
    }
}

/// PS 20 (American Softwood Lumber Standard): dressed depths 5.5, 7.25, 9.25 and 11.25 in; a sill plate 1.5 in.
/// The bottom of the sill lies a usual floor and threshold (1-1/2 in, practice), the joist and the plate below.
#[test]
fn wood_line_from_the_joists() {
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

/// A slab of 48 x 16 x 6 in at 170 lb/ft3: 4608 in3 are 2.667 ft3, 453.3 lb, 205.6 kg (arithmetic anyone can redo).
#[test]
fn the_weight_of_a_slab() {
    use wallfoot::wall::slab_pounds;
    let pounds = slab_pounds((inch("48"), inch("16"), inch("6")), 170_000);
    assert!((pounds - 453.333).abs() < 0.01, "{pounds}");

    // the same in a visit: a tread of 12 in and the 4 in that lie under the next slab
    let steps = "feature: stone_slab_steps\nfeature_length: 48 in\ntread_depth: 12 in";
    let shown = |change: &str, fact: &str| {
        let answers = with(crate::must_hold::SOUND, &format!("{steps}\n{change}"));
        let assessment = CONTENT.assess(&answers, Units::Inch);
        assessment.value_in_words(CONTENT.vocabulary.slot(fact).unwrap())
    };
    assert_eq!(shown("slab_thickness: 6 in", "slab.weight_lb").as_deref(), Some("453"));
    assert_eq!(shown("slab_thickness: 6 in", "slab.weight_kg").as_deref(), Some("206"));
    // nobody measured, or no slabs: no weight, and the caution gives none
    assert_eq!(shown("slab_thickness: not sure", "slab.weight_lb"), None);
    assert_eq!(shown("feature: masonry_steps", "slab.weight_lb"), None);
}

/// Years of building by country: the last year that counts and the first that does not.
#[test]
fn years_of_lead_and_asbestos() {
    let cases = [
        // 40 CFR 745.83: target housing is housing constructed prior to 1978
        ("us", "house.lead_era", 1977, 1978),
        // Health Canada, It's Your Health: little concern about paint in homes built and painted in 1991 or later
        ("canada", "house.lead_era", 1990, 1991),
        // from memory: banned for general sale in 1992
        ("uk", "house.lead_era", 1991, 1992),
        // the limit fell to 0.1 % in 1997 (Australian trade pages)
        ("australia", "house.lead_era", 1997, 1998),
        // white lead was banned in 1979 (a New Zealand research body)
        ("new_zealand", "house.lead_era", 1979, 1980),
        // no year found: the latest of the others
        ("ireland", "house.lead_era", 1997, 1998),
        ("germany", "house.lead_era", 1997, 1998),
        // built before the year 2000 (British trade pages; WorkSafe New Zealand; Ireland from memory)
        ("uk", "house.asbestos_era", 1999, 2000),
        ("ireland", "house.asbestos_era", 1999, 2000),
        ("new_zealand", "house.asbestos_era", 1999, 2000),
        // banned on 31 December 2003
        ("australia", "house.asbestos_era", 2003, 2004),
        // banned on 31 October 1993
        ("germany", "house.asbestos_era", 1993, 1994),
        // siding until the early 1980s, insulation until 1990 (a Canadian health partnership)
        ("canada", "house.asbestos_era", 1989, 1990),
        // no ban to rely on: the latest of the others
        ("us", "house.asbestos_era", 2003, 2004),
    ];
    for (region, fact, last, first) in cases {
        for (year, old) in [(last.to_string(), Some("yes")), (first.to_string(), Some("no")), ("not sure".into(), None)]
        {
            let answers = with(crate::must_hold::SOUND, &format!("region: {region}\nyear_built: {year}"));
            let assessment = CONTENT.assess(&answers, Units::Metric);
            let shown = assessment.value_in_words(CONTENT.vocabulary.slot(fact).unwrap());
            assert_eq!(shown.as_deref(), old, "{region} {fact} {year}");
        }
    }
    // older boards beneath the cladding are asked about until the latest of these years
    let latest = CONTENT.eras.iter().filter(|era| era.of == "house.asbestos_era").map(|era| era.before).max();
    assert_eq!(latest, Some(2004), "`older_cladding_under` is shown before this year");
}

/// A country that no row names has no year to rely on: there every house counts. A row for a fact that nobody asks is a
/// mistake, and so is one that holds nowhere.
#[test]
fn a_country_without_a_year_counts_as_old() {
    use crate::mutations::with_change;
    let without = |text: &str| text.replace("regions: [ireland, germany]", "regions: [ireland]");
    let content = with_change("eras.yaml", without).unwrap();
    for (year, old) in [("2020", Some("yes")), ("not sure", Some("yes"))] {
        let answers = with(crate::must_hold::SOUND, &format!("region: germany\nyear_built: {year}"));
        let assessment = content.assess(&answers, Units::Metric);
        let fact = content.vocabulary.slot("house.lead_era").unwrap();
        assert_eq!(assessment.value_in_words(fact).as_deref(), old, "{year}");
    }
    let report =
        with_change("eras.yaml", |text| text.replacen("of: house.lead_era", "of: house.led_era", 1)).unwrap_err();
    assert!(
        report.contains("the year `lead_us` is for `house.led_era`, which no defined fact with `eras:` is"),
        "{report}"
    );
    let report =
        with_change("eras.yaml", |text| text.replace("regions: [us]\n    before: 1978", "before: 1978")).unwrap_err();
    assert!(report.contains("the year `lead_us` holds in no region"), "{report}");
}
