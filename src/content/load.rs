//! From files to content: everything read, resolved and checked, all mistakes at once.

use super::after::AFTER_LIMITS;
use super::amount_rows::{Figure, FigureValue};
use super::catalog::exit_kinds;
use super::content::{Content, LIMIT_STATES, Slots};
use super::era_rows::{Era, old_enough};
use super::gather::{ContentLoader, Gathered, id_of};
use super::promise_rows::{Promise, open_to_advice};
use super::quick::Quick;
use super::rows::{Ask, Call, Caution, Defined, Finding, Phase, RowReader};
use super::task_rows::Task;
use super::wall_rows::Layer;
use super::water_rows::{LoadDefault, RunoffRow, UsualRow, usual};
use super::words;
use super::work_rows::WeatherNeed;
use super::works::Register;
use crate::flow::{
    Condition, ContentError, Diagnostics, Fields, Flow, Kind, Node, Place, Slot, Source, Tree, Vocabulary, condition,
    load, nearest, placeholders,
};
use crate::names::{Named, Names, Needed, QuestionId};
use crate::pack::{Late, Text};
use crate::site::{Catalog, FACTS};
use std::collections::{BTreeMap, HashMap};

impl Content {
    /// Loads content. `lang` is a language that has a translation, or nothing for English.
    ///
    /// # Errors
    /// A [`ContentError`] whose text is the report of all mistakes of all files.
    pub fn load(sources: &[Source], lang: Option<&str>) -> Result<Content, ContentError> {
        Content::read(sources, lang).map(|(content, _)| content)
    }

    /// The same for a program that ends with it: neither the content nor the trees of its files are given back, which
    /// would be a tenth of the work of a short command (docs/speed.md).
    ///
    /// # Errors
    /// Those of [`Content::load`].
    pub fn load_for_good(sources: &[Source], lang: Option<&str>) -> Result<&'static mut Content, ContentError> {
        let (content, docs) = Content::read(sources, lang)?;
        std::mem::forget(docs);
        Ok(Box::leak(Box::new(content)))
    }

    fn read<'s>(sources: &'s [Source], lang: Option<&str>) -> Result<(Content, Vec<Node<'s>>), ContentError> {
        let mut diags = Diagnostics::default();
        let mut docs = Vec::with_capacity(sources.len());
        for (number, source) in sources.iter().enumerate() {
            docs.extend(Node::read(source, u32::try_from(number).unwrap_or(u32::MAX), &mut diags));
        }
        let content = ContentLoader { diags: &mut diags }.content(&docs, sources, lang);
        diags.into_result(sources)?;
        Ok((content, docs))
    }
}

/// The family of words that name exits.
const EXIT_WORD: &str = "exit.kind.";

/// The ids of the choices of a question; none where there is no such question, which is reported elsewhere.
fn choice_ids(flow: &Flow, id: QuestionId) -> Vec<Text> {
    let choices = flow.question(id.text()).map(|q| flow.questions[q].choices.as_slice());
    choices.into_iter().flatten().map(|c| c.id.clone()).collect()
}

impl ContentLoader<'_> {
    #[allow(clippy::too_many_lines)] // one line a list
    fn content(&mut self, docs: &[Node<'_>], sources: &[Source], lang: Option<&str>) -> Content {
        let incomplete = !self.diags.is_empty();
        let gathered = self.gather(docs);
        let loaded = load(docs, sources, incomplete, self.diags);
        let (flow, mut names) = (loaded.flow, loaded.names);
        names.open_to_facts();
        let mut slots = Slots { facts: names.len(), ..Slots::default() };
        let exits = exit_kinds(&flow);
        for fact in FACTS {
            names.add(fact.name, fact.kind.kind(&exits));
        }
        slots.defined = names.len();
        let region_ids = choice_ids(&flow, QuestionId::Region);
        let mut register = Register::read(gathered.list("works"), gathered.list("vague_sources"), self.diags);
        let mut rows =
            RowReader { names: &names, diags: self.diags, register: &mut register, sources, seen: HashMap::new() };
        let (eras, era_places): (Vec<Era>, Vec<Place>) =
            gathered.list("eras").iter().filter_map(|node| rows.era(node, &region_ids)).unzip();
        let (defined, defined_places) =
            self.defined(gathered.list("defined"), (&eras, &era_places), &region_ids, &mut names);
        slots.limits = names.len();
        let limit_nodes = Self::without_replaced(gathered.list("limits"), sources);
        let limit_nodes = limit_nodes.as_slice();
        let states: Vec<Text> = LIMIT_STATES.iter().map(|s| (*s).into()).collect();
        for node in limit_nodes {
            if let Some(id) = id_of(node) {
                names.add(&format!("limit.{id}"), Kind::OneOf(states.clone()));
            }
        }
        slots.after = names.len();
        for fact in AFTER_LIMITS {
            names.add(fact.name, fact.kind());
        }
        if Slot::try_from(names.len()).is_err() {
            let place = docs.first().map_or_else(Place::default, |doc| doc.place);
            self.diags.error(place, format!("these questions, facts and limits are more than {} names", Slot::MAX));
        }
        let inch_regions = self.regions(gathered.list("inch_regions"), &region_ids);
        let letter_regions = self.regions(gathered.list("letter_regions"), &region_ids);
        let words = self.words(&gathered, &exits, incomplete);
        let mut rows =
            RowReader { names: &names, diags: self.diags, register: &mut register, sources, seen: HashMap::new() };
        let (per_reading, tolerance_basis) = rows.readings(gathered.map("readings"));
        let asking = rows.asking(gathered.map("asking"));
        let first_limit = Slot::try_from(slots.limits).unwrap_or(Slot::MAX);
        let limits = limit_nodes.iter().filter_map(|node| rows.limit(node, &region_ids, first_limit)).collect();
        let stairs = gathered.list("stairs").iter().filter_map(|node| rows.stairs(node, &region_ids)).collect();
        let joists = choice_ids(&flow, QuestionId::JoistSize);
        let mut wood_lines = vec![None; joists.len()];
        for (at, below) in gathered.list("wood_lines").iter().filter_map(|node| rows.wood_line(node, &joists)) {
            wood_lines[at] = Some(below);
        }
        let suspects = gathered.list("paths").iter().filter_map(|node| rows.suspect(node)).collect();
        let laps = rows.laps(gathered.list("laps"));
        let joint_tasks = rows.joint_tasks(gathered.list("joint_tasks"), &laps);
        let photos = gathered.list("photos").iter().filter_map(|node| rows.photo(node)).collect();
        let weather_needs: Vec<WeatherNeed> =
            gathered.list("weather_needs").iter().filter_map(|node| rows.weather_need(node)).collect();
        let plan_figures: Vec<Figure> = gathered.list("figures").iter().filter_map(|node| rows.figure(node)).collect();
        let raw = gathered.list("activities").iter().filter_map(|node| rows.activity(node, &laps)).collect();
        let activities = rows.activities(raw, &weather_needs, &laps);
        let repair_later =
            gathered.list("repair_later").iter().filter_map(|node| rows.repair_later(node, &flow)).collect();
        let scope = gathered.list("scope").iter().filter_map(|node| rows.remark(node, "scope")).collect();
        let remove = gathered.list("remove").iter().filter_map(|node| rows.remark(node, "remove")).collect();
        let loads: Vec<LoadDefault> =
            gathered.list("loads").iter().filter_map(|node| rows.load_default(node)).collect();
        let usual_rows: Vec<UsualRow> = gathered.list("usual").iter().filter_map(|node| rows.usual_row(node)).collect();
        let usual = usual(&usual_rows);
        let runoff: Vec<RunoffRow> = gathered.list("runoff").iter().filter_map(|node| rows.runoff(node)).collect();
        let kinds = choice_ids(&flow, QuestionId::ChannelKind);
        let roughness = gathered.list("roughness").iter().filter_map(|node| rows.roughness(node, &kinds)).collect();
        let coursing = gathered.list("coursing").iter().filter_map(|node| rows.coursing(node, &region_ids)).collect();
        let mut materials_of: Vec<Text> = Vec::new();
        let layers: Vec<Layer> =
            gathered.list("layers").iter().filter_map(|node| rows.layer(node, &mut materials_of)).collect();
        let quantities = gathered.list("quantities").iter();
        let quantities = quantities.filter_map(|node| rows.quantity(node, &plan_figures, &materials_of)).collect();
        let uncounted = gathered.list("not_counted").iter().filter_map(|node| rows.uncounted(node)).collect();
        let things = choice_ids(&flow, QuestionId::WallThings);
        let sealed_things = rows.choices_of(gathered.list("sealed_things"), &things);
        let findings: Vec<Finding> = gathered.list("findings").iter().filter_map(|node| rows.finding(node)).collect();
        rows.check_guards(&findings, gathered.list("findings").last().map(|node| node.place), incomplete);
        let phases: Vec<Phase> = gathered.list("phases").iter().filter_map(|node| rows.phase(node)).collect();
        let tasks = rows.tasks(gathered.list("tasks"), &phases, &laps);
        let mut asks: Vec<Ask> = gathered.list("contractor").iter().filter_map(|node| rows.ask(node)).collect();
        asks.sort_by_key(|a| (a.rank.unwrap_or(i64::MAX), -a.weight));
        let calls: Vec<Call> = gathered.list("trades").iter().filter_map(|node| rows.call(node)).collect();
        let cautions: Vec<Caution> = gathered.list("cautions").iter().filter_map(|node| rows.caution(node)).collect();
        let materials = gathered.list("materials").iter().filter_map(|node| rows.material(node)).collect();
        let mut places: BTreeMap<Text, Place> =
            std::mem::take(&mut rows.seen).into_iter().map(|(row, place)| (row.into(), place)).collect();
        places.extend(defined_places);
        let (promises, promises_left_out) = self.promises(
            gathered.list("promises"),
            sources,
            &mut register,
            &mut names,
            [
                ("finding", findings.iter().map(|f: &Finding| f.id.as_str()).collect()),
                ("task", tasks.iter().map(|t: &Task| t.id.as_str()).collect()),
                ("trade", calls.iter().map(|c: &Call| c.id.as_str()).collect()),
                ("caution", cautions.iter().map(|c: &Caution| c.id.as_str()).collect()),
                ("ask", asks.iter().map(|a| a.id.as_str()).collect()),
            ],
        );
        let mut languages: Vec<Text> = gathered.translations.iter().map(|(l, ..)| (*l).into()).collect();
        languages.sort();
        languages.dedup();
        let place = |needed: Needed| match needed {
            Needed::Question(_) => None,
            Needed::Defined(id) => defined.iter().position(|d| d.name == id.text()).map(|at| slots.defined + at),
            Needed::Figure(id) => plan_figures
                .iter()
                .position(|f| f.id == id.text() && matches!(f.value, FigureValue::Length(_)) == id.is_length()),
            Needed::Material(id) => materials_of.iter().position(|m| m == id.text()),
            Needed::Load(id) => loads.iter().position(|l| l.id == id.text()),
            Needed::Runoff(id) => runoff.iter().position(|r| r.id == id.text()),
            Needed::Usual(id) => usual_rows.iter().position(|r| r.id == id),
        };
        let resolved = Names::resolve(&flow, &place);
        let all_named = resolved.is_ok();
        let catalog = Catalog {
            claddings: self.claddings(&flow, &exits),
            features: self.features(&flow),
            exit_kinds: exits,
            wood_lines,
            names: resolved.unwrap_or_else(|faults| {
                self.name_faults(&faults, &flow, &loaded.places, &gathered, incomplete);
                Names::none()
            }),
        };
        let mut content = Content {
            flow,
            vocabulary: names,
            catalog,
            materials_of_layers: materials_of,
            per_reading,
            tolerance_basis,
            asking,
            inch_regions,
            letter_regions,
            defined,
            eras,
            limits,
            stairs,
            layers,
            laps,
            joint_tasks,
            photos,
            weather_needs,
            activities,
            repair_later,
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
            promises: promises.into(),
            promises_left_out,
            phases,
            tasks,
            asks,
            calls,
            cautions,
            materials,
            places: places.into(),
            works: register.works.into(),
            resting: register.resting.into(),
            words,
            languages,
            untranslated: Vec::new(),
            source_phrases: source_phrases(&gathered, lang),
            regions_with_limits: 0,
            claddings_without_rules: 0,
            slots,
            quick: Quick::default(),
            looks: Late::default(),
        };
        // without the names there is nothing to count, and the content is refused
        if all_named {
            content.count_coverage();
        }
        self.translate(&mut content, &gathered, sources, lang);
        content
    }

    /// Facts that the content defines: by a condition, or by a year of building for each country.
    fn defined(
        &mut self,
        nodes: &[&Node<'_>],
        (eras, era_places): (&[Era], &[Place]),
        regions: &[Text],
        names: &mut Vocabulary,
    ) -> (Vec<Defined>, Vec<(Text, Place)>) {
        let (mut defined, mut places) = (Vec::new(), Vec::new());
        let mut by_era: Vec<Text> = Vec::new();
        for node in nodes {
            let Some(mut fields) = Fields::of(node, "a defined fact", self.diags) else { continue };
            let name = fields.need_text("name", self.diags);
            let means = fields.need_text("means", self.diags).unwrap_or_default();
            let year = fields.take("eras");
            let when = match year {
                Some(node) => Some(self.old_enough(node, name.as_deref().unwrap_or_default(), eras, regions, names)),
                None => fields.need("when", self.diags).map(|n| condition(n, names, self.diags)),
            };
            let place = fields.place();
            fields.finish(self.diags);
            by_era.extend(name.clone().filter(|_| year.is_some()));
            let (Some(name), Some(when)) = (name, when) else { continue };
            if !name.contains('.') {
                self.diags.error(place, format!("`{name}` needs a dot in its name, as all facts have"));
            } else if names.add(&name, Kind::YesNo).is_none() {
                self.diags.error(place, format!("the fact `{name}` is there already"));
            } else {
                places.push((format!("defined.{name}").into(), place));
                defined.push(Defined { name, means, when });
            }
        }
        for (era, place) in eras.iter().zip(era_places).filter(|(era, _)| !by_era.contains(&era.of)) {
            let message = format!("the year `{}` is for `{}`, which no defined fact with `eras:` is", era.id, era.of);
            self.diags.error(*place, message);
        }
        (defined, places)
    }

    /// The condition of a fact that goes by the year of building in each country. The node names the question.
    fn old_enough(
        &mut self,
        node: &Node<'_>,
        fact: &str,
        eras: &[Era],
        regions: &[Text],
        names: &Vocabulary,
    ) -> Condition {
        let name = node.text().unwrap_or_default();
        let Some(year) = names.slot(name) else {
            if let Some((message, hint)) = names.missing(name) {
                self.diags.error_with_hint(node.place, message, hint);
            }
            // the fact is there all the same, so that what asks it is no second mistake
            return Condition::always();
        };
        if names.name(year).kind != Kind::Year {
            self.diags.error(node.place, format!("`eras` names a question of the kind `year`, and `{name}` is none"));
        }
        // a region question that is missing is reported elsewhere
        let region = names.slot(QuestionId::Region.text());
        region.map_or_else(Condition::always, |region| old_enough(eras, fact, (region, regions.len()), year))
    }

    /// The promises, and how many were left out. A built-in promise cannot know what a folder laid over the built-in content
    /// took away; what it names must be there in the content it belongs to.
    fn promises(
        &mut self,
        nodes: &[&Node<'_>],
        sources: &[Source],
        register: &mut Register,
        names: &mut Vocabulary,
        told: [(&'static str, Vec<&str>); 5],
    ) -> (Vec<Promise>, usize) {
        let told = told.into_iter().flat_map(|(kind, ids)| ids.into_iter().map(move |id| (kind, id)));
        if !open_to_advice(names, told)
            && let Some(first) = nodes.first()
        {
            self.diags.error(first.place, "where there are promises, no question can be called `verdict`");
        }
        let replaced = sources.iter().any(|s| s.tree.is_none() && !s.local);
        let mut left_out = 0;
        let mut seen = HashMap::new();
        let mut promises = Vec::with_capacity(nodes.len());
        for node in nodes {
            let mut found = Diagnostics::default();
            let mut rows = RowReader { names, diags: &mut found, register, sources, seen: std::mem::take(&mut seen) };
            let promise = rows.promise(node);
            seen = rows.seen;
            let built_in = sources.get(node.place.file()).is_some_and(|s| s.tree.is_some());
            if replaced && built_in && !found.is_empty() {
                left_out += 1;
                continue;
            }
            self.diags.append(found);
            promises.extend(promise);
        }
        (promises, left_out)
    }

    /// Regions by name, as bits of their places.
    fn regions(&mut self, nodes: &[&Node<'_>], regions: &[Text]) -> i64 {
        let mut bits = 0;
        for node in nodes {
            match regions.iter().position(|r| Some(r.as_str()) == node.text()) {
                Some(at) => bits |= 1 << at,
                None if regions.is_empty() => {}
                None => {
                    let near = nearest(node.text().unwrap_or_default(), regions.iter().map(Text::as_str));
                    let hint = near.map(|n| format!("did you mean `{n}`?"));
                    let message = format!("there is no region `{}`", node.text().unwrap_or_default());
                    self.diags.error_with_hint(node.place, message, hint);
                }
            }
        }
        bits
    }

    fn words(&mut self, gathered: &Gathered<'_, '_>, exits: &[Text], incomplete: bool) -> BTreeMap<Text, Text> {
        let mut found = BTreeMap::new();
        let mut last = Place::default();
        for node in gathered.map("words") {
            let Tree::Map(entries) = &node.tree else { continue };
            for (key, value) in entries {
                last = key.place;
                let exit = key.text.strip_prefix(EXIT_WORD).is_some_and(|exit| exits.iter().any(|e| e == exit));
                // a row that could not be read may name the exit
                let known = words::is_key(&key.text) || exit || incomplete && key.text.starts_with(EXIT_WORD);
                if !known {
                    let hint = nearest(&key.text, words::keys()).map(|n| format!("did you mean `{n}`?"));
                    self.diags.error_with_hint(key.place, format!("no word `{}` is ever shown", key.text), hint);
                }
                match value.text() {
                    Some(text) => {
                        found.insert(key.text.as_ref().into(), text.trim().into());
                    }
                    None => self.diags.error(value.place, format!("a word must be a text, not {}", value.describe())),
                }
            }
        }
        let named = exits.iter().map(|exit| format!("{EXIT_WORD}{exit}"));
        let missing: Vec<String> =
            words::keys().map(str::to_owned).chain(named).filter(|key| !found.contains_key(key.as_str())).collect();
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
        let replaced = sources.iter().any(|s| s.tree.is_none());
        let incomplete = content.vocabulary.is_incomplete();
        for language in &content.languages.clone() {
            let wanted = lang == Some(language.as_str());
            let mut texts = BTreeMap::new();
            for (_, _, node) in gathered.translations.iter().filter(|(l, ..)| l == language) {
                let Tree::Map(entries) = &node.tree else { continue };
                for (key, value) in entries {
                    texts.insert(key.text.as_ref(), (key.place, value.text().unwrap_or_default().trim()));
                }
            }
            let mut missing = Vec::new();
            let diags = &mut *self.diags;
            content.each_text(&mut |key, text| {
                let Some((place, translated)) = texts.remove(key) else {
                    if wanted && !text.is_empty() {
                        missing.push(key.into());
                    }
                    return;
                };
                let sorted = |t: &str| {
                    let mut names: Vec<String> = placeholders(t).into_iter().map(str::to_lowercase).collect();
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
                    *text = translated.into();
                }
            });
            for (key, (place, _)) in texts {
                let built_in = sources.get(place.file()).is_some_and(|s| s.tree.is_some());
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

/// The phrases of sources in a language, the longest first, so that a part of a phrase never takes its place.
fn source_phrases(gathered: &Gathered<'_, '_>, lang: Option<&str>) -> Vec<(Text, Text)> {
    let mut phrases: Vec<(Text, Text)> = Vec::new();
    for (_, node) in gathered.phrases.iter().filter(|(language, _)| lang == Some(*language)) {
        let Tree::Map(entries) = &node.tree else { continue };
        phrases.extend(
            entries
                .iter()
                .map(|(key, value)| (key.text.as_ref().into(), value.text().unwrap_or_default().trim().into())),
        );
    }
    phrases.sort_by_key(|(english, _)| std::cmp::Reverse(english.len()));
    phrases
}
