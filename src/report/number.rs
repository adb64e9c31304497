//! Numbers with their units, and where a figure comes from, as JSON has them.

use crate::content::{Basis, Origin};
use crate::units::{Length, Slope};
use serde::Serialize;

/// A value with its unit. A measured length has a range besides its middle.
#[derive(Debug, Serialize, Default)]
pub(crate) struct Number {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) inches: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) tolerance_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) percent: Option<f64>,
    /// A slope again: how far it falls on a foot, and on a metre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) inches_per_foot: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) mm_per_metre: Option<f64>,
    #[serde(rename = "number", skip_serializing_if = "Option::is_none")]
    pub(crate) plain: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) yes: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) choice: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) choices: Option<Vec<String>>,
}

#[derive(Debug, Serialize)]
pub(crate) struct Citation {
    #[serde(rename = "source")]
    document: String,
    edition: String,
    basis: &'static str,
}

impl Number {
    pub(crate) fn of_thousandths(number: i64) -> Number {
        #[allow(clippy::cast_precision_loss)] // for machines to read
        Number { plain: Some(number as f64 / 1000.0), ..Number::default() }
    }
}

pub(crate) fn slope(slope: Slope) -> Number {
    Number {
        percent: Some(slope.as_percent()),
        inches_per_foot: Some(slope.as_inches_per_foot()),
        mm_per_metre: Some(slope.as_mm_per_metre()),
        ..Number::default()
    }
}

pub(crate) fn length(length: Length) -> Number {
    Number { inches: Some(length.as_inches()), mm: Some(length.as_mm()), ..Number::default() }
}

pub(crate) fn source(origin: &Origin) -> Citation {
    let basis: Basis = origin.basis;
    Citation { document: origin.source.to_string(), edition: origin.edition.to_string(), basis: basis.word() }
}
