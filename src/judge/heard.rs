//! What contractors said to the questions, and who owns each task at the joint.

use super::model::Assessment;
use crate::content::{Ask, JointTask, Who};
use crate::names::{ClosesCladding, CutsCladding, QuestionId};

/// How good an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Everything that a good answer contains, and nothing weak.
    Good,
    /// A part of it, and nothing weak.
    Partly,
    /// Something that is not good enough, or nothing of a good answer.
    Weak,
    /// Not asked yet.
    Open,
}

impl Grade {
    /// The word in JSON and in word keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Grade::Good => "good",
            Grade::Partly => "partly",
            Grade::Weak => "weak",
            Grade::Open => "open",
        }
    }

    /// Marks the points that were heard.
    #[must_use]
    pub fn of(ask: &Ask, points: Option<&Vec<String>>) -> Grade {
        let Some(points) = points else { return Grade::Open };
        let heard = |kind: &str, count: usize| (1..=count).filter(|n| points.contains(&format!("{kind}.{n}"))).count();
        let good = heard("good", ask.good.len());
        if heard("weak", ask.weak.len()) > 0 || good == 0 {
            Grade::Weak
        } else if good == ask.good.len() {
            Grade::Good
        } else {
            Grade::Partly
        }
    }
}

/// Whether the answers of a contractor are good enough to go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// All questions that weigh most have good answers.
    Enough,
    /// Some of them were not asked yet; none was weak.
    NotAllAsked,
    /// Some of them have no good answer.
    NotEnough,
    /// A weak answer about the wall itself: a second trade has to see to the waterproofing.
    SecondTrade,
}

/// Who owns a task at the joint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Owned {
    /// Nothing was said.
    NotAgreed,
    /// Nobody.
    Nobody,
    /// One.
    By(Who),
    /// More than one.
    Several(Vec<Who>),
}

/// The weight of questions that decide.
const DECIDES: i64 = 3;

impl<'c> Assessment<'c> {
    /// The marks of a contractor, for each question that is asked in this visit.
    #[must_use]
    pub fn marks(&self, contractor: &str) -> Vec<(&'c Ask, Grade)> {
        let heard = self.notes.contractors.get(contractor);
        self.asks().map(|ask| (ask, Grade::of(ask, heard.and_then(|h| h.get(ask.id.as_str()))))).collect()
    }

    /// Of how many questions something was heard, and how many there are.
    #[must_use]
    pub fn heard_so_far(&self, contractor: &str) -> (usize, usize) {
        let marks = self.marks(contractor);
        (marks.iter().filter(|(_, mark)| *mark != Grade::Open).count(), marks.len())
    }

    /// Whether every question that weighs most was asked, so that a contractor can be judged at all. Of whom nothing is asked, because it
    /// is not known what is planned, nobody can say anything.
    #[must_use]
    pub fn can_be_judged(&self, contractor: &str) -> bool {
        let marks = self.marks(contractor);
        !marks.is_empty() && marks.iter().all(|(ask, mark)| ask.weight < DECIDES || *mark != Grade::Open)
    }

    /// Where a contractor stands.
    #[must_use]
    pub fn standing(&self, contractor: &str) -> Standing {
        let marks = self.marks(contractor);
        let decisive = || marks.iter().filter(|(ask, _)| ask.weight >= DECIDES);
        if marks.iter().any(|(ask, mark)| ask.joint && *mark == Grade::Weak) {
            Standing::SecondTrade
        } else if decisive().any(|(_, mark)| matches!(mark, Grade::Weak | Grade::Partly)) {
            Standing::NotEnough
        } else if marks.is_empty() || decisive().any(|(_, mark)| *mark == Grade::Open) {
            Standing::NotAllAsked
        } else {
            Standing::Enough
        }
    }

    /// The tasks at the joint that this visit calls for, in working order, with their owners.
    #[must_use]
    pub fn joint_tasks(&self) -> Vec<(&'c JointTask, Owned)> {
        let tasks = self.content.joint_tasks.iter().filter(|t| t.when.eval(&self.values).is_yes());
        tasks.map(|task| (task, self.owner(task))).collect()
    }

    fn owner(&self, task: &JointTask) -> Owned {
        match self.notes.owners.get(task.id.as_str()).map(Vec::as_slice) {
            Some([]) => Owned::Nobody,
            Some([one]) => Owned::By(*one),
            Some(more) => Owned::Several(more.to_vec()),
            // what the interview asked says it already
            None => {
                let (crew, exterior, nobody) = match task.from {
                    Some(QuestionId::CutsCladding) => {
                        let said = self.said();
                        (
                            said == Some(CutsCladding::Crew),
                            said == Some(CutsCladding::Exterior),
                            said == Some(CutsCladding::Nobody),
                        )
                    }
                    Some(QuestionId::ClosesCladding) => {
                        let said = self.said();
                        (
                            said == Some(ClosesCladding::Crew),
                            said == Some(ClosesCladding::Exterior),
                            said == Some(ClosesCladding::Nobody),
                        )
                    }
                    Some(_) | None => (false, false, false),
                };
                match () {
                    () if crew => Owned::By(Who::Hardscape),
                    () if exterior => Owned::By(Who::Exterior),
                    () if nobody => Owned::Nobody,
                    () => Owned::NotAgreed,
                }
            }
        }
    }
}
