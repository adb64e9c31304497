//! Built work that leaks: by which ways the water may get in, what speaks for each, and how to find out.

use super::model::Assessment;
use crate::content::{Evidence, Remark, Suspect};
use crate::flow::Truth;
use crate::names::Stage;
use crate::wall::{Faults, Spec};
use crate::water::{Path, Start, path};

/// A suspected way.
#[derive(Debug, Clone)]
pub struct Suspected<'c> {
    /// The row.
    pub row: &'c Suspect,
    /// The way of the drop, on the wall with these faults; nothing for what does not come through the foot.
    pub path: Option<Path>,
    /// What speaks for it.
    pub speaks_for: Vec<&'c Evidence>,
    /// What speaks against it.
    pub speaks_against: Vec<&'c Evidence>,
    /// Weights for less weights against.
    pub score: i64,
}

impl<'c> Assessment<'c> {
    /// The ways that the water may take into a built wall, the likeliest first; of equal ones, first the one
    /// that is seen with the least damage. A way that the trace shows to end outside is none.
    #[must_use]
    pub fn suspects(&self) -> Vec<Suspected<'c>> {
        if self.said() != Some(Stage::Built) {
            return Vec::new();
        }
        let holds = |e: &&Evidence| e.when.eval(&self.values) == Truth::Yes;
        let mut list: Vec<Suspected<'c>> = self
            .content
            .suspects
            .iter()
            .filter(|row| row.when.eval(&self.values).is_possible())
            .filter_map(|row| {
                let path = match row.start {
                    Some(start) => Some(self.worst_path(start, row.faults).filter(|p| !p.end.is_outside())?),
                    None => None,
                };
                let speaks_for: Vec<&Evidence> = row.speaks_for.iter().filter(holds).collect();
                let speaks_against: Vec<&Evidence> = row.speaks_against.iter().filter(holds).collect();
                let sum = |list: &[&Evidence]| list.iter().map(|e| e.weight).sum::<i64>();
                let score = sum(&speaks_for) - sum(&speaks_against);
                Some(Suspected { row, path, speaks_for, speaks_against, score })
            })
            .collect();
        list.retain(|s| !s.speaks_for.is_empty());
        list.sort_by_key(|s| (std::cmp::Reverse(s.score), s.row.damage));
        list
    }

    /// The worst way from a start on the walls that fit the answers, with these faults besides.
    fn worst_path(&self, start: Start, faults: Faults) -> Option<Path> {
        let usual = &self.content.usual;
        let with = |wall: Spec| path(&Spec { faults: wall.faults.and(faults), ..wall }, start, usual);
        self.site.walls(start, self.content.per_reading, usual).into_iter().filter_map(with).max_by_key(|p| p.end)
    }

    /// What comes out and goes back, in working order.
    pub fn to_remove(&self) -> impl Iterator<Item = &'c Remark> {
        self.content.remove.iter().filter(|r| r.when.eval(&self.values).is_yes())
    }

    /// How the work can grow once the wall is open.
    pub fn scope(&self) -> impl Iterator<Item = &'c Remark> {
        self.content.scope.iter().filter(|r| r.when.eval(&self.values).is_yes())
    }
}
