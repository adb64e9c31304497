//! Sets of questions, as bits.

/// A set of questions. Where there are more than 256, some share a bit: then the set may hold more than was put into it, and
/// whoever asks what something can hang on is never told too little.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub(crate) struct Questions([u64; 4]);

impl Questions {
    const BITS: usize = 256;

    /// One question.
    pub(crate) fn one(question: usize) -> Questions {
        let mut set = Questions::default();
        set.insert(question);
        set
    }

    pub(crate) fn insert(&mut self, question: usize) {
        let bit = question % Self::BITS;
        self.0[bit / 64] |= 1 << (bit % 64);
    }

    pub(crate) fn has(self, question: usize) -> bool {
        let bit = question % Self::BITS;
        self.0[bit / 64] & 1 << (bit % 64) != 0
    }

    /// These and those.
    pub(crate) fn and(self, others: Questions) -> Questions {
        Questions(std::array::from_fn(|i| self.0[i] | others.0[i]))
    }

    /// Those in both.
    pub(crate) fn both(self, others: Questions) -> Questions {
        Questions(std::array::from_fn(|i| self.0[i] & others.0[i]))
    }

    pub(crate) fn count(self) -> usize {
        self.0.iter().map(|bits| bits.count_ones() as usize).sum()
    }
}

impl FromIterator<usize> for Questions {
    fn from_iter<I: IntoIterator<Item = usize>>(questions: I) -> Questions {
        questions.into_iter().fold(Questions::default(), |set, question| set.and(Questions::one(question)))
    }
}
