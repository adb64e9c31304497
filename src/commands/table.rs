//! The quantities as CSV that a spreadsheet opens: with the mark of UTF-8 at its head, lines that end as RFC 4180 has them,
//! and no text that would be taken for a formula.

use super::error::CommandError;
use super::written::{PRICE_HEAD, TABLE_HEAD};
use crate::flow::one_line;
use crate::judge::{Amount, CostOf, Job, Prices, Range, totals};
use csv::{Terminator, WriterBuilder};
use std::borrow::Cow;

/// Without it a spreadsheet reads the letters of some other set.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// What stands in the place of a stretch in the rows of them all.
const TOTAL: &str = "total";

/// A table that is being written.
struct QuantityTable {
    writer: csv::Writer<Vec<u8>>,
    /// Whether there are columns for prices.
    priced: bool,
    currency: String,
}

impl QuantityTable {
    fn row(&mut self, cells: [&str; TABLE_HEAD.len()], price: Option<Range>) -> Result<(), csv::Error> {
        let mut row: Vec<String> = cells.iter().map(|cell| text(cell)).collect();
        if self.priced {
            let money = |pick: fn(&Range) -> f64| price.as_ref().map(|p| format!("{:.2}", pick(p))).unwrap_or_default();
            row.push(price.map(|_| text(&self.currency)).unwrap_or_default());
            row.extend([money(|p| p.low), money(|p| p.likely), money(|p| p.high)]);
        }
        self.writer.write_record(row)
    }
}

/// The name of a stretch as it stands in the table: none looks like the rows of them all, whoever adds these up.
fn name_beside_total<'n>(name: &'n str, job: &Job<'_, '_>) -> Cow<'n, str> {
    if !one_line(name).trim().eq_ignore_ascii_case(TOTAL) {
        return Cow::Borrowed(name);
    }
    let taken = |new: &String| job.stretches().iter().any(|(other, _)| other == new);
    let numbered = (2..).map(|number| format!("{} ({number})", name.trim()));
    Cow::Owned(numbered.into_iter().find(|new| !taken(new)).unwrap_or_default())
}

/// The quantities as a table: each stretch of wall, then all of them under `total`. With a price book there are columns for
/// prices, and rows for labour, for damage that may come to light, and for the sum.
pub(super) fn csv(job: &Job<'_, '_>, prices: Option<&Prices>) -> Result<String, CommandError> {
    let writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    let currency = prices.map(|prices| prices.currency.clone()).unwrap_or_default();
    let mut sheet = QuantityTable { writer, priced: prices.is_some(), currency };
    let head: Vec<&str> = TABLE_HEAD.into_iter().chain(PRICE_HEAD.into_iter().filter(|_| sheet.priced)).collect();
    sheet.writer.write_record(head)?;
    let price = |id: &str, amount: Amount| {
        let prices = prices?;
        Some(*prices.materials.get(id)? * amount.in_units(prices.units))
    };
    let lists = job.quantities();
    for ((name, assessment), list) in job.stretches().iter().zip(&lists) {
        let name = &*name_beside_total(name, job);
        for q in list {
            let (amount, waste) = (format!("{:.2}", q.amount.value), q.waste.to_string());
            let formula = assessment.formula_words(q);
            let (row, unit) = (q.row, q.amount.unit.word());
            let cells = [name, row.id.as_str(), &row.what, row.who.word(), &amount, unit, &formula, &waste];
            sheet.row(cells, price(&row.id, q.amount))?;
        }
    }
    if lists.len() > 1 {
        for (row, amount) in totals(&lists) {
            let (value, unit) = (format!("{:.2}", amount.value), amount.unit.word());
            let cells = [TOTAL, row.id.as_str(), &row.what, row.who.word(), &value, unit, "", ""];
            sheet.row(cells, price(&row.id, amount))?;
        }
    }
    if let (Some(prices), Some(plan)) = (prices, job.plan()) {
        let costs = job.costs(&plan, prices);
        for part in &costs.parts {
            let (who, hours, unit) = match part.of {
                // these have their rows above
                CostOf::Material(..) => continue,
                CostOf::Labour(who, hours) => (who, hours.to_string(), "hours"),
                CostOf::HiddenDamage => ("", String::new(), ""),
            };
            let what = job.lead().cost_words(&part.of);
            sheet.row([TOTAL, part.of.id(), &what, who, &hours, unit, "", ""], part.range)?;
        }
        let sum = job.lead().content.word("load.total");
        sheet.row([TOTAL, "sum", sum, "", "", "", "", ""], Some(costs.total))?;
    }
    let bytes = sheet.writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(format!("{BYTE_ORDER_MARK}{}", String::from_utf8_lossy(&bytes)))
}

/// A text as a cell. A spreadsheet takes what begins with one of these signs for a formula, which could send what stands in
/// other cells away; an apostrophe before it makes it a text (OWASP, "CSV Injection").
fn text(cell: &str) -> String {
    let cell = one_line(cell);
    let bare = cell.trim();
    let formula =
        bare.starts_with(['=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}', '|', '%']);
    if formula { format!("'{bare}") } else { bare.to_owned() }
}
