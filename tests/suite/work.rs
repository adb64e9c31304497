//! Order, days and quantities, against values from outside.

use crate::support::WEEK;
use icalendar::{CalendarComponent, Component};
use proptest::prelude::*;
use std::fmt::Write;
use wallfoot::judge::Job;
use wallfoot::units::{Length, Temperature, Units};
use wallfoot::work::{
    Activity, Calendar, Need, Network, OrderError, Reason, Record, ToBook, WeatherError, bags_for, beads_from,
    pieces_with_laps, rolls_for, units_to_cover, whole,
};

fn inch(text: &str) -> Length {
    Length::parse(text, Units::Inch).unwrap()
}

/// Activities by letter: `A6; B2 A` is A of 6, B of 2 after A.
fn network(text: &str) -> (Network, Vec<char>) {
    let parts: Vec<(char, i64, Vec<char>)> = text
        .split(';')
        .map(|part| {
            let mut words = part.split_whitespace();
            let head = words.next().unwrap();
            let name = head.chars().next().unwrap();
            (name, head[1..].parse().unwrap(), words.flat_map(|w| w.chars()).collect())
        })
        .collect();
    let names: Vec<char> = parts.iter().map(|p| p.0).collect();
    let number = |name: &char| names.iter().position(|n| n == name).unwrap();
    let activities =
        parts.iter().map(|(_, hours, after)| Activity { hours: *hours, after: after.iter().map(number).collect() });
    (Network::new(activities.collect()).unwrap(), names)
}

fn path(text: &str) -> (i64, String) {
    let (network, names) = network(text);
    let plan = network.schedule();
    (plan.length, plan.critical().into_iter().map(|i| names[i]).collect())
}

/// Course notes: length 16, path A-B-D-E-G, slack of C and F 1.
#[test]
fn critical_path_of_the_course_notes() {
    let text = "A6; B2 A; C2 A; D3 B; F2 C; E4 DF; G1 E";
    assert_eq!(path(text), (16, "ABDEG".to_owned()));
    let (network, names) = network(text);
    let plan = network.schedule();
    let slack = |name: char| plan.slack(names.iter().position(|n| *n == name).unwrap());
    assert_eq!((slack('C'), slack('F'), slack('A')), (1, 1, 0));
}

/// Course notes: length 39, path A-C-F-H-J.
#[test]
fn critical_path_of_ten_activities() {
    assert_eq!(path("A7; B11 A; C12 A; D9 A; E2 B; F10 BC; G3 C; H2 DEFG; I6 D; J8 HI"), (39, "ACFHJ".to_owned()));
}

/// Textbook, from memory: length 15, path A-C-E-G-H.
#[test]
fn critical_path_of_the_textbook() {
    assert_eq!(path("A2; B3; C2 A; D4 AB; E4 C; F3 C; G5 DE; H2 FG"), (15, "ACEGH".to_owned()));
}

/// Random networks with the answers of `networkx` (`PyPI`); `tests/data/networks.py` made the table.
#[test]
fn random_networks_as_networkx_has_them() {
    let table = include_str!("../data/networks.tsv");
    let mut count = 0;
    for line in table.lines().filter(|l| !l.starts_with('#')) {
        let fields: Vec<&str> = line.split('\t').collect();
        let numbers = |i: usize| fields[i].split_whitespace().map(|n| n.parse::<i64>().unwrap()).collect::<Vec<_>>();
        let mut activities: Vec<Activity> =
            numbers(0).into_iter().map(|hours| Activity { hours, after: Vec::new() }).collect();
        for arrow in fields[1].split_whitespace() {
            let (from, to) = arrow.split_once('-').unwrap();
            activities[to.parse::<usize>().unwrap()].after.push(from.parse().unwrap());
        }
        let plan = Network::new(activities).unwrap().schedule();
        assert_eq!(vec![plan.length], numbers(2), "{line}");
        assert_eq!(plan.earliest, numbers(3), "{line}");
        assert_eq!(plan.latest, numbers(4), "{line}");
        count += 1;
    }
    assert_eq!(count, 60);
}

#[test]
fn circles_and_missing_predecessors_are_told_with_their_chain() {
    let a = |after: &[usize]| Activity { hours: 1, after: after.to_vec() };
    assert_eq!(Network::new(vec![a(&[]), a(&[0, 3]), a(&[1]), a(&[2])]), Err(OrderError::Circle(vec![1, 3, 2, 1])));
    assert_eq!(Network::new(vec![a(&[7])]), Err(OrderError::Missing { activity: 0, after: 7 }));
}

proptest! {
    #![proptest_config(crate::properties::config())]

    /// Nothing before its predecessors; slack is never negative; the critical path is as long as the work.
    #[test]
    fn order_holds(hours in proptest::collection::vec(0i64..20, 1..20), arrows in proptest::collection::vec((0usize..20, 0usize..20), 0..40)) {
        let mut activities: Vec<Activity> = hours.iter().map(|h| Activity { hours: *h, after: Vec::new() }).collect();
        for (a, b) in arrows {
            let (a, b) = (a % hours.len(), b % hours.len());
            if a < b { activities[b].after.push(a); }
        }
        let plan = Network::new(activities.clone()).unwrap().schedule();
        for (i, activity) in activities.iter().enumerate() {
            prop_assert!(plan.slack(i) >= 0);
            for p in &activity.after {
                prop_assert!(plan.earliest[i] >= plan.earliest[*p] + hours[*p]);
                prop_assert!(plan.latest[i] >= plan.latest[*p] + hours[*p]);
            }
        }
        let critical: i64 = plan.critical().iter().map(|i| hours[*i]).sum();
        prop_assert_eq!(critical, plan.length);
    }

    /// More waste never gives less; what is bought covers the strip after its laps.
    #[test]
    fn enough_is_bought(length in 12i64..600, height in 6i64..120, waste in 0i64..40, more in 0i64..20) {
        let rolls = |waste| rolls_for((Length::inches(length), Length::inches(height)), (Length::inches(900), Length::inches(36)), (Length::inches(3), Length::inches(6)), waste).unwrap();
        prop_assert!(rolls(waste + more) >= rolls(waste));
        // what is left of the rolls after their laps is at least the area
        let n = rolls(waste);
        let run = 900 * n - 6 * (n - 1);
        let courses = pieces_with_laps(Length::inches(height), Length::inches(36), Length::inches(3)).unwrap();
        prop_assert!(run >= length * courses);
        prop_assert!(courses * 36 - (courses - 1) * 3 >= height);
        let area = Length::inches(length).by(Length::inches(height));
        let stones = |waste| units_to_cover(area, inch("4").by(inch("8")), waste).unwrap();
        prop_assert!(stones(waste + more) >= stones(waste));
        prop_assert!(stones(0) * 32 >= length * height);
        let volume = area.by(inch("4"));
        prop_assert!(bags_for(volume, 600, waste + more) >= bags_for(volume, 600, waste));
    }

    /// Colder never gives more days on which something can be done.
    #[test]
    fn colder_is_never_better(lows in proptest::collection::vec(-10i64..30, 5..40), colder in 0i64..10, limit in -5i64..20, keep in 0usize..4) {
        let table = |minus: i64| {
            let date = jiff::civil::date(2026, 3, 1);
            let mut text = String::from("date,low,high,rain\n");
            for (i, low) in lows.iter().enumerate() {
                let day = date.saturating_add(jiff::Span::new().days(i64::try_from(i).unwrap()));
                let _ = writeln!(text, "{day},{},{},0", low - minus, low - minus + 8);
            }
            Record::parse(&text).unwrap()
        };
        let need = Need { low: Some(Temperature::celsius(limit)), mean_low: Some(Temperature::celsius(limit)), keep_low: Some((Temperature::celsius(limit - 3), keep)), ..Need::default() };
        let fit = |record: &Record| (0..lows.len()).filter(|i| need.against(record.days(), *i).is_none()).count();
        prop_assert!(fit(&table(colder)) <= fit(&table(0)));
    }
}

// ---- Weather: seattle-weather.csv of the npm package vega-datasets 3.2.1 (NOAA data), committed under tests/data

fn seattle() -> Record {
    Record::parse(include_str!("../data/seattle-weather.csv")).unwrap()
}

/// Date, rain in mm, high, low in Celsius, wind in m/s.
type ByHand = (String, f64, f64, f64, f64);

/// The record read by hand.
fn by_hand() -> Vec<ByHand> {
    include_str!("../data/seattle-weather.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let f: Vec<&str> = line.split(',').collect();
            (
                f[0].to_owned(),
                f[1].parse().unwrap(),
                f[2].parse().unwrap(),
                f[3].parse().unwrap(),
                f[4].parse().unwrap(),
            )
        })
        .collect()
}

/// Rain by year, wet days, frost days, and the most in a day, as published with the data set.
#[test]
fn the_seattle_record_is_read_whole() {
    let record = seattle();
    assert_eq!(record.days().len(), 1461);
    for (year, rain, wet, frost) in
        [(2012, 12260, 177, 18), (2013, 8280, 152, 26), (2014, 12328, 150, 18), (2015, 11392, 144, 10)]
    {
        let days: Vec<_> = record.days().iter().filter(|d| d.date.year() == year).collect();
        assert_eq!(days.iter().map(|d| d.rain).sum::<i64>(), rain);
        assert_eq!(days.iter().filter(|d| d.rain > 0).count(), wet);
        assert_eq!(days.iter().filter(|d| d.low < Temperature::celsius(0)).count(), frost);
    }
    let most = record.days().iter().max_by_key(|d| d.rain).unwrap();
    assert_eq!((most.rain, most.date.to_string().as_str()), (559, "2015-03-15"));
}

/// Both forms of the date; other columns do not matter; Fahrenheit and inches by their names.
#[test]
fn both_forms_of_the_date_and_both_systems() {
    let slash =
        Record::parse("date,precipitation,temp_max,temp_min\n2012/01/01,10.0,12.8,5.0\n2012/01/02,0,10,0\n").unwrap();
    let other = Record::parse("low_f,date,rain_in,high_f\n41,2012-01-01,0.3937,55.04\n32,2012-01-02,0,50\n").unwrap();
    assert_eq!(slash, other);
}

#[test]
fn what_is_wrong_with_a_weather_file() {
    let said = |text: &str| Record::parse(text).unwrap_err().to_string();
    assert_eq!(said("date,low,high\n"), "there is no column `rain`; there is: date, low, high");
    assert_eq!(said("date,low,high,rain\n2026-01-01,1,2,x\n"), "line 2: `x` is no rain");
    assert_eq!(said("date,low,high,rain\n1 May,1,2,0\n"), "line 2: `1 May` is no date");
    assert_eq!(
        said("date,low,high,rain\n2026-01-01,1,2,0\n2026-01-03,1,2,0\n"),
        "line 3: 2026-01-03 does not follow the day before; give every day once, in order"
    );
    assert_eq!(Record::parse("date,low,high,rain\n"), Err(WeatherError::Empty));
    assert_eq!(said("date,low,high,rain\n2026-01-01,1,2,-1\n"), "line 2: `-1` is no rain");
}

/// The limits of membrane, hydraulic cement, mortar and sealant block the days that an independent count blocks: its
/// figures stand here a second time, and it reads the record by itself.
#[test]
fn limits_block_the_right_days_of_the_seattle_record() {
    let (record, days) = (seattle(), by_hand());
    let content = &crate::support::CONTENT;
    let fahrenheit = |celsius: f64| celsius * 9.0 / 5.0 + 32.0;
    // rounding of the conversion is no frost
    let at_least = |celsius: f64, bound: f64| fahrenheit(celsius) >= bound - 1e-9;
    let at_most = |celsius: f64, bound: f64| fahrenheit(celsius) <= bound + 1e-9;
    let dry = |i: usize| days.get(i).is_none_or(|d| d.1 <= 0.0);
    let low = |i: usize, bound: f64| days.get(i).is_none_or(|d| at_least(d.3, bound));
    let high = |i: usize, bound: f64| days.get(i).is_none_or(|d| at_most(d.2, bound));
    let fits: [(&str, &dyn Fn(usize) -> bool); 4] = [
        // makers' instructions, typical: dry, at least 40 F
        ("membrane", &|i| dry(i) && low(i, 40.0)),
        // general guide; maker data: 45 to 90 F, on the day after too
        ("hydraulic_cement", &|i| [i, i + 1].iter().all(|j| low(*j, 45.0) && high(*j, 90.0))),
        // TMS 602: a mean of 40 F, at most 100 F, above 90 F no wind over 8 mph; practice: a day without rain and frost
        ("mortar", &|i| {
            let (mean, wind) = (f64::midpoint(days[i].2, days[i].3), days[i].4);
            let windy = !at_most(days[i].2, 90.0) && wind > 8.0 * 0.44704;
            let kept = [i, i + 1].iter().all(|j| low(*j, 33.0) && dry(*j));
            at_least(mean, 40.0) && high(i, 100.0) && !windy && kept
        }),
        // ASTM C920, C1193: 40 to 90 F; practice: dry
        ("sealant", &|i| dry(i) && low(i, 40.0) && high(i, 90.0)),
    ];
    for (id, by_hand) in fits {
        let need = content.weather_needs.iter().find(|n| n.id == id).unwrap().need;
        let differ: Vec<&str> = (0..days.len())
            .filter(|i| need.against(record.days(), *i).is_none() != by_hand(*i))
            .map(|i| days[i].0.as_str())
            .collect();
        assert_eq!(differ, [""; 0], "{id}");
        let count = (0..days.len()).filter(|i| by_hand(*i)).count();
        assert!(count > 0 && count < days.len(), "{id}: {count}");
    }
}

#[test]
fn tasks_wait_for_dry_days_weekends_and_curing() {
    // Thursday dry, Friday rain, then dry
    let record = Record::parse("date,low,high,rain\n2026-04-02,8,15,0\n2026-04-03,8,15,4\n2026-04-04,8,15,0\n2026-04-05,8,15,0\n2026-04-06,8,15,0\n2026-04-07,8,15,0\n2026-04-08,8,15,0\n2026-04-09,8,15,0\n2026-04-10,8,15,0\n").unwrap();
    let dry = Need { dry: true, ..Need::default() };
    let task = |hours, after: &[usize], cure_days, crew| ToBook {
        hours,
        after: after.to_vec(),
        cure_days,
        need: dry,
        crew,
        ..ToBook::default()
    };
    let tasks = [task(12, &[], 0, 0), task(4, &[0], 2, 0), task(8, &[1], 0, 1)];
    let calendar = Calendar::new(&record, &[], &WEEK[..5], 8);
    let days = |bookings: &[wallfoot::work::Booking]| bookings.iter().map(|b| b.days.clone()).collect::<Vec<_>>();
    // 8 h on Thursday, 4 on Monday, the next 4 on Monday too; two whole days of curing, then Thursday
    assert_eq!(days(&calendar.book(&tasks, &[0, 1, 2], 0, 5).unwrap().bookings), [vec![0, 4], vec![4], vec![7]]);
    assert_eq!(calendar.against(&dry, 1), Some(Reason::Rain));
    assert_eq!(calendar.against(&dry, 2), Some(Reason::DayOff));
    // a holiday on Monday, and weekends worked
    let holiday = Calendar::new(&record, &[jiff::civil::date(2026, 4, 6)], &WEEK[..5], 8);
    assert_eq!(holiday.book(&tasks, &[0, 1, 2], 0, 5).unwrap().bookings[0].days, [0, 5]);
    let weekends = Calendar::new(&record, &[], &WEEK, 8);
    assert_eq!(weekends.book(&tasks, &[0, 1, 2], 0, 5).unwrap().bookings[0].days, [0, 2]);
    // the record ends before the work does
    assert_eq!(calendar.book(&[task(80, &[], 0, 0)], &[0], 0, 5), None);
}

// ---- Quantities

/// Makers' tables: 80 lb yield 0.60 ft3. Slab 10 x 10 ft x 4 in: 33.33 ft3 = 1.235 yd3, 56 bags; 5 in: 70.
#[test]
fn bags_of_concrete() {
    let slab = |thick: &str| inch("10 ft").by(inch("10 ft")).by(inch(thick));
    assert!((slab("4").as_cubic_yards() - 1.235).abs() < 0.0005);
    let bags = |volume, bag| whole(bags_for(volume, bag, 0).unwrap());
    assert_eq!((bags(slab("4"), 600), bags(slab("5"), 600)), (56, 70));
    let yard = inch("36").by(inch("36")).by(inch("36"));
    // 80, 60 and 40 lb
    assert_eq!([600, 450, 300].map(|bag| bags(yard, bag)), [45, 60, 90]);
    assert_eq!(bags_for(yard, 0, 0), None);
}

/// Printed US cost book 2018, p. 42: a slab of 420 ft2, 4 in thick: 5.18 yd3, with 5 % 5.44. (It calls the slab 30 ft by
/// the mean of 22 and 8 ft, which are 450 ft2; its own area is taken.)
#[test]
fn a_slab_of_the_cost_book() {
    let slab = inch("5040 in").by(inch("12")).by(inch("4"));
    assert!((slab.as_cubic_yards() - 5.185).abs() < 0.001);
    assert!((slab.as_cubic_yards() * 1.05 - 5.44).abs() < 0.005);
}

/// 10 x 20 ft in 4 x 8 in pavers: 900, +5 % breakage 45 (derived).
#[test]
fn pavers_of_a_patio() {
    let (area, paver) = (inch("10 ft").by(inch("20 ft")), inch("4").by(inch("8")));
    assert_eq!((units_to_cover(area, paver, 0), units_to_cover(area, paver, 5)), (Some(900), Some(945)));
}

/// Arithmetic from the volume: 10.1 oz is 18.2 in3; beads of 24.3, 16.2 and 12.1 ft.
#[test]
fn beads_from_a_cartridge() {
    let cartridge = inch("18.2").by(inch("1")).by(inch("1"));
    for (width, feet) in [("1/4", 24.3), ("3/8", 16.2), ("1/2", 12.1)] {
        let bead = beads_from(cartridge, inch(width), inch("1/4")).unwrap();
        assert!((bead.as_inches() / 12.0 - feet).abs() < 0.05, "{width}: {}", bead.as_inches() / 12.0);
    }
}

/// Derived: 40 ft in 10 ft sticks with 4 in laps: 5.
#[test]
fn pieces_with_their_laps() {
    assert_eq!(pieces_with_laps(inch("40 ft"), inch("10 ft"), inch("4")), Some(5));
    assert_eq!(pieces_with_laps(inch("10 ft"), inch("10 ft"), inch("4")), Some(1));
    assert_eq!(pieces_with_laps(inch("10 ft 1 in"), inch("10 ft"), inch("4")), Some(2));
    assert_eq!(pieces_with_laps(Length::ZERO, inch("10 ft"), inch("4")), Some(0));
    assert_eq!(pieces_with_laps(inch("1"), inch("4"), inch("4")), None);
}

/// Crack 3/4 x 3/4 in, 30 in long: 16.9 in3; a pound of plug cement fills about 17 (maker data).
#[test]
fn a_crack_and_its_cement() {
    let volume = inch("30").by(inch("3/4")).by(inch("3/4"));
    let cubic_inches = volume.as_cubic_yards() * 46656.0;
    assert!((cubic_inches - 16.9).abs() < 0.03);
    assert!(cubic_inches / 17.0 <= 1.0 && cubic_inches / 17.0 > 0.9);
}

// ---- The plan of a visit

fn planned(args: &[&str]) -> (String, String, i32) {
    use crate::support::{run, top};
    let folder = tempfile::tempdir().unwrap();
    let visit = top().join("questions/demo/back-patio.yaml");
    let output = run(folder.path(), &[&["plan", visit.to_str().unwrap()][..], args].concat());
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout), text(&output.stderr), output.status.code().unwrap())
}

fn seattle_file() -> String {
    crate::support::top().join("tests/data/seattle-weather.csv").to_str().unwrap().to_owned()
}

/// What the command prints is the plan whose text stands with the scenario.
#[test]
fn the_plan_of_the_demo() {
    let (page, error, code) = planned(&[]);
    assert_eq!(code, 0, "{error}");
    let expected = crate::support::top().join("tests/scenarios/demo-back-patio/plan.snap");
    let expected = std::fs::read_to_string(expected).unwrap();
    let text = expected.splitn(3, "---\n").nth(2).unwrap();
    assert_eq!(page.trim_end(), text.trim_end());
}

/// Nothing before its predecessors on the calendar of the record either, and no work on a day that does not fit.
#[test]
fn the_calendar_keeps_the_order_and_the_weather() {
    use crate::support::{CONTENT, scenario, scenarios};
    let record = seattle();
    let (mut arrows, mut weathered) = (0, 0);
    for name in scenarios() {
        let answers = scenario(&name);
        let assessment = CONTENT.assess(&answers, Units::Inch);
        // built work that gives no trouble has nothing to plan
        let Some(plan) = assessment.plan() else { continue };
        let (tasks, order) = Job::one(&assessment).tasks_for_days(&plan);
        let calendar = Calendar::new(&record, &[], &WEEK[..5], 8);
        let bookings = calendar.book(&tasks, &order, 100, 5).unwrap().bookings;
        for (i, task) in tasks.iter().enumerate() {
            for p in &task.after {
                let done = bookings[*p].days.last().unwrap() + tasks[*p].cure_days;
                assert!(*bookings[i].days.first().unwrap() >= done, "{name}: {}", plan.activities[i].row.id);
                // and so in the hours of the plan itself
                let earliest = &plan.schedule.earliest;
                assert!(earliest[i] >= earliest[*p] + tasks[*p].hours, "{name}: {}", plan.activities[i].row.id);
                arrows += 1;
            }
            if task.hours > 0 {
                assert!(bookings[i].days.iter().all(|d| calendar.against(&task.need, *d).is_none()), "{name}");
                weathered += usize::from(task.need != Need::default());
            }
        }
    }
    assert!(arrows > 100 && weathered > 50, "{arrows} {weathered}");
}

#[test]
fn a_record_of_years_tells_the_best_weeks() {
    let (page, error, code) = planned(&["--weather", &seattle_file(), "--start", "2014-05-05"]);
    assert_eq!(code, 0, "{error}");
    for words in [
        "Day by day",
        "2014-05-05",
        "How often it would have worked",
        "Best weeks to start, by their Mondays:",
        "no working day",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(
        planned(&["--weather", &seattle_file(), "--start", "2020-01-01"])
            .1
            .contains("the weather file has no such day")
    );
    assert_eq!(planned(&["--start", "2014-05-05"]).2, 2);
}

/// Both are opened by real readers: the csv crate, and the parser of the icalendar crate.
#[test]
fn quantities_as_csv_and_days_as_ics_open_in_real_readers() {
    let (table, ..) = planned(&["--as", "csv"]);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let amount = |id: &str| rows.iter().find(|r| &r[1] == id).unwrap()[4].parse::<f64>().unwrap();
    // derived by hand: 24 x 14 ft in 4 x 8 in pavers is 1,512, with 5 % breakage 1,587.6
    assert!((amount("pavers") - 1588.0).abs() < 1e-9);
    // 24 ft of flashing in 10 ft pieces with 4 in laps: (288 - 4) / 116 = 2.4
    assert!((amount("flashing") - 3.0).abs() < 1e-9);
    let (calendar, error, code) = planned(&["--as", "ics", "--weather", &seattle_file(), "--start", "2014-05-05"]);
    assert_eq!(code, 0, "{error}");
    assert!(calendar.split("\r\n").all(|line| line.len() <= 75));
    let parsed: icalendar::Calendar = calendar.parse().unwrap();
    let events: Vec<&icalendar::Event> = parsed
        .components
        .iter()
        .filter_map(|c| match c {
            CalendarComponent::Event(event) => Some(event),
            _ => None,
        })
        .collect();
    assert!(events.len() >= 10, "{}", events.len());
    assert!(events.iter().all(|e| e.get_summary().is_some() && e.get_start().is_some() && e.get_uid().is_some()));
    assert!(events.iter().any(|e| e.get_summary().unwrap().contains("Exterior")), "{:?}", events[0].get_summary());
    assert!(planned(&["--as", "ics"]).1.contains("give --weather FILE"));
}

#[test]
fn prices_are_the_users_own() {
    let book = crate::support::top().join("docs/prices-example.yaml");
    let (without, ..) = planned(&[]);
    assert!(!without.contains("Likely") && without.contains("Person-hours"));
    let (page, error, code) = planned(&["--prices", book.to_str().unwrap()]);
    assert_eq!(code, 0, "{error}");
    for words in ["Low", "Likely", "High", "invented", "Allowance for damage", "Not in the price book", "repair later"]
    {
        assert!(page.contains(words), "{words}");
    }
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("prices.yaml");
    for (text, says) in [
        ("labour: { uncle: { low: 1, likely: 2, high: 3 } }", "`uncle` under `labour` is no trade"),
        ("labour: { exterior: { low: 3, likely: 2, high: 3 } }", "in rising order"),
        ("labor: {}", "labor"),
    ] {
        std::fs::write(&file, text).unwrap();
        let (_, error, code) = planned(&["--prices", file.to_str().unwrap()]);
        assert_eq!(code, 1);
        assert!(error.contains(says), "{error}");
    }
}
