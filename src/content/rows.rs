//! The rows of the content: limits, findings, tasks, questions for the contractor, and so on.

use super::basis::{BASES, Basis};
use super::verdict::Verdict;
use super::works::{Must, Register, Said};
use crate::flow::{
    Condition, Diagnostics, Fields, MOST_CHOICES, Node, Place, Slot, Source, Vocabulary, length, nearest, number,
    placeholders,
};
use crate::pack::{Text, packed};
use crate::units::{Length, Slope};
use crate::wall::Sense;
use std::collections::HashMap;

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

packed!(enum Sheet { 0: Homeowner, 1: Landscaper, 2: Exterior });

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

packed!(enum Who { 0: Homeowner, 1: Hardscape, 2: Exterior });

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
    pub source: Text,
    /// The edition; empty if it does not matter.
    pub edition: Text,
    /// How it was obtained.
    pub basis: Basis,
}

packed!(struct Origin { source, edition, basis });

/// A published minimum or maximum.
#[derive(Debug, Clone)]
pub struct Limit {
    /// Its id.
    pub id: Text,
    /// The regions where it holds, as bits of the choices of the question on the region; none: everywhere.
    pub regions: i64,
    /// Its name.
    pub what: Text,
    /// The slot of the measure.
    pub measure: Slot,
    /// Which way it bounds.
    pub sense: Sense,
    /// The bound, in the numbers of values.
    pub bound: i64,
    /// When it applies.
    pub when: Condition,
    /// What goes wrong beyond it.
    pub because: Text,
    /// What a failure means; nothing for rows that only advise.
    pub verdict: Option<Verdict>,
    /// Whether a failure endangers people, so that it is said before everything else.
    pub danger: bool,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct Limit { id, regions, what, measure, sense, bound, when, because, verdict, danger, origin });

/// What the program itself sees that no rule of the content may leave unsaid: advice must not get milder where content
/// and program know too little of each other. The content has one finding for each, which says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Guard {
    /// A drop from the wall ends held behind the work, or on wood, and no finding tells so.
    UntoldTrace,
    /// No limit that can fail a plan is known for the region.
    NoLimits,
    /// No rule that carries a verdict speaks of the cladding.
    NoRules,
}

packed!(enum Guard { 0: UntoldTrace, 1: NoLimits, 2: NoRules });

impl Guard {
    /// All of them, with their words in the content.
    pub const ALL: [(&'static str, Guard); 3] =
        [("untold_trace", Guard::UntoldTrace), ("no_limits", Guard::NoLimits), ("no_rules", Guard::NoRules)];
}

/// A rule of the advisor.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Its id.
    pub id: Text,
    /// When it holds; always true for a guard.
    pub when: Condition,
    /// What the program sees, in place of a condition.
    pub guard: Option<Guard>,
    /// Whether it says that water is held behind the work or runs onto wood.
    pub tells_held: bool,
    /// Whether it waits for rows that are not there yet, such as a cladding of a user's own: with these it never holds.
    pub spare: bool,
    /// What it means for the verdict.
    pub verdict: Option<Verdict>,
    /// Whether it endangers people, so that it is said before everything else.
    pub danger: bool,
    /// A sentence.
    pub title: Text,
    /// Why.
    pub say: Text,
    /// What has to change.
    pub todo: Text,
    /// Where it comes from.
    pub origin: Origin,
}

packed!(struct Finding { id, when, guard, tells_held, spare, verdict, danger, title, say, todo, origin });

/// A part of the checklist.
#[derive(Debug, Clone)]
pub struct Phase {
    /// Its id.
    pub id: Text,
    /// Its title.
    pub title: Text,
}

packed!(struct Phase { id, title });

/// A question for the hardscape contractor.
#[derive(Debug, Clone)]
pub struct Ask {
    /// Its id.
    pub id: Text,
    /// Its place among the questions, the smallest first; without one it comes after all that have one.
    pub rank: Option<i64>,
    /// 3 decides whether a contractor will do.
    pub weight: i64,
    /// When it is asked.
    pub when: Condition,
    /// The question.
    pub ask: Text,
    /// Why it is asked.
    pub why: Text,
    /// What a good answer contains.
    pub good: Vec<Text>,
    /// What is not good enough.
    pub weak: Vec<Text>,
    /// What to ask then.
    pub follow_up: Text,
    /// Whether it is about keeping water out of the wall itself.
    pub joint: bool,
}

packed!(struct Ask { id, rank, weight, when, ask, why, good, weak, follow_up, joint });

/// When to bring in another trade.
#[derive(Debug, Clone)]
pub struct Call {
    /// Its id.
    pub id: Text,
    /// The trade, as a word key.
    pub trade: &'static str,
    /// When it is called for.
    pub when: Condition,
    /// At which point of the work.
    pub point: Text,
    /// What to say to them.
    pub say: Text,
    /// Why.
    pub because: Text,
}

packed!(struct Call { id, trade, when, point, say, because });

/// A danger.
#[derive(Debug, Clone)]
pub struct Caution {
    /// Its id.
    pub id: Text,
    /// Its place among the cautions of a sheet that has room for few, the smallest first; without one it comes last.
    pub rank: Option<i64>,
    /// When it is printed.
    pub when: Condition,
    /// The text.
    pub say: Text,
    /// Where it comes from.
    pub origin: Origin,
    /// The sheets it is printed on.
    pub sheets: Vec<Sheet>,
}

packed!(struct Caution { id, rank, when, say, origin, sheets });

/// A limit of a material: weather, cure, laps.
#[derive(Debug, Clone)]
pub struct Material {
    /// Its id.
    pub id: Text,
    /// When it matters.
    pub when: Condition,
    /// The material.
    pub what: Text,
    /// The limit, in words.
    pub limit: Text,
    /// Where it comes from.
    pub origin: Origin,
    /// The sheets it is printed on.
    pub sheets: Vec<Sheet>,
}

packed!(struct Material { id, when, what, limit, origin, sheets });

/// A yes/no fact that the content defines by a condition.
#[derive(Debug, Clone)]
pub struct Defined {
    /// Its name.
    pub name: Text,
    /// What it means.
    pub means: Text,
    /// When it holds.
    pub when: Condition,
}

packed!(struct Defined { name, means, when });

/// The verdicts that a rule can carry: those that are worse than [`Verdict::GoAhead`].
const VERDICTS: [Verdict; 3] = [Verdict::ChangePlan, Verdict::FindOutFirst, Verdict::ExteriorTradeFirst];
/// How they were spelt before.
const OLD_VERDICTS: [(&str, Verdict); 2] =
    [("find_out", Verdict::FindOutFirst), ("exterior_first", Verdict::ExteriorTradeFirst)];

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

/// The text of an id that was read.
pub(crate) fn id_text(id: Option<&(Text, Place)>) -> Option<&str> {
    id.map(|(id, _)| id.as_str())
}

/// What the readers of rows share.
pub(crate) struct RowReader<'d> {
    pub(crate) names: &'d Vocabulary,
    pub(crate) diags: &'d mut Diagnostics,
    /// The works that a source may name, and who names them.
    pub(crate) register: &'d mut Register,
    /// The files that are read.
    pub(crate) sources: &'d [Source],
    /// The ids of the rows read so far, with their kind, to refuse doubles.
    pub(crate) seen: HashMap<String, Place>,
}

impl RowReader<'_> {
    pub(crate) fn id(&mut self, fields: &mut Fields<'_, '_>, kind: &str) -> Option<(Text, Place)> {
        let (id, place) = fields.need_id(self.diags)?;
        self.once(&id, place, kind).then_some((id, place))
    }

    pub(crate) fn once(&mut self, id: &str, place: Place, kind: &str) -> bool {
        let fresh = self.seen.insert(format!("{kind}.{id}"), place).is_none();
        if !fresh {
            self.diags.error(place, format!("the {kind} `{id}` stands twice"));
        }
        fresh
    }

    pub(crate) fn when(&mut self, fields: &mut Fields<'_, '_>) -> Condition {
        fields.condition("when", self.names, self.diags)
    }

    /// A text; its placeholders are checked.
    pub(crate) fn text(&mut self, fields: &mut Fields<'_, '_>, name: &'static str, must: bool) -> Text {
        let node = if must { fields.need(name, self.diags) } else { fields.take(name) };
        let Some(node) = node else { return Text::default() };
        self.text_of(node, name)
    }

    fn text_of(&mut self, node: &Node<'_>, name: &str) -> Text {
        let Some(text) = node.text().map(str::trim).filter(|t| !t.is_empty() && *t != "~") else {
            self.diags.error_with_hint(
                node.place,
                format!("`{name}` must be a text, not {}", node.describe()),
                Some("a text that starts with `{`, `[` or `-`, or holds `: `, needs quotes".to_owned()),
            );
            return Text::default();
        };
        for used in placeholders(text) {
            if let Some((message, hint)) = self.bad_placeholder(used) {
                self.diags.error_with_hint(node.place, message, hint);
            }
        }
        text.into()
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

    fn texts(&mut self, fields: &mut Fields<'_, '_>, name: &'static str) -> Vec<Text> {
        let nodes = fields.list(name, self.diags);
        nodes.iter().map(|node| self.text_of(node, name)).collect()
    }

    /// Where a row comes from, held against the register of works.
    pub(crate) fn origin(
        &mut self,
        fields: &mut Fields<'_, '_>,
        kind: &'static str,
        id: Option<&str>,
        must: Must,
    ) -> Origin {
        let source = self.text(fields, "source", false);
        let edition = self.text(fields, "edition", false);
        let given = fields.has("basis");
        let basis = fields.word("basis", &BASES, self.diags);
        // a basis that could not be read is reported already
        let edition = if given && basis.is_none() {
            edition
        } else {
            self.rests_on(&Said { kind, id, place: fields.place(), must }, &source, edition, basis)
        };
        Origin { source, edition, basis: basis.unwrap_or(Basis::Practice) }
    }

    /// Whether something stands in a file of the user's own, laid over the content for one run.
    pub(crate) fn is_local(&self, place: Place) -> bool {
        self.sources.get(place.file()).is_some_and(|source| source.local)
    }

    /// How far one reading may be off, and how that is known.
    pub(crate) fn readings(&mut self, nodes: &[&Node<'_>]) -> (Length, Basis) {
        let Some(mut fields) = nodes.first().and_then(|node| Fields::of(node, "`readings`", self.diags)) else {
            return (Length::ZERO, Basis::Practice);
        };
        let place = fields.place();
        let tolerance = fields.need("tolerance", self.diags).and_then(|node| self.length_of(node));
        let origin = self.origin(&mut fields, "readings", Some("tolerance"), Must::Figure);
        fields.finish(self.diags);
        if tolerance.is_some_and(|tolerance| tolerance < Length::ZERO) {
            self.diags.error(place, "a tolerance cannot be negative");
        }
        (tolerance.map_or(Length::ZERO, |tolerance| tolerance.max(Length::ZERO)), origin.basis)
    }

    pub(crate) fn sheets(&mut self, fields: &mut Fields<'_, '_>) -> Vec<Sheet> {
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

    pub(crate) fn limit(&mut self, node: &Node<'_>, regions: &[Text], before: Slot) -> Option<Limit> {
        let mut fields = Fields::of(node, "a limit", self.diags)?;
        let id = self.id(&mut fields, "limit");
        let danger = fields.flag("danger", false, self.diags);
        let here = self.regions(&mut fields, regions);
        let what = self.text(&mut fields, "what", true);
        let measure = fields.need("measure", self.diags);
        let (at_least, at_most) = (fields.take("at_least"), fields.take("at_most"));
        let when_place = fields.place();
        let when = self.when(&mut fields);
        let because = self.text(&mut fields, "because", false);
        let verdict = self.verdict(&mut fields);
        let origin = self.origin(&mut fields, "limit", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let (id, place) = id?;
        if verdict.is_some() && origin.basis >= Basis::Memory {
            self.diags.error_with_hint(
                place,
                format!("the limit `{id}` rests on {} and cannot fail a plan", origin.basis.word()),
                Some("take its `verdict:` away; it will advise, and say so".to_owned()),
            );
        }
        self.danger_has_verdict(danger, verdict, &id, place);
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
        let bound = number(&self.names.name(slot).kind, bound, self.diags)?;
        Some(Limit { id, regions: here, what, measure: slot, sense, bound, when, because, verdict, danger, origin })
    }

    /// What endangers people cannot stand beside "Go ahead".
    fn danger_has_verdict(&mut self, danger: bool, verdict: Option<Verdict>, id: &str, place: Place) {
        if danger && verdict.is_none() {
            self.diags.error_with_hint(
                place,
                format!("`{id}` endangers people and has no verdict"),
                Some("give it a `verdict:`, or take `danger: true` away".to_owned()),
            );
        }
    }

    /// The verdict that a row carries.
    pub(crate) fn verdict(&mut self, fields: &mut Fields<'_, '_>) -> Option<Verdict> {
        let node = fields.take("verdict")?;
        let text = node.text().unwrap_or_default();
        let found = VERDICTS.into_iter().find(|v| v.word() == text);
        if found.is_none() {
            let words = VERDICTS.map(Verdict::word);
            let hint = match OLD_VERDICTS.iter().find(|(old, _)| *old == text) {
                Some((_, verdict)) => format!("it is spelt `{}` now", verdict.word()),
                None => nearest(text, words.into_iter())
                    .map_or_else(|| format!("use one of: {}", words.join(", ")), |n| format!("did you mean `{n}`?")),
            };
            self.diags.error_with_hint(node.place, format!("`verdict` cannot be `{text}`"), Some(hint));
        }
        found
    }

    /// The regions of a row, as bits of their places.
    pub(crate) fn regions(&mut self, fields: &mut Fields<'_, '_>, regions: &[Text]) -> i64 {
        let known: Vec<(&str, usize)> = regions.iter().enumerate().map(|(at, r)| (r.as_str(), at)).collect();
        fields.words("regions", &known, self.diags).into_iter().fold(0, |bits, at| bits | 1 << at)
    }

    pub(crate) fn length_of(&mut self, node: &Node<'_>) -> Option<Length> {
        length(node.text().unwrap_or_default(), node.place, self.diags)
    }

    pub(crate) fn slope_of(&mut self, node: &Node<'_>) -> Option<Slope> {
        let read = Slope::parse(node.text().unwrap_or_default());
        read.map_err(|error| self.diags.error(node.place, error.to_string())).ok()
    }

    pub(crate) fn finding(&mut self, node: &Node<'_>) -> Option<Finding> {
        let mut fields = Fields::of(node, "a finding", self.diags)?;
        let id = self.id(&mut fields, "finding");
        let guard = fields.word("guard", &Guard::ALL, self.diags);
        let when = self.when(&mut fields);
        let tells_held = fields.flag("tells_held", false, self.diags);
        let spare = fields.flag("spare", false, self.diags);
        let danger = fields.flag("danger", false, self.diags);
        let verdict = self.verdict(&mut fields);
        let title = self.text(&mut fields, "title", true);
        let say = self.text(&mut fields, "say", true);
        let todo = self.text(&mut fields, "do", false);
        let origin = self.origin(&mut fields, "finding", id_text(id.as_ref()), Must::Saying);
        fields.finish(self.diags);
        let (id, place) = id?;
        if guard.is_some() && (when != Condition::always() || verdict.is_none_or(|v| v < Verdict::FindOutFirst)) {
            let message = format!("the guard `{id}` needs no `when:`, and the verdict `find_out_first` or worse");
            self.diags.error(place, message);
        }
        if tells_held && guard.is_none() && verdict.is_none_or(|v| v < Verdict::ChangePlan) {
            self.diags.error_with_hint(
                place,
                format!("the finding `{id}` tells of held water without a verdict that stops the work"),
                Some("with `tells_held: true` the program's own word on such water falls silent: write `verdict: change_plan` or worse".to_owned()),
            );
        }
        self.danger_has_verdict(danger, verdict, &id, place);
        Some(Finding { id, when, guard, tells_held, spare, verdict, danger, title, say, todo, origin })
    }

    /// Each guard stands there once: without it, what the program sees would go unsaid.
    pub(crate) fn check_guards(&mut self, findings: &[Finding], last: Option<Place>, incomplete: bool) {
        // a set without any finding has no advice at all, and says so
        let Some(place) = last.filter(|_| !incomplete) else { return };
        for (word, guard) in Guard::ALL {
            let count = findings.iter().filter(|f| f.guard == Some(guard)).count();
            if count != 1 {
                let message = format!("there must be one finding with `guard: {word}`, and there are {count}");
                self.diags.error(place, message);
            }
        }
    }

    pub(crate) fn phase(&mut self, node: &Node<'_>) -> Option<Phase> {
        let mut fields = Fields::of(node, "a phase", self.diags)?;
        let id = self.id(&mut fields, "phase");
        let title = self.text(&mut fields, "title", true);
        fields.finish(self.diags);
        Some(Phase { id: id?.0, title })
    }

    pub(crate) fn ask(&mut self, node: &Node<'_>) -> Option<Ask> {
        let mut fields = Fields::of(node, "a question for the contractor", self.diags)?;
        let id = self.id(&mut fields, "contractor");
        let rank = fields.whole("rank", self.diags);
        let weight = fields.whole("weight", self.diags).unwrap_or(1);
        let when = self.when(&mut fields);
        let ask = self.text(&mut fields, "ask", true);
        let why = self.text(&mut fields, "why", true);
        let good = self.texts(&mut fields, "good");
        let weak = self.texts(&mut fields, "weak");
        if good.len() + weak.len() > MOST_CHOICES {
            let message = format!(
                "more than {MOST_CHOICES} points in `good` and `weak` together; each can be marked, so there is no room for more"
            );
            self.diags.error(node.place, message);
        }
        let follow_up = self.text(&mut fields, "follow_up", false);
        let joint = fields.flag("joint", false, self.diags);
        fields.finish(self.diags);
        Some(Ask { id: id?.0, rank, weight, when, ask, why, good, weak, follow_up, joint })
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
        let rank = fields.whole("rank", self.diags);
        let when = self.when(&mut fields);
        let say = self.text(&mut fields, "say", true);
        let origin = self.origin(&mut fields, "caution", id_text(id.as_ref()), Must::Saying);
        let sheets = self.sheets(&mut fields);
        fields.finish(self.diags);
        Some(Caution { id: id?.0, rank, when, say, origin, sheets })
    }

    pub(crate) fn material(&mut self, node: &Node<'_>) -> Option<Material> {
        let mut fields = Fields::of(node, "a material", self.diags)?;
        let id = self.id(&mut fields, "material");
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let limit = self.text(&mut fields, "limit", true);
        let origin = self.origin(&mut fields, "material", id_text(id.as_ref()), Must::Figure);
        let sheets = self.sheets(&mut fields);
        fields.finish(self.diags);
        Some(Material { id: id?.0, when, what, limit, origin, sheets })
    }
}

impl Limit {
    /// Whether the limit holds in a region; in no region in particular, only those that hold everywhere.
    #[must_use]
    pub fn holds_in(&self, region: Option<usize>) -> bool {
        self.regions == 0 || region.is_some_and(|here| self.regions & (1 << here) != 0)
    }
}
