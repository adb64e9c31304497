//! Days of the plan: which work fits which day, and when a wall may be opened.

use crate::plan::{demo, plan_of};
use crate::support::{CONTENT, WEEK, top};
use wallfoot::judge::Job;
use wallfoot::units::{Temperature, Units};
use wallfoot::work::{Calendar, Need, Reason, Record, ToBook};

/// A record from a Monday on: one letter a day, `d` dry and mild, `r` rain, `f` frost, `h` hot.
pub(crate) fn record(days: &str) -> Record {
    let monday = jiff::civil::date(2026, 4, 6);
    let rows = days.chars().enumerate().map(|(i, kind)| {
        let date = monday.saturating_add(jiff::Span::new().days(i64::try_from(i).unwrap()));
        let weather = match kind {
            'r' => "10,18,5",
            'f' => "-3,8,0",
            'h' => "24,36,0",
            _ => "10,18,0",
        };
        format!("{date},{weather}\n")
    });
    Record::parse(&format!("date,low,high,rain\n{}", rows.collect::<String>())).unwrap()
}

/// Opening on Monday is possible, but rain would keep the wall open until Saturday; so it waits for three dry days.
#[test]
fn a_wall_is_opened_when_it_can_be_closed() {
    let dry = Need { dry: true, ..Need::default() };
    let task = |hours, after: &[usize]| ToBook { hours, after: after.to_vec(), need: dry, ..ToBook::default() };
    let tasks = [
        ToBook { opens: true, ..task(4, &[]) },
        task(8, &[0]),
        ToBook { closes: true, ..task(8, &[1]) },
        task(2, &[2]),
    ];
    let days = record("drrrrdddddd");
    let calendar = Calendar::new(&days, &[], &WEEK, 8);
    let booked = calendar.book(&tasks, &[0, 1, 2, 3], 0, 3).unwrap();
    let open = booked.open.unwrap();
    assert_eq!((open.could, open.from, open.to, open.days(), open.wet, open.too_long), (0, 5, 7, 3, 0, false));
    assert_eq!(booked.bookings[3].days, [7]);
    // who allows a week opens at once
    let open = calendar.book(&tasks, &[0, 1, 2, 3], 0, 7).unwrap().open.unwrap();
    assert_eq!((open.from, open.to, open.wet), (0, 6, 4));
    // a forecast without a window: the shortest is taken, and said to be too long
    let days = record("drdrdrdrdr");
    let open = Calendar::new(&days, &[], &WEEK, 8).book(&tasks, &[0, 1, 2, 3], 0, 3).unwrap().open.unwrap();
    assert_eq!((open.from, open.to, open.too_long), (0, 4, true));
    // a wall that nobody opens
    assert_eq!(calendar.book(&[task(4, &[])], &[0], 0, 3).unwrap().open, None);
}

/// Marks take so many working days, curing takes days of any kind.
#[test]
fn office_days_are_working_days() {
    let days = record("dddddddddddd");
    let wait = |office_days, cure_days| {
        let tasks = [
            ToBook { hours: 1, office_days, cure_days, ..ToBook::default() },
            ToBook { hours: 1, after: vec![0], crew: 1, ..ToBook::default() },
        ];
        let calendar = Calendar::new(&days, &[jiff::civil::date(2026, 4, 13)], &WEEK[..5], 8);
        // from Thursday on
        calendar.book(&tasks, &[0, 1], 3, 5).unwrap().bookings[1].days.clone()
    };
    // three working days after Thursday the 9th, with Monday the 13th a holiday: Friday, Tuesday, Wednesday
    assert_eq!(wait(3, 0), [9]);
    // three days of curing end on a Sunday, Monday is a holiday
    assert_eq!(wait(0, 3), [8]);
    assert_eq!(wait(0, 1), [4]);
}

/// TMS 602: above 90 F no mortar with wind over 8 mph; above 100 F none at all.
#[test]
fn hot_and_windy_days_are_no_days_for_mortar() {
    let mortar = CONTENT.weather_needs.iter().find(|n| n.id == "mortar").unwrap().need;
    assert_eq!(mortar.windy_high.map(|(high, _)| high), Some(Temperature::fahrenheit(90)));
    let against = |high_f: i64, wind_mph: &str| {
        let text = format!("date,low_f,high_f,rain_in,wind_mph\n2026-07-01,70,{high_f},0,{wind_mph}\n");
        mortar.against(Record::parse(&text).unwrap().days(), 0)
    };
    assert_eq!(against(95, "5"), None);
    assert_eq!(against(95, "9"), Some(Reason::HotWind));
    assert_eq!(against(90, "20"), None);
    assert_eq!(against(101, "0"), Some(Reason::TooHot));
    assert_eq!(against(95, ""), None);
}

#[test]
fn heat_while_curing_counts() {
    let need = Need { keep_high: Some((Temperature::celsius(30), 2)), ..Need::default() };
    let days = record("dddh");
    assert_eq!(need.against(days.days(), 0), None);
    assert_eq!(need.against(days.days(), 1), Some(Reason::HotAfter));
}

#[test]
fn a_weather_file_with_low_and_high_swapped() {
    let error = Record::parse("date,low,high,rain\n2026-01-01,9,2,0\n").unwrap_err().to_string();
    assert_eq!(error, "line 2: the low is above the high; are the columns the right way round?");
}

#[test]
fn days_of_the_week_are_the_users() {
    let weather = top().join("tests/data/seattle-weather.csv");
    let args = |days: &'static str| {
        ["--weather", weather.to_str().unwrap(), "--start", "2014-07-07", "--workdays", days].map(str::to_owned)
    };
    let plan = |days| {
        let args = args(days);
        plan_of(&demo(), &args.iter().map(String::as_str).chain(["--as", "json"]).collect::<Vec<_>>())
    };
    let end = |days| {
        let json: serde_json::Value = serde_json::from_str(&plan(days).out).unwrap();
        json["plan"]["calendar"]["end"].as_str().unwrap().to_owned()
    };
    assert!(end("mon-sun") <= end("mon-sat") && end("mon-sat") <= end("mon-fri") && end("mon-fri") < end("mon,wed"));
    assert_eq!(end("sat-mon"), end("sun,mon,sat"));
    let wrong = plan("mon-doomsday");
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("`doomsday` is no day of the week"), "{}", wrong.err);
}

/// More days never make it less likely; the best weeks are those with the best share.
#[test]
fn chances_grow_with_the_days_allowed() {
    let record = Record::parse(include_str!("../data/seattle-weather.csv")).unwrap();
    let (_, answers, _) = crate::support::visit(&top().join("questions/demo/back-patio.yaml"));
    let assessment = CONTENT.assess(&answers, Units::Inch);
    let job = Job::one(&assessment);
    let plan = job.plan().unwrap();
    let (tasks, order) = job.tasks_for_days(&plan);
    let calendar = Calendar::new(&record, &[], &WEEK[..5], 8);
    let done = |within| calendar.chances(&tasks, &order, within, 5).iter().map(|(.., done)| done).sum::<usize>();
    assert!(done(14) <= done(21) && done(21) <= done(40) && done(14) < done(40), "{} {}", done(14), done(40));
    let weather = top().join("tests/data/seattle-weather.csv");
    let args = ["--weather", weather.to_str().unwrap(), "--within", "20", "--as", "json"];
    let json: serde_json::Value = serde_json::from_str(&plan_of(&demo(), &args).out).unwrap();
    let calendar = &json["plan"]["calendar"];
    assert_eq!(calendar["within_days"], 20);
    let rows = calendar["chances"].as_array().unwrap();
    let share = |r: &serde_json::Value| r["done_in_time"].as_f64().unwrap() / r["starts"].as_f64().unwrap();
    let best = rows.iter().map(share).fold(0.0, f64::max);
    let weeks: Vec<_> = rows.iter().filter(|r| (share(r) - best).abs() < 1e-9).map(|r| r["week"].clone()).collect();
    assert!(best > 0.0);
    assert_eq!(calendar["best_weeks"].as_array().unwrap(), &weeks);
}

/// What must be done in one go is not begun late in a day, nor over a rainy one.
#[test]
fn a_pour_is_not_split() {
    let dry = Need { dry: true, ..Need::default() };
    let tasks = [
        ToBook { hours: 6, ..ToBook::default() },
        ToBook { hours: 7, after: vec![0], need: dry, one_go: true, ..ToBook::default() },
        ToBook { hours: 12, after: vec![1], need: dry, one_go: true, ..ToBook::default() },
    ];
    let book = |days: &str| {
        let days = record(days);
        let booked = Calendar::new(&days, &[], &WEEK, 8).book(&tasks, &[0, 1, 2], 0, 5).unwrap();
        booked.bookings.iter().map(|b| b.days.clone()).collect::<Vec<_>>()
    };
    assert_eq!(book("dddddd"), [vec![0], vec![1], vec![2, 3]]);
    assert_eq!(book("drdrddd"), [vec![0], vec![2], vec![4, 5]]);
}

/// Offices rest at weekends, whenever the crews work.
#[test]
fn marks_take_business_days_even_if_the_crew_works_weekends() {
    let tasks = [
        ToBook { hours: 1, office_days: 3, ..ToBook::default() },
        ToBook { hours: 1, after: vec![0], crew: 1, ..ToBook::default() },
    ];
    let days = record("dddddddddddd");
    // called on Friday: Monday, Tuesday, Wednesday
    assert_eq!(Calendar::new(&days, &[], &WEEK, 8).book(&tasks, &[0, 1], 4, 5).unwrap().bookings[1].days, [9]);
}

/// Work without hours at the end of a record ends it, and is no panic.
#[test]
fn work_of_no_hours() {
    let days = record("dd");
    let tasks = [ToBook { hours: 16, ..ToBook::default() }, ToBook { hours: 0, after: vec![0], ..ToBook::default() }];
    assert_eq!(Calendar::new(&days, &[], &WEEK, 8).book(&tasks, &[0, 1], 0, 5), None);
    // and it waits for a working day like any other
    let idle = [ToBook { hours: 0, ..ToBook::default() }];
    assert_eq!(Calendar::new(&days, &[], &WEEK[1..], 8).book(&idle, &[0], 0, 5).unwrap().bookings[0].days, [1]);
}

#[test]
fn weather_files_that_cannot_be_read_say_why() {
    let said = |text: &str| Record::parse(text).unwrap_err().to_string();
    assert!(said("date;low;high;rain\n2026-01-01;1;2;0\n").contains("commas"));
    assert!(said("date,low,high,rain\n2026-07-01,65,90,0\n").contains("`low_f` and `high_f`"));
    assert!(said("date,low,high,rain\n2026-07-01,15,20,\n").contains("an empty cell says nothing"));
    // warmer than any night was: degrees Fahrenheit, though they look like Celsius
    assert!(said("date,low,high,rain\n2026-07-01,50,60,0\n").contains("`low_f` and `high_f`"));
    assert!(said("date,low,high,rain\n2026-07-01,15,20,4999\n").contains("`rain_in`"));
    // decimal commas move the columns
    assert!(said("date,low,high,rain\n2026-07-01,15,5,20,0\n").contains("line 2 has 5 cells"));
    assert_eq!(said("date,low,temp_min,high,rain\n"), "`low` and `temp_min` are the same column; keep one of them");
    assert_eq!(said("date,Rain,low,high,rain\n"), "`Rain` and `rain` are the same column; keep one of them");
    // a spreadsheet leaves empty cells at the end
    assert!(Record::parse("date,low,high,rain\n2026-07-01,15,20,0,,\n").is_ok());
    assert_eq!(said(""), "there is no day in it");
    // a trace of rain is wet
    let trace = Record::parse("date,low,high,rain\n2026-07-01,15,20,T\n").unwrap();
    assert_eq!(trace.days()[0].rain, 1);
}

// ---- The calendar file

/// An entry of a calendar: key and value of its properties.
type Entry = std::collections::BTreeMap<String, String>;

/// A visit in a file, as a calendar: the text and what the parser of the icalendar crate reads in it.
fn calendar(file: &str, visit: &str, args: &[&str], epoch: &str) -> (String, icalendar::Calendar) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(file), visit).unwrap();
    let weather = top().join("tests/data/seattle-weather.csv");
    let all = ["plan", file, "--weather", weather.to_str().unwrap(), "--start", "2014-05-05", "--as", "ics"];
    let output = crate::support::program(folder.path(), &[&all[..], args].concat())
        .env("SOURCE_DATE_EPOCH", epoch)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    let parsed = text.parse().unwrap();
    (text, parsed)
}

fn entries(calendar: &icalendar::Calendar) -> Vec<Entry> {
    use icalendar::Component;
    let pairs = |event: &icalendar::Event| {
        event.properties().iter().map(|(key, property)| (key.clone(), property.value().to_owned())).collect()
    };
    calendar.events().map(pairs).collect()
}

fn each<'a>(entries: &'a [Entry], key: &str) -> Vec<&'a str> {
    entries.iter().map(|entry| entry[key].as_str()).collect()
}

const EPOCH: &str = "1780000000";

#[test]
fn a_calendar_holds_the_days_and_the_stops_of_the_plan() {
    let (text, parsed) = calendar("v.yaml", &demo(), &[], EPOCH);
    assert!(
        text.ends_with("END:VCALENDAR\r\n") && text.split("\r\n").all(|line| line.len() <= 75 && !line.contains('\n'))
    );
    let entries = entries(&parsed);
    let weather = top().join("tests/data/seattle-weather.csv");
    let args = ["--weather", weather.to_str().unwrap(), "--start", "2014-05-05", "--as", "json"];
    let json: serde_json::Value = serde_json::from_str(&plan_of(&demo(), &args).out).unwrap();
    let activities = json["plan"]["activities"].as_array().unwrap();
    let days = json["plan"]["calendar"]["days"].as_object().unwrap();
    let (mut stops, mut split) = (0, 0);
    for activity in activities {
        let id = activity["id"].as_str().unwrap();
        let own: Vec<&Entry> = entries.iter().filter(|e| e["UID"].contains(&format!("-{id}-"))).collect();
        // all days of the entries are the days of the plan
        let mut found = Vec::new();
        for entry in &own {
            let date = |key: &str| jiff::civil::Date::strptime("%Y%m%d", &entry[key]).unwrap();
            let mut day = date("DTSTART");
            while day < date("DTEND") {
                found.push(day.to_string());
                day = day.tomorrow().unwrap();
            }
        }
        let wanted: Vec<String> = days[&activity["number"].to_string()]
            .as_array()
            .unwrap()
            .iter()
            .map(|day| day.as_str().unwrap().to_owned())
            .collect();
        assert_eq!(found, wanted, "{id}");
        // work stops when the last day is done
        let hold = activity["hold"].as_bool().unwrap();
        for (i, entry) in own.iter().enumerate() {
            let stop = hold && i + 1 == own.len();
            assert_eq!(entry["SUMMARY"].ends_with("(STOP)"), stop, "{id}: {}", entry["SUMMARY"]);
            assert_eq!(entry["DESCRIPTION"].contains("until somebody has looked"), stop);
            assert!(entry["DESCRIPTION"].starts_with("Invented house on Fern Hill, back patio\n"));
        }
        // and that is an entry of its own, on that day
        let stop: Vec<&Entry> = entries.iter().filter(|e| e["UID"].contains(&format!("-{id}.stop@"))).collect();
        assert_eq!(stop.len(), usize::from(hold), "{id}");
        for entry in stop {
            assert!(entry["SUMMARY"].starts_with("STOP: "), "{}", entry["SUMMARY"]);
            assert_eq!(entry["DTEND"], own[own.len() - 1]["DTEND"]);
        }
        stops += usize::from(hold);
        split += usize::from(own.len() > 1);
    }
    assert!(stops > 0 && split > 0, "{stops} {split}");
    assert!(entries.iter().all(|entry| entry["LOCATION"] == "Invented house on Fern Hill, back patio"));
}

#[test]
fn a_calendar_bears_the_name_of_its_visit() {
    let name = "Müller, 7; the \"long\" wall \\ a name that is so long that it has to be folded – at a dash";
    let quoted = name.replace('\\', "\\\\").replace('"', "\\\"");
    let visit = demo().replace("Invented house on Fern Hill, back patio", &format!("\"{quoted}\""));
    let (text, parsed) = calendar("v.yaml", &visit, &[], EPOCH);
    assert_eq!(parsed.property_value("NAME"), Some(name), "{text}");
    assert_eq!(parsed.property_value("X-WR-CALNAME"), Some(name));
    assert!(parsed.get_description().unwrap().starts_with("Exterior trade first"), "{:?}", parsed.get_description());
    // a visit without a name is called after its file
    let nameless = demo().lines().filter(|l| !l.contains("visit_name")).collect::<Vec<_>>().join("\n");
    let (_, parsed) = calendar("patio behind.yaml", &nameless, &[], EPOCH);
    assert_eq!(parsed.property_value("NAME"), Some("patio behind"));
}

/// A calendar program takes an entry of the same UID for the same entry.
#[test]
fn entries_are_known_again() {
    let (text, parsed) = calendar("v.yaml", &demo(), &[], EPOCH);
    let first = entries(&parsed);
    let uids: std::collections::BTreeSet<&str> = each(&first, "UID").into_iter().collect();
    assert_eq!(uids.len(), first.len(), "each entry has its own");
    // the same file gives the same calendar, byte for byte
    assert_eq!(calendar("v.yaml", &demo(), &[], EPOCH).0, text);
    // made later: the stamp is that of the visit, so the bytes are the same
    assert_eq!(text, calendar("v.yaml", &demo(), &[], "1780000061").0);
    assert!(each(&first, "DTSTAMP").iter().all(|stamp| *stamp == "20260412T000000Z"));
    // changed later, on other days and in another language: the same entries with a higher number
    let changed = demo().replace("changed: 2026-04-12", "changed: 2026-04-13");
    let (_, parsed) = calendar("v.yaml", &changed, &["--workdays", "mon-sat", "--lang", "es"], EPOCH);
    let second = entries(&parsed);
    let activity = |uid: &str| uid.rsplit_once('-').unwrap().0.to_owned();
    let known =
        |entries: &[Entry]| each(entries, "UID").into_iter().map(activity).collect::<std::collections::BTreeSet<_>>();
    assert_eq!(known(&first), known(&second));
    // 2000-01-01 to 2026-04-12: 26 years with 7 leap days, then 31 + 28 + 31 + 11 days
    assert!(each(&first, "SEQUENCE").iter().all(|number| *number == (26 * 365 + 7 + 101).to_string()));
    assert!(each(&second, "SEQUENCE").iter().all(|number| *number == (26 * 365 + 7 + 102).to_string()));
    // another file, another name or another start is another visit
    let renamed = demo().replace("Fern Hill, back", "Fern Hill, front");
    let restarted = demo().replace("started: 2026-04-11", "started: 2026-04-10");
    for (file, visit) in [("w.yaml", demo()), ("v.yaml", renamed), ("v.yaml", restarted)] {
        let (_, parsed) = calendar(file, &visit, &[], EPOCH);
        let other = entries(&parsed);
        assert!(each(&other, "UID").iter().all(|uid| !uids.contains(uid)), "{file}");
    }
}

/// Without a day of the last change there is no number, rather than a wrong one.
#[test]
fn a_visit_without_a_day_has_no_sequence() {
    let visit = demo().replace("changed: 2026-04-12", "changed: last week");
    let (_, parsed) = calendar("v.yaml", &visit, &[], EPOCH);
    assert!(entries(&parsed).iter().all(|entry| !entry.contains_key("SEQUENCE")));
}
