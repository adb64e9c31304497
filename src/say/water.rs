//! The way of water in words.

use crate::judge::{Assessment, WaterWay};
use crate::units::Length;
use crate::wall::{Level, Part};
use crate::water::{End, Path, Start};

impl Assessment<'_> {
    /// A way in words, to be read aloud.
    #[must_use]
    pub fn way_in_words(&self, start: Start, path: &Path) -> String {
        let mut run_on: Vec<Part> = path.steps.iter().map(|s| s.on).collect();
        if matches!(start, Start::Surface | Start::Joint) {
            // that is where it starts
            run_on.remove(0);
        }
        run_on.dedup();
        let (cavity, at_door) = (self.site.has_bare_cavity(), start == Start::DoorHead);
        let key = |part: Part| match part {
            Part::Barrier if cavity => "water.on.cavity",
            Part::Ledge if at_door => "water.on.sill",
            _ => part_word(part),
        };
        let parts: Vec<String> = run_on.iter().map(|part| self.word(key(*part))).collect();
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
        let what = match gap.filter(|_| step.on == Part::Fill && way.start == Start::Behind) {
            Some(gap) => self.word_with("wrong.fill_by", &[("gap", &gap.show(self.units))]),
            None => match way.path.steps.last()?.on {
                Part::Ledge if way.start == Start::DoorHead => self.word("wrong.sill"),
                on => self.word(wrong_word(way.path.end, on)),
            },
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

/// The word of what a drop runs on. Some parts it never reaches; they go by what they belong to.
fn part_word(part: Part) -> &'static str {
    match part {
        Part::Cladding | Part::Coat | Part::Foam | Part::Masonry => "water.on.cladding",
        Part::Channel => "water.on.channel",
        Part::Trim => "water.on.trim",
        Part::Barrier => "water.on.barrier",
        Part::RoofEnd => "water.on.roof_end",
        Part::Flashing | Part::EndDam => "water.on.flashing",
        Part::Screed => "water.on.screed",
        Part::Membrane => "water.on.membrane",
        Part::Pan | Part::Threshold => "water.on.pan",
        Part::Wood | Part::Framing => "water.on.wood",
        Part::Backing => "water.on.backing",
        Part::Foundation => "water.on.foundation",
        Part::ClosedFoot => "water.on.closed_foot",
        Part::Ledge => "water.on.ledge",
        Part::Finish | Part::Layer(_) | Part::OldSlab | Part::Closure => "water.on.finish",
        Part::Fill => "water.on.fill",
        Part::Void => "water.on.void",
        Part::Gap => "water.on.gap",
        Part::Drain => "water.on.drain",
        Part::BesideFoundation => "water.on.beside_foundation",
        Part::Ground => "water.on.ground",
    }
}

fn wrong_word(end: End, on: Part) -> &'static str {
    match end {
        End::BehindWork => "wrong.fill",
        End::InVoid => "wrong.void",
        End::InCoat => "wrong.closed_foot",
        End::InFlashing if on == Part::Ledge => "wrong.ledge",
        End::InFlashing => "wrong.flashing",
        End::OnWood => "wrong.wood",
        End::AtFoundation => "wrong.joint",
        _ => "wrong.finish",
    }
}
