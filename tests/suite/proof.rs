//! Planted faults: the built-in content with one thing wrong, and what the proof over all answers has to say of it.
//!
//! A file in `tests/bad/proof/` is one fault. `add` is laid over the built-in content as a file, `edits` change the text of built-in
//! files, `expect` was written before the first run. Faults that leave each other alone say `together: true` and are found by one
//! proof; of the others only those with `few: true` are tried by default. `WALLFOOT_ALL_PLANTS=1 cargo test --release --test suite
//! planted` tries each of them alone.

use crate::support::top;
use serde::Deserialize;
use std::path::Path;
use std::sync::Mutex;
use wallfoot::commands::sources;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::{Answers, Source, Truth};
use wallfoot::prove::{Flaw, FlawKind, Proof, gaps, hold, named_in_texts, prove};
use wallfoot::units::Units;
use wallfoot::visit::Visit;

/// Faults that the proof does not find yet, by what it lacks. None of them is no fault: a plant is never made easier for the proof.
/// With all plants tried, one that is found has to leave this list.
const NOT_YET: [(&str, &[&str]); 2] = [
    ("three heights that cannot add up are told as not settled", &["rule-heights-do-not-add-up"]),
    (
        "found with some contents: the visits that are searched from are others with each",
        &["hill-above-a-limit", "reversed-wood-siding", "threshold-tread-nine-inches"],
    ),
];

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Plant {
    #[serde(skip)]
    name: String,
    /// What is wrong, in a sentence.
    what: String,
    /// A file that is laid over the built-in content.
    add: Option<String>,
    /// Changes of built-in files.
    #[serde(default)]
    edits: Vec<Edit>,
    expect: Expect,
    /// Whether it leaves the other faults alone, so that one proof finds all of them.
    #[serde(default)]
    together: bool,
    /// Whether it is tried by default.
    #[serde(default)]
    few: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Edit {
    file: String,
    replace: String,
    with: String,
    /// Wherever it stands, and not in one place only.
    #[serde(default)]
    every: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    /// The kind of fault, as in JSON, with the kind of row and its id.
    kind: Option<String>,
    row: Option<String>,
    id: Option<String>,
    /// Instead: words of the gap that `gaps` tells of.
    gap: Option<String>,
    /// Instead: words of the report with which loading refuses the content.
    refused: Option<String>,
}

fn plants() -> Vec<Plant> {
    let folder = top().join("tests/bad/proof");
    let mut files: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files.iter().map(|path| plant(path)).collect()
}

fn plant(path: &Path) -> Plant {
    let text = std::fs::read_to_string(path).unwrap();
    let plant: Plant = serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    Plant { name: path.file_stem().unwrap().to_string_lossy().into_owned(), ..plant }
}

/// The built-in content with these faults, or the report with which it is refused.
fn planted<'p>(plants: impl IntoIterator<Item = &'p Plant>) -> Result<(Content, Vec<Source>), String> {
    let mut all = sources(None, None).unwrap();
    for plant in plants {
        for edit in &plant.edits {
            let source = all.iter_mut().find(|source| source.name == edit.file);
            let source = source.unwrap_or_else(|| panic!("{}: there is no file {}", plant.name, edit.file));
            let places = source.text.matches(&edit.replace).count();
            assert!(places == 1 || edit.every && places > 0, "{}: {places} places of {}", plant.name, edit.replace);
            let text = source.text.replace(&edit.replace, &edit.with);
            *source = Source::new(source.name.clone(), text);
        }
        all.extend(plant.add.iter().map(|text| Source::new(format!("planted/{}.yaml", plant.name), text.clone())));
    }
    Ok((Content::load(&all, None).map_err(|report| report.to_string())?, all))
}

fn proof_of(content: &mut Content) -> Proof {
    let named = named_in_texts(content);
    prove(content, &named, &mut |_, _| {})
}

/// What is missing of what was expected; nothing if all is there.
fn missed(plant: &Plant, content: &Content, proof: &Proof) -> Option<String> {
    let Expect { kind: Some(kind), row: Some(row), id: Some(id), .. } = &plant.expect else {
        return Some(format!("{}: no kind, row and id", plant.name));
    };
    let known = FlawKind::ALL.iter().any(|(word, _)| word == kind);
    assert!(known, "{}: there is no kind {kind}", plant.name);
    let is = |fault: &&Flaw| fault.kind.word() == kind && fault.row == row && fault.id == *id;
    let Some(fault) = proof.faults.iter().find(is) else {
        let said = proof.faults.iter().chain(&proof.unsettled).filter(|fault| fault.id == *id);
        let said: Vec<&str> = said.map(|fault| fault.message.as_str()).collect();
        let first: Vec<_> = proof.faults.iter().take(3).map(|fault| (fault.kind.word(), &fault.id)).collect();
        return Some(format!("{} ({}): not found; of {id} {said:?}, of others {first:?}", plant.name, plant.what));
    };
    shown(content, fault).err().map(|why| format!("{} ({}): {why}", plant.name, plant.what))
}

/// Whether a fault shows what it says: a visit that does it once more, or conditions that stand against each other.
fn shown(content: &Content, fault: &Flaw) -> Result<(), String> {
    let read = |answers: &Answers| replayed(content, answers);
    let (visit, beside) = (fault.visit.as_ref().map(read), fault.beside.as_ref().map(read));
    let finding = || content.findings.iter().position(|f| f.id == fault.id);
    let so = match (fault.kind, visit) {
        (FlawKind::Broken, Some(visit)) => {
            hold(&content.assess(&visit, Units::Inch)).broken.iter().any(|broken| broken.promise == fault.id)
        }
        (FlawKind::FiresThough, Some(visit)) => {
            finding().is_some_and(|at| content.assess(&visit, Units::Inch).findings[at] == Truth::Yes)
        }
        (FlawKind::NoWayOut, Some(visit)) => {
            let assessment = content.assess(&visit, Units::Inch);
            finding().is_some_and(|at| assessment.findings[at] == Truth::Yes)
                && assessment.settled.verdict == Verdict::FindOutFirst
        }
        (FlawKind::WorseWithRoom | FlawKind::MilderUnsure, Some(visit)) => {
            beside.is_some_and(|beside| content.settle(&beside).verdict > content.settle(&visit).verdict)
        }
        (FlawKind::NeverRead | FlawKind::NeverCited | FlawKind::NeverGiven | FlawKind::OneSided, None) => true,
        (_, Some(_)) => return Err(format!("nothing says how a {} is replayed", fault.kind.word())),
        (
            FlawKind::Broken
            | FlawKind::FiresThough
            | FlawKind::NoWayOut
            | FlawKind::WorseWithRoom
            | FlawKind::MilderUnsure,
            None,
        ) => {
            return Err("found, and no visit shows it".to_owned());
        }
        (_, None) => !fault.against.is_empty(),
    };
    let why = || format!("found, but not shown: {} {:?} {:?}", fault.message, fault.visit, fault.against);
    so.then_some(()).ok_or_else(why)
}

/// The answers once more, as they come out of the file of a visit.
fn replayed(content: &Content, answers: &Answers) -> Answers {
    let path = Path::new("shown.yaml");
    let mut visit = Visit::new("2021-05-03");
    visit.take(&content.flow, answers, "2021-05-03");
    let text = visit.to_text(path).unwrap();
    let (read, misfits) = Visit::parse(&text, path).unwrap().answers(&content.flow, Units::Inch);
    assert_eq!(misfits, [], "{text}");
    read
}

/// Tries each alone, on all processors: which ones are missed, and how.
fn alone(plants: &[&Plant]) -> Vec<(String, String)> {
    let left = Mutex::new(plants.iter());
    let missing = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                loop {
                    let next = left.lock().unwrap().next();
                    let Some(plant) = next else { break };
                    let found = one(plant);
                    missing.lock().unwrap().extend(found.map(|why| (plant.name.clone(), why)));
                }
            });
        }
    });
    missing.into_inner().unwrap()
}

fn one(plant: &Plant) -> Option<String> {
    match (planted([plant]), &plant.expect) {
        (Err(report), Expect { refused: Some(words), .. }) if report.contains(words) => None,
        (Err(report), _) => Some(format!("{}: refused: {report}", plant.name)),
        (Ok(_), Expect { refused: Some(_), .. }) => Some(format!("{} ({}): not refused", plant.name, plant.what)),
        (Ok((content, all)), Expect { gap: Some(words), .. }) => {
            let told = gaps(&content).into_result(&all).map_err(|report| report.to_string()).err().unwrap_or_default();
            (!told.contains(words)).then(|| format!("{} ({}): the gaps are {told:?}", plant.name, plant.what))
        }
        (Ok((mut content, _)), _) => {
            let proof = proof_of(&mut content);
            missed(plant, &content, &proof)
        }
    }
}

/// Every planted fault is found, with its kind and its row, and is shown.
#[test]
fn planted_faults_are_found() {
    check();
}

pub(crate) fn check() {
    let plants = plants();
    let all = std::env::var_os("WALLFOOT_ALL_PLANTS").is_some();
    assert!(plants.len() >= 40, "{} faults", plants.len());
    // those that leave each other alone, in one content
    let together: Vec<&Plant> = plants.iter().filter(|plant| plant.together).collect();
    let (mut content, _) = planted(together.iter().copied()).unwrap_or_else(|report| panic!("{report}"));
    let proof = proof_of(&mut content);
    let mut missing: Vec<(String, String)> = Vec::new();
    missing.extend(together.iter().filter_map(|plant| Some((plant.name.clone(), missed(plant, &content, &proof)?))));
    let needs_no_proof = |plant: &Plant| plant.expect.gap.is_some() || plant.expect.refused.is_some();
    let single: Vec<&Plant> = plants
        .iter()
        .filter(|plant| {
            !plant.together && (all || needs_no_proof(plant) || plant.few && !not_yet().any(|n| n == plant.name))
        })
        .collect();
    missing.extend(alone(&single));
    let (known, new): (Vec<_>, Vec<_>) = missing.into_iter().partition(|(name, _)| not_yet().any(|not| not == name));
    let told: Vec<&str> = new.iter().map(|(_, why)| why.as_str()).collect();
    assert!(told.is_empty(), "{} of {} missed:\n{}", told.len(), plants.len(), told.join("\n"));
    if all {
        let found: Vec<&str> = not_yet().filter(|name| known.iter().all(|(missed, _)| missed != name)).collect();
        assert!(found.is_empty(), "found now, so take them off the list: {found:?}");
    }
}

fn not_yet() -> impl Iterator<Item = &'static str> {
    NOT_YET.iter().flat_map(|(_, names)| names.iter().copied())
}
