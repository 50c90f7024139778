//! A timber in depth: curves, breaks, soft rim, sections.

mod fault;
mod law;
#[cfg(feature = "report")]
mod outside;
#[cfg(feature = "cli")]
mod program;
mod published;
mod rim;
mod section;

use woodstate::numeric::Watch;
use woodstate::profile::{DepthFit, DepthModel, Increment, fit_depth};

/// A core of increments, one after the other.
pub(crate) fn core(ends: &[f64], values: &[f64]) -> Vec<Increment> {
    ends.windows(2).zip(values).map(|(ends, value)| Increment::new(ends[0], ends[1], *value)).collect()
}

pub(crate) fn fitted(increments: &[Increment], model: DepthModel) -> DepthFit {
    fit_depth(increments, model, &Watch::silent()).unwrap()
}

#[track_caller]
pub(crate) fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual}, expected {expected} within {tolerance}");
}
