//! Which pictures stand on a sheet.

use super::document::Block;
use super::picture::Picture;
use crate::judge::Assessment;
use std::collections::BTreeMap;

impl Assessment<'_> {
    /// The wall as it is planned or stands, beside how it should be.
    pub(super) fn pictures(&self) -> Vec<Block> {
        let pictures: Vec<Picture> = [self.picture(), self.picture_after()].into_iter().flatten().collect();
        if pictures.is_empty() { Vec::new() } else { vec![Block::Pictures(pictures)] }
    }

    /// The one picture that is built to: as it should be, or as planned where nothing speaks against that. Where heights vary along the
    /// wall, one section says little: then it is the wall along the run.
    pub(super) fn picture_to_build(&self) -> Option<Block> {
        if let Some(view) = self.elevation_to_build() {
            return Some(view);
        }
        self.picture_after().or_else(|| self.picture()).map(|picture| Block::Picture(Box::new(picture)))
    }

    /// What each picture of the sheets says, by its name in the report: for programs that read no sheet.
    #[must_use]
    pub fn pictures_in_words(&self) -> BTreeMap<&'static str, String> {
        let sections =
            [("as_it_is", self.picture()), ("as_it_should_be", self.picture_after()), ("joint", self.picture_joint())];
        let sections = sections.into_iter().filter_map(|(name, picture)| Some((name, picture?.alt())));
        sections.chain(self.elevation().map(|view| ("along_the_wall", view.alt()))).collect()
    }

    /// The wall along the run where heights vary, if it leaves room on the page for what else has to stand there: with many names it gets
    /// higher than that.
    pub(super) fn elevation_to_build(&self) -> Option<Block> {
        /// Letters of all its words; with so many it is some 145 mm high.
        const MOST: usize = 1400;
        if !self.site.slopes() {
            return None;
        }
        let view = self.elevation().filter(|view| view.alt().chars().count() <= MOST)?;
        Some(Block::Elevation(Box::new(view)))
    }

    /// The wall from outside along the run, with the line to snap.
    pub(super) fn elevation_block(&self) -> Option<Block> {
        self.elevation().map(|view| Block::Elevation(Box::new(view)))
    }

    /// The finished joint, enlarged.
    pub(super) fn joint_picture(&self) -> Option<Block> {
        self.picture_joint().map(|picture| Block::Picture(Box::new(picture)))
    }
}
