//! Which pictures stand on a sheet.

use super::document::Block;
use super::picture::Picture;
use crate::judge::Assessment;

impl Assessment<'_> {
    /// The wall as it is planned or stands, beside how it should be.
    pub(super) fn pictures(&self) -> Vec<Block> {
        let pictures: Vec<Picture> = [self.picture(), self.picture_after()].into_iter().flatten().collect();
        if pictures.is_empty() { Vec::new() } else { vec![Block::Pictures(pictures)] }
    }

    /// The one picture that is built to: as it should be, or as planned where nothing speaks against that.
    pub(super) fn picture_to_build(&self) -> Option<Block> {
        self.picture_after().or_else(|| self.picture()).map(|picture| Block::Picture(Box::new(picture)))
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
