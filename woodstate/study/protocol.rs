//! How the laboratory worked, in its own words.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How the laboratory worked. What is not recorded is shown as "not recorded"; a standard is cited only because the
/// laboratory declares it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Protocol {
    /// How the pieces were saturated.
    pub saturation: Option<String>,
    /// How surface water was removed.
    pub surface_water: Option<String>,
    /// Temperature of drying.
    pub drying_temperature: Option<String>,
    /// When the mass counted as constant.
    pub constant_mass: Option<String>,
    /// How the pieces were stored.
    pub storage: Option<String>,
    /// Who measured.
    pub operator: Option<String>,
    /// Where.
    pub laboratory: Option<String>,
    /// When.
    pub dates: Option<String>,
    /// Standards that the laboratory says it followed.
    pub standards: Vec<String>,
}

impl Protocol {
    /// Each item with its name, in the order of work; `None` where it is not recorded.
    #[must_use]
    pub fn items(&self) -> Vec<(&'static str, Option<String>)> {
        let standards = (!self.standards.is_empty()).then(|| self.standards.join("; "));
        vec![
            ("how saturated", self.saturation.clone()),
            ("how surface water was removed", self.surface_water.clone()),
            ("drying temperature", self.drying_temperature.clone()),
            ("constant mass", self.constant_mass.clone()),
            ("storage", self.storage.clone()),
            ("operator", self.operator.clone()),
            ("laboratory", self.laboratory.clone()),
            ("dates", self.dates.clone()),
            ("standards the laboratory says it followed", standards),
        ]
    }
}
