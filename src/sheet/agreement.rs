//! One page to sign off at the hold points: a checklist, no legal text.

use super::document::{Block, Check, Document};
use super::room::{FOOT, HEAD, PAGE, first_that_fits};
use super::sheets::Cover;
use crate::judge::{Assessment, Owned};
use crate::say::sentences;

impl Assessment<'_> {
    /// The agreement at the joint of wall and stone.
    #[must_use]
    pub fn agreement(&self, cover: &Cover) -> Document {
        // letters of what is looked at when a task is ticked
        let lengths = [400, 200, 110, 60, 0];
        let blocks = first_that_fits(lengths, PAGE.less(HEAD).less(FOOT), |length| self.agreement_blocks(length));
        Document {
            title: self.word("sheet.agreement"),
            running: self.running(cover),
            about: self.about(cover),
            lang: cover.lang.clone(),
            blocks,
            foot: self.word("foot.agreement"),
        }
        .in_the_tongue_of(self.content)
    }

    fn agreement_blocks(&self, length: usize) -> Vec<Block> {
        let mut blocks = Vec::new();
        if length > 0 {
            blocks.push(Block::Paragraph(self.word("text.agreement")));
        }
        self.height_to_build(&mut blocks);
        if length == 0 {
            // what it may be stands on the other sheets; here stands what is agreed
            blocks.retain(|block| !matches!(block, Block::Figure(_)));
        }
        let checks = self.joint_tasks().into_iter().map(|(task, owned)| {
            let name = |who: &crate::content::Who| self.word(&format!("who.{}", who.word()));
            // who is not agreed on has room for a name
            let (who, blank) = match owned {
                Owned::By(who) => (name(&who), String::new()),
                Owned::Several(list) => {
                    (list.iter().map(name).collect::<Vec<_>>().join(" / "), self.word("blank.owner"))
                }
                Owned::Nobody | Owned::NotAgreed => (String::new(), self.word("blank.owner")),
            };
            let because = if length > 0 { sentences(&self.fill(&task.check), length) } else { String::new() };
            Check { who, text: self.fill(&task.what), because, hold: task.hold, blank }
        });
        blocks.push(self.heading("heading.agreement"));
        blocks.push(Block::Checks(checks.collect()));
        let signed = ["blank.sign_homeowner", "blank.sign_hardscape", "blank.sign_exterior"];
        blocks.push(Block::Signatures(signed.iter().map(|key| self.word(key)).collect()));
        blocks
    }
}
