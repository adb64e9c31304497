//! What a visit comes to, as plain data, and simple questions to it.

use crate::content::{
    AfterId, Ask, Call, Caution, Content, Finding, Limit, Material, Sheet, Stairs, Task, Verdict, Who,
};
use crate::flow::{Answer, Answers, State, Truth, Value};
use crate::names::{Choices, DefinedId, QuestionId, Shape};
use crate::site::{FactId, Site};
use crate::units::{Length, Units};
use crate::wall::{Sense, Status};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::OnceLock;

/// A verdict, and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settled {
    /// What is said.
    pub verdict: Verdict,
    /// The worst that holds as things are taken to be: what nobody knows is taken as it usually is, on the side on which
    /// water does more harm, and what must be known and is not holds the work up.
    pub held: Verdict,
    /// The worst that is certain: it stays, whatever is found out later.
    pub certain: Verdict,
    /// The worst that the unknowns allow.
    pub possible: Verdict,
}

impl Settled {
    /// The verdict out of all rules that carry one.
    ///
    /// The worst that holds counts. If something is unknown that could stand in the way, and what holds does not already
    /// stop the work, it is [`Verdict::FindOutFirst`]: so that a rule which turns from unknown to certain as there is
    /// less room never makes the verdict milder.
    #[must_use]
    pub fn of(rules: impl Iterator<Item = (Truth, Verdict)>) -> Settled {
        let (mut held, mut possible) = (Verdict::GoAhead, Verdict::GoAhead);
        for (truth, verdict) in rules {
            match truth {
                Truth::Yes => held = held.max(verdict),
                Truth::Unknown => possible = possible.max(verdict),
                Truth::No => {}
            }
        }
        let verdict = if possible > Verdict::GoAhead { held.max(Verdict::FindOutFirst) } else { held };
        Settled { verdict, held, certain: held, possible: possible.max(held) }
    }

    /// Whether a rule that is not decided keeps the verdict from being final.
    #[must_use]
    pub(crate) fn hangs_on(self, worst: Verdict) -> bool {
        worst > self.held || self.held <= Verdict::ChangePlan && worst > Verdict::GoAhead
    }
}

/// Everything that follows from the answers of a visit.
#[derive(Debug)]
pub struct Assessment<'c> {
    /// The content it was made with.
    pub content: &'c Content,
    /// The answers.
    pub answers: &'c Answers,
    /// How lengths are shown.
    pub units: Units,
    /// What is shown and what counts.
    pub state: State,
    /// The answers in building terms.
    pub site: Site,
    /// Values of all names.
    pub values: Vec<Value>,
    /// One entry a limit, in content order.
    pub clearances: Vec<Clearance>,
    /// Truth of each finding, in content order.
    pub findings: Vec<Truth>,
    /// The verdict.
    pub settled: Settled,
    /// How far to lower the finish, if there is anything to say about it.
    pub lowering: Option<Lowering>,
    /// What to find out, the most telling first.
    pub open: Vec<OpenPoint>,
    /// Wind-driven rain on this wall, where hours of weather were given.
    pub exposure: Option<Exposure>,
    /// What the visit holds besides its answers.
    pub notes: Notes,
    /// What [`Assessment::lowered_for_room`] found: it judges the visit a few times, and many places ask for it.
    pub lowered_for_room: OnceLock<Lowered>,
    /// What [`Assessment::decisive`] found: it judges the visit many times, and several places of a sheet ask for it.
    pub found_decisive: OnceLock<Vec<Decisive>>,
}

/// What hangs on one question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decisive {
    /// The question.
    pub question: usize,
    /// The question whose answers lead to the outcomes: the same, or one that its answer brings up.
    pub asked: usize,
    /// The verdict for each possible answer; neighbours with the same verdict are one.
    pub outcomes: Vec<Outcome>,
    /// A second question without whose answer this one changes nothing.
    pub with: Option<usize>,
}

/// A verdict, and the answers that lead to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// The answers.
    pub given: Given,
    /// The verdict.
    pub verdict: Verdict,
}

/// A set of possible answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Given {
    /// These choices, or yes and no.
    Answers(Vec<Answer>),
    /// All numbers from the first to the second, both included.
    Range(i64, i64),
}

/// How far the surface has to go down so that every limit which can fail a plan is met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lowered {
    /// Every limit is met as it is, as far as is known.
    NotNeeded,
    /// By so much, a whole step of what is shown: then all are met. It was tried out.
    By(Length),
    /// By so much, and then the step at the door is too high: a landing or steps are needed there. It was tried out.
    ByWithSteps(Length),
    /// Lowering alone does not do it: another limit is in the way, or gets in the way.
    NotEnough,
}

/// An assessment without the answers it was made from.
#[derive(Debug, PartialEq)]
pub(crate) struct Judged {
    pub(crate) state: State,
    pub(crate) site: Rc<Site>,
    pub(crate) values: Vec<Value>,
    pub(crate) clearances: Vec<Clearance>,
    pub(crate) findings: Vec<Truth>,
    pub(crate) settled: Settled,
    pub(crate) lowering: Option<Lowering>,
}

/// A limit held against its measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clearance {
    /// Whether the limit applies.
    pub applies: Truth,
    /// How the measure stands, if it applies.
    pub status: Status,
    /// The middle of the measure.
    pub measured: Option<i64>,
    /// By how much the middle misses; negative is to spare.
    pub short_by: Option<i64>,
    /// Where along the wall, if the height varies.
    pub along: Option<Along>,
    /// Whether too close to call counts as missed: a rule that asks for no more than another plan is kept on the safe
    /// side, so that more room is never judged worse.
    pub close_counts: bool,
}

/// Where along the wall a limit is met least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Along {
    /// Offset of the worst place from the left end.
    pub at: Length,
    /// Length of wall over which the limit is missed.
    pub short_over: Length,
}

impl Clearance {
    /// Of a limit that does not apply.
    pub(super) fn off(limit: &Limit) -> Clearance {
        Clearance {
            applies: Truth::No,
            status: Status::Off,
            measured: None,
            short_by: None,
            along: None,
            close_counts: limit.verdict == Some(Verdict::ChangePlan),
        }
    }

    /// Whether the limit is broken: unknown if it may be.
    #[must_use]
    pub fn breaks(&self) -> Truth {
        let missed = match self.status {
            Status::Fails => Truth::Yes,
            Status::Passes | Status::Off => Truth::No,
            Status::Close => {
                if self.close_counts {
                    Truth::Yes
                } else {
                    Truth::Unknown
                }
            }
            Status::Unknown => Truth::Unknown,
        };
        self.applies.and(missed)
    }
}

/// The middle of a value.
#[must_use]
pub(crate) fn middle(value: Value) -> Option<i64> {
    match value {
        Value::Is(n) => Some(n),
        // a one-sided bound has no middle
        Value::Between(low, high) if low > i64::MIN / 4 && high < i64::MAX / 4 => Some(i64::midpoint(low, high)),
        _ => None,
    }
}

impl<'c> Assessment<'c> {
    /// The findings that hold: what endangers people first, then the gravest first.
    pub fn held(&self) -> impl Iterator<Item = &'c Finding> {
        let mut held: Vec<&Finding> =
            self.content.findings.iter().zip(&self.findings).filter(|(_, t)| t.is_yes()).map(|(f, _)| f).collect();
        held.sort_by_key(|f| std::cmp::Reverse((f.danger, f.verdict)));
        held.into_iter()
    }

    /// The findings that no further answer settles: somebody has to go and look.
    pub fn to_look_into(&self) -> impl Iterator<Item = &'c Finding> {
        let find_out = self.settled.verdict == Verdict::FindOutFirst;
        let listed: Vec<usize> = self.open.iter().flat_map(|p| p.findings.iter().copied()).collect();
        self.content.findings.iter().enumerate().zip(&self.findings).filter_map(move |((i, f), t)| {
            let holds = t.is_yes() || f.guard.is_some() && t.is_possible();
            let counts = find_out && holds && f.verdict == Some(Verdict::FindOutFirst) && !listed.contains(&i);
            counts.then_some(f)
        })
    }

    /// The limits that apply, with their clearances: broken ones first, then close and unknown ones.
    #[must_use]
    pub fn limits(&self) -> Vec<(&'c Limit, Clearance)> {
        let mut list: Vec<(&Limit, Clearance)> = self
            .content
            .limits
            .iter()
            .zip(&self.clearances)
            .filter(|(_, c)| c.applies == Truth::Yes)
            .map(|(l, c)| (l, *c))
            .collect();
        let rank = |c: &Clearance| match c.status {
            Status::Fails => 0,
            Status::Close => 1,
            Status::Unknown => 2,
            _ => 3,
        };
        list.sort_by_key(|(l, c)| (rank(c), l.verdict.is_none()));
        list
    }

    /// The limits that apply and bound a measure in this sense.
    pub fn bounds_on(&self, measure: FactId, sense: Sense) -> impl Iterator<Item = &'c Limit> {
        let slot = self.content.fact_slot(measure);
        let rows = self.content.limits.iter().zip(&self.clearances);
        rows.filter(move |(l, c)| usize::from(l.measure) == slot && l.sense == sense && c.applies == Truth::Yes)
            .map(|(l, _)| l)
    }

    /// The tasks of a sheet, or all.
    pub fn tasks(&self, sheet: Option<Sheet>) -> impl Iterator<Item = &'c Task> {
        let wanted = move |t: &&Task| sheet.is_none_or(|s| t.sheets.contains(&s));
        let mut tasks: Vec<&Task> = self.content.tasks.iter().filter(|t| self.holds(&t.when)).filter(wanted).collect();
        tasks.sort_by_key(|t| t.phase);
        tasks.into_iter()
    }

    /// The questions for the contractor, in the order of their ranks.
    pub fn asks(&self) -> impl Iterator<Item = &'c Ask> {
        self.content.asks.iter().filter(|a| self.holds(&a.when))
    }

    /// The trades to bring in.
    pub fn calls(&self) -> impl Iterator<Item = &'c Call> {
        self.content.calls.iter().filter(|c| self.holds(&c.when))
    }

    /// The dangers of a sheet, or all. One that cannot be ruled out is printed too.
    pub fn cautions(&self, sheet: Option<Sheet>) -> impl Iterator<Item = &'c Caution> {
        let wanted = move |c: &&Caution| sheet.is_none_or(|s| c.sheets.contains(&s));
        self.content.cautions.iter().filter(|c| c.when.eval(&self.values).is_possible()).filter(wanted)
    }

    /// The limits of materials of a sheet, or all.
    pub fn materials(&self, sheet: Option<Sheet>) -> impl Iterator<Item = &'c Material> {
        let wanted = move |m: &&Material| sheet.is_none_or(|s| m.sheets.contains(&s));
        self.content.materials.iter().filter(|m| self.holds(&m.when)).filter(wanted)
    }

    /// Whether advice counts: also where only the tape leaves open on which side of a figure something lies.
    fn holds(&self, when: &crate::flow::Condition) -> bool {
        match when.eval(&self.values) {
            Truth::Yes => true,
            Truth::No => false,
            Truth::Unknown => self.content.only_tape_leaves_open(when, &self.site, &self.values),
        }
    }
}

/// Something to find out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenPoint {
    /// The question.
    pub question: usize,
    /// Whether it has a figure already, which is too close to call: then measure again.
    pub again: bool,
    /// The worst verdict that hangs on it.
    pub worst: Verdict,
    /// The findings that hang on it.
    pub findings: Vec<usize>,
    /// The limits that hang on it.
    pub limits: Vec<usize>,
}

/// The surface brought down until everything passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lowering {
    /// On paper. Zero when nothing fails; never negative.
    pub by: Length,
    /// With the measuring error added; negative: the surface could stand that much higher.
    pub sure: Length,
    /// The limit that governs.
    pub limit: usize,
    /// Depth below the mark of the highest finish that is sure, if the mark is tied to it.
    pub highest: Option<Length>,
    /// The same at the left and the right end, where they differ: between them the surface may slope.
    pub ends: Option<(Length, Length)>,
    /// The step at the door then, if there is a door.
    pub step: Option<Length>,
    /// A limit of the step at the door that this step breaks.
    pub step_breaks: Option<usize>,
    /// Depth below the mark of the lowest finish that keeps the step at the door within its limit.
    pub lowest: Option<Length>,
    /// Whether the exit is among what was counted. If not, it may ask for more.
    pub exit_known: bool,
}

impl<'c> Assessment<'c> {
    /// The value of a computed fact.
    #[must_use]
    pub fn value(&self, id: FactId) -> Value {
        self.values[self.content.fact_slot(id)]
    }

    /// The value of a fact after the limits.
    #[must_use]
    pub fn value_after(&self, id: AfterId) -> Value {
        self.values[self.content.after_slot(id)]
    }

    /// Whether a fact that the content defines certainly holds.
    #[must_use]
    pub fn certainly(&self, id: DefinedId) -> bool {
        self.values[self.content.catalog.names.defined(id)].known() == Some(2)
    }

    /// The answer to a question that is shown.
    #[must_use]
    pub fn answer(&self, id: QuestionId) -> Option<&'c Answer> {
        let number = self.content.catalog.names.at(id);
        (self.state.shown[number] == Truth::Yes).then(|| self.answers.get(number)).flatten()
    }

    /// The length that was answered.
    #[must_use]
    pub fn length_said(&self, id: QuestionId) -> Option<Length> {
        match self.answer(id)? {
            Answer::Length(length) => Some(*length),
            _ => None,
        }
    }

    /// Whether a question was answered with yes.
    #[must_use]
    pub fn yes_said(&self, id: QuestionId) -> bool {
        matches!(self.answer(id), Some(Answer::YesNo(true)))
    }

    /// The place of the choice that was made.
    #[must_use]
    pub fn choice_said(&self, id: QuestionId) -> Option<usize> {
        match self.answer(id)? {
            Answer::Choice(index) => Some(*index),
            _ => None,
        }
    }

    /// What was chosen; nothing also for a choice that the program does not tell apart.
    #[must_use]
    pub fn said<C: Choices>(&self) -> Option<C> {
        self.content.catalog.names.choice(self.choice_said(C::QUESTION)?)
    }

    /// The choices that were marked, as bits of their places.
    #[must_use]
    pub fn marked_bits(&self, id: QuestionId) -> i64 {
        match self.answer(id) {
            Some(Answer::Several(bits)) => *bits,
            _ => 0,
        }
    }

    /// Whether a choice was marked.
    #[must_use]
    pub fn marked<C: Choices>(&self, choice: C) -> bool {
        self.marked_bits(C::QUESTION) & (1 << self.content.catalog.names.place(choice)) != 0
    }

    /// The shape of the work; nothing where it is not known what is built.
    #[must_use]
    pub fn shape(&self) -> Option<Shape> {
        self.site.feature.map(|feature| feature.shape)
    }

    /// The region, by its place among the choices.
    #[must_use]
    pub fn region(&self) -> Option<usize> {
        self.content.region(self.answers)
    }

    /// What the region asks of steps.
    #[must_use]
    pub fn stairs(&self) -> Option<&'c Stairs> {
        let region = self.region()?;
        self.content.stairs.iter().find(|s| s.region == region)
    }
}

/// Rain that wind drives onto the wall, by hours of weather.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposure {
    /// How many hours were counted.
    pub hours: usize,
    /// Which way the wall faces, degrees clockwise from north.
    pub wall_faces: f64,
    /// The airfield index of ISO 15927-3 over all hours, litres a square metre.
    pub index: f64,
    /// The same for one year; nothing for a record that is shorter.
    pub a_year: Option<f64>,
}

/// What a visit holds besides its answers.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Notes {
    /// By contractor, and by the id of the question, the points that were heard: `good.1`, `weak.2`.
    pub contractors: BTreeMap<String, BTreeMap<String, Vec<String>>>,
    /// By task at the joint, who owns it; an empty list is nobody.
    pub owners: BTreeMap<String, Vec<Who>>,
    /// Dated notes, where a sheet is to show them.
    pub log: Vec<LogLine>,
    /// Photographs.
    pub photos: Vec<Photograph>,
}

/// A dated note, as a sheet shows it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LogLine {
    /// The day.
    pub date: String,
    /// The id of what it is about; may be empty.
    pub about: String,
    /// The note.
    pub text: String,
    /// Names of files.
    pub photos: Vec<String>,
}

/// A photograph of a visit.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Photograph {
    /// The day of the note that names it.
    pub date: String,
    /// The id of what it is about; may be empty.
    pub about: String,
    /// The note.
    pub text: String,
    /// The file as the note names it.
    pub file: String,
    /// Where it lies; nothing if it is not there, or not in the folder of the visit.
    pub path: Option<PathBuf>,
    /// Whether it lies outside of that folder.
    pub outside: bool,
}
