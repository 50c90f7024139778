//! Linear least squares.

use super::check;
use super::matrix::Matrix;
use super::noise::Noise;
use super::pivot::Pivot;
use super::refine::refine;
use super::summary::{self, real};
use super::triangle::Fold;
use crate::error::Result;

/// Parameters of a linear model, with their uncertainties.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearFit {
    /// Parameters, one a column of the design.
    pub parameters: Vec<f64>,
    /// Covariance of the parameters, p x p; `None` where no degree of freedom is left to learn the scatter from.
    pub covariance: Option<Matrix>,
    /// Residuals y − A b, one a reading, in the unit of the readings.
    pub residuals: Vec<f64>,
    /// Sum of the squared residuals, each divided by its uncertainty where there is one.
    pub rss: f64,
    /// Residual standard deviation √(RSS/(n − p)); `None` for n = p.
    pub s: Option<f64>,
    /// Number of readings.
    pub n: usize,
    /// Number of parameters.
    pub p: usize,
    /// Condition number of the design with columns of length 1.
    pub condition: f64,
}

impl LinearFit {
    /// Standard deviation of parameter `k`; `None` where it is unknown.
    #[must_use]
    pub fn sd(&self, k: usize) -> Option<f64> {
        let covariance = self.covariance.as_ref()?;
        (k < self.p).then(|| covariance[(k, k)].sqrt())
    }
}

/// The parameters b for which the squares of y − A b, weighted by 1/u², are least.
///
/// ```text
/// b = argmin Σ ((y − A b)/u)²,   cov(b) = s² (Aᵀ W A)⁻¹,   s² = RSS/(n − p)
/// ```
/// With [`Noise::Known`] s² is 1. Column-scaled QR with pivoting; `AᵀA` is never formed. The parameters are then
/// improved with residuals of twice the digits, so that they are those of the stored numbers.
///
/// * `design`: A, n x p, one row a reading
/// * `y`: n readings
///
/// # Errors
/// When sizes differ, a number is not finite, an uncertainty is not above 0, there are fewer readings than
/// parameters, or the columns of the design depend on each other; then one such column is named.
///
/// # Example
/// ```
/// use woodstate::numeric::{Matrix, Noise, linear_fit};
/// // y = 1 + 2 x at x = 0, 1, 2, 3
/// let design = Matrix::new(4, 2, vec![1.0, 0.0, 1.0, 1.0, 1.0, 2.0, 1.0, 3.0])?;
/// let fit = linear_fit(&design, &[1.1, 2.9, 5.1, 6.9], Noise::FromScatter)?;
/// assert!((fit.parameters[1] - 1.96).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// G. H. Golub, C. F. Van Loan, Matrix Computations, 3rd ed. 1996, sections 5.3 and 5.4 \[memory].
pub fn linear_fit(design: &Matrix, y: &[f64], noise: Noise<'_>) -> Result<LinearFit> {
    let (n, p) = (design.rows(), design.columns());
    check::at_least("number of columns of a design", p, 1)?;
    check::at_least("number of readings", n, p)?;
    check::length("readings", y.len(), n)?;
    y.iter().enumerate().try_for_each(|(row, &y)| check::finite_of("reading", row, y))?;
    noise.check(n)?;

    let weights = noise.root_weights();
    let weight = |row: usize| weights.as_ref().map_or(1.0, |weights| weights[row]);
    let mut fold = Fold::new(p);
    for (row, &y) in y.iter().enumerate() {
        fold.push(design.row(row), y, weight(row));
    }
    fold.finish();
    let pivot = full_rank(&fold, n)?;

    let mut z = vec![0.0; p];
    let mut parameters = vec![0.0; p];
    pivot.solve(p, &mut z);
    pivot.unscale(&z, &mut parameters);
    let residuals = refine(design, y, &weight, &pivot, &mut parameters);
    let squares: Vec<f64> = residuals.iter().enumerate().map(|(row, r)| (r * weight(row)).powi(2)).collect();
    let rss = summary::sum(&squares);
    let variance = (n > p).then(|| rss / real(n - p));
    let factor = if noise.is_scaled() { variance } else { Some(1.0) };
    let condition = pivot.condition();
    let all: Vec<usize> = (0..p).collect();
    let covariance = factor.map(|factor| covariance(&pivot, &norms(&fold), &all, factor));
    for (k, value) in parameters.iter().enumerate() {
        check::finite_of("parameter", k, *value)?;
    }
    Ok(LinearFit { parameters, covariance, residuals, rss, s: variance.map(f64::sqrt), n, p, condition })
}

fn norms(fold: &Fold) -> Vec<f64> {
    (0..fold.parameters()).map(|j| fold.norm(j)).collect()
}

fn full_rank(fold: &Fold, n: usize) -> Result<Pivot> {
    let p = fold.parameters();
    let scale = norms(fold);
    for (column, &length) in scale.iter().enumerate() {
        check::positive_of("length of design column", column, length)?;
    }
    let mut pivot = Pivot::new(p);
    pivot.factorise(fold, &scale, &vec![true; p]);
    let rank = pivot.rank(n);
    if rank < p {
        let allowed = format!("{p}; column {} follows from others", pivot.order()[rank] + 1);
        return Err(check::range("number of independent columns of a design", real(rank), allowed));
    }
    Ok(pivot)
}

/// `factor` · (AᵀA)⁻¹ over the columns `free`, all of which were factorised.
///
/// ```text
/// (AᵀA)⁻¹ = S⁻¹ P R⁻¹ R⁻ᵀ Pᵀ S⁻¹
/// ```
pub(super) fn covariance(pivot: &Pivot, scale: &[f64], free: &[usize], factor: f64) -> Matrix {
    let inverse = pivot.inverse();
    let places: Vec<usize> =
        free.iter().filter_map(|free| pivot.order().iter().position(|column| column == free)).collect();
    let mut matrix = Matrix::zeros(free.len(), free.len());
    for (row, (&a, &i)) in places.iter().zip(free).enumerate() {
        for (column, (&b, &j)) in places.iter().zip(free).enumerate() {
            let sum: f64 = inverse.iter().map(|inverse| inverse[a] * inverse[b]).sum();
            matrix[(row, column)] = factor * sum / (scale[i] * scale[j]);
        }
    }
    matrix
}
