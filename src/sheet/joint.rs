//! The finished joint between the work and a wall that was opened and closed again, enlarged: every sheet with its figure.

use super::picture::Picture;
use crate::judge::Assessment;
use crate::units::Length;
use crate::wall::{Assembly, CrossSection, Cut, Cutout, Heights, Mark, MarkKind, Part, Point, Side, Spec, Under, View};

/// What is shown beyond the sheets, inwards and outwards, below and above.
const INWARDS: Length = Length::inches(3);
const OUTWARDS: Length = Length::inches(3);
const BELOW: Length = Length::inches(3);
const ABOVE: Length = Length::inches(2);

impl Assessment<'_> {
    /// The finished joint between the work and the wall, enlarged, for whoever opens the wall. Heights are told from the finished
    /// surface. Nothing where no flashing is called for.
    #[must_use]
    pub fn picture_joint(&self) -> Option<Picture> {
        let after = self.after_work().filter(|after| after.opened.is_some())?;
        let usual = &self.content.usual;
        let told = self.told(self.worst_place());
        let (now, _) = self.wall_at(&told.heights);
        let wall = after.wall(&now, usual);
        let from = wall.finish;
        let wall = Spec {
            exit: wall.exit - from,
            finish: Length::ZERO,
            ground: wall.ground - from,
            // the sheets cover the wood wherever it ends; a door stands elsewhere
            wood: None,
            threshold: None,
            steps: None,
            ..wall
        };
        let built = Assembly::of(&wall, Cut::Field, usual);
        let top = usual.membrane_up.max(usual.flashing_leg).max(wall.exit_now());
        let view = View {
            known: Heights {
                exit: Some(wall.exit_now()),
                finish: Some(Length::ZERO),
                wood: Some(Length::ZERO),
                ..Heights::default()
            },
            foot_known: true,
            under: Under { layers: self.layers().iter().map(|layer| layer.thickness).collect(), old_surface: None },
            frame: Some(Cutout {
                low: Point { x: -INWARDS, y: -BELOW },
                high: Point { x: built.face() + usual.turned_out + OUTWARDS, y: top + ABOVE },
            }),
            ..View::default()
        };
        let mut section = CrossSection::of(&built, &view)?;
        // where the ground lies is nothing of this picture
        section.pieces.retain(|piece| piece.part != Part::Ground);
        let line = |part: Part| built.pieces().iter().find(|piece| piece.part == part).map(|piece| piece.line);
        let mut name = |at: Point, key: &str, figures: &[(&str, Length)]| {
            let shown: Vec<(&str, String)> = figures.iter().map(|(name, l)| (*name, l.show(self.units))).collect();
            let filled: Vec<(&str, &str)> = shown.iter().map(|(name, text)| (*name, text.as_str())).collect();
            let label = self.word_with(key, &filled);
            section.mark(Mark { y: at.y, side: Side::Top, kind: MarkKind::Name(at), label });
        };
        let up = |at: Point, by: Length| Point { x: at.x, y: at.y + by };
        let inch = Length::inches(1);
        if let Some(membrane) = line(Part::Membrane) {
            name(up(membrane[0], Length::ZERO - inch), "joint.membrane", &[("up", usual.membrane_up)]);
        }
        if let Some(barrier) = line(Part::Barrier) {
            let (foot, lap) = (usual.barrier_above, usual.flashing_leg - usual.barrier_above);
            let end = barrier[1];
            name(
                up(end, Length::sixty_fourths(lap.steps() / Length::sixty_fourths(1).steps() / 2)),
                "joint.barrier",
                &[("lap", lap), ("up", foot)],
            );
        }
        if let Some(flashing) = line(Part::Flashing) {
            let [leg, bend, lip] = [flashing[0], flashing[1], flashing[2]];
            name(leg, "joint.leg", &[("up", usual.flashing_leg)]);
            name(lip, "joint.lip", &[("out", usual.turned_out)]);
            let dam = Point { x: bend.x.max(lip.x - usual.turned_out), y: bend.y + Length::sixty_fourths(56) };
            let dam = Point { x: lip.x - Length::sixty_fourths(16), ..dam };
            name(dam, "joint.end_dam", &[]);
        }
        let edge = wall.exit_now();
        name(Point { x: built.face(), y: edge }, "joint.cut", &[("up", edge)]);
        name(
            Point {
                x: built.face() - Length::sixty_fourths(12),
                y: Length::sixty_fourths(edge.steps() / Length::sixty_fourths(1).steps() * 3 / 4),
            },
            "joint.gap",
            &[],
        );
        let label = self.word("joint.surface");
        section.mark(Mark { y: Length::ZERO, side: Side::Top, kind: MarkKind::Keep, label });
        let mut picture = self.with_names(section);
        self.say_where(&mut picture, "picture.title_joint", &told);
        picture.notes.push(self.word("joint.note"));
        Some(picture)
    }
}
