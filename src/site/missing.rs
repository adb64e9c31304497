//! Which questions keep a fact from being known.

use super::facts::{FACTS, FactKind};
use super::{LevelChange, Site};
use crate::wall::Level;

/// The questions that may make a height worse somewhere along the wall than where it was measured.
pub const SLOPE: &[&str] = &[
    "levels_vary",
    "ends_measured",
    "level_change",
    "finish_left_below_mark",
    "finish_right_below_mark",
    "ground_left_below_mark",
    "ground_right_below_mark",
    "exit_left_below_mark",
    "exit_right_below_mark",
    "finish_profile",
    "ground_profile",
    "exit_profile",
];

/// The questions whose answers lie on one line with the ends of a sloping wall.
pub const ON_THE_LINE: &[&str] = &["exit_below_mark", "finish_below_mark", "ground_below_mark", "wood_below_mark"];

/// Heights that are asked as distances above the finish: they change when the finish does.
pub const MEASURED_FROM_FINISH: &[&str] =
    &["gas_vent_above_surface", "dryer_vent_above_surface", "window_sill_above_surface"];

impl Site {
    /// The questions that keep a fact from being known: those that would give a level that nobody has
    /// measured, or else those that would tie two measured levels together.
    #[must_use]
    pub fn missing(&self, fact: &str) -> Vec<&'static str> {
        const HEIGHTS: [(Level, &[&str]); 5] = [
            (
                Level::Exit,
                &[
                    "exit_way",
                    "exit_below_mark",
                    "exit_above_ground",
                    "exit_above_surface",
                    "exit_hidden_by",
                    "levels_vary",
                    "ends_measured",
                    "exit_profile",
                    "exit_left_below_mark",
                    "exit_right_below_mark",
                ],
            ),
            (
                Level::Finish,
                &[
                    "finish_way",
                    "finish_below_mark",
                    "finish_above_ground",
                    "build_up",
                    "levels_vary",
                    "ends_measured",
                    "finish_profile",
                    "finish_left_below_mark",
                    "finish_right_below_mark",
                ],
            ),
            (Level::Wood, &["wood_below_mark", "joist_size"]),
            (
                Level::Ground,
                &[
                    "ground_below_mark",
                    "levels_vary",
                    "ends_measured",
                    "ground_profile",
                    "ground_left_below_mark",
                    "ground_right_below_mark",
                ],
            ),
            (Level::OldSurface, &["old_surface_below_mark"]),
        ];
        // two measured levels that nothing joins yet: any reading may be the missing link
        const TIES: &[&str] = &[
            "ground_below_mark",
            "old_surface_below_mark",
            "finish_way",
            "finish_below_mark",
            "finish_above_ground",
            "build_up",
            "exit_way",
            "exit_below_mark",
            "exit_above_ground",
            "exit_above_surface",
        ];
        let levels = match (FACTS.iter().find(|f| f.name == fact).map(|f| f.kind), fact) {
            (Some(FactKind::Height(a, b)), _) => [a, b],
            (_, "exit.buried") => [Level::Exit, Level::Finish],
            (_, "exit.at_worst_above_finish") => {
                if matches!(self.level_change, LevelChange::Unknown) {
                    return SLOPE.to_vec();
                }
                [Level::Exit, Level::Finish]
            }
            (_, "door.risers") if self.steps_from_ground => [Level::Mark, Level::Ground],
            (_, "door.risers") => [Level::Mark, Level::Finish],
            (_, "fall.away") => return vec!["fall_direction", "fall_drop", "feature_depth"],
            (_, "landing.spare_width") => return vec!["door_width", "feature_length"],
            (_, trace) if trace.starts_with("trace.") => return self.missing_for_trace(trace),
            (_, "window.above_finish") => return vec!["wall_things", "window_sill_above_surface", "wall_places"],
            (_, "gas_vent.above_finish") => return vec!["wall_things", "gas_vent_above_surface", "wall_places"],
            (_, "dryer_vent.above_finish") => return vec!["wall_things", "dryer_vent_above_surface", "wall_places"],
            (_, "other_door.least_step" | "other_door.most_step") => {
                const DOOR: &[&str] = &["wall_things", "other_door_below_mark", "wall_places"];
                return [DOOR, &["finish_way", "finish_below_mark"]].concat();
            }
            (_, "outer.below") => return vec!["outer_edge", "outer_edge_depth"],
            (_, "outer.drop") => return vec!["outer_edge", "outer_edge_height", "retaining_height"],
            (_, "exit.kind") => return vec!["cladding", "stucco_backing", "weep_screed"],
            _ => return Vec::new(),
        };
        if levels.contains(&Level::Mark) && self.door.is_none() {
            return vec!["door"];
        }
        let mut ids = Vec::new();
        for level in levels {
            let known = self.levels.has(level) || self.along.iter().any(|(l, _)| *l == level);
            if level != Level::Mark && !known {
                ids.extend(HEIGHTS.iter().filter(|(l, _)| *l == level).flat_map(|(_, ids)| ids.iter().copied()));
            }
        }
        if ids.is_empty() { [TIES, SLOPE].concat() } else { ids }
    }

    fn missing_for_trace(&self, fact: &str) -> Vec<&'static str> {
        const WALL: &[&str] =
            &["cladding", "stucco_backing", "weep_screed", "veneer_weeps", "veneer_flashing", "eifs_drained"];
        const WORK: &[&str] =
            &["drain_channel", "joint", "fall_direction", "fall_drop", "outer_edge", "void_behind", "surface_gap_open"];
        let heights = || self.missing("exit.buried");
        let door = || self.missing("threshold.above_finish");
        let mut ids = match fact {
            "trace.surface" | "trace.joint" => WORK.to_vec(),
            "trace.door_head" | "trace.held_at_door" => [&door()[..], &["door_sill_pan"]].concat(),
            "trace.outside" => [
                &heights()[..],
                &door()[..],
                WALL,
                &["channel_end", "barrier", "fall_direction", "wall_things", "door"],
            ]
            .concat(),
            _ => [&heights()[..], WALL, &["channel_end", "barrier", "fall_direction", "wall_things", "door"]].concat(),
        };
        if fact == "trace.joint" {
            ids.extend(heights());
        }
        ids
    }
}
