//! The user's own book: prices, figures, and how long the own people take.

use super::{CommandError, UnitsArg, read_text};
use crate::content::{Content, Who};
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
    let fail = |reason: String| CommandError::Input(format!("{}: {reason}", path.display()));
    let raw: RawPrices = serde_yaml::from_str(&text).map_err(|error| fail(error.to_string()))?;
    let range = |name: &str, r: RawRange| {
        let sound = r.low >= 0.0 && r.low <= r.likely && r.likely <= r.high && r.high <= 1e9;
        if sound {
            Ok(Range { low: r.low, likely: r.likely, high: r.high })
        } else {
            Err(fail(format!(
                "`{name}` must be low, likely and high in rising order, not below zero, at most 1000000000"
            )))
        }
    };
    let all = |map: BTreeMap<String, RawRange>| {
        map.into_iter()
            .map(|(name, r)| Ok((name.clone(), range(&name, r)?)))
            .collect::<Result<BTreeMap<_, _>, CommandError>>()
    };
    let trades = Who::ALL.map(Who::word);
    if let Some(unknown) = raw.labour.keys().find(|k| !trades.contains(&k.as_str())) {
        return Err(fail(format!("`{unknown}` under `labour` is no trade; there are: {}", trades.join(", "))));
    }
    for (id, text) in &raw.figures {
        content.set_figure(id, text, Units::Inch).map_err(|what| fail(format!("under `figures`: {what}")))?;
    }
    for (id, time) in &raw.activities {
        let set = content.set_time(id, time.hours, time.rate, time.crew, (time.cure_days, time.office_days));
        set.map_err(|what| fail(format!("under `activities`: {what}")))?;
    }
    if let Some(id) = raw.materials.keys().find(|id| !content.quantities.iter().any(|q| q.id == **id)) {
        let known = content.quantities.iter().map(|q| q.id.as_str());
        let hint = crate::flow::nearest(id, known).map_or_else(String::new, |n| format!("; did you mean `{n}`?"));
        return Err(fail(format!("`{id}` under `materials` is nothing that is counted{hint}")));
    }
    if let Some(id) = raw.materials.keys().find(|id| content.quantities.iter().any(|q| q.id == **id && !q.priced)) {
        return Err(fail(format!(
            "`{id}` under `materials` has no price: it only counts work, or stands for another row"
        )));
    }
    content.figures_go_together().map_err(&fail)?;
    Ok(Prices {
        units: raw.units.map_or(Units::Inch, UnitsArg::units),
        currency: raw.currency,
        labour: all(raw.labour)?,
        materials: all(raw.materials)?,
        hidden_damage: raw.hidden_damage.map(|r| range("hidden_damage", r)).transpose()?,
    })
}
