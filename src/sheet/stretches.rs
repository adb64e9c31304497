//! Several stretches of wall on one sheet.

use super::document::{Block, Document};
use super::sheets::{Cover, Leaf, Reader};
use crate::content::Sheet;
use crate::judge::{Assessment, Job, Stretches};
use crate::site::FactId;

impl Stretches<'_> {
    /// The sheet of the worst stretch, with a table of all and what the others need besides.
    #[must_use]
    pub fn sheet(&self, sheet: Sheet, cover: &Cover) -> Document {
        self.sheet_for(Reader::Of(sheet), cover)
    }

    /// The same of what stands behind the sheets.
    #[must_use]
    pub fn background(&self, cover: &Cover) -> Document {
        self.sheet_for(Reader::Background, cover)
    }

    fn sheet_for(&self, reader: Reader, cover: &Cover) -> Document {
        let job = Job::of(self);
        Leaf { of: self.worst(), name: self.worst_name(), others: self.others(), job: &job }.document(reader, cover)
    }
}

impl Leaf<'_, '_> {
    /// All stretches with their verdicts and figures, at most so many; nothing where there is only one.
    pub(super) fn stretch_table(&self, most: usize) -> Vec<Block> {
        if self.others.is_empty() {
            return Vec::new();
        }
        let content = self.of.content;
        let word = |key: &str| content.word(key).to_owned();
        let row = |name: &str, a: &Assessment<'_>| {
            let gap = crate::judge::middle(a.value(FactId::ExitAboveFinish))
                .map_or_else(|| word("label.not_known"), |gap| a.height_in_words(gap));
            let lower = a
                .lowering
                .filter(|l| l.by > crate::units::Length::ZERO)
                .map_or_else(String::new, |l| l.sure.show(a.units));
            vec![name.to_owned(), word(&format!("verdict.{}", a.settled.verdict.word())), gap, lower]
        };
        let mut rows = vec![row(self.name, self.of)];
        // the worst of them first: what falls off is milder
        let mut others: Vec<&(String, Assessment<'_>)> = self.others.iter().collect();
        others.sort_by_key(|(_, a)| std::cmp::Reverse(a.settled.verdict));
        rows.extend(others.iter().take(most).map(|(name, a)| row(name, a)));
        let head = ["table.stretch", "table.verdict", "table.exit_clear", "table.lower_by"].map(word).to_vec();
        let mut blocks = vec![Block::Heading(word("heading.stretches")), Block::Table { head, rows }];
        if others.len() > most {
            let count = (others.len() - most).to_string();
            blocks.push(Block::Note(self.of.word_with("text.more_stretches", &[("count", &count)])));
        }
        blocks
    }

    /// What stands against the other stretches, a line each.
    pub(super) fn other_stretches(&self) -> Vec<Block> {
        const MOST: usize = 4;
        let mut others: Vec<&(String, Assessment<'_>)> = self.others.iter().collect();
        others.sort_by_key(|(_, a)| std::cmp::Reverse(a.settled.verdict));
        let line = |(name, a): &&(String, Assessment<'_>)| {
            let reasons: Vec<String> = a.short_reasons().into_iter().take(3).collect();
            let verdict = a.word(&format!("verdict.{}", a.settled.verdict.word()));
            let mut text = format!("{name}: {verdict}.");
            if !reasons.is_empty() {
                text.push(' ');
                text.push_str(&a.word_with("text.because_of", &[("list", &reasons.join("; "))]));
            }
            Block::Paragraph(text)
        };
        let lines: Vec<Block> = others.iter().take(MOST).map(line).collect();
        if lines.is_empty() {
            return lines;
        }
        std::iter::once(self.of.heading("heading.other_stretches")).chain(lines).collect()
    }
}
