//! Treatment: diffusion by series and by cells, the numbers of baths.

mod bath;
mod block;
mod law;
mod layered;
#[cfg(feature = "report")]
mod outside;
mod series;

/// One day, s.
pub(crate) const DAY: f64 = 86_400.0;

#[track_caller]
pub(crate) fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual}, expected {expected} within {tolerance}");
}
