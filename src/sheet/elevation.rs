//! The wall of a visit seen from outside, along the run of the work: lines, openings and the line to snap, with the words that
//! go with them.

use crate::judge::{Assessment, BuildTo};
use crate::names::{Downspout, FinishWay, OpeningKind, QuestionId, Stage, WallThing};
use crate::say::opening_word;
use crate::site::{FactId, Opening};
use crate::units::{Elevation, Length, Units};
use crate::wall::{
    FinishState, Level, Line, Lying, RunHole, RunKind, RunLine, RunSpec, RunStretch, RunView, Sense, Station,
};

/// How many stations of the line to snap there may be between its ends, bends left out.
const MOST_STRIDES: i64 = 6;

/// The wall from outside, with its words. What stands at the same place in two lists belongs together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ElevationPicture {
    /// The geometry.
    pub view: RunView,
    /// What becomes of the finish.
    pub state: FinishState,
    /// Whether there is a line to snap. It has stations where the length of the work is known too.
    pub snap: bool,
    /// A title.
    pub title: String,
    /// The words of each line of the view.
    pub lines: Vec<RunLabel>,
    /// What each hole of the view is, and how high its lowest edge lies.
    pub holes: Vec<HoleLabel>,
    /// What is the matter over each stretch of the view.
    pub stretches: Vec<String>,
    /// The place and the height of each station of the view.
    pub stations: Vec<StationLabel>,
    /// What the stations are, and what their heights are told from; nothing without stations.
    pub chalk: Option<String>,
    /// How long the work is.
    pub length: String,
    /// What is in the wall without a known place along it, an entry each; the first says so.
    pub somewhere: Vec<String>,
    /// What else has to be said.
    pub notes: Vec<String>,
    /// How much larger heights are drawn than lengths; `{times}` stands for the figure.
    pub exaggerated: String,
    /// That both are drawn alike.
    pub one_scale: String,
    /// How high a line of a drawing in characters is and how wide a column; `{line}` and `{column}` stand for the figures.
    pub cell: String,
    /// How lengths are shown.
    pub units: Units,
}

/// The words of a line along the wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunLabel {
    /// Its height at the left end, in short.
    pub left: String,
    /// Its name, and its height at the right end.
    pub right: String,
    /// Its name and its heights at all places where it bends.
    pub whole: String,
    /// Its height at each place between its ends where it bends, in short.
    pub bends: Vec<(Length, String)>,
}

/// The words of something in the wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoleLabel {
    /// What it is.
    pub name: String,
    /// How high its lowest edge lies; nothing of the door that the mark belongs to.
    pub height: Option<String>,
    /// From where to where.
    pub place: String,
}

impl HoleLabel {
    /// All of it in one line.
    #[must_use]
    pub fn whole(&self) -> String {
        let height = self.height.as_ref().map_or_else(String::new, |height| format!(", {height}"));
        format!("{}, {}{height}", self.name, self.place)
    }
}

/// The words of a station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StationLabel {
    /// The distance from the left end.
    pub at: String,
    /// The height to chalk there.
    pub height: String,
}

impl ElevationPicture {
    /// What it shows, in words, with every figure: for those who cannot see it.
    #[must_use]
    pub fn alt(&self) -> String {
        let mut parts = vec![format!("{}.", self.title), ended(&self.length)];
        parts.extend(self.lines.iter().map(|line| ended(&line.whole)));
        if let Some(chalk) = &self.chalk {
            let list: Vec<String> = self.stations.iter().map(|s| format!("{} = {}", s.at, s.height)).collect();
            parts.push(format!("{chalk} {}.", list.join("; ")));
        }
        parts.extend(self.stretches.iter().map(|text| ended(text)));
        parts.extend(self.holes.iter().map(|hole| ended(&hole.whole())));
        if let Some((head, rest)) = self.somewhere.split_first() {
            parts.push(format!("{head} {}.", rest.join("; ")));
        }
        parts.extend(self.notes.iter().cloned());
        parts.join(" ")
    }
}

/// A text as a sentence.
fn ended(text: &str) -> String {
    if text.ends_with(['.', '?', '!']) { text.to_owned() } else { format!("{text}.") }
}

/// The lines that are drawn, apart from the one to keep, from the top down where they are the same height.
const DRAWN: [(RunKind, Level); 5] = [
    (RunKind::Mark, Level::Mark),
    (RunKind::Exit, Level::Exit),
    (RunKind::Finish, Level::Finish),
    (RunKind::OldSurface, Level::OldSurface),
    (RunKind::Ground, Level::Ground),
];

/// Things on the wall that may have a place along it.
const PLACED: [(WallThing, OpeningKind); 7] = [
    (WallThing::LowWindow, OpeningKind::Window),
    (WallThing::OtherDoor, OpeningKind::OtherDoor),
    (WallThing::GasVent, OpeningKind::GasVent),
    (WallThing::DryerVent, OpeningKind::DryerVent),
    (WallThing::CrawlVent, OpeningKind::CrawlVent),
    (WallThing::GasMeter, OpeningKind::GasMeter),
    (WallThing::Well, OpeningKind::Well),
];

/// Heights above the surface that are asked directly.
const OVER_SURFACE: [(OpeningKind, QuestionId); 4] = [
    (OpeningKind::Window, QuestionId::WindowSillAboveSurface),
    (OpeningKind::GasVent, QuestionId::GasVentAboveSurface),
    (OpeningKind::DryerVent, QuestionId::DryerVentAboveSurface),
    (OpeningKind::GasMeter, QuestionId::GasMeterAboveSurface),
];

impl Assessment<'_> {
    /// The wall from outside, along the run of the work; nothing if fewer than two heights are known.
    #[must_use]
    pub fn elevation(&self) -> Option<ElevationPicture> {
        let reference = self.run_reference();
        let build_to = self.build_to();
        let lines = self.run_lines(reference, build_to);
        let front = self.front(&lines);
        let chalk_kind = if build_to.lower.is_some() { RunKind::Keep } else { RunKind::Finish };
        let snap = match build_to.state {
            FinishState::Build => true,
            FinishState::Rejected => build_to.settled,
            FinishState::Stays | FinishState::Open => false,
        };
        let chalk = lines.iter().find(|line| line.kind == chalk_kind && line.known && snap);
        let chalk = chalk.map(|line| line.line.clone());
        let snap = chalk.is_some();
        let mark = lines.iter().find(|line| line.kind == RunKind::Mark).map(|line| line.line.at(Length::ZERO));
        let AlongText { strides, nominal, whole } = AlongText::of(self.units);
        let view = RunView::of(RunSpec {
            length: self.site.length,
            nominal,
            holes: self.site.openings.iter().map(|opening| hole(opening, mark)).collect(),
            front,
            need: self.exit_asked(),
            chalk,
            strides,
            most: MOST_STRIDES,
            whole,
            lines,
        })?;
        Some(self.labelled(view, reference, build_to, snap))
    }

    /// The level that heights are told from: something that is there, rather than a surface that is planned.
    fn run_reference(&self) -> Level {
        match self.reference() {
            _ if self.site.slopes() => Level::Mark,
            Level::Finish if self.site.levels.above(Level::Finish, Level::Ground).is_some() => Level::Ground,
            other => other,
        }
    }

    /// The lines that are known, told from a level.
    fn run_lines(&self, reference: Level, build_to: BuildTo) -> Vec<RunLine> {
        let mut lines: Vec<RunLine> = Vec::new();
        for (kind, level) in DRAWN {
            let shown = match kind {
                RunKind::OldSurface => self.said() == Some(FinishWay::AddedOnTop),
                RunKind::Exit => !self.site.no_exit,
                _ => true,
            };
            if shown && let Some((line, known)) = self.run_line(level, reference) {
                lines.push(RunLine { kind, line, known });
            }
        }
        if let Some(mark) = lines.iter().find(|line| line.kind == RunKind::Mark).map(|line| line.line.clone())
            && let Some(below) = self.length_said(QuestionId::FloorBelowMark)
        {
            lines.push(RunLine { kind: RunKind::Floor, line: mark.lowered(below), known: true });
        }
        if let (Some(lower), Some(finish)) = (build_to.lower, lines.iter().find(|line| line.kind == RunKind::Finish)) {
            let keep = RunLine { kind: RunKind::Keep, line: finish.line.lowered(lower), known: finish.known };
            lines.push(keep);
        }
        let top = |line: &RunLine| line.line.at(self.site.length.unwrap_or(Length::ZERO));
        lines.sort_by_key(|line| std::cmp::Reverse(top(line)));
        lines
    }

    /// A level along the wall told from another one, and whether it is known everywhere.
    fn run_line(&self, level: Level, reference: Level) -> Option<(Line, bool)> {
        if self.site.slopes()
            && let Some(line) = self.site.line(level)
        {
            return Some((line, true));
        }
        if level != reference && !self.site.levels.has(level) {
            return None;
        }
        let height = self.site.levels.above(level, reference)?;
        Some((Line::level(Elevation::MARK + height.up), !self.site.may_vary(level) && !self.site.may_vary(reference)))
    }

    /// The top of what the wall sees before it, where that and the exit are known all along.
    fn front(&self, lines: &[RunLine]) -> Option<Line> {
        let strip = self.site.strip_between(Level::Exit, Level::Finish)?;
        let kind = if self.site.faces_ground() { RunKind::Ground } else { RunKind::Finish };
        let before = lines.iter().find(|line| line.kind == kind && line.known)?;
        Some(before.line.lowered(strip))
    }

    /// The most that a limit which can fail a plan asks of the exit above what lies before the wall.
    fn exit_asked(&self) -> Option<Length> {
        let rows = self.bounds_on(FactId::ExitAboveFinish, Sense::AtLeast).filter(|limit| limit.verdict.is_some());
        rows.map(|limit| Length::from_steps(limit.bound)).max()
    }

    fn labelled(&self, view: RunView, reference: Level, build_to: BuildTo, snap: bool) -> ElevationPicture {
        let reference_name = self.level_name(reference);
        let lines = view.lines.iter().map(|line| self.run_label(line, &view, reference, build_to)).collect();
        let holes = self.site.openings.iter().zip(&view.holes).map(|(o, hole)| self.hole_label(o, hole)).collect();
        let stretches = view.stretches.iter().map(|stretch| self.stretch_label(stretch, &view)).collect();
        let down = view.stations.iter().all(|station| station.below >= Length::ZERO);
        let stations = view.stations.iter().map(|station| self.station_label(station, down)).collect();
        let chalk = (!view.stations.is_empty()).then(|| {
            let key = if down { "elevation.chalk" } else { "elevation.chalk_from" };
            let what = if build_to.lower.is_some() { "elevation.top_keep" } else { "elevation.top" };
            self.word_with(key, &[("what", &self.word(what)), ("reference", &reference_name)])
        });
        let length = view.length.map_or_else(
            || self.word("elevation.length_unknown"),
            |length| self.word_with("elevation.length", &[("length", &length.show(self.units))]),
        );
        ElevationPicture {
            title: self.word("elevation.title"),
            state: build_to.state,
            snap,
            lines,
            holes,
            stretches,
            stations,
            chalk,
            length,
            somewhere: self.somewhere(),
            notes: self.elevation_notes(&view, &reference_name, build_to, snap),
            exaggerated: self.word("elevation.exaggerated"),
            one_scale: self.word("elevation.one_scale"),
            cell: self.word("elevation.cell"),
            units: self.units,
            view,
        }
    }

    fn run_label(&self, line: &RunLine, view: &RunView, reference: Level, build_to: BuildTo) -> RunLabel {
        let up = |at: Length| {
            let up = line.line.at(at).above(Elevation::MARK);
            // what is built to is never told higher than it is
            if line.kind == RunKind::Keep { -(-up).up_to_shown(self.units) } else { up }
        };
        let told = |at: Length| self.told_height(up(at));
        let name = self.run_name(line, build_to);
        let with = |key: &str, height: &str| self.word_with(key, &[("name", &name), ("height", height)]);
        if DRAWN.contains(&(line.kind, reference)) {
            let whole = with("elevation.line", &self.word("elevation.measure_from"));
            let left = Length::ZERO.show(self.units);
            return RunLabel { left, right: whole.clone(), whole, bends: Vec::new() };
        }
        let right = told(view.end());
        if !line.known {
            let one = with("elevation.one_place", &right);
            return RunLabel { left: "?".to_owned(), right: one.clone(), whole: one, bends: Vec::new() };
        }
        let places: Vec<Length> = {
            let inside = line.line.offsets().filter(|at| *at > Length::ZERO && *at < view.end());
            let mut places: Vec<Length> = inside.chain([Length::ZERO, view.end()]).collect();
            places.sort_unstable();
            places.dedup();
            places
        };
        let short = |at: Length| {
            let up = up(at);
            if up > Length::ZERO { self.told_height(up) } else { up.abs().show(self.units) }
        };
        let inside = places.iter().filter(|at| **at > Length::ZERO && **at < view.end());
        let bends = inside.map(|at| (*at, short(*at))).collect();
        let whole = if line.line.is_level() {
            with("elevation.line", &right)
        } else {
            let list: Vec<String> = places
                .iter()
                .map(|at| {
                    let height = told(*at);
                    match *at {
                        Length::ZERO => self.word_with("elevation.at_left", &[("height", &height)]),
                        at => self.word_with("elevation.at", &[("at", &at.show(self.units)), ("height", &height)]),
                    }
                })
                .collect();
            with("elevation.line", &list.join(", "))
        };
        RunLabel { left: short(Length::ZERO), right: with("elevation.line", &right), whole, bends }
    }

    /// The name of a line: of the finish, what becomes of it.
    fn run_name(&self, line: &RunLine, build_to: BuildTo) -> String {
        let built = self.said() == Some(Stage::Built);
        match line.kind {
            RunKind::Mark => self.mark_name(),
            RunKind::Floor => self.word("elevation.floor"),
            RunKind::Exit => self.level_name(Level::Exit),
            RunKind::OldSurface => self.level_name(Level::OldSurface),
            RunKind::Ground => self.level_name(Level::Ground),
            RunKind::Keep if build_to.settled && line.known => self.word("elevation.keep"),
            RunKind::Keep => self.word("elevation.keep_open"),
            RunKind::Finish => self.word(match (build_to.state, built) {
                (FinishState::Build, _) => "elevation.build",
                (FinishState::Stays, _) => "elevation.stays",
                (FinishState::Rejected, false) => "elevation.rejected",
                (FinishState::Rejected, true) => "elevation.rejected_built",
                (FinishState::Open, false) => "elevation.open",
                (FinishState::Open, true) => "elevation.open_built",
            }),
        }
    }

    /// A height above the level that all are told from, or below it.
    fn told_height(&self, up: Length) -> String {
        if up == Length::ZERO {
            return self.word("elevation.same");
        }
        let key = if up > Length::ZERO { "label.above_short" } else { "label.below_short" };
        self.word_with(key, &[("height", &up.abs().show(self.units))])
    }

    fn hole_label(&self, opening: &Opening, hole: &RunHole) -> HoleLabel {
        let name = self.word(opening_word(opening.kind));
        let height = match hole.edge {
            _ if opening.kind == OpeningKind::MainDoor => None,
            Some(edge) => Some(self.told_height(edge.above(Elevation::MARK))),
            None => Some(self.word("elevation.height_unknown")),
        };
        let (key, from, to) = if opening.to <= Length::ZERO {
            ("elevation.left_of", -opening.to, -opening.from)
        } else {
            ("label.from_to", opening.from, opening.to)
        };
        let values = [("from", from.show(self.units)), ("to", to.show(self.units))];
        let values: Vec<(&str, &str)> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        HoleLabel { name, height, place: self.word_with(key, &values) }
    }

    fn stretch_label(&self, stretch: &RunStretch, view: &RunView) -> String {
        let all = stretch.from == Length::ZERO && stretch.to == view.end();
        let key = match (stretch.lying, all) {
            (Lying::Covered, false) => "elevation.covered",
            (Lying::Covered, true) => "elevation.covered_all",
            (Lying::TooLow, false) => "elevation.too_low",
            (Lying::TooLow, true) => "elevation.too_low_all",
        };
        let show = |length: Length| length.show(self.units);
        let need = self.exit_asked().map_or_else(String::new, show);
        let (from, to, over) = (show(stretch.from), show(stretch.to), show(stretch.to - stretch.from));
        self.word_with(key, &[("from", &from), ("to", &to), ("over", &over), ("need", &need)])
    }

    /// The height is told no higher than it is: stone that stands a hair too high is too high.
    fn station_label(&self, station: &Station, down: bool) -> StationLabel {
        let below = station.below.up_to_shown(self.units);
        let height = if down { below.show(self.units) } else { self.told_height(-below) };
        let at = if station.at == Length::ZERO { self.word("elevation.left_end") } else { station.at.show(self.units) };
        StationLabel { at, height }
    }

    /// What is in the wall and has no known place along it.
    fn somewhere(&self) -> Vec<String> {
        let placed = |kind: OpeningKind| self.site.openings.iter().any(|opening| opening.kind == kind);
        let item = |name: &str, rest: &str| self.word_with("elevation.line", &[("name", name), ("height", rest)]);
        let mut list = Vec::new();
        if self.site.door == Some(true) && !placed(OpeningKind::MainDoor) {
            let name = self.word(opening_word(OpeningKind::MainDoor));
            let wide = self.length_said(QuestionId::DoorWidth);
            let wide = wide.map(|wide| self.word_with("elevation.wide", &[("width", &wide.show(self.units))]));
            list.push(wide.map_or(name.clone(), |wide| item(&name, &wide)));
        }
        let names = &self.content.catalog.names;
        let things = &self.content.flow.questions[names.at(QuestionId::WallThings)].choices;
        let marked = self.marked_bits(QuestionId::WallThings);
        for (place, thing) in things.iter().enumerate().filter(|(place, _)| marked & (1 << place) != 0) {
            let known: Option<WallThing> = names.choice(place);
            let kind = known.and_then(|thing| PLACED.iter().find(|(t, _)| *t == thing)).map(|(_, kind)| *kind);
            if kind.is_some_and(placed) {
                continue;
            }
            let name = kind.map_or_else(|| thing.label.to_string(), |kind| self.word(opening_word(kind)));
            let height = kind.and_then(|kind| self.height_without_place(kind));
            list.push(height.map_or(name.clone(), |height| item(&name, &height)));
        }
        if self.said::<Downspout>().is_some_and(|said| said != Downspout::None)
            && let Some(leads) = self.question_in_words(QuestionId::Downspout)
        {
            list.push(item(&self.short(names.at(QuestionId::Downspout)), &leads));
        }
        if !list.is_empty() {
            list.insert(0, self.word("elevation.somewhere"));
        }
        list
    }

    fn height_without_place(&self, kind: OpeningKind) -> Option<String> {
        if kind == OpeningKind::OtherDoor {
            return self.length_said(QuestionId::OtherDoorBelowMark).map(|below| self.depth_words(below));
        }
        let (_, question) = OVER_SURFACE.iter().find(|(asked, _)| *asked == kind)?;
        let up = self.length_said(*question)?;
        let key = if up < Length::ZERO { "label.below" } else { "label.above" };
        let surface = self.level_name(Level::Finish);
        Some(self.word_with(key, &[("height", &up.abs().show(self.units)), ("reference", &surface)]))
    }

    fn elevation_notes(&self, view: &RunView, reference: &str, build_to: BuildTo, snap: bool) -> Vec<String> {
        let mut notes = vec![self.word_with("elevation.heights_from", &[("reference", reference)])];
        let unsure = view.lines.iter().any(|line| !line.known);
        if unsure {
            notes.push(self.word("elevation.unsure"));
        }
        let wanted = [(RunKind::Exit, Level::Exit), (RunKind::Finish, Level::Finish), (RunKind::Ground, Level::Ground)];
        let missing: Vec<String> = wanted
            .into_iter()
            .filter(|(kind, _)| view.line(*kind).is_none() && !(*kind == RunKind::Exit && self.site.no_exit))
            .map(|(_, level)| self.level_name(level))
            .collect();
        if !missing.is_empty() {
            notes.push(self.word_with("elevation.not_drawn", &[("names", &missing.join(", "))]));
        }
        if self.site.no_exit {
            notes.push(self.word("elevation.no_exit"));
        }
        if !snap && !matches!(build_to.state, FinishState::Stays | FinishState::Build) {
            notes.push(self.word("elevation.no_snap"));
        }
        if build_to.steps {
            notes.push(self.word("answer.steps"));
        }
        notes.extend(self.below_ground(view, build_to.state));
        notes.push(self.word("elevation.from_outside"));
        notes
    }

    /// Where what is to be built to lies below the ground of today.
    fn below_ground(&self, view: &RunView, state: FinishState) -> Option<String> {
        let build = view.line(RunKind::Keep).or_else(|| {
            view.line(RunKind::Finish).filter(|_| matches!(state, FinishState::Build | FinishState::Open))
        })?;
        let ground = view.line(RunKind::Ground).filter(|ground| ground.known && build.known)?;
        let stretches = build.line.short_stretches(&ground.line, Length::ZERO, view.end());
        let (from, to) = (stretches.first()?.0, stretches.last()?.1);
        let whole = AlongText::of(self.units).whole;
        let (from, to) = (whole_below(from, whole), (-whole_below(-to, whole)).min(view.end()));
        let values = [("from", from.show(self.units)), ("to", to.show(self.units))];
        let values: Vec<(&str, &str)> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        Some(self.word_with("elevation.below_ground", &values))
    }
}

fn whole_below(at: Length, whole: Length) -> Length {
    Length::from_steps(at.steps().div_euclid(whole.steps()) * whole.steps())
}

fn hole(opening: &Opening, mark: Option<Elevation>) -> RunHole {
    let edge = mark.zip(opening.below).map(|(mark, below)| mark - below);
    RunHole { from: opening.from, to: opening.to, edge, sunk: opening.kind == OpeningKind::Well }
}

/// Measures along the wall that suit people.
struct AlongText {
    /// How far apart stations may be.
    strides: Vec<Length>,
    /// How long a wall is drawn whose length nobody knows.
    nominal: Length,
    /// To what places along it are told.
    whole: Length,
}

impl AlongText {
    fn of(units: Units) -> AlongText {
        match units {
            Units::Inch => AlongText {
                strides: [1, 2, 5, 10, 20, 50].map(|feet| Length::inches(12 * feet)).to_vec(),
                nominal: Length::inches(120),
                whole: Length::inches(1),
            },
            Units::Metric => AlongText {
                strides: [500, 1000, 2000, 5000, 10_000].map(Length::mm).to_vec(),
                nominal: Length::mm(3000),
                whole: Length::mm(10),
            },
        }
    }
}
