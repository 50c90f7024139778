//! Whether numbers look like a normal sample.

use crate::error::Result;
use crate::numeric::{mean, normal_quantile, normal_sf};

use super::pair::real;
use super::{ScatterTest, pair};

/// Weights of the two largest order statistics, and mean and logarithm of the standard deviation of the transformed W, as
/// polynomials in 1/√n, n or ln n.
const LAST: [f64; 6] = [0.0, 0.221_157, -0.147_981, -2.071_190, 4.434_685, -2.706_056];
const LAST_BUT_ONE: [f64; 6] = [0.0, 0.042_981, -0.293_762, -1.752_461, 5.682_633, -3.582_633];
const SMALL_MEAN: [f64; 4] = [0.5440, -0.399_78, 0.025_054, -6.714e-4];
const SMALL_SD: [f64; 4] = [1.3822, -0.778_57, 0.062_767, -0.002_032_2];
const SMALL_END: [f64; 2] = [-2.273, 0.459];
const LARGE_MEAN: [f64; 4] = [-1.5861, -0.310_82, -0.083_751, 0.003_891_5];
const LARGE_SD: [f64; 3] = [-0.4803, -0.082_676, 0.003_030_2];

/// Shapiro-Wilk test of normality, after Royston; `None` below 3 or above 5000 values, or where all are equal.
///
/// ```text
/// W = ( Σ aᵢ x₍ᵢ₎ )² / Σ (x − x̄)²
/// ```
/// A W well below 1, and so a small probability, says that the values are not normal.
///
/// # Errors
/// A value that is not finite.
///
/// # Example
/// ```
/// // Weights of 11 men in pounds, the example of Shapiro and Wilk 1965: W 0.79 [memory].
/// let x = [148.0, 154.0, 158.0, 160.0, 161.0, 162.0, 166.0, 170.0, 182.0, 195.0, 236.0];
/// let test = woodstate::strength::shapiro_wilk(&x)?.unwrap();
/// assert!((test.statistic - 0.79).abs() < 0.005);
/// assert!(test.probability < 0.01);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// S. S. Shapiro, M. B. Wilk 1965, Biometrika 52, 591-611, doi:10.1093/biomet/52.3-4.591; P. Royston 1995, Remark AS R94,
/// Applied Statistics 44, 547-551, doi:10.2307/2986146 (its coefficients \[memory]).
pub fn shapiro_wilk(values: &[f64]) -> Result<Option<ScatterTest>> {
    if let Some(value) = values.iter().find(|value| !value.is_finite()) {
        return Err(pair::range("value of a sample", *value, "a finite number"));
    }
    let count = values.len();
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let Some(centre) = mean(&sorted) else { return Ok(None) };
    let squares: f64 = sorted.iter().map(|x| (x - centre).powi(2)).sum();
    if !(3..=5000).contains(&count) || squares <= 0.0 {
        return Ok(None);
    }
    let weights = weights(count)?;
    let spread: f64 = (0..count / 2).map(|i| weights[i] * (sorted[count - 1 - i] - sorted[i])).sum();
    let w = (spread * spread / squares).min(1.0);
    Ok(Some(ScatterTest { statistic: w, probability: probability(w, count) }))
}

/// Weight of the i-th largest value; the i-th smallest has the opposite one.
fn weights(count: usize) -> Result<Vec<f64>> {
    let half = count / 2;
    if count == 3 {
        return Ok(vec![0.5_f64.sqrt()]);
    }
    let n = real(count);
    let score = |i: usize| normal_quantile(1.0 - (real(i) + 1.0 - 0.375) / (n + 0.25));
    let scores = (0..half).map(score).collect::<Result<Vec<f64>>>()?;
    let total = 2.0 * scores.iter().map(|m| m * m).sum::<f64>();
    let root = 1.0 / n.sqrt();
    let last = polynomial(&LAST, root) + scores[0] / total.sqrt();
    let mut weights = vec![last];
    let (mut left, mut rest) = (total - 2.0 * scores[0].powi(2), 1.0 - 2.0 * last * last);
    if count > 5 {
        let next = polynomial(&LAST_BUT_ONE, root) + scores[1] / total.sqrt();
        weights.push(next);
        left -= 2.0 * scores[1].powi(2);
        rest -= 2.0 * next * next;
    }
    let factor = (left / rest).sqrt();
    weights.extend(scores.iter().skip(weights.len()).map(|m| m / factor));
    Ok(weights)
}

fn probability(w: f64, count: usize) -> f64 {
    let n = real(count);
    if count == 3 {
        let angle = |w: f64| w.sqrt().asin();
        return (6.0 / std::f64::consts::PI * (angle(w) - angle(0.75))).clamp(0.0, 1.0);
    }
    let y = (1.0 - w).ln();
    if y == f64::NEG_INFINITY {
        return 1.0;
    }
    if count <= 11 {
        let end = polynomial(&SMALL_END, n);
        if y >= end {
            return 0.0;
        }
        return normal_sf((-(end - y).ln() - polynomial(&SMALL_MEAN, n)) / polynomial(&SMALL_SD, n).exp());
    }
    let size = n.ln();
    normal_sf((y - polynomial(&LARGE_MEAN, size)) / polynomial(&LARGE_SD, size).exp())
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}
