//! A cylinder without end, whose surface is held at the concentration of the bath.

use super::check;
use super::series::{self, SMALL, of_roots, summed};
use crate::error::Result;
use crate::numeric::{bessel_j0, bessel_j0_zeros, bessel_j1, repeated_erfc};

/// Below it the expansion in √T has all digits, above it the series of exponentials needs a dozen terms.
const SHORT: f64 = 0.02;
/// The same for the concentration at a place.
const SHORT_AT: f64 = 1e-3;
/// Deeper than this nothing has arrived before `SHORT_AT`: less than erfc(7.9) = 6e-29.
const REACHED: f64 = 0.5;
/// Terms of the expansion in √T of the uptake, and of the concentration at a place.
pub(super) const TERMS: usize = 24;
const TERMS_AT: usize = 14;

/// Share of the final uptake that a long cylinder has taken up on average, 0 to 1.
///
/// ```text
/// E = 1 − Σ 4/α² exp(−α² T),  J₀(α) = 0                                  for long times
/// E = 4 √(T/π) − T − T^(3/2)/(3√π) − …                                   for short times
/// ```
///
/// * `reduced_time`: T = D t/a², 0 or above; D diffusivity, m²/s; t time, s; a radius, m
///
/// The short form is taken to 24 terms, whose factors follow from those of I₁/I₀ for large arguments.
///
/// # Errors
/// A reduced time that is negative or no number.
///
/// # Example
/// ```
/// let uptake = woodstate::treatment::cylinder_uptake(0.334_413_2)?;
/// assert!((uptake - 0.9).abs() < 1e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank J 1975, The Mathematics of Diffusion, 2nd ed., Oxford University Press, section 5.3 (from memory).
pub fn cylinder_uptake(reduced_time: f64) -> Result<f64> {
    check::not_negative("reduced time", reduced_time)?;
    Ok(series::share(1.0 - left(reduced_time)))
}

/// Concentration in a long cylinder relative to its surface, 0 to 1.
///
/// ```text
/// c = 1 − 2 Σ J₀(α x)/(α J₁(α)) exp(−α² T),  J₀(α) = 0                   for long times
/// c = 1/√x Σ d_k(x) (4T)^(k/2) iᵏerfc((1−x)/(2√T)),  k = 0, 1, …         for short times
/// ```
///
/// * `reduced_time`: T = D t/a², as in [`cylinder_uptake`]
/// * `place`: x = r/a, 0 on the axis, 1 on the surface
/// * `d_k(x)`: factors of `I₀(qx)/I₀(q)` in powers of `1/q`, for large q
///
/// # Errors
/// A reduced time that is negative or no number, a place outside 0 to 1.
///
/// # Example
/// ```
/// let axis = woodstate::treatment::cylinder_value(0.479_634_8, 0.0)?;
/// assert!((axis - 0.9).abs() < 1e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`cylinder_uptake`].
pub fn cylinder_value(reduced_time: f64, place: f64) -> Result<f64> {
    check::not_negative("reduced time", reduced_time)?;
    check::share("place", place)?;
    Ok(series::share(1.0 - left_at(reduced_time, place)))
}

/// 1 − E.
pub(super) fn left(t: f64) -> f64 {
    if t < SHORT {
        return 1.0 - of_roots(&transfer(), t);
    }
    summed(bessel_j0_zeros().map(|alpha| 4.0 / (alpha * alpha) * (-alpha * alpha * t).exp()), SMALL)
}

/// 1 − c.
pub(super) fn left_at(t: f64, x: f64) -> f64 {
    if x >= 1.0 && t > 0.0 {
        return 0.0;
    }
    if t < SHORT_AT {
        return if x < REACHED || t <= 0.0 { 1.0 } else { 1.0 - near_surface(t, x) };
    }
    let mut sum = 0.0;
    for alpha in bessel_j0_zeros() {
        let size = 2.0 * (-alpha * alpha * t).exp() / (alpha * bessel_j1(alpha));
        if size.abs() < SMALL {
            break;
        }
        sum += size * bessel_j0(alpha * x);
    }
    sum
}

/// Factors of 2 I₁(q)/(q I₀(q)) in powers of 1/q, from the first on, for large q.
///
/// The quotient r = I₁/I₀ obeys r' = 1 − r/q − r², which gives each factor from those before.
pub(super) fn transfer() -> [f64; TERMS] {
    let mut r = [0.0; TERMS];
    r[0] = 1.0;
    let mut order = 0.0;
    for k in 1..TERMS {
        let squares: f64 = (1..k).map(|j| r[j] * r[k - j]).sum();
        r[k] = 0.5 * ((order - 1.0) * r[k - 1] - squares);
        order += 1.0;
    }
    r.map(|factor| 2.0 * factor)
}

/// The concentration before the front comes near the axis.
fn near_surface(t: f64, x: f64) -> f64 {
    // I₀(q) = exp(q)/√(2πq) Σ a_k/q^k; b are the factors of one over the sum.
    let mut a = [1.0; TERMS_AT];
    let mut b = [0.0; TERMS_AT];
    b[0] = 1.0;
    for k in 1..TERMS_AT {
        let order = check::real(k);
        a[k] = a[k - 1] * (2.0 * order - 1.0).powi(2) / (8.0 * order);
        b[k] = -(1..=k).map(|j| a[j] * b[k - j]).sum::<f64>();
    }
    let width = 2.0 * t.sqrt();
    let integrals = repeated_erfc::<TERMS_AT>((1.0 - x) / width);
    let (mut sum, mut scale) = (0.0, 1.0);
    for (k, integral) in integrals.iter().enumerate() {
        // Σ a_j x^(−j) b_(k−j), from the highest power of 1/x down.
        let factor = (0..=k).rev().fold(0.0, |factor, j| factor / x + a[j] * b[k - j]);
        sum += factor * scale * integral;
        scale *= width;
    }
    sum / x.sqrt()
}
