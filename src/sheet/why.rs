//! The section of a sheet on why, and on the nearest change.

use super::document::Block;
use crate::content::{Rule, Verdict};
use crate::judge::{Assessment, Nearest, Remains};

impl Assessment<'_> {
    /// Why, in short: the answers that force what is certain, and the nearest change that gives "Go ahead", or what no change
    /// of the plan takes away.
    pub(crate) fn why_block(&self, blocks: &mut Vec<Block>) {
        let forced = self.forced_by();
        if !forced.is_empty() {
            let list: Vec<String> =
                forced.iter().filter_map(|q| Some(self.name_and_answer(*q, self.answers.get(*q)?))).collect();
            blocks.push(Block::Paragraph(self.word_with("why.forced", &[("list", &list.join("; "))])));
        }
        let go = self.word("verdict.go_ahead");
        let text = match self.change_worth_telling() {
            None | Some(Nearest::Nothing) => return,
            Some(Nearest::Change(change)) => {
                let list: Vec<String> = change.answers.iter().map(|(q, a)| self.name_and_answer(*q, a)).collect();
                self.word_with("why.change", &[("go", &go), ("list", &list.join("; "))])
            }
            Some(Nearest::None(remains)) => self.why_none(&go, &remains),
            Some(Nearest::NotFound) => self.word_with("why.not_found", &[("go", &go)]),
        };
        blocks.push(Block::Paragraph(text));
    }

    /// Why no change of the plan does it: what stays whatever is planned, and what has to be done instead.
    fn why_none(&self, go: &str, remains: &Remains) -> String {
        let takes_trade = |rule: &&Rule| self.content.verdict_of(**rule) == Some(Verdict::ExteriorTradeFirst);
        let of = |rules: &[Rule], trade: bool| -> Vec<Rule> {
            rules.iter().filter(|rule| takes_trade(rule) == trade).copied().collect()
        };
        let parts = [
            ("why.stays_trade", of(&remains.certain, true)),
            ("why.stays", of(&remains.certain, false)),
            ("why.to_find_out", remains.unknown.clone()),
            ("why.together", remains.together.clone()),
        ];
        let told = parts.iter().filter(|(_, rules)| !rules.is_empty());
        let told = told.map(|(key, rules)| {
            let list: Vec<String> = rules.iter().map(|rule| self.rule_name(*rule)).collect();
            self.word_with(key, &[("list", &list.join("; "))])
        });
        std::iter::once(self.word_with("why.no_change", &[("go", go)])).chain(told).collect::<Vec<_>>().join(" ")
    }

    /// A rule by its title.
    fn rule_name(&self, rule: Rule) -> String {
        match rule {
            Rule::Limit(at) => self.fill(&self.content.limits[at].what),
            Rule::Finding(at) => self.fill(&self.content.findings[at].title),
        }
    }
}
