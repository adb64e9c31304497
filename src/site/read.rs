//! The crossing itself: answers read as building terms.

use super::{Fall, LevelChange, Opening, OpeningKind, Outer, Site};
use crate::flow::{Answer, Answers, Flow, State, Truth, Value};
use crate::units::{Elevation, Length};
use crate::wall::{DERIVED_READINGS, Level, Levels, Line, Reading};

/// Looks answers up by id: only those of questions that are shown.
pub(super) struct Look<'a> {
    flow: &'a Flow,
    answers: &'a Answers,
    state: &'a State,
}

/// Heights above the finish that are asked directly.
const ASKED: [(&str, OpeningKind); 3] = [
    ("window_sill_above_surface", OpeningKind::Window),
    ("gas_vent_above_surface", OpeningKind::GasVent),
    ("dryer_vent_above_surface", OpeningKind::DryerVent),
];

impl Look<'_> {
    /// The value that counts; of a question the flow does not have, none.
    fn value(&self, id: &str) -> Value {
        self.flow.question(id).map_or(Value::Absent, |number| self.state.values[number])
    }

    /// Whether a choice of a question of which several can be marked is among them; nothing if that is not known.
    pub(super) fn marked(&self, id: &str, choice: &str) -> Option<bool> {
        let number = self.flow.question(id)?;
        match self.answer(id)? {
            Answer::Several(bits) => {
                let index = self.flow.questions[number].choices.iter().position(|c| c.id == choice)?;
                Some(bits & (1 << index) != 0)
            }
            _ => None,
        }
    }

    fn openings(&self) -> Vec<Opening> {
        match self.answer("wall_places") {
            Some(Answer::Places(list)) => list.iter().copied().filter_map(Opening::of).collect(),
            _ => Vec::new(),
        }
    }

    fn profile(&self, id: &str) -> Option<Line> {
        let Some(Answer::Profile(points)) = self.answer(id) else { return None };
        Line::through(points.iter().map(|p| (p.at, Elevation::MARK - p.below)).collect())
    }

    pub(super) fn answer(&self, id: &str) -> Option<&Answer> {
        let number = self.flow.question(id)?;
        (self.state.shown[number] == Truth::Yes).then(|| self.answers.get(number)).flatten()
    }

    pub(super) fn choice(&self, id: &str) -> Option<&str> {
        match self.answer(id)? {
            Answer::Choice(index) => {
                let question = &self.flow.questions[self.flow.question(id)?];
                question.choices.get(*index).map(|c| c.id.as_str())
            }
            _ => None,
        }
    }

    fn length(&self, id: &str) -> Option<Length> {
        match self.answer(id)? {
            Answer::Length(length) => Some(*length),
            _ => None,
        }
    }
}

impl Site {
    /// Reads the answers that count. `wood_lines` tells, by the choice of joists, how far the lowest wood
    /// usually lies below the threshold.
    #[must_use]
    pub fn read(flow: &Flow, answers: &Answers, state: &State, wood_lines: &[(String, Length)]) -> Site {
        let look = Look { flow, answers, state };
        let built = look.choice("stage") == Some("built");
        let door = look.choice("door").map(|d| d != "none");
        let added_on_top = look.choice("finish_way") == Some("added_on_top");
        let mut site = Site {
            along: along(&look),
            levels: levels(&look, built, wood_lines),
            door,
            openings: look.openings(),
            footing: look.length("footing_below_ground"),
            asked: ASKED.iter().map(|(id, kind)| (*kind, look.value(id))).collect(),
            other_door_below: look.value("other_door_below_mark"),
            length: look.length("feature_length"),
            depth: look.length("feature_depth"),
            built,
            door_width: look.length("door_width"),
            level_change: level_change(&look),
            drainage: super::water::drainage(&look, fall(&look), outer(&look)),
            fall: fall(&look),
            fall_depth: look.length("landing_depth").or_else(|| look.length("feature_depth")),
            outer: outer(&look),
            exit_kind: exit_kind(&look),
            hidden: None,
            steps_from_ground: matches!(look.choice("feature"), Some("landing" | "stone_slab_steps" | "masonry_steps")),
        };
        if look.choice("exit_way") == Some("cannot_see") {
            site.hidden = Some(match look.choice("exit_hidden_by") {
                Some("new_work") => Truth::Yes,
                Some("old_surface") if built || added_on_top => Truth::Yes,
                _ => Truth::Unknown,
            });
        }
        site
    }
}

/// The readings that the answers give. A planned height is exact, a measured one is not.
fn levels(look: &Look<'_>, built: bool, wood_lines: &[(String, Length)]) -> Levels {
    use Level::{Exit, Finish, Ground, Mark, OldSurface, Wood};
    let surface = if built { Finish } else { OldSurface };
    let table = [
        ("exit_below_mark", Exit, Mark, true),
        ("exit_above_ground", Ground, Exit, true),
        ("exit_above_surface", surface, Exit, true),
        ("finish_below_mark", Finish, Mark, built),
        ("finish_above_ground", Ground, Finish, built),
        ("build_up", OldSurface, Finish, built),
        ("old_surface_below_mark", OldSurface, Mark, true),
        ("ground_below_mark", Ground, Mark, true),
        ("wood_below_mark", Wood, Mark, true),
    ];
    let mut levels = Levels::default();
    for (id, lower, upper, measured) in table {
        if let Some(up) = look.length(id) {
            levels.add(Reading { lower, upper, up, readings: u32::from(measured) });
        }
    }
    if let (false, Some(up)) = (levels.has(Wood), derived_wood(look, wood_lines)) {
        levels.add(Reading { lower: Wood, upper: Mark, up, readings: DERIVED_READINGS });
    }
    levels
}

/// The bottom of the wood below the threshold, from the depth of the floor joists; the figures are content.
fn derived_wood(look: &Look<'_>, wood_lines: &[(String, Length)]) -> Option<Length> {
    let size = look.choice("joist_size")?;
    wood_lines.iter().find(|(choice, _)| choice == size).map(|(_, below)| *below)
}

/// The lines of the levels whose both ends are known.
fn along(look: &Look<'_>) -> Vec<(Level, Line)> {
    const PROFILES: [(Level, &str); 3] =
        [(Level::Finish, "finish_profile"), (Level::Ground, "ground_profile"), (Level::Exit, "exit_profile")];
    const ENDS: [(Level, &str, &str); 3] = [
        (Level::Finish, "finish_left_below_mark", "finish_right_below_mark"),
        (Level::Ground, "ground_left_below_mark", "ground_right_below_mark"),
        (Level::Exit, "exit_left_below_mark", "exit_right_below_mark"),
    ];
    let Some(length) = look.length("feature_length") else { return Vec::new() };
    let line = |(level, left, right): &(Level, &str, &str)| {
        let ends = [(Length::ZERO, look.length(left)?), (length, look.length(right)?)];
        let points = ends.into_iter().map(|(at, below)| (at, Elevation::MARK - below)).collect();
        Some((*level, Line::through(points)?))
    };
    let profiles = PROFILES.iter().filter_map(|(level, id)| Some((*level, look.profile(id)?)));
    profiles.chain(ENDS.iter().filter_map(line)).collect()
}

fn level_change(look: &Look<'_>) -> LevelChange {
    let ends_known =
        |level: &str| ["left", "right"].iter().all(|end| look.length(&format!("{level}_{end}_below_mark")).is_some());
    let along_known = |level: &str| ends_known(level) || look.profile(&format!("{level}_profile")).is_some();
    if look.length("feature_length").is_some() && (along_known("finish") || along_known("exit")) {
        // the worst place is computed along the wall, not guessed from the change
        return LevelChange::None;
    }
    let may_be_asked = look.flow.question("levels_vary").is_some_and(|q| look.state.shown[q] != Truth::No);
    match look.answer("levels_vary") {
        Some(Answer::YesNo(false)) => LevelChange::None,
        Some(Answer::YesNo(true)) => look.length("level_change").map_or(LevelChange::Unknown, LevelChange::By),
        _ if may_be_asked => LevelChange::Unknown,
        _ => LevelChange::None,
    }
}

fn fall(look: &Look<'_>) -> Option<Fall> {
    match look.choice("fall_direction")? {
        "away" => look.length("fall_drop").map(Fall::Away),
        "towards" => Some(Fall::Towards),
        _ => Some(Fall::None),
    }
}

fn outer(look: &Look<'_>) -> Outer {
    let height = || look.length("outer_edge_height").or_else(|| look.length("retaining_height"));
    match look.choice("outer_edge") {
        Some("above_ground") => height().map_or(Outer::Unknown, Outer::Drop),
        Some("below_ground") => Outer::Below(look.length("outer_edge_depth")),
        Some("against_wall") => Outer::NoEdge,
        Some(_) => Outer::Drop(Length::ZERO),
        None => look.length("retaining_height").map_or(Outer::Unknown, Outer::Drop),
    }
}

fn exit_kind(look: &Look<'_>) -> Option<&'static str> {
    Some(match look.choice("cladding")? {
        "stucco" | "adhered_stone" => {
            if look.choice("stucco_backing") == Some("masonry") {
                "masonry_face"
            } else if look.choice("weep_screed") == Some("present") {
                "weep_screed"
            } else {
                "stucco_edge"
            }
        }
        "brick_veneer" | "stone_veneer" => "weep_holes",
        "solid_masonry" => "masonry_face",
        "eifs" => "stucco_edge",
        _ => "siding_bottom",
    })
}
