//! wallfoot.
pub mod advice;
pub mod commands;
pub mod flow;
pub mod interview;
pub mod render;
pub mod site;
pub mod terminal;
pub mod units;
pub mod visit;
pub mod wall;
