//! Which readings of heights at the wall touch the finish, and so change when it moves.

use super::model::Site;
use crate::names::QuestionId;
use crate::units::Length;
use crate::wall::Level;

impl Site {
    /// The answers that were measured from or to the finish at the wall, and whether each grows (`1`) or shrinks
    /// (`-1`) as the finish rises.
    #[must_use]
    pub fn finish_readings(&self) -> &[(QuestionId, i64)] {
        &self.touch_finish
    }

    /// Whether an answer is such a reading.
    #[must_use]
    pub fn is_finish_reading(&self, id: QuestionId) -> bool {
        self.touch_finish.iter().any(|(reading, _)| *reading == id)
    }

    /// How much higher the finish is here than at another site of the same house, against a mark, the ground or an
    /// older surface, whichever it was read from. Where it was tilted, the most that it rose anywhere.
    #[must_use]
    pub fn finish_risen(&self, before: &Site) -> Option<Length> {
        if let (Some(new), Some(old)) = (self.finish_line(), before.finish_line()) {
            let places = new.offsets().chain(old.offsets());
            return places.map(|at| new.at(at).above(old.at(at))).max();
        }
        [Level::Mark, Level::Ground, Level::OldSurface].into_iter().find_map(|from| {
            let now = self.levels.direct(Level::Finish, from)?;
            Some(now - before.levels.above(Level::Finish, from)?.up)
        })
    }
}
