//! A sheet as a value: what stands on it, not what it looks like.

use super::verdict::Verdict;

/// A sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// Lines under the title: place, date, what is built against what.
    pub about: Vec<String>,
    /// Language tag of the text.
    pub lang: String,
    /// Whether it should take as little paper as can be: a sheet for the site.
    pub compact: bool,
    /// Its parts in order.
    pub blocks: Vec<Block>,
    /// A line at the foot.
    pub foot: String,
}

/// A part of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// The verdict in words, and what it means.
    Verdict {
        /// Which.
        verdict: Verdict,
        /// In words.
        label: String,
        /// What it means.
        text: String,
    },
    /// A heading.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// Small print.
    Note(String),
    /// A section through the wall.
    Picture(Box<super::Picture>),
    /// Rows under headings.
    Table {
        /// Headings.
        head: Vec<String>,
        /// Rows, each as long as the head.
        rows: Vec<Vec<String>>,
    },
    /// What marks such as `[1]` in the table above stand for: mark, text.
    Legend(Vec<(String, String)>),
    /// A conclusion with its reasons.
    Finding {
        /// A short mark in front, such as the verdict it leads to; may be empty.
        mark: String,
        /// A sentence.
        title: String,
        /// Why, and what to do; paragraphs.
        body: Vec<String>,
        /// Where it comes from.
        source: String,
    },
    /// Numbered points, each with lines below.
    Numbered(Vec<Point>),
    /// Boxes to tick.
    Checks(Vec<Check>),
    /// A question for somebody else.
    Question {
        /// The question.
        ask: String,
        /// Labelled lists below it: label, lines.
        parts: Vec<(String, Vec<String>)>,
    },
    /// A danger.
    Caution {
        /// The text.
        text: String,
        /// Where it comes from.
        source: String,
    },
    /// A line to write on, with its label.
    Blank(String),
}

/// A point of a numbered list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Point {
    /// The point.
    pub text: String,
    /// Lines below it.
    pub lines: Vec<String>,
}

/// A box to tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// Who, in words; may be empty.
    pub who: String,
    /// What.
    pub text: String,
    /// Why; may be empty.
    pub because: String,
    /// Whether work stops here.
    pub hold: bool,
}
