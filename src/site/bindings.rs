//! The questions that the program computes with.

use crate::flow::QuestionKind;

/// A question that the program computes with.
#[derive(Debug)]
pub struct Binding {
    /// Its id.
    pub id: &'static str,
    /// The kind it must have.
    pub kind: QuestionKind,
    /// The choices that the program knows; the content may not have others. Empty: any.
    pub choices: &'static [&'static str],
}

const fn length(id: &'static str) -> Binding {
    Binding { id, kind: QuestionKind::Length, choices: &[] }
}

const fn one_of(id: &'static str, choices: &'static [&'static str]) -> Binding {
    Binding { id, kind: QuestionKind::OneOf, choices }
}

const fn yes_no(id: &'static str) -> Binding {
    Binding { id, kind: QuestionKind::YesNo, choices: &[] }
}

const fn profile(id: &'static str) -> Binding {
    Binding { id, kind: QuestionKind::Profile, choices: &[] }
}

/// The questions that the program computes with.
pub const BINDINGS: &[Binding] = &[
    one_of("region", &[]),
    one_of("stage", &["planned", "built"]),
    one_of(
        "feature",
        &[
            "sand_set_pavers",
            "overlay",
            "concrete_slab",
            "landing",
            "stone_slab_steps",
            "masonry_steps",
            "raised_patio",
            "walkway",
            "built_against",
        ],
    ),
    one_of(
        "cladding",
        &[
            "vinyl",
            "stucco",
            "fibre_cement",
            "brick_veneer",
            "stone_veneer",
            "solid_masonry",
            "adhered_stone",
            "wood",
            "eifs",
            "metal",
        ],
    ),
    one_of("stucco_backing", &["frame", "masonry"]),
    one_of("weep_screed", &["present", "absent"]),
    one_of("door", &["swings_in", "swings_out", "slides", "none"]),
    one_of("exit_way", &["down_from_mark", "up_from_ground", "up_from_surface", "cannot_see"]),
    one_of("exit_hidden_by", &["soil", "old_surface", "new_work", "trim"]),
    one_of("finish_way", &["down_from_mark", "up_from_ground", "added_on_top"]),
    one_of("joist_size", &[]),
    one_of("fall_direction", &["away", "along", "level", "towards"]),
    one_of("joint", &["tight", "isolation_joint", "open_gap", "sealed", "flashing", "hidden"]),
    one_of("veneer_weeps", &["seen", "none_seen"]),
    one_of("veneer_flashing", &["seen", "none_seen"]),
    one_of("eifs_drained", &["drained", "barrier"]),
    one_of("barrier", &["paper_one", "paper_two", "house_wrap", "foam_board", "liquid", "none"]),
    one_of("door_sill_pan", &["present", "absent"]),
    one_of("channel_end", &["above_surface", "behind_work", "no_channel"]),
    yes_no("void_behind"),
    yes_no("surface_gap_open"),
    one_of("outer_edge", &["level_with_ground", "above_ground", "below_ground", "against_wall"]),
    length("feature_length"),
    length("feature_depth"),
    length("exit_below_mark"),
    length("exit_above_ground"),
    length("exit_above_surface"),
    length("finish_below_mark"),
    length("finish_above_ground"),
    length("build_up"),
    length("old_surface_below_mark"),
    length("ground_below_mark"),
    length("wood_below_mark"),
    length("fall_drop"),
    length("outer_edge_height"),
    length("outer_edge_depth"),
    length("retaining_height"),
    length("step_rise"),
    yes_no("levels_vary"),
    length("level_change"),
    length("finish_left_below_mark"),
    length("finish_right_below_mark"),
    length("ground_left_below_mark"),
    length("ground_right_below_mark"),
    length("exit_left_below_mark"),
    length("exit_right_below_mark"),
    profile("finish_profile"),
    profile("ground_profile"),
    profile("exit_profile"),
    Binding {
        id: "wall_places",
        kind: QuestionKind::Places,
        choices: &["main_door", "other_door", "window", "gas_vent", "dryer_vent", "crawl_vent", "window_well"],
    },
    length("other_door_below_mark"),
    length("window_sill_above_surface"),
    length("gas_vent_above_surface"),
    length("dryer_vent_above_surface"),
    length("footing_below_ground"),
    length("rain_hour"),
    length("roof_run"),
    length("gutter_length"),
    yes_no("drain_channel"),
    length("channel_width"),
    length("channel_depth"),
    length("channel_drop"),
    one_of("channel_kind", &[]),
    one_of("roof_edge", &["gutter", "no_gutter", "gable", "roof_ends_on_wall"]),
    one_of("downspout", &["none", "led_away", "onto_surface", "underground"]),
    length("landing_depth"),
    length("door_width"),
];
