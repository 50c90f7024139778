//! An exponential function of x.
//!
//! ```text
//! y = a exp(k x)
//! ```
//! Start: the straight line through ln y against x. Half of the strength is lost over ln 2 / |k|.

use crate::numeric::Interval;
use crate::quantity::Evidence;

use super::start::Sight;
use super::{ModelSpec, ParameterSpec, ParameterUnit};

pub(super) const SPEC: ModelSpec = ModelSpec {
    word: "exponential",
    meaning: "Each step of x costs the same share of the strength that is left.",
    parameters: &[
        ParameterSpec { name: "a", unit: ParameterUnit::Y, meaning: "strength at x = 0" },
        ParameterSpec {
            name: "k",
            unit: ParameterUnit::PerX,
            meaning: "relative change of strength per unit of x, below 0 where it falls",
        },
    ],
    source: "Witomski, Olek and Bonarski 2016, Construction and Building Materials: bending strength of Scots pine falls \
             exponentially with mass loss by brown and white rot",
    evidence: Evidence::Read,
};

/// Powers of ten over the measured range beyond which a slope is a step.
const STEEPEST: f64 = 60.0;

pub(super) fn at(x: f64, b: &[f64], slope: &mut [f64]) -> f64 {
    let share = (b[1] * x).exp();
    let value = b[0] * share;
    slope[0] = share;
    slope[1] = value * x;
    value
}

pub(super) fn inverse(y: f64, b: &[f64]) -> f64 {
    (y / b[0]).ln() / b[1]
}

pub(super) fn starts(sight: &Sight<'_>) -> Vec<Vec<f64>> {
    let line = sight.line(|x| x, f64::ln);
    let start = line.map_or(vec![sight.top, 0.0], |[level, slope]| vec![level.exp(), slope]);
    let is_usable = start.iter().all(|b| b.is_finite()) && start[0] > 0.0;
    vec![if is_usable { start } else { vec![sight.top, 0.0] }]
}

pub(super) fn limits(sight: &Sight<'_>) -> Vec<Interval> {
    let steepest = STEEPEST / sight.span.width();
    vec![Interval { low: 0.0, high: f64::INFINITY }, Interval { low: -steepest, high: steepest }]
}
