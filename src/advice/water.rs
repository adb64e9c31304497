//! Where the water goes at this wall, in words, and where it will go after the work.

use super::assess::Assessment;
use super::document::{Block, Point as Item};
use super::verdict::Verdict;
use crate::site::{Trace, Traced, Traces};
use crate::units::Length;
use crate::wall::{Level, Sense};
use crate::water::{End, Joint, Medium, Path, Start, System, Wall};

/// The way of a drop at this wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaterWay {
    /// Where it starts.
    pub start: Start,
    /// The wall it was traced on: of all that fit the answers, one with the worst end.
    pub wall: Wall,
    /// The way.
    pub path: Path,
    /// The step at which it goes wrong, if it does.
    pub wrong: Option<usize>,
    /// The best end, if the answers leave several open.
    pub at_best: Option<End>,
}

/// The wall as it will be after the work on the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AfterWork {
    /// Whether the foot of the wall was opened and closed again; else the surface was lowered.
    pub opened: Option<Length>,
    /// How far the surface was lowered.
    pub lowered: Length,
    /// The ways then.
    pub ways: Vec<(Start, Path)>,
}

impl AfterWork {
    /// Whether every drop ends outside.
    #[must_use]
    pub fn all_outside(&self) -> bool {
        self.ways.iter().all(|(start, path)| is_fine(*start, path.end))
    }
}

/// How far clear the cladding is cut where no limit says more: 1/2 in (common practice, no source).
const CUT_CLEAR: Length = Length::sixty_fourths(32);

impl Assessment<'_> {
    /// The ways from all places that this wall has.
    #[must_use]
    pub fn water_ways(&self) -> Vec<WaterWay> {
        let traces = Traces::of(&self.site, self.content.per_reading);
        let places = Start::ALL.into_iter().filter(|start| self.has_place(*start));
        places
            .filter_map(|start| {
                let trace = traces.from(start);
                let Traced { wall, path } = trace.worst()?.clone();
                let best = match trace {
                    Trace::Ways(ways) => ways.iter().map(|w| w.path.end).min().filter(|end| *end != path.end),
                    _ => None,
                };
                let wrong = if is_fine(start, path.end) { None } else { went_wrong(&wall, start, &path) };
                Some(WaterWay { start, wall, path, wrong, at_best: best })
            })
            .collect()
    }

    /// Whether a yes/no fact certainly holds.
    pub(super) fn says_yes(&self, name: &str) -> bool {
        self.content.names.slot(name).is_some_and(|slot| self.values[slot as usize].known() == Some(2))
    }

    /// What is built against a wall has no surface to walk on.
    fn has_place(&self, start: Start) -> bool {
        !matches!(start, Start::Surface | Start::Joint) || !self.says("feature", &["built_against"])
    }

    /// The wall after the checklist: opened and closed again where an exterior trade has to come first, else
    /// with the surface lowered as the limits ask. Nothing where neither is called for.
    #[must_use]
    pub fn after_work(&self) -> Option<AfterWork> {
        let ways = self.water_ways();
        let base = ways.iter().find(|w| w.start == Start::Behind).or(ways.first())?.wall;
        let to_open =
            self.content.names.slot("wall.to_open").is_some_and(|s| self.values[s as usize].known() == Some(2));
        let lowering = self.lowering.filter(|l| l.by > Length::ZERO);
        if self.says("feature", &["built_against"]) {
            // soil or fuel against a wall is no surface that water runs away on
            return None;
        }
        // veneer and solid masonry are not cut back: there the surface gives way
        let can_open = matches!(base.system, System::Siding | System::Coat { .. } | System::Foam { .. });
        let opened = (to_open || self.settled.certain == Verdict::ExteriorFirst && base.is_covered()) && can_open;
        let (opened, lowered) = if opened {
            (Some(self.exit_bound().unwrap_or(CUT_CLEAR).max(CUT_CLEAR)), Length::ZERO)
        } else {
            // what asks for more than is known may ask for more still
            let by = lowering.filter(|l| l.exit_known)?.sure;
            (None, by)
        };
        // built work that comes up goes back with a joint that holds, and with nothing hollow behind it
        let relaid = self.says_yes("work.to_lift");
        let ways = ways
            .iter()
            .filter_map(|way| {
                let wall = match opened {
                    Some(clear) => way.wall.repaired(clear),
                    None if relaid => {
                        Wall { joint: closed(way.wall.joint), ..way.wall.lowered(lowered).without_work_faults() }
                    }
                    None => way.wall.lowered(lowered),
                };
                Some((way.start, wall.path(way.start)?))
            })
            .collect();
        Some(AfterWork { opened, lowered, ways })
    }

    /// The most that any limit that can fail a plan asks of the exit above the finish.
    fn exit_bound(&self) -> Option<Length> {
        let rows = self.bounds_on("exit.above_finish", Sense::AtLeast).filter(|l| l.verdict.is_some());
        rows.map(|l| Length::from_steps(l.bound)).max()
    }

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

    /// The section on water: every way that does not end outside, and the others in short. `whole` tells the
    /// ways that end outside too.
    pub(super) fn water_block(&self, blocks: &mut Vec<Block>, whole: bool) {
        let ways = self.water_ways();
        if ways.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.water"));
        let main = |way: &&WaterWay| way.start == Start::Behind;
        let mut items = Vec::new();
        let mut good: Vec<String> = Vec::new();
        for way in &ways {
            let fine = is_fine(way.start, way.path.end);
            if fine && !main(&way) && !whole {
                good.push(self.word(start_word(way.start)));
                continue;
            }
            let mut lines: Vec<String> = self.wrong_in_words(way).into_iter().collect();
            if let Some(best) = way.at_best {
                let best = self.word(end_word(best));
                lines.push(self.word_with("water.at_best", &[("end", &best)]));
            }
            items.push(Item { text: self.way_in_words(way.start, &way.path), lines });
        }
        if !items.is_empty() {
            blocks.push(Block::Numbered(items));
        }
        if !good.is_empty() {
            blocks.push(Block::Paragraph(self.word_with("water.outside", &[("list", &good.join("; "))])));
        }
        if let Some(text) = self.rules_and_path() {
            blocks.push(Block::Paragraph(text));
        }
        blocks.push(Block::Note(self.word("water.assumed")));
        self.after_block(blocks);
    }

    /// The one way that a crew has to know: that of the water behind the cladding.
    pub(super) fn water_line(&self, blocks: &mut Vec<Block>) {
        let Some(way) = self.water_ways().into_iter().find(|w| w.start == Start::Behind) else { return };
        let mut text = self.way_in_words(way.start, &way.path);
        if let Some(wrong) = self.wrong_in_words(&way) {
            text.push(' ');
            text.push_str(&wrong);
        }
        blocks.push(Block::Paragraph(text));
    }

    /// Whether the path and the limits say the same; nothing if they do.
    fn rules_and_path(&self) -> Option<String> {
        let value = |name: &str| self.content.names.slot(name).map(|s| self.values[s as usize]);
        let outside = value("trace.outside")?.known()? == 2;
        let failed = value("limits.failed")?.known()? / 1000;
        let key = match (outside, failed) {
            (true, 1..) => "water.limits_fail",
            (false, 0) if self.settled.verdict == Verdict::GoAhead => "water.wall_holds",
            (false, 0) => "water.limits_pass",
            _ => return None,
        };
        Some(self.word_with(key, &[("failed", &failed.to_string())]))
    }

    fn after_block(&self, blocks: &mut Vec<Block>) {
        let Some(after) = self.after_work() else { return };
        let how = match after.opened {
            Some(clear) => {
                let out = Length::inches(1).show(self.units);
                self.word_with("after.opened", &[("clear", &clear.show(self.units)), ("out", &out)])
            }
            None => self.word_with("after.lowered", &[("by", &after.lowered.show(self.units))]),
        };
        blocks.push(self.heading("heading.after_work"));
        let bad: Vec<String> = after
            .ways
            .iter()
            .filter(|(start, path)| !is_fine(*start, path.end))
            .map(|(start, path)| self.way_in_words(*start, path))
            .collect();
        let main = after.ways.iter().find(|(start, _)| *start == Start::Behind).or(after.ways.first());
        let mut text = how;
        if bad.is_empty() {
            text.push(' ');
            text.push_str(&self.word("after.all_outside"));
            if let Some((start, path)) = main {
                text.push(' ');
                text.push_str(&self.way_in_words(*start, path));
            }
            blocks.push(Block::Paragraph(text));
        } else {
            text.push(' ');
            text.push_str(&self.word("after.not_all"));
            blocks.push(Block::Paragraph(text));
            blocks.push(Block::Numbered(bad.into_iter().map(|text| Item { text, lines: Vec::new() }).collect()));
        }
    }
}

/// A joint that touches, closed by something that holds.
fn closed(joint: Joint) -> Joint {
    if joint == Joint::Touching { Joint::Closed } else { joint }
}

/// Whether an end is as it should be: from the wall, water has left it; on the work, it is outside.
fn is_fine(start: Start, end: End) -> bool {
    match start {
        Start::Joint | Start::Surface => end.is_outside(),
        _ => end.leaves_wall(),
    }
}

/// The step at which a way leaves that of the sound wall.
fn went_wrong(wall: &Wall, start: Start, path: &Path) -> Option<usize> {
    path.parts_from(&wall.sound().path(start)?)
}

/// The word of a start.
pub(super) fn start_word(start: Start) -> &'static str {
    match start {
        Start::Face => "water.start.face",
        Start::Behind => "water.start.behind",
        Start::DoorHead => "water.start.door_head",
        Start::Channel => "water.start.channel",
        Start::Joint => "water.start.joint",
        Start::Surface => "water.start.surface",
    }
}

pub(super) fn end_word(end: End) -> &'static str {
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
