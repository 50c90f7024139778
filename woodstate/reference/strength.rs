//! Strength and stiffness of sound wood by its specific gravity.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::origin::Origin;
use super::{Reference, WoodGroup};
use crate::quantity::Cited;

/// The moisture at which sound wood has a strength. Wet wood is compared with green wood only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub enum StrengthCondition {
    /// Green: so wet that more water changes nothing. The condition to compare wet tests with.
    #[serde(rename = "green")]
    Green,
    /// 12 % moisture content. Up to twice as strong as green: no comparison for wet tests.
    #[serde(rename = "12 %")]
    Twelve,
}

impl StrengthCondition {
    /// Whether tests of saturated wood may be compared with it.
    #[must_use]
    pub fn suits_wet_tests(self) -> bool {
        match self {
            Self::Green => true,
            Self::Twelve => false,
        }
    }

    /// The word in results.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Green => "green",
            Self::Twelve => "12 %",
        }
    }
}

impl fmt::Display for StrengthCondition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// How the printed means of species lie about a function: observed over computed.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Agreement {
    /// Number of species.
    pub n: usize,
    /// Mean of the ratios.
    pub mean: f64,
    /// Their standard deviation.
    pub sd: f64,
}

/// Strength or stiffness of sound clear wood over many species, P = a G^b.
#[derive(Debug, Clone, PartialEq)]
pub struct StrengthFunction {
    /// Name of the form: `by_group` or `pooled`.
    pub form: String,
    /// What it gives: the name of a column, or `compression_perpendicular` (stress at the proportional limit).
    pub property: String,
    /// The woods it is for.
    pub groups: Vec<WoodGroup>,
    /// The moisture it is for; G is that of the volume at this moisture.
    pub condition: StrengthCondition,
    /// Factor, in `printed_unit`.
    pub a: f64,
    /// Exponent.
    pub b: f64,
    /// UCUM code of the unit it is printed in.
    pub printed_unit: String,
    /// UCUM code of the unit of its values: that of the column.
    pub unit: String,
    /// Comparison with printed means of species, where there are some.
    pub compared: Option<Agreement>,
    pub(super) times: f64,
    pub(super) origin: Origin,
}

impl StrengthFunction {
    /// Strength or stiffness, in `unit`, of sound wood of a density in kg/m3: oven-dry mass over volume at the moisture
    /// of `condition`, which for green wood is the basic density.
    ///
    /// ```text
    /// P = a G^b,   G = ρ / (1000 kg/m3)
    /// ```
    /// # Example
    /// ```
    /// use woodstate::reference::{Reference, StrengthCondition, WoodGroup};
    /// let reference = Reference::shipped().unwrap();
    /// let green = StrengthCondition::Green;
    /// let functions = reference.strength_functions_of("bending_strength", WoodGroup::Softwood, green);
    /// assert!((functions[0].value(450.0) - 48.9277).abs() < 5e-5);
    /// ```
    #[must_use]
    pub fn value(&self, density: f64) -> f64 {
        self.times * self.a * (density / 1000.0).powf(self.b)
    }

    /// Relative standard deviation of a species from the function, the mean deviation included; `None` where it was not
    /// compared.
    ///
    /// ```text
    /// √( (m − 1)² + s² )
    /// ```
    #[must_use]
    pub fn spread(&self) -> Option<f64> {
        self.compared.map(|found| (found.mean - 1.0).hypot(found.sd))
    }
}

impl Reference {
    /// Strength and stiffness of sound wood by specific gravity, all functions in the order of preference: those that
    /// agree better with printed means of species stand first.
    #[must_use]
    pub fn strength_functions(&self) -> &[StrengthFunction] {
        &self.strengths.functions
    }

    /// The functions for a property, a group of woods and a moisture, the preferred one first; empty where there is none.
    #[must_use]
    pub fn strength_functions_of(
        &self,
        property: &str,
        group: WoodGroup,
        condition: StrengthCondition,
    ) -> Vec<&StrengthFunction> {
        let is_for = |function: &&StrengthFunction| {
            function.property == property && function.groups.contains(&group) && function.condition == condition
        };
        self.strengths.functions.iter().filter(is_for).collect()
    }

    /// The origin of a function.
    #[must_use]
    pub fn strength_function_source(&self, function: &StrengthFunction) -> Cited {
        let StrengthFunction { property, condition, a, b, printed_unit, .. } = function;
        let groups: Vec<&str> = function.groups.iter().map(|group| group.word()).collect();
        let groups = groups.join(" and ");
        let used_for = format!("{property} of sound {groups}, {condition}: {a} G^{b} {printed_unit}");
        self.cited_by(&function.origin, used_for)
    }

    pub(super) fn cited_by(&self, origin: &Origin, used_for: String) -> Cited {
        self.cited(used_for, &origin.source, &origin.place, origin.evidence)
    }
}
