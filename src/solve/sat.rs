//! The formula and its solver.

use batsat::{Callbacks, Solver, SolverInterface, lbool};
use std::collections::{HashMap, HashSet};
use std::ops::Not;

/// A statement or its opposite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Lit(batsat::Lit);

impl Not for Lit {
    type Output = Lit;
    fn not(self) -> Lit {
        Lit(!self.0)
    }
}

/// A solver that tells nobody how far it is, and so can go from one thread to another.
#[derive(Default)]
struct Quiet;

impl Callbacks for Quiet {}

/// A formula that can be asked about under assumptions. What is added stays.
///
/// Invariant: equal "and" of equal statements are one statement, so that building the same condition twice costs nothing.
pub struct Sat {
    solver: Solver<Quiet>,
    yes: Lit,
    gates: HashMap<Box<[Lit]>, Lit>,
    /// What each "and" is made of.
    parts: HashMap<Lit, Box<[Lit]>>,
    buffer: Vec<batsat::Lit>,
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
        let mut solver = Solver::<Quiet>::default();
        let yes = Lit(batsat::Lit::new(solver.new_var_default(), true));
        let mut sat =
            Sat { solver, yes, gates: HashMap::new(), parts: HashMap::new(), buffer: Vec::new(), clauses: 0, calls: 0 };
        sat.clause(&[yes]);
        sat
    }

    /// The statement that always holds; its opposite never does.
    #[must_use]
    pub fn yes(&self) -> Lit {
        self.yes
    }

    /// A statement that nothing is known of yet.
    pub fn fresh(&mut self) -> Lit {
        Lit(batsat::Lit::new(self.solver.new_var_default(), true))
    }

    /// At least one of these holds.
    pub fn clause(&mut self, any: &[Lit]) {
        self.buffer.clear();
        self.buffer.extend(any.iter().map(|lit| lit.0));
        self.clauses += 1;
        self.solver.add_clause_reuse(&mut self.buffer);
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
                let all = self.fresh();
                for part in &parts {
                    self.clause(&[!all, *part]);
                }
                let mut back: Vec<Lit> = parts.iter().map(|part| !*part).collect();
                back.push(all);
                self.clause(&back);
                let parts: Box<[Lit]> = parts.into();
                self.parts.insert(all, parts.clone());
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

    /// Whether all these can hold together.
    pub fn can(&mut self, assumed: &[Lit]) -> bool {
        self.buffer.clear();
        self.buffer.extend(assumed.iter().map(|lit| lit.0));
        self.calls += 1;
        self.solver.solve_limited(&self.buffer) == lbool::TRUE
    }

    /// Whether a statement holds in the last case that was found. Only to be asked after [`Sat::can`] has said yes.
    #[must_use]
    pub fn holds(&self, lit: Lit) -> bool {
        self.solver.value_lit(lit.0) == lbool::TRUE
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
            if let Some(parts) = self.parts.get(&lit) {
                todo.extend(parts.iter().copied());
            } else if let Some(parts) = self.parts.get(&!lit) {
                // one part that does not hold is enough; one that is needed anyhow is best
                let fails = || parts.iter().copied().filter(|part| !self.holds(*part)).map(|part| !part);
                let one = fails().find(|part| seen.contains(part));
                let one = one.or_else(|| {
                    fails().find(|part| !self.parts.contains_key(part) && !self.parts.contains_key(&!*part))
                });
                todo.extend(one.or_else(|| fails().next()));
            } else {
                simple.push(lit);
            }
        }
        simple
    }

    /// Those of the assumptions that cannot hold together, after [`Sat::can`] has said no; empty if nothing can hold at all.
    #[must_use]
    pub fn against(&self) -> Vec<Lit> {
        // the solver gives the clause that it learnt: the assumptions turned round
        self.solver.unsat_core().iter().map(|lit| Lit(!*lit)).collect()
    }

    /// How many statements there are.
    #[must_use]
    pub fn statements(&self) -> u32 {
        self.solver.num_vars()
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
