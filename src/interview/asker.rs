//! Somebody or something that asks: what it shows and what comes back.

use super::prompt::Prompt;
use super::reply::{Leaving, Reply};

/// What a user does at a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picked {
    /// Takes the item at this place.
    Item(usize),
    /// Takes none and goes back.
    Back,
    /// Leaves.
    Leave(Leaving),
}

/// What a user does at the review.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reviewed {
    /// Is content with the answers.
    Done,
    /// Wants to change the answer of this line.
    Change(usize),
    /// Goes back to the last question.
    Back,
    /// Leaves; what was answered is saved.
    Leave(Leaving),
}

/// A line of the review.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReviewLine {
    /// The question.
    pub question: usize,
    /// Its short name.
    pub name: String,
    /// The answer in words; nothing for "not sure".
    pub answer: Option<String>,
    /// The answer to a question that asks for yes or no: the words for it are those of the language.
    pub yes: Option<bool>,
    /// Whether it is another one than at the first stretch of wall.
    pub differs: bool,
}

/// Somebody or something that asks questions.
pub trait Asker {
    /// Asks one question.
    ///
    /// # Errors
    /// When the terminal fails.
    fn ask(&mut self, prompt: &Prompt<'_>) -> std::io::Result<Reply>;
    /// Shows all answers.
    ///
    /// # Errors
    /// When the terminal fails.
    fn review(&mut self, lines: &[ReviewLine]) -> std::io::Result<Reviewed>;
    /// Says which stretch of wall all that follows is about. Where there is but one, this is never called.
    fn stretch(&mut self, _name: &str) {}
    /// Offers a list of which one item can be taken.
    ///
    /// # Errors
    /// When the terminal fails.
    fn choose(&mut self, title: &str, items: &[String]) -> std::io::Result<Picked>;
}
