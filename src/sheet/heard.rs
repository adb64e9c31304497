//! Contractors and owners on a sheet.

use super::document::{Block, Check, ListItem};
use crate::content::Ask;
use crate::judge::{Assessment, Grade, Owned, Standing};

impl Assessment<'_> {
    pub(crate) fn heard_block(&self, blocks: &mut Vec<Block>) {
        let names: Vec<&String> = self.notes.contractors.keys().collect();
        if names.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.heard"));
        let mut head = vec![self.word("table.question")];
        head.extend(names.iter().map(|n| (*n).clone()));
        let marks: Vec<Vec<(&Ask, Grade)>> = names.iter().map(|n| self.marks(n)).collect();
        let rows = (0..marks[0].len())
            .map(|i| {
                let mut row = vec![self.fill(&marks[0][i].0.ask)];
                row.extend(marks.iter().map(|m| self.word(&format!("mark.{}", m[i].1.word()))));
                row
            })
            .collect();
        blocks.push(Block::Table { head, rows });
        for (name, marks) in names.iter().zip(&marks) {
            let key = match self.standing(name) {
                Standing::Enough => "heard.enough",
                Standing::NotAllAsked => "heard.not_all_asked",
                Standing::NotEnough => "heard.not_enough",
                Standing::SecondTrade => "heard.second_trade",
            };
            blocks.push(Block::Paragraph(self.word_with(key, &[("name", name)])));
            let again = |(ask, mark): &(&Ask, Grade)| {
                let weak = matches!(mark, Grade::Weak | Grade::Partly) && !ask.follow_up.is_empty();
                weak.then(|| ListItem {
                    text: self.fill(&ask.ask),
                    lines: vec![self.word_with("heard.ask_again", &[("text", &self.fill(&ask.follow_up))])],
                })
            };
            let list: Vec<ListItem> = marks.iter().filter_map(again).collect();
            if !list.is_empty() {
                blocks.push(Block::Numbered(list));
            }
        }
    }

    /// Tasks that nobody owns, or two: high in the list, since that is how walls get wet.
    pub(crate) fn owners_block(&self, blocks: &mut Vec<Block>) {
        blocks.extend(self.owner_findings());
    }

    pub(super) fn owner_findings(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        let tasks = self.joint_tasks();
        let names = |found: &dyn Fn(&Owned) -> bool| -> Vec<String> {
            tasks.iter().filter(|(_, owned)| found(owned)).map(|(task, _)| self.fill(&task.what)).collect()
        };
        let nobody = names(&|o| *o == Owned::Nobody);
        let several = names(&|o| matches!(o, Owned::Several(_)));
        let open = names(&|o| *o == Owned::NotAgreed);
        let mut finding = |title: &str, say: &str, list: &[String]| {
            if !list.is_empty() {
                blocks.push(Block::Finding {
                    mark: self.word("label.owner"),
                    title: self.word(title),
                    body: vec![format!("{}.", list.join("; ")), self.word(say)],
                    source: String::new(),
                });
            }
        };
        finding("owner.nobody", "owner.nobody.say", &nobody);
        finding("owner.several", "owner.several.say", &several);
        if !self.notes.owners.is_empty() {
            finding("owner.open", "owner.open.say", &open);
        }
        blocks
    }

    /// The photographs to take, and from where.
    #[must_use]
    pub fn photos(&self) -> Block {
        let rows = self.content.photos.iter().filter(|p| p.when.eval(&self.values).is_yes()).map(|p| Check {
            who: String::new(),
            text: self.fill(&p.what),
            because: self.fill(&p.from),
            hold: false,
            blank: String::new(),
        });
        Block::Checks(rows.collect())
    }
}
