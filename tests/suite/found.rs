//! What fuzzing found (`tests/fuzz/run`), each as a test.

use crate::support::program;
use std::process::Stdio;
use wallfoot::units::{Length, Slope, Temperature, Units};

/// A temperature that ends in a letter of more than one byte was cut in the middle of it, and one beyond all weather ran over.
#[test]
fn a_temperature_of_strange_letters_is_none() {
    for text in
        ["½", "40 °", "", "F", "9223372036854775807 C", "9223372036854775807 F", "-92233720368547758 C", "4 \u{212a}"]
    {
        assert_eq!(Temperature::parse(text), None, "{text}");
    }
    assert_eq!(Temperature::parse("40 °F"), Some(Temperature::fahrenheit(40)));
    assert_eq!(Temperature::parse("-4 C"), Some(Temperature::celsius(-4)));
    // so a file of questions with such a one is refused
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("own")).unwrap();
    let need = "weather_needs:\n  - { id: own_need, what: w, at_least: 40 °, source: s, basis: practice }\n";
    std::fs::write(folder.path().join("own/own.yaml"), need).unwrap();
    let output = program(folder.path(), &["prove", "own"]).stdin(Stdio::null()).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.code() == Some(1) && !said.contains("panicked"), "{said}");
}

/// Found by reading beside it: figures of fifteen digits on both sides ran over.
#[test]
fn a_slope_of_many_digits_does_not_run_over() {
    for text in [
        "999999999999999:0.00000000000001",
        "0.00000000000001:999999999999999",
        "999999999999999 %",
        "-999999999999999 %",
    ] {
        let _ = Slope::parse(text).map(|slope| slope.show(Units::Inch));
    }
    assert!(Slope::parse("999999999999999 %").is_err());
    assert_eq!(Slope::parse("1:50").unwrap(), Slope::parse("2 %").unwrap());
}

/// What is shown reads back as what is shown, at the ends of what is taken.
#[test]
fn the_longest_length_reads_back() {
    for text in ["10000 m", "-10000 m", "9999999.999 mm", "32808 ft 4 in", "0.003125 mm", "½"] {
        let length = Length::parse(text, Units::Inch).unwrap();
        assert_eq!(Length::parse(&length.exact(), Units::Metric), Ok(length));
    }
}
