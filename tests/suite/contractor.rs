//! Which questions a contractor is asked first. Whoever stands in the driveway asks eight, and not thirty.
//!
//! What must be among the first eight was written by hand, by what goes wrong most and costs most there, before the
//! program was asked.

use crate::support::{CONTENT, answers, scenario};
use std::collections::{BTreeMap, BTreeSet};
use wallfoot::flow::Answers;
use wallfoot::units::Units;

/// So many questions are asked.
const FIRST: usize = 8;

fn asked(answers: &Answers) -> Vec<String> {
    CONTENT.assess(answers, Units::Inch).asks().map(|ask| ask.id.to_string()).collect()
}

/// The first eight must hold all of `must`, and one of each list in `one_of`.
#[track_caller]
fn holds(visit: &str, must: &[&str], one_of: &[&[&str]]) {
    let all = asked(&scenario(visit));
    let first: BTreeSet<&str> = all.iter().map(String::as_str).take(FIRST).collect();
    for id in must {
        assert!(first.contains(id), "{visit}: {id} is not among the first eight:\n{all:#?}");
    }
    for list in one_of {
        assert!(
            list.iter().any(|id| first.contains(id)),
            "{visit}: none of {list:?} is among the first eight:\n{all:#?}"
        );
    }
}

/// An ordinary patio of pavers: where the water goes, the height, the fall and the joint decide whether the wall rots; papers
/// and marks whether somebody is hurt at the owner's cost; the second year is when it shows. Then what keeps the plan:
/// that it is held below the siding, or that work stops at rot.
#[test]
fn planned_patio_at_vinyl() {
    holds(
        "us-vinyl-paver-patio",
        &[
            "where_does_water_go",
            "finish_height_at_wall",
            "fall_direction",
            "what_between_stone_and_wall",
            "licence_and_insurance",
            "services_marked",
            "who_warrants_joint",
        ],
        &[&["low_plan_proof", "rot_found"]],
    );
}

/// Steps over a coat that has no weep screed, soft behind. Who lifts first and seals last repairs; the other order hides. What the
/// builder knows is asked once only. The height decides whether it rots again; the water may come from above; papers, since
/// slabs are lifted; soft wood will be found; and who answers for the joint afterwards.
#[test]
fn built_steps_at_stucco() {
    holds(
        "built-steps-stucco-no-screed",
        &[
            "repair_order",
            "builder_what_is_behind",
            "repair_finish_lower",
            "repair_other_sources",
            "licence_and_insurance",
            "services_marked",
            "who_warrants_joint",
            "rot_found",
        ],
        &[],
    );
}

/// A terrace at a cavity wall: the damp-proof course is what counts, 150 mm above the paving.
#[test]
fn patio_at_a_cavity_wall() {
    holds(
        "uk-cavity-patio",
        &[
            "damp_course_kept",
            "where_does_water_go",
            "finish_height_at_wall",
            "fall_direction",
            "what_between_stone_and_wall",
            "licence_and_insurance",
            "services_marked",
            "who_warrants_joint",
        ],
        &[],
    );
    // a plate compactor against brick can crack it; that is asked, though not first
    assert!(asked(&scenario("uk-cavity-patio")).contains(&"plate_beside_masonry".to_owned()));
    assert!(!asked(&scenario("us-vinyl-paver-patio")).contains(&"plate_beside_masonry".to_owned()));
}

/// With nothing known, what tells a careful contractor from another: the same questions, and the points at which he stops.
#[test]
fn nothing_known() {
    holds(
        "nothing-known",
        &[
            "where_does_water_go",
            "finish_height_at_wall",
            "fall_direction",
            "what_between_stone_and_wall",
            "licence_and_insurance",
            "services_marked",
            "who_warrants_joint",
        ],
        &[&["when_do_you_stop", "rot_found", "photographs"]],
    );
}

/// A deck on a ledger falls down with people on it; nothing comes before that but the water.
#[test]
fn deck_on_a_ledger() {
    holds("us-deck-ledger-flashed", &["ledger", "licence_and_insurance", "services_marked", "who_warrants_joint"], &[]);
    assert!(asked(&scenario("us-deck-ledger-flashed"))[..2].contains(&"ledger".to_owned()));
}

/// Where the plan covers the place where water leaves: whether it can lie lower, and who opens and closes the wall, come before
/// fall and joint, since these do not matter in a wall that is shut.
#[test]
fn plan_that_buries_the_siding() {
    holds(
        "demo-back-patio",
        &[
            "where_does_water_go",
            "finish_height_at_wall",
            "keep_finish_lower",
            "who_opens_and_closes",
            "show_the_flashing",
        ],
        &[],
    );
}

/// One order, and room for more: no two questions share a rank, and none is without.
#[test]
fn each_question_has_a_rank_of_its_own() {
    let mut of = BTreeMap::new();
    for ask in &CONTENT.asks {
        let rank = ask.rank.unwrap_or_else(|| panic!("{} has no rank", ask.id));
        if let Some(other) = of.insert(rank, &ask.id) {
            panic!("{} and {other} share rank {rank}", ask.id);
        }
    }
    assert!(CONTENT.asks.is_sorted_by_key(|ask| ask.rank));
}

/// A homeowner who does the work alone asks nobody; where the owner must apply for the permit, asking for that is no fault.
#[test]
fn the_permit_question_does_not_blame_who_has_to_be_asked() {
    let permit = CONTENT.asks.iter().find(|ask| ask.id == "permit").expect("it is there");
    assert!(permit.good.iter().any(|good| good.contains("must apply")));
    assert!(!permit.weak.iter().any(|weak| weak == "Wants you to sign for it."));
    assert_eq!(
        asked(&answers("region: us\nstage: planned\nfeature: sand_set_pavers\ncontractor: self")),
        Vec::<String>::new()
    );
}
