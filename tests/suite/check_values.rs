//! Values from outside the project, each with its source.

use wallfoot::units::{Length, Slope, Units};
use wallfoot::wall::flight;

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
