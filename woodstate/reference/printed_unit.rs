//! Units as a handbook prints them.

use serde::Deserialize;

/// A unit as printed, and how many of the column's unit one of it is.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PrintedUnit {
    pub(super) name: String,
    pub(super) column: String,
    pub(super) times: f64,
}

/// The unit as printed, by its name.
pub(super) fn printed<'a>(units: &'a [PrintedUnit], name: &str) -> Result<&'a PrintedUnit, String> {
    units.iter().find(|unit| unit.name == name).ok_or_else(|| format!("unit \"{name}\" has no entry"))
}
