//! The foot of each kind of wall: which sheets end where, and what turns the water out.

use super::assembly::{
    Assembly, BARRIER, CHANNEL, Cut, FLASHING, FLASHING_IN_FRONT, INCH, MEMBRANE, ROOF_END, TRIM_FACE, ZERO, x,
};
use super::fault::Fault;
use super::piece::{Part, Piece, Point};
use super::spec::{Core, System};
use crate::units::Length;

impl Assembly<'_> {
    /// The wall away from doors.
    pub(super) fn field(&mut self) {
        let spec = self.spec;
        let (top, bottom, wood, exit) = (self.at.top, self.at.bottom, self.at.wood, spec.exit_now());
        if spec.system == System::Masonry {
            self.pieces.push(Piece::upright(Part::Masonry, ZERO, top, bottom));
            return;
        }
        if spec.core == Core::Solid {
            self.pieces.push(Piece::upright(Part::Backing, ZERO, top, bottom));
        } else {
            self.pieces.push(Piece::upright(Part::Wood, ZERO, top, wood));
            self.pieces.push(Piece::upright(Part::Foundation, ZERO, wood.min(top), bottom));
        }
        self.pieces.push(Piece::upright(spec.system.face(), self.face(), top, exit));
        if spec.has(Fault::RoofEndInside) {
            self.pieces.push(Piece::upright(Part::RoofEnd, ROOF_END, top, top - INCH));
        }
        if spec.opened.is_some() {
            self.opened_foot();
        } else {
            self.foot();
        }
        if self.cut == Cut::Channel {
            let behind = spec.has(Fault::ChannelBehind);
            let foot = if behind { spec.finish.min(exit) - self.usual.channel_behind } else { exit + x(4) };
            self.pieces.push(Piece::upright(Part::Channel, CHANNEL, top, foot));
        }
    }

    /// The barrier, down to a foot, or as far as it goes where it was cut too short.
    fn barrier(&mut self, foot: Length) {
        let missing = self.spec.has(Fault::BarrierMissing);
        if missing || self.spec.system == (System::Foam { drained: false }) {
            return;
        }
        let short = if self.spec.has(Fault::BarrierShort) { self.usual.barrier_short } else { ZERO };
        self.pieces.push(Piece::upright(Part::Barrier, BARRIER, self.at.top, foot + short));
    }

    /// Something bent that turns the water out: its leg from `top` down to `bend`, its lip at `out`. One that
    /// leans in has its lip above the bend, and catches nothing from the face that it ends with.
    fn turned_out(&mut self, part: Part, top: Length, bend: Length, out: Length, lip: Length) {
        let leans = self.spec.has(Fault::FlashingLeansIn);
        let leg = if self.spec.has(Fault::FlashingInFront) { FLASHING_IN_FRONT } else { FLASHING };
        let out = if leans && out == self.face() { out - x(1) } else { out };
        let lip = Point { x: out, y: if leans { bend + x(8) } else { lip } };
        self.pieces.push(Piece::bent(part, leg, top, bend, lip));
    }

    /// The foot of a wall that nobody has opened.
    fn foot(&mut self) {
        let (exit, face, usual) = (self.spec.exit, self.face(), self.usual);
        let has_flashing = !self.spec.has(Fault::FlashingMissing);
        match self.spec.system {
            System::Siding | System::Foam { .. } | System::Masonry => self.barrier(exit + x(8)),
            System::Coat { screed: true } => {
                if has_flashing {
                    self.turned_out(Part::Screed, exit + usual.screed_leg, exit, face, exit - x(8));
                }
                // where it misses the screed it ends before wood
                self.barrier(exit + x(40));
            }
            System::Coat { screed: false } => {
                self.barrier(exit + x(8));
                self.pieces.push(Piece::floor(Part::ClosedFoot, exit + x(4), ZERO, face - x(1)));
            }
            System::Veneer { flashing, weeps } => {
                let caught = flashing && has_flashing;
                if caught {
                    // full joints hold the water in: the flashing then ends inside the veneer
                    let out = if weeps { face } else { face - INCH };
                    self.turned_out(Part::Flashing, exit + usual.veneer_leg, exit, out, exit - x(8));
                }
                if !caught || !weeps {
                    self.pieces.push(Piece::floor(Part::Ledge, exit - usual.ledge_below, ZERO, face - x(1)));
                }
                self.barrier(exit + if caught { usual.veneer_barrier } else { x(8) });
            }
        }
    }

    /// Membrane, flashing turned out over the surface, barrier over the flashing.
    fn opened_foot(&mut self) {
        let (finish, usual) = (self.spec.finish, self.usual);
        self.pieces.push(Piece::upright(Part::Membrane, MEMBRANE, finish + usual.membrane_up, self.at.bottom));
        if !self.spec.has(Fault::FlashingMissing) {
            let out = self.face() + usual.turned_out;
            self.turned_out(Part::Flashing, finish + usual.flashing_leg, finish + x(32), out, finish + x(8));
        }
        self.barrier(finish + usual.barrier_above);
    }

    /// The wall at a door, from above its head down.
    pub(super) fn door(&mut self) {
        let (spec, usual, sill) = (self.spec, self.usual, self.sill());
        let threshold = spec.threshold.unwrap_or(spec.finish);
        let head = threshold + usual.door_height;
        let lapped = !spec.has(Fault::HeadNotLapped);
        let leg = if lapped { FLASHING } else { FLASHING_IN_FRONT };
        let lip = Point { x: TRIM_FACE + x(16), y: head - x(8) };
        self.pieces.push(Piece::bent(Part::Flashing, leg, head + usual.head_leg, head, lip));
        // laid over the flashing it ends there; behind it, it goes on down behind the trim
        let foot = if lapped { head + x(32) } else { threshold - x(16) };
        self.pieces.push(Piece::upright(Part::Barrier, BARRIER, self.at.top, foot));
        self.pieces.push(Piece::upright(Part::Trim, TRIM_FACE, head - x(8), sill));
        let out = x(72);
        if spec.has(Fault::PanMissing) {
            let sill_of = if spec.core == Core::Solid { Part::Ledge } else { Part::Wood };
            self.pieces.push(Piece::floor(sill_of, sill, ZERO, out));
        } else {
            let lip = Point { x: out, y: sill };
            self.pieces.push(Piece::bent(Part::Pan, MEMBRANE, threshold, sill + x(8), lip));
        }
        self.pieces.push(Piece::upright(Part::Foundation, ZERO, sill - x(8), self.at.bottom));
    }
}
