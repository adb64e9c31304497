//! What came of a proof, as plain data.

use crate::flow::{Answers, Place};

/// What is wrong with a row over all answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FlawKind {
    /// A question that is never asked.
    NeverAsked,
    /// A question that nothing reads.
    NeverRead,
    /// A fact that never holds, or always does.
    OneSided,
    /// A limit that no visit can miss.
    NeverMissed,
    /// A limit that no visit can meet.
    NeverMet,
    /// A finding that never holds.
    NeverFires,
    /// A finding that is said to wait for other rows, and holds with these.
    FiresThough,
    /// A row that is never called for.
    NeverUsed,
    /// A work that no row rests on.
    NeverCited,
    /// A promise that is never owed.
    NeverOwed,
    /// A verdict that is never given.
    NeverGiven,
    /// A visit with no verdict, or with two.
    NotOneVerdict,
    /// A promise that is broken.
    Broken,
    /// "Find out first" with nothing that leads out of it.
    NoWayOut,
    /// A visit that is judged worse with more room.
    WorseWithRoom,
    /// What was called certain did not stay.
    NotCertain,
    /// An answer to a hidden question matters.
    HiddenMatters,
    /// A question that was not listed as open changes the verdict.
    NotListed,
    /// Not being sure of an answer is judged milder than the answer, and nothing is to be found out.
    MilderUnsure,
}

impl FlawKind {
    /// All of them with their words in JSON.
    pub const ALL: [(&'static str, FlawKind); 19] = [
        ("never_asked", FlawKind::NeverAsked),
        ("never_read", FlawKind::NeverRead),
        ("one_sided", FlawKind::OneSided),
        ("never_missed", FlawKind::NeverMissed),
        ("never_met", FlawKind::NeverMet),
        ("never_fires", FlawKind::NeverFires),
        ("fires_though", FlawKind::FiresThough),
        ("never_used", FlawKind::NeverUsed),
        ("never_cited", FlawKind::NeverCited),
        ("never_owed", FlawKind::NeverOwed),
        ("never_given", FlawKind::NeverGiven),
        ("not_one_verdict", FlawKind::NotOneVerdict),
        ("broken", FlawKind::Broken),
        ("no_way_out", FlawKind::NoWayOut),
        ("worse_with_room", FlawKind::WorseWithRoom),
        ("not_certain", FlawKind::NotCertain),
        ("hidden_matters", FlawKind::HiddenMatters),
        ("not_listed", FlawKind::NotListed),
        ("milder_unsure", FlawKind::MilderUnsure),
    ];

    /// Its word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        FlawKind::ALL.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }
}

/// Something that is wrong with the content over all answers.
#[derive(Debug, Clone)]
pub struct Flaw {
    /// What.
    pub kind: FlawKind,
    /// The kind of row that it is about: `finding`.
    pub row: &'static str,
    /// Its id.
    pub id: String,
    /// Where it stands.
    pub place: Place,
    /// A sentence.
    pub message: String,
    /// The conditions that stand against each other, as their author wrote them; empty where a visit shows it.
    pub against: Vec<String>,
    /// The shortest visit found that shows it.
    pub visit: Option<Answers>,
    /// A second one to hold against it.
    pub beside: Option<Answers>,
}

/// What was proved, and what was not.
#[derive(Debug, Clone, Default)]
pub struct Proof {
    /// What is wrong, in the order of the claims.
    pub faults: Vec<Flaw>,
    /// Claims that nobody could settle: no visit shows them to be wrong, or right, and it is not proved that none does.
    pub unsettled: Vec<Flaw>,
    /// Claims that a visit shows to hold.
    pub shown: usize,
    /// Claims that hold over all answers.
    pub proved: usize,
    /// Claims that were tried on many visits, since no formula can say them.
    pub tried: usize,
    /// How many visits were judged.
    pub visits: u64,
    /// Of the formula: statements and clauses, and how often it was asked.
    pub size: (u32, u64, u64),
    /// The ways in which all questions can be answered, as a power of ten: numbers counted by the stretches that rules tell apart.
    pub ways: f64,
}
