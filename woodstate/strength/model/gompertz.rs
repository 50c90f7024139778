//! An S between 0 and a plateau that is not symmetric.
//!
//! ```text
//! y = a exp(−exp(−k (x − m)))
//! ```
//! Starts: for a few plateaus above the largest y, the straight line through −ln(ln(a/y)) against x.

use crate::quantity::Evidence;

use super::start::Sight;
use super::{ModelSpec, ParameterSpec, ParameterUnit, logistic};

pub(super) const SPEC: ModelSpec = ModelSpec {
    word: "gompertz",
    meaning: "Strength leaves the plateau slowly and the bottom fast, or the other way round.",
    parameters: &[
        ParameterSpec { name: "a", unit: ParameterUnit::Y, meaning: "plateau: strength of wood that lost nothing" },
        ParameterSpec {
            name: "k",
            unit: ParameterUnit::PerX,
            meaning: "steepness, below 0 where strength falls; at m the slope is a k / e",
        },
        ParameterSpec { name: "m", unit: ParameterUnit::X, meaning: "x at which 1/e (36.8 %) of the plateau is left" },
    ],
    source: "B. Gompertz 1825, Philosophical Transactions of the Royal Society 115, 513-583 (the form); for strength of \
             wood a choice of this project",
    evidence: Evidence::Memory,
};

pub(super) fn at(x: f64, b: &[f64], slope: &mut [f64]) -> f64 {
    let [a, k, m] = [b[0], b[1], b[2]];
    let fall = (-k * (x - m)).exp();
    let share = (-fall).exp();
    // Far out, fall is infinite where share is 0: the product is 0.
    let both = if share > 0.0 { share * fall } else { 0.0 };
    slope[0] = share;
    slope[1] = a * both * (x - m);
    slope[2] = -a * both * k;
    a * share
}

pub(super) fn inverse(y: f64, b: &[f64]) -> f64 {
    b[2] - (b[0] / y).ln().ln() / b[1]
}

pub(super) fn starts(sight: &Sight<'_>) -> Vec<Vec<f64>> {
    let level = |plateau: f64| move |y: f64| -(plateau / y).ln().ln();
    logistic::of_lines(sight, |plateau| sight.line(|x| x, level(plateau)))
}
