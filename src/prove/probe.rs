//! The facts of a visit and nothing else: what numbers are fitted by. No rule is looked at, and no question that the computation
//! does not read, so that it costs the same however much content there is.

use crate::content::Content;
use crate::flow::{Answer, Answers, State, Truth, Value};
use crate::names::{Named, QuestionId};
use crate::site::{Figures, Site};

/// Computes facts alone. For the questions that it reads it is what [`Content::judge`] says, which a test holds.
#[derive(Debug)]
pub(super) struct FactProbe<'c> {
    content: &'c Content,
    /// The questions that the computation reads, and those that decide whether they are shown, in their order.
    questions: Vec<usize>,
    /// By region; the last one where none is known.
    figures: Vec<Figures<'c>>,
}

impl<'c> FactProbe<'c> {
    pub(super) fn new(content: &'c Content) -> FactProbe<'c> {
        let mut wanted = vec![false; content.flow.questions.len()];
        let mut todo: Vec<usize> = QuestionId::ALL.iter().map(|id| content.catalog.names.at(*id)).collect();
        while let Some(question) = todo.pop() {
            if !std::mem::replace(&mut wanted[question], true) {
                todo.extend(content.flow.questions[question].visible.reads().map(usize::from));
            }
        }
        let regions = content.flow.questions[content.catalog.names.at(QuestionId::Region)].choices.len();
        let figures = (0..regions).map(Some).chain([None]).map(|region| content.figures(region)).collect();
        let questions = wanted.iter().enumerate().filter(|(_, wanted)| **wanted).map(|(at, _)| at).collect();
        FactProbe { content, questions, figures }
    }

    /// What the computation sees of a visit, and its facts in the order of [`crate::site::FACTS`].
    pub(super) fn facts(&self, answers: &Answers) -> (Site, Vec<Value>) {
        let questions = &self.content.flow.questions;
        let mut state = State { shown: vec![Truth::No; questions.len()], values: vec![Value::Absent; questions.len()] };
        for at in &self.questions {
            let shown = questions[*at].visible.eval(&state.values);
            state.shown[*at] = shown;
            state.values[*at] = match shown {
                Truth::Yes => answers.get(*at).map_or(Value::Unknown, Answer::value),
                Truth::No => Value::Absent,
                Truth::Unknown => Value::Unknown,
            };
        }
        let mut site = Site::read(&self.content.catalog, answers, &state);
        let region = self.content.region(answers);
        let figures = region.and_then(|region| self.figures.get(region)).or(self.figures.last());
        let values = figures.map(|figures| site.facts(*figures)).unwrap_or_default();
        (site, values)
    }
}
