//! One scale across a section, for the pieces and the way of a drop alike.
//!
//! The layers of a wall are thin: to scale, most would vanish. So each of them is given at least some width, and
//! everything else keeps its order and its proportion.

use crate::units::Length;

/// Distances out from the wall as places in a drawing.
///
/// Invariant: at least two stops, rising in both.
pub(super) struct Across {
    stops: Vec<(Length, f64)>,
}

impl Across {
    /// Gives what lies between the faces of a section `per_inch` for each inch, and at least `least`.
    pub(super) fn with(faces: &[Length], per_inch: f64, least: f64) -> Across {
        let mut place = 0.0;
        let mut stops: Vec<(Length, f64)> = Vec::with_capacity(faces.len());
        for face in faces {
            if let Some((before, _)) = stops.last() {
                place += ((*face - *before).as_inches() * per_inch).max(least);
            }
            stops.push((*face, place));
        }
        Across { stops }
    }

    /// The same, so that all of it is as wide as `room`.
    pub(super) fn fitting(faces: &[Length], room: f64, least: f64) -> Across {
        let wide: Vec<f64> = faces.windows(2).map(|pair| (pair[1] - pair[0]).as_inches()).collect();
        let mut per_inch = f64::INFINITY;
        // what is too thin takes its least width from what is wider, which may make that too thin in turn
        for _ in 0..=wide.len() {
            let (mut thin, mut rest) = (0.0, 0.0);
            for inches in &wide {
                if inches * per_inch < least { thin += least } else { rest += inches }
            }
            let next = if rest > 0.0 { ((room - thin) / rest).max(0.0) } else { 0.0 };
            let settled = (next - per_inch).abs() < 1e-9;
            per_inch = next;
            if settled {
                break;
            }
        }
        Across::with(faces, per_inch, least)
    }

    /// The place of a distance.
    pub(super) fn at(&self, x: Length) -> f64 {
        let after = self.stops.iter().position(|(face, _)| *face >= x).unwrap_or(self.stops.len() - 1).max(1);
        let ((a, from), (b, to)) = (self.stops[after - 1], self.stops[after]);
        let share = (x - a).as_inches() / (b - a).as_inches();
        from + (to - from) * share.clamp(0.0, 1.0)
    }

    /// The distance of a place.
    pub(super) fn back(&self, place: f64) -> Length {
        let after = self.stops.iter().position(|(_, at)| *at >= place).unwrap_or(self.stops.len() - 1).max(1);
        let ((a, from), (b, to)) = (self.stops[after - 1], self.stops[after]);
        let share = ((place - from) / (to - from)).clamp(0.0, 1.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // within the picture
        let steps = ((b - a).steps() as f64 * share) as i64;
        a + Length::from_steps(steps)
    }

    /// The same with every face at a whole place.
    pub(super) fn whole(mut self) -> Across {
        let mut least = 0.0;
        for (_, place) in &mut self.stops {
            *place = place.round().max(least);
            least = *place + 1.0;
        }
        self
    }
}
