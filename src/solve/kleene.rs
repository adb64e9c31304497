//! Statements in three values, as two statements each.

use super::lit::Lit;
use super::sat::Sat;
use std::ops::Not;

/// A statement that may be certain, certainly not, or unknown: never both of the first two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Kleene {
    /// It certainly holds.
    pub yes: Lit,
    /// It certainly does not.
    pub no: Lit,
}

impl Not for Kleene {
    type Output = Kleene;
    fn not(self) -> Kleene {
        Kleene { yes: self.no, no: self.yes }
    }
}

impl Kleene {
    /// What is always certain.
    #[must_use]
    pub fn always(sat: &Sat) -> Kleene {
        Kleene { yes: sat.yes(), no: !sat.yes() }
    }

    /// What is always known: a plain statement.
    #[must_use]
    pub fn plain(lit: Lit) -> Kleene {
        Kleene { yes: lit, no: !lit }
    }

    /// All of them.
    #[must_use]
    pub fn all(sat: &mut Sat, parts: &[Kleene]) -> Kleene {
        let yes: Vec<Lit> = parts.iter().map(|part| part.yes).collect();
        let no: Vec<Lit> = parts.iter().map(|part| part.no).collect();
        Kleene { yes: sat.all(&yes), no: sat.any(&no) }
    }

    /// At least one of them.
    #[must_use]
    pub fn any(sat: &mut Sat, parts: &[Kleene]) -> Kleene {
        let turned: Vec<Kleene> = parts.iter().map(|part| !*part).collect();
        !Kleene::all(sat, &turned)
    }

    /// The statement that it is not known.
    #[must_use]
    pub fn unknown(self, sat: &mut Sat) -> Lit {
        sat.all(&[!self.yes, !self.no])
    }
}
