//! A straight line.
//!
//! ```text
//! y = a + b x
//! ```

use crate::numeric::Interval;
use crate::quantity::Evidence;

use super::start::Sight;
use super::{ModelSpec, ParameterSpec, ParameterUnit};

pub(super) const SPEC: ModelSpec = ModelSpec {
    word: "linear",
    meaning: "Each step of x costs the same strength.",
    parameters: &[
        ParameterSpec { name: "a", unit: ParameterUnit::Y, meaning: "strength at x = 0" },
        ParameterSpec { name: "b", unit: ParameterUnit::YPerX, meaning: "change of strength per unit of x" },
    ],
    source: "Witomski, Olek and Bonarski 2016, Construction and Building Materials: compression strength and modulus of \
             Scots pine fall linearly with mass loss by brown and white rot",
    evidence: Evidence::Read,
};

pub(super) fn at(x: f64, b: &[f64], slope: &mut [f64]) -> f64 {
    slope[0] = 1.0;
    slope[1] = x;
    b[0] + b[1] * x
}

pub(super) fn inverse(y: f64, b: &[f64]) -> f64 {
    (y - b[0]) / b[1]
}

pub(super) fn starts(sight: &Sight<'_>) -> Vec<Vec<f64>> {
    let line = sight.line(|x| x, |y| y).unwrap_or([sight.top, 0.0]);
    vec![line.to_vec()]
}

pub(super) fn limits() -> Vec<Interval> {
    vec![Interval { low: f64::NEG_INFINITY, high: f64::INFINITY }; 2]
}
