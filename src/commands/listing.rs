//! All questions, facts and limits as a page: `docs/questions.md` is made from it.

use crate::content::{AFTER_LIMITS, Content, UsualFigure};
use crate::flow::{Answers, Question, QuestionKind};
use crate::names::Named;
use crate::names::QuestionId;
use crate::site::FACTS;
use crate::units::{Length, Slope, Units};
use crate::wall::Sense;
use std::fmt::Write;

/// The page. Writing to a `String` cannot fail, so the results of `write!` are dropped.
#[must_use]
pub fn listing(content: &Content) -> String {
    let mut out = String::from(
        "# All questions, facts and limits\n\nMade by `wallfoot prove --list`; a test holds it current. Do not edit.\n",
    );
    let _ = writeln!(out, "\n{} questions. One visit sees only those that matter to it.", content.flow.questions.len());
    // of no visit in particular
    let spoken = content.flow.spoken(&Answers::default(), Units::Inch);
    for (number, section) in content.flow.sections.iter().enumerate() {
        let _ = writeln!(out, "\n## {}\n", section.title);
        for question in content.flow.questions.iter().filter(|q| q.section == number) {
            let _ = writeln!(
                out,
                "{}- `{}` ({}) {}",
                "  ".repeat(question.depth),
                question.id,
                kind(question),
                spoken.ask(question)
            );
        }
    }
    out.push_str("\n## Facts that rules may use\n\n");
    for fact in FACTS {
        let _ = writeln!(out, "- `{}`: {}", fact.name, fact.means);
    }
    for (name, means) in AFTER_LIMITS.iter().map(|f| (f.name, f.means)) {
        let _ = writeln!(out, "- `{name}`: {means} (computed after the limits)");
    }
    for defined in &content.defined {
        let _ = writeln!(out, "- `{}`: {} (defined in the content)", defined.name, defined.means);
    }
    out.push_str("\n## Limits\n\n| id | regions | what | bound | source | basis | can fail a plan |\n|---|---|---|---|---|---|---|\n");
    for limit in &content.limits {
        let sense = if limit.sense == Sense::AtLeast { "at least" } else { "at most" };
        let edition =
            if limit.origin.edition.is_empty() { String::new() } else { format!(" ({})", limit.origin.edition) };
        let _ = writeln!(
            out,
            "| `limit.{}` | {} | {} (`{}`) | {sense} {} | {}{edition} | {} | {} |",
            limit.id,
            regions(content, limit.regions),
            limit.what,
            content.vocabulary.name(limit.measure).text,
            bound(content, limit),
            limit.origin.source,
            limit.origin.basis.word(),
            if limit.verdict.is_some() { "yes" } else { "no" },
        );
    }
    out.push_str("\n## Years of building\n\nA house counts as old for a fact if it was built before this year.\n\n| id | fact | before | source | basis |\n|---|---|---|---|---|\n");
    for era in &content.eras {
        let _ = writeln!(
            out,
            "| `{}` | `{}` | {} | {} | {} |",
            era.id,
            era.of,
            era.before,
            era.origin.source,
            era.origin.basis.word()
        );
    }
    out.push_str(
        "\n## What is usual\n\nA wall is built with these figures where nobody measured or said.\n\n| id | what | figure | source | basis |\n|---|---|---|---|---|\n",
    );
    for row in &content.usual_rows {
        let figure = match row.figure {
            UsualFigure::Length(length) => length.exact(),
            UsualFigure::Slope(slope) => format!("{:.3} %", slope.as_percent()),
        };
        let _ = writeln!(
            out,
            "| `{}` | {} | {figure} | {} | {} |",
            row.id.text(),
            row.what,
            row.origin.source,
            row.origin.basis.word()
        );
    }
    out.push_str(
        "\n## Promises\n\nWhat must hold of the advice, whatever is answered.\n\n| id | why | source | basis |\n|---|---|---|---|\n",
    );
    for promise in &content.promises {
        let origin = &promise.origin;
        let edition = if origin.edition.is_empty() { String::new() } else { format!(" ({})", origin.edition) };
        let (id, because, basis) = (&promise.id, &promise.because, origin.basis.word());
        let _ = writeln!(out, "| `{id}` | {because} | {}{edition} | {basis} |", origin.source);
    }
    out
}

fn regions(content: &Content, bits: i64) -> String {
    if bits == 0 {
        return "all".to_owned();
    }
    let choices = &content.flow.questions[content.catalog.names.at(QuestionId::Region)].choices;
    let here = choices.iter().enumerate().filter(|(at, _)| bits & (1 << at) != 0);
    here.map(|(_, region)| region.id.as_str()).collect::<Vec<_>>().join(", ")
}

fn kind(question: &Question) -> String {
    let choices = || question.choices.iter().map(|c| c.id.as_str()).collect::<Vec<_>>().join(", ");
    match question.kind {
        QuestionKind::OneOf => format!("one of: {}", choices()),
        QuestionKind::SeveralOf => format!("several of: {}", choices()),
        QuestionKind::YesNo => "yes/no".to_owned(),
        QuestionKind::Length => "length".to_owned(),
        QuestionKind::Number => "number".to_owned(),
        QuestionKind::Year => "year".to_owned(),
        QuestionKind::Text => "text".to_owned(),
        QuestionKind::Profile => "heights along the wall".to_owned(),
        QuestionKind::Places => format!("places along the wall of: {}", choices()),
    }
}

fn bound(content: &Content, limit: &crate::content::Limit) -> String {
    use crate::flow::Kind;
    match content.vocabulary.name(limit.measure).kind {
        Kind::Length => Length::from_steps(limit.bound).exact(),
        Kind::Slope => format!("{:.3} %", Slope::from_parts(limit.bound).as_percent()),
        _ => (limit.bound / 1000).to_string(),
    }
}
