//! The days of a plan as iCalendar (RFC 5545), for any calendar program.

use super::error::CommandError;
use super::written::PRODID;
use crate::flow::{harmless, one_line};
use crate::judge::{Forecast, Job, Planned};
use crate::visit::Visit;
use icalendar::{Calendar, Component, Event, Property};
use jiff::Timestamp;
use jiff::civil::{Date, date};
use std::path::Path;

/// The day from which sequence numbers count. It only has to be earlier than any visit.
const FIRST_DAY: Date = date(2000, 1, 1);

/// What an entry says about itself, the same in each export of a visit.
#[derive(Debug)]
pub(super) struct Stamp<'a> {
    /// The visit.
    pub(super) visit: &'a Visit,
    /// Its file.
    pub(super) path: &'a Path,
    /// Its name, if it was given one.
    pub(super) name: Option<String>,
    /// Now, for a visit that says no day.
    pub(super) now: Timestamp,
}

impl Stamp<'_> {
    /// What the calendar is called: the name of the visit, or of its file.
    fn title(&self) -> String {
        self.name.clone().unwrap_or_else(|| self.stem())
    }

    fn stem(&self) -> String {
        self.path.file_stem().map_or_else(String::new, |stem| one_line(&stem.to_string_lossy()).into_owned())
    }

    /// A number for the visit: from its file name, its name and the day it was started. Not from its answers, so that the
    /// entries of a changed visit take the place of the old ones. FNV-1a with 64 bits: short, and the same on every machine.
    fn number(&self) -> u64 {
        let parts = [self.stem(), self.name.clone().unwrap_or_default(), self.visit.started.clone()];
        let bytes = parts.iter().flat_map(|part| part.bytes().chain([0]));
        bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
    }

    /// When the entries were made: at the start of the day of the last change, so that the same visit gives the same bytes.
    fn made(&self) -> String {
        let day = [&self.visit.changed, &self.visit.started].into_iter().find_map(|day| day.parse::<Date>().ok());
        day.map_or_else(
            || self.now.strftime("%Y%m%dT%H%M%SZ").to_string(),
            |day| day.strftime("%Y%m%dT000000Z").to_string(),
        )
    }

    /// Where the work is: the name of the visit, with the stretches of wall where there are several.
    fn place(&self, job: &Job<'_, '_>) -> String {
        match job.stretches() {
            [] | [_] => self.title(),
            several => {
                let names: Vec<&str> = several.iter().map(|(name, _)| *name).collect();
                format!("{} ({})", self.title(), names.join(", "))
            }
        }
    }

    /// The day of the last change, as days since [`FIRST_DAY`]: a calendar takes the entry with the higher number. Nothing if
    /// the file has no such day; then there is no number to compare.
    fn sequence(&self) -> Option<u32> {
        let changed = self.visit.changed.parse::<Date>().ok()?;
        u32::try_from(changed.since(FIRST_DAY).ok()?.get_days()).ok()
    }
}

/// The calendar: one entry for each row of days of an activity.
///
/// # Errors
/// Without work, or if the weather file ends before the work does.
pub(super) fn ics(job: &Job<'_, '_>, forecast: &Forecast<'_>, stamp: &Stamp<'_>) -> Result<String, CommandError> {
    let plan = job.plan().ok_or(CommandError::NoWork)?;
    let booked = job.days(&plan, forecast).booked.ok_or(CommandError::WeatherEnds)?;
    let days = forecast.record.days();
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", PRODID));
    calendar.append_property(Property::new("CALSCALE", "GREGORIAN"));
    for (keys, words) in
        [(["NAME", "X-WR-CALNAME"], stamp.title()), (["DESCRIPTION", "X-WR-CALDESC"], job.lead().in_short())]
    {
        for key in keys {
            calendar.append_property(text(key, &words));
        }
    }
    for (booking, planned) in booked.bookings.iter().zip(&plan.activities) {
        let rows = rows(&booking.days);
        for (part, row) in rows.iter().enumerate() {
            let (Some(first), Some(last)) = (row.first(), row.last()) else { continue };
            let mut event = entry(job, planned, stamp, (part + 1, rows.len()));
            event.append_property(day("DTSTART", days[*first].date));
            // the end of a whole day is the next one; the last day that there is has none, and needs none
            if let Ok(after) = days[*last].date.tomorrow() {
                event.append_property(day("DTEND", after));
            }
            calendar.push(event.done());
        }
        if let (true, Some(last)) = (planned.row.hold, booking.days.last()) {
            let mut event = stop_entry(job, planned, stamp);
            event.append_property(day("DTSTART", days[*last].date));
            if let Ok(after) = days[*last].date.tomorrow() {
                event.append_property(day("DTEND", after));
            }
            calendar.push(event.done());
        }
    }
    Ok(folded(&calendar.to_string()))
}

/// The most bytes of a line (RFC 5545, 3.1), without its end.
const LINE: usize = 75;

/// Lines broken anew: where the rest of one has exactly so many bytes, the crate forgets the space that it begins with.
fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / LINE);
    for line in text.replace("\r\n ", "").split_terminator("\r\n") {
        let mut room = LINE;
        for letter in line.chars() {
            if letter.len_utf8() > room {
                out.push_str("\r\n ");
                room = LINE - 1;
            }
            room -= letter.len_utf8();
            out.push(letter);
        }
        out.push_str("\r\n");
    }
    out
}

/// Days that follow each other, as places in the record.
fn rows(days: &[usize]) -> Vec<&[usize]> {
    days.chunk_by(|a, b| a + 1 == *b).collect()
}

/// One entry without its days.
fn entry(job: &Job<'_, '_>, planned: &Planned<'_>, stamp: &Stamp<'_>, (part, parts): (usize, usize)) -> Event {
    let lead = job.lead();
    let row = planned.row;
    let what = lead.fill(&row.what);
    let who = lead.content.word(&format!("who.{}", row.who.word())).to_owned();
    // work stops when all of the activity is done
    let stop = (row.hold && part == parts).then(|| lead.content.word("label.stop"));
    let mut title = format!("{who}: {what}");
    let mut lines = vec![stamp.title(), format!("{who}: {what}")];
    if parts > 1 {
        title = format!("{title} ({part}/{parts})");
    }
    if let Some(stop) = stop {
        title = format!("{title} ({stop})");
        lines.push(lead.word_with("text.calendar_stop", &[("stop", stop)]));
    }
    lines.push(format!("{}: {}", lead.content.word("table.hours"), job.hours_words(planned)));
    event(job, stamp, &format!("{}-{part}", row.id), &title, &lines)
}

/// A hold point as an entry of its own, without its day: the last one of the work that it follows.
fn stop_entry(job: &Job<'_, '_>, planned: &Planned<'_>, stamp: &Stamp<'_>) -> Event {
    let lead = job.lead();
    let (what, stop) = (lead.fill(&planned.row.what), lead.content.word("label.stop"));
    let lines = [stamp.title(), what.clone(), lead.word_with("text.calendar_stop", &[("stop", stop)])];
    event(job, stamp, &format!("{}.stop", planned.row.id), &format!("{stop}: {what}"), &lines)
}

/// What all entries have. `name` tells an entry from the others of the visit.
fn event(job: &Job<'_, '_>, stamp: &Stamp<'_>, name: &str, title: &str, lines: &[String]) -> Event {
    let mut event = Event::new();
    event.append_property(text("UID", &format!("{:016x}-{name}@wallfoot", stamp.number())));
    event.append_property(Property::new("DTSTAMP", stamp.made()));
    event.append_property(text("SUMMARY", title));
    event.append_property(text("DESCRIPTION", &lines.join("\n")));
    event.append_property(text("LOCATION", &stamp.place(job)));
    if let Some(number) = stamp.sequence() {
        event.append_property(Property::new("SEQUENCE", number.to_string()));
    }
    event
}

/// A property that holds text: the crate escapes it if it is told what it is. Nothing in it may act on a terminal or break a
/// line.
fn text(key: &str, words: &str) -> Property {
    let mut property = Property::new(key, harmless(words));
    if key == "NAME" {
        // RFC 7986; the crate knows the type of the older properties only
        property.add_parameter("VALUE", "TEXT");
    }
    property.done()
}

fn day(key: &str, day: Date) -> Property {
    Property::new(key, day.strftime("%Y%m%d").to_string()).add_parameter("VALUE", "DATE").done()
}
