//! A power of x.
//!
//! ```text
//! y = a (x/r)^b = a exp(b ln(x/r)),   x > 0
//! ```
//! Start: the straight line through ln y against ln(x/r).

use crate::numeric::Interval;
use crate::quantity::Evidence;

use super::start::Sight;
use super::{ModelSpec, ParameterSpec, ParameterUnit};

pub(super) const SPEC: ModelSpec = ModelSpec {
    word: "power",
    meaning: "A share of x costs the same share of strength everywhere.",
    parameters: &[
        ParameterSpec { name: "a", unit: ParameterUnit::Y, meaning: "strength where x is the number that divides it" },
        ParameterSpec {
            name: "b",
            unit: ParameterUnit::One,
            meaning: "per cent of strength for one per cent of x; 1 is in proportion",
        },
    ],
    source: "Wood Handbook, property against specific gravity, P = a G^b",
    evidence: Evidence::Memory,
};

/// An exponent beyond this is none of wood: published ones lie between 0.7 and 2.5.
const STEEPEST: f64 = 30.0;

pub(super) fn at(ln: f64, b: &[f64], slope: &mut [f64]) -> f64 {
    let rise = (b[1] * ln).exp();
    let value = b[0] * rise;
    slope[0] = rise;
    slope[1] = value * ln;
    value
}

/// In units of the reference.
pub(super) fn inverse(y: f64, b: &[f64]) -> f64 {
    ((y / b[0]).ln() / b[1]).exp()
}

pub(super) fn starts(sight: &Sight<'_>, reference: f64) -> Vec<Vec<f64>> {
    let line = sight.line(|x| (x / reference).ln(), f64::ln);
    let start = line.map_or(vec![sight.top, 1.0], |[level, slope]| vec![level.exp(), slope]);
    let is_usable = start.iter().all(|b| b.is_finite()) && start[0] > 0.0;
    vec![if is_usable { start } else { vec![sight.top, 1.0] }]
}

pub(super) fn limits() -> Vec<Interval> {
    vec![Interval { low: 0.0, high: f64::INFINITY }, Interval { low: -STEEPEST, high: STEEPEST }]
}
