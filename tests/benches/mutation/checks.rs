//! What notices a change: loading, what is written by hand, what sound visits are owed, scenarios, promises, records, the prover.

use crate::mutants::Kind;
use crate::page::{page, short};
use crate::shipped::{Changed, Shipped};
use crate::sound::{Heights, changed_visit, ids, sound_with, walls};
use crate::support::{CONTENT, scenario_visit, scenarios, top, visit};
use crate::table_rows::{
    FigureRow, edge_rows, edge_visits, figure_faults, figure_rows, limit_rows, name, short_by, state, three, verdict,
    visit_rows,
};
use crate::touch::Touch;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::panic::AssertUnwindSafe;
use wallfoot::content::{Content, Verdict};
use wallfoot::flow::{Answer, Answers, Flow, QuestionKind, Source, Truth, Value};
use wallfoot::judge::Assessment;
use wallfoot::prove::{hold, named_in_texts, prove};
use wallfoot::units::Units;

/// What notices, in the order in which they are asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Check {
    /// The content is refused.
    Load,
    /// A visit of the table of visits, written by hand: its verdict, its findings and limits, its edges.
    Table,
    /// The verdict of a scenario, written by hand.
    Expected,
    /// The page of a scenario.
    Scenario,
    /// A promise, held over all these visits and over some that differ from sound ones.
    Promise,
    /// A visit of a good local builder does not go ahead.
    Sound,
    /// The record of the table and of the invented visits: what is said, which nobody has judged.
    Record,
    /// What `wallfoot prove` finds first: countries without limits, claddings without rules, water that nobody tells of.
    Prove,
    /// The proof over all answers (`--prover`).
    Proof,
}

impl Check {
    pub(crate) const ALL: [(Check, &'static str); 9] = [
        (Check::Load, "load"),
        (Check::Table, "table"),
        (Check::Expected, "expected"),
        (Check::Scenario, "scenario"),
        (Check::Promise, "promise"),
        (Check::Sound, "sound"),
        (Check::Record, "record"),
        (Check::Prove, "prove"),
        (Check::Proof, "proof"),
    ];
}

/// A visit, and the values of all names in it before any change.
struct Seen {
    answers: Answers,
    units: Units,
    region: Option<usize>,
    values: Vec<Value>,
}

impl Seen {
    fn new(answers: Answers, units: Units) -> Seen {
        let assessment = CONTENT.assess(&answers, units);
        let (values, region) = (assessment.values.clone(), assessment.region());
        Seen { answers, units, region, values }
    }
}

/// A visit and what it has to come to.
struct Held {
    name: String,
    seen: Seen,
    /// A limit whose figure is just met.
    on: Option<String>,
    /// The verdict that is said of it.
    verdict: Option<Verdict>,
    /// Findings that hold and limits that are missed for certain, or are not, though they should.
    certain: Vec<(String, bool)>,
    /// How rules stand.
    stands: Vec<(String, String)>,
}

/// A visit and what was said of it before.
struct Recorded {
    seen: Seen,
    text: String,
}

impl Recorded {
    fn new(answers: Answers, units: Units, text: impl Fn(&Assessment<'_>) -> String) -> Recorded {
        let text = text(&CONTENT.assess(&answers, units));
        Recorded { seen: Seen::new(answers, units), text }
    }
}

/// How many visits that differ from sound ones promises are held against.
const CHANGED: u64 = 1500;

/// Everything that a change is held against.
pub(crate) struct Checks {
    figures: Vec<FigureRow>,
    table: Vec<Held>,
    expected: Vec<Held>,
    scenarios: Vec<Recorded>,
    invented: Vec<Recorded>,
    records: Vec<Recorded>,
    changed: Vec<Seen>,
    sound: Vec<Seen>,
    /// The prover, if it is asked.
    prover: Option<Prover>,
}

impl Checks {
    pub(crate) fn new(prover: bool) -> Checks {
        let table = table();
        let (mut expected, mut pages) = (Vec::new(), Vec::new());
        for name in scenarios().into_iter().chain(["demo-back-patio", "demo-side-steps"].map(str::to_owned)) {
            let (_, answers, units) = visit(&scenario_visit(&name));
            pages.push(Recorded::new(answers.clone(), units, |a| page("", a)));
            let said = std::fs::read_to_string(top().join("tests/scenarios").join(&name).join("expected.md"));
            if let Some(said) = said.ok().as_deref().and_then(|text| text.lines().next()?.strip_prefix("Verdict: ")) {
                let verdict = Some(verdict(said));
                let seen = Seen::new(answers, units);
                expected.push(Held { name, seen, on: None, verdict, certain: Vec::new(), stands: Vec::new() });
            }
        }
        let record = |answers: Answers, units| Recorded::new(answers, units, |a| short("", a));
        let records = table.iter().map(|held| record(held.seen.answers.clone(), held.seen.units)).collect();
        let invented = invented().into_iter().map(|(answers, units)| record(answers, units)).collect();
        let seen = |answers: Answers| {
            let units = units(&answers);
            Seen::new(answers, units)
        };
        let changed = (0..CHANGED).map(changed_visit).map(seen).collect();
        let sound = sound().into_iter().map(seen).collect();
        Checks {
            figures: figure_rows(),
            table,
            expected,
            scenarios: pages,
            invented,
            records,
            changed,
            sound,
            prover: prover.then(Prover::new),
        }
    }

    pub(crate) fn size(&self) -> String {
        format!(
            "{} visits of the table, {} verdicts and {} pages of scenarios, {} records, {} changed and {} sound visits",
            self.table.len(),
            self.expected.len(),
            self.scenarios.len(),
            self.records.len() + self.invented.len(),
            self.changed.len(),
            self.sound.len()
        )
    }

    /// What is held must hold of the shipped content, in the pieces into which it was taken apart: else everything would be noticed.
    pub(crate) fn hold_the_shipped(&self, shipped: &Shipped) {
        let faults = table_faults();
        assert!(faults.is_empty(), "{faults}");
        let first = self.first_to_notice(&shipped.unchanged(), None);
        assert_eq!(first, None, "the shipped content itself is noticed; mend that first");
    }

    /// The first check that notices that these files are not the shipped ones, but have this changed.
    pub(crate) fn first_to_notice(&self, sources: &[Source], changed: Option<&Changed>) -> Option<Check> {
        let Ok(content) = Content::load(sources, None) else { return Some(Check::Load) };
        if content.promises_left_out > 0 {
            return Some(Check::Load);
        }
        let in_figures = changed.is_some_and(|changed| changed.kind == Kind::Figure);
        let changed_files: Vec<Source> = sources.iter().filter(|s| in_figures && s.tree.is_none()).cloned().collect();
        let touch = changed.map_or_else(Touch::all, |changed| Touch::of(changed, &content));
        // of a sound visit nothing is held but its verdict
        let verdicts = changed.is_none_or(Changed::reaches_verdicts);
        let mut checks = Check::ALL.iter().map(|(check, _)| *check).filter(|check| verdicts || *check != Check::Sound);
        checks.find(|check| {
            // a program that stops is noticed by whoever runs it
            if *check == Check::Table && !figure_faults(&self.figures, &changed_files).0.is_empty() {
                return true;
            }
            let quiet = std::panic::catch_unwind(AssertUnwindSafe(|| self.notices(*check, &content, &touch)));
            quiet.unwrap_or(true)
        })
    }

    fn notices(&self, check: Check, content: &Content, touch: &Touch<'_>) -> bool {
        // whether a visit still comes to what it should
        let still = |seen: &Seen, holds: &dyn Fn(&Assessment<'_>) -> bool| {
            !touch.reaches(&seen.values, seen.region)
                || carried(&seen.answers, content).is_some_and(|answers| holds(&content.assess(&answers, seen.units)))
        };
        let holds = |held: &Held| still(&held.seen, &|assessment| stands(held, assessment));
        let page_holds = |recorded: &Recorded| {
            let same = |assessment: &Assessment<'_>| page("", assessment) == recorded.text;
            if touch.around {
                let answers = carried(&recorded.seen.answers, content);
                answers.is_some_and(|answers| same(&content.assess(&answers, recorded.seen.units)))
            } else {
                still(&recorded.seen, &same)
            }
        };
        let keeps = |seen: &Seen| still(seen, &|assessment| hold(assessment).broken.is_empty());
        match check {
            Check::Load => false,
            Check::Table => !self.table.iter().all(holds),
            Check::Expected => !self.expected.iter().all(holds),
            Check::Scenario => !self.scenarios.iter().all(page_holds),
            Check::Promise => {
                let table = self.table.iter().map(|held| &held.seen);
                let recorded = self.scenarios.iter().chain(&self.invented).map(|recorded| &recorded.seen);
                !table.chain(recorded).chain(&self.changed).all(keeps)
            }
            Check::Sound => {
                let goes = |answers: &Answers| content.settle(answers).verdict == Verdict::GoAhead;
                let keeps = |seen: &Seen| {
                    !touch.reaches(&seen.values, seen.region)
                        || carried(&seen.answers, content).is_some_and(|answers| goes(&answers))
                };
                !self.sound.iter().all(keeps)
            }
            Check::Record => {
                let same = |r: &Recorded| still(&r.seen, &|assessment| short("", assessment) == r.text);
                !self.invented.iter().chain(&self.records).all(same)
            }
            Check::Prove => !wallfoot::prove::gaps(content).is_empty(),
            Check::Proof => self.prover.as_ref().is_some_and(|prover| prover.finds_more(content)),
        }
    }
}

/// The proof over all answers, held against that of the shipped content.
struct Prover {
    /// The names that texts use.
    named: BTreeSet<String>,
    /// How many faults the shipped content has.
    faults: usize,
}

impl Prover {
    fn new() -> Prover {
        let files = wallfoot::commands::sources(None, None).expect("the built-in files are there");
        let mut content = Content::load(&files, None).expect("the built-in content is sound");
        let named = named_in_texts(&mut content);
        let faults = prove(&content, &named, &mut |_, _| {}).faults.len();
        Prover { named, faults }
    }

    fn finds_more(&self, content: &Content) -> bool {
        prove(content, &self.named, &mut |_, _| {}).faults.len() > self.faults
    }
}

fn units(answers: &Answers) -> Units {
    crate::sound::units(answers)
}

/// In what the shipped content does not come to what the table says.
pub(crate) fn table_faults() -> String {
    let of = |held: Held| {
        let assessment = CONTENT.assess(&held.seen.answers, held.seen.units);
        let faults: Vec<String> =
            faults(&held, &assessment).map(|fault| format!("{fault} in {}\n", held.name)).collect();
        faults.concat()
    };
    table().into_iter().map(of).collect()
}

/// The visits of the table, with what is written there.
fn table() -> Vec<Held> {
    let mut all = Vec::new();
    for row in limit_rows() {
        for side in three(&row) {
            let stands = vec![(format!("limit.{}", row.limit), status_word(side.status).to_owned())];
            let name = format!("{}, {} {}", row.limit, side.place, side.value);
            let on = (side.place == "on").then(|| row.limit.clone());
            let (units, verdict) = (units(&side.answers), Some(side.today));
            all.push(Held { name, seen: Seen::new(side.answers, units), on, verdict, certain: Vec::new(), stands });
        }
    }
    for row in visit_rows() {
        let answers = crate::table_rows::visit(&row);
        let said = verdict(row.today.as_ref().unwrap_or(&row.expect));
        let certain = row.holds.iter().chain(&row.fails).map(|id| (id.clone(), !row.lacks.contains(id))).collect();
        let units = units(&answers);
        let (name, seen) = (name(&row.of, &row.change), Seen::new(answers, units));
        all.push(Held { name, seen, on: None, verdict: Some(said), certain, stands: Vec::new() });
    }
    let mut unread = false;
    let rows = edge_rows();
    // what is wrong with a row is told; the next rows are tried all the same, so that all of it is told at once
    let visits = rows.iter().flat_map(|row| {
        let visits = std::panic::catch_unwind(|| edge_visits(row));
        unread |= visits.is_err();
        visits.unwrap_or_default()
    });
    for visit in visits.collect::<Vec<_>>() {
        let units = units(&visit.answers);
        let seen = Seen::new(visit.answers, units);
        all.push(Held { name: visit.name, seen, on: None, verdict: None, certain: Vec::new(), stands: visit.stands });
    }
    assert!(!unread, "rows of the table that mean no visit stand above");
    all
}

fn status_word(status: wallfoot::wall::Status) -> &'static str {
    wallfoot::content::LIMIT_STATES[status as usize]
}

/// Whether a visit comes to what is written of it.
fn stands(held: &Held, assessment: &Assessment<'_>) -> bool {
    faults(held, assessment).next().is_none()
}

/// In what a visit comes to something else than what is written of it.
fn faults<'h>(held: &'h Held, assessment: &'h Assessment<'_>) -> impl Iterator<Item = String> + 'h {
    let content = assessment.content;
    let finding = |id: &str| {
        let at = content.findings.iter().position(|f| f.id == id);
        at.is_some_and(|at| assessment.findings[at] == Truth::Yes)
    };
    let missed = |id: &str| {
        let at = content.limits.iter().position(|l| l.id == id);
        at.is_some_and(|at| assessment.clearances[at].breaks() == Truth::Yes)
    };
    let said = assessment.settled.verdict;
    let verdict = held.verdict.filter(|right| *right != said);
    let verdict = verdict.map(|right| format!("{} expected, {} said", right.word(), said.word()));
    let certain = held.certain.iter().filter(move |(id, certain)| (finding(id) || missed(id)) != *certain);
    let certain = certain.map(|(id, certain)| format!("{id}: certain {certain} expected"));
    let stands = held.stands.iter().filter_map(|(rule, right)| {
        let holds = crate::table_rows::stands(assessment, rule, right);
        (!holds).then(|| format!("{rule}: {right} expected, {:?} said", state(assessment, rule)))
    });
    let on = held.on.iter().filter(|limit| short_by(assessment, limit) != Some(0));
    let on = on.map(|limit| format!("{limit}: not on its figure, but {:?}", short_by(assessment, limit)));
    verdict.into_iter().chain(certain).chain(stands).chain(on)
}

/// The invented visits.
fn invented() -> Vec<(Answers, Units)> {
    let entries = std::fs::read_dir(top().join("tests/visits")).expect("the visits are there");
    let mut files: Vec<_> = entries.map(|entry| entry.expect("readable").path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "yaml"));
    files.sort();
    let read = |path: &std::path::PathBuf| {
        let (_, answers, units) = visit(path);
        (answers, units)
    };
    files.iter().map(read).collect()
}

/// Sound visits that differ in their answers: every country, wall, work and stage, with roomy and with ordinary heights.
fn sound() -> Vec<Answers> {
    let mut all = BTreeMap::new();
    for region in ids("region") {
        for (cladding, carrier) in walls() {
            for feature in ids("feature") {
                for stage in ["planned", "built"] {
                    for heights in [Heights::Roomy, Heights::Ordinary] {
                        let answers = sound_with(heights, region, cladding, carrier, feature, stage);
                        let mut key = String::new();
                        answers.iter().for_each(|(at, answer)| write!(key, "{at}{answer:?}").unwrap());
                        all.insert(key, answers);
                    }
                }
            }
        }
    }
    all.into_values().collect()
}

/// The answers to the questions of other content: the same if it has the same questions and choices; nothing if an answer does
/// not fit there.
fn carried<'a>(answers: &'a Answers, content: &Content) -> Option<std::borrow::Cow<'a, Answers>> {
    let (from, to) = (&CONTENT.flow, &content.flow);
    if same_questions(from, to) {
        return Some(std::borrow::Cow::Borrowed(answers));
    }
    let mut carried = Answers::default();
    for (at, answer) in answers.iter() {
        let question = &from.questions[at];
        let there = to.question(&question.id)?;
        let place = |choice: usize| {
            let id = &question.choices.get(choice)?.id;
            to.questions[there].choices.iter().position(|c| c.id == *id)
        };
        let answer = match answer {
            Answer::Choice(choice) => Answer::Choice(place(*choice)?),
            Answer::Several(bits) if question.kind == QuestionKind::SeveralOf => {
                let marked = (0..question.choices.len()).filter(|choice| bits & (1 << choice) != 0);
                let places: Option<Vec<usize>> = marked.map(place).collect();
                Answer::Several(places?.into_iter().fold(0, |bits, at| bits | 1 << at))
            }
            other => other.clone(),
        };
        carried.set(there, answer);
    }
    Some(std::borrow::Cow::Owned(carried))
}

fn same_questions(a: &Flow, b: &Flow) -> bool {
    a.questions.len() == b.questions.len()
        && a.questions.iter().zip(&b.questions).all(|(a, b)| {
            a.id == b.id
                && a.choices.len() == b.choices.len()
                && a.choices.iter().zip(&b.choices).all(|(a, b)| a.id == b.id)
        })
}
