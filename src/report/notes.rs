//! Why, what contractors said and who owns what, in the report for machines.

use crate::content::Rule;
use crate::judge::{Assessment, Decisive, Given, Nearest, Owned, Standing};
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Debug, Serialize)]
pub(crate) struct WhyJson {
    /// The fewest answers that force what is certain of the verdict.
    forced_by: Vec<String>,
    /// The nearest change of the plan that gives "Go ahead".
    nearest_change: Option<BTreeMap<String, String>>,
    /// Where no change of the plan does it: the rules that stay.
    no_change: Option<NoChangeJson>,
}

/// Limits and findings by id, each with its kind before it: `limit.…`, `finding.…`.
#[derive(Debug, Serialize)]
pub(crate) struct NoChangeJson {
    /// Whether it is known that there is no such change; else none was found.
    certain: bool,
    /// What holds whatever is planned.
    stays: Vec<String>,
    /// What has to be found out, whatever is planned.
    to_find_out: Vec<String>,
    /// What cannot all be met at once.
    together: Vec<String>,
}

#[derive(Debug, Serialize)]
pub(crate) struct OutcomeJson {
    /// The question whose answers these are, if it is not the one to find out.
    asked: Option<String>,
    /// Only once this question is answered too.
    with: Option<String>,
    /// Answers in words, for choices.
    answers: Vec<String>,
    from: Option<String>,
    to: Option<String>,
    verdict: &'static str,
}

#[derive(Debug, Serialize)]
pub(crate) struct ContractorJson {
    standing: &'static str,
    marks: BTreeMap<String, &'static str>,
}

#[derive(Debug, Serialize)]
pub(crate) struct JointTaskJson {
    id: String,
    text: String,
    hold: bool,
    usual: &'static str,
    /// Nothing: not agreed; an empty list: nobody.
    owners: Option<Vec<&'static str>>,
}

impl Assessment<'_> {
    pub(crate) fn why_json(&self) -> WhyJson {
        let flow = &self.content.flow;
        let id = |q: usize| flow.questions[q].id.to_string();
        let rules = |rules: &[Rule]| rules.iter().map(|rule| self.rule_id(*rule)).collect();
        let (nearest_change, no_change) = match self.change_worth_telling() {
            None | Some(Nearest::Nothing) => (None, None),
            Some(Nearest::Change(change)) => {
                let each = |(q, answer): &(usize, crate::flow::Answer)| {
                    (id(*q), self.shown_answer(&flow.questions[*q], answer))
                };
                (Some(change.answers.iter().map(each).collect()), None)
            }
            Some(Nearest::None(remains)) => {
                let (stays, to_find_out) = (rules(&remains.certain), rules(&remains.unknown));
                (None, Some(NoChangeJson { certain: true, stays, to_find_out, together: rules(&remains.together) }))
            }
            Some(Nearest::NotFound) => {
                let none = || Vec::new();
                (None, Some(NoChangeJson { certain: false, stays: none(), to_find_out: none(), together: none() }))
            }
        };
        WhyJson { forced_by: self.forced_by().into_iter().map(id).collect(), nearest_change, no_change }
    }

    fn rule_id(&self, rule: Rule) -> String {
        match rule {
            Rule::Limit(at) => format!("limit.{}", self.content.limits[at].id),
            Rule::Finding(at) => format!("finding.{}", self.content.findings[at].id),
        }
    }

    pub(crate) fn outcomes_json(&self, decisive: &Decisive) -> Vec<OutcomeJson> {
        let flow = &self.content.flow;
        let asked = &flow.questions[decisive.asked];
        decisive
            .outcomes
            .iter()
            .map(|outcome| {
                let (answers, from, to) = match &outcome.given {
                    Given::Answers(list) => (list.iter().map(|a| self.shown_answer(asked, a)).collect(), None, None),
                    Given::Range(from, to) => {
                        (Vec::new(), Some(self.shown_number(asked, *from)), Some(self.shown_number(asked, *to)))
                    }
                };
                OutcomeJson {
                    asked: (decisive.asked != decisive.question).then(|| asked.id.to_string()),
                    with: decisive.with.map(|q| flow.questions[q].id.to_string()),
                    answers,
                    from,
                    to,
                    verdict: outcome.verdict.word(),
                }
            })
            .collect()
    }

    pub(crate) fn contractors_json(&self) -> BTreeMap<String, ContractorJson> {
        let each = |name: &String| {
            let standing = match self.standing(name) {
                Standing::Enough => "enough",
                Standing::NotAllAsked => "not_all_asked",
                Standing::NotEnough => "not_enough",
                Standing::SecondTrade => "second_trade",
            };
            let marks = self.marks(name).into_iter().map(|(ask, mark)| (ask.id.to_string(), mark.word())).collect();
            (name.clone(), ContractorJson { standing, marks })
        };
        self.notes.contractors.keys().map(each).collect()
    }

    pub(crate) fn joint_json(&self) -> Vec<JointTaskJson> {
        let each = |(task, owned): (&crate::content::JointTask, Owned)| JointTaskJson {
            id: task.id.to_string(),
            text: self.fill(&task.what),
            hold: task.hold,
            usual: task.usual.word(),
            owners: match owned {
                Owned::NotAgreed => None,
                Owned::Nobody => Some(Vec::new()),
                Owned::By(who) => Some(vec![who.word()]),
                Owned::Several(list) => Some(list.into_iter().map(crate::content::Who::word).collect()),
            },
        };
        self.joint_tasks().into_iter().map(each).collect()
    }
}
