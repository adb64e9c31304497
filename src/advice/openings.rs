//! Doors, windows, vents and wells of a visit: how far each stands above the finish, and what a step at a
//! door takes.

use super::assess::Assessment;
use super::document::Block;
use crate::site::{Opening, OpeningKind, Over};
use crate::units::Length;
use crate::wall::{Flight, Level, Sense, flight};

/// An opening with what follows for it.
#[derive(Debug, Clone, Copy)]
pub struct OpeningRow {
    /// The opening. One without a place begins and ends at zero.
    pub opening: Opening,
    /// Whether it has a place along the wall.
    pub placed: bool,
    /// How far it stands above the finish, if known.
    pub over: Option<Over>,
    /// The same if the surface goes down as far as the limits ask; nothing where it may stay.
    pub over_then: Option<Over>,
    /// For a door: the step that is allowed there, if the region bounds it.
    pub step_most: Option<Length>,
    /// For a door with a higher step: equal risers up to the threshold.
    pub flight: Option<Flight>,
}

impl Assessment<'_> {
    /// All openings whose height or place is known. The main door by itself is none: its step stands among
    /// the heights.
    #[must_use]
    pub fn openings(&self) -> Vec<OpeningRow> {
        let mut list: Vec<(Opening, bool)> = self.site.openings.iter().map(|o| (*o, true)).collect();
        let placed = |kind: OpeningKind| self.site.openings.iter().any(|o| o.kind == kind);
        if let Some(below) = self.length_said("other_door_below_mark").filter(|_| !placed(OpeningKind::OtherDoor)) {
            let door =
                |kind, below| (Opening { kind, from: Length::ZERO, to: Length::ZERO, below: Some(below) }, false);
            if self.site.door == Some(true) && !placed(OpeningKind::MainDoor) {
                list.push(door(OpeningKind::MainDoor, Length::ZERO));
            }
            list.push(door(OpeningKind::OtherDoor, below));
        }
        list.into_iter().map(|(opening, placed)| self.opening_row(opening, placed)).collect()
    }

    fn opening_row(&self, opening: Opening, placed: bool) -> OpeningRow {
        // without its place, what a door stands above a sloping surface is not known
        let known = placed || !self.site.slopes();
        let over = self.site.over_finish(&opening, self.content.per_reading).filter(|_| known);
        let down = self.lowering.filter(|l| l.by > Length::ZERO).map(|l| l.sure);
        let over_then = over.zip(down).map(|(o, down)| Over { least: o.least + down, most: o.most + down, ..o });
        let step_most = self.step_most(opening.kind);
        let step = over_then.or(over).map(|o| o.most);
        let too_high = step.zip(step_most).is_some_and(|(step, most)| step > most);
        let riser = self.riser_most().filter(|_| too_high);
        let flight = step.zip(riser).and_then(|(step, most)| flight(step, most));
        OpeningRow { opening, placed, over, over_then, step_most, flight }
    }

    fn riser_most(&self) -> Option<Length> {
        let region = self.content.region(self.answers)?;
        self.content.stairs.iter().find(|s| s.region == region)?.rules.riser_most
    }

    /// The highest step that is allowed at a door: by a limit that applies, or else one riser of the region.
    fn step_most(&self, kind: OpeningKind) -> Option<Length> {
        let fact = match kind {
            OpeningKind::MainDoor => "threshold.above_finish",
            OpeningKind::OtherDoor => "other_door.most_step",
            _ => return None,
        };
        let rows = self.bounds_on(fact, Sense::AtMost).filter(|l| l.verdict.is_some());
        rows.map(|l| Length::from_steps(l.bound)).min().or_else(|| self.riser_most())
    }

    pub(super) fn openings_block(&self, blocks: &mut Vec<Block>) {
        let openings = self.openings();
        if openings.is_empty() {
            return;
        }
        let word = |key: &str| self.content.word(key).to_owned();
        let lowered = openings.iter().any(|o| o.over_then.is_some());
        let rows = openings.iter().map(|row| {
            let mut cells = vec![word(opening_word(row.opening.kind)), self.place_words(row)];
            cells.push(row.over.map_or_else(|| word("label.not_known"), |o| self.over_words(o)));
            if lowered {
                cells.push(row.over_then.map_or_else(|| word("label.not_known"), |o| self.over_words(o)));
            }
            cells.push(self.door_words(row));
            cells
        });
        let rows = rows.collect();
        let mut head = vec![word("table.opening"), word("table.place"), word("table.over_finish")];
        if lowered {
            head.push(word("table.over_finish_then"));
        }
        head.push(word("table.door_takes"));
        blocks.push(self.heading("heading.openings"));
        blocks.push(Block::Table { head, rows });
    }

    fn place_words(&self, row: &OpeningRow) -> String {
        if !row.placed {
            return String::new();
        }
        let (from, to) = (row.opening.from.show(self.units), row.opening.to.show(self.units));
        self.word_with("label.from_to", &[("from", &from), ("to", &to)])
    }

    fn over_words(&self, over: Over) -> String {
        let show = |l: Length| self.height_in_words(l.steps());
        if over.least == over.most {
            return show(over.least);
        }
        self.word_with("label.from_to", &[("from", &show(over.least)), ("to", &show(over.most))])
    }

    /// What a door takes: a step, or a flight; nothing for what is no door.
    fn door_words(&self, row: &OpeningRow) -> String {
        let (Some(over), Some(most)) = (row.over_then.or(row.over), row.step_most) else { return String::new() };
        if over.least < Length::ZERO {
            return self.word("door.covered");
        }
        let bound = most.show(self.units);
        match row.flight {
            Some(flight) => {
                let (risers, riser) = (flight.risers.to_string(), flight.riser.show(self.units));
                self.word_with("door.flight", &[("bound", &bound), ("risers", &risers), ("riser", &riser)])
            }
            None => self.word_with("door.fits", &[("bound", &bound)]),
        }
    }

    /// The limit on the exit in whole courses of brick, where the wall is of brick.
    pub(super) fn coursing_line(&self, blocks: &mut Vec<Block>) {
        if !self.says("cladding", &["brick_veneer", "solid_masonry"]) {
            return;
        }
        let bound = self.bounds_on("exit.above_finish", Sense::AtLeast).map(|l| Length::from_steps(l.bound)).max();
        let region = self.content.region(self.answers);
        let gauges: Vec<String> = self
            .content
            .coursing
            .iter()
            .filter(|row| region.is_some_and(|here| row.regions.iter().any(|r| r == here)))
            .zip(std::iter::repeat(bound.filter(|b| *b > Length::ZERO)))
            .filter_map(|(row, bound)| {
                // of less than one row there is nothing to count
                let count = row.gauge.whole_courses_for(bound.filter(|b| *b >= row.gauge.height_of(1))?).to_string();
                let (courses, height) = (row.gauge.courses().to_string(), row.gauge.height().show(self.units));
                let values =
                    [("count", count.as_str()), ("what", &row.what), ("courses", &courses), ("height", &height)];
                Some(self.word_with("text.coursing_gauge", &values))
            })
            .collect();
        if let (Some(bound), false) = (bound, gauges.is_empty()) {
            let values = [("bound", bound.show(self.units)), ("exit", self.level_name(Level::Exit))];
            let values = [values[0].clone(), values[1].clone(), ("gauges", gauges.join("; "))];
            let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
            blocks.push(Block::Paragraph(self.word_with("text.coursing", &values)));
        }
    }
}

/// The word of an opening.
pub(super) fn opening_word(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::MainDoor => "opening.main_door",
        OpeningKind::OtherDoor => "opening.other_door",
        OpeningKind::Window => "opening.window",
        OpeningKind::GasVent => "opening.gas_vent",
        OpeningKind::DryerVent => "opening.dryer_vent",
        OpeningKind::CrawlVent => "opening.crawl_vent",
        OpeningKind::Well => "opening.window_well",
    }
}
