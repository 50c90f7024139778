//! What may be chosen for a curve.

use crate::error::Result;

use super::pair::range;

/// How pieces scatter about the curve, and what the uncertainties of the measured strengths are used for; there is no default.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weighting {
    /// For nothing: pieces scatter about the curve far more than a testing machine does, all alike.
    Alike,
    /// For nothing: pieces scatter about the curve in proportion to the strength there, strong wood more than weak wood.
    ///
    /// The curve is fitted with weights 1/f², f the curve itself, until it stands still; it must lie above 0 at all pieces.
    Proportional,
    /// Up to one common factor, which the scatter gives.
    Relative,
    /// As they stand: all scatter about the curve comes from the test. Rarely true of wood.
    Known,
}

/// What counts as independent; there is no default.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Errors {
    /// Every piece. Too sure where timbers gave several pieces.
    Independent,
    /// Every timber: pieces of one timber may be alike. Needs the timber of every piece, and more timbers than parameters.
    ByTimber,
}

/// What may be chosen for a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveOptions {
    /// The point of reference of a power, in the unit of x: 100 for %, 1000 for kg/m3.
    pub reference: f64,
    /// What uncertainties of the strengths are used for.
    pub weighting: Weighting,
    /// What counts as independent.
    pub errors: Errors,
    /// Coverage of all intervals, between 0 and 1.
    pub coverage: f64,
    /// Samples of the bootstrap; none at 0.
    pub replicates: usize,
    /// Seed of the bootstrap.
    pub seed: u64,
    /// Threads at most; no result depends on it.
    pub threads: usize,
}

impl CurveOptions {
    /// Pieces alike and independent, coverage 0.95, 2000 samples with seed 1, one thread.
    #[must_use]
    pub fn plain(reference: f64) -> Self {
        Self {
            reference,
            weighting: Weighting::Alike,
            errors: Errors::Independent,
            coverage: 0.95,
            replicates: 2000,
            seed: 1,
            threads: 1,
        }
    }

    pub(super) fn check(&self) -> Result<()> {
        if !(self.reference > 0.0 && self.reference.is_finite()) {
            return Err(range("reference of x", self.reference, "a finite number above 0"));
        }
        coverage(self.coverage)
    }
}

pub(super) fn coverage(coverage: f64) -> Result<()> {
    if coverage > 0.0 && coverage < 1.0 { Ok(()) } else { Err(range("coverage", coverage, "a number between 0 and 1")) }
}
