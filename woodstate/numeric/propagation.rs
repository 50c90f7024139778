//! Law of propagation of uncertainty, by first and second derivatives.

use super::check;
use super::distribution::student_quantile;
use super::matrix::Matrix;
use super::summary::real;
use crate::error::Result;

/// Step of the differences in [`second_order_variance`], as a share of each standard uncertainty. The derivatives
/// are wrong by about its square (1 %), rounding by its third power.
const STEP: f64 = 0.1;

/// Variance of a result, in its unit squared.
///
/// ```text
/// u²(y) = cᵀ U c
/// ```
/// `sensitivity`: c, one per input. `covariance`: U, n x n.
///
/// # Errors
/// When the sizes differ, or the covariance gives a negative variance.
///
/// # Example
/// ```
/// use woodstate::numeric::{Matrix, variance};
/// // A difference of two readings that share their whole error: nothing is left.
/// let covariance = Matrix::new(2, 2, vec![0.04, 0.04, 0.04, 0.04]).unwrap();
/// assert_eq!(variance(&[1.0, -1.0], &covariance).unwrap(), 0.0);
/// ```
/// # Source
/// JCGM 100:2008, eq. 13 and 16.
pub fn variance(sensitivity: &[f64], covariance: &Matrix) -> Result<f64> {
    check::length("rows of the covariance", covariance.rows(), sensitivity.len())?;
    check::length("columns of the covariance", covariance.columns(), sensitivity.len())?;
    let (mut total, mut size) = (0.0, 0.0_f64);
    for (i, c_i) in sensitivity.iter().enumerate() {
        for (c_j, u_ij) in sensitivity.iter().zip(covariance.row(i)) {
            let term = c_i * c_j * u_ij;
            total += term;
            size += term.abs();
        }
    }
    // Fully correlated parts may cancel; what rounding leaves then is 0.
    let rounding = 4.0 * real(sensitivity.len() + 1) * f64::EPSILON * size;
    if total < -rounding || total.is_nan() {
        return Err(check::range("variance of the result", total, "0 or above; the covariance contradicts itself"));
    }
    Ok(total.max(0.0))
}

/// Covariance of several results.
///
/// ```text
/// V = J U Jᵀ
/// ```
/// `jacobian`: J, one row per result, one column per input. `covariance`: U, n x n. Returns one row per result.
///
/// # Errors
/// When the sizes differ.
///
/// # Source
/// JCGM 102:2011, 6.2.1.3.
pub fn propagate(jacobian: &Matrix, covariance: &Matrix) -> Result<Matrix> {
    check::length("rows of the covariance", covariance.rows(), jacobian.columns())?;
    check::length("columns of the covariance", covariance.columns(), jacobian.columns())?;
    let n = jacobian.columns();
    let mut result = Matrix::zeros(jacobian.rows(), jacobian.rows());
    let mut part = vec![0.0; n];
    for a in 0..jacobian.rows() {
        for (j, part_j) in part.iter_mut().enumerate() {
            *part_j = (0..n).map(|i| jacobian[(a, i)] * covariance[(i, j)]).sum();
        }
        // One triangle is computed and mirrored, so the result is symmetric to the last bit.
        for b in 0..=a {
            let value = part.iter().zip(jacobian.row(b)).map(|(p, c)| p * c).sum();
            result[(a, b)] = value;
            result[(b, a)] = value;
        }
    }
    Ok(result)
}

/// Variance of a result from independent inputs: Σ (cᵢ uᵢ)².
///
/// # Errors
/// When the slices differ in length.
///
/// # Source
/// JCGM 100:2008, eq. 10.
pub fn independent_variance(sensitivity: &[f64], u: &[f64]) -> Result<f64> {
    check::length("standard uncertainties", u.len(), sensitivity.len())?;
    Ok(sensitivity.iter().zip(u).map(|(c, u)| (c * u) * (c * u)).sum())
}

/// Effective degrees of freedom of a result, not rounded; infinite when no part has a finite number.
///
/// ```text
/// ν = (Σ uᵢ²)² / Σ (uᵢ⁴/νᵢ)
/// ```
/// `components`: (uᵢ, νᵢ) with uᵢ the contribution to the result, in its unit. Holds for independent parts only.
///
/// # Errors
/// When a contribution is negative or not finite, or degrees of freedom are not above 0.
///
/// # Example
/// ```
/// use woodstate::numeric::effective_degrees_of_freedom;
/// let nu = effective_degrees_of_freedom(&[(3.0, 4.0), (4.0, f64::INFINITY)]).unwrap();
/// assert!((nu - 625.0 / (81.0 / 4.0)).abs() < 1e-9);
/// ```
/// # Source
/// JCGM 100:2008, eq. G.2b.
pub fn effective_degrees_of_freedom(components: &[(f64, f64)]) -> Result<f64> {
    let (mut total, mut below) = (0.0, 0.0);
    for &(u, nu) in components {
        check::uncertainty("contribution to the uncertainty", u)?;
        check::freedom("degrees of freedom", nu)?;
        total += u * u;
        below += u.powi(4) / nu;
    }
    Ok(if below > 0.0 { total * total / below } else { f64::INFINITY })
}

/// Factor k of an expanded uncertainty U = k u.
///
/// `coverage` between 0 and 1; `nu` effective degrees of freedom, cut to a whole number as JCGM 100, G.4.1 does;
/// infinite gives the normal factor.
///
/// # Errors
/// When the coverage lies outside 0 … 1, or `nu` is below 1.
///
/// # Example
/// ```
/// let k = woodstate::numeric::coverage_factor(0.95, 9.7).unwrap();
/// assert!((k - 2.26).abs() < 0.005); // JCGM 100, table G.2, 9 degrees of freedom
/// ```
pub fn coverage_factor(coverage: f64, nu: f64) -> Result<f64> {
    check::probability("coverage", coverage)?;
    if nu.is_nan() || nu < 1.0 {
        return Err(check::range("effective degrees of freedom", nu, "1 or above"));
    }
    Ok(-student_quantile((1.0 - coverage) / 2.0, nu.floor())?)
}

/// Sensitivities of a function: its first derivatives by central differences.
///
/// `x`: the point. `step`: one step per input, in its unit; half a standard uncertainty is a good one.
///
/// # Errors
/// When the slices differ in length, a step is not above 0, or the function gives no finite number near `x`.
///
/// # Example
/// ```
/// let c = woodstate::numeric::gradient(|x| x[0] * x[1], &[2.0, 5.0], &[0.1, 0.1]).unwrap();
/// assert!((c[0] - 5.0).abs() < 1e-12);
/// ```
pub fn gradient(f: impl Fn(&[f64]) -> f64, x: &[f64], step: &[f64]) -> Result<Vec<f64>> {
    check::length("steps", step.len(), x.len())?;
    let mut at = x.to_vec();
    let mut slopes = Vec::with_capacity(x.len());
    for (i, &h) in step.iter().enumerate() {
        check::positive("step", h)?;
        at[i] = x[i] + h;
        let above = f(&at);
        at[i] = x[i] - h;
        let slope = (above - f(&at)) / (2.0 * h);
        check::finite("derivative by central differences", slope)?;
        at[i] = x[i];
        slopes.push(slope);
    }
    Ok(slopes)
}

/// Terms of second order that are to be added to the variance of a result, for independent normal inputs.
///
/// ```text
/// Σᵢ Σⱼ [ ½ (∂²f/∂xᵢ∂xⱼ)² + ∂f/∂xᵢ · ∂³f/∂xᵢ∂xⱼ² ] u²(xᵢ) u²(xⱼ)
/// ```
/// May be negative: the third derivatives can take variance away. Derivatives by central differences with steps of
/// 0.1 u; `x`: the estimates; `u`: their standard uncertainties, 0 where an input is exact.
///
/// # Errors
/// When the slices differ in length, an uncertainty is negative, or the function gives no finite number near `x`.
///
/// # Example
/// ```
/// // y = x² at 0: no slope, all of the variance is of second order, 2 u⁴.
/// let extra = woodstate::numeric::second_order_variance(|x| x[0] * x[0], &[0.0], &[0.1]).unwrap();
/// assert!((extra - 2e-4).abs() < 1e-12);
/// ```
/// # Source
/// JCGM 100:2008, 5.1.2, note.
pub fn second_order_variance(f: impl Fn(&[f64]) -> f64, x: &[f64], u: &[f64]) -> Result<f64> {
    check::length("standard uncertainties", u.len(), x.len())?;
    for &u_i in u {
        check::uncertainty("standard uncertainty", u_i)?;
    }
    let mut at = x.to_vec();
    // f with input i moved by a steps and input j by b steps.
    let mut moved = |i: usize, a: f64, j: usize, b: f64| {
        at.copy_from_slice(x);
        at[i] += a * STEP * u[i];
        at[j] += b * STEP * u[j];
        f(&at)
    };
    let centre = f(x);
    let mut total = 0.0;
    for i in 0..x.len() {
        let up = moved(i, 1.0, i, 0.0);
        let down = moved(i, -1.0, i, 0.0);
        let first = (up - down) / (2.0 * STEP);
        for j in 0..x.len() {
            // For i = j the same nine points lie on one line: f(±2), f(±1), f(0).
            let [pp, pm, mp, mm] = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)].map(|(a, b)| moved(i, a, j, b));
            let second = if i == j {
                (up - 2.0 * centre + down) / STEP.powi(2)
            } else {
                (pp - pm - mp + mm) / (4.0 * STEP.powi(2))
            };
            let third = (pp - 2.0 * up + pm - mp + 2.0 * down - mm) / (2.0 * STEP.powi(3));
            total += 0.5 * second * second + first * third;
        }
    }
    check::finite("variance of second order", total)?;
    Ok(total)
}
