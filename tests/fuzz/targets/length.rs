//! A length as it is typed. What is read, said exactly and read again is the same length in both systems of units; and what is shown
//! reads back as what is shown.
#![no_main]

use wallfoot::units::{Length, Slope, Temperature, Units};
use wallfoot_fuzz::bounded;

/// Whether an inch more is no length any more.
fn is_at_the_end(length: Length) -> bool {
    let inch = Length::inches(1).steps() * length.steps().signum();
    Length::parse(&Length::from_steps(length.steps() + inch).exact(), Units::Inch).is_err()
}

libfuzzer_sys::fuzz_target!(|text: &str| bounded(|| {
    for units in [Units::Inch, Units::Metric] {
        match Length::parse(text, units) {
            Ok(length) => {
                let exact = length.exact();
                for again in [Units::Inch, Units::Metric] {
                    assert_eq!(Length::parse(&exact, again), Ok(length), "{exact}");
                    let shown = length.show(again);
                    let back = Length::parse(&shown, units);
                    // what is shown is rounded, so at the very end of what is taken it may lie beyond
                    assert!(back.as_ref().map(|back| back.show(again)) == Ok(shown) || is_at_the_end(length));
                }
                let up = length.up_to_shown(units);
                assert!(up >= length);
                assert!(Length::parse(&up.show(units), units) == Ok(up) || is_at_the_end(length));
            }
            Err(error) => assert!(error.to_string().len() < 200 + 4 * text.len()),
        }
    }
    if let Ok(slope) = Slope::parse(text) {
        for units in [Units::Inch, Units::Metric] {
            let _ = slope.show(units);
        }
    }
    if let Some(degrees) = Temperature::parse(text) {
        let _ = degrees.show(Units::Inch);
    }
}));
