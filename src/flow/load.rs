//! From the trees of the files to a [`Flow`].

use super::called::{BuiltTexts, Called, Wording, WordingCase};
use super::condition::{Condition, Test};
use super::diagnostic::{Diagnostics, Source};
use super::model::{Bounds, Choice, Effort, Flow, NEVER_OFFERED, Question, QuestionKind, Section, Stand};
use super::place::Place;
use super::reader::{Fields, condition, length, thousandths};
use super::template::placeholders;
use super::tree::{Node, Tree};
use super::value::Value;
use super::vocabulary::{Slot, Vocabulary, nearest};
use super::wording::{PARTS, name_and_part};
use crate::pack::Text;
use std::collections::HashMap;

/// What loading the flows gives.
#[derive(Debug)]
pub struct Loaded {
    /// The flow.
    pub flow: Flow,
    /// The names of all questions; slot and number of a question are the same.
    pub names: Vocabulary,
    /// Where each question stands.
    pub places: Vec<Place>,
}

/// Words that conditions use for themselves.
const RESERVED: [&str; 3] = ["all", "any", "not"];
/// A sketch fits beside a tape measure, that is, on the narrowest screen.
const WIDEST_SKETCH: usize = 38;
/// A choice is a bit of an `i64`.
pub(crate) const MOST_CHOICES: usize = 60;

/// A question as written, with what is still to be resolved.
struct Raw<'n, 'a> {
    question: Question,
    place: Place,
    show_when: Option<&'n Node<'a>>,
    /// Follow-ups by name: choice bit, name, place.
    references: Vec<(i64, &'n str, Place)>,
    /// What can be answered in one go with it, by name.
    at_once: &'n [Node<'a>],
    /// What it needs, by name.
    needs: &'n [Node<'a>],
    /// Parents by number, with the bit that shows this question.
    parents: Vec<(usize, i64)>,
}

/// A section as written.
struct RawSection<'n, 'a> {
    order: i64,
    section: Section,
    questions: &'n [Node<'a>],
}

/// Loads the flows out of all files; `docs` holds the tree of each file that could be read, and
/// `incomplete` says that some could not.
pub fn load(docs: &[Node<'_>], sources: &[Source], incomplete: bool, diags: &mut Diagnostics) -> Loaded {
    let mut sections: Vec<RawSection<'_, '_>> = docs.iter().filter_map(|doc| section(doc, diags)).collect();
    sections.sort_by_key(|s| s.order);
    let mut names = Vocabulary::questions_only();
    if incomplete {
        names.set_incomplete();
    }
    let mut loader = FlowLoader {
        raw: Vec::new(),
        index: HashMap::new(),
        names,
        docs,
        sources,
        diags,
        written: Vec::new(),
        for_built: None,
    };
    for (number, section) in sections.iter().enumerate() {
        for node in section.questions {
            loader.question(node, number, None);
        }
    }
    loader.resolve();
    loader.in_one_go();
    loader.conditions();
    let wordings = loader.wordings();
    let built_when = loader.built_when();
    loader.check_texts(&wordings, built_when.is_some());
    let FlowLoader { raw, names, .. } = loader;
    let places = raw.iter().map(|r| r.place).collect();
    let questions: Vec<Question> = raw.into_iter().map(|r| r.question).collect();
    let mut by_id: Vec<usize> = (0..questions.len()).collect();
    by_id.sort_by(|one, other| questions[*one].id.cmp(&questions[*other].id));
    // of an id that stands twice, which is a mistake, the first counts
    by_id.dedup_by(|later, first| questions[*later].id == questions[*first].id);
    let sections = sections.into_iter().map(|s| s.section).collect();
    Loaded { flow: Flow { sections, questions, wordings, built_when, by_id }, names, places }
}

fn section<'n, 'a>(doc: &'n Node<'a>, diags: &mut Diagnostics) -> Option<RawSection<'n, 'a>> {
    let Tree::Map(entries) = &doc.tree else { return None };
    if !entries.iter().any(|(k, _)| k.text == "section" || k.text == "questions") {
        return None;
    }
    let mut fields = Fields::of(doc, "a section", diags)?;
    let id = fields.need_text("section", diags);
    let title = fields.need_text("title", diags);
    let order = fields.whole("order", diags).unwrap_or(i64::MAX);
    let intro = fields.text("intro", diags);
    let sketch = fields.take("sketch").and_then(|node| sketch(node, diags));
    let questions = fields.list("questions", diags);
    Some(RawSection { order, section: Section { id: id?, title: title?, intro, sketch }, questions })
}

struct FlowLoader<'n, 'a, 'd> {
    raw: Vec<Raw<'n, 'a>>,
    index: HashMap<Text, usize>,
    names: Vocabulary,
    docs: &'n [Node<'a>],
    sources: &'d [Source],
    diags: &'d mut Diagnostics,
    /// The names that texts of questions use, and where.
    written: Vec<(Place, String)>,
    /// Where the first text for built work stands.
    for_built: Option<Place>,
}

impl<'n, 'a> FlowLoader<'n, 'a, '_> {
    /// Reads a question and, below it, its follow-ups.
    #[allow(clippy::too_many_lines)] // one line a field
    fn question(&mut self, node: &'n Node<'a>, section: usize, parent: Option<(usize, i64)>) {
        let Some(mut fields) = Fields::of(node, "a question", self.diags) else { return };
        let id = fields.need_id(self.diags);
        let kind = fields.need_word("kind", &KINDS, self.diags);
        fields.need("short", self.diags);
        fields.need("ask", self.diags);
        let short = self.said(&mut fields, "short").unwrap_or_default();
        let ask = self.said(&mut fields, "ask").unwrap_or_default();
        let why = self.said(&mut fields, "why").unwrap_or_default();
        let how = self.said(&mut fields, "how").unwrap_or_default();
        let built = BuiltTexts {
            ask: self.said_of_built(&mut fields, "ask_built"),
            why: self.said_of_built(&mut fields, "why_built"),
            how: self.said_of_built(&mut fields, "how_built"),
        };
        let not_sure = fields.flag("not_sure", true, self.diags);
        let plan = fields.flag("plan", false, self.diags);
        let stays_known = fields.flag("stays_known", false, self.diags);
        let rises_at = fields.take("as_finish_rises").map(|node| node.place);
        let as_finish_rises = fields.word("as_finish_rises", &[("grows", 1), ("shrinks", -1), ("lost", 0)], self.diags);
        let lost_as_finish_rises = as_finish_rises == Some(0);
        let no_length = kind.filter(|kind| *kind != QuestionKind::Length && !lost_as_finish_rises);
        if let (Some(place), Some(kind)) = (rises_at, no_length) {
            self.diags
                .error(place, format!("only a length can change as the finish rises, and this is `{}`", kind.word()));
        }
        let effort = fields.take("effort").map(|node| effort(node, self.diags)).unwrap_or_default();
        let stand = fields.word("place", &Stand::ALL, self.diags).unwrap_or_default();
        let place_built = fields.word("place_built", &Stand::ALL, self.diags);
        let first = fields.flag("first", false, self.diags);
        let at_once = fields.list("at_once", self.diags);
        let needs = fields.list("needs", self.diags);
        let show_when = fields.take("show_when");
        if let (Some((id, _)), None) = (&id, kind) {
            self.names.add_broken(id);
        }
        let (Some((id, place)), Some(kind)) = (id, kind) else {
            // without these nothing else can be judged, but the follow-ups can
            self.go_on_below(fields, section);
            return;
        };
        let bounds = bounds(&mut fields, kind, self.diags);
        let never = fields.list("never_offered", self.diags);
        let (choices, branches) = self.branches(&mut fields, kind, &id, place);
        let never_offered = self.never_offered(never, kind, &choices);
        fields.finish(self.diags);
        let depth = parent.map_or(0, |(p, _)| self.raw[p].question.depth + 1);
        let number = self.raw.len();
        if RESERVED.contains(&id.as_str()) {
            self.diags.error(place, format!("`{id}` is a word of conditions and cannot be an id"));
        }
        if let Some(first) = self.index.get(&id) {
            let at = self.raw[*first].place;
            let line = self.line(at);
            let file = self.sources.get(at.file as usize).map_or("", |s| &s.name);
            self.diags.error_with_hint(
                place,
                format!("the id `{id}` is used twice"),
                Some(format!("it stands already in {file}, line {line}; ids are unique over all files")),
            );
        } else {
            self.index.insert(id.clone(), number);
        }
        let mut references = Vec::new();
        let mut inline = Vec::new();
        for (bit, items) in branches {
            for item in items {
                match item.text() {
                    Some(name) => references.push((bit, name, item.place)),
                    None => inline.push((bit, item)),
                }
            }
        }
        self.raw.push(Raw {
            question: Question {
                id,
                section,
                depth,
                short,
                ask,
                why,
                how,
                built,
                kind,
                choices,
                not_sure,
                plan,
                stays_known,
                as_finish_rises: as_finish_rises.unwrap_or(0),
                lost_as_finish_rises,
                never_offered,
                effort,
                place: stand,
                place_built,
                first,
                at_once: Vec::new(),
                needs: Vec::new(),
                bounds,
                visible: Condition::always(),
                written: place,
            },
            place,
            show_when,
            references,
            at_once,
            needs,
            parents: parent.into_iter().collect(),
        });
        for (bit, item) in inline {
            self.question(item, section, Some((number, bit)));
        }
    }

    /// The answers that are never offered as a change, as bits.
    fn never_offered(&mut self, named: &[Node<'_>], kind: QuestionKind, choices: &[Choice]) -> i64 {
        let mut bits = 0;
        for node in named {
            let name = node.text().unwrap_or_default();
            let bit = match kind {
                _ if name == "any" => Some(NEVER_OFFERED),
                QuestionKind::YesNo => match name {
                    "yes" => Value::yes_no(true).known(),
                    "no" => Value::yes_no(false).known(),
                    _ => None,
                },
                QuestionKind::OneOf => choices.iter().position(|choice| choice.id == name).map(|nth| 1i64 << nth),
                _ => None,
            };
            let Some(bit) = bit else {
                self.diags.error(node.place, format!("`{name}` is no answer of this question that could be offered"));
                continue;
            };
            bits |= bit;
        }
        bits
    }

    /// A text of a question, whose names are checked when all are known.
    fn said(&mut self, fields: &mut Fields<'n, 'a>, name: &'static str) -> Option<Text> {
        let place = fields.take(name)?.place;
        let text = fields.text(name, self.diags)?;
        self.written.extend(placeholders(&text).into_iter().map(|name| (place, name.to_owned())));
        Some(text)
    }

    /// The same for built work.
    fn said_of_built(&mut self, fields: &mut Fields<'n, 'a>, name: &'static str) -> Option<Text> {
        let place = fields.take(name).map(|node| node.place);
        self.for_built = self.for_built.or(place);
        self.said(fields, name)
    }

    /// The nodes of all files that stand under a key at the top.
    fn at_top(&self, name: &str) -> Vec<&'n Node<'a>> {
        let at_top = |doc: &'n Node<'a>| match &doc.tree {
            Tree::Map(entries) => entries.iter().find(|(key, _)| key.text == name).map(|(_, node)| node),
            Tree::Scalar { .. } | Tree::List(_) => None,
        };
        self.docs.iter().filter_map(at_top).collect()
    }

    /// The names that texts of questions may use.
    fn wordings(&mut self) -> Vec<Wording> {
        let mut wordings: Vec<Wording> = Vec::new();
        let mut nodes = Vec::new();
        for list in self.at_top("asked") {
            if let Tree::List(items) = &list.tree {
                nodes.extend(items);
            }
        }
        for node in nodes {
            let Some(mut fields) = Fields::of(node, "a name in questions", self.diags) else { continue };
            let name = fields.need_id(self.diags);
            // a name that is there already gets more cases, which come before those it has
            let known = name.as_ref().and_then(|(id, _)| wordings.iter().position(|w| w.name == *id));
            let general = if known.is_none() { self.called(&mut fields) } else { Called::default() };
            let mut cases: Vec<WordingCase> = Vec::new();
            for node in fields.list("cases", self.diags) {
                let Some(mut fields) = Fields::of(node, "a case", self.diags) else { continue };
                let id = fields.need_id(self.diags);
                let when = fields.need("when", self.diags).map(|node| condition(node, &self.names, self.diags));
                let called = self.called(&mut fields);
                fields.finish(self.diags);
                let (Some((id, place)), Some(when)) = (id, when) else { continue };
                let earlier = known.map_or(&[][..], |at| wordings[at].cases.as_slice());
                if cases.iter().chain(earlier).any(|case| case.id == id) {
                    self.diags.error(place, format!("the case `{id}` is there already"));
                }
                cases.push(WordingCase { id, when, called });
            }
            fields.finish(self.diags);
            match (name, known) {
                (_, Some(at)) => {
                    cases.append(&mut wordings[at].cases);
                    wordings[at].cases = cases;
                }
                (Some((name, _)), None) => wordings.push(Wording { name, general, cases }),
                (None, None) => {}
            }
        }
        wordings
    }

    /// What something is called. Its texts may hold answers that somebody typed.
    fn called(&mut self, fields: &mut Fields<'n, 'a>) -> Called {
        let mut text = |name: &'static str| {
            let place = fields.take(name)?.place;
            let text = fields.text(name, self.diags)?;
            for name in placeholders(&text).into_iter().filter(|name| !self.index.contains_key(*name)) {
                if let Some((message, hint)) = self.names.missing(name) {
                    self.diags.error_with_hint(place, message, hint);
                }
            }
            Some(text)
        };
        let (say, short, help) = (text("say"), text("short"), text("help"));
        if say.is_none() {
            fields.need("say", self.diags);
        }
        Called { say: say.unwrap_or_default(), short, help }
    }

    /// When questions speak of built work.
    fn built_when(&mut self) -> Option<Condition> {
        let nodes = self.at_top("built_when");
        if let [_, second, ..] = nodes.as_slice() {
            self.diags.error(second.place, "`built_when` can stand once only");
        }
        nodes.first().map(|node| condition(node, &self.names, self.diags))
    }

    /// Refuses names that nothing fills, and texts for built work where nothing says when work is built.
    fn check_texts(&mut self, wordings: &[Wording], says_when_built: bool) {
        if self.names.is_incomplete() {
            return;
        }
        for (place, written) in &self.written {
            let (name, part) = name_and_part(written);
            let known = wordings.iter().find(|w| w.name == name);
            match (known, part) {
                (None, _) => {
                    let near = nearest(&name, wordings.iter().map(|w| w.name.as_str()));
                    let hint = near.map(|near| format!("did you mean `{{{near}}}`?"));
                    let message = format!("`{{{written}}}` is no name under `asked:`, so nothing fills it");
                    self.diags.error_with_hint(*place, message, hint);
                }
                (Some(_), Some(part)) if !PARTS.contains(&part) => {
                    let hint = format!("known: {}", PARTS.join(", "));
                    self.diags.error_with_hint(*place, format!("`{name}` has no part `{part}`"), Some(hint));
                }
                (Some(wording), Some(part)) => {
                    let general = &wording.general;
                    let given = if part == "short" { &general.short } else { &general.help };
                    if given.is_none() {
                        let message = format!("`{written}` is asked for, and `{name}` has no `{part}:` of its own");
                        self.diags.error(*place, message);
                    }
                }
                (Some(_), None) => {}
            }
        }
        if let (Some(place), false) = (self.for_built, says_when_built) {
            self.diags.error(place, "nothing says when work is built: write `built_when:` with a condition");
        }
    }

    /// Goes on below a question that could not be read, so that its follow-ups are checked too.
    fn go_on_below(&mut self, mut fields: Fields<'n, 'a>, section: usize) {
        for name in ["least", "most", "usual", "choices_from"] {
            fields.take(name);
        }
        let mut below: Vec<&'n Node<'a>> = Vec::new();
        for name in ["when_yes", "when_no"] {
            below.extend(fields.list(name, self.diags));
        }
        for choice in fields.list("choices", self.diags) {
            if let Some(mut choice) = Fields::of(choice, "a choice", self.diags) {
                below.extend(choice.list("then", self.diags));
            }
        }
        fields.finish(self.diags);
        for item in below {
            if item.text().is_none() {
                self.question(item, section, None);
            }
        }
    }

    /// The choices of a question, and its follow-ups by the bit of the choice.
    #[allow(clippy::type_complexity)] // a list of (bit, nodes), used once
    fn branches(
        &mut self,
        fields: &mut Fields<'n, 'a>,
        kind: QuestionKind,
        id: &str,
        place: Place,
    ) -> (Vec<Choice>, Vec<(i64, &'n [Node<'a>])>) {
        let mut choices: Vec<Choice> = Vec::new();
        let mut branches = Vec::new();
        if kind == QuestionKind::YesNo {
            branches.push((2, fields.list("when_yes", self.diags)));
            branches.push((1, fields.list("when_no", self.diags)));
            return (choices, branches);
        }
        if !matches!(kind, QuestionKind::OneOf | QuestionKind::SeveralOf | QuestionKind::Places) {
            return (choices, branches);
        }
        let rows = fields.take("choices_from").filter(|_| kind == QuestionKind::OneOf);
        let mut nodes: Vec<&'n Node<'a>> = fields.list("choices", self.diags).iter().collect();
        if let Some(from) = rows {
            if !nodes.is_empty() {
                self.diags.error(from.place, format!("`{id}` has `choices:` and `choices_from:`; keep one of them"));
            }
            nodes = self.rows(from);
        }
        if nodes.is_empty() {
            self.diags.error(place, format!("`{id}` has no choices"));
        }
        if nodes.len() > MOST_CHOICES {
            self.diags.error(place, format!("`{id}` has more than {MOST_CHOICES} choices"));
        }
        for node in nodes.into_iter().take(MOST_CHOICES) {
            let Some(mut fields) = Fields::of(node, "a choice", self.diags) else { continue };
            let choice_id = fields.need_id(self.diags);
            let label = fields.need_text("label", self.diags).unwrap_or_default();
            if let (Some(name), Some(node)) = (placeholders(&label).first(), fields.take("label")) {
                let hint =
                    Some("write the name into `hint`; what was chosen is also told where nothing fills it".to_owned());
                self.diags.error_with_hint(
                    node.place,
                    format!("a label cannot hold a name such as `{{{name}}}`"),
                    hint,
                );
            }
            let hint = self.said(&mut fields, "hint");
            let hint_built = self.said_of_built(&mut fields, "hint_built");
            let also = fields.texts("also", self.diags).join(", ").into();
            let then = fields.list("then", self.diags);
            let traits = if rows.is_some() { fields.rest(self.diags) } else { Vec::new() };
            fields.finish(self.diags);
            let Some((choice_id, place)) = choice_id else { continue };
            if choices.iter().any(|c| c.id == choice_id) {
                self.diags.error(place, format!("`{id}` has the choice `{choice_id}` twice"));
                continue;
            }
            branches.push((1 << choices.len(), then));
            choices.push(Choice { id: choice_id, label, hint, hint_built, also, traits, place });
        }
        (choices, branches)
    }

    /// The rows of all files that stand under a key: the choices of a question that takes them from there.
    fn rows(&mut self, from: &Node<'a>) -> Vec<&'n Node<'a>> {
        let name = from.text().unwrap_or_default();
        let mut rows = Vec::new();
        for list in self.at_top(name) {
            if let Tree::List(items) = &list.tree {
                rows.extend(items);
            }
        }
        if rows.is_empty() && !self.names.is_incomplete() {
            self.diags.error(from.place, format!("there are no rows `{name}:` in any file"));
        }
        rows
    }

    /// Resolves follow-ups by name, and refuses circles and backward references.
    /// What can be answered in one go with a question, and what a question needs, by name.
    fn in_one_go(&mut self) {
        for from in 0..self.raw.len() {
            for node in self.raw[from].at_once {
                let later = |to: usize| to > from;
                let told = "is asked before this question, so it cannot be answered in one go with it";
                if let Some(to) = self.other(node, &later, told) {
                    // "a door: main door - no" is a choice that nobody reads as it is meant
                    if !matches!(self.raw[to].question.kind, QuestionKind::OneOf | QuestionKind::Length) {
                        let told = "only a question with choices, or a length, can be answered in one go with another";
                        self.diags.error(node.place, told);
                    }
                    self.raw[from].question.at_once.push(to);
                }
            }
            for node in self.raw[from].needs {
                let earlier = |to: usize| to < from;
                if let Some(to) = self.other(node, &earlier, "does not stand before this question, which needs it") {
                    self.raw[from].question.needs.push(to);
                }
            }
        }
    }

    /// The question that a node names, where it stands as it must.
    fn other(&mut self, node: &Node<'_>, stands: &dyn Fn(usize) -> bool, told: &str) -> Option<usize> {
        let name = node.text().unwrap_or_default();
        match self.index.get(name) {
            Some(&to) if stands(to) => return Some(to),
            Some(_) => self.diags.error(node.place, format!("`{name}` {told}")),
            None => {
                let hint = nearest(name, self.index.keys().map(Text::as_str));
                let hint = hint.map(|n| format!("did you mean `{n}`?"));
                self.diags.error_with_hint(node.place, format!("there is no question `{name}`"), hint);
            }
        }
        None
    }

    fn resolve(&mut self) {
        let mut edges: Vec<Vec<usize>> = vec![Vec::new(); self.raw.len()];
        for (child, raw) in self.raw.iter().enumerate() {
            for (parent, _) in &raw.parents {
                edges[*parent].push(child);
            }
        }
        let mut found = Vec::new();
        for (from, raw) in self.raw.iter().enumerate() {
            for (bit, name, place) in &raw.references {
                let Some(&to) = self.index.get(*name) else {
                    if let Some((message, _)) = self.names.missing(name) {
                        let hint = nearest(name, self.index.keys().map(Text::as_str));
                        self.diags.error_with_hint(*place, message, hint.map(|n| format!("did you mean `{n}`?")));
                    }
                    continue;
                };
                edges[from].push(to);
                found.push((from, to, *bit, *place));
            }
        }
        let mut in_circles = Vec::new();
        for (from, to, bit, place) in found {
            if let Some(path) = path(&edges, to, from) {
                // one circle is one mistake, however many of its follow-ups are names
                if path.iter().all(|i| in_circles.contains(i)) {
                    continue;
                }
                in_circles.extend_from_slice(&path);
                let ids: Vec<&str> = path.iter().map(|i| self.raw[*i].question.id.as_str()).collect();
                let from = &self.raw[from].question.id;
                self.diags.error_with_hint(
                    place,
                    format!("`then:` goes in a circle: {from} -> {}", ids.join(" -> ")),
                    Some("a follow-up may not lead back to the question it follows".to_owned()),
                );
            } else if to < from {
                let (child, parent) = (&self.raw[to].question.id, &self.raw[from].question.id);
                self.diags.error_with_hint(
                    place,
                    format!("`{child}` is asked before `{parent}` and cannot follow it"),
                    Some(format!("move `{child}` further down")),
                );
            } else {
                self.raw[to].parents.push((from, bit));
            }
        }
    }

    /// Compiles the visibility of every question.
    fn conditions(&mut self) {
        let names = &mut self.names;
        for raw in &self.raw {
            // a doubled id was reported; it still needs a slot of its own
            if names.add(&raw.question.id, raw.question.value_kind()).is_none() {
                let filler = format!("{} (twice, {})", raw.question.id, names.len());
                names.add(&filler, raw.question.value_kind());
                continue;
            }
            let Some(slot) = names.slot(&raw.question.id) else { continue };
            for (at, choice) in raw.question.choices.iter().enumerate() {
                for (name, value) in choice.traits.iter().flat_map(|t| t.values.iter().map(move |v| (&t.name, v))) {
                    names.add_trait(&raw.question.id, slot, name, value, 1 << at);
                }
            }
        }
        for (number, raw) in self.raw.iter_mut().enumerate() {
            let mut parts = Vec::new();
            if !raw.parents.is_empty() {
                let tests: Vec<Condition> = raw
                    .parents
                    .iter()
                    .filter_map(|(parent, bit)| Some(Condition::test(Slot::try_from(*parent).ok()?, Test::Any(*bit))))
                    .collect();
                parts.push(Condition::any(&tests));
            }
            if let Some(node) = raw.show_when {
                let show_when = condition(node, names, self.diags);
                if let Some(later) = show_when.reads().find(|slot| *slot as usize >= number) {
                    self.diags.error_with_hint(
                        node.place,
                        format!(
                            "`{}` looks at `{}`, which is not asked before it",
                            raw.question.id,
                            names.name(later).text
                        ),
                        Some("`show_when` may only look at earlier questions, so that every interview ends".to_owned()),
                    );
                }
                parts.push(show_when);
            }
            raw.question.visible = Condition::all(&parts);
        }
    }

    fn line(&self, place: Place) -> usize {
        let text = self.sources.get(place.file as usize).map_or("", |s| s.text.as_ref());
        text.bytes().take(place.start as usize).filter(|b| *b == b'\n').count() + 1
    }
}

const KINDS: [(&str, QuestionKind); 9] = [
    ("one_of", QuestionKind::OneOf),
    ("several_of", QuestionKind::SeveralOf),
    ("yes_no", QuestionKind::YesNo),
    ("length", QuestionKind::Length),
    ("number", QuestionKind::Number),
    ("year", QuestionKind::Year),
    ("text", QuestionKind::Text),
    ("profile", QuestionKind::Profile),
    ("places", QuestionKind::Places),
];

/// A drawing in characters, line by line as it stands.
fn sketch(node: &Node<'_>, diags: &mut Diagnostics) -> Option<Text> {
    let text = node.text()?.trim_end();
    if text.lines().any(|line| line.chars().count() > WIDEST_SKETCH) {
        diags.error(node.place, format!("a sketch is at most {WIDEST_SKETCH} characters wide"));
    }
    Some(text.into())
}

fn effort(node: &Node<'_>, diags: &mut Diagnostics) -> Effort {
    const WHO: [(&str, &str); 4] = [("you", "you"), ("crew", "crew"), ("exterior", "exterior"), ("office", "office")];
    let Some(mut fields) = Fields::of(node, "`effort`", diags) else { return Effort::default() };
    let minutes = fields.need_whole("minutes", diags).unwrap_or(0);
    let with = fields.text("with", diags).unwrap_or_default();
    let who = fields.word("who", &WHO, diags).unwrap_or("you").into();
    fields.finish(diags);
    Effort { minutes, with, who }
}

fn bounds(fields: &mut Fields<'_, '_>, kind: QuestionKind, diags: &mut Diagnostics) -> Option<Bounds> {
    if !matches!(
        kind,
        QuestionKind::Length | QuestionKind::Number | QuestionKind::Year | QuestionKind::Profile | QuestionKind::Places
    ) {
        return None;
    }
    let number = |node: Option<&Node<'_>>, diags: &mut Diagnostics| -> Option<i64> {
        let node = node?;
        let text = node.text().unwrap_or_default();
        match kind {
            QuestionKind::Length | QuestionKind::Profile | QuestionKind::Places => {
                length(text, node.place, diags).map(crate::units::Length::steps)
            }
            QuestionKind::Number => thousandths(text, node.place, diags),
            _ => thousandths(text, node.place, diags).map(|n| n / 1000),
        }
    };
    let least = number(fields.take("least"), diags);
    let most = number(fields.take("most"), diags);
    let place = fields.place();
    let usual = match fields.list("usual", diags) {
        [] => None,
        [from, to] => number(Some(from), diags).zip(number(Some(to), diags)),
        _ => {
            diags.error(place, "`usual` must be a list of two: from and to");
            None
        }
    };
    let bounds = Bounds { least: least.unwrap_or(i64::MIN), most: most.unwrap_or(i64::MAX), usual };
    let sound = bounds.least <= bounds.most
        && usual.is_none_or(|(from, to)| bounds.least <= from && from <= to && to <= bounds.most);
    if !sound {
        diags.error(place, "`least`, `usual` and `most` must be in rising order");
    }
    Some(bounds)
}

/// A path along the edges, both ends included.
fn path(edges: &[Vec<usize>], from: usize, to: usize) -> Option<Vec<usize>> {
    fn walk(edges: &[Vec<usize>], at: usize, to: usize, seen: &mut [bool], path: &mut Vec<usize>) -> bool {
        path.push(at);
        if at == to {
            return true;
        }
        if !std::mem::replace(&mut seen[at], true) {
            for next in &edges[at] {
                if walk(edges, *next, to, seen, path) {
                    return true;
                }
            }
        }
        path.pop();
        false
    }
    let mut found = Vec::new();
    walk(edges, from, to, &mut vec![false; edges.len()], &mut found).then_some(found)
}
