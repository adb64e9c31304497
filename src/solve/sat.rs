//! The formula, and what is asked of it.

use super::lit::Lit;
use super::store::{LitKind, Store};
use super::window::Window;
use std::collections::{HashMap, HashSet};

/// A formula that can be asked about under assumptions. What is added stays.
///
/// The solver holds only what has to do with what is asked: an answer of "no" is that of the whole formula, and a case that is found says
/// nothing of the rest ([`Sat::told`]). [`Sat::new`] makes one that is always there in whole.
///
/// Invariant: equal "and" of equal statements are one statement, so that building the same condition twice costs nothing.
pub struct Sat {
    store: Store,
    window: Window,
    /// Whether the solver holds all of it.
    whole: bool,
    yes: Lit,
    gates: HashMap<Box<[Lit]>, Lit>,
    clauses: u64,
    calls: u64,
}

impl std::fmt::Debug for Sat {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Sat of {} statements and {} clauses", self.statements(), self.clauses)
    }
}

impl Default for Sat {
    fn default() -> Self {
        Sat::new()
    }
}

impl Sat {
    /// A formula that says nothing.
    #[must_use]
    pub fn new() -> Sat {
        let mut sat = Sat {
            store: Store::default(),
            window: Window::new(Vec::new()),
            whole: true,
            yes: Lit::of(0),
            gates: HashMap::new(),
            clauses: 0,
            calls: 0,
        };
        sat.yes = sat.fresh();
        sat.clause(&[sat.yes]);
        sat
    }

    /// The same, of which the solver only holds what is asked for.
    #[must_use]
    pub fn in_parts() -> Sat {
        Sat { whole: false, window: Window::new(Vec::new()), ..Sat::new() }
    }

    /// The statement that always holds; its opposite never does.
    #[must_use]
    pub fn yes(&self) -> Lit {
        self.yes
    }

    /// A statement that nothing is known of yet, and that follows from others.
    pub fn fresh(&mut self) -> Lit {
        self.made(LitKind::Follows, None)
    }

    /// A statement that anybody is free to make: what follows from it is not asked for with it.
    pub fn free(&mut self) -> Lit {
        self.made(LitKind::Free, None)
    }

    fn made(&mut self, kind: LitKind, parts: Option<Box<[Lit]>>) -> Lit {
        let lit = Lit::of(self.store.add(kind, parts));
        if self.whole {
            self.window.take(&[lit], &self.store);
        }
        lit
    }

    /// At least one of these holds.
    pub fn clause(&mut self, any: &[Lit]) {
        let on = self.store.usual(any);
        self.tie(any, &on);
    }

    /// At least one of these holds, which matters to those only who ask for one of `on`.
    pub fn clause_for(&mut self, any: &[Lit], on: &[Lit]) {
        let on: Vec<usize> = on.iter().map(|lit| lit.var()).collect();
        self.tie(any, &on);
    }

    /// At least one of these holds, until the solver begins anew.
    pub fn clause_for_now(&mut self, any: &[Lit]) {
        self.clauses += 1;
        self.window.take_for_now(any, &self.store);
    }

    fn tie(&mut self, any: &[Lit], on: &[usize]) {
        self.clauses += 1;
        let clause = self.store.tie(any, on);
        self.window.note(clause, &self.store);
        if self.whole {
            self.window.take(&[], &self.store);
        }
    }

    /// The statement that all of these hold.
    pub fn all(&mut self, parts: &[Lit]) -> Lit {
        let (yes, no) = (self.yes, !self.yes);
        let mut parts: Vec<Lit> = parts.iter().copied().filter(|part| *part != yes).collect();
        parts.sort_unstable();
        parts.dedup();
        if parts.contains(&no) || parts.windows(2).any(|pair| pair[0] == !pair[1]) {
            return no;
        }
        match parts.as_slice() {
            [] => yes,
            [one] => *one,
            _ => {
                if let Some(known) = self.gates.get(parts.as_slice()) {
                    return *known;
                }
                self.clauses += parts.len() as u64 + 1;
                let parts: Box<[Lit]> = parts.into();
                let all = self.made(LitKind::Made, Some(parts.clone()));
                self.gates.insert(parts, all);
                all
            }
        }
    }

    /// The statement that at least one of these holds.
    pub fn any(&mut self, parts: &[Lit]) -> Lit {
        let turned: Vec<Lit> = parts.iter().map(|part| !*part).collect();
        !self.all(&turned)
    }

    /// Exactly one of these holds.
    pub fn one_of(&mut self, parts: &[Lit]) {
        self.clause(parts);
        self.not_two_of(parts);
    }

    /// No two of these hold.
    pub fn not_two_of(&mut self, parts: &[Lit]) {
        for (at, one) in parts.iter().enumerate() {
            for other in &parts[at + 1..] {
                self.clause(&[!*one, !*other]);
            }
        }
    }

    /// The parts of an "and", or of an "any", are only looked at one by one: where it is asked for, they are not asked for with it
    /// ([`Sat::open`]).
    pub fn widen(&mut self, lit: Lit) {
        if !self.whole {
            self.store.widen(lit.var());
        }
    }

    /// Begins anew with an empty solver, that decides statements as these say where it may.
    pub fn begin(&mut self, like: &[Lit]) {
        if self.whole {
            return;
        }
        let mut wishes = vec![None; self.store.count()];
        for lit in like {
            wishes[lit.var()] = Some(lit.is_plain());
        }
        self.window = Window::new(wishes);
    }

    /// Whether some wide statement has to do with these.
    #[must_use]
    pub fn meets_wide(&self, lits: &[Lit]) -> bool {
        self.store.meets_wide(lits)
    }

    /// Whether wide statements are there of which some part is not.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.window.is_open()
    }

    /// Takes in what these have to do with.
    pub fn take(&mut self, lits: &[Lit]) {
        self.window.take(lits, &self.store);
    }

    /// Takes in those parts of wide statements that are about these; how many came.
    pub fn open(&mut self, parts: &[Lit]) -> usize {
        self.window.open(&self.store, parts)
    }

    /// Takes in all parts of wide statements.
    pub fn open_all(&mut self) {
        self.window.open_all(&self.store);
    }

    /// Whether all these can hold together. Of wide statements that were not opened the parts are taken to be whatever suits.
    pub fn can(&mut self, assumed: &[Lit]) -> bool {
        self.ask(assumed, false)
    }

    /// The same where the parts of wide statements that were not opened are taken to stand in no way: all parts of an "and" to hold, none
    /// of an "any".
    pub fn can_calmly(&mut self, assumed: &[Lit]) -> bool {
        self.ask(assumed, true)
    }

    /// The same with all parts of all statements.
    pub fn can_at_all(&mut self, assumed: &[Lit]) -> bool {
        self.window.take(assumed, &self.store);
        self.window.open_all(&self.store);
        self.ask(assumed, false)
    }

    fn ask(&mut self, assumed: &[Lit], calm: bool) -> bool {
        self.calls += 1;
        self.window.take(assumed, &self.store);
        self.window.can(assumed, calm, &self.store)
    }

    /// Whether a statement holds in the last case that was found. Only to be asked after [`Sat::can`] has said yes.
    #[must_use]
    pub fn holds(&self, lit: Lit) -> bool {
        self.told(lit) == Some(true)
    }

    /// What a statement is in the last case that was found; nothing where that says nothing of it.
    #[must_use]
    pub fn told(&self, lit: Lit) -> Option<bool> {
        if lit.var() == self.yes.var() { Some(lit == self.yes) } else { self.window.told(lit) }
    }

    /// Whether the solver has to do with a statement now.
    #[must_use]
    pub fn heeds(&self, lit: Lit) -> bool {
        self.window.has(lit)
    }

    /// Simple statements that are enough for these to hold in the last case that was found, where they do.
    #[must_use]
    pub fn because(&self, lits: &[Lit]) -> Vec<Lit> {
        let mut simple = Vec::new();
        let mut seen: HashSet<Lit> = HashSet::new();
        let mut todo = lits.to_vec();
        while let Some(lit) = todo.pop() {
            if !seen.insert(lit) {
                continue;
            }
            let Some(parts) = self.store.parts(lit.var()) else {
                simple.push(lit);
                continue;
            };
            if lit.is_plain() {
                todo.extend(parts.iter().copied().filter(|part| self.told(*part).is_some()));
            } else {
                // one part that does not hold is enough; one that is needed anyhow is best
                let fails = || parts.iter().copied().filter(|part| self.told(*part) == Some(false)).map(|part| !part);
                let one = fails().find(|part| seen.contains(part));
                let one = one.or_else(|| fails().find(|part| self.store.parts(part.var()).is_none()));
                todo.extend(one.or_else(|| fails().next()));
            }
        }
        simple
    }

    /// Those of the assumptions that cannot hold together, after [`Sat::can`] has said no; empty if nothing can hold at all.
    #[must_use]
    pub fn against(&self) -> Vec<Lit> {
        self.window.against().0
    }

    /// Whether that hangs on parts of wide statements that were not opened, after [`Sat::can_calmly`] has said no.
    #[must_use]
    pub fn against_calm(&self) -> bool {
        self.window.against().1
    }

    /// How many statements there are.
    #[must_use]
    pub fn statements(&self) -> u32 {
        u32::try_from(self.store.count()).unwrap_or(u32::MAX)
    }

    /// How many clauses were given.
    #[must_use]
    pub fn clauses(&self) -> u64 {
        self.clauses
    }

    /// How often it was asked.
    #[must_use]
    pub fn calls(&self) -> u64 {
        self.calls
    }
}
