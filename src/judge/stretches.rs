//! Several stretches of wall in one visit: the back wall, a return, a stoop. Each is assessed by itself;
//! the worst decides.

use super::model::Assessment;

/// The stretches of a visit, each with its name. Never empty.
#[derive(Debug)]
pub struct Stretches<'c> {
    pub(crate) worst: (String, Assessment<'c>),
    pub(crate) others: Vec<(String, Assessment<'c>)>,
}

impl<'c> Stretches<'c> {
    /// Orders the stretches: the worst first, the others as they come. Nothing without any.
    #[must_use]
    pub fn of(mut list: Vec<(String, Assessment<'c>)>) -> Option<Stretches<'c>> {
        let rank = |a: &Assessment<'_>| (a.settled.verdict, a.settled.held);
        let worst = (0..list.len()).rev().max_by_key(|i| rank(&list[*i].1))?;
        let worst = list.remove(worst);
        Some(Stretches { worst, others: list })
    }

    /// The assessment that decides.
    #[must_use]
    pub fn worst(&self) -> &Assessment<'c> {
        &self.worst.1
    }

    /// The name of the stretch that decides; empty for the only one.
    #[must_use]
    pub fn worst_name(&self) -> &str {
        &self.worst.0
    }

    /// The other stretches.
    #[must_use]
    pub fn others(&self) -> &[(String, Assessment<'c>)] {
        &self.others
    }
}
