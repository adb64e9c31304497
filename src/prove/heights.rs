//! What is true of the heights at the wall, whatever is answered: which of them can be known, from which readings.
//!
//! It says in statements what [`crate::site`] computes, for walls without the three special cases (a strip before the wall, an exit
//! that is hidden, lines along the wall). For those nothing is said here, and the search learns it from real visits. A test holds
//! the formula against real visits of every kind.

use super::formula::{Formula, Measured, Valued};
use crate::content::Content;
use crate::names::{Choices, DampCourse, DoorSaid, Drains, ExitWay, JointSaid, QuestionId, Stage};
use crate::site::{ALONG, FACTS, FactKind, readings};
use crate::solve::Lit;
use crate::wall::Level;

/// The levels that readings join.
const LEVELS: [Level; 6] = [Level::Mark, Level::Exit, Level::Finish, Level::Ground, Level::Wood, Level::OldSurface];

impl Formula<'_> {
    /// A question is shown and answered.
    fn answered(&mut self, id: QuestionId) -> Lit {
        let posed = &self.questions[self.content.catalog.names.at(id)];
        let (shown, not_sure) = (posed.shown.yes, posed.not_sure);
        self.sat.all(&[shown, !not_sure])
    }

    /// A question is shown and answered with this choice.
    fn chosen<C: Choices>(&mut self, choice: C) -> Lit {
        let answered = self.answered(C::QUESTION);
        let bit = self.questions[self.content.catalog.names.at(C::QUESTION)].bits[self.content.catalog.names.place(choice)];
        self.sat.all(&[answered, bit])
    }

    /// States what is known of heights.
    pub(super) fn state_heights(&mut self) {
        let content: &Content = self.content;
        let names = &content.catalog.names;
        let joined = self.joined();
        let door_said = self.answered(QuestionId::Door);
        let no_door = self.chosen(DoorSaid::None);
        let a_door = self.sat.all(&[door_said, !no_door]);
        // no damp-proof course in a wall whose face drains nowhere
        let solid: Vec<Lit> = content
            .catalog
            .claddings
            .iter()
            .zip(&self.questions[names.at(QuestionId::Cladding)].bits)
            .filter(|(cladding, _)| cladding.drains == Drains::Solid)
            .map(|(_, bit)| *bit)
            .collect();
        let solid = self.sat.any(&solid);
        let cladding = self.answered(QuestionId::Cladding);
        let no_course = self.chosen(DampCourse::Absent);
        let no_exit = self.sat.all(&[cladding, solid, no_course]);
        let strip = [self.chosen(JointSaid::Strip), self.chosen(JointSaid::OpenGap)];
        let strip = self.sat.any(&strip);
        let hidden = self.chosen(ExitWay::CannotSee);
        let along: Vec<Lit> =
            ALONG.iter().flat_map(|(_, _, profile, left, right)| [*profile, *left, *right]).map(|id| self.answered(id)).collect();
        let along = self.sat.any(&along);
        let vary = names.at(QuestionId::LevelsVary);
        let vary_said = self.answered(QuestionId::LevelsVary);
        let (vary_shown, vary_bits) = (self.questions[vary].shown, self.questions[vary].bits.clone());
        let level = self.sat.all(&[vary_said, vary_bits[0]]);
        let level = self.sat.any(&[level, vary_shown.no]);
        let by = self.answered(QuestionId::LevelChange);
        let by = self.sat.all(&[vary_said, vary_bits[1], by]);
        let varies = |level: Level| matches!(level, Level::Finish | Level::Ground | Level::Exit);
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
            let mut special = Vec::new();
            if has(Level::Finish) && (has(Level::Exit) || has(Level::Wood)) {
                special.push(strip);
            }
            if has(Level::Exit) {
                special.push(hidden);
            }
            if varies(a) || varies(b) {
                special.push(along);
            }
            let mut needed = vec![joined[place(a)][place(b)], !none];
            if has(Level::Mark) {
                needed.push(a_door);
            }
            let can = self.sat.all(&needed);
            self.same(known, can, &special);
            let may_vary = !has(Level::Mark) && (varies(a) || varies(b));
            let (lower, higher) = match (a, b) {
                _ if !may_vary => (false, false),
                (Level::Finish, Level::Ground) => (true, true),
                (Level::Finish | Level::Ground, _) | (Level::Exit, Level::Wood) => (false, true),
                _ => (true, false),
            };
            let even = if may_vary { level } else { self.sat.yes() };
            let on_tape = self.sat.all(&[can, even]);
            self.same(taped, on_tape, &special);
            let open = self.sat.all(&[can, !even, !by]);
            let no = !self.sat.yes();
            self.same(low_open, if lower { open } else { no }, &special);
            self.same(high_open, if higher { open } else { no }, &special);
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

    /// Which levels some chain of readings joins.
    fn joined(&mut self) -> Vec<Vec<Lit>> {
        let no = !self.sat.yes();
        let built = self.chosen(Stage::Built);
        let mut edge = vec![vec![no; LEVELS.len()]; LEVELS.len()];
        let mut wood = no;
        for (stands, stage) in [(true, built), (false, !built)] {
            for (_, id, lower, upper, _) in readings(stands) {
                let given = self.answered(id);
                let given = self.sat.all(&[given, stage]);
                let old = edge[place(lower)][place(upper)];
                let one = self.sat.any(&[old, given]);
                edge[place(lower)][place(upper)] = one;
                edge[place(upper)][place(lower)] = one;
                if lower == Level::Wood || upper == Level::Wood {
                    wood = self.sat.any(&[wood, given]);
                }
            }
        }
        // the wood by the size of the joists, where nobody measured it
        let joists = self.answered(QuestionId::JoistSize);
        let bits = self.questions[self.content.catalog.names.at(QuestionId::JoistSize)].bits.clone();
        let sizes = bits.into_iter().zip(&self.content.catalog.wood_lines).filter(|(_, line)| line.is_some());
        let sizes: Vec<Lit> = sizes.map(|(bit, _)| bit).collect();
        let size = self.sat.any(&sizes);
        let derived = self.sat.all(&[joists, size, !wood]);
        let (w, m) = (place(Level::Wood), place(Level::Mark));
        let one = self.sat.any(&[edge[w][m], derived]);
        edge[w][m] = one;
        edge[m][w] = one;
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

fn place(level: Level) -> usize {
    LEVELS.iter().position(|other| *other == level).unwrap_or_default()
}
