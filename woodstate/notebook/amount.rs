//! Amounts: numbers with a unit and their uncertainty, which arithmetic carries along.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::quantity::{Dimension, Unit};

/// A value or a column of values in one unit.
///
/// The uncertainty of each value is kept by origin: a term `u` for each independent value that went into it, so that
/// `x - x` is 0 ± 0. Terms that are not a number make the uncertainty unknown.
#[derive(Debug, Clone)]
pub(super) struct Amount {
    /// The values; not a number where unknown.
    pub(super) values: Vec<f64>,
    /// Terms of the standard uncertainty by origin, with sign.
    terms: BTreeMap<u64, Vec<f64>>,
    /// The unit.
    pub(super) unit: Unit,
    /// Whether causes are shared with other results and between rows, of which the terms know nothing.
    pub(super) is_result: bool,
}

/// What cannot be computed, in one sentence, and what to do.
pub(super) type Refusal = (String, &'static str);

impl Amount {
    /// Values with their standard uncertainties, `None` where unknown.
    pub(super) fn new(values: Vec<f64>, u: impl IntoIterator<Item = Option<f64>>, unit: Unit) -> Self {
        static ORIGIN: AtomicU64 = AtomicU64::new(0);
        let u: Vec<f64> = u.into_iter().map(|u| u.unwrap_or(f64::NAN)).collect();
        let is_exact = u.iter().all(|u| *u == 0.0);
        let terms = if is_exact { None } else { Some((ORIGIN.fetch_add(1, Ordering::Relaxed), u)) };
        Self { values, terms: terms.into_iter().collect(), unit, is_result: false }
    }

    /// A number that is exact.
    pub(super) fn exact(value: f64, unit: Unit) -> Self {
        Self { values: vec![value], terms: BTreeMap::new(), unit, is_result: false }
    }

    /// The same amount as a result of an assessment.
    pub(super) fn of_results(mut self) -> Self {
        self.is_result = true;
        self
    }

    /// How many values there are.
    pub(super) fn len(&self) -> usize {
        self.values.len()
    }

    /// A value; `None` where unknown.
    pub(super) fn value(&self, row: usize) -> Option<f64> {
        self.values.get(row).copied().filter(|value| value.is_finite())
    }

    /// Its standard uncertainty; `None` where unknown.
    pub(super) fn u(&self, row: usize) -> Option<f64> {
        let squares: f64 = self.terms.values().map(|terms| terms.get(row).map_or(f64::NAN, |term| term * term)).sum();
        Some(squares.sqrt()).filter(|u| u.is_finite())
    }

    /// These rows alone; a row keeps its origins, so it stays the same value.
    pub(super) fn rows(&self, rows: &[usize]) -> Self {
        let of = |values: &Vec<f64>| rows.iter().map(|row| values.get(*row).copied().unwrap_or(f64::NAN)).collect();
        let terms = self.terms.iter().map(|(origin, terms)| (*origin, of(terms))).collect();
        Self { values: of(&self.values), terms, ..*self }
    }

    /// One row as a value of its own.
    pub(super) fn row(&self, row: usize) -> Self {
        let u = self.u(row);
        let one = Self::new(vec![self.value(row).unwrap_or(f64::NAN)], [u], self.unit);
        Self { is_result: self.is_result, ..one }
    }

    /// The same amount in another unit.
    pub(super) fn to(&self, unit: Unit) -> Result<Self, Refusal> {
        let wrong =
            |_| (format!("{} is not a unit for a value in {}", unit, self.unit), "name a unit of the same kind");
        let mut to = self.clone();
        for value in &mut to.values {
            *value = self.unit.convert(*value, unit).map_err(wrong)?;
        }
        for term in to.terms.values_mut().flatten() {
            *term = self.unit.convert_difference(*term, unit).map_err(wrong)?;
        }
        to.unit = unit;
        Ok(to)
    }

    /// A function of the values with its slope, in a unit.
    pub(super) fn map(&self, unit: Unit, of: impl Fn(f64) -> [f64; 2]) -> Self {
        let mut made = self.clone();
        for (row, value) in made.values.iter_mut().enumerate() {
            let [image, slope] = of(*value);
            *value = image;
            for terms in made.terms.values_mut() {
                terms[row] *= slope;
            }
        }
        made.unit = unit;
        made
    }

    /// A function of two amounts with its two slopes; one value goes with every row.
    fn join(&self, other: &Self, unit: Unit, of: impl Fn(f64, f64) -> [f64; 3]) -> Result<Self, Refusal> {
        let rows = match (self.len(), other.len()) {
            (rows, 1) | (1, rows) => rows,
            (a, b) if a == b => a,
            (a, b) => {
                return Err((
                    format!("one column has {a} rows and the other {b}"),
                    "columns of one table have the same rows",
                ));
            }
        };
        let at = |values: &[f64], row: usize| values[if values.len() == 1 { 0 } else { row }];
        let mut made = Self { values: Vec::with_capacity(rows), terms: BTreeMap::new(), unit, is_result: false };
        made.is_result = self.is_result || other.is_result;
        let origins = self.terms.keys().chain(other.terms.keys()).copied();
        made.terms = origins.map(|origin| (origin, Vec::with_capacity(rows))).collect();
        // Two results share causes that nobody kept, so the uncertainty of what is made of both is unknown.
        let is_one = self.terms.keys().eq(other.terms.keys()) || self.terms.is_empty() || other.terms.is_empty();
        let is_lost = self.is_result && other.is_result && !is_one;
        for row in 0..rows {
            let [value, by_self, by_other] = of(at(&self.values, row), at(&other.values, row));
            made.values.push(value);
            for (origin, terms) in &mut made.terms {
                let term = |from: &Self, slope: f64| from.terms.get(origin).map_or(0.0, |terms| at(terms, row) * slope);
                terms.push(if is_lost { f64::NAN } else { term(self, by_self) + term(other, by_other) });
            }
        }
        Ok(made)
    }

    /// Sum (`sign` 1) or difference (`sign` -1), in the unit of the first.
    pub(super) fn plus(&self, other: &Self, sign: f64) -> Result<Self, Refusal> {
        if self.unit.dimension() == Dimension::Temperature {
            let cure = "take the number with .value: a temperature and a difference of temperatures are two things";
            return Err(("temperatures are not added".to_owned(), cure));
        }
        if self.unit.dimension() != other.unit.dimension() {
            let word = if sign > 0.0 { "added to" } else { "subtracted from" };
            let text = format!("a value in {} cannot be {word} one in {}", other.unit, self.unit);
            return Err((text, "both sides must measure the same thing"));
        }
        let other = if self.unit == other.unit { other.clone() } else { other.to(self.unit)? };
        self.join(&other, self.unit, |a, b| [a + sign * b, 1.0, sign])
    }

    /// Product.
    pub(super) fn times(&self, other: &Self) -> Result<Self, Refusal> {
        let (unit, factor) = product(self.unit, other.unit)?;
        self.join(other, unit, |a, b| [a * b * factor, b * factor, a * factor])
    }

    /// Quotient.
    pub(super) fn over(&self, other: &Self) -> Result<Self, Refusal> {
        let (unit, factor) = quotient(self.unit, other.unit)?;
        self.join(other, unit, |a, b| [a / b * factor, factor / b, -a / (b * b) * factor])
    }

    /// Mean of the known rows.
    pub(super) fn mean(&self) -> Option<Self> {
        self.combined(|n| 1.0 / n)
    }

    /// Sum over the known rows.
    pub(super) fn sum(&self) -> Option<Self> {
        self.combined(|_| 1.0)
    }

    #[allow(clippy::cast_precision_loss, reason = "OK because no column has 2^53 rows")]
    fn combined(&self, weight: impl Fn(f64) -> f64) -> Option<Self> {
        let known: Vec<usize> = (0..self.len()).filter(|row| self.value(*row).is_some()).collect();
        let weight = weight(known.len() as f64);
        if known.is_empty() {
            return None;
        }
        let value = known.iter().filter_map(|row| self.value(*row)).sum::<f64>() * weight;
        let squares = known.iter().map(|row| self.u(*row).map(|u| u * u)).sum::<Option<f64>>();
        let u = squares.map(|squares| squares.sqrt() * weight);
        Some(Self::new(vec![value], [u], self.unit))
    }
}

/// The unit of a plain number.
pub(super) fn plain_unit() -> Result<Unit, Refusal> {
    unit("1")
}

/// A unit by its code.
pub(super) fn unit(code: &str) -> Result<Unit, Refusal> {
    Unit::parse(code).map_err(|error| (error.to_string(), "units are UCUM codes such as g, mm, kg/m3, %"))
}

/// What one of a unit is of another one.
fn factor(from: Unit, to: &str) -> Result<(Unit, f64), Refusal> {
    let to = unit(to)?;
    let one = from.convert_difference(1.0, to).map_err(|error| (error.to_string(), "use units of the same kind"))?;
    Ok((to, one))
}

fn product(a: Unit, b: Unit) -> Result<(Unit, f64), Refusal> {
    let of = |density: Unit, volume: Unit| -> Result<(Unit, f64), Refusal> {
        let ((_, g_cm3), (_, cm3)) = (factor(density, "g/cm3")?, factor(volume, "cm3")?);
        Ok((unit("g")?, g_cm3 * cm3))
    };
    match (a.dimension(), b.dimension()) {
        // Two shares give a share; a plain number keeps the unit of the other side.
        (Dimension::Ratio, _) if a.code() == "1" => Ok((b, 1.0)),
        (_, Dimension::Ratio) if b.code() == "1" => Ok((a, 1.0)),
        (Dimension::Ratio, _) => Ok((b, factor(a, "1")?.1)),
        (_, Dimension::Ratio) => Ok((a, factor(b, "1")?.1)),
        (Dimension::Density, Dimension::Volume) => of(a, b),
        (Dimension::Volume, Dimension::Density) => of(b, a),
        _ => Err((format!("there is no unit here for {a} times {b}"), "take the numbers alone with .value")),
    }
}

fn quotient(a: Unit, b: Unit) -> Result<(Unit, f64), Refusal> {
    match (a.dimension(), b.dimension()) {
        (_, Dimension::Ratio) => Ok((a, 1.0 / factor(b, "1")?.1)),
        (Dimension::Mass, Dimension::Volume) => {
            let ((_, g), (_, cm3)) = (factor(a, "g")?, factor(b, "cm3")?);
            Ok((unit("kg/m3")?, 1000.0 * g / cm3))
        }
        (Dimension::Mass, Dimension::Density) => {
            let ((_, g), (_, g_cm3)) = (factor(a, "g")?, factor(b, "g/cm3")?);
            Ok((unit("cm3")?, g / g_cm3))
        }
        (one, other) if one == other && one != Dimension::Temperature => Ok((unit("1")?, factor(a, b.code())?.1)),
        _ => Err((format!("there is no unit here for {a} over {b}"), "take the numbers alone with .value")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(value: f64, u: f64, code: &str) -> Amount {
        Amount::new(vec![value], [Some(u)], Unit::parse(code).unwrap())
    }

    fn shown(amount: &Amount) -> (f64, Option<f64>, &'static str) {
        (amount.value(0).unwrap(), amount.u(0), amount.unit.code())
    }

    #[test]
    fn a_value_less_itself_is_exactly_nothing() {
        let mass = of(4.71, 0.01, "g");
        assert_eq!(shown(&mass.plus(&mass, -1.0).unwrap()), (0.0, Some(0.0), "g"));
        assert_eq!(mass.over(&mass).unwrap().u(0), Some(0.0));
    }

    /// Source: JCGM 100:2008, 5.1.2: squares of independent terms are added.
    #[test]
    fn independent_terms_add_in_squares() {
        let sum = of(3.0, 0.3, "g").plus(&of(4.0, 0.4, "g"), 1.0).unwrap();
        assert_eq!(shown(&sum), (7.0, Some(0.5), "g"));
    }

    #[test]
    fn mass_over_volume_is_a_density() {
        let density = of(0.76, 0.0, "g").over(&of(4.0, 0.0, "cm3")).unwrap();
        assert_eq!(shown(&density), (190.0, Some(0.0), "kg/m3"));
        let mass = density.times(&of(2.0, 0.0, "L")).unwrap();
        assert_eq!(shown(&mass), (380.0, Some(0.0), "g"));
    }

    #[test]
    fn units_that_do_not_fit_are_refused() {
        let refused = of(1.0, 0.1, "g").plus(&of(1.0, 0.1, "mm"), 1.0).unwrap_err();
        assert_eq!(refused.0, "a value in mm cannot be added to one in g");
        assert!(of(1.0, 0.1, "mm").times(&of(1.0, 0.1, "mm")).is_err());
    }

    #[test]
    fn what_two_results_share_is_unknown() {
        let (a, b) = (of(400.0, 2.0, "%").of_results(), of(160.0, 1.0, "%").of_results());
        assert_eq!(a.plus(&b, -1.0).unwrap().u(0), None);
        assert_eq!(a.plus(&a, 1.0).unwrap().u(0), Some(4.0));
    }
}
