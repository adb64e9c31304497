//! Doors, windows and vents on a sheet.

use super::document::Block;
use crate::judge::{Assessment, OpeningRow};
use crate::say::opening_word;
use crate::site::Over;
use crate::units::Length;
use crate::wall::Level;

impl Assessment<'_> {
    pub(crate) fn openings_block(&self, blocks: &mut Vec<Block>) {
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
    pub(crate) fn coursing_line(&self, blocks: &mut Vec<Block>) {
        let Some(found) = self.courses() else { return };
        let gauges = found.rows.iter().map(|(row, needed)| {
            let (courses, height) = (row.gauge.courses().to_string(), row.gauge.height().show(self.units));
            let count = needed.to_string();
            let values = [("count", count.as_str()), ("what", &row.what), ("courses", &courses), ("height", &height)];
            self.word_with("text.coursing_gauge", &values)
        });
        let gauges = gauges.collect::<Vec<_>>().join("; ");
        let (bound, exit) = (found.bound.show(self.units), self.level_name(Level::Exit));
        let values = [("bound", bound.as_str()), ("exit", &exit), ("gauges", &gauges)];
        blocks.push(Block::Paragraph(self.word_with("text.coursing", &values)));
    }
}
