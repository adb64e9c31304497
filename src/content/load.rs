//! All content, loaded and checked.

use super::amount_rows::{Figure, QuantityRow, Uncounted};
use super::joint_rows::{JointTask, Photo};
use super::rows::{Ask, BASES, Basis, Call, Caution, Defined, Finding, Limit, Material, Phase, Reader, Task};
use super::wall_rows::{CoursingRow, Layer, Stairs};
use super::water_rows::{LoadDefault, Remark, RoughnessRow, RunoffRow, Suspect, UsualRow};
use super::words;
use super::work_rows::{ActivityRow, WeatherNeed};
use crate::flow::{
    ContentError, Diagnostics, Fields, Flow, Kind, Node, Place, Slot, Source, Tree, Vocabulary, condition, load,
    nearest, placeholders,
};
use crate::site::{BINDINGS, FACTS};
use crate::units::{Length, Units};
use crate::wall::Usual;
use std::collections::{BTreeMap, HashSet};

/// Facts that are computed after the limits, because they follow from them.
pub const AFTER_LIMITS: [(&str, &str); 7] = [
    ("finish.lower_by", "how far the finish must drop so that every limit that can fail a plan is met, on paper"),
    ("finish.lower_by_sure", "the same with the measuring error added"),
    (
        "finish.highest",
        "how far below the mark the highest finish lies that meets every limit, measuring error included",
    ),
    ("door.step_after", "the step at the door if the finish is lowered by finish.lower_by_sure"),
    (
        "dig.at_wall",
        "how deep the layers reach below today's ground at the wall, with the surface lowered as the limits ask",
    ),
    ("dig.above_footing", "how much of the footing is left below the digging; negative if it goes deeper"),
    ("limits.failed", "how many limits fail that can fail a plan"),
];

/// The states of a limit as a choice, in the order of their bits.
pub const LIMIT_STATES: [&str; 5] = ["passes", "close", "fails", "unknown", "off"];

/// All content.
#[derive(Debug)]
pub struct Content {
    /// The questions.
    pub flow: Flow,
    /// All names that rules may use.
    pub names: Vocabulary,
    /// How far one reading may be off, and how that is known.
    pub per_reading: Length,
    /// How the tolerance is known.
    pub tolerance_basis: Basis,
    /// How far the lowest wood usually lies below the threshold, by the choice of `joist_size`.
    pub wood_lines: Vec<(String, Length)>,
    /// Regions that measure in inches.
    pub inch_regions: Vec<String>,
    /// Facts defined by conditions.
    pub defined: Vec<Defined>,
    /// Limits.
    pub limits: Vec<Limit>,
    /// Rules of steps by region.
    pub stairs: Vec<Stairs>,
    /// Layers of the work, from the top down.
    pub layers: Vec<Layer>,
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
    /// Choices of `wall_things` that go through the cladding and are sealed all around.
    pub sealed_things: Vec<String>,
    /// Activities of the plan.
    pub activities: Vec<ActivityRow>,
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
    /// Headings and labels.
    pub words: BTreeMap<String, String>,
    /// The languages there are translations for.
    pub languages: Vec<String>,
    /// How many texts of the chosen language are missing.
    pub untranslated: usize,
    /// The first slots of facts, defined facts, limits, and facts after limits.
    pub slots: Slots,
}

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

/// Keys that may stand at the top of a file.
const TOP: [&str; 40] = [
    "section",
    "title",
    "order",
    "intro",
    "questions",
    "readings",
    "limits",
    "stairs",
    "layers",
    "coursing",
    "paths",
    "weather_needs",
    "activities",
    "figures",
    "quantities",
    "not_counted",
    "sealed_things",
    "joint_tasks",
    "photos",
    "scope",
    "remove",
    "loads",
    "usual",
    "runoff",
    "roughness",
    "wood_lines",
    "findings",
    "phases",
    "tasks",
    "contractor",
    "trades",
    "cautions",
    "materials",
    "words",
    "translation",
    "texts",
    "defined",
    "inch_regions",
    "standalone",
    "version",
];

/// The lists of all files, gathered by their key.
struct Gathered<'n, 'a> {
    lists: BTreeMap<&'static str, Vec<&'n Node<'a>>>,
    maps: BTreeMap<&'static str, Vec<&'n Node<'a>>>,
    translations: Vec<(&'n str, Place, &'n Node<'a>)>,
}

impl Content {
    /// Loads content. `lang` is a language that has a translation, or nothing for English.
    ///
    /// # Errors
    /// A [`ContentError`] whose text is the report of all mistakes of all files.
    pub fn load(sources: &[Source], lang: Option<&str>) -> Result<Content, ContentError> {
        let mut diags = Diagnostics::default();
        let mut docs = Vec::with_capacity(sources.len());
        for (number, source) in sources.iter().enumerate() {
            docs.extend(Node::read(source, u32::try_from(number).unwrap_or(u32::MAX), &mut diags));
        }
        let content = Loader { diags: &mut diags }.content(&docs, sources, lang);
        diags.into_result(sources)?;
        Ok(content)
    }

    /// A heading or label. Its key is one of [`words::keys`], which loading has checked.
    #[must_use]
    pub fn word<'c>(&'c self, key: &'c str) -> &'c str {
        self.words.get(key).map_or(key, String::as_str)
    }

    /// Whether any rule carries a verdict. Without one, everything would look fine.
    #[must_use]
    pub fn has_rules(&self) -> bool {
        self.limits.iter().any(|l| l.verdict.is_some()) || self.findings.iter().any(|f| f.verdict.is_some())
    }

    /// The system of units of a region.
    #[must_use]
    pub fn units_of(&self, region: &str) -> Units {
        if self.inch_regions.iter().any(|r| r == region) { Units::Inch } else { Units::Metric }
    }
}

struct Loader<'d> {
    diags: &'d mut Diagnostics,
}

impl Loader<'_> {
    #[allow(clippy::too_many_lines)] // one line a list
    fn content(&mut self, docs: &[Node<'_>], sources: &[Source], lang: Option<&str>) -> Content {
        let incomplete = !self.diags.is_empty();
        let gathered = self.gather(docs);
        let loaded = load(docs, sources, incomplete, self.diags);
        let (flow, mut names) = (loaded.flow, loaded.names);
        names.open_to_facts();
        self.bindings(&flow, &loaded.places);
        let mut slots = Slots { facts: names.len(), ..Slots::default() };
        for fact in FACTS {
            names.add(fact.name, fact.kind.kind());
        }
        slots.defined = names.len();
        let defined = self.defined(gathered.list("defined"), &mut names);
        slots.limits = names.len();
        let limit_nodes = Self::without_replaced(gathered.list("limits"), sources);
        let limit_nodes = limit_nodes.as_slice();
        let states: Vec<String> = LIMIT_STATES.iter().map(|s| (*s).to_owned()).collect();
        for node in limit_nodes {
            if let Some(id) = id_of(node) {
                names.add(&format!("limit.{id}"), Kind::OneOf(states.clone()));
            }
        }
        slots.after = names.len();
        for (name, _) in AFTER_LIMITS {
            let kind = if name == "limits.failed" { Kind::Number } else { Kind::Length };
            names.add(name, kind);
        }
        let region_ids = flow
            .question("region")
            .map(|q| flow.questions[q].choices.iter().map(|c| c.id.clone()).collect::<Vec<_>>())
            .unwrap_or_default();
        let (per_reading, tolerance_basis) = self.readings(gathered.map("readings"));
        let inch_regions = gathered.list("inch_regions").iter().filter_map(|n| n.text()).map(str::to_owned).collect();
        let words = self.words(&gathered, incomplete);
        let mut rows = Reader { names: &names, diags: self.diags, seen: HashSet::new() };
        let first_limit = Slot::try_from(slots.limits).unwrap_or(Slot::MAX);
        let limits = limit_nodes.iter().filter_map(|node| rows.limit(node, &region_ids, first_limit)).collect();
        let stairs = gathered.list("stairs").iter().filter_map(|node| rows.stairs(node, &region_ids)).collect();
        let joists = flow
            .question("joist_size")
            .map(|q| flow.questions[q].choices.iter().map(|c| c.id.clone()).collect::<Vec<_>>())
            .unwrap_or_default();
        let wood_lines = gathered.list("wood_lines").iter().filter_map(|node| rows.wood_line(node, &joists)).collect();
        let suspects = gathered.list("paths").iter().filter_map(|node| rows.suspect(node)).collect();
        let joint_tasks = gathered.list("joint_tasks").iter().filter_map(|node| rows.joint_task(node)).collect();
        let photos = gathered.list("photos").iter().filter_map(|node| rows.photo(node)).collect();
        let weather_needs: Vec<WeatherNeed> =
            gathered.list("weather_needs").iter().filter_map(|node| rows.weather_need(node)).collect();
        let plan_figures: Vec<Figure> = gathered.list("figures").iter().filter_map(|node| rows.figure(node)).collect();
        let last = gathered.list("figures").last().map(|node| node.place);
        let raw = gathered.list("activities").iter().filter_map(|node| rows.activity(node)).collect();
        let activities = rows.activities(raw, &weather_needs);
        rows.check_figures(&plan_figures, last, incomplete || activities.is_empty());
        let scope = gathered.list("scope").iter().filter_map(|node| rows.remark(node, "scope")).collect();
        let remove = gathered.list("remove").iter().filter_map(|node| rows.remark(node, "remove")).collect();
        let loads = gathered.list("loads").iter().filter_map(|node| rows.load_default(node)).collect();
        let usual_rows: Vec<UsualRow> = gathered.list("usual").iter().filter_map(|node| rows.usual_row(node)).collect();
        // questions that know of no cladding tell of no wall
        let usual = rows.usual(&usual_rows, !incomplete && flow.question("cladding").is_some());
        let runoff = gathered.list("runoff").iter().filter_map(|node| rows.runoff(node)).collect();
        let kinds = flow
            .question("channel_kind")
            .map(|q| flow.questions[q].choices.iter().map(|c| c.id.clone()).collect::<Vec<_>>())
            .unwrap_or_default();
        let roughness = gathered.list("roughness").iter().filter_map(|node| rows.roughness(node, &kinds)).collect();
        let coursing = gathered.list("coursing").iter().filter_map(|node| rows.coursing(node, &region_ids)).collect();
        let layers: Vec<Layer> = gathered.list("layers").iter().filter_map(|node| rows.layer(node)).collect();
        let materials_of: Vec<&str> = layers.iter().map(|l| l.material.as_str()).collect();
        let quantities = gathered.list("quantities").iter();
        let quantities = quantities.filter_map(|node| rows.quantity(node, &plan_figures, &materials_of)).collect();
        let uncounted = gathered.list("not_counted").iter().filter_map(|node| rows.uncounted(node)).collect();
        let sealed_things = rows.choices_of(gathered.list("sealed_things"), &flow, "wall_things");
        let findings = gathered.list("findings").iter().filter_map(|node| rows.finding(node)).collect();
        let phases: Vec<Phase> = gathered.list("phases").iter().filter_map(|node| rows.phase(node)).collect();
        let tasks = gathered.list("tasks").iter().filter_map(|node| rows.task(node, &phases)).collect();
        let mut asks: Vec<Ask> = gathered.list("contractor").iter().filter_map(|node| rows.ask(node)).collect();
        asks.sort_by_key(|a| -a.weight);
        let calls = gathered.list("trades").iter().filter_map(|node| rows.call(node)).collect();
        let cautions = gathered.list("cautions").iter().filter_map(|node| rows.caution(node)).collect();
        let materials = gathered.list("materials").iter().filter_map(|node| rows.material(node)).collect();
        let mut languages: Vec<String> = gathered.translations.iter().map(|(l, ..)| (*l).to_owned()).collect();
        languages.sort();
        languages.dedup();
        let mut content = Content {
            flow,
            names,
            per_reading,
            tolerance_basis,
            wood_lines,
            inch_regions,
            defined,
            limits,
            stairs,
            layers,
            joint_tasks,
            photos,
            weather_needs,
            activities,
            plan_figures,
            quantities,
            uncounted,
            sealed_things,
            suspects,
            scope,
            remove,
            loads,
            usual,
            usual_rows,
            runoff,
            roughness,
            coursing,
            findings,
            phases,
            tasks,
            asks,
            calls,
            cautions,
            materials,
            words,
            languages,
            untranslated: 0,
            slots,
        };
        self.translate(&mut content, &gathered, sources, lang);
        content
    }

    fn gather<'n, 'a>(&mut self, docs: &'n [Node<'a>]) -> Gathered<'n, 'a> {
        let mut gathered = Gathered { lists: BTreeMap::new(), maps: BTreeMap::new(), translations: Vec::new() };
        for doc in docs {
            let Tree::Map(entries) = &doc.tree else {
                self.diags.error(doc.place, format!("a content file must be a map, not {}", doc.describe()));
                continue;
            };
            let mut language = None;
            for (key, value) in entries {
                let Some(top) = TOP.iter().find(|t| **t == key.text) else {
                    let hint = nearest(&key.text, TOP.into_iter());
                    self.diags.error_with_hint(
                        key.place,
                        format!("a content file has no part `{}`", key.text),
                        Some(
                            hint.map_or_else(
                                || format!("known: {}", TOP.join(", ")),
                                |n| format!("did you mean `{n}`?"),
                            ),
                        ),
                    );
                    continue;
                };
                match (*top, &value.tree) {
                    ("section" | "title" | "order" | "intro" | "questions" | "standalone" | "version", _) => {}
                    ("translation", _) => language = value.text(),
                    ("texts", Tree::Map(_)) => match language {
                        Some(lang) => gathered.translations.push((lang, key.place, value)),
                        None => self.diags.error(key.place, "`texts` needs `translation:` above it"),
                    },
                    ("words" | "readings", Tree::Map(_)) => gathered.maps.entry(top).or_default().push(value),
                    ("words" | "readings" | "texts", _) => {
                        self.diags.error(value.place, format!("`{top}` must be a map, not {}", value.describe()));
                    }
                    (_, Tree::List(items)) => gathered.lists.entry(top).or_default().extend(items),
                    _ => self.diags.error(value.place, format!("`{top}` must be a list, not {}", value.describe())),
                }
            }
        }
        gathered
    }

    /// Limits whose id stands again in a local file give way to it, in their place.
    fn without_replaced<'n, 'a>(nodes: &[&'n Node<'a>], sources: &[Source]) -> Vec<&'n Node<'a>> {
        let is_local = |node: &Node<'_>| sources.get(node.place.file()).is_some_and(|s| s.local);
        let replacement =
            |node: &Node<'_>| nodes.iter().find(|n| is_local(n) && id_of(n).is_some() && id_of(n) == id_of(node));
        let mut kept: Vec<&Node<'a>> = Vec::with_capacity(nodes.len());
        for &node in nodes {
            if is_local(node) {
                let used = kept.iter().any(|k| std::ptr::eq(*k, node));
                if !used {
                    kept.push(node);
                }
            } else {
                kept.push(replacement(node).copied().unwrap_or(node));
            }
        }
        kept
    }

    /// The questions that the program computes with must be of the kind it expects.
    fn bindings(&mut self, flow: &Flow, places: &[Place]) {
        for binding in BINDINGS {
            let Some(number) = flow.question(binding.id) else { continue };
            let (question, place) = (&flow.questions[number], places[number]);
            if question.kind != binding.kind {
                let message = format!("the program computes with `{}` and needs another kind of answer", binding.id);
                let hint = format!("make its kind `{}`", binding.kind.word());
                self.diags.error_with_hint(place, message, Some(hint));
                continue;
            }
            for choice in &question.choices {
                if !binding.choices.is_empty() && !binding.choices.contains(&choice.id.as_str()) {
                    let hint = nearest(&choice.id, binding.choices.iter().copied()).map_or_else(
                        || format!("it knows: {}", binding.choices.join(", ")),
                        |n| format!("did you mean `{n}`?"),
                    );
                    let message = format!(
                        "the program computes with `{}` and does not know its choice `{}`",
                        binding.id, choice.id
                    );
                    self.diags.error_with_hint(place, message, Some(hint));
                }
            }
        }
    }

    fn defined(&mut self, nodes: &[&Node<'_>], names: &mut Vocabulary) -> Vec<Defined> {
        let mut defined = Vec::new();
        for node in nodes {
            let Some(mut fields) = Fields::of(node, "a defined fact", self.diags) else { continue };
            let name = fields.need_text("name", self.diags);
            let means = fields.need_text("means", self.diags).unwrap_or_default();
            let when = fields.need("when", self.diags).map(|n| condition(n, names, self.diags));
            let place = fields.place();
            fields.finish(self.diags);
            let (Some(name), Some(when)) = (name, when) else { continue };
            if !name.contains('.') {
                self.diags.error(place, format!("`{name}` needs a dot in its name, as all facts have"));
            } else if names.add(&name, Kind::YesNo).is_none() {
                self.diags.error(place, format!("the fact `{name}` is there already"));
            } else {
                defined.push(Defined { name, means, when });
            }
        }
        defined
    }

    fn readings(&mut self, nodes: &[&Node<'_>]) -> (Length, Basis) {
        let Some(mut fields) = nodes.first().and_then(|node| Fields::of(node, "`readings`", self.diags)) else {
            return (Length::ZERO, Basis::Practice);
        };
        let place = fields.place();
        let text = fields.need_text("tolerance", self.diags);
        let basis = fields.word("basis", &BASES, self.diags).unwrap_or(Basis::Practice);
        fields.finish(self.diags);
        let tolerance = text.map(|t| Length::parse(&t, Units::Inch));
        match tolerance {
            Some(Ok(tolerance)) if tolerance >= Length::ZERO => (tolerance, basis),
            Some(Ok(_)) => {
                self.diags.error(place, "a tolerance cannot be negative");
                (Length::ZERO, basis)
            }
            Some(Err(error)) => {
                self.diags.error(place, error.to_string());
                (Length::ZERO, basis)
            }
            None => (Length::ZERO, basis),
        }
    }

    fn words(&mut self, gathered: &Gathered<'_, '_>, incomplete: bool) -> BTreeMap<String, String> {
        let mut found = BTreeMap::new();
        let mut last = Place::default();
        for node in gathered.map("words") {
            let Tree::Map(entries) = &node.tree else { continue };
            for (key, value) in entries {
                last = key.place;
                let known = words::is_key(&key.text);
                if !known {
                    let hint = nearest(&key.text, words::keys()).map(|n| format!("did you mean `{n}`?"));
                    self.diags.error_with_hint(key.place, format!("no word `{}` is ever shown", key.text), hint);
                }
                match value.text() {
                    Some(text) => {
                        found.insert(key.text.to_string(), text.trim().to_owned());
                    }
                    None => self.diags.error(value.place, format!("a word must be a text, not {}", value.describe())),
                }
            }
        }
        let missing: Vec<&str> = words::keys().filter(|key| !found.contains_key(*key)).collect();
        if !missing.is_empty() && !incomplete {
            self.diags.error(last, format!("these words are missing: {}", missing.join(", ")));
        }
        found
    }

    fn translate(
        &mut self,
        content: &mut Content,
        gathered: &Gathered<'_, '_>,
        sources: &[Source],
        lang: Option<&str>,
    ) {
        // a built-in translation cannot know what a folder laid over the built-in questions left out, and
        // of a file that could not be read nobody knows what it holds
        let replaced = sources.iter().any(|s| s.packed.is_none());
        let incomplete = content.names.is_incomplete();
        for language in &content.languages.clone() {
            let wanted = lang == Some(language.as_str());
            let mut texts = BTreeMap::new();
            for (_, _, node) in gathered.translations.iter().filter(|(l, ..)| l == language) {
                let Tree::Map(entries) = &node.tree else { continue };
                for (key, value) in entries {
                    texts.insert(key.text.as_ref(), (key.place, value.text().unwrap_or_default().trim()));
                }
            }
            let mut missing = 0;
            let diags = &mut *self.diags;
            content.each_text(&mut |key, text| {
                let Some((place, translated)) = texts.remove(key) else {
                    missing += usize::from(!text.is_empty());
                    return;
                };
                let sorted = |t: &str| {
                    let mut names: Vec<String> = placeholders(t).into_iter().map(str::to_owned).collect();
                    names.sort();
                    names.dedup();
                    names
                };
                let (theirs, ours) = (sorted(translated), sorted(text));
                if theirs != ours {
                    diags.error_with_hint(
                        place,
                        format!("the translation of `{key}` has other placeholders than the English text"),
                        Some(format!("English has: {}", ours.join(", "))),
                    );
                }
                if wanted {
                    translated.clone_into(text);
                }
            });
            for (key, (place, _)) in texts {
                let built_in = sources.get(place.file()).is_some_and(|s| s.packed.is_some());
                if incomplete || replaced && built_in {
                    continue;
                }
                self.diags.error(place, format!("there is no text `{key}` to translate"));
            }
            if wanted {
                content.untranslated = missing;
            }
        }
    }
}

impl<'n, 'a> Gathered<'n, 'a> {
    fn list(&self, key: &str) -> &[&'n Node<'a>] {
        self.lists.get(key).map_or(&[], Vec::as_slice)
    }

    fn map(&self, key: &str) -> &[&'n Node<'a>] {
        self.maps.get(key).map_or(&[], Vec::as_slice)
    }
}

fn id_of<'n>(node: &'n Node<'_>) -> Option<&'n str> {
    let Tree::Map(entries) = &node.tree else { return None };
    entries.iter().find(|(k, _)| k.text == "id").and_then(|(_, v)| v.text())
}
