//! Several stretches of wall on one sheet.

use super::document::{Block, Document};
use super::sheets::Cover;
use crate::content::Sheet;
use crate::judge::{Assessment, Job, Stretches};
use crate::site::FactId;
use std::collections::HashSet;

impl Stretches<'_> {
    /// The sheet of the worst stretch, with a table of all and what the others need besides.
    #[must_use]
    pub fn sheet(&self, sheet: Sheet, cover: &Cover) -> Document {
        let mut document = self.worst().sheet_of(sheet, cover, &Job::of(self));
        if self.others.is_empty() {
            return document;
        }
        let head = self.table();
        document.blocks.splice(1..1, head);
        let mut said: HashSet<&str> = self.worst().tasks(Some(sheet)).map(|t| t.id.as_str()).collect();
        for (name, assessment) in &self.others {
            let title = assessment.word_with("heading.stretch", &[("name", name)]);
            document.blocks.push(Block::Heading(title));
            let verdict = assessment.settled.verdict;
            document.blocks.push(Block::Verdict {
                verdict,
                label: assessment.content.word(&format!("verdict.{}", verdict.word())).to_owned(),
                text: assessment.content.word(&format!("verdict.{}.means", verdict.word())).to_owned(),
            });
            let more: Vec<_> = assessment.tasks(Some(sheet)).filter(|t| said.insert(t.id.as_str())).collect();
            assessment.stretch_blocks(&mut document.blocks, &more);
        }
        document
    }

    fn table(&self) -> Vec<Block> {
        let content = self.worst().content;
        let word = |key: &str| content.word(key).to_owned();
        let row = |(name, a): &(String, Assessment<'_>)| {
            let gap = crate::judge::middle(a.value(FactId::ExitAboveFinish))
                .map_or_else(|| word("label.not_known"), |gap| a.height_in_words(gap));
            let lower = a
                .lowering
                .filter(|l| l.by > crate::units::Length::ZERO)
                .map_or_else(String::new, |l| l.sure.show(a.units));
            vec![name.clone(), word(&format!("verdict.{}", a.settled.verdict.word())), gap, lower]
        };
        let rows = std::iter::once(&self.worst).chain(&self.others).map(row).collect();
        let head = ["table.stretch", "table.verdict", "table.exit_clear", "table.lower_by"].map(word).to_vec();
        vec![
            Block::Heading(word("heading.stretches")),
            Block::Table { head, rows },
            Block::Note(word("text.stretches")),
        ]
    }
}
