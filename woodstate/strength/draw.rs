//! Intervals of parameters and of the curve by drawing pieces or timbers again.

use crate::error::Result;
use crate::numeric::{Bootstrap, FitOptions, Interval, Plan, Resampling, Watch, bootstrap_fit};

use super::curve::{points, rows};
use super::{CurveFit, CurveOptions, Errors};

/// Curves fitted again to pieces, or whole timbers, drawn from those there are.
#[derive(Debug, Clone, PartialEq)]
pub struct Redrawn {
    drawn: Bootstrap,
    coverage: f64,
}

impl CurveFit {
    /// Fits the curve again to samples drawn with replacement: whole timbers where they are the units, pieces otherwise.
    ///
    /// `None` where no samples are asked for, or the data do not tell the parameters apart. The same seed gives the same
    /// numbers on any number of threads.
    ///
    /// # Errors
    /// Fewer than two units, fewer than two samples with an answer, a stop asked for through `watch`.
    ///
    /// # Source
    /// B. Efron 1979 and 1987: see [`bootstrap_fit`] and [`Bootstrap::bca`].
    pub fn redraw(&self, options: &CurveOptions, watch: &Watch<'_>) -> Result<Option<Redrawn>> {
        if options.replicates == 0 || self.fit.rank < self.fit.free.len() {
            return Ok(None);
        }
        let rows = rows(&self.formula, &self.pairs.x);
        let points = points(&rows, &self.pairs, self.weighting)?;
        let resampling = match self.errors {
            Errors::Independent => Resampling::Cases,
            Errors::ByTimber => Resampling::Groups(&self.pairs.timber),
        };
        let plan = Plan { replicates: options.replicates, seed: options.seed, threads: options.threads };
        let limits = FitOptions::within(self.limits.clone());
        let drawn = bootstrap_fit(&self.formula, &points, &self.fit, resampling, &limits, plan, watch)?;
        Ok(Some(Redrawn { drawn, coverage: self.coverage }))
    }
}

impl Redrawn {
    /// Interval of parameter `k`: bias-corrected and accelerated, by percentiles where that is not possible; `None` where
    /// there is none.
    #[must_use]
    pub fn interval(&self, k: usize) -> Option<Interval> {
        let of = |b: &[f64]| b.get(k).copied().unwrap_or(f64::NAN);
        self.drawn.bca(self.coverage, of).or_else(|_| self.drawn.percentile(self.coverage, of)).ok()
    }

    /// Interval of the curve at `x`, by percentiles; `None` where there is none.
    #[must_use]
    pub fn at(&self, curve: &CurveFit, x: f64) -> Option<Interval> {
        self.drawn.percentile(self.coverage, |b| curve.formula.value(x, b).unwrap_or(f64::NAN)).ok()
    }

    /// Samples that were drawn.
    #[must_use]
    pub fn drawn(&self) -> usize {
        self.drawn.drawn()
    }

    /// Samples without an answer.
    #[must_use]
    pub fn failed(&self) -> usize {
        self.drawn.failed()
    }

    /// The draws themselves.
    #[must_use]
    pub fn bootstrap(&self) -> &Bootstrap {
        &self.drawn
    }
}
