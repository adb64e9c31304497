//! What the answers say of the wall's drainage.

use super::catalog::Cladding;
use super::look::Look;
use super::parts::SitePart;
use super::terms::{Outer, SaidFall};
use crate::flow::Answer;
use crate::names::{
    AfterRepair, BarrierSaid, Carrier, ChannelEnd, ChannelOutlet, DoorSaid, DoorSillPan, Drains, FoamDrains, JointSaid,
    QuestionId, ThresholdChannel, VeneerFlashing, VeneerWeeps, WallThing, WeepScreed,
};
use crate::units::Length;
use crate::wall::{Edge, Fall, Fault, Faults, Joint, System};

/// What the answers say of the wall's drainage. Where there are several of something, it is one of them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools)] // facts that do not hang together
pub struct Drainage {
    pub(super) systems: Vec<System>,
    pub(super) joints: Vec<Joint>,
    /// Whether the joint is there to be looked at, and nobody knows whether it has opened.
    pub(super) joint_unseen: bool,
    pub(super) falls: Vec<Fall>,
    pub(super) edges: Vec<Edge>,
    /// What is known to be wrong.
    pub faults: Faults,
    /// Whether a drain channel is there or planned that is not known to lead nowhere.
    pub drain: bool,
    /// Whether a drained channel lies along the threshold of the door.
    pub(super) door_channel: bool,
    /// Whether the foot of the wall was opened and closed again in order, as photographs show.
    pub(super) repaired: bool,
    /// Whether it is known that no channel of siding, beside a door or window, is near.
    pub(super) no_channel: bool,
}

/// An open gap whose width nobody measured: `Site::walls` gives it the usual one.
const GAP: Length = Length::ZERO;

impl Drainage {
    /// Whether it is known how the wall drains.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        self.systems.len() == 1
    }
}

pub(super) fn drainage(
    look: &Look<'_>,
    cladding: Option<&Cladding>,
    carrier: Option<Carrier>,
    fall: Option<SaidFall>,
    outer: Outer,
) -> Drainage {
    look.at(SitePart::Leaks);
    let (hollow, open) = (look.yes(QuestionId::VoidBehind), look.yes(QuestionId::SurfaceGapOpen));
    let joint_unseen = look.asks(QuestionId::SurfaceGapOpen)
        && !matches!(look.answered(QuestionId::SurfaceGapOpen), Some(Answer::YesNo(_)));
    let channel = look.at(SitePart::ChannelEnd).is(ChannelEnd::BehindWork);
    let no_pan = look.at(SitePart::Pan).is(DoorSillPan::Absent);
    let no_barrier = look.at(SitePart::Barrier).is(BarrierSaid::None);
    let faults = [
        (Fault::Hollow, hollow),
        (Fault::JointOpen, open),
        (Fault::ChannelBehind, channel),
        (Fault::PanMissing, no_pan),
        (Fault::BarrierMissing, no_barrier),
    ];
    let faults = faults.into_iter().filter(|(_, there)| *there).fold(Faults::NONE, |all, (fault, _)| all.with(fault));
    Drainage {
        systems: systems(look, cladding, carrier),
        joints: joints(look.at(SitePart::Joint).choice::<JointSaid>()).to_vec(),
        joint_unseen,
        falls: match fall {
            Some(SaidFall::Away(drop)) if drop > Length::ZERO => vec![Fall::Away],
            Some(SaidFall::Along) => vec![Fall::Along],
            Some(SaidFall::Away(_) | SaidFall::None) => vec![Fall::Level],
            Some(SaidFall::Towards) => vec![Fall::Towards],
            None => vec![Fall::Away, Fall::Level, Fall::Towards],
        },
        edges: match outer {
            Outer::Drop(_) => vec![Edge::Open],
            Outer::NoEdge | Outer::Below(_) => vec![Edge::Dammed],
            Outer::Unknown => vec![Edge::Open, Edge::Dammed],
        },
        faults,
        // the size of a channel is asked where there is one, and where the work is one itself
        drain: (look.at(SitePart::Drain).yes(QuestionId::DrainChannel) || look.asks(QuestionId::ChannelWidth))
            && !look.is(ChannelOutlet::Nowhere),
        door_channel: look.at(SitePart::Pan).is(ThresholdChannel::Drained),
        repaired: matches!(
            look.at(SitePart::System).choice::<AfterRepair>(),
            Some(AfterRepair::Treated | AfterRepair::Untreated)
        ),
        no_channel: no_channel(look),
    }
}

/// What a joint may be, by what is said of it.
fn joints(said: Option<JointSaid>) -> &'static [Joint] {
    match said {
        Some(JointSaid::Tight | JointSaid::IsolationJoint) => &[Joint::Touching],
        Some(JointSaid::OpenGap | JointSaid::Strip) => &[Joint::Open(GAP)],
        Some(JointSaid::Sealed) => &[Joint::Closed],
        Some(JointSaid::Flashing) => &[Joint::Covered],
        Some(JointSaid::Hidden) | None => &[Joint::Touching, Joint::Closed, Joint::Open(GAP)],
    }
}

impl Drainage {
    /// Whether another answer about the joint gives another one, or more than one.
    pub(crate) fn has_other_joint(&self, said: Option<JointSaid>) -> bool {
        self.joints != joints(said)
    }
}

/// Siding ends in channels beside doors and windows: none where there is neither.
fn no_channel(look: &Look<'_>) -> bool {
    let end = look.at(SitePart::Channels).choice::<ChannelEnd>();
    let things = [WallThing::LowWindow, WallThing::OtherDoor].map(|thing| look.marked(thing).unwrap_or(true));
    let no_door = look.is(DoorSaid::None);
    match end {
        Some(end) => end == ChannelEnd::NoChannel,
        None => no_door && things == [false, false],
    }
}

/// The drainage systems that fit the answers; none without a cladding.
fn systems(look: &Look<'_>, cladding: Option<&Cladding>, carrier: Option<Carrier>) -> Vec<System> {
    look.at(SitePart::System);
    let screed = look.choice::<WeepScreed>();
    let (weeps, flashing) = (look.choice::<VeneerWeeps>(), look.choice::<VeneerFlashing>());
    let foam = look.choice::<FoamDrains>();
    let Some(cladding) = cladding else { return Vec::new() };
    let one = |drains: Drains| match drains {
        Drains::Laps => vec![System::Siding],
        Drains::Coat => match screed {
            Some(WeepScreed::Present) => vec![System::Coat { screed: true }],
            Some(WeepScreed::Absent) => vec![System::Coat { screed: false }],
            None => vec![System::Coat { screed: true }, System::Coat { screed: false }],
        },
        Drains::Foam => match foam {
            Some(FoamDrains::Drained) => vec![System::Foam { drained: true }],
            Some(FoamDrains::Barrier) => vec![System::Foam { drained: false }],
            None => vec![System::Foam { drained: true }, System::Foam { drained: false }],
        },
        Drains::Cavity => {
            let weeps: &[bool] = match weeps {
                Some(VeneerWeeps::Seen) => &[true],
                Some(VeneerWeeps::NoneSeen) => &[false],
                None => &[true, false],
            };
            // no edge to be seen may still mean a flashing that was cut off inside the joint
            let flashings: &[bool] = match flashing {
                Some(VeneerFlashing::Seen) => &[true],
                Some(VeneerFlashing::NoneSeen) | None => &[true, false],
            };
            let all = weeps.iter().flat_map(|w| flashings.iter().map(|f| (*w, *f)));
            all.map(|(weeps, flashing)| System::Veneer { flashing, weeps }).collect()
        }
        Drains::Solid => vec![System::Masonry],
    };
    cladding.drains_on(carrier).into_iter().flat_map(one).collect()
}
