//! Rows of the content about material: figures to count with, and what is counted by which formula.

use super::rows::{Origin, RowReader, WHO, Who, id_text};
use super::works::Must;
use crate::flow::{Condition, Fields, Node, Tree, nearest};
use crate::pack::{Text, packed};
use crate::units::Length;

/// A figure that quantities are counted with: a default until the user sets it.
#[derive(Debug, Clone)]
pub struct Figure {
    /// Its id.
    pub id: Text,
    /// What it is.
    pub what: Text,
    /// The value.
    pub value: FigureValue,
    /// Whether the user has set it.
    pub own: bool,
    /// Where the default comes from.
    pub origin: Origin,
}

packed!(struct Figure { id, what, value, own, origin });

/// The value of a figure or of an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FigureValue {
    /// A length.
    Length(Length),
    /// A number, in thousandths.
    Number(i64),
}

packed!(enum FigureValue { 0: Length(one), 1: Number(one) });

impl FigureValue {
    pub(crate) fn kind(self) -> &'static str {
        if matches!(self, FigureValue::Length(_)) { "a length" } else { "a number" }
    }
}

/// How a quantity is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Formula {
    /// length x height.
    Area,
    /// (length + 2 end laps) x (height + top lap) x layers.
    Patch,
    /// length x width x thickness.
    Volume,
    /// A run of a length.
    Run,
    /// length x width x thickness x weight of a cubic yard.
    Weight,
    /// Rows of a height, as many as cover it.
    Courses,
    /// Pieces with laps: n = ceil((L - lap) / (piece - lap)).
    Pieces,
    /// Pieces end to end, without laps.
    Butted,
    /// Courses of a roll with side laps, one behind the other with end laps.
    Rolls,
    /// A roll of tape along the top and down both ends.
    Tape,
    /// Units that cover an area.
    Units,
    /// Bags that fill a volume.
    Bags,
    /// Cartridges for a bead: length x width x depth over the content.
    Cartridges,
    /// Pounds that fill a hollow up to a size; nothing for a larger one.
    Fill,
    /// Bags that fill the joints between units.
    Joints,
    /// A count.
    Count,
}

packed!(enum Formula { 0: Area, 1: Patch, 2: Volume, 3: Run, 4: Weight, 5: Courses, 6: Pieces, 7: Butted, 8: Rolls, 9: Tape, 10: Units, 11: Bags, 12: Cartridges, 13: Fill, 14: Joints, 15: Count });

/// What a formula needs: its parameters, whether each is a length, whether waste comes on top, and whether its result
/// is a count with a unit of its own.
#[derive(Debug)]
pub struct Form {
    /// Its name.
    pub name: &'static str,
    /// Which.
    pub formula: Formula,
    /// Parameters: name, whether a length.
    pub params: &'static [(&'static str, bool)],
    /// Whether it counts pieces; else it measures.
    pub counts: bool,
    /// Whether pieces that are left over on one stretch of wall serve on the next.
    pub shares: bool,
}

const fn form(
    name: &'static str,
    formula: Formula,
    params: &'static [(&'static str, bool)],
    counts: bool,
    shares: bool,
) -> Form {
    Form { name, formula, params, counts, shares }
}

/// All formulas.
pub const FORMS: [Form; 16] = [
    form("area", Formula::Area, &[("length", true), ("height", true)], false, true),
    form(
        "patch",
        Formula::Patch,
        &[("length", true), ("height", true), ("end_lap", true), ("top_lap", true), ("layers", false)],
        false,
        true,
    ),
    form("volume", Formula::Volume, &[("length", true), ("width", true), ("thickness", true)], false, true),
    form("run", Formula::Run, &[("length", true)], false, true),
    form(
        "weight",
        Formula::Weight,
        &[("length", true), ("width", true), ("thickness", true), ("weight", false)],
        false,
        true,
    ),
    form("courses", Formula::Courses, &[("height", true), ("piece", true)], true, false),
    form("pieces", Formula::Pieces, &[("length", true), ("piece", true), ("lap", true)], true, false),
    form("butted", Formula::Butted, &[("length", true), ("piece", true)], true, false),
    form(
        "rolls",
        Formula::Rolls,
        &[
            ("length", true),
            ("height", true),
            ("roll_length", true),
            ("roll_width", true),
            ("side_lap", true),
            ("end_lap", true),
        ],
        true,
        true,
    ),
    form("tape", Formula::Tape, &[("length", true), ("height", true), ("roll_length", true)], true, true),
    form(
        "units",
        Formula::Units,
        &[("length", true), ("width", true), ("unit_length", true), ("unit_width", true)],
        true,
        true,
    ),
    form("bags", Formula::Bags, &[("length", true), ("width", true), ("thickness", true), ("bag", false)], true, true),
    form(
        "cartridges",
        Formula::Cartridges,
        &[("length", true), ("bead_width", true), ("bead_depth", true), ("content", false)],
        true,
        true,
    ),
    form(
        "fill",
        Formula::Fill,
        &[("length", true), ("width", true), ("depth", true), ("rate", false), ("most", false)],
        false,
        true,
    ),
    form(
        "joints",
        Formula::Joints,
        &[
            ("length", true),
            ("width", true),
            ("unit_length", true),
            ("unit_width", true),
            ("joint", true),
            ("depth", true),
            ("bag", false),
        ],
        true,
        true,
    ),
    form("count", Formula::Count, &[("count", false)], true, false),
];

// each formula has its form, at its own place
const _: () = {
    let mut at = 0;
    while at < FORMS.len() {
        assert!(FORMS[at].formula as usize == at);
        at += 1;
    }
};

impl Formula {
    /// What it needs.
    #[must_use]
    pub fn form(self) -> &'static Form {
        &FORMS[self as usize]
    }
}

/// What the visit itself says, as an input of a formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FromVisit {
    /// The length of the stretch of wall.
    WallLength,
    /// How far the work reaches out from the wall.
    WorkDepth,
    /// The mean depth of digging over the surface.
    DigDepth,
    /// The mean height of fill under the layers.
    FillDepth,
    /// The length of the wall, and the base past both side edges by its own thickness.
    BaseLength,
    /// How far the work reaches out, and the base past the outer edge by its own thickness.
    BaseWidth,
    /// The free edge: one length and two sides.
    EdgeLength,
    /// Beads of sealant: at both sides of each door up to the height of the strip, and around each thing on the wall.
    Beads,
    /// Stone slabs of the flight.
    StepSlabs,
    /// The hollow behind the work.
    VoidLength,
    /// How wide it is.
    VoidWidth,
    /// How deep it reaches.
    VoidDepth,
}

packed!(enum FromVisit { 0: WallLength, 1: WorkDepth, 2: DigDepth, 3: FillDepth, 4: BaseLength, 5: BaseWidth, 6: EdgeLength, 7: Beads, 8: StepSlabs, 9: VoidLength, 10: VoidWidth, 11: VoidDepth });

/// Names of what the visit says: name, which, whether a length.
pub const FROM_VISIT: [(&str, FromVisit, bool); 12] = [
    ("wall_length", FromVisit::WallLength, true),
    ("work_depth", FromVisit::WorkDepth, true),
    ("dig_depth", FromVisit::DigDepth, true),
    ("fill_depth", FromVisit::FillDepth, true),
    ("base_length", FromVisit::BaseLength, true),
    ("base_width", FromVisit::BaseWidth, true),
    ("edge_length", FromVisit::EdgeLength, true),
    ("beads", FromVisit::Beads, true),
    ("step_slabs", FromVisit::StepSlabs, false),
    ("void_length", FromVisit::VoidLength, true),
    ("void_width", FromVisit::VoidWidth, true),
    ("void_depth", FromVisit::VoidDepth, true),
];

/// An input of a formula.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// From the visit.
    FromVisit(FromVisit),
    /// A figure, by its number.
    Figure(usize),
    /// The thickness of all layers of a material, by its number.
    Layer(usize),
}

packed!(enum Input { 0: FromVisit(one), 1: Figure(one), 2: Layer(one) });

/// The units of counts, each with two words: `unit.…` and `unit.….one`.
pub(crate) const COUNTS: [(&str, &str); 6] = [
    ("rows", "rows"),
    ("pieces", "pieces"),
    ("rolls", "rolls"),
    ("sheets", "sheets"),
    ("bags", "bags"),
    ("cartridges", "cartridges"),
];

/// A material that is counted.
#[derive(Debug, Clone)]
pub struct QuantityRow {
    /// Its id.
    pub id: Text,
    /// Who brings it.
    pub who: Who,
    /// When it is needed.
    pub when: Condition,
    /// What it is.
    pub what: Text,
    /// By which formula.
    pub formula: Formula,
    /// The unit of a count.
    pub unit: &'static str,
    /// The inputs, in the order of the formula's parameters.
    pub inputs: Vec<Input>,
    /// The figure of its waste.
    pub waste: Option<usize>,
    /// Whether it is bought, and so has a price; what only counts work, or stands in for another row, has none.
    pub priced: bool,
}

packed!(struct QuantityRow { id, who, when, what, formula, unit, inputs, waste, priced });

/// Material that nobody can count from a visit.
#[derive(Debug, Clone)]
pub struct Uncounted {
    /// Its id.
    pub id: Text,
    /// When it is needed.
    pub when: Condition,
    /// What it is, and why it is not counted.
    pub what: Text,
}

packed!(struct Uncounted { id, when, what });

impl RowReader<'_> {
    pub(crate) fn figure(&mut self, node: &Node<'_>) -> Option<Figure> {
        let mut fields = Fields::of(node, "a figure", self.diags)?;
        let id = self.id(&mut fields, "figure");
        let what = self.text(&mut fields, "what", true);
        let number = fields.decimal("number", self.diags);
        let length = fields.take("length").and_then(|node| self.length_of(node));
        let origin = self.origin(&mut fields, "figure", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let (id, place) = id?;
        let value = match (number, length) {
            (Some(number), None) => Some(FigureValue::Number(number)),
            (None, Some(length)) => Some(FigureValue::Length(length)),
            _ => {
                self.diags.error(place, format!("the figure `{id}` needs `number:` or `length:`, and not both"));
                None
            }
        };
        if value.is_some_and(is_negative) {
            self.diags.error(place, format!("the figure `{id}` must not be negative"));
        }
        Some(Figure { id, what, value: value?, own: false, origin })
    }

    pub(crate) fn quantity(&mut self, node: &Node<'_>, figures: &[Figure], materials: &[Text]) -> Option<QuantityRow> {
        let mut fields = Fields::of(node, "a quantity", self.diags)?;
        let id = self.id(&mut fields, "quantity");
        let who = fields.need_word("who", &WHO, self.diags);
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        let known: Vec<(&str, Formula)> = FORMS.iter().map(|f| (f.name, f.formula)).collect();
        let formula = fields.need_word("formula", &known, self.diags);
        let unit = fields.word("unit", &COUNTS, self.diags);
        let inputs = fields.need("inputs", self.diags);
        let waste = fields.take("waste");
        let priced = fields.flag("priced", true, self.diags);
        fields.finish(self.diags);
        let (id, place) = id?;
        let form = formula?.form();
        if form.counts != unit.is_some() {
            let message = if form.counts { "needs `unit:`" } else { "measures, and has its unit from there" };
            self.diags.error(place, format!("the quantity `{id}`: the formula `{}` {message}", form.name));
        }
        let waste = waste.and_then(|node| self.input(node, false, figures, materials)).and_then(|input| match input {
            Input::Figure(number) => Some(number),
            _ => None,
        });
        let inputs = self.inputs(inputs?, form, figures, materials)?;
        Some(QuantityRow {
            id,
            who: who?,
            when,
            what,
            formula: formula?,
            unit: unit.unwrap_or_default(),
            inputs,
            waste,
            priced,
        })
    }

    /// All parameters of a formula, each once.
    fn inputs(&mut self, node: &Node<'_>, form: &Form, figures: &[Figure], materials: &[Text]) -> Option<Vec<Input>> {
        let names: Vec<&str> = form.params.iter().map(|p| p.0).collect();
        let Tree::Map(entries) = &node.tree else {
            let message = format!("`inputs` must be a map with {}, not {}", names.join(", "), node.describe());
            self.diags.error(node.place, message);
            return None;
        };
        for (key, _) in entries.iter().filter(|(key, _)| !names.contains(&key.text.as_ref())) {
            let message = format!("the formula `{}` has no input `{}`", form.name, key.text);
            self.diags.error_with_hint(key.place, message, Some(format!("it needs: {}", names.join(", "))));
        }
        let mut inputs = Vec::new();
        for (name, is_length) in form.params {
            let Some((_, input)) = entries.iter().find(|(key, _)| key.text == *name) else {
                self.diags.error(node.place, format!("the formula `{}` needs the input `{name}`", form.name));
                inputs.push(None);
                continue;
            };
            inputs.push(self.input(input, *is_length, figures, materials));
        }
        inputs.into_iter().collect()
    }

    fn input(&mut self, node: &Node<'_>, is_length: bool, figures: &[Figure], materials: &[Text]) -> Option<Input> {
        let name = node.text().unwrap_or_default();
        let found = if let Some((_, given, kind)) = FROM_VISIT.iter().find(|g| g.0 == name) {
            Some((Input::FromVisit(*given), *kind))
        } else if let Some(number) = figures.iter().position(|f| f.id == name) {
            Some((Input::Figure(number), matches!(figures[number].value, FigureValue::Length(_))))
        } else {
            let material = name.strip_prefix("layer.").and_then(|m| materials.iter().position(|known| known == m));
            material.map(|number| (Input::Layer(number), true))
        };
        let Some((input, kind)) = found else {
            let layers: Vec<String> = materials.iter().map(|m| format!("layer.{m}")).collect();
            let known = FROM_VISIT.iter().map(|g| g.0).chain(figures.iter().map(|f| f.id.as_str()));
            let hint = nearest(name, known.chain(layers.iter().map(String::as_str)));
            let hint = hint.map(|near| format!("did you mean `{near}`?"));
            self.diags.error_with_hint(node.place, format!("there is no input `{name}`"), hint);
            return None;
        };
        if kind != is_length {
            let (is, needs) = if kind { ("a length", "a number") } else { ("a number", "a length") };
            self.diags.error(node.place, format!("`{name}` is {is}; here it needs {needs}"));
            return None;
        }
        Some(input)
    }

    /// Choices of a question, as bits of their places.
    pub(crate) fn choices_of(&mut self, nodes: &[&Node<'_>], choices: &[Text]) -> i64 {
        let mut bits = 0;
        for node in nodes {
            let name = node.text().unwrap_or_default();
            if let Some(at) = choices.iter().position(|c| c == name) {
                bits |= 1 << at;
            } else if !choices.is_empty() {
                let hint = nearest(name, choices.iter().map(Text::as_str));
                let hint = hint.map(|near| format!("did you mean `{near}`?"));
                self.diags.error_with_hint(node.place, format!("there is no choice `{name}`"), hint);
            }
        }
        bits
    }

    pub(crate) fn uncounted(&mut self, node: &Node<'_>) -> Option<Uncounted> {
        let mut fields = Fields::of(node, "a part that is not counted", self.diags)?;
        let id = self.id(&mut fields, "not_counted");
        let when = self.when(&mut fields);
        let what = self.text(&mut fields, "what", true);
        fields.finish(self.diags);
        Some(Uncounted { id: id?.0, when, what })
    }
}

pub(crate) fn is_negative(value: FigureValue) -> bool {
    match value {
        FigureValue::Length(length) => length < Length::ZERO,
        FigureValue::Number(number) => number < 0,
    }
}
