//! Uncertainty by drawing the sample again from itself.
//!
//! What to draw: cases where readings stand alone; groups where several readings come from one timber, which are
//! alike; residuals where the predictors were set and the scatter is the same everywhere.

mod draw;

pub use draw::{Plan, Units, bootstrap};
pub(super) use draw::{draw_units, left_out, replicate};

use super::check;
use super::distribution;
use super::montecarlo::Interval;
use super::summary::{self, real};
use crate::error::Result;

/// Estimates from many samples drawn from one, with those of the sample itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Bootstrap {
    estimate: Vec<f64>,
    replicates: Vec<Vec<f64>>,
    /// Estimates with one unit left out each; empty where there are none.
    jackknife: Vec<Vec<f64>>,
    failed: usize,
    seed: u64,
}

impl Bootstrap {
    pub(super) fn new(
        estimate: Vec<f64>,
        drawn: Vec<Option<Vec<f64>>>,
        jackknife: Vec<Vec<f64>>,
        seed: u64,
    ) -> Result<Self> {
        let asked = drawn.len();
        let replicates: Vec<Vec<f64>> = drawn.into_iter().flatten().collect();
        check::at_least("number of samples drawn that gave an estimate", replicates.len(), 2)?;
        Ok(Self { estimate, failed: asked - replicates.len(), replicates, jackknife, seed })
    }

    /// Estimates of the sample itself.
    #[must_use]
    pub fn estimate(&self) -> &[f64] {
        &self.estimate
    }

    /// Estimates of the drawn samples that gave one, in the order of the draws.
    #[must_use]
    pub fn replicates(&self) -> &[Vec<f64>] {
        &self.replicates
    }

    /// Samples that gave no estimate. They are left out of all intervals, which are doubtful when there are many.
    #[must_use]
    pub fn failed(&self) -> usize {
        self.failed
    }

    /// Samples that were drawn.
    #[must_use]
    pub fn drawn(&self) -> usize {
        self.failed + self.replicates.len()
    }

    /// The seed.
    #[must_use]
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Standard deviation of estimate `k` over the drawn samples; `None` where there is no such estimate.
    #[must_use]
    pub fn sd(&self, k: usize) -> Option<f64> {
        (k < self.estimate.len()).then(|| summary::sd(&self.values(|b| b[k])))?
    }

    /// Percentile interval of a quantity that follows from the estimates.
    ///
    /// ```text
    /// [ Q((1 − c)/2), Q((1 + c)/2) ] of g(b*)
    /// ```
    /// # Errors
    /// When `coverage` is not between 0 and 1, or the quantity is not finite for one of the samples.
    ///
    /// # Example
    /// ```
    /// use woodstate::numeric::{Plan, Units, Watch, bootstrap, mean};
    /// let x = [2.0, 4.0, 4.0, 5.0, 7.0, 9.0];
    /// let plan = Plan { replicates: 400, seed: 1, threads: 1 };
    /// let statistic = |rows: &[usize]| mean(&rows.iter().map(|&row| x[row]).collect::<Vec<_>>()).map(|m| vec![m]);
    /// let drawn = bootstrap(Units::Cases(6), plan, &Watch::silent(), statistic)?;
    /// let interval = drawn.percentile(0.95, |estimates| estimates[0])?;
    /// assert!(interval.low > 2.0 && interval.low < 5.2 && interval.high > 5.2);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn percentile(&self, coverage: f64, quantity: impl Fn(&[f64]) -> f64) -> Result<Interval> {
        check::probability("coverage", coverage)?;
        let sorted = self.sorted(quantity)?;
        between(&sorted, (1.0 - coverage) / 2.0, f64::midpoint(1.0, coverage))
    }

    /// Bias-corrected and accelerated interval of a quantity that follows from the estimates.
    ///
    /// ```text
    /// α = Φ( z₀ + (z₀ + z)/(1 − a (z₀ + z)) ),   z = Φ⁻¹((1 ∓ c)/2)
    /// z₀ = Φ⁻¹( share of g(b*) below g(b) ),   a = Σ d³ / (6 (Σ d²)^{3/2}),   d = mean of g₍ᵢ₎ − g₍ᵢ₎
    /// ```
    /// `g₍ᵢ₎`: the quantity with unit i (case or group) left out. Equal values count half.
    ///
    /// # Errors
    /// As for [`percentile`](Self::percentile); also when there are no estimates with one unit left out (residuals
    /// were drawn), or all samples lie on one side of the estimate.
    ///
    /// # Source
    /// B. Efron 1987, Better bootstrap confidence intervals, Journal of the American Statistical Association 82,
    /// 171-185, doi:10.1080/01621459.1987.10478410 \[memory]. Checked with `scipy.stats.bootstrap` of `SciPy` 1.17.1.
    pub fn bca(&self, coverage: f64, quantity: impl Fn(&[f64]) -> f64) -> Result<Interval> {
        check::probability("coverage", coverage)?;
        check::at_least("number of estimates with one unit left out", self.jackknife.len(), 2)?;
        let here = quantity(&self.estimate);
        check::finite("quantity at the estimate", here)?;
        let left_out: Vec<f64> = self.jackknife.iter().map(|b| quantity(b)).collect();
        left_out.iter().enumerate().try_for_each(|(unit, &g)| check::finite_of("quantity without unit", unit, g))?;
        let sorted = self.sorted(quantity)?;

        let below = sorted.partition_point(|&value| value < here);
        let upto = sorted.partition_point(|&value| value <= here);
        let share = real(below + upto) / (2.0 * real(sorted.len()));
        let Ok(bias) = distribution::normal_quantile(share) else {
            return Err(check::range("share of samples below the estimate", share, "between 0 and 1; draw more"));
        };
        let acceleration = acceleration(&left_out);
        let level = |z: f64| {
            let moved = bias + z;
            distribution::normal_cdf(bias + moved / (1.0 - acceleration * moved))
        };
        let z = distribution::normal_quantile(f64::midpoint(1.0, coverage))?;
        between(&sorted, level(-z), level(z))
    }

    fn values(&self, quantity: impl Fn(&[f64]) -> f64) -> Vec<f64> {
        self.replicates.iter().map(|b| quantity(b)).collect()
    }

    fn sorted(&self, quantity: impl Fn(&[f64]) -> f64) -> Result<Vec<f64>> {
        let mut values = self.values(quantity);
        values.iter().enumerate().try_for_each(|(draw, &g)| check::finite_of("quantity of drawn sample", draw, g))?;
        values.sort_unstable_by(f64::total_cmp);
        Ok(values)
    }
}

fn acceleration(left_out: &[f64]) -> f64 {
    let centre = summary::mean(left_out).unwrap_or(0.0);
    let power = |n: i32| summary::sum(&left_out.iter().map(|g| (centre - g).powi(n)).collect::<Vec<_>>());
    let squares = power(2);
    if squares > 0.0 { power(3) / (6.0 * squares.powf(1.5)) } else { 0.0 }
}

fn between(sorted: &[f64], low: f64, high: f64) -> Result<Interval> {
    let at =
        |p: f64| summary::quantile(sorted, p).ok_or_else(|| check::range("probability", p, "a number from 0 to 1"));
    Ok(Interval { low: at(low)?, high: at(high)? })
}
