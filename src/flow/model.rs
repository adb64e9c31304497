//! What a flow means, once every name in it has been resolved.

use super::called::{BuiltTexts, Wording};
use super::condition::Condition;
use super::place::Place;
use super::vocabulary::Kind;
use crate::pack::{Text, packed};

/// All sections and questions, in the order in which they are asked.
///
/// Invariant: the visibility of a question looks only at questions before it. So one pass in
/// order settles everything, and every interview ends.
#[derive(Debug, Clone, Default)]
pub struct Flow {
    /// Sections in order.
    pub sections: Vec<Section>,
    /// Questions in order; a follow-up stands after its parent.
    pub questions: Vec<Question>,
    /// Names that texts of questions may use.
    pub wordings: Vec<Wording>,
    /// When the work is built, so that questions have their texts for built work.
    pub built_when: Option<Condition>,
    /// The numbers of all questions, in the order of their ids.
    pub(super) by_id: Vec<usize>,
}

packed!(struct Flow { sections, questions, wordings, built_when, by_id });

/// A part of the interview.
#[derive(Debug, Clone)]
pub struct Section {
    /// Its id.
    pub id: Text,
    /// Its title as shown.
    pub title: Text,
    /// A sentence shown when the section starts.
    pub intro: Option<Text>,
    /// A small drawing in characters, shown with it where there is room for drawings.
    pub sketch: Option<Text>,
}

packed!(struct Section { id, title, intro, sketch });

/// No answer at all is offered as a change of the plan.
pub const NEVER_OFFERED: i64 = -1;

/// A question.
#[derive(Debug, Clone)]
#[allow(clippy::struct_excessive_bools)] // flags that do not hang together
pub struct Question {
    /// Its id, unique over all files.
    pub id: Text,
    /// The number of its section.
    pub section: usize,
    /// How many parents it hangs below.
    pub depth: usize,
    /// Its name in lists and tables.
    pub short: Text,
    /// The question itself.
    pub ask: Text,
    /// Why it matters.
    pub why: Text,
    /// How to find out.
    pub how: Text,
    /// Texts of its own for built work.
    pub built: BuiltTexts,
    /// What kind of answer it takes.
    pub kind: QuestionKind,
    /// The choices, for the kinds that have them.
    pub choices: Vec<Choice>,
    /// Whether "not sure" is allowed.
    pub not_sure: bool,
    /// Whether it is about the plan, and so can be changed.
    pub plan: bool,
    /// Whether what it asks of the house stays so where another plan no longer brings it up: no change of the plan rests on that.
    pub stays_known: bool,
    /// Of a length that was measured from the finish: how it changes when the finish goes up by so much. `1` grows by
    /// it, `-1` shrinks by it, `0` was measured from something that stays.
    pub as_finish_rises: i64,
    /// Whether the answer holds for the height that the finish has: where it goes up, the question is open again.
    pub lost_as_finish_rises: bool,
    /// Answers that are never offered as a change of the plan, as bits of [`super::Value`]: of choices, and of yes and no.
    pub never_offered: i64,
    /// What it takes to find out.
    pub effort: Effort,
    /// Where a person stands to answer it.
    pub place: Stand,
    /// The same once the work is built, where that is another place.
    pub place_built: Option<Stand>,
    /// Whether it comes before all others, as what the units and all limits hang on.
    pub first: bool,
    /// Later questions that can be answered in one go with it; each is asked by itself where that is not possible.
    pub at_once: Vec<usize>,
    /// Earlier questions that come first where they are shown, as it makes no sense without them.
    pub needs: Vec<usize>,
    /// What is possible and what is usual, in the numbers of [`super::Value`].
    pub bounds: Option<Bounds>,
    /// When it is asked.
    pub visible: Condition,
    /// Where it stands.
    pub written: Place,
}

packed!(struct Question { id, section, depth, short, ask, why, how, built, kind, choices, not_sure, plan, stays_known, as_finish_rises, lost_as_finish_rises, never_offered, effort, place, place_built, first, at_once, needs, bounds, visible, written });

/// The kinds of answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum QuestionKind {
    /// One of the choices.
    OneOf,
    /// Any number of the choices.
    SeveralOf,
    /// Yes or no.
    YesNo,
    /// A length.
    Length,
    /// A number.
    Number,
    /// A calendar year.
    Year,
    /// Free text.
    Text,
    /// Heights at several places along the wall.
    Profile,
    /// Any number of the choices, each with its place along the wall.
    Places,
}

packed!(enum QuestionKind { 0: OneOf, 1: SeveralOf, 2: YesNo, 3: Length, 4: Number, 5: Year, 6: Text, 7: Profile, 8: Places });

impl QuestionKind {
    /// The word in content.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            QuestionKind::OneOf => "one_of",
            QuestionKind::SeveralOf => "several_of",
            QuestionKind::YesNo => "yes_no",
            QuestionKind::Length => "length",
            QuestionKind::Number => "number",
            QuestionKind::Year => "year",
            QuestionKind::Text => "text",
            QuestionKind::Profile => "profile",
            QuestionKind::Places => "places",
        }
    }
}

/// A choice of a question.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Its id, unique in the question.
    pub id: Text,
    /// Its text.
    pub label: Text,
    /// How to recognise it.
    pub hint: Option<Text>,
    /// The same for built work, where it differs.
    pub hint_built: Option<Text>,
    /// Other words that people look for it by, separated by commas. Nobody is shown them.
    pub also: Text,
    /// What rules may ask about it: name and values. Only choices that come from rows have any.
    pub traits: Vec<Trait>,
    /// Where it stands.
    pub place: Place,
}

packed!(struct Choice { id, label, hint, hint_built, also, traits, place });

/// Something that is true of a choice, such as how a cladding drains. Rules speak of it as of a question:
/// `cladding.drains: laps` holds for every cladding whose row says so.
#[derive(Debug, Clone)]
pub struct Trait {
    /// Its name.
    pub name: Text,
    /// Its values; several where the row has a list.
    pub values: Vec<Text>,
    /// Where it stands.
    pub place: Place,
}

packed!(struct Trait { name, values, place });

impl Choice {
    /// A choice without traits.
    #[must_use]
    pub fn new(id: Text, label: Text, hint: Option<Text>) -> Choice {
        Choice { id, label, hint, hint_built: None, also: Text::default(), traits: Vec::new(), place: Place::default() }
    }

    /// The values of a trait; none where the row does not have it.
    #[must_use]
    pub fn values_of(&self, name: &str) -> &[Text] {
        self.traits.iter().find(|t| t.name == name).map_or(&[], |t| t.values.as_slice())
    }
}

/// What it takes to find an answer.
#[derive(Debug, Clone, Default)]
pub struct Effort {
    /// Minutes.
    pub minutes: i64,
    /// Tools, in words.
    pub with: Text,
    /// Who can do it: `you`, `crew`, `exterior` or `office`.
    pub who: Text,
}

packed!(struct Effort { minutes, with, who });

/// Where a person stands to answer a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Stand {
    /// Anywhere: what people know by heart about their house.
    Anywhere,
    /// At the table or on the telephone, with the offer and the papers: no walking.
    Offer,
    /// Inside the house: basement, floor, behind the wall.
    Inside,
    /// Outside, at the wall.
    #[default]
    Wall,
}

packed!(enum Stand { 0: Anywhere, 1: Offer, 2: Inside, 3: Wall });

impl Stand {
    /// All places with their words in content.
    pub const ALL: [(&'static str, Stand); 4] =
        [("anywhere", Stand::Anywhere), ("offer", Stand::Offer), ("inside", Stand::Inside), ("wall", Stand::Wall)];

    /// The word in content.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Stand::Anywhere => "anywhere",
            Stand::Offer => "offer",
            Stand::Inside => "inside",
            Stand::Wall => "wall",
        }
    }

    /// The key of the words that say where to stand and what to bring; nothing where nobody has to go anywhere.
    #[must_use]
    pub fn key(self) -> Option<&'static str> {
        match self {
            Stand::Anywhere => None,
            Stand::Offer => Some("place.offer"),
            Stand::Inside => Some("place.inside"),
            Stand::Wall => Some("place.wall"),
        }
    }
}

/// Limits of what can be typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bounds {
    /// Less is refused.
    pub least: i64,
    /// More is refused.
    pub most: i64,
    /// Outside is asked again.
    pub usual: Option<(i64, i64)>,
}

packed!(struct Bounds { least, most, usual });

impl Flow {
    /// The number of a question.
    #[must_use]
    pub fn question(&self, id: &str) -> Option<usize> {
        let at = self.by_id.binary_search_by(|number| self.questions[*number].id.as_str().cmp(id)).ok()?;
        Some(self.by_id[at])
    }
}

impl Question {
    /// Where a person stands to answer it, for planned work or for built.
    #[must_use]
    pub fn stand(&self, built: bool) -> Stand {
        self.place_built.filter(|_| built).unwrap_or(self.place)
    }

    /// Whether its answer changes, or is open again, as the finish goes up.
    #[must_use]
    pub fn moves_with_finish(&self) -> bool {
        self.as_finish_rises != 0 || self.lost_as_finish_rises
    }

    /// The kind of its value, for conditions.
    #[must_use]
    pub fn value_kind(&self) -> Kind {
        let ids = || self.choices.iter().map(|c| c.id.clone()).collect();
        match self.kind {
            QuestionKind::OneOf => Kind::OneOf(ids()),
            QuestionKind::SeveralOf | QuestionKind::Places => Kind::SeveralOf(ids()),
            QuestionKind::YesNo => Kind::YesNo,
            QuestionKind::Length => Kind::Length,
            QuestionKind::Number => Kind::Number,
            QuestionKind::Year => Kind::Year,
            QuestionKind::Text | QuestionKind::Profile => Kind::Text,
        }
    }
}
