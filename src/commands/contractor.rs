//! `wallfoot contractor` and `wallfoot owners`: what was said, and who does what, filled in during the visit or later.

use super::advise::{answers_of, notes_of};
use super::{CommandError, Global, note, today};
use crate::content::{Ask, Content, JointTask, Who};
use crate::flow::{Answer, Choice, Condition, Effort, Question, QuestionKind};
use crate::interview::{Asker, Progress, Prompt, Reply};
use crate::judge::Assessment;
use crate::units::Units;
use crate::visit::Visit;
use clap::Args;
use std::io;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct ContractorArgs {
    /// The file that `wallfoot ask` wrote
    visit: PathBuf,
    /// The contractor, by a name of yours
    #[arg(value_name = "NAME")]
    name: String,
}

#[derive(Debug, Args)]
pub(super) struct OwnersArgs {
    /// The file that `wallfoot ask` wrote
    visit: PathBuf,
}

/// Who may own a task, as the visit has it, in the order of the choices.
fn words() -> [&'static str; 3] {
    Who::ALL.map(Who::word)
}

pub(super) fn run(args: &ContractorArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let (mut visit, mut last) = Visit::open(&args.visit)?;
    let name = args.name.trim();
    if name.is_empty() {
        return Err(CommandError::Input("give the contractor a name".to_owned()));
    }
    let (answers, units) = answers_of(&visit, &args.visit, &content, global)?;
    let assessment = content.assess(&answers, units);
    let asks: Vec<&Ask> = assessment.asks().collect();
    let mut asker = super::ask::asker(&content, global);
    let mut heard = visit.contractors.get(name).cloned().unwrap_or_default();
    let title = content.word("heading.heard").to_owned();
    let mut at = 0;
    while let Some(ask) = asks.get(at) {
        let question = heard_question(&assessment, ask, &content);
        let bits = |points: &Vec<String>| {
            let marked = question.choices.iter().enumerate().filter(|(_, c)| points.contains(&c.id));
            marked.fold(0, |bits, (i, _)| bits | 1 << i)
        };
        let current = heard.get(&ask.id).map(|points| Answer::Several(bits(points)));
        match put(asker.as_mut(), &question, &title, (at + 1, asks.len()), current.as_ref(), units)? {
            Reply::Answer(Answer::Several(bits)) => {
                let points = question.choices.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0);
                heard.insert(ask.id.clone(), points.map(|(_, c)| c.id.clone()).collect());
                at += 1;
            }
            Reply::Answer(_) => {
                // not asked, or not sure what was said: it stays open
                heard.remove(&ask.id);
                at += 1;
            }
            Reply::Back => at = at.saturating_sub(1),
            Reply::Leave => break,
        }
        visit.contractors.insert(name.to_owned(), heard.clone());
        visit.changed = today();
        last = visit.write_after(&args.visit, &last)?;
    }
    let notes = notes_of(&visit, &args.visit)?;
    let assessment = Assessment { notes, ..assessment };
    let key = match assessment.standing(name) {
        crate::judge::Standing::Enough => "heard.enough",
        crate::judge::Standing::NotAllAsked => "heard.not_all_asked",
        crate::judge::Standing::NotEnough => "heard.not_enough",
        crate::judge::Standing::SecondTrade => "heard.second_trade",
    };
    note(&format!("\n{}", assessment.word_with(key, &[("name", name)])));
    let shown = args.visit.display();
    note(&format!("Saved in {shown}. All contractors side by side: wallfoot advise {shown}"));
    Ok(())
}

pub(super) fn owners(args: &OwnersArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let (mut visit, mut last) = Visit::open(&args.visit)?;
    let (answers, units) = answers_of(&visit, &args.visit, &content, global)?;
    let assessment = content.assess(&answers, units);
    let tasks: Vec<&JointTask> = assessment.joint_tasks().into_iter().map(|(task, _)| task).collect();
    let mut asker = super::ask::asker(&content, global);
    let title = content.word("heading.agreement").to_owned();
    let mut at = 0;
    while let Some(task) = tasks.get(at) {
        let question = owner_question(&assessment, task, &content);
        let bits = |owners: &Vec<String>| {
            words().iter().enumerate().filter(|(_, o)| owners.iter().any(|x| x == *o)).fold(0, |b, (i, _)| b | 1 << i)
        };
        let current = visit.owners.get(&task.id).map(|owners| Answer::Several(bits(owners)));
        match put(asker.as_mut(), &question, &title, (at + 1, tasks.len()), current.as_ref(), units)? {
            Reply::Answer(Answer::Several(bits)) => {
                let owners = words().into_iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0);
                visit.owners.insert(task.id.clone(), owners.map(|(_, o)| o.to_owned()).collect());
                at += 1;
            }
            Reply::Answer(_) => {
                visit.owners.remove(&task.id);
                at += 1;
            }
            Reply::Back => at = at.saturating_sub(1),
            Reply::Leave => break,
        }
        visit.changed = today();
        last = visit.write_after(&args.visit, &last)?;
    }
    let shown = args.visit.display();
    note(&format!("\nSaved in {shown}. The sheet to sign off: wallfoot advise {shown} --sheet agreement"));
    Ok(())
}

fn put(
    asker: &mut dyn Asker,
    question: &Question,
    title: &str,
    (number, count): (usize, usize),
    current: Option<&Answer>,
    units: Units,
) -> Result<Reply, CommandError> {
    let progress = Progress { section: title, intro: None, part: 1, parts: 1, number, count };
    let prompt = Prompt { question, progress, current, units };
    asker.ask(&prompt).map_err(|reason: io::Error| CommandError::Io {
        what: "the terminal failed; what was said so far is saved".to_owned(),
        reason,
    })
}

/// A question for a contractor as one for the user: which of these points were heard?
fn heard_question(assessment: &Assessment<'_>, ask: &Ask, content: &Content) -> Question {
    let good = ask.good.iter().enumerate().map(|(i, text)| (format!("good.{}", i + 1), assessment.fill(text)));
    let weak = ask.weak.iter().enumerate().map(|(i, text)| {
        let text = assessment.word_with("heard.weak_point", &[("text", &assessment.fill(text))]);
        (format!("weak.{}", i + 1), text)
    });
    let choices = good.chain(weak).map(|(id, label)| Choice::new(id, label, None)).collect();
    Question {
        ask: assessment.fill(&ask.ask),
        why: assessment.fill(&ask.why),
        how: content.word("heard.how").to_owned(),
        short: content.word("heard.short").to_owned(),
        ..marks(ask.id.clone(), choices)
    }
}

fn owner_question(assessment: &Assessment<'_>, task: &JointTask, content: &Content) -> Question {
    let choices = words()
        .iter()
        .map(|id| Choice::new((*id).to_owned(), content.word(&format!("who.{id}")).to_owned(), None))
        .collect();
    let usual = content.word(&format!("who.{}", task.usual.word())).to_owned();
    Question {
        ask: assessment.word_with("owner.ask", &[("task", &assessment.fill(&task.what))]),
        why: content.word("owner.why").to_owned(),
        how: assessment.word_with("owner.how", &[("usual", &usual)]),
        short: content.word("label.owner").to_owned(),
        ..marks(task.id.clone(), choices)
    }
}

/// A question of which several choices can be marked.
fn marks(id: String, choices: Vec<Choice>) -> Question {
    Question {
        id,
        section: 0,
        depth: 0,
        short: String::new(),
        ask: String::new(),
        why: String::new(),
        how: String::new(),
        kind: QuestionKind::SeveralOf,
        choices,
        not_sure: true,
        plan: false,
        effort: Effort::default(),
        bounds: None,
        visible: Condition::always(),
    }
}
