//! What is true of facts together, whatever is answered: as [`crate::site`] computes them. No more is said here than
//! [`super::super::heights`] says; what is free there is free here.

use super::parts::{PosedTerms, SmtWriting, ValuedTerm, taped_term, turned_of};
use super::term::{all, any, at_least, at_most, equal, no, so};
use crate::names::{
    ChannelOutlet, Choices, DampCourse, DeckCarried, DoorSaid, Drains, ExitHiddenBy, ExitWay, FallSaid, FinishWay,
    JointSaid, QuestionId, Shape, Stage,
};
use crate::site::{ALONG, FACTS, FactId, FactKind, readings};
use crate::wall::Level;
use crate::water::{ENDS, End};

/// The levels that a way may lead over.
const LEVELS: [Level; 6] = [Level::Mark, Level::Exit, Level::Finish, Level::Ground, Level::Wood, Level::OldSurface];

/// A reading, and the term that it is given.
#[derive(Debug, Clone)]
struct GivenReading {
    between: [Level; 2],
    given: String,
}

/// What of the answers the heights hang on, as terms.
#[derive(Debug)]
struct TiedHeights {
    readings: Vec<GivenReading>,
    /// There is no door; there is one.
    no_door: String,
    door: String,
    no_exit: String,
    /// Before the wall lies the ground.
    sees_ground: String,
    /// There is a strip before it of which too little is known.
    strip_unknown: String,
    /// What hides an exit that nobody has measured.
    hidden: Vec<(Level, String)>,
    /// Lines along the wall, and the change of level along it.
    along: String,
    lines: Vec<(Level, String)>,
    may_vary: Vec<(Level, String)>,
    by: String,
    places: String,
}

impl SmtWriting<'_> {
    fn posed(&self, id: QuestionId) -> &PosedTerms {
        &self.questions[self.content.catalog.names.at(id)]
    }

    /// Shown, and answered.
    fn answered(&self, id: QuestionId) -> String {
        let posed = self.posed(id);
        all([posed.shown.clone(), no(&posed.not_sure)])
    }

    /// Shown, and answered so.
    fn said<C: Choices>(&self, choice: C) -> String {
        let posed = self.posed(C::QUESTION);
        all([posed.shown.clone(), posed.is[self.content.catalog.names.place(choice)].clone()])
    }

    /// Shown, and answered with a choice of which something is true.
    fn said_where(&self, id: QuestionId, such: impl Fn(usize) -> bool) -> String {
        let posed = self.posed(id);
        let some = any(posed.is.iter().enumerate().filter(|(at, _)| such(*at)).map(|(_, is)| is.clone()));
        all([posed.shown.clone(), some])
    }

    /// States all ties.
    pub(super) fn tie(&mut self) {
        self.tie_exit();
        self.tie_traces();
        self.tie_heights();
    }

    /// Whether the exit is covered, by how high it stands.
    fn tie_exit(&mut self) {
        let (ValuedTerm::Counted { known, absent, low, high }, ValuedTerm::Chosen { absent: none, is, .. }) =
            (self.value(FactId::ExitAboveFinish).clone(), self.value(FactId::ExitBuried).clone())
        else {
            return;
        };
        let covered = all([known.clone(), at_most(&high, 0)]);
        let clear = all([known, at_least(&low, 1)]);
        let work = self.said(ExitHiddenBy::NewWork);
        let stands = any([self.said(Stage::Built), self.said(FinishWay::AddedOnTop)]);
        let old = all([self.said(ExitHiddenBy::OldSurface), stands]);
        let hidden = all([self.said(ExitWay::CannotSee), any([work, old])]);
        let hidden = self.script.define("the work hides the exit", &hidden);
        self.script.assert(&equal(&none, &absent));
        self.script.assert(&equal(&is[0], &clear));
        self.script.assert(&equal(&is[1], &all([no(&absent), any([covered, all([hidden, no(&clear)])])])));
    }

    /// What the ways of a drop say together.
    fn tie_traces(&mut self) {
        let ends = |such: fn(End) -> bool| -> Vec<usize> {
            ENDS.iter().enumerate().filter(|(_, (end, _))| such(*end)).map(|(at, _)| at).collect()
        };
        let held = ends(End::is_held);
        let bad = ends(|end| end.is_held() || end == End::OnWood);
        let stays = ends(|end| !end.leaves_wall());
        let every: Vec<FactId> = FACTS.iter().filter(|fact| fact.kind == FactKind::End).map(|fact| fact.id).collect();
        let behind = [FactId::TraceBehind, FactId::TraceChannel];
        let door = [FactId::TraceDoorHead];
        let wall = [FactId::TraceFace, FactId::TraceBehind, FactId::TraceDoorHead, FactId::TraceChannel];
        for (told, of, such, turned) in [
            (FactId::TraceHeldBehind, &behind[..], &held, false),
            (FactId::TraceHeldAtDoor, &door[..], &held, false),
            (FactId::TraceOutside, &wall[..], &stays, true),
        ] {
            let ValuedTerm::Chosen { absent, is, .. } = self.value(told).clone() else { continue };
            self.script.assert(&no(&absent));
            let (yes, not) = if turned { (0, 1) } else { (1, 0) };
            self.tie_some(of, such, &is[yes], &is[not]);
            if !turned {
                let (all_held, none_held) = self.held.clone();
                self.script.assert(&so(&is[yes], &all_held));
                self.script.assert(&so(&none_held, &is[not]));
            }
        }
        let (yes, not) = self.held.clone();
        self.tie_some(&every, &bad, &yes, &not);
    }

    /// One of these drops is known to end so; all of them are known to end otherwise, or do not start.
    fn tie_some(&mut self, of: &[FactId], ends: &[usize], yes: &str, not: &str) {
        let mut others = Vec::new();
        for id in of {
            let ValuedTerm::Chosen { known, absent, is } = self.value(*id).clone() else { continue };
            let such = any(ends.iter().map(|at| is[*at].clone()));
            self.script.assert(&so(&such, yes));
            others.push(any([absent, all([known, no(&such)])]));
        }
        self.script.assert(&so(&all(others), not));
    }

    fn heights(&mut self) -> TiedHeights {
        let catalog = &self.content.catalog;
        let mut found: Vec<GivenReading> = Vec::new();
        let built = self.said(Stage::Built);
        for stands in [true, false] {
            for (_, id, lower, upper, _) in readings(stands) {
                let stage = if stands { built.clone() } else { no(&built) };
                found.push(GivenReading { between: [lower, upper], given: all([self.answered(id), stage]) });
            }
        }
        let with = |found: &[GivenReading], level: Level| {
            any(found.iter().filter(|r| r.between.contains(&level)).map(|r| r.given.clone()))
        };
        let joists =
            self.said_where(QuestionId::JoistSize, |at| catalog.wood_lines.get(at).is_some_and(Option::is_some));
        let derived = all([joists, no(&with(&found, Level::Wood))]);
        found.push(GivenReading { between: [Level::Wood, Level::Mark], given: derived });
        for (at, reading) in found.iter_mut().enumerate() {
            let [a, b] = reading.between;
            reading.given = self.script.define(&format!("reading {at}: {a:?} to {b:?}"), &reading.given);
        }
        let exit_measured = self.script.define("the exit was measured", &with(&found, Level::Exit));
        let cannot_see = self.said(ExitWay::CannotSee);
        let hides = |by: String| all([cannot_see.clone(), by, no(&exit_measured)]);
        let hidden = vec![
            (Level::Ground, hides(self.said(ExitHiddenBy::Soil))),
            (Level::OldSurface, hides(self.said(ExitHiddenBy::OldSurface))),
        ];
        let strip = self.said(JointSaid::Strip);
        let outlet = all([self.said(ChannelOutlet::Outlet), self.answered(QuestionId::StripDepth)]);
        let vary = self.posed(QuestionId::LevelsVary).clone();
        let level = any([all([vary.shown.clone(), vary.is[0].clone()]), vary.hidden.clone()]);
        let length = self.answered(QuestionId::FeatureLength);
        let (mut lines, mut may_vary) = (Vec::new(), Vec::new());
        for (of, _, profile, left, right) in ALONG {
            let ends = all([self.answered(left), self.answered(right)]);
            let line = all([length.clone(), any([self.answered(profile), ends])]);
            may_vary.push((of, all([no(&level), no(&line)])));
            lines.push((of, line));
        }
        TiedHeights {
            no_door: self.said(DoorSaid::None),
            door: all([self.answered(QuestionId::Door), no(&self.said(DoorSaid::None))]),
            no_exit: all([
                self.said_where(QuestionId::Cladding, |at| catalog.claddings[at].drains == Drains::Solid),
                self.said(DampCourse::Absent),
            ]),
            sees_ground: all([
                self.said_where(QuestionId::Feature, |at| catalog.features[at].on_posts),
                self.said(DeckCarried::Free),
                self.said(JointSaid::OpenGap),
            ]),
            strip_unknown: all([strip, no(&self.said(ChannelOutlet::Nowhere)), no(&outlet)]),
            hidden,
            along: self.script.define("a line along the wall", &any(lines.iter().map(|(_, line)| line.clone()))),
            lines,
            may_vary,
            by: all([vary.shown, vary.is[1].clone(), self.answered(QuestionId::LevelChange)]),
            places: self.answered(QuestionId::WallPlaces),
            readings: found,
        }
    }

    fn tie_heights(&mut self) {
        let heights = self.heights();
        for fact in FACTS {
            if let FactKind::Height(a, b) = fact.kind
                && turned_of(fact.id).is_none()
            {
                self.tie_height(&heights, fact.id, a, b);
            }
        }
        self.tie_fall();
        self.tie_conflict(&heights);
        for (question, fact) in [
            (QuestionId::WindowSillAboveSurface, FactId::WindowAboveFinish),
            (QuestionId::GasVentAboveSurface, FactId::GasVentAboveFinish),
            (QuestionId::DryerVentAboveSurface, FactId::DryerVentAboveFinish),
            (QuestionId::GasMeterAboveSurface, FactId::GasMeterAboveFinish),
        ] {
            let ValuedTerm::Counted { known, absent, .. } = self.value(fact).clone() else { continue };
            let (answered, hidden) = (self.answered(question), self.posed(question).hidden.clone());
            let unless = [heights.places.clone()];
            self.same_unless(&known, &answered, &unless);
            self.same_unless(&absent, &hidden, &unless);
            self.same_unless(&taped_term(fact), &answered, &unless);
        }
        self.tie_risers(&heights);
    }

    fn tie_height(&mut self, heights: &TiedHeights, id: FactId, a: Level, b: Level) {
        let ValuedTerm::Counted { known, absent, low, high } = self.value(id).clone() else { return };
        let is = |level: Level| a == level || b == level;
        let none = any([
            if is(Level::Mark) { heights.no_door.clone() } else { "false".to_owned() },
            if is(Level::Exit) { heights.no_exit.clone() } else { "false".to_owned() },
        ]);
        self.script.assert(&equal(&absent, &none));
        let at_wall = is(Level::Finish) && (is(Level::Exit) || is(Level::Wood));
        let mut unless = Vec::new();
        if at_wall {
            unless.push(heights.sees_ground.clone());
        }
        if is(Level::Mark) && is(Level::Finish) {
            unless.push(heights.places.clone());
        }
        let mut needed = vec![no(&none)];
        if at_wall {
            needed.push(no(&heights.strip_unknown));
        }
        if is(Level::Mark) {
            needed.push(heights.door.clone());
        }
        let needed = all(needed);
        let chain = all([needed.clone(), joined(&heights.readings, a, b, None)]);
        let chain = self.script.define(&format!("{}: read", id.fact().name), &chain);
        let other = if a == Level::Exit { b } else { a };
        let over = any(heights.hidden.iter().filter(|_| is(Level::Exit)).map(|(above, hides)| {
            let reaches =
                if *above == other { "true".to_owned() } else { joined(&heights.readings, *above, other, None) };
            all([hides.clone(), reaches, needed.clone()])
        }));
        let mut maybe = unless.clone();
        maybe.push(heights.along.clone());
        let can = any([chain.clone(), over]);
        // along the wall two levels can be compared without a chain, where both are lines
        let line = |level: Level| {
            let read =
                heights.readings.iter().filter(move |r| r.between.contains(&level) && r.between.contains(&Level::Mark));
            let along = heights.lines.iter().filter(move |(of, _)| *of == level).map(|(_, line)| line.clone());
            any(read.map(|r| r.given.clone()).chain(along))
        };
        let both = if is(Level::Mark) { "false".to_owned() } else { all([line(a), line(b), needed]) };
        self.script.assert(&any([no(&known), can.clone(), both].into_iter().chain(unless.clone())));
        self.same_unless(&known, &can, &maybe);
        self.script.assert(&any([no(&chain), known.clone()].into_iter().chain(unless.clone())));
        // how it may differ elsewhere along the wall
        let vary =
            |level: Level| heights.may_vary.iter().filter(move |(of, _)| *of == level).map(|(_, may)| may.clone());
        let varies = if is(Level::Mark) { "false".to_owned() } else { any(vary(a).chain(vary(b))) };
        let varies = self.script.define(&format!("{}: varies", id.fact().name), &varies);
        let (lower, higher) = match (a, b) {
            (Level::Finish, Level::Ground) => (true, true),
            (Level::Finish | Level::Ground, _) | (Level::Exit, Level::Wood) => (false, true),
            _ => (true, false),
        };
        let hidden = if is(Level::Exit) {
            any(heights.hidden.iter().map(|(_, hides)| hides.clone()))
        } else {
            "false".to_owned()
        };
        let open = all([varies.clone(), no(&heights.by)]);
        let down = any([if lower { open.clone() } else { "false".to_owned() }, hidden.clone()]);
        let up = if higher { open } else { "false".to_owned() };
        for (end, opens) in [(at_most(&low, -super::term::FAR), down), (at_least(&high, super::term::FAR), up)] {
            self.same_unless(&all([known.clone(), end]), &all([known.clone(), opens]), &unless);
        }
        let taped = all([known, no(&varies), no(&hidden)]);
        self.same_unless(&taped_term(id), &taped, &unless);
    }

    fn tie_fall(&mut self) {
        let catalog = &self.content.catalog;
        let ValuedTerm::Counted { known, absent, low, high } = self.value(FactId::FallAway).clone() else { return };
        let flat = any([self.said(FallSaid::Level), self.said(FallSaid::Along)]);
        let (towards, away) = (self.said(FallSaid::Towards), self.said(FallSaid::Away));
        let steps = |at: usize| matches!(catalog.features[at].shape, Shape::Landing | Shape::Flight);
        let raised = self.said_where(QuestionId::Feature, steps);
        let other = self.said_where(QuestionId::Feature, |at| !steps(at));
        let asks = self.posed(QuestionId::LandingDepth).shown.clone();
        let landing = all([any([raised.clone(), asks.clone()]), self.answered(QuestionId::LandingDepth)]);
        let depth = all([other.clone(), no(&asks), self.answered(QuestionId::FeatureDepth)]);
        let drop = self.answered(QuestionId::FallDrop);
        let measured = all([away.clone(), drop.clone(), any([landing.clone(), depth.clone()]), any([raised, other])]);
        self.script.assert(&no(&absent));
        self.script.assert(&so(&known, &any([flat.clone(), towards.clone(), measured])));
        self.script.assert(&so(&any([flat.clone(), towards.clone()]), &known));
        for (given, id) in [(landing, QuestionId::LandingDepth), (depth, QuestionId::FeatureDepth)] {
            let name = format!("|{}|", self.content.flow.questions[catalog.names.at(id)].id);
            self.script.assert(&so(&all([away.clone(), drop.clone(), given, at_least(&name, 1)]), &known));
        }
        self.script.assert(&equal(&all([known.clone(), at_most(&low, -super::term::FAR)]), &towards));
        self.script.assert(&so(&known, &at_most(&high, super::term::FAR - 1)));
        self.script.assert(&so(&flat, &all([equal(&low, "0"), equal(&high, "0")])));
        self.script.assert(&so(&towards, &at_most(&high, -1)));
    }

    /// Readings disagree only where two ways lead from one level to another.
    fn tie_conflict(&mut self, heights: &TiedHeights) {
        let ValuedTerm::Counted { known, low, high, .. } = self.value(FactId::MeasureConflict).clone() else { return };
        let twice = heights.readings.iter().enumerate().map(|(at, reading)| {
            let [a, b] = reading.between;
            all([reading.given.clone(), joined(&heights.readings, a, b, Some(at))])
        });
        let twice = any(twice.chain([heights.along.clone()]));
        let twice = self.script.define("measured twice", &twice);
        self.script.assert(&known);
        self.script.assert(&at_least(&low, 0));
        self.script.assert(&at_most(&high, super::term::FAR - 1));
        self.script.assert(&so(&at_least(&high, 1), &twice));
    }

    fn tie_risers(&mut self, heights: &TiedHeights) {
        let catalog = &self.content.catalog;
        let ValuedTerm::Counted { known, absent, low, high } = self.value(FactId::DoorRisers).clone() else { return };
        let from_ground = self
            .said_where(QuestionId::Feature, |at| matches!(catalog.features[at].shape, Shape::Landing | Shape::Flight));
        let way = |level: Level| joined(&heights.readings, Level::Mark, level, None);
        let ground = all([from_ground.clone(), way(Level::Ground)]);
        let finish = all([no(&from_ground), way(Level::Finish)]);
        let can = all([heights.door.clone(), any([ground, finish, heights.along.clone()])]);
        self.script.assert(&so(&known, &can));
        self.script.assert(&equal(&absent, &heights.no_door));
        let between = all([at_least(&low, 1 - super::term::FAR), at_most(&high, super::term::FAR - 1)]);
        self.script.assert(&so(&known, &between));
    }
}

/// That some way leads from one level to another, over no level twice; without one of the readings.
fn joined(readings: &[GivenReading], from: Level, to: Level, without: Option<usize>) -> String {
    let mut ways = Vec::new();
    let mut way = vec![from];
    walk(readings, &mut way, to, without, &mut Vec::new(), &mut ways);
    any(ways)
}

fn walk(
    readings: &[GivenReading],
    way: &mut Vec<Level>,
    to: Level,
    without: Option<usize>,
    steps: &mut Vec<String>,
    ways: &mut Vec<String>,
) {
    let Some(here) = way.last().copied() else { return };
    if here == to {
        ways.push(all(steps.iter().cloned()));
        return;
    }
    for next in LEVELS.into_iter().filter(|next| !way.contains(next)).collect::<Vec<Level>>() {
        let between = readings.iter().enumerate().filter(|(at, reading)| {
            Some(*at) != without && reading.between.contains(&here) && reading.between.contains(&next)
        });
        let step = any(between.map(|(_, reading)| reading.given.clone()));
        if step == "false" {
            continue;
        }
        way.push(next);
        steps.push(step);
        walk(readings, way, to, without, steps, ways);
        steps.pop();
        way.pop();
    }
}
