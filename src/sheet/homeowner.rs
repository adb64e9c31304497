//! The homeowner's sheet: four pages, each with one question that it answers.

use super::document::{Block, Check, ListItem};
use super::pages::reader_pages;
use super::room::{FOOT, HEAD, Item, PAGE, Space, first_that_fits, fits, taken, tell};
use super::sheets::{Leaf, MOST_CAUTIONS};
use crate::content::{Ask, Call, Sheet, Task, Verdict, Who};
use crate::judge::{Assessment, Headline, Standing};
use crate::names::Stage;
use crate::pack::Text;
use crate::say::sentences;

/// How many questions to the contractor stand on the sheet; they are ranked.
const ASKS: usize = 8;
/// How many rows a table of limits has here.
const LIMITS: usize = 7;
/// How many letters the short form of something takes, at most, if its first sentence allows it.
const SHORT: usize = 150;

impl Leaf<'_, '_> {
    pub(super) fn homeowner(&self) -> Vec<Block> {
        let asked = self.contractor_page();
        let room = PAGE.less(FOOT);
        if fits(&asked, room) {
            let pages = vec![self.answer_page(), self.reasons_page(), self.own_page(PAGE), asked];
            return reader_pages(pages, PAGE);
        }
        // what is asked begins at the foot of the page before
        let before = PAGE.and(room).less(taken(&asked)).less(Space::lines(6.0));
        let mut own = self.own_page(before);
        own.extend(asked);
        reader_pages(vec![self.answer_page(), self.reasons_page(), own], PAGE)
    }

    /// What it comes to: verdict, why, the figure, the wall, and what to do next.
    fn answer_page(&self) -> Vec<Block> {
        let lengths = [360, 240, 150, 110, 76, 40];
        let a = self.of;
        let (headline, pictures) = (a.headline(), a.pictures());
        first_that_fits(lengths, PAGE.less(HEAD), |length| {
            let mut blocks = self.danger_blocks(length);
            blocks.push(a.verdict());
            blocks.extend(self.stretch_table(if length > 100 { 8 } else { 3 }));
            blocks.extend(a.why_in_words(headline.as_ref()).map(Block::Paragraph));
            blocks.extend(headline.as_ref().map(|h| Block::Figure(a.headline_in_words(h))));
            if a.height_kept().is_rejected() && a.build_to().lower.is_none() && a.no_height_fits() {
                blocks.push(Block::Paragraph(a.word("text.no_height_fits")));
            }
            // the picture beside shows the wall opened: another way than the figure's
            let lower = matches!(headline, Some(Headline::Lower { .. }));
            if lower && a.after_work().is_some_and(|after| after.opened.is_some()) {
                blocks.push(Block::Paragraph(a.word("text.or_open_the_wall")));
            }
            blocks.extend(pictures.iter().cloned());
            let steps: Vec<ListItem> = a
                .first_steps()
                .iter()
                .map(|step| ListItem { text: a.step_in_words(step, length), lines: Vec::new() })
                .collect();
            if !steps.is_empty() {
                blocks.push(a.heading("heading.next_steps"));
                blocks.push(Block::Numbered(steps));
            }
            blocks
        })
    }

    /// What is wrong and what to do about it, what to find out, limits that are missed or close, and the ways to put it right.
    fn reasons_page(&self) -> Vec<Block> {
        let a = self.of;
        let mut tables = Vec::new();
        a.short_limits(&mut tables, LIMITS);
        a.ways_block(&mut tables);
        if taken(&tables) > PAGE.less(Space::lines(20.0)) {
            // the costs of each way stand in the background
            tables.clear();
            a.short_limits(&mut tables, 4);
            a.short_ways(&mut tables);
        }
        let mut lists: Vec<(&str, Vec<Item>)> =
            vec![("heading.wrong", a.wrong_entries()), ("heading.find_out", a.find_out_entries())];
        if a.settled.verdict == Verdict::FindOutFirst {
            lists.reverse();
        }
        let mut blocks = Vec::new();
        let mut room = PAGE.after(&tables).less(taken(&self.other_stretches()));
        let several = lists.iter().all(|(_, entries)| !entries.is_empty());
        for (at, (key, entries)) in lists.into_iter().enumerate() {
            if entries.is_empty() {
                continue;
            }
            // the first list leaves a third to the second
            let share = if at == 0 && several { room.times(0.66) } else { room };
            let mut part = vec![a.heading(key)];
            let told = tell(entries, share.less(Space::lines(4.5)));
            part.extend(told.blocks);
            if !told.names.is_empty() {
                let list = told.names.join("; ");
                part.push(Block::Paragraph(a.word_with("text.also", &[("list", &list)])));
            }
            if told.left > 0 {
                part.push(Block::Note(a.word_with("text.more_in_background", &[("count", &told.left.to_string())])));
            }
            room = room.after(&part);
            blocks.extend(part);
        }
        if blocks.is_empty() {
            blocks.push(a.heading("heading.findings"));
            blocks.push(Block::Paragraph(a.word("text.no_findings")));
        }
        blocks.extend(self.other_stretches());
        blocks.extend(tables);
        blocks
    }

    /// What the homeowner does, by when, and the dangers.
    fn own_page(&self, room: Space) -> Vec<Block> {
        let a = self.of;
        let mut when = Vec::new();
        self.job.who_when(&mut when);
        let own: Vec<&Task> = a.tasks(Some(Sheet::Homeowner)).filter(|t| t.who == Who::Homeowner).collect();
        // where work stops and what has a rank stays, whatever else has to go to the background
        let keeps = |task: &Task| task.hold || task.rank.is_some();
        let first = |most: usize| {
            let mut left = most.saturating_sub(own.iter().filter(|t| keeps(t)).count());
            let mut kept: Vec<&Task> = own.clone();
            kept.retain(|task| {
                keeps(task) || {
                    let fits = left > 0;
                    left = left.saturating_sub(1);
                    fits
                }
            });
            kept
        };
        let all = usize::MAX;
        // letters of a task, whether its reason is told, cautions, tasks
        let layouts = [
            (400, true, 5, all),
            (400, false, 5, all),
            (200, false, 5, all),
            (120, false, 4, all),
            (76, false, 3, all),
            (76, false, 3, 20),
            (76, false, 3, 16),
            (76, false, 2, 12),
            (76, false, 2, 6),
        ];
        first_that_fits(layouts, room, |(length, because, cautions, most)| {
            let mut blocks = Vec::new();
            let kept = first(most);
            if !kept.is_empty() {
                blocks.push(a.heading("heading.own_checklist"));
                blocks.extend(a.by_phase(&kept, |task| Check {
                    text: sentences(&a.task_text(task), length),
                    because: if because { a.fill(&task.because) } else { String::new() },
                    blank: a.word("blank.done_on"),
                    ..a.check(task, false)
                }));
            }
            if own.len() > kept.len() {
                let count = (own.len() - kept.len()).to_string();
                blocks.push(Block::Note(a.word_with("text.more_in_background", &[("count", &count)])));
            }
            blocks.extend(when.iter().cloned());
            blocks.extend(a.few_cautions(Sheet::Homeowner, cautions.min(MOST_CAUTIONS)));
            blocks
        })
    }

    /// What to ask the contractor, and whom else to call.
    fn contractor_page(&self) -> Vec<Block> {
        let a = self.of;
        let asks: Vec<&Ask> = a.asks().take(ASKS).collect();
        let calls: Vec<&Call> = a.calls().collect();
        // how many points of a good answer and a bad one, whether to ask again, letters of a call
        let layouts = [
            (3, 3, true, 300),
            (3, 2, true, 200),
            (2, 2, true, 150),
            (2, 2, false, 150),
            (2, 1, false, 110),
            (1, 1, false, 90),
            (1, 1, false, 0),
        ];
        first_that_fits(layouts, PAGE.less(FOOT), |(good, weak, again, length)| {
            let mut blocks = self.heard_lines();
            if !asks.is_empty() {
                blocks.push(a.heading("heading.contractor"));
                blocks.extend(asks.iter().map(|ask| a.short_ask(ask, good, weak, again)));
            }
            blocks.extend(a.call_table(&calls, length));
            blocks
        })
    }

    /// How each contractor that was asked stands, in a line.
    fn heard_lines(&self) -> Vec<Block> {
        let a = self.of;
        let line = |name: &String| {
            let key = match a.standing(name) {
                Standing::Enough => "heard.enough",
                Standing::NotAllAsked => "heard.not_all_asked",
                Standing::NotEnough => "heard.not_enough",
                Standing::SecondTrade => "heard.second_trade",
            };
            Block::Paragraph(a.word_with(key, &[("name", name)]))
        };
        let lines: Vec<Block> = a.notes.contractors.keys().take(4).map(line).collect();
        if lines.is_empty() { lines } else { std::iter::once(a.heading("heading.heard")).chain(lines).collect() }
    }
}

impl Assessment<'_> {
    /// What is wrong, the gravest first, each whole, in short, or by its title.
    fn wrong_entries(&self) -> Vec<Item> {
        let mut found = self.found(true);
        found.extend(self.found(false));
        let entry = |(verdict, whole): (Option<Verdict>, Block)| {
            let Block::Finding { mark, title, body, .. } = &whole else {
                return Item { short: whole.clone(), name: None, whole };
            };
            // the last paragraph says what to do
            let todo = body.last().map_or_else(Vec::new, |text| vec![sentences(text, SHORT)]);
            let short = Block::Finding { mark: mark.clone(), title: title.clone(), body: todo, source: String::new() };
            Item { short, name: verdict.map(|_| title.trim_end_matches('.').to_owned()), whole }
        };
        let owners = self.owner_findings().into_iter().map(|whole| {
            let name = match &whole {
                Block::Finding { title, .. } => Some(title.trim_end_matches('.').to_owned()),
                _ => None,
            };
            Item { short: whole.clone(), name, whole }
        });
        let mut entries: Vec<Item> = found.into_iter().map(entry).collect();
        // tasks without an owner come right after what carries a verdict
        let at = entries.iter().position(|e| e.name.is_none()).unwrap_or(entries.len());
        entries.splice(at..at, owners);
        entries
    }

    fn find_out_entries(&self) -> Vec<Item> {
        let entry = |item: ListItem| {
            let name = item.text.trim_end_matches(['?', '.']).to_owned();
            let short = ListItem {
                lines: item.lines.first().map(|text| sentences(text, SHORT)).into_iter().collect(),
                text: item.text.clone(),
            };
            Item { whole: Block::Numbered(vec![item]), short: Block::Numbered(vec![short]), name: Some(name) }
        };
        self.find_out_points().into_iter().map(entry).collect()
    }

    /// A question to the contractor with some points of a good answer and of a weak one, and room for what was said.
    fn short_ask(&self, ask: &Ask, good: usize, weak: usize, again: bool) -> Block {
        let some = |list: &[Text], most: usize| {
            let list: Vec<String> = list.iter().take(most).map(|text| self.fill(text)).collect();
            vec![list.join(" ")]
        };
        let mut parts =
            vec![(self.word("label.good"), some(&ask.good, good)), (self.word("label.weak"), some(&ask.weak, weak))];
        if again && !ask.follow_up.is_empty() {
            parts.push((self.word("label.follow_up"), vec![self.fill(&ask.follow_up)]));
        }
        parts.retain(|(_, lines)| lines.iter().any(|line| !line.is_empty()));
        Block::Question { ask: self.fill(&ask.ask), parts, room: self.word("blank.answer") }
    }

    /// Whom to call, at which point, and what to say; without room for that, each trade once with all its points.
    pub(super) fn call_table(&self, calls: &[&Call], length: usize) -> Vec<Block> {
        if calls.is_empty() {
            return Vec::new();
        }
        let trade = |call: &Call| {
            let name = self.word(&format!("trade.{}", call.trade));
            name.split(" (").next().unwrap_or_default().to_owned()
        };
        let mut head = vec![self.word("table.who"), self.word("label.when")];
        let mut rows: Vec<Vec<String>> = Vec::new();
        for call in calls {
            let (name, point) = (trade(call), self.fill(&call.point));
            if length > 0 {
                rows.push(vec![name, point, sentences(&self.fill(&call.say), length)]);
            } else if let Some(row) = rows.iter_mut().find(|row| row[0] == name) {
                row[1] = format!("{}; {point}", row[1]);
            } else {
                rows.push(vec![name, point]);
            }
        }
        if length > 0 {
            head.push(self.word("label.say"));
        }
        vec![self.heading("heading.trades"), Block::Table { head, rows }]
    }

    /// Whether the work stands already.
    pub(crate) fn is_built(&self) -> bool {
        self.said() == Some(Stage::Built)
    }
}
