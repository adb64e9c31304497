//! Where figures come from: no figure without a title, an edition and a basis, and the loader refuses those that have none.

use crate::mutations::{with_change, with_changes};
use crate::support::{CONTENT, told, top};
use wallfoot::commands::works_page;
use wallfoot::content::{Basis, HowRead, Origin};

/// Words that a source of ours hid behind once: nobody can look them up.
const VAGUE: [&str; 19] = [
    "tech note",
    "trade article",
    "trade press",
    "trade magazine",
    "trade manual",
    "trade references",
    "trade sources",
    "mason's handbook",
    "masonry handbook",
    "maker data",
    "general guide",
    "field guide",
    "cost book",
    "coursing table",
    "warranty body",
    "surveyors",
    "concrete association",
    "several",
    "usual ",
];

#[test]
fn the_page_of_sources_is_current() {
    let page = std::fs::read_to_string(top().join("docs/sources.md")).unwrap();
    assert!(page == works_page(&CONTENT), "run: cargo run -- prove --sources > docs/sources.md");
}

/// Every origin of the content that is kept for printing.
fn origins() -> Vec<(String, &'static Origin)> {
    let c = &*CONTENT;
    let mut all: Vec<(String, &Origin)> = Vec::new();
    all.extend(c.limits.iter().map(|r| (format!("limit {}", r.id), &r.origin)));
    all.extend(c.findings.iter().map(|r| (format!("finding {}", r.id), &r.origin)));
    all.extend(c.cautions.iter().map(|r| (format!("caution {}", r.id), &r.origin)));
    all.extend(c.materials.iter().map(|r| (format!("material {}", r.id), &r.origin)));
    all.extend(c.promises.iter().map(|r| (format!("promise {}", r.id), &r.origin)));
    all.extend(c.layers.iter().map(|r| (format!("layer {}", r.id), &r.origin)));
    all.extend(c.coursing.iter().map(|r| (format!("coursing {}", r.id), &r.origin)));
    all.extend(c.plan_figures.iter().map(|r| (format!("figure {}", r.id), &r.origin)));
    all.extend(c.activities.iter().map(|r| (format!("activity {}", r.id), &r.origin)));
    all.extend(c.weather_needs.iter().map(|r| (format!("weather need {}", r.id), &r.origin)));
    all.extend(c.usual_rows.iter().map(|r| (format!("usual figure {:?}", r.id), &r.origin)));
    all.extend(c.loads.iter().map(|r| (format!("load {}", r.id), &r.origin)));
    all.extend(c.runoff.iter().map(|r| (format!("runoff {}", r.id), &r.origin)));
    all.extend(c.roughness.iter().map(|r| (format!("roughness {}", r.kind), &r.origin)));
    all.extend(c.stairs.iter().map(|r| (format!("stairs {}", r.region), &r.origin)));
    all
}

#[test]
fn no_figure_without_title_edition_and_basis() {
    let c = &*CONTENT;
    assert!(c.resting.len() > 500, "only {} rows say where they come from", c.resting.len());
    for row in c.resting.iter().filter(|row| row.basis <= Basis::Reported) {
        assert!(!row.works.is_empty(), "{} {} names no work", row.kind, row.id);
        let read = row.works.iter().map(|w| c.works[*w].read);
        let needed =
            |read: HowRead| read == HowRead::Text || row.basis == Basis::Reported && read == HowRead::Quotation;
        assert!(
            read.into_iter().any(needed),
            "{} {} is {} of something nobody read",
            row.kind,
            row.id,
            row.basis.word()
        );
    }
    for work in &c.works {
        assert!(!work.title.is_empty() && !work.edition.is_empty() && !work.cited_as.is_empty(), "{}", work.id);
    }
    for (row, origin) in origins() {
        if origin.basis <= Basis::Reported {
            assert!(!origin.source.is_empty() && !origin.edition.is_empty(), "{row} prints no edition");
        }
    }
    // the rows that are printed are those that are counted
    assert!(origins().len() > 500);
}

#[test]
fn no_source_hides_behind_a_vague_word() {
    for row in &CONTENT.resting {
        let source = row.source.to_lowercase();
        let found = VAGUE.iter().find(|vague| source.contains(*vague));
        assert!(found.is_none(), "{} {}: {}", row.kind, row.id, row.source);
    }
}

/// A row of the built-in content with another text in its place is refused, and the report says so.
fn refused(file: &str, from: &str, to: &str, said: &str) {
    let report = with_change(file, |text| text.replacen(from, to, 1)).map(|_| ()).unwrap_err();
    assert!(report.contains(said), "{said}:\n{report}");
}

#[test]
fn the_loader_refuses_a_figure_that_nobody_could_look_up() {
    let limits = "limits.yaml";
    refused(limits, "source: IRC R312.1", "source: IIRC R312.1", "`IIRC R312.1` names no work of the register");
    refused(
        limits,
        "source: Approved Document K 1.41",
        "source: Aproved Document K 1.41",
        "did you mean `Approved Document K`?",
    );
    refused(limits, "    source: IRC R312.1\n", "", "a figure needs its source");
    refused(limits, "    source: IRC R312.1\n    basis: published\n", "", "does not say how its figure is known");
    refused(limits, "source: IRC R312.1", "source: IRC R312.1, trade press", "`trade press` is no source");
    refused(
        "water.yaml",
        "source: taken so where nobody measured",
        "source: masonry handbook",
        "`masonry handbook` is no source",
    );
    refused("layers.yaml", "    basis: published\n", "", "does not say how its figure is known");
    // a basis that the work does not bear
    refused("sources.yaml", "read: text", "read: quotation", "only a quotation was read");
    // a memory of nothing, a practice of nothing
    refused(
        limits,
        "    source: NBC Table 9.8.4.1\n    basis: memory",
        "    basis: memory",
        "what it is remembered of",
    );
    refused(
        "plan.yaml",
        "source: a default; set your own, basis: practice",
        "basis: practice",
        "what practice it follows",
    );
    // the register itself
    refused("sources.yaml", "    edition: IBC 2018\n", "", "a work needs `edition:`");
    refused("sources.yaml", "    title: International Building Code\n", "", "a work needs `title:`");
    refused("sources.yaml", "cited_as: [IBC]", "cited_as: [IRC]", "`irc` names two works");
    refused("sources.yaml", "    cited_as: [IBC]\n", "", "a work needs `cited_as:`");
}

/// Whatever work is taken out of the register, its rows are refused where they said that they had read it.
#[test]
fn no_work_that_is_cited_can_be_lost() {
    for work in &CONTENT.works {
        let number = CONTENT.works.iter().position(|w| w.id == work.id).unwrap();
        let alone = |row: &&wallfoot::content::Resting| row.basis <= Basis::Reported && row.works == [number];
        if CONTENT.resting.iter().filter(alone).count() == 0 {
            continue;
        }
        let head = format!("  - id: {}\n", work.id);
        let lost = with_changes(|name, text| {
            let at = (name == "sources.yaml").then(|| text.find(&head))??;
            let rest = &text[at + head.len()..];
            let end = rest
                .find("\n  - id: ")
                .or_else(|| rest.find("\n\n"))
                .map_or(text.len(), |len| at + head.len() + len + 1);
            Some(format!("{}{}", &text[..at], &text[end..]))
        });
        assert!(lost.is_err(), "nobody misses {}", work.id);
    }
}

/// A town's own figures name the town's own papers: nobody here can know them, so their words are taken.
#[test]
fn the_file_of_a_town_names_its_own_sources() {
    let folder = tempfile::tempdir().unwrap();
    let row = |source: &str| {
        format!(
            "limits:\n  - id: town_vinyl\n    regions: [us]\n    what: Vinyl above paving in this invented town\n    measure: exit.above_finish\n    at_least: 4 in\n    when: {{ cladding: vinyl }}\n    because: It snows a lot here.\n    verdict: change_plan\n{source}    basis: published\n"
        )
    };
    std::fs::write(folder.path().join("town.yaml"), row("    source: leaflet of an invented town\n")).unwrap();
    let said = told(folder.path(), &["prove", "--quick", "--limits", "town.yaml"]);
    assert!(said.starts_with("exit 0"), "{said}");
    // but it has to name something
    std::fs::write(folder.path().join("town.yaml"), row("")).unwrap();
    let said = told(folder.path(), &["prove", "--quick", "--limits", "town.yaml"]);
    assert!(said.starts_with("exit 1") && said.contains("a figure needs its source"), "{said}");
}
