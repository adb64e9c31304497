//! The plan as a document of its own, and the parts of it that stand in the sheets.

use super::document::{Bar, Block, Chart, Check, Document, Lane};
use super::sheets::Cover;
use crate::content::{Sheet, Who};
use crate::judge::{Amount, Forecast, Job, Plan, Planned, Prices, Quantity, totals};
use crate::names::{DefinedId, Stage};

impl<'c> Job<'_, 'c> {
    /// The plan as a document: order, chart, handovers, days, quantities.
    #[must_use]
    pub fn document(&self, cover: &Cover, forecast: Option<&Forecast<'_>>, prices: Option<&Prices>) -> Document {
        let lead = self.lead();
        // a plan is no leave to begin: the verdict stands above it, the trades to call and the dangers below
        let mut blocks = vec![lead.verdict()];
        let plan = self.plan();
        match &plan {
            None if lead.said::<Stage>().is_some() => {
                blocks.push(Block::Paragraph(lead.word("text.no_plan")));
            }
            None => blocks.push(Block::Paragraph(lead.word("text.no_stage"))),
            Some(plan) => {
                self.order_blocks(&mut blocks, plan);
                if let Some(forecast) = forecast {
                    self.calendar_blocks(&mut blocks, plan, forecast);
                }
            }
        }
        self.quantity_blocks(&mut blocks, None);
        if let Some(plan) = &plan {
            self.hours_blocks(&mut blocks, plan);
            if let Some(prices) = prices {
                self.price_blocks(&mut blocks, plan, prices);
            }
        }
        lead.calls_block(&mut blocks);
        lead.cautions_block(&mut blocks, Some(Sheet::Exterior));
        self.figures_block(&mut blocks);
        Document {
            title: lead.word("sheet.plan"),
            running: lead.running(cover),
            about: lead.about(cover),
            lang: cover.lang.clone(),
            blocks,
            foot: lead.foot("foot"),
            letterhead: None,
        }
        .in_the_tongue_of(lead.content)
    }

    fn order_blocks(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>) {
        let lead = self.lead();
        blocks.push(lead.heading("heading.order"));
        self.length_block(blocks, plan);
        let row = |(i, p): (usize, &Planned<'_>)| {
            let slack = match plan.schedule.slack(i) {
                0 => lead.word("label.critical"),
                hours => lead.word_with("label.slack", &[("days", &in_days(hours, plan.shift))]),
            };
            let mut row = self.order_row(plan, i);
            row.insert(3, self.hours_words(p));
            row.push(slack);
            row
        };
        let rows = plan.activities.iter().enumerate().map(row).collect();
        let head = ["table.number", "table.activity", "table.who", "table.hours", "table.days", "table.slack"];
        blocks.push(Block::Table { head: head.map(|k| lead.word(k)).to_vec(), rows });
        blocks.push(self.chart(plan));
        self.critical_block(blocks, plan);
        self.handover_block(blocks, plan, None);
    }

    /// Number, activity, trade, days.
    fn order_row(&self, plan: &Plan<'c>, i: usize) -> Vec<String> {
        let lead = self.lead();
        let p = &plan.activities[i];
        let mut what = lead.fill(&p.row.what);
        if p.row.hold {
            what = format!("{what} ({})", lead.word("label.stop"));
        }
        let (from, to) = plan.span(i);
        vec![(i + 1).to_string(), what, lead.word(&format!("who.{}", p.row.who.word())), span(from, to)]
    }

    /// Hours of a crew, how many they are, and how long everybody waits after it.
    pub(crate) fn hours_words(&self, p: &Planned<'_>) -> String {
        let lead = self.lead();
        let mut text = if p.rough { format!("{}+", p.hours) } else { p.hours.to_string() };
        if p.row.crew > 1 {
            text = lead.word_with("label.crew", &[("hours", &text), ("count", &p.row.crew.to_string())]);
        }
        for (days, key) in [(p.row.cure_days, "label.then_days"), (p.row.office_days, "label.then_office")] {
            if days > 0 {
                text = format!("{text} {}", lead.word_with(key, &[("days", &days.to_string())]));
            }
        }
        text
    }

    fn length_block(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>) {
        let hours: i64 = plan.activities.iter().map(|p| p.hours).sum();
        let (days, hours) = (plan.days().to_string(), hours.to_string());
        let lead = self.lead();
        blocks.push(Block::Paragraph(lead.word_with("text.order", &[("days", &days), ("hours", &hours)])));
        if plan.open_ended() {
            blocks.push(Block::Paragraph(lead.word("text.open_ended")));
        }
        if plan.activities.iter().any(|p| p.rough) {
            blocks.push(Block::Note(lead.word("text.rough")));
        }
    }

    /// What nothing may delay, by number: all of it, or what else there is between.
    fn critical_block(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>) {
        let lead = self.lead();
        let critical = plan.critical();
        // the shorter list says more
        let waits: Vec<usize> = (0..plan.activities.len()).filter(|i| !critical.contains(i)).collect();
        let (list, key) = match () {
            () if waits.is_empty() => (Vec::new(), "text.all_critical"),
            () if waits.len() < critical.len() => (waits, "text.can_wait"),
            () => (critical, "text.critical"),
        };
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for i in list.into_iter().map(|i| i + 1) {
            match runs.last_mut().filter(|(_, to)| to + 1 == i) {
                Some((_, to)) => *to = i,
                None => runs.push((i, i)),
            }
        }
        let list: Vec<String> =
            runs.into_iter().map(|(a, b)| if a == b { a.to_string() } else { format!("{a}-{b}") }).collect();
        blocks.push(Block::Paragraph(lead.word_with(key, &[("list", &list.join(", "))])));
    }

    /// A bar for each activity, in a lane for each trade.
    fn chart(&self, plan: &Plan<'c>) -> Block {
        let lead = self.lead();
        let lane = |who: Who| {
            let bars = plan.activities.iter().enumerate().filter(|(_, p)| p.row.who == who).map(|(i, p)| Bar {
                number: i + 1,
                what: lead.fill(&p.row.what),
                start: plan.schedule.earliest[i],
                work: p.hours,
                wait: (p.row.cure_days + p.row.office_days) * plan.shift,
                hold: p.row.hold,
            });
            Lane { name: lead.word(&format!("who.{}", who.word())), bars: bars.collect() }
        };
        Block::Chart(Chart {
            title: lead.word("heading.chart"),
            shift: plan.shift,
            day: lead.word("label.day_number"),
            note: lead.word("text.chart"),
            drawn_note: lead.word("text.chart_drawn"),
            lanes: Who::ALL.into_iter().map(lane).filter(|lane| !lane.bars.is_empty()).collect(),
        })
    }

    /// Where one trade takes over from another; of one trade only those that it is part of.
    fn handover_block(&self, blocks: &mut Vec<Block>, plan: &Plan<'c>, of: Option<Who>) {
        let lead = self.lead();
        let mut handovers = Vec::new();
        for p in &plan.activities {
            for before in p.after.iter().map(|b| &plan.activities[*b]).filter(|b| b.row.who != p.row.who) {
                if of.is_some_and(|who| who != p.row.who && who != before.row.who) {
                    continue;
                }
                let who = |a: &Planned<'_>| lead.word(&format!("who.{}", a.row.who.word()));
                let values = [
                    ("from", who(before)),
                    ("to", who(p)),
                    ("done", lead.fill(&before.row.what)),
                    ("next", lead.fill(&p.row.what)),
                ];
                let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
                handovers.push(Check {
                    who: String::new(),
                    text: lead.word_with("text.handover", &values),
                    because: String::new(),
                    hold: before.row.hold,
                    blank: String::new(),
                });
            }
        }
        if !handovers.is_empty() {
            blocks.push(lead.heading("heading.handovers"));
            blocks.push(Block::Checks(handovers));
        }
    }

    /// Materials of each stretch with their formulas, and all stretches together; of one trade, or of all.
    fn quantity_blocks(&self, blocks: &mut Vec<Block>, of: Option<Who>) {
        let lead = self.lead();
        let mut lists = self.quantities();
        for list in &mut lists {
            list.retain(|q| of.is_none_or(|who| q.row.who == who));
        }
        let never = if of.is_none() { self.not_counted() } else { Vec::new() };
        if lists.iter().all(Vec::is_empty) && never.is_empty() {
            return;
        }
        blocks.push(lead.heading("heading.quantities"));
        if of != Some(Who::Exterior)
            && let Some(by) = lead.reckoned_lower()
        {
            let by = by.show(lead.units);
            blocks.push(Block::Paragraph(lead.word_with("text.reckoned_lower", &[("by", &by)])));
        } else if lead.certainly(DefinedId::WallToOpen)
            && lead.lowering.is_some_and(|l| l.sure > crate::units::Length::ZERO)
        {
            blocks.push(Block::Paragraph(lead.word("text.reckoned_open")));
        }
        let several = lists.iter().filter(|list| !list.is_empty()).count() > 1;
        for ((name, assessment), list) in self.stretches().iter().zip(&lists).filter(|(_, list)| !list.is_empty()) {
            if several {
                blocks.push(Block::Paragraph(format!("{name}:")));
            }
            let row = |q: &Quantity<'_>| {
                let waste = if q.waste == 0 { String::new() } else { format!("{} %", q.waste) };
                let formula = assessment.formula_words(q);
                vec![lead.fill(&q.row.what), assessment.amount_words(q.amount), formula, waste]
            };
            let head = ["table.material", "table.amount", "table.formula", "table.waste"];
            let head = head.map(|k| lead.word(k)).to_vec();
            blocks.push(Block::Table { head, rows: list.iter().map(row).collect() });
        }
        if several {
            blocks.push(Block::Paragraph(lead.word("text.together")));
            let row = |(row, amount): &(&crate::content::QuantityRow, Amount)| {
                vec![lead.fill(&row.what), lead.amount_words(*amount)]
            };
            let head = ["table.material", "table.amount"].map(|k| lead.word(k)).to_vec();
            blocks.push(Block::Table { head, rows: totals(&lists).iter().map(row).collect() });
            blocks.push(Block::Note(lead.word("text.separate")));
        }
        if lists.iter().any(|list| !list.is_empty()) {
            blocks.push(Block::Note(lead.word("text.quantities")));
        }
        if !never.is_empty() {
            blocks.push(Block::Paragraph(lead.word_with("text.not_counted", &[("list", &never.join("; "))])));
        }
    }

    /// The figures that the quantities were counted with, and where their defaults come from.
    fn figures_block(&self, blocks: &mut Vec<Block>) {
        let lead = self.lead();
        let lists = self.quantities();
        let used = |number: usize| {
            lists
                .iter()
                .flatten()
                .any(|q| q.row.waste == Some(number) || q.inputs.iter().any(|input| input.figure == Some(number)))
        };
        let rows: Vec<Vec<String>> = lead
            .content
            .plan_figures
            .iter()
            .enumerate()
            .filter(|(number, _)| used(*number))
            .map(|(_, figure)| {
                let from = if figure.own { lead.word("label.own_figure") } else { lead.origin(&figure.origin) };
                vec![figure.id.to_string(), lead.fill(&figure.what), lead.figure_words(figure.value), from]
            })
            .collect();
        if rows.is_empty() {
            return;
        }
        blocks.push(lead.heading("heading.figures"));
        blocks.push(Block::Paragraph(lead.word("text.figures")));
        let head = ["table.figure", "table.about", "table.value", "table.where_from"];
        blocks.push(Block::Table { head: head.map(|k| lead.word(k)).to_vec(), rows });
    }

    /// The whole order with its chart, handovers, hours and quantities.
    pub(super) fn whole_order(&self, blocks: &mut Vec<Block>) {
        let Some(plan) = self.plan() else { return };
        let lead = self.lead();
        blocks.push(lead.heading("heading.order"));
        self.length_block(blocks, &plan);
        let rows = (0..plan.activities.len()).map(|i| self.order_row(&plan, i)).collect();
        let head = ["table.number", "table.activity", "table.who", "table.days"].map(|k| lead.word(k)).to_vec();
        blocks.push(Block::Table { head, rows });
        blocks.push(self.chart(&plan));
        self.handover_block(blocks, &plan, None);
        self.hours_blocks(blocks, &plan);
        self.quantity_blocks(blocks, None);
    }

    /// The work of the exterior trade in figures: what it needs, and how long it takes.
    pub(super) fn scope(&self, blocks: &mut Vec<Block>) {
        let Some(plan) = self.plan() else { return };
        let lead = self.lead();
        let own: Vec<usize> =
            (0..plan.activities.len()).filter(|i| plan.activities[*i].row.who == Who::Exterior).collect();
        let (Some(first), Some(last)) = (own.first(), own.last()) else { return };
        let hours: i64 = own.iter().map(|i| plan.activities[*i].hours * plan.activities[*i].row.crew).sum();
        let values = [
            ("count", own.len().to_string()),
            ("hours", hours.to_string()),
            ("days", span(plan.span(*first).0, plan.span(*last).1)),
        ];
        let values: Vec<(&str, &str)> = values.iter().map(|(n, v)| (*n, v.as_str())).collect();
        blocks.push(lead.heading("heading.scope_figures"));
        blocks.push(Block::Paragraph(lead.word_with("text.exterior_hours", &values)));
        if plan.open_ended() {
            blocks.push(Block::Paragraph(lead.word("text.open_ended")));
        }
    }

    /// What the exterior trade needs, the first rows of it.
    pub(super) fn exterior_quantities(&self, blocks: &mut Vec<Block>, most: usize) {
        let lead = self.lead();
        let own: Vec<Vec<Quantity<'_>>> = self
            .quantities()
            .into_iter()
            .map(|list| list.into_iter().filter(|q| q.row.who == Who::Exterior).collect())
            .collect();
        let all = totals(&own);
        if all.is_empty() {
            return;
        }
        let row = |(row, amount): &(&crate::content::QuantityRow, Amount)| {
            vec![lead.fill(&row.what), lead.amount_words(*amount)]
        };
        let head = ["table.material", "table.amount"].map(|k| lead.word(k)).to_vec();
        blocks.push(lead.heading("heading.quantities"));
        blocks.push(Block::Table { head, rows: all.iter().take(most).map(row).collect() });
        if all.len() > most {
            let count = (all.len() - most).to_string();
            blocks.push(Block::Note(lead.word_with("text.more_in_background", &[("count", &count)])));
        }
        blocks.push(Block::Note(lead.word("text.quantities")));
    }

    /// How long it takes, and who works when.
    pub(super) fn who_when(&self, blocks: &mut Vec<Block>) {
        let Some(plan) = self.plan() else { return };
        let lead = self.lead();
        blocks.push(lead.heading("heading.order"));
        self.length_block(blocks, &plan);
        blocks.push(Block::Paragraph(self.crew_order(&plan)));
    }

    /// Who works when, and the crew's material, in a few lines: its sheet has to stay short.
    pub(super) fn crew_lines(&self, blocks: &mut Vec<Block>, who_when: bool) {
        let Some(plan) = self.plan() else { return };
        if who_when {
            blocks.push(Block::Paragraph(self.crew_order(&plan)));
        }
        self.crew_material(blocks);
    }

    /// One trade after the other, with their days.
    fn crew_order(&self, plan: &Plan<'c>) -> String {
        let lead = self.lead();
        // one after the other: trade, first and last activity
        let mut steps: Vec<(Who, usize, usize)> = Vec::new();
        for (i, p) in plan.activities.iter().enumerate() {
            match steps.last_mut().filter(|(who, ..)| *who == p.row.who) {
                Some((.., last)) => *last = i,
                None => steps.push((p.row.who, i, i)),
            }
        }
        let line = |(who, first, last): &(Who, usize, usize)| {
            let days = span(plan.span(*first).0, plan.span(*last).1);
            let name = lead.word(&format!("who.{}", who.word()));
            lead.word_with("text.crew_step", &[("who", &name), ("days", &days)])
        };
        let list: Vec<String> = steps.iter().map(line).collect();
        lead.word_with("text.crew_order", &[("list", &list.join(" > "))])
    }

    fn crew_material(&self, blocks: &mut Vec<Block>) {
        let lead = self.lead();
        let own: Vec<Vec<Quantity<'_>>> = self
            .quantities()
            .into_iter()
            .map(|list| list.into_iter().filter(|q| q.row.who == Who::Hardscape).collect())
            .collect();
        let list: Vec<String> = totals(&own)
            .into_iter()
            .map(|(row, amount)| format!("{}: {}", lead.fill(&row.what), lead.amount_words(amount)))
            .collect();
        if !list.is_empty() {
            blocks.push(Block::Paragraph(lead.word_with("text.crew_material", &[("list", &list.join("; "))])));
        }
    }
}

/// Hours as days, to a tenth.
fn in_days(hours: i64, shift: i64) -> String {
    #[allow(clippy::cast_precision_loss)] // hours of a job
    let days = hours as f64 / shift as f64;
    format!("{days:.1}")
}

pub(crate) fn span(from: i64, to: i64) -> String {
    if from >= to { from.to_string() } else { format!("{from}-{to}") }
}
