//! `wallfoot contractor` and `wallfoot owners`: what was said, and who does what, filled in during the visit or later.

use super::arguments::{DEFAULT_VISIT, VISIT_HELP, visit_and};
use super::asker::asker;
use super::closing::{Again, left, watch};
use super::error::CommandError;
use super::global::Global;
use super::outside::{note, say, today};
use super::reading::{answers_of, heard_of, say_unheard};
use crate::content::{Ask, Content, JointTask, Who};
use crate::flow::{Answer, BuiltTexts, Choice, Condition, Effort, Question, QuestionKind, Spoken, Stand};
use crate::interview::{Asker, Count, Leaving, Progress, Prompt, Reply};
use crate::judge::{Assessment, Notes, Owned};
use crate::pack::Text;
use crate::units::Units;
use crate::visit::OpenVisit;
use clap::Args;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(
    override_usage = "wallfoot contractor [OPTIONS] [VISIT] <NAME>",
    after_help = "Examples:\n  wallfoot contractor \"First crew\"\n  wallfoot contractor patio.yaml \"First crew\""
)]
pub(super) struct ContractorArgs {
    #[arg(value_name = "VISIT", help = VISIT_HELP)]
    visit: Option<String>,
    /// The contractor, by a name of yours
    #[arg(value_name = "NAME")]
    name: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wallfoot owners\n  wallfoot owners patio.yaml")]
pub(super) struct OwnersArgs {
    #[arg(default_value = DEFAULT_VISIT, hide_default_value = true, help = VISIT_HELP)]
    visit: PathBuf,
}

/// Who may own a task, as the visit has it, in the order of the choices.
fn words() -> [&'static str; 3] {
    Who::ALL.map(Who::word)
}

pub(super) fn run(args: &ContractorArgs, global: &Global) -> Result<(), CommandError> {
    let (path, name) = visit_and(args.visit.as_deref(), args.name.as_deref());
    let name = name.unwrap_or_default();
    let content = global.content()?;
    let again = Again { command: "contractor", visit: &path, rest: vec![name.trim().to_owned()], global };
    watch(&again, content);
    let mut asker = asker(content, global);
    if let Some(how) = hear(&path, &name, global, content, asker.as_mut())? {
        return left(how, &again, content);
    }
    let sheet = again.other("advise", &["--sheet", "homeowner"]);
    note(&content.word_with("note.contractor_saved", &[("path", &*path.display().to_string()), ("command", &*sheet)]));
    Ok(())
}

/// Asks what a contractor said, and tells whether it is good enough; gives back how the user left, if so.
pub(super) fn hear(
    path: &Path,
    name: &str,
    global: &Global,
    content: &Content,
    asker: &mut dyn Asker,
) -> Result<Option<Leaving>, CommandError> {
    let mut open = OpenVisit::open(path)?;
    let name = name.trim();
    if name.is_empty() {
        return Err(CommandError::NoContractor);
    }
    let (answers, units) = answers_of(open.visit(), path, content, global)?;
    // what of the file is not understood is said before anything is asked
    say_unheard(open.visit(), path, content);
    let assessment = content.assess(&answers, units);
    let asks: Vec<&Ask> = assessment.asks().collect();
    if asks.is_empty() {
        // of whom nothing was asked, nothing good can be said
        return Err(CommandError::NothingToHear { path: path.to_owned() });
    }
    let mut gone = None;
    let title = content.word("heading.heard").to_owned();
    // where it was left: at the first that was not asked yet
    let is_open =
        |ask: &&Ask| open.visit().contractors.get(name).is_none_or(|heard| !heard.contains_key(ask.id.as_str()));
    let mut at = asks.iter().position(is_open).unwrap_or(0);
    while let Some(ask) = asks.get(at) {
        let question = heard_question(&assessment, ask, content);
        let heard = open.visit().contractors.get(name).and_then(|heard| heard.get(ask.id.as_str()));
        let current = heard.and_then(|points| marked(points, &question));
        let reply = put(asker, &question, &title, (at + 1, asks.len()), current.as_ref(), (units, path))?;
        let said = match step(reply, &mut at) {
            LeadsTo::Said(said) => said,
            LeadsTo::Back => continue,
            LeadsTo::End(how) => {
                gone = how;
                break;
            }
        };
        open.write_with(|visit| {
            let heard = visit.contractors.entry(name.to_owned()).or_default();
            if put_in(heard, &ask.id, &said, current.as_ref(), &question) {
                visit.changed = today();
            }
        })?;
        at += 1;
    }
    let notes = Notes { contractors: heard_of(open.visit(), content), ..Notes::default() };
    let assessment = Assessment { notes, ..assessment };
    let (heard, count) = assessment.heard_so_far(name);
    if !assessment.can_be_judged(name) {
        let values = [("name", name), ("asked", &*heard.to_string()), ("count", &*count.to_string())];
        say(&format!("\n{}", assessment.word_with("heard.so_far", &values)));
        return Ok(gone);
    }
    let key = match assessment.standing(name) {
        crate::judge::Standing::Enough => "heard.enough",
        crate::judge::Standing::NotAllAsked => "heard.not_all_asked",
        crate::judge::Standing::NotEnough => "heard.not_enough",
        crate::judge::Standing::SecondTrade => "heard.second_trade",
    };
    say(&format!("\n{}", assessment.word_with(key, &[("name", name)])));
    Ok(gone)
}

pub(super) fn owners(args: &OwnersArgs, global: &Global) -> Result<(), CommandError> {
    let content = global.content()?;
    let again = Again { command: "owners", visit: &args.visit, rest: Vec::new(), global };
    watch(&again, content);
    let mut asker = asker(content, global);
    if let Some(how) = own(&args.visit, global, content, asker.as_mut())? {
        return left(how, &again, content);
    }
    let sheet = again.other("advise", &["--sheet", "agreement"]);
    let values = [("path", &*args.visit.display().to_string()), ("command", &*sheet)];
    note(&format!("\n{}", content.word_with("note.owners_saved", &values)));
    Ok(())
}

/// Asks who owns each task at the joint; gives back how the user left, if so.
pub(super) fn own(
    path: &Path,
    global: &Global,
    content: &Content,
    asker: &mut dyn Asker,
) -> Result<Option<Leaving>, CommandError> {
    let mut open = OpenVisit::open(path)?;
    let (answers, units) = answers_of(open.visit(), path, content, global)?;
    let assessment = content.assess(&answers, units);
    let tasks = assessment.joint_tasks();
    let mut gone = None;
    let title = content.word("heading.agreement").to_owned();
    for (task, owners) in &open.visit().owners {
        for word in owners.iter().filter(|word| !words().contains(&word.as_str())) {
            let values = [("path", &*path.display().to_string()), ("word", word), ("task", task)];
            note(&content.word_with("note.nobody_known", &values));
        }
    }
    // where it was left: at the first that nobody was named for yet
    let mut at = tasks.iter().position(|(task, _)| !open.visit().owners.contains_key(task.id.as_str())).unwrap_or(0);
    while let Some((task, known)) = tasks.get(at) {
        let question = owner_question(&assessment, task, content);
        let current = open.visit().owners.get(task.id.as_str()).and_then(|owners| marked(owners, &question));
        // what the interview said, or who usually does it, is marked, so that Enter confirms it; it counts once it is confirmed
        let offered = current.clone().or_else(|| marked(&offered(task, known), &question));
        let reply = put(asker, &question, &title, (at + 1, tasks.len()), offered.as_ref(), (units, path))?;
        let said = match step(reply, &mut at) {
            LeadsTo::Said(said) => said,
            LeadsTo::Back => continue,
            LeadsTo::End(how) => {
                gone = how;
                break;
            }
        };
        open.write_with(|visit| {
            if put_in(&mut visit.owners, &task.id, &said, current.as_ref(), &question) {
                visit.changed = today();
            }
        })?;
        at += 1;
    }
    Ok(gone)
}

/// Where a reply leads in a row of questions.
enum LeadsTo {
    Said(Answer),
    Back,
    /// The end, and how the user left, if so.
    End(Option<Leaving>),
}

/// What a reply to the question at this place says; back goes one question back, and from the first one to where one came from.
fn step(reply: Reply, at: &mut usize) -> LeadsTo {
    match reply {
        Reply::Answer(said) | Reply::Typed(said) | Reply::Both(said, _) => LeadsTo::Said(said),
        Reply::Back if *at == 0 => LeadsTo::End(None),
        Reply::Back => {
            *at -= 1;
            LeadsTo::Back
        }
        Reply::Leave(how) => LeadsTo::End(Some(how)),
    }
}

/// Who is offered as the owner of a task of which the file says nothing.
fn offered(task: &JointTask, known: &Owned) -> Vec<String> {
    match known {
        Owned::Nobody => Vec::new(),
        Owned::By(who) => vec![who.word().to_owned()],
        Owned::Several(_) | Owned::NotAgreed => vec![task.usual.word().to_owned()],
    }
}

/// The choices that stand in a file, as an answer. Of a list that holds nothing known, nobody can say what was meant: that is
/// no answer yet.
fn marked(ids: &[String], question: &Question) -> Option<Answer> {
    let choices = question.choices.iter().enumerate().filter(|(_, choice)| ids.iter().any(|id| *id == choice.id));
    let bits = choices.fold(0, |bits, (i, _)| bits | 1 << i);
    (bits != 0 || ids.is_empty()).then_some(Answer::Several(bits))
}

/// Puts an answer into a map of the file; gives back whether it is a new one. An answer that is the same as before leaves the
/// list as it stands, with whatever in it is not known.
fn put_in(
    map: &mut BTreeMap<String, Vec<String>>,
    id: &str,
    said: &Answer,
    before: Option<&Answer>,
    question: &Question,
) -> bool {
    if Some(said) == before {
        return false;
    }
    match said {
        Answer::Several(bits) => {
            let picked = question.choices.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0);
            map.insert(id.to_owned(), picked.map(|(_, choice)| choice.id.to_string()).collect());
            true
        }
        // not asked, or not sure what was said: it stays open
        Answer::NotSure
        | Answer::Choice(_)
        | Answer::YesNo(_)
        | Answer::Length(_)
        | Answer::Number(_)
        | Answer::Year(_)
        | Answer::Text(_)
        | Answer::Profile(_)
        | Answer::Places(_) => map.remove(id).is_some(),
    }
}

fn put(
    asker: &mut dyn Asker,
    question: &Question,
    title: &str,
    (number, count): (usize, usize),
    current: Option<&Answer>,
    (units, path): (Units, &Path),
) -> Result<Reply, CommandError> {
    let progress = Progress { section: title, intro: None, sketch: None, go_to: None, number, count: Count::Of(count) };
    // its texts are filled already
    let texts = Spoken::default().asked(question);
    let prompt = Prompt::alone(question, texts, progress, current, units);
    asker.ask(&prompt).map_err(|reason| CommandError::Terminal { path: path.to_owned(), reason })
}

/// A question for a contractor as one for the user: which of these points were heard?
fn heard_question(assessment: &Assessment<'_>, ask: &Ask, content: &Content) -> Question {
    let good = ask.good.iter().enumerate().map(|(i, text)| (format!("good.{}", i + 1), assessment.fill(text)));
    let weak = ask.weak.iter().enumerate().map(|(i, text)| {
        let text = assessment.word_with("heard.weak_point", &[("text", &assessment.fill(text))]);
        (format!("weak.{}", i + 1), text)
    });
    let choices = good.chain(weak).map(|(id, label)| Choice::new(id.into(), label.into(), None)).collect();
    Question {
        ask: assessment.fill(&ask.ask).into(),
        why: assessment.fill(&ask.why).into(),
        how: content.word("heard.how").into(),
        short: content.word("heard.short").into(),
        ..marks(ask.id.to_string(), choices)
    }
}

fn owner_question(assessment: &Assessment<'_>, task: &JointTask, content: &Content) -> Question {
    let choices =
        words().iter().map(|id| Choice::new((*id).into(), content.word(&format!("who.{id}")).into(), None)).collect();
    let usual = content.word(&format!("who.{}", task.usual.word())).to_owned();
    Question {
        ask: assessment.word_with("owner.ask", &[("task", &assessment.fill(&task.what))]).into(),
        why: content.word("owner.why").into(),
        how: assessment.word_with("owner.how", &[("usual", &usual)]).into(),
        short: content.word("label.owner").into(),
        ..marks(task.id.to_string(), choices)
    }
}

/// A question of which several choices can be marked, and that is none of the flow.
pub(super) fn marks(id: String, choices: Vec<Choice>) -> Question {
    Question {
        id: id.into(),
        section: 0,
        depth: 0,
        short: Text::default(),
        ask: Text::default(),
        why: Text::default(),
        how: Text::default(),
        built: BuiltTexts::default(),
        kind: QuestionKind::SeveralOf,
        choices,
        not_sure: true,
        plan: false,
        stays_known: false,
        as_finish_rises: 0,
        lost_as_finish_rises: false,
        never_offered: 0,
        effort: Effort::default(),
        place: Stand::Offer,
        place_built: None,
        first: false,
        at_once: Vec::new(),
        needs: Vec::new(),
        bounds: None,
        visible: Condition::always(),
        written: crate::flow::Place::default(),
    }
}
