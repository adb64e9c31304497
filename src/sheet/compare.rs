//! Alternatives side by side, what differs first.

use super::document::{Block, Document};
use super::sheets::Cover;
use crate::flow::Value;
use crate::judge::Assessment;
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

/// Two or more alternatives in one table: first the rows in which they differ, then the others. Nothing without any.
#[must_use]
pub fn compare(list: &[Alternative<'_>], cover: &Cover) -> Option<Document> {
    let first = &list.first()?.assessment;
    let word = |key: &str| first.content.word(key).to_owned();
    let mut rows: Vec<ComparedRow> = changed_answers(list);
    rows.extend(results(list));
    rows.extend(work(list));
    let (same, differ): (Vec<ComparedRow>, Vec<ComparedRow>) =
        rows.into_iter().partition(|(_, cells)| cells.iter().all(|cell| *cell == cells[0]));
    let mut head = vec![word("table.about")];
    head.extend(list.iter().map(|a| a.name.clone()));
    let mut blocks = vec![Block::Heading(word("heading.differs"))];
    if differ.is_empty() {
        blocks.push(Block::Paragraph(word("text.nothing_differs")));
    } else {
        let rows = differ.into_iter().map(|(what, cells)| std::iter::once(what).chain(cells).collect()).collect();
        blocks.push(Block::Table { head, rows });
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
        compact: false,
        blocks,
        foot: word("foot"),
    })
}

/// The answers that are not the same in all.
fn changed_answers(list: &[Alternative<'_>]) -> Vec<ComparedRow> {
    let first = &list[0].assessment;
    let shown = |a: &Assessment<'_>, q: usize| {
        if !a.state.shown[q].is_yes() {
            return String::new();
        }
        let question = &a.content.flow.questions[q];
        a.answers.get(q).map_or_else(String::new, |answer| match answer {
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
    let lower = |a: &Assessment<'_>| {
        a.lowering.filter(|l| l.by > Length::ZERO).map_or_else(String::new, |l| l.sure.show(a.units))
    };
    let water = |a: &Assessment<'_>| {
        let ways = a.water_ways();
        let way = ways.iter().find(|w| w.start == Start::Behind).or(ways.iter().find(|w| w.start == Start::Face));
        way.map_or_else(String::new, |w| a.content.word(crate::say::end_word(w.path.end)).to_owned())
    };
    let risers = |a: &Assessment<'_>| {
        let flight = a.steps().and_then(|s| s.plan).map(|p| p.flight);
        flight.map_or_else(String::new, |f| {
            let (risers, riser) = (f.risers.to_string(), f.riser.show(a.units));
            a.word_with("label.risers", &[("risers", &risers), ("riser", &riser)])
        })
    };
    let dig = |a: &Assessment<'_>| {
        let dig = a.digging().and_then(|d| d.at_wall);
        dig.map_or_else(String::new, |d| d.show(a.units))
    };
    let open = |a: &Assessment<'_>| a.open.iter().take(3).map(|p| a.short(p.question)).collect::<Vec<_>>().join("; ");
    let found = |a: &Assessment<'_>| {
        let titles: Vec<String> = a.held().filter(|f| f.verdict.is_some()).map(|f| a.fill(&f.title)).collect();
        if titles.is_empty() { a.content.word("label.none").to_owned() } else { titles.join("; ") }
    };
    vec![
        row("row.verdict", &|a| a.content.word(&format!("verdict.{}", a.settled.verdict.word())).to_owned()),
        row("row.exit", &|a| fact(a, FactId::ExitAboveFinish)),
        row("row.wood", &|a| fact(a, FactId::WoodAboveFinish)),
        row("row.step", &|a| {
            if a.site.door == Some(true) { fact(a, FactId::ThresholdAboveFinish) } else { String::new() }
        }),
        row("row.risers", &risers),
        row("row.failing", &failing),
        row("row.findings", &found),
        row("row.lower", &lower),
        row("row.water", &water),
        row("row.dig", &dig),
        row("row.fill", &|a| {
            a.site.levels.above(Level::Finish, Level::Ground).map_or_else(String::new, |h| h.up.show(a.units))
        }),
        row("row.days", &|a| a.plan().map_or_else(String::new, |plan| at_least(plan.days(), plan.open_ended()))),
        row("row.open", &open),
    ]
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
        let cell = |plan: &crate::judge::Plan<'_>| Some(at_least(*plan.person_hours().get(who)?, plan.open_ended()));
        (name, plans.iter().map(|plan| plan.as_ref().and_then(cell).unwrap_or_default()).collect())
    };
    let quantities: Vec<_> = list.iter().map(|a| a.assessment.quantities()).collect();
    let rows = first.content.quantities.iter().filter(|row| quantities.iter().flatten().any(|q| q.row.id == row.id));
    let material = |row: &crate::content::QuantityRow| {
        let name = first.word_with("row.material", &[("what", &first.fill(&row.what))]);
        let cell = |(a, list): (&Alternative<'_>, &Vec<crate::judge::Quantity<'_>>)| {
            let found = list.iter().find(|q| q.row.id == row.id);
            found.map_or_else(String::new, |q| a.assessment.amount_words(q.amount))
        };
        (name, list.iter().zip(&quantities).map(cell).collect())
    };
    trades.into_iter().map(trade).chain(rows.map(material)).collect()
}
