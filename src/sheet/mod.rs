//! Who gets to read what, in what order: an assessment laid out as a [`Document`].

mod answer;
mod calendar;
mod compare;
mod digging;
mod document;
mod find_out;
mod heard;
mod heights;
mod load;
mod log;
mod openings;
mod picture;
mod plan;
mod price;
mod sheets;
mod stairs;
mod stretches;
mod suspects;
mod water;
mod ways;
mod why;

pub use answer::{Detail, Reasons};
pub use compare::{Alternative, compare};
pub use document::{Bar, Block, Chart, Check, Document, Image, Lane, Letterhead, ListItem, PhotoBlock};
pub use picture::Picture;
pub use sheets::Cover;
