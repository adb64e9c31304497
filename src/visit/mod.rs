//! A visit on disk: the answers about one place.
//!
//! Reading and writing is all that happens here; what the answers mean is the flow's business.
//!
//! Invariant: **nothing that stands in a visit is ever dropped.** A file that is no visit at all is refused and left as it
//! is. In one that is, each answer either counts, or it is a [`Misfit`]: it is shown, stays in the file letter by letter,
//! and counts again as soon as it can be read. Only a new answer to the same question takes its place. So:
//!
//! - an answer whose text was not changed keeps its text: `24 ft` is not written as `288 in`;
//! - an answer of a hidden question, of a question that is gone, or one that cannot be read goes to `set_aside` (each stretch
//!   of wall has its own). Is the place taken there, it stays under `answers`;
//! - "not sure" to a question that is gone stays under `not_sure`;
//! - comments come to stand at the head of the file once something in it has to be written anew.

mod bounded;
mod file;
mod folder;
mod given;
mod kept;
mod lock;
mod pasted;
mod tries;
mod whole;

pub use bounded::read_bounded;
pub use file::{FORMAT, Note, ShownVerdict, Visit, VisitError};
pub use folder::{may_be_visits, visit_in};
pub use given::{Misfit, Run, Why, write_answer};
pub use kept::OpenVisit;
pub use lock::release_all;
pub use pasted::{double_quoted, pasted};
pub use tries::Try;
pub use whole::{when_whole, write_whole};
