//! The section of a visit: its wall and heights as a drawing that any renderer can use.

use crate::content::Limit;
use crate::flow::Slot;
use crate::judge::Assessment;
use crate::names::{Drawn, JointSaid, QuestionId};
use crate::site::{FACTS, FactId, FactKind};
use crate::units::{Elevation, Length, Slope};
use crate::wall::{Dimension, Face, Heights, Level, Part, Point, Section, Status, Stepped, judge, shortfall};
use crate::water::{Start, Wall};

/// A section with the words that go with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The geometry.
    pub section: Section,
    /// A title.
    pub title: String,
    /// What is to scale and what is not.
    pub scale_note: String,
    /// What the way of the drop shows, if one is drawn.
    pub drop_note: Option<String>,
    /// How high one line of a drawing in characters is; `{line}` stands for the figure.
    pub line_note: String,
    /// Names of the parts that are drawn.
    pub names: Vec<(Part, String)>,
    /// How heights are shown.
    pub units: crate::units::Units,
}

impl Picture {
    /// The name of a part.
    #[must_use]
    pub fn name(&self, part: Part) -> String {
        self.names.iter().find(|(p, _)| *p == part).map_or_else(String::new, |(_, n)| n.clone())
    }
}

impl Assessment<'_> {
    /// The wall and the work as a section; nothing if fewer than two heights are known. Where the wall
    /// slopes, it is drawn where the exit stands least above the finish.
    #[must_use]
    pub fn picture(&self) -> Option<Picture> {
        let worst = self.site.closest(Level::Exit, Level::Finish).or(self.site.closest(Level::Exit, Level::Ground));
        self.picture_at(worst.map(|c| c.at))
    }

    /// The section at an offset from the left end, where heights vary along the wall.
    #[must_use]
    pub fn picture_at(&self, at: Option<Length>) -> Option<Picture> {
        let at = at.filter(|_| self.site.slopes());
        let reference = if at.is_some() { Level::Mark } else { self.reference() };
        let known = |level: Level| {
            if let Some(offset) = at {
                return self.site.line(level).map(|line| line.at(offset).above(Elevation::MARK));
            }
            let measured = level == reference || self.site.levels.has(level);
            self.site.levels.above(level, reference).map(|h| h.up).filter(|_| measured)
        };
        let heights = Heights {
            threshold: known(Level::Mark).filter(|_| self.site.door == Some(true)),
            exit: known(Level::Exit),
            finish: known(Level::Finish),
            ground: known(Level::Ground),
            wood: known(Level::Wood),
        };
        let fall = crate::judge::middle(self.value(FactId::FallAway)).map(Slope::from_parts);
        let open = [JointSaid::OpenGap, JointSaid::IsolationJoint, JointSaid::Flashing];
        let gap = if self.said().is_some_and(|joint| open.contains(&joint)) {
            Length::sixty_fourths(32)
        } else {
            Length::ZERO
        };
        let mut section = Section::of(self.face(), &heights, fall, gap, self.site.depth, self.stepped())?;
        for level in [Level::Mark, Level::Exit, Level::Finish, Level::Wood, Level::Ground] {
            if let Some(y) = known(level) {
                section.mark(y, self.level_label(level, y, reference));
            }
        }
        section.dimensions = self.dimensions(&heights, at.is_some());
        self.follow_drop(&mut section, &heights);
        let word = |key: &str| self.content.word(key).to_owned();
        let parts = [
            (Part::Framing, "part.framing"),
            (Part::Sheathing, "part.sheathing"),
            (Part::Cladding, "part.cladding"),
            (Part::Masonry, "part.masonry"),
            (Part::Foundation, "part.foundation"),
            (Part::Feature, "part.feature"),
            (Part::Ground, "part.ground"),
            (Part::Threshold, "part.threshold"),
        ];
        Some(Picture {
            title: match at {
                Some(at) => {
                    self.word_with("picture.at", &[("title", &word("picture.title")), ("at", &at.show(self.units))])
                }
                None => word("picture.title"),
            },
            drop_note: section
                .drop
                .as_ref()
                .map(|drop| word(if drop.outside { "picture.drop_out" } else { "picture.drop_held" })),
            scale_note: word("picture.scale"),
            line_note: word("picture.line"),
            section,
            names: parts.into_iter().map(|(part, key)| (part, word(key))).collect(),
            units: self.units,
        })
    }

    /// The way of a drop from behind the cladding, or else from its face, at the heights of the picture.
    fn follow_drop(&self, section: &mut Section, heights: &Heights) {
        let (Some(exit), Some(finish)) = (heights.exit, heights.finish) else { return };
        let ways = self.water_ways();
        let Some(way) = ways.iter().find(|w| w.start == Start::Behind).or(ways.iter().find(|w| w.start == Start::Face))
        else {
            return;
        };
        let wall = Wall { exit: exit - finish, finish: Length::ZERO, ..way.wall };
        let Some(path) = wall.path(way.start) else { return };
        let line: Vec<Point> = path.steps.iter().flat_map(|step| [step.from, step.to]).collect();
        section.follow(self.face(), &line, finish, wall.front(), path.end.is_outside());
    }

    /// The steps to draw: those of a flight from the ground to the finish. Without a given landing the
    /// top step is drawn as deep as a tread.
    fn stepped(&self) -> Option<Stepped> {
        let steps = self.steps().filter(|s| matches!(s.climb, crate::judge::Climb::ToFinish { .. }))?;
        let plan = steps.plan?;
        let risers = steps.slabs.map_or(plan.flight.risers, |s| s.slabs);
        let landing = self.length_said(QuestionId::LandingDepth).unwrap_or(plan.tread);
        Some(Stepped { landing, tread: plan.tread, risers })
    }

    fn face(&self) -> Face {
        if self.site.solid {
            return Face::Masonry;
        }
        match self.site.drawn {
            Some(Drawn::Coat) => Face::Coat,
            Some(Drawn::Veneer) => Face::Veneer,
            Some(Drawn::Wall) => Face::Masonry,
            Some(Drawn::Boards) | None => Face::Siding,
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
            FactKind::Height(upper, Level::Finish) => Some(upper),
            _ => None,
        }
    }

    fn fact_kind(&self, slot: Slot) -> Option<FactKind> {
        let at = (slot as usize).checked_sub(self.content.slots.facts)?;
        FACTS.get(at).map(|f| f.kind)
    }
}
