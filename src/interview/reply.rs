//! What a user says to a question.

use crate::flow::Answer;

/// What a user does at a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reply {
    /// Answers.
    Answer(Answer),
    /// Types the height that can be typed at once, see [`super::Prompt::or_type`].
    Typed(Answer),
    /// Answers this question and the second one, see [`super::Prompt::second`].
    Both(Answer, Answer),
    /// Goes back one question.
    Back,
    /// Leaves; what was answered is saved.
    Leave(Leaving),
}

/// How somebody left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leaving {
    /// Asked to save and leave.
    Asked,
    /// Interrupted the program, as with Ctrl-C.
    Interrupted,
    /// There is nothing more to read: the input ended in the middle.
    EndOfInput,
}
