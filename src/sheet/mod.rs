//! Who gets to read what, in what order: an assessment laid out as a [`Document`].

mod agreement;
mod answer;
mod background;
mod calendar;
mod compare;
mod digging;
mod document;
mod exterior;
mod find_out;
mod heard;
mod heights;
mod homeowner;
mod landscaper;
mod load;
mod openings;
mod pages;
mod picture;
mod pictures;
mod plan;
mod price;
mod room;
mod sheets;
mod stairs;
mod stretches;
mod suspects;
mod water;
mod ways;
mod why;

pub use answer::{Detail, Reasons};
pub use compare::{Alternative, compare};
pub use document::{Bar, Block, Chart, Check, Document, Lane, ListItem};
pub use picture::Picture;
pub use sheets::{Cover, Reader};
