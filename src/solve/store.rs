//! A formula, kept apart from any solver: what statements are made of, and which clauses hang on which.

use super::lit::Lit;
use std::collections::HashMap;

/// What a statement is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum LitKind {
    /// What anybody is free to say.
    Free,
    /// What follows from what was said.
    Follows,
    /// An "and" of others.
    Made,
}

/// An "and" of so many parts that they are only looked at one by one.
pub(super) struct Wide {
    pub(super) parts: Box<[Lit]>,
}

/// All statements and clauses.
#[derive(Default)]
pub(super) struct Store {
    kinds: Vec<LitKind>,
    parts: Vec<Option<Box<[Lit]>>>,
    clauses: Vec<Box<[Lit]>>,
    /// By statement: the clauses that hang on it.
    of: Vec<Vec<u32>>,
    /// By clause: on which statements it hangs.
    hang: Vec<Box<[usize]>>,
    wides: Vec<Wide>,
    wide_at: HashMap<usize, usize>,
    wide_of: HashMap<usize, Vec<(usize, usize)>>,
}

impl Store {
    pub(super) fn count(&self) -> usize {
        self.kinds.len()
    }

    pub(super) fn add(&mut self, kind: LitKind, parts: Option<Box<[Lit]>>) -> usize {
        self.kinds.push(kind);
        self.parts.push(parts);
        self.of.push(Vec::new());
        self.kinds.len() - 1
    }

    /// Of a statement: all parts that have to hold for it, if it is made of some.
    pub(super) fn parts(&self, var: usize) -> Option<&[Lit]> {
        self.parts.get(var)?.as_deref()
    }

    pub(super) fn of(&self, var: usize) -> &[u32] {
        &self.of[var]
    }

    pub(super) fn clause(&self, clause: u32) -> &[Lit] {
        &self.clauses[clause as usize]
    }

    pub(super) fn hangs_on(&self, clause: u32) -> impl Iterator<Item = usize> + '_ {
        self.hang[clause as usize].iter().copied()
    }

    /// Adds a clause that hangs on these statements: whoever asks for one of them has to heed it.
    pub(super) fn tie(&mut self, clause: &[Lit], on: &[usize]) -> u32 {
        let number = u32::try_from(self.clauses.len()).unwrap_or(u32::MAX);
        self.clauses.push(clause.into());
        for var in on {
            self.of[*var].push(number);
        }
        self.hang.push(on.into());
        number
    }

    /// The statements that a clause hangs on if nothing else is said: what follows hangs on what is said, and not the other way round.
    pub(super) fn usual(&self, clause: &[Lit]) -> Vec<usize> {
        for kind in [LitKind::Follows, LitKind::Free] {
            let such: Vec<usize> = clause.iter().map(|lit| lit.var()).filter(|var| self.kinds[*var] == kind).collect();
            if !such.is_empty() {
                return such;
            }
        }
        clause.iter().map(|lit| lit.var()).collect()
    }

    pub(super) fn kind(&self, var: usize) -> LitKind {
        self.kinds[var]
    }

    /// Whether some wide statement has to do with these.
    pub(super) fn meets_wide(&self, lits: &[Lit]) -> bool {
        let mut seen = vec![false; self.count()];
        let mut todo: Vec<usize> = lits.iter().map(|lit| lit.var()).collect();
        while let Some(var) = todo.pop() {
            if std::mem::replace(&mut seen[var], true) {
                continue;
            }
            if self.wide(var).is_some() {
                return true;
            }
            todo.extend(self.parts(var).unwrap_or_default().iter().map(|lit| lit.var()));
            todo.extend(self.of(var).iter().flat_map(|clause| self.clause(*clause)).map(|lit| lit.var()));
        }
        false
    }

    /// From now on a statement that is made of others is wide.
    pub(super) fn widen(&mut self, var: usize) {
        let Some(parts) = self.parts[var].clone() else { return };
        if self.wide_at.contains_key(&var) {
            return;
        }
        let wide = self.wides.len();
        for (part, lit) in parts.iter().enumerate() {
            self.wide_of.entry(lit.var()).or_default().push((wide, part));
        }
        self.wides.push(Wide { parts });
        self.wide_at.insert(var, wide);
    }

    pub(super) fn wide(&self, var: usize) -> Option<usize> {
        self.wide_at.get(&var).copied()
    }

    pub(super) fn wides(&self) -> &[Wide] {
        &self.wides
    }

    pub(super) fn wide_of(&self, var: usize) -> &[(usize, usize)] {
        self.wide_of.get(&var).map_or(&[], Vec::as_slice)
    }
}
