//! What is true of the heights at the wall, whatever is answered: which of them can be known, from which readings.
//!
//! It says in statements what [`crate::site`] computes, for walls without the three special cases (a strip before the wall, an exit
//! that is hidden, lines along the wall). For those nothing is said here, and the search learns it from real visits. A test holds
//! the formula against real visits of every kind.

use super::formula::{Measured, Theory, Valued};
use super::numbers::Which;
use crate::content::Content;
use crate::names::{
    ChannelOutlet, Choices, DampCourse, DeckCarried, DoorSaid, Drains, ExitHiddenBy, ExitWay, FallSaid, FinishWay,
    JointSaid, QuestionId, Shape, Stage,
};
use crate::site::{ALONG, FACTS, FactId, FactKind, readings};
use crate::solve::Lit;
use crate::wall::Level;

/// The levels that readings join.
const LEVELS: [Level; 6] = [Level::Mark, Level::Exit, Level::Finish, Level::Ground, Level::Wood, Level::OldSurface];

impl Theory<'_> {
    /// A question is shown and answered.
    fn answered(&mut self, id: QuestionId) -> Lit {
        let posed = &self.questions[self.content.catalog.names.at(id)];
        let (shown, not_sure) = (posed.shown.yes, posed.not_sure);
        self.sat.all(&[shown, !not_sure])
    }

    /// A question is shown and answered with this choice.
    fn chosen<C: Choices>(&mut self, choice: C) -> Lit {
        let answered = self.answered(C::QUESTION);
        let bit =
            self.questions[self.content.catalog.names.at(C::QUESTION)].bits[self.content.catalog.names.place(choice)];
        self.sat.all(&[answered, bit])
    }

    /// A question is answered with one of the choices of which something is true.
    fn chosen_where(&mut self, id: QuestionId, such: impl Fn(usize) -> bool) -> Lit {
        let answered = self.answered(id);
        let bits = self.questions[self.content.catalog.names.at(id)].bits.clone();
        let bits: Vec<Lit> = bits.into_iter().enumerate().filter(|(at, _)| such(*at)).map(|(_, bit)| bit).collect();
        let one = self.sat.any(&bits);
        self.sat.all(&[answered, one])
    }

    /// States what is known of heights.
    #[allow(clippy::too_many_lines)] // one statement after the other, and each uses those before
    pub(super) fn state_heights(&mut self) {
        let content: &Content = self.content;
        let catalog = &content.catalog;
        let names = &catalog.names;
        let edges = self.edges();
        let joined = self.joined(&edges, None);
        let door_said = self.answered(QuestionId::Door);
        let no_door = self.chosen(DoorSaid::None);
        let a_door = self.sat.all(&[door_said, !no_door]);
        // no damp-proof course in a wall whose face drains nowhere
        let solid = self.chosen_where(QuestionId::Cladding, |at| catalog.claddings[at].drains == Drains::Solid);
        let no_course = self.chosen(DampCourse::Absent);
        let no_exit = self.sat.all(&[solid, no_course]);
        // a strip before the wall, the ground before it, or neither
        let on_posts = self.chosen_where(QuestionId::Feature, |at| catalog.features[at].on_posts);
        let (free, gap) = (self.chosen(DeckCarried::Free), self.chosen(JointSaid::OpenGap));
        let sees_ground = self.sat.all(&[on_posts, free, gap]);
        let strip = self.chosen(JointSaid::Strip);
        let (nowhere, outlet) = (self.chosen(ChannelOutlet::Nowhere), self.chosen(ChannelOutlet::Outlet));
        let depth = self.answered(QuestionId::StripDepth);
        let strip_known = self.sat.all(&[outlet, depth]);
        let strip_unknown = self.sat.all(&[strip, !nowhere, !strip_known]);
        // soil or an older surface over the exit, which nobody has measured
        let cannot_see = self.chosen(ExitWay::CannotSee);
        let has_exit: Vec<Lit> =
            edges.iter().filter(|e| e.a == Level::Exit || e.b == Level::Exit).map(|e| e.given).collect();
        let has_exit = self.sat.any(&has_exit);
        let (soil, old) = (self.chosen(ExitHiddenBy::Soil), self.chosen(ExitHiddenBy::OldSurface));
        let hidden = [
            (Level::Ground, self.sat.all(&[cannot_see, soil, !has_exit])),
            (Level::OldSurface, self.sat.all(&[cannot_see, old, !has_exit])),
        ];
        let under = self.sat.any(&[hidden[0].1, hidden[1].1]);
        // lines along the wall
        let length = self.answered(QuestionId::FeatureLength);
        let vary = names.at(QuestionId::LevelsVary);
        let vary_said = self.answered(QuestionId::LevelsVary);
        let (vary_shown, vary_bits) = (self.questions[vary].shown, self.questions[vary].bits.clone());
        let level = self.sat.all(&[vary_said, vary_bits[0]]);
        let level = self.sat.any(&[level, vary_shown.no]);
        let by = self.answered(QuestionId::LevelChange);
        let by = self.sat.all(&[vary_said, vary_bits[1], by]);
        let mut line = [!self.sat.yes(); LEVELS.len()];
        let mut may_vary = [!self.sat.yes(); LEVELS.len()];
        for (of, _, profile, left, right) in ALONG {
            let (profile, left, right) = (self.answered(profile), self.answered(left), self.answered(right));
            let ends = self.sat.all(&[left, right]);
            let either = self.sat.any(&[profile, ends]);
            line[place(of)] = self.sat.all(&[length, either]);
            may_vary[place(of)] = self.sat.all(&[!level, !line[place(of)]]);
        }
        let along = self.sat.any(&line);
        let places = self.answered(QuestionId::WallPlaces);
        let no = !self.sat.yes();
        for fact in FACTS {
            let FactKind::Height(a, b) = fact.kind else { continue };
            let Valued::Measured(Measured { known, absent, taped, low_open, high_open, turned: false, .. }) =
                self.values[content.fact_slot(fact.id)].clone()
            else {
                continue;
            };
            let has = |level: Level| a == level || b == level;
            let none: Vec<Lit> = [(Level::Mark, no_door), (Level::Exit, no_exit)]
                .into_iter()
                .filter(|(level, _)| has(*level))
                .map(|(_, lit)| lit)
                .collect();
            let none = self.sat.any(&none);
            self.same(absent, none, &[]);
            let before = has(Level::Finish) && (has(Level::Exit) || has(Level::Wood));
            let mut special = Vec::new();
            if before {
                special.push(sees_ground);
            }
            if has(Level::Mark) && has(Level::Finish) {
                special.push(places);
            }
            let exit = has(Level::Exit);
            let other = if a == Level::Exit { b } else { a };
            let mut needed = vec![!none];
            if before {
                needed.push(!strip_unknown);
            }
            if has(Level::Mark) {
                needed.push(a_door);
            }
            let needed = self.sat.all(&needed);
            let chain = self.sat.all(&[needed, joined[place(a)][place(b)]]);
            // what hides the exit stands at least as high
            let over: Vec<Lit> = hidden
                .iter()
                .filter(|_| exit)
                .map(|(above, lit)| {
                    let tied = if *above == other { self.sat.yes() } else { joined[place(*above)][place(other)] };
                    self.sat.all(&[*lit, tied, needed])
                })
                .collect();
            let over = self.sat.any(&over);
            let can = self.sat.any(&[chain, over]);
            let mut maybe = special.clone();
            maybe.push(along);
            self.same(known, can, &maybe);
            // along the wall two levels can be compared without a chain, where both are lines
            let lines: Vec<Lit> = if has(Level::Mark) {
                vec![no]
            } else {
                [a, b]
                    .into_iter()
                    .map(|level| {
                        let direct = edges
                            .iter()
                            .filter(|e| (e.a == level && e.b == Level::Mark) || (e.b == level && e.a == Level::Mark));
                        let mut any: Vec<Lit> = direct.map(|e| e.given).collect();
                        any.push(line[place(level)]);
                        self.sat.any(&any)
                    })
                    .chain([needed])
                    .collect()
            };
            let lines = self.sat.all(&lines);
            let mut clause = vec![!known, can, lines];
            clause.extend(&special);
            self.sat.clause(&clause);
            // a chain of readings is enough, along the wall too
            let mut clause = vec![!chain, known];
            clause.extend(&special);
            self.sat.clause(&clause);
            let varies = if has(Level::Mark) { no } else { self.sat.any(&[may_vary[place(a)], may_vary[place(b)]]) };
            let (lower, higher) = match (a, b) {
                (Level::Finish, Level::Ground) => (true, true),
                (Level::Finish | Level::Ground, _) | (Level::Exit, Level::Wood) => (false, true),
                _ => (true, false),
            };
            let open = self.sat.all(&[known, varies, !by]);
            let under = if exit { self.sat.all(&[known, under]) } else { no };
            let down = if lower { open } else { no };
            let down = self.sat.any(&[down, under]);
            self.same(low_open, down, &special);
            self.same(high_open, if higher { open } else { no }, &special);
            let on_tape = self.sat.all(&[known, !varies, !under]);
            self.same(taped, on_tape, &special);
        }
        self.state_fall();
        self.state_conflict(&edges, along);
        self.state_asked(places);
        // equal risers up to the door
        if let Valued::Measured(risers) = self.values[content.fact_slot(FactId::DoorRisers)].clone() {
            let from_ground = self.chosen_where(QuestionId::Feature, |at| {
                matches!(catalog.features[at].shape, Shape::Landing | Shape::Flight)
            });
            let ground = self.sat.all(&[from_ground, joined[place(Level::Mark)][place(Level::Ground)]]);
            let finish = self.sat.all(&[!from_ground, joined[place(Level::Mark)][place(Level::Finish)]]);
            self.sat.clause(&[!risers.known, a_door]);
            self.sat.clause(&[!risers.known, ground, finish, along]);
            self.same(risers.absent, no_door, &[]);
            self.sat.clause(&[!risers.low_open]);
            self.sat.clause(&[!risers.high_open]);
        }
    }

    /// The exit cannot be seen because the work is before it.
    pub(super) fn surely_hidden(&mut self) -> Lit {
        let cannot_see = self.chosen(ExitWay::CannotSee);
        let (new, old) = (self.chosen(ExitHiddenBy::NewWork), self.chosen(ExitHiddenBy::OldSurface));
        let (built, on_top) = (self.chosen(Stage::Built), self.chosen(FinishWay::AddedOnTop));
        let covers = self.sat.any(&[built, on_top]);
        let old = self.sat.all(&[old, covers]);
        let by = self.sat.any(&[new, old]);
        self.sat.all(&[cannot_see, by])
    }

    /// The fall away from the wall.
    fn state_fall(&mut self) {
        let catalog = &self.content.catalog;
        let Valued::Measured(fall) = self.values[self.content.fact_slot(FactId::FallAway)].clone() else { return };
        let flat = [self.chosen(FallSaid::Level), self.chosen(FallSaid::Along)];
        let flat = self.sat.any(&flat);
        let (towards, away) = (self.chosen(FallSaid::Towards), self.chosen(FallSaid::Away));
        let drop = self.answered(QuestionId::FallDrop);
        let landing = self.answered(QuestionId::LandingDepth);
        let depth = self.answered(QuestionId::FeatureDepth);
        let at_landing = self.chosen_where(QuestionId::Feature, |at| {
            matches!(catalog.features[at].shape, Shape::Landing | Shape::Flight)
        });
        let other = self
            .chosen_where(QuestionId::Feature, |at| matches!(catalog.features[at].shape, Shape::Flat | Shape::Upright));
        let asks = self.questions[catalog.names.at(QuestionId::LandingDepth)].shown.yes;
        let by_landing = self.sat.any(&[at_landing, asks]);
        let by_landing = self.sat.all(&[by_landing, landing]);
        let by_depth = self.sat.all(&[other, !asks, depth]);
        let over = self.sat.any(&[by_landing, by_depth]);
        let some = self.sat.any(&[at_landing, other]);
        let measured = self.sat.all(&[away, drop, over, some]);
        let can = self.sat.any(&[flat, towards, measured]);
        self.sat.clause(&[!fall.absent]);
        self.sat.clause(&[!fall.known, can]);
        self.sat.clause(&[!flat, fall.known]);
        self.sat.clause(&[!towards, fall.known]);
        // over no depth there is no fall
        let number = |formula: &Self, id: QuestionId| formula.questions[catalog.names.at(id)].number;
        for (given, id) in [(by_landing, QuestionId::LandingDepth), (by_depth, QuestionId::FeatureDepth)] {
            if let Some(number) = number(self, id) {
                let some = self.numbers[number].at_least(Which::Low, 1, &mut self.sat);
                self.sat.clause(&[!away, !drop, !given, !some, fall.known]);
            }
        }
        self.same(fall.low_open, towards, &[]);
        self.sat.clause(&[!fall.high_open]);
        for (said, low, high) in [(flat, Some(0), 0), (towards, None, -1)] {
            if let Some(low) = low {
                let least = self.end_at_least(&fall, Which::Low, low);
                self.sat.clause(&[!said, least]);
            }
            let more = self.end_at_least(&fall, Which::High, high + 1);
            self.sat.clause(&[!said, !more]);
        }
    }

    /// Readings disagree only where there are two ways from one level to another.
    fn state_conflict(&mut self, edges: &[Joining], along: Lit) {
        let Valued::Measured(conflict) = self.values[self.content.fact_slot(FactId::MeasureConflict)].clone() else {
            return;
        };
        let mut twice = vec![along];
        for at in 0..edges.len() {
            let without = self.joined(edges, Some(at));
            twice.push(self.sat.all(&[edges[at].given, without[place(edges[at].a)][place(edges[at].b)]]));
        }
        let twice = self.sat.any(&twice);
        let some = self.end_at_least(&conflict, Which::High, 1);
        self.sat.clause(&[!some, twice]);
        self.sat.clause(&[!conflict.low_open]);
        self.sat.clause(&[!conflict.high_open]);
    }

    /// Heights over the finish that are asked outright.
    fn state_asked(&mut self, places: Lit) {
        for (id, fact) in [
            (QuestionId::WindowSillAboveSurface, FactId::WindowAboveFinish),
            (QuestionId::GasVentAboveSurface, FactId::GasVentAboveFinish),
            (QuestionId::DryerVentAboveSurface, FactId::DryerVentAboveFinish),
            (QuestionId::GasMeterAboveSurface, FactId::GasMeterAboveFinish),
        ] {
            let Valued::Measured(height) = self.values[self.content.fact_slot(fact)].clone() else { continue };
            let answered = self.answered(id);
            let hidden = self.questions[self.content.catalog.names.at(id)].shown.no;
            self.same(height.known, answered, &[places]);
            self.same(height.absent, hidden, &[places]);
            self.same(height.taped, answered, &[places]);
        }
    }

    /// Two statements are one, unless one of the special cases holds.
    fn same(&mut self, a: Lit, b: Lit, special: &[Lit]) {
        for (from, to) in [(a, b), (b, a)] {
            let mut clause = vec![!from, to];
            clause.extend(special);
            self.sat.clause(&clause);
        }
    }

    /// The readings that may be given.
    fn edges(&mut self) -> Vec<Joining> {
        let built = self.chosen(Stage::Built);
        let mut edges = Vec::new();
        let mut wood = Vec::new();
        for (stands, stage) in [(true, built), (false, !built)] {
            for (_, id, lower, upper, _) in readings(stands) {
                let given = self.answered(id);
                let given = self.sat.all(&[given, stage]);
                edges.push(Joining { a: lower, b: upper, given });
                if lower == Level::Wood || upper == Level::Wood {
                    wood.push(given);
                }
            }
        }
        // the wood by the size of the joists, where nobody measured it
        let lines = &self.content.catalog.wood_lines;
        let derived = self.chosen_where(QuestionId::JoistSize, |at| lines.get(at).is_some_and(Option::is_some));
        let wood = self.sat.any(&wood);
        let given = self.sat.all(&[derived, !wood]);
        edges.push(Joining { a: Level::Wood, b: Level::Mark, given });
        edges
    }

    /// Which levels some chain of readings joins, without one of them.
    fn joined(&mut self, edges: &[Joining], without: Option<usize>) -> Vec<Vec<Lit>> {
        let no = !self.sat.yes();
        let mut edge = vec![vec![no; LEVELS.len()]; LEVELS.len()];
        for (_, one) in edges.iter().enumerate().filter(|(at, _)| Some(*at) != without) {
            let (a, b) = (place(one.a), place(one.b));
            let either = self.sat.any(&[edge[a][b], one.given]);
            edge[a][b] = either;
            edge[b][a] = either;
        }
        let mut reach = edge.clone();
        for _ in 2..LEVELS.len() {
            let mut next = reach.clone();
            for a in 0..LEVELS.len() {
                for b in 0..a {
                    let by: Vec<Lit> = (0..LEVELS.len())
                        .filter(|c| *c != a && *c != b)
                        .map(|c| self.sat.all(&[reach[a][c], edge[c][b]]))
                        .chain([reach[a][b]])
                        .collect();
                    next[a][b] = self.sat.any(&by);
                    next[b][a] = next[a][b];
                }
            }
            reach = next;
        }
        reach
    }
}

/// A reading between two levels, and whether it is given.
#[derive(Debug, Clone, Copy)]
struct Joining {
    a: Level,
    b: Level,
    given: Lit,
}

fn place(level: Level) -> usize {
    LEVELS.iter().position(|other| *other == level).unwrap_or_default()
}
