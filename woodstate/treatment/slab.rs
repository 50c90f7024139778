//! A slab between two faces that are held at the concentration of the bath.

use std::f64::consts::{FRAC_PI_2, PI};

use super::check;
use super::series::{self, SMALL, odd, summed};
use crate::error::Result;
use crate::numeric::{erfc, ierfc};

/// Below it the sum over images has all digits in a few terms, above it the series of exponentials.
const SHORT: f64 = 0.1;

/// Share of the final uptake that a slab has taken up on average, 0 to 1.
///
/// ```text
/// E = 1 − (8/π²) Σ exp(−(2n+1)² π² T/4)/(2n+1)²,  n = 0, 1, …            for long times
/// E = 2 √T (1/√π + 2 Σ (−1)ⁿ ierfc(n/√T)),        n = 1, 2, …            for short times
/// ```
///
/// * `reduced_time`: T = D t/a², 0 or above; D diffusivity, m²/s; t time, s; a half the thickness, m
///
/// Both forms are the same function; the one that needs fewer terms is taken, and at T = 0.1 they agree to 1e-14.
///
/// # Errors
/// A reduced time that is negative or no number.
///
/// # Example
/// ```
/// // 100 s, half-thickness 0.2 mm, 1e-10 m²/s.
/// let uptake = woodstate::treatment::slab_uptake(1e-10 * 100.0 / 0.2e-3_f64.powi(2))?;
/// assert!((uptake - 0.562_233_541_762).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank J 1975, The Mathematics of Diffusion, 2nd ed., Oxford University Press, section 4.3 (from memory); the first form
/// confirmed in published documentation of an independent program, from which the example is.
pub fn slab_uptake(reduced_time: f64) -> Result<f64> {
    check::not_negative("reduced time", reduced_time)?;
    Ok(series::share(1.0 - left(reduced_time)))
}

/// Concentration in a slab relative to its surface, 0 to 1.
///
/// ```text
/// c = 1 − (4/π) Σ (−1)ⁿ/(2n+1) exp(−(2n+1)² π² T/4) cos((2n+1) π x/2)    for long times
/// c = Σ (−1)ⁿ [erfc((2n+1−x)/(2√T)) + erfc((2n+1+x)/(2√T))]              for short times
/// ```
///
/// * `reduced_time`: T = D t/a², as in [`slab_uptake`]
/// * `place`: x, 0 in the middle, 1 on the surface
///
/// # Errors
/// A reduced time that is negative or no number, a place outside 0 to 1.
///
/// # Example
/// ```
/// // The middle has half the concentration of the bath.
/// let middle = woodstate::treatment::slab_value(0.378_747_8, 0.0)?;
/// assert!((middle - 0.5).abs() < 1e-6);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`slab_uptake`].
pub fn slab_value(reduced_time: f64, place: f64) -> Result<f64> {
    check::not_negative("reduced time", reduced_time)?;
    check::share("place", place)?;
    Ok(series::share(1.0 - left_at(reduced_time, place)))
}

/// 1 − E.
pub(super) fn left(t: f64) -> f64 {
    if t < SHORT {
        let root = t.sqrt();
        // At T = 0 no image is seen.
        let images = if t > 0.0 { ierfc(1.0 / root) - ierfc(2.0 / root) } else { 0.0 };
        return 1.0 - 2.0 * root * (1.0 / PI.sqrt() - 2.0 * images);
    }
    8.0 / (PI * PI) * summed(odd().map(|m| (-(m * FRAC_PI_2).powi(2) * t).exp() / (m * m)), SMALL)
}

/// 1 − c.
pub(super) fn left_at(t: f64, x: f64) -> f64 {
    if x >= 1.0 && t > 0.0 {
        return 0.0;
    }
    if t < SHORT {
        if t <= 0.0 {
            return 1.0;
        }
        let width = 2.0 * t.sqrt();
        let pair = |m: f64| erfc((m - x) / width) + erfc((m + x) / width);
        return 1.0 - (pair(1.0) - pair(3.0) + pair(5.0));
    }
    let mut sign = -1.0;
    let mut sum = 0.0;
    for m in odd() {
        sign = -sign;
        let size = (-(m * FRAC_PI_2).powi(2) * t).exp() / m;
        if size < SMALL {
            break;
        }
        sum += sign * size * (m * FRAC_PI_2 * x).cos();
    }
    4.0 / PI * sum
}
