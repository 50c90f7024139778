//! Strength and stiffness of sound wood of a taxon: what a test is compared with.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::origin::Origin;
use super::printed_unit::{PrintedUnit, printed};
use super::strength::{StrengthCondition, StrengthFunction};
use super::{Rank, Reference, Taxon, WoodGroup};
use crate::numeric::mean;
use crate::quantity::{Cited, Evidence, Measured};

/// What stands behind a strength of sound wood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum StrengthBasis {
    /// Printed means of the species itself.
    Species,
    /// A function of density over many species.
    Function,
}

/// Strength or stiffness of sound wood, with what stands behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundStrength {
    /// The property: the name of a column, or `compression_perpendicular`.
    pub property: String,
    /// The moisture it holds for; only green wood may be compared with wet tests.
    pub condition: StrengthCondition,
    /// Value and standard uncertainty, in `unit`.
    pub value: Measured,
    /// UCUM code.
    pub unit: String,
    /// Species or function.
    pub basis: StrengthBasis,
    /// Whether the density lies outside the range for which the function was made.
    pub is_extrapolated: bool,
    /// Source of each number behind it.
    pub cited: Vec<Cited>,
}

/// A table of means of species.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Table {
    source: String,
    place: String,
    evidence: Evidence,
    /// Printed unit by property.
    units: BTreeMap<String, String>,
    rows: Vec<Line>,
}

#[derive(Debug, Deserialize)]
struct Line {
    taxon: String,
    printed: String,
    condition: StrengthCondition,
    gravity: f64,
    #[serde(flatten)]
    values: BTreeMap<String, f64>,
}

/// Means of one species.
#[derive(Debug)]
pub(super) struct Row {
    pub(super) taxon: String,
    printed: String,
    condition: StrengthCondition,
    gravity: f64,
    values: Vec<Value>,
    pub(super) origin: Origin,
}

#[derive(Debug)]
struct Value {
    property: String,
    /// In the unit of the column.
    value: f64,
    unit: String,
    as_printed: String,
}

impl Table {
    pub(super) fn rows(self, units: &[PrintedUnit]) -> Result<Vec<Row>, String> {
        let origin = Origin { source: self.source, place: self.place, evidence: self.evidence };
        let row = |line: Line| {
            let value = |(property, value): (String, f64)| {
                let Some(unit) = self.units.get(&property) else {
                    return Err(format!("\"{property}\" of {} has no unit", line.printed));
                };
                let printed = printed(units, unit)?;
                let as_printed = format!("{value} {unit}");
                Ok(Value { property, value: value * printed.times, unit: printed.column.clone(), as_printed })
            };
            let values = line.values.into_iter().map(value).collect::<Result<Vec<Value>, String>>()?;
            let Line { taxon, printed, condition, gravity, .. } = line;
            Ok(Row { taxon, printed, condition, gravity, values, origin: origin.clone() })
        };
        self.rows.into_iter().map(row).collect()
    }
}

impl Reference {
    /// Strength or stiffness of sound wood of a species, from its printed means; `None` for a genus or a type, and where
    /// nothing is printed for the species: nothing is borrowed from a relative.
    ///
    /// ```text
    /// P = mean over the rows of the species,   u = c P
    /// ```
    /// * `c`: relative standard deviation between specimens of one species; unknown for hardness, and u with it
    ///
    /// The uncertainty is that of *one piece*: it is not divided by the number of rows.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::{Reference, StrengthCondition};
    /// let reference = Reference::shipped().unwrap();
    /// let oak = reference.taxon("Quercus alba").unwrap();
    /// let bending = reference.species_strength(oak, "bending_strength", StrengthCondition::Green).unwrap();
    /// assert!((bending.value.value - 57.0).abs() < 1e-9 && bending.unit == "MPa");
    /// ```
    #[must_use]
    pub fn species_strength(
        &self,
        taxon: &Taxon,
        property: &str,
        condition: StrengthCondition,
    ) -> Option<SoundStrength> {
        if taxon.rank != Rank::Species {
            return None;
        }
        let rows = self.strengths.rows.iter().filter(|row| row.taxon == taxon.name && row.condition == condition);
        let found: Vec<(&Row, &Value)> =
            rows.filter_map(|row| Some((row, row.values.iter().find(|value| value.property == property)?))).collect();
        let (_, first) = found.first()?;
        let value = mean(&found.iter().map(|(_, value)| value.value).collect::<Vec<_>>())?;
        let within = self.strengths.within.get(property).copied();
        let mut cited: Vec<Cited> = found.iter().map(|(row, value)| self.row_cited(row, value)).collect();
        cited.extend(self.scatter_within_species(property).map(|(_, cited)| cited));
        Some(SoundStrength {
            property: property.to_owned(),
            condition,
            value: Measured { value, u: within.map(|c| c * value) },
            unit: first.unit.clone(),
            basis: StrengthBasis::Species,
            is_extrapolated: false,
            cited,
        })
    }

    /// Strength or stiffness of sound wood of a density, kg/m3, by the preferred function; `None` where there is none, or
    /// the density is not above 0.
    ///
    /// ```text
    /// P = a G^b,   (u/P)² = (b u(ρ)/ρ)² + s²
    /// ```
    /// * `density`: oven-dry mass over volume at the moisture of `condition`; for green wood the basic density
    /// * `s`: relative standard deviation of a species from the function
    ///
    /// Unknown where the uncertainty of the density is unknown, or the function was not compared with species.
    ///
    /// # Example
    /// ```
    /// use woodstate::quantity::Measured;
    /// use woodstate::reference::{Reference, StrengthCondition, WoodGroup};
    /// let reference = Reference::shipped().unwrap();
    /// let density = Measured::new(560.0, 50.0);
    /// let green = StrengthCondition::Green;
    /// let oak = reference.strength_at("compression_parallel", WoodGroup::Hardwood, green, density).unwrap();
    /// assert!((oak.value.value - 25.7445).abs() < 5e-5);
    /// ```
    #[must_use]
    pub fn strength_at(
        &self,
        property: &str,
        group: WoodGroup,
        condition: StrengthCondition,
        density: Measured,
    ) -> Option<SoundStrength> {
        let function = self.strength_functions_of(property, group, condition).into_iter().next()?;
        let value = Some(function.value(density.value)).filter(|value| value.is_finite() && density.value > 0.0)?;
        let relative = density.u.zip(function.spread()).map(|(u, s)| (function.b * u / density.value).hypot(s));
        let (from, to) = self.strengths.scope;
        let gravity = density.value / 1000.0;
        Some(SoundStrength {
            property: property.to_owned(),
            condition,
            value: Measured { value, u: relative.map(|relative| relative * value) },
            unit: function.unit.clone(),
            basis: StrengthBasis::Function,
            is_extrapolated: !(from..=to).contains(&gravity),
            cited: self.function_cited(function),
        })
    }

    /// Strength or stiffness of sound wood of a taxon: the printed means of a species, or else the preferred function of
    /// density for its group of woods. `None` where neither is there.
    ///
    /// * `density`: of *sound* wood of that taxon, kg/m3, on the volume at the moisture of `condition`; not read where the
    ///   species has printed means
    #[must_use]
    pub fn sound_strength(
        &self,
        taxon: &Taxon,
        property: &str,
        condition: StrengthCondition,
        density: Measured,
    ) -> Option<SoundStrength> {
        if let Some(found) = self.species_strength(taxon, property, condition) {
            return Some(found);
        }
        let group = self.wood_group(taxon)?;
        let mut found = self.strength_at(property, group, condition, density)?;
        found.cited.push(self.wood_group_source(taxon, group));
        Some(found)
    }

    /// Relative standard deviation between small clear specimens of one species, and where it is from; `None` where unknown.
    ///
    /// # Example
    /// ```
    /// let reference = woodstate::reference::Reference::shipped()?;
    /// let (scatter, _) = reference.scatter_within_species("bending_strength").unwrap();
    /// assert!((scatter - 0.152).abs() < 5e-4);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    #[must_use]
    pub fn scatter_within_species(&self, property: &str) -> Option<(f64, Cited)> {
        let scatter = self.strengths.within.get(property).copied()?;
        let used_for = format!("scatter of {property} between specimens of one species: {scatter}");
        Some((scatter, self.cited_by(&self.strengths.within_origin, used_for)))
    }

    fn row_cited(&self, row: &Row, value: &Value) -> Cited {
        let Row { taxon, printed, condition, gravity, origin, .. } = row;
        let Value { property, as_printed, .. } = value;
        let used_for = format!("{property} of sound {taxon}, {condition}, G {gravity}: {as_printed}");
        let place = format!("{}, '{printed}'", origin.place);
        self.cited(used_for, &origin.source, &place, origin.evidence)
    }

    fn function_cited(&self, function: &StrengthFunction) -> Vec<Cited> {
        let (from, to) = self.strengths.scope;
        let range = self.cited_by(&self.strengths.scope_origin, format!("range of P = a G^b: G {from} to {to}"));
        let mut cited = vec![self.strength_function_source(function), range];
        cited.extend(function.compared.map(|found| {
            let words = format!("observed over computed {} ± {}, {} species", found.mean, found.sd, found.n);
            self.cited_by(
                &self.strengths.compared_origin,
                format!("scatter of {} about it: {words}", function.property),
            )
        }));
        cited
    }
}
