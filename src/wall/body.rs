//! The pieces of a wall as outlines, made only when somebody wants to see them.

use super::assembly::{Assembly, BARRIER, CHANNEL, Cut, FLASHING_IN_FRONT, INCH, MEMBRANE, Places, TRIM_FACE, ZERO, x};
use super::piece::{Part, Piece, Point};
use super::spec::{Core, Spec, Stepped, System};
use crate::units::Length;

/// A piece as it is seen: water runs on its line, its outline is filled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Body {
    /// What it is.
    pub part: Part,
    /// The line that water runs on; empty for what water never reaches.
    pub line: Vec<Point>,
    /// A simple polygon; empty where the layers of the work are all of it.
    pub outline: Vec<Point>,
}

/// What is known of the work below its surface.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Under {
    /// How thick its layers are, from the top down; none if they are not known.
    pub layers: Vec<Length>,
    /// The height of an old surface that stays under it.
    pub old_surface: Option<Length>,
}

/// A stud of dressed lumber, nominal 2x4 (PS 20, American Softwood Lumber Standard: 3-1/2 in).
const STUD: Length = Length::sixty_fourths(7 * 32);
/// Thicknesses for the picture only.
const SHEATHING: Length = x(32);
pub(super) const FOUNDATION: Length = Length::inches(8);
const SHEET: Length = x(4);
const SIDING_BACK: Length = x(24);
const VENEER_BACK: Length = x(72);
const THIN_COAT: Length = x(16);
const WEEP: Length = x(24);
const WORK: Length = Length::inches(4);

impl Assembly<'_> {
    /// Everything that is to be seen, those behind first: each piece that water runs on once, and what it never
    /// reaches.
    #[must_use]
    pub fn bodies(&self, under: &Under) -> Vec<Body> {
        let mut bodies = self.unreached(under);
        bodies.extend(self.pieces.iter().map(|piece| Body {
            part: piece.part,
            line: piece.line.to_vec(),
            outline: self.outline(piece, under),
        }));
        bodies.sort_by_key(|body| depth(body.part));
        bodies
    }

    /// The outline of one of its pieces: a simple polygon, or nothing of the work where its layers are all of it.
    #[must_use]
    pub fn outline(&self, piece: &Piece, under: &Under) -> Vec<Point> {
        let line = &piece.line;
        let (first, last) = (line[0], line[line.len() - 1]);
        let Places { bottom, inner, beside, .. } = self.at;
        match piece.part {
            Part::Wood if first.x == last.x => block(-SHEATHING, last.y, ZERO, first.y),
            Part::Backing => block(-FOUNDATION, last.y, ZERO, first.y),
            Part::Foundation => self.foundation(first.y),
            Part::Cladding | Part::Coat => block(self.skin_back(), last.y, first.x, first.y),
            Part::Masonry if self.spec.system == System::Masonry => {
                let foot = if self.spec.core == Core::Logs { self.spec.exit_now().max(bottom) } else { bottom };
                block(-FOUNDATION, foot, ZERO, first.y)
            }
            Part::Masonry => {
                let foot = if self.weeps() { last.y + WEEP } else { self.skin_foot() };
                block(VENEER_BACK, foot, first.x, first.y.max(foot + INCH))
            }
            Part::Trim => block(FLASHING_IN_FRONT, last.y, first.x, first.y),
            Part::Finish => self.work_body(under),
            Part::Drain => channel(first.x, last.x, first.y, self.spec.finish.min(self.at.edge)),
            Part::Fill => block(ZERO, beside.max(bottom), inner, first.y),
            Part::Void | Part::Gap => self.hollow(first.y),
            Part::BesideFoundation => block(ZERO, first.y - INCH, last.x, first.y),
            Part::Ground => self.ground(first.x, last.x),
            _ => band(line),
        }
    }

    /// How far out each layer of the wall lies, and the work, from the inside out: what a drawing has to keep apart.
    #[must_use]
    pub fn faces(&self) -> Vec<Length> {
        let mut faces = vec![-FOUNDATION, ZERO, self.face(), self.at.inner];
        if self.spec.system != System::Masonry {
            faces.extend([-SHEATHING - STUD, -SHEATHING, self.skin_back(), BARRIER]);
        }
        if matches!(self.spec.system, System::Foam { .. }) {
            faces.push(FLASHING_IN_FRONT);
        }
        for piece in &self.pieces {
            if piece.part.is_sheet() && piece.line[0].x == piece.line[1].x {
                faces.push(piece.line[0].x);
            }
        }
        if self.cut == Cut::Door {
            faces.push(TRIM_FACE);
        } else if self.spec.threshold.is_some() {
            faces.push(self.face() + INCH);
        }
        faces.sort_unstable();
        faces.dedup();
        faces
    }

    /// What is seen but never reached by water.
    fn unreached(&self, under: &Under) -> Vec<Body> {
        let mut bodies = Vec::new();
        let Places { top, wood, inner, beside, bottom, joint_floor, .. } = self.at;
        let mut add = |part, outline| bodies.push(Body { part, line: Vec::new(), outline });
        let (stud, spec) = (-SHEATHING - STUD, self.spec);
        if self.cut == Cut::Door {
            let head = self.sill() + self.usual.sill_below + self.usual.door_height;
            if spec.core == Core::Solid {
                add(Part::Backing, block(-FOUNDATION, head, ZERO, top));
            } else {
                add(Part::Framing, block(stud, head, -SHEATHING, top));
                add(Part::Wood, block(-SHEATHING, head, ZERO, top));
            }
            add(Part::Threshold, block(stud, self.sill(), MEMBRANE, self.sill() + self.usual.sill_below));
        } else {
            if spec.system != System::Masonry && spec.core == Core::Wood {
                add(Part::Framing, block(stud, wood, -SHEATHING, top.max(wood + x(1))));
            }
            if spec.core == Core::Logs {
                add(Part::Foundation, block(-FOUNDATION, bottom, ZERO, spec.exit_now().max(bottom + x(1))));
            }
            if let Some(threshold) = spec.threshold {
                // its nose, beyond the section
                add(Part::Threshold, block(self.face(), threshold - INCH, self.face() + INCH, threshold));
            }
        }
        if self.cut == Cut::Field && matches!(spec.system, System::Foam { .. }) {
            let exit = spec.exit_now();
            add(Part::Foam, block(FLASHING_IN_FRONT, exit, self.face() - THIN_COAT, top.max(exit + x(1))));
        }
        if self.weeps() {
            // the courses below the weep holes
            add(Part::Masonry, block(VENEER_BACK, self.skin_foot(), self.face(), spec.exit - x(12)));
        }
        let is_open = self.pieces.iter().any(|p| matches!(p.part, Part::Void | Part::Gap));
        if let (true, Some(floor)) = (is_open, joint_floor) {
            add(Part::Fill, block(ZERO, beside.max(bottom), inner, floor));
        }
        let bent = self.pieces.iter().find(|p| p.part == Part::Flashing).filter(|_| spec.opened.is_some());
        if let Some([_, bend, lip]) = bent.map(|p| &p.line[..]) {
            let up = |at: &Point| Point { x: at.x, y: at.y + INCH };
            add(Part::EndDam, vec![*bend, *lip, up(lip), up(bend)]);
        }
        if !self.at.leaks && spec.opened.is_none() {
            let corner = |out, up| Point { x: inner + out, y: spec.finish + up };
            add(Part::Closure, vec![corner(ZERO, ZERO), corner(x(16), ZERO), corner(ZERO, x(32))]);
        }
        for (part, outline) in self.layers(under) {
            add(part, outline);
        }
        bodies
    }

    /// Where the skin of the wall begins, out from the sheathing.
    fn skin_back(&self) -> Length {
        match self.spec.system {
            // the channel holds its ends, and water runs down in between
            System::Siding if self.cut == Cut::Channel => CHANNEL + x(16),
            System::Siding => SIDING_BACK,
            System::Foam { .. } => self.face() - THIN_COAT,
            System::Veneer { .. } => VENEER_BACK,
            System::Coat { .. } | System::Masonry => FLASHING_IN_FRONT,
        }
    }

    /// Where the skin ends below: a veneer stands on a ledge.
    fn skin_foot(&self) -> Length {
        match self.spec.system {
            System::Veneer { .. } if self.spec.opened.is_none() => self.spec.exit - self.usual.ledge_below,
            _ => self.spec.exit_now(),
        }
    }

    /// Whether there are weep holes to be seen.
    fn weeps(&self) -> bool {
        let open = matches!(self.spec.system, System::Veneer { weeps: true, .. });
        // on no height of courses nothing can be left open
        open && self.cut != Cut::Door && self.spec.opened.is_none() && self.usual.ledge_below > x(12)
    }

    /// The foundation, with a ledge before it where a veneer stands.
    fn foundation(&self, top: Length) -> Vec<Point> {
        let bottom = self.at.bottom;
        let top = top.max(bottom + x(1));
        let stands = matches!(self.spec.system, System::Veneer { .. }) && self.spec.opened.is_none();
        if !stands || self.cut == Cut::Door {
            return block(-FOUNDATION, bottom, ZERO, top);
        }
        let (face, ledge) = (self.face(), self.skin_foot());
        let mut outline = vec![
            Point { x: -FOUNDATION, y: bottom },
            Point { x: face, y: bottom },
            Point { x: face, y: ledge },
            Point { x: ZERO, y: ledge },
            Point { x: ZERO, y: top },
            Point { x: -FOUNDATION, y: top },
        ];
        outline.dedup();
        outline
    }

    /// The ground: up to the wall below its skin, before the skin above.
    /// `outer` is where it lies open, `right` where it ends.
    fn ground(&self, outer: Length, right: Length) -> Vec<Point> {
        let (bottom, spec) = (self.at.bottom, self.spec);
        let mut outline = vec![Point { x: ZERO, y: bottom }, Point { x: right, y: bottom }];
        if self.is_dammed() {
            let dam = spec.ground.max(spec.finish.max(self.at.edge) + INCH);
            outline.push(Point { x: right, y: dam });
            if dam > spec.ground {
                outline.extend([Point { x: outer, y: dam }, Point { x: outer, y: spec.ground }]);
            }
        } else {
            outline.push(Point { x: right, y: spec.ground });
        }
        let (face, foot) = (self.face(), if self.cut == Cut::Door { self.sill() } else { self.skin_foot() });
        // over a surface that lies below the ground there is no soil: it lies in a pit
        let sunken = spec.finish < spec.ground && outer > ZERO;
        let top = if sunken { spec.finish } else { spec.ground };
        if sunken {
            let edge = self.at.edge.min(spec.ground);
            outline.extend([Point { x: outer, y: spec.ground }, Point { x: outer, y: edge }]);
            outline.dedup();
        }
        if top > foot && face > ZERO && outer > face {
            outline.extend([Point { x: face, y: top }, Point { x: face, y: foot }, Point { x: ZERO, y: foot }]);
        } else {
            outline.push(Point { x: ZERO, y: top });
        }
        outline
    }

    /// The open space above the bottom of a joint.
    fn hollow(&self, floor: Length) -> Vec<Point> {
        let Places { inner, in_front, .. } = self.at;
        let (face, foot, finish) = (self.face(), self.skin_foot(), self.spec.finish);
        if !in_front || face == ZERO {
            return block(ZERO, floor, inner, finish);
        }
        let below = foot.min(finish);
        match (inner > face, below > floor) {
            (true, true) if foot < finish => vec![
                Point { x: ZERO, y: floor },
                Point { x: inner, y: floor },
                Point { x: inner, y: finish },
                Point { x: face, y: finish },
                Point { x: face, y: below },
                Point { x: ZERO, y: below },
            ],
            (true, _) => block(face, floor, inner, finish),
            (false, true) => block(ZERO, floor, inner, below),
            (false, false) => block(ZERO, floor - SHEET, inner, floor),
        }
    }

    /// The work from its surface down to what it stands on.
    fn work_body(&self, under: &Under) -> Vec<Point> {
        let Places { inner, outer, edge, bottom, .. } = self.at;
        let Spec { finish, ground, .. } = *self.spec;
        let thick = under.layers.iter().fold(ZERO, |sum, layer| sum + *layer);
        if thick > ZERO && self.is_flat() && finish - thick <= ground {
            // its layers are all of it
            return Vec::new();
        }
        let thick = if thick > ZERO { thick } else { WORK };
        let bed = (finish - thick).min(ground).max(bottom);
        match self.spec.steps {
            Some(steps) if steps.risers > 0 && finish > ground => {
                stairs([inner, outer], [finish, edge], ground.max(bed), bed, steps)
            }
            _ => vec![
                Point { x: inner, y: bed },
                Point { x: outer, y: bed.min(edge - INCH) },
                Point { x: outer, y: edge },
                Point { x: inner, y: finish },
            ],
        }
    }

    /// Whether no steps lead down from its surface.
    fn is_flat(&self) -> bool {
        self.spec.steps.is_none_or(|steps| steps.risers < 1 || self.spec.finish <= self.spec.ground)
    }

    /// The layers of the work, and the old slab under it.
    fn layers(&self, under: &Under) -> Vec<(Part, Vec<Point>)> {
        let Places { inner, outer, edge, bottom, .. } = self.at;
        let Spec { finish, ground, .. } = *self.spec;
        let mut list = Vec::new();
        if self.is_flat() {
            let mut down = ZERO;
            for (number, thick) in (0..=u8::MAX).zip(&under.layers) {
                let (from, to) = (down, down + *thick);
                down = to;
                let corner = |x, y: Length| Point { x, y };
                let outline = vec![
                    corner(inner, finish - to),
                    corner(outer, edge - to),
                    corner(outer, edge - from),
                    corner(inner, finish - from),
                ];
                if *thick > ZERO {
                    list.push((Part::Layer(number), outline));
                }
            }
        }
        if let Some(old) = under.old_surface.filter(|old| *old < finish && *old > bottom) {
            let foot = (old - WORK).min(ground).max(bottom);
            list.push((Part::OldSlab, block(inner, foot, outer, old.min(edge).max(foot + x(1)))));
        }
        list
    }
}

/// What is painted first lies behind.
fn depth(part: Part) -> u8 {
    match part {
        Part::Ground => 0,
        Part::Fill => 1,
        Part::Void | Part::Gap | Part::BesideFoundation => 2,
        Part::Foundation | Part::Backing => 3,
        Part::Framing | Part::Wood | Part::Ledge => 4,
        Part::Foam | Part::EndDam => 5,
        Part::Cladding | Part::Coat | Part::Masonry | Part::Trim => 6,
        Part::Threshold => 7,
        Part::Finish => 8,
        Part::Layer(_) => 9,
        Part::OldSlab | Part::Closure | Part::Drain => 10,
        // sheets are thin: nothing may hide them
        _ => 11,
    }
}

fn block(left: Length, bottom: Length, right: Length, top: Length) -> Vec<Point> {
    vec![
        Point { x: left, y: bottom },
        Point { x: right, y: bottom },
        Point { x: right, y: top },
        Point { x: left, y: top },
    ]
}

/// A thin sheet behind and below the line that water runs on.
fn band(line: &[Point]) -> Vec<Point> {
    let mut outline = line.to_vec();
    for (i, at) in line.iter().enumerate().rev() {
        let beside = |other: Option<&Point>| other.map(|o| o.x == at.x);
        let (before, after) = (beside(i.checked_sub(1).and_then(|i| line.get(i))), beside(line.get(i + 1)));
        let upright = before == Some(true) || after == Some(true);
        let across = before == Some(false) || after == Some(false);
        outline
            .push(Point { x: if upright { at.x - SHEET } else { at.x }, y: if across { at.y - SHEET } else { at.y } });
    }
    outline
}

/// A drain channel, open at the top.
fn channel(from: Length, to: Length, floor: Length, rim: Length) -> Vec<Point> {
    let (wall, rim) = (x(8), rim.max(floor + x(8)));
    let corner = |x, y| Point { x, y };
    vec![
        corner(from, floor - x(16)),
        corner(to, floor - x(16)),
        corner(to, rim),
        corner(to - wall, rim),
        corner(to - wall, floor),
        corner(from + wall, floor),
        corner(from + wall, rim),
        corner(from, rim),
    ]
}

/// The outline of a landing with steps down to the ground. Its surface runs from `[inner, outer]` at the heights
/// `[finish, edge]`.
fn stairs(reach: [Length; 2], surface: [Length; 2], ground: Length, under: Length, steps: Stepped) -> Vec<Point> {
    let ([from, outer], [finish, edge]) = (reach, surface);
    let rise = finish - ground;
    let height =
        |n: i64| if n == 0 { edge } else { (finish - Length::from_steps(rise.steps() * n / steps.risers)).min(edge) };
    let mut x = outer + steps.run();
    let mut outline = vec![Point { x: from, y: under }, Point { x, y: under }];
    for n in (0..steps.risers).rev() {
        outline.push(Point { x, y: height(n + 1) });
        outline.push(Point { x, y: height(n) });
        x = x - if n == 0 { ZERO } else { steps.tread };
    }
    outline.push(Point { x: from, y: finish });
    outline.dedup();
    outline
}
