//! Treatment: diffusion by series and by cells, the numbers of baths.

mod bath;
mod block;
mod course;
#[cfg(feature = "report")]
mod followed;
mod law;
mod layered;
#[cfg(feature = "report")]
mod outside;
mod routes;
mod series;

use proptest::prelude::ProptestConfig;
use proptest::test_runner::RngSeed;

/// Same numbers on every run and machine.
pub(crate) fn fixed(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() }
}

/// One day, s.
pub(crate) const DAY: f64 = 86_400.0;

#[track_caller]
pub(crate) fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual}, expected {expected} within {tolerance}");
}
