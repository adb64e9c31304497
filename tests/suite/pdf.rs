//! `--as pdf`: with the cargo feature `pdf` a sheet as PDF, without it a message that says how to get one.

use crate::support::{told, top};

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(top().join("questions/demo/back-patio.yaml"), folder.path().join("v.yaml")).unwrap();
    folder
}

#[cfg(not(feature = "pdf"))]
#[test]
fn without_the_feature_it_says_how_to_get_it() {
    let folder = folder();
    for args in [
        &["advise", "v.yaml", "-o", "x.pdf"][..],
        &["advise", "v.yaml", "--sheet", "landscaper", "--as", "pdf"],
        &["demo", "-o", "x.pdf"],
        &["plan", "v.yaml", "-o", "x.pdf"],
        &["log", "v.yaml", "-o", "x.pdf"],
        &["compare", "v.yaml", "--set", "lower=2 in", "-o", "x.pdf"],
        &["hand-over", "v.yaml", "-o", "sheets", "--as", "pdf"],
    ] {
        let told = told(folder.path(), args);
        assert!(told.starts_with("exit 2\n--- stdout\n--- stderr\n"), "{args:?}: {told}");
        assert!(told.contains("cargo build --release --features pdf") && told.contains("-o sheet.html"), "{told}");
        assert!(!folder.path().join("x.pdf").exists() && !folder.path().join("sheets").exists(), "{args:?}");
    }
}

/// A PDF of somebody else is left alone, whether this program can make one or not.
#[test]
fn a_pdf_of_somebody_else_is_left() {
    let folder = folder();
    let path = folder.path().join("x.pdf");
    let foreign = b"%PDF-1.4\n% from somewhere else, wallfoot\n\xff";
    std::fs::write(&path, foreign).unwrap();
    assert!(!told(folder.path(), &["advise", "v.yaml", "-o", "x.pdf"]).starts_with("exit 0"));
    assert_eq!(std::fs::read(&path).unwrap(), foreign);
    // and no page is written over it either
    let told = told(folder.path(), &["advise", "v.yaml", "--as", "html", "-o", "x.pdf"]);
    assert!(told.contains("the ending is that of a PDF"), "{told}");
}

#[cfg(feature = "pdf")]
mod built {
    use super::{folder, run, told};
    use crate::support::scenarios;
    use std::path::Path;

    fn made(folder: &Path, args: &[&str]) -> Vec<u8> {
        let file = folder.join("x.pdf");
        let output = run(folder, &[args, &["-o", "x.pdf"]].concat());
        assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
        std::fs::read(file).unwrap()
    }

    fn has(bytes: &[u8], text: &str) -> bool {
        bytes.windows(text.len()).any(|part| part == text.as_bytes())
    }

    /// Two processes, so nothing is remembered from one for the other; the second replaces the file of the first.
    #[test]
    fn the_same_visit_gives_the_same_bytes() {
        let folder = folder();
        for sheet in ["homeowner", "landscaper", "exterior", "agreement", "background"] {
            let args = ["advise", "v.yaml", "--sheet", sheet];
            let first = made(folder.path(), &args);
            assert_eq!(first, made(folder.path(), &args), "{sheet}");
            // ISO 14289-1: a file says in its metadata that it is PDF/UA-1
            assert!(has(&first, "<pdfuaid:part>1</pdfuaid:part>") && has(&first, "/StructTreeRoot"), "{sheet}");
        }
    }

    #[test]
    fn the_region_chooses_the_paper_and_the_option_overrides_it() {
        let folder = folder();
        let args = ["advise", "v.yaml", "--sheet", "agreement"];
        // US Letter: 612 by 792 points; A4: 595.28 by 841.89 (ISO 216)
        let letter = |bytes: &[u8]| has(bytes, "/MediaBox [0 0 612 792]");
        let a4 = |bytes: &[u8]| has(bytes, "/MediaBox [0 0 595.27");
        assert!(letter(&made(folder.path(), &args)));
        assert!(a4(&made(folder.path(), &[&args[..], &["--paper", "a4"]].concat())));
        assert!(a4(&made(folder.path(), &[&["--region", "uk"], &args[..]].concat())));
    }

    /// Each scenario once, with the sheets, papers and languages taking turns: the typesetter refuses nothing.
    #[test]
    fn every_scenario_can_be_printed() {
        let sheets = ["homeowner", "landscaper", "exterior", "agreement", "background"];
        for (i, name) in scenarios().iter().enumerate() {
            let folder = tempfile::tempdir().unwrap();
            let visit = crate::support::top().join("tests/scenarios").join(name).join("visit.yaml");
            let visit = visit.to_string_lossy();
            let (lang, paper) = (["en", "es"][i % 2], ["letter", "a4"][i / 2 % 2]);
            made(folder.path(), &["--lang", lang, "advise", &visit, "--sheet", sheets[i % 5], "--paper", paper]);
        }
    }

    #[test]
    fn other_documents_can_be_printed_too() {
        let folder = folder();
        for args in [
            &["demo", "steps"][..],
            &["plan", "v.yaml"],
            &["log", "v.yaml"],
            &["compare", "v.yaml", "--set", "lower=2 in"],
        ] {
            assert!(made(folder.path(), args).starts_with(b"%PDF-"), "{args:?}");
            std::fs::remove_file(folder.path().join("x.pdf")).unwrap();
        }
        assert!(told(folder.path(), &["hand-over", "v.yaml", "-o", "sheets", "--as", "pdf"]).starts_with("exit 0"));
        assert_eq!(std::fs::read_dir(folder.path().join("sheets")).unwrap().count(), 5);
    }

    /// The bytes go down a pipe as they are.
    #[test]
    fn a_pipe_gets_the_bytes() {
        let folder = folder();
        let output = run(folder.path(), &["advise", "v.yaml", "--sheet", "agreement", "--as", "pdf"]);
        assert!(output.stdout.starts_with(b"%PDF-") && output.stdout.ends_with(b"%%EOF"));
    }
}
