//! The rows of the content: limits, findings, tasks, questions for the contractor, and so on.

use super::verdict::Verdict;
use crate::flow::{Condition, Diagnostics, Fields, Node, Place, Slot, Vocabulary, placeholders};
use crate::units::{Length, Slope, Units};
use crate::wall::Sense;

/// How a figure was obtained.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// The standard's own text was read.
    Published,
    /// A page quoting the standard was read.
    Reported,
    /// Known, not checked.
    Memory,
    /// Common practice of the trade, no source.
    Practice,
}

impl Basis {
    /// The word in content and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Basis::Published => "published",
            Basis::Reported => "reported",
            Basis::Memory => "memory",
            Basis::Practice => "practice",
        }
    }
}

/// The three people a sheet is written for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sheet {
    /// Who lives there and decides.
    Homeowner,
    /// The crew that lays the stone.
    Landscaper,
    /// The trade that opens and closes the wall.
    Exterior,
}

/// Who does a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// The homeowner.
    Homeowner,
    /// The hardscape crew.
    Hardscape,
    /// The exterior trade.
    Exterior,
}

impl Who {
    /// All of them, in the order of the sheets.
    pub const ALL: [Who; 3] = [Who::Homeowner, Who::Hardscape, Who::Exterior];

    /// The word in content and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Who::Homeowner => "homeowner",
            Who::Hardscape => "hardscape",
            Who::Exterior => "exterior",
        }
    }
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Origin {
    /// The document and section; empty for common practice.
    pub source: String,
    /// The edition; empty if it does not matter.
    pub edition: String,
    /// How it was obtained.
    pub basis: Basis,
}

/// A published minimum or maximum.
#[derive(Debug, Clone)]
pub struct Limit {
    /// Its id.
    pub id: String,
    /// The regions where it holds; empty: everywhere.
    pub regions: Vec<String>,
    /// Its name.
    pub what: String,
    /// The slot of the measure.
    pub measure: Slot,
    /// Which way it bounds.
    pub sense: Sense,
    /// The bound, in the numbers of values.
    pub bound: i64,
    /// When it applies.
    pub when: Condition,
    /// What goes wrong beyond it.
    pub because: String,
    /// What a failure means; nothing for rows that only advise.
    pub verdict: Option<Verdict>,
    /// Where it comes from.
    pub origin: Origin,
}

/// A rule of the advisor.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Its id.
    pub id: String,
    /// When it holds.
    pub when: Condition,
    /// What it means for the verdict.
    pub verdict: Option<Verdict>,
    /// A sentence.
    pub title: String,
    /// Why.
    pub say: String,
    /// What has to change.
    pub todo: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// A part of the checklist.
#[derive(Debug, Clone)]
pub struct Phase {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
}

/// A line of the checklist.
#[derive(Debug, Clone)]
pub struct Task {
    /// Its id.
    pub id: String,
    /// The number of its phase.
    pub phase: usize,
    /// Who does it.
    pub who: Who,
    /// When it is called for.
    pub when: Condition,
    /// What to do.
    pub todo: String,
    /// Why; may be empty.
    pub because: String,
    /// Whether to stop until someone has looked.
    pub hold: bool,
    /// The sheets it is printed on.
    pub sheets: Vec<Sheet>,
}

/// A question for the hardscape contractor.
#[derive(Debug, Clone)]
pub struct Ask {
    /// Its id.
    pub id: String,
    /// 3 is asked first.
    pub weight: i64,
    /// When it is asked.
    pub when: Condition,
    /// The question.
    pub ask: String,
    /// Why it is asked.
    pub why: String,
    /// What a good answer contains.
    pub good: Vec<String>,
    /// What is not good enough.
    pub weak: Vec<String>,
    /// What to ask then.
    pub follow_up: String,
    /// Whether it is about keeping water out of the wall itself.
    pub joint: bool,
}

/// When to bring in another trade.
#[derive(Debug, Clone)]
pub struct Call {
    /// Its id.
    pub id: String,
    /// The trade, as a word key.
    pub trade: &'static str,
    /// When it is called for.
    pub when: Condition,
    /// At which point of the work.
    pub point: String,
    /// What to say to them.
    pub say: String,
    /// Why.
    pub because: String,
}

/// A danger.
#[derive(Debug, Clone)]
pub struct Caution {
    /// Its id.
    pub id: String,
    /// When it is printed.
    pub when: Condition,
    /// The text.
    pub say: String,
    /// Where it comes from.
    pub origin: Origin,
    /// The sheets it is printed on.
    pub sheets: Vec<Sheet>,
}

/// A limit of a material: weather, cure, laps.
#[derive(Debug, Clone)]
pub struct Material {
    /// Its id.
    pub id: String,
    /// When it matters.
    pub when: Condition,
    /// The material.
    pub what: String,
    /// The limit, in words.
    pub limit: String,
    /// Where it comes from.
    pub origin: Origin,
    /// The sheets it is printed on.
    pub sheets: Vec<Sheet>,
}

/// A yes/no fact that the content defines by a condition.
#[derive(Debug, Clone)]
pub struct Defined {
    /// Its name.
    pub name: String,
    /// What it means.
    pub means: String,
    /// When it holds.
    pub when: Condition,
}

pub(crate) const VERDICTS: [(&str, Verdict); 3] = [
    ("change_plan", Verdict::ChangePlan),
    ("find_out", Verdict::FindOutFirst),
    ("exterior_first", Verdict::ExteriorFirst),
];

pub(crate) const BASES: [(&str, Basis); 4] = [
    ("published", Basis::Published),
    ("reported", Basis::Reported),
    ("memory", Basis::Memory),
    ("practice", Basis::Practice),
];

const SHEETS: [(&str, Sheet); 3] =
    [("homeowner", Sheet::Homeowner), ("landscaper", Sheet::Landscaper), ("exterior", Sheet::Exterior)];

pub(crate) const WHO: [(&str, Who); 3] =
    [("homeowner", Who::Homeowner), ("hardscape", Who::Hardscape), ("exterior", Who::Exterior)];

/// The trades that can be called; each has a word `trade.…`.
pub(crate) const TRADES: [(&str, &str); 10] = [
    ("exterior", "exterior"),
    ("electrician", "electrician"),
    ("plumber", "plumber"),
    ("gas_fitter", "gas_fitter"),
    ("engineer", "engineer"),
    ("pest", "pest"),
    ("restoration", "restoration"),
    ("building_office", "building_office"),
    ("utility_marking", "utility_marking"),
    ("roofer", "roofer"),
];

/// What the readers of rows share.
pub(crate) struct Reader<'d> {
    pub(crate) names: &'d Vocabulary,
    pub(crate) diags: &'d mut Diagnostics,
    /// The ids of the rows read so far, with their kind, to refuse doubles.
    pub(crate) seen: std::collections::HashSet<String>,
}

impl Reader<'_> {
    pub(crate) fn id(&mut self, fields: &mut Fields<'_, '_>, kind: &str) -> Option<(String, Place)> {
        let (id, place) = fields.need_id(self.diags)?;
        self.once(&id, place, kind).then_some((id, place))
    }

    pub(crate) fn once(&mut self, id: &str, place: Place, kind: &str) -> bool {
        let fresh = self.seen.insert(format!("{kind}.{id}"));
        if !fresh {
            self.diags.error(place, format!("the {kind} `{id}` stands twice"));
        }
        fresh
    }

    pub(crate) fn when(&mut self, fields: &mut Fields<'_, '_>) -> Condition {
        fields.condition("when", self.names, self.diags)
    }

    /// A text; its placeholders are checked.
    pub(crate) fn text(&mut self, fields: &mut Fields<'_, '_>, name: &'static str, must: bool) -> String {
        let node = if must { fields.need(name, self.diags) } else { fields.take(name) };
        let Some(node) = node else { return String::new() };
        self.text_of(node, name)
    }

    fn text_of(&mut self, node: &Node<'_>, name: &str) -> String {
        let Some(text) = node.text().map(str::trim).filter(|t| !t.is_empty() && *t != "~") else {
            self.diags.error_with_hint(
                node.place,
                format!("`{name}` must be a text, not {}", node.describe()),
                Some("a text that starts with `{`, `[` or `-`, or holds `: `, needs quotes".to_owned()),
            );
            return String::new();
        };
        for used in placeholders(text) {
            if let Some((message, hint)) = self.bad_placeholder(used) {
                self.diags.error_with_hint(node.place, message, hint);
            }
        }
        text.to_owned()
    }

    /// What is wrong with a placeholder, if anything.
    fn bad_placeholder(&self, used: &str) -> Option<(String, Option<String>)> {
        let bare = if used.starts_with("limit.") {
            match used.rsplit_once('.') {
                Some((limit, "value" | "short_by" | "measured")) if limit.contains('.') => limit,
                _ => {
                    let hint = "use `.value`, `.measured` or `.short_by` behind the limit".to_owned();
                    return Some((format!("`{{{used}}}` does not say which number of the limit"), Some(hint)));
                }
            }
        } else {
            used
        };
        if self.names.slot(bare).is_some() {
            return None;
        }
        let (message, hint) = self.names.missing(bare)?;
        Some((format!("{message} for `{{{used}}}`"), hint))
    }

    fn texts(&mut self, fields: &mut Fields<'_, '_>, name: &'static str) -> Vec<String> {
        let nodes = fields.list(name, self.diags);
        nodes.iter().map(|node| self.text_of(node, name)).collect()
    }

    pub(crate) fn origin(&mut self, fields: &mut Fields<'_, '_>) -> Origin {
        let source = self.text(fields, "source", false);
        let edition = self.text(fields, "edition", false);
        let basis = fields.word("basis", &BASES, self.diags);
        if basis.is_some_and(|b| b < Basis::Memory) && source.is_empty() {
            let place = fields.place();
            self.diags.error_with_hint(
                place,
                "a figure needs its source".to_owned(),
                Some("give `source:` and `basis:`; without a source the basis is `practice`".to_owned()),
            );
        }
        Origin { source, edition, basis: basis.unwrap_or(Basis::Practice) }
    }

    fn sheets(&mut self, fields: &mut Fields<'_, '_>) -> Vec<Sheet> {
        let place = fields.place();
        let sheets = fields.words("sheets", &SHEETS, self.diags);
        if sheets.is_empty() {
            self.diags.error_with_hint(
                place,
                "this row is printed on no sheet",
                Some("give `sheets: [homeowner, landscaper, exterior]`, or some of them".to_owned()),
            );
        }
        sheets
    }

    pub(crate) fn limit(&mut self, node: &Node<'_>, regions: &[String], before: Slot) -> Option<Limit> {
        let mut fields = Fields::of(node, "a limit", self.diags)?;
        let id = self.id(&mut fields, "limit");
        let known: Vec<(&str, &str)> = regions.iter().map(|r| (r.as_str(), r.as_str())).collect();
        let here = fields.words("regions", &known, self.diags).into_iter().map(str::to_owned).collect();
        let what = self.text(&mut fields, "what", true);
        let measure = fields.need("measure", self.diags);
        let (at_least, at_most) = (fields.take("at_least"), fields.take("at_most"));
        let when_place = fields.place();
        let when = self.when(&mut fields);
        let because = self.text(&mut fields, "because", false);
        let verdict = fields.word("verdict", &VERDICTS, self.diags);
        let origin = self.origin(&mut fields);
        fields.finish(self.diags);
        let (id, place) = id?;
        if verdict.is_some() && origin.basis >= Basis::Memory {
            self.diags.error_with_hint(
                place,
                format!("the limit `{id}` rests on {} and cannot fail a plan", origin.basis.word()),
                Some("take its `verdict:` away; it will advise, and say so".to_owned()),
            );
        }
        if let Some(slot) = when.reads().find(|slot| *slot >= before) {
            let name = &self.names.name(slot).text;
            self.diags
                .error(when_place, format!("a limit cannot look at `{name}`, which is computed after the limits"));
        }
        let measure = measure?;
        let name = measure.text().unwrap_or_default();
        let Some(slot) = self.names.slot(name) else {
            if let Some((message, hint)) = self.names.missing(name) {
                self.diags.error_with_hint(measure.place, message, hint);
            }
            return None;
        };
        let (sense, bound) = match (at_least, at_most) {
            (Some(bound), None) => (Sense::AtLeast, bound),
            (None, Some(bound)) => (Sense::AtMost, bound),
            _ => {
                self.diags.error(place, format!("the limit `{id}` needs `at_least:` or `at_most:`, and not both"));
                return None;
            }
        };
        let bound = self.bound(slot, bound)?;
        Some(Limit { id, regions: here, what, measure: slot, sense, bound, when, because, verdict, origin })
    }

    fn bound(&mut self, measure: Slot, node: &Node<'_>) -> Option<i64> {
        use crate::flow::Kind;
        let text = node.text().unwrap_or_default();
        let wrong = match &self.names.name(measure).kind {
            Kind::Length if !text.contains(char::is_alphabetic) => format!("`{text}` is a length without a unit"),
            Kind::Length => match Length::parse(text, Units::Inch) {
                Ok(length) => return Some(length.steps()),
                Err(error) => error.to_string(),
            },
            Kind::Slope => match Slope::parse(text) {
                Ok(slope) => return Some(slope.parts()),
                Err(error) => error.to_string(),
            },
            Kind::Number => match text.parse::<i64>() {
                Ok(n) => return Some(n * 1000),
                Err(_) => format!("`{text}` is not a whole number"),
            },
            _ => "a limit can only bound a length, a slope or a number".to_owned(),
        };
        self.diags.error(node.place, wrong);
        None
    }

    pub(crate) fn length_of(&mut self, node: &Node<'_>) -> Option<Length> {
        let text = node.text().unwrap_or_default();
        let wrong = match Length::parse(text, Units::Inch) {
            Ok(_) if !text.contains(char::is_alphabetic) => format!("`{text}` is a length without a unit"),
            Ok(length) => return Some(length),
            Err(error) => error.to_string(),
        };
        self.diags.error(node.place, wrong);
        None
    }

    pub(crate) fn slope_of(&mut self, node: &Node<'_>) -> Option<Slope> {
        let read = Slope::parse(node.text().unwrap_or_default());
        read.map_err(|error| self.diags.error(node.place, error.to_string())).ok()
    }

    pub(crate) fn finding(&mut self, node: &Node<'_>) -> Option<Finding> {
        let mut fields = Fields::of(node, "a finding", self.diags)?;
        let id = self.id(&mut fields, "finding");
        let when = self.when(&mut fields);
        let verdict = fields.word("verdict", &VERDICTS, self.diags);
        let title = self.text(&mut fields, "title", true);
        let say = self.text(&mut fields, "say", true);
        let todo = self.text(&mut fields, "do", false);
        let origin = self.origin(&mut fields);
        fields.finish(self.diags);
        Some(Finding { id: id?.0, when, verdict, title, say, todo, origin })
    }

    pub(crate) fn phase(&mut self, node: &Node<'_>) -> Option<Phase> {
        let mut fields = Fields::of(node, "a phase", self.diags)?;
        let id = self.id(&mut fields, "phase");
        let title = self.text(&mut fields, "title", true);
        fields.finish(self.diags);
        Some(Phase { id: id?.0, title })
    }

    pub(crate) fn task(&mut self, node: &Node<'_>, phases: &[Phase]) -> Option<Task> {
        let mut fields = Fields::of(node, "a task", self.diags)?;
        let id = self.id(&mut fields, "task");
        let known: Vec<(&str, usize)> = phases.iter().enumerate().map(|(i, p)| (p.id.as_str(), i)).collect();
        let phase = fields.need_word("phase", &known, self.diags);
        let who = fields.need_word("who", &WHO, self.diags);
        let when = self.when(&mut fields);
        let todo = self.text(&mut fields, "do", true);
        let because = self.text(&mut fields, "because", false);
        let hold = fields.flag("hold", false, self.diags);
        let sheets = self.sheets(&mut fields);
        fields.finish(self.diags);
        Some(Task { id: id?.0, phase: phase?, who: who?, when, todo, because, hold, sheets })
    }

    pub(crate) fn ask(&mut self, node: &Node<'_>) -> Option<Ask> {
        let mut fields = Fields::of(node, "a question for the contractor", self.diags)?;
        let id = self.id(&mut fields, "contractor");
        let weight = fields.whole("weight", self.diags).unwrap_or(1);
        let when = self.when(&mut fields);
        let ask = self.text(&mut fields, "ask", true);
        let why = self.text(&mut fields, "why", true);
        let good = self.texts(&mut fields, "good");
        let weak = self.texts(&mut fields, "weak");
        let follow_up = self.text(&mut fields, "follow_up", false);
        let joint = fields.flag("joint", false, self.diags);
        fields.finish(self.diags);
        Some(Ask { id: id?.0, weight, when, ask, why, good, weak, follow_up, joint })
    }

    pub(crate) fn call(&mut self, node: &Node<'_>) -> Option<Call> {
        let mut fields = Fields::of(node, "a call to a trade", self.diags)?;
        let id = self.id(&mut fields, "trade");
        let trade = fields.need_word("trade", &TRADES, self.diags);
        let when = self.when(&mut fields);
        let point = self.text(&mut fields, "point", true);
        let say = self.text(&mut fields, "say", true);
        let because = self.text(&mut fields, "because", false);
        fields.finish(self.diags);
        Some(Call { id: id?.0, trade: trade?, when, point, say, because })
    }

    pub(crate) fn caution(&mut self, node: &Node<'_>) -> Option<Caution> {
        let mut fields = Fields::of(node, "a caution", self.diags)?;
        let id = self.id(&mut fields, "caution");
        let when = self.when(&mut fields);
        let say = self.text(&mut fields, "say", true);
        let origin = self.origin(&mut fields);
        let sheets = self.sheets(&mut fields);
        fields.finish(self.diags);
        Some(Caution { id: id?.0, when, say, origin, sheets })
    }

    pub(crate) fn material(&mut self, node: &Node<'_>) -> Option<Material> {
        let mut fields = Fields::of(node, "a material", self.diags)?;
        let id = self.id(&mut fields, "material");
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let limit = self.text(&mut fields, "limit", true);
        let origin = self.origin(&mut fields);
        let sheets = self.sheets(&mut fields);
        fields.finish(self.diags);
        Some(Material { id: id?.0, when, what, limit, origin, sheets })
    }
}

impl Limit {
    /// Whether the limit holds in a region; in no region in particular, only those that hold everywhere.
    #[must_use]
    pub fn holds_in(&self, region: Option<&str>) -> bool {
        self.regions.is_empty() || region.is_some_and(|here| self.regions.iter().any(|r| r == here))
    }
}
