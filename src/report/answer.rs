//! What is on the one screen of the answer: the figure that matters, why, and what to do first.

use super::number::{Number, length};
use crate::judge::{Assessment, Headline};
use serde::Serialize;

/// How many characters a step may take here: all of it.
const WHOLE: usize = usize::MAX;

/// The answer in short.
#[derive(Debug, Serialize)]
pub(crate) struct AnswerJson {
    figure: Option<HeadlineJson>,
    why: Option<String>,
    first: Vec<String>,
    dangers: Vec<String>,
}

#[derive(Debug, Serialize)]
struct HeadlineJson {
    kind: &'static str,
    text: String,
    highest_below_mark: Option<Number>,
    lower_by: Option<Number>,
    limit: Option<String>,
    question: Option<String>,
}

impl Assessment<'_> {
    pub(crate) fn answer_json(&self) -> AnswerJson {
        let headline = self.headline();
        let figure = headline.as_ref().map(|headline| {
            let bare = HeadlineJson {
                kind: "",
                text: self.headline_in_words(headline),
                highest_below_mark: None,
                lower_by: None,
                limit: None,
                question: None,
            };
            match headline {
                Headline::Lower { below, lower, .. } => HeadlineJson {
                    kind: "lower",
                    highest_below_mark: below.map(length),
                    lower_by: Some(length(*lower)),
                    ..bare
                },
                Headline::Keep { below } => {
                    HeadlineJson { kind: "keep", highest_below_mark: Some(length(*below)), ..bare }
                }
                Headline::Limit(limit, _) => HeadlineJson { kind: "limit", limit: Some(limit.id.to_string()), ..bare },
                Headline::FindOut { question, .. } => {
                    let question = self.content.flow.questions[*question].id.to_string();
                    HeadlineJson { kind: "find_out", question: Some(question), ..bare }
                }
                Headline::LookInto(_) => HeadlineJson { kind: "look_into", ..bare },
                Headline::Exit(_) => HeadlineJson { kind: "exit", ..bare },
            }
        });
        AnswerJson {
            figure,
            why: self.why_in_words(headline.as_ref()),
            first: self.first_steps().iter().map(|step| self.step_in_words(step, WHOLE)).collect(),
            dangers: self.endangers().iter().map(|step| self.danger_title(step)).collect(),
        }
    }
}
