//! The user's own book: prices, figures, and how long the own people take.

use super::error::BookError;
use super::error::CommandError;
use super::global::UnitsArg;
use super::outside::read_text;
use crate::content::{Content, Who};
use crate::flow::{nearest, one_line};
use crate::judge::{Prices, Range};
use crate::units::Units;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::Path;

/// A price as it stands in the file.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawRange {
    low: f64,
    likely: f64,
    high: f64,
}

/// A price book as it stands in the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPrices {
    #[serde(default)]
    currency: String,
    #[serde(default)]
    units: Option<UnitsArg>,
    #[serde(default)]
    labour: BTreeMap<String, RawRange>,
    #[serde(default)]
    materials: BTreeMap<String, RawRange>,
    #[serde(default)]
    hidden_damage: Option<RawRange>,
    #[serde(default)]
    figures: BTreeMap<String, String>,
    #[serde(default)]
    activities: BTreeMap<String, RawTime>,
}

/// How long the own people take for an activity.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawTime {
    #[serde(default)]
    hours: Option<f64>,
    #[serde(default)]
    rate: Option<f64>,
    #[serde(default)]
    crew: Option<i64>,
    #[serde(default)]
    cure_days: Option<i64>,
    #[serde(default)]
    office_days: Option<i64>,
}

/// Reads the book. Its figures and hours take the place of the content's; its prices are given back.
pub(super) fn price_book(path: &Path, content: &mut Content) -> Result<Prices, CommandError> {
    let text = read_text(path)?;
    read_book(&text, content).map_err(|error| CommandError::Book { path: path.to_owned(), error })
}

/// Reads a book from its text.
///
/// # Errors
/// A [`BookError`] that names what is wrong. Figures and hours before it may be set by then.
pub fn read_book(text: &str, content: &mut Content) -> Result<Prices, BookError> {
    let raw: RawPrices = serde_yaml::from_str_with_options(text, serde_yaml::options! { with_snippet: false })
        .map_err(|error| BookError::Yaml(Box::new(error)))?;
    let range = |name: &str, r: RawRange| {
        let sound = r.low >= 0.0 && r.low <= r.likely && r.likely <= r.high && r.high <= 1e9;
        if sound {
            Ok(Range { low: r.low, likely: r.likely, high: r.high })
        } else {
            Err(BookError::Range { name: name.to_owned() })
        }
    };
    let all = |map: BTreeMap<String, RawRange>| {
        map.into_iter()
            .map(|(name, r)| Ok((name.clone(), range(&name, r)?)))
            .collect::<Result<BTreeMap<_, _>, BookError>>()
    };
    let trades = Who::ALL.map(Who::word);
    if let Some(unknown) = raw.labour.keys().find(|k| !trades.contains(&k.as_str())) {
        return Err(BookError::Trade { found: unknown.clone(), known: trades.to_vec() });
    }
    for (id, text) in &raw.figures {
        content.set_figure(id, text, Units::Inch).map_err(BookError::Figure)?;
    }
    for (id, time) in &raw.activities {
        let set = content.set_time(id, time.hours, time.rate, time.crew, (time.cure_days, time.office_days));
        set.map_err(BookError::Activity)?;
    }
    if let Some(id) = raw.materials.keys().find(|id| !content.quantities.iter().any(|q| q.id == **id)) {
        let known = content.quantities.iter().map(|q| q.id.as_str());
        return Err(BookError::Material { id: id.clone(), near: nearest(id, known).map(str::to_owned) });
    }
    if let Some(id) = raw.materials.keys().find(|id| content.quantities.iter().any(|q| q.id == **id && !q.priced)) {
        return Err(BookError::NotPriced { id: id.clone() });
    }
    content.figures_go_together().map_err(BookError::Figures)?;
    Ok(Prices {
        units: raw.units.map_or(Units::Inch, UnitsArg::units),
        currency: one_line(&raw.currency).into_owned(),
        labour: all(raw.labour)?,
        materials: all(raw.materials)?,
        hidden_damage: raw.hidden_damage.map(|r| range("hidden_damage", r)).transpose()?,
    })
}
