//! All tests that look at wallfoot from outside: one program, so that it links once.
#![allow(clippy::unwrap_used, clippy::expect_used)] // in a test, that is the failure

mod along;
mod bad_content;
mod bad_visits;
mod check_values;
mod claddings;
mod command_line;
mod days;
mod every_sheet;
mod folders;
mod house_rules;
mod html;
mod interview;
mod invented;
mod kept;
mod logic;
mod menus;
mod must_hold;
mod mutations;
mod nearest;
mod notes;
mod order;
mod outputs;
mod page;
mod plan;
mod promises;
mod properties;
mod scenarios;
mod section;
mod sound;
mod source;
mod support;
mod unknowns;
mod water;
mod work;
