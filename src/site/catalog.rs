//! What the program needs of the content to read a visit: names resolved, claddings and features as rows.

use crate::names::{Carrier, Drains, Drawn, Lifts, Names, Shape};
use crate::pack::{Text, packed};
use crate::units::Length;

/// A cladding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cladding {
    /// How it lets water out.
    pub drains: Drains,
    /// What may carry it; never empty.
    pub carried_by: Vec<Carrier>,
    /// What is taken to carry it where nobody knows.
    pub usually: Option<Carrier>,
    /// On these it drains like a solid wall.
    pub solid_on: Vec<Carrier>,
    /// The number of its exit among [`Catalog::exit_kinds`].
    pub exit: usize,
    /// The same without a weep screed.
    pub exit_without: usize,
    /// The same where it drains like a solid wall.
    pub exit_solid: usize,
    /// Its face in the drawing.
    pub drawn: Drawn,
    /// Whether heights on it are counted in rows of brick.
    pub in_courses: bool,
}

packed!(struct Cladding { drains, carried_by, usually, solid_on, exit, exit_without, exit_solid, drawn, in_courses });

/// A kind of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Feature {
    /// Its shape.
    pub shape: Shape,
    /// How its strip along the wall comes up.
    pub lifts: Lifts,
    /// Whether it stands on posts, with air between it and the ground.
    pub on_posts: bool,
}

packed!(struct Feature { shape, lifts, on_posts });

/// The content as far as [`Site::read`](super::Site::read) needs it.
#[derive(Debug, Clone)]
pub struct Catalog {
    /// Where each name stands.
    pub names: Names,
    /// One for each choice of the question on the cladding.
    pub claddings: Vec<Cladding>,
    /// One for each choice of the question on the feature.
    pub features: Vec<Feature>,
    /// The names of exits; each has a word `exit.kind.…`.
    pub exit_kinds: Vec<Text>,
    /// For each choice of joists, how far the lowest wood usually lies below the threshold.
    pub wood_lines: Vec<Option<Length>>,
}

packed!(struct Catalog { names, claddings, features, exit_kinds, wood_lines });

impl Cladding {
    /// Whether it certainly drains like a solid wall on that.
    #[must_use]
    pub fn is_solid_on(&self, carrier: Option<Carrier>) -> bool {
        carrier.is_some_and(|on| self.solid_on.contains(&on))
    }

    /// How it drains on what carries it: more than one way where that is not known and counts.
    #[must_use]
    pub fn drains_on(&self, carrier: Option<Carrier>) -> Vec<Drains> {
        match carrier {
            Some(_) if self.is_solid_on(carrier) => vec![Drains::Solid],
            Some(_) => vec![self.drains],
            None if self.solid_on.is_empty() => vec![self.drains],
            None => vec![self.drains, Drains::Solid],
        }
    }
}
