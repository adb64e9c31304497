//! A table of days, and one of hours of wind and rain.
#![no_main]

use wallfoot::commands::read_hours;
use wallfoot::work::Record;
use wallfoot_fuzz::bounded;

libfuzzer_sys::fuzz_target!(|text: &str| bounded(|| {
    match Record::parse(text) {
        Ok(record) => {
            let days = record.days();
            assert!(!days.is_empty() && days.len() <= text.split(['\n', '\r']).count());
            assert!(days.windows(2).all(|two| two[0].date.tomorrow().is_ok_and(|next| next == two[1].date)));
            assert!(days.iter().all(|day| day.low <= day.high && day.rain >= 0));
        }
        Err(error) => _ = error.to_string(),
    }
    match read_hours(text, 180.0) {
        Ok(exposure) => assert!(exposure.hours > 0 && exposure.index.is_finite() && exposure.index >= 0.0),
        Err(error) => _ = error.to_string(),
    }
}));
