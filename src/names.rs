//! Every name of the content that the program computes with, in one table.
//!
//! The questions live in YAML and can be replaced; the program computes with the answers to some of them. Their names
//! stand here and nowhere else. [`Names::resolve`] looks each up once, when content is loaded; a name that is missing
//! is a mistake in the content. After that nothing is looked up by its text.

use crate::flow::{Flow, QuestionKind, Slot};
use crate::pack::{Packed, Packer, Unpacker, packed};

/// Something that the program needs and the content must have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Needed {
    /// A question.
    Question(QuestionId),
    /// A fact that the content defines by a condition.
    Defined(DefinedId),
    /// A figure that quantities are counted with.
    Figure(FigureId),
    /// A material of the layers of some work.
    Material(MaterialId),
    /// A default of the load.
    Load(LoadId),
    /// A part of the rain that runs off.
    Runoff(RunoffId),
    /// A figure that a wall is built with where nobody measured or said.
    Usual(UsualId),
}

/// A kind of name, with its members and their texts.
pub trait Named: Copy + Eq + 'static {
    /// All of them, in order.
    const ALL: &'static [Self];
    /// The name in the content.
    fn text(self) -> &'static str;
    /// The one of this name.
    #[must_use]
    fn of(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|id| id.text() == text)
    }
}

/// The choices of a question that the program tells apart.
pub trait Choices: Copy + Eq + 'static {
    /// The question.
    const QUESTION: QuestionId;
    /// All of them, with their ids in the content.
    const ALL: &'static [(Self, &'static str)];
    /// Whether the content may have others besides: the program then sees no difference between them.
    const OPEN: bool;
    /// The place in [`Choices::ALL`].
    fn index(self) -> usize;
}

macro_rules! named {
    ($(#[$about:meta])* $name:ident { $($(#[$doc:meta])* $id:ident = $text:literal,)* }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* #[doc = concat!("`", $text, "`")] $id,)* }

        impl Named for $name {
            const ALL: &'static [Self] = &[$($name::$id,)*];
            fn text(self) -> &'static str {
                match self { $($name::$id => $text,)* }
            }
        }

        impl Packed for $name {
            fn pack(&self, to: &mut Packer<'_>) {
                to.number(*self as u64);
            }
            fn unpack(from: &mut Unpacker) -> $name {
                let at = from.size();
                $name::ALL.get(at).copied().unwrap_or_else(|| {
                    from.tear();
                    $name::ALL[0]
                })
            }
        }
    };
}

macro_rules! questions {
    ($($id:ident = $text:literal: $kind:ident,)*) => {
        named! {
            /// A question that the program computes with.
            QuestionId { $($id = $text,)* }
        }

        impl QuestionId {
            /// The kind that it must have.
            #[must_use]
            pub fn kind(self) -> QuestionKind {
                match self { $(QuestionId::$id => QuestionKind::$kind,)* }
            }
        }
    };
}

macro_rules! choices {
    ($($(#[$about:meta])* $name:ident of $question:ident, open: $open:literal { $($id:ident = $text:literal,)* })*) => {
        $(
            $(#[$about])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
            pub enum $name { $(#[doc = concat!("`", $text, "`")] $id,)* }

            impl Choices for $name {
                const QUESTION: QuestionId = QuestionId::$question;
                const ALL: &'static [(Self, &'static str)] = &[$(($name::$id, $text),)*];
                const OPEN: bool = $open;
                fn index(self) -> usize {
                    self as usize
                }
            }
        )*

        /// The choices that the program tells apart, by question: ids, and whether there may be others.
        const CHOICES: &[(QuestionId, &[&str], bool)] = &[
            $((QuestionId::$question, &[$($text,)*], $open),)*
        ];
    };
}

questions! {
    Region = "region": OneOf,
    Stage = "stage": OneOf,
    Feature = "feature": OneOf,
    DeckCarried = "deck_carried": OneOf,
    SlabThickness = "slab_thickness": Length,
    RetainingHeight = "retaining_height": Length,
    StepRise = "step_rise": Length,
    TreadDepth = "tread_depth": Length,
    FeatureLength = "feature_length": Length,
    FeatureDepth = "feature_depth": Length,
    Joint = "joint": OneOf,
    StripDepth = "strip_depth": Length,
    VisitName = "visit_name": Text,
    Cladding = "cladding": OneOf,
    StuccoBacking = "stucco_backing": OneOf,
    Backing = "backing": OneOf,
    FcClearance = "fc_clearance": Length,
    DampCourse = "damp_course": OneOf,
    WeepScreed = "weep_screed": OneOf,
    VeneerWeeps = "veneer_weeps": OneOf,
    VeneerFlashing = "veneer_flashing": OneOf,
    EifsDrained = "eifs_drained": OneOf,
    Barrier = "barrier": OneOf,
    AfterRepair = "after_repair": OneOf,
    Door = "door": OneOf,
    MarkName = "mark_name": Text,
    ExitWay = "exit_way": OneOf,
    ExitBelowMark = "exit_below_mark": Length,
    ExitAboveGround = "exit_above_ground": Length,
    ExitAboveSurface = "exit_above_surface": Length,
    ExitHiddenBy = "exit_hidden_by": OneOf,
    FinishWay = "finish_way": OneOf,
    FinishBelowMark = "finish_below_mark": Length,
    FinishAboveGround = "finish_above_ground": Length,
    BuildUp = "build_up": Length,
    OldSurfaceBelowMark = "old_surface_below_mark": Length,
    GroundBelowMark = "ground_below_mark": Length,
    WoodBelowMark = "wood_below_mark": Length,
    FloorBelowMark = "floor_below_mark": Length,
    BelowFloor = "below_floor": OneOf,
    JoistSize = "joist_size": OneOf,
    LevelsVary = "levels_vary": YesNo,
    LevelChange = "level_change": Length,
    FinishLeftBelowMark = "finish_left_below_mark": Length,
    FinishRightBelowMark = "finish_right_below_mark": Length,
    GroundLeftBelowMark = "ground_left_below_mark": Length,
    GroundRightBelowMark = "ground_right_below_mark": Length,
    ExitLeftBelowMark = "exit_left_below_mark": Length,
    ExitRightBelowMark = "exit_right_below_mark": Length,
    FinishProfile = "finish_profile": Profile,
    GroundProfile = "ground_profile": Profile,
    ExitProfile = "exit_profile": Profile,
    DoorSillPan = "door_sill_pan": OneOf,
    ThresholdChannel = "threshold_channel": OneOf,
    StepFree = "step_free": YesNo,
    DoorWidth = "door_width": Length,
    LandingDepth = "landing_depth": Length,
    Rails = "rails": SeveralOf,
    WallThings = "wall_things": SeveralOf,
    WallPlaces = "wall_places": Places,
    OtherDoorBelowMark = "other_door_below_mark": Length,
    WindowSillAboveSurface = "window_sill_above_surface": Length,
    GasVentAboveSurface = "gas_vent_above_surface": Length,
    DryerVentAboveSurface = "dryer_vent_above_surface": Length,
    GasMeterAboveSurface = "gas_meter_above_surface": Length,
    ChannelEnd = "channel_end": OneOf,
    FallDirection = "fall_direction": OneOf,
    FallDrop = "fall_drop": Length,
    OuterEdge = "outer_edge": OneOf,
    OuterEdgeHeight = "outer_edge_height": Length,
    OuterEdgeDepth = "outer_edge_depth": Length,
    EndsDrop = "ends_drop": Length,
    FootingBelowGround = "footing_below_ground": Length,
    Covered = "covered": YesNo,
    RoofEdge = "roof_edge": OneOf,
    RoofRun = "roof_run": Length,
    GutterLength = "gutter_length": Length,
    Downspout = "downspout": OneOf,
    RainHour = "rain_hour": Length,
    DrainChannel = "drain_channel": YesNo,
    ChannelOutlet = "channel_outlet": OneOf,
    ChannelWidth = "channel_width": Length,
    ChannelDepth = "channel_depth": Length,
    ChannelDrop = "channel_drop": Length,
    ChannelKind = "channel_kind": OneOf,
    Contractor = "contractor": OneOf,
    WallPlan = "wall_plan": OneOf,
    CutsCladding = "cuts_cladding": OneOf,
    ClosesCladding = "closes_cladding": OneOf,
    VoidBehind = "void_behind": YesNo,
    VoidLength = "void_length": Length,
    VoidWidth = "void_width": Length,
    VoidDepth = "void_depth": Length,
    SurfaceGapOpen = "surface_gap_open": YesNo,
}

choices! {
    /// Whether the work is planned or stands already.
    Stage of Stage, open: false { Planned = "planned", Built = "built", }
    /// What carries the side of a deck next to the house.
    DeckCarried of DeckCarried, open: true { Free = "free", }
    /// How the work meets the wall.
    JointSaid of Joint, open: false {
        Tight = "tight", IsolationJoint = "isolation_joint", OpenGap = "open_gap", Sealed = "sealed",
        Flashing = "flashing", Strip = "strip", Hidden = "hidden",
    }
    /// Whether the foot of the wall was opened and closed again, in order.
    AfterRepair of AfterRepair, open: false {
        Treated = "treated", Untreated = "untreated", SaidSo = "said_so", PartDone = "part_done", NotDone = "not_done",
    }
    /// Whether a drained channel lies along the threshold.
    ThresholdChannel of ThresholdChannel, open: false { Drained = "drained", NoOutlet = "no_outlet", None = "none", }
    /// Where the water of a drain channel goes.
    ChannelOutlet of ChannelOutlet, open: false { Outlet = "outlet", Nowhere = "nowhere", }
    /// What carries a coat of stucco or thin stone.
    CoatBacking of StuccoBacking, open: false {
        Frame = "frame", SteelFrame = "steel_frame", Panels = "panels", Masonry = "masonry", Concrete = "concrete",
    }
    /// What carries the cladding.
    Backing of Backing, open: false {
        WoodFrame = "wood_frame", SteelFrame = "steel_frame", Panels = "panels", Block = "block", Concrete = "concrete",
    }
    /// Whether a solid wall has a layer that stops ground water from rising.
    DampCourse of DampCourse, open: false { Present = "present", Absent = "absent", }
    /// Whether there is a weep screed.
    WeepScreed of WeepScreed, open: false { Present = "present", Absent = "absent", }
    /// Whether weep holes were seen.
    VeneerWeeps of VeneerWeeps, open: false { Seen = "seen", NoneSeen = "none_seen", }
    /// Whether the edge of a flashing was seen below the weep holes.
    VeneerFlashing of VeneerFlashing, open: false { Seen = "seen", NoneSeen = "none_seen", }
    /// Whether water can drain behind the foam.
    FoamDrains of EifsDrained, open: false { Drained = "drained", Barrier = "barrier", }
    /// What lies behind the cladding: all that counts is whether there is anything.
    BarrierSaid of Barrier, open: true { None = "none", }
    /// How the door opens.
    DoorSaid of Door, open: true { None = "none", }
    /// How the exit was measured.
    ExitWay of ExitWay, open: false {
        DownFromMark = "down_from_mark", UpFromGround = "up_from_ground", UpFromSurface = "up_from_surface",
        CannotSee = "cannot_see",
    }
    /// What hides the exit.
    ExitHiddenBy of ExitHiddenBy, open: false {
        Soil = "soil", OldSurface = "old_surface", NewWork = "new_work", Trim = "trim",
    }
    /// How the height of the finish was given.
    FinishWay of FinishWay, open: false {
        DownFromMark = "down_from_mark", UpFromGround = "up_from_ground", AddedOnTop = "added_on_top",
    }
    /// Whether there is a pan below the door.
    DoorSillPan of DoorSillPan, open: false { Present = "present", Absent = "absent", }
    /// Things on the wall that the program computes with.
    WallThing of WallThings, open: true {
        LowWindow = "low_window", OtherDoor = "other_door", GasVent = "gas_vent", DryerVent = "dryer_vent",
        CrawlVent = "crawl_vent", GasMeter = "gas_meter", Well = "window_well",
    }
    /// What has a place along the wall.
    OpeningKind of WallPlaces, open: false {
        MainDoor = "main_door", OtherDoor = "other_door", Window = "window", GasVent = "gas_vent",
        DryerVent = "dryer_vent", CrawlVent = "crawl_vent", GasMeter = "gas_meter", Well = "window_well",
    }
    /// Where a channel beside a door or window ends.
    ChannelEnd of ChannelEnd, open: false {
        AboveSurface = "above_surface", BehindWork = "behind_work", NoChannel = "no_channel",
    }
    /// Which way the surface falls.
    FallSaid of FallDirection, open: false { Away = "away", Along = "along", Level = "level", Towards = "towards", }
    /// What is at the outer edge.
    OuterEdge of OuterEdge, open: false {
        LevelWithGround = "level_with_ground", AboveGround = "above_ground", BelowGround = "below_ground",
        AgainstWall = "against_wall",
    }
    /// The edge of the roof above.
    RoofEdge of RoofEdge, open: false {
        Gutter = "gutter", NoGutter = "no_gutter", Gable = "gable", RoofEndsOnWall = "roof_ends_on_wall",
    }
    /// Where the water of a downspout goes.
    Downspout of Downspout, open: false {
        None = "none", LedAway = "led_away", OntoSurface = "onto_surface", Underground = "underground",
    }
    /// Who cuts the cladding.
    CutsCladding of CutsCladding, open: true { Crew = "crew", Exterior = "exterior", Nobody = "nobody", }
    /// Who closes it again.
    ClosesCladding of ClosesCladding, open: true { Crew = "crew", Exterior = "exterior", Nobody = "nobody", }
}

named! {
    /// What can carry a cladding.
    Carrier {
        WoodFrame = "wood_frame",
        SteelFrame = "steel_frame",
        /// Structural insulated panels: two skins of board, glued to foam.
        Panels = "panels",
        Block = "block",
        Concrete = "concrete",
        Log = "log",
    }
}

impl Carrier {
    /// Whether it is block, brick or concrete, which water does not spoil.
    #[must_use]
    pub fn is_solid(self) -> bool {
        matches!(self, Carrier::Block | Carrier::Concrete)
    }
}

named! {
    /// How a cladding lets water out.
    Drains {
        Laps = "laps",
        Coat = "coat",
        Foam = "foam",
        Cavity = "cavity",
        Solid = "solid",
    }
}

named! {
    /// How the face of a cladding is drawn.
    Drawn {
        Boards = "boards",
        Coat = "coat",
        Veneer = "veneer",
        Wall = "wall",
    }
}

named! {
    /// The shape of some work.
    Shape {
        Flat = "flat",
        Landing = "landing",
        Flight = "flight",
        Upright = "upright",
    }
}

named! {
    /// How the strip of some work along the wall comes up.
    Lifts {
        Loose = "loose",
        Mortared = "mortared",
        Concrete = "concrete",
        Never = "never",
    }
}

named! {
    /// A fact that the content defines and the program rests on.
    DefinedId {
        WallFrame = "wall.frame",
        WallToOpen = "wall.to_open",
        WorkToLift = "work.to_lift",
        HoseDangerous = "hose.dangerous",
        SignsSeen = "signs.seen",
        ChannelThere = "channel.there",
    }
}

named! {
    /// A figure that the program itself counts with.
    FigureId {
        StripHeight = "strip_height",
        StoneWeight = "stone_weight",
        Compaction = "compaction",
        PipeBead = "pipe_bead",
        OpenWallDays = "open_wall_days",
        Shift = "shift",
        SlabLap = "slab_lap",
        SlabDensity = "slab_density",
    }
}

named! {
    /// A material of layers that the program counts by.
    MaterialId {
        Base = "base",
        Slab = "slab",
    }
}

named! {
    /// A default of the load.
    LoadId {
        RainHour = "rain_hour",
        WallHeight = "wall_height",
    }
}

named! {
    /// What the program counts as running off.
    RunoffId {
        Wall = "wall",
        Roof = "roof",
        Downspout = "downspout",
        Surface = "surface",
    }
}

named! {
    /// What a wall is built with where nobody measured or said.
    UsualId {
        Fall = "fall",
        Depth = "depth",
        GroundBelow = "ground_below",
        ExitClear = "exit_clear",
        ExitCovered = "exit_covered",
        OpenGap = "open_gap",
        GapDepth = "gap_depth",
        BedDepth = "bed_depth",
        DrainWidth = "drain_width",
        DrainDepth = "drain_depth",
        DoorHeight = "door_height",
        SillBelow = "sill_below",
        SoundExit = "sound_exit",
        SoundThreshold = "sound_threshold",
        CutClear = "cut_clear",
        TurnedOut = "turned_out",
        FlashingLeg = "flashing_leg",
        MembraneUp = "membrane_up",
        BarrierAbove = "barrier_above",
        ScreedLeg = "screed_leg",
        VeneerLeg = "veneer_leg",
        VeneerBarrier = "veneer_barrier",
        LeastStep = "least_step",
        LedgeBelow = "ledge_below",
        HeadLeg = "head_leg",
        BarrierShort = "barrier_short",
        ChannelBehind = "channel_behind",
    }
}

impl UsualId {
    /// Whether it is a slope; else it is a length.
    #[must_use]
    pub fn is_slope(self) -> bool {
        self == UsualId::Fall
    }
}

impl FigureId {
    /// Whether it is a length; else it is a number.
    #[must_use]
    pub fn is_length(self) -> bool {
        match self {
            FigureId::StripHeight | FigureId::PipeBead | FigureId::SlabLap => true,
            FigureId::StoneWeight
            | FigureId::Compaction
            | FigureId::OpenWallDays
            | FigureId::Shift
            | FigureId::SlabDensity => false,
        }
    }
}

impl QuestionId {
    /// The choices that the program tells apart, and whether the content may have others; nothing for a question of
    /// which the program knows no choice.
    #[must_use]
    pub fn choices(self) -> Option<(&'static [&'static str], bool)> {
        CHOICES.iter().find(|(id, ..)| *id == self).map(|(_, choices, open)| (*choices, *open))
    }
}

const QUESTIONS: usize = QuestionId::ALL.len();
/// A choice of the content that the program does not tell apart.
const OTHER: u8 = u8::MAX;

/// Where each name stands in the content.
///
/// Invariant: made from content that has every name; [`Names::resolve`] gives nothing else.
#[derive(Debug, Clone)]
pub struct Names {
    questions: [usize; QUESTIONS],
    /// Of each question, for each choice of the content its place in [`Choices::ALL`].
    known: Vec<Vec<u8>>,
    /// Of each question, for each of [`Choices::ALL`] its place among the choices of the content.
    places: Vec<Vec<u8>>,
    defined: [Slot; DefinedId::ALL.len()],
    figures: [usize; FigureId::ALL.len()],
    materials: [usize; MaterialId::ALL.len()],
    loads: [usize; LoadId::ALL.len()],
    runoffs: [usize; RunoffId::ALL.len()],
}

packed!(struct Names { questions, known, places, defined, figures, materials, loads, runoffs });

/// What is wrong with a name of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NameFault {
    /// The content does not have it.
    Missing(Needed),
    /// The question is of another kind.
    Kind(QuestionId),
    /// The question lacks a choice.
    NoChoice(QuestionId, &'static str),
    /// The question has a choice that the program does not know, at this place.
    NewChoice(QuestionId, usize),
}

impl Names {
    /// A table that was not resolved. Only for content that is refused anyway, so that all its other mistakes are
    /// found too.
    pub(crate) fn none() -> Names {
        Names {
            questions: [0; QUESTIONS],
            known: vec![Vec::new(); QUESTIONS],
            places: vec![Vec::new(); QUESTIONS],
            defined: [0; DefinedId::ALL.len()],
            figures: [0; FigureId::ALL.len()],
            materials: [0; MaterialId::ALL.len()],
            loads: [0; LoadId::ALL.len()],
            runoffs: [0; RunoffId::ALL.len()],
        }
    }

    /// Looks every name up: questions in the flow, the others by `place`.
    ///
    /// # Errors
    /// All that is missing or of another kind.
    pub fn resolve(flow: &Flow, place: &dyn Fn(Needed) -> Option<usize>) -> Result<Names, Vec<NameFault>> {
        let mut faults = Vec::new();
        let mut names = Names::none();
        for id in QuestionId::ALL {
            match flow.question(id.text()) {
                Some(number) => names.question(*id, number, flow, &mut faults),
                None => faults.push(NameFault::Missing(Needed::Question(*id))),
            }
        }
        let mut look = |needed: Needed| {
            let found = place(needed);
            if found.is_none() {
                faults.push(NameFault::Missing(needed));
            }
            found.unwrap_or_default()
        };
        for (id, at) in DefinedId::ALL.iter().zip(&mut names.defined) {
            *at = Slot::try_from(look(Needed::Defined(*id))).unwrap_or_default();
        }
        for (id, at) in FigureId::ALL.iter().zip(&mut names.figures) {
            *at = look(Needed::Figure(*id));
        }
        for (id, at) in MaterialId::ALL.iter().zip(&mut names.materials) {
            *at = look(Needed::Material(*id));
        }
        for (id, at) in LoadId::ALL.iter().zip(&mut names.loads) {
            *at = look(Needed::Load(*id));
        }
        for (id, at) in RunoffId::ALL.iter().zip(&mut names.runoffs) {
            *at = look(Needed::Runoff(*id));
        }
        // these are looked up when the content is loaded, and never again
        for id in UsualId::ALL {
            look(Needed::Usual(*id));
        }
        if faults.is_empty() { Ok(names) } else { Err(faults) }
    }

    fn question(&mut self, id: QuestionId, number: usize, flow: &Flow, faults: &mut Vec<NameFault>) {
        let question = &flow.questions[number];
        self.questions[id as usize] = number;
        if question.kind != id.kind() {
            faults.push(NameFault::Kind(id));
            return;
        }
        let Some((wanted, open)) = id.choices() else { return };
        for (at, choice) in question.choices.iter().enumerate() {
            let known = wanted.iter().position(|text| *text == choice.id);
            if known.is_none() && !open {
                faults.push(NameFault::NewChoice(id, at));
            }
            self.known[id as usize].push(known.and_then(|k| u8::try_from(k).ok()).unwrap_or(OTHER));
        }
        for text in wanted {
            let at = question.choices.iter().position(|choice| choice.id == *text);
            if at.is_none() {
                faults.push(NameFault::NoChoice(id, text));
            }
            self.places[id as usize].push(at.and_then(|a| u8::try_from(a).ok()).unwrap_or(OTHER));
        }
    }

    /// The number of a question, which is its slot too.
    #[must_use]
    pub fn at(&self, id: QuestionId) -> usize {
        self.questions[id as usize]
    }

    /// Whether the program itself reads a question.
    #[must_use]
    pub fn reads(&self, question: usize) -> bool {
        self.questions.contains(&question)
    }

    /// What a choice of the content means; nothing for one that the program does not tell apart.
    #[must_use]
    pub fn choice<C: Choices>(&self, index: usize) -> Option<C> {
        let known = self.known[C::QUESTION as usize].get(index)?;
        C::ALL.get(usize::from(*known)).map(|(choice, _)| *choice)
    }

    /// The place of a choice in the content.
    #[must_use]
    pub fn place<C: Choices>(&self, choice: C) -> usize {
        usize::from(self.places[C::QUESTION as usize][choice.index()])
    }

    /// The slot of a fact that the content defines.
    #[must_use]
    pub fn defined(&self, id: DefinedId) -> usize {
        usize::from(self.defined[id as usize])
    }

    /// The number of a figure.
    #[must_use]
    pub fn figure(&self, id: FigureId) -> usize {
        self.figures[id as usize]
    }

    /// The number of a material.
    #[must_use]
    pub fn material(&self, id: MaterialId) -> usize {
        self.materials[id as usize]
    }

    /// The number of a default of the load.
    #[must_use]
    pub fn load(&self, id: LoadId) -> usize {
        self.loads[id as usize]
    }

    /// The number of a part that runs off.
    #[must_use]
    pub fn runoff(&self, id: RunoffId) -> usize {
        self.runoffs[id as usize]
    }
}

impl Needed {
    /// The kind of the name and the name, for an error message.
    #[must_use]
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Needed::Question(id) => ("question", id.text()),
            Needed::Defined(id) => ("defined fact", id.text()),
            Needed::Figure(id) => ("figure", id.text()),
            Needed::Material(id) => ("material of a layer", id.text()),
            Needed::Load(id) => ("load", id.text()),
            Needed::Runoff(id) => ("part that runs off", id.text()),
            Needed::Usual(id) => ("usual figure", id.text()),
        }
    }

    /// All of them.
    pub fn all() -> impl Iterator<Item = Needed> {
        let questions = QuestionId::ALL.iter().map(|id| Needed::Question(*id));
        let defined = DefinedId::ALL.iter().map(|id| Needed::Defined(*id));
        let figures = FigureId::ALL.iter().map(|id| Needed::Figure(*id));
        let materials = MaterialId::ALL.iter().map(|id| Needed::Material(*id));
        let loads = LoadId::ALL.iter().map(|id| Needed::Load(*id));
        let runoffs = RunoffId::ALL.iter().map(|id| Needed::Runoff(*id));
        let usual = UsualId::ALL.iter().map(|id| Needed::Usual(*id));
        questions.chain(defined).chain(figures).chain(materials).chain(loads).chain(runoffs).chain(usual)
    }
}
