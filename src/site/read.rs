//! The crossing itself: answers read as building terms.

use super::catalog::{Catalog, Cladding, Feature};
use super::look::Look;
use super::model::Site;
use super::parts::SitePart;
use super::storm::StormSaid;
use super::terms::{LevelChange, Outer, SaidFall, Strip};
use crate::flow::{Answer, Answers, State, Truth, Value};
use crate::names::{
    Backing, Carrier, ChannelOutlet, CoatBacking, DampCourse, DeckCarried, DoorSaid, Drains, ExitHiddenBy, ExitWay,
    FallSaid, FinishWay, JointSaid, OpeningKind, OuterEdge, QuestionId, Shape, Stage, WeepScreed,
};
use crate::units::{Elevation, Length};
use crate::wall::{Core, DERIVED_READINGS, Level, Levels, Line, Reading};
use std::cell::{Cell, RefCell};

/// Heights above the finish that are asked directly.
const ASKED: [(QuestionId, OpeningKind, SitePart); 4] = [
    (QuestionId::WindowSillAboveSurface, OpeningKind::Window, SitePart::Window),
    (QuestionId::GasVentAboveSurface, OpeningKind::GasVent, SitePart::GasVent),
    (QuestionId::DryerVentAboveSurface, OpeningKind::DryerVent, SitePart::DryerVent),
    (QuestionId::GasMeterAboveSurface, OpeningKind::GasMeter, SitePart::GasMeter),
];

impl Site {
    /// Reads the answers that count.
    #[must_use]
    pub fn read(catalog: &Catalog, answers: &Answers, state: &State) -> Site {
        let look = Look {
            names: &catalog.names,
            answers,
            state,
            part: Cell::new(SitePart::Stage),
            reads: RefCell::new(Vec::with_capacity(112)),
        };
        let built = look.at(SitePart::Stage).is(Stage::Built);
        let door = look.at(SitePart::Door).index(QuestionId::Door);
        let door = door.map(|index| catalog.names.choice(index) != Some(DoorSaid::None));
        let added_on_top = look.at(SitePart::Finish).is(FinishWay::AddedOnTop);
        let hidden = hidden(&look, built, added_on_top);
        let along = along(&look);
        let (levels, touch_finish) = levels(&look, built, &catalog.wood_lines);
        let cladding = look.at(SitePart::System).index(QuestionId::Cladding).map(|index| &catalog.claddings[index]);
        let carrier = carrier(&look, cladding);
        let feature = look.at(SitePart::Feature).index(QuestionId::Feature).map(|index| catalog.features[index]);
        let (fall, outer) = (fall(&look), outer(&look));
        let landing = look.at(SitePart::Depth).length(QuestionId::LandingDepth);
        let depth = look.length(QuestionId::FeatureDepth);
        // of steps, landings and ramps the fall is that of the landing, and only its own depth tells how much it is
        let fall_depth = match feature.map(|feature| feature.shape) {
            Some(Shape::Landing | Shape::Flight) => landing,
            Some(Shape::Flat | Shape::Upright) if look.asks(QuestionId::LandingDepth) => landing,
            Some(Shape::Flat | Shape::Upright) => depth,
            None => None,
        };
        let mut site = Site {
            levels,
            door,
            length: look.at(SitePart::Length).length(QuestionId::FeatureLength),
            depth,
            openings: look.openings(),
            footing: look.at(SitePart::Footing).length(QuestionId::FootingBelowGround),
            asked: ASKED.iter().map(|(id, kind, part)| (*kind, look.at(*part).value(*id))).collect(),
            other_door_below: look.at(SitePart::OtherDoor).value(QuestionId::OtherDoorBelowMark),
            drainage: super::drainage::drainage(&look, cladding, carrier, fall, outer),
            built,
            landing_depth: landing,
            door_width: look.at(SitePart::DoorWidth).length(QuestionId::DoorWidth),
            level_change: level_change(&look),
            strip: strip(&look, feature),
            fall,
            fall_depth,
            outer,
            maker: look.at(SitePart::Maker).value(QuestionId::FcClearance),
            floor_below: look.at(SitePart::Floor).value(QuestionId::FloorBelowMark),
            ends_drop: look.at(SitePart::Ends).value(QuestionId::EndsDrop),
            steps: steps(&look, feature),
            slab: look.at(SitePart::Steps).value(QuestionId::SlabThickness),
            trenches: [QuestionId::ChannelDepth, QuestionId::StripDepth]
                .map(|deep| look.at(SitePart::Trench).value(deep)),
            hollow: [QuestionId::VoidLength, QuestionId::VoidWidth, QuestionId::VoidDepth]
                .map(|size| look.at(SitePart::Void).value(size)),
            drained: StormSaid::read(&look),
            no_exit: no_exit(&look, cladding),
            exit_kind: cladding.map(|cladding| exit_kind(&look, cladding, carrier)),
            drawn: cladding.map(|cladding| cladding.drawn),
            in_courses: cladding.is_some_and(|cladding| cladding.in_courses),
            drains: cladding.map(|cladding| cladding.drains),
            solid: cladding.is_some_and(|c| c.is_solid_on(carrier)),
            core: core(cladding, carrier),
            carrier: carrier.or(cladding.and_then(|c| c.usually)),
            feature,
            hidden,
            hidden_below: hidden_below(&look),
            steps_from_ground: feature.is_some_and(|f| matches!(f.shape, Shape::Landing | Shape::Flight)),
            along,
            touch_finish,
            ..Site::default()
        };
        site.reads = look.reads.into_inner();
        site
    }
}

/// Whether the wall certainly has no place where water from inside it leaves.
fn no_exit(look: &Look<'_>, cladding: Option<&Cladding>) -> bool {
    let absent = look.at(SitePart::NoExit).is(DampCourse::Absent);
    if absent {
        look.answer(QuestionId::Cladding);
    }
    absent && cladding.is_some_and(|cladding| cladding.drains == Drains::Solid)
}

/// Riser and tread of the user's own steps. Of stone slabs, each is a riser.
fn steps(look: &Look<'_>, feature: Option<Feature>) -> (Value, Value) {
    look.at(SitePart::Steps);
    let (rise, slab, tread) =
        (look.value(QuestionId::StepRise), look.value(QuestionId::SlabThickness), look.value(QuestionId::TreadDepth));
    let is_flight = feature.is_none_or(|feature| feature.shape == Shape::Flight);
    if is_flight { (if rise == Value::Absent { slab } else { rise }, tread) } else { (Value::Absent, Value::Absent) }
}

/// What carries the cladding; nothing where that is not known.
fn carrier(look: &Look<'_>, cladding: Option<&Cladding>) -> Option<Carrier> {
    let coat = look.choice::<CoatBacking>().map(|backing| match backing {
        CoatBacking::Frame => Carrier::WoodFrame,
        CoatBacking::SteelFrame => Carrier::SteelFrame,
        CoatBacking::Panels => Carrier::Panels,
        CoatBacking::Masonry => Carrier::Block,
        CoatBacking::Concrete => Carrier::Concrete,
    });
    let other = look.choice::<Backing>().map(|backing| match backing {
        Backing::WoodFrame => Carrier::WoodFrame,
        Backing::SteelFrame => Carrier::SteelFrame,
        Backing::Panels => Carrier::Panels,
        Backing::Block => Carrier::Block,
        Backing::Concrete => Carrier::Concrete,
    });
    let only = || match cladding?.carried_by.as_slice() {
        [one] => Some(*one),
        _ => None,
    };
    coat.or(other).or_else(only)
}

/// What stands behind the cladding. What is not known for certain is taken to be wood: water does more harm there.
fn core(cladding: Option<&Cladding>, carrier: Option<Carrier>) -> Core {
    let may = carrier.as_slice();
    let may = if may.is_empty() { cladding.map_or(&[][..], |cladding| &cladding.carried_by) } else { may };
    match may {
        [] => Core::Wood,
        all if all.iter().all(|carrier| carrier.is_solid()) => Core::Solid,
        all if all.iter().all(|carrier| *carrier == Carrier::Log) => Core::Logs,
        _ => Core::Wood,
    }
}

/// Where the exit cannot be seen, whether that means that it is covered.
fn hidden(look: &Look<'_>, built: bool, added_on_top: bool) -> Option<Truth> {
    let way = look.at(SitePart::Exit).choice::<ExitWay>();
    let by = look.choice::<ExitHiddenBy>();
    if way != Some(ExitWay::CannotSee) {
        return None;
    }
    Some(match by {
        Some(ExitHiddenBy::NewWork) => Truth::Yes,
        Some(ExitHiddenBy::OldSurface) if built || added_on_top => Truth::Yes,
        Some(ExitHiddenBy::OldSurface | ExitHiddenBy::Soil | ExitHiddenBy::Trim) | None => Truth::Unknown,
    })
}

/// What hides the exit and so stands at least as high: it can be compared with other heights.
fn hidden_below(look: &Look<'_>) -> Option<Level> {
    let way = look.at(SitePart::Exit).choice::<ExitWay>();
    match look.choice::<ExitHiddenBy>()? {
        _ if way != Some(ExitWay::CannotSee) => None,
        ExitHiddenBy::Soil => Some(Level::Ground),
        ExitHiddenBy::OldSurface => Some(Level::OldSurface),
        ExitHiddenBy::NewWork | ExitHiddenBy::Trim => None,
    }
}

/// The questions whose answer is a reading: for which part, the lower and the upper level, and whether it was measured.
pub(crate) fn readings(built: bool) -> [(SitePart, QuestionId, Level, Level, bool); 9] {
    use Level::{Exit, Finish, Ground, Mark, OldSurface, Wood};
    use QuestionId as Q;
    let surface = if built { Finish } else { OldSurface };
    [
        (SitePart::Exit, Q::ExitBelowMark, Exit, Mark, true),
        (SitePart::Exit, Q::ExitAboveGround, Ground, Exit, true),
        (SitePart::Exit, Q::ExitAboveSurface, surface, Exit, true),
        (SitePart::Finish, Q::FinishBelowMark, Finish, Mark, built),
        (SitePart::Finish, Q::FinishAboveGround, Ground, Finish, built),
        (SitePart::Finish, Q::BuildUp, OldSurface, Finish, built),
        (SitePart::OldSurface, Q::OldSurfaceBelowMark, OldSurface, Mark, true),
        (SitePart::Ground, Q::GroundBelowMark, Ground, Mark, true),
        (SitePart::Wood, Q::WoodBelowMark, Wood, Mark, true),
    ]
}

/// The readings that the answers give. A planned height is exact, a measured one is not.
///
/// Besides, those answers that touch the finish, and how they change as it rises.
fn levels(look: &Look<'_>, built: bool, wood_lines: &[Option<Length>]) -> (Levels, Vec<(QuestionId, i64)>) {
    use Level::{Finish, Mark, Wood};
    use QuestionId as Q;
    let table = readings(built);
    let (mut levels, mut touch_finish) = (Levels::default(), Vec::new());
    for (part, id, lower, upper, measured) in table {
        if upper == Mark {
            look.at(SitePart::OnTheLine).answer(id);
        }
        if let Some(up) = look.at(part).length(id) {
            levels.add(Reading { lower, upper, up, readings: u32::from(measured) });
            match (lower, upper) {
                (Finish, _) => touch_finish.push((id, -1)),
                (_, Finish) => touch_finish.push((id, 1)),
                _ => {}
            }
        }
    }
    for (level, _, profile, left, right) in ALONG {
        for id in [profile, left, right] {
            if level == Finish && look.answered(id).is_some() {
                touch_finish.push((id, -1));
            }
        }
    }
    // the bottom of the wood below the threshold, from the depth of the floor joists; the figures are content
    let derived = look.at(SitePart::Wood).index(Q::JoistSize).and_then(|size| wood_lines.get(size).copied().flatten());
    if let (false, Some(up)) = (levels.has(Wood), derived) {
        levels.add(Reading { lower: Wood, upper: Mark, up, readings: DERIVED_READINGS });
    }
    levels.join();
    (levels, touch_finish)
}

/// Heights along the wall: level, its profile, its left and its right end.
pub(crate) const ALONG: [(Level, SitePart, QuestionId, QuestionId, QuestionId); 3] = [
    (
        Level::Finish,
        SitePart::Finish,
        QuestionId::FinishProfile,
        QuestionId::FinishLeftBelowMark,
        QuestionId::FinishRightBelowMark,
    ),
    (
        Level::Ground,
        SitePart::Ground,
        QuestionId::GroundProfile,
        QuestionId::GroundLeftBelowMark,
        QuestionId::GroundRightBelowMark,
    ),
    (
        Level::Exit,
        SitePart::Exit,
        QuestionId::ExitProfile,
        QuestionId::ExitLeftBelowMark,
        QuestionId::ExitRightBelowMark,
    ),
];

/// The lines of the levels whose both ends are known.
fn along(look: &Look<'_>) -> Vec<(Level, Line)> {
    // whether it is asked at all counts too
    look.at(SitePart::Slope).note(QuestionId::LevelsVary);
    let length = look.at(SitePart::Length).length(QuestionId::FeatureLength);
    let (mut profiles, mut ends) = (Vec::new(), Vec::new());
    for (level, part, profile, left, right) in ALONG {
        // they count for the slope and for the level itself
        for part in [SitePart::Slope, part] {
            look.at(part);
            for id in [profile, left, right] {
                look.answer(id);
            }
        }
        look.at(part).note(QuestionId::LevelsVary);
        let Some(length) = length else { continue };
        let measured = look.at(SitePart::Slope).profile(profile);
        profiles.extend(measured.filter(|line| reaches(line, length)).map(|line| (level, line)));
        if let (Some(left), Some(right)) = (look.length(left), look.length(right)) {
            let points = vec![(Length::ZERO, Elevation::MARK - left), (length, Elevation::MARK - right)];
            ends.extend(Line::through(points).map(|line| (level, line)));
        }
    }
    profiles.extend(ends);
    profiles
}

/// What share of the work at either end may be left out when heights are measured along it.
const LEFT_OUT: i64 = 10;

/// Whether a line was measured over the whole work, or nearly so: what lies beyond its places nobody knows.
fn reaches(line: &Line, length: Length) -> bool {
    let ends = line.offsets().min().zip(line.offsets().max());
    ends.is_some_and(|(first, last)| first * LEFT_OUT <= length && (length - last) * LEFT_OUT <= length)
}

/// How much the heights change along the wall, as far as it was said. Which of them were measured along it is told by
/// [`along`].
fn level_change(look: &Look<'_>) -> LevelChange {
    let by = look.at(SitePart::Slope).length(QuestionId::LevelChange);
    let may_be_asked = look.state.shown[look.note(QuestionId::LevelsVary)] != Truth::No;
    match look.answer(QuestionId::LevelsVary) {
        Some(Answer::YesNo(false)) => LevelChange::None,
        Some(Answer::YesNo(true)) => by.map_or(LevelChange::Unknown, LevelChange::By),
        _ if may_be_asked => LevelChange::Unknown,
        _ => LevelChange::None,
    }
}

/// The strip between the work and the wall. It is read where there is one, and while nobody has been asked yet.
fn strip(look: &Look<'_>, feature: Option<Feature>) -> Strip {
    look.at(SitePart::Strip);
    let joint = look.names.at(QuestionId::Joint);
    if look.state.values[joint] == Value::Unasked {
        look.note(QuestionId::Joint);
        return Strip::None;
    }
    let on_posts = feature.is_some_and(|feature| feature.on_posts);
    let joint = look.at(SitePart::HasStrip).choice::<JointSaid>();
    if joint == Some(JointSaid::OpenGap) {
        look.note(QuestionId::Feature);
    }
    look.at(SitePart::Strip);
    // behind an open gap it depends on what is built, so that nothing is certain before that is asked
    if joint == Some(JointSaid::OpenGap) && look.state.values[look.names.at(QuestionId::Feature)] == Value::Unasked {
        look.note(QuestionId::Feature);
        return Strip::None;
    }
    if on_posts {
        // a ledger, or a gap that is not there, holds water: only what is known for certain opens the foot of the wall
        look.note(QuestionId::Feature);
        look.note(QuestionId::Joint);
        let free = look.is(DeckCarried::Free);
        if free && joint == Some(JointSaid::OpenGap) {
            return Strip::Ground;
        }
    }
    if joint != Some(JointSaid::Strip) {
        return Strip::None;
    }
    let outlet = look.choice::<ChannelOutlet>();
    match (outlet, look.length(QuestionId::StripDepth)) {
        (Some(ChannelOutlet::Nowhere), _) => Strip::None,
        (Some(ChannelOutlet::Outlet), Some(depth)) => Strip::Below(depth),
        (Some(ChannelOutlet::Outlet) | None, _) => Strip::Unknown,
    }
}

fn fall(look: &Look<'_>) -> Option<SaidFall> {
    let direction = look.at(SitePart::Fall).choice::<FallSaid>();
    let drop = look.length(QuestionId::FallDrop);
    match direction? {
        FallSaid::Away => drop.map(SaidFall::Away),
        FallSaid::Towards => Some(SaidFall::Towards),
        FallSaid::Along => Some(SaidFall::Along),
        FallSaid::Level => Some(SaidFall::None),
    }
}

fn outer(look: &Look<'_>) -> Outer {
    let edge = look.at(SitePart::Outer).choice::<OuterEdge>();
    let height = look.length(QuestionId::OuterEdgeHeight);
    let retaining = look.length(QuestionId::RetainingHeight);
    let depth = look.length(QuestionId::OuterEdgeDepth);
    match edge {
        Some(OuterEdge::AboveGround) => height.or(retaining).map_or(Outer::Unknown, Outer::Drop),
        Some(OuterEdge::BelowGround) => Outer::Below(depth),
        Some(OuterEdge::AgainstWall) => Outer::NoEdge,
        Some(OuterEdge::LevelWithGround) => Outer::Drop(Length::ZERO),
        None => retaining.map_or(Outer::Unknown, Outer::Drop),
    }
}

/// The number of the exit: a screed that nobody has seen counts as none.
fn exit_kind(look: &Look<'_>, cladding: &Cladding, carrier: Option<Carrier>) -> usize {
    look.at(SitePart::ExitKind);
    for id in [QuestionId::Cladding, QuestionId::StuccoBacking, QuestionId::Backing] {
        look.answer(id);
    }
    let screed = look.is(WeepScreed::Present);
    if cladding.is_solid_on(carrier) {
        cladding.exit_solid
    } else if screed {
        cladding.exit
    } else {
        cladding.exit_without
    }
}
