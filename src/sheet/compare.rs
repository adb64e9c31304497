//! Alternatives side by side, what differs first.

use super::document::{Block, Document};
use super::sheets::Cover;
use crate::flow::Value;
use crate::judge::{Assessment, Climb, Lowered, WayKind};
use crate::names::Stage;
use crate::site::FactId;
use crate::units::Length;
use crate::wall::Level;
use crate::water::Start;

/// A plan under a name.
#[derive(Debug)]
pub struct Alternative<'c> {
    /// Its name.
    pub name: String,
    /// What follows from it.
    pub assessment: Assessment<'c>,
}

/// A row of the comparison: what it is about, and a cell for each alternative.
type ComparedRow = (String, Vec<String>);

/// Alternatives in tables: the verdict first, then what differs, then what is the same in all. The first one is the plan: it
/// stands in each table, with at most `across` of the others beside it. Nothing without any alternative.
#[must_use]
pub fn compare(list: &[Alternative<'_>], cover: &Cover, across: usize) -> Option<Document> {
    let (plan, others) = list.split_first()?;
    let first = &plan.assessment;
    let word = |key: &str| first.content.word(key).to_owned();
    let verdict = verdict_row(list);
    let mut rows: Vec<ComparedRow> = changed_answers(list);
    rows.extend(results(list));
    rows.extend(work(list));
    let (same, differ): (Vec<ComparedRow>, Vec<ComparedRow>) =
        rows.into_iter().partition(|(_, cells)| cells.iter().all(|cell| *cell == cells[0]));
    let mut blocks = vec![Block::Heading(word("heading.differs"))];
    let across = across.max(1);
    for (number, part) in others.chunks(across).enumerate() {
        let from = 1 + number * across;
        let mut head = vec![word("table.about"), plan.name.clone()];
        head.extend(part.iter().map(|a| a.name.clone()));
        let row = |(what, cells): &ComparedRow| {
            let own = cells.iter().skip(from).take(part.len());
            [what, &cells[0]].into_iter().chain(own).cloned().collect()
        };
        blocks.push(Block::Table { head, rows: std::iter::once(&verdict).chain(&differ).map(row).collect() });
    }
    if differ.is_empty() {
        blocks.push(Block::Paragraph(word("text.nothing_differs")));
    }
    let same: Vec<Vec<String>> = same
        .into_iter()
        .filter(|(_, cells)| !cells[0].is_empty())
        .map(|(what, cells)| vec![what, cells[0].clone()])
        .collect();
    if !same.is_empty() {
        blocks.push(Block::Heading(word("heading.same")));
        blocks.push(Block::Table { head: vec![word("table.about"), word("table.all")], rows: same });
    }
    Some(Document {
        title: word("sheet.compare"),
        about: first.about(cover),
        lang: cover.lang.clone(),
        running: String::new(),
        blocks,
        foot: word("foot"),
        letterhead: None,
    })
}

/// The verdicts.
fn verdict_row(list: &[Alternative<'_>]) -> ComparedRow {
    let content = list[0].assessment.content;
    let verdict =
        |a: &Alternative<'_>| content.word(&format!("verdict.{}", a.assessment.settled.verdict.word())).to_owned();
    (content.word("row.verdict").to_owned(), list.iter().map(verdict).collect())
}

/// The answers that are not the same in all.
fn changed_answers(list: &[Alternative<'_>]) -> Vec<ComparedRow> {
    let first = &list[0].assessment;
    let shown = |a: &Assessment<'_>, q: usize| {
        if !a.state.shown[q].is_yes() {
            return a.content.word("mark.open").to_owned();
        }
        let question = &a.content.flow.questions[q];
        let unanswered = || a.content.word("mark.open").to_owned();
        a.answers.get(q).map_or_else(unanswered, |answer| match answer {
            crate::flow::Answer::NotSure => a.content.word("label.not_sure").to_owned(),
            answer => a.shown_answer(question, answer),
        })
    };
    (0..first.content.flow.questions.len())
        .filter(|q| list.iter().any(|a| shown(&a.assessment, *q) != shown(first, *q)))
        .map(|q| {
            let cells = list.iter().map(|a| shown(&a.assessment, q)).collect();
            (first.short(q), cells)
        })
        .collect()
}

/// What follows from them.
fn results(list: &[Alternative<'_>]) -> Vec<ComparedRow> {
    let content = list[0].assessment.content;
    let row = |key: &str, cell: &dyn Fn(&Assessment<'_>) -> String| {
        (content.word(key).to_owned(), list.iter().map(|a| cell(&a.assessment)).collect::<Vec<_>>())
    };
    let fact = |a: &Assessment<'_>, id: FactId| {
        if a.value(id) == Value::Absent {
            return String::new();
        }
        let middle = crate::judge::middle(a.value(id));
        middle.map_or_else(|| a.content.word("label.not_known").to_owned(), |n| a.height_in_words(n))
    };
    let failing = |a: &Assessment<'_>| {
        let names: Vec<&str> = a
            .limits()
            .into_iter()
            .filter(|(l, c)| l.verdict.is_some() && c.breaks().is_yes())
            .map(|(l, _)| l.what.as_str())
            .collect();
        if names.is_empty() { a.content.word("label.none").to_owned() } else { names.join("; ") }
    };
    let none = || content.word("label.none").to_owned();
    let not_known = || content.word("label.not_known").to_owned();
    let lower = |a: &Assessment<'_>| match a.lowered() {
        Lowered::NotNeeded => none(),
        Lowered::By(by) => by.show(a.units),
        Lowered::ByWithSteps(by) if by == Length::ZERO => content.word("label.steps_only").to_owned(),
        Lowered::ByWithSteps(by) => a.word_with("label.lower_with_steps", &[("by", &by.show(a.units))]),
        Lowered::NotEnough => content.word("label.lower_not_enough").to_owned(),
    };
    let door = list.iter().any(|a| a.assessment.site.door == Some(true));
    let water = |a: &Assessment<'_>| {
        let ways = a.water_ways();
        let way = ways.iter().find(|w| w.start == Start::Behind).or(ways.iter().find(|w| w.start == Start::Face));
        way.map_or_else(String::new, |w| a.content.word(crate::say::end_word(w.path.end)).to_owned())
    };
    let risers = |a: &Assessment<'_>| {
        // as it is: not those that a lower surface would need
        let own = a.steps().filter(|s| s.climb != Climb::FromSurface).and_then(|s| s.plan).map(|p| p.flight);
        let at_door = || {
            a.ways().into_iter().find_map(|way| match way.kind {
                WayKind::Landing { flight, .. } => Some(flight),
                _ => None,
            })
        };
        own.or_else(at_door).map_or_else(none, |f| {
            let (risers, riser) = (f.risers.to_string(), f.riser.show(a.units));
            a.word_with("label.risers", &[("risers", &risers), ("riser", &riser)])
        })
    };
    let dig = |a: &Assessment<'_>| {
        let dig = a.digging().and_then(|d| d.at_wall);
        dig.map_or_else(not_known, |d| d.show(a.units))
    };
    let open = |a: &Assessment<'_>| {
        let open = a.open.iter().take(3).map(|p| a.short(p.question)).collect::<Vec<_>>().join("; ");
        if open.is_empty() { none() } else { open }
    };
    let found = |a: &Assessment<'_>| {
        let titles: Vec<String> = a.held().filter(|f| f.verdict.is_some()).map(|f| a.fill(&f.title)).collect();
        if titles.is_empty() { a.content.word("label.none").to_owned() } else { titles.join("; ") }
    };
    vec![
        row("row.exit", &|a| fact(a, FactId::ExitAboveFinish)),
        row("row.wood", &|a| fact(a, FactId::WoodAboveFinish)),
        row("row.step", &|a| {
            match a.site.door {
                Some(true) => fact(a, FactId::ThresholdAboveFinish),
                // where none has a door, there is nothing to tell
                Some(false) if door => none(),
                None if door => not_known(),
                Some(false) | None => String::new(),
            }
        }),
        row("row.risers", &risers),
        row("row.failing", &failing),
        row("row.findings", &found),
        row("row.lower", &lower),
        row("row.water", &water),
        row("row.dig", &dig),
        row("row.fill", &|a| {
            a.site.levels.above(Level::Finish, Level::Ground).map_or_else(not_known, |h| h.up.show(a.units))
        }),
        row("row.days", &|a| a.plan().map_or_else(|| no_work(a), |plan| at_least(plan.days(), plan.open_ended()))),
        row("row.open", &open),
    ]
}

/// What stands for the work where there is no plan of it: nothing to do, or nobody knows whether it is planned or stands.
fn no_work(a: &Assessment<'_>) -> String {
    a.word(if a.said::<Stage>().is_some() { "label.none" } else { "label.not_known" })
}

/// A number, with a plus where more may come on top.
fn at_least(number: i64, more: bool) -> String {
    if more { format!("{number}+") } else { number.to_string() }
}

/// Person-hours of each trade, and each material.
fn work(list: &[Alternative<'_>]) -> Vec<ComparedRow> {
    let first = &list[0].assessment;
    let plans: Vec<_> = list.iter().map(|a| a.assessment.plan()).collect();
    let hours: Vec<_> = plans.iter().flatten().map(crate::judge::Plan::person_hours).collect();
    let mut trades: Vec<&str> = hours.iter().flat_map(|h| h.keys().copied()).collect();
    trades.sort_unstable();
    trades.dedup();
    let trade = |who: &str| {
        let name = first.word_with("row.hours", &[("who", first.content.word(&format!("who.{who}")))]);
        let hours = |plan: &crate::judge::Plan<'_>| {
            let hours = plan.person_hours().get(who).copied().unwrap_or_default();
            at_least(hours, plan.open_ended())
        };
        let cell = |(a, plan): (&Alternative<'_>, &Option<crate::judge::Plan<'_>>)| {
            plan.as_ref().map_or_else(|| no_work(&a.assessment), hours)
        };
        (name, list.iter().zip(&plans).map(cell).collect())
    };
    let quantities: Vec<_> = list.iter().map(|a| a.assessment.quantities()).collect();
    let rows = first.content.quantities.iter().filter(|row| quantities.iter().flatten().any(|q| q.row.id == row.id));
    let material = |row: &crate::content::QuantityRow| {
        let name = first.word_with("row.material", &[("what", &first.fill(&row.what))]);
        let cell = |(a, list): (&Alternative<'_>, &Vec<crate::judge::Quantity<'_>>)| {
            let found = list.iter().find(|q| q.row.id == row.id);
            found.map_or_else(|| first.word("label.none"), |q| a.assessment.amount_words(q.amount))
        };
        (name, list.iter().zip(&quantities).map(cell).collect())
    };
    trades.into_iter().map(trade).chain(rows.map(material)).collect()
}
