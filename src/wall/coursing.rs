//! Masonry coursing: how high so many rows of brick stand, joints included.

use crate::pack::packed;
use crate::units::Length;

/// A gauge of brickwork: so many courses measure so much, each with its joint.
///
/// Invariant: at least one course, and a height above zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coursing {
    courses: i64,
    height: Length,
}

packed!(struct Coursing { courses, height });

impl Coursing {
    /// `courses` rows, each with one joint, measure `height`; nothing if either is not above zero.
    #[must_use]
    pub fn new(courses: i64, height: Length) -> Option<Coursing> {
        (courses > 0 && height > Length::ZERO).then_some(Coursing { courses, height })
    }

    /// The number of courses of the gauge.
    #[must_use]
    pub fn courses(self) -> i64 {
        self.courses
    }

    /// What they measure together.
    #[must_use]
    pub fn height(self) -> Length {
        self.height
    }

    /// How high `count` courses stand, to the step of [`Length`].
    #[must_use]
    pub fn height_of(self, count: i64) -> Length {
        Length::from_steps(self.height.steps() * count / self.courses)
    }

    /// The fewest whole courses that are at least `height` high; none for nothing.
    #[must_use]
    pub fn whole_courses_for(self, height: Length) -> i64 {
        if height <= Length::ZERO {
            return 0;
        }
        let (needed, one) = (height.steps() * self.courses, self.height.steps());
        (needed + one - 1) / one
    }
}
