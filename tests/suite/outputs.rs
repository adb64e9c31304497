//! `-o`: the ending says the form, and a file is replaced only if wallfoot wrote it in that form.

use crate::support::{run, told, top};
use std::path::Path;

/// A way to write each form there is: arguments without `-o`, and the ending.
const FORMS: [(&[&str], &str); 14] = [
    (&["advise", "v.yaml"], "txt"),
    (&["advise", "v.yaml", "--sheet", "agreement"], "md"),
    (&["advise", "v.yaml"], "html"),
    (&["advise", "v.yaml"], "json"),
    (&["compare", "v.yaml", "--set", "lower=2 in"], "txt"),
    (&["compare", "v.yaml", "--set", "lower=2 in"], "json"),
    (&["log", "v.yaml"], "md"),
    (&["log", "v.yaml"], "json"),
    (&["draw", "v.yaml"], "txt"),
    (&["draw", "v.yaml"], "svg"),
    (&["plan", "v.yaml"], "csv"),
    (&["plan", "v.yaml"], "html"),
    (&["plan", "v.yaml"], "json"),
    (&["plan", "v.yaml", "--weather", "days.csv"], "ics"),
];

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A folder with the demo, its weather, and things of somebody else.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let copy = |from: &str, to: &str| std::fs::copy(top().join(from), folder.path().join(to)).unwrap();
    copy("questions/demo/back-patio.yaml", "v.yaml");
    copy("tests/data/seattle-weather.csv", "days.csv");
    folder
}

fn write(folder: &Path, args: &[&str], file: &str) -> (String, i32) {
    let output = run(folder, &[args, &["-o", file]].concat());
    assert!(output.stdout.is_empty(), "{args:?}");
    (text(&output.stderr), output.status.code().unwrap())
}

#[test]
fn a_second_run_replaces_the_file_of_the_first() {
    let folder = folder();
    for (args, ending) in FORMS {
        let file = format!("{}.{ending}", args[0]);
        let path = folder.path().join(&file);
        let (said, code) = write(folder.path(), args, &file);
        assert_eq!((said, code), (format!("wrote {file}\n"), 0), "{args:?}");
        let first = std::fs::read(&path).unwrap();
        let (said, code) = write(folder.path(), args, &file);
        assert_eq!((said, code), (format!("wrote {file}\n"), 0), "{args:?} again");
        assert_eq!(std::fs::read(&path).unwrap(), first, "{args:?}");
        std::fs::remove_file(path).unwrap();
    }
}

/// The sheet of another visit, in another language, on plain lines: wallfoot wrote it, so it may go.
#[test]
fn what_wallfoot_wrote_is_known_in_any_shape() {
    let folder = folder();
    for ending in ["txt", "md", "html", "json"] {
        let file = format!("sheet.{ending}");
        for args in [&["advise", "v.yaml", "--lang", "es", "--plain"][..], &["log", "v.yaml"], &["plan", "v.yaml"]] {
            let (said, code) = write(folder.path(), args, &file);
            assert_eq!((said.contains(&format!("wrote {file}")), code), (true, 0), "{args:?}: {said}");
        }
    }
}

#[test]
fn a_file_of_somebody_else_is_left_alone() {
    let folder = folder();
    let questions = std::fs::read_to_string(top().join("questions/flows/10-feature.yaml")).unwrap();
    let others: [(&str, Vec<u8>, &str); 15] = [
        ("a visit", std::fs::read(folder.path().join("v.yaml")).unwrap(), "a visit"),
        ("a broken visit", b"wallfoot_visit: 1\nanswers: [\n".to_vec(), "a visit"),
        ("a visit as JSON", br#"{ "wallfoot_visit": 1, "wallfoot_report": 1 }"#.to_vec(), "a visit"),
        ("questions", questions.into_bytes(), "a file of questions or limits"),
        ("limits", b"limits:\n  - id: own\n".to_vec(), "a file of questions or limits"),
        ("a book", std::fs::read(top().join("docs/prices-example.yaml")).unwrap(), "a price book"),
        ("some YAML", b"a: 1\nb: [2]\n".to_vec(), "a YAML file"),
        ("weather", b"date,low,high,rain\n2026-01-01,1,2,0\n".to_vec(), "a CSV table by somebody else"),
        ("a page", b"<!DOCTYPE html><html><head></head></html>".to_vec(), "a web page by somebody else"),
        (
            "a page about us",
            b"<html><style></style><meta name=\"generator\" content=\"wallfoot\"></html>".to_vec(),
            "a web page by somebody else",
        ),
        ("a picture", b"<svg xmlns=\"http://www.w3.org/2000/svg\"></svg>".to_vec(), "an SVG picture by somebody else"),
        (
            "a calendar",
            b"BEGIN:VCALENDAR\r\nPRODID:-//someone//x//EN\r\nEND:VCALENDAR\r\n".to_vec(),
            "a calendar by somebody else",
        ),
        ("a letter", b"Dear neighbour,\nwallfoot says the wall is fine.\n".to_vec(), "a text by somebody else"),
        ("nothing", Vec::new(), "an empty file"),
        ("a photograph", vec![0xff, 0xd8, 0xff, 0xe0, 0, 16], "no text at all"),
    ];
    for (args, ending) in FORMS {
        let file = format!("target.{ending}");
        let path = folder.path().join(&file);
        for (what, bytes, seems) in &others {
            std::fs::write(&path, bytes).unwrap();
            let (said, code) = write(folder.path(), args, &file);
            assert_eq!(code, 1, "{args:?} over {what}: {said}");
            assert!(said.contains(&format!("it seems to be {seems},")), "{args:?} over {what}: {said}");
            assert!(said.contains("choose another name for -o"), "{said}");
            assert_eq!(&std::fs::read(&path).unwrap(), bytes, "{args:?} over {what}");
        }
        std::fs::remove_file(path).unwrap();
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "no stray files");
}

/// What wallfoot wrote in one form is not replaced in another.
#[test]
fn another_form_is_another_file() {
    let folder = folder();
    for (args, ending) in FORMS {
        let (said, code) = write(folder.path(), args, &format!("own.{ending}"));
        assert_eq!(code, 0, "{said}");
        let bytes = std::fs::read(folder.path().join(format!("own.{ending}"))).unwrap();
        let other = if ending == "txt" { "html" } else { "txt" };
        let target = folder.path().join(format!("other.{other}"));
        std::fs::write(&target, &bytes).unwrap();
        let (said, code) = write(folder.path(), &["advise", "v.yaml"], &format!("other.{other}"));
        assert!(code == 1 && said.contains(" by wallfoot, and only "), "{args:?}: {said}");
        assert_eq!(std::fs::read(&target).unwrap(), bytes);
        std::fs::remove_file(target).unwrap();
        std::fs::remove_file(folder.path().join(format!("own.{ending}"))).unwrap();
    }
}

/// A page may quote the mark of a page: what counts stands in its head.
#[test]
fn a_visit_cannot_forge_a_mark() {
    let folder = folder();
    let visit = "wallfoot_visit: 1\nanswers:\n  region: us\n  visit_name: '<!-- wallfoot --> -- wallfoot'\n";
    std::fs::write(folder.path().join("w.yaml"), visit).unwrap();
    let (said, code) = write(folder.path(), &["advise", "v.yaml", "--as", "text"], "w.yaml");
    assert!(code == 1 && said.contains("it seems to be a visit"), "{said}");
    assert_eq!(std::fs::read_to_string(folder.path().join("w.yaml")).unwrap(), visit);
}

#[test]
fn the_ending_says_the_form() {
    let folder = folder();
    for (args, file, starts) in [
        (&["advise", "v.yaml"][..], "a.html", "<!DOCTYPE html>"),
        (&["advise", "v.yaml"], "a.HTM", "<!DOCTYPE html>"),
        (&["advise", "v.yaml"], "a.md", "# "),
        (&["advise", "v.yaml"], "a.json", "{"),
        (&["advise", "v.yaml"], "a.txt", "Before the stone"),
        (&["advise", "v.yaml"], "plain", "Before the stone"),
        (&["advise", "v.yaml", "--as", "html"], "page.xhtml", "<!DOCTYPE html>"),
        (&["draw", "v.yaml"], "a.svg", "<svg "),
        (&["plan", "v.yaml"], "a.csv", "\u{feff}stretch,id,"),
    ] {
        let (said, code) = write(folder.path(), args, file);
        assert_eq!(code, 0, "{said}");
        let written = std::fs::read_to_string(folder.path().join(file)).unwrap();
        assert!(written.starts_with(starts), "{file}: {}", &written[..40]);
    }
}

#[test]
fn a_form_that_does_not_fit_is_refused() {
    let folder = folder();
    let mut said = Vec::new();
    for args in [
        &["advise", "v.yaml", "--as", "json", "-o", "sheet.html"][..],
        &["advise", "v.yaml", "-o", "sheet.csv"],
        &["advise", "v.yaml", "-o", "sheet.docx"],
        &["draw", "v.yaml", "-o", "picture.png"],
        &["plan", "v.yaml", "--as", "csv", "-o", "days.ics"],
        &["advise", "v.yaml", "-o", "days.csv"],
    ] {
        said.push(format!("$ wallfoot {}\n{}", args.join(" "), told(folder.path(), args)));
    }
    insta::assert_snapshot!(said.join("\n"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "nothing was written");
}

/// Standard output is as it was: the mark of a text is for files.
#[test]
fn what_is_printed_has_no_end_mark() {
    let folder = folder();
    let printed = text(&run(folder.path(), &["advise", "v.yaml", "--sheet", "homeowner"]).stdout);
    let (_, code) = write(folder.path(), &["advise", "v.yaml"], "a.txt");
    let written = std::fs::read_to_string(folder.path().join("a.txt")).unwrap();
    assert_eq!((code, written), (0, format!("{}\n\n-- wallfoot\n", printed.trim_end())));
}

/// A link is followed to what it shows, and judged by that.
#[cfg(unix)]
#[test]
fn a_link_to_a_visit_is_a_visit() {
    let folder = folder();
    std::fs::copy(folder.path().join("v.yaml"), folder.path().join("w.yaml")).unwrap();
    std::os::unix::fs::symlink(folder.path().join("w.yaml"), folder.path().join("sheet.txt")).unwrap();
    let before = std::fs::read(folder.path().join("w.yaml")).unwrap();
    let (said, code) = write(folder.path(), &["advise", "v.yaml"], "sheet.txt");
    assert!(code == 1 && said.contains("it seems to be a visit"), "{said}");
    assert_eq!(std::fs::read(folder.path().join("w.yaml")).unwrap(), before);
}
