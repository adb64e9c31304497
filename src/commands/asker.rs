//! Who asks: menus in a terminal, lines elsewhere.

use super::global::Global;
use super::outside::{colour_allowed, height, width};
use crate::content::{Content, words};
use crate::interview::Asker;
use crate::terminal::{Labels, Menus, Plain};
use std::io;

/// The asker that fits where the program runs.
pub(super) fn asker(content: &Content, global: &Global) -> Box<dyn Asker> {
    let labels = words::keys().map(|key| (key.to_owned(), content.word(key).to_owned()));
    let labels = Labels(labels.collect());
    if global.plain_lines() {
        return Box::new(Plain::new(labels, io::stdin().lock(), io::stderr(), width()));
    }
    let mut menus = Menus::new(labels, width(), height());
    menus.set_colour(colour_allowed());
    Box::new(menus)
}
