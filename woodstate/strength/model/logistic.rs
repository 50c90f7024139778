//! A symmetric S between 0 and a plateau.
//!
//! ```text
//! y = a / (1 + exp(−k (x − m)))
//! ```
//! Starts: for a few plateaus above the largest y, the straight line through ln(y/(a − y)) against x.

use crate::numeric::Interval;
use crate::quantity::Evidence;

use super::start::Sight;
use super::{ModelSpec, ParameterSpec, ParameterUnit};

pub(super) const SPEC: ModelSpec = ModelSpec {
    word: "logistic",
    meaning: "Strength keeps near a plateau, falls steeply over a range of x and ends at nothing.",
    parameters: &[
        ParameterSpec { name: "a", unit: ParameterUnit::Y, meaning: "plateau: strength of wood that lost nothing" },
        ParameterSpec {
            name: "k",
            unit: ParameterUnit::PerX,
            meaning: "steepness, below 0 where strength falls; at m the slope is a k / 4",
        },
        ParameterSpec { name: "m", unit: ParameterUnit::X, meaning: "x at which half of the plateau is left" },
    ],
    source: "a choice of this project; no published parameters for wood are at hand",
    evidence: Evidence::Proposal,
};

/// Plateaus that are tried, as multiples of the largest y.
pub(super) const PLATEAUS: [f64; 4] = [1.02, 1.2, 1.6, 3.0];

/// Most that a plateau may be of the largest y.
const HIGHEST: f64 = 100.0;

/// Most steepness, over the measured range; beyond it the curve is a step.
const STEEPEST: f64 = 200.0;

pub(super) fn at(x: f64, b: &[f64], slope: &mut [f64]) -> f64 {
    let [a, k, m] = [b[0], b[1], b[2]];
    let share = 1.0 / (1.0 + (-k * (x - m)).exp());
    // The other side of the S by itself: 1 − share loses its digits on the plateau.
    let rest = 1.0 / (1.0 + (k * (x - m)).exp());
    slope[0] = share;
    slope[1] = a * share * rest * (x - m);
    slope[2] = -a * share * rest * k;
    a * share
}

pub(super) fn inverse(y: f64, b: &[f64]) -> f64 {
    b[2] + (y / (b[0] - y)).ln() / b[1]
}

pub(super) fn starts(sight: &Sight<'_>) -> Vec<Vec<f64>> {
    let level = |plateau: f64| move |y: f64| (y / (plateau - y)).ln();
    of_lines(sight, |plateau| sight.line(|x| x, level(plateau)))
}

/// Starts from straight lines, one a plateau.
pub(super) fn of_lines(sight: &Sight<'_>, line: impl Fn(f64) -> Option<[f64; 2]>) -> Vec<Vec<f64>> {
    let limits = limits(sight);
    let inside = |b: f64, limit: &Interval| b.clamp(limit.low, limit.high);
    let start = |share: f64| {
        let plateau = share * sight.top;
        let [level, slope] = line(plateau)?;
        let middle = -level / slope;
        let start = [plateau, slope, middle];
        let start: Vec<f64> = start.iter().zip(&limits).map(|(b, limit)| inside(*b, limit)).collect();
        start.iter().all(|b| b.is_finite()).then_some(start)
    };
    let starts: Vec<Vec<f64>> = PLATEAUS.into_iter().filter_map(start).collect();
    let middle = f64::midpoint(sight.span.low, sight.span.high);
    if starts.is_empty() { vec![vec![sight.top, 4.0 / sight.span.width(), middle]] } else { starts }
}

pub(super) fn limits(sight: &Sight<'_>) -> Vec<Interval> {
    let (width, steepest) = (sight.span.width(), STEEPEST / sight.span.width());
    vec![
        Interval { low: 0.0, high: HIGHEST * sight.top },
        Interval { low: -steepest, high: steepest },
        Interval { low: sight.span.low - 10.0 * width, high: sight.span.high + 10.0 * width },
    ]
}

/// Where starts are scattered: plateaus and middles that data could show.
pub(super) fn search(sight: &Sight<'_>) -> Vec<Interval> {
    let width = sight.span.width();
    vec![
        Interval { low: 0.8 * sight.top, high: 5.0 * sight.top },
        Interval { low: -20.0 / width, high: 20.0 / width },
        Interval { low: sight.span.low - width, high: sight.span.high + width },
    ]
}
