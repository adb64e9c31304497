//! Answers and what hangs on them, in words.

use crate::content::Verdict;
use crate::flow::{Answer, Question, Spoken};
use crate::judge::{Assessment, Decisive, Given, number_answer};

impl Assessment<'_> {
    /// How questions speak of things on this wall.
    #[must_use]
    pub fn spoken(&self) -> Spoken {
        self.content.flow.spoken_by(&self.values, self.answers, self.units)
    }

    /// The name of a question in lists and tables.
    #[must_use]
    pub fn short(&self, question: usize) -> String {
        self.spoken().short(&self.content.flow.questions[question])
    }

    /// What hangs on a question, in words: the verdict for each stretch of answers.
    #[must_use]
    pub fn outcomes_in_words(&self, decisive: &Decisive) -> String {
        let question = &self.content.flow.questions[decisive.asked];
        let verdict = |v: Verdict| self.content.word(&format!("verdict.{}", v.word())).to_owned();
        let at_end = decisive.outcomes.len().saturating_sub(1);
        let parts = decisive.outcomes.iter().enumerate().map(|(i, outcome)| {
            let said = verdict(outcome.verdict);
            match &outcome.given {
                Given::Answers(list) => {
                    let shown: Vec<String> = list.iter().map(|a| self.shown_answer(question, a)).collect();
                    // of many marks the short ones say enough
                    let few =
                        if shown.len() > 4 { format!("{}; ...", shown[..4].join("; ")) } else { shown.join("; ") };
                    self.word_with("outcome.answers", &[("answers", &few), ("verdict", &said)])
                }
                Given::Range(from, to) => {
                    let (from, to) = (self.shown_number(question, *from), self.shown_number(question, *to));
                    let key = match (i == 0, i == at_end) {
                        (true, true) => "outcome.any",
                        (true, false) => "outcome.up_to",
                        (false, true) => "outcome.from",
                        (false, false) => "outcome.between",
                    };
                    self.word_with(key, &[("from", &from), ("to", &to), ("verdict", &said)])
                }
            }
        });
        let text = parts.collect::<Vec<_>>().join(" ");
        match decisive.with {
            None if decisive.asked != decisive.question => {
                self.word_with("outcome.then", &[("asked", &self.short(decisive.asked)), ("outcomes", &text)])
            }
            None => text,
            Some(other) => {
                let name = self.short(other);
                self.word_with("outcome.only_with", &[("other", &name), ("outcomes", &text)])
            }
        }
    }

    pub(crate) fn shown_answer(&self, question: &Question, answer: &Answer) -> String {
        match answer {
            Answer::YesNo(yes) => self.content.word(if *yes { "label.yes" } else { "label.no" }).to_owned(),
            Answer::Several(0) => self.content.word("label.none_of_these").to_owned(),
            _ => question.show_answer(answer, self.units).unwrap_or_default(),
        }
    }

    pub(crate) fn shown_number(&self, question: &Question, n: i64) -> String {
        question.show_answer(&number_answer(question.kind, n), self.units).unwrap_or_default()
    }
}

impl Assessment<'_> {
    pub(crate) fn name_and_answer(&self, question: usize, answer: &Answer) -> String {
        let asked = &self.content.flow.questions[question];
        self.word_with("why.to", &[("name", &self.short(question)), ("answer", &self.shown_answer(asked, answer))])
    }
}
