//! The three sheets: an [`Assessment`] laid out for one reader.

use super::document::{Block, Check, Document};
use crate::content::{Basis, Limit, Sheet, Task, Verdict};
use crate::flow::Answer;
use crate::judge::{Assessment, Clearance, Job};
use crate::names::{QuestionId, Stage};
use crate::say::{basis_word, rule_word};
use crate::wall::Status;

/// What a sheet says besides the assessment.
#[derive(Debug, Clone, Default)]
pub struct Cover {
    /// The date, as text.
    pub date: String,
    /// Language tag.
    pub lang: String,
}

/// The sources of a table, each once, by number.
#[derive(Default)]
struct Sources(Vec<String>);

impl Sources {
    fn mark(&mut self, source: String) -> usize {
        let at = self.0.iter().position(|s| *s == source).unwrap_or_else(|| {
            self.0.push(source);
            self.0.len() - 1
        });
        at + 1
    }

    fn legend(self) -> Block {
        Block::Legend(self.0.into_iter().enumerate().map(|(i, s)| ((i + 1).to_string(), s)).collect())
    }
}

impl Assessment<'_> {
    /// Lays out a sheet.
    #[must_use]
    pub fn sheet(&self, sheet: Sheet, cover: &Cover) -> Document {
        self.sheet_of(sheet, cover, &Job::one(self))
    }

    /// The same with the plan of a whole job, of which this is a part.
    pub(crate) fn sheet_of(&self, sheet: Sheet, cover: &Cover, job: &Job<'_, '_>) -> Document {
        let (title, blocks) = match sheet {
            Sheet::Homeowner => ("sheet.homeowner", self.homeowner(job)),
            Sheet::Landscaper => ("sheet.landscaper", self.landscaper(job)),
            Sheet::Exterior => ("sheet.exterior", self.exterior(job)),
        };
        Document {
            title: self.word(title),
            about: self.about(cover),
            lang: cover.lang.clone(),
            compact: sheet == Sheet::Landscaper,
            blocks,
            foot: self.word("foot"),
            letterhead: None,
        }
    }

    /// What another stretch of wall says besides the first: reasons, ways to put it right, heights, and these tasks.
    pub(crate) fn stretch_blocks(&self, blocks: &mut Vec<Block>, tasks: &[&Task]) {
        self.dangers(blocks);
        self.find_out(blocks);
        self.reasons(blocks, Some(Verdict::ChangePlan));
        self.options(blocks, true);
        self.heights(blocks);
        if !tasks.is_empty() {
            blocks.push(self.heading("heading.checklist_more"));
            blocks.push(Block::Checks(tasks.iter().map(|t| self.check(t, true)).collect()));
        }
    }

    pub(crate) fn heading(&self, key: &str) -> Block {
        Block::Heading(self.word(key))
    }

    /// What stands under the title: the place, and what is built against what.
    #[must_use]
    pub fn about(&self, cover: &Cover) -> Vec<String> {
        let said = |id: QuestionId| self.answer(id).and_then(|_| self.question_in_words(id));
        let mut lines = Vec::new();
        lines.extend(said(QuestionId::VisitName));
        let what: Vec<String> = [QuestionId::Stage, QuestionId::Feature, QuestionId::Cladding, QuestionId::Region]
            .into_iter()
            .filter_map(said)
            .collect();
        if !what.is_empty() {
            lines.push(what.join(" · "));
        }
        let size: Vec<String> =
            [("label.along_wall", QuestionId::FeatureLength), ("label.out_from_wall", QuestionId::FeatureDepth)]
                .into_iter()
                .filter_map(|(label, id)| Some(format!("{} {}", said(id)?, self.content.word(label))))
                .collect();
        if !size.is_empty() {
            lines.push(size.join(", "));
        }
        if !cover.date.is_empty() {
            lines.push(self.word_with("label.date", &[("date", &cover.date)]));
        }
        lines
    }

    fn homeowner(&self, job: &Job<'_, '_>) -> Vec<Block> {
        let mut blocks = Vec::new();
        self.dangers(&mut blocks);
        blocks.push(self.verdict());
        self.why_block(&mut blocks);
        self.owners_block(&mut blocks);
        self.find_out(&mut blocks);
        self.reasons(&mut blocks, None);
        self.water_block(&mut blocks, false);
        self.suspects_block(&mut blocks, false);
        self.options(&mut blocks, true);
        self.ways_block(&mut blocks);
        self.steps_block(&mut blocks);
        self.heights(&mut blocks);
        self.limit_table(&mut blocks);
        self.load_block(&mut blocks);
        self.digging_block(&mut blocks, true);
        self.material_table(&mut blocks, Sheet::Homeowner);
        self.checklist(&mut blocks, Sheet::Homeowner, true);
        self.contractor(&mut blocks);
        self.heard_block(&mut blocks);
        job.sheet_blocks(Sheet::Homeowner, &mut blocks);
        self.calls_block(&mut blocks);
        self.cautions_block(&mut blocks, Sheet::Homeowner);
        self.notes_block(&mut blocks);
        self.rests_on(&mut blocks);
        blocks
    }

    fn landscaper(&self, job: &Job<'_, '_>) -> Vec<Block> {
        let mut blocks = vec![self.verdict()];
        let reasons: Vec<String> = self.short_reasons().into_iter().take(6).collect();
        if !reasons.is_empty() {
            blocks.push(Block::Paragraph(self.word_with("text.because_of", &[("list", &reasons.join("; "))])));
        }
        self.height_to_build(&mut blocks);
        self.water_line(&mut blocks);
        self.heights(&mut blocks);
        self.options(&mut blocks, false);
        self.steps_block(&mut blocks);
        self.digging_block(&mut blocks, false);
        if self.tasks(Some(Sheet::Landscaper)).any(|t| t.hold) {
            blocks.push(self.heading("heading.stop_points"));
            blocks.push(Block::Paragraph(self.word("text.stop_points")));
        }
        self.checklist(&mut blocks, Sheet::Landscaper, false);
        job.sheet_blocks(Sheet::Landscaper, &mut blocks);
        self.material_table(&mut blocks, Sheet::Landscaper);
        self.cautions_block(&mut blocks, Sheet::Landscaper);
        self.log_block(&mut blocks);
        self.blanks(&mut blocks, &["blank.homeowner", "blank.exterior", "blank.checked_by"]);
        blocks
    }

    fn exterior(&self, job: &Job<'_, '_>) -> Vec<Block> {
        let mut blocks = Vec::new();
        self.dangers(&mut blocks);
        blocks.push(self.verdict());
        self.owners_block(&mut blocks);
        self.reasons(&mut blocks, Some(Verdict::ChangePlan));
        self.water_block(&mut blocks, true);
        self.suspects_block(&mut blocks, true);
        self.ways_block(&mut blocks);
        self.heights(&mut blocks);
        self.limit_table(&mut blocks);
        self.load_block(&mut blocks);
        self.checklist(&mut blocks, Sheet::Exterior, false);
        job.sheet_blocks(Sheet::Exterior, &mut blocks);
        self.material_table(&mut blocks, Sheet::Exterior);
        self.cautions_block(&mut blocks, Sheet::Exterior);
        self.notes_block(&mut blocks);
        self.rests_on(&mut blocks);
        self.blanks(&mut blocks, &["blank.homeowner", "blank.hardscape", "blank.checked_by"]);
        blocks
    }

    pub(crate) fn verdict(&self) -> Block {
        let verdict = self.settled.verdict;
        let means = if self.said() == Some(Stage::Built) { "means_built" } else { "means" };
        Block::Verdict {
            verdict,
            label: self.word(&format!("verdict.{}", verdict.word())),
            text: self.word(&format!("verdict.{}.{means}", verdict.word())),
        }
    }

    /// What endangers people: it is said before the verdict.
    fn dangers(&self, blocks: &mut Vec<Block>) {
        let found = self.found(true);
        if !found.is_empty() {
            blocks.push(self.heading("heading.danger"));
            blocks.extend(found.into_iter().map(|(_, block)| block));
        }
    }

    /// Broken limits and findings, gravest first: those that endanger people, or the others.
    fn found(&self, danger: bool) -> Vec<(Option<Verdict>, Block)> {
        let mut found: Vec<(Option<Verdict>, Block)> = Vec::new();
        for (limit, clearance) in self.limits() {
            if limit.danger == danger
                && limit.verdict.is_some()
                && matches!(clearance.status, Status::Fails | Status::Close)
            {
                let verdict = close_or(limit.verdict, clearance);
                found.push((verdict, self.broken(limit, clearance)));
                found.extend(self.photos_of(&limit.id).into_iter().map(|photo| (verdict, photo)));
            }
        }
        for finding in self.held().filter(|finding| finding.danger == danger) {
            let body =
                [&finding.say, &finding.todo].into_iter().filter(|t| !t.is_empty()).map(|t| self.fill(t)).collect();
            let block = Block::Finding {
                mark: self.mark(finding.verdict),
                title: self.fill(&finding.title),
                body,
                source: self.origin(&finding.origin),
            };
            found.push((finding.verdict, block));
            found.extend(self.photos_of(&finding.id).into_iter().map(|photo| (finding.verdict, photo)));
        }
        found.sort_by_key(|(verdict, _)| std::cmp::Reverse(*verdict));
        found
    }

    /// What led to the verdict, besides what endangers people.
    fn reasons(&self, blocks: &mut Vec<Block>, at_least: Option<Verdict>) {
        let mut found = self.found(false);
        found.retain(|(verdict, _)| at_least.is_none_or(|least| verdict.is_some_and(|v| v >= least)));
        if found.is_empty() {
            if at_least.is_none() && self.found(true).is_empty() {
                blocks.push(self.heading("heading.findings"));
                let key = if self.open.is_empty() { "text.no_findings" } else { "text.nothing_certain" };
                blocks.push(Block::Paragraph(self.word(key)));
            }
            return;
        }
        blocks.push(self.heading("heading.findings"));
        blocks.extend(found.into_iter().map(|(_, block)| block));
    }

    fn mark(&self, verdict: Option<Verdict>) -> String {
        verdict.map_or_else(|| self.word("label.good_to_know"), |v| self.word(&format!("verdict.{}", v.word())))
    }

    fn broken(&self, limit: &Limit, clearance: Clearance) -> Block {
        let bound = self.show(limit.measure, limit.bound);
        let mut measured = self.measured(limit, clearance);
        if let Some(along) = clearance.along {
            measured.push_str(&self.along_words(along));
        }
        let short = clearance.short_by.map_or_else(String::new, |s| self.show(limit.measure, s.max(0)));
        let values = [
            ("what", limit.what.as_str()),
            ("bound", bound.as_str()),
            ("measured", measured.as_str()),
            ("short", short.as_str()),
            ("rule", self.content.word(rule_word(limit))),
        ];
        let (mark, title, text) = if clearance.status == Status::Close {
            let text = if clearance.close_counts { "limit.close.text_plan" } else { "limit.close.text" };
            (close_or(limit.verdict, clearance), "limit.close.title", text)
        } else if clearance.short_by.is_none() {
            (limit.verdict, "limit.fails.title_bare", "limit.fails.text")
        } else if limit.sense == crate::wall::Sense::AtMost {
            (limit.verdict, "limit.fails.title_most", "limit.fails.text")
        } else {
            (limit.verdict, "limit.fails.title", "limit.fails.text")
        };
        Block::Finding {
            mark: self.mark(mark),
            title: self.word_with(title, &values),
            body: vec![self.word_with(text, &values), self.fill(&limit.because)],
            source: self.origin(&limit.origin),
        }
    }

    fn limit_table(&self, blocks: &mut Vec<Block>) {
        let limits = self.limits();
        if limits.is_empty() {
            return;
        }
        let mut sources = Sources::default();
        let mut rows = Vec::new();
        for (limit, clearance) in &limits {
            let mark = sources.mark(self.origin(&limit.origin));
            let bound = self.show(limit.measure, limit.bound);
            let mut measured = self.measured(limit, *clearance);
            if let Some(along) = clearance.along {
                measured.push_str(&self.along_words(along));
            }
            rows.push(vec![
                format!("{} [{mark}]", limit.what),
                format!("{} {bound}", self.content.word(rule_word(limit))),
                measured,
                self.status(limit, *clearance),
            ]);
        }
        blocks.push(self.heading("heading.limits"));
        let head = ["table.limit", "table.needs", "table.found", "table.result"];
        blocks.push(Block::Table { head: head.map(|k| self.word(k)).to_vec(), rows });
        blocks.push(sources.legend());
        blocks.push(Block::Note(self.word("text.limits_note")));
    }

    fn checklist(&self, blocks: &mut Vec<Block>, sheet: Sheet, with_who: bool) {
        let mut phase = usize::MAX;
        let mut checks: Vec<Check> = Vec::new();
        let mut parts: Vec<Block> = Vec::new();
        for task in self.tasks(Some(sheet)) {
            if task.phase != phase {
                if !checks.is_empty() {
                    parts.push(Block::Checks(std::mem::take(&mut checks)));
                }
                phase = task.phase;
                parts.push(Block::Paragraph(self.fill(&self.content.phases[phase].title)));
            }
            let mut check = self.check(task, with_who);
            if sheet == Sheet::Landscaper {
                // the crew's sheet has to stay short; the reasons stand on the homeowner's
                check.because.clear();
            }
            checks.push(check);
        }
        if checks.is_empty() {
            return;
        }
        parts.push(Block::Checks(checks));
        blocks.push(self.heading("heading.checklist"));
        blocks.extend(parts);
    }

    fn check(&self, task: &Task, with_who: bool) -> Check {
        let mut text = self.fill(&task.todo);
        if task.hold {
            // the mark of a hold point says it already
            let stop = title_case(self.content.word("label.stop"));
            if text.starts_with(&format!("{stop}. ")) {
                text.drain(..stop.len() + 2);
            }
        }
        Check {
            who: if with_who { self.word(&format!("who.{}", task.who.word())) } else { String::new() },
            text,
            because: self.fill(&task.because),
            hold: task.hold,
        }
    }

    fn contractor(&self, blocks: &mut Vec<Block>) {
        let mut first = true;
        for ask in self.asks() {
            if std::mem::take(&mut first) {
                blocks.push(self.heading("heading.contractor"));
                let built = self.said() == Some(Stage::Built);
                blocks.push(Block::Paragraph(self.word(if built {
                    "text.contractor_built"
                } else {
                    "text.contractor"
                })));
            }
            let fill_all = |list: &[String]| list.iter().map(|t| self.fill(t)).collect::<Vec<_>>();
            let mut parts = vec![
                (self.word("label.why"), vec![self.fill(&ask.why)]),
                (self.word("label.good"), fill_all(&ask.good)),
                (self.word("label.weak"), fill_all(&ask.weak)),
            ];
            if !ask.follow_up.is_empty() {
                parts.push((self.word("label.follow_up"), vec![self.fill(&ask.follow_up)]));
            }
            parts.retain(|(_, lines)| !lines.is_empty());
            blocks.push(Block::Question { ask: self.fill(&ask.ask), parts });
        }
    }

    pub(crate) fn calls_block(&self, blocks: &mut Vec<Block>) {
        let mut first = true;
        for call in self.calls() {
            if std::mem::take(&mut first) {
                blocks.push(self.heading("heading.trades"));
            }
            let mut parts = vec![
                (self.word("label.when"), vec![self.fill(&call.point)]),
                (self.word("label.say"), vec![self.fill(&call.say)]),
            ];
            if !call.because.is_empty() {
                parts.push((self.word("label.why"), vec![self.fill(&call.because)]));
            }
            blocks.push(Block::Question { ask: self.word(&format!("trade.{}", call.trade)), parts });
        }
    }

    pub(crate) fn cautions_block(&self, blocks: &mut Vec<Block>, sheet: Sheet) {
        let cautions: Vec<Block> = self
            .cautions(Some(sheet))
            .map(|c| {
                // on the crew's sheet, what rests on practice needs no line of its own to say so
                let bare = sheet == Sheet::Landscaper && c.origin.basis == Basis::Practice;
                let source = if bare { String::new() } else { self.origin(&c.origin) };
                Block::Caution { text: self.fill(&c.say), source }
            })
            .collect();
        if !cautions.is_empty() {
            blocks.push(self.heading("heading.cautions"));
            blocks.extend(cautions);
        }
    }

    fn material_table(&self, blocks: &mut Vec<Block>, sheet: Sheet) {
        let mut sources = Sources::default();
        let rows: Vec<Vec<String>> = self
            .materials(Some(sheet))
            .map(|m| {
                let mark = sources.mark(self.origin(&m.origin));
                vec![format!("{} [{mark}]", self.fill(&m.what)), self.fill(&m.limit)]
            })
            .collect();
        if rows.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.materials"));
        let head = ["table.material", "table.rule"].map(|k| self.word(k)).to_vec();
        blocks.push(Block::Table { head, rows });
        blocks.push(sources.legend());
    }

    /// The answers, and what was not sure.
    fn rests_on(&self, blocks: &mut Vec<Block>) {
        let mut rows = Vec::new();
        let mut unsure = Vec::new();
        let spoken = self.spoken();
        for (number, question) in self.content.flow.questions.iter().enumerate() {
            if !self.state.shown[number].is_yes() {
                continue;
            }
            match self.answers.get(number) {
                None | Some(Answer::NotSure) => unsure.push(spoken.short(question)),
                Some(_) => {
                    let slot = u16::try_from(number).unwrap_or(u16::MAX);
                    rows.push(vec![spoken.short(question), self.value_in_words(slot).unwrap_or_default()]);
                }
            }
        }
        blocks.push(self.heading("heading.rests_on"));
        if !rows.is_empty() {
            let head = ["table.question", "table.answer"].map(|k| self.word(k)).to_vec();
            blocks.push(Block::Table { head, rows });
        }
        if !unsure.is_empty() {
            blocks.push(Block::Paragraph(self.word_with("text.not_sure", &[("list", &unsure.join("; "))])));
        }
        let tolerance = self.content.per_reading.show(self.units);
        let basis = self.content.word(basis_word(self.content.tolerance_basis));
        blocks.push(Block::Note(self.word_with("text.tolerance_note", &[("tolerance", &tolerance), ("basis", basis)])));
    }

    fn blanks(&self, blocks: &mut Vec<Block>, keys: &[&str]) {
        blocks.push(self.heading("heading.who_to_call"));
        blocks.extend(keys.iter().map(|k| Block::Blank(self.word(k))));
    }
}

/// `STOP` as a sentence may start with it: `Stop`.
fn title_case(word: &str) -> String {
    let mut chars = word.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars.flat_map(char::to_lowercase)).collect())
}

/// What a limit leads to: one too close to call leads to what is missed, or else to something to find out, whatever it
/// would mean if it failed.
fn close_or(verdict: Option<Verdict>, clearance: Clearance) -> Option<Verdict> {
    if clearance.status == Status::Close && !clearance.close_counts { Some(Verdict::FindOutFirst) } else { verdict }
}
