//! From answers to building terms: the one crossing between questions and the wall.
//!
//! The questions live in YAML and can be replaced; the program knows some of them by name, because
//! it computes with their answers. [`BINDINGS`] lists these, [`FACTS`] lists what is computed.

use crate::flow::{Answer, Answers, Flow, Kind, QuestionKind, State, Truth, Value};
use crate::units::{Elevation, Length, Slope};
use crate::wall::{Closest, DERIVED_READINGS, Height, Level, Levels, Line, Reading, flight};

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
    length("retaining_height"),
    length("step_rise"),
    Binding { id: "levels_vary", kind: QuestionKind::YesNo, choices: &[] },
    length("level_change"),
    length("finish_left_below_mark"),
    length("finish_right_below_mark"),
    length("ground_left_below_mark"),
    length("ground_right_below_mark"),
    length("exit_left_below_mark"),
    length("exit_right_below_mark"),
    length("landing_depth"),
    length("door_width"),
];

/// A derived fact that rules may use.
#[derive(Debug)]
pub struct Fact {
    /// Its name.
    pub name: &'static str,
    /// Its kind.
    pub kind: FactKind,
    /// What it means.
    pub means: &'static str,
}

/// Kinds of facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FactKind {
    /// The height of the first level above the second, where both are known.
    Height(Level, Level),
    /// Another length.
    Length,
    /// A slope.
    Slope,
    /// A number.
    Number,
    /// Yes or no.
    YesNo,
    /// One of these.
    OneOf(&'static [&'static str]),
}

impl FactKind {
    /// The kind as conditions see it.
    #[must_use]
    pub fn kind(self) -> Kind {
        match self {
            FactKind::Height(..) | FactKind::Length => Kind::Length,
            FactKind::Slope => Kind::Slope,
            FactKind::Number => Kind::Number,
            FactKind::YesNo => Kind::YesNo,
            FactKind::OneOf(ids) => Kind::OneOf(ids.iter().map(|id| (*id).to_owned()).collect()),
        }
    }

    /// Whether the number grows (`1`), shrinks (`-1`) or stays when the finish is lowered.
    #[must_use]
    pub fn when_lowered(self) -> i64 {
        match self {
            FactKind::Height(_, Level::Finish) => 1,
            FactKind::Height(Level::Finish, _) => -1,
            _ => 0,
        }
    }
}

const EXIT_KINDS: &[&str] = &["siding_bottom", "weep_screed", "stucco_edge", "weep_holes", "masonry_face"];

/// The facts computed here, in the order of [`Site::facts`].
pub const FACTS: &[Fact] = &[
    Fact {
        name: "exit.above_finish",
        kind: FactKind::Height(Level::Exit, Level::Finish),
        means: "the lowest place where water behind the cladding leaves, above the finished surface",
    },
    Fact {
        name: "finish.above_exit",
        kind: FactKind::Height(Level::Finish, Level::Exit),
        means: "the same with the sign turned: how far the surface covers the exit",
    },
    Fact {
        name: "exit.above_ground",
        kind: FactKind::Height(Level::Exit, Level::Ground),
        means: "the exit above the ground at the wall",
    },
    Fact {
        name: "wood.above_finish",
        kind: FactKind::Height(Level::Wood, Level::Finish),
        means: "the bottom of the lowest wood above the finished surface",
    },
    Fact {
        name: "wood.above_ground",
        kind: FactKind::Height(Level::Wood, Level::Ground),
        means: "the bottom of the lowest wood above the ground at the wall",
    },
    Fact {
        name: "finish.above_wood",
        kind: FactKind::Height(Level::Finish, Level::Wood),
        means: "how far the finished surface stands above the bottom of the lowest wood",
    },
    Fact {
        name: "exit.above_wood",
        kind: FactKind::Height(Level::Exit, Level::Wood),
        means: "the exit above the bottom of the lowest wood; positive means that wood shows below the cladding, or a slip of the tape",
    },
    Fact {
        name: "finish.above_threshold",
        kind: FactKind::Height(Level::Finish, Level::Mark),
        means: "how far the finished surface stands above the threshold; no value without a door",
    },
    Fact {
        name: "threshold.above_finish",
        kind: FactKind::Height(Level::Mark, Level::Finish),
        means: "the step at the door; no value without a door",
    },
    Fact {
        name: "threshold.above_ground",
        kind: FactKind::Height(Level::Mark, Level::Ground),
        means: "the threshold above the ground; no value without a door",
    },
    Fact {
        name: "finish.above_ground",
        kind: FactKind::Height(Level::Finish, Level::Ground),
        means: "the fill against the wall",
    },
    Fact {
        name: "exit.at_worst_above_finish",
        kind: FactKind::Length,
        means: "exit.above_finish less the change of level along the wall: what may be left at the worst place",
    },
    Fact {
        name: "measure.conflict",
        kind: FactKind::Length,
        means: "how far two ways of measuring the same height disagree",
    },
    Fact { name: "outer.drop", kind: FactKind::Length, means: "the outer edge of the work above the ground outside" },
    Fact {
        name: "landing.spare_width",
        kind: FactKind::Length,
        means: "how much wider the work is than the door it lies at",
    },
    Fact { name: "fall.away", kind: FactKind::Slope, means: "the fall away from the wall; negative towards it" },
    Fact {
        name: "door.risers",
        kind: FactKind::Number,
        means: "equal risers up to the threshold, none higher than the region's limit: from the ground for steps and landings, else from the finished surface",
    },
    Fact { name: "exit.kind", kind: FactKind::OneOf(EXIT_KINDS), means: "how water leaves this kind of wall" },
    Fact { name: "exit.buried", kind: FactKind::YesNo, means: "the finished surface reaches or covers the exit" },
];

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
];

/// The questions whose answers lie on one line with the ends of a sloping wall.
pub const ON_THE_LINE: &[&str] = &["exit_below_mark", "finish_below_mark", "ground_below_mark", "wood_below_mark"];

/// Heights that are asked as distances above the finish: they change when the finish does.
pub const MEASURED_FROM_FINISH: &[&str] =
    &["gas_vent_above_surface", "dryer_vent_above_surface", "window_sill_above_surface"];

/// Numbers of the content that the computation needs.
#[derive(Debug, Clone, Copy, Default)]
pub struct Figures {
    /// How far one reading with tape and level may be off.
    pub per_reading: Length,
    /// The highest riser that the region allows, if known.
    pub highest_riser: Option<Length>,
}

/// The answers in building terms.
#[derive(Debug, Clone, Default)]
pub struct Site {
    /// Heights at the wall.
    pub levels: Levels,
    /// Whether the mark is a door threshold; nothing if that is not known.
    pub door: Option<bool>,
    /// Length along the wall.
    pub length: Option<Length>,
    /// Depth out from the wall.
    pub depth: Option<Length>,
    /// Lines along the wall, for the levels whose both ends were measured.
    along: Vec<(Level, Line)>,
    built: bool,
    door_width: Option<Length>,
    level_change: LevelChange,
    fall: Option<Fall>,
    /// Over which depth the fall was given: of steps and landings only the landing.
    fall_depth: Option<Length>,
    outer: Outer,
    exit_kind: Option<&'static str>,
    /// Where the exit cannot be seen, whether that means it is covered.
    hidden: Option<Truth>,
    steps_from_ground: bool,
}

#[derive(Debug, Clone, Copy, Default)]
enum LevelChange {
    /// Asked, and not known.
    #[default]
    Unknown,
    /// None, or a wall too short for the question to be asked.
    None,
    By(Length),
}

#[derive(Debug, Clone, Copy)]
enum Fall {
    Away(Length),
    None,
    Towards,
}

#[derive(Debug, Clone, Copy, Default)]
enum Outer {
    #[default]
    Unknown,
    NoEdge,
    Drop(Length),
}

/// Looks answers up by id: only those of questions that are shown.
struct Look<'a> {
    flow: &'a Flow,
    answers: &'a Answers,
    state: &'a State,
}

impl Look<'_> {
    fn answer(&self, id: &str) -> Option<&Answer> {
        let number = self.flow.question(id)?;
        (self.state.shown[number] == Truth::Yes).then(|| self.answers.get(number)).flatten()
    }

    fn choice(&self, id: &str) -> Option<&str> {
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
            length: look.length("feature_length"),
            depth: look.length("feature_depth"),
            built,
            door_width: look.length("door_width"),
            level_change: level_change(&look),
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

    /// The values of [`FACTS`], in their order.
    #[must_use]
    pub fn facts(&self, figures: Figures) -> Vec<Value> {
        FACTS.iter().map(|fact| self.fact(fact, figures)).collect()
    }

    /// A height with its tolerance. Where the wall slopes, the one at the worst place: the least that
    /// `a` stands above `b`, or for the finish the most that it stands above something.
    #[must_use]
    pub fn height(&self, a: Level, b: Level) -> Option<Height> {
        if (a == Level::Mark || b == Level::Mark) && self.door != Some(true) {
            return None;
        }
        let Some(closest) = self.closest(a, b) else { return self.levels.above(a, b) };
        let measured = |level: Level| u32::from(level != Level::Finish || self.built);
        Some(Height { up: closest.up, readings: measured(a) + measured(b) })
    }

    /// Where along the wall that height is; nothing where it is the same everywhere, or not known along
    /// the wall. The threshold counts only at its door.
    #[must_use]
    pub fn closest(&self, a: Level, b: Level) -> Option<Closest> {
        if a == Level::Mark || b == Level::Mark {
            return None;
        }
        let (length, upper, lower) = (self.length?, self.line(a)?, self.line(b)?);
        if upper.is_level() && lower.is_level() {
            return None;
        }
        Some(if a == Level::Finish {
            let closest = lower.closest_above(&upper, length);
            Closest { up: -closest.up, at: closest.at }
        } else {
            upper.closest_above(&lower, length)
        })
    }

    /// Over what length of the wall `a` stands less than `need` above `b`; nothing where it does not vary.
    #[must_use]
    pub fn short_over(&self, a: Level, b: Level, need: Length) -> Option<Length> {
        self.closest(a, b)?;
        Some(self.line(a)?.short_over(&self.line(b)?, need, self.length?))
    }

    /// A level along the wall, below or above the mark.
    #[must_use]
    pub fn line(&self, level: Level) -> Option<Line> {
        if let Some((_, line)) = self.along.iter().find(|(l, _)| *l == level) {
            return Some(line.clone());
        }
        // only what was read from the mark itself lies on one line with the ends
        let below = if level == Level::Mark { Length::ZERO } else { self.levels.direct(Level::Mark, level)? };
        Some(Line::level(Elevation::MARK - below))
    }

    /// Whether any level was measured at both ends.
    #[must_use]
    pub fn slopes(&self) -> bool {
        !self.along.is_empty() && self.length.is_some()
    }

    fn fact(&self, fact: &Fact, figures: Figures) -> Value {
        match (fact.kind, fact.name) {
            (FactKind::Height(Level::Mark, _) | FactKind::Height(_, Level::Mark), _) if self.door == Some(false) => {
                Value::Absent
            }
            (FactKind::Height(a, b), _) => spread(self.height(a, b), figures.per_reading),
            (_, "exit.at_worst_above_finish") => {
                let least = match self.level_change {
                    LevelChange::Unknown => return Value::Unknown,
                    LevelChange::None => Length::ZERO,
                    LevelChange::By(change) => change,
                };
                match spread(self.height(Level::Exit, Level::Finish), figures.per_reading) {
                    Value::Is(n) => Value::Is(n - least.steps()),
                    Value::Between(low, high) => Value::Between(low - least.steps(), high - least.steps()),
                    unknown => unknown,
                }
            }
            (_, "measure.conflict") => Value::Is(self.levels.conflict().steps()),
            (_, "outer.drop") => match self.outer {
                Outer::Unknown => Value::Unknown,
                Outer::NoEdge => Value::Absent,
                Outer::Drop(drop) => Value::Is(drop.steps()),
            },
            (_, "landing.spare_width") => {
                self.length.zip(self.door_width).map_or(Value::Unknown, |(l, d)| Value::Is((l - d).steps()))
            }
            (_, "fall.away") => self.fall_away(figures.per_reading),
            (_, "door.risers") => self.risers(figures),
            (_, "exit.kind") => self.exit_kind.map_or(Value::Unknown, |kind| {
                EXIT_KINDS.iter().position(|k| *k == kind).map_or(Value::Unknown, Value::choice)
            }),
            _ => self.buried(figures.per_reading),
        }
    }

    fn fall_away(&self, per_reading: Length) -> Value {
        match (self.fall, self.fall_depth) {
            (Some(Fall::None), _) => Value::Is(0),
            (Some(Fall::Towards), _) => Value::Between(i64::MIN / 2, -1),
            (Some(Fall::Away(drop)), Some(depth)) => {
                // a planned fall is exact; a built one was measured at both ends
                let off = if self.built { per_reading * 2 } else { Length::ZERO };
                match (Slope::of(drop - off, depth), Slope::of(drop + off, depth)) {
                    (Some(low), Some(high)) if low == high => Value::Is(low.parts()),
                    (Some(low), Some(high)) => Value::Between(low.parts(), high.parts()),
                    _ => Value::Unknown,
                }
            }
            _ => Value::Unknown,
        }
    }

    fn risers(&self, figures: Figures) -> Value {
        if self.door == Some(false) {
            return Value::Absent;
        }
        let below = if self.steps_from_ground { Level::Ground } else { Level::Finish };
        let flight =
            self.height(Level::Mark, below).zip(figures.highest_riser).and_then(|(rise, most)| flight(rise.up, most));
        flight.map_or(Value::Unknown, |f| Value::Is(f.risers * 1000))
    }

    fn buried(&self, per_reading: Length) -> Value {
        if let Some(height) = self.height(Level::Finish, Level::Exit) {
            let tolerance = height.tolerance(per_reading);
            return if height.up - tolerance >= Length::ZERO {
                Value::yes_no(true)
            } else if height.up + tolerance < Length::ZERO {
                Value::yes_no(false)
            } else {
                Value::Unknown
            };
        }
        match self.hidden {
            Some(Truth::Yes) => Value::yes_no(true),
            _ => Value::Unknown,
        }
    }

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
}

/// The height as a value: spread by its tolerance.
fn spread(height: Option<Height>, per_reading: Length) -> Value {
    let Some(height) = height else { return Value::Unknown };
    let tolerance = height.tolerance(per_reading);
    if tolerance == Length::ZERO {
        Value::Is(height.up.steps())
    } else {
        Value::Between((height.up - tolerance).steps(), (height.up + tolerance).steps())
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
    ENDS.iter().filter_map(line).collect()
}

fn level_change(look: &Look<'_>) -> LevelChange {
    let ends_known =
        |level: &str| ["left", "right"].iter().all(|end| look.length(&format!("{level}_{end}_below_mark")).is_some());
    if look.length("feature_length").is_some() && (ends_known("finish") || ends_known("exit")) {
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
