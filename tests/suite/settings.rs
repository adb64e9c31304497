//! The settings of the user: where they are looked for, what they set, what has the last word, and what is wrong with them.

use crate::support::{program, top};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;
use wallfoot::commands::Config;
use wallfoot::units::Units;

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A folder with a visit that names no country, and settings.
fn folder(settings: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let visit = "wallfoot_visit: 1\nanswers:\n  feature_length: 3 m\n";
    fs::write(folder.path().join("v.yaml"), visit).unwrap();
    fs::write(folder.path().join("settings.yaml"), settings).unwrap();
    folder
}

fn with(folder: &Path, args: &[&str]) -> Command {
    let mut program = program(folder, args);
    program.env("WALLFOOT_CONFIG", folder.join("settings.yaml")).stdin(std::process::Stdio::null());
    program
}

/// The report of the visit under the settings.
fn report(folder: &Path, more: &[&str]) -> serde_json::Value {
    let output = with(folder, &[&["advise", "v.yaml", "--as", "json"], more].concat()).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn all_settings_are_read() {
    let text = "# mine\nregion: uk\nunits: metric\nlanguage: es\nletterhead:\n  - Invented Stone Ltd\n  - Nowhere 1\nprices: book.yaml\n";
    let config = Config::parse(text.to_owned(), Path::new("/somewhere/config.yaml")).unwrap();
    assert_eq!(config.region.unwrap().text, "uk");
    assert_eq!(config.units, Some(Units::Metric));
    assert_eq!(config.language.unwrap().text, "es");
    assert_eq!(config.letterhead.unwrap().lines, ["Invented Stone Ltd", "Nowhere 1"]);
    assert_eq!(config.prices.unwrap(), Path::new("/somewhere/book.yaml"));
    for empty in ["", "# nothing yet\n\n"] {
        assert!(Config::parse(empty.to_owned(), Path::new("c.yaml")).unwrap().region.is_none());
    }
}

/// The country of the settings holds where a visit names none, and is no stronger than that; `--region` is.
#[test]
fn a_country_for_visits_without_one() {
    let folder = folder("region: uk\n");
    let country = |more: &[&str]| report(folder.path(), more)["answers"]["region"]["choice"].clone();
    assert_eq!(country(&[]), "uk");
    assert_eq!(country(&["--region", "us"]), "us");
    fs::write(folder.path().join("v.yaml"), "wallfoot_visit: 1\nanswers:\n  region: us\n").unwrap();
    assert_eq!(country(&[]), "us");
    // a new visit does not ask for it, and keeps it
    let output = with(folder.path(), &["ask", "new.yaml"]).output().unwrap();
    let said = text(&output.stderr);
    assert!(!said.contains("In which country"), "{said}");
    assert!(fs::read_to_string(folder.path().join("new.yaml")).unwrap().contains("region: uk"));
}

#[test]
fn units_and_language() {
    let folder = folder("region: us\nunits: metric\nlanguage: es\n");
    let sheet = |more: &[&str]| {
        let args = [&["advise", "v.yaml", "--sheet", "landscaper"], more].concat();
        text(&with(folder.path(), &args).output().unwrap().stdout)
    };
    let (set, inch) = (sheet(&[]), sheet(&["--units", "inch"]));
    assert!(set.contains("3 m") && !inch.contains("3 m "), "{set}\n{inch}");
    assert_ne!(set.lines().next(), sheet(&["--lang", "en"]).lines().next());
    assert_eq!(set.lines().next(), sheet(&["--lang", "es"]).lines().next());
}

/// The price book of the settings, from where the settings lie.
#[test]
fn a_price_book() {
    let folder = folder("prices: books/mine.yaml\n");
    fs::create_dir(folder.path().join("books")).unwrap();
    fs::copy(top().join("docs/prices-example.yaml"), folder.path().join("books/mine.yaml")).unwrap();
    fs::write(folder.path().join("v.yaml"), wallfoot::commands::embedded("demo/back-patio.yaml").unwrap()).unwrap();
    let price = |more: &[&str]| {
        let args = [&["plan", "v.yaml", "--as", "json"], more].concat();
        let output = with(folder.path(), &args).output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        json["plan"]["price"]["currency"].clone()
    };
    assert_eq!(price(&[]), "USD, invented");
    assert_eq!(price(&["--no-prices"]), serde_json::Value::Null);
    fs::write(folder.path().join("other.yaml"), "currency: other\n").unwrap();
    assert_eq!(price(&["--prices", "other.yaml"]), "other");
}

/// The command line names the file, else the variable, else it lies in the folder of settings. Only a named one must be there.
#[test]
fn where_settings_are_looked_for() {
    let folder = folder("units: metric\n");
    let here = folder.path();
    fs::write(here.join("other.yaml"), "units: inch\n").unwrap();
    fs::create_dir_all(here.join("xdg/wallfoot")).unwrap();
    fs::write(here.join("xdg/wallfoot/config.yaml"), "units: metric\n").unwrap();
    fs::write(here.join("v.yaml"), "wallfoot_visit: 1\nanswers:\n  region: us\n  feature_length: 10 ft\n").unwrap();
    let metric = |output: Output| {
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        text(&output.stdout).contains("3.048 m along the wall")
    };
    let args = ["advise", "v.yaml", "--sheet", "homeowner"];
    assert!(metric(with(here, &args).output().unwrap()), "the variable");
    assert!(!metric(with(here, &[&args[..], &["--config", "other.yaml"]].concat()).output().unwrap()), "the option");
    let by_folder = |xdg: &str| {
        let mut program = program(here, &args);
        program.env_remove("WALLFOOT_CONFIG").env("XDG_CONFIG_HOME", here.join(xdg)).env("HOME", here);
        program.output().unwrap()
    };
    assert!(metric(by_folder("xdg")), "the folder of settings");
    assert!(!metric(by_folder("nothing-there")), "none is no mistake");
    assert!(!metric(program(here, &args).output().unwrap()), "an empty variable is none");
    let missing = program(here, &[&args[..], &["--config", "gone.yaml"]].concat()).output().unwrap();
    assert_eq!(missing.status.code(), Some(1));
    let said = text(&missing.stderr);
    assert!(said.contains("cannot read the settings gone.yaml") && said.contains("help: "), "{said}");
}

/// Every mistake with its line and column, what was probably meant, and what to do.
#[test]
fn mistakes_are_told_with_their_place() {
    let mut said = Vec::new();
    for settings in [
        "regoin: us\nunits: inches\nlanguage:\nletterhead: { nmae: x }\n",
        "region: mars\n",
        "language: se\n",
        "region: us\nregion: uk\n",
        "- us\n",
        "region: [us\n",
    ] {
        let folder = folder(settings);
        let output = with(folder.path(), &["advise", "v.yaml"]).output().unwrap();
        assert_eq!((output.status.code(), text(&output.stdout)), (Some(1), String::new()), "{settings}");
        said.push(format!(
            "{settings}---\n{}",
            text(&output.stderr).replace(&folder.path().display().to_string(), "[DIR]")
        ));
    }
    insta::assert_snapshot!(said.join("\n"));
}

/// The settings are named in the command that goes on only if the command line named them.
#[test]
fn the_command_that_goes_on_names_given_settings() {
    let folder = folder("region: uk\n");
    let said = |args: &[&str]| text(&with(folder.path(), args).output().unwrap().stderr);
    assert!(said(&["ask", "a.yaml"]).contains("go on with: wallfoot ask a.yaml\n"));
    assert!(said(&["ask", "b.yaml", "--config", "settings.yaml"]).contains("ask b.yaml --config settings.yaml\n"));
}

/// The day it is where the user is, whether the system knows the names of time zones or not. The two are 25 hours apart, so that it is
/// never the same day in both (tz database, zones `Pacific/Kiritimati` and `Pacific/Pago_Pago`).
#[test]
fn the_day_is_that_of_the_time_zone() {
    let folder = tempfile::tempdir().unwrap();
    let day = |zone: &str| {
        let _ = std::fs::remove_file(folder.path().join("v.yaml"));
        let mut command = crate::support::program(folder.path(), &["ask", "v.yaml"]);
        command.env_remove("SOURCE_DATE_EPOCH").env("TZ", zone).stdin(std::process::Stdio::null());
        command.output().unwrap();
        let started = wallfoot::visit::Visit::read(&folder.path().join("v.yaml")).unwrap().started;
        started.parse::<jiff::civil::Date>().unwrap()
    };
    let (east, west) = (day("Pacific/Kiritimati"), day("Pacific/Pago_Pago"));
    assert!(west < east && east.since(west).unwrap().get_days() <= 2, "{west} and {east}");
    // the same without a name: hours west of Greenwich
    let (east, west) = (day("<+14>-14"), day("<-11>11"));
    assert!(west < east, "{west} and {east}");
}
