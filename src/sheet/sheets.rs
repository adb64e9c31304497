//! What sheets have in common: an [`Assessment`] laid out for one reader.

use super::document::{Block, Check, Document};
use crate::content::{Caution, Limit, Material, Sheet, Task, Verdict};
use crate::flow::Answer;
use crate::judge::{Assessment, Clearance, FirstStep, Job};
use crate::names::{QuestionId, Stage};
use crate::pack::Text;
use crate::say::{basis_word, rule_word, sentences};
use crate::wall::Status;
use std::collections::HashSet;

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

/// The most cautions on a sheet that people take along; the others stand in the background.
pub(super) const MOST_CAUTIONS: usize = 5;

/// Which sheet, with the background that stands behind them all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// One of the three that are taken along.
    Of(Sheet),
    /// Everything else.
    Background,
}

/// What the parts of a sheet are made from: the stretch of wall that it is about, the others, and the plan of the job.
pub(super) struct Leaf<'p, 'c> {
    /// The stretch of wall with the worst verdict.
    pub(super) of: &'p Assessment<'c>,
    /// Its name.
    pub(super) name: &'p str,
    /// The others by name.
    pub(super) others: &'p [(String, Assessment<'c>)],
    /// The plan of all of it.
    pub(super) job: &'p Job<'p, 'c>,
}

impl Assessment<'_> {
    /// Lays out a sheet.
    #[must_use]
    pub fn sheet(&self, sheet: Sheet, cover: &Cover) -> Document {
        self.sheet_for(Reader::Of(sheet), cover)
    }

    /// Lays out what stands behind the sheets.
    #[must_use]
    pub fn background(&self, cover: &Cover) -> Document {
        self.sheet_for(Reader::Background, cover)
    }

    fn sheet_for(&self, reader: Reader, cover: &Cover) -> Document {
        Leaf { of: self, name: "", others: &[], job: &Job::one(self) }.document(reader, cover)
    }
}

impl Leaf<'_, '_> {
    pub(super) fn document(&self, reader: Reader, cover: &Cover) -> Document {
        let (title, mut blocks) = match reader {
            Reader::Of(Sheet::Homeowner) => ("sheet.homeowner", self.homeowner()),
            Reader::Of(Sheet::Landscaper) => ("sheet.landscaper", self.landscaper()),
            Reader::Of(Sheet::Exterior) => ("sheet.exterior", self.exterior()),
            Reader::Background => ("sheet.background", self.background()),
        };
        if matches!(reader, Reader::Of(_)) {
            // the background has a chapter for them
            self.of.log_block(&mut blocks);
        }
        Document {
            title: self.of.word(title),
            running: self.of.running(cover),
            about: self.of.about(cover),
            lang: cover.lang.clone(),
            blocks,
            foot: self.of.foot("foot"),
            letterhead: None,
        }
        .in_the_tongue_of(self.of.content)
    }

    /// The verdicts of all stretches.
    pub(super) fn verdicts(&self) -> impl Iterator<Item = Verdict> {
        std::iter::once(self.of.settled.verdict).chain(self.others.iter().map(|(_, a)| a.settled.verdict))
    }

    /// What endangers people, each with what to do in so many letters; of the other stretches too.
    pub(super) fn danger_blocks(&self, length: usize) -> Vec<Block> {
        let a = self.of;
        let line = |of: &Assessment<'_>, name: Option<&str>, step: &FirstStep<'_>| {
            let title = of.danger_title(step);
            let title = title.trim_end_matches('.');
            let mut text = match name {
                Some(name) => a.word_with("answer.danger", &[("what", &format!("{name}: {title}"))]),
                None => a.word_with("answer.danger", &[("what", title)]),
            };
            // what to do stands among the next steps too, where there is little room
            if length > 76 {
                text.push(' ');
                text.push_str(&of.step_in_words(step, length));
            }
            Block::Caution { text, source: String::new() }
        };
        let mut blocks: Vec<Block> = a.endangers().iter().map(|step| line(a, None, step)).collect();
        for (name, other) in self.others {
            blocks.extend(other.endangers().iter().map(|step| line(other, Some(name), step)));
        }
        blocks
    }
}

impl Assessment<'_> {
    /// What another stretch of wall says besides the first: reasons, ways to put it right, heights, and the tasks that are not
    /// among those said already.
    pub(super) fn whole_stretch<'t>(&self, blocks: &mut Vec<Block>, said: impl Iterator<Item = &'t Task>) {
        let said: HashSet<&str> = said.map(|task| task.id.as_str()).collect();
        blocks.push(self.verdict());
        self.dangers(blocks);
        self.find_out(blocks);
        self.reasons(blocks, Some(Verdict::ChangePlan));
        self.options(blocks, true);
        self.heights(blocks);
        let more: Vec<Check> =
            self.tasks(None).filter(|t| !said.contains(t.id.as_str())).map(|t| self.check(t, true)).collect();
        if !more.is_empty() {
            blocks.push(self.heading("heading.checklist_more"));
            blocks.push(Block::Checks(more));
        }
    }

    /// A line at the foot; where the language has gaps, it says so on the page itself.
    pub(super) fn foot(&self, key: &str) -> String {
        let foot = self.word(key);
        if self.content.untranslated.is_empty() { foot } else { format!("{foot} {}", self.word("note.untranslated")) }
    }

    /// The visit and its date, as they stand at the head of every page.
    pub(super) fn running(&self, cover: &Cover) -> String {
        let name = self.answer(QuestionId::VisitName).and_then(|_| self.question_in_words(QuestionId::VisitName));
        let parts = name.into_iter().chain(Some(cover.date.clone()).filter(|date| !date.is_empty()));
        parts.collect::<Vec<_>>().join(" · ")
    }

    pub(crate) fn heading(&self, key: &str) -> Block {
        Block::Heading(self.word(key))
    }

    /// What stands under the title: the place, and what is built against what. The date stands at the head of each page too.
    #[must_use]
    pub fn about(&self, cover: &Cover) -> Vec<String> {
        let said = |id: QuestionId| self.answer(id).and_then(|_| self.question_in_words(id));
        let mut place: Vec<String> = said(QuestionId::VisitName).into_iter().collect();
        if !cover.date.is_empty() {
            place.push(self.word_with("label.date", &[("date", &cover.date)]));
        }
        let what = [QuestionId::Stage, QuestionId::Feature, QuestionId::Cladding, QuestionId::Region];
        let size = [("label.along_wall", QuestionId::FeatureLength), ("label.out_from_wall", QuestionId::FeatureDepth)];
        let size = size
            .into_iter()
            .filter_map(|(label, id)| Some(format!("{} {}", said(id)?, self.content.word(label))))
            .collect::<Vec<_>>()
            .join(", ");
        let what = what.into_iter().filter_map(said).chain(Some(size).filter(|size| !size.is_empty()));
        let lines = [place.join(" · "), what.collect::<Vec<_>>().join(" · ")];
        lines.into_iter().filter(|line| !line.is_empty()).collect()
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
    pub(super) fn found(&self, danger: bool) -> Vec<(Option<Verdict>, Block)> {
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
    pub(super) fn reasons(&self, blocks: &mut Vec<Block>, at_least: Option<Verdict>) {
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

    pub(super) fn limit_table(&self, blocks: &mut Vec<Block>) {
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

    /// The whole checklist of all readers, with who does what and why.
    pub(super) fn checklist(&self, blocks: &mut Vec<Block>) {
        let tasks: Vec<&Task> = self.tasks(None).collect();
        if !tasks.is_empty() {
            blocks.push(self.heading("heading.checklist"));
            blocks.extend(self.by_phase(&tasks, |task| self.check(task, true)));
        }
    }

    /// Tasks under the titles of their phases.
    pub(super) fn by_phase(&self, tasks: &[&Task], check: impl Fn(&Task) -> Check) -> Vec<Block> {
        let phases = tasks.chunk_by(|a, b| a.phase == b.phase);
        let blocks = phases.flat_map(|phase| {
            let title = self.fill(&self.content.phases[phase[0].phase].title);
            [Block::Subheading(title), Block::Checks(phase.iter().map(|task| check(task)).collect())]
        });
        blocks.collect()
    }

    /// A task without its reason, in whole sentences of so many letters.
    pub(super) fn short_check(&self, task: &Task, length: usize) -> Check {
        Check { text: sentences(&self.task_text(task), length), because: String::new(), ..self.check(task, false) }
    }

    /// What to do. The mark of a hold point says already that work stops.
    pub(super) fn task_text(&self, task: &Task) -> String {
        let mut text = self.fill(&task.todo);
        if task.hold {
            let stop = title_case(self.content.word("label.stop"));
            if text.starts_with(&format!("{stop}. ")) {
                text.drain(..stop.len() + 2);
            }
        }
        text
    }

    pub(super) fn check(&self, task: &Task, with_who: bool) -> Check {
        Check {
            who: if with_who { self.word(&format!("who.{}", task.who.word())) } else { String::new() },
            text: self.task_text(task),
            because: self.fill(&task.because),
            hold: task.hold,
            blank: String::new(),
        }
    }

    pub(super) fn contractor(&self, blocks: &mut Vec<Block>) {
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
            let fill_all = |list: &[Text]| list.iter().map(|t| self.fill(t)).collect::<Vec<_>>();
            let mut parts = vec![
                (self.word("label.why"), vec![self.fill(&ask.why)]),
                (self.word("label.good"), fill_all(&ask.good)),
                (self.word("label.weak"), fill_all(&ask.weak)),
            ];
            if !ask.follow_up.is_empty() {
                parts.push((self.word("label.follow_up"), vec![self.fill(&ask.follow_up)]));
            }
            parts.retain(|(_, lines)| !lines.is_empty());
            blocks.push(Block::Question { ask: self.fill(&ask.ask), parts, room: String::new() });
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
            blocks.push(Block::Question {
                ask: self.word(&format!("trade.{}", call.trade)),
                parts,
                room: String::new(),
            });
        }
    }

    /// The cautions of a sheet, or all of them, with their sources.
    pub(crate) fn cautions_block(&self, blocks: &mut Vec<Block>, sheet: Option<Sheet>) {
        let cautions: Vec<Block> = self
            .cautions(sheet)
            .map(|c| Block::Caution { text: self.fill(&c.say), source: self.origin(&c.origin) })
            .collect();
        if !cautions.is_empty() {
            blocks.push(self.heading("heading.cautions"));
            blocks.extend(cautions);
        }
    }

    /// The gravest cautions of a sheet, and how many there are besides: first those that hold for certain.
    pub(super) fn few_cautions(&self, sheet: Sheet, most: usize) -> Vec<Block> {
        let mut all: Vec<&Caution> = self.cautions(Some(sheet)).collect();
        all.sort_by_key(|c| (!c.when.eval(&self.values).is_yes(), c.rank.unwrap_or(i64::MAX)));
        let more = all.len().saturating_sub(most);
        all.truncate(most);
        if all.is_empty() {
            return Vec::new();
        }
        let caution = |c: &Caution| Block::Caution { text: self.fill(&c.say), source: String::new() };
        let mut blocks = vec![self.heading("heading.cautions")];
        blocks.extend(all.into_iter().map(caution));
        if more > 0 {
            blocks.push(Block::Note(self.word_with("text.more_cautions", &[("count", &more.to_string())])));
        }
        blocks
    }

    /// Materials of a sheet, or all, with their rules and sources.
    pub(super) fn material_table(&self, sheet: Option<Sheet>, blocks: &mut Vec<Block>) {
        let mut sources = Sources::default();
        let rows: Vec<Vec<String>> = self
            .materials(sheet)
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

    /// The first rows of the same, in so many letters each, without sources.
    pub(super) fn material_rows(&self, sheet: Sheet, most: usize, length: usize) -> Vec<Block> {
        let all: Vec<&Material> = self.materials(Some(sheet)).collect();
        if all.is_empty() || most == 0 {
            return Vec::new();
        }
        let row = |m: &&Material| vec![self.fill(&m.what), sentences(&self.fill(&m.limit), length)];
        let head = ["table.material", "table.rule"].map(|k| self.word(k)).to_vec();
        let mut blocks = vec![self.heading("heading.materials")];
        blocks.push(Block::Table { head, rows: all.iter().take(most).map(row).collect() });
        if all.len() > most {
            let count = (all.len() - most).to_string();
            blocks.push(Block::Note(self.word_with("text.more_in_background", &[("count", &count)])));
        }
        blocks
    }

    /// The limits that are missed or too close to call, in figures; the gravest first.
    pub(super) fn short_limits(&self, blocks: &mut Vec<Block>, most: usize) {
        let mut limits: Vec<(&Limit, Clearance)> =
            self.limits().into_iter().filter(|(_, c)| matches!(c.status, Status::Fails | Status::Close)).collect();
        limits.sort_by_key(|(l, _)| std::cmp::Reverse((l.danger, l.verdict)));
        if limits.is_empty() {
            return;
        }
        let row = |(limit, clearance): &(&Limit, Clearance)| {
            vec![
                limit.what.to_string(),
                format!("{} {}", self.content.word(rule_word(limit)), self.show(limit.measure, limit.bound)),
                self.measured(limit, *clearance),
                self.status(limit, *clearance),
            ]
        };
        let head = ["table.limit", "table.needs", "table.found", "table.result"].map(|k| self.word(k)).to_vec();
        blocks.push(self.heading("heading.limits_missed"));
        blocks.push(Block::Table { head, rows: limits.iter().take(most).map(row).collect() });
        if limits.len() > most {
            let count = (limits.len() - most).to_string();
            blocks.push(Block::Note(self.word_with("text.more_in_background", &[("count", &count)])));
        }
    }

    /// The answers, and what was not sure.
    pub(super) fn rests_on(&self, blocks: &mut Vec<Block>) {
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
