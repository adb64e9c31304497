//! The section of a sheet on why, and on the nearest change.

use super::document::Block;
use crate::judge::Assessment;

impl Assessment<'_> {
    /// Why, in short: the answers that force what is certain, and the nearest change that gives "Go ahead".
    pub(crate) fn why_block(&self, blocks: &mut Vec<Block>) {
        let forced = self.forced_by();
        if !forced.is_empty() {
            let list: Vec<String> =
                forced.iter().filter_map(|q| Some(self.name_and_answer(*q, self.answers.get(*q)?))).collect();
            blocks.push(Block::Paragraph(self.word_with("why.forced", &[("list", &list.join("; "))])));
        }
        if !self.can_change() {
            return;
        }
        let go = self.word("verdict.go_ahead");
        let text = match self.change_worth_telling() {
            Some(change) => {
                let list: Vec<String> = change.answers.iter().map(|(q, a)| self.name_and_answer(*q, a)).collect();
                self.word_with("why.change", &[("go", &go), ("list", &list.join("; "))])
            }
            None => self.word_with("why.no_change", &[("go", &go)]),
        };
        blocks.push(Block::Paragraph(text));
    }
}
