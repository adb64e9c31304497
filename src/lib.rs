//! wallfoot.
#![warn(missing_docs)]
pub mod units;
pub mod flow;
