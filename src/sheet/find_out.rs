//! The section of a sheet on what to find out first.

use super::document::{Block, ListItem};
use crate::content::Verdict;
use crate::flow::Value;
use crate::judge::{Assessment, FindOut, MOST_OPEN};
use crate::wall::Status;

impl Assessment<'_> {
    /// What to find out, the most telling first: each with how to find out, what hangs on it, and what it takes.
    pub(super) fn find_out_points(&self) -> Vec<ListItem> {
        let mut points: Vec<ListItem> = self.to_find_out().iter().map(|p| self.open_point(p)).collect();
        points.extend(
            self.to_look_into().map(|f| ListItem { text: self.fill(&f.title), lines: vec![self.fill(&f.todo)] }),
        );
        if self.settled.held == Verdict::FindOutFirst {
            // a limit whose figure somebody has to judge for this case
            let judged = self.limits().into_iter().filter(|(limit, clearance)| {
                limit.verdict == Some(Verdict::FindOutFirst) && clearance.status == Status::Fails
            });
            points.extend(
                judged.map(|(limit, _)| ListItem {
                    text: limit.what.to_string(),
                    lines: vec![self.fill(&limit.because)],
                }),
            );
        }
        points.truncate(MOST_OPEN);
        points
    }

    pub(crate) fn find_out(&self, blocks: &mut Vec<Block>) {
        let points = self.find_out_points();
        if points.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.find_out"));
        if !self.open.is_empty() {
            blocks.push(Block::Paragraph(self.word("text.find_out")));
        }
        blocks.push(Block::Numbered(points));
        if self.open.len() > MOST_OPEN {
            let more: Vec<String> = self.open[MOST_OPEN..].iter().map(|p| self.short(p.question)).collect();
            blocks.push(Block::Note(self.word_with("text.find_out_more", &[("list", &more.join("; "))])));
        }
    }

    fn open_point(&self, listed: &FindOut<'_>) -> ListItem {
        let point = listed.point;
        let question = &self.content.flow.questions[point.question];
        let asked = self.spoken().asked(question);
        let mut lines = Vec::new();
        if point.again {
            lines.push(self.word("text.measure_again"));
        } else {
            if matches!(self.values[point.question], Value::Is(_)) {
                lines.push(self.word("text.uncover"));
            }
            lines.push(asked.how);
        }
        if let Some(hangs) = &listed.hangs {
            lines.push(self.outcomes_in_words(hangs));
        }
        let minutes = question.effort.minutes.to_string();
        let who = self.word(&format!("effort.{}", question.effort.who));
        lines.push(
            self.word_with("label.effort", &[("minutes", &minutes), ("with", &question.effort.with), ("who", &who)]),
        );
        // the gravest first, and findings before figures: they say what is feared
        let findings = point.findings.iter().map(|i| &self.content.findings[*i]);
        let limits = point.limits.iter().map(|i| &self.content.limits[*i]);
        let mut at_stake: Vec<(Option<Verdict>, String)> = findings
            .map(|f| (f.verdict, self.fill(&f.title)))
            .chain(limits.map(|l| (l.verdict, l.what.to_string())))
            .collect();
        at_stake.sort_by_key(|(verdict, _)| std::cmp::Reverse(*verdict));
        let at_stake: Vec<String> = at_stake.into_iter().map(|(_, title)| title).take(3).collect();
        let stake = self.word(&format!("verdict.{}", point.worst.word()));
        lines.push(self.word_with("label.at_stake", &[("verdict", &stake), ("list", &at_stake.join("; "))]));
        ListItem { text: asked.ask, lines }
    }
}
