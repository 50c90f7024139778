//! A plateau and, beyond a limit, a straight line.
//!
//! ```text
//! y = a − b max(t − x, 0)      where strength rises with x
//! y = a − b max(x − t, 0)      where it falls
//! ```
//! Starts: with t halfway between each two neighbours of x, a and b by least squares; those with the least squares of all.

use crate::numeric::Interval;
use crate::quantity::Evidence;

use super::start::{Sight, line};
use super::{ModelSpec, ParameterSpec, ParameterUnit};

pub(super) const SPEC: ModelSpec = ModelSpec {
    word: "threshold",
    meaning: "Strength stands still on one side of a limit and falls in a straight line on the other.",
    parameters: &[
        ParameterSpec { name: "a", unit: ParameterUnit::Y, meaning: "plateau: strength up to the limit" },
        ParameterSpec {
            name: "b",
            unit: ParameterUnit::YPerX,
            meaning: "strength lost per unit of x beyond the limit",
        },
        ParameterSpec { name: "t", unit: ParameterUnit::X, meaning: "limit" },
    ],
    source: "a choice of this project; no published parameters for wood are at hand",
    evidence: Evidence::Proposal,
};

/// Starts that are tried at most.
const STARTS: usize = 4;

/// Neighbours between which a limit is tried at most.
const TRIED: usize = 200;

pub(super) fn at(x: f64, sign: f64, b: &[f64], slope: &mut [f64]) -> f64 {
    let beyond = sign * (b[2] - x);
    let is_beyond = beyond > 0.0;
    slope[0] = 1.0;
    slope[1] = if is_beyond { -beyond } else { 0.0 };
    slope[2] = if is_beyond { -b[1] * sign } else { 0.0 };
    b[0] + b[1] * slope[1]
}

/// On the plateau there is none.
pub(super) fn inverse(y: f64, sign: f64, b: &[f64]) -> f64 {
    let beyond = (b[0] - y) / b[1];
    if beyond > 0.0 { b[2] - sign * beyond } else { f64::NAN }
}

pub(super) fn starts(sight: &Sight<'_>, sign: f64) -> Vec<Vec<f64>> {
    let steps = sight.x.windows(2).filter(|pair| pair[1] > pair[0]);
    let limits: Vec<f64> = steps.map(|pair| f64::midpoint(pair[0], pair[1])).collect();
    let every = limits.len().div_ceil(TRIED).max(1);
    let try_at = |limit: &f64| {
        let bent = |x: &f64| (sign * (limit - x)).max(0.0);
        let pairs: Vec<(f64, f64)> = sight.x.iter().map(bent).zip(sight.y.iter().copied()).collect();
        let [level, slope] = line(&pairs)?;
        let rss: f64 = pairs.iter().map(|(x, y)| (y - level - slope * x).powi(2)).sum();
        Some((rss, vec![level, (-slope).max(0.0), *limit]))
    };
    let mut tried: Vec<(f64, Vec<f64>)> = limits.iter().step_by(every).filter_map(try_at).collect();
    tried.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let starts: Vec<Vec<f64>> = tried.into_iter().take(STARTS).map(|(_, start)| start).collect();
    let middle = f64::midpoint(sight.span.low, sight.span.high);
    if starts.is_empty() { vec![vec![sight.top, sight.top / sight.span.width(), middle]] } else { starts }
}

/// The limit lies within the measured range.
pub(super) fn limits(sight: &Sight<'_>) -> Vec<Interval> {
    vec![
        Interval { low: f64::NEG_INFINITY, high: f64::INFINITY },
        Interval { low: 0.0, high: f64::INFINITY },
        Interval { low: sight.span.low, high: sight.span.high },
    ]
}
