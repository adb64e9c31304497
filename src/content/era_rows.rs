//! Years of building from which on a house is taken to be free of something, by country.
//!
//! One row says for some regions: what was built before this year may still hold it. A defined fact asks them by name
//! (`eras: year_built`). A region without a row has no year to rely on, so there the fact holds whatever the year is.

use super::rows::{Origin, RowReader, id_text};
use super::works::Must;
use crate::flow::{Condition, Fields, Node, Place, Slot};
use crate::pack::{Text, packed};

/// A year of building, for some regions.
#[derive(Debug, Clone)]
pub struct Era {
    /// Its id.
    pub id: Text,
    /// The defined fact that it belongs to.
    pub of: Text,
    /// The regions, as bits of their places among the choices.
    pub regions: i64,
    /// What was built before this year counts.
    pub before: i64,
    /// Where the year comes from.
    pub origin: Origin,
}

packed!(struct Era { id, of, regions, before, origin });

impl RowReader<'_> {
    pub(crate) fn era(&mut self, node: &Node<'_>, regions: &[Text]) -> Option<(Era, Place)> {
        let mut fields = Fields::of(node, "a year of building", self.diags)?;
        let id = self.id(&mut fields, "era");
        let of = fields.need_text("of", self.diags);
        let here = self.regions(&mut fields, regions);
        let before = fields.need_whole("before", self.diags);
        let origin = self.origin(&mut fields, "year of building", id_text(id.as_ref()), Must::Figure);
        fields.finish(self.diags);
        let (id, place) = id?;
        if here == 0 {
            self.diags.error(place, format!("the year `{id}` holds in no region; give `regions: [...]`"));
        }
        Some((Era { id, of: of?, regions: here, before: before?, origin }, place))
    }
}

/// When a house counts as old for a fact, by its rows: in a region with a row before the year of that row, in a region
/// without one always. A year that nobody knows leaves it open.
pub(crate) fn old_enough(eras: &[Era], fact: &str, (region, regions): (Slot, usize), year: Slot) -> Condition {
    let of_fact = || eras.iter().filter(|era| era.of == fact);
    let all = (1_i64 << regions) - 1;
    let without = all & !of_fact().fold(0, |bits, era| bits | era.regions);
    let mut parts: Vec<Condition> = of_fact()
        .map(|era| Condition::all(&[Condition::any_of(region, era.regions), Condition::below(year, era.before)]))
        .collect();
    if without != 0 || parts.is_empty() {
        parts.push(Condition::any_of(region, without));
    }
    Condition::any(&parts)
}
