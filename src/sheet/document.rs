//! A sheet as a value: what stands on it, not what it looks like.

use crate::content::Verdict;
use std::path::PathBuf;

/// A sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// What stands at the head of every page: the visit and its date. May be empty.
    pub running: String,
    /// Lines under the title: place, date, what is built against what.
    pub about: Vec<String>,
    /// Language tag of the text.
    pub lang: String,
    /// Its parts in order.
    pub blocks: Vec<Block>,
    /// A line at the foot.
    pub foot: String,
    /// Whose sheet it is, at its head; nothing unless the user's settings say so.
    pub letterhead: Option<Letterhead>,
}

/// Whose sheet it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letterhead {
    /// Name, phone and whatever else; the first one stands out.
    pub lines: Vec<String>,
    /// A logo.
    pub logo: Option<Image>,
}

/// A picture of dots, as a page can hold it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Image {
    /// All of it, as a `data:` address.
    pub uri: String,
    /// Dots across.
    pub width: u32,
    /// Dots down.
    pub height: u32,
}

/// A photograph with its caption.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoBlock {
    /// The name of its file, and what it shows.
    pub label: String,
    /// What it shows.
    pub caption: String,
    /// Where it lies; nothing if it is not there.
    pub path: Option<PathBuf>,
    /// The photograph itself, for a page. Whoever writes the page puts it in: reading files is not for here.
    pub image: Option<Image>,
    /// Why it is not shown; may be empty.
    pub note: String,
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
    /// The one figure that matters.
    Figure(String),
    /// A new page on paper; nothing on a screen.
    Page,
    /// The heading of a part of a long document, with a line in its [`Block::Contents`].
    Chapter(String),
    /// The chapters of the document, under a heading.
    Contents(String),
    /// A heading.
    Heading(String),
    /// The title of a part below a heading.
    Subheading(String),
    /// A paragraph.
    Paragraph(String),
    /// Small print.
    Note(String),
    /// A section through the wall.
    Picture(Box<super::picture::Picture>),
    /// Sections side by side: as planned, and as it should be.
    Pictures(Vec<super::picture::Picture>),
    /// The wall seen from outside, along the run of the work.
    Elevation(Box<super::elevation::ElevationPicture>),
    /// Rows under headings.
    Table {
        /// Headings.
        head: Vec<String>,
        /// Rows, each as long as the head.
        rows: Vec<Vec<String>>,
    },
    /// Activities over time.
    Chart(Chart),
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
    Numbered(Vec<ListItem>),
    /// Boxes to tick.
    Checks(Vec<Check>),
    /// A question for somebody else.
    Question {
        /// The question.
        ask: String,
        /// Labelled lists below it: label, lines.
        parts: Vec<(String, Vec<String>)>,
        /// The label of a line to write the answer on; may be empty.
        room: String,
    },
    /// A danger.
    Caution {
        /// The text.
        text: String,
        /// Where it comes from.
        source: String,
    },
    /// A photograph of the visit.
    Photo(PhotoBlock),
    /// A line to write on across the page, with its label.
    Blank(String),
    /// Short lines to write on, side by side: names, dates, signatures. Each has its label.
    Signatures(Vec<String>),
}

impl Block {
    /// Whether the lists below a question are so short that they go on in one line.
    #[must_use]
    pub fn answers_in_a_line(&self) -> bool {
        const LINE: usize = 120;
        let Block::Question { parts, .. } = self else { return false };
        let texts = parts.iter().flat_map(|(label, list)| std::iter::once(label).chain(list));
        parts.iter().all(|(_, list)| list.len() == 1)
            && texts.map(|text| text.chars().count() + 2).sum::<usize>() <= LINE
    }
}

/// Activities over time: a lane for each trade, a bar for each activity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart {
    /// Its title.
    pub title: String,
    /// Hours of work in a day.
    pub shift: i64,
    /// The word for a day, before its number.
    pub day: String,
    /// What the signs mean, for text; `{hours}` stands for the hours of a column.
    pub note: String,
    /// What the shapes mean, for a drawing.
    pub drawn_note: String,
    /// Lanes from the top down.
    pub lanes: Vec<Lane>,
}

/// A lane of a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lane {
    /// Whose.
    pub name: String,
    /// Its bars, in the order of their numbers.
    pub bars: Vec<Bar>,
}

/// An activity in a chart. Times are hours of work from the start.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// Its number in the order of work.
    pub number: usize,
    /// What it is.
    pub what: String,
    /// When it starts.
    pub start: i64,
    /// How long people work.
    pub work: i64,
    /// How long everybody waits after it.
    pub wait: i64,
    /// Whether work stops after it until someone has looked.
    pub hold: bool,
}

impl Chart {
    /// The last hour.
    #[must_use]
    pub fn end(&self) -> i64 {
        self.lanes
            .iter()
            .flat_map(|lane| &lane.bars)
            .map(|bar| bar.start + bar.work.max(1) + bar.wait)
            .max()
            .unwrap_or(1)
    }
}

/// A point of a numbered list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListItem {
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
    /// The label of a short line to write on, such as the date; may be empty.
    pub blank: String,
}
