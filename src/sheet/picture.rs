//! The section of a visit: its wall and heights as a drawing that any renderer can use.

use crate::content::Limit;
use crate::flow::Slot;
use crate::judge::{Assessment, is_fine};
use crate::names::{Carrier, FinishWay};
use crate::say::{end_word, start_word};
use crate::site::{FACTS, FactId, FactKind};
use crate::units::{Elevation, Length};
use crate::wall::{
    Assembly, CrossSection, Cut, Dimension, Heights, Level, Part, Side, Spec, Status, Under, View, judge, shortfall,
};
use crate::water::{Start, path_on};

/// A section with the words that go with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The geometry.
    pub section: CrossSection,
    /// A title.
    pub title: String,
    /// What is to scale and what is not.
    pub scale_note: String,
    /// What the way of the drop shows, if one is drawn.
    pub drop_note: Option<String>,
    /// How high one line of a drawing in characters is; `{line}` stands for the figure.
    pub line_note: String,
    /// What a question mark means, if the picture has one.
    pub unsure_note: Option<String>,
    /// Names of the parts that are drawn.
    pub names: Vec<(Part, String)>,
    /// How heights are shown.
    pub units: crate::units::Units,
}

impl Picture {
    /// What the picture says, in words: for who cannot see it.
    #[must_use]
    pub fn alt(&self) -> String {
        let labels = self.section.marks.iter().map(|mark| mark.label.as_str());
        std::iter::once(self.title.as_str()).chain(labels).collect::<Vec<_>>().join(". ")
    }

    /// The name of a part; nothing of what is not named in a drawing.
    #[must_use]
    pub fn name(&self, part: Part) -> String {
        self.names.iter().find(|(p, _)| *p == part).map_or_else(String::new, |(_, n)| n.clone())
    }
}

/// The heights of a picture, and what they are told from.
struct Told {
    /// The offset from the left end, where heights vary along the wall.
    at: Option<Length>,
    reference: Level,
    mark: Option<Length>,
    heights: Heights,
    old_surface: Option<Length>,
}

/// The words of the parts; layers have their own names.
const PARTS: [(Part, &str); 28] = [
    (Part::Framing, "part.framing"),
    (Part::Wood, "part.sheathing"),
    (Part::Backing, "part.backing"),
    (Part::Foundation, "part.foundation"),
    (Part::Membrane, "part.membrane"),
    (Part::Barrier, "part.barrier"),
    (Part::Flashing, "part.flashing"),
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
    /// The wall and the work as a section; nothing if fewer than two heights are known. Where the wall
    /// slopes, it is drawn where the exit stands least above the finish.
    #[must_use]
    pub fn picture(&self) -> Option<Picture> {
        self.picture_at(self.worst_place())
    }

    /// The section at an offset from the left end, where heights vary along the wall.
    #[must_use]
    pub fn picture_at(&self, at: Option<Length>) -> Option<Picture> {
        let told = self.told(at);
        let (wall, start) = self.wall_at(&told.heights);
        let mut picture = self.framed(&wall, start, &told)?;
        picture.section.dimensions = self.dimensions(&told.heights, told.at.is_some());
        self.say_where(&mut picture, &told);
        Some(picture)
    }

    /// The section as it will be after the work on the list: opened and closed again, or with the surface lowered.
    /// Nothing where neither is called for, or where the heights that decide it are not known.
    #[must_use]
    pub fn picture_after(&self) -> Option<Picture> {
        let after = self.after_work()?;
        let mut told = self.told(self.worst_place());
        let (now, start) = self.wall_at(&told.heights);
        let start = start?;
        // laps do not hang on where the wood ends, but it is there to be seen
        let wall = Spec { wood: now.wood, ..after.wall(&now, &self.content.usual) };
        told.heights = Heights { exit: Some(wall.exit_now()), finish: Some(wall.finish), ..told.heights };
        let mut picture = self.framed(&wall, Some(start), &told)?;
        picture.title = self.word("picture.title_after");
        self.say_where(&mut picture, &told);
        Some(picture)
    }

    /// The finished joint between the work and the wall, enlarged, for whoever opens the wall. Nothing where no flashing is called for.
    #[must_use]
    pub fn picture_joint(&self) -> Option<Picture> {
        self.after_work()?.opened?;
        self.picture_after()
    }

    fn worst_place(&self) -> Option<Length> {
        let worst = self.site.closest(Level::Exit, Level::Finish).or(self.site.closest(Level::Exit, Level::Ground));
        worst.map(|c| c.at)
    }

    fn say_where(&self, picture: &mut Picture, told: &Told) {
        if let Some(at) = told.at {
            picture.title = self.word_with("picture.at", &[("title", &picture.title), ("at", &at.show(self.units))]);
        }
    }

    /// The heights to draw, at an offset from the left end or wherever they are the same.
    fn told(&self, at: Option<Length>) -> Told {
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
        Told { at, reference, mark, heights, old_surface }
    }

    /// A wall in its frame, with the way of a drop from a start and the names of its heights.
    fn framed(&self, wall: &Spec, start: Option<Start>, told: &Told) -> Option<Picture> {
        let Told { heights, old_surface, reference, .. } = *told;
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
            way: way.map(|(start, path)| (path.corners(wall.pieces()), is_fine(start, path.end))),
        };
        let mut section = CrossSection::of(&wall, &view)?;
        for (level, y) in [
            (Level::Mark, told.mark),
            (Level::Exit, heights.exit),
            (Level::Finish, heights.finish),
            (Level::OldSurface, old_surface),
            (Level::Wood, heights.wood),
            (Level::Ground, heights.ground),
        ] {
            let side = if matches!(level, Level::Exit | Level::Wood) { Side::Underside } else { Side::Top };
            if let Some(y) = y {
                section.mark(y, side, self.level_label(level, y, reference));
            }
        }
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
        names.extend((0..=u8::MAX).zip(&layers).map(|(number, layer)| (Part::Layer(number), layer.what.clone())));
        Some(Picture {
            title: word("picture.title"),
            drop_note,
            unsure_note: section.pieces.iter().any(|p| p.unsure.is_some()).then(|| word("picture.unsure")),
            scale_note: word("picture.scale"),
            line_note: word("picture.line"),
            section,
            names,
            units: self.units,
        })
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
