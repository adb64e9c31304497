//! Sets of questions, as bits; and of the other answers to them that count.

use super::samples::representatives;
use crate::content::Content;
use crate::flow::{Answer, QuestionKind, Value};

/// A set of questions. Where there are more than 256, some share a bit: then the set may hold more than was put into it, and
/// whoever asks what something can hang on is never told too little.
///
/// Of questions with a few choices it also holds which other answers are meant ([`Offers`]).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub(crate) struct Questions {
    questions: [u64; 4],
    values: [u64; 4],
}

impl Questions {
    const BITS: usize = 256;

    /// All of them.
    pub(crate) fn all() -> Questions {
        Questions { questions: [u64::MAX; 4], values: [u64::MAX; 4] }
    }

    /// One question.
    pub(crate) fn one(question: usize) -> Questions {
        let mut set = Questions::default();
        set.insert(question);
        set
    }

    pub(crate) fn insert(&mut self, question: usize) {
        let bit = question % Self::BITS;
        self.questions[bit / 64] |= 1 << (bit % 64);
    }

    pub(crate) fn has(self, question: usize) -> bool {
        let bit = question % Self::BITS;
        self.questions[bit / 64] & 1 << (bit % 64) != 0
    }

    /// These and those.
    pub(crate) fn and(self, others: Questions) -> Questions {
        Questions {
            questions: std::array::from_fn(|i| self.questions[i] | others.questions[i]),
            values: std::array::from_fn(|i| self.values[i] | others.values[i]),
        }
    }

    /// Those in both.
    pub(crate) fn both(self, others: Questions) -> Questions {
        Questions {
            questions: std::array::from_fn(|i| self.questions[i] & others.questions[i]),
            values: std::array::from_fn(|i| self.values[i] & others.values[i]),
        }
    }

    /// Whether all of these questions are among those, whichever answers are meant.
    pub(crate) fn are_among(self, others: Questions) -> bool {
        self.questions.iter().zip(others.questions).all(|(these, those)| these & !those == 0)
    }

    pub(crate) fn count(self) -> usize {
        self.questions.iter().map(|bits| bits.count_ones() as usize).sum()
    }

    fn insert_value(&mut self, bit: usize) {
        self.values[bit / 64] |= 1 << (bit % 64);
    }

    fn has_value(self, bit: usize) -> bool {
        self.values[bit / 64] & 1 << (bit % 64) != 0
    }
}

impl FromIterator<usize> for Questions {
    fn from_iter<I: IntoIterator<Item = usize>>(questions: I) -> Questions {
        questions.into_iter().fold(Questions::default(), |set, question| set.and(Questions::one(question)))
    }
}

/// The answers that questions with a few choices may get, each with a bit of its own.
#[derive(Debug, Default)]
pub(crate) struct Offers {
    /// By question: the first bit, and its answers.
    by_question: Vec<Option<(usize, Vec<Answer>)>>,
}

impl Offers {
    /// Those of some questions; of what has no more room, none.
    pub(crate) fn of(content: &Content, questions: impl Iterator<Item = usize>) -> Offers {
        let mut offers = Offers { by_question: vec![None; content.flow.questions.len()] };
        let mut first = 0;
        for question in questions {
            let asked = &content.flow.questions[question];
            let count = representatives(asked).len();
            if matches!(asked.kind, QuestionKind::OneOf | QuestionKind::YesNo) && first + count <= Questions::BITS {
                offers.by_question[question] = Some((first, representatives(asked)));
                first += count;
            }
        }
        offers
    }

    /// A question with those of its answers that are meant: nothing where none is, and with all where it has none of its own.
    pub(crate) fn chosen(&self, question: usize, is_meant: impl Fn(Value) -> bool) -> Questions {
        let Some(Some((first, answers))) = self.by_question.get(question) else { return Questions::one(question) };
        let mut set = Questions::default();
        for (nth, _) in answers.iter().enumerate().filter(|(_, answer)| is_meant(answer.value())) {
            set.insert(question);
            set.insert_value(first + nth);
        }
        set
    }

    /// Whether a question has answers here.
    pub(crate) fn has(&self, question: usize) -> bool {
        self.by_question.get(question).is_some_and(Option::is_some)
    }

    /// The answers to a question that a set means; nothing where it means all.
    pub(crate) fn meant(&self, question: usize, set: Questions) -> Option<Vec<&Answer>> {
        let (first, answers) = self.by_question.get(question)?.as_ref()?;
        let meant = answers.iter().enumerate().filter(|(nth, _)| set.has_value(first + nth));
        let meant: Vec<_> = meant.map(|(_, answer)| answer).collect();
        (meant.len() < answers.len()).then_some(meant)
    }
}
