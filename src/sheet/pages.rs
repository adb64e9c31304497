//! Pages put one after the other.

use super::document::Block;
use super::room::{Space, taken};

/// Pages in their order; two that fit on one sheet of paper stand on one. Empty ones are left out.
pub(super) fn reader_pages(pages: Vec<Vec<Block>>, room: Space) -> Vec<Block> {
    let mut all: Vec<Vec<Block>> = Vec::new();
    for page in pages.into_iter().filter(|page| !page.is_empty()) {
        match all.last_mut() {
            // the first page stands alone: it is what most read
            Some(last) if taken(last).and(taken(&page)) <= room => last.extend(page),
            _ => all.push(page),
        }
    }
    let mut blocks = Vec::new();
    for page in all {
        if !blocks.is_empty() {
            blocks.push(Block::Page);
        }
        blocks.extend(page);
    }
    blocks
}
