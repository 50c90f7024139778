//! The numbers behind a figure.

use schemars::JsonSchema;
use serde::Serialize;

/// A table of what a figure shows.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct FigureData {
    /// Column heads: `name [unit]`.
    pub columns: Vec<String>,
    /// Rows, each with one cell a column.
    pub rows: Vec<Vec<Datum>>,
}

/// A cell.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Datum {
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// Unknown.
    Unknown,
}

impl Datum {
    /// A number; what is not finite is unknown.
    #[must_use]
    pub fn number(number: impl Into<Option<f64>>) -> Self {
        number.into().filter(|number: &f64| number.is_finite()).map_or(Self::Unknown, Self::Number)
    }

    /// A text; none is unknown.
    #[must_use]
    pub fn text(text: Option<&str>) -> Self {
        text.map_or(Self::Unknown, |text| Self::Text(text.to_owned()))
    }
}
