//! Notes and photographs of a visit on a sheet.

use super::document::{Block, PhotoBlock};
use crate::judge::{Assessment, Photograph};

impl Assessment<'_> {
    /// A finding or a limit with its photographs right behind it.
    pub(super) fn with_photos(&self, id: &str, block: Block) -> Vec<Block> {
        let own = self.notes.photos.iter().filter(|photo| photo.about == id);
        std::iter::once(block).chain(own.map(|photo| Block::Photo(self.photo(photo, false)))).collect()
    }

    /// All photographs that stand at none of the reasons, with what they are about.
    pub(super) fn photos_part(&self, blocks: &mut Vec<Block>) {
        let reasons = self.found_by_id(false);
        let rest = self.notes.photos.iter().filter(|photo| !reasons.iter().any(|(_, id, _)| *id == photo.about));
        blocks.extend(rest.map(|photo| Block::Photo(self.photo(photo, true))));
    }

    /// The notes of the visit, where the sheet was asked for with them.
    pub(super) fn log_block(&self, blocks: &mut Vec<Block>) {
        if self.notes.log.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.log"));
        let rows = self.notes.log.iter().map(|line| {
            vec![line.date.clone(), self.what_it_is(&line.about), line.text.clone(), line.photos.join(", ")]
        });
        let head = ["table.date", "table.about", "table.note", "table.photos"].map(|key| self.word(key)).to_vec();
        blocks.push(Block::Table { head, rows: rows.collect() });
    }

    /// A photograph with its caption; `with_name` says what it is about.
    fn photo(&self, photo: &Photograph, with_name: bool) -> PhotoBlock {
        let about = if with_name { self.what_it_is(&photo.about) } else { String::new() };
        let said = [photo.date.as_str(), about.as_str(), photo.text.as_str()];
        let caption = said.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(". ");
        let label = self.word_with("text.photo", &[("file", &photo.file), ("caption", &caption)]);
        let note = match &photo.path {
            Some(_) => String::new(),
            None if photo.outside => self.word("text.photo_outside"),
            None => self.word("text.photo_missing"),
        };
        PhotoBlock { label, caption, path: photo.path.clone(), image: None, note }
    }

    /// What a note is about, as the sheets say it; empty for a note about nothing.
    #[must_use]
    pub fn what_it_is(&self, id: &str) -> String {
        let content = self.content;
        let question = content.flow.question(id).map(|q| self.short(q));
        let finding = || content.findings.iter().find(|f| f.id == id).map(|f| f.title.clone());
        let limit = || content.limits.iter().find(|l| l.id == id).map(|l| l.what.clone());
        let task = || content.tasks.iter().find(|t| t.id == id).map(|t| t.todo.clone());
        let joint = || content.joint_tasks.iter().find(|t| t.id == id).map(|t| t.what.clone());
        let named = question.or_else(finding).or_else(limit).or_else(task).or_else(joint);
        named.map_or_else(|| id.to_owned(), |text| self.fill(&text))
    }
}
