//! Uncertainty where pieces of one timber are alike.

use std::collections::BTreeMap;

use crate::numeric::{Fit, Matrix};

use super::pair::{Pairs, real};
use super::{Formula, Weighting};

/// Covariance of the free parameters with timbers as units; `None` where that of independent pieces is unknown.
///
/// ```text
/// C = c B ( Σ_g s_g s_gᵀ ) B,   B = (JᵀWJ)⁻¹,   s_g = Σ_{i in g} w_i² e_i j_i,   c = G/(G − 1) · (n − 1)/(n − p)
/// ```
/// `G`: timbers; `j_i`: slopes of the curve by the parameters, `e_i`: residual, `w_i`: 1/u.
///
/// # Source
/// K.-Y. Liang, S. L. Zeger 1986, Longitudinal data analysis using generalized linear models, Biometrika 73, 13-22,
/// doi:10.1093/biomet/73.1.13 \[memory]; the factor c is that in common use \[memory].
pub(super) fn by_timber(formula: &Formula, fit: &Fit, pairs: &Pairs, weighting: Weighting) -> Option<Matrix> {
    let (covariance, free) = (fit.covariance.as_ref()?, &fit.free);
    let scale = match weighting {
        Weighting::Known => 1.0,
        Weighting::Alike | Weighting::Proportional | Weighting::Relative => fit.s?.powi(2),
    };
    let mut scores: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    let mut slope = vec![0.0; fit.p];
    for (place, timber) in pairs.timber.iter().enumerate() {
        formula.with_slope(pairs.x[place], &fit.parameters, &mut slope)?;
        let weight = weight(pairs, weighting, place);
        let score = scores.entry(*timber).or_insert_with(|| vec![0.0; free.len()]);
        for (sum, &k) in score.iter_mut().zip(free) {
            *sum += weight * weight * fit.residuals[place] * slope[k];
        }
    }
    let (n, p, groups) = (real(fit.n), real(free.len()), real(scores.len()));
    let factor = groups / (groups - 1.0) * (n - 1.0) / (n - p);
    // B s_g, one a timber.
    let moved: Vec<Vec<f64>> = scores
        .values()
        .map(|score| {
            let row = |i: usize| covariance.row(i).iter().zip(score).map(|(c, s)| c / scale * s).sum();
            (0..free.len()).map(row).collect()
        })
        .collect();
    let mut sum = Matrix::zeros(free.len(), free.len());
    for i in 0..free.len() {
        for j in 0..free.len() {
            let entry: f64 = moved.iter().map(|moved: &Vec<f64>| moved[i] * moved[j]).sum();
            sum[(i, j)] = factor * entry;
        }
    }
    sum.values().iter().all(|entry| entry.is_finite()).then_some(sum)
}

/// 1/u where uncertainties count, 1 otherwise.
pub(super) fn weight(pairs: &Pairs, weighting: Weighting, place: usize) -> f64 {
    match weighting {
        Weighting::Alike => 1.0,
        Weighting::Proportional | Weighting::Relative | Weighting::Known => pairs.u.get(place).map_or(1.0, |u| 1.0 / u),
    }
}
