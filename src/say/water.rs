//! The way of water in words.

use crate::judge::{Assessment, WaterWay};
use crate::units::Length;
use crate::wall::Level;
use crate::water::{End, Medium, Path, Start};

impl Assessment<'_> {
    /// A way in words, to be read aloud.
    #[must_use]
    pub fn way_in_words(&self, start: Start, path: &Path) -> String {
        let mut media: Vec<Medium> = path.steps.iter().map(|s| s.on).collect();
        if matches!(start, Start::Surface | Start::Joint) {
            // that is where it starts
            media.remove(0);
        }
        media.dedup();
        let parts: Vec<String> = media.iter().map(|m| self.word(medium_word(*m))).collect();
        let end = self.word(end_word(path.end));
        let start = self.word(start_word(start));
        match &parts[..] {
            [] if path.end == End::OnFinish => self.word_with("water.path_away", &[("start", &start)]),
            [] => self.word_with("water.path_none", &[("start", &start), ("end", &end)]),
            [one] => self.word_with("water.path_one", &[("start", &start), ("way", one), ("end", &end)]),
            [first @ .., last] => self.word_with(
                "water.path",
                &[("start", &start), ("way", &first.join(", ")), ("last", last), ("end", &end)],
            ),
        }
    }

    /// Where a way goes wrong, in words.
    #[must_use]
    pub fn wrong_in_words(&self, way: &WaterWay) -> Option<String> {
        let step = way.path.steps.get(way.wrong?)?;
        let gap = self.site.height(Level::Finish, Level::Exit).map(|h| h.up).filter(|gap| *gap > Length::ZERO);
        let what = match gap.filter(|_| step.on == Medium::Fill && way.start == Start::Behind) {
            Some(gap) => self.word_with("wrong.fill_by", &[("gap", &gap.show(self.units))]),
            None => self.word(wrong_word(way.path.end, way.path.steps.last()?.on)),
        };
        Some(self.word_with("water.wrong", &[("what", &what)]))
    }
}

/// The word of a start.
pub(crate) fn start_word(start: Start) -> &'static str {
    match start {
        Start::Face => "water.start.face",
        Start::Behind => "water.start.behind",
        Start::DoorHead => "water.start.door_head",
        Start::Channel => "water.start.channel",
        Start::Joint => "water.start.joint",
        Start::Surface => "water.start.surface",
    }
}

pub(crate) fn end_word(end: End) -> &'static str {
    match end {
        End::OnFinish => "water.end.on_finish",
        End::OnGround => "water.end.on_ground",
        End::InGap => "water.end.in_gap",
        End::InChannel => "water.end.in_channel",
        End::AlongWall => "water.end.along_wall",
        End::AtFoundation => "water.end.at_foundation",
        End::Standing => "water.end.standing",
        End::AtJoint => "water.end.at_joint",
        End::InFlashing => "water.end.in_flashing",
        End::BehindWork => "water.end.behind_work",
        End::InVoid => "water.end.in_void",
        End::InCoat => "water.end.in_coat",
        End::OnWood => "water.end.on_wood",
    }
}

fn medium_word(medium: Medium) -> &'static str {
    match medium {
        Medium::Cladding => "water.on.cladding",
        Medium::Channel => "water.on.channel",
        Medium::Trim => "water.on.trim",
        Medium::Barrier => "water.on.barrier",
        Medium::RoofEnd => "water.on.roof_end",
        Medium::Flashing => "water.on.flashing",
        Medium::Screed => "water.on.screed",
        Medium::Membrane => "water.on.membrane",
        Medium::Pan => "water.on.pan",
        Medium::Wood => "water.on.wood",
        Medium::Foundation => "water.on.foundation",
        Medium::ClosedFoot => "water.on.closed_foot",
        Medium::Ledge => "water.on.ledge",
        Medium::Finish => "water.on.finish",
        Medium::Fill => "water.on.fill",
        Medium::Void => "water.on.void",
        Medium::Gap => "water.on.gap",
        Medium::Drain => "water.on.drain",
        Medium::BesideFoundation => "water.on.beside_foundation",
        Medium::Ground => "water.on.ground",
    }
}

fn wrong_word(end: End, on: Medium) -> &'static str {
    match end {
        End::BehindWork => "wrong.fill",
        End::InVoid => "wrong.void",
        End::InCoat => "wrong.closed_foot",
        End::InFlashing if on == Medium::Ledge => "wrong.ledge",
        End::InFlashing => "wrong.flashing",
        End::OnWood => "wrong.wood",
        End::AtFoundation => "wrong.joint",
        _ => "wrong.finish",
    }
}

impl Assessment<'_> {
    /// The name of a start, for JSON and tests.
    #[must_use]
    pub fn start_in_words(&self, start: Start) -> String {
        self.word(start_word(start))
    }
}
