//! Question flows: what the YAML says (a tree with places) becomes what it means (a [`Flow`]).
//!
//! Reading never stops at the first mistake: every file is read to its end and all that is wrong
//! is reported together, each with its place and a hint.

mod along;
mod answer;
mod answer_error;
mod called;
mod condition;
mod diagnostic;
mod effects;
mod gates;
mod harmless;
mod load;
mod model;
mod place;
mod reader;
mod state;
mod template;
mod tree;
mod value;
mod vocabulary;
mod wording;
mod yaml;

pub use along::{Placed, ProfilePoint};
pub(crate) use along::{show_places, show_profile};
pub use answer::{Answer, Answers, Bound};
pub(crate) use answer::{parse_thousandths, show_thousandths};
pub use answer_error::{AnswerError, AnswerMessage};
pub use called::{BuiltTexts, Called, Wording, WordingCase};
pub(crate) use condition::KeptTest;
pub use condition::{Clause, Condition, Keep, Test};
pub use diagnostic::{ContentError, Diagnostics, Found, Source};
pub use effects::Effects;
pub use gates::{Bits, Gates};
pub use harmless::{acts, harmless, one_line};
pub(crate) use load::MOST_CHOICES;
pub use load::{Loaded, load};
pub use model::{Bounds, Choice, Effort, Flow, NEVER_OFFERED, Question, QuestionKind, Section, Stand, Trait};
pub use place::Place;
pub use reader::{Fields, condition, length, number};
pub use state::State;
pub use template::{fill, placeholders};
pub use tree::{Node, Tree};
pub use value::{FAR, Truth, Value};
pub use vocabulary::{Family, Kind, Name, Slot, Vocabulary, nearest};
pub use wording::{Asked, Spoken};
