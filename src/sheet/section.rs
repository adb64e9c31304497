//! The section of a visit: its wall and heights as a drawing that any renderer can use.

use super::picture::Picture;
use crate::content::{Limit, Verdict};
use crate::flow::Slot;
use crate::judge::{AfterWork, Assessment, FirstStep, Kept, is_fine};
use crate::names::{Carrier, DefinedId, FinishWay};
use crate::say::{end_word, start_word};
use crate::site::{FACTS, FactId, FactKind};
use crate::units::{Elevation, Length, Units};
use crate::wall::{
    Assembly, CrossSection, Cut, Dimension, Heights, Level, Mark, MarkKind, Part, Side, Spec, Status, Under, View,
    judge, shortfall,
};
use crate::water::{Start, path_on};

/// The heights of a picture, and what they are told from.
pub(super) struct SectionHeights {
    /// The offset from the left end, where heights vary along the wall.
    pub(super) at: Option<Length>,
    reference: Level,
    mark: Option<Length>,
    pub(super) heights: Heights,
    old_surface: Option<Length>,
}

/// What the height of the surface is in a picture, and what else is drawn beside it.
#[derive(Debug, Clone, Copy, Default)]
struct Finish {
    /// How the surface of the picture itself is marked.
    own: Option<(MarkKind, &'static str)>,
    /// Another height of the surface: which, what it is, its word.
    other: Option<(Length, MarkKind, &'static str)>,
    /// Whether the work is a shadow only.
    rejected: bool,
}

/// The words of the parts; layers have their own names.
const PARTS: [(Part, &str); 29] = [
    (Part::Framing, "part.framing"),
    (Part::Wood, "part.sheathing"),
    (Part::Backing, "part.backing"),
    (Part::Foundation, "part.foundation"),
    (Part::Membrane, "part.membrane"),
    (Part::Barrier, "part.barrier"),
    (Part::Flashing, "part.flashing"),
    (Part::EndDam, "part.end_dam"),
    (Part::Screed, "part.screed"),
    (Part::RoofEnd, "part.roof_end"),
    (Part::Channel, "part.channel"),
    (Part::Trim, "part.trim"),
    (Part::Pan, "part.pan"),
    (Part::Foam, "part.foam"),
    (Part::Cladding, "part.cladding"),
    (Part::Coat, "part.coat"),
    (Part::Masonry, "part.masonry"),
    (Part::ClosedFoot, "part.closed_foot"),
    (Part::Ledge, "part.ledge"),
    (Part::Threshold, "part.threshold"),
    (Part::Finish, "part.feature"),
    (Part::OldSlab, "part.old_slab"),
    (Part::Closure, "part.closure"),
    (Part::Drain, "part.drain"),
    (Part::Gap, "part.gap"),
    (Part::Void, "part.void"),
    (Part::Fill, "part.fill"),
    (Part::BesideFoundation, "part.wet_soil"),
    (Part::Ground, "part.ground"),
];

impl Assessment<'_> {
    /// The wall and the work as a section; nothing if no height is known. Where the wall
    /// slopes, it is drawn where the exit stands least above the finish.
    #[must_use]
    pub fn picture(&self) -> Option<Picture> {
        self.picture_at(self.worst_place())
    }

    /// The section at an offset from the left end, where heights vary along the wall. What is planned at a height that is not
    /// allowed is a shadow, with the height to keep beside it.
    #[must_use]
    pub fn picture_at(&self, at: Option<Length>) -> Option<Picture> {
        let told = self.told(at);
        let (kept, built) = (self.height_kept(), self.site.is_built());
        let own = match (kept, built) {
            (Kept::AsItIs, false) => (MarkKind::Keep, "picture.build"),
            (Kept::AsItIs, true) => (MarkKind::Keep, "picture.stays"),
            (Kept::Lower { .. } | Kept::Unknown { rejected: true }, false) => (MarkKind::Rejected, "picture.rejected"),
            (Kept::Lower { .. } | Kept::Unknown { rejected: true }, true) => (MarkKind::Rejected, "picture.too_high"),
            (Kept::NotAgreed | Kept::Unknown { .. }, false) => (MarkKind::Known, "picture.not_agreed"),
            (Kept::NotAgreed | Kept::Unknown { .. }, true) => (MarkKind::Known, "picture.as_it_lies"),
        };
        let title = match (built, kept.is_rejected()) {
            (true, _) => "picture.title_built",
            (false, true) => "picture.title_rejected",
            (false, false) => "picture.title",
        };
        let finish =
            Finish { own: Some(own), other: self.kept_mark(kept, &told), rejected: kept.is_rejected() && !built };
        let (wall, start) = self.wall_at(&told.heights);
        let mut picture = self.framed(&wall, start, &told, finish)?;
        picture.section.dimensions = self.dimensions(&told.heights, told.at.is_some());
        if let Kept::Unknown { .. } = kept {
            let none = kept.is_rejected() && self.cannot_come_down();
            picture.notes.push(self.word(if none { "picture.keep_none" } else { "picture.keep_unknown" }));
        }
        if let (Kept::Lower { by, .. }, None) = (kept, told.heights.finish) {
            // how high it lies is not known from the reference
            picture.notes.push(self.word_with("picture.lower_by", &[("by", &by.show(self.units))]));
        }
        let traced = told.heights.exit.is_some() && told.heights.finish.is_some();
        let signs = built && self.certainly(DefinedId::SignsSeen) || self.certainly(DefinedId::HoseDangerous);
        if picture.section.drop.is_none() && traced && signs {
            picture.drop_note = Some(self.word("picture.drop_unknown"));
        }
        if matches!(kept, Kept::AsItIs | Kept::NotAgreed) {
            self.fill_note(&mut picture, &told, Length::ZERO);
        }
        self.say_where(&mut picture, title, &told);
        Some(picture)
    }

    /// The section as it should be: with the surface at the height to keep, or built work after its repair. Nothing where the
    /// surface may stay as it is, where the heights that decide it are not known, and where somebody could be hurt before: no picture
    /// of that wall looks harmless.
    #[must_use]
    pub fn picture_after(&self) -> Option<Picture> {
        if self.certainly(DefinedId::HoseDangerous) || self.danger_in_the_wall() {
            return None;
        }
        let (kept, built) = (self.height_kept(), self.site.is_built());
        let after = self.after_work();
        let opened = after.as_ref().is_some_and(|after| after.opened.is_some());
        // opened and closed again, built work may stay as high as it lies
        match kept {
            Kept::Lower { by, .. } if !(built && opened) => self.picture_lowered(kept, by),
            _ => self.picture_opened(&after.filter(|after| after.opened.is_some())?),
        }
    }

    /// Whether something endangers people that an exterior trade or an engineer has to see first.
    fn danger_in_the_wall(&self) -> bool {
        let grave = |step: &FirstStep<'_>| match step {
            FirstStep::Danger(finding) => finding.verdict == Some(Verdict::ExteriorTradeFirst),
            FirstStep::DangerLimit(limit) => limit.verdict == Some(Verdict::ExteriorTradeFirst),
            _ => false,
        };
        self.endangers().iter().any(grave)
    }

    /// The section with the surface brought down, as a visit of its own: with the steps and the layers that it then has.
    fn picture_lowered(&self, kept: Kept, by: Length) -> Option<Picture> {
        let answers = self.with_finish_lowered(by);
        let then = answers.as_ref().map(|answers| self.content.assess(answers, self.units));
        let mut told = self.told(self.worst_place());
        told.heights.finish = Some(told.heights.finish? - by);
        let base = then.as_ref().unwrap_or(self);
        let (now, start) = base.wall_at(&told.heights);
        let lowered = AfterWork {
            opened: base.after_work().and_then(|after| after.opened),
            lowered: Length::ZERO,
            relaid: self.certainly(DefinedId::WorkToLift),
            ways: Vec::new(),
        };
        let mut wall = Spec { wood: now.wood, ..lowered.wall(&now, &self.content.usual) };
        if then.is_none() {
            // how many steps lead up to it is not known
            wall.steps = None;
        }
        told.heights.exit = told.heights.exit.map(|exit| exit.max(wall.exit_now()));
        let (kind, word) = match kept {
            Kept::Lower { firm: true, .. } => (MarkKind::Keep, "picture.keep"),
            _ => (MarkKind::AtMost, "picture.at_most"),
        };
        let built = self.site.is_built();
        let before = if built { "picture.too_high" } else { "picture.rejected" };
        let finish = Finish {
            own: Some((kind, word)),
            other: told.heights.finish.map(|finish| (finish + by, MarkKind::Rejected, before)),
            rejected: false,
        };
        let mut picture = base.framed(&wall, start, &told, finish)?;
        if let Kept::Lower { firm: false, .. } = kept {
            picture.notes.push(self.word("picture.may_be_lower"));
        }
        if let Kept::Lower { steps: true, .. } = kept {
            picture.notes.push(self.word("picture.then_steps"));
        }
        if told.heights.finish.zip(told.heights.ground).is_some_and(|(finish, ground)| finish < ground) {
            picture.notes.push(self.word("picture.below_ground"));
        }
        self.fill_note(&mut picture, &told, by);
        self.say_where(&mut picture, "picture.title_after", &told);
        Some(picture)
    }

    /// The section with the foot of the wall opened and closed again, and the surface as high as it is.
    fn picture_opened(&self, after: &AfterWork) -> Option<Picture> {
        let mut told = self.told(self.worst_place());
        let (now, start) = self.wall_at(&told.heights);
        told.heights.finish?;
        // laps do not hang on where the wood ends, but it is there to be seen
        let wall = Spec { wood: now.wood, ..after.wall(&now, &self.content.usual) };
        told.heights.exit = Some(wall.exit_now());
        let built = self.site.is_built();
        let word = if built { "picture.stays_opened" } else { "picture.build_opened" };
        let finish = Finish { own: Some((MarkKind::Keep, word)), ..Finish::default() };
        let fine = |start: &Start| after.ways.iter().all(|(_, path)| is_fine(*start, path.end));
        let start = start.or(Some(Start::Behind).filter(fine));
        let mut picture = self.framed(&wall, start, &told, finish)?;
        self.say_where(&mut picture, if built { "picture.title_repair" } else { "picture.title_after" }, &told);
        Some(picture)
    }

    pub(super) fn worst_place(&self) -> Option<Length> {
        // a finish that is known at one place only is drawn there
        let ground = || self.site.closest(Level::Exit, Level::Ground).filter(|_| !self.site.levels.has(Level::Finish));
        self.site.closest(Level::Exit, Level::Finish).or_else(ground).map(|c| c.at)
    }

    /// The height to keep beside one that is not allowed.
    fn kept_mark(&self, kept: Kept, told: &SectionHeights) -> Option<(Length, MarkKind, &'static str)> {
        let Kept::Lower { by, firm, .. } = kept else { return None };
        let opened = || self.after_work().is_some_and(|after| after.opened.is_some());
        if self.site.is_built() && (self.certainly(DefinedId::HoseDangerous) || opened()) {
            // what is built is opened, or left alone, and not brought down
            return None;
        }
        let (kind, word) = if firm { (MarkKind::Keep, "picture.keep") } else { (MarkKind::AtMost, "picture.at_most") };
        told.heights.finish.map(|finish| (finish - by, kind, word))
    }

    /// Title and place; what endangers people is said first.
    pub(super) fn say_where(&self, picture: &mut Picture, title: &str, told: &SectionHeights) {
        picture.title = self.word(title);
        if let Some(at) = told.at {
            picture.title = self.word_with("picture.at", &[("title", &picture.title), ("at", &at.show(self.units))]);
        }
        picture.warning = self.endangers().first().map(|step| {
            let title = self.danger_title(step);
            self.word_with("answer.danger", &[("what", title.trim_end_matches('.'))])
        });
    }

    /// How much has to be filled where the ground lies lowest below the surface, if that is elsewhere.
    fn fill_note(&self, picture: &mut Picture, told: &SectionHeights, by: Length) {
        let lines = self.site.line(Level::Finish).zip(self.site.line(Level::Ground)).zip(self.site.length);
        let (Some(((finish, ground), length)), Some(here)) = (lines, told.at) else { return };
        let mut places: Vec<Length> = finish.offsets().chain(ground.offsets()).chain([Length::ZERO, length]).collect();
        places.retain(|at| *at >= Length::ZERO && *at <= length);
        let up = |at: Length| finish.at(at).above(ground.at(at)) - by;
        let Some(most) = places.into_iter().max_by_key(|at| up(*at)) else { return };
        if up(most) > Length::ZERO && up(most) > up(here) {
            let (at, height) = (most.show(self.units), up(most).show(self.units));
            picture.notes.push(self.word_with("picture.fill", &[("at", &at), ("height", &height)]));
        }
    }

    /// The heights to draw, at an offset from the left end or wherever they are the same.
    pub(super) fn told(&self, at: Option<Length>) -> SectionHeights {
        let at = at.filter(|_| self.site.slopes());
        let reference = if at.is_some() { Level::Mark } else { self.reference() };
        let known = |level: Level| {
            if let Some(offset) = at {
                return self.site.line(level).map(|line| line.at(offset).above(Elevation::MARK));
            }
            let measured = level == reference || self.site.levels.has(level);
            self.site.levels.above(level, reference).map(|h| h.up).filter(|_| measured)
        };
        let mark = known(Level::Mark);
        let heights = Heights {
            threshold: mark.filter(|_| self.site.door == Some(true)),
            exit: known(Level::Exit),
            finish: known(Level::Finish),
            ground: known(Level::Ground),
            wood: known(Level::Wood),
        };
        // what lies there today stays only under what goes on top of it
        let old_surface = known(Level::OldSurface).filter(|_| self.said() == Some(FinishWay::AddedOnTop));
        SectionHeights { at, reference, mark, heights, old_surface }
    }

    /// A wall in its frame, with the way of a drop from a start and the names of its heights.
    fn framed(&self, wall: &Spec, start: Option<Start>, told: &SectionHeights, finish: Finish) -> Option<Picture> {
        let SectionHeights { heights, old_surface, .. } = *told;
        let layers = self.layers();
        let under = Under { layers: layers.iter().map(|layer| layer.thickness).collect(), old_surface };
        let wall = Assembly::of(wall, start.map_or(Cut::Field, Start::cut), &self.content.usual);
        let way = start.and_then(|start| Some((start, path_on(&wall, start)?)));
        let drop_note = way.as_ref().map(|(start, path)| {
            let key = if is_fine(*start, path.end) { "picture.drop_out" } else { "picture.drop_held" };
            let (start, end) = (self.word(start_word(*start)), self.word(end_word(path.end)));
            self.word_with(key, &[("start", &start), ("end", &end)])
        });
        let view = View {
            known: heights,
            foot_known: self.site.drainage.is_certain() || wall.spec.opened.is_some(),
            under,
            rejected: finish.rejected,
            also: finish.other.iter().map(|(y, ..)| *y).collect(),
            frame: None,
            way: way.map(|(start, path)| (path.corners(wall.pieces()), is_fine(start, path.end))),
        };
        let mut section = CrossSection::of(&wall, &view)?;
        self.mark_heights(&mut section, &wall, told, finish);
        let unsure = section.pieces.iter().any(|p| p.unsure.is_some());
        let rejected = section.pieces.iter().any(|p| p.rejected);
        let mut picture = self.with_names(section);
        picture.drop_note = drop_note;
        picture.unsure_note = unsure.then(|| self.word("picture.unsure"));
        picture.rejected_note = rejected.then(|| self.word("picture.shadow"));
        Some(picture)
    }

    /// The names of the heights of a section, and of those that nobody knows.
    fn mark_heights(&self, section: &mut CrossSection, wall: &Assembly<'_>, told: &SectionHeights, finish: Finish) {
        let SectionHeights { heights, old_surface, reference, .. } = *told;
        let high = section.high.y;
        let spec = wall.spec;
        let mut mark = |y, side, kind, label| section.mark(Mark { y, side, kind, label });
        let known = [
            (Level::Mark, told.mark),
            (Level::Exit, heights.exit),
            (Level::OldSurface, old_surface),
            (Level::Wood, heights.wood),
            (Level::Ground, heights.ground),
        ];
        for (level, y) in known {
            let side = if matches!(level, Level::Exit | Level::Wood) { Side::Underside } else { Side::Top };
            if let Some(y) = y {
                mark(y, side, MarkKind::Known, self.level_label(level, y, reference));
            }
        }
        if let Some(y) = heights.finish {
            let (kind, word) = finish.own.unwrap_or((MarkKind::Known, "picture.as_it_lies"));
            mark(y, Side::Top, kind, self.finish_label(word, y, reference));
        }
        if let Some((y, kind, word)) = finish.other {
            mark(y, Side::Top, kind, self.finish_label(word, y, reference));
        }
        // what nobody knows has a name too
        let unknown = |level: Level| self.word_with("picture.unknown", &[("name", &self.level_name(level))]);
        let missing = [
            (Level::Exit, heights.exit.is_none() && !self.site.no_exit, spec.exit_now(), Side::Underside),
            (Level::Finish, heights.finish.is_none(), spec.finish, Side::Top),
            (Level::Ground, heights.ground.is_none(), spec.ground, Side::Top),
            (Level::Mark, told.mark.is_none() && self.site.door == Some(true), high + Length::inches(1), Side::Top),
        ];
        for (level, missing, y, side) in missing {
            if missing {
                mark(y, side, MarkKind::Unknown, unknown(level));
            }
        }
    }

    /// The height of the surface, with what it means.
    fn finish_label(&self, word: &str, y: Length, reference: Level) -> String {
        let key = if y < Length::ZERO { "picture.is_below" } else { "picture.is_above" };
        let height = if reference == Level::Finish && y == Length::ZERO {
            self.word("picture.zero")
        } else {
            self.word_with(key, &[("height", &y.abs().show(self.units))])
        };
        self.word_with(word, &[("height", &height)])
    }

    /// A section with the names of its parts.
    pub(super) fn with_names(&self, section: CrossSection) -> Picture {
        let word = |key: &str| self.content.word(key).to_owned();
        let mut names: Vec<(Part, String)> = PARTS
            .into_iter()
            .map(|(part, key)| {
                let key = match part {
                    Part::Masonry if self.site.carrier == Some(Carrier::Log) => "part.logs",
                    Part::Barrier if self.site.has_bare_cavity() => "part.cavity",
                    _ => key,
                };
                (part, word(key))
            })
            .collect();
        names.extend((0..=u8::MAX).zip(&self.layers()).map(|(number, layer)| {
            let thickness = layer.thickness.show(self.units);
            let name = self.word_with("picture.layer", &[("what", &layer.what), ("thickness", &thickness)]);
            (Part::Layer(number), name)
        }));
        let unit = if self.units == Units::Inch { "picture.inch" } else { "picture.mm" };
        Picture {
            section,
            title: word("picture.title"),
            warning: None,
            notes: Vec::new(),
            drop_note: None,
            unsure_note: None,
            rejected_note: None,
            scale_note: word("picture.scale"),
            line_note: word("picture.line"),
            names,
            units: self.units,
            unit: word(unit),
        }
    }
    /// The limits that bound a height over the finish, as dimensions.
    /// `here` takes the figures from the picture, for a place along the wall, instead of from the worst place.
    fn dimensions(&self, heights: &Heights, here: bool) -> Vec<Dimension> {
        let Some(finish) = heights.finish else { return Vec::new() };
        let mut list = Vec::new();
        let exit = self.content.fact_slot(FactId::ExitAboveFinish);
        for (limit, clearance) in self.limits() {
            // a limit that only advises would hide those that count, but for the exit itself
            if limit.verdict.is_none() && usize::from(limit.measure) != exit {
                continue;
            }
            let upper = match self.upper_level(limit) {
                Some(Level::Exit) => heights.exit,
                Some(Level::Wood) => heights.wood,
                Some(Level::Mark) => heights.threshold,
                _ => None,
            };
            let clearance = match (here, upper) {
                (true, Some(upper)) => self.at_this_place(limit, clearance, upper - finish),
                _ => clearance,
            };
            if let (Some(upper), true) = (upper, clearance.status != Status::Unknown) {
                let bound = self.show(limit.measure, limit.bound);
                let found =
                    if here { self.height_in_words((upper - finish).steps()) } else { self.measured(limit, clearance) };
                let result = self.status(limit, clearance);
                let rule = self.content.word(crate::say::rule_word(limit));
                let label = self.word_with(
                    "picture.dimension",
                    &[("what", &limit.what), ("rule", rule), ("bound", &bound), ("found", &found), ("result", &result)],
                );
                list.push(Dimension {
                    from: finish.min(upper),
                    to: finish.max(upper),
                    label,
                    status: clearance.status,
                });
            }
        }
        // the crew needs those that fail, and what it must keep; more would hide them
        list.truncate(4);
        list
    }

    /// A limit held against the height at one place along the wall.
    fn at_this_place(&self, limit: &Limit, worst: crate::judge::Clearance, up: Length) -> crate::judge::Clearance {
        let off = self.values[limit.measure as usize].low().zip(worst.measured).map_or(0, |(low, middle)| middle - low);
        let n = up.steps();
        crate::judge::Clearance {
            status: judge(limit.sense, limit.bound, n - off, n + off),
            measured: Some(n),
            short_by: Some(shortfall(limit.sense, limit.bound, n)),
            ..worst
        }
    }

    fn upper_level(&self, limit: &Limit) -> Option<Level> {
        match self.fact_kind(limit.measure)? {
            // behind a free deck the ground counts, and nothing of it is measured at the boards
            FactKind::Height(..) if self.site.faces_ground() => None,
            FactKind::Height(upper, Level::Finish) => Some(upper),
            _ => None,
        }
    }

    fn fact_kind(&self, slot: Slot) -> Option<FactKind> {
        let at = (slot as usize).checked_sub(self.content.slots.facts)?;
        FACTS.get(at).map(|f| f.kind)
    }
}
