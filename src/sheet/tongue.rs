//! Units as people say them in the language of a sheet.

use super::document::{Block, Document};
use super::elevation::ElevationPicture;
use super::picture::Picture;
use crate::content::Content;

/// What stands behind a figure in English, and the word for what it is called.
const MEASURES: [(&str, &str, &str); 2] =
    [("in", "measure.in", "measure.in.one"), ("ft", "measure.ft", "measure.ft.one")];

impl Document {
    /// The same with its units in the language of the content.
    #[must_use]
    pub fn in_the_tongue_of(mut self, content: &Content) -> Document {
        // the words of figures are English; where that is the language there is nothing to do
        if MEASURES.iter().all(|(unit, key, _)| content.word(key) == *unit) {
            return self;
        }
        self.each_text(&mut |text| *text = said_in(text, content));
        self
    }

    /// Every text of the document, those in its pictures too.
    pub fn each_text(&mut self, change: &mut dyn FnMut(&mut String)) {
        for text in [&mut self.title, &mut self.running, &mut self.foot] {
            change(text);
        }
        self.about.iter_mut().for_each(&mut *change);
        self.blocks.iter_mut().for_each(|block| block.each_text(change));
    }
}

impl Block {
    fn each_text(&mut self, change: &mut dyn FnMut(&mut String)) {
        match self {
            Block::Page => {}
            Block::Verdict { label, text, .. } => [label, text].into_iter().for_each(change),
            Block::Figure(text)
            | Block::Chapter(text)
            | Block::Contents(text)
            | Block::Heading(text)
            | Block::Subheading(text)
            | Block::Paragraph(text)
            | Block::Note(text)
            | Block::Blank(text) => change(text),
            Block::Picture(picture) => picture.each_text(change),
            Block::Pictures(pictures) => pictures.iter_mut().for_each(|picture| picture.each_text(change)),
            Block::Elevation(view) => view.each_text(change),
            Block::Table { head, rows } => {
                head.iter_mut().chain(rows.iter_mut().flatten()).for_each(change);
            }
            Block::Chart(chart) => {
                [&mut chart.title, &mut chart.day, &mut chart.note, &mut chart.drawn_note]
                    .into_iter()
                    .for_each(&mut *change);
                for lane in &mut chart.lanes {
                    change(&mut lane.name);
                    lane.bars.iter_mut().for_each(|bar| change(&mut bar.what));
                }
            }
            Block::Legend(lines) => lines.iter_mut().for_each(|(_, text)| change(text)),
            Block::Finding { mark, title, body, source } => {
                [mark, title, source].into_iter().chain(body).for_each(change);
            }
            Block::Numbered(points) => {
                points.iter_mut().flat_map(|p| std::iter::once(&mut p.text).chain(&mut p.lines)).for_each(change);
            }
            Block::Checks(checks) => {
                let texts = |c| {
                    let super::document::Check { who, text, because, blank, .. }: &mut super::document::Check = c;
                    [who, text, because, blank]
                };
                checks.iter_mut().flat_map(texts).for_each(change);
            }
            Block::Question { ask, parts, room } => {
                [ask, room].into_iter().for_each(&mut *change);
                parts.iter_mut().flat_map(|(label, list)| std::iter::once(label).chain(list)).for_each(change);
            }
            Block::Caution { text, source } => [text, source].into_iter().for_each(change),
            Block::Photo(photo) => {
                [&mut photo.label, &mut photo.caption, &mut photo.note].into_iter().for_each(change);
            }
            Block::Signatures(labels) => labels.iter_mut().for_each(change),
        }
    }
}

impl Picture {
    /// The same with its units in the language of the content.
    #[must_use]
    pub fn in_the_tongue_of(mut self, content: &Content) -> Picture {
        self.each_text(&mut |text| *text = said_in(text, content));
        self
    }

    fn each_text(&mut self, change: &mut dyn FnMut(&mut String)) {
        [&mut self.title, &mut self.scale_note, &mut self.line_note, &mut self.unit].into_iter().for_each(&mut *change);
        let notes = [&mut self.warning, &mut self.drop_note, &mut self.unsure_note, &mut self.rejected_note];
        notes.into_iter().flatten().chain(&mut self.notes).for_each(&mut *change);
        self.section.marks.iter_mut().for_each(|mark| change(&mut mark.label));
        self.section.dimensions.iter_mut().for_each(|dimension| change(&mut dimension.label));
        self.names.iter_mut().for_each(|(_, name)| change(name));
    }
}

impl ElevationPicture {
    fn each_text(&mut self, change: &mut dyn FnMut(&mut String)) {
        [&mut self.title, &mut self.length, &mut self.exaggerated, &mut self.one_scale, &mut self.cell]
            .into_iter()
            .for_each(&mut *change);
        for line in &mut self.lines {
            [&mut line.left, &mut line.right, &mut line.whole].into_iter().for_each(&mut *change);
            line.bends.iter_mut().for_each(|(_, text)| change(text));
        }
        self.holes.iter_mut().flat_map(|hole| [&mut hole.name, &mut hole.place]).for_each(&mut *change);
        self.stations.iter_mut().flat_map(|station| [&mut station.at, &mut station.height]).for_each(&mut *change);
        let rest = self.stretches.iter_mut().chain(&mut self.chalk).chain(&mut self.somewhere).chain(&mut self.notes);
        rest.for_each(change);
    }
}

/// A text with the units behind its figures in the language of the content.
#[must_use]
pub fn said_in(text: &str, content: &Content) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut before = "";
    for (at, word) in text.split(' ').enumerate() {
        if at > 0 {
            out.push(' ');
        }
        let bare = word.trim_end_matches([',', '.', ';', ':', ')', '?', '!']);
        let digits = before.trim_start_matches(['(', '-', '+']);
        let figure = digits.starts_with(|c: char| c.is_ascii_digit()) && digits.ends_with(|c: char| c.is_ascii_digit());
        // `1/4 in per ft`: what stands behind the second word is the unit of a figure too
        let per = before == "per" || before == content.word("measure.per");
        match MEASURES.iter().find(|(unit, ..)| *unit == bare).filter(|_| figure || per) {
            Some((_, key, one)) => {
                out.push_str(content.word(if per || digits == "1" { one } else { key }));
                out.push_str(&word[bare.len()..]);
            }
            None if word == "per" && MEASURES.iter().any(|(unit, ..)| *unit == before) => {
                out.push_str(content.word("measure.per"));
            }
            None => out.push_str(word),
        }
        before = word;
    }
    out
}
