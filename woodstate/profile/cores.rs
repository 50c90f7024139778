//! Cores beside each other.

use std::collections::BTreeMap;

use crate::error::Result;
use crate::numeric::one_way_anova;

use super::DepthFit;
use super::increment::{Readings, real};

/// How increments scatter about the curve of their timber: between cores, and within a core.
#[derive(Debug, Clone, PartialEq)]
pub struct Scatter {
    /// Number of cores.
    pub n_cores: usize,
    /// Standard deviation between cores; `None` for one core, and where cores have one increment each.
    pub between: Option<f64>,
    /// Standard deviation of an increment of mean thickness within its core; `None` where it is unknown.
    pub within: Option<f64>,
    /// Probability of cores as different as these, or more so, if all were alike; `None` where it cannot be told.
    pub probability: Option<f64>,
}

/// Variance components of what the curve leaves.
///
/// ```text
/// s_b² = max(0, (MS_b − MS_w)/n₀),   n₀ = (N − Σ n²/N)/(k − 1)
/// ```
/// # Source
/// The formula of numbers of unequal groups: R. R. Sokal, F. J. Rohlf 1995, Biometry, 3rd edition, box 9.2 \[memory].
pub(super) fn scatter(readings: &Readings, fit: &DepthFit) -> Result<Scatter> {
    let n_cores = readings.n_cores();
    let one = Scatter { n_cores, between: None, within: fit.scatter, probability: None };
    if n_cores < 2 || readings.n() <= n_cores {
        return Ok(one);
    }
    let mut groups: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for (row, residual) in fit.residuals(readings).into_iter().enumerate() {
        groups.entry(readings.core[row]).or_default().push(residual * readings.weight[row].sqrt());
    }
    let lists: Vec<&[f64]> = groups.values().map(Vec::as_slice).collect();
    let anova = one_way_anova(&lists)?;
    let (Some(between), Some(within)) = (anova.between.mean(), anova.within.mean()) else { return Ok(one) };
    let n = real(readings.n());
    let squares: f64 = lists.iter().map(|list| real(list.len()).powi(2)).sum();
    let each = (n - squares / n) / (real(n_cores) - 1.0);
    let between = ((between - within) / each).max(0.0).sqrt();
    // What lies between cores is not counted again within them; the uncertainty of the increments themselves remains.
    let rest = fit.scatter.map(|all| (all * all - between * between).max(within).sqrt());
    Ok(Scatter { n_cores, between: Some(between), within: rest, probability: anova.probability })
}

impl Scatter {
    /// Standard deviation of one increment within its core.
    pub(super) fn within_of(&self, readings: &Readings, fit: &DepthFit, row: usize) -> Option<f64> {
        match self.within {
            Some(within) => Some(within / readings.weight[row].sqrt()),
            None => fit.scatter_of(readings, row),
        }
    }
}
