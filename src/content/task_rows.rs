//! Rows of the checklist.

use super::lap_rows::Laps;
use super::rows::{Phase, RowReader, Sheet, WHO, Who};
use crate::flow::{Condition, Fields, Node, Place};
use crate::pack::{Text, packed};

/// A line of the checklist.
#[derive(Debug, Clone)]
pub struct Task {
    /// Its id.
    pub id: Text,
    /// The number of its phase.
    pub phase: usize,
    /// Its place among what is to be done next, the smallest first; without one it comes after all that have one.
    pub rank: Option<i64>,
    /// Who does it.
    pub who: Who,
    /// When it is called for.
    pub when: Condition,
    /// What to do.
    pub todo: Text,
    /// Why; may be empty.
    pub because: Text,
    /// Whether to stop until someone has looked.
    pub hold: bool,
    /// The sheets it is printed on.
    pub sheets: Vec<Sheet>,
    /// The numbers of the layers that it sets, in its order.
    pub sets: Vec<usize>,
}

packed!(struct Task { id, phase, rank, who, when, todo, because, hold, sheets, sets });

impl RowReader<'_> {
    /// The checklist. It is printed by phases and in the order of the files, so a layer that laps over another is set
    /// further down.
    pub(crate) fn tasks(&mut self, nodes: &[&Node<'_>], phases: &[Phase], laps: &Laps) -> Vec<Task> {
        let read: Vec<(Task, Place)> =
            nodes.iter().filter_map(|node| Some((self.task(node, phases, laps)?, node.place))).collect();
        let steps: Vec<_> = read.iter().map(|(row, place)| (row.id.as_str(), *place, row.sets.as_slice())).collect();
        self.check_laps(laps, "task", &steps, |early, late| (read[early].0.phase, early) < (read[late].0.phase, late));
        read.into_iter().map(|(row, _)| row).collect()
    }

    fn task(&mut self, node: &Node<'_>, phases: &[Phase], laps: &Laps) -> Option<Task> {
        let mut fields = Fields::of(node, "a task", self.diags)?;
        let id = self.id(&mut fields, "task");
        let known: Vec<(&str, usize)> = phases.iter().enumerate().map(|(i, p)| (p.id.as_str(), i)).collect();
        let phase = fields.need_word("phase", &known, self.diags);
        let who = fields.need_word("who", &WHO, self.diags);
        let rank = fields.whole("rank", self.diags);
        let when = self.when(&mut fields);
        let todo = self.text(&mut fields, "do", true);
        let because = self.text(&mut fields, "because", false);
        let hold = fields.flag("hold", false, self.diags);
        let sheets = self.sheets(&mut fields);
        let sets = self.sets(&mut fields, laps);
        fields.finish(self.diags);
        Some(Task { id: id?.0, phase: phase?, rank, who: who?, when, todo, because, hold, sheets, sets })
    }
}
