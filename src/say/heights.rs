//! Heights in words.

use crate::judge::{Assessment, Lowering};
use crate::names::{OpeningKind, QuestionId};
use crate::site::FactId;
use crate::units::{Elevation, Length};
use crate::wall::Level;

/// The word of an opening.
pub(crate) fn opening_word(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::MainDoor => "opening.main_door",
        OpeningKind::OtherDoor => "opening.other_door",
        OpeningKind::Window => "opening.window",
        OpeningKind::GasVent => "opening.gas_vent",
        OpeningKind::DryerVent => "opening.dryer_vent",
        OpeningKind::CrawlVent => "opening.crawl_vent",
        OpeningKind::GasMeter => "opening.gas_meter",
        OpeningKind::Well => "opening.window_well",
    }
}

/// All levels, in the order in which they are told when two are the same height.
pub(crate) const LEVELS: [Level; 6] =
    [Level::Mark, Level::Exit, Level::Finish, Level::OldSurface, Level::Wood, Level::Ground];

/// How many letters the name of a mark has at most in a picture: users type it, and a picture has an edge.
const NAME_IN_PICTURE: usize = 80;

/// A name as a picture has room for it.
fn in_short(name: &str) -> String {
    if name.chars().count() <= NAME_IN_PICTURE {
        return name.to_owned();
    }
    let head: String = name.chars().take(NAME_IN_PICTURE - 1).collect();
    format!("{}\u{2026}", head.trim_end())
}

impl Assessment<'_> {
    /// Where the finish is planned or lies, in words: at both ends, if they differ.
    pub(crate) fn planned_height(&self) -> Option<String> {
        if let (Some(line), Some(length)) = (self.site.line(Level::Finish).filter(|l| !l.is_level()), self.site.length)
        {
            let at = |offset| self.depth_words(Elevation::MARK.above(line.at(offset)));
            let (left, right) = (at(Length::ZERO), at(length));
            return Some(self.word_with("label.at_both_ends", &[("left", &left), ("right", &right)]));
        }
        self.site.levels.above(Level::Mark, Level::Finish).map(|h| self.depth_words(h.up))
    }

    /// A depth below the mark, in words; above it, if it is negative.
    pub(crate) fn depth_words(&self, below: Length) -> String {
        let key = if below < Length::ZERO { "label.above" } else { "label.below" };
        self.word_with(key, &[("height", &below.abs().show(self.units)), ("reference", &self.mark_name())])
    }

    pub(crate) fn lower_text(&self, lowering: Lowering) -> String {
        let by = lowering.by.show(self.units);
        let sure = lowering.sure.show(self.units);
        let what = &self.content.limits[lowering.limit].what;
        let mut text = self.word_with("text.lower_by", &[("by", &by), ("sure", &sure), ("what", what)]);
        if let Some(highest) = lowering.highest {
            text.push(' ');
            text.push_str(&self.word_with("text.lower_to", &[("highest", &self.depth_words(highest))]));
        }
        if let Some((left, right)) = lowering.ends {
            let (left, right) = (self.depth_words(left), self.depth_words(right));
            text.push(' ');
            text.push_str(&self.word_with("text.at_the_ends", &[("left", &left), ("right", &right)]));
        }
        if let Some(step) = lowering.step {
            text.push(' ');
            text.push_str(&self.word_with("text.step_then", &[("step", &step.show(self.units))]));
        }
        text
    }

    /// The level that all heights are told from: the mark, if it ties as many levels together as any other.
    pub(crate) fn reference(&self) -> Level {
        let tied = |r: Level| LEVELS.iter().filter(|l| self.site.levels.above(**l, r).is_some()).count();
        let (mark, finish, ground) = (tied(Level::Mark), tied(Level::Finish), tied(Level::Ground));
        if mark >= finish && mark >= ground {
            Level::Mark
        } else if finish >= ground {
            Level::Finish
        } else {
            Level::Ground
        }
    }

    /// A level with its height, for a drawing.
    pub(crate) fn level_label(&self, level: Level, up: Length, reference: Level) -> String {
        // all others are words of the content
        let name = if level == Level::Mark { in_short(&self.mark_name()) } else { self.level_name(level) };
        if level == reference {
            return name;
        }
        let key = if up < Length::ZERO { "picture.below" } else { "picture.above" };
        self.word_with(key, &[("name", &name), ("height", &up.abs().show(self.units))])
    }

    pub(crate) fn level_name(&self, level: Level) -> String {
        match level {
            Level::Mark => self.mark_name(),
            Level::Exit => match self.fact_in_words(FactId::ExitKind) {
                Some(kind) => self.word_with("level.exit_of", &[("kind", &kind)]),
                None => self.word("level.exit"),
            },
            Level::Finish => self.word("level.finish"),
            Level::Ground => self.word("level.ground"),
            Level::Wood => self.word("level.wood"),
            Level::OldSurface => self.word("level.old_surface"),
        }
    }

    /// A height over the finish in words, covered or clear.
    pub(crate) fn height_in_words(&self, up: i64) -> String {
        let shown = Length::from_steps(up.abs()).show(self.units);
        if up < 0 { self.word_with("label.below_instead", &[("height", &shown)]) } else { shown }
    }

    pub(crate) fn mark_name(&self) -> String {
        match self.site.door {
            Some(true) => self.word("level.threshold"),
            Some(false) | None => {
                self.question_in_words(QuestionId::MarkName).unwrap_or_else(|| self.word("level.mark"))
            }
        }
    }
}
