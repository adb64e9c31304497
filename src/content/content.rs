//! All content, as the rest of the program uses it.

use super::after::AfterId;
use super::amount_rows::{Figure, FigureValue, QuantityRow, Uncounted};
use super::asking_rows::Asking;
use super::basis::Basis;
use super::era_rows::Era;
use super::joint_rows::{JointTask, Photo};
use super::lap_rows::Laps;
use super::looks::Looks;
use super::promise_rows::Promise;
use super::quick::Quick;
use super::rows::{Ask, Call, Caution, Defined, Finding, Limit, Material, Phase};
use super::task_rows::Task;
use super::wall_rows::{CoursingRow, Layer, Stairs};
use super::water_rows::{LoadDefault, Remark, RoughnessRow, RunoffRow, Suspect, UsualRow};
use super::work_rows::{ActivityRow, RepairLater, WeatherNeed};
use super::works::{Resting, Work};
use crate::flow::{Flow, Place, Slot, Vocabulary};
use crate::names::{FigureId, QuestionId};
use crate::pack::{Late, Packed, Text, Unpacker, packed};
use crate::site::{Catalog, FACTS, FactId};
use crate::units::{Length, Units};
use crate::wall::Usual;
use std::collections::BTreeMap;

/// The states of a limit as a choice, in the order of their bits.
pub const LIMIT_STATES: [&str; 5] = ["passes", "close", "fails", "unknown", "off"];

/// All content.
#[derive(Debug)]
pub struct Content {
    /// The questions.
    pub flow: Flow,
    /// All names that rules may use.
    pub vocabulary: Vocabulary,
    /// Names that the program computes with, claddings and features.
    pub catalog: Catalog,
    /// The materials of layers.
    pub materials_of_layers: Vec<Text>,
    /// How far one reading may be off, and how that is known.
    pub per_reading: Length,
    /// How the tolerance is known.
    pub tolerance_basis: Basis,
    /// How the order of the questions is weighed.
    pub asking: Asking,
    /// Regions that measure in inches, as bits of the choices of the question on the region.
    pub inch_regions: i64,
    /// Regions whose paper is Letter, in the same way.
    pub letter_regions: i64,
    /// Facts defined by conditions.
    pub defined: Vec<Defined>,
    /// Years of building by country that some of them go by.
    pub eras: Vec<Era>,
    /// Limits.
    pub limits: Vec<Limit>,
    /// Rules of steps by region.
    pub stairs: Vec<Stairs>,
    /// Layers of the work, from the top down.
    pub layers: Vec<Layer>,
    /// Which layer of a wall laps over which.
    pub laps: Laps,
    /// Tasks at the joint, in working order.
    pub joint_tasks: Vec<JointTask>,
    /// Photographs to take.
    pub photos: Vec<Photo>,
    /// What weather some work needs.
    pub weather_needs: Vec<WeatherNeed>,
    /// Figures that quantities are counted with.
    pub plan_figures: Vec<Figure>,
    /// Materials that are counted.
    pub quantities: Vec<QuantityRow>,
    /// Materials that nobody can count from a visit.
    pub uncounted: Vec<Uncounted>,
    /// Things on the wall that go through the cladding and are sealed all around, as bits of the choices.
    pub sealed_things: i64,
    /// Activities of the plan.
    pub activities: Vec<ActivityRow>,
    /// What a planned visit is taken to say once it stands and has leaked.
    pub repair_later: Vec<RepairLater>,
    /// Ways by which water may get into a built wall.
    pub suspects: Vec<Suspect>,
    /// How the work can grow once the wall is open.
    pub scope: Vec<Remark>,
    /// What comes out and goes back.
    pub remove: Vec<Remark>,
    /// Defaults of the load.
    pub loads: Vec<LoadDefault>,
    /// What a wall is built with where nobody measured or said.
    pub usual: Usual,
    /// The same with their sources.
    pub usual_rows: Vec<UsualRow>,
    /// What runs off.
    pub runoff: Vec<RunoffRow>,
    /// Roughness of channels.
    pub roughness: Vec<RoughnessRow>,
    /// Gauges of brickwork.
    pub coursing: Vec<CoursingRow>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// What must hold of every advice; nothing of it is ever printed for a user.
    pub promises: Late<Vec<Promise>>,
    /// Built-in promises that the user's own files took the ground from: they name rows that are no longer there.
    pub promises_left_out: usize,
    /// Parts of the checklist, in order.
    pub phases: Vec<Phase>,
    /// The checklist.
    pub tasks: Vec<Task>,
    /// Questions for the contractor.
    pub asks: Vec<Ask>,
    /// Calls to other trades.
    pub calls: Vec<Call>,
    /// Dangers.
    pub cautions: Vec<Caution>,
    /// Limits of materials.
    pub materials: Vec<Material>,
    /// Where each row stands, by its kind and id: `finding.wiring_wet`.
    pub places: Late<BTreeMap<Text, Place>>,
    /// The works that figures rest on.
    pub works: Late<Vec<Work>>,
    /// Which row rests on which of them.
    pub resting: Late<Vec<Resting>>,
    /// Headings and labels.
    pub words: BTreeMap<Text, Text>,
    /// The languages there are translations for.
    pub languages: Vec<Text>,
    /// The keys of the texts that the chosen language does not have, in their order; none for English.
    pub untranslated: Vec<Text>,
    /// What is said in sources beside the titles of works: English, and the chosen language; the longest first. Titles keep
    /// theirs.
    pub source_phrases: Vec<(Text, Text)>,
    /// Regions that some limit names, as bits.
    pub regions_with_limits: i64,
    /// Claddings of which no rule with a verdict speaks, as bits.
    pub claddings_without_rules: i64,
    /// The first slots of facts, defined facts, limits, and facts after limits.
    pub slots: Slots,
    /// Rows sorted for judging.
    pub quick: Quick,
    /// What looks at each value.
    pub looks: Late<Looks>,
}

packed!(struct Content { flow, vocabulary, catalog, materials_of_layers, per_reading, tolerance_basis, asking, inch_regions, letter_regions, defined, eras, limits, stairs, layers, laps, joint_tasks, photos, weather_needs, plan_figures, quantities, uncounted, sealed_things, activities, repair_later, suspects, scope, remove, loads, usual, usual_rows, runoff, roughness, coursing, findings, promises, promises_left_out, phases, tasks, asks, calls, cautions, materials, places, works, resting, words, languages, untranslated, source_phrases, regions_with_limits, claddings_without_rules, slots, quick, looks });

/// Where the kinds of names start in the list of values.
#[derive(Debug, Clone, Copy, Default)]
pub struct Slots {
    /// First computed fact.
    pub facts: usize,
    /// First defined fact.
    pub defined: usize,
    /// First limit.
    pub limits: usize,
    /// First fact after the limits.
    pub after: usize,
}

packed!(struct Slots { facts, defined, limits, after });

impl Content {
    /// Content as the build packed it; nothing if these bytes are not what it packed.
    #[must_use]
    pub fn unpacked(bytes: &'static [u8], texts: &'static str) -> Option<Content> {
        let mut from = Unpacker::new(bytes, texts);
        let content = Content::unpack(&mut from);
        (from.is_done() && !from.torn()).then_some(content)
    }

    /// A heading or label. Its key is one of [`super::words::keys`], which loading has checked.
    #[must_use]
    pub fn word<'c>(&'c self, key: &'c str) -> &'c str {
        self.words.get(key).map_or(key, Text::as_str)
    }

    /// Whether any rule carries a verdict. Without one, everything would look fine.
    #[must_use]
    pub fn has_rules(&self) -> bool {
        self.limits.iter().any(|l| l.verdict.is_some()) || self.findings.iter().any(|f| f.verdict.is_some())
    }

    /// The system of units of a region, by its place among the choices.
    #[must_use]
    pub fn units_in(&self, region: usize) -> Units {
        if self.inch_regions & (1 << region) != 0 { Units::Inch } else { Units::Metric }
    }

    /// Whether paper in a region, by its place among the choices, is Letter; otherwise it is A4.
    #[must_use]
    pub fn letter_in(&self, region: usize) -> bool {
        self.letter_regions & (1 << region) != 0
    }

    /// The system of units of a region, by its id.
    #[must_use]
    pub fn units_of(&self, region: &str) -> Units {
        let regions = &self.flow.questions[self.catalog.names.at(QuestionId::Region)].choices;
        regions.iter().position(|r| r.id == region).map_or(Units::Metric, |at| self.units_in(at))
    }

    /// The slot of a computed fact.
    #[must_use]
    pub fn fact_slot(&self, id: FactId) -> usize {
        self.slots.facts + id as usize
    }

    /// The slot of a fact after the limits.
    #[must_use]
    pub fn after_slot(&self, id: AfterId) -> usize {
        self.slots.after + id as usize
    }

    /// Hours in a day of work: at least one.
    #[must_use]
    pub fn shift(&self) -> i64 {
        match self.figure(FigureId::Shift) {
            FigureValue::Number(thousandths) => (thousandths / 1000).max(1),
            // loading has refused a length
            FigureValue::Length(_) => 1,
        }
    }

    /// A figure that the program itself counts with.
    #[must_use]
    pub fn figure(&self, id: FigureId) -> FigureValue {
        self.plan_figures[self.catalog.names.figure(id)].value
    }
}

impl Slots {
    /// Whether a measure grows (`1`), shrinks (`-1`) or stays when the finish is lowered.
    #[must_use]
    pub fn when_lowered(&self, slot: Slot) -> i64 {
        let fact = usize::from(slot).checked_sub(self.facts).and_then(|at| FACTS.get(at));
        fact.map_or(0, |fact| fact.kind.when_lowered())
    }
}
