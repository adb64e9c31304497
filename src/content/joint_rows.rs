//! Rows of the content about the joint: its tasks with their owners, and photographs.

use super::lap_rows::Laps;
use super::rows::{RowReader, WHO, Who};
use crate::flow::{Condition, Fields, Node, Place};
use crate::names::{Named, QuestionId};
use crate::pack::{Text, packed};

/// A task at the joint between wall and stone.
#[derive(Debug, Clone)]
pub struct JointTask {
    /// Its id.
    pub id: Text,
    /// When it is called for.
    pub when: Condition,
    /// What it is.
    pub what: Text,
    /// Who usually does it.
    pub usual: Who,
    /// A question whose answer names the owner.
    pub from: Option<QuestionId>,
    /// Whether work stops until someone has looked.
    pub hold: bool,
    /// What has to be seen then; may be empty.
    pub check: Text,
    /// The numbers of the layers that it sets, in its order.
    pub sets: Vec<usize>,
}

packed!(struct JointTask { id, when, what, usual, from, hold, check, sets });

/// A photograph to take.
#[derive(Debug, Clone)]
pub struct Photo {
    /// Its id.
    pub id: Text,
    /// When it is wanted.
    pub when: Condition,
    /// Of what.
    pub what: Text,
    /// From where.
    pub from: Text,
}

packed!(struct Photo { id, when, what, from });

impl RowReader<'_> {
    /// The tasks at the joint. They stand in working order, so a layer that laps over another is set further down.
    pub(crate) fn joint_tasks(&mut self, nodes: &[&Node<'_>], laps: &Laps) -> Vec<JointTask> {
        let read: Vec<(JointTask, Place)> =
            nodes.iter().filter_map(|node| Some((self.joint_task(node, laps)?, node.place))).collect();
        let steps: Vec<_> = read.iter().map(|(row, place)| (row.id.as_str(), *place, row.sets.as_slice())).collect();
        self.check_laps(laps, "task at the joint", &steps, |early, late| early < late);
        read.into_iter().map(|(row, _)| row).collect()
    }

    fn joint_task(&mut self, node: &Node<'_>, laps: &Laps) -> Option<JointTask> {
        let known = [QuestionId::CutsCladding, QuestionId::ClosesCladding].map(|id| (id.text(), id));
        let mut fields = Fields::of(node, "a task at the joint", self.diags)?;
        let id = self.id(&mut fields, "joint");
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let usual = fields.need_word("usual", &WHO, self.diags);
        let from = fields.word("from", &known, self.diags);
        let hold = fields.flag("hold", false, self.diags);
        let check = self.text(&mut fields, "check", hold);
        let sets = self.sets(&mut fields, laps);
        fields.finish(self.diags);
        Some(JointTask { id: id?.0, when, what, usual: usual?, from, hold, check, sets })
    }

    pub(crate) fn photo(&mut self, node: &Node<'_>) -> Option<Photo> {
        let mut fields = Fields::of(node, "a photograph", self.diags)?;
        let id = self.id(&mut fields, "photo");
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let from = self.text(&mut fields, "from", true);
        fields.finish(self.diags);
        Some(Photo { id: id?.0, when, what, from })
    }
}
