//! Photographs, notes and the head of the user's own sheets.
#![cfg(feature = "photos")]

use crate::html;
use crate::support::{program, top};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use image::{ImageFormat, Rgb, RgbImage};
use std::io::Cursor;
use std::path::Path;

/// What a camera writes beside a picture: that it was held on its side, and where. The letters stand for the place.
fn with_exif(jpeg: &[u8]) -> Vec<u8> {
    let mut exif = b"Exif\0\0II*\0\x08\0\0\0".to_vec();
    exif.extend([1, 0]);
    // orientation 6: turned by a quarter
    exif.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0]);
    exif.extend([0, 0, 0, 0]);
    exif.extend(b"GPS 00.000 N 00.000 W invented");
    let mut out = jpeg[..2].to_vec();
    out.extend([0xff, 0xe1]);
    out.extend(u16::try_from(exif.len() + 2).unwrap().to_be_bytes());
    out.extend(exif);
    out.extend(&jpeg[2..]);
    out
}

fn jpeg(width: u32, height: u32) -> Vec<u8> {
    #[allow(clippy::cast_possible_truncation)] // below 256
    let picture = RgbImage::from_fn(width, height, |x, y| Rgb([(x % 256) as u8, (y % 256) as u8, 90]));
    let mut out = Vec::new();
    picture.write_to(&mut Cursor::new(&mut out), ImageFormat::Jpeg).unwrap();
    out
}

/// A visit with notes: at a finding, at a question, and at nothing.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let visit = std::fs::read_to_string(top().join("questions/demo/back-patio.yaml")).unwrap();
    std::fs::create_dir(path("visit")).unwrap();
    let log = "log:\n- date: 2026-04-11\n  about: FINDING\n  text: The bottom edge\n  photos: [edge.jpg]\n\
               - date: 2026-04-12\n  about: exit_below_mark\n  text: Measured again\n  photos: [gone.jpg, notes.txt, ../secret.png]\n";
    let finding = finding_of(&visit);
    std::fs::write(path("visit/v.yaml"), visit + &log.replace("FINDING", &finding)).unwrap();
    std::fs::write(path("visit/edge.jpg"), with_exif(&jpeg(2400, 1600))).unwrap();
    std::fs::write(path("visit/notes.txt"), "no picture").unwrap();
    let mut png = Vec::new();
    RgbImage::new(9, 9).write_to(&mut Cursor::new(&mut png), ImageFormat::Png).unwrap();
    std::fs::write(path("secret.png"), png).unwrap();
    folder
}

/// A finding of the visit that endangers nobody.
fn finding_of(visit: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("v.yaml"), visit).unwrap();
    let output = program(folder.path(), &["advise", "v.yaml", "--as", "json"]).output().unwrap();
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = json["findings"].as_array().unwrap();
    findings.iter().find(|f| f["danger"] == false).unwrap()["id"].as_str().unwrap().to_owned()
}

fn printed(folder: &Path, args: &[&str]) -> (String, String) {
    let output = program(folder, args).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    assert!(output.status.success(), "{}", text(&output.stderr));
    (text(&output.stdout), text(&output.stderr))
}

/// The pictures of a page: the kind, the bytes.
fn pictures(page: &str) -> Vec<(String, Vec<u8>)> {
    let parts = page.split("src=\"data:image/").skip(1);
    let read = |part: &str| {
        let (kind, rest) = part.split_once(";base64,").unwrap();
        (kind.to_owned(), STANDARD.decode(rest.split('"').next().unwrap()).unwrap())
    };
    parts.map(read).collect()
}

#[test]
fn a_photograph_stands_at_its_finding_without_its_place() {
    let folder = folder();
    let visit = folder.path().join("visit");
    let (page, _) = printed(&visit, &["advise", "v.yaml", "--sheet", "background", "--as", "html"]);
    html::read(&page).unwrap_or_else(|wrong| panic!("{wrong}"));
    let found = pictures(&page);
    let [(kind, bytes)] = found.as_slice() else { panic!("{} pictures", found.len()) };
    assert_eq!(kind, "jpeg");
    let seen = image::load_from_memory(bytes).unwrap();
    // it was turned by a quarter, and made smaller
    assert_eq!((seen.width(), seen.height()), (667, 1000));
    let text = String::from_utf8_lossy(bytes);
    assert!(!text.contains("Exif") && !text.contains("invented") && bytes.len() < 400_000, "{}", bytes.len());
    // right behind its finding
    let (before, _) = page.split_once("<figure class=\"photo\">").unwrap();
    assert!(before.trim_end().ends_with("</div>") && before.rfind("class=\"finding\"").is_some());
    // the others say why they are not shown
    for words in [
        "Photograph edge.jpg: 2026-04-11. The bottom edge",
        "Photograph gone.jpg: 2026-04-12.",
        "(This file is not there.)",
        "(Not shown: this file is no JPEG or PNG picture",
        "Photograph ../secret.png",
        "(Not shown: this file does not lie in the folder of the visit.)",
    ] {
        assert!(page.contains(words), "{words}");
    }
    // the same visit gives the same bytes
    assert_eq!(page, printed(&visit, &["advise", "v.yaml", "--sheet", "background", "--as", "html"]).0);
    for form in ["text", "markdown"] {
        let (text, _) = printed(&visit, &["advise", "v.yaml", "--sheet", "background", "--as", form]);
        assert!(text.contains("edge.jpg") && text.contains("This file is not there."), "{form}");
    }
}

#[test]
fn notes_stand_on_a_sheet_on_request() {
    let folder = folder();
    let visit = folder.path().join("visit");
    let with = |args: &[&str]| printed(&visit, &[&["advise", "v.yaml", "--sheet", "exterior"], args].concat()).0;
    assert!(!with(&[]).contains("Notes of the visit"));
    let page = with(&["--log"]);
    assert!(page.contains("Notes of the visit") && page.contains("Measured again"), "{page}");
}

#[test]
fn the_head_of_own_sheets() {
    let folder = folder();
    let visit = folder.path().join("visit");
    let settings = "letterhead:\n  name: Invented Stone\n  lines: [Nowhere 1]\n  phone: 555-0100\n  licence: X-1\n  logo: logo.png\n";
    std::fs::write(visit.join("config.yaml"), settings).unwrap();
    let mut png = Vec::new();
    RgbImage::new(1200, 300).write_to(&mut Cursor::new(&mut png), ImageFormat::Png).unwrap();
    std::fs::write(visit.join("logo.png"), png).unwrap();
    let sheet = |form: &str| {
        printed(&visit, &["advise", "v.yaml", "--sheet", "agreement", "--as", form, "--config", "config.yaml"])
    };
    let (page, said) = sheet("html");
    html::read(&page).unwrap_or_else(|wrong| panic!("{wrong}"));
    assert!(!said.contains("logo"), "{said}");
    let found = pictures(&page);
    assert_eq!(found.len(), 1);
    let logo = image::load_from_memory(&found[0].1).unwrap();
    assert_eq!((found[0].0.as_str(), logo.width(), logo.height()), ("png", 480, 120));
    for (form, (text, _)) in [("html", (page, said)), ("text", sheet("text")), ("markdown", sheet("markdown"))] {
        let head = text.split("Agreement").next().unwrap().to_owned() + &text;
        for words in ["Invented Stone", "Nowhere 1", "Phone: 555", "License: X"] {
            assert!(head.contains(words), "{form}: {words}");
        }
    }
    // a logo that cannot be read is said, and the sheet is printed without it
    for (bytes, says) in [(None, "cannot be read"), (Some(&b"<svg/>"[..]), "no JPEG or PNG")] {
        match bytes {
            None => std::fs::remove_file(visit.join("logo.png")).unwrap(),
            Some(bytes) => std::fs::write(visit.join("logo.png"), bytes).unwrap(),
        }
        let (page, said) = sheet("html");
        assert!(said.contains("the logo") && said.contains(says), "{said}");
        assert!(page.contains("Invented Stone") && pictures(&page).is_empty());
    }
    // nothing of it by default
    let (page, _) = printed(&visit, &["advise", "v.yaml", "--sheet", "agreement", "--as", "html"]);
    assert!(!page.contains("class=\"letterhead\"") && !page.contains("Invented Stone"));
}
