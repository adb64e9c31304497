//! The part of a formula that the solver holds. It grows with what is asked for.

use super::lit::Lit;
use super::store::{LitKind, Store, Wide};
use batsat::{Callbacks, Solver, SolverInterface, Var, lbool};

/// A solver that tells nobody how far it is, and so can go from one thread to another.
#[derive(Default)]
struct Quiet;

impl Callbacks for Quiet {}

/// No statement of the solver.
const NONE: u32 = u32::MAX;

/// Statements and clauses of a [`Store`] as the solver has them.
pub(super) struct Window {
    solver: Solver<Quiet>,
    /// By statement: which one of the solver.
    local: Vec<u32>,
    /// By statement: whether what it is made of is there too.
    deep: Vec<bool>,
    /// By statement of the solver.
    global: Vec<u32>,
    /// By clause of the store: whether it is there.
    has: Vec<bool>,
    /// Clauses that came since for statements that are there.
    late: Vec<u32>,
    /// By wide "and" of the store, as far as it is there: what stands for all parts that are not, and which are.
    wide: Vec<Option<Rest>>,
    buffer: Vec<batsat::Lit>,
    /// By statement: how it is decided where it may be.
    like: Vec<Option<bool>>,
}

/// Of a wide "and": the statement that all parts hold that are not there.
struct Rest {
    lit: batsat::Lit,
    there: Vec<bool>,
    left: usize,
}

impl Window {
    /// An empty one, in which statements are decided as in `like` where they may; nothing for no wish at all.
    pub(super) fn new(like: Vec<Option<bool>>) -> Window {
        Window {
            like,
            solver: Solver::default(),
            local: Vec::new(),
            deep: Vec::new(),
            global: Vec::new(),
            has: Vec::new(),
            late: Vec::new(),
            wide: Vec::new(),
            buffer: Vec::new(),
        }
    }

    pub(super) fn has(&self, lit: Lit) -> bool {
        self.local.get(lit.var()).is_some_and(|local| *local != NONE)
    }

    fn is_deep(&self, var: usize) -> bool {
        self.deep.get(var).is_some_and(|deep| *deep)
    }

    /// A statement of the solver alone, which it takes to hold where it may.
    fn rest(&mut self) -> batsat::Lit {
        self.global.push(NONE);
        batsat::Lit::new(self.solver.new_var(lbool::TRUE, true), true)
    }

    fn lit(&mut self, lit: Lit, store: &Store) -> batsat::Lit {
        let var = lit.var();
        if self.local.len() <= var {
            self.local.resize(var + 1, NONE);
        }
        if self.local[var] == NONE {
            self.global.push(u32::try_from(var).unwrap_or(NONE));
            let wished = self.like.get(var).copied().flatten().map_or(lbool::UNDEF, lbool::from);
            // what is made of others follows once they are decided
            let decides = self.like.is_empty() || store.kind(var) != LitKind::Made;
            self.local[var] = self.solver.new_var(wished, decides).idx();
        }
        batsat::Lit::new(Var::unsafe_from_idx(self.local[var]), lit.is_plain())
    }

    fn add(&mut self, clause: impl IntoIterator<Item = batsat::Lit>) {
        self.buffer.clear();
        self.buffer.extend(clause);
        self.solver.add_clause_reuse(&mut self.buffer);
    }

    /// Takes in a clause that was added to the store, if what it hangs on is there.
    pub(super) fn note(&mut self, clause: u32, store: &Store) {
        if store.hangs_on(clause).any(|var| self.is_deep(var)) {
            self.late.push(clause);
        }
    }

    /// Takes in a clause that the store does not have.
    pub(super) fn take_for_now(&mut self, clause: &[Lit], store: &Store) {
        self.take(clause, store);
        let lits: Vec<batsat::Lit> = clause.iter().map(|lit| self.lit(*lit, store)).collect();
        self.add(lits);
    }

    /// Takes in statements, and all that they are made of or hang on.
    pub(super) fn take(&mut self, lits: &[Lit], store: &Store) {
        let mut todo: Vec<usize> = lits.iter().map(|lit| lit.var()).collect();
        for clause in std::mem::take(&mut self.late) {
            self.take_clause(clause, store, &mut todo);
        }
        self.deep.resize(store.count(), false);
        while let Some(var) = todo.pop() {
            if std::mem::replace(&mut self.deep[var], true) {
                continue;
            }
            let plain = self.lit(Lit::of(var), store);
            if let Some(wide) = store.wide(var) {
                self.take_wide(wide, plain, store, &mut todo);
            } else if let Some(parts) = store.parts(var) {
                let mut back = vec![plain];
                for part in parts {
                    let part_lit = self.lit(*part, store);
                    self.add([!plain, part_lit]);
                    back.push(!part_lit);
                    todo.push(part.var());
                }
                self.add(back);
            }
            for clause in store.of(var) {
                self.take_clause(*clause, store, &mut todo);
            }
            for (wide, part) in store.wide_of(var) {
                if self.wide.get(*wide).is_some_and(Option::is_some) {
                    self.open_part(*wide, *part, store, &mut todo);
                }
            }
        }
    }

    fn take_clause(&mut self, clause: u32, store: &Store, todo: &mut Vec<usize>) {
        let at = clause as usize;
        if self.has.len() <= at {
            self.has.resize(at + 1, false);
        }
        if std::mem::replace(&mut self.has[at], true) {
            return;
        }
        let lits: Vec<batsat::Lit> = store.clause(clause).iter().map(|lit| self.lit(*lit, store)).collect();
        self.add(lits);
        todo.extend(store.clause(clause).iter().map(|lit| lit.var()));
    }

    /// A wide "and" with those of its parts only that are there anyhow.
    fn take_wide(&mut self, wide: usize, plain: batsat::Lit, store: &Store, todo: &mut Vec<usize>) {
        if self.wide.len() <= wide {
            self.wide.resize_with(wide + 1, || None);
        }
        let parts = &store.wides()[wide].parts;
        let rest = self.rest();
        self.add([!plain, rest]);
        self.add([plain, !rest]);
        self.wide[wide] = Some(Rest { lit: rest, there: vec![false; parts.len()], left: parts.len() });
        for (part, lit) in parts.iter().enumerate() {
            if self.is_deep(lit.var()) {
                self.open_part(wide, part, store, todo);
            }
        }
    }

    /// A part of a wide "and" besides those that are there.
    fn open_part(&mut self, wide: usize, part: usize, store: &Store, todo: &mut Vec<usize>) {
        let Wide { parts, .. } = &store.wides()[wide];
        let Some(rest) = &mut self.wide[wide] else { return };
        if std::mem::replace(&mut rest.there[part], true) {
            return;
        }
        rest.left -= 1;
        let (old, last) = (rest.lit, rest.left == 0);
        let lit = self.lit(parts[part], store);
        todo.push(parts[part].var());
        self.add([!old, lit]);
        if last {
            self.add([old, !lit]);
            return;
        }
        let new = self.rest();
        self.add([!old, new]);
        self.add([old, !lit, !new]);
        if let Some(rest) = &mut self.wide[wide] {
            rest.lit = new;
        }
    }

    /// Takes in parts of the wide "and"s that are there; how many came.
    pub(super) fn open(&mut self, store: &Store, parts: &[Lit]) -> usize {
        let (mut todo, mut count) = (Vec::new(), 0);
        for (wide, part) in parts.iter().flat_map(|lit| store.wide_of(lit.var())) {
            if self.wide.get(*wide).and_then(Option::as_ref).is_some_and(|rest| !rest.there[*part]) {
                self.open_part(*wide, *part, store, &mut todo);
                count += 1;
            }
        }
        let lits: Vec<Lit> = todo.into_iter().map(Lit::of).collect();
        self.take(&lits, store);
        count
    }

    /// Takes in all parts of the wide "and"s that are there, and of those that come with them.
    pub(super) fn open_all(&mut self, store: &Store) {
        while let Some(wide) = self.wide.iter().position(|wide| wide.as_ref().is_some_and(|rest| rest.left > 0)) {
            self.open(store, &store.wides()[wide].parts);
        }
    }

    /// Whether some wide "and" is there with parts that are not.
    pub(super) fn is_open(&self) -> bool {
        self.wide.iter().flatten().any(|rest| rest.left > 0)
    }

    /// Whether all these can hold together; with `calm`, and with all parts of wide "and"s that are not there.
    pub(super) fn can(&mut self, assumed: &[Lit], calm: bool, store: &Store) -> bool {
        let mut lits: Vec<batsat::Lit> = assumed.iter().map(|lit| self.lit(*lit, store)).collect();
        if calm {
            lits.extend(self.wide.iter().flatten().filter(|rest| rest.left > 0).map(|rest| rest.lit));
        }
        self.solver.solve_limited(&lits) == lbool::TRUE
    }

    /// What a statement is in the last case found; nothing if it is not there.
    pub(super) fn told(&self, lit: Lit) -> Option<bool> {
        let local = *self.local.get(lit.var())?;
        if local == NONE {
            return None;
        }
        match self.solver.value_lit(batsat::Lit::new(Var::unsafe_from_idx(local), lit.is_plain())) {
            value if value == lbool::TRUE => Some(true),
            value if value == lbool::FALSE => Some(false),
            _ => None,
        }
    }

    /// Those of the assumptions that cannot hold together, and whether it hangs on "calm" too.
    pub(super) fn against(&self) -> (Vec<Lit>, bool) {
        let mut calm = false;
        let mut found = Vec::new();
        // the solver gives the clause that it learnt: the assumptions turned round
        for lit in self.solver.unsat_core() {
            match self.global.get(lit.var().idx() as usize) {
                Some(global) if *global != NONE => {
                    let plain = Lit::of(*global as usize);
                    found.push(if lit.sign() { !plain } else { plain });
                }
                _ => calm = true,
            }
        }
        (found, calm)
    }
}
