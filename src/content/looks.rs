//! What looks at each value, itself or by way of defined facts: what has to be judged anew where the value is another one.

use crate::flow::Bits;
use crate::pack::packed;

/// By value, what looks at it: rows of bits in one block.
#[derive(Debug, Default)]
pub struct Looks {
    pub(super) questions: Table,
    pub(super) defined: Table,
    pub(super) limits: Table,
    pub(super) findings: Table,
    /// Whether layers of the work look at it.
    pub(crate) layers: Bits,
}

packed!(struct Looks { questions, defined, limits, findings, layers });

/// As many rows of bits as there are values.
#[derive(Debug, Default)]
pub(super) struct Table {
    width: usize,
    words: Vec<u64>,
}

packed!(struct Table { width, words });

/// What has to be computed anew.
#[derive(Debug)]
pub(crate) struct Anew {
    pub(crate) questions: Bits,
    pub(crate) defined: Bits,
    pub(crate) limits: Bits,
    pub(crate) findings: Bits,
    pub(crate) layers: bool,
}

impl Table {
    fn of(values: usize, rows: usize) -> Table {
        let width = rows.div_ceil(64);
        Table { width, words: vec![0; values * width] }
    }

    pub(super) fn note(&mut self, value: usize, row: usize) {
        self.words[value * self.width + row / 64] |= 1 << (row % 64);
    }

    fn row(&self, value: usize) -> &[u64] {
        &self.words[value * self.width..][..self.width]
    }
}

impl Looks {
    /// Nothing looks at any of so many values.
    pub(super) fn none(values: usize, rows: [usize; 4]) -> Looks {
        let [questions, defined, limits, findings] = rows.map(|rows| Table::of(values, rows));
        Looks { questions, defined, limits, findings, layers: Bits::none(values) }
    }
}

impl Anew {
    /// Nothing yet.
    pub(crate) fn new(looks: &Looks) -> Self {
        let none = |table: &Table| Bits::none(table.width * 64);
        Anew {
            questions: none(&looks.questions),
            defined: none(&looks.defined),
            limits: none(&looks.limits),
            findings: none(&looks.findings),
            layers: false,
        }
    }

    /// Marks what looks at a value.
    pub(crate) fn mark(&mut self, looks: &Looks, slot: usize) {
        self.questions.add_words(looks.questions.row(slot));
        self.defined.add_words(looks.defined.row(slot));
        self.findings.add_words(looks.findings.row(slot));
        self.layers |= looks.layers.has(slot);
        self.mark_limits(looks, slot);
    }

    pub(crate) fn mark_limits(&mut self, looks: &Looks, slot: usize) {
        self.limits.add_words(looks.limits.row(slot));
    }
}
