//! Layers of the work, and how deep to dig for them.

use super::layers::Laid;
use super::model::Assessment;
use crate::names::{QuestionId, Shape};
use crate::site::FactId;
use crate::units::{Area, Length};
use crate::wall::Level;

/// The layers of a visit and what they mean for digging.
#[derive(Debug, Clone)]
pub struct Digging<'c> {
    /// From the top down.
    pub layers: Vec<Laid<'c>>,
    /// All of them together.
    pub together: Length,
    /// Their underside below the mark, at the wall.
    pub below_mark: Option<Length>,
    /// How deep to dig below today's ground at the wall; negative: that much has to be filled.
    pub at_wall: Option<Length>,
    /// How much lower the surface lies at its outer edge.
    pub drop_at_edge: Option<Length>,
    /// How deep to dig below the ground outside the outer edge; negative: so much has to be filled.
    pub at_edge: Option<Length>,
    /// The area of the work, where both its sides are known.
    pub area: Option<Area>,
    /// How much deeper all of it gets if the surface is lowered as far as the limits ask.
    pub deeper: Length,
}

impl<'c> Assessment<'c> {
    /// The layers and the digging; nothing where the layers of this kind of work are not known.
    #[must_use]
    pub fn digging(&self) -> Option<Digging<'c>> {
        let layers = self.content.laid(&self.values)?;
        let together = layers.iter().fold(Length::ZERO, |sum, laid| sum + laid.layer.thickness);
        let up = |upper, lower| self.site.levels.above(upper, lower).map(|h| h.up);
        let fall = super::model::middle(self.value(FactId::FallAway));
        Some(Digging {
            together,
            below_mark: up(Level::Mark, Level::Finish).map(|finish| finish + together),
            at_wall: up(Level::Finish, Level::Ground).map(|finish| together - finish),
            drop_at_edge: fall
                .zip(self.site.depth)
                .map(|(fall, depth)| crate::units::Slope::from_parts(fall).over(depth))
                // beyond its landing a ramp falls by its own slope
                .filter(|drop| *drop > Length::ZERO && !self.is_ramp()),
            at_edge: self.at_edge(together),
            area: self.site.length.zip(self.site.depth).map(|(length, depth)| length.by(depth)),
            deeper: self.lowering.filter(|l| l.by > Length::ZERO).map_or(Length::ZERO, |l| l.sure),
            layers,
        })
    }

    /// Whether the fall is that of a landing above a surface that is flat in name only: a ramp.
    fn is_ramp(&self) -> bool {
        let asks = self.state.shown[self.content.catalog.names.at(QuestionId::LandingDepth)].is_yes();
        asks && self.shape() == Some(Shape::Flat)
    }

    /// How far the underside of the layers lies below the ground outside the outer edge. Of steps, the edge
    /// is the lowest tread, which stands on the ground.
    fn at_edge(&self, together: Length) -> Option<Length> {
        if self.shape() == Some(Shape::Flight) {
            return None;
        }
        let known = |id: FactId| self.value(id).known().map(Length::from_steps);
        Some(together + known(FactId::OuterBelow)? - known(FactId::OuterDrop)?)
    }
}
