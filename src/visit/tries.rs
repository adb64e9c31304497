//! Plans that were tried: each is kept as what is different in it, beside the plan that it never touches.

use super::given::{Run, or_empty};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A try: what is different from the plan of its stretch of wall.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Try {
    /// The stretch of wall it is about, by its name; empty for the first.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub stretch: String,
    /// The try that was kept in the place of this one, which was the plan until then; empty for any other try.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub before: String,
    /// Answers that differ.
    #[serde(default, deserialize_with = "or_empty")]
    pub answers: BTreeMap<String, String>,
    /// Questions that are "not sure" in it, and are not in the plan.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "Vec::is_empty")]
    pub not_sure: Vec<String>,
    /// What counts for nothing in it, as in the visit itself.
    #[serde(default, deserialize_with = "or_empty", skip_serializing_if = "BTreeMap::is_empty")]
    pub set_aside: BTreeMap<String, String>,
}

impl Try {
    pub(super) fn layer(&self) -> Run {
        let Try { answers, not_sure, set_aside, .. } = self.clone();
        Run { answers, not_sure, set_aside }
    }
}
