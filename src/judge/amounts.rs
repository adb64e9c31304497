//! How much material a visit calls for, each amount with its formula, inputs and waste.

use super::model::Assessment;
use crate::content::{FigureValue, Formula, FromVisit, Input, QuantityRow};
use crate::names::{FigureId, MaterialId, OpeningKind, QuestionId, WallThing};
use crate::units::{KILOGRAMS_IN_POUND, Length, Units, Volume};
use crate::work::{bags_for, beads_from, exact_units, joint_volume, pieces_with_laps, rolls_for, whole, with_waste};

/// What an amount is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Square feet.
    SquareFeet,
    /// Square metres.
    SquareMetres,
    /// Cubic yards.
    CubicYards,
    /// Cubic metres.
    CubicMetres,
    /// Feet.
    Feet,
    /// Metres.
    Metres,
    /// Short tons of 2,000 lb.
    ShortTons,
    /// Metric tons.
    Tonnes,
    /// Pounds.
    Pounds,
    /// Kilograms.
    Kilograms,
    /// Whole pieces of a kind: rows, rolls, bags.
    Whole(&'static str),
}

impl Unit {
    /// The word in content, in CSV and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Unit::SquareFeet => "ft2",
            Unit::SquareMetres => "m2",
            Unit::CubicYards => "yd3",
            Unit::CubicMetres => "m3",
            Unit::Feet => "ft",
            Unit::Metres => "m",
            Unit::ShortTons => "short_tons",
            Unit::Tonnes => "tonnes",
            Unit::Pounds => "lb",
            Unit::Kilograms => "kg",
            Unit::Whole(word) => word,
        }
    }
}

/// How much of a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// How much; of whole pieces rounded up.
    pub value: f64,
    /// The same before rounding.
    pub exact: f64,
    /// In which unit.
    pub unit: Unit,
}

impl Amount {
    /// How much in the kin of its unit that another system of units has.
    #[must_use]
    pub fn in_units(self, units: Units) -> f64 {
        // one of the first is so many of the second
        let kin = [
            (Unit::SquareFeet, Unit::SquareMetres, 0.3048 * 0.3048),
            (Unit::CubicYards, Unit::CubicMetres, 0.9144 * 0.9144 * 0.9144),
            (Unit::Feet, Unit::Metres, 0.3048),
            (Unit::ShortTons, Unit::Tonnes, TONNES_IN_SHORT_TON),
            (Unit::Pounds, Unit::Kilograms, KILOGRAMS_IN_POUND),
        ];
        for (inch, metric, factor) in kin {
            match units {
                Units::Metric if self.unit == inch => return self.value * factor,
                Units::Inch if self.unit == metric => return self.value / factor,
                _ => {}
            }
        }
        self.value
    }
}

/// An input as it was used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entered {
    /// The parameter of the formula.
    pub name: &'static str,
    /// Its value.
    pub value: FigureValue,
    /// The number of the figure it comes from; nothing for what the visit says.
    pub figure: Option<usize>,
    /// Whether it is a default that nobody set.
    pub default: bool,
}

/// A quantity of material.
#[derive(Debug, Clone)]
pub struct Quantity<'c> {
    /// The row.
    pub row: &'c QuantityRow,
    /// How much.
    pub amount: Amount,
    /// The inputs of the formula.
    pub inputs: Vec<Entered>,
    /// Waste in per cent that is in it.
    pub waste: i64,
}

/// Quantities of several stretches of wall added up: whole pieces are rounded at the end where what is left over on
/// one stretch serves on the next, and never to more than the stretches need one by one.
#[must_use]
pub fn totals<'c>(stretches: &[Vec<Quantity<'c>>]) -> Vec<(&'c QuantityRow, Amount)> {
    let mut sums: Vec<(&QuantityRow, Amount)> = Vec::new();
    for quantity in stretches.iter().flatten() {
        match sums.iter_mut().find(|(row, _)| row.id == quantity.row.id) {
            None => sums.push((quantity.row, quantity.amount)),
            Some((_, sum)) => {
                sum.value += quantity.amount.value;
                sum.exact += quantity.amount.exact;
            }
        }
    }
    for (row, sum) in &mut sums {
        if row.formula.form().counts && row.formula.form().shares {
            #[allow(clippy::cast_precision_loss)] // a count of pieces
            let together = whole(sum.exact) as f64;
            sum.value = together.min(sum.value);
        }
    }
    sums
}

impl<'c> Assessment<'c> {
    /// The materials, from the geometry of this visit. What lacks a size is not there.
    #[must_use]
    pub fn quantities(&self) -> Vec<Quantity<'c>> {
        self.wanted().filter_map(|row| self.quantity(row)).collect()
    }

    /// Materials that are needed but lack a size here, and those that nobody can count from a visit.
    #[must_use]
    pub fn not_counted(&self) -> Vec<String> {
        let lacking = self.wanted().filter(|row| self.entered(row).is_none()).map(|row| row.what.to_string());
        let never = self.content.uncounted.iter().filter(|row| row.when.eval(&self.values).is_yes());
        lacking.chain(never.map(|row| row.what.to_string())).collect()
    }

    /// The rows that this visit calls for.
    fn wanted(&self) -> impl Iterator<Item = &'c QuantityRow> {
        self.content.quantities.iter().filter(|row| row.when.eval(&self.values).is_yes())
    }

    fn quantity(&self, row: &'c QuantityRow) -> Option<Quantity<'c>> {
        let inputs = self.entered(row)?;
        let waste = row.waste.map_or(0, |number| match self.content.plan_figures[number].value {
            FigureValue::Number(n) => n / 1000,
            FigureValue::Length(_) => 0,
        });
        let amount = amount(row, &inputs, waste, self.units)?;
        (amount.value > 0.0).then_some(Quantity { row, amount, inputs, waste })
    }

    /// The inputs of a row; nothing if one of them is not known.
    fn entered(&self, row: &QuantityRow) -> Option<Vec<Entered>> {
        let params = row.formula.form().params.iter();
        params.zip(&row.inputs).map(|((name, _), input)| self.enter(name, input)).collect()
    }

    fn enter(&self, name: &'static str, input: &Input) -> Option<Entered> {
        Some(match input {
            Input::Figure(number) => {
                let figure = &self.content.plan_figures[*number];
                Entered { name, value: figure.value, figure: Some(*number), default: !figure.own }
            }
            Input::Layer(material) => {
                let value = FigureValue::Length(self.layer_thickness(*material)?);
                Entered { name, value, figure: None, default: true }
            }
            Input::FromVisit(given) => Entered { name, value: self.given(*given)?, figure: None, default: false },
        })
    }

    fn given(&self, given: FromVisit) -> Option<FigureValue> {
        let length = match given {
            FromVisit::WallLength => self.site.length,
            FromVisit::WorkDepth => self.site.depth,
            FromVisit::DigDepth => self.depths().map(|(dig, _)| dig),
            FromVisit::FillDepth => self.depths().map(|(_, fill)| fill),
            FromVisit::BaseLength => self.site.length.zip(self.thickness_of(MaterialId::Base)).map(|(l, b)| l + b * 2),
            FromVisit::BaseWidth => self.site.depth.zip(self.thickness_of(MaterialId::Base)).map(|(d, b)| d + b),
            FromVisit::EdgeLength => self.edge_length(),
            FromVisit::Beads => self.beads(),
            FromVisit::VoidLength => self.length_said(QuestionId::VoidLength),
            FromVisit::VoidWidth => self.length_said(QuestionId::VoidWidth),
            FromVisit::VoidDepth => self.length_said(QuestionId::VoidDepth),
            FromVisit::StepSlabs => return Some(FigureValue::Number(self.steps()?.slabs?.slabs * 1000)),
        };
        length.map(FigureValue::Length)
    }

    pub(crate) fn edge_length(&self) -> Option<Length> {
        self.site.length.zip(self.site.depth).map(|(length, depth)| length + depth * 2)
    }

    /// Thickness of all layers of a material; nothing if there is none.
    fn layer_thickness(&self, material: usize) -> Option<Length> {
        let laid = self.content.laid(&self.values)?;
        let held = laid.iter().filter(|laid| laid.layer.material == material);
        held.map(|laid| laid.layer.thickness).reduce(|a, b| a + b)
    }

    /// Thickness of all layers of a material that the program counts by.
    pub(crate) fn thickness_of(&self, material: MaterialId) -> Option<Length> {
        self.layer_thickness(self.content.catalog.names.material(material))
    }

    /// Sealant: both sides of each door up to the height of the strip, and around each thing on the wall that goes
    /// through the cladding.
    fn beads(&self) -> Option<Length> {
        let (strip, around) =
            (self.content.figure_length(FigureId::StripHeight)?, self.content.figure_length(FigureId::PipeBead)?);
        let placed = |kind| self.site.openings.iter().filter(|o| o.kind == kind).count();
        let main = usize::from(self.site.door == Some(true)).max(placed(OpeningKind::MainDoor));
        let other = placed(OpeningKind::OtherDoor).max(usize::from(self.marked(WallThing::OtherDoor)));
        let through = (self.marked_bits(QuestionId::WallThings) & self.content.sealed_things).count_ones();
        let count = |n: usize| i64::try_from(n).unwrap_or(0);
        Some(strip * (2 * count(main + other)) + around * i64::from(through))
    }
}

/// What a pound of cement fills is told in cubic inches.
const CUBIC_INCHES_IN_CUBIC_FOOT: f64 = 1728.0;

/// A short ton is 2,000 lb.
pub(crate) const TONNES_IN_SHORT_TON: f64 = 0.907_184_74;

fn amount(row: &QuantityRow, inputs: &[Entered], waste: i64, units: Units) -> Option<Amount> {
    let length = |name: &str| match inputs.iter().find(|i| i.name == name)?.value {
        FigureValue::Length(length) => Some(length),
        FigureValue::Number(_) => None,
    };
    let thousandths = |name: &str| match inputs.iter().find(|i| i.name == name)?.value {
        FigureValue::Number(number) => Some(number),
        FigureValue::Length(_) => None,
    };
    #[allow(clippy::cast_precision_loss)] // figures and counts
    let float = |n: i64| n as f64;
    let number = |name: &str| Some(float(thousandths(name)?) / 1000.0);
    let more = with_waste(waste);
    let inch = units == Units::Inch;
    let measured = |us: f64, us_unit: Unit, metric: f64, unit: Unit| {
        let (value, unit) = if inch { (us, us_unit) } else { (metric, unit) };
        Some(Amount { value: value * more, exact: value * more, unit })
    };
    let unit = Unit::Whole(row.unit);
    let counted = |exact: f64| Some(Amount { value: float(whole(exact)), exact, unit });
    let volume = |third: &str| -> Option<Volume> { Some(length("length")?.by(length("width")?).by(length(third)?)) };
    let square = |area: crate::units::Area| {
        measured(area.as_square_feet(), Unit::SquareFeet, area.as_square_metres(), Unit::SquareMetres)
    };
    match row.formula {
        Formula::Area => square(length("length")?.by(length("height")?)),
        Formula::Patch => {
            let layers = thousandths("layers")? / 1000;
            let wide = length("length")? + length("end_lap")? * 2;
            square((wide * layers).by(length("height")? + length("top_lap")?))
        }
        Formula::Volume => {
            let volume = volume("thickness")?;
            measured(volume.as_cubic_yards(), Unit::CubicYards, volume.as_cubic_metres(), Unit::CubicMetres)
        }
        Formula::Run => {
            let length = length("length")?.as_inches();
            measured(length / 12.0, Unit::Feet, length * 0.0254, Unit::Metres)
        }
        Formula::Weight => {
            let tons = volume("thickness")?.as_cubic_yards() * number("weight")?;
            measured(tons, Unit::ShortTons, tons * TONNES_IN_SHORT_TON, Unit::Tonnes)
        }
        Formula::Fill => {
            let rate = number("rate").filter(|rate| *rate > 0.0)?;
            // what sets in minutes and locks work and wall together is for small hollows only
            let hollow = volume("depth")?.as_cubic_feet();
            if hollow > number("most")? + 1e-9 {
                return None;
            }
            let pounds = hollow * CUBIC_INCHES_IN_CUBIC_FOOT / rate;
            measured(pounds, Unit::Pounds, pounds * KILOGRAMS_IN_POUND, Unit::Kilograms)
        }
        Formula::Courses => {
            let rows = pieces_with_laps(length("height")?, length("piece")?, Length::ZERO)?;
            counted(float(rows) * more)
        }
        Formula::Pieces => {
            counted(float(pieces_with_laps(length("length")?, length("piece")?, length("lap")?)?) * more)
        }
        Formula::Butted => counted(float(pieces_with_laps(length("length")?, length("piece")?, Length::ZERO)?) * more),
        Formula::Rolls => {
            let wall = (length("length")?, length("height")?);
            let roll = (length("roll_length")?, length("roll_width")?);
            let laps = (length("side_lap")?, length("end_lap")?);
            let rolls = rolls_for(wall, roll, laps, waste)?;
            // what each stretch takes from rolls that serve on the next one too, with a lap for each roll
            let courses = pieces_with_laps(wall.1, roll.1, laps.0)?;
            let exact = (wall.0 * courses).as_inches() * more / (roll.0 - laps.1).as_inches();
            Some(Amount { value: float(rolls), exact, unit })
        }
        Formula::Tape => {
            let run = length("length")? + length("height")? * 2;
            let roll = length("roll_length").filter(|roll| *roll > Length::ZERO)?;
            counted(run.as_inches() * more / roll.as_inches())
        }
        Formula::Units => {
            let area = length("length")?.by(length("width")?);
            counted(exact_units(area, length("unit_length")?.by(length("unit_width")?), waste)?)
        }
        Formula::Bags => counted(bags_for(volume("thickness")?, thousandths("bag")?, waste)?),
        Formula::Joints => {
            let area = length("length")?.by(length("width")?);
            let unit = (length("unit_length")?, length("unit_width")?);
            let joints = joint_volume(area, unit, (length("joint")?, length("depth")?))?;
            counted(bags_for(joints, thousandths("bag")?, waste)?)
        }
        Formula::Cartridges => {
            let (wide, deep) = (length("bead_width")?, length("bead_depth")?);
            let inch = Length::inches(1);
            let content = Length::from_steps(inch.steps() * thousandths("content")? / 1000).by(inch).by(inch);
            let each = beads_from(content, wide, deep).filter(|each| *each > Length::ZERO)?;
            counted(length("length")?.as_inches() * more / each.as_inches())
        }
        Formula::Count => counted(number("count")? * more),
    }
}
