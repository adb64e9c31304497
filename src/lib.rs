//! wallfoot.
pub mod units;
pub mod flow;
pub mod wall;
pub mod site;
pub mod advice;
pub mod visit;
pub mod interview;
pub mod terminal;
pub mod render;
pub mod commands;
