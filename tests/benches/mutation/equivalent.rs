//! Mutants that nobody can tell from the content as it is, each with its reason: no visit that can occur with the shipped rows is
//! judged otherwise. A row or a branch that is meant for rows of one's own stands here too; `mutations.rs` of the tests holds those.

const OWN_REGION: &str = "for a country that is added: each of the shipped ones has a figure above";
const OWN_CLADDING: &str = "for a cladding that is added: of the shipped ones each has a row of its own";
const KNOWN_BACKING: &str = "where it is known what carries the coat, wall.masonry says the same";
const ONLY_ABOVE: &str = "whether it is in Bavaria is asked only where a drop is more than 500 mm";
const ALL_FRAMES: &str = "each shipped cladding that one of the three frames may carry, the others may carry too";

/// File, row, how the words of the mutant begin, and why it is none.
pub(crate) const EQUIVALENT: &[(&str, &str, &str, &str)] = &[
    ("content.yaml", "handrail.needed", "not { door.risers: { at_least: 3 } }", OWN_REGION),
    ("content.yaml", "guard.needed", "not { outer.drop: { above: 500 mm } }", OWN_REGION),
    ("content.yaml", "guard.needed", "not { ends.drop: { above: 500 mm } }", OWN_REGION),
    ("content.yaml", "guard.needed", "outer.drop above 500 mm: 499 mm", ONLY_ABOVE),
    ("content.yaml", "guard.needed", "outer.drop above 500 mm: at_least", ONLY_ABOVE),
    ("content.yaml", "guard.needed", "ends.drop above 500 mm: 499 mm", ONLY_ABOVE),
    ("content.yaml", "guard.needed", "ends.drop above 500 mm: at_least", ONLY_ABOVE),
    ("content.yaml", "wall.masonry", "cladding.carried_by without wood_frame", ALL_FRAMES),
    ("content.yaml", "wall.masonry", "cladding.carried_by without steel_frame", ALL_FRAMES),
    ("content.yaml", "wall.masonry", "cladding.carried_by without panels", ALL_FRAMES),
    ("content.yaml", "masonry.planter", "stucco_backing without masonry", KNOWN_BACKING),
    ("content.yaml", "masonry.planter", "stucco_backing without concrete", KNOWN_BACKING),
    ("advice/findings.yaml", "screed_not_known", "stucco_backing without masonry", KNOWN_BACKING),
    ("advice/findings.yaml", "screed_not_known", "stucco_backing without concrete", KNOWN_BACKING),
    ("advice/findings.yaml", "exit_behind_new_work", "stucco_backing without masonry", KNOWN_BACKING),
    ("advice/findings.yaml", "exit_behind_new_work", "stucco_backing without concrete", KNOWN_BACKING),
    ("advice/findings.yaml", "coat_buried", "exit.kind without masonry_face", OWN_CLADDING),
    ("advice/findings.yaml", "coat_buried", "not { wall.frame: true }", OWN_CLADDING),
    ("advice/findings.yaml", "coat_buried", "not { exit.buried: true }", OWN_CLADDING),
    ("advice/findings.yaml", "coat_buried", "not { finish.above_exit: { known: true } }", OWN_CLADDING),
    ("advice/findings.yaml", "foam_buried", "not { exit.buried: true }", OWN_CLADDING),
    ("advice/findings.yaml", "foam_buried", "not { finish.above_exit: { known: true } }", OWN_CLADDING),
];

/// Why a mutant counts as none.
pub(crate) fn equivalent(file: &str, row: &str, what: &str) -> Option<&'static str> {
    EQUIVALENT.iter().find(|(f, r, w, _)| *f == file && *r == row && what.starts_with(w)).map(|(.., why)| *why)
}
