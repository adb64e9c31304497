//! The answer on one screen: what endangers people, the verdict, the one figure that matters, why, and what to do first.

use super::document::{Block, Document, ListItem};
use super::sheets::Cover;
use crate::judge::{Assessment, Headline, Stretches};
use crate::names::{QuestionId, Stage};

/// How much of the answer is told. What endangers people, the verdict and the figure always are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Detail {
    /// Whether the verdict stands at the end, above what follows the answer on the screen: for a screen on which the rest
    /// scrolls away.
    pub verdict_last: bool,
    /// How much is said about the verdict.
    pub reasons: Reasons,
    /// How many things to do first.
    pub steps: usize,
    /// How many characters each of them may take, if its first sentence allows it.
    pub step_length: usize,
    /// Whether each other stretch of wall has its line; else they are named in one.
    pub each_stretch: bool,
}

/// How much is said about the verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reasons {
    /// What it means, and why.
    Whole,
    /// Why.
    Why,
    /// Nothing.
    None,
}

impl Detail {
    /// From all of it down to the least.
    pub const ALL: [Detail; 7] = {
        let whole =
            Detail { verdict_last: false, reasons: Reasons::Whole, steps: 3, step_length: 150, each_stretch: true };
        let short = Detail { step_length: 76, ..whole };
        let bare = Detail { reasons: Reasons::Why, ..short };
        let two = Detail { steps: 2, each_stretch: false, ..bare };
        let one = Detail { steps: 1, ..two };
        let least = Detail { reasons: Reasons::None, ..one };
        let none = Detail { steps: 0, ..least };
        [whole, short, bare, two, one, least, none]
    };

    /// The same with the verdict at the end.
    #[must_use]
    pub const fn with_verdict_last(self) -> Detail {
        Detail { verdict_last: true, ..self }
    }
}

impl Stretches<'_> {
    /// The answer as a document of one screen. `more` tells where more is, and stands at the end; it may be empty.
    #[must_use]
    pub fn answer(&self, cover: &Cover, detail: Detail, more: &str) -> Document {
        let worst = self.worst();
        let headline = worst.headline();
        let mut danger = worst.danger_lines();
        for (name, other) in self.others() {
            let lines = other.endangers();
            let title = |step| format!("{name}: {}", other.danger_title(step));
            danger.extend(lines.iter().map(|step| Block::Caution { text: title(step), source: String::new() }));
        }
        let mut verdict = vec![worst.short_verdict(detail.reasons == Reasons::Whole && !detail.verdict_last)];
        if !self.others().is_empty() {
            let name = worst.word_with("answer.worst", &[("name", self.worst_name())]);
            verdict.push(Block::Paragraph(name));
        }
        verdict.extend(headline.as_ref().map(|h| Block::Figure(worst.headline_text(h, detail.verdict_last))));
        let mut rest = Vec::new();
        if detail.reasons != Reasons::None {
            rest.extend(worst.why_in_words(headline.as_ref()).map(Block::Paragraph));
        }
        let steps = worst.first_steps();
        let steps = steps
            .iter()
            .take(detail.steps)
            .map(|step| ListItem { text: worst.step_in_words(step, detail.step_length), lines: Vec::new() });
        let steps: Vec<ListItem> = steps.collect();
        if !steps.is_empty() {
            rest.push(Block::Heading(worst.word("answer.first")));
            rest.push(Block::Numbered(steps));
        }
        rest.extend(self.other_lines(detail));
        let mut blocks = Vec::new();
        if detail.verdict_last {
            blocks.append(&mut rest);
        }
        blocks.append(&mut danger);
        blocks.append(&mut verdict);
        blocks.append(&mut rest);
        Document {
            title: worst.title_line(cover),
            running: String::new(),
            about: Vec::new(),
            lang: cover.lang.clone(),
            blocks,
            foot: more.to_owned(),
            letterhead: None,
        }
        .in_the_tongue_of(worst.content)
    }

    /// The other stretches with their verdicts.
    fn other_lines(&self, detail: Detail) -> Vec<Block> {
        let line = |(name, a): &(String, Assessment<'_>)| {
            format!("{name}: {}", a.word(&format!("verdict.{}", a.settled.verdict.word())))
        };
        let lines: Vec<String> = self.others().iter().map(line).collect();
        match (lines.is_empty(), detail.each_stretch) {
            (true, _) => Vec::new(),
            (false, true) => lines.into_iter().map(Block::Paragraph).collect(),
            (false, false) => vec![Block::Paragraph(lines.join("; "))],
        }
    }
}

impl Assessment<'_> {
    /// The figure that matters; on a small screen what to find out goes by its short name.
    fn headline_text(&self, headline: &Headline<'_>, small: bool) -> String {
        match headline {
            Headline::FindOut { question, .. } if small => {
                self.word_with("answer.find_out", &[("what", &self.short(*question))])
            }
            headline => self.headline_in_words(headline),
        }
    }

    /// Name, what is built, and the date, in one line.
    fn title_line(&self, cover: &Cover) -> String {
        let said = |id: QuestionId| self.answer(id).and_then(|_| self.question_in_words(id));
        let parts = [QuestionId::VisitName, QuestionId::Feature].into_iter().filter_map(said);
        let parts: Vec<String> = parts.chain(Some(cover.date.clone()).filter(|date| !date.is_empty())).collect();
        if parts.is_empty() { self.word("sheet.homeowner") } else { parts.join(" · ") }
    }

    /// A line for each danger. What to do about it comes first among the steps.
    fn danger_lines(&self) -> Vec<Block> {
        let line = |step| {
            let title = self.danger_title(step);
            let text = self.word_with("answer.danger", &[("what", title.trim_end_matches('.'))]);
            Block::Caution { text, source: String::new() }
        };
        self.endangers().iter().map(line).collect()
    }

    /// The verdict with a short sentence.
    fn short_verdict(&self, means: bool) -> Block {
        let verdict = self.settled.verdict;
        let text = match (means, self.said()) {
            (false, _) => String::new(),
            (true, Some(Stage::Built)) => self.word(&format!("answer.{}.built", verdict.word())),
            (true, _) => self.word(&format!("answer.{}.planned", verdict.word())),
        };
        Block::Verdict { verdict, label: self.word(&format!("verdict.{}", verdict.word())), text }
    }
}
