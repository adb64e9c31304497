//! One page to sign off at the hold points: a checklist, no legal text.

use super::document::{Block, Check, Document};
use super::room::{FOOT, HEAD, PAGE, Space, first_that_fits};
use super::sheets::Cover;
use crate::content::Verdict;
use crate::judge::{Assessment, Owned};
use crate::say::{sentences, without_notes};

impl Assessment<'_> {
    /// The agreement at the joint of wall and stone.
    #[must_use]
    pub fn agreement(&self, cover: &Cover) -> Document {
        // letters of what is looked at when a task is ticked, and whether terms are explained
        let layouts = [(400, true), (200, true), (110, true), (60, true), (0, true), (0, false)];
        let blocks =
            first_that_fits(layouts, PAGE.less(HEAD).less(FOOT).less(Space::lines(2.0)), |(looked_at, explained)| {
                self.agreement_blocks(looked_at, explained)
            });
        Document {
            title: self.word("sheet.agreement"),
            running: self.running(cover),
            about: self.about(cover),
            lang: cover.lang.clone(),
            blocks,
            foot: self.foot("foot.agreement"),
            letterhead: None,
        }
        .in_the_tongue_of(self.content)
    }

    fn agreement_blocks(&self, length: usize, explained: bool) -> Vec<Block> {
        let mut blocks = Vec::new();
        let waits = self.settled.verdict != Verdict::GoAhead && !self.is_built();
        let mut answer = waits.then(|| {
            let verdict = self.word(&format!("verdict.{}", self.settled.verdict.word())).to_uppercase();
            self.word_with("text.agreement_answer", &[("verdict", &verdict)])
        });
        if length > 0 {
            blocks.push(Block::Paragraph(self.word("text.agreement")));
        }
        self.height_to_build(&mut blocks);
        if length == 0
            && let Some(short) = self.not_agreed_in_short()
        {
            // whoever signs reads the answer and which height is not agreed, however full the page is
            blocks.retain(|block| !matches!(block, Block::Figure(_) | Block::Paragraph(_)));
            let both = [answer.take(), Some(short)].into_iter().flatten().collect::<Vec<_>>().join(" ");
            blocks.insert(1, Block::Paragraph(both));
        }
        blocks.splice(0..0, answer.map(Block::Paragraph));
        if !explained {
            // the names stand below
            if let Some(last) = blocks.iter().rposition(|block| matches!(block, Block::Blank(_))).filter(|at| *at > 1) {
                blocks.remove(last);
            }
        }
        let checks = self.joint_tasks().into_iter().map(|(task, owned)| {
            let name = |who: &crate::content::Who| self.word(&format!("who.{}", who.word()));
            // who is not agreed on is circled; the names stand below
            let letters = || self.word("label.who_letters");
            let who = match owned {
                Owned::By(who) => name(&who),
                Owned::Several(list) => list.iter().map(name).collect::<Vec<_>>().join(" / "),
                Owned::Nobody | Owned::NotAgreed => letters(),
            };
            let because = if length > 0 { sentences(&self.fill(&task.check), length) } else { String::new() };
            let what = self.fill(&task.what);
            let text = if explained { what } else { without_notes(&what) };
            Check { who, text, because, hold: task.hold, blank: String::new() }
        });
        blocks.push(self.heading("heading.agreement"));
        blocks.push(Block::Note(self.word("text.who_letters")));
        blocks.push(Block::Checks(checks.collect()));
        let signed = ["blank.sign_homeowner", "blank.sign_hardscape", "blank.sign_exterior"];
        blocks.push(Block::Signatures(signed.iter().map(|key| self.word(key)).collect()));
        blocks
    }
}
