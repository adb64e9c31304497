//! What is on the one screen of the answer: the figure that matters, why, and what to do first.

use super::number::{Number, length};
use crate::judge::{Assessment, Headline};
use serde::Serialize;

/// How many characters a step may take here: all of it.
const WHOLE: usize = usize::MAX;

/// The answer in short.
#[derive(Debug, Serialize)]
pub(crate) struct AnswerJson {
    figure: Option<FigureJson>,
    why: Option<String>,
    first: Vec<String>,
    dangers: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FigureJson {
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
            let bare = FigureJson {
                kind: "",
                text: self.headline_in_words(headline),
                highest_below_mark: None,
                lower_by: None,
                limit: None,
                question: None,
            };
            match headline {
                Headline::Lower { below, lower, .. } => FigureJson {
                    kind: "lower",
                    highest_below_mark: below.map(length),
                    lower_by: Some(length(*lower)),
                    ..bare
                },
                Headline::Keep { below } => {
                    FigureJson { kind: "keep", highest_below_mark: Some(length(*below)), ..bare }
                }
                Headline::Limit(limit, _) => FigureJson { kind: "limit", limit: Some(limit.id.clone()), ..bare },
                Headline::FindOut { question, .. } => {
                    let question = self.content.flow.questions[*question].id.clone();
                    FigureJson { kind: "find_out", question: Some(question), ..bare }
                }
                Headline::LookInto(_) => FigureJson { kind: "look_into", ..bare },
                Headline::Exit(_) => FigureJson { kind: "exit", ..bare },
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
