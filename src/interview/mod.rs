//! The interview: which question comes next, going back, reviewing.
//!
//! What it looks like is the business of an [`Asker`]; where answers are kept and in which order it goes, of the caller.

mod asker;
mod one_go;
mod prompt;
mod reply;
mod run;

pub use asker::{Asker, Picked, ReviewLine, Reviewed};
pub use prompt::{Count, OrType, Progress, Prompt, Typing};
pub use reply::{Leaving, Reply};
pub use run::{Ended, Interview, InterviewError, Next, review_lines};
