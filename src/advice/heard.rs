//! What contractors said to the questions, and who owns each task at the joint.

use super::assess::Assessment;
use super::document::{Block, Check, Document, Point};
use super::joint_rows::JointTask;
use super::rows::{Ask, Who};
use super::sheets::Cover;
use std::collections::BTreeMap;

/// What a visit holds besides its answers.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Notes {
    /// By contractor, and by the id of the question, the points that were heard: `good.1`, `weak.2`.
    pub contractors: BTreeMap<String, BTreeMap<String, Vec<String>>>,
    /// By task at the joint, who owns it; an empty list is nobody.
    pub owners: BTreeMap<String, Vec<Who>>,
}

/// How good an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Everything that a good answer contains, and nothing weak.
    Good,
    /// A part of it, and nothing weak.
    Partly,
    /// Something that is not good enough, or nothing of a good answer.
    Weak,
    /// Not asked yet.
    Open,
}

impl Mark {
    /// The word in JSON and in word keys.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Mark::Good => "good",
            Mark::Partly => "partly",
            Mark::Weak => "weak",
            Mark::Open => "open",
        }
    }

    /// Marks the points that were heard.
    #[must_use]
    pub fn of(ask: &Ask, points: Option<&Vec<String>>) -> Mark {
        let Some(points) = points else { return Mark::Open };
        let heard = |kind: &str, count: usize| (1..=count).filter(|n| points.contains(&format!("{kind}.{n}"))).count();
        let good = heard("good", ask.good.len());
        if heard("weak", ask.weak.len()) > 0 || good == 0 {
            Mark::Weak
        } else if good == ask.good.len() {
            Mark::Good
        } else {
            Mark::Partly
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
    pub fn marks(&self, contractor: &str) -> Vec<(&'c Ask, Mark)> {
        let heard = self.notes.contractors.get(contractor);
        self.asks().map(|ask| (ask, Mark::of(ask, heard.and_then(|h| h.get(&ask.id))))).collect()
    }

    /// Where a contractor stands.
    #[must_use]
    pub fn standing(&self, contractor: &str) -> Standing {
        let marks = self.marks(contractor);
        let decisive = || marks.iter().filter(|(ask, _)| ask.weight >= DECIDES);
        if marks.iter().any(|(ask, mark)| ask.joint && *mark == Mark::Weak) {
            Standing::SecondTrade
        } else if decisive().any(|(_, mark)| matches!(mark, Mark::Weak | Mark::Partly)) {
            Standing::NotEnough
        } else if decisive().any(|(_, mark)| *mark == Mark::Open) {
            Standing::NotAllAsked
        } else {
            Standing::Enough
        }
    }

    pub(super) fn heard_block(&self, blocks: &mut Vec<Block>) {
        let names: Vec<&String> = self.notes.contractors.keys().collect();
        if names.is_empty() {
            return;
        }
        blocks.push(self.heading("heading.heard"));
        let mut head = vec![self.word("table.question")];
        head.extend(names.iter().map(|n| (*n).clone()));
        let marks: Vec<Vec<(&Ask, Mark)>> = names.iter().map(|n| self.marks(n)).collect();
        let rows = (0..marks[0].len())
            .map(|i| {
                let mut row = vec![self.fill(&marks[0][i].0.ask)];
                row.extend(marks.iter().map(|m| self.word(&format!("mark.{}", m[i].1.word()))));
                row
            })
            .collect();
        blocks.push(Block::Table { head, rows });
        for (name, marks) in names.iter().zip(&marks) {
            let key = match self.standing(name) {
                Standing::Enough => "heard.enough",
                Standing::NotAllAsked => "heard.not_all_asked",
                Standing::NotEnough => "heard.not_enough",
                Standing::SecondTrade => "heard.second_trade",
            };
            blocks.push(Block::Paragraph(self.word_with(key, &[("name", name)])));
            let again = |(ask, mark): &(&Ask, Mark)| {
                let weak = matches!(mark, Mark::Weak | Mark::Partly) && !ask.follow_up.is_empty();
                weak.then(|| Point {
                    text: self.fill(&ask.ask),
                    lines: vec![self.word_with("heard.ask_again", &[("text", &self.fill(&ask.follow_up))])],
                })
            };
            let list: Vec<Point> = marks.iter().filter_map(again).collect();
            if !list.is_empty() {
                blocks.push(Block::Numbered(list));
            }
        }
    }

    /// The tasks at the joint that this visit calls for, in working order, with their owners.
    #[must_use]
    pub fn joint_tasks(&self) -> Vec<(&'c JointTask, Owned)> {
        let tasks = self.content.joint_tasks.iter().filter(|t| t.when.eval(&self.values).is_yes());
        tasks.map(|task| (task, self.owner(task))).collect()
    }

    fn owner(&self, task: &JointTask) -> Owned {
        match self.notes.owners.get(&task.id).map(Vec::as_slice) {
            Some([]) => Owned::Nobody,
            Some([one]) => Owned::By(*one),
            Some(more) => Owned::Several(more.to_vec()),
            // what the interview asked says it already
            None => match task.from.as_deref() {
                Some(question) if self.says(question, &["crew"]) => Owned::By(Who::Hardscape),
                Some(question) if self.says(question, &["exterior"]) => Owned::By(Who::Exterior),
                Some(question) if self.says(question, &["nobody"]) => Owned::Nobody,
                _ => Owned::NotAgreed,
            },
        }
    }

    /// Tasks that nobody owns, or two: high in the list, since that is how walls get wet.
    pub(super) fn owners_block(&self, blocks: &mut Vec<Block>) {
        let tasks = self.joint_tasks();
        let names = |found: &dyn Fn(&Owned) -> bool| -> Vec<String> {
            tasks.iter().filter(|(_, owned)| found(owned)).map(|(task, _)| self.fill(&task.what)).collect()
        };
        let nobody = names(&|o| *o == Owned::Nobody);
        let several = names(&|o| matches!(o, Owned::Several(_)));
        let open = names(&|o| *o == Owned::NotAgreed);
        let mut finding = |title: &str, say: &str, list: &[String]| {
            if !list.is_empty() {
                blocks.push(Block::Finding {
                    mark: self.word("label.owner"),
                    title: self.word(title),
                    body: vec![format!("{}.", list.join("; ")), self.word(say)],
                    source: String::new(),
                });
            }
        };
        finding("owner.nobody", "owner.nobody.say", &nobody);
        finding("owner.several", "owner.several.say", &several);
        if !self.notes.owners.is_empty() {
            finding("owner.open", "owner.open.say", &open);
        }
    }

    /// One page to sign off at the hold points: a checklist, no legal text.
    #[must_use]
    pub fn agreement(&self, cover: &Cover) -> Document {
        let mut blocks = vec![Block::Paragraph(self.word("text.agreement"))];
        self.height_to_build(&mut blocks);
        let blank = self.word("label.blank_short");
        let checks = self.joint_tasks().into_iter().map(|(task, owned)| {
            let who = match owned {
                Owned::By(who) => self.word(&format!("who.{}", who.word())),
                Owned::Several(list) => {
                    list.iter().map(|w| self.word(&format!("who.{}", w.word()))).collect::<Vec<_>>().join(" / ")
                }
                Owned::Nobody | Owned::NotAgreed => blank.clone(),
            };
            Check { who, text: self.fill(&task.what), because: self.fill(&task.check), hold: task.hold }
        });
        blocks.push(self.heading("heading.agreement"));
        blocks.push(Block::Checks(checks.collect()));
        for key in ["blank.sign_homeowner", "blank.sign_hardscape", "blank.sign_exterior"] {
            blocks.push(Block::Blank(self.word(key)));
        }
        Document {
            title: self.word("sheet.agreement"),
            about: self.about(cover),
            lang: cover.lang.clone(),
            compact: true,
            blocks,
            foot: self.word("foot.agreement"),
        }
    }

    /// The photographs to take, and from where.
    #[must_use]
    pub fn photos(&self) -> Block {
        let rows = self.content.photos.iter().filter(|p| p.when.eval(&self.values).is_yes()).map(|p| Check {
            who: String::new(),
            text: self.fill(&p.what),
            because: self.fill(&p.from),
            hold: false,
        });
        Block::Checks(rows.collect())
    }
}
