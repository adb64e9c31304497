//! Everything that stands behind the other sheets, with contents.

use super::document::Block;
use super::sheets::Leaf;

impl Leaf<'_, '_> {
    pub(super) fn background(&self) -> Vec<Block> {
        let a = self.of;
        let mut blocks = self.danger_blocks(usize::MAX);
        blocks.push(a.verdict());
        blocks.push(Block::Contents(a.word("heading.contents")));
        let mut chapter = |key: &str, part: Vec<Block>| {
            if !part.is_empty() {
                blocks.push(Block::Chapter(a.word(key)));
                // a part that has only this one heading needs no second
                let skip = usize::from(
                    part.iter().filter(|b| matches!(b, Block::Heading(_))).count() == 1
                        && matches!(part.first(), Some(Block::Heading(_))),
                );
                blocks.extend(part.into_iter().skip(skip));
            }
        };
        chapter(
            "chapter.reasons",
            part(|blocks| {
                blocks.extend(self.stretch_table(usize::MAX));
                a.why_block(blocks);
                a.owners_block(blocks);
                a.find_out(blocks);
                a.reasons(blocks, None);
            }),
        );
        chapter(
            "chapter.water",
            part(|blocks| {
                a.water_block(blocks, true);
                a.suspects_part(blocks, usize::MAX, true);
                a.load_block(blocks);
            }),
        );
        chapter(
            "chapter.ways",
            part(|blocks| {
                a.options(blocks, true);
                a.ways_block(blocks);
            }),
        );
        chapter(
            "chapter.heights",
            part(|blocks| {
                a.heights(blocks);
                blocks.extend(a.elevation_block());
                a.steps_block(blocks);
                a.digging_block(blocks, true);
            }),
        );
        chapter("chapter.limits", part(|blocks| a.limit_table(blocks)));
        chapter(
            "chapter.order",
            part(|blocks| {
                self.job.whole_order(blocks);
                a.checklist(blocks);
            }),
        );
        chapter(
            "chapter.contractor",
            part(|blocks| {
                a.contractor(blocks);
                a.heard_block(blocks);
            }),
        );
        chapter("chapter.trades", part(|blocks| a.calls_block(blocks)));
        chapter("chapter.materials", part(|blocks| a.material_table(None, blocks)));
        chapter("chapter.cautions", part(|blocks| a.cautions_block(blocks, None)));
        chapter("chapter.notes", part(|blocks| a.notes_block(blocks)));
        for (name, other) in self.others {
            let mut part = Vec::new();
            other.whole_stretch(&mut part, self.of.tasks(None));
            blocks.push(Block::Chapter(a.word_with("heading.stretch", &[("name", name)])));
            blocks.extend(part);
        }
        let mut part = Vec::new();
        a.rests_on(&mut part);
        blocks.push(Block::Chapter(a.word("heading.rests_on")));
        blocks.extend(part.into_iter().skip(1));
        blocks
    }
}

/// The blocks that something is laid out as.
fn part(fill: impl Fn(&mut Vec<Block>)) -> Vec<Block> {
    let mut blocks = Vec::new();
    fill(&mut blocks);
    blocks
}
