//! The quantities as CSV, and the days as iCalendar.

use super::CommandError;
use crate::judge::{Forecast, Job, totals};
use jiff::civil::Date;
use std::fmt::Write;

/// The quantities as a table: each stretch of wall, then all of them under `total`.
pub(super) fn csv(job: &Job<'_, '_>) -> Result<String, CommandError> {
    table(job).map_err(|e| CommandError::Input(e.to_string()))
}

fn table(job: &Job<'_, '_>) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["stretch", "id", "material", "who", "amount", "unit", "formula", "waste_percent"])?;
    let lists = job.quantities();
    for ((name, assessment), list) in job.stretches().iter().zip(&lists) {
        for q in list {
            let (amount, waste) = (format!("{:.2}", q.amount.value), q.waste.to_string());
            let formula = assessment.formula_words(q);
            let (row, unit) = (q.row, q.amount.unit.word());
            writer.write_record([name, row.id.as_str(), &row.what, row.who.word(), &amount, unit, &formula, &waste])?;
        }
    }
    if lists.len() > 1 {
        for (row, amount) in totals(&lists) {
            let (value, unit) = (format!("{:.2}", amount.value), amount.unit.word());
            writer.write_record(["total", row.id.as_str(), &row.what, row.who.word(), &value, unit, "", ""])?;
        }
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The calendar by RFC 5545: one event for each stretch of days of an activity.
pub(super) fn ics(job: &Job<'_, '_>, forecast: &Forecast<'_>, changed: &str) -> Result<String, CommandError> {
    let assessment = job.lead();
    let Some(plan) = job.plan() else {
        return Err(CommandError::Input("this visit calls for no work, so there is no calendar".to_owned()));
    };
    let Some(booked) = job.days(&plan, forecast).booked else {
        return Err(CommandError::Input("the weather file ends before the work does; give more days".to_owned()));
    };
    let days = forecast.record.days();
    let stamp = changed.parse::<Date>().unwrap_or(days[forecast.start].date);
    let basic = |date: Date| format!("{:04}{:02}{:02}", date.year(), date.month(), date.day());
    let mut out = String::new();
    let mut line = |text: &str| fold(&mut out, text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//wallfoot//plan//EN");
    for (i, (booking, planned)) in booked.bookings.iter().zip(&plan.activities).enumerate() {
        let mut days_left = &booking.days[..];
        let mut part = 0;
        while let Some(first) = days_left.first().copied() {
            // days that follow each other are one event
            let count = days_left.iter().enumerate().take_while(|(n, day)| **day == first + n).count();
            let last = days[first + count - 1].date.tomorrow().unwrap_or(days[first + count - 1].date);
            part += 1;
            line("BEGIN:VEVENT");
            line(&format!("UID:{}-{part}-{}@wallfoot", planned.row.id, i + 1));
            line(&format!("DTSTAMP:{}T000000Z", basic(stamp)));
            line(&format!("DTSTART;VALUE=DATE:{}", basic(days[first].date)));
            line(&format!("DTEND;VALUE=DATE:{}", basic(last)));
            let who = assessment.content.word(&format!("who.{}", planned.row.who.word())).to_owned();
            line(&format!("SUMMARY:{}", escape(&format!("{who}: {}", assessment.fill(&planned.row.what)))));
            line("END:VEVENT");
            days_left = &days_left[count..];
        }
    }
    line("END:VCALENDAR");
    Ok(out)
}

/// Text of a property: commas, semicolons, backslashes and line ends are escaped (RFC 5545, 3.3.11).
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ',' | ';' => {
                out.push('\\');
                out.push(c);
            }
            '\n' => out.push_str("\\n"),
            _ => out.push(c),
        }
    }
    out
}

/// A content line, folded after 75 bytes, ended by CR LF (RFC 5545, 3.1).
fn fold(out: &mut String, text: &str) {
    let mut room = 75;
    for c in text.chars() {
        if c.len_utf8() > room {
            out.push_str("\r\n ");
            room = 74;
        }
        room -= c.len_utf8();
        let _ = out.write_char(c);
    }
    out.push_str("\r\n");
}
