//! Notes and photographs of a visit on a sheet.

use super::document::{Block, PhotoBlock};
use crate::judge::{Assessment, Photograph};
use crate::wall::Status;

impl Assessment<'_> {
    /// The photographs of a finding or a limit, to stand right behind it.
    pub(crate) fn photos_of(&self, id: &str) -> Vec<Block> {
        let own = self.notes.photos.iter().filter(|photo| photo.about == id);
        own.map(|photo| Block::Photo(self.photo(photo, false))).collect()
    }

    /// All photographs that stand at no finding, with what they are about; and the notes, where they are asked for.
    pub(crate) fn notes_block(&self, blocks: &mut Vec<Block>) {
        // what endangers people stands at the head in short, without its photographs
        let at_findings = |id: &str| {
            self.held().any(|finding| !finding.danger && finding.id == id)
                || self.limits().iter().any(|(limit, clearance)| {
                    limit.id == id
                        && !limit.danger
                        && limit.verdict.is_some()
                        && matches!(clearance.status, Status::Fails | Status::Close)
                })
        };
        let rest: Vec<_> = self.notes.photos.iter().filter(|photo| !at_findings(&photo.about)).collect();
        if !rest.is_empty() {
            blocks.push(self.heading("heading.photographs"));
            blocks.extend(rest.into_iter().map(|photo| Block::Photo(self.photo(photo, true))));
        }
        self.log_block(blocks);
    }

    /// The notes of the visit, where the sheet was asked for with them.
    pub(crate) fn log_block(&self, blocks: &mut Vec<Block>) {
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
        let finding = || content.findings.iter().find(|f| f.id == id).map(|f| f.title.to_string());
        let limit = || content.limits.iter().find(|l| l.id == id).map(|l| l.what.to_string());
        let task = || content.tasks.iter().find(|t| t.id == id).map(|t| t.todo.to_string());
        let joint = || content.joint_tasks.iter().find(|t| t.id == id).map(|t| t.what.to_string());
        let named = question.or_else(finding).or_else(limit).or_else(task).or_else(joint);
        named.map_or_else(|| id.to_owned(), |text| self.fill(&text))
    }
}
